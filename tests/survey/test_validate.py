import math

import pytest

from flangelayout.errors import InputError, SurveyError
from flangelayout.survey import Kind, Reading, measure
from rows import every_row


def problems(readings: list[Reading], hole_count: int | None = 8, **settings: float) -> str:
    with pytest.raises(InputError) as caught:
        measure(readings, hole_count, **settings)  # type: ignore[arg-type]  # settings are all lengths
    assert all("\n" not in line for line in caught.value.lines())
    return "\n".join(caught.value.lines())


def chord(value: float = 91.8, **where: int) -> Reading:
    return Reading(Kind.CENTERS, value, where.get("first"), where.get("second"), where.get("pitches"))


@every_row("hole_count", [0, 1, -3, 100_000])
def test_hole_counts_that_make_no_circle(hole_count: int) -> None:
    assert "cannot make a bolt circle" in problems([chord()], hole_count)


@every_row("value", [0.0, -91.8, math.nan, math.inf, 1e9])
def test_lengths_that_cannot_be(value: float) -> None:
    assert problems([chord(value)]).startswith("reading 1: ")


def test_holes_that_do_not_exist() -> None:
    assert "there is no hole 9; holes are numbered 1 to 8" in problems([chord(first=8, second=9)])
    assert "there is no hole 0" in problems([chord(first=0, second=2)])


def test_spans_that_make_no_sense() -> None:
    assert "hole 3 to itself" in problems([chord(first=3, second=3)])
    assert "past all 8 holes" in problems([chord(pitches=8)])
    assert "is no span" in problems([chord(pitches=0)])
    assert "one hole of a pair" in problems([chord(first=2)])
    assert "give one of them" in problems([chord(first=1, second=2, pitches=1)])


def test_chord_longer_than_the_part() -> None:
    text = problems([chord(300.0), Reading(Kind.OUTSIDE_DIAMETER, 285.0)])
    assert "300 mm is longer than the circle allows: the outside diameter reads 285 mm" in text


def test_chord_too_long_for_its_span_on_the_part() -> None:
    text = problems([chord(150.0), Reading(Kind.OUTSIDE_DIAMETER, 285.0)])
    assert "longer than the circle allows: 8 holes that far apart lie on 391.97 mm" in text


def test_settings_that_cannot_be() -> None:
    assert "hole diameter: -22 mm" in problems([chord()], hole_diameter=-22.0)
    assert "drilling tolerance: 0 mm" in problems([chord()], drilling_tolerance=0.0)
    assert "within" in problems([Reading(Kind.CENTERS, 91.8, within=0.0)])


def test_every_problem_is_told_at_once() -> None:
    assert len(problems([chord(-1), chord(math.nan), chord(first=1, second=12)]).splitlines()) == 3


def test_no_readings() -> None:
    assert "there are none" in problems([])


@every_row(
    ("readings", "missing"),
    [
        ([Reading(Kind.NEAR_EDGES, 70.0)], "measure a hole"),
        ([Reading(Kind.OVER_STUDS, 112.0)], "measure a stud"),
        ([Reading(Kind.HOLE_TO_BORE, 24.0)], "bore or outside diameter"),
        ([Reading(Kind.OUTSIDE_DIAMETER, 285.0)], "measure a chord"),
        ([Reading(Kind.X, 1.0, 1), Reading(Kind.Y, 2.0, 1)], "at least two holes"),
    ],
)
def test_too_few_readings_name_what_is_missing(readings: list[Reading], missing: str) -> None:
    with pytest.raises(SurveyError, match=missing):
        measure(readings, 8)


def test_hole_count_that_cannot_be_found_is_asked_for() -> None:
    with pytest.raises(SurveyError, match="count the holes"):
        measure([chord()])
    with pytest.raises(SurveyError, match="holes alike; count the holes"):
        measure([Reading(Kind.CENTERS, 10.0, pitches=1), Reading(Kind.CENTERS, 19.9, pitches=2)])


def test_readings_of_no_circle_name_the_contradiction() -> None:
    readings = [Reading(Kind.NEAR_EDGES, 114.0), Reading(Kind.FAR_EDGES, 70.0)]
    with pytest.raises(SurveyError, match="near-edge reading is shorter than a far-edge one"):
        measure(readings, 8)


def test_stud_readings_that_cross_give_no_circle() -> None:
    readings = [
        Reading(Kind.HOLE_TO_RIM, 200.0),
        Reading(Kind.OUTSIDE_DIAMETER, 285.0),
        Reading(Kind.HOLE_DIAMETER, 22.0),
    ]
    with pytest.raises(SurveyError, match="contradict each other"):
        measure(readings, 8)


def test_a_usual_span_that_goes_all_round_is_refused() -> None:
    text = problems([Reading(Kind.STUD_TO_FAR_EDGE, 100.0)], 2)
    assert "2 pitches goes past all 2 holes" in text
