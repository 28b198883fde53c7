"""Pages of machine settings to stand at the machine: large figures, boxes to tick, a picture with the hole numbers."""

from collections.abc import Iterator, Sequence
from itertools import count, product
from operator import itemgetter

from msgspec import Struct

from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Content, Drawing, Item, Label, Paper, Sheet, SheetSet, Stamp, View
from flangelayout.drawing.papers import paper
from flangelayout.drawing.references import Furniture, HoleRef
from flangelayout.drawing.textwidth import text_width, wrapped
from flangelayout.flange import Flange, Hole, Slot
from flangelayout.flange.cutting import DrillingOptions, MachineFile
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.shapes import ORIGIN, Box, Line, Point, box_around, rectangle
from flangelayout.machine.sides import side_holes
from flangelayout.standards.shop import DividingHead
from flangelayout.value import replace
from flangelayout.views.page.flip import seen_from_behind
from flangelayout.views.page.plate_lines import metal_edges
from flangelayout.views.page.text import paragraph, text_item
from flangelayout.views.reports.pictures.hole_numbers import NumberedHole, hole_numbers, number_reach, off_edges
from flangelayout.views.words.call_outs import LAYOUT_AID
from flangelayout.views.words.machine import Setting, SettingList, SettingPage, setting_pages

_MARGIN = 14.0
_HEADING, _FIGURE, _LABEL, _TEXT = 5.0, 7.5, 3.5, 2.5
"""Heights of capitals in printed mm: page heading; what is read at the machine; hole labels; everything else."""
_FIGURES = (_FIGURE, 6.75, 6.0, 5.5, 5.0)
_MANY = 200
"""Heights of what is read of a list, the largest that take no more pages than the smallest do; rows that are so many
that these surely do, and are not tried."""
_RULE, _BELOW_RULE, _BOX, _PICTURE, _FOOT = 0.5, 4.5, 25.0, 66.0, 9.6
_LIST_HEAD = 13.0
_TICK = 5.4
_ASIDE = 62.0
"""Width of picture and steps beside a single list, with the gap."""
_PROOF_LINE = 4.5
_FEWEST_ROWS = 3
_LEAST_SHARE = 1 / 3
"""Of the rows of a page: a list that goes on leaves no fewer for the last."""
_WORDS, _WORDS_PITCH = 40.0, 3.6
"""Width of the small words, and from one line of them to the next."""
_MOST_LINES, _WIDER = 2, 5.0
"""Of the small words in a row; what they may be wider by, again and again, where they were more."""
_SLACK = 0.1
_OFF_FIXED = 2.5
"""Printed mm from the title of a list to what is set once for it."""
_GAP = 5.0
_MOST_NUMBERS = 64
"""Holes of a circle up to which all are numbered in the picture that have room; of more the first is."""
_SOURCE = Furniture("machine settings")


class SettingRequest(Struct, frozen=True):
    """Pages of settings to be made: the plate, its title block, the machines and what is asked of them."""

    flange: Flange
    info: JobInfo
    stamp: Stamp
    paper: str
    head: DividingHead
    table_ratio: int
    drilling: DrillingOptions
    kinds: tuple[MachineFile, ...]


def setting_sheets(request: SettingRequest) -> SheetSet:
    """The pages of every machine asked for, upright; a machine that turns has none for a plate without a circle."""
    page = paper(request.paper)
    about = request.head, request.table_ratio, request.drilling
    told = [each for kind in request.kinds for each in setting_pages(request.flange, kind, *about)]
    drawn = [sheet for each in told for sheet in _fewest(request, page, each)]
    count = len(drawn)
    sheets = (_numbered(sheet, request.stamp, number, count) for number, sheet in enumerate(drawn, 1))
    return SheetSet(tuple(sheets), request.stamp)


def _numbered(sheet: Sheet, stamp: Stamp, number: int, count: int) -> Sheet:
    right, digest = sheet.paper.width - _MARGIN, f"digest {stamp.digest[:10]}"
    foot = (
        text_item(Point(_MARGIN, _MARGIN + _WORDS_PITCH), f"Page {number} of {count}", _TEXT),
        text_item(Point(right, _MARGIN + _WORDS_PITCH), digest, _TEXT, Anchor.RIGHT),
        text_item(Point(_MARGIN, _MARGIN), LAYOUT_AID, _TEXT),
    )
    return Sheet(sheet.paper, sheet.views, (*sheet.furniture, *foot), f"machine {number}")


