"""A shop's own patterns: rows of a CSV file that it writes itself, looked up like the published ones.

What reads such a file is loaded where there is one.
"""

from pathlib import Path
from typing import TYPE_CHECKING

from flangelayout.errors import InputError, Problem
from flangelayout.provenance import Confidence, Family
from flangelayout.standards.pattern import Pattern
from flangelayout.standards.rows import DataFile, DataRow, data_file
from flangelayout.standards.table_file import length_reader
from flangelayout.units import Unit

if TYPE_CHECKING:
    from flangelayout.standards.tables import PublishedTable

FILE_NAME = "patterns.csv"
NEEDED = ("name", "bolt_circle", "holes")
OPTIONAL = ("hole", "outside", "bore", "bolt", "source", "trust", "note")
_FEWEST_HOLES = 2
_STANDARD = "own pattern"
_MOST_BYTES = 1_000_000


def own_tables(*folders: Path) -> "tuple[PublishedTable, ...]":
    """The tables of own patterns that stand in folders, each read once; none where there is no file.

    Raises:
        InputError: If a file cannot be read or anything in it is wrong, with every problem found.
    """
    places = dict.fromkeys(folder.resolve() / FILE_NAME for folder in folders)
    return tuple(_read(path) for path in places if path.exists())


def _read(path: Path) -> "PublishedTable":
    from flangelayout.files.reading import read_text
    from flangelayout.problems.files import FileRole

    return own_table(read_text(path, _MOST_BYTES, FileRole.OWN_PATTERNS), str(path))


def own_table(text: str, name: str) -> "PublishedTable":
    """The patterns of a shop's own file.

    The first line says the unit, as ``# unit: mm``; the next names the columns: `NEEDED` and any of `OPTIONAL`.
    ``trust`` is ``two-sources``, ``one-source`` or ``memory``; where it is left out, the row is from one source.

    Args:
        text: Of the file.
        name: Of the file, for the error and as the source of rows that name none.

    Raises:
        InputError: If the unit or a column is missing, a column is unknown or a row has no circle; every such row.
    """
    from flangelayout.problems.standards import StandardsProblem
    from flangelayout.standards.tables import PublishedTable

    file = data_file(text, name)
    unit = next((unit for unit in Unit if file.said("unit") == unit.value), None)
    wrong = [column for column in NEEDED if column not in file.columns]
    unknown = [column for column in file.columns if column not in NEEDED + OPTIONAL]
    if unit is None:
        raise InputError(Problem("", StandardsProblem.OWN_UNIT_MISSING, 1), source=name)
    if wrong or unknown:
        line = len(file.heading) + 1
        known = NEEDED + OPTIONAL
        problem = Problem("", StandardsProblem.OWN_COLUMNS, line, wrong=(*wrong, *unknown), known=known)
        raise InputError(problem, source=name)
    return PublishedTable(
        file=name,
        standard=_STANDARD,
        edition="not stated",
        family=Family.SHOP_PATTERN,
        unit=unit,
        spoken=(_STANDARD,),
        trade_default=False,
        older_issue_of="",
        remarks=(),
        patterns=_patterns(file, unit, name),
    )


def _patterns(file: DataFile, unit: Unit, name: str) -> tuple[Pattern, ...]:
    """The rows of a file; every wrong one is told."""
    from flangelayout.problems.standards import StandardsProblem

    patterns: list[Pattern] = []
    problems: list[Problem] = []
    for row in file.rows:
        try:
            patterns.append(_pattern(row, unit, name))
        except ValueError:
            problems.append(Problem("", StandardsProblem.OWN_ROW, row.line, written=", ".join(row.cells.values())))
    if problems:
        raise InputError(*problems, source=name)
    return tuple(patterns)


def _pattern(row: DataRow, unit: Unit, file: str) -> Pattern:
    """A row as a pattern; a `ValueError` where a figure is missing or cannot be."""
    cell, length = row.cells.get, length_reader(unit)
    circle, holes, name = length(row.cells["bolt_circle"]), int(row.cells["holes"]), row.cells["name"].strip()
    if not name or circle is None or holes < _FEWEST_HOLES:
        raise ValueError
    return Pattern(
        standard=_STANDARD,
        edition="not stated",
        family=Family.SHOP_PATTERN,
        grade="",
        size=name,
        designation=name,
        bolt_circle=circle,
        hole_count=holes,
        unit=unit,
        confidence=Confidence(cell("trust") or Confidence.ONE_SOURCE.value),
        sources=cell("source") or file,
        hole_diameter=length(cell("hole", "")),
        outside_diameter=length(cell("outside", "")),
        bore=length(cell("bore", "")),
        bolt=cell("bolt", "") or None,
        note=cell("note", ""),
    )
