"""Findings about what is turned on the faces and about the mates that lie on them, in words without their cures."""

import math
from typing import assert_never

from flangelayout.checks.facts import Heavy, MatePart, MateRoom, SeatByWall
from flangelayout.checks.finding import Finding
from flangelayout.checks.joint_facts import (
    HeadSunk,
    LeftToMachine,
    LengthAssumed,
    MatesMeet,
    ScrewEnd,
    SpigotDepth,
    SpigotInMate,
    ThreadOpens,
    TurnedAgainst,
    TurnedFloor,
    TurnedOnPlate,
    WallCut,
    WorkedFace,
)
from flangelayout.flange import Flange
from flangelayout.flange.turning import PlateFace
from flangelayout.units import Unit, mass_text, size_text
from flangelayout.views.words.findings.bolts import seat_text
from flangelayout.views.words.findings.limits import gap_text
from flangelayout.views.words.findings.metal import RECESS_WORDS, less_than
from flangelayout.views.words.findings.places import length_text, plate_text, subject_text
from flangelayout.views.words.joint.turned import turned_name
from flangelayout.views.words.lengths import Lengths

_TurnedFacts = TurnedOnPlate | TurnedFloor | WallCut | LeftToMachine


def turned_fact(flange: Flange, finding: Finding, facts: _TurnedFacts, unit: Unit) -> str:
    """About a recess, a register, a spigot, a groove or a raised face."""
    over = gap_text(-(finding.value or 0.0), unit)
    match facts:
        case TurnedOnPlate(index, against):
            what = turned_name(flange.turned[index], unit)
            if against is TurnedAgainst.BORE:
                return f"the {what} lies inside the bore of {length_text(flange.bore or 0.0, unit)}"
            return f"the {what} leaves nothing outside of it on the {plate_text(flange, unit)}"
        case TurnedFloor(inner, outer):
            to = "the edge" if math.isinf(outer) else length_text(outer, unit)
            ring = f"from {length_text(inner, unit)} to {to}" if inner else f"inside of {to}"
            left = gap_text(finding.value or 0.0, unit)
            return f"{ring} in diameter what is turned on the two faces leaves {left} of metal"
        case WallCut(index, recess):
            subject = subject_text(flange, finding)
            what = f"the {RECESS_WORDS[recess]} of {subject}" if recess else subject
            return f"{what} runs {over} into the wall of the {turned_name(flange.turned[index], unit)}"
        case LeftToMachine():
            left = "; ".join(turned_name(each, unit) for each in flange.turned)
            return f"cut file: left to machine after cutting: {left}"
        case _:
            assert_never(facts)


_Noticed = Heavy | ThreadOpens | LengthAssumed | ScrewEnd


def noticed_fact(flange: Flange, finding: Finding, facts: _Noticed, unit: Unit) -> str:
    """What is to be noticed of a plate that is lifted and bolted up."""
    match facts:
        case Heavy():
            return _heavy(facts, unit)
        case ThreadOpens():
            return _opening(flange, finding, facts)
        case LengthAssumed():
            return f"{subject_text(flange, finding)}: {_assumed(facts, unit)}"
        case ScrewEnd(name, length, comes_out):
            over = gap_text(-(finding.value or 0.0), unit)
            end = "comes {over} out of the far face" if comes_out else "meets the bottom of its thread by {over}"
            screw = f"the shortest {name} screw that engages, {length_text(length, unit)} long"
            return f"{subject_text(flange, finding)}: {screw}, {end.format(over=over)}"
        case _:
            assert_never(facts)


def _assumed(facts: LengthAssumed, unit: Unit) -> str:
    """That the thickness of a mate is only assumed, and how thin it may be before the screw no longer ends in metal."""
    ordered = f"{facts.name}{Lengths(facts.unit).by}{size_text(facts.length, facts.unit)}"
    told = f"{ordered} is right for a mate as thick as this plate, {length_text(facts.thickness, unit)}"
    if facts.least is None:
        return f"{told}: measure the mate"
    return f"{told}, too long for one thinner than {length_text(facts.least, unit)}: measure the mate"


def _heavy(facts: Heavy, unit: Unit) -> str:
    """That a plate is heavier than the shop lifts by hand, or than is usual where it does not say."""
    mass, limit = mass_text(facts.mass, unit), mass_text(facts.limit, unit)
    by = "" if facts.has_lifting_holes else "; no hole of it is given as a lifting hole"
    who = "that this shop lifts by hand" if facts.is_stated else "that one person lifts (common practice; local rules)"
    each = "" if facts.pieces == 1 else f"each of the {facts.pieces} parts "
    return f"{each}{mass}, more than the {limit} {who}{by}: a competent person chooses how it is lifted"


def _opening(flange: Flange, finding: Finding, facts: ThreadOpens) -> str:
    """That threads lead out of what another mate seals."""
    opens = (
        f"{facts.thread} goes right through and opens on {_FACE_WORDS[facts.face]} inside the bolts of {facts.called}"
    )
    return f"{subject_text(flange, finding)}: {opens}: what is sealed there leaks along it; make it blind or seal it"


_MateFacts = MateRoom | SeatByWall | SpigotDepth | SpigotInMate | MatesMeet | HeadSunk | WorkedFace
_FACE_WORDS = {PlateFace.FACE: "the named face", PlateFace.BACK: "the back"}


def mate_fact(flange: Flange, finding: Finding, facts: _MateFacts, unit: Unit) -> str:  # noqa: PLR0911 - a line for each
    """About a mate that lies on a face of the plate."""
    over, subject = gap_text(-(finding.value or 0.0), unit), subject_text(flange, finding)
    match facts:
        case MateRoom(called, part, size, seat):
            at = f"{'edge' if part is MatePart.EDGE else 'hub'} of {length_text(size, unit)}"
            return f"{subject}: on {called} the {seat_text(seat, unit)}, runs {over} over its {at}"
        case SeatByWall(seat, diameter):
            wall = f"wall of {length_text(diameter, unit)} on the face it bears on"
            return f"{subject}: the {seat_text(seat, unit)}, runs {over} over the {wall}"
        case SpigotDepth(called):
            return f"below {called} the plate is open for its spigot by {less_than(finding, unit)}"
        case SpigotInMate(called, index, bore):
            what = turned_name(flange.turned[index], unit)
            return f"the {what} is {over} wider than the bore of {called}, {length_text(bore, unit)}"
        case MatesMeet(one, other):
            return f"the spigots of {one} and {other} overlap by {over} inside the plate"
        case HeadSunk(called, bolt):
            head = f"the head of {bolt} under {called}"
            return f"{subject}: {head} has a counterbore of {less_than(finding, unit)}"
        case WorkedFace(recess, face, called, mate_face):
            made = f"the {RECESS_WORDS[recess]} is worked from {_FACE_WORDS[face]}"
            return f"{subject}: {made}, and {called} lies on {_FACE_WORDS[mate_face]}"
        case _:
            assert_never(facts)
