"""Where a full-scale drawing is parted into pages: seams clear of hole centers, as few pages as possible."""

import bisect
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from flangelayout.drawing.model import Drawing
from flangelayout.geometry.shapes import Arc, Box, Circle, Contour, Line, Point, extent

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]

SEAM_CLEARANCE = 5.0
"""Least distance in mm from a seam to a hole center that is worth another row of pages."""
_BEST_CLEARANCE = 20.0


@dataclass(frozen=True, slots=True)
class Tile:
    """One page of a template: row 1 is at the top, column 1 at the left, as the pages are laid out."""

    row: int
    column: int
    window: Box


@dataclass(frozen=True, slots=True)
class Tiling:
    """A template's pages.

    Attributes:
        tiles: Those with something on them, row by row.
        rows: Of the whole grid, empty tiles counted.
        columns: Likewise.
        seams_x: Where neighbors in a row are trimmed and joined, in the middle of their overlap.
        seams_y: Likewise for neighbors in a column, from the bottom.
        overlap: Width in mm of the strip that two neighbors share.
    """

    tiles: tuple[Tile, ...]
    rows: int
    columns: int
    seams_x: tuple[float, ...]
    seams_y: tuple[float, ...]
    overlap: float


def tile_drawing(
    drawing: Drawing, box: Box, centers: Sequence[Point], size: tuple[float, float], overlap: float
) -> Tiling:
    """Pages for a drawing at real size.

    Args:
        drawing: What is printed; tiles that none of its lines reach are left out.
        box: What the pages must cover.
        centers: Hole centers, which seams keep away from; from the centerlines, too, where that costs no page.
        size: Width and height in mm that a page can show.
        overlap: Strip that neighbors share, in mm, less than either size.
    """
    width, height = size
    seams_x = place_seams(box.left, box.right, width, overlap, [point.x for point in centers])
    seams_y = place_seams(box.bottom, box.top, height, overlap, [point.y for point in centers])
    lefts = _window_starts(box.left, box.right, width, overlap, seams_x)
    bottoms = _window_starts(box.bottom, box.top, height, overlap, seams_y)
    content = _Content(drawing)
    tiles = [
        Tile(row, column, window)
        for row, bottom in enumerate(reversed(bottoms), 1)
        for column, left in enumerate(lefts, 1)
        if content.reaches(window := Box(left, bottom, left + width, bottom + height))
    ]
    return Tiling(tuple(tiles), len(bottoms), len(lefts), seams_x, seams_y, overlap)


def place_seams(low: float, high: float, window: float, overlap: float, avoid: Sequence[float]) -> tuple[float, ...]:
    """Seams that part the stretch from ``low`` to ``high``, as far as possible from the values to avoid.

    Each seam is the middle of the overlap of two windows. As few windows as can cover the stretch are
    used, what they cover beyond it shared by both ends where the clearance allows; one window more where
    that alone keeps :data:`SEAM_CLEARANCE`. The centerline at 0 is kept clear of, too, where that is free.

    Args:
        low: Where the stretch begins, in mm.
        high: Where it ends.
        window: What one page can show, in mm.
        overlap: Strip that neighbors share, in mm, less than ``window``.
        avoid: Where no seam should run.

    Returns:
        The seams in rising order, one fewer than the windows.
    """
    step = window - overlap
    start, stop = low + overlap / 2, high - overlap / 2
    fewest = max(1, math.ceil((stop - start) / step - 1e-9))
    tries = []
    for count in (fewest, fewest + 1):
        spare = count * step - (stop - start)
        for values in (sorted((*avoid, 0.0)), sorted(avoid)):
            tries += [_clearest_seams(start - lead, stop, step, count, values) for lead in (spare / 2, 0.0)]
    clear = (seams for seams, clearance in tries if clearance >= SEAM_CLEARANCE)
    return next(clear, max(tries[2:4], key=lambda tried: tried[1])[0])


def _clearest_seams(
    start: float, stop: float, step: float, count: int, values: list[float]
) -> tuple[tuple[float, ...], float]:
    """The seams of ``count`` windows with the greatest clearance, found by halving, and that clearance."""
    found = _farthest_seams(start, stop, step, count, values, 0.0) or ()
    low, high = 0.0, 2 * _BEST_CLEARANCE
    while high - low > 0.01:
        middle = (low + high) / 2
        seams = _farthest_seams(start, stop, step, count, values, middle)
        low, high, found = (low, middle, found) if seams is None else (middle, high, seams)
        if low >= _BEST_CLEARANCE:
            break
    return found, low


def _farthest_seams(
    start: float, stop: float, step: float, count: int, values: list[float], clearance: float
) -> tuple[float, ...] | None:
    """Seams each as far on as its window and the clearance let it, or ``None`` if they fall short.

    No other choice reaches farther, so falling short means that the clearance cannot be kept.
    """
    seams: list[float] = []
    at = start
    for _ in range(count - 1):
        place = _last_free(min(at + step, stop), values, clearance)
        if place <= at:
            return None
        seams.append(place)
        at = place
    return tuple(seams) if stop - at <= step + 1e-9 else None


def _last_free(most: float, values: list[float], clearance: float) -> float:
    """The greatest place up to ``most`` that is ``clearance`` away from every value."""
    place = most
    while True:
        index = bisect.bisect_left(values, place - clearance + 1e-9)
        if index == len(values) or values[index] >= place + clearance - 1e-9:
            return place
        place = values[index] - clearance


def _window_starts(low: float, high: float, window: float, overlap: float, seams: tuple[float, ...]) -> list[float]:
    """Where each window begins: the first so that it ends with its overlap; a single one stands in the middle."""
    if not seams:
        return [(low + high - window) / 2]
    return [seams[0] + overlap / 2 - window, *(seam - overlap / 2 for seam in seams)]


class _Content:
    """The lines of a drawing that make a page worth printing, ready to be asked for many windows.

    Crosses and numbers are left out: they stand at the circle of their hole.
    """

    def __init__(self, drawing: Drawing) -> None:
        import numpy as np

        shapes = [item.what for item in drawing.items]
        circles = [(what.center.x, what.center.y, what.radius) for what in shapes if isinstance(what, Circle)]
        self._circles = np.array(circles).reshape(-1, 3)
        self._lines = [extent(what).grown(1e-6) for what in shapes if isinstance(what, Line | Arc | Contour)]

    def reaches(self, window: Box) -> bool:
        """Whether a line passes through the window: exact for circles and upright lines, by their box for others."""
        import numpy as np

        x, y, radius = self._circles.T
        near = np.hypot(_outside(window.left, window.right, x), _outside(window.bottom, window.top, y))
        far = np.hypot(
            np.maximum(abs(window.left - x), abs(window.right - x)),
            np.maximum(abs(window.bottom - y), abs(window.top - y)),
        )
        return bool(((near <= radius) & (radius <= far)).any()) or any(box.overlaps(window) for box in self._lines)


def _outside(low: float, high: float, values: "FloatArray") -> "FloatArray":
    """How far each value lies outside the stretch from ``low`` to ``high``."""
    import numpy as np

    return np.maximum(np.maximum(low - values, values - high), 0.0)