def _fewest(request: SettingRequest, page: Paper, told: SettingPage) -> Iterator[Sheet]:
    """The pages of one machine in the largest figures that take no more of them than the smallest do."""
    ways = product(_FIGURES if sum(len(each.rows) for each in told.lists) < _MANY else _FIGURES[-1:], (True, False))
    tried = [_Pages(request, page, told, _Size(figure), beside=beside) for figure, beside in ways]
    least = min(len(each.done) for each in tried)
    best = next(each for each in tried if len(each.done) == least)
    first, *others = best.done
    yield replace(first, views=(_picture(request.flange, told.side, best.picture),))
    yield from others


class _Size(Struct, frozen=True):
    """How large what is read of a list is: the height of its figures, and what goes by that."""

    figure: float

    @property
    def row(self) -> float:
        """From one rule to the next: room for two lines of small words in the smallest."""
        return 8.2 + 1.12 * (self.figure - _FIGURES[-1])

    @property
    def pad(self) -> float:
        """What a column is wider than its text."""
        return 3.0 + 0.4 * (self.figure - _FIGURES[-1])


class _Columns(Struct, frozen=True):
    """Widths of a list: label, each figure, small words, tick box; and what is said over it, with its height."""

    size: _Size
    label: float
    figures: tuple[float, ...]
    words: float
    made: tuple[str, ...] = ()

    @property
    def head(self) -> float:
        return _LIST_HEAD + _WORDS_PITCH * len(self.made)

    @property
    def width(self) -> float:
        return self.label + sum(self.figures) + self.words + _TICK + 2.5

    def edges(self, left: float) -> list[float]:
        """Left edges of label, figures, words and box."""
        edges = [left]
        for width in (self.label, *self.figures, self.words):
            edges.append(edges[-1] + width)
        return edges


class _Filling(Struct, frozen=True):
    """A column of lists while it fills: its left edge, the y that it is filled down to, the widest of its lists."""

    left: float
    top: float
    width: float = 0.0

    @property
    def right(self) -> float:
        return self.left + self.width

    def widened(self, width: float) -> "_Filling":
        """With a list as wide in it."""
        return replace(self, width=max(width, self.width))


