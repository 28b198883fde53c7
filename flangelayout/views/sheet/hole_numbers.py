"""Where the hole numbers of a face view stand: each on the ray of its own hole, by one rule for a whole circle.

A number is never moved along its circle: it stands on the ray from the middle through its hole, inside or outside
for all holes of a circle alike, or beyond the rim at the end of a short line. A single one that finds no place so is
led to by a short line on its ray, on either side, or leaning from it where the holes of other circles are too near, or
its figures are turned. Where there is no room for all, every second, fourth, fifth or tenth is numbered from hole 1 on,
and an arrow says which way they are counted; where none of these finds a place, with figures that lie along the circle,
as on a dial, or beyond the rim at lines that tell whose they are, or hole 1 and the quarters from it. A number whose
own hole is not nearest to it by :data:`MARGIN`, beyond the rim by less, is left out, and the notes tell which are.
Centerlines are broken for numbers.
"""

import math
from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from itertools import chain, islice, product

from msgspec import Struct

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label
from flangelayout.drawing.references import HoleRef
from flangelayout.drawing.textwidth import below_line, label_box, text_width
from flangelayout.flange import BoltCircle, Hole, Slot, SlotDirection
from flangelayout.geometry.measure import is_inside
from flangelayout.geometry.near_pairs import Neighbors
from flangelayout.geometry.shapes import ORIGIN, Arc, Circle, Contour, Line, Point, extent, polar
from flangelayout.value import replace
from flangelayout.views.page.broken_lines import broken
from flangelayout.views.page.plate_lines import pattern_lines
from flangelayout.views.page.text_clearance import CLEAR, Ink, corners_of
from flangelayout.views.sheet.count_arrow import count_arrows
from flangelayout.views.sheet.face import MARK_REACH
from flangelayout.views.sheet.look import Look, Option, placed
from flangelayout.views.sheet.numbers.ways import (
    GAPS,
    LED_MARGIN,
    LONG,
    MARGIN,
    Beyond,
    Choice,
    Trial,
    choices_of,
    led_ways,
    on_ray,
    sides_of,
    turned_ways,
)

_FAR_GAPS = (2.0, 1.2, 3.0, 5.0, 8.0, 12.0)
"""Printed mm from the edge of a single hole to its number."""
_LED_GAPS = (2.0, 1.5, 3.5, 5.0, 7.0, 10.0, 14.0)
"""Printed mm from the edge of a hole to a number that is led to, as there is no room for it beside the others."""
_FAR_LED_GAPS = (LONG, 5.0, 6.5, 8.0, 10.0, 12.0, 15.0)
"""Printed mm from the edge of a hole to a number beyond the plate that finds no place nearer."""
_MOST_BEYOND = 5
"""One of so many holes of a circle may be numbered so where all others bear their numbers in other ways."""
_LEANS = (0.0, 25.0, -25.0, 45.0, -45.0)
"""Degrees by which the line to such a number may lean from the ray of its hole."""
_SEEN = 0.4
"""Printed mm that the line to such a number is long at the least."""
_LINE_MARGIN = 2.0
"""How many times nearer to its own hole such a number is that stands on the line of another pattern."""
_BEYOND = 0.65
"""Printed mm from the rim, or from the edge of the bore, to a number beyond it."""
_APART = 0.6
"""Widths of a text that neighboring numbers are apart at the least."""
_STEEP = 75.0
"""Degrees by which a text falls from left to right at the most (ISO 129-1 keeps such steep ones off, from memory)."""
_FAR_MORE, _SPARSE = 1.5, 2.5
"""How many times more numbers a trial shows that may lack some: hardly any, or as many as it lacks."""
_MOST_LACKED = 2
"""Numbers that may be missing here and there on a circle that has room for every second."""
_MOST_ELSEWHERE, _ELSEWHERE = 6, 0.2
"""Numbers of a circle that may stand nearer or farther off than the others, and their share of one of many."""
_MISSED = 0.4
"""Share of the numbers of a circle that may find no place before it is numbered more sparsely."""
_FEW = 16
"""Holes of a circle of which each is led to where too many numbers find no place in the usual ways."""
_LEAST = 4
"""Numbers that a circle of many holes bears at the least, if that can be."""
_TURNS = (0.0, 180.0, 45.0, -45.0, 135.0, -135.0, 90.0, -90.0)
_OPENED = 0.7
"""Printed mm round a number in which a centerline is left out."""


