"""Published hole sizes by bolt and thread: clearance holes, tap drills, seats, dowel fits; and the drills there are.

The tables stand in ``tables/holes``: CSV files led by ``# key: value`` lines, apart from the bolt-circle tables.
"""

import math
import re
from enum import Enum
from functools import cache

from msgspec import Struct

from flangelayout.flange.hole import Tapped
from flangelayout.flange.origin import LookedUp, Made
from flangelayout.provenance import Confidence
from flangelayout.standards.bolting import bolt_size
from flangelayout.standards.bolts import Bolt, Series, known_bolt
from flangelayout.standards.faults import StandardsError
from flangelayout.standards.inches import inch_name, inches_of
from flangelayout.standards.practice import TAP_RUN_OUT
from flangelayout.standards.rows import shipped
from flangelayout.standards.tolerances.fits import fit_limits, is_hole_class
from flangelayout.standards.typography import plain
from flangelayout.units import Unit, from_mm, parse_length, to_mm


class HoleFit(Enum):
    """How much room a bolt has in its hole; the values are the words of ISO 273 and of ASME B18.2.8."""

    FINE = ("fine", "close")
    MEDIUM = ("medium", "normal")
    COARSE = ("coarse", "loose")

    @classmethod
    def of(cls, word: str) -> "HoleFit | None":
        """The fit that either standard calls so."""
        return next((fit for fit in cls if word.lower() in fit.value), None)


FIT_WORDS = tuple(word for fit in HoleFit for word in fit.value)


_METRIC_DRILLS = ((14.0, 0.1), (math.inf, 0.5))
"""Up to which diameter in mm, and in which steps (ISO 235 and ISO 1641 twist drills, from memory)."""
_INCH_DRILLS = ((1.75, 1 / 64), (math.inf, 1 / 32))
"""The same in inches (ASME B94.11M, from memory)."""


class Thread(Struct, frozen=True):
    """A thread with its drill, in mm.

    Attributes:
        name: As it is called: ``M16``, ``M16x1.5``, ``5/8-11 UNC``, ``1/2 NPT``.
        major_diameter: Nominal diameter; of a pipe thread the pipe's outside diameter.
        pitch: From thread to thread.
        drill: The drill and where it comes from.
        tapers: Whether it narrows from the face it is cut from (ASME B1.20.1 NPT, ISO 7-1 Rc).
        is_of_pipes: Whether its nominal diameter is a pipe's, and says nothing of how deep it must be.
        least_depth: Full thread that one of pipes wants, where a table has it.
    """

    name: str
    major_diameter: float
    pitch: float
    drill: LookedUp
    tapers: bool = False
    is_of_pipes: bool = False
    least_depth: float | None = None

    @property
    def tap_drill(self) -> float:
        """Drill before tapping, in mm."""
        return self.drill.value

    def tapped(self, depth: float | None = None) -> Tapped:
        """A hole with this thread right through, or ``depth`` mm of full thread and the drill so much deeper."""
        deeper = None if depth is None else depth + TAP_RUN_OUT * self.pitch
        return Tapped(self.name, self.major_diameter, depth, deeper, self.tapers)


class Limits(Struct, frozen=True):
    """Limit deviations of a hole in mm."""

    lower: float
    upper: float


class _SizeRow(Struct, frozen=True):
    """A row of a table: its cells as lengths in mm where they are lengths, and how far to trust it."""

    cells: dict[str, str]
    unit: Unit
    standard: str

    def length(self, column: str) -> float:
        """A cell as mm."""
        return parse_length(self.cells[column], self.unit)

    @property
    def confidence(self) -> Confidence:
        """How well the row is vouched for."""
        return Confidence(self.cells["confidence"])

    def looked_up(self, made: Made, column: str, of: str, fit: str = "") -> LookedUp:
        """A cell with where it comes from."""
        inch = self.unit is Unit.IN
        return LookedUp(made, self.length(column), of, self.standard, self.confidence, inch, fit)


