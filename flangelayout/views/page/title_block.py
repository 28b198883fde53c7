"""The title block as its border says: cells with captions, values, the projection sign and the shop's own sign."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from flangelayout.drawing.border import Border, Cell, Logo, Shows
from flangelayout.drawing.convention import Convention
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item, Label, Paper, Stamp
from flangelayout.drawing.papers import PAPER_NAMES, PAPERS, PaperName
from flangelayout.drawing.references import FieldRef, TitleBlockRef
from flangelayout.drawing.textwidth import shortened, text_width
from flangelayout.flange import Flange
from flangelayout.geometry.shapes import Box, Circle, Line, Point, rectangle
from flangelayout.units import Unit
from flangelayout.views.page.qr import qr_item, qr_text

_CAPTION = 1.8
_LEAST_VALUE = 1.8
_LOW_ROW = 7.0
"""Rows lower than this have caption and value side by side."""
_STANDARD = {
    Convention.ISO: "ISO 128, ISO 129-1",
    Convention.ASME: "ASME Y14.5",
}


@dataclass(frozen=True, slots=True)
class SheetFacts:
    """What the block says beyond the job: scale as printed, mass as printed, sheet number and how many."""

    scale: str
    mass: str
    number: int
    count: int


def block_room(border: Border, page: Paper) -> Box:
    """Where the block stands: in the lower right corner of the frame."""
    frame = border.frame(page)
    return Box(frame.right - border.width, frame.bottom, frame.right, frame.bottom + border.height)


def block_values(
    info: JobInfo, stamp: Stamp, flange: Flange, unit: Unit, convention: Convention, page: Paper
) -> dict[Shows, str]:
    """What the cells say on every sheet of a set."""
    paper = _asme_size(page.name) if convention is Convention.ASME else page.name
    return {
        Shows.OWNER: info.owner,
        Shows.TITLE: info.title,
        Shows.CUSTOMER: info.customer,
        Shows.MATERIAL: flange.material,
        Shows.QUANTITY: str(info.quantity),
        Shows.DOCUMENT_TYPE: "layout sheet",
        Shows.STATUS: info.status,
        Shows.DRAWN_BY: info.drawn_by,
        Shows.APPROVED_BY: info.approved_by,
        Shows.DATE: info.date,
        Shows.UNITS: "millimeters" if unit is Unit.MM else "inches",
        Shows.PAPER: paper,
        Shows.CONVENTION: _STANDARD[convention],
        Shows.NUMBER: info.number,
        Shows.REVISION: info.revision,
        Shows.DIGEST: stamp.digest[:10],
        Shows.PROGRAM: f"flangelayout {stamp.version}",
    }


def code_items(border: Border, page: Paper, stamp: Stamp) -> tuple[Item, ...]:
    """The QR code in every cell that shows one: the same on all sheets of a set."""
    corner = Point(block_room(border, page).left, block_room(border, page).bottom)
    rooms = [cell.room.moved(corner) for cell in border.cells if cell.shows is Shows.CODE]
    items: list[Item] = []
    for room in rooms:
        size = min(room.width, room.height)
        items.append(qr_item(qr_text(stamp), Point(room.center.x - size / 2, room.center.y - size / 2), size))
    return tuple(items)


def title_block(
    border: Border, page: Paper, values: dict[Shows, str], convention: Convention, facts: SheetFacts
) -> tuple[Item, ...]:
    """The block of one sheet, but for its QR code."""
    room = block_room(border, page)
    corner = Point(room.left, room.bottom)
    own = {Shows.SCALE: facts.scale, Shows.MASS: facts.mass, Shows.SHEET: f"{facts.number} / {facts.count}"}
    items = [Item(Layer.OUTLINE, rectangle(room), TitleBlockRef("title block"))]
    for cell in border.cells:
        items += _cell(cell, cell.room.moved(corner), values | own, convention, border.logo)
    return tuple(sorted(items, key=lambda item: list(Layer).index(item.layer)))


def _cell(cell: Cell, room: Box, values: dict[Shows, str], convention: Convention, logo: Logo | None) -> Iterator[Item]:
    yield Item(Layer.TABLE, rectangle(room), TitleBlockRef("title block"))
    beside = room.height < _LOW_ROW
    left = room.left + 1.0
    if cell.caption:
        caption = shortened(cell.caption, room.width - 1.4, _CAPTION)
        base = room.bottom + (room.height - _CAPTION) / 2 if beside else room.top - 0.8 - _CAPTION
        yield Item(Layer.TEXT, Label(Point(room.left + 0.8, base), caption, _CAPTION), TitleBlockRef("title block"))
        left += text_width(caption, _CAPTION) + 1.0 if beside else 0.0
    if cell.shows is Shows.PROJECTION:
        yield from _projection_sign(room, convention.first_angle)
    elif cell.shows is Shows.LOGO:
        yield from _logo(logo, Point(room.left, room.bottom)) if logo else ()
    else:
        value = cell.text if cell.shows is Shows.TEXT else values.get(cell.shows, "")
        yield from _value(cell, Box(left, room.bottom, room.right - 1.0, room.top), value, beside)


def _value(cell: Cell, room: Box, value: str, beside: bool) -> Iterator[Item]:
    """The value, smaller where it is long, cut where it is longer still."""
    if not value:
        return
    sizes = [height for height in (cell.text_height, 2.5, 2.2, 2.0) if height <= cell.text_height]
    height = next((size for size in sizes if text_width(value, size) <= room.width), _LEAST_VALUE)
    text = shortened(value, room.width, height)
    source = TitleBlockRef("words") if cell.shows is Shows.TEXT else FieldRef(cell.shows.value)
    middle = beside or not cell.caption
    base = room.bottom + ((room.height - height) / 2 if middle else 1.3)
    yield Item(Layer.TEXT, Label(Point(room.left, base), text, height), source)


def _logo(logo: Logo, corner: Point) -> Iterator[Item]:
    for stroke in logo.strokes:
        for start, end in pairwise(stroke):
            yield Item(Layer.DIMENSION, Line(start + corner, end + corner), TitleBlockRef("logo"))
    for at, radius in logo.circles:
        yield Item(Layer.DIMENSION, Circle(at + corner, radius), TitleBlockRef("logo"))


def _projection_sign(room: Box, first_angle: bool) -> Iterator[Item]:
    """A cone seen from its small end and from the side, as ISO 5456-2 places the two views.

    The view from the left stands on the right in first-angle and on the left in third-angle projection.
    """
    middle, start = room.bottom + 2.4, room.center.x - 6.2
    side, eye = (start, start + 9.6) if first_angle else (start + 6.4, start + 1.8)
    for radius in (0.85, 1.7):
        yield Item(Layer.DIMENSION, Circle(Point(eye, middle), radius), TitleBlockRef("projection sign"))
    corners = (
        Point(side, middle - 0.85),
        Point(side + 5.0, middle - 1.7),
        Point(side + 5.0, middle + 1.7),
        Point(side, middle + 0.85),
    )
    for begin, end in zip(corners, (*corners[1:], corners[0]), strict=True):
        yield Item(Layer.DIMENSION, Line(begin, end), TitleBlockRef("projection sign"))
    ends = (Point(start - 1.0, middle), Point(start + 12.4, middle))
    yield Item(Layer.CENTERLINE, Line(*ends), TitleBlockRef("projection sign"))
    yield Item(
        Layer.CENTERLINE, Line(Point(eye, middle - 2.1), Point(eye, middle + 2.1)), TitleBlockRef("projection sign")
    )


def _asme_size(name: str) -> str:
    """The letter of a paper's size in ASME Y14.1, where it has one."""
    return (PAPERS[PaperName(name)].asme_letter if name in PAPER_NAMES else "") or name
