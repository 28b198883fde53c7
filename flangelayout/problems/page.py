"""What the page takes from nobody, or leaves to the command line."""

from enum import auto

from flangelayout.problems import ProblemKind


class PageProblem(ProblemKind):
    """Of one address, one file or one job on the page."""

    TOO_MANY_HOLES_TO_CHECK = auto()
    TOO_MANY_OPENINGS_TO_CHECK = auto()
    TOO_MANY_HOLES_TO_MAKE = auto()
    TOO_MANY_PAGES_TO_MAKE = auto()
    TOO_MANY_READINGS = auto()
    NOT_SOUND_YET = auto()
    ADDRESS_TOO_LONG = auto()
    ADDRESS_TOO_MANY_FIELDS = auto()
    NO_KEY_OF_A_JOB = auto()
    TABLES_AND_VALUES = auto()
    LINE_BREAK_INSIDE = auto()
    NO_USE_IN_A_JOB = auto()
    NO_SUCH_JOB_IN_FOLDER = auto()
    JOB_GONE = auto()
    NUMBER_NO_FILE_NAME = auto()
    FOLDER_UNUSABLE = auto()
    PORT_UNUSABLE = auto()
    NO_PRIVATE_NETWORK = auto()
    UPLOAD_TOO_LARGE = auto()
    NESTED_AS_NO_JOB = auto()
    UPLOAD_NOT_UTF_8 = auto()
    A_LIST_OF_JOBS = auto()
    A_PICTURE = auto()
    NO_LIST = auto()
    TOO_MANY_ROWS = auto()
    TOO_MANY_HOLES_IN_LIST = auto()
    NOTHING_LEFT_OF_PLATE = auto()
    NO_PLATE_SIZE = auto()
    NO_ROW_TO_MAKE = auto()
