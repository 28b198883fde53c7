"""The template drawing: everything that is scribed, punched and drilled, at real size."""

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import pairwise

from msgspec import Struct

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import CenterMark, Content, Drawing, Item
from flangelayout.drawing.references import Furniture, GroupRef, HoleRef
from flangelayout.flange import Flange, Hole, SegmentOutline, SplitOutline
from flangelayout.flange.hole import face_circle, punch_points, thread_circle
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.shapes import Arc, Circle, Line, Point, polar
from flangelayout.units import Unit
from flangelayout.value import replace
from flangelayout.views.page.plate_lines import disc_centerlines, joint_items, metal_edges, pattern_lines
from flangelayout.views.template.hole_labels import (
    PUNCH_GAP,
    PlateWords,
    cross_past,
    drill_start_diameter,
    plate_words,
)

_PUNCH_ROOM = PUNCH_GAP
"""How far in mm round a punch point no bolt circle and no centerline runs."""
_LAYERS_OF_HOLES = (Layer.TEMPLATE_HOLES, Layer.TEMPLATE_MARKS)
"""In the order of drawing: what is drawn alike stands together."""
_CENTERLINE_PAST_BORE = 6.0
_TURNS_LOOKED_AT, _HALVINGS = 720, 24
"""How many directions tell where a circle lies on the metal, and how often what is between two is halved."""


class Scribing(Struct, frozen=True):
    """All lines of a template: what is scribed, punched and drilled.

    Attributes:
        lines: Edges, centerlines and bolt circles, open where they would run through a punch point.
        holes: Edges, drill starts and crosses.
    """

    lines: tuple[Item, ...]
    holes: tuple[Item, ...]

    def drawing(self, words: Sequence[PlateWords]) -> Drawing:
        """The lines with words among them."""
        top, numbers = (
            [item for each in words if (each.hole is not None) is of_hole for item in each.items()]
            for of_hole in (False, True)
        )
        return Drawing("template", (*self.lines, *top, *self.holes, *numbers))


def scribing(flange: Flange) -> Scribing:
    """Plate edge, bore, bolt circles and holes with crosses, hairlines at scale 1."""
    punched = [point for hole in flange.shown_holes() for point in punch_points(hole)]
    through = (part for item in (*_centerlines(flange), *_bolt_circles(flange)) for part in _clear(item, punched))
    return Scribing((*_edges(flange), *through), hole_lines(flange, flange.shown_holes()))


def hole_lines(flange: Flange, holes: Iterable[Hole]) -> tuple[Item, ...]:
    """The edges of some holes of a plate, then their drill starts and crosses."""
    crossed = ((hole, cross_past(flange, hole)) for hole in holes)
    drawn = [Item(layer, what, HoleRef(hole.label)) for hole, past in crossed for layer, what in _hole(hole, past)]
    return tuple(item for layer in _LAYERS_OF_HOLES for item in drawn if item.layer is layer)


def template_drawing(flange: Flange, unit: Unit = Unit.MM) -> Drawing:
    """A template on one page: lines and words."""
    return scribing(flange).drawing(plate_words(flange, unit))


def _edges(flange: Flange) -> Iterator[Item]:
    yield from metal_edges(flange, Layer.TEMPLATE_EDGES)
    yield from joint_items(flange, Layer.TEMPLATE_RAYS)


def _bolt_circles(flange: Flange) -> Iterator[Item]:
    for group, _ in flange.shown_groups():
        for line in pattern_lines(flange, group):
            shown = _on_metal(flange, line) if isinstance(line, Circle) else (line,)
            yield from (Item(Layer.TEMPLATE_RAYS, each, GroupRef(group)) for each in shown)


def _on_metal(flange: Flange, circle: Circle) -> tuple[Circle, ...] | list[Arc]:
    """A bolt circle, or what of it lies on the metal where it leaves the plate, as that of lugs does beside them."""
    box = flange.box()
    if circle.radius <= min(box.right, box.top, -box.left, -box.bottom):
        return (circle,)

    def is_on(turn: float) -> bool:
        return flange.edge_distance(polar(circle.radius, turn, circle.center)) > 0.0

    turns = [360.0 * step / _TURNS_LOOKED_AT for step in range(_TURNS_LOOKED_AT + 1)]
    changes = [(_changed(is_on, *pair), is_on(pair[1])) for pair in pairwise(turns) if is_on(pair[0]) != is_on(pair[1])]
    ends = [*changes[1:], (changes[0][0] + 360.0, changes[0][1])] if changes else []
    spans = ((start, end) for (start, begins), (end, _) in zip(changes, ends, strict=True) if begins)
    return [Arc(circle.center, circle.radius, start, end - start) for start, end in spans]


