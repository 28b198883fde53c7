"""Closed contours from what a person knows: corners with radii, slots, ring pieces, circles joined by tangents.

Every contour runs counter-clockwise.
"""

import math
from collections.abc import Sequence
from typing import overload

from flangelayout.errors import GeometryError
from flangelayout.facts import Length
from flangelayout.geometry.measure import Edge, Spine
from flangelayout.geometry.pieces import turned_round
from flangelayout.geometry.shapes import ORIGIN, Arc, Circle, Contour, Line, Point, polar
from flangelayout.problems.geometry import GeometryProblem

_NOTHING = 1e-9


def joined(parts: Sequence[Line | Arc]) -> Contour:
    """A closed contour of the parts that have a length."""
    kept = [part for part in parts if not _is_nothing(part)]
    return Contour(tuple(kept), closed=True)


def rounded_polygon(corners: Sequence[tuple[Point, float]]) -> Contour:
    """A polygon with rounded corners.

    Args:
        corners: Corners counter-clockwise, each with its radius in mm, 0 for a sharp one.

    Raises:
        GeometryError: If two radii need more of a side than it has.
    """
    count = len(corners)
    places = [corner for corner, _ in corners]
    rounds = [rounded_corner(places[index - 1], *corners[index], places[(index + 1) % count]) for index in range(count)]
    parts: list[Line | Arc] = []
    for index, (_, arc, leave) in enumerate(rounds):
        enter = rounds[(index + 1) % count][0]
        here, there = corners[index][0], corners[(index + 1) % count][0]
        needed = here.distance_to(leave) + there.distance_to(enter)
        side = here.distance_to(there)
        if needed > side + _NOTHING:
            raise GeometryError.of(GeometryProblem.CORNERS_LONGER_THAN_SIDE, needed=Length(needed), side=Length(side))
        parts += [*([arc] if arc else []), Line(leave, enter)]
    return joined(parts)


def slot(spine: Line | Arc, radius: float) -> Contour:
    """What a round tool of ``radius`` leaves whose center follows a line or an arc."""
    if isinstance(spine, Line):
        direction = spine.start.direction_to(spine.end)
        aside = polar(radius, direction - 90)
        return joined(
            (
                Line(spine.start + aside, spine.end + aside),
                Arc(spine.end, radius, direction - 90, 180.0),
                Line(spine.end - aside, spine.start - aside),
                Arc(spine.start, radius, direction + 90, 180.0),
            )
        )
    center, first, sweep = spine.center, spine.start_deg, spine.sweep_deg
    if sweep < 0:
        first, sweep = first + sweep, -sweep
    last = first + sweep
    return joined(
        (
            Arc(center, spine.radius + radius, first, sweep),
            Arc(polar(spine.radius, last, center), radius, last, 180.0),
            Arc(center, spine.radius - radius, last, -sweep),
            Arc(polar(spine.radius, first, center), radius, first + 180, 180.0),
        )
    )


def ring_piece(inner: float, outer: float, start_deg: float, sweep_deg: float, setback: float = 0.0) -> Contour:
    """The part of a ring from ``start_deg`` through ``sweep_deg``, about the origin.

    Args:
        inner: Radius inside in mm, > 0.
        outer: Radius outside in mm, > ``inner``.
        start_deg: Direction of its first end face.
        sweep_deg: To its last one, 0 to 360.
        setback: How far in mm both end faces stand back from those directions, parallel to them.
    """
    if setback >= inner:
        raise GeometryError.of(GeometryProblem.SETBACK_OVER_INNER, setback=Length(setback), inner=Length(inner))
    inside, outside = (math.degrees(math.asin(setback / radius)) for radius in (inner, outer))
    low, high = start_deg + outside, start_deg + sweep_deg - outside
    low_in, high_in = start_deg + inside, start_deg + sweep_deg - inside
    if low_in >= high_in:
        raise GeometryError.of(GeometryProblem.SETBACK_LEAVES_NOTHING, setback=Length(setback))
    return joined(
        (
            Arc(ORIGIN, outer, low, high - low),
            Line(polar(outer, high), polar(inner, high_in)),
            Arc(ORIGIN, inner, high_in, low_in - high_in),
            Line(polar(inner, low_in), polar(outer, low)),
        )
    )


def window(inner: float, outer: float, middle_deg: float, sweep_deg: float, corner: float = 0.0) -> Contour:
    """An opening between two radii and two rays, its four corners rounded, about the origin.

    Raises:
        GeometryError: If the corner radius is more than the opening has room for.
    """
    low, high = middle_deg - sweep_deg / 2, middle_deg + sweep_deg / 2
    if 2 * corner > outer - inner:
        raise GeometryError.of(GeometryProblem.CORNER_OVER_HALF, corner=Length(corner), across=Length(outer - inner))
    outward, inward = (math.degrees(math.asin(corner / r)) for r in (outer - corner, inner + corner))
    if 2 * inward > sweep_deg:
        raise GeometryError.of(GeometryProblem.CORNER_MISSES_INNER_END, corner=Length(corner))
    reach_out = math.sqrt((outer - corner) ** 2 - corner**2)
    reach_in = math.sqrt((inner + corner) ** 2 - corner**2)

    def bend(radius: float, degrees: float, first: float, sweep: float) -> Arc:
        return Arc(polar(radius, degrees), corner, first, sweep)

    return joined(
        (
            Arc(ORIGIN, outer, low + outward, sweep_deg - 2 * outward),
            bend(outer - corner, high - outward, high - outward, 90 + outward),
            Line(polar(reach_out, high), polar(reach_in, high)),
            bend(inner + corner, high - inward, high + 90, 90 - inward),
            Arc(ORIGIN, inner, high - inward, 2 * inward - sweep_deg),
            bend(inner + corner, low + inward, low + inward + 180, 90 - inward),
            Line(polar(reach_in, low), polar(reach_out, low)),
            bend(outer - corner, low + outward, low - 90, 90 + outward),
        )
    )


