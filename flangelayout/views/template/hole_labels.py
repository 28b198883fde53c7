"""Numbers and sizes at the holes of a template, and TOP at its own upper edge: on the metal, clear of every line.

They are placed once for the whole plate; where it is parted into pages, only what a seam would run through is moved.
"""

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import chain, groupby, product
from typing import TypeAlias, assert_never

from msgspec import Struct

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label, Solid
from flangelayout.drawing.references import Furniture, HoleRef
from flangelayout.drawing.textwidth import label_box, text_width
from flangelayout.flange import (
    BoltCircle,
    Counterbored,
    Countersunk,
    Dowel,
    Drilled,
    Flange,
    Hole,
    Jack,
    Slot,
    Spotfaced,
    Tapped,
)
from flangelayout.geometry.near_pairs import BoxIndex, Neighbors
from flangelayout.geometry.shapes import Arc, Box, Contour, Line, Point, box_around, polar
from flangelayout.units import Unit, size_text
from flangelayout.views.page.plate_lines import disc_centerlines, pattern_lines
from flangelayout.views.template.content_map import runs_through
from flangelayout.views.template.meeting import WORD_CLEAR, distances, holds, holds_box, is_off, meets, off_ray
from flangelayout.views.words.lengths import DIAMETER_SIGN, Lengths

_CROSS_PAST_HOLE, _OF_TUBES = 4.0, 0.125
"""How far in mm the strokes of a cross stand out beyond its hole, and of tubes, whose lands are narrow, by its radius.

The least pitch of tubes is 1.25 of their diameter (TEMA RCB-2.5, from memory): half of such a land stays free.
"""
_HEIGHTS = ((5.0, 2.5), (3.5, 2.5), (2.5, 2.5))
"""Of number and size in mm, tried in turn."""
_ALONE = (3.5, 2.5)
"""Of a number where there is no room for the size."""
_BETWEEN = 1.2
_OFF_RAY = 1.5
"""How far in mm the words on a piece of a ring keep off the rays that it ends with."""
_TURNS = (180.0, 150.0, 210.0, 120.0, 240.0, 90.0, 270.0, 60.0, 300.0, 30.0, 330.0, 0.0)
"""Where a label stands from its hole, from the ray outward on: inward first."""
_ONE_WAY = (180.0, 0.0, 150.0, 210.0, 90.0, 270.0)
"""Where all labels of a circle stand, tried in turn."""
LabelRule: TypeAlias = tuple[tuple[float, float], Sequence[float]]
"""Heights of number and size in mm, and where labels stand from their holes, from the ray outward on."""
_RULES: tuple[LabelRule, ...] = tuple(
    rule
    for heights in (_HEIGHTS[:-1], _HEIGHTS[-1:])
    for rule in (*product(heights, ((turn,) for turn in _ONE_WAY)), *product(heights, (_TURNS,)))
)
"""In the order in which they are tried: small letters last."""
_FARTHER = (0.0, 2.5, 5.0)
_NEARER = 1.5
"""How many times nearer to the middle of its hole than to that of any other a number stands."""
_MOST_LABELED, _MOST_OF_GRID = 600, 60
"""Holes of a plate, and of a grid or of rings of tubes, beyond which none has words beside it."""
_TOP_HEIGHT, _TOP_STEP, _MOST_DOWN = 5.0, 4.0, 60
_LARGEST_DRILL_START = 8.0
_IN_HOLE_HEIGHTS = (3.0, 2.5)
_LABEL_OUTSIDE = 2.0
_SMALL = 80.0
"""Largest side in mm of a plate that every page shows with room all round."""
PUNCH_GAP = 2.2
"""Half the opening of a center cross in mm: the punch seats in the free middle where the strokes point."""


