"""The circle nearest to points against scipy's least squares."""

import numpy as np
import pytest
from scipy.optimize import least_squares

from flangelayout.errors import GeometryError
from flangelayout.geometry.circle_fit import fit_circle
from flangelayout.geometry.shapes import Point, polar
from rows import every_row


@every_row("seed", range(6))
def test_the_fit_is_the_one_scipy_finds(seed: int) -> None:
    rng = np.random.default_rng(seed)
    angles = rng.uniform(0, 360 if seed % 2 else 70, 9)
    points = [polar(120 + rng.normal(0, 0.4), angle, Point(40.0, -300.0)) for angle in angles]
    xy = np.array([(p.x, p.y) for p in points])
    best = least_squares(lambda z: np.hypot(*(xy - z[:2]).T) - z[2], [40, -300, 120], xtol=1e-15, ftol=1e-15)
    found = fit_circle(points)
    assert (found.center.x, found.center.y, found.radius) == pytest.approx(tuple(best.x), abs=1e-4)


def test_three_points_give_their_circle() -> None:
    found = fit_circle([Point(5.0, 0.0), Point(0.0, 5.0), Point(-5.0, 0.0)])
    assert (found.center.x, found.center.y, found.radius) == pytest.approx((0, 0, 5), abs=1e-12)


def test_what_fixes_no_circle_is_refused() -> None:
    with pytest.raises(GeometryError, match="3 are needed"):
        fit_circle([Point(0, 0), Point(1, 1)])
    with pytest.raises(GeometryError, match="one line"):
        fit_circle([Point(0, 0), Point(1, 1), Point(2, 2)])
