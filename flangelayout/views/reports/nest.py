"""The nest sheet: each plate with its parts marked, what is cut from it, the remnant, and what did not fit."""

import math
from collections import Counter
from collections.abc import Iterator, Sequence

from msgspec import Struct

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import (
    Anchor,
    Drawing,
    Item,
    Label,
    LinearDimension,
    Sheet,
    SheetSet,
    Stamp,
    TextTable,
    View,
)
from flangelayout.drawing.papers import paper
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import text_width
from flangelayout.geometry.contours import turned_point
from flangelayout.geometry.shapes import Box, Circle, Line, Point, extent, rectangle
from flangelayout.nest import Nest, NestPart
from flangelayout.units import Unit, counted, size_text
from flangelayout.views.cut.nested import NestPiece, kind_letter, marked, nest_drawing
from flangelayout.views.page.scales import SCALES, scale_text
from flangelayout.views.page.tables import LaidTable, lay_table, table_items
from flangelayout.views.page.text import line_item, paragraph, text_item
from flangelayout.views.words.lengths import Lengths

_MARGIN = 10.0
_HEAD = 10.0
_BELOW = 2.0
_LEFT, _RIGHT, _ABOVE = 8.5, 0.5, 14.0
_LEAST_NOTES = 60.0
_TEXT = 2.5
_LARGEST_MARK, _LEAST_MARK = 3.0, 2.5
_NOTE_GAP = 3.0
_WRITE_IN = "Heat number ____________  revision ____  cut by ____________  date ____________"
_LEAST_REMNANT = 25.0
"""In mm; a narrower strip is scrap."""


class NestFacts(Struct, frozen=True):
    """What the sheet says beside the layout.

    Attributes:
        name: Of the nest.
        unit: Of the numbers.
        titles: Of every job, by index.
        thickness: Of the plate in mm, where the jobs state it.
        material: As the jobs write it.
        remarks: Further sentences.
    """

    name: str
    unit: Unit
    titles: tuple[str, ...]
    thickness: float | None = None
    material: str = ""
    remarks: tuple[str, ...] = ()


def nest_sheets(nest: Nest, pieces: Sequence[NestPiece], facts: NestFacts, stamp: Stamp, paper_name: str) -> SheetSet:
    """One sideways page for each plate, and further ones where the tables run long.

    Args:
        nest: A nest of at least one piece.
        pieces: What is cut for each of its parts.
        facts: What else is said.
        stamp: Identity.
        paper_name: One of ``papers.PAPER_NAMES``.
    """
    page = paper(paper_name, landscape=True)
    room = Box(_MARGIN, _MARGIN, page.width - _MARGIN, page.height - _MARGIN)
    sheets: list[Sheet] = []
    for plate in range(nest.plates):
        view, low = _picture(nest, pieces, plate, facts.unit, room)
        head = _head(nest, facts, stamp, plate, view.scale, room)
        table = lay_table(_table(nest, pieces, facts, plate), most=room.width)
        notes = _notes(nest, facts, stamp, last=plate == nest.plates - 1)
        pages = _with_tables(table, notes, Box(room.left, room.bottom, room.right, low), room)
        for number, items in enumerate(pages):
            name = f"plate {plate + 1}" + (f", page {number + 1}" if number else "")
            views, top = ((view,), head) if number == 0 else ((), _further_head(nest, facts, plate, room))
            sheets.append(Sheet(page, views, (*top, *items), name))
    return SheetSet(tuple(sheets), stamp)


def _head(nest: Nest, facts: NestFacts, stamp: Stamp, plate: int, scale: float, room: Box) -> list[Item]:
    unit, stock = facts.unit, nest.stock

    def said(length: float) -> str:
        return f"{size_text(length, unit)} {unit.value}"

    thick = f" x {size_text(facts.thickness, unit)}" if facts.thickness is not None else ""
    first = [
        f"Plate {size_text(stock.length, unit)} x {size_text(stock.width, unit)}{thick} {unit.value}",
        *([facts.material] if facts.material else []),
        f"edge margin {said(stock.margin)}",
        f"spacing {said(stock.spacing)}",
        counted(len(nest.on_plate(plate)), "part"),
        f"yield {_yield(nest, plate):.1f} %",
        f"picture {scale_text(scale)}",
    ]
    identity = f"{facts.name} · {stamp.digest[:10]} · flangelayout {stamp.version}"
    return [
        text_item(Point(room.left, room.top - 4.0), _title(nest, plate), 4.0),
        text_item(Point(room.right, room.top - 4.0), identity, _TEXT, Anchor.RIGHT),
        line_item(Point(room.left, room.top - 8.5), " · ".join(first), _TEXT, room.width),
    ]


