"""Whether a job may be cut by its readings: what stands in the way, as problems at the readings they concern."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, assert_never

from flangelayout.errors import Problem
from flangelayout.facts import Length
from flangelayout.flange.origin import Doubt
from flangelayout.problems.job import JobProblem
from flangelayout.units import Unit

if TYPE_CHECKING:
    from flangelayout.survey import Survey
    from flangelayout.survey.obstacles import NotOneAnswer, Obstacle

_MOST_NAMED = 6
"""Standards that are named where several fit."""


def standing_in_the_way(survey: "Survey", found: "Obstacle", where: str, unit: Unit) -> Problem:
    """One thing that speaks against cutting by the readings, at the reading or the key it concerns.

    Args:
        survey: What the readings say.
        found: What stands in the way.
        where: The key that asks for the circle, without its ``diameter``.
        unit: Unit of the job.
    """
    from flangelayout.survey.obstacles import (
        CountUncertain,
        NotEquallySpaced,
        NotOneAnswer,
        ReadingsDisagree,
        SuspectReadings,
        UnitUncertain,
    )

    match found:
        case ReadingsDisagree(worst=worst, off_by=off):
            return Problem(_reading(survey, worst), JobProblem.READINGS_DISAGREE, off_by=Length(abs(off), unit))
        case SuspectReadings(indices=indices, off_by=off, mistake=mistake, diameter=diameter):
            at, off_by, circle = _reading(survey, indices[0]), Length(abs(off), unit), Length(diameter, unit)
            return Problem(at, JobProblem.READING_SUSPECT, off_by=off_by, cause=mistake.cause, circle=circle)
        case NotEquallySpaced(angles=angles, proven=proven):
            return _uneven(angles, proven, f"{where}.diameter")
        case NotOneAnswer():
            return _not_one(survey, found, f"{where}.diameter")
        case CountUncertain(given=given, fits=fits):
            counts, names = tuple(count for count, _ in fits), tuple(one.pattern.designation for _, one in fits)
            return Problem("survey.hole_count", JobProblem.COUNT_DOUBTED, given=given, counts=counts, names=names)
        case UnitUncertain(other=other):
            names = tuple(candidate.pattern.designation for candidate in other.leading[:_MOST_NAMED])
            return Problem("units", JobProblem.UNIT_DOUBTED, unit=other.unit, names=names)
        case _:
            assert_never(found)


def doubts(found: "tuple[Obstacle, ...]") -> Iterator[Doubt]:
    """What speaks against readings that are used all the same, each once."""
    from flangelayout.survey.obstacles import (
        CountUncertain,
        NotEquallySpaced,
        NotOneAnswer,
        ReadingsDisagree,
        SuspectReadings,
        UnitUncertain,
    )

    kinds = {
        ReadingsDisagree: Doubt.DISAGREE,
        SuspectReadings: Doubt.SUSPECT,
        NotEquallySpaced: Doubt.UNEVEN,
        NotOneAnswer: Doubt.NOT_ONE,
        CountUncertain: Doubt.COUNT,
        UnitUncertain: Doubt.UNIT,
    }
    return iter(dict.fromkeys(kinds[type(each)] for each in found))


def _reading(survey: "Survey", index: int) -> str:
    return survey.readings[index].where or "survey"


def _uneven(angles: tuple[float, ...], proven: bool, where: str) -> Problem:
    places = tuple(f"{angle:.2f}°" for angle in angles)
    if proven:
        return Problem(where, JobProblem.HOLES_UNEVEN, angles=places)
    return Problem(where, JobProblem.HOLES_MAYBE_UNEVEN, angles=places)


def _not_one(survey: "Survey", found: "NotOneAnswer", where: str) -> Problem:
    """That no published drilling, or more than one, fits; and which reading would tell them apart."""
    from flangelayout.survey.candidates import Verdict

    if found.verdict is Verdict.OPEN:
        return Problem(where, JobProblem.STANDARD_OPEN)
    named = {candidate.drilling: candidate.pattern.designation for candidate in reversed(found.candidates)}
    every = tuple(reversed(named.values()))
    if not every:
        return Problem(where, JobProblem.NO_STANDARD_FITS)
    count, names, following = len(every), every[:_MOST_NAMED], survey.next_reading
    if count == 1:
        return Problem(where, JobProblem.ONE_NOT_SURE, name=names[0])
    if following is None:
        return Problem(where, JobProblem.SEVERAL_FIT, count=count, names=names)
    reading = following.kind
    if following.pitches is None:
        return Problem(where, JobProblem.SEVERAL_FIT_MEASURE, count=count, names=names, reading=reading)
    across = JobProblem.SEVERAL_FIT_MEASURE_ACROSS
    return Problem(where, across, count=count, names=names, reading=reading, pitches=following.pitches)
