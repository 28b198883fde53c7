"""The scale bars of a page: how long they are, how they are divided, and what a rule or a caliper may read on them.

Inch jobs have whole inches with sixteenths in the first, mm ones whole centimeters. A short bar beside each long one
lies within the reach of a 150 mm (6 in) caliper.
"""

import math
from collections.abc import Iterator

from msgspec import Struct

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label, Solid
from flangelayout.drawing.references import Furniture
from flangelayout.flange import Flange
from flangelayout.geometry.shapes import Box, Line, Point
from flangelayout.standards.practice import LONGEST_RULE, TAPE_READING, USUAL_CIRCLE_TOLERANCE
from flangelayout.units import Unit, decimal_text, size_text, to_mm

_WHOLE = {Unit.MM: 10.0, Unit.IN: to_mm(1.0, Unit.IN)}
_RULE_STEP = {Unit.MM: 0.5, Unit.IN: to_mm(1 / 64, Unit.IN)}
"""The finest division of a steel rule, in mm: nothing nearer can be judged by it (common practice, no source)."""
_TAPE_STEP = {Unit.MM: 2 * TAPE_READING, Unit.IN: to_mm(1 / 16, Unit.IN)}
"""The division of a tape in mm, by which lengths are read that are longer than a rule (common practice, no source)."""
_CALIPER_STEP = {Unit.MM: 0.1, Unit.IN: to_mm(0.005, Unit.IN)}
"""How near in mm the jaws of a caliper find a printed line (common practice, no source)."""
_MOST_SHARE = 0.01
"""By what share a bar may be off at most: pages fitted to their paper are off by more (common practice, no source)."""
_SHORT = {Unit.MM: 140.0, Unit.IN: to_mm(5.0, Unit.IN)}
_SIXTEENTHS = (2.6, 1.2, 1.6, 1.2, 2.0, 1.2, 1.6, 1.2, 2.3, 1.2, 1.6, 1.2, 2.0, 1.2, 1.6, 1.2)
"""Heights of the ticks of an inch, in printed mm."""
_TICK, _LONG_TICK, _TEXT = 1.6, 2.6, 2.5
_BESIDE, _UNDER = 0.8, 0.5
"""Printed mm from a long tick to its number, and from the bar down to the number's top."""
_BASE, _SHORT_BASE, _SHORT_TICK, _SECOND_TICK = 2.6, 1.0, 0.7, 0.9
_SOURCE, _SHORT_SOURCE = Furniture("scale bar"), Furniture("short bar")


def bar_length(room: float, unit: Unit = Unit.MM) -> float:
    """Length in mm of a scale bar in ``room`` mm: as long as it allows, in whole centimeters or inches."""
    return math.floor(room / _WHOLE[unit] + 1e-9) * _WHOLE[unit]


def short_length(room: float, unit: Unit) -> float:
    """Length in mm of the bar that a caliper reads: 140 mm or 5 in, or the whole bar where that is shorter."""
    return min(_SHORT[unit], bar_length(room, unit))


def allowed_difference(flange: Flange, bar: float) -> float:
    """How far a bar of ``bar`` mm may be off, in mm, before the print takes too much of the tolerance.

    A print wrong by a share changes the bolt circle by the same share. The paper is given a third of the
    tolerance on the largest bolt circle, the rest is left to punching and drilling (common practice, no source). On
    a small plate that is more than a printer is off: a bar then tells whether the page was fitted to its paper.
    """
    return bar * min(_circle_tolerance(flange) / 3 / largest_size(flange), _MOST_SHARE)


def largest_size(flange: Flange) -> float:
    """Diameter in mm of the largest bolt circle; the longer side of a plate without one."""
    box = flange.box()
    return max((circle.diameter for _, circle in flange.shown_circles()), default=max(box.width, box.height))


def _circle_tolerance(flange: Flange) -> float:
    return min(flange.tolerances.of_places, default=USUAL_CIRCLE_TOLERANCE)


def rule_margin(flange: Flange, bar: float, unit: Unit) -> float:
    """How far off in mm a rule may read a bar: what is allowed in whole divisions of the rule, one at least."""
    step = _RULE_STEP[unit]
    return max(math.floor(allowed_difference(flange, bar) / step + 1e-9), 1) * step


def caliper_margin(flange: Flange, bar: float, unit: Unit) -> float:
    """How far off in mm a caliper may read a bar: what is allowed, and no less than it finds a line by."""
    step = _CALIPER_STEP[unit]
    return max(math.floor(allowed_difference(flange, bar) / step + 1e-9), 1) * step


def read_text(flange: Flange, length: float, unit: Unit) -> str:
    """What may be read of a length across the paper: the nearest division, and as many to either side as it may be off.

    That is the paper's third of the tolerance, one division at least: of a rule, or of a tape for what is longer.
    """
    step = (_RULE_STEP if length <= LONGEST_RULE else _TAPE_STEP)[unit]
    margin = max(math.floor(_circle_tolerance(flange) / 3 / step + 1e-9), 1) * step
    return accept_text(round(length / step) * step, margin, unit)


def bar_text(length: float, unit: Unit = Unit.MM) -> str:
    """A bar's nominal length, and what it is in the other unit."""
    if unit is Unit.IN:
        return f"{size_text(length, Unit.IN)} in = {decimal_text(length, Unit.MM, 1)} mm"
    return f"{length:.0f} mm = {decimal_text(length, Unit.IN)} in"


