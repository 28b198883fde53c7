"""Numbers and sizes at the holes of a template, and TOP at its own upper edge: on the metal, clear of every line."""

import math
from collections.abc import Iterator, Sequence

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label, Solid
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import text_width
from flangelayout.flange import BoltCircle, Flange, Hole, Jack, Tapped
from flangelayout.geometry.measure import Edge, distance_to_edge
from flangelayout.geometry.near_pairs import BoxIndex
from flangelayout.geometry.shapes import ORIGIN, Box, Circle, Point, polar
from flangelayout.units import Unit, size_text
from flangelayout.views.words.lengths import DIAMETER_SIGN

CROSS_PAST_HOLE = 4.0
"""How far in mm the strokes of a cross stand out beyond its hole."""
_HEIGHTS = ((5.0, 2.5), (3.5, 2.5), (2.5, 2.5))
"""Of number and size in mm, tried in turn."""
_BETWEEN, _CLEAR = 1.2, 0.8
_DIRECTIONS = (180.0, 135.0, -135.0, 0.0, 45.0, -45.0)
"""Where a label stands from its hole, from the ray outward on: inward first."""
_FARTHER = (0.0, 3.0, 6.0)
_SPREAD = math.sqrt(2.0)
"""How much farther out than its sides the box round a hole has its corners."""
_MOST_LABELED = 600
_TOP_HEIGHT, _TOP_STEP = 5.0, 4.0


class HoleLabels:
    """Places for labels on a plate; each that is given is taken for those that follow."""

    def __init__(self, flange: Flange, unit: Unit) -> None:
        """Nothing stands there yet but the lines of the plate."""
        self.flange, self.unit = flange, unit
        self._holes = flange.shown_holes()
        self._reach = BoxIndex()
        for hole in self._holes:
            self._reach.add(_around(hole.center, _reach_of(hole)))
        self._taken = BoxIndex()
        circles = (group for group in flange.groups() if isinstance(group, BoltCircle))
        self._radii = [circle.diameter / 2 for circle in circles]

    def of(self, hole: Hole) -> tuple[Label, ...]:
        """Number and size of a hole; nothing where there is no room, or among holes that are too many."""
        group = self.flange.groups()[hole.group] if hole.group >= 0 else None
        if (group and group.tubes) or len(self._holes) > _MOST_LABELED:
            return ()
        size = _size_words(hole, self.unit)
        for number_height, size_height in _HEIGHTS:
            width = max(text_width(hole.label, number_height), text_width(size, size_height))
            height = number_height + _BETWEEN + size_height
            for center in _places(hole, width, height):
                box = Box(center.x - width / 2, center.y - height / 2, center.x + width / 2, center.y + height / 2)
                if self._is_free(box):
                    self._taken.add(box)
                    number = Label(
                        Point(center.x, box.top - number_height), hole.label, number_height, 0.0, Anchor.CENTER
                    )
                    return number, Label(Point(center.x, box.bottom), size, size_height, 0.0, Anchor.CENTER)
        return ()

    def top(self) -> Iterator[Item]:
        """TOP with an arrow upward, as near to the upper edge as there is room on the metal; else nothing."""
        box, width = self.flange.box(), text_width("TOP", _TOP_HEIGHT)
        for down in range(10):
            for aside in (0, 1, -1, 2, -2, 3, -3):
                x = box.center.x + aside * box.width / 12 + (width if aside == 0 else 0.0)
                top = box.top - _TOP_STEP * (down + 0.75)
                room = Box(x - width / 2 - 5.0, top - _TOP_HEIGHT, x + width / 2, top)
                if self._is_free(room):
                    self._taken.add(room)
                    tip = Point(room.left + 2.0, room.top)
                    arrow = Solid((tip, Point(tip.x - 2.0, room.bottom), Point(tip.x + 2.0, room.bottom)))
                    word = Label(Point(room.left + 5.0, room.bottom), "TOP", _TOP_HEIGHT)
                    yield Item(Layer.TEXT, arrow, Furniture("top"))
                    yield Item(Layer.TEXT, word, Furniture("top"))
                    return

    def _is_free(self, box: Box) -> bool:
        grown = box.grown(_CLEAR)
        if grown.left < 0.0 < grown.right or grown.bottom < 0.0 < grown.top:
            return False
        if any(True for _ in self._reach.touching(grown)) or any(True for _ in self._taken.touching(grown)):
            return False
        near, far = _distances(box)
        if any(near - _CLEAR < radius < far + _CLEAR for radius in self._radii):
            return False
        corners = box.corners
        on_metal = any(_holds(piece, corners) for piece in self.flange.pieces())
        return on_metal and all(_is_off(opening.shape, box) for opening in self.flange.cutouts())


def _places(hole: Hole, width: float, height: float) -> Iterator[Point]:
    """Middles of a label at the side of its hole, the nearest first."""
    for farther in _FARTHER:
        for turn in _DIRECTIONS:
            direction = hole.angle + turn
            across, up = abs(math.cos(math.radians(direction))), abs(math.sin(math.radians(direction)))
            half = min(width / 2 / across if across > 1e-9 else math.inf, height / 2 / up if up > 1e-9 else math.inf)
            yield polar(_reach_of(hole) * _SPREAD + _CLEAR + half + farther, direction, hole.center)


def _size_words(hole: Hole, unit: Unit) -> str:
    """What a hole is in a few signs: ``⌀22``, or a thread with its drill."""
    drilled = f"{DIAMETER_SIGN}{size_text(hole.diameter, unit)}"
    return f"{hole.kind.thread}, {drilled}" if isinstance(hole.kind, Tapped | Jack) else drilled


def _reach_of(hole: Hole) -> float:
    return hole.reach + min(CROSS_PAST_HOLE, hole.diameter / 2)


def _around(center: Point, reach: float) -> Box:
    return Box(center.x - reach, center.y - reach, center.x + reach, center.y + reach)


def _distances(box: Box) -> tuple[float, float]:
    """Of the nearest and the farthest place of a box from the middle of the plate."""
    near = Point(min(max(0.0, box.left), box.right), min(max(0.0, box.bottom), box.top))
    return ORIGIN.distance_to(near), max(ORIGIN.distance_to(corner) for corner in box.corners)


def _holds(piece: Edge, corners: Sequence[Point]) -> bool:
    if isinstance(piece, Circle):
        return all(corner.distance_to(piece.center) <= piece.radius - _CLEAR for corner in corners)
    return all(distance_to_edge(piece, corner) >= _CLEAR for corner in corners)


def _is_off(opening: Edge, box: Box) -> bool:
    if isinstance(opening, Circle):
        center = opening.center
        near = Point(min(max(center.x, box.left), box.right), min(max(center.y, box.bottom), box.top))
        return near.distance_to(center) >= opening.radius + _CLEAR
    return all(distance_to_edge(opening, corner) <= -_CLEAR for corner in (*box.corners, box.center))
