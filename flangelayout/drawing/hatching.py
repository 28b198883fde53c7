"""The lines of hatching: at 45 degrees, equally far apart, the same lines across all bodies of a drawing."""

from collections.abc import Iterator

from flangelayout.drawing.model import Hatching
from flangelayout.geometry.shapes import Line, Point

_NOTHING = 1e-9


def hatch_lines(hatching: Hatching, scale: float) -> Iterator[Line]:
    """Every line of a hatching within its convex bodies, in the space of the bodies.

    Args:
        hatching: What is hatched, and how closely on paper.
        scale: Printed mm for a mm of that space.
    """
    rise = hatching.pitch_paper / scale * 2**0.5
    for body in hatching.bodies:
        rises = [corner.y - corner.x for corner in body]
        for index in range(int(min(rises) / rise) - 1, int(max(rises) / rise) + 2):
            xs = sorted(_crossed(body, index * rise))
            if len(xs) >= 2 and xs[-1] - xs[0] > _NOTHING:
                first, last = xs[0], xs[-1]
                yield Line(Point(first, first + index * rise), Point(last, last + index * rise))


def _crossed(body: tuple[Point, ...], rise: float) -> Iterator[float]:
    """The x at which the line y = x + rise meets the sides of a body."""
    for start, end in zip(body, (*body[1:], body[0]), strict=True):
        a, b = start.y - start.x - rise, end.y - end.x - rise
        if (a <= 0 <= b or b <= 0 <= a) and a != b:
            yield start.x + (end.x - start.x) * a / (a - b)
