"""A printer's factors from measured bars."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flangelayout.drawing.printer import NOMINAL, measured_printer, out_of_square, skew_deg
from flangelayout.errors import InputError
from rows import every_row


def refused(*bars: float, diagonals: tuple[float, float] | None = None) -> str:
    with pytest.raises(InputError) as wrong:
        measured_printer("office", (bars[0], bars[1]), "A4", "2026-11-25", diagonals)
    return str(wrong.value)


def test_factors_are_measured_over_nominal() -> None:
    printer = measured_printer("office", (199.2, 200.4), "A4", "2026-11-25")
    assert (printer.across, printer.along) == pytest.approx((0.996, 1.002))
    assert printer.skew_deg is None


def test_a_page_printed_sideways_has_its_x_along_the_long_side() -> None:
    printer = measured_printer("office", (199.2, 200.4), "A4", "2026-11-25")
    assert printer.factors(sideways=False) == (printer.across, printer.along)
    assert printer.factors(sideways=True) == (printer.along, printer.across)


@every_row("bar", [193.9, 206.1, 0.0, -200.0])
def test_a_factor_beyond_its_bounds_is_refused_with_the_likely_cause(bar: float) -> None:
    said = refused(bar, 200.0)
    assert said.startswith("x: ")
    assert "fit to page" in said


@every_row("bar", [194.0, 206.0])
def test_the_bounds_themselves_are_taken(bar: float) -> None:
    assert measured_printer("office", (bar, bar), "A4", "2026-11-25").across == bar / NOMINAL


def test_inches_without_their_unit_are_recognized() -> None:
    assert '"7.85 in"' in refused(7.85, 200.0)


def test_both_bars_are_told_at_once() -> None:
    assert len(refused(150.0, 250.0).splitlines()) == 2


@given(st.floats(194.5, 205.5), st.floats(194.5, 205.5), st.floats(-1.0, 1.0))
def test_diagonals_give_back_the_skew_they_were_made_with(x: float, y: float, skew: float) -> None:
    """A parallelogram drawn from its sides and corner (law of cosines, school geometry)."""
    corner = math.radians(90 - skew)
    rising = math.hypot(x + y * math.cos(corner), y * math.sin(corner))
    falling = math.hypot(x - y * math.cos(corner), y * math.sin(corner))
    assert skew_deg((x, y), (rising, falling)) == pytest.approx(skew, abs=1e-9)
    printer = measured_printer("office", (x, y), "A4", "2026-11-25", (rising, falling))
    assert printer.skew_deg == pytest.approx(skew, abs=1e-9)


def test_a_degree_out_of_square_is_three_and_a_half_millimeters_over_the_side() -> None:
    assert out_of_square(1.0) == pytest.approx(3.49, abs=0.005)


@every_row("diagonals", [(270.0, 282.8), (282.8, 300.0), (0.0, 400.0), (200.0, 200.0)])
def test_diagonals_that_contradict_the_bars_are_refused(diagonals: tuple[float, float]) -> None:
    assert "measure all four again" in refused(200.0, 200.0, diagonals=diagonals)
