"""The turn and shift of one set of points that brings it nearest to another: least squares, and minimax.

Minimax: the least r for which some turn t and shift s hold |turned(b, t) + s - a| <= r + slack for every pair.
For small further turns the places of the points are linear in turn and shift, so this is a second-order cone
program; it is solved by following the central path of its logarithmic barrier (S. Boyd and L. Vandenberghe,
Convex Optimization, chapter 11), with the true turn instead of the linear one.
"""

import math
from enum import Enum
from typing import TYPE_CHECKING

from msgspec import Struct

if TYPE_CHECKING:
    from flangelayout.geometry.arrays import FloatArray

_GAP = 1e-8
"""How near in mm the result comes to the best one."""
_GROWTH = 20.0
_MOST_STAGES = 40
_ON_THE_WAY, _AT_THE_END = 1.0, 1e-4
"""What a Newton step may still gain where a stage of the path is left."""


class Freedom(Enum):
    """What may be changed to bring the points together."""

    TURN_AND_SHIFT = "turn and shift"
    TURN = "turn only"
    NOTHING = "nothing"


class Placing(Struct, frozen=True):
    """A turn in degrees counter-clockwise about the origin, and a shift in mm after it."""

    turn_deg: float = 0.0
    shift_x: float = 0.0
    shift_y: float = 0.0

    def moved(self, points: "FloatArray") -> "FloatArray":
        """Points turned and shifted; shape (n, 2)."""
        import numpy as np

        angle = math.radians(self.turn_deg)
        c, s = math.cos(angle), math.sin(angle)
        turned: FloatArray = points @ np.array([[c, s], [-s, c]]) + np.array([self.shift_x, self.shift_y])
        return turned

    def offsets(self, points: "FloatArray", targets: "FloatArray") -> "FloatArray":
        """How far each point, moved, is from its target, in mm."""
        import numpy as np

        apart: FloatArray = np.hypot(*(self.moved(points) - targets).T)
        return apart


def least_squares(
    points: "FloatArray", targets: "FloatArray", freedom: Freedom = Freedom.TURN_AND_SHIFT, start: float = 0.0
) -> Placing:
    """The placing with the least sum of squared offsets (in the plane, G. Wahba's problem has this closed form).

    Args:
        points: Shape (n, 2), in mm.
        targets: Where each of them belongs.
        freedom: What may be changed.
        start: The turn in degrees that is kept where nothing may be turned or nothing fixes the turn.
    """
    import numpy as np

    if freedom is Freedom.NOTHING:
        return Placing(start)
    free = freedom is Freedom.TURN_AND_SHIFT
    middle, center = (points.mean(axis=0), targets.mean(axis=0)) if free else (np.zeros(2), np.zeros(2))
    b, a = points - middle, targets - center
    along = float((a * b).sum())
    across = float((b[:, 0] * a[:, 1] - b[:, 1] * a[:, 0]).sum())
    turn = math.degrees(math.atan2(across, along)) if math.hypot(across, along) > 1e-12 else start
    shift = center - Placing(turn).moved(middle[None, :])[0]
    return Placing(turn, float(shift[0]), float(shift[1]))


def minimax(
    points: "FloatArray",
    targets: "FloatArray",
    slack: "FloatArray",
    freedom: Freedom = Freedom.TURN_AND_SHIFT,
    start: Placing | None = None,
    soft: "FloatArray | None" = None,
) -> Placing:
    """The placing with the least greatest ``offset - slack``.

    Args:
        points: Shape (n, 2), in mm.
        targets: Where each of them belongs.
        slack: How far each may be off before it counts, in mm; shape (n,).
        freedom: What may be changed.
        start: Where to begin, near the best placing; the least-squares one unless told.
        soft: True for the points that count, where the others only must keep within their slack, which
            ``start`` must fulfil with a little to spare.

    Returns:
        A placing whose greatest ``offset - slack`` is within 1e-7 mm of the least possible near ``start``.
    """
    import numpy as np

    begin = start or least_squares(points, targets, freedom)
    if freedom is Freedom.NOTHING:
        return begin
    counts = np.ones(len(points)) if soft is None else soft.astype(float)
    path = _Path(points, targets, slack, counts, freedom)
    z = path.first(begin)
    weight = 2.0 * len(points) / max(z[3] - path.floor, _GAP)
    for _ in range(_MOST_STAGES):
        last = 2 * len(points) / weight < _GAP
        z = path.centered(z, weight, _AT_THE_END if last else _ON_THE_WAY)
        if last:
            break
        weight *= _GROWTH
    found = path.placing(z)
    better = [found, begin] if soft is None else [found]
    return min(better, key=lambda placing: float((placing.offsets(points, targets) - slack)[counts > 0].max()))


