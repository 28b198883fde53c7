"""The least that has to be done to drilled holes so that bolts pass: which few to open, and by how much.

To lessen the greatest excess at least one of the pairs that reach it must be given up; following only these
finds the smallest number of holes without trying every choice (J. Matousek, On geometric optimization with
few violated constraints, 1995).
"""

from typing import TYPE_CHECKING

from msgspec import Struct

from flangelayout.checks.fitting.minimax import Freedom, Placing, least_squares, minimax

if TYPE_CHECKING:
    from flangelayout.geometry.arrays import FloatArray

PASSES = 1e-7
_REACHED = 1e-5
_MOST_GIVEN_UP = 3
_MOST_TRIED, _MOST_BY_LIKELIHOOD = 40, 12
_TO_SPARE = 1e-4


class Excess(Struct, frozen=True):
    """Holes to rework and how far, at the placing that asks for the least.

    Attributes:
        placing: Of the points on the targets.
        holes: Indexes of the holes that are to be opened.
        amounts: How much radial room each of them lacks, in mm.
    """

    placing: Placing
    holes: tuple[int, ...]
    amounts: tuple[float, ...]


def least_rework(points: "FloatArray", targets: "FloatArray", slack: "FloatArray", freedom: Freedom) -> Excess:
    """The fewest holes to open so that every offset keeps within its slack, and of those choices the mildest.

    Args:
        points: Where the mating part has its holes, shape (n, 2), in mm.
        targets: Where this part has them.
        slack: How far each pair may be off.
        freedom: How the parts may be set to each other.

    Returns:
        No holes where all pairs keep within their slack. Beyond 3 holes the number is small but need not be
        the smallest; of a part with more than 15 such holes every one that lacks room is named.
    """
    pairs = _Pairs(points, targets, slack, freedom)
    layer = [pairs.choice(frozenset(range(len(points))))]
    for given_up in range(_MOST_GIVEN_UP + 1):
        fitting = [each for each in layer if pairs.worst(each) <= PASSES]
        if fitting:
            return min(map(pairs.mildest, fitting), key=lambda excess: (round(sum(excess.amounts), 6), excess.holes))
        if given_up == _MOST_GIVEN_UP or len(layer) > _MOST_TRIED:
            break
        layer = _one_fewer(pairs, layer)
    likeliest = min(layer, key=lambda each: (round(pairs.worst(each), 9), sorted(each.kept)))
    return pairs.mildest(_given_up(pairs, likeliest))


class _Choice(Struct, frozen=True):
    """Holes that are kept as they are, and the placing that suits them best."""

    kept: frozenset[int]
    placing: Placing


class _Pairs(Struct, frozen=True):
    """Holes of two parts, pair by pair, and how far each may be off."""

    points: "FloatArray"
    targets: "FloatArray"
    slack: "FloatArray"
    freedom: Freedom

    def choice(self, kept: frozenset[int]) -> _Choice:
        order = sorted(kept)
        return _Choice(kept, minimax(self.points[order], self.targets[order], self.slack[order], self.freedom))

    def excess(self, placing: Placing) -> "FloatArray":
        """How far each pair is off beyond its slack."""
        return placing.offsets(self.points, self.targets) - self.slack

    def worst(self, choice: _Choice) -> float:
        """The greatest excess of what is kept."""
        return float(self.excess(choice.placing)[sorted(choice.kept)].max())

    def reaching(self, choice: _Choice) -> list[int]:
        """The kept holes whose excess is the greatest."""
        excess, worst = self.excess(choice.placing), self.worst(choice)
        return [index for index in sorted(choice.kept) if excess[index] > worst - _REACHED]

    def mildest(self, choice: _Choice) -> Excess:
        """What is lacking where the kept holes stay within their slack, if they can, and the others lack the least."""
        import numpy as np

        placing = choice.placing
        opened = np.array([index not in choice.kept for index in range(len(self.points))])
        if opened.any() and choice.kept and self.worst(choice) < -_TO_SPARE:
            placing = minimax(self.points, self.targets, self.slack, self.freedom, placing, soft=opened)
        excess = self.excess(placing)
        holes = np.flatnonzero(excess > PASSES).tolist()
        return Excess(placing, tuple(holes), tuple(float(excess[index]) for index in holes))


def _one_fewer(pairs: _Pairs, layer: list[_Choice]) -> list[_Choice]:
    """Every choice of the layer less one of the holes that reach its greatest excess."""
    fewer = dict.fromkeys(each.kept - {index} for each in layer for index in pairs.reaching(each))
    return [pairs.choice(kept) for kept in fewer if kept] or layer


def _given_up(pairs: _Pairs, choice: _Choice) -> _Choice:
    """Holes given up one by one, of those that reach the greatest excess the one farthest off by least squares."""
    for _ in range(_MOST_BY_LIKELIHOOD):
        if len(choice.kept) < 2 or pairs.worst(choice) <= PASSES:
            break
        order = sorted(choice.kept)
        off = pairs.excess(least_squares(pairs.points[order], pairs.targets[order], pairs.freedom)).tolist()
        _, last = max((round(off[index], 9), -index) for index in pairs.reaching(choice))
        choice = pairs.choice(choice.kept - {-last})
    return choice
