"""Which points or boxes of many lie near each other, without comparing each with every other."""

import math
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from itertools import product
from typing import TYPE_CHECKING

from flangelayout.geometry.shapes import Box, Point

if TYPE_CHECKING:
    from flangelayout.geometry.arrays import FloatArray, IntArray

_HALF_OF_THE_SQUARES_AROUND = ((0, 0), (1, -1), (1, 0), (1, 1), (0, 1))


def near_pairs(points: "FloatArray", reach: float) -> "tuple[IntArray, IntArray]":
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


def near_of_groups(
    points: Sequence[Point], groups: Sequence[int], reach: float, done: set[tuple[int, int]]
) -> Iterator[tuple[int, int]]:
    """Pairs of points that may be no farther apart than ``reach``, one after the other, by squares as wide as that.

    Args:
        points: In mm.
        groups: The group of each.
        reach: In mm, > 0.
        done: Pairs of groups that are left out; the caller adds to it, so that a thousand points in one place
            are not compared a million times.

    Yields:
        Indexes, the smaller first.
    """
    squares: dict[tuple[int, int], dict[int, list[int]]] = {}
    for index, (point, group) in enumerate(zip(points, groups, strict=True)):
        column, row = math.floor(point.x / reach), math.floor(point.y / reach)
        for near in ((column + i, row + j) for i in (-1, 0, 1) for j in (-1, 0, 1)):
            for other_group, others in squares.get(near, {}).items():
                for other in others:
                    if (other_group, group) in done:
                        break
                    yield other, index
        squares.setdefault((column, row), {}).setdefault(group, []).append(index)


class Neighbors:
    """Places, to be asked whether what stands beside one of them is nearer to it than to the others."""

    def __init__(self, places: Iterable[tuple[float, float]]) -> None:
        """All of them, along x and y, in mm."""
        self._in_order = sorted(places)
        self.apart = _nearest_distances(self._in_order)

    def is_nearest(self, at: Point, own: Sequence[Point], times: float) -> bool:
        """Whether a point is nearer to one of its own places than to any other, by ``times`` at the least."""
        mine = min(at.distance_to(each) for each in own)
        reach, alone = mine * times, self.apart[own[0].x, own[0].y]
        if len(own) == 1 and (alone >= reach + mine or alone + mine < reach):  # wherever the nearest lies
            return alone >= reach + mine
        first = bisect_left(self._in_order, (at.x - reach, -math.inf))
        last = bisect_left(self._in_order, (at.x + reach, -math.inf), first)
        near = ((x, y) for x, y in self._in_order[first:last] if math.hypot(x - at.x, y - at.y) < reach)
        return all((x, y) in ((each.x, each.y) for each in own) for x, y in near)


def _nearest_distances(places: Iterable[tuple[float, float]]) -> dict[tuple[float, float], float]:
    """How far in mm the nearest other of each place is; endless where it is the only one.

    Args:
        places: Along x and y, in mm; two of one place are 0 apart.
    """
    in_order = sorted(places)
    found: dict[tuple[float, float], float] = {}
    for index, (x, y) in enumerate(in_order):
        least = math.inf
        for others in (range(index + 1, len(in_order)), range(index - 1, -1, -1)):
            for other in others:
                other_x, other_y = in_order[other]
                if abs(other_x - x) >= least:
                    break
                least = min(least, math.hypot(other_x - x, other_y - y))
        found[x, y] = least
    return found


class BoxIndex:
    """Boxes kept so that those which touch a place are found without looking at every one.

    A box lies in the squares of a grid whose mesh is no smaller than the box: in four of them at the most. So
    finding what a small box touches costs as much for a million boxes as for a hundred of each size.
    """

    def __init__(self) -> None:
        """None at first."""
        self._boxes: list[Box] = []
        self._grids: dict[int, dict[tuple[int, int], list[int]]] = {}

    def add(self, box: Box) -> int:
        """Take a box in; its index counts from 0."""
        index, level = len(self._boxes), _level(box)
        self._boxes.append(box)
        grid = self._grids.setdefault(level, {})
        for square in _squares(box, level):
            grid.setdefault(square, []).append(index)
        return index

    def touching(self, box: Box) -> list[int]:
        """The indices, rising, of the boxes that share a place with ``box``, if only on an edge."""
        found: set[int] = set()
        left, bottom, right, top = box.left, box.bottom, box.right, box.top
        for level, grid in self._grids.items():
            few = (box.width + box.height) / 2.0**level <= len(grid)
            for indices in (grid.get(square, ()) for square in _squares(box, level)) if few else grid.values():
                for index in indices:
                    other = self._boxes[index]
                    if other.left <= right and left <= other.right and other.bottom <= top and bottom <= other.top:
                        found.add(index)
        return sorted(found)


def near_boxes(boxes: Sequence[Box], reach: float = 0.0) -> Iterator[tuple[int, int]]:
    """Every pair of boxes that are not farther apart than ``reach`` mm along x and along y, the lesser index first.

    Large ones are taken in first, so that every box looks for others in coarse grids only.
    """
    kept = BoxIndex()
    order = sorted(range(len(boxes)), key=lambda index: -max(boxes[index].width, boxes[index].height))
    for index in order:
        for other in kept.touching(boxes[index].grown(reach)):
            yield min(order[other], index), max(order[other], index)
        kept.add(boxes[index])


def _level(box: Box) -> int:
    """The power of two, in mm, that is no less than a box is long."""
    size = max(box.width, box.height, 1e-3)
    return math.ceil(math.log2(size))


def _squares(box: Box, level: int) -> Iterator[tuple[int, int]]:
    mesh = 2.0**level
    return product(
        range(math.floor(box.left / mesh), math.floor(box.right / mesh) + 1),
        range(math.floor(box.bottom / mesh), math.floor(box.top / mesh) + 1),
    )
