"""The words and numbers printed on sheets and templates."""

from collections.abc import Sequence
from itertools import pairwise

from msgspec import Struct

from flangelayout.flange import BoltCircle, Flange, HoleGrid
from flangelayout.flange.turning import PlateFace
from flangelayout.units import Unit, angle_text
from flangelayout.value import replace
from flangelayout.views.words.holes import hole_text, is_worked_from_one_face, pattern_call_out
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.numbering import numbers_in_words

LAYOUT_AID = "Layout aid, not a design. Thickness, bolting and rating by a qualified person to the local code."
TAPE = "Take paper, tape and adhesive off before torch, plasma or weld."
PLATE_RULES = "What is measured on the PLATE decides; the paper only locates."


def with_unit(text: str, unit: Unit) -> str:
    """A number with its unit."""
    return f"{text} {unit.value}"


def call_out(
    circle: BoltCircle,
    lengths: Lengths,
    letter: str = "",
    face: str = "",
    *,
    is_dimensioned: bool = False,
    seen: BoltCircle | None = None,
) -> tuple[str, ...]:
    """What a bolt circle is, as written at its leader: its holes, their circle, their face, what is seen at the top.

    Args:
        circle: What is called out.
        lengths: How lengths are written, and by the rules of which standard.
        letter: Of the circle, where the plate has several groups of holes.
        face: The face that seats and blind holes are worked from.
        is_dimensioned: Whether a dimension on the drawing says how far apart its holes are.
        seen: The circle as the page shows it, where that is not how it is drawn.

    Example:
        >>> call_out(BoltCircle(240, 8, 22), Lengths(Unit.MM))
        ('8 × ⌀22', 'EQUALLY SPACED ON PCD 240', 'HOLES 1 AND 8 EITHER SIDE OF TOP')
    """
    hole = hole_text(circle.kind, circle.hole_diameter, lengths)
    lines = [f"{len(circle.hole_numbers())}{lengths.times}{hole}"]
    if not is_dimensioned:
        lines.append(_layout(circle, lengths))
    if face and is_worked_from_one_face(circle.kind):
        lines.append(f"FROM {face.upper()}")
    lines.append(seen_place(seen or circle, letter))
    if circle.skipped:
        lines.append(_left_out(circle))
    return tuple(lines)


def group_call_out(flange: Flange, group: int, lengths: Lengths, *, is_dimensioned: bool = False) -> tuple[str, ...]:
    """What a bolt circle or another pattern is, as :func:`call_out`."""
    what = flange.groups()[group]
    face = face_word(flange, what.drilling.worked_from)
    if isinstance(what, BoltCircle):
        return call_out(what, lengths, flange.group_letter(group), face, is_dimensioned=is_dimensioned)
    worked = (f"FROM {face.upper()}",) if is_worked_from_one_face(what.drilling.kind) else ()
    return (*pattern_call_out(what, lengths), *worked)


def face_word(flange: Flange, face: PlateFace) -> str:
    """What a drawing calls a face: the named one by its name, the other the back, which is its far side."""
    return flange.face if face is PlateFace.FACE else "back (far side)"


def is_dimensioned(flange: Flange, group: int) -> bool:
    """Whether a dimension tells how far apart a pair of holes is: on a centerline of a plate that is not round."""
    circle = flange.groups()[group]
    if not isinstance(circle, BoltCircle) or flange.round_diameter is not None:
        return False
    if circle.hole_count != 2 or circle.skipped or not circle.equally_spaced:
        return False
    off = circle.first_hole_angle % 90.0
    return min(off, 90.0 - off) < _ON_LINE


def named_call_out(flange: Flange, group: int, lengths: Lengths, *, is_dimensioned: bool = False) -> str:
    """A bolt circle's call-out in one line, led by its letter where there are several."""
    lines = group_call_out(flange, group, lengths, is_dimensioned=is_dimensioned)
    letter, text = flange.group_letter(group), ", ".join(lines)
    return f"{letter}: {text}" if letter else text


