"""Limit deviations of holes and shafts by ISO 286: what H7, g6 and j6 allow on a diameter."""

import re
from functools import cache

from msgspec import Struct

from flangelayout.provenance import Confidence
from flangelayout.standards.rows import shipped

_CLASS = re.compile(r"(?P<letter>[D-Hd-h]|JS|js|j|k)(?P<grade>\d{1,2})")
_MICROMETERS = 1000.0


class FitLimits(Struct, frozen=True):
    """Limit deviations of a diameter in mm, with how well the table is vouched for."""

    lower: float
    upper: float
    confidence: Confidence


class Clearance(Struct, frozen=True):
    """Between a hole and what goes into it, on the diameter in mm; less than 0 is interference."""

    least: float
    most: float


def fit_limits(diameter: float, fit: str) -> FitLimits | None:
    """The limits that a tolerance class sets on a diameter.

    Args:
        diameter: In mm, above 0 and up to 3150, the last that ISO 286 gives.
        fit: Of a hole with a capital, D to H and JS; of a shaft d to h, js, j6 and k6; grades 5 to 11.

    Returns:
        ``None`` where ISO 286 or the table here has not that class at that size. A hole of D to G lies as far above
        its size as the shaft of that letter lies below (ISO 286-1, general rule).

    Example:
        >>> fit_limits(180.0, "H7").upper, fit_limits(180.0, "j6").lower
        (0.04, -0.011)
    """
    found, row = _CLASS.fullmatch(fit), _row(diameter)
    if found is None or row is None:
        return None
    letter, grade = found["letter"], f"it{found['grade']}"
    if grade not in row.cells:
        return None
    width = float(row.cells[grade])
    lower = _lower(row.cells, letter, fit, width)
    if lower is None:
        return None
    confidence = Confidence(row.cells["confidence"])
    return FitLimits(lower / _MICROMETERS, (lower + width) / _MICROMETERS, confidence)


def is_hole_class(fit: str) -> bool:
    """Whether a tolerance class is a hole's: it has a capital letter."""
    return fit[:1].isupper()


def clearance(hole: FitLimits, shaft: FitLimits, apart: float = 0.0) -> Clearance:
    """The least and the most clearance of a hole whose size is ``apart`` mm above the shaft's."""
    return Clearance(hole.lower - shaft.upper + apart, hole.upper - shaft.lower + apart)


def _lower(cells: dict[str, str], letter: str, fit: str, width: float) -> float | None:
    """The lower deviation in micrometers."""
    match letter:
        case "H":
            return 0.0
        case "h":
            return -width
        case "JS" | "js":
            return -width / 2
        case "j" | "k":
            return _transition(cells, fit, width)
        case _:
            below = float(cells[letter.lower()])
            return below if letter.isupper() else -below - width


def _transition(cells: dict[str, str], fit: str, width: float) -> float | None:
    """Of j6 and k6, whose deviations follow no rule and stand in columns of their own."""
    cell = cells.get(fit, "")
    if not cell:
        return None
    return float(cell) - width if fit == "j6" else float(cell)


class _SizeStep(Struct, frozen=True):
    over: float
    to: float
    cells: dict[str, str]


def _row(diameter: float) -> _SizeStep | None:
    return next((step for step in _steps() if step.over < diameter <= step.to), None)


@cache
def _steps() -> tuple[_SizeStep, ...]:
    """The size steps of the table; read once and kept."""
    rows = shipped("holes", "iso_286_grades.csv").rows
    return tuple(_SizeStep(float(row.cells["over"]), float(row.cells["to"]), row.cells) for row in rows)
