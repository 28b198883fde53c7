"""Report pages: words, tables and figures one below the other, on as many pages as they need."""

from collections.abc import Callable, Sequence

from msgspec import Struct

from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import Drawing, Item, Paper, Sheet, SheetSet, Stamp, TextTable, View
from flangelayout.drawing.papers import paper
from flangelayout.drawing.textwidth import wrapped
from flangelayout.geometry.shapes import Box, Point
from flangelayout.views.page.grid import Grid, grid_items
from flangelayout.views.page.tables import LaidTable, lay_table, table_items
from flangelayout.views.page.text import headed, identity_line, paragraph, text_item
from flangelayout.views.words.call_outs import LAYOUT_AID

MARGIN = 14.0
_GAP = 3.0
_BETWEEN = 6.0
_TEXT = 2.5
_HEADING, _HEADING_PITCH = 2.6, 4.2
_FEWEST_ROWS = 3
_LEAST_USED = 1 / 3
"""Of the last of several pages."""
_RAISED = range(0, 89, 8)
"""Printed mm that the pages before a last one end higher so that it is used."""
_SHARES = (0.88, 0.76, 0.66, 0.57)
"""Of its size that a picture may be drawn at where that saves a page."""


class Words(Struct, frozen=True):
    """Wrapped texts, each beginning on a new line, under a heading where there is one.

    With a heading, they are kept together with as much of what follows as ``keep_paper`` printed mm hold.
    """

    texts: tuple[str, ...]
    heading: str = ""
    height_paper: float = _TEXT
    keep_paper: float = 0.0


class FlowedItems(Struct, frozen=True):
    """A drawing at a scale; ``at_paper`` is where its origin stands, from the figure's upper left corner."""

    drawing: Drawing
    scale: float
    at_paper: Point


class FlowFigure(Struct, frozen=True):
    """Drawings that stand together in a strip as high as ``height_paper``, and the gap below it.

    Where it begins a further page, ``head`` stands over it.
    """

    height_paper: float
    parts: tuple[FlowedItems, ...]
    gap_paper: float = _GAP
    head: "FlowFigure | None" = None


class Tables(Struct, frozen=True):
    """Tables side by side as far as they fit, else one below the other; long ones go on over pages."""

    tables: tuple[TextTable, ...]


Block = Words | FlowFigure | Tables | Grid


def page_width(paper_name: str) -> float:
    """Width in mm between the margins of an upright page."""
    return paper(paper_name).width - 2 * MARGIN


def report_sheets(title: str, blocks: Sequence[Block], info: JobInfo, stamp: Stamp, paper_name: str) -> SheetSet:
    """The pages of a report, upright; where the last would be nearly empty, those before it hold less.

    Args:
        title: In capitals over every page.
        blocks: From the top down.
        info: Title block of the job it is about.
        stamp: Its identity.
        paper_name: One of ``papers.PAPER_NAMES``.
    """
    tries: list[_Writer] = []
    for raised in _RAISED:
        writer = _Writer(paper(paper_name), title, identity_line(info, stamp), raised)
        for block in blocks:
            writer.add(block)
        tries.append(writer)
        if writer.is_last_used or len(writer.finished) > len(tries[0].finished):
            break
    fewest = (each for each in tries if len(each.finished) == len(tries[0].finished))
    best = max(fewest, key=lambda each: each.is_last_used)
    return SheetSet(best.pages(title.partition(":")[0].lower()), stamp)


def fewest_pages(drawn: Callable[[float], SheetSet]) -> SheetSet:
    """A report whose picture is as large as it can be without a page more: ``drawn`` takes the share of its size."""
    whole = drawn(1.0)
    if len(whole.sheets) == 1:
        return whole
    return min((whole, *map(drawn, _SHARES)), key=lambda each: len(each.sheets))


