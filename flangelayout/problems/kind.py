"""What every room's kinds of problem are."""

from enum import Enum


class ProblemKind(Enum):
    """A kind of problem; every room closes its own choice of them in a module beside this one."""
