"""A form to take to the part: a picture with numbered readings, and a box to write each into."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import SheetSet, Stamp, TextTable
from flangelayout.flange import BoltCircle, Flange, Hole, RoundOutline
from flangelayout.survey.form import FormBox
from flangelayout.survey.kinds import KINDS
from flangelayout.units import Unit, decimal_text
from flangelayout.views.reports.flow import Block, Tables, Words, page_width, report_sheets
from flangelayout.views.reports.numbered_plate import NumberedChord, numbered_plate

_COLUMN = 16
_SCHEMATIC = 200.0


@dataclass(frozen=True, slots=True)
class FormLine:
    """A box of a form, with what the drawing says of it where there is one, as finished texts."""

    box: FormBox
    drawn: str = ""
    accept: str = ""


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
    caption = f"seen from {flange.face}; a number in a ring is that of its box"
    blocks: list[Block] = [
        Words(tuple(told), height_paper=2.8),
        numbered_plate(flange, chords, page_width(paper_name), caption),
        Tables(tuple(_tables(holes, lines, unit))),
        Words(("Measured by: ______________________   Date: ______________   Instrument: ______________________",)),
    ]
    info, stamp = identity
    return report_sheets(title, blocks, info, stamp, paper_name)


def _tables(holes: Sequence[Hole], lines: Sequence[FormLine], unit: Unit) -> Iterator[TextTable]:
    """The boxes, a few to a table so that they stand side by side."""
    with_drawing = any(line.drawn for line in lines)
    heads = ("BOX", "WHAT", "HOLES", *(("DRAWN", "MAY BE") if with_drawing else ()), f"READ ({unit.value})")
    rows = []
    for number, line in enumerate(lines, 1):
        ends = [holes[end - 1].label for end in (line.box.from_hole, line.box.to_hole) if end is not None]
        drawing = (line.drawn, line.accept or "-") if with_drawing else ()
        rows.append((str(number), KINDS[line.box.kind].words, " - ".join(ends) or "-", *drawing, ""))
    for first in range(0, len(rows), _COLUMN):
        yield TextTable(
            f"BOXES {first + 1} TO {min(first + _COLUMN, len(rows))}", heads, tuple(rows[first : first + _COLUMN])
        )


def any_flange(hole_count: int) -> Flange:
    """A flange of so many holes to show where to measure, to no scale."""
    pitch = 3.14 * 0.75 * _SCHEMATIC / hole_count
    circle = BoltCircle(0.75 * _SCHEMATIC, hole_count, min(0.09 * _SCHEMATIC, 0.5 * pitch))
    return Flange(RoundOutline(_SCHEMATIC), (circle,), bore=0.3 * _SCHEMATIC, face="the side toward you")


def drawn_text(nominal: float, unit: Unit) -> str:
    """A size as drawn, to hundredths of a mm or thousandths of an inch."""
    return decimal_text(nominal, unit)
