"""A data file of drillings, opened: its header is checked, and its rows are built when they are asked for.

A header line is ``# key: value``; ``# source TAG: words`` explains a tag of the sources column.
The files are the truth; adding a row, an edition or a standard needs no Python, and a table writes
only the columns it has.
"""

import math
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from enum import Enum
from functools import cache
from typing import TYPE_CHECKING, TypeVar

from msgspec import Struct

from flangelayout.errors import InputError, Problem
from flangelayout.provenance import Confidence, DrillingTolerance, Family
from flangelayout.standards.pattern import Pattern, Rectangle, Register
from flangelayout.standards.rows import FOLDER, DataFile, DataRow, data_file
from flangelayout.units import Unit, to_mm

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

_E = TypeVar("_E", bound=Enum)
NEEDED_COLUMNS = ("size", "bolt_circle", "holes", "confidence", "sources")
_LENGTHS = {
    "hole_diameter": "hole",
    "outside_diameter": "outside",
    "bore": "bore",
    "thickness": "thickness",
    "raised_face_diameter": "raised_face",
}
"""The column of each length that a row may leave out, by the pattern's name for it."""
OPTIONAL_COLUMNS = (
    *("grade", *_LENGTHS.values(), "bolt", "note"),
    *("tapped", "other_counts", "long_side", "short_side", "also"),
)
_FEWEST_HOLES = 2
_NEEDED = ("standard", "edition", "family", "unit", "designation", "spoken", "confidence covers")
_SETTINGS = (
    *("trade default", "older issue of", "register", "circle tolerance", "chord tolerance", "tolerance confidence"),
    *("circle tolerance in inches", "chord tolerance in inches"),
)
REMARKS = ("note", "outside", "circle", "bore", "hole", "pin", "thickness")  # what a column means, for a person
_ALLOWED = (*_NEEDED, *_SETTINGS, *REMARKS)
_COLUMN_WORDS = {
    "t": "thickness",
    "rf": "raised face",
    "od": "outside diameter",
    "bc": "bolt circle",
    "n": "hole count",
    "hole": "hole",
    "bolt": "bolt",
    "drilling": "drilling",
}


class TableFile(Struct, frozen=True):
    """One data file: what its header says, and its rows as they are written.

    Attributes:
        file: The file, taken apart.
        header: The lines of its header by their keys.
        tags: What each tag of the sources column means.
        family: What carries the patterns.
        unit: Unit of the lengths.
    """

    file: DataFile
    header: Mapping[str, str]
    tags: Mapping[str, str]
    family: Family
    unit: Unit

    @property
    def standard(self) -> str:
        """The standard as it is called."""
        return self.header["standard"]

    def patterns(self, hole_count: int | None = None) -> tuple[Pattern, ...]:
        """Its rows in the order printed, all of them or those with so many holes; no other is built.

        Raises:
            InputError: If a row is damaged; the message names file and line.
        """
        rows = self.file.rows
        if hole_count is not None:
            counts = zip(rows, self.file.column("holes"), strict=True)
            rows = tuple(row for row, count in counts if count == str(hole_count))
        if not rows:
            return ()
        with _placed(self.file.name):
            return tuple(map(_row_builder(self), rows))


@cache
def shipped_files() -> tuple[TableFile, ...]:
    """The data files of the package, pipe flanges first, then by name; read once and kept.

    Raises:
        InputError: If a header is damaged; the message names file and line.
    """
    opened = (open_file(path) for path in FOLDER.iterdir() if path.name.endswith(".csv"))
    return tuple(sorted(opened, key=lambda each: (each.family != Family.PIPE_FLANGE, each.standard, each.file.name)))


@cache
def patterns_of_count(hole_count: int) -> tuple[Pattern, ...]:
    """The rows of the package with so many holes, in table order; who has a circle needs no other, and starts sooner.

    Raises:
        InputError: If a data file is damaged where it is read; the message names file and line.
    """
    return tuple(pattern for file in shipped_files() for pattern in file.patterns(hole_count))


