"""The trade's arithmetic with a person's own numbers, step by step, as data that any page can lay out.

Every rule is said once and its numbers stand below it in a table. A step is only shown where it is true of
these holes: unequal holes have no common angle, and opposite holes make no triangle with the center.
"""

import math
from collections.abc import Collection, Iterator
from textwrap import wrap

from msgspec import Struct

from flangelayout.survey.candidates import Verdict
from flangelayout.survey.fitting.fit import Estimate, Spacing
from flangelayout.survey.kinds import CHORD_KINDS, KINDS, POSITION_KINDS, RADIAL_KINDS, Kind
from flangelayout.survey.readings import COVERAGE_FACTOR, Reading, place_text
from flangelayout.survey.survey import Survey
from flangelayout.survey.words.sentences import (
    BAND_WORDS,
    length_text,
    names_text,
    often_text,
    share_text,
    spacing_text,
    worth_naming,
)
from flangelayout.survey.words.wording import table_lines
from flangelayout.units import Unit, angle_text, decimal_text, from_mm, size_text, to_mm

_INDENT = "    "


class WorkingStep(Struct, frozen=True):
    """One step of the working.

    Attributes:
        title: What is being done and why, in words.
        formula: The arithmetic with the numbers put in; empty for a step that is words or a table only.
        result: What comes out; empty for a step that is a table.
        rows: A table below it, its head first; empty for none.
    """

    title: str
    formula: str
    result: str
    rows: tuple[tuple[str, ...], ...] = ()


def working(survey: Survey, unit: Unit = Unit.MM) -> tuple[WorkingStep, ...]:
    """The steps from the readings to the bolt circle and on to the standard size.

    Args:
        survey: What ``measure`` made of the readings.
        unit: Unit the numbers are shown in. They are rounded where they are shown only.
    """
    return (
        *_aside(survey, unit),
        *_sines(survey),
        *_end_sizes(survey, unit),
        *_chords(survey, unit),
        *_radials(survey, unit),
        *_positions(survey, unit),
        *_together(survey, unit),
        *_band(survey, unit),
        *_agreement(survey, unit),
        *_backward(survey, unit),
        _rounding(survey, unit),
    )


def step_text(step: WorkingStep) -> str:
    """Formula and result in one line; empty for a step that is a table."""
    return f"{step.formula} = {step.result}" if step.formula else step.result


def working_lines(steps: tuple[WorkingStep, ...], width: int = 100) -> tuple[str, ...]:
    """The steps as numbered lines of plain text, words wrapped at ``width`` characters."""
    lines: list[str] = []
    for number, step in enumerate(steps, 1):
        lines += wrap(step.title, width, initial_indent=f"{number:2}. ", subsequent_indent=_INDENT)
        lines += wrap(step_text(step), width, initial_indent=_INDENT, subsequent_indent=_INDENT)
        if step.rows:
            lines += [f"  {line}" for line in table_lines(step.rows)]
    return tuple(lines)


def _number(value: float, unit: Unit) -> str:
    return decimal_text(value, unit, 3 if unit is Unit.MM else 4)


def _live(survey: Survey, kinds: frozenset[Kind]) -> list[tuple[int, Reading]]:
    """Readings of some kinds that took part, with their indices."""
    return [
        (index, reading)
        for index, reading in enumerate(survey.readings)
        if reading.kind in kinds and index not in survey.set_aside
    ]


def _aside(survey: Survey, unit: Unit) -> Iterator[WorkingStep]:
    """The readings that take no part, if any."""
    if survey.set_aside:
        named = ", ".join(
            f"{_name(index, survey.readings[index])}: {_number(survey.readings[index].value, unit)}"
            for index in sorted(survey.set_aside)
        )
        count = f"{len(survey.set_aside)} of {len(survey.readings)} readings"
        yield WorkingStep(f"Set aside: {count} took no part in what follows", "", named)


def _name(index: int, reading: Reading) -> str:
    return " ".join(filter(None, (f"{index + 1} {KINDS[reading.kind].words}", place_text(reading))))


def _sines(survey: Survey) -> Iterator[WorkingStep]:
    """From the hole count to the sine of each span."""
    count = survey.hole_count
    chords = [reading for _, reading in _live(survey, CHORD_KINDS)]
    if not chords:
        return
    if survey.fit.spacing is Spacing.INDIVIDUAL:
        yield WorkingStep(
            "The holes are not equally spaced, so there is no common angle; the readings together put them here",
            "",
            spacing_text(survey),
        )
        return
    pitch = 360 / count
    spans = sorted({reading.span(count) for reading in chords})
    evenly = "the holes share the full circle evenly, so this is the angle at the center between neighbors"
    yield WorkingStep(
        f"Pitch angle: {'if ' if spacing_text(survey) else ''}{evenly}",
        f"360° / {count} holes",
        angle_text(pitch),
    )
    slanted = [span for span in spans if 2 * span != count]
    if slanted:
        yield WorkingStep(
            "Sine: two holes and the center make a triangle with two equal sides. A line from the center to the middle "
            "of the chord halves it: half the chord is the radius times the sine of half the angle, so the whole chord "
            "is the diameter times that sine",
            "",
            "",
            (("pitches", "angle between", "half of it", "sine"), *(_sine_row(span, count) for span in slanted)),
        )
    if len(slanted) < len(spans):
        yield WorkingStep(
            "Opposite holes lie on one line through the center: the distance of their centers is the bolt circle",
            "",
            "",
        )


