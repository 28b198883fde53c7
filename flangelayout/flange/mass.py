"""Volume and center of gravity of a plate, from its true contour: edges, bore, slots, recesses, raised face."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from flangelayout.flange.hole import Step
from flangelayout.flange.plate import Flange
from flangelayout.geometry.measure import Edge, area
from flangelayout.geometry.shapes import Arc, Circle, Point

_CUBIC_MM = 1e-9


@dataclass(frozen=True, slots=True)
class Body:
    """A body.

    Attributes:
        volume: In cubic mm.
        center: Of gravity, in mm from the middle of the plate, seen on the named face.
    """

    volume: float
    center: Point

    def mass(self, density: float) -> float:
        """In kg, of a density in kg per cubic meter."""
        return self.volume * density * _CUBIC_MM


_Part = tuple[float, Point]
"""Volume (taken off: less than 0) and its center."""


def plate_solid(flange: Flange) -> Body | None:
    """The finished plate; ``None`` where no thickness is stated.

    The volume is exact for lines, arcs and round holes, those that cross the edge of the raised face included.
    A slot counts as inside or outside the raised face by its middle; a spotface and the thread in a tap drill's hole
    count for nothing.
    """
    if flange.thickness is None:
        return None
    parts = [*_metal(flange, flange.thickness), *_taken_off(flange, flange.thickness)]
    volume = sum(size for size, _ in parts)
    x, y = (sum(size * place for size, place in zip(*each, strict=True)) / volume for each in _moments(parts))
    return Body(volume, Point(x, y))


def centroid(shape: Edge) -> Point:
    """The middle of the area that a closed line encloses.

    Green's theorem over the corners, and for each arc the segment on its chord: area r^2 (a - sin a) / 2, first
    moment about the arc's center 2/3 r^3 sin^3(a/2) along the middle of the arc (tables of plane areas).
    """
    if isinstance(shape, Circle):
        return shape.center
    total = x = y = 0.0
    for part in shape.parts:
        start, end = part.start, part.end
        cross = (start.x * end.y - start.y * end.x) / 2
        total, x, y = total + cross, x + cross * (start.x + end.x) / 3, y + cross * (start.y + end.y) / 3
        if isinstance(part, Arc):
            sweep, middle = math.radians(part.sweep_deg), math.radians(part.start_deg + part.sweep_deg / 2)
            segment = part.radius**2 * (sweep - math.sin(sweep)) / 2
            moment = 2 / 3 * part.radius**3 * math.sin(sweep / 2) ** 3
            total += segment
            x += segment * part.center.x + moment * math.cos(middle)
            y += segment * part.center.y + moment * math.sin(middle)
    return Point(x / total, y / total)


def common_area(one: Circle, other: Circle) -> float:
    """Area in square mm that two circles share (the two segments on their common chord)."""
    apart, a, b = one.center.distance_to(other.center), one.radius, other.radius
    if apart >= a + b:
        return 0.0
    if apart <= abs(a - b):
        return math.pi * min(a, b) ** 2
    first = math.acos((apart**2 + a**2 - b**2) / (2 * apart * a))
    second = math.acos((apart**2 + b**2 - a**2) / (2 * apart * b))
    return a**2 * (first - math.sin(2 * first) / 2) + b**2 * (second - math.sin(2 * second) / 2)


def _moments(parts: list[_Part]) -> tuple[tuple[list[float], list[float]], tuple[list[float], list[float]]]:
    sizes = [size for size, _ in parts]
    return (sizes, [at.x for _, at in parts]), (sizes, [at.y for _, at in parts])


def _face(flange: Flange) -> Circle | None:
    """The edge of a raised face that stands out."""
    diameter = flange.raised_face_diameter
    return Circle(Point(0.0, 0.0), diameter / 2) if diameter and flange.raised_face_height else None


def _metal(flange: Flange, thickness: float) -> Iterator[_Part]:
    face, height = _face(flange), flange.raised_face_height
    plate = thickness - (height if face else 0.0)
    for piece in flange.pieces():
        yield area(piece) * plate, centroid(piece)
    if face:
        yield area(face) * height, face.center


def _taken_off(flange: Flange, thickness: float) -> Iterator[_Part]:
    if flange.bore is not None and flange.bore_chamfer:
        size, radius = flange.bore_chamfer, flange.bore / 2
        yield -math.pi * size**2 * (radius + size / 3), Point(0.0, 0.0)
    for opening in flange.cutouts():
        yield from _through(flange, opening.shape, thickness)
    for hole in flange.holes():
        removed = sum(step.volume for step in hole.profile(thickness))
        if hole.is_through:
            plain = Step(0.0, thickness, hole.diameter, hole.diameter).volume
            yield from _through(flange, hole.shape, thickness)
            yield plain - removed, hole.center
        else:
            yield -removed, hole.center


def _through(flange: Flange, shape: Edge, thickness: float) -> Iterator[_Part]:
    """What an opening right through takes off, less where there is no raised face over it."""
    face, height = _face(flange), flange.raised_face_height
    middle, size = centroid(shape), area(shape)
    yield -size * thickness, middle
    if face:
        inside = middle.distance_to(face.center) < face.radius
        raised = common_area(shape, face) if isinstance(shape, Circle) else size * inside
        yield (size - raised) * height, middle
