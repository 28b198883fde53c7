"""The angle from a centerline to hole 1 of each circle, outside the plate, the larger outside the smaller."""

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise, product

from msgspec import Struct

from flangelayout.drawing.explode import ARROW_LENGTH, explode
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import AngularDimension, Content, Item, Label, MeasuredText
from flangelayout.drawing.references import Feature, FeatureRef
from flangelayout.drawing.textwidth import text_width
from flangelayout.flange import BoltCircle, Centerline, Flange
from flangelayout.geometry.shapes import ORIGIN, Arc, Line, polar
from flangelayout.units import DEGREES
from flangelayout.value import replace
from flangelayout.views.page.text_clearance import Ink, corners_of
from flangelayout.views.sheet.face import CENTERLINE_PAST, edge_items
from flangelayout.views.sheet.hole_numbers import opened
from flangelayout.views.sheet.look import Look, Option
from flangelayout.views.words.call_outs import is_dimensioned

_FIRST, _STEP, _TRIES = 5.0, 1.5, 60
"""Printed mm from the rim to the first arc, from try to try, and how many tries."""
_NEXT = 4
"""Tries from one angle to the next."""
_NEAR, _FARTHER = 5, 8
"""Tries within which the best arc is looked for, with its text at the end by the centerline and at the usual place."""
_OFF_EDGES, _OFF_WORDS = 1.0, 2.0
"""Printed mm that such an arc keeps from an edge, and an angle's text from other words, if that can be."""
_LEAST_PIECE, _LEAST_INSIDE = 1.5, 3.0
"""Printed mm that a piece of a broken ray is long at the least, and that such a ray begins within the rim."""
_PAST_NUMBER = 7.0
"""Printed mm from the rim to where no hole number stands any more."""
_ARROW_REACH, _CHORD = 2.5 * ARROW_LENGTH, 3.0
"""Printed mm on either side of an arc's end where an arrow lies, and degrees of the pieces an arc is looked at in."""
_PAST_ARC = 1.8
PLANE_TAIL, OFF_TAIL = 8.0, 5.0
"""Printed mm of the arrow of the section's plane behind it, and from its tail to words before it."""


class _FirstHole(Struct, frozen=True):
    """Where hole 1 of some circles lies.

    Attributes:
        axis: The angle of the centerline it is measured from.
        offset: The step from that in degrees counter-clockwise.
        letters: Of the circles it holds for.
        diameter: Of the smallest of them.
    """

    axis: float
    offset: float
    letters: str
    diameter: float

    @property
    def direction(self) -> float:
        """Of the ray to hole 1."""
        return self.axis + self.offset


