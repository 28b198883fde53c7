"""A detail: a hole with all round it, drawn larger where lines of the face view run together.

One is drawn of what only it can show: a recess round its hole, a hole close to another or to the edge. A thread or a
slot alone is told by its call-out.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise, product

from flangelayout.drawing.explode import items_box
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, CenterMark, Item, Label, Leader, LinearDimension
from flangelayout.drawing.references import Furniture, HoleRef
from flangelayout.flange import DRILLED, BoltCircle, Flange, Hole
from flangelayout.flange.hole import face_circle
from flangelayout.geometry.measure import pieces
from flangelayout.geometry.near_pairs import near_pairs
from flangelayout.geometry.pieces import length_of, meetings, nearest_on, part_of, point_at
from flangelayout.geometry.shapes import ORIGIN, Arc, Box, Circle, Contour, Line, Point, polar
from flangelayout.value import replace
from flangelayout.views.page.plate_lines import pattern_lines
from flangelayout.views.page.text_clearance import Ink
from flangelayout.views.sheet.face import edge_items, hole_items
from flangelayout.views.sheet.look import DETAIL_LETTER, Look, Option, placed
from flangelayout.views.words.call_outs import pitch_circle
from flangelayout.views.words.holes import hole_text

SMALL_HOLE = 2.5
"""Holes printed smaller than this many mm get a detail, where it shows more than the view."""
_RUN_TOGETHER = 0.7
"""Printed mm between two lines below which they do (ISO 128-2, space between parallel lines; from memory)."""
_RADIUS = 17.0
_HOLE_PRINTED = 12.0
_LEAST_PIECE = 1e-6
"""Lengths in mm below which a piece is none."""


def detailed_hole(flange: Flange, holes: tuple[Hole, ...], scale: float) -> Hole | None:
    """The hole that a detail is drawn of: the first of the smallest, not plain ones, whose lines run together in print.

    Those are the lines of its own recess, of the edge of a round plate, of another hole.
    """
    on_circles = (hole for hole in holes if 0 <= hole.group < len(flange.bolt_circles) and hole.kind != DRILLED)
    small = sorted(
        (hole for hole in on_circles if hole.face_diameter * scale < SMALL_HOLE), key=lambda one: one.diameter
    )
    if not small:
        return None
    apart, rim = _RUN_TOGETHER / scale, flange.round_diameter
    crowded = _crowded(holes, apart)

    def runs_together(hole: Hole) -> bool:
        is_recessed = face_circle(hole) is not None and hole.face_diameter - hole.diameter < 2 * apart
        to_rim = math.inf if rim is None else rim / 2 - ORIGIN.distance_to(hole.center) - hole.reach
        return is_recessed or to_rim < apart or hole.label in crowded

    return next(filter(runs_together, small), None)


def _crowded(holes: tuple[Hole, ...], apart: float) -> set[str]:
    """The labels of holes whose edges are nearer than so many mm to another one's."""
    import numpy as np

    centers = np.array([(hole.center.x, hole.center.y) for hole in holes])
    pairs = zip(*near_pairs(centers, 2 * max(hole.reach for hole in holes) + apart), strict=True)
    both = ((holes[one], holes[other]) for one, other in pairs)
    near = (pair for pair in both if pair[0].center.distance_to(pair[1].center) - sum(p.reach for p in pair) < apart)
    return {hole.label for pair in near for hole in pair}


def detail_scale(hole: Hole, scales: tuple[float, ...]) -> float:
    """The scale of the series at which the hole is about as large as a thumb nail."""
    return next((scale for scale in scales if hole.face_diameter * scale <= _HOLE_PRINTED), scales[-1])


def detail_items(look: Look, hole: Hole, scale_words: str) -> tuple[Item, ...]:
    """The part round a hole within a narrow circle, with numbers; what it is, how far from the next and the edge."""
    ring = Circle(hole.center, look.real(_RADIUS))
    seen = [each for each in look.flange.holes() if each.center.distance_to(hole.center) - each.reach < ring.radius]
    lines = [Item(Layer.DIMENSION, ring, Furniture("detail")), *_clipped(look, hole, seen, ring)]
    ink = Ink(look.scale)
    ink.add(lines)
    found = [*lines]
    within = [each for each in seen if each.center.distance_to(hole.center) < look.real(_RADIUS - 1.0)]
    within.sort(key=lambda each: each.center.distance_to(hole.center))
    sizes = (
        _size(look, hole, within[1:]),
        _edge_distance(look, hole),
        *(_to_next(look, hole, each) for each in within[1:2]),
    )
    for options in (*(_number(look, each, ring) for each in within), *sizes, _name(look, hole, scale_words)):
        found += placed(ink, options) or ()
    return tuple(found)


def detail_box(items: tuple[Item, ...], scale: float) -> Box:
    """What a detail takes up in printed mm about the middle of the plate."""
    return items_box(items, scale).scaled(scale)


