"""What a hole and a pattern of holes is called: in a call-out, in the hole table."""

from collections.abc import Iterator
from itertools import groupby
from typing import assert_never

from flangelayout.flange import (
    Counterbored,
    Countersunk,
    Dowel,
    Drilled,
    HoleGrid,
    HoleKind,
    HolePattern,
    HoleRectangle,
    HoleRings,
    Jack,
    Slot,
    SlotDirection,
    Spotfaced,
    Tapped,
)
from flangelayout.geometry.shapes import ORIGIN, Point
from flangelayout.units import Unit, angle_text, decimal_text
from flangelayout.views.words.lengths import Lengths

_ALONG = {
    SlotDirection.CIRCLE: "ALONG CIRCLE",
    SlotDirection.RADIUS: "ALONG RADIUS",
    SlotDirection.X: "ALONG X",
    SlotDirection.Y: "ALONG Y",
}


def through_word(lengths: Lengths) -> str:
    """How a hole that goes right through is called."""
    return "THROUGH" if lengths.is_iso else "THRU"


def hole_text(kind: HoleKind, diameter: float, lengths: Lengths) -> str:
    """What one hole is, as a call-out says it.

    Example:
        >>> mm = Lengths(Unit.MM)
        >>> hole_text(Tapped("M16", 16.0, 20.0, 26.0), 14.0, mm), hole_text(Slot(30.0), 14.0, mm)
        ('M16 × 20/⌀14 × 26', 'SLOT 14 × 30 ALONG CIRCLE')
    """
    hole, by = lengths.named_diameter(diameter), lengths.by
    through = through_word(lengths)
    plain = hole if lengths.is_iso else f"{hole} {through}"
    match kind:
        case Drilled():
            text = plain
        case Tapped():
            text = f"{kind.thread} {through}, DRILL {hole}" if kind.depth is None else _blind(kind, hole, lengths)
        case Jack():
            text = f"{kind.thread} {through}, DRILL {hole}, FOR JACK SCREW"
        case Countersunk():
            text = f"{plain}, CSK {lengths.named_diameter(kind.head_diameter)}{by}{kind.angle_deg:g}°"
        case Counterbored():
            recess = f"{lengths.named_diameter(kind.bore_diameter)}{by}{lengths.size(kind.depth)}"
            text = f"{plain}, CBORE {recess} DEEP"
        case Spotfaced():
            text = f"{plain}, SPOTFACE {lengths.named_diameter(kind.seat_diameter)}"
        case Slot():
            text = f"SLOT {lengths.named(diameter)}{by}{lengths.named(kind.length)} {_ALONG[kind.along]}"
        case Dowel():
            text = f"{reamed_text(kind, diameter, lengths)}, REAM FOR DOWEL"
        case _:
            assert_never(kind)
    return text


def clean_up(kind: HoleKind) -> str:
    """What a leader says after a hole whose seat has no depth but what cleans the face up."""
    return " TO CLEAN UP" if isinstance(kind, Spotfaced) else ""


def _blind(kind: Tapped, hole: str, lengths: Lengths) -> str:
    """A thread that ends in the plate and how deep its drill goes, where that is known.

    As ISO 6410-1 writes it, ``M16 × 20/⌀14 × 26``; in words where fractions and ASME's rules have no such slash.
    """
    thread, drilled = (f"{lengths.by}{lengths.size(deep)}" if deep else "" for deep in (kind.depth, kind.drill_depth))
    if lengths.is_iso and lengths.unit is Unit.MM:
        return f"{kind.thread}{thread}/{hole}{drilled}"
    return f"{kind.thread}{thread} DEEP, DRILL {hole}{drilled}{' DEEP' if drilled else ''}"


def is_worked_from_one_face(kind: HoleKind) -> bool:
    """Whether it matters from which face a hole is made: it has a seat, a bottom or a taper."""
    if isinstance(kind, Tapped):
        return bool(kind.depth) or kind.tapers
    return isinstance(kind, Countersunk | Counterbored | Spotfaced)


