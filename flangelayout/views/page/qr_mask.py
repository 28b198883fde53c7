"""Which mask a QR code is best read under (ISO/IEC 18004, 7.8), its rows and columns as bits of whole numbers.

Asking a whole number how many bits it has judges a row at once; judging module by module costs thirty times as much.
"""

from collections.abc import Callable, Sequence
from functools import cache

LARGEST = 41
"""Modules along a side of the largest code judged here (version 6): beyond it there are more patterns to leave out."""
_FINDER, _ALIGNMENT, _TIMING = 9, 5, 6
_MASKS: tuple[Callable[[int, int], bool], ...] = (
    lambda i, j: (i + j) % 2 == 0,
    lambda i, j: i % 2 == 0,
    lambda i, j: j % 3 == 0,
    lambda i, j: (i + j) % 3 == 0,
    lambda i, j: (i // 2 + j // 3) % 2 == 0,
    lambda i, j: i * j % 2 + i * j % 3 == 0,
    lambda i, j: (i * j % 2 + i * j % 3) % 2 == 0,
    lambda i, j: ((i + j) % 2 + i * j % 3) % 2 == 0,
)
"""Modules that each mask turns over, by row and column (table 10)."""
_Lines = tuple[int, ...]


def best_mask(modules: Sequence[Sequence[int]]) -> int:
    """The number of the mask with the least penalty.

    Args:
        modules: Rows of the code under mask 0, 1 where dark; at most ``LARGEST`` of them.
    """
    size = len(modules)
    rows, columns = _bits(modules), _bits(list(zip(*modules, strict=True)))
    said = _format_modules(size)
    flips, turned = _flips(size)
    plain = [_crossed(rows, said, flips[0]), _crossed(columns, said, turned[0])]
    scores = [
        _penalty([_xor(lines, flip) for lines, flip in zip(plain, pair, strict=True)], size)
        for pair in zip(flips, turned, strict=True)
    ]
    return scores.index(min(scores))


def _bits(lines: Sequence[Sequence[int]]) -> _Lines:
    return tuple(sum(1 << place for place, dark in enumerate(line) if dark) for line in lines)


def _crossed(lines: _Lines, said: _Lines, flip: _Lines) -> _Lines:
    """Lines without what the format says, and without a mask."""
    return tuple(line & ~own ^ turn for line, own, turn in zip(lines, said, flip, strict=True))


def _xor(lines: _Lines, flip: _Lines) -> _Lines:
    return tuple(line ^ turn for line, turn in zip(lines, flip, strict=True))


@cache
def _format_modules(size: int) -> _Lines:
    """Where mask and error correction are said, alike in rows and columns; judging comes before saying."""
    low = range(_FINDER)
    there = {(8, j) for j in (*low, *range(size - 8, size)) if j != _TIMING}
    return _bits([[(i, j) in there or (j, i) in there for j in range(size)] for i in range(size)])


@cache
def _flips(size: int) -> tuple[tuple[_Lines, ...], tuple[_Lines, ...]]:
    """What every mask turns over, row by row and column by column: modules that hold data alone."""
    far, middle = size - 8, range(size - 9, size - 9 + _ALIGNMENT)

    def holds_data(i: int, j: int) -> bool:
        in_finder = (i < _FINDER and (j < _FINDER or j >= far)) or (i >= far and j < _FINDER)
        return not (in_finder or _TIMING in (i, j) or (size > 21 and i in middle and j in middle))

    places = range(size)
    turned = [[[mask(i, j) and holds_data(i, j) for j in places] for i in places] for mask in _MASKS]
    return (
        tuple(_bits(grid) for grid in turned),
        tuple(_bits(list(zip(*grid, strict=True))) for grid in turned),
    )


def _penalty(both: Sequence[_Lines], size: int) -> int:
    """Points against a code (table 11): long runs, squares of one color, what looks like a finder, an uneven share."""
    rows = both[0]
    alike = [~(line ^ line >> 1) & (1 << size - 1) - 1 for line in rows]
    squares = sum((alike[at] & alike[at + 1] & ~(rows[at] ^ rows[at + 1])).bit_count() for at in range(size - 1))
    share = sum(line.bit_count() for line in rows) * 100 / size**2
    runs = sum(_runs(line, size) + _finders(line) for lines in both for line in lines)
    return runs + 3 * squares + 10 * int(abs(share - 50) / 5)


def _runs(line: int, size: int) -> int:
    """Runs of five and more: three points, one more for every further module."""
    alike = ~(line ^ line >> 1) & (1 << size - 1) - 1
    fives = alike & alike >> 1 & alike >> 2 & alike >> 3
    return fives.bit_count() + 2 * (fives & ~(fives << 1)).bit_count()


def _finders(line: int) -> int:
    """Dark to light as 1 : 1 : 3 : 1 : 1 beside four light modules, the quiet border among them: 40 points each."""
    dark = line << 4
    hits = dark & ~(dark >> 1) & dark >> 2 & dark >> 3 & dark >> 4 & ~(dark >> 5) & dark >> 6
    if not hits:
        return 0
    light = ~dark
    before = light << 1 & light << 2 & light << 3 & light << 4
    after = light >> 7 & light >> 8 & light >> 9 & light >> 10
    return 40 * (hits & (before | after)).bit_count()
