"""What a check that failed, or a thing to notice, says: one sentence without its cure for each class of facts."""

import unicodedata
from typing import assert_never

from flangelayout.checks.cut_facts import (
    BoreThere,
    CornersRounded,
    CutHoles,
    DrillDepth,
    KerfInGap,
    KerfTaken,
    LeadsDrawn,
    LeadsLeftOff,
    Overcut,
    PaperCannotHold,
    ProgramLeftOut,
    Signs,
    TabsLeft,
)
from flangelayout.checks.facts import (
    AsStandard,
    BlockLineIdle,
    BlockLineMissing,
    BoltHole,
    BoltName,
    BoltsApart,
    BoreInPlate,
    CircleOnPlate,
    Clocked,
    FaceEdgeCut,
    FaceOnPlate,
    FitsOtherUnit,
    FractionOfMm,
    Heavy,
    HoleByOpening,
    HoleCover,
    HoleOnPlate,
    HolesOfCircle,
    MateBolts,
    MateRim,
    MateRoom,
    MateSpigot,
    Metal,
    OpeningOnPlate,
    OpeningsMeet,
    PickedAmong,
    Placed,
    ReadAgain,
    ReadingsFixNothing,
    RecessBreaksOut,
    RecessDepth,
    RecessesMeet,
    RowNote,
    SeatByWall,
    SeatRoom,
    ThreadBottom,
    ThreadDepth,
    Turning,
    TwoHoles,
    UsualSize,
)
from flangelayout.checks.finding import Finding
from flangelayout.checks.joint_facts import (
    DerivedFrom,
    HeadSunk,
    LeftToMachine,
    LengthAssumed,
    MatesMeet,
    ScrewEnd,
    SpigotDepth,
    SpigotInMate,
    ThreadOpens,
    TurnedFloor,
    TurnedOnPlate,
    WallCut,
    WorkedFace,
)
from flangelayout.checks.rule import Rule
from flangelayout.flange import Dowel, Flange
from flangelayout.units import Unit, size_text
from flangelayout.views.words.findings import bolts, cutting, joint, layout, metal
from flangelayout.views.words.findings.places import hole_text, length_text, opening_text, subject_text
from flangelayout.views.words.parts.derived import derived_text


def fact_text(flange: Flange, finding: Finding, unit: Unit) -> str:  # noqa: C901, PLR0911, PLR0912 - a line for each
    """What was found, in one sentence without its cure."""
    facts = finding.facts
    match facts:
        case BoreInPlate() | FaceOnPlate() | CircleOnPlate() | OpeningOnPlate() | OpeningsMeet() | UsualSize():
            return layout.plate_fact(flange, finding, facts, unit)
        case FractionOfMm() | FitsOtherUnit() | BlockLineIdle() | BlockLineMissing():
            return layout.number_fact(facts, unit)
        case HolesOfCircle() | TwoHoles() | HoleOnPlate() | HoleByOpening() | FaceEdgeCut():
            return layout.hole_fact(flange, finding, facts, unit)
        case Heavy() | ThreadOpens() | LengthAssumed() | ScrewEnd():
            return joint.noticed_fact(flange, finding, facts, unit)
        case MateRoom() | SeatByWall() | SpigotDepth() | SpigotInMate() | MatesMeet() | HeadSunk() | WorkedFace():
            return joint.mate_fact(flange, finding, facts, unit)
        case TurnedOnPlate() | TurnedFloor() | WallCut() | LeftToMachine():
            return joint.turned_fact(flange, finding, facts, unit)
        case RecessDepth() | RecessesMeet() | RecessBreaksOut() | Metal() | ThreadDepth() | ThreadBottom():
            return metal.metal_fact(flange, finding, facts, unit)
        case SeatRoom() | Turning() | BoltsApart() | BoltName() | BoltHole() | HoleCover():
            return bolts.bolt_fact(flange, finding, facts, unit)
        case Clocked() | AsStandard() | RowNote() | MateBolts() | MateRim() | MateSpigot():
            return bolts.mate_fact(flange, finding, facts, unit)
        case PickedAmong() | ReadAgain() | ReadingsFixNothing():
            return bolts.reading_fact(flange, finding, facts, unit)
        case (
            KerfTaken()
            | KerfInGap()
            | CornersRounded()
            | LeadsDrawn()
            | LeadsLeftOff()
            | Overcut()
            | TabsLeft()
            | PaperCannotHold()
            | ProgramLeftOut()
        ):
            return cutting.cut_fact(facts, finding, unit)
        case Placed() | Signs() | CutHoles() | BoreThere() | DrillDepth():
            return _output_fact(flange, finding, facts, unit)
        case DerivedFrom(parent):
            return derived_text(parent)
        case None:
            return ""
        case _:
            assert_never(facts)