def _title(nest: Nest, plate: int) -> str:
    return "NEST" if nest.plates == 1 else f"NEST, PLATE {plate + 1} OF {nest.plates}"


def _further_head(nest: Nest, facts: NestFacts, plate: int, room: Box) -> list[Item]:
    title = f"{_title(nest, plate)}, continued · {facts.name}"
    return [line_item(Point(room.left, room.top - 4.0), title, 3.0, room.width)]


def _yield(nest: Nest, plate: int) -> float:
    """Metal in parts for metal used, in percent; the remnant of the last plate does not count as used."""
    last = plate == nest.plates - 1
    used = nest.used_length(plate) if last else nest.stock.length
    return 100 * nest.metal(plate) / (used * nest.stock.width)


def _picture(nest: Nest, pieces: Sequence[NestPiece], plate: int, unit: Unit, room: Box) -> tuple[View, float]:
    """The plate as large as a usual scale allows, and the height on the paper below it."""
    stock = nest.stock
    width, height = room.width - _LEFT - _RIGHT, room.height - _HEAD - _ABOVE - 12.0
    scale = next((each for each in SCALES if stock.length * each <= width and stock.width * each <= height), SCALES[-1])
    top = room.top - _HEAD - _ABOVE
    at = Point(room.left + _LEFT + (width - stock.length * scale) / 2, top - stock.width * scale)
    items = (
        Item(Layer.OUTLINE, rectangle(Box(0.0, 0.0, stock.length, stock.width)), Furniture("plate")),
        *_dimensions(nest, plate, unit, scale),
        *(item for item in nest_drawing(nest, pieces, plate).items if item.layer is not Layer.CUT_MARKS),
        *_part_marks(nest, pieces, plate, scale),
    )
    return View(Drawing(f"nest, plate {plate + 1}", items), scale, at), at.y - _BELOW


def _dimensions(nest: Nest, plate: int, unit: Unit, scale: float) -> Iterator[Item]:
    stock, used, lengths = nest.stock, nest.used_length(plate), Lengths(unit)
    corner = Point(0.0, stock.width)

    def across(end: float, row: int) -> Item:
        at = Point(0.0, stock.width + (4.5 + 6.0 * row) / scale)
        return Item(
            Layer.DIMENSION,
            LinearDimension(corner, Point(end, stock.width), at, 0.0, lengths.measured(end)),
            Furniture("plate"),
        )

    yield across(stock.length, 1)
    if stock.length - used >= _LEAST_REMNANT:
        yield across(used, 0)
        yield Item(Layer.HIDDEN, Line(Point(used, 0.0), Point(used, stock.width)), Furniture("remnant"))
        text = f"REMNANT {size_text(stock.length - used, unit)} x {size_text(stock.width, unit)}"
        wide = (stock.length - used) * scale
        if wide > _TEXT * 2:
            level = text_width(text, _TEXT) < wide - 2.0
            middle = Point((used + stock.length) / 2, stock.width / 2)
            label = Label(middle, text, _TEXT, 0.0 if level else 90.0, Anchor.MIDDLE)
            yield Item(Layer.TEXT, label, Furniture("remnant"))
    height = LinearDimension(Point(0.0, 0.0), corner, Point(-5.0 / scale, 0.0), 90.0, lengths.measured(stock.width))
    yield Item(Layer.DIMENSION, height, Furniture("plate"))


def _part_marks(nest: Nest, pieces: Sequence[NestPiece], plate: int, scale: float) -> Iterator[Item]:
    """The mark of every piece: on the widest spot of its metal, or in its empty bore where that is too narrow."""
    spots = {kind: _spot(pieces[kind]) for kind in {placed.part for placed in nest.on_plate(plate)}}
    hosts = {nest.host_of(placed) for placed in nest.placed}
    for mark, placed in marked(nest):
        if placed.plate != plate:
            continue
        spot = spots[placed.part]
        diagonal = (text_width(mark, 1.0) ** 2 + 1.0) ** 0.5
        if 2 * spot.radius * scale < _LEAST_MARK * diagonal and placed not in hosts:
            bores = [each for each in pieces[placed.part].part.openings if isinstance(each, Circle)]
            spot = max((spot, *bores), key=lambda each: each.radius)
        at = turned_point(spot.center, placed.turn_deg) + placed.at
        height = min(max(2 * spot.radius * scale * 0.8 / diagonal, _LEAST_MARK), _LARGEST_MARK)
        yield Item(Layer.TEXT, Label(at, mark, height, 0.0, Anchor.MIDDLE), Furniture("part mark"))


