"""Leaders one above the other, over a view or beside it, that cross no text and each other never."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from copy import copy
from functools import partial
from itertools import chain, filterfalse, islice, product, tee

from flangelayout.checks.dimensioned import alike_single_holes
from flangelayout.drawing.explode import LINE_PITCH, SHELF, items_box
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item, Leader
from flangelayout.drawing.references import GroupRef, HoleRef
from flangelayout.drawing.textwidth import text_width, wrapped
from flangelayout.flange import BoltCircle, Hole
from flangelayout.geometry.pieces import meet
from flangelayout.geometry.shapes import ORIGIN, Box, Line, Point, box_around, box_of_all, polar
from flangelayout.views.page.text_clearance import Ink
from flangelayout.views.sheet.face import hole_rim
from flangelayout.views.sheet.leaders.ground import LONGEST, LONGEST_APART, LeaderGround, LeaderWay, is_on_axis
from flangelayout.views.sheet.leaders.lines import crosses, is_alone, is_clear, leader_of, lines_of, text_meets
from flangelayout.views.sheet.look import Look, best_apart
from flangelayout.views.sheet.sizes.features import hole_size, single_hole_lines
from flangelayout.views.sheet.sizes.wishes import SaidSize
from flangelayout.views.words.call_outs import group_call_out, is_dimensioned
from flangelayout.views.words.holes import clean_up

_FIRST, _STEP, _TRIES, _STRICT_TRIES = 11.0, 2.0, 24, 12
_BETWEEN = 2.0
_WIDEST, _MOST_LINES = 92.0, 7
_FAR_AWAY = 75.0
_SINGLE_ANGLE = 68.0
_MOST_TIPS = 12
_SHARES = (0.45, 0.35, 0.55, 0.25, 0.65, 0.15, 0.1, 0.75, 0.05, 0.85, 0.95, 1.05, 1.15)
"""Of the way from the center to the side: where a leader begins whose usual places all lead over sizes."""
_PAST_MIDDLE = (0.03, 0.05, 0.065, 0.08, 0.11, 0.14, 0.2)
"""Of the way to the right side: where a leader ends whose text stands over the middle, so as to keep off the angles."""
_MOST_CLEAR = 60
"""Places of a leader whose words are read with others that are passed over for one where they are not."""
_POOR = 12.0
"""What the faults of a leader cost, in printed mm, for which a better one is looked for."""
_TOUCH = 1e-3
"""Mm by which lines that touch may miss each other by rounding, and more."""
_PAST_HOLE, _TANGENT = 1.5, 0.5
"""Printed mm from a leader to a hole that it does not speak of, and nearer than which it reads as its tangent."""
_APART = 4.0
"""Printed mm from the words of a pattern beside the plate to those of a size, if that can be."""
_CORNER = 34.0
"""Printed mm lower: a leader's words may stand beside a plate that is not round, in the corner of its box."""


def call_out_lines(look: Look, group: int) -> tuple[str, ...]:
    """A pattern's call-out, led by its letter."""
    flange, lengths = look.flange, look.lengths
    first, *rest = group_call_out(flange, group, lengths, is_dimensioned=is_dimensioned(flange, group))
    letter, seat = flange.group_letter(group), clean_up(flange.groups()[group].drilling.kind)
    lines = (f"{letter}: {first}{seat}" if letter else f"{first}{seat}", *rest)
    return tuple(part for line in lines for part in wrapped(line, _WIDEST, look.letter))


def _near(holes: Sequence[Hole], angle: float, serves: Callable[[Hole], bool] | None = None) -> list[Hole]:
    """Holes that serve, in the order of how near they are to a direction; far ones only where there is no other."""

    def away(hole: Hole) -> float:
        return abs((hole.angle - angle + 180.0) % 360.0 - 180.0)

    in_order = list(islice(filter(serves, sorted(holes, key=away)), _MOST_TIPS))
    return [hole for hole in in_order if away(hole) <= _FAR_AWAY] or in_order


