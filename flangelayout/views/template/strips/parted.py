"""Where a ring is parted into strips: rays clear of its holes where there are any, and diamonds on free metal."""

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence

from msgspec import Struct

from flangelayout.flange import Flange, Hole
from flangelayout.flange.sector import free_rays
from flangelayout.geometry.measure import spine_distance
from flangelayout.geometry.shapes import ORIGIN, Line, Point, polar
from flangelayout.views.template.edges.join_marks import HALF_MARK
from flangelayout.views.template.hole_labels import cross_past
from flangelayout.views.template.tiling import SEAM_CLEARANCE

Stretches = Sequence[tuple[float, float]]
"""From where to where a ring may be parted, in degrees, in rising order."""
_SAME = 1e-9
_TOP = 90.0
_WIDER = (12.0, 8.0, 6.0, 4.5)
"""Distances in mm from the edges of holes that are kept where they take no strip more."""
_STEPS = (0.0, 4.0, -4.0, 8.0, -8.0, 12.0, -12.0, 16.0, -16.0)
"""How far in mm along its ray a diamond is moved from the bolt circle where a hole is in its way."""
_APART, _OFF = 11.0, 0.4
"""Least distances in mm of two diamonds of a seam, and of a diamond from a hole or its cross."""
_ROOM = HALF_MARK + _OFF


class Parting(Struct, frozen=True):
    """How far seams keep off holes.

    Attributes:
        clear: From their edges, in mm; a negative one allows so much of a hole to be cut off.
        at_face: Whether from the edge of a recess, a seat or a thread, too, not only from that of the drill.
    """

    clear: float
    at_face: bool = True

    def stretches(self, flange: Flange) -> Stretches:
        """Where it lets a ring be parted; centers always stay whole."""
        return free_rays(flange, self.clear, SEAM_CLEARANCE, self.at_face)

    @property
    def cuts_holes(self) -> bool:
        """Whether seams may run through holes."""
        return self.clear < 0.0


PARTINGS = (
    tuple(Parting(clear) for clear in (3.5, 2.0, 1.0)),
    (Parting(1.0, at_face=False),),
    tuple(Parting(-clear, at_face=False) for clear in (1.0, 2.0, 4.0, 7.0, 12.0, 1000.0)),
)
"""Those that are tried, the best first: clear of holes; clear of what is drilled; through as little of it as can be."""


class StripSeam(Struct, frozen=True):
    """Where two strips meet.

    Attributes:
        ray: Its direction on the plate.
        diamonds: The names of its join marks, each with the distance from the middle of the plate in mm.
        cut: Holes that it runs through.
    """

    ray: float
    diamonds: tuple[tuple[str, float], ...]
    cut: tuple[Hole, ...]


def parted(free: Stretches, widest: float) -> tuple[float, ...]:
    """Rays that part a ring into as few pieces as can be, none wider than that, each near its even share.

    The first is that nearest to the top which allows so few; empty where the stretches do not let it be parted.
    """
    ring, best, fewest = _Ring(free), None, math.inf
    for first in ring.first_rays(widest):
        count = ring.count(first, widest)
        if count and count < fewest:
            best, fewest = first, count
        if fewest <= math.ceil(360.0 / widest - _SAME):
            break
    return () if best is None else ring.evened(best, int(fewest), widest)


def wider_parted(flange: Flange, parting: Parting, rays: tuple[float, ...], widest: float) -> tuple[float, ...]:
    """As many rays as these, farther off the holes where there is room for that: rather midway between two."""
    if parting != PARTINGS[0][0]:
        return rays
    free = parting.stretches(flange)
    midway = [((low + high) / 2, (low + high) / 2) for low, high in free]
    ways = (midway, *(Parting(clear).stretches(flange) for clear in _WIDER))
    found = (parted(way, widest) for way in ways if way)
    return next((better for better in found if 0 < len(better) <= len(rays)), rays)


