"""The parts on the faces of a plate: whether the bolts pass through them, and nothing stands where they lie."""

import math
from collections.abc import Iterator
from itertools import combinations, islice, product

from flangelayout.checks.facts import (
    MateBolts,
    MatePart,
    MateRim,
    MateRoom,
    SeatByWall,
    SeatOver,
    SeatRoom,
    Turning,
    TurnTo,
)
from flangelayout.checks.finding import Finding, Place, Reason, Remedy, Result, circle_place, judged, not_run, noted
from flangelayout.checks.joint.assembled import Assembly
from flangelayout.checks.joint.hole_parts import recess_of
from flangelayout.checks.joint.seat import takes_nuts
from flangelayout.checks.joint_facts import HeadSunk, ThreadOpens, WorkedFace
from flangelayout.checks.limits import GEOMETRY, Limit, Published, Wrench
from flangelayout.checks.mating.mating import TOUCH, bolt_clearance, mate, side_of_circle
from flangelayout.checks.rule import Rule
from flangelayout.flange import BoltCircle, Counterbored, Countersunk, Jack, Spotfaced, Tapped
from flangelayout.flange.claims import may_seal
from flangelayout.flange.joints import Mate, MateSource
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.shapes import ORIGIN
from flangelayout.standards.bolt_room import wrench_room
from flangelayout.standards.bolting import bolt_size
from flangelayout.standards.bolts import known_bolt

_MOST_PAIRS = 1_000_000
"""Pairs of bolts of two circles that are looked at; more holes than that hold no flange."""
_SEATED = Countersunk | Counterbored | Spotfaced


def check_mates(joint: Assembly) -> Iterator[Finding]:
    """Bolts through plate and mate; heads and nuts beside the mates, on the mates, and clear of walls."""
    flange = joint.flange
    for group, circle in enumerate(flange.bolt_circles):
        known = joint.mates.get(group)
        if known is None and not isinstance(circle.kind, Jack):
            yield not_run(Rule.MATE_BOLTS, circle_place(flange, group, "mates_with"), Reason.MATE)
        elif known is not None:
            bolts, place = _bolts(_named_at(joint, known), circle, known), circle_place(flange, group, "mates_with")
            trivial = joint.is_own_row(group) and bolts.result is Result.PASSED
            yield not_run(Rule.MATE_BOLTS, place, Reason.MATE) if trivial else bolts
            yield from _beside(joint, known)
            yield from _worked_face(joint, known)
            yield from _on_mate(joint, known)
            yield from _opens_inside(joint, known)
        yield from _by_walls(joint, group)
    for group in range(len(flange.bolt_circles), len(flange.groups())):
        if flange.groups()[group].drilling.mates_with.strip():
            place = circle_place(flange, group, "mates_with")
            yield not_run(Rule.MATE_BOLTS, place, Reason.MATE_OF_PATTERN)
    for one, other in combinations(sorted(joint.told), 2):
        yield from _seats_of_two(joint, one, other)


def _seats_of_two(joint: Assembly, one: int, other: int) -> Iterator[Finding]:
    """Heads or nuts of two circles that bear on one face."""
    flange, circles = joint.flange, [joint.flange.bolt_circles[group] for group in (one, other)]
    seats = [joint.seat(group) for group in (one, other)]
    if not joint.seat_faces(one) & joint.seat_faces(other) or seats[0] is None or seats[1] is None:
        return
    (seat, source), (beside, _) = seats[0], seats[1]
    pairs = product(circles[0].hole_centers(), circles[1].hole_centers())
    apart = min(here.distance_to(there) for here, there in islice(pairs, _MOST_PAIRS))
    left, facts = apart - (seat.diameter + beside.diameter) / 2, SeatRoom(seat, SeatOver.OTHER_CIRCLE)
    place = circle_place(flange, one, "bolt")
    yield judged(Rule.SEATS_APART, place, facts, left, Limit(0.0, source), Remedy.MOVE_TURN_OR_TAP)


