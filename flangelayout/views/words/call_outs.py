"""The words and numbers printed on sheets and templates."""

from collections.abc import Iterator
from itertools import pairwise

from flangelayout.flange import BoltCircle, Flange, Group
from flangelayout.flange.claims import named_rows
from flangelayout.flange.turning import PlateFace
from flangelayout.provenance import Family
from flangelayout.standards.shop import is_gasket_material
from flangelayout.units import Unit, angle_text, size_text
from flangelayout.views.words.holes import hole_text, is_worked_from_one_face, pattern_call_out
from flangelayout.views.words.lengths import Lengths
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


def call_out(circle: BoltCircle, lengths: Lengths, letter: str = "", face: str = "") -> tuple[str, ...]:
    """What a bolt circle is, as written at its leader: its holes, their circle, their face, what is seen at the top.

    Args:
        circle: What is called out.
        lengths: How lengths are written, and by the rules of which standard.
        letter: Of the circle, where the plate has several groups of holes.
        face: The face that seats and blind holes are worked from.

    Example:
        >>> call_out(BoltCircle(240, 8, 22), Lengths(Unit.MM))
        ('8 × ⌀22', 'EQUALLY SPACED ON PCD 240', 'HOLES 1 AND 8 EITHER SIDE OF TOP')
    """
    hole = hole_text(circle.kind, circle.hole_diameter, lengths)
    lines = [f"{len(circle.hole_numbers())}{lengths.times}{hole}", _layout(circle, lengths)]
    if face and is_worked_from_one_face(circle.kind):
        lines.append(f"FROM {face.upper()}")
    lines.append(seen_place(circle, letter))
    if circle.skipped:
        lines.append(_left_out(circle))
    return tuple(lines)


def group_call_out(flange: Flange, group: int, lengths: Lengths) -> tuple[str, ...]:
    """What a bolt circle or another pattern is, as :func:`call_out`."""
    what = flange.groups()[group]
    face = face_word(flange, what.drilling.worked_from)
    if isinstance(what, BoltCircle):
        return call_out(what, lengths, flange.group_letter(group), face)
    worked = (f"FROM {face.upper()}",) if is_worked_from_one_face(what.drilling.kind) else ()
    return (*pattern_call_out(what, lengths), *worked)


def face_word(flange: Flange, face: PlateFace) -> str:
    """What a drawing calls a face: the named one by its name, the other the back, which is its far side."""
    return flange.face if face is PlateFace.FACE else "back (far side)"


def named_call_out(flange: Flange, group: int, lengths: Lengths) -> str:
    """A bolt circle's call-out in one line, led by its letter where there are several."""
    letter, text = flange.group_letter(group), ", ".join(group_call_out(flange, group, lengths))
    return f"{letter}: {text}" if letter else text


def _layout(circle: BoltCircle, lengths: Lengths) -> str:
    """How the holes of a circle are spaced, and on what circle."""
    on = f"PCD {lengths.named(circle.diameter)}" if lengths.is_iso else f"{lengths.named_diameter(circle.diameter)} BC"
    if circle.pair_angle:
        return f"IN {circle.hole_count // 2} PAIRS {angle_text(circle.pair_angle)} APART ON {on}"
    if not circle.equally_spaced:
        return f"ON {on}, ANGLES PER HOLE TABLE"
    if circle.hole_count == 1:
        return f"ON {on}"
    if circle.skipped:
        return f"IN {circle.hole_count} {'EQUAL' if lengths.is_iso else 'EQ SP'} PLACES ON {on}"
    return f"{'EQUALLY SPACED' if lengths.is_iso else 'EQ SP'} ON {on}"


_ENDS = ((90.0, "TOP"), (0.0, "RIGHT"), (270.0, "BOTTOM"), (180.0, "LEFT"))
"""Where a centerline leaves the plate: what is looked at first comes first."""
_SAME = 5e-4
"""Degrees: half of the last figure that an angle is written with."""


def seen_place(circle: BoltCircle, letter: str = "") -> str:
    """How the holes stand as they are seen: at an end of a centerline, on either side of one, or so far from the top.

    Told of the holes as drilled, whatever they were placed by. An end of the circle's own centerline is looked at
    first where it is the horizontal one.

    Example:
        >>> seen_place(BoltCircle(240, 8, 22, start_angle=22.5), "B"), seen_place(BoltCircle(240, 7, 22, start_angle=3))
        ('B8 AT TOP', 'HOLE 7 22.714° CW OF TOP')
    """
    holes = tuple(zip(circle.hole_numbers(), circle.hole_angles(), strict=True))
    for angle, end in _ends(circle):
        for number, at in holes:
            if abs(_turn(at - angle)) < _SAME:
                return f"{_hole(letter, number)} AT {end}"
        pair = _either_side(holes, angle)
        if pair:
            one, other, off = pair
            names = f"{letter}{one} AND {letter}{other}"
            apart = f" {angle_text(off)}" if circle.pair_angle else ""
            return f"{names if letter else f'HOLES {names}'}{apart} EITHER SIDE OF {end}"
    number, at = min(holes, key=lambda hole: (abs(_turn(hole[1] - 90.0)), hole[0]))
    off = _turn(at - 90.0)
    return f"{_hole(letter, number)} {angle_text(abs(off))} {'CCW' if off > 0 else 'CW'} OF TOP"


def _ends(circle: BoltCircle) -> tuple[tuple[float, str], ...]:
    return tuple(sorted(_ENDS, key=lambda end: end[0] % 180.0 != circle.centerline.angle))


def _either_side(holes: tuple[tuple[int, float], ...], angle: float) -> tuple[int, int, float] | None:
    """The two holes next to a direction that stand equally far from it, counter-clockwise of it first, and how far."""
    turns = [(_turn(at - angle), number) for number, at in holes]
    after = min((turn for turn in turns if turn[0] > 0), default=None)
    before = max((turn for turn in turns if turn[0] < 0), default=None)
    if after is None or before is None or abs(after[0] + before[0]) > _SAME or after[0] > 90.0 - _SAME:
        return None
    return after[1], before[1], after[0]


def _hole(letter: str, number: int) -> str:
    return f"{letter}{number}" if letter else f"HOLE {number}"


def _turn(degrees: float) -> float:
    """An angle from -180 (not included) to 180."""
    return 180.0 - (180.0 - degrees) % 360.0


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
