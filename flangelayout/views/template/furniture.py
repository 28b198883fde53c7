"""What stands round the window of a template page: scale bars, identity, TOP, and how to print."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label, Solid, Stamp
from flangelayout.drawing.references import Furniture
from flangelayout.flange import Flange
from flangelayout.geometry.shapes import Box, Line, Point
from flangelayout.standards.practice import USUAL_CIRCLE_TOLERANCE
from flangelayout.units import Unit, decimal_text
from flangelayout.views.page.text import identity_line, line_item, text_item
from flangelayout.views.template.tiling import Tile, Tiling
from flangelayout.views.words.call_outs import seen_from

LEFT_STRIP = 10.0
BOTTOM_STRIP = 20.0
NOTE_PITCH = 4.0
_SMALL = 1.8
_TEXT = 2.1
_TILE_TEXT_WIDTH = 62.0
_TICK, _LONG_TICK = 1.8, 3.2
PRINT_WORDS = 'PRINT AT 100 % / ACTUAL SIZE, NEVER "FIT TO PAGE". MEASURE BOTH BARS BEFORE USE.'


@dataclass(frozen=True, slots=True)
class Subject:
    """What every page of a template is about."""

    flange: Flange
    info: JobInfo
    stamp: Stamp
    unit: Unit


def bar_length(room: float) -> float:
    """Length in mm of a scale bar in ``room`` mm: as long as it allows, in whole centimeters."""
    return math.floor(room / 10 + 1e-9) * 10.0


def allowed_difference(flange: Flange, bar: float) -> float:
    """How far a bar of ``bar`` mm may be off, in mm, before the print takes too much of the tolerance.

    A print wrong by a share changes the bolt circle by the same share. The paper is given a third of the
    tolerance on the largest bolt circle, the rest is left to punching and drilling (common practice, no source).
    """
    tolerance = flange.tolerances.bolt_circle or USUAL_CIRCLE_TOLERANCE
    box = flange.box()
    largest = max((circle.diameter for circle in flange.bolt_circles), default=max(box.width, box.height))
    return bar * tolerance / 3 / largest


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
        f"{seen_from(subject.flange)} · SIZES IN {subject.unit.value} · hole circles at finished size",
        *notes,
    )
    top = window.bottom - 12.6
    identity = identity_line(subject.info, subject.stamp)
    texts = [line_item(Point(left, top), identity, _TEXT, width - _TILE_TEXT_WIDTH)]
    texts += [line_item(Point(left, top - NOTE_PITCH * row), line, _TEXT, width) for row, line in enumerate(lines, 1)]
    return (*_bar_x(window), *_bar_y(window), *_arrow(window, pointer), *texts)


def tile_line(text: str, window: Box) -> Item:
    """Which of the pages this is, at the right of the identity."""
    return text_item(Point(window.right, window.bottom - 12.6), text, _TEXT, Anchor.RIGHT)


def note_line(text: str, window: Box, row: int) -> Item:
    """A line at the foot, ``row`` lines below the two that every page has."""
    at = Point(window.left + 1.0, window.bottom - 12.6 - NOTE_PITCH * (3 + row))
    return line_item(at, text, _TEXT, window.width - 1.0)


def tile_text(tile: Tile, number: int, tiling: Tiling) -> str:
    """Which of the tiles this is."""
    return (
        f"ROW {tile.row} of {tile.of_row} · COLUMN {tile.column} of {tile.of_column} · "
        f"TILE {number} of {len(tiling.tiles)}"
    )


def verdict_lines(flange: Flange, width: float, height: float, unit: Unit) -> tuple[str, ...]:
    """The verdict box as lines, for a page without a cover: nominal, room for what was measured, allowed."""
    return tuple(
        f"BAR {axis}: {bar_text(bar_length(room))}, measured ____________, "
        f"allowed ±{decimal_text(allowed_difference(flange, bar_length(room)), unit)} {unit.value}"
        for axis, room in (("X", width), ("Y", height))
    )


def bar_text(length: float) -> str:
    """A bar's nominal length in both units."""
    return f"{length:.0f} mm = {decimal_text(length, Unit.IN)} in"


def _mark(what: Line | Solid) -> Item:
    return Item(Layer.TEMPLATE_MARKS, what, Furniture("scale bar"))


def _stations(length: float) -> Iterator[tuple[float, bool]]:
    """Every centimeter of a bar, and whether it is a long tick."""
    for station in range(0, round(length) + 1, 10):
        yield float(station), station % 50 == 0 or station == round(length)


def _numbered(station: float, length: float) -> bool:
    return station % 50 == 0 and (station == 0 or length - station >= 20)


def _bar_x(window: Box) -> Iterator[Item]:
    length, base = bar_length(window.width), window.bottom - 6.8
    yield _mark(Line(Point(window.left, base), Point(window.left + length, base)))
    for station, long in _stations(length):
        x = window.left + station
        yield _mark(Line(Point(x, base), Point(x, base + (_LONG_TICK if long else _TICK))))
        if _numbered(station, length):
            anchor = Anchor.CENTER if station else Anchor.LEFT
            yield text_item(Point(x, base + _LONG_TICK + 0.6), f"{station:.0f}", _SMALL, anchor)
    end = Point(window.left + length, base + _LONG_TICK + 0.6)
    yield text_item(end, f"{length:.0f}", _SMALL, Anchor.RIGHT)
    yield text_item(Point(window.left + length / 2, base - 2.7), f"BAR X {bar_text(length)}", _SMALL, Anchor.CENTER)


def _bar_y(window: Box) -> Iterator[Item]:
    length, base = bar_length(window.height), window.left - 1.0
    yield _mark(Line(Point(base, window.bottom), Point(base, window.bottom + length)))
    for station, long in _stations(length):
        y = window.bottom + station
        yield _mark(Line(Point(base, y), Point(base - (_LONG_TICK if long else _TICK), y)))
        if _numbered(station, length):
            anchor = Anchor.CENTER if station else Anchor.LEFT
            yield text_item(Point(base - _LONG_TICK - 0.6, y), f"{station:.0f}", _SMALL, anchor, 90.0)
    yield text_item(Point(base - _LONG_TICK - 0.6, window.bottom + length), f"{length:.0f}", _SMALL, Anchor.RIGHT, 90.0)
    middle = Point(base - _LONG_TICK - 3.2, window.bottom + length / 2)
    yield text_item(middle, f"BAR Y {bar_text(length)}", _SMALL, Anchor.CENTER, 90.0)


def _arrow(window: Box, pointer: str) -> Iterator[Item]:
    """TOP (or another word) with an arrow, in the corner that the two strips leave free."""
    x, low = window.left - LEFT_STRIP / 2 - 0.5, window.bottom - 17.0
    tip = Point(x, low + 13.0)
    yield Item(Layer.TEXT, Solid((tip, Point(x - 2.0, tip.y - 5.0), Point(x + 2.0, tip.y - 5.0))), Furniture("top"))
    yield Item(Layer.BORDER, Line(Point(x, low + 3.6), Point(x, tip.y - 5.0)), Furniture("top"))
    yield Item(Layer.TEXT, Label(Point(x, low), pointer, 2.5, 0.0, Anchor.CENTER), Furniture("top"))
