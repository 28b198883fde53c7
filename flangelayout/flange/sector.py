"""What of a ring repeats: the sector that, stepped round, makes the whole plate, or its parts, if all are alike."""

import math
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Sequence
from itertools import pairwise

from msgspec import Struct

from flangelayout.errors import Problem
from flangelayout.flange.bolt_circle import BoltCircle
from flangelayout.flange.hole import Hole, HoleKind, Slot, SlotDirection
from flangelayout.flange.outline import RoundOutline
from flangelayout.flange.plate import Flange
from flangelayout.flange.segments import SegmentOutline, SplitOutline
from flangelayout.geometry.contours import turned_point
from flangelayout.geometry.shapes import ORIGIN, Point
from flangelayout.problems.flange import FlangeProblem
from flangelayout.value import replace

LEAST_RAY_CLEARANCE = 1.0
"""Least distance in mm from the rays of a sector to a hole's edge."""
_ALIKE = 1e-3
"""How far in mm a hole may be from where the same hole of another part stands for the parts to be alike."""


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


class AlikePart(Struct, frozen=True):
    """One part of a ring whose parts are all alike.

    Attributes:
        flange: The part alone, where it stands in the ring; its holes keep their numbers.
        shares: The holes of every part, its own first, counter-clockwise, and so those of each circle on it.
    """

    flange: Flange
    shares: tuple[tuple[Hole, ...], ...]


def alike_part(flange: Flange) -> AlikePart | None:
    """The part that stands for all parts of a split ring; ``None`` where they differ or a hole lies across a joint.

    Single holes are counted through the job, so of alike parts it is the one that has the first of them.
    """
    outline = flange.outline
    if not isinstance(outline, SplitOutline) or flange.patterns or flange.cutouts():
        return None
    shares, pitch = _shares(flange, outline), 360.0 / outline.part_count
    first = next((index for index, share in enumerate(shares) if _has_first_singles(share)), None)
    if first is None:
        return None
    shares = (*shares[first:], *shares[:first])
    if not all(_are_alike(shares[0], share, turn * pitch) for turn, share in enumerate(shares)):
        return None
    if any(flange.edge_distance(hole.spine) < hole.diameter / 2 for hole in shares[0]):
        return None
    return AlikePart(_alone(flange, outline, outline.first_joint_angle + first * pitch), shares)


def _has_first_singles(share: Sequence[Hole]) -> bool:
    """Whether the single holes among some are the first of the plate, or there are none."""
    numbers = sorted(hole.number for hole in share if hole.group < 0)
    return numbers == [*range(1, len(numbers) + 1)]


