"""Whether nuts bear on flat metal and can be turned: seats, wrench and socket room, distance between bolts."""

import math
from collections import Counter
from collections.abc import Iterator

from msgspec import Struct

from flangelayout.checks.facts import BoltsApart, Seat, SeatOver, SeatRoom, Turning, TurnTo
from flangelayout.checks.finding import (
    Bound,
    Finding,
    Place,
    Reason,
    Remedy,
    Result,
    circle_place,
    judged,
    not_run,
    ref,
)
from flangelayout.checks.joint.assembled import Assembly
from flangelayout.checks.joint.seat import takes_nuts
from flangelayout.checks.limits import CheckLimits, Limit, Published, Source, Wrench
from flangelayout.checks.plate.clocking import is_clocked
from flangelayout.checks.plate.drilling import least_chord, neighbor_chords
from flangelayout.checks.plate.measured import MeasuredPlate
from flangelayout.checks.rule import Rule
from flangelayout.flange import BoltCircle, Flange, Hole
from flangelayout.flange.hole import metal_width
from flangelayout.geometry.near_pairs import near_pairs
from flangelayout.standards import Pattern
from flangelayout.standards.bolt_room import socket, wrench_room
from flangelayout.standards.bolts import known_bolt
from flangelayout.standards.shop import is_gasket_material


class _Bolted(Struct, frozen=True):
    """A bolt circle whose bolts are known, what bears round each hole, and the row it is drilled to."""

    group: int
    circle: BoltCircle
    seat: Seat
    source: Source
    holes: tuple[Hole, ...]
    row: Pattern | None


def check_seats(plate: MeasuredPlate, joint: Assembly, rows: tuple[Pattern | None, ...]) -> tuple[Finding, ...]:
    """Nuts, washers and wrenches of every bolt circle that takes them; none bear on a gasket.

    Args:
        plate: What is checked.
        joint: The plate as it is bolted up, with what it is held against.
        rows: The published row that each bolt circle is drilled to in every figure, ``None`` where it is to none.
    """
    flange, limits = plate.flange, joint.limits
    if is_gasket_material(flange.material):
        return ()
    bolted = tuple(_bolted(plate, joint, rows))
    return (
        *(finding for one in bolted for finding in _on_metal(plate, one, limits)),
        *_seats_over_holes(flange, bolted, plate.holes),
        *(finding for one in bolted for finding in _seats_apart(flange, one)),
        *(finding for one in bolted for finding in _wrench(flange, one, limits)),
        *_spacing(flange, limits),
        *_unknown(flange, {one.group for one in bolted}),
    )


def _bolted(plate: MeasuredPlate, joint: Assembly, rows: tuple[Pattern | None, ...]) -> Iterator[_Bolted]:
    for group, circle in enumerate(plate.flange.bolt_circles):
        found = joint.seat(group)
        if found:
            seat, source = found
            row = rows[group] if group < len(rows) else None
            holes = tuple(hole for hole in plate.holes if hole.group == group)
            yield _Bolted(group, circle, seat, source, holes, row)


def _room(flange: Flange, one: _Bolted, rule: Rule, over: SeatOver, left: float, cure: Remedy) -> Finding:
    """A seat against what is beside it."""
    place = circle_place(flange, one.group, "bolt")
    return judged(rule, place, SeatRoom(one.seat, over), left, Limit(0.0, one.source), cure)


def _on_metal(plate: MeasuredPlate, one: _Bolted, limits: CheckLimits) -> Iterator[Finding]:
    """Seats against the plate's edge, the openings, hub and weld, and the raised face where they bear on its side."""
    flange, radius = plate.flange, one.seat.diameter / 2
    more = radius - one.circle.hole_diameter / 2
    left = min(metal for hole, metal in plate.to_edge() if hole.group == one.group) - more
    edge = _room(flange, one, Rule.SEAT_ON_PLATE, SeatOver.EDGE, left, Remedy.SMALLER_BOLT_OR_LARGER_PLATE)
    yield _as_published(edge, one, _published_plate(flange, one.row))
    yield from _beside_openings(plate, one, more)
    yield from _beside_hub(flange, one, limits)
    face = flange.raised_face_diameter
    if face is not None and limits.nuts_on.on_face and one.circle.diameter > face:
        left = one.circle.diameter / 2 - radius - face / 2
        rule, cure = Rule.SEAT_CLEAR_OF_RAISED_FACE, Remedy.FACE_OR_SPOTFACE
        yield _room(flange, one, rule, SeatOver.RAISED_FACE, left, cure)


