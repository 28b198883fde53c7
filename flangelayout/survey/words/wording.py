"""A survey in plain lines for people: the answer first, then what it rests on."""

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from flangelayout.standards import Confidence
from flangelayout.survey.candidates import Candidate, Verdict
from flangelayout.survey.fitting.fit import Estimate
from flangelayout.survey.fitting.model import BORE, HOLE, RIM, STUD
from flangelayout.survey.kinds import KINDS
from flangelayout.survey.prior import family_tolerance
from flangelayout.survey.readings import COVERAGE_FACTOR, Reading, place_text
from flangelayout.survey.survey import Survey
from flangelayout.survey.words.sentences import (
    BAND_WORDS,
    SCALE_UNCHECKED,
    doubts,
    expected_name,
    length_text,
    next_reason,
    next_words,
    often_text,
    past_text,
    rows_text,
    share_text,
    shown_candidates,
    spacing_text,
)
from flangelayout.units import Unit, angle_text, counted, decimal_text, size_text

if TYPE_CHECKING:
    from flangelayout.survey.expected import ExpectedReadings

_SHOWN = 10
_NAMES = ((HOLE, "hole diameter"), (STUD, "stud diameter"), (BORE, "bore"), (RIM, "outside diameter"))


class Hints(NamedTuple):
    """How a door's own settings are changed, in its own terms; empty for a door that has none.

    Attributes:
        within: What sets how good a reading is.
        tolerance: What sets how far off a made circle may be.
    """

    within: str = ""
    tolerance: str = ""


def survey_lines(survey: Survey, unit: Unit = Unit.MM, hints: Hints | None = None) -> tuple[str, ...]:
    """What ``measure`` prints: circle and band, agreement, suspects, readings, verdict, candidates, next reading."""
    hints = hints or Hints()
    return (
        *_answer(survey, unit),
        *_suspects(survey, unit),
        "",
        *_readings(survey, unit, hints),
        "",
        *_verdict(survey, unit),
        *_candidates(survey, unit, hints),
        *_next(survey, unit),
    )


