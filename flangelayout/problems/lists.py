"""What can be wrong with a list of jobs, with keys of a job in a call, and with what is bound from many jobs."""

from enum import auto

from flangelayout.problems import ProblemKind


class ListProblem(ProblemKind):
    """Of a list, one of its rows or columns, or of the files that many jobs come to."""

    EMPTY = auto()
    HEAD_ONLY = auto()
    TOO_MANY_ROWS = auto()
    TOO_MANY_COLUMNS = auto()
    NO_TEXT = auto()
    NO_CSV = auto()
    WORKBOOK_NEEDS_LIBRARY = auto()
    WORKBOOK_DAMAGED = auto()
    WORKBOOK_OF_MANY_PARTS = auto()
    WORKBOOK_UNPACKS_TOO_LARGE = auto()
    WORKBOOK_OF_MANY_CELLS = auto()
    WORKBOOK_WITH_DOCTYPE = auto()
    NO_JOB_FILES = auto()
    NO_HEADINGS = auto()
    UNKNOWN_COLUMN = auto()
    UNKNOWN_COLUMN_NEAR = auto()
    SAME_KEY = auto()
    CELL_UNDER_NO_COLUMN = auto()
    COUNT_WITH_SIZE = auto()
    COUNT_WITH_THREAD = auto()
    THREAD_AS_SIZE = auto()
    TWO_MEANINGS = auto()
    ROW_WITHOUT_FLANGE = auto()
    UNITS_DIFFER = auto()
    NO_SUCH_STANDARD = auto()
    UNITS_NOWHERE = auto()
    UNITS_EMPTY = auto()
    UNITS_EMPTY_OF_COLUMN = auto()
    WORD_NO_KEY = auto()
    UNKNOWN_KEY = auto()
    UNKNOWN_KEY_NEAR = auto()
    KEY_TWICE = auto()
    NO_NAME_TO_BIND = auto()
    NOTHING_TO_BIND = auto()
    CANNOT_BE_BOUND = auto()
