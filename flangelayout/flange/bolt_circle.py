"""Bolt circles: where the holes of one stand, and the chords a caliper finds between them."""

import math
from dataclasses import dataclass, field
from enum import Enum
from typing import ClassVar, Literal, TypedDict, TypeVar, Unpack

from flangelayout.errors import GeometryError
from flangelayout.facts import Length
from flangelayout.flange.drilling import Drilling, Joint
from flangelayout.flange.hole import HoleKind, Tapped
from flangelayout.flange.origin import WRITTEN, LookedUp, Origin
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.shapes import Point, polar
from flangelayout.problems.flange import FlangeProblem

MAX_HOLES = 10_000


class Placement(Enum):
    """How the holes stand to the named centerline."""

    STRADDLE = "straddle"
    ON_CENTERLINE = "on-centerline"


class Centerline(Enum):
    """The centerline a placement refers to: the top end of the vertical, the right end of the horizontal."""

    VERTICAL = "vertical"
    HORIZONTAL = "horizontal"

    @property
    def angle(self) -> float:
        """Direction of its named end in degrees."""
        return 90.0 if self is Centerline.VERTICAL else 0.0


def chord_across(diameter: float, hole_count: int, pitches: int = 1) -> float:
    """Center-to-center distance of two holes ``pitches`` apart on a circle of equally spaced holes.

    The two centers and the middle of the circle form an isosceles triangle with the apex angle
    ``pitches * 360 deg / hole_count``; halving it gives ``diameter * sin(pitches * 180 deg / hole_count)``
    (chord tables of the machinist's handbooks print the sine for a diameter of 1).

    Args:
        diameter: Bolt circle diameter, > 0, in any unit; the result is in the same one.
        hole_count: Holes on the circle, at least 1.
        pitches: How many pitches apart, 0 to ``hole_count``.

    Example:
        >>> round(chord_across(240.0, 8), 3)
        91.844
    """
    return diameter * math.sin(math.pi * pitches / hole_count)


class HoleFacts(TypedDict, total=False):
    """What may be said of the holes of a bolt circle beside their diameter; see :class:`Drilling`."""

    kind: HoleKind
    name: str
    bolt: str
    mates_with: str
    looked_up: tuple[LookedUp, ...]
    joint: Joint
    key: str
    worked_from: PlateFace


