"""What can be done about a problem where that is not said alike at every door."""

from enum import Enum, auto


class Cure(Enum):
    """What would put a problem right; each door words it with what a person can do there.

    The facts it is worded with are those of its problem.
    """

    RENAME_OR_ELSEWHERE_OR_OVERWRITE = auto()
    """A file that is there must stay: rename it, write to another folder, or say that it may be replaced."""
