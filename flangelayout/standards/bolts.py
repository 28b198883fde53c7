"""The one reader of bolt names: what ``M20x2.5x80-8.8``, ``3/4-10 x 3`` or ``#10`` says about a bolt."""

import math
import re
from enum import Enum
from fractions import Fraction
from functools import cache, lru_cache
from typing import TYPE_CHECKING

from msgspec import Struct

from flangelayout.standards.bolt_words import words_of
from flangelayout.standards.faults import Fault, StandardsError, misread
from flangelayout.standards.inches import INCHES, SIZE, inch_name, inches_of, length_of
from flangelayout.standards.rows import shipped
from flangelayout.standards.typography import plain
from flangelayout.units import Unit, parse_length, to_mm

if TYPE_CHECKING:
    from flangelayout.flange.drilling import Fastener

_LONGEST_NAME = 60
_WIDEST_PIN = 160.0
"""In mm; a wider one is a metric size written without its M or mm."""
_FINEST_INCH = 16
_WIDEST_INCH = 6
_WIDEST_BARE_INCH = 4
"""A whole number without a unit is an inch size up to here, as flange tables print it; above it is asked about."""
_WIDEST_NUMBER = 12
_COARSEST = 0.25
"""No thread is coarser than this share of its diameter (M1; ISO 261)."""
_SHORTEST = 0.5
"""No bolt is shorter than this share of its diameter (common practice, no source)."""


class Series(Enum):
    """Series of an inch thread, as it is written behind its size."""

    UNC = "UNC"
    UNF = "UNF"
    UN = "UN"
    BSW = "BSW"
    BSF = "BSF"


class Bolt(Struct, frozen=True):
    """A bolt as its name says it; lengths in mm.

    Attributes:
        name: Size in the one spelling of the tables: ``M20``, ``1 1/8``, ``#10``; a plain pin is ``18.5 mm``.
        diameter: Nominal.
        unit: Whether it is a metric or an inch size.
        pitch: From thread to thread; ``None`` where the name does not say.
        series: Of an inch thread; ``None`` where the name does not say.
        length: ``None`` where the name does not say.
        grade: Property class or grade as written, in capitals: ``8.8``, ``A4-80``, ``B7``; empty where none is.
        fastener: Stud or bolt; ``None`` where the name does not say.
    """

    name: str
    diameter: float
    unit: Unit
    pitch: float | None = None
    series: Series | None = None
    length: float | None = None
    grade: str = ""
    fastener: "Fastener | None" = None


_METRIC_NAME = re.compile(
    rf"m\s*(?P<size>\d+(?:[.,]\d+)?)(?:\s*x\s*(?P<second>{SIZE}))?(?:\s*x\s*(?P<third>{SIZE}))?"
    r"(?:\s*mm\b)?(?P<rest>(?:[^\d./].*)?)"
)
_PIN_NAME = re.compile(r"(?P<size>\d+(?:[.,]\d+)?)\s*mm\b(?P<rest>.*)")
_INCH_NAME = re.compile(
    rf"(?P<size>#\d+|no\.?\s*\d+(?![\d./])|{SIZE})\s*(?P<unit>{INCHES})?"
    r"(?:\s*-\s*(?P<per_inch>\d+(?:\.\d+)?)(?![\d./]))?"
    r"(?:[\s-]*(?P<series>unc|unf|(?P<times>\d+)?-?un|bsw|bsf)\b)?"
    rf"(?:\s*x\s*(?P<length>{SIZE})\s*(?P<length_unit>{INCHES}|mm\b)?)?(?P<rest>(?:[^\d./].*)?)"
)


@lru_cache(maxsize=256)
def parse_bolt(text: str) -> Bolt:
    """What a bolt's name says.

    Args:
        text: ``M20``, ``M20x2.5x80``, ``m20x80``, ``M20-8.8``, ``M20 stud``, ``3/4``, ``3/4-10 x 3``,
            ``1-1/8 in``, ``7/8"``, ``#10``, or ``22 mm`` for whatever is that thick. A whole number up to 4
            alone is an inch size, as flange tables print it.

    Returns:
        The bolt. Metric sizes are those of ISO 261, inch sizes sixteenths up to 6 in (ASME B1.1).

    Raises:
        StandardsError: If the text names no bolt, or may mean two.

    Example:
        >>> parse_bolt("M20x2.5x80-8.8").length, parse_bolt("1-1/8 in").name
        (80.0, '1 1/8')
    """
    written = plain(text)
    if not 0 < len(written) <= _LONGEST_NAME:
        raise misread(Fault.NO_BOLT, text)
    metric = _METRIC_NAME.fullmatch(written)
    if metric:
        return _metric_bolt(metric, text)
    pin = _PIN_NAME.fullmatch(written)
    if pin:
        return _pin(pin, text)
    inch = _INCH_NAME.fullmatch(written)
    if inch:
        return _inch_bolt(inch, text)
    raise misread(Fault.NO_BOLT, text)


def known_bolt(text: str) -> Bolt | None:
    """The bolt a text names, or ``None`` where it names none or may mean two."""
    try:
        return parse_bolt(text)
    except StandardsError:
        return None


def coarse_pitch(name: str) -> float | None:
    """Pitch in mm of the coarse thread of a metric size such as ``M20`` (ISO 261, from memory)."""
    text = _metric_sizes().get(name)
    return float(text) if text else None


