"""Leaders that say what each pattern of holes is, placed so that they cross no text."""

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from copy import copy
from functools import cache, cached_property, partial
from itertools import chain, filterfalse, islice, product, tee

from msgspec import Struct

from flangelayout.checks.dimensioned import alike_single_holes, has_legend
from flangelayout.drawing.explode import LINE_PITCH, SHELF, explode, items_box, without_extensions
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item, Label, Leader
from flangelayout.drawing.references import Furniture, GroupRef, HoleRef
from flangelayout.drawing.textwidth import text_width, wrapped
from flangelayout.flange import BoltCircle, Flange, Hole
from flangelayout.geometry.measure import spine_distance
from flangelayout.geometry.pieces import meet
from flangelayout.geometry.shapes import ORIGIN, Box, Line, Point, box_around, polar
from flangelayout.views.page.text_clearance import Ink, corners_of
from flangelayout.views.sheet.face import CUTTING_PLANE, hole_rim
from flangelayout.views.sheet.look import Look, placed_apart
from flangelayout.views.sheet.sizes.features import hole_size, single_hole_lines
from flangelayout.views.sheet.sizes.placing import leaders_to
from flangelayout.views.sheet.sizes.wishes import SaidSize
from flangelayout.views.words.call_outs import group_call_out, is_dimensioned, named_call_out
from flangelayout.views.words.holes import clean_up
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.plate import single_hole_call_out

_FIRST, _STEP, _TRIES, _STRICT_TRIES = 11.0, 2.0, 24, 12
_BETWEEN = 2.0
_WIDEST, _MOST_LINES = 92.0, 7
_FAR_AWAY = 75.0
_LEADER_ANGLES = (68.0, 34.0, 18.0, 110.0)
_ONE_LEADER_ANGLE = (60.0,)
_MOST_TIPS = 12
_OF_SIZES = (Layer.DIMENSION, Layer.CUTTING_PLANE)
_SHARES = (0.45, 0.35, 0.55, 0.25, 0.65, 0.15, 0.1, 0.75, 0.05, 0.85, 0.95, 1.05, 1.15)
"""Of the way from the center to the side: where a leader begins whose usual places all lead over sizes."""
_PAST_MIDDLE = (0.03, 0.05, 0.065, 0.08, 0.11, 0.14, 0.2)
"""Of the way to the right side: where a leader ends whose text stands over the middle, so as to keep off the angles."""
_ALONE = 1.5
"""Printed mm from such a text to TOP, and from the words of any leader to others, if that can be."""
_MOST_CLEAR = 60
"""Places of a leader whose words are read with others that are passed over for one where they are not."""
_TOUCH = 1e-3
"""Mm by which lines that touch may miss each other by rounding, and more."""
_PAST_HOLE = 1.5
"""Printed mm from a leader to a hole that it does not speak of."""
_APART = 4.0
"""Printed mm from the words of a pattern beside the plate to those of a size, if that can be."""
_CORNER = 34.0
"""Printed mm lower: a leader's words may stand beside a plate that is not round, in the corner of its box."""
_SPARE = 15.0
"""Printed mm that a view may be wider so that a leader runs over no size."""
_LONGEST, _LONGEST_APART = 70.0, 90.0
"""Printed mm of a leader from hole to landing; where it would be longer another hole is led to; at most, off sizes."""


class CallOuts(Struct, frozen=True):
    """Leaders and what they leave out.

    Attributes:
        items: The leaders.
        in_list: Patterns that found no place for one: they are told in a list.
        crossings: How many leaders run over measures or the section's plane, and how many over any line of a size.
    """

    items: tuple[Item, ...]
    in_list: tuple[int, ...]
    crossings: tuple[int, int] = (0, 0)


