"""What a template page says of its own scale: how long the bars are and how far they may be off."""

import pytest

from flangelayout.flange import Tolerances
from flangelayout.units import Unit
from flangelayout.views.template.furniture import allowed_difference, bar_length, bar_text, verdict_lines
from jobs import bolt_circle, flange


def test_a_bar_may_take_a_third_of_the_tolerance_on_the_largest_bolt_circle() -> None:
    # ASME B16.5: 1.5 mm on the bolt circle; a third of it on 240 mm is 0.5 mm, on a bar of 180 mm 0.375 mm.
    assert allowed_difference(flange(), 180.0) == pytest.approx(0.375)
    assert allowed_difference(flange(bolt_circle(), bolt_circle(4, 120.0, 14.0)), 180.0) == pytest.approx(0.375)


def test_a_stated_tolerance_takes_the_place_of_the_usual_one() -> None:
    assert allowed_difference(flange(tolerances=Tolerances(bolt_circle=0.6)), 180.0) == pytest.approx(0.15)


def test_without_a_bolt_circle_the_size_of_the_plate_counts() -> None:
    assert allowed_difference(flange(bolt_circle(1, 1.0, 0.5), outside_diameter=300.0), 1.0) == pytest.approx(0.5)


def test_bars_are_whole_centimeters_and_named_in_both_units() -> None:
    assert (bar_length(187.9), bar_length(190.0)) == (180.0, 190.0)
    assert bar_text(180.0) == "180 mm = 7.087 in"


def test_a_page_without_a_cover_says_what_its_bars_may_be_off() -> None:
    across, up = verdict_lines(flange(), 187.9, 240.0, Unit.MM)
    assert across.startswith("BAR X: 180 mm")
    assert across.endswith("allowed ±0.38 mm")
    assert up.startswith("BAR Y: 240 mm")
    assert up.endswith("allowed ±0.50 mm")
