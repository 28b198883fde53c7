"""The sheets after the first: the check card, what found no place on the first, and what is asked for."""

from collections.abc import Iterable, Iterator, Sequence
from functools import partial

from msgspec import Struct

from flangelayout.drawing.choices import SheetPart
from flangelayout.drawing.model import TextTable
from flangelayout.geometry.shapes import Box
from flangelayout.standards.shop import is_gasket_material
from flangelayout.value import replace
from flangelayout.views.page.blocks import GAP, Block, laid, notes_block, table_block, table_blocks
from flangelayout.views.page.forms import least_row
from flangelayout.views.page.heading import room_between
from flangelayout.views.page.packing import PageRoom, paged, used
from flangelayout.views.page.tables import LaidTable
from flangelayout.views.sheet.check_card import AT_THE_GASKET, AT_THE_PLATE, CardStyle, card_blocks
from flangelayout.views.sheet.first_page import HOLES, NOTES, Contents, FirstPage
from flangelayout.views.sheet.request import SheetRequest
from flangelayout.views.words.bench.check_tables import bore_tables, step_off_tables
from flangelayout.views.words.bench.sequences import drilling_tables, tightening_tables
from flangelayout.views.words.bill import bill_table
from flangelayout.views.words.notes import MOST_NOTES, bolt_length_notes, revision_table, source_notes

MOST_REVISIONS = 6
"""Revisions on the first sheet; more stand on a further one."""
_LEAST_USED = 0.35
"""Of the last page, where less goes on the pages before: a third, and what blocks are larger than their ink."""
_NOTE_SHARES = (1.0, 0.65, 0.48, 0.4, 0.32, 0.28)
"""Of the width of a page that notes take: all of it, or what stands beside lists and the card."""
_GLOVED_ROW = 8.2
"""Height in printed mm of a row that is written in with gloves on; on a bench a lower one does, if it saves a page."""
_LEAST_PART = 12
"""Rows of a table that is parted, at the least."""
_FEW_NOTES = 4
"""Notes that stand together where eight find no place."""
_WIDE_NOTES = 180.0
"""Printed mm that notes of further pages are wide at the most."""
_LISTS = "LISTS"
_CARDS = (AT_THE_PLATE, AT_THE_GASKET)
"""Titles of check cards."""


class FurtherPages(Struct, frozen=True):
    """The sheets after the first.

    Attributes:
        rooms: What stands on each.
        card_goes_on: Whether the check card takes more than one page.
    """

    rooms: tuple[PageRoom, ...]
    card_goes_on: bool = False

    @property
    def is_last_spare(self) -> bool:
        """Whether the last one is nearly empty."""
        return self._missing() > 0

    def waste(self) -> tuple[int, float]:
        """How many pages, and what the last one lacks: the less, the better."""
        return len(self.rooms), self._missing()

    def cost(self) -> tuple[int, float, bool]:
        """The less, the better; of equal waste those with the card on one page."""
        return *self.waste(), self.card_goes_on

    def _missing(self) -> float:
        """The share of the last page that it lacks to be used as far as a page of its own must be."""
        return round(max(_LEAST_USED - used(self.rooms[-1]), 0.0), 2) if self.rooms else 0.0

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


Cards = dict[tuple[Box, float, CardStyle], list[Block]]
"""The check cards made for a set of sheets, by the room they are for, the height of their rows and their style."""


def further_pages(
    request: SheetRequest, first: FirstPage, contents: Contents, notes: Sequence[str], cards: Cards
) -> FurtherPages:
    """The pages after a first one, as few as they can be.

    Args:
        request: What is asked for.
        first: The first page.
        contents: What was to stand on it.
        notes: All of them.
        cards: Those made already; what is made more is added.
    """
    room = room_between(request.sheet.border.frame(first.page), request.heading(2, 2), request.sheet.convention)
    several = sum(bool(group.hole_centers()) for group in request.flange.groups()) > 1

    def planned(card: Sequence[Block], more: Sequence[Block]) -> FurtherPages:
        blocks_of = partial(_blocks, request, first, contents, more, card, room)
        rooms = paged(blocks_of, room, _LEAST_USED, len(card))
        return FurtherPages(tuple(rooms), any(set(_CARDS) & set(room.topics) for room in rooms[1:]))

    told = [tuple(_more_notes(request, notes, first.notes, room, most)) for most in (MOST_NOTES, _FEW_NOTES)]
    told = told if len(told[0]) < len(told[1]) else told[:1]
    least, best = least_row(request.letter), None
    for row in dict.fromkeys((max(_GLOVED_ROW, least), least)):
        for style in CardStyle if several else (CardStyle.LARGE, CardStyle.SMALL):
            key = room, row, style
            card = cards[key] = cards[key] if key in cards else _card(request, *key)
            for more in told:
                plan = planned(card, more)
                best = plan if best is None or plan.cost() < best.cost() else best
                if best.cost() <= (1, 0.0, False):
                    return best
    assert best is not None
    return best


def _blocks(
    request: SheetRequest,
    first: FirstPage,
    contents: Contents,
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
        *_about(HOLES, _parted(contents.tables[first.tables :], box)),
        *first.extras,
        *_about(NOTES, notes),
        *_about(_LISTS, asked),
        *_asked_notes(request, room.width),
    ]


def _about(topic: str, blocks: Iterable[Block]) -> Iterator[Block]:
    return (replace(block, topic=topic) for block in blocks)


def _card(request: SheetRequest, box: Box, row: float, style: CardStyle) -> list[Block]:
    if SheetPart.CHECK_CARD not in request.sheet.parts:
        return []
    blocks = card_blocks(request.flange, request.lengths, request.sheet.convention, box, row, style)
    return list(_about(AT_THE_GASKET if is_gasket_material(request.flange.material) else AT_THE_PLATE, blocks))


def _parted(tables: Sequence[LaidTable], box: Box) -> Iterator[Block]:
    """Tables of holes, long ones in as many columns as stand beside each other."""
    for table in tables:
        side_by_side = int((box.width + GAP) // (table.width + GAP))
        columns = min(side_by_side, len(table.table.rows) // _LEAST_PART)
        yield from table_blocks(table, box.height, max(columns, 1))


def _whole(table: LaidTable, height: float) -> list[Block]:
    return [table_block(table)] if table.height <= height else table_blocks(table, height)


def _more_notes(request: SheetRequest, notes: Sequence[str], shown: int, room: Box, most: int) -> Iterator[Block]:
    """The notes that the first sheet does not hold, in blocks of ``most`` at the most: easy to read, or narrower."""
    widths = [min(room.width * share, _WIDE_NOTES) for share in _NOTE_SHARES]
    at = shown
    while at < len(notes):
        title = f"{NOTES}, continued" if at else NOTES
        for count in range(min(most, len(notes) - at), 0, -1):
            told = notes[at : at + count]
            block, *narrower = (notes_block(title, told, wide, request.letter, at + 1) for wide in widths)
            if block.height <= room.height:
                break
        yield replace(block, narrower=tuple(each for each in narrower if each.height <= room.height))
        at += count


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
        (SheetPart.BOLT_LENGTHS, "BOLT LENGTHS", bolt_length_notes(request.flange)),
        (SheetPart.SOURCES, "WHERE FIGURES COME FROM", source_notes(request.flange, request.lengths)),
    )
    for part, title, told in texts:
        if part in request.sheet.parts and (lines := list(told)):
            yield replace(notes_block(title, lines, min(width, _WIDE_NOTES), request.letter), topic=title)
