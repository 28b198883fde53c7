"""Where a drawing has ink: what decides which pages of a template are worth printing."""

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice, product
from typing import TYPE_CHECKING

from msgspec import Struct

from flangelayout.drawing.explode import Primitive, explode
from flangelayout.drawing.model import Content, Label, Mosaic, Solid
from flangelayout.drawing.textwidth import label_box, label_corners
from flangelayout.geometry.near_pairs import BoxIndex
from flangelayout.geometry.shapes import Arc, Box, Circle, Contour, Line, Point, box_around, extent

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]
    BoolArray = NDArray[np.bool_]

_FINEST = 1.0
_MOST_BINS = 1500
_AT_ONCE = 500
"""Pieces whose points are held at the same time: memory does not grow with the drawing."""


class InkMap(Struct, frozen=True):
    """A drawing's box in square bins that have ink or have none.

    Attributes:
        box: What is mapped, in mm.
        marked: Shape (down the rows from the bottom, along a row from the left).
    """

    box: Box
    marked: "BoolArray"

    @property
    def bin_size(self) -> tuple[float, float]:
        """Width and height of a bin in mm."""
        rows, columns = self.marked.shape
        return self.box.width / columns, self.box.height / rows


def ink_map(drawn: Iterable[Content], box: Box) -> InkMap:
    """Which bins of about a mm any line, text or filled shape of a drawing touches; none is missed.

    Bins grow with plates beyond 1.5 m, so that the work stays bounded.
    """
    import numpy as np

    size = max(_FINEST, max(box.width, box.height) / _MOST_BINS)
    columns, rows = (max(1, math.ceil(side / size)) for side in (box.width, box.height))
    return with_ink(InkMap(box, np.zeros((rows, columns), dtype=np.bool_)), drawn)


def with_ink(ink: InkMap, drawn: Iterable[Content]) -> InkMap:
    """A map with further things on it.

    Points are taken along every line a quarter of a bin apart and marked with an eighth round them.
    """
    import numpy as np

    box, (rows, columns), finest = ink.box, ink.marked.shape, min(ink.bin_size)
    framed = np.zeros((rows + 2, columns + 2), dtype=np.bool_)
    framed[1:-1, 1:-1] = ink.marked
    flat = framed.reshape(-1)
    pieces = (piece for what in drawn for each in explode(what, 1.0) for piece in _pieces(each))
    while some := list(islice(pieces, _AT_ONCE)):
        points, aside = _points(some, finest / 4), (-finest / 8, finest / 8)
        across = [_bins(points[:, 0] + dx - box.left, box.width, columns) for dx in aside]
        along = [_bins(points[:, 1] + dy - box.bottom, box.height, rows) for dy in aside]
        for x, y in product(across, along):
            flat[y * (columns + 2) + x] = True
    return InkMap(box, framed[1:-1, 1:-1])


def _bins(places: "FloatArray", length: float, count: int) -> "NDArray[np.intp]":
    """The bins of a length that places along it lie in, from 1 on; 0 or one past them for what lies off it."""
    import numpy as np

    return np.clip(places / length * count + 1, 0, count + 1).astype(np.intp)


def inked_bins(ink: InkMap, within: Box) -> int:
    """How many bins that have ink an upright rectangle touches."""
    import numpy as np

    box, (rows, columns) = ink.box, ink.marked.shape
    across, along = (box.right - box.left) / columns, (box.top - box.bottom) / rows
    left, right = int((within.left - box.left) / across), math.ceil((within.right - box.left) / across)
    low, high = int((within.bottom - box.bottom) / along), math.ceil((within.top - box.bottom) / along)
    return int(np.count_nonzero(ink.marked[max(low, 0) : max(high, 0), max(left, 0) : max(right, 0)]))


class Strokes:
    """Lines and words of a drawing as they are: to be asked exactly what its map tells roughly."""

    def __init__(self, drawn: Iterable[Content]) -> None:
        """All of them, at real size."""
        self._lines: list[Line | Arc | Circle | None] = []
        self._reach = BoxIndex()
        for each in (each for what in drawn for each in explode(what, 1.0)):
            match each:
                case Label():
                    self._take(None, label_box(each))
                case Solid() | Mosaic():
                    for outline in each.outlines:
                        self._take(None, box_around(outline))
                case _:
                    for part in each.parts if isinstance(each, Contour) else (each,):
                        self._take(part, extent(part))

    def _take(self, line: Line | Arc | Circle | None, box: Box) -> None:
        self._lines.append(line)
        self._reach.add(box)

    def run_through(self, box: Box) -> bool:
        """Whether any line runs through an upright rectangle, or a word or a filled shape lies in it."""
        lines = (self._lines[index] for index in self._reach.touching(box))
        return any(line is None or runs_through(line, box) for line in lines)


