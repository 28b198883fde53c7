"""The map on a cover: the plate with its hole numbers, TOP above it, and where each page lies; words off all lines."""

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import chain, product

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Content, Drawing, Item, Label, Solid, View
from flangelayout.drawing.references import Furniture, HoleRef, Ref
from flangelayout.drawing.textwidth import label_box, text_width
from flangelayout.flange import Flange
from flangelayout.geometry.measure import Edge
from flangelayout.geometry.near_pairs import BoxIndex, Neighbors
from flangelayout.geometry.shapes import ORIGIN, Box, Circle, Contour, Line, Point, extent, polar, rectangle
from flangelayout.value import replace
from flangelayout.views.page.flip import box_turned_over, seen_from_behind
from flangelayout.views.page.plate_lines import metal_edges
from flangelayout.views.template.content_map import runs_through
from flangelayout.views.template.furniture import Subject
from flangelayout.views.template.hole_labels import clear_step
from flangelayout.views.template.tiling import Tile

_TEXT, _NUMBER, _NUMBER_SHARE = 2.5, 8.0, 0.4
_CLEAR, _APART = 0.6, 0.3
"""Printed mm between a number and its hole, and between words and what they stand beside."""
_INSIDE = 0.94
"""How much of the width and the height of a tile its number stands within."""
_LEAST_GREY = 5.0
"""Height in mm below which a tile number is not read in grey."""
_SPECK = 0.4
"""Printed mm below which a hole is a dot that no word gives way to: thousands of them are not looked at."""
_MOST_NUMBERED = 24
_TURNS = (180.0, 0.0, 90.0, 270.0, 135.0, 225.0, 45.0, 315.0)
"""Where a number stands from its hole, from the ray outward on: inward first."""
_NEARER = 1.5
"""How many times nearer to the middle of its hole than to that of any other a number stands."""
_FRAME, _FRAMED = 0.7, 2.0
"""Printed mm from a word to the frame round it, and to what stands beside: another may have a frame, too."""
_EVERY = (1, 2, 5, 10, 20, 50, 100)
"""How many strips have one number between them, where not all have room."""
_ALONG, _NEARER_TILE = (0.0, 0.25, -0.25, 0.5, -0.5), 1.2
"""Where along a side of its tile a number stands outside of it, and how many times nearer to it than to any other."""
_MANY, _NOWHERE = 1_000, 1_000_000
"""Lines that a word counts for where one would stand on it, and that a word without a place crosses."""
_TOP, _ARROW, _STEP = Furniture("top"), 2.0, 0.5
"""TOP, the printed width of its arrow, and how far it goes up at a time until it is clear."""
_LARGEST = 0.6
"""Scale of a map of a small plate: nobody takes it for the template."""


def plate_map(subject: Subject) -> Iterator[Item]:
    """The plate as the pages show it."""
    items = tuple(plate_items(subject.flange))
    yield from seen_from_behind(Drawing("page map", items)).items if subject.is_back else items


def plate_top(subject: Subject) -> Point | None:
    """Where the pages show the top of the plate on its centerline; a part of a ring whose parts are alike has none."""
    box = box_turned_over(subject.flange.box()) if subject.is_back else subject.flange.box()
    return None if subject.part else Point(min(max(box.left, 0.0), box.right), box.top)


def plate_items(flange: Flange) -> Iterator[Item]:
    """The plate with its hole numbers, for a page map; on a crowded circle every fourth hole has one.

    The numbers stand in their holes: :func:`page_map` finds them a place beside, those of first holes first.
    """
    yield from metal_edges(flange, Layer.TEMPLATE_EDGES)
    holes = flange.shown_holes()
    counts = Counter(hole.group for hole in holes)
    for hole in holes:
        yield Item(Layer.TEMPLATE_HOLES, hole.shape, HoleRef(hole.label))
    for hole in sorted(holes, key=lambda hole: hole.number):
        is_tube = hole.group >= 0 and flange.groups()[hole.group].tubes
        if counts[hole.group] <= _MOST_NUMBERED or (not is_tube and hole.number % 4 == 1):
            yield Item(Layer.TEXT, Label(hole.center, hole.label, _TEXT, 0.0, Anchor.MIDDLE), HoleRef(hole.label))


def tile_items(tiles: tuple[Tile, ...]) -> Iterator[Item]:
    """What is left of each tile when it is cut, every other one tinted, with its number, for a page map."""
    for number, tile in enumerate(tiles, 1):
        name, cell = Furniture(f"tile {number}"), tile.cell
        if (tile.row + tile.column) % 2:
            yield Item(Layer.SHADE, Solid(cell.corners), name)
        yield Item(Layer.TABLE, rectangle(cell), name)
        yield Item(Layer.TILE_NUMBER, Label(cell.center, str(number), _NUMBER, 0.0, Anchor.MIDDLE), name)


