"""Where blocks stand on a page: each whole, at the highest and then leftmost free place of a room."""

import math
from collections.abc import Callable, Iterator, Sequence
from itertools import chain

from flangelayout.geometry.shapes import Box, Point
from flangelayout.value import replace
from flangelayout.views.page.blocks import BELOW, GAP, Block, PlacedBlock, spanned_area

_SLACK = 1e-6


class PageRoom:
    """A part of a page that blocks are set down in, one after the other."""

    def __init__(self, box: Box, blocked: Sequence[Box] = ()) -> None:
        """Nothing stands there yet but what is no block."""
        self.box, self.blocked = box, blocked
        self.taken: list[tuple[Block, Box]] = []

    def takes(self, block: Block) -> bool:
        """Set a block down at the highest free place that one of its shapes has, in their order; whether one has."""
        if block.run_on and self.taken and self.taken[-1][0].topic == block.topic:
            at = self.taken[-1][1]
            below, beside = (replace(each, topic=block.topic, run_on=block.run_on) for each in block.run_on(at.width))
            return self.takes_at(below, at.left, at.bottom - BELOW) or self.takes_at(beside, at.right + GAP, at.top)
        corners = list(self._corners())
        narrower = (replace(shape, topic=block.topic) for shape in block.narrower)
        return any(self.takes_at(shape, *corner) for shape in chain((block,), narrower) for corner in corners)

    def takes_at(self, block: Block, left: float, top: float) -> bool:
        """Set a block down with its upper left corner at a place, if it is free; whether it is."""
        right, bottom = left + block.width, top - block.height
        if right > self.box.right + _SLACK or bottom < self.box.bottom - _SLACK:
            return False
        wide = Box(left - GAP + 0.1, bottom - BELOW + 0.1, right + GAP - 0.1, top + BELOW - 0.1)
        if any(wide.overlaps(other) for other in (*self.blocked, *(box for _, box in self.taken))):
            return False
        self.taken.append((block, Box(left, bottom, right, top)))
        return True

    def _corners(self) -> Iterator[tuple[float, float]]:
        """Where a block may stand: in the upper left corner, right of a placed one or below one."""
        room, taken = self.box, [*self.blocked, *(box for _, box in self.taken)]
        corners = {(room.left, room.top)}
        corners |= {(box.right + GAP, top) for box in taken for top in (box.top, room.top)}
        corners |= {(left, box.bottom - BELOW) for box in taken for left in (box.left, room.left)}
        yield from sorted(corners, key=lambda corner: (-corner[1], corner[0]))

    @property
    def topics(self) -> tuple[str, ...]:
        """What its blocks tell of, each once."""
        return tuple(dict.fromkeys(block.topic for block, _ in self.taken if block.topic))

    @property
    def low(self) -> float:
        """The lowest y that a block reaches; the top of the room where there is none."""
        return min((box.bottom for _, box in self.taken), default=self.box.top)

    def placed(self, down: float = 0.0) -> PlacedBlock:
        """What stands there, all of it ``down`` mm lower."""
        placed = [block.draw(Point(box.left, box.top - down)) for block, box in self.taken]
        items = tuple(item for each in placed for item in each.items)
        return PlacedBlock(items, tuple(view for each in placed for view in each.views))


def set_down(blocks: Sequence[Block], rooms: Sequence[PageRoom]) -> list[Block]:
    """Set blocks down in the first room that takes them, in their order; those that found no place."""
    return [block for block in blocks if not any(room.takes(block) for room in rooms)]


def set_in_order(parts: Sequence[Block], rooms: Sequence[PageRoom]) -> bool:
    """Set parts of one table down so that they are read in their order: left to right, then down; whether they fit."""
    before = [len(room.taken) for room in rooms]
    if set_down(parts, rooms):
        return False
    places: list[tuple[PageRoom, Box]] = []
    for room, count in zip(rooms, before, strict=True):
        places += [(room, box) for _, box in room.taken[count:]]
        del room.taken[count:]
    return _set_as_read(parts, places)


