"""What stands on a page as one: its room, and how it is drawn. Tables, texts and pictures become blocks alike."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import pairwise

from msgspec import Struct

from flangelayout.drawing.model import Item, TextTable, View
from flangelayout.geometry.shapes import Box, Point
from flangelayout.value import replace
from flangelayout.views.page.tables import LaidTable, lay_table, table_items
from flangelayout.views.page.text import BETWEEN, numbered, numbered_height, paragraph, paragraph_height, text_item

GAP = 5.0
"""Printed mm between neighboring blocks."""
BELOW = 3.0
"""Printed mm from a block to the next one under it."""
_LEAD = 2.2
"""From the top of a title to the first line under it, in heights of a capital."""
_LEAST_ROWS = 3
_RAGGED = 0.55
"""Share of its block that a text spans: its last lines are short, and its paragraphs stand apart."""


class PlacedBlock(Struct, frozen=True):
    """What a block is on the page it stands on."""

    items: tuple[Item, ...]
    views: tuple[View, ...] = ()


class Block(Struct, frozen=True):
    """Something that stands whole on a page.

    Attributes:
        width: In printed mm.
        height: In printed mm.
        draw: What it is with its upper left corner at a place of the paper.
        topic: What it tells of, for the heading of its page.
        narrower: The same in other shapes, where it finds no place as it is.
        spanned: Share of its width that its rows span on the average.
        run_on: How it goes on where the one before it of its topic stands on the page: as wide as that, under it and
            right of it; ``None`` for one that stands by itself.
        part: Which part of a table it is, from 1 on.
    """

    width: float
    height: float
    draw: Callable[[Point], PlacedBlock]
    topic: str = ""
    narrower: "tuple[Block, ...]" = ()
    spanned: float = 1.0
    run_on: "Callable[[float], tuple[Block, Block]] | None" = None
    part: int = 1


def table_block(table: LaidTable) -> Block:
    """A table as one block."""
    return Block(table.width, table.height, lambda at: PlacedBlock(table_items(table, at.x, at.y)))


def table_blocks(table: LaidTable, height: float, columns: int = 1) -> list[Block]:
    """A table parted between rows into blocks no higher than ``height``, or into more that stand beside each other.

    The parts are as even as they can be: none holds the one row that the others had no room for. Their titles number
    them.

    Args:
        table: What is parted.
        height: In printed mm.
        columns: How many equal parts of it stand beside each other at the least, while it has rows for them.
    """
    parts = _parts(table, height, -(-len(table.table.rows) // columns))
    even = _parts(table, height, -(-len(table.table.rows) // len(parts)))
    shown = even if len(even) == len(parts) else parts
    which = [f"{number} OF {len(shown)}" if len(shown) > 1 else "" for number, _ in enumerate(shown, 1)]
    blocks = (table_block(table.part(*rows, name)) for rows, name in zip(shown, which, strict=True))
    return [replace(block, part=number) for number, block in enumerate(blocks, 1)]


def _parts(table: LaidTable, height: float, most: int) -> list[tuple[int, int]]:
    """First row and count of rows of each part, none higher than ``height`` or, of a few rows, longer than ``most``."""
    parts: list[tuple[int, int]] = []
    first = 0
    while first < len(table.table.rows):
        count = max(min(table.rows_within(height, first), max(most, _LEAST_ROWS)), 1)
        parts.append((first, count))
        first += count
    return parts


def notes_block(title: str, texts: Sequence[str], width: float, letter: float, first: int = 1) -> Block:
    """Numbered notes under a title; without one they begin where it would end."""
    lead = letter * _LEAD

    def draw(at: Point) -> PlacedBlock:
        items, _ = numbered(at.x, at.y - lead, width, texts, letter, first)
        heading = [text_item(Point(at.x, at.y - letter), title, letter)] if title else []
        return PlacedBlock((*heading, *items))

    return Block(width, lead + numbered_height(width, texts, letter, first), draw, spanned=_RAGGED)


def run_on_notes(texts: Sequence[str], width: float, letter: float, first: int) -> tuple[Block, Block]:
    """Notes that go on under those before them as one run with them, and right of them, their first lines level."""
    beside = notes_block("", texts, width, letter, first)
    up = Point(0.0, letter * _LEAD + BELOW)
    return replace(beside, height=beside.height - up.y, draw=lambda at: beside.draw(at + up)), beside


def text_block(title: str, texts: Sequence[str], width: float, letter: float, between: float = BETWEEN) -> Block:
    """Paragraphs under a title, ``between`` more than a line's share of its pitch apart."""

    def draw(at: Point) -> PlacedBlock:
        heading = [text_item(Point(at.x, at.y - letter), title, letter)] if title else []
        items, _ = paragraph(at.x, at.y - lead, width, texts, letter, between)
        return PlacedBlock((*heading, *items))

    lead = letter * _LEAD if title else 0.0
    return Block(width, lead + paragraph_height(width, texts, letter, between), draw, spanned=_RAGGED)


