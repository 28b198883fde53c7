"""How a cutter comes to a path and leaves it: quarter circles that run into the path without a corner."""

from dataclasses import dataclass

from flangelayout.errors import GeometryError
from flangelayout.facts import Length
from flangelayout.geometry.measure import Edge, is_inside, piece_distance, signed_area
from flangelayout.geometry.offset import reversed_contour
from flangelayout.geometry.pieces import length_of, meetings, part_of, point_at, tangent_at
from flangelayout.geometry.shapes import Arc, Circle, Contour, Point
from flangelayout.problems.geometry import GeometryProblem

_SHORTER = (1.0, 0.75, 0.5, 0.35, 0.25)
"""Shares of the length asked for that are tried in turn where a cutout has no room for all of it."""

_CENTER_FROM = 1 / 3
"""From a lead of this share of the radius on, a round hole is pierced in its middle: that is farther from the edge."""


@dataclass(frozen=True, slots=True)
class LedPath:
    """A closed path that begins and ends where its leads touch it.

    Attributes:
        path: Inner paths run counter-clockwise and outer ones clockwise, so that the part is on the right-hand side of
            the cutter (common practice for plasma, whose right-hand edge is the squarer; no source).
        lead_in: From the pierce to the path; its start is the pierce.
        lead_out: From the path into the scrap, or ``None``.
    """

    path: Edge
    lead_in: Arc
    lead_out: Arc | None

    @property
    def pierce(self) -> Point:
        """Where the cutter goes through the plate."""
        return self.lead_in.start


def led(shape: Edge, lead_in: float, lead_out: float, scrap_inside: bool) -> LedPath:
    """A closed path with its leads in the scrap.

    Args:
        shape: What is cut.
        lead_in: Radius of the arc that leads in, in mm, > 0; made smaller where a cutout has no room for it.
        lead_out: Radius of the arc that leads out; 0 for none.
        scrap_inside: Whether what lies inside the path is thrown away (a hole) or what lies outside (the part).

    Raises:
        GeometryError: If no place of the path has room for even a quarter of the lead.
    """
    if isinstance(shape, Circle):
        return _led_circle(shape, lead_in, lead_out, scrap_inside)
    counter_clockwise = signed_area(shape) > 0
    path = shape if counter_clockwise is scrap_inside else reversed_contour(shape)
    return _led_contour(path, lead_in, lead_out, scrap_inside)


def _led_circle(circle: Circle, lead_in: float, lead_out: float, scrap_inside: bool) -> LedPath:
    """A circle is entered at 3 o'clock, where a DXF circle begins."""
    at = Point(circle.center.x + circle.radius, circle.center.y)
    from_middle = scrap_inside and lead_in >= circle.radius * _CENTER_FROM
    radius, sweep = (circle.radius / 2, 180.0) if from_middle else (lead_in, 90.0)
    out = min(lead_out, circle.radius / 2) if scrap_inside else lead_out
    side, arrival = (-1.0, 0.0) if scrap_inside else (1.0, 180.0)
    into = Arc(Point(at.x + side * radius, at.y), radius, arrival - sweep, sweep)
    away = Arc(Point(at.x + side * out, at.y), out, arrival, 90.0) if out > 0 else None
    return LedPath(circle, into, away)


def _led_contour(path: Contour, lead_in: float, lead_out: float, scrap_inside: bool) -> LedPath:
    """A contour is entered in the middle of its longest piece that leaves room, with the longest lead that fits."""
    longest_first = sorted(range(len(path.parts)), key=lambda index: -length_of(path.parts[index]))
    for share in _SHORTER:
        for index in longest_first:
            into = _lead(path, index, lead_in * share, arrives=True)
            if _is_free(into, into.start, path, scrap_inside):
                away = _lead(path, index, min(lead_out, lead_in * share), arrives=False)
                fits = lead_out > 0 and _is_free(away, away.end, path, scrap_inside)
                return LedPath(_begun_at(path, index), into, away if fits else None)
    raise GeometryError.of(GeometryProblem.NO_ROOM_FOR_LEAD, lead_in=Length(lead_in))


def _lead(path: Contour, index: int, radius: float, arrives: bool) -> Arc:
    """A quarter circle that meets the middle of a piece along its direction, from or into the scrap on its left."""
    at, along = point_at(path.parts[index], 0.5), tangent_at(path.parts[index], 0.5)
    center = at + Point(-along.y, along.x).scaled(radius)
    start = center.direction_to(at)
    return Arc(center, radius, start - 90.0 if arrives else start, 90.0)


def _is_free(lead: Arc, far: Point, path: Contour, scrap_inside: bool) -> bool:
    """Whether a lead lies in the scrap, meets the path at one end only and is half its radius away at the other."""
    if (
        is_inside(path, far) is not scrap_inside
        or min(piece_distance(far, part) for part in path.parts) < lead.radius / 2
    ):
        return False
    near = lead.end if far == lead.start else lead.start
    return not any(
        point_at(lead, share).distance_to(near) > 1e-3 for part in path.parts for share, _ in meetings(lead, part)
    )


def _begun_at(path: Contour, index: int) -> Contour:
    """The path cut in the middle of one piece and begun there."""
    parts = path.parts
    first, last = part_of(parts[index], 0.5, 1.0), part_of(parts[index], 0.0, 0.5)
    return Contour((first, *parts[index + 1 :], *parts[:index], last), closed=True)