class _Number(Struct, frozen=True):
    """A number at its place, with the line that leads to it from its hole where it stands far off."""

    hole: Hole
    label: Label
    ray: Line | None = None

    def items(self) -> Option:
        source = HoleRef(self.hole.label)
        text = Item(Layer.TEXT, self.label, source)
        return (text,) if self.ray is None else (text, Item(Layer.DIMENSION, self.ray, source))


class _Numbering:
    """The numbers of a view while they are being placed."""

    def __init__(self, look: Look, holes: Sequence[Hole], ink: Ink) -> None:
        self.look, self.ink = look, ink
        self.height = look.convention.letter_height
        shapes = [opening.shape for opening in look.flange.openings if opening.number]
        self._windows = [(extent(shape), shape) for shape in shapes]
        self._neighbors = Neighbors((hole.center.x, hole.center.y) for hole in holes)
        self._other_lines: dict[int, Ink] = {}
        self._least_edge = {hole.group: math.inf for hole in holes}
        for hole in holes:
            self._least_edge[hole.group] = min(self._least_edge[hole.group], self._edge(hole))

    def best(self, choices: Iterable[Choice]) -> tuple[list[_Number], int]:
        """The numbers of the first trial that places all, and its step.

        Unless one before it shows far more: one that lacks hardly any, or where this is very sparse. What that lacks
        is led to.
        """
        best: list[_Number] = []
        shown: Trial | None = None
        for trial in self._hopeful(choices):
            found = self._tried(trial)
            enough = min(_FAR_MORE * len(found), len(shown.holes) - _MOST_LACKED) if shown else math.inf
            if shown and len(found) == len(trial.holes) and len(best) >= enough:
                led = best + self.led(shown, best)
                is_kept = len(shown.holes) - len(led) <= _MOST_LACKED or len(led) > _SPARSE * len(found)
                return (led, shown.step) if is_kept else (found, trial.step)
            if len(found) == len(trial.holes):
                return found, trial.step
            if len(found) > len(best):
                best, shown = found, trial
        return (best + self.led(shown, best), shown.step) if shown else ([], 1)

    def whole(self, choices: Iterable[Choice]) -> tuple[list[_Number], int]:
        """The numbers of the first trial that places all, and its step; none where no trial does."""
        tried = ((self._tried(trial), trial) for trial in self._hopeful(choices))
        return next(((found, trial.step) for found, trial in tried if len(found) == len(trial.holes)), ([], 1))

    def _tried(self, trial: Trial) -> list[_Number]:
        """The numbers of a trial that find a place; none as soon as too many do not."""
        found: list[_Number] = []
        missed: list[tuple[Hole, float]] = []
        for hole, direction in trial.ways():
            number = self._number(hole, direction, trial.gap, is_turned=trial.is_turned)
            if number and self.is_clear(number, trial.margin) and not (found and self.crowds(found[-1], number)):
                found.append(number)
            else:
                missed.append((hole, direction))
                if len(missed) > _MISSED * len(trial.holes):
                    return []
        if len(found) > 2 and self.crowds(found[-1], found[0]):
            last = found.pop().hole
            missed.append((last, trial.way(last)))
        most = max(_MOST_ELSEWHERE, _ELSEWHERE * len(trial.holes))
        return found + self._elsewhere(trial, missed, found) if len(missed) <= most else found

    def _hopeful(self, choices: Iterable[Choice]) -> Iterator[Trial]:
        """Trials but for those where too many holes have another so near that no number could belong to its own."""
        for holes, trials in choices:
            apart = sorted(self._neighbors.apart[hole.center.x, hole.center.y] for hole in holes)
            for trial in trials:
                near = bisect_left(apart, (trial.margin - 1.0) * self._least_away(trial)) if holes else 0
                if near <= _MISSED * len(holes):
                    yield trial

    def _least_away(self, trial: Trial) -> float:
        """How far a trial's numbers stand from their holes, all of one group, at the least, whatever their lengths."""
        scale, flange = self.look.scale, self.look.flange
        match trial.gap:
            case Beyond.RIM:
                rim = (flange.round_diameter or 0.0) / 2 + (_BEYOND - CLEAR) / scale
                return rim - max(ORIGIN.distance_to(hole.center) for hole in trial.holes)
            case Beyond.BORE:
                return min(ORIGIN.distance_to(hole.center) for hole in trial.holes) - (flange.bore or 0.0) / 2
            case gap:
                return self._least_edge[trial.holes[0].group] + (gap - CLEAR) / scale

    def _edge(self, hole: Hole) -> float:
        """What is drawn of a hole, from its middle on."""
        return max(_reach(hole), MARK_REACH / self.look.scale)

    def _elsewhere(self, trial: Trial, missed: Sequence[tuple[Hole, float]], found: Sequence[_Number]) -> list[_Number]:
        """Numbers of a trial that find no place beside the others, nearer or farther off on the same side."""
        more: list[_Number] = []
        for hole, direction in missed:
            for place in trial.gaps():
                number = self._number(hole, direction, *place, is_turned=trial.is_turned)
                if number and self._is_free(number, (*found, *more), trial.margin):
                    more.append(number)
                    break
        return more

    def led(self, trial: Trial, found: Sequence[_Number]) -> list[_Number]:
        """Numbers that a trial lacks, at the end of a short line on either side of the hole, on its ray if possible."""
        more: list[_Number] = []
        beside = Ink(self.look.scale)
        beside.add(item for each in found for item in each.items())
        for hole, direction in trial.ways():
            if all(each.hole is not hole for each in found):
                for ways in self._led_ways(hole, direction):
                    free = (each for each in ways if self._is_free(each, (*found, *more)))
                    shown = [each for each in free if beside.is_clear_of(each.items()) and not self._is_mistaken(each)]
                    if shown:
                        more.append(min(shown, key=self._is_on_line))
                        beside.add(more[-1].items())
                        break
        return more

    def _led_ways(self, hole: Hole, direction: float) -> Iterator[Iterator[_Number]]:
        """A number with a line to it, the ways by how far that leans; then without, turned across its direction."""
        for lean in _LEANS:
            ways = product((0.0, 180.0), _LED_GAPS)
            led = (self._number(hole, direction + side + lean, gap, is_led=True) for side, gap in ways)
            yield filter(None, led)
        turned = (self._number(hole, direction, gap, is_turned=True) for gap in sorted(GAPS))
        yield filter(None, turned)

    def _is_on_line(self, number: _Number) -> bool:
        """Whether a number stands on the line of another pattern, of which it would be read."""
        flange, own = self.look.flange, number.hole.group
        if own not in self._other_lines:
            lines = chain.from_iterable(
                pattern_lines(flange, each) for each in range(len(flange.groups())) if each != own
            )
            self._other_lines[own] = Ink(self.look.scale)
            self._other_lines[own].add(Item(Layer.CENTERLINE, line) for line in lines)
        return self._other_lines[own].meets(corners_of(number.label, self.look.scale))

    def _is_mistaken(self, number: _Number) -> bool:
        """Whether a number stands on the line of another pattern and not far enough from its holes."""
        own = (number.hole.center,)
        return self._is_on_line(number) and not self._neighbors.is_nearest(number.label.at, own, _LINE_MARGIN)

    def beyond(self, holes: Sequence[Hole], found: Sequence[_Number]) -> list[_Number]:
        """Numbers that a circle lacks, each beyond the plate at a line from its hole, which alone tells whose it is."""
        more: list[_Number] = []
        beside, box = Ink(self.look.scale), self.look.box
        beside.add(item for each in found for item in each.items())
        least = max(box.right, box.top, -box.left, -box.bottom)
        for hole in (hole for hole in holes if all(each.hole is not hole for each in found)):
            numbers = (self._number(hole, hole.angle, gap, is_led=True) for gap in _FAR_LED_GAPS)
            for number in (each for each in numbers if each and ORIGIN.distance_to(each.label.at) > least):
                if self._is_free(number, (*found, *more), LED_MARGIN) and beside.takes(number.items()):
                    more.append(number)
                    break
        return more

    def quarters(self, holes: Sequence[Hole]) -> list[_Number]:
        """The numbers of hole 1 and of those at the quarters from it, on one side as near as each finds a place.

        None where hole 1 has none.
        """
        flange, step = self.look.flange, len(holes) / 4
        chosen = [hole for hole in holes if (hole.number - 1) % step == 0]
        for side, edge, beyond in ((180.0, flange.bore, Beyond.BORE), (0.0, flange.round_diameter, Beyond.RIM)):
            gaps = (*sorted(GAPS), *((beyond,) if edge else ()))
            found: list[_Number] = []
            for hole in chosen:
                numbers = (self._number(hole, hole.angle + side, gap) for gap in gaps)
                found += islice((each for each in numbers if each and self._is_free(each, found)), 1)
            if found and found[0].hole.number == 1:
                return found
        return []

    def _is_free(self, number: _Number, others: Sequence[_Number], margin: float = MARGIN) -> bool:
        return self.is_clear(number, margin) and not any(self.crowds(each, number) for each in others)

    def is_clear(self, number: _Number, margin: float = MARGIN) -> bool:
        """Whether a number belongs to its hole at a glance, not to an opening, meets nothing, its line no text."""
        if not self._neighbors.is_nearest(number.label.at, (number.hole.center,), margin):
            return False
        at = number.label.at
        if any(box.contains(at) and is_inside(shape, at) for box, shape in self._windows):
            return False
        if self.ink.meets(corners_of(number.label, self.look.scale)):
            return False
        return number.ray is None or self.ink.is_clear_of((Item(Layer.DIMENSION, number.ray),))

    def crowds(self, one: _Number, other: _Number) -> bool:
        """Whether two numbers stand so near each other that they read as one."""
        first, second = (label_box(each.label, self.look.scale) for each in (one, other))
        across = max(first.left - second.right, second.left - first.right)
        up = max(first.bottom - second.top, second.bottom - first.top)
        wide = _APART * min(first.width, second.width)
        return across < wide and up * self.look.scale < 0.4 * self.height

    def _number(
        self,
        hole: Hole,
        direction: float,
        gap: float | Beyond,
        farther: float = 0.0,
        *,
        is_led: bool = False,
        is_turned: bool = False,
    ) -> _Number | None:
        """A number in a direction from its hole, so far from its edge or beyond what else it stands beyond."""
        scale, rotation = self.look.scale, _along(direction) if is_turned else 0.0
        turn = math.radians(direction - rotation)
        across, up = abs(math.cos(turn)), abs(math.sin(turn))
        toward = self.height / 2 + (below_line(hole.label, self.height) if math.sin(turn) > 0 else 0.0)
        room = (text_width(hole.label, self.height) / 2 + CLEAR) / scale, (toward + CLEAR) / scale
        edge = self._edge(hole)
        match gap:
            case Beyond.RIM:
                rim = (self.look.flange.round_diameter or 0.0) / 2 + (_BEYOND - CLEAR + farther) / scale
                away = _out(across, up, room, rim) - ORIGIN.distance_to(hole.center)
            case Beyond.BORE:
                bore = (self.look.flange.bore or 0.0) / 2 - (_BEYOND - CLEAR + farther) / scale
                away = ORIGIN.distance_to(hole.center) - _within(across, up, room, bore)
            case _:
                away = _out(across, up, room, edge + (gap - CLEAR) / scale)
        label = Label(polar(away, direction, hole.center), hole.label, self.height, rotation, Anchor.MIDDLE)
        if not isinstance(gap, Beyond) and gap < LONG and not is_led:
            return _Number(hole, label)
        end = away - (across * room[0] + up * room[1])
        ends = polar(edge, direction, hole.center), polar(end, direction, hole.center)
        least = edge + (_SEEN / scale if is_led else 0.0)
        return _Number(hole, label, Line(*ends)) if end > least else None

    def take(self, numbers: Sequence[_Number]) -> Iterator[Item]:
        """The items of numbers, taken into the ink."""
        for number in numbers:
            items = number.items()
            self.ink.add(items)
            yield from items


