"""Whether the holes fit on the plate and clear of each other: what a job must not contradict itself in."""

import math
from collections.abc import Iterator
from itertools import pairwise

from flangelayout.checks.facts import (
    BoreInPlate,
    CircleOnPlate,
    FaceAgainst,
    FaceOnPlate,
    HoleByOpening,
    HoleOnPlate,
    HolesOfCircle,
    Placed,
    TwoHoles,
)
from flangelayout.checks.finding import (
    Bound,
    Finding,
    Place,
    Remedy,
    Result,
    circle_place,
    hole_place,
    judged,
    noted,
    ref,
)
from flangelayout.checks.joint.turned import check_turned
from flangelayout.checks.limits import GEOMETRY
from flangelayout.checks.plate.fit import check_plate_edges
from flangelayout.checks.plate.measured import MeasuredPlate
from flangelayout.checks.plate.recesses import check_depths
from flangelayout.checks.rule import Rule
from flangelayout.flange import BoltCircle, Flange, Hole, Jack, RoundOutline, Slot
from flangelayout.geometry.measure import spine_distance
from flangelayout.geometry.near_pairs import near_of_groups
from flangelayout.geometry.shapes import Circle

_ALIKE = 1e-9
_SAME_ANGLE = 1e-7
_ORDER = (Result.FAILED, Result.NOTED, Result.NOT_RUN, Result.PASSED)
_Worst = dict[tuple[int, int | None], tuple[float, Hole]]
"""The least metal by group and opening (``None`` for the plate's edge), and its hole."""


def check_drilling(plate: MeasuredPlate) -> tuple[Finding, ...]:
    """Whether a plate contradicts itself, what failed first, then what a layout asks one to notice.

    Returns:
        Findings; one stops the job exactly if a hole, recess or opening does not lie whole on the metal and
        clear of every other. The cost grows linearly with the holes.
    """
    flange = plate.flange
    found = [
        *_round_sizes(flange),
        *check_plate_edges(flange),
        *check_turned(flange),
        *_circles_alone(flange),
        *_holes_on_metal(plate),
        *_overlaps(flange, plate.holes),
        *check_depths(flange, plate.holes),
        *_placements(flange),
    ]
    return tuple(sorted(found, key=lambda finding: _ORDER.index(finding.result)))


def _round_sizes(flange: Flange) -> Iterator[Finding]:
    """The bore and the raised face against the outside of a round plate, and against each other."""
    if not isinstance(flange.outline, RoundOutline):
        return
    outside, bore, face = flange.outline.outside_diameter, flange.bore, flange.raised_face_diameter
    if bore is not None:
        ring = (outside - bore) / 2
        place = Place("plate.bore", opening=0)
        yield judged(Rule.BORE_INSIDE_PLATE, place, BoreInPlate(), ring, GEOMETRY, Remedy.SMALLER_BORE, Bound.MORE_THAN)
    if face is None:
        return
    rule, place = Rule.RAISED_FACE_ON_PLATE, Place("plate.raised_face_diameter")
    over = FaceOnPlate(FaceAgainst.OUTSIDE, face)
    yield judged(rule, place, over, (outside - face) / 2, GEOMETRY, Remedy.SMALLER_FACE)
    if bore is not None:
        inside = FaceOnPlate(FaceAgainst.BORE, face)
        yield judged(rule, place, inside, (face - bore) / 2, GEOMETRY, Remedy.LARGER_FACE, Bound.MORE_THAN)


def _circles_alone(flange: Flange) -> Iterator[Finding]:
    """Faults of one bolt circle that its own numbers show, said once and not hole by hole."""
    for group, circle in enumerate(flange.bolt_circles):
        if isinstance(flange.outline, RoundOutline):
            place, cure = circle_place(flange, group, "diameter"), Remedy.LARGER_PLATE_OR_SMALLER_CIRCLE
            ring = (flange.outline.outside_diameter - circle.diameter) / 2
            yield judged(Rule.CIRCLE_ON_PLATE, place, CircleOnPlate(), ring, GEOMETRY, cure, Bound.MORE_THAN)
        chord = least_chord(circle)
        if math.isfinite(chord) and not isinstance(circle.kind, Slot):
            facts = HolesOfCircle(circle.hole_count, circle.hole_diameter, circle.diameter, chord)
            place, cure = circle_place(flange, group, "hole_diameter"), Remedy.FEWER_OR_SMALLER_HOLES
            yield judged(Rule.HOLES_OVERLAP, place, facts, chord - circle.hole_diameter, GEOMETRY, cure)


def least_chord(circle: BoltCircle) -> float:
    """Least distance in mm between two drilled neighbors, infinite where there is only one hole."""
    return min(neighbor_chords(circle), default=math.inf)


