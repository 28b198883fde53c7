"""What can be wrong with a length or an angle as a person writes it."""

from enum import auto

from flangelayout.problems.kind import ProblemKind


class UnitProblem(ProblemKind):
    """Of one text or number."""

    UNKNOWN_UNIT = auto()
    NOT_DEGREES = auto()
    NO_LENGTH = auto()
    NO_ANGLE = auto()
    LENGTH_BY_ZERO = auto()
    ANGLE_BY_ZERO = auto()
    COMMA_OF_TWO_MEANINGS = auto()
    THOUSANDS = auto()
    SEVERAL_NUMBERS = auto()
    BEYOND_FLOATS = auto()
    NOT_FINITE = auto()
    BEYOND_LENGTHS = auto()
