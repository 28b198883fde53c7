"""A survey in the words and numbers that stand on the page."""

from collections.abc import Iterator
from typing import assert_never

from msgspec import Struct

from flangelayout.survey import Survey
from flangelayout.survey.candidates import Verdict
from flangelayout.survey.kinds import KINDS, SINGLE_SIZES
from flangelayout.survey.obstacles import (
    CountUncertain,
    NotEquallySpaced,
    NotOneAnswer,
    Obstacle,
    ReadingsDisagree,
    SuspectReadings,
    UnitUncertain,
    Wanted,
    obstacles,
)
from flangelayout.survey.readings import place_text
from flangelayout.survey.suspects import Suspect
from flangelayout.survey.words.sentences import (
    BAND_WORDS,
    doubts,
    expected_name,
    next_reason,
    next_words,
    often_text,
    rows_text,
    spacing_text,
)
from flangelayout.survey.words.slips import suspect_text
from flangelayout.units import Unit
from flangelayout.web.form.lengths import decimals, signed, with_unit


class ReadingLine(Struct, frozen=True):
    """One reading: what was read, what the circle says, and what is wrong with it."""

    number: int
    kind: str
    words: str
    place: str
    value: str
    expected: str
    suspect: str


class NextLine(Struct, frozen=True):
    """The reading that would tell most."""

    words: str
    expected: tuple[tuple[str, str], ...]
    why: str
    repeats: int | None = None


class Card(Struct, frozen=True):
    """Everything a survey says.

    Where readings contradict each other, there is no verdict and no candidate: neither would be earned.

    Attributes:
        circle: The bolt circle that agrees best.
        band: How far that can be off; empty where no band holds.
        band_words: What the band means.
        holes: How many holes.
        agreement: Whether the readings agree.
        agrees: Likewise, as a value.
        suspects: Readings that are probably wrong, each in a sentence.
        readings: One line each.
        verdict: What the tables say; empty while the readings contradict each other.
        doubts: What speaks against that.
        following: The reading to take next.
        in_the_way: Why nothing of it can be put on the flange; empty if it can.
    """

    circle: str
    band: str
    band_words: str
    holes: str
    agreement: str
    agrees: bool
    suspects: tuple[str, ...]
    readings: tuple[ReadingLine, ...]
    verdict: str
    doubts: tuple[str, ...]
    following: NextLine | None
    in_the_way: tuple[str, ...]


def survey_card(survey: Survey, unit: Unit) -> Card:
    """The card of a survey.

    Args:
        survey: What the readings say.
        unit: Unit of the lengths.
    """
    found = ", found from the readings" if survey.count_found else ""
    return Card(
        circle=decimals(survey.diameter, unit),
        band="" if survey.expanded_uncertainty is None else f"± {decimals(survey.expanded_uncertainty, unit)}",
        band_words=sentence(BAND_WORDS) if survey.band_holds else "",
        holes=f"{survey.hole_count} holes{found}",
        agreement=_agreement(survey),
        agrees=survey.agrees,
        suspects=tuple(_suspects(survey, unit)),
        readings=tuple(_reading(survey, index, unit) for index in range(len(survey.readings))),
        verdict=_verdict(survey, unit),
        doubts=tuple(f"{sentence(doubt)}." for doubt in doubts(survey, unit)) if survey.band_holds else (),
        following=_next(survey, unit),
        in_the_way=tuple(dict.fromkeys(_in_the_way(each) for each in obstacles(survey, Wanted.CIRCLE))),
    )


def sentence(text: str) -> str:
    """A text as the page says it, begun with a capital and without a stop."""
    said = text.rstrip(".")
    return said[:1].upper() + said[1:]


def reading_name(index: int) -> str:
    """What the page calls a reading."""
    return f"reading {index + 1}"