def _spot(piece: NestPiece) -> Circle:
    """The largest circle on the metal of a part."""
    import shapely

    from flangelayout.nest.polygons import polygon

    metal = polygon(piece.part.outline, holds_edge=False)
    holes = [polygon(each, holds_edge=True) for each in piece.part.openings]
    radius = shapely.maximum_inscribed_circle(shapely.difference(metal, shapely.union_all(holes)), tolerance=0.5)
    (x, y), _ = shapely.get_coordinates(radius).tolist()
    return Circle(Point(x, y), radius.length)


def _table(nest: Nest, pieces: Sequence[NestPiece], facts: NestFacts, plate: int) -> TextTable:
    here = Counter(placed.part for placed in nest.on_plate(plate))
    every = Counter(placed.part for placed in nest.placed)
    rows = tuple(
        (
            kind_letter(kind),
            part.name,
            facts.titles[pieces[kind].job],
            _size(part, facts.unit),
            str(here[kind]),
            str(every[kind]),
            str(part.quantity),
            str(part.quantity - every[kind]) if every[kind] < part.quantity else "-",
        )
        for kind, part in enumerate(nest.parts)
        if here[kind] or (plate == nest.plates - 1 and every[kind] < part.quantity)
    )
    columns = ("MARK", "JOB", "TITLE", f"CUT SIZE ({facts.unit.value})", "HERE", "PLACED", "ASKED", "LEFT OVER")
    return TextTable("PARTS ON THIS PLATE", columns, rows)


def _size(part: NestPart, unit: Unit) -> str:
    if isinstance(part.outline, Circle):
        rounds = [each for each in part.openings if isinstance(each, Circle)]
        middle = [each.radius for each in rounds if each.center.distance_to(part.outline.center) < 1e-6]
        largest = max(middle, default=0.0)
        bore = f" / ⌀{size_text(2 * largest, unit)}" if largest else ""
        return f"⌀{size_text(2 * part.outline.radius, unit)}{bore}"
    box = extent(part.outline)
    return f"{size_text(box.width, unit)} x {size_text(box.height, unit)}"


def _notes(nest: Nest, facts: NestFacts, stamp: Stamp, last: bool) -> list[str]:
    notes = [
        _WRITE_IN,
        "Every part lies as it is seen on the face its job names: never cut the file mirrored.",
        "Cut in the order of the file: what lies in a drop first, then its host; inside before outside.",
        *facts.remarks,
    ]
    if last:
        missing = [f"{left.count} x {nest.parts[left.part].name}: {left.reason}." for left in nest.left]
        notes += [f"DOES NOT FIT: {text}" for text in missing]
        notes.append(f"Yield of all plates {100 * nest.yield_share:.1f} % of what is used, remnant not counted.")
    return notes + ([f"Date: {stamp.date}"] if stamp.date else [])


def _with_tables(table: LaidTable, notes: list[str], room: Box, whole: Box) -> Iterator[list[Item]]:
    """The table under the picture and the notes beside it; what does not fit there goes on further pages."""
    beside = Box(room.left + table.width + 2 * _NOTE_GAP, room.bottom, room.right, room.top)
    items, words_placed = _notes_in(notes, beside)
    at, top = 0, room.top
    while at < len(table.table.rows):
        rows = table.rows_within(top - room.bottom, at)
        if rows < min(3, len(table.table.rows) - at):
            yield items
            items, top = [], whole.top - 8.0
            continue
        part = table.part(at, rows)
        items += table_items(part, room.left, top)
        at, top = at + rows, top - part.height - _NOTE_GAP
    if not words_placed:
        words, fits = _notes_in(notes, Box(room.left, room.bottom, room.right, top))
        if not fits:
            yield items
            items, words = [], _notes_in(notes, Box(room.left, -math.inf, room.right, whole.top - 8.0))[0]
        items += words
    yield items


def _notes_in(notes: list[str], room: Box) -> tuple[list[Item], bool]:
    """The notes in a room, or nothing where they do not fit."""
    if room.width < _LEAST_NOTES:
        return [], False
    words, low = paragraph(room.left, room.top, room.width, notes, _TEXT)
    return (words, True) if low >= room.bottom else ([], False)
