"""What cannot be right about readings before any fitting: every problem found, one line each."""

import math
from collections.abc import Iterator, Sequence

from flangelayout.errors import InputError, Problem
from flangelayout.facts import Length
from flangelayout.problems.survey import SurveyProblem
from flangelayout.survey.kinds import CHORD_KINDS, KINDS, POSITION_KINDS, SINGLE_SIZES, Kind
from flangelayout.survey.readings import Assumptions, Reading, label
from flangelayout.units import Unit

FEWEST_HOLES = 2
MAX_HOLES = 400
_LONGEST = 100_000.0


def check_input(
    readings: Sequence[Reading],
    hole_count: int | None,
    hole_diameter: float | None = None,
    assume: Assumptions = Assumptions(),  # noqa: B008 - frozen
) -> None:
    """Nothing, if readings and settings can be worked with.

    Raises:
        InputError: With one problem per thing that cannot be right.
    """
    problems = [
        *_check_settings(hole_count, hole_diameter, assume.drilling_tolerance),
        *(problem for index in range(len(readings)) for problem in _check_reading(readings, index, hole_count)),
        *_check_against_rim(readings),
    ]
    if not 0 < assume.home_made < 1:
        problems.append(Problem("home-made share", SurveyProblem.NOT_A_SHARE, value=assume.home_made))
    if not readings:
        problems.append(Problem("readings", SurveyProblem.NO_READINGS))
    if problems:
        raise InputError(*problems)


def _check_settings(count: int | None, hole: float | None, tolerance: float | None) -> Iterator[Problem]:
    if count is not None and (isinstance(count, bool) or not isinstance(count, int)):
        yield Problem("hole count", SurveyProblem.NOT_A_WHOLE_COUNT, written=repr(count))
    elif count is not None and not FEWEST_HOLES <= count <= MAX_HOLES:
        yield count_problem(count)
    for name, value in (("hole diameter", hole), ("drilling tolerance", tolerance)):
        if value is not None and not 0 < value < _LONGEST:
            yield Problem(name, SurveyProblem.SETTING_NOT_POSITIVE, value=value)


def count_problem(count: int) -> Problem:
    """The problem with a hole count that makes no bolt circle."""
    return Problem("hole count", SurveyProblem.COUNT_BEYOND, count=count, fewest=FEWEST_HOLES, most=MAX_HOLES)


def _check_reading(readings: Sequence[Reading], index: int, count: int | None) -> Iterator[Problem]:
    reading, where = readings[index], label(readings, index)
    value, kind = Length(reading.value, reading.unit), reading.kind.value
    if not math.isfinite(reading.value) or abs(reading.value) > _LONGEST:
        yield Problem(where, SurveyProblem.UNMEASURABLE, value=reading.value)
    elif reading.value <= 0 and reading.kind not in POSITION_KINDS:
        yield Problem(where, SurveyProblem.READING_NOT_POSITIVE, value=value, reading=kind)
    if reading.within is not None and not 0 < reading.within < _LONGEST:
        yield Problem(where, SurveyProblem.WITHIN_NOT_POSITIVE, value=reading.within)
    if reading.kind in CHORD_KINDS:
        yield from _check_span(reading, where, count)
    elif reading.kind in POSITION_KINDS and reading.from_hole is None:
        yield Problem(where, SurveyProblem.NO_HOLE_NAMED, reading=kind)
    elif reading.kind in SINGLE_SIZES and (reading.to_hole is not None or reading.pitches is not None):
        yield Problem(where, SurveyProblem.SIZE_SPANS_NOTHING, reading=kind)
    for hole in (reading.from_hole, reading.to_hole):
        if hole is not None and (hole < 1 or (count is not None and hole > count)):
            highest = f"1 to {count}" if count is not None else "from 1 up"
            yield Problem(where, SurveyProblem.NO_SUCH_HOLE, hole=hole, numbers=highest)


def _check_span(reading: Reading, where: str, count: int | None) -> Iterator[Problem]:
    pair = (reading.from_hole is not None, reading.to_hole is not None)
    pitches = reading.pitches if any(pair) or reading.pitches is not None else KINDS[reading.kind].usual_pitches
    if any(pair) and pitches is not None:
        yield Problem(where, SurveyProblem.PAIR_AND_PITCHES)
    elif any(pair) and not all(pair):
        yield Problem(where, SurveyProblem.HALF_A_PAIR)
    elif reading.from_hole is not None and reading.from_hole == reading.to_hole:
        yield Problem(where, SurveyProblem.HOLE_TO_ITSELF, hole=reading.from_hole)
    elif pitches is not None and pitches < 1:
        yield Problem(where, SurveyProblem.NO_SPAN, pitches=pitches)
    elif pitches is not None and count is not None and pitches >= count > 1:
        yield Problem(where, SurveyProblem.SPAN_PAST_ALL, pitches=pitches, count=count, opposite=count // 2)


def _check_against_rim(readings: Sequence[Reading]) -> Iterator[Problem]:
    rims = [reading for reading in readings if reading.kind is Kind.OUTSIDE_DIAMETER and reading.value > 0]
    if not rims:
        return
    rim = max(rims, key=lambda reading: reading.value)
    for index, reading in enumerate(readings):
        if reading.kind in CHORD_KINDS | {Kind.BORE, Kind.HOLE_DIAMETER} and reading.value >= rim.value:
            yield Problem(
                label(readings, index),
                SurveyProblem.LONGER_THAN_RIM,
                value=Length(reading.value, reading.unit),
                rim=Length(rim.value, reading.unit),
            )


def length_problem(where: str, value: float, unit: Unit = Unit.MM) -> Problem | None:
    """The problem with a length that must be greater than 0, or None."""
    if math.isfinite(value) and 0 < value < _LONGEST:
        return None
    if not math.isfinite(value):
        return Problem(where, SurveyProblem.UNMEASURABLE, value=value)
    return Problem(where, SurveyProblem.SIZE_NOT_POSITIVE, value=Length(value, unit))
