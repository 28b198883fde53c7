"""Facts as they travel from where something is found to where it is said; imports nothing of the package."""

from enum import Enum
from typing import TypeAlias

from msgspec import Struct


class Unit(Enum):
    """The two units a job can be in; the value is how it is written."""

    MM = "mm"
    IN = "in"


class Length(Struct, frozen=True):
    """A length as a fact: what it is, and the unit it is to be said in.

    Attributes:
        mm: Millimeters.
        unit: The unit it was given in; ``None`` where only its reader's unit counts.
    """

    mm: float
    unit: Unit | None = None


Fact: TypeAlias = "str | int | float | Length | Enum | tuple[Fact, ...]"
"""A number, a length, what a person wrote or called a thing, a member of a closed choice, or a list of these."""


def in_unit(fact: Fact, unit: Unit) -> Fact:
    """The fact with every length of it that has no unit of its own to be said in ``unit``."""
    match fact:
        case Length(mm=mm, unit=None):
            return Length(mm, unit)
        case tuple():
            return tuple(in_unit(each, unit) for each in fact)
        case _:
            return fact