class LabelRoom(Struct, frozen=True):
    """What words heed on pages beside the lines of the plate.

    Attributes:
        pages: What each shows; empty where one shows all.
        seams: Where they are cut and joined, with the marks and words there: labels keep off it where they can.
        rays: Directions in degrees of lines from the middle of the plate that no label stands on, with their ends.
        half_deg: How far to either side of straight up, seen from there, labels may stand; 0 where all round.
        band: How far from the middle, in mm.
    """

    pages: tuple[Box, ...] = ()
    seams: tuple[Box, ...] = ()
    rays: tuple[tuple[float, float], ...] = ()
    half_deg: float = 0.0
    band: tuple[float, float] = (0.0, math.inf)


WHOLE = LabelRoom()
"""Of a plate on one page."""


class PlateWords(Struct, frozen=True, gc=False):
    """What stands at one place of a plate.

    Attributes:
        said: Number and size of a hole, or TOP with its arrow.
        box: What they take, in mm of the plate.
        hole: Whose they are; ``None`` of TOP.
    """

    said: tuple[Label | Solid, ...]
    box: Box
    hole: Hole | None

    @property
    def has_size(self) -> bool:
        """Whether the size of a hole stands under its number."""
        return self.hole is not None and len(self.said) > 1

    def items(self) -> Iterator[Item]:
        """The words as they are drawn."""
        source = HoleRef(self.hole.label) if self.hole else Furniture("top")
        return (Item(Layer.TEXT, what, source) for what in self.said)


def drill_start_diameter(hole_diameter: float) -> float:
    """Diameter of the inner proof circle in mm: a third of the hole, 8 mm at most, the punch gap at least.

    A drill that wanders shows against it while it can still be drawn back (common practice, no source).
    """
    return max(min(hole_diameter / 3, _LARGEST_DRILL_START), min(2 * PUNCH_GAP, hole_diameter / 2))


def plate_words(flange: Flange, unit: Unit) -> tuple[PlateWords, ...]:
    """TOP, then number and size of every hole that has room for them."""
    places = _Places(flange, unit)
    words = places.top(), *places.of_holes(flange.shown_holes())
    return tuple(each for each in words if each)


def piece_words(flange: Flange, holes: Sequence[Hole], unit: Unit, room: LabelRoom) -> tuple[PlateWords, ...]:
    """Number and size of some holes of a plate, of those that have room for them on a piece of it."""
    return tuple(each for each in _Places(flange, unit, room).of_holes(holes) if each)


def words_on_pages(words: Sequence[PlateWords], flange: Flange, unit: Unit, room: LabelRoom) -> tuple[PlateWords, ...]:
    """Words of a plate, those on a seam moved off it where there is room; so no page lacks what the whole plate has.

    Among holes that are too many to have labels beside them, all stay where they are.
    """
    if len(flange.shown_holes()) > _MOST_LABELED:
        return tuple(words)
    places = _Places(flange, unit, room)
    for each in words:
        places.take(each.box)
    return tuple(
        each if places.is_off_seams(each.box) else places.moved(each, index) for index, each in enumerate(words)
    )