def _agreement(survey: Survey) -> str:
    fit = survey.fit
    if fit.degrees_of_freedom == 0:
        return "No reading is left over to check the others against."
    spacing = f" {sentence(spacing_text(survey))}." if spacing_text(survey) else ""
    spare = f"{fit.degrees_of_freedom} to spare"
    if fit.agrees:
        return f"The readings agree with what they are good to ({spare}).{spacing}"
    often = often_text(fit.probability)
    return f"The readings disagree ({spare}; honest ones differ as much {often}): there is no band to go by.{spacing}"


def _suspects(survey: Survey, unit: Unit) -> Iterator[str]:
    for suspect in survey.suspects:
        yield _suspect(survey, suspect, unit)
    if not survey.agrees and not survey.suspects:
        yield "No single mistake explains it: check kinds, pitches and hole numbers, or measure again."


def _suspect(survey: Survey, suspect: Suspect, unit: Unit) -> str:
    """What is probably wrong, and the circle without that."""
    said = sentence(suspect_text(survey, suspect, reading_name))
    return f"{said}. Put right, the circle is {decimals(suspect.cured.bolt_circle.value, unit)}."


def _reading(survey: Survey, index: int, unit: Unit) -> ReadingLine:
    reading = survey.readings[index]
    return ReadingLine(
        number=index + 1,
        kind=reading.kind.value,
        words=KINDS[reading.kind].words,
        place=place_text(reading),
        value=decimals(reading.value, unit),
        expected=_expected(survey, index, unit),
        suspect=" ".join(_suspect(survey, each, unit) for each in survey.suspects if each.readings[0] == index),
    )


def _expected(survey: Survey, index: int, unit: Unit) -> str:
    """What the readings together say of one; of a size that no other reading bears on they say nothing."""
    kind = survey.readings[index].kind
    value, off = decimals(survey.expected[index], unit), signed(survey.residuals[index], unit)
    if kind not in SINGLE_SIZES:
        return f"best circle: {value}, off by {off}"
    alone = sum(reading.kind is kind for reading in survey.readings) == 1 and not survey.suspicions(index)
    return "" if alone else f"all together: {value}, off by {off}"


def _in_the_way(found: Obstacle) -> str:
    """Why nothing is put on the flange, in a few words; the card tells the rest."""
    match found:
        case ReadingsDisagree():
            return "the readings contradict each other"
        case SuspectReadings():
            return "a reading is probably wrong"
        case NotEquallySpaced(proven=proven):
            return "the holes are not equally spaced" if proven else "the holes may not be equally spaced"
        case UnitUncertain(other=other):
            return f"the readings fit a published drilling only if they are in {other.unit.value}"
        case NotOneAnswer() | CountUncertain():
            return "the readings do not single out one drilling"
        case _:
            assert_never(found)


def _verdict(survey: Survey, unit: Unit) -> str:
    leading, outside = survey.ranking.leading, survey.ranking.outside
    match survey.verdict:
        case Verdict.ONE:
            circle = f"{leading[0].pattern.hole_count} holes on {with_unit(leading[0].pattern.bolt_circle, unit)}"
            return f"One published drilling fits: {circle}, in {rows_text(survey)}."
        case Verdict.SEVERAL:
            drillings = len({candidate.drilling for candidate in leading})
            if drillings > 1:
                return f"{drillings} published drillings fit, and these readings cannot tell them apart."
            return f"One published drilling comes near, but it may as well be none ({outside or 0.0:.0%})."
        case Verdict.NONE:
            return f"No published drilling fits ({outside or 0.0:.0%})."
        case Verdict.OPEN:
            return ""


def _next(survey: Survey, unit: Unit) -> NextLine | None:
    following = survey.next_reading
    if following is None:
        return None
    expected = tuple((expected_name(entry.designation), decimals(entry.value, unit)) for entry in following.expected)
    why = sentence(next_reason(survey, following, unit, reading_name))
    repeats = None if following.repeats is None else following.repeats + 1
    return NextLine(next_words(following), expected, why, repeats)
