"""What can be wrong with how a plate is to be cut."""

from enum import auto

from flangelayout.problems import ProblemKind


class CuttingProblem(ProblemKind):
    """Of the paths of one cut file."""

    UNDERSIZE_LEAVES_NOTHING = auto()
    KERF_CLOSES = auto()
    KERF_CLOSES_NOTCH = auto()
    KERF_LEAVES_UNCUT = auto()
    KERF_MEETS_ITSELF = auto()
    KERF_OVER_GAP = auto()
    CUTS_MEET_BY_KERF = auto()
    CUTS_MEET = auto()
    CUT_MEETS_ITSELF = auto()
