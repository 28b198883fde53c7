"""The first sheet: the views as large as they fit, the words in the room they leave, what finds none goes on.

Words never shrink the views. A scale is taken only where the views stand with the warnings that must be read
before cutting; of the ways to lay the sheet and its words the one that holds most of them is taken. One scale
smaller is taken where it is smaller by no more than a fifth and then every hole table stands there, or all notes that
would else take a sheet of their own. What stands overleaf is told in a line over the title block.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from enum import Enum
from functools import partial
from itertools import chain, compress, product

from msgspec import Struct

from flangelayout.drawing.border import Border, RevisionPlace
from flangelayout.drawing.explode import items_box
from flangelayout.drawing.model import Drawing, Label, Paper, View
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import wrapped_at_commas
from flangelayout.geometry.shapes import Box, Point
from flangelayout.value import replace
from flangelayout.views.page.alert import alert_block
from flangelayout.views.page.blocks import BELOW, GAP, Block, PlacedBlock, notes_block, table_blocks, text_block
from flangelayout.views.page.packing import PageRoom, set_down, set_in_order
from flangelayout.views.page.tables import LaidTable, with_narrow_heads
from flangelayout.views.page.title_block import block_room
from flangelayout.views.sheet.compose import Composition

_PAD = 2.0
_LEAST_PAD = 0.8
"""Printed mm from the frame to words, and to the views at the least."""
_LEAST_SIDE = 60.0
"""Printed mm below which no words stand beside the views or the title block."""
_LEAST_TEXT, _MOST_TEXT = 58.0, 125.0
"""Printed mm that a text is wide."""
_MOST_COLUMNS = 6
_NARROWER, _TIGHTER = 15.0, 1.0
"""Printed mm from width to width of a column of words beside the views, and of a text in as many lines."""
_LINE_APART = ((2.0, 2.0), (1.5, 2.0), (1.1, 2.0), (0.9, 1.6), (0.9, 0.9))
"""Printed mm from the line for what is overleaf down to the title block and up to the words, and what less will do."""
_CLOSE = 0.1
"""Between the lines of a list, in line pitches."""
NOTES, HOLES, LEGEND, TOLERANCES, DETAIL = "NOTES", "HOLES", "HOLES BY LETTER", "TOLERANCES", "DETAIL"
"""What a block tells of."""


class FirstPageWords(Enum):
    """Where the words of a sheet stand."""

    BELOW = "below the views"
    BESIDE = "beside the views"


class Contents(Struct, frozen=True):
    """What a first sheet says beside its views, in the order of rank.

    Attributes:
        title: Of the warnings.
        warnings: What is to be looked into before cutting: always on the first sheet.
        legend: What the holes of each letter are, where no leaders say so: always on the first sheet.
        tables: Of the holes, one for each pattern.
        joined: The same in fewer tables, for a sheet that has no place for so many.
        tolerances: Their block; none where nothing is stated.
        notes: At most as many as the first sheet may hold.
        extras: What stands there where there is room left: a detail.
        asides: What stands there if it finds room after all else, or on any further sheet: sections of holes.
        goes_on: Whether further sheets tell more than this in any case.
    """

    title: str
    warnings: tuple[str, ...]
    legend: tuple[str, ...]
    tables: tuple[LaidTable, ...]
    joined: tuple[LaidTable, ...]
    tolerances: tuple[Block, ...]
    notes: tuple[str, ...]
    extras: tuple[Block, ...] = ()
    asides: tuple[Block, ...] = ()
    goes_on: bool = False


class FirstPage(Struct, frozen=True):
    """A first sheet as planned.

    Attributes:
        page: The paper as it is turned.
        composition: The views.
        view_room: What the views may take of it; they stand in its middle.
        rooms: Those of the words.
        tables: How many of the holes' tables stand on it, from the first on.
        notes: How many of the notes stand on it.
        extras: Tolerances and details that found no place.
        asides: Sections of holes that found none.
        sinks: Whether the words of the first room stand at its foot.
        told_at: Where over the title block stands the line for what is overleaf, its upper left corner; ``None`` where
            nothing is, or the line has no room there.
        lap: Printed mm that words of the first room may stand higher than the foot of the section's name beside them.
    """

    page: Paper
    composition: Composition
    view_room: Box
    rooms: tuple[PageRoom, ...]
    tables: int
    notes: int
    extras: tuple[Block, ...]
    asides: tuple[Block, ...]
    sinks: bool
    told_at: Point | None = None
    lap: float = 0.0

    def is_whole(self, contents: Contents) -> bool:
        """Whether all of the contents stand on it, asides apart."""
        return self.tables == len(contents.tables) and self.notes == len(contents.notes) and not self.extras

    def rank(self) -> tuple[int, int, int]:
        """The more of the words stand on it, the higher."""
        return self.tables, self.notes, -len(self.extras)

    @property
    def _spare(self) -> float:
        """Printed mm that the words of the first room stand lower than they are set down."""
        main = self.rooms[0]
        return main.low - main.box.bottom if self.sinks and main.taken else 0.0

    def word_boxes(self) -> list[Box]:
        """What its words take of the paper."""
        main, *others = self.rooms
        down = Point(0.0, -self._spare)
        return [*(box.moved(down) for _, box in main.taken), *(box for room in others for _, box in room.taken)]

    def _view_at(self) -> Point:
        """Where the middle of the plate stands on the paper: the views stand in the middle of their room."""
        room, main = self.view_room, self.rooms[0]
        if self.sinks:
            low = main.box.top - self.lap - self._spare + _PAD if main.taken else main.box.bottom
            room = Box(room.left, low, room.right, room.top)
        box = self.composition.box
        return Point(room.center.x - box.center.x, room.center.y - box.center.y)

    def placed(self) -> PlacedBlock:
        """Everything on it but border and title block."""
        main, *others = self.rooms
        words = [main.placed(self._spare), *(room.placed() for room in others)]
        layout = View(Drawing("layout", self.composition.items), self.composition.look.scale, self._view_at())
        items = tuple(item for each in words for item in each.items)
        return PlacedBlock(items, (layout, *(view for each in words for view in each.views)))


def first_pages(
    border: Border, pages: Sequence[Paper], composition: Composition, contents: Contents, revisions: float
) -> Iterator[FirstPage]:
    """Every way to lay a first sheet with these views; none where they or the warnings do not fit.

    Args:
        border: Of the sheet.
        pages: The paper as it may be turned.
        composition: The views.
        contents: What is said beside them.
        revisions: Height of the table of revisions, in printed mm; 0 without one.
    """
    for page, words in product(pages, FirstPageWords):
        floor, ceiling = _floor_and_ceiling(border, page, revisions)
        planned = partial(_planned, border, page, composition, contents, words)
        plan = planned((floor, ceiling))
        if plan and (contents.goes_on or plan.asides or not plan.is_whole(contents)):
            corner = Point(block_room(border, page).left + _PAD, floor)
            plan = _with_line(planned, plan, corner, ceiling, composition.look.letter)
        if plan:
            yield plan


def has_room(border: Border, pages: Sequence[Paper], revisions: float, view: Box) -> bool:
    """Whether views that take so much of a sheet, or more, can stand on it at all."""
    ways = (
        (page, words, _floor_and_ceiling(border, page, revisions)) for page, words in product(pages, FirstPageWords)
    )
    return any(_rooms(border, page, view, words, *between) for page, words, between in ways)


def balanced(border: Border, plan: FirstPage, contents: Contents) -> FirstPage:
    """A sheet with the same words beside its views in a column no wider than they need, the views in the middle left.

    Args:
        border: Of the sheet.
        plan: As planned.
        contents: What was to stand on it.
    """
    column, *others = plan.rooms
    if plan.sinks:
        return plan
    block, view = block_room(border, plan.page), plan.view_room
    floor = plan.told_at.y + _PAD if plan.told_at else block.top
    most = math.inf if view.bottom > floor else block.left - _PAD
    is_all = plan.tables == len(contents.tables)
    shown = replace(
        contents,
        tables=contents.tables[: plan.tables],
        joined=contents.joined if is_all else (),
        notes=contents.notes[: plan.notes],
        tolerances=tuple(each for each in contents.tolerances if each not in plan.extras),
        extras=tuple(each for each in contents.extras if each not in plan.extras),
        asides=tuple(each for each in contents.asides if each not in plan.asides),
    )
    width = _MOST_TEXT
    while width <= column.box.width - _NARROWER:
        left = column.box.right - width
        rooms = [PageRoom(replace(column.box, left=left)), *(PageRoom(each.box) for each in others)]
        wide = replace(view, right=min(left - GAP, most))
        if wide.width < plan.composition.box.width:
            return plan
        other = _filled(plan.page, plan.composition, wide, rooms, shown, FirstPageWords.BESIDE)
        if other and other.is_whole(shown) and not other.asides:
            return replace(other, extras=plan.extras, asides=plan.asides, told_at=plan.told_at)
        width += _NARROWER
    return plan


def _with_line(
    planned: Callable[[tuple[float, float]], FirstPage | None],
    plan: FirstPage,
    corner: Point,
    ceiling: float,
    letter: float,
) -> FirstPage:
    """A sheet with the line for what is overleaf over its title block; as it is where that would cost it a table.

    The line stands as far off as it may without costing more of the words than where it stands closest.
    """

    def lined(apart: tuple[float, float]) -> FirstPage | None:
        below, above = apart
        top = corner.y - _PAD + below + letter
        other = planned((top + above, ceiling + _PAD - below))
        return replace(other, told_at=Point(corner.x, top)) if other and other.tables == plan.tables else None

    widest, *between, closest = _LINE_APART
    wide = lined(widest)
    if wide and wide.rank() == plan.rank():
        return wide
    close = lined(closest)
    if close is None or (wide and wide.rank() >= close.rank()):
        return wide or plan
    spare = min((room.low - room.box.bottom for room in close.rooms if room.taken), default=0.0)
    roomy = [apart for apart in between if _taken_by(apart) - _taken_by(closest) <= spare]
    freer = lined(roomy[0]) if roomy else None
    return freer if freer and freer.rank() == close.rank() else close


def _taken_by(apart: tuple[float, float]) -> float:
    """Printed mm that the line's distances take from the words, what they take at the ceiling as well included."""
    below, above = apart
    return 2 * below + above


