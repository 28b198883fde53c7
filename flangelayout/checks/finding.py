"""One thing a check found."""

from dataclasses import dataclass
from enum import Enum

from flangelayout.checks.limits import Limit
from flangelayout.units import Unit, decimal_text


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
        value: What was found, in mm, where the rule compares a length.
        limit: What it is held against, in mm.
        cure: What would put it right, in words; empty where the text says it.
        printed: Whether it belongs on the sheet; False for what only the check's own report tells.
    """

    rule: str
    severity: Severity
    where: str
    text: str
    source: str = ""
    value: float | None = None
    limit: float | None = None
    cure: str = ""
    printed: bool = True

    @property
    def failed(self) -> bool:
        """Whether a check fails by it: a contradiction, or a number that breaks its limit."""
        broken = self.severity is Severity.WARNING and self.limit is not None
        return broken or self.severity is Severity.ERROR


def gap_text(length: float, unit: Unit) -> str:
    """A length with its unit, as findings write it."""
    return f"{decimal_text(length, unit)} {unit.value}"


def too_little(
    rule: str, where: str, what: str, value: float, limit: Limit, cure: str, unit: Unit, severity: Severity
) -> Finding:
    """The finding that a length is less than its limit; ``what`` names the length and ends before its number."""
    text = f"{what} {gap_text(value, unit)}, less than {gap_text(limit.value, unit)} ({limit.source}); {cure}"
    return Finding(rule, severity, where, text, limit.source, value, limit.value, cure)
