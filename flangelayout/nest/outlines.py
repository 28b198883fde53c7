"""Parts of any outline laid on a plate, each as far over as it goes without meeting what lies there.

For every kind of part and every turn of it, the places where its origin may lie are one area: the plate's, less the
steps by which the part would meet each piece laid before. A piece pushed as far as it goes lies in a corner of that
area. The openings of pieces laid before belong to it, so small parts find the drops by themselves.
"""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct, field

from flangelayout.geometry.contours import turned_point
from flangelayout.geometry.shapes import Box, Circle, Point
from flangelayout.nest.parts import TURNS, NestPart, RoundPart, round_part
from flangelayout.nest.polygons import (
    collisions,
    convex_pieces,
    grown,
    lead_band,
    polygon,
    steps_into,
    turned_pieces,
)
from flangelayout.nest.rounds import Toward

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt
    import shapely

    from flangelayout.nest.polygons import Pieces

_ROUNDING = 1e-6
"""What a place may lie outside the plate by the rounding of its numbers, in mm."""

_DECIMALS = 4
_ALIKE = 1e-6


class _Turned(Struct, frozen=True):
    """A kind of part in one of its turns.

    Attributes:
        kind: Index of the part.
        turn: In degrees.
        solid: Everything inside its outline, and its leads.
        metal: The same less its openings.
        disc: Its circle, leads counted in, where it is round and so are its openings.
        drops: Areas of its openings in square mm.
        round_drops: The free circles in them, where ``disc`` is there.
    """

    kind: int
    turn: float
    solid: "shapely.Geometry"
    metal: "shapely.Geometry"
    disc: Circle | None
    drops: tuple[float, ...]
    round_drops: tuple[Circle, ...] = ()

    @property
    def box(self) -> Box:
        """What it takes up."""
        return Box(*self.solid.bounds)


class Collisions(Struct):
    """By which steps one kind meets another, worked out once and used by every try.

    Attributes:
        kinds: Every kind in every turn that looks different.
        spacing: Least distance between two pieces in mm.
    """

    kinds: tuple[tuple[_Turned, ...], ...]
    spacing: float
    steps: "dict[tuple[int, int, float], shapely.Geometry]" = field(default_factory=dict)
    solids: "dict[int, Pieces]" = field(default_factory=dict)
    metals: "dict[int, Pieces]" = field(default_factory=dict)

    def between(self, fixed: _Turned, moving: _Turned) -> "shapely.Geometry":
        """The steps of ``moving`` that bring it nearer than the spacing to ``fixed``, which stays at the origin."""
        from shapely.affinity import rotate

        way = (moving.turn - fixed.turn) % 360
        key = (fixed.kind, moving.kind, way)
        if key not in self.steps:
            one, other = self.kinds[fixed.kind][0], self.kinds[moving.kind][0]
            self.steps[key] = self._the_other_way(one, other, way) or self._worked_out(one, other, way)
        return rotate(self.steps[key], fixed.turn, origin=(0.0, 0.0))

    def _the_other_way(self, fixed: _Turned, moving: _Turned, way: float) -> "shapely.Geometry | None":
        """The opposite steps of the fixed part, where they are known and neither may lie in the other."""
        from shapely.affinity import rotate, scale

        known = self.steps.get((moving.kind, fixed.kind, -way % 360))
        if known is None or self._may_lie_in(moving, fixed) or self._may_lie_in(fixed, moving):
            return None
        return rotate(scale(known, -1.0, -1.0, origin=(0.0, 0.0)), way, origin=(0.0, 0.0))

    def _worked_out(self, fixed: _Turned, moving: _Turned, way: float) -> "shapely.Geometry":
        """Of a part as it is and another turned by ``way``."""
        import shapely
        from shapely.affinity import scale, translate

        hosts = self._may_lie_in(moving, fixed)
        area = fixed.metal if hosts else fixed.solid
        if moving.disc:
            center = turned_point(moving.disc.center, way)
            return translate(grown(area, self.spacing + moving.disc.radius), -center.x, -center.y)
        if fixed.disc:
            solid = _turned(moving, way).solid
            mirrored = scale(solid, -1.0, -1.0, origin=(0.0, 0.0))
            center = fixed.disc.center
            outside = translate(grown(mirrored, self.spacing + fixed.disc.radius), center.x, center.y)
            inside = (steps_into(drop, solid, self.spacing) for drop in fixed.round_drops if hosts)
            return outside.difference(shapely.union_all(list(inside)))
        kept = self.metals if hosts else self.solids
        one = _kept(kept, fixed.kind, area)
        other = _kept(self.solids, moving.kind, moving.solid)
        return collisions(one, turned_pieces(other, way), self.spacing)

    @staticmethod
    def _may_lie_in(moving: _Turned, fixed: _Turned) -> bool:
        """Whether an opening is large enough to be looked into."""
        return any(moving.solid.area < drop for drop in fixed.drops)


