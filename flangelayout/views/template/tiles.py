"""The pages of a tiled drawing: where each is cut or kept, what it lies over, and the marks that join them.

Of two neighbors the later one in the set is cut and laid over the earlier one, which is kept whole and glued. So
every page is cut at its left and upper edges only, where it has neighbors there or its paper would hide what an
earlier page shows.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cache
from itertools import groupby

from msgspec import Struct

from flangelayout.drawing.explode import items_box
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Drawing, Item, Label, Sheet, View
from flangelayout.drawing.references import Furniture, HoleRef
from flangelayout.drawing.textwidth import label_box, text_width
from flangelayout.geometry.near_pairs import BoxIndex
from flangelayout.geometry.shapes import ORIGIN, Box, Point, box_about, box_around
from flangelayout.value import replace
from flangelayout.views.page.flip import box_turned_over, upside_down
from flangelayout.views.template.content_map import InkMap, Strokes, free_place
from flangelayout.views.template.edges.clear_places import APART, PageWords
from flangelayout.views.template.edges.join_marks import HALF_MARK, named_mark
from flangelayout.views.template.edges.lone_cuts import lone_cuts
from flangelayout.views.template.edges.seam_words import WORDS_REACH, seam_words
from flangelayout.views.template.edges.sides import glue, inward, is_upright
from flangelayout.views.template.furniture import Subject, note_lines, page_furniture, tile_line, tile_text
from flangelayout.views.template.hole_labels import LabelRoom
from flangelayout.views.template.paper import FLIP_NOTES, TemplatePage
from flangelayout.views.template.tiling import Tile, TileJoint, Tiling

_NUMBER_HEIGHTS = (34.0, 26.0, 20.0, 15.0, 11.0, 8.0)
_NAME_ROOM = 7.0
"""What the name of a join mark takes beside it, in mm: the tile's own number keeps off it."""
_TOP = Furniture("top")
_MOST_DRAWN = 15_000
"""Things drawn beyond which a place is told by the map of their ink alone: to look at each takes too long."""


def label_room(tiling: Tiling, is_back: bool) -> LabelRoom:
    """What the words of a plate heed on these pages: what a page shows, and its seams with their words and marks.

    Args:
        tiling: The pages.
        is_back: Whether they show the plate turned over, left to right.
    """
    pages: Iterable[Box] = (tile.window for tile in tiling.tiles)
    seams: Iterable[Box] = (box for joint in (*tiling.joints, *lone_cuts(tiling)) for box in _seam_boxes(joint))
    if is_back:
        pages, seams = map(box_turned_over, pages), map(box_turned_over, seams)
    return LabelRoom(tuple(pages), tuple(seams))


def _seam_boxes(joint: TileJoint) -> Iterator[Box]:
    """The strip along a seam where its words stand, and what each join mark takes with its name."""
    yield box_around((joint.trim.start, joint.trim.end)).grown(WORDS_REACH)
    for at in joint.marks:
        yield box_about(at, HALF_MARK + _NAME_ROOM)


def tile_sheets(
    subject: Subject, drawing: Drawing, tiling: Tiling, page: TemplatePage, flip: bool, pointer: str = ""
) -> Iterator[Sheet]:
    """A page for every tile of a drawing, every other one upside down if asked for and there are others."""
    common = Drawing("template page", page_furniture(page.window, subject, page.lines, pointer))
    whole, (drawing, parted, said) = drawing, _words_parted(drawing, tiling.tiles)
    numbers = {tile: number for number, tile in enumerate(tiling.tiles, 1)}
    ink, is_looked_at = tiling.ink if len(numbers) > 1 else None, len(whole.items) <= _MOST_DRAWN
    strokes = cache(lambda: Strokes(item.what for item in whole.items)) if is_looked_at else None
    turned, flip = dict[int, Drawing](), flip and len(numbers) > 1
    lone, joints = tuple(lone_cuts(tiling)), _named_joints(tiling)
    window = page.window
    for tile, number in numbers.items():
        at = Point(window.left - tile.window.left, window.bottom - tile.window.bottom)
        words, cuts = PageWords(tile.window, ink, strokes), [cut for cut in lone if cut.over is tile]
        words.taken += said.get(tile, ())
        own = _own(tile, [*(named.joint for named in joints.get(tile, ())), *cuts])
        alone = (item for cut in cuts for item in _cut(cut, words, ()))
        drawn = (*_number(ink, own, number, words), *_seams(tile, joints.get(tile, ()), numbers, words), *alone)
        kept = [named.joint for named in joints.get(tile, ()) if named.joint.under is tile]
        dots = (line for joint in kept for line in glue(joint, tile, (*said.get(tile, ()), *words.said)))
        seams = Drawing("template seams", (*words.cleared(), *drawn, *dots))
        apart = (Drawing("template words", tuple(parted[tile])),) if tile in parted else ()
        views = (*(View(each, 1.0, at, window) for each in (drawing, seams, *apart)), View(common, 1.0, ORIGIN))
        over = flip and (tile.row + tile.column) % 2 == 1
        furniture = [tile_line(tile_text(tile, number, tiling, subject.is_back), window)]
        if flip:
            furniture += note_lines(FLIP_NOTES[over], window, len(page.lines))
        sheet = Sheet(page.paper, views, tuple(furniture), f"row {tile.row}, column {tile.column}")
        yield upside_down(sheet, turned) if over else sheet


