"""The step-off plan and distances from a cut bore: what one lays out and checks by hand."""

import math
import re

import pytest

from flangelayout.flange import Flange
from flangelayout.units import Unit
from flangelayout.views.words.bench.check_tables import bore_tables, step_off_tables
from flangelayout.views.words.lengths import Lengths
from jobs import bolt_circle, flange
from rows import every_row

MM = Lengths(Unit.MM)


def rows(plate: Flange) -> list[tuple[str, ...]]:
    (table,) = step_off_tables(plate, MM)
    return list(table.rows)


def test_eight_holes_are_quartered_and_then_halved() -> None:
    assert rows(flange()) == [
        ("quarters", "169.71", "1 → 3 → 5 → 7 → 1", "3 × error", "4 × error", ""),
        ("then halves", "91.84", "from both sides to 2, 4, 6, 8", "1 error", "2 × error", ""),
        ("do not", "91.84", "go all round in 8 steps", "7 × error", "8 × error", "—"),
    ]


def test_twelve_holes_leave_single_steps_between_the_quarters() -> None:
    steps = rows(flange(bolt_circle(12, 240.0, 18.0)))
    assert [step[0] for step in steps] == ["quarters", "single", "do not"]
    assert steps[1][2:5] == ("from each mark: 1 on, 1 back; one step is left", "1 error", "3 × error")


def test_an_odd_count_cannot_be_quartered() -> None:
    steps = rows(flange(bolt_circle(7, 240.0, 18.0)))
    assert [step[0] for step in steps] == ["single", "do not"]
    assert steps[0][2:5] == ("from place 1: 3 on, 3 back; one step is left", "3 × error", "7 × error")


@every_row("count", [4, 6, 8, 12, 16, 20, 24, 28, 32, 48, 64])
def test_every_divider_setting_is_the_distance_of_the_places_it_joins(count: int) -> None:
    circle = bolt_circle(count, 1000.0, 5.0)
    centers = circle.hole_centers()
    for name, chord, walk, _, _, _ in rows(flange(circle, outside_diameter=1100.0)):
        if name in ("quarters", "halves"):
            first, second = (int(number) for number in re.findall(r"\d+", walk)[:2])
            assert float(chord) == pytest.approx(centers[first - 1].distance_to(centers[second - 1]), abs=0.005)
        if name == "then halves":
            place = int(re.findall(r"\d+", walk)[0])
            near = min(centers[place - 1].distance_to(centers[k]) for k in range(0, count, 2 * (place - 1)))
            assert float(chord) == pytest.approx(near, abs=0.005)


@every_row("count", range(5, 65))
def test_the_plan_never_drifts_farther_than_stepping_round(count: int) -> None:
    steps = rows(flange(bolt_circle(count, 1000.0, 5.0), outside_diameter=1100.0))
    drifts = [int(step[3].split()[0]) for step in steps]
    assert max(drifts[:-1], default=0) < drifts[-1] == count - 1


def test_a_cut_bore_gives_distances_from_its_edge_and_from_the_rim() -> None:
    (table,) = bore_tables(flange(bore=170.0, bore_cut=True), MM)
    assert table.rows == (("all of the circle", "35.00", "24.00", "", "22.50", "109.06", ""),)
    # 109.06 is the chord of 45 degrees on the rim of 285: 285 sin 22.5 deg.
    assert 285 * math.sin(math.radians(22.5)) == pytest.approx(109.06, abs=0.01)


def test_without_a_cut_bore_there_is_no_such_table() -> None:
    assert not list(bore_tables(flange(bore=170.0), MM))
    assert not list(bore_tables(flange(bore_cut=True), MM))
