"""How a cutter comes to a path and leaves it: quarter circles that run into the path without a corner.

Where the scrap has no room for one, a short straight way square to the path; where it has no room for that either,
or another cut is too near, none.
"""

import math
from collections.abc import Iterator, Sequence
from enum import Enum

from msgspec import Struct

from flangelayout.geometry.contours import reversed_contour
from flangelayout.geometry.cutter_way import run_of, stretch, tab_gaps
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


class LedPath(Struct, frozen=True):
    """A closed path that is entered and left where its leads touch it.

    Attributes:
        path: Inner paths run counter-clockwise and outer ones clockwise, so that the part is on the right-hand side of
            the cutter (common practice for plasma, whose right-hand edge is the squarer; no source).
        lead_in: From the pierce to the path, its start is the pierce; or why there is none: the path is pierced then.
            ``None`` where none is asked for.
        lead_out: From the path into the scrap, or ``None``.
        ways: What the cutter follows from pierce to end, leads and all: one open path, or one for each stretch between
            two tabs.
        tab_leads: To where a way begins behind a tab.
    """

    path: Edge
    lead_in: Piece | NoLead | None
    lead_out: Piece | None
    ways: tuple[Contour, ...] = ()
    tab_leads: tuple[Piece, ...] = ()


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


class LeadsWanted(Struct, frozen=True):
    """How a cut is entered, followed and left.

    Attributes:
        lead_in: Radius of the arc that leads in, or length of a straight lead, in mm; 0 for none; made smaller where
            there is no room for it.
        lead_out: Likewise of the lead that leads out.
        scrap_inside: Whether what lies inside the path is thrown away (a hole) or what lies outside (the part).
        straight: Whether leads are straight: in square to the path, out at 45 degrees.
        overcut: How far in mm the path is followed again after it is closed.
        tabs: How many tabs hold what is cut.
        gap: Length in mm that is left uncut for each.
    """

    lead_in: float
    lead_out: float
    scrap_inside: bool
    straight: bool = False
    overcut: float = 0.0
    tabs: int = 0
    gap: float = 0.0


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
    return _Leading(wanted, others, owner).led(shape)


def led_line(cut: Line, wanted: LeadsWanted, others: OtherCuts, owner: int = 0) -> Line | NoLead:
    """The way into a straight cut from the scrap before its beginning, in its own direction."""
    back = tangent_at(cut, 0.0).scaled(-1.0)
    for share in _SHORTER:
        into = Line(cut.start + back.scaled(wanted.lead_in * share), cut.start)
        if others.is_clear(into, owner, cut, wanted.scrap_inside):
            return into
    return NoLead.OTHER_CUT


