"""Recesses, threads and seats against the plate's thickness, its edges, its raised face and each other."""

import math
from collections.abc import Iterator
from typing import assert_never

from flangelayout.checks.facts import FaceEdgeCut, Recess, RecessDepth
from flangelayout.checks.finding import Bound, Finding, Place, Reason, Remedy, hole_place, judged, not_run, ref
from flangelayout.checks.limits import GEOMETRY, Ground, HoleShare, Limit
from flangelayout.checks.rule import Rule
from flangelayout.flange import (
    Counterbored,
    Countersunk,
    Dowel,
    Drilled,
    Flange,
    Hole,
    Jack,
    Slot,
    Spotfaced,
    Tapped,
)
from flangelayout.geometry.measure import spine_to_edge
from flangelayout.geometry.shapes import ORIGIN, Circle

_HEAD_FLOOR = HoleShare(0.25, Ground.HEAD_FLOOR)
"""Metal that a screw's head needs below it, as a share of its hole (common practice, no source)."""
_FACE_CLEAR = Limit(0.0, Ground.FACE_TABLES)


def recess_of(hole: Hole) -> Recess | None:
    """What is made of a hole beside drilling it through; ``None`` for nothing wider or less deep."""
    match hole.kind:
        case Counterbored():
            return Recess.COUNTERBORE
        case Countersunk():
            return Recess.COUNTERSINK
        case Spotfaced():
            return Recess.SPOTFACE
        case Tapped() | Jack():
            return Recess.THREAD
        case Drilled() | Slot() | Dowel():
            return None
        case _:
            assert_never(hole.kind)


def recess_depth(hole: Hole) -> float | None:
    """How deep a recess or a blind thread goes in mm; ``None`` where it goes through or just makes a seat flat.

    A cone of angle a and width D round a hole d is (D - d) / (2 tan(a / 2)) deep.
    """
    match hole.kind:
        case Counterbored(depth=depth):
            return depth
        case Countersunk(head_diameter=head, angle_deg=angle):
            return (head - hole.diameter) / (2 * math.tan(math.radians(angle) / 2))
        case Tapped(depth=depth):
            return depth
        case Jack() | Spotfaced() | Drilled() | Slot() | Dowel():
            return None
        case _:
            assert_never(hole.kind)


def one_of_each(holes: tuple[Hole, ...]) -> Iterator[Hole]:
    """The first hole of every group, whose holes are all alike, and every single hole."""
    told: set[int] = set()
    for hole in holes:
        if hole.group < 0 or hole.group not in told:
            told.add(hole.group)
            yield hole


def check_depths(flange: Flange, holes: tuple[Hole, ...]) -> Iterator[Finding]:
    """Counterbores and blind threads that are as deep as the plate is thick, or deeper: there is no such hole."""
    for hole in one_of_each(holes):
        recess, depth = recess_of(hole), recess_depth(hole)
        if recess is None or depth is None or recess is Recess.COUNTERSINK:
            continue
        place = _depth_place(flange, hole)
        if flange.thickness is None:
            yield not_run(Rule.DEPTH_IN_PLATE, place, Reason.THICKNESS)
            continue
        facts, left = RecessDepth(recess, depth, flange.thickness), flange.thickness - depth
        yield judged(Rule.DEPTH_IN_PLATE, place, facts, left, GEOMETRY, Remedy.SHALLOWER, Bound.MORE_THAN)


def check_floors(flange: Flange, holes: tuple[Hole, ...]) -> Iterator[Finding]:
    """Metal below a screw's head, and countersinks that come out at the back."""
    for hole in one_of_each(holes):
        recess, depth = recess_of(hole), recess_depth(hole)
        if depth is None or recess not in (Recess.COUNTERBORE, Recess.COUNTERSINK):
            continue
        place = _depth_place(flange, hole)
        if flange.thickness is None:
            yield not_run(Rule.RECESS_FLOOR, place, Reason.THICKNESS)
            continue
        facts, left = RecessDepth(recess, depth, flange.thickness), flange.thickness - depth
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
        left = abs(spine_to_edge(edge, hole.spine)) - hole.face_diameter / 2
        if hole.group not in worst or left < worst[hole.group][0] - 1e-9:
            worst[hole.group] = (left, hole)
    for group, (left, hole) in worst.items():
        recess = recess_of(hole) if hole.face_diameter > hole.diameter else None
        place, facts = Place("plate.raised_face_diameter", group, (ref(hole),)), FaceEdgeCut(face, recess)
        yield judged(Rule.RAISED_FACE_CLEAR, place, facts, left, _FACE_CLEAR, Remedy.FACE_CLEAR)


def _depth_place(flange: Flange, hole: Hole) -> Place:
    key = "seat_diameter" if isinstance(hole.kind, Countersunk) else "depth"
    key = "seat_depth" if isinstance(hole.kind, Counterbored) else key
    return Place(f"{hole.key}.{key}", hole.group, hole_place(flange, hole).holes)
