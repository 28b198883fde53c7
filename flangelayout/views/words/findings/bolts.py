"""Findings about bolts, nuts, wrenches, standards and mates, in words without their cures."""

from typing import assert_never

from flangelayout.checks.facts import (
    AsStandard,
    BoltHole,
    BoltName,
    BoltsApart,
    Clocked,
    HoleCover,
    MateBolts,
    MateRim,
    MateSpigot,
    PickedAmong,
    ReadAgain,
    ReadingsFixNothing,
    RowNote,
    Seat,
    SeatOver,
    SeatPart,
    SeatRoom,
    Shortage,
    Turning,
)
from flangelayout.checks.finding import Finding
from flangelayout.checks.limits import Wrench
from flangelayout.flange import Flange
from flangelayout.flange.claims import Difference
from flangelayout.units import Unit
from flangelayout.views.words.findings.limits import gap_text
from flangelayout.views.words.findings.metal import less_than
from flangelayout.views.words.findings.places import hole_text, length_text, more_alike, opening_text, subject_text
from flangelayout.views.words.origins import difference_words

_BoltFacts = SeatRoom | Turning | BoltsApart | BoltName | BoltHole | HoleCover
_MateFacts = Clocked | AsStandard | RowNote | MateBolts | MateRim | MateSpigot
_ReadingFacts = PickedAmong | ReadAgain | ReadingsFixNothing


def bolt_fact(flange: Flange, finding: Finding, facts: _BoltFacts, unit: Unit) -> str:
    """About bolts and what turns them."""
    subject = subject_text(flange, finding)
    match facts:
        case SeatRoom(seat, over, count):
            runs = gap_text(-(finding.value or 0.0), unit)
            group = flange.group_name(finding.place.group or 0)
            over_what = f"{_over(flange, finding, over)}{more_alike(count, 'place')}"
            return f"{group}: the {seat_text(seat, unit)}, runs {runs} {over_what}"
        case Turning(tool, bolt, to):
            room = f"from bolt to {to.value} {less_than(finding, unit)}"
            return f"{subject}: {_tool(tool)} for {bolt} has too little room: {room}"
        case BoltsApart():
            return f"{subject}: neighboring bolts are {_more_than(finding, unit, 'apart, ')}"
        case BoltName(bolt):
            return f'{subject}: no table has a bolt "{bolt}"'
        case BoltHole(bolt, diameter, medium, source):
            usual = f"; {source} medium is {length_text(medium, unit)}" if medium is not None else ""
            hole, thick = length_text(finding.value or 0.0, unit), length_text(diameter, unit)
            return f"{subject}: {bolt}, {thick} thick, does not go through a hole of {hole}{usual}"
        case HoleCover():
            return _lost(subject, finding, facts, unit)
        case _:
            assert_never(facts)


def mate_fact(flange: Flange, finding: Finding, facts: _MateFacts, unit: Unit) -> str:  # noqa: PLR0911 - a line for each
    """About a standard, a mate or another circle on the plate."""
    subject = subject_text(flange, finding)
    match facts:
        case Clocked():
            return _clocked(flange, finding, facts, unit)
        case AsStandard():
            return f"{subject}: not as {facts.designation}: {standard_figure(flange, finding, facts, unit)}"
        case RowNote(designation, note):
            return f"{designation}: {note}"
        case MateBolts():
            return f"{subject}: {_mate_bolts(finding, facts, unit)}"
        case MateRim(designation, mate_group, outside, seat, _):
            runs = gap_text(-(finding.value or 0.0), unit)
            rim = f"{designation}, {length_text(outside, unit)} wide, on {flange.group_name(mate_group)}"
            return f"{subject}: the {seat_text(seat, unit)}, runs {runs} under the rim of its mate {rim}"
        case MateSpigot(designation, spigot):
            bore = length_text(finding.value or 0.0, unit)
            stands = f"{designation} stands on its spigot of {length_text(spigot, unit)}"
            if not finding.value:
                return f"{stands}, and the plate has no opening that takes it"
            return f"{stands}, which an opening of {bore} does not take"
        case _:
            assert_never(facts)


def reading_fact(flange: Flange, finding: Finding, facts: _ReadingFacts, unit: Unit) -> str:
    """About the job's own readings."""
    subject = subject_text(flange, finding)
    match facts:
        case PickedAmong(designation, others):
            return f"{subject}: {designation} is a pick, the readings fit {' and '.join(others)} as well"
        case ReadAgain(band):
            says = gap_text(finding.limit.value if finding.limit else 0.0, unit)
            drawn = gap_text(finding.value or 0.0, unit)
            return f"{subject}: the readings say {says} ± {gap_text(band, unit)}, drawn is {drawn}"
        case ReadingsFixNothing():
            return "the readings fix no bolt circle"
        case _:
            assert_never(facts)


