"""What is nested and where it comes to lie. Lengths in mm; plate coordinates run from its lower left corner."""

import math
from collections.abc import Sequence
from typing import overload

from msgspec import Struct

from flangelayout.geometry.contours import moved, turned
from flangelayout.geometry.measure import Edge, piece_distance
from flangelayout.geometry.shapes import Arc, Box, Circle, Contour, Line, Point, Shape, box_around, extent, polar

AS_MANY_AS_NEEDED = 100
"""Most stock plates a nest is spread over."""

TURNS = (0.0, 90.0, 180.0, 270.0)
"""In degrees: how pieces may lie."""

_LEAD_STEPS = 24
_LEAST_DROP = 1.0
"""Radius in mm below which a drop is none."""


class Stock(Struct, frozen=True):
    """The plate parts are cut from.

    Attributes:
        length: Along x.
        width: Along y.
        margin: Kept free along every edge.
        spacing: Kept free between any two parts.
        most_plates: How many such plates there are at most.
    """

    length: float
    width: float
    margin: float = 10.0
    spacing: float = 10.0
    most_plates: int = 1

    @property
    def room(self) -> Box:
        """Where parts may lie."""
        return Box(self.margin, self.margin, self.length - self.margin, self.width - self.margin)


class NestPart(Struct, frozen=True):
    """One part and how many of it.

    Attributes:
        name: For messages.
        outline: Its outer contour, about an origin of its own.
        openings: What falls out of it and leaves room for smaller parts.
        area: Of its metal in square mm.
        quantity: 1 or more.
        leads: Cuts that stand out beyond the outline or into an opening; other parts keep clear of them.
    """

    name: str
    outline: Edge
    openings: tuple[Edge, ...]
    area: float
    quantity: int = 1
    leads: tuple[Line | Arc, ...] = ()

    def size(self, turn_deg: float = 0.0) -> Box:
        """What it takes up when turned, leads included."""
        shapes: list[Shape] = [turned(self.outline, turn_deg), *(_turned_lead(lead, turn_deg) for lead in self.leads)]
        boxes = [extent(shape) for shape in shapes]
        return box_around([Point(b.left, b.bottom) for b in boxes] + [Point(b.right, b.top) for b in boxes])


class PlacedPiece(Struct, frozen=True):
    """One piece on a plate.

    Attributes:
        part: Index of what it is a piece of.
        plate: Which plate, from 0.
        turn_deg: How far it is turned counter-clockwise about its origin.
        at: Where its origin lies.
    """

    part: int
    plate: int
    turn_deg: float
    at: Point


class RoundPart(Struct, frozen=True):
    """A part seen as a disc with round drops, about its own origin; leads are counted in.

    Attributes:
        center: Of the disc.
        radius: Of the disc.
        drops: Free rounds inside it.
    """

    center: Point
    radius: float
    drops: tuple[Circle, ...]


def round_part(part: NestPart) -> RoundPart | None:
    """A part as a disc, or ``None`` where its outline is no circle or an opening that matters is none."""
    if not isinstance(part.outline, Circle):
        return None
    center = part.outline.center
    places = [place for lead in part.leads for place in _places_along(lead)]
    beyond = [center.distance_to(place) for place in places]
    radius = max([part.outline.radius, *(reach for reach in beyond if reach > part.outline.radius)])
    drops = []
    for opening in part.openings:
        if not isinstance(opening, Circle):
            return None
        inside = [piece_distance(opening.center, lead) for lead in part.leads]
        free = min([opening.radius, *inside])
        drops += [Circle(opening.center, free)] if free > _LEAST_DROP else []
    return RoundPart(center, radius, tuple(drops))


def moved_edge(edge: Edge, turn_deg: float, at: Point) -> Edge:
    """An edge of a part where the part lies."""
    return moved(turned(edge, turn_deg), at)


@overload
def moved_shape(shape: Contour, turn_deg: float, at: Point) -> Contour: ...


@overload
def moved_shape(shape: Line | Arc, turn_deg: float, at: Point) -> Line | Arc: ...


@overload
def moved_shape(shape: Shape, turn_deg: float, at: Point) -> Shape: ...


def moved_shape(shape: Shape, turn_deg: float, at: Point) -> Shape:
    """Any shape of a part where the part lies."""
    match shape:
        case Circle() | Contour():
            return moved_edge(shape, turn_deg, at)
        case Line() | Arc():
            laid = moved(turned_parts((shape,), turn_deg), at)
            assert isinstance(laid, Contour)
            return laid.parts[0]


def turned_parts(parts: Sequence[Line | Arc], turn_deg: float) -> Contour:
    """Loose pieces turned about the origin."""
    out = turned(Contour(tuple(parts), closed=False), turn_deg)
    assert isinstance(out, Contour)
    return out


def _turned_lead(lead: Line | Arc, turn_deg: float) -> Line | Arc:
    (out,) = turned_parts((lead,), turn_deg).parts
    return out


def _places_along(lead: Line | Arc) -> list[Point]:
    """Places so close along a lead, and so little beyond it, that nothing of it reaches past their polygon."""
    if isinstance(lead, Line):
        return [lead.start, lead.end]
    arc = lead
    step = arc.sweep_deg / _LEAD_STEPS
    beyond = arc.radius / math.cos(math.radians(step / 2))
    middles = [polar(beyond, arc.start_deg + (index + 0.5) * step, arc.center) for index in range(_LEAD_STEPS)]
    return [arc.start, *middles, arc.end]