def runs_through(part: Circle | Line | Arc, box: Box) -> bool:
    """Whether a line has a part in an upright rectangle."""
    if isinstance(part, Line):
        start, end = part.start, part.end
        if max(start.x, end.x) < box.left or box.right < min(start.x, end.x):
            return False
        if max(start.y, end.y) < box.bottom or box.top < min(start.y, end.y):
            return False
        across, up = end.x - start.x, end.y - start.y
        sides = [across * (corner.y - start.y) - up * (corner.x - start.x) for corner in box.corners]
        return min(sides) <= 0.0 <= max(sides)
    at, beyond = part.center, max(part.center.distance_to(corner) for corner in box.corners)
    nearest = Point(min(max(at.x, box.left), box.right), min(max(at.y, box.bottom), box.top))
    return at.distance_to(nearest) <= part.radius <= beyond and extent(part).overlaps(box)


def free_place(ink: InkMap, within: Box, sizes: Sequence[tuple[float, float]]) -> tuple[int, Point] | None:
    """Where no ink touches an upright rectangle: which of some sizes, and its lower left corner.

    Args:
        ink: What is drawn.
        within: Where the rectangle must lie, in mm; outside of the map nothing is drawn.
        sizes: Width and height of rectangles; the first that finds a place is taken, the highest, then rightmost one.
    """
    import numpy as np

    across, along = ink.bin_size
    left, low = math.ceil((within.left - ink.box.left) / across), math.ceil((within.bottom - ink.box.bottom) / along)
    right, top = math.floor((within.right - ink.box.left) / across), math.floor((within.top - ink.box.bottom) / along)
    rows, columns = ink.marked.shape
    inside = ink.marked[max(low, 0) : max(top, 0), max(left, 0) : max(right, 0)]
    part = np.pad(inside, ((max(-low, 0), max(top - rows, 0)), (max(-left, 0), max(right - columns, 0))))
    for rank, (width, height) in enumerate(sizes):
        wide, high = math.ceil(width / across), math.ceil(height / along)
        if part.shape[0] < high or part.shape[1] < wide:
            continue
        held = _marked_within(_marked_within(part, high).T, wide).T
        rows = np.flatnonzero(~held.all(axis=1))
        if len(rows):
            row = int(rows[-1])
            column = int(np.flatnonzero(~held[row])[-1])
            x, y = ink.box.left + (left + column) * across, ink.box.bottom + (low + row) * along
            return rank, Point(x, y)
    return None


def _marked_within(marked: "BoolArray", count: int) -> "BoolArray":
    """Whether any of so many rows, from each on that has as many, is marked."""
    reach = 1
    while reach < count:
        step = min(reach, count - reach)
        marked, reach = marked[:-step] | marked[step:], reach + step
    return marked


def _points(pieces: Sequence[Line | Arc], spacing: float) -> "FloatArray":
    """Points along pieces, no farther apart than ``spacing`` mm."""
    import numpy as np

    lines = [(p.start.x, p.start.y, p.end.x, p.end.y) for p in pieces if isinstance(p, Line)]
    arcs = [(p.center.x, p.center.y, p.radius, p.start_deg, p.sweep_deg) for p in pieces if isinstance(p, Arc)]
    straight, curved = np.array(lines).reshape(-1, 4), np.array(arcs).reshape(-1, 5)
    x0, y0, x1, y1 = straight.T
    which, share = _stations(np.hypot(x1 - x0, y1 - y0), spacing)
    on_lines = np.column_stack((x0[which] + (x1 - x0)[which] * share, y0[which] + (y1 - y0)[which] * share))
    x, y, radius, start, sweep = curved.T
    which, share = _stations(np.abs(np.radians(sweep)) * radius, spacing)
    turn = np.radians(start[which] + sweep[which] * share)
    on_arcs = np.column_stack((x[which] + radius[which] * np.cos(turn), y[which] + radius[which] * np.sin(turn)))
    return np.vstack((on_lines, on_arcs))


def _stations(lengths: "FloatArray", spacing: float) -> "tuple[NDArray[np.intp], FloatArray]":
    """For every point along pieces of these lengths: the piece it is on and how far along, 0 to 1."""
    import numpy as np

    counts = np.ceil(lengths / spacing).astype(int) + 1
    which = np.repeat(np.arange(len(lengths)), counts)
    rank = np.arange(len(which)) - np.repeat(np.cumsum(counts) - counts, counts)
    return which, rank / np.maximum(counts[which] - 1, 1)


def _pieces(primitive: Primitive) -> Iterable[Line | Arc]:
    match primitive:
        case Line() | Arc():
            return (primitive,)
        case Circle():
            return (Arc(primitive.center, primitive.radius, 0.0, 360.0),)
        case Contour():
            return primitive.parts
        case Solid() | Mosaic():
            return (side for outline in primitive.outlines for side in _around(outline))
        case Label():
            return _around(label_corners(primitive))


def _around(corners: Sequence[Point]) -> Iterator[Line]:
    return (Line(start, end) for start, end in zip(corners, (*corners[1:], corners[0]), strict=True))
