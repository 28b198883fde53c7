"""What can be wrong with one key of a job file, a shop file or a border, or with its value."""

from enum import auto

from flangelayout.problems import ProblemKind


class SchemaProblem(ProblemKind):
    """Of one key."""

    MISSING = auto()
    UNKNOWN_KEY = auto()
    NOT_A_TABLE = auto()
    NOT_A_LIST = auto()
    NOT_TABLES = auto()
    TOO_MANY = auto()
    EMPTY = auto()
    NEEDS_TEXT = auto()
    TEXT_TOO_LONG = auto()
    NO_LAYER_NAME = auto()
    NOT_A_FLAG = auto()
    NOT_A_CHOICE = auto()
    NOT_A_NUMBER = auto()
    NOT_WHOLE = auto()
    BEYOND_COUNTING = auto()
    TOO_SMALL = auto()
    TOO_LARGE = auto()
    NEEDS_LENGTH = auto()
    OVER_20_M = auto()
    BELOW_LEAST_SIZE = auto()
    NOT_ABOVE_ZERO = auto()
    BELOW_ZERO = auto()
    LENGTH_OUT_OF_RANGE = auto()
    NEEDS_ANGLE = auto()
    NEEDS_MASS = auto()
    BEYOND_A_TURN = auto()
    NOT_POSSIBLE = auto()
    NOT_LEFT_OUT = auto()


class TomlProblem(ProblemKind):
    """Of a text that should be TOML."""

    LINE_UNREADABLE = auto()
    TABLE_TWICE = auto()
    KEY_TWICE = auto()
    NESTED_TOO_DEEPLY = auto()
    NUMBER_WITHOUT_END = auto()
