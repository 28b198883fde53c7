"""The codes of cards in a picture; the only module that knows how codes are read."""

import numpy as np
from msgspec import Struct

from flangelayout.vision.camera import homography, mapped
from flangelayout.vision.cards import CODE_UNITS, PhotoCard, card_read
from flangelayout.vision.sample import Array, Gray, bilinear, doubled, halved

_SMALL = 5_000_000
"""Pixels below which a picture is read at twice its size, too: its codes may have modules of two or three pixels."""


class CodeSeen(Struct, frozen=True):
    """A card's code in a picture.

    Attributes:
        card: What it says.
        corners: (4, 2) corners of the code in pixels: lower left of the card first, then counter-clockwise on it.
        mirrored: Whether the picture shows it as in a mirror.
    """

    card: PhotoCard
    corners: Array
    mirrored: bool

    @property
    def plane(self) -> Array:
        """(3, 3) homography from mm on the card to pixels, good to a few pixels."""
        return homography(np.array([(at.x, at.y) for at in self.card.code.corners]), self.corners)


def codes_seen(image: Gray) -> tuple[CodeSeen, ...]:
    """Every code of a card, read at several sizes, in order of the cards; a card may be there twice."""
    found = [*_read(image, image, 1.0), *_read(image, halved(image), 2.0)]
    if image.size < _SMALL:
        found = [*_read(image, doubled(image), 0.5), *found]
    kept: list[CodeSeen] = []
    for each in found:
        if not any(_same(each, other) for other in kept):
            kept.append(each)
    return tuple(sorted(kept, key=lambda seen: (seen.card, *seen.corners[0].tolist())))


def _same(one: CodeSeen, other: CodeSeen) -> bool:
    apart = float(np.hypot(*(one.corners.mean(axis=0) - other.corners.mean(axis=0))))
    return one.card == other.card and apart < float(np.hypot(*(one.corners[0] - one.corners[2])))


def _read(image: Gray, resized: Gray, scale: float) -> list[CodeSeen]:
    """The codes of a picture by way of one of another size; ``scale`` pixels of the picture to one of that."""
    import zxingcpp

    seen = []
    formats = zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.MicroQRCode])
    for code in zxingcpp.read_barcodes(np.ascontiguousarray(resized), formats=formats):
        card, at = card_read(code.text), code.position
        if card is not None:
            places = (at.bottom_left, at.bottom_right, at.top_right, at.top_left)
            corners = np.array([(place.x, place.y) for place in places], dtype=float) * scale + (scale - 1) / 2
            seen.append(CodeSeen(card, corners, _mirrored(image, card, corners)))
    return seen


def _mirrored(image: Gray, card: PhotoCard, corners: Array) -> bool:
    """Whether the modules agree better with the code's mirror image; the reader takes either and does not say."""
    import segno

    dark = np.array([[bool(module) for module in row] for row in segno.make_micro(card.text, error="m").matrix])
    middles = np.arange(CODE_UNITS) + 0.5
    columns, rows = np.meshgrid(middles, middles)
    square = np.array([(0, CODE_UNITS), (CODE_UNITS, CODE_UNITS), (CODE_UNITS, 0), (0, 0)], dtype=float)
    pixels = mapped(homography(square, corners), np.column_stack([columns.ravel(), rows.ravel()]))
    gray = np.nan_to_num(bilinear(image, pixels[:, 0], pixels[:, 1])).reshape(dark.shape)
    light = gray - gray.mean()
    return bool((light * dark).sum() > (light * dark.T).sum())
