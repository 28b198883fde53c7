"""The layout sheets: views and what is worked by first, then the check card, the rest when asked for."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial

from flangelayout.drawing.border import RevisionPlace, Shows
from flangelayout.drawing.choices import SheetPart
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import Drawing, Item, Paper, Sheet, SheetSet, Stamp, TextTable, View
from flangelayout.drawing.papers import PAPERS, PaperName, paper
from flangelayout.drawing.settings import SheetSettings
from flangelayout.errors import OutputError
from flangelayout.flange import Flange, Hole
from flangelayout.flange.cutting import CutProcess
from flangelayout.geometry.shapes import Box, Point
from flangelayout.problems.output import OutputProblem
from flangelayout.units import Unit, counted
from flangelayout.views.page.blocks import GAP, Block, PlacedBlock, laid, notes_block, table_block, table_blocks
from flangelayout.views.page.border import border_items
from flangelayout.views.page.forms import least_row
from flangelayout.views.page.heading import PageHeading, heading_items, room_between
from flangelayout.views.page.packing import PageRoom, filled, paged
from flangelayout.views.page.scales import DRAWING_SCALES, scale_text
from flangelayout.views.page.tables import LaidTable, lay_table, table_items
from flangelayout.views.page.title_block import (
    SheetFacts,
    beyond_cells,
    block_room,
    block_values,
    code_items,
    title_block,
)
from flangelayout.views.sheet.check_card import AT_THE_PLATE, card_blocks
from flangelayout.views.sheet.compose import compose
from flangelayout.views.sheet.detail import detail_box, detail_items, detail_scale, detailed_hole
from flangelayout.views.sheet.first_page import NOTES, Contents, FirstPage, first_pages
from flangelayout.views.sheet.look import Look
from flangelayout.views.words.bench.check_tables import bore_tables, step_off_tables
from flangelayout.views.words.bench.sequences import drilling_tables, tightening_tables
from flangelayout.views.words.bill import bill_table, mass_words
from flangelayout.views.words.hole_tables import hole_tables
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.notes import MOST_NOTES, bolt_length_notes, revision_table, sheet_notes, source_notes
from flangelayout.views.words.origins import CHECK_FIRST, warnings
from flangelayout.views.words.plate import corner_tables
from flangelayout.views.words.tolerances import tolerance_table

_LEAST_FILLED = 1 / 3
"""Of the last page: what would fill less goes on the pages before."""
_NEARLY = 0.8
"""A scale so much smaller is taken where then everything stands on the first sheet."""
_LEAST_FACE = 55.0
"""Printed mm that a plate is wide at the least where a smaller scale saves a page."""
_GLOVED_ROW = 8.2
"""Height in printed mm of a row that is written in with gloves on; on a bench a lower one does, if it saves a page."""
_LEAST_PART = 12
"""Rows of a table that is parted, at the least."""
_MOST_REVISIONS = 6
"""Revisions on the first sheet; more stand on a further one."""
_PAD = 3.0
_WIDE_NOTES = 180.0
"""Printed mm that notes of further pages are wide at the most."""


@dataclass(frozen=True, slots=True)
class SheetRequest:
    """A set of layout sheets to be made.

    Attributes:
        flange: What is made.
        info: Title block.
        stamp: Identity.
        unit: Master unit of the numbers shown.
        sheet: Paper, upright or sideways, whichever serves better; border, rules, units, further sheets.
        failed: What the checks found wrong, to be looked into before cutting.
        remarks: What the checks noticed, printed among the notes.
        process: What cuts the plate; ``None`` where the job does not say.
    """

    flange: Flange
    info: JobInfo
    stamp: Stamp
    unit: Unit
    sheet: SheetSettings
    failed: Sequence[str] = ()
    remarks: Sequence[str] = ()
    process: CutProcess | None = None

    @property
    def lengths(self) -> Lengths:
        """How lengths are written."""
        return Lengths(self.unit, self.sheet.dual_units, self.sheet.convention)

    @property
    def letter(self) -> float:
        """Height of the smallest capitals, in printed mm."""
        return self.sheet.convention.letter_height


def layout_sheets(request: SheetRequest) -> SheetSet:
    """The sheets of a job, all of one size and direction.

    Raises:
        OutputError: If the views fit the paper at no scale.
    """
    first, contents, notes = _first_page(request)
    further = _further_pages(request, first, contents, notes)
    return SheetSet(tuple(_sheets(request, first, further)), request.stamp, convention=request.sheet.convention)


def _first_page(request: SheetRequest) -> tuple[FirstPage, Contents, list[str]]:
    """The first sheet, what was to stand on it, and all notes."""
    best = _best_first_page(request, False) or _best_first_page(request, True)
    if best is None:
        raise OutputError.of(OutputProblem.NO_SCALE_FITS, paper=request.sheet.paper)
    return best


def _best_first_page(request: SheetRequest, overleaf: bool) -> tuple[FirstPage, Contents, list[str]] | None:
    """The best first sheet; with ``overleaf`` warnings too many for any are among the notes of further sheets."""
    best: tuple[FirstPage, Contents, list[str]] | None = None
    holes, width = request.flange.holes(), request.flange.box().width
    for scale in DRAWING_SCALES:
        if best and not _serves(request, best[0], scale, width):
            break
        for plan, contents, notes in _plans_at(request, holes, scale, overleaf):
            if best is None or _is_better(plan, contents, best[0]):
                best = (plan, contents, notes)
        if best and best[0].is_whole(best[1]):
            break
    return best


def _is_better(plan: FirstPage, contents: Contents, best: FirstPage) -> bool:
    """Whether more stands on a sheet: at the same scale, or all of it at a smaller one."""
    if _scale(plan) == _scale(best):
        return plan.rank() > best.rank()
    return plan.is_whole(contents)


def _scale(page: FirstPage) -> float:
    return page.composition.look.scale


def _serves(request: SheetRequest, best: FirstPage, scale: float, width: float) -> bool:
    """Whether a smaller scale than the largest that fits is worth a try: a little smaller, or saving a page."""
    has_more = (SheetPart.CHECK_CARD in request.sheet.parts and bool(request.flange.groups())) or len(
        request.sheet.parts
    ) > 1
    return scale >= _NEARLY * _scale(best) or (not has_more and width * scale >= _LEAST_FACE)


def _plans_at(
    request: SheetRequest, holes: tuple[Hole, ...], scale: float, overleaf: bool
) -> Iterator[tuple[FirstPage, Contents, list[str]]]:
    """Every way to lay the first sheet at a scale."""
    pages = _pages(request.sheet.paper)
    if not any(_may_fit(request, request.sheet.border.frame(page), scale) for page in pages):
        return
    look = Look(request.flange, request.lengths, request.sheet.convention, scale)
    detailed = detailed_hole(request.flange, holes, scale)
    composition = compose(look, holes, detailed)
    lengths, every = request.lengths, SheetPart.ALL_HOLES in request.sheet.parts
    notes = _notes(request, pages[0], composition.told_in_notes)
    wrong = (*warnings(request.flange, request.unit), *request.failed)
    if overleaf:
        notes, wrong = [*wrong, *notes], (f"{counted(len(wrong), 'point')}: see the notes, from 1 on.",)
    stated = [tolerance_table(request.flange, lengths), *corner_tables(request.flange, lengths)]
    contents = Contents(
        CHECK_FIRST,
        wrong,
        tuple(_laid_first(request, hole_tables(request.flange, lengths, every), pages[0])),
        tuple(map(table_block, _laid_first(request, stated, pages[0]))),
        tuple(notes[:MOST_NOTES]),
        (_detail(look, detailed),) if detailed else (),
    )
    revisions = _revisions(request, pages[0])
    high = revisions.height if revisions else 0.0
    for plan in first_pages(request.sheet.border, pages, composition, contents, high):
        yield plan, contents, notes


def _notes(request: SheetRequest, page: Paper, told: Sequence[int]) -> list[str]:
    """All notes, after the shop's own what the title block has no room for."""
    every = SheetPart.ALL_HOLES in request.sheet.parts
    notes = sheet_notes(request.flange, request.info, request.lengths, request.remarks, told, request.process, every)
    values = _values(request, page)
    beyond = [
        f"{name}: {value}" for name, value in beyond_cells(request.sheet.border, values, request.sheet.convention)
    ]
    own = len(request.info.notes)
    return [*notes[:own], *beyond, *notes[own:]]


