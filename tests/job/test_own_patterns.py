"""A shop's own patterns and past jobs, found wherever the published rows are."""

import math
from pathlib import Path

import pytest

from flangelayout.checks.finding import Result
from flangelayout.checks.rule import Rule
from flangelayout.cli import run
from flangelayout.flange.claims import met_rows
from flangelayout.job.load import job_from_data, load_job, load_survey
from flangelayout.job.past import past_jobs
from flangelayout.job.shop import Shop, load_shop
from flangelayout.provenance import Family
from flangelayout.standards.own import own_table
from flangelayout.survey import Kind, Reading, measure, measure_input
from flangelayout.survey.candidates import Verdict
from flangelayout.value import replace
from flangelayout.web.content.lookup import looked_up
from flangelayout.web.content.page import Page
from flangelayout.web.form.state import State
from flangelayout.web.serving.actions import apply
from jobs import job_data

PATTERNS = """\
# unit: mm
name,bolt_circle,holes,hole,outside,bolt,source,note
hatchery screen hub,178,6,13,210,M12,old screen,keyway up
"""
NAME = "hatchery screen hub"
SHOP = replace(Shop(), patterns=(own_table(PATTERNS, "patterns.csv"),))
BY_NAME = f'[plate]\nstandard = "{NAME}"\nthickness = 10\n[[bolt_circle]]\nstandard = "{NAME}"\n'
# Six holes: the neighbor chord is half the circle (a hexagon), three pitches are the circle itself.
BY_READINGS = """\
[plate]
outside_diameter = 210
thickness = 10
[[bolt_circle]]
diameter = "nearest standard"
[survey]
hole_count = 6
[[survey.reading]]
kind = "same-edges"
value = 89.0
[[survey.reading]]
kind = "same-edges"
value = 178.0
pitches = 3
[[survey.reading]]
kind = "hole-diameter"
value = 13.0
"""


def written(folder: Path, text: str, patterns: str = PATTERNS) -> Path:
    (folder / "patterns.csv").write_text(patterns, encoding="utf-8")
    path = folder / "S-1.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("text", [BY_NAME, BY_READINGS])
def test_a_job_takes_a_pattern_that_stands_beside_it(tmp_path: Path, text: str) -> None:
    flange = load_job(written(tmp_path, text)).flange
    (circle,) = flange.bolt_circles
    assert (circle.diameter, circle.hole_count, circle.hole_diameter) == (178.0, 6, 13.0)
    assert [row.designation for row in met_rows(circle)] == [NAME]
    assert load_survey(tmp_path / "S-1.toml") is None or text is BY_READINGS


def test_a_pattern_that_changes_changes_the_digest_of_the_jobs_that_take_it(tmp_path: Path) -> None:
    digest = load_job(written(tmp_path, BY_NAME)).digest
    assert load_job(written(tmp_path, BY_NAME, PATTERNS + "other hub,200,8,14,240,M12,,\n")).digest == digest
    assert load_job(written(tmp_path, BY_NAME, PATTERNS.replace(",13,", ",14,"))).digest != digest
    assert load_job(written(tmp_path, BY_NAME, PATTERNS.replace(",210,", ",212,"))).digest != digest


def test_the_survey_of_a_job_weighs_them_and_its_own_keys_decide(tmp_path: Path) -> None:
    keys = 'hole_count = 6\nfamily = "shop pattern"\nhome_made = 0.4\nhole_scatter = 0.8\n'
    path = written(tmp_path, BY_READINGS.replace("hole_count = 6\n", keys))
    taken = load_survey(path)
    assert taken is not None
    assert (taken.assume.family, taken.assume.home_made) == (Family.SHOP_PATTERN, 0.4)
    assert (taken.assume.allow.along, taken.assume.allow.across) == (0.4, 0.4)
    survey = measure_input(taken)
    assert survey.candidates[0].pattern.designation == NAME


def test_readings_of_one_picture_share_its_scale(tmp_path: Path) -> None:
    scaled = BY_READINGS.replace("value = 89.0", 'value = 89.0\nscale = "photo 1"').replace(
        "hole_count = 6", "hole_count = 6\nscale_within = 0.5"
    )
    taken = load_survey(written(tmp_path, scaled))
    assert taken is not None
    first, second, *_ = taken.readings
    assert first.scale is not None
    assert (first.scale.name, first.scale.within) == ("photo 1", 0.005)
    assert second.scale is None