def stacked(blocks: Sequence[Block]) -> Block:
    """Blocks under each other as one."""
    return _joined(blocks, [Point(0.0, -sum(each.height for each in blocks[:n])) for n in range(len(blocks))])


def side_by_side(blocks: Sequence[Block]) -> Block:
    """Blocks beside each other as one."""
    return _joined(blocks, [Point(sum(each.width + GAP for each in blocks[:n]), 0.0) for n in range(len(blocks))])


def _joined(blocks: Sequence[Block], places: Sequence[Point]) -> Block:
    """Blocks as one, each with its upper left corner off that of the whole."""

    def draw(at: Point) -> PlacedBlock:
        placed = [block.draw(at + place) for block, place in zip(blocks, places, strict=True)]
        items = tuple(item for each in placed for item in each.items)
        return PlacedBlock(items, tuple(view for each in placed for view in each.views))

    boxes = [
        Box(place.x, place.y - block.height, place.x + block.width, place.y)
        for block, place in zip(blocks, places, strict=True)
    ]
    wide, high = max(box.right for box in boxes), -min(box.bottom for box in boxes)
    return Block(wide, high, draw, spanned=spanned_area(zip(blocks, boxes, strict=True)) / (wide * high))


def spanned_area(taken: Iterable[tuple[Block, Box]]) -> float:
    """What blocks in their places span, row by row from the left of the first to the right of the last, in mm²."""
    boxes = [replace(box, right=box.left + box.width * block.spanned) for block, box in taken]
    area = 0.0
    for low, high in pairwise(sorted({y for box in boxes for y in (box.bottom, box.top)})):
        row = [box for box in boxes if box.bottom < high and box.top > low]
        area += (high - low) * (max(box.right for box in row) - min(box.left for box in row)) if row else 0.0
    return area


def laid(tables: Iterable[TextTable], width: float, letter: float) -> list[LaidTable]:
    """Tables that have rows, none wider than ``width``: texts are broken, then columns parted."""
    return [part for table in tables if table.rows for part in _columns(table, width, letter)]


def _columns(table: TextTable, width: float, letter: float) -> Iterator[LaidTable]:
    """The table, or parts of it that repeat its first column."""
    whole = lay_table(table, letter, width)
    if whole.width <= width + 1e-6:
        yield whole
        return
    shown = [0]
    for column in range(1, len(table.columns)):
        if len(shown) > 1 and _part(table, [*shown, column], letter, width).width > width:
            yield _part(table, shown, letter, width)
            shown = [0]
        shown.append(column)
    yield _part(table, shown, letter, width)


def _part(table: TextTable, columns: list[int], letter: float, width: float) -> LaidTable:
    heads = tuple(table.columns[column] for column in columns)
    rows = tuple(tuple(row[column] for column in columns) for row in table.rows)
    return lay_table(TextTable(table.title, heads, rows), letter, width)
