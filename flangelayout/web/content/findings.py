"""What is to fix and to look at: each in a line, with its place on the picture and one press that cures it."""

import math

from msgspec import Struct

from flangelayout.checks import Finding
from flangelayout.checks.facts import AsStandard, Clocked, ReadAgain, Shortage, TwoHoles
from flangelayout.checks.limits import USUAL_LIMITS
from flangelayout.checks.plate.clocking import clock, clocked, is_clocked
from flangelayout.checks.rule import Rule
from flangelayout.flange import Flange
from flangelayout.flange.origin import Figure
from flangelayout.units import Unit, angle_text, size_text
from flangelayout.views.words.findings import cure_text, source_of
from flangelayout.views.words.findings.facts import fact_text
from flangelayout.web.content.field_notes import Trouble, field_key, place_words
from flangelayout.web.content.picture.scene import DrawnHole, Scene, on_rim
from flangelayout.web.form.fields import label_of
from flangelayout.web.form.state import State

_AWAY = 24.0
_CLEAR = 27.0
_STEP = 14.0
_OF_THE_RIM = ("plate.outside_diameter", "plate.standard")
_SHORT_OF_PLATE = (Rule.SEAT_ON_PLATE, Rule.EDGE_METAL, Rule.RECESS_ON_PLATE)
_SHORT_OF_BORE = (Rule.SEAT_CLEAR_OF_BORE, Rule.BORE_METAL)


class Press(Struct, frozen=True):
    """One press that puts something right: what the button says and what it does."""

    words: str
    do: str


class CheckLine(Struct, frozen=True):
    """Something to fix or to look at.

    Attributes:
        number: On the list and on the picture.
        css: ``fix``, ``look`` or ``needed``.
        text: What it is, in a sentence.
        key: The field it concerns; empty for none.
        place: That field in words.
        cures: Presses that put it right.
        why: Who sets the limit; empty where nobody does.
    """

    number: int
    css: str
    text: str
    key: str
    place: str
    cures: tuple[Press, ...] = ()
    why: str = ""


class FindingMark(Struct, frozen=True):
    """The number of an item on the picture, and what it points at."""

    item: CheckLine
    x: float
    y: float
    at_x: float
    at_y: float
    r: float = 0.0


def items_of(
    troubles: tuple[Trouble, ...], findings: tuple[Finding, ...], flange: Flange | None, state: State, unit: Unit
) -> tuple[tuple[CheckLine, Finding | None], ...]:
    """Everything to fix, then everything to look at, with the finding behind it.

    Args:
        troubles: What is wrong or missing in the fields.
        findings: What the checks noticed.
        flange: What was checked; ``None`` where nothing could be.
        state: What stands in the fields.
        unit: Of the job.
    """
    told: list[tuple[CheckLine, Finding | None]] = []
    for trouble in troubles:
        css = "needed" if trouble.missing else "fix"
        cures = (Press(f"Write {trouble.place.lower()}", f"edit:{trouble.key}"),) if trouble.key else ()
        told.append((CheckLine(len(told) + 1, css, trouble.text, trouble.key, trouble.place, cures), None))
    if flange is None:
        return tuple(told)
    for finding in sorted(findings, key=lambda each: not each.failed):
        key = field_key(finding.place.key, len(state.readings()))
        item = CheckLine(
            number=len(told) + 1,
            css="fix" if finding.failed else "look",
            text=_said(flange, finding, unit),
            key=key,
            place=place_words(key) if key.rpartition(".")[2].isdigit() else label_of(key),
            cures=cures_of(flange, finding, key, unit) if finding.failed else (),
            why=_why(flange, finding, unit),
        )
        told.append((item, finding))
    return tuple(told)


def _said(flange: Flange, finding: Finding, unit: Unit) -> str:
    """What was found, begun with a capital."""
    text = fact_text(flange, finding, unit)
    return text[:1].upper() + text[1:]


def _why(flange: Flange, finding: Finding, unit: Unit) -> str:
    """Who sets the limit, and what would put it right."""
    return ". ".join(
        each[:1].upper() + each[1:] for each in (source_of(finding), cure_text(flange, finding, unit)) if each
    )


def cures_of(flange: Flange, finding: Finding, key: str, unit: Unit) -> tuple[Press, ...]:
    """The presses that put a failed check right; none where a person has to decide.

    Args:
        flange: What was checked.
        finding: What failed.
        key: Key of the field it concerns.
        unit: Of the job.
    """
    match finding.facts:
        case Clocked(group_b=group, start_angle=angle, best_turn=turn, hopeless=None) if turn:
            return (_turned(flange, group, angle, turn),)
        case TwoHoles():
            return _apart(flange, finding)
        case AsStandard(figure=figure, meant=False) if figure in _WRITTEN_AS and finding.limit is not None:
            return _as_standard(finding, figure, unit)
        case ReadAgain() if finding.limit is not None:
            number = (finding.place.group or 0) + 1
            read = size_text(round(finding.limit.value, 1), unit)
            return (Press(f"Take {read}, as read", f"set:bolt_circle.{number}.diameter=measured"),)
    return _of_a_size(flange, finding, unit)


