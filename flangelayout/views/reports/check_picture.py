"""The picture on the page of the checks: the plate, and a numbered flag where each check failed."""

import math
from collections.abc import Iterator, Sequence

from flangelayout.checks import Finding
from flangelayout.checks.finding import HoleIndex
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Drawing, Item, Label
from flangelayout.drawing.references import Furniture, HoleRef
from flangelayout.flange import Flange, Hole
from flangelayout.geometry.shapes import ORIGIN, Box, Circle, Line, Point, extent, polar
from flangelayout.views.page.plate_lines import metal_edges
from flangelayout.views.page.scales import fitting_scale, scale_text
from flangelayout.views.reports.flow import FlowedItems, FlowFigure

_PICTURE = 78.0
_TEXT = 2.0
_FLAG, _OUT = 2.4, 6.0
"""Radius of a flag, and how far its middle stands out from the plate, in printed mm."""
_MOST_FLAGS = 24
"""More would stand on each other; the list has them all."""


def check_figure(flange: Flange, failed: Sequence[Finding], width: float) -> FlowFigure:
    """The plate seen from its face, ``width`` printed mm of page for it.

    Args:
        flange: What was checked.
        failed: The checks that failed, in the order they are numbered from 1.
        width: Of the page between its margins.
    """
    box = flange.box()
    scale = fitting_scale(max(box.width, box.height), _PICTURE)
    room = _OUT + _FLAG + 1.0
    height = box.height * scale + 2 * room
    middle = Point(width / 2 - box.center.x * scale, -height / 2 - box.center.y * scale)
    items = (*metal_edges(flange, Layer.OUTLINE), *_holes(flange), *_flags(flange, failed, scale))
    numbers = "; numbers are those of the checks that failed" if failed else ""
    told = f"{scale_text(scale)}, seen from {flange.face}{numbers}"
    caption = Item(
        Layer.TEXT, Label(Point(width / 2, -height - 2.0), told, _TEXT, 0.0, Anchor.CENTER), Furniture("caption")
    )
    return FlowFigure(
        height + 4.0,
        (
            FlowedItems(Drawing("checked plate", items), scale, middle),
            FlowedItems(Drawing("caption", (caption,)), 1.0, ORIGIN),
        ),
    )


def _holes(flange: Flange) -> Iterator[Item]:
    for hole in flange.holes():
        yield Item(Layer.DIMENSION, hole.shape, HoleRef(hole.label))


def _flags(flange: Flange, failed: Sequence[Finding], scale: float) -> Iterator[Item]:
    """A number in a ring for each, outward of what it is about, and a line to that."""
    box = flange.box()
    reach = math.hypot(box.width, box.height) / 2 if flange.round_diameter is None else flange.round_diameter / 2
    taken: list[float] = []
    step = math.degrees(2.5 * _FLAG / scale / (reach + _OUT / scale))
    for number, finding in enumerate(failed[:_MOST_FLAGS], 1):
        spot = _spot(flange, finding, box)
        angle = _free(ORIGIN.direction_to(spot), taken, step)
        taken.append(angle)
        at = _outside(box, polar(reach + _OUT / scale, angle), _OUT / scale)
        name = Furniture("failed check")
        yield Item(Layer.TEXT, Circle(at, _FLAG / scale), name)
        yield Item(Layer.TEXT, Label(at, str(number), _TEXT, 0.0, Anchor.MIDDLE), name)
        yield Item(Layer.TEXT, Line(polar(_FLAG / scale, at.direction_to(spot), at), spot), name)


def _outside(box: Box, at: Point, out: float) -> Point:
    """A point no farther from the plate's rectangle than a flag may stand."""
    x = min(max(at.x, box.left - out), box.right + out)
    return Point(x, min(max(at.y, box.bottom - out), box.top + out))


def _spot(flange: Flange, finding: Finding, box: Box) -> Point:
    """Where on the plate a check looked: its hole, the first of its group, its opening, else the top of the plate."""
    place = finding.place
    hole = _hole(flange, place.holes[0] if place.holes else None, place.group)
    if hole is not None:
        return hole.center
    if place.opening is not None:
        edge = extent(flange.cutouts()[place.opening].shape)
        return Point(edge.center.x, edge.top)
    return Point(box.center.x, box.top)


def _hole(flange: Flange, wanted: HoleIndex | None, group: int | None) -> Hole | None:
    for hole in flange.holes():
        if wanted is not None:
            if (hole.group, hole.number) == (wanted.group, wanted.number):
                return hole
        elif group is not None and hole.group == group:
            return hole
    return None


def _free(angle: float, taken: Sequence[float], step: float) -> float:
    """The direction nearest to ``angle`` that is ``step`` degrees from every one that is taken."""
    for index in range(2 * _MOST_FLAGS + 1):
        side = 1 if index % 2 else -1
        tried = angle + side * ((index + 1) // 2) * step
        if all(abs((tried - other + 180) % 360 - 180) >= step - 1e-9 for other in taken):
            return tried
    return angle