def _planned(
    border: Border,
    page: Paper,
    composition: Composition,
    contents: Contents,
    words: FirstPageWords,
    between: tuple[float, float],
) -> FirstPage | None:
    """The sheet with its words in one place, all over a floor and under a ceiling; ``None`` where it does not fit."""
    rooms = _rooms(border, page, composition.box, words, *between)
    if rooms is None:
        return None
    view, *boxes = rooms
    plan = _filled(page, composition, view, [PageRoom(box) for box in boxes], contents, words)
    if words is FirstPageWords.BESIDE or (plan and plan.tables == len(contents.tables)):
        return plan
    main, *others = boxes
    lap, name = _section_name(composition)
    at = Point(view.center.x - composition.box.center.x, view.bottom - composition.box.bottom)
    higher = PageRoom(replace(main, top=main.top + lap), (name.moved(at),))
    other = _filled(page, composition, view, [higher, *(PageRoom(box) for box in others)], contents, words)
    is_better = other and (plan is None or other.tables == len(contents.tables))
    return replace(other, lap=lap) if other and is_better else plan


def _section_name(composition: Composition) -> tuple[float, Box]:
    """How far in printed mm the section's name reaches below all else, and where it stands about the plate's middle."""
    scale, box = composition.look.scale, composition.box
    name = [isinstance(each.what, Label) and each.source == Furniture("section") for each in composition.items]
    if not any(name):
        return 0.0, Box(box.right, box.bottom, box.right, box.bottom)
    words, others = (
        items_box(compress(composition.items, which), scale) for which in (name, [not is_so for is_so in name])
    )
    foot = max(others.bottom * scale, box.bottom)
    return foot - box.bottom, Box(words.left * scale, box.bottom, box.right, foot)


