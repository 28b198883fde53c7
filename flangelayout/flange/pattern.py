"""Holes that stand in rectangles, grids and concentric rings, beside those on a bolt circle.

Every kind says by itself what the rest of the house asks of it: ``drilling``, ``center`` and ``hole_centers``; the
``table`` of a job file that it is written in; whether its holes are ``tubes``, closer and more than bolts are, of which
only the ``ends`` of their rows are told where all are too many; whether they are told ``on_rays`` from the middle; and
the ``lines`` that the centers stand on.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import ClassVar

from flangelayout.errors import GeometryError
from flangelayout.flange.bolt_circle import MAX_HOLES
from flangelayout.flange.drilling import Drilling
from flangelayout.geometry.contours import turned_point
from flangelayout.geometry.shapes import ORIGIN, Circle, Contour, Line, Point, polar
from flangelayout.problems.flange import FlangeProblem

_MOST_LINES = 12


@dataclass(frozen=True, slots=True)
class HoleRectangle:
    """Holes on the sides of an upright rectangle, numbered counter-clockwise from the top.

    Attributes:
        drilling: What every hole is.
        width: Between the outer columns' centers in mm.
        height: Between the outer rows' centers in mm.
        columns: Holes along the top and the bottom, corners included, 2 or more.
        rows: Holes along the left and the right, corners included, 2 or more.
        center: Of the rectangle.
        turned_by: Degrees counter-clockwise about its center.
    """

    drilling: Drilling
    width: float
    height: float
    columns: int = 2
    rows: int = 2
    center: Point = ORIGIN
    turned_by: float = 0.0
    table: ClassVar = "hole_rectangle"
    tubes: ClassVar = False
    on_rays: ClassVar = True
    _hole_centers: tuple[Point, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Refuse what makes no rectangle, and find the places of its holes."""
        _check_finite(self.width, self.height, self.center.x, self.center.y, self.turned_by)
        if self.columns < 2 or self.rows < 2:
            raise GeometryError.of(FlangeProblem.RECTANGLE_TOO_FEW)
        _check_count(2 * (self.columns + self.rows) - 4)
        object.__setattr__(self, "_hole_centers", self._places())

    def hole_centers(self) -> tuple[Point, ...]:
        """Centers in mm, in order of their numbers."""
        return self._hole_centers

    def ends(self) -> tuple[int, ...]:
        """Every number: no hole stands for others."""
        return tuple(range(1, len(self._hole_centers) + 1))

    def lines(self) -> tuple[Contour, ...]:
        """The rectangle."""
        x, y = self.width / 2, self.height / 2
        corners = [
            turned_point(corner, self.turned_by) + self.center
            for corner in (Point(-x, -y), Point(x, -y), Point(x, y), Point(-x, y))
        ]
        return (Contour(tuple(Line(corners[index], corners[(index + 1) % 4]) for index in range(4)), closed=True),)

    def _places(self) -> tuple[Point, ...]:
        xs = _spread(self.width, self.columns)
        ys = _spread(self.height, self.rows)
        places = [Point(x, y) for x in xs for y in ys if x in (xs[0], xs[-1]) or y in (ys[0], ys[-1])]
        places.sort(key=lambda place: round((ORIGIN.direction_to(place) - 90) % 360, 9))
        return tuple(turned_point(place, self.turned_by) + self.center for place in places)