def _outermost(holes: Sequence[Hole]) -> Callable[[Hole], bool]:
    """Whether no hole of a group lies farther out in the direction of one: so it is with all of a circle."""
    reach = 2 * max((ORIGIN.distance_to(hole.center) for hole in holes), default=0.0)
    return lambda hole: not crosses(Line(hole.center, hole.center + polar(reach, hole.angle)), holes)


Told = HoleRef | GroupRef
Around = Callable[[tuple[Hole, ...], tuple[str, ...]], Iterator[LeaderWay]]


class Stack:
    """Leaders one above the other, from the lowest."""

    def __init__(
        self,
        look: Look,
        holes: tuple[Hole, ...],
        others: Sequence[Item],
        reach: Box,
        ground: LeaderGround,
        beside: Callable[[SaidSize], Iterator[Item]],
        around: Around,
        spare: float | None,
    ) -> None:
        """Begin above the plate.

        Args:
            look: What is drawn.
            holes: Of the plate.
            others: The items that stand there.
            reach: Their box, in mm.
            ground: What leaders run over.
            beside: Leaders to anywhere beside a plate that no view is too small for, to be copied.
            around: Leaders to any of some holes from all round them, short ones first, to be copied.
            spare: Printed mm that the view may be wider, and higher at will, so that leaders keep off sizes; ``None``
                where it may not.
        """
        self.look, self.holes = look, holes
        self.reach = reach
        self.spare, self.right = spare, self.reach.right + look.real(spare or 0.0)
        self.items: list[Item] = []
        self.left_out: list[int] = []
        self.crossings, self.strays = (0, 0), 0.0
        self.lines: list[Line] = []
        for each in others:
            self.lines += lines_of(each.what, look.scale) if isinstance(each.what, Leader) else ()
        self.ground = ground
        self.beside, self.around = beside, around
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
            own = tuple(hole for hole in self.holes if hole.group == group)
            is_circle = isinstance(look.flange.groups()[group], BoltCircle)
            tips = _near(own, angles[group], None if is_circle else _outermost(own))
            text, source = call_out_lines(look, group), GroupRef(group)
            if own and not self._is_led(ink, tips, own, text, source):
                self.left_out.append(group)
            if self.faults() > most:
                return False
        for alike in alike_single_holes(look.flange):
            single, hole = single_hole_lines(look, alike), HoleRef(alike[0].label)
            self._is_led(ink, _near(alike, _SINGLE_ANGLE), alike, single, hole)
        return self.faults() <= most

    def _is_led(self, ink: Ink, tips: list[Hole], alike: tuple[Hole, ...], text: tuple[str, ...], source: Told) -> bool:
        """Lead to one of some holes: the usual way, or a better one where that runs over things or past a nearer hole.

        Args:
            ink: What stands there already; the leader is taken in.
            tips: Those of the holes that are led to from above the plate.
            alike: All of them.
            text: What is said of them.
            source: What they are.
        """
        leader = self._usual(ink, tips, alike, text, source)
        if leader is None:
            return False
        leader = self._better(ink, leader, alike, text) or leader
        item = Item(Layer.DIMENSION, leader, source)
        ink.add((item,))
        self._keep(leader, item, alike)
        return True

    def _usual(
        self, ink: Ink, tips: list[Hole], alike: Sequence[Hole], text: tuple[str, ...], source: Told
    ) -> Leader | None:
        """A leader from above the plate, else from beside; to what none leads to from above, over no measure."""
        is_pattern = isinstance(source, GroupRef)
        may_rise = not is_pattern or len(text) <= _MOST_LINES
        leader = self._above(ink, tips, text) if may_rise else None
        if leader and not self.ground.is_over_plane(leader):
            return leader
        off_measures = leader is None and is_pattern
        near = tips if is_pattern else alike
        return self._beside(ink, hole_size(tuple(near), text, source), near[0], off_measures=off_measures) or leader

    def _better(self, ink: Ink, usual: Leader, alike: tuple[Hole, ...], text: tuple[str, ...]) -> Leader | None:
        """The leader from all round the holes that costs least, with half the faults of a usual one or less.

        None is looked for where that has few.
        """
        ground = self.ground
        fault, over_most = ground.fault(usual, alike), ground.cost_over(usual)
        most = fault / 2 if fault > _POOR else 0.0
        best, least = None, ground.cost(usual, alike) if most else 0.0
        taken = box_of_all([self.reach, items_box([Item(Layer.DIMENSION, usual)], self.look.scale)])
        for way in copy(self.around(alike, text)) if most else ():
            leader, box = way.leader, way.box
            if way.length >= least:
                break
            is_within = box.left >= taken.left and box.right <= taken.right and box.bottom >= taken.bottom
            if is_within and way.cost < least and way.astray <= most and self._serves(leader, way.hole):
                over = ground.cost_over(leader)
                is_less = over <= min(over_most, most - way.astray) and way.cost + over < least
                if is_less and is_alone(leader, ink, _APART) and is_clear(ink, leader):
                    best, least = leader, way.cost + over
        return best

    def faults(self) -> tuple[float, ...]:
        """How many patterns no leader leads to; what it costs, in printed mm, that leaders run over things or stray."""
        return len(self.left_out), self.strays

    def _above(self, ink: Ink, tips: list[Hole], text: tuple[str, ...]) -> Leader | None:
        """A leader from above the plate to one of the holes, off sizes if it can be, or at least off the plane."""
        leader = _first_clear(ink, self._leaders(ink, tips, text))
        if leader is None or self.ground.is_over_sizes(leader):
            ways = (_first_clear(ink, leaders) for leaders in self._leaders_off_sizes(ink, tips, text))
            leader = min(filter(None, ways), key=self._raised_to, default=leader)
            if leader and self.ground.is_over_plane(leader):
                off_plane = filterfalse(self.ground.is_over_plane, self._leaders(ink, tips, text))
                leader = _first_clear(ink, off_plane) or leader
        return leader

    def _raised_to(self, leader: Leader) -> float:
        """Where the next leader on the right begins; of one to the left where its text is at its middle."""
        high = len(leader.text) * self.look.letter * LINE_PITCH / 2 + _BETWEEN
        return leader.elbow.y + (self.look.real(high) if leader.to_right else 0.0)

    def _beside(self, ink: Ink, wish: SaidSize, own: Hole, *, off_measures: bool) -> Leader | None:
        """A leader to anywhere beside a hole, if there is a place; a pattern's makes no view wider."""
        items = copy(self.beside(wish))
        free = (item for item in items if self._serves_beside(item, own, off_measures=off_measures))
        ways = zip((_APART, 0.0), tee(free, 2), strict=True)
        options = ((item,) for apart, every in ways for item in every if is_alone(leader_of(item), ink, apart))
        option = best_apart(ink, options, self.ground.sizes, self.reach.right)
        return leader_of(option[-1]) if option else None

    def _serves_beside(self, item: Item, own: Hole, *, off_measures: bool) -> bool:
        """Whether a leader to a hole or one like it meets no other, misleads nobody and keeps off the plane."""
        leader = leader_of(item)
        if not self._serves(leader, own):
            return False
        return not (self.ground.is_over_plane(leader) or (off_measures and self.ground.is_over_measures(leader)))

    def _serves(self, leader: Leader, own: Hole) -> bool:
        """Whether a leader to a hole or one like it meets no other and misleads nobody."""
        return not (self._meets_others(leader) or self._misleads(leader, own))

    def is_good(self) -> bool:
        """Whether every pattern is led to the best way, and the view is no wider for it."""
        return self.keeps_off_sizes() and not self.strays

    def keeps_off_sizes(self) -> bool:
        """Whether every pattern is led to, over no size, and the view is no wider for it."""
        left_out, width, *_ = self.cost()
        return not left_out and width <= self.reach.width and not any(self.crossings)

    def wide_cost(self) -> tuple[float, ...]:
        """As :meth:`cost`, the size last, its height first."""
        left_out, width, top, *over = self.cost()
        return left_out, *over, top, width

    def cost(self) -> tuple[float, ...]:
        """How many patterns are led to by no leader, how wide and high the view is, what leaders run over."""
        left_out, *over = self.faults()
        boxes = [self.reach, *([items_box(self.items, self.look.scale)] if self.items else ())]
        width = max(box.right for box in boxes) - min(box.left for box in boxes)
        return left_out, width, max(box.top for box in boxes), *over

    def _keep(self, leader: Leader, item: Item, alike: Sequence[Hole]) -> None:
        """Take in a leader to one of some holes that stands in the ink; the next on the right begins above it."""
        self.items.append(item)
        if self.ground.is_over_sizes(leader):
            through, over = self.crossings
            self.crossings = through + self.ground.is_over_measures(leader), over + 1
        self.strays += self.ground.fault(leader, alike)
        self.lines += lines_of(leader, self.look.scale)
        if leader.to_right and leader.elbow.y > self.floor:
            self.floor = self._raised_to(leader)

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
        plain = [hole for hole in above if hole.number > 1 or is_on_axis(hole)] or above
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
        plain = [hole for hole in tips if hole.number > 1 or is_on_axis(hole)]
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
            apart = (leader for leader in rising if not self.ground.is_over_sizes(leader))
            yield apart if sides is not over else (leader for leader in apart if is_alone(leader, ink))

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
            free = [(at, way) for at, way in elbows if not text_meets(Leader(at, at, text, way, look.style), ink)]
            ways = chain(product(ends, free[:1]), product(ends, free[1:]))
            leaders = ((Leader(hole_rim(hole, at), at, text, way, look.style), hole) for hole, (at, way) in ways)
            yield from (leader for leader, hole in leaders if self._is_fit(leader, hole, strict))

    def _is_fit(self, leader: Leader, hole: Hole, strict: bool) -> bool:
        """Whether a leader is short and keeps off its own text, other leaders and all holes.

        Off those that are not as its own it keeps a little farther, if not ``strict`` much.
        """
        side = 1 if leader.to_right else -1
        if (leader.tip.x - leader.elbow.x) * side > self.look.real(SHELF):
            return False
        line = Line(leader.tip, leader.elbow)
        if leader.tip.distance_to(leader.elbow) > self.look.real(LONGEST if self.spare is None else LONGEST_APART):
            return False
        if self._meets_others(leader):
            return False
        if strict:
            return not (crosses(line, self.holes) or self.ground.grazes(leader, hole, _TANGENT))
        return not self._misleads(leader, hole)

    def _meets_others(self, leader: Leader) -> bool:
        """Whether a leader's line or shelf meets that of another."""
        to_shelf_end = Point((SHELF if leader.to_right else -SHELF) / self.look.scale, 0.0)
        own = (Line(leader.tip, leader.elbow), Line(leader.elbow, leader.elbow + to_shelf_end))
        room = box_around((leader.tip, leader.elbow, leader.elbow + to_shelf_end)).grown(_TOUCH)
        near = [other for other in self.lines if _reaches(other, room)]
        return any(meet(each, other) for each in own for other in near)

    def _misleads(self, leader: Leader, hole: Hole) -> bool:
        """Whether a leader to a hole or one like it runs over any, or close by one that its call-out leaves out."""
        return crosses(Line(leader.tip, leader.elbow), self.holes) or self.ground.grazes(leader, hole, _PAST_HOLE)


def _reaches(line: Line, room: Box) -> bool:
    """Whether the upright box of a line reaches into a room: most lines do not, and are no further looked at."""
    (x, y), (to_x, to_y) = (line.start.x, line.start.y), (line.end.x, line.end.y)
    is_level = (y >= room.bottom or to_y >= room.bottom) and (y <= room.top or to_y <= room.top)
    return is_level and (x >= room.left or to_x >= room.left) and (x <= room.right or to_x <= room.right)


def _first_clear(ink: Ink, leaders: Iterable[Leader]) -> Leader | None:
    """The first of some leaders that crosses no text; rather one of the next few that is read with no other words."""
    clear = filter(partial(is_clear, ink), leaders)
    first = next(clear, None)
    if first is None or is_alone(first, ink):
        return first
    return next((leader for leader in islice(clear, _MOST_CLEAR) if is_alone(leader, ink)), first)