def _words_parted(
    drawing: Drawing, tiles: Sequence[Tile]
) -> tuple[Drawing, dict[Tile, list[Item]], dict[Tile, list[Box]]]:
    """A drawing without the words that a page would show a part of, and these by the pages that show them whole.

    Those of a hole stand on pages that show its middle, or on whose own part they are. Last, what words take that
    several pages show, by page.
    """
    windows, parted, shared = BoxIndex(), dict[Tile, list[Item]](), dict[Tile, list[Box]]()
    middles = {item.source: items_box([item]).center for item in drawing.items if item.layer is Layer.TEMPLATE_HOLES}
    for tile in tiles:
        windows.add(tile.window)
    steady: list[Item] = []
    for _, said in groupby(drawing.items, key=_said_together):
        items = list(said)
        box = items_box(items) if items[0].layer is Layer.TEXT else None
        showing = [tiles[index] for index in windows.touching(box)] if box else []
        whole = [tile for tile in showing if box and all(map(tile.window.contains, box.corners))]
        middle = middles.get(items[0].source) if box else None
        if box and middle:
            whole = [tile for tile in whole if tile.window.contains(middle) or box.overlaps(tile.cell)] or whole
        if box and len(showing) > 1:
            for tile in whole:
                shared.setdefault(tile, []).append(box)
        if whole and len(whole) < len(showing):
            for tile in whole:
                parted.setdefault(tile, []).extend(items)
        else:
            steady += items
    return replace(drawing, items=tuple(steady)), parted, shared


def _said_together(item: Item) -> object:
    """What the words of a hole and of TOP, with its arrow, have in common; every other thing is alone."""
    is_text = item.layer is Layer.TEXT
    return item.source if is_text and (isinstance(item.source, HoleRef) or item.source == _TOP) else id(item)


def _own(tile: Tile, joints: Iterable[TileJoint]) -> Box:
    """What a page shows on its own side of all its seams."""
    room = tile.window
    for joint in joints:
        at, within = joint.trim.start, inward(joint, tile)
        if is_upright(joint):
            room = replace(room, left=at.x) if within.x > 0 else replace(room, right=at.x)
        else:
            room = replace(room, bottom=at.y) if within.y > 0 else replace(room, top=at.y)
    return room


def _number(ink: InkMap | None, own: Box, number: int, page: PageWords) -> Iterator[Item]:
    """The number of a tile, as large as fits on its own part where nothing stands; none where there is no room."""
    widths = [text_width(str(number), height) for height in _NUMBER_HEIGHTS]
    sizes = [(width + 3.0, height + 3.0) for width, height in zip(widths, _NUMBER_HEIGHTS, strict=True)]
    found = free_place(ink, own.grown(-HALF_MARK - _NAME_ROOM), sizes) if ink else None
    if found:
        rank, corner = found
        width, height = sizes[rank]
        middle = Point(corner.x + width / 2, corner.y + height / 2)
        label = Label(middle, str(number), _NUMBER_HEIGHTS[rank], 0.0, Anchor.MIDDLE)
        page.taken.append(label_box(label).grown(APART))
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


def _seams(tile: Tile, joints: Sequence[_NamedJoint], numbers: Mapping[Tile, int], page: PageWords) -> Iterator[Item]:
    """What is said of the edges of one page: marks and their names, then words where these and edges leave room."""
    lines = [box_around((named.joint.trim.start, named.joint.trim.end)) for named in joints]
    page.taken += lines
    marks = [at for named in joints for at in named.joint.marks]
    page.taken += [box_about(at, HALF_MARK) for at in marks]
    for named in joints:
        for at, name in zip(named.joint.marks, named.names, strict=True):
            yield from named_mark(named.joint, tile, at, name, page, [other for other in marks if other != at])
    for named in joints:
        joint = named.joint
        others = [line for line, each in zip(lines, joints, strict=True) if each is not named]
        if tile is joint.over:
            under = numbers[joint.under]
            yield from _cut(joint, page, others, (f"CUT AND LAY OVER TILE {under}", f"OVER {under}"))
        else:
            over = numbers[joint.over]
            yield Item(Layer.DIMENSION, joint.trim, Furniture("keep line"))
            yield from seam_words(joint, tile, (f"KEEP AND GLUE TILE {over}", f"GLUE {over}"), page, others)


def _cut(
    joint: TileJoint, page: PageWords, others: Sequence[Box], texts: Sequence[str] = ("CUT HERE", "CUT")
) -> Iterator[Item]:
    """The line that a page is cut along, and its words."""
    yield Item(Layer.PAPER_CUT, joint.trim, Furniture("cut line"))
    yield from seam_words(joint, joint.over, texts, page, others)
