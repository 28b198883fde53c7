import math
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flangelayout.errors import UnitError
from flangelayout.units import (
    Rounding,
    Unit,
    angle_text,
    decimal_text,
    from_mm,
    mass_text,
    parse_angle,
    parse_length,
    size_text,
    to_mm,
)
from rows import every_row

# The inch is 25.4 mm exactly: international yard and pound agreement of 1959.
INCH = Fraction(254, 10)


@every_row(
    ("written", "mm"),
    [
        ("22 mm", 22.0),
        ("22mm", 22.0),
        ("2.2 cm", 22.0),
        ("0.022 m", 22.0),
        ("7/8 in", 22.225),
        ("2-3/8 in", 60.325),
        ("2 3/8 in", 60.325),
        ("2 - 3/8 in", 60.325),
        ('11 3/4"', 298.45),
        ("11 3/4″", 298.45),
        ("11¾ in", 298.45),
        ("⅞ inch", 22.225),
        ("3 1/2 inches", 88.9),
        (".5 in", 12.7),
        ("-0.5 IN", -12.7),
        ("−1/2 in.", -12.7),
        ("1e1 mm", 10.0),
        ("  22  ", 22.0),
        (22, 22.0),
        (22.5, 22.5),
        ("91,7", 91.7),
        ("0,125 in", 3.175),
        ("12,50 mm", 12.5),
        ("1234,567", 1234.567),
        ("-0,5", -0.5),
    ],
)
def test_a_length_reads_as_people_write_it(written: str | float, mm: float) -> None:
    assert parse_length(written) == mm


@every_row(("written", "mm"), [("2 3/8", 60.325), ("7/8", 22.225), (1, 25.4), ("22 mm", 22.0)])
def test_what_names_no_unit_is_in_the_unit_of_the_job(written: str | float, mm: float) -> None:
    assert parse_length(written, Unit.IN) == mm


@every_row(
    ("written", "reason"),
    [
        ("", "not a length"),
        ("wide", "not a length"),
        ("22 furlongs", "mm, cm, m or in"),
        ("3 ft", "mm, cm, m or in"),
        ("1/0 in", "zero"),
        ("1,000", "can mean 1.000 or 1000; write the one you mean"),
        ("12,500 mm", "can mean 12.500 mm or 12500 mm"),
        ("1,234.5", "as in 1234.5"),
        ("1.234,5 mm", "as in 1234.5 mm"),
        ("68.8,69.0,68.7", "more than one number"),
        ("1,2,3", "more than one number"),
        ("2,5 3/8", "more than one number"),
        ("22 23", "not a length"),
        ("2 3/8/4", "unit"),
        ("nan", "not a length"),
        ("inf mm", "not a length"),
        ("1e999 mm", "hold"),
        ("9" * 100, "not a length"),
        (float("nan"), "finite"),
        (float("inf"), "finite"),
        (10**400, "finite"),
        (True, "finite"),
    ],
)
def test_what_is_no_length_is_refused_with_the_reason(written: str | float, reason: str) -> None:
    with pytest.raises(UnitError, match=reason):
        parse_length(written)


