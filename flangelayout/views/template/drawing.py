"""The template drawing: everything that is scribed, punched and drilled, at real size."""

import math
from collections.abc import Iterator, Sequence

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, CenterMark, Content, Drawing, Item, Label
from flangelayout.drawing.references import Furniture, GroupRef, HoleRef
from flangelayout.drawing.textwidth import text_width
from flangelayout.flange import Flange, Hole
from flangelayout.flange.hole import face_circle, thread_circle
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.shapes import Arc, Circle, Line, Point, polar
from flangelayout.units import Unit
from flangelayout.value import replace
from flangelayout.views.page.plate_lines import disc_centerlines, joint_items, metal_edges, pattern_lines
from flangelayout.views.template.hole_labels import ANY_ROOM, CROSS_PAST_HOLE, HoleLabels, LabelRoom

PUNCH_ROOM = 2.2
"""How far in mm round a punch point no bolt circle and no centerline runs."""
PUNCH_GAP = PUNCH_ROOM
"""Half the opening of a center cross in mm: the punch seats in the free middle where the strokes point."""
_LAYERS_OF_HOLES = (Layer.TEMPLATE_HOLES, Layer.TEMPLATE_MARKS, Layer.TEXT)
"""In the order of drawing: what is drawn alike stands together."""
_LABEL_HEIGHTS = (3.0, 2.5)
_LABEL_OUTSIDE = 2.0
_CENTERLINE_PAST_BORE = 6.0
_LARGEST_DRILL_START = 8.0


def template_drawing(flange: Flange, unit: Unit = Unit.MM, room: LabelRoom = ANY_ROOM) -> Drawing:
    """Plate edge, bore, bolt circles and holes with crosses and numbers, hairlines at scale 1."""
    punched = [point for hole in flange.shown_holes() for point in punch_points(hole)]
    through = (part for item in (*_centerlines(flange), *_bolt_circles(flange)) for part in _clear(item, punched))
    items = [*_edges(flange), *through]
    labels, groups = HoleLabels(flange, unit, room), flange.groups()
    items += labels.top()
    drawn = []
    for hole in flange.shown_holes():
        crowded, source = hole.group >= 0 and groups[hole.group].tubes, HoleRef(hole.label)
        drawn += [Item(layer, what, source) for layer, what in _hole(hole, crowded, labels)]
    alike = [item for layer in _LAYERS_OF_HOLES for item in drawn if item.layer is layer]
    return Drawing("template", (*items, *alike))


def drill_start_diameter(hole_diameter: float) -> float:
    """Diameter of the inner proof circle in mm: a third of the hole, 8 mm at most, the punch gap at least.

    A drill that wanders shows against it while it can still be drawn back (common practice, no source).
    """
    return max(min(hole_diameter / 3, _LARGEST_DRILL_START), min(2 * PUNCH_GAP, hole_diameter / 2))


def _edges(flange: Flange) -> Iterator[Item]:
    yield from metal_edges(flange, Layer.TEMPLATE_EDGES)
    yield from joint_items(flange, Layer.TEMPLATE_RAYS)


def _bolt_circles(flange: Flange) -> Iterator[Item]:
    for group, _ in flange.shown_groups():
        for line in pattern_lines(flange, group):
            yield Item(Layer.TEMPLATE_RAYS, line, GroupRef(group))


def _clear(item: Item, punched: Sequence[Point]) -> Iterator[Item]:
    """A line or a circle in pieces that leave the punch points on it free."""
    match item.what:
        case Circle():
            yield from (replace(item, what=arc) for arc in _clear_circle(item.what, punched))
        case Line():
            yield from (replace(item, what=line) for line in _clear_line(item.what, punched))
        case _:
            yield item


def _clear_circle(circle: Circle, punched: Sequence[Point]) -> list[Circle] | list[Arc]:
    on = [point for point in punched if abs(circle.center.distance_to(point) - circle.radius) < PUNCH_ROOM / 2]
    if not on or circle.radius <= PUNCH_ROOM:
        return [circle]
    half = math.degrees(PUNCH_ROOM / circle.radius)
    turns = sorted(circle.center.direction_to(point) % 360.0 for point in on)
    steps = zip(turns, (*turns[1:], turns[0] + 360.0), strict=True)
    return [Arc(circle.center, circle.radius, a + half, b - a - 2 * half) for a, b in steps if b - a > 2 * half]


