"""Rows by their sizes, where a text is no designation but ``240 PCD 8x22`` or ``8x240``."""

import re

from msgspec import Struct

from flangelayout.flange.claims import SAME
from flangelayout.standards.designations.index import RowIndex
from flangelayout.standards.designations.reading import DesignationReading
from flangelayout.standards.designations.vocabulary import in_our_words
from flangelayout.standards.designations.wording import LARGEST_IN_INCHES
from flangelayout.standards.pattern import Pattern
from flangelayout.standards.typography import plain, with_decimals
from flangelayout.units import Unit, to_mm

_NUMBER = r"\d+(?:\.\d+)?"
_INCH = r"(?:\"|in\b|inch\b)"
_CIRCLE = re.compile(
    rf"(?:(?P<ahead>{_NUMBER})\s*(?P<ahead_unit>mm|{_INCH})?\s*pcd|pcd\s*(?P<behind>{_NUMBER})\s*(?P<behind_unit>mm|{_INCH})?)"
)
_HOLES = re.compile(
    rf"(?<![\d.])(?P<count>\d{{1,3}})(?:\s*-?\s*(?:holes?|bolts?)\s*(?:of|x)?|\s*x)\s*(?P<size>{_NUMBER})?\s*(?P<unit>mm|{_INCH})?(?:\s*on)?"
)
_ON = re.compile(rf"\bon\s*(?P<circle>{_NUMBER})\s*(?P<unit>mm|{_INCH})?")
_NUMBER_ON = re.compile(rf"(?<=\d ){_ON.pattern}")
_FEWEST = 2
_MOST = 128


class Sizes(Struct, frozen=True):
    """A drilling by its figures, in mm; what is not said is ``None``."""

    hole_count: int
    bolt_circle: float
    hole_diameter: float | None


def rows_of_sizes(reading: DesignationReading, index: RowIndex) -> tuple[Pattern, ...]:
    """Every row of an index with the count, the circle and, where it is said, the hole that a text names."""
    sizes = sizes_in(reading.written)
    if sizes is None:
        return ()
    return tuple(row for row, _ in index.rows if _is_of(row, sizes))


def names_a_circle(text: str) -> bool:
    """Whether a text is count and circle in words, as ``180 PCD 8 holes`` or ``8 bolts on 7.5``."""
    return sizes_in(text) is not None and (" on " in text or "pcd" in in_our_words(with_decimals(plain(text))))


def names_another_circle(text: str, row: Pattern) -> bool:
    """Whether a text says a bolt circle that is not a row's, as ``250 PCD DN65`` or ``300 on 20 mm``."""
    normal = in_our_words(with_decimals(plain(text)))
    circle = _CIRCLE.search(normal) or _NUMBER_ON.search(normal)
    return circle is not None and abs(_across(circle) - row.bolt_circle) > SAME


def sizes_in(text: str) -> Sizes | None:
    """Count, circle and hole of ``240 PCD 8x22``, ``8 x 22 on 240`` or ``8x240``; ``None`` where it is no such text."""
    normal = in_our_words(with_decimals(plain(text)))
    circle = _CIRCLE.search(normal) or _ON.search(normal)
    rest = normal.replace(circle[0], " ") if circle else normal
    holes = _HOLES.fullmatch(rest.strip(" ,;"))
    if holes is None or not _FEWEST <= int(holes["count"]) <= _MOST:
        return None
    size = float(holes["size"]) * _factor(holes["unit"]) if holes["size"] else None
    if circle is None:
        return Sizes(int(holes["count"]), size, None) if size else None
    return Sizes(int(holes["count"]), _across(circle), size)


def _across(circle: re.Match[str]) -> float:
    found = circle.groupdict()
    across = found.get("ahead") or found.get("behind") or found.get("circle") or "0"
    unit = found.get("ahead_unit") or found.get("behind_unit") or found.get("unit")
    return float(across) * _factor(unit or ("in" if float(across) < LARGEST_IN_INCHES else None))


def _factor(unit: str | None) -> float:
    return 1.0 if unit in (None, "mm") else to_mm(1.0, Unit.IN)


def _is_of(row: Pattern, sizes: Sizes) -> bool:
    if row.hole_count != sizes.hole_count or abs(row.bolt_circle - sizes.bolt_circle) > SAME:
        return False
    hole = sizes.hole_diameter
    return hole is None or row.hole_diameter is None or abs(row.hole_diameter - hole) <= SAME