def belt(circles: Sequence[Circle]) -> Contour:
    """The line of a belt round circles, which must be given counter-clockwise and bulge outward.

    A tangent leaves both circles in the direction whose component along the line of centers is the
    difference of the radii.

    Raises:
        GeometryError: If one circle lies inside its neighbor, so that they have no outer tangent.
    """
    normals = [_tangent_normal(one, circles[(index + 1) % len(circles)]) for index, one in enumerate(circles)]
    parts: list[Line | Arc] = []
    for index, circle in enumerate(circles):
        came, goes = normals[index - 1], normals[index]
        after = circles[(index + 1) % len(circles)]
        sweep = (goes - came) % 360
        parts.append(Arc(circle.center, circle.radius, came, 0.0 if sweep > 360 - 1e-7 else sweep))
        parts.append(Line(polar(circle.radius, goes, circle.center), polar(after.radius, goes, after.center)))
    return joined(parts)


@overload
def turned(shape: Circle, degrees: float) -> Circle: ...


@overload
def turned(shape: Contour, degrees: float) -> Contour: ...


def turned(shape: Edge, degrees: float) -> Edge:
    """The shape turned counter-clockwise about the origin."""
    if isinstance(shape, Circle):
        return Circle(turned_point(shape.center, degrees), shape.radius)
    return Contour(tuple(_turned_part(part, degrees) for part in shape.parts), shape.closed)


@overload
def moved(shape: Circle, step: Point) -> Circle: ...


@overload
def moved(shape: Contour, step: Point) -> Contour: ...


def moved(shape: Edge, step: Point) -> Edge:
    """The shape ``step`` further on."""
    if isinstance(shape, Circle):
        return Circle(shape.center + step, shape.radius)
    return Contour(tuple(_moved_part(part, step) for part in shape.parts), shape.closed)


def reversed_contour(contour: Contour) -> Contour:
    """The same contour traveled the other way."""
    return Contour(tuple(turned_round(part) for part in reversed(contour.parts)), contour.closed)


def turned_point(point: Point, degrees: float) -> Point:
    """The place turned counter-clockwise about the origin."""
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return Point(point.x * cos - point.y * sin, point.x * sin + point.y * cos)


def swept(spine: Spine, radius: float) -> Edge:
    """A hole or slot: the circle at a point, or the :func:`slot` along a line or an arc."""
    return Circle(spine, radius) if isinstance(spine, Point) else slot(spine, radius)


def _is_nothing(part: Line | Arc) -> bool:
    if isinstance(part, Arc):
        return abs(math.radians(part.sweep_deg)) * part.radius < _NOTHING
    return part.start.distance_to(part.end) < _NOTHING


def rounded_corner(before: Point, here: Point, radius: float, after: Point) -> tuple[Point, Arc | None, Point]:
    """Where a rounded corner begins, its arc (none for a sharp one) and where it ends."""
    if radius <= 0:
        return here, None, here
    came, goes = before.direction_to(here), here.direction_to(after)
    turn = (goes - came + 180) % 360 - 180
    if abs(turn) < 1e-9 or abs(turn) > 180 - 1e-6:
        return here, None, here
    back = radius * math.tan(math.radians(abs(turn)) / 2)
    enter, leave = polar(back, came + 180, here), polar(back, goes, here)
    side = 90.0 if turn > 0 else -90.0
    return enter, Arc(polar(radius, came + side, enter), radius, came - side, turn), leave


def _tangent_normal(one: Circle, other: Circle) -> float:
    """Direction from both centers to where the outer tangent on the right of the way from one to the other touches."""
    apart, difference = one.center.distance_to(other.center), one.radius - other.radius
    if apart <= abs(difference):
        raise GeometryError.of(GeometryProblem.NO_TANGENT, one=Length(one.radius), other=Length(other.radius))
    return one.center.direction_to(other.center) - math.degrees(math.acos(difference / apart))


def _turned_part(part: Line | Arc, degrees: float) -> Line | Arc:
    if isinstance(part, Line):
        return Line(turned_point(part.start, degrees), turned_point(part.end, degrees))
    return Arc(turned_point(part.center, degrees), part.radius, part.start_deg + degrees, part.sweep_deg)


def _moved_part(part: Line | Arc, step: Point) -> Line | Arc:
    if isinstance(part, Line):
        return Line(part.start + step, part.end + step)
    return Arc(part.center + step, part.radius, part.start_deg, part.sweep_deg)
