import math
import random
from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import least_squares
from uncertainties import ufloat

from flangelayout.survey import Allowances, Kind, Reading, measure
from flangelayout.survey.fitting import fit as fitting
from flangelayout.survey.fitting.fit import Fit, Spacing, least_squares_step
from rows import every_row
from survey.synthetic import CHORDS, Part, neighbors, pair, positions, readings_for, shaken, single

NOTHING = Allowances(0.0, 0.0, 0.0, 0.0)
ALL_KINDS = (*CHORDS, Kind.HOLE_TO_BORE, Kind.HOLE_TO_RIM, Kind.X)


def fit_equal(readings: Sequence[Reading], hole_count: int) -> Fit:
    """Readings that are off by what each is good to alone, as the references have it."""
    return fitting.fit_equal(readings, hole_count, allow=NOTHING)


def fit_individual(readings: Sequence[Reading], equal: Fit) -> Fit | None:
    return fitting.fit_individual(readings, equal, allow=NOTHING)


def test_one_reading_between_neighbors_of_five_holes() -> None:
    # Common practice, no source: 65.06 mm measured on a five-hole pattern of nominal 110 mm.
    survey = measure([Reading(Kind.CENTERS, 65.06)], hole_count=5)
    assert round(survey.diameter, 2) == 110.69
    assert survey.candidates[0].pattern.bolt_circle == 110.0
    assert round(survey.candidates[0].chord or 0.0, 2) == 64.66


@every_row(
    ("hole_count", "factor"),
    # Handbook table of chords for a circle of diameter 1, as printed in machinists' handbooks.
    [(3, 0.866025), (5, 0.587785), (7, 0.433884), (9, 0.342020), (12, 0.258819), (20, 0.156434), (30, 0.104528)],
)
def test_one_chord_divided_by_the_handbook_factor_is_the_diameter(hole_count: int, factor: float) -> None:
    survey = measure([Reading(Kind.CENTERS, 100 * factor)], hole_count=hole_count)
    assert survey.diameter == pytest.approx(100.0, abs=0.001)


def test_diameter_error_grows_by_one_over_the_sine() -> None:
    # REQUIREMENTS of the trade, from sin(180/n): 1.7 for 5 holes, 2.6 for 8, 3.9 for 12, 6.4 for 20.
    for hole_count, growth in ((5, 1.7), (8, 2.6), (12, 3.9), (20, 6.4)):
        fit = fit_equal([Reading(Kind.CENTERS, 50.0, within=1.0)], hole_count)
        assert round(fit.bolt_circle.expanded_uncertainty, 1) == growth


@given(
    diameter=st.floats(20, 3000),
    hole_count=st.integers(3, 40),
    turn=st.floats(-180, 180),
    clockwise=st.booleans(),
    kinds=st.sets(st.sampled_from(ALL_KINDS), min_size=1),
)
def test_exact_readings_of_any_mix_give_the_part_back(
    diameter: float, hole_count: int, turn: float, clockwise: bool, kinds: set[Kind]
) -> None:
    hole = diameter * math.sin(math.pi / hole_count) / 2
    part = Part(diameter, hole_count, hole, hole * 0.9, diameter * 0.4, diameter * 1.5, (3.0, -7.0), turn, clockwise)
    readings = [reading for kind in sorted(kinds, key=str) for reading in readings_for(part, kind)]
    fit = fit_equal(readings, hole_count)
    assert fit.bolt_circle.value == pytest.approx(diameter, rel=1e-6)
    assert fit.chi_square == pytest.approx(0, abs=1e-6)


def test_mixed_kinds_agree_with_scipy_least_squares() -> None:
    part, source = Part(), random.Random(1)
    readings = shaken(
        [
            *neighbors(part, Kind.NEAR_EDGES, 0.3),
            pair(part, Kind.FAR_EDGES, 1, 5, 0.2),
            pair(part, Kind.FAR_EDGES, 2, 5, 0.4),
            single(part, Kind.HOLE_TO_RIM, 0.5),
            single(part, Kind.OUTSIDE_DIAMETER, 0.6),
        ],
        source,
    )

    def misses(unknowns: list[float]) -> list[float]:
        diameter, hole, rim = unknowns
        turned = Part(diameter=diameter, hole=hole, rim=rim)
        return [
            (
                reading.value
                - (
                    pair(turned, reading.kind, reading.from_hole or 0, reading.to_hole or 0)
                    if reading.to_hole
                    else single(turned, reading.kind)
                ).value
            )
            / reading.standard_uncertainty
            for reading in readings
        ]

    answer = least_squares(misses, [200.0, 20.0, 300.0], xtol=1e-14, ftol=1e-14, gtol=1e-14)
    covariance = np.linalg.inv(answer.jac.T @ answer.jac)
    fit = fit_equal(readings, 8)
    assert fit.bolt_circle.value == pytest.approx(answer.x[0], abs=1e-5)
    assert fit.bolt_circle.standard_uncertainty == pytest.approx(math.sqrt(covariance[0, 0]), rel=1e-5)
    assert fit.chi_square == pytest.approx(2 * answer.cost, rel=1e-6)
    assert fit.degrees_of_freedom == len(readings) - 3