def _opens_inside(joint: Assembly, known: Mate) -> Iterator[Finding]:
    """That threads of a mate go right through to where a mate on the other face seals, within its bolts."""
    circles = joint.flange.bolt_circles
    circle = circles[known.group]
    if not isinstance(circle.kind, Tapped) or circle.kind.depth is not None:
        return
    for group, other in joint.mates.items():
        outer = circles[group]
        if other.face is not known.face and circle.diameter < outer.diameter and may_seal((outer,)):
            facts = ThreadOpens(circle.kind.thread, other.face, other.called)
            yield noted(Rule.THREAD_OPENS, circle_place(joint.flange, known.group, "depth"), facts)


def _named_at(joint: Assembly, known: Mate) -> Place:
    """The key of the job that names a mate: its own table's, or the circle's ``mates_with``."""
    if known.group in joint.told:
        return Place(f"{known.key}.circle", known.group)
    return circle_place(joint.flange, known.group, "mates_with")


def _bolts(place: Place, circle: BoltCircle, known: Mate) -> Finding:
    """The bolts of a circle through its mate: how much farther apart the holes of the tightest may lie."""
    theirs = known.circle
    bolt = _bolt_of(circle) or (theirs.bolt.strip() if theirs else "")
    size = known_bolt(bolt) if bolt else None
    if size is None:
        return not_run(Rule.MATE_BOLTS, place, Reason.BOLT)
    if theirs is None or (isinstance(theirs.kind, Tapped) and known.source is MateSource.ROW):
        return not_run(Rule.MATE_BOLTS, place, Reason.MATE_HOLES)
    is_turned_over = known.has_own_places and known.face is PlateFace.FACE
    thread = theirs.kind.thread if isinstance(theirs.kind, Tapped) else ""
    misfit = abs(size.diameter - _width(theirs)) / 2 if thread else 0.0
    clearance, unmatched = _room(circle, theirs, bolt, size.diameter, is_turned_over)
    facts = MateBolts(
        designation=known.called,
        bolt=bolt,
        unmatched=unmatched,
        circle=circle.diameter,
        mate_circle=theirs.diameter,
        hole_count=len(circle.hole_numbers()),
        mate_count=len(theirs.hole_numbers()),
        thread=thread if misfit > TOUCH else "",
        are_both_tapped=bool(thread) and isinstance(circle.kind, Tapped | Jack),
    )
    value = -math.inf if unmatched or facts.are_both_tapped else -misfit if facts.thread else clearance
    return judged(Rule.MATE_BOLTS, place, facts, value, GEOMETRY, Remedy.MATCH_MATE)


def _bolt_of(circle: BoltCircle) -> str:
    """What goes into the holes: the bolt as written, or a tapped hole's thread."""
    if isinstance(circle.kind, Tapped | Jack):
        return circle.kind.thread
    return circle.bolt.strip()


def _width(circle: BoltCircle) -> float:
    """What a bolt finds in the holes of a circle, in mm: a thread by its nominal diameter."""
    return circle.kind.major_diameter if isinstance(circle.kind, Tapped | Jack) else circle.hole_diameter


def _room(
    circle: BoltCircle, theirs: BoltCircle, bolt: str, diameter: float, is_turned_over: bool
) -> tuple[float, int]:
    """Radial room of the tightest bolt in mm, and how many holes have no partner.

    A mate on the named face is turned over to meet it; one behind the plate looks the way that face looks.
    Equal counts at equal angles lie best hole on hole about one center: each pair is then half the difference
    of the circles apart, and no turn or shift makes the worst pair better.
    """
    alike = all(each.equally_spaced and not each.skipped for each in (circle, theirs))
    if alike and circle.hole_count == theirs.hole_count:
        offset = abs(circle.diameter - theirs.diameter) / 2
        own, other = ((_width(each) - diameter) / 2 for each in (circle, theirs))
        return bolt_clearance(own, other, offset), 0
    found = mate((side_of_circle(circle),), (side_of_circle(theirs),), bolt, face_to_face=is_turned_over)
    return found.least_clearance, len(found.unmatched_a) + len(found.unmatched_b)


