"""Drawings turned by half a turn, for pages that are printed upside down."""

from collections.abc import Iterable
from dataclasses import replace
from typing import assert_never

from flangelayout.drawing.explode import Primitive, exploded
from flangelayout.drawing.model import Drawing, Item, Label, Mosaic, Sheet, Solid, View
from flangelayout.geometry.shapes import ORIGIN, Arc, Box, Circle, Contour, Line, Point


def half_turned(items: Iterable[Item], about: Point = ORIGIN) -> tuple[Item, ...]:
    """Things at real size turned by 180 degrees about a point, texts included; marks become their lines."""
    corner = about.scaled(2)
    return tuple(Item(item.layer, _turned(what, corner), item.source) for item, what in exploded(items, 1.0))


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