class _Angles:
    """The angles of a view while they are being placed."""

    def __init__(self, look: Look, ink: Ink, numbers: Sequence[Item]) -> None:
        self.look, self.ink, self.numbers = look, ink, numbers
        self.base = _base(look.flange)
        self.edges = Ink(look.scale)
        if look.flange.round_diameter is None:
            self.edges.add(edge_items(look.flange))

    def place(self, hole: _FirstHole, start: int, others: Sequence[_FirstHole]) -> tuple[Option, int]:
        """An angle from a try on, taken into the ink, and the first try for the next one.

        Its text keeps off the rays of others to come, at the end of the arc by the centerline if need be. The arc
        keeps off the edges and the text off other words, or at least the arrows off the edges, where they can.
        """
        rays, far = Ink(self.look.scale), self._radius(start + _TRIES)
        lines = (Line(polar(self.base, each.direction), polar(far, each.direction)) for each in others)
        rays.add(map(_item, lines))
        near, farther, every = (range(start, start + count) for count in (_NEAR, _FARTHER, _TRIES))
        whole, free = self._is_whole, self._has_free_arrows
        ways = ((farther, False, whole), (near, True, whole), (farther, False, free), (near, True, free))
        for steps, other_end, is_good in (*ways, (every, False, None), (every, True, None)):
            for step, option in self._options(hole, steps, other_end=other_end):
                if rays.is_clear_of(option[-1:]) and (not is_good or is_good(option[-1])):
                    self.ink.add(option)
                    return option, step + _NEXT
        step, option = next(self._options(hole, every, other_end=False), (start - _NEXT, ()))
        self.ink.add(option)
        return option, step + _NEXT

    def _radius(self, step: int) -> float:
        """Of an arc, in mm."""
        return self.base + self.look.real(_FIRST + _STEP * step)

    def _options(self, hole: _FirstHole, steps: Iterable[int], *, other_end: bool) -> Iterator[tuple[int, Option]]:
        """The ways to draw an angle that cross no text, the nearest to the plate first.

        Its ray begins at the hole, broken for numbers, or at the rim or beyond it where the hole's own number stands
        there.
        """
        rims = [self.base + self.look.real(out) for out in (1.0, _PAST_NUMBER)]
        at_hole = hole.diameter / 2
        rays = ((at_hole, False), (at_hole, True), *((rim, False) for rim in rims))
        for step, (begin, is_open) in product(steps, rays):
            radius = self._radius(step)
            lines = self._lines(hole, begin, radius, is_open=is_open) if begin < radius else ()
            if lines:
                own, angle = Ink(self.look.scale), self._angle(hole, radius, other_end=other_end)
                own.add(lines)
                if self.ink.is_clear_of((*lines, angle)) and own.is_clear_of((angle,)):
                    yield step, (*lines, angle)

    def _lines(self, hole: _FirstHole, begin: float, radius: float, *, is_open: bool) -> Option:
        """The ray of an angle from a radius on, and its centerline beyond the plate, both past the arc.

        None where a ray that is open for numbers begins at the rim or beyond it.
        """
        look, past = self.look, radius + self.look.real(_PAST_ARC)
        ray = [_item(Line(polar(begin, hole.direction), polar(past, hole.direction)))]
        if is_open:
            ray = [part for part in opened(ray, self.numbers, look.scale) if _length(part) > look.real(_LEAST_PIECE)]
            starts = (part.what.start for part in ray[:1] if isinstance(part.what, Line))
            if not any(ORIGIN.distance_to(start) < self.base - look.real(_LEAST_INSIDE) for start in starts):
                return ()
        edge = (look.box.top if hole.axis else look.box.right) + look.real(CENTERLINE_PAST + 0.6)
        axis = [_item(Line(polar(edge, hole.axis), polar(past, hole.axis)))] if past > edge else []
        return (*ray, *opened(axis, self.numbers, look.scale))

    def _angle(self, hole: _FirstHole, radius: float, *, other_end: bool) -> Item:
        """The angle with its arc at a radius."""
        look, letters = self.look, f" {hole.letters}" if hole.letters else ""
        said = MeasuredText(DEGREES, "(", ")" + letters)
        start, sweep = min(hole.axis, hole.direction), abs(hole.offset)
        angle = AngularDimension(ORIGIN, radius, start, sweep, said, look.style, other_end=other_end)
        is_by_plane = hole.axis and hole.offset > 0.0 and look.flange.thickness is not None
        return _item(_off_plane(look, angle) if is_by_plane and not other_end else angle)

    def _is_whole(self, angle: Item) -> bool:
        return self._is_off_words(angle) and self._is_off_edges(angle, whole=True)

    def _has_free_arrows(self, angle: Item) -> bool:
        return self._is_off_edges(angle, whole=False)

    def _is_off_words(self, angle: Item) -> bool:
        """Whether an angle's text is not read with other words."""
        labels = (part for part in explode(angle.what, self.look.scale) if isinstance(part, Label))
        return not any(self.ink.has_text_near(corners_of(each, self.look.scale), _OFF_WORDS) for each in labels)

    def _is_off_edges(self, angle: Item, *, whole: bool) -> bool:
        """Whether an angle's arc, if ``whole``, or its arrows keep off the edges of a plate that is not round."""
        size, look = angle.what, self.look
        assert isinstance(size, AngularDimension)
        if look.flange.round_diameter is not None:
            return True
        ends = size.start_deg, size.start_deg + size.sweep_deg
        reach = math.degrees(_ARROW_REACH / (size.radius * look.scale))
        arcs = [(ends[0] - reach, size.sweep_deg + 2 * reach)] if whole else [(end - reach, 2 * reach) for end in ends]
        chords = (chord for begin, turn in arcs for chord in _chords(Arc(ORIGIN, size.radius, begin, turn)))
        return not any(self.edges.is_near(chord, _OFF_EDGES) for chord in chords)


