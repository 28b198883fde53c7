"""The cut view: nothing but what the machine cuts."""

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Drawing, Item, Paper, Sheet, View
from flangelayout.flange import Flange
from flangelayout.geometry.shapes import ORIGIN, Circle, Point


def cut_drawing(flange: Flange) -> Drawing:
    """Holes, bore and outline at nominal size, in the order they are cut: inside first, small before large."""
    inside = [Item(Layer.CUT_HOLES, Circle(hole.center, hole.diameter / 2), hole.source) for hole in flange.holes()]
    if flange.bore is not None:
        inside.append(Item(Layer.CUT_BORE, Circle(ORIGIN, flange.bore / 2), "bore"))
    inside.sort(key=_radius)
    return Drawing("cut", (*inside, Item(Layer.CUT_OUTLINE, flange.outline.shape, "outline")))


def cut_sheet(flange: Flange, drawing: Drawing) -> Sheet:
    """The cut view at real size on a page as large as the plate, its lower left corner at the page's."""
    box = flange.box()
    page = Paper("plate", box.width, box.height)
    return Sheet(page, (View(drawing, 1.0, Point(-box.left, -box.bottom)),), (), "cut")


def _radius(item: Item) -> float:
    assert isinstance(item.what, Circle)
    return item.what.radius
