"""How a cutter comes to a path and leaves it: quarter circles that run into the path without a corner.

Where the scrap has no room for one, a short straight way square to the path; where it has no room for that either,
or another cut is too near, none.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from flangelayout.geometry.contours import reversed_contour
from flangelayout.geometry.measure import Edge, is_inside, piece_distance, pieces, signed_area, spine_distance
from flangelayout.geometry.near_pairs import BoxIndex
from flangelayout.geometry.pieces import Piece, length_of, meetings, part_of, point_at, tangent_at
from flangelayout.geometry.shapes import Arc, Circle, Contour, Line, Point, extent

_SHORTER = (1.0, 0.75, 0.5, 0.35, 0.25)
"""Shares of the length asked for that are tried in turn where there is no room for all of it."""

_CENTER_FROM = 1 / 3
"""From a lead of this share of the radius on, a round hole is pierced in its middle: that is farther from the edge."""

_LEAST_FROM_EDGE = 0.5
"""Least distance in mm of a pierce from its own path where the lead is straight: so far its kerf stays off the part
(common practice, no source)."""


_ONE_PLACE = 1e-6
"""Distance in mm below which two paths touch."""


class NoLead(Enum):
    """Why a cut has no lead."""

    NO_ROOM = "no room in the scrap"
    OTHER_CUT = "another cut too near"


@dataclass(frozen=True, slots=True)
class LedPath:
    """A closed path that begins and ends where its leads touch it.

    Attributes:
        path: Inner paths run counter-clockwise and outer ones clockwise, so that the part is on the right-hand side of
            the cutter (common practice for plasma, whose right-hand edge is the squarer; no source).
        lead_in: From the pierce to the path, its start is the pierce; or why there is none: the path is pierced then.
        lead_out: From the path into the scrap, or ``None``.
    """

    path: Edge
    lead_in: Piece | NoLead
    lead_out: Piece | None


class OtherCuts:
    """The cuts of a file, which leads keep clear of."""

    def __init__(self, clear: float) -> None:
        """Nothing cut at first; ``clear`` is the least distance in mm from a lead to any cut but its own."""
        self.clear = clear
        self._index = BoxIndex()
        self._cuts: list[tuple[int, Piece]] = []

    def add(self, owner: int, cut: Edge | Piece) -> None:
        """Take in a cut or a lead; ``owner`` is the number of the cut it belongs to."""
        for piece in (cut,) if isinstance(cut, Line | Arc) else pieces(cut):
            self._index.add(extent(piece))
            self._cuts.append((owner, piece))

    def is_clear(self, lead: Piece, owner: int, path: Edge | Line, scrap_inside: bool) -> bool:
        """Whether a lead keeps clear of every other cut but those that its own path shields it from or ends on."""
        near = (self._cuts[index] for index in self._index.touching(extent(lead).grown(self.clear)))
        return not any(
            spine_distance(lead, piece) < self.clear and not _is_apart(path, piece, scrap_inside)
            for other, piece in near
            if other != owner
        )


def _is_apart(path: Edge | Line, piece: Piece, scrap_inside: bool) -> bool:
    """Whether a straight cut ends on a piece, or a path with the scrap inside has the piece wholly outside."""
    if isinstance(path, Line):
        return spine_distance(path, piece) <= _ONE_PLACE
    apart = min(spine_distance(part, piece) for part in pieces(path))
    return scrap_inside and apart > _ONE_PLACE and not is_inside(path, piece.start)


@dataclass(frozen=True, slots=True)
class LeadsWanted:
    """What is asked of the leads of a cut.

    Attributes:
        lead_in: Radius of the arc that leads in, in mm, > 0; made smaller where there is no room for it.
        lead_out: Radius of the arc that leads out; 0 for none.
        scrap_inside: Whether what lies inside the path is thrown away (a hole) or what lies outside (the part).
    """

    lead_in: float
    lead_out: float
    scrap_inside: bool


def lead_size(lead: Piece) -> float:
    """What a lead is called by, in mm: the radius of an arc, the length of a straight way."""
    return lead.radius if isinstance(lead, Arc) else length_of(lead)


def led(shape: Edge, wanted: LeadsWanted, others: OtherCuts, owner: int = 0) -> LedPath:
    """A closed path with its leads in the scrap.

    Args:
        shape: What is cut.
        wanted: Lengths, and the side of the scrap.
        others: What else is cut from the plate.
        owner: The number of this cut among them.
    """
    if isinstance(shape, Circle):
        return _led_circle(shape, wanted, others, owner)
    counter_clockwise = signed_area(shape) > 0
    path = shape if counter_clockwise is wanted.scrap_inside else reversed_contour(shape)
    return _led_contour(path, wanted, others, owner)


def led_line(cut: Line, wanted: LeadsWanted, others: OtherCuts, owner: int = 0) -> Line | NoLead:
    """The way into a straight cut from the scrap before its beginning, in its own direction."""
    back = tangent_at(cut, 0.0).scaled(-1.0)
    for share in _SHORTER:
        into = Line(cut.start + back.scaled(wanted.lead_in * share), cut.start)
        if others.is_clear(into, owner, cut, wanted.scrap_inside):
            return into
    return NoLead.OTHER_CUT


def _led_circle(circle: Circle, wanted: LeadsWanted, others: OtherCuts, owner: int) -> LedPath:
    """A circle is entered at 3 o'clock, where a DXF circle begins."""
    at = Point(circle.center.x + circle.radius, circle.center.y)
    side, arrival = (-1.0, 0.0) if wanted.scrap_inside else (1.0, 180.0)
    for share in _SHORTER:
        lead_in = wanted.lead_in * share
        from_middle = wanted.scrap_inside and lead_in >= circle.radius * _CENTER_FROM
        radius, sweep = (circle.radius / 2, 180.0) if from_middle else (lead_in, 90.0)
        into = Arc(Point(at.x + side * radius, at.y), radius, arrival - sweep, sweep)
        if others.is_clear(into, owner, circle, wanted.scrap_inside):
            out = min(wanted.lead_out, circle.radius / 2) if wanted.scrap_inside else wanted.lead_out
            away = Arc(Point(at.x + side * out, at.y), out, arrival, 90.0) if out > 0 else None
            keeps = away is not None and others.is_clear(away, owner, circle, wanted.scrap_inside)
            return LedPath(circle, into, away if keeps else None)
    return LedPath(circle, NoLead.OTHER_CUT, None)


