"""Which distances of holes a drawing writes, and which follow from what it writes."""

from collections.abc import Sequence
from typing import assert_never

from flangelayout.flange import BoltCircle, Flange, Group, Hole, HoleGrid, HoleKind, HoleRectangle, HoleRings
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.contours import turned_point
from flangelayout.geometry.shapes import Point

MAX_CALL_OUTS = 2
"""Leaders to holes on a sheet; where there would be more, every hole bears its letter and a list says what it is."""
MOST_PLACES = 3
"""Distances along x, and along y, up to which single holes are dimensioned; more stand in the hole table."""
_SAME = 1e-6


def alike_single_holes(flange: Flange) -> tuple[tuple[Hole, ...], ...]:
    """The single holes of a plate, those alike in all but their place together."""
    alike: dict[tuple[float, HoleKind, PlateFace], list[Hole]] = {}
    for hole in _single_holes(flange):
        alike.setdefault((hole.diameter, hole.kind, hole.worked_from), []).append(hole)
    return tuple(tuple(holes) for holes in alike.values())


def has_legend(flange: Flange) -> bool:
    """Whether there are too many kinds of holes to lead a call-out to each: a list tells them by their letters."""
    return len(flange.groups()) + len(alike_single_holes(flange)) > MAX_CALL_OUTS


def places_stand_in_table(flange: Flange) -> bool:
    """Whether there are too many single holes to dimension the place of each."""
    if len(flange.single_holes) > (2 * MOST_PLACES + 1) ** 2 or has_legend(flange):
        return True
    points = [hole.center for hole in _single_holes(flange)]
    return any(len({round(abs(at), 6) for at in axis} - {0.0}) > MOST_PLACES for axis in _axes(points))


def is_written(flange: Flange, pattern: Group | None, one: Point, other: Point) -> bool:
    """Whether a drawing writes how far apart two holes of a pattern are, or two single ones where that is ``None``.

    It writes the diameter of a circle, the sides of a rectangle, the pitches of a grid, the first of several rings,
    and single holes that are dimensioned across a centerline or from it. Other distances follow, and so have no
    decimals of their own.
    """
    match pattern:
        case HoleRectangle(width=wide, height=high, turned_by=turned):
            return _is_step(turned_point(other - one, -turned), wide, high)
        case HoleGrid(pitch_x=wide, pitch_y=high):
            return _is_step(other - one, wide, high)
        case HoleRings(first_diameter=across):
            return abs(one.distance_to(other) - across) < _SAME and _is_zero((one + other).x, (one + other).y)
        case None:
            return not places_stand_in_table(flange) and _is_dimensioned(flange, one, other)
        case BoltCircle(diameter=across):
            return abs(one.distance_to(other) - across) < _SAME
        case _:
            assert_never(pattern)


def _is_step(step: Point, wide: float, high: float) -> bool:
    return _is_zero(abs(step.x) - wide, step.y) or _is_zero(step.x, abs(step.y) - high)


def _is_dimensioned(flange: Flange, one: Point, other: Point) -> bool:
    """Whether two single holes stand in line at both ends of one dimension."""
    points = [hole.center for hole in _single_holes(flange)]
    for (first, last, apart), places in zip(_ends(one, other), _axes(points), strict=True):
        if apart < _SAME:
            far = first if abs(first) > abs(last) else last
            is_from_middle = _is_zero(first + last - far) and not any(_is_zero(at + far) for at in places)
            return _is_zero(first + last) or is_from_middle
    return False


def _single_holes(flange: Flange) -> Sequence[Hole]:
    return flange.holes()[-len(flange.single_holes) :] if flange.single_holes else ()


def _ends(one: Point, other: Point) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    """Along x, then along y: where both stand, and how far out of line they are."""
    return (one.x, other.x, abs(one.y - other.y)), (one.y, other.y, abs(one.x - other.x))


def _axes(points: list[Point]) -> tuple[list[float], list[float]]:
    return [point.x for point in points], [point.y for point in points]


def _is_zero(*lengths: float) -> bool:
    return all(abs(length) < _SAME for length in lengths)
