"""The best turn and shift against scipy: Rotation.align_vectors for least squares, a linear program for minimax."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import linprog
from scipy.spatial.transform import Rotation

from flangelayout.checks.fitting.minimax import Freedom, Placing, least_squares, minimax
from rows import every_row

Points = NDArray[np.float64]
DIRECTIONS = 1440


def pattern(count: int = 8, radius: float = 120.0, turn: float = 0.0) -> Points:
    angles = np.radians(turn + np.arange(count) * 360 / count)
    return radius * np.column_stack((np.cos(angles), np.sin(angles)))


def noisy(seed: int, count: int = 8, spread: float = 0.3, radius: float = 120.0) -> tuple[Points, Points]:
    """A pattern and the same turned, shifted and disturbed."""
    rng = np.random.default_rng(seed)
    drawn = pattern(count, radius, float(rng.uniform(0, 360)))
    return drawn, Placing(float(rng.uniform(-30, 30)), *rng.uniform(-9, 9, 2)).moved(drawn) + rng.normal(
        0, spread, (count, 2)
    )


def linear_program(points: Points, targets: Points, slack: Points, near: Placing, turning: bool = True) -> float:
    """The least greatest excess by a linear program, linear in small changes from ``near``.

    Every distance is replaced by the greatest of its projections on 1440 directions, which is short by a
    share of 1 - cos(180 deg / 1440) = 2.4e-6 at most.
    """
    apart = near.moved(points) - targets
    turned = near.moved(points) - np.array([near.shift_x, near.shift_y])
    across = np.column_stack((-turned[:, 1], turned[:, 0]))
    angles = np.arange(DIRECTIONS) * 2 * math.pi / DIRECTIONS
    along = np.column_stack((np.cos(angles), np.sin(angles)))
    rows, right = [], []
    for each, turn, free in zip(apart, across, slack, strict=True):
        turning_part = along @ turn if turning else np.zeros(DIRECTIONS)
        rows.append(np.column_stack((turning_part, along, -np.ones(DIRECTIONS))))
        right.append(free - along @ each)
    solved = linprog(
        [0, 0, 0, 1], A_ub=np.vstack(rows), b_ub=np.concatenate(right), bounds=[(-0.02, 0.02), *[(None, None)] * 3]
    )
    return float(solved.fun)


@every_row("seed", range(6))
def test_least_squares_is_the_rotation_that_scipy_aligns_vectors_by(seed: int) -> None:
    drawn, found = noisy(seed)
    a, b = found - found.mean(axis=0), drawn - drawn.mean(axis=0)
    flat = np.zeros((len(a), 1))
    # The weight of an upright vector of its own keeps the rotation in the plane (scipy, align_vectors).
    up = np.array([[0.0, 0.0, 1e4]])
    turn, _ = Rotation.align_vectors(np.vstack((np.hstack((a, flat)), up)), np.vstack((np.hstack((b, flat)), up)))
    expected = math.degrees(turn.as_rotvec()[2])
    assert least_squares(drawn, found).turn_deg == pytest.approx(expected, abs=1e-7)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("slack", [0.0, 0.5])
def test_minimax_reaches_what_a_linear_program_reaches(seed: int, slack: float) -> None:
    drawn, found = noisy(seed, count=5 + seed)
    room = np.random.default_rng(seed).uniform(0, slack, len(drawn)) if slack else np.zeros(len(drawn))
    placing = minimax(drawn, found, room)
    worst = float((placing.offsets(drawn, found) - room).max())
    bound = linear_program(drawn, found, room, placing)
    assert bound - 1e-5 <= worst <= bound + 2e-5


@every_row("seed", range(4))
def test_with_the_shift_fixed_only_the_turn_changes(seed: int) -> None:
    rng = np.random.default_rng(seed)
    drawn = pattern()
    found = Placing(3.0).moved(drawn) + rng.normal(0, 0.3, drawn.shape)
    placing = minimax(drawn, found, np.zeros(8), Freedom.TURN)
    assert (placing.shift_x, placing.shift_y) == pytest.approx((0.0, 0.0), abs=1e-9)
    turns = np.linspace(2.0, 4.0, 4001)
    best = min(Placing(turn).offsets(drawn, found).max() for turn in turns.tolist())
    assert placing.offsets(drawn, found).max() <= best + 1e-7


@given(
    turn=st.floats(-180, 180),
    x=st.floats(-500, 500),
    y=st.floats(-500, 500),
    count=st.integers(3, 24),
    radius=st.floats(20, 1500),
)
def test_exact_points_give_back_their_turn_and_shift(
    turn: float, x: float, y: float, count: int, radius: float
) -> None:
    drawn = pattern(count, radius)
    found = minimax(drawn, Placing(turn, x, y).moved(drawn), np.zeros(count))
    assert math.sin(math.radians(found.turn_deg - turn)) * radius == pytest.approx(0, abs=1e-6)
    assert (found.shift_x, found.shift_y) == pytest.approx((x, y), abs=1e-6)


def test_what_does_not_count_keeps_within_its_slack() -> None:
    drawn = pattern()
    found = drawn.copy()
    found[0] += [2.0, 0.0]
    slack = np.full(8, 0.4)
    counts = np.arange(8) == 0
    kept = minimax(drawn[1:], found[1:], slack[1:])
    placing = minimax(drawn, found, slack, start=kept, soft=counts)
    offsets = placing.offsets(drawn, found)
    assert offsets[1:].max() <= 0.4 + 1e-7
    assert offsets[0] < kept.offsets(drawn, found)[0] - 0.2
