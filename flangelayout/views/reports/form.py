"""A form to take to the part: a picture with numbered readings, and a box to write each into."""

from collections.abc import Iterator, Sequence

from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Drawing, Item, SheetSet, Stamp
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import text_width
from flangelayout.flange import BoltCircle, Flange, Hole, RoundOutline, Slot
from flangelayout.geometry.shapes import ORIGIN, Box, Point, rectangle
from flangelayout.survey.kinds import KINDS, Kind
from flangelayout.units import Unit
from flangelayout.views.page.text import text_item
from flangelayout.views.reports.flow import (
    Block,
    FlowedItems,
    FlowFigure,
    Words,
    fewest_pages,
    page_width,
    report_sheets,
)
from flangelayout.views.reports.pictures.numbered_plate import NumberedChord, numbered_plate
from flangelayout.views.words.lengths import DIAMETER_SIGN
from flangelayout.views.words.parts.caliper import FormLine

_ROW, _WIDE, _APART, _TOLD = 8.5, 23.0, 12.0, 24.0
"""Printed mm that a box is high and wide, from it to the next column with its unit, from its number to what is told."""
_PLATE = {Kind.OUTSIDE_DIAMETER: "outside", Kind.BORE: "bore"}
_NUMBER, _TEXT, _SMALL = 3.5, 2.8, 2.5
_SOURCE = Furniture("form")
_SCHEMATIC = 200.0
_DRAWN, _ACCEPT = "; beside a box stands the size drawn", ", below it what it may be"


def form_sheets(
    title: str,
    told: Sequence[str],
    flange: Flange,
    lines: Sequence[FormLine],
    identity: tuple[JobInfo, Stamp],
    unit: Unit,
    paper_name: str,
) -> SheetSet:
    """The form: what to do, the picture, the boxes in measuring order, and who measured.

    Args:
        title: In capitals over the page.
        told: What to do, each text in a paragraph of its own.
        flange: What is shown; to scale or not.
        lines: In measuring order; their places are the box numbers, from 1.
        identity: Title block and identity of what is measured.
        unit: Of the readings.
        paper_name: One of ``papers.PAPER_NAMES``.
    """
    holes = flange.holes()
    chords = [
        NumberedChord(number, holes[line.box.from_hole - 1], holes[line.box.to_hole - 1])
        for number, line in enumerate(lines, 1)
        if line.box.from_hole is not None and line.box.to_hole is not None
    ]
    meaning = _DRAWN if any(line.drawn for line in lines) else ""
    meaning += _ACCEPT if any(line.accept for line in lines) else ""
    caption = f"seen from {flange.face}; a number in a ring is that of its box{meaning}"
    info, stamp = identity

    def drawn(share: float) -> SheetSet:
        blocks: list[Block] = [
            Words(tuple(told), height_paper=2.8),
            numbered_plate(flange, chords, page_width(paper_name), caption, share),
            *_boxes(holes, lines, unit, page_width(paper_name)),
            Words(("Measured by: ______________________   Date: ______________   Instrument: ______________________",)),
        ]
        return report_sheets(title, blocks, info, stamp, paper_name)

    return fewest_pages(drawn)


def _boxes(holes: Sequence[Hole], lines: Sequence[FormLine], unit: Unit, width: float) -> Iterator[FlowFigure]:
    """The boxes two to a row, row by row, so that pages can turn between any two rows."""
    for first in range(0, len(lines), 2):
        items: list[Item] = []
        for index, line in enumerate(lines[first : first + 2]):
            items += _box(holes, line, first + index + 1, unit, Point(width / 2 * index, 0.0), width / 2 - _APART)
        drawing = FlowedItems(Drawing(f"boxes {first + 1}", tuple(items)), 1.0, ORIGIN)
        yield FlowFigure(_ROW, (drawing,), gap_paper=0.0 if first + 2 < len(lines) else 2.0)


def _box(holes: Sequence[Hole], line: FormLine, number: int, unit: Unit, corner: Point, width: float) -> Iterator[Item]:
    """One box with its number, what goes into it, and what the drawing says."""
    what, middle = _what(holes, line), corner.y - _ROW / 2
    yield text_item(Point(corner.x, middle - 1.6), str(number), _NUMBER)
    begin = corner.x + max(9.0, text_width(str(number), _NUMBER) + 1.5)
    yield text_item(Point(begin, middle - 1.2), what, _TEXT)
    told = ((middle + 0.6, line.drawn), (middle - 3.0, line.accept)) if line.accept else ((middle - 1.2, line.drawn),)
    left = max(corner.x + _TOLD, begin + 2.0 + text_width(what, _TEXT))
    for at, text in told:
        if text:
            yield text_item(Point(left, at), text, _SMALL)
    told_to = left + 1.0 + max(text_width(text, _SMALL) for _, text in told)
    box = Box(max(corner.x + width - _WIDE, told_to), corner.y - _ROW + 0.8, corner.x + width, corner.y - 0.8)
    yield Item(Layer.BORDER, rectangle(box), _SOURCE)
    yield text_item(Point(corner.x + width + 0.8, middle - 0.8), unit.value, _SMALL)


def _what(holes: Sequence[Hole], line: FormLine) -> str:
    """What goes into a box: two holes, the width of one or of any of the first circle, or a size of the plate."""
    ends = [holes[end - 1].label for end in (line.box.from_hole, line.box.to_hole) if end is not None]
    if line.box.kind in _PLATE:
        return f"{DIAMETER_SIGN} {_PLATE[line.box.kind]}"
    if line.box.kind is not Kind.HOLE_DIAMETER:
        return " - ".join(ends) if len(ends) == 2 else " ".join((KINDS[line.box.kind].words, *ends))
    if ends:
        is_slot = line.box.from_hole is not None and isinstance(holes[line.box.from_hole - 1].kind, Slot)
        return f"width slot {ends[0]}" if is_slot else f"{DIAMETER_SIGN} hole {ends[0]}"
    letter = holes[0].label.rstrip("0123456789") if holes else ""
    if holes and isinstance(holes[0].kind, Slot):
        return f"width any {f'of {letter}' if letter else 'slot'}"
    return f"{DIAMETER_SIGN} any of {letter}" if letter else f"{DIAMETER_SIGN} any hole"


def any_flange(hole_count: int) -> Flange:
    """A flange of so many holes to show where to measure, to no scale."""
    pitch = 3.14 * 0.75 * _SCHEMATIC / hole_count
    circle = BoltCircle(0.75 * _SCHEMATIC, hole_count, min(0.09 * _SCHEMATIC, 0.5 * pitch))
    return Flange(RoundOutline(_SCHEMATIC), (circle,), bore=0.18 * _SCHEMATIC, face="the side toward you")
