"""Where exactly the two edges of a checker crossing meet.

At that point every gradient around it is square to the line that leads to it, so it is the place q that makes the
weighted sum of (g . (p - q))^2 least. Along one edge white lies on one side up to the crossing and on the other beyond
it; what bloom shifts out in one half it shifts in in the other.
"""

import numpy as np

from flangelayout.vision.camera import mapped
from flangelayout.vision.cards import DARK_UNITS, PhotoCard
from flangelayout.vision.sample import Array, Gray, bilinear, smoothed

_WINDOW = 0.8
"""Radius of the window, in sides of a dark square: it ends before the paper does, which ends on one side only."""
_LEAST_WINDOW, _MOST_WINDOW = 3.5, 24.0
_STEPS = 12
_LEAST_CONTRAST = 18.0
"""Gray levels of 255 between dark and light, below which a crossing is not believed (judgement)."""


def card_points(card: PhotoCard, stretch: tuple[float, float] = (1.0, 1.0)) -> Array:
    """(4, 2) crossings of a card from its middle in mm, where a printer stretches it along its own x and y."""
    return np.array([(at.x, at.y) for at in card.crossings]) * stretch


def card_crossings(image: Gray, card: PhotoCard, plane: Array) -> Array | None:
    """(4, 2) crossings of a card in pixels, or ``None`` where one of them is not to be seen.

    Args:
        image: The picture.
        card: Which card.
        plane: Homography from mm on the card to pixels, good to a few pixels.
    """
    places = card_points(card)
    start = mapped(plane, places)
    found = [_crossing(image, place, near, plane, card) for place, near in zip(places, start, strict=True)]
    seen = [each for each in found if each is not None]
    return np.array(seen) if len(seen) == len(places) else None


def _crossing(image: Gray, place: Array, near: Array, plane: Array, card: PhotoCard) -> Array | None:
    dark = DARK_UNITS * card.size.unit
    pixels = _size_there(plane, place) * dark
    half = float(np.clip(_WINDOW * pixels, _LEAST_WINDOW, _MOST_WINDOW))
    found = _meeting(image, near, half)
    if found is None or float(np.hypot(*(found - near))) > max(4.0, 0.8 * pixels):
        return None
    moved = plane.copy()
    moved[:2] += np.outer(found - near, plane[2])
    return found if _alternates(image, place, moved, dark) else None


def _size_there(plane: Array, place: Array) -> float:
    """Pixels per mm at a place."""
    a, b, c = mapped(plane, place + np.array([(0.0, 0.0), (1.0, 0.0), (0.0, 1.0)]))
    return float(np.sqrt(abs(np.linalg.det(np.array([b - a, c - a])))))


def _meeting(image: Gray, near: Array, half: float) -> Array | None:
    height, width = image.shape
    x, y = (int(each) for each in np.round(near))
    reach = int(3 * half) + 2
    box = (max(y - reach, 0), min(y + reach + 1, height), max(x - reach, 0), min(x + reach + 1, width))
    if min(x, width - 1 - x, y, height - 1 - y) < half + 1:
        return None
    patch = smoothed(image[box[0] : box[1], box[2] : box[3]].astype(float))
    down, right = np.gradient(patch)
    rows, columns = np.mgrid[box[0] : box[1], box[2] : box[3]]
    at = np.array(near, dtype=float)
    for _ in range(_STEPS):
        weight = np.maximum(1 - ((columns - at[0]) ** 2 + (rows - at[1]) ** 2) / half**2, 0.0) ** 2
        xx, xy, yy = ((weight * a * b).sum() for a, b in ((right, right), (right, down), (down, down)))
        along = weight * (right * columns + down * rows)
        matrix = np.array([[xx, xy], [xy, yy]])
        if np.linalg.det(matrix) < 1e-3 * np.trace(matrix) ** 2 + 1e-9:
            return None
        moved = np.linalg.solve(matrix, np.array([(right * along).sum(), (down * along).sum()]))
        step = float(np.hypot(*(moved - at)))
        at = moved
        if float(np.hypot(*(at - near))) > 2 * half:
            return None
        if step < 1e-3:
            break
    return at


def _alternates(image: Gray, place: Array, plane: Array, dark: float) -> bool:
    """Whether dark and light stand around a crossing as they are printed."""
    out = np.sign(place) * dark / 2
    around = place + np.array([(out[0], -out[1]), (-out[0], out[1]), (out[0], out[1]), (-out[0], -out[1])])
    pixels = mapped(plane, around)
    black_one, black_other, white_one, white_other = bilinear(image, pixels[:, 0], pixels[:, 1])
    least = min(white_one, white_other) - max(black_one, black_other)
    return bool(least > _LEAST_CONTRAST)
