"""Settings of a dividing head: whole turns of the crank and spaces on a circle of an index plate.

One turn of the crank turns the work by 1 / ratio of a turn, so the work turns to a share ``s`` of a turn by
``s * ratio`` turns of the crank (plain indexing, as the machinist's handbooks give it). Fractions are exact.
"""

import math
from collections.abc import Iterable, Sequence
from fractions import Fraction

from msgspec import Struct

from flangelayout.drawing.model import TextTable
from flangelayout.errors import GeometryError
from flangelayout.flange import BoltCircle
from flangelayout.flange.turning import PlateFace
from flangelayout.machine.sides import shares_on
from flangelayout.problems.output import OutputProblem
from flangelayout.standards.shop import DividingHead
from flangelayout.units import Unit, counted, decimal_text, from_mm

_ARC_SECONDS = 360 * 3600


class HoleCircle(Struct, frozen=True):
    """A circle of holes on an index plate."""

    plate: str
    holes: int


class CrankStep(Struct, frozen=True):
    """One position of the work.

    Attributes:
        turns: Whole turns of the crank from the first position.
        spaces: Spaces on the hole circle beyond them (a space leads from hole to next hole; the hole the pin
            stands in does not count).
        step_turns: Whole turns from the position before; 0 for the first.
        step_spaces: Spaces beyond them.
        error: How far the work turns too much, as a share of a turn of the work.
    """

    turns: int
    spaces: int
    step_turns: int
    step_spaces: int
    error: Fraction


class Division(Struct, frozen=True):
    """How one head comes to a row of positions with one hole circle.

    Attributes:
        circle: The hole circle; ``None`` where whole turns are enough and any hole will do.
        steps: One for each position.
    """

    circle: HoleCircle | None
    steps: tuple[CrankStep, ...]

    @property
    def worst_error(self) -> Fraction:
        """The largest error of a position, as a share of a turn, never negative."""
        return max(abs(step.error) for step in self.steps)

    @property
    def is_exact(self) -> bool:
        """Whether every position is met exactly."""
        return self.worst_error == 0


def hole_shares(circle: BoltCircle) -> tuple[tuple[int, Fraction], ...]:
    """Numbers of the drilled holes and where they stand, as shares of a turn from the first, as the work turns."""
    numbers = circle.hole_numbers()
    if circle.equally_spaced:
        return tuple((number, Fraction(number - numbers[0], circle.hole_count)) for number in numbers)
    angles = [Fraction(str(circle.place_angles[number - 1])) for number in numbers]
    shares = ((number, (angle - angles[0]) / 360 % 1) for number, angle in zip(numbers, angles, strict=True))
    return tuple(sorted(shares, key=lambda pair: pair[1]))


def divisions(shares: Sequence[Fraction], head: DividingHead) -> tuple[Division, ...]:
    """Every hole circle of a head with which it comes to all positions exactly, those with fewest holes first.

    Where none does, the one circle whose worst position is nearest: each position is taken from the first
    one, so errors do not add up.

    Args:
        shares: Positions as shares of a turn, the first 0.
        head: Ratio and index plates.

    Raises:
        GeometryError: If the head has no index plate and whole turns do not serve.
    """
    if all((share * head.ratio).denominator == 1 for share in shares):
        return (_division(shares, head.ratio, None),)
    circles = [HoleCircle(plate.name, holes) for plate in head.plates for holes in plate.hole_circles]
    if not circles:
        raise GeometryError.of(OutputProblem.HEAD_WITHOUT_PLATE, head=head.name)
    circles.sort(key=lambda circle: circle.holes)
    needed = math.lcm(*((share * head.ratio).denominator for share in shares))
    exact = [circle for circle in circles if circle.holes % needed == 0]
    chosen = exact or [min(circles, key=lambda circle: _worst(shares, head.ratio * circle.holes))]
    return tuple(_division(shares, head.ratio, circle) for circle in chosen)


