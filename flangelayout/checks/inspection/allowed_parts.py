"""Every part that a set of readings allows: where its holes can be and how wide they can be.

A reading says no more than that its length lies within what the caliper is good to. The parts that keep all
of them are a region; it is laid out about the part that fits the readings best, free of turn and shift, and
looked at as a polytope that is laid anew wherever a search has come to, until both agree.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations, pairwise
from typing import TYPE_CHECKING

from msgspec import Struct

from flangelayout.checks.fitting.linear_program import farthest
from flangelayout.flange import Flange, Hole
from flangelayout.geometry.circle_fit import fit_circle
from flangelayout.geometry.shapes import Point
from flangelayout.survey.kinds import CHORD_KINDS, KINDS, RADIAL_KINDS, Kind
from flangelayout.survey.readings import Reading

if TYPE_CHECKING:
    from flangelayout.geometry.arrays import BoolArray, FloatArray, IntArray

AGREES = 1e-6
"""How far in mm a length may be past what a reading allows before it counts, for the sake of arithmetic."""
_ROUNDS, _NARROWING = 14, 0.6
_STEPS, _FIRST_DAMPING = 100, 0.1
_TO_SPARE = 0.02
_ASTRAY, _PADDING = 1e-3, 10.0
"""How far in mm a search may end outside of the region, and how many times as much its length is then padded."""
_REACH_SHARE, LEAST_REACH, MOST_REACH = 0.25, 1.0, 4.0
"""How far a center is looked for from where the readings put it: a share of the least distance drawn, at least and
at most so many mm. What a search finds at that end is taken as held by nothing."""
_FREE = 1e-6
_HELD = 1e-4
"""How little in mm a length changes along a loose move of 1 mm where the readings hold it."""
_ON_THE_WAY = (1.0, 0.9999, 0.999, 0.99, 0.95, 0.8, 0.5, 0.2, 0.05)


class Unknowns(Struct, frozen=True):
    """What is not known of a part that was measured by caliper, as places in one list of lengths in mm.

    Attributes:
        drawn: Their values on the drawing: x and y of every point, then sizes.
        points: Which point a measured hole is, by its label; the middles of bore and rim have no label.
        sizes: Where the diameter of a hole stands, by its label.
        singles: Where the single sizes stand: bore, outside diameter, stud.
        middles: Which points the middles of bore and rim are.
    """

    drawn: "FloatArray"
    points: Mapping[str, int]
    sizes: Mapping[str, int]
    singles: Mapping[Kind, int]
    middles: Mapping[Kind, int]

    @property
    def point_count(self) -> int:
        """How many points there are."""
        return len(self.points) + len(self.middles)


@dataclass(frozen=True)
class AllowedLengths:
    """Lengths of a part: each a distance of two points, if it has any, times a sign, and shares of other unknowns.

    Attributes:
        first: Point of each length, -1 where it is no distance.
        second: The other point.
        sign: 1, or -1 where the distance counts against the length; 0 where it is no distance.
        shares: How much of each unknown a length holds besides; shape (m, n).
    """

    first: "IntArray"
    second: "IntArray"
    sign: "FloatArray"
    shares: "FloatArray"

    def _steps(self, x: "FloatArray") -> "tuple[IntArray, FloatArray]":
        """The lengths that are distances, and their steps from point to point; shape (..., d, 2)."""
        import numpy as np

        far = np.flatnonzero(self.sign)
        from_point, to_point = self.first[far], self.second[far]
        across = x[..., 2 * to_point] - x[..., 2 * from_point]
        along = x[..., 2 * to_point + 1] - x[..., 2 * from_point + 1]
        return far, np.stack((across, along), axis=-1)

    def values(self, x: "FloatArray") -> "FloatArray":
        """The lengths of parts; (..., n) to (..., m)."""
        import numpy as np

        far, steps = self._steps(x)
        found: FloatArray = x @ self.shares.T
        found[..., far] += self.sign[far] * np.hypot(steps[..., 0], steps[..., 1])
        return found

    def slopes(self, x: "FloatArray") -> "FloatArray":
        """How each length changes with each unknown; (..., n) to (..., m, n)."""
        import numpy as np

        far, steps = self._steps(x)
        unit = self.sign[far, None] * steps / np.maximum(np.hypot(steps[..., 0], steps[..., 1]), 1e-9)[..., None]
        found = np.broadcast_to(self.shares, (*x.shape[:-1], *self.shares.shape)).copy()
        for axis in (0, 1):
            found[..., far, 2 * self.second[far] + axis] += unit[..., axis]
            found[..., far, 2 * self.first[far] + axis] -= unit[..., axis]
        return found


@dataclass(frozen=True)
class Circles:
    """The diameters of the circles that fit some points of a part best; ``points`` has three or more for each."""

    points: "tuple[IntArray, ...]"

    def values(self, x: "FloatArray") -> "FloatArray":
        """The diameters of parts; (..., n) to (..., m)."""
        import numpy as np

        found = np.zeros((*x.shape[:-1], len(self.points)))
        for at in np.ndindex(x.shape[:-1]):
            for column, points in enumerate(self.points):
                centers = np.stack((x[at][2 * points], x[at][2 * points + 1]), axis=-1).tolist()
                found[(*at, column)] = 2 * fit_circle([Point(*center) for center in centers]).radius
        return found

    def slopes(self, x: "FloatArray") -> "FloatArray":
        """How each diameter changes with each unknown, as long as the points are near the circle."""
        import numpy as np

        found = np.zeros((*x.shape[:-1], len(self.points), x.shape[-1]))
        for at in np.ndindex(x.shape[:-1]):
            for column, points in enumerate(self.points):
                centers = np.stack((x[at][2 * points], x[at][2 * points + 1]), axis=-1)
                middle = fit_circle([Point(*each) for each in centers.tolist()]).center
                outward = centers - np.array([middle.x, middle.y])
                outward /= np.hypot(*outward.T)[:, None]
                share = np.linalg.pinv(np.column_stack((outward, np.ones(len(centers)))))[2]
                found[(*at, column, 2 * points)] = 2 * share * outward[:, 0]
                found[(*at, column, 2 * points + 1)] = 2 * share * outward[:, 1]
        return found


Quantity = AllowedLengths | Circles


@dataclass(frozen=True)
class AllowedParts:
    """The parts whose lengths keep what the readings say.

    Attributes:
        unknowns: What they differ in.
        lengths: What was read.
        least: What each length is at least.
        most: What each length is at most.
        center: The part that fits best.
        reach: How far from it a center is looked for, in mm.
    """

    unknowns: Unknowns
    lengths: AllowedLengths
    least: "FloatArray"
    most: "FloatArray"
    center: "FloatArray"
    reach: float

    @cached_property
    def basis(self) -> "FloatArray":
        """The changes of the unknowns that are no turn or shift of the whole part; shape (n, k), orthonormal."""
        return _still(self.center, self.unknowns.point_count)

    @cached_property
    def bounds(self) -> "FloatArray":
        """How far each change along the basis is followed, in mm."""
        import numpy as np

        return np.full(self.basis.shape[1], self.reach)

    @cached_property
    def loose(self) -> "FloatArray":
        """The changes along the basis that no reading sees; shape (k, ...)."""
        return _unseen(self.lengths.slopes(self.center) @ self.basis)

    def excess(self, x: "FloatArray") -> "FloatArray":
        """How far the worst length of each part is past what its reading allows; negative inside."""
        import numpy as np

        found = self.lengths.values(x)
        worst: FloatArray = np.maximum(found - self.most, self.least - found).max(axis=-1, initial=-np.inf)
        return worst

    def walls(self, moves: "FloatArray") -> "tuple[FloatArray, FloatArray]":
        """The region as a polytope of moves from the center along the basis, laid at each of some moves."""
        import numpy as np

        x = self.center + moves @ self.basis.T
        rows = self.lengths.slopes(x) @ self.basis
        here = self.lengths.values(x) - np.einsum("...mk,...k->...m", rows, moves)
        return np.concatenate((rows, -rows), axis=-2), np.concatenate((self.most - here, here - self.least), axis=-1)

    def drawn_in(self, moves: "FloatArray", further: "FloatArray") -> "FloatArray":
        """Some moves and as much of further ones as all readings are kept at."""
        tried = (moves + share * further for share in _ON_THE_WAY)
        return next((each for each in tried if self.excess(self.center + self.basis @ each) <= AGREES), moves)

    def is_seen(self, slopes: "FloatArray") -> "BoolArray":
        """Whether the readings hold a quantity with these slopes along the basis; (..., k) to (...)."""
        import numpy as np

        if not self.loose.shape[1]:
            return np.ones(slopes.shape[:-1], dtype=bool)
        unseen: BoolArray = np.abs(slopes @ self.loose).max(axis=-1) < _HELD
        return unseen

    def extremes(self, quantity: Quantity) -> "tuple[FloatArray, FloatArray]":
        """The least and the greatest value of each quantity over all parts; infinite where no reading holds it."""
        import numpy as np

        slopes = quantity.slopes(self.center) @ self.basis
        seen = np.flatnonzero(self.is_seen(slopes))
        ends = np.full((2, len(slopes)), np.inf) * np.array([[-1.0], [1.0]])
        if len(seen):
            which = np.concatenate((seen, seen))
            signs = np.repeat([-1.0, 1.0], len(seen))
            parts, astray = self.searched(quantity, which, signs)
            values = quantity.values(parts)[np.arange(len(which)), which]
            values = np.where(astray < _ASTRAY, values + signs * _PADDING * astray, signs * np.inf)
            ends[:, seen] = values.reshape(2, -1)
        return ends[0], ends[1]

    def searched(self, quantity: Quantity, which: "IntArray", signs: "FloatArray") -> "tuple[FloatArray, FloatArray]":
        """For each sign the part where that quantity, times the sign, is greatest, and by how much it is none of them.

        That is infinite for one at the end of what is looked at. A search that swings between corners of equal
        worth ends a little outside of the region.
        """
        import numpy as np

        moves = np.zeros((len(which), self.basis.shape[1]))
        laid = moves.copy()
        open_ones = np.arange(len(which))
        rows, limits = self.walls(np.zeros(self.basis.shape[1]))
        for turn in range(_ROUNDS):
            if turn:
                laid[open_ones] += (moves[open_ones] - laid[open_ones]) * (1.0 if turn < _ROUNDS // 3 else 0.5)
                rows, limits = self.walls(laid[open_ones])
            parts = self.center + (laid[open_ones] if turn else laid[:1]) @ self.basis.T
            slopes = quantity.slopes(parts) @ self.basis
            goals = signs[open_ones, None] * slopes[np.arange(len(open_ones)) if turn else 0, which[open_ones]]
            moves[open_ones] = farthest(goals, rows, limits, self.bounds)
            past = self.excess(self.center + moves[open_ones] @ self.basis.T)
            open_ones = open_ones[past > AGREES]
            if not len(open_ones):
                break
        found = self.center + moves @ self.basis.T
        inside = np.abs(moves).max(axis=-1, initial=0.0) < 0.99 * self.reach
        past = self.excess(found)
        return found, np.where(inside, np.where(past > AGREES, past, 0.0), np.inf)


def unknowns_of(flange: Flange, holes: Mapping[str, Hole], readings: Sequence[Reading]) -> Unknowns:
    """What is to be found out about a part from readings between holes that the flange has, by label."""
    import numpy as np

    by_place = list(holes.values())
    spanning = [each for each in readings if each.kind in CHORD_KINDS | RADIAL_KINDS]
    placed, sized = _ends(spanning), _ends([each for each in readings if KINDS[each.kind].shares.hole])
    ordered = [hole for place, hole in enumerate(by_place, 1) if place in placed]
    wide = [hole for place, hole in enumerate(by_place, 1) if place in sized]
    kinds = {each.kind for each in readings}
    shares = [KINDS[kind].shares for kind in kinds]
    values = [axis for hole in ordered for axis in (hole.center.x, hole.center.y)]
    middles = {}
    for kind, of in ((Kind.BORE, Kind.HOLE_TO_BORE), (Kind.OUTSIDE_DIAMETER, Kind.HOLE_TO_RIM)):
        if of in kinds:
            middles[kind] = len(values) // 2
            values += [0.0, 0.0]
    sizes = {}
    for hole in wide:
        sizes[hole.label] = len(values)
        values.append(hole.diameter)
    singles = {}
    for kind, held, drawn in (
        (Kind.BORE, any(each.bore for each in shares), flange.bore),
        (Kind.OUTSIDE_DIAMETER, any(each.rim for each in shares), flange.round_diameter),
        (Kind.STUD_DIAMETER, any(each.stud for each in shares), by_place[0].diameter if by_place else None),
    ):
        if held:
            singles[kind] = len(values)
            values.append(drawn or 0.0)
    points = {hole.label: place for place, hole in enumerate(ordered)}
    return Unknowns(np.array(values), points, sizes, singles, middles)


def reach_of(flange: Flange) -> float:
    """How far from where the readings put it a center is looked for: a quarter of the least distance, within bounds."""
    centers = [hole.center for hole in flange.holes()]
    apart = min((gap for gap in (a.distance_to(b) for a, b in pairwise(centers)) if gap > 0), default=0.0)
    return min(max(_REACH_SHARE * apart, LEAST_REACH), MOST_REACH)


def plain_lengths(unknowns: Unknowns, ends: Sequence[Sequence[int]]) -> AllowedLengths:
    """Distances of two points, or sizes: for each the two points, or -1, and where the size stands, or -1."""
    import numpy as np

    shares = np.zeros((len(ends), len(unknowns.drawn)))
    for row, (_, _, size) in enumerate(ends):
        if size >= 0:
            shares[row, size] = 1.0
    first, second = (np.array([each[end] for each in ends], dtype=int) for end in (0, 1))
    return AllowedLengths(first, second, (first >= 0).astype(float), shares)


def placed_labels(parts: AllowedParts) -> tuple[str, ...]:
    """The holes whose places to each other the readings fix: the largest such set that holds one hole of them."""
    import numpy as np

    labels = list(parts.unknowns.points)
    if len(labels) < 2:
        return ()
    best: tuple[str, ...] = ()
    for one in labels:
        at = parts.unknowns.points[one]
        others = [label for label in labels if label != one]
        held = plain_lengths(parts.unknowns, [(at, parts.unknowns.points[label], -1) for label in others])
        seen = parts.is_seen(held.slopes(parts.center) @ parts.basis)
        group = (one, *(label for label, known in zip(others, seen.tolist(), strict=True) if known))
        if len(group) > max(len(best), 1) and np.all(_all_seen(parts, group)):
            best = group
    return tuple(label for label in labels if label in best)


def _all_seen(parts: AllowedParts, labels: Sequence[str]) -> "BoolArray":
    at = [parts.unknowns.points[label] for label in labels]
    held = plain_lengths(parts.unknowns, [(a, b, -1) for a, b in combinations(at, 2)])
    return parts.is_seen(held.slopes(parts.center) @ parts.basis)


def _ends(readings: Sequence[Reading]) -> set[int]:
    return {end for each in readings for end in (each.from_hole, each.to_hole) if end is not None}


def read_lengths(unknowns: Unknowns, labels: Sequence[str], readings: Sequence[Reading]) -> AllowedLengths:
    """The lengths that were read, one for each reading; hole 1 of a reading is the first of the labels."""
    import numpy as np

    count = len(readings)
    first, second, sign = np.full(count, -1), np.full(count, -1), np.zeros(count)
    shares = np.zeros((count, len(unknowns.drawn)))
    for row, reading in enumerate(readings):
        held = KINDS[reading.kind].shares
        ends = [labels[end - 1] for end in (reading.from_hole, reading.to_hole) if end is not None]
        for label in ends if held.hole else ():
            shares[row, unknowns.sizes[label]] += held.hole / len(ends)
        for kind, share in (
            (Kind.BORE, held.bore),
            (Kind.OUTSIDE_DIAMETER, held.rim),
            (Kind.STUD_DIAMETER, held.stud),
        ):
            if share:
                shares[row, unknowns.singles[kind]] += share
        if reading.kind in CHORD_KINDS:
            first[row], second[row], sign[row] = unknowns.points[ends[0]], unknowns.points[ends[1]], 1.0
        elif reading.kind in RADIAL_KINDS:
            middle = Kind.BORE if reading.kind is Kind.HOLE_TO_BORE else Kind.OUTSIDE_DIAMETER
            first[row], second[row] = unknowns.points[ends[0]], unknowns.middles[middle]
            sign[row] = 2 * held.diameter
    return AllowedLengths(first, second, sign, shares)


def allowed_parts(
    unknowns: Unknowns, lengths: AllowedLengths, values: "FloatArray", within: "FloatArray", reach: float
) -> tuple[AllowedParts, float]:
    """The parts that keep readings, and by what share of what it is good to the worst reading must be off at least.

    Above 1 no part keeps all of them, and the first is of no use.
    """
    import numpy as np

    center = _nearest(unknowns, lengths, values, within)
    parts = AllowedParts(unknowns, lengths, values - within, values + within, center, reach)
    share = float((np.abs(lengths.values(center) - values) / within).max(initial=0.0))
    if share > 1.0 - AGREES:
        center, share = _evenest(parts, values, within)
        parts = AllowedParts(unknowns, lengths, values - within, values + within, center, reach)
    return parts, share


def _nearest(unknowns: Unknowns, lengths: AllowedLengths, values: "FloatArray", within: "FloatArray") -> "FloatArray":
    """The part that readings fit best by least squares, near to the drawing where they leave it (by K. Levenberg)."""
    import numpy as np

    x, damping = unknowns.drawn.copy(), _FIRST_DAMPING
    left = (values - lengths.values(x)) / within
    for _ in range(_STEPS):
        basis = _still(x, unknowns.point_count)
        slopes = np.vstack((lengths.slopes(x) @ basis / within[:, None], damping * np.eye(basis.shape[1])))
        move = basis @ np.linalg.lstsq(slopes, np.append(left, np.zeros(basis.shape[1])), rcond=None)[0]
        after = (values - lengths.values(x + move)) / within
        if float(after @ after) > float(left @ left):
            damping *= 4.0
            continue
        x, left, damping = x + move, after, damping / 4.0
        if float(np.abs(move).max(initial=0.0)) < AGREES / 100:
            break
    return x


def _evenest(parts: AllowedParts, values: "FloatArray", within: "FloatArray") -> "tuple[FloatArray, float]":
    """The part whose worst reading is off by the least share of what it is good to, and that share."""
    import numpy as np

    basis, best = parts.basis, parts.center
    goal = np.zeros((1, basis.shape[1] + 1))
    goal[0, -1] = -1.0

    def share(x: "FloatArray") -> float:
        return float((np.abs(parts.lengths.values(x) - values) / within).max())

    least = share(best)
    for turn in range(_ROUNDS):
        rows, off = parts.lengths.slopes(best) @ basis, values - parts.lengths.values(best)
        both = np.block([[rows, -within[:, None]], [-rows, -within[:, None]]])
        bounds = np.append(parts.bounds * _NARROWING**turn, 2.0 * least + 10.0)
        found = farthest(goal, both, np.concatenate((off, -off)), bounds)[0]
        tried = min((best + part * basis @ found[:-1] for part in _ON_THE_WAY), key=share)
        if share(tried) > least - AGREES:
            continue
        best, least = tried, share(tried)
        if least < 1.0 - _TO_SPARE:
            break
    return best, least


def _still(x: "FloatArray", point_count: int) -> "FloatArray":
    """An orthonormal basis of the changes that neither shift nor turn the points as a whole."""
    import numpy as np

    whole = np.zeros((3, len(x)))
    if point_count:
        xs, ys = slice(0, 2 * point_count, 2), slice(1, 2 * point_count, 2)
        whole[0, xs], whole[1, ys] = 1.0, 1.0
        arm = max(float(np.abs(x[: 2 * point_count]).max()), 1.0)
        whole[2, xs], whole[2, ys] = -x[ys] / arm, x[xs] / arm
    return _unseen(whole)


def _unseen(rows: "FloatArray") -> "FloatArray":
    """An orthonormal basis of what rows do not see; shape (n, ...)."""
    import numpy as np

    _, strengths, directions = np.linalg.svd(rows, full_matrices=True)
    rank = int((strengths > _FREE * max(1.0, float(strengths.max(initial=0.0)))).sum())
    rest: FloatArray = directions[rank:].T
    return rest