def test_positions_agree_with_scipy_least_squares() -> None:
    part = Part(diameter=310, hole_count=7, center=(12.5, -40.0), turn=17.0, clockwise=True)
    readings = shaken(positions(part, 0.4), random.Random(2))
    x, y = (np.array([r.value for r in readings if r.kind is kind]) for kind in (Kind.X, Kind.Y))
    steps = -2 * np.pi * np.arange(7) / 7

    def misses(unknowns: list[float]) -> list[float]:
        cx, cy, radius, turn = unknowns
        angles = turn + steps
        return list(np.concatenate([x - cx - radius * np.cos(angles), y - cy - radius * np.sin(angles)]) / 0.2)

    answer = least_squares(misses, [0.0, 0.0, 100.0, 0.3], xtol=1e-14, ftol=1e-14, gtol=1e-14)
    fit = fit_equal(readings, 7)
    assert fit.clockwise
    assert fit.bolt_circle.value == pytest.approx(2 * answer.x[2], abs=1e-6)
    assert fit.center == pytest.approx(tuple(answer.x[:2]), abs=1e-6)
    assert fit.chi_square == pytest.approx(2 * answer.cost, rel=1e-6)
    assert fit.degrees_of_freedom == 14 - 4


def test_circle_through_uneven_positions_agrees_with_scipy_least_squares() -> None:
    part = Part(diameter=180, hole_count=6, center=(5.0, 9.0), turn=40.0, shifts=(0.0, 3.0, -4.0, 0.0, 6.0, -2.0))
    readings = shaken(positions(part, 0.2), random.Random(3))
    x, y = (np.array([r.value for r in readings if r.kind is kind]) for kind in (Kind.X, Kind.Y))

    def misses(unknowns: list[float]) -> list[float]:  # distance of every point from the circle
        cx, cy, radius = unknowns
        return list((np.hypot(x - cx, y - cy) - radius) / 0.1)

    answer = least_squares(misses, [0.0, 0.0, 100.0], xtol=1e-14, ftol=1e-14, gtol=1e-14)
    fit = fit_individual(readings, fit_equal(readings, 6))
    assert fit is not None
    assert fit.bolt_circle.value == pytest.approx(2 * answer.x[2], abs=1e-6)
    assert fit.center == pytest.approx(tuple(answer.x[:2]), abs=1e-6)
    assert fit.degrees_of_freedom == 6 - 3


def test_propagation_agrees_with_the_uncertainties_package() -> None:
    chord, hole = ufloat(69.8, 0.15), ufloat(22.1, 0.05)
    reference = (chord + hole) / math.sin(math.pi / 8)
    readings = [Reading(Kind.NEAR_EDGES, 69.8, within=0.3), Reading(Kind.HOLE_DIAMETER, 22.1, within=0.1)]
    fit = fit_equal(readings, 8)
    assert fit.bolt_circle.value == pytest.approx(reference.nominal_value)
    assert fit.bolt_circle.standard_uncertainty == pytest.approx(reference.std_dev)


def test_rim_propagation_agrees_with_the_uncertainties_package() -> None:
    metal, hole, rim = ufloat(11.4, 0.2), ufloat(22.1, 0.1), ufloat(285.0, 0.3)
    reference = rim - 2 * metal - hole
    readings = [
        Reading(Kind.HOLE_TO_RIM, 11.4, within=0.4),
        Reading(Kind.HOLE_DIAMETER, 22.1, within=0.2),
        Reading(Kind.OUTSIDE_DIAMETER, 285.0, within=0.6),
    ]
    fit = fit_equal(readings, 8)
    assert fit.bolt_circle.value == pytest.approx(reference.nominal_value)
    assert fit.bolt_circle.standard_uncertainty == pytest.approx(reference.std_dev)


