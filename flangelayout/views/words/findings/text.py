"""What the checks say, in words: failed ones with their cure, passed ones with value and limit, the rest with why."""

from collections.abc import Callable, Iterable
from typing import assert_never

from flangelayout.checks.facts import (
    AsStandard,
    BlockLineIdle,
    Clocked,
    MateBolts,
    MateRim,
    MateSpigot,
    ReadAgain,
    Shortage,
    Turning,
    UsualSize,
)
from flangelayout.checks.finding import Bound, Finding, Reason, Remedy, Result, tally
from flangelayout.checks.joint_facts import LengthAssumed, TurnedAgainst, TurnedOnPlate, WallCut
from flangelayout.checks.limits import Ground
from flangelayout.checks.rule import Rule
from flangelayout.flange import Flange
from flangelayout.flange.origin import Figure
from flangelayout.units import Unit, angle_text, counted
from flangelayout.views.words.findings.bolts import standard_figure
from flangelayout.views.words.findings.cures import CURES, REASONS
from flangelayout.views.words.findings.facts import fact_text
from flangelayout.views.words.findings.limits import gap_text, limit_text, source_text, standing_text
from flangelayout.views.words.findings.places import opening_text, subject_text
from flangelayout.views.words.findings.titles import SIZED, TITLES
from flangelayout.views.words.joint.turned import turned_name


def reason_text(reason: Reason) -> str:
    """Why a check was not run, in words that name no key of a job file."""
    return REASONS[reason]


def finding_text(flange: Flange, finding: Finding, unit: Unit, why: Callable[[Reason], str] = reason_text) -> str:
    """One finding in one sentence without a full stop.

    Args:
        flange: What was checked.
        finding: What came of it.
        unit: Unit of the numbers.
        why: Words for why a check was not run.
    """
    match finding.result:
        case Result.FAILED:
            fact, cure = fact_text(flange, finding, unit), cure_text(flange, finding, unit)
            return f"{fact}{_cited(finding)}" + (f"; {cure}" if cure else "")
        case Result.NOTED:
            return fact_text(flange, finding, unit)
        case Result.PASSED | Result.NOT_RUN:
            return _told(flange, finding, unit, why)
        case _:
            assert_never(finding.result)


def _cited(finding: Finding) -> str:
    """Who sets the limit of a check that failed, in brackets; plain geometry needs nobody."""
    limit = finding.limit
    if limit is None or limit.source is Ground.GEOMETRY or isinstance(finding.facts, _NAMES_ITS_SOURCE):
        return ""
    return f" ({standing_text(limit)})"


_NAMES_ITS_SOURCE = (AsStandard, MateBolts, MateRim, MateSpigot)
"""Facts whose sentence names the row that the limit is from."""


