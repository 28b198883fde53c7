"""Kinds of problem of the published tables."""

from enum import auto

from flangelayout.problems.kind import ProblemKind


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
    OWN_UNIT_MISSING = auto()
    OWN_COLUMNS = auto()
    """Facts: ``wrong``, ``known``."""
    OWN_ROW = auto()
    """Facts: ``written``."""
