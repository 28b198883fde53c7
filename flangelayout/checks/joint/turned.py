"""What is turned on the faces against the plate: its edge and bore, the metal it leaves, the holes beside its walls."""

import math
from collections.abc import Iterator

from flangelayout.checks.finding import Bound, Finding, Place, Reason, Remedy, judged, not_run, ref
from flangelayout.checks.joint.hole_parts import recess_of
from flangelayout.checks.joint_facts import TurnedAgainst, TurnedFloor, TurnedOnPlate, WallCut
from flangelayout.checks.limits import GEOMETRY
from flangelayout.checks.rule import Rule
from flangelayout.flange import Flange, Hole
from flangelayout.flange.turning import PlateFace, Turned, TurnedKind
from flangelayout.geometry.measure import spine_to_edge
from flangelayout.geometry.shapes import ORIGIN, Circle


def check_turned(flange: Flange) -> Iterator[Finding]:
    """Everything turned lies on the plate and outside of the bore, and both faces together leave metal."""
    edge, bore = _edge_radius(flange), (flange.bore or 0.0) / 2
    for index, each in enumerate(flange.turned):
        place, radius = Place(f"{each.key or 'turned'}.diameter"), each.diameter / 2
        sides = ((TurnedAgainst.EDGE, edge - radius), (TurnedAgainst.BORE, radius - bore))
        for against, left in sides if bore else sides[:1]:
            facts, cure = TurnedOnPlate(index, against), Remedy.TURNED_SMALLER
            yield judged(Rule.TURNED_ON_PLATE, place, facts, left, GEOMETRY, cure, Bound.MORE_THAN)
    if flange.turned:
        yield _floor(flange, bore)


def _edge_radius(flange: Flange) -> float:
    """How far from the middle everything is still on the plate, in mm; less than 0 where the middle is not."""
    if flange.round_diameter is not None:
        return flange.round_diameter / 2
    return flange.edge_distance(ORIGIN)


def _floor(flange: Flange, bore: float) -> Finding:
    """The ring of least metal outside of the bore."""
    bands = [band for band in flange.profile.bands() if band.outer > bore]
    worst = max(bands, key=lambda band: band.depth)
    place, facts = Place("plate.thickness"), TurnedFloor(2 * max(worst.inner, bore), 2 * worst.outer)
    if flange.thickness is None:
        return not_run(Rule.TURNED_FLOOR, place, Reason.THICKNESS)
    left = flange.thickness - worst.depth
    return judged(Rule.TURNED_FLOOR, place, facts, left, GEOMETRY, Remedy.TURNED_SHALLOWER, Bound.MORE_THAN)


def check_walls(flange: Flange, holes: tuple[Hole, ...]) -> Iterator[Finding]:
    """For each thing turned and each group of holes, the hole that comes nearest to one of its walls."""
    for index, each in enumerate(flange.turned):
        worst: dict[int, tuple[float, Hole]] = {}
        for hole in holes:
            if not _shows_on(hole, each.face):
                continue
            left = _to_wall(each, hole)
            if hole.group not in worst or left < worst[hole.group][0] - 1e-9:
                worst[hole.group] = (left, hole)
        for group, (left, hole) in worst.items():
            recess = recess_of(hole) if hole.worked_from is each.face and hole.face_diameter > hole.diameter else None
            place = Place(f"{each.key or 'turned'}.diameter", group, (ref(hole),))
            yield judged(Rule.WALL_CLEAR, place, WallCut(index, recess), left, GEOMETRY, Remedy.WALL_ASIDE)


def _shows_on(hole: Hole, face: PlateFace) -> bool:
    """Whether a hole opens at a face."""
    return hole.is_through or hole.worked_from is face


def _to_wall(each: Turned, hole: Hole) -> float:
    """Metal in mm from what a hole takes out of a face to a wall; a hole inside a groove is as bad as one in a wall."""
    wide = hole.face_diameter if hole.worked_from is each.face else hole.diameter
    gaps = [spine_to_edge(Circle(ORIGIN, wall), hole.spine) for wall in each.walls]
    if each.kind is TurnedKind.GROOVE:
        inside, outside = gaps if len(gaps) > 1 else (-math.inf, gaps[0])
        return max(inside, -outside) - wide / 2
    return min(abs(gap) for gap in gaps) - wide / 2
