"""The angle from a centerline to hole 1 of each circle, outside the plate, the larger outside the smaller."""

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from itertools import chain, pairwise, product

from msgspec import Struct

from flangelayout.checks.dimensioned import has_legend
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
from flangelayout.views.sheet.face import CENTERLINE_PAST, add_holes, edge_items
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
_ASIDES = (0.0, 0.2, 0.4)
"""Widths of a text over a short arc by which it is moved off the centerline."""
_LEAST_ARC = 12.0
"""Printed mm of the radius of an arc within its circle at the least."""
_SAME, _NEARLY = 1e-6, 0.05
PLANE_TAIL, OFF_TAIL = 8.0, 5.0
"""Printed mm of the arrow of the section's plane behind it, and from its tail to words before it."""


class _FirstHole(Struct, frozen=True):
    """Where hole 1 of some circles lies.

    Attributes:
        axis: The angle of the centerline it is measured from.
        offset: The step from that in degrees counter-clockwise.
        letters: Of the circles it holds for.
        diameter: Of the smallest of them.
        circles: They.
    """

    axis: float
    offset: float
    letters: str
    diameter: float
    circles: tuple[BoltCircle, ...]

    @property
    def direction(self) -> float:
        """Of the ray to hole 1."""
        return self.axis + self.offset

    @property
    def has_other(self) -> bool:
        """Whether each circle has another hole as far on the other side of the centerline."""
        return all(_has_hole(circle, self.offset, 360.0) for circle in self.circles)

    @property
    def has_centered(self) -> bool:
        """Whether each circle has a hole on a centerline."""
        return all(_has_hole(circle, 0.0, 90.0) for circle in self.circles)


