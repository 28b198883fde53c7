"""Published hole sizes by bolt and thread: clearance holes, tap drills, seats for heads and washers, dowel fits.

The tables stand in ``tables/holes``: CSV files led by ``# key: value`` lines, apart from the bolt-circle tables.
"""

import csv
import re
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from functools import cache
from pathlib import Path

from flangelayout.errors import InputError, Problem
from flangelayout.standards.bolting import bolt_size
from flangelayout.standards.pattern import Confidence
from flangelayout.units import Unit, decimal_text, parse_length, size_text

FOLDER = Path(__file__).parent / "tables" / "holes"


class Fit(Enum):
    """How much room a bolt has in its hole; the values are the words of ISO 273 and of ASME B18.2.8."""

    FINE = ("fine", "close")
    MEDIUM = ("medium", "normal")
    COARSE = ("coarse", "loose")

    @classmethod
    def of(cls, word: str) -> "Fit | None":
        """The fit that either standard calls so."""
        return next((fit for fit in cls if word.lower() in fit.value), None)


FIT_WORDS = tuple(word for fit in Fit for word in fit.value)


@dataclass(frozen=True, slots=True)
class Figure:
    """One published size in mm and where it comes from, in the words printed on the sheet."""

    value: float
    credit: str


@dataclass(frozen=True, slots=True)
class Thread:
    """A thread with its drill, in mm.

    Attributes:
        name: As it is called: ``M16``, ``M16x1.5``, ``5/8-11 UNC``, ``1/2 NPT``.
        major_diameter: Nominal diameter; of a pipe thread the pipe's outside diameter.
        pitch: From thread to thread.
        tap_drill: Drill before tapping.
        credit: Where the drill comes from.
    """

    name: str
    major_diameter: float
    pitch: float
    tap_drill: float
    credit: str


@dataclass(frozen=True, slots=True)
class Limits:
    """Limit deviations of a hole in mm."""

    lower: float
    upper: float


@dataclass(frozen=True, slots=True)
class _Row:
    """A row of a table: its cells as lengths in mm where they are lengths, and how far to trust it."""

    cells: dict[str, str]
    unit: Unit
    standard: str

    def length(self, column: str) -> float:
        """A cell as mm."""
        return parse_length(self.cells[column], self.unit)

    @property
    def trust(self) -> str:
        """How well the row is vouched for."""
        return Confidence(self.cells["confidence"]).words


def clearance_hole(bolt: str, fit: Fit = Fit.MEDIUM) -> Figure | None:
    """The clearance hole of a bolt by ISO 273 (metric) or ASME B18.2.8 (inch).

    Args:
        bolt: As written: ``M20``, ``3/4``, ``3/4 in``, ``1 1/8-8 UN``.
        fit: Room for the bolt.

    Returns:
        Diameter in mm, or ``None`` where the text names no bolt of the tables.

    Example:
        >>> clearance_hole("M20").value, clearance_hole("3/4", Fit.FINE).value
        (22.0, 19.84375)
    """
    name = bolt_name(bolt)
    if name is None:
        return None
    metric = name.startswith("M")
    row = _rows("iso_273" if metric else "asme_b18_2_8").get((name,))
    if row is None:
        return None
    word = fit.value[0 if metric else 1]
    size = row.length(word)
    shown = f"{size_text(size, row.unit)} {row.unit.value}"
    return Figure(size, f"Hole {shown} for {_spoken(name)}: {row.standard} {word}; {row.trust}")


def bolts() -> tuple[str, ...]:
    """Every bolt that has a published clearance hole."""
    return tuple(key[0] for table in ("iso_273", "asme_b18_2_8") for key in _rows(table))


def bolt_name(text: str) -> str | None:
    """A bolt's size as the tables have it: ``M20`` of ``m20x2.5``, ``1 1/8`` of ``1-1/8 in`` or ``1 1/8-8 UN``.

    Returns:
        ``None`` where the text is no bolt size.
    """
    plain = text.strip().replace("×", "x").replace("”", '"').replace("″", '"')
    metric = re.fullmatch(r"[Mm]\s*(\d+(?:\.\d+)?)(?:\s*[xX]\s*\d+(?:\.\d+)?)?", plain)
    if metric:
        return f"M{float(metric[1]):g}"
    inch = re.fullmatch(_INCH + r'\s*(?:"|in\.?|inch)?\s*(?:-\s*\d+(?:\.\d+)?)?\s*(?:UNC|UNF|UN|8UN)?', plain)
    return _inch_name(inch) if inch else None


