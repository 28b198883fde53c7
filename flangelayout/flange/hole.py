"""One hole as it is made: where, how large, and what is done to it beside drilling."""

import math
from collections.abc import Iterator
from enum import Enum
from typing import assert_never

from msgspec import Struct

from flangelayout.errors import GeometryError
from flangelayout.facts import Length
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.contours import swept
from flangelayout.geometry.measure import Edge, Spine
from flangelayout.geometry.shapes import ORIGIN, Arc, Circle, Line, Point, polar
from flangelayout.problems.flange import FlangeProblem


class SlotDirection(Enum):
    """Which way a slot runs: round the middle of the plate, toward it, or along a centerline."""

    CIRCLE = "circle"
    RADIUS = "radius"
    X = "x"
    Y = "y"


class Drilled(Struct, frozen=True, gc=False):
    """A plain hole right through."""


class Tapped(Struct, frozen=True, gc=False):
    """A threaded hole; the hole's own diameter is the tap drill's.

    Attributes:
        thread: As it is called: ``M16``, ``5/8-11 UNC``.
        major_diameter: Nominal diameter of the thread in mm.
        depth: Of full thread in mm; ``None`` where it goes right through.
        drill_depth: Of the tap drill at its full diameter in mm, as far as the tap needs it below a full thread;
            ``None`` for a thread right through and where no table tells.
        tapers: Whether the thread narrows from the face it is cut from, as a pipe thread that seals in itself does.
    """

    thread: str
    major_diameter: float
    depth: float | None = None
    drill_depth: float | None = None
    tapers: bool = False


class Jack(Struct, frozen=True, gc=False):
    """A tapped hole right through for a screw that pushes the joint apart."""

    thread: str
    major_diameter: float


class Countersunk(Struct, frozen=True, gc=False):
    """A hole with a cone; ``head_diameter`` in mm at the face, ``angle_deg`` the whole angle of the cone."""

    head_diameter: float
    angle_deg: float = 90.0


class Counterbored(Struct, frozen=True, gc=False):
    """A hole with a flat-bottomed recess for a head, in mm."""

    bore_diameter: float
    depth: float


class Spotfaced(Struct, frozen=True, gc=False):
    """A hole with a machined seat just deep enough to be flat, in mm."""

    seat_diameter: float


class Slot(Struct, frozen=True, gc=False):
    """A hole made long: the hole's diameter is its width, ``length`` in mm its length over all.

    Along the circle the length is measured on the arc through the center.
    """

    length: float
    along: SlotDirection = SlotDirection.CIRCLE


class Dowel(Struct, frozen=True, gc=False):
    """A reamed hole for a pin, to a fit of ISO 286 such as ``H7``.

    Attributes:
        fit: Tolerance class.
        lower: Lower limit deviation in mm, ``None`` where it is not known.
        upper: Upper limit deviation in mm.
    """

    fit: str
    lower: float | None = None
    upper: float | None = None


HoleKind = Drilled | Tapped | Jack | Countersunk | Counterbored | Spotfaced | Slot | Dowel
DRILLED = Drilled()


def has_face(kind: HoleKind) -> bool:
    """Whether a hole is not the same from both faces: a recess, a seat or a thread is worked from one of them."""
    return isinstance(kind, Countersunk | Counterbored | Spotfaced | Tapped)


DRILL_POINT = 0.3
"""Height of a drill's point of 118 degrees as a share of its diameter: 1 / (2 tan 59 deg) = 0.3004."""


class Step(Struct, frozen=True, gc=False):
    """A part of a hole by depth: a cylinder, or a cone where it does not end as wide as it starts; in mm.

    Attributes:
        start: Depth below the worked face at which it begins.
        end: Depth at which it ends.
        wide: Diameter where it begins.
        narrow: Diameter where it ends.
    """

    start: float
    end: float
    wide: float
    narrow: float

    @property
    def volume(self) -> float:
        """Of the cylinder or the cut-off cone, in cubic mm."""
        return math.pi / 12 * (self.end - self.start) * (self.wide**2 + self.wide * self.narrow + self.narrow**2)

    def down_to(self, depth: float) -> "Step":
        """As much of it as a plate ``depth`` thick has; it begins above that."""
        if self.end <= depth:
            return self
        share = (depth - self.start) / (self.end - self.start)
        return Step(self.start, depth, self.wide, self.wide + (self.narrow - self.wide) * share)


