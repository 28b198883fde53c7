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

    A line that is neither by decimals nor by size, nor of something else than lengths, may be of any size, such as
    ``HOLES``: then none of the block is told of any.

    Args:
        stated: What the drawing allows.
        size: As drawn.
        is_drawn: Whether the drawing writes it, with decimals that could tell.

    Example:
        >>> block_allowed(Tolerances(block=("up to 100 = ±0.5", "over 100 = ±1")), 250.0)
        1.0
    """
    lines = [tuple(each.strip() for each in line.partition("=")[::2]) for line in stated.block]
    kept = [(what, allowed) for what, allowed in lines if not _OF_NO_LENGTH.search(what)]
    if not all(_PLUS_MINUS.fullmatch(allowed) and _is_of_lengths(what) for what, allowed in kept):
        return None
    held = (_PLUS_MINUS.fullmatch(allowed) for what, allowed in kept if _holds(what, stated, size, is_drawn))
    return next((to_mm(float(found[1]), stated.block_unit) for found in held if found), None)


def _is_of_lengths(what: str) -> bool:
    return bool(what and (_BY_DECIMALS.fullmatch(what) or _BY_SIZE.fullmatch(what)))


def _holds(what: str, stated: Tolerances, size: float, is_drawn: bool) -> bool:
    """Whether a line is for a size: decimals are told of inches alone."""
    if decimals := _BY_DECIMALS.fullmatch(what):
        is_told = is_drawn and stated.block_unit is Unit.IN
        return is_told and stated.inch_decimals(size) == len(decimals[1])
    found = _BY_SIZE.fullmatch(what)
    over, to = found.groups() if found else (None, None)
    unit = stated.block_unit
    low, high = to_mm(float(over or 0.0), unit), to_mm(float(to), unit) if to else math.inf
    return low + _SAME < size < high + _SAME
