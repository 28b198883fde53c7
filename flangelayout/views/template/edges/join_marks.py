"""Join marks, by which tiles are laid on each other, and their names."""

import math
from collections.abc import Iterator, Sequence

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import text_width
from flangelayout.geometry.shapes import Contour, Line, Point, box_about, polar
from flangelayout.views.template.edges.clear_places import LEAST_CLEAR, Choice, PageWords
from flangelayout.views.template.edges.sides import inward
from flangelayout.views.template.tiling import Tile, TileJoint

HALF_MARK = 3.0
"""Half the width of a join mark in mm; both pages show at least so much beyond the seam."""
_TEXT, _LOWEST = 2.5, 2.1
"""Height of a name in mm, and how far it reaches from its middle, tails of letters included."""
_OFF_NAME = 0.5
"""How far in mm the name of a join mark stands from the mark."""
_NAME_STEPS = (0.0, 2.0, -2.0, 3.2, -3.2, 4.4, -4.4)
"""How far in mm along its seam a name is moved from its mark."""
_NAME_GRID = tuple((0.8 + out, float(side)) for out in range(9) for side in range(-9, 10))
"""Likewise off its seam and along it, where among many lines these find no room."""
_NAME_FARTHEST, _NAME_NEARER = 8.8, 1.25
"""Middles of a mark and its name are no farther apart, in mm; that of any other mark is so many times as far."""


def join_mark(at: Point, half: float, turn: float = 0.0) -> Item:
    """A diamond with a corner ``half`` mm from its middle along ``turn`` degrees; it is no circle and no cross."""
    corners = [polar(half, turn + quarter, at) for quarter in (0.0, 90.0, 180.0, 270.0)]
    sides = tuple(Line(start, end) for start, end in zip(corners, (*corners[1:], corners[0]), strict=True))
    return Item(Layer.DIMENSION, Contour(sides, closed=True), Furniture("join mark"))


def named_mark(
    joint: TileJoint, tile: Tile, at: Point, name: str, page: PageWords, others: Sequence[Point]
) -> Iterator[Item]:
    """A diamond on the seam, which is no circle and no cross, so that nobody drills it, and its name.

    This stands on the tile's own side, or among many lines on the strip of a kept page that its neighbor will cover.
    """
    yield join_mark(at, HALF_MARK)
    within = inward(joint, tile)
    near = [other for other in others if other.distance_to(at) < 3 * _NAME_FARTHEST]
    its_own = any(True for _, places in _names(at, name, within, near) for _ in places)
    near = near if its_own else []
    reach = box_about(at, 2 * _NAME_FARTHEST)
    ways = (_names(at, name, within, near, is_crowded) for is_crowded in (False, True))
    label = next(filter(None, (page.free(choices, reach, LEAST_CLEAR) for choices in ways)), None)
    if tile is joint.under:
        beyond = _names(at, name, within.scaled(-1.0), near)
        label = label or next(filter(None, (page.on_clear_paper(*choice, reach, ()) for choice in beyond)), None)
    yield Item(Layer.TEXT, label or page.least(_names(at, name, within, near), reach), Furniture("join mark"))


def _names(at: Point, name: str, inward: Point, others: Sequence[Point], is_crowded: bool = False) -> Iterator[Choice]:
    """The name of a mark, level or upright, beside it or at a corner of it, by far the nearest to it of all marks."""
    for turn in (0.0, 90.0):
        wide, high = (text_width(name, _TEXT) / 2, _LOWEST)[:: -1 if turn else 1]
        half = (wide, high) if inward.x else (high, wide)
        yield Label(at, name, _TEXT, turn, Anchor.MIDDLE), _round_mark(at, inward, half, others, is_crowded)


def _round_mark(
    at: Point, inward: Point, half: tuple[float, float], others: Sequence[Point], is_crowded: bool
) -> Iterator[Point]:
    """Places of a name that takes ``half`` to either side of its middle, square to a seam and along it."""
    beside, past = (HALF_MARK + _OFF_NAME + each for each in half)
    steps = [(out, side) for out in (beside, beside + 1.2) for side in _NAME_STEPS]
    steps += [(half[0] + low, side * past) for low in (2.0, 0.8, 3.2) for side in (1.0, -1.0, 1.2, -1.2)]
    if is_crowded:
        steps = [(half[0] + out, side) for out, side in _NAME_GRID if half[0] + out > beside or abs(side) > past]
    for out, side in steps:
        away = math.hypot(out, side)
        place = at + inward.scaled(out) + Point(side * abs(inward.y), side * abs(inward.x))
        if away < _NAME_FARTHEST and all(place.distance_to(other) > _NAME_NEARER * away for other in others):
            yield place
