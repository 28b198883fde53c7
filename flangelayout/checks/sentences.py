"""Words and numbers that the shop checks share."""

from flangelayout.checks.finding import Finding, Severity
from flangelayout.checks.plate.limits import Limit
from flangelayout.flange import BoltCircle, Hole, Spotfaced
from flangelayout.geometry.shapes import ORIGIN
from flangelayout.units import Unit, decimal_text


def gap_text(length: float, unit: Unit) -> str:
    """A length with its unit, as findings write it."""
    return f"{decimal_text(length, unit)} {unit.value}"


def too_little(
    rule: str, where: str, what: str, value: float, limit: Limit, cure: str, unit: Unit, severity: Severity
) -> Finding:
    """The finding that a length is less than its limit; ``what`` names the length and ends before its number."""
    text = f"{what} {gap_text(value, unit)}, less than {gap_text(limit.value, unit)} ({limit.source}); {cure}"
    return Finding(rule, severity, where, text, limit.source, value, limit.value, cure)


def metal_width(hole: Hole) -> float:
    """Width in mm that a hole takes out of the plate at its widest; a seat that is only made flat takes none."""
    return hole.diameter if isinstance(hole.kind, Spotfaced) else hole.face_diameter


def circle_width(circle: BoltCircle) -> float:
    """:func:`metal_width` of the holes of a bolt circle."""
    return metal_width(Hole("", 0, 1, ORIGIN, circle.hole_diameter, 0.0, "", circle.kind))
