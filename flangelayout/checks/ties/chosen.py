"""Which readings tie everything that is cut into a plate to its edges and to each other, as few as serve.

Each is the least metal between two edges. What moves together may be shifted two ways and turned; a reading holds it
in the direction it is taken in, and in turn by its lever about the middle. One pattern is the first; the others, the
plate and its openings are tied to what is tied already until no motion is left that the readings do not show.
"""

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence
from heapq import nsmallest
from itertools import product

from msgspec import Struct

from flangelayout.checks.measuring import alike_singles
from flangelayout.checks.ties.edges import PLATE_EDGES, EdgeKind, JawEdge, RigidBody, bodies, place_of
from flangelayout.flange import Flange, Hole
from flangelayout.geometry.measure import Spine, piece_distance, spine_distance
from flangelayout.geometry.pieces import meet, nearest_on
from flangelayout.geometry.shapes import Arc, Circle, Contour, Line, Point, polar

_PLAIN = EdgeKind.HOLE, EdgeKind.SLOT
_INNER = EdgeKind.BORE, EdgeKind.INSIDE
_LEAST_METAL = 0.5
"""In mm, that jaws still reach round."""
_LEAST_SHOWN = 0.3
"""Of a motion, what a reading must show of it beyond what the others do."""
_NEAR = 0.3
"""Of the plate's size, what a reading is thought longer by where the shorter one is chosen; twice that on the back."""
_MOST_PAIRS, _LEAST_PAIRS = 600, 64
"""Pairs of edges of a body and those placed, and of two bodies, that are looked at."""
_MOST_TRIES = 60
"""Of the best readings, how many are looked at for one with nothing but metal between."""
_MOST_TIES = 30
"""Readings that are asked for at the most: a longer list would not be followed."""
_MOST_STEP = 6.0
"""In mm, that jaws reach down from one edge to another that lies deeper (common practice, no source)."""
_SAME = 1e-6
_SQUARE = 1e-4
"""Sine of what a reading may be off from square to a side of the plate."""
_SHORT = 0.02
"""Of the metal between two edges, what is left out at both ends where other edges are looked for in it."""

_Motion = tuple[float, float, float]


class Tie(Struct, frozen=True, gc=False):
    """The metal between two edges: from one to the other, in mm."""

    one: JawEdge
    other: JawEdge
    start: Point
    end: Point
    metal: float

    @property
    def toward(self) -> int:
        """Which way it goes, in eighths of a turn counter-clockwise from the right."""
        return round(self.start.direction_to(self.end) / 45.0) % 8

    @property
    def is_behind(self) -> bool:
        """Whether the plate is turned over for it."""
        return not _share(self.one, self.other, 0)


class Ties(Struct, frozen=True):
    """All that ties a plate: the readings, and what they leave loose."""

    readings: tuple[Tie, ...] = ()
    loose: tuple[RigidBody, ...] = ()

    def is_read(self, body: RigidBody) -> bool:
        """Whether some reading is of it, even if it is not held."""
        return any(edge in body.edges for tie in self.readings for edge in (tie.one, tie.other))


class _Plate(Struct, frozen=True):
    """A plate and its holes from left to right: where they begin, and how wide the widest is."""

    flange: Flange
    holes: Sequence[Hole]
    lefts: Sequence[float]
    widest: float

    def is_metal(self, tie: Tie) -> bool:
        """Whether nothing is cut out between the two edges."""
        step = tie.end - tie.start
        line = Line(tie.start + step.scaled(_SHORT), tie.end - step.scaled(_SHORT))
        low, high = sorted((line.start.x, line.end.x))
        near = self.holes[bisect_left(self.lefts, low - self.widest) : bisect_right(self.lefts, high)]
        if any(spine_distance(hole.spine, line) < hole.diameter / 2 for hole in near):
            return False
        edges = [opening.shape for opening in self.flange.cutouts()]
        if any(isinstance(edge, Circle) and piece_distance(edge.center, line) < edge.radius for edge in edges):
            return False
        edges.append(self.flange.outline.shape)
        return not any(meet(line, part) for edge in edges if isinstance(edge, Contour) for part in edge.parts)


def _plate(flange: Flange) -> _Plate:
    holes = sorted(flange.holes(), key=_left_of)
    return _Plate(flange, holes, [*map(_left_of, holes)], max(2 * hole.reach for hole in holes))


