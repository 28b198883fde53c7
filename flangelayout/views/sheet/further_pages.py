"""The sheets after the first: the check card, what found no place on the first, and what is asked for."""

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from itertools import product

from msgspec import Struct

from flangelayout.drawing.choices import SheetPart
from flangelayout.drawing.model import TextTable
from flangelayout.flange import Flange
from flangelayout.geometry.shapes import Box
from flangelayout.standards.shop import is_gasket_material
from flangelayout.value import replace
from flangelayout.views.page.blocks import (
    GAP,
    Block,
    laid,
    notes_block,
    run_on_notes,
    side_by_side,
    table_block,
    table_blocks,
)
from flangelayout.views.page.forms import least_row
from flangelayout.views.page.heading import room_between
from flangelayout.views.page.packing import PageRoom, paged, used
from flangelayout.views.page.tables import LaidTable
from flangelayout.views.sheet.card_readings import CardAsks
from flangelayout.views.sheet.check_card import (
    AT_THE_GASKET,
    AT_THE_PLATE,
    HIGH_ROWS,
    MOST_LARGER,
    CardStyle,
    CheckCard,
    check_card,
)
from flangelayout.views.sheet.first_page import HOLES, NOTES, Contents, FirstPage
from flangelayout.views.sheet.request import SheetRequest
from flangelayout.views.words.bench.check_tables import bore_tables, step_off_tables
from flangelayout.views.words.bench.sequences import drilling_tables, tightening_tables
from flangelayout.views.words.bill import bill_table
from flangelayout.views.words.notes import bolt_length_notes, revision_table, source_notes

MOST_REVISIONS = 6
"""Revisions on the first sheet; more stand on a further one."""
_OVER_INK = 0.05
"""Of a page, by which what blocks span may exceed their ink, as read on written pages that are little used."""
_LEAST_USED = 1 / 3 + _OVER_INK
"""Of the last page, so that its ink spans a third: where less is used, more goes there from the pages before."""
_NOTE_SHARES = (1.0, 0.65, 0.48, 0.4, 0.32, 0.28)
"""Of the width of a page that notes take: all of it, or what stands beside lists and the card."""
_GLOVED_ROW = 8.2
"""Height in printed mm of a row that is written in with gloves on; on a bench a lower one does, if it saves a page."""
_ROOMY = 0.1
"""By which rows are higher than the least where lists of further sizes shall take more room than they need."""
_STEPS = (1.0, 1.4, 2.0, HIGH_ROWS)
"""How many times larger than usual a card's pictures are where much of the last page would be white; most, and with
higher rows, where it would be nearly empty."""
_MUCH_USED = 0.54
"""Share of a page of which no larger card is tried."""
_LEAST_PART = 12
"""Rows of a table that is parted, at the least."""
_FEWER_NOTES = (8, 4)
"""First notes that stand apart from the rest where all of them find no place."""
_FEWEST_NOTES = 3
"""The same where none stand on the first sheet."""
_WIDE_NOTES = 180.0
"""Printed mm that notes of further pages are wide at the most."""
_WITH_READINGS = 2
"""Blocks of a card on its first page at the least: how to measure, and something to be measured."""
_LISTS = "LISTS"
_CARDS = (AT_THE_PLATE, AT_THE_GASKET)
_TOGETHER = 0.0
"""In place of how much larger tables of holes are: as they are, in one block."""
"""Titles of check cards."""


class FurtherPages(Struct, frozen=True):
    """The sheets after the first.

    Attributes:
        rooms: What stands on each.
        card_goes_on: Whether the check card takes more than one page.
        unringed: How many readings the card's pictures have no ring for.
    """

    rooms: tuple[PageRoom, ...]
    card_goes_on: bool = False
    unringed: int = 0

    @property
    def with_holes(self) -> int:
        """On how many tables of holes stand."""
        return sum(HOLES in room.topics for room in self.rooms)

    @property
    def is_last_spare(self) -> bool:
        """Whether the last one is nearly empty."""
        return self._missing() > 0

    def waste(self) -> tuple[int, float]:
        """How many pages, and what the last one lacks: the less, the better."""
        return len(self.rooms), self._missing()

    def cost(self, may_part_card: bool) -> tuple[int, float, float, int]:
        """Pages, how ill the card is parted, what the last page lacks, blocks of notes: the less, the better."""
        notes = sum(block.topic == NOTES for room in self.rooms for block, _ in room.taken)
        evils = float(self.card_goes_on + self._begins_bare), self._missing()
        return len(self.rooms), *(evils[::-1] if may_part_card else evils), notes

    def is_as_good_as(self, other: "FurtherPages") -> bool:
        """Whether it takes as many pages, the card on as many of them, and has all the rings that another has."""
        is_alike = (len(self.rooms), self.card_goes_on) == (len(other.rooms), other.card_goes_on)
        return is_alike and self._begins_bare <= other._begins_bare and self.unringed <= other.unringed

    @property
    def _begins_bare(self) -> bool:
        """Whether the first page says how to measure, and the next what."""
        return self.card_goes_on and sum(block.topic in _CARDS for block, _ in self.rooms[0].taken) < _WITH_READINGS

    def _missing(self) -> float:
        """The share of the last page that it lacks to be used as far as a page of its own must be."""
        if not self.rooms:
            return 0.0
        return round(max(_LEAST_USED - used(self.rooms[-1]), 0.0), 2)

    def titles(self) -> Iterator[str]:
        """What each page tells of: the check card before all else."""
        shown = False
        for room in self.rooms:
            card = next((title for title in _CARDS if title in room.topics), "")
            if card:
                yield f"{card}, continued" if shown else card
                shown = True
            else:
                yield " AND ".join(room.topics[:2]) if len(room.topics) < 3 else _LISTS


