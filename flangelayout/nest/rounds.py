"""Discs laid into a rectangle and into the drops of other discs, by exact circle geometry.

A disc that cannot be pushed further touches two things: the edges of the room, or discs laid before. So the
places worth trying are where two curves of centers cross: the room's edges moved in by the radius, and round
each disc a circle of both radii and the spacing. They are kept up to date disc by disc.
"""

import math
from bisect import insort
from collections.abc import Sequence
from enum import Enum
from typing import TYPE_CHECKING

from msgspec import Struct, field

from flangelayout.geometry.shapes import Box, Circle, Point
from flangelayout.nest.parts import RoundPart

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Places = npt.NDArray[np.float64]

_ROUNDING = 1e-7
"""What a distance may fall short by the rounding of its numbers, in mm."""

_DECIMALS = 5
"""Costs are compared in hundredths of a micrometer, so that rounding never decides a place."""


class Toward(Enum):
    """Where a piece is pushed first, and where next: the plate's left end, its lower edge, or the nearer long edge."""

    LEFT_THEN_DOWN = "left, then down"
    LEFT_THEN_EDGE = "left, then to the nearer edge"
    DOWN_THEN_LEFT = "down, then left"


class _Room(Struct):
    """The plate or a drop, and what lies in it.

    Attributes:
        bounds: The plate inside its margins, or the free circle of a drop.
        discs: Center and radius of what lies in it.
        free: For each radius, the places where a disc of it can lie beside the first ``seen`` discs.
        too_large: The smallest radius that found no place; no larger one ever will.
    """

    bounds: Box | Circle
    discs: list[tuple[float, float, float]] = field(default_factory=list)
    free: "dict[float, tuple[int, Places]]" = field(default_factory=dict)
    too_large: float = math.inf


def lay_discs(
    parts: Sequence[RoundPart], order: Sequence[int], room: Box, spacing: float, toward: Toward
) -> tuple[list[tuple[int, Point]], list[int]]:
    """Discs laid one after the other, each into the tightest drop that takes it, else onto the plate.

    Args:
        parts: Every kind of disc.
        order: The kind of each piece in the order of laying; a host must come before what can lie in it.
        room: The plate inside its margins.
        spacing: Least distance between two pieces in mm.
        toward: Where each is pushed.

    Returns:
        The kind of each piece laid with the place of its part's origin, and the kinds of those without a place.
    """
    plate = _Room(room)
    drops: list[_Room] = []
    laid: list[tuple[int, Point]] = []
    left: list[int] = []
    for index in order:
        part = parts[index]
        center = _first_place((*drops, plate), part.radius, spacing, toward)
        if center is None:
            left.append(index)
            continue
        at = center - part.center
        laid.append((index, at))
        for drop in part.drops:
            insort(drops, _Room(Circle(drop.center + at, drop.radius)), key=_size)
    return laid, left


def _size(room: _Room) -> float:
    assert isinstance(room.bounds, Circle)
    return room.bounds.radius


def _first_place(rooms: Sequence[_Room], radius: float, spacing: float, toward: Toward) -> Point | None:
    """A place in the first room that has one, taken at once."""
    for room in rooms:
        if radius >= room.too_large:
            continue
        center = _best_place(room, radius, spacing, toward)
        if center is not None:
            room.discs.append((center.x, center.y, radius))
            return center
        room.too_large = radius
    return None


def _best_place(room: _Room, radius: float, spacing: float, toward: Toward) -> Point | None:
    import numpy as np

    places = _refreshed(room, radius, spacing)
    if not len(places):
        return None
    x, y = places.round(_DECIMALS).T
    match toward:
        case Toward.LEFT_THEN_DOWN:
            order = np.lexsort((y, x))
        case Toward.DOWN_THEN_LEFT:
            order = np.lexsort((x, y))
        case Toward.LEFT_THEN_EDGE:
            middle = room.bounds.center.y
            order = np.lexsort((y, -np.abs(y - middle).round(_DECIMALS), x))
    best = places[order[0]]
    return Point(float(best[0]), float(best[1]))


