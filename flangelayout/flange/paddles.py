"""Plates that are slid between flanges: a disc with a handle, and the figure-8 of two discs; see ``outline``."""

from dataclasses import dataclass, field

from flangelayout.errors import GeometryError
from flangelayout.facts import Length
from flangelayout.flange.outline import check_angles, check_radii, check_sizes, lug_line, side_root
from flangelayout.geometry.contours import joined, turned
from flangelayout.geometry.shapes import ORIGIN, Arc, Contour, Line, Point
from flangelayout.problems.flange import FlangeProblem


@dataclass(frozen=True, slots=True)
class PaddleOutline:
    """A disc with a handle: paddle blind, paddle spacer, orifice plate with tab.

    Attributes:
        outside_diameter: Of the disc in mm.
        handle_length: From the middle of the disc to the end of the handle in mm.
        handle_width: In mm, less than the disc's diameter.
        handle_angle: Direction of the handle in degrees.
        end_radius: Of the two corners at its end, up to half its width.
        root_radius: Of the fillets between handle and disc, 0 for none.
    """

    outside_diameter: float
    handle_length: float
    handle_width: float
    handle_angle: float = 90.0
    end_radius: float = 0.0
    root_radius: float = 0.0
    shape: Contour = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        check_sizes(
            outside_diameter=self.outside_diameter, handle_length=self.handle_length, handle_width=self.handle_width
        )
        check_angles(handle_angle=self.handle_angle)
        check_radii(end_radius=self.end_radius, root_radius=self.root_radius)
        object.__setattr__(self, "shape", self._shape())

    def _shape(self) -> Contour:
        """Disc, fillets and handle.

        Raises:
            GeometryError: If the handle does not stand out of the disc or its radii do not fit.
        """
        body, half = self.outside_diameter / 2, self.handle_width / 2
        corner, length = self.end_radius, self.handle_length
        if corner > half:
            raise GeometryError.of(
                FlangeProblem.HANDLE_CORNERS, corner=Length(corner), handle_width=Length(self.handle_width)
            )
        root, on_side = side_root(body, -90.0, half, self.root_radius)
        if on_side.x > length - corner:
            raise GeometryError.of(
                FlangeProblem.HANDLE_TOO_SHORT, length=Length(length), outside_diameter=Length(self.outside_diameter)
            )
        end: list[Line | Arc] = [Line(on_side, Point(length - corner, -half))]
        if corner:
            end.append(Arc(Point(length - corner, corner - half), corner, -90.0, 90.0))
        end.append(Line(Point(length, corner - half), Point(length, half - corner)))
        if corner:
            end.append(Arc(Point(length - corner, half - corner), corner, 0.0, 90.0))
        body_arc = Arc(ORIGIN, body, root[1], 360 - 2 * root[1])
        return turned(joined((*lug_line(root, on_side, tuple(end)), body_arc)), self.handle_angle)


@dataclass(frozen=True, slots=True)
class FigureEightOutline:
    """Two discs joined by a web, the middle of which is the middle of the plate; the left one is the blind.

    Attributes:
        outside_diameter: Of both discs in mm.
        center_distance: Between their middles in mm.
        web_width: Of the metal that joins them in mm.
        root_radius: Of the fillets between web and discs, 0 for none.
    """

    outside_diameter: float
    center_distance: float
    web_width: float
    root_radius: float = 0.0
    shape: Contour = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        check_sizes(
            outside_diameter=self.outside_diameter, center_distance=self.center_distance, web_width=self.web_width
        )
        check_radii(root_radius=self.root_radius)
        object.__setattr__(self, "shape", self._shape())

    @property
    def blind_center(self) -> Point:
        """Middle of the disc that stays closed."""
        return Point(-self.center_distance / 2, 0.0)

    @property
    def ring_center(self) -> Point:
        """Middle of the disc that is opened."""
        return Point(self.center_distance / 2, 0.0)

    def _shape(self) -> Contour:
        """Two discs and the web.

        Raises:
            GeometryError: If the discs overlap, or the web's radii meet.
        """
        body, half = self.outside_diameter / 2, self.web_width / 2
        if self.center_distance <= self.outside_diameter:
            raise GeometryError.of(
                FlangeProblem.DISCS_OVERLAP,
                outside_diameter=Length(self.outside_diameter),
                center_distance=Length(self.center_distance),
            )
        root, on_side = side_root(body, -90.0, half, self.root_radius)
        half_way = self.center_distance / 2
        if on_side.x > half_way:
            raise GeometryError.of(
                FlangeProblem.WEB_RADII_MEET,
                root_radius=Length(self.root_radius),
                reach=Length(on_side.x),
                half_way=Length(half_way),
            )
        left, right = self.blind_center, self.ring_center
        fillet = root[0]
        below: list[Line | Arc] = [Line(left + on_side, Point(right.x - on_side.x, on_side.y))]
        if fillet:
            there = fillet.center.x
            first = Arc(Point(left.x + there, fillet.center.y), fillet.radius, fillet.start_deg, fillet.sweep_deg)
            last_start = 180 - fillet.start_deg - fillet.sweep_deg
            last = Arc(Point(right.x - there, fillet.center.y), fillet.radius, last_start, fillet.sweep_deg)
            below = [first, *below, last]
        below.append(Arc(right, body, 180 + root[1], 360 - 2 * root[1]))
        above = turned(Contour(tuple(below), closed=False), 180.0)
        return joined((*below, *above.parts))
