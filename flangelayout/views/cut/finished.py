"""The cut view: what the machine cuts, with what a job asks for: small holes, kerf, leads, marks."""

from collections.abc import Iterator
from typing import assert_never

from flangelayout.drawing import references
from flangelayout.drawing.explode import items_box
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import CenterMark, CutPath, Drawing, Item, Paper, Sheet, View
from flangelayout.drawing.references import HoleRef, JointRef, OutlineRef
from flangelayout.flange import Flange, Hole, Opening
from flangelayout.flange.cut_plan import Cut, CutPlan, JointCut, PartEdge, PlannedCut, plan_cut
from flangelayout.flange.cutting import CutOptions, Mark
from flangelayout.flange.hole import punch_points
from flangelayout.geometry.shapes import Point, box_around
from flangelayout.units import Unit
from flangelayout.views.cut.marks import number_marks, top_marks
from flangelayout.views.page.plate_lines import opening_ref

_REACH = 3.0
"""Half the length in mm of the strokes that mark a hole which is not cut."""
_GAP = _REACH / 6
_WITHIN = 0.8
"""Reach of a cross as a share of the radius of a hole that is cut: what lies beyond falls out."""


def finished_cut(flange: Flange, info: JobInfo, options: CutOptions, unit: Unit, apart: bool = False) -> Drawing:
    """What is cut of a plate with what the job asks for.

    A hole that cannot be cut (see :func:`through_shape`) is marked with an open cross, a slot with one at each end;
    not where this face shows nothing of it.

    Args:
        flange: What is made.
        info: For the part number among the marks.
        options: What is asked for.
        unit: Unit of the numbers in messages.
        apart: Whether the parts of a ring are laid apart from each other later, in a nest.

    Returns:
        Marks first, then what is cut: inside before outside and small before large, each cut with its leads.

    Raises:
        InputError: If the kerf closes a hole or a cutout or does not fit between or into what is cut, or a mark finds
            no room.
    """
    plan = plan_cut(flange, options, unit, apart)
    return Drawing("cut", (*_marks(plan, flange, info, options, unit), *map(_cut_item, plan.cuts)))


def cut_sheet(flange: Flange, drawing: Drawing) -> Sheet:
    """The cut view at real size, on a page as large as the plate and the kerf and leads that stand out beyond it."""
    box = box_around((*flange.box().corners, *items_box(drawing.items).corners))
    page = Paper("plate", box.width, box.height)
    return Sheet(page, (View(drawing, 1.0, Point(-box.left, -box.bottom)),), (), "cut")


def _cut_item(cut: PlannedCut) -> Item:
    """A cut: its closed shape, or the ways of the cutter where they are planned."""
    layer, ref = _place(cut.of)
    return Item(layer, CutPath(cut.path, cut.ways, cut.leads) if cut.ways else cut.path, ref)


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


def _marks(plan: CutPlan, flange: Flange, info: JobInfo, options: CutOptions, unit: Unit) -> Iterator[Item]:
    """The crosses of holes that are marked only, then the marks asked for: no hole is marked twice."""
    yield from (_center_mark(hole, at) for hole in plan.marked for at in punch_points(hole))
    if Mark.CENTERS in options.marks:
        cut = (each.of for each in plan.cuts if isinstance(each.of, Hole))
        yield from (_center_mark(hole, hole.center, min(_REACH, _WITHIN * hole.diameter / 2)) for hole in cut)
    top = top_marks(flange, options, unit) if Mark.TOP in options.marks else ()
    yield from top
    if Mark.NUMBER in options.marks:
        yield from number_marks(flange, info, options, unit, taken=top)


def _center_mark(hole: Hole, at: Point, reach: float = _REACH) -> Item:
    """An open cross of a hole."""
    return Item(Layer.CUT_MARKS, CenterMark(at, reach, min(_GAP, reach / 3)), HoleRef(hole.label))