class _Pages:
    """The pages of one machine in figures of one size while they fill; the first is to have a picture."""

    def __init__(self, request: SettingRequest, page: Paper, told: SettingPage, size: _Size, *, beside: bool) -> None:
        self.request, self.page, self.told, self.size = request, page, told, size
        self.room = Box(_MARGIN, _MARGIN + _FOOT, page.width - _MARGIN, page.height - _MARGIN)
        self.done: list[Sheet] = []
        self.items: list[Item] = []
        self.proof = tuple(line for text in told.proof for line in wrapped(text, self.room.width, _TEXT))
        self.proof += ("", f"Done by: {'_' * 24}  Date: {'_' * 14}  {told.proved}: {'_' * 14}")
        self.begun = self.room.top
        self.picture = self._fill(beside=beside)

    def _fill(self, *, beside: bool) -> Box:
        """The first page with figures, picture and steps, then the lists over as many pages as they need.

        A single narrow list may stand beside picture and steps where these have room, others stand below them.
        """
        room, top = self.room, self._begin()
        self.items += _settings(self.told.settings, Box(room.left, top - _BOX, room.right, top))
        top -= _BOX + _GAP
        beside = beside and self._has_room_beside(top)
        middle = room.left + _ASIDE if beside else (room.left + room.right) / 2
        below = top - _PICTURE - _GAP
        corner = Point(room.left, below) if beside else Point(middle, top)
        wide = middle - _GAP - room.left if beside else room.right - middle
        steps, low = _steps(self.told.steps, corner, wide)
        self.items += steps
        below = min(below, low)
        self._lists(Point(middle, top) if beside else Point(room.left, below), low if beside else below)
        return Box(room.left, top - _PICTURE, middle - _GAP, top)

    def _has_room_beside(self, top: float) -> bool:
        """Whether picture and steps leave a single list room beside them, and end on the page."""
        wide = [_columns(each, self.size).width for each in self.told.lists]
        if len(wide) > 1 or wide[0] > self.room.width - _ASIDE + _SLACK:
            return False
        _, low = _steps(self.told.steps, Point(self.room.left, top - _PICTURE - _GAP), _ASIDE - _GAP)
        return low - _GAP - len(self.proof) * _PROOF_LINE >= self.room.bottom

    def _begin(self) -> float:
        """A heading on a fresh page; returns the y below it."""
        info, room = self.request.info, self.room
        number = f"{info.number} {info.revision}"
        wide = room.width - text_width(number, _HEADING) - _GAP
        title = f"{info.title} · " if info.title else ""
        set_up = self.told.settings[0]
        said = f"{set_up.name}: {set_up.figure}" if self.done else self.told.about
        about = f"{title}{said}".removesuffix(" · ")
        heading, low = paragraph(room.left, room.top, wide, (self.told.heading,), _HEADING, between=0.1)
        words, low = paragraph(room.left, low + 0.3, room.width, (about,), _TEXT, between=0.0)
        self.items = [
            *heading,
            text_item(Point(room.right, room.top - _HEADING), number, _HEADING, Anchor.RIGHT),
            *words,
            _item(Layer.BORDER, Line(Point(room.left, low - _RULE), Point(room.right, low - _RULE))),
        ]
        self.begun = low - _BELOW_RULE
        return self.begun

    def _turn(self) -> float:
        self.done.append(Sheet(self.page, (), tuple(self.items)))
        return self._begin()

    def _lists(self, corner: Point, low: float) -> None:
        """The lists down one column after the other, as many as stand side by side, then on the next page."""
        start, column = corner.y, _Filling(corner.x, corner.y)
        for each in self.told.lists:
            columns, at = _columns(each, self.size), 0
            while at < len(each.rows):
                rest, fits = len(each.rows) - at, self._rows_below(column.top, columns.head)
                too_wide = column.left > self.room.left and column.left + columns.width > self.room.right + _SLACK
                if too_wide or fits < min(2 * _FEWEST_ROWS - 1, rest):
                    if too_wide or column.top == start:
                        start = low = self._turn()
                        column = _Filling(self.room.left, start)
                    else:
                        column = _Filling(column.right + _GAP, start)
                    continue
                column = column.widened(columns.width)
                if rest > fits:
                    is_last = column.right + _GAP + columns.width > self.room.right + _SLACK
                    fits = max(min(fits, rest - (self._least_rows() if is_last else _FEWEST_ROWS)), _FEWEST_ROWS)
                rows = each.rows[at : at + fits]
                self.items += _list_items(each, rows, columns, Point(column.left, column.top), goes_on=at > 0)
                bottom = column.top - columns.head - len(rows) * self.size.row
                low, at = min(low, bottom), at + len(rows)
                column = replace(column, top=bottom - _GAP if at == len(each.rows) else self.room.bottom)
        self._proof(low - _GAP)

    def _rows_below(self, top: float, head: float = _LIST_HEAD) -> int:
        """How many rows of a list have room below its head, with the lines that follow the last list."""
        return int((top - self.room.bottom - head - _GAP - len(self.proof) * _PROOF_LINE) / self.size.row)

    def _least_rows(self) -> int:
        return round(self._rows_below(self.begun) * _LEAST_SHARE)

    def _proof(self, top: float) -> None:
        for line in self.proof:
            self.items.append(text_item(Point(self.room.left, top - _TEXT), line, _TEXT))
            top -= _PROOF_LINE
        self.done.append(Sheet(self.page, (), tuple(self.items)))


