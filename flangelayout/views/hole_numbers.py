"""Where the hole numbers of a face view stand: beside their holes, clear of every line and of each other."""

import math
from collections.abc import Iterator, Sequence

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label
from flangelayout.drawing.textwidth import label_box, text_width
from flangelayout.flange import Flange, Hole
from flangelayout.geometry.shapes import Box, Line, Point, polar, segment_meets_box

HEIGHT = 2.0
_LEAST_PITCH = 5.5
"""Numbers closer than this many printed mm are thinned out."""
_TURNS = (180.0, 0.0, 140.0, -140.0, 40.0, -40.0, 90.0, -90.0)
"""Directions to try, seen from the hole: toward the center first, then away from it, then between."""


def hole_numbers(flange: Flange, holes: Sequence[Hole], scale: float, lines: Sequence[Line]) -> Iterator[Item]:
    """Labels for the first and then every so many holes of each group, those that find a clear place.

    Args:
        flange: What is shown.
        holes: Its holes.
        scale: Printed mm for a real mm.
        lines: Leaders and rays to keep clear of.
    """
    import numpy as np

    places = np.array([(hole.center.x, hole.center.y, hole.diameter / 2) for hole in holes])
    circles = _circles(flange)
    taken: list[Box] = []
    for hole in _chosen(flange, holes, scale):
        for turn in _TURNS:
            label = _label(hole, turn, scale)
            box = label_box(label, scale).grown(0.4 / scale)
            if (
                _is_clear(box, circles, taken)
                and not any(segment_meets_box(line, box) for line in lines)
                and not _meets_hole(box, places)
            ):
                taken.append(box)
                yield Item(Layer.TEXT, label, hole.source)
                break


def _chosen(flange: Flange, holes: Sequence[Hole], scale: float) -> Iterator[Hole]:
    for hole in holes:
        if hole.group < 0:
            yield hole
            continue
        circle = flange.bolt_circles[hole.group]
        pitch = math.pi * circle.diameter * scale / circle.hole_count
        every = _round_step(_LEAST_PITCH / pitch)
        if hole.number == 1 or hole.number % every == 0:
            yield hole


def _round_step(least: float) -> int:
    """The least of 1, 2, 5, 10, 20, 50 ... that is not below ``least``."""
    steps = [digit * tens for tens in (1, 10, 100, 1000, 10_000) for digit in (1, 2, 5)]
    return next(step for step in steps if step >= least)


def _circles(flange: Flange) -> tuple[float, ...]:
    """Radii of every circle about the center that is drawn."""
    optional = (flange.bore, flange.raised_face_diameter)
    diameters = [flange.outline.outside_diameter, *(size for size in optional if size)]
    return tuple(size / 2 for size in (*diameters, *(circle.diameter for circle in flange.bolt_circles)))


def _label(hole: Hole, turn: float, scale: float) -> Label:
    """The number beside its hole, ``turn`` degrees from the direction that points away from the center."""
    direction = hole.angle + turn
    half_width = text_width(hole.label, HEIGHT) / 2 / scale
    half_height = HEIGHT / 2 / scale
    across, up = abs(math.cos(math.radians(direction))), abs(math.sin(math.radians(direction)))
    reach = hole.diameter / 2 + 1.2 / scale + half_width * across + half_height * up
    return Label(polar(reach, direction, hole.center), hole.label, HEIGHT, 0.0, Anchor.MIDDLE)


def _is_clear(box: Box, circles: tuple[float, ...], taken: list[Box]) -> bool:
    """Whether a box meets no circle about the center, no centerline and no number set before."""
    near, far = _reach(box)
    crosses_axis = box.left < 0 < box.right or box.bottom < 0 < box.top
    return (
        not crosses_axis
        and not any(near <= radius <= far for radius in circles)
        and far < circles[0]
        and not any(box.overlaps(other) for other in taken)
    )


def _reach(box: Box) -> tuple[float, float]:
    """Least and greatest distance of a box from the center."""
    x = max(box.left, 0.0, -box.right)
    y = max(box.bottom, 0.0, -box.top)
    corners = [Point(across, up) for across in (box.left, box.right) for up in (box.bottom, box.top)]
    return math.hypot(x, y), max(math.hypot(corner.x, corner.y) for corner in corners)


def _meets_hole(box: Box, places: object) -> bool:
    """Whether a box meets any hole, from an array of their centers and radii, shape (n, 3)."""
    import numpy as np

    x, y, radius = np.asarray(places).T
    away_x = np.maximum(np.maximum(box.left - x, x - box.right), 0.0)
    away_y = np.maximum(np.maximum(box.bottom - y, y - box.top), 0.0)
    return bool((np.hypot(away_x, away_y) < radius).any())
