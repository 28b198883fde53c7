"""Lengths and angles as people write them, in and out of millimetres and degrees.

The only file that knows 25.4 (the inch is 25.4 mm exactly: international yard and pound
agreement of 1959; ISO 80000-3).
"""

import math
import re
import unicodedata
from enum import Enum
from fractions import Fraction

from flangelayout.errors import UnitError

_INCH = Fraction(254, 10)
_POUND = Fraction(45359237, 10**8)


class Unit(Enum):
    """The two units a job can be in; the value is how it is written."""

    MM = "mm"
    IN = "in"


_UNITS: dict[str, Fraction] = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": _INCH,
    "in.": _INCH,
    "inch": _INCH,
    "inches": _INCH,
    '"': _INCH,
    "''": _INCH,
}
_NUMBER = re.compile(
    r"""(?P<sign>[+-]?)\s*
        (?: (?:(?P<whole>\d+)(?:\s*-\s*|\s+))? (?P<top>\d+)\s*/\s*(?P<bottom>\d+)
          | (?P<decimal>\d+\.?\d*(?:[eE][+-]?\d+)? | \.\d+(?:[eE][+-]?\d+)?) )
        \s*(?P<unit>[^\d\s.,+-].*)?""",
    re.VERBOSE,
)
_TYPOGRAPHY = str.maketrans({"″": '"', "”": '"', "“": '"', "⁄": "/", "−": "-", "–": "-", "\u00a0": " ", "\u2009": " "})


def parse_length(value: str | float, default: Unit = Unit.MM) -> float:
    """Length in mm of what a person wrote.

    Args:
        value: A number, or text such as ``"22 mm"``, ``"7/8 in"``, ``"2-3/8 in"``, ``"2 3/8"``
            or ``'11 3/4"'``. Text without a unit, and a bare number, are in ``default``.
        default: Unit of a value that names none.

    Returns:
        Millimetres, finite, of either sign; a fraction is converted exactly before it is
        rounded to a float.

    Raises:
        UnitError: If the text is no length, the unit is unknown or the number is not finite.

    Example:
        >>> parse_length("2-3/8 in")
        60.325
    """
    if isinstance(value, str):
        number, unit = _split(value, "length", 'write for example "22 mm", "7/8 in" or "2-3/8 in"')
        factor = _UNITS.get(unit.lower()) if unit else _factor(default)
        if factor is None:
            raise UnitError(f'"{value}" has no unit this program knows ("{unit}"); use mm, cm, m or in')
        return _finite(float(number * factor), value)
    return to_mm(_finite(value, value), default)


def parse_angle(value: str | float) -> float:
    """Angle in degrees of what a person wrote: ``22.5``, ``"22.5 deg"``, ``"22 1/2"`` or ``"22.5°"``.

    Raises:
        UnitError: If the text is no angle or the number is not finite.
    """
    if not isinstance(value, str):
        return _finite(value, value)
    number, unit = _split(value, "angle", 'write degrees, for example "22.5 deg"')
    if unit.lower() not in ("", "deg", "degree", "degrees", "°"):
        raise UnitError(f'"{value}" is not in degrees ("{unit}"); write for example "22.5 deg"')
    return _finite(float(number), value)


def to_mm(value: float, unit: Unit) -> float:
    """Millimetres of a number in ``unit``."""
    return value if unit is Unit.MM else value * float(_INCH)


def from_mm(length: float, unit: Unit) -> float:
    """The number in ``unit`` of a length in mm."""
    return length if unit is Unit.MM else length / float(_INCH)


def decimal_text(length: float, unit: Unit, decimals: int | None = None) -> str:
    """A length in mm as decimals of ``unit``: two for mm and three for inches unless told.

    Example:
        >>> decimal_text(88.9, Unit.IN), decimal_text(-0.001, Unit.MM)
        ('3.500', '0.00')
    """
    places = decimals if decimals is not None else (2 if unit is Unit.MM else 3)
    text = f"{from_mm(length, unit):.{places}f}"
    return text.removeprefix("-") if float(text) == 0 else text