def _alone(flange: Flange, outline: SplitOutline, first_joint: float) -> Flange:
    """The part of a ring from a joint on, with what of the holes is its own."""
    outside, inside, count = outline.outside_diameter, outline.inside_diameter, outline.part_count
    part = SegmentOutline(outside, inside, count, first_joint, outline.gap, outline.joint)
    beyond = [(circle, places_beyond(circle, part)) for circle in flange.bolt_circles]
    circles = tuple(replace(each, skipped=(*each.skipped, *off), elsewhere=off) for each, off in beyond)
    singles = flange.single_holes[: len(flange.single_holes) // count]
    return replace(flange, outline=part, bolt_circles=circles, single_holes=singles)


def places_beyond(circle: BoltCircle, outline: SegmentOutline) -> tuple[int, ...]:
    """The drilled places of a circle that do not lie between the two joints of a segment."""
    sweep = 360.0 / outline.part_count
    places = zip(circle.hole_numbers(), circle.hole_angles(), strict=True)
    return tuple(number for number, angle in places if (angle - outline.first_joint_angle) % 360.0 >= sweep)


def _shares(flange: Flange, outline: SplitOutline) -> tuple[tuple[Hole, ...], ...]:
    """The holes of every part, circle by circle as they follow each other from its first joint on; single ones last."""
    pitch = 360.0 / outline.part_count
    shares: list[list[Hole]] = [[] for _ in range(outline.part_count)]

    def turn(hole: Hole) -> float:
        return (hole.angle - outline.first_joint_angle) % 360.0

    def order(hole: Hole) -> tuple[bool, int, float, float]:
        return hole.group < 0, hole.group, round(turn(hole) % pitch, 4), ORIGIN.distance_to(hole.center)

    for hole in flange.holes():
        shares[min(int(turn(hole) / pitch), outline.part_count - 1)].append(hole)
    return tuple(tuple(sorted(share, key=order)) for share in shares)


def _are_alike(share: Sequence[Hole], other: Sequence[Hole], turned_by: float) -> bool:
    """Whether the holes of a part, turned, are those of another."""
    return len(share) == len(other) and all(_is_same(*pair, turned_by) for pair in zip(share, other, strict=True))


def _is_same(one: Hole, other: Hole, turned_by: float) -> bool:
    made, its = ((hole.group, hole.diameter, hole.kind, hole.worked_from) for hole in (one, other))
    ends = _spine_ends(other)
    turned_ends = (turned_point(end, turned_by) for end in _spine_ends(one))
    return made == its and all(any(end.distance_to(there) <= _ALIKE for there in ends) for end in turned_ends)


def sector_problem(flange: Flange) -> Problem | None:
    """Why a plate has no sector to step round, or ``None``."""
    ring = _not_a_ring(flange)
    if ring:
        return ring
    if flange.single_holes:
        return Problem("", FlangeProblem.SINGLE_HOLES_DO_NOT_REPEAT)
    if any(not circle.equally_spaced or circle.skipped for circle in flange.bolt_circles):
        return Problem("", FlangeProblem.UNEVEN_HOLES_DO_NOT_REPEAT)
    if any(_keeps_its_direction(circle.kind) for circle in flange.bolt_circles):
        return Problem("", FlangeProblem.SLOTS_DO_NOT_REPEAT)
    if repeats(flange) < 2:
        counts = tuple(circle.hole_count for circle in flange.bolt_circles)
        return Problem("", FlangeProblem.COUNTS_DO_NOT_REPEAT, counts=counts)
    pitch = 360.0 / repeats(flange)
    passes = ray_clearance(flange, start_ray(flange, pitch), pitch) >= LEAST_RAY_CLEARANCE
    return None if passes else Problem("", FlangeProblem.NO_RAY_BETWEEN_HOLES)


def strip_problem(flange: Flange) -> Problem | None:
    """Why a plate cannot be printed as strips along its bolt circles, or ``None``."""
    if flange.bore is None:
        return Problem("", FlangeProblem.STRIPS_WITHOUT_BORE)
    if any(_keeps_its_direction(hole.kind) for hole in flange.shown_holes()):
        return Problem("", FlangeProblem.SLOTS_NOT_ON_STRIPS)
    return _not_a_ring(flange)


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


def free_rays(flange: Flange, clear: float, least: float, at_face: bool = True) -> list[tuple[float, float]]:
    """From where to where, in degrees, a ray from the middle stays so far off every hole that is shown; rising.

    A stretch that begins below 0 is that at the end of the turn, too. Empty where the holes leave none.

    Args:
        flange: With a bore.
        clear: Distance in mm from the edges of holes; a negative one allows so much of a hole to be cut off.
        least: Distance in mm that is kept from the middle line of a hole, whatever its size.
        at_face: Whether the edge is that of a recess, a seat or a thread, where there is one, not that of the drill.
    """
    taken = sorted(_taken(hole, clear, least, at_face) for hole in flange.shown_holes())
    end, free = max((high for _, high in taken), default=0.0) - 360.0, []
    for low, high in taken:
        if low > end:
            free.append((end, low))
        end = max(end, high)
    return free


def _taken(hole: Hole, clear: float, least: float, at_face: bool) -> tuple[float, float]:
    """The directions from the middle in which a hole stands, with what is kept off it; the first in a turn from 0."""
    offs: list[float] = []
    reach = max((hole.face_diameter if at_face else hole.diameter) / 2 + clear, least)
    for end in _spine_ends(hole):
        half = math.degrees(math.asin(min(reach / ORIGIN.distance_to(end), 1.0)))
        off = (ORIGIN.direction_to(end) - hole.angle + 180.0) % 360.0 - 180.0
        offs += (off - half, off + half)
    low = (hole.angle + min(offs)) % 360.0
    return low, low + max(offs) - min(offs)


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


def _keeps_its_direction(kind: HoleKind) -> bool:
    """Whether holes are slots that run the same way wherever they stand."""
    return isinstance(kind, Slot) and kind.along in (SlotDirection.X, SlotDirection.Y)


def _off(angle: float, within: float) -> float:
    """How far two directions are apart, both repeated every ``within`` degrees."""
    turned = angle % within
    return min(turned, within - turned)