def open_file(path: "Traversable") -> TableFile:
    """The data file of a path, its header checked.

    Raises:
        InputError: If a line or a column of it is unknown or missing, or a row has a wrong number of cells.
    """
    file = data_file(path.read_text(encoding="utf-8"), path.name)
    with _placed(file.name):
        header, tags = _header(file)
        unit = _choice(Unit, header["unit"], "unit")
        family = _choice(Family, header["family"], "family")
        return TableFile(file, header, tags, family, unit)


@contextmanager
def _placed(name: str) -> Iterator[None]:
    """Name the data file in what is wrong with it."""
    try:
        yield
    except _DamageError as damage:
        raise InputError(damage.problem, source=name) from None


class _DamageError(Exception):
    """A fault in a data file, before its name is known."""

    def __init__(self, line: int | None, where: str, text: str) -> None:
        self.problem = Problem(where, text, line)
        super().__init__(text)


def _header(file: DataFile) -> tuple[dict[str, str], dict[str, str]]:
    """The header lines and the explained source tags; the columns are checked, too."""
    header: dict[str, str] = {}
    tags: dict[str, str] = {}
    for number, line in enumerate(file.heading, start=1):
        key, colon, value = line.partition(": ")
        if not colon or not value.strip():
            raise _DamageError(number, "header", f'"# {line}" is not "# key: value"')
        if key.startswith("source "):
            tags[key.removeprefix("source ")] = value
        elif key in _ALLOWED:
            header[key] = value
        else:
            raise _DamageError(number, "header", f'unknown key "{key}"; it is one of {", ".join(_ALLOWED)}')
    missing = [key for key in _NEEDED if key not in header]
    if missing:
        raise _DamageError(None, "header", f"has no line for {', '.join(missing)}")
    _check_columns(file)
    return header, tags


def _check_columns(file: DataFile) -> None:
    line = len(file.heading) + 1
    missing = [column for column in NEEDED_COLUMNS if column not in file.columns]
    unknown = [column for column in file.columns if column not in NEEDED_COLUMNS + OPTIONAL_COLUMNS]
    if missing:
        raise _DamageError(line, "columns", f"there is none for {', '.join(missing)}")
    if unknown:
        known = ", ".join(NEEDED_COLUMNS + OPTIONAL_COLUMNS)
        raise _DamageError(line, "columns", f'"{unknown[0]}" is no column of a drilling table; they are {known}')


def _row_builder(table: TableFile) -> Callable[[DataRow], Pattern]:
    """A function from a row to its pattern; texts that come again are read once."""
    header, columns = table.header, table.file.columns
    designation = header["designation"].format
    length = cache(length_reader(table.unit))
    sources = cache(lambda text: _sources(text, table.tags))
    tolerance = cache(_tolerance_reader(header))
    register = _choice(Register, header["register"], "register") if "register" in header else None
    lengths = [(field, column) for field, column in _LENGTHS.items() if column in columns]

    def build(row: DataRow) -> Pattern:
        cells = row.cells
        cell = cells.get
        try:
            circle, holes = length(cells["bolt_circle"]), int(cells["holes"])
            size, grade, bolt = cells["size"], cell("grade", ""), cell("bolt", "")
            if not size or circle is None or holes < _FEWEST_HOLES:
                raise ValueError(f"a row needs a size, a bolt circle and at least {_FEWEST_HOLES} holes")
            return Pattern(
                standard=table.standard,
                edition=header["edition"],
                family=table.family,
                grade=grade,
                size=size,
                designation=designation(standard=table.standard, grade=grade.replace("PN ", "PN"), size=size),
                bolt_circle=circle,
                hole_count=holes,
                unit=table.unit,
                confidence=Confidence(cells["confidence"]),
                sources=sources(cells["sources"]),
                register=register if cell("bore") else None,
                bolt=bolt or None,
                tapped=cell("tapped") == "yes",
                rectangle=_rectangle(length(cell("long_side", "")), length(cell("short_side", ""))),
                tolerance=tolerance(bolt),
                other_counts=tuple(map(int, cell("other_counts", "").split())),
                also=cell("also", ""),
                note=cell("note", ""),
                **{field: length(cells[column]) for field, column in lengths},
            )
        except ValueError as fault:
            raise _DamageError(row.line, "row", f"{fault}; the cells are {','.join(cells.values())}") from None

    return build