def _left_of(hole: Hole) -> float:
    return hole.center.x - hole.reach


def ties_of(flange: Flange) -> Ties:
    """The ties of a plate that has a pattern to start from; none of others."""
    found = [*bodies(flange)]
    patterns = sorted((each for each in found if each.group >= 0), key=lambda each: each.edges[0].kind not in _PLAIN)
    first = next((each for each in patterns if len(each.edges) > 1), None)
    if first is None:
        return Ties()
    placed, waiting, ties = [first], [each for each in found if each is not first], list[Tie]()
    plate, apart = _plate(flange), {other.label: one for one, other in alike_singles(flange)}
    while body := next((each for each in waiting if _is_added(plate, each, placed, apart, ties)), None):
        placed.append(body)
        waiting.remove(body)
    for place, body in enumerate(waiting):
        near = [*placed, *waiting[:place]]
        ties += _tied(plate, body, near, apart)[0] if len(ties) < _MOST_TIES else []
    return Ties(tuple(ties[:_MOST_TIES]), tuple(waiting))


def _is_added(
    plate: _Plate, body: RigidBody, placed: Sequence[RigidBody], apart: Mapping[str, Hole], ties: list[Tie]
) -> bool:
    """Whether readings hold a body, as far as the list has room for them; they are added to it."""
    if len(ties) >= _MOST_TIES:
        return False
    tied, is_held = _tied(plate, body, placed, apart)
    if is_held and len(ties) + len(tied) <= _MOST_TIES:
        ties += tied
        return True
    return False


def _tied(
    plate: _Plate, body: RigidBody, placed: Sequence[RigidBody], apart: Mapping[str, Hole]
) -> tuple[list[Tie], bool]:
    """The readings of a body to those placed, beside distances of single holes; whether they hold it."""
    box = plate.flange.box()
    near = _NEAR * max(box.width, box.height)
    held: list[_Motion] = []
    before = apart.get(body.name)
    if before is not None and any(each.name == before.label for each in placed):
        _hold(held, _shown(body, before.center, body.middle, body.middle))
    ties: list[Tie] = []
    options = [(tie, _shown(body, tie.start, tie.end, _own_end(tie, body))) for tie in _options(body, placed)]
    while len(held) < (3 if body.reach else 2):
        left = [(_left(held, shown), tie, shown) for tie, shown in options]
        left = [each for each in left if each[0] >= _LEAST_SHOWN]
        left.sort(key=lambda each: -round(each[0] / (each[1].metal + near * (2 if each[1].is_behind else 1)), 9))
        chosen = next(((tie, shown) for _, tie, shown in left[:_MOST_TRIES] if plate.is_metal(tie)), None)
        if chosen is None:
            return ties, False
        ties.append(chosen[0])
        _hold(held, chosen[1])
    return ties, True


def _own_end(tie: Tie, body: RigidBody) -> Point:
    return tie.start if tie.one in body.edges else tie.end


def _shown(body: RigidBody, start: Point, end: Point, own: Point) -> _Motion:
    """What a distance shows of a body's three motions; a turn by as much as moves what is farthest out by 1."""
    apart = start.distance_to(end)
    x, y = (end.x - start.x) / apart, (end.y - start.y) / apart
    lever = own - body.middle
    return x, y, (lever.x * y - lever.y * x) / body.reach if body.reach else 0.0


def _rest(held: Sequence[_Motion], shown: _Motion) -> _Motion:
    """What is left of it beside what is held."""
    for each in held:
        part = sum(a * b for a, b in zip(each, shown, strict=True))
        shown = (shown[0] - part * each[0], shown[1] - part * each[1], shown[2] - part * each[2])
    return shown


def _left(held: Sequence[_Motion], shown: _Motion) -> float:
    return math.hypot(*_rest(held, shown))


def _hold(held: list[_Motion], shown: _Motion) -> None:
    rest = _rest(held, shown)
    size = math.hypot(*rest)
    held.append((rest[0] / size, rest[1] / size, rest[2] / size))


