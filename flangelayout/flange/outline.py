"""The edges of plates: each knows its sizes and gives its shape, about the middle of the plate.

``shape`` is the line round everything. All lengths in mm, all contours counter-clockwise. An outline whose sizes are
none, or contradict each other, raises a GeometryError when it is made.
"""

import math
from dataclasses import dataclass, field

from msgspec import Struct

from flangelayout.errors import GeometryError
from flangelayout.facts import Length
from flangelayout.geometry.contours import belt, joined, rounded_polygon, turned
from flangelayout.geometry.shapes import ORIGIN, Arc, Circle, Contour, Line, Point, polar
from flangelayout.problems.flange import FlangeProblem


def check_sizes(**sizes: float) -> None:
    """Refuse a size, named by its field, that is not greater than 0."""
    for name, size in sizes.items():
        if not (math.isfinite(size) and size > 0):
            raise GeometryError.of(FlangeProblem.SIZE_NOT_ABOVE_ZERO, key=name, value=size)


def check_radii(**radii: float) -> None:
    """Refuse a size, named by its field, that is less than 0; 0 stands for none."""
    for name, radius in radii.items():
        if not (math.isfinite(radius) and radius >= 0):
            raise GeometryError.of(FlangeProblem.SIZE_BELOW_ZERO, key=name, value=radius)


def check_angles(**angles: float) -> None:
    """Refuse an angle, named by its field, that is no number."""
    for name, angle in angles.items():
        if not math.isfinite(angle):
            raise GeometryError.of(FlangeProblem.DIRECTION_NO_NUMBER, key=name, value=angle)


@dataclass(frozen=True, slots=True)
class RoundOutline:
    """A round plate; ``outside_diameter`` in mm, > 0."""

    outside_diameter: float
    shape: Circle = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        check_sizes(outside_diameter=self.outside_diameter)
        object.__setattr__(self, "shape", self._shape())

    def _shape(self) -> Circle:
        """Its edge, about the origin."""
        return Circle(Point(0.0, 0.0), self.outside_diameter / 2)


@dataclass(frozen=True, slots=True)
class RectangleOutline:
    """A rectangle or square, ``width`` along x and ``height`` along y, its corners rounded."""

    width: float
    height: float
    corner_radius: float = 0.0
    shape: Contour = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        check_sizes(width=self.width, height=self.height)
        check_radii(corner_radius=self.corner_radius)
        object.__setattr__(self, "shape", self._shape())

    def _shape(self) -> Contour:
        """Its edge; whole end circles where the radius is half a side."""
        x, y = self.width / 2, self.height / 2
        corners = (Point(-x, -y), Point(x, -y), Point(x, y), Point(-x, y))
        return rounded_polygon([(corner, self.corner_radius) for corner in corners])


@dataclass(frozen=True, slots=True)
class OvalOutline:
    """An oval: two round ends of ``end_radius`` and two long sides that bulge to ``width``, tangent to them.

    The sides are straight where ``width`` is twice the end radius.
    """

    length: float
    width: float
    end_radius: float
    shape: Contour = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        check_sizes(length=self.length, width=self.width, end_radius=self.end_radius)
        object.__setattr__(self, "shape", self._shape())

    def _shape(self) -> Contour:
        """Four arcs, or two arcs and two lines.

        With a the distance of the end centers from the middle and w the bulge of a side over the ends, a
        side's center lies (a^2 - w^2) / (2 w) beyond the middle (Pythagoras on the line of the centers).

        Raises:
            GeometryError: If the oval is no longer than wide, or its ends are wider than the oval.
        """
        reach, bulge = self.length / 2 - self.end_radius, self.width / 2 - self.end_radius
        if bulge < 0:
            raise GeometryError.of(
                FlangeProblem.OVAL_ENDS_WIDER, end_radius=Length(self.end_radius), width=Length(self.width)
            )
        if reach <= bulge:
            raise GeometryError.of(FlangeProblem.OVAL_NOT_LONGER, length=Length(self.length), width=Length(self.width))
        ends = (Point(reach, 0.0), Point(-reach, 0.0))
        if bulge < 1e-6:
            return belt([Circle(end, self.end_radius) for end in ends])
        beyond = (reach**2 - bulge**2) / (2 * bulge)
        side = self.width / 2 + beyond
        half = math.degrees(math.atan2(reach, beyond))
        return joined(
            (
                Arc(ends[0], self.end_radius, half - 90, 180 - 2 * half),
                Arc(Point(0.0, -beyond), side, 90 - half, 2 * half),
                Arc(ends[1], self.end_radius, 90 + half, 180 - 2 * half),
                Arc(Point(0.0, beyond), side, 270 - half, 2 * half),
            )
        )


@dataclass(frozen=True, slots=True)
class LozengeOutline:
    """A round middle and two smaller round ends joined by straight tangents: a two-bolt flange."""

    length: float
    middle_diameter: float
    end_radius: float
    shape: Contour = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        check_sizes(length=self.length, middle_diameter=self.middle_diameter, end_radius=self.end_radius)
        object.__setattr__(self, "shape", self._shape())

    def _shape(self) -> Contour:
        """A belt round three circles."""
        reach = self.length / 2 - self.end_radius
        if reach <= abs(self.middle_diameter / 2 - self.end_radius):
            raise GeometryError.of(
                FlangeProblem.LOZENGE_ENDS_INSIDE,
                end_radius=Length(self.end_radius),
                length=Length(self.length),
                middle_diameter=Length(self.middle_diameter),
            )
        middle = Circle(ORIGIN, self.middle_diameter / 2)
        right, left = (Circle(Point(x, 0.0), self.end_radius) for x in (reach, -reach))
        return belt((right, middle, left, middle))


