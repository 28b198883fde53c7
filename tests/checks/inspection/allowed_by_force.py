"""A judge of caliper inspections with arithmetic of its own: scipy's linear programs, laid at the true part.

Whatever it shows is a part whose exact lengths keep every reading, so what it finds cannot be argued with; what
it does not find may still be there.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import combinations

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog

from flangelayout.flange import Flange
from flangelayout.survey import Kind, Reading

Array = NDArray[np.float64]
BOX = 2.0
ENOUGH = 0.02
"""How clearly in mm a part must keep all limits for the search to end."""
DIRECTIONS = 12


@dataclass(frozen=True)
class Limits:
    """What a drawn case is held to, plus and minus in mm; a zone is a diameter."""

    circle: float | None
    chord: float | None
    any_chord: bool
    zone: float | None
    plus: float | None
    minus: float | None


class Force:
    """Parts as lists of x, y of every hole, then their diameters, x, y and diameter of the bore, and of the rim."""

    def __init__(self, drawn: Flange, true: Array, readings: Sequence[Reading], limits: Limits) -> None:
        self.nominal = np.array([(hole.center.x, hole.center.y) for hole in drawn.holes()])
        self.width = drawn.holes()[0].diameter
        self.count = len(self.nominal)
        self.true, self.limits = true, limits
        self.read = [(each.value, each.within or 0.0, ends) for each in readings for ends in self._ends(each)]

    def _ends(self, reading: Reading) -> list[Callable[[Array], float]]:
        n = self.count
        a, b = (reading.from_hole or 1) - 1, (reading.to_hole or 1) - 1

        def apart(x: Array, p: int, q: int) -> float:
            return math.hypot(x[p] - x[q], x[p + 1] - x[q + 1])

        bore, rim = 3 * n, 3 * n + 3
        gap, to_bore = partial(apart, p=2 * a, q=2 * b), partial(apart, p=2 * a, q=bore)
        to_rim = partial(apart, p=2 * a, q=rim)
        lengths: dict[Kind, Callable[[Array], float]] = {
            Kind.CENTERS: gap,
            Kind.SAME_EDGES: gap,
            Kind.NEAR_EDGES: lambda x: gap(x) - (x[2 * n + a] + x[2 * n + b]) / 2,
            Kind.FAR_EDGES: lambda x: gap(x) + (x[2 * n + a] + x[2 * n + b]) / 2,
            Kind.HOLE_DIAMETER: lambda x: float(x[2 * n + a]),
            Kind.BORE: lambda x: float(x[bore + 2]),
            Kind.OUTSIDE_DIAMETER: lambda x: float(x[rim + 2]),
            Kind.HOLE_TO_BORE: lambda x: to_bore(x) - x[2 * n + a] / 2 - x[bore + 2] / 2,
            Kind.HOLE_TO_RIM: lambda x: x[rim + 2] / 2 - to_rim(x) - x[2 * n + a] / 2,
        }
        if reading.kind is Kind.HOLE_DIAMETER and reading.from_hole is None:
            return [partial(lambda x, i: float(x[2 * n + i]), i=i) for i in range(n)]
        return [lengths[reading.kind]]

    def allows(self, x: Array) -> bool:
        """Whether a part keeps every reading to 0.00001 mm."""
        return all(abs(length(x) - value) <= within + 1e-5 for value, within, length in self.read)

    def walls(self, x: Array) -> tuple[Array, Array]:
        """The readings as walls of steps from a part."""
        rows = np.array([slope(length, x) for *_, length in self.read])
        here = np.array([length(x) for *_, length in self.read])
        values, within = (np.array([each[at] for each in self.read]) for at in (0, 1))
        return np.vstack((rows, -rows)), np.concatenate((values + within - here, here + within - values))

    def bounds(self, box: float) -> list[tuple[float, float]]:
        """How far each number may go; hole 1 stays, and a coordinate of another: no part is lost by it."""
        found = [(-box, box)] * len(self.true)
        centers = self.true[: 2 * self.count].reshape(-1, 2)
        turning = int(np.argmax(np.abs(centers[:, 0] - centers[0, 0])))
        for fixed in (0, 1, 2 * turning + 1):
            found[fixed] = (0.0, 0.0)
        return found

    def drawn_in(self, x: Array) -> Array | None:
        """A part beside x that keeps every reading: by least steps back, else on the way to the true one."""
        part = x
        for _ in range(6):
            past = [(length(part) - value, within, length) for value, within, length in self.read]
            broken = [(off, within, length) for off, within, length in past if abs(off) > within]
            if not broken:
                return part
            rows = np.array([slope(length, part) for *_, length in broken])
            back = np.array([math.copysign(within - 2e-6, off) - off for off, within, _ in broken])
            part = part + np.linalg.lstsq(rows, back, rcond=None)[0]
        for share in (0.999, 0.995, 0.99, 0.97, 0.9, 0.75, 0.5, 0.25):
            part = self.true + share * (x - self.true)
            if self.allows(part):
                return part
        return None

    def lengths(self) -> Iterator[tuple[Callable[[Array], float], float, float]]:
        """Every limited length: how it is measured, its least and its greatest value."""
        n, limits = self.count, self.limits

        def apart(a: int, b: int) -> Callable[[Array], float]:
            return lambda x: math.hypot(x[2 * a] - x[2 * b], x[2 * a + 1] - x[2 * b + 1])

        if limits.circle is not None and n % 2 == 0:
            for i in range(n // 2):
                nominal = math.dist(self.nominal[i], self.nominal[i + n // 2])
                yield apart(i, i + n // 2), nominal - limits.circle, nominal + limits.circle
        if limits.chord is not None:
            pairs = combinations(range(n), 2) if limits.any_chord else ((i, (i + 1) % n) for i in range(n))
            for a, b in pairs:
                nominal = math.dist(self.nominal[a], self.nominal[b])
                yield apart(a, b), nominal - limits.chord, nominal + limits.chord
        if limits.circle is not None and n >= 3:
            nominal = 2 * math.hypot(*self.nominal[0])
            yield lambda x: circle_of(x[: 2 * n].reshape(-1, 2)), nominal - limits.circle, nominal + limits.circle
        if limits.plus is not None or limits.minus is not None:
            least = -math.inf if limits.minus is None else self.width - limits.minus
            most = math.inf if limits.plus is None else self.width + limits.plus
            for i in range(n):
                yield partial(lambda x, i: float(x[2 * n + i]), i=i), least, most

    def out_by(self, x: Array) -> float:
        """How far the worst limit of a part is broken, in mm; negative where all are kept."""
        found = [max(least - length(x), length(x) - most) for length, least, most in self.lengths()]
        if self.limits.zone is not None:
            found.append(self._out_of_place(x))
        return max(found)

    def _out_of_place(self, x: Array) -> float:
        """The least greatest distance from the places, less half the zone: a program over shift, turn and excess."""
        centers = x[: 2 * self.count].reshape(-1, 2)
        nominal = fitted_to(self.nominal, centers)
        rows, limits = [], []
        for angle in np.arange(96) * (2 * math.pi / 96):
            u = np.array([math.cos(angle), math.sin(angle)])
            for p, c in zip(nominal, centers, strict=True):
                rows.append([-u[0], -u[1], -(u @ [-p[1], p[0]]) / 100, -1.0])
                limits.append(-(u @ (c - p)))
        free = [(-5, 5), (-5, 5), (-5, 5), (-100, 100)]
        found = linprog([0, 0, 0, 1], A_ub=np.array(rows), b_ub=np.array(limits), bounds=free, method="highs")
        return float(found.fun) - (self.limits.zone or 0.0) / 2

    def best(self) -> float:
        """How far the worst limit is broken in the allowed part that keeps them best; an exact part shows it."""
        x, shown = self.true, [self.out_by(self.true)]
        for box in (BOX, BOX, 1.0, 1.0, 0.5, 0.25, 0.1, 0.03, 0.01):
            if min(shown) < -ENOUGH:
                break
            x = x + self._improving(x, box)
            part = self.drawn_in(x)
            shown += [] if part is None else [self.out_by(part)]
        return min(shown)

    def _improving(self, x: Array, box: float) -> Array:
        """The step from a part, no longer than a box, that lessens the worst excess over the limits."""
        rows, room = self.walls(x)
        width = len(x)
        all_rows = [np.column_stack((rows, np.zeros((len(rows), 4))))]
        all_room = [room]
        for length, least, most in self.lengths():
            along, here = slope(length, x), length(x)
            for sign, end in ((1.0, most), (-1.0, least)):
                if math.isfinite(end):
                    all_rows.append(np.concatenate((sign * along, [0.0, 0.0, 0.0, -1.0]))[None])
                    all_room.append(np.array([sign * (end - here)]))
        if self.limits.zone is not None:
            centers = x[: 2 * self.count].reshape(-1, 2)
            nominal = fitted_to(self.nominal, centers)
            for angle in np.arange(48) * (2 * math.pi / 48):
                u = np.array([math.cos(angle), math.sin(angle)])
                for i, (p, c) in enumerate(zip(nominal, centers, strict=True)):
                    row = np.zeros(width + 4)
                    row[2 * i : 2 * i + 2] = u
                    row[width:] = [-u[0], -u[1], -(u @ [-p[1], p[0]]) / 100, -1.0]
                    all_rows.append(row[None])
                    all_room.append(np.array([self.limits.zone / 2 - u @ (c - p)]))
        goal = np.zeros(width + 4)
        goal[-1] = 1.0
        bounds = [*self.bounds(box), *([(-5, 5)] * 3), (-100, 100)]
        found = linprog(goal, A_ub=np.vstack(all_rows), b_ub=np.concatenate(all_room), bounds=bounds, method="highs")
        return np.zeros(width) if found.x is None else np.asarray(found.x[:width])

    def worst(self, enough: float) -> float:
        """How far the worst limit is broken in the worst allowed part that is found; stops where it is ``enough``."""
        rows, room = self.walls(self.true)
        bounds = self.bounds(BOX)
        most = self.out_by(self.true)
        for goal in self._goals():
            if most >= enough:
                break
            found = linprog(-goal, A_ub=rows, b_ub=room, bounds=bounds, method="highs")
            part = self.drawn_in(self.true + found.x)
            if part is not None:
                most = max(most, self.out_by(part))
        if most < enough < math.inf:
            most = max(most, *(out for length, _, _ in self.lengths() for out in self._pushed(length)))
        return most

    def _pushed(self, length: Callable[[Array], float]) -> Iterator[float]:
        """How far the worst limit is broken on ways that lengthen or shorten one length step by step."""
        for sign in (1.0, -1.0):
            x = self.true
            for box in (1.0, 1.0, 1.0, 0.5, 0.2, 0.05):
                rows, room = self.walls(x)
                goal = -sign * slope(length, x)
                found = linprog(goal, A_ub=rows, b_ub=room, bounds=self.bounds(box), method="highs")
                part = None if found.x is None else self.drawn_in(x + found.x)
                if part is None:
                    break
                x = part
                yield self.out_by(x)

    def _goals(self) -> Iterator[Array]:
        for length, least, most in self.lengths():
            along = slope(length, self.true)
            if math.isfinite(most):
                yield along
            if math.isfinite(least):
                yield -along
        if self.limits.zone is None:
            return
        n = self.count
        centers = self.true[: 2 * n].reshape(-1, 2)
        moved = np.zeros((2 * n, 3))
        moved[0::2, 0] = moved[1::2, 1] = 1.0
        moved[0::2, 2], moved[1::2, 2] = -centers[:, 1], centers[:, 0]
        rest = np.eye(2 * n) - moved @ np.linalg.pinv(moved)
        for a, b in combinations(range(n), 2):
            unit = (centers[b] - centers[a]) / math.dist(centers[a], centers[b])
            for sign in (1.0, -1.0):
                goal = np.zeros(len(self.true))
                goal[2 * a : 2 * a + 2], goal[2 * b : 2 * b + 2] = -sign * unit, sign * unit
                yield goal
        for i in range(n):
            for angle in np.arange(DIRECTIONS) * (2 * math.pi / DIRECTIONS):
                goal = np.zeros(len(self.true))
                goal[: 2 * n] = rest[2 * i] * math.cos(angle) + rest[2 * i + 1] * math.sin(angle)
                yield goal


def slope(length: Callable[[Array], float], x: Array) -> Array:
    """How a length changes with each number of a part, by differences."""
    step = 1e-5
    return np.array([(length(x + step * e) - length(x - step * e)) / (2 * step) for e in np.eye(len(x))])


def circle_of(centers: Array) -> float:
    """Diameter of the circle of least squared distances, by Newton's steps on middle and radius."""
    middle = centers.mean(axis=0)
    radius = float(np.hypot(*(centers - middle).T).mean())
    for _ in range(30):
        away = centers - middle
        distance = np.hypot(*away.T)
        jacobian = np.column_stack((-away / distance[:, None], -np.ones(len(centers))))
        step = np.linalg.lstsq(jacobian, radius - distance, rcond=None)[0]
        middle, radius = middle + step[:2], radius + float(step[2])
        if np.abs(step).max() < 1e-12:
            break
    return 2 * radius


def fitted_to(points: Array, targets: Array) -> Array:
    """Points turned and shifted onto targets by least squares, by complex numbers."""
    p, t = points[:, 0] + 1j * points[:, 1], targets[:, 0] + 1j * targets[:, 1]
    turn = (np.conj(p - p.mean()) * (t - t.mean())).sum()
    moved = t.mean() + (p - p.mean()) * turn / abs(turn)
    return np.column_stack((moved.real, moved.imag))
