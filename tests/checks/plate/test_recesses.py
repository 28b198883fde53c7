"""Recesses and blind threads against the plate's thickness, its edges, and each other."""

import math
from typing import Any

import pytest

from checking import drilling, failed, of_rule, plate_of, said, shop, told
from flangelayout.checks import Result, Rule
from flangelayout.errors import InputError
from flangelayout.flange import Counterbored, Countersunk, Drilling, Flange, HoleKind, RoundOutline, SingleHole, Tapped
from flangelayout.geometry.shapes import Point
from flangelayout.standards.holes import countersink
from jobs import bolt_circle, make_job
from rows import every_row


def pair(kind: HoleKind, hole: float, apart: float, **changes: Any) -> Flange:  # noqa: ANN401 - fields of any kind
    """A plate with two alike holes ``apart`` mm from center to center."""
    holes = tuple(SingleHole(Point(x, 0.0), Drilling(hole, kind=kind)) for x in (-apart / 2, apart / 2))
    return Flange(RoundOutline(300.0), (), single_holes=holes, **({"thickness": 40.0} | changes))


@every_row(("depth", "stops"), [(11.9, False), (12.0, True), (16.6, True), (30.0, True), (50.0, True)])
def test_a_counterbore_as_deep_as_the_plate_stops_the_job(depth: float, stops: bool) -> None:
    # Plain geometry; DIN 974-1 and ISO 4762 want 16.6 mm for M16, drawn in a 12 mm plate before.
    plate = plate_of(bolt_circle(hole_diameter=17.5, kind=Counterbored(26.0, depth)), thickness=12.0)
    (found,) = of_rule(drilling(plate), Rule.DEPTH_IN_PLATE)
    assert found.value == pytest.approx(12.0 - depth)
    assert found.stops == stops


def test_a_job_with_a_counterbore_through_the_plate_is_refused_with_its_key() -> None:
    circle = {"diameter": 240, "hole_count": 8, "kind": "counterbored", "bolt": "M16"}
    with pytest.raises(InputError) as refused:
        make_job(plate={"outside_diameter": 285, "bore": 170, "thickness": 12}, bolt_circle=[circle])
    (problem,) = refused.value.problems
    assert problem.where == "bolt_circle.seat_depth"
    assert problem.text == (
        "the counterbore of bolt circle, hole 1 is 16.60 mm deep in a plate of 12 mm; "
        "make it less deep or the plate thicker"
    )


@every_row(("depth", "stops"), [(14.9, False), (15.0, True)])
def test_a_blind_thread_as_deep_as_the_plate_stops_the_job(depth: float, stops: bool) -> None:
    plate = plate_of(bolt_circle(hole_diameter=8.5, kind=Tapped("M10", 10.0, depth)), thickness=15.0)
    assert [each.stops for each in of_rule(drilling(plate), Rule.DEPTH_IN_PLATE)] == [stops]


@every_row(("depth", "fails"), [(15.6, False), (15.7, True)])
def test_a_head_wants_a_quarter_of_its_hole_below_it(depth: float, fails: bool) -> None:
    # Common practice, no source: 0.25 x 17.5 = 4.375 mm of a plate of 20 mm.
    plate = plate_of(bolt_circle(hole_diameter=17.5, kind=Counterbored(26.0, depth)), thickness=20.0)
    assert (Rule.RECESS_FLOOR in failed(plate)) == fails


@every_row(("thickness", "fails"), [(5.0, True), (6.7, True), (6.71, False), (12.0, False)])
def test_a_countersink_that_comes_out_at_the_back_fails(thickness: float, fails: bool) -> None:
    # Plain geometry: an M12 head of 26.9 mm (ISO 10642) in a hole of 13.5 mm (ISO 273) at 90 degrees is 6.7 mm deep.
    published = countersink("M12")
    assert published is not None
    assert published[0].value == pytest.approx(26.9, abs=0.05)
    plate = plate_of(bolt_circle(hole_diameter=13.5, kind=Countersunk(26.9)), thickness=thickness)
    found = told(plate, Rule.RECESS_FLOOR)
    assert found.value == pytest.approx(thickness - 6.7)
    assert found.failed == fails


def test_the_depth_of_a_cone_follows_its_angle() -> None:
    plate = plate_of(bolt_circle(hole_diameter=13.5, kind=Countersunk(26.9, 82.0)), thickness=12.0)
    depth = (26.9 - 13.5) / 2 / math.tan(math.radians(41))
    assert told(plate, Rule.RECESS_FLOOR).value == pytest.approx(12.0 - depth)


def test_without_a_thickness_no_depth_is_judged() -> None:
    plate = plate_of(bolt_circle(hole_diameter=17.5, kind=Counterbored(26.0, 50.0)), thickness=None)
    assert told(plate, Rule.RECESS_FLOOR).result is Result.NOT_RUN
    assert [each.result for each in of_rule(drilling(plate), Rule.DEPTH_IN_PLATE)] == [Result.NOT_RUN]


@every_row(("apart", "rules"), [(38.0, [Rule.RECESSES_APART]), (61.0, [Rule.LIGAMENT]), (70.0, [])])
def test_countersinks_that_overlap_fail(apart: float, rules: list[Rule]) -> None:
    # Plain geometry: heads of 60 mm on centers 38 mm apart overlap by 22 mm; holes of 20 mm want 10 mm of metal.
    plate = pair(Countersunk(60.0), 20.0, apart)
    assert failed(plate) == rules
    if rules == [Rule.RECESSES_APART]:
        text = said(plate, told(plate, Rule.RECESSES_APART))
        assert text.startswith("the countersinks of hole X1 and hole X2 overlap by 22.00 mm; ")


@every_row(("outside", "fails"), [(264.0, False), (263.9, True), (255.0, True)])
def test_a_recess_that_breaks_out_of_the_plate_fails(outside: float, fails: bool) -> None:
    # Plain geometry: a recess of 24 mm on a circle of 240 reaches 132 mm; its hole of 11 mm only 125.5.
    plate = plate_of(bolt_circle(hole_diameter=11.0, kind=Counterbored(24.0, 6.0)), outside_diameter=outside)
    assert not [each for each in drilling(plate) if each.stops]
    assert (Rule.RECESS_ON_PLATE in failed(plate)) == fails


def test_a_recess_that_runs_into_the_bore_fails() -> None:
    plate = plate_of(bolt_circle(hole_diameter=11.0, kind=Counterbored(24.0, 6.0)), bore=217.0)
    (found,) = of_rule(shop(plate), Rule.RECESS_ON_PLATE)
    assert said(plate, found).startswith("the counterbore of bolt circle, hole 1 runs 0.50 mm into the bore; ")


@every_row(("face", "fails"), [(215.9, False), (216.1, True), (230.0, True)])
def test_a_recess_over_the_edge_of_the_raised_face_fails(face: float, fails: bool) -> None:
    # ASME B16.5, EN 1092-1: the face ends inside what is made of the holes: 240 - 24 = 216 mm.
    kind = Counterbored(24.0, 6.0)
    plate = plate_of(bolt_circle(hole_diameter=11.0, kind=kind), raised_face_diameter=face)
    assert (Rule.RAISED_FACE_CLEAR in failed(plate)) == fails
