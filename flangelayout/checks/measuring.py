"""What is measured on a drilled plate, in the order of measuring: across first, then from neighbor to neighbor.

Two diagonals at right angles show a circle that is turned or egg-shaped in two readings, the other diagonals a
hole that is off, the neighbors which one it is.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import chain, pairwise

from msgspec import Struct

from flangelayout.flange import (
    BoltCircle,
    Counterbored,
    Countersunk,
    Flange,
    Group,
    Hole,
    HoleGrid,
    HoleKind,
    HoleRectangle,
    HoleRings,
    LozengeOutline,
    OvalOutline,
    RectangleOutline,
    Spotfaced,
)
from flangelayout.flange.plate import Opening, RectangleForm, RoundForm, SlotForm, WindowForm
from flangelayout.geometry.contours import turned
from flangelayout.geometry.shapes import ORIGIN, Contour, Point, extent

MOST_DIAGONALS = 6
MOST_NEIGHBORS = 64
"""Holes of a circle above which its neighbors stand in no list: all are one length, or in the hole list."""
_SAMPLED = 12
_SAME = 1e-6
"""In mm, between equal places."""
_ADJACENT = 120.0 + 1e-6


class MeasuredSpan(Struct, frozen=True):
    """A distance between the centers of two holes, both by their index among the group's centers.

    Attributes:
        first: One hole.
        last: The other.
        distance: In mm.
        is_across: Whether it goes across the pattern, not to a neighbor.
    """

    first: int
    last: int
    distance: float
    is_across: bool


def spans(group: Group) -> tuple[MeasuredSpan, ...]:
    """What is measured of a pattern, in this order; nothing of tubes, whose neighbors are many."""
    if group.tubes:
        return ()
    if isinstance(group, BoltCircle):
        order = group.hole_order()
        order = order[order.index(0) :] + order[: order.index(0)]
    else:
        order = _round_order(group.hole_centers())
    centers = group.hole_centers()
    beside = _ring(order) if isinstance(group, HoleRectangle) else _neighbors(centers, order)
    ends = order if isinstance(group, BoltCircle) else _outermost(centers, order)
    across = _diagonals(centers, ends, {frozenset(pair) for pair in beside})
    shown = beside if len(centers) <= MOST_NEIGHBORS else []
    return (
        *(MeasuredSpan(*pair, _apart(centers, pair), True) for pair in across),
        *(MeasuredSpan(*pair, _apart(centers, pair), False) for pair in shown),
    )


def further_pairs(flange: Flange) -> tuple[tuple[Hole, Hole], ...]:
    """What is measured beside the patterns: a single hole of a kind to the next, round a grid, over a ring, long sides.

    Sides of a rectangle with holes between its corners: the neighbors alone would let what they are off add up.
    """
    pairs: list[tuple[Hole, Hole]] = []
    for group, pattern in enumerate(flange.groups()):
        if isinstance(pattern, BoltCircle):
            continue
        own = [hole for hole in flange.holes() if hole.group == group]
        if isinstance(pattern, HoleRectangle):
            pairs += _long_sides(pattern, own)
            continue
        if isinstance(pattern, HoleGrid) and flange.tolerances.block_decimals:
            pairs += _pitches(pattern, own)
        ends = ring_quarters(pattern, own, -1) if isinstance(pattern, HoleRings) else found_holes(pattern, own)
        if len(ends) > 3:
            first, second, *_, third, fourth = ends
            pairs += [(first, second), (third, fourth), (first, fourth), (second, third), (first, third)]
    return (*dict.fromkeys(pairs), *alike_singles(flange))


def _pitches(grid: HoleGrid, holes: Sequence[Hole]) -> list[tuple[Hole, Hole]]:
    """From the first hole to the next of its row and of its column: of a block by decimals these alone have limits."""
    first = holes[0]
    places = [first.center + step for step in (Point(grid.pitch_x, 0.0), Point(0.0, -grid.pitch_y))]
    return [(first, hole) for at in places for hole in holes if hole.center.distance_to(at) < _SAME]


def _long_sides(pattern: HoleRectangle, holes: Sequence[Hole]) -> list[tuple[Hole, Hole]]:
    """From corner to corner where holes stand between."""
    centers = pattern.hole_centers()
    corners = _outermost(centers, _round_order(centers))
    beside = {frozenset(pair) for pair in _ring(_round_order(centers))}
    return [(holes[one], holes[last]) for one, last in _ring(corners) if frozenset((one, last)) not in beside]


def alike_singles(flange: Flange) -> list[tuple[Hole, Hole]]:
    """Each single hole and the next of its kind."""
    alike: dict[tuple[HoleKind, float], list[Hole]] = {}
    for hole in flange.holes()[-len(flange.single_holes) :] if flange.single_holes else ():
        alike.setdefault((hole.kind, hole.diameter), []).append(hole)
    return [pair for each in alike.values() for pair in pairwise(each)]


def found_holes(group: Group, holes: Sequence[Hole]) -> Sequence[Hole]:
    """All holes of a pattern, of tubes those that are found: ends of rows, quarters of the outer and the inner ring."""
    if isinstance(group, HoleRings):
        inner = next(index for index, count in enumerate(group.counts) if count > 1 or len(group.counts) == 1)
        return list(dict.fromkeys((*ring_quarters(group, holes, -1), *ring_quarters(group, holes, inner))))
    ends = frozenset(group.ends()) if isinstance(group, HoleGrid) else ()
    return [hole for hole in holes if hole.number in ends] if ends else holes


def ring_quarters(group: HoleRings, holes: Sequence[Hole], ring: int) -> list[Hole]:
    """Of one of its rings the first hole and those a quarter of the holes on from each other."""
    ring %= len(group.counts)
    first, count = sum(group.counts[:ring]), group.counts[ring]
    return list(dict.fromkeys(holes[first + count * quarter // 4] for quarter in range(4)))


def _apart(centers: Sequence[Point], pair: tuple[int, int]) -> float:
    return centers[pair[0]].distance_to(centers[pair[1]])


def _round_order(centers: Sequence[Point]) -> tuple[int, ...]:
    """Indices as they follow each other counter-clockwise round the middle of the centers, from the first."""
    middle = _middle(centers)
    start = middle.direction_to(centers[0])
    turns = [(middle.direction_to(at) - start + 1e-6) % 360.0 for at in centers]
    return tuple(sorted(range(len(centers)), key=lambda index: turns[index]))


def _outermost(centers: Sequence[Point], order: tuple[int, ...]) -> tuple[int, ...]:
    """Of these the corners of a rectangle of holes: those farthest from the middle of all."""
    middle = _middle(centers)
    most = max(middle.distance_to(at) for at in centers)
    return tuple(index for index in order if middle.distance_to(centers[index]) > most - 1e-6)


def _middle(centers: Sequence[Point]) -> Point:
    return Point(sum(at.x for at in centers) / len(centers), sum(at.y for at in centers) / len(centers))


def _neighbors(centers: Sequence[Point], order: Sequence[int]) -> list[tuple[int, int]]:
    """Each hole and the next one round; not across a part of the circle without holes."""
    if len(order) < 2:
        return []
    return [pair for pair in _ring(order) if are_adjacent(_turn(centers, pair), len(order))]


def _ring(order: Sequence[int]) -> list[tuple[int, int]]:
    """Each and the next one round."""
    return list(pairwise(order)) + ([(order[-1], order[0])] if len(order) > 2 else [])


def are_adjacent(turn: float, count: int) -> bool:
    """Whether a hole and the next of so many, so many degrees on, are neighbors: all of three, else none far apart."""
    return count <= 3 or turn <= _ADJACENT


def _turn(centers: Sequence[Point], pair: tuple[int, int]) -> float:
    first, last = (ORIGIN.direction_to(centers[index]) for index in pair)
    return (last - first) % 360.0


def _diagonals(centers: Sequence[Point], order: tuple[int, ...], beside: set[frozenset[int]]) -> list[tuple[int, int]]:
    """Each hole and the one farthest from it: two that stand at right angles first, six in all at the most."""
    if len(order) < 2:
        return []
    step = 1 if len(order) <= MOST_NEIGHBORS else len(order) // _SAMPLED
    places = [(centers[index].x, centers[index].y) for index in order]
    found: dict[frozenset[int], tuple[int, int]] = {}
    for place in range(0, len(order), step):
        first, x, y = order[place], *places[place]
        apart = [math.hypot(other_x - x, other_y - y) for other_x, other_y in places]
        most = round(max(apart), 6)
        ways = chain(range(place + 1, len(order)), range(place))
        last = order[next(other for other in ways if apart[other] > most - 1e-6 and round(apart[other], 6) == most)]
        pair = frozenset((first, last))
        if pair not in beside:
            found.setdefault(pair, (min(first, last), max(first, last)))
    pairs = sorted(found.values())
    if not pairs:
        return []
    longest = max(pairs, key=lambda pair: round(_apart(centers, pair), 6))
    square = max(pairs, key=lambda pair: round(_squareness(centers, longest, pair), 6))
    rest = [pair for pair in pairs if pair not in (longest, square)]
    many = MOST_DIAGONALS - 2
    if len(rest) > many:
        rest = [rest[round((index + 0.5) * len(rest) / many - 0.5)] for index in range(many)]
    return [*dict.fromkeys((longest, square, *rest))]


def _squareness(centers: Sequence[Point], one: tuple[int, int], other: tuple[int, int]) -> float:
    """1 for two diagonals at right angles, 0 for parallel ones."""
    a, b = (centers[pair[1]] - centers[pair[0]] for pair in (one, other))
    return abs(a.x * b.y - a.y * b.x) / (math.hypot(a.x, a.y) * math.hypot(b.x, b.y))


def plate_sides(flange: Flange) -> tuple[tuple[str, float], ...]:
    """How wide and high a plate is that is not round, or how long and wide; of a lozenge its round middle."""
    match flange.outline:
        case RectangleOutline(width=wide, height=high):
            return ("width", wide), ("height", high)
        case OvalOutline(length=long, width=wide):
            return ("length", long), ("width", wide)
        case LozengeOutline(length=long, middle_diameter=middle):
            return ("length", long), ("middle", middle)
        case _:
            return ()


def seat_sizes(kind: HoleKind) -> Iterator[tuple[str, float]]:
    """What is measured of the seat of a hole: its diameter and, of a counterbore, how deep it is."""
    match kind:
        case Counterbored(bore_diameter=across, depth=deep):
            yield from (("cbore", across), ("cbore depth", deep))
        case Countersunk(head_diameter=across):
            yield "csk", across
        case Spotfaced(seat_diameter=across):
            yield "spotface", across
        case _:
            pass


def form_sizes(opening: Opening) -> Iterator[tuple[str, float]]:
    """What is measured of an opening's form: across it and along it, of a round one its diameter."""
    match opening.form:
        case RoundForm(diameter=size):
            yield "", size
        case RectangleForm(width=wide, height=high):
            yield from (("width", wide), ("height", high))
        case SlotForm(width=wide, length=long):
            yield from (("width", wide), ("length", long))
        case WindowForm(inner_diameter=inner, outer_diameter=outer):
            yield "width", (outer - inner) / 2
            if isinstance(opening.shape, Contour):
                yield "length", extent(turned(opening.shape, -opening.turned_by)).height
        case None:
            pass
