"""Parts of any outline laid on a plate, each as far over as it goes without meeting what lies there.

For every kind of part and every turn of it, the places where its origin may lie are one area: the plate's, less the
steps by which the part would meet each piece laid before. A piece pushed as far as it goes lies in a corner of that
area. The openings of pieces laid before belong to it, so small parts find the drops by themselves.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from flangelayout.geometry.contours import turned_point
from flangelayout.geometry.shapes import Box, Circle, Point
from flangelayout.nest.parts import NestPart
from flangelayout.nest.polygons import collisions, convex_pieces, grown_round, lead_band, polygon, turned_pieces
from flangelayout.nest.rounds import Toward

if TYPE_CHECKING:
    import numpy.typing as npt
    import shapely

    from flangelayout.nest.polygons import Pieces

TURNS = (0.0, 90.0, 180.0, 270.0)
_ROUNDING = 1e-6
"""What a place may lie outside the plate by the rounding of its numbers, in mm."""

_DECIMALS = 4
_ALIKE = 1e-6


@dataclass(frozen=True, slots=True)
class _Turned:
    """A kind of part in one of its turns.

    Attributes:
        kind: Index of the part.
        turn: In degrees.
        solid: Everything inside its outline, and its leads.
        metal: The same less its openings.
        disc: Its outline, where that is a circle without leads outside.
        drops: Areas of its openings in square mm.
    """

    kind: int
    turn: float
    solid: "shapely.Geometry"
    metal: "shapely.Geometry"
    disc: Circle | None
    drops: tuple[float, ...]

    @property
    def box(self) -> Box:
        """What it takes up."""
        return Box(*self.solid.bounds)


@dataclass(slots=True)
class Collisions:
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
            self.steps[key] = self._worked_out(self.kinds[fixed.kind][0], self.kinds[moving.kind][0], way)
        return rotate(self.steps[key], fixed.turn, origin=(0.0, 0.0))

    def _worked_out(self, fixed: _Turned, moving: _Turned, way: float) -> "shapely.Geometry":
        """Of a part as it is and another turned by ``way``."""
        from shapely.affinity import scale, translate

        area = fixed.metal if self._may_lie_in(moving, fixed) else fixed.solid
        if moving.disc:
            center = turned_point(moving.disc.center, way)
            return translate(grown_round(area, self.spacing + moving.disc.radius), -center.x, -center.y)
        if fixed.disc and area is fixed.solid:
            mirrored = scale(_turned(moving, way).solid, -1.0, -1.0, origin=(0.0, 0.0))
            center = fixed.disc.center
            return translate(grown_round(mirrored, self.spacing + fixed.disc.radius), center.x, center.y)
        kept = self.metals if area is fixed.metal else self.solids
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
    laid: list[tuple[_Turned, Point]] = []
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
            found = _corner(area, turned.box, room, toward)
            if found and (best is None or found[0] < best[0]):
                best = (found[0], turned, found[1])
        if best is None:
            full.add(kind)
            left.append(kind)
        else:
            laid.append(best[1:])
    return [(turned.kind, turned.turn, at) for turned, at in laid], left


def _turns(kind: int, part: NestPart) -> Iterator[_Turned]:
    """The part in every turn that does not look like one before."""
    import shapely

    solid, drops = polygon(part.outline, holds_edge=True), [polygon(each, holds_edge=False) for each in part.openings]
    band = lead_band(part.leads)
    outside = not shapely.covers(solid, band)
    metal = shapely.union(shapely.difference(solid, shapely.union_all(drops)), band)
    whole = shapely.union(solid, band)
    disc = part.outline if isinstance(part.outline, Circle) and not outside else None
    first = _Turned(kind, 0.0, whole, metal, disc, tuple(each.area for each in drops))
    met: list[_Turned] = []
    for turn in TURNS:
        new = _turned(first, turn)
        if not any(_look_alike(new.metal, other.metal) for other in met):
            met.append(new)
            yield new


def _turned(what: _Turned, by: float) -> _Turned:
    from shapely.affinity import rotate

    if by % 360 == 0:
        return what
    solid, metal = (rotate(area, by, origin=(0.0, 0.0)) for area in (what.solid, what.metal))
    disc = Circle(turned_point(what.disc.center, by), what.disc.radius) if what.disc else None
    return _Turned(what.kind, (what.turn + by) % 360, solid, metal, disc, what.drops)


def _look_alike(one: "shapely.Geometry", other: "shapely.Geometry") -> bool:
    return bool(one.symmetric_difference(other).area <= _ALIKE * one.area)


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


def _corner(area: "shapely.Geometry", box: Box, room: Box, toward: Toward) -> tuple[tuple[float, ...], Point] | None:
    """The corner of the free places that lies furthest over, with what pieces are compared by."""
    import numpy as np
    import shapely

    places = shapely.get_coordinates(area)
    if not len(places):
        return None
    right, top = (places + np.array((box.right, box.top))).round(_DECIMALS).T
    costs: tuple[npt.NDArray[np.float64], ...]
    match toward:
        case Toward.LEFT_THEN_DOWN:
            costs = (right, top)
        case Toward.DOWN_THEN_LEFT:
            costs = (top, right)
        case Toward.LEFT_THEN_EDGE:
            costs = (right, -np.abs(top - box.height / 2 - room.center.y).round(_DECIMALS), top)
    best = np.lexsort(costs[::-1])[0]
    x = min(max(places[best][0], room.left - box.left), room.right - box.right)
    y = min(max(places[best][1], room.bottom - box.bottom), room.top - box.top)
    return tuple(float(cost[best]) for cost in costs), Point(float(x), float(y))
