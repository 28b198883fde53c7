"""The next drill a shop has: ISO 235, ISO 1641 and ASME B94.11M steps, from memory."""

import pytest

from flangelayout.standards.drills import next_drill
from flangelayout.units import Unit
from rows import every_row


@every_row(
    ("diameter", "unit", "drill"),
    [
        (8.01, Unit.MM, 8.1),
        (14.0, Unit.MM, 14.0),
        (14.01, Unit.MM, 14.5),
        (28.22, Unit.MM, 28.5),
        (1.111 * 25.4, Unit.IN, 1.125 * 25.4),
        (0.5 * 25.4, Unit.IN, 0.5 * 25.4),
        (1.76 * 25.4, Unit.IN, (1 + 25 / 32) * 25.4),
    ],
)
def test_the_next_drill_is_the_least_that_is_large_enough(diameter: float, unit: Unit, drill: float) -> None:
    assert next_drill(diameter, unit) == pytest.approx(drill)