def _kept(kept: "dict[int, Pieces]", kind: int, area: "shapely.Geometry") -> "Pieces":
    if kind not in kept:
        kept[kind] = convex_pieces(area)
    return kept[kind]


def collisions_of(parts: Sequence[NestPart], spacing: float) -> Collisions:
    """The parts prepared for :func:`lay_outlines`."""
    return Collisions(tuple(tuple(_turns(kind, part)) for kind, part in enumerate(parts)), spacing)


def lay_outlines(
    table: Collisions, order: Sequence[int], room: Box, toward: Toward
) -> tuple[list[tuple[int, float, Point]], list[int]]:
    """Parts laid one after the other.

    Args:
        table: The kinds, from :func:`collisions_of`; what it learns is kept for the next try.
        order: The kind of each piece in the order of laying.
        room: The plate inside its margins.
        toward: Where each is pushed.

    Returns:
        Kind, turn and place of the origin of each piece laid, and the kinds of those without a place.
    """
    from shapely.affinity import translate

    laid: list[tuple[_Turned, Point]] = []
    hosts: list[shapely.Geometry] = []
    free: dict[tuple[int, float], tuple[int, shapely.Geometry]] = {}
    left: list[int] = []
    full: set[int] = set()
    for kind in order:
        best: tuple[tuple[float, ...], _Turned, Point] | None = None
        for turned in () if kind in full else table.kinds[kind]:
            key = (kind, turned.turn)
            seen, area = free.get(key) or (0, _places_on(room, turned.box))
            area = _less(area, table, turned, laid[seen:])
            free[key] = len(laid), area
            found = _corner(area, turned, room, toward, hosts)
            if found and (best is None or found[0] < best[0]):
                best = (found[0], turned, found[1])
        if best is None:
            full.add(kind)
            left.append(kind)
        else:
            laid.append(best[1:])
            hosts += [translate(best[1].solid, best[2].x, best[2].y)] if best[1].drops else []
    return [(turned.kind, turned.turn, at) for turned, at in laid], left


def _turns(kind: int, part: NestPart) -> Iterator[_Turned]:
    """The part in every turn that does not look like one before."""
    rounds = round_part(part)
    first = _round(kind, rounds) if rounds else _any(kind, part)
    met: list[_Turned] = []
    for turn in TURNS:
        new = _turned(first, turn)
        if not any(new.metal.symmetric_difference(other.metal).area <= _ALIKE * new.metal.area for other in met):
            met.append(new)
            yield new


def _round(kind: int, part: RoundPart) -> _Turned:
    disc = Circle(part.center, part.radius)
    solid, drops = polygon(disc, holds_edge=True), [polygon(drop, holds_edge=False) for drop in part.drops]
    return _Turned(kind, 0.0, solid, _without(solid, drops), disc, tuple(each.area for each in drops), part.drops)


