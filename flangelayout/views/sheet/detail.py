"""A detail: one hole and what is round it, drawn larger where the face view shows it too small to dimension."""

from collections.abc import Iterator
from itertools import pairwise

from flangelayout.drawing.explode import items_box
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, CenterMark, Item, Label, Leader, LinearDimension
from flangelayout.drawing.references import Furniture
from flangelayout.flange import DRILLED, BoltCircle, Flange, Hole
from flangelayout.geometry.measure import pieces
from flangelayout.geometry.pieces import length_of, meetings, part_of, point_at
from flangelayout.geometry.shapes import ORIGIN, Arc, Box, Circle, Contour, Line, Point, polar
from flangelayout.value import replace
from flangelayout.views.page.plate_lines import pattern_lines
from flangelayout.views.page.text_clearance import Ink
from flangelayout.views.sheet.face import edge_items, hole_items
from flangelayout.views.sheet.look import DETAIL_LETTER, Look, Option, placed
from flangelayout.views.words.holes import hole_text

SMALL_HOLE = 2.5
"""Holes printed smaller than this many mm get a detail."""
_RADIUS = 17.0
_HOLE_PRINTED = 12.0
_LEAST_PIECE = 1e-6
"""Lengths in mm below which a piece is none."""


def detailed_hole(flange: Flange, holes: tuple[Hole, ...], scale: float) -> Hole | None:
    """The hole that a detail is drawn of: the first of the smallest, where it prints too small to be seen.

    Only holes with something to see: a recess, a thread, a slot. A plain hole is told by its call-out.
    """
    on_circles = [hole for hole in holes if 0 <= hole.group < len(flange.bolt_circles) and hole.kind != DRILLED]
    small = min(on_circles, key=lambda hole: hole.diameter, default=None)
    return small if small and small.face_diameter * scale < SMALL_HOLE else None


def detail_scale(hole: Hole, scales: tuple[float, ...]) -> float:
    """The scale of the series at which the hole is about as large as a thumb nail."""
    return next((scale for scale in scales if hole.face_diameter * scale <= _HOLE_PRINTED), scales[-1])


def detail_items(look: Look, hole: Hole, scale_words: str) -> tuple[Item, ...]:
    """The part round a hole within a narrow circle, with its diameter, its distance to the edge and its name."""
    ring = Circle(hole.center, look.real(_RADIUS))
    lines = [Item(Layer.DIMENSION, ring, Furniture("detail")), *_clipped(look, hole, ring)]
    ink = Ink(look.scale)
    ink.add(lines)
    found = [*lines]
    for options in (_size(look, hole), _edge_distance(look, hole), _name(look, hole, scale_words)):
        found += placed(ink, options) or ()
    return tuple(found)


def detail_box(items: tuple[Item, ...], scale: float) -> Box:
    """What a detail takes up in printed mm about the middle of the plate."""
    return items_box(items, scale).scaled(scale)


def _clipped(look: Look, hole: Hole, ring: Circle) -> Iterator[Item]:
    """Edges, pattern lines and the hole itself, as far as they lie within the ring."""
    for item in edge_items(look.flange):
        if isinstance(item.what, Circle | Contour):
            for edge in pieces(item.what):
                yield from (replace(item, what=piece) for piece in _within(edge, ring))
    for line in pattern_lines(look.flange, hole.group):
        for part in (line,) if isinstance(line, Arc) else pieces(line):
            yield from (Item(Layer.CENTERLINE, piece, Furniture("bolt circle")) for piece in _within(part, ring))
    for item in hole_items((hole,)):
        yield item if not isinstance(item.what, CenterMark) else replace(item, what=_mark(look, hole))
    for turn in (hole.angle, hole.angle + 180):
        yield Item(Layer.CENTERLINE, Line(hole.center, polar(look.real(_RADIUS), turn, hole.center)), Furniture("ray"))


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


def _size(look: Look, hole: Hole) -> Iterator[Option]:
    """What the hole is, on a leader out of the ring to the right."""
    text = hole_text(hole.kind, hole.diameter, look.lengths)
    for rise in (9.0, -9.0, 14.0, -14.0, 4.0):
        elbow = hole.center + Point(look.real(_RADIUS + 2.0), look.real(rise))
        tip = polar(hole.face_diameter / 2, hole.center.direction_to(elbow), hole.center)
        yield (Item(Layer.DIMENSION, Leader(tip, elbow, (text,), style=look.style), Furniture("detail")),)


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
                hole.center, edge, at, hole.angle, look.lengths.measured(distance, "(", ")"), look.style
            )
            yield (Item(Layer.DIMENSION, size, Furniture("detail")),)


def _name(look: Look, hole: Hole, scale_words: str) -> Iterator[Option]:
    for step in range(30):
        at = hole.center + Point(0.0, look.real(_RADIUS + 3.0 + step))
        label = Label(at, f"DETAIL {DETAIL_LETTER} ({scale_words})", look.heading, 0.0, Anchor.CENTER)
        yield (Item(Layer.TEXT, label, Furniture("detail")),)
