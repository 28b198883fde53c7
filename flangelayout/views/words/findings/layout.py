"""Findings about the plate, its openings and where its holes lie, in words without their cures."""

from typing import assert_never

from flangelayout.checks.facts import (
    BlockLineIdle,
    BlockLineMissing,
    BoreInPlate,
    CircleOnPlate,
    FaceAgainst,
    FaceEdgeCut,
    FaceOnPlate,
    FitsOtherUnit,
    FractionOfMm,
    HoleByOpening,
    HoleOnPlate,
    HolesOfCircle,
    OpeningOnPlate,
    OpeningsMeet,
    Sized,
    TwoHoles,
    UsualSize,
)
from flangelayout.checks.finding import Bound, Finding
from flangelayout.flange import Centerline, Flange, Placement, RoundOutline
from flangelayout.flange.claims import may_be_pipe_flange
from flangelayout.flange.joints import mates_by_group
from flangelayout.flange.turning import PlateFace
from flangelayout.units import Rounding, Unit, size_text
from flangelayout.views.words.call_outs import face_word
from flangelayout.views.words.findings.limits import gap_text
from flangelayout.views.words.findings.metal import RECESS_WORDS
from flangelayout.views.words.findings.places import (
    hole_text,
    length_text,
    opening_text,
    plate_text,
    subject_text,
)

_PlateFacts = BoreInPlate | FaceOnPlate | CircleOnPlate | OpeningOnPlate | OpeningsMeet | UsualSize
_HoleFacts = HolesOfCircle | TwoHoles | HoleOnPlate | HoleByOpening | FaceEdgeCut
_FEWEST_OF_PIPE = 4
"""Bolts of a pipe flange; an oval of two is no such flange (EN 1092-1 and ASME B16.5 begin with four)."""
_WAYS = {True: "counter-clockwise", False: "clockwise"}


def plate_fact(flange: Flange, finding: Finding, facts: _PlateFacts, unit: Unit) -> str:
    """About the plate itself."""
    match facts:
        case BoreInPlate():
            bore = length_text(flange.bore or 0.0, unit)
            return f"a bore of {bore} leaves nothing of a plate of {_outside(flange, unit)}"
        case FaceOnPlate():
            return _face(flange, finding, facts, unit)
        case CircleOnPlate():
            circle = flange.bolt_circles[finding.place.group or 0]
            size = length_text(circle.diameter, unit)
            return f"a bolt circle of {size} lies outside the plate of {_outside(flange, unit)}"
        case OpeningOnPlate():
            over = gap_text(-(finding.value or 0.0), unit)
            return f"the {opening_text(flange, finding)} runs {over} over the edge of the {plate_text(flange, unit)}"
        case OpeningsMeet(other):
            return f"the {opening_text(flange, finding)} and the {flange.cutouts()[other].name} run into each other"
        case UsualSize(what):
            return _unusual(flange, finding, what, unit)
        case _:
            assert_never(facts)


def number_fact(facts: FractionOfMm | FitsOtherUnit | BlockLineIdle | BlockLineMissing, unit: Unit) -> str:
    """About the unit of a number, or the decimals that a shop's own block of tolerances goes by."""
    match facts:
        case FractionOfMm(written):
            return f'"{written}" is a fraction of a millimeter in a job in mm; write "{written} in" if inches are meant'
        case FitsOtherUnit(count, diameter, other, designation):
            here, there = (f"{size_text(diameter, unit)} {each.value}" for each in (unit, other))
            return f"no table has {count} holes on or near {here}, and {designation} has them on {there}"
        case BlockLineIdle(places):
            line = f".{'X' * places}"
            return f'no size is held to the line {line} of the block; write one as text, such as "11.{"0" * places}"'
        case BlockLineMissing(sizes):
            bare = (Rounding(Unit.IN, places, leading_zero=False).text(length) for length, places in sizes)
            return f"the block of tolerances has no line for sizes written as {', '.join(bare)}"
        case _:
            assert_never(facts)


def _outside(flange: Flange, unit: Unit) -> str:
    outline = flange.outline
    return length_text(outline.outside_diameter, unit) if isinstance(outline, RoundOutline) else ""


def _face(flange: Flange, finding: Finding, facts: FaceOnPlate, unit: Unit) -> str:
    face = f"a raised face of {length_text(facts.diameter, unit)}"
    match facts.against:
        case FaceAgainst.OUTSIDE:
            return f"{face} is wider than the plate of {_outside(flange, unit)}"
        case FaceAgainst.BORE:
            return f"{face} lies inside the bore of {length_text(flange.bore or 0.0, unit)}"
        case FaceAgainst.EDGE:
            over = gap_text(-(finding.value or 0.0), unit)
            return f"{face} runs {over} over the edge of the {plate_text(flange, unit)}"
        case _:
            assert_never(facts.against)