class PathOutline(Struct, frozen=True):
    """An edge of lines and arcs as the job gives it, closed and counter-clockwise."""

    contour: Contour

    @property
    def shape(self) -> Contour:
        """The edge as given."""
        return self.contour


@dataclass(frozen=True, slots=True)
class LuggedOutline:
    """A round body with equal lugs or arms, each ending in a half circle round its bolt hole.

    Attributes:
        body_diameter: Of the ring or hub.
        lug_count: Lugs, equally spaced.
        lug_circle: Diameter of the circle on which the lugs' end centers lie.
        lug_radius: Of the ends.
        first_lug_angle: Direction of lug 1 in degrees.
        width_at_middle: Width of a lug carried on to the middle of the plate: wider than twice
            ``lug_radius`` makes the lug taper outward; ``None`` for parallel sides.
        root_radius: Of the fillets between lug and body, 0 for none.
    """

    body_diameter: float
    lug_count: int
    lug_circle: float
    lug_radius: float
    first_lug_angle: float
    width_at_middle: float | None = None
    root_radius: float = 0.0
    shape: Contour = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        check_sizes(body_diameter=self.body_diameter, lug_circle=self.lug_circle, lug_radius=self.lug_radius)
        check_sizes(lug_count=self.lug_count)
        check_angles(first_lug_angle=self.first_lug_angle)
        check_radii(root_radius=self.root_radius)
        object.__setattr__(self, "shape", self._shape())

    def _shape(self) -> Contour:
        """Body arcs, fillets, tangents and ends, lug by lug.

        Raises:
            GeometryError: If a lug does not stand out of the body, or two lugs' fillets meet.
        """
        pitch = 360 / self.lug_count
        side, half = self._side()
        if 2 * half > pitch:
            raise GeometryError.of(
                FlangeProblem.LUGS_MEET,
                lug_count=self.lug_count,
                taken=2 * half,
                body_diameter=Length(self.body_diameter),
                pitch=pitch,
            )
        parts: list[Line | Arc] = []
        for index in range(self.lug_count):
            axis = self.first_lug_angle + index * pitch
            lug = turned(Contour(side, closed=False), axis)
            parts += [*lug.parts, Arc(ORIGIN, self.body_diameter / 2, axis + half, pitch - 2 * half)]
        return joined(parts)

    def _side(self) -> tuple[tuple[Line | Arc, ...], float]:
        """The line of a lug along +x, from below to above, and half the angle it takes of the body."""
        reach, end = self.lug_circle / 2, self.lug_radius
        start = end if self.width_at_middle is None else self.width_at_middle / 2
        if reach <= abs(start - end):
            raise GeometryError.of(FlangeProblem.LUGS_INSIDE, lug_circle=Length(self.lug_circle))
        normal = -math.degrees(math.acos((start - end) / reach))
        root, on_side = side_root(self.body_diameter / 2, normal, start, self.root_radius)
        tip = polar(end, normal, Point(reach, 0.0))
        if polar(1.0, normal + 90).x * (tip.x - on_side.x) < 0:
            raise GeometryError.of(
                FlangeProblem.LUG_WITHIN_ROOT, lug_circle=Length(self.lug_circle), root_radius=Length(self.root_radius)
            )
        return lug_line(root, on_side, (Line(on_side, tip), Arc(Point(reach, 0.0), end, normal, -2 * normal))), root[1]


Root = tuple[Arc | None, float]
"""The fillet between a body and the lower side of a lug along +x, and half the angle the lug takes of the body."""


def side_root(body: float, normal: float, offset: float, fillet: float) -> tuple[Root, Point]:
    """Where the lower side of a lug along +x leaves a round body.

    Args:
        body: Radius of the body.
        normal: Direction square to the side, pointing out of the lug, in degrees (-90 for parallel sides).
        offset: Distance of the side's line from the middle of the body, less than ``body``.
        fillet: Radius between them; its center is ``body + fillet`` from the middle and ``fillet`` from the line.

    Returns:
        The root, and where the straight side begins.
    """
    if offset >= body:
        raise GeometryError.of(
            FlangeProblem.LUG_WIDER_THAN_BODY, width=Length(2 * offset), body_diameter=Length(2 * body)
        )
    along = math.sqrt((body + fillet) ** 2 - (offset + fillet) ** 2)
    center = polar(offset + fillet, normal) + polar(along, normal + 90)
    half = -ORIGIN.direction_to(center)
    if fillet <= 0:
        return (None, half), center
    first = 180.0 - half
    sweep = (normal + 180 - first) % -360
    return (Arc(center, fillet, first, sweep), half), polar(fillet, normal + 180, center)


def lug_line(root: Root, on_side: Point, rest: tuple[Line | Arc, ...]) -> tuple[Line | Arc, ...]:
    """Fillet, ``rest`` (from ``on_side`` to its mirror image's tip) and the mirrored side of a lug along +x."""
    first = rest[0]
    assert isinstance(first, Line)
    fillet = root[0]
    up = Point(on_side.x, -on_side.y)
    back: list[Line | Arc] = [Line(Point(first.end.x, -first.end.y), up)]
    if fillet:
        back.append(
            Arc(
                Point(fillet.center.x, -fillet.center.y),
                fillet.radius,
                -(fillet.start_deg + fillet.sweep_deg),
                fillet.sweep_deg,
            )
        )
    return (*((fillet,) if fillet else ()), *rest, *back)
