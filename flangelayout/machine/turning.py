"""Every hole of every bolt circle as a machine that turns the work comes to it, from the first hole of the plate.

One zero for all circles: what stands between them (their clocking) is a setting like any other. Only where no hole
circle of a dividing head serves them all exactly does each circle have a zero and a hole circle of its own.
"""

from fractions import Fraction

from msgspec import Struct

from flangelayout.flange import Flange
from flangelayout.flange.turning import PlateFace
from flangelayout.machine.dividing import Division, divisions, hole_shares
from flangelayout.machine.sides import angle_on, shares_on
from flangelayout.standards.shop import DividingHead

_FINEST = 100_000
"""Parts of a degree to which an angle is taken for what a person wrote: 64.2857142857 is 450 / 7."""


class TurnedHole(Struct, frozen=True):
    """A hole and how far the work turns to it from the zero, as a share of a turn."""

    label: str
    share: Fraction


class TurnedCircle(Struct, frozen=True):
    """The holes of a bolt circle in the order in which they come up.

    Attributes:
        group: Index of the circle in the flange.
        radius: How far the spindle stands from the middle, in mm.
        holes: At least one.
        step: From hole to hole where it is the same all round, as a share of a turn.
    """

    group: int
    radius: float
    holes: tuple[TurnedHole, ...]
    step: Fraction | None


class HeadSetting(Struct, frozen=True):
    """A dividing head's way to every hole of some circles that one hole circle serves.

    Attributes:
        circles: The bolt circles.
        division: With a step for every hole of every circle, those of the first circle first.
    """

    circles: tuple[TurnedCircle, ...]
    division: Division

    @property
    def cranked(self) -> dict[str, tuple[int, int]]:
        """Whole turns of the crank from the zero, and spaces beyond them, by the label of the hole."""
        labels = [hole.label for circle in self.circles for hole in circle.holes]
        return {label: (step.turns, step.spaces) for label, step in zip(labels, self.division.steps, strict=True)}


def turned_circles(flange: Flange, side: PlateFace = PlateFace.FACE) -> tuple[TurnedCircle, ...]:
    """The bolt circles of a plate that are made from one face; none where it has none."""
    groups = [group for group, circle in enumerate(flange.bolt_circles) if circle.drilling.made_from is side]
    return tuple(_turned(flange, group, side, _first_angle(flange, groups[0], side)) for group in groups)


def head_settings(flange: Flange, head: DividingHead, side: PlateFace = PlateFace.FACE) -> tuple[HeadSetting, ...]:
    """The crank positions of a plate for what is made from one face; none where it has no such bolt circle.

    Returns:
        One setting where a hole circle serves all bolt circles exactly; else one for each, from its own first hole.

    Raises:
        GeometryError: If the head has no index plate and whole turns do not serve.
    """
    circles = turned_circles(flange, side)
    if not circles:
        return ()
    together = _setting(circles, head)
    if together.division.is_exact or len(circles) == 1:
        return (together,)
    groups = (circle.group for circle in circles)
    apart = (_turned(flange, group, side, _first_angle(flange, group, side)) for group in groups)
    return tuple(_setting((circle,), head) for circle in apart)


def _setting(circles: tuple[TurnedCircle, ...], head: DividingHead) -> HeadSetting:
    return HeadSetting(circles, divisions([hole.share for circle in circles for hole in circle.holes], head)[0])


def _turned(flange: Flange, group: int, side: PlateFace, zero: Fraction) -> TurnedCircle:
    circle = flange.bolt_circles[group]
    labels = {hole.number: hole.label for hole in flange.holes() if hole.group == group}
    start = (_first_angle(flange, group, side) - zero) / 360
    shares_of = shares_on(side, hole_shares(circle))
    holes = sorted(((start + share) % 1, labels[number]) for number, share in shares_of)
    shares = [share for share, _ in holes]
    steps = {(after - before) % 1 for before, after in zip(shares, [*shares[1:], shares[0]], strict=True)}
    step = steps.pop() if len(steps) == 1 and len(shares) > 1 else None
    return TurnedCircle(group, circle.diameter / 2, tuple(TurnedHole(label, share) for share, label in holes), step)


def _first_angle(flange: Flange, group: int, side: PlateFace) -> Fraction:
    """Where the first hole of a circle stands, in degrees, as it is seen on a face."""
    angle = next(hole.angle for hole in flange.holes() if hole.group == group)
    return Fraction(angle_on(side, angle)).limit_denominator(_FINEST)