@dataclass(frozen=True, slots=True)
class HoleGrid:
    """Holes in rows, numbered row by row from the top left.

    Attributes:
        drilling: What every hole is.
        columns: Places in the first row.
        rows: Rows.
        pitch_x: Between neighbors of a row in mm.
        pitch_y: Between rows in mm.
        staggered: Whether every other row has one place fewer and so stands half a pitch in.
        within: Diameter about the middle of the plate that every hole must lie whole inside of; ``None`` for no limit.
        outside: Diameter that every hole must lie whole outside of.
        center: Of the grid.
    """

    drilling: Drilling
    columns: int
    rows: int
    pitch_x: float
    pitch_y: float
    staggered: bool = False
    within: float | None = None
    outside: float | None = None
    center: Point = ORIGIN
    table: ClassVar = "hole_grid"
    tubes: ClassVar = True
    on_rays: ClassVar = False
    _hole_centers: tuple[Point, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Refuse a grid of more places than can be drawn, and find those that are drilled."""
        _check_finite(self.pitch_x, self.pitch_y, self.within, self.outside, self.center.x, self.center.y)
        if self.columns < 1 or self.rows < 1:
            raise GeometryError.of(FlangeProblem.GRID_TOO_FEW)
        _check_count(self.columns * self.rows, 4 * MAX_HOLES)
        if self.staggered and self.columns < 2:
            raise GeometryError.of(FlangeProblem.STAGGERED_TOO_FEW)
        kept = tuple(place for place in self._places() if self._is_kept(place))
        _check_count(len(kept))
        object.__setattr__(self, "_hole_centers", kept)

    def hole_centers(self) -> tuple[Point, ...]:
        """Centers in mm, in order of their numbers."""
        return self._hole_centers

    def ends(self) -> tuple[int, ...]:
        """Numbers of the first and the last hole of every row."""
        levels = [place.y for place in self._hole_centers]
        last = len(levels) - 1
        ends = (
            number + 1
            for number, level in enumerate(levels)
            if number in (0, last) or level != levels[number - 1] or level != levels[number + 1]
        )
        return tuple(ends)

    def lines(self) -> tuple[Contour, ...]:
        """None: the rows are many."""
        return ()

    def _places(self) -> Iterator[Point]:
        full = _spread(self.pitch_x * (self.columns - 1), self.columns)
        short = _spread(self.pitch_x * (self.columns - 2), self.columns - 1) if self.staggered else full
        for row, y in enumerate(reversed(_spread(self.pitch_y * (self.rows - 1), self.rows))):
            for x in short if row % 2 else full:
                yield Point(self.center.x + x, self.center.y + y)

    def _is_kept(self, place: Point) -> bool:
        away, radius = math.hypot(place.x, place.y), self.drilling.diameter / 2
        inside = self.within is None or away + radius <= self.within / 2 + 1e-9
        return inside and (self.outside is None or away - radius >= self.outside / 2 - 1e-9)


@dataclass(frozen=True, slots=True)
class HoleRings:
    """Holes on concentric circles, numbered circle by circle from the inside, each counter-clockwise from the top.

    Attributes:
        drilling: What every hole is.
        first_diameter: Of the innermost circle in mm; 0 for one hole in the middle.
        ring_pitch: From one circle to the next, measured along the radius, in mm.
        counts: Holes on each circle, from the inside.
    """

    drilling: Drilling
    first_diameter: float
    ring_pitch: float
    counts: tuple[int, ...]
    center: ClassVar = ORIGIN
    table: ClassVar = "hole_rings"
    tubes: ClassVar = True
    on_rays: ClassVar = True
    _hole_centers: tuple[Point, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Refuse more holes than can be drawn, and find their places."""
        _check_finite(self.first_diameter, self.ring_pitch)
        if not self.counts or min(self.counts) < 1:
            raise GeometryError.of(FlangeProblem.RING_WITHOUT_HOLE)
        if self.first_diameter <= 0 and self.counts[0] != 1:
            raise GeometryError.of(FlangeProblem.RING_OF_NO_DIAMETER, hole_count=self.counts[0])
        _check_count(sum(self.counts))
        places = (
            polar(diameter / 2, 90.0 + number * 360 / count)
            for diameter, count in zip(self.diameters(), self.counts, strict=True)
            for number in range(count)
        )
        object.__setattr__(self, "_hole_centers", tuple(places))

    def diameters(self) -> tuple[float, ...]:
        """Of the circles in mm, from the inside."""
        return tuple(self.first_diameter + 2 * self.ring_pitch * index for index in range(len(self.counts)))

    def hole_centers(self) -> tuple[Point, ...]:
        """Centers in mm, in order of their numbers."""
        return self._hole_centers

    def ends(self) -> tuple[int, ...]:
        """Numbers of the first hole of every ring."""
        return tuple(1 + sum(self.counts[:index]) for index in range(len(self.counts)))

    def lines(self) -> tuple[Circle, ...]:
        """The circles; of many none."""
        circles = tuple(Circle(ORIGIN, diameter / 2) for diameter in self.diameters() if diameter > 0)
        return circles if len(circles) <= _MOST_LINES else ()


HolePattern = HoleRectangle | HoleGrid | HoleRings


def counts_by_pitch(first_diameter: float, ring_pitch: float, ring_count: int, pitch: float) -> tuple[int, ...]:
    """The most holes on each of several concentric circles whose neighbors stay ``pitch`` mm apart.

    Neighbors on a circle of diameter D are D sin(180 deg / n) apart, so n is at most 180 deg / asin(pitch / D).
    """
    counts = []
    for index in range(ring_count):
        diameter = first_diameter + 2 * ring_pitch * index
        if diameter < pitch:
            counts.append(1)
        else:
            counts.append(max(1, math.floor(math.pi / math.asin(pitch / diameter) + 1e-9)))
    return tuple(counts)


def _spread(length: float, count: int) -> list[float]:
    """``count`` places evenly over ``length``, about 0."""
    if count == 1:
        return [0.0]
    return [-length / 2 + length * index / (count - 1) for index in range(count)]


def _check_finite(*sizes: float | None) -> None:
    if not all(size is None or math.isfinite(size) for size in sizes):
        raise GeometryError.of(FlangeProblem.PATTERN_SIZE_NO_NUMBER)


def _check_count(count: int, most: int = MAX_HOLES) -> None:
    if count > most:
        raise GeometryError.of(FlangeProblem.TOO_MANY_HOLES, count=count, most=most)
    if count < 1:
        raise GeometryError.of(FlangeProblem.NO_HOLE_WITHIN_LIMITS)
