"""What can be wrong with a length or an angle as a person writes it, and with points, edges and contours."""

from enum import auto

from flangelayout.problems import ProblemKind


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


class GeometryProblem(ProblemKind):
    """Of one shape."""

    TOO_FEW_POINTS = auto()
    POINTS_ON_A_LINE = auto()
    CORNERS_LONGER_THAN_SIDE = auto()
    SETBACK_LEAVES_NOTHING = auto()
    SETBACK_OVER_INNER = auto()
    CORNER_OVER_HALF = auto()
    CORNER_MISSES_INNER_END = auto()
    NO_TANGENT = auto()
    CIRCLE_TOO_SMALL_TO_MOVE = auto()
    EDGE_CLOSES_OUTWARD = auto()
    EDGE_CLOSES_INWARD = auto()
    EDGE_FALLS_APART_OUTWARD = auto()
    EDGE_FALLS_APART_INWARD = auto()
