"""Camera, cards and holes solved together, held against simulated photos of known holes."""

import numpy as np
import pytest

from flangelayout.value import replace
from flangelayout.vision import adjust
from flangelayout.vision.adjust import CameraBeliefs, datum_free, solve
from flangelayout.vision.start import CROSSING_SIGMA, crossing_marks, joined
from vision.simulated import Setup, circle, circle_sigma, drawn, off_after_turn, solved, surveyed


def errors(setup: Setup, draws: int, seed: int = 1) -> tuple[np.ndarray, np.ndarray]:
    """Errors of the circle and what they are stated to be, one standard deviation; every hundred has its own seed."""
    off, stated = [], []
    hundreds = [np.random.default_rng([seed, hundred]) for hundred in range(-(-draws // 100))]
    for index in range(draws):
        draw = drawn(setup, hundreds[index // 100])
        solution = solved(draw)
        off.append(circle(solution.scene.holes) - circle(draw.holes))
        stated.append(circle_sigma(solution.hole_covariance, solution.scene.holes, setup.print_scale / np.sqrt(2)))
    return np.array(off), np.array(stated)


def test_without_noise_and_print_error_the_holes_come_out_where_they_are() -> None:
    exact = Setup(print_scale=0.0, bend=0.0, noise=0.0, rim_noise=0.0, rim_blur=0.0, cards=6, circle=210.0)
    draw = drawn(exact, np.random.default_rng(2))
    solution = solved(draw)
    assert circle(solution.scene.holes) == pytest.approx(circle(draw.holes), abs=0.05)
    assert off_after_turn(solution.scene.holes, draw.holes).max() < 0.06
    assert solution.scene.rim_height == pytest.approx(draw.depth, abs=0.15)


def test_one_photo_takes_rims_to_lie_a_little_below_the_cards() -> None:
    usual = Setup(photos=1, depth=(-0.35, -0.35), print_scale=0.0, bend=0.0, noise=0.0, rim_noise=0.0, rim_blur=0.0)
    draw = drawn(usual, np.random.default_rng(6))
    assert circle(solved(draw).scene.holes) == pytest.approx(circle(draw.holes), abs=0.15)


@pytest.mark.slow
def test_a_few_draws_are_as_good_as_they_say() -> None:
    off, stated = errors(Setup(), 8)
    assert np.abs(off).max() < 0.35
    assert np.sqrt(np.mean((off / stated) ** 2)) < 1.8


@pytest.mark.slow
def test_rolled_cards_leave_the_crossings_nothing_to_explain_and_noise_is_known_by_what_it_leaves() -> None:
    def scatter(noise: float) -> float:
        return float(solved(drawn(Setup(noise=noise, bend=1.0), np.random.default_rng(4))).scatter[0]) * CROSSING_SIGMA

    assert scatter(0.0) < 0.03
    assert scatter(0.2) == pytest.approx(0.2, rel=0.2)
    assert scatter(0.6) == pytest.approx(0.6, rel=0.2)


@pytest.mark.slow
def test_the_order_of_photos_changes_nothing() -> None:
    draw = drawn(Setup(cards=6), np.random.default_rng(7))
    turned = replace(draw, seen=draw.seen[::-1], rims=draw.rims[::-1])
    one, other = solved(draw).scene.holes, solved(turned).scene.holes
    assert off_after_turn(one, other).max() < 2e-3


@pytest.mark.slow
def test_thick_cards_do_not_matter_with_three_photos() -> None:
    thick, thin = Setup(depth=(-1.1, -1.1)), Setup(depth=(0.0, 0.0))
    high, low = (solved(drawn(setup, np.random.default_rng(3))) for setup in (thick, thin))
    assert circle(high.scene.holes) == pytest.approx(circle(low.scene.holes), abs=0.1)
    assert high.scene.rim_height - low.scene.rim_height == pytest.approx(-1.1, abs=0.15)


def test_analytic_derivatives_are_those_of_the_equations() -> None:
    draw = drawn(Setup(cards=4, holes=4), np.random.default_rng(5))
    solution = solved(draw)
    marks = adjust.Marks(
        np.array([0, 1, 2, 1]),
        np.array([0, 2, -1, -1]),
        np.array([-1, -1, 3, 0]),
        np.array([[5.0, 9.0], [-7.0, 3.0], [0.0, 0.0], [0.0, 0.0]]),
        np.zeros((4, 2)),
        np.ones(4),
    )
    beliefs = adjust.CameraBeliefs(3004.0, (1999.5, 1499.5))
    scene = solution.scene
    _, jacobian, _ = adjust._equations(scene, scene, marks, beliefs)
    for unknown in range(scene.unknowns):
        step = np.zeros(scene.unknowns)
        step[unknown] = 1e-6
        there = adjust._equations(adjust._moved(scene, step), scene, marks, beliefs)[0]
        back = adjust._equations(adjust._moved(scene, -step), scene, marks, beliefs)[0]
        slope = ((back - there) / 2e-6)[:-1]  # the last row only holds the axes still
        assert np.allclose(slope, jacobian[:-1, unknown], rtol=1e-4, atol=1e-4 * max(1.0, float(np.abs(slope).max())))


def test_a_covariance_without_datum_says_nothing_of_shift_and_turn() -> None:
    rng = np.random.default_rng(1)
    places = rng.normal(0, 100, (5, 2))
    spread = rng.normal(size=(10, 10))
    free = datum_free(spread @ spread.T, places)
    off = places - places.mean(axis=0)
    turn = np.stack([-off[:, 1], off[:, 0]], axis=1).reshape(-1)
    for move in (np.tile([1.0, 0.0], 5), np.tile([0.0, 1.0], 5), turn):
        assert np.abs(free @ move).max() < 1e-8 * np.abs(turn).max()
    shape = np.linalg.svd(np.column_stack([np.tile([1.0, 0.0], 5), np.tile([0.0, 1.0], 5), turn]))[0][:, 3]
    assert shape @ free @ shape == pytest.approx(shape @ spread @ spread.T @ shape)


SMALL = Setup(side=36)
ROWS = {
    "1 photo": (Setup(photos=1), 0.67),
    "1 photo from 1 m": (Setup(photos=1, nearest=1000.0), 0.45),
    "2 photos": (Setup(photos=2), 0.19),
    "3 photos": (Setup(), 0.20),
    "5 photos": (Setup(photos=5), 0.20),
    "8 photos": (Setup(photos=8, apart=4.0), 0.19),
    "4 cards": (Setup(cards=4), 0.23),
    "6 cards": (Setup(cards=6), 0.23),
    "circle 100": (replace(SMALL, circle=100.0), 0.08),
    "circle 160": (replace(SMALL, circle=160.0), 0.12),
    "circle 240": (replace(SMALL, circle=240.0), 0.17),
    "circle 400": (Setup(circle=400.0), 0.27),
    "circle 600": (Setup(circle=600.0), 0.39),
    "circle 600, 5 photos": (Setup(circle=600.0, photos=5), 0.42),
    "all square on": (Setup(tilts=(0.0, 2.0)), 0.35),
    "tilt to 5": (Setup(tilts=(0.0, 5.0)), 0.25),
    "tilt to 15": (Setup(tilts=(0.0, 15.0)), 0.21),
    "tilt to 45": (Setup(tilts=(0.0, 45.0)), 0.19),
    "print exact": (Setup(print_scale=0.0), 0.12),
    "print 0.025 %": (Setup(print_scale=0.00025), 0.15),
    "print 0.1 %": (Setup(print_scale=0.001), 0.38),
    "print 0.3 %": (Setup(print_scale=0.003), 1.09),
    "bent 1 mm": (Setup(bend=1.0), 0.23),
    "bent 2 mm": (Setup(bend=2.0), 0.35),
    "card 1.1 mm thick, 1 photo": (Setup(photos=1, depth=(-1.1, -1.1)), 1.33),
    "card 1.1 mm thick": (Setup(depth=(-1.1, -1.1)), 0.20),
    "one card lifted 2 mm": (Setup(lifted=2.0), 0.21),
    "noise 0.3 px": (Setup(noise=0.3 / np.sqrt(2)), 0.22),
    "noise 0.6 px": (Setup(noise=0.6 / np.sqrt(2)), 0.31),
    "noise 0.3 px along each axis": (Setup(noise=0.3), 0.25),
    "noise 0.6 px along each axis": (Setup(noise=0.6), 0.36),
    "rims 0.07 mm": (Setup(rim_noise=0.07), 0.21),
    "rims 0.15 mm": (Setup(rim_noise=0.15), 0.33),
}
"""What 95 of 100 draws stay within, mm, as a first trial of other equations had it (96 draws a row).

What is stated of a draw is the bound of Cramér and Rao: the inverse of what marks and beliefs tell. Four rows lie a
little above the trial because their bound does: print that is off by s along x and y moves a circle by s over the
root of two, 1.96 times which is 0.41 and 1.23 mm of 295 at 0.1 and 0.3 % (trial 0.38, 1.09); print and rims alone make
0.08 at 100 mm; two photos 0.19. The trial does not say whether its noise is along each axis. Taken so, the bounds are
0.25 and 0.36 mm, above its 0.22 and 0.31; taken as the whole of both axes they are below, which speaks for that.
Thick cards told as paper in one photo, and rims three times as far out as is believed, are wider off than stated.
"""
AS_TRIAL = 1.15
"""The 95 % point of n draws of a normal error is known to the root of 0.0475 / n over 0.229: to 10 % by the trial's 96,
to 3 % by 1,000; a row may lie above the trial by one and a half of both together."""
AS_STATED = 1.08
"""Root mean square of the errors over what is stated: 1 for the best of all estimators, known to 2 % by 1,000 draws."""
FUSED = {
    "1 photo": (Setup(photos=1), 0.26),
    "circle 295": (Setup(), 0.13),
    "circle 400": (Setup(circle=400.0), 0.21),
    "circle 600": (Setup(circle=600.0), 0.26),
    "bent 2 mm": (Setup(bend=2.0), 0.12),
}
"""The same, scaled by one caliper reading of two opposite holes."""


@pytest.mark.property_deep
@pytest.mark.parametrize("row", list(ROWS))
def test_95_of_100_draws_are_as_near_as_the_first_trial(row: str) -> None:
    setup, bound = ROWS[row]
    off, stated = errors(setup, 1000)
    within, honest = float(np.quantile(np.abs(off), 0.95)), float(np.mean(np.abs(off) < 2 * stated))
    assert within <= bound * AS_TRIAL, within
    beyond = setup.rim_noise > 0.04 or (setup.depth == (-1.1, -1.1) and setup.photos == 1)
    assert beyond or honest >= 0.93, honest
    assert beyond or np.sqrt((off**2).mean()) <= AS_STATED * np.sqrt((stated**2).mean())


@pytest.mark.property_deep
@pytest.mark.parametrize("row", list(FUSED))
def test_one_caliper_reading_sets_the_scale_and_readings_of_photos_seldom_disagree(row: str) -> None:
    setup, bound = FUSED[row]
    rng = np.random.default_rng(7)
    off, agree, held = [], [], []
    for _ in range(400):
        draw = drawn(setup, rng)
        alone, both = surveyed(solved(draw), draw, rng)
        off.append(both.diameter - circle(draw.holes))
        agree += [alone.agrees, both.agrees]
        held += [
            abs(survey.diameter - circle(draw.holes)) < survey.fit.bolt_circle.expanded_uncertainty
            for survey in (alone, both)
        ]
    assert np.quantile(np.abs(off), 0.95) <= bound * AS_TRIAL
    assert 0.92 <= np.mean(held) <= 0.985
    assert np.mean(agree) >= 0.93  # readings are said to disagree where honest ones do by chance in 5 of 100


def test_solving_from_a_solution_stays_there() -> None:
    draw = drawn(Setup(cards=5), np.random.default_rng(11))
    solution = solved(draw)
    beliefs = CameraBeliefs(3004.0, (1999.5, 1499.5))
    marks = crossing_marks(draw.seen, joined(draw.seen))
    alone = replace(solution.scene, holes=np.zeros((0, 2)))
    once = solve(alone, marks, beliefs)
    again = solve(once.scene, marks, beliefs)
    assert np.allclose(once.scene.card_places, again.scene.card_places, atol=1e-4)
