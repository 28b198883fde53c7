"""How much of an area lies within a circle round the middle, and where the middle of that share is."""

import math
from collections.abc import Iterator
from itertools import pairwise

from msgspec import Struct

from flangelayout.geometry.measure import Edge, half_turns, pieces, turn_seen
from flangelayout.geometry.shapes import ORIGIN, Arc, Circle, Line, Point

_NOTHING = 1e-12
_TOUCH = 1e-9
"""Share of its radius by which a piece that lies on the circle may seem to be within it."""


class AreaShare(Struct, frozen=True):
    """An area in square mm, and its first moments about the middle in cubic mm."""

    size: float
    moment: Point


def share_within(shape: Edge, radius: float) -> AreaShare:
    """What of the area inside a closed line lies within ``radius`` mm of the middle.

    Green's theorem over the edge: where it runs inside the circle the edge itself, where it runs outside the arc of
    the circle below it, as seen from the middle; the result is positive whichever way round the edge runs.
    """
    size = x = y = 0.0
    for part in pieces(shape):
        for whole_piece in _split(part, radius):
            for piece in half_turns(whole_piece):
                add, dx, dy = _inside(piece) if _is_within(piece, radius) else _outside(piece, radius)
                size, x, y = size + add, x + dx, y + dy
    sign = -1.0 if size < 0 else 1.0
    return AreaShare(sign * size, Point(sign * x, sign * y))


def _inside(piece: Line | Arc) -> tuple[float, float, float]:
    """Area and moments between the middle and a piece: the triangle, and for an arc the segment on its chord."""
    start, end = piece.start, piece.end
    cross = (start.x * end.y - start.y * end.x) / 2
    size, x, y = cross, cross * (start.x + end.x) / 3, cross * (start.y + end.y) / 3
    if isinstance(piece, Arc):
        sweep, turn = math.radians(piece.sweep_deg), math.radians(piece.start_deg + piece.sweep_deg / 2)
        segment = piece.radius**2 * (sweep - math.sin(sweep)) / 2
        moment = 2 / 3 * piece.radius**3 * math.sin(sweep / 2) ** 3
        size += segment
        x += segment * piece.center.x + moment * math.cos(turn)
        y += segment * piece.center.y + moment * math.sin(turn)
    return size, x, y


def _outside(piece: Line | Arc, radius: float) -> tuple[float, float, float]:
    """Area and moments of the sector of the circle that a piece is seen under from the middle."""
    turn = turn_seen(piece, ORIGIN)
    first = math.atan2(piece.start.y, piece.start.x)
    last = first + turn
    x, y = math.sin(last) - math.sin(first), math.cos(first) - math.cos(last)
    return radius**2 * turn / 2, radius**3 / 3 * x, radius**3 / 3 * y


def _is_within(piece: Line | Arc, radius: float) -> bool:
    """Whether a piece that crosses the circle nowhere lies within it; it may touch it at one of the places asked."""
    places = (_at(piece, share) for share in (0.31, 0.64))
    return min(math.hypot(place.x, place.y) for place in places) < radius * (1 - _TOUCH)


def _at(piece: Line | Arc, share: float) -> Point:
    """The place a share of the way along a piece."""
    if isinstance(piece, Line):
        return piece.start + (piece.end - piece.start).scaled(share)
    return Arc(piece.center, piece.radius, piece.start_deg, piece.sweep_deg * share).end


def _split(part: Line | Arc, radius: float) -> Iterator[Line | Arc]:
    """A piece of an edge in pieces that each lie whole within the circle or whole outside of it."""
    if isinstance(part, Line):
        places = [part.start, *(_at(part, share) for share in _line_shares(part, radius)), part.end]
        yield from (Line(one, other) for one, other in pairwise(places))
        return
    shares = sorted((0.0, *_arc_shares(part, radius), 1.0))
    for one, other in pairwise(shares):
        yield Arc(part.center, part.radius, part.start_deg + part.sweep_deg * one, part.sweep_deg * (other - one))


def _line_shares(line: Line, radius: float) -> list[float]:
    """Where along a line it crosses the circle."""
    start, step = line.start, line.end - line.start
    a, half_b = step.x**2 + step.y**2, start.x * step.x + start.y * step.y
    root = half_b**2 - a * (start.x**2 + start.y**2 - radius**2)
    if a <= _NOTHING or root <= 0:
        return []
    ends = ((-half_b - math.sqrt(root)) / a, (-half_b + math.sqrt(root)) / a)
    return [share for share in ends if _NOTHING < share < 1 - _NOTHING]


def _arc_shares(arc: Arc, radius: float) -> Iterator[float]:
    """Where along an arc it crosses the circle."""
    apart = ORIGIN.distance_to(arc.center)
    if not arc.sweep_deg or apart <= _NOTHING or not abs(radius - arc.radius) < apart < radius + arc.radius:
        return
    cosine = (radius**2 - apart**2 - arc.radius**2) / (2 * apart * arc.radius)
    away, turn = ORIGIN.direction_to(arc.center), math.degrees(math.acos(max(-1.0, min(1.0, cosine))))
    for direction in (away - turn, away + turn):
        past = (direction - arc.start_deg) % 360.0
        share = (past if arc.sweep_deg > 0 else past - 360.0) / arc.sweep_deg
        if _NOTHING < share < 1 - _NOTHING:
            yield share


def whole(shape: Edge) -> AreaShare:
    """The whole of the area inside a closed line."""
    if isinstance(shape, Circle):
        size = math.pi * shape.radius**2
        return AreaShare(size, shape.center.scaled(size))
    return share_within(shape, math.inf)
