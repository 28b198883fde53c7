"""Adapters: the turn that leaves the most metal, its curve, and why none works."""

import math
import re

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from checking import of_rule, said, shop
from flangelayout.checks import Rule
from flangelayout.checks.facts import Shortage
from flangelayout.checks.limits import USUAL_LIMITS, CheckLimits, Ground, Limit
from flangelayout.checks.plate.clocking import Clocking, clockings
from flangelayout.flange import BoltCircle, Flange, Tapped
from flangelayout.job.load import job_from_data
from flangelayout.value import replace
from jobs import bolt_circle, flange, job_data
from rows import every_row


def adapter(*circles: BoltCircle) -> Flange:
    return flange(*circles, outside_diameter=400.0)


def only(plate: Flange, limits: CheckLimits = USUAL_LIMITS) -> Clocking:
    (found,) = clockings(plate, limits)
    return found


def dn100_and_nps4(start_angle: float = 0.0) -> Flange:
    return adapter(
        bolt_circle(diameter=180, hole_diameter=18, bolt="M16"),
        bolt_circle(diameter=190.5, hole_diameter=19.05, bolt="5/8", start_angle=start_angle),
    )


def least_metal(plate: Flange) -> float:
    """The metal between the holes of the first two circles, by shapely."""
    holes = plate.holes()
    shapes = [shapely.MultiPoint([(h.center.x, h.center.y) for h in holes if h.group == group]) for group in (0, 1)]
    widths = [plate.bolt_circles[group].hole_diameter for group in (0, 1)]
    return float(shapes[0].distance(shapes[1])) - sum(widths) / 2


def test_dn100_pn16_with_nps_4_class_150_is_best_at_22_5_degrees_with_17_98_mm() -> None:
    # EN 1092-1: 180 mm, 8 holes of 18 mm; ASME B16.5: 7 1/2 in (190.5 mm), 8 holes of 3/4 in (19.05 mm).
    found = only(dn100_and_nps4())
    assert found.best_turn == pytest.approx(22.5)
    assert found.best_angle == pytest.approx(22.5)
    assert found.best.metal == pytest.approx(17.98, abs=0.005)
    assert found.present.metal < 0
    assert found.hopeless is None


@every_row(("material", "bears"), [("carbon steel plate", True), ("rubber sheet", False)])
def test_no_nut_bears_on_a_gasket(material: str, bears: bool) -> None:
    plate = replace(dn100_and_nps4(22.5), material=material)
    assert (only(plate).present.seat_a is not None) is bears
    about_nuts = {Rule.HOLE_COVERED, Rule.SEAT_ON_PLATE, Rule.SEATS_APART, Rule.WRENCH_ROOM}
    assert bool(about_nuts & {finding.rule for finding in shop(plate)}) is bears


@every_row("turn", [0.0, 10.0, 22.5, 37.0])
def test_the_metal_as_drawn_is_what_shapely_measures(turn: float) -> None:
    plate = dn100_and_nps4(start_angle=turn)
    assert only(plate).present.metal == pytest.approx(least_metal(plate), abs=1e-9)


counts = st.integers(3, 16)


@given(a=counts, b=counts, start=st.floats(-90, 90), skip=st.booleans())
def test_no_turn_leaves_more_than_the_best(a: int, b: int, start: float, skip: bool) -> None:
    skipped = (1,) if skip else ()
    one = bolt_circle(a, 180, 10)
    other = bolt_circle(b, 190, 10, start_angle=start, skipped=skipped)
    found = only(adapter(one, other))
    holes = one.hole_angles()
    most = max(
        np.abs((np.subtract.outer(holes, np.array(other.hole_angles()) + turn) + 180) % 360 - 180).min()
        for turn in np.linspace(0, 360, 721)
    )
    assert found.best_angle >= most - 1e-9
    turned = bolt_circle(b, 190, 10, start_angle=start + found.best_turn, skipped=skipped)
    assert only(adapter(one, turned)).present_angle == pytest.approx(found.best_angle, abs=1e-6)


def test_the_curve_runs_over_one_period_and_its_highest_point_is_the_best_turn() -> None:
    found = only(dn100_and_nps4())
    turns, metals = zip(*((turn, margins.metal) for turn, margins in found.curve), strict=True)
    assert (turns[0], turns[-1]) == (0.0, 45.0)
    assert metals[0] == pytest.approx(metals[-1])
    assert turns[int(np.argmax(metals))] == pytest.approx(22.5)
    assert max(metals) == pytest.approx(found.best.metal)