def hole_numbers(look: Look, holes: Sequence[Hole], ink: Ink, *, on_other_side: bool = False) -> Iterator[Item]:
    """The numbers of the holes, those of a whole circle by one rule, then arrows where not all are numbered.

    Args:
        look: What is shown, at which scale.
        holes: Its holes.
        ink: What stands there but for centerlines; the numbers are added to it.
        on_other_side: Whether those of a circle are tried first where there is less free metal.
    """
    numbering = _Numbering(look, holes, ink)
    counted: list[tuple[int, list[Hole]]] = []
    for group in range(len(look.flange.groups())):
        own = [hole for hole in holes if hole.group == group]
        numbers, step = numbering.best(choices_of(look, group, own, on_other_side))
        pattern = look.flange.groups()[group]
        if isinstance(pattern, BoltCircle) and len(numbers) < len(own):
            numbers, step = _in_need(numbering, pattern, own, numbers, step)
        if step == 1 and 0 < len(own) - len(numbers) <= len(own) // _MOST_BEYOND:
            numbers = [*numbers, *numbering.beyond(own, numbers)]
        yield from numbering.take(numbers)
        counted += [(group, own)] if step > 1 and numbers else []
    for group, own in counted:
        yield from placed(ink, count_arrows(look, group, own)) or ()
    for hole in (hole for hole in holes if hole.group < 0):
        trials = (Trial((hole,), partial(on_ray, turn), gap) for gap in _FAR_GAPS for turn in _TURNS)
        numbers, _ = numbering.best([((hole,), trials)])
        yield from numbering.take(numbers)


