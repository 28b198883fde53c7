"""Lengths that bolts, screws, studs and pins are sold in, against lists of the standards as remembered."""

from itertools import pairwise

import pytest

from flangelayout.standards.joints.stock import StockKind, next_stock, stock_rule
from flangelayout.units import Unit, from_mm, to_mm
from rows import every_row

# ISO 888:2012 for screws: 6, 8, 10, 12, 16, 20, 25 to 70 by 5, to 160 by 10, then by 20. Values from memory.
SCREWS = [6, 8, 10, 12, 16, 20, *range(25, 71, 5), *range(80, 161, 10), *range(180, 301, 20)]
# ISO 8734: 8 to 20 by 2, to 40 by 4, to 100 by 5, then by 20. Values from memory.
PINS = [*range(8, 21, 2), *range(24, 41, 4), *range(45, 101, 5), *range(120, 201, 20)]


@every_row(
    ("length", "sold"),
    # ISO 888:2012: 20 to 70 by 5, to 160 by 10, then by 20. Values from memory.
    [(16.3, 20), (20, 20), (20.01, 25), (70, 70), (71, 80), (75, 80), (160, 160), (160.5, 180), (206, 220)],
)
def test_metric_lengths_go_up_to_the_next_of_iso_888(length: float, sold: float) -> None:
    assert next_stock(length, Unit.MM, StockKind.BOLT) == pytest.approx(sold)


@every_row(("kind", "listed"), [(StockKind.SCREW, SCREWS), (StockKind.PIN, PINS)])
def test_screws_and_pins_come_in_every_listed_length_and_no_other(kind: StockKind, listed: list[int]) -> None:
    for before, length in pairwise(listed):
        assert next_stock(before + 0.01, Unit.MM, kind) == pytest.approx(length)
        assert next_stock(length, Unit.MM, kind) == pytest.approx(length)


@every_row(
    ("length", "kind", "sold"),
    [
        (3.01, StockKind.BOLT, 3.25),
        (6.0, StockKind.BOLT, 6.0),
        (6.01, StockKind.BOLT, 6.5),
        (6.01, StockKind.STUD, 6.25),
        (0.7, StockKind.SCREW, 0.75),
        (1.01, StockKind.SCREW, 1.25),
    ],
)
def test_inch_lengths_go_up_by_quarters(length: float, kind: StockKind, sold: float) -> None:
    assert from_mm(next_stock(to_mm(length, Unit.IN), Unit.IN, kind), Unit.IN) == pytest.approx(sold)


def test_every_rule_names_its_source() -> None:
    for unit in Unit:
        for kind in StockKind:
            assert "ISO" in stock_rule(unit, kind) or "ASME" in stock_rule(unit, kind)
