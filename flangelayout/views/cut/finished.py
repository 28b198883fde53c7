"""What a job asks of its cut file beyond nominal size: holes left small or marked only, kerf, leads, marks."""

from collections.abc import Iterator
from dataclasses import replace

from flangelayout.drawing.explode import items_box
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import Drawing, Item, Paper, Sheet
from flangelayout.flange import Flange
from flangelayout.flange.cut_plan import CutPlan, plan_cut
from flangelayout.flange.cutting import CutOptions, Mark
from flangelayout.flange.hole import Hole
from flangelayout.geometry.shapes import Point
from flangelayout.units import Unit
from flangelayout.views.cut.marks import number_marks, top_marks
from flangelayout.views.cut.nominal import MARK_REACH, center_mark, cut_item

_WITHIN = 0.8
"""Reach of a cross as a share of the radius of a hole that is cut: what lies beyond falls out."""


def finished_cut(flange: Flange, info: JobInfo, options: CutOptions, unit: Unit, apart: bool = False) -> Drawing:
    """What is cut of a plate with what the job asks for.

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
    cuts = map(cut_item, plan.cuts)
    return Drawing("cut", (*_marks(plan, flange, info, options, unit), *cuts))


def page_with_room(sheet: Sheet) -> Sheet:
    """The page of a cut view made large enough for kerf and leads that stand out beyond the plate."""
    (view,) = sheet.views
    box = items_box(view.drawing.items)
    left, bottom = max(-box.left - view.at_paper.x, 0.0), max(-box.bottom - view.at_paper.y, 0.0)
    at = view.at_paper + Point(left, bottom)
    width = max(sheet.paper.width + left, box.right + at.x)
    height = max(sheet.paper.height + bottom, box.top + at.y)
    return replace(sheet, paper=Paper(sheet.paper.name, width, height), views=(replace(view, at_paper=at),))


def _marks(plan: CutPlan, flange: Flange, info: JobInfo, options: CutOptions, unit: Unit) -> Iterator[Item]:
    """The crosses of holes that are marked only, then the marks asked for: no hole is marked twice."""
    yield from (center_mark(hole) for hole in plan.marked)
    if Mark.CENTERS in options.marks:
        cut = (each.of for each in plan.cuts if isinstance(each.of, Hole))
        yield from (center_mark(hole, min(MARK_REACH, _WITHIN * hole.diameter / 2)) for hole in cut)
    top = top_marks(flange, options, unit) if Mark.TOP in options.marks else ()
    yield from top
    if Mark.NUMBER in options.marks:
        yield from number_marks(flange, info, options, unit, taken=top)