def _in_need(
    numbering: _Numbering, circle: BoltCircle, holes: Sequence[Hole], numbers: list[_Number], step: int
) -> tuple[list[_Number], int]:
    """The numbers of a circle that lacks some of the usual ones, and every how many holes one is numbered.

    Of few holes each is led to, where that shows more. Where some are missing without a rule, others stand beyond the
    rim by one, at least half as many. Where there are fewer than four, figures lie along the circle, or stand beyond
    the rim, or at the quarters: the first of these that shows four, or else what shows most.
    """
    sides = sides_of(numbering.look, circle)
    if len(holes) <= _FEW:
        led = numbering.led(Trial(holes, partial(on_ray, sides[0]), _LED_GAPS[0]), [])
        if len(led) > len(numbers):
            return led, 1
    rays = [*led_ways(numbering.look, circle, holes)]
    is_by_rule = len(numbers) == sum((hole.number - 1) % step == 0 for hole in holes)
    regular, every = ([], 1) if is_by_rule else numbering.whole(rays)
    if 2 * len(regular) > max(len(numbers), _LEAST):
        return regular, every
    if len(numbers) >= min(len(holes) // 2, _LEAST):
        return ([*numbers, *_second_and_third(numbering, holes, numbers)] if step > 1 else numbers), step
    ways: tuple[Callable[[], tuple[list[_Number], int]], ...] = (
        lambda: numbering.whole(turned_ways(holes, sides)),
        lambda: numbering.whole(rays),
        lambda: (numbering.quarters(holes), len(holes)),
        lambda: numbering.best(rays),
    )
    tried = [(numbers, step)]
    while len(tried[-1][0]) < _LEAST and len(tried) <= len(ways):
        tried.append(ways[len(tried) - 1]())
    return max(tried, key=lambda each: min(len(each[0]), _LEAST))


def opened(items: Iterable[Item], numbers: Sequence[Item], scale: float) -> Iterator[Item]:
    """Centerlines, broken where a number stands on them."""
    wide = _OPENED / scale
    rooms = [label_box(each.what, scale).grown(wide) for each in numbers if isinstance(each.what, Label)]
    for item in items:
        if not isinstance(item.what, Line | Arc | Circle | Contour):
            yield item
            continue
        whole = item.what.parts if isinstance(item.what, Contour) else (item.what,)
        parts = [part for each in whole for part in broken(each, rooms)]
        yield from (item,) if parts == [*whole] else (replace(item, what=part) for part in parts)


def _along(direction: float) -> float:
    """Degrees by which a text lies across a ray that is read from below or, where it is steep, from the right."""
    return (direction - 90.0 + _STEEP) % 180.0 - _STEEP


def _second_and_third(numbering: _Numbering, holes: Sequence[Hole], numbers: Sequence[_Number]) -> list[_Number]:
    """Holes 2 and 3 numbered as hole 1 is, where they find a place: they show which way the circle counts."""
    first = next((each for each in numbers if each.hole.number == 1), None)
    shown = {each.hole.number for each in numbers}
    found: list[_Number] = []
    for number in (2, 3):
        hole = next((hole for hole in holes if hole.number == number), None)
        if first and hole and number not in shown:
            other = _alike(first, hole)
            if numbering.is_clear(other) and not any(numbering.crowds(each, other) for each in (*numbers, *found)):
                found.append(other)
    return found


def _alike(first: _Number, hole: Hole) -> _Number:
    """The number of another hole of a circle, as far off on the same side as the first."""
    center = first.hole.center
    turn = hole.angle - first.hole.angle

    def placed_alike(point: Point) -> Point:
        return polar(center.distance_to(point), center.direction_to(point) + turn, hole.center)

    ray = first.ray and Line(placed_alike(first.ray.start), placed_alike(first.ray.end))
    return _Number(hole, replace(first.label, at=placed_alike(first.label.at), text=hole.label), ray)


def _out(across: float, up: float, room: tuple[float, float], clear: float) -> float:
    """How far out the middle of a text stands that keeps ``clear`` from a place, ``room`` being half its sides.

    Args:
        across: Of the direction from the place, 0 to 1.
        up: Likewise.
        room: Half the width and half the height of the text.
        clear: From the place to the nearest point of the text.
    """
    wide, high = room
    if across > 0 and (clear + wide) / across * up <= high:
        return (clear + wide) / across
    if up > 0 and (clear + high) / up * across <= wide:
        return (clear + high) / up
    along = across * wide + up * high
    return along + math.sqrt(max(along * along - wide * wide - high * high + clear * clear, 0.0))


def _within(across: float, up: float, room: tuple[float, float], radius: float) -> float:
    """How far out the middle of a text stands at the most that lies in a circle, as :func:`_out`; 0 if it cannot."""
    wide, high = room
    along = across * wide + up * high
    return max(math.sqrt(max(along * along - wide * wide - high * high + radius * radius, 0.0)) - along, 0.0)


def _reach(hole: Hole) -> float:
    """Radius in mm of what the face shows of a hole, on the ray from the middle."""
    along = isinstance(hole.kind, Slot) and hole.kind.along is SlotDirection.CIRCLE
    return hole.diameter / 2 if along else hole.reach
