"""The next drill that a shop has for a diameter."""

import math

from flangelayout.units import Unit, from_mm, to_mm

_METRIC = ((14.0, 0.1), (math.inf, 0.5))
"""Up to which diameter in mm, and in which steps (ISO 235 and ISO 1641 twist drills, from memory)."""
_INCH = ((1.75, 1 / 64), (math.inf, 1 / 32))
"""The same in inches (ASME B94.11M, from memory)."""


def next_drill(diameter: float, unit: Unit) -> float:
    """The least drill in mm that is no smaller than ``diameter``, among those of a unit.

    Example:
        >>> next_drill(22.6, Unit.MM)
        23.0
    """
    wanted = from_mm(diameter, unit)
    for most, step in _METRIC if unit is Unit.MM else _INCH:
        drill = math.ceil(wanted / step - 1e-6) * step
        if drill <= most + 1e-9:
            return to_mm(round(drill, 9), unit)
    return diameter
