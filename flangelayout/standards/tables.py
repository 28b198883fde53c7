"""The published tables: one for each data file, with what its header says and its rows."""

from functools import cache

from msgspec import Struct

from flangelayout.provenance import Family
from flangelayout.standards.pattern import Pattern
from flangelayout.standards.table_file import REMARKS, TableFile, shipped_files
from flangelayout.units import Unit


class PublishedTable(Struct, frozen=True):
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


@cache
def all_tables() -> tuple[PublishedTable, ...]:
    """Every table of the package, pipe flanges first, then by name; read once and kept.

    Raises:
        InputError: If a data file is damaged; the message names file and line.
    """
    return tuple(map(_table, shipped_files()))


@cache
def all_patterns() -> tuple[Pattern, ...]:
    """Every row of every table; read once and kept.

    Raises:
        InputError: If a data file is damaged; the message names file and line.
    """
    return tuple(pattern for table in all_tables() for pattern in table.patterns)


def _table(opened: TableFile) -> PublishedTable:
    header = opened.header
    return PublishedTable(
        file=opened.file.name,
        standard=opened.standard,
        edition=header["edition"],
        family=opened.family,
        unit=opened.unit,
        spoken=tuple(dict.fromkeys(name.strip().lower() for name in header["spoken"].split(";"))),
        trade_default=header.get("trade default") == "yes",
        older_issue_of=header.get("older issue of", ""),
        remarks=tuple((key, header[key]) for key in (*REMARKS, "confidence covers") if key in header),
        patterns=opened.patterns(),
    )