class _Angles:
    """The angles of a view while they are being placed."""

    def __init__(self, look: Look, ink: Ink, numbers: Sequence[Item]) -> None:
        self.look, self.ink, self.numbers = look, ink, numbers
        self.base, self.mirrored = _base(look.flange), 0
        self.free: dict[float, bool] = {}
        self.edges = Ink(look.scale)
        if look.flange.round_diameter is None:
            self.edges.add(edge_items(look.flange))

    def place(self, holes: Sequence[_FirstHole], start: int) -> tuple[_FirstHole, Option, int]:
        """The next of some angles outward, from a try on, taken into the ink, and the first try for the one after it.

        The smallest whose words find a place at its own arc; where none of them does, the smallest, to the hole on the
        other side of the centerline, no higher than the others, within its circle, or with its words past that.
        """
        for hole in holes:
            own = self._own(hole, start, [each for each in holes if each is not hole])
            if own is not None:
                return hole, *own
        hole, rays = holes[0], self._rays(holes[1:], start)
        for step, option in self._options(hole, range(start, start + _FARTHER), over=True):
            if rays.is_clear_of(option[-1:]) and self._is_whole(option[-1]):
                self.ink.add(option)
                return hole, option, step + _NEXT
        if low := self.place_low(hole, start + _FARTHER):
            return hole, low, start
        return hole, *self._anyhow(hole, start, rays)

    def _own(self, hole: _FirstHole, start: int, others: Iterable[_FirstHole]) -> tuple[Option, int] | None:
        """An angle with its words at its own arc, and the first try for the next one; ``None`` where it has no place.

        Its text keeps off the rays of others to come. Where no leader leads to a hole on the other side of the
        centerline, it may be told there. The arc keeps off the edges and the text off other words, or at least the
        arrows off the edges, where they can. Where its ray would graze another hole, it stands within its circle, if
        it can be, or on a plate that is not round is left to words that tell of a hole on a centerline.
        """
        if not self._is_ray_free_to_rim(hole):
            within = self._place_within(hole)
            if within or (hole.has_centered and self.look.flange.round_diameter is None):
                return within, start
        rays = self._rays(others, start)
        for is_good in (self._is_whole, self._has_free_arrows):
            for step, option in self._options(hole, range(start, start + _FARTHER)):
                if rays.is_clear_of(option[-1:]) and is_good(option[-1]):
                    self.ink.add(option)
                    return option, step + _NEXT
            mirrored = has_legend(self.look.flange) and self._place_mirrored(hole, start + _NEAR, rays)
            if mirrored:
                return mirrored, start
        return None

    def _anyhow(self, hole: _FirstHole, start: int, rays: Ink) -> tuple[Option, int]:
        """An angle wherever it finds a place, with its text past the centerline if need be."""
        near, every = range(start, start + _NEAR), range(start, start + _TRIES)
        past = [*self._options(hole, near, other_end=True)]
        good = (each for is_good in (self._is_whole, self._has_free_arrows) for each in past if is_good(each[1][-1]))
        rest = (each for end in (False, True) for each in self._options(hole, every, other_end=end))
        clear = (each for each in chain(good, rest) if rays.is_clear_of(each[1][-1:]))
        step, option = next(chain(clear, self._options(hole, every)), (start - _NEXT, ()))
        self.ink.add(option)
        return option, step + _NEXT

    def _rays(self, holes: Iterable[_FirstHole], start: int) -> Ink:
        """The rays of angles to come, which are told from a try on, on either side of the centerline."""
        rays, far = Ink(self.look.scale), self._radius(start + _TRIES)
        turns = [each.direction for each in holes] + [each.axis - each.offset for each in holes if each.has_other]
        rays.add(_item(Line(polar(self.base, turn), polar(far, turn))) for turn in turns)
        return rays

    def place_low(self, hole: _FirstHole, before: int) -> Option:
        """An angle for which there is no room above the others, taken into the ink; none where there is no place.

        To the hole on the other side of the centerline, no higher than those before a try, or within its circle.
        """
        return self._place_mirrored(hole, before, Ink(self.look.scale)) or self._place_within(hole)

    def _place_within(self, hole: _FirstHole) -> Option:
        """An angle within its circle, taken into the ink; none where there is no place."""
        option = next((each for each in self._inner_options(hole) if self._is_whole(each[-1])), ())
        self.ink.add(option)
        return option

    def _place_mirrored(self, hole: _FirstHole, before: int, rays: Ink) -> Option:
        """An angle to the hole on the other side of the centerline, below a try, its text off rays, taken into the ink.

        None if there is no place.
        """
        other = replace(hole, offset=-hole.offset)
        if hole.has_other:
            for step, option in self._options(other, range(self.mirrored, before)):
                if self._is_whole(option[-1]) and rays.is_clear_of(option[-1:]):
                    self.ink.add(option)
                    self.mirrored = step + _NEXT
                    return option
        return ()

    def _inner_options(self, hole: _FirstHole) -> Iterator[Option]:
        """The ways to draw an angle within its circle that cross no text, off all edges, the outer ones first."""
        look, edges = self.look, Ink(self.look.scale)
        edges.add(edge_items(look.flange))
        for step in range(_TRIES):
            radius = hole.diameter / 2 - look.real(_FIRST + _STEP * step)
            end = radius - look.real(_PAST_ARC)
            if radius < look.real(_LEAST_ARC) or not self._is_ray_free(hole, end):
                return
            ray = _item(Line(polar(hole.diameter / 2, hole.direction), polar(end, hole.direction)))
            angle, own = self._angle(hole, radius, other_end=False), Ink(look.scale)
            own.add((ray,))
            is_clear = self.ink.is_clear_of((ray, angle)) and own.is_clear_of((angle,))
            chords = [*_chords(_arc_of(angle))]
            if is_clear and not any(ink.is_near(each, _OFF_EDGES) for ink in (edges, self._holes) for each in chords):
                yield ray, angle

    def _is_ray_free_to_rim(self, hole: _FirstHole) -> bool:
        if hole.direction not in self.free:
            self.free[hole.direction] = self._is_ray_free(hole, self._rim(hole.direction))
        return self.free[hole.direction]

    def _is_ray_free(self, hole: _FirstHole, end: float) -> bool:
        """Whether a ray from a hole on to a radius grazes no other hole; through one's middle it is as true."""
        if len(self.look.flange.groups()) == 1 and not self.look.flange.single_holes:
            return True
        begin, at = hole.diameter / 2, polar(hole.diameter / 2, hole.direction)
        reach = next((each.reach for each in self.look.flange.holes() if each.center.distance_to(at) < _NEARLY), 0.0)
        past = reach + self.look.real(2 * _OFF_EDGES)
        start = begin + past if end > begin else begin - past
        if (start > end) is (end > begin) or not self._holes.is_near(
            Line(polar(start, hole.direction), polar(end, hole.direction)), _OFF_EDGES / 2
        ):
            return True
        turn, (least, most) = math.radians(hole.direction), sorted((start, end))
        for each in self.look.flange.holes():
            x, y = each.center.x, each.center.y
            along, off = x * math.cos(turn) + y * math.sin(turn), abs(x * math.sin(turn) - y * math.cos(turn))
            by = each.reach + self.look.real(_OFF_EDGES)
            if _NEARLY < off < by and least - by < along < most + by:
                return False
        return True

    @cached_property
    def _holes(self) -> Ink:
        """All holes: asked for only where one pattern may stand in the way of another."""
        holes = Ink(self.look.scale)
        add_holes(holes, self.look.flange.holes())
        return holes

    def _radius(self, step: int) -> float:
        """Of an arc, in mm."""
        return self.base + self.look.real(_FIRST + _STEP * step)

    def _options(
        self, hole: _FirstHole, steps: Iterable[int], *, other_end: bool = False, over: bool = False
    ) -> Iterator[tuple[int, Option]]:
        """The ways to draw an angle that cross no text, the nearest to the plate first.

        Its text stands at the arc, beyond the end by the centerline, or over the arc however short that is.
        Its ray begins at the hole, broken for numbers, or at the rim or beyond it where the hole's own number stands
        there or it would graze another hole.
        """
        at_hole = hole.diameter / 2
        rays = [(self.base + self.look.real(out), False) for out in (1.0, _PAST_NUMBER)]
        rays[:0] = [(at_hole, False), (at_hole, True)] if self._is_ray_free_to_rim(hole) else []
        for step, (begin, is_open), aside in product(steps, rays, _ASIDES if over else (0.0,)):
            radius = self._radius(step)
            lines = self._lines(hole, begin, radius, is_open=is_open) if begin < radius else ()
            if lines:
                own, angle = Ink(self.look.scale), self._angle(hole, radius, other_end=other_end)
                angle = self._over(angle, hole, aside) if over else angle
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
            least = self._rim(hole.direction) - look.real(_LEAST_INSIDE)
            if not any(ORIGIN.distance_to(start) < least for start in starts):
                return ()
        edge = (look.box.top if hole.axis else look.box.right) + look.real(CENTERLINE_PAST + 0.6)
        axis = [_item(Line(polar(edge, hole.axis), polar(past, hole.axis)))] if past > edge else []
        return (*ray, *opened(axis, self.numbers, look.scale))

    def _rim(self, direction: float) -> float:
        """How far off in a direction the rim is, or the edge of the box round a plate that is not round."""
        box, turn = self.look.box, math.radians(direction)
        if self.look.flange.round_diameter is not None:
            return self.base
        ways = (
            (box.right if math.cos(turn) > 0 else box.left, math.cos(turn)),
            (box.top if math.sin(turn) > 0 else box.bottom, math.sin(turn)),
        )
        return min(edge / along for edge, along in ways if abs(along) > _SAME)

    def _angle(self, hole: _FirstHole, radius: float, *, other_end: bool) -> Item:
        """The angle with its arc at a radius."""
        look, letters = self.look, f" {hole.letters}" if hole.letters else ""
        said = MeasuredText(DEGREES, "(", ")" + letters)
        start, sweep = min(hole.axis, hole.direction), abs(hole.offset)
        angle = AngularDimension(ORIGIN, radius, start, sweep, said, look.style, other_end=other_end)
        is_by_plane = hole.axis and hole.offset > 0.0 and look.flange.thickness is not None and radius > look.box.top
        return _item(_off_plane(look, angle) if is_by_plane and not other_end else angle)

    def _over(self, angle: Item, hole: _FirstHole, aside: float) -> Item:
        """An angle with its text over its arc and the end of its ray, so far toward hole 1 and on."""
        size = angle.what
        assert isinstance(size, AngularDimension)
        away = math.copysign(aside * text_width(size.text, self.look.letter), hole.offset)
        return replace(angle, what=replace(size, aside_paper=away, over_paper=_PAST_ARC))

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
        most: How many are told one above the other, the smallest first; all unless told. Others are told where they
            make the view no higher.
    """
    holes = _first_holes(look.flange)
    if not holes:
        return []
    angles, start, left = _Angles(look, ink, numbers), 0, holes[:most]
    found: list[Item] = []
    while left:
        hole, items, start = angles.place(left, start)
        left.remove(hole)
        found += items
    for hole in holes[most:] if most is not None else ():
        found += angles.place_low(hole, start)
    return found


def angles_to_tell(flange: Flange, most: int | None = None) -> int:
    """How many angles :func:`angle_items` tells of a plate one above the other if each finds a place."""
    return len(_first_holes(flange)[:most])


def _item(what: Content) -> Item:
    return Item(Layer.DIMENSION, what, FeatureRef(Feature.FIRST_HOLE_ANGLE))


def _arc_of(angle: Item) -> Arc:
    size = angle.what
    assert isinstance(size, AngularDimension)
    return Arc(size.center, size.radius, size.start_deg, size.sweep_deg)


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
        offset = _offset(circle, circle.first_hole_angle)
        if circle.hole_count > 1 and 0.05 < abs(offset) < 179.9 and not is_dimensioned(flange, group):
            found.setdefault((Centerline(circle.centerline).angle, round(offset, 6)), []).append(group)
    return [
        _FirstHole(
            axis,
            offset,
            ", ".join(filter(None, map(flange.group_letter, groups))),
            min(flange.bolt_circles[group].diameter for group in groups),
            tuple(flange.bolt_circles[group] for group in groups),
        )
        for (axis, offset), groups in sorted(found.items(), key=lambda each: abs(each[0][1]))
    ]


def _has_hole(circle: BoltCircle, offset: float, every: float) -> bool:
    """Whether a circle has a hole so far clockwise of its centerline, or of a direction every so far on."""
    offs = (_offset(circle, angle) + offset + every / 2 for angle in circle.hole_angles())
    return any(abs(off % every - every / 2) < 0.05 for off in offs)


def _offset(circle: BoltCircle, angle: float) -> float:
    """Of a direction from the centerline of a circle."""
    return (angle - Centerline(circle.centerline).angle + 180.0) % 360.0 - 180.0


def _base(flange: Flange) -> float:
    """Radius in mm that angles stand outside of: the edge of a round plate, the holes of any other."""
    if flange.round_diameter is not None:
        return flange.round_diameter / 2
    return max(((circle.diameter + circle.hole_diameter) / 2 for circle in flange.bolt_circles), default=0.0)