def angle_items(look: Look, ink: Ink, numbers: Sequence[Item], most: int | None = None) -> list[Item]:
    """From a centerline to hole 1 of each circle, outside the plate, the larger outside the smaller.

    Args:
        look: What is drawn.
        ink: What stands there already; the angles are taken in.
        numbers: Of holes, for which rays open.
        most: How many are told, the smallest first; all unless told.
    """
    holes = _first_holes(look.flange)[:most]
    if not holes:
        return []
    angles, start = _Angles(look, ink, numbers), 0
    found: list[Item] = []
    for index, hole in enumerate(holes):
        items, start = angles.place(hole, start, holes[index + 1 :])
        found += items
    return found


def angles_to_tell(flange: Flange) -> int:
    """How many angles :func:`angle_items` tells of a plate."""
    return len(_first_holes(flange))


def _item(what: Content) -> Item:
    return Item(Layer.DIMENSION, what, FeatureRef(Feature.FIRST_HOLE_ANGLE))


def _length(item: Item) -> float:
    return item.what.start.distance_to(item.what.end) if isinstance(item.what, Line) else 0.0


def _chords(arc: Arc) -> Iterator[Line]:
    """An arc as straight pieces of a few degrees."""
    count = max(1, math.ceil(arc.sweep_deg / _CHORD))
    turns = [arc.start_deg + arc.sweep_deg * index / count for index in range(count + 1)]
    return (Line(polar(arc.radius, first), polar(arc.radius, last)) for first, last in pairwise(turns))


def _off_plane(look: Look, angle: AngularDimension) -> AngularDimension:
    """An angle left of the section's plane, its text so far toward hole 1 that it is not read with the arrow there."""
    turn = math.radians(angle.sweep_deg / 2)
    free = angle.radius * math.sin(turn) * look.scale - text_width(angle.text, look.letter) / 2
    return replace(angle, aside_paper=max(PLANE_TAIL + OFF_TAIL - free, 0.0) / math.cos(turn))


def _first_holes(flange: Flange) -> list[_FirstHole]:
    """The angles from a centerline to hole 1 that are dimensioned, equal ones once, the smallest first.

    A pair of holes that is measured across has none: it lies on a centerline.
    """
    found: dict[tuple[float, float], list[int]] = {}
    for group, circle in enumerate(flange.bolt_circles):
        offset = _offset(circle)
        if circle.hole_count > 1 and 0.05 < abs(offset) < 179.9 and not is_dimensioned(flange, group):
            found.setdefault((Centerline(circle.centerline).angle, round(offset, 6)), []).append(group)
    return [
        _FirstHole(axis, offset, ", ".join(filter(None, map(flange.group_letter, groups))), _least(flange, groups))
        for (axis, offset), groups in sorted(found.items(), key=lambda each: abs(each[0][1]))
    ]


def _least(flange: Flange, groups: list[int]) -> float:
    return min(flange.bolt_circles[group].diameter for group in groups)


def _offset(circle: BoltCircle) -> float:
    return (circle.first_hole_angle - Centerline(circle.centerline).angle + 180.0) % 360.0 - 180.0


def _base(flange: Flange) -> float:
    """Radius in mm that angles stand outside of: the edge of a round plate, the holes of any other."""
    if flange.round_diameter is not None:
        return flange.round_diameter / 2
    return max(((circle.diameter + circle.hole_diameter) / 2 for circle in flange.bolt_circles), default=0.0)
