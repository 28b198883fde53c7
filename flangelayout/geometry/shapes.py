"""The shapes everything is made of. Lengths in mm, angles in degrees counter-clockwise from +x, y up."""

import math
from collections.abc import Iterable, Sequence
from typing import assert_never

from msgspec import Struct


class Point(Struct, frozen=True, gc=False):
    """A place in the plane."""

    x: float
    y: float

    def __add__(self, other: "Point") -> "Point":
        """The place ``other`` further on."""
        return Point(self.x + other.x, self.y + other.y)

    def __sub__(self, other: "Point") -> "Point":
        """The step from ``other`` to here."""
        return Point(self.x - other.x, self.y - other.y)

    def scaled(self, factor: float) -> "Point":
        """The place ``factor`` times as far from the origin."""
        return Point(self.x * factor, self.y * factor)

    def distance_to(self, other: "Point") -> float:
        """Straight distance in mm."""
        return math.hypot(self.x - other.x, self.y - other.y)

    def direction_to(self, other: "Point") -> float:
        """Direction in degrees, -180 to 180, seen from here."""
        return math.degrees(math.atan2(other.y - self.y, other.x - self.x))


ORIGIN = Point(0.0, 0.0)


def polar(radius: float, degrees: float, center: Point = ORIGIN) -> Point:
    """The point at ``radius`` mm and ``degrees`` from ``center``."""
    angle = math.radians(degrees)
    return Point(center.x + radius * math.cos(angle), center.y + radius * math.sin(angle))


class Line(Struct, frozen=True, gc=False):
    """A straight piece from ``start`` to ``end``."""

    start: Point
    end: Point


class Circle(Struct, frozen=True, gc=False):
    """A full circle; ``radius`` in mm, greater than 0."""

    center: Point
    radius: float


class Arc(Struct, frozen=True, gc=False):
    """A piece of a circle from ``start_deg`` through ``sweep_deg`` (negative runs clockwise)."""

    center: Point
    radius: float
    start_deg: float
    sweep_deg: float

    @property
    def start(self) -> Point:
        """Where it begins."""
        return polar(self.radius, self.start_deg, self.center)

    @property
    def end(self) -> Point:
        """Where it stops."""
        return polar(self.radius, self.start_deg + self.sweep_deg, self.center)


class Contour(Struct, frozen=True, gc=False):
    """Lines and arcs end to end; a closed one ends where it begins."""

    parts: tuple[Line | Arc, ...]
    closed: bool


Shape = Line | Circle | Arc | Contour


class Box(Struct, frozen=True, gc=False):
    """An upright rectangle: what something takes up."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """Counter-clockwise from the lower left one."""
        low, high = Point(self.left, self.bottom), Point(self.right, self.top)
        return low, Point(high.x, low.y), high, Point(low.x, high.y)

    @property
    def width(self) -> float:
        """Size along x in mm."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Size along y in mm."""
        return self.top - self.bottom

    @property
    def center(self) -> Point:
        """Its middle."""
        return Point((self.left + self.right) / 2, (self.bottom + self.top) / 2)

    def grown(self, by: float) -> "Box":
        """The box with ``by`` mm more on every side."""
        return Box(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def moved(self, step: Point) -> "Box":
        """The box ``step`` further on."""
        return Box(self.left + step.x, self.bottom + step.y, self.right + step.x, self.top + step.y)

    def scaled(self, factor: float) -> "Box":
        """The box drawn larger by a factor, from the origin."""
        return Box(self.left * factor, self.bottom * factor, self.right * factor, self.top * factor)

    def overlaps(self, other: "Box") -> bool:
        """Whether the two share more than an edge."""
        return (
            self.left < other.right and other.left < self.right and self.bottom < other.top and other.bottom < self.top
        )

    def contains(self, point: Point) -> bool:
        """Whether ``point`` lies in the box or on its edge."""
        return self.left <= point.x <= self.right and self.bottom <= point.y <= self.top


def box_about(middle: Point, reach: float) -> Box:
    """A square with sides ``reach`` mm from its middle."""
    return Box(middle.x - reach, middle.y - reach, middle.x + reach, middle.y + reach)


def box_around(points: Iterable[Point]) -> Box:
    """The least box that holds all ``points`` (at least one)."""
    held = tuple(points)
    xs = [point.x for point in held]
    ys = [point.y for point in held]
    return Box(min(xs), min(ys), max(xs), max(ys))


def box_of_all(boxes: Sequence[Box]) -> Box:
    """The least box that holds all ``boxes`` (at least one)."""
    return Box(
        min([box.left for box in boxes]),
        min([box.bottom for box in boxes]),
        max([box.right for box in boxes]),
        max([box.top for box in boxes]),
    )


def extent(shape: Shape) -> Box:
    """The least upright box round a shape; exact for arcs."""
    match shape:
        case Line():
            (a, b), (c, d) = (shape.start.x, shape.start.y), (shape.end.x, shape.end.y)
            return Box(min(a, c), min(b, d), max(a, c), max(b, d))
        case Circle():
            x, y, radius = shape.center.x, shape.center.y, shape.radius
            return Box(x - radius, y - radius, x + radius, y + radius)
        case Arc():
            return box_around((shape.start, shape.end, *_quadrant_points(shape)))
        case Contour():
            boxes = [extent(part) for part in shape.parts]
            return box_around([Point(b.left, b.bottom) for b in boxes] + [Point(b.right, b.top) for b in boxes])
        case _:
            assert_never(shape)


def rectangle(box: Box) -> Contour:
    """The outline of a box, counter-clockwise from its lower left corner."""
    a, b, c, d = box.corners
    return Contour((Line(a, b), Line(b, c), Line(c, d), Line(d, a)), closed=True)


def _quadrant_points(arc: Arc) -> list[Point]:
    """The points of an arc that lie straight right, above, left or below its center."""
    low = min(arc.start_deg, arc.start_deg + arc.sweep_deg)
    first = math.ceil(low / 90)
    last = math.floor((low + abs(arc.sweep_deg)) / 90)
    return [polar(arc.radius, 90 * quarter, arc.center) for quarter in range(first, last + 1)]