def _floor_and_ceiling(border: Border, page: Paper, revisions: float) -> tuple[float, float]:
    """Between which heights views and words stand: over the title block, clear of the table of revisions."""
    above = border.revisions is RevisionPlace.ABOVE_BLOCK
    floor, ceiling = block_room(border, page).top + _PAD, border.frame(page).top - _PAD
    if not revisions:
        return floor, ceiling
    return (floor + revisions + BELOW, ceiling) if above else (floor, ceiling - revisions - GAP)


def widest(border: Border, page: Paper) -> float:
    """Printed mm that views may be wide over words."""
    return border.frame(page).width - 2 * _LEAST_PAD


def _rooms(
    border: Border, page: Paper, view: Box, words: FirstPageWords, floor: float, ceiling: float
) -> list[Box] | None:
    """The rooms of the views and of the words; ``None`` where the views do not fit."""
    frame, block = border.frame(page), block_room(border, page)
    left, right = frame.left + _PAD, frame.right - _PAD
    beside_block = Box(left, frame.bottom + _PAD, block.left - GAP, floor - GAP)
    has_side = beside_block.width >= _LEAST_SIDE
    if words is FirstPageWords.BELOW:
        low = ceiling - view.height
        if low < floor or view.width > widest(border, page):
            return None
        rooms = [Box(left, low, right, ceiling), Box(left, floor, right, low - _PAD)]
        return [*rooms, beside_block] if has_side else rooms
    under = frame.bottom + _PAD if left + view.width <= block.left - _PAD else floor
    column = Box(left + view.width + GAP, floor, right, ceiling)
    if ceiling - view.height < under or column.width < _LEAST_SIDE:
        return None
    low = ceiling - view.height
    rooms = [Box(left, under, left + view.width, ceiling), column]
    foot = Box(left, frame.bottom + _PAD, min(block.left - GAP, left + view.width), low - _PAD)
    if has_side and foot.height > 30.0 and foot.width >= _LEAST_SIDE:
        rooms = [Box(left, low, left + view.width, ceiling), column, foot]
    return rooms