def dividing_table(circle: BoltCircle, head: DividingHead, unit: Unit, side: PlateFace = PlateFace.FACE) -> TextTable:
    """The crank positions of a bolt circle with the first hole circle that serves, hole by hole.

    The error of each hole is its way along the bolt circle, in ``unit``.
    """
    shares = shares_on(side, hole_shares(circle))
    division = divisions([share for _, share in shares], head)[0]
    places = 4 if unit is Unit.MM else 5
    taken = (division.circle.plate, str(division.circle.holes)) if division.circle else ("any", "any")
    rows = []
    for (number, _), step in zip(shares, division.steps, strict=True):
        along = float(step.error) * math.pi * circle.diameter
        cells = (step.turns, step.spaces, step.step_turns, step.step_spaces)
        rows.append((str(number), *taken, *map(str, cells), decimal_text(along, unit, places)))
    cranked = ("turns", "spaces", "turns_from_last", "spaces_from_last")
    columns = ("hole", "plate", "hole_circle", *cranked, f"error_{unit.value}")
    return TextTable(dividing_line(circle, head, unit), columns, tuple(rows))


def dividing_line(circle: BoltCircle, head: DividingHead, unit: Unit) -> str:
    """The setting in words: head, hole circle, the step where it is the same each time, the error where there is one.

    Example:
        >>> from flangelayout.standards.shop import dividing_heads
        >>> dividing_line(BoltCircle(240, 9, 22), dividing_heads()[0], Unit.MM)
        '40:1 head, three plates: 18-hole circle of plate 1 (or 27), each step 4 turns and 8 spaces'
    """
    found = divisions([share for _, share in hole_shares(circle)], head)
    first = found[0]
    lead = f"{head.ratio}:1 head, {head.name}"
    steps = {(step.step_turns, step.step_spaces) for step in first.steps[1:]}
    each = f", each step {_step_text(*next(iter(steps)))}" if len(steps) == 1 else ""
    if first.circle is None:
        return f"{lead}: any hole{each}"
    others = ", ".join(str(other.circle.holes) for other in found[1:] if other.circle)
    circles = f"{first.circle.holes}-hole circle of {first.circle.plate}" + (f" (or {others})" if others else "")
    if first.is_exact:
        return f"{lead}: {circles}{each}"
    return f"{lead}: no circle divides this exactly; nearest, {circles}: {error_text(first.worst_error, circle, unit)}"


def error_text(error: Fraction, circle: BoltCircle, unit: Unit) -> str:
    """An error in words: seconds of arc, and mm or inches along the bolt circle."""
    seconds = float(abs(error)) * _ARC_SECONDS
    along = float(abs(error)) * math.pi * circle.diameter
    places = 3 if unit is Unit.MM else 4
    size = f"{from_mm(along, unit):.{places}f} {unit.value}"
    return f"no hole off by more than {seconds:.0f} seconds of arc, {size} on the circle"


def _step_text(turns: int, spaces: int) -> str:
    parts = [counted(turns, "turn") if turns else "", ""]
    parts[1] = counted(spaces, "space") if spaces else ""
    return " and ".join(part for part in parts if part) or "no turn"


def _division(shares: Iterable[Fraction], ratio: int, circle: HoleCircle | None) -> Division:
    spaces_a_turn = circle.holes if circle else 1
    in_spaces = [share * ratio * spaces_a_turn for share in shares]
    taken = [_nearest(spaces) for spaces in in_spaces]
    steps = []
    for before, (now, wanted) in zip([taken[0], *taken], zip(taken, in_spaces, strict=True), strict=False):
        turns, spaces = divmod(now, spaces_a_turn)
        step_turns, step_spaces = divmod(now - before, spaces_a_turn)
        error = (now - wanted) / (ratio * spaces_a_turn)
        steps.append(CrankStep(turns, spaces, step_turns, step_spaces, error))
    return Division(circle, tuple(steps))


def _worst(shares: Iterable[Fraction], spaces: int) -> Fraction:
    """The largest error of a position, as a share of a turn, where a turn of the work has ``spaces`` spaces."""
    beyond = ((share.numerator * spaces % share.denominator, share.denominator) for share in shares)
    return max(Fraction(min(rest, whole - rest), whole) for rest, whole in beyond) / spaces


def _nearest(value: Fraction) -> int:
    """The nearest whole number, halves up."""
    return (2 * value.numerator + value.denominator) // (2 * value.denominator)