def clearance_hole(bolt: str, fit: HoleFit = HoleFit.MEDIUM) -> LookedUp | None:
    """The clearance hole of a bolt by ISO 273 (metric) or ASME B18.2.8 (inch).

    Inch bolts above 1 1/2 in, where that ends, have the holes of ASME B16.5, which are of one fit.

    Args:
        bolt: As written: ``M20``, ``3/4``, ``3/4 in``, ``1 1/8-8 UN``.
        fit: Room for the bolt.

    Returns:
        Diameter in mm, or ``None`` where the text names no bolt of the tables, or none with that fit.

    Example:
        >>> clearance_hole("M20").value, clearance_hole("3/4", Fit.FINE).value
        (22.0, 19.84375)
    """
    known = known_bolt(bolt)
    if known is None:
        return None
    metric = known.unit is Unit.MM
    tables = ("iso_273",) if metric else ("asme_b18_2_8", "asme_b16_5")
    found = (row for table in tables if (row := _rows(table).get((known.name,))))
    row, word = next(found, None), fit.value[0 if metric else 1]
    if row is None or word not in row.cells:
        return None
    return row.looked_up(Made.CLEARANCE_HOLE, word, known.name, word)


def bolts() -> tuple[str, ...]:
    """Every bolt that has a published clearance hole."""
    return tuple(key[0] for table in ("iso_273", "asme_b18_2_8", "asme_b16_5") for key in _rows(table))


_PIPE_SIZE = r"\d+(?:[\s-]+\d+/\d+|/\d+)?"
_PIPE_THREAD = re.compile(
    rf"(?P<series>g|rc)\s*(?P<behind>{_PIPE_SIZE})|"
    rf"(?P<ahead>{_PIPE_SIZE})(?:\s*-\s*\d+(?:\.\d+)?)?\s*(?P<system>npt|bsp|bspp|bspt)"
)
_PIPE_SERIES = {"g": "G", "rc": "Rc", "bsp": "G", "bspp": "G", "bspt": "Rc"}
"""The parallel and the taper inside thread of the pipe threads: ISO 228-1 and ISO 7-1."""


def thread(text: str) -> Thread | None:
    """A thread by its name; a metric one without a pitch is coarse, an inch one without a series is UNC.

    Args:
        text: ``M16``, ``M16x1.5``, ``5/8``, ``5/8-11``, ``5/8-18 UNF``, ``#10-24``, ``1/2 NPT``,
            ``G 1/2``, ``Rc 1/2``, ``1/2 BSP`` (parallel), ``1 1/8-8 UN``.

    Returns:
        ``None`` where the text names no thread of the tables.
    """
    pipe = _PIPE_THREAD.fullmatch(plain(text))
    if pipe:
        try:
            size = inch_name(inches_of(pipe["behind"] or pipe["ahead"], text))
            return _pipe_thread(size, pipe["series"] or pipe["system"])
        except StandardsError:
            return None
    bolt = known_bolt(text)
    if bolt is None or bolt.length is not None:
        return None
    return _metric_thread(bolt) if bolt.unit is Unit.MM else _unified_thread(bolt)


def counterbore(bolt: str) -> tuple[LookedUp, float] | None:
    """Diameter of the recess for a socket cap head, and its depth in mm; ``None`` where no table has the bolt."""
    row = _seat_row(bolt)
    if row is None:
        return None
    return row.looked_up(Made.COUNTERBORE, "counterbore", row.cells["bolt"]), row.length("counterbore_depth")


def countersink(bolt: str) -> tuple[LookedUp, float] | None:
    """Diameter of a flat head, to its sharp edge, and the angle of its cone; ``None`` where no table has the bolt."""
    row = _seat_row(bolt)
    if row is None or not row.cells["countersink"]:
        return None
    angle = 90.0 if row.unit is Unit.MM else 82.0
    return row.looked_up(Made.COUNTERSINK, "countersink", row.cells["bolt"]), angle


SPOTFACE_ROOM = 2.0
"""How much wider than its washer a spotface is made, in mm (common practice, no source)."""


def spotface(bolt: str) -> LookedUp | None:
    """Diameter of the seat for a bolt's plain washer and :data:`SPOTFACE_ROOM`; ``None`` where no table has it."""
    size = bolt_size(bolt)
    if size is None or size.washer_outside is None:
        return None
    washer = size.washer_outside
    inch = size.unit is Unit.IN
    standard = "ASME B18.21.1" if inch else "ISO 7089"
    seat = washer + SPOTFACE_ROOM
    return LookedUp(Made.SPOTFACE, seat, size.name, standard, size.confidence, inch, washer=washer)


