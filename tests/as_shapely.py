"""Edges and spines as shapely's polygons and line strings, fine enough to compare with."""

import math

import shapely

from flangelayout.geometry.measure import Edge, Spine, pieces
from flangelayout.geometry.shapes import Arc, Line, Point

STEP_DEG = 0.2
"""Chords of this angle leave an arc of radius r by r * 1.5e-6."""


def points_of(piece: Line | Arc, step_deg: float = STEP_DEG) -> list[tuple[float, float]]:
    """Points along a piece, both ends included."""
    if isinstance(piece, Line):
        return [(piece.start.x, piece.start.y), (piece.end.x, piece.end.y)]
    count = max(2, math.ceil(abs(piece.sweep_deg) / step_deg))
    angles = [math.radians(piece.start_deg + piece.sweep_deg * index / count) for index in range(count + 1)]
    return [(piece.center.x + piece.radius * math.cos(a), piece.center.y + piece.radius * math.sin(a)) for a in angles]


def polygon(edge: Edge, step_deg: float = STEP_DEG) -> "shapely.Polygon":
    """The area inside an edge."""
    points = [point for piece in pieces(edge) for point in points_of(piece, step_deg)]
    kept = [
        point for before, point in zip([points[-1], *points], points, strict=False) if math.dist(before, point) > 1e-9
    ]
    return shapely.Polygon(kept)


def string(spine: Spine) -> "shapely.Geometry":
    """A point, line or arc."""
    return shapely.Point(spine.x, spine.y) if isinstance(spine, Point) else shapely.LineString(points_of(spine))