def neighbor_chords(circle: BoltCircle) -> list[float]:
    """Center-to-center distances in mm of drilled neighbors round a circle."""
    angles = sorted(circle.hole_angles())
    if len(angles) < 2:
        return []
    steps = [after - before for before, after in pairwise((*angles, angles[0] + 360))]
    return [circle.diameter * math.sin(math.radians(min(step, 360 - step)) / 2) for step in steps]


def _holes_on_metal(plate: MeasuredPlate) -> Iterator[Finding]:
    """The hole of each group nearest to the edge, and to each opening it runs into or else to the nearest."""
    flange = plate.flange
    worst: _Worst = {}
    for hole, metal in plate.to_edge():
        if not _is_outside(flange, hole):
            _keep_least(worst, (hole.group, None), metal, hole)
    for index in range(len(plate.openings)):
        for hole, metal in plate.to_opening(index):
            _keep_least(worst, (hole.group, index), metal, hole)
    nearest: dict[int, float] = {}
    for (group, opening), (metal, _) in worst.items():
        if opening is not None:
            nearest[group] = min(metal, nearest.get(group, math.inf))
    for (group, opening), (metal, hole) in worst.items():
        if opening is None:
            place, facts = hole_place(flange, hole), HoleOnPlate(hole.diameter)
            yield judged(Rule.HOLE_ON_PLATE, place, facts, metal, GEOMETRY, Remedy.LARGER_PLATE_OR_HOLE_IN)
        elif metal < 0 or metal == nearest[group]:
            shape = plate.openings[opening].shape
            beside = HoleByOpening(hole.diameter, 2 * shape.radius if isinstance(shape, Circle) else None)
            place, cure = hole_place(flange, hole, opening), Remedy.SMALLER_OPENING_OR_HOLE_OUT
            yield judged(Rule.HOLE_CLEAR_OF_BORE, place, beside, metal, GEOMETRY, cure)


def _keep_least(worst: _Worst, key: tuple[int, int | None], metal: float, hole: Hole) -> None:
    """The hole with the least metal, the first of those alike."""
    if key not in worst or metal < worst[key][0] - _ALIKE:
        worst[key] = (metal, hole)


def _is_outside(flange: Flange, hole: Hole) -> bool:
    """Whether the hole's whole circle was already said to lie outside the plate."""
    outline = flange.outline
    if not isinstance(outline, RoundOutline) or not 0 <= hole.group < len(flange.bolt_circles):
        return False
    return flange.bolt_circles[hole.group].diameter >= outline.outside_diameter


def _overlaps(flange: Flange, holes: tuple[Hole, ...]) -> Iterator[Finding]:
    """The first overlap between any two groups, and between single holes; one that passed where there is none."""
    told = {(n, n) for n, circle in enumerate(flange.bolt_circles) if not isinstance(circle.kind, Slot)}
    sound = True
    reach = max((hole.kind.length if isinstance(hole.kind, Slot) else hole.diameter for hole in holes), default=1.0)
    centers, groups = [hole.center for hole in holes], [hole.group for hole in holes]
    for first, second in near_of_groups(centers, groups, reach, told):
        one, other = holes[first], holes[second]
        metal = spine_distance(one.spine, other.spine) - (one.diameter + other.diameter) / 2
        if metal < 0:
            sound = False
            told |= {(one.group, other.group), (other.group, one.group)}
            facts = TwoHoles(one.diameter, other.diameter, one.center.distance_to(other.center))
            place = Place(other.key, other.group, (ref(one), ref(other)))
            yield judged(Rule.HOLES_OVERLAP, place, facts, metal, GEOMETRY, Remedy.TURN_MOVE_OR_SMALLER)
    several = len(flange.groups()) + len(flange.single_holes) > 1 or bool(flange.patterns)
    if sound and several:
        yield Finding(Rule.HOLES_OVERLAP, Result.PASSED, Place("plate"), limit=GEOMETRY)


def _placements(flange: Flange) -> Iterator[Finding]:
    """What the placement of an equally spaced circle asks one to notice; no mate has holes at jacks or for lifting."""
    for group, circle in enumerate(flange.bolt_circles):
        meets_mate = not isinstance(circle.kind, Jack) and not circle.drilling.is_lifting
        if meets_mate and asks_notice(circle):
            yield noted(Rule.PLACEMENT, circle_place(flange, group, "placement"), Placed())


def asks_notice(circle: BoltCircle) -> bool:
    """Whether an equally spaced circle does not straddle both centerlines, wherever it was said to stand."""
    if not circle.equally_spaced or circle.hole_count < 2:
        return False
    step = 360.0 / circle.hole_count
    past = circle.first_hole_angle % step if circle.hole_count % 4 == 0 else 0.0
    return abs(past - step / 2) > _SAME_ANGLE
