"""What can be wrong with a file before its content is understood, or with writing one."""

from enum import Enum, auto

from flangelayout.problems import ProblemKind


class FileRole(Enum):
    """What a file is to be."""

    JOB = auto()
    SHOP = auto()
    PRINTERS = auto()
    MEASURED = auto()
    LIST = auto()
    OWN_PATTERNS = auto()
    SHEET = auto()
    PICTURE = auto()
    SCANNERS = auto()


class ProgramPart(Enum):
    """What an installation brings along."""

    STARTERS = auto()
    SAMPLES = auto()


class FileProblem(ProblemKind):
    """Of one file, or of a record in it."""

    A_FOLDER = auto()
    NO_PLAIN_FILE = auto()
    TOO_LARGE = auto()
    GROWN_TOO_LARGE = auto()
    UNREADABLE = auto()
    NO_FILE_NAME = auto()
    NOT_UTF_8 = auto()
    CANNOT_BE_WRITTEN = auto()
    FOREIGN = auto()
    EDITED = auto()
    PART_OF_PROGRAM_MISSING = auto()
    DEVICES_DAMAGED = auto()
    PRINTER_NO_TABLE = auto()
    PRINTER_KEY_MISSING = auto()
    PRINTER_KEY_FOREIGN = auto()
    PRINTER_PAPER_UNKNOWN = auto()
    PRINTER_FACTOR = auto()
    PRINTER_UNKNOWN = auto()
    PRINTER_NAME = auto()
    SCANNER_UNKNOWN = auto()
    SCANNER_DAMAGED = auto()
    SCANNER_BEYOND = auto()
    SHEET_TOO_LARGE = auto()
    SHEET_NO_PDF = auto()
    SHEET_DAMAGED = auto()
    SHEET_WITHOUT_JOB = auto()
    SHEET_JOB_TOO_LARGE = auto()
    ISSUED = auto()