def _beside(joint: Assembly, known: Mate) -> Iterator[Finding]:
    """Heads or nuts of the other circles that stand on the face where a mate lies.

    Outside the mate's circle they must clear its rim. Inside, whether they find room hangs on the mate's own bore;
    a spigot fills it.
    """
    flange = joint.flange
    if known.outside_diameter is None:
        return
    for other, circle in enumerate(flange.bolt_circles):
        if other == known.group or not joint.may_bear_on(other, known):
            continue
        yield from _sunk(joint, other, circle, known)
        if not takes_nuts(circle):
            continue
        place, found = circle_place(flange, other, "bolt"), joint.seat(other)
        if found is None:
            yield not_run(Rule.MATE_RIM, place, Reason.BOLT)
            continue
        left = _gap(joint, known, circle, found[0].diameter)
        if left is None:
            yield not_run(Rule.MATE_RIM, place, Reason.MATE_BORE)
            continue
        facts = MateRim(known.called, known.group, known.outside_diameter, found[0], known.face)
        yield judged(Rule.MATE_RIM, place, facts, left, _as_found(known), Remedy.CLEAR_OF_MATE)
        if known.group in joint.told and left >= 0:
            yield from _turning(joint, other, circle, known)


def _as_found(known: Mate) -> Limit:
    """Nothing, by whoever says how wide a mate is."""
    return Limit(0.0, Published(known.called)) if known.source is MateSource.ROW else GEOMETRY


def _gap(joint: Assembly, known: Mate, circle: BoltCircle, seat: float) -> float | None:
    """What is left in mm between a seat and a mate beside it; ``None`` where that hangs on an unknown bore.

    A seat in a recess so deep that nut and washer stay below the plane the mate lies on passes under it.
    """
    outside = (circle.diameter - seat - (known.outside_diameter or 0.0)) / 2
    if outside >= 0:
        return outside
    bore = known.bore if known.bore is not None or known.source is MateSource.ROW else 0.0
    inside = None if bore is None else (bore - circle.diameter - seat) / 2
    sunk = _sunk_below(joint, known, circle)
    if sunk >= 0:
        return sunk
    if inside is not None:
        return max(outside, inside)
    theirs = known.circle.diameter if known.circle else circle.diameter
    solid = known.spigot is not None and (circle.diameter - seat) / 2 < known.spigot.diameter / 2
    return outside if solid or circle.diameter > theirs else None


def _sunk_below(joint: Assembly, known: Mate, circle: BoltCircle) -> float:
    """How far in mm the top of a nut with its washer lies below the plane of a mate; negative where it stands out."""
    size, profile = bolt_size(circle.bolt), joint.flange.profile.of(known.face)
    if size is None:
        return -math.inf
    plane = contact_plane(joint, known)
    height = size.nut_height + (size.washer_thickness or 0.0)
    return profile.depth_at(circle.diameter / 2) - plane - height


def contact_plane(joint: Assembly, known: Mate) -> float:
    """How deep in mm below the outermost plane of its face a mate lies: on the highest ring under it."""
    profile = joint.flange.profile.of(known.face)
    inner = max(joint.flange.bore or 0.0, known.bore or 0.0, known.spigot.diameter if known.spigot else 0.0) / 2
    outer = (known.outside_diameter or math.inf) / 2
    return profile.highest(inner, outer) if outer > inner else profile.base


def _sunk(joint: Assembly, group: int, circle: BoltCircle, known: Mate) -> Iterator[Finding]:
    """Whether the head of a counterbored screw stays below a mate that lies over it."""
    if group not in joint.told or not isinstance(circle.kind, Counterbored) or not _is_under(known, circle):
        return
    place, bolt = circle_place(joint.flange, group, "seat_depth"), known_bolt(circle.bolt)
    if bolt is None:
        yield not_run(Rule.HEAD_SUNK, place, Reason.BOLT)
        return
    limit, facts = (
        Limit(bolt.diameter, Published("ISO 4762: head as high as the thread")),
        HeadSunk(known.called, bolt.name),
    )
    yield judged(Rule.HEAD_SUNK, place, facts, circle.kind.depth, limit, Remedy.DEEPER_COUNTERBORE)


