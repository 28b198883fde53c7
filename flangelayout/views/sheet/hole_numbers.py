"""Where the hole numbers of a face view stand: beside their holes, clear of every line and of each other."""

import math
from collections.abc import Iterator, Sequence
from typing import assert_never

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label
from flangelayout.drawing.references import HoleRef
from flangelayout.drawing.textwidth import text_width
from flangelayout.flange import BoltCircle, Flange, Group, Hole, HoleGrid, HoleRectangle, HoleRings, Slot
from flangelayout.geometry.shapes import polar
from flangelayout.views.page.text_clearance import Ink
from flangelayout.views.sheet.face import MARK_REACH

HEIGHT = 2.0
_LEAST_PITCH = 5.5
"""Numbers closer than this many printed mm are thinned out."""
_TURNS = (180.0, 0.0, 150.0, -150.0, 125.0, -125.0, 30.0, -30.0, 55.0, -55.0, 90.0, -90.0)
"""Directions to try, seen from the hole: toward the center first, then away from it, then between."""
_NEAR = (0.0, 1.2, 2.4)
_FAR = (0.0, 1.2, 3.0, 5.0, 8.0, 12.0)
"""Printed mm farther out to try: only the first hole of a group may have its number some way off."""


def hole_numbers(flange: Flange, holes: Sequence[Hole], ink: Ink) -> Iterator[Item]:
    """Labels for the first and then every so many holes of each group, those that find a clear place.

    Args:
        flange: What is shown.
        holes: Its holes.
        ink: What stands there already; the numbers are added to it.
    """
    for hole in _chosen(flange, holes, ink.scale):
        first = hole.number == 1 or hole.group < 0
        item = next((item for item in _labels(hole, ink.scale, _FAR if first else _NEAR) if ink.takes((item,))), None)
        if item:
            ink.add((item,))
            yield item


def _labels(hole: Hole, scale: float, steps: Sequence[float]) -> Iterator[Item]:
    for out in steps:
        for turn in _TURNS:
            yield Item(Layer.TEXT, _label(hole, turn, scale, out), HoleRef(hole.label))


def _chosen(flange: Flange, holes: Sequence[Hole], scale: float) -> Iterator[Hole]:
    every = [_step(group, scale) for group in flange.groups()]
    for hole in holes:
        if hole.group < 0 or hole.number == 1 or hole.number % every[hole.group] == 0:
            yield hole


def _step(group: Group, scale: float) -> int:
    """Every how many holes of a group one is numbered; where rows stand too close, as many as it has at the most."""
    least = _LEAST_PITCH / (_pitch(group) * scale)
    if isinstance(group, HoleGrid | HoleRings) and least > 1:
        return len(group.hole_centers())
    return _round_step(least)


def _pitch(group: Group) -> float:
    """About how far apart the holes of a group are in mm."""
    match group:
        case BoltCircle():
            return math.pi * group.diameter / group.hole_count
        case HoleRectangle():
            return min(group.width / (group.columns - 1), group.height / (group.rows - 1))
        case HoleGrid():
            return min(group.pitch_x, group.pitch_y)
        case HoleRings():
            return group.ring_pitch
        case _:
            assert_never(group)


def _hole_reach(hole: Hole) -> float:
    """Radius in mm of what the face shows of a hole."""
    return hole.kind.length / 2 if isinstance(hole.kind, Slot) else hole.face_diameter / 2


def _round_step(least: float) -> int:
    """The least of 1, 2, 5, 10, 20, 50 ... that is not below ``least``."""
    steps = [digit * tens for tens in (1, 10, 100, 1000, 10_000) for digit in (1, 2, 5)]
    return next(step for step in steps if step >= least)


def _label(hole: Hole, turn: float, scale: float, out: float) -> Label:
    """The number beside its hole, ``turn`` degrees from away from the center and ``out`` printed mm farther out."""
    direction = hole.angle + turn
    half_width = text_width(hole.label, HEIGHT) / 2 / scale
    half_height = HEIGHT / 2 / scale
    across, up = abs(math.cos(math.radians(direction))), abs(math.sin(math.radians(direction)))
    reach = max(_hole_reach(hole), MARK_REACH / scale) + (1.2 + out) / scale + half_width * across + half_height * up
    return Label(polar(reach, direction, hole.center), hole.label, HEIGHT, 0.0, Anchor.MIDDLE)
