"""Where the numbers of holes stand on a picture: by each hole that has room, else by every second, and so on."""

import math
from collections.abc import Callable, Sequence

from msgspec import Struct

from flangelayout.drawing.textwidth import text_width
from flangelayout.flange import Flange
from flangelayout.geometry.measure import spine_to_edge
from flangelayout.geometry.shapes import ORIGIN, Line, Point, polar

_ROUND = (0, 30, -30, 60, -60, 90, -90, 120, -120, 150, -150, 180)
"""Degrees from where a number belongs at which it may stand beside its hole."""
_FARTHER = (0.3, 1.5, 3.0)
"""Printed mm that may be between a hole and its number."""
_OFF_LINES = 0.3

Clears = Callable[[Point, float], bool]
"""Whether what takes so many mm round a place stands on no edge of the metal."""


class NumberedHole(Struct, frozen=True):
    """A hole to be numbered: its label, center and radius in mm."""

    label: str
    center: Point
    radius: float


def hole_numbers(
    holes: Sequence[NumberedHole],
    height: float,
    scale: float,
    clears: Clears,
    lines: Sequence[Line] = (),
    turned: float = 0.0,
    others: Sequence[NumberedHole] = (),
) -> dict[str, Point]:
    """The middle of each number that has room, by label: clear of holes, edges and numbers, and of lines if it can.

    Args:
        holes: In the order they are counted.
        height: Of the numbers, in printed mm.
        scale: Of the picture.
        clears: Tells the edges that are shown.
        lines: That no number is to stand on while it has another place.
        turned: Degrees from outward of the side of the holes at which numbers are to stand; 180 for inward.
        others: Holes of other patterns: no number stands on one, or nearer to it than to its own.
    """
    step = 1
    while step < len(holes):
        found = _placed(holes[::step], holes, height, scale, clears, lines, turned, others)
        if len(found) == len(holes[::step]):
            return found
        step += 1
    return _placed(holes[:1], holes, height, scale, clears, lines, turned, others)


def _placed(
    numbered: Sequence[NumberedHole],
    holes: Sequence[NumberedHole],
    height: float,
    scale: float,
    clears: Clears,
    lines: Sequence[Line],
    turned: float,
    others: Sequence[NumberedHole],
) -> dict[str, Point]:
    """The places of some numbers as far as each has one."""
    taken = [(hole.center, hole.radius) for hole in holes]
    found: dict[str, Point] = {}
    for hole in numbered:
        half = number_reach(hole.label, height) / scale
        side = ORIGIN.direction_to(hole.center) + turned
        reaches = [hole.radius + half + gap / scale for gap in _FARTHER]
        places = (polar(reach, side + turn, hole.center) for reach in reaches for turn in _ROUND)
        free = [
            at for at in places if _is_free(at, half, taken) and _is_own(at, half, hole, others) and clears(at, half)
        ]
        off = half + _OFF_LINES / scale
        at = next((at for at in free if all(apart(at, line) >= off for line in lines)), free[0] if free else None)
        if at is None:
            return found
        found[hole.label] = at
        taken.append((at, half))
    return found


def off_edges(flange: Flange) -> Clears:
    """Tells what is clear of the edges of the metal, of openings too."""
    edges = (*flange.pieces(), *(opening.shape for opening in flange.cutouts()))
    return lambda at, half: all(abs(spine_to_edge(edge, at)) >= half for edge in edges)


def number_reach(label: str, height: float) -> float:
    """Half of what a number takes on paper, in mm."""
    return math.hypot(text_width(label, height), height) / 2 + 0.2


def _is_free(at: Point, half: float, taken: Sequence[tuple[Point, float]]) -> bool:
    return all(at.distance_to(other) >= half + radius - 1e-9 for other, radius in taken)


def _is_own(at: Point, half: float, hole: NumberedHole, others: Sequence[NumberedHole]) -> bool:
    """Whether a number stands on none of the other holes, and nearer to the edge of its own than to theirs."""
    least = max(at.distance_to(hole.center) - hole.radius, half)
    return all(at.distance_to(other.center) - other.radius > least for other in others)


def apart(at: Point, line: Line) -> float:
    """How far a point is from a line."""
    way, to = line.end - line.start, at - line.start
    length = way.x * way.x + way.y * way.y
    share = min(max((to.x * way.x + to.y * way.y) / length, 0.0), 1.0) if length else 0.0
    return at.distance_to(line.start + way.scaled(share))
