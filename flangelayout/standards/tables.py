"""Reads the published tables: one CSV file per standard, led by commented header lines.

A header line is ``# key: value``; ``# source TAG: words`` explains a tag of the sources column.
The files are the truth; adding a row, an edition or a standard needs no Python.
"""

import csv
import math
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import Enum
from functools import cache
from itertools import takewhile
from pathlib import Path
from typing import TypeVar

from flangelayout.errors import InputError, Problem
from flangelayout.standards.pattern import Confidence, Pattern
from flangelayout.units import Unit, to_mm

_E = TypeVar("_E", bound=Enum)
FOLDER = Path(__file__).parent / "tables"
COLUMNS = (
    *("grade", "size", "bolt_circle", "holes", "hole", "outside", "bore", "thickness", "raised_face"),
    *("bolt", "confidence", "sources", "note"),
)
_FEWEST_HOLES = 2
_NEEDED = ("standard", "edition", "family", "unit", "designation", "spoken", "confidence covers")
_SETTINGS = ("trade default", "spacing", "circle tolerance", "chord tolerance", "tolerance confidence")
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
class Table:
    """One published table: what its header says, and its rows.

    Attributes:
        file: Name of the data file.
        standard: The standard as it is called.
        edition: Its edition, or ``"not stated"``.
        family: What carries the pattern.
        unit: Unit of the published lengths.
        spoken: Names people use for the standard, lower case.
        trade_default: Whether the trade means this standard when it names none.
        remarks: What columns mean and what the confidence covers, for a person to read.
        patterns: The rows, in the order printed.
    """

    file: str
    standard: str
    edition: str
    family: str
    unit: Unit
    spoken: tuple[str, ...]
    trade_default: bool
    remarks: tuple[tuple[str, str], ...]
    patterns: tuple[Pattern, ...]


@dataclass(frozen=True, slots=True)
class _Header:
    """The commented lines of a file: their values and the explained source tags."""

    values: dict[str, str]
    tags: dict[str, str]
    line_count: int


@cache
def all_tables() -> tuple[Table, ...]:
    """Every table of the package, pipe flanges first, then by name; read once and kept.

    Raises:
        InputError: If a data file is damaged; the message names file and line.
    """
    tables = (read_table(path) for path in sorted(FOLDER.glob("*.csv")))
    return tuple(sorted(tables, key=lambda table: (table.family != "pipe flange", table.standard)))


@cache
def all_patterns() -> tuple[Pattern, ...]:
    """Every row of every table; read once and kept.

    Raises:
        InputError: If a data file is damaged; the message names file and line.
    """
    return tuple(pattern for table in all_tables() for pattern in table.patterns)


def read_table(path: Path) -> Table:
    """The table of one data file.

    Raises:
        InputError: If the file is damaged: an unknown or missing header line, a wrong number of
            cells, a length that is no positive number, an unexplained source tag.
    """
    try:
        return _read(path)
    except _DamageError as damage:
        raise InputError(damage.problem, source=path.name) from None


class _DamageError(Exception):
    """A fault in a data file, before its name is known."""

    def __init__(self, line: int | None, where: str, text: str) -> None:
        self.problem = Problem(where, text, line)
        super().__init__(text)


def _read(path: Path) -> Table:
    lines = path.read_text(encoding="utf-8").splitlines()
    header = _header(lines)
    values = header.values
    unit = _choice(Unit, values["unit"], "unit")
    rows = csv.reader(lines[header.line_count + 1 :])
    build = _row_builder(header, unit)
    patterns = tuple(build(cells, header.line_count + 1 + rows.line_num) for cells in rows)
    return Table(
        file=path.name,
        standard=values["standard"],
        edition=values["edition"],
        family=values["family"],
        unit=unit,
        spoken=tuple(dict.fromkeys(name.strip().lower() for name in values["spoken"].split(";"))),
        trade_default=values.get("trade default") == "yes",
        remarks=tuple((key, values[key]) for key in (*_REMARKS, "confidence covers") if key in values),
        patterns=patterns,
    )


def _header(lines: list[str]) -> _Header:
    """The header lines, checked; the line after them must name the columns."""
    heading = list(takewhile(lambda line: line.startswith("#"), lines))
    values: dict[str, str] = {}
    tags: dict[str, str] = {}
    for number, line in enumerate(heading, start=1):
        key, colon, value = line.removeprefix("# ").partition(": ")
        if not colon or not value.strip():
            raise _DamageError(number, "header", f'"{line}" is not "# key: value"')
        if key.startswith("source "):
            tags[key.removeprefix("source ")] = value
        elif key in _ALLOWED:
            values[key] = value
        else:
            raise _DamageError(number, "header", f'unknown key "{key}"; it is one of {", ".join(_ALLOWED)}')
    missing = [key for key in _NEEDED if key not in values]
    if missing:
        raise _DamageError(None, "header", f"has no line for {', '.join(missing)}")
    if tuple(lines[len(heading) : len(heading) + 1]) != (",".join(COLUMNS),):
        raise _DamageError(len(heading) + 1, "header", f"the columns must be {','.join(COLUMNS)}")
    return _Header(values, tags, len(heading))


def _row_builder(header: _Header, unit: Unit) -> Callable[[list[str], int], Pattern]:
    """A function from the cells of a row to its pattern; texts that come again are read once."""
    values = header.values
    standard, edition, family = values["standard"], values["edition"], values["family"]
    designation = values["designation"].format
    equally_spaced = values.get("spacing", "equal") == "equal"
    circle = _tolerances(values.get("circle tolerance", ""))
    chord = _tolerances(values.get("chord tolerance", ""))
    vouched = values.get("tolerance confidence")
    tolerance_confidence = _choice(Confidence, vouched, "tolerance confidence") if vouched else None
    length = cache(_length_reader(unit))
    sources = cache(lambda text: _sources(text, header.tags))
    tolerance = cache(lambda bolt: (_tolerance(circle, bolt), _tolerance(chord, bolt)))

    def build(cells: list[str], line: int) -> Pattern:
        if len(cells) != len(COLUMNS):
            raise _DamageError(line, "row", f"has {len(cells)} cells; {len(COLUMNS)} are needed")
        grade, size, bolt_circle, holes, hole, outside, bore, thickness, face, bolt, confidence, source, note = cells
        try:
            diameter, hole_count = length(bolt_circle), int(holes)
            if not size or diameter is None or hole_count < _FEWEST_HOLES:
                raise ValueError(f"a row needs a size, a bolt circle and at least {_FEWEST_HOLES} holes")
            circle_tolerance, chord_tolerance = tolerance(bolt)
            return Pattern(
                standard,
                edition,
                family,
                grade,
                size,
                designation(standard=standard, grade=grade.replace("PN ", "PN"), size=size),
                diameter,
                hole_count,
                length(hole),
                length(outside),
                length(bore),
                length(thickness),
                length(face),
                bolt or None,
                unit,
                equally_spaced,
                circle_tolerance,
                chord_tolerance,
                Confidence(confidence),
                sources(source),
                note,
                tolerance_confidence if circle_tolerance else None,
            )
        except ValueError as fault:
            raise _DamageError(line, "row", f"{fault}; the cells are {','.join(cells)}") from None

    return build


def _length_reader(unit: Unit) -> Callable[[str], float | None]:
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
