"""What the jaws of a caliper find on a plate: edges of holes, of openings and its own, each with what it moves with.

All holes of a pattern move together: what is measured between them holds them to each other. So do the copies of an
opening, and so do the sides of the plate. A register, which centers the mate, is a body by itself; a bore that opens in
one is not reached there from outside of it.
"""

from collections.abc import Iterator
from enum import Enum, auto
from itertools import chain
from typing import assert_never

from msgspec import Struct

from flangelayout.checks.measuring import found_holes
from flangelayout.flange import (
    Counterbored,
    Countersunk,
    Dowel,
    Drilled,
    Flange,
    Hole,
    Jack,
    RoundOutline,
    SegmentOutline,
    Slot,
    SplitOutline,
    Spotfaced,
    Tapped,
)
from flangelayout.flange.plate import Opening
from flangelayout.flange.turning import PlateFace, TurnedKind
from flangelayout.geometry.measure import Spine, pieces
from flangelayout.geometry.shapes import ORIGIN, Arc, Circle, Line, Point

FULL_TURN = 360.0
_MOST_HOLES = 200
"""Holes of a pattern that are thought of; of more some, evenly."""


class EdgeKind(Enum):
    """What an edge is; of a hole where it is reached."""

    HOLE = auto()
    SLOT = auto()
    THREAD = auto()
    RECESS = auto()
    DRILL = auto()
    BORE = auto()
    REGISTER = auto()
    OPENING = auto()
    RIM = auto()
    INSIDE = auto()
    JOINT = auto()
    SIDE = auto()


Levels = tuple[float | None, float | None]
PLATE_EDGES = EdgeKind.RIM, EdgeKind.INSIDE, EdgeKind.JOINT, EdgeKind.SIDE
"""Those of the plate itself."""


class JawEdge(Struct, frozen=True, gc=False):
    """An edge as a caliper finds it.

    Attributes:
        kind: What it is.
        name: A hole's label, an opening's number; empty for others.
        spines: What it runs along: centers, middle lines, the edge itself.
        off: How far it stands off these, in mm.
        levels: How deep in mm it begins below the outermost plane of the face and of the back; ``None`` where it
            cannot be reached.
    """

    kind: EdgeKind
    name: str
    spines: tuple[Spine, ...]
    off: float = 0.0
    levels: Levels = (0.0, 0.0)


class RigidBody(Struct, frozen=True):
    """Edges that move together.

    Attributes:
        kind: What they are, as far as they have a name together.
        name: A pattern's letter, a hole's label, an opening's number; empty for others.
        edges: All of them.
        middle: About which it may be turned.
        reach: How far its edges are from that in mm; 0 where a turn does not show: it is one circle.
        group: Of a pattern, its index.
    """

    kind: EdgeKind
    name: str
    edges: tuple[JawEdge, ...]
    middle: Point
    reach: float
    group: int = -1