def _clipped(look: Look, hole: Hole, seen: Sequence[Hole], ring: Circle) -> Iterator[Item]:
    """Edges, pattern lines, the hole itself and others, as far as they lie within the ring."""
    lines = [Item(Layer.CENTERLINE, line, Furniture("bolt circle")) for line in _pattern_lines(look.flange, seen)]
    for item in (*edge_items(look.flange), *hole_items(tuple(seen)), *lines):
        if isinstance(item.what, Circle | Contour | Arc | Line):
            edges = (item.what,) if isinstance(item.what, Arc | Line) else pieces(item.what)
            yield from (replace(item, what=piece) for edge in edges for piece in _within(edge, ring))
    for each in seen:
        if each.center.distance_to(ring.center) < ring.radius:
            yield Item(Layer.DIMENSION, _mark(look, each), HoleRef(each.label))
    for turn in (hole.angle, hole.angle + 180):
        yield Item(Layer.CENTERLINE, Line(hole.center, polar(look.real(_RADIUS), turn, hole.center)), Furniture("ray"))


def _pattern_lines(flange: Flange, seen: Sequence[Hole]) -> Iterator[Arc | Line]:
    for group in dict.fromkeys(hole.group for hole in seen if hole.group >= 0):
        for line in pattern_lines(flange, group):
            yield from (line,) if isinstance(line, Arc | Line) else pieces(line)


def _mark(look: Look, hole: Hole) -> CenterMark:
    return CenterMark(hole.center, min(3.0, hole.diameter / 2 * look.scale * 0.6))


def _within(part: Line | Arc, ring: Circle) -> Iterator[Line | Arc]:
    """The pieces of a line or an arc inside a circle."""
    cuts = sorted({0.0, 1.0, *(share for share, _ in meetings(part, Arc(ring.center, ring.radius, 0.0, 360.0)))})
    for first, last in pairwise(cuts):
        if point_at(part, (first + last) / 2).distance_to(ring.center) < ring.radius:
            piece = part_of(part, first, last)
            if length_of(piece) > _LEAST_PIECE:
                yield piece


def _size(look: Look, hole: Hole, others: Sequence[Hole]) -> Iterator[Option]:
    """What the hole is, on a leader out of the ring that runs over no other hole, to the right if that can be."""
    circle = look.flange.bolt_circles[hole.group]
    text = hole_text(hole.kind, hole.diameter, look.lengths), f"ON {pitch_circle(circle, look.lengths)}"
    for side, rise in product((1.0, -1.0), (9.0, -9.0, 14.0, -14.0, 4.0)):
        elbow = hole.center + Point(look.real(_RADIUS + 2.0) * side, look.real(rise))
        line = Line(polar(hole.face_diameter / 2, hole.center.direction_to(elbow), hole.center), elbow)
        if all(nearest_on(line, each.center).distance_to(each.center) > each.reach for each in others):
            leader = Leader(line.start, elbow, text, style=look.style)
            yield (Item(Layer.DIMENSION, leader, Furniture("detail")),)


def _number(look: Look, hole: Hole, ring: Circle) -> Iterator[Option]:
    """The number of a hole beside it, within the ring."""
    for out, turn in product((3.0, 4.5, 6.0, 8.0), (135.0, 45.0, 225.0, 315.0, 90.0, 0.0, 180.0, 270.0)):
        at = polar(hole.face_diameter / 2 + look.real(out), turn, hole.center)
        if at.distance_to(ring.center) < ring.radius - look.real(look.letter):
            yield (Item(Layer.TEXT, Label(at, hole.label, look.letter, 0.0, Anchor.MIDDLE), HoleRef(hole.label)),)


def _to_next(look: Look, hole: Hole, other: Hole) -> Iterator[Option]:
    """From center to center of two holes."""
    distance, along = hole.center.distance_to(other.center), hole.center.direction_to(other.center)
    said = look.lengths.reckoned(distance, "(", ")")
    for out, side in product((4.0, 8.0, 12.0, 16.0), (1.0, -1.0)):
        at = polar(look.real(_RADIUS + out) * side, along + 90, hole.center)
        size = LinearDimension(hole.center, other.center, at, along, said, look.style)
        yield (Item(Layer.DIMENSION, size, Furniture("detail")),)


def _edge_distance(look: Look, hole: Hole) -> Iterator[Option]:
    """From the hole's center outward to the edge of a round plate, where the ring shows it."""
    group = look.flange.groups()[hole.group]
    outside = look.flange.round_diameter
    if outside is None or not isinstance(group, BoltCircle):
        return
    distance = outside / 2 - ORIGIN.distance_to(hole.center)
    if distance > look.real(_RADIUS - 1.0):
        return
    edge = polar(outside / 2, hole.angle)
    for side in (1.0, -1.0):
        for out in (4.0, 8.0, 12.0):
            at = polar(look.real(_RADIUS + out) * side, hole.angle + 90, hole.center)
            size = LinearDimension(
                hole.center, edge, at, hole.angle, look.lengths.reckoned(distance, "(", ")"), look.style
            )
            yield (Item(Layer.DIMENSION, size, Furniture("detail")),)


def _name(look: Look, hole: Hole, scale_words: str) -> Iterator[Option]:
    for step in range(30):
        at = hole.center + Point(0.0, look.real(_RADIUS + 3.0 + step))
        label = Label(at, f"DETAIL {DETAIL_LETTER} ({scale_words})", look.heading, 0.0, Anchor.CENTER)
        yield (Item(Layer.TEXT, label, Furniture("detail")),)
