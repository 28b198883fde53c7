"""What can be wrong with a printer, a page, a drawing program or a file that is drawn."""

from enum import auto

from flangelayout.problems import ProblemKind


class OutputProblem(ProblemKind):
    """Of one page, one file or one program."""

    BAR_IN_INCHES = auto()
    BAR_FITTED_TO_PAGE = auto()
    DIAGONALS_CONTRADICT = auto()
    PREVIEW_NEEDS = auto()
    NOTHING_TO_CUT = auto()
    NOT_FOR_A_CUT_FILE = auto()
    CUT_TWICE = auto()
    LAYER_SIGNS = auto()
    LAYER_LENGTH = auto()
    SHEET_BEYOND_PDF = auto()
    NO_SCALE_FITS = auto()
    STRIP_OFF_THE_PAGE = auto()
    OVERLAP_TOO_WIDE = auto()
    MARK_WITHOUT_ROOM = auto()
    TOP_MARK_WITHOUT_ROOM = auto()
    HEAD_WITHOUT_PLATE = auto()
    PRINTER_NOT_GIVEN = auto()
    NOTHING_TO_NEST = auto()
    DOES_NOT_FIT = auto()
    THICKNESSES_DIFFER = auto()
    NEST_KEY_DIFFERS = auto()
    OUTSIDE_EVERY_PART = auto()
    NOT_FOR_A_NEST = auto()