@dataclass(frozen=True, slots=True, init=False)
class BoltCircle:
    """Holes of one size on one circle.

    Attributes:
        diameter: Bolt circle (pitch circle) diameter in mm, > 0.
        hole_count: Places on the circle, 1 to 10,000, skipped ones included.
        drilling: What every hole is.
        placement: ``straddle`` (no hole on the centerline) or ``on-centerline``.
        centerline: Which centerline that refers to.
        start_angle: Turns the whole pattern counter-clockwise, in degrees.
        skipped: Numbers of places left undrilled; the others keep their numbers.
        angles: Angle of every place in degrees counter-clockwise from 3 o'clock, where the spacing is
            unequal; empty for equal spacing and for pairs.
        pair_angle: Degrees between the two holes of a pair, where the holes stand in pairs whose middles
            are equally spaced and placed as ``placement`` says; 0 where they do not.
        origin: Where its figures come from.
        elsewhere: Those of the skipped places that lie on other parts of a ring made in parts.
    """

    diameter: float
    hole_count: int
    drilling: Drilling
    placement: Placement
    centerline: Centerline
    start_angle: float
    skipped: tuple[int, ...]
    angles: tuple[float, ...]
    pair_angle: float
    origin: Origin
    elsewhere: tuple[int, ...]
    table: ClassVar = "bolt_circle"
    tubes: ClassVar = False
    _hole_angles: tuple[float, ...] = field(init=False, repr=False, compare=False)
    _hole_centers: tuple[Point, ...] = field(init=False, repr=False, compare=False)

    def __init__(  # noqa: PLR0913 - a circle has as many facts
        self,
        diameter: float,
        hole_count: int,
        hole_diameter: float | None = None,
        placement: Placement | Literal["straddle", "on-centerline"] = Placement.STRADDLE,
        centerline: Centerline | Literal["vertical", "horizontal"] = Centerline.VERTICAL,
        start_angle: float = 0.0,
        skipped: tuple[int, ...] = (),
        angles: tuple[float, ...] = (),
        *,
        pair_angle: float = 0.0,
        origin: Origin = WRITTEN,
        elsewhere: tuple[int, ...] = (),
        drilling: Drilling | None = None,
        **hole: Unpack[HoleFacts],
    ) -> None:
        """A circle whose holes are given by ``hole_diameter`` and facts, or whole as a ``drilling``.

        Raises:
            GeometryError: If a value is out of range, or two of them contradict each other.
        """
        if (drilling is None) == (hole_diameter is None) or (drilling is not None and hole):
            raise GeometryError.of(FlangeProblem.HOLE_SAID_TWICE_OR_NEVER)
        facts = {
            "diameter": diameter,
            "hole_count": hole_count,
            "drilling": drilling or Drilling(math.nan if hole_diameter is None else hole_diameter, **hole),
            "placement": _choice(Placement, placement),
            "centerline": _choice(Centerline, centerline),
            "start_angle": start_angle,
            "skipped": tuple(skipped),
            "angles": tuple(angles),
            "pair_angle": pair_angle,
            "origin": origin,
            "elsewhere": tuple(elsewhere),
        }
        for name, value in facts.items():
            object.__setattr__(self, name, value)
        _check(self)
        found = tuple((self._place_angle(number) + start_angle) % 360.0 for number in self.hole_numbers())
        object.__setattr__(self, "_hole_angles", found)
        object.__setattr__(self, "_hole_centers", tuple(polar(diameter / 2, angle) for angle in found))

    @property
    def hole_diameter(self) -> float:
        """What is drilled, in mm."""
        return self.drilling.diameter

    @property
    def kind(self) -> HoleKind:
        """What is made of every hole."""
        return self.drilling.kind

    @property
    def name(self) -> str:
        """What the shop calls the circle."""
        return self.drilling.name

    @property
    def bolt(self) -> str:
        """Bolt that goes through, as written."""
        return self.drilling.bolt

    @property
    def joint(self) -> Joint:
        """What it is bolted up with."""
        return self.drilling.joint

    @property
    def is_tapped(self) -> bool:
        """Whether its holes are threads that bolts are screwed into."""
        return isinstance(self.kind, Tapped)

    @property
    def equally_spaced(self) -> bool:
        """Whether all places are one pitch apart."""
        return not (self.angles or self.pair_angle)

    @property
    def pitch_angle(self) -> float:
        """Degrees from one place to the next on an equally spaced circle."""
        return 360.0 / self.hole_count

    @property
    def place_angles(self) -> tuple[float, ...]:
        """Angle of every place in degrees, skipped ones included, before ``start_angle`` turns them."""
        return tuple(self._place_angle(number) for number in range(1, self.hole_count + 1))

    @property
    def first_hole_angle(self) -> float:
        """Angle of place 1 in degrees, 0 to 360, counter-clockwise from 3 o'clock."""
        return (self._place_angle(1) + self.start_angle) % 360.0

    @property
    def chord(self) -> float:
        """Center-to-center distance of neighbors on an equally spaced circle, in mm."""
        return self.chord_across(1)

    def chord_across(self, pitches: int) -> float:
        """Center-to-center distance of places ``pitches`` apart on an equally spaced circle, in mm.

        Raises:
            GeometryError: If the spacing is unequal: then each pair has a distance of its own.
        """
        if not self.equally_spaced:
            raise GeometryError.of(FlangeProblem.NO_COMMON_CHORD)
        return chord_across(self.diameter, self.hole_count, pitches)

    @property
    def spans_middle(self) -> bool:
        """Whether two of its holes stand across its middle from each other."""
        return len({round(angle, 6) % 180.0 for angle in self._hole_angles}) < len(self._hole_angles)

    def hole_numbers(self) -> tuple[int, ...]:
        """Numbers of the drilled places, from 1, counter-clockwise for equal spacing."""
        skipped = set(self.skipped)
        return tuple(number for number in range(1, self.hole_count + 1) if number not in skipped)

    def hole_angles(self) -> tuple[float, ...]:
        """Angles of the drilled holes in degrees, 0 to 360, in order of their numbers."""
        return self._hole_angles

    def hole_order(self) -> tuple[int, ...]:
        """Indexes of the drilled holes as they follow each other counter-clockwise from 3 o'clock."""
        return tuple(sorted(range(len(self._hole_angles)), key=self._hole_angles.__getitem__))

    def hole_centers(self) -> tuple[Point, ...]:
        """Centers of the drilled holes in mm from the middle of the circle, in order of their numbers."""
        return self._hole_centers

    def _place_angle(self, number: int) -> float:
        """Angle of a place, start angle left out: as given, or counted from the centerline."""
        if self.angles:
            return self.angles[number - 1]
        straddles = self.placement is Placement.STRADDLE
        if self.pair_angle:
            # straddling, the first pair lies whole beyond the centerline; else hole 1 is the second of its pair
            pair, second = divmod(number - 1 if straddles else number, 2)
            middle = (pair + 0.5 * straddles) * 2 * self.pitch_angle
            from_line = middle + (self.pair_angle / 2 if second else -self.pair_angle / 2)
        else:
            from_line = (number - 1 + 0.5 * straddles) * self.pitch_angle
        return self.centerline.angle + from_line