def call_out_items(
    look: Look, ink: Ink, holes: tuple[Hole, ...], others: Sequence[Item], reach: Box, section_left: float
) -> tuple[CallOuts, ...]:
    """Leaders above the plate, the last pattern lowest; none crosses another one or the section.

    Those of which fewest run over sizes; after them those that take the least room, where they are others.

    Args:
        look: What is drawn.
        ink: What stands there already.
        holes: Of the plate.
        others: The items that stand there; texts stay within their reach to the right where they can.
        reach: Their box, in mm.
        section_left: Where the section begins, in mm; infinite where there is none.
    """
    groups = tuple(range(len(look.flange.groups())))
    if has_legend(look.flange):
        return (CallOuts((), groups),)
    usual = _LEADER_ANGLES if len(groups) > 1 else _ONE_LEADER_ANGLE
    lower_right_first = tuple(sorted(usual[: len(groups)]))
    ways = ((groups[::-1], usual), (groups, usual), (groups, lower_right_first))[: 3 if len(groups) > 1 else 1]

    @cache
    def beside(wish: SaidSize) -> Iterator[Item]:
        """Found once for all stacks, as far as one of them asks: a copy begins at the first."""
        return tee(_beside(look, wish, reach, section_left), 1)[0]

    tried: list[_Stack] = []
    for spare, (order, angles) in chain(product((None,), ways), product((0.0, _SPARE), ways[::-1])):
        stack = _Stack(look, holes, others, reach, beside, spare)
        least = min((each.faults() for each in tried), default=_FAULTS)
        if stack.fill(ink.copy(), order, angles, least if spare is not None else (least[0], *_FAULTS[1:])):
            tried.append(stack)
            if stack.is_good() and (spare is None or len(groups) > 1):
                break
    small = min((stack for stack in tried if stack.spare is None), key=_Stack.cost)
    slim = min((stack for stack in tried if not stack.spare), key=_Stack.wide_cost)
    stacks = dict.fromkeys((min(tried, key=_Stack.wide_cost), slim, small))
    return tuple(CallOuts(tuple(each.items), tuple(sorted(each.left_out)), each.crossings) for each in stacks)


def legend_lines(flange: Flange, lengths: Lengths, told: Iterable[int]) -> tuple[str, ...]:
    """What the patterns are that no leader leads to; single holes too where no hole is led to."""
    groups = (named_call_out(flange, group, lengths, is_dimensioned=is_dimensioned(flange, group)) for group in told)
    alike = alike_single_holes(flange) if has_legend(flange) else ()
    return (*groups, *(", ".join(single_hole_call_out(each, flange, lengths, in_table=True)) for each in alike))


def call_out_lines(look: Look, group: int) -> tuple[str, ...]:
    """A pattern's call-out, led by its letter."""
    flange, lengths = look.flange, look.lengths
    first, *rest = group_call_out(flange, group, lengths, is_dimensioned=is_dimensioned(flange, group))
    letter, seat = flange.group_letter(group), clean_up(flange.groups()[group].drilling.kind)
    lines = (f"{letter}: {first}{seat}" if letter else f"{first}{seat}", *rest)
    return tuple(part for line in lines for part in wrapped(line, _WIDEST, look.letter))


def _near(holes: list[Hole], angle: float, serves: Callable[[Hole], bool] | None = None) -> list[Hole]:
    """Holes that serve, in the order of how near they are to a direction; far ones only where there is no other."""

    def away(hole: Hole) -> float:
        return abs((hole.angle - angle + 180.0) % 360.0 - 180.0)

    in_order = list(islice(filter(serves, sorted(holes, key=away)), _MOST_TIPS))
    return [hole for hole in in_order if away(hole) <= _FAR_AWAY] or in_order


def _outermost(holes: Sequence[Hole]) -> Callable[[Hole], bool]:
    """Whether no hole of a group lies farther out in the direction of one: so it is with all of a circle."""
    reach = 2 * max((ORIGIN.distance_to(hole.center) for hole in holes), default=0.0)
    return lambda hole: not _crosses(Line(hole.center, hole.center + polar(reach, hole.angle)), holes)


def _is_on_axis(hole: Hole) -> bool:
    """Whether a hole lies on a centerline: then no ray of an angle leads to it."""
    return abs((hole.angle + 45.0) % 90.0 - 45.0) < 0.05


_FAULTS = (math.inf, math.inf, math.inf)


