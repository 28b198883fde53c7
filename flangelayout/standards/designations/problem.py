"""The problem of a look-up that found no one row, as facts; rooms above say it."""

from typing import assert_never

from flangelayout.errors import InputError, Problem
from flangelayout.problems.standards import StandardsProblem
from flangelayout.standards.designations.answers import Answer, Asked, Found, Missed, Why
from flangelayout.standards.pattern import Pattern

_CHOICES_SHOWN = 6


def raise_unless_found(answer: Answer, where: str) -> Pattern:
    """The one row that was meant.

    Raises:
        InputError: If there is none, or several may be meant.
    """
    match answer:
        case Found():
            return answer.row
        case Asked():
            raise InputError(asked_problem(answer, where))
        case Missed():
            raise InputError(missed_problem(answer, where))
        case _:
            assert_never(answer)


def missed_problem(answer: Missed, where: str) -> Problem:
    """What to say where no row was found."""
    written = answer.reading.written
    if answer.nearest:
        nearest = tuple(row.designation for row in answer.nearest)
        return Problem(where, StandardsProblem.IN_NO_TABLE_BUT_NEAR, written=written, nearest=nearest)
    if answer.unknown:
        return Problem(where, StandardsProblem.UNKNOWN_WORD, written=written, words=answer.unknown)
    return Problem(where, StandardsProblem.IN_NO_TABLE, written=written)


def asked_problem(answer: Asked, where: str) -> Problem:
    """What to say where several rows may be meant."""
    written = answer.reading.written
    shown = tuple(row.designation for row in answer.rows[:_CHOICES_SHOWN])
    more = len(answer.rows) - len(shown)
    if answer.why is Why.DOUBTFUL_NAME:
        return Problem(where, StandardsProblem.DOUBTFUL_NAME, written=written, choices=shown, note=_doubt(answer))
    if more:
        many = StandardsProblem.SIZES_OF_MANY if answer.why is Why.BY_SIZES else StandardsProblem.FITS_MANY
        return Problem(where, many, written=written, choices=shown, more=more)
    match answer.why:
        case Why.WHEEL_OR_PIPE:
            return Problem(where, StandardsProblem.WHEEL_OR_PIPE, written=written, choices=shown)
        case Why.OLDER_ISSUE:
            return Problem(where, StandardsProblem.OLDER_ISSUE, written=written, choices=shown)
        case Why.BY_SIZES:
            return Problem(where, StandardsProblem.SIZES_OF, written=written, choices=shown)
        case Why.SEVERAL_ROWS:
            return Problem(where, StandardsProblem.FITS_SEVERAL, written=written, choices=shown)
        case _:
            assert_never(answer.why)


def _doubt(answer: Asked) -> str:
    """Why a name may not mean the row."""
    notes = [alias.note for alias in answer.reading.aliases if alias.doubtful]
    notes += [grade.note for grade in answer.grades if grade.doubtful]
    return notes[0]
