"""Where circles of one size are in a picture of the face laid flat, and the ring of equal pitches among them.

Every edge votes for the two places one hole radius away from it, across the edge; where many votes meet is the middle
of a circle. A ring is the circle of N equal pitches whose places have the most votes.
"""

from collections.abc import Callable, Sequence

import numpy as np
from msgspec import Struct

from flangelayout.vision.sample import Array, Gray, Mask, bilinear, halved, smoothed

_CELLS = 20.0
"""Cells of the grid along a hole's diameter, unless the grid would have more than so many along a side."""
_MOST_CELLS = 1200
_RADII = (0.90, 0.94, 0.98, 1.02, 1.06, 1.10)
"""Shares of the hole's radius that are tried: a caliper is good to 3 %, a worn seat or chamfer is wider."""
_LEAST_EDGE = 0.12
"""Share of the strongest edges' strength below which an edge has no vote."""
_STRONG = 96.0
PEAK = 0.22
"""Share of a whole rim's votes that makes a place worth looking at."""
_MOST_PEAKS = 70
_ROOM = 1.25
"""Least pitch on a ring, in hole diameters."""


class Flat(Struct, frozen=True):
    """The face laid flat: a grid of places with square cells.

    Attributes:
        corner: (2,) world place of the first row and column, mm.
        cell: Mm from one cell to the next; x grows along the columns, y along the rows.
        shape: Rows and columns.
    """

    corner: Array
    cell: float
    shape: tuple[int, int]

    @classmethod
    def over(cls, low: Array, high: Array, hole_diameter: float) -> "Flat":
        """A grid from one corner to the other, fine enough for holes of a diameter in mm."""
        cell = max(hole_diameter / _CELLS, float((high - low).max()) / _MOST_CELLS)
        columns, rows = (int(np.ceil(side / cell)) + 1 for side in high - low)
        return cls(low, cell, (rows, columns))

    @property
    def places(self) -> Array:
        """(rows * columns, 2) world places, row by row."""
        rows, columns = np.mgrid[: self.shape[0], : self.shape[1]]
        return np.asarray(self.corner + self.cell * np.column_stack([columns.ravel(), rows.ravel()]))

    def at(self, places: Array) -> Array:
        """(n, 2) column and row of world places."""
        return np.asarray((places - self.corner) / self.cell)

    def gray(self, image: Gray, pixels_per_mm: float, draw: Callable[[Array], Array]) -> Array:
        """What a picture shows on the grid, NaN outside of it: of the picture halved until a cell has two pixels.

        Args:
            image: The picture.
            pixels_per_mm: Of it where the grid is.
            draw: Pixels of (n, 2) world places.
        """
        scale = 1
        while self.cell * pixels_per_mm > 1.7 * scale:
            image, scale = halved(image), 2 * scale
        x, y = ((draw(self.places) - (scale - 1) / 2) / scale).T
        return bilinear(image, x, y).reshape(self.shape)


class Ring(Struct, frozen=True):
    """Equal pitches on a circle.

    Attributes:
        center: (2,) mm.
        diameter: Mm.
        turn: Radians of its first place.
        count: Places.
        votes: (count,) share of a whole rim's votes at each.
    """

    center: Array
    diameter: float
    turn: float
    count: int
    votes: Array

    @property
    def places(self) -> Array:
        """(count, 2) counter-clockwise."""
        angles = self.turn + 2 * np.pi * np.arange(self.count) / self.count
        return np.asarray(self.center + self.diameter / 2 * np.column_stack([np.cos(angles), np.sin(angles)]))

    @property
    def axes(self) -> Array:
        """(2, 2) turn into axes of its own, X through its first place."""
        cos, sin = np.cos(self.turn), np.sin(self.turn)
        return np.array([[cos, sin], [-sin, cos]])

    def begun_at(self, angle: float) -> "Ring":
        """The same with its first place the next one counter-clockwise from an angle in radians."""
        pitch = 2 * np.pi / self.count
        turn = angle + (self.turn - angle) % pitch
        return Ring(
            self.center, self.diameter, turn, self.count, np.roll(self.votes, round((self.turn - turn) / pitch))
        )


def votes(flats: Sequence[Array], hole_diameter: float, flat: Flat) -> Array:
    """Share of a whole rim's votes for every place of the grid, the best of the radii, mean of the pictures.

    Args:
        flats: The face as each picture shows it, on the grid; NaN where it does not, or where a card lies.
        hole_diameter: In mm.
        flat: The grid.
    """
    sums = np.zeros((len(_RADII), *flat.shape))
    for picture in flats:
        sums += _of_picture(picture, hole_diameter / 2 / flat.cell)
    return np.asarray(sums.max(axis=0) / len(flats))


