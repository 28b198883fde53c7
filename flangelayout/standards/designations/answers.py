"""What a look-up answers: one row, several to choose from, or none with the nearest."""

from enum import Enum, auto
from typing import TypeAlias

from msgspec import Struct

from flangelayout.standards.designations.names import GradeAlias
from flangelayout.standards.designations.reading import DesignationReading
from flangelayout.standards.pattern import Pattern


class Why(Enum):
    """Why a look-up asks instead of choosing."""

    SEVERAL_ROWS = auto()
    """Several rows answer to all that is written."""
    WHEEL_OR_PIPE = auto()
    """Two numbers may be holes and circle as well as size and class."""
    OLDER_ISSUE = auto()
    """An older issue of the standard has another drilling under the same name."""
    DOUBTFUL_NAME = auto()
    """That the name means this drilling is not certain."""
    BY_SIZES = auto()
    """No designation, but hole count, circle or hole of these rows."""


class Found(Struct, frozen=True):
    """The one row that is meant.

    Attributes:
        row: It.
        reading: How the text was read.
        grades: Classes in it that the row's table lists under another name.
    """

    row: Pattern
    reading: DesignationReading
    grades: tuple[GradeAlias, ...] = ()


class Asked(Struct, frozen=True):
    """Rows any of which may be meant.

    Attributes:
        rows: They, the trade's own standards first.
        why: Why none was chosen.
        reading: How the text was read.
        grades: Classes in it that a table lists under another name.
    """

    rows: tuple[Pattern, ...]
    why: Why
    reading: DesignationReading
    grades: tuple[GradeAlias, ...] = ()


class Missed(Struct, frozen=True):
    """No row.

    Attributes:
        nearest: The rows that share most with what was asked; may be none.
        unknown: Words that no table knows.
        reading: How the text was read.
    """

    nearest: tuple[Pattern, ...]
    unknown: tuple[str, ...]
    reading: DesignationReading


Answer: TypeAlias = Found | Asked | Missed
