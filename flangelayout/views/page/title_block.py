"""The title block as its border says: cells with captions, values, the projection sign and the shop's own sign."""

import re
from collections.abc import Iterator
from itertools import pairwise

from msgspec import Struct

from flangelayout.drawing.border import Border, Cell, Logo, Shows
from flangelayout.drawing.convention import Convention
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item, Label, Paper, Stamp
from flangelayout.drawing.papers import PAPER_NAMES, PAPERS, PaperName
from flangelayout.drawing.references import FieldRef, TitleBlockRef
from flangelayout.drawing.textwidth import text_width, wrapped
from flangelayout.flange import Flange
from flangelayout.geometry.shapes import Box, Circle, Line, Point, rectangle
from flangelayout.units import Unit
from flangelayout.value import replace
from flangelayout.views.page.qr import qr_item, qr_text
from flangelayout.views.page.text import LINE_PITCH

_DRAWN = (Shows.PROJECTION, Shows.CODE, Shows.LOGO, Shows.TEXT)
"""What is no field that a text could stand in."""
SEE_NOTES = "see notes"
"""What a cell says whose value has no room in it."""
_SIDE, _EDGE, _BASE, _UNDER_CAPTION, _AFTER_CAPTION = 1.0, 0.7, 1.2, 1.1, 1.6
"""Printed mm: beside and over texts, under a value, between caption and value."""
_STRIP = 30.0
"""Printed mm beside the block that hold no words: it takes them."""
_MORE_LINES = 3
"""That a row may become higher by."""
_PIECES = re.compile(r"\s*(?:[^\s/_-]*[/_-]+|[^\s/_-]+)")
"""Of a value, each with the sign that it may be broken behind."""
_STEP = 3.5
"""The step of ISO 3098 between large values and the smallest letters."""
_RANKS = {layer: rank for rank, layer in enumerate(Layer)}
_UNITS = {Unit.MM: ("millimeters", "mm [in]"), Unit.IN: ("inches", "inch [mm]")}
"""The unit of the sizes, and of those that stand in the other one, too."""
_PROJECTION = {Convention.ISO: "first angle", Convention.ASME: "third angle"}
"""What may be said of the rules of a sheet without claiming all of a standard."""


class SheetFacts(Struct, frozen=True):
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
    info: JobInfo, stamp: Stamp, flange: Flange, unit: Unit, convention: Convention, page: Paper, *, dual: bool = False
) -> dict[Shows, str]:
    """What the cells say on every sheet of a set; ``dual`` where lengths stand in the other unit behind, too."""
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
        Shows.UNITS: _UNITS[unit][dual],
        Shows.PAPER: paper,
        Shows.CONVENTION: _PROJECTION[convention],
        Shows.NUMBER: info.number,
        Shows.REVISION: info.revision,
        Shows.DIGEST: stamp.digest[:10],
        Shows.PROGRAM: f"flangelayout {stamp.version}",
    }


def fitted(border: Border, page: Paper, values: dict[Shows, str], convention: Convention) -> Border:
    """The border for the values of a job: its block as wide as a frame it nearly fills, rows as high as they need.

    Args:
        border: As its file says.
        page: The paper upright.
        values: What the cells say.
        convention: The rules of the sheet.
    """
    frame = border.frame(page).width
    stretch = frame / border.width if frame - border.width < _STRIP else 1.0
    cells = [replace(cell, room=_stretched(cell.room, stretch)) for cell in border.cells]
    letter = convention.letter_height
    edges = sorted({edge for cell in cells for edge in (cell.room.bottom, cell.room.top)})
    more = {
        low: max(_lacking(cell, values.get(cell.shows, ""), letter) for cell in row)
        for low, high in pairwise(edges)
        if (row := [cell for cell in cells if (cell.room.bottom, cell.room.top) == (low, high)])
    }

    def up(edge: float) -> float:
        return edge + sum(height for low, height in more.items() if low < edge)

    rooms = (Box(cell.room.left, up(cell.room.bottom), cell.room.right, up(cell.room.top)) for cell in cells)
    grown = tuple(replace(cell, room=room) for cell, room in zip(cells, rooms, strict=True))
    return replace(border, width=border.width * stretch, height=up(border.height), cells=grown)


def _stretched(room: Box, share: float) -> Box:
    return Box(room.left * share, room.bottom, room.right * share, room.top)


def _lacking(cell: Cell, value: str, letter: float) -> float:
    """What a cell lacks in height to hold its value with its caption, or else the value; 0 where no height serves."""
    steps = [number * LINE_PITCH * letter for number in range(_MORE_LINES + 1)]
    for caption in dict.fromkeys((cell.caption, "")):
        for step in steps:
            room = cell.room
            higher = replace(cell, room=Box(room.left, room.bottom, room.right, room.top + step))
            if _labels(higher, value, letter, caption) is not None:
                return step
    return 0.0


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
    return tuple(sorted(items, key=lambda item: _RANKS[item.layer]))


def beyond_cells(border: Border, values: dict[Shows, str], convention: Convention) -> Iterator[tuple[str, str]]:
    """Values that have no room in their cells, with what they are: they have to be told elsewhere, whole."""
    for cell in border.cells:
        value = values.get(cell.shows, "")
        if value and _laid(cell, value, convention.letter_height).is_elsewhere:
            yield (cell.caption or cell.shows.value).capitalize(), value


