"""The trade's arithmetic with a person's own numbers, step by step, as data that any page can lay out."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from textwrap import wrap

from flangelayout.survey.candidates import Verdict
from flangelayout.survey.fit import Spacing
from flangelayout.survey.readings import CHORD_KINDS, POSITION_KINDS, RADIAL_KINDS, WORDS, Kind, Reading, place_text
from flangelayout.survey.survey import Survey
from flangelayout.units import Unit, angle_text, decimal_text, from_mm, size_text

_INDENT = "    "


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the working.

    Attributes:
        title: What is being done and why, in words.
        formula: The arithmetic with the numbers put in; empty for a step that is words only.
        result: What comes out.
    """

    title: str
    formula: str
    result: str


def working(survey: Survey, unit: Unit = Unit.MM) -> tuple[Step, ...]:
    """The steps from the readings to the bolt circle and on to the standard size.

    Args:
        survey: What ``measure`` made of the readings.
        unit: Unit the numbers are shown in. They are rounded where they are shown only.
    """
    return (
        *_angles(survey),
        *_readings(survey, unit),
        *_positions(survey, unit),
        *_together(survey, unit),
        _band(survey, unit),
        *_agreement(survey),
        _rounding(survey, unit),
    )


def working_lines(steps: tuple[Step, ...], width: int = 100) -> tuple[str, ...]:
    """The steps as numbered lines of plain text, words wrapped at ``width`` characters."""
    lines: list[str] = []
    for number, step in enumerate(steps, 1):
        lines += wrap(step.title, width, initial_indent=f"{number:2}. ", subsequent_indent=_INDENT)
        text = f"{step.formula} = {step.result}" if step.formula else step.result
        lines += wrap(text, width, initial_indent=_INDENT, subsequent_indent=_INDENT)
    return tuple(lines)


def _length(value: float, unit: Unit) -> str:
    return f"{decimal_text(value, unit)} {unit.value}"


def _number(value: float, unit: Unit) -> str:
    return decimal_text(value, unit, 3 if unit is Unit.MM else 4)


def _spans(survey: Survey) -> list[int]:
    return sorted({reading.span(survey.hole_count) for reading in survey.readings if reading.kind in CHORD_KINDS})


def _angles(survey: Survey) -> Iterator[Step]:
    count = survey.hole_count
    if not _spans(survey):
        return
    pitch = 360 / count
    yield Step(
        "Central angle: the holes share the full circle evenly, so this is the angle at the center between neighbors",
        f"360° / {count} holes",
        angle_text(pitch),
    )
    for span in _spans(survey):
        over = "neighboring holes" if span == 1 else f"holes {span} pitches apart"
        times = "" if span == 1 else f"{span} × "
        yield Step(
            f"Half angle: two {over} and the center make a triangle with two equal sides; a line from the center "
            "to the middle of the chord halves it into two right triangles",
            f"{times}{angle_text(pitch)} / 2",
            angle_text(span * pitch / 2),
        )
        yield Step(
            "Sine: in that right triangle half the chord is the radius times the sine, "
            "so the whole chord is the diameter times the sine",
            f"sin {angle_text(span * pitch / 2)}",
            f"{math.sin(math.pi * span / count):.6f}",
        )


def _readings(survey: Survey, unit: Unit) -> Iterator[Step]:
    for index, reading in enumerate(survey.readings):
        if reading.kind in CHORD_KINDS:
            yield from _chord(survey, index, reading, unit)
        elif reading.kind in RADIAL_KINDS:
            yield from _radial(survey, index, reading, unit)


def _chord(survey: Survey, index: int, reading: Reading, unit: Unit) -> Iterator[Step]:
    name = f"Reading {index + 1}, {WORDS[reading.kind]}, {place_text(reading)}"
    sign = {Kind.NEAR_EDGES: 1, Kind.BETWEEN_STUDS: 1, Kind.FAR_EDGES: -1, Kind.OVER_STUDS: -1}.get(reading.kind, 0)
    stud = reading.kind in (Kind.OVER_STUDS, Kind.BETWEEN_STUDS)
    size = survey.fit.stud if stud else survey.fit.hole
    centers = reading.value
    if sign and size is not None:
        centers += sign * size.value
        verb = "falls short of" if sign > 0 else "is longer than"
        what = "stud" if stud else "hole"
        yield Step(
            f"{name}: it {verb} the center distance by half a {what} at each end, one {what} diameter in all",
            f"{_number(reading.value, unit)} {'+' if sign > 0 else '-'} {_number(size.value, unit)}",
            _length(centers, unit),
        )
    elif reading.kind is Kind.SAME_EDGES:
        yield Step(
            f"{name}: left edge to left edge is the center distance, as long as the holes are equal",
            "",
            _length(centers, unit),
        )
    sine = math.sin(math.pi * reading.span(survey.hole_count) / survey.hole_count)
    yield Step(
        f"{name}: divide the center distance by the sine to get the diameter",
        f"{_number(centers, unit)} / {sine:.6f}",
        _length(centers / sine, unit),
    )