def test_least_squares_step_gives_the_worked_thermometer_calibration() -> None:
    # JCGM 100:2008, H.3: y1 = -0.1712 with s = 0.0029, y2 = 0.00218 with s = 0.00067, r = -0.930, s = 0.0035.
    temperatures = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
    corrections = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160]
    jacobian = np.column_stack([np.ones(11), np.array(temperatures) - 20.0])
    answer, _, gains = least_squares_step(jacobian / 0.0035, np.array(corrections) / 0.0035)
    covariance = gains @ gains.T
    assert answer[0] == pytest.approx(-0.1712, abs=5e-5)
    assert answer[1] == pytest.approx(0.00218, abs=5e-6)
    assert math.sqrt(covariance[0, 0]) == pytest.approx(0.0029, abs=5e-5)
    assert math.sqrt(covariance[1, 1]) == pytest.approx(0.00067, abs=5e-6)
    assert covariance[0, 1] / math.sqrt(covariance[0, 0] * covariance[1, 1]) == pytest.approx(-0.930, abs=5e-4)


def test_mean_of_near_and_far_edges_is_the_center_distance_whatever_the_holes() -> None:
    fit = fit_equal([Reading(Kind.NEAR_EDGES, 70.0), Reading(Kind.FAR_EDGES, 114.0)], 8)
    assert fit.bolt_circle.value == pytest.approx(92.0 / math.sin(math.pi / 8))
    assert fit.hole is not None
    assert fit.hole.value == pytest.approx(22.0)


def test_short_arc_of_positions_is_not_shrunk() -> None:
    # The mean of many noisy short arcs must not fall short of the truth, as algebraic fits do.
    part, source = Part(diameter=600, hole_count=24), random.Random(4)
    diameters = [fit_equal(shaken(positions(part, 0.5, range(1, 5)), source), 24).bolt_circle.value for _ in range(100)]
    mean, doubt = float(np.mean(diameters)), float(np.std(diameters)) / math.sqrt(100)
    assert abs(mean - 600) < 3 * doubt


def test_unequal_spacing_is_fitted_when_the_readings_demand_and_allow_it() -> None:
    part = Part(shifts=(0, 1.5, 0, -2.0, 0.5, 0, 1.0, -1.0))
    skips = [pair(part, Kind.SAME_EDGES, at, at + 3) for at in range(1, 9)]
    survey = measure([*neighbors(part), *skips], 8)
    assert survey.fit.spacing is Spacing.INDIVIDUAL
    assert survey.agrees
    assert survey.diameter == pytest.approx(240, abs=1e-6)
    assert survey.fit.hole_angles[3] == pytest.approx(3 * 45 - 2.0, abs=1e-6)


def test_equal_spacing_is_kept_when_the_readings_cannot_tell() -> None:
    part = Part(shifts=(0, 1.5, 0, -2.0, 0.5, 0, 1.0, -1.0))
    survey = measure(neighbors(part)[:5], 8)
    assert survey.fit.spacing is Spacing.EQUAL
    assert not survey.agrees


def test_hole_count_is_found_from_different_spans() -> None:
    part = Part(hole_count=12)
    survey = measure([Reading(Kind.SAME_EDGES, pair(part, Kind.CENTERS, 1, 1 + k).value, pitches=k) for k in (1, 3, 6)])
    assert (survey.hole_count, survey.count_found) == (12, True)


def test_hole_count_is_found_from_positions() -> None:
    part = Part(diameter=150, hole_count=7, turn=10)
    survey = measure(positions(part, 0.2, range(1, 6)))
    assert survey.hole_count == 7
    assert survey.diameter == pytest.approx(150)


def test_reading_set_aside_changes_nothing_but_is_still_reported() -> None:
    part = Part()
    wrong = Reading(Kind.SAME_EDGES, 150.0)
    survey = measure([*neighbors(part), wrong], 8, set_aside=[8])
    assert survey.diameter == pytest.approx(240)
    assert survey.residuals[8] == pytest.approx(150 - 240 * math.sin(math.pi / 8))
    assert survey.fit.gains[8] == 0


def same(one: Fit, other: Fit) -> bool:
    return one.bolt_circle.value == pytest.approx(other.bolt_circle.value, rel=1e-12)


@given(order=st.permutations(range(9)))
def test_order_of_readings_does_not_matter(order: list[int]) -> None:
    readings = shaken([*neighbors(Part()), single(Part(), Kind.HOLE_DIAMETER)], random.Random(5))
    assert same(fit_equal(readings, 8), fit_equal([readings[at] for at in order], 8))
