"""What is said of a cut file before it runs: kerf, corners, leads."""

from typing import assert_never

from flangelayout.checks.cut_facts import (
    CornersRounded,
    KerfInGap,
    KerfTaken,
    LeadsDrawn,
    LeadsLeftOff,
    Overcut,
    PaperCannotHold,
    ProgramLeftOut,
    TabsLeft,
)
from flangelayout.checks.finding import Finding
from flangelayout.flange.cutting import NoProgram
from flangelayout.geometry.lead import NoLead
from flangelayout.units import Unit, counted, decimal_text, size_text
from flangelayout.views.words.findings.places import length_text

_MOST_NAMED = 5
"""Cuts without a lead that are named one by one."""

_WHY = {NoLead.NO_ROOM: "no room in the scrap", NoLead.OTHER_CUT: "another cut is too near"}


_OfKerf = KerfTaken | KerfInGap | CornersRounded
_OfWays = LeadsDrawn | LeadsLeftOff | Overcut | TabsLeft


def cut_fact(facts: _OfKerf | _OfWays | PaperCannotHold | ProgramLeftOut, finding: Finding, unit: Unit) -> str:
    """One sentence about the paths of a cut file."""
    match facts:
        case KerfTaken() | KerfInGap() | CornersRounded():
            return _of_kerf(facts, finding, unit)
        case LeadsDrawn() | LeadsLeftOff() | Overcut() | TabsLeft():
            return _of_ways(facts, unit)
        case PaperCannotHold():
            return _of_paper(facts, unit)
        case ProgramLeftOut(why, drills):
            return f"no drilling program is written: {_no_program(why, drills, unit)}"
        case _:
            assert_never(facts)


def _of_kerf(facts: _OfKerf, finding: Finding, unit: Unit) -> str:
    match facts:
        case KerfTaken(kerf):
            return (
                f"cut file: a kerf of {length_text(kerf, unit)} is taken up, {length_text(kerf / 2, unit)} outward on "
                "the outline and inward on holes; switch kerf compensation off at the controller"
            )
        case KerfInGap(kerf):
            gap = length_text(finding.limit.value if finding.limit else 0.0, unit)
            return f"a kerf of {length_text(kerf, unit)} is wider than the gap of {gap} between the parts"
        case CornersRounded(of, count, radius, short):
            corners, off = counted(count, "corner"), f"{decimal_text(short, unit)} {unit.value}"
            return (
                f"cut file: {corners} of {of} cut with a radius of {length_text(radius, unit)}, half the kerf, "
                f"up to {off} short of what is drawn; finish by hand where something has to fit in"
            )
        case _:
            assert_never(facts)


def _of_ways(facts: _OfWays, unit: Unit) -> str:
    match facts:
        case LeadsDrawn():
            return _leads(facts, unit)
        case LeadsLeftOff(cuts, why):
            more = f" and {len(cuts) - _MOST_NAMED} more" if len(cuts) > _MOST_NAMED else ""
            return (
                f"cut file: no lead-in at {', '.join(cuts[:_MOST_NAMED])}{more} ({_WHY[why]}): the pierce stands on "
                "the cut; ask for a shorter one, or drill a start hole"
            )
        case Overcut(length):
            on = length_text(length, unit)
            return f"cut file: each cut runs {on} on over its beginning; switch overcut off at the controller"
        case TabsLeft(count, width, with_kerf):
            kerf = "" if with_kerf else ", less the kerf, which the file does not know"
            return f"cut file: {counted(count, 'tab')} of {length_text(width, unit)}{kerf}; break them, dress the edge"
        case _:
            assert_never(facts)


def _of_paper(facts: PaperCannotHold, unit: Unit) -> str:
    """Why joined paper does not serve, and what does."""
    sheets = f"sheets of {facts.paper} joined at {counted(facts.joints, 'seam')}"
    error, tolerance = (f"±{decimal_text(each, unit)} {unit.value}" for each in (facts.error, facts.tolerance))
    kinds = [word for word, there in (("a sector", facts.sector), ("strips", facts.strips)) if there]
    printed = f"print {' or '.join(kinds)}, " if kinds else ""
    return (
        f"template: {sheets} across {length_text(facts.size, unit)} hold {error} at best, not the "
        f"{tolerance} that is allowed; {printed}step the chords on the plate, or set the holes on a machine"
    )


def _no_program(why: NoProgram, drills: tuple[float, ...], unit: Unit) -> str:
    match why:
        case NoProgram.FEED_AND_SPEED:
            return "its feed and speed are not stated; a machine would run with those of the program before"
        case NoProgram.SEVERAL_DRILLS:
            sizes = ", ".join(size_text(each, unit) for each in drills)
            return (
                f"it needs drills of {sizes} {unit.value}, and one feed and speed serves one only; drill by the readout"
            )
        case NoProgram.TOO_DEEP:
            return "the depth stated is far beyond the plate"
        case NoProgram.NOTHING:
            return "no hole goes straight through to be drilled"
        case _:
            assert_never(why)


def _leads(facts: LeadsDrawn, unit: Unit) -> str:
    if facts.arc_length is None:
        leads, size, long = "s", "", ""
    else:
        leads, size, long = " arcs", "radius ", f" (up to {length_text(facts.arc_length, unit)} long)"
    shorter = " at most, shorter where there is less room" if facts.some_shorter else ""
    out = f", lead-out{leads} of {size}{length_text(facts.lead_out, unit)} at most" if facts.lead_out > 0 else ""
    into = f"lead-in{leads} of {size}{length_text(facts.lead_in, unit)}{shorter}{long}"
    return f"cut file: {into}{out} with pierces in the scrap are drawn; switch lead-ins off at the controller"
