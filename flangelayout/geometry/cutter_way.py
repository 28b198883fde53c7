"""The way of a cutter along a closed path: its run from the entry on, stretches of it, and the gaps that tabs leave."""

from collections.abc import Sequence

from flangelayout.geometry.measure import Edge
from flangelayout.geometry.pieces import Piece, length_of, part_of
from flangelayout.geometry.shapes import Arc, Circle

_LEAST_PITCH = 5.0
"""From tab to tab at least, in widths of the gap: on a shorter cut there are fewer tabs."""
_NOTHING = 1e-9

Gap = tuple[float, float]
"""Where the cutter stops and where it goes on, in mm along a run."""

Run = Sequence[Piece]
"""Pieces end to end in the direction of cutting, from where the path is entered."""


def run_of(path: Edge, scrap_inside: bool) -> tuple[Piece, ...]:
    """A path as it is followed, the scrap on the left; a circle is entered at 3 o'clock, where a DXF circle begins."""
    if isinstance(path, Circle):
        return (Arc(path.center, path.radius, 0.0, 360.0 if scrap_inside else -360.0),)
    return path.parts


def stretch(run: Run, start: float, end: float) -> tuple[Piece, ...]:
    """What of a run lies from ``start`` to ``end`` mm along it."""
    parts: list[Piece] = []
    low = 0.0
    for piece in run:
        length = length_of(piece)
        first, last = max(start - low, 0.0), min(end - low, length)
        if last - first > _NOTHING:
            whole = first == 0.0 and last == length
            parts.append(piece if whole else part_of(piece, first / length, last / length))
        low += length
    return tuple(parts)


def tab_gaps(run: Run, count: int, gap: float) -> tuple[Gap, ...]:
    """Where a cut is left out so that tabs hold the part: equally far apart, and away from where it is entered.

    Args:
        run: What is followed.
        count: Of tabs; there are fewer on a cut shorter than five gaps for each.
        gap: Length left out, in mm, > 0; it lies within one piece where one is long enough, off the corners.
    """
    length = sum(length_of(piece) for piece in run)
    fitting = min(count, int(length / (_LEAST_PITCH * gap)))
    return tuple(_gap(run, length * (index + 0.5) / fitting, gap) for index in range(fitting))


def _gap(run: Run, middle: float, gap: float) -> Gap:
    low = 0.0
    for piece in run:
        high = low + length_of(piece)
        if middle <= high:
            if high - low >= gap:
                middle = min(max(middle, low + gap / 2), high - gap / 2)
            break
        low = high
    return middle - gap / 2, middle + gap / 2
