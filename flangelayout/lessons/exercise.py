"""Exercises: readings of an invented flange that is drilled as a published row, and at higher levels one fault."""

import random
from collections.abc import Iterator
from enum import Enum
from fractions import Fraction

from msgspec import Struct

from flangelayout.errors import GeometryError
from flangelayout.flange import chord_across
from flangelayout.standards import Pattern, search
from flangelayout.survey import Kind, Reading, Survey, measure
from flangelayout.units import Unit, parse_length, to_mm

LEVELS = (1, 2, 3)
MOST_EXERCISES = 60
_PLACES = (
    "Old pump flange",
    "Screen house flange",
    "Settling tank nozzle",
    "Lower raceway valve",
    "Spring box outlet",
    "Fry tank inlet",
    "Silt trap cover",
    "Weir gate spool",
    "Header blank",
    "Filter house flange",
    "Aeration blower flange",
    "Drain sump flange",
    "Upper pond outlet",
    "Hatch room manifold",
    "Feed store standpipe",
    "Bypass line flange",
)
_GRADES = {
    Unit.MM: ("EN 1092-1 PN10", "EN 1092-1 PN16", "EN 1092-1 PN40"),
    Unit.IN: ("ASME B16.5 class 150", "ASME B16.5 class 300"),
}
_SMALLEST, _LARGEST = 80.0, 520.0
"""Bolt circles in mm that a bench caliper reaches over."""
_MOST_HOLES = 16
_MISREADS = (1.6, 1.8, 2.0, 2.4, 3.0, 5.0)
_RULE_STEP = Fraction(1, 32)
_MOST_TRIES = 400


class ReadingFault(Enum):
    """What is wrong with the readings of an exercise."""

    NONE = "none"
    MISREAD = "one reading is wrong"


class Exercise(Struct, frozen=True):
    """One flange to find.

    Attributes:
        name: Where it stands, invented.
        kind: How the caliper was held, from every hole to the next.
        unit: Of every reading.
        hole_texts: What the caliper said of three holes.
        texts: What it said between hole 1 and 2, 2 and 3, and so on round to hole 1.
        answers: The row it is drilled as, and every row with the same drilling.
        fault: What is wrong.
        wrong: Index of the wrong reading; ``None`` where none is.
    """

    name: str
    kind: Kind
    unit: Unit
    hole_texts: tuple[str, ...]
    texts: tuple[str, ...]
    answers: tuple[Pattern, ...]
    fault: ReadingFault = ReadingFault.NONE
    wrong: int | None = None

    @property
    def hole_count(self) -> int:
        """Holes on the circle, and readings between them."""
        return len(self.texts)

    @property
    def readings(self) -> tuple[Reading, ...]:
        """The readings as a survey takes them, in mm."""
        ends = ((number, number % self.hole_count + 1) for number in range(1, self.hole_count + 1))
        return tuple(
            Reading(self.kind, parse_length(text, self.unit), from_hole=first, to_hole=second, unit=self.unit)
            for text, (first, second) in zip(self.texts, ends, strict=True)
        )

    @property
    def hole_diameter(self) -> float:
        """Mean of the holes as read, in mm."""
        return sum(parse_length(text, self.unit) for text in self.hole_texts) / len(self.hole_texts)


def exercises(seed: int, count: int, level: int) -> tuple[Exercise, ...]:
    """Invented flanges, each of which the survey solves; the same seed gives the same ones.

    Args:
        seed: Any whole number.
        count: How many, 1 to 60.
        level: 1: same edges, mm, nothing wrong. 2: gaps between holes, mm, one reading wrong. 3: gaps or same edges,
            inches read with a rule, one reading wrong in most.

    Raises:
        GeometryError: If ``count`` or ``level`` is out of range.
    """
    if not 1 <= count <= MOST_EXERCISES or level not in LEVELS:
        raise GeometryError(f"exercises come 1 to {MOST_EXERCISES} at a time, at level 1 to {LEVELS[-1]}")
    chance = random.Random(f"exercise {seed} {level}")
    names = _names(chance)
    found: list[Exercise] = []
    for _ in range(_MOST_TRIES):
        one = _invented(chance, next(names), level)
        if is_solved(one):
            found.append(one)
        if len(found) == count:
            return tuple(found)
    raise GeometryError(f"seed {seed} gives no {count} flanges that can be found")


