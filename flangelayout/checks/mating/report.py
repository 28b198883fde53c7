"""What a mating check says: as data, and in words. Never more than whether bolts pass."""

from collections.abc import Iterator

from flangelayout.checks.mating.mating import TOUCH, MatedBolt, Mating, Step, Verdict
from flangelayout.units import Unit, angle_text, decimal_text, size_text

_MOST_LISTED = 12
_MOST_OPENED = 1.35
"""A hole opened to more times the bolt than this is no longer well covered by its nut, which is 1.5 to 1.7 times as
wide across flats (ISO 4032, ASME B18.2.2; the share itself is common practice, no source)."""


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
        "unmatched": {"a": list(mating.unmatched_a), "b": list(mating.unmatched_b)},
        "mirror": mating.handed.value,
        "outside_step": _step_data(mating.outside),
        "bore_step": _step_data(mating.bore),
        "a": mating.a.name,
        "b": mating.b.name,
    }


def mating_lines(mating: Mating, unit: Unit) -> Iterator[str]:
    """The check in lines for a person."""

    def length(value: float) -> str:
        return f"{decimal_text(value, unit)} {unit.value}"

    yield f"A: {side_text(mating, 'a', unit)}"
    yield f"B: {side_text(mating, 'b', unit)}, drilled to match"
    x, y = (decimal_text(shift, unit) for shift in (mating.placing.shift_x, mating.placing.shift_y))
    yield (
        f"Best turn of B {turn_text(mating)}, shift {x}, {y} {unit.value}: worst offset {length(mating.worst_offset)}"
    )
    yield f"{mating.bolt} ({length(mating.bolt_diameter)}): {verdict_text(mating, unit)}"
    yield f"Limiting: {limiting_text(mating)}"
    yield from unmatched_lines(mating)
    if mating.opening:
        yield opening_text(mating, unit)
    yield f"Mirror check: B {mating.handed.value}"
    for what, step in (("Outside", mating.outside), ("Bore", mating.bore)):
        if step:
            yield step_text(what, step, unit)


def verdict_text(mating: Mating, unit: Unit) -> str:
    """The verdict and the room of the tightest bolt, in words."""
    room = f"{decimal_text(abs(mating.least_clearance), unit)} {unit.value}"
    enters = mating.least_clearance >= -TOUCH
    left = "least radial room left" if enters else "at best short of radial room by"
    return f"{mating.verdict.value}; {left} {room}"


def side_text(mating: Mating, which: str, unit: Unit) -> str:
    """A side in words: ``MB-101, 8 holes of 22 mm``."""
    side = mating.a if which == "a" else mating.b
    sizes = sorted({round(hole.diameter, 6) for hole in side.holes})
    holes = " and ".join(size_text(size, unit) for size in sizes[:3])
    pattern = f", {side.pattern}" if side.pattern else ""
    return f"{side.name}{pattern}, {len(side.holes)} holes of {holes} {unit.value}"


def turn_text(mating: Mating) -> str:
    """The best turn of B, never "-0"."""
    return angle_text(round(mating.placing.turn_deg, 3) + 0.0)


def limiting_text(mating: Mating) -> str:
    """The bolts that have the least room, in words."""
    limiting = mating.limiting
    if len(limiting) == len(mating.bolts) > 1:
        return "all bolts alike"
    shown = ", ".join(_pair(bolt) for bolt in limiting[:_MOST_LISTED])
    return shown + (f" and {len(limiting) - _MOST_LISTED} more" if len(limiting) > _MOST_LISTED else "")


def unmatched_lines(mating: Mating) -> Iterator[str]:
    """Holes without a partner, in words."""
    for name, labels in (("A", mating.unmatched_a), ("B", mating.unmatched_b)):
        if labels:
            shown = ", ".join(labels[:_MOST_LISTED])
            more = f" and {len(labels) - _MOST_LISTED} more" if len(labels) > _MOST_LISTED else ""
            yield f"No partner for {len(labels)} holes of {name}: {shown}{more}"


def opening_text(mating: Mating, unit: Unit) -> str:
    """What to open so that the bolts pass, in words."""
    opening = mating.opening
    assert opening is not None
    if opening.both > _MOST_OPENED * mating.bolt_diameter:
        size = f"{decimal_text(opening.both, unit)} {unit.value}"
        return f"Opening the holes is no cure: both would have to be {size}; the patterns do not belong together"
    choices = [
        f"{which} to {decimal_text(size, unit)} {unit.value}"
        for which, size in (
            ("the holes of A alone", opening.a_only),
            ("those of B alone", opening.b_only),
            ("both", opening.both),
        )
        if size is not None
    ]
    return f"To pass, open {', or '.join(choices)}; then look that nuts and washers still cover the holes"


def step_text(what: str, step: Step, unit: Unit) -> str:
    """A step at the outside or the bore, in words."""
    a, b = (f"{size_text(size, unit)} {unit.value}" for size in (step.a, step.b))
    least, most = sorted((abs(step.least), abs(step.most)))
    if step.least < -1e-6 and step.most > 1e-6:
        stands = (
            f"B stands out by up to {decimal_text(step.most, unit)} and back by up to {decimal_text(-step.least, unit)}"
        )
    elif most < 1e-6:
        return f"{what}: {a} on both, flush"
    else:
        side = "wider" if step.b > step.a else "narrower"
        span = decimal_text(most, unit)
        if most - least > 5e-3:
            span = f"{decimal_text(least, unit)} to {span}"
        return f"{what}: A {a}, B {b}: B is {side} by {span} {unit.value} all round"
    return f"{what}: A {a}, B {b}: {stands} {unit.value}"


def passes(mating: Mating) -> bool:
    """Whether the bolts pass."""
    return mating.verdict is Verdict.PASS


def _pair(bolt: MatedBolt) -> str:
    return f"hole {bolt.a} on {bolt.b}"


def _step_data(step: Step | None) -> dict[str, float] | None:
    if step is None:
        return None
    return {"a": _rounded(step.a), "b": _rounded(step.b), "least": _rounded(step.least), "most": _rounded(step.most)}


def _rounded(value: float) -> float:
    return round(value, 6) + 0.0