def _sine_row(span: int, count: int) -> tuple[str, ...]:
    half = 180 * span / count
    return str(span), angle_text(2 * half), angle_text(half), f"{math.sin(math.radians(half)):.6f}"


def _end_size(survey: Survey, single: Kind, fitted: Estimate | None) -> float | None:
    """A hole or stud as it was read, where it was; else what the other readings make it."""
    read = [reading.value for _, reading in _live(survey, frozenset({single}))]
    if read:
        return math.fsum(read) / len(read)
    return None if fitted is None else fitted.value


def _end_sizes(survey: Survey, unit: Unit) -> Iterator[WorkingStep]:
    """Where the hole or stud diameter of the edge readings comes from, and what it does."""
    chords = [KINDS[reading.kind].shares for _, reading in _live(survey, CHORD_KINDS)]
    for what, needed, single, fitted in (
        ("hole", any(share.hole for share in chords), Kind.HOLE_DIAMETER, survey.fit.hole),
        ("stud", any(share.stud for share in chords), Kind.STUD_DIAMETER, survey.fit.stud),
    ):
        size = _end_size(survey, single, fitted)
        if not needed or size is None:
            continue
        known = [reading for _, reading in _live(survey, frozenset({single}))]
        read = len(known)
        source = (
            "as drawn, not measured"
            if read == 1 and known[0].is_drawn
            else "as measured"
            if read == 1
            else f"the mean of {read} readings"
            if read
            else (
                f"not measured; the readings make it this, because the inner and the outer edges of two equal {what}s "
                f"are two {what} diameters apart"
            )
        )
        yield WorkingStep(
            f"Edges: half a {what} at each end. A reading between the near edges falls short of the center distance by "
            f"one {what} diameter, one over the far edges is as much longer. The {what} diameter is {source}",
            "",
            length_text(size, unit),
        )


def _chords(survey: Survey, unit: Unit) -> Iterator[WorkingStep]:
    """Every chord reading to a center distance, and that to a diameter; so fine, where they add up, that they do."""
    rows, chords = [], _live(survey, CHORD_KINDS)
    said = _number if _adds_up(survey) and len(chords) > 1 else decimal_text
    for index, reading in chords:
        ends = _ends(survey, reading)
        sine = _sine(survey, index, reading)
        if ends is None or sine < 1e-9:
            continue
        centers = reading.value - ends
        plain = decimal_text(reading.value, unit)
        arithmetic = plain if not ends else f"{plain} {'-' if ends > 0 else '+'} {decimal_text(abs(ends), unit)}"
        rows.append(
            (
                _name(index, reading),
                arithmetic,
                decimal_text(centers, unit),
                f"{sine:.6f}",
                said(centers / sine, unit),
                *([f"{survey.fit.gains[index] * sine:.6f}"] if _adds_up(survey) else []),
            )
        )
    if rows:
        heads = ("counts",) if _adds_up(survey) else ()
        yield WorkingStep(
            "Each reading: take it to the distance of the centers, then divide by the sine to get the diameter. "
            "Same edge to same edge is the center distance, as long as the holes are equal",
            "",
            "",
            (("reading", f"read {unit.value}", "centers", "sine", "diameter", *heads), *rows),
        )


def _adds_up(survey: Survey) -> bool:
    """Whether the circle is the sum of the diameters by chords, each times its share."""
    chords = _live(survey, CHORD_KINDS)
    other = _live(survey, POSITION_KINDS | RADIAL_KINDS)
    known = all(_ends(survey, reading) is not None for _, reading in chords)
    return bool(chords) and not other and known and survey.fit.spacing is Spacing.EQUAL


def _ends(survey: Survey, reading: Reading) -> float | None:
    """What a chord reading holds beside the center distance, mm; None if it is not known."""
    shares, total = KINDS[reading.kind].shares, 0.0
    for share, single, fitted in (
        (shares.hole, Kind.HOLE_DIAMETER, survey.fit.hole),
        (shares.stud, Kind.STUD_DIAMETER, survey.fit.stud),
    ):
        size = _end_size(survey, single, fitted)
        if share and size is None:
            return None
        total += share * (size or 0.0)
    return total


