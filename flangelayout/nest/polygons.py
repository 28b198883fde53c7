"""Edges as shapely polygons that never lie on the wrong side of the true line, and where two of them collide."""

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from flangelayout.geometry.contours import reversed_contour
from flangelayout.geometry.measure import Edge, pieces, signed_area
from flangelayout.geometry.shapes import Arc, Circle, Line, Point

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt
    import shapely

    Pieces = list[npt.NDArray[np.float64]]
    """Corners of convex polygons."""

SLACK = 0.25
"""Most in mm that a polygon stands off the true line."""

_LEAST_QUARTER = 6
"""Least pieces of a quarter of a turn round a corner that is grown."""

_LONGEST_CHORD = 1.5

_FLAT = 1e-9
"""Share of a convex piece's area by which it may fall short of its hull."""

_Corner = tuple[float, float]
_Triangle = list[_Corner]


def polygon(edge: Edge, holds_edge: bool) -> "shapely.Polygon":
    """A closed line as a polygon.

    Args:
        edge: A circle or a contour running either way.
        holds_edge: Whether the polygon holds the true area, else lies in it; ``SLACK`` apart at most.
    """
    import shapely

    if not isinstance(edge, Circle) and signed_area(edge) < 0:
        edge = reversed_contour(edge)
    corners: list[tuple[float, float]] = []
    for piece in pieces(edge):
        found = _corners(piece, holds_edge)
        corners += [(point.x, point.y) for point in found]
    return shapely.remove_repeated_points(shapely.Polygon(corners), 1e-9)


def lead_band(leads: Sequence[Line | Arc]) -> "shapely.Geometry":
    """A narrow band that holds every lead."""
    import shapely

    corners = [_corners(lead, isinstance(lead, Arc) and lead.sweep_deg > 0) for lead in leads]
    lines = [shapely.LineString([(point.x, point.y) for point in each]) for each in corners]
    return shapely.union_all([line.buffer(SLACK) for line in lines])


def _corners(piece: Line | Arc, holds_edge: bool) -> list[Point]:
    """Corners along a piece of a contour that runs counter-clockwise: on it, or where its tangents meet."""
    if isinstance(piece, Line):
        return [piece.start, piece.end]
    step = 2 * math.degrees(math.acos(1 / (1 + SLACK / piece.radius)))
    count = max(math.ceil(abs(piece.sweep_deg) / step), math.ceil(abs(piece.sweep_deg) / 60))
    step = piece.sweep_deg / count
    if (piece.sweep_deg > 0) is not holds_edge:
        return [_at(piece, index * step, 1.0) for index in range(count + 1)]
    beyond = 1 / math.cos(math.radians(step / 2))
    return [piece.start, *(_at(piece, (index + 0.5) * step, beyond) for index in range(count)), piece.end]


def _at(arc: Arc, turn: float, factor: float) -> Point:
    angle, radius = math.radians(arc.start_deg + turn), arc.radius * factor
    return Point(arc.center.x + radius * math.cos(angle), arc.center.y + radius * math.sin(angle))


def grown(area: "shapely.Geometry", by: float) -> "shapely.Geometry":
    """An area with every edge moved out by ``by`` mm, nowhere less and ``SLACK`` more at most.

    GEOS rounds corners with chords of up to one and a half times the angle asked for, so the distance is made longer by
    what such a chord falls short of its arc.
    """
    half = math.degrees(math.acos(by / (by + SLACK))) if by > 0 else 90.0
    quarter = max(math.ceil(90 / (2 * half / _LONGEST_CHORD)), _LEAST_QUARTER)
    beyond = 1 / math.cos(math.radians(_LONGEST_CHORD * 90 / quarter / 2))
    return area.buffer(by * beyond, quad_segs=quarter)


def convex_pieces(area: "shapely.Geometry") -> "Pieces":
    """Corners of convex polygons that make up an area together.

    The area is cut into triangles; each piece grows from the largest one left over by neighbors, as long as it stays
    convex. What is convex altogether becomes one piece.
    """
    import shapely

    found = shapely.get_parts(shapely.constrained_delaunay_triangles(area))
    triangles: list[_Triangle] = [[(x, y) for x, y in shapely.get_coordinates(each)[:3].tolist()] for each in found]
    beside: dict[frozenset[_Corner], list[int]] = {}
    for number, corners in enumerate(triangles):
        for edge in _edges(corners):
            beside.setdefault(edge, []).append(number)
    left = dict.fromkeys(sorted(range(len(triangles)), key=lambda number: -_area(triangles[number])))
    pieces_of = []
    while left:
        corners = _grown_from(next(iter(left)), triangles, beside, left)
        pieces_of.append(shapely.get_coordinates(shapely.MultiPoint(corners).convex_hull)[:-1])
    return pieces_of


def _grown_from(
    first: int, triangles: list[_Triangle], beside: dict[frozenset[_Corner], list[int]], left: dict[int, None]
) -> list[_Corner]:
    """Corners of the piece that grows from a triangle; what becomes part of it is taken from ``left``."""
    import shapely

    del left[first]
    corners, size, open_edges = list(triangles[first]), _area(triangles[first]), _edges(triangles[first])
    while open_edges:
        for number in beside[open_edges.pop(0)]:
            added = [corner for corner in triangles[number] if corner not in corners]
            if number not in left:
                continue
            hull = shapely.MultiPoint([*corners, *added]).convex_hull.area
            if hull <= (size + _area(triangles[number])) * (1 + _FLAT):
                del left[number]
                corners, size = corners + added, size + _area(triangles[number])
                open_edges += _edges(triangles[number])
    return corners


def _edges(corners: _Triangle) -> list[frozenset[_Corner]]:
    return [frozenset((corners[index - 1], corners[index])) for index in range(3)]


def _area(corners: _Triangle) -> float:
    (ax, ay), (bx, by), (cx, cy) = corners
    return abs((bx - ax) * (cy - ay) - (cx - ax) * (by - ay)) / 2


def collisions(fixed: "Pieces", moving: "Pieces", spacing: float) -> "shapely.Geometry":
    """Every step by which an area of convex pieces comes nearer than ``spacing`` to a fixed one.

    Two convex pieces meet for the steps in the sum of the one and the other mirrored (Minkowski), which is the
    hull of the sums of their corners.
    """
    import numpy as np
    import shapely

    sums = [(one[:, None, :] - other).reshape(-1, 2) for one in fixed for other in moving]
    owners = np.repeat(np.arange(len(sums)), [len(each) for each in sums])
    hulls = shapely.convex_hull(shapely.multipoints(shapely.points(np.concatenate(sums)), indices=owners))
    return grown(shapely.union_all(hulls), spacing)


def steps_into(drop: Circle, solid: "shapely.Geometry", spacing: float) -> "shapely.Geometry":
    """The steps by which an area comes to lie in a round drop, ``spacing`` from its edge: every corner of it does."""
    import shapely

    radius = drop.radius - spacing
    if radius <= 0:
        return shapely.Polygon()
    corners = shapely.get_coordinates(solid.convex_hull).tolist()
    rooms = [polygon(Circle(Point(drop.center.x - x, drop.center.y - y), radius), holds_edge=False) for x, y in corners]
    return shapely.intersection_all(rooms)


def turned_pieces(pieces_of: "Pieces", turn_deg: float) -> "Pieces":
    """Convex pieces turned about the origin."""
    import numpy as np

    cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    return [corners @ np.array([[cos, sin], [-sin, cos]]) for corners in pieces_of]
