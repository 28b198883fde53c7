"""Numbers that are likely meant in the other unit are told."""

from pathlib import Path
from typing import Any

import pytest

from flangelayout.checks.rule import Rule
from flangelayout.cli import run
from flangelayout.job import Job
from jobs import job_data, make_job, toml_text
from rows import every_row

CIRCLE = {"diameter": 240, "hole_count": 8, "hole_diameter": 22}


def doubted(job: Job) -> list[str]:
    found = [finding for finding in job.findings if finding.rule is Rule.UNIT_MEANT]
    assert all(finding.failed for finding in found)
    return [finding.place.key for finding in found]


@every_row(
    ("tables", "keys"),
    [
        ({"plate": {"outside_diameter": 285, "bore": "6 3/4", "thickness": 22}}, ["plate.bore"]),
        ({"bolt_circle": [{**CIRCLE, "hole_diameter": "7/8"}]}, ["bolt_circle.hole_diameter"]),
        (
            {
                "bolt_circle": [
                    {**CIRCLE, "hole_diameter": "7/8"},
                    {**CIRCLE, "diameter": "210 1/2", "hole_diameter": 1},
                ]
            },
            ["bolt_circle[1].hole_diameter", "bolt_circle[2].diameter"],
        ),
        ({"cut": {"kerf": "1/16"}}, ["cut.kerf"]),
    ],
)
def test_a_fraction_without_a_unit_in_a_job_in_mm_is_asked_about(tables: dict[str, Any], keys: list[str]) -> None:
    assert doubted(make_job(units="mm", **tables)) == keys
    assert doubted(make_job(**tables)) == keys


@every_row("bore", ["6 3/4 in", '6 3/4"', 170, "170.5", "170 mm"])
def test_a_fraction_that_says_inches_and_a_plain_number_are_not(bore: object) -> None:
    assert doubted(make_job(plate={"outside_diameter": 285, "bore": bore, "thickness": 22})) == []


def test_fractions_are_what_a_job_in_inches_is_written_in() -> None:
    circle = {"diameter": "9 1/2", "hole_count": 8, "hole_diameter": "7/8"}
    job = make_job(units="in", plate={"outside_diameter": "11", "bore": "6 3/4", "thickness": 1}, bolt_circle=[circle])
    assert doubted(job) == []


def test_a_circle_that_is_a_published_one_in_the_other_unit_is_asked_about() -> None:
    """EN 1092-1 PN10 DN100 has 8 holes on 180 mm, ASME B16.5 class 150 NPS 8 on 11 3/4 in; no table has 180 in."""
    plate = {"outside_diameter": 220, "thickness": 1}
    circle = {"diameter": 180, "hole_count": 8, "hole_diameter": 18}
    assert doubted(make_job(units="in", plate=plate, bolt_circle=[circle])) == ["bolt_circle.diameter"]
    assert doubted(make_job(units="mm", plate=plate, bolt_circle=[circle])) == []
    said = {**circle, "diameter": "180 in"}
    assert doubted(make_job(units="in", plate=plate, bolt_circle=[said])) == []
    small = {"diameter": 11.75, "hole_count": 8, "hole_diameter": 0.875}
    assert doubted(make_job(units="mm", plate={"outside_diameter": 13.5}, bolt_circle=[small])) == [
        "bolt_circle.diameter"
    ]


def test_a_circle_of_its_own_is_no_matter() -> None:
    """101.3 is in no table in either unit."""
    circle = {"diameter": 101.3, "hole_count": 7, "hole_diameter": 6}
    for unit in ("mm", "in"):
        assert doubted(make_job(units=unit, plate={"outside_diameter": 130}, bolt_circle=[circle])) == []


def test_draw_and_check_tell_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "job.toml"
    path.write_text(toml_text(job_data(cut={"kerf": "1/16"})), encoding="utf-8")
    words = '"1/16" is a fraction of a millimeter in a job in mm; write "1/16 in" if inches are meant'
    assert run(["draw", str(path), "--only", "holes"]) == 1
    assert words in capsys.readouterr().out
    assert run(["check", str(path)]) == 1
    assert words in capsys.readouterr().out