_Choice = TypeVar("_Choice", Placement, Centerline)


def _choice(kind: type[_Choice], word: _Choice | str) -> _Choice:
    """The member that a text names.

    Raises:
        GeometryError: If it names none.
    """
    try:
        return kind(word)
    except ValueError:
        choices = tuple(member.value for member in kind)
        raise GeometryError.of(
            FlangeProblem.NO_SUCH_CHOICE, key=kind.__name__.lower(), choices=choices, written=str(word)
        ) from None


def _check(circle: BoltCircle) -> None:
    """Refuse what makes no bolt circle."""
    count = circle.hole_count
    if not (math.isfinite(circle.diameter) and circle.diameter > 0):
        raise GeometryError.of(FlangeProblem.CIRCLE_SIZE_NOT_ABOVE_ZERO, key="diameter", value=Length(circle.diameter))
    if not isinstance(count, int) or not 1 <= count <= MAX_HOLES:
        raise GeometryError.of(FlangeProblem.HOLE_COUNT_OUT_OF_RANGE, most=MAX_HOLES, hole_count=count)
    if not all(math.isfinite(angle) for angle in (circle.start_angle, circle.pair_angle, *circle.angles)):
        raise GeometryError.of(FlangeProblem.ANGLE_NO_NUMBER)
    if circle.angles and len(circle.angles) != count:
        raise GeometryError.of(FlangeProblem.ANGLES_FOR_OTHER_COUNT, angle_count=len(circle.angles), hole_count=count)
    if circle.angles and circle.pair_angle:
        raise GeometryError.of(FlangeProblem.PAIRS_BESIDE_ANGLES)
    wrong = [number for number in circle.skipped if not 1 <= number <= count]
    if wrong:
        raise GeometryError.of(FlangeProblem.SKIPPED_HOLE_UNKNOWN, number=wrong[0], hole_count=count)
    if len(set(circle.skipped)) >= count:
        raise GeometryError.of(FlangeProblem.EVERY_HOLE_SKIPPED)
    if circle.pair_angle and not can_pair(count, circle.pair_angle):
        raise GeometryError.of(
            FlangeProblem.NO_PAIRS, hole_count=count, pair_angle=circle.pair_angle, pitch=720.0 / count
        )


def can_pair(hole_count: int, pair_angle: float) -> bool:
    """Whether so many holes can stand in pairs that are ``pair_angle`` degrees wide and do not overlap."""
    return hole_count % 2 == 0 and 0 < pair_angle < 720.0 / hole_count