def _filled(
    page: Paper,
    composition: Composition,
    view_room: Box,
    rooms: Sequence[PageRoom],
    contents: Contents,
    words: FirstPageWords,
) -> FirstPage | None:
    """The words in their rooms by rank; ``None`` where the warnings find no place.

    Those are as narrow as their lines allow where more finds a place beside them so.
    """
    blank = [PageRoom(room.box, room.blocked) for room in rooms]
    plan = _filled_by_rank(page, composition, view_room, rooms, contents, words)
    if plan is None or not (contents.warnings and plan.extras):
        return plan
    other = _filled_by_rank(page, composition, view_room, blank, contents, words, is_tight=True)
    return other if other and other.rank() > plan.rank() else plan


def _filled_by_rank(
    page: Paper,
    composition: Composition,
    view_room: Box,
    rooms: Sequence[PageRoom],
    contents: Contents,
    words: FirstPageWords,
    *,
    is_tight: bool = False,
) -> FirstPage | None:
    """The words in their rooms by rank, the warnings usual or tight; ``None`` where those find no place."""
    convention, sinks = composition.look.convention, words is FirstPageWords.BELOW
    letter, heading = convention.letter_height, convention.heading_height

    def usual(width: float) -> Block:
        return alert_block(contents.title, contents.warnings, width, letter, heading)

    def alert(width: float) -> Block:
        return _tight(usual, width) if is_tight else usual(width)

    def legend(width: float) -> Block:
        lines = [line for told in contents.legend for line in wrapped_at_commas(told, width, letter)]
        title = LEGEND if composition.look.flange.group_letter(0) else HOLES
        return text_block(title, lines, width, letter, _CLOSE)

    if contents.warnings and not _takes_text(rooms, alert):
        return None
    if contents.legend and not any(room.takes(legend(width)) for room in rooms for width in _widths(room)[::-1]):
        return None
    tables = _tables_taken(rooms, contents)
    tolerances = set_down(contents.tolerances, rooms)
    notes = _notes_taken(rooms, contents.notes, letter)
    extras = (*tolerances, *set_down(contents.extras, rooms))
    asides = tuple(set_down(contents.asides, rooms))
    return FirstPage(page, composition, view_room, tuple(rooms), tables, notes, extras, asides, sinks)


