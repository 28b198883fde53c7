"""Bolt circles: where the holes of one stand, and the chords a caliper finds between them."""

import math
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING, Literal

from flangelayout.errors import GeometryError
from flangelayout.facts import Length
from flangelayout.flange.bolting import Joint
from flangelayout.flange.hole import DRILLED, HoleKind, check_kind
from flangelayout.problems.flange import FlangeProblem

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]

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


def chord_to_diameter(chord: float, hole_count: int, pitches: int = 1) -> float:
    """Bolt circle diameter from one center-to-center distance: :func:`chord_across` turned round.

    Raises:
        GeometryError: If fewer than 2 holes or a span of no pitch cannot have a chord.
    """
    if hole_count < 2 or not 0 < pitches < hole_count or not chord > 0:
        raise GeometryError.of(
            FlangeProblem.CHORD_FIXES_NO_CIRCLE, chord=Length(chord), pitches=pitches, hole_count=hole_count
        )
    return chord / math.sin(math.pi * pitches / hole_count)


@dataclass(frozen=True, slots=True)
class BoltCircle:
    """Holes of one size on one circle.

    Attributes:
        diameter: Bolt circle (pitch circle) diameter in mm, > 0.
        hole_count: Places on the circle, 1 to 10,000, skipped ones included.
        hole_diameter: In mm, > 0.
        placement: ``straddle`` (no hole on the centerline) or ``on-centerline``, as enum or text.
        centerline: Which centerline that refers to, as enum or text.
        start_angle: Turns the whole pattern counter-clockwise, in degrees.
        skipped: Numbers of places left undrilled; the others keep their numbers.
        angles: Angle of every place in degrees counter-clockwise from 3 o'clock, where the spacing is
            unequal; empty for equal spacing.
        name: What the shop calls it.
        bolt: Bolt that goes through, as written.
        mates_with: The part and face it bolts to.
        credit: Where its figures come from, in the words printed on the sheet.
        kind: What is made of every hole; ``hole_diameter`` is the tap drill's, or the width of a slot.
        pair_angle: Degrees between the two holes of a pair, where the holes stand in pairs whose middles
            are equally spaced and placed as ``placement`` says; 0 where they do not.
        hole_credit: Where the hole's size comes from, in the words printed on the sheet.
        joint: What it is bolted up with.

    Raises:
        GeometryError: If a value is out of range.
    """

    diameter: float
    hole_count: int
    hole_diameter: float
    placement: Placement | Literal["straddle", "on-centerline"] = Placement.STRADDLE
    centerline: Centerline | Literal["vertical", "horizontal"] = Centerline.VERTICAL
    start_angle: float = 0.0
    skipped: tuple[int, ...] = ()
    angles: tuple[float, ...] = ()
    name: str = ""
    bolt: str = ""
    mates_with: str = ""
    credit: str = ""
    kind: HoleKind = DRILLED
    pair_angle: float = 0.0
    hole_credit: str = ""
    joint: Joint = Joint()

    def __post_init__(self) -> None:
        """Turn texts into enums and refuse what makes no bolt circle."""
        object.__setattr__(self, "placement", Placement(self.placement))
        object.__setattr__(self, "centerline", Centerline(self.centerline))
        for key, value in (("diameter", self.diameter), ("hole_diameter", self.hole_diameter)):
            if not (math.isfinite(value) and value > 0):
                raise GeometryError.of(FlangeProblem.CIRCLE_SIZE_NOT_ABOVE_ZERO, key=key, value=Length(value))
        if not 1 <= self.hole_count <= MAX_HOLES:
            raise GeometryError.of(FlangeProblem.HOLE_COUNT_OUT_OF_RANGE, most=MAX_HOLES, hole_count=self.hole_count)
        if self.angles and len(self.angles) != self.hole_count:
            raise GeometryError.of(
                FlangeProblem.ANGLES_FOR_OTHER_COUNT, angle_count=len(self.angles), hole_count=self.hole_count
            )
        wrong = [number for number in self.skipped if not 1 <= number <= self.hole_count]
        if wrong:
            raise GeometryError.of(FlangeProblem.SKIPPED_HOLE_UNKNOWN, number=wrong[0], hole_count=self.hole_count)
        if len(set(self.skipped)) >= self.hole_count:
            raise GeometryError.of(FlangeProblem.EVERY_HOLE_SKIPPED)
        check_kind(self.kind, self.hole_diameter)
        if self.pair_angle and not self.angles:
            object.__setattr__(self, "angles", self._paired_angles())

    @property
    def equally_spaced(self) -> bool:
        """Whether all places are one pitch apart."""
        return not self.angles

    @property
    def pitch_angle(self) -> float:
        """Degrees from one place to the next on an equally spaced circle."""
        return 360.0 / self.hole_count

    @property
    def first_hole_angle(self) -> float:
        """Angle of place 1 in degrees, 0 to 360, counter-clockwise from 3 o'clock."""
        if self.angles:
            return (self.angles[0] + self.start_angle) % 360.0
        half = self.pitch_angle / 2 if self.placement is Placement.STRADDLE else 0.0
        return (Centerline(self.centerline).angle + half + self.start_angle) % 360.0

    @property
    def chord(self) -> float:
        """Center-to-center distance of neighbors on an equally spaced circle, in mm."""
        return self.chord_across(1)

    def chord_across(self, pitches: int) -> float:
        """Center-to-center distance of places ``pitches`` apart on an equally spaced circle, in mm.

        Raises:
            GeometryError: If the spacing is unequal: then each pair has a distance of its own.
        """
        if self.angles:
            raise GeometryError.of(FlangeProblem.NO_COMMON_CHORD)
        return chord_across(self.diameter, self.hole_count, pitches)

    def _paired_angles(self) -> tuple[float, ...]:
        """Angles of the holes of every pair, start angle left out, counter-clockwise from the centerline."""
        pitch = 720.0 / self.hole_count
        if self.hole_count % 2 or not 0 < self.pair_angle < pitch:
            raise GeometryError.of(
                FlangeProblem.NO_PAIRS, hole_count=self.hole_count, pair_angle=self.pair_angle, pitch=pitch
            )
        axis = Centerline(self.centerline).angle
        first = pitch / 2 if self.placement is Placement.STRADDLE else 0.0
        middles = (first + index * pitch for index in range(self.hole_count // 2))
        places = (middle + side * self.pair_angle / 2 for middle in middles for side in (-1, 1))
        return tuple(axis + place for place in sorted(round(place % 360.0, 12) for place in places))

    def hole_numbers(self) -> tuple[int, ...]:
        """Numbers of the drilled places, from 1, counter-clockwise for equal spacing."""
        skipped = set(self.skipped)
        return tuple(number for number in range(1, self.hole_count + 1) if number not in skipped)

    def hole_angles(self) -> "FloatArray":
        """Angles of the drilled holes in degrees, 0 to 360; shape (n,), in order of their numbers."""
        import numpy as np

        places = np.array(self.hole_numbers()) - 1
        if self.angles:
            given: FloatArray = (np.array(self.angles)[places] + self.start_angle) % 360.0
            return given
        equal: FloatArray = (self.first_hole_angle + places * self.pitch_angle) % 360.0
        return equal

    def hole_centers(self) -> "FloatArray":
        """Centers of the drilled holes in mm from the middle of the circle; shape (n, 2)."""
        import numpy as np

        angles = np.radians(self.hole_angles())
        centers: FloatArray = np.column_stack((np.cos(angles), np.sin(angles))) * (self.diameter / 2)
        return centers
