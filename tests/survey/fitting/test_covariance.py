"""What readings share: one zero, askew jaws, one scale, one hole."""

import math

import numpy as np
import pytest

from flangelayout.survey import Allowances, Kind, Reading, ScaleGroup
from flangelayout.survey.fitting.fit import fit_equal

NOTHING = Allowances(0.0, 0.0, 0.0, 0.0)


def across(kind: Kind, value: float, within: float = 0.2) -> Reading:
    return Reading(kind, value, 1, 5, within=within)


def doubt(readings: list[Reading], allow: Allowances, hole_count: int = 8) -> float:
    return fit_equal(readings, hole_count, allow=allow).bolt_circle.standard_uncertainty


def test_a_common_zero_does_not_average_out() -> None:
    # Many readings straight across: their own errors fade with the root of their number, the zero stays 0.05.
    allow = Allowances(0.0, 0.0, 0.05, 0.0)
    assert doubt([across(Kind.SAME_EDGES, 240.0)], allow) == pytest.approx(math.hypot(0.1, 0.05))
    assert doubt([across(Kind.SAME_EDGES, 240.0)] * 400, allow) == pytest.approx(math.hypot(0.1 / 20, 0.05))


def test_skew_of_the_jaws_cancels_between_near_and_far_but_not_in_one_of_them() -> None:
    allow = Allowances(0.0, 0.0, 0.0, 0.05)
    both = [across(Kind.NEAR_EDGES, 218.0), across(Kind.FAR_EDGES, 262.0)]
    assert doubt(both, allow) == pytest.approx(0.1 / math.sqrt(2))
    near = [across(Kind.NEAR_EDGES, 218.0), Reading(Kind.HOLE_DIAMETER, 22.0, within=0.2)]
    # Near edges with outside jaws read long, the hole with inside jaws short: the sum cancels as well.
    assert doubt(near, allow) == pytest.approx(0.1 * math.sqrt(2))


def test_a_better_instrument_has_a_better_zero() -> None:
    assert doubt([across(Kind.SAME_EDGES, 240.0, within=0.02)], Allowances(0.0, 0.0, 0.05, 0.0)) == pytest.approx(
        math.hypot(0.01, 0.01)
    )


def test_a_hole_out_of_place_sits_in_every_reading_that_touches_it() -> None:
    # Straight across, (r1 + r5) less twice the mean of all eight: variance 2 s^2 (1 - 2/8).
    allow = Allowances(0.12, 0.10, 0.0, 0.0)
    spread = math.sqrt(2 * 0.10**2 * (1 - 2 / 8) / 4)  # the band takes a quarter of the variance
    many = [across(Kind.SAME_EDGES, 240.0, within=1e-4)] * 3
    assert doubt(many, allow) == pytest.approx(spread, rel=1e-3)
    two_holes = [Reading(Kind.SAME_EDGES, 240.0, 1, 2, within=1e-4)]
    assert doubt(two_holes, allow, 2) == pytest.approx(0.5e-4, rel=1e-6)  # two holes make their own circle


def test_neighbors_all_round_know_the_circle_better_than_one_pair() -> None:
    allow = Allowances(0.12, 0.10, 0.0, 0.0)
    chord = 240 * math.sin(math.pi / 8)
    ring = [Reading(Kind.SAME_EDGES, chord, at, at % 8 + 1, within=0.01) for at in range(1, 9)]
    # Moves along the circle and moves of single holes cancel out of the sum of all eight sides.
    assert doubt(ring, allow) < 0.1 * doubt(ring[:1], allow)


def test_a_common_scale_gives_way_to_one_good_reading() -> None:
    # A true 210.00 circle read 0.2 % long off a photo, with one good caliper reading straight across.
    scale = ScaleGroup("photo", 0.01)
    photo = [
        Reading(Kind.CENTERS, 210.0 * 1.002 * math.sin(math.pi * span / 8), 1, 1 + span, within=0.1, scale=scale)
        for span in (1, 2, 3, 4)
    ]
    good = Reading(Kind.SAME_EDGES, 210.0, 2, 6, within=0.05)
    alone, both = fit_equal(photo, 8), fit_equal([*photo, good], 8)
    assert alone.bolt_circle.value == pytest.approx(210.42, abs=0.1)
    assert alone.bolt_circle.expanded_uncertainty > 2  # one percent of 210
    assert both.bolt_circle.value == pytest.approx(210.0, abs=0.05)
    assert abs(both.bolt_circle.value - 210.0) < both.bolt_circle.expanded_uncertainty < 0.3
    assert both.agrees
    stretched = fit_equal([*(Reading(r.kind, r.value, r.from_hole, r.to_hole, within=0.1) for r in photo), good], 8)
    assert not stretched.agrees or abs(stretched.bolt_circle.value - 210.0) > 0.05


def test_allowances_of_nothing_leave_each_reading_to_itself() -> None:
    assert doubt([across(Kind.SAME_EDGES, 240.0)] * 4, NOTHING) == pytest.approx(0.05)


def test_errors_that_a_group_shares_are_the_whole_covariance_of_its_positions() -> None:
    # Least squares with a full covariance, worked by hand from its definition (JCGM 102:2011, 6.2), as the judge.
    rng = np.random.default_rng(5)
    angles = np.radians([10.0, 100.0, 190.0, 280.0])
    places = np.stack([120 * np.cos(angles), 120 * np.sin(angles)], axis=1).ravel() + rng.normal(0, 0.05, 8)
    loads = rng.normal(0, 0.1, (8, 3))
    group = ScaleGroup("photo", 0.001)
    readings = [
        Reading((Kind.X, Kind.Y)[at % 2], value, at // 2 + 1, within=0.1, scale=group, shared=tuple(loads[at]))
        for at, value in enumerate(places.tolist())
    ]
    own, scale = 0.05**2 * np.eye(8), np.outer(places, places) * 0.0005**2
    weight = np.linalg.inv(own + scale + loads @ loads.T)
    unknowns = np.array([240.0, 0.0, 0.0, angles[0]])
    for _ in range(20):
        turned = unknowns[3] + np.arange(4) * np.pi / 2
        radius = unknowns[0] / 2
        expected = np.stack([unknowns[1] + radius * np.cos(turned), unknowns[2] + radius * np.sin(turned)], 1).ravel()
        by = np.zeros((8, 4))
        by[0::2, 0], by[1::2, 0] = np.cos(turned) / 2, np.sin(turned) / 2
        by[0::2, 1] = by[1::2, 2] = 1
        by[0::2, 3], by[1::2, 3] = -radius * np.sin(turned), radius * np.cos(turned)
        unknowns = unknowns + np.linalg.solve(by.T @ weight @ by, by.T @ weight @ (places - expected))
    found = fit_equal(readings, 4, allow=NOTHING).bolt_circle
    assert found.value == pytest.approx(unknowns[0], abs=1e-6)
    assert found.standard_uncertainty == pytest.approx(np.sqrt(np.linalg.inv(by.T @ weight @ by)[0, 0]), rel=1e-4)