def _of_picture(picture: Array, radius: float) -> Array:
    edges = _edges(picture)
    rows, columns = picture.shape
    sums = np.zeros((len(_RADII), rows * columns))
    for index, share in enumerate(_RADII):
        for sign in (1, -1):
            x = np.round(edges[0] + sign * share * radius * edges[2]).astype(np.int64)
            y = np.round(edges[1] + sign * share * radius * edges[3]).astype(np.int64)
            inside = (x >= 0) & (y >= 0) & (x < columns) & (y < rows)
            at = y[inside] * columns + x[inside]
            sums[index] += np.bincount(at, weights=edges[4][inside], minlength=rows * columns)
    whole = 2 * np.pi * radius * np.array(_RADII)
    grids = sums.reshape(-1, rows, columns)
    return np.array([smoothed(each, 3) * _PEAK_SPREAD / full for each, full in zip(grids, whole, strict=True)])


_PEAK_SPREAD = 2 * np.pi * (1.5 + 0.5)
"""What smoothing takes from a peak: it spreads it over the area of its variance (three passes and rounding)."""


def _edges(picture: Array) -> tuple[Array, Array, Array, Array, Array]:
    """Thin edges: column, row, direction across in x and y, and weight up to 1."""
    known = np.isfinite(picture)
    filled = smoothed(np.where(known, picture, float(np.nanmedian(picture)) if known.any() else 0.0))
    down, right = (np.asarray(slope, dtype=float) for slope in np.gradient(filled))
    strength = np.asarray(np.hypot(right, down), dtype=float)
    strength[~_shrunk(known)] = 0
    reference = float(np.percentile(strength[strength > 0], _STRONG)) if (strength > 0).any() else 1.0
    rows, columns = np.nonzero(strength > _LEAST_EDGE * reference)
    inner = (rows > 0) & (columns > 0) & (rows < picture.shape[0] - 1) & (columns < picture.shape[1] - 1)
    rows, columns = rows[inner], columns[inner]
    own = strength[rows, columns]
    x, y = right[rows, columns] / own, down[rows, columns] / own
    step_x, step_y = np.round(x * 1.2).astype(int), np.round(y * 1.2).astype(int)
    thin = (own >= strength[rows + step_y, columns + step_x]) & (own > strength[rows - step_y, columns - step_x])
    weight = np.minimum(np.sqrt(own / reference), 1.0)
    return columns[thin].astype(float), rows[thin].astype(float), x[thin], y[thin], weight[thin]


def _shrunk(known: Mask) -> Mask:
    """What is known together with all its neighbors to two cells away."""
    padded = np.pad(known, 2)
    rows, columns = known.shape
    kept = known.copy()
    for row in range(5):
        for column in range(5):
            kept &= padded[row : row + rows, column : column + columns]
    return kept


def peaks(found: Array, flat: Flat, hole_diameter: float) -> tuple[Array, Array]:
    """(n, 2) places that stand out, mm, and their (n,) votes, the best first; none within half a hole of a better."""
    order = np.argsort(found, axis=None)[::-1]
    order = order[: int((found > PEAK).sum())]
    rows, columns = np.unravel_index(order, found.shape)
    places = flat.corner + flat.cell * np.column_stack([columns, rows])
    kept: list[int] = []
    free = np.ones(len(order), dtype=bool)
    for index in range(len(order)):
        if free[index]:
            kept.append(index)
            free &= ((places - places[index]) ** 2).sum(axis=1) > (hole_diameter / 2) ** 2
            if len(kept) == _MOST_PEAKS:
                break
    return np.asarray(places[kept], dtype=float), np.asarray(found[rows[kept], columns[kept]], dtype=float)


def rings(found: Array, flat: Flat, hole_diameter: float, count: int) -> tuple[Ring, ...]:
    """The best ring of ``count`` equal pitches, and the next best that are clearly others; none if nothing is seen."""
    places, _ = peaks(found, flat, hole_diameter)
    if len(places) < 2:
        return ()
    near = _widest(found, max(1, round(0.1 * hole_diameter / flat.cell)))
    centers, radii, turns = _proposed(places, count, hole_diameter, flat)
    if not len(radii):
        return ()
    scores = _scores(near, flat, centers, radii, turns, count)
    kept: list[Ring] = []
    for index in np.argsort(scores)[::-1][:400]:
        rough = _ring(near, flat, centers[index], 2 * float(radii[index]), float(turns[index]), count)
        ring = _settled(rough, places, near, flat, hole_diameter)
        if all(_differ(ring, other, hole_diameter) for other in kept):
            kept.append(ring)
        if len(kept) == 3:
            break
    return tuple(sorted(kept, key=lambda ring: -float(np.minimum(ring.votes, 1).mean())))


