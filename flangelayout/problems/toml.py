"""What can be wrong with a job file before any key of it is read."""

from enum import auto

from flangelayout.problems.kind import ProblemKind


class TomlProblem(ProblemKind):
    """Of a text that should be TOML."""

    LINE_UNREADABLE = auto()
    TABLE_TWICE = auto()
    KEY_TWICE = auto()
    NESTED_TOO_DEEPLY = auto()
    NUMBER_WITHOUT_END = auto()