_WRITTEN_AS = {Figure.CIRCLE: "diameter", Figure.HOLE_COUNT: "hole_count", Figure.HOLE: "hole_diameter"}


def _as_standard(finding: Finding, figure: Figure, unit: Unit) -> tuple[Press, ...]:
    """Back to what the standard has, or kept on purpose."""
    number = (finding.place.group or 0) + 1
    lead = f"bolt_circle.{number}"
    counted = figure is Figure.HOLE_COUNT
    limit, value = finding.limit, finding.value
    if limit is None or value is None:
        return ()
    back = f"{limit.value:g}" if counted else size_text(limit.value, unit)
    kept = f"{value:g}" if counted else size_text(value, unit)
    return (
        Press(f"Back to {back}", f"set:{lead}.{_WRITTEN_AS[figure]}="),
        Press(f"Keep {kept}", f"keep:{lead}.{figure.value}"),
    )


def _turned(flange: Flange, group: int, angle: float, turn: float) -> Press:
    name = flange.group_letter(group) or "it"
    return Press(f"Turn {name} {angle_text(turn)}", f"set:bolt_circle.{group + 1}.start_angle={round(angle, 6):g}")


def _apart(flange: Flange, finding: Finding) -> tuple[Press, ...]:
    """Turn one circle against the other where that parts holes that cut into each other."""
    groups = sorted({hole.group for hole in finding.place.holes})
    if len(groups) != 2 or not is_clocked(flange, groups[0], groups[1]):
        return ()
    found = clock(flange, groups[0], groups[1], USUAL_LIMITS)
    facts = clocked(flange, found, Shortage.METAL)
    return (_turned(flange, groups[1], facts.start_angle, facts.best_turn),) if found.best.metal > 0 else ()


def _of_a_size(flange: Flange, finding: Finding, unit: Unit) -> tuple[Press, ...]:
    """A larger plate or a smaller bore, by as much as is short on both sides."""
    if finding.value is None or finding.limit is None:
        return ()
    short = 2 * (finding.limit.value - finding.value)
    step = 1.0 if unit is Unit.MM else 25.4 / 8
    if finding.rule in _SHORT_OF_PLATE and flange.round_diameter is not None and short > 0:
        wanted = math.ceil((flange.round_diameter + short) / step - 1e-6) * step
        text = size_text(wanted, unit)
        return (Press(f"Outside {text}", f"set:plate.outside_diameter={text}"),)
    if finding.rule in _SHORT_OF_BORE and flange.bore is not None and short > 0 and not finding.place.opening:
        wanted = math.floor((flange.bore - short) / step + 1e-6) * step
        if wanted > step:
            text = size_text(wanted, unit)
            return (Press(f"Bore {text}", f"set:plate.bore={text}"),)
    return ()


def marks_of(
    scene: Scene, flange: Flange | None, items: tuple[tuple[CheckLine, Finding | None], ...]
) -> list[FindingMark]:
    """The items as numbers round the picture, each led to its place."""
    marks: list[FindingMark] = []
    for item, finding in items:
        if item.css == "needed":
            continue
        angle, at, r = _place(scene, flange, item, finding)
        reach = max(scene.half_width, scene.half_height) + _AWAY
        for turn in [sign * _STEP * step for step in range(13) for sign in (1, -1)]:
            x, y = on_rim(angle + turn, reach)
            if all(math.hypot(x - other.x, y - other.y) >= _CLEAR for other in marks):
                break
        marks.append(FindingMark(item, x, y, *at, r))
    return marks


def _place(
    scene: Scene, flange: Flange | None, item: CheckLine, finding: Finding | None
) -> tuple[float, tuple[float, float], float]:
    """Which way a mark stands, what it points at, and the ring round that."""
    holes = _holes(scene, finding)
    if holes:
        x = sum(hole.x for hole in holes) / len(holes)
        y = sum(hole.y for hole in holes) / len(holes)
        r = max(math.hypot(hole.x - x, hole.y - y) + hole.r for hole in holes) + 4
        return math.degrees(math.atan2(-y, x)), (x, y), r
    if item.key == "plate.bore":
        return 200.0, on_rim(200.0, scene.bore), 0.0
    angle = 330.0 if item.key in _OF_THE_RIM else 20.0
    return angle, on_rim(angle, scene.half_width), 0.0


def _holes(scene: Scene, finding: Finding | None) -> list[DrawnHole]:
    """The holes that a finding is about; of a whole circle one stands for all."""
    if finding is None:
        return []
    place = finding.place
    if place.holes:
        wanted = {(each.group + 1, each.number) for each in place.holes}
        return [hole for hole in scene.holes if (hole.circle, hole.number) in wanted]
    if place.group is not None and place.group >= 0:
        own = [hole for hole in scene.holes if hole.circle == place.group + 1]
        return own[-1:]
    return []
