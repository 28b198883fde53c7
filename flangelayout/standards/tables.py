"""Reads the published tables: one CSV file per standard, led by commented header lines.

A header line is ``# key: value``; ``# source TAG: words`` explains a tag of the sources column.
The files are the truth; adding a row, an edition or a standard needs no Python, and a table writes
only the columns it has.
"""

import math
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from enum import Enum
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from flangelayout.errors import InputError, Problem
from flangelayout.provenance import Confidence, Family
from flangelayout.standards.pattern import DrillingTolerance, Pattern, Rectangle, Register
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
)
_REMARKS = ("note", "outside", "circle", "bore", "hole", "pin", "thickness")  # what a column means, for a person
_ALLOWED = (*_NEEDED, *_SETTINGS, *_REMARKS)
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


@dataclass(frozen=True, slots=True)
class PublishedTable:
    """One published table: what its header says, and its rows.

    Attributes:
        file: Name of the data file.
        standard: The standard as it is called.
        edition: Its edition, or ``"not stated"``.
        family: What carries the pattern.
        unit: Unit of the published lengths.
        spoken: Names people use for the standard, lower case.
        trade_default: Whether the trade means this standard when it names none.
        older_issue_of: The standard that this one is an older issue of; empty where it is none.
        remarks: What columns mean and what the confidence covers, for a person to read.
        patterns: The rows, in the order printed.
    """

    file: str
    standard: str
    edition: str
    family: Family
    unit: Unit
    spoken: tuple[str, ...]
    trade_default: bool
    older_issue_of: str
    remarks: tuple[tuple[str, str], ...]
    patterns: tuple[Pattern, ...]


@dataclass(frozen=True, slots=True)
class _Header:
    """The commented lines of a file: their values and the explained source tags."""

    values: dict[str, str]
    tags: dict[str, str]


class RowName(NamedTuple):
    """What a row is called, without the rest of it.

    Attributes:
        family: What carries the pattern.
        standard: The standard as it is called.
        grade: Its class within the standard.
        size: Its size.
    """

    family: Family
    standard: str
    grade: str
    size: str


@cache
def all_tables() -> tuple[PublishedTable, ...]:
    """Every table of the package, pipe flanges first, then by name; read once and kept.

    Raises:
        InputError: If a data file is damaged; the message names file and line.
    """
    return tuple(map(_table, _shipped()))


@cache
def all_patterns() -> tuple[Pattern, ...]:
    """Every row of every table; read once and kept.

    Raises:
        InputError: If a data file is damaged; the message names file and line.
    """
    return tuple(pattern for table in all_tables() for pattern in table.patterns)


@cache
def patterns_of_count(hole_count: int) -> tuple[Pattern, ...]:
    """The rows with so many holes, in table order; no other is built, which spares a survey half of its start.

    Raises:
        InputError: If a data file is damaged where it is read; the message names file and line.
    """
    found: list[Pattern] = []
    for opened in _shipped():
        with _placed(opened.file.name):
            counts = zip(opened.file.rows, opened.file.column("holes"), strict=True)
            rows = [row for row, count in counts if count == str(hole_count)]
            found += map(opened.builder(), rows) if rows else ()
    return tuple(found)


@cache
def all_names() -> tuple[RowName, ...]:
    """The names of every row, in table order, without building the rows.

    Raises:
        InputError: If a data file is damaged where it is read; the message names file and line.
    """
    return tuple(
        RowName(opened.family, opened.values["standard"], grade, size)
        for opened in _shipped()
        for grade, size in zip(opened.file.column("grade"), opened.file.column("size"), strict=True)
    )


def read_table(path: Path) -> PublishedTable:
    """The table of one data file.

    Raises:
        InputError: If the file is damaged: an unknown or missing header line or column, a wrong number of
            cells, a length that is no positive number, an unexplained source tag.
    """
    return _table(_opened(path))


@dataclass(frozen=True, slots=True)
class _Opened:
    """A data file whose header is read and whose rows wait to be built."""

    file: DataFile
    values: dict[str, str]
    family: Family
    unit: Unit
    header: _Header

    def builder(self) -> Callable[[DataRow], Pattern]:
        """What makes a pattern of a row."""
        return _row_builder(self.header, self.unit, self.family)


@cache
def _shipped() -> tuple[_Opened, ...]:
    opened = (_opened(path) for path in FOLDER.iterdir() if path.name.endswith(".csv"))
    return tuple(
        sorted(
            opened, key=lambda each: (each.family is not Family.PIPE_FLANGE, each.values["standard"], each.file.name)
        )
    )


def _opened(path: "Traversable") -> _Opened:
    file = data_file(path.read_text(encoding="utf-8"), path.name)
    with _placed(file.name):
        header = _header(file)
        unit = _choice(Unit, header.values["unit"], "unit")
        family = _choice(Family, header.values["family"], "family")
        return _Opened(file, header.values, family, unit, header)


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


def _table(opened: _Opened) -> PublishedTable:
    values = opened.values
    with _placed(opened.file.name):
        patterns = tuple(map(opened.builder(), opened.file.rows))
    return PublishedTable(
        file=opened.file.name,
        standard=values["standard"],
        edition=values["edition"],
        family=opened.family,
        unit=opened.unit,
        spoken=tuple(dict.fromkeys(name.strip().lower() for name in values["spoken"].split(";"))),
        trade_default=values.get("trade default") == "yes",
        older_issue_of=values.get("older issue of", ""),
        remarks=tuple((key, values[key]) for key in (*_REMARKS, "confidence covers") if key in values),
        patterns=patterns,
    )


