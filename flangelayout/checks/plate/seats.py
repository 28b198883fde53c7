"""Whether nuts bear on flat metal and can be turned: seats, wrench and socket room, distance between bolts."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from flangelayout.checks.finding import Finding, Severity, gap_text, too_little
from flangelayout.checks.limits import CheckLimits, Limit, Wrench
from flangelayout.checks.plate.clocking import is_clocked
from flangelayout.checks.plate.drilling import circle_key
from flangelayout.flange import BoltCircle, Dowel, Flange, Hole, Jack, Spotfaced, Tapped
from flangelayout.flange.hole import metal_width
from flangelayout.geometry.measure import spine_to_edge
from flangelayout.geometry.near_pairs import near_pairs
from flangelayout.standards.bolt_room import nut_corners, socket, washer_outside, wrench_room
from flangelayout.standards.bolts import known_bolt
from flangelayout.units import Unit, size_text

_TOUCH = Limit(0.0, "plain geometry")


@dataclass(frozen=True, slots=True)
class Seat:
    """What bears on the plate round every hole of a bolt circle.

    Attributes:
        diameter: In mm.
        what: ``nut of M20, 34.64 mm across corners``.
        source: Where the diameter is from.
    """

    diameter: float
    what: str
    source: str


@dataclass(frozen=True, slots=True)
class _Bolted:
    """A bolt circle whose bolts are known."""

    group: int
    circle: BoltCircle
    seat: Seat
    holes: tuple[Hole, ...]


def seat_of(circle: BoltCircle, unit: Unit, washers: bool = False) -> Seat | None:
    """What bears round each hole of a circle: spotface, washer or the nut across corners.

    Returns:
        ``None`` where nothing bears (tapped holes, dowels) or no table has the bolt.
    """
    kind = circle.kind
    if isinstance(kind, Tapped | Jack | Dowel):
        return None
    if isinstance(kind, Spotfaced):
        return Seat(kind.seat_diameter, f"spotface of {size_text(kind.seat_diameter, unit)} {unit.value}", "the job")
    room = (washer_outside(circle.bolt) if washers else None) or nut_corners(circle.bolt)
    if room is None:
        return None
    part = "washer" if washers and washer_outside(circle.bolt) else "nut"
    size = gap_text(room.value, unit)
    name = circle.bolt.strip()
    words = f"washer of {name}, {size} wide" if part == "washer" else f"nut of {name}, {size} across corners"
    return Seat(room.value, words, room.source)


def check_seats(flange: Flange, holes: tuple[Hole, ...], limits: CheckLimits, unit: Unit) -> tuple[Finding, ...]:
    """Findings about nuts, washers and wrenches; a note that is not printed where the bolts are unknown."""
    bolted = tuple(_bolted(flange, holes, limits, unit))
    return (
        *(finding for one in bolted for finding in _on_metal(flange, one, limits, unit)),
        *_seats_over_holes(flange, bolted, holes, unit),
        *(finding for one in bolted for finding in _seats_apart(flange, one, unit)),
        *(finding for one in bolted for finding in _wrench(flange, one, limits, unit)),
        *_spacing(flange, limits, unit),
        *_unknown(flange, {one.group for one in bolted}, unit),
    )


def _bolted(flange: Flange, holes: tuple[Hole, ...], limits: CheckLimits, unit: Unit) -> Iterator[_Bolted]:
    for group, circle in enumerate(flange.bolt_circles):
        seat = seat_of(circle, unit, limits.washers)
        if seat:
            yield _Bolted(group, circle, seat, tuple(hole for hole in holes if hole.group == group))


def _severity(circle: BoltCircle) -> Severity:
    """A drilling taken from a published standard is as the standard wants it; that is told, but is no fault."""
    return Severity.NOTE if circle.credit else Severity.WARNING


def _short(one: _Bolted, flange: Flange, rule: str, what: str, left: float, cure: str, unit: Unit) -> Finding:
    """The finding that a seat runs over something by ``-left``."""
    text = f"{flange.group_name(one.group)}: the {one.seat.what}, runs {gap_text(-left, unit)} {what}; {cure}"
    severity = _severity(one.circle)
    where = f"{circle_key(flange, one.group)}.bolt"
    printed = severity is Severity.WARNING
    return Finding(rule, severity, where, text, one.seat.source, left, 0.0 if printed else None, cure, printed)


def _on_metal(flange: Flange, one: _Bolted, limits: CheckLimits, unit: Unit) -> Iterator[Finding]:
    """Seats against the plate's edge, the bore, hub and weld, and the raised face where they bear on its side."""
    radius = one.seat.diameter / 2
    edge = min(flange.edge_distance(hole.spine) for hole in one.holes) - radius
    if edge < -1e-6:
        cure = "use a smaller bolt or a larger plate"
        yield _short(one, flange, "seat-on-plate", "over the edge of the plate", edge, cure, unit)
    for opening in flange.cutouts():
        left = min(-spine_to_edge(opening.shape, hole.spine) for hole in one.holes) - radius
        if left < -1e-6:
            cure = f"make the {opening.name} smaller or the bolt circle larger"
            yield _short(one, flange, "seat-clear-of-bore", f"over the {opening.name}", left, cure, unit)
    inner = one.circle.diameter / 2 - radius
    if limits.hub_diameter is not None:
        left = inner - limits.hub_diameter / 2 - limits.weld
        what = "into the hub or pipe" + (" and its weld" if limits.weld else "")
        if left < -1e-6:
            cure = "use a larger bolt circle, a smaller hub or weld, or spotface into it"
            yield _short(one, flange, "seat-clear-of-hub", what, left, cure, unit)
    face = flange.raised_face_diameter
    if face is not None and limits.nuts_on.on_face and one.circle.diameter > face:
        left = inner - face / 2
        if left < -1e-6:
            cure = "make the raised face smaller or spotface"
            yield _short(one, flange, "seat-clear-of-raised-face", "onto the raised face", left, cure, unit)


