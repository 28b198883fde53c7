"""The layout sheet: face view and section to a standard scale, tables, notes and title block, on few pages."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from flangelayout.drawing.border import Border, RevisionPlace, Shows
from flangelayout.drawing.convention import Convention
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import Drawing, Item, Paper, Sheet, SheetSet, Stamp, View
from flangelayout.drawing.papers import PAPERS, PaperName, paper
from flangelayout.errors import OutputError
from flangelayout.flange import Flange, Hole
from flangelayout.geometry.shapes import Box, Point
from flangelayout.problems.output import OutputProblem
from flangelayout.units import Unit
from flangelayout.views.page.alert import alert_items
from flangelayout.views.page.blocks import cut_to, laid, size_of
from flangelayout.views.page.border import border_items
from flangelayout.views.page.packing import GAP, Size, packed
from flangelayout.views.page.scales import SCALES, scale_text
from flangelayout.views.page.tables import LaidTable, lay_table, table_items
from flangelayout.views.page.text import paragraph
from flangelayout.views.page.title_block import SheetFacts, block_room, block_values, code_items, title_block
from flangelayout.views.sheet.compose import Composition, compose
from flangelayout.views.sheet.detail import detail_box, detail_items, detail_scale, detailed_hole
from flangelayout.views.sheet.look import Look
from flangelayout.views.words.bill import bill_table, mass_words
from flangelayout.views.words.check_tables import bore_tables, diagonal_tables, step_off_tables
from flangelayout.views.words.hole_tables import chord_tables, hole_table
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.notes import lines_table, revision_table, sheet_notes
from flangelayout.views.words.origins import CHECK_FIRST, warnings
from flangelayout.views.words.sequences import drilling_tables, tightening_tables
from flangelayout.views.words.tolerances import tolerance_table

_NOTE_HEIGHT = 2.0
_LARGE_FACE, _LEAST_FACE = 85.0, 55.0
"""A face view that wide on paper is not made larger at the price of a second sheet; or of the hole table on one."""
_MOST_NOTES = 0.34
"""Share of the frame's height that the notes of the first sheet take at the most; the rest goes on."""
_PAD = 3.0


@dataclass(frozen=True, slots=True)
class SheetRequest:
    """A layout sheet to be made.

    Attributes:
        flange: What is made.
        info: Title block.
        stamp: Identity.
        unit: Master unit of the numbers shown.
        paper: One of ``papers.PAPER_NAMES``; upright or sideways, whichever serves better.
        border: Border and title block.
        convention: The rules it is drawn by.
        dual_units: Whether the other unit follows in brackets.
        remarks: What the checks found, printed among the notes.
    """

    flange: Flange
    info: JobInfo
    stamp: Stamp
    unit: Unit
    paper: str
    border: Border
    convention: Convention
    dual_units: bool = False
    remarks: Sequence[str] = field(default_factory=tuple)

    @property
    def lengths(self) -> Lengths:
        """How lengths are written."""
        return Lengths(self.unit, self.dual_units, self.convention)


@dataclass(frozen=True, slots=True)
class _PagePlan:
    """The first sheet: page, views, the rooms of tables and revisions, of notes and the boxed warning over them."""

    page: Paper
    composition: Composition
    views: Box
    tables: Box
    notes: Box
    note_lines: tuple[str, ...]
    more_notes: tuple[str, ...]
    revisions: Box | None


@dataclass(frozen=True, slots=True)
class _Detail:
    """A detail at its scale, and the room it takes in printed mm about the middle of the plate."""

    items: tuple[Item, ...]
    scale: float
    room: Box


