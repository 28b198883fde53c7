"""A QR code as filled rectangles of a drawing, so that every format has it."""

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item, Mosaic, Stamp
from flangelayout.drawing.references import Furniture
from flangelayout.geometry.shapes import Box, Point

QUIET_MODULES = 4
"""Free border of a code, in modules (ISO/IEC 18004)."""
Modules = tuple[int, int, int, int]
"""A rectangle of modules of a code: left, top, right and bottom, counted from its upper left corner."""
_LONGEST_NUMBER = 40
_MASK = 3
"""Of the eight: a reader takes any, and judging all of them costs ten times what the code does."""


def qr_text(stamp: Stamp) -> str:
    """What the code on a sheet says: number, revision and digest of the job."""
    number = " ".join(stamp.job_number.split())
    if len(number) > _LONGEST_NUMBER:
        number = number[: _LONGEST_NUMBER - 1] + "…"
    return f"{number} rev {stamp.revision} {stamp.digest}"


def qr_item(text: str, at: Point, size: float) -> Item:
    """A QR code with medium error correction (ISO/IEC 18004 level M).

    Args:
        text: What it says.
        at: Its lower left corner in printed mm; the free border that scanners need is inside ``size``.
        size: Width and height in printed mm. For paper that is handled, keep modules of 0.4 mm or more:
            90 characters take 45 modules with the border, so at least 18 mm.
    """
    across, dark = _dark(text)
    module = size / (across + 2 * QUIET_MODULES)
    corner = Point(at.x + QUIET_MODULES * module, at.y + size - QUIET_MODULES * module)
    return Item(Layer.CODE, code_mosaic(dark, corner, module), Furniture("QR code"))


@lru_cache(maxsize=8)
def _dark(text: str) -> tuple[int, tuple[Modules, ...]]:
    """How many modules a code is wide, and the dark ones; those of the last few jobs are kept: seen, then saved."""
    import segno

    plain = text.isascii()
    encoding = None if plain else "utf-8"
    code = segno.make_qr(text, error="m", boost_error=False, encoding=encoding, eci=not plain, mask=_MASK)
    return len(code.matrix), tuple(dark_modules(code.matrix))


def code_mosaic(dark: Iterable[Modules], corner: Point, module: float) -> Mosaic:
    """The dark modules of a code as drawn.

    Args:
        dark: They.
        corner: Upper left corner of the code in printed mm.
        module: Side of a module in printed mm.
    """
    x, y = corner.x, corner.y
    return Mosaic(tuple([Box(x + module * a, y - module * d, x + module * c, y - module * b) for a, b, c, d in dark]))


def dark_modules(matrix: Sequence[Sequence[int]]) -> Iterator[Modules]:
    """The dark modules of a code, given row by row from the top, in as few rectangles as serve, none twice."""
    rows = [sum(1 << column for column, dark in enumerate(row) if dark) for row in matrix]
    for row, bits in enumerate(rows):
        left = bits
        while left:
            first = (left & -left).bit_length() - 1
            run = left >> first
            wide = (~run & (run + 1)).bit_length() - 1
            mask, bottom = ((1 << wide) - 1) << first, row + 1
            while bottom < len(rows) and rows[bottom] & mask == mask:
                rows[bottom] ^= mask
                bottom += 1
            left ^= mask
            yield first, row, first + wide, bottom