class _Stack:
    """Leaders one above the other, from the lowest."""

    def __init__(
        self,
        look: Look,
        holes: tuple[Hole, ...],
        others: Sequence[Item],
        reach: Box,
        beside: Callable[[SaidSize], Iterator[Item]],
        spare: float | None,
    ) -> None:
        """Begin above the plate.

        Args:
            look: What is drawn.
            holes: Of the plate.
            others: The items that stand there.
            reach: Their box, in mm.
            beside: Leaders to anywhere beside a plate that no view is too small for, to be copied.
            spare: Printed mm that the view may be wider, and higher at will, so that leaders keep off sizes; ``None``
                where it may not.
        """
        self.look, self.holes = look, holes
        self.reach = reach
        self.spare, self.right = spare, self.reach.right + look.real(spare or 0.0)
        self.items: list[Item] = []
        self.left_out: list[int] = []
        self.crossings = (0, 0)
        self.lines: list[Line] = []
        for each in others:
            self.lines += _lines(each.what, look.scale) if isinstance(each.what, Leader) else ()
        self.of_sizes = [each for each in others if each.layer in _OF_SIZES and not isinstance(each.what, Leader)]
        self.sizes, self.plane = Ink(look.scale), Ink(look.scale)
        self.sizes.add(self.of_sizes)
        self.plane.add(each for each in others if each.source == CUTTING_PLANE)
        self.beside = beside
        self.floor = look.box.top + look.real(_FIRST)

    def fill(self, ink: Ink, order: Sequence[int], angles: Sequence[float], most: tuple[float, ...]) -> bool:
        """Leaders to patterns, each to a hole near its angle, the first of an order lowest; then to single holes.

        Args:
            ink: What stands there already; leaders are taken in.
            order: Of the patterns.
            angles: Of each, in degrees.
            most: The faults that it may have, as :meth:`faults` counts them; whether it has no more is returned.
        """
        look = self.look
        for group in order:
            own = [hole for hole in self.holes if hole.group == group]
            is_circle = isinstance(look.flange.groups()[group], BoltCircle)
            own = _near(own, angles[group], None if is_circle else _outermost(own))
            text, source = call_out_lines(look, group), GroupRef(group)
            if own and not self._is_led(ink, own, text, source):
                self.left_out.append(group)
            if self.faults() > most:
                return False
        for alike in alike_single_holes(look.flange):
            single, hole = single_hole_lines(look, alike), HoleRef(alike[0].label)
            self._is_led(ink, _near(list(alike), _LEADER_ANGLES[0]), single, hole, beside=alike)
        return self.faults() <= most

    def _is_led(
        self, ink: Ink, tips: list[Hole], text: tuple[str, ...], source: HoleRef | GroupRef, beside: Sequence[Hole] = ()
    ) -> bool:
        """Lead to a hole from above the plate, else from beside; to what none leads to from above, over no measure."""
        may_rise = isinstance(source, HoleRef) or len(text) <= _MOST_LINES
        leader = self._above(ink, tips, text) if may_rise else None
        is_good = leader and not self._is_over_plane(leader)
        off_measures = leader is None and isinstance(source, GroupRef)
        if not is_good and self.add_beside(ink, beside or tips, text, source, off_measures=off_measures):
            return True
        if leader:
            item = Item(Layer.DIMENSION, leader, source)
            ink.add((item,))
            self._keep(item)
            if leader.to_right:
                self.floor = self._raised_to(leader)
        return leader is not None

    def faults(self) -> tuple[float, ...]:
        """How many patterns no leader leads to, how many leaders run over measures, how many over any size."""
        return len(self.left_out), *self.crossings

    def _above(self, ink: Ink, tips: list[Hole], text: tuple[str, ...]) -> Leader | None:
        """A leader from above the plate to one of the holes, off sizes if it can be, or at least off the plane."""
        leader = _first_clear(ink, self._leaders(ink, tips, text))
        if leader is None or self._is_over_sizes(leader):
            ways = (_first_clear(ink, leaders) for leaders in self._leaders_off_sizes(ink, tips, text))
            leader = min(filter(None, ways), key=self._raised_to, default=leader)
            if leader and self._is_over_plane(leader):
                off_plane = filterfalse(self._is_over_plane, self._leaders(ink, tips, text))
                leader = _first_clear(ink, off_plane) or leader
        return leader

    def _raised_to(self, leader: Leader) -> float:
        """Where the next leader on the right begins; of one to the left where its text is at its middle."""
        high = len(leader.text) * self.look.letter * LINE_PITCH / 2 + _BETWEEN
        return leader.elbow.y + (self.look.real(high) if leader.to_right else 0.0)

    def add_beside(
        self,
        ink: Ink,
        tips: Sequence[Hole],
        text: tuple[str, ...],
        source: HoleRef | GroupRef,
        *,
        off_measures: bool = False,
    ) -> bool:
        """A leader to anywhere beside the first of the holes, if there is a place; a pattern's makes no view wider."""
        items = copy(self.beside(hole_size(tuple(tips), text, source)))
        free = (item for item in items if self._serves_beside(item, tips[0], off_measures=off_measures))
        ways = zip((_APART, 0.0), tee(free, 2), strict=True)
        options = ((item,) for apart, every in ways for item in every if _is_alone(_leader_of(item), ink, apart))
        option = placed_apart(ink, options, self.sizes, self.reach.right) or ()
        for item in option:
            self._keep(item)
        return bool(option)

    def _serves_beside(self, item: Item, own: Hole, *, off_measures: bool) -> bool:
        """Whether a leader to a hole or one like it meets no other and misleads nobody."""
        leader = _leader_of(item)
        if self._meets_others(leader) or self._misleads(Line(leader.tip, leader.elbow), own):
            return False
        return not (self._is_over_plane(leader) or (off_measures and self._is_over_measures(leader)))

    def is_good(self) -> bool:
        """Whether every pattern is led to, over no size, and the view is no wider for it."""
        left_out, width, _, over = self.cost()
        return not left_out and width <= self.reach.width and not any(over)

    def wide_cost(self) -> tuple[int, tuple[int, int], float, float]:
        """As :meth:`cost`, the size last, its height first."""
        left_out, width, top, over = self.cost()
        return left_out, over, top, width

    def cost(self) -> tuple[int, float, float, tuple[int, int]]:
        """How many patterns are led to by no leader, how wide and high the view is, what leaders run over."""
        boxes = [self.reach, *([items_box(self.items, self.look.scale)] if self.items else ())]
        width = max(box.right for box in boxes) - min(box.left for box in boxes)
        return len(self.left_out), width, max(box.top for box in boxes), self.crossings

    def _keep(self, item: Item) -> None:
        """Take in a leader that stands in the ink."""
        leader = _leader_of(item)
        self.items.append(item)
        if self._is_over_sizes(leader):
            through, over = self.crossings
            self.crossings = through + self._is_over_measures(leader), over + 1
        self.lines += _lines(leader, self.look.scale)

    def _leaders(self, ink: Ink, tips: list[Hole], text: tuple[str, ...]) -> Iterator[Leader]:
        """Leaders to try: low ones first, to the right, no wider than the view if they can, then to the left.

        First those clear of other holes.
        """
        look, box = self.look, self.look.box
        width = look.real(SHELF + 1.0 + max(text_width(line, look.letter) for line in text))
        half = look.real(len(text) * look.letter * LINE_PITCH / 2)
        inward = max(min(box.right * 0.42, self.reach.right - width), box.left * 0.2)
        places = (inward, *(box.right * share for share in (0.75, 0.25, 0.55)))
        narrow = tuple((x, True) for x in places if x + width <= self.reach.right)
        rights, left = tuple((x, True) for x in places), look.real(look.left) + width
        lefts = tuple((x, False) for x in (box.left * 0.42, box.left * 0.2) if x >= left)
        above = [hole for hole in tips if hole.center.y > box.center.y - box.height / 100] or tips
        plain = [hole for hole in above if hole.number > 1 or _is_on_axis(hole)] or above
        tries = (
            (narrow, plain, True),
            (rights, plain, True),
            (lefts, plain, True),
            ((*rights, *lefts), above, False),
            (rights, tips, False),
        )
        for sides, ends, strict in tries:
            low = self.floor if sides is not lefts else box.top + look.real(_FIRST)
            yield from self._rising(ink, text, low + half, sides, ends, strict=strict)

    def _leaders_off_sizes(self, ink: Ink, tips: Sequence[Hole], text: tuple[str, ...]) -> Iterator[Iterator[Leader]]:
        """Leaders at many more places over the view that keep off the lines of sizes: by where their texts stand."""
        look, box = self.look, self.look.box
        width = look.real(SHELF + 1.0 + max(text_width(line, look.letter) for line in text))
        half = look.real(len(text) * look.letter * LINE_PITCH / 2)
        plain = [hole for hole in tips if hole.number > 1 or _is_on_axis(hole)]
        rights = [(box.right * share, True) for share in _SHARES if box.right * share + width <= self.right]
        lefts = [(box.left * share, False) for share in _SHARES if box.left * share - width >= self.reach.left]
        shares = () if self.spare is None else _PAST_MIDDLE
        over = [(box.right * share, False) for share in shares if box.right * share - width >= self.reach.left]
        above = box.top + look.real(_FIRST)
        ways = [(over, above, plain), (rights, self.floor, plain), (lefts, above, plain)]
        if not look.flange.round_diameter:
            corner = Point(box.left, box.top)
            near = sorted(plain, key=lambda hole: hole.center.distance_to(corner))
            ways.append((lefts, above - look.real(_CORNER), near))
        for sides, low, ends in ways:
            rising = self._rising(ink, text, low + half, sides, ends, strict=True)
            apart = (leader for leader in rising if not self._is_over_sizes(leader))
            yield apart if sides is not over else (leader for leader in apart if _is_alone(leader, ink))

    def _rising(
        self,
        ink: Ink,
        text: tuple[str, ...],
        low: float,
        sides: Sequence[tuple[float, bool]],
        ends: Sequence[Hole],
        *,
        strict: bool,
    ) -> Iterator[Leader]:
        """Leaders whose elbows stand at some places and lead to some side, from a height upward."""
        look = self.look
        for step in range(_STRICT_TRIES if strict else _TRIES):
            elbows = [(Point(x, low + look.real(_STEP * step)), to_right) for x, to_right in sides]
            free = [(at, way) for at, way in elbows if not _text_meets(Leader(at, at, text, way, look.style), ink)]
            ways = chain(product(ends, free[:1]), product(ends, free[1:]))
            leaders = ((Leader(hole_rim(hole, at), at, text, way, look.style), hole) for hole, (at, way) in ways)
            yield from (leader for leader, hole in leaders if self._is_fit(leader, hole, strict))

    def _is_over_sizes(self, leader: Leader) -> bool:
        """Whether a leader's line meets a line, an arc or an arrow of a size or of the section's plane."""
        return self.sizes.is_near(Line(leader.tip, leader.elbow))

    def _is_over_plane(self, leader: Leader) -> bool:
        """Whether a leader's line meets or nearly meets an arrow, a letter or an end of the section's plane."""
        return self.plane.is_near(Line(leader.tip, leader.elbow), 0.0)

    def _is_over_measures(self, leader: Leader) -> bool:
        """As :meth:`_is_over_sizes`, extension lines aside."""
        return self._measures.is_near(Line(leader.tip, leader.elbow))

    @cached_property
    def _measures(self) -> Ink:
        """What measures, of the sizes and the section's plane: asked for only where a leader runs over one of them."""
        measures = Ink(self.look.scale)
        measures.add(map(without_extensions, filterfalse(_is_extension, self.of_sizes)))
        return measures

    def _is_fit(self, leader: Leader, hole: Hole, strict: bool) -> bool:
        """Whether a leader is short and keeps off its own text, other leaders and all holes.

        If not ``strict`` it also keeps farther off those that are not as its own.
        """
        side = 1 if leader.to_right else -1
        if (leader.tip.x - leader.elbow.x) * side > self.look.real(SHELF):
            return False
        line = Line(leader.tip, leader.elbow)
        if leader.tip.distance_to(leader.elbow) > self.look.real(_LONGEST if self.spare is None else _LONGEST_APART):
            return False
        if self._meets_others(leader):
            return False
        return not (_crosses(line, self.holes) if strict else self._misleads(line, hole))

    def _meets_others(self, leader: Leader) -> bool:
        """Whether a leader's line or shelf meets that of another."""
        to_shelf_end = Point((SHELF if leader.to_right else -SHELF) / self.look.scale, 0.0)
        own = (Line(leader.tip, leader.elbow), Line(leader.elbow, leader.elbow + to_shelf_end))
        room = box_around((leader.tip, leader.elbow, leader.elbow + to_shelf_end)).grown(_TOUCH)
        near = [other for other in self.lines if _reaches(other, room)]
        return any(meet(each, other) for each in own for other in near)

    def _misleads(self, line: Line, hole: Hole) -> bool:
        """Whether a leader to a hole or one like it runs over any, or close by one that its call-out leaves out."""
        unlike = (each for each in self.holes if (each.group, each.diameter) != (hole.group, hole.diameter))
        return _crosses(line, self.holes) or _crosses(line, unlike, self.look.real(_PAST_HOLE))


