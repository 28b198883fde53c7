"""Seeded random plates of lines and arcs with holes, slots and a bore, for tests of what a table cuts."""

import math
import random

from flangelayout.flange import (
    BoltCircle,
    Drilling,
    Flange,
    Outline,
    PathOutline,
    RectangleOutline,
    RoundOutline,
    SingleHole,
    Slot,
    SlotDirection,
    SplitOutline,
)
from flangelayout.flange.cutting import CutOptions
from flangelayout.geometry.contours import reversed_contour
from flangelayout.geometry.shapes import Arc, Contour, Line, Point, polar

RADII = (0.0, 0.0, 2.0, 5.0, 12.0)
"""Corner radii in mm: sharp, smaller than a kerf's half, usual."""


def filleted(corners: list[Point], radii: list[float]) -> Contour:
    """A closed contour through corners, each rounded where its radius fits, sharp where it does not."""
    rounds = [
        _corner(corners[index - 1], corner, corners[(index + 1) % len(corners)], radii[index])
        for index, corner in enumerate(corners)
    ]
    parts: list[Line | Arc] = []
    for index, (_, leave, arc) in enumerate(rounds):
        parts += [arc] if arc else []
        parts.append(Line(leave, rounds[(index + 1) % len(rounds)][0]))
    return Contour(tuple(parts), closed=True)


def random_contour(rng: random.Random, size: float, least: float = 0.45) -> Contour:
    """A star-shaped contour of 3 to 10 corners, convex and concave, no farther out than ``size``."""
    while True:
        count = rng.randint(3, 10)
        angles = sorted(rng.uniform(0, 360) for _ in range(count))
        steps = [(after - before) % 360 for before, after in zip(angles, [*angles[1:], angles[0]], strict=True)]
        if min(steps) > 14 and max(steps) < 140:
            break
    corners = [polar(rng.uniform(least, 1.0) * size, angle) for angle in angles]
    contour = filleted(corners, [rng.choice(RADII) for _ in corners])
    return reversed_contour(contour) if rng.random() < 0.5 else contour


def random_plate(rng: random.Random) -> Flange:
    """A plate whose holes clear each other, the bore and the edge by 8 mm at least."""
    size = rng.uniform(120.0, 300.0)
    outline = _random_outline(rng, size)
    count = rng.randint(2, 12)
    circle = size * rng.uniform(0.5, 0.56)
    room = min(circle * math.sin(math.pi / count) - 8.0, 0.12 * size)
    hole = rng.uniform(0.5, 1.0) * max(room, 7.0)
    return Flange(
        outline=outline,
        bolt_circles=(BoltCircle(circle, count, hole, start_angle=rng.uniform(0, 360)),),
        bore=rng.choice([None, size * 0.2]),
        thickness=rng.uniform(6.0, 30.0),
        single_holes=(
            SingleHole(polar(size * 0.36, rng.uniform(0, 360)), Drilling(rng.uniform(7.0, 10.0))),
            SingleHole(
                polar(size * 0.46, 200.0), Drilling(8.0, kind=Slot(rng.uniform(14.0, 30.0), SlotDirection.CIRCLE))
            ),
        ),
    )


def _random_outline(rng: random.Random, size: float) -> Outline:
    kind = rng.randrange(3)
    if kind == 0:
        return RoundOutline(2 * size)
    if kind == 1:
        return RectangleOutline(2 * size, 1.6 * size, rng.choice([0.0, 10.0, 40.0]))
    return PathOutline(random_contour(rng, 1.6 * size, least=0.85))


def _corner(before: Point, corner: Point, after: Point, radius: float) -> tuple[Point, Point, Arc | None]:
    """Where a corner's arc begins and ends, and the arc."""
    into, out = before - corner, after - corner
    lengths = math.hypot(into.x, into.y), math.hypot(out.x, out.y)
    into, out = into.scaled(1 / lengths[0]), out.scaled(1 / lengths[1])
    angle = math.acos(max(-1.0, min(1.0, into.x * out.x + into.y * out.y)))
    back = radius / math.tan(angle / 2)
    if radius <= 0 or back > 0.45 * min(lengths):
        return corner, corner, None
    middle = into + out
    center = corner + middle.scaled(radius / math.sin(angle / 2) / math.hypot(middle.x, middle.y))
    first, last = corner + into.scaled(back), corner + out.scaled(back)
    start = center.direction_to(first)
    sweep = (center.direction_to(last) - start + 180) % 360 - 180
    return first, last, Arc(center, radius, start, sweep)


def random_cut_job(rng: random.Random) -> tuple[Flange, CutOptions]:
    """A plate, a ring in parts or a notched plate, with a kerf and leads that fit most of them."""
    kind = rng.randrange(4)
    if kind == 0:
        flange = _random_ring(rng)
    elif kind == 1:
        flange = Flange(PathOutline(_notched(rng)), (BoltCircle(100.0, 6, 12.0),), thickness=10.0)
    else:
        flange = random_plate(rng)
    lead_in = rng.choice([0.0, rng.uniform(2.0, 15.0)])
    kerf = rng.choice([0.0, rng.uniform(0.2, 4.0)])
    return flange, CutOptions(kerf=kerf, lead_in=lead_in, lead_out=rng.choice([0.0, lead_in / 2]))


def _random_ring(rng: random.Random) -> Flange:
    inside = rng.uniform(60.0, 500.0)
    width = rng.uniform(40.0, 200.0)
    parts = rng.randint(2, 12)
    gap = rng.choice([0.0, rng.uniform(0.5, 12.0)])
    outline = SplitOutline(inside + 2 * width, inside, parts, rng.uniform(0, 360), gap)
    middle = outline.first_joint_angle + 180 / parts
    circle = BoltCircle(inside + width, parts, min(12.0, width / 4), start_angle=middle - 180 / parts - 90)
    return Flange(outline, (circle,), thickness=10.0)


def _notched(rng: random.Random) -> Contour:
    """A rectangle with a notch of random width, depth and lean from above."""
    x, y, depth = 120.0, 100.0, rng.uniform(5.0, 35.0)
    top, bottom, lean = rng.uniform(1.0, 20.0), rng.uniform(1.0, 20.0), rng.uniform(-15.0, 15.0)
    notch = [Point(top / 2, y), Point(lean + bottom / 2, y - depth), Point(lean - bottom / 2, y - depth)]
    corners = [Point(-x, -y), Point(x, -y), Point(x, y), *notch, Point(-top / 2, y), Point(-x, y)]
    return filleted(corners, [rng.choice(RADII[:3]) for _ in corners])
