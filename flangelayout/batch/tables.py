"""Lists of jobs as rows of texts: CSV, or the first sheet of an XLSX workbook. Only reads files."""

import datetime
import warnings
from io import BytesIO, StringIO
from pathlib import Path

from flangelayout.errors import InputError, Problem

LIST_SUFFIXES = (".csv", ".xlsx")
_MOST_BYTES = 30_000_000
_MOST_ROWS = 20_000
_SEPARATORS = ",;\t"

Rows = list[tuple[int, list[str]]]
"""Rows with a cell that holds something, by their number in the file, the head among them."""


def read_rows(path: Path) -> Rows:
    """The rows of a list; empty ones and those that begin with ``#`` are left out.

    Raises:
        InputError: If the file cannot be read or is no list.
    """
    try:
        raw = path.read_bytes()
    except OSError as problem:
        raise _wrong(path, f"cannot be read ({problem.strerror or problem}); check the name and the folder") from None
    if len(raw) > _MOST_BYTES:
        raise _wrong(path, f"has {len(raw)} bytes; a list has at most {_MOST_BYTES}")
    rows = _workbook_rows(path, raw) if path.suffix.lower() == ".xlsx" else _csv_rows(path, raw)
    kept = [(number, cells) for number, cells in rows if any(cells) and not cells[0].lstrip().startswith("#")]
    if not kept:
        raise _wrong(path, "is empty; its first row names the columns, such as job.number,plate.outside_diameter")
    if len(kept) == 1:
        raise _wrong(path, "has a head but no row below it")
    if len(kept) > _MOST_ROWS:
        raise _wrong(path, f"has {len(kept)} rows; a list has at most {_MOST_ROWS}: part it")
    return kept


def _csv_rows(path: Path, raw: bytes) -> Rows:
    import csv

    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = raw[: problem.start].count(b"\n") + 1
        raise InputError(Problem("", "is not UTF-8 text; save it as CSV UTF-8", line), source=str(path)) from None
    if "\0" in text:
        raise _wrong(path, "is no CSV text; save the list as CSV UTF-8 or as .xlsx")
    head = next((line for line in text.splitlines() if line.strip() and not line.lstrip().startswith("#")), "")
    separator = max(_SEPARATORS, key=head.count)
    try:
        reader = csv.reader(StringIO(text, newline=""), delimiter=separator, strict=True)
        return [(number, [cell.strip() for cell in cells]) for number, cells in enumerate(reader, 1)]
    except csv.Error as problem:
        raise _wrong(path, f"is no CSV text ({problem}); check its quotes") from None


def _workbook_rows(path: Path, raw: bytes) -> Rows:
    try:
        from openpyxl import load_workbook
    except ImportError:
        raise _wrong(path, "needs openpyxl to be read: pip install openpyxl, or save the list as CSV UTF-8") from None
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # openpyxl warns of decoration it does not keep
        try:
            workbook = load_workbook(BytesIO(raw), read_only=True, data_only=True)
            sheet = workbook.worksheets[0]
            rows = []
            for number, cells in enumerate(sheet.iter_rows(values_only=True), 1):
                texts = [_cell_text(cell) for cell in cells]
                if any(texts):
                    rows.append((number, texts))
                if len(rows) > _MOST_ROWS + 1:
                    break
        except Exception as problem:  # a damaged workbook raises whatever its damage leads to
            reason = type(problem).__name__
            raise _wrong(path, f"is no sound .xlsx workbook ({reason}); save it again, or as CSV UTF-8") from None
    return rows


def _cell_text(cell: object) -> str:
    """A cell as it would be typed: whole numbers without a point, dates as 2026-11-25."""
    match cell:
        case None:
            return ""
        case bool():
            return "true" if cell else "false"
        case float() if cell.is_integer() and abs(cell) < 1e15:
            return str(int(cell))
        case datetime.datetime():
            return cell.date().isoformat()
        case datetime.date():
            return cell.isoformat()
    return str(cell).strip()


def _wrong(path: Path, text: str) -> InputError:
    return InputError(Problem("", text), source=str(path))
