"""What is measured on a drilled plate, in the order of measuring: across first, then from neighbor to neighbor.

Two diagonals at right angles show a circle that is turned or egg-shaped in two readings, the other diagonals a
hole that is off, the neighbors which one it is.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import chain, pairwise

from msgspec import Struct

from flangelayout.flange import BoltCircle, Flange, Group, Hole, HoleGrid, HoleKind, SplitOutline
from flangelayout.flange.claims import own_tolerance
from flangelayout.geometry.shapes import ORIGIN, Point
from flangelayout.provenance import DrillingTolerance
from flangelayout.units import Unit, decimal_text
from flangelayout.views.words.joint.turned import side_text
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.tolerances import rounded_inward

MOST_DIAGONALS = 6
MOST_NEIGHBORS = 64
"""Holes of a circle above which its neighbors stand in no list: all are one length, or in the hole list."""
_SAMPLED = 12
_SAME = 1e-6
"""In mm, between equal distances."""


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
    beside = _neighbors(centers, order)
    ends = order if isinstance(group, BoltCircle) else _outermost(centers, order)
    across = _diagonals(centers, ends, {frozenset(pair) for pair in beside})
    shown = beside if len(centers) <= MOST_NEIGHBORS else []
    return (
        *(MeasuredSpan(*pair, _apart(centers, pair), True) for pair in across),
        *(MeasuredSpan(*pair, _apart(centers, pair), False) for pair in shown),
    )


def allowed(flange: Flange, group: Group, found: Sequence[MeasuredSpan], unit: Unit) -> tuple[float | None, ...]:
    """How far in mm each reading may be off: by the plate's own tolerance, else by the standard of its circle.

    A standard tells it of neighbors, and of the circle, which is what goes across through its middle.
    """
    own, chord = flange.tolerances.bolt_circle, flange.tolerances.chord
    published = allowed_by(flange, group)
    if chord is not None or not isinstance(group, BoltCircle) or (own is None and published is None):
        return (chord,) * len(found)
    here = published.published_in(unit) if published else None
    circle, beside = (here.circle, here.chord) if here else (own, None)
    diameter = group.diameter
    return tuple(
        beside if not span.is_across else circle if abs(span.distance - diameter) < _SAME else None for span in found
    )


def allowed_by(flange: Flange, group: Group) -> DrillingTolerance | None:
    """What is published of a circle, where that is what its readings may be off by."""
    is_own = flange.tolerances.chord is not None or flange.tolerances.bolt_circle is not None
    return own_tolerance(group) if isinstance(group, BoltCircle) and not is_own else None


def accepted(tolerance: float | None, distance: float, lengths: Lengths) -> str:
    """The limits of a center distance, rounded inward; empty where it has no tolerance."""
    if tolerance is None:
        return ""
    places = 2 if lengths.unit is Unit.MM else 3
    low, high = rounded_inward(distance - tolerance, distance + tolerance, lengths.unit, places)
    return f"{lengths.decimal(low)} – {lengths.decimal(high)}"


def further_distances(flange: Flange, lengths: Lengths) -> Iterator[tuple[str, str, str]]:
    """What is measured from hole to hole beside the circles, as :func:`machined_sizes`: no limits are known.

    Between single holes of one kind, and along and across the outer rows of a grid.
    """
    pairs: list[tuple[Hole, Hole]] = []
    for group, pattern in enumerate(flange.groups()):
        ends = frozenset(pattern.ends()) if isinstance(pattern, HoleGrid) else ()
        own = [hole for hole in flange.holes() if hole.group == group and hole.number in ends] if ends else []
        if len(own) > 3:
            first, second, *_, third, fourth = own
            pairs += [(first, second), (third, fourth), (first, fourth), (second, third)]
    single: dict[tuple[HoleKind, float], list[Hole]] = {}
    for hole in flange.holes()[-len(flange.single_holes) :] if flange.single_holes else ():
        single.setdefault((hole.kind, hole.diameter), []).append(hole)
    pairs += [pair for alike in single.values() for pair in pairwise(alike)]
    for one, other in pairs:
        yield f"{one.label} – {other.label}", lengths.decimal(one.center.distance_to(other.center)), ""


def machined_sizes(flange: Flange, lengths: Lengths) -> Iterator[tuple[str, str, str]]:
    """The sizes turned on the plate: what each is of, as wanted, and its limits where a fit sets them."""
    if flange.bore is not None and not flange.bore_cut:
        held = flange.tolerances.bore
        yield (
            "bore",
            lengths.diameter(flange.bore),
            _limits(flange.bore - held.minus, flange.bore + held.plus, lengths) if held else "",
        )
    if isinstance(flange.outline, SplitOutline):
        yield "inside", lengths.diameter(flange.outline.inside_diameter), ""
    for each in flange.all_turned():
        name, wanted, fit = (
            f"{each.kind.value} {side_text(each.face).lower()}",
            lengths.diameter(each.diameter),
            each.fit,
        )
        limits = _limits(each.diameter + fit.lower, each.diameter + fit.upper, lengths) if fit else ""
        yield name, f"{wanted} {fit.name}" if fit else wanted, limits
        if each.inner_diameter:
            yield "inner wall", lengths.diameter(each.inner_diameter), ""
        yield "depth" if each.kind.is_sunk else "height", lengths.size(each.size), ""


def _limits(least: float, most: float, lengths: Lengths) -> str:
    """The least and the most that passes, to a micrometer's last figure."""
    places = 3 if lengths.unit is Unit.MM else 4
    low, high = rounded_inward(least, most, lengths.unit, places)
    return f"{decimal_text(low, lengths.unit, places)} – {decimal_text(high, lengths.unit, places)}"


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
    pairs = list(pairwise(order)) + ([(order[-1], order[0])] if len(order) > 2 else [])
    if len(order) <= 3:
        return pairs
    return [pair for pair in pairs if _turn(centers, pair) <= 120.0]


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
