"""A QR code as filled rectangles of a drawing, so that every format has it."""

from collections.abc import Iterator, Sequence
from functools import lru_cache

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item, Mosaic, Stamp
from flangelayout.drawing.references import Furniture
from flangelayout.geometry.shapes import Box, Point

QUIET_MODULES = 4
"""Free border of a code, in modules (ISO/IEC 18004)."""
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
    modules = _modules(text)
    module = size / (len(modules) + 2 * QUIET_MODULES)
    top = at.y + size - QUIET_MODULES * module
    left = at.x + QUIET_MODULES * module
    return Item(Layer.CODE, Mosaic(tuple(code_boxes(modules, Point(left, top), module))), Furniture("QR code"))


@lru_cache(maxsize=8)
def _modules(text: str) -> tuple[tuple[bool, ...], ...]:
    """The modules of a code by rows; those of the last few jobs are kept: drawn to be seen, then to be saved."""
    import segno

    plain = text.isascii()
    encoding = None if plain else "utf-8"
    code = segno.make_qr(text, error="m", boost_error=False, encoding=encoding, eci=not plain, mask=_MASK)
    return tuple(tuple(map(bool, row)) for row in code.matrix)


def code_boxes(modules: Sequence[Sequence[bool]], corner: Point, module: float) -> Iterator[Box]:
    """Rectangles that together are the dark modules of a code.

    Args:
        modules: Row by row from the top.
        corner: Upper left corner of the code in printed mm.
        module: Side of a module in printed mm.
    """
    for a, b, c, d in _blocks(modules):
        yield Box(corner.x + module * a, corner.y - module * d, corner.x + module * c, corner.y - module * b)


def _blocks(modules: Sequence[Sequence[bool]]) -> Iterator[tuple[int, int, int, int]]:
    """Rectangles of dark modules that together are all of them, none twice: left, top, right, bottom from the top."""
    rows = [sum(1 << column for column, dark in enumerate(row) if dark) for row in modules]
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
