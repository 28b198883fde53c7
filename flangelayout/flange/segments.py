"""Rings made in parts: one segment, or all of them as they stand together."""

from dataclasses import dataclass

from flangelayout.geometry.contours import ring_piece
from flangelayout.geometry.measure import Edge
from flangelayout.geometry.shapes import Circle, Contour, Line, Point, polar


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

    @property
    def shape(self) -> Contour:
        """The segment.

        Raises:
            GeometryError: If the gap leaves nothing of it.
        """
        return _segment(self, 0)

    @property
    def pieces(self) -> tuple[Edge, ...]:
        """One."""
        return (self.shape,)


@dataclass(frozen=True, slots=True)
class SplitOutline:
    """A whole ring made in parts, drawn and cut as they stand together; fields as of :class:`SegmentOutline`."""

    outside_diameter: float
    inside_diameter: float
    part_count: int
    first_joint_angle: float = 90.0
    gap: float = 0.0
    joint: str = ""

    @property
    def shape(self) -> Circle:
        """The line round the ring, joints passed over."""
        return Circle(Point(0.0, 0.0), self.outside_diameter / 2)

    @property
    def pieces(self) -> tuple[Edge, ...]:
        """Every segment."""
        return tuple(_segment(self, index) for index in range(self.part_count))


def joint_lines(outline: SegmentOutline | SplitOutline) -> tuple[Line, ...]:
    """The middle lines of the joints of a ring."""
    pitch = 360 / outline.part_count
    radii = outline.inside_diameter / 2, outline.outside_diameter / 2
    angles = (outline.first_joint_angle + index * pitch for index in range(outline.part_count))
    return tuple(Line(*(polar(radius, angle) for radius in radii)) for angle in angles)


def _segment(outline: SegmentOutline | SplitOutline, index: int) -> Contour:
    pitch = 360 / outline.part_count
    first = outline.first_joint_angle + index * pitch
    return ring_piece(outline.inside_diameter / 2, outline.outside_diameter / 2, first, pitch, outline.gap / 2)
