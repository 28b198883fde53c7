"""What joined paper holds: hand-worked figures on both sides of the limit, and no cry where paper serves."""

from pathlib import Path

import pytest

from flangelayout.checks import Rule
from flangelayout.checks.cut_facts import PaperCannotHold
from flangelayout.checks.plate.paper import check_paper, paper_error
from flangelayout.cli import run
from flangelayout.flange import Flange, Tolerances
from flangelayout.job.load import load_job
from flangelayout.views.words.findings import finding_text
from jobs import bolt_circle, flange, job_data, make_job, toml_text
from rows import every_row

ROOT = Path(__file__).parents[3]
RING = {"outside_diameter": 3000, "bore": 2700}
CIRCLE = {"diameter": 2900, "hole_count": 64, "hole_diameter": 33}


def told(plate: Flange, paper: str = "A4") -> list[PaperCannotHold]:
    found = list(check_paper(plate, paper, 12.0, 10.0))
    assert all(each.rule is Rule.TEMPLATE_PAPER for each in found)
    return [each.facts for each in found if isinstance(each.facts, PaperCannotHold)]


def test_errors_add_as_squares() -> None:
    # 340 mm: a caliper's 0.1 on 140 mm is 0.243 on 340, less than the 0.25 of a rule; one joint of 0.15.
    assert paper_error(340.0, 1) == pytest.approx((0.2429**2 + 0.15**2) ** 0.5, abs=1e-4)
    # 800 mm: a rule read to 0.25 right across is better than a caliper's 0.57; four joints.
    assert paper_error(800.0, 4) == pytest.approx((0.25**2 + 4 * 0.15**2) ** 0.5)
    # 2900 mm: a tape of class II is off by 0.3 + 3 x 0.2 and read to 0.5; seventeen joints.
    assert paper_error(2900.0, 17) == pytest.approx((0.9**2 + 0.5**2 + 17 * 0.15**2) ** 0.5)


def test_a_wide_circle_with_a_close_tolerance_is_told_and_with_a_wide_one_not() -> None:
    large = bolt_circle(64, 2900.0, 33.0)
    (facts,) = told(flange(large, outside_diameter=3000.0, bore=2700.0, tolerances=Tolerances(chord=0.5)))
    # A4 shows 210 - 24 - 10 = 176 mm and shares 10: (2900 - 176) / 166 = 16.4.
    assert facts.joints == 17
    assert facts.error == pytest.approx(1.2, abs=0.01)
    assert (facts.tolerance, facts.sector, facts.strips) == (0.5, True, True)
    assert told(flange(large, outside_diameter=3000.0, tolerances=Tolerances(bolt_circle=1.5))) == []
    assert told(flange(large, outside_diameter=3000.0)) == []


def test_small_plates_cry_no_wolf() -> None:
    assert told(flange(tolerances=Tolerances(bolt_circle=0.3))) == []
    (facts,) = told(flange(tolerances=Tolerances(bolt_circle=0.2)))
    assert facts.joints == 1
    assert told(flange(bolt_circle(4, 120.0, 14.0), tolerances=Tolerances(bolt_circle=0.05))) == []


@every_row("path", sorted((ROOT / "templates").glob("*.toml")))
def test_no_starter_is_told_of(path: Path) -> None:
    assert not [each for each in load_job(path).findings if each.rule is Rule.TEMPLATE_PAPER]


def test_other_kinds_of_template_are_not_told_of() -> None:
    for template in ({"style": "sector"}, {"style": "strips"}, {"paper": "one sheet"}):
        job = make_job(plate=RING, bolt_circle=[CIRCLE], tolerances={"chord": 0.5}, template=template)
        assert not [each for each in job.findings if each.rule is Rule.TEMPLATE_PAPER]


def test_what_else_there_is_is_offered_before_a_page_is_made(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = make_job(plate=RING, bolt_circle=[CIRCLE], tolerances={"chord": 0.5})
    (finding,) = (each for each in job.findings if each.rule is Rule.TEMPLATE_PAPER)
    said = finding_text(job.flange, finding, job.unit)
    assert "joined at 17 seams across 2900 mm hold ±1.20 mm at best, not the ±0.50 mm" in said
    assert "print a sector or strips, step the chords on the plate, or set the holes on a machine" in said
    path = tmp_path / "R.toml"
    small = {"diameter": 240, "hole_count": 8, "hole_diameter": 22}
    path.write_text(toml_text(job_data(bolt_circle=[small], tolerances={"bolt_circle": 0.2})), encoding="utf-8")
    assert run(["draw", str(path), "--only", "template", "--into", str(tmp_path)]) == 0
    assert "note: template: sheets of A4 joined at 1 seam" in capsys.readouterr().err
    assert run(["draw", str(path), "--only", "cut", "--into", str(tmp_path)]) == 0
    assert "joined" not in capsys.readouterr().err
