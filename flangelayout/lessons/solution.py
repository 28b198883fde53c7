"""The way from the readings of an exercise to its answer, step by step, with the numbers a learner writes down."""

import math
from enum import Enum

from msgspec import Struct

from flangelayout.lessons.exercise import Exercise
from flangelayout.survey import Kind
from flangelayout.units import Unit, from_mm, parse_length


class Task(Enum):
    """What a learner is asked for."""

    WRONG = "wrong reading, between holes"
    MEAN = "mean reading"
    HOLE = "mean hole"
    CENTERS = "center distance"
    FACTOR = "factor"
    CIRCLE = "bolt circle"
    STANDARD = "standard size"


class SolutionStep(Struct, frozen=True):
    """One line of the working: what is asked, how it is worked out, and the answer."""

    task: Task
    working: str
    answer: str


def solution(exercise: Exercise) -> tuple[SolutionStep, ...]:
    """The steps in the order they are done; numbers in the unit of the exercise, each worked on as it is written."""
    good = [parse_length(text, exercise.unit) for index, text in enumerate(exercise.texts) if index != exercise.wrong]
    places = 2 if exercise.unit is Unit.MM else 4
    mean, hole = (
        _half_up(from_mm(value, exercise.unit), places) for value in (sum(good) / len(good), exercise.hole_diameter)
    )
    gap = exercise.kind is Kind.NEAR_EDGES
    centers = mean + hole if gap else mean
    factor = round(math.sin(math.pi / exercise.hole_count), 5)
    total = _half_up(from_mm(sum(good), exercise.unit), places)
    steps = [
        SolutionStep(Task.MEAN, f"{total:.{places}f} ÷ {len(good)}", f"{mean:.{places}f}"),
        SolutionStep(Task.CENTERS, f"{mean:.{places}f} + {hole:.{places}f}", f"{centers:.{places}f}")
        if gap
        else SolutionStep(Task.CENTERS, "same edges: as read", f"{centers:.{places}f}"),
        SolutionStep(Task.FACTOR, f"sin (180° ÷ {exercise.hole_count})", f"{factor:.5f}"),
        SolutionStep(Task.CIRCLE, f"{centers:.{places}f} ÷ {factor:.5f}", f"{centers / factor:.{places - 1}f}"),
        SolutionStep(Task.STANDARD, _drilling(exercise), ", ".join(row.designation for row in exercise.answers)),
    ]
    if gap:
        texts = " + ".join(exercise.hole_texts)
        steps.insert(1, SolutionStep(Task.HOLE, f"({texts}) ÷ {len(exercise.hole_texts)}", f"{hole:.{places}f}"))
    if exercise.wrong is not None:
        steps.insert(0, _wrong_step(exercise, sum(good) / len(good)))
    return tuple(steps)


def _half_up(value: float, places: int) -> float:
    """As a pupil rounds: 2.28125 to four places is 2.2813."""
    return math.floor(value * 10.0**places + 0.5 + 1e-6) / 10.0**places


def _wrong_step(exercise: Exercise, mean: float) -> SolutionStep:
    index = exercise.wrong or 0
    off = parse_length(exercise.texts[index], exercise.unit) - mean
    more = "more" if off > 0 else "less"
    size = f"{abs(from_mm(off, exercise.unit)):.{1 if exercise.unit is Unit.MM else 2}f}"
    return SolutionStep(
        Task.WRONG, f"{size} {more} than the rest", f"{index + 1} and {(index + 1) % exercise.hole_count + 1}"
    )


def _drilling(exercise: Exercise) -> str:
    row = exercise.answers[0]
    circle, hole = (from_mm(value or 0.0, exercise.unit) for value in (row.bolt_circle, row.hole_diameter))
    return f"{row.hole_count} × {hole:.4g} on {circle:.5g}"
