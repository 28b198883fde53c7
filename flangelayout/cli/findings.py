"""A finding of the checks as every command tells it: in JSON, and in lines with the keys of a job file."""

from collections.abc import Iterator

from flangelayout.checks import Finding
from flangelayout.checks.facts import Clocked, MateRim
from flangelayout.checks.finding import Reason, Remedy
from flangelayout.checks.joint_facts import ThreadOpens
from flangelayout.checks.plate.threads import blind_depth
from flangelayout.checks.rule import Rule
from flangelayout.flange import Drilled, Flange, Tapped
from flangelayout.flange.turning import PlateFace
from flangelayout.standards.bolts import known_bolt
from flangelayout.units import Unit, angle_text, from_mm, to_mm
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


def finding_lines(flange: Flange, finding: Finding, unit: Unit, file: str) -> Iterator[str]:
    """A finding in a line and, where keys of the job's file put it right, the command that writes them below it."""
    yield finding_line(flange, finding, unit)
    group, facts = finding.place.group, finding.facts
    if group is None or not 0 <= group < len(flange.bolt_circles) or not file.endswith(".toml"):
        return
    drilling = flange.bolt_circles[group].drilling
    if finding.failed and isinstance(facts, MateRim) and isinstance(drilling.kind, Drilled):
        keys, told = _blind_keys(flange, drilling.bolt, facts.face.other, unit), "tapped for studs"
        further: tuple[str, ...] = ("hole_diameter=", "bolt=", "kind=tapped", "fastener=stud")
    elif isinstance(facts, ThreadOpens) and isinstance(drilling.kind, Tapped):
        keys, told, further = _blind_keys(flange, drilling.kind.thread, facts.face.other, unit), "blind", ()
    else:
        return
    if keys:
        lead = flange.group_key(group).replace("[", ".").rstrip("]")
        words = " ".join(f"{lead}.{key}" for key in (*further, *keys))
        named = f'"{file}"' if " " in file else file
        yield f"  {told}: flangelayout set {named} {words}"


def _blind_keys(flange: Flange, bolt: str, face: PlateFace, unit: Unit) -> tuple[str, ...]:
    """Words that make a blind thread for a bolt from a face; none where the plate is too thin for it."""
    named, step = known_bolt(bolt), 1.0 if unit is Unit.MM else to_mm(1 / 16, Unit.IN)
    depth = None if flange.thickness is None else blind_depth(bolt, flange.thickness, step)
    if named is None or depth is None:
        return ()
    return (f'thread="{named.name}"', f"depth={from_mm(depth, unit):g}", f"worked_from={face.value}")


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
