"""The call-out at a leader: how many holes of what size, where they stand, how they are turned, what is left out."""

from typing import Any

import pytest

from flangelayout.units import Unit
from flangelayout.views.words.call_outs import call_out
from jobs import bolt_circle

SIMPLE = "8X ⌀22 EQ SP ON ⌀240 B.C."


def said(**changes: Any) -> tuple[str, ...]:  # noqa: ANN401 - fields of any kind
    return call_out(bolt_circle(**changes), Unit.MM)


@pytest.mark.parametrize(
    ("changes", "place"),
    [
        ({}, "STRADDLE VERTICAL CENTERLINE"),
        ({"centerline": "horizontal"}, "STRADDLE HORIZONTAL CENTERLINE"),
        ({"placement": "on-centerline"}, "HOLE 1 ON VERTICAL CENTERLINE"),
    ],
)
def test_a_pattern_is_called_out_by_the_line_it_is_placed_on(changes: dict[str, str], place: str) -> None:
    assert said(**changes) == (SIMPLE, place)


@pytest.mark.parametrize(("turn", "words"), [(15.0, "TURNED 15° CCW"), (-7.5, "TURNED 7.5° CW")])
def test_a_turn_is_called_out_with_its_sense_counter_clockwise_above_zero(turn: float, words: str) -> None:
    assert said(start_angle=turn)[-1] == words


def test_pairs_are_counted_as_pairs() -> None:
    assert said(pair_angle=10.0)[0] == "8X ⌀22 IN 4 PAIRS 10° APART ON ⌀240 B.C."


def test_places_left_out_are_named_and_not_counted() -> None:
    assert said(skipped=(3, 7)) == (
        "6X ⌀22 IN 8 EQ SP PLACES ON ⌀240 B.C.",
        "STRADDLE VERTICAL CENTERLINE",
        "NO HOLE AT 3, 7",
    )
    assert said(skipped=(4, 5, 6, 7, 8))[-1] == "ONLY PLACES 1 TO 3 DRILLED"


def test_unequal_holes_refer_to_the_table_and_never_say_equally_spaced() -> None:
    lines = said(hole_count=3, angles=(0.0, 90.0, 210.0))
    assert lines == ("3X ⌀22 ON ⌀240 B.C.", "ANGLES PER HOLE TABLE")


def test_inches_are_called_out_as_fractions() -> None:
    circle = bolt_circle(8, 9.5 * 25.4, 0.875 * 25.4)
    assert call_out(circle, Unit.IN)[0] == "8X ⌀7/8 EQ SP ON ⌀9 1/2 B.C."