class _Places:
    """Places for words on a plate; each that is given is taken for those that follow."""

    def __init__(self, flange: Flange, unit: Unit, room: LabelRoom = WHOLE) -> None:
        """Nothing stands there yet but the lines of the plate."""
        self.flange, self.unit, self.room = flange, unit, room
        self._are_labeled = len(flange.shown_holes()) <= _MOST_LABELED
        self._circles = [each for hole in flange.shown_holes() for each in hole_circles(hole, cross_past(flange, hole))]
        counts = Counter(hole.group for hole in flange.shown_holes() if is_tube(flange, hole))
        self._packed = {group for group, count in counts.items() if count > _MOST_OF_GRID}
        self._reach = BoxIndex()
        for at, radius, reach in self._circles:
            self._reach.add(box_around((at,)).grown(max(radius, reach)))
        self._neighbors = Neighbors((at.x, at.y) for at, _, _ in self._circles)
        self._seams, self._taken, self._own = BoxIndex(), BoxIndex(), -1
        for seam in room.seams:
            self._seams.add(seam)
        circles = (group for group in flange.groups() if isinstance(group, BoltCircle))
        self._radii = [circle.diameter / 2 for circle in circles]
        others = (number for number, group in flange.shown_groups() if not isinstance(group, BoltCircle))
        lines = chain.from_iterable(pattern_lines(flange, number) for number in others)
        self._lines = [part for line in lines for part in (line.parts if isinstance(line, Contour) else (line,))]
        self._uprights = [line.start.x for line in disc_centerlines(flange, 0.0)]

    def take(self, box: Box) -> None:
        """Leave a place to what stands there."""
        self._taken.add(box)

    def is_off_seams(self, box: Box) -> bool:
        """Whether one page shows a box whole, and no seam runs there."""
        shown = not self.room.pages or any(holds_box(page, box) for page in self.room.pages)
        return shown and not self._seams.touching(box) and (not self.room.half_deg or self._is_on_piece(box))

    def _is_on_piece(self, box: Box) -> bool:
        """Whether a box stands between the two rays of a piece of a ring, and in its band."""
        (near, far), (inner, outer), half = distances(box), self.room.band, self.room.half_deg
        right, left = off_ray(box, 90.0 - half), off_ray(box, 90.0 + half)
        return (
            near - WORD_CLEAR >= inner and far + WORD_CLEAR <= outer and right[0] >= _OFF_RAY and left[1] <= -_OFF_RAY
        )

    def of_holes(self, holes: Sequence[Hole]) -> "Iterator[PlateWords | None]":
        """Number and size of every hole, the circles one after the other; beside those of a grid if all have room."""
        for group, some in groupby(holes, key=lambda hole: hole.group):
            together = list(some)
            rule = self.rule(together) if group >= 0 else None
            if rule is None and is_tube(self.flange, together[0]):
                self._packed.add(group)
            yield from (self.beside(hole, rule) or self._within(hole) or self.outside(hole) for hole in together)

    def _within(self, hole: Hole) -> PlateWords | None:
        """The hole's number in the hole, if there is room in it and the page shows that."""
        found = _within(hole)
        return found if found and self.is_off_seams(found.box) else None

    def moved(self, words: PlateWords, index: int) -> PlateWords:
        """Words in another place, off the seams, a number in its hole if nowhere else; where they are if there is none.

        Args:
            words: What is moved.
            index: Of their place in the order in which places were taken: it is free to them alone.
        """
        self._own = index
        if words.hole is None:
            return self.top() or words
        heights = [what.height_paper for what in words.said if isinstance(what, Label)]
        rule = ((heights[0], heights[1]), _TURNS) if len(heights) > 1 else None
        return self.beside(words.hole, rule) or self._within(words.hole) or words

    def rule(self, holes: Sequence[Hole]) -> LabelRule | None:
        """The heights of the labels of a circle, and on which side of its ray each stands: one for all if it can be.

        Nothing where not all have room for a label of any height.
        """
        if holes[0].group in self._packed or not self._are_labeled:
            return None
        texts = [(hole, (hole.label, size_words(hole, self.unit))) for hole in holes]
        for heights, turns in _RULES:
            if all(self._placed(hole, said, heights, turns) for hole, said in texts):
                return heights, turns
        return None

    def beside(self, hole: Hole, rule: LabelRule | None = None) -> PlateWords | None:
        """Number and size of a hole, by a rule if it can be; nothing without room, or among too many holes."""
        if hole.group in self._packed or not self._are_labeled or not self._placed(hole, (hole.label,), _ALONE[-1:]):
            return None
        size = size_words(hole, self.unit)
        ways = (*((rule, (rule[0], _TURNS)) if rule else ()), *((heights, _TURNS) for heights in _HEIGHTS))
        parts = size.split(", ")
        for lines, (heights, turns) in product(([size], parts) if len(parts) > 1 else ([size],), ways):
            if box := self._placed(hole, (hole.label, *lines), (heights[0], *(heights[1] for _ in lines)), turns):
                self.take(box)
                return PlateWords((_number(hole, box, heights[0]), *_size_lines(box, lines, heights[1])), box, hole)
        for height in _ALONE:
            if box := self._placed(hole, (hole.label,), (height,)):
                self.take(box)
                return PlateWords((_number(hole, box, height),), box, hole)
        return None

    def outside(self, hole: Hole) -> PlateWords | None:
        """A hole's number right outside of it, whatever lines are there; nothing where another hole is as near."""
        if is_tube(self.flange, hole):
            return None
        height = _ALONE[-1]
        half = Point(text_width(hole.label, height) / 2, height / 2)
        if at := self._off_plate(hole, half):
            return _number_at(hole, at, height)
        first = _free_diagonal(hole.angle)
        for diagonal in (first, first + 90.0, first - 90.0, first + 180.0)[: 4 if self.room.half_deg else 1]:
            beside = polar(hole.reach + _LABEL_OUTSIDE, diagonal, hole.center)
            right, up = math.copysign(half.x, beside.x - hole.center.x), math.copysign(half.y, beside.y - hole.center.y)
            found = _number_at(hole, beside + Point(right, up), height)
            if self._belongs(hole, found.box.center) and self.is_off_seams(found.box):
                return found
        return None

    def _off_plate(self, hole: Hole, half: Point) -> Point | None:
        """Where a number ``half`` so wide and high stands on the ray of its hole beyond a small plate's rim."""
        if max(self.flange.box().width, self.flange.box().height) > _SMALL:
            return None
        for step in range(int(_SMALL / 4)):
            at = polar(hole.reach + _LABEL_OUTSIDE + step, hole.angle, hole.center)
            box = Box(at.x - half.x, at.y - half.y, at.x + half.x, at.y + half.y)
            if self._is_clear(box) and self._is_off_metal(box) and self._belongs(hole, at):
                self.take(box)
                return at
        return None

    def _placed(
        self, hole: Hole, texts: Sequence[str], heights: Sequence[float], turns: Sequence[float] = _TURNS
    ) -> Box | None:
        """Where texts of these heights, one under the other, find room beside a hole."""
        width = max(text_width(text, height) for text, height in zip(texts, heights, strict=True))
        height = sum(heights) + _BETWEEN * (len(heights) - 1)
        for center in _places(hole, width, height, turns):
            box = Box(center.x - width / 2, center.y - height / 2, center.x + width / 2, center.y + height / 2)
            number = Point(center.x, box.top - heights[0] / 2)
            if self._is_free(box) and self._is_off_rays(box) and self._belongs(hole, number):
                return box
        return None

    def _is_off_rays(self, box: Box) -> bool:
        """Whether no ray that is drawn runs through a box."""
        near = distances(box)[0] - WORD_CLEAR if self.room.rays else 0.0
        sides = (off_ray(box, ray) for ray, end in self.room.rays if near < end)
        return all(low > WORD_CLEAR or high < -WORD_CLEAR for low, high in sides)

    def _belongs(self, hole: Hole, at: Point) -> bool:
        """Whether a number there stands nearer to its own hole than to any other, by :data:`_NEARER`."""
        return self._neighbors.is_nearest(at, [middle for middle, _, _ in hole_circles(hole, 0.0)], _NEARER)

    def top(self) -> PlateWords | None:
        """TOP with an arrow upward beside the upright centerline, as high as there is room; else nothing.

        On the metal; or off it, as between two lugs or in the bore; or else aside.
        """
        box, width = self.flange.box(), text_width("TOP", _TOP_HEIGHT)
        half = min(int(box.height / 2 / _TOP_STEP), _MOST_DOWN) if box.left < 0.0 < box.right else 0
        aside = [part * box.width / 12 for part in (1, -1, 2, -2, 3, -3)]
        beside = product(range(half), (True, False), (width, 5.0 - width))
        places = chain(beside, product(range(10), (True,), (width, *aside)))
        for down, on_metal, right in places:
            x, top = box.center.x + right, box.top - _TOP_STEP * (down + 0.75)
            room = Box(x - width / 2 - 5.0, top - _TOP_HEIGHT, x + width / 2, top)
            if self._is_free(room, on_metal):
                self.take(room)
                return PlateWords(tuple(_top_words(room, right < 0.0)), room, None)
        return None

    def _is_free(self, box: Box, on_metal: bool = True) -> bool:
        """Whether nothing stands in a box or runs through it that is on the metal, or off it."""
        grown = box.grown(WORD_CLEAR)
        if grown.left < 0.0 < grown.right or grown.bottom < 0.0 < grown.top:
            return False
        if self._uprights and any(grown.left < x < grown.right for x in self._uprights):
            return False
        return self._is_clear(box) and (self._is_on_metal(box) if on_metal else self._is_off_metal(box))

    def _is_clear(self, box: Box) -> bool:
        """Whether a box meets no other words, no seam, no hole and no bolt circle."""
        grown = box.grown(WORD_CLEAR)
        if any(index != self._own for index in self._taken.touching(grown)) or not self.is_off_seams(box):
            return False
        if any(meets(box, *self._circles[index]) for index in self._reach.touching(grown)):
            return False
        near, far = distances(box)
        if any(near - WORD_CLEAR < radius < far + WORD_CLEAR for radius in self._radii):
            return False
        return not any(runs_through(line, grown) for line in self._lines)

    def _is_on_metal(self, box: Box) -> bool:
        on_metal = any(holds(piece, box.corners) for piece in self.flange.pieces())
        return on_metal and all(is_off(opening.shape, box) for opening in self.flange.cutouts())

    def _is_off_metal(self, box: Box) -> bool:
        in_opening = any(holds(opening.shape, box.corners) for opening in self.flange.cutouts())
        return in_opening or all(is_off(piece, box) for piece in self.flange.pieces())


