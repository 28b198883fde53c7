"""A finding of the checks as every command tells it: in JSON, and in lines with the keys of a job file."""

from flangelayout.checks import Finding
from flangelayout.checks.facts import Clocked
from flangelayout.checks.finding import Reason, Remedy
from flangelayout.checks.rule import Rule
from flangelayout.flange import Flange
from flangelayout.units import Unit, angle_text
from flangelayout.views.words.findings import cure_text, finding_text, reason_text, source_of

_NEEDED_KEYS = {
    Reason.HUB_DIAMETER: "needs hub_diameter",
    Reason.THICKNESS: "needs thickness",
    Reason.BOLT: "needs bolt",
    Reason.GASKET: "needs gasket_factor or bolt_spacing",
    Reason.MATE: "needs mates_with as a designation, or a [[mate]]",
    Reason.MATE_THICKNESS: "needs mate_thickness",
    Reason.BORE: "needs bore",
    Reason.LEFT_OUT: "left out by checks.off",
}
"""Keys of a job file that would let a check run."""
_KEYS_OF_CURES = {
    Remedy.DRILL_SMALL_HOLES: 'cut.small_holes = "center mark only"',
    Remedy.LARGER_CIRCLE_OR_SOCKET: 'checks.wrench = "socket"',
    Remedy.OTHER_FACE: "worked_from",
    Remedy.SOCKET: 'checks.wrench = "socket"',
}


def finding_data(flange: Flange, finding: Finding, unit: Unit) -> dict[str, object]:
    """A finding, ready for JSON; value and limit are in mm, or a count."""
    return {
        "rule": finding.rule.value,
        "result": finding.result.value,
        "fails": finding.failed,
        "stops": finding.stops,
        "where": finding.place.key,
        "text": finding_text(flange, finding, unit, needed_text),
        "value": _finite(finding.value),
        "limit": None if finding.limit is None else finding.limit.value,
        "bound": None if finding.limit is None else finding.bound.value,
        "source": source_of(finding),
        "cure": cure_text(flange, finding, unit),
        "not_run": None if finding.reason is None else needed_text(finding.reason),
    }


def finding_line(flange: Flange, finding: Finding, unit: Unit) -> str:
    """A finding in one line: its result, where it stands in the job, what was found, who sets the limit."""
    where = f" {finding.place.key}:" if finding.place.key else ""
    text = finding_text(flange, finding, unit, needed_text)
    return f"{finding.result.value}:{where} {text}{_key_of_cure(finding)}"


def needed_text(reason: Reason) -> str:
    """Why a check was not run, with the key that is missing where it is one."""
    return _NEEDED_KEYS.get(reason, reason_text(reason))


def _key_of_cure(finding: Finding) -> str:
    """What to write in the job file, in brackets."""
    if finding.cure is Remedy.CLOCK and isinstance(finding.facts, Clocked):
        return f" (start_angle = {angle_text(finding.facts.start_angle)[:-1]})"
    if finding.rule is Rule.LENGTH_ASSUMED:
        return " (mate_thickness)"
    key = _KEYS_OF_CURES.get(finding.cure) if finding.cure else None
    return f" ({key})" if key else ""


def _finite(value: float | None) -> float | None:
    """A value as JSON can hold it; ``None`` for one that has no number."""
    return value if value is None or abs(value) < float("inf") else None
