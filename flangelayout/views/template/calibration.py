"""The calibration page of a printer: a square of 200 mm whose sides are the bars, with both diagonals."""

import math
from collections.abc import Iterator

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Sheet, SheetSet, Stamp
from flangelayout.drawing.papers import paper
from flangelayout.drawing.printer import LEAST_FACTOR, MOST_FACTOR, NOMINAL
from flangelayout.drawing.references import Furniture
from flangelayout.geometry.shapes import Box, Line, Point, polar, rectangle
from flangelayout.units import Unit, decimal_text
from flangelayout.views.page.text import paragraph, text_item

_TICK, _LONG_TICK = 2.0, 4.0
_CORNER = 6.0
_TEXT = 2.6
_SHORT, _SHORT_IN = 140.0, 22.0
"""Length of the short bars, and how far inside the square they lie, in mm."""


def calibration_sheet(name: str, paper_name: str, stamp: Stamp) -> SheetSet:
    """The page for one printer on one paper, upright, at full scale and never corrected.

    Args:
        name: What the shop calls the printer.
        paper_name: One of ``papers.PAPER_NAMES``.
        stamp: Carries the program's version; no job.
    """
    page = paper(paper_name)
    left = (page.width - NOMINAL) / 2
    bottom = (page.height - NOMINAL) / 2 - (6.0 if page.height < 2 * NOMINAL else 0.0)
    square = Box(left, bottom, left + NOMINAL, bottom + NOMINAL)
    lines = (*_square(square), *_ticks(square), *_short_bars(square))
    items = (*lines, *_diagonal_names(square), *_words(square, name, paper_name))
    return SheetSet((Sheet(page, (), items, "calibration"),), stamp, one_sided=True)


def _square(square: Box) -> Iterator[Item]:
    yield Item(Layer.TEMPLATE_MARKS, rectangle(square), Furniture("square"))
    corners = square.corners
    for start, end in ((corners[0], corners[2]), (corners[1], corners[3])):
        turn = start.direction_to(end)
        for at, way in ((start, turn), (end, turn + 180.0)):
            yield Item(Layer.TEMPLATE_MARKS, Line(at, polar(6 * _CORNER, way, at)), Furniture("diagonal"))


def _ticks(square: Box) -> Iterator[Item]:
    """Every centimeter of the lower and the left side, inside the square."""
    for station in range(10, int(NOMINAL), 10):
        tick = _LONG_TICK if station % 50 == 0 else _TICK
        x, y = square.left + station, square.bottom + station
        yield Item(
            Layer.TEMPLATE_MARKS, Line(Point(x, square.bottom), Point(x, square.bottom + tick)), Furniture("bar X")
        )
        yield Item(Layer.TEMPLATE_MARKS, Line(Point(square.left, y), Point(square.left + tick, y)), Furniture("bar Y"))
        if station % 50 == 0:
            yield text_item(Point(x, square.bottom + tick + 1.2), str(station), _TEXT, Anchor.CENTER)
            yield text_item(Point(square.left + tick + 3.7, y), str(station), _TEXT, Anchor.CENTER, 90.0)


def _short_bars(square: Box) -> Iterator[Item]:
    """A bar of 140 mm beside either side: within the reach of a 150 mm caliper."""
    source = Furniture("short bar")
    x, y, start = square.left + _SHORT_IN, square.bottom + _SHORT_IN, (NOMINAL - _SHORT) / 2
    level = Point(square.left + start, y), Point(square.left + start + _SHORT, y)
    upright = Point(x, square.bottom + start), Point(x, square.bottom + start + _SHORT)
    for ends, tick in ((level, Point(0.0, _TICK)), (upright, Point(_TICK, 0.0))):
        yield Item(Layer.TEMPLATE_MARKS, Line(*ends), source)
        for end in ends:
            yield Item(Layer.TEMPLATE_MARKS, Line(end - tick, end + tick), source)
    nominal = f"SHORT BAR, {_SHORT:.0f} mm"
    yield text_item(Point(square.center.x, y + 1.2), nominal, _TEXT, Anchor.CENTER)
    yield text_item(Point(x - 1.2, square.center.y), nominal, _TEXT, Anchor.CENTER, 90.0)


def _diagonal_names(square: Box) -> Iterator[Item]:
    middle, nominal = square.center, f"{NOMINAL:.0f} mm = {decimal_text(NOMINAL, Unit.IN)} in"
    yield text_item(Point(middle.x, square.bottom + 9.0), f"BAR X, {nominal}", _TEXT, Anchor.CENTER)
    yield text_item(Point(square.left + 12.0, middle.y), f"BAR Y, {nominal}", _TEXT, Anchor.CENTER, 90.0)
    for at, name, turn in zip(square.corners[:2], ("DIAGONAL A", "DIAGONAL B"), (45.0, -45.0), strict=True):
        way = 45.0 if turn > 0 else 135.0
        beside = polar(1.2, turn + 90.0, polar(3.4 * _CORNER, way, at))
        yield text_item(beside, name, _TEXT, Anchor.CENTER, turn)


def _words(square: Box, name: str, paper_name: str) -> list[Item]:
    """What to do, inside the square, clear of bars and corners."""
    diagonal = math.hypot(NOMINAL, NOMINAL)
    shown = f'"{name}"' if " " in name else name
    lines = (
        'Print this page at 100 % / actual size, never "fit to page", on the paper that templates are printed on, '
        "and let it settle. If the printer cuts a side off, measure it on wider paper.",
        "Measure bar X and bar Y from the middle of one corner line to the middle of the other, to 0.1 mm or better: "
        "a caliper over 200 mm or a steel rule with a glass. Then tell the program:",
        f"flangelayout printer {shown} --x ______ --y ______",
        f"A caliper of 150 mm reads the short bars: what it reads on one, times {NOMINAL / _SHORT:.4f}, is the bar.",
        f"Both diagonals ({diagonal:.2f} mm nominal; A rises to the right) tell whether the print is square:",
        f"flangelayout printer {shown} --x ______ --y ______ --diagonals ______ ______",
        f'A factor beyond {LEAST_FACTOR} to {MOST_FACTOR} is refused. Bars may be given in inches, as in "7.86 in". '
        "Measure again for another paper, another tray or after service.",
    )
    left, width = square.left + 42.0, NOMINAL - 68.0
    title, below = paragraph(left, square.center.y + 42.0, width, (f"PRINTER {name}", f"PAPER {paper_name}"), 4.0)
    text, _ = paragraph(left, below - 3.0, width, lines, _TEXT)
    return title + text
