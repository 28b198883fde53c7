"""The two sides of a seam as a page shows it, and the dots on the strip that is glued."""

from collections.abc import Iterable, Iterator, Sequence

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item
from flangelayout.drawing.references import Furniture
from flangelayout.geometry.shapes import Box, Line, Point, box_around
from flangelayout.views.template.tiling import Tile, TileJoint

_GLUE = 12.0
"""How wide in mm the dots of a glued strip reach at most."""
_OFF_DOTS = 0.7
"""How far in mm the dots of a glued strip keep from words."""


def is_upright(joint: TileJoint) -> bool:
    """Whether the seam of a joint runs from top to bottom."""
    return joint.trim.start.x == joint.trim.end.x


def inward(joint: TileJoint, tile: Tile) -> Point:
    """One mm from the seam into the tile's own part, square to the seam."""
    upright = is_upright(joint)
    middle, own = joint.trim.start, tile.cell.center
    return Point(1.0 if own.x > middle.x else -1.0, 0.0) if upright else Point(0.0, 1.0 if own.y > middle.y else -1.0)


def glue(joint: TileJoint, tile: Tile, words: Iterable[Box]) -> Iterator[Item]:
    """Dotted lines over the strip of a kept page that its neighbor will lie on, open where words stand."""
    outward, depth, trim = inward(joint, tile).scaled(-1.0), min(beyond(joint, tile), _GLUE), joint.trim
    strip = box_around((trim.start, trim.end, trim.start + outward.scaled(depth)))
    rooms = [box.grown(_OFF_DOTS) for box in words if box.overlaps(strip)]
    for step in range(1, int(depth / 1.5) + 1):
        shift = outward.scaled(1.5 * step)
        for piece in _open_at(Line(trim.start + shift, trim.end + shift), rooms):
            yield Item(Layer.GLUE, piece, Furniture("glue"))


def _open_at(line: Line, rooms: Sequence[Box]) -> Iterator[Line]:
    """The pieces of a level or upright line outside of boxes."""
    (x, y), (end_x, end_y) = (line.start.x, line.start.y), (line.end.x, line.end.y)
    upright = x == end_x
    at, low, high = (x, *sorted((y, end_y))) if upright else (y, *sorted((x, end_x)))
    spans = [
        (box.bottom, box.top) if upright else (box.left, box.right)
        for box in rooms
        if (box.left < at < box.right if upright else box.bottom < at < box.top)
    ]
    for begin, after in (*sorted(spans), (high, high)):
        if begin > low:
            ends = (Point(at, each) if upright else Point(each, at) for each in (low, min(begin, high)))
            yield Line(*ends)
        low = max(low, after)


def beyond(joint: TileJoint, tile: Tile) -> float:
    """How far in mm a page shows its drawing beyond a seam."""
    outward, start, window = inward(joint, tile).scaled(-1.0), joint.trim.start, tile.window
    return max(
        (window.right - start.x) * outward.x,
        (window.left - start.x) * outward.x,
        (window.top - start.y) * outward.y,
        (window.bottom - start.y) * outward.y,
    )
