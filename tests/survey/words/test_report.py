import json
import math
import re

import pytest

from flangelayout.survey import Kind, Reading, SurveyInput, measure, measure_input
from flangelayout.survey.words.report import survey_data
from flangelayout.survey.words.wording import survey_lines
from flangelayout.units import Unit
from rows import every_row

READINGS = (Reading(Kind.SAME_EDGES, 91.84, 1, 2, within=0.3), Reading(Kind.SAME_EDGES, 69.84, 2, 3, within=0.3))


def test_keys_of_the_document() -> None:
    data = json.loads(json.dumps(survey_data(measure([READINGS[0]], 8))))
    assert list(data) == [
        "hole_count",
        "diameter",
        "standard_uncertainty",
        "expanded_uncertainty",
        "coverage_factor",
        "band_holds",
        "band_reason",
        "hole_angles",
        "readings",
        "candidates",
        "verdict",
        "outside",
        "other_counts",
        "other_unit",
        "next_reading",
    ]
    assert list(data["readings"][0]) == [
        "from",
        "to",
        "pitches",
        "kind",
        "value",
        "expected",
        "residual",
        "suspect",
        "explanation",
    ]
    assert list(data["candidates"][0]) == [
        "standard",
        "designation",
        "diameter",
        "hole_count",
        "hole_diameter",
        "difference",
        "probability",
        "chord",
    ]
    assert list(data["next_reading"]) == ["kind", "pitches", "expected", "why"]


def test_values_of_the_document() -> None:
    data = survey_data(measure([READINGS[0]], 8))
    assert data["diameter"] == pytest.approx(91.84 / 0.382683, rel=1e-5)  # handbook table of chords, 8 divisions
    assert data["expanded_uncertainty"] == pytest.approx(2 * data["standard_uncertainty"])
    assert data["coverage_factor"] == 2
    assert data["verdict"] == "several"
    circle = data["candidates"][0]["diameter"]
    assert data["candidates"][0]["chord"] == pytest.approx(circle * math.sin(math.pi / 8))
    assert data["next_reading"]["kind"] == "outside-diameter"


def test_suspects_are_marked_with_their_explanation() -> None:
    data = survey_data(measure(READINGS, 8, hole_diameter=22.0, set_aside=()))
    assert any(reading["suspect"] and reading["explanation"] for reading in data["readings"])


def test_reading_set_aside_says_so() -> None:
    data = survey_data(measure(READINGS, 8, set_aside=[1]))
    assert data["readings"][1]["suspect"]
    assert "set aside" in data["readings"][1]["explanation"]
    assert data["diameter"] == pytest.approx(240, abs=0.05)


def test_survey_of_a_job_gives_the_same_result() -> None:
    direct = measure(READINGS[:1], 8, hole_diameter=22.0, drilling_tolerance=0.2)
    assert survey_data(measure_input(SurveyInput(READINGS[:1], 8, 22.0, 0.2))) == survey_data(direct)


def test_lines_lead_with_the_answer() -> None:
    lines = survey_lines(measure(READINGS[:1], 8))
    assert re.fullmatch(r"Bolt circle 239\.99 ± \d\.\d\d mm, 8 holes", lines[0])
    assert "this part's own holes" in lines[1]
    assert any(line.startswith("Verdict: several") for line in lines)
    assert any(line.startswith("Measure next: outside diameter") for line in lines)


def test_lines_in_inches() -> None:
    lines = survey_lines(measure(READINGS[:1], 8), Unit.IN)
    assert re.fullmatch(r"Bolt circle 9\.448 ± 0\.0\d\d in, 8 holes", lines[0])


def test_lines_say_when_readings_disagree() -> None:
    text = "\n".join(survey_lines(measure(READINGS, 8, hole_diameter=22.0)))
    assert "THE READINGS DISAGREE" in text
    assert "the circle above takes all as read" in text


def test_no_band_is_printed_where_none_holds() -> None:
    survey = measure([Reading(Kind.SAME_EDGES, value) for value in (91.84, 91.84, 97.9)], 8)
    data, lines = survey_data(survey), survey_lines(survey)
    assert (data["band_holds"], data["standard_uncertainty"], data["expanded_uncertainty"]) == (False, None, None)
    assert data["band_reason"]
    assert lines[0] == "Bolt circle 245.27 mm, 8 holes"


@every_row("readings", [READINGS, READINGS[:1]])
def test_lines_speak_no_command_line_and_no_statistics(readings: tuple[Reading, ...]) -> None:
    text = "\n".join(survey_lines(measure(readings, 8, hole_diameter=22.0)))
    for word in ("--", "chi", "k = 2", "in u", "over 1"):
        assert word not in text


def test_nothing_is_said_of_the_tables_while_readings_disagree() -> None:
    survey = measure([Reading(Kind.SAME_EDGES, value) for value in (91.84, 91.84, 97.9)], 8)
    data, text = survey_data(survey), "\n".join(survey_lines(survey))
    assert (data["verdict"], data["candidates"], data["outside"]) == ("open", [], None)
    assert "Verdict: none given, the readings disagree" in text
    assert "EN 1092-1" not in text


def test_another_hole_count_names_rows_with_their_own_circles() -> None:
    """12 holes whose neighbors are 82.82 apart lie on 320 mm; ASME B16.5 Class 900 NPS 6 is on 12 1/2 in, 317.5."""
    text = "\n".join(survey_lines(measure([Reading(Kind.SAME_EDGES, 82.82)] * 3, 11)))
    assert re.search(
        r"with 12 holes the circle would be (319\.9|320\.0)\d mm, in reach of .*EN 1092-1 PN40 DN200 \(320\)", text
    )
    assert "ASME B16.5 Class 900 NPS 6 (317.5)" in text
    assert "either" not in text


def test_every_row_of_the_verdict_has_its_line() -> None:
    survey = measure([Reading(Kind.CENTERS, 234.95, pitches=4, within=0.1)] * 3, 8, drilling_tolerance=0.2)
    text = "\n".join(survey_lines(survey))
    assert len(survey.ties) > 10
    assert all(candidate.pattern.designation in text for candidate in survey.ties)
    assert f"{len(survey.ties)} rows of the tables: " in text
