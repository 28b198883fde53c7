"""The codes of cards in a picture; the only module that knows how codes are read."""

from dataclasses import dataclass

import numpy as np

from flangelayout.vision.cards import Card, card_read
from flangelayout.vision.sample import Array, Gray, halved


@dataclass(frozen=True, slots=True)
class CodeSeen:
    """A card's code in a picture.

    Attributes:
        card: What it says.
        corners: (4, 2) corners of the code in pixels: lower left of the card first, then counter-clockwise on it.
    """

    card: Card
    corners: Array

    @property
    def mirrored(self) -> bool:
        """Whether the picture shows the card as in a mirror: pixels run down, so a true one turns clockwise."""
        x, y = self.corners.T
        return float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum()) > 0


def codes_seen(image: Gray) -> tuple[CodeSeen, ...]:
    """Every code of a card, read at full and at half size, in order of the cards; a card may be there twice."""
    found = [*_read(image, 1), *_read(halved(image), 2)]
    kept: list[CodeSeen] = []
    for each in found:
        if not any(_same(each, other) for other in kept):
            kept.append(each)
    return tuple(sorted(kept, key=lambda seen: (seen.card, *seen.corners[0].tolist())))


def _same(one: CodeSeen, other: CodeSeen) -> bool:
    apart = float(np.hypot(*(one.corners.mean(axis=0) - other.corners.mean(axis=0))))
    return one.card == other.card and apart < float(np.hypot(*(one.corners[0] - one.corners[2])))


def _read(image: Gray, scale: int) -> list[CodeSeen]:
    import zxingcpp

    seen = []
    formats = zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.MicroQRCode])
    for code in zxingcpp.read_barcodes(np.ascontiguousarray(image), formats=formats):
        card, at = card_read(code.text), code.position
        if card is not None:
            places = (at.bottom_left, at.bottom_right, at.top_right, at.top_left)
            corners = np.array([(place.x, place.y) for place in places], dtype=float)
            seen.append(CodeSeen(card, corners * scale + (scale - 1) / 2))
    return seen