def _rectangle(long: float | None, short: float | None) -> Rectangle | None:
    if (long is None) != (short is None):
        raise ValueError("a rectangle needs its long and its short side")
    return Rectangle(long, short) if long is not None and short is not None else None


def length_reader(unit: Unit) -> Callable[[str], float | None]:
    """What reads a cell as mm; empty cells are ``None``, and a `ValueError` is raised where it is no length."""
    factor = to_mm(1.0, unit)

    def length(text: str) -> float | None:
        """Millimetres of a cell; the product is cleaned of binary noise so that 9.5 in is 241.3 mm."""
        if not text:
            return None
        number = float(text)
        if not 0 < number < math.inf:
            raise ValueError(f'"{text}" is not a length above 0')
        return round(number * factor, 9)

    return length


def _choice(kind: type[_E], text: str, where: str) -> _E:
    try:
        return kind(text)
    except ValueError:
        choices = ", ".join(member.value for member in kind)
        raise _DamageError(None, where, f'"{text}" is none of {choices}') from None


def _sources(text: str, tags: Mapping[str, str]) -> str:
    """The sources of a row in words: tags explained, remarks kept."""
    return "; ".join(_source(token, tags) for token in text.split("; "))


def _source(token: str, tags: Mapping[str, str]) -> str:
    column, equals, rest = token.partition("=")
    if not equals:
        return _explained(token, tags)
    if column not in _COLUMN_WORDS:
        raise ValueError(f'sources: unknown column "{column}"')
    if rest.startswith(("same as ", "agrees with ")):
        return f"{_COLUMN_WORDS[column]}: {rest}"
    return f"{_COLUMN_WORDS[column]}: {' and '.join(_explained(tag, tags) for tag in rest.split('+'))}"


def _explained(token: str, tags: Mapping[str, str]) -> str:
    tag, space, remark = token.partition(" (")
    if tag not in tags:
        raise ValueError(f'sources: the header explains no tag "{tag}"')
    return f"{tags[tag]}{space}{remark}"


def _tolerance_reader(values: Mapping[str, str]) -> Callable[[str], DrillingTolerance | None]:
    """The drilling tolerance of a row by its bolt."""
    ranges = [_tolerances(values.get(f"{what} tolerance", "")) for what in ("circle", "chord")]
    ranges += [_tolerances(values.get(f"{what} tolerance in inches", ""), Unit.IN) for what in ("circle", "chord")]
    vouched = values.get("tolerance confidence")
    if not ranges[0] or not vouched:
        return lambda bolt: None
    confidence = _choice(Confidence, vouched, "tolerance confidence")

    def tolerance(bolt: str) -> DrillingTolerance | None:
        circle, chord, *inch = (_tolerance(each, bolt) for each in ranges)
        return DrillingTolerance(circle, chord, values["standard"], confidence, *inch) if circle else None

    return tolerance


def _tolerances(text: str, unit: Unit = Unit.MM) -> tuple[tuple[float, float, float], ...]:
    """Tolerances by bolt size: ``all 1.5`` or ``M10-M24 1.0, M27-M45 1.5`` as (from, to, mm)."""
    out = []
    for part in text.split(", ") if text else ():
        match = re.fullmatch(r"(?:all|M(\d+)-M(\d+)) (\d+(?:\.\d+)?)", part)
        if match is None:
            raise _DamageError(None, "tolerance", f'"{part}" is not "all 1.5" or "M10-M24 1.0"')
        out.append((float(match[1] or 0), float(match[2] or math.inf), to_mm(float(match[3]), unit)))
    return tuple(out)


def _tolerance(ranges: Iterable[tuple[float, float, float]], bolt: str) -> float | None:
    size = float(bolt[1:]) if re.fullmatch(r"M\d+", bolt) else math.nan
    return next((value for low, high, value in ranges if low == 0 or low <= size <= high), None)