def seat_text(seat: Seat, unit: Unit) -> str:
    """What bears on the plate: ``nut of M20, 34.64 mm across corners``."""
    match seat.part:
        case SeatPart.NUT:
            return f"nut of {seat.bolt}, {gap_text(seat.diameter, unit)} across corners"
        case SeatPart.WASHER:
            return f"washer of {seat.bolt}, {gap_text(seat.diameter, unit)} wide"
        case SeatPart.SPOTFACE:
            return f"spotface of {length_text(seat.diameter, unit)}"
        case _:
            assert_never(seat.part)


def _over(flange: Flange, finding: Finding, over: SeatOver) -> str:  # noqa: PLR0911 - a line for each
    match over:
        case SeatOver.EDGE:
            return "over the edge of the plate"
        case SeatOver.OPENING:
            return f"over the {opening_text(flange, finding)}"
        case SeatOver.HUB:
            return "into the hub or pipe"
        case SeatOver.HUB_AND_WELD:
            return "into the hub or pipe and its weld"
        case SeatOver.RAISED_FACE:
            return "onto the raised face"
        case SeatOver.HOLE:
            hole, other = finding.place.holes
            return f"at hole {hole.number} over {hole_text(flange, other)}"
        case SeatOver.NEXT:
            return "into the next one"
        case SeatOver.OTHER_CIRCLE:
            return "into one of another circle on that face"
        case _:
            assert_never(over)


def _tool(tool: Wrench) -> str:
    match tool:
        case Wrench.OPEN_END:
            return "an open-end wrench"
        case Wrench.SOCKET:
            return "a socket"
        case Wrench.NONE:
            return "nothing"
        case _:
            assert_never(tool)


def _more_than(finding: Finding, unit: Unit, apart: str = "") -> str:
    assert finding.limit is not None
    return f"{gap_text(finding.value or 0.0, unit)} {apart}more than {gap_text(finding.limit.value, unit)}"


def _lost(subject: str, finding: Finding, facts: HoleCover, unit: Unit) -> str:
    """A hole too wide for what lies on it."""
    flats = f" ({length_text(facts.nut_flats, unit)} across flats)" if facts.nut_flats is not None else ""
    hole, limit = length_text(finding.value or 0.0, unit), finding.limit
    assert limit is not None
    wide = f"a hole of {hole} is too wide for nut{flats}, head and washer of {facts.bolt}"
    return f"{subject}: {wide}: more than {gap_text(limit.value, unit)}"


def _clocked(flange: Flange, finding: Finding, facts: Clocked, unit: Unit) -> str:
    a, b = flange.group_name(facts.group_a), flange.group_name(facts.group_b)
    match facts.short:
        case Shortage.METAL:
            return f"{a} and {b} leave {_metal_between(finding, unit)}"
        case Shortage.SEAT_A | Shortage.SEAT_B:
            on, over = (a, b) if facts.short is Shortage.SEAT_A else (b, a)
            return f"the nuts of {on} run {gap_text(-(finding.value or 0.0), unit)} over the holes of {over}"
        case _:
            assert_never(facts.short)


def _metal_between(finding: Finding, unit: Unit) -> str:
    """The metal between the holes of two circles and its limit."""
    assert finding.limit is not None
    left = gap_text(finding.value or 0.0, unit)
    return f"{left} of metal between their holes, less than {gap_text(finding.limit.value, unit)}"


def standard_figure(flange: Flange, finding: Finding, facts: AsStandard, unit: Unit) -> str:
    """What is drawn, and in brackets what the row has."""
    published = finding.limit.value if finding.limit else None
    circle = flange.bolt_circles[finding.place.group or 0]
    return difference_words(circle, Difference(facts.figure, finding.value, published), unit)


def _mate_bolts(finding: Finding, facts: MateBolts, unit: Unit) -> str:
    mate = facts.designation
    if facts.unmatched:
        return f"{facts.hole_count} holes do not meet the {facts.mate_count} of its mate {mate}"
    if facts.are_both_tapped:
        return f"{facts.bolt} clamps nothing: this plate and its mate {mate} are both tapped"
    if facts.thread:
        return f"{facts.bolt} does not screw into its mate {mate}, which is tapped {facts.thread}"
    short = f"{facts.bolt} lacks {gap_text(-(finding.value or 0.0), unit)} to go"
    if abs(facts.circle - facts.mate_circle) < 1e-6:
        return f"{short} through this plate and its mate {mate}"
    circles = f"{length_text(facts.circle, unit)} against {length_text(facts.mate_circle, unit)}"
    return f"{short} through this plate and its mate {mate}: bolt circle {circles}"