def _unusual(flange: Flange, finding: Finding, what: Sized, unit: Unit) -> str:
    match what:
        case Sized.PLATE:
            named = "the plate is"
        case Sized.THICKNESS:
            named = "the plate is as thick as"
        case Sized.HOLE:
            named = f"{subject_text(flange, finding)}: the holes are"
        case _:
            assert_never(what)
    value, limit = finding.value or 0.0, finding.limit
    assert limit is not None
    stands = "less than" if finding.bound is Bound.AT_LEAST else "more than"
    other = Unit.IN if unit is Unit.MM else Unit.MM
    return f"{named} {gap_text(value, unit)} ({gap_text(value, other)}), {stands} {gap_text(limit.value, unit)}"


def hole_fact(flange: Flange, finding: Finding, facts: _HoleFacts, unit: Unit) -> str:
    """About where holes lie."""
    over = gap_text(-(finding.value or 0.0), unit)
    subject = subject_text(flange, finding)
    match facts:
        case HolesOfCircle(count, hole, circle, chord):
            return (
                f"{count} holes of {length_text(hole, unit)} on a {length_text(circle, unit)} "
                f"bolt circle overlap by {over} (chord {gap_text(chord, unit)})"
            )
        case TwoHoles(one, other, apart):
            first, second = (hole_text(flange, hole) for hole in finding.place.holes)
            return (
                f"{second} ({length_text(other, unit)}) and {first} ({length_text(one, unit)}) "
                f"overlap by {over} (centers {gap_text(apart, unit)} apart)"
            )
        case HoleOnPlate(diameter):
            plate = plate_text(flange, unit)
            return f"{subject} of {length_text(diameter, unit)} runs {over} over the edge of the {plate}"
        case HoleByOpening(diameter, bore):
            size = f" of {length_text(bore, unit)}" if bore is not None else ""
            opening = opening_text(flange, finding)
            return f"{subject} of {length_text(diameter, unit)} runs {over} into the {opening}{size}"
        case FaceEdgeCut(face, recess):
            what = f"the {RECESS_WORDS[recess]} of {subject}" if recess else subject
            return f"{what} runs {over} over the edge of the raised face of {length_text(face, unit)}"
        case _:
            assert_never(facts)


def placement_sentence(flange: Flange, group: int) -> str:
    """What the placement of an equally spaced circle, an index in the flange, asks one to notice."""
    circle = flange.bolt_circles[group]
    count = circle.hole_count
    vertical = circle.centerline is Centerline.VERTICAL
    named, other, end = ("vertical", "horizontal", "top") if vertical else ("horizontal", "vertical", "right")
    if circle.start_angle:
        rest = "a hole on" if circle.placement is Placement.ON_CENTERLINE else "straddling"
        way = _WAYS[circle.start_angle > 0]
        turned = f"turned {abs(circle.start_angle):g}° {way} from {rest} the {named} centerline"
        return f"the pattern is {turned}; {_mate_turned(flange, group)}"
    if circle.placement is Placement.ON_CENTERLINE:
        lies = f"hole 1 lies on the {named} centerline ({end} end)"
        if count >= _FEWEST_OF_PIPE and may_be_pipe_flange(flange.groups()):
            return f"{lies}; pipe flanges usually straddle it: see how the mate stands"
        return f"{lies}; see that the mate's holes do so, too"
    if count % 2:
        return f"{count} holes straddle the {named} centerline at its {end} end only; at the other a hole lies on it"
    return f"{count} holes straddle the {named} centerline and lie on the {other} one"


def _mate_turned(flange: Flange, group: int) -> str:
    """Which way the mate of a turned circle is turned.

    The joint face of a part behind the plate looks the same way as the face drawn; that of one on it looks back.
    """
    mate = mates_by_group(flange.mates).get(group)
    if mate is None or not mate.is_face_said:
        return "so is the mate's seen from this side, from behind the other way"
    ahead = flange.bolt_circles[group].start_angle > 0
    way = _WAYS[ahead is (mate.face is PlateFace.BACK)]
    lies = f"the mate lies on the {face_word(flange, mate.face)}"
    return f"{lies}: seen from its own joint face its pattern is turned as far {way}"