def layout_sheets(request: SheetRequest) -> SheetSet:
    """The sheets of a job: one, or several where the tables run long; all of one size and direction."""
    holes = request.flange.holes()
    main, others = _tables(request)
    plan = _best_plan(request, holes, main, others)
    detail = _detail(request, plan, holes)
    room = _flow_room(request.border, plan.page)
    more = lines_table("NOTES, continued", "NOTE", plan.more_notes)
    blocks: list[LaidTable | _Detail] = [*([detail] if detail else []), *main, *others]
    first, rest = _first_page(request, plan, [*blocks, *laid([more], room.width)])
    pages = [first, *_further_pages(rest, room)]
    return SheetSet(tuple(_sheets(request, plan, pages)), request.stamp, convention=request.convention)


def _tables(request: SheetRequest) -> tuple[list[LaidTable], list[LaidTable]]:
    """The tables one works from, and those one lays out, checks and orders by."""
    flange, lengths = request.flange, request.lengths
    width = _flow_room(request.border, paper(request.paper)).width
    main = laid([tolerance_table(flange, lengths), hole_table(flange, lengths), *chord_tables(flange, lengths)], width)
    others = [
        bill_table(flange, request.info.quantity, lengths),
        *bore_tables(flange, lengths),
        *step_off_tables(flange, lengths),
        *diagonal_tables(flange, lengths),
        *drilling_tables(flange),
        *tightening_tables(flange),
    ]
    return main, laid(others, width)


def _flow_room(border: Border, page: Paper) -> Box:
    """Where tables stand on a page without views."""
    frame = border.frame(page)
    floor = block_room(border, page).top + GAP
    return Box(frame.left + GAP, floor, frame.right - GAP, frame.top - GAP)


def _best_plan(
    request: SheetRequest, holes: tuple[Hole, ...], main: list[LaidTable], others: list[LaidTable]
) -> _PagePlan:
    """The plan with the largest scale; fewer sheets rather than more as soon as the face is large enough.

    Raises:
        OutputError: If the views fit the paper at no scale.
    """
    box = request.flange.box()
    plans: dict[float, list[_PagePlan]] = {}
    wishes: tuple[tuple[list[LaidTable], float], ...]
    wishes = (([*main, *others], _LARGE_FACE), (main, _LEAST_FACE), (main[:1], _LEAST_FACE), ([], _LEAST_FACE))
    for tables, least, whole in (*((*wish, True) for wish in wishes), ([], 0.0, False)):
        for scale in SCALES:
            if max(box.width, box.height) * scale < least:
                break
            if scale not in plans:
                plans[scale] = list(_plans_at(request, holes, scale))
            for plan in plans[scale]:
                cut = whole and plan.more_notes
                if not cut and all(packed([size_of(table) for table in tables], plan.tables)):
                    return plan
    raise OutputError.of(OutputProblem.NO_SCALE_FITS, paper=request.paper)


def _plans_at(request: SheetRequest, holes: tuple[Hole, ...], scale: float) -> Iterator[_PagePlan]:
    """Every page, upright and sideways, on which the views fit at a scale."""
    pages = _pages(request.paper)
    box, frames = request.flange.box(), [request.border.frame(page) for page in pages]
    if all(box.width * scale > frame.width or box.height * scale > frame.height for frame in frames):
        return
    look = Look(request.flange, request.lengths, request.convention, scale)
    composition = compose(look, holes, detailed_hole(request.flange, holes, scale))
    notes = sheet_notes(request.flange, request.info, request.lengths, request.remarks, composition.told_in_notes)
    for page in pages:
        plan = _plan(request, page, composition, notes)
        if plan:
            yield plan


def _pages(name: str) -> tuple[Paper, Paper]:
    """The paper both ways, the usual one first: office sizes upright, the larger ones sideways (ISO 5457)."""
    upright, sideways = paper(name), paper(name, landscape=True)
    return (sideways, upright) if PAPERS[PaperName(name)].sideways else (upright, sideways)


