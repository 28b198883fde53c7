"""What an inspection says."""

from collections.abc import Iterator
from typing import assert_never

from flangelayout.checks.inspection.report import uncovered
from flangelayout.checks.inspection.results import HoleResult, Inspection, MateResult, PartVerdict, Rework, SizeResult
from flangelayout.standards.drills import next_drill
from flangelayout.units import Unit, angle_text, counted, decimal_text, size_text


def verdict_text(found: Inspection) -> str:
    """Whether the part keeps what is stated, what does not, and what that means for bolting it up."""
    match found.verdict:
        case PartVerdict.PASS:
            return "Part passes"
        case PartVerdict.UNJUDGED:
            return "No tolerance is stated to judge the part by"
        case PartVerdict.FAIL:
            out = " and ".join(part for part in (_places_out(found), _sizes_out(found)) if part)
            return f"Part does not pass: {out}{_bolted_up(found)}"
        case _:
            assert_never(found.verdict)


def _places_out(found: Inspection) -> str:
    count = sum(each.passed is False for each in found.holes)
    return f"{counted(count, 'hole')} out of place or size" if count else ""


def _sizes_out(found: Inspection) -> str:
    count = sum(each.passed is False for each in (*found.circles, *found.chords))
    return f"{counted(count, 'length')} out of tolerance" if count else ""


def _bolted_up(found: Inspection) -> str:
    """What a part that fails is worth all the same, where its bolts were tried."""
    if not found.mates:
        return ""
    if all(mate.passed for mate in found.mates):
        return "; bolts pass all the same: it goes together, and whoever owns the drawing decides whether it may"
    return "; bolts do not pass either"


def inspection_lines(found: Inspection, unit: Unit) -> Iterator[str]:
    """The inspection in lines for a person."""
    x, y = (decimal_text(shift, unit) for shift in (found.placing.shift_x, found.placing.shift_y))
    yield verdict_text(found)
    yield (
        f"Best fit ({found.freedom.value}): the part lies turned {angle_text(round(found.placing.turn_deg, 3) + 0.0)}, "
        f"shifted {x}, {y} {unit.value}"
    )
    yield f"{'hole':6}{'dx':>9}{'dy':>9}{'position':>10}{'allowed':>10}  "
    for each in found.holes:
        yield hole_line(each, unit)
    for size in (*found.circles, *found.chords):
        if size.passed is not None:
            yield size_line(size, unit)
    for what, value in found.eccentricity:
        yield f"{what}: its middle is {decimal_text(value, unit)} {unit.value} from the middle of the bore"
    for mate in found.mates:
        yield from mate_lines(mate, unit)


def hole_line(each: HoleResult, unit: Unit) -> str:
    """One hole in one line."""
    dx, dy = (decimal_text(step, unit) for step in (each.deviation.x, each.deviation.y))
    allowed = "-" if each.allowed is None else decimal_text(each.allowed, unit)
    words = passed_text(each.passed) + (", size" if each.size_fits is False else "")
    return f"{each.hole.label:6}{dx:>9}{dy:>9}{decimal_text(each.position, unit):>10}{allowed:>10}  {words}"


def passed_text(passed: bool | None) -> str:
    """Pass, fail, or a stroke where nothing is stated."""
    return "-" if passed is None else "pass" if passed else "FAIL"


def size_line(size: SizeResult, unit: Unit) -> str:
    """A bolt circle or a chord against its tolerance in one line."""
    stated = f" ± {decimal_text(size.tolerance.value, unit)} ({size.tolerance.source})" if size.tolerance else ""
    return (
        f"{size.what}: {decimal_text(size.measured, unit)} {unit.value} against {decimal_text(size.nominal, unit)}"
        f"{stated}: {passed_text(size.passed)}"
    )


def mate_lines(mate: MateResult, unit: Unit) -> Iterator[str]:
    """Whether bolts pass a group, and the rework where they do not."""
    room = f"{decimal_text(abs(mate.room), unit)} {unit.value}"
    lead = f"{mate.bolt} through this part and {mate.mate}"
    if mate.passed:
        yield f"{lead}: bolts pass, least radial room {room}"
        return
    yield f"{lead}: bolts do not pass, {room} short at best"
    if not mate.rework:
        yield "The holes of the mate are smaller than the bolt; nothing done to this part cures that"
        return
    yield "Least rework: " + "; ".join(rework_text(each, unit) for each in mate.rework)
    lost = uncovered(mate)
    if lost:
        holes = f"hole {lost[0]}" if len(lost) == 1 else f"holes {', '.join(lost)}"
        yield (
            f"Opened so far, {holes} is no longer covered by nut, head and washer of {mate.bolt}: "
            "use thick plate washers, or make a slot where the bolt enters"
        )


def rework_text(rework: Rework, unit: Unit) -> str:
    """One hole to rework, in words."""
    drill = size_text(next_drill(rework.open_to, unit), unit)
    opened = f"open hole {rework.label} to {decimal_text(rework.open_to, unit)} {unit.value} (next drill {drill})"
    if rework.slot_by is None:
        return opened
    toward = angle_text(round(rework.direction_deg, 1))
    return f"{opened}, or slot it by {decimal_text(rework.slot_by, unit)} toward {toward}"
