"""Tables on paper: ruled rows of finished texts, columns as wide as their widest text."""

from dataclasses import dataclass

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label, TextTable
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import text_width
from flangelayout.geometry.shapes import Box, Line, Point, rectangle

TEXT_HEIGHT = 2.0
ROW_HEIGHT = 4.0
_PAD = 1.2
_NUMBER_SIGNS = frozenset("0123456789.- °±%[]")
_BLANK_WIDTH = 16.0
"""Width of a column that is left blank for writing by hand."""


@dataclass(frozen=True, slots=True)
class LaidTable:
    """A table with its room on paper; ``rows`` counts the title and the heads, too."""

    table: TextTable
    widths: tuple[float, ...]

    @property
    def width(self) -> float:
        """In printed mm."""
        return sum(self.widths)

    @property
    def height(self) -> float:
        """In printed mm, title and heads included."""
        return (len(self.table.rows) + 2) * ROW_HEIGHT

    def part(self, first: int, count: int) -> "LaidTable":
        """``count`` rows from ``first`` under the same title and heads, in the same widths."""
        rows = self.table.rows[first : first + count]
        title = self.table.title + (", continued" if first else "")
        return LaidTable(TextTable(title, self.table.columns, rows), self.widths)


def lay_table(table: TextTable) -> LaidTable:
    """A table with columns just wide enough; a column without any text is left wide for writing."""
    widths = [
        max(text_width(text, TEXT_HEIGHT) for text in (head, *(row[index] for row in table.rows))) + 2 * _PAD
        for index, head in enumerate(table.columns)
    ]
    for index in range(len(widths)):
        if table.rows and not any(row[index] for row in table.rows):
            widths[index] = max(widths[index], _BLANK_WIDTH)
    short = text_width(table.title + ", continued", TEXT_HEIGHT) + 2 * _PAD - sum(widths)
    widths[-1] += max(short, 0.0)
    return LaidTable(table, tuple(widths))


def table_items(laid: LaidTable, left: float, top: float) -> tuple[Item, ...]:
    """The lines and texts of a table whose upper left corner stands at (``left``, ``top``) on the paper.

    All lines come before all texts, so that writers set a pen once for each.
    """
    title = Label(Point(left, top - ROW_HEIGHT / 2), laid.table.title, TEXT_HEIGHT, 0.0, Anchor.MIDDLE_LEFT)
    top -= ROW_HEIGHT
    box = Box(left, top - ROW_HEIGHT * (len(laid.table.rows) + 1), left + laid.width, top)
    edges = [left + sum(laid.widths[:index]) for index in range(len(laid.widths) + 1)]
    lines = [Item(Layer.TABLE, rectangle(box), Furniture("table"))]
    lines += (_rule(Point(x, box.bottom), Point(x, top)) for x in edges[1:-1])
    texts = [Item(Layer.TEXT, title, Furniture("table"))]
    figures = [all(set(row[index]) <= _NUMBER_SIGNS for row in laid.table.rows) for index in range(len(laid.widths))]
    for number, row in enumerate((laid.table.columns, *laid.table.rows)):
        middle = top - ROW_HEIGHT * (number + 0.5)
        if number:
            lines.append(_rule(Point(left, middle + ROW_HEIGHT / 2), Point(box.right, middle + ROW_HEIGHT / 2)))
        texts += _row(row, edges, middle, figures if number else None)
    return (*lines, *texts)


def _rule(start: Point, end: Point) -> Item:
    return Item(Layer.TABLE, Line(start, end), Furniture("table"))


def _row(texts: tuple[str, ...], edges: list[float], middle: float, figures: list[bool] | None) -> list[Item]:
    """One row: heads (no ``figures``) in the middle of their columns, figures to the right, words to the left."""
    items = []
    for index, (text, low, high) in enumerate(zip(texts, edges, edges[1:], strict=False)):
        if not text:
            continue
        if figures is None:
            x, anchor = (low + high) / 2, Anchor.MIDDLE
        elif figures[index]:
            x, anchor = high - _PAD, Anchor.MIDDLE_RIGHT
        else:
            x, anchor = low + _PAD, Anchor.MIDDLE_LEFT
        items.append(Item(Layer.TEXT, Label(Point(x, middle), text, TEXT_HEIGHT, 0.0, anchor), Furniture("table")))
    return items