def _any(kind: int, part: NestPart) -> _Turned:
    import shapely

    band = lead_band(part.leads)
    solid, drops = polygon(part.outline, holds_edge=True), [polygon(each, holds_edge=False) for each in part.openings]
    metal = shapely.union(_without(solid, drops), band)
    return _Turned(kind, 0.0, shapely.union(solid, band), metal, None, tuple(each.area for each in drops))


def _without(solid: "shapely.Geometry", drops: "Sequence[shapely.Geometry]") -> "shapely.Geometry":
    import shapely

    return shapely.difference(solid, shapely.union_all(drops))


def _turned(what: _Turned, by: float) -> _Turned:
    from shapely.affinity import rotate

    if by % 360 == 0:
        return what
    solid, metal = (rotate(area, by, origin=(0.0, 0.0)) for area in (what.solid, what.metal))
    disc = _turned_circle(what.disc, by) if what.disc else None
    rounds = tuple(_turned_circle(drop, by) for drop in what.round_drops)
    return _Turned(what.kind, (what.turn + by) % 360, solid, metal, disc, what.drops, rounds)


def _turned_circle(circle: Circle, by: float) -> Circle:
    return Circle(turned_point(circle.center, by), circle.radius)


def _places_on(room: Box, box: Box) -> "shapely.Geometry":
    """Where the origin of a part that takes up ``box`` can lie on an empty plate."""
    import shapely

    low, high = Point(room.left - box.left, room.bottom - box.bottom), Point(room.right - box.right, room.top - box.top)
    if high.x < low.x - _ROUNDING or high.y < low.y - _ROUNDING:
        return shapely.Polygon()
    edge = _ROUNDING
    return shapely.box(low.x - edge, low.y - edge, max(high.x, low.x) + edge, max(high.y, low.y) + edge)


def _less(
    area: "shapely.Geometry", table: Collisions, turned: _Turned, laid: Sequence[tuple[_Turned, Point]]
) -> "shapely.Geometry":
    """The free places without those at which the part meets what was laid."""
    import shapely
    from shapely.affinity import translate

    if area.is_empty or not laid:
        return area
    met = [translate(table.between(other, turned), at.x, at.y) for other, at in laid]
    return shapely.difference(area, shapely.union_all(met))


def _corner(
    area: "shapely.Geometry", turned: _Turned, room: Box, toward: Toward, hosts: "Sequence[shapely.Geometry]"
) -> tuple[tuple[float, ...], Point] | None:
    """The corner of the free places that lies in a drop or else furthest over, with what pieces are compared by."""
    import numpy as np
    import shapely

    places = shapely.get_coordinates(area)
    if not len(places):
        return None
    box = turned.box
    right, top = (places + np.array((box.right, box.top))).round(_DECIMALS).T
    costs: tuple[npt.NDArray[np.float64], ...]
    match toward:
        case Toward.LEFT_THEN_DOWN:
            costs = (right, top)
        case Toward.DOWN_THEN_LEFT:
            costs = (top, right)
        case Toward.LEFT_THEN_EDGE:
            costs = (right, -np.abs(top - box.height / 2 - room.center.y).round(_DECIMALS), top)
    costs = (_outside(places, turned, hosts), *costs)
    best = np.lexsort(costs[::-1])[0]
    x = min(max(places[best][0], room.left - box.left), room.right - box.right)
    y = min(max(places[best][1], room.bottom - box.bottom), room.top - box.top)
    return tuple(float(cost[best]) for cost in costs), Point(float(x), float(y))


def _outside(
    places: "npt.NDArray[np.float64]", turned: _Turned, hosts: "Sequence[shapely.Geometry]"
) -> "npt.NDArray[np.float64]":
    """0 for each place at which the part lies in a drop, else 1: where it meets nothing but is inside a host."""
    import numpy as np
    import shapely

    spot = shapely.point_on_surface(turned.solid)
    x, y = (places + np.array((spot.x, spot.y))).T
    inside = [shapely.contains_xy(host, x, y) for host in hosts]
    outside = np.ones(len(places))
    if inside:
        outside -= np.any(inside, axis=0)
    return outside
