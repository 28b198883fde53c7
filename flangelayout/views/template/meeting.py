"""Whether the box of a word meets holes with their crosses, edges, rays or the side of a page."""

from collections.abc import Sequence

from flangelayout.geometry.measure import Edge, distance_to_edge
from flangelayout.geometry.shapes import ORIGIN, Box, Circle, Point, polar

WORD_CLEAR = 0.8
"""Least distance in mm of words at holes from everything else."""


def meets(box: Box, at: Point, radius: float, reach: float) -> bool:
    """Whether a box meets a circle or the cross in it, whose strokes run level and upright."""
    if _nearest(box, at).distance_to(at) < radius + WORD_CLEAR:
        return True
    aside, over = _off(at.x, box.left, box.right), _off(at.y, box.bottom, box.top)
    return min(aside, over) < WORD_CLEAR and max(aside, over) < reach + WORD_CLEAR


def _off(place: float, low: float, high: float) -> float:
    return max(low - place, place - high, 0.0)


def _nearest(box: Box, at: Point) -> Point:
    """The place in a box that is nearest to a point."""
    return Point(min(max(at.x, box.left), box.right), min(max(at.y, box.bottom), box.top))


def holds_box(page: Box, box: Box) -> bool:
    """Whether a box lies wholly within another."""
    return page.left <= box.left and box.right <= page.right and page.bottom <= box.bottom and box.top <= page.top


def off_ray(box: Box, ray: float) -> tuple[float, float]:
    """How far a box begins and ends to the left of a ray from the middle of the plate."""
    across = polar(1.0, ray + 90.0)
    sides = [corner.x * across.x + corner.y * across.y for corner in box.corners]
    return min(sides), max(sides)


def distances(box: Box) -> tuple[float, float]:
    """Of the nearest and the farthest place of a box from the middle of the plate."""
    return ORIGIN.distance_to(_nearest(box, ORIGIN)), max(ORIGIN.distance_to(corner) for corner in box.corners)


def holds(piece: Edge, corners: Sequence[Point]) -> bool:
    """Whether places lie within an edge, clear of it."""
    if isinstance(piece, Circle):
        return all(corner.distance_to(piece.center) <= piece.radius - WORD_CLEAR for corner in corners)
    return all(distance_to_edge(piece, corner) >= WORD_CLEAR for corner in corners)


def is_off(opening: Edge, box: Box) -> bool:
    """Whether a box lies outside of an edge, clear of it."""
    if isinstance(opening, Circle):
        return _nearest(box, opening.center).distance_to(opening.center) >= opening.radius + WORD_CLEAR
    return all(distance_to_edge(opening, corner) <= -WORD_CLEAR for corner in (*box.corners, box.center))
