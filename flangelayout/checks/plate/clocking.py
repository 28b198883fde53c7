"""How two bolt circles on one plate are turned to each other, and which turn leaves the most metal.

All circles are about the middle of the plate, so the distance between a hole of one and a hole of the other
hangs on the angle between them alone and grows with it. The turn that makes the least angle the greatest is
therefore the best for the metal between holes and for nut seats over the other side's holes at once: half
way between the two neighboring angles of difference that are farthest apart.
"""

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, assert_never

from msgspec import Struct

from flangelayout.checks.facts import Clocked, Shortage
from flangelayout.checks.finding import TOLERANCE, Finding, Remedy, circle_place, judged
from flangelayout.checks.limits import BETWEEN_BOLT_HOLES, GEOMETRY, CheckLimits, Limit
from flangelayout.checks.rule import Rule
from flangelayout.flange import BoltCircle, Dowel, Flange, Hole, Jack, Slot, Tapped
from flangelayout.flange.hole import metal_width, through_width
from flangelayout.geometry.shapes import ORIGIN
from flangelayout.standards.bolt_room import nut_corners, washer_outside
from flangelayout.standards.shop import is_gasket_material

if TYPE_CHECKING:
    from flangelayout.geometry.arrays import FloatArray

_SAME_ANGLE = 1e-7
_LEAST_STEPS, _STEPS_PER_DEGREE = 180, 2
_MOST_DIFFERENCES = 1_000_000
"""Pairs of holes of unequally spaced circles beyond which nothing is said."""


class TurnMargins(Struct, frozen=True):
    """What is left between two bolt circles at one turn, in mm; negative where it overlaps.

    Attributes:
        metal: Between a hole of one and a hole of the other.
        seat_a: From a nut seat of the first over a hole of the second; ``None`` where the nut is not known.
        seat_b: From a nut seat of the second over a hole of the first.
    """

    metal: float
    seat_a: float | None
    seat_b: float | None


class Clocking(Struct, frozen=True):
    """How the second of two circles stands to the first, and how it had best stand.

    Attributes:
        group_a: Index of the first circle in the flange.
        group_b: Index of the second.
        present_angle: Least angle in degrees between a hole of one and a hole of the other, as drawn.
        best_angle: The same at the best turn.
        best_turn: Degrees counter-clockwise by which the second is turned from where it is drawn.
        present: Margins as drawn.
        best: Margins at the best turn.
        period: Degrees after which every turn repeats.
        curve: Turn in degrees and margins at it, over one period.
        limit: Least metal between holes that is asked for.
        hopeless: What is short even at the best turn; ``None`` where nothing is.
        hopeless_value: How much of it is left then, in mm.
    """

    group_a: int
    group_b: int
    present_angle: float
    best_angle: float
    best_turn: float
    present: TurnMargins
    best: TurnMargins
    period: float
    curve: tuple[tuple[float, TurnMargins], ...]
    limit: Limit
    hopeless: Shortage | None
    hopeless_value: float


class _Pair(Struct, frozen=True):
    """Radii and widths of two circles, in mm; ``both`` is what a hole of each takes of the metal on a line."""

    radius_a: float
    radius_b: float
    hole_a: float
    hole_b: float
    both: float
    seat_a: float | None
    seat_b: float | None

    def margins(self, separation: float) -> TurnMargins:
        """What is left between holes ``separation`` degrees apart."""
        a, b = self.radius_a, self.radius_b
        apart = math.sqrt((a - b) ** 2 + 4 * a * b * math.sin(math.radians(separation) / 2) ** 2)
        return TurnMargins(
            apart - self.both / 2,
            apart - (self.seat_a + self.hole_b) / 2 if self.seat_a is not None else None,
            apart - (self.seat_b + self.hole_a) / 2 if self.seat_b is not None else None,
        )


