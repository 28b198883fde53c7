"""Lengths and angles as people write them, in and out of millimetres and degrees.

The only file that knows 25.4 (the inch is 25.4 mm exactly: international yard and pound
agreement of 1959; ISO 80000-3).
"""

import math
import re
import unicodedata

from msgspec import Struct

from flangelayout.errors import UnitError
from flangelayout.facts import Unit as Unit  # noqa: PLC0414 - handed on: a unit and its conversion belong together
from flangelayout.problems.geometry import UnitProblem

_INCH = 25.4
_POUND = 0.45359237
_TENTHS = {"mm": 10, "cm": 100, "m": 10_000, **dict.fromkeys(("in", "in.", "inch", "inches", '"', "''"), 254)}
"""Tenths of a millimeter in each unit as people write it: whole numbers, so that nothing is lost before the end."""
_NUMBER = re.compile(
    r"""(?P<sign>[+-]?)\s*
        (?: (?:(?P<whole>\d+)(?:\s*-\s*|\s+))? (?P<top>\d+)\s*/\s*(?P<bottom>\d+)
          | (?P<decimal>\d+\.?\d*(?:[eE][+-]?\d+)? | \.\d+(?:[eE][+-]?\d+)?) )
        \s*(?P<unit>[^\d\s.,+-].*)?""",
    re.VERBOSE,
)
_DECIMAL_COMMA = r"(?P<before>[+-]?\s*\d+),(?P<after>\d+)(?P<unit>[^\d,]*)"
_COMMA_FOR_THOUSANDS = r"[+-]?\s*\d{1,3}(?:,\d{3})+(?:\.\d*)?[^\d.,]*"
_POINT_FOR_THOUSANDS = r"[+-]?\s*\d{1,3}(?:\.\d{3})+,\d+[^\d.,]*"
_TYPOGRAPHY = str.maketrans({"″": '"', "”": '"', "“": '"', "⁄": "/", "−": "-", "–": "-", "\u00a0": " ", "\u2009": " "})


