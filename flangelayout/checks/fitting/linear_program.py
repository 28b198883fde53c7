"""Many linear programs over the same kind of region at once: the point of a polytope farthest along each goal.

Solved by the primal-dual method with predictor and corrector (S. Mehrotra, On the implementation of a
primal-dual interior point method, 1992), all goals side by side.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from flangelayout.geometry.arrays import FloatArray

_STEPS = 60
_SETTLED = 1e-9
_PROP = 1e-13
"""What is added to the equations, as a share of their greatest number, so that a flat one has an answer."""
_SHORT_OF = 0.995
"""Share of the way to the nearest wall that a step may take."""
_HOPELESS = 1e100
"""A push over a gap from which on a goal is given up: no point is within all its walls, or it has long been found."""
_MOST_NUMBERS = 4_000_000
"""Most numbers that the rows of goals solved side by side may have together, for the memory's sake."""


def farthest(goals: "FloatArray", rows: "FloatArray", limits: "FloatArray", reach: "FloatArray") -> "FloatArray":
    """For each goal the x with ``rows @ x <= limits`` and ``abs(x) <= reach`` that makes ``goal @ x`` greatest.

    Args:
        goals: Shape (k, n).
        rows: Shape (m, n), or (k, m, n) where every goal has its own.
        limits: Shape (m,) or (k, m).
        reach: How far each of x may be from 0, above 0; shape (n,).

    Returns:
        Shape (k, n); within about 1e-7 of the walls where the region is not empty, of no use where it is.
    """
    import numpy as np

    count, width = goals.shape
    if not count or not width:
        return np.zeros((count, width))
    at_once = max(1, _MOST_NUMBERS // max(1, rows.shape[-2] * width))
    return np.concatenate(
        [
            _side_by_side(
                goals[start : start + at_once],
                rows[start : start + at_once] if rows.ndim == 3 else rows[None],
                limits[start : start + at_once] if limits.ndim == 2 else limits[None],
                reach,
            )
            for start in range(0, count, at_once)
        ]
    )


def _side_by_side(goals: "FloatArray", rows: "FloatArray", limits: "FloatArray", reach: "FloatArray") -> "FloatArray":
    """The points of a few goals; ``rows`` and ``limits`` stand for all of them where their first length is 1."""
    import numpy as np

    walls = _Walls(rows, limits, reach, len(goals))
    aim = goals / np.maximum(np.abs(goals).max(axis=1, keepdims=True), 1e-300)
    x: FloatArray = np.zeros_like(aim)
    gap = np.maximum(walls.bounds, 0.1 * reach.min())
    price = np.full_like(gap, 1.0 / aim.shape[1])
    for _ in range(_STEPS):
        beyond, astray = walls.along(x) + gap - walls.bounds, walls.back(price) - aim
        mean = (gap * price).mean(axis=1, keepdims=True)
        off = np.maximum(np.abs(beyond).max(axis=1, keepdims=True), np.abs(astray).max(axis=1, keepdims=True))
        weight = price / gap
        under_way = ((mean > _SETTLED) | (off > 10 * _SETTLED)) & (weight.max(axis=1, keepdims=True) < _HOPELESS)
        if not under_way.any():
            break
        here = _Newton(walls, np.where(under_way, weight, 1.0), gap, price, beyond, astray)
        _, gap_step, price_step = here.step(np.zeros_like(gap))
        ahead = (gap + _room(gap, gap_step) * gap_step) * (price + _room(price, price_step) * price_step)
        center = (ahead.mean(axis=1, keepdims=True) / mean) ** 3
        move, gap_step, price_step = here.step(np.where(under_way, center * mean - gap_step * price_step, 0.0))
        part, price_part = _room(gap, gap_step) * under_way, _room(price, price_step) * under_way
        x, gap, price = x + part * move, gap + part * gap_step, price + price_part * price_step
    return x


class _Walls:
    """The walls of the region of each goal: the rows first, then those of the reach on either side."""

    def __init__(self, rows: "FloatArray", limits: "FloatArray", reach: "FloatArray", count: int) -> None:
        """Keep the walls of so many goals."""
        import numpy as np

        self.rows, self.inner, self.width = rows, rows.shape[1], rows.shape[2]
        sides = np.broadcast_to(reach, (count, self.width))
        self.bounds = np.concatenate((np.broadcast_to(limits, (count, self.inner)), sides, sides), axis=1)

    def along(self, x: "FloatArray") -> "FloatArray":
        """How far each x is toward each wall."""
        import numpy as np

        found: FloatArray = np.concatenate((np.einsum("kmn,kn->km", *self._each(x)), x, -x), axis=1)
        return found

    def back(self, pushes: "FloatArray") -> "FloatArray":
        """The push of all walls together."""
        import numpy as np

        inner, width = self.inner, self.width
        together: FloatArray = np.matmul(pushes[:, None, :inner], self.rows)[:, 0]
        return together + pushes[:, inner : inner + width] - pushes[:, inner + width :]

    def normal(self, weights: "FloatArray") -> "FloatArray":
        """The equations of the steps, walls weighed; flat ones are propped up."""
        import numpy as np

        inner, width = self.inner, self.width
        weighed = np.swapaxes(self.rows, 1, 2) * weights[:, None, :inner]
        found: FloatArray = np.matmul(weighed, self.rows)
        diagonal = np.arange(width)
        found[:, diagonal, diagonal] += weights[:, inner : inner + width] + weights[:, inner + width :]
        steepest = found[:, diagonal, diagonal].max(axis=1, keepdims=True)
        found[:, diagonal, diagonal] += _PROP * np.maximum(steepest, 1.0)
        return found

    def _each(self, x: "FloatArray") -> "tuple[FloatArray, FloatArray]":
        import numpy as np

        return np.broadcast_to(self.rows, (len(x), self.inner, self.width)), x


class _Newton:
    """The steps from one state of all goals: gaps to the walls, and what the walls push."""

    def __init__(
        self,
        walls: _Walls,
        weight: "FloatArray",
        gap: "FloatArray",
        price: "FloatArray",
        beyond: "FloatArray",
        astray: "FloatArray",
    ) -> None:
        """Keep the state, and its equations."""
        self.walls, self.weight, self.gap, self.price = walls, weight, gap, price
        self.beyond, self.astray = beyond, astray
        self.equations = walls.normal(weight)

    def step(self, product: "FloatArray") -> "tuple[FloatArray, FloatArray, FloatArray]":
        """Newton's step toward a product of gap and push, as (x, gap, push)."""
        import numpy as np

        aside = product / self.gap - self.price + self.weight * self.beyond
        move = np.linalg.solve(self.equations, (-self.astray - self.walls.back(aside))[:, :, None])[:, :, 0].astype(
            float
        )
        shift = self.walls.along(move)
        return move, -self.beyond - shift, aside + self.weight * shift


def _room(values: "FloatArray", steps: "FloatArray") -> "FloatArray":
    """How much of its step each goal may take so that all its values stay above 0; shape (k, 1)."""
    import numpy as np

    with np.errstate(over="ignore"):
        shrinking = np.where(steps < 0, -values / np.minimum(steps, -1e-300), np.inf)
    room: FloatArray = np.minimum(1.0, _SHORT_OF * shrinking.min(axis=1, keepdims=True))
    return room
