"""The pages of a tiled drawing: where each is cut or kept, what it lies over, and the marks that join them.

Of two neighbors the later one in the set is cut and laid over the earlier one, which is kept whole and glued. So
every page is cut at its left and upper edges only, where it has neighbors there or its paper would hide what an
earlier page shows.
"""

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cache
from itertools import chain, groupby, product
from operator import itemgetter
from typing import TypeAlias

from msgspec import Struct

from flangelayout.drawing.explode import arrow_head, items_box
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Drawing, Item, Label, Sheet, View
from flangelayout.drawing.references import Furniture, HoleRef
from flangelayout.drawing.textwidth import label_box, text_width
from flangelayout.geometry.near_pairs import BoxIndex
from flangelayout.geometry.shapes import ORIGIN, Box, Contour, Line, Point, box_about, box_around, polar
from flangelayout.value import replace
from flangelayout.views.page.flip import box_turned_over, upside_down
from flangelayout.views.template.content_map import InkMap, Strokes, free_place, inked_bins
from flangelayout.views.template.furniture import Subject, note_lines, page_furniture, tile_line, tile_text
from flangelayout.views.template.hole_labels import LabelRoom
from flangelayout.views.template.paper import FLIP_NOTES, TemplatePage
from flangelayout.views.template.tiling import Tile, TileJoint, Tiling

HALF_MARK = 3.0
"""Half the width of a join mark in mm; both pages show at least so much beyond the seam."""
_TEXT = 2.5
_GLUE = 12.0
"""How wide in mm the dots of a glued strip reach at most."""
_NUMBER_HEIGHTS = (34.0, 26.0, 20.0, 15.0, 11.0, 8.0)
_NAME_ROOM = 7.0
"""What the name of a join mark takes beside it, in mm: the tile's own number keeps off it."""
_SEAM, _LEADER, _TOP = Furniture("seam"), Furniture("leader"), Furniture("top")
_OFF_SEAM = (_TEXT / 2 + 1.2, _TEXT / 2 + 2.9)
"""How far in mm from a seam the middle of its words stands: within the strip beyond it, or on this side."""
_LOWEST = 2.1
"""How far in mm words reach from their middle, tails of letters included."""
_OFF_MARK = 0.5
"""How far in mm words along a seam keep from a join mark."""
_SQUARE_OFF = 1.2
"""How far in mm from a seam words begin that stand square to it."""
_LED_OFF = (5.0, 8.0, 11.0, 13.5)
"""Likewise where a leader ties them to it."""
_OFF_OTHERS = 1.6
"""How far in mm words of a seam keep from the lines of others, so that nobody takes them for theirs."""
_OFF_NAME = 0.5
"""How far in mm the name of a join mark stands from the mark, and words from a leader."""
_NAME_STEPS = (0.0, 2.0, -2.0, 3.2, -3.2, 4.4, -4.4)
"""How far in mm along its seam a name is moved from its mark."""
_NAME_FARTHEST, _NAME_NEARER = 8.8, 1.25
"""Middles of a mark and its name are no farther apart, in mm; that of any other mark is so many times as far."""
_OFF_LINE = 0.5
"""How far in mm a leader keeps from words, and its own words from what it leads to."""
_FROM_EDGE = 0.5
_APART = 1.2
"""How far in mm words of seams keep from each other."""
_LEAST_CLEAR = 0.3
"""How far in mm words keep from lines where the map of ink, which is rough, tells of no room."""
_MOST_DRAWN = 15_000
"""Things drawn beyond which a place is told by the map of their ink alone: to look at each takes too long."""
_MOST_LOOKED_AT = 60
"""Places that are looked at so closely, those with the least ink."""
_WORDS_REACH = _OFF_SEAM[1] + _TEXT / 2
_PLACES_REACH = 45.0
"""How far in mm from a seam its words reach at most."""
_PAPER_BEYOND = 40.0
"""Printed mm that the paper of a page reaches beyond its window at most, to the left, to the right and up."""
_SHARES = tuple(0.5 + side * step / 40 for step in range(19) for side in ((1, -1) if step else (1,)))
"""Places of words along a seam, as shares of it, from the middle outward."""
_INNER, _SHORT_HALF = 23, 8.0
"""How many of these words have that are longer than twice so many mm."""


