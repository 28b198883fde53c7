"""What is told about a cut file and a drilling program before they run."""

from typing import Any

import pytest

from checking import said
from flangelayout.checks import Finding, Result, Rule, check_cutting, check_drill_depth
from flangelayout.flange import Dowel, Drilling, Flange, SingleHole
from flangelayout.flange.cutting import CutOptions, CutProcess, HoleCut, Mark, SmallestHole
from flangelayout.geometry.shapes import Point
from flangelayout.standards.shop import smallest_hole
from flangelayout.units import Unit
from jobs import bolt_circle, flange

PLASMA: dict[str, Any] = {"process": CutProcess.PLASMA, "smallest": smallest_hole(CutProcess.PLASMA)}


def all_found(plate: Flange, number: str = "T-1", **options: Any) -> tuple[Finding, ...]:  # noqa: ANN401 # the fields of CutOptions
    return check_cutting(plate, CutOptions(**options), number)


def found(plate: Flange, number: str = "T-1", **options: Any) -> tuple[Finding, ...]:  # noqa: ANN401 # the fields of CutOptions
    return tuple(each for each in all_found(plate, number, **options) if each.is_remark)


def test_a_job_that_asks_for_nothing_finds_nothing() -> None:
    assert found(flange(thickness=22.0)) == ()


def test_holes_below_the_limit_are_told_with_numbers_and_origin() -> None:
    plate = flange(thickness=22.0)
    (finding,) = found(plate, **PLASMA)
    assert finding.failed
    assert finding.limit is not None
    assert (finding.value, finding.limit.value, finding.limit.share) == (22.0, 33.0, 1.5)
    text = said(plate, finding)
    assert "bolt circle: 8 x 22 mm is smaller than plasma cuts well, 33 mm (1.5 x thickness, one source only" in text


@pytest.mark.parametrize("thickness", [14.0, 22.0 / 1.5])
def test_holes_at_or_above_the_limit_pass(thickness: float) -> None:
    assert found(flange(thickness=thickness), **PLASMA) == ()
    (passed,) = all_found(flange(thickness=thickness), **PLASMA)
    assert (passed.rule, passed.result, passed.value) == (Rule.SMALLEST_CUT_HOLE, Result.PASSED, 22.0)


def test_a_hole_just_below_the_limit_does_not_pass() -> None:
    assert found(flange(thickness=14.67), **PLASMA)


def test_numbers_stand_in_the_unit_of_the_job() -> None:
    plate = flange(bolt_circle(hole_diameter=22.225), thickness=25.4)
    (finding,) = found(plate, **PLASMA)
    assert "8 x 7/8 in is smaller than plasma cuts well, 1 1/2 in" in said(plate, finding, Unit.IN)


def test_what_is_done_about_small_holes_is_noted() -> None:
    under = found(flange(thickness=22.0), small_holes=HoleCut.UNDERSIZE, undersize=3.0, **PLASMA)
    marked = found(flange(thickness=22.0), small_holes=HoleCut.CENTER_MARK, **PLASMA)
    assert [(each.rule, each.result) for each in (*under, *marked)] == [
        (Rule.CUT_UNDERSIZE, Result.NOTED),
        (Rule.CUT_CENTER_MARK, Result.NOTED),
    ]
    assert "bolt circle: 8 x 22 mm cut undersize at 19 mm; drill to size" in said(flange(), under[0])
    assert "bolt circle: 8 x 22 mm not cut, centers marked; drill them" in said(flange(), marked[0])


def test_groups_are_told_apart() -> None:
    plate = flange(bolt_circle(), bolt_circle(diameter=190.0, hole_diameter=40.0), thickness=22.0)
    (finding,) = found(plate, **PLASMA)
    assert said(plate, finding).startswith("bolt circle A: 8 x 22 mm")


def test_a_hole_that_is_never_cut_is_not_found_too_small() -> None:
    plate = flange(bolt_circle(hole_diameter=40.0), thickness=22.0, single_holes=(
        SingleHole(Point(0.0, 0.0), Drilling(8.0, kind=Dowel("H7"))),))  # fmt: skip
    assert found(plate, **PLASMA) == ()


def test_a_missing_thickness_is_asked_for() -> None:
    (finding,) = all_found(flange(), **PLASMA)
    assert (finding.result, finding.place.key) == (Result.NOT_RUN, "plate.thickness")


def test_kerf_and_leads_are_told_so_that_the_controller_does_not_add_its_own() -> None:
    notes = found(flange(thickness=22.0), kerf=2.0, lead_in=5.0, lead_out=3.0)
    assert [note.rule for note in notes] == [Rule.CUT_KERF, Rule.CUT_LEADS]
    assert "a kerf of 2 mm is taken up, 1 mm outward" in said(flange(), notes[0])
    assert "lead-ins of 5 mm, lead-outs of 3 mm" in said(flange(), notes[1])


def test_a_limit_of_the_jobs_own_says_so() -> None:
    plate = flange(thickness=22.0)
    (finding,) = found(plate, smallest=SmallestHole(1.2, 0.0, "stated on this job"))
    assert "26.4 mm (1.2 x thickness, stated on this job)" in said(plate, finding)


def test_letters_the_scriber_does_not_have_are_named() -> None:
    (finding,) = found(flange(thickness=22.0), number="H-魚", marks=(Mark.NUMBER,))
    assert 'no single-stroke letters for "魚"' in said(flange(), finding)


@pytest.mark.parametrize(
    ("depth", "failed"),
    [(10.0, False), (10 + 0.3 * 22 + 10, False), (10 + 0.3 * 22 + 10.01, True), (19_000.0, True)],
)
def test_a_drill_that_comes_out_too_far_below_the_plate_is_told(depth: float, failed: bool) -> None:
    # Common practice, no source: thickness, point of 118 degrees (0.3 x drill) and 10 mm; 19 m was drilled before.
    (finding,) = check_drill_depth(flange(thickness=10.0), depth)
    assert (finding.rule, finding.failed) == (Rule.DRILL_DEPTH, failed)


def test_a_drill_depth_without_a_thickness_is_not_judged() -> None:
    (finding,) = check_drill_depth(flange(), 19_000.0)
    assert finding.result is Result.NOT_RUN
    assert not list(check_drill_depth(flange(thickness=10.0), None))
