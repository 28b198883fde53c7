"""Distances, areas and sides: how far a place or a shape is from another, exact for lines, arcs and circles."""

import math
from collections.abc import Iterator

from flangelayout.geometry.pieces import meet, nearest_on
from flangelayout.geometry.shapes import Arc, Circle, Contour, Line, Point, polar

Edge = Circle | Contour
"""A closed line: what an edge of a plate or an opening is."""

Spine = Point | Line | Arc
"""What a round tool's center follows: a point for a hole, a line or an arc for a slot."""

_TOUCH = 1e-9


def pieces(shape: Edge) -> tuple[Line | Arc, ...]:
    """The lines and arcs of an edge; a circle is one arc of a full turn."""
    return (Arc(shape.center, shape.radius, 0.0, 360.0),) if isinstance(shape, Circle) else shape.parts


def is_inside(shape: Edge, point: Point) -> bool:
    """Whether a place lies inside an edge (on it: either answer).

    Seen from a place inside, the edge turns once round; seen from outside, not at all.
    """
    if isinstance(shape, Circle):
        return point.distance_to(shape.center) < shape.radius
    turn = sum(turn_seen(piece, point) for part in shape.parts for piece in half_turns(part))
    return abs(turn) > math.pi


def distance_to_edge(shape: Edge, point: Point) -> float:
    """How far a place is from an edge in mm: positive inside, negative outside."""
    if isinstance(shape, Circle):
        return shape.radius - point.distance_to(shape.center)
    distance = min(piece_distance(point, part) for part in shape.parts)
    return distance if is_inside(shape, point) else -distance


def piece_distance(point: Point, piece: Line | Arc) -> float:
    """Least distance in mm from a place to a line or an arc."""
    return point.distance_to(nearest_on(piece, point))


def spine_distance(one: Spine, other: Spine) -> float:
    """Least distance in mm between two places, lines or arcs; 0 where they meet.

    It is reached at an end of one of them, at a crossing, or on a line square to both, which for an arc
    passes through its center.
    """
    if isinstance(one, Point):
        return one.distance_to(other) if isinstance(other, Point) else piece_distance(one, other)
    if isinstance(other, Point):
        return piece_distance(other, one)
    if meet(one, other):
        return 0.0
    tries = [piece_distance(end, other) for end in (one.start, one.end)]
    tries += [piece_distance(end, one) for end in (other.start, other.end)]
    tries += [place.distance_to(nearest_on(other, place)) for place in _square_places(one, other)]
    tries += [place.distance_to(nearest_on(one, place)) for place in _square_places(other, one)]
    return min(tries)


def spine_to_edge(shape: Edge, spine: Spine) -> float:
    """How far a place, line or arc is from an edge in mm: positive inside, 0 where they cross, negative outside."""
    if isinstance(spine, Point):
        return distance_to_edge(shape, spine)
    distance = min(spine_distance(spine, piece) for piece in pieces(shape))
    return distance if is_inside(shape, spine.start) else -distance


def edge_to_edge(one: Edge, other: Edge) -> float:
    """Least distance in mm between two edges, whichever lies inside the other; 0 where they cross."""
    if isinstance(one, Circle) and isinstance(other, Circle):
        apart = one.center.distance_to(other.center)
        return max(apart - one.radius - other.radius, abs(one.radius - other.radius) - apart, 0.0)
    return min(spine_distance(a, b) for a in pieces(one) for b in pieces(other))


def area(shape: Edge) -> float:
    """Area inside an edge in square mm, whichever way round a contour runs."""
    if isinstance(shape, Circle):
        return math.pi * shape.radius**2
    return abs(signed_area(shape))


def signed_area(contour: Contour) -> float:
    """Area inside a closed contour in square mm, negative where it runs clockwise.

    The polygon of the corners by the surveyor's formula, and for each arc its circular segment,
    radius^2 / 2 * (sweep - sin(sweep)).
    """
    total = 0.0
    for part in contour.parts:
        start, end = part.start, part.end
        total += (start.x * end.y - end.x * start.y) / 2
        if isinstance(part, Arc):
            sweep = math.radians(part.sweep_deg)
            total += part.radius**2 / 2 * (sweep - math.sin(sweep))
    return total


def crossings(shape: Edge, x: float) -> list[float]:
    """Heights in rising order at which an upright line at ``x`` crosses an edge; touching does not count."""
    heights: list[float] = []
    for part in pieces(shape):
        for piece in half_turns(part):
            heights += _crossings_of(piece, x)
    return sorted(heights)


def half_turns(part: Line | Arc) -> Iterator[Line | Arc]:
    """A line as it is, an arc in pieces of half a turn at most."""
    if isinstance(part, Line) or abs(part.sweep_deg) <= 180 + _TOUCH:
        yield part
        return
    count = math.ceil(abs(part.sweep_deg) / 180)
    step = part.sweep_deg / count
    for index in range(count):
        yield Arc(part.center, part.radius, part.start_deg + index * step, step)


def turn_seen(piece: Line | Arc, point: Point) -> float:
    """The angle in radians by which one turns, standing at ``point``, to follow a line or half a turn at most.

    To follow an arc from between it and its chord one turns the other way round from following the chord.
    """
    start, end = piece.start - point, piece.end - point
    side = start.x * end.y - start.y * end.x
    turn = math.atan2(side, start.x * end.x + start.y * end.y)
    if isinstance(piece, Arc) and point.distance_to(piece.center) < piece.radius:
        if piece.sweep_deg > 0 and turn < 0:
            turn += 2 * math.pi
        elif piece.sweep_deg < 0 and turn > 0:
            turn -= 2 * math.pi
    return turn


def _on_arc(arc: Arc, degrees: float) -> bool:
    """Whether an arc passes through the direction ``degrees`` from its center."""
    if abs(arc.sweep_deg) >= 360:
        return True
    low = min(arc.start_deg, arc.start_deg + arc.sweep_deg)
    past = (degrees - low) % 360
    return past <= abs(arc.sweep_deg) + _TOUCH or past >= 360 - _TOUCH


def _square_places(one: Line | Arc, other: Line | Arc) -> Iterator[Point]:
    """Places on an arc where a line square to it could meet ``other`` at right angles."""
    if isinstance(one, Line):
        return
    if isinstance(other, Line):
        step = other.end - other.start
        square = math.degrees(math.atan2(step.y, step.x)) + 90
        directions = [square, square + 180]
    else:
        between = one.center.direction_to(other.center)
        directions = [between, between + 180]
    for direction in directions:
        if _on_arc(one, direction):
            yield polar(one.radius, direction, one.center)


def _crossings_of(piece: Line | Arc, x: float) -> Iterator[float]:
    if isinstance(piece, Line):
        if (piece.start.x > x) != (piece.end.x > x):
            share = (x - piece.start.x) / (piece.end.x - piece.start.x)
            yield piece.start.y + share * (piece.end.y - piece.start.y)
        return
    across = x - piece.center.x
    if abs(across) >= piece.radius:
        return
    up = math.sqrt(piece.radius**2 - across**2)
    for sign in (-1, 1):
        direction = math.degrees(math.atan2(sign * up, across))
        past = (direction - min(piece.start_deg, piece.start_deg + piece.sweep_deg)) % 360
        if past < abs(piece.sweep_deg):
            yield piece.center.y + sign * up