def _takes_text(rooms: Sequence[PageRoom], block_of: Callable[[float], Block]) -> bool:
    """Set a text down in the first room and width that take it."""
    return any(room.takes(block_of(width)) for room in rooms for width in _widths(room))


def _tight(block_of: Callable[[float], Block], width: float) -> Block:
    """A text in as many lines as at a width, as narrow as they allow."""
    tight = block = block_of(width)
    while block.height <= tight.height:
        tight, width = block, width - _TIGHTER
        if width < _LEAST_TEXT:
            break
        block = block_of(width)
    return tight


def _widths(room: PageRoom) -> list[float]:
    """How wide a text may be in a room: what is left beside blocks, what is read well, under one, half, all."""
    right = max((box.right for _, box in room.taken), default=room.box.left - GAP)
    left_over = min(room.box.right - right - GAP, _MOST_TEXT)
    edges = (edge for _, box in room.taken for edge in (box.left, box.right + GAP))
    under = sorted((min(room.box.right - edge, _MOST_TEXT) for edge in edges), reverse=True)
    beside = (min(box.left - GAP - room.box.left, _MOST_TEXT) for box in room.blocked)
    wishes = (*beside, left_over, min(room.box.width, _MOST_TEXT), *under, (room.box.width - GAP) / 2, room.box.width)
    return [width for width in dict.fromkeys(wishes) if width >= _LEAST_TEXT]


def _tables_taken(rooms: Sequence[PageRoom], contents: Contents) -> int:
    """Set down all tables, joined or their heads in two lines where that takes it, or else as many as find a place."""
    every, ways = len(contents.tables), (contents.tables, contents.joined)
    narrow = ([with_narrow_heads(table) for table in tables] for tables in ways)
    if any(_takes_tables(rooms, each) for each in chain(ways, narrow)):
        return every
    return next((count for count in range(every - 1, 0, -1) if _takes_tables(rooms, contents.tables[:count])), 0)


def _takes_tables(rooms: Sequence[PageRoom], tables: Sequence[LaidTable]) -> bool:
    """Set all tables down, in as few parts beside each other as it takes; none where not all find a place."""
    high = max(room.box.height for room in rooms)
    for columns in range(1, _MOST_COLUMNS + 1):
        before = [list(room.taken) for room in rooms]
        if all(set_in_order(table_blocks(table, high, columns), rooms) for table in tables):
            return True
        for room, taken in zip(rooms, before, strict=True):
            room.taken = taken
    return False


def _notes_of_width(notes: Sequence[str], letter: float, width: float) -> Block:
    return replace(notes_block(NOTES, notes, width, letter), topic=NOTES)


def _notes_taken(rooms: Sequence[PageRoom], notes: Sequence[str], letter: float) -> int:
    """Set down as many notes from the first on as find a place; how many those are."""
    for count in range(len(notes), 0, -1):
        shown = notes[:count]
        if _takes_text(rooms, partial(_notes_of_width, shown, letter)):
            return count
    return 0
