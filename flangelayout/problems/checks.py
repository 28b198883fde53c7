"""What can be wrong with flanges to be mated or with a part to be inspected."""

from enum import auto

from flangelayout.problems import ProblemKind


class CheckProblem(ProblemKind):
    """Of one pair of flanges, or of one finished part."""

    PATTERN_WITHOUT_HOLE = auto()
    PATTERN_UNEQUAL = auto()
    TOO_MANY_TO_COMPARE = auto()
    NO_HOLES_TO_LAY = auto()
    NOT_A_BOLT = auto()
    NO_BOLT_NAMED = auto()
    SOME_HOLES_UNNAMED = auto()
    WIDTHS_NOT_BY_PLACE = auto()
    THREADS_TAKE_NO_BOLT = auto()
    TOO_FEW_MEASURED = auto()
    MORE_MEASURED_THAN_DRAWN = auto()
    NO_SUCH_HOLE = auto()
    HOLE_TWICE = auto()
    EMPTY_FILE = auto()
    TOO_MANY_ROWS = auto()
    MORE_CELLS_THAN_COLUMNS = auto()
    BORE_TWICE = auto()
    UNKNOWN_COLUMN = auto()
    COLUMN_TWICE = auto()
    COLUMN_MISSING = auto()
    UNIT_UNKNOWN = auto()
    EMPTY_CELL = auto()
    DIAMETER_NOT_ABOVE_ZERO = auto()
    WIDTH_MISREAD = auto()
    NO_PAIR_OF_HOLES = auto()
    NAMES_NO_HOLE = auto()
    NO_BORE_DRAWN = auto()
    NOT_ROUND = auto()
    PLACE_AMONG_READINGS = auto()
    DATUM_WITHOUT_PLACES = auto()
    NOTHING_MEASURED = auto()
    NO_FORM = auto()
    CONTRADICTION = auto()
