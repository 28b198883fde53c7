"""One thing a check found."""

from dataclasses import dataclass
from enum import Enum


class Severity(Enum):
    """How much a finding matters: an error stops the job, a warning and a note are printed."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Finding:
    """What a rule found.

    Attributes:
        rule: Name of the rule, lower case with hyphens.
        severity: See :class:`Severity`.
        where: The job key or the part it concerns.
        text: One sentence with the numbers and, where something is wrong, what would cure it.
        source: Published source of the limit, ``common practice``, or empty for plain geometry.
    """

    rule: str
    severity: Severity
    where: str
    text: str
    source: str = ""