class Cards(Struct, frozen=True):
    """The check cards of a set of sheets.

    Attributes:
        asked: What they list; nothing where no card is asked for.
        made: Those made so far, by their room, the height of their rows, their style and their step.
    """

    asked: CardAsks
    made: dict[tuple[Box, float, CardStyle, float], CheckCard]

    def card(self, request: SheetRequest, box: Box, row: float, style: CardStyle, step: float) -> CheckCard:
        """The card of this kind, made if it is not yet."""
        key = box, row, style, step
        if key not in self.made:
            card = check_card(
                request.flange, self.asked, request.lengths, request.sheet.convention, box, row, style, step
            )
            topic = AT_THE_GASKET if is_gasket_material(request.flange.material) else AT_THE_PLATE
            self.made[key] = replace(card, blocks=tuple(_about(topic, card.blocks)))
        return self.made[key]


def further_pages(
    request: SheetRequest,
    first: FirstPage,
    contents: Contents,
    notes: Sequence[str],
    cards: Cards,
    *,
    may_part_card: bool = False,
) -> FurtherPages:
    """The pages after a first one, as few as they can be.

    Args:
        request: What is asked for.
        first: The first page.
        contents: What was to stand on it.
        notes: All of them.
        cards: Those made already; what is made more is added.
        may_part_card: Whether a card on two pages is the lesser evil to a last page that is nearly empty.
    """
    room = room_between(request.sheet.border.frame(first.page), request.heading(2, 2), request.sheet.convention)
    tables = contents.tables[first.tables :]

    def planned(
        more: Sequence[Block], row: float, style: CardStyle, step: float, larger: float = 1.0, most: float = math.inf
    ) -> FurtherPages:
        card = cards.card(request, room, row, style, step)
        holes = _tables_parted(tables, room.width, request.letter, larger)
        blocks_of = partial(_blocks, request, first, holes, more, card.blocks, room)
        rooms = paged(blocks_of, room, _LEAST_USED, len(card.blocks), most)
        return FurtherPages(tuple(rooms), any(_has_card(room) for room in rooms[1:]), card.unringed)

    told, least = _told(request, notes, first.notes, room), least_row(request.letter)
    rows = dict.fromkeys((max(_GLOVED_ROW, least), least, least + _ROOMY))
    styles = _styles(request.flange)
    best: FurtherPages | None = None
    for row, style, more, step in product(rows, styles, told, _STEPS[: 2 if may_part_card else 1]):
        if best is not None and row == least + _ROOMY and not best.is_last_spare:
            break
        plan = planned(more, row, style, step)
        if best is None or plan.cost(may_part_card) < best.cost(may_part_card):
            best, larger = plan, partial(planned, more, row, style)
        if best.cost(may_part_card=False) <= (1, 0.0, math.inf, 1):
            break
    assert best is not None
    return _with_other_tables(_with_larger_card(best, larger), partial(larger, 1.0))


def _styles(flange: Flange) -> Iterable[CardStyle]:
    """How lists may stand to their pictures: beside small ones only where there are several."""
    several = sum(bool(group.hole_centers()) for group in flange.groups()) > 1
    return CardStyle if several else (CardStyle.LARGE, CardStyle.SMALL, CardStyle.COLUMNS)


def _with_other_tables(plan: FurtherPages, other: Callable[[float], FurtherPages]) -> FurtherPages:
    """The plan with larger tables of holes where the last page would be nearly empty; on one page where that serves."""
    if plan.is_last_spare and HOLES in plan.rooms[-1].topics:
        plan = min(plan, other(MOST_LARGER), key=FurtherPages.waste)
    if plan.with_holes > 1:
        together = other(_TOGETHER)
        return together if together.waste() <= plan.waste() and together.is_as_good_as(plan) else plan
    return plan


def _with_larger_card(plan: FurtherPages, larger: Callable[[float, float, int], FurtherPages]) -> FurtherPages:
    """The plan with a check card as large as a last page that it leaves white takes: it is read at arm's length.

    Its letters, and those of tables of holes where there is room, are a step larger than those of notes.
    """
    for count in range(2, len(_STEPS) + 1):
        if not plan.rooms or not _has_card(plan.rooms[-1]) or used(plan.rooms[-1]) > _MUCH_USED:
            break
        if _STEPS[count - 1] >= HIGH_ROWS and not plan.is_last_spare:
            break
        others = (larger(_STEPS[count - 1], tables, len(plan.rooms)) for tables in (MOST_LARGER, 1.0))
        other = next((each for each in others if each.is_as_good_as(plan)), None)
        if other is None:
            break
        plan = other
    return plan