def label_room(tiling: Tiling, is_back: bool) -> LabelRoom:
    """What the words of a plate heed on these pages: what a page shows, and its seams with their words and marks.

    Args:
        tiling: The pages.
        is_back: Whether they show the plate turned over, left to right.
    """
    pages: Iterable[Box] = (tile.window for tile in tiling.tiles)
    seams: Iterable[Box] = (box for joint in (*tiling.joints, *_lone_cuts(tiling)) for box in _seam_boxes(joint))
    if is_back:
        pages, seams = map(box_turned_over, pages), map(box_turned_over, seams)
    return LabelRoom(tuple(pages), tuple(seams))


def _seam_boxes(joint: TileJoint) -> Iterator[Box]:
    """The strip along a seam where its words stand, and what each join mark takes with its name."""
    yield box_around((joint.trim.start, joint.trim.end)).grown(_WORDS_REACH)
    for at in joint.marks:
        yield box_about(at, HALF_MARK + _NAME_ROOM)


def _lone_cuts(tiling: Tiling) -> Iterator[TileJoint]:
    """Cuts where a page meets no neighbor, but its paper would lie on what an earlier page shows farther along."""
    cut = {(joint.over, _is_upright(joint)) for joint in tiling.joints}
    for number, tile in enumerate(tiling.tiles):
        cell, paper = tile.cell, tile.window.grown(_PAPER_BEYOND)
        hidden = [each for each in tiling.tiles[:number] if paper.overlaps(each.cell)]
        for upright in (tiling.by_columns, not tiling.by_columns):
            beyond = [
                each for each in hidden if (each.cell.right <= cell.left if upright else each.cell.bottom >= cell.top)
            ]
            hidden = [each for each in hidden if each not in beyond]
            if beyond and (tile, upright) not in cut:
                start = Point(cell.left, cell.bottom if upright else cell.top)
                end = Point(cell.left if upright else cell.right, cell.top)
                yield TileJoint(beyond[0], tile, Line(start, end), ())


_Choice: TypeAlias = tuple[Label, Iterable[Point]]
"""A label and the places that it may have."""


class _PageWords:
    """The words at the seams of one page as they come to stand there, none over another where there is room."""

    def __init__(self, window: Box, ink: InkMap | None, strokes: Callable[[], Strokes] | None) -> None:
        """None yet, on a page that shows ``window`` of a drawing with its ``ink`` and, if few, its ``strokes``."""
        self.shown, self.ink, self.strokes = window.grown(-_FROM_EDGE), ink, strokes
        self.taken: list[Box] = []

    def placed(self, *stages: Iterable[_Choice], near: Box, clear: float = 0.0, off: Sequence[Box] = ()) -> Label:
        """The first of some labels that has a place where it crosses nothing, there.

        Where none has, the one that crosses the fewest words, of these one of the first stage, then the least ink.

        Args:
            stages: What may be said, and where, each where those before it all cross something.
            near: Where all of these places are.
            clear: How far in mm round it ink counts.
            off: What it keeps off beside the words.
        """
        taken, least = [box for box in (*self.taken, *off) if box.overlaps(near)], list[tuple[int, int, int, Label]]()
        for rank, choices in enumerate(stages):
            found = []
            for label, places in choices:
                around = label_box(label).moved(label.at.scaled(-1.0))
                for wish in places:
                    place, box = _shown_whole(wish, around.moved(wish), self.shown)
                    ink = inked_bins(self.ink, box.grown(clear) if clear else box) if self.ink else 0
                    if not ink and not any(map(box.overlaps, taken)):
                        return self._stand(replace(label, at=place))
                    found.append((ink, place, box, label))
            ranked = [(sum(map(each[2].overlaps, taken)), rank, *each) for each in found]
            ranked.sort(key=itemgetter(0, 2))
            for words, _, _, place, box, label in ranked[:_MOST_LOOKED_AT] if self.strokes else ():
                if not words and self.strokes and not self.strokes().run_through(box.grown(_LEAST_CLEAR)):
                    return self._stand(replace(label, at=place))
            least += [(*each[:3], replace(each[5], at=each[3])) for each in ranked[:1]]
        return self._stand(min(least, key=itemgetter(0, 1, 2))[-1])

    def _stand(self, label: Label) -> Label:
        self.taken.append(label_box(label).grown(_APART))
        return label