def _top_words(room: Box, is_left: bool) -> Iterator[Label | Solid]:
    """An arrow and TOP, the arrow on the side of the centerline."""
    tip = Point(room.right - 2.0 if is_left else room.left + 2.0, room.top)
    yield Solid((tip, Point(tip.x - 2.0, room.bottom), Point(tip.x + 2.0, room.bottom)))
    yield Label(Point(room.left + (0.0 if is_left else 5.0), room.bottom), "TOP", _TOP_HEIGHT)


def _within(hole: Hole) -> PlateWords | None:
    """The hole's number in a quarter of the hole that its bolt circle leaves free; nothing if it is too small."""
    radius, start = hole.diameter / 2, drill_start_diameter(hole.diameter) / 2
    diagonal = _free_diagonal(hole.angle)
    for height in _IN_HOLE_HEIGHTS:
        half_width, half_height = text_width(hole.label, height) / 2, height / 2
        reach = (radius + start) / 2 / math.sqrt(2)
        outer = math.hypot(reach + half_width, reach + half_height)
        inner = math.hypot(max(reach - half_width, 0.0), max(reach - half_height, 0.0))
        if outer < radius - 0.5 and inner > start + 0.3 and reach - half_width > 0.5:
            return _number_at(hole, polar(reach * math.sqrt(2), diagonal, hole.center), height)
    return None