def _plan(request: SheetRequest, page: Paper, composition: Composition, notes: list[str]) -> _PagePlan | None:
    """The rooms of a page, or ``None`` where the views do not fit."""
    frame, block = request.border.frame(page), block_room(request.border, page)
    sideways = page.width > page.height
    revisions = _revision_room(request, frame, block)
    above_block = revisions.top if revisions and revisions.bottom < frame.center.y else block.top
    ceiling = frame.top if above_block != block.top or not revisions else revisions.bottom - 1.0
    beside = sideways and block.left - frame.left > 60
    left, width = (frame.left, block.left - frame.left) if beside else (frame.left, frame.width)
    base = frame.bottom if beside else above_block
    view = composition.box
    under = ceiling - view.height - 2 * _PAD - base if beside else 0.0
    most = max(frame.height * _MOST_NOTES, above_block - base, under) - 3.0
    alert = -_alert(request, 0.0, 0.0, width - 2 * GAP)[1]
    shown, more, height = _cut_notes(notes, width - 2 * GAP, most - alert)
    note_box = Box(left + GAP, base, left + width - GAP, base + height + alert + 2.0)
    floor = max(note_box.top, above_block) + 2.5
    views = Box(frame.left + _PAD, ceiling - _PAD - view.height, frame.left + _PAD + view.width, ceiling - _PAD)
    if sideways:
        low = above_block + 2.5 if beside and views.right + GAP >= note_box.right else floor
        tables = Box(views.right + GAP, low + _PAD, frame.right - _PAD, ceiling - _PAD)
    else:
        tables = Box(frame.left + 3.0, floor, frame.right - 3.0, views.bottom - _PAD)
    if views.bottom < floor or view.width > frame.width - 2 * _PAD:
        return None
    return _PagePlan(page, composition, views, tables, note_box, tuple(shown), tuple(more), revisions)


def _alert(request: SheetRequest, left: float, top: float, width: float) -> tuple[list[Item], float]:
    """What has to be looked into before the plate is cut, boxed, and the y below it with a little air."""
    items, below = alert_items(left, top, width, CHECK_FIRST, warnings(request.flange, request.unit))
    return items, below - (_PAD if items else 0.0)


def _revision_room(request: SheetRequest, frame: Box, block: Box) -> Box | None:
    """Where the revision table stands, right over the title block or in the upper right corner of the frame."""
    table = lay_table(revision_table(request.info))
    if not table.table.rows:
        return None
    if request.border.revisions is RevisionPlace.UPPER_RIGHT:
        return Box(frame.right - table.width - _PAD, frame.top - table.height - _PAD, frame.right - _PAD, frame.top)
    return Box(block.right - table.width - _PAD, block.top, block.right - _PAD, block.top + table.height + _PAD)


def _cut_notes(notes: list[str], width: float, most: float) -> tuple[list[str], list[str], float]:
    """The notes that fit into a height, those that go on, and the height taken."""
    taken = 0.0
    for index, note in enumerate(notes):
        _, below = paragraph(0.0, 0.0, width, [note], _NOTE_HEIGHT)
        if taken - below > most:
            return notes[:index], notes[index:], taken
        taken -= below
    return notes, [], taken


def _detail(request: SheetRequest, plan: _PagePlan, holes: tuple[Hole, ...]) -> _Detail | None:
    hole = detailed_hole(request.flange, holes, plan.composition.look.scale)
    if hole is None:
        return None
    scale = detail_scale(hole, SCALES)
    look = Look(request.flange, request.lengths, request.convention, scale)
    items = detail_items(look, hole, scale_text(scale))
    return _Detail(items, scale, detail_box(items, scale))


@dataclass(frozen=True, slots=True)
class _SheetPage:
    """What stands on a page beside border and title block."""

    items: tuple[Item, ...]
    views: tuple[View, ...]
    scale: str


def _block_size(block: LaidTable | _Detail) -> Size:
    return Size(block.room.width, block.room.height) if isinstance(block, _Detail) else size_of(block)


