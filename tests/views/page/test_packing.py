"""How tables are parted and blocks share pages: even parts, nothing before what it follows."""

import pytest

from flangelayout.drawing.model import Label, TextTable
from flangelayout.geometry.shapes import Box, Point
from flangelayout.views.page.blocks import Block, PlacedBlock, table_blocks
from flangelayout.views.page.packing import paged, used
from flangelayout.views.page.tables import lay_table


def block(width: float, height: float, topic: str = "", *narrower: Block) -> Block:
    return Block(width, height, lambda at: PlacedBlock(()), topic, narrower)


def test_a_table_of_which_one_row_finds_no_place_is_parted_evenly() -> None:
    table = lay_table(TextTable("HOLES", ("HOLE", "X"), tuple((str(row), "0") for row in range(8))), 2.5)
    whole, short = table_blocks(table, table.height), table_blocks(table, table.height - 1.0)
    assert [each.height for each in whole] == [table.height]
    assert [each.height for each in short] == [table.part(0, 4).height] * 2
    texts = [
        item.what.text for each in short for item in each.draw(Point(0.0, 0.0)).items if isinstance(item.what, Label)
    ]
    assert [text for text in texts if text.startswith("HOLES")] == ["HOLES, 1 OF 2", "HOLES, 2 OF 2"]


def test_what_goes_on_stands_on_no_page_before_its_beginning_and_the_rest_fills_the_room() -> None:
    # A page of 100: the second of the notes would fit where the first does not, and has to follow it.
    blocks = [block(100, 70), block(100, 50, "NOTES"), block(100, 10, "NOTES"), block(100, 20, "HOLES")]
    first, second = paged(lambda _: blocks, Box(0.0, 0.0, 100.0, 100.0), 0.0, 1)
    assert [each.height for each, _ in first.taken] == [70, 20]
    assert [each.height for each, _ in second.taken] == [50, 10]


def test_a_block_that_finds_no_place_takes_a_narrower_shape_beside_another() -> None:
    card, notes = block(60, 90), block(100, 20, "NOTES", block(30, 60))
    (page,) = paged(lambda _: [card, notes], Box(0.0, 0.0, 100.0, 100.0), 0.0, 1)
    assert [(each.width, each.topic) for each, _ in page.taken] == [(60, ""), (30, "NOTES")]
    # Rows of 60 + 5 + 30 as far as both reach, of 60 below: 95 x 60 and 60 x 30 of 100 x 100.
    assert used(page) == pytest.approx(0.75)
