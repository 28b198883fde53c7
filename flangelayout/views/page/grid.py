"""Tables of given widths whose cells wrap: rows as high as their texts, or higher where somebody writes in them."""

from collections.abc import Sequence

from msgspec import Struct

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import text_width, wrapped
from flangelayout.geometry.shapes import Box, Line, Point, rectangle
from flangelayout.views.page.text import LINE_PITCH, text_item

_PAD = 1.4
_SOURCE = Furniture("grid")


class GridRow(Struct, frozen=True):
    """A row: a text for each column, and the least height in printed mm that it gets."""

    cells: tuple[str, ...]
    least_paper: float = 0.0


class Grid(Struct, frozen=True):
    """A table.

    Attributes:
        head: What stands over its columns; empty texts for boxes that name themselves.
        shares: Of the width, one for each column.
        rows: Its rows.
        height_paper: Of its text.
        figures: Columns, by their places, whose texts end at the right: figures of as many decimals stand in line.
    """

    head: tuple[str, ...]
    shares: tuple[float, ...]
    rows: tuple[GridRow, ...]
    height_paper: float = 2.5
    figures: frozenset[int] = frozenset()

    def row_heights(self, width: float) -> tuple[float, ...]:
        """Printed mm of the head, 0 where it has none, then of each row, in a table so wide."""
        head = self._height(GridRow(self.head), width) if any(self.head) else 0.0
        return (head, *(self._height(row, width) for row in self.rows))

    def widths(self, width: float) -> tuple[float, ...]:
        """Printed mm of each column."""
        whole = sum(self.shares)
        return tuple(width * share / whole for share in self.shares)

    def _height(self, row: GridRow, width: float) -> float:
        lines = max(
            len(_lines(cell, across, self.height_paper))
            for cell, across in zip(row.cells, self.widths(width), strict=True)
        )
        return max(row.least_paper, lines * self.height_paper * LINE_PITCH + 2 * _PAD)


def grid_items(grid: Grid, rows: Sequence[int], corner: Point, width: float) -> tuple[list[Item], float]:
    """Some rows of a grid under its head, with their lines.

    Args:
        grid: The table.
        rows: Indexes of the rows.
        corner: Its upper left corner on the paper.
        width: In printed mm.

    Returns:
        The items and the y below them.
    """
    head, *heights = grid.row_heights(width)
    placed = [(GridRow(grid.head), head)] if head else []
    placed += [(grid.rows[index], heights[index]) for index in rows]
    bottom = corner.y - sum(height for _, height in placed)
    lines = [Item(Layer.TABLE, rectangle(Box(corner.x, bottom, corner.x + width, corner.y)), _SOURCE)]
    texts: list[Item] = []
    x = corner.x
    for across in grid.widths(width)[:-1]:
        x += across
        lines.append(_rule(Point(x, bottom), Point(x, corner.y)))
    top = corner.y
    for row, height in placed:
        texts += _row(grid, row, Point(corner.x, top), width)
        top -= height
        if top > bottom + 1e-6:
            lines.append(_rule(Point(corner.x, top), Point(corner.x + width, top)))
    return [*lines, *texts], bottom


def _row(grid: Grid, row: GridRow, corner: Point, width: float) -> list[Item]:
    items, x, height = [], corner.x, grid.height_paper
    for column, (cell, across) in enumerate(zip(row.cells, grid.widths(width), strict=True)):
        for number, line in enumerate(_lines(cell, across, height)):
            if line:
                y = corner.y - _PAD - height - number * height * LINE_PITCH
                room = across - 2 * _PAD - text_width(line, height) if column in grid.figures else 0.0
                items.append(text_item(Point(x + _PAD + room, y), line, height))
        x += across
    return items


def _lines(cell: str, across: float, height: float) -> list[str]:
    return [line for part in cell.split("\n") for line in (wrapped(part, across - 2 * _PAD, height) or [""])]


def _rule(start: Point, end: Point) -> Item:
    return Item(Layer.TABLE, Line(start, end), _SOURCE)