def parse_length(value: str | float, default: Unit = Unit.MM) -> float:
    """Length in mm of what a person wrote.

    Args:
        value: A number, or text such as ``"22 mm"``, ``"7/8 in"``, ``"2-3/8 in"``, ``"2 3/8"``,
            ``"91,7"`` or ``'11 3/4"'``. Text without a unit, and a bare number, are in ``default``.
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
        (top, bottom), unit = _split(value)
        tenths = _TENTHS.get(unit.lower() if unit else default.value)
        if tenths is None:
            raise UnitError.of(UnitProblem.UNKNOWN_UNIT, written=value, unit=unit)
        return top * tenths / (bottom * 10)
    return to_mm(_finite(value, value), default)


def names_no_unit(value: object) -> bool:
    """Whether a value is a length that leaves open what it is in; what is no length leaves nothing open."""
    if not isinstance(value, str | int | float) or isinstance(value, bool):
        return False
    try:
        return parse_length(value, Unit.MM) != parse_length(value, Unit.IN)
    except (UnitError, OverflowError):
        return False


def parse_angle(value: str | float) -> float:
    """Angle in degrees of what a person wrote: ``22.5``, ``"22.5 deg"``, ``"22 1/2"`` or ``"22.5°"``.

    Raises:
        UnitError: If the text is no angle or the number is not finite.
    """
    if not isinstance(value, str):
        return _finite(value, value)
    (top, bottom), unit = _split(value, angle=True)
    if unit.lower() not in ("", "deg", "degree", "degrees", "°"):
        raise UnitError.of(UnitProblem.NOT_DEGREES, written=value, unit=unit)
    return top / bottom


def to_mm(value: float, unit: Unit) -> float:
    """Millimetres of a number in ``unit``."""
    return value if unit is Unit.MM else value * _INCH


def from_mm(length: float, unit: Unit) -> float:
    """The number in ``unit`` of a length in mm."""
    return length if unit is Unit.MM else length / _INCH


class Rounding(Struct, frozen=True, gc=False):
    """How a value is written out, so that whoever writes it by the same rule writes the same.

    Attributes:
        unit: Of a length that is held in mm; ``None`` for degrees, which stay degrees and have their sign behind them.
        places: Decimals, or of a fraction the power of two that its least part is: 6 for a 64th.
        is_fraction: Whether whole inches and a fraction are written in place of decimals.
        idle_zeros: Whether zeros that end the decimals are written.
        leading_zero: Whether a zero stands before the point.
    """

    unit: Unit | None
    places: int
    is_fraction: bool = False
    idle_zeros: bool = True
    leading_zero: bool = True

    def text(self, value: float) -> str:
        """A length in mm, or an angle in degrees, as it is written; a half is rounded away from zero."""
        if self.unit is None:
            return f"{self._decimals(value)}°"
        number = from_mm(value, self.unit)
        return self._fraction(number) if self.is_fraction else self._decimals(number)

    def _fraction(self, number: float) -> str:
        parts = 2**self.places
        whole, rest = divmod(round(abs(number) * parts), parts)
        common = math.gcd(rest, parts)
        fraction = f"{rest // common}/{parts // common}" if rest else ""
        digits = " ".join(part for part in (str(whole or ""), fraction) if part) or "0"
        return f"-{digits}" if number < 0 and digits != "0" else digits

    def _decimals(self, number: float) -> str:
        text = f"{number + math.copysign(_HALF_UP, number):.{self.places}f}"
        if not self.idle_zeros and "." in text:
            text = text.rstrip("0").rstrip(".")
        if float(text) == 0:
            text = text.removeprefix("-")
        return text if self.leading_zero or not 0 < abs(float(text)) < 1 else text.replace("0.", ".", 1)


_FOUR_PLACES_FROM = 0.0004
"""Inches that three decimals of a size may be off before it gets a fourth: 9/16 is .5625."""
_HALF_UP = 1e-9
"""Added to a number before it is rounded, so that what is half a step for people (28.575) is not less in binary."""

DEGREES = Rounding(None, 3, idle_zeros=False)
"""Angles on paper: three decimals at most."""


def decimal_rounding(unit: Unit, decimals: int | None = None) -> Rounding:
    """Decimals of a unit: two for mm and three for inches unless told."""
    return Rounding(unit, decimals if decimals is not None else (2 if unit is Unit.MM else 3))


def inch_places(length: float) -> int:
    """How many decimals of inches a drawing writes a size with: three, or four where these are off."""
    return 3 if is_exact_at(length, 3) else 4


def is_exact_at(length: float, places: int) -> bool:
    """Whether so many decimals of inches tell a length in mm."""
    inches = from_mm(length, Unit.IN)
    return abs(round(inches, places) - inches) < _FOUR_PLACES_FROM


def size_rounding(length: float, unit: Unit) -> Rounding:
    """How a nominal size is written; see :func:`size_text`."""
    if unit is Unit.MM:
        return Rounding(unit, 2, idle_zeros=False)
    inches = from_mm(length, unit)
    near = round(inches * 64)
    if abs(inches - near / 64) > 1e-4 or near <= 0:
        return decimal_rounding(unit)
    return Rounding(unit, (64 // math.gcd(near, 64)).bit_length() - 1, is_fraction=True)


def decimal_text(length: float, unit: Unit, decimals: int | None = None) -> str:
    """A length in mm as decimals of ``unit``: two for mm and three for inches unless told.

    Example:
        >>> decimal_text(88.9, Unit.IN), decimal_text(-0.001, Unit.MM), decimal_text(28.575, Unit.MM)
        ('3.500', '0.00', '28.58')
    """
    return decimal_rounding(unit, decimals).text(length)


def size_text(length: float, unit: Unit) -> str:
    """A nominal size as the trade writes it: mm without idle zeros, inches as a fraction where one fits.

    A length within a ten-thousandth of an inch of a 64th is written as that fraction, which is how
    pipe-flange tables print inch sizes (ASME B16.5); anything else as decimals.

    Example:
        >>> size_text(285.0, Unit.MM), size_text(298.45, Unit.IN), size_text(12.345, Unit.IN)
        ('285', '11 3/4', '0.486')
    """
    return size_rounding(length, unit).text(length)


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


def mass_unit(unit: Unit) -> str:
    """The unit of masses beside lengths in ``unit``."""
    return "kg" if unit is Unit.MM else "lb"


def mass_in(kilograms: float, unit: Unit) -> float:
    """A mass in the unit that goes with lengths in ``unit``.

    The pound is 0.45359237 kg exactly (international yard and pound agreement of 1959).
    """
    return kilograms if unit is Unit.MM else kilograms / _POUND


def kilograms(mass: float, unit: Unit) -> float:
    """A mass in kg from the unit that goes with lengths in ``unit``: :func:`mass_in` turned round."""
    return mass if unit is Unit.MM else mass * _POUND


def mass_text(kilograms: float, unit: Unit) -> str:
    """A mass to three figures: kilograms beside mm, pounds beside inches.

    Example:
        >>> mass_text(6.5284, Unit.MM), mass_text(6.5284, Unit.IN), mass_text(1234.6, Unit.MM)
        ('6.53 kg', '14.4 lb', '1235 kg')
    """
    value = mass_in(kilograms, unit)
    places = max(0, 2 - math.floor(math.log10(value))) if value > 0 else 0
    return f"{value:.{min(places, 5)}f} {mass_unit(unit)}"


def density_text(kg_per_m3: float, unit: Unit) -> str:
    """A density: kilograms per cubic meter beside mm, pounds per cubic inch beside inches.

    Example:
        >>> density_text(7850, Unit.MM), density_text(7850, Unit.IN)
        ('7850 kg/m3', '0.2836 lb/in3')
    """
    if unit is Unit.MM:
        return f"{kg_per_m3:g} kg/m3"
    return f"{mass_in(kg_per_m3, unit) * to_mm(1.0, unit) ** 3 / 1e9:.4f} lb/in3"


def angle_text(degrees: float) -> str:
    """An angle in degrees with a degree sign, at most three decimals and no idle zeros."""
    return DEGREES.text(degrees)


def _finite(number: float, written: str | float) -> float:
    try:
        value = float(number)
    except OverflowError:
        raise UnitError.of(UnitProblem.BEYOND_FLOATS) from None
    if isinstance(number, bool) or not math.isfinite(value):
        raise UnitError.of(UnitProblem.NOT_FINITE, written=repr(written))
    return value


def _split(text: str, angle: bool = False) -> tuple[tuple[int, int], str]:
    """The number of a text, exact as a quotient of whole numbers, and its unit as written (empty where it has none)."""
    plain = _pointed(_plain(text))
    match = _NUMBER.fullmatch(plain)
    if match is None or len(plain) > 60:
        raise UnitError.of(UnitProblem.NO_ANGLE if angle else UnitProblem.NO_LENGTH, written=text[:60])
    if match["decimal"]:
        top, bottom = _decimal(match["decimal"], text)
    elif int(match["bottom"]) == 0:
        raise UnitError.of(UnitProblem.ANGLE_BY_ZERO if angle else UnitProblem.LENGTH_BY_ZERO, written=text)
    else:
        bottom = int(match["bottom"])
        top = int(match["whole"] or 0) * bottom + int(match["top"])
    return (-top if match["sign"] == "-" else top, bottom), (match["unit"] or "").strip()


def _pointed(plain: str) -> str:
    """A number with its decimal comma made a point, where the comma can be nothing else."""
    if not re.search(r"\d,\d", plain) or len(plain) > 60:
        return plain
    if match := re.fullmatch(_DECIMAL_COMMA, plain):
        pointed = plain.replace(",", ".")
        if len(match["after"]) == 3 and 1 <= len(match["before"].lstrip("+- 0")) <= 3:
            raise UnitError.of(UnitProblem.COMMA_OF_TWO_MEANINGS, pointed=pointed, joined=plain.replace(",", ""))
        return pointed
    if re.fullmatch(_COMMA_FOR_THOUSANDS, plain):
        raise UnitError.of(UnitProblem.THOUSANDS, written=plain, plain=plain.replace(",", ""))
    if re.fullmatch(_POINT_FOR_THOUSANDS, plain):
        raise UnitError.of(UnitProblem.THOUSANDS, written=plain, plain=plain.replace(".", "").replace(",", "."))
    raise UnitError.of(UnitProblem.SEVERAL_NUMBERS, written=plain)


def _decimal(digits: str, written: str) -> tuple[int, int]:
    """A decimal as a quotient; an exponent past any length on earth is refused before it fills the memory."""
    number, _, exponent = digits.lower().partition("e")
    whole, _, places = number.partition(".")
    if abs(int(exponent or 0)) > 30:
        raise UnitError.of(UnitProblem.BEYOND_LENGTHS, written=written)
    power = int(exponent or 0) - len(places)
    return int(whole + places) * 10 ** max(power, 0), 10 ** max(-power, 0)


def _plain(text: str) -> str:
    """The text with typographic signs made plain and fraction characters such as ⅞ spelled out."""
    out = []
    for character in text.strip().translate(_TYPOGRAPHY):
        parts = unicodedata.normalize("NFKC", character).split("\u2044")
        out.append(f" {parts[0]}/{parts[1]}" if len(parts) == 2 else character)
    return "".join(out).strip()
