"""The only place that rounds geometry: fixed decimals, no exponent, no negative zero."""

from functools import lru_cache

PLACES = 4
"""Decimals of a coordinate in mm: a tenth of a micrometer, far below ``FILE_TOLERANCE``."""

FILE_TOLERANCE = 0.001
"""Most that a point read back from a file may be away from the model, in mm."""


@lru_cache(maxsize=16384)
def fixed(value: float, places: int = PLACES) -> str:
    """A number with at most ``places`` decimals, idle zeros trimmed.

    Example:
        >>> fixed(12.5), fixed(-0.00001), fixed(1e-7), fixed(300.0)
        ('12.5', '0', '0', '300')
    """
    text = f"{value:.{places}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


@lru_cache(maxsize=4096)
def decimal(value: float) -> str:
    """A number as a library prints a float: :func:`rounded` to six decimals, at least one of them written.

    Example:
        >>> decimal(12.5), decimal(-0.0000001), decimal(300.0)
        ('12.5', '0.0', '300.0')
    """
    text = f"{value:.6f}".rstrip("0")
    if text[-1] != ".":
        return text
    return "0.0" if text == "-0." else text + "0"


def spaced(*values: float) -> str:
    """Numbers one after another, as path operators want them."""
    return " ".join([fixed(value) for value in values])


def rounded(value: float, places: int = 6) -> float:
    """A number for a library that prints floats itself: noise and negative zero gone.

    Six decimals are a millionth of a mm or 25 nanometers in inch files, finer than any table cuts.
    """
    return round(value, places) + 0.0