def dowel_limits(diameter: float, fit: str) -> Limits | None:
    """Limit deviations of a hole by ISO 286; ``None`` where the tables have not that fit at that size."""
    grade = fit_limits(diameter, fit) if is_hole_class(fit) else None
    if grade:
        return Limits(grade.lower, grade.upper)
    for row in _rows("iso_286_holes", "over", "to", "fit").values():
        low, high = float(row.cells["over"]), float(row.cells["to"])
        if row.cells["fit"] == fit and low < diameter <= high:
            return Limits(float(row.cells["lower"]) / 1000, float(row.cells["upper"]) / 1000)
    return None


def dowel_fits() -> tuple[str, ...]:
    """The usual fits of dowel holes whose limits are known."""
    pressed = (row.cells["fit"] for row in _rows("iso_286_holes", "over", "to", "fit").values())
    return tuple(dict.fromkeys(("H6", "H7", "H8", *pressed)))


def next_drill(diameter: float, unit: Unit) -> float:
    """The least drill in mm that is no smaller than ``diameter``, among those of a unit.

    Example:
        >>> next_drill(22.6, Unit.MM)
        23.0
    """
    wanted = from_mm(diameter, unit)
    for most, step in _METRIC_DRILLS if unit is Unit.MM else _INCH_DRILLS:
        drill = math.ceil(wanted / step - 1e-6) * step
        if drill <= most + 1e-9:
            return to_mm(round(drill, 9), unit)
    return diameter


def _metric_thread(bolt: Bolt) -> Thread | None:
    for row in _rows("tap_drills_metric", "thread", "pitch").values():
        pitch = float(row.cells["pitch"])
        coarse = row.cells["series"] == "coarse"
        if row.cells["thread"] == bolt.name and (coarse if bolt.pitch is None else bolt.pitch == pitch):
            called = bolt.name if coarse else f"{bolt.name}x{pitch:g}"
            return Thread(called, bolt.diameter, pitch, row.looked_up(Made.TAP_DRILL, "tap_drill", called))
    return None


def _unified_thread(bolt: Bolt) -> Thread | None:
    per_inch = None if bolt.pitch is None else round(1 / from_mm(bolt.pitch, Unit.IN), 6)
    for row in _rows("tap_drills_unified", "thread", "series").values():
        cells, series = row.cells, Series(row.cells["series"])
        right = bolt.series in (None, series)
        wanted = (
            series is (bolt.series or Series.UNC) if per_inch is None else float(cells["threads_per_inch"]) == per_inch
        )
        if cells["thread"] == bolt.name and right and wanted:
            called = f"{bolt.name}-{cells['threads_per_inch']} {series.value}"
            return Thread(called, bolt.diameter, _pitch(row), row.looked_up(Made.TAP_DRILL, "tap_drill", called))
    return None


def _pipe_thread(name: str, system: str) -> Thread | None:
    series = _PIPE_SERIES.get(system)
    if series is None:
        row, called = _rows("tap_drills_npt", "thread").get((name,)), f"{name} NPT"
    else:
        row, called = _rows("tap_drills_pipe", "thread", "series").get((name, series)), f"{series} {name}"
    if row is None:
        return None
    drill = row.looked_up(Made.TAP_DRILL, "tap_drill", called)
    least = row.length("full_thread") if row.cells["full_thread"] else None
    return Thread(called, row.length("outside"), _pitch(row), drill, series != "G", is_of_pipes=True, least_depth=least)


def _pitch(row: _SizeRow) -> float:
    return parse_length("1", Unit.IN) / float(row.cells["threads_per_inch"])


def _seat_row(bolt: str) -> _SizeRow | None:
    known = known_bolt(bolt)
    system = "metric" if known and known.unit is Unit.MM else "inch"
    return None if known is None else _rows(f"head_seats_{system}").get((known.name,))


@cache
def _rows(name: str, *key: str) -> dict[tuple[str, ...], _SizeRow]:
    """The rows of a table by the cells of the ``key`` columns, by the first column unless told; read once and kept.

    Raises:
        InputError: If the data file is damaged; the message names file and line.
    """
    file = shipped("holes", f"{name}.csv")
    unit, standard = Unit(file.said("unit")), file.said("standard")
    return {
        tuple(row.cells[column] for column in key or file.columns[:1]): _SizeRow(row.cells, unit, standard)
        for row in file.rows
    }
