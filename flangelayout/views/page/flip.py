"""Drawings turned by half a turn, for pages that are printed upside down, and as the back of a plate shows them."""

from collections.abc import Iterable
from typing import assert_never

from flangelayout.drawing.explode import Primitive, exploded
from flangelayout.drawing.model import Anchor, Drawing, Item, Label, Mosaic, Sheet, Solid, View
from flangelayout.geometry.shapes import ORIGIN, Arc, Box, Circle, Contour, Line, Point
from flangelayout.value import replace

_OVER = {anchor: anchor for anchor in Anchor} | {
    Anchor.LEFT: Anchor.RIGHT,
    Anchor.RIGHT: Anchor.LEFT,
    Anchor.MIDDLE_LEFT: Anchor.MIDDLE_RIGHT,
    Anchor.MIDDLE_RIGHT: Anchor.MIDDLE_LEFT,
}


def half_turned(items: Iterable[Item], about: Point = ORIGIN) -> tuple[Item, ...]:
    """Things at real size turned by 180 degrees about a point, texts included; marks become their lines."""
    corner = about.scaled(2)
    return tuple(Item(item.layer, _turned(what, corner), item.source) for item, what in exploded(items, 1.0))


def seen_from_behind(drawing: Drawing) -> Drawing:
    """A drawing of a plate at real size as it looks once the plate is turned over left to right; texts read on."""
    items = (Item(item.layer, _over(what), item.source) for item, what in exploded(drawing.items, 1.0))
    return Drawing(drawing.title, tuple(items))


def turned_over(point: Point) -> Point:
    """Where a point of the plate is once it is turned over left to right."""
    return Point(-point.x, point.y)


def line_turned_over(line: Line) -> Line:
    """Where a line is then."""
    return Line(turned_over(line.start), turned_over(line.end))


def box_turned_over(box: Box) -> Box:
    """What a box is then."""
    return Box(-box.right, box.bottom, -box.left, box.top)


def upside_down(sheet: Sheet, turned: dict[int, Drawing]) -> Sheet:
    """A page of full-scale views turned by 180 degrees.

    Args:
        sheet: The page.
        turned: The turned drawing by the ``id`` of each one shown, filled here, so that pages share them.
    """
    corner = Point(sheet.paper.width, sheet.paper.height)
    views = []
    for view in sheet.views:
        if id(view.drawing) not in turned:
            turned[id(view.drawing)] = Drawing(view.drawing.title, half_turned(view.drawing.items))
        clip = view.clip_paper and _opposite(view.clip_paper, corner)
        views.append(View(turned[id(view.drawing)], view.scale, corner - view.at_paper, clip))
    return replace(sheet, views=tuple(views), furniture=half_turned(sheet.furniture, corner.scaled(0.5)))


def _over(what: Primitive) -> Primitive:
    """A primitive on the plate turned over left to right."""
    match what:
        case Line() | Arc():
            return _over_part(what)
        case Circle():
            return Circle(turned_over(what.center), what.radius)
        case Contour():
            return Contour(tuple(_over_part(part) for part in what.parts), what.closed)
        case Solid():
            return Solid(tuple(turned_over(point) for point in what.corners))
        case Mosaic():
            return Mosaic(tuple(map(box_turned_over, what.boxes)))
        case Label():
            return replace(what, at=turned_over(what.at), rotation_deg=-what.rotation_deg, anchor=_OVER[what.anchor])
        case _:
            assert_never(what)


def _over_part(part: Line | Arc) -> Line | Arc:
    if isinstance(part, Line):
        return Line(turned_over(part.start), turned_over(part.end))
    return Arc(turned_over(part.center), part.radius, 180.0 - part.start_deg, -part.sweep_deg)


def _turned(what: Primitive, corner: Point) -> Primitive:
    """A primitive turned about the middle between the origin and ``corner``."""
    match what:
        case Line() | Arc():
            return _turned_part(what, corner)
        case Circle():
            return Circle(corner - what.center, what.radius)
        case Contour():
            return Contour(tuple(_turned_part(part, corner) for part in what.parts), what.closed)
        case Solid():
            return Solid(tuple(corner - point for point in what.corners))
        case Mosaic():
            return Mosaic(tuple(_opposite(box, corner) for box in what.boxes))
        case Label():
            return replace(what, at=corner - what.at, rotation_deg=what.rotation_deg + 180.0)
        case _:
            assert_never(what)


def _turned_part(part: Line | Arc, corner: Point) -> Line | Arc:
    if isinstance(part, Line):
        return Line(corner - part.start, corner - part.end)
    return Arc(corner - part.center, part.radius, part.start_deg + 180.0, part.sweep_deg)


def _opposite(box: Box, corner: Point) -> Box:
    return Box(corner.x - box.right, corner.y - box.top, corner.x - box.left, corner.y - box.bottom)
