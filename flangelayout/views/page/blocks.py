"""What stands beside the views of a set of sheets: tables cut to fit a page, each a block of known size."""

from collections.abc import Iterator

from flangelayout.drawing.model import TextTable
from flangelayout.drawing.textwidth import shortened
from flangelayout.views.page.packing import Size
from flangelayout.views.page.tables import ROW_HEIGHT, TEXT_HEIGHT, LaidTable, lay_table

_WIDEST_CELL = 76.0
_LEAST_ROWS = 3


def laid(tables: Iterator[TextTable] | list[TextTable], width: float) -> list[LaidTable]:
    """Tables that have rows, each no wider than ``width``: parted between columns where it must be."""
    return [part for table in tables if table.rows for part in _columns(_capped(table, width), width)]


def size_of(table: LaidTable) -> Size:
    """What a table takes up."""
    return Size(table.width, table.height)


def cut_to(tables: list[LaidTable], height: float) -> list[LaidTable]:
    """Tables no higher than ``height``, parted between rows where they must be."""
    rows = max(int(height / ROW_HEIGHT + 1e-9) - 2, _LEAST_ROWS)
    parts: list[LaidTable] = []
    for table in tables:
        parts += [table.part(at, rows) for at in range(0, len(table.table.rows), rows)]
    return parts


def _capped(table: TextTable, width: float) -> TextTable:
    """A table whose texts are cut where one alone would fill the page."""
    most = width - 4.0 if len(table.columns) == 1 else min(_WIDEST_CELL, width / 2)
    rows = tuple(tuple(shortened(text, most, TEXT_HEIGHT) for text in row) for row in table.rows)
    return TextTable(shortened(table.title, width - 30.0, TEXT_HEIGHT), table.columns, rows)


def _columns(table: TextTable, width: float) -> Iterator[LaidTable]:
    """The table, or parts of it that repeat its first column."""
    whole = lay_table(table)
    if whole.width <= width:
        yield whole
        return
    shown = [0]
    for column in range(1, len(table.columns)):
        if len(shown) > 1 and _part(table, [*shown, column]).width > width:
            yield _part(table, shown)
            shown = [0]
        shown.append(column)
    yield _part(table, shown)


def _part(table: TextTable, columns: list[int]) -> LaidTable:
    heads = tuple(table.columns[column] for column in columns)
    rows = tuple(tuple(row[column] for column in columns) for row in table.rows)
    return lay_table(TextTable(table.title, heads, rows))
