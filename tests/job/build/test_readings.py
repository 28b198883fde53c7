"""Bolt circles that a job takes from its own readings."""

import math
from pathlib import Path

import pytest

from flangelayout.checks import Rule
from flangelayout.errors import InputError, SurveyError
from flangelayout.flange.origin import Measured, NearestOf
from flangelayout.job.build.readings import survey_input, survey_result
from flangelayout.job.load import load_survey
from flangelayout.job.schema.job_file import JobFile
from flangelayout.survey import Kind
from flangelayout.survey.mistakes import Cause
from jobs import job_data, make_job
from rows import every_row

# EN 1092-1 DN125 PN16: 210 mm, 8 x 18 (two sources agree); chords from sin(180°/8) = 0.382683,
# the factor that handbook chord tables print for 8 divisions.
CIRCLE, HOLE = 210.0, 18.0


def readings(*more: dict[str, object]) -> dict[str, object]:
    near = CIRCLE - HOLE
    return {
        "hole_diameter": HOLE,
        "reading": [
            {"kind": "same-edges", "value": CIRCLE * 0.382683, "from": 1, "to": 2},
            {"kind": "near-edges", "value": near, "from": 1, "to": 5},
            *more,
        ],
    }


def measured(diameter: str, *more: dict[str, object]) -> dict[str, object]:
    circle = [{"diameter": diameter, "hole_count": 8, "hole_diameter": 18}]
    plate = {"outside_diameter": 250, "bore": 140, "thickness": 20}
    return job_data(bolt_circle=circle, plate=plate, survey=readings(*more))


OUTSIDE = {"kind": "outside-diameter", "value": 250}


def test_a_measured_circle_takes_the_fit_and_says_so() -> None:
    job = make_job(**measured("measured"))
    circle = job.flange.bolt_circles[0]
    assert math.isclose(circle.diameter, CIRCLE, abs_tol=0.01)
    assert isinstance(circle.origin, Measured)
    assert circle.origin.diameter == circle.diameter
    assert circle.origin.band is not None
    assert 0.0 < circle.origin.band < 1.0


def test_the_nearest_standard_takes_the_published_figure() -> None:
    job = make_job(**measured("nearest standard", OUTSIDE | {"value": 249.6}))
    circle = job.flange.bolt_circles[0]
    assert circle.diameter == CIRCLE
    assert isinstance(circle.origin, NearestOf)
    assert all(row.circle == CIRCLE and row.hole_count == 8 for row in circle.origin.rows)
    assert any(row.designation.startswith("EN 1092-1") for row in circle.origin.rows)
    assert math.isclose(circle.origin.measured.diameter, CIRCLE, abs_tol=0.01)


def test_readings_that_fit_several_standards_stop_the_job_and_name_the_next_reading() -> None:
    # 240 x 0.382683 = 91.84: DN150 (8 x 22 on 240) and NPS 6 (on 241.3) are 0.5 mm apart between neighbors.
    asked = measured("nearest standard") | {"survey": {"reading": [{"kind": "centers", "value": 91.84}]}}
    asked["bolt_circle"] = [{"diameter": "nearest standard", "hole_count": 8, "hole_diameter": 22}]
    several = r"^bolt_circle\.diameter: the readings leave open which published drilling it is, such as"
    with pytest.raises(SurveyError, match=several) as caught:
        make_job(**asked)
    assert "measure outside-diameter next" in str(caught.value)


def test_one_drilling_that_is_not_sure_stops_the_job_and_is_named() -> None:
    # Opposite holes read 182: 180 is 2 away, where EN 1092-1 lets the circle be 1.0 off (from memory).
    across = {"kind": "centers", "value": 182.0, "pitches": 4, "within": 0.2}
    asked = measured("nearest standard") | {"survey": {"reading": [across, across]}}
    asked["bolt_circle"] = [{"diameter": "nearest standard", "hole_count": 8, "hole_diameter": 18}]
    with pytest.raises(SurveyError, match=r"one published drilling, that of EN 1092-1 PN16 DN100, but it is not sure"):
        make_job(**asked)


def test_a_measured_circle_without_readings_is_refused() -> None:
    with pytest.raises(InputError, match=r'bolt_circle\.diameter: "measured" needs the readings'):
        make_job(bolt_circle=[{"diameter": "measured", "hole_count": 8, "hole_diameter": 18}])


def test_a_reading_that_names_no_hole_of_the_circle_is_told_at_its_place() -> None:
    wrong = {"kind": "centers", "value": 80.0, "from": 1, "to": 12}
    with pytest.raises(InputError) as caught:
        make_job(**measured("measured", wrong))
    assert any("survey" in line and "12" in line for line in caught.value.lines())


def test_an_unknown_kind_of_reading_lists_the_kinds() -> None:
    with pytest.raises(
        InputError, match=r"survey\.reading\[3\]\.kind: \"corners\" is not possible; use \"centers\", .*"
    ):
        make_job(**measured("measured", {"kind": "corners", "value": 80.0}))


def test_the_readings_can_be_loaded_whatever_they_lead_to(tmp_path: Path) -> None:
    from jobs import toml_text

    path = tmp_path / "old.toml"
    path.write_text(toml_text(measured("nearest standard")), encoding="utf-8")
    survey = load_survey(path)
    assert survey is not None
    assert survey.hole_count == 8
    assert [reading.kind for reading in survey.readings] == [Kind.SAME_EDGES, Kind.NEAR_EDGES]


def test_a_job_without_readings_has_no_survey() -> None:
    assert make_job().survey is None


def test_the_hole_of_the_job_rules_out_explanations_that_need_another() -> None:
    # 8 x 22 on 240: neighbors 240 x 0.382683 = 91.84. One of three read 97.90 would need a hole of 6.06 mm.
    values = (91.84, 91.84, 97.90)
    survey = {"reading": [{"kind": "same-edges", "value": value, "pitches": 1} for value in values]}
    circle = [{"diameter": 240, "hole_count": 8, "hole_diameter": 22}]
    written = JobFile.model_validate(job_data(bolt_circle=circle, survey=survey))
    found = survey_input(written)
    assert found is not None
    suspect = survey_result(found).suspects[0]
    assert suspect.readings == (2,)
    assert suspect.cause is not Cause.MIXED_EDGES


@every_row("reading", [{"kind": "bore", "value": 170}, {"kind": "centers", "value": 0.1, "pitches": 1}])
def test_readings_that_fix_no_circle_fail_the_check_of_a_written_one(reading: dict[str, object]) -> None:
    job = make_job(survey={"reading": [reading]})
    (found,) = [each for each in job.findings if each.rule is Rule.READINGS]
    assert (found.failed, found.place.key) == (True, "survey.reading")
    left_out = make_job(survey={"reading": [reading]}, checks={"off": ["readings"]})
    assert not any(each.failed for each in left_out.findings)
