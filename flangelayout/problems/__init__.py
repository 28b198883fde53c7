"""What can be wrong, one closed choice per room, and what can be done about it.

A kind says nothing: its sentence stands in :mod:`flangelayout.english`, in the module of the same name.
"""

from enum import Enum


class ProblemKind(Enum):
    """A kind of problem; every room closes its own choice of them in a module beside this one."""