def _beside_openings(plate: MeasuredPlate, one: _Bolted, more: float) -> Iterator[Finding]:
    """Every opening that a seat runs into; the nearest where it runs into none."""
    lefts = [
        min(metal for hole, metal in plate.to_opening(index) if hole.group == one.group) - more
        for index in range(len(plate.openings))
    ]
    for index, left in enumerate(lefts):
        if left < 0 or left == min(lefts):
            place = Place(circle_place(plate.flange, one.group, "bolt").key, one.group, opening=index)
            facts, limit = SeatRoom(one.seat, SeatOver.OPENING), Limit(0.0, one.source)
            yield judged(Rule.SEAT_CLEAR_OF_BORE, place, facts, left, limit, Remedy.SMALLER_OPENING_OR_LARGER_CIRCLE)


def _beside_hub(flange: Flange, one: _Bolted, limits: CheckLimits) -> Iterator[Finding]:
    """The hub or pipe and its weld, on the side of the nuts."""
    if limits.hub_diameter is None:
        yield not_run(Rule.SEAT_CLEAR_OF_HUB, circle_place(flange, one.group, "bolt"), Reason.HUB_DIAMETER)
        return
    left = (one.circle.diameter - one.seat.diameter - limits.hub_diameter) / 2 - limits.weld
    over = SeatOver.HUB_AND_WELD if limits.weld else SeatOver.HUB
    yield _room(flange, one, Rule.SEAT_CLEAR_OF_HUB, over, left, Remedy.LARGER_CIRCLE_OR_SMALLER_HUB)


def _published_plate(flange: Flange, row: Pattern | None) -> bool:
    """Whether the plate is at least as wide as the row's, so that the row itself has the seat where it is."""
    outside = flange.round_diameter
    if row is None or row.outside_diameter is None or outside is None:
        return False
    return outside >= row.outside_diameter - 1e-6


def _as_published(finding: Finding, one: _Bolted, holds: bool) -> Finding:
    """A shortage that the published drilling has itself is held against that drilling, and passes."""
    if not (finding.failed and holds and one.row is not None and finding.facts and finding.value is not None):
        return finding
    limit = Limit(finding.value, Published(one.row.designation))
    return judged(finding.rule, finding.place, finding.facts, finding.value, limit, Remedy.FIGURE_OF_STANDARD)


def _seats_over_holes(flange: Flange, bolted: tuple[_Bolted, ...], holes: tuple[Hole, ...]) -> Iterator[Finding]:
    """Seats that run over other holes, the worst of each group; two bolt circles are left to the clocking check."""
    for one in bolted:
        others = [hole for hole in holes if hole.group != one.group and not is_clocked(flange, one.group, hole.group)]
        over = [each for each in _nearest(one, others) if each[2] < -1e-6]
        counts = Counter(other.group for _, other, _ in over)
        for hole, other, left in over:
            if count := counts.pop(other.group, 0):
                yield _over_hole(flange, one, hole, other, left, count)
        if others and not over:
            place, limit = circle_place(flange, one.group, "bolt"), Limit(0.0, one.source)
            facts = SeatRoom(one.seat, SeatOver.HOLE)
            yield Finding(Rule.SEAT_OVER_HOLE, Result.PASSED, place, facts, limit=limit)


def _over_hole(flange: Flange, one: _Bolted, hole: Hole, other: Hole, left: float, count: int) -> Finding:
    place = Place(circle_place(flange, one.group, "bolt").key, one.group, (ref(hole), ref(other)))
    facts = SeatRoom(one.seat, SeatOver.HOLE, count)
    return judged(Rule.SEAT_OVER_HOLE, place, facts, left, Limit(0.0, one.source), Remedy.MOVE_TURN_OR_TAP)


def _nearest(one: _Bolted, others: list[Hole]) -> Iterator[tuple[Hole, Hole, float]]:
    """Holes near a seat with the metal between them, the least first."""
    if not others:
        return
    import numpy as np

    both = (*one.holes, *others)
    points = np.array([(hole.center.x, hole.center.y) for hole in both])
    reach = one.seat.diameter / 2 + max(metal_width(hole) for hole in others)
    first, second = near_pairs(points, reach)
    found = []
    for a, b in zip(first.tolist(), second.tolist(), strict=True):
        low, high = min(a, b), max(a, b)
        if low < len(one.holes) <= high:
            apart = both[low].center.distance_to(both[high].center)
            found.append((both[low], both[high], apart - one.seat.diameter / 2 - metal_width(both[high]) / 2))
    yield from sorted(found, key=lambda each: (round(each[2], 9), each[0].number, each[1].number))