def _settings(settings: Sequence[Setting], room: Box) -> Iterator[Item]:
    """Boxes side by side, each with its figure large."""
    width = (room.width - _GAP * (len(settings) - 1)) / len(settings)
    for index, each in enumerate(settings):
        left = room.left + index * (width + _GAP)
        box = Box(left, room.bottom, left + width, room.top)
        yield _item(Layer.OUTLINE, rectangle(box))
        yield text_item(Point(left + 2.5, room.top - 2.5 - _TEXT), each.name, _TEXT)
        height = min(_FIGURE, _FIGURE * (width - 4.0) / text_width(each.figure, _FIGURE))
        yield text_item(Point(box.center.x, room.bottom + 8.5), each.figure, height, Anchor.CENTER)
        yield text_item(Point(left + 2.5, room.bottom + 2.5), each.meaning, _TEXT)


def _steps(steps: Sequence[str], corner: Point, width: float) -> tuple[list[Item], float]:
    """What to do before the first hole, a box to tick before each; and the y below."""
    items, top = [text_item(Point(corner.x, corner.y - _LABEL), "SET UP", _LABEL)], corner.y - 8.0
    for step in steps:
        items.append(_item(Layer.OUTLINE, rectangle(Box(corner.x, top - _TICK, corner.x + _TICK, top))))
        lines = wrapped(step, width - _TICK - 2.5, _TEXT)
        for index, line in enumerate(lines):
            at = Point(corner.x + _TICK + 2.5, top - _TICK / 2 - 4.0 * index)
            items.append(text_item(at, line, _TEXT, Anchor.MIDDLE_LEFT))
        top -= 8.5 + 4.0 * (len(lines) - 1)
    return items, top


def _columns(each: SettingList, size: _Size) -> _Columns:
    figures = [[row[1][index] for row in each.rows] for index in range(len(each.rows[0][1]))]
    heads = each.heads
    label = max(text_width(text, _LABEL) for text in (row[0] for row in each.rows)) + 4.0
    widths = (
        max(text_width(heads[1 + index], _TEXT), *(text_width(text, size.figure) for text in column)) + size.pad
        for index, column in enumerate(figures)
    )
    lines = [line for row in each.rows for line in _word_lines(row[2])]
    words = max((text_width(line, _TEXT) + size.pad for line in lines), default=0.0)
    words = max(words, text_width(heads[-1], _TEXT) + size.pad if len(heads) > 1 + len(figures) else 0.0)
    columns = _Columns(size, max(label, text_width("hole", _TEXT) + 3.5), tuple(widths), words)
    return replace(columns, made=tuple(wrapped(each.made, columns.width - 5.0, _TEXT)) if each.made else ())


def _word_lines(words: str) -> tuple[str, ...]:
    """The small words of a row, no more lines of them than stand clear of its rules."""
    widths = count(_WORDS, _WIDER)
    return next(lines for width in widths if len(lines := tuple(wrapped(words, width, _TEXT))) <= _MOST_LINES)


def _list_items(
    each: SettingList, rows: Sequence[tuple[str, tuple[str, ...], str]], columns: _Columns, corner: Point, goes_on: bool
) -> Iterator[Item]:
    """A list with its head; the upper left corner stands at ``corner``."""
    width, edges, size = columns.width, columns.edges(corner.x), columns.size
    box = Box(corner.x, corner.y - columns.head - len(rows) * size.row, corner.x + width, corner.y)
    yield _item(Layer.OUTLINE, rectangle(box))
    title = f"{each.title}, continued" if goes_on else each.title
    room = width - 5.0 - (text_width(each.fixed, _LABEL) + _OFF_FIXED if each.fixed else 0.0)
    high = min(_LABEL, _LABEL * room / text_width(title, _LABEL))
    yield text_item(Point(corner.x + 2.5, corner.y - 4.0), title, high, Anchor.MIDDLE_LEFT)
    if each.fixed:
        yield text_item(Point(box.right - 2.5, corner.y - 4.0), each.fixed, _LABEL, Anchor.MIDDLE_RIGHT)
    for rank, line in enumerate(columns.made):
        yield text_item(Point(corner.x + 2.5, corner.y - 8.5 - _WORDS_PITCH * rank), line, _TEXT, Anchor.MIDDLE_LEFT)
    for edge, head in zip(edges, each.heads, strict=False):
        yield text_item(Point(edge + 2.5, corner.y - columns.head + 3.0), head, _TEXT, Anchor.MIDDLE_LEFT)
    for index, (label, figures, words) in enumerate(rows):
        top = corner.y - columns.head - index * size.row
        middle = top - size.row / 2
        yield _item(Layer.TABLE, Line(Point(corner.x, top), Point(box.right, top)))
        yield text_item(Point(edges[0] + 2.5, middle), label, _LABEL, Anchor.MIDDLE_LEFT)
        for right, figure in zip(edges[2:], figures, strict=False):
            yield text_item(Point(right - 2.5, middle), figure, size.figure, Anchor.MIDDLE_RIGHT)
        lines = _word_lines(words)
        for number, line in enumerate(lines):
            y = middle + _WORDS_PITCH * ((len(lines) - 1) / 2 - number)
            yield text_item(Point(edges[-2] + 1.4, y), line, _TEXT, Anchor.MIDDLE_LEFT)
        tick = Box(edges[-1], middle - _TICK / 2, edges[-1] + _TICK, middle + _TICK / 2)
        yield _item(Layer.OUTLINE, rectangle(tick))