def clockings(flange: Flange, limits: CheckLimits) -> tuple[Clocking, ...]:
    """Every two bolt circles of a plate, the second turned on the first; slots, jack screws and dowels left out."""
    groups = range(len(flange.bolt_circles))
    return tuple(clock(flange, a, b, limits) for b in groups for a in range(b) if is_clocked(flange, a, b))


def is_clocked(flange: Flange, a: int, b: int) -> bool:
    """Whether two groups are different bolt circles that can be clocked: no slots, jack screws or dowels."""
    if a == b or min(a, b) < 0 or max(a, b) >= len(flange.bolt_circles):
        return False
    one, other = flange.bolt_circles[a], flange.bolt_circles[b]
    turns = not any(isinstance(circle.kind, Slot | Jack | Dowel) for circle in (one, other))
    return turns and _is_countable(one, other)


def _is_countable(one: BoltCircle, other: BoltCircle) -> bool:
    equal = all(circle.equally_spaced and not circle.skipped for circle in (one, other))
    return equal or one.hole_count * other.hole_count <= _MOST_DIFFERENCES


def clock(flange: Flange, a: int, b: int, limits: CheckLimits) -> Clocking:
    """The best turn of bolt circle ``b`` on bolt circle ``a``, of two indexes in the flange."""
    one, other = flange.bolt_circles[a], flange.bolt_circles[b]
    wide_a, wide_b = _circle_width(one), _circle_width(other)
    on_one_face = one.drilling.worked_from is other.drilling.worked_from
    pair = _Pair(
        one.diameter / 2,
        other.diameter / 2,
        wide_a,
        wide_b,
        both_widths(wide_a, _circle_through(one), wide_b, _circle_through(other), on_one_face),
        _seat(flange, one, limits),
        _seat(flange, other, limits),
    )
    differences, period = _differences(one, other)
    turn, half_gap = _best_turn(differences, period)
    limit = limits.ligament or BETWEEN_BOLT_HOLES.limit(min(one.hole_diameter, other.hole_diameter))
    best = pair.margins(half_gap)
    hopeless = _shortage(best, limit)
    count = max(_LEAST_STEPS, round(_STEPS_PER_DEGREE * period))
    steps = [index * period / count for index in range(count + 1)]
    return Clocking(
        group_a=a,
        group_b=b,
        present_angle=_separation(differences, period, 0.0),
        best_angle=half_gap,
        best_turn=turn,
        present=pair.margins(_separation(differences, period, 0.0)),
        best=best,
        period=period,
        curve=tuple((turn, pair.margins(_separation(differences, period, turn))) for turn in steps),
        limit=limit,
        hopeless=hopeless[0] if hopeless else None,
        hopeless_value=hopeless[1] if hopeless else 0.0,
    )


def _seat(flange: Flange, circle: BoltCircle, limits: CheckLimits) -> float | None:
    """Width of what bears round each hole; ``None`` where it is not known, and for studs and gaskets."""
    if isinstance(circle.kind, Tapped | Jack | Dowel) or is_gasket_material(flange.material):
        return None
    room = (washer_outside(circle.bolt) if limits.washers else None) or nut_corners(circle.bolt)
    return room.value if room else None


def _differences(one: BoltCircle, other: BoltCircle) -> "tuple[FloatArray, float]":
    """The turns of the second circle that would set a hole of it on the ray of a hole of the first, in rising order.

    Returns:
        The turns within one period, and the period in degrees: 360 divided by the least common multiple of
        the counts of two equally spaced circles, else 360.
    """
    import numpy as np

    equal = all(circle.equally_spaced and not circle.skipped for circle in (one, other))
    period = 360.0 / math.lcm(one.hole_count, other.hole_count) if equal else 360.0
    angles_a, angles_b = one.hole_angles(), other.hole_angles()
    if equal:
        angles_a, angles_b = angles_a[:1], angles_b[:1]
    turns = np.sort(np.mod(np.subtract.outer(angles_a, angles_b).ravel(), period))
    kept = np.concatenate(([True], np.diff(turns) > _SAME_ANGLE))
    return turns[kept], period