def _header(file: DataFile) -> _Header:
    """The header lines and the columns, checked."""
    values: dict[str, str] = {}
    tags: dict[str, str] = {}
    for number, line in enumerate(file.heading, start=1):
        key, colon, value = line.partition(": ")
        if not colon or not value.strip():
            raise _DamageError(number, "header", f'"# {line}" is not "# key: value"')
        if key.startswith("source "):
            tags[key.removeprefix("source ")] = value
        elif key in _ALLOWED:
            values[key] = value
        else:
            raise _DamageError(number, "header", f'unknown key "{key}"; it is one of {", ".join(_ALLOWED)}')
    missing = [key for key in _NEEDED if key not in values]
    if missing:
        raise _DamageError(None, "header", f"has no line for {', '.join(missing)}")
    _check_columns(file)
    return _Header(values, tags)


def _check_columns(file: DataFile) -> None:
    line = len(file.heading) + 1
    missing = [column for column in NEEDED_COLUMNS if column not in file.columns]
    unknown = [column for column in file.columns if column not in NEEDED_COLUMNS + OPTIONAL_COLUMNS]
    if missing:
        raise _DamageError(line, "columns", f"there is none for {', '.join(missing)}")
    if unknown:
        known = ", ".join(NEEDED_COLUMNS + OPTIONAL_COLUMNS)
        raise _DamageError(line, "columns", f'"{unknown[0]}" is no column of a drilling table; they are {known}')


def _row_builder(header: _Header, unit: Unit, family: Family) -> Callable[[DataRow], Pattern]:
    """A function from a row to its pattern; texts that come again are read once."""
    values = header.values
    designation = values["designation"].format
    length = cache(length_reader(unit))
    sources = cache(lambda text: _sources(text, header.tags))
    tolerance = cache(_tolerance_reader(values))
    register = _choice(Register, values["register"], "register") if "register" in values else None

    def build(row: DataRow) -> Pattern:
        cells = row.cells
        cell = cells.get
        try:
            circle, holes = length(cells["bolt_circle"]), int(cells["holes"])
            size, grade = cells["size"], cell("grade", "")
            if not size or circle is None or holes < _FEWEST_HOLES:
                raise ValueError(f"a row needs a size, a bolt circle and at least {_FEWEST_HOLES} holes")
            return Pattern(
                standard=values["standard"],
                edition=values["edition"],
                family=family,
                grade=grade,
                size=size,
                designation=designation(standard=values["standard"], grade=grade.replace("PN ", "PN"), size=size),
                bolt_circle=circle,
                hole_count=holes,
                unit=unit,
                confidence=Confidence(cells["confidence"]),
                sources=sources(cells["sources"]),
                register=register if cell("bore") else None,
                bolt=cell("bolt", "") or None,
                tapped=cell("tapped", "") == "yes",
                rectangle=_rectangle(length(cell("long_side", "")), length(cell("short_side", ""))),
                tolerance=tolerance(cell("bolt", "")),
                other_counts=tuple(int(count) for count in cell("other_counts", "").split()),
                also=cell("also", ""),
                note=cell("note", ""),
                **{field: length(cell(column, "")) for field, column in _LENGTHS.items()},
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


def _sources(text: str, tags: dict[str, str]) -> str:
    """The sources of a row in words: tags explained, remarks kept."""
    return "; ".join(_source(token, tags) for token in text.split("; "))


def _source(token: str, tags: dict[str, str]) -> str:
    column, equals, rest = token.partition("=")
    if not equals:
        return _explained(token, tags)
    if column not in _COLUMN_WORDS:
        raise ValueError(f'sources: unknown column "{column}"')
    if rest.startswith(("same as ", "agrees with ")):
        return f"{_COLUMN_WORDS[column]}: {rest}"
    return f"{_COLUMN_WORDS[column]}: {' and '.join(_explained(tag, tags) for tag in rest.split('+'))}"


def _explained(token: str, tags: dict[str, str]) -> str:
    tag, space, remark = token.partition(" (")
    if tag not in tags:
        raise ValueError(f'sources: the header explains no tag "{tag}"')
    return f"{tags[tag]}{space}{remark}"


def _tolerance_reader(values: Mapping[str, str]) -> Callable[[str], DrillingTolerance | None]:
    """The drilling tolerance of a row by its bolt."""
    circle = _tolerances(values.get("circle tolerance", ""))
    chord = _tolerances(values.get("chord tolerance", ""))
    vouched = values.get("tolerance confidence")
    if not circle or not vouched:
        return lambda bolt: None
    confidence = _choice(Confidence, vouched, "tolerance confidence")

    def tolerance(bolt: str) -> DrillingTolerance | None:
        value = _tolerance(circle, bolt)
        return DrillingTolerance(value, _tolerance(chord, bolt), values["standard"], confidence) if value else None

    return tolerance


def _tolerances(text: str) -> tuple[tuple[float, float, float], ...]:
    """Tolerances by bolt size: ``all 1.5`` or ``M10-M24 1.0, M27-M45 1.5`` as (from, to, mm)."""
    out = []
    for part in text.split(", ") if text else ():
        match = re.fullmatch(r"(?:all|M(\d+)-M(\d+)) (\d+(?:\.\d+)?)", part)
        if match is None:
            raise _DamageError(None, "tolerance", f'"{part}" is not "all 1.5" or "M10-M24 1.0"')
        out.append((float(match[1] or 0), float(match[2] or math.inf), float(match[3])))
    return tuple(out)


def _tolerance(ranges: Iterable[tuple[float, float, float]], bolt: str) -> float | None:
    size = float(bolt[1:]) if re.fullmatch(r"M\d+", bolt) else math.nan
    return next((value for low, high, value in ranges if low == 0 or low <= size <= high), None)
