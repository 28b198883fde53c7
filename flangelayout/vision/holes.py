"""The holes of a face: the ring that was asked for, and each rim of it in every picture."""

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from flangelayout.vision.adjust import CameraScene, Marks
from flangelayout.vision.rims import Look, Rim, common_radius, find_rim
from flangelayout.vision.rings import Flat, Ring, peaks, rings, votes
from flangelayout.vision.sample import Array

SEEN = 0.4
"""Share of its rays on which a rim has to be found in a picture to count there (judgement)."""
_FAINT = 0.1
"""Share of the usual strength of a picture's rims below which a rim is only the grain of the face (judgement)."""
_BESIDE = 0.35
"""Share of a hole's diameter by which another circle may lie off the ring and still be on it."""
_AS_LEAST = 0.45
_AS_STRONG = 0.6
"""Share of the ring's own votes that makes another circle on it a hole too many."""
RIM_SIGMA = 0.04
"""Mm by which light and burrs move a rim's middle in one picture, one standard deviation (from rendered pictures)."""
_PRESSED = 0.1
"""Share of a hole's diameter about a place that a person pressed which counts as its middle."""
_NOWHERE = np.zeros((0, 2))


class Search(Struct, frozen=True):
    """What the votes show.

    Attributes:
        ring: The best ring, or ``None``.
        rival: The next best of another diameter or center that is as whole, or ``None``.
        extra: (n, 2) further circles on the ring, between its places.
        strongest: Mean votes of as many of the best places as there should be holes.
        told: (n, 2) places where a person said a hole is.
        found: The votes on the grid, and the grid, for whoever asks after another count.
    """

    ring: Ring | None
    rival: Ring | None
    extra: Array
    strongest: float
    told: Array
    found: Array
    flat: Flat

    @property
    def missing(self) -> tuple[int, ...]:
        """Places of the ring, from 0, that have hardly any votes."""
        if self.ring is None:
            return ()
        return tuple(np.flatnonzero(self.ring.votes < self.least).tolist())

    @property
    def least(self) -> float:
        """Votes below which nothing is there: a share of what the best places of the picture have."""
        return _AS_LEAST * self.strongest


def search(flats: Sequence[Array], flat: Flat, hole_diameter: float, count: int, told: Array = _NOWHERE) -> Search:
    """The best ring of ``count`` holes and what speaks against it.

    Args:
        flats: The face as each picture shows it, on the grid.
        flat: The grid.
        hole_diameter: The caliper's.
        count: Holes asked for.
        told: (n, 2) places where a person said a hole is: each has the votes of a whole rim.
    """
    found = votes(flats, hole_diameter, flat)
    for place in told:
        found[np.hypot(*(flat.places - place).T).reshape(flat.shape) < _PRESSED * hole_diameter] = 1.0
    every = rings(found, flat, hole_diameter, count)
    if not every:
        return Search(None, None, _NOWHERE, 0.0, told, found, flat)
    best = every[0]
    rival = next((ring for ring in every[1:] if _rivals(ring, best, hole_diameter)), None)
    strongest = float(peaks(found, flat, hole_diameter)[1][: best.count].mean())
    return Search(best, rival, _extra(best, found, flat, hole_diameter), strongest, told, found, flat)


def _rivals(ring: Ring, best: Ring, hole: float) -> bool:
    """Whether another ring is as whole, and no mere turn of the best about its own center."""
    elsewhere = abs(ring.diameter - best.diameter) > hole or float(np.hypot(*(ring.center - best.center))) > 0.5 * hole
    return elsewhere and float(ring.votes.min()) >= 0.8 * _AS_STRONG * float(np.median(best.votes))


def _extra(ring: Ring, found: Array, flat: Flat, hole: float) -> Array:
    places, strengths = peaks(found, flat, hole)
    off = np.abs(np.hypot(*(places - ring.center).T) - ring.diameter / 2)
    apart = np.hypot(*(places[:, None] - ring.places[None]).transpose(2, 0, 1)).min(axis=1)
    strong = strengths > _AS_STRONG * float(np.median(ring.votes))
    return np.asarray(places[(off < _BESIDE * hole) & (apart > 0.8 * hole) & strong])


def other_counts(seen: Search, hole_diameter: float, count: int) -> tuple[int, ...]:
    """Hole counts, 3 to 32, of which a whole ring without a hole too many is to be seen; the most holes first."""
    fitting: list[int] = []
    there = int((peaks(seen.found, seen.flat, hole_diameter)[1] > seen.least).sum())
    for other in range(min(there, 32), 2, -1):
        if other == count or any(each % other == 0 for each in fitting):
            continue
        every = rings(seen.found, seen.flat, hole_diameter, other)
        whole = bool(every) and float(every[0].votes.min()) > seen.least
        if whole and not len(_extra(every[0], seen.found, seen.flat, hole_diameter)):
            fitting.append(other)
    return tuple(fitting)


def rims_seen(
    looks: Sequence[Look], places: Array, hole_diameter: float, pixels: Sequence[float]
) -> list[list[Rim | None]]:
    """Every hole's rim in every picture: a row for each picture.

    Args:
        looks: The pictures, in the plane of the rims.
        places: (h, 2) where the holes are, to a tenth of their size; the nearer, the surer is the size of all.
        hole_diameter: The caliper's.
        pixels: Mm a pixel takes up in each picture.
    """
    radius = common_radius(looks, places, hole_diameter, max(pixels))
    rows = []
    for look, pixel in zip(looks, pixels, strict=True):
        rims = [find_rim(look, center, radius, hole_diameter, pixel) for center in places]
        usual = float(np.median([rim.strength for rim in rims if rim is not None] or [0.0]))
        rows.append([rim if rim is not None and _clear(rim, usual) else None for rim in rims])
    return rows


def _clear(rim: Rim, usual: float) -> bool:
    """Whether enough of a rim is to be seen, and clearly, beside how strong the picture's rims usually are."""
    return rim.share >= SEEN and rim.strength >= _FAINT * usual


def hole_marks(rims: Sequence[Sequence[Rim | None]], scene: CameraScene, height: float) -> Marks:
    """The middles of rims as something seen, at the pixels where the plane they were found in shows them."""
    view, hole, pixel, sigma = [], [], [], []
    for index, row in enumerate(rims):
        camera = scene.view(index)
        for number, rim in enumerate(row):
            if rim is None:
                continue
            place = np.append(rim.center, height)
            view.append(index)
            hole.append(number)
            pixel.append(camera.project(place[None])[0])
            sigma.append(float(np.hypot(rim.sigma, RIM_SIGMA)) * camera.pixels_per_mm(place))
    count = len(view)
    return Marks(
        np.array(view, dtype=np.int64),
        np.full(count, -1),
        np.array(hole, dtype=np.int64),
        np.zeros((count, 2)),
        np.array(pixel).reshape(count, 2),
        np.array(sigma),
    )


def all_marks(one: Marks, other: Marks) -> Marks:
    """The marks of both."""
    return Marks(
        np.concatenate([one.view, other.view]),
        np.concatenate([one.card, other.card]),
        np.concatenate([one.hole, other.hole]),
        np.vstack([one.place, other.place]),
        np.vstack([one.pixel, other.pixel]),
        np.concatenate([one.sigma, other.sigma]),
    )
