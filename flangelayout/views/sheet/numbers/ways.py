"""The ways to number a pattern of holes: which of them, in which direction from each, how far off."""

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from enum import Enum
from functools import partial
from itertools import product

from msgspec import Struct

from flangelayout.flange import BoltCircle, Hole, HoleGrid, HolePattern
from flangelayout.geometry.shapes import Point
from flangelayout.views.sheet.look import Look

MARGIN = 1.5
"""How many times nearer a number is to its own hole than to any other."""
LED_MARGIN = 1.1
_LED_MARGINS = (1.2, LED_MARGIN)
"""The same of a number beyond the rim at the end of a line from its hole, where there is no room for all in other ways:
the second one where every fifth at the least finds no place by the first."""
_OFTEN = 5
_STEPS = (1, 2, 4, 5, 10, 20, 50, 100)
"""Every how many holes of a circle one is numbered, counted from hole 1."""
GAPS = (1.6, 1.3, 1.0, 0.7, 2.1, 2.6)
"""Printed mm from the edge of a hole to its number."""
_CLOSEST = 0.55
"""The same of a number that finds no place so."""
LONG = 3.5
"""A gap of so many printed mm or more is bridged by a line."""
_OUTER_GAPS = (LONG, 5.0, 7.0)
"""Printed mm to numbers beyond the outline of a plate that is not round."""
_FARTHER = (0.0, 1.5, 3.0, 5.0, 8.0, 11.0)
"""Printed mm that a number beyond the rim stands farther out where it finds no place there."""
_MOST_ALL = 150
"""Holes of a grid or of rings beyond which only the ends of its rows are numbered."""
_CORNERS = 4
"""Ends of the first and the last row of a grid, which are numbered where there is no room for those of all rows."""


class Beyond(Enum):
    """What a number stands beyond, at the end of a line from its hole."""

    RIM = "the rim of a round plate"
    BORE = "the edge of the bore"


class Trial(Struct, frozen=True):
    """One way to number a group: which holes, the direction from each to its number, how far off.

    ``gap`` is in printed mm from the edge of the hole, or what the numbers stand beyond. ``is_turned`` where the
    figures lie along the circle; ``margin`` is how many times nearer each is to its own hole.
    """

    holes: Sequence[Hole]
    way: Callable[[Hole], float]
    gap: float | Beyond
    step: int = 1
    is_turned: bool = False
    margin: float = MARGIN

    def ways(self) -> Iterator[tuple[Hole, float]]:
        """Each hole and the direction from it."""
        return ((hole, self.way(hole)) for hole in self.holes)

    def gaps(self) -> Iterator[tuple[float | Beyond, float]]:
        """How far off a number may stand on its ray, the usual place first: the gap, and printed mm more."""
        if isinstance(self.gap, Beyond):
            yield from ((self.gap, farther) for farther in _FARTHER)
        else:
            others = _OUTER_GAPS if self.gap in _OUTER_GAPS else GAPS
            yield self.gap, 0.0
            yield from ((gap, 0.0) for gap in (*others, _CLOSEST) if gap != self.gap)


Choice = tuple[Sequence[Hole], Iterable[Trial]]
"""Holes to be numbered and the ways to number them."""


def choices_of(look: Look, group: int, holes: Sequence[Hole], on_other_side: bool) -> Iterator[Choice]:
    """The ways to number a group, the best first."""
    pattern = look.flange.groups()[group]
    if not isinstance(pattern, BoltCircle):
        yield from _of_pattern(pattern, holes)
        return
    sides = sides_of(look, pattern)[:: -1 if on_other_side else 1]
    for step in _STEPS:
        if step == 1 or step * 2 <= len(holes):
            chosen = [hole for hole in holes if (hole.number - 1) % step == 0]
            trials = [*_by_rays(chosen, sides, step)]
            if look.flange.round_diameter is not None:
                trials.append(Trial(chosen, partial(on_ray, 0.0), Beyond.RIM, step))
            else:
                trials += (Trial(chosen, partial(on_ray, 0.0), gap, step) for gap in _OUTER_GAPS)
            if _is_innermost(look, pattern):
                trials.append(Trial(chosen, partial(on_ray, 180.0), Beyond.BORE, step))
            yield chosen, trials


