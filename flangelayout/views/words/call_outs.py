"""The words and numbers printed on sheets and templates."""

from collections.abc import Iterator
from itertools import pairwise

from flangelayout.flange import BoltCircle, Flange, Group, Placement
from flangelayout.flange.claims import named_rows
from flangelayout.provenance import Family
from flangelayout.standards.shop import is_gasket_material
from flangelayout.units import Unit, angle_text, size_text
from flangelayout.views.words.holes import diameter_text, hole_text, pattern_call_out
from flangelayout.views.words.origins import claim_sentences, size_sources

LAYOUT_AID = "Layout aid, not a design. Thickness, bolting and rating by a qualified person to the local code."
_PLATE_FLANGE = (
    "Some codes allow plate only for blind and hubless reducing flanges (ASME B16.5); "
    "this plate carries no class or rating."
)
_EXTRA_HOLE = "An extra or off-center hole takes a blind out of its standard; the local code decides."
_WHEEL = "Wheel adapters and spacers: no claim of fitness for the road; local law and the vehicle maker's data decide."
_THERMAL = (
    "Thermally cut bolt holes: not for fatigue or where the code forbids them. "
    "Hot work: never presume a line, drum or tank is clean."
)
TAPE = "Take paper, tape and adhesive off before torch, plasma or weld."
PLATE_RULES = "The chord measured on the PLATE decides; the paper only locates."


def with_unit(text: str, unit: Unit) -> str:
    """A number with its unit."""
    return f"{text} {unit.value}"


def call_out(circle: BoltCircle, unit: Unit) -> tuple[str, ...]:
    """What a bolt circle is, as written at its leader, in lines that read on from each other.

    Example:
        >>> ", ".join(call_out(BoltCircle(240, 8, 22), Unit.MM))
        '8X ⌀22 EQ SP ON ⌀240 B.C., STRADDLE VERTICAL CENTERLINE'
    """
    drilled, hole = len(circle.hole_numbers()), hole_text(circle.kind, circle.hole_diameter, unit)
    on_circle = f"ON {diameter_text(circle.diameter, unit)} B.C."
    if circle.pair_angle:
        pairs = f"IN {circle.hole_count // 2} PAIRS {angle_text(circle.pair_angle)} APART"
        lines = [f"{drilled}X {hole} {pairs} {on_circle}", f"PAIRS {_place(circle)}"]
    elif not circle.equally_spaced:
        lines = [f"{drilled}X {hole} {on_circle}", "ANGLES PER HOLE TABLE"]
    elif circle.hole_count == 1:
        lines = [f"1X {hole} {on_circle}", f"AT {angle_text(circle.first_hole_angle)}"]
    elif circle.skipped:
        lines = [f"{drilled}X {hole} IN {circle.hole_count} EQ SP PLACES {on_circle}", _place(circle)]
    else:
        lines = [f"{drilled}X {hole} EQ SP {on_circle}", _place(circle)]
    if circle.start_angle:
        lines.append(f"TURNED {angle_text(abs(circle.start_angle))} {'CCW' if circle.start_angle > 0 else 'CW'}")
    if circle.skipped:
        lines.append(_left_out(circle))
    return tuple(lines)


def group_call_out(flange: Flange, group: int, unit: Unit) -> tuple[str, ...]:
    """What a bolt circle or another pattern is, as :func:`call_out`."""
    what = flange.groups()[group]
    return call_out(what, unit) if isinstance(what, BoltCircle) else pattern_call_out(what, unit)


def named_call_out(flange: Flange, group: int, unit: Unit) -> str:
    """A bolt circle's call-out in one line, led by its letter where there are several."""
    letter, text = flange.group_letter(group), ", ".join(group_call_out(flange, group, unit))
    return f"{letter}: {text}" if letter else text


def circle_note(flange: Flange, group: int, unit: Unit) -> str:
    """What else is known of a bolt circle, in one line: its name, bolts, mate and where its figures come from."""
    what = flange.groups()[group]
    made = what.drilling
    facts = [
        f"bolts {made.bolt}" if made.bolt else "",
        f"mates with {made.mates_with}" if made.mates_with else "",
    ]
    said = "; ".join(fact for fact in facts if fact)
    name = flange.group_name(group)
    sentences = (f"{said}." if said else "", *(f"{sentence}." for sentence in _sources(what, unit)))
    text = " ".join(sentence for sentence in sentences if sentence)
    return f"{name[0].upper()}{name[1:]}: {text}" if text else ""


def _sources(group: Group, unit: Unit) -> Iterator[str]:
    """What may be claimed of a group, and where its sizes come from."""
    if isinstance(group, BoltCircle):
        yield from claim_sentences(group, unit)
    yield from size_sources(group.drilling)


def _left_out(circle: BoltCircle) -> str:
    """Which places are left undrilled, or which alone are drilled where those stand in a row and are fewer."""
    drilled, skipped = circle.hole_numbers(), sorted(set(circle.skipped))
    if len(drilled) < len(skipped) and drilled[-1] - drilled[0] == len(drilled) - 1 > 0:
        return f"ONLY PLACES {drilled[0]} TO {drilled[-1]} DRILLED"
    return "NO HOLE AT " + ", ".join(str(number) for number in skipped)


def _place(circle: BoltCircle) -> str:
    line = f"{circle.centerline.value.upper()} CENTERLINE"
    return f"STRADDLE {line}" if circle.placement is Placement.STRADDLE else f"HOLE 1 ON {line}"


def seen_from(flange: Flange) -> str:
    """Which face the plate is seen from, and which way the holes are numbered."""
    around = all(_numbered_around(circle) for circle in flange.bolt_circles)
    numbered = "HOLES NUMBERED COUNTER-CLOCKWISE" if around else "HOLES NUMBERED AS IN THE HOLE TABLE"
    return f"SEEN FROM {flange.face.upper()}; {numbered}"


def _numbered_around(circle: BoltCircle) -> bool:
    """Whether the numbers of a circle run once round it counter-clockwise, from wherever they begin."""
    steps = [(after - before) % 360.0 for before, after in pairwise(circle.place_angles)]
    return circle.equally_spaced or (all(steps) and sum(steps) < 360.0)


def cautions(flange: Flange) -> tuple[str, ...]:
    """The cautions that apply to this plate, the general one first; none of steel for a gasket."""
    found = [LAYOUT_AID]
    if is_gasket_material(flange.material):
        return tuple(found)
    families = {rows[0].family for circle in flange.bolt_circles if (rows := named_rows(circle))}
    is_ring = flange.bore is not None and flange.round_diameter is not None
    if Family.PIPE_FLANGE in families or (is_ring and not families):
        found.append(_PLATE_FLANGE)
    if Family.WHEEL_HUB in families:
        found.append(_WHEEL)
    if flange.bore is None and flange.single_holes and flange.round_diameter is not None:
        found.append(_EXTRA_HOLE)
    return (*found, _THERMAL)


def tolerance_lines(flange: Flange, unit: Unit) -> tuple[str, ...]:
    """The drilling tolerances as far as stated, or that they are not."""
    tolerances = flange.tolerances
    stated = [
        f"{name} ±{with_unit(size_text(value, unit), unit)}"
        for name, value in (("BOLT CIRCLE", tolerances.bolt_circle), ("ANY CHORD", tolerances.chord))
        if value is not None
    ]
    return (", ".join(stated),) if stated else ("DRILLING TOLERANCE: NOT STATED ON THIS JOB",)
