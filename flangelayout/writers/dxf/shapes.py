"""Shapes as DXF entities, in the unit of the file."""

import math
from typing import TYPE_CHECKING, Any, assert_never

from msgspec import Struct

from flangelayout.drawing.choices import DxfVersion
from flangelayout.geometry.measure import half_turns
from flangelayout.geometry.shapes import ORIGIN, Arc, Circle, Contour, Line, Point, Shape
from flangelayout.units import Unit, from_mm
from flangelayout.writers.numbers import PLACES, decimal, rounded

if TYPE_CHECKING:
    from ezdxf.entities.dxfgfx import DXFGraphic
    from ezdxf.graphicsfactory import CreatorInterface

BULGE_PLACES = 12
"""A bulge is multiplied by half a chord, so it needs more digits than a coordinate."""

Attributes = dict[str, Any]
"""What ezdxf calls dxfattribs: names and values of entity groups."""


class FilePlacing(Struct, frozen=True):
    """From mm to the coordinates of one space of the file."""

    unit: Unit
    version: DxfVersion
    shift: Point = ORIGIN

    def point(self, point: Point) -> tuple[float, float]:
        """Coordinates of a place, rounded."""
        unit, shift = self.unit, self.shift
        return rounded(from_mm(point.x + shift.x, unit)), rounded(from_mm(point.y + shift.y, unit))

    def at(self, code: int, point: Point) -> str:
        """Coordinates of a place as its three groups in the plane, the first of ``code``."""
        unit, shift = self.unit, self.shift
        x, y = from_mm(point.x + shift.x, unit), from_mm(point.y + shift.y, unit)
        return f"{code}\n{decimal(x)}\n{code + 10}\n{decimal(y)}\n{code + 20}\n0.0\n"

    def length(self, length: float) -> float:
        """A length, rounded."""
        return rounded(from_mm(length, self.unit))

    def text(self, length: float) -> str:
        """A length as it stands in the file."""
        return decimal(from_mm(length, self.unit))


def add_shape(space: "CreatorInterface", shape: Shape, attributes: Attributes, placing: FilePlacing) -> "DXFGraphic":
    """Put a shape into a space as the entity of its kind."""
    match shape:
        case Circle():
            return space.add_circle(placing.point(shape.center), placing.length(shape.radius), attributes)
        case Line():
            return space.add_line(placing.point(shape.start), placing.point(shape.end), attributes)
        case Arc():
            return _add_arc(space, shape, attributes, placing)
        case Contour():
            return _add_contour(space, shape, attributes, placing)
        case _:
            assert_never(shape)


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


def _add_arc(space: "CreatorInterface", arc: Arc, attributes: Attributes, placing: FilePlacing) -> "DXFGraphic":
    """A DXF arc always runs counter-clockwise, so one that runs clockwise is given from its end."""
    center, radius = placing.point(arc.center), placing.length(arc.radius)
    if abs(arc.sweep_deg) >= 360:
        return space.add_circle(center, radius, attributes)
    return space.add_arc(center, radius, *arc_ends(arc), dxfattribs=attributes)


def _add_contour(
    space: "CreatorInterface", contour: Contour, attributes: Attributes, placing: FilePlacing
) -> "DXFGraphic":
    """A polyline with a vertex at each joint; a closed one has the flag and ends where it began.

    A closed one is the old polyline in R12 and R2000, which every importer reads, and the lightweight one in R2010; an
    open one is lightweight wherever there is one, for its bulges and its order are all it is.
    """
    points = vertices(contour, placing)
    light = placing.version is DxfVersion.R2010 or not (contour.closed or placing.version is DxfVersion.R12)
    if light:
        return space.add_lwpolyline(points, format="xyb", close=contour.closed, dxfattribs=attributes)
    return space.add_polyline2d(points, format="xyb", close=contour.closed, dxfattribs=attributes)


def _bulge(part: Line | Arc) -> float:
    """Tangent of a quarter of the arc's angle, positive counter-clockwise (DXF reference, group 42)."""
    return rounded(math.tan(math.radians(part.sweep_deg) / 4), BULGE_PLACES) if isinstance(part, Arc) else 0.0