class Hole(Struct, frozen=True, gc=False):
    """One hole as made.

    Attributes:
        label: Its name on every output: ``3``, or ``B3`` where the plate has several groups.
        group: Index of its pattern in the flange (see ``Flange.patterns``), or -1 for a single hole.
        number: Its number within the group, from 1.
        center: In mm from the middle of the plate.
        diameter: What is drilled, in mm: the tap drill of a thread, the width of a slot.
        angle: Of its center in degrees, 0 to 360.
        source: Where it came from, for messages: ``bolt circle A, hole 3``.
        kind: What is made of it.
        key: The table of the job that asks for it: ``bolt_circle[2]``.
        worked_from: The face that its recess, seat or thread is made from.
    """

    label: str
    group: int
    number: int
    center: Point
    diameter: float
    angle: float
    source: str
    kind: HoleKind = DRILLED
    key: str = ""
    worked_from: PlateFace = PlateFace.FACE

    @property
    def spine(self) -> Spine:
        """What the tool's center follows: the hole's center, or the middle line of a slot."""
        if not isinstance(self.kind, Slot):
            return self.center
        return _slot_spine(self.center, self.kind, self.diameter)

    @property
    def shape(self) -> Edge:
        """The edge of what is drilled: a circle, or a slot's contour."""
        return swept(self.spine, self.diameter / 2)

    @property
    def face_diameter(self) -> float:
        """The widest it is at either face in mm: over a head's recess, a seat or a thread."""
        match self.kind:
            case Drilled() | Slot() | Dowel():
                return self.diameter
            case Tapped() | Jack():
                return max(self.diameter, self.kind.major_diameter)
            case Countersunk():
                return max(self.diameter, self.kind.head_diameter)
            case Counterbored():
                return max(self.diameter, self.kind.bore_diameter)
            case Spotfaced():
                return max(self.diameter, self.kind.seat_diameter)
            case _:
                assert_never(self.kind)

    @property
    def reach(self) -> float:
        """How far from its center the face shows anything of it, in mm: half its widest, or half a slot's length."""
        return self.kind.length / 2 if isinstance(self.kind, Slot) else self.face_diameter / 2

    @property
    def has_face(self) -> bool:
        """Whether it is not the same from both faces."""
        return has_face(self.kind)

    @property
    def made_from(self) -> PlateFace:
        """The face that the tool comes from; the one the plate is drawn from where either serves."""
        return self.worked_from if self.has_face else PlateFace.FACE

    @property
    def is_through(self) -> bool:
        """Whether it goes right through the plate."""
        return not (isinstance(self.kind, Tapped) and self.kind.depth is not None)

    @property
    def is_hidden(self) -> bool:
        """Whether the face that the plate is drawn from shows nothing of it: it is blind from the back."""
        return not self.is_through and self.made_from is PlateFace.BACK

    def profile(self, thickness: float) -> "tuple[Step, ...]":
        """What it takes out of a plate by depth from the worked face, in mm; a slot by its width.

        A spotface, just deep enough to be flat, and the thread itself take nothing; a blind hole is as deep as its
        drill goes, or its thread where that is not known, and ends in the point of the drill.
        """
        deepest = (Step(0.0, thickness, self.diameter, self.diameter),)
        match self.kind:
            case Drilled() | Slot() | Dowel() | Jack() | Spotfaced():
                return deepest
            case Tapped(depth=depth, drill_depth=drilled):
                return deepest if depth is None else tuple(_blind(drilled or depth, self.diameter, thickness))
            case Counterbored(bore_diameter=wide, depth=depth):
                return _recessed(Step(0.0, depth, wide, wide), self.diameter, thickness)
            case Countersunk(head_diameter=wide, angle_deg=angle):
                depth = (wide - self.diameter) / 2 / math.tan(math.radians(angle) / 2)
                return _recessed(Step(0.0, depth, wide, self.diameter), self.diameter, thickness)
            case _:
                assert_never(self.kind)


def _blind(depth: float, diameter: float, thickness: float) -> Iterator[Step]:
    """A hole with the point of its drill below it; clipped where the plate is thinner."""
    yield Step(0.0, depth, diameter, diameter).down_to(thickness)
    if depth < thickness:
        yield Step(depth, depth + DRILL_POINT * diameter, diameter, 0.0).down_to(thickness)