def _radial(survey: Survey, index: int, reading: Reading, unit: Unit) -> Iterator[Step]:
    hole, bore, rim = survey.fit.hole, survey.fit.bore, survey.fit.outside
    name = f"Reading {index + 1}, {WORDS[reading.kind]}"
    twice = f"2 × {_number(reading.value, unit)}"
    if reading.kind is Kind.HOLE_TO_BORE and hole is not None and bore is not None:
        yield Step(
            f"{name}: the metal on both sides, the bore and half a hole at each end make the bolt circle",
            f"{_number(bore.value, unit)} + {twice} + {_number(hole.value, unit)}",
            _length(bore.value + 2 * reading.value + hole.value, unit),
        )
    elif reading.kind is Kind.HOLE_TO_RIM and hole is not None and rim is not None:
        yield Step(
            f"{name}: the outside diameter less the metal on both sides and half a hole at each end is the bolt circle",
            f"{_number(rim.value, unit)} - {twice} - {_number(hole.value, unit)}",
            _length(rim.value - 2 * reading.value - hole.value, unit),
        )


def _positions(survey: Survey, unit: Unit) -> Iterator[Step]:
    if survey.fit.center is None:
        return
    x, y = (_length(value, unit) for value in survey.fit.center)
    count = sum(reading.kind is Kind.X for reading in survey.readings)
    yield Step(
        f"Center: the point that {count} hole positions agree on best, with the least squares left over",
        "",
        f"X {x}, Y {y}; hole 1 at {angle_text(survey.fit.hole_angles[0])}",
    )


def _together(survey: Survey, unit: Unit) -> Iterator[Step]:
    spanning = [reading for reading in survey.readings if reading.kind in CHORD_KINDS | POSITION_KINDS | RADIAL_KINDS]
    if len(spanning) < 2 and survey.fit.center is None:
        return
    spaced = "" if survey.fit.spacing is Spacing.EQUAL else ", each hole at an angle of its own"
    yield Step(
        f"All readings together: the diameter that leaves the least squares, each reading counting for what it is "
        f"good to{spaced}; a wide span counts more than a narrow one because it magnifies its error less",
        "",
        _length(survey.diameter, unit),
    )


def _band(survey: Survey, unit: Unit) -> Step:
    pulls = [
        (abs(gain), reading)
        for gain, reading in zip(survey.fit.gains, survey.readings, strict=True)
        if abs(gain) > 1e-9
    ]
    plus_minus = f"±{_length(survey.expanded_uncertainty, unit)} at 95 %"
    if len(pulls) == 1:
        gain, reading = pulls[0]
        return Step(
            f"Band: an error in this reading grows {gain:.2f} times on its way to the diameter",
            f"{_number(reading.expanded_uncertainty, unit)} × {gain:.3f}",
            plus_minus,
        )
    terms = [f"({gain:.3f} × {_number(reading.expanded_uncertainty, unit)})²" for gain, reading in pulls]
    shown = " + ".join(terms[:3]) + (f" + ... ({len(terms)} readings)" if len(terms) > 3 else "")
    title = "Band: what each reading is good to, times how hard it pulls on the diameter; squares added, then the root"
    return Step(title, f"√( {shown} )", plus_minus)


def _agreement(survey: Survey) -> Iterator[Step]:
    fit = survey.fit
    if fit.degrees_of_freedom < 1:
        return
    says = "the readings agree with what they are good to" if fit.agrees else "the readings contradict each other"
    yield Step(
        "Check: each reading less what the circle makes it, over its standard uncertainty; the squares should add "
        f"up to about {fit.degrees_of_freedom}, the number of readings to spare",
        "sum of squares",
        f"{fit.chi_square:.2f}; honest readings reach that in {fit.probability:.1%} of cases: {says}",
    )


def _rounding(survey: Survey, unit: Unit) -> Step:
    title = "Rounding to a published size"
    measured = f"{_length(survey.diameter, unit)} ± {_length(survey.expanded_uncertainty, unit)}"
    match survey.verdict:
        case Verdict.ONE:
            best = survey.ranking.leading[0].pattern
            size = f"{size_text(best.bolt_circle, unit)} {unit.value}"
            share = sum(candidate.probability for candidate in survey.ranking.leading)
            return Step(
                title,
                "",
                f"justified: {measured} means {size} ({best.designation}); nothing else in the tables is in reach "
                f"({share:.1%} sure)",
            )
        case Verdict.SEVERAL:
            sizes = sorted({round(from_mm(row.pattern.bolt_circle, unit), 4) for row in survey.ranking.leading})
            names = ", ".join(f"{size:g}" for size in sizes[:6]) + (" and more" if len(sizes) > 6 else "")
            reach = f"{names} {unit.value} " + ("can all be meant" if len(sizes) > 1 else "is not sure enough")
            return Step(title, "", f"not justified yet: with {measured} and what a made part may be off, {reach}")
        case Verdict.NONE:
            near = f"no table has {survey.hole_count} holes near {measured}"
            return Step(title, "", f"not justified: {near}; keep it as measured")
