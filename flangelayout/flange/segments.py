"""Rings made in parts: one segment, or all of them as they stand together; see ``outline``."""

import re
from dataclasses import dataclass, field

from flangelayout.errors import GeometryError
from flangelayout.facts import Length
from flangelayout.flange.outline import check_angles, check_radii, check_sizes
from flangelayout.geometry.contours import ring_piece
from flangelayout.geometry.measure import Edge
from flangelayout.geometry.shapes import ORIGIN, Arc, Circle, Contour, Line, Point, polar
from flangelayout.problems.flange import FlangeProblem

_DOUBLE_V = re.compile(r"\s*(?:weld(?:ed)?[:,]?\s+)?double[ -]v\b[^,;.]*?(\d+(?:\.\d+)?)\s*(?:°|deg)", re.IGNORECASE)
"""How the words of a joint begin where it is welded from both faces, each part chamfered alike."""


@dataclass(frozen=True, slots=True)
class SegmentOutline:
    """One part of a ring, from the joint at ``first_joint_angle`` counter-clockwise to the next.

    Attributes:
        outside_diameter: Of the whole ring in mm.
        inside_diameter: Likewise.
        part_count: Parts that make the ring, 2 or more.
        first_joint_angle: In degrees.
        gap: Between two parts at a joint in mm, shared by both; 0 where they touch.
        joint: What is done at the joints, in words: bolts or weld preparation.
    """

    outside_diameter: float
    inside_diameter: float
    part_count: int
    first_joint_angle: float = 90.0
    gap: float = 0.0
    joint: str = ""
    shape: Contour = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        _check(self)
        object.__setattr__(self, "shape", _segment(self, 0))


@dataclass(frozen=True, slots=True)
class SplitOutline:
    """A whole ring made in parts, drawn and cut as they stand together; fields as of :class:`SegmentOutline`."""

    outside_diameter: float
    inside_diameter: float
    part_count: int
    first_joint_angle: float = 90.0
    gap: float = 0.0
    joint: str = ""
    pieces: tuple[Edge, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        _check(self)
        object.__setattr__(self, "pieces", tuple(_segment(self, index) for index in range(self.part_count)))

    @property
    def shape(self) -> Circle:
        """The line round the ring, joints passed over."""
        return Circle(Point(0.0, 0.0), self.outside_diameter / 2)


def angle_of_double_v(joint: str) -> float | None:
    """The angle in degrees of both V of a joint, where its words say that it is welded so; ``None`` else.

    Example:
        >>> angle_of_double_v("double V 60 degrees, root gap 3"), angle_of_double_v("two M16 bolts")
        (60.0, None)
    """
    found = _DOUBLE_V.match(joint)
    return float(found[1]) if found else None


def joint_lines(outline: SegmentOutline | SplitOutline) -> tuple[Line, ...]:
    """The middle lines of the joints of a ring."""
    radii = outline.inside_diameter / 2, outline.outside_diameter / 2
    return tuple(Line(*(polar(radius, angle) for radius in radii)) for angle in _joint_angles(outline))


def _joint_angles(outline: SegmentOutline | SplitOutline) -> list[float]:
    pitch = 360 / outline.part_count
    return [outline.first_joint_angle + index * pitch for index in range(outline.part_count)]


def _check(outline: SegmentOutline | SplitOutline) -> None:
    outside, inside = outline.outside_diameter, outline.inside_diameter
    check_sizes(outside_diameter=outside, inside_diameter=inside)
    check_angles(first_joint_angle=outline.first_joint_angle)
    check_radii(gap=outline.gap)
    if outline.part_count < 2:
        raise GeometryError.of(FlangeProblem.PARTS_TOO_FEW, part_count=outline.part_count)
    if inside >= outside:
        raise GeometryError.of(FlangeProblem.NOTHING_OF_RING, inside=Length(inside), outside=Length(outside))


def _segment(outline: SegmentOutline | SplitOutline, index: int) -> Contour:
    pitch = 360 / outline.part_count
    first = outline.first_joint_angle + index * pitch
    return ring_piece(outline.inside_diameter / 2, outline.outside_diameter / 2, first, pitch, outline.gap / 2)


def ring_edges(outline: SplitOutline) -> tuple[Contour, Contour]:
    """The outside and the inside of a ring as closed lines of one arc from joint to joint."""
    outside, inside = (
        Contour(tuple(Arc(ORIGIN, size / 2, angle, 360 / outline.part_count) for angle in _joint_angles(outline)), True)
        for size in (outline.outside_diameter, outline.inside_diameter)
    )
    return outside, inside


def joint_cuts(outline: SplitOutline, beyond: float) -> tuple[Line, ...]:
    """The cuts that part a ring whose neighbors share them, from the inside out, ``beyond`` mm longer at both ends."""
    radii = outline.inside_diameter / 2 - beyond, outline.outside_diameter / 2 + beyond
    return tuple(Line(*(polar(radius, angle) for radius in radii)) for angle in _joint_angles(outline))
