"""What may have gone wrong with a reading, in shop words. Loaded only where readings disagree."""

from typing import assert_never

from flangelayout.survey.kinds import KINDS, Kind
from flangelayout.survey.mistakes import (
    BothEdgesWrong,
    DigitsSwapped,
    HoleMoved,
    HoleOval,
    Miscounted,
    Misread,
    OneEdgeWrong,
    OtherSpan,
    OtherUnit,
    PointSlipped,
)
from flangelayout.survey.readings import Reading, label, size_written
from flangelayout.survey.survey import Survey
from flangelayout.survey.suspects import Suspect
from flangelayout.survey.words.sentences import UNIT_NAMES, Naming, length_text, span_text
from flangelayout.units import Unit, decimal_text, size_text


def suspect_text(survey: Survey, suspect: Suspect, name: Naming | None = None) -> str:
    """One explanation of readings that disagree: what was found and what to do."""
    index = suspect.readings[0]
    reading = survey.readings[index]
    called = label(survey.readings, index) if name is None else name(index)
    lead = f"{called}: {_off(suspect.off_by, reading.unit)} what the others make it"
    match suspect.mistake:
        case OneEdgeWrong(kind) | BothEdgesWrong(kind):
            fits = f"it fits as {KINDS[kind].words} instead of {KINDS[reading.kind].words}{_hole(suspect, kind)}"
        case OtherSpan(pitches):
            fits = f"it fits {span_text(pitches, survey.hole_count)}, not {_span_of(survey, reading)}"
        case OtherUnit(unit):
            fits = f"it fits if the number was read in {UNIT_NAMES[unit]}"
        case PointSlipped(left):
            fits = f"it fits if the decimal point slipped one place to the {'left' if left else 'right'}"
        case DigitsSwapped(value):
            read = f"{size_written(reading)} {reading.unit.value}"
            fits = f"two digits swapped? {size_text(value, reading.unit)} fits, {read} does not"
        case Misread():
            fits = "measure it again"
        case Miscounted() | HoleMoved() | HoleOval():
            return _of_the_part(survey, suspect.mistake, reading.unit)
        case other:
            assert_never(other)
    return f"{lead}; {fits}"


def _of_the_part(survey: Survey, mistake: Miscounted | HoleMoved | HoleOval, unit: Unit) -> str:
    """What is wrong with the part or its count, rather than with one reading."""
    match mistake:
        case Miscounted(count):
            return f"the readings fit {count} holes, not {survey.hole_count}; count the holes again"
        case HoleMoved(hole, by):
            way = "higher" if by > 0 else "lower"
            shift = length_text(abs(by), unit)
            return f"hole {hole} sits {shift} toward the next {way} number, seen in every reading that touches it"
        case HoleOval(hole, by):
            way = "longer" if by > 0 else "shorter"
            return f"hole {hole} is {length_text(abs(by), unit)} {way} across than the others: an oval hole?"
        case other:
            assert_never(other)


def _off(miss: float, unit: Unit) -> str:
    return f"{length_text(abs(miss), unit)} {'above' if miss > 0 else 'below'}"


def _hole(suspect: Suspect, kind: Kind) -> str:
    """The hole that the mended readings make, where the mended kind has one."""
    hole = suspect.cured.hole
    if hole is None or not KINDS[kind].shares.hole:
        return ""
    return f" (holes of {decimal_text(hole.value, Unit.MM)} mm)"


def _span_of(survey: Survey, reading: Reading) -> str:
    return span_text(reading.span(survey.hole_count), survey.hole_count)
