"""What a hole and a pattern of holes is called: in a call-out, in the hole table."""

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
from flangelayout.units import Unit, decimal_text, size_text

DIAMETER_SIGN = "⌀"
_ALONG = {
    SlotDirection.CIRCLE: "ALONG CIRCLE",
    SlotDirection.RADIUS: "ALONG RADIUS",
    SlotDirection.X: "ALONG X",
    SlotDirection.Y: "ALONG Y",
}


def diameter_text(length: float, unit: Unit) -> str:
    """A diameter with its sign, as sizes are written: ``⌀240`` or ``⌀11 3/4``."""
    return DIAMETER_SIGN + size_text(length, unit)


def hole_text(kind: HoleKind, diameter: float, unit: Unit) -> str:
    """What one hole is, as a call-out says it.

    Example:
        >>> hole_text(Tapped("M16", 16.0, 20.0), 14.0, Unit.MM), hole_text(Slot(30.0), 14.0, Unit.MM)
        ('M16 TAPPED 20 DEEP (DRILL ⌀14)', 'SLOT 14 X 30 ALONG CIRCLE')
    """
    hole = diameter_text(diameter, unit)
    match kind:
        case Drilled():
            text = hole
        case Tapped():
            depth = "THRU" if kind.depth is None else f"{size_text(kind.depth, unit)} DEEP"
            text = f"{kind.thread} TAPPED {depth} (DRILL {hole})"
        case Jack():
            text = f"{kind.thread} TAPPED THRU (DRILL {hole}) FOR JACK SCREW"
        case Countersunk():
            text = f"{hole} CSK {diameter_text(kind.head_diameter, unit)} X {kind.angle_deg:g}°"
        case Counterbored():
            text = f"{hole} CBORE {diameter_text(kind.bore_diameter, unit)} X {size_text(kind.depth, unit)} DEEP"
        case Spotfaced():
            text = f"{hole} SPOTFACE {diameter_text(kind.seat_diameter, unit)}"
        case Slot():
            text = f"SLOT {size_text(diameter, unit)} X {size_text(kind.length, unit)} {_ALONG[kind.along]}"
        case Dowel():
            text = f"{hole} {kind.fit} REAM FOR DOWEL{_limits(kind, unit)}"
        case _:
            assert_never(kind)
    return text


def pattern_call_out(pattern: HolePattern, unit: Unit) -> tuple[str, ...]:
    """What a pattern beside a bolt circle is, as written at its leader, in lines that read on from each other."""
    hole = hole_text(pattern.drilling.kind, pattern.drilling.diameter, unit)
    count = len(pattern.hole_centers())

    def size(length: float) -> str:
        return size_text(length, unit)

    match pattern:
        case HoleRectangle():
            first = f"{count}X {hole} ON RECTANGLE {size(pattern.width)} X {size(pattern.height)}"
            return (first,) if count == 4 else (first, f"{pattern.columns} ALONG X, {pattern.rows} ALONG Y, EQ SP")
        case HoleGrid():
            layout = "STAGGERED GRID" if pattern.staggered else "GRID"
            pitch = f"PITCH {size(pattern.pitch_x)} X {size(pattern.pitch_y)}"
            inside = "" if pattern.within is None else f", WITHIN {diameter_text(pattern.within, unit)}"
            return f"{count}X {hole} ON {layout}", f"{pitch}{inside}"
        case HoleRings():
            count_of = "1 RING" if len(pattern.counts) == 1 else f"{len(pattern.counts)} RINGS"
            radial = f"{size(pattern.ring_pitch)} APART" if len(pattern.counts) > 1 else ""
            first = f"FIRST {diameter_text(pattern.first_diameter, unit)}" if pattern.first_diameter else "FROM CENTER"
            return f"{count}X {hole} ON {count_of}", ", ".join(part for part in (first, radial) if part)
        case _:
            assert_never(pattern)


def _limits(kind: Dowel, unit: Unit) -> str:
    """Limit deviations in brackets, where they are known: three decimals of mm, four of inches."""
    if kind.lower is None or kind.upper is None:
        return ""
    places = 3 if unit is Unit.MM else 4
    lower, upper = (decimal_text(value, unit, places) for value in (kind.lower, kind.upper))
    return f" ({_signed(lower)}/{_signed(upper)})"


def _signed(number: str) -> str:
    return number if number.startswith("-") or float(number) == 0 else f"+{number}"