def page_map(items: Sequence[Item], top: Point | None, box: Box, room: Box) -> View:
    """The plate with the outlines of the pages, as large as the room allows.

    Args:
        items: At real size.
        top: Where the top of the plate is; ``None`` where the map does not say.
        box: What is shown.
        room: On the page.
    """
    view = _laid(items, top, box, room)
    marks = (item.what for item in view.drawing.items if isinstance(item.what, Solid) and item.source == _TOP)
    over = view.at_paper.y + max((mark.corners[0].y for mark in marks), default=box.top) * view.scale - room.top
    return _laid(items, top, box, replace(room, top=room.top - over)) if over > _STEP else view


def _laid(items: Sequence[Item], top: Point | None, box: Box, room: Box) -> View:
    """A map in a room, above which TOP may stand where the number of a strip is in its place."""
    height = _number_height(items, _scale(box, room))
    if height == _TEXT:
        numbers = (item.what.text for item in items if item.layer is Layer.TILE_NUMBER and isinstance(item.what, Label))
        room = room.grown(-max(text_width(number, _TEXT) for number in numbers) - 2 * (_APART + _CLEAR))
    widths = [text_width(label.text, _TEXT) for _, label in _of_strips(items)]
    if widths:
        room = room.grown(-max(widths) - _FRAMED - _APART - _FRAME)
    elif top:
        room = replace(room, top=room.top - _CLEAR - _TEXT)
    scale = _scale(box, room)
    at = Point(room.left - box.left * scale, room.top - box.top * scale)
    return View(Drawing("page map", tuple(_legible(items, top, scale, height))), scale, at)


def has_small_numbers(items: Sequence[Item], box: Box, room: Box) -> bool:
    """Whether the numbers of tiles have no room in these on a map as large as a room allows."""
    return _number_height(items, _scale(box, room)) == _TEXT


def _scale(box: Box, room: Box) -> float:
    """That of a map as large as the room allows, but for that of a small plate, which nobody shall punch through."""
    return min(room.width / box.width, room.height / box.height, _LARGEST)


def _number_height(items: Sequence[Item], scale: float) -> float:
    """Of the tile numbers of a map: what the least tile has room for, or that of small ones, which may stand beside."""
    cells = [extent(item.what) for item in items if item.layer is Layer.TABLE and isinstance(item.what, Contour)]
    least = min((min(cell.width, cell.height) for cell in cells), default=math.inf) * scale
    height = min(_NUMBER, _NUMBER_SHARE * least)
    return height if height >= _LEAST_GREY else _TEXT


def _legible(items: Sequence[Item], top: Point | None, scale: float, height: float) -> Iterator[Item]:
    """A map with its words where they cross no line and no other word; one that has no such place is left out.

    Small tile numbers are black, without such of holes as are alike, and beside their tile where it has no room. Tile
    numbers stay, where they cross least.

    Args:
        items: Of the map at real size.
        top: Where the top of the plate is; ``None`` where the map does not say.
        scale: Of the map.
        height: Of the tile numbers.
    """
    drawn = [item for item in items if not isinstance(item.what, Label)]
    words = _Words((item.what for item in drawn), scale)
    shapes = [(item.layer, item.source, item.what) for item in drawn]
    cells, holes = (
        {source: extent(what) for layer, source, what in shapes if layer is kind and isinstance(what, Circle | Contour)}
        for kind in (Layer.TABLE, Layer.TEMPLATE_HOLES)
    )
    middles = Neighbors((hole.center.x, hole.center.y) for hole in holes.values())
    small, tiles = height == _TEXT, _Tiles([*cells.values()])
    taken = {
        item.what.text for item in items if small and item.layer is Layer.TILE_NUMBER and isinstance(item.what, Label)
    }
    yield from drawn
    yield from _framed(items, words)
    yield from _top_mark(top, words) if top else ()
    for item in sorted(items, key=lambda item: isinstance(item.source, HoleRef)):
        what, source = item.what, item.source
        if not isinstance(what, Label):
            continue
        if isinstance(source, HoleRef):
            hole = holes[source]
            places = (at for at in _beside(what, hole, scale) if middles.is_nearest(at, [hole.center], _NEARER))
            if what.text not in taken and (found := words.free(what, places)):
                yield replace(item, what=found)
        elif item.layer is Layer.TILE_NUMBER:
            what, cell = replace(what, height_paper=height), cells[source]
            outside = tiles.beside(what, cell, scale) if small else ()
            what = words.placed(what, chain(_in_tile(what, cell, height / scale), outside))
            yield replace(item, what=what, layer=Layer.TEXT if small else item.layer)