def thread(text: str) -> Thread | None:
    """A thread by its name; a metric one without a pitch is coarse, an inch one without a series is UNC.

    Args:
        text: ``M16``, ``M16x1.5``, ``5/8``, ``5/8-11``, ``5/8-18 UNF``, ``#10-24``, ``1/2 NPT``.

    Returns:
        ``None`` where the text names no thread of the tables.
    """
    plain = text.strip().replace("×", "x")
    metric = re.fullmatch(r"[Mm]\s*(\d+(?:\.\d+)?)(?:\s*[xX]\s*(\d+(?:\.\d+)?))?", plain)
    if metric:
        return _metric_thread(float(metric[1]), float(metric[2]) if metric[2] else None)
    pipe = re.fullmatch(_INCH + r"(?:\s*-\s*\d+(?:\.\d+)?)?\s*NPT", plain, re.IGNORECASE)
    if pipe:
        return _pipe_thread(_inch_name(pipe))
    number = r"(?P<number>#\d+)"
    inch = re.fullmatch(
        rf'(?:{number}|{_INCH})\s*(?:"|in)?\s*(?:-\s*(?P<tpi>\d+(?:\.\d+)?))?\s*(?P<series>UNC|UNF)?',
        plain,
        re.IGNORECASE,
    )
    if inch:
        return _unified_thread(inch["number"] or _inch_name(inch), inch["tpi"], (inch["series"] or "").upper())
    return None


def counterbore(bolt: str) -> tuple[Figure, float] | None:
    """Diameter of the recess for a socket cap head, and its depth in mm; ``None`` where no table has the bolt."""
    row = _seat_row(bolt)
    if row is None:
        return None
    return _seat(row, "counterbore", f"Counterbore for {_spoken(row.cells['bolt'])}"), row.length("counterbore_depth")


def countersink(bolt: str) -> tuple[Figure, float] | None:
    """Diameter of a flat head, to its sharp edge, and the angle of its cone; ``None`` where no table has the bolt."""
    row = _seat_row(bolt)
    if row is None or not row.cells["countersink"]:
        return None
    angle = 90.0 if row.unit is Unit.MM else 82.0
    return _seat(row, "countersink", f"Countersink for {_spoken(row.cells['bolt'])}"), angle


SPOTFACE_ROOM = 2.0
"""How much wider than its washer a spotface is made, in mm (common practice, no source)."""


def spotface(bolt: str) -> Figure | None:
    """Diameter of the seat for a bolt's plain washer and :data:`SPOTFACE_ROOM`; ``None`` where no table has it."""
    name = bolt_name(bolt)
    size = None if name is None else bolt_size(name)
    if name is None or size is None or size.washer_outside is None:
        return None
    washer = f"{size_text(size.washer_outside, size.unit)} {size.unit.value}"
    standard = "ISO 7089" if size.unit is Unit.MM else "ASME B18.21.1"
    words = f"Spotface for {_spoken(name)}: washer of {standard}, {washer}, and 2 mm; {size.confidence.words}"
    return Figure(size.washer_outside + SPOTFACE_ROOM, words)


def dowel_limits(diameter: float, fit: str) -> Limits | None:
    """Limit deviations of a hole by ISO 286-2; ``None`` where the table has not that fit at that size."""
    for row in _rows("iso_286_holes", "over", "to", "fit").values():
        low, high = float(row.cells["over"]), float(row.cells["to"])
        if row.cells["fit"] == fit and low < diameter <= high:
            return Limits(float(row.cells["lower"]) / 1000, float(row.cells["upper"]) / 1000)
    return None


def dowel_fits() -> tuple[str, ...]:
    """The fits whose limits are known."""
    return tuple(dict.fromkeys(row.cells["fit"] for row in _rows("iso_286_holes", "over", "to", "fit").values()))


_INCH = r"(?:(?P<whole>\d+)(?:[\s-]+(?P<rest>\d+/\d+))?|(?P<part>\d+/\d+))"


