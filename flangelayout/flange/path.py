"""An outline given corner by corner: lines and arcs from each to the next, corners rounded where asked."""

import math
from collections.abc import Sequence
from itertools import combinations

from msgspec import Struct

from flangelayout.errors import GeometryError
from flangelayout.facts import Length
from flangelayout.geometry.contours import joined, reversed_contour, rounded_corner
from flangelayout.geometry.measure import signed_area, spine_distance
from flangelayout.geometry.shapes import Arc, Contour, Line, Point, polar
from flangelayout.problems.flange import FlangeProblem


class PathCorner(Struct, frozen=True):
    """A corner of an outline and how it is reached from the one before; lengths in mm.

    Attributes:
        at: The corner.
        corner_radius: Rounds it, between two straight sides; 0 leaves it sharp.
        arc_radius: Of the arc that leads to it; ``None`` for a straight side.
        to_left: Whether that arc bends to the left on the way, else to the right.
        long_way: Whether it takes the longer way round its circle.
    """

    at: Point
    corner_radius: float = 0.0
    arc_radius: float | None = None
    to_left: bool = True
    long_way: bool = False


def closed_path(corners: Sequence[PathCorner]) -> Contour:
    """The closed outline through the corners, counter-clockwise whichever way they were given.

    Raises:
        GeometryError: If an arc is too small for its corners, a radius too large for its sides, two
            corners lie in one place, or the outline crosses itself; the corner is named by its number.
    """
    count = len(corners)
    rounds = [_round(corners[index - 1], corner, corners[(index + 1) % count]) for index, corner in enumerate(corners)]
    parts: list[Line | Arc] = []
    for index, corner in enumerate(corners):
        before = corners[index - 1]
        if before.at.distance_to(corner.at) < 1e-6:
            raise GeometryError.of(FlangeProblem.CORNER_ON_CORNER, corner=index + 1)
        if corner.arc_radius is None:
            parts.append(_straight(rounds[index - 1][2], rounds[index][0], before.at, corner.at, index))
        else:
            parts.append(_arc(before.at, corner, index))
        bend = rounds[index][1]
        if bend:
            parts.append(bend)
    contour = joined(parts)
    _refuse_crossing(contour)
    return contour if signed_area(contour) > 0 else reversed_contour(contour)


def _round(before: PathCorner, here: PathCorner, after: PathCorner) -> tuple[Point, Arc | None, Point]:
    if here.corner_radius and (here.arc_radius is not None or after.arc_radius is not None):
        raise GeometryError.of(FlangeProblem.ROUNDED_BESIDE_ARC, x=Length(here.at.x), y=Length(here.at.y))
    return rounded_corner(before.at, here.at, here.corner_radius, after.at)


def _straight(start: Point, end: Point, before: Point, here: Point, index: int) -> Line:
    """A side between two rounded corners."""
    along = (end.x - start.x) * (here.x - before.x) + (end.y - start.y) * (here.y - before.y)
    if along < 0:
        raise GeometryError.of(
            FlangeProblem.CORNER_RADII_TOO_LARGE, corner=index + 1, side=Length(before.distance_to(here))
        )
    return Line(start, end)


def _arc(start: Point, corner: PathCorner, index: int) -> Arc:
    """The arc of a given radius from one corner to the next; its center lies square to the middle of the chord."""
    radius, end = corner.arc_radius or 0.0, corner.at
    chord = start.distance_to(end)
    if chord > 2 * radius + 1e-6:
        raise GeometryError.of(
            FlangeProblem.ARC_TOO_SHORT,
            radius=Length(radius),
            corner=index + 1,
            chord=Length(chord),
            least=Length(chord / 2),
        )
    radius = max(radius, chord / 2)
    aside = math.sqrt(max(radius**2 - chord**2 / 4, 0.0))
    middle = Point((start.x + end.x) / 2, (start.y + end.y) / 2)
    side = 90.0 if corner.to_left != corner.long_way else -90.0
    center = polar(aside, start.direction_to(end) + side, middle)
    short = 2 * math.degrees(math.asin(min(chord / 2 / radius, 1.0)))
    sweep = 360 - short if corner.long_way else short
    return Arc(center, radius, center.direction_to(start), sweep if corner.to_left else -sweep)


def _refuse_crossing(contour: Contour) -> None:
    last = len(contour.parts) - 1
    for (a, one), (b, other) in combinations(enumerate(contour.parts), 2):
        if b - a > 1 and not (a == 0 and b == last) and spine_distance(one, other) < 1e-6:
            at = other.start
            raise GeometryError.of(FlangeProblem.PATH_CROSSES_ITSELF, x=Length(at.x), y=Length(at.y))
    if len(contour.parts) > 1 and abs(signed_area(contour)) < 1e-6:
        raise GeometryError.of(FlangeProblem.PATH_ENCLOSES_NOTHING)


MOST_CORNERS = 6
"""Distances from a centerline up to which the corners of a path are dimensioned; more stand in a table."""


def corners_stand_in_table(path: Contour) -> bool:
    """Whether a path has too many corners to dimension each."""
    corners = path_corners(path)
    return any(len({round(abs(at(point)), 6) for point, _ in corners} - {0.0}) > MOST_CORNERS for at in (_across, _up))


def path_corners(path: Contour) -> tuple[tuple[Point, float], ...]:
    """The corners of a path with the radius that rounds each: where two sides would meet, or an end of an arc."""
    found: list[tuple[Point, float]] = []
    count = len(path.parts)
    for index, part in enumerate(path.parts):
        before, after = path.parts[index - 1], path.parts[(index + 1) % count]
        corner = _rounded(before, part, after)
        if corner:
            found.append((corner, part.radius if isinstance(part, Arc) else 0.0))
        elif not _rounded(path.parts[index - 2], before, part):
            found.append((part.start, 0.0))
    return tuple(found)


def _rounded(before: Line | Arc, part: Line | Arc, after: Line | Arc) -> Point | None:
    """The corner that an arc rounds; ``None`` where it is an arc of its own."""
    if not (isinstance(part, Arc) and isinstance(before, Line) and isinstance(after, Line)):
        return None
    if abs(part.sweep_deg) > 170.0 or not (_smooth(before, part, part.start) and _smooth(after, part, part.end)):
        return None
    reach = part.radius * math.tan(math.radians(abs(part.sweep_deg)) / 2)
    length = before.start.distance_to(before.end)
    step = before.end - before.start
    return part.start + step.scaled(reach / length)


def _smooth(line: Line, arc: Arc, at: Point) -> bool:
    """Whether a line is square to the radius of an arc where they meet."""
    turn = math.radians(line.start.direction_to(line.end) - arc.center.direction_to(at))
    return abs(math.cos(turn)) < 1e-6


def _across(point: Point) -> float:
    return point.x


def _up(point: Point) -> float:
    return point.y