def pattern_call_out(pattern: HolePattern, lengths: Lengths) -> tuple[str, ...]:
    """What a pattern beside a bolt circle is, as written at its leader, a line for each part of it."""
    hole = hole_text(pattern.drilling.kind, pattern.drilling.diameter, lengths)
    count, size = len(pattern.hole_centers()), lengths.named
    match pattern:
        case HoleRectangle():
            layout = f"ON RECTANGLE {size(pattern.width)}{lengths.by}{size(pattern.height)}"
            rows = f"{pattern.columns} ALONG X, {pattern.rows} ALONG Y, EQUALLY SPACED"
            turned = f"TURNED {_turn(pattern.turned_by)}" if pattern.turned_by else ""
            lines = [layout, rows if count > 4 else "", turned, _middle(pattern.center, lengths)]
        case HoleGrid():
            layout = f"{'STAGGERED ' if pattern.staggered else ''}GRID, {pattern.columns} COLUMNS, {pattern.rows} ROWS"
            pitch = f"PITCH {lengths.decimal(pattern.pitch_x)}{lengths.by}{lengths.decimal(pattern.pitch_y)}"
            within = "" if pattern.within is None else f"WHOLE WITHIN {lengths.named_diameter(pattern.within)}"
            beyond = "" if pattern.outside is None else f"WHOLE OUTSIDE {lengths.named_diameter(pattern.outside)}"
            kept = " AND ".join(part for part in (within, beyond) if part)
            lines = [layout, pitch, _rows_empty(pattern) + kept, _middle(pattern.center, lengths)]
        case HoleRings():
            lines = list(_rings(pattern, lengths))
        case _:
            assert_never(pattern)
    return f"{count}{lengths.times}{hole}", *(line for line in lines if line)


def _rows_empty(grid: HoleGrid) -> str:
    """How many rows of a grid are left out whole."""
    rows = len({round(center.y, 6) for center in grid.hole_centers()})
    empty = grid.rows - rows
    return f"{empty} ROW{'S' if empty > 1 else ''} EMPTY, " if empty else ""


def _rings(pattern: HoleRings, lengths: Lengths) -> Iterator[str]:
    rings = len(pattern.counts)
    first = f"FIRST {lengths.named_diameter(pattern.first_diameter)}" if pattern.first_diameter else "FROM CENTER"
    apart = f", {lengths.named(pattern.ring_pitch)} APART" if rings > 1 else ""
    yield f"ON {rings} RING{'S' if rings > 1 else ''}, {first}{apart}"
    runs = [(count, len(list(run))) for count, run in groupby(pattern.counts)]
    told = ", ".join(f"{count}" if many == 1 else f"{many} OF {count}" for count, many in runs)
    yield f"HOLES FROM INSIDE OUT: {told}"
    if max(pattern.counts) > 1:
        yield "EQUALLY SPACED, FIRST OF EACH RING AT TOP"


def _middle(center: Point, lengths: Lengths) -> str:
    """Where a pattern's own middle is, if it is not that of the plate."""
    if center == ORIGIN:
        return ""
    return f"ITS MIDDLE AT X {lengths.decimal(center.x)}, Y {lengths.decimal(center.y)}"


def _turn(degrees: float) -> str:
    return f"{angle_text(abs(degrees))} {'CCW' if degrees > 0 else 'CW'} ABOUT ITS MIDDLE"


def reamed_text(kind: Dowel, diameter: float, lengths: Lengths) -> str:
    """What a dowel's hole is reamed to, with its limits where they are known: ``⌀10 H7 (+0.015/0.000)``."""
    return f"{lengths.named_diameter(diameter)} {kind.fit}{_limits(kind, lengths.unit)}"


def _limits(kind: Dowel, unit: Unit) -> str:
    """Limit deviations in brackets, where they are known: three decimals of mm, four of inches."""
    if kind.lower is None or kind.upper is None:
        return ""
    places = 3 if unit is Unit.MM else 4
    lower, upper = (decimal_text(value, unit, places) for value in (kind.lower, kind.upper))
    return f" ({_signed(upper)}/{_signed(lower)})"


def _signed(number: str) -> str:
    return number if number.startswith("-") or float(number) == 0 else f"+{number}"