def _free_diagonal(angle: float) -> float:
    """Of 45, 135, 225 and 315 degrees the one nearest to pointing away from the center of the plate."""
    return 45.0 + 90.0 * math.floor(angle % 360.0 / 90.0)


def _number_at(hole: Hole, middle: Point, height: float) -> PlateWords:
    label = Label(middle, hole.label, height, 0.0, Anchor.MIDDLE)
    return PlateWords((label,), label_box(label), hole)


def _number(hole: Hole, box: Box, height: float) -> Label:
    return Label(Point(box.center.x, box.top - height), hole.label, height, 0.0, Anchor.CENTER)


def _size_lines(box: Box, lines: Sequence[str], height: float) -> Iterator[Label]:
    """The lines of a hole's size at the foot of what its words take."""
    for above, line in zip(reversed(range(len(lines))), lines, strict=True):
        yield Label(Point(box.center.x, box.bottom + above * (height + _BETWEEN)), line, height, 0.0, Anchor.CENTER)


def _places(hole: Hole, width: float, height: float, turns: Sequence[float]) -> Iterator[Point]:
    """Middles of a label at the side of its hole, the nearest first."""
    is_slot = isinstance(hole.kind, Slot)
    radius = (hole.diameter / 2 if is_slot else hole.reach) + WORD_CLEAR
    farther = (*_FARTHER, *(7.5 + 2.5 * step for step in range(int(hole.reach / 2.5)))) if is_slot else _FARTHER
    for more in farther:
        for turn in turns:
            direction = hole.angle + turn
            yield polar(clear_step(radius, direction, width / 2, height / 2) + more, direction, hole.center)


