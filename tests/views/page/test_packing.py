"""How tables are parted and blocks share pages: even parts, nothing before what it follows."""

import pytest

from flangelayout.drawing.model import Label, TextTable
from flangelayout.geometry.shapes import Box, Point
from flangelayout.value import replace
from flangelayout.views.page.blocks import Block, PlacedBlock, table_blocks
from flangelayout.views.page.packing import PageRoom, paged, set_in_order, used
from flangelayout.views.page.tables import lay_table


def block(width: float, height: float, topic: str = "", *narrower: Block) -> Block:
    return Block(width, height, lambda at: PlacedBlock(()), topic, narrower)


def going_on(width: float, height: float) -> Block:
    """Notes that take as much room under or beside those before them, however wide these are."""
    return replace(block(width, height, "NOTES"), run_on=lambda _: (block(width, height), block(width, height)))


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


def test_notes_that_go_on_adjoin_their_beginning_or_stand_overleaf() -> None:
    # A page of 100 with a card of 60 x 70: notes of 35 x 60 stand beside it, which leaves 100 x 27 below.
    card, notes = block(60, 70), block(35, 60, "NOTES")
    for rest, places in (
        (going_on(35, 30), [[(0, 100), (65, 100), (65, 37)]]),
        (going_on(60, 20), [[(0, 100), (65, 100)], [(0, 100)]]),
    ):
        shown = paged(lambda _, rest=rest: [card, notes, rest], Box(0.0, 0.0, 100.0, 100.0), 0.0, 1)  # type: ignore[misc]
        assert [[(box.left, box.top) for _, box in page.taken] for page in shown] == places


def test_parts_of_a_table_stand_in_the_order_they_are_read_in() -> None:
    # Warnings of 60 x 20 in the upper left: the highest place is right of them, the next one below them.
    for heights, places in (
        ((70, 70), [(0, 77), (65, 100)]),  # the left one is read first
        ((40, 40, 40), [(0, 77), (65, 100), (65, 57)]),  # in rows: the upper two, then the one below
    ):
        room = PageRoom(Box(0.0, 0.0, 100.0, 100.0))
        assert room.takes(block(60, 20))
        parts = [block(30, height, str(number)) for number, height in enumerate(heights)]
        assert set_in_order(parts, [room])
        told = {each.topic: (box.left, box.top) for each, box in room.taken}
        assert [told[str(number)] for number in range(len(parts))] == places


def test_parts_of_a_table_that_fit_only_out_of_their_order_do_not_fit() -> None:
    room = PageRoom(Box(0.0, 0.0, 100.0, 100.0))
    assert room.takes(block(60, 20))
    assert not set_in_order([block(30, 90), block(30, 70)], [room])


def test_parts_of_a_table_on_further_pages_are_read_left_to_right() -> None:
    # A card of 60 x 20: the highest place is right of it, the next one below it.
    parts = [replace(block(30, 70, "HOLES"), part=number) for number in (1, 2)]
    (page,) = paged(lambda _: [block(60, 20), *parts], Box(0.0, 0.0, 100.0, 100.0), 0.0, 1)
    assert [(each.part, box.left) for each, box in page.taken[1:]] == [(1, 0), (2, 65)]
