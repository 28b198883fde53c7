"""The curve of an adapter: what is left between two bolt circles as the second one is turned."""

import math
from collections.abc import Callable, Iterator
from itertools import pairwise

from flangelayout.checks.plate.clocking import Clocking
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Drawing, Item, Label
from flangelayout.drawing.references import Furniture
from flangelayout.flange import Flange
from flangelayout.geometry.shapes import Contour, Line, Point
from flangelayout.units import Unit, angle_text, decimal_text, from_mm
from flangelayout.views.reports.flow import FlowedItems, FlowFigure

_HEIGHT = 62.0
_LEFT, _BOTTOM, _TOP = 18.0, 12.0, 6.0
_TEXT = 2.5
_At = Callable[[float, float], Point]
_STEPS = (0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500)


def clocking_figure(flange: Flange, found: Clocking, unit: Unit, width: float) -> FlowFigure:
    """The curve as a figure ``width`` printed mm wide: metal full, nut seats dashed, the limit chain-dotted."""
    letters = _letter(flange, found.group_a), _letter(flange, found.group_b)
    items = tuple(_chart(found, letters, unit, width - 30.0))
    return FlowFigure(_HEIGHT + 4.0, (FlowedItems(Drawing("clocking", items), 1.0, Point(0.0, -_HEIGHT)),))


def _chart(found: Clocking, letters: tuple[str, str], unit: Unit, right: float) -> Iterator[Item]:
    metal: list[float | None] = [margins.metal for _, margins in found.curve]
    curves = [
        ("metal between holes", Layer.OUTLINE, metal),
        (f"nuts {letters[0]} over holes {letters[1]}", Layer.HIDDEN, [margins.seat_a for _, margins in found.curve]),
        (f"nuts {letters[1]} over holes {letters[0]}", Layer.HIDDEN, [margins.seat_b for _, margins in found.curve]),
    ]
    shown = [(name, layer, [v for v in values if v is not None]) for name, layer, values in curves]
    shown = [each for each in shown if each[2]]
    low = min(0.0, *(min(values) for _, _, values in shown))
    high = max(found.limit.value, *(max(values) for _, _, values in shown))
    tall, wide = _HEIGHT - _BOTTOM - _TOP, right - _LEFT

    def at(turn: float, value: float) -> Point:
        return Point(_LEFT + wide * turn / found.period, _BOTTOM + tall * (value - low) / (high - low))

    yield from _axes(found, letters[1], unit, low, high, at)
    ends = []
    for name, layer, values in shown:
        places = [at(turn, value) for (turn, _), value in zip(found.curve, values, strict=True)]
        lines = tuple(Line(a, b) for a, b in pairwise(places))
        yield Item(layer, Contour(lines, closed=False), Furniture(name))
        ends.append((places[-1].y, name))
    yield Item(
        Layer.CENTERLINE, Line(at(0, found.limit.value), at(found.period, found.limit.value)), Furniture("limit")
    )
    ends.append((at(0, found.limit.value).y, "limit"))
    for y, name in _spread(ends):
        yield Item(Layer.TEXT, Label(Point(right + 1.5, y), name, _TEXT, 0.0, Anchor.MIDDLE_LEFT), Furniture(name))
    best = found.best_turn % found.period
    top = at(best, high).y
    yield Item(Layer.DIMENSION, Line(at(best, low), Point(at(best, low).x, top)), Furniture("best turn"))
    yield _label(f"most metal: {angle_text(found.best_turn)}", Point(at(best, low).x, top + 1.5), Anchor.CENTER)


def _axes(found: Clocking, turned: str, unit: Unit, low: float, high: float, at: _At) -> Iterator[Item]:
    yield Item(Layer.TABLE, Line(at(0, low), at(0, high)), Furniture("axis"))
    yield Item(Layer.TABLE, Line(at(0, 0), at(found.period, 0)), Furniture("axis"))
    step = _step(from_mm(high - low, unit) / 6)
    size = (high - low) / from_mm(high - low, unit)
    for index in range(math.ceil(from_mm(low, unit) / step), math.floor(from_mm(high, unit) / step) + 1):
        place = at(0, index * step * size)
        yield Item(Layer.TABLE, Line(place, place - Point(1.2, 0.0)), Furniture("tick"))
        text = decimal_text(index * step * size, unit, 0 if step >= 1 else 2)
        yield _label(text, place - Point(2.0, 0.0), Anchor.MIDDLE_RIGHT)
    for index in range(5):
        turn = found.period * index / 4
        place = Point(at(turn, 0).x, at(0, low).y)
        yield Item(Layer.TABLE, Line(place, place - Point(0.0, 1.2)), Furniture("tick"))
        yield _label(angle_text(turn), place - Point(0.0, 4.0), Anchor.CENTER)
    middle = Point(at(found.period / 2, 0).x, at(0, low).y - 8.5)
    yield _label(f"turn of {turned} from where it is drawn, counter-clockwise", middle, Anchor.CENTER)
    yield Item(
        Layer.TEXT,
        Label(Point(5.0, (at(0, low).y + at(0, high).y) / 2), f"metal left, {unit.value}", _TEXT, 90.0, Anchor.CENTER),
        Furniture("axis"),
    )


def _label(text: str, at: Point, anchor: Anchor) -> Item:
    return Item(Layer.TEXT, Label(at, text, _TEXT, 0.0, anchor), Furniture("axis"))


def _step(rough: float) -> float:
    return float(next((step for step in _STEPS if step >= rough), _STEPS[-1]))


def _spread(ends: list[tuple[float, str]]) -> Iterator[tuple[float, str]]:
    """Names beside the ends of their curves, moved apart where they would touch."""
    last = -math.inf
    for y, name in sorted(ends):
        last = max(y, last + 1.7 * _TEXT)
        yield last, name


def _letter(flange: Flange, group: int) -> str:
    return flange.group_letter(group) or flange.group_name(group)