def tile_sheets(
    subject: Subject, drawing: Drawing, tiling: Tiling, page: TemplatePage, flip: bool, pointer: str = ""
) -> Iterator[Sheet]:
    """A page for every tile of a drawing, every other one upside down if asked for."""
    common = Drawing("template page", page_furniture(page.window, subject, page.lines, pointer))
    whole, (drawing, parted) = drawing, _words_parted(drawing, tiling.tiles)
    numbers = {tile: number for number, tile in enumerate(tiling.tiles, 1)}
    ink, is_looked_at = tiling.ink if len(numbers) > 1 else None, len(whole.items) <= _MOST_DRAWN
    strokes = cache(lambda: Strokes(item.what for item in whole.items)) if is_looked_at else None
    turned: dict[int, Drawing] = {}
    lone, joints = tuple(_lone_cuts(tiling)), _named_joints(tiling)
    window = page.window
    for tile, number in numbers.items():
        at = Point(window.left - tile.window.left, window.bottom - tile.window.bottom)
        words = _PageWords(tile.window, ink, strokes)
        alone = (item for cut in lone if cut.over is tile for item in _cut(cut, words, ()))
        seams = Drawing(
            "template seams",
            (*_number(ink, tile, number, words), *_seams(tile, joints.get(tile, ()), numbers, words), *alone),
        )
        apart = (Drawing("template words", tuple(parted[tile])),) if tile in parted else ()
        drawn = (View(each, 1.0, at, window) for each in (drawing, seams, *apart))
        views = (*drawn, View(common, 1.0, ORIGIN))
        over = flip and (tile.row + tile.column) % 2 == 1
        furniture = [tile_line(tile_text(tile, number, tiling, subject.is_back), window)]
        if flip:
            furniture += note_lines(FLIP_NOTES[over], window, len(page.lines))
        sheet = Sheet(page.paper, views, tuple(furniture), f"row {tile.row}, column {tile.column}")
        yield upside_down(sheet, turned) if over else sheet


def _words_parted(drawing: Drawing, tiles: Sequence[Tile]) -> tuple[Drawing, dict[Tile, list[Item]]]:
    """A drawing without the words that a page would show a part of, and these by the pages that show them whole."""
    windows, parted = BoxIndex(), dict[Tile, list[Item]]()
    for tile in tiles:
        windows.add(tile.window)
    steady: list[Item] = []
    for _, said in groupby(drawing.items, key=_said_together):
        items = list(said)
        box = items_box(items) if items[0].layer is Layer.TEXT else None
        showing = [tiles[index] for index in windows.touching(box)] if box else []
        whole = [tile for tile in showing if box and all(map(tile.window.contains, box.corners))]
        if whole and len(whole) < len(showing):
            for tile in whole:
                parted.setdefault(tile, []).extend(items)
        else:
            steady += items
    return replace(drawing, items=tuple(steady)), parted


def _said_together(item: Item) -> object:
    """What the words of a hole and of TOP, with its arrow, have in common; every other thing is alone."""
    is_text = item.layer is Layer.TEXT
    return item.source if is_text and (isinstance(item.source, HoleRef) or item.source == _TOP) else id(item)


def _number(ink: InkMap | None, tile: Tile, number: int, page: _PageWords) -> Iterator[Item]:
    """The number of a tile, as large as fits where nothing of the drawing stands; none where there is no room."""
    widths = [text_width(str(number), height) for height in _NUMBER_HEIGHTS]
    sizes = [(width + 3.0, height + 3.0) for width, height in zip(widths, _NUMBER_HEIGHTS, strict=True)]
    found = free_place(ink, tile.cell.grown(-HALF_MARK - _NAME_ROOM), sizes) if ink else None
    if found:
        rank, corner = found
        width, height = sizes[rank]
        middle = Point(corner.x + width / 2, corner.y + height / 2)
        label = Label(middle, str(number), _NUMBER_HEIGHTS[rank], 0.0, Anchor.MIDDLE)
        page.taken.append(label_box(label).grown(_APART))
        yield Item(Layer.TILE_NUMBER, label, Furniture("tile number"))