def _set_down(blocks: Sequence[LaidTable | _Detail], boxes: Sequence[Box | None]) -> tuple[list[Item], list[View]]:
    """Blocks drawn in their places."""
    items: list[Item] = []
    views: list[View] = []
    for block, box in zip(blocks, boxes, strict=True):
        if box is None:
            continue
        if isinstance(block, _Detail):
            at = Point(box.left - block.room.left, box.bottom - block.room.bottom)
            views.append(View(Drawing("detail", block.items), block.scale, at))
        else:
            items += table_items(block, box.left, box.top)
    return items, views


def _first_page(
    request: SheetRequest, plan: _PagePlan, blocks: list[LaidTable | _Detail]
) -> tuple[_SheetPage, list[LaidTable | _Detail]]:
    """The views, the tables that fit beside or below them, the notes; and the blocks that go on."""
    boxes = packed([_block_size(block) for block in blocks], plan.tables)
    rest = [block for block, box in zip(blocks, boxes, strict=True) if box is None]
    placed = [box for box in boxes if box]
    sideways = plan.page.width > plan.page.height
    low = min((box.bottom for box in placed), default=plan.tables.top)
    spare = low - plan.tables.bottom
    if not sideways:
        boxes = [box and box.moved(Point(0.0, -spare)) for box in boxes]
    items, views = _set_down(blocks, boxes)
    room = _views_room(plan, sideways, spare, bool(placed))
    view = plan.composition.box
    at = Point(room.center.x - view.center.x, room.center.y - view.center.y)
    look = plan.composition.look
    layout = View(Drawing("layout", plan.composition.items()), look.scale, at)
    alert, top = _alert(request, plan.notes.left, plan.notes.top, plan.notes.width)
    notes, _ = paragraph(plan.notes.left, top, plan.notes.width, plan.note_lines, _NOTE_HEIGHT)
    return _SheetPage((*alert, *notes, *items), (layout, *views), scale_text(look.scale)), rest


def _views_room(plan: _PagePlan, sideways: bool, spare: float, tables: bool) -> Box:
    """What is left for the views: they stand in its middle."""
    views = plan.views
    if not sideways:
        return Box(views.left, views.bottom - spare, plan.tables.right, views.top)
    right = views.right if tables else plan.tables.right
    return Box(views.left, max(plan.tables.bottom, plan.notes.top + _PAD), right, views.top)


def _further_pages(blocks: list[LaidTable | _Detail], room: Box) -> Iterator[_SheetPage]:
    """Pages with the remaining blocks, long tables parted between rows."""
    tables = cut_to([block for block in blocks if isinstance(block, LaidTable)], room.height)
    rest: list[LaidTable | _Detail] = [*(block for block in blocks if isinstance(block, _Detail)), *tables]
    while rest:
        boxes = packed([_block_size(block) for block in rest], room)
        items, views = _set_down(rest, boxes)
        yield _SheetPage(tuple(items), tuple(views), "—")
        left = [block for block, box in zip(rest, boxes, strict=True) if box is None]
        rest = left if len(left) < len(rest) else []


def _sheets(request: SheetRequest, plan: _PagePlan, pages: Sequence[_SheetPage]) -> Iterator[Sheet]:
    values: dict[Shows, str] = block_values(
        request.info, request.stamp, request.flange, request.unit, request.convention, plan.page
    )
    mass = mass_words(request.flange, request.unit)
    border = (*border_items(request.border, plan.page), *code_items(request.border, plan.page, request.stamp))
    for number, page in enumerate(pages, 1):
        facts = SheetFacts(page.scale, mass, number, len(pages))
        block = title_block(request.border, plan.page, values, request.convention, facts)
        own = _revisions(request, plan) if number == 1 else ()
        yield Sheet(plan.page, page.views, (*border, *block, *own, *page.items), f"sheet {number}")


def _revisions(request: SheetRequest, plan: _PagePlan) -> tuple[Item, ...]:
    if plan.revisions is None:
        return ()
    table = lay_table(revision_table(request.info))
    return table_items(table, plan.revisions.left, plan.revisions.bottom + table.height)
