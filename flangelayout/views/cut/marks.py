"""Where the part number and TOP can be scribed on a plate: on the metal, clear of every edge."""

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import partial

from flangelayout.drawing.explode import items_box
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item
from flangelayout.drawing.references import MarkRef
from flangelayout.drawing.strokes import stroke_text, stroke_width
from flangelayout.errors import InputError
from flangelayout.facts import Length
from flangelayout.flange import Flange
from flangelayout.flange.cutting import CutOptions, Mark
from flangelayout.geometry.measure import Edge, distance_to_edge
from flangelayout.geometry.shapes import Box, Circle, Point, extent, polar
from flangelayout.problems.output import OutputProblem
from flangelayout.units import Unit

_SMALLER = (1.0, 0.8, 0.6, 0.45, 0.35)
"""Shares of the height asked for that are tried in turn."""

_STEPS = 60
"""How many directions round the plate are tried, and half as many radii."""


def top_marks(flange: Flange, options: CutOptions, unit: Unit) -> tuple[Item, ...]:
    """The word TOP as near to the top of the plate as the metal allows.

    Raises:
        InputError: If it finds no room in the upper part of the plate.
    """
    return _placed("TOP", Mark.TOP, flange, flange.pieces(), options.mark_height, unit, ())


def number_marks(
    flange: Flange, info: JobInfo, options: CutOptions, unit: Unit, taken: Sequence[Item]
) -> tuple[Item, ...]:
    """The part number and its revision on every part, as near to the bottom of the plate as the metal allows.

    Raises:
        InputError: If it finds no room.
    """
    boxes = (items_box(taken),) if taken else ()
    text, height = f"{info.number} {info.revision}", options.mark_height
    placed = (_placed(text, Mark.NUMBER, flange, (part,), height, unit, boxes) for part in flange.pieces())
    return tuple(item for items in placed for item in items)


def _placed(
    text: str, mark: Mark, flange: Flange, parts: Sequence[Edge], height: float, unit: Unit, taken: Iterable[Box]
) -> tuple[Item, ...]:
    """The strokes of a text on one of the parts."""
    holes = [hole.shape for hole in flange.holes()] + [opening.shape for opening in flange.cutouts()]
    boxed = [(extent(shape), shape) for shape in holes]
    for share in _SMALLER:
        letters = height * share
        size = Point(stroke_width(text, letters), letters)
        for center in _places(flange, upward=mark is Mark.TOP):
            box = Box(center.x - size.x / 2, center.y - size.y / 2, center.x + size.x / 2, center.y + size.y / 2)
            apart = not any(box.grown(letters / 2).overlaps(other) for other in taken)
            if apart and _is_metal(box, letters / 3, parts, boxed):
                strokes = stroke_text(text, letters, Point(box.left, box.bottom))
                return tuple(Item(Layer.CUT_MARKS, stroke, MarkRef(text)) for stroke in strokes)
    least = Length(height * _SMALLER[-1], unit)
    roomless = OutputProblem.TOP_MARK_WITHOUT_ROOM if mark is Mark.TOP else OutputProblem.MARK_WITHOUT_ROOM
    raise InputError.of(roomless, "cut.marks", text=text, least=least, mark=mark)


def _places(flange: Flange, upward: bool) -> Iterator[Point]:
    """Middles to try, those nearest to straight up or down first and of each direction the middle radii first."""
    box = flange.box()
    reach = math.hypot(box.width, box.height) / 2
    inner = (flange.bore or 0.0) / 2
    radii = [inner + (reach - inner) * (step + 0.5) * 2 / _STEPS for step in range(_STEPS // 2)]
    radii.sort(key=partial(_from_middle, (inner + min(box.width, box.height) / 2) / 2))
    first = 90.0 if upward else 270.0
    most = _STEPS // 3 if upward else _STEPS
    for step in range(most + 1):
        turn = (step + 1) // 2 * (360.0 / _STEPS) * (1 if step % 2 else -1)
        yield from (polar(radius, first + turn, box.center) for radius in radii)


def _from_middle(middle: float, radius: float) -> float:
    return abs(radius - middle)


def _is_metal(box: Box, clear: float, parts: Sequence[Edge], boxed: Sequence[tuple[Box, Edge]]) -> bool:
    """Whether a box lies on one of the parts, ``clear`` mm from every edge."""
    grown = box.grown(clear)
    near = [shape for around, shape in boxed if around.overlaps(grown)]
    return all(_is_clear_of(box, clear, shape) for shape in near) and any(
        _is_within(box, clear, part) for part in parts
    )


def _is_clear_of(box: Box, clear: float, opening: Edge) -> bool:
    if isinstance(opening, Circle):
        center = opening.center
        near = Point(min(max(center.x, box.left), box.right), min(max(center.y, box.bottom), box.top))
        return near.distance_to(center) >= opening.radius + clear
    return all(distance_to_edge(opening, place) <= -clear for place in _places_in(box, clear))


def _is_within(box: Box, clear: float, piece: Edge) -> bool:
    if isinstance(piece, Circle):
        return all(corner.distance_to(piece.center) <= piece.radius - clear for corner in _corners(box))
    return all(distance_to_edge(piece, place) >= clear for place in _places_in(box, clear))


def _corners(box: Box) -> tuple[Point, ...]:
    return tuple(Point(x, y) for x in (box.left, box.right) for y in (box.bottom, box.top))


def _places_in(box: Box, apart: float) -> Iterator[Point]:
    """The corners, then places all over a box no more than ``apart`` apart: nothing that reaches in stays unseen."""
    yield from _corners(box)
    columns, rows = (max(math.ceil(size / apart), 1) for size in (box.width, box.height))
    for x in range(columns + 1):
        yield from (
            Point(box.left + box.width * x / columns, box.bottom + box.height * y / rows) for y in range(rows + 1)
        )