def _sine(survey: Survey, index: int, reading: Reading) -> float:
    """Center distance over diameter between the two holes of a reading, as the fit has their angles."""
    if survey.fit.spacing is Spacing.EQUAL:
        return math.sin(math.pi * reading.span(survey.hole_count) / survey.hole_count)
    shares = KINDS[reading.kind].shares
    sizes = ((shares.hole, survey.fit.hole), (shares.stud, survey.fit.stud))
    ends = math.fsum(share * size.value for share, size in sizes if size is not None)
    return abs(survey.expected[index] - ends) / survey.diameter


def _radials(survey: Survey, unit: Unit) -> Iterator[WorkingStep]:
    """From hole edge to bore or rim, which takes the metal on both sides."""
    hole = _end_size(survey, Kind.HOLE_DIAMETER, survey.fit.hole)
    for kind, single, fitted, rule in (
        (
            Kind.HOLE_TO_BORE,
            Kind.BORE,
            survey.fit.bore,
            "Hole edge to bore: the bore, the metal on both sides and half a hole at each end make the bolt circle",
        ),
        (
            Kind.HOLE_TO_RIM,
            Kind.OUTSIDE_DIAMETER,
            survey.fit.outside,
            "Hole edge to rim: the outside diameter less the metal on both sides and half a hole at each end is the "
            "bolt circle",
        ),
    ):
        edge = _end_size(survey, single, fitted)
        readings = _live(survey, frozenset({kind}))
        if not readings or hole is None or edge is None:
            continue
        sign = 1 if kind is Kind.HOLE_TO_BORE else -1
        rows = []
        for index, reading in readings:
            mark = "+" if sign > 0 else "-"
            terms = (edge, 2 * reading.value, hole)
            first, second, third = (decimal_text(term, unit) for term in terms)
            total = edge + sign * (2 * reading.value + hole)
            rows.append((_name(index, reading), f"{first} {mark} {second} {mark} {third}", decimal_text(total, unit)))
        yield WorkingStep(rule, "", "", (("reading", f"{unit.value}", "diameter"), *rows))


def _positions(survey: Survey, unit: Unit) -> Iterator[WorkingStep]:
    if survey.fit.center is None:
        return
    x, y = (length_text(value, unit) for value in survey.fit.center)
    count = sum(reading.kind is Kind.X for reading in survey.readings)
    yield WorkingStep(
        f"Center: the point from which the {count} hole positions come nearest to one circle; of all centers it is "
        "the one whose misses, squared and added up, come to the least",
        "",
        f"X {x}, Y {y}; hole 1 at {angle_text(survey.fit.hole_angles[0])}",
    )


def _together(survey: Survey, unit: Unit) -> Iterator[WorkingStep]:
    spanning = _live(survey, CHORD_KINDS | POSITION_KINDS | RADIAL_KINDS)
    if len(spanning) < 2 and survey.fit.center is None:
        return
    added = "the diameters, each times what it counts, added up" if _adds_up(survey) else "the circle nearest to all"
    yield WorkingStep(
        f"All readings together: {added}. A reading counts for what it is good to, and more across a wide span than a "
        f"narrow one, which magnifies its error{''.join(_shared_errors(survey))}",
        "",
        length_text(survey.diameter, unit),
    )


def _shared_errors(survey: Survey) -> Iterator[str]:
    """Why readings that look alike do not count alike, where any do not."""
    if not _adds_up(survey):
        return
    chords = _live(survey, CHORD_KINDS)
    if len({reading.kind for _, reading in chords}) > 1 and any(reading.from_hole is None for _, reading in chords):
        yield (
            ". Where no holes are named, readings of one kind are taken to be of one pair after the other, those of "
            "another kind of the same pairs: a hole out of place is in both readings of a pair"
        )
    if any(survey.fit.gains[index] < 0 for index, _ in chords):
        yield ". What counts below 0 takes off an error that it shares with another reading"


def _band(survey: Survey, unit: Unit) -> Iterator[WorkingStep]:
    band = survey.expanded_uncertainty
    if band is None:
        return
    parts = survey.fit.band_parts
    sides = {
        words: COVERAGE_FACTOR * part
        for words, part in (
            ("each reading by itself", parts.readings),
            (_alike(survey), parts.caliper),
            ("holes of a good part a little out of place", parts.holes),
        )
        if part > 1e-9
    }
    decimals = _decimals_of_squares(sides.values(), band, unit)
    rows = tuple((words, f"±{decimal_text(part, unit, decimals)}") for words, part in sides.items())
    squares = " + ".join(f"{shown.removeprefix('±')}²" for _, shown in rows)
    yield WorkingStep(
        f"Plus or minus: {BAND_WORDS}. What may be off comes from three sides, here as far as it reaches the diameter; "
        "chances seldom all go one way, so the squares are added and the root taken",
        f"√({squares})",
        f"±{length_text(band, unit)}",
        (("what may be off", f"{unit.value} on the diameter"), *rows),
    )


