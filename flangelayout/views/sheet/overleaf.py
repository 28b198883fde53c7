"""The line of the first sheet that says on which others stands what found no place on it."""

from collections.abc import Iterator, Sequence
from itertools import chain, product

from flangelayout.drawing.model import Item, View
from flangelayout.drawing.textwidth import text_width, wrapped_at_commas
from flangelayout.geometry.shapes import Box, Point
from flangelayout.views.page.blocks import Block, text_block
from flangelayout.views.page.packing import PageRoom
from flangelayout.views.page.text_clearance import Corners, Ink
from flangelayout.views.sheet.first_page import DETAIL, HOLES, NOTES, TOLERANCES, FirstPage
from flangelayout.views.sheet.section.profiles import SECTIONS

_APART, _STEP, _PAD, _SLACK = 2.0, 2.0, 3.0, 0.1
"""Printed mm from the line to all else where it stands among the views, from try to try, to the frame, at its end."""
_NARROWEST = 38.0
"""Printed mm of its lines where nothing wider finds a place."""

Told = tuple[str, str]
"""What stands elsewhere, and where."""


def told_overleaf(first: FirstPage, rooms: Sequence[PageRoom]) -> tuple[Told, ...]:
    """What of the first sheet's words stands on further ones, and on which; nothing where all of it is there.

    Args:
        first: The first sheet.
        rooms: What stands on each further one.
    """
    where: dict[tuple[int, ...], list[str]] = {}
    for topic in (NOTES, HOLES, TOLERANCES, DETAIL, SECTIONS):
        sheets = tuple(number for number, room in enumerate(rooms, 2) if topic in room.topics)
        if sheets:
            where.setdefault(sheets, []).append(_name(topic, first))
    return tuple((f"{', '.join(names)}:", f"SEE SHEET{_numbers(sheets)}") for sheets, names in where.items())


def _name(topic: str, first: FirstPage) -> str:
    """A topic as the line names it: that of which a part stands on the first sheet is told to go on."""
    name, shown = {NOTES: ("NOTES", first.notes), HOLES: ("HOLE TABLES", first.tables)}.get(topic, (topic, 0))
    return f"FURTHER {name}" if shown else name


def _numbers(sheets: Sequence[int]) -> str:
    return f"{'S' if len(sheets) > 1 else ''} {', '.join(map(str, sheets))}"


def overleaf_items(
    told: Sequence[Told], first: FirstPage, letter: float, frame: Box, taken: Sequence[Box]
) -> tuple[Item, ...]:
    """The line over the title block; where it has no room there, wherever nothing stands, as low as it can.

    Args:
        told: What it says.
        first: The first sheet.
        letter: Height of its capitals in printed mm.
        frame: Of the sheet.
        taken: What of the sheet is taken by title block and revisions.
    """
    if not told:
        return ()
    each = [" ".join(parts) for parts in told]
    narrow = [*chain(*told)]
    narrowest = [part for text in narrow for part in wrapped_at_commas(text, _NARROWEST, letter)]
    whole, *_ = shapes = [_block(lines, letter) for lines in (["; ".join(each)], each, narrow, narrowest)]
    if first.told_at and first.told_at.x + whole.width <= frame.right:
        return whole.draw(first.told_at).items
    inks = [(view, Ink(view.scale)) for view in first.placed().views]
    for view, ink in inks:
        ink.add(view.drawing.items)
    used = (*taken, *first.word_boxes())
    free = (shape.draw(at) for shape in shapes for at, room in _rooms(shape, frame) if _is_free(room, used, inks))
    return next((placed.items for placed in free), ())


def _block(lines: Sequence[str], letter: float) -> Block:
    return text_block("", lines, max(text_width(each, letter) for each in lines) + _SLACK, letter, 0.0)


def _rooms(block: Block, frame: Box) -> Iterator[tuple[Point, Box]]:
    """Places in a frame, each with what the block takes there."""
    return ((at, Box(at.x, at.y - block.height, at.x + block.width, at.y)) for at in _places(block, frame))


def _places(block: Block, frame: Box) -> Iterator[Point]:
    """Upper left corners in a frame, from the lowest upward, on the left and on the right."""
    sides = frame.left + _PAD, frame.right - _PAD - block.width
    low = frame.bottom + _PAD + block.height
    for up, left in product(range(int((frame.top - _PAD - low) / _STEP)), sides):
        yield Point(left, low + up * _STEP)


def _is_free(room: Box, taken: Sequence[Box], inks: Sequence[tuple[View, Ink]]) -> bool:
    wide = room.grown(_APART)
    if any(wide.overlaps(box) for box in taken):
        return False
    return not any(ink.meets(_seen_from(view.at_paper, wide)) for view, ink in inks)


def _seen_from(at: Point, box: Box) -> Corners:
    """The corners of a box of the sheet about a view's origin, in printed mm."""
    left, bottom, right, top = box.left - at.x, box.bottom - at.y, box.right - at.x, box.top - at.y
    return (left, bottom), (right, bottom), (right, top), (left, top)