def _picture(flange: Flange, side: PlateFace, room: Box) -> View:
    """The plate as it lies on the machine, that side up, with the holes made from there and their numbers."""
    box, holes = flange.box(), side_holes(flange, side)
    scale = min((room.width - 4.0) / box.width, (room.height - 10.0) / box.height)
    over, half = Point(box.center.x, box.top + 2.0 / scale), text_width("TOP", _LABEL) / 2 / scale
    top = Box(over.x - half, over.y, over.x + half, over.y + _LABEL / scale)
    about = box.grown((2.0 + _GAP - 1.0) / scale)
    items = (
        *metal_edges(flange, Layer.OUTLINE),
        *(_item(Layer.OUTLINE, hole.shape, HoleRef(hole.label)) for hole in holes),
        *_hole_labels(flange, holes, scale, top, about),
        _item(Layer.TEXT, Label(over, "TOP", _LABEL, 0.0, Anchor.CENTER)),
    )
    plate, center = Drawing("plate on the machine", items), box.center
    if side is PlateFace.BACK:
        plate, center = seen_from_behind(plate), Point(-center.x, center.y)
    return View(plate, scale, Point(room.center.x, room.center.y - 3.0) - center.scaled(scale))


def _hole_labels(flange: Flange, holes: Sequence[Hole], scale: float, top: Box, room: Box) -> Iterator[Item]:
    """Numbers beside their holes in a room, clear of edges, of the word at the top and of each other.

    Of a circle that has no room for all every k-th is numbered, of very many holes the first.
    """
    off, labels = off_edges(flange), list[tuple[Point, float]]()
    spots = {hole.label: NumberedHole(hole.label, hole.center, _reach(hole)) for hole in holes}

    def clears(at: Point, half: float) -> bool:
        free = all(at.distance_to(other) > half + reach for other, reach in labels)
        taken = box_around((at,)).grown(half)
        inside = all(map(room.contains, taken.corners))
        return free and inside and off(at, half) and not taken.overlaps(top)

    for group in sorted({hole.group: ORIGIN.distance_to(hole.center) for hole in holes}.items(), key=itemgetter(1)):
        own = [hole.label for hole in holes if hole.group == group[0]]
        own = own if len(own) <= _MOST_NUMBERS else own[:1]
        numbered, others = [spots[label] for label in own], [spots[label] for label in spots.keys() - {*own}]
        for label, at in hole_numbers(numbered, _TEXT, scale, clears, turned=180.0, others=others).items():
            labels.append((at, number_reach(label, _TEXT) / scale))
            yield _item(Layer.TEXT, Label(at, label, _TEXT, 0.0, Anchor.MIDDLE), HoleRef(label))


def _reach(hole: Hole) -> float:
    """Half of what is drawn of a hole, in mm."""
    return (hole.kind.length if isinstance(hole.kind, Slot) else hole.diameter) / 2


def _item(layer: Layer, what: Content, source: HoleRef | Furniture = _SOURCE) -> Item:
    return Item(layer, what, source)
