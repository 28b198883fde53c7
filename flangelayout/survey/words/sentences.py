"""What a survey found, fact by fact, in shop words that every door can use; no option, no key of a file."""

import math
from collections.abc import Callable, Iterator
from typing import assert_never

from flangelayout.survey.candidates import Candidate
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
from flangelayout.survey.next_reading import Aim, NextReading
from flangelayout.survey.readings import Reading, label, size_written
from flangelayout.survey.survey import Survey
from flangelayout.survey.suspects import Suspect
from flangelayout.units import Unit, angle_text, decimal_text, size_text

BAND_WORDS = (
    "± is of the circle that fits this part's own holes best, and holds for 95 parts in 100; "
    "what was meant to be drilled may be farther off"
)
"""The one sentence that says what a band is of."""

_ENDINGS = {1: "st", 2: "nd", 3: "rd"}
_UNIT_NAMES = {Unit.MM: "mm", Unit.IN: "inches"}

Naming = Callable[[int], str]
"""What a door calls the reading with an index."""


def length_text(value: float, unit: Unit) -> str:
    """A length to the decimals of its unit, with the unit."""
    return f"{decimal_text(value, unit)} {unit.value}"


def band_text(survey: Survey, unit: Unit) -> str:
    """The plus or minus of the circle, or why there is none."""
    band = survey.expanded_uncertainty
    return "no band, the readings disagree" if band is None else f"± {length_text(band, unit)}"


def often_text(chance: float) -> str:
    """A chance as so many in so many."""
    return "less than 1 time in 1000" if chance < 0.001 else f"{100 * chance:.1f} times in 100"


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
            fits = f"it fits if the number was read in {_UNIT_NAMES[unit]}"
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


def span_text(pitches: int, hole_count: int) -> str:
    """Which holes a number of pitches runs between."""
    if 2 * pitches == hole_count:
        return "between opposite holes"
    return "between neighbors" if pitches == 1 else f"from a hole to the {ordinal(pitches)} after it"


def ordinal(number: int) -> str:
    """A whole number as a place in a row: 2nd, 3rd, 11th."""
    if number % 100 in (11, 12, 13):
        return f"{number}th"
    return f"{number}{_ENDINGS.get(number % 10, 'th')}"


def next_words(following: NextReading) -> str:
    """What to measure next, without the reason."""
    span = "" if following.pitches is None else f", {span_text(following.pitches, following.hole_count)}"
    again = "" if following.aim is not Aim.REPEAT else " again"
    return f"{KINDS[following.kind].words}{span}{again}"


def next_reason(survey: Survey, following: NextReading, unit: Unit, name: Naming | None = None) -> str:
    """Why that reading, in one sentence: the pair of candidates it parts, or the reading it repeats."""
    if following.repeats is not None:
        called = label(survey.readings, following.repeats) if name is None else name(following.repeats)
        value = length_text(following.expected[0].value, unit)
        return f"{called} disagrees with the others: measure it again, center to center it should be {value}"
    if following.pair is None:
        return "it tells most"
    first, second = following.pair
    read = " and ".join(f"{each.designation} would read {length_text(each.value, unit)}" for each in (first, second))
    apart = length_text(abs(first.value - second.value), unit)
    same = "it tells rows that share this drilling apart: " if following.aim is Aim.TELL_ROWS else ""
    return (
        f"{same}{read}: {apart} apart, where the made part and the reading leave ±{length_text(following.doubt, unit)}"
    )


def expected_name(designation: str) -> str:
    """What a reading to come is expected for: a candidate, or the circle without the suspect reading."""
    return designation or "without the suspect reading"


def spacing_text(survey: Survey) -> str:
    """The angles of holes that are not equally spaced, or that may not be; empty for equal spacing."""
    if survey.fit is not survey.spacings.equal:
        return f"the holes are not equally spaced: {angles_text(survey.fit.hole_angles)}"
    own = survey.spacings.own
    if own is None or survey.band_holds or not own.agrees:
        return ""
    return (
        f"either the holes are not equally spaced ({angles_text(own.hole_angles)}), or a reading is wrong: "
        "one more reading across other holes will tell"
    )


def angles_text(angles: tuple[float, ...]) -> str:
    """Angles of holes, hole by hole."""
    shown = ", ".join(f"{number} at {angle_text(round(angle, 2))}" for number, angle in enumerate(angles[:12], 1))
    return f"hole {shown}" + (" and so on" if len(angles) > 12 else "")


def doubts(survey: Survey, unit: Unit) -> Iterator[str]:
    """What else was tried because nothing fitted: one hole more or fewer, and the other unit."""
    for other in survey.other_counts:
        circle = length_text(other.circle.value, unit)
        if other.leading:
            names = names_text(other.leading)
            yield f"with {other.hole_count} holes it would be {circle}, {names}: count the holes again"
        else:
            yield f"tried with {other.hole_count} holes, too: {circle} is no published drilling either"
    found = survey.other_unit
    if found is not None:
        read = _UNIT_NAMES[found.unit]
        yield f"read in {read} it would be {names_text(found.leading)}: were the numbers read in {read}?"


def names_text(candidates: tuple[Candidate, ...], most: int = 3) -> str:
    """The first few of some candidates by name."""
    names = [candidate.pattern.designation for candidate in candidates[:most]]
    more = len(candidates) - len(names)
    return " or ".join(names) + (f" or {more} more" if more else "")


def drilling_share(survey: Survey) -> float:
    """Chance of everything the verdict speaks of, 0 to 1."""
    return math.fsum(candidate.probability for candidate in survey.ties)