def behind_call_out(flange: Flange, group: int, lengths: Lengths) -> str:
    """As :func:`named_call_out`, the holes told as they stand once the plate is turned over left to right."""
    what, letter = flange.groups()[group], flange.group_letter(group)
    if not isinstance(what, BoltCircle):
        return named_call_out(flange, group, lengths)
    angles = tuple((180.0 - angle - what.start_angle) % 360.0 for angle in what.place_angles)
    over = replace(what, angles=angles, start_angle=0.0, pair_angle=0.0)
    lines = call_out(what, lengths, letter, face_word(flange, what.drilling.worked_from), seen=over)
    return f"{letter}: {', '.join(lines)}" if letter else ", ".join(lines)


def pitch_circle(circle: BoltCircle, lengths: Lengths) -> str:
    """What a bolt circle is called by its size."""
    return (
        f"PCD {lengths.named(circle.diameter)}" if lengths.is_iso else f"{lengths.named_diameter(circle.diameter)} BC"
    )


def _layout(circle: BoltCircle, lengths: Lengths) -> str:
    """How the holes of a circle are spaced, and on what circle."""
    on = pitch_circle(circle, lengths)
    if circle.pair_angle:
        return f"IN {circle.hole_count // 2} PAIRS, THE TWO OF EACH {angle_text(circle.pair_angle)} APART, ON {on}"
    if not (circle.equally_spaced or _is_even(circle)):
        return f"ON {on}, PLACES PER HOLE TABLE"
    if circle.hole_count == 1:
        return f"ON {on}"
    if circle.skipped:
        return f"IN {circle.hole_count} {'EQUAL' if lengths.is_iso else 'EQ SP'} PLACES ON {on}"
    return f"{'EQUALLY SPACED' if lengths.is_iso else 'EQ SP'} ON {on}"


def _is_even(circle: BoltCircle) -> bool:
    """Whether places given one by one are a pitch apart all the same, as those of a part face to face with another."""
    places = sorted(angle % 360.0 for angle in circle.place_angles)
    steps = (after - before for before, after in pairwise((*places, places[0] + 360.0)))
    return all(abs(step - circle.pitch_angle) < _ON_LINE for step in steps)


_ENDS = ((90.0, "TOP"), (0.0, "RIGHT"), (270.0, "BOTTOM"), (180.0, "LEFT"))
"""Where a centerline leaves the plate."""
_ON_LINE = 1e-6
_SAME = 5e-4
"""Degrees: half of the last figure that an angle is written with."""


def seen_place(circle: BoltCircle, letter: str = "") -> str:
    """How the holes stand as they are seen: at an end of a centerline, on either side of one, or so far from the top.

    Told of the holes as drilled, whatever they were placed by. The ends of the circle's own centerline are looked at
    first.

    Example:
        >>> seen_place(BoltCircle(240, 8, 22, start_angle=22.5), "B"), seen_place(BoltCircle(240, 7, 22, start_angle=3))
        ('B8 AT TOP', 'HOLE 7 22.714° CW OF TOP')
    """
    names = tuple(f"{letter}{number}" for number in circle.hole_numbers())
    one, several = ("", "") if letter else ("HOLE ", "HOLES ")
    match _seen(circle.hole_angles(), circle.centerline.angle):
        case _At(index, end):
            return f"{one}{names[index]} AT {end}"
        case _EitherSide(left, right, off, end):
            apart = f" {angle_text(off)}" if circle.pair_angle else ""
            return f"{several}{names[left]} AND {names[right]}{apart} EITHER SIDE OF {end}"
        case _OffTop(index, off):
            return f"{one}{names[index]} {_off_top(off)}"


