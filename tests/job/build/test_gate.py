"""Whether a job may be cut by its readings; the readings are made here, from holes whose places are known."""

import math
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from flangelayout import load_job
from flangelayout.checks import Result, Rule
from flangelayout.cli import run
from flangelayout.errors import InputError, SurveyError
from flangelayout.flange.claims import met_rows
from flangelayout.flange.origin import Doubt, Measured
from flangelayout.job.build.readings import survey_input
from flangelayout.job.load import examine_job
from flangelayout.job.schema.job_file import JobFile
from flangelayout.survey import Kind
from flangelayout.survey.survey import measure_input
from flangelayout.views.words.origins import found_line, warnings
from jobs import job_data, make_job, toml_text
from rows import every_row

EVEN = tuple(45.0 * index for index in range(8))
ODD = (0.0, 50.0, 180.0, 230.0)
PAIRS = ((1, 2), (2, 3), (3, 4), (4, 1), (1, 3), (2, 4))


def chords(diameter: float, angles: Sequence[float], pairs: Sequence[tuple[int, int]]) -> list[dict[str, Any]]:
    """What a caliper reads from center to center, to a hundredth of a mm."""
    turns = [math.radians(angles[b - 1] - angles[a - 1]) / 2 for a, b in pairs]
    values = [round(diameter * abs(math.sin(turn)), 2) for turn in turns]
    return [
        {"from": a, "to": b, "kind": "centers", "value": value} for (a, b), value in zip(pairs, values, strict=True)
    ]


def surveyed(
    readings: list[dict[str, Any]],
    diameter: object = "measured",
    survey: dict[str, Any] | None = None,
    **circle: object,
) -> dict[str, Any]:
    """The tables of a job whose bolt circle comes from readings, unless a number is written."""
    asked = {"diameter": diameter, "hole_count": 8, "hole_diameter": 22} | circle
    return job_data(bolt_circle=[asked], survey={"reading": readings} | (survey or {}))


CONTRADICTING = [*chords(240.0, EVEN, [(1, 2), (2, 3)]), {"from": 3, "to": 4, "kind": "centers", "value": 97.9}]
"""The neighbors of 8 holes on 240 mm are 91.84 apart (240 sin 22.5 degrees); the third reading is 6 mm too long."""
UNEVEN = surveyed(chords(36.0, ODD, PAIRS), hole_count=4, hole_diameter=5.5) | {"plate": {"outside_diameter": 60}}


