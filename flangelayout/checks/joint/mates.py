"""The part on the other side, where its row is known: whether it can be bolted to this plate at all."""

import math
from collections.abc import Iterator

from flangelayout.checks.facts import MateBolts, MateRim, MateSpigot
from flangelayout.checks.finding import Finding, Place, Reason, Remedy, circle_place, judged, not_run
from flangelayout.checks.joint.seat import seat_of, takes_nuts
from flangelayout.checks.limits import GEOMETRY, Limit, Published
from flangelayout.checks.mating.mating import Mating, bolt_clearance, mate, side_of_circle, side_of_pattern
from flangelayout.checks.rule import Rule
from flangelayout.errors import InputError
from flangelayout.flange import BoltCircle, Counterbored, Countersunk, Flange, Jack, Tapped
from flangelayout.flange.claims import named_rows
from flangelayout.standards import Pattern, PublishedTable, find, row_called
from flangelayout.standards.bolts import known_bolt
from flangelayout.standards.pattern import Register


def mate_rows(flange: Flange, own: tuple[PublishedTable, ...] = ()) -> tuple[Pattern | None, ...]:
    """The row of the mate of every bolt circle: what ``mates_with`` designates, else the row it names.

    Args:
        flange: The plate.
        own: The shop's own patterns, which are looked up as well.
    """
    return tuple(_designated(circle.drilling.mates_with, own) or _named(circle, own) for circle in flange.bolt_circles)


def _named(circle: BoltCircle, own: tuple[PublishedTable, ...]) -> Pattern | None:
    rows = named_rows(circle)
    return row_called(rows[0].designation, own) if rows else None


def _designated(text: str, own: tuple[PublishedTable, ...]) -> Pattern | None:
    try:
        return find(text, own=own) if text.strip() else None
    except InputError:  # free text, or a name of several rows
        return None


def check_mates(flange: Flange, mates: tuple[Pattern | None, ...], washers: bool) -> Iterator[Finding]:
    """Bolts through both, heads and nuts beside the mate's rim, room for its spigot; ``mates`` are rows by circle."""
    for group, (circle, row) in enumerate(zip(flange.bolt_circles, mates, strict=True)):
        if row is None:
            if not isinstance(circle.kind, Jack):
                yield not_run(Rule.MATE_BOLTS, circle_place(flange, group, "mates_with"), Reason.MATE)
            continue
        yield _bolts(circle_place(flange, group, "mates_with"), circle, row)
        if row.bore is not None and row.register is Register.SPIGOT:
            yield _spigot(flange, group, row.designation, row.bore)
        if row.outside_diameter is not None:
            yield from _rim(flange, group, row.designation, row.outside_diameter, washers)


def _bolts(place: Place, circle: BoltCircle, row: Pattern) -> Finding:
    """The bolts of a circle through its mate: the radial room of the tightest."""
    bolt = _bolt_of(circle) or (row.bolt or "").strip()
    known = known_bolt(bolt) if bolt else None
    if known is None:
        return not_run(Rule.MATE_BOLTS, place, Reason.BOLT)
    if row.hole_diameter is None or not row.equally_spaced:
        return not_run(Rule.MATE_BOLTS, place, Reason.MATE_HOLES)
    clearance, unmatched = _room(circle, row, bolt, known.diameter, row.hole_diameter)
    facts = MateBolts(
        designation=row.designation,
        bolt=bolt,
        unmatched=unmatched,
        circle=circle.diameter,
        mate_circle=row.bolt_circle,
        hole_count=len(circle.hole_numbers()),
        mate_count=row.hole_count,
    )
    value = -math.inf if unmatched else clearance
    return judged(Rule.MATE_BOLTS, place, facts, value, GEOMETRY, Remedy.MATCH_MATE)


def _bolt_of(circle: BoltCircle) -> str:
    """What goes into the holes: the bolt as written, or a tapped hole's thread."""
    if isinstance(circle.kind, Tapped | Jack):
        return circle.kind.thread
    return circle.bolt.strip()


def _room(circle: BoltCircle, row: Pattern, bolt: str, diameter: float, mate_hole: float) -> tuple[float, int]:
    """Radial room of the tightest bolt in mm, and how many holes have no partner.

    Equal counts at equal angles lie best hole on hole about one center: each pair is then half the difference
    of the circles apart, and no turn or shift makes the worst pair better.
    """
    own = circle.kind.major_diameter if isinstance(circle.kind, Tapped | Jack) else circle.hole_diameter
    if circle.equally_spaced and not circle.skipped and circle.hole_count == row.hole_count:
        offset = abs(circle.diameter - row.bolt_circle) / 2
        return bolt_clearance((own - diameter) / 2, (mate_hole - diameter) / 2, offset), 0
    found = _mated(circle, row, bolt)
    return found.least_clearance, len(found.unmatched_a) + len(found.unmatched_b)


def _mated(circle: BoltCircle, row: Pattern, bolt: str) -> Mating:
    return mate((side_of_circle(circle),), (side_of_pattern(row),), bolt)


def _spigot(flange: Flange, group: int, designation: str, spigot: float) -> Finding:
    """Room for the mate's spigot: the bore must take it."""
    place = Place("plate.bore", group)
    if flange.bore is None:
        return not_run(Rule.MATE_SPIGOT, place, Reason.BORE)
    limit = Limit(spigot, Published(designation))
    return judged(Rule.MATE_SPIGOT, place, MateSpigot(designation, spigot), flange.bore, limit, Remedy.BORE_FOR_SPIGOT)


def _rim(flange: Flange, group: int, designation: str, outside: float, washers: bool) -> Iterator[Finding]:
    """Heads or nuts of the other circles, which stand on the face where this circle's mate lies.

    Outside the mate's circle they must clear its rim. Inside, whether they find room hangs on the mate's own
    bore, which no table of drillings has.
    """
    inner = flange.bolt_circles[group].diameter
    for other, circle in enumerate(flange.bolt_circles):
        if other == group or not takes_nuts(circle) or isinstance(circle.kind, Countersunk | Counterbored):
            continue
        place, found = circle_place(flange, other, "bolt"), seat_of(circle, washers)
        if found is None:
            yield not_run(Rule.MATE_RIM, place, Reason.BOLT)
        elif circle.diameter <= inner:
            yield not_run(Rule.MATE_RIM, place, Reason.MATE_BORE)
        else:
            seat, _ = found
            left = (circle.diameter - seat.diameter - outside) / 2
            facts, limit = MateRim(designation, group, outside, seat), Limit(0.0, Published(designation))
            yield judged(Rule.MATE_RIM, place, facts, left, limit, Remedy.CLEAR_OF_MATE)
