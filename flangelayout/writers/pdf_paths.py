"""Shapes as PDF path operators, in mm. Circles and arcs are Bezier pieces that stay true at any radius."""

import math
from collections.abc import Iterable
from typing import assert_never

from flangelayout.geometry.shapes import Arc, Box, Circle, Contour, Line, Point
from flangelayout.writers.numbers import fixed, spaced

_RADIAL_ERROR = 0.0005
"""Most that a Bezier piece may leave its circle, in mm; rounding the coordinates adds a tenth of that."""

_LEAST_PIECES = 8


def radial_error(radius: float, piece_deg: float) -> float:
    """How far in mm one Bezier piece that spans ``piece_deg`` leaves the circle outward.

    With control points 4/3 * tan(piece / 4) * radius along the tangents the curve meets the circle in
    both ends and the middle; between them r^2 is too large by at most
    4/27 * sin(piece/4)^6 / cos(piece/4)^2 (M. Goldapp, Approximation of circular arcs by cubic
    polynomials, Computer Aided Geometric Design 8, 1991), the radius by half of that.
    """
    quarter = math.radians(abs(piece_deg)) / 4
    return float(radius * 2 / 27 * math.sin(quarter) ** 6 / math.cos(quarter) ** 2)


def piece_count(radius: float, sweep_deg: float) -> int:
    """Bezier pieces for an arc: the density of eight for a circle, doubled until the error is small enough."""
    count = max(1, math.ceil(abs(sweep_deg) / 360 * _LEAST_PIECES - 1e-9))
    while radial_error(radius, sweep_deg / count) > _RADIAL_ERROR:
        count += max(1, count // 2)
    return count


def circle_path(radius: float) -> str:
    """A closed circle round the origin, beginning on its right."""
    return f"{fixed(radius)} 0 m {_curves(Arc(Point(0.0, 0.0), radius, 0.0, 360.0), 1.0)} h"


def placed_circle(circle: Circle, scale: float, known: dict[float, str]) -> str:
    """A stroked circle: the path of its radius, made once and kept in ``known``, moved to its center.

    Holes of one size are the same text again and again, which is quick to make and packs well.
    """
    radius = circle.radius * scale
    path = known.get(radius)
    if path is None:
        path = known[radius] = circle_path(radius)
    return f"q 1 0 0 1 {fixed(circle.center.x * scale)} {fixed(circle.center.y * scale)} cm {path} S Q"


def open_path(shape: Line | Arc | Contour, scale: float) -> str:
    """The path of a shape with every coordinate times ``scale``, not yet stroked."""
    match shape:
        case Line():
            start, end = shape.start, shape.end
            return f"{_point(start, scale)} m {_point(end, scale)} l"
        case Arc():
            return f"{_point(shape.start, scale)} m {_curves(shape, scale)}"
        case Contour():
            steps = [_point(shape.parts[0].start, scale) + " m"]
            steps += [_step(part, scale) for part in shape.parts]
            return " ".join([*steps, "h"] if shape.closed else steps)
        case _:
            assert_never(shape)


def polygons(outlines: tuple[tuple[Point, ...], ...], scale: float) -> str:
    """Filled polygons as one path."""
    paths = (" l ".join(_point(corner, scale) for corner in corners) for corners in outlines)
    return "\n".join(path.replace(" l ", " m ", 1) + " l h" for path in paths) + " f"


def filled_boxes(boxes: Iterable[Box], scale: float) -> str:
    """Filled upright rectangles as one path."""
    places = ((box.left * scale, box.bottom * scale, box.right * scale, box.top * scale) for box in boxes)
    return "\n".join([f"{fixed(a)} {fixed(b)} {fixed(c - a)} {fixed(d - b)} re" for a, b, c, d in places]) + " f"


def _step(part: Line | Arc, scale: float) -> str:
    return f"{_point(part.end, scale)} l" if isinstance(part, Line) else _curves(part, scale)


def _point(point: Point, scale: float) -> str:
    return f"{fixed(point.x * scale)} {fixed(point.y * scale)}"


def _curves(arc: Arc, scale: float) -> str:
    """The Bezier pieces of an arc, from the current point on."""
    radius = arc.radius * scale
    x, y = arc.center.x * scale, arc.center.y * scale
    count = piece_count(radius, arc.sweep_deg)
    step = math.radians(arc.sweep_deg) / count
    pull = 4 / 3 * math.tan(step / 4) * radius
    first = math.radians(arc.start_deg)
    curves = []
    for index in range(count):
        a, b = first + index * step, first + (index + 1) * step
        cos_a, sin_a, cos_b, sin_b = math.cos(a), math.sin(a), math.cos(b), math.sin(b)
        near = x + radius * cos_a - pull * sin_a, y + radius * sin_a + pull * cos_a
        end = x + radius * cos_b, y + radius * sin_b
        far = end[0] + pull * sin_b, end[1] - pull * cos_b
        curves.append(f"{spaced(*near, *far, *end)} c")
    return " ".join(curves)
