"""Sizes as the trade writes them in digits: whole, fraction, both or decimal, exact."""

import re
from fractions import Fraction

from flangelayout.standards.faults import Fault, misread
from flangelayout.units import Unit, parse_length

SIZE = r"(?:\d+[\s.-]+\d+/\d+|\d+/\d+|\d+(?:[.,]\d+)?|[.,]\d+)"
INCHES = r"(?:\"|''|-?\s?in(?:ch(?:es)?)?\b\.?)"


def inches_of(size: str, written: str) -> Fraction:
    """The inches of ``1-1/8``, ``1 1/8``, ``3/4``, ``2.5`` or ``2,5``, exact.

    Args:
        size: Digits as one of these.
        written: The whole text it stands in, for the error.

    Raises:
        StandardsError: If a fraction divides by zero.
    """
    if "/" not in size:
        return Fraction(size.replace(",", "."))
    *whole, top, bottom = (int(part) for part in re.split(r"[\s.\-/]+", size))
    if bottom == 0:
        raise misread(Fault.NO_BOLT, written)
    return sum(whole) + Fraction(top, bottom)


def inch_name(inches: Fraction) -> str:
    """An inch size as every table spells it: ``3/4``, ``1 1/8``, ``2``."""
    whole, rest = divmod(inches, 1)
    return " ".join(str(part) for part in (whole, rest) if part) or "0"


def length_of(text: str, unit: Unit, written: str) -> float:
    """A length above 0 in mm; the fraction is converted before it is rounded to a float."""
    number = inches_of(text, written)
    if number <= 0:
        raise misread(Fault.NO_BOLT, written, text)
    return parse_length(inch_name(number), unit)
