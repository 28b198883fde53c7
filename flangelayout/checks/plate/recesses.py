"""Recesses, threads and seats against the plate's thickness, its edges, its raised face and each other."""

from collections.abc import Iterator

from flangelayout.checks.facts import FaceEdgeCut, RecessDepth
from flangelayout.checks.finding import Bound, Finding, Place, Reason, Remedy, hole_place, judged, not_run, ref
from flangelayout.checks.joint.hole_parts import recess_depth, recess_of, thinnest_of_each
from flangelayout.checks.joint_facts import Recess
from flangelayout.checks.limits import GEOMETRY, Ground, HoleShare, Limit
from flangelayout.checks.rule import Rule
from flangelayout.flange import Counterbored, Countersunk, Flange, Hole
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.measure import spine_to_edge
from flangelayout.geometry.shapes import ORIGIN, Circle

_HEAD_FLOOR = HoleShare(0.25, Ground.HEAD_FLOOR)
"""Metal that a screw's head needs below it, as a share of its hole (common practice, no source)."""
_FACE_CLEAR = Limit(0.0, Ground.FACE_TABLES)


def check_depths(flange: Flange, holes: tuple[Hole, ...]) -> Iterator[Finding]:
    """Counterbores and blind threads that are as deep as the plate is thick, or deeper: there is no such hole."""
    for hole, thickness in thinnest_of_each(flange, holes):
        recess, depth = recess_of(hole), recess_depth(hole)
        if recess is None or depth is None or recess is Recess.COUNTERSINK:
            continue
        place = _depth_place(flange, hole)
        if thickness is None:
            yield not_run(Rule.DEPTH_IN_PLATE, place, Reason.THICKNESS)
            continue
        facts, left = RecessDepth(recess, depth, thickness), thickness - depth
        yield judged(Rule.DEPTH_IN_PLATE, place, facts, left, GEOMETRY, Remedy.SHALLOWER, Bound.MORE_THAN)


def check_floors(flange: Flange, holes: tuple[Hole, ...]) -> Iterator[Finding]:
    """Metal below a screw's head, and countersinks that come out at the back."""
    for hole, thickness in thinnest_of_each(flange, holes):
        recess, depth = recess_of(hole), recess_depth(hole)
        if depth is None or recess not in (Recess.COUNTERBORE, Recess.COUNTERSINK):
            continue
        place = _depth_place(flange, hole)
        if thickness is None:
            yield not_run(Rule.RECESS_FLOOR, place, Reason.THICKNESS)
            continue
        facts, left = RecessDepth(recess, depth, thickness), thickness - depth
        if recess is Recess.COUNTERBORE:
            limit = _HEAD_FLOOR.limit(hole.diameter)
            yield judged(Rule.RECESS_FLOOR, place, facts, left, limit, Remedy.SMALLER_HEAD)
        else:
            yield judged(Rule.RECESS_FLOOR, place, facts, left, GEOMETRY, Remedy.SMALLER_HEAD, Bound.MORE_THAN)


def check_raised_face(flange: Flange, holes: tuple[Hole, ...]) -> Iterator[Finding]:
    """The hole of each group, over its recess or seat, that comes nearest to the edge of the raised face."""
    face = flange.raised_face_diameter
    if face is None:
        return
    edge = Circle(ORIGIN, face / 2)
    worst: dict[int, tuple[float, Hole]] = {}
    for hole in holes:
        if hole.is_hidden:
            continue
        wide = hole.face_diameter if hole.worked_from is PlateFace.FACE else hole.diameter
        left = abs(spine_to_edge(edge, hole.spine)) - wide / 2
        if hole.group not in worst or left < worst[hole.group][0] - 1e-9:
            worst[hole.group] = (left, hole)
    for group, (left, hole) in worst.items():
        shown = hole.worked_from is PlateFace.FACE and hole.face_diameter > hole.diameter
        recess = recess_of(hole) if shown else None
        place, facts = Place("plate.raised_face_diameter", group, (ref(hole),)), FaceEdgeCut(face, recess)
        yield judged(Rule.RAISED_FACE_CLEAR, place, facts, left, _FACE_CLEAR, Remedy.FACE_CLEAR)


def _depth_place(flange: Flange, hole: Hole) -> Place:
    key = "seat_diameter" if isinstance(hole.kind, Countersunk) else "depth"
    key = "seat_depth" if isinstance(hole.kind, Counterbored) else key
    return Place(f"{hole.key}.{key}", hole.group, hole_place(flange, hole).holes)