@given(st.integers(0, 200), st.integers(1, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_a_fraction_of_an_inch_is_read_exactly(whole: int, top: int, bottom: int) -> None:
    exact = float((whole + Fraction(top, bottom)) * INCH)
    assert parse_length(f"{whole} {top}/{bottom} in") == exact
    assert parse_length(f"{whole}-{top}/{bottom}", Unit.IN) == exact


@given(st.decimals(-9999, 9999, places=4))
def test_a_decimal_is_read_exactly(number: Decimal) -> None:
    assert parse_length(f"{number} mm") == float(number)
    assert parse_length(f"{number} in") == float(Fraction(number) * INCH)


@given(st.text(max_size=70))
def test_any_text_is_a_finite_length_or_a_unit_error(text: str) -> None:
    for unit in Unit:
        try:
            length = parse_length(text, unit)
        except UnitError:
            continue
        assert math.isfinite(length)


@given(st.floats(allow_nan=False, allow_infinity=False, width=32))
def test_a_number_survives_the_way_there_and_back(number: float) -> None:
    for unit in Unit:
        assert from_mm(to_mm(number, unit), unit) == pytest.approx(number, rel=1e-12)
        assert parse_length(number, unit) == to_mm(number, unit)


@every_row(
    ("written", "degrees"),
    [("22.5 deg", 22.5), ("22.5°", 22.5), ("22 1/2", 22.5), (45, 45.0), ("-30 degrees", -30.0), ("0", 0.0)],
)
def test_an_angle_reads_as_people_write_it(written: str | float, degrees: float) -> None:
    assert parse_angle(written) == degrees


@every_row("written", ["22 rad", "22 mm", "steep", float("nan"), 10**400, False])
def test_what_is_no_angle_is_refused(written: str | float) -> None:
    with pytest.raises(UnitError):
        parse_angle(written)


@every_row(
    ("mm", "unit", "text"),
    [
        (285.0, Unit.MM, "285"),
        (22.5, Unit.MM, "22.5"),
        (100.0, Unit.MM, "100"),
        (0.0, Unit.MM, "0"),
        (298.45, Unit.IN, "11 3/4"),
        (22.225, Unit.IN, "7/8"),
        (304.8, Unit.IN, "12"),
        (12.345, Unit.IN, "0.486"),
        (0.0, Unit.IN, "0.000"),
        (-25.4, Unit.IN, "-1.000"),
    ],
)
def test_a_nominal_size_is_written_as_the_trade_writes_it(mm: float, unit: Unit, text: str) -> None:
    assert size_text(mm, unit) == text


@given(st.integers(1, 6400))
def test_every_64th_of_an_inch_is_written_as_its_fraction_and_read_back(count: int) -> None:
    mm = float(Fraction(count, 64) * INCH)
    text = size_text(mm, Unit.IN)
    assert "." not in text
    assert parse_length(text, Unit.IN) == mm


@given(st.floats(-1e5, 1e5))
def test_decimals_are_right_to_half_the_last_place_and_never_minus_zero(mm: float) -> None:
    assert float(decimal_text(mm, Unit.MM)) == pytest.approx(mm, abs=0.0050001)
    assert float(decimal_text(mm, Unit.IN)) == pytest.approx(from_mm(mm, Unit.IN), abs=0.00050001)
    assert decimal_text(mm, Unit.MM) not in ("-0.00", "-0")


@every_row(("degrees", "text"), [(22.5, "22.5°"), (-0.0001, "0°"), (112.5004, "112.5°"), (360.0, "360°")])
def test_an_angle_is_written_without_idle_zeros(degrees: float, text: str) -> None:
    assert angle_text(degrees) == text


@every_row(
    ("kilograms", "unit", "text"),
    [
        (10.0, Unit.MM, "10.0 kg"),
        (10.0, Unit.IN, "22.0 lb"),  # 10 / 0.45359237 = 22.046 (international pound of 1959)
        (100.0, Unit.IN, "220 lb"),
        (0.0453, Unit.MM, "0.0453 kg"),
    ],
)
def test_a_mass_has_three_figures_and_the_unit_that_goes_with_the_lengths(
    kilograms: float, unit: Unit, text: str
) -> None:
    assert mass_text(kilograms, unit) == text


def test_the_zero_before_the_point_is_left_out_below_one_only() -> None:
    """ASME Y14.5: in inches no zero precedes the point of a value less than one."""
    bare = Rounding(Unit.IN, 3, leading_zero=False)
    values = (0.25, 10.037, 20.048, -0.5, 0.0, 100.0)
    assert [bare.text(25.4 * value) for value in values] == [".250", "10.037", "20.048", "-.500", "0.000", "100.000"]