def _refreshed(room: _Room, radius: float, spacing: float) -> "Places":
    """The free places of a radius, brought up to date with the discs laid since."""
    import numpy as np

    seen, places = room.free.get(radius) or (0, _first_corners(room.bounds, radius, spacing))
    discs = np.array(room.discs).reshape(-1, 3)
    reach = discs[:, 2] + radius + spacing
    for number in range(seen, len(discs)):
        places = _clear_of(places, discs[number : number + 1], reach[number : number + 1])
        fresh = np.concatenate(
            (
                _on_bounds(room.bounds, discs[number], reach[number], radius, spacing),
                _on_discs(discs[:number], reach[:number], discs[number], reach[number]),
            )
        )
        fresh = fresh[_is_within(fresh, room.bounds, radius, spacing)]
        places = np.concatenate((places, _clear_of(fresh, discs[: number + 1], reach[: number + 1])))
    room.free[radius] = len(discs), places
    return places


def _clear_of(places: "Places", discs: "Places", reach: "Places") -> "Places":
    """The places that keep their distance from every disc."""
    import numpy as np

    apart = np.hypot(places[:, None, 0] - discs[:, 0], places[:, None, 1] - discs[:, 1])
    kept: Places = places[(apart >= reach - _ROUNDING).all(axis=1)]
    return kept


def _first_corners(bounds: Box | Circle, radius: float, spacing: float) -> "Places":
    """Where a disc lies in an empty room: in the corners of a plate, at the left end of a drop."""
    import numpy as np

    if isinstance(bounds, Circle):
        way = bounds.radius - spacing - radius
        corners = [(bounds.center.x - max(way, 0.0), bounds.center.y)] if way >= -_ROUNDING else []
    else:
        fits = min(bounds.width, bounds.height) >= 2 * radius - _ROUNDING
        xs, ys = (bounds.left + radius, bounds.right - radius), (bounds.bottom + radius, bounds.top - radius)
        corners = [(x, y) for x in xs for y in ys] if fits else []
    return np.array(corners).reshape(-1, 2)


def _is_within(places: "Places", bounds: Box | Circle, radius: float, spacing: float) -> "npt.NDArray[np.bool_]":
    import numpy as np

    x, y = places.T
    if isinstance(bounds, Circle):
        apart = np.hypot(x - bounds.center.x, y - bounds.center.y)
        return np.asarray(apart <= bounds.radius - spacing - radius + _ROUNDING)
    room = bounds.grown(_ROUNDING - radius)
    return np.asarray((x >= room.left) & (x <= room.right) & (y >= room.bottom) & (y <= room.top))


def _on_bounds(bounds: Box | Circle, disc: "Places", reach: float, radius: float, spacing: float) -> "Places":
    """Where a disc touches both the edge of the room and another disc."""
    import numpy as np

    if isinstance(bounds, Circle):
        way = max(bounds.radius - spacing - radius, 0.0)
        return _on_discs(np.array([[bounds.center.x, bounds.center.y, 0.0]]), np.array([way]), disc, reach)
    inner = bounds.grown(-radius)
    found: list[tuple[float, float]] = []
    for x in (inner.left, inner.right):
        found += [(x, y) for y in _across(x - disc[0], disc[1], reach)]
    for y in (inner.bottom, inner.top):
        found += [(x, y) for x in _across(y - disc[1], disc[0], reach)]
    return np.array(found).reshape(-1, 2)


def _across(away: float, middle: float, reach: float) -> tuple[float, ...]:
    """Where a line that passes ``away`` from a circle's center crosses it, along the line."""
    if abs(away) > reach:
        return ()
    half = math.sqrt(reach**2 - away**2)
    return middle - half, middle + half


def _on_discs(discs: "Places", reaches: "Places", disc: "Places", reach: float) -> "Places":
    """Where the circle of centers round one disc crosses those round others."""
    import numpy as np

    dx, dy = discs[:, 0] - disc[0], discs[:, 1] - disc[1]
    apart = np.hypot(dx, dy)
    cross = (
        (apart > _ROUNDING) & (apart <= reach + reaches + _ROUNDING) & (apart >= np.abs(reach - reaches) - _ROUNDING)
    )
    dx, dy, apart, other = dx[cross] / apart[cross], dy[cross] / apart[cross], apart[cross], reaches[cross]
    along = (apart**2 + reach**2 - other**2) / (2 * apart)
    aside = np.sqrt(np.maximum(reach**2 - along**2, 0.0))
    xs = disc[0] + np.concatenate((along * dx - aside * dy, along * dx + aside * dy))
    ys = disc[1] + np.concatenate((along * dy + aside * dx, along * dy - aside * dx))
    return np.column_stack((xs, ys))
