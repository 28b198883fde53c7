"""Shapes in the coordinates of a DXF file."""

import math
from dataclasses import dataclass
from typing import assert_never

from flangelayout.drawing.choices import DxfVersion
from flangelayout.geometry.measure import half_turns
from flangelayout.geometry.shapes import ORIGIN, Arc, Circle, Contour, Line, Point, Shape
from flangelayout.units import Unit, from_mm
from flangelayout.writers.numbers import PLACES, rounded

_BULGE_PLACES = 12
"""A bulge is multiplied by half a chord, so it needs more digits than a coordinate."""


@dataclass(frozen=True, slots=True)
class FilePlacing:
    """From mm to the coordinates of one space of the file."""

    unit: Unit
    version: DxfVersion
    shift: Point = ORIGIN

    def point(self, point: Point) -> tuple[float, float]:
        """Coordinates of a place, rounded."""
        unit, shift = self.unit, self.shift
        return rounded(from_mm(point.x + shift.x, unit)), rounded(from_mm(point.y + shift.y, unit))

    def length(self, length: float) -> float:
        """A length, rounded."""
        return rounded(from_mm(length, self.unit))


def shape_key(shape: Shape) -> tuple[object, ...]:
    """What two shapes have in common if a tool would follow the same line twice, in either direction."""
    match shape:
        case Circle():
            return "circle", *_key(shape.center), rounded(shape.radius, PLACES)
        case Line():
            return "line", frozenset((_key(shape.start), _key(shape.end)))
        case Arc():
            ends = frozenset((_key(shape.start), _key(shape.end)))
            middle = Arc(shape.center, shape.radius, shape.start_deg + shape.sweep_deg / 2, 0.0).start
            return "arc", ends, _key(middle), rounded(shape.radius, PLACES)
        case Contour():
            return "contour", frozenset(shape_key(part) for part in shape.parts)
        case _:
            assert_never(shape)


def arc_ends(arc: Arc) -> tuple[float, float]:
    """Where an arc begins and ends in degrees, as a DXF arc has it: counter-clockwise."""
    first, last = sorted((arc.start_deg, arc.start_deg + arc.sweep_deg))
    return rounded(first % 360), rounded(last % 360)


def vertices(contour: Contour, placing: FilePlacing) -> list[tuple[float, float, float]]:
    """Place and bulge of every joint of a polyline; a closed one ends where it began.

    An arc of more than half a turn is given in two: some readers take it for its smaller rest.
    """
    parts = [half for part in contour.parts for half in half_turns(part)]
    points = [(*placing.point(part.start), _bulge(part)) for part in parts]
    end = points[0][:2] if contour.closed else placing.point(contour.parts[-1].end)
    return [*points, (*end, 0.0)]


def _key(point: Point) -> tuple[float, float]:
    return rounded(point.x, PLACES), rounded(point.y, PLACES)


def _bulge(part: Line | Arc) -> float:
    """Tangent of a quarter of the arc's angle, positive counter-clockwise (DXF reference, group 42)."""
    return rounded(math.tan(math.radians(part.sweep_deg) / 4), _BULGE_PLACES) if isinstance(part, Arc) else 0.0