def _led_contour(path: Contour, wanted: LeadsWanted, others: OtherCuts, owner: int) -> LedPath:
    """A contour is entered in the middle of its longest piece that leaves room, with the longest lead that fits."""
    why = NoLead.NO_ROOM
    for index, into, length in _ways_in(path, wanted):
        if not others.is_clear(into, owner, path, wanted.scrap_inside):
            why = NoLead.OTHER_CUT
            continue
        out = min(wanted.lead_out, length)
        away = _arc(path, index, out, arrives=False) if out > 0 and isinstance(into, Arc) else None
        fits = away is not None and _is_free(away, away.end, path, wanted.scrap_inside)
        keeps = away is not None and fits and others.is_clear(away, owner, path, wanted.scrap_inside)
        return LedPath(_begun_at(path, index), into, away if keeps else None)
    return LedPath(path, why, None)


def _ways_in(path: Contour, wanted: LeadsWanted) -> Iterator[tuple[int, Piece, float]]:
    """Leads that lie in the scrap: arcs, the longest first and each from the longest piece on; then straight ones."""
    longest_first = sorted(range(len(path.parts)), key=lambda index: -length_of(path.parts[index]))
    lengths = [wanted.lead_in * share for share in _SHORTER]
    for length in lengths:
        for index in longest_first:
            into = _arc(path, index, length, arrives=True)
            if _is_free(into, into.start, path, wanted.scrap_inside):
                yield index, into, length
    for length in lengths:
        for index in longest_first:
            straight = _straight(path, index, length)
            if _is_clear_of_path(straight, path, _LEAST_FROM_EDGE, wanted.scrap_inside):
                yield index, straight, length


def _arc(path: Contour, index: int, radius: float, arrives: bool) -> Arc:
    """A quarter circle that meets the middle of a piece along its direction, from or into the scrap on its left."""
    at, along = point_at(path.parts[index], 0.5), tangent_at(path.parts[index], 0.5)
    center = at + Point(-along.y, along.x).scaled(radius)
    start = center.direction_to(at)
    return Arc(center, radius, start - 90.0 if arrives else start, 90.0)


def _straight(path: Contour, index: int, length: float) -> Line:
    """A way square to the middle of a piece, from the scrap on its left; into a slot's end it runs along the slot."""
    at, along = point_at(path.parts[index], 0.5), tangent_at(path.parts[index], 0.5)
    return Line(at + Point(-along.y, along.x).scaled(length), at)


def _is_free(lead: Arc, far: Point, path: Contour, scrap_inside: bool) -> bool:
    """Whether a lead lies in the scrap, meets the path at one end only and is half its radius away at the other."""
    near = lead.end if far == lead.start else lead.start
    return _is_in_scrap(far, path, lead.radius / 2, scrap_inside) and not _meets_again(lead, near, path)


def _is_clear_of_path(straight: Line, path: Contour, clear: float, scrap_inside: bool) -> bool:
    """Whether a straight way lies in the scrap, begins ``clear`` of the path and meets it at its end only."""
    return _is_in_scrap(straight.start, path, clear, scrap_inside) and not _meets_again(straight, straight.end, path)


def _is_in_scrap(far: Point, path: Contour, clear: float, scrap_inside: bool) -> bool:
    return is_inside(path, far) is scrap_inside and min(piece_distance(far, part) for part in path.parts) >= clear


def _meets_again(lead: Piece, near: Point, path: Contour) -> bool:
    return any(
        point_at(lead, share).distance_to(near) > 1e-3 for part in path.parts for share, _ in meetings(lead, part)
    )


def _begun_at(path: Contour, index: int) -> Contour:
    """The path cut in the middle of one piece and begun there."""
    parts = path.parts
    first, last = part_of(parts[index], 0.5, 1.0), part_of(parts[index], 0.0, 0.5)
    return Contour((first, *parts[index + 1 :], *parts[:index], last), closed=True)