def _is_under(known: Mate, circle: BoltCircle) -> bool:
    """Whether a mate lies over any of the recesses of a circle."""
    half = circle.kind.bore_diameter / 2 if isinstance(circle.kind, Counterbored) else 0.0
    outer, inner = (known.outside_diameter or 0.0) / 2, (known.bore or 0.0) / 2
    return circle.diameter / 2 - half < outer and circle.diameter / 2 + half > inner


def _turning(joint: Assembly, group: int, circle: BoltCircle, known: Mate) -> Iterator[Finding]:
    """Room to turn an open-end wrench beside the rim of a mate."""
    if joint.limits.wrench is not Wrench.OPEN_END or circle.diameter <= (known.outside_diameter or math.inf):
        return
    place, room = circle_place(joint.flange, group, "bolt"), wrench_room(circle.bolt)
    if room is None:
        yield not_run(Rule.WRENCH_ROOM, place, Reason.WRENCH_TABLE)
        return
    left = (circle.diameter - (known.outside_diameter or 0.0)) / 2
    facts, limit = (
        Turning(Wrench.OPEN_END, circle.bolt.strip(), TurnTo.MATE),
        Limit(room.bolt_to_hub, Published(room.source)),
    )
    yield judged(Rule.WRENCH_ROOM, place, facts, left, limit, Remedy.LARGER_CIRCLE_OR_SOCKET)


def _worked_face(joint: Assembly, known: Mate) -> Iterator[Finding]:
    """Recesses for heads open across from the mate, blind threads towards it."""
    circle = joint.flange.bolt_circles[known.group]
    hole = next(each for each in joint.flange.holes() if each.group == known.group)
    recess = recess_of(hole)
    blind = isinstance(circle.kind, Tapped) and circle.kind.depth is not None
    if not known.is_face_said or recess is None or not (blind or isinstance(circle.kind, _SEATED)):
        return
    right = known.face if blind else known.face.other
    place = circle_place(joint.flange, known.group, "worked_from")
    facts = WorkedFace(recess, hole.worked_from, known.called, known.face)
    sound = hole.worked_from is right
    result, cure = (Result.PASSED, None) if sound else (Result.FAILED, Remedy.OTHER_FACE)
    yield Finding(Rule.WORKED_FACE, result, place, facts, cure=cure)


def _on_mate(joint: Assembly, known: Mate) -> Iterator[Finding]:
    """Nuts or heads on the mate's other side, against its edge and its hub; a row has room for its own bolts."""
    circle, found = joint.flange.bolt_circles[known.group], joint.seat_on_mate(known.group)
    if known.group not in joint.told or known.is_tapped or found is None:
        return
    seat, source = found
    place = circle_place(joint.flange, known.group, "bolt")
    sizes = (
        (MatePart.EDGE, known.outside_diameter if known.source is not MateSource.ROW else None, 1),
        (MatePart.HUB, known.hub_diameter, -1),
    )
    for part, size, side in sizes:
        if size is not None:
            left = side * (size - circle.diameter) / 2 - seat.diameter / 2
            facts = MateRoom(known.called, part, size, seat)
            yield judged(Rule.MATE_SEAT, place, facts, left, Limit(0.0, source), Remedy.SEAT_ON_MATE)


def _by_walls(joint: Assembly, group: int) -> Iterator[Finding]:
    """Seats against the walls of what is turned on the face they bear on."""
    flange, circle, found = joint.flange, joint.flange.bolt_circles[group], joint.seat(group)
    turned = flange.all_turned() if group in joint.told else flange.turned
    if found is None:
        return
    seat, source = found
    away = ORIGIN.distance_to(circle.hole_centers()[0])
    for each in turned:
        if each.face not in joint.seat_faces(group):
            continue
        wall = min(each.walls, key=lambda radius: abs(radius - away))
        left = abs(wall - away) - seat.diameter / 2
        facts, place = SeatByWall(seat, 2 * wall), circle_place(flange, group, "bolt")
        yield judged(Rule.SEAT_FLAT, place, facts, left, Limit(0.0, source), Remedy.SEAT_BESIDE_WALL)