def _decimals_of_squares(sides: Collection[float], root: float, unit: Unit) -> int:
    """How many decimals lengths are written with for the root of their squares, so written, to be that written."""
    for decimals in range(3, 9):
        squares = (float(decimal_text(side, unit, decimals)) ** 2 for side in sides)
        if decimal_text(to_mm(math.sqrt(math.fsum(squares)), unit), unit) == decimal_text(root, unit):
            return decimals
    return 9


def _alike(survey: Survey) -> str:
    """What readings have in common that may be off."""
    if survey.scale_unchecked:
        return "the scale of the picture and what else all readings off it share"
    if survey.off_a_picture:
        return "the scale of the picture, zero and askew jaws of the caliper, each in all its readings alike"
    return "zero and askew jaws of the one caliper, in all readings alike"


def _agreement(survey: Survey, unit: Unit) -> Iterator[WorkingStep]:
    fit = survey.fit
    if fit.degrees_of_freedom < 1:
        return
    live = [index for index in range(len(survey.readings)) if index not in survey.set_aside]
    worst = max(live, key=lambda index: abs(survey.residuals[index]) / survey.readings[index].within_its_group)
    miss, good_to = survey.residuals[worst], survey.readings[worst].within_its_group
    way = "more" if miss > 0 else "less"
    title = (
        f"Check: the reading farthest from this circle is number {worst + 1}, {length_text(abs(miss), unit)} {way} "
        f"than the circle makes it and good to ±{length_text(good_to, unit)} by itself"
    )
    if fit.agrees:
        yield WorkingStep(title, "", "the readings agree with what they are good to")
    else:
        often = often_text(fit.probability)
        yield WorkingStep(
            title, "", f"the readings contradict each other (honest ones differ as much {often}): no plus or minus"
        )


def _backward(survey: Survey, unit: Unit) -> Iterator[WorkingStep]:
    """What the likeliest published circle would have read, beside what was read."""
    if not survey.ties or survey.fit.spacing is Spacing.INDIVIDUAL:
        return
    row = survey.ties[0].pattern
    rows = []
    for index, reading in _live(survey, CHORD_KINDS):
        ends = _ends(survey, reading)
        if ends is None:
            continue
        would = row.bolt_circle * _sine(survey, index, reading) + ends
        more = reading.value - would
        apart = decimal_text(abs(more), unit)
        same = float(apart) == 0
        rows.append(
            (
                _name(index, reading),
                decimal_text(would, unit),
                decimal_text(reading.value, unit),
                "the same" if same else f"{apart} {'more' if more > 0 else 'less'}",
            )
        )
    if rows:
        yield WorkingStep(
            f"The other way round: what a circle of {size_text(row.bolt_circle, unit)} {unit.value} "
            f"({row.designation}) would have read",
            "",
            "",
            (("reading", f"would read {unit.value}", "you read", "yours is"), *rows),
        )


def _rounding(survey: Survey, unit: Unit) -> WorkingStep:
    title = "Rounding to a published size"
    measured = length_text(survey.diameter, unit)
    if survey.expanded_uncertainty is not None:
        measured += f" ± {length_text(survey.expanded_uncertainty, unit)}"
    match survey.verdict:
        case Verdict.ONE:
            size = f"{size_text(survey.ties[0].pattern.bolt_circle, unit)} {unit.value}"
            others = tuple(each for each in survey.candidates if each not in survey.ties)
            rest = "what else is in reach is less likely than 1 in 200" if others else "nothing else is in reach"
            if worth_naming(others):
                rest = f"less likely {names_text(worth_naming(others), unit)}"
            names = names_text(worth_naming(survey.ties), unit)
            sure = f"the circle {share_text(survey)} sure"
            return WorkingStep(title, "", f"justified: {measured} means {size} ({names}), {sure}; {rest}")
        case Verdict.SEVERAL:
            sizes = sorted({round(from_mm(row.pattern.bolt_circle, unit), 4) for row in survey.ties})
            names = ", ".join(f"{size:g}" for size in sizes[:6]) + (" and more" if len(sizes) > 6 else "")
            reach = f"{names} {unit.value} " + ("can all be meant" if len(sizes) > 1 else "is not sure enough")
            return WorkingStep(
                title, "", f"not justified yet: with {measured} and what a made part may be off, {reach}"
            )
        case Verdict.OPEN:
            return WorkingStep(
                title, "", "not justified: the readings contradict each other, so the circle is not known yet"
            )
        case Verdict.NONE:
            near = f"no table has {survey.hole_count} holes near {measured}"
            return WorkingStep(title, "", f"not justified: {near}; keep it as measured")
