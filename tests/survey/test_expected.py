import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flangelayout.errors import InputError
from flangelayout.survey import Kind, Reading, expected_readings, measure
from rows import every_row

# Handbook table of chords for a circle of diameter 1 (five holes: sin 36 deg = 0.587785).
SIN_36 = 0.587785


@every_row("diameter", [64, 74, 82, 86, 110, 130])
def test_neighbors_of_five_holes_follow_the_handbook_factor(diameter: float) -> None:
    spans = expected_readings(diameter, 5).spans
    assert spans[0].centers == pytest.approx(SIN_36 * diameter, abs=1e-4)
    assert [span.pitches for span in spans] == [1, 2]


def test_every_kind_of_reading_of_dn150() -> None:
    # EN 1092-1 DN150 PN16: 240 mm, 8 x 22, outside 285.
    table = expected_readings(240, 8, hole_diameter=22, stud_diameter=20, bore=170, outside_diameter=285)
    first, last = table.spans[0], table.spans[-1]
    assert round(first.centers, 2) == 91.84
    assert round(first.near_edges or 0, 2) == 69.84
    assert round(first.far_edges or 0, 2) == 113.84
    assert round(first.over_studs or 0, 2) == 111.84
    assert round(first.between_studs or 0, 2) == 71.84
    assert last.centers == pytest.approx(240)
    assert (table.hole_to_bore, table.hole_to_rim) == (24.0, 11.5)


@pytest.mark.slow
@given(st.floats(20, 3000), st.integers(2, 100))
def test_table_and_survey_are_inverse(diameter: float, hole_count: int) -> None:
    for span in expected_readings(diameter, hole_count).spans[:3]:
        survey = measure([Reading(Kind.CENTERS, span.centers, pitches=span.pitches)], hole_count, patterns=())
        assert survey.diameter == pytest.approx(diameter)


@every_row(("diameter", "hole_count"), [(0, 8), (-5, 8), (math.nan, 8), (math.inf, 8), (240, 1), (240, 0)])
def test_impossible_circles_are_refused(diameter: float, hole_count: int) -> None:
    with pytest.raises(InputError):
        expected_readings(diameter, hole_count)
