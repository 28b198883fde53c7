"""The layout sheets: views and what is worked by first, then the check card, the rest when asked for."""

import math
from collections.abc import Collection, Iterable, Iterator, Sequence
from enum import Enum
from functools import partial
from itertools import chain

from flangelayout.drawing.border import RevisionPlace, Shows
from flangelayout.drawing.choices import SheetPart
from flangelayout.drawing.explode import items_box
from flangelayout.drawing.model import Drawing, Item, Paper, Sheet, SheetSet, TextTable, View
from flangelayout.drawing.papers import PAPERS, PaperName, paper
from flangelayout.errors import OutputError
from flangelayout.flange import Hole
from flangelayout.geometry.shapes import Box, Point
from flangelayout.problems.output import OutputProblem
from flangelayout.units import counted
from flangelayout.value import replace
from flangelayout.views.page.blocks import Block, PlacedBlock, laid, table_block
from flangelayout.views.page.border import border_items
from flangelayout.views.page.heading import heading_items
from flangelayout.views.page.scales import DRAWING_SCALES, scale_text
from flangelayout.views.page.tables import LaidTable, lay_table, table_items
from flangelayout.views.page.title_block import (
    SheetFacts,
    beyond_cells,
    block_room,
    block_values,
    code_items,
    fitted,
    title_block,
)
from flangelayout.views.sheet.call_outs import legend_lines
from flangelayout.views.sheet.card_readings import CardAsks, readings_of
from flangelayout.views.sheet.compose import Composition, compose
from flangelayout.views.sheet.detail import detail_box, detail_items, detail_scale, detailed_hole
from flangelayout.views.sheet.first_page import (
    DETAIL,
    TOLERANCES,
    Contents,
    FirstPage,
    balanced,
    first_pages,
    has_room,
    widest,
)
from flangelayout.views.sheet.further_pages import MOST_REVISIONS, Cards, FurtherPages, further_pages
from flangelayout.views.sheet.look import LEAST_NUMBERED_WITHIN, Look
from flangelayout.views.sheet.overleaf import overleaf_items, told_overleaf
from flangelayout.views.sheet.request import SheetRequest
from flangelayout.views.sheet.section.profiles import hole_sections
from flangelayout.views.sheet.sizes.angles import angles_to_tell
from flangelayout.views.words.bill import mass_words
from flangelayout.views.words.hole_tables import hole_tables, joined_tables
from flangelayout.views.words.notes import MOST_NOTES, revision_table, sentence, sheet_notes
from flangelayout.views.words.origins import CHECK_FIRST, warnings
from flangelayout.views.words.plate import corner_tables
from flangelayout.views.words.tolerances import tolerance_table

_NEARLY = 0.8
"""A scale so much smaller is taken where then everything stands on the first sheet."""
_LEAST_FACE = 55.0
"""Printed mm that a plate is wide at the least where a smaller scale saves a page."""
_NUMBERED_SHARE = 0.6
"""Of the shorter side of the paper: a plate so wide leaves room for numbers at the ends of lines round it."""
_FIRST_NOTES = 2
"""Notes after the shop's own that never leave a first sheet that holds them: which face one sees, the numbers' way."""
_PAD = 3.0

_SLACK = 1.0
"""Printed mm that a view whose words stand less far left is narrower than it must be."""
_SLIGHTLY = 1.01
"""Times larger than another scale, so that no rounding counts."""


class Warned(Enum):
    """How a first sheet says what is to be looked into before cutting."""

    IN_FULL = "each with its ground and cure"
    IN_SHORT = "what it is; ground and cure among the notes"
    OVERLEAF = "that the notes say it"


_ANGLE = 9.0
"""Printed mm that the view is lower at the most for each angle that it does not tell."""
_Way = tuple[int | None, float]
"""How many angles a view tells, all unless told, and how far left its words stand, in printed mm with its sign."""
_USUAL: _Way = (None, -math.inf)
_Drawn = dict[tuple[float, _Way], tuple[tuple[Composition, ...], Hole | None]]
"""The views by their scale and way, and the hole that a detail shows."""
_Planned = tuple[FirstPage, Contents, list[str]]
"""A first sheet, what was to stand on it, and all notes."""