def _best_turn(differences: "FloatArray", period: float) -> tuple[float, float]:
    """The turn farthest from every difference, the least one where several are alike; and how far it is, in degrees.

    A turn to the left is taken before an equal one to the right.
    """
    import numpy as np

    gaps = np.diff(np.append(differences, differences[0] + period))
    middles = np.mod(differences + gaps / 2, period)
    widest = gaps > gaps.max() - _SAME_ANGLE
    turns = np.where(middles[widest] > period / 2 + _SAME_ANGLE, middles[widest] - period, middles[widest])
    best = min(turns.tolist(), key=lambda turn: (round(abs(turn), 6), -turn))
    return (0.0 if abs(best) < _SAME_ANGLE else best), min(float(gaps.max()) / 2, 180.0)


def _separation(differences: "FloatArray", period: float, turn: float) -> float:
    """Least angle in degrees between a hole of the first circle and one of the second, turned."""
    import numpy as np

    away = np.mod(differences - turn, period)
    return float(np.minimum(away, period - away).min())


def _shortage(margins: TurnMargins, limit: Limit) -> tuple[Shortage, float] | None:
    """What falls short and what is left of it in mm; ``None`` where nothing does."""
    if margins.metal < limit.value - TOLERANCE:
        return Shortage.METAL, margins.metal
    for short, seat in ((Shortage.SEAT_A, margins.seat_a), (Shortage.SEAT_B, margins.seat_b)):
        if seat is not None and seat < -TOLERANCE:
            return short, seat
    return None


def check_clocking(flange: Flange, limits: CheckLimits) -> Iterator[Finding]:
    """What each two circles leave as drawn, and the turn that leaves the most."""
    for found in clockings(flange, limits):
        now = _shortage(found.present, found.limit)
        short, value = now or (Shortage.METAL, found.present.metal)
        limit = found.limit if short is Shortage.METAL else GEOMETRY
        place = circle_place(flange, found.group_b, "start_angle")
        yield judged(Rule.CLOCKING, place, clocked(flange, found, short), value, limit, _cure(found))


def clocked(flange: Flange, found: Clocking, short: Shortage) -> Clocked:
    """The facts of two circles' clocking."""
    start = flange.bolt_circles[found.group_b].start_angle + found.best_turn
    return Clocked(
        group_a=found.group_a,
        group_b=found.group_b,
        short=short,
        start_angle=(start + 180) % 360 - 180,
        best_turn=found.best_turn if abs(found.best_turn) >= _SAME_ANGLE else 0.0,
        best_angle=found.best_angle,
        best_metal=found.best.metal,
        hopeless=found.hopeless,
        hopeless_value=found.hopeless_value,
        limit=found.limit,
    )


def _cure(found: Clocking) -> Remedy:
    match found.hopeless:
        case None:
            return Remedy.CLOCK
        case Shortage.METAL:
            return Remedy.TWO_RINGS
        case Shortage.SEAT_A | Shortage.SEAT_B:
            return Remedy.TAP_ONE_SIDE
        case _:
            assert_never(found.hopeless)


def both_widths(wide_a: float, plain_a: float, wide_b: float, plain_b: float, same_face: bool) -> float:
    """What two holes together take of the metal on the line between them, in mm.

    Recesses made from different faces do not meet: each is held against the other hole where it goes through.
    """
    return wide_a + wide_b if same_face else max(wide_a + plain_b, plain_a + wide_b)


def _circle_width(circle: BoltCircle) -> float:
    """:func:`metal_width` of the holes of a bolt circle."""
    return metal_width(_hole_of(circle))


def _circle_through(circle: BoltCircle) -> float:
    """:func:`through_width` of the holes of a bolt circle."""
    return through_width(_hole_of(circle))


def _hole_of(circle: BoltCircle) -> Hole:
    return Hole("", 0, 1, ORIGIN, circle.hole_diameter, 0.0, "", circle.kind)