class _NamedJoint(Struct, frozen=True):
    """A joint with the names of its marks."""

    joint: TileJoint
    names: tuple[str, ...]


def _named_joints(tiling: Tiling) -> dict[Tile, list[_NamedJoint]]:
    """The joints of every tile that has any; marks are numbered through."""
    found: dict[Tile, list[_NamedJoint]] = {}
    mark = 0
    for joint in tiling.joints:
        named = _NamedJoint(joint, tuple(f"J{mark + rank}" for rank in range(1, len(joint.marks) + 1)))
        mark += len(joint.marks)
        for tile in (joint.under, joint.over):
            found.setdefault(tile, []).append(named)
    return found


def _seams(tile: Tile, joints: Sequence[_NamedJoint], numbers: Mapping[Tile, int], page: _PageWords) -> Iterator[Item]:
    """What is said of the edges of one page: marks and their names, then words where these and edges leave room."""
    lines = [box_around((named.joint.trim.start, named.joint.trim.end)) for named in joints]
    page.taken += lines
    marks = [at for named in joints for at in named.joint.marks]
    page.taken += [box_about(at, HALF_MARK) for at in marks]
    for named in joints:
        for at, name in zip(named.joint.marks, named.names, strict=True):
            yield from _mark(named.joint, tile, at, name, page, [other for other in marks if other != at])
    for named in joints:
        joint = named.joint
        others = [line for line, each in zip(lines, joints, strict=True) if each is not named]
        if tile is joint.over:
            under = numbers[joint.under]
            yield from _cut(joint, page, others, f": lies over TILE {under}", (f"OVER {under}",))
        else:
            over = numbers[joint.over]
            yield Item(Layer.DIMENSION, joint.trim, Furniture("keep line"))
            yield from _glue(joint, tile)
            short = f"GLUE: TILE {over}"
            texts = (f"KEEP, {short} lies to the line", f"KEEP, {short}", short, f"GLUE {over}")
            yield from _words(joint, tile, texts, page, others)


def _cut(
    joint: TileJoint, page: _PageWords, others: Sequence[Box], over: str = "", short: tuple[str, ...] = ()
) -> Iterator[Item]:
    """The line that a page is cut along, and its words."""
    yield Item(Layer.PAPER_CUT, joint.trim, Furniture("cut line"))
    yield from _words(joint, joint.over, (f"CUT HERE, edge to edge{over}", f"CUT{over}", *short), page, others)


def _is_upright(joint: TileJoint) -> bool:
    return joint.trim.start.x == joint.trim.end.x


def _inward(joint: TileJoint, tile: Tile) -> Point:
    """One mm from the seam into the tile's own part, square to the seam."""
    upright = _is_upright(joint)
    middle, own = joint.trim.start, tile.cell.center
    return Point(1.0 if own.x > middle.x else -1.0, 0.0) if upright else Point(0.0, 1.0 if own.y > middle.y else -1.0)


def join_mark(at: Point, half: float, turn: float = 0.0) -> Item:
    """A diamond with a corner ``half`` mm from its middle along ``turn`` degrees; it is no circle and no cross."""
    corners = [polar(half, turn + quarter, at) for quarter in (0.0, 90.0, 180.0, 270.0)]
    sides = tuple(Line(start, end) for start, end in zip(corners, (*corners[1:], corners[0]), strict=True))
    return Item(Layer.DIMENSION, Contour(sides, closed=True), Furniture("join mark"))


def _mark(
    joint: TileJoint, tile: Tile, at: Point, name: str, page: _PageWords, others: Sequence[Point]
) -> Iterator[Item]:
    """A diamond on the seam with its name on the tile's own side: no circle and no cross, so nobody drills it."""
    yield join_mark(at, HALF_MARK)
    inward = _inward(joint, tile)
    near = [other for other in others if other.distance_to(at) < 3 * _NAME_FARTHEST]
    its_own = next((True for _, places in _names(at, name, inward, near) for _ in places), False)
    choices = _names(at, name, inward, near if its_own else ())
    label = page.placed(choices, near=box_about(at, 2 * _NAME_FARTHEST), clear=_LEAST_CLEAR)
    yield Item(Layer.TEXT, label, Furniture("join mark"))