def clear_step(radius: float, direction: float, wide: float, high: float) -> float:
    """How far along a direction the middle of a box has to go from that of a circle to be just clear of it.

    Args:
        radius: Of the circle in mm.
        direction: In degrees.
        wide: Half the width of the box in mm.
        high: Half its height.
    """
    across, up = abs(math.cos(math.radians(direction))), abs(math.sin(math.radians(direction)))
    if across > 0 and (aside := (radius + wide) / across) * up <= high:
        return aside
    if up > 0 and (over := (radius + high) / up) * across <= wide:
        return over
    corner = across * wide + up * high
    return corner + math.sqrt(corner**2 - wide**2 - high**2 + radius**2)


def is_tube(flange: Flange, hole: Hole) -> bool:
    """Whether a hole is one of a pattern of tubes."""
    return hole.group >= 0 and flange.groups()[hole.group].tubes


def cross_past(flange: Flange, hole: Hole) -> float:
    """How far in mm the strokes of a hole's cross stand out beyond it."""
    radius = hole.diameter / 2
    return min(_CROSS_PAST_HOLE, radius * (_OF_TUBES if is_tube(flange, hole) else 1.0))


def hole_circles(hole: Hole, past: float) -> Iterator[tuple[Point, float, float]]:
    """Middle, radius and reach of the cross of every place to punch; between the ends of a slot the reach is that."""
    spine, radius = hole.spine, hole.diameter / 2
    if isinstance(spine, Point):
        yield spine, hole.reach, radius + past
        return
    parts = max(1, math.ceil(spine.start.distance_to(spine.end) / radius))
    for part in range(parts + 1):
        yield _along(spine, part / parts), radius, radius + (past if part in (0, parts) else 0.0)


def _along(spine: Line | Arc, share: float) -> Point:
    if isinstance(spine, Arc):
        return polar(spine.radius, spine.start_deg + spine.sweep_deg * share, spine.center)
    return spine.start + (spine.end - spine.start).scaled(share)


def size_words(hole: Hole, unit: Unit) -> str:
    """What a hole is in a few signs: ``⌀22``, ``⌀10 H7``, a slot's width and length, a thread with its drill."""
    drilled = f"{DIAMETER_SIGN}{size_text(hole.diameter, unit)}"
    match hole.kind:
        case Tapped() | Jack():
            return f"{hole.kind.thread}, {drilled}"
        case Slot():
            return f"{size_text(hole.diameter, unit)}{Lengths(unit).by}{size_text(hole.kind.length, unit)}"
        case Dowel():
            return f"{drilled} {hole.kind.fit}"
        case Drilled() | Countersunk() | Counterbored() | Spotfaced():
            return drilled
        case _:
            assert_never(hole.kind)