def test_8_and_12_holes_repeat_every_15_degrees() -> None:
    found = only(adapter(bolt_circle(8, 180, 10), bolt_circle(12, 190, 10)))
    assert found.period == 15.0
    assert found.best_angle == pytest.approx(7.5)


def test_nut_seats_over_the_other_sides_holes_are_told() -> None:
    # Nut of M16 across corners 27.71 mm (ISO 4032); heavy nut of 5/8 in 1.227 in = 31.17 mm (ASME B18.2.2).
    found = only(dn100_and_nps4(start_angle=22.5))
    apart = found.present.metal + (18 + 19.05) / 2
    assert found.present.seat_a == pytest.approx(apart - (27.71 + 19.05) / 2, abs=0.01)
    assert found.present.seat_b == pytest.approx(apart - (31.17 + 18) / 2, abs=0.01)


def test_a_bad_turn_is_cured_by_the_best_one() -> None:
    plate = dn100_and_nps4(start_angle=13.0)
    (finding,) = of_rule(shop(plate), Rule.CLOCKING)
    assert finding.failed
    assert "to a start angle of 22.5°: 22.5° from hole to hole and 17.98 mm of metal left" in said(plate, finding)
    (cured,) = of_rule(shop(dn100_and_nps4(start_angle=22.5)), Rule.CLOCKING)
    assert not cured.failed
    assert cured.value == pytest.approx(17.98, abs=0.005)


def test_circles_too_near_each_other_have_no_turn_and_are_told_to_tap() -> None:
    plate = adapter(bolt_circle(24, 180, 14, bolt="M12"), bolt_circle(24, 190, 14, bolt="M12"))
    assert only(plate).hopeless is Shortage.METAL
    (finding,) = of_rule(shop(plate), Rule.CLOCKING)
    told = said(plate, finding)
    assert re.search(r"; no turn leaves more than [-0-9.]+ mm: tap one side for studs", told)
    assert told.count("common practice") == 1


def test_nuts_that_always_run_over_the_other_side_are_told_by_how_much() -> None:
    plate = adapter(bolt_circle(20, 180, 18, bolt="M16"), bolt_circle(20, 205, 18, bolt="M16"))
    limits = CheckLimits(ligament=Limit(1.0, Ground.STATED))
    assert only(plate, limits).hopeless is Shortage.SEAT_A
    (finding,) = of_rule(shop(plate, limits), Rule.CLOCKING)
    assert "at every turn the nuts of bolt circle A run" in said(plate, finding)


def test_a_tapped_side_has_no_nuts_over_the_other() -> None:
    tapped = bolt_circle(8, 160, 14.0, bolt="M16", kind=Tapped("M16", 16.0))
    found = only(adapter(bolt_circle(8, 190.5, 19.05, bolt="5/8"), tapped))
    assert found.best.seat_b is None
    assert found.best.seat_a is not None


def test_a_job_with_a_cure_is_drawn_and_carries_the_warning() -> None:
    circles = [
        {"diameter": 180, "hole_count": 8, "hole_diameter": 18, "bolt": "M16"},
        {"diameter": 190.5, "hole_count": 8, "hole_diameter": 19.05, "bolt": "5/8", "start_angle": 15},
    ]
    job = job_from_data(job_data(plate={"outside_diameter": 285, "bore": 100}, bolt_circle=circles))
    assert [finding.rule for finding in job.findings if finding.failed] == [Rule.CLOCKING]


def test_threads_from_both_faces_are_held_against_each_other_by_their_own_widths() -> None:
    """M20 on 240 from the back, M16 on 175 from the face, 8 each, 22.5 degrees apart: 51.52 - 20/2 - 16/2 = 33.52."""
    outer = {"diameter": 240, "hole_count": 8, "kind": "tapped", "thread": "M20", "depth": 30, "worked_from": "back"}
    inner = {"diameter": 175, "hole_count": 8, "kind": "tapped", "thread": "M16", "depth": 24, "start_angle": 22.5}
    plate = {"outside_diameter": 340, "bore": 100, "thickness": 45}
    (found,) = clockings(job_from_data(job_data(plate=plate, bolt_circle=[outer, inner])).flange, USUAL_LIMITS)
    apart = math.dist(_at(120, 0), _at(87.5, 22.5))
    assert found.present.metal == pytest.approx(apart - 18, abs=1e-6)
    assert apart - 18 == pytest.approx(33.52, abs=0.01)


def _at(radius: float, degrees: float) -> tuple[float, float]:
    return radius * math.cos(math.radians(degrees)), radius * math.sin(math.radians(degrees))
