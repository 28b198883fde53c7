"""A finding of the checks as every command's JSON tells it."""

from flangelayout.checks import Finding, Severity


def finding_data(finding: Finding) -> dict[str, object]:
    """A finding, ready for JSON; value and limit are in mm."""
    return {
        "rule": finding.rule,
        "severity": finding.severity.value,
        "fails": finding.failed,
        "where": finding.where,
        "text": finding.text,
        "value": finding.value,
        "limit": finding.limit,
        "source": finding.source,
        "cure": finding.cure or _advice(finding),
    }


def _advice(finding: Finding) -> str:
    """What a contradiction's sentence advises after its semicolon."""
    return finding.text.rpartition("; ")[2] if finding.severity is Severity.ERROR and "; " in finding.text else ""
