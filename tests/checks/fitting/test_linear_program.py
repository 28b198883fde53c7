"""Linear programs side by side against scipy's, which is another method altogether (dual simplex)."""

import numpy as np
import pytest
from scipy.optimize import linprog

from flangelayout.checks.fitting.linear_program import farthest
from rows import every_row


@every_row("seed", range(4))
def test_the_farthest_points_are_those_of_another_solver(seed: int) -> None:
    rng = np.random.default_rng(seed)
    width, walls = int(rng.integers(2, 12)), int(rng.integers(1, 30))
    rows, limits = rng.normal(size=(walls, width)), rng.uniform(0.05, 0.5, walls)
    goals = np.vstack((rng.normal(size=(8, width)), rows[0], np.eye(width)[0]))
    found = farthest(goals, rows, limits, np.full(width, 4.0))
    for goal, x in zip(goals, found, strict=True):
        best = linprog(-goal, A_ub=rows, b_ub=limits, bounds=[(-4, 4)] * width, method="highs")
        assert goal @ x == pytest.approx(-best.fun, abs=1e-6)
        assert (rows @ x - limits).max() < 1e-7


def test_every_goal_may_have_walls_of_its_own() -> None:
    rows = np.array([[[1.0, 1.0]], [[1.0, -1.0]]])
    limits = np.array([[1.0], [0.5]])
    found = farthest(np.array([[1.0, 0.5], [1.0, -0.5]]), rows, limits, np.array([2.0, 2.0]))
    assert found == pytest.approx(np.array([[2.0, -1.0], [2.0, 1.5]]), abs=1e-7)


def test_a_region_without_a_point_is_given_up_without_a_word() -> None:
    """Nothing is both at most -1 and at least 1; numbers that run off to infinity are warned of."""
    rows = np.array([[1.0, 0.3], [-1.0, -0.3], [0.2, 1.0]])
    for scale in (1.0, 1e3, 1e-3):
        found = farthest(np.eye(2), rows, scale * np.array([-1.0, -1.0, 0.5]), np.full(2, 4.0))
        assert found.shape == (2, 2)
