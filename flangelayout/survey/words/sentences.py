"""What a survey found, fact by fact, in shop words that every door can use; no option, no key of a file."""

import math
from collections import Counter
from collections.abc import Callable, Iterable, Iterator

from flangelayout.provenance import Family
from flangelayout.survey.candidates import Candidate
from flangelayout.survey.kinds import KINDS
from flangelayout.survey.next_reading import Aim, NextReading
from flangelayout.survey.readings import label
from flangelayout.survey.survey import Survey
from flangelayout.units import Unit, angle_text, counted, decimal_text, size_text

BAND_WORDS = (
    "± is of the circle that fits this part's own holes best, and holds for 95 parts in 100; "
    "what was meant to be drilled may be farther off"
)
"""The one sentence that says what a band is of."""

SCALE_UNCHECKED = (
    "the size rests on the scale of a picture alone; a caliper across two holes by their numbers makes it surer"
)
"""What is said where no caliper lay across holes."""

_LEAST_NAMED = 0.005
"""Chance of a candidate that is worth a row."""
_ALL_BUT = 0.999
_ENDINGS = {1: "st", 2: "nd", 3: "rd"}
UNIT_NAMES = {Unit.MM: "mm", Unit.IN: "inches"}
"""What a unit is called in a sentence."""


Naming = Callable[[int], str]
"""What a door calls the reading with an index."""


def length_text(value: float, unit: Unit) -> str:
    """A length to the decimals of its unit, with the unit."""
    return f"{decimal_text(value, unit)} {unit.value}"


def often_text(chance: float) -> str:
    """A chance as so many in so many."""
    return "less than 1 time in 1000" if chance < 0.001 else f"{100 * chance:.1f} times in 100"


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
        if other.circle is None:
            yield f"tried with {other.hole_count} holes, too: the readings contradict that"
            continue
        circle = length_text(other.circle.value, unit)
        if other.leading:
            names = names_text(other.leading, unit)
            yield (
                f"with {other.hole_count} holes the circle would be {circle}, in reach of {names}: "
                "count the holes again"
            )
        else:
            yield f"tried with {other.hole_count} holes, too: no published drilling fits that, on {circle}"
    found = survey.other_unit
    if found is not None:
        read, names = UNIT_NAMES[found.unit], names_text(found.leading, unit)
        yield f"read in {read} it would be in reach of {names}: were the numbers read in {read}?"


def shown_candidates(survey: Survey, most: int) -> tuple[Candidate, ...]:
    """The likeliest candidates: the first ``most``, and every one that the verdict speaks of."""
    return tuple(each for at, each in enumerate(survey.candidates) if at < most or each in survey.ties)


def worth_naming(candidates: Iterable[Candidate]) -> tuple[Candidate, ...]:
    """Those of some candidates that are not less likely than 1 in 200."""
    return tuple(each for each in candidates if each.probability >= _LEAST_NAMED)


def names_text(candidates: tuple[Candidate, ...], unit: Unit, most: int = 3) -> str:
    """The first few of some candidates by name, each with the circle that is published for it."""
    rows = [candidate.pattern for candidate in candidates[:most]]
    names = [f"{row.designation} ({size_text(row.bolt_circle, unit)})" for row in rows]
    more = len(candidates) - len(names)
    return " or ".join(names) + (f" or {more} more" if more else "")


def rows_text(survey: Survey) -> str:
    """How many rows have the one drilling, and what holes they have where these differ.

    Example: ``6 rows of the tables: 5 with holes of 18 mm, 1 without a hole``; a sheet names those with its own hole.
    """
    ties = tuple(tied.pattern for tied in survey.ties)
    count = f"{counted(len(ties), 'row')} of the tables"
    holes = Counter(None if row.hole_diameter is None else size_text(row.hole_diameter, row.unit) for row in ties)
    if len(holes) == 1:
        return count
    units = {size_text(row.hole_diameter, row.unit): row.unit for row in ties if row.hole_diameter is not None}
    parts = (
        f"{many} with holes of {hole} {units[hole].value}" if hole else f"{many} without a hole"
        for hole, many in holes.most_common()
    )
    return f"{count}: {', '.join(parts)}"


def past_text(survey: Survey) -> str:
    """Which past jobs have one of the drillings the verdict speaks of, with their files; empty where none has."""
    past = (each.pattern for each in survey.ties if each.pattern.family is Family.PAST_JOB)
    jobs = ", ".join(f"{row.designation} ({row.sources})" for row in past)
    return f"you drilled this as {jobs}" if jobs else ""


def drilling_share(survey: Survey) -> float:
    """Chance of everything the verdict speaks of, 0 to 1."""
    return math.fsum(candidate.probability for candidate in survey.ties)


def share_text(survey: Survey) -> str:
    """The same in words: nothing measured is wholly sure."""
    share = drilling_share(survey)
    return f"{share:.1%}" if share < _ALL_BUT else f"more than {_ALL_BUT:.1%}"
