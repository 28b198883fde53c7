"""Lists of jobs as rows of texts: CSV, or the first sheet of an XLSX workbook. Only reads files."""

import re
from collections.abc import Callable, Iterable, Sequence
from itertools import islice
from pathlib import Path

from msgspec import Struct

from flangelayout.errors import InputError
from flangelayout.files.reading import read_file
from flangelayout.problems.files import FileRole
from flangelayout.problems.lists import ListProblem

LIST_SUFFIXES = (".csv", ".xlsx")
MOST_ROWS, MOST_COLUMNS = 20_000, 200
_MOST_BYTES = 10_000_000
_SEPARATORS = ",;\t"
_DECIMAL_COMMA = re.compile(r"[+-]?[\d.]*,\d+(\s*(mm|cm|m|in|\"))?")
_HEAD_WITHIN = 20
"""In so many rows from the top the headings stand; what is above them is the title of the list."""

Row = tuple[int, list[str]]
"""The cells of a row and its number in the file."""


class Listing(Struct, frozen=True):
    """The rows of a list that hold something, the headings first.

    Attributes:
        head: The headings.
        rows: What stands below, without rows that begin with ``#``.
        separator: What parts the cells; empty in a workbook.
    """

    head: list[str]
    rows: list[Row]
    separator: str = ""

    @property
    def has_decimal_commas(self) -> bool:
        """Whether its numbers are written with them, which a comma that parts the cells rules out."""
        parted = self.separator not in ("", ",")
        return parted and any(_DECIMAL_COMMA.fullmatch(cell) for _, cells in self.rows for cell in cells)


Score = Callable[[Sequence[str]], int]
"""How many cells of a row are headings; 0 if it is no row of headings."""


def read_rows(path: Path, score: Score) -> Listing:
    """The rows of a list.

    Args:
        path: Its file.
        score: Tells the row of headings, above which a title may stand, and what parts its cells.

    Raises:
        InputError: If the file cannot be read or is no list.
    """
    return listing_of(path, read_file(path, _MOST_BYTES, FileRole.LIST), score)


def listing_of(path: Path, raw: bytes, score: Score) -> Listing:
    """The rows of a list that was read already; as :func:`read_rows`, ``path`` only names it.

    Raises:
        InputError: If it is no list.
    """
    if path.suffix.lower() == ".xlsx":
        from flangelayout.batch.workbook import workbook_rows

        separator, rows = "", _kept(workbook_rows(path, raw))
    else:
        separator, rows = _csv_rows(path, _text(path, raw), score)
    if not rows:
        raise InputError.of(ListProblem.EMPTY, source=str(path))
    at = _head_at(rows, score)
    if len(rows) == at + 1:
        raise InputError.of(ListProblem.HEAD_ONLY, source=str(path))
    if len(rows) - at - 1 > MOST_ROWS:
        raise InputError.of(ListProblem.TOO_MANY_ROWS, source=str(path), most=MOST_ROWS)
    if max(len(cells) for _, cells in rows) > MOST_COLUMNS:
        raise InputError.of(ListProblem.TOO_MANY_COLUMNS, source=str(path), most=MOST_COLUMNS)
    return Listing(rows[at][1], rows[at + 1 :], separator)


def _head_at(rows: Sequence[Row], score: Score) -> int:
    """The index of the row of headings: that with most of them near the top.

    If none has any, it is the first of more cells than one, as a title has.
    """
    scores = [score(cells) for _, cells in rows[:_HEAD_WITHIN]]
    if not any(scores):
        return next((at for at, (_, cells) in enumerate(rows[:_HEAD_WITHIN]) if sum(map(bool, cells)) > 1), 0)
    return scores.index(max(scores))


def _kept(rows: Iterable[Row]) -> list[Row]:
    """Rows that hold something and are no remark; a few more than a list may have are enough."""
    held = ((number, cells) for number, cells in rows if any(cells) and not cells[0].lstrip().startswith("#"))
    return list(islice(held, MOST_ROWS + _HEAD_WITHIN + 1))


def _text(path: Path, raw: bytes) -> str:
    """A text file as it was saved: UTF-8, UTF-16 with its mark, or the Western code page of Windows."""
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        encodings: tuple[str, ...] = ("utf-16",)
    else:
        encodings = ("utf-8-sig", "cp1252")
    for encoding in encodings:
        try:
            text = raw.decode(encoding)
        except UnicodeDecodeError:
            continue
        if not any(ord(sign) < 32 and sign not in "\t\r\n" for sign in text):
            return text
        break
    raise InputError.of(ListProblem.NO_TEXT, source=str(path))


def _csv_rows(path: Path, text: str, score: Score) -> tuple[str, list[Row]]:
    """The rows, their cells parted by the sign that makes most headings."""
    import csv

    def parsed(separator: str, most: int | None = None) -> list[Row]:
        lines = text.splitlines(keepends=True) if most is None else text[:200_000].splitlines(keepends=True)[:most]
        reader = csv.reader(lines, delimiter=separator, strict=True)
        cells = ([cell.strip() for cell in islice(row, MOST_COLUMNS + 1)] for row in reader)
        return _kept(enumerate(cells, 1))

    def headings(separator: str) -> tuple[int, int]:
        try:
            rows = parsed(separator, 2 * _HEAD_WITHIN)
        except csv.Error:
            return 0, 0
        return max((score(row) for _, row in rows), default=0), sum(len(row) - 1 for _, row in rows)

    separator = max(_SEPARATORS, key=headings)
    try:
        return separator, parsed(separator)
    except csv.Error as problem:
        raise InputError.of(ListProblem.NO_CSV, source=str(path), reason=str(problem)) from None
