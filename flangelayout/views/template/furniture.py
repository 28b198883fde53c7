"""What stands round the window of a template page: scale bars, identity, TOP, and how to print."""

import math
from collections.abc import Iterator

from msgspec import Struct

from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label, Solid, Stamp
from flangelayout.drawing.references import Furniture
from flangelayout.flange import Flange, Hole
from flangelayout.geometry.shapes import Box, Line, Point
from flangelayout.units import Unit, decimal_text, size_text, to_mm
from flangelayout.views.page.text import identity_line, line_item, text_item
from flangelayout.views.template.bars import PageBars, accept_text, bar_length, bar_text, joined_margin, rule_margin
from flangelayout.views.template.tiling import Tile, Tiling
from flangelayout.views.words.call_outs import seen_from

LEFT_STRIP = 10.0
BOTTOM_STRIP = 20.5
NOTE_PITCH = 4.0
_TEXT = 2.5
_TILE_TEXT_WIDTH = 84.0
_BARS_LINE, _IDENTITY_LINE = 9.3, 13.3
"""Printed mm from the window down to the words of the bars and to the identity; the next lines follow."""
PRINT_WORDS = 'PRINT ON ONE SIDE ONLY, AT 100 % / ACTUAL SIZE, NEVER "FIT TO PAGE". MEASURE BOTH BARS FIRST.'


class Subject(Struct, frozen=True):
    """What every page of a template is about.

    Attributes:
        flange: The plate, its face the one that the pages show.
        info: Of the job.
        stamp: Of the job.
        unit: Of the numbers shown.
        drawn: Where the pages show the back: the plate as its sheet shows it.
    """

    flange: Flange
    info: JobInfo
    stamp: Stamp
    unit: Unit
    drawn: Flange | None = None

    @property
    def is_back(self) -> bool:
        """Whether the pages show the back."""
        return self.drawn is not None


def page_furniture(
    window: Box, subject: Subject, notes: tuple[str, ...] = (), pointer: str = "TOP"
) -> tuple[Item, ...]:
    """Everything that is the same on every tile.

    Args:
        window: The part of the page that shows the template.
        subject: What is printed on all pages.
        notes: Further lines at the foot, :data:`NOTE_PITCH` apart.
        pointer: What the arrow in the corner points to.
    """
    left, width = window.left + 1.0, window.width - 1.0
    lines = (
        PRINT_WORDS,
        f"{seen_from(subject.flange, subject.is_back)} · SIZES IN {subject.unit.value} · hole circles at finished size",
        *notes,
    )
    top = window.bottom - _IDENTITY_LINE
    identity = identity_line(subject.info, subject.stamp)
    bars = PageBars(subject.flange, subject.unit, window)
    texts = [
        line_item(Point(left, window.bottom - _BARS_LINE), bars.words(), _TEXT, width),
        line_item(Point(left, top), identity, _TEXT, width - _TILE_TEXT_WIDTH),
        *(line_item(Point(left, top - NOTE_PITCH * row), line, _TEXT, width) for row, line in enumerate(lines, 1)),
    ]
    return (*bars.across(), *bars.upward(), *_arrow(window, pointer), *texts)


def tile_line(text: str, window: Box) -> Item:
    """Which of the pages this is, at the right of the identity."""
    return text_item(Point(window.right, window.bottom - _IDENTITY_LINE), text, _TEXT, Anchor.RIGHT)


def note_line(text: str, window: Box, row: int) -> Item:
    """A line at the foot, ``row`` lines below the two that every page has."""
    at = Point(window.left + 1.0, window.bottom - _IDENTITY_LINE - NOTE_PITCH * (3 + row))
    return line_item(at, text, _TEXT, window.width - 1.0)


def tile_text(tile: Tile, number: int, tiling: Tiling, is_back: bool) -> str:
    """Which of the tiles this is."""
    side = "BACK · " if is_back else ""
    return (
        f"{side}ROW {tile.row} of {tile.of_row} · COLUMN {tile.column} of {tile.of_column} · "
        f"TILE {number} of {len(tiling.tiles)}"
    )


def verdict_lines(flange: Flange, width: float, height: float, unit: Unit) -> tuple[str, ...]:
    """What to measure on a page without a cover: both bars, and chords on the paper, with room for what is read."""
    bars = (
        f"BAR {axis}: {bar_text(length, unit)}, read ____________, "
        f"accept {accept_text(length, rule_margin(flange, length, unit), unit)}"
        for axis, length in (("X", bar_length(width, unit)), ("Y", bar_length(height, unit)))
    )
    return (*bars, *(f"ON THE PAPER {check.words}, read ____________" for check in paper_checks(flange, unit)))


class PaperCheck(Struct, frozen=True):
    """A length to read on the joined paper: from where to where, what is wanted, what is accepted."""

    between: str
    wanted: str
    accept: str

    @property
    def words(self) -> str:
        """All of it in a line."""
        return f"{self.between}: {self.wanted}, accept {self.accept}"


def paper_checks(flange: Flange, unit: Unit) -> tuple[PaperCheck, ...]:
    """The longest distances from hole to hole of the largest bolt circle, or the width of a plate without one."""
    margin = joined_margin(flange, unit)
    group, circle = max(flange.shown_circles(), key=lambda pair: pair[1].diameter, default=(0, None))
    holes = [hole for hole in flange.holes() if hole.group == group] if circle else []
    if len(holes) < 2:
        size = flange.box().width
        return (PaperCheck("left rim to right rim", size_text(size, unit), accept_text(size, margin, unit)),)
    half, quarter = len(holes) // 2, len(holes) // 4
    pairs = [(holes[0], holes[half])] + ([(holes[quarter], holes[quarter + half])] if quarter else [])
    return tuple(_paper_check(one, other, margin, unit) for one, other in pairs)


def _paper_check(one: Hole, other: Hole, margin: float, unit: Unit) -> PaperCheck:
    apart = one.center.distance_to(other.center)
    between = f"hole {one.label} to hole {other.label}"
    return PaperCheck(between, decimal_text(apart, unit), _read_by_rule(apart, margin, unit))


def _read_by_rule(length: float, margin: float, unit: Unit) -> str:
    """Limits as a rule shows them, rounded inward."""
    step = 0.5 if unit is Unit.MM else to_mm(1 / 64, Unit.IN)
    low, high = math.ceil((length - margin) / step - 1e-6) * step, math.floor((length + margin) / step + 1e-6) * step
    return f"{size_text(low, unit)} to {size_text(high, unit)}"


def _arrow(window: Box, pointer: str) -> Iterator[Item]:
    """TOP (or another word) with an arrow, in the corner that the two strips leave free."""
    x, low = window.left - LEFT_STRIP / 2 - 0.5, window.bottom - 17.0
    tip = Point(x, low + 13.0)
    yield Item(Layer.TEXT, Solid((tip, Point(x - 2.0, tip.y - 5.0), Point(x + 2.0, tip.y - 5.0))), Furniture("top"))
    yield Item(Layer.BORDER, Line(Point(x, low + 3.6), Point(x, tip.y - 5.0)), Furniture("top"))
    yield Item(Layer.TEXT, Label(Point(x, low), pointer, 2.5, 0.0, Anchor.CENTER), Furniture("top"))
