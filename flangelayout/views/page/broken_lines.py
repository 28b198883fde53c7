"""Lines that give way to a text: broken where it stands on them."""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from flangelayout.geometry.pieces import Piece, meetings, part_of, point_at
from flangelayout.geometry.shapes import Arc, Box, Circle, Line, rectangle


def broken(line: Line | Arc | Circle, rooms: Sequence[Box]) -> Iterator[Line | Arc | Circle]:
    """What of a line lies in none of the rooms."""
    near = [room for room in rooms if _may_pass(line, room)]
    if not near:
        yield line
        return
    piece: Piece = Arc(line.center, line.radius, 0.0, 360.0) if isinstance(line, Circle) else line
    cuts = {0.0, 1.0}
    for room in near:
        for side in rectangle(room).parts:
            cuts.update(share for share, _ in meetings(piece, side))
    for first, last in pairwise(sorted(cuts)):
        middle = point_at(piece, (first + last) / 2)
        if last - first > 1e-9 and not any(room.contains(middle) for room in near):
            yield part_of(piece, first, last)


def _may_pass(line: Line | Arc | Circle, room: Box) -> bool:
    """Whether a line may come through a room; it surely does not where this is false."""
    reach = math.hypot(room.width, room.height) / 2
    if isinstance(line, Line):
        step, to = line.end - line.start, room.center - line.start
        length = math.hypot(step.x, step.y)
        return length > 0 and abs(to.x * step.y - to.y * step.x) / length <= reach
    return abs(line.center.distance_to(room.center) - line.radius) <= reach