def size_text(length: float, unit: Unit) -> str:
    """A nominal size as the trade writes it: mm without idle zeros, inches as a fraction where one fits.

    A length within a ten-thousandth of an inch of a 64th is written as that fraction, which is how
    pipe-flange tables print inch sizes (ASME B16.5); anything else as decimals.

    Example:
        >>> size_text(285.0, Unit.MM), size_text(298.45, Unit.IN), size_text(12.345, Unit.IN)
        ('285', '11 3/4', '0.486')
    """
    if unit is Unit.MM:
        return decimal_text(length, unit).rstrip("0").rstrip(".")
    inches = from_mm(length, unit)
    near = Fraction(round(inches * 64), 64)
    if abs(inches - float(near)) > 1e-4 or near <= 0:
        return decimal_text(length, unit)
    whole, rest = divmod(near, 1)
    return " ".join(str(part) for part in (whole, rest) if part) or "0"


def range_text(least: float, most: float, unit: Unit) -> str:
    """What a length may be, in the unit it was written in and in mm.

    Example:
        >>> range_text(0.0, 20.0, Unit.MM), range_text(1.0, 20.0, Unit.IN)
        ('0 to 20 mm', '0.0394 to 0.787 in (1 to 20 mm)')
    """
    in_mm = f"{least:g} to {most:g} mm"
    if unit is Unit.MM:
        return in_mm
    return f"{from_mm(least, unit):.3g} to {from_mm(most, unit):.3g} {unit.value} ({in_mm})"


def counted(count: int, thing: str) -> str:
    """How many of a thing whose plural only takes an s.

    Example:
        >>> counted(1, "pierce"), counted(12, "pierce")
        ('1 pierce', '12 pierces')
    """
    return f"{count} {thing}{'' if count == 1 else 's'}"


def mass_text(kilograms: float, unit: Unit) -> str:
    """A mass to three figures: kilograms beside mm, pounds beside inches.

    The pound is 0.45359237 kg exactly (international yard and pound agreement of 1959).

    Example:
        >>> mass_text(6.5284, Unit.MM), mass_text(6.5284, Unit.IN), mass_text(1234.5, Unit.MM)
        ('6.53 kg', '14.4 lb', '1235 kg')
    """
    value = kilograms if unit is Unit.MM else kilograms / float(_POUND)
    places = max(0, 2 - math.floor(math.log10(value))) if value > 0 else 0
    return f"{value:.{min(places, 5)}f} {'kg' if unit is Unit.MM else 'lb'}"


def angle_text(degrees: float) -> str:
    """An angle in degrees with a degree sign, at most three decimals and no idle zeros."""
    text = f"{degrees:.3f}".rstrip("0").rstrip(".")
    return ("0" if text == "-0" else text) + "°"


def _factor(unit: Unit) -> Fraction:
    return Fraction(1) if unit is Unit.MM else _INCH


def _finite(number: float, written: str | float) -> float:
    try:
        value = float(number)
    except OverflowError:
        raise UnitError("a whole number past 1e308 is not a finite number this program can hold") from None
    if isinstance(number, bool) or not math.isfinite(value):
        raise UnitError(f"{written!r} is not a finite number")
    return value


def _split(text: str, kind: str, advice: str) -> tuple[Fraction, str]:
    """The number of a text, exact, and its unit as written (empty where it has none)."""
    plain = _plain(text)
    if re.search(r"\d,\d", plain):
        raise UnitError(f'"{text}" has a comma; write a decimal point, as in "{plain.replace(",", ".")}"')
    match = _NUMBER.fullmatch(plain)
    if match is None or len(plain) > 60:
        raise UnitError(f'"{text[:60]}" is not a {kind}; {advice}')
    if match["decimal"]:
        number = _decimal(match["decimal"], text)
    elif int(match["bottom"]) == 0:
        raise UnitError(f'"{text}" divides by zero; {advice}')
    else:
        number = int(match["whole"] or 0) + Fraction(int(match["top"]), int(match["bottom"]))
    return (-number if match["sign"] == "-" else number), (match["unit"] or "").strip()


def _decimal(digits: str, written: str) -> Fraction:
    """An exact decimal; an exponent past any length on earth is refused before it fills the memory."""
    exponent = re.search(r"[eE]([+-]?\d+)", digits)
    if exponent and abs(int(exponent[1])) > 30:
        raise UnitError(f'"{written}" is not a length this program can hold')
    return Fraction(digits)


def _plain(text: str) -> str:
    """The text with typographic signs made plain and fraction characters such as ⅞ spelled out."""
    out = []
    for character in text.strip().translate(_TYPOGRAPHY):
        parts = unicodedata.normalize("NFKC", character).split("\u2044")
        out.append(f" {parts[0]}/{parts[1]}" if len(parts) == 2 else character)
    return "".join(out).strip()
