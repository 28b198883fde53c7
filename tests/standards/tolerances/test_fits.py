"""Fits against ISO 286-1's own formulas and against printed tables of limit deviations."""

import csv
import math
from importlib.resources import files
from itertools import pairwise

import pytest

from flangelayout.standards.tolerances.fits import clearance, fit_limits, is_hole_class
from rows import every_row

_TABLE = files("flangelayout") / "standards/tables/holes/iso_286_grades.csv"


def rows() -> list[dict[str, str]]:
    lines = [line for line in _TABLE.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    return list(csv.DictReader(lines))


@every_row(
    ("diameter", "fit", "lower", "upper"),
    [
        # Public tables of limit deviations, 3 to 400 mm (github.com/georgievm/py-tkinter-iso-fits), in micrometers;
        # the holes H are the mirror of the shafts h.
        (5.0, "g6", -12, -4),
        (16.0, "j6", -3, 8),
        (25.0, "f7", -41, -20),
        (40.0, "k6", 2, 18),
        (60.0, "h9", -74, 0),
        (100.0, "d6", -142, -120),
        (130.0, "g6", -39, -14),
        (180.0, "H7", 0, 40),
        (180.0, "j6", -11, 14),
        (230.0, "j6", -13, 16),
        (250.0, "e6", -129, -100),
        (300.0, "h11", -320, 0),
        (350.0, "js7", -28.5, 28.5),
        (400.0, "H8", 0, 89),
        # Machinery's Handbook, preferred hole basis fits H7/g6 and H8/f7 of 160 mm (from memory).
        (160.0, "H8", 0, 63),
        (160.0, "f7", -83, -43),
    ],
)
def test_limits_are_the_printed_ones(diameter: float, fit: str, lower: float, upper: float) -> None:
    found = fit_limits(diameter, fit)
    assert found
    assert (1000 * found.lower, 1000 * found.upper) == pytest.approx((lower, upper))


def test_standard_tolerances_follow_the_formulas_of_iso_286_1() -> None:
    """7 to 100 i for IT5 to IT11; i = 0.45 D^(1/3) + 0.001 D to 500 mm, 0.004 D + 2.1 above, D the geometric mean."""
    factors = {"it5": 7, "it6": 10, "it7": 16, "it8": 25, "it9": 40, "it10": 64, "it11": 100}
    for row in rows()[1:]:  # the smallest step is rounded by hand
        low, high = float(row["over"]), float(row["to"])
        mean = math.sqrt(low * high)
        unit = 0.45 * mean ** (1 / 3) + 0.001 * mean if high <= 500 else 0.004 * mean + 2.1
        for grade, factor in factors.items():
            assert float(row[grade]) == pytest.approx(factor * unit, rel=0.06, abs=1.0), (low, grade)


def test_fundamental_deviations_follow_the_formulas_of_iso_286_1() -> None:
    """d 16 D^0.44, e 11 D^0.41, f 5.5 D^0.41, g 2.5 D^0.34 micrometers below the size."""
    for row in rows()[1:]:
        mean = math.sqrt(float(row["over"]) * float(row["to"]))
        for letter, factor, power in (("d", 16, 0.44), ("e", 11, 0.41), ("f", 5.5, 0.41), ("g", 2.5, 0.34)):
            assert float(row[letter]) == pytest.approx(factor * mean**power, rel=0.06, abs=1.0), (row, letter)


def test_steps_follow_each_other_without_a_gap() -> None:
    steps = [(float(row["over"]), float(row["to"])) for row in rows()]
    assert steps[0][0] == 0
    assert all(before[1] == after[0] for before, after in pairwise(steps))


@every_row("fit", ["H12", "Z7", "H", "7", "hello", "j7", "m6", "K7"])
def test_a_class_that_is_not_in_the_table_has_no_limits(fit: str) -> None:
    assert fit_limits(180.0, fit) is None


@every_row("diameter", [0.0, -3.0, 3150.1, math.inf])
def test_sizes_beyond_the_table_have_no_limits(diameter: float) -> None:
    assert fit_limits(diameter, "H7") is None


def test_holes_have_capitals_and_mirror_shafts() -> None:
    assert is_hole_class("JS7")
    assert not is_hole_class("js7")
    for size in (10.0, 180.0, 900.0):
        for letter in "defgh":
            hole, shaft = fit_limits(size, f"{letter.upper()}7"), fit_limits(size, f"{letter}7")
            assert hole
            assert shaft
            assert (hole.lower, hole.upper) == pytest.approx((-shaft.upper, -shaft.lower))


def test_the_clearance_of_a_register_on_a_motor_spigot() -> None:
    """180 H8 (0/+63) on 180 j6 (-11/+14): from 14 micrometers interference to 74 clearance."""
    hole, shaft = fit_limits(180.0, "H8"), fit_limits(180.0, "j6")
    assert hole
    assert shaft
    found = clearance(hole, shaft)
    assert (found.least, found.most) == pytest.approx((-0.014, 0.074))