def _framed(items: Sequence[Item], words: "_Words") -> Iterator[Item]:
    """The numbers of strips outside of what the strips reach, in boxes."""
    seams = [item.what.end for item in items if item.layer is Layer.TRIM and isinstance(item.what, Line)]
    out = max(map(ORIGIN.distance_to, seams), default=0.0)
    for name, label in _outside([*_of_strips(items)], out, words):
        yield Item(Layer.TEXT, label, name)
        yield Item(Layer.TABLE, rectangle(words.take(label_box(label, words.scale).grown(_FRAME / words.scale))), name)


def _top_mark(top: Point, words: "_Words") -> Iterator[Item]:
    """An arrow on the centerline with TOP at its right, or at its left where the map ends, above all that is there."""
    half, high, wide = _ARROW / 2, _TEXT / 2, text_width("TOP", _TEXT)
    reach = half + 2 * _APART + wide
    left, right = words.sides
    is_left = (right - top.x) * words.scale < reach <= (top.x - left) * words.scale
    mark = Box(-reach if is_left else -half, -high, half if is_left else reach, high).scaled(1 / words.scale)
    at = top + Point(0.0, (high + _CLEAR) / words.scale)
    while words.crossed(mark.moved(at).grown(_APART / words.scale)):
        at += Point(0.0, _STEP / words.scale)
    words.take(mark.moved(at).grown(_FRAMED / words.scale))
    corners = (Point(0.0, high), Point(-half, -high), Point(half, -high))
    yield Item(Layer.TEXT, Solid(tuple(at + corner.scaled(1 / words.scale) for corner in corners)), _TOP)
    word = at + Point(-reach if is_left else reach - wide, -high).scaled(1 / words.scale)
    yield Item(Layer.TEXT, Label(word, "TOP", _TEXT), _TOP)


class _Tiles:
    """What is left of the tiles of a map, to find a place beside one."""

    def __init__(self, cells: Sequence[Box]) -> None:
        """The tiles at real size."""
        self._cells, self._reach = cells, BoxIndex()
        for cell in cells:
            self._reach.add(cell)

    def beside(self, label: Label, cell: Box, scale: float) -> Iterator[Point]:
        """Places of a tile's number right outside of its own tile, off every other one and nearer to its own."""
        gap = (_APART + _CLEAR) / scale
        wide, high = text_width(label.text, label.height_paper) / 2 / scale + gap, label.height_paper / 2 / scale + gap
        aside, over = cell.width / 2 + wide, cell.height / 2 + high
        for along, side in product(_ALONG, (-1, 1)):
            for off in (Point(side * aside, along * cell.height), Point(along * cell.width, side * over)):
                at = cell.center + off
                near = _distance(cell, at) * _NEARER_TILE
                room = Box(
                    at.x - max(wide, near), at.y - max(high, near), at.x + max(wide, near), at.y + max(high, near)
                )
                others = (self._cells[index] for index in self._reach.touching(room))
                if all(other == cell or not _is_near(other, at, wide, high, near) for other in others):
                    yield at


def _is_near(cell: Box, at: Point, wide: float, high: float, near: float) -> bool:
    """Whether a tile is as near to a place as that, or meets the room round it."""
    return _distance(cell, at) <= near or cell.overlaps(Box(at.x - wide, at.y - high, at.x + wide, at.y + high))