def _reaches(line: Line, room: Box) -> bool:
    """Whether the upright box of a line reaches into a room: most lines do not, and are no further looked at."""
    (x, y), (to_x, to_y) = (line.start.x, line.start.y), (line.end.x, line.end.y)
    is_level = (y >= room.bottom or to_y >= room.bottom) and (y <= room.top or to_y <= room.top)
    return is_level and (x >= room.left or to_x >= room.left) and (x <= room.right or to_x <= room.right)


def _beside(look: Look, wish: SaidSize, reach: Box, section_left: float) -> Iterator[Item]:
    """Leaders to holes as one that keep off the section; those of a pattern are short and make no view wider."""
    for leader in leaders_to(look, wish):
        item = Item(Layer.DIMENSION, leader, wish.source)
        is_pattern = isinstance(wish.source, GroupRef)
        if is_pattern and leader.tip.distance_to(leader.elbow) > look.real(_LONGEST):
            continue
        box = items_box([item], look.scale)
        if box.left < look.real(look.left) or (is_pattern and (box.left < reach.left or box.right > reach.right)):
            continue
        is_level = box.bottom < look.box.top and box.top > look.box.bottom
        if not (is_level and box.right > section_left):
            yield item


def _leader_of(item: Item) -> Leader:
    assert isinstance(item.what, Leader)
    return item.what


