"""The card that is laid on a flange: its geometry, once for printing and for reading. Loads no numpy.

A card is a square of 26 units. In its middle stands a Micro QR code (ISO/IEC 18004, version M2: 13 modules of one
unit) that says which card it is; near each corner stands a checker crossing, where two dark squares of two units meet
at a point. A crossing is symmetrical, so that white that blooms over black moves neither of its edges as a whole; the
side of one dark square would be a pixel short.
"""

import re
from enum import Enum

from msgspec import Struct

from flangelayout.geometry.shapes import Box, Point

UNITS = 26
CODE_UNITS = 13
CROSSING_UNITS = 10.5
DARK_UNITS = 2.0


class CardSize(Enum):
    """The sides a card comes in, mm."""

    LARGE = 52
    SMALL = 36

    @property
    def unit(self) -> float:
        """One of the 26 units of its side, mm."""
        return self.value / UNITS

    @property
    def count(self) -> int:
        """Cards on a page."""
        return 12 if self is CardSize.LARGE else 24


class PhotoCard(Struct, frozen=True, order=True):
    """One card: its side in mm and its number on the page, from 1."""

    side: int
    number: int

    @property
    def size(self) -> CardSize:
        """The size it comes in."""
        return CardSize(self.side)

    @property
    def text(self) -> str:
        """What its code says."""
        return f"{self.side}-{self.number:02d}"

    @property
    def crossings(self) -> tuple[Point, ...]:
        """Its four crossings from its middle, mm, y up: lower left first, then counter-clockwise."""
        at = CROSSING_UNITS * self.size.unit
        return Point(-at, -at), Point(at, -at), Point(at, at), Point(-at, at)

    @property
    def code(self) -> Box:
        """Its code, from its middle, mm."""
        half = CODE_UNITS / 2 * self.size.unit
        return Box(-half, -half, half, half)

    @property
    def edge(self) -> Box:
        """Where it is cut, from its middle, mm."""
        half = self.side / 2
        return Box(-half, -half, half, half)

    @property
    def dark_squares(self) -> tuple[Box, ...]:
        """The eight dark squares of its crossings: of each the two that lie along the sides of the card."""
        dark = DARK_UNITS * self.size.unit
        boxes = []
        for at in self.crossings:
            out_x, out_y = (dark if at.x > 0 else -dark), (dark if at.y > 0 else -dark)
            boxes += [_box(at, Point(at.x + out_x, at.y - out_y)), _box(at, Point(at.x - out_x, at.y + out_y))]
        return tuple(boxes)


def _box(a: Point, b: Point) -> Box:
    return Box(min(a.x, b.x), min(a.y, b.y), max(a.x, b.x), max(a.y, b.y))


def cards_of(size: CardSize) -> tuple[PhotoCard, ...]:
    """All cards of a page."""
    return tuple(PhotoCard(size.value, number) for number in range(1, size.count + 1))


def card_read(text: str) -> PhotoCard | None:
    """The card whose code says this, or ``None`` for any other code."""
    match = re.fullmatch(r"(\d\d)-(\d\d)", text)
    if match is None:
        return None
    side, number = int(match[1]), int(match[2])
    sizes = {size.value: size for size in CardSize}
    return PhotoCard(side, number) if side in sizes and 1 <= number <= sizes[side].count else None
