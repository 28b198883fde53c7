"""What a dimension says is what it measures, rounded as people round: judged by exact decimals and fractions."""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from itertools import product

import pytest

from flangelayout.drawing.explode import explode
from flangelayout.drawing.model import (
    AngularDimension,
    DiameterDimension,
    Label,
    LinearDimension,
    MeasuredText,
    RadiusDimension,
    Solid,
)
from flangelayout.geometry.shapes import ORIGIN, Point
from flangelayout.units import DEGREES, Rounding, Unit, decimal_rounding, size_rounding
from rows import every_row


@every_row("places", [0, 1, 2, 3])
def test_halves_are_rounded_away_from_zero(places: int) -> None:
    step = Decimal(1).scaleb(-places)
    for value in ("28.575", "0.125", "2.675", "1.005", "0.0005", "12.5", "-1.25", "99.995", "240"):
        expected = Decimal(value).quantize(step, ROUND_HALF_UP)
        assert Decimal(Rounding(Unit.MM, places).text(float(value))) == expected


def test_a_64th_is_written_as_the_fraction_it_is() -> None:
    for top in range(1, 64 * 12):
        inches = Fraction(top, 64)
        written = size_rounding(float(inches * Fraction(254, 10)), Unit.IN).text(float(inches * Fraction(254, 10)))
        assert sum(Fraction(part) for part in written.split()) == inches
        assert all("/" not in part or Fraction(part).denominator == int(part.split("/")[1]) for part in written.split())


def test_zeros_are_left_out_as_told() -> None:
    asme = Rounding(Unit.IN, 3, leading_zero=False)
    assert [asme.text(inches * 25.4) for inches in (0.75, 1.5, -0.25)] == [".750", "1.500", "-.250"]
    assert [DEGREES.text(turn) for turn in (22.5, 0.0, 360 / 7)] == ["22.5°", "0°", "51.429°"]


def test_a_dimension_says_what_it_measures() -> None:
    both = MeasuredText(decimal_rounding(Unit.MM), "⌀", " BORE", decimal_rounding(Unit.IN))
    slanted = LinearDimension(ORIGIN, Point(3.0, 4.0), Point(0.0, 9.0), 0.0, both)
    assert slanted.text == "⌀3.00 [0.118] BORE"
    assert DiameterDimension(ORIGIN, 10.0, 0.0, both).text == "⌀20.00 [0.787] BORE"
    assert RadiusDimension(ORIGIN, 10.0, 0.0, MeasuredText(decimal_rounding(Unit.MM), "R")).text == "R10.00"
    assert AngularDimension(ORIGIN, 9.0, 0.0, 22.5, MeasuredText(DEGREES, after=" (A)")).text == "22.5° (A)"


@every_row(("turn", "from_inside"), product([20.0, 110.0, 200.0, 290.0], [False, True]))
def test_the_arrow_of_a_radius_meets_the_rim_and_the_text_stands_at_its_tail(turn: float, from_inside: bool) -> None:
    said = MeasuredText(decimal_rounding(Unit.MM), "R")
    drawn = explode(RadiusDimension(Point(5.0, 7.0), 20.0, turn, said, from_inside), 0.5)
    (arrow,) = (part for part in drawn if isinstance(part, Solid))
    (label,) = (part for part in drawn if isinstance(part, Label))
    assert arrow.corners[0].distance_to(Point(5.0, 7.0)) == pytest.approx(20.0)
    assert (label.at.distance_to(Point(5.0, 7.0)) < 20.0) is from_inside
    assert label.text == "R20.00"