class _Writer:
    """Keeps the place on the page while blocks are set down."""

    def __init__(self, page: Paper, title: str, identity: str, raised: float) -> None:
        self.page, self.title, self.identity = page, title, identity
        self.room = Box(MARGIN, MARGIN + 2 * _TEXT + raised, page.width - MARGIN, page.height - MARGIN)
        self.finished: list[tuple[tuple[View, ...], tuple[Item, ...]]] = []
        self.views: list[View] = []
        self.items: list[Item] = []
        self.low = self.begun = 0.0
        self._begin()

    def _begin(self) -> None:
        self.items, self.begun = headed(self.title, self.identity, self.room)
        self.views, self.low = [], self.begun

    def _turn(self) -> None:
        self.finished.append((tuple(self.views), tuple(self.items)))
        self._begin()

    @property
    def _is_fresh(self) -> bool:
        return self.low >= self.begun

    @property
    def is_last_used(self) -> bool:
        """Whether there is one page, or the last is used as far as a page of its own must be."""
        return not self.finished or self.begun - self.low >= _LEAST_USED * (self.begun - MARGIN)

    def pages(self, name: str) -> tuple[Sheet, ...]:
        """Every page, numbered at its foot."""
        self._turn()
        count = len(self.finished)
        return tuple(
            Sheet(self.page, views, (*items, *self._foot(number, count)), f"{name} {number}")
            for number, (views, items) in enumerate(self.finished, 1)
        )

    def _foot(self, number: int, count: int) -> tuple[Item, ...]:
        at = Point(self.room.left, MARGIN)
        return (text_item(at, f"Page {number} of {count}. {LAYOUT_AID}", _TEXT),)

    def add(self, block: Block) -> None:
        """Set a block down, on a new page where it no longer fits."""
        match block:
            case Words():
                self._words(block)
            case FlowFigure():
                if self.low - block.height_paper < self.room.bottom and not self._is_fresh:
                    self._turn()
                    if block.head is not None:
                        self.add(block.head)
                corner = Point(self.room.left, self.low)
                self.views += [View(part.drawing, part.scale, corner + part.at_paper) for part in block.parts]
                self.low -= block.height_paper + block.gap_paper
            case Tables():
                self._tables([lay_table(table, most=self.room.width) for table in block.tables if table.rows])
            case Grid():
                self._grid(block)

    def _words(self, block: Words) -> None:
        height = block.height_paper
        if block.heading:
            first = block.texts if block.keep_paper else block.texts[:1]
            lines = wrapped(block.heading, self.room.width, _HEADING)
            high = _HEADING_PITCH * (len(lines) - 1)
            _, below = paragraph(self.room.left, self.low - high - 4.0, self.room.width, first, height)
            if below - block.keep_paper < self.room.bottom and not self._is_fresh:
                self._turn()
            for row, line in enumerate(lines):
                at = Point(self.room.left, self.low - 3.0 - _HEADING_PITCH * row)
                self.items.append(text_item(at, line, _HEADING))
            self.low -= high + 5.0
        for text in block.texts:
            items, below = paragraph(self.room.left, self.low, self.room.width, (text,), height)
            if below < self.room.bottom and not self._is_fresh:
                self._turn()
                items, below = paragraph(self.room.left, self.low, self.room.width, (text,), height)
            self.items += items
            self.low = below
        self.low -= _GAP / 2

    def _grid(self, block: Grid) -> None:
        """The rows of a grid, as many on each page as it has room for."""
        head, *heights = block.row_heights(self.room.width)
        at = 0
        while at < len(block.rows):
            room, last = self.low - self.room.bottom - head, at
            while last < len(block.rows) and (room := room - heights[last]) >= 0:
                last += 1
            if last == at and not self._is_fresh:
                self._turn()
                continue
            fewer = len(block.rows) - _FEWEST_ROWS
            if fewer < last < len(block.rows) and fewer - at >= _FEWEST_ROWS:  # no row stands alone on the next page
                last = fewer
            last = max(last, at + 1)
            corner = Point(self.room.left, self.low)
            items, below = grid_items(block, range(at, last), corner, self.room.width)
            self.items += items
            self.low, at = below - _GAP, last

    def _tables(self, laid: list[LaidTable]) -> None:
        left, top, low = self.room.left, self.low, self.low
        for table in laid:
            if left > self.room.left and left + table.width > self.room.right:
                left, top = self.room.left, low - _GAP
            at = 0
            while at < len(table.table.rows):
                left_over = len(table.table.rows) - at
                rows = table.rows_within(top - self.room.bottom, at)
                if 0 < left_over - rows < _FEWEST_ROWS:  # no row stands alone on the next page
                    rows = left_over - _FEWEST_ROWS
                if rows < min(_FEWEST_ROWS, left_over):
                    self._turn()
                    left, top, low = self.room.left, self.low, self.low
                    continue
                part = table.part(at, rows)
                self.items += table_items(part, left, top)
                low = min(low, top - part.height)
                at += rows
                if at == len(table.table.rows):
                    continue
                if left + 2 * table.width + _BETWEEN <= self.room.right:
                    left += table.width + _BETWEEN
                else:
                    self._turn()
                    left, top, low = self.room.left, self.low, self.low
            left += table.width + _BETWEEN
        self.low = low - _GAP
