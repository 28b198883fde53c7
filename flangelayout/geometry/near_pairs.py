"""Which points of many lie near each other, without comparing each with every other."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Points = NDArray[np.float64]
    Indices = NDArray[np.int64]

_HALF_OF_THE_SQUARES_AROUND = ((0, 0), (1, -1), (1, 0), (1, 1), (0, 1))


def near_pairs(points: "Points", reach: float) -> "tuple[Indices, Indices]":
    """Every pair of points not farther apart than ``reach``.

    The points are sorted into squares ``reach`` wide; a point is compared with those of its own square and
    of four of the eight around it, so the work grows with the number of points and of pairs.

    Args:
        points: Shape (n, 2), in mm.
        reach: In mm, > 0.

    Returns:
        Two arrays of the same length: a pair is an entry of one and the same entry of the other.
    """
    import numpy as np

    if len(points) < 2:
        empty = np.zeros(0, dtype=np.int64)
        return empty, empty
    squares = np.floor(points / reach).astype(np.int64)
    squares -= squares.min(axis=0) - 1
    rows = int(squares[:, 1].max()) + 2
    keys = squares[:, 0] * rows + squares[:, 1]
    order = np.argsort(keys, kind="stable")
    ranked = keys[order]
    firsts, seconds = [], []
    for column, row in _HALF_OF_THE_SQUARES_AROUND:
        wanted = ranked + column * rows + row
        low = np.searchsorted(ranked, wanted, side="left")
        high = np.searchsorted(ranked, wanted, side="right")
        if (column, row) == (0, 0):
            low = np.arange(1, len(ranked) + 1)
        counts = np.maximum(high - low, 0)
        first = np.repeat(np.arange(len(ranked)), counts)
        second = np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts) + np.repeat(low, counts)
        firsts.append(order[first])
        seconds.append(order[second])
    one, other = np.concatenate(firsts), np.concatenate(seconds)
    near = np.hypot(*(points[one] - points[other]).T) <= reach
    return one[near], other[near]