def _tables_parted(
    tables: Sequence[LaidTable], width: float, letter: float, larger: float
) -> Callable[[Box], Iterable[Block]]:
    """How tables of holes are parted: as they are, in larger letters, or together."""
    if larger == _TOGETHER:
        return partial(_beside_each_other, tables)
    return partial(_parted, tables if larger == 1.0 else _larger(tables, width, letter * larger))


def _larger(tables: Sequence[LaidTable], width: float, letter: float) -> list[LaidTable]:
    """Tables in larger letters; all as they are where a text would take more lines for that, or a table more parts."""
    grown = laid((table.table for table in tables), width, letter)
    return grown if [*map(_lines_of, grown)] == [*map(_lines_of, tables)] else list(tables)


def _lines_of(table: LaidTable) -> int:
    return sum(len(texts) for cells in (table.heads, *table.cells) for texts in cells)


def _has_card(room: PageRoom) -> bool:
    return any(title in room.topics for title in _CARDS)


def _blocks(
    request: SheetRequest,
    first: FirstPage,
    holes: Callable[[Box], Iterable[Block]],
    notes: Sequence[Block],
    card: Sequence[Block],
    room: Box,
    height: float,
) -> list[Block]:
    """All blocks of the further pages, none higher than a height."""
    box = Box(room.left, room.top - height, room.right, room.top)
    asked = (block for table in laid(_asked(request), room.width, request.letter) for block in _whole(table, height))
    return [
        *card,
        *_about(HOLES, holes(box)),
        *first.extras,
        *first.asides,
        *_about(NOTES, notes),
        *_about(_LISTS, asked),
        *_asked_notes(request, room.width),
    ]


def _about(topic: str, blocks: Iterable[Block]) -> Iterator[Block]:
    return (replace(block, topic=topic) for block in blocks)


def _parted(tables: Sequence[LaidTable], box: Box) -> Iterator[Block]:
    """Tables of holes, long ones in as many columns as stand beside each other."""
    for table in tables:
        side_by_side = int((box.width + GAP) // (table.width + GAP))
        columns = min(side_by_side, len(table.table.rows) // _LEAST_PART)
        yield from table_blocks(table, box.height, max(columns, 1))


def _beside_each_other(tables: Sequence[LaidTable], box: Box) -> Iterable[Block]:
    """Tables of holes as one block; as usual where they are too wide or too high for that."""
    together = side_by_side([*map(table_block, tables)])
    is_within = together.width <= box.width and together.height <= box.height
    return [together] if is_within else _parted(tables, box)


def _whole(table: LaidTable, height: float) -> list[Block]:
    return [table_block(table)] if table.height <= height else table_blocks(table, height)


def _told(request: SheetRequest, notes: Sequence[str], shown: int, room: Box) -> list[tuple[Block, ...]]:
    """The ways to part the notes that the first sheet does not hold."""
    counts = (len(notes), *_FEWER_NOTES, *(() if shown else (_FEWEST_NOTES,)))
    apart = dict.fromkeys(min(count, len(notes) - shown) for count in counts)
    return [tuple(_more_notes(request, notes, shown, room, count)) for count in apart]


def _more_notes(request: SheetRequest, notes: Sequence[str], shown: int, room: Box, apart: int) -> Iterator[Block]:
    """The notes that the first sheet does not hold, the first ``apart`` in a block of their own, in several widths."""
    widths = [min(room.width * share, _WIDE_NOTES) for share in _NOTE_SHARES]
    at = shown
    while at < len(notes):
        title = f"{NOTES}, continued" if at else NOTES
        for count in range(min(apart if at == shown else len(notes), len(notes) - at), 0, -1):
            told = notes[at : at + count]
            block, *narrower = (notes_block(title, told, wide, request.letter, at + 1) for wide in widths)
            if block.height <= room.height:
                break
        shapes = tuple(each for each in narrower if each.height <= room.height)
        run_on = partial(_run_on, tuple(told), request.letter, at + 1) if at > shown else None
        yield replace(block, narrower=shapes, run_on=run_on)
        at += count


def _run_on(told: Sequence[str], letter: float, first: int, width: float) -> tuple[Block, Block]:
    return run_on_notes(told, width, letter, first)


def _asked(request: SheetRequest) -> Iterator[TextTable]:
    """The tables of the parts that are asked for; what is laid out from a bore already cut always."""
    flange, lengths = request.flange, request.lengths
    yield from bore_tables(flange, lengths)
    if len(request.info.revision_history) > MOST_REVISIONS:
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
        (SheetPart.BOLT_LENGTHS, "BOLT LENGTHS", bolt_length_notes(request.flange, request.lengths)),
        (SheetPart.SOURCES, "WHERE FIGURES COME FROM", source_notes(request.flange, request.lengths)),
    )
    for part, title, told in texts:
        if part in request.sheet.parts and (lines := list(told)):
            yield replace(notes_block(title, lines, min(width, _WIDE_NOTES), request.letter), topic=title)
