"""Kinds of problem of the published tables."""

from enum import auto

from flangelayout.problems import ProblemKind


class StandardsProblem(ProblemKind):
    """Designations that name no row, or may name several."""

    EMPTY_DESIGNATION = auto()
    ENDLESS_DESIGNATION = auto()
    """Facts: ``length``."""
    IN_NO_TABLE = auto()
    """Facts: ``written``."""
    IN_NO_TABLE_BUT_NEAR = auto()
    """Facts: ``written``, ``nearest``."""
    UNKNOWN_WORD = auto()
    """Facts: ``written``, ``words``."""
    FITS_SEVERAL = auto()
    """Facts: ``written``, ``choices``."""
    FITS_MANY = auto()
    """Facts: ``written``, ``choices``, ``more``."""
    WHEEL_OR_PIPE = auto()
    """Facts: ``written``, ``choices``."""
    OLDER_ISSUE = auto()
    """Facts: ``written``, ``choices``."""
    DOUBTFUL_NAME = auto()
    """Facts: ``written``, ``choices``, ``note``."""
    SIZES_OF = auto()
    """Facts: ``written``, ``choices``."""
    SIZES_OF_MANY = auto()
    """Facts: ``written``, ``choices``, ``more``."""
    PIPE_FIT_MISSING = auto()
    """Facts: ``written``, ``known``."""
    PIPE_SIZE_MISSING = auto()
    """Facts: ``written``."""
    PIPE_SIZE_UNKNOWN = auto()
    """Facts: ``written``, ``known``."""
    PIPE_SCHEDULE_UNKNOWN = auto()
    """Facts: ``written``, ``size``, ``known``."""
    PIPE_WALL_MISSING = auto()
    """Facts: ``size``, ``known``."""
    PIPE_WALL_TOO_THICK = auto()
    """Facts: ``written``."""
    PIPE_NOT_UNDERSTOOD = auto()
    """Facts: ``written``, ``left``."""
    SLIP_ON_UNKNOWN = auto()
    """Facts: ``size``."""
    OWN_UNIT_MISSING = auto()
    OWN_COLUMNS = auto()
    """Facts: ``wrong``, ``known``."""
    OWN_ROW = auto()
    """Facts: ``written``."""
