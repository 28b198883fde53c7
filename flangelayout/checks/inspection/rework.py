"""The least that has to be done to drilled holes so that bolts pass: which few to open, and by how much.

To lessen the greatest excess at least one of the pairs that reach it must be given up; following only these
finds the smallest number of holes without trying every choice (J. Matousek, On geometric optimization with
few violated constraints, 1995).
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from flangelayout.checks.fitting.minimax import Freedom, Placing, least_squares, minimax

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]

PASSES = 1e-7
_REACHED = 1e-5
_MOST_GIVEN_UP = 3
_MOST_TRIED, _MOST_BY_LIKELIHOOD = 40, 12
_TO_SPARE = 1e-4


@dataclass(frozen=True, slots=True)
class Excess:
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
    layer = {frozenset(range(len(points))): _placing(points, targets, slack, freedom, frozenset(range(len(points))))}
    for given_up in range(_MOST_GIVEN_UP + 1):
        fitting = [each for each in layer.items() if _worst(points, targets, slack, *each) <= PASSES]
        if fitting:
            found = [_mildest(points, targets, slack, freedom, kept, at) for kept, at in fitting]
            return min(found, key=lambda excess: (round(sum(excess.amounts), 6), excess.holes))
        if given_up == _MOST_GIVEN_UP or len(layer) > _MOST_TRIED:
            break
        layer = _one_fewer(points, targets, slack, freedom, layer)
    likeliest = min(layer.items(), key=lambda each: (round(_worst(points, targets, slack, *each), 9), sorted(each[0])))
    kept, at = _given_up(points, targets, slack, freedom, *likeliest)
    return _mildest(points, targets, slack, freedom, kept, at)


def _one_fewer(
    points: "FloatArray",
    targets: "FloatArray",
    slack: "FloatArray",
    freedom: Freedom,
    layer: dict[frozenset[int], Placing],
) -> dict[frozenset[int], Placing]:
    """Every choice of the layer less one of the holes that reach its greatest excess."""
    following: dict[frozenset[int], Placing] = {}
    for kept, at in layer.items():
        for index in _reaching(points, targets, slack, kept, at):
            fewer = kept - {index}
            if fewer and fewer not in following:
                following[fewer] = _placing(points, targets, slack, freedom, fewer)
    return following or layer


def _given_up(
    points: "FloatArray",
    targets: "FloatArray",
    slack: "FloatArray",
    freedom: Freedom,
    kept: frozenset[int],
    placing: Placing,
) -> tuple[frozenset[int], Placing]:
    """Holes given up one by one, of those that reach the greatest excess the one farthest off by least squares."""
    for _ in range(_MOST_BY_LIKELIHOOD):
        if len(kept) < 2 or _worst(points, targets, slack, kept, placing) <= PASSES:
            break
        order = sorted(kept)
        off = least_squares(points[order], targets[order], freedom).offsets(points, targets) - slack
        reaching = _reaching(points, targets, slack, kept, placing)
        kept = kept - {max(reaching, key=lambda index: (round(float(off[index]), 9), -index))}
        placing = _placing(points, targets, slack, freedom, kept)
    return kept, placing


def _placing(
    points: "FloatArray", targets: "FloatArray", slack: "FloatArray", freedom: Freedom, kept: frozenset[int]
) -> Placing:
    order = sorted(kept)
    return minimax(points[order], targets[order], slack[order], freedom)


def _worst(
    points: "FloatArray", targets: "FloatArray", slack: "FloatArray", kept: frozenset[int], placing: Placing
) -> float:
    order = sorted(kept)
    return float((placing.offsets(points[order], targets[order]) - slack[order]).max())


def _reaching(
    points: "FloatArray", targets: "FloatArray", slack: "FloatArray", kept: frozenset[int], placing: Placing
) -> list[int]:
    """The kept holes whose excess is the greatest."""
    order = sorted(kept)
    excess = placing.offsets(points[order], targets[order]) - slack[order]
    return [index for index, value in zip(order, excess.tolist(), strict=True) if value > excess.max() - _REACHED]


def _mildest(
    points: "FloatArray",
    targets: "FloatArray",
    slack: "FloatArray",
    freedom: Freedom,
    kept: frozenset[int],
    placing: Placing,
) -> Excess:
    """What is lacking where the kept holes stay within their slack, if they can, and the others lack the least."""
    import numpy as np

    opened = np.array([index not in kept for index in range(len(points))])
    if opened.any() and kept and _worst(points, targets, slack, kept, placing) < -_TO_SPARE:
        placing = minimax(points, targets, slack, freedom, placing, soft=opened)
    excess = placing.offsets(points, targets) - slack
    holes = np.flatnonzero(excess > PASSES).tolist()
    return Excess(placing, tuple(holes), tuple(float(excess[index]) for index in holes))