def seen_among(angles: Sequence[float]) -> str:
    """As :func:`seen_place` for things without numbers: lugs, copies of an opening.

    Example:
        >>> seen_among((45.0, 135.0, 225.0, 315.0)), seen_among((100.0,))
        ('TWO EITHER SIDE OF TOP', 'ONE 10° CCW OF TOP')
    """
    match _seen(angles, 90.0):
        case _At(_, end):
            return f"ONE AT {end}"
        case _EitherSide(end=end):
            return f"TWO EITHER SIDE OF {end}"
        case _OffTop(_, off):
            return f"ONE {_off_top(off)}"


class _At(Struct, frozen=True):
    """The hole of an index stands at an end of a centerline."""

    index: int
    end: str


class _EitherSide(Struct, frozen=True):
    """Two holes stand next to an end of a centerline, equally far, the first counter-clockwise of it."""

    left: int
    right: int
    off: float
    end: str


class _OffTop(Struct, frozen=True):
    """The hole nearest to the top stands so many degrees counter-clockwise of it."""

    index: int
    off: float


def _seen(angles: Sequence[float], centerline: float) -> _At | _EitherSide | _OffTop:
    for angle, end in sorted(_ENDS, key=lambda each: each[0] % 180.0 != centerline):
        turns = [_turn(at - angle) for at in angles]
        nearest = min(range(len(angles)), key=lambda index: abs(turns[index]))
        if abs(turns[nearest]) < _SAME:
            return _At(nearest, end)
        after = min((index for index, turn in enumerate(turns) if turn > 0), key=turns.__getitem__, default=None)
        before = max((index for index, turn in enumerate(turns) if turn < 0), key=turns.__getitem__, default=None)
        if after is not None and before is not None:
            off = turns[after]
            if abs(off + turns[before]) <= _SAME and off < 90.0 - _SAME:
                return _EitherSide(after, before, off, end)
    turns = [_turn(at - 90.0) for at in angles]
    nearest = min(range(len(angles)), key=lambda index: (abs(turns[index]), index))
    return _OffTop(nearest, turns[nearest])


def _off_top(off: float) -> str:
    return f"{angle_text(abs(off))} {'CCW' if off > 0 else 'CW'} OF TOP"


def _turn(degrees: float) -> float:
    """An angle from -180 (not included) to 180."""
    return 180.0 - (180.0 - degrees) % 360.0


def _left_out(circle: BoltCircle) -> str:
    """Which places are left undrilled, or which alone are drilled where those stand in a row and are fewer.

    Of a ring made in parts: which of its holes the part has.
    """
    if circle.elsewhere:
        return f"HOLES {numbers_in_words(circle.hole_numbers())} ON THIS PART"
    drilled, skipped = circle.hole_numbers(), sorted(set(circle.skipped))
    if len(drilled) < len(skipped) and drilled[-1] - drilled[0] == len(drilled) - 1 > 0:
        return f"ONLY PLACES {drilled[0]} TO {drilled[-1]} DRILLED"
    return "NO HOLE AT " + ", ".join(str(number) for number in skipped)


def seen_from(flange: Flange, turned_over: bool = False) -> str:
    """Which face the plate is seen from, and which way the holes are numbered: the other way on a plate turned over."""
    seen, groups = f"Seen from {flange.face.upper()}", flange.groups()
    if len(flange.holes()) < 2:
        return seen
    if not groups or not all(_numbered_around(circle) for circle in flange.bolt_circles):
        return f"{seen}, numbers as in the hole table"
    way, side = ("clockwise", "right") if turned_over else ("counter-clockwise", "left")
    by_row = [isinstance(each, HoleGrid) for each in groups]
    rows = [f"{'' if all(by_row) else 'of a grid '}row by row from the upper {side}"] if any(by_row) else []
    return f"{seen}, numbers {', '.join([*([] if all(by_row) else [way]), *rows])}"


def _numbered_around(circle: BoltCircle) -> bool:
    """Whether the numbers of a circle run once round it counter-clockwise, from wherever they begin."""
    steps = [(after - before) % 360.0 for before, after in pairwise(circle.place_angles)]
    return circle.equally_spaced or (all(steps) and sum(steps) < 360.0)