def accept_text(nominal: float, margin: float, unit: Unit, caliper: bool = False) -> str:
    """What may be read: ``169.5 to 170.5``, ``6 63/64 to 7 1/64``; decimals where a caliper reads it."""
    low, high = nominal - margin, nominal + margin
    if caliper:
        places = 1 if unit is Unit.MM else 3
        return f"{decimal_text(low, unit, places)} to {decimal_text(high, unit, places)}"
    return f"{size_text(low, unit)} to {size_text(high, unit)}"


class PageBars(Struct, frozen=True):
    """The bars of a page: what they are held against, its unit and its window."""

    flange: Flange
    unit: Unit
    window: Box

    def words(self) -> str:
        """What the bars are and what may be read on them, short ones only where both are alike."""
        unit, rooms = self.unit, (self.window.width, self.window.height)
        longs = [bar_length(room, unit) for room in rooms]
        shorts = {short_length(room, unit) for room in rooms}
        said = [
            f"{axis} {size_text(long, unit)}, rule {accept_text(long, rule_margin(self.flange, long, unit), unit)}"
            for axis, long in zip("XY", longs, strict=True)
        ]
        if len(shorts) == 1:
            short = shorts.pop()
            read = accept_text(short, caliper_margin(self.flange, short, unit), unit, caliper=True)
            said.append(f"short bars {size_text(short, unit)}, caliper {read}")
        return f"BARS ({unit.value}): {'; '.join(said)}"

    def across(self) -> Iterator[Item]:
        """Below the window: the long bar with numbers beside its ticks, the short one over it."""
        window, unit = self.window, self.unit
        length, base = bar_length(window.width, unit), window.bottom - _BASE
        yield _mark(Line(Point(window.left, base), Point(window.left + length, base)))
        for station, tick, number in _stations(length, unit):
            x = window.left + station
            yield _mark(Line(Point(x, base), Point(x, base - tick)))
            if number:
                aside, anchor = _beside(station, length)
                yield _text(Point(x + aside, base - _UNDER - _TEXT), number, anchor, 0.0)
        for station in _second_scale(length, unit):
            x = window.left + station
            yield _mark(Line(Point(x, base), Point(x, base + _SECOND_TICK)))
        short, over = short_length(window.width, unit), window.bottom - _SHORT_BASE
        yield _mark(Line(Point(window.left, over), Point(window.left + short, over)), _SHORT_SOURCE)
        for x in (window.left, window.left + short):
            yield _mark(Line(Point(x, over - _SHORT_TICK), Point(x, over + _SHORT_TICK)), _SHORT_SOURCE)

    def upward(self) -> Iterator[Item]:
        """At the left of the window: likewise, turned."""
        window, unit = self.window, self.unit
        length, base = bar_length(window.height, unit), window.left - _BASE
        yield _mark(Line(Point(base, window.bottom), Point(base, window.bottom + length)))
        for station, tick, number in _stations(length, unit):
            y = window.bottom + station
            yield _mark(Line(Point(base, y), Point(base - tick, y)))
            if number:
                aside, anchor = _beside(station, length)
                yield _text(Point(base - _UNDER, y + aside), number, anchor, 90.0)
        for station in _second_scale(length, unit):
            y = window.bottom + station
            yield _mark(Line(Point(base, y), Point(base + _SECOND_TICK, y)))
        short, over = short_length(window.height, unit), window.left - _SHORT_BASE
        yield _mark(Line(Point(over, window.bottom), Point(over, window.bottom + short)), _SHORT_SOURCE)
        for y in (window.bottom, window.bottom + short):
            yield _mark(Line(Point(over - _SHORT_TICK, y), Point(over + _SHORT_TICK, y)), _SHORT_SOURCE)


def _stations(length: float, unit: Unit) -> Iterator[tuple[float, float, str]]:
    """Where a bar has a tick, how long it is, and the number beside it."""
    count = round(length / _WHOLE[unit])
    for whole in range(count + 1):
        at, last = whole * _WHOLE[unit], whole == count
        if unit is Unit.IN:
            yield at, _LONG_TICK, str(whole) if whole else ""
            parts = 16 if whole == 0 else 4
            steps = range(1, parts) if not last else ()
            yield from ((at + _WHOLE[unit] * part / parts, _SIXTEENTHS[part * 16 // parts], "") for part in steps)
        else:
            numbered = last or (whole % 5 == 0 and (whole == 0 or count - whole >= 2))
            yield at, _LONG_TICK if whole % 5 == 0 or last else _TICK, f"{at:.0f}" if numbered else ""


def _second_scale(length: float, unit: Unit) -> Iterator[float]:
    """On the other side of an inch bar: every centimeter."""
    if unit is Unit.IN:
        yield from (10.0 * step for step in range(int(length / 10.0) + 1))


def _beside(station: float, length: float) -> tuple[float, Anchor]:
    """How far along from a tick its number begins; the last one ends before its tick."""
    is_last = station >= length - 1e-6
    return (-_BESIDE, Anchor.RIGHT) if is_last else (_BESIDE, Anchor.LEFT)


def _mark(what: Line | Solid, source: Furniture = _SOURCE) -> Item:
    return Item(Layer.TEMPLATE_MARKS, what, source)


def _text(at: Point, text: str, anchor: Anchor, turn: float) -> Item:
    return Item(Layer.TEXT, Label(at, text, _TEXT, turn, anchor), Furniture("text"))
