"""Tables on paper: ruled rows of finished texts, columns as wide as their widest text, long texts on several lines."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label, TextTable
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import text_width, wrapped
from flangelayout.geometry.shapes import Box, Line, Point, rectangle
from flangelayout.value import replace

TEXT_HEIGHT = 2.5
LINE_PITCH = 1.6
"""From one line of a text to the next, in heights of its capitals."""
_PAD = 1.2
_NUMBER_SIGNS = frozenset("0123456789.- °±%[]+/")
_BLANK_WIDTH = 20.0
"""Width of a column that is left blank for writing by hand."""
_GAP = 1.5
_CONTINUED = "continued"
_LEAST_WRAPPED = 30.0
"""Printed mm below which no column is made narrower by breaking its texts."""

_Cells = tuple[tuple[str, ...], ...]
"""A row: the lines of each of its cells."""


@dataclass(frozen=True)
class LaidTable:
    """A table with its room on paper, title and heads included.

    Attributes:
        table: What it says.
        widths: Of the columns, in printed mm.
        text_height: Of its capitals, in printed mm.
    """

    table: TextTable
    widths: tuple[float, ...]
    text_height: float = TEXT_HEIGHT

    @property
    def width(self) -> float:
        """In printed mm: of its columns, or of a longer title."""
        return max(sum(self.widths), text_width(self.table.title, self.text_height))

    @property
    def height(self) -> float:
        """In printed mm, title and heads included."""
        return self.title_height + self.height_of(self.heads) + sum(map(self.height_of, self.cells))

    @property
    def title_height(self) -> float:
        """Of the title, in printed mm; without one a gap is left."""
        return self.row_height if self.table.title else _GAP

    @property
    def row_height(self) -> float:
        """Of a row of one line, in printed mm."""
        return LINE_PITCH * self.text_height + 0.8

    @cached_property
    def heads(self) -> _Cells:
        """The heads of the columns, broken as :attr:`cells` are."""
        columns = zip(self.table.columns, self.widths, strict=True)
        return tuple(_lines(head, width, self.text_height) for head, width in columns)

    @cached_property
    def cells(self) -> tuple[_Cells, ...]:
        """The rows, every text broken to the width of its column."""
        return tuple(
            tuple(_lines(text, width, self.text_height) for text, width in zip(row, self.widths, strict=True))
            for row in self.table.rows
        )

    def height_of(self, cells: _Cells) -> float:
        """Of one row, in printed mm."""
        return self.row_height + (max(map(len, cells)) - 1) * LINE_PITCH * self.text_height

    def rows_within(self, height: float, first: int) -> int:
        """How many rows from ``first`` stand in a height under title and heads."""
        left, count = height - self.title_height - self.height_of(self.heads) + 1e-9, 0
        for cells in self.cells[first:]:
            left -= self.height_of(cells)
            if left < 0:
                break
            count += 1
        return count

    def part(self, first: int, count: int, which: str = "") -> "LaidTable":
        """``count`` rows from ``first`` under the same heads, in the same widths; the title says which part it is."""
        which = which or (_CONTINUED if first else "")
        title = f"{self.table.title}, {which}" if which and self.table.title else self.table.title
        return replace(self, table=TextTable(title, self.table.columns, self.table.rows[first : first + count]))


def lay_table(table: TextTable, text_height: float = TEXT_HEIGHT, most: float | None = None) -> LaidTable:
    """A table with columns just wide enough; a column without any text is left wide for writing.

    Args:
        table: What it says.
        text_height: Of its capitals, in printed mm.
        most: Width in printed mm above which the longest texts are broken into lines.
    """
    columns = list(zip(table.columns, *table.rows, strict=True))
    widths = [max(text_width(text, text_height) for text in column) + 2 * _PAD for column in columns]
    for index, (_, *texts) in enumerate(columns):
        if texts and not any(texts):
            widths[index] = max(widths[index], _BLANK_WIDTH)
    if most is not None:
        _narrow(widths, [_longest_word(column, text_height) + 2 * _PAD for column in columns], most)
    return LaidTable(table, tuple(widths), text_height)


def with_narrow_heads(table: LaidTable) -> LaidTable:
    """A table whose heads stand in lines of one word where its columns are narrower for it."""
    columns = zip(table.table.columns, table.widths, *table.table.rows, strict=True)
    narrow = ((width, (*head.split(), *texts)) for head, width, *texts in columns)
    height = table.text_height
    widths = (min(width, max(text_width(text, height) for text in texts) + 2 * _PAD) for width, texts in narrow)
    return replace(table, widths=tuple(widths))


def _narrow(widths: list[float], least: Sequence[float], most: float) -> None:
    """Make the widest columns narrower until all stand in ``most``, none narrower than its longest word."""
    for _ in widths:
        over = sum(widths) - most
        if over <= 0:
            return
        index = max(range(len(widths)), key=lambda at: widths[at] - max(least[at], _LEAST_WRAPPED))
        widths[index] = max(widths[index] - over, min(max(least[index], _LEAST_WRAPPED), widths[index]))


def _longest_word(texts: Sequence[str], height: float) -> float:
    return max((text_width(word, height) for text in texts for word in text.split()), default=0.0)


def _lines(text: str, width: float, height: float) -> tuple[str, ...]:
    room = width - 2 * _PAD + 1e-6
    return (text,) if text_width(text, height) <= room else tuple(wrapped(text, room, height))


def table_items(laid: LaidTable, left: float, top: float) -> tuple[Item, ...]:
    """The lines and texts of a table whose upper left corner stands at (``left``, ``top``) on the paper.

    All lines come before all texts, so that writers set a pen once for each.
    """
    row, height = laid.row_height, laid.text_height
    title = Label(Point(left, top - row / 2), laid.table.title, height, 0.0, Anchor.MIDDLE_LEFT)
    box = Box(left, top - laid.height, left + sum(laid.widths), top - laid.title_height)
    edges = [left + sum(laid.widths[:index]) for index in range(len(laid.widths) + 1)]
    lines = [Item(Layer.TABLE, rectangle(box), Furniture("table"))]
    lines += (_rule(Point(x, box.bottom), Point(x, box.top)) for x in edges[1:-1])
    texts = [Item(Layer.TEXT, title, Furniture("table"))] if title.text else []
    texts += _row(laid.heads, edges, box.top - row / 2, height, None)
    figures = [all(set(row[index]) <= _NUMBER_SIGNS for row in laid.table.rows) for index in range(len(laid.widths))]
    low = box.top - laid.height_of(laid.heads)
    for cells in laid.cells:
        lines.append(_rule(Point(left, low), Point(box.right, low)))
        texts += _row(cells, edges, low - row / 2, height, figures)
        low -= laid.height_of(cells)
    return (*lines, *texts)


def _rule(start: Point, end: Point) -> Item:
    return Item(Layer.TABLE, Line(start, end), Furniture("table"))


def _row(cells: _Cells, edges: list[float], middle: float, height: float, figures: list[bool] | None) -> list[Item]:
    """One row: heads (no ``figures``) in the middle of their columns, figures to the right, words to the left."""
    items = []
    for index, (texts, low, high) in enumerate(zip(cells, edges, edges[1:], strict=False)):
        if figures is None:
            x, anchor = (low + high) / 2, Anchor.MIDDLE
        elif figures[index]:
            x, anchor = high - _PAD, Anchor.MIDDLE_RIGHT
        else:
            x, anchor = low + _PAD, Anchor.MIDDLE_LEFT
        for number, text in enumerate(texts):
            at = Point(x, middle - number * LINE_PITCH * height)
            items += [Item(Layer.TEXT, Label(at, text, height, 0.0, anchor), Furniture("table"))] if text else []
    return items
