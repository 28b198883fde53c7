from typing import Any

import pytest

from flangelayout.checks import Finding, Severity, check_cutting
from flangelayout.flange import Dowel, Drilling, Flange, SingleHole
from flangelayout.flange.cutting import CutOptions, CutProcess, HoleCut, Mark, SmallestHole
from flangelayout.geometry.shapes import Point
from flangelayout.standards.shop import smallest_hole
from flangelayout.units import Unit
from jobs import bolt_circle, flange

PLASMA: dict[str, Any] = {"process": CutProcess.PLASMA, "smallest": smallest_hole(CutProcess.PLASMA)}


def found(plate: Flange, number: str = "T-1", unit: Unit = Unit.MM, **options: Any) -> tuple[Finding, ...]:  # noqa: ANN401 # the fields of CutOptions
    return check_cutting(plate, CutOptions(**options), number, unit)


def test_a_job_that_asks_for_nothing_finds_nothing() -> None:
    assert found(flange(thickness=22.0)) == ()


def test_holes_below_the_limit_are_told_with_numbers_and_origin() -> None:
    (finding,) = found(flange(thickness=22.0), **PLASMA)
    assert finding.severity is Severity.WARNING
    assert "bolt circle: 8 x 22 mm is smaller than plasma cuts well (1.5 x thickness = 33 mm; one source only" in (
        finding.text
    )
    assert finding.source.startswith("one source only")


@pytest.mark.parametrize("thickness", [14.0, 22.0 / 1.5])
def test_holes_at_or_above_the_limit_pass(thickness: float) -> None:
    assert found(flange(thickness=thickness), **PLASMA) == ()


def test_a_hole_just_below_the_limit_does_not_pass() -> None:
    assert found(flange(thickness=14.67), **PLASMA)


def test_numbers_stand_in_the_unit_of_the_job() -> None:
    (finding,) = found(flange(bolt_circle(hole_diameter=22.225), thickness=25.4), unit=Unit.IN, **PLASMA)
    assert "8 x 7/8 in" in finding.text
    assert "1 1/2 in" in finding.text


def test_what_is_done_about_small_holes_is_noted() -> None:
    under = found(flange(thickness=22.0), small_holes=HoleCut.UNDERSIZE, undersize=3.0, **PLASMA)
    marked = found(flange(thickness=22.0), small_holes=HoleCut.CENTER_MARK, **PLASMA)
    assert [(each.rule, each.severity) for each in (*under, *marked)] == [
        ("cut-undersize", Severity.NOTE),
        ("cut-center-mark", Severity.NOTE),
    ]
    assert "cut undersize at 19 mm" in under[0].text


def test_groups_are_told_apart() -> None:
    plate = flange(bolt_circle(), bolt_circle(diameter=190.0, hole_diameter=40.0), thickness=22.0)
    (finding,) = found(plate, **PLASMA)
    assert finding.text.startswith("bolt circle A: 8 x 22 mm")


def test_a_hole_that_is_never_cut_is_not_found_too_small() -> None:
    plate = flange(bolt_circle(hole_diameter=40.0), thickness=22.0, single_holes=(
        SingleHole(Point(0.0, 0.0), Drilling(8.0, kind=Dowel("H7"))),))  # fmt: skip
    assert found(plate, **PLASMA) == ()


def test_a_missing_thickness_is_asked_for() -> None:
    (finding,) = found(flange(), **PLASMA)
    assert finding.where == "plate.thickness"


def test_kerf_and_leads_are_told_so_that_the_controller_does_not_add_its_own() -> None:
    notes = found(flange(thickness=22.0), kerf=2.0, lead_in=5.0, lead_out=3.0)
    assert [note.rule for note in notes] == ["cut-kerf", "cut-leads"]
    assert "a kerf of 2 mm is taken up, 1 mm outward" in notes[0].text
    assert "lead-ins of 5 mm, lead-outs of 3 mm" in notes[1].text


def test_a_limit_of_the_jobs_own_says_so() -> None:
    (finding,) = found(flange(thickness=22.0), smallest=SmallestHole(1.2, 0.0, "stated on this job"))
    assert "1.2 x thickness = 26.4 mm; stated on this job" in finding.text


def test_letters_the_scriber_does_not_have_are_named() -> None:
    (finding,) = found(flange(thickness=22.0), number="H-魚", marks=(Mark.NUMBER,))
    assert "魚" in finding.text
