"""A mating check as data. Never more than whether bolts pass."""

from flangelayout.checks.mating.mating import EdgeStep, Mating


def mating_data(mating: Mating) -> dict[str, object]:
    """The check as JSON has it; lengths in mm, angles in degrees.

    ``open_holes_to`` is the diameter that the holes of A must be opened to, or those of both where the bolt
    does not enter the holes of B as they are; null where the bolts pass.
    """
    opening = mating.opening
    return {
        "best_turn_deg": _rounded(mating.placing.turn_deg),
        "shift": [_rounded(mating.placing.shift_x), _rounded(mating.placing.shift_y)],
        "worst_offset": _rounded(mating.worst_offset),
        "least_clearance": _rounded(mating.least_clearance),
        "bolts": [
            {"a": bolt.a, "b": bolt.b, "offset": _rounded(bolt.offset), "clearance": _rounded(bolt.clearance)}
            for bolt in mating.bolts
        ],
        "verdict": mating.verdict.value,
        "open_holes_to": None if opening is None else (opening.a_only or opening.both),
        "opening": None
        if opening is None
        else {"a_only": opening.a_only, "b_only": opening.b_only, "both": opening.both},
        "bolt": mating.bolt,
        "bolt_diameter": _rounded(mating.bolt_diameter),
        "limiting_holes": [{"a": bolt.a, "b": bolt.b} for bolt in mating.limiting],
        "hindrances": [{"what": what.value, "side": side or None} for what, side in mating.hindrances],
        "unmatched": {"a": list(mating.unmatched_a), "b": list(mating.unmatched_b)},
        "mirror": mating.handed.value,
        "outside_step": _step_data(mating.outside),
        "bore_step": _step_data(mating.bore),
        "a": mating.a.name,
        "b": mating.b.name,
    }


def _step_data(step: EdgeStep | None) -> dict[str, float] | None:
    if step is None:
        return None
    return {"a": _rounded(step.a), "b": _rounded(step.b), "least": _rounded(step.least), "most": _rounded(step.most)}


def _rounded(value: float) -> float:
    return round(value, 6) + 0.0