def _values(request: SheetRequest, page: Paper) -> dict[Shows, str]:
    return block_values(request.info, request.stamp, request.flange, request.unit, request.sheet.convention, page)


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

    return Block(room.width, room.height, draw)


def _further_pages(request: SheetRequest, first: FirstPage, contents: Contents, notes: Sequence[str]) -> list[PageRoom]:
    """The pages after the first: the check card, what found no place on the first, and what is asked for."""
    room = room_between(request.sheet.border.frame(first.page), _heading(request, 2, 2), request.sheet.convention)
    least = least_row(request.letter)
    rows = (max(_GLOVED_ROW, least), least)
    cards = {row: _card(request, room, row) for row in rows}

    def blocks_of(row: float, wide: float, height: float) -> list[Block]:
        box = Box(room.left, room.top - height, room.right, room.top)
        return [
            *cards[row],
            *first.extras,
            *(() if first.tables else _parted(contents.tables, box)),
            *_more_notes(request, notes, first.notes, wide),
            *(block for table in laid(_asked(request), room.width, request.letter) for block in _whole(table, height)),
            *_asked_notes(request, room.width),
        ]

    def cost(row: float, pages: list[PageRoom]) -> tuple[int, bool, bool]:
        """Pages; whether the card goes on from one to the next; whether the last is nearly empty."""
        goes_on = bool(pages) and len(pages[0].taken) < len(cards[row])
        return len(pages), goes_on, bool(pages) and filled(pages[-1]) < _LEAST_FILLED

    tries = [(row, wide) for row in rows for wide in _note_widths(room.width)]
    plans = [(row, paged(partial(blocks_of, row, wide), room, _LEAST_FILLED, len(cards[row]))) for row, wide in tries]
    return min(plans, key=lambda plan: cost(*plan))[1]


