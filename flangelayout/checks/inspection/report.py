"""What an inspection says: as data, and in words."""

from collections.abc import Iterator

from flangelayout.checks.fitting.minimax import Placing
from flangelayout.checks.inspection.results import HoleResult, Inspection, MateResult, PartVerdict, Rework, SizeResult
from flangelayout.units import Unit, angle_text, decimal_text


def inspection_data(found: Inspection) -> dict[str, object]:
    """The inspection as JSON has it; lengths in mm, angles in degrees."""
    return {
        "verdict": found.verdict.value,
        "fit": _placing(found.placing),
        "least_squares": _placing(found.squares) | {"rms": _rounded(found.rms)},
        "fitted": found.freedom.value,
        "position_passes": {"without_bonus": found.passes_plain, "with_bonus": found.passes_bonus},
        "holes": [_hole(each) for each in found.holes],
        "bolt_circles": [_size(each) for each in found.circles],
        "chords": [_size(each) for each in found.chords],
        "eccentricity": [{"what": what, "value": _rounded(value)} for what, value in found.eccentricity],
        "mates": [_mate(each) for each in found.mates],
    }


def inspection_lines(found: Inspection, unit: Unit) -> Iterator[str]:
    """The inspection in lines for a person."""
    x, y = (decimal_text(shift, unit) for shift in (found.placing.shift_x, found.placing.shift_y))
    yield f"{found.verdict.value[0].upper()}{found.verdict.value[1:]}"
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


def rework_text(rework: Rework, unit: Unit) -> str:
    """One hole to rework, in words."""
    opened = f"open hole {rework.label} to {decimal_text(rework.open_to, unit)} {unit.value}"
    if rework.slot_by is None:
        return opened
    toward = angle_text(round(rework.direction_deg, 1))
    return f"{opened}, or slot it by {decimal_text(rework.slot_by, unit)} toward {toward}"


def part_passes(found: Inspection) -> bool:
    """Whether nothing that is stated fails."""
    return found.verdict is not PartVerdict.FAIL


def _placing(placing: Placing) -> dict[str, object]:
    return {
        "turn_deg": round(placing.turn_deg, 9) + 0.0,
        "shift": [round(placing.shift_x, 9) + 0.0, round(placing.shift_y, 9) + 0.0],
    }


def _hole(each: HoleResult) -> dict[str, object]:
    return {
        "hole": each.hole.label,
        "nominal": [_rounded(each.hole.center.x), _rounded(each.hole.center.y)],
        "measured": [_rounded(each.measured.center.x), _rounded(each.measured.center.y)],
        "diameter": each.measured.diameter,
        "deviation": [_rounded(each.deviation.x), _rounded(each.deviation.y)],
        "radial": _rounded(each.radial),
        "true_position": _rounded(each.position),
        "zone": None if each.zone is None else _rounded(each.zone.value),
        "zone_source": "" if each.zone is None else each.zone.source,
        "bonus": _rounded(each.bonus),
        "allowed": None if each.allowed is None else _rounded(each.allowed),
        "size_passes": each.size_fits,
        "passes": each.passed,
    }


def _size(each: SizeResult) -> dict[str, object]:
    return {
        "what": each.what,
        "nominal": _rounded(each.nominal),
        "measured": _rounded(each.measured),
        "deviation": _rounded(each.deviation),
        "tolerance": None if each.tolerance is None else _rounded(each.tolerance.value),
        "source": "" if each.tolerance is None else each.tolerance.source,
        "passes": each.passed,
    }


def _mate(mate: MateResult) -> dict[str, object]:
    return {
        "bolt": mate.bolt,
        "against": mate.mate,
        "room": _rounded(mate.room),
        "verdict": "bolts pass" if mate.passed else "bolts do not pass",
        "rework": [
            {
                "hole": each.label,
                "open_to": _rounded(each.open_to),
                "slot_by": None if each.slot_by is None else _rounded(each.slot_by),
                "slot_direction_deg": round(each.direction_deg, 3),
            }
            for each in mate.rework
        ],
    }


def _rounded(value: float) -> float:
    return round(value, 6) + 0.0
