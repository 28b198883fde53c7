"""Lines and arcs as pieces of a path: places along them, parts of them, where two of them meet."""

import math
from collections.abc import Iterator
from typing import assert_never

from flangelayout.geometry.shapes import Arc, Circle, Contour, Line, Point, polar

Piece = Line | Arc
_PARALLEL = 1e-12

_ONE_PLACE = 1e-7
"""Lengths in mm below which two places are one."""


def point_at(piece: Piece, share: float) -> Point:
    """The place at ``share`` (0 the start, 1 the end) of a piece."""
    match piece:
        case Line():
            return piece.start + (piece.end - piece.start).scaled(share)
        case Arc():
            return polar(piece.radius, piece.start_deg + share * piece.sweep_deg, piece.center)
        case _:
            assert_never(piece)


def tangent_at(piece: Piece, share: float) -> Point:
    """The direction of travel at ``share`` of a piece, one mm long."""
    match piece:
        case Line():
            length = piece.start.distance_to(piece.end)
            return (piece.end - piece.start).scaled(1 / length)
        case Arc():
            return polar(1.0, piece.start_deg + share * piece.sweep_deg + math.copysign(90.0, piece.sweep_deg))
        case _:
            assert_never(piece)


def part_of(piece: Piece, first: float, last: float) -> Piece:
    """What runs from the share ``first`` to the share ``last`` of a piece."""
    match piece:
        case Line():
            return Line(point_at(piece, first), point_at(piece, last))
        case Arc():
            start = piece.start_deg + first * piece.sweep_deg
            return Arc(piece.center, piece.radius, start, (last - first) * piece.sweep_deg)
        case _:
            assert_never(piece)


def turned_round(piece: Piece) -> Piece:
    """The same piece traveled the other way."""
    match piece:
        case Line():
            return Line(piece.end, piece.start)
        case Arc():
            return Arc(piece.center, piece.radius, piece.start_deg + piece.sweep_deg, -piece.sweep_deg)
        case _:
            assert_never(piece)


def length_of(shape: Line | Arc | Circle | Contour) -> float:
    """Length in mm of the path along a shape."""
    match shape:
        case Line():
            return shape.start.distance_to(shape.end)
        case Arc():
            return shape.radius * math.radians(abs(shape.sweep_deg))
        case Circle():
            return 2 * math.pi * shape.radius
        case Contour():
            return sum(length_of(part) for part in shape.parts)
        case _:
            assert_never(shape)


def share_of(piece: Piece, point: Point) -> float:
    """The share of a piece nearest to ``point``, 0 to 1."""
    match piece:
        case Line():
            step = piece.end - piece.start
            square = step.x * step.x + step.y * step.y
            if square == 0:
                return 0.0
            to = point - piece.start
            return min(max((to.x * step.x + to.y * step.y) / square, 0.0), 1.0)
        case Arc():
            return _share_of_arc(piece, point)
        case _:
            assert_never(piece)


def nearest_on(piece: Piece, point: Point) -> Point:
    """The place on a piece that is nearest to ``point``."""
    return point_at(piece, share_of(piece, point))


def meetings(one: Piece, other: Piece) -> Iterator[tuple[float, float]]:
    """Where two pieces cross or touch, as the share of each.

    Two that lie on one line or one circle meet where the end of one lies on the other.
    """
    for point in (*_common_places(one, other), one.start, one.end, other.start, other.end):
        shares = share_of(one, point), share_of(other, point)
        if point_at(one, shares[0]).distance_to(point) < _ONE_PLACE > point_at(other, shares[1]).distance_to(point):
            yield shares


def meet(one: Piece, other: Piece) -> bool:
    """Whether two pieces cross or touch; two that lie on one line or one circle are not looked at."""
    return any(
        nearest_on(one, place).distance_to(place) < _ONE_PLACE > nearest_on(other, place).distance_to(place)
        for place in _common_places(one, other)
    )


def _common_places(one: Piece, other: Piece) -> tuple[Point, ...]:
    """Where the endless lines or full circles of two pieces meet."""
    match one, other:
        case Line(), Line():
            return _line_line(one, other)
        case Line(), Arc():
            return _line_arc(one, other)
        case Arc(), Line():
            return _line_arc(other, one)
        case Arc(), Arc():
            return _arc_arc(one, other)
        case _:
            raise AssertionError("a piece is a line or an arc")


def _share_of_arc(arc: Arc, point: Point) -> float:
    """Of an arc: in its sweep by the angle, beyond it the nearer end."""
    if point.distance_to(arc.center) == 0:
        return 0.0
    sign = math.copysign(1.0, arc.sweep_deg)
    along = sign * (arc.center.direction_to(point) - arc.start_deg) % 360.0
    sweep = abs(arc.sweep_deg)
    if along <= sweep:
        return along / sweep
    return 1.0 if along - sweep < 360.0 - along else 0.0


def _line_line(one: Line, other: Line) -> tuple[Point, ...]:
    a, b, gap = one.end - one.start, other.end - other.start, other.start - one.start
    cross = a.x * b.y - a.y * b.x
    if abs(cross) <= _PARALLEL * math.hypot(a.x, a.y) * math.hypot(b.x, b.y):
        return ()
    return (one.start + a.scaled((gap.x * b.y - gap.y * b.x) / cross),)


def _line_arc(line: Line, arc: Arc) -> tuple[Point, ...]:
    """Where the endless line and the full circle meet; at a near touch the foot of the center."""
    step = line.end - line.start
    length = math.hypot(step.x, step.y)
    if length == 0:
        return ()
    along = Point(step.x / length, step.y / length)
    to = arc.center - line.start
    foot = line.start + along.scaled(to.x * along.x + to.y * along.y)
    half = arc.radius**2 - ((foot.x - arc.center.x) ** 2 + (foot.y - arc.center.y) ** 2)
    if half < 0:
        return (foot,)
    return foot + along.scaled(math.sqrt(half)), foot - along.scaled(math.sqrt(half))


def _arc_arc(one: Arc, other: Arc) -> tuple[Point, ...]:
    """Where two full circles meet (the line through both points stands square to the line of centers)."""
    apart = one.center.distance_to(other.center)
    if apart < 1e-9:
        return ()
    along = (one.radius**2 - other.radius**2 + apart**2) / (2 * apart)
    toward = (other.center - one.center).scaled(1 / apart)
    foot = one.center + toward.scaled(along)
    half = one.radius**2 - along**2
    if half < 0:
        return (foot,)
    across = Point(-toward.y, toward.x).scaled(math.sqrt(half))
    return foot + across, foot - across
