"""What of a ring repeats: the sector that, stepped round, makes the whole plate; and which plates have none."""

import math
from bisect import bisect_left
from collections import defaultdict
from itertools import pairwise

from msgspec import Struct

from flangelayout.errors import Problem
from flangelayout.flange.bolt_circle import BoltCircle
from flangelayout.flange.hole import Hole, Slot, SlotDirection
from flangelayout.flange.outline import RoundOutline
from flangelayout.flange.plate import Flange
from flangelayout.geometry.contours import turned_point
from flangelayout.geometry.shapes import ORIGIN, Point
from flangelayout.problems.flange import FlangeProblem
from flangelayout.value import replace

LEAST_RAY_CLEARANCE = 1.0
"""Least distance in mm from the rays of a sector to a hole's edge."""


class Sector(Struct, frozen=True):
    """A piece of a plate between two rays.

    Attributes:
        flange: The whole plate, turned so that the middle of the sector points straight up.
        start_deg: Direction on the plate of the ray it begins with; it runs counter-clockwise.
        span_deg: Angle between the rays.
        holes: Those between the rays, of the turned plate.
    """

    flange: Flange
    start_deg: float
    span_deg: float
    holes: tuple[Hole, ...]

    @property
    def half_deg(self) -> float:
        """Half the angle between the rays."""
        return self.span_deg / 2


def sector_problem(flange: Flange) -> Problem | None:
    """Why a plate has no sector to step round, or ``None``."""
    ring = _not_a_ring(flange)
    if ring:
        return ring
    if flange.single_holes:
        return Problem("", FlangeProblem.SINGLE_HOLES_DO_NOT_REPEAT)
    if any(not circle.equally_spaced or circle.skipped for circle in flange.bolt_circles):
        return Problem("", FlangeProblem.UNEVEN_HOLES_DO_NOT_REPEAT)
    if any(_keeps_its_direction(circle) for circle in flange.bolt_circles):
        return Problem("", FlangeProblem.SLOTS_DO_NOT_REPEAT)
    if repeats(flange) < 2:
        counts = tuple(circle.hole_count for circle in flange.bolt_circles)
        return Problem("", FlangeProblem.COUNTS_DO_NOT_REPEAT, counts=counts)
    pitch = 360.0 / repeats(flange)
    passes = ray_clearance(flange, start_ray(flange, pitch), pitch) >= LEAST_RAY_CLEARANCE
    return None if passes else Problem("", FlangeProblem.NO_RAY_BETWEEN_HOLES)


def strip_problem(flange: Flange) -> Problem | None:
    """Why a plate cannot be printed as strips along its bolt circles, or ``None``."""
    return Problem("", FlangeProblem.STRIPS_WITHOUT_BORE) if flange.bore is None else _not_a_ring(flange)


def repeats(flange: Flange) -> int:
    """How often a ring looks the same in one turn: the greatest number that divides every hole count."""
    return math.gcd(*(circle.hole_count for circle in flange.bolt_circles))


def start_ray(flange: Flange, within_deg: float) -> float:
    """The direction, in a turn of ``within_deg`` about the top, that stays farthest from every hole's edge."""
    low = 90.0 - within_deg / 2
    folded = sorted({round((hole.angle - low) % within_deg, 9) % within_deg for hole in flange.holes()})
    gaps = [*pairwise(folded), (folded[-1], folded[0] + within_deg)]
    middles = [low + (before + after) / 2 % within_deg for before, after in gaps]
    tracks = _tracks(flange, within_deg)
    return max(middles, key=lambda ray: (round(_clearance(tracks, ray, within_deg), 6), -round(abs(ray - 90.0), 6)))


def ray_clearance(flange: Flange, ray: float, within_deg: float = 360.0) -> float:
    """Distance in mm from a ray, repeated every ``within_deg``, to the nearest hole edge; negative in a hole."""
    return _clearance(_tracks(flange, within_deg), ray, within_deg)


_Tracks = dict[tuple[float, float], list[float]]
"""By distance from the middle and half width of a hole: the directions such holes stand in, folded and in order."""


def _tracks(flange: Flange, within_deg: float) -> _Tracks:
    tracks: dict[tuple[float, float], set[float]] = defaultdict(set)
    for hole in flange.holes():
        for end in _spine_ends(hole):
            track = round(ORIGIN.distance_to(end), 9), hole.diameter / 2
            tracks[track].add(ORIGIN.direction_to(end) % within_deg)
    return {track: sorted(directions) for track, directions in tracks.items()}


def _clearance(tracks: _Tracks, ray: float, within_deg: float) -> float:
    """As :func:`ray_clearance`; of every track only the holes on either side of the ray can be the nearest."""
    least = math.inf
    for (radius, half_width), directions in tracks.items():
        after = bisect_left(directions, ray % within_deg)
        beside = (directions[after - 1], directions[after % len(directions)])
        off = min(_off(direction - ray, within_deg) for direction in beside)
        least = min(least, radius * math.sin(math.radians(min(off, 90.0))) - half_width)
    return least


def sector(flange: Flange, start_deg: float, span_deg: float) -> Sector:
    """The piece of a ring from a ray on, its middle turned up."""
    raised = _turned(flange, 90.0 - start_deg - span_deg / 2)
    first = 90.0 - span_deg / 2
    inside = [hole for hole in raised.shown_holes() if (hole.angle - first + 1e-9) % 360.0 < span_deg]
    return Sector(raised, start_deg, span_deg, tuple(inside))


def _spine_ends(hole: Hole) -> tuple[Point, ...]:
    spine = hole.spine
    return (spine,) if isinstance(spine, Point) else (spine.start, spine.end)


def _turned(flange: Flange, degrees: float) -> Flange:
    """A ring turned counter-clockwise; holes keep their numbers."""
    circles = tuple(replace(circle, start_angle=circle.start_angle + degrees) for circle in flange.bolt_circles)
    singles = tuple(replace(hole, center=turned_point(hole.center, degrees)) for hole in flange.single_holes)
    return replace(flange, bolt_circles=circles, single_holes=singles)


def _not_a_ring(flange: Flange) -> Problem | None:
    if not isinstance(flange.outline, RoundOutline):
        return Problem("", FlangeProblem.RING_NOT_ROUND)
    if flange.patterns or flange.openings:
        return Problem("", FlangeProblem.RING_WITH_MORE)
    return None if flange.bolt_circles else Problem("", FlangeProblem.RING_WITHOUT_CIRCLE)


def _keeps_its_direction(circle: BoltCircle) -> bool:
    """Whether every hole of a circle is a slot that runs the same way wherever it stands."""
    return isinstance(circle.kind, Slot) and circle.kind.along in (SlotDirection.X, SlotDirection.Y)


def _off(angle: float, within: float) -> float:
    """How far two directions are apart, both repeated every ``within`` degrees."""
    turned = angle % within
    return min(turned, within - turned)