def layout_sheets(request: SheetRequest) -> SheetSet:
    """The sheets of a job, all of one size and direction.

    Raises:
        OutputError: If the views fit the paper at no scale.
    """
    request = _with_fitted_border(request)
    largest, *smaller = _first_page(request)
    first, further = _fewest_pages(request, *largest)
    _, contents, _ = largest
    for each in smaller if len(further.rooms) > 1 else ():
        other, fewer = _fewest_pages(request, *each)
        if len(fewer.rooms) < len(further.rooms):
            first, further, (_, contents, _) = other, fewer, each
    first = balanced(request.sheet.border, first, contents)
    return SheetSet(tuple(_sheets(request, first, further)), request.stamp, convention=request.sheet.convention)


def _with_fitted_border(request: SheetRequest) -> SheetRequest:
    """The request with a title block that holds the values of the job."""
    page, sheet = paper(request.sheet.paper), request.sheet
    border = fitted(sheet.border, page, _values(request, page), sheet.convention)
    return replace(request, sheet=replace(sheet, border=border))


def _fewest_pages(
    request: SheetRequest, first: FirstPage, contents: Contents, notes: Sequence[str]
) -> tuple[FirstPage, FurtherPages]:
    """The first page and those after it; words of the first go on where that saves a page or a nearly empty one.

    Its first notes never do, its tables only to save a page.
    """
    has_card = SheetPart.CHECK_CARD in request.sheet.parts
    cards = Cards(readings_of(request.flange, request.unit) if has_card else CardAsks(), {})
    made: dict[tuple[object, ...], FurtherPages] = {}

    def pages_after(plan: FirstPage, *, may_part_card: bool = False) -> FurtherPages:
        left = plan.page, plan.tables, plan.notes, plan.extras, plan.asides, may_part_card
        if left not in made:
            made[left] = further_pages(request, plan, contents, notes, cards, may_part_card=may_part_card)
        return made[left]

    further = pages_after(first)
    if not (further.is_last_spare or further.card_goes_on):
        return first, further
    given, high = first, _revisions_height(request, first.page)
    kept = min(first.notes, len(request.info.notes) + _FIRST_NOTES)
    fewer = replace(contents, goes_on=True)
    few_notes = replace(fewer, notes=contents.notes[: max(len(contents.notes) // 2, kept)])
    first_notes, no_tables = replace(fewer, notes=contents.notes[:kept]), replace(fewer, tables=(), joined=())
    for shown in (contents, few_notes, first_notes, no_tables, replace(no_tables, notes=first_notes.notes)):
        for plan in first_pages(request.sheet.border, _pages(request.sheet.paper), first.composition, shown, high):
            if plan.notes < kept:
                continue
            pages = pages_after(plan)
            if _waste(plan, pages) < _waste(first, further):
                first, further = plan, pages
    for plan in (given, first) if further.is_last_spare else ():
        pages = pages_after(plan, may_part_card=True)
        if _waste(plan, pages) < _waste(first, further):
            first, further = plan, pages
    return first, further


def _waste(first: FirstPage, further: FurtherPages) -> tuple[int, int, bool, int, float]:
    """Pages that follow, what the first does not hold, what the last lacks, in the order of rank: less is better."""
    pages, missing = further.waste()
    return pages, -first.tables, further.is_last_spare, -first.notes, missing


def _first_page(request: SheetRequest) -> list[_Planned]:
    """The first sheet; a smaller one behind it may save a page.

    Warnings are in short where the views gain more by it than a little, and overleaf only where no sheet takes them.
    """
    drawn: _Drawn = {}
    if not (warnings(request.flange, request.unit) or request.failed):
        best = _best_first_page(request, 0.0, Warned.IN_FULL, drawn)
    else:
        best = _best_first_page(request, _LEAST_FACE, Warned.IN_FULL, drawn)
        least = _SLIGHTLY * _width(request, best) / _NEARLY if best else _LEAST_FACE
        best = _best_first_page(request, least, Warned.IN_SHORT, drawn) or best
    if not best:
        best = _best_first_page(request, 0.0, Warned.OVERLEAF, drawn)
        told = (_best_first_page(request, _width(request, best), how, drawn) for how in list(Warned)[:2] if best)
        best = next(filter(None, told), best)
    if not best:
        raise OutputError.of(OutputProblem.NO_SCALE_FITS, paper=request.sheet.paper)
    return best


def _width(request: SheetRequest, best: Sequence[_Planned]) -> float:
    """Printed mm of the plate."""
    return request.flange.box().width * _scale(best[0][0]) if best else 0.0


def _best_first_page(request: SheetRequest, least_face: float, warned: Warned, drawn: _Drawn) -> list[_Planned]:
    """The best first sheet, and one a little smaller with all notes if that holds fewer of them; none if none fits.

    Args:
        request: What is asked for.
        least_face: Printed mm that the plate is wide at the least.
        warned: How it says what is to be looked into.
        drawn: The views drawn so far; what is drawn more is added.
    """
    best: _Planned | None = None
    smaller: list[_Planned] = []
    width = request.flange.box().width
    for scale in DRAWING_SCALES:
        if not _serves(request, best[0], scale, width) if best else width * scale < least_face:
            break
        for plan, contents, notes in _plans_at(request, scale, warned, drawn):
            if best is None or _is_better(request, plan, contents, best[0]):
                if best and _scale(plan) < _scale(best[0]) and _holds_enough(request, best[0], contents):
                    smaller = smaller or [(plan, contents, notes)]
                else:
                    best = (plan, contents, notes)
            if best[0].is_whole(best[1]):
                return [best]
    return [best, *smaller] if best else []


def _holds_enough(request: SheetRequest, best: FirstPage, contents: Contents) -> bool:
    """Whether a sheet lacks no more than half of the notes, which another sheet that follows takes."""
    least = min(len(request.info.notes) + _FIRST_NOTES, -(-len(contents.notes) // 2))
    is_listed = best.tables == len(contents.tables) and not best.extras
    return is_listed and best.notes >= least and _goes_on(request) and not any(best.composition.call_outs.crossings)


def _is_better(request: SheetRequest, plan: FirstPage, contents: Contents, best: FirstPage) -> bool:
    """Whether more stands on a sheet: at the same scale, or all of it or every table at one that shows as much.

    Notes overleaf are the lesser evil to leaders over sizes, where another sheet follows.
    """
    shown, before = plan.composition, best.composition
    crossings, least = shown.call_outs.crossings, before.call_outs.crossings
    if _scale(plan) == _scale(best):
        if shown is not before and crossings[0] > least[0]:
            return False
        is_same = shown is before or not _goes_on(request)
        return plan.rank() > best.rank() if is_same else plan.tables > best.tables
    if len(shown.numbered()) < len(before.numbered()):
        return False
    if plan.is_whole(contents):
        return crossings <= least or (crossings[0] <= least[0] and plan.tables > best.tables)
    if plan.tables == len(contents.tables) > best.tables:
        return crossings <= least
    return crossings < least and plan.rank() >= best.rank()


def _scale(page: FirstPage) -> float:
    return page.composition.look.scale


def _serves(request: SheetRequest, best: FirstPage, scale: float, width: float) -> bool:
    """Whether a smaller scale than the largest that fits is worth a try: a little smaller, or saving a page."""
    return scale >= _NEARLY * _scale(best) or (not _goes_on(request) and width * scale >= _LEAST_FACE)


def _goes_on(request: SheetRequest) -> bool:
    """Whether sheets follow the first whatever stands there."""
    has_card = SheetPart.CHECK_CARD in request.sheet.parts and bool(request.flange.groups())
    return has_card or len(request.sheet.parts) > 1


def _plans_at(request: SheetRequest, scale: float, warned: Warned, drawn: _Drawn) -> Iterator[_Planned]:
    """Every way to lay the first sheet at a scale.

    Where a scale has room for no more, words at leaders stand less far left, or angles are left to the call-outs, which
    say how each circle stands.
    """
    pages = _pages(request.sheet.paper)
    if not any(_may_fit(request, request.sheet.border.frame(page), scale) for page in pages):
        return
    is_laid = False
    for plan in _plans_as(request, scale, _USUAL, warned, drawn):
        is_laid = True
        yield plan
    for way in _other_ways(request, scale, warned, drawn, is_laid=is_laid):
        plans = _plans_as(request, scale, way, warned, drawn)
        if first := next(plans, None):
            yield from chain((first,), plans)
            return


def _plans_as(request: SheetRequest, scale: float, way: _Way, warned: Warned, drawn: _Drawn) -> Iterator[_Planned]:
    """Every way to lay the first sheet with views drawn one way."""
    compositions, detailed = _drawn_at(request, scale, way, drawn)
    return chain.from_iterable(_plans_of(request, each, detailed, warned) for each in compositions)


def _other_ways(request: SheetRequest, scale: float, warned: Warned, drawn: _Drawn, *, is_laid: bool) -> Iterator[_Way]:
    """The ways with which views might fit at a scale where the usual one does not.

    Where it does (``is_laid``), a narrower one with which a sheet might hold all.
    """
    usual, detailed = _drawn_at(request, scale, _USUAL, drawn)

    def would_serve(boxes: Iterable[Box]) -> bool:
        changed = (replace(each, box=box) for each, box in zip(usual, boxes, strict=True))
        how = warned if is_laid else Warned.OVERLEAF
        plans = chain.from_iterable(_plans_of(request, each, detailed, how) for each in changed)
        return any(plan.is_whole(contents) or not is_laid for plan, contents, _ in plans)

    for page in _pages(request.sheet.paper):
        left = max(each.box.right for each in usual) - widest(request.sheet.border, page) + _SLACK
        is_moved = any(each.box.left < left <= each.rest_left() for each in usual)
        if is_moved and would_serve(replace(each.box, left=left) for each in usual):
            yield None, left
            break
    angles = angles_to_tell(request.flange)
    for most in range(angles - 1, 0, -1) if not is_laid else ():
        lower = _ANGLE * (angles - most)
        if would_serve(replace(each.box, top=each.box.top - lower) for each in usual):
            yield most, -math.inf


def _drawn_at(
    request: SheetRequest, scale: float, way: _Way, drawn: _Drawn
) -> tuple[tuple[Composition, ...], Hole | None]:
    """The views at a scale, and the hole that a detail shows."""
    if (scale, way) not in drawn:
        holes, (most_angles, left) = request.flange.holes(), way
        pages, border = _pages(request.sheet.paper), request.sheet.border
        room = max(LEAST_NUMBERED_WITHIN, _NUMBERED_SHARE * min(pages[0].width, pages[0].height))
        look = Look(request.flange, request.lengths, request.sheet.convention, scale, left, room)
        detailed = detailed_hole(request.flange, holes, scale)
        may_fit = partial(has_room, border, pages, _revisions_height(request, pages[0]))
        drawn[scale, way] = compose(look, holes, detailed, most_angles, may_fit), detailed
    return drawn[scale, way]


def _plans_of(
    request: SheetRequest, composition: Composition, detailed: Hole | None, warned: Warned
) -> Iterator[_Planned]:
    """Every way to lay the first sheet with a composition."""
    pages, look = _pages(request.sheet.paper), composition.look
    lengths, every = request.lengths, SheetPart.ALL_HOLES in request.sheet.parts
    notes = _notes(request, pages[0], composition.numbered())
    doubtful = warnings(request.flange, request.unit)
    wrong = tuple(map(sentence, (*doubtful, *request.failed)))
    if wrong and warned is not Warned.IN_FULL:
        notes = [*wrong, *notes]
        shorter = tuple(map(sentence, (*doubtful, *(request.failed_in_short or request.failed))))
        pointing = (f"{counted(len(wrong), 'point')}: see the notes, from 1 on.",)
        wrong = shorter if warned is Warned.IN_SHORT else pointing
    stated = [tolerance_table(request.flange, lengths, request.process), *corner_tables(request.flange, lengths)]
    contents = Contents(
        CHECK_FIRST,
        wrong,
        legend_lines(request.flange, lengths, composition.call_outs.in_list),
        tuple(_laid_first(request, hole_tables(request.flange, lengths, every), pages[0])),
        tuple(_laid_first(request, joined_tables(request.flange, lengths, every), pages[0])),
        tuple(replace(table_block(each), topic=TOLERANCES) for each in _laid_first(request, stated, pages[0])),
        tuple(notes[:MOST_NOTES]),
        (_detail(look, detailed),) if detailed else (),
        (hole_sections(look, composition.unshown),) if composition.unshown else (),
        goes_on=len(notes) > MOST_NOTES,
    )
    high = _revisions_height(request, pages[0])
    for plan in first_pages(request.sheet.border, pages, composition, contents, high):
        yield plan, contents, notes


def _notes(request: SheetRequest, page: Paper, numbered: Collection[str]) -> list[str]:
    """All notes, after the shop's own what the title block has no room for; some holes bear a number in the view."""
    every = SheetPart.ALL_HOLES in request.sheet.parts
    notes = sheet_notes(
        request.flange, request.info, request.lengths, request.remarks, numbered, request.process, every
    )
    values = _values(request, page)
    beyond = [
        f"{name}: {value}" for name, value in beyond_cells(request.sheet.border, values, request.sheet.convention)
    ]
    own = len(request.info.notes)
    return [*notes[:own], *beyond, *notes[own:]]


def _values(request: SheetRequest, page: Paper) -> dict[Shows, str]:
    info, stamp, flange, sheet = request.info, request.stamp, request.flange, request.sheet
    return block_values(info, stamp, flange, request.unit, sheet.convention, page, dual=sheet.dual_units)


def _may_fit(request: SheetRequest, frame: Box, scale: float) -> bool:
    """Whether the plate with its section and the least that is said of it can stand in a frame."""
    box, thickness = request.flange.box(), request.flange.thickness
    beside = 8.0 + (thickness * scale + 16.0 if thickness is not None else 0.0)
    return box.width * scale + beside <= frame.width and box.height * scale + 20.0 <= frame.height


def _pages(name: str) -> tuple[Paper, Paper]:
    """The paper both ways, the usual one first: office sizes upright, the larger ones sideways (ISO 5457)."""
    upright, sideways = paper(name), paper(name, landscape=True)
    return (sideways, upright) if PAPERS[PaperName(name)].sideways else (upright, sideways)


def _laid_first(request: SheetRequest, tables: Iterable[TextTable], page: Paper) -> list[LaidTable]:
    """Tables as the first sheet takes them."""
    return laid(tables, request.sheet.border.frame(page).width - 2 * _PAD, request.letter)


def _detail(look: Look, hole: Hole) -> Block:
    """The detail as a block of its own."""
    scale = detail_scale(hole, DRAWING_SCALES)
    items = detail_items(replace(look, scale=scale), hole, scale_text(scale))
    room = detail_box(items, scale)

    def draw(at: Point) -> PlacedBlock:
        origin = Point(at.x - room.left, at.y - room.top)
        return PlacedBlock((), (View(Drawing("detail", items), scale, origin),))

    return Block(room.width, room.height, draw, DETAIL)


def _sheets(request: SheetRequest, first: FirstPage, further: FurtherPages) -> Iterator[Sheet]:
    page, count = first.page, 1 + len(further.rooms)
    mass = mass_words(request.flange, request.unit)
    facts = SheetFacts(scale_text(_scale(first)), mass, 1, count)
    border, frame = border_items(request.sheet.border, page), request.sheet.border.frame(page)
    block = title_block(request.sheet.border, page, _values(request, page), request.sheet.convention, facts)
    code = code_items(request.sheet.border, page, request.stamp)
    revisions = _revision_items(request, page)
    taken = [block_room(request.sheet.border, page), *([items_box(revisions, 1.0)] if revisions else ())]
    told = overleaf_items(told_overleaf(first, further.rooms), first, request.letter, frame, taken)
    placed = first.placed()
    yield Sheet(page, placed.views, (*border, *code, *block, *revisions, *placed.items, *told), "sheet 1")
    for number, (room, title) in enumerate(zip(further.rooms, further.titles(), strict=True), 2):
        heading, words = request.heading(number, count), room.placed()
        top = heading_items(frame, heading, title, request.sheet.convention)
        yield Sheet(page, words.views, (*border, *top, *words.items), f"sheet {number}")


def _revisions(request: SheetRequest, page: Paper) -> LaidTable | None:
    """The latest revisions, as wide as the title block at the most; ``None`` where the job tells none."""
    table = revision_table(request.info)
    if not table.rows:
        return None
    shown = replace(table, rows=table.rows[-MOST_REVISIONS:])
    return lay_table(
        shown, request.letter, min(request.sheet.border.width, request.sheet.border.frame(page).width) - 2 * _PAD
    )


def _revisions_height(request: SheetRequest, page: Paper) -> float:
    revisions = _revisions(request, page)
    return revisions.height if revisions else 0.0


def _revision_items(request: SheetRequest, page: Paper) -> tuple[Item, ...]:
    table = _revisions(request, page)
    if table is None:
        return ()
    frame, block = request.sheet.border.frame(page), block_room(request.sheet.border, page)
    if request.sheet.border.revisions is RevisionPlace.UPPER_RIGHT:
        return table_items(table, frame.right - _PAD - table.width, frame.top - _PAD)
    return table_items(table, block.right - _PAD - table.width, block.top + _PAD + table.height)