def _changed(is_on: Callable[[float], bool], low: float, high: float) -> float:
    """Where between two directions something begins or ends, found by halving."""
    before = is_on(low)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if is_on(middle) is before else (low, middle)
    return (low + high) / 2


def _clear(item: Item, punched: Sequence[Point]) -> Iterator[Item]:
    """A line or a circle in pieces that leave the punch points on it free."""
    match item.what:
        case Circle():
            yield from (replace(item, what=arc) for arc in _clear_circle(item.what, punched))
        case Arc():
            yield from (replace(item, what=arc) for arc in _clear_arc(item.what, punched))
        case Line():
            yield from (replace(item, what=line) for line in _clear_line(item.what, punched))
        case _:
            yield item


def _clear_circle(circle: Circle, punched: Sequence[Point]) -> list[Circle] | list[Arc]:
    on = [point for point in punched if abs(circle.center.distance_to(point) - circle.radius) < _PUNCH_ROOM / 2]
    if not on or circle.radius <= _PUNCH_ROOM:
        return [circle]
    half = math.degrees(_PUNCH_ROOM / circle.radius)
    turns = sorted(circle.center.direction_to(point) % 360.0 for point in on)
    steps = zip(turns, (*turns[1:], turns[0] + 360.0), strict=True)
    return [Arc(circle.center, circle.radius, a + half, b - a - 2 * half) for a, b in steps if b - a > 2 * half]


def _clear_arc(arc: Arc, punched: Sequence[Point]) -> list[Arc]:
    on = [point for point in punched if abs(arc.center.distance_to(point) - arc.radius) < _PUNCH_ROOM / 2]
    half, start, pieces = math.degrees(_PUNCH_ROOM / arc.radius), 0.0, list[Arc]()
    turns = sorted((arc.center.direction_to(point) - arc.start_deg + half) % 360.0 - half for point in on)
    for turn in (*(turn for turn in turns if turn < arc.sweep_deg + half), arc.sweep_deg + half):
        if turn - half > start:
            pieces.append(replace(arc, start_deg=arc.start_deg + start, sweep_deg=turn - half - start))
        start = turn + half
    return pieces


def _clear_line(line: Line, punched: Sequence[Point]) -> list[Line]:
    length = line.start.distance_to(line.end)
    along = (line.end - line.start).scaled(1 / length)
    places = []
    for point in punched:
        away = point - line.start
        station, aside = away.x * along.x + away.y * along.y, abs(away.x * along.y - away.y * along.x)
        if aside < _PUNCH_ROOM / 2 and -_PUNCH_ROOM < station < length + _PUNCH_ROOM:
            places.append(station)
    pieces, start = [], 0.0
    for station in (*sorted(places), length + _PUNCH_ROOM):
        if station - _PUNCH_ROOM > start:
            pieces.append(
                Line(line.start + along.scaled(start), line.start + along.scaled(min(station - _PUNCH_ROOM, length)))
            )
        start = max(start, station + _PUNCH_ROOM)
    return pieces


def _centerlines(flange: Flange) -> Iterator[Item]:
    """Both centerlines over the metal, a little into the opening, and the middle of a blind."""
    box = flange.box()
    opening, outline = flange.bore, flange.outline
    if opening is None and isinstance(outline, SegmentOutline | SplitOutline):
        opening = outline.inside_diameter
    inner = max(opening / 2 - _CENTERLINE_PAST_BORE, 0.0) if opening is not None else PUNCH_GAP
    for quarter, outer in enumerate((box.right, box.top, -box.left, -box.bottom)):
        if outer > inner:
            line = Line(polar(inner, 90 * quarter), polar(outer, 90 * quarter))
            yield Item(Layer.TEMPLATE_RAYS, line, Furniture("centerline"))
    for line in disc_centerlines(flange, 0.0):
        yield Item(Layer.TEMPLATE_RAYS, line, Furniture("disc centerline"))


def _hole(hole: Hole, past: float) -> Iterator[tuple[Layer, Content]]:
    """A hole with its crosses, which stand out so far beyond it."""
    radius, seen = hole.diameter / 2, hole.worked_from is PlateFace.FACE
    yield Layer.TEMPLATE_HOLES, hole.shape
    for edge in (face_circle(hole), thread_circle(hole)) if seen else ():
        if edge is not None:
            yield Layer.TEMPLATE_MARKS, edge
    gap, start = min(PUNCH_GAP, radius / 2), drill_start_diameter(hole.diameter) / 2
    for point in punch_points(hole):
        if start >= gap:
            yield Layer.TEMPLATE_MARKS, Circle(point, start)
        yield Layer.TEMPLATE_MARKS, CenterMark(point, radius + past, gap)
