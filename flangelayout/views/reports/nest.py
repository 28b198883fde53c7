"""The nest sheet: each plate with its parts marked, what is cut from it, the remnant, and what did not fit."""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from flangelayout.drawing.border import Shows
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
from flangelayout.drawing.textwidth import text_width, wrapped
from flangelayout.geometry.shapes import Box, Circle, Line, Point, extent, rectangle
from flangelayout.nest import Left, Nest, NestPart
from flangelayout.units import Unit, counted, size_text
from flangelayout.value import replace
from flangelayout.views.cut.estimate import cut_work, cut_work_text
from flangelayout.views.cut.nested import NestPiece, kind_letter, nest_drawing
from flangelayout.views.page.scales import DRAWING_SCALES, scale_text
from flangelayout.views.page.tables import LaidTable, lay_table, table_items
from flangelayout.views.page.text import paragraph, text_item
from flangelayout.views.reports.nest_block import framed, nest_block_room, nest_frame, told_elsewhere
from flangelayout.views.reports.pictures.part_marks import part_marks
from flangelayout.views.words.lengths import Lengths

if TYPE_CHECKING:
    pass

_PAD = 2.0
_HEAD = 5.9
"""Of the title; the rules of cutting follow, a line each :data:`_RULE`."""
_RULE = 4.0
_RULES = (
    "Every part lies as it is seen on the face its job names, TOP {top}: never cut the file mirrored. "
    "Cut in the order of the file: what lies in a drop first, then its host; inside before outside."
)
_UP, _UP_OR_TURNED = "up", "up or where the arrow at its mark points"
_BELOW = 1.0
_LEFT, _RIGHT, _ABOVE = 8.5, 0.5, 14.0
_LEAST_NOTES = 60.0
_TEXT = 2.5
_SCALES = tuple(sorted({*DRAWING_SCALES, *(1 / each for each in (12.5, 15.0, 30.0, 40.0))}, reverse=True))
"""Beside the usual ones some between them: the larger a nest, the more marks stand within their parts (ISO 5455 lets a
drawing choose such a scale where the listed ones do not serve, clause from memory)."""
_NOTE_GAP = 3.0
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
        owner: As the jobs name it.
        remarks: Further sentences.
    """

    name: str
    unit: Unit
    titles: tuple[str, ...]
    thickness: float | None = None
    material: str = ""
    owner: str = ""
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
    room, block = nest_frame(page).grown(-_PAD), nest_block_room(page)
    told: list[tuple[str, tuple[View, ...], list[Item], dict[Shows, str], str]] = []
    for plate in range(nest.plates):
        values = _values(nest, facts, stamp, plate)
        table = lay_table(_table(nest, pieces, facts, plate), most=block.left - _NOTE_GAP - room.left)
        below = replace(room, top=room.top - _HEAD - _RULE * len(_rules(nest, plate, room)))
        view, low = _picture(nest, pieces, plate, facts.unit, replace(below, bottom=block.top))
        work = f"On this plate: {cut_work_text(*cut_work(view.drawing), facts.unit)}."
        notes = [work, *_notes(nest, facts, last=plate == nest.plates - 1), *told_elsewhere(values)]
        pages = _with_tables(table, notes, replace(room, top=low), below, block)
        scale = scale_text(view.scale)
        for number, items in enumerate(pages):
            name = f"plate {plate + 1}" + (f", page {number + 1}" if number else "")
            views = () if number else (view,)
            told.append((name, views, [*_head(nest, facts, plate, room, number > 0), *items], values, scale))
    sheets = (
        Sheet(page, views, (*items, *framed(page, values, scale if views else "", number, len(told))), name)
        for number, (name, views, items, values, scale) in enumerate(told, 1)
    )
    return SheetSet(tuple(sheets), stamp)


def _values(nest: Nest, facts: NestFacts, stamp: Stamp, plate: int) -> dict[Shows, str]:
    """What the title block says."""
    unit, stock = facts.unit, nest.stock
    sizes = (stock.length, stock.width, *([] if facts.thickness is None else [facts.thickness]))
    plate_text = f"{' × '.join(size_text(size, unit) for size in sizes)} {unit.value}"
    return {
        Shows.OWNER: facts.owner,
        Shows.TITLE: _title(nest, plate),
        Shows.DATE: stamp.date,
        Shows.MATERIAL: f"{plate_text}, {facts.material}" if facts.material else plate_text,
        Shows.DIGEST: stamp.digest[:10],
        Shows.NUMBER: facts.name,
    }


def _head(nest: Nest, facts: NestFacts, plate: int, room: Box, goes_on: bool) -> list[Item]:
    unit, stock = facts.unit, nest.stock

    def said(length: float) -> str:
        return f"{size_text(length, unit)} {unit.value}"

    title = _title(nest, plate) + (", continued" if goes_on else "")
    words = (
        f"edge margin {said(stock.margin)}",
        f"spacing {said(stock.spacing)}",
        counted(len(nest.on_plate(plate)), "part"),
        f"yield {_yield(nest, plate):.1f} % {_yield_of(nest, plate, said)}",
    )
    rules = enumerate(_rules(nest, plate, room))
    return [
        text_item(Point(room.left, room.top - 3.6), title, 3.5),
        text_item(Point(room.right, room.top - 3.6), " · ".join(words), _TEXT, Anchor.RIGHT),
        *(text_item(Point(room.left, room.top - 8.0 - _RULE * rank), line, _TEXT) for rank, line in rules),
    ]


def _rules(nest: Nest, plate: int, room: Box) -> tuple[str, ...]:
    is_turned = any(placed.turn_deg for placed in nest.on_plate(plate))
    return wrapped(_RULES.format(top=_UP_OR_TURNED if is_turned else _UP), room.width, _TEXT)


def _title(nest: Nest, plate: int) -> str:
    return "NEST" if nest.plates == 1 else f"NEST, PLATE {plate + 1} OF {nest.plates}"


def _yield(nest: Nest, plate: int) -> float:
    """Metal in parts for metal used, in percent; the remnant of the last plate does not count as used."""
    last = plate == nest.plates - 1
    used = nest.used_length(plate) if last else nest.stock.length
    return 100 * nest.metal(plate) / (used * nest.stock.width)


def _yield_of(nest: Nest, plate: int, said: Callable[[float], str]) -> str:
    """What the yield of a plate is a share of, in words."""
    used = nest.used_length(plate)
    if plate < nest.plates - 1 or used == nest.stock.length:
        return "of the whole plate"
    return f"of the strip used, {said(used)} long, remnant not counted"


def _picture(nest: Nest, pieces: Sequence[NestPiece], plate: int, unit: Unit, room: Box) -> tuple[View, float]:
    """The plate as large as a usual scale allows, and the height on the paper below it."""
    stock = nest.stock
    width, height = room.width - _LEFT - _RIGHT, room.height - _ABOVE - _BELOW
    scale = next(
        (each for each in _SCALES if stock.length * each <= width and stock.width * each <= height), _SCALES[-1]
    )
    top = room.top - _ABOVE
    at = Point(room.left + _LEFT + (width - stock.length * scale) / 2, top - stock.width * scale)
    items = (
        Item(Layer.OUTLINE, rectangle(Box(0.0, 0.0, stock.length, stock.width)), Furniture("plate")),
        *_dimensions(nest, plate, unit, scale),
        *(item for item in nest_drawing(nest, pieces, plate).items if item.layer is not Layer.CUT_MARKS),
        *part_marks(nest, pieces, plate, scale),
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
        text = f"REMNANT {size_text(stock.length - used, unit)} × {size_text(stock.width, unit)}"
        wide = (stock.length - used) * scale
        if wide > _TEXT * 2:
            level = text_width(text, _TEXT) < wide - 2.0
            middle = Point((used + stock.length) / 2, stock.width / 2)
            label = Label(middle, text, _TEXT, 0.0 if level else 90.0, Anchor.MIDDLE)
            yield Item(Layer.TEXT, label, Furniture("remnant"))
    height = LinearDimension(Point(0.0, 0.0), corner, Point(-5.0 / scale, 0.0), 90.0, lengths.measured(stock.width))
    yield Item(Layer.DIMENSION, height, Furniture("plate"))


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
            f"{every[kind]} of {part.quantity}",
        )
        for kind, part in enumerate(nest.parts)
        if here[kind] or (plate == nest.plates - 1 and every[kind] < part.quantity)
    )
    columns = ("MARK", "JOB", "TITLE", f"CUT SIZE ({facts.unit.value})", "HERE", "PLACED")
    return TextTable("", columns, rows)


def _size(part: NestPart, unit: Unit) -> str:
    if isinstance(part.outline, Circle):
        rounds = [each for each in part.openings if isinstance(each, Circle)]
        middle = [each.radius for each in rounds if each.center.distance_to(part.outline.center) < 1e-6]
        largest = max(middle, default=0.0)
        bore = f" / ⌀{size_text(2 * largest, unit)}" if largest else ""
        return f"⌀{size_text(2 * part.outline.radius, unit)}{bore}"
    return _both_ways(extent(part.outline), unit)


def why_left(nest: Nest, left: Left, unit: Unit) -> str:
    """Why a part found no place, and what to do about it."""
    if not left.is_too_large:
        several = "plates are" if nest.stock.most_plates > 1 else "plate is"
        return f"the {several} full; take more plates or a larger one"
    size, free = (_both_ways(box, unit) for box in (nest.parts[left.part].size(), nest.stock.room))
    return f"it is {size} {unit.value} and the plate has {free} {unit.value} inside its margin; take a larger plate"


def _both_ways(box: Box, unit: Unit) -> str:
    return f"{size_text(box.width, unit)} × {size_text(box.height, unit)}"


def _notes(nest: Nest, facts: NestFacts, last: bool) -> list[str]:
    missing = [
        f"DOES NOT FIT: {left.count} × {nest.parts[left.part].name}: {why_left(nest, left, facts.unit)}."
        for left in nest.left
    ]
    whole = (
        f"Yield of all plates {100 * nest.yield_share:.1f} % of what is used: "
        "whole plates, and of the last one the strip, remnant not counted."
    )
    return [
        *(missing if last else ()),
        *facts.remarks,
        *([whole] if last and nest.plates > 1 else ()),
    ]


def _with_tables(table: LaidTable, notes: list[str], room: Box, whole: Box, block: Box) -> Iterator[list[Item]]:
    """The table under the picture, left of the title block, and the notes beside or below it; then further pages."""
    right = block.left - _NOTE_GAP
    beside = Box(room.left + table.width + 2 * _NOTE_GAP, block.top + _NOTE_GAP, room.right, room.top)
    items, left = _notes_in(notes, beside)
    at, top = 0, room.top
    while at < len(table.table.rows):
        rows = table.rows_within(top - room.bottom, at)
        if rows < min(3, len(table.table.rows) - at):
            yield items
            items, top = [], whole.top
            continue
        part = table.part(at, rows)
        items += table_items(part, room.left, top)
        at, top = at + rows, top - part.height - _NOTE_GAP
    words, left = _notes_in(left, Box(room.left, room.bottom, right, top))
    items += words
    while left:
        yield items
        items, left = _notes_in(left, Box(room.left, room.bottom, right, whole.top), least=1)
    yield items


def _notes_in(notes: list[str], room: Box, least: int = 0) -> tuple[list[Item], list[str]]:
    """The notes that fit in a room, from the first on, ``least`` of them in any case, and those left over."""
    if room.width < _LEAST_NOTES:
        return [], notes
    items: list[Item] = []
    low = room.top
    for rank, note in enumerate(notes):
        words, low = paragraph(room.left, low, room.width, [note], _TEXT)
        if low < room.bottom and rank >= least:
            return items, notes[rank:]
        items += words
    return items, []
