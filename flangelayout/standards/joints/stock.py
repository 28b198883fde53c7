"""The lengths that bolts, screws, studs and pins are sold in."""

import math
from enum import Enum
from functools import cache

from flangelayout.standards.bolting import bolting_rows
from flangelayout.units import Unit, from_mm, to_mm


class StockKind(Enum):
    """What is bought by length; the value is its word in the table."""

    BOLT = "bolt"
    SCREW = "screw"
    STUD = "stud"
    PIN = "pin"


_MEMORY = "not verified: compare before ordering"
_RULES = {
    (Unit.MM, StockKind.BOLT): f"rounded up to the next length of ISO 888 ({_MEMORY})",
    (Unit.MM, StockKind.SCREW): f"rounded up to the next length of ISO 888 ({_MEMORY})",
    (Unit.MM, StockKind.STUD): f"rounded up to the next length of ISO 888 ({_MEMORY})",
    (Unit.MM, StockKind.PIN): f"rounded up to the next length of ISO 8734 ({_MEMORY})",
    (Unit.IN, StockKind.BOLT): f"rounded up to the next 1/4 in, above 6 in 1/2 in (ASME B18.2.1, {_MEMORY})",
    (Unit.IN, StockKind.SCREW): f"rounded up to the next 1/8 in, above 1 in 1/4 in (ASME B18.3, {_MEMORY})",
    (Unit.IN, StockKind.STUD): f"rounded up to the next 1/4 in (ASME B16.5, {_MEMORY})",
    (Unit.IN, StockKind.PIN): f"rounded up to the next 1/4 in (ASME B18.8.2, {_MEMORY})",
}


_SHORTEST_ISO_4014 = {
    **{3: 20, 4: 25, 5: 25, 6: 30, 8: 40, 10: 45, 12: 50, 14: 60, 16: 65, 18: 70, 20: 80, 22: 90, 24: 90, 27: 100},
    **{30: 110, 33: 130, 36: 140, 39: 150, 42: 160, 45: 180, 48: 180, 52: 200, 56: 220, 60: 240, 64: 260},
}
"""The shortest length in mm of a bolt with a shank, by its diameter (ISO 4014, table 1 and 2, from memory)."""


def has_shank(diameter: float, length: float, unit: Unit) -> bool:
    """Whether a hexagon bolt so long (in mm) is made with a shank; shorter metric ones are threaded to the head."""
    return unit is Unit.IN or length + 1e-6 >= _SHORTEST_ISO_4014.get(round(diameter), 0.0)


def stock_rule(unit: Unit, stock: StockKind) -> str:
    """The rule behind :func:`next_stock`, with its source."""
    return _RULES[unit, stock]


def next_stock(length: float, unit: Unit, stock: StockKind) -> float:
    """The next length in mm that is sold, not shorter than ``length`` (in mm).

    Example:
        >>> next_stock(78.0, Unit.MM, StockKind.BOLT), next_stock(21.0, Unit.MM, StockKind.SCREW)
        (80.0, 25.0)
    """
    wanted = from_mm(length, unit)
    steps = _steps(unit, stock)
    for index, (above, step) in enumerate(steps):
        end = steps[index + 1][0] if index + 1 < len(steps) else math.inf
        found = above + step * max(math.ceil((wanted - above) / step - 1e-9), 1)
        if found <= end + 1e-9:
            return to_mm(found, unit)
    return to_mm(wanted, unit)


@cache
def _steps(unit: Unit, stock: StockKind) -> tuple[tuple[float, float], ...]:
    """From which length on they come in which steps."""
    kind = f"{'metric' if unit is Unit.MM else 'inch'} {stock.value}"
    rows = (row for row in bolting_rows("bolt_lengths.csv") if row["kind"] == kind)
    return tuple((float(row["above"]), float(row["step"])) for row in rows)