class _Ring:
    """What of a ring lets it be parted."""

    def __init__(self, free: Stretches) -> None:
        """Where it may be parted."""
        self._free = free
        self._lows, self._highs = [low for low, _ in free], [high for _, high in free]

    def first_rays(self, widest: float) -> list[float]:
        """Rays to begin with, the nearest to the top first: every way to part the ring has one so far from it."""
        low, high = _TOP - widest, _TOP + widest
        ends = [ray + turn for stretch in self._free for ray in stretch for turn in (0.0, 360.0)]
        near = {self._nearest(_TOP), *(ray for ray in ends if low <= ray <= high)} if self._free else set()
        return sorted(near, key=lambda ray: (round(abs(ray - _TOP), 6), ray))

    def _nearest(self, wanted: float) -> float:
        return min(self._last(wanted), self._first(wanted), key=lambda ray: abs(ray - wanted))

    def _last(self, most: float) -> float:
        """The last place up to one."""
        turns, along = divmod(most + _SAME - self._lows[0], 360.0)
        at = self._lows[0] + along
        return turns * 360.0 + min(self._highs[bisect_right(self._lows, at) - 1], at)

    def _first(self, least: float) -> float:
        """The first place from one on."""
        turns, along = divmod(least - _SAME - self._lows[0], 360.0)
        at = self._lows[0] + along
        index = bisect_left(self._highs, at)
        if index == len(self._free):
            return (turns + 1) * 360.0 + self._lows[0]
        return turns * 360.0 + max(self._lows[index], at)

    def count(self, first: float, widest: float) -> int:
        """The least pieces from a ray on round to itself; 0 where holes are in the way."""
        at, pieces = first, 0
        while at < first + 360.0 - _SAME:
            reached = self._last(at + widest)
            if reached <= at + _SAME:
                return 0
            at, pieces = reached, pieces + 1
        return pieces

    def evened(self, first: float, count: int, widest: float) -> tuple[float, ...]:
        """So many rays from one on, which can be, each as near to its even share as they let each other."""
        least = [first + 360.0]
        for _ in range(count - 1):
            least.append(self._first(least[-1] - widest))
        rays = [first]
        for rank, low in enumerate(least[:0:-1], 1):
            ideal, high = first + 360.0 * rank / count, rays[-1] + widest
            wanted = min(max(ideal, low), high)
            places = [at for at in (self._last(wanted), self._first(wanted)) if low - _SAME <= at <= high + _SAME]
            rays.append(min(places, key=lambda at: abs(at - ideal), default=low))
        return tuple(rays)


def strip_seams(flange: Flange, rays: Sequence[float], band: tuple[float, float]) -> tuple[StripSeam, ...]:
    """The seams along some rays with a diamond near every bolt circle, of several close by near one, numbered through.

    Args:
        flange: The ring.
        rays: Where it is parted.
        band: What the strips show, from the middle of the plate in mm.
    """
    radii = list[float]()
    for radius in sorted({circle.diameter / 2 for _, circle in flange.shown_circles()}):
        radii += [radius] if not radii or radius - radii[-1] >= _APART else []
    seams: list[StripSeam] = []
    number = 0
    for ray in rays:
        near = list(_near(flange, ray))
        places = _diamond_places(flange, [hole for hole, _ in near], ray, radii, band)
        diamonds = tuple((f"J{number + rank}", radius) for rank, radius in enumerate(places, 1))
        number += len(diamonds)
        cut = tuple(hole for hole, off in near if off < -_SAME)
        seams.append(StripSeam(ray, diamonds, cut))
    return tuple(seams)


def _near(flange: Flange, ray: float) -> Iterator[tuple[Hole, float]]:
    """The holes that a diamond on a ray may meet, each with how far its drilled edge is off the ray in mm."""
    line = Line(ORIGIN, polar(flange.box().width, ray))
    for hole in flange.shown_holes():
        off = math.radians((hole.angle - ray + 180.0) % 360.0 - 180.0)
        aside = ORIGIN.distance_to(hole.center) * abs(math.sin(off)) if abs(off) < math.pi / 2 else math.inf
        if aside < hole.reach + HALF_MARK + cross_past(flange, hole) + _OFF:
            yield hole, spine_distance(line, hole.spine) - hole.diameter / 2


def _diamond_places(
    flange: Flange, near: Sequence[Hole], ray: float, radii: Sequence[float], band: tuple[float, float]
) -> Iterator[float]:
    """Where a seam has a diamond for every bolt circle: on it, or near it; none where there is no free metal."""
    inner, outer = band[0] + HALF_MARK + _OFF, band[1] - HALF_MARK - _OFF
    taken: list[float] = []
    for rank, radius in enumerate(radii):
        others = (*taken, *radii[rank + 1 :])
        steps = (radius + step for step in _STEPS)
        places = [at for at in steps if inner <= at <= outer and all(abs(at - other) >= _APART for other in others)]
        places = places or [radius]
        found = (
            at for off_cross in (True, False) for at in places if _is_free(flange, near, polar(at, ray), off_cross)
        )
        at = next(found, None)
        if at is not None:
            taken.append(at)
            yield at


def _is_free(flange: Flange, near: Sequence[Hole], at: Point, off_cross: bool) -> bool:
    """Whether a diamond stands on free metal, off the crosses of holes, too, if asked for."""
    return all(
        spine_distance(at, hole.spine) - hole.face_diameter / 2 >= _ROOM + off_cross * cross_past(flange, hole)
        for hole in near
    )