def _seats_over_holes(
    flange: Flange, bolted: tuple[_Bolted, ...], holes: tuple[Hole, ...], unit: Unit
) -> Iterator[Finding]:
    """Seats that run over other holes, the worst of each group; two bolt circles are left to the clocking check."""
    for one in bolted:
        told: set[int] = set()
        others = [hole for hole in holes if hole.group != one.group and not is_clocked(flange, one.group, hole.group)]
        for hole, other, left in _nearest(one, others):
            if left < -1e-6 and other.group not in told:
                told.add(other.group)
                what = f"at hole {hole.number} over {other.source}"
                cure = "move or turn one of them, tap the hole for a stud, or use a smaller bolt"
                yield _short(one, flange, "seat-over-hole", what, left, cure, unit)


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


def _seats_apart(flange: Flange, one: _Bolted, unit: Unit) -> Iterator[Finding]:
    """Seats of neighbors on one circle that meet; those of two circles bear on different sides."""
    left = min(_neighbor_chords(one.circle), default=math.inf) - one.seat.diameter
    if left < -1e-6:
        cure = "use fewer or smaller bolts, or a larger bolt circle"
        yield _short(one, flange, "seats-apart", "into the next one", left, cure, unit)


def _neighbor_chords(circle: BoltCircle) -> list[float]:
    """Center-to-center distances in mm of drilled neighbors round a circle."""
    angles = sorted(circle.hole_angles())
    if len(angles) < 2:
        return []
    steps = [after - before for before, after in pairwise((*angles, angles[0] + 360))]
    return [circle.diameter * math.sin(math.radians(min(step, 360 - step)) / 2) for step in steps]


