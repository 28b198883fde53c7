"""What a mating check says. Never more than whether bolts pass."""

from collections.abc import Iterator
from typing import assert_never

from flangelayout.checks.mating.mating import TOUCH, EdgeStep, Hindrance, Mating, Side
from flangelayout.flange.turning import PlateFace
from flangelayout.units import Unit, angle_text, counted, decimal_text, size_text

_MOST_LISTED = 12
_MOST_OPENED = 1.35
"""A hole opened to more times the bolt than this is no longer well covered by its nut, which is 1.5 to 1.7 times as
wide across flats (ISO 4032, ASME B18.2.2; the share itself is common practice, no source)."""


_BLIND = {None: "", PlateFace.FACE: ", blind from the named face", PlateFace.BACK: ", blind from the back"}
_SEEN = {
    None: "seen from the face it is drawn from, which is taken as its mating face",
    PlateFace.FACE: "seen from its mating face",
    PlateFace.BACK: "seen from the face it is drawn from; its mating face is the back",
}
DRILLING_ALONE = "the drilling alone is judged, no class or rating"


def mating_lines(mating: Mating, unit: Unit) -> Iterator[str]:
    """The check in lines for a person."""

    def length(value: float) -> str:
        return f"{decimal_text(value, unit)} {unit.value}"

    yield f"A: {side_text(mating, 'a', unit)}{joined_text(mating.a)}"
    yield f"B: {side_text(mating, 'b', unit)}{joined_text(mating.b)}; {DRILLING_ALONE}"
    x, y = (decimal_text(shift, unit) for shift in (mating.placing.shift_x, mating.placing.shift_y))
    yield (
        f"Best turn of B {turn_text(mating)}, shift {x}, {y} {unit.value}: worst offset {length(mating.worst_offset)}"
    )
    yield bolt_verdict(mating, unit)
    if not mating.hindrances:
        yield f"Limiting: {limiting_text(mating)}"
    yield from unmatched_lines(mating)
    if mating.opening:
        yield opening_text(mating, unit)
    if may_be_turned(mating):
        yield f"Mirror check: B {mating.handed.value}"
    for what, step in (("Outside", mating.outside), ("Bore", mating.bore)):
        if step:
            yield step_text(what, step, unit)


def bolt_verdict(mating: Mating, unit: Unit) -> str:
    """Whether the bolts pass, the bolt with its size: ``3/4 (0.750 in): bolts pass; ...``."""
    size = f"{decimal_text(mating.bolt_diameter, unit)} {unit.value}"
    return f"{mating.bolt} ({size}): {verdict_text(mating, unit)}"


def verdict_text(mating: Mating, unit: Unit) -> str:
    """The verdict and the room of the tightest bolt, in words."""
    room = f"{decimal_text(abs(mating.least_clearance), unit)} {unit.value}"
    enters = mating.least_clearance >= -TOUCH
    if mating.hindrances:
        return f"{mating.verdict.value}; {'; '.join(_hindrance_text(mating, *each) for each in mating.hindrances)}"
    return f"{mating.verdict.value}; {apart_text(room) if enters else f'{room} short at best'}"


def _hindrance_text(mating: Mating, what: Hindrance, name: str) -> str:
    side = mating.b if name == "B" else mating.a
    match what:
        case Hindrance.OTHER_THREAD:
            return f"{name} is tapped {side.thread}: only a screw of that size holds"
        case Hindrance.BOTH_TAPPED:
            return "both are tapped: a screw that runs in two threads clamps nothing"
        case Hindrance.CLOSED_THREAD:
            return f"the threads of {name} open at the face that does not lie on the other part"
        case Hindrance.SEAT_INSIDE:
            return f"the heads of {name} are sunk into the face that lies on the other part"
        case _:
            assert_never(what)


def apart_text(room: str) -> str:
    """What room is left for bolts that pass: so much more the centers of their holes may be off each other."""
    return f"at the tightest the holes may lie {room} farther apart"


def side_text(mating: Mating, which: str, unit: Unit) -> str:
    """A side in words: ``MB-101, 8 holes of 22 mm``."""
    side = mating.a if which == "a" else mating.b
    sizes = sorted({round(hole.diameter, 6) for hole in side.holes})
    holes = " and ".join(size_text(size, unit) for size in sizes[:3])
    pattern = f", {side.pattern}" if side.pattern else ""
    made = f"tapped {side.thread}{_BLIND[side.blind_from]}" if side.thread else f"of {holes} {unit.value}"
    if side.slot_length is not None:
        sizes_said = f"{holes} × {size_text(side.slot_length, unit)} {unit.value}"
        return f"{side.name}{pattern}, {len(side.holes)} slots {sizes_said}, taken as round holes of their width"
    return f"{side.name}{pattern}, {len(side.holes)} holes {made}"


def joined_text(side: Side) -> str:
    """At which face a side is joined, where that is not the one it is drawn from."""
    return ", joined at its back" if side.joint_face is PlateFace.BACK else ""


def may_be_turned(mating: Mating) -> bool:
    """Whether either part may lie on the other with either face: no thread is closed on one, no head sunk into one."""
    sides = (mating.a, mating.b)
    return not mating.hindrances and not any(side.blind_from or side.sunk_from for side in sides)


def seen_text(side: Side) -> str:
    """From where a picture shows a side."""
    return _SEEN[side.joint_face]


def turn_text(mating: Mating) -> str:
    """The best turn of B, never "-0"."""
    return angle_text(round(mating.placing.turn_deg, 3) + 0.0)


def limiting_text(mating: Mating) -> str:
    """The bolts that have the least room, in words."""
    limiting = mating.limiting
    if len(limiting) == len(mating.bolts) > 1:
        return "all bolts alike"
    shown = ", ".join(f"hole {bolt.a} on {bolt.b}" for bolt in limiting[:_MOST_LISTED])
    return shown + (f" and {len(limiting) - _MOST_LISTED} more" if len(limiting) > _MOST_LISTED else "")


def unmatched_lines(mating: Mating) -> Iterator[str]:
    """Holes without a partner, in words."""
    for name, labels in (("A", mating.unmatched_a), ("B", mating.unmatched_b)):
        if labels:
            shown = ", ".join(labels[:_MOST_LISTED])
            more = f" and {len(labels) - _MOST_LISTED} more" if len(labels) > _MOST_LISTED else ""
            yield f"No partner for {counted(len(labels), 'hole')} of {name}: {shown}{more}"


def opening_text(mating: Mating, unit: Unit) -> str:
    """What to open so that the bolts pass, in words."""
    opening = mating.opening
    assert opening is not None
    least = opening.both or opening.a_only or opening.b_only
    if least is None:
        return "Opening the holes is no cure: both sides are tapped, and a thread is not opened"
    if least > _MOST_OPENED * mating.bolt_diameter:
        those = "both" if opening.both else "those that are not tapped"
        size = f"{decimal_text(least, unit)} {unit.value}"
        return f"Opening the holes is no cure: {those} would have to be {size}; the patterns do not belong together"
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


def step_text(what: str, step: EdgeStep, unit: Unit) -> str:
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
