"""What can be done about a problem, where several kinds share it or a door says it in its own words."""

from enum import Enum, auto


class Cure(Enum):
    """What would put a problem right; each door words it with what a person can do there.

    The facts it is worded with are those of its problem.
    """

    RENAME_OR_ELSEWHERE_OR_OVERWRITE = auto()
    """A file that is there must stay: rename it, write to another folder, or say that it may be replaced."""
    ADD = auto()
    """Add the key."""
    ADD_PLATE = auto()
    """Add the table of the plate with its first size."""
    WRITE_FOR_EXAMPLE = auto()
    """Write the key, as in the examples. Facts: ``key``, ``examples``."""
    DID_YOU_MEAN = auto()
    """A name that is nearly the same. Fact: ``near``."""
    IT_IS_WRITTEN = auto()
    """The trade's word for a key of this table. Fact: ``near``."""
    IT_IS_WRITTEN_IN = auto()
    """The trade's word for a key of another table. Facts: ``near``, ``table``."""
    USE_ONE_OF = auto()
    """There are few names it can be. Fact: ``names``."""
    SEE_KEYS = auto()
    """There are many keys; the reference lists them. Fact: ``table``."""
    WRITE_FOR_EXAMPLE_OR_BOLT = auto()
    """As WRITE_FOR_EXAMPLE, or name the bolt that goes through. Facts: ``key``, ``examples``."""
    WRITE_FOR_EXAMPLE_OR_STANDARD = auto()
    """As WRITE_FOR_EXAMPLE, or name a standard that gives it. Facts: ``key``, ``examples``."""
    WRITE_TABLES = auto()
    """Write a table for each. Fact: ``header``."""
    CORRECT_ONE_OF_THEM = auto()
    """Two sizes contradict each other."""
    CORRECT_THE_LIST = auto()
    """A list of numbers does not fit."""
    USE_TILES = auto()
    """Only the usual style of template will do for the plate."""
    WRITE_SO = auto()
    """A line of a file is written otherwise. Fact: ``cured``, the line as it should be, as in the next ones."""
    WRITE_A_VALUE = auto()
    """Nothing stands behind the equals sign."""
    PUT_IN_QUOTES = auto()
    """A text or a fraction stands without quotes."""
    CLOSE_QUOTES = auto()
    """A text has no quotes at its end."""
    PLAIN_QUOTES = auto()
    """The quotes are those of a word processor."""
    SINGLE_QUOTES = auto()
    """A backslash in double quotes means something else."""
    POINT_FOR_COMMA = auto()
    """A number has a decimal comma."""
    IN_FOR_INCH_SIGN = auto()
    """The inch sign ends the quotes."""
    CLOSE_BRACKET = auto()
    """A list has no bracket at its end."""
    WRITE_KEY_AND_VALUE = auto()
    """A line is nothing that a file can hold."""
    MEASURE_PRINTER_FIRST = auto()
    """A printer is not known. Fact: ``name``."""
    MEASURE_PRINTER_AGAIN = auto()
    """What is kept of a printer is wrong. Fact: ``name``."""
    REVISE_OR_OVERWRITE = auto()
    """Another job would take the place of one that was drawn: write another revision or number, or replace it."""
    SEE_TABLES = auto()
    """The reference lists the tables of a file."""
    CHECK_NAME_AND_FOLDER = auto()
    """A file is not where it was said to be."""