def is_solved(exercise: Exercise) -> bool:
    """Whether the survey finds the drilling from the readings, and the wrong reading where there is one."""
    surveyed = _surveyed(exercise)
    if exercise.wrong is None:
        return surveyed.agrees and _leads(surveyed, exercise)
    named = any(suspect.readings == (exercise.wrong,) for suspect in surveyed.suspects)
    return not surveyed.agrees and named and _leads(_surveyed(exercise, (exercise.wrong,)), exercise)


def _surveyed(exercise: Exercise, set_aside: tuple[int, ...] = ()) -> Survey:
    return measure(exercise.readings, exercise.hole_count, exercise.hole_diameter, set_aside=set_aside)


def _leads(surveyed: Survey, exercise: Exercise) -> bool:
    """Whether a row of the answer is the most probable one."""
    return bool(surveyed.candidates) and surveyed.candidates[0].pattern in exercise.answers


def _names(chance: random.Random) -> Iterator[str]:
    while True:
        yield from chance.sample(_PLACES, len(_PLACES))


def _invented(chance: random.Random, name: str, level: int) -> Exercise:
    unit = Unit.IN if level == 3 else Unit.MM
    row = chance.choice(_pool(chance.choice(_GRADES[unit])))
    kind = Kind.SAME_EDGES if level == 1 or (level == 3 and chance.random() < 0.4) else Kind.NEAR_EDGES
    hole = row.hole_diameter or 0.0
    true = chord_across(row.bolt_circle, row.hole_count) - (hole if kind is Kind.NEAR_EDGES else 0.0)
    lengths = [true + _scatter(chance, unit) for _ in range(row.hole_count)]
    fault = ReadingFault.NONE if level == 1 or (level == 3 and chance.random() < 0.3) else ReadingFault.MISREAD
    wrong = chance.randrange(row.hole_count) if fault is ReadingFault.MISREAD else None
    if wrong is not None:
        lengths[wrong] += chance.choice(_MISREADS) * chance.choice((-1, 1)) * (1.6 if unit is Unit.IN else 1.0)
    return Exercise(
        name=name,
        kind=kind,
        unit=unit,
        hole_texts=tuple(_text(hole + _scatter(chance, unit) * 0.6, unit) for _ in range(3)),
        texts=tuple(_text(length, unit) for length in lengths),
        answers=_same_drilling(row),
        fault=fault,
        wrong=wrong,
    )


def _pool(grade: str) -> tuple[Pattern, ...]:
    return tuple(
        row
        for row in search(grade)
        if _SMALLEST <= row.bolt_circle <= _LARGEST
        and row.hole_diameter
        and row.equally_spaced
        and row.hole_count <= 16
    )


def _same_drilling(row: Pattern) -> tuple[Pattern, ...]:
    """The row and every other pipe flange with the same circle, count and hole."""
    drilling = (row.bolt_circle, row.hole_count, row.hole_diameter)
    same = search(hole_count=row.hole_count, diameter_between=(row.bolt_circle, row.bolt_circle))
    return tuple(each for each in same if (each.bolt_circle, each.hole_count, each.hole_diameter) == drilling)


def _scatter(chance: random.Random, unit: Unit) -> float:
    """How far one reading is off, in mm: a caliper to 0.1 mm, a rule to 1/32 in."""
    return chance.gauss(0.0, 0.06) if unit is Unit.MM else chance.gauss(0.0, 0.2)


def _text(length: float, unit: Unit) -> str:
    """A length as the instrument says it."""
    if unit is Unit.MM:
        return f"{length:.1f}"
    whole, rest = divmod(round(length / to_mm(float(_RULE_STEP), Unit.IN)) * _RULE_STEP, 1)
    return " ".join(part for part in (str(whole) if whole else "", str(rest) if rest else "") if part) or "0"