def test_a_mate_and_the_settings_folder(tmp_path: Path) -> None:
    (tmp_path / "patterns.csv").write_text(PATTERNS, encoding="utf-8")
    plate = {"outside_diameter": 210, "thickness": 10}
    circle = {"diameter": 178.0, "hole_count": 6, "hole_diameter": 13, "bolt": "M12", "mates_with": NAME}
    data = job_data(plate=plate, bolt_circle=[circle])
    for shop, result in ((SHOP, Result.PASSED), (Shop(), Result.NOT_RUN)):
        findings = job_from_data(data, shop=shop).findings
        assert [finding.result for finding in findings if finding.rule is Rule.MATE_BOLTS] == [result]
    assert load_shop(tmp_path).patterns[0].patterns[0].designation == NAME


def test_the_page_finds_them() -> None:
    assert looked_up("screen hub", State().unit, SHOP.patterns).rows[0].designation == NAME
    used, _ = apply(State(), f"use:{NAME}", SHOP.patterns)
    page = Page(used, shop=SHOP)
    assert page.notes["bolt_circle.1.diameter"].text == f"178 mm from {NAME}"
    assert page.checked.job is not None
    assert page.checked.job.flange.bolt_circles[0].hole_count == 6


def test_sizes_find_them(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    written(tmp_path, BY_NAME)
    monkeypatch.chdir(tmp_path)
    assert run(["standards", "6x178"]) == 0
    assert NAME in capsys.readouterr().out
    assert run(["measure", "--expect", NAME]) == 0
    assert "89.00" in capsys.readouterr().out
    assert run(["measure", "--holes", "6", "--same-edges", "89.0", "178@3", "--hole-diameter", "13"]) == 0
    assert NAME in capsys.readouterr().out


def test_a_past_job_is_a_candidate_and_is_told_by_its_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    circle = "[[bolt_circle]]\ndiameter = 251.3\nhole_count = 7\nhole_diameter = 17\n"
    odd = f'[job]\nnumber = "MB-117"\n[plate]\noutside_diameter = 300\n{circle}'
    (tmp_path / "a.toml").write_text(odd, encoding="utf-8")
    (tmp_path / "broken.toml").write_text("[plate]\n", encoding="utf-8")
    past = past_jobs(tmp_path)
    assert [row.designation for row in past.patterns] == ["MB-117"]
    assert [path.name for path in past.unread] == ["broken.toml"]
    chord = 251.3 * math.sin(math.pi / 7)
    readings = [Reading(Kind.SAME_EDGES, chord), Reading(Kind.SAME_EDGES, 251.3 * math.sin(3 * math.pi / 7), pitches=3)]
    assert measure(readings, 7).verdict is Verdict.NONE
    assert measure(readings, 7, own=past.patterns).ties[0].pattern.designation == "MB-117"
    monkeypatch.chdir(tmp_path)
    assert run(["measure", "--holes", "7", "--same-edges", f"{chord:.2f}", "245.0@3", "--past", "."]) == 0
    told = capsys.readouterr()
    assert "you drilled this as MB-117 (a.toml)" in told.out
    assert told.err == "1 job file of . cannot be read and took no part\n"


def test_one_row_of_a_shop_does_not_outweigh_the_published_ones() -> None:
    # A made-up row on the very circle of EN 1092-1 PN16 DN150 (240 mm, 8 x 22), which is met every day.
    own = own_table("# unit: mm\nname,bolt_circle,holes,hole\nodd ring,240,8,22\n", "patterns.csv").patterns
    readings = [Reading(Kind.SAME_EDGES, 240.0, pitches=4), Reading(Kind.OUTSIDE_DIAMETER, 285.0)]
    chances = {each.pattern.designation: each.probability for each in measure(readings, 8, own=own).candidates}
    assert 0.02 < chances["odd ring"] < 0.75
    assert chances["EN 1092-1 PN16 DN150"] > 0.1
