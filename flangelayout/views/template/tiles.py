"""The pages of a tiled drawing: where each is cut or kept, what it lies over, and the marks that join them.

Of two neighbors the later one in the set is cut and laid over the earlier one, which is kept whole and glued. So
every page is cut at its left and upper edges only, where it has neighbors there or its paper would hide what an
earlier page shows.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from operator import itemgetter
from typing import TypeAlias

from msgspec import Struct

from flangelayout.drawing.explode import items_box
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Drawing, Item, Label, Sheet, View
from flangelayout.drawing.references import Furniture, HoleRef
from flangelayout.drawing.textwidth import label_box, text_width
from flangelayout.geometry.near_pairs import BoxIndex
from flangelayout.geometry.shapes import ORIGIN, Box, Contour, Line, Point, box_around, polar
from flangelayout.value import replace
from flangelayout.views.page.flip import box_turned_over, upside_down
from flangelayout.views.template.content_map import InkMap, free_place, inked_bins
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
_SEAM, _TOP = Furniture("seam"), Furniture("top")
_OFF_SEAM = (_TEXT / 2 + 1.2, _TEXT / 2 + 2.9)
"""How far in mm from a seam the middle of its words stands: within the strip beyond it, or on this side."""
_LOWEST = 2.1
"""How far in mm words reach from their middle, tails of letters included."""
_OFF_MARK = 0.5
"""How far in mm words along a seam keep from a join mark."""
_PAST_MARK = HALF_MARK + _TEXT / 2 + 0.6
_PAST_NAME = (HALF_MARK + _NAME_ROOM, HALF_MARK + 1.6 * _NAME_ROOM)
"""How far in mm from a seam the middle of its words stands where join marks leave no room: beyond it, on this side."""
_FROM_EDGE = 0.5
_APART = 1.2
"""How far in mm words of seams keep from each other."""
_WORDS_REACH = _OFF_SEAM[1] + _TEXT / 2
_PAPER_BEYOND = 40.0
"""Printed mm that the paper of a page reaches beyond its window at most, to the left, to the right and up."""
_SHARES = tuple(0.5 + side * step / 40 for step in range(12) for side in ((1, -1) if step else (1,)))
"""Places of words along a seam, as shares of it, from the middle outward."""


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
        yield Box(at.x, at.y, at.x, at.y).grown(HALF_MARK + _NAME_ROOM)


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


_Choices: TypeAlias = Iterable[tuple[Label, Iterable[Point]]]
"""Labels, each with the places that it may have."""


class _PageWords:
    """The words at the seams of one page as they come to stand there, none over another where there is room."""

    def __init__(self, window: Box, ink: InkMap | None) -> None:
        """None yet, on a page that shows ``window`` of a drawing with its ``ink``."""
        self.window, self.ink = window, ink
        self.taken: list[Box] = []

    def placed(self, choices: _Choices, beyond: _Choices = (), clear: float = 0.0) -> Label:
        """The first of some labels that has a place where it crosses nothing, there.

        Where none has, the one that crosses the fewest words and the least ink.

        Args:
            choices: What may be said, and where.
            beyond: Likewise, where all of these cross words.
            clear: How far in mm round it ink counts.
        """
        found: list[tuple[int, int, Label]] = []
        for stage in (choices, beyond):
            for label, places in stage:
                around = label_box(label).moved(label.at.scaled(-1.0))
                for place in places:
                    box = around.moved(place)
                    words = sum(box.overlaps(other) for other in self.taken)
                    ink = inked_bins(self.ink, box.grown(clear)) if self.ink else 0
                    if not words and not ink:
                        return self._stand(replace(label, at=place))
                    found.append((words, ink, replace(label, at=place)))
            if any(not words for words, _, _ in found):
                break
        return self._stand(min(found, key=itemgetter(0, 1))[-1])

    def _stand(self, label: Label) -> Label:
        label = _shown_whole(label, self.window)
        self.taken.append(label_box(label).grown(_APART))
        return label


def tile_sheets(
    subject: Subject, drawing: Drawing, tiling: Tiling, page: TemplatePage, flip: bool, pointer: str = ""
) -> Iterator[Sheet]:
    """A page for every tile of a drawing, every other one upside down if asked for."""
    common = Drawing("template page", page_furniture(page.window, subject, page.lines, pointer))
    drawing, parted = _words_parted(drawing, tiling.tiles)
    numbers = {tile: number for number, tile in enumerate(tiling.tiles, 1)}
    ink = tiling.ink if len(numbers) > 1 else None
    turned: dict[int, Drawing] = {}
    lone, joints = tuple(_lone_cuts(tiling)), _named_joints(tiling)
    window = page.window
    for tile, number in numbers.items():
        at = Point(window.left - tile.window.left, window.bottom - tile.window.bottom)
        words = _PageWords(tile.window, ink)
        alone = (item for cut in lone if cut.over is tile for item in _cut(cut, words))
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
    page.taken += [box_around((named.joint.trim.start, named.joint.trim.end)) for named in joints]
    for named in joints:
        for at, name in zip(named.joint.marks, named.names, strict=True):
            yield from _mark(named.joint, tile, at, name, page)
    for named in joints:
        joint = named.joint
        if tile is joint.over:
            under = numbers[joint.under]
            yield from _cut(joint, page, f": lies over TILE {under}", (f"OVER {under}",))
        else:
            over = numbers[joint.over]
            yield Item(Layer.DIMENSION, joint.trim, Furniture("keep line"))
            yield from _glue(joint, tile)
            short = f"GLUE: TILE {over}"
            texts = (f"KEEP, {short} lies to the line", f"KEEP, {short}", short, f"GLUE {over}")
            yield _words(joint, tile, texts, page)


def _cut(joint: TileJoint, page: _PageWords, over: str = "", short: tuple[str, ...] = ()) -> Iterator[Item]:
    """The line that a page is cut along, and its words."""
    yield Item(Layer.PAPER_CUT, joint.trim, Furniture("cut line"))
    yield _words(joint, joint.over, (f"CUT HERE, edge to edge{over}", f"CUT{over}", *short), page)


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


def _mark(joint: TileJoint, tile: Tile, at: Point, name: str, page: _PageWords) -> Iterator[Item]:
    """A diamond on the seam with its name on the tile's own side: no circle and no cross, so nobody drills it."""
    yield join_mark(at, HALF_MARK)
    inward = _inward(joint, tile)
    beside, aside = at + inward.scaled(HALF_MARK + 0.8 + text_width(name, _TEXT) / 2), Point(-inward.y, inward.x)
    places = (beside, *(beside + aside.scaled(step) for step in (2.0, -2.0, 3.2, -3.2)))
    page.taken.append(Box(at.x, at.y, at.x, at.y).grown(HALF_MARK))
    label = page.placed([(Label(beside, name, _TEXT, 0.0, Anchor.MIDDLE), places)], clear=0.8)
    yield Item(Layer.TEXT, label, Furniture("join mark"))


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


