"""Border and title block: the fields of ISO 7200 in a block 180 mm wide, margins of ISO 5457."""

from collections.abc import Iterator
from dataclasses import dataclass

from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item, Label, Paper, Stamp
from flangelayout.drawing.textwidth import shortened
from flangelayout.flange import Flange
from flangelayout.geometry.shapes import Box, Circle, Line, Point, rectangle
from flangelayout.units import Unit

WIDTH = 180.0
_ROW = 8.0
HEIGHT = 4 * _ROW
_FILING_MARGIN, _MARGIN = 20.0, 10.0
_CAPTION, _VALUE = 1.5, 2.5


@dataclass(frozen=True, slots=True)
class SheetFacts:
    """What the block says beyond the job: scale as printed, sheet number and how many, paper."""

    scale: str
    number: int
    count: int
    paper: str


def frame(page: Paper) -> Box:
    """The border: 20 mm from the filing edge, 10 mm from the others."""
    return Box(_FILING_MARGIN, _MARGIN, page.width - _MARGIN, page.height - _MARGIN)


def border_items(page: Paper) -> tuple[Item, ...]:
    """The border line."""
    return (Item(Layer.BORDER, rectangle(frame(page)), "border"),)


def title_block(
    page: Paper, info: JobInfo, stamp: Stamp, flange: Flange, unit: Unit, facts: SheetFacts
) -> tuple[Item, ...]:
    """The block in the lower right corner of the border."""
    right, bottom = frame(page).right, frame(page).bottom
    left = right - WIDTH
    items = [Item(Layer.BORDER, rectangle(Box(left, bottom, right, bottom + HEIGHT)), "title block")]
    for row, cells in enumerate(_rows(info, stamp, flange, unit, facts)):
        x, top = left, bottom + HEIGHT - _ROW * row
        for caption, value, width in cells:
            items += _cell(Box(x, top - _ROW, x + width, top), caption, value)
            x += width
    return (*items, *_projection_sign(Box(right - 20.0, bottom + _ROW, right, bottom + 2 * _ROW)))


Cell = tuple[str, str, float]


def _rows(info: JobInfo, stamp: Stamp, flange: Flange, unit: Unit, facts: SheetFacts) -> tuple[tuple[Cell, ...], ...]:
    """Captions, values and widths (180 mm a row), from the top row down."""
    length_unit = "millimeters" if unit is Unit.MM else "inches"
    return (
        (("LEGAL OWNER", info.owner, 60.0), ("TITLE", info.title, 120.0)),
        (
            ("CUSTOMER", info.customer, 50.0),
            ("MATERIAL", flange.material, 60.0),
            ("QUANTITY", str(info.quantity), 15.0),
            ("DOCUMENT TYPE", "layout sheet", 25.0),
            ("STATUS", info.status, 30.0),
        ),
        (
            ("CREATED BY", info.drawn_by, 35.0),
            ("APPROVED BY", info.approved_by, 35.0),
            ("DATE OF ISSUE", info.date, 25.0),
            ("SIZES IN", length_unit, 25.0),
            ("SCALE", facts.scale, 20.0),
            ("PAPER", facts.paper, 20.0),
            ("PROJECTION", "", 20.0),
        ),
        (
            ("IDENTIFICATION NUMBER", info.number, 72.0),
            ("REVISION", info.revision, 20.0),
            ("DIGEST OF THE INPUT", stamp.digest[:10], 35.0),
            ("PROGRAM", f"flangelayout {stamp.version}", 38.0),
            ("SHEET", f"{facts.number} / {facts.count}", 15.0),
        ),
    )


def _cell(box: Box, caption: str, value: str) -> Iterator[Item]:
    yield Item(Layer.TABLE, rectangle(box), "title block")
    at = Point(box.left + 0.8, box.top - 0.7 - _CAPTION)
    yield Item(Layer.TEXT, Label(at, caption, _CAPTION), "title block")
    if value:
        text = shortened(value, box.width - 2.0, _VALUE)
        yield Item(Layer.TEXT, Label(Point(box.left + 1.0, box.bottom + 1.7), text, _VALUE), caption.lower())


def _projection_sign(box: Box) -> Iterator[Item]:
    """A cone in third-angle projection, as ISO 5456-2 draws it: the end view stands left of the side view."""
    middle = box.bottom + 2.6
    eye, cone = box.left + 5.0, box.left + 10.0
    for radius in (0.85, 1.7):
        yield Item(Layer.DIMENSION, Circle(Point(eye, middle), radius), "projection sign")
    corners = (
        Point(cone, middle - 0.85),
        Point(cone + 5.0, middle - 1.7),
        Point(cone + 5.0, middle + 1.7),
        Point(cone, middle + 0.85),
    )
    for start, end in zip(corners, (*corners[1:], corners[0]), strict=True):
        yield Item(Layer.DIMENSION, Line(start, end), "projection sign")
    yield Item(Layer.CENTERLINE, Line(Point(eye - 2.6, middle), Point(cone + 5.8, middle)), "projection sign")
    yield Item(Layer.CENTERLINE, Line(Point(eye, middle - 2.2), Point(eye, middle + 2.2)), "projection sign")
