"""The cut view: nothing but what the machine cuts."""

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import CenterMark, Drawing, Item, Paper, Sheet, View
from flangelayout.drawing.references import HoleRef, OutlineRef
from flangelayout.flange import Flange, through_shape
from flangelayout.geometry.measure import Edge
from flangelayout.geometry.shapes import Circle, Point, extent
from flangelayout.views.page.plate_lines import numbered_parts, opening_ref

MARK_REACH = 3.0
"""Half the length in mm of the strokes that mark a hole which is not cut."""
_MARK_GAP = 0.5


def cut_drawing(flange: Flange) -> Drawing:
    """Everything cut, at nominal size and in the order of cutting: inside first, small before large, outline last.

    A hole that cannot be cut (see :func:`through_shape`) is marked with an open cross, before anything is cut.
    """
    marks: list[Item] = []
    inside: list[tuple[float, Item]] = []
    for hole in flange.holes():
        shape = through_shape(hole)
        if shape is None:
            marks.append(Item(Layer.CUT_MARKS, CenterMark(hole.center, MARK_REACH, _MARK_GAP), HoleRef(hole.label)))
        else:
            inside.append((_size(shape), Item(Layer.CUT_HOLES, shape, HoleRef(hole.label))))
    for opening in flange.cutouts():
        inside.append((_size(opening.shape), Item(Layer.CUT_BORE, opening.shape, opening_ref(opening))))
    inside.sort(key=lambda sized: sized[0])
    outside = (Item(Layer.CUT_OUTLINE, piece, OutlineRef(part)) for part, piece in numbered_parts(flange.pieces()))
    return Drawing("cut", (*marks, *(item for _, item in inside), *outside))


def cut_sheet(flange: Flange, drawing: Drawing) -> Sheet:
    """The cut view at real size on a page as large as the plate, its lower left corner at the page's."""
    box = flange.box()
    page = Paper("plate", box.width, box.height)
    return Sheet(page, (View(drawing, 1.0, Point(-box.left, -box.bottom)),), (), "cut")


def _size(shape: Edge) -> float:
    """What shapes are put in order by: the radius, or half the longer side of the box."""
    if isinstance(shape, Circle):
        return shape.radius
    box = extent(shape)
    return max(box.width, box.height) / 2
