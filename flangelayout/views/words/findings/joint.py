"""Findings about what is turned on the faces and about the mates that lie on them, in words without their cures."""

import math
from typing import assert_never

from flangelayout.checks.finding import Finding
from flangelayout.checks.joint_facts import LeftToMachine, TurnedAgainst, TurnedFloor, TurnedOnPlate, WallCut
from flangelayout.flange import Flange
from flangelayout.units import Unit
from flangelayout.views.words.findings.limits import gap_text
from flangelayout.views.words.findings.metal import RECESS_WORDS
from flangelayout.views.words.findings.places import length_text, plate_text, subject_text
from flangelayout.views.words.turned import turned_name

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