def table_lines(rows: Sequence[Sequence[str]], left: frozenset[int] = frozenset({0})) -> tuple[str, ...]:
    """Rows as columns of even width, numbers to the right."""
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    return tuple(
        "  "
        + "  ".join(
            cell.ljust(width) if column in left else cell.rjust(width)
            for column, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    )


def expected_lines(expected: "ExpectedReadings", unit: Unit = Unit.MM) -> tuple[str, ...]:
    """The table of what a caliper should read, with the columns that are known."""
    head = ("pitches", "centers", "near edges", "far edges", "over studs", "between studs")
    rows = [
        (span.centers, span.near_edges, span.far_edges, span.over_studs, span.between_studs) for span in expected.spans
    ]
    known = [column for column in range(5) if rows[0][column] is not None]
    body = [
        [str(span.pitches), *(decimal_text(row[column] or 0.0, unit) for column in known)]
        for span, row in zip(expected.spans, rows, strict=True)
    ]
    circle = f"Bolt circle {length_text(expected.diameter, unit)}, {expected.hole_count} holes"
    title = f"{circle}: what a caliper should read, in {unit.value}"
    singles = (("hole to bore", expected.hole_to_bore), ("hole to rim", expected.hole_to_rim))
    return (
        title,
        *table_lines([[head[0], *(head[column + 1] for column in known)], *body], frozenset()),
        *(f"  {name}: {length_text(value, unit)}" for name, value in singles if value is not None),
        "Same edge to same edge reads as center to center when the holes are equal.",
    )


def expected_working(expected: "ExpectedReadings", unit: Unit = Unit.MM) -> tuple[str, ...]:
    """How the center distance of each span comes about."""
    circle, count = expected.diameter, expected.hole_count
    sines = ((span, math.sin(math.pi * span.pitches / count)) for span in expected.spans)
    return (
        "center distance = bolt circle × sine of half the angle between the two holes",
        *(
            f"  {span.pitches}: {decimal_text(circle, unit)} × sin ({180 * span.pitches / count:g}°) = "
            f"{decimal_text(circle, unit)} × {sine:.6f} = {decimal_text(span.centers, unit)}"
            for span, sine in sines
        ),
    )


def _signed(value: float, unit: Unit) -> str:
    text = decimal_text(value, unit)
    return text if value < 0 and text.startswith("-") else f"+{text}"


def _bare(size: Estimate, unit: Unit) -> str:
    return length_text(size.value, unit)


def _plus_minus(size: Estimate, unit: Unit) -> str:
    return f"{decimal_text(size.value, unit)} ± {length_text(size.expanded_uncertainty, unit)}"


def _answer(survey: Survey, unit: Unit) -> Iterator[str]:
    fit = survey.fit
    found = " (count found from the readings)" if survey.count_found else ""
    circle = length_text(survey.diameter, unit)
    if survey.band_holds:
        circle = _plus_minus(fit.bolt_circle, unit)
    yield f"Bolt circle {circle}, {survey.hole_count} holes{found}"
    if survey.band_holds:
        yield f"  {BAND_WORDS}"
    sized = _plus_minus if survey.band_holds else _bare
    sizes = [f"{name} {sized(size, unit)}" for at, name in _NAMES if (size := fit.sizes[at]) is not None]
    if sizes:
        yield "  " + ", ".join(sizes)
    if fit.center is not None:
        x, y = (length_text(value, unit) for value in fit.center)
        turn = "clockwise" if fit.clockwise else "counter-clockwise"
        yield f"  center at X {x}, Y {y}; hole 1 at {angle_text(fit.hole_angles[0])}, numbered {turn}"
    if spacing := spacing_text(survey):
        yield f"  {spacing}"
    yield f"  {_agreement(survey)}"
    if survey.scale_unchecked:
        yield f"  {SCALE_UNCHECKED}"


def _agreement(survey: Survey) -> str:
    fit = survey.fit
    if fit.degrees_of_freedom == 0:
        return "no reading is left over to check the others against"
    spare = f"{counted(fit.degrees_of_freedom, 'reading')} to spare"
    if fit.agrees:
        return f"the readings agree with what they are said to be good to ({spare})"
    return (
        f"THE READINGS DISAGREE ({spare}; honest ones differ as much {often_text(fit.probability)}): "
        "there is no plus or minus to go by"
    )


def _suspects(survey: Survey, unit: Unit) -> Iterator[str]:
    if survey.suspects:
        from flangelayout.survey.words.slips import suspect_text

        yield ""
        yield "Suspect" if len(survey.suspects) == 1 else "Suspects (the readings cannot tell which)"
        for suspect in survey.suspects:
            yield f"  {suspect_text(survey, suspect)}"
            cured = _plus_minus(suspect.cured.bolt_circle, unit)
            yield f"    the circle above takes all as read; without that mistake it would be {cured}"
    elif not survey.agrees:
        yield ""
        yield "No single mistake explains it: check kinds, pitches and hole numbers, or measure again"


def _readings(survey: Survey, unit: Unit, hints: Hints) -> Iterator[str]:
    suspect = {index for each in survey.suspects for index in each.readings}
    rows = [["reading", "", f"read {unit.value}", "on this circle", "left over", "good to", ""]]
    for index, reading in enumerate(survey.readings):
        mark = "set aside" if index in survey.set_aside else "suspect" if index in suspect else ""
        rows.append(_reading_row(survey, index, reading, unit, mark))
    yield from table_lines(rows, frozenset({0, 1, 6}))
    if any(reading.within is None for reading in survey.readings):
        hint = f"; {hints.within}" if hints.within else ""
        yield f"  good to, where nothing was said: usual for the kind of reading (common practice){hint}"


def _reading_row(survey: Survey, index: int, reading: Reading, unit: Unit, mark: str) -> list[str]:
    return [
        f"{index + 1} {KINDS[reading.kind].words}",
        place_text(reading),
        decimal_text(reading.value, unit),
        decimal_text(survey.expected[index], unit),
        _signed(survey.residuals[index], unit),
        f"±{decimal_text(reading.within_its_group, unit)}",
        mark,
    ]


def _verdict(survey: Survey, unit: Unit) -> Iterator[str]:
    leading, outside = survey.ties, survey.ranking.outside
    match survey.verdict:
        case Verdict.ONE:
            best = leading[0].pattern
            yield (
                f"Verdict: one drilling, {size_text(best.bolt_circle, unit)} {unit.value} with {best.hole_count} holes "
                f"({share_text(survey)}), in {rows_text(survey)}"
            )
        case Verdict.SEVERAL:
            drillings = len({candidate.drilling for candidate in leading})
            what = (
                f"several, {drillings} drillings that these readings cannot tell apart"
                if drillings > 1
                else "one drilling fits, but it is not sure: read again, elsewhere on the part"
            )
            yield f"Verdict: {what} (none of any table: {outside or 0.0:.1%})"
        case Verdict.NONE:
            yield f"Verdict: none of the tables has this drilling ({outside or 0.0:.1%})"
        case Verdict.OPEN:
            yield "Verdict: none given, the readings disagree"
    if past := past_text(survey):
        yield f"  {past}"
    for doubt in doubts(survey, unit):
        yield f"  {doubt}"


def _allowance(survey: Survey, unit: Unit, hints: Hints) -> str:
    """What made parts were allowed to be off."""
    if survey.assume.drilling_tolerance is not None:
        given = length_text(survey.assume.drilling_tolerance, unit)
        return f"  judged with made circles within ±{given} (95 %), as given"
    hint = f"; {hints.tolerance}" if hints.tolerance else ""
    families = dict.fromkeys(candidate.pattern.family for candidate in shown_candidates(survey, _SHOWN))
    usual = ", ".join(f"{family.value} ±{length_text(family_tolerance(family), unit)}" for family in families)
    return f"  judged with made circles within what their rows say, else what is usual: {usual} (95 %){hint}"


def _candidates(survey: Survey, unit: Unit, hints: Hints) -> Iterator[str]:
    shown = shown_candidates(survey, _SHOWN)
    if not shown:
        return
    yield _allowance(survey, unit, hints)
    rows = [["candidate", "circle", "holes", "off by", "may be off", "chord", "chance", ""]]
    rows += [_candidate_row(candidate, unit) for candidate in shown]
    yield from table_lines(rows, frozenset({0, 7}))
    if len({(each.difference, each.pattern.hole_diameter) for each in survey.ties}) < len(survey.ties):
        yield "  of rows with one drilling the chances say how common each is taken to be, not what was read"
    if len(survey.candidates) > len(shown):
        yield f"  and {len(survey.candidates) - len(shown)} more, less likely"


def _candidate_row(candidate: Candidate, unit: Unit) -> list[str]:
    row = candidate.pattern
    hole = "" if row.hole_diameter is None else f" x {size_text(row.hole_diameter, row.unit)}"
    return [
        row.designation,
        size_text(row.bolt_circle, unit),
        f"{row.hole_count}{hole}{f' {row.unit.value}' if hole and row.unit is not unit else ''}",
        _signed(candidate.difference, unit),
        f"±{decimal_text(COVERAGE_FACTOR * candidate.spread, unit)}",
        "" if candidate.chord is None else decimal_text(candidate.chord, unit),
        f"{candidate.probability:.1%}",
        row.confidence.words if row.confidence is Confidence.MEMORY else "",
    ]


def _next(survey: Survey, unit: Unit) -> Iterator[str]:
    following = survey.next_reading
    if following is None:
        return
    yield ""
    yield f"Measure next: {next_words(following)}"
    yield f"  {next_reason(survey, following, unit)}"
    yield from table_lines(
        [[expected_name(each.designation), length_text(each.value, unit)] for each in following.expected]
    )