def _proposed(places: Array, count: int, hole: float, flat: Flat) -> tuple[Array, Array, Array]:
    """Centers, radii and turns of every ring through two places: so many pitches apart, on either side."""
    one, other = np.triu_indices(len(places), 1)
    chord = places[other] - places[one]
    length = np.hypot(*chord.T)
    extent = flat.cell * float(max(flat.shape))
    centers, radii, turns = [], [], []
    for pitches in range(1, count // 2 + 1):
        half = np.pi * pitches / count
        radius = length / (2 * np.sin(half))
        fits = (2 * radius * np.sin(np.pi / count) > _ROOM * hole) & (2 * radius < extent)
        for side in (1, -1) if 2 * pitches != count else (1,):
            middle = (places[one] + places[other]) / 2
            square = np.column_stack([-chord[:, 1], chord[:, 0]]) / length[:, None]
            center = middle + side * square * (radius * np.cos(half))[:, None]
            away = places[one] - center
            centers.append(center[fits])
            radii.append(radius[fits])
            turns.append(np.arctan2(away[:, 1], away[:, 0])[fits])
    return np.vstack(centers), np.concatenate(radii), np.concatenate(turns)


def _scores(near: Array, flat: Flat, centers: Array, radii: Array, turns: Array, count: int) -> Array:
    total = np.zeros(len(radii))
    for index in range(count):
        angles = turns + 2 * np.pi * index / count
        at = centers + radii[:, None] * np.column_stack([np.cos(angles), np.sin(angles)])
        total += np.minimum(_looked_up(near, flat, at), 1.0)
    return total / count


def _looked_up(found: Array, flat: Flat, places: Array) -> Array:
    at = np.round(flat.at(places)).astype(np.int64)
    inside = (at >= 0).all(axis=1) & (at[:, 0] < flat.shape[1]) & (at[:, 1] < flat.shape[0])
    return np.where(inside, found[np.where(inside, at[:, 1], 0), np.where(inside, at[:, 0], 0)], 0.0)


def _ring(near: Array, flat: Flat, center: Array, diameter: float, turn: float, count: int) -> Ring:
    ring = Ring(center, diameter, turn, count, np.zeros(count))
    return Ring(center, diameter, turn, count, _looked_up(near, flat, ring.places))


def _settled(ring: Ring, places: Array, near: Array, flat: Flat, hole: float) -> Ring:
    """The ring that fits best the places that stand out near its own."""
    for _ in range(3):
        apart = np.hypot(*(ring.places[:, None] - places[None]).transpose(2, 0, 1))
        closest = apart.argmin(axis=1)
        on = apart.min(axis=1) < 0.35 * hole
        if on.sum() < min(3, ring.count):
            return ring
        angles = 2 * np.pi * np.flatnonzero(on) / ring.count
        ring = _fitted(places[closest[on]], angles, ring.count)
        ring = _ring(near, flat, ring.center, ring.diameter, ring.turn, ring.count)
    return ring


def _fitted(places: Array, angles: Array, count: int) -> Ring:
    """The ring nearest to places at known pitches: linear in center and in radius times cosine and sine of the turn."""
    zero, one = np.zeros_like(angles), np.ones_like(angles)
    rows = np.vstack(
        [
            np.column_stack([one, zero, np.cos(angles), -np.sin(angles)]),
            np.column_stack([zero, one, np.sin(angles), np.cos(angles)]),
        ]
    )
    x, y, along, across = np.linalg.lstsq(rows, np.concatenate([places[:, 0], places[:, 1]]), rcond=None)[0]
    return Ring(np.array([x, y]), 2 * float(np.hypot(along, across)), float(np.arctan2(across, along)), count, zero)


def _differ(one: Ring, other: Ring, hole: float) -> bool:
    """Whether two rings are other circles, or the same circle turned to places of its own."""
    apart = float(np.hypot(*(one.center - other.center)))
    if apart > 0.5 * hole or abs(one.diameter - other.diameter) > hole:
        return True
    turn = (one.turn - other.turn) % (2 * np.pi / one.count)
    off = min(turn, 2 * np.pi / one.count - turn) * one.diameter / 2
    return off > 0.5 * hole


def _widest(found: Array, reach: int) -> Array:
    """The most within ``reach`` cells along both axes."""
    wide = found
    for axis in (0, 1):
        padded = np.pad(wide, [(reach, reach) if each == axis else (0, 0) for each in (0, 1)])
        size = wide.shape[axis]
        slices = [np.take(padded, range(step, step + size), axis=axis) for step in range(2 * reach + 1)]
        wide = np.max(slices, axis=0)
    return wide
