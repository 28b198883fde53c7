"""An inspection as data."""

import math
from collections.abc import Sequence

from flangelayout.checks.fitting.minimax import Placing
from flangelayout.checks.inspection.results import (
    HoleResult,
    Inspection,
    MateResult,
    PartVerdict,
    PlateSize,
    SizeResult,
)
from flangelayout.checks.plate.bolts import widest_hole
from flangelayout.flange import Hole


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
        "mirror_image": found.is_mirrored,
        "plate_sizes": [_plate_size(each) for each in found.plate_sizes],
        "not_measured": _labels(found.left.holes),
        "width_not_measured": _labels(found.left.widths),
        "not_tied": _labels(found.left.apart),
        "without_limits": _labels(found.left.unlimited),
        "threads_by_gauge": _labels(found.left.threaded),
        "not_judged": [each.value for each in found.left.sizes],
    }


def _labels(holes: Sequence[Hole]) -> list[str]:
    return [hole.label for hole in holes]


def uncovered(mate: MateResult) -> tuple[str, ...]:
    """Holes whose rework makes them wider than nut, head and washer of the bolt cover well, by label."""
    widest = widest_hole(mate.bolt)
    if widest is None:
        return ()
    return tuple(each.label for each in mate.rework if each.open_to > widest.value)


def part_passes(found: Inspection) -> bool:
    """Whether all that places tell of holes was measured, and nothing that is stated fails."""
    return found.verdict not in (PartVerdict.FAIL, PartVerdict.OPEN) and not found.are_bolts_stopped


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


def _plate_size(each: PlateSize) -> dict[str, object]:
    return {
        "what": each.what.value,
        "measured": _rounded(each.measured),
        "may_be": [_rounded(end) if math.isfinite(end) else None for end in (each.least, each.most)],
        "source": each.source,
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
        "uncovered": list(uncovered(mate)),
        "ways": [
            {
                "hole": each.label,
                "way": each.way.value,
                "size": _rounded(each.size),
                "bolt": each.bolt,
                "seat": each.seat.value,
                "metal": _rounded(each.metal),
                "wanted": _rounded(each.needed),
            }
            for each in mate.ways
        ],
    }


def _rounded(value: float) -> float:
    return round(value, 6) + 0.0
