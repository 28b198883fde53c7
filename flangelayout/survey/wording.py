"""A survey in plain lines for people: the answer first, then what it rests on."""

from collections.abc import Iterator, Sequence

from flangelayout.standards import Confidence
from flangelayout.survey.candidates import Candidate, Verdict
from flangelayout.survey.expected import ExpectedReadings
from flangelayout.survey.fit import Estimate, Spacing
from flangelayout.survey.model import BORE, HOLE, RIM, STUD
from flangelayout.survey.readings import WORDS, Reading, place_text
from flangelayout.survey.survey import Survey
from flangelayout.survey.table import DEFAULT_CIRCLE_TOLERANCE
from flangelayout.units import Unit, angle_text, counted, decimal_text, size_text

_SHOWN = 10
_NAMES = ((HOLE, "hole diameter"), (STUD, "stud diameter"), (BORE, "bore"), (RIM, "outside diameter"))


def survey_lines(survey: Survey, unit: Unit = Unit.MM) -> tuple[str, ...]:
    """What ``measure`` prints: circle and band, agreement, suspects, readings, verdict, candidates, next reading."""
    return (
        *_answer(survey, unit),
        *_suspects(survey, unit),
        "",
        *_readings(survey, unit),
        "",
        *_verdict(survey, unit),
        *_candidates(survey, unit),
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


def expected_lines(expected: ExpectedReadings, unit: Unit = Unit.MM) -> tuple[str, ...]:
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
    circle = f"Bolt circle {_length(expected.diameter, unit)}, {expected.hole_count} holes"
    title = f"{circle}: what a caliper should read, in {unit.value}"
    singles = (("hole to bore", expected.hole_to_bore), ("hole to rim", expected.hole_to_rim))
    return (
        title,
        *table_lines([[head[0], *(head[column + 1] for column in known)], *body], frozenset()),
        *(f"  {name}: {_length(value, unit)}" for name, value in singles if value is not None),
        "Same edge to same edge reads as center to center when the holes are equal.",
    )


def _length(value: float, unit: Unit) -> str:
    return f"{decimal_text(value, unit)} {unit.value}"


def _signed(value: float, unit: Unit) -> str:
    text = decimal_text(value, unit)
    return text if value < 0 and text.startswith("-") else f"+{text}"


def _plus_minus(size: Estimate, unit: Unit) -> str:
    return f"{decimal_text(size.value, unit)} ± {_length(size.expanded_uncertainty, unit)}"


def _answer(survey: Survey, unit: Unit) -> Iterator[str]:
    fit = survey.fit
    found = " (count found from the readings)" if survey.count_found else ""
    yield f"Bolt circle {_plus_minus(fit.bolt_circle, unit)} (95 %, k = 2), {survey.hole_count} holes{found}"
    sizes = [f"{name} {_plus_minus(size, unit)}" for at, name in _NAMES if (size := fit.sizes[at]) is not None]
    if sizes:
        yield "  " + ", ".join(sizes)
    if fit.center is not None:
        x, y = (_length(value, unit) for value in fit.center)
        turn = "clockwise" if fit.clockwise else "counter-clockwise"
        yield f"  center at X {x}, Y {y}; hole 1 at {angle_text(fit.hole_angles[0])}, numbered {turn}"
    if fit.spacing is Spacing.INDIVIDUAL:
        yield f"  the holes are not equally spaced: {_uneven(survey)}"
    yield f"  {_agreement(survey)}"


def _agreement(survey: Survey) -> str:
    fit = survey.fit
    if fit.degrees_of_freedom == 0:
        return "no reading is left over to check the others against"
    spare = f"{counted(fit.degrees_of_freedom, 'reading')} to spare"
    if fit.agrees:
        return f"the readings agree with what they are said to be good to (chi-square {fit.chi_square:.1f}, {spare})"
    return (
        f"THE READINGS DISAGREE (chi-square {fit.chi_square:.1f}, {spare}; honest ones reach that in "
        f"{fit.probability:.1%} of cases): the band above does not hold"
    )


def _uneven(survey: Survey) -> str:
    """How far each hole is from equal spacing, as angles."""
    fit = survey.fit
    pitch = 360 / fit.hole_count * (-1 if fit.clockwise else 1)
    off = [(angle - fit.hole_angles[0] - pitch * at + 180) % 360 - 180 for at, angle in enumerate(fit.hole_angles)]
    mean = sum(off) / len(off)
    worst = sorted(range(len(off)), key=lambda at: -abs(off[at] - mean))[:4]
    return ", ".join(f"hole {at + 1} off by {angle_text(off[at] - mean)}" for at in worst)


def _suspects(survey: Survey, unit: Unit) -> Iterator[str]:
    if survey.suspects:
        yield ""
        yield "Suspect" if len(survey.suspects) == 1 else "Suspects (the readings cannot tell which)"
        for suspect in survey.suspects:
            yield f"  {suspect.text}"
            yield f"    put right, the circle is {_plus_minus(suspect.cured.bolt_circle, unit)}; kept as read above"
    elif not survey.agrees:
        yield ""
        yield "No single mistake explains it: check kinds, pitches and hole numbers, or measure again"


def _readings(survey: Survey, unit: Unit) -> Iterator[str]:
    suspect = {index for each in survey.suspects for index in each.readings}
    rows = [["reading", "", f"read {unit.value}", "on this circle", "left over", "good to", ""]]
    for index, reading in enumerate(survey.readings):
        mark = "set aside" if index in survey.set_aside else "suspect" if index in suspect else ""
        rows.append(_reading_row(survey, index, reading, unit, mark))
    yield from table_lines(rows, frozenset({0, 1, 6}))
    if any(reading.within is None for reading in survey.readings):
        yield "  good to, where nothing was said: usual for the kind of reading (common practice); --within sets it"


def _reading_row(survey: Survey, index: int, reading: Reading, unit: Unit, mark: str) -> list[str]:
    return [
        f"{index + 1} {WORDS[reading.kind]}",
        place_text(reading),
        decimal_text(reading.value, unit),
        decimal_text(survey.expected[index], unit),
        _signed(survey.residuals[index], unit),
        f"±{decimal_text(reading.expanded_uncertainty, unit)}",
        mark,
    ]


def _verdict(survey: Survey, unit: Unit) -> Iterator[str]:
    leading, outside = survey.ranking.leading, survey.ranking.outside
    match survey.verdict:
        case Verdict.ONE:
            best = leading[0].pattern
            rows = "1 row" if len(leading) == 1 else f"{len(leading)} rows"
            share = sum(candidate.probability for candidate in leading)
            yield (
                f"Verdict: one drilling, {size_text(best.bolt_circle, unit)} {unit.value} with {best.hole_count} holes "
                f"({share:.1%}), in {rows} of the tables"
            )
        case Verdict.SEVERAL:
            drillings = len({candidate.drilling for candidate in leading})
            what = f"{drillings} drillings that these readings cannot tell apart" if drillings > 1 else "not sure"
            yield f"Verdict: several, {what} (none of any table: {outside:.1%})"
        case Verdict.NONE:
            yield f"Verdict: none of the tables has this drilling ({outside:.1%})"


def _allowance(survey: Survey, unit: Unit) -> str:
    """What made parts were allowed to be off."""
    if survey.drilling_tolerance is not None:
        return f"  judged with made circles within ±{_length(survey.drilling_tolerance, unit)} (95 %), as given"
    usual = _length(DEFAULT_CIRCLE_TOLERANCE, unit)
    return f"  judged with made circles within ±{usual} (95 %), the limit of ASME B16.5; --drilling-tolerance sets it"


def _candidates(survey: Survey, unit: Unit) -> Iterator[str]:
    shown = survey.candidates[:_SHOWN]
    if not shown:
        return
    yield _allowance(survey, unit)
    rows = [["candidate", "circle", "holes", "off by", "in u", "chord", "chance", ""]]
    rows += [_candidate_row(candidate, unit) for candidate in shown]
    yield from table_lines(rows, frozenset({0, 7}))
    if len(survey.candidates) > len(shown):
        yield f"  and {len(survey.candidates) - len(shown)} more"


def _candidate_row(candidate: Candidate, unit: Unit) -> list[str]:
    row = candidate.pattern
    hole = "" if row.hole_diameter is None else f" x {size_text(row.hole_diameter, row.unit)}"
    return [
        row.designation,
        size_text(row.bolt_circle, unit),
        f"{row.hole_count}{hole}{f' {row.unit.value}' if hole and row.unit is not unit else ''}",
        _signed(candidate.difference, unit),
        f"{candidate.in_uncertainties:+.1f}",
        "" if candidate.chord is None else decimal_text(candidate.chord, unit),
        f"{candidate.probability:.1%}",
        row.confidence.words if row.confidence is Confidence.MEMORY else "",
    ]


def _next(survey: Survey, unit: Unit) -> Iterator[str]:
    reading = survey.next_reading
    if reading is None:
        return
    over = "" if reading.pitches is None else f" across {reading.pitches} pitch{'es' if reading.pitches > 1 else ''}"
    yield ""
    yield f"Measure next: {WORDS[reading.kind]}{over}"
    yield f"  {reading.why}"
    yield from table_lines([[entry.designation, _length(entry.value, unit)] for entry in reading.expected])