def _clear_line(line: Line, punched: Sequence[Point]) -> list[Line]:
    length = line.start.distance_to(line.end)
    along = (line.end - line.start).scaled(1 / length)
    places = []
    for point in punched:
        away = point - line.start
        station, aside = away.x * along.x + away.y * along.y, abs(away.x * along.y - away.y * along.x)
        if aside < PUNCH_ROOM / 2 and -PUNCH_ROOM < station < length + PUNCH_ROOM:
            places.append(station)
    pieces, start = [], 0.0
    for station in (*sorted(places), length + PUNCH_ROOM):
        if station - PUNCH_ROOM > start:
            pieces.append(
                Line(line.start + along.scaled(start), line.start + along.scaled(min(station - PUNCH_ROOM, length)))
            )
        start = max(start, station + PUNCH_ROOM)
    return pieces


def _centerlines(flange: Flange) -> Iterator[Item]:
    """Both centerlines over the metal, a little into the bore, and the middle of a blind."""
    box = flange.box()
    inner = max(flange.bore / 2 - _CENTERLINE_PAST_BORE, 0.0) if flange.bore is not None else PUNCH_GAP
    for quarter, outer in enumerate((box.right, box.top, -box.left, -box.bottom)):
        if outer > inner:
            line = Line(polar(inner, 90 * quarter), polar(outer, 90 * quarter))
            yield Item(Layer.TEMPLATE_RAYS, line, Furniture("centerline"))
    for line in disc_centerlines(flange, 0.0):
        yield Item(Layer.TEMPLATE_RAYS, line, Furniture("disc centerline"))


def _hole(hole: Hole, crowded: bool, labels: HoleLabels) -> Iterator[tuple[Layer, Content]]:
    """A hole with its crosses, number and size; among crowded ones only a number that has room within its hole."""
    radius, seen = hole.diameter / 2, hole.worked_from is PlateFace.FACE
    yield Layer.TEMPLATE_HOLES, hole.shape
    for edge in (face_circle(hole), thread_circle(hole)) if seen else ():
        if edge is not None:
            yield Layer.TEMPLATE_MARKS, edge
    gap, start = min(PUNCH_GAP, radius / 2), drill_start_diameter(hole.diameter) / 2
    for point in punch_points(hole):
        if start >= gap:
            yield Layer.TEMPLATE_MARKS, Circle(point, start)
        yield Layer.TEMPLATE_MARKS, CenterMark(point, radius + min(CROSS_PAST_HOLE, radius), gap)
    yield from ((Layer.TEXT, label) for label in _said(hole, crowded, labels))


def _said(hole: Hole, crowded: bool, labels: HoleLabels) -> tuple[Label, ...]:
    """Number and size beside a hole, else the number within it, else both on a seam, else the number if it is clear."""
    said = labels.of(hole) or _number_within(hole) or labels.of(hole, on_seams=True)
    if said or crowded:
        return said
    beside = _number_beside(hole)
    return (beside,) if labels.belongs(hole, beside.at) else ()


def punch_points(hole: Hole) -> tuple[Point, ...]:
    """Where a hole is punched: its center, or both ends of a slot's middle line."""
    spine = hole.spine
    return (spine,) if isinstance(spine, Point) else (spine.start, spine.end)


def _number_within(hole: Hole) -> tuple[Label, ...]:
    """The hole's number in a quarter of the hole that its bolt circle leaves free; nothing if it is too small."""
    radius, start = hole.diameter / 2, drill_start_diameter(hole.diameter) / 2
    diagonal = _free_diagonal(hole.angle)
    for height in _LABEL_HEIGHTS:
        half_width, half_height = text_width(hole.label, height) / 2, height / 2
        reach = (radius + start) / 2 / math.sqrt(2)
        outer = math.hypot(reach + half_width, reach + half_height)
        inner = math.hypot(max(reach - half_width, 0.0), max(reach - half_height, 0.0))
        if outer < radius - 0.5 and inner > start + 0.3 and reach - half_width > 0.5:
            at = polar(reach * math.sqrt(2), diagonal, hole.center)
            return (Label(at, hole.label, height, 0.0, Anchor.MIDDLE),)
    return ()


def _number_beside(hole: Hole) -> Label:
    """The hole's number outside of it."""
    radius, diagonal = hole.reach, _free_diagonal(hole.angle)
    height = _LABEL_HEIGHTS[-1]
    half = Point(text_width(hole.label, height) / 2, height / 2)
    beside = polar(radius + _LABEL_OUTSIDE, diagonal, hole.center)
    to_right, upward = math.copysign(1, math.cos(math.radians(diagonal))), math.copysign(1, beside.y - hole.center.y)
    at = beside + Point(to_right * half.x, upward * half.y)
    return Label(at, hole.label, height, 0.0, Anchor.MIDDLE)


def _free_diagonal(angle: float) -> float:
    """Of 45, 135, 225 and 315 degrees the one nearest to pointing away from the center of the plate."""
    return 45.0 + 90.0 * math.floor(angle % 360.0 / 90.0)