def _names(at: Point, name: str, inward: Point, others: Sequence[Point]) -> Iterator[_Choice]:
    """The name of a mark, level or upright, beside it or at a corner of it, by far the nearest to it of all marks."""
    for turn in (0.0, 90.0):
        wide, high = (text_width(name, _TEXT) / 2, _LOWEST)[:: -1 if turn else 1]
        out, along = (wide, high) if inward.x else (high, wide)
        yield Label(at, name, _TEXT, turn, Anchor.MIDDLE), _round_mark(at, inward, (out, along), others)


def _round_mark(at: Point, inward: Point, half: tuple[float, float], others: Sequence[Point]) -> Iterator[Point]:
    """Places of a name that takes ``half`` to either side of its middle, square to a seam and along it."""
    beside, past = (HALF_MARK + _OFF_NAME + each for each in half)
    steps = [(out, side) for out in (beside, beside + 1.2) for side in _NAME_STEPS]
    steps += [(half[0] + low, side * past) for low in (2.0, 0.8, 3.2) for side in (1.0, -1.0, 1.2, -1.2)]
    for out, side in steps:
        away = math.hypot(out, side)
        place = at + inward.scaled(out) + Point(side * abs(inward.y), side * abs(inward.x))
        if away < _NAME_FARTHEST and all(place.distance_to(other) > _NAME_NEARER * away for other in others):
            yield place


def _glue(joint: TileJoint, tile: Tile) -> Iterator[Item]:
    """Dotted lines over the strip of a kept page that its neighbor will lie on."""
    outward, depth = _inward(joint, tile).scaled(-1.0), _beyond(joint, tile)
    for step in range(1, int(min(depth, _GLUE) / 1.5) + 1):
        shift = outward.scaled(1.5 * step)
        yield Item(Layer.GLUE, Line(joint.trim.start + shift, joint.trim.end + shift), Furniture("glue"))


def _beyond(joint: TileJoint, tile: Tile) -> float:
    """How far in mm a page shows its drawing beyond a seam."""
    outward, start, window = _inward(joint, tile).scaled(-1.0), joint.trim.start, tile.window
    return max(
        (window.right - start.x) * outward.x,
        (window.left - start.x) * outward.x,
        (window.top - start.y) * outward.y,
        (window.bottom - start.y) * outward.y,
    )


def _words(
    joint: TileJoint, tile: Tile, texts: Sequence[str], page: _PageWords, others: Sequence[Box]
) -> Iterator[Item]:
    """What to do at a seam, the first of ``texts`` that finds room: along it, square to it, or tied to it by a leader.

    Args:
        joint: It.
        tile: The page.
        texts: What may be said, the longest first.
        page: Its words.
        others: The lines of other seams.
    """
    marks = tuple(sorted(joint.trim.start.distance_to(at) for at in joint.marks))
    seam = _Seam(joint.trim, _inward(joint, tile).scaled(-1.0), _beyond(joint, tile), marks)
    beside = chain(map(seam.along, texts), map(seam.square, texts[-2:]))
    far, last = (seam.led(text, page) for text in texts[-1:]), map(seam.anywhere, texts[-1:])
    reach = box_around((joint.trim.start, joint.trim.end)).grown(_PLACES_REACH)
    label = page.placed(beside, far, last, near=reach, off=[box.grown(_OFF_OTHERS) for box in others])
    yield Item(Layer.TEXT, label, _SEAM)
    if line := seam.leader(label):
        page.taken.append(box_around((line.start, line.end)).grown(_OFF_NAME))
        yield Item(Layer.DIMENSION, line, _LEADER)
        yield Item(Layer.DIMENSION, arrow_head(line.end, line.start.direction_to(line.end), 1.0), _LEADER)


