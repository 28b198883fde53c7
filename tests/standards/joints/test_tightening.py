"""Stress areas, strengths and torque against printed tables and worked examples."""

import pytest

from flangelayout.standards.joints.tightening import strength_of, stress_area, torque
from flangelayout.units import Unit, to_mm
from rows import every_row

_INCH = 25.4


@every_row(
    ("diameter", "pitch", "area"),
    # ISO 898-1, tensile stress areas in square mm as printed (M12, M16, M20, M24 also in a structural bolt list).
    [(5, 0.8, 14.2), (8, 1.25, 36.6), (10, 1.5, 58.0), (12, 1.75, 84.3), (16, 2, 157), (20, 2.5, 245), (24, 3, 353)],
)
def test_metric_stress_areas_are_the_printed_ones(diameter: float, pitch: float, area: float) -> None:
    assert stress_area(diameter, pitch, Unit.MM) == pytest.approx(area, rel=3e-3)


@every_row(
    ("diameter", "per_inch", "area"),
    # ASME B1.1, tensile stress areas in square inches as printed (from memory).
    [(0.25, 20, 0.0318), (0.5, 13, 0.1419), (0.75, 10, 0.334), (1.0, 8, 0.606), (1.5, 8, 1.492)],
)
def test_inch_stress_areas_are_the_printed_ones(diameter: float, per_inch: float, area: float) -> None:
    found = stress_area(to_mm(diameter, Unit.IN), _INCH / per_inch, Unit.IN) / _INCH**2
    assert found == pytest.approx(area, rel=3e-3)


@every_row(
    ("name", "diameter", "megapascals", "is_proof"),
    # ISO 898-1:2013 proof strengths; ISO 3506-1 and ASTM A193 have none: 0.2 % yield. Values from memory.
    [
        ("8.8", 12, 580, True),
        ("8.8", 16, 580, True),
        ("8.8", 20, 600, True),
        ("10.9", 20, 830, True),
        ("12.9", 8, 970, True),
        ("A4-70", 20, 450, False),
        ("B7", to_mm(0.75, Unit.IN), 105 * 6.894757, False),
        ("B7", to_mm(3.0, Unit.IN), 95 * 6.894757, False),
        ("grade 5", to_mm(0.75, Unit.IN), 85 * 6.894757, True),
    ],
)
def test_strengths_are_those_of_their_standard_and_size(
    name: str, diameter: float, megapascals: float, is_proof: bool
) -> None:
    found = strength_of(name, diameter)
    assert found
    assert found.value == pytest.approx(megapascals)
    assert found.is_proof is is_proof


@every_row(("name", "diameter"), [("8.8", 42), ("13.7", 12), ("", 12), ("A4-70", 30)])
def test_a_class_or_size_of_no_table_has_no_strength(name: str, diameter: float) -> None:
    assert strength_of(name, diameter) is None


def test_the_torque_of_a_worked_example() -> None:
    """M12 8.8 at 70 % of proof, K 0.2: about 34 kN and 82 N m (aionlinecalculator.com, bolt torque, worked example)."""
    strength = strength_of("8.8", 12.0)
    assert strength
    found = torque(12.0, 1.75, Unit.MM, strength, 0.2, 0.7)
    assert found.load == pytest.approx(34_200, rel=2e-3)
    assert found.torque == pytest.approx(82.1, rel=2e-3)


def test_the_torque_of_an_inch_bolt_by_hand() -> None:
    """3/4-10 B7 at half its yield, K 0.16: 0.334 in2 x 52.5 ksi = 17.56 kip; x 0.16 x 0.75 in / 12 = 175.6 lbf ft."""
    strength = strength_of("B7", to_mm(0.75, Unit.IN))
    assert strength
    found = torque(to_mm(0.75, Unit.IN), _INCH / 10, Unit.IN, strength, 0.16, 0.5)
    assert found.torque / 1.3558179 == pytest.approx(175.6, rel=3e-3)
