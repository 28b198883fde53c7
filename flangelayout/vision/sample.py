"""Gray values between the pixels of a picture. A pixel's middle is at whole numbers, x to the right, y down."""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Array: TypeAlias = NDArray[np.float64]
Gray: TypeAlias = NDArray[np.uint8]
Mask: TypeAlias = NDArray[np.bool_]


def bilinear(image: NDArray[np.generic], x: Array, y: Array) -> Array:
    """Gray values at places (any shape), in the picture's own scale; NaN outside of it."""
    height, width = image.shape
    inside = (x >= 0) & (y >= 0) & (x <= width - 1) & (y <= height - 1)
    left = np.clip(np.where(inside, x, 0), 0, width - 2).astype(np.int64)
    top = np.clip(np.where(inside, y, 0), 0, height - 2).astype(np.int64)
    right, low = x - left, y - top
    flat, at = image.reshape(-1), top * width + left
    upper = flat[at] * (1 - right) + flat[at + 1] * right
    lower = flat[at + width] * (1 - right) + flat[at + width + 1] * right
    return np.asarray(np.where(inside, upper * (1 - low) + lower * low, np.nan))


def smoothed(image: Array, passes: int = 1) -> Array:
    """A picture after ``passes`` of the binomial 1-2-1 along both axes; each adds half a square pixel of variance."""
    for _ in range(passes):
        for axis in (0, 1):
            padded = np.pad(image, [(1, 1) if each == axis else (0, 0) for each in (0, 1)], mode="edge")
            before = padded[:-2] if axis == 0 else padded[:, :-2]
            after = padded[2:] if axis == 0 else padded[:, 2:]
            image = (before + 2 * image + after) / 4
    return image


def halved(image: Gray) -> Gray:
    """The picture at half its size: means of two by two pixels."""
    height, width = (side // 2 * 2 for side in image.shape)
    even = image[:height, :width].astype(np.uint16)
    total = even[::2, ::2] + even[1::2, ::2] + even[::2, 1::2] + even[1::2, 1::2]
    return ((total + 2) // 4).astype(np.uint8)


def doubled(image: Gray) -> Gray:
    """The picture at twice its size, halfway pixels as the mean of their neighbors."""
    tall = _between(image.astype(np.uint16))
    return np.ascontiguousarray(_between(tall.T).T.astype(np.uint8))


def _between(rows: NDArray[np.uint16]) -> NDArray[np.uint16]:
    """Each row twice, a quarter of the way to the row on either side."""
    padded = np.pad(rows, [(1, 1), (0, 0)], mode="edge")
    out = np.empty((2 * len(rows), rows.shape[1]), dtype=np.uint16)
    out[::2] = (3 * rows + padded[:-2] + 2) // 4
    out[1::2] = (3 * rows + padded[2:] + 2) // 4
    return out