def without_standards(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings but those of single figures against a standard, where all of them are told together."""
    return tuple(finding for finding in findings if finding.rule is not Rule.AS_STANDARD)


def for_a_sheet(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings but those that a sheet tells in lines of its own: standards, what is machined, assumed mates.

    Nor that of a program that is not written: it is told where one was asked for, and no part is made by it.
    """
    told = (finding for finding in without_standards(findings) if finding.rule is not Rule.DRILL_PROGRAM)
    return tuple(finding for finding in told if not _has_own_line(finding))


def _has_own_line(finding: Finding) -> bool:
    """Whether a sheet says it elsewhere; the note of a bolt's length tells what is assumed, not when a screw ends."""
    facts = finding.facts
    is_told = isinstance(facts, BlockLineIdle) or finding.rule in (Rule.CUT_MACHINED, Rule.CUT_BORE_THERE)
    return is_told or (isinstance(facts, LengthAssumed) and facts.least is None)


def tally_text(findings: Iterable[Finding], why: Callable[[Reason], str] = reason_text) -> str:
    """How many checks there were and how they came out: ``12 checks: 9 passed, 1 failed, 2 not run (...)``."""
    found = tuple(findings)
    reasons = dict.fromkeys(why(each.reason) for each in found if each.reason is not None)
    return count_text(found) + (f" ({'; '.join(reasons)})" if reasons else "")


def count_text(findings: Iterable[Finding]) -> str:
    """How many checks there were and how they came out, without the reasons of those that were not run."""
    count = tally(tuple(findings))
    told = f"{counted(count.checks, 'check')}: {count.passed} passed, {count.failed} failed"
    return told + (f", {count.not_run} not run" if count.not_run else "")


def cure_text(flange: Flange, finding: Finding, unit: Unit) -> str:
    """What would put it right; empty where nothing has to be."""
    if finding.cure is None:
        return ""
    if isinstance(finding.facts, Clocked):
        return _clocking_cure(flange, finding.facts, finding.cure, unit)
    return CURES[finding.cure].replace("{opening}", opening_text(flange, finding))


def source_of(finding: Finding) -> str:
    """Who sets the limit, as it is cited; empty where there is none."""
    return "" if finding.limit is None else standing_text(finding.limit)


def turn_text(flange: Flange, facts: Clocked, unit: Unit) -> str:
    """The best turn of a second circle: what it is and what it leaves."""
    left = f"{angle_text(facts.best_angle)} from hole to hole and {gap_text(facts.best_metal, unit)} of metal left"
    if facts.best_turn == 0.0:
        return f"as drawn, {left}"
    turned = f"turn {flange.group_name(facts.group_b)} by {angle_text(facts.best_turn)}"
    return f"{turned} to a start angle of {angle_text(facts.start_angle)}: {left}"


def hopeless_text(flange: Flange, facts: Clocked, unit: Unit) -> str:
    """Why no turn of a second circle works; empty where one does."""
    a, b = flange.group_name(facts.group_a), flange.group_name(facts.group_b)
    match facts.hopeless:
        case None:
            return ""
        case Shortage.METAL:
            left = f"{gap_text(facts.hopeless_value, unit)} of metal between the holes of {a} and {b}"
            return f"no turn leaves more than {left}, less than {limit_text(facts.limit, unit)}"
        case Shortage.SEAT_A | Shortage.SEAT_B:
            on, over = (a, b) if facts.hopeless is Shortage.SEAT_A else (b, a)
            left = gap_text(-facts.hopeless_value, unit)
            return f"at every turn the nuts of {on} run {left} or more over the holes of {over}"
        case _:
            assert_never(facts.hopeless)


def _clocking_cure(flange: Flange, facts: Clocked, cure: Remedy, unit: Unit) -> str:
    """Said behind what failed, which names the circles and the limit."""
    if facts.hopeless is Shortage.METAL:
        return f"no turn leaves more than {gap_text(facts.hopeless_value, unit)}: {CURES[cure]}"
    why = hopeless_text(flange, facts, unit)
    return f"{why}: {CURES[cure]}" if why else turn_text(flange, facts, unit)


def check_words(flange: Flange, finding: Finding, unit: Unit) -> str:
    """Where a check looked and at what, without its figures; ``unit`` is that of a size that a thing is named by."""
    subject, title = subject_text(flange, finding), TITLES[finding.rule]
    edge, wall = "edge or bore", "part that is turned"
    if isinstance(finding.facts, TurnedOnPlate):
        subject = turned_name(flange.turned[finding.facts.turned], unit)
        edge = _BESIDE_TURNED[finding.facts.against]
    if isinstance(finding.facts, WallCut):
        wall = turned_name(flange.turned[finding.facts.turned], unit)
    title = title.format(edge=edge, turned=wall)
    if isinstance(finding.facts, UsualSize):
        title = f"{title} {SIZED[finding.facts.what]}"
    if isinstance(finding.facts, Turning):
        title = f"{title} from bolt to {finding.facts.to.value}"
    opening = opening_text(flange, finding)
    what = f"{title} ({opening})" if opening and finding.rule in _BESIDE_OPENINGS else title
    return f"{subject}: {what}" if subject else what


def check_figures(flange: Flange, finding: Finding, unit: Unit) -> tuple[str, str]:
    """What a check found and what it is held against, each as a list shows it; without a number, whether it is so."""
    value, limit = finding.value, finding.limit
    if isinstance(finding.facts, AsStandard):
        found = standard_figure(flange, finding, finding.facts, unit) if finding.failed or finding.facts.meant else ""
        return found or _figure_as(finding, finding.facts, unit), finding.facts.designation
    if limit is None:
        return "no" if finding.failed else "yes", ""
    if value is None:
        return "no" if finding.failed else "clear", f"{_bound(finding.bound)} {gap_text(limit.value, unit)}"
    if isinstance(finding.facts, ReadAgain):
        return gap_text(value, unit), f"{gap_text(limit.value, unit)} ± {gap_text(finding.facts.band, unit)}"
    return gap_text(value, unit), f"{_bound(finding.bound)} {gap_text(limit.value, unit)}"


def _told(flange: Flange, finding: Finding, unit: Unit, why: Callable[[Reason], str]) -> str:
    """A check that passed or was not run: where, what, value, limit or why not."""
    lead = check_words(flange, finding, unit)
    if finding.reason is not None:
        return f"{lead}: {why(finding.reason)}"
    return f"{lead}{_figure(flange, finding, unit)}"


_BESIDE_TURNED = {TurnedAgainst.EDGE: "edge of the plate", TurnedAgainst.BORE: "bore"}
_BESIDE_OPENINGS = (Rule.HOLE_CLEAR_OF_BORE, Rule.BORE_METAL, Rule.SEAT_CLEAR_OF_BORE, Rule.OPENING_INSIDE_PLATE)


def _figure(flange: Flange, finding: Finding, unit: Unit) -> str:
    """Value and limit of a check that passed."""
    limit = finding.limit
    if isinstance(finding.facts, AsStandard):
        return f": {_as_standard(flange, finding, finding.facts, unit)}"
    if isinstance(finding.facts, ReadAgain) and limit is not None:
        said = f"{gap_text(limit.value, unit)} ± {gap_text(finding.facts.band, unit)}"
        return f" {gap_text(finding.value or 0.0, unit)}, within {said}"
    if finding.value is None or limit is None:
        return "" if limit is None else f": clear ({source_text(limit.source)})"
    return f" {gap_text(finding.value, unit)}, {_bound(finding.bound)} {limit_text(limit, unit)}"


def _as_standard(flange: Flange, finding: Finding, facts: AsStandard, unit: Unit) -> str:
    """A figure as the row has it, or as it is meant to differ."""
    if facts.meant:
        return f"{standard_figure(flange, finding, facts, unit)}, meant to differ from {facts.designation}"
    return f"{_figure_as(finding, facts, unit)}, as {facts.designation}"


def _figure_as(finding: Finding, facts: AsStandard, unit: Unit) -> str:
    """A figure that is held against a row."""
    value = finding.value or 0.0
    match facts.figure:
        case Figure.HOLE_COUNT:
            return f"{value:g} holes"
        case Figure.CIRCLE:
            return f"bolt circle {gap_text(value, unit)}"
        case Figure.HOLE:
            return f"holes of {gap_text(value, unit)}"
        case Figure.THREAD:
            return f"threads of {gap_text(value, unit)}"
        case Figure.SPACING | Figure.KIND | Figure.SKIPPED:
            return "spacing"
        case _:
            assert_never(facts.figure)


def _bound(bound: Bound) -> str:
    match bound:
        case Bound.AT_LEAST:
            return "at least"
        case Bound.MORE_THAN:
            return "more than"
        case Bound.AT_MOST:
            return "at most"
        case Bound.EQUAL:
            return "equal to"
        case _:
            assert_never(bound)
