"""Findings about metal, recesses and threads, in words without their cures."""

from typing import assert_never

from flangelayout.checks.facts import (
    Edge,
    Metal,
    RecessBreaksOut,
    RecessDepth,
    RecessesMeet,
    ThreadBottom,
    ThreadDepth,
)
from flangelayout.checks.finding import Finding
from flangelayout.checks.joint_facts import Recess
from flangelayout.checks.rule import Rule
from flangelayout.flange import Flange
from flangelayout.units import Unit
from flangelayout.views.words.findings.limits import gap_text
from flangelayout.views.words.findings.places import (
    hole_text,
    length_text,
    more_alike,
    opening_text,
    plate_text,
    subject_text,
)

RECESS_WORDS = {
    Recess.COUNTERBORE: "counterbore",
    Recess.COUNTERSINK: "countersink",
    Recess.SPOTFACE: "spotface",
    Recess.THREAD: "thread",
}
_MetalFacts = RecessDepth | RecessesMeet | RecessBreaksOut | Metal | ThreadDepth | ThreadBottom


def less_than(finding: Finding, unit: Unit) -> str:
    """The value and the limit it falls short of: ``9.33 mm, less than 11.00 mm``."""
    assert finding.limit is not None
    return f"{gap_text(finding.value or 0.0, unit)}, less than {gap_text(finding.limit.value, unit)}"


def metal_fact(flange: Flange, finding: Finding, facts: _MetalFacts, unit: Unit) -> str:
    """About metal that is left."""
    subject = subject_text(flange, finding)
    over = gap_text(-(finding.value or 0.0), unit)
    match facts:
        case RecessDepth():
            return _depth(subject, finding, facts, unit)
        case RecessesMeet(recess):
            one, other = (hole_text(flange, hole) for hole in finding.place.holes)
            return f"the {RECESS_WORDS[recess]}s of {one} and {other} overlap by {over}"
        case RecessBreaksOut(recess, _, edge):
            where = f"into the {opening_text(flange, finding)}"
            if edge is Edge.PLATE:
                where = f"over the edge of the {plate_text(flange, unit)}"
            return f"the {RECESS_WORDS[recess]} of {subject} runs {over} {where}"
        case Metal(count):
            return f"{_metal_place(flange, finding, count)} the metal left is {less_than(finding, unit)}"
        case ThreadDepth(thread):
            return f"{subject}: full thread of {thread} is {less_than(finding, unit)}"
        case ThreadBottom(thread):
            return f"{subject}: {_bottom(finding, thread, unit)}"
        case _:
            assert_never(facts)


def _bottom(finding: Finding, thread: str, unit: Unit) -> str:
    """What a blind thread leaves of the plate, or by how much it leaves none."""
    if (finding.value or 0.0) >= 0.0 or finding.limit is None:
        return f"below the run-out and the drill point of {thread} the metal left is {less_than(finding, unit)}"
    out, wanted = (gap_text(each, unit) for each in (-(finding.value or 0.0), finding.limit.value))
    return f"the drill point of {thread} comes out of the far face by {out}; {wanted} or more is to be left below it"


def _depth(subject: str, finding: Finding, facts: RecessDepth, unit: Unit) -> str:
    what, thick = RECESS_WORDS[facts.recess], length_text(facts.thickness, unit)
    if finding.rule is Rule.RECESS_FLOOR and facts.recess is Recess.COUNTERBORE and (finding.value or 0.0) > 0:
        return f"below the {what} of {subject} the metal left is {less_than(finding, unit)}"
    at_back = " and comes out at its back" if facts.recess is Recess.COUNTERSINK else ""
    return f"the {what} of {subject} is {gap_text(facts.depth, unit)} deep in a plate of {thick}{at_back}"


def _metal_place(flange: Flange, finding: Finding, count: int) -> str:
    """Between which two the metal is; how many others fall short alike."""
    subject = subject_text(flange, finding)
    if finding.rule is not Rule.LIGAMENT:
        edge = "edge of the plate" if finding.rule is Rule.EDGE_METAL else opening_text(flange, finding)
        return f"from {subject}{more_alike(count, 'hole')} to the {edge}"
    more = more_alike(count, "pair")
    if len(finding.place.holes) < 2:
        return f"between neighbors of {subject}{more}"
    one, other = finding.place.holes
    short = f"hole {other.number}" if one.group == other.group >= 0 else hole_text(flange, other)
    return f"between {subject} and {short}{more}"