def _words(joint: TileJoint, tile: Tile, texts: Sequence[str], page: _PageWords) -> Item:
    """What to do at a seam, along it, where it crosses least: rather on the strip beyond the tile's own part.

    Where it crosses less square to the seam, on a strip that is wide enough, it stands so.

    Of ``texts`` the first that finds room beside the join marks and off all lines, or beside the marks only. Where none
    does, past the marks, the first but one that is no longer than the seam, or the last one if only that crosses less.
    """
    line, outward, strip = joint.trim, _inward(joint, tile).scaled(-1.0), _beyond(joint, tile)
    turn = 90.0 if _is_upright(joint) else 0.0

    def along(text: str, offs: Sequence[Sequence[float]], shares: Sequence[float]) -> tuple[Label, Iterator[Point]]:
        return Label(line.start, text, _TEXT, turn, Anchor.MIDDLE), _beside(line, outward, offs, shares)

    near = [[off for off in _OFF_SEAM if off + _LOWEST <= strip], [-off for off in _OFF_SEAM]]
    past = [[_PAST_MARK] if strip >= _PAST_MARK + _TEXT / 2 else [], [-off for off in _PAST_NAME]]
    *long, short = [along(text, near, _free_shares(joint, text)) for text in texts]
    fitting = next((text for text in texts[1:] if text_width(text, _TEXT) <= _length(line)), texts[-1])
    beyond = [along(text, past, _SHARES) for text in (fitting, texts[-1])]
    across, square = text_width(texts[-2], _TEXT), []
    if strip > across + 2 * _PAST_MARK:
        label = Label(line.start, texts[-2], _TEXT, 90.0 - turn, Anchor.MIDDLE)
        square = [(label, _beside(line, outward, [[_PAST_MARK + across / 2]], _SHARES))]
    return Item(Layer.TEXT, page.placed((*long, *square, short), beyond), _SEAM)


def _length(line: Line) -> float:
    return line.start.distance_to(line.end)


def _beside(line: Line, outward: Point, offs: Sequence[Sequence[float]], shares: Sequence[float]) -> Iterator[Point]:
    """Places at shares of a line, off it: all of each group of distances before those of the next."""
    way = line.end - line.start
    return (line.start + way.scaled(share) + outward.scaled(off) for some in offs for share in shares for off in some)


def _shown_whole(label: Label, window: Box) -> Label:
    """A label, moved as little as it takes for the page to show all of it."""
    box = label_box(label).grown(_FROM_EDGE)
    right = max(window.left - box.left, 0.0) + min(window.right - box.right, 0.0)
    up = max(window.bottom - box.bottom, 0.0) + min(window.top - box.top, 0.0)
    return replace(label, at=label.at + Point(right, up))


def _free_shares(joint: TileJoint, text: str) -> Sequence[float]:
    """Places along a seam where words keep within it and off its join marks; last, the middle of every stretch."""
    half, length = text_width(text, _TEXT) / 2, _length(joint.trim)
    clear = half + HALF_MARK + _OFF_MARK
    marks = sorted(joint.trim.start.distance_to(at) for at in joint.marks)
    lows, highs = (half, *(mark + clear for mark in marks)), (*(mark - clear for mark in marks), length - half)
    stretches = [(low, high) for low, high in zip(lows, highs, strict=True) if low <= high]
    shares = [share for share in _SHARES if half <= share * length <= length - half]
    for mark in marks:
        shares = [share for share in shares if abs(mark - share * length) >= clear]
    return [*shares, *((low + high) / 2 / length for low, high in stretches)]