def _output_fact(
    flange: Flange,
    finding: Finding,
    facts: Placed | Signs | CutHoles | BoreThere | DrillDepth,
    unit: Unit,
) -> str:
    """About what is printed, cut and drilled."""
    match facts:
        case Placed():
            return f"{subject_text(flange, finding)}: {layout.placement_sentence(flange, finding.place.group or 0)}"
        case Signs():
            return _signs(finding, facts)
        case CutHoles():
            return _cut_holes(flange, finding, facts, unit)
        case BoreThere(diameter):
            return f"cut file: the bore of {length_text(diameter, unit)} is there already and not cut; set up by it"
        case DrillDepth(thickness):
            depth = length_text(finding.value or 0.0, unit)
            return f"the drilling program goes {depth} deep in a plate of {length_text(thickness, unit)}"
        case _:
            assert_never(facts)


def _signs(finding: Finding, facts: Signs) -> str:
    if finding.rule is Rule.MARK_LETTERS:
        return f'there are no single-stroke letters for "{facts.characters}"; a box is marked in its place'
    shown = ", ".join(_named(character) for character in facts.characters[:5])
    more = f" and {len(facts.characters) - 5} more" if len(facts.characters) > 5 else ""
    return (
        f"the drawing's font has no sign for {shown}{more}; an empty box is printed in its place, "
        "and the text itself stays in the files"
    )


def _named(character: str) -> str:
    name = unicodedata.name(character, "unnamed")
    return f"U+{ord(character):04X} ({name.lower()})"


def _drilled(flange: Flange, finding: Finding) -> str:
    """What is left to do to holes that are marked: a dowel's hole is reamed to its size, not drilled to it."""
    place = finding.place
    groups = flange.single_holes if place.holes else flange.groups()
    numbers = [hole.number - 1 for hole in place.holes] or [place.group or 0]
    are_dowels = [isinstance(groups[number].drilling.kind, Dowel) for number in numbers]
    return "drill and ream" if all(are_dowels) else "drill, or ream," if any(are_dowels) else "drill"


def _cut_size(facts: CutHoles, less: float, unit: Unit) -> str:
    """The size of holes made smaller by so much in mm: ``22 mm``, of a slot ``14 × 34 mm``."""
    width = facts.diameter - less
    if facts.slot_length is None:
        return length_text(width, unit)
    return f"{size_text(width, unit)} × {length_text(facts.slot_length - less, unit)}"


def _cut_holes(flange: Flange, finding: Finding, facts: CutHoles, unit: Unit) -> str:
    of_holes = ", ".join(hole_text(flange, hole) for hole in finding.place.holes)
    named = of_holes or opening_text(flange, finding) or subject_text(flange, finding)
    is_one = facts.count == 1
    slot = "" if facts.slot_length is None else "slot "
    what = f"{named}: {'' if is_one else f'{facts.count} × '}{slot}{_cut_size(facts, 0.0, unit)}"
    if facts.undersize is not None:
        made = "mill" if slot else "drill"
        return f"{what} cut undersize at {_cut_size(facts, facts.undersize, unit)}; {made} to size"
    if finding.rule is Rule.CUT_LEFT:
        theirs = "theirs is the template of the back" + ("" if flange.shown_holes() else ", the only one")
        return f"{what}, blind from the back, neither cut nor marked on this face; {theirs}"
    if finding.limit is None:
        marked, them = ("center marked", "it") if is_one else ("centers marked", "them")
        if slot:
            return f"{what} not cut, {marked} at both ends; mill {them}"
        return f"{what} not cut, {marked}; {_drilled(flange, finding)} {them}"
    process = facts.process.value if facts.process else "the process"
    return f"{what} is smaller than {process} cuts well, {length_text(finding.limit.value, unit)}"
