"""Exercises: each is found by hand from what stands on the sheet, and by the survey; judged by own arithmetic."""

import math
from collections.abc import Callable
from fractions import Fraction
from functools import cache
from statistics import median

import pytest

from builders import STAMP
from flangelayout.drawing.model import Label, SheetSet, Stamp
from flangelayout.drawing.textwidth import label_box
from flangelayout.errors import GeometryError
from flangelayout.lessons import Exercise, ReadingFault, exercises, solution
from flangelayout.lessons.solution import Task
from flangelayout.survey import Kind, measure
from flangelayout.units import Unit
from flangelayout.views.reports.exercise import ExerciseSet, exercise_sheets, key_sheets
from flangelayout.writers.pdf import write_pdf
from readers import pdf_pages_text
from rows import every_row

MM = {Unit.MM: 1.0, Unit.IN: 25.4}


@cache
def three(level: int) -> tuple[Exercise, ...]:
    return exercises(7, 3, level)


def number(text: str) -> float:
    return float(sum(Fraction(part) for part in text.split()))


def by_hand(exercise: Exercise) -> tuple[int | None, float]:
    """The reading that stands out, if one does, and the bolt circle in mm, from the texts on the sheet alone."""
    values = [number(text) * MM[exercise.unit] for text in exercise.texts]
    middle = median(values)
    worst = max(range(len(values)), key=lambda index: abs(values[index] - middle))
    stands_out = abs(values[worst] - middle) > (0.5 if exercise.unit is Unit.MM else 1.5)
    good = [value for index, value in enumerate(values) if not stands_out or index != worst]
    hole = sum(number(text) for text in exercise.hole_texts) / len(exercise.hole_texts) * MM[exercise.unit]
    centers = sum(good) / len(good) + (hole if exercise.kind is Kind.NEAR_EDGES else 0.0)
    return (worst if stands_out else None), centers / math.sin(math.pi / len(values))


def check(exercise: Exercise) -> None:
    wrong, circle = by_hand(exercise)
    assert exercise.wrong == wrong
    assert (exercise.fault is ReadingFault.MISREAD) == (wrong is not None)
    within = 0.8 if exercise.unit is Unit.MM else 0.02 * circle
    assert all(abs(circle - row.bolt_circle) < within for row in exercise.answers)
    steps = {step.task: step.answer for step in solution(exercise)}
    assert float(steps[Task.CIRCLE]) * MM[exercise.unit] == pytest.approx(circle, rel=2e-3)
    assert steps[Task.FACTOR] == f"{math.sin(math.pi / exercise.hole_count):.5f}"
    aside = () if wrong is None else (wrong,)
    surveyed = measure(exercise.readings, exercise.hole_count, exercise.hole_diameter, set_aside=aside)
    assert surveyed.candidates[0].pattern in exercise.answers


@every_row("level", [1, 2, 3])
def test_every_exercise_can_be_found_by_hand_and_by_the_survey(level: int) -> None:
    for exercise in three(level):
        check(exercise)


@pytest.mark.property_deep
@pytest.mark.parametrize("seed", range(1, 51))
def test_fifty_seeds_can_be_found(seed: int) -> None:
    for level in (1, 2, 3):
        for exercise in exercises(seed, 8, level):
            check(exercise)


def test_the_first_level_has_no_fault_and_the_second_one_in_each() -> None:
    assert {each.fault for each in three(1)} == {ReadingFault.NONE}
    assert {each.fault for each in three(2)} == {ReadingFault.MISREAD}
    assert {each.unit for each in three(3)} == {Unit.IN}


def test_every_step_is_worked_with_the_numbers_that_stand_above_it() -> None:
    for exercise in (*three(2), *three(3)):
        steps = {step.task: step for step in solution(exercise)}
        if exercise.kind is Kind.NEAR_EDGES:
            mean, hole = steps[Task.MEAN].answer, steps[Task.HOLE].answer
            assert steps[Task.CENTERS].working == f"{mean} + {hole}"
            assert float(steps[Task.CENTERS].answer) == pytest.approx(float(mean) + float(hole), abs=1e-6)
        assert steps[Task.CIRCLE].working == f"{steps[Task.CENTERS].answer} ÷ {steps[Task.FACTOR].answer}"


def test_same_seed_same_bytes_and_another_seed_other_flanges() -> None:
    def made(seed: int) -> bytes:
        return write_pdf(exercise_sheets(ExerciseSet("set", exercises(seed, 1, 2)), "A4", STAMP))

    assert made(4) == made(4)
    assert made(4) != made(5)


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_sheet_gives_nothing_away_and_the_key_says_it_all(paper: str) -> None:
    given = ExerciseSet("set 9, level 2", exercises(9, 4, 2))
    sheet = pdf_pages_text(write_pdf(exercise_sheets(given, paper, STAMP)))
    key = pdf_pages_text(write_pdf(key_sheets(given, paper, STAMP)))
    for exercise in given.exercises:
        designation = exercise.answers[0].designation
        circle = next(step.answer for step in solution(exercise) if step.task is Task.CIRCLE)
        assert designation not in sheet
        assert designation.split()[0] in key
        assert circle in key
        assert all(text in sheet for text in exercise.texts)


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["A4", "Letter", "A3", "Tabloid"])
@pytest.mark.parametrize("drawn", [exercise_sheets, key_sheets])
def test_no_text_stands_on_another(paper: str, drawn: Callable[[ExerciseSet, str, Stamp], SheetSet]) -> None:
    for sheet in drawn(ExerciseSet("set", exercises(7, 6, 3)), paper, STAMP).sheets:
        texts = [item.what for item in sheet.furniture if isinstance(item.what, Label)]
        for index, text in enumerate(texts):
            box = label_box(text)
            assert not [other.text for other in texts[index + 1 :] if label_box(other).overlaps(box)], text.text


@every_row(("count", "level"), [(0, 1), (61, 1), (4, 0), (4, 4)])
def test_what_is_not_offered_is_refused(count: int, level: int) -> None:
    with pytest.raises(GeometryError, match="exercises come 1 to 60"):
        exercises(1, count, level)
