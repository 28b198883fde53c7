"""The circle nearest to points: least squares of the distances, not of their squares."""

from collections.abc import Sequence

from flangelayout.errors import GeometryError
from flangelayout.geometry.shapes import Circle, Point
from flangelayout.problems.geometry import GeometryProblem

_STEPS = 50
_SETTLED = 1e-12


def fit_circle(points: Sequence[Point]) -> Circle:
    """The circle with the least sum of squared distances to points, by Gauss and Newton from an algebraic start.

    Args:
        points: At least 3, not on one line.

    Raises:
        GeometryError: If they fix no circle.
    """
    import numpy as np

    if len(points) < 3:
        raise GeometryError.of(GeometryProblem.TOO_FEW_POINTS, count=len(points))
    xy = np.array([(point.x, point.y) for point in points])
    middle = xy.mean(axis=0)
    about = xy - middle
    spread = float(np.abs(about).max()) or 1.0
    about = about / spread
    start, _, rank, _ = np.linalg.lstsq(
        np.column_stack((2 * about, np.ones(len(xy)))), (about**2).sum(axis=1), rcond=None
    )
    if rank < 3:
        raise GeometryError.of(GeometryProblem.POINTS_ON_A_LINE)
    x, y, radius = start[0], start[1], float(np.sqrt(start[2] + start[0] ** 2 + start[1] ** 2))
    for _ in range(_STEPS):
        away = about - np.array([x, y])
        distance = np.maximum(np.hypot(*away.T), 1e-300)
        slopes = np.column_stack((-away / distance[:, None], -np.ones(len(xy))))
        step = np.linalg.lstsq(slopes, radius - distance, rcond=None)[0]
        x, y, radius = x + step[0], y + step[1], radius + float(step[2])
        if float(np.abs(step).max()) < _SETTLED:
            break
    return Circle(Point(float(x * spread + middle[0]), float(y * spread + middle[1])), abs(radius) * spread)