def led_ways(look: Look, circle: BoltCircle, holes: Sequence[Hole]) -> Iterator[Choice]:
    """The ways to number a circle by lines to the numbers: beyond the rim of a not too large plate, or in the bore."""
    rim, (usual, least) = look.flange.round_diameter, _LED_MARGINS
    often = ((usual, step) for step in _STEPS if step <= _OFTEN)
    steps = [(margin, step) for margin, step in (*often, *((least, step) for step in _STEPS)) if step * 2 <= len(holes)]
    sides = [(0.0, Beyond.RIM)] if rim and rim * look.scale <= look.numbered_within else []
    sides += [(180.0, Beyond.BORE)] if _is_innermost(look, circle) else []
    for (turn, beyond), (margin, step) in product(sides, steps):
        chosen = [hole for hole in holes if (hole.number - 1) % step == 0]
        yield chosen, [Trial(chosen, partial(on_ray, turn), beyond, step, margin=margin)]


def turned_ways(holes: Sequence[Hole], sides: Sequence[float]) -> Iterator[Choice]:
    """The ways to number four holes of a circle or more with figures along it, those first that number the quarters."""
    steps = [step for step in _STEPS if step * 4 <= len(holes)]
    for step in sorted(steps, key=lambda step: len(holes) % (4 * step) > 0):
        chosen = [hole for hole in holes if (hole.number - 1) % step == 0]
        yield chosen, _by_rays(chosen, sides, step, is_turned=True)


def _of_pattern(pattern: HolePattern, holes: Sequence[Hole]) -> Iterator[Choice]:
    """The ways to number a pattern beside the bolt circle: of tubes only the ends of their rows, if not all."""
    ends = frozenset(pattern.ends())
    outer = [hole for hole in holes if hole.number in ends]
    if pattern.tubes and len(holes) <= _MOST_ALL:
        yield holes, _by_one_direction(holes)
    if pattern.on_rays:
        yield outer, _by_rays(outer, (0.0, 180.0))
        if not pattern.tubes:
            yield outer, _by_columns_and_rows(outer, pattern.center)
    if pattern.tubes:
        yield outer, (Trial(outer, partial(_sideways, pattern.center.x), gap) for gap in GAPS)
        if isinstance(pattern, HoleGrid) and len(outer) > _CORNERS:
            corners = outer[: _CORNERS // 2] + outer[-_CORNERS // 2 :]
            yield corners, _by_rays(corners, (0.0,))
        yield holes[:1], _by_one_direction(holes[:1])


def on_ray(turn: float, hole: Hole) -> float:
    """So many degrees from the ray outward."""
    return hole.angle + turn


def _one_way(direction: float, _hole: Hole) -> float:
    return direction


def _sideways(middle: float, hole: Hole) -> float:
    return 180.0 if hole.center.x < middle else 0.0


def _upright(middle: float, hole: Hole) -> float:
    return 270.0 if hole.center.y < middle else 90.0


def _opposite(way: Callable[[Hole], float], hole: Hole) -> float:
    return way(hole) + 180.0


def _by_columns_and_rows(holes: Sequence[Hole], middle: Point) -> Iterator[Trial]:
    """Away from the middle of a pattern or toward it, all of them sideways, or up and down."""
    for gap in GAPS:
        for way in (partial(_sideways, middle.x), partial(_upright, middle.y)):
            yield Trial(holes, way, gap)
            yield Trial(holes, partial(_opposite, way), gap)


def _is_innermost(look: Look, circle: BoltCircle) -> bool:
    """Whether nothing lies between a circle and the bore."""
    flange = look.flange
    return flange.bore is not None and circle.diameter == min(each.diameter for each in flange.bolt_circles)


def _by_rays(
    holes: Sequence[Hole], sides: Sequence[float], step: int = 1, *, is_turned: bool = False
) -> Iterator[Trial]:
    """On the rays from the middle, on either side of the holes."""
    for gap in GAPS:
        for side in sides:
            yield Trial(holes, partial(on_ray, side), gap, step, is_turned)


def _by_one_direction(holes: Sequence[Hole]) -> Iterator[Trial]:
    """All on the same side of their holes."""
    for gap in GAPS:
        for direction in (90.0, 0.0, 270.0, 180.0, 45.0):
            yield Trial(holes, partial(_one_way, direction), gap)


def sides_of(look: Look, circle: BoltCircle) -> tuple[float, float]:
    """Turns from the ray outward: the side with more free metal first."""
    rim = (look.flange.round_diameter or math.inf) / 2
    inner = [(look.flange.bore or 0.0) / 2]
    inner += [(each.diameter + each.hole_diameter) / 2 for each in look.flange.bolt_circles]
    room = circle.diameter / 2 - max(edge for edge in (0.0, *inner) if edge < circle.diameter / 2)
    return (180.0, 0.0) if room >= rim - circle.diameter / 2 else (0.0, 180.0)
