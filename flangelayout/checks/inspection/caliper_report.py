"""An inspection by caliper as data."""

import math
from typing import assert_never

from msgspec import to_builtins

from flangelayout.checks.inspection.caliper_results import (
    Between,
    BoltsResult,
    CaliperInspection,
    CircleOf,
    Judged,
    LimitResult,
    PlacesResult,
    ReadingResult,
    SizeOf,
    WidthOf,
)
from flangelayout.checks.inspection.report import inspection_data


def caliper_data(found: CaliperInspection) -> dict[str, object]:
    """The inspection as JSON has it; lengths in mm, ``null`` where no reading holds one or nothing is stated."""
    return {
        "verdict": found.verdict.value,
        "readings": [_reading(each) for each in found.readings],
        "contradicting": list(found.contradicting),
        "out_as_read": [list(each.labels) for each in found.out],
        "not_read": [_what(each) for each in found.unread],
        "not_judged": [each.value for each in found.other_sizes],
        "without_limits": [each.label for each in found.unlimited],
        "threads_by_gauge": [each.label for each in found.threaded],
        "not_tied": [each.label for each in found.apart],
        "use_it": found.is_usable,
        "limits": [_limit(each) for each in found.limits],
        "all_limits_at_once": found.together,
        "places": None if found.places is None else _places(found.places),
        "bolts": [_bolts(each) for each in found.bolts],
        "measure_next": None if found.wanted is None else to_builtins(found.wanted) | {"kind": found.wanted.kind.value},
        "likeliest": None if found.likeliest is None else inspection_data(found.likeliest),
    }


def _reading(each: ReadingResult) -> dict[str, object]:
    return {
        "kind": each.reading.kind.value,
        "holes": list(each.labels),
        "value": _number(each.reading.value),
        "within": _number(each.reading.expanded_uncertainty),
        "nominal": None if each.nominal is None else _number(each.nominal),
        "standing": None if each.limit is None else each.limit.standing.value,
    }


def _limit(each: LimitResult) -> dict[str, object]:
    return _what(each.what) | {
        "nominal": _number(each.nominal),
        "can_be": [_number(each.low), _number(each.high)],
        "may_be": [_number(each.least), _number(each.most)],
        "source": each.source,
        "standing": each.standing.value,
    }


def _what(what: Judged) -> dict[str, object]:
    match what:
        case Between(first=first, second=second):
            return {"what": "centers", "holes": [first, second]}
        case CircleOf(name=name):
            return {"what": name, "holes": []}
        case SizeOf(kind=kind):
            return {"what": kind.value, "holes": []}
        case WidthOf(label=label, is_slot=is_slot):
            return {"what": "slot width" if is_slot else "hole diameter", "holes": [label]}
        case _:
            assert_never(what)


def _places(each: PlacesResult) -> dict[str, object]:
    return {
        "holes": list(each.what.labels),
        "zone": _number(each.zone),
        "source": each.source,
        "out_by": [_number(each.least), _number(each.most)],
        "standing": each.standing.value,
        "only_one_out": None if each.alone is None else list(each.alone),
    }


def _bolts(each: BoltsResult) -> dict[str, object]:
    return {
        "bolt": each.bolt,
        "against": "a mate drilled as drawn" if each.mate_drawn else "given mate",
        "short_by": [_number(each.places.least), _number(each.places.most)],
        "standing": each.places.standing.value,
        "width_as_drawn": list(each.unread),
    }


def _number(value: float) -> float | None:
    return round(value, 6) + 0.0 if math.isfinite(value) else None