def _put_in_order(room: PageRoom) -> None:
    """Set the parts of each table on a page down again in the places they have, as they are read."""
    first = 0
    for end in range(1, len(room.taken) + 1):
        if end < len(room.taken) and _follows(*(block for block, _ in room.taken[end - 1 : end + 1])):
            continue
        before, run, after = room.taken[:first], room.taken[first:end], room.taken[end:]
        if len(run) > 1:
            room.taken = [*before, *after]
            is_set = _set_as_read([part for part, _ in run], [(room, box) for _, box in run])
            room.taken = [*before, *(room.taken[-len(run) :] if is_set else run), *after]
        first = end


def _follows(one: Block, other: Block) -> bool:
    """Whether the other of two blocks is the next part of a table."""
    return other.topic == one.topic and other.part == one.part + 1


def _set_as_read(parts: Sequence[Block], places: list[tuple[PageRoom, Box]]) -> bool:
    """Set parts down in places, the first in the one that is read first; whether each has room there."""
    for part in parts:
        room, box = next(
            (each for each in places if not any(_is_read_before(other, each[1]) for _, other in places)), places[0]
        )
        places.remove((room, box))
        if not room.takes_at(part, box.left, box.top):
            return False
    return True


def _is_read_before(box: Box, other: Box) -> bool:
    """Whether a box stands above another, or on its left where both stand in a row: a quarter of the upper one does."""
    upper, lower = (box, other) if box.top > other.top else (other, box)
    is_row = lower.top > upper.bottom + upper.height / 4
    return box.left < other.left if is_row and box.left != other.left else box.top > other.top


def paged(
    blocks_for: Callable[[float], Sequence[Block]], box: Box, least_share: float, in_order: int, most: float = math.inf
) -> list[PageRoom]:
    """Blocks on as many pages as they take, so that a share of the last is used at the least.

    Where it would not be, the pages are filled less high, as long as that costs no further page. Blocks that tell of
    the same stay in their order: none stands on a page before one of its forerunners.

    Args:
        blocks_for: The blocks, none higher than a height in printed mm.
        box: What of a page they may take.
        least_share: Of the last page.
        in_order: Blocks from the first on that follow each other: none stands on a page before one of its forerunners.
        most: Pages that are of use: more are left as they come.
    """
    blocks = blocks_for(box.height)
    pages, leading = _pages(blocks, box, in_order), frozenset(block.topic for block in blocks[:in_order])
    for share in range(95, 45, -5):
        if not 2 <= len(pages) <= most or used(pages[-1]) >= least_share:
            break
        height = box.height * share / 100
        lower = _pages(blocks_for(height), Box(box.left, box.top - height, box.right, box.top), in_order)
        held = _count(lower[0], leading) >= _count(pages[0], leading)
        for room in lower:
            room.box = box
        if held and len(lower) == len(pages) and used(lower[-1]) > used(pages[-1]):
            pages = lower
    return pages


def _count(room: PageRoom, topics: frozenset[str]) -> int:
    """How many of its blocks tell of some topics."""
    return sum(block.topic in topics for block, _ in room.taken)


def used(room: PageRoom) -> float:
    """The share of a room that its blocks span."""
    return spanned_area(room.taken) / (room.box.width * room.box.height)


def _pages(blocks: Sequence[Block], box: Box, in_order: int) -> list[PageRoom]:
    pages: list[PageRoom] = []
    first, rest = list(blocks[:in_order]), list(blocks[in_order:])
    while first or rest:
        room = PageRoom(box)
        while first and room.takes(first[0]):
            del first[0]
        rest = _overleaf(rest, room)
        _put_in_order(room)
        if not room.taken:  # a block too large for any page stands alone on one
            block = (first or rest).pop(0)
            room.taken.append((block, Box(box.left, box.top - block.height, box.left + block.width, box.top)))
        pages.append(room)
    return pages


def _overleaf(blocks: Sequence[Block], room: PageRoom) -> list[Block]:
    """Set blocks down in a room; those that found no place, and those that tell of the same after them."""
    left: list[Block] = []
    for block in blocks:
        if (block.topic and any(block.topic == other.topic for other in left)) or not room.takes(block):
            left.append(block)
    return left