class _Path:
    """The central path of one problem; a state is (turn x arm in mm, x, y, how much room is given beyond the slack)."""

    def __init__(
        self, points: "FloatArray", targets: "FloatArray", slack: "FloatArray", counts: "FloatArray", freedom: Freedom
    ) -> None:
        """Keep the problem, the turn about the middle of the points so that turn and shift do not mix."""
        import numpy as np

        free = freedom is Freedom.TURN_AND_SHIFT
        self.middle = points.mean(axis=0) if free else np.zeros(2)
        self.points, self.targets, self.slack, self.counts = points - self.middle, targets, slack, counts
        self.arm = max(float(np.hypot(*self.points.T).max()), 1e-9)
        self.moving = np.array([True, free, free, True])
        self.kept = np.ix_(self.moving, self.moving)
        self.floor = -float(slack[counts > 0].min())

    def first(self, begin: Placing) -> "FloatArray":
        """A state inside every constraint: the placing, and room to spare."""
        import numpy as np

        angle = math.radians(begin.turn_deg)
        shift = begin.moved(self.middle[None, :])[0]
        z = np.array([angle * self.arm, shift[0], shift[1], 0.0])
        worst = float((np.hypot(*self._apart(z)[0].T) - self.slack)[self.counts > 0].max())
        z[3] = max(worst, self.floor) + 0.1 * max(abs(worst - self.floor), 0.01)
        return z

    def placing(self, z: "FloatArray") -> Placing:
        """The placing of a state, its turn about the origin."""
        turn = math.degrees(z[0] / self.arm)
        turned = Placing(turn).moved(self.middle[None, :])[0]
        return Placing(turn, float(z[1] - turned[0]), float(z[2] - turned[1]))

    def centered(self, z: "FloatArray", weight: float, enough: float) -> "FloatArray":
        """The state of the path at a weight, by Newton steps until one gains less than ``enough``."""
        import numpy as np

        value = self._value(z, weight)
        for _ in range(60):
            gradient, hessian = self._slopes(z, weight)
            move = np.zeros(4)
            move[self.moving] = -np.linalg.lstsq(hessian[self.kept], gradient[self.moving], rcond=None)[0]
            gain = -float(gradient @ move)
            size = 1.0
            while (tried := self._value(z + size * move, weight)) > value - 1e-4 * size * gain:
                size /= 2
                if size < 1e-12:
                    return z
            z, value = z + size * move, tried
            if gain < enough:
                break
        return z

    def _apart(self, z: "FloatArray") -> "tuple[FloatArray, FloatArray]":
        """Steps from every target to its moved point, and how they change with the turn."""
        import numpy as np

        angle = z[0] / self.arm
        c, s = math.cos(angle), math.sin(angle)
        turned = self.points @ np.array([[c, s], [-s, c]])
        across = turned @ np.array([[0.0, 1.0], [-1.0, 0.0]]) / self.arm
        return turned + z[1:3] - self.targets, across

    def _value(self, z: "FloatArray", weight: float) -> float:
        """Weight times room, less the logarithms of what is left in every cone; infinite outside one."""
        import numpy as np

        room = self.slack + self.counts * z[3]
        apart = np.hypot(*self._apart(z)[0].T)
        left = (room - apart) * (room + apart)
        if room.min() <= 0 or left.min() <= 0:
            return math.inf
        return float(weight * z[3] - np.log(left).sum())

    def _slopes(self, z: "FloatArray", weight: float) -> "tuple[FloatArray, FloatArray]":
        """Gradient and Hessian of the value, the bend of the turn itself left out."""
        import numpy as np

        apart, across = self._apart(z)
        room = self.slack + self.counts * z[3]
        distance = np.hypot(*apart.T)
        left = (room - distance) * (room + distance)
        slope = 2 * np.column_stack((-(apart * across).sum(axis=1), -apart, self.counts * room))
        gradient = -(slope / left[:, None]).sum(axis=0)
        gradient[3] += weight
        scaled = slope / left[:, None]
        hessian = scaled.T @ scaled
        share = 2 / left
        hessian[0, 0] += float((share * (across**2).sum(axis=1)).sum())
        hessian[0, 1:3] += (share[:, None] * across).sum(axis=0)
        hessian[1:3, 0] = hessian[0, 1:3]
        hessian[1, 1] += share.sum()
        hessian[2, 2] += share.sum()
        hessian[3, 3] -= float((share * self.counts**2).sum())
        return gradient, hessian
