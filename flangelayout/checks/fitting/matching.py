"""Which hole of one pattern belongs to which of another: every turn that could be meant is tried."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from msgspec import Struct

from flangelayout.checks.fitting.minimax import Freedom, Placing, least_squares, minimax

if TYPE_CHECKING:
    from flangelayout.geometry.arrays import FloatArray, IntArray

MAX_HOLES = 2000
_SAME = 1e-6
_MOST_TRIED = 24
"""Solved at most; the matchings come with a bound below which none can lie, so a later one rarely wins."""

_REACH = 10.0
"""In mm: how much farther out than the likeliest a hole may lie to be the partner of the outermost one."""
_FEW, _TURNS_OF_MANY = 200, 32
"""Of patterns with more holes than the first, only so many of the least turns are tried."""


class Match(Struct, frozen=True):
    """One pattern laid on another.

    Attributes:
        placing: Turn and shift of the second pattern.
        first: Indexes of the matched holes of the first pattern.
        second: The hole of the second pattern on each of them.
        offsets: Distance of the centers of each pair in mm.
    """

    placing: Placing
    first: tuple[int, ...]
    second: tuple[int, ...]
    offsets: tuple[float, ...]


def best_match(
    targets: "FloatArray",
    points: "FloatArray",
    slack_a: "FloatArray",
    slack_b: "FloatArray",
    freedom: Freedom = Freedom.TURN_AND_SHIFT,
) -> Match:
    """The placing of ``points`` on ``targets`` with the least greatest ``offset - slack`` over all pairs.

    Args:
        targets: Hole centers of the first pattern, shape (n, 2), in mm.
        points: Hole centers of the second, shape (m, 2).
        slack_a: Clearance of each hole of the first.
        slack_b: The same for the second; a pair may be off by the sum before it counts.
        freedom: What may be changed; with a shift, the patterns may lie anywhere.

    Returns:
        Pairs of all holes of the smaller pattern; of several equally good turns the least one.
    """
    import numpy as np

    swapped = len(points) > len(targets)
    few, many = (targets, points) if swapped else (points, targets)
    found: tuple[float, float, Match] | None = None
    for bound, turn, order in _ranked(few, many, freedom):
        first, second = (np.arange(len(few)), order) if swapped else (order, np.arange(len(few)))
        slack = slack_a[first] + slack_b[second]
        if found and bound - float(slack.max()) > found[0] - _SAME:
            continue
        start = least_squares(points[second], targets[first], freedom, -turn if swapped else turn)
        placing = minimax(points[second], targets[first], slack, freedom, start)
        offsets = placing.offsets(points[second], targets[first])
        worst = float((offsets - slack).max())
        if found is None or worst < found[0] - _SAME:
            pairs = sorted(zip(first.tolist(), second.tolist(), offsets.tolist(), strict=True))
            one, other, apart = zip(*pairs, strict=True)
            found = (worst, bound, Match(placing, one, other, apart))
    assert found is not None
    return found[2]


def _ranked(few: "FloatArray", many: "FloatArray", freedom: Freedom) -> "Iterator[tuple[float, float, IntArray]]":
    """Matchings worth solving, likeliest first: a bound below its worst offset, its turn, the partner of each hole."""
    import numpy as np

    seen: dict[bytes, tuple[float, float, IntArray]] = {}
    for turn in _turns(few, many, freedom):
        order = _partners(few, many, turn, freedom)
        if order.tobytes() in seen:
            continue
        placing = least_squares(few, many[order], freedom, turn)
        offsets = placing.offsets(few, many[order])
        seen[order.tobytes()] = (float(np.sqrt((offsets**2).mean())), placing.turn_deg, order)
    ranked = sorted(seen.values(), key=lambda each: (round(each[0], 7), round(abs(each[1]), 6), -each[1]))
    yield from ranked[:_MOST_TRIED]


def _turns(few: "FloatArray", many: "FloatArray", freedom: Freedom) -> list[float]:
    """Turns that set the hole farthest out of the smaller pattern on the ray of a hole of the other."""
    import numpy as np

    if freedom is Freedom.NOTHING:
        return [0.0]
    a, b = _centered(few, many, freedom)
    far = int(np.argmax(np.hypot(*b.T)))
    rays = np.degrees(np.arctan2(a[:, 1], a[:, 0])) - np.degrees(np.arctan2(b[far, 1], b[far, 0]))
    away = np.abs(np.hypot(*a.T) - np.hypot(*b[far]))
    turns = np.mod(rays[away <= away.min() + _REACH] + 180.0, 360.0) - 180.0
    ranked = sorted(turns.tolist(), key=lambda turn: (round(abs(turn), 6), -turn))
    return ranked if len(few) <= _FEW else ranked[:_TURNS_OF_MANY]


def _centered(few: "FloatArray", many: "FloatArray", freedom: Freedom) -> "tuple[FloatArray, FloatArray]":
    """The larger and the smaller pattern about their middles, where a shift is free and their counts agree."""
    if freedom is Freedom.TURN_AND_SHIFT and len(few) == len(many):
        return many - many.mean(axis=0), few - few.mean(axis=0)
    return many, few


def _partners(few: "FloatArray", many: "FloatArray", turn: float, freedom: Freedom) -> "IntArray":
    """For each hole of the smaller pattern its own nearest hole of the other, at a turn; each taken once."""
    import numpy as np

    a, b = _centered(few, many, freedom)
    b = Placing(turn).moved(b)
    distance = np.hypot(b[:, None, 0] - a[None, :, 0], b[:, None, 1] - a[None, :, 1])
    nearest: IntArray = distance.argmin(axis=1)
    if len(set(nearest.tolist())) == len(few):
        return nearest
    order = np.full(len(few), -1)
    taken = np.zeros(len(many), dtype=bool)
    for place in np.argsort(distance, axis=None, kind="stable").tolist():
        row, column = divmod(place, len(many))
        if order[row] < 0 and not taken[column]:
            order[row], taken[column] = column, True
    return order