@pytest.mark.parametrize("wanted", ["measured", "nearest standard"])
def test_readings_that_contradict_each_other_stop_the_draw_and_name_the_line(
    wanted: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "job.toml"
    text = toml_text(surveyed(CONTRADICTING, wanted))
    path.write_text(text.replace("\n[survey]", "\n\n[survey]"), encoding="utf-8")
    assert run(["draw", str(path)]) == 1
    assert [each.name for each in tmp_path.iterdir()] == ["job.toml"]
    out, err = capsys.readouterr()
    assert out == ""
    first = next(line for line in err.splitlines() if "contradict each other" in line)
    assert re.search(r"job\.toml: line \d+: survey\.reading\[3\]: ", first)
    assert "used anyway" in first
    assert re.search(r"survey\.reading\[3\]: is suspect: 6\.0\d mm off", err)


def test_readings_that_are_used_anyway_are_drawn_without_a_band_and_said_to_be() -> None:
    job = make_job(**surveyed(CONTRADICTING, survey={"use_anyway": True}))
    (circle,) = job.flange.bolt_circles
    assert isinstance(circle.origin, Measured)
    assert circle.origin.band is None
    assert Doubt.DISAGREE in circle.origin.doubts
    assert "±" not in found_line(job.flange, job.unit)
    (warning,) = warnings(job.flange, job.unit)
    assert warning.startswith("Bolt circle: READINGS USED ANYWAY: they contradict each other")


def test_sound_readings_need_no_leave_and_have_no_doubts() -> None:
    sound = chords(262.0, EVEN, [(1, 2), (2, 3), (1, 4), (1, 5)])
    for anyway in (False, True):
        job = make_job(**surveyed(sound, survey={"use_anyway": anyway}))
        (circle,) = job.flange.bolt_circles
        assert isinstance(circle.origin, Measured)
        assert circle.origin.doubts == ()
        assert circle.diameter == pytest.approx(262.0, abs=0.02)
        assert warnings(job.flange, job.unit) == ()


def test_readings_of_several_published_drillings_are_told_where_they_are_drilled_as_measured() -> None:
    """EN 1092-1 PN16 DN150 is 240 mm, ASME B16.5 Class 150 NPS 6 is 241.3."""
    job = make_job(**surveyed(chords(240.6, EVEN, [(1, 2), (2, 3)])))
    (circle,) = job.flange.bolt_circles
    assert isinstance(circle.origin, Measured)
    assert circle.origin.doubts == (Doubt.UNDECIDED,)
    (warning,) = warnings(job.flange, job.unit)
    assert warning.endswith("is not decided, and it is drilled as measured")


@every_row("wanted", ["measured", "nearest standard"])
def test_unequal_holes_are_not_drawn_as_equal_ones(wanted: str) -> None:
    with pytest.raises(SurveyError, match=r"not equally spaced: they stand at 0\.0\d°, (49|50)\.\d\d°"):
        make_job(**(UNEVEN | {"bolt_circle": [UNEVEN["bolt_circle"][0] | {"diameter": wanted}]}))


def test_unequal_holes_are_drawn_as_they_were_measured_where_the_job_asks_for_it() -> None:
    asked = [UNEVEN["bolt_circle"][0] | {"spacing": "measured", "start_angle": 10}]
    job = make_job(**(UNEVEN | {"bolt_circle": asked}))
    (circle,) = job.flange.bolt_circles
    assert circle.diameter == pytest.approx(36.0, abs=0.02)
    assert circle.hole_angles() == pytest.approx([angle + 10.0 for angle in ODD], abs=0.1)
    assert isinstance(circle.origin, Measured)
    assert circle.origin.angles == circle.angles
    assert not met_rows(circle)


def test_a_measured_spacing_needs_a_measured_circle() -> None:
    with pytest.raises(InputError, match=r"bolt_circle\.spacing: is of the readings"):
        make_job(**surveyed(chords(240.0, EVEN, [(1, 2), (1, 5)]), 240, spacing="measured"))


def test_one_drilling_of_several_rows_names_them_all_with_its_own_hole() -> None:
    """EN 1092-1 PN10 and PN16 DN100 are both 8 holes of 18 on 180 (maker's sheet of connecting dimensions)."""
    readings = [*chords(180.0, EVEN, [(1, 2), (2, 3), (1, 4), (1, 5)]), {"kind": "outside-diameter", "value": 220.0}]
    data = surveyed(readings, "nearest standard") | {"plate": {"outside_diameter": 220, "bore": 100}}
    del data["bolt_circle"][0]["hole_diameter"]
    job = make_job(**data)
    (circle,) = job.flange.bolt_circles
    assert (circle.diameter, circle.hole_count) == (180.0, 8)
    names = {row.designation for row in met_rows(circle)}
    assert {"EN 1092-1 PN10 DN100", "EN 1092-1 PN16 DN100"} <= names
    line = found_line(job.flange, job.unit)
    assert line.startswith("8 holes of 18 on 180 mm as ")
    assert all(name in line for name in names)


@pytest.mark.parametrize(("drawn", "result"), [(240.0, Result.PASSED), (241.3, Result.FAILED)])
def test_a_circle_that_was_written_is_held_against_the_readings(drawn: float, result: Result, tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text(toml_text(surveyed(chords(240.0, EVEN, [(1, 2), (2, 3), (1, 4), (1, 5)]), drawn)), encoding="utf-8")
    (found,) = (each for each in examine_job(path).findings if each.rule is Rule.READINGS)
    assert found.result is result
    assert found.value == drawn
    assert found.limit is not None
    assert found.limit.value == pytest.approx(240.0, abs=0.02)
    assert run(["check", str(path)]) == (1 if result is Result.FAILED else 0)


def test_contradicting_readings_hold_nothing_against_a_written_circle(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text(toml_text(surveyed(CONTRADICTING, 240)), encoding="utf-8")
    (found,) = (each for each in examine_job(path).findings if each.rule is Rule.READINGS)
    assert found.result is Result.NOT_RUN
    assert load_job(path).flange.bolt_circles[0].diameter == 240.0


def test_the_survey_takes_the_hole_that_the_job_writes() -> None:
    def holes(**survey: object) -> list[tuple[float, bool]]:
        data = surveyed(chords(240.0, EVEN, [(1, 2)]), survey=survey)
        found = survey_input(JobFile.model_validate(data))
        assert found is not None
        readings = measure_input(found).readings
        return [(each.value, each.is_drawn) for each in readings if each.kind is Kind.HOLE_DIAMETER]

    assert holes() == [(22.0, True)]
    assert holes(hole_diameter=22.1) == [(22.1, False)]
    chord = {"kind": "centers", "value": 91.8}
    assert holes(reading=[chord, {"kind": "hole-diameter", "value": 22.3}]) == [(22.3, False)]


ASME_300_NPS_5 = [*chords(234.95, EVEN, [(n, n % 8 + 1) for n in range(1, 9)]), *chords(234.95, EVEN, [(1, 5), (3, 7)])]
"""ASME B16.5 Class 300 NPS 5: 8 holes of 7/8 in on 9 1/4 in. AS 2129 Table E DN150 has holes of 22 on 235 mm."""


def test_a_written_hole_decides_among_rows_that_share_a_circle() -> None:
    job = make_job(**surveyed(ASME_300_NPS_5, "nearest standard", hole_diameter=22.225))
    (circle,) = job.flange.bolt_circles
    names = {row.designation for row in met_rows(circle)}
    assert {"ASME B16.5 Class 300 NPS 5", "ASME B16.1 Class 250 NPS 5", "AWWA C207 Class F NPS 5"} == names
    assert circle.diameter == pytest.approx(234.95)
    assert warnings(job.flange, job.unit) == ()


def test_a_row_without_a_hole_is_not_named_where_another_has_the_hole_written() -> None:
    """ASME B16.5 Class 2500 NPS 1 1/2: 4 holes of 1 1/4 in on 5 3/4 in; a chainring with 4 holes on 146 has no hole."""
    four = (0.0, 90.0, 180.0, 270.0)
    readings = chords(146.05, four, PAIRS)
    data = surveyed(readings, "nearest standard", hole_count=4, hole_diameter=31.75)
    job = make_job(**(data | {"plate": {"outside_diameter": 203.2, "thickness": 22}}))
    (circle,) = job.flange.bolt_circles
    assert [row.designation for row in met_rows(circle)] == ["ASME B16.5 Class 2500 NPS 1 1/2"]
    assert "chainring" not in found_line(job.flange, job.unit)


def test_a_hole_of_none_of_the_rows_is_asked_about() -> None:
    with pytest.raises(SurveyError, match=r"^bolt_circle\.hole_diameter: .*other holes than 20\.50 mm") as refused:
        make_job(**surveyed(ASME_300_NPS_5, "nearest standard", hole_diameter=20.5))
    assert "ASME B16.5 Class 300 NPS 5" in str(refused.value)


@every_row("anyway", [False, True])
def test_no_standard_is_named_from_readings_that_contradict_each_other(anyway: bool) -> None:
    with pytest.raises(SurveyError, match=r"cannot be told while the readings contradict each other"):
        make_job(**surveyed(CONTRADICTING, "nearest standard", survey={"use_anyway": anyway}))


def test_the_command_line_names_the_key_that_lets_readings_be_used_anyway(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "job.toml"
    path.write_text(toml_text(surveyed(CONTRADICTING)), encoding="utf-8")
    assert run(["draw", str(path)]) == 1
    assert "survey.use_anyway = true" in capsys.readouterr().err
    data = surveyed(CONTRADICTING, survey={"use_anyway": True})
    path.write_text(toml_text(data), encoding="utf-8")
    assert run(["draw", str(path), "--only", "holes"]) == 0


def test_a_hole_that_only_a_less_likely_row_has_is_asked_about() -> None:
    """BS 10 Table E DN250 has 12 holes of 22.2 on 355.6 mm; AS 2129 Table E DN250, in use today, 22 on 356 mm."""
    twelve = tuple(30.0 * index for index in range(12))
    pairs = [*((n, n % 12 + 1) for n in range(1, 13)), (1, 7), (3, 9), (5, 11)]
    pipe = {"family": "pipe flange"}
    data = surveyed(chords(355.6, twelve, pairs), "nearest standard", pipe, hole_count=12, hole_diameter=22.2)
    with pytest.raises(SurveyError, match=r"BS 10 Table E DN250, whose circle .* but that of AS 2129 Table E DN250"):
        make_job(**(data | {"plate": {"outside_diameter": 406.4, "thickness": 22}}))