class _Words:
    """The words of a map as they come to stand there, among its lines."""

    def __init__(self, lines: Iterable[Content], scale: float) -> None:
        """None yet, among lines at real size that are printed at a scale."""
        self.scale = scale
        self._reach = BoxIndex()
        shapes = ((what, extent(what)) for what in lines if isinstance(what, Circle | Contour | Line))
        seen = [(what, box) for what, box in shapes if max(box.width, box.height) * scale >= _SPECK]
        self._lines = [what for what, _ in seen]
        self.sides = min((box.left for _, box in seen), default=0.0), max((box.right for _, box in seen), default=0.0)
        for _, box in seen:
            self._reach.add(box)

    def free(self, label: Label, places: Iterable[Point], apart: float = _APART) -> Label | None:
        """A label in the first of some places where it crosses nothing, so many printed mm from what is there."""
        crossings, at = self._least(label, places, apart)
        return None if crossings else self._stand(label, at)

    def have_room(self, labels: Sequence[Label], apart: float) -> bool:
        """Whether labels cross nothing where they are, and stand so many printed mm from each other."""
        boxes = [label_box(label, self.scale).grown(apart / 2 / self.scale) for label in labels]
        clear = not any(self.crossed(box.grown(apart / 2 / self.scale)) for box in boxes)
        return clear and not any(one.overlaps(boxes[index - 1]) for index, one in enumerate(boxes) if len(boxes) > 1)

    def placed(self, label: Label, places: Iterable[Point]) -> Label:
        """A label in the first place where it crosses nothing, or else least."""
        return self._stand(label, self._least(label, places)[1])

    def _least(self, label: Label, places: Iterable[Point], apart: float = _APART) -> tuple[int, Point]:
        """How much a label crosses where it crosses least, and where that is; endless of no place."""
        around = label_box(label, self.scale).moved(label.at.scaled(-1.0)).grown(apart / self.scale)
        least, best = _NOWHERE, label.at
        for place in places:
            crossings = self.crossed(around.moved(place))
            if crossings < least:
                least, best = crossings, place
            if not crossings:
                break
        return least, best

    def crossed(self, box: Box) -> int:
        """How many lines a box crosses, a word for many of them; words are counted on after the lines."""
        lines, touched = self._lines, self._reach.touching(box)
        return sum(_MANY if index >= len(lines) else _crosses(lines[index], box) for index in touched)

    def take(self, box: Box) -> Box:
        """A box that words stand off from now on."""
        self._reach.add(box)
        return box

    def _stand(self, label: Label, at: Point) -> Label:
        there = replace(label, at=at)
        self.take(label_box(there, self.scale))
        return there


def _crosses(line: Edge | Line, box: Box) -> bool:
    """Whether a line runs through a box."""
    return any(runs_through(part, box) for part in (line.parts if isinstance(line, Contour) else (line,)))


def _in_tile(label: Label, cell: Box, height: float) -> list[Point]:
    """Places of a tile's number, ``height`` mm of the plate high, in what is left of the tile."""
    aside = max(cell.width * _INSIDE - text_width(label.text, height), 0.0) / 2
    over = max(cell.height * _INSIDE - height, 0.0) / 2
    middle = cell.center
    steps = (0.0, -1.0, 1.0, -0.5, 0.5)
    corners = [middle + Point(right * aside, up * over) for up in (1, 0, -1) for right in (-1, 0, 1)]
    return [*corners, *(middle + Point(right * aside, up * over) for up in steps for right in steps)]


def _distance(box: Box, at: Point) -> float:
    """How far outside of a box a place is."""
    return math.hypot(max(box.left - at.x, at.x - box.right, 0.0), max(box.bottom - at.y, at.y - box.top, 0.0))


def _of_strips(items: Iterable[Item]) -> Iterator[tuple[Ref | None, Label]]:
    """The numbers of strips, at the edge of the bore."""
    for item in items:
        if isinstance(item.what, Label) and item.layer is Layer.TEXT and not isinstance(item.source, HoleRef):
            yield item.source, item.what


def _outside(numbers: Sequence[tuple[Ref | None, Label]], out: float, words: _Words) -> list[tuple[Ref | None, Label]]:
    """The numbers of strips on one circle outside of what they reach, as many as find room: all, every second, ..."""
    off = max((_clear_of(label, out, words.scale) for _, label in numbers), default=out)
    moved = [(name, replace(label, at=polar(off, ORIGIN.direction_to(label.at)))) for name, label in numbers]
    for every in _EVERY:
        some = moved[: len(moved) - len(moved) % every : every] or moved[:1]
        if words.have_room([label for _, label in some], _FRAMED):
            return some
    return []


def _clear_of(label: Label, radius: float, scale: float) -> float:
    """How far out the number of a strip stands in its direction with its frame right outside of a circle."""
    around = label_box(label, scale).grown((_FRAMED + _APART) / scale)
    return clear_step(radius, ORIGIN.direction_to(label.at), around.width / 2, around.height / 2)


def _beside(label: Label, hole: Box, scale: float) -> Iterator[Point]:
    """Places of a number beside its hole."""
    ray = ORIGIN.direction_to(hole.center)
    radius = max(hole.width, hole.height) / 2 + _CLEAR / scale
    wide, high = text_width(label.text, label.height_paper) / 2 / scale, label.height_paper / 2 / scale
    for turn in _TURNS:
        yield polar(clear_step(radius, ray + turn, wide, high), ray + turn, hole.center)