def _seats_apart(flange: Flange, one: _Bolted) -> Iterator[Finding]:
    """Seats of neighbors on one circle that meet; those of two circles bear on different sides."""
    chord = least_chord(one.circle)
    if math.isfinite(chord):
        left = chord - one.seat.diameter
        finding = _room(flange, one, Rule.SEATS_APART, SeatOver.NEXT, left, Remedy.FEWER_BOLTS)
        yield _as_published(finding, one, one.row is not None)


def _wrench(flange: Flange, one: _Bolted, limits: CheckLimits) -> Iterator[Finding]:
    """Room to turn the nuts, from bolt to bolt and from bolt to hub."""
    if limits.wrench is Wrench.NONE:
        return
    room = _turning_room(one, limits.wrench)
    place, bolt = circle_place(flange, one.group, "bolt"), one.circle.bolt.strip()
    if room is None:
        yield not_run(Rule.WRENCH_ROOM, place, Reason.WRENCH_TABLE)
        return
    to_bolt, to_hub = room
    chord = least_chord(one.circle)
    if math.isfinite(chord):
        facts = Turning(limits.wrench, bolt, TurnTo.BOLT)
        finding = judged(Rule.WRENCH_ROOM, place, facts, chord, to_bolt, Remedy.SOCKET)
        yield _as_published(finding, one, one.row is not None)
    if limits.hub_diameter is not None:
        left = (one.circle.diameter - limits.hub_diameter) / 2
        facts = Turning(limits.wrench, bolt, TurnTo.HUB)
        yield judged(Rule.WRENCH_ROOM, place, facts, left, to_hub, Remedy.LARGER_CIRCLE_OR_SOCKET)


def _turning_room(one: _Bolted, wrench: Wrench) -> tuple[Limit, Limit] | None:
    """Least distances from bolt to bolt and from bolt to hub; ``None`` if not known."""
    bolt = one.circle.bolt
    if wrench is Wrench.OPEN_END:
        room = wrench_room(bolt)
        source = Published(room.source) if room else None
        return (Limit(room.bolt_to_bolt, source), Limit(room.bolt_to_hub, source)) if room and source else None
    tool = socket(bolt)
    if tool is None:
        return None
    beside_nut = (tool.outside + one.seat.diameter) / 2
    return Limit(beside_nut, Published(tool.source)), Limit(tool.bolt_to_obstruction, Published(tool.source))


def _spacing(flange: Flange, limits: CheckLimits) -> Iterator[Finding]:
    """Bolts too far apart to keep the gasket tight between them."""
    for group, circle in enumerate(flange.bolt_circles):
        place = circle_place(flange, group, "hole_count")
        chord = max(neighbor_chords(circle), default=None)
        if chord is None:
            continue
        limit = limits.bolt_spacing or _gasket_spacing(flange, circle, limits)
        if limit:
            yield judged(Rule.BOLT_SPACING, place, BoltsApart(), chord, limit, Remedy.MORE_BOLTS, Bound.AT_MOST)
        else:
            yield not_run(Rule.BOLT_SPACING, place, _spacing_needs(flange, limits))


def _spacing_needs(flange: Flange, limits: CheckLimits) -> Reason:
    if limits.gasket_factor is None:
        return Reason.GASKET
    return Reason.THICKNESS if flange.thickness is None else Reason.BOLT


def _gasket_spacing(flange: Flange, circle: BoltCircle, limits: CheckLimits) -> Limit | None:
    """The greatest bolt spacing 2 a + 6 t / (m + 0.5) of ASME VIII-1, appendix 2 (from memory).

    a is the bolt's diameter, t the thickness of the plate and m the factor of the gasket.
    """
    bolt = known_bolt(circle.bolt)
    if limits.gasket_factor is None or flange.thickness is None or bolt is None:
        return None
    greatest = 2 * bolt.diameter + 6 * flange.thickness / (limits.gasket_factor + 0.5)
    formula = f"2a + 6t/(m + 0.5), ASME VIII-1 appendix 2, not verified: compare, m = {limits.gasket_factor:g}"
    return Limit(greatest, Published(formula))


def _unknown(flange: Flange, known: set[int]) -> Iterator[Finding]:
    """Circles whose nuts and wrenches cannot be checked."""
    for group, circle in enumerate(flange.bolt_circles):
        if group not in known and takes_nuts(circle):
            reason = Reason.NUT_TABLE if circle.bolt.strip() else Reason.BOLT
            beside = (Rule.SEAT_CLEAR_OF_BORE,) if flange.cutouts() else ()
            for rule in (Rule.SEAT_ON_PLATE, *beside, Rule.SEAT_CLEAR_OF_HUB, Rule.SEATS_APART, Rule.WRENCH_ROOM):
                yield not_run(rule, circle_place(flange, group, "bolt"), reason)
