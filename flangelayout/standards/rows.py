"""The one reader of the data files: CSV rows by the names of their columns, led by ``#`` lines."""

import csv
from functools import cache
from itertools import takewhile
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from msgspec import Struct

from flangelayout.errors import InputError, Problem

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable


def _folder() -> "Traversable":
    """The tables beside this file; in an archive by a library that is slower to load."""
    beside = Path(__file__).parent / "tables"
    if beside.is_dir():
        return beside
    from importlib.resources import files

    return files("flangelayout.standards") / "tables"


FOLDER = _folder()


class DataRow(NamedTuple):
    """One row: its cells in the order of the columns, and the line of the file it stands on.

    A named tuple, since every survey makes all rows there are.
    """

    columns: tuple[str, ...]
    row: tuple[str, ...]
    line: int

    @property
    def cells(self) -> dict[str, str]:
        """The cells by their columns, put together when they are asked for: most rows are only counted."""
        return dict(zip(self.columns, self.row, strict=True))


class DataFile(Struct, frozen=True):
    """A data file taken apart.

    Attributes:
        name: Of the file.
        heading: The ``#`` lines without their sign, in order; the first stands on line 1.
        columns: Names of the columns.
        rows: The rows.
    """

    name: str
    heading: tuple[str, ...]
    columns: tuple[str, ...]
    rows: tuple[DataRow, ...]

    def said(self, key: str) -> str:
        """What the line ``# key: ...`` of the heading says; empty where there is none."""
        lead = f"{key}: "
        return next((line.removeprefix(lead) for line in self.heading if line.startswith(lead)), "")

    def column(self, name: str) -> tuple[str, ...]:
        """The cells of one column; empty ones where the file has no such column."""
        if name not in self.columns:
            return ("",) * len(self.rows)
        at = self.columns.index(name)
        return tuple(row.row[at] for row in self.rows)


@cache
def shipped(*path: str) -> DataFile:
    """A data file of the package by its path below ``tables``; read once and kept.

    Raises:
        InputError: If the file is damaged; the message names file and line.
    """
    file = FOLDER.joinpath(*path)
    return data_file(file.read_text(encoding="utf-8"), file.name)


def data_file(text: str, name: str) -> DataFile:
    """A data file from its text.

    Raises:
        InputError: If a row has more or fewer cells than there are columns; the message names file and line.
    """
    lines = text.splitlines()
    heading = tuple(line.removeprefix("#").strip() for line in takewhile(lambda line: line.startswith("#"), lines))
    reader = csv.reader(lines[len(heading) :])
    columns = tuple(next(reader, ()))
    rows = []
    for cells in reader:
        line = len(heading) + reader.line_num
        if len(cells) != len(columns):
            raise InputError(Problem("row", f"has {len(cells)} cells; {len(columns)} are needed", line), source=name)
        rows.append(DataRow(columns, tuple(cells), line))
    return DataFile(name, heading, columns, tuple(rows))