def _options(body: RigidBody, placed: Sequence[RigidBody]) -> Iterator[Tie]:
    """The metal between each edge of a body and those placed: the nearest where several go by one name."""
    most = max(_MOST_PAIRS // len(placed), _LEAST_PAIRS)
    for other in placed:
        found: dict[tuple[str, EdgeKind, str, EdgeKind, int], Tie] = {}
        for one, two in _pairs(body.edges, other.edges, most):
            tie = _between(two, one) if _comes_first(two, one) else _between(one, two)
            if tie is not None:
                sides = tie.toward if EdgeKind.SIDE in (one.kind, two.kind) else 0
                key = (tie.one.name, tie.one.kind, tie.other.name, tie.other.kind, sides)
                if key not in found or tie.metal < found[key].metal - _SAME:
                    found[key] = tie
        yield from found.values()


def _comes_first(placed: JawEdge, other: JawEdge) -> bool:
    """Whether the edge that is placed is named first: a hole is, unless the other one is a single hole."""
    return placed.kind.value < EdgeKind.BORE.value and (
        not other.name.startswith("X") or other.kind is EdgeKind.OPENING
    )


def _pairs(one: Sequence[JawEdge], other: Sequence[JawEdge], most: int) -> Iterator[tuple[JawEdge, JawEdge]]:
    """All pairs; of very many some edges, evenly, each with those of the other body that are nearest to it."""
    if len(one) * len(other) <= most:
        yield from product(one, other)
        return
    each = math.isqrt(most)
    for edge in one[:: -(-len(one) // each)]:
        at = place_of(edge)
        yield from ((edge, near) for near in nsmallest(each, other, key=lambda far: at.distance_to(place_of(far))))


def _between(one: JawEdge, other: JawEdge) -> Tie | None:
    """The least metal between two edges; ``None`` where there is none, or no face shows both."""
    if not (_share(one, other, 0) or _share(one, other, 1)):
        return None
    found = [pair for a, b in product(one.spines, other.spines) if (pair := _nearest(a, b))]
    if not found:
        return None
    start, end = min(found, key=lambda pair: round(pair[0].distance_to(pair[1]), 6))
    metal = start.distance_to(end) - one.off - other.off
    way = start.direction_to(end)
    if metal < _LEAST_METAL or not (_is_square(one, start, way) and _is_square(other, end, way)):
        return None
    return Tie(one, other, polar(one.off, way, start), polar(-other.off, way, end), metal)


def _share(one: JawEdge, other: JawEdge, face: int) -> bool:
    """Whether jaws reach both on the face (0) or the back (1): about as deep, a bore no deeper."""
    level, beside = one.levels[face], other.levels[face]
    if level is None or beside is None:
        return False
    lower = one if level > beside else other
    return abs(level - beside) < (_SAME if lower.kind in _INNER else _MOST_STEP)


def _is_square(edge: JawEdge, at: Point, way: float) -> bool:
    """Whether a side of the plate is met square, not at a corner."""
    side = edge.spines[0]
    if edge.kind not in PLATE_EDGES or isinstance(side, Point):
        return True
    across = side.start.direction_to(side.end) + 90.0 if isinstance(side, Line) else side.center.direction_to(at)
    return abs(math.sin(math.radians(way - across))) < _SQUARE


def _nearest(one: Spine, other: Spine) -> tuple[Point, Point] | None:
    """The places at which two are nearest, the middle where that is all along; ``None`` where they are not found."""
    if isinstance(one, Point):
        return one, _nearest_to(one, other)
    if isinstance(other, Point):
        return _nearest_to(other, one), other
    ends = [(at, _nearest_to(at, other)) for at in _thirds(one)] + [(_nearest_to(at, one), at) for at in _thirds(other)]
    start, end = min(ends, key=lambda pair: round(pair[0].distance_to(pair[1]), 6))
    return (start, end) if start.distance_to(end) < spine_distance(one, other) + _SAME else None


def _nearest_to(at: Point, spine: Spine) -> Point:
    """Of an arc about the place its middle."""
    if isinstance(spine, Point):
        return spine
    if isinstance(spine, Arc) and spine.center.distance_to(at) < _SAME:
        return _thirds(spine)[0]
    return nearest_on(spine, at)


def _thirds(spine: Line | Arc) -> tuple[Point, Point, Point]:
    """The middle and both ends."""
    if isinstance(spine, Line):
        return spine.start + (spine.end - spine.start).scaled(0.5), spine.start, spine.end
    middle = polar(spine.radius, spine.start_deg + spine.sweep_deg / 2, spine.center)
    return middle, spine.start, spine.end