class _Seam(Struct, frozen=True):
    """A seam as a page shows it, and where its words may stand.

    Attributes:
        line: It.
        outward: One mm square to it, off the tile's own part.
        strip: How far in mm the page shows its drawing beyond it.
        marks: How far in mm from its start its join marks are, rising.
    """

    line: Line
    outward: Point
    strip: float
    marks: tuple[float, ...]

    def along(self, text: str) -> _Choice:
        """Words along it, rather on the strip beyond the tile's own part."""
        half = text_width(text, _TEXT) / 2
        groups = [off for off in _OFF_SEAM if off + _LOWEST <= self.strip], [-off for off in _OFF_SEAM]
        return self._label(text), (
            self._at(share, off) for offs in groups for share in self._shares(half) for off in offs
        )

    def square(self, text: str) -> _Choice:
        """Words that begin at it and stand square to it."""
        out = _SQUARE_OFF + text_width(text, _TEXT) / 2
        offs = [out, -out] if 2 * out <= self.strip else [-out]
        return self._label(text, 90.0), (self._at(share, off) for off in offs for share in self._shares(_LOWEST))

    def led(self, text: str, page: _PageWords) -> _Choice:
        """Words square to it on the tile's own part, farther off: where a leader from them crosses no others."""
        label = self._label(text, 90.0)
        return label, self._led(label_box(label).moved(label.at.scaled(-1.0)), page)

    def _led(self, around: Box, page: _PageWords) -> Iterator[Point]:
        half = max(around.width, around.height) / 2
        for off, share in product(_LED_OFF, self._shares(0.0)):
            at = self._at(share, -off - half)
            leader = box_around((self._at(share, -off), self._at(share, -_OFF_LINE))).grown(_OFF_LINE / 2)
            is_shown = all(map(page.shown.contains, around.moved(at).corners))
            if is_shown and not any(leader.overlaps(box) for box in page.taken):
                yield at

    def anywhere(self, text: str) -> _Choice:
        """Words along it, in its middle."""
        return self._label(text), [self._at(0.5, -_OFF_SEAM[0])]

    def leader(self, label: Label) -> Line | None:
        """The line from words that stand far off to it; ``None`` where they are near."""
        start, outward = self.line.start, self.outward
        off = max((at.x - start.x) * outward.x + (at.y - start.y) * outward.y for at in label_box(label).corners)
        foot = Point(start.x, label.at.y) if outward.x else Point(label.at.x, start.y)
        return Line(foot + outward.scaled(off + _OFF_NAME), foot) if off < 1.0 - _LED_OFF[0] else None

    def _label(self, text: str, turned: float = 0.0) -> Label:
        return Label(self.line.start, text, _TEXT, abs((90.0 if self.outward.x else 0.0) - turned), Anchor.MIDDLE)

    def _at(self, share: float, off: float) -> Point:
        start, end, outward = self.line.start, self.line.end, self.outward
        x, y = start.x + (end.x - start.x) * share, start.y + (end.y - start.y) * share
        return Point(x + outward.x * off, y + outward.y * off)

    def _shares(self, half: float) -> Iterator[float]:
        """Places where words keep within it and off its join marks; last, the middle of every stretch."""
        length = self.line.start.distance_to(self.line.end)
        clear = half + HALF_MARK + _OFF_MARK
        lows, highs = (
            (half, *(mark + clear for mark in self.marks)),
            (*(mark - clear for mark in self.marks), length - half),
        )
        stretches = [(low, high) for low, high in zip(lows, highs, strict=True) if low <= high]
        shares = _SHARES if half <= _SHORT_HALF else _SHARES[:_INNER]
        yield from (share for share in shares if any(low <= share * length <= high for low, high in stretches))
        yield from ((low + high) / 2 / length for low, high in stretches)


def _shown_whole(at: Point, box: Box, shown: Box) -> tuple[Point, Box]:
    """The place of a label and its box, moved as little as it takes for the page to show all of it."""
    if shown.left <= box.left and box.right <= shown.right and shown.bottom <= box.bottom and box.top <= shown.top:
        return at, box
    right = max(shown.left - box.left, 0.0) + min(shown.right - box.right, 0.0)
    step = Point(right, max(shown.bottom - box.bottom, 0.0) + min(shown.top - box.top, 0.0))
    return at + step, box.moved(step)
