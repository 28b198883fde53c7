"""The groups of holes of a plate: their letters, names and job keys, and every hole placed and labeled."""

from collections.abc import Iterator, Sequence
from typing import ClassVar

from msgspec import Struct

from flangelayout.errors import GeometryError
from flangelayout.flange.bolt_circle import BoltCircle
from flangelayout.flange.drilling import Drilling
from flangelayout.flange.hole import Hole
from flangelayout.flange.pattern import HolePattern
from flangelayout.geometry.shapes import ORIGIN, Point
from flangelayout.problems.flange import FlangeProblem

Group = BoltCircle | HolePattern
"""Holes that belong together and share a letter: a bolt circle or another pattern."""


class SingleHole(Struct, frozen=True):
    """A hole outside any group: a vent, a drain, a lifting or a marking hole; ``center`` in mm."""

    center: Point
    drilling: Drilling
    table: ClassVar = "hole"

    def __post_init__(self) -> None:
        """Refuse what is no hole."""
        if not isinstance(self.drilling, Drilling):
            raise GeometryError.of(FlangeProblem.NO_DRILLING, given=repr(self.drilling))

    def hole_centers(self) -> tuple[Point, ...]:
        """Its center, as every group gives its centers."""
        return (self.center,)


def group_letter(group: int, groups: int) -> str:
    """Letter of a group on the outputs; empty where there is only one group of holes, single holes counted as one."""
    return "" if groups == 1 else _letters(group)


def group_name(group: Group, letter: str) -> str:
    """A group in words: ``bolt circle A (pump side)``."""
    kind, name = "bolt circle" if isinstance(group, BoltCircle) else "pattern", group.drilling.name
    return " ".join(part for part in (kind, letter, f"({name})" if name else "") if part)


def table_keys(groups: Sequence[Group | SingleHole]) -> tuple[str, ...]:
    """The job table of every group: as it says, else counted among those of its kind, as in ``bolt_circle[2]``."""
    kinds = [group.table for group in groups]
    counts: dict[str, int] = {}
    keys = []
    for kind, group in zip(kinds, groups, strict=True):
        counts[kind] = counts.get(kind, 0) + 1
        keys.append(group.drilling.key or (kind if kinds.count(kind) == 1 else f"{kind}[{counts[kind]}]"))
    return tuple(keys)


def placed_holes(groups: Sequence[Group], singles: Sequence[SingleHole]) -> tuple[Hole, ...]:
    """Every hole of the groups and every single one, in order of number."""
    alone = len(groups) + bool(singles)
    found: list[Hole] = []
    for index, (group, key) in enumerate(zip(groups, table_keys(groups), strict=True)):
        letter = group_letter(index, alone)
        name, drilling = group_name(group, letter), group.drilling
        found += (
            Hole(
                f"{letter}{number}",
                index,
                number,
                center,
                drilling.diameter,
                angle,
                f"{name}, hole {number}",
                drilling.kind,
                key,
                drilling.worked_from,
            )
            for number, center, angle in _places(group)
        )
    return (*found, *_single_holes(singles))


def _places(group: Group) -> Iterator[tuple[int, Point, float]]:
    """Number, center and direction in degrees of every hole of a group."""
    centers = group.hole_centers()
    if isinstance(group, BoltCircle):
        return zip(group.hole_numbers(), centers, group.hole_angles(), strict=True)
    return ((number, at, ORIGIN.direction_to(at) % 360.0) for number, at in enumerate(centers, 1))


def _single_holes(singles: Sequence[SingleHole]) -> Iterator[Hole]:
    for number, (single, key) in enumerate(zip(singles, table_keys(singles), strict=True), 1):
        at, made = single.center, single.drilling
        source = f"hole X{number}" + (f" ({made.name})" if made.name else "")
        angle = ORIGIN.direction_to(at) % 360.0
        yield Hole(f"X{number}", -1, number, at, made.diameter, angle, source, made.kind, key, made.worked_from)


def _letters(index: int) -> str:
    """A, B, ... W, Y, Z, AA: column letters without X, which names single holes."""
    alphabet = "ABCDEFGHIJKLMNOPQRSTUVWYZ"
    more, last = divmod(index, len(alphabet))
    return (_letters(more - 1) if more else "") + alphabet[last]