def _metric_bolt(match: re.Match[str], written: str) -> Bolt:
    size = _decimal(match["size"])
    name = f"M{size:g}"
    if name not in _metric_sizes():
        raise misread(Fault.NO_SUCH_SIZE, written, f"M{match['size']}", _near_metric(size))
    numbers = [length_of(match[group], Unit.MM, written) for group in ("second", "third") if match[group]]
    pitch, length = _pitch_and_length(name, size, numbers, written)
    said = words_of(match["rest"], written)
    return Bolt(name, size, Unit.MM, pitch, None, length or said.length(Unit.MM, written), said.grade, said.fastener)


def _pitch_and_length(name: str, size: float, numbers: list[float], written: str) -> tuple[float | None, float | None]:
    """What stands behind an x: pitch and length, or the one of the two that its size says it is."""
    match numbers:
        case []:
            return None, None
        case [only] if only >= _SHORTEST * size:
            return None, only
        case [only] if only > _COARSEST * size:
            raise misread(Fault.PITCH_OR_LENGTH, written, f"{only:g}", (f"{name}x{coarse_pitch(name) or 2:g}x80",))
        case [pitch, *lengths]:
            coarse = coarse_pitch(name)
            if pitch > (coarse or _COARSEST * size):
                raise misread(Fault.NO_SUCH_PITCH, written, f"{pitch:g}", (f"{coarse:g}",) if coarse else ())
            return pitch, lengths[0] if lengths else None
    raise misread(Fault.NO_BOLT, written)


def _pin(match: re.Match[str], written: str) -> Bolt:
    """Whatever is so many mm thick: the bolt of that size, else a pin that no table knows."""
    size = _decimal(match["size"])
    if not 0 < size <= _WIDEST_PIN:
        raise misread(Fault.NO_SUCH_SIZE, written, match["size"], ())
    said = words_of(match["rest"], written)
    name = f"M{size:g}" if f"M{size:g}" in _metric_sizes() else f"{size:g} mm"
    return Bolt(name, size, Unit.MM, length=said.length(Unit.MM, written), grade=said.grade, fastener=said.fastener)


def _inch_bolt(match: re.Match[str], written: str) -> Bolt:
    size = match["size"]
    bare = match["unit"] is None and not match["per_inch"] and not match["series"]
    name, diameter = _numbered(size, written) if size[0] in "#n" else _inches(size, bare, match["length"], written)
    per_inch = match["per_inch"] or match["times"]
    if per_inch and float(per_inch) == 0:
        raise misread(Fault.NO_SUCH_PITCH, written, per_inch)
    said = words_of(match["rest"], written)
    length = said.length(Unit.IN, written)
    if match["length"]:
        unit = Unit.MM if match["length_unit"] == "mm" else Unit.IN
        length = length_of(match["length"], unit, written)
    return Bolt(
        name=name,
        diameter=diameter,
        unit=Unit.IN,
        pitch=to_mm(1.0, Unit.IN) / float(per_inch) if per_inch else None,
        series=_series(match["series"]) if match["series"] else None,
        length=length,
        grade=said.grade,
        fastener=said.fastener,
    )


def _series(text: str) -> Series:
    """The series of ``unc``, ``8un`` or ``8-un``."""
    return Series(text.lstrip("0123456789-").upper())


def _numbered(size: str, written: str) -> tuple[str, float]:
    """A numbered size; its diameter is 0.06 in and 0.013 in a number (ASME B1.1)."""
    number = int(re.sub(r"\D", "", size))
    if number > _WIDEST_NUMBER:
        raise misread(Fault.NO_SUCH_SIZE, written, f"#{number}", (f"#{_WIDEST_NUMBER}",))
    return f"#{number}", to_mm(0.060 + 0.013 * number, Unit.IN)


def _inches(size: str, bare: bool, length: str | None, written: str) -> tuple[str, float]:
    inches = inches_of(size, written)
    whole = inches.denominator == 1 and "." not in size
    if bare and "/" not in size and (not whole or inches > _WIDEST_BARE_INCH or (length and inches > 1)):
        raise misread(Fault.INCH_OR_MM, written, size, _inch_or_mm(inches))
    if not 0 < inches <= _WIDEST_INCH or _FINEST_INCH % inches.denominator:
        raise misread(Fault.NO_SUCH_SIZE, written, f"{size} in", ())
    return inch_name(inches), parse_length(inch_name(inches), Unit.IN)


def _inch_or_mm(number: Fraction) -> tuple[str, ...]:
    """How to write a number without a unit so that it says which it is."""
    in_inches = (f'{inch_name(number)}"',) if number <= _WIDEST_INCH and _FINEST_INCH % number.denominator == 0 else ()
    metric = f"M{float(number):g}"
    return (*in_inches, metric if metric in _metric_sizes() else f"{float(number):g} mm")


def _decimal(text: str) -> float:
    return float(text.replace(",", "."))


@cache
def _metric_sizes() -> dict[str, str]:
    """Every metric size with its coarse pitch as printed."""
    return {row.cells["size"]: row.cells["coarse_pitch"] for row in shipped("bolting", "iso_261.csv").rows}


def _near_metric(size: float) -> tuple[str, ...]:
    """The next smaller and the next larger metric size."""
    sizes = [float(name[1:]) for name in _metric_sizes()]
    below = max((each for each in sizes if each < size), default=math.nan)
    above = min((each for each in sizes if each > size), default=math.nan)
    return tuple(f"M{each:g}" for each in (below, above) if each == each)