def bodies(flange: Flange) -> Iterator[RigidBody]:
    """The patterns in their order, the plate, its bore and openings, the single holes."""
    numbers = range(len(flange.groups()))
    of_groups: list[list[Hole]] = [[] for _ in numbers]
    for hole in flange.holes():
        if hole.group >= 0:
            of_groups[hole.group].append(hole)
    for group, holes in enumerate(of_groups):
        found = found_holes(flange.groups()[group], holes)
        some = found[:: -(-len(found) // _MOST_HOLES)]
        edges = tuple(edge for hole in some for edge in _hole_edges(flange, hole))
        yield _body(edges[0].kind, flange.group_letter(group), edges, group)
    yield _body(EdgeKind.SIDE, "", tuple(_plate_edges(flange)))
    openings: dict[int, list[Opening]] = {}
    for opening in flange.cutouts():
        openings.setdefault(opening.number, []).append(opening)
    for number, copies in openings.items():
        edges = tuple(_opening_edge(flange, each) for each in copies)
        yield _body(edges[0].kind, str(number) if number else "", edges)
    for register in _registers(flange):
        yield _body(register.kind, "", (register,))
    for hole in flange.holes()[-len(flange.single_holes) :] if flange.single_holes else ():
        edges = tuple(_hole_edges(flange, hole))
        yield _body(edges[0].kind, hole.label, edges)


def _levels(flange: Flange, radius: float, face: PlateFace | None = None) -> Levels:
    """Those of an edge so far from the middle, on one face or both."""
    profile = flange.profile
    front, back = profile.face.depth_at(radius), profile.back.depth_at(radius)
    return None if face is PlateFace.BACK else front, None if face is PlateFace.FACE else back


def _hole_edges(flange: Flange, hole: Hole) -> Iterator[JawEdge]:
    """Of a thread the crests, which stand about as drilled; of what is sunk its drill, too, on the other face."""
    at, half, radius = (hole.spine,), hole.diameter / 2, ORIGIN.distance_to(hole.center)
    both, near = _levels(flange, radius), _levels(flange, radius, hole.made_from)
    match hole.kind:
        case Drilled() | Dowel() | Spotfaced():
            yield JawEdge(EdgeKind.HOLE, hole.label, at, half, both)
        case Slot():
            yield JawEdge(EdgeKind.SLOT, hole.label, at, half, both)
        case Tapped(tapers=True):
            yield JawEdge(EdgeKind.THREAD, hole.label, at, half, near)
        case Tapped() | Jack():
            yield JawEdge(EdgeKind.THREAD, hole.label, at, half, both if hole.is_through else near)
        case Counterbored() | Countersunk():
            is_near = hole.made_from is PlateFace.BACK
            if isinstance(hole.kind, Counterbored):
                yield JawEdge(EdgeKind.RECESS, hole.label, at, hole.kind.bore_diameter / 2, near)
            far = _levels(flange, radius, hole.made_from.other)
            yield JawEdge(EdgeKind.HOLE if is_near else EdgeKind.DRILL, hole.label, at, half, far)
        case _:
            assert_never(hole.kind)


def _opening_edge(flange: Flange, opening: Opening) -> JawEdge:
    kind, name = (EdgeKind.BORE, "") if opening.is_bore else (EdgeKind.OPENING, str(opening.number))
    shape = opening.shape
    spines = (shape.center,) if isinstance(shape, Circle) else shape.parts
    radius = flange.bore / 2 if opening.is_bore and flange.bore else ORIGIN.distance_to(_ends(spines[0])[0])
    return JawEdge(kind, name, spines, shape.radius if isinstance(shape, Circle) else 0.0, _levels(flange, radius))


def _registers(flange: Flange) -> Iterator[JawEdge]:
    """Their walls, at the face that each is made in."""
    for each in flange.turned:
        if each.kind is TurnedKind.REGISTER:
            radius = each.diameter / 2
            yield JawEdge(EdgeKind.REGISTER, "", (ORIGIN,), radius, _levels(flange, radius, each.face))


def _plate_edges(flange: Flange) -> Iterator[JawEdge]:
    """Its rim, or its sides one by one; of a ring in parts, or of one of them, its joints too."""
    outline, base = flange.outline, (flange.profile.face.base, flange.profile.back.base)
    if isinstance(outline, RoundOutline | SplitOutline):
        yield JawEdge(EdgeKind.RIM, "", (_full(outline.outside_diameter),), 0.0, base)
    if isinstance(outline, SplitOutline):
        inside = _levels(flange, outline.inside_diameter / 2)
        yield JawEdge(EdgeKind.INSIDE, "", (_full(outline.inside_diameter),), 0.0, inside)
    if isinstance(outline, RoundOutline):
        return
    for part in chain.from_iterable(map(pieces, flange.pieces())):
        if not isinstance(outline, SegmentOutline | SplitOutline):
            yield JawEdge(EdgeKind.SIDE, "", (part,), 0.0, base)
        elif isinstance(part, Line):
            yield JawEdge(EdgeKind.JOINT, "", (part,), 0.0, base)
        elif isinstance(outline, SegmentOutline):
            is_rim = 4 * part.radius > outline.outside_diameter + outline.inside_diameter
            there = base if is_rim else _levels(flange, part.radius)
            yield JawEdge(EdgeKind.RIM if is_rim else EdgeKind.INSIDE, "", (part,), 0.0, there)


def _full(diameter: float) -> Arc:
    return Arc(ORIGIN, diameter / 2, 0.0, FULL_TURN)


def _body(kind: EdgeKind, name: str, edges: tuple[JawEdge, ...], group: int = -1) -> RigidBody:
    ends = [at for edge in edges for spine in edge.spines for at in _ends(spine)]
    middle = Point(sum(at.x for at in ends) / len(ends), sum(at.y for at in ends) / len(ends))
    return RigidBody(kind, name, edges, middle, max(map(middle.distance_to, ends)), group)


def place_of(edge: JawEdge) -> Point:
    """A place of an edge, by which it is near to others or far."""
    return _ends(edge.spines[0])[0]


def _ends(spine: Spine) -> tuple[Point, ...]:
    """A place as it is, of a line or an arc both ends; of a full circle its middle."""
    if isinstance(spine, Point):
        return (spine,)
    if isinstance(spine, Arc) and spine.sweep_deg == FULL_TURN:
        return (spine.center,)
    return (spine.start, spine.end)
