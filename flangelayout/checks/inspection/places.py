"""Whether the holes of every allowed part can be brought to their places at once, of some, or of none.

A part keeps its places if one turn and shift of the drawing brings every place within the slack of its hole.
How much the worst hole is past its slack at the best turn and shift is a convex quantity of the part, so its
least value is one program and its greatest lies at a corner of the region. For the greatest, the fixed rule
"turn and shift by least squares" bounds it from above, and the corners where that rule does worst are looked
at one by one, each followed uphill (the places that touch there say which way).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from msgspec import Struct

from flangelayout.checks.fitting.linear_program import farthest
from flangelayout.checks.fitting.minimax import Placing, least_squares, minimax
from flangelayout.checks.inspection.allowed_parts import AGREES, AllowedParts, Quantity

if TYPE_CHECKING:
    from flangelayout.geometry.arrays import FloatArray, IntArray

_DIRECTIONS = 24
_MOST_CLIMBED = 6
_CLIMBS = 8
_ROUNDS, _NARROWING = 14, 0.6
_TOUCHES = 1e-4
_NEAR_WORST = 0.02
"""How much less in mm than the worst hole one may be past its slack to be tried as the only one."""
_EXCESS = 100.0
"""How far in mm beyond its limits a part is followed."""


@dataclass(frozen=True)
class Places:
    """Places that holes of a part must keep, all at once.

    Attributes:
        points: Which points of the part they are.
        targets: Where each belongs, shape (n, 2).
        slack: How far each may be off where it is narrowest that the readings allow, in mm.
        wide_slack: The same where it is widest.
    """

    points: "IntArray"
    targets: "FloatArray"
    slack: "FloatArray"
    wide_slack: "FloatArray"

    def of(self, x: "FloatArray") -> "FloatArray":
        """The centers of a part, shape (n, 2)."""
        import numpy as np

        return np.stack((x[2 * self.points], x[2 * self.points + 1]), axis=-1)

    def without(self, index: int) -> "Places":
        """These but one."""
        import numpy as np

        kept = np.arange(len(self.points)) != index
        return Places(self.points[kept], self.targets[kept], self.slack[kept], self.wide_slack[kept])


@dataclass(frozen=True)
class Held:
    """Quantities of a part that must keep within ``least`` and ``most``, infinite where nothing is stated."""

    quantity: Quantity
    least: "FloatArray"
    most: "FloatArray"

    def walls(self, parts: AllowedParts, moves: "FloatArray") -> "tuple[FloatArray, FloatArray]":
        """The limits as walls of moves from the center along the basis, laid at some moves."""
        import numpy as np

        x = parts.center + parts.basis @ moves
        rows = self.quantity.slopes(x) @ parts.basis
        here = self.quantity.values(x) - rows @ moves
        kept = np.concatenate((self.most - here, here - self.least))
        stated = np.isfinite(kept)
        return np.concatenate((rows, -rows))[stated], kept[stated]

    def excess(self, x: "FloatArray") -> float:
        """How far the worst of them is past its limit in a part, in mm."""
        import numpy as np

        found = self.quantity.values(x)
        return float(np.maximum(found - self.most, self.least - found).max(initial=-math.inf))


class Reached(Struct, frozen=True):
    """How far in mm the worst hole is past its slack, negative for room to spare.

    Attributes:
        least: Of the allowed part that keeps its places best.
        most: Of the one that keeps them worst, as far as it was searched for; infinite where nothing holds them.
        bound: What no allowed part goes beyond.
    """

    least: float
    most: float
    bound: float


def reached(parts: AllowedParts, places: Places) -> Reached:
    """How well the allowed parts keep their places, from the best of them to the worst."""
    least = least_excess(parts, places)
    forms = _forms(parts, places)
    if least > AGREES:
        return Reached(least, math.inf, math.inf)
    if not parts.is_seen(forms.reshape(-1, forms.shape[-1])).all():
        return Reached(least, math.inf, math.inf)
    most, bound = _most(parts, places, forms)
    return Reached(least, most, bound)


def least_excess(parts: AllowedParts, places: Places, held: Sequence[Held] = ()) -> float:
    """How far the worst hole is past its slack, or length past its limit, in the allowed part that keeps them best."""
    return _best(parts, places, held)[0]


def alone_out(parts: AllowedParts, places: Places) -> list[int]:
    """The holes each of which can be the only one past its slack: some allowed part keeps all the others.

    Only one that is past it as far as any in the part that keeps them best is tried: where another is left out, that
    part is the best still.
    """
    import numpy as np

    best, past = _best(parts, places)
    worst = np.flatnonzero(past > best - _NEAR_WORST).tolist()
    return [index for index in worst if least_excess(parts, places.without(index)) <= 10 * AGREES]


def _best(parts: AllowedParts, places: Places, held: Sequence[Held] = ()) -> "tuple[float, FloatArray]":
    """What :func:`least_excess` tells, and how far each hole is past its slack in that part."""
    import numpy as np

    width = parts.basis.shape[1]
    moves = np.zeros(width)
    cuts = _Cuts.fan(len(places.points))
    goal = np.zeros((1, width + 4))
    goal[0, -1] = -1.0
    best, past = math.inf, np.zeros(0)
    for turn in range(_ROUNDS):
        x = parts.center + parts.basis @ moves
        placing = _laid(places, x)
        excess = max((each.excess(x) for each in held), default=-math.inf)
        if len(places.points):
            placing = minimax(places.targets, places.of(x), places.wide_slack, start=placing)
            off = places.of(x) - placing.moved(places.targets)
            here = np.hypot(*off.T) - places.wide_slack
            excess = max(excess, float(here.max()))
            past = here if excess < best else past
            cuts = cuts.more(off)
        best = min(best, excess)
        if best < -AGREES:
            break
        rows, limits = cuts.walls(parts, places, placing, x)
        for slack, (own, kept) in ((0.0, parts.walls(moves)), *((-1.0, each.walls(parts, moves)) for each in held)):
            whole = np.column_stack((own, np.zeros((len(own), 3)), np.full(len(own), slack)))
            rows, limits = np.vstack((rows, whole)), np.concatenate((limits, kept - own @ moves))
        bounds = np.concatenate((parts.bounds * _NARROWING**turn, np.full(3, parts.reach), [_EXCESS]))
        found = farthest(goal, rows, limits, bounds)[0]
        moves = parts.drawn_in(moves, found[:width])
        if best - found[-1] < AGREES:
            break
    return best, past


@dataclass(frozen=True)
class _Cuts:
    """Directions in which holes must not be off by more than their slack."""

    holes: "IntArray"
    units: "FloatArray"

    @classmethod
    def fan(cls, count: int) -> "_Cuts":
        """As many for each hole, all round."""
        import numpy as np

        return cls(np.repeat(np.arange(count), _DIRECTIONS), np.tile(_fan(), (count, 1)))

    def more(self, off: "FloatArray") -> "_Cuts":
        """These, and the one in which each hole is off now."""
        import numpy as np

        units = off / np.maximum(np.hypot(*off.T), 1e-9)[:, None]
        return _Cuts(np.concatenate((self.holes, np.arange(len(off)))), np.vstack((self.units, units)))

    def walls(
        self, parts: AllowedParts, places: Places, placing: Placing, x: "FloatArray"
    ) -> "tuple[FloatArray, FloatArray]":
        """The cuts as walls of (moves, shift x, shift y, turn x arm, excess) from a part x and a placing."""
        import numpy as np

        laid = placing.moved(places.targets)
        arm = max(float(np.abs(places.targets).max(initial=0.0)), 1.0)
        turning = np.stack((-laid[:, 1], laid[:, 0]), axis=-1) / arm
        here = places.of(x) - laid
        own = np.einsum("ca,cak->ck", self.units, _across(parts, places)[self.holes])
        turned = np.einsum("ca,ca->c", self.units, turning[self.holes])
        rows = np.column_stack((own, -self.units, -turned, -np.ones(len(self.holes))))
        return rows, places.wide_slack[self.holes] - np.einsum("ca,ca->c", self.units, here[self.holes])


def _fan() -> "FloatArray":
    import numpy as np

    angles = np.arange(_DIRECTIONS) * (2 * math.pi / _DIRECTIONS)
    return np.stack((np.cos(angles), np.sin(angles)), axis=-1)


def _across(parts: AllowedParts, places: Places) -> "FloatArray":
    """How the centers change along the basis; shape (n, 2, k)."""
    import numpy as np

    return np.stack((parts.basis[2 * places.points], parts.basis[2 * places.points + 1]), axis=1)


def _laid(places: Places, x: "FloatArray") -> Placing:
    """The placing of the drawing on a part by least squares."""
    return least_squares(places.targets, places.of(x)) if len(places.points) else Placing()


def _forms(parts: AllowedParts, places: Places) -> "FloatArray":
    """How far each hole is off after the turn and shift of least squares, as it changes along the basis; (n, 2, k)."""
    import numpy as np

    count = len(places.points)
    laid = _laid(places, parts.center).moved(places.targets)
    whole = np.zeros((count, 2, 3))
    whole[:, 0, 0] = whole[:, 1, 1] = 1.0
    whole[:, 0, 2], whole[:, 1, 2] = -laid[:, 1], laid[:, 0]
    flat = whole.reshape(2 * count, 3)
    rest = np.eye(2 * count) - flat @ np.linalg.pinv(flat)
    return (rest @ _across(parts, places).reshape(2 * count, -1)).reshape(count, 2, -1)


def _most(parts: AllowedParts, places: Places, forms: "FloatArray") -> tuple[float, float]:
    """The greatest excess that was found over the allowed parts, and what none goes beyond."""
    import numpy as np

    fan = _fan()
    goals = np.einsum("da,iak->idk", fan, forms).reshape(-1, forms.shape[-1])
    moves = farthest(goals, *parts.walls(np.zeros(forms.shape[-1])), parts.bounds)
    middle = places.of(parts.center) - _laid(places, parts.center).moved(places.targets)
    outward = np.einsum("da,ia->id", fan, middle) + (goals * moves).sum(axis=1).reshape(len(places.points), -1)
    past = (outward / math.cos(math.pi / _DIRECTIONS) - places.slack[:, None]).ravel()
    bound = float(past.max())
    if bound <= 0.0:
        return bound, bound
    order = np.argsort(-past, kind="stable")[:_MOST_CLIMBED]
    most = max(_climbed(parts, places, moves[index]) for index in order.tolist())
    return most, bound


def _climbed(parts: AllowedParts, places: Places, moves: "FloatArray") -> float:
    """The excess at the end of a way uphill from a corner of the region."""
    import numpy as np

    best = -math.inf
    for _ in range(_CLIMBS):
        centers = places.of(parts.center + parts.basis @ moves)
        placing = minimax(
            places.targets, centers, places.slack, start=_laid(places, parts.center + parts.basis @ moves)
        )
        off = centers - placing.moved(places.targets)
        excess = np.hypot(*off.T) - places.slack
        worst = float(excess.max())
        if worst <= best + AGREES:
            break
        best = worst
        moves = farthest(_uphill(parts, places, placing, off, excess)[None], *parts.walls(moves), parts.bounds)[0]
    return best


def _uphill(
    parts: AllowedParts, places: Places, placing: Placing, off: "FloatArray", excess: "FloatArray"
) -> "FloatArray":
    """The way along which the excess grows: the pushes of the holes that touch, in balance."""
    import numpy as np

    touching = np.flatnonzero(excess > excess.max() - _TOUCHES)
    units = off[touching] / np.maximum(np.hypot(*off[touching].T), 1e-9)[:, None]
    laid = placing.moved(places.targets)[touching]
    arm = max(float(np.abs(laid).max()), 1.0)
    moment = (laid[:, 0] * units[:, 1] - laid[:, 1] * units[:, 0]) / arm
    balance = np.vstack((units.T, moment, np.ones(len(touching))))
    pushes = np.maximum(np.linalg.lstsq(balance, np.array([0.0, 0.0, 0.0, 1.0]), rcond=None)[0], 0.0)
    at = places.points[touching]
    way = np.einsum("i,ik->k", pushes * units[:, 0], parts.basis[2 * at])
    uphill: FloatArray = way + np.einsum("i,ik->k", pushes * units[:, 1], parts.basis[2 * at + 1])
    return uphill
