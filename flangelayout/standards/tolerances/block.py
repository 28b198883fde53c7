"""What a shop's own block of tolerances allows on a size: by its decimals of inches, or by how large it is."""

import math
import re

from flangelayout.flange.plate import Tolerances
from flangelayout.units import Unit, to_mm

_NUMBER = r"(\d+(?:\.\d+)?|\.\d+)"
_BY_SIZE = re.compile(rf"(?:over\s*{_NUMBER})?\s*(?:(?:up\s+)?to\s*{_NUMBER})?", re.IGNORECASE)
_BY_DECIMALS = re.compile(r"[X0]*\.(X+)", re.IGNORECASE)
_PLUS_MINUS = re.compile(rf"(?:±|\+/-)\s*{_NUMBER}")
_OF_NO_LENGTH = re.compile(r"ANG|SURF|FINISH|TEXTURE|FLAT|FRACTION|EDGE|CHAMFER|RADI|CORNER|WELD|BREAK", re.IGNORECASE)
_SAME = 1e-6


def block_allowed(stated: Tolerances, size: float, *, is_drawn: bool = True) -> float | None:
    """How far a size in mm may be off by the block, plus and minus; ``None`` where no line is for it.

    A line that is neither by decimals of inches nor by size, nor of something else than lengths, may be of any size,
    such as ``HOLES``: then none of the block is told of any.

    Args:
        stated: What the drawing allows.
        size: As drawn.
        is_drawn: Whether the drawing writes it, with decimals that could tell.

    Example:
        >>> block_allowed(Tolerances(block=("up to 100 = ±0.5", "over 100 = ±1")), 250.0)
        1.0
    """
    if not is_read(stated):
        return None
    held = (_PLUS_MINUS.fullmatch(said) for what, said in _of_lengths(stated) if _holds(what, stated, size, is_drawn))
    return next((to_mm(float(found[1]), stated.block_unit) for found in held if found), None)


def is_read(stated: Tolerances) -> bool:
    """Whether all that the block says of lengths is held by what it says: else only a person can tell what holds."""
    return all(_is_read(what, said, stated.block_unit) for what, said in _of_lengths(stated))


def _of_lengths(stated: Tolerances) -> list[tuple[str, str]]:
    """The lines of the block that may be of lengths, each what and how much."""
    lines = [line.partition("=") for line in stated.block]
    return [(what.strip(), said.strip()) for what, _, said in lines if not _OF_NO_LENGTH.search(what)]


def _is_read(what: str, said: str, unit: Unit) -> bool:
    by_decimals = unit is Unit.IN and _BY_DECIMALS.fullmatch(what)
    return bool(what and _PLUS_MINUS.fullmatch(said) and (by_decimals or _BY_SIZE.fullmatch(what)))


def _holds(what: str, stated: Tolerances, size: float, is_drawn: bool) -> bool:
    """Whether a line is for a size."""
    if decimals := _BY_DECIMALS.fullmatch(what):
        return is_drawn and stated.inch_decimals(size) == len(decimals[1])
    found = _BY_SIZE.fullmatch(what)
    over, to = found.groups() if found else (None, None)
    unit = stated.block_unit
    low, high = to_mm(float(over or 0.0), unit), to_mm(float(to), unit) if to else math.inf
    return low + _SAME < size < high + _SAME