def _card(request: SheetRequest, box: Box, row: float) -> list[Block]:
    if SheetPart.CHECK_CARD not in request.sheet.parts:
        return []
    return card_blocks(request.flange, request.lengths, request.sheet.convention, box, row)


def _parted(tables: Sequence[LaidTable], box: Box) -> Iterator[Block]:
    """Tables of holes, long ones in as many columns as stand beside each other."""
    for table in tables:
        side_by_side = int((box.width + GAP) // (table.width + GAP))
        columns = min(side_by_side, len(table.table.rows) // _LEAST_PART)
        yield from table_blocks(table, box.height, max(columns, 1))


def _whole(table: LaidTable, height: float) -> list[Block]:
    return [table_block(table)] if table.height <= height else table_blocks(table, height)


def _note_widths(width: float) -> tuple[float, ...]:
    """How wide notes of further pages may be, in printed mm: easy to read, or beside a list."""
    return min(width, _WIDE_NOTES), min((width - GAP) / 2, _WIDE_NOTES)


def _more_notes(request: SheetRequest, notes: Sequence[str], shown: int, width: float) -> Iterator[Block]:
    """The notes that the first sheet does not hold, in blocks that a page takes."""
    for at in range(shown, len(notes), MOST_NOTES):
        title = f"{NOTES}, continued" if at else NOTES
        yield notes_block(title, notes[at : at + MOST_NOTES], width, request.letter, at + 1)


def _asked(request: SheetRequest) -> Iterator[TextTable]:
    """The tables of the parts that are asked for; what is laid out from a bore already cut always."""
    flange, lengths = request.flange, request.lengths
    yield from bore_tables(flange, lengths)
    if len(request.info.revision_history) > _MOST_REVISIONS:
        yield revision_table(request.info)
    for part in request.sheet.parts:
        match part:
            case SheetPart.BILL:
                yield bill_table(flange, request.info.quantity, lengths)
            case SheetPart.STEP_OFF:
                yield from step_off_tables(flange, lengths)
            case SheetPart.SEQUENCES:
                yield from drilling_tables(flange)
                yield from tightening_tables(flange)
            case _:
                pass


def _asked_notes(request: SheetRequest, width: float) -> Iterator[Block]:
    """The texts of the parts that are asked for."""
    texts = (
        (SheetPart.BOLT_LENGTHS, "BOLT LENGTHS", list(bolt_length_notes(request.flange))),
        (SheetPart.SOURCES, "WHERE FIGURES COME FROM", list(source_notes(request.flange, request.lengths))),
    )
    for part, title, lines in texts:
        if part in request.sheet.parts and lines:
            yield notes_block(title, lines, min(width, _WIDE_NOTES), request.letter)


def _heading(request: SheetRequest, number: int, count: int) -> PageHeading:
    about = f"{request.flange.face.upper()} toward you · {request.unit.value}"
    return PageHeading(request.info, request.stamp, about, number, count)


def _sheets(request: SheetRequest, first: FirstPage, further: Sequence[PageRoom]) -> Iterator[Sheet]:
    page, count = first.page, 1 + len(further)
    mass = mass_words(request.flange, request.unit)
    facts = SheetFacts(scale_text(_scale(first)), mass, 1, count)
    border, placed = border_items(request.sheet.border, page), first.placed()
    block = title_block(request.sheet.border, page, _values(request, page), request.sheet.convention, facts)
    code = code_items(request.sheet.border, page, request.stamp)
    yield Sheet(page, placed.views, (*border, *code, *block, *_revision_items(request, page), *placed.items), "sheet 1")
    for number, room in enumerate(further, 2):
        heading, words = _heading(request, number, count), room.placed()
        title = AT_THE_PLATE if number == 2 and SheetPart.CHECK_CARD in request.sheet.parts else "LISTS"
        top = heading_items(request.sheet.border.frame(page), heading, title, request.sheet.convention)
        yield Sheet(page, words.views, (*border, *top, *words.items), f"sheet {number}")


def _revisions(request: SheetRequest, page: Paper) -> LaidTable | None:
    """The latest revisions, as wide as the title block at the most; ``None`` where the job tells none."""
    table = revision_table(request.info)
    if not table.rows:
        return None
    shown = replace(table, rows=table.rows[-_MOST_REVISIONS:])
    return lay_table(
        shown, request.letter, min(request.sheet.border.width, request.sheet.border.frame(page).width) - 2 * _PAD
    )


def _revision_items(request: SheetRequest, page: Paper) -> tuple[Item, ...]:
    table = _revisions(request, page)
    if table is None:
        return ()
    frame, block = request.sheet.border.frame(page), block_room(request.sheet.border, page)
    if request.sheet.border.revisions is RevisionPlace.UPPER_RIGHT:
        return table_items(table, frame.right - _PAD - table.width, frame.top - _PAD)
    return table_items(table, block.right - _PAD - table.width, block.top + _PAD + table.height)