def _recessed(recess: Step, diameter: float, thickness: float) -> tuple[Step, ...]:
    """A recess at the face and the hole below it."""
    top = recess.down_to(thickness)
    return (top,) if top.end >= thickness else (top, Step(top.end, thickness, diameter, diameter))


def through_shape(hole: Hole) -> Edge | None:
    """What a cutting table can cut of a hole; ``None`` where only its center can be marked.

    A hole that does not go through cannot be cut. A reamed hole must not be: heat and taper spoil what
    the reamer needs (common practice, no source).
    """
    return hole.shape if hole.is_through and not isinstance(hole.kind, Dowel) else None


def check_kind(kind: HoleKind, diameter: float) -> None:
    """Refuse sizes that contradict each other.

    Raises:
        GeometryError: If a recess is no wider than its hole, a slot no longer than wide, or a thread no
            wider than its tap drill.
    """
    match kind:
        case Drilled() | Dowel():
            return
        case Tapped() | Jack():
            if diameter >= kind.major_diameter:
                raise GeometryError.of(FlangeProblem.NO_THREAD_LEFT, diameter=Length(diameter), thread=kind.thread)
        case Countersunk():
            _check_wider(FlangeProblem.COUNTERSINK_NOT_WIDER, kind.head_diameter, diameter)
            if not 0 < kind.angle_deg < 180:
                raise GeometryError.of(FlangeProblem.COUNTERSINK_NO_CONE, angle=kind.angle_deg)
        case Counterbored():
            _check_wider(FlangeProblem.COUNTERBORE_NOT_WIDER, kind.bore_diameter, diameter)
        case Spotfaced():
            _check_wider(FlangeProblem.SPOTFACE_NOT_WIDER, kind.seat_diameter, diameter)
        case Slot():
            if kind.length <= diameter:
                raise GeometryError.of(
                    FlangeProblem.SLOT_NOT_LONGER, length=Length(kind.length), width=Length(diameter)
                )
        case _:
            assert_never(kind)


def _check_wider(narrow: FlangeProblem, wide: float, hole: float) -> None:
    if wide <= hole:
        raise GeometryError.of(narrow, wide=Length(wide), hole=Length(hole))


def _slot_spine(center: Point, slot: Slot, width: float) -> Spine:
    half = (slot.length - width) / 2
    direction = ORIGIN.direction_to(center)
    match slot.along:
        case SlotDirection.CIRCLE:
            radius = ORIGIN.distance_to(center)
            if radius <= 0:
                raise GeometryError.of(FlangeProblem.SLOT_IN_THE_MIDDLE)
            turn = math.degrees(half / radius)
            return Arc(ORIGIN, radius, direction - turn, 2 * turn)
        case SlotDirection.RADIUS:
            turn = direction
        case SlotDirection.X:
            turn = 0.0
        case SlotDirection.Y:
            turn = 90.0
        case _:
            assert_never(slot.along)
    return Line(polar(-half, turn, center), polar(half, turn, center))


def punch_points(hole: Hole) -> tuple[Point, ...]:
    """Where a hole is punched: its center, or both ends of a slot's middle line."""
    spine = hole.spine
    return (spine,) if isinstance(spine, Point) else (spine.start, spine.end)


def thread_circle(hole: Hole) -> Arc | None:
    """Three quarters of the circle of a thread's nominal diameter, as ISO 6410-1 draws a thread end on."""
    if isinstance(hole.kind, Tapped | Jack):
        return Arc(hole.center, hole.kind.major_diameter / 2, 10.0, 270.0)
    return None


def face_circle(hole: Hole) -> Circle | None:
    """The edge of a recess or seat at the face; ``None`` where there is none."""
    if isinstance(hole.kind, Countersunk | Counterbored | Spotfaced):
        return Circle(hole.center, hole.face_diameter / 2)
    return None


def through_width(hole: Hole) -> float:
    """Width in mm that a hole takes where its recess does not reach: a thread by its nominal diameter."""
    return hole.kind.major_diameter if isinstance(hole.kind, Tapped | Jack) else hole.diameter


def metal_width(hole: Hole) -> float:
    """Width in mm that a hole takes out of the plate at its widest; a seat that is only made flat takes none."""
    return hole.diameter if isinstance(hole.kind, Spotfaced) else hole.face_diameter
