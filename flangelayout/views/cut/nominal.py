"""The cut view: nothing but what the machine cuts."""

from typing import assert_never

from flangelayout.drawing import references
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import CenterMark, CutPath, Drawing, Item, Paper, Sheet, View
from flangelayout.drawing.references import HoleRef, JointRef, OutlineRef
from flangelayout.flange import Flange, Hole, Opening
from flangelayout.flange.cut_plan import Cut, JointCut, PartEdge, PlannedCut, plan_cut
from flangelayout.flange.cutting import CutOptions
from flangelayout.geometry.shapes import Point
from flangelayout.views.page.plate_lines import opening_ref

MARK_REACH = 3.0
"""Half the length in mm of the strokes that mark a hole which is not cut."""
_MARK_GAP = MARK_REACH / 6


def cut_drawing(flange: Flange) -> Drawing:
    """Everything cut, at nominal size and in the order of cutting: inside first, small before large, outline last.

    A hole that cannot be cut (see :func:`through_shape`) is marked with an open cross, before anything is cut; not
    where this face shows nothing of it.
    """
    plan = plan_cut(flange, CutOptions())
    marks = (center_mark(hole) for hole in plan.marked)
    return Drawing("cut", (*marks, *map(cut_item, plan.cuts)))


def cut_item(cut: PlannedCut) -> Item:
    """A cut: its closed shape, or the ways of the cutter where they are planned."""
    layer, ref = _place(cut.of)
    return Item(layer, CutPath(cut.path, cut.ways, cut.leads) if cut.ways else cut.path, ref)


def center_mark(hole: Hole, reach: float = MARK_REACH) -> Item:
    """An open cross in the middle of a hole."""
    return Item(Layer.CUT_MARKS, CenterMark(hole.center, reach, min(_MARK_GAP, reach / 3)), HoleRef(hole.label))


def cut_sheet(flange: Flange, drawing: Drawing) -> Sheet:
    """The cut view at real size on a page as large as the plate, its lower left corner at the page's."""
    box = flange.box()
    page = Paper("plate", box.width, box.height)
    return Sheet(page, (View(drawing, 1.0, Point(-box.left, -box.bottom)),), (), "cut")


def _place(of: Cut) -> tuple[Layer, references.Cut]:
    match of:
        case Hole():
            return Layer.CUT_HOLES, HoleRef(of.label)
        case Opening():
            return Layer.CUT_BORE, opening_ref(of)
        case PartEdge(number):
            return Layer.CUT_OUTLINE, OutlineRef(number)
        case JointCut(number):
            return Layer.CUT_OUTLINE, JointRef(number)
        case _:
            assert_never(of)