class _Leading(Struct, frozen=True):
    """What is wanted of one cut, and what it keeps clear of."""

    wanted: LeadsWanted
    others: OtherCuts
    owner: int

    def led(self, shape: Edge) -> LedPath:
        inside = self.wanted.scrap_inside
        if isinstance(shape, Circle):
            return self._whole(shape, self._into_circle(shape))
        path = shape if (signed_area(shape) > 0) is inside else reversed_contour(shape)
        if not self.wanted.lead_in:
            return self._whole(path, None)
        begun, into = self._into_contour(path)
        return self._whole(begun, into)

    def _whole(self, path: Edge, into: Piece | NoLead | None) -> LedPath:
        """The path with the leads out and behind tabs, and the ways of the cutter."""
        wanted = self.wanted
        run = run_of(path, wanted.scrap_inside)
        over = stretch(run, 0.0, wanted.overcut)
        out = self._out_of(path, over[-1] if over else run[-1], into)
        gaps = tab_gaps(run, wanted.tabs, wanted.gap) if wanted.tabs else ()
        ends = (*(start for start, _ in gaps), sum(map(length_of, run)))
        starts = (0.0, *(end for _, end in gaps))
        ways: list[Contour] = []
        tab_leads: list[Piece] = []
        for index, (start, end) in enumerate(zip(starts, ends, strict=True)):
            parts = stretch(run, start, end)
            lead = into if index == 0 else self._into_stretch(path, parts[0])
            led_in = (lead,) if isinstance(lead, Line | Arc) else ()
            tab_leads += led_in if index else ()
            last = (*over, *((out,) if out else ())) if index == len(gaps) else ()
            ways.append(Contour((*led_in, *parts, *last), closed=False))
        return LedPath(path, into, out, tuple(ways), tuple(tab_leads))

    def _into_circle(self, circle: Circle) -> Piece | NoLead | None:
        """A circle is entered at 3 o'clock, where a DXF circle begins."""
        wanted = self.wanted
        if not wanted.lead_in:
            return None
        at = Point(circle.center.x + circle.radius, circle.center.y)
        side, arrival = (-1.0, 0.0) if wanted.scrap_inside else (1.0, 180.0)
        for share in _SHORTER:
            lead_in = wanted.lead_in * share
            into: Piece
            if wanted.straight:
                lead_in = min(lead_in, circle.radius) if wanted.scrap_inside else lead_in
                into = Line(Point(at.x + side * lead_in, at.y), at)
            else:
                from_middle = wanted.scrap_inside and lead_in >= circle.radius * _CENTER_FROM
                radius, sweep = (circle.radius / 2, 180.0) if from_middle else (lead_in, 90.0)
                into = Arc(Point(at.x + side * radius, at.y), radius, arrival - sweep, sweep)
            if self._is_clear(into, circle):
                return into
        return NoLead.OTHER_CUT

    def _into_contour(self, path: Contour) -> tuple[Contour, Piece | NoLead]:
        """A contour is entered in the middle of its longest piece that leaves room, with the longest lead that fits."""
        why = NoLead.NO_ROOM
        longest_first = sorted(range(len(path.parts)), key=lambda index: -length_of(path.parts[index]))
        places = [(point_at(path.parts[index], 0.5), tangent_at(path.parts[index], 0.5)) for index in longest_first]
        for rank, into in self._ways_in(path, places):
            if self._is_clear(into, path):
                return _begun_at(path, longest_first[rank]), into
            why = NoLead.OTHER_CUT
        return path, why

    def _into_stretch(self, path: Edge, first: Piece) -> Piece | None:
        """The lead to where the cut goes on behind a tab; ``None`` where there is no room for one, or none is asked.

        It is straight: an arc that comes along the path would cut the tab off.
        """
        place = point_at(first, 0.0), tangent_at(first, 0.0)
        ways = (into for _, into in self._straight_ways_in(path, [place]) if self._is_clear(into, path))
        return next(ways, None) if self.wanted.lead_in else None

    def _ways_in(self, path: Edge, places: Sequence[tuple[Point, Point]]) -> Iterator[tuple[int, Piece]]:
        """Leads that lie in the scrap: arcs, the longest first and each to every place; then straight ones."""
        if not self.wanted.straight:
            for length in self._lengths():
                for rank, place in enumerate(places):
                    arc = _arc(*place, length, arrives=True)
                    if self._is_free(arc, arc.start, path, length / 2):
                        yield rank, arc
        yield from self._straight_ways_in(path, places)

    def _straight_ways_in(self, path: Edge, places: Sequence[tuple[Point, Point]]) -> Iterator[tuple[int, Line]]:
        for length in self._lengths():
            for rank, place in enumerate(places):
                straight = _straight(*place, length)
                if self._is_free(straight, straight.start, path, _LEAST_FROM_EDGE):
                    yield rank, straight

    def _lengths(self) -> list[float]:
        return [self.wanted.lead_in * share for share in _SHORTER]

    def _out_of(self, path: Edge, last: Piece, into: Piece | NoLead | None) -> Piece | None:
        """The lead out of the end of a path; none where there is no room, or beside a lead-in that found none."""
        wanted, at, along = self.wanted, point_at(last, 1.0), tangent_at(last, 1.0)
        if wanted.lead_out <= 0 or not isinstance(into, Line | Arc) or (isinstance(into, Line) and not wanted.straight):
            return None
        most = path.radius / 2 if isinstance(path, Circle) and wanted.scrap_inside else wanted.lead_out
        size = min(wanted.lead_out, most if isinstance(path, Circle) else lead_size(into))
        away = _slanting(at, along, size) if wanted.straight else _arc(at, along, size, arrives=False)
        clear = _LEAST_FROM_EDGE if wanted.straight else size / 2
        round_path = isinstance(path, Circle) and not wanted.straight
        fits = round_path or self._is_free(away, away.end, path, clear)
        return away if fits and self._is_clear(away, path) else None

    def _is_clear(self, lead: Piece, path: Edge) -> bool:
        return self.others.is_clear(lead, self.owner, path, self.wanted.scrap_inside)

    def _is_free(self, lead: Piece, far: Point, path: Edge, clear: float) -> bool:
        """Whether a lead lies in the scrap, is ``clear`` of its path at the far end and meets it at the other only."""
        near = lead.end if far == lead.start else lead.start
        apart = min(piece_distance(far, part) for part in pieces(path))
        in_scrap = is_inside(path, far) is self.wanted.scrap_inside and apart >= clear
        return in_scrap and not _meets_again(lead, near, path)


def _arc(at: Point, along: Point, radius: float, arrives: bool) -> Arc:
    """A quarter circle that meets a path along its direction, from or into the scrap on its left."""
    center = at + Point(-along.y, along.x).scaled(radius)
    start = center.direction_to(at)
    return Arc(center, radius, start - 90.0 if arrives else start, 90.0)


def _straight(at: Point, along: Point, length: float) -> Line:
    """A way square to a path, from the scrap on its left; into a slot's end it runs along the slot."""
    return Line(at + Point(-along.y, along.x).scaled(length), at)


def _slanting(at: Point, along: Point, length: float) -> Line:
    """A way out of a path at 45 degrees, into the scrap on its left."""
    return Line(at, at + Point(along.x - along.y, along.x + along.y).scaled(length * math.sqrt(0.5)))


def _meets_again(lead: Piece, near: Point, path: Edge) -> bool:
    return any(
        point_at(lead, share).distance_to(near) > 1e-3 for part in pieces(path) for share, _ in meetings(lead, part)
    )


def _begun_at(path: Contour, index: int) -> Contour:
    """The path cut in the middle of one piece and begun there."""
    parts = path.parts
    first, last = part_of(parts[index], 0.5, 1.0), part_of(parts[index], 0.0, 0.5)
    return Contour((first, *parts[index + 1 :], *parts[:index], last), closed=True)
