"""The mistakes people make with a caliper, each as the reading it would have been without it.

What each must gain before it is believed is judgement (common practice, no source) and stands in one table.
"""

from collections.abc import Iterator
from enum import Enum
from itertools import pairwise
from typing import ClassVar, TypeAlias

from msgspec import Struct

from flangelayout.survey.kinds import CHORD_KINDS, KINDS, Kind
from flangelayout.survey.readings import Reading, in_other_unit, size_written, unit_beside
from flangelayout.units import Unit, to_mm
from flangelayout.value import replace


class Cause(Enum):
    """Mistakes that are tried; the value is how a document names them."""

    MIXED_EDGES = "mixed edges"
    NEAR_FAR_SWAP = "near and far swapped"
    PITCH = "one pitch too many or too few"
    INCH_FOR_MM = "inch for mm"
    DECIMAL_SLIP = "decimal point slipped"
    DIGIT_SWAP = "two digits swapped"
    HOLE_COUNT = "hole count"
    HOLE_OUT_OF_PLACE = "hole out of place"
    OVAL_HOLE = "oval hole"
    MISREAD = "misread"


CHARGES = {
    Cause.MIXED_EDGES: 4.0,
    Cause.NEAR_FAR_SWAP: 4.0,
    Cause.PITCH: 5.0,
    Cause.INCH_FOR_MM: 6.0,
    Cause.DECIMAL_SLIP: 6.0,
    Cause.DIGIT_SWAP: 7.0,
    Cause.HOLE_COUNT: 6.0,
    Cause.HOLE_OUT_OF_PLACE: 9.0,
    Cause.OVAL_HOLE: 10.0,
    Cause.MISREAD: 11.0,
}
"""What each mistake must gain in chi-square before it is believed."""


class OneEdgeWrong(Struct, frozen=True):
    """It fits as another kind of reading: one jaw was on the other edge."""

    kind: Kind
    cause: ClassVar[Cause] = Cause.MIXED_EDGES


class BothEdgesWrong(Struct, frozen=True):
    """It fits as the opposite kind of reading: both jaws were on the other edge."""

    kind: Kind
    cause: ClassVar[Cause] = Cause.NEAR_FAR_SWAP


class OtherSpan(Struct, frozen=True):
    """It fits across another number of pitches."""

    pitches: int
    cause: ClassVar[Cause] = Cause.PITCH


class OtherUnit(Struct, frozen=True):
    """It fits if the number was read in another unit."""

    unit: Unit
    cause: ClassVar[Cause] = Cause.INCH_FOR_MM


class PointSlipped(Struct, frozen=True):
    """It fits if the decimal point slipped one place, to the left or else to the right."""

    left: bool
    cause: ClassVar[Cause] = Cause.DECIMAL_SLIP


class DigitsSwapped(Struct, frozen=True):
    """It fits with two neighboring digits changed over: as ``value``, mm."""

    value: float
    cause: ClassVar[Cause] = Cause.DIGIT_SWAP


class Miscounted(Struct, frozen=True):
    """The readings fit another number of holes."""

    hole_count: int
    cause: ClassVar[Cause] = Cause.HOLE_COUNT


class HoleMoved(Struct, frozen=True):
    """One hole sits ``by`` mm along the circle from its place, toward the next higher number if above 0."""

    hole: int
    by: float
    cause: ClassVar[Cause] = Cause.HOLE_OUT_OF_PLACE


class HoleOval(Struct, frozen=True):
    """One hole is ``by`` mm longer across than the others, or shorter if below 0."""

    hole: int
    by: float
    cause: ClassVar[Cause] = Cause.OVAL_HOLE


class Misread(Struct, frozen=True):
    """No known slip: the number itself."""

    cause: ClassVar[Cause] = Cause.MISREAD


Mistake: TypeAlias = (
    OneEdgeWrong
    | BothEdgesWrong
    | OtherSpan
    | OtherUnit
    | PointSlipped
    | DigitsSwapped
    | Miscounted
    | HoleMoved
    | HoleOval
    | Misread
)


def alterations(reading: Reading, hole_count: int) -> Iterator[tuple[Reading, Mistake]]:
    """The reading as it would be without each mistake that changes one reading alone.

    One that carries its errors with it comes from a picture: nobody wrote it down, and no slip of a pen is in it.
    """
    if reading.shared:
        return
    row = KINDS[reading.kind]
    for kind in row.mixed_with:
        yield replace(reading, kind=kind), OneEdgeWrong(kind)
    if row.swapped_with is not None:
        yield replace(reading, kind=row.swapped_with), BothEdgesWrong(row.swapped_with)
    if reading.kind in CHORD_KINDS:
        yield from _other_spans(reading, hole_count)
    for number in _digit_swaps(size_written(reading)):
        value = to_mm(number, reading.unit)
        yield replace(reading, value=value), DigitsSwapped(value)
    yield replace(reading, value=reading.value * 10), PointSlipped(left=True)
    yield replace(reading, value=reading.value / 10), PointSlipped(left=False)
    yield in_other_unit(reading), OtherUnit(unit_beside(reading.unit))


def _other_spans(reading: Reading, hole_count: int) -> Iterator[tuple[Reading, Mistake]]:
    span = reading.span(hole_count)
    for other in (span - 1, span + 1):
        if 1 <= other <= hole_count // 2:
            yield replace(reading, from_hole=None, to_hole=None, pitches=other), OtherSpan(other)


def _digit_swaps(written: str) -> Iterator[float]:
    """Numbers that differ from a decimal text by two neighboring digits changing places."""
    spots = [spot for spot, character in enumerate(written) if character.isdigit()]
    for left, right in pairwise(spots):
        if written[left] != written[right]:
            swapped = [*written]
            swapped[left], swapped[right] = swapped[right], swapped[left]
            yield float("".join(swapped))