class _Laid(Struct, frozen=True):
    """A cell as it is written, from its lower left corner.

    Attributes:
        labels: Of the value, from above.
        caption: ``None`` where there is no room for it.
        is_elsewhere: Whether the cell only says where its value stands.
    """

    labels: tuple[Label, ...]
    caption: Label | None
    is_elsewhere: bool = False


def _cell(cell: Cell, room: Box, values: dict[Shows, str], convention: Convention, logo: Logo | None) -> Iterator[Item]:
    yield Item(Layer.TABLE, rectangle(room), TitleBlockRef("title block"))
    corner = Point(room.left, room.bottom)
    value = cell.text if cell.shows is Shows.TEXT else values.get(cell.shows, "")
    found = _laid(cell, value, convention.letter_height)
    if found.caption:
        yield Item(Layer.TEXT, replace(found.caption, at=found.caption.at + corner), TitleBlockRef("title block"))
    if cell.shows is Shows.PROJECTION:
        yield from _projection_sign(room, convention.first_angle)
    elif cell.shows is Shows.LOGO:
        yield from _logo(logo, corner) if logo else ()
    source = TitleBlockRef("words") if cell.shows is Shows.TEXT else FieldRef(cell.shows.value)
    for label in found.labels:
        yield Item(Layer.TEXT, replace(label, at=label.at + corner), source)


def _laid(cell: Cell, value: str, letter: float) -> _Laid:
    """Caption and value; the value alone where both have no room; where it stands where it has none itself."""
    both = _labels(cell, value, letter, cell.caption)
    if both is not None:
        return _Laid(both, _caption(cell, letter))
    alone = _labels(cell, value, letter, "")
    if alone is not None:
        return _Laid(alone, None)
    told = _labels(cell, SEE_NOTES, letter, cell.caption)
    return _Laid(told or (), _caption(cell, letter) if told else None, is_elsewhere=True)


def _is_low(cell: Cell, letter: float) -> bool:
    """Whether a cell has no room for a value under its caption."""
    return cell.room.height < 2 * letter + _EDGE + _UNDER_CAPTION + _BASE


def _caption(cell: Cell, letter: float) -> Label | None:
    """The caption: before the value in a low cell, over it in a high one; none where it would leave the cell."""
    if not cell.caption or text_width(cell.caption, letter) > cell.room.width - 2 * _SIDE:
        return None
    height = cell.room.height
    base = (height - letter) / 2 if _is_low(cell, letter) else height - _EDGE - letter
    return Label(Point(_SIDE, base), cell.caption, letter)


def _labels(cell: Cell, value: str, letter: float, caption: str) -> tuple[Label, ...] | None:
    """A value in as many lines as the cell holds beside or under a caption; ``None`` where it does not hold it.

    Of a field without a value it is an empty text, in its place: whoever has the drawing may fill it in.
    """
    low, room = _is_low(cell, letter), cell.room
    left = _SIDE + (text_width(caption, letter) + _AFTER_CAPTION if caption and low else 0.0)
    width = room.width - left - _SIDE
    wanted = max(cell.text_height, letter)
    high = room.height - 2 * _EDGE
    if caption and not low:
        high -= letter + _UNDER_CAPTION + _base(wanted) - _EDGE
    empty = () if cell.shows in _DRAWN else ((("",), wanted if wanted <= high else letter),)
    for lines, height in _lines(value, width, high, wanted, letter) if value else empty:
        rise = (len(lines) - 1) * LINE_PITCH * height
        base = (room.height - height + rise) / 2 if low or not caption else _base(height) + rise
        return tuple(
            Label(Point(left, base - row * LINE_PITCH * height), line, height) for row, line in enumerate(lines)
        )
    return None if value else ()


def _base(height: float) -> float:
    """From the edge of a cell up to the line that letters stand on; some reach below it."""
    return max(_BASE, 0.36 * height + 0.2)


def _lines(
    value: str, width: float, high: float, wanted: float, letter: float
) -> Iterator[tuple[tuple[str, ...], float]]:
    """Ways to write a value: on one line as large as wanted, then at the next step, then on several.

    Where a word is too long for each, it is broken behind its own signs.
    """
    steps = [height for height in dict.fromkeys((wanted, _STEP, letter)) if letter <= height <= wanted]
    for most in (1, 2, 3):
        for height in steps:
            lines = wrapped(value, width, height)
            whole = all(text_width(word, height) <= width for word in value.split())
            if lines and whole and len(lines) <= most and height * (1 + (len(lines) - 1) * LINE_PITCH) <= high:
                yield lines, height
    for height in steps:
        lines = _behind_signs(value, width, height)
        whole = all(text_width(line, height) <= width for line in lines)
        if whole and len(lines) <= _MORE_LINES and height * (1 + (len(lines) - 1) * LINE_PITCH) <= high:
            yield lines, height


def _behind_signs(value: str, width: float, height: float) -> tuple[str, ...]:
    """A value in lines that end at a space or behind a hyphen, a slash or a low line."""
    lines = [""]
    for piece in _PIECES.findall(value):
        if lines[-1].strip() and text_width((lines[-1] + piece).strip(), height) > width:
            lines.append("")
        lines[-1] += piece
    return tuple(line.strip() for line in lines)


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
    middle, start = room.center.y, room.center.x - 6.2
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