def _wrench(flange: Flange, one: _Bolted, limits: CheckLimits, unit: Unit) -> Iterator[Finding]:
    """Room to turn the nuts, from bolt to bolt and from bolt to hub."""
    room = _turning_room(one, limits.wrench)
    if room is None:
        return
    to_bolt, to_hub, tool = room
    name, where = flange.group_name(one.group), f"{circle_key(flange, one.group)}.bolt"
    chord = min(_neighbor_chords(one.circle), default=math.inf)
    if chord < to_bolt.value - 1e-6:
        severity = _severity(one.circle)
        what = f"{name}: {tool} for {one.circle.bolt.strip()} has from bolt to bolt"
        found = too_little(
            "wrench-room", where, what, chord, to_bolt, "use fewer or smaller bolts, or a socket", unit, severity
        )
        yield found if severity is Severity.WARNING else _told_only(found)
    if limits.hub_diameter is not None:
        left = (one.circle.diameter - limits.hub_diameter) / 2
        if left < to_hub.value - 1e-6:
            what = f"{name}: {tool} for {one.circle.bolt.strip()} has from bolt to hub"
            cure = "use a larger bolt circle, smaller bolts, or turn the nuts with a socket"
            yield too_little("wrench-room", where, what, left, to_hub, cure, unit, Severity.WARNING)


def _turning_room(one: _Bolted, wrench: Wrench) -> tuple[Limit, Limit, str] | None:
    """Least distances from bolt to bolt and from bolt to hub, and what turns the nuts; ``None`` if not known."""
    bolt = one.circle.bolt
    if wrench is Wrench.OPEN_END:
        room = wrench_room(bolt)
        if room:
            source = room.source
            return Limit(room.bolt_to_bolt, source), Limit(room.bolt_to_hub, source), "an open-end wrench"
    tool = socket(bolt) if wrench is Wrench.SOCKET else None
    if tool is None:
        return None
    beside_nut = (tool.outside + one.seat.diameter) / 2
    return Limit(beside_nut, tool.source), Limit(tool.bolt_to_obstruction, tool.source), "a socket"


def _told_only(finding: Finding) -> Finding:
    """A finding without a limit to fail by, and off the sheet."""
    return Finding(
        finding.rule,
        finding.severity,
        finding.where,
        f"{finding.text} (the published drilling is as tight)",
        finding.source,
        finding.value,
        None,
        finding.cure,
        printed=False,
    )


def _spacing(flange: Flange, limits: CheckLimits, unit: Unit) -> Iterator[Finding]:
    """Bolts too far apart to keep the gasket tight between them."""
    for group, circle in enumerate(flange.bolt_circles):
        limit = limits.bolt_spacing or _gasket_spacing(flange, circle, limits)
        chord = max(_neighbor_chords(circle), default=0.0)
        if limit and chord > limit.value + 1e-6:
            cure = "use more bolts, larger bolts, a thicker plate or a softer gasket"
            text = (
                f"{flange.group_name(group)}: neighboring bolts are {gap_text(chord, unit)} apart, "
                f"more than {gap_text(limit.value, unit)} ({limit.source}); {cure}"
            )
            where = f"{circle_key(flange, group)}.hole_count"
            yield Finding("bolt-spacing", Severity.WARNING, where, text, limit.source, chord, limit.value, cure)


def _gasket_spacing(flange: Flange, circle: BoltCircle, limits: CheckLimits) -> Limit | None:
    """The greatest bolt spacing 2 a + 6 t / (m + 0.5) of ASME VIII-1, appendix 2 (from memory).

    a is the bolt's diameter, t the thickness of the plate and m the factor of the gasket.
    """
    bolt = known_bolt(circle.bolt)
    if limits.gasket_factor is None or flange.thickness is None or bolt is None:
        return None
    greatest = 2 * bolt.diameter + 6 * flange.thickness / (limits.gasket_factor + 0.5)
    return Limit(greatest, f"2a + 6t/(m + 0.5), ASME VIII-1 appendix 2, from memory, m = {limits.gasket_factor:g}")


def _unknown(flange: Flange, known: set[int], unit: Unit) -> Iterator[Finding]:
    for group, circle in enumerate(flange.bolt_circles):
        if group in known or isinstance(circle.kind, Tapped | Jack | Dowel):
            continue
        why = f"no table has a nut for {circle.bolt.strip()}" if circle.bolt.strip() else "no bolt is named"
        text = f"{flange.group_name(group)}: nut seats and wrench room are not checked, because {why}"
        yield Finding("seats-unchecked", Severity.NOTE, f"{circle_key(flange, group)}.bolt", text, printed=False)
