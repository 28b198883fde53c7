"""What a job asks of its cut file beyond nominal size: holes left small or marked only, kerf, leads, marks.

A finished cut drawing goes in and one with the options comes out; whatever the plate's outline and openings are,
they are closed shapes on their layers.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from flangelayout.drawing.explode import items_box
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import CenterMark, Drawing, Item, Paper, Sheet
from flangelayout.drawing.references import Cut, HoleRef, LeadRef
from flangelayout.errors import GeometryError, InputError, Problem
from flangelayout.flange import Flange, Hole
from flangelayout.flange.cutting import CutOptions, HoleCut, Mark, hole_cut
from flangelayout.geometry.lead import led
from flangelayout.geometry.measure import Edge
from flangelayout.geometry.offset import grown
from flangelayout.geometry.shapes import Circle, Contour, Point, extent
from flangelayout.units import Unit, size_text
from flangelayout.views.cut.marks import number_marks, top_marks
from flangelayout.views.cut.nominal import MARK_REACH
from flangelayout.views.words.references import ref_words

_MARK_GAP = MARK_REACH / 6
INSIDE = (Layer.CUT_HOLES, Layer.CUT_BORE)
_CUT = (*INSIDE, Layer.CUT_OUTLINE)
_NARROWER = 'use a process with a narrower kerf, or mark the center only (cut = "center mark only")'


def finished_cut(drawing: Drawing, flange: Flange, info: JobInfo, options: CutOptions, unit: Unit) -> Drawing:
    """A cut drawing with what the job asks for; the same drawing where it asks for nothing.

    Args:
        drawing: Cut geometry at nominal size, inside first.
        flange: What it was made from.
        info: For the part number among the marks.
        options: What is asked for.
        unit: Unit of the numbers in messages.

    Returns:
        Marks first, then what is cut: inside before outside and small before large, each cut led by its
        lead-in and followed by its lead-out.

    Raises:
        InputError: If the kerf closes a hole or a cutout, a lead-in finds no room, or a mark none.
    """
    if options.is_nominal:
        return drawing
    treated = _with_hole_choices(drawing.items, flange, options, unit)
    if options.kerf > 0:
        treated = [_kerfed(item, options.kerf, unit) for item in treated]
    marks = [item for item in treated if item.layer not in _CUT]
    inside = sorted((item for item in treated if item.layer in INSIDE), key=_size)
    outside = [item for item in treated if item.layer is Layer.CUT_OUTLINE]
    marks += _marks(flange, info, options, unit)
    cuts: Iterable[Item] = (*inside, *outside)
    if options.lead_in > 0:
        cuts = (piece for item in cuts for piece in _with_leads(item, options, unit))
    return replace(drawing, items=(*marks, *cuts))


def page_with_room(sheet: Sheet) -> Sheet:
    """The page of a cut view made large enough for kerf and leads that stand out beyond the plate."""
    (view,) = sheet.views
    box = items_box(view.drawing.items)
    left, bottom = max(-box.left - view.at_paper.x, 0.0), max(-box.bottom - view.at_paper.y, 0.0)
    at = view.at_paper + Point(left, bottom)
    width = max(sheet.paper.width + left, box.right + at.x)
    height = max(sheet.paper.height + bottom, box.top + at.y)
    return replace(sheet, paper=Paper(sheet.paper.name, width, height), views=(replace(view, at_paper=at),))


def _with_hole_choices(items: Iterable[Item], flange: Flange, options: CutOptions, unit: Unit) -> list[Item]:
    """Each hole as drawn, smaller for the drill, or as a cross."""
    holes = {hole.label: hole for hole in flange.holes()}
    out: list[Item] = []
    for item in items:
        if not isinstance(item.source, HoleRef) or item.layer is not Layer.CUT_HOLES:
            out.append(item)
            continue
        hole = holes[item.source.label]
        match hole_cut(hole, options, flange.thickness):
            case HoleCut.AS_DRAWN:
                out.append(item)
            case HoleCut.CENTER_MARK:
                out.append(_center_mark(hole))
            case HoleCut.UNDERSIZE:
                out.append(replace(item, what=_undersize(item, options.undersize, unit)))
    return out


def _undersize(item: Item, undersize: float, unit: Unit) -> Edge:
    shape = _edge(item)
    try:
        return grown(shape, -undersize / 2)
    except GeometryError:
        text = (
            f"{_text(undersize, unit)} less leaves nothing of {ref_words(item.source)}, {_size_text(shape, unit)}; "
            'use less, or mark the center only (cut = "center mark only")'
        )
        raise InputError(Problem("cut.undersize", text)) from None


def _kerfed(item: Item, kerf: float, unit: Unit) -> Item:
    """An item with half the kerf added outside or taken off inside."""
    if item.layer not in _CUT:
        return item
    shape, outside = _edge(item), item.layer is Layer.CUT_OUTLINE
    try:
        return replace(item, what=grown(shape, kerf / 2 if outside else -kerf / 2))
    except GeometryError:
        size = f"{ref_words(item.source)}, {_size_text(shape, unit)}"
        if outside:
            text = f"a kerf of {_text(kerf, unit)} does not fit into a notch of the {size}; widen the notch"
        else:
            text = f"a kerf of {_text(kerf, unit)} closes {size}; {_NARROWER}"
        raise InputError(Problem("cut.kerf", text)) from None


def _with_leads(item: Item, options: CutOptions, unit: Unit) -> Iterator[Item]:
    """Lead-in, cut and lead-out of one closed shape."""
    shape = _edge(item)
    try:
        path = led(shape, options.lead_in, options.lead_out, scrap_inside=item.layer in INSIDE)
    except GeometryError:
        text = (
            f"{_text(options.lead_in, unit)} finds no room at {ref_words(item.source)}, {_size_text(shape, unit)}, "
            "nor does a quarter of it; use a shorter one"
        )
        raise InputError(Problem("cut.lead_in", text)) from None
    yield Item(Layer.CUT_LEADS, path.lead_in, LeadRef(_cut(item)))
    yield replace(item, what=path.path)
    if path.lead_out:
        yield Item(Layer.CUT_LEADS, path.lead_out, LeadRef(_cut(item), is_out=True))


def _marks(flange: Flange, info: JobInfo, options: CutOptions, unit: Unit) -> Iterator[Item]:
    """The marks asked for beside the crosses of holes that are marked only."""
    if Mark.CENTERS in options.marks:
        cut = (hole for hole in flange.holes() if hole_cut(hole, options, flange.thickness) is not HoleCut.CENTER_MARK)
        yield from (_center_mark(hole) for hole in cut if hole.is_through)
    top = top_marks(flange, options, unit) if Mark.TOP in options.marks else ()
    yield from top
    if Mark.NUMBER in options.marks:
        yield from number_marks(flange, info, options, unit, taken=top)


def _center_mark(hole: Hole) -> Item:
    reach = min(MARK_REACH, 0.8 * hole.diameter / 2)
    return Item(Layer.CUT_MARKS, CenterMark(hole.center, reach, min(_MARK_GAP, reach / 3)), HoleRef(hole.label))


def _cut(item: Item) -> Cut:
    assert isinstance(item.source, Cut), f"{item} is no cut of the plate"
    return item.source


def _edge(item: Item) -> Edge:
    assert isinstance(item.what, Circle | Contour), f"{item} is no closed shape"
    return item.what


def _size(item: Item) -> float:
    """The longer side, by which the cut view puts things in order too."""
    box = extent(_edge(item))
    return max(box.width, box.height)


def _size_text(shape: Edge, unit: Unit) -> str:
    if isinstance(shape, Circle):
        return f"{_text(2 * shape.radius, unit)} in diameter"
    box = extent(shape)
    return f"{size_text(box.width, unit)} x {_text(box.height, unit)} over all"


def _text(length: float, unit: Unit) -> str:
    return f"{size_text(length, unit)} {unit.value}"
