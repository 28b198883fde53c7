"""What holes take out of a section: right through the plate, from its face to a depth, or step by step.

A spotface, which has no depth but what cleans the face up, is a step that is seen in print.
"""

import math
from collections.abc import Iterator
from itertools import pairwise

from msgspec import Struct

from flangelayout.flange import Counterbored, Flange, Hole, Jack, Slot, SlotDirection, Spotfaced, Tapped
from flangelayout.flange.hole import Step
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.shapes import ORIGIN, Point
from flangelayout.value import replace

_NOTHING = 1e-9
_SAME = 1e-6


class Notch(Struct, frozen=True):
    """Metal that is missing from the worked face down, between two heights on the plate; what lies deeper stays so.

    Attributes:
        low: Where it begins.
        high: Where it ends.
        at_low: How deep it is there, in mm below the outermost plane of the face.
        at_high: How deep it is at the other end.
    """

    low: float
    high: float
    at_low: float
    at_high: float

    def depth(self, y: float) -> float:
        """How deep it is at a height within it."""
        return self.at_low + (self.at_high - self.at_low) * (y - self.low) / (self.high - self.low)


class HoleInSection(Struct, frozen=True):
    """A hole cut along its axis, or beside it.

    Attributes:
        middle: Height of its axis on the plate.
        ends: Half its width and the depth below the face, from the bottom of the hole to the face.
        is_through: Whether the first of these is the far side of the plate, be it reached by a drill's point alone.
        thread: Half the nominal diameter and the depth of its thread; ``None`` where it has none.
        worked_from: The face that depths are counted from.
        label: The hole's name.
        is_turned_in: Whether it stands beside the plane and was turned into it about the middle of the plate.
    """

    middle: float
    ends: tuple[tuple[float, float], ...]
    is_through: bool
    thread: tuple[float, float] | None = None
    worked_from: PlateFace = PlateFace.FACE
    label: str = ""
    is_turned_in: bool = False

    @property
    def gap(self) -> tuple[float, float] | None:
        """Where no metal is at any depth."""
        half = self.ends[0][0]
        return (self.middle - half, self.middle + half) if self.is_through else None

    @property
    def mouth(self) -> tuple[float, float]:
        """Where it opens at the face."""
        half = self.ends[-1][0]
        return self.middle - half, self.middle + half

    @property
    def rims(self) -> Iterator[tuple[float, float]]:
        """Half width and depth of every edge inside the plate that is seen beyond the cut."""
        inside = (narrow for narrow, wide in pairwise(self.ends) if wide[0] - narrow[0] > _NOTHING)
        whole = (each for each in (*inside, *self._bottom()) if each[0] > _NOTHING)
        return iter(dict.fromkeys(whole))

    def _bottom(self) -> Iterator[tuple[float, float]]:
        """The edge above the point of a blind hole's drill."""
        if not self.is_through:
            yield self.ends[1]

    def notches(self, surface: float) -> Iterator[Notch]:
        """What is missing beside its gap, below the axis and above it, from a surface so deep below the face."""
        for (half, below), (wider, above) in pairwise(self.ends):
            depth, less = surface + below, surface + above
            if wider - half > _NOTHING:
                yield Notch(self.middle - wider, self.middle - half, less, depth)
                yield Notch(self.middle + half, self.middle + wider, depth, less)


def turned_in(flange: Flange, hole: Hole, middle: float, seat: float) -> HoleInSection:
    """A hole of a bolt circle at the height ``middle``, where it stands or is turned to; ``seat`` as a cut has it."""
    kind = hole.kind
    if isinstance(kind, Slot) and kind.along is SlotDirection.RADIUS:
        hole = replace(hole, diameter=kind.length)
    found = _cut(flange, hole, middle, seat, 0.0)
    return replace(found, is_turned_in=hole.center.distance_to(Point(0.0, middle)) > _SAME)


def cut_hole(flange: Flange, hole: Hole, x: float, seat: float) -> HoleInSection | None:
    """A round hole as an upright plane at ``x`` cuts it; ``None`` where it does not meet it.

    Args:
        flange: Whose hole it is; its thickness is known.
        hole: Which.
        x: Of the plane.
        seat: How deep a spotface is drawn, in mm.
    """
    aside = abs(hole.center.x - x)
    if aside >= hole.face_diameter / 2 - _NOTHING:
        return None
    return _cut(flange, hole, hole.center.y, seat, aside)


def _cut(flange: Flange, hole: Hole, middle: float, seat: float, aside: float) -> HoleInSection:
    there = (flange.thickness or 0.0) - flange.profile.taken(ORIGIN.distance_to(hole.center))
    steps = _seated(hole, seat).profile(there)
    ends = tuple(_half(each, aside) for step in reversed(steps) for each in _ends(step))
    through = ends[0][0] > _NOTHING and ends[0][1] >= there - _NOTHING
    return HoleInSection(middle, ends, through, _thread(hole, there, aside), hole.worked_from, hole.label)


def _seated(hole: Hole, seat: float) -> Hole:
    """A hole whose spotface, if it has one, is so deep."""
    kind = hole.kind
    return replace(hole, kind=Counterbored(kind.seat_diameter, seat)) if isinstance(kind, Spotfaced) else hole


def _ends(step: Step) -> tuple[tuple[float, float], tuple[float, float]]:
    """Radius and depth of both ends of a step, the deeper one first."""
    return (step.narrow / 2, step.end), (step.wide / 2, step.start)


def _half(end: tuple[float, float], aside: float) -> tuple[float, float]:
    """Half the width that a plane ``aside`` of the axis sees of a radius."""
    radius, depth = end
    return math.sqrt(max(radius**2 - aside**2, 0.0)), depth


def _thread(hole: Hole, thickness: float, aside: float) -> tuple[float, float] | None:
    if not isinstance(hole.kind, Tapped | Jack):
        return None
    depth = hole.kind.depth if isinstance(hole.kind, Tapped) and hole.kind.depth is not None else thickness
    return _half((hole.kind.major_diameter / 2, min(depth, thickness)), aside)
