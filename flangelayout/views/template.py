"""The template drawing: everything that is scribed, punched and drilled, at real size."""

import math
from collections.abc import Iterator

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, CenterMark, Content, Drawing, Item, Label
from flangelayout.drawing.textwidth import text_width
from flangelayout.flange import Flange, Hole
from flangelayout.geometry.shapes import ORIGIN, Circle, Line, Point, polar

PUNCH_GAP = 0.75
"""Half the opening of a center cross in mm: the punch seats where the strokes point."""
_CROSS_PAST_HOLE = 4.0
_LABEL_HEIGHTS = (3.0, 2.5, 2.0)
_LABEL_OUTSIDE = 2.0
_CENTERLINE_PAST_BORE = 6.0
_LARGEST_DRILL_START = 8.0


def template_drawing(flange: Flange) -> Drawing:
    """Plate edge, bore, bolt circles and holes with crosses and numbers, hairlines at scale 1."""
    items = [*_edges(flange), *_centerlines(flange), *_bolt_circles(flange)]
    for hole in flange.holes():
        items += (Item(layer, what, hole.source) for layer, what in _hole(hole))
    return Drawing("template", tuple(items))


def drill_start_diameter(hole_diameter: float) -> float:
    """Diameter of the inner proof circle in mm: a third of the hole, 8 mm at most.

    A drill that wanders shows against it while it can still be drawn back (common practice, no source).
    """
    return min(hole_diameter / 3, _LARGEST_DRILL_START)


def _edges(flange: Flange) -> Iterator[Item]:
    yield Item(Layer.TEMPLATE_EDGES, flange.outline.shape, "outline")
    if flange.bore is not None:
        yield Item(Layer.TEMPLATE_EDGES, Circle(ORIGIN, flange.bore / 2), "bore")


def _bolt_circles(flange: Flange) -> Iterator[Item]:
    for group, circle in enumerate(flange.bolt_circles):
        yield Item(Layer.TEMPLATE_RAYS, Circle(ORIGIN, circle.diameter / 2), flange.group_name(group))


def _centerlines(flange: Flange) -> Iterator[Item]:
    """Both centerlines over the metal, a little into the bore, and the middle of a blind."""
    outer = flange.outline.outside_diameter / 2
    inner = max(flange.bore / 2 - _CENTERLINE_PAST_BORE, 0.0) if flange.bore is not None else PUNCH_GAP
    for quarter in range(4):
        line = Line(polar(inner, 90 * quarter), polar(outer, 90 * quarter))
        yield Item(Layer.TEMPLATE_RAYS, line, "centerline")


def _hole(hole: Hole) -> Iterator[tuple[Layer, Content]]:
    radius = hole.diameter / 2
    yield Layer.TEMPLATE_HOLES, Circle(hole.center, radius)
    yield Layer.TEMPLATE_MARKS, Circle(hole.center, drill_start_diameter(hole.diameter) / 2)
    gap = min(PUNCH_GAP, radius / 4)
    yield Layer.TEMPLATE_MARKS, CenterMark(hole.center, radius + min(_CROSS_PAST_HOLE, radius), gap)
    yield Layer.TEXT, _number(hole)


def _number(hole: Hole) -> Label:
    """The hole's number in a quarter of the hole that its bolt circle leaves free, or beside it if too small."""
    radius, start = hole.diameter / 2, drill_start_diameter(hole.diameter) / 2
    diagonal = _free_diagonal(hole.angle)
    for height in _LABEL_HEIGHTS:
        half_width, half_height = text_width(hole.label, height) / 2, height / 2
        reach = (radius + start) / 2 / math.sqrt(2)
        outer = math.hypot(reach + half_width, reach + half_height)
        inner = math.hypot(max(reach - half_width, 0.0), max(reach - half_height, 0.0))
        if outer < radius - 0.5 and inner > start + 0.3 and reach - half_width > 0.5:
            at = polar(reach * math.sqrt(2), diagonal, hole.center)
            return Label(at, hole.label, height, 0.0, Anchor.MIDDLE)
    height = _LABEL_HEIGHTS[-1]
    half = Point(text_width(hole.label, height) / 2, height / 2)
    beside = polar(radius + _LABEL_OUTSIDE, diagonal, hole.center)
    to_right, upward = math.copysign(1, math.cos(math.radians(diagonal))), math.copysign(1, beside.y - hole.center.y)
    at = beside + Point(to_right * half.x, upward * half.y)
    return Label(at, hole.label, height, 0.0, Anchor.MIDDLE)


def _free_diagonal(angle: float) -> float:
    """Of 45, 135, 225 and 315 degrees the one nearest to pointing away from the center of the plate."""
    return 45.0 + 90.0 * math.floor(angle % 360.0 / 90.0)