def _first_clear(ink: Ink, leaders: Iterable[Leader]) -> Leader | None:
    """The first of some leaders that crosses no text; rather one of the next few that is read with no other words."""
    clear = filter(partial(_is_clear, ink), leaders)
    first = next(clear, None)
    if first is None or _is_alone(first, ink):
        return first
    return next((leader for leader in islice(clear, _MOST_CLEAR) if _is_alone(leader, ink)), first)


def _is_extension(item: Item) -> bool:
    """Whether an item of a size measures nothing and leads to what does: a ray of an angle."""
    return isinstance(item.what, Line) and not isinstance(item.source, Furniture)


def _lines(leader: Leader, scale: float) -> Iterator[Line]:
    """The line of a leader and its shelf."""
    return (part for part in explode(leader, scale) if isinstance(part, Line))


def _is_clear(ink: Ink, leader: Leader) -> bool:
    return ink.is_clear_of([Item(Layer.DIMENSION, leader)])


def _text_meets(leader: Leader, ink: Ink) -> bool:
    return any(ink.meets(corners_of(label, ink.scale)) for label in _labels(leader, ink.scale))


def _is_alone(leader: Leader, ink: Ink, apart: float = _ALONE) -> bool:
    """Whether no other words stand so near a leader's, in printed mm, that they are read with them."""
    return not any(ink.has_text_near(corners_of(label, ink.scale), apart) for label in _labels(leader, ink.scale))


def _labels(leader: Leader, scale: float) -> Iterator[Label]:
    return (part for part in explode(leader, scale) if isinstance(part, Label))


def _crosses(line: Line, holes: Iterable[Hole], by: float = 0.0) -> bool:
    """Whether a leader passes over a hole, or nearer by it than so many mm; its own lies behind its tip."""
    step, length = line.end - line.start, line.start.distance_to(line.end)
    if length == 0:
        return False
    for hole in holes:
        away = hole.center - line.start
        along = (away.x * step.x + away.y * step.y) / length
        off = abs(away.x * step.y - away.y * step.x) / length
        near = 0 < along < length and off < hole.reach + by
        if near and spine_distance(line, hole.spine) < hole.face_diameter / 2 + by:
            return True
    return False
