"""Lines that give way to a text: broken where it stands on them."""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from flangelayout.geometry.pieces import Piece, meetings, part_of, point_at
from flangelayout.geometry.shapes import Arc, Box, Circle, Line, rectangle

_PARALLEL = 1e-12
"""Printed mm of a step along which a line does not come nearer to a side."""


def broken(line: Line | Arc | Circle, rooms: Sequence[Box]) -> Iterator[Line | Arc | Circle]:
    """What of a line lies in none of the rooms."""
    near = _by_line(line, rooms) if isinstance(line, Line) else _by_circle(line, rooms)
    if not near:
        yield line
        return
    piece: Piece = Arc(line.center, line.radius, 0.0, 360.0) if isinstance(line, Circle) else line
    cuts = {0.0, 1.0}
    for room in near:
        cuts.update(_through(piece, room) if isinstance(piece, Line) else _round_through(piece, room))
    for first, last in pairwise(sorted(cuts)):
        middle = point_at(piece, (first + last) / 2)
        if last - first > 1e-9 and not any(room.contains(middle) for room in near):
            yield part_of(piece, first, last)


def _through(line: Line, room: Box) -> Iterator[float]:
    """The shares of a line at which it comes into a room and leaves it (cut back by its four sides)."""
    first, last = 0.0, 1.0
    x, y, step = line.start.x, line.start.y, line.end - line.start
    for along, left in (
        (-step.x, x - room.left),
        (step.x, room.right - x),
        (-step.y, y - room.bottom),
        (step.y, room.top - y),
    ):
        if abs(along) < _PARALLEL:
            if left < 0:
                return
        elif along < 0:
            first = max(first, left / along)
        else:
            last = min(last, left / along)
    if first < last:
        yield from (first, last)


def _round_through(arc: Arc, room: Box) -> Iterator[float]:
    """The shares of an arc at which it crosses a side of a room."""
    for side in rectangle(room).parts:
        yield from (share for share, _ in meetings(arc, side))


def _by_line(line: Line, rooms: Sequence[Box]) -> list[Box]:
    """The rooms that a straight line may come through, by their circumcircles; it surely comes through no other."""
    x, y, step = 2 * line.start.x, 2 * line.start.y, line.end - line.start
    length = math.hypot(step.x, step.y)
    return [
        each
        for each in rooms
        if abs((each.left + each.right - x) * step.y - (each.bottom + each.top - y) * step.x)
        <= length * math.hypot(each.right - each.left, each.top - each.bottom)
    ]


def _by_circle(line: Arc | Circle, rooms: Sequence[Box]) -> list[Box]:
    """As :func:`_by_line`, for a round one."""
    x, y, across = 2 * line.center.x, 2 * line.center.y, 2 * line.radius
    return [
        each
        for each in rooms
        if abs(math.hypot(each.left + each.right - x, each.bottom + each.top - y) - across)
        <= math.hypot(each.right - each.left, each.top - each.bottom)
    ]