def _inch_name(match: "re.Match[str]") -> str:
    """An inch size as the tables have it: ``3/4``, ``1 1/8``, ``2``."""
    size = Fraction(match["part"]) if match["part"] else Fraction(match["whole"]) + Fraction(match["rest"] or 0)
    whole, rest = divmod(size, 1)
    return " ".join(str(part) for part in (whole, rest) if part) or "0"


def _spoken(name: str) -> str:
    return name if name.startswith("M") else f"{name} in"


def _system(name: str) -> str:
    return "metric" if name.startswith("M") else "inch"


def _metric_thread(size: float, pitch: float | None) -> Thread | None:
    name = f"M{size:g}"
    for row in _rows("tap_drills_metric", "thread", "pitch").values():
        coarse = row.cells["series"] == "coarse"
        if row.cells["thread"] == name and (coarse if pitch is None else float(row.cells["pitch"]) == pitch):
            called = name if coarse else f"{name}x{float(row.cells['pitch']):g}"
            return Thread(called, size, float(row.cells["pitch"]), row.length("tap_drill"), _drill_credit(row, called))
    return None


def _unified_thread(name: str, tpi: str | None, series: str) -> Thread | None:
    for row in _rows("tap_drills_unified", "thread", "series").values():
        cells = row.cells
        right = cells["series"] == (series or "UNC") if tpi is None else float(cells["threads_per_inch"]) == float(tpi)
        if cells["thread"] == name and right and series in ("", cells["series"]):
            called = f"{name}-{cells['threads_per_inch']} {cells['series']}"
            return Thread(called, _major(name), _pitch(row), row.length("tap_drill"), _drill_credit(row, called))
    return None


def _pipe_thread(name: str) -> Thread | None:
    row = _rows("tap_drills_npt", "thread").get((name,))
    if row is None:
        return None
    called = f"{name} NPT"
    return Thread(called, row.length("outside"), _pitch(row), row.length("tap_drill"), _drill_credit(row, called))


def _major(name: str) -> float:
    """Nominal diameter of a Unified thread in mm; numbered ones are 0.06 in and 0.013 in a number (ASME B1.1)."""
    if name.startswith("#"):
        return parse_length(str(0.060 + 0.013 * int(name[1:])), Unit.IN)
    return parse_length(name, Unit.IN)


def _pitch(row: _Row) -> float:
    return parse_length("1", Unit.IN) / float(row.cells["threads_per_inch"])


def _drill_credit(row: _Row, called: str) -> str:
    drill = row.length("tap_drill")
    shown = size_text(drill, row.unit) if row.unit is Unit.IN else decimal_text(drill, Unit.MM).rstrip("0").rstrip(".")
    return f"Tap drill {shown} {row.unit.value} for {called}: {row.standard}; {row.trust}"


def _seat_row(bolt: str) -> _Row | None:
    name = bolt_name(bolt)
    return None if name is None else _rows(f"head_seats_{_system(name)}").get((name,))


def _seat(row: _Row, column: str, lead: str) -> Figure:
    size = row.length(column)
    shown = f"{size_text(size, row.unit)} {row.unit.value}"
    return Figure(size, f"{lead} {shown}: {row.standard}; {row.trust}")


@cache
def _rows(name: str, *key: str) -> dict[tuple[str, ...], _Row]:
    """The rows of a table by the cells of the ``key`` columns, by the first column unless told; read once and kept.

    Raises:
        InputError: If the data file is damaged; the message names file and line.
    """
    path = FOLDER / f"{name}.csv"
    text = path.read_text(encoding="utf-8").splitlines()
    lead = [line for line in text if line.startswith("# ")]
    header = dict(line[1:].strip().split(": ", 1) for line in lead)
    reader = csv.DictReader(text[len(lead) :])
    rows: dict[tuple[str, ...], _Row] = {}
    for number, cells in enumerate(reader, len(lead) + 2):
        if None in cells or None in cells.values():
            raise InputError(Problem("", "has a wrong number of cells", number), source=path.name)
        row = _Row(cells, Unit(header["unit"]), header["standard"])
        rows[tuple(cells[column] for column in key or tuple(cells)[:1])] = row
    return rows
