"""The first sheet of an XLSX workbook as rows of texts; what it would unpack to is counted before it is read."""

import datetime
import re
import warnings
import zipfile
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

from flangelayout.errors import InputError
from flangelayout.problems.lists import ListProblem

_MOST_ROWS, _MOST_COLUMNS, _MOST_CELLS = 25_000, 201, 300_000
_MOST_UNPACKED, _MOST_TEXTS = 40_000_000, 8_000_000
"""Bytes of all parts together, and of the part that holds the texts of its cells."""
_MOST_PARTS = 2_000
_PIECE, _LONGEST_TAG = 1 << 16, 1 << 10
_CELL = re.compile(rb"<(?:\w+:)?(?:c|row)[\s/>]")
_DOCTYPE = b"<!DOCTYPE"
_FAR_COLUMN = re.compile(rb'<(?:\w+:)?c [^<>]*?r="(?:[A-Z]{3,}|[H-Z][A-Z]|G[T-Z])\d')
"""A cell beyond column GS, the 201st."""


def workbook_rows(path: Path, raw: bytes) -> Iterator[tuple[int, list[str]]]:
    """The rows of the first sheet that hold something, by their number in it.

    Raises:
        InputError: If it is no sound workbook, or unpacks to more than a list may be.
    """
    try:
        from openpyxl import load_workbook
    except ImportError:
        raise InputError.of(ListProblem.WORKBOOK_NEEDS_LIBRARY, source=str(path)) from None
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # openpyxl warns of decoration it does not keep
        try:
            _refuse_bombs(path, raw)
            workbook = load_workbook(BytesIO(raw), read_only=True, data_only=True)
            sheet = workbook.worksheets[0]
            sheet.reset_dimensions()
            rows = sheet.iter_rows(values_only=True, max_row=_MOST_ROWS, max_col=_MOST_COLUMNS)
            for number, cells in enumerate(rows, 1):
                held = max((index for index, cell in enumerate(cells, 1) if cell is not None), default=0)
                if held:
                    yield number, [_cell_text(cell) for cell in cells[:held]]
        except InputError:
            raise
        except Exception as problem:  # a damaged workbook raises whatever its damage leads to
            raise InputError.of(ListProblem.WORKBOOK_DAMAGED, source=str(path), reason=type(problem).__name__) from None


def _refuse_bombs(path: Path, raw: bytes) -> None:
    """Count what the workbook unpacks to, piece by piece, before anything reads it as a whole."""
    total, cells, source = 0, 0, str(path)
    with zipfile.ZipFile(BytesIO(raw)) as archive:
        parts = archive.infolist()
        if len(parts) > _MOST_PARTS:
            raise InputError.of(ListProblem.WORKBOOK_OF_MANY_PARTS, source=source, count=len(parts), most=_MOST_PARTS)
        for part in parts:
            size, is_texts = 0, part.filename.lower().endswith("sharedstrings.xml")
            for piece in _pieces(archive, part):
                size += len(piece)
                cells += len(_CELL.findall(piece))
                if size + total > _MOST_UNPACKED or (is_texts and size > _MOST_TEXTS):
                    most = _MOST_UNPACKED // 1_000_000
                    raise InputError.of(ListProblem.WORKBOOK_UNPACKS_TOO_LARGE, source=source, most=most)
                if cells > _MOST_CELLS:
                    raise InputError.of(ListProblem.WORKBOOK_OF_MANY_CELLS, source=source, most=_MOST_CELLS)
                if _DOCTYPE in piece:
                    raise InputError.of(ListProblem.WORKBOOK_WITH_DOCTYPE, source=source)
                if _FAR_COLUMN.search(piece):
                    raise InputError.of(ListProblem.TOO_MANY_COLUMNS, source=source, most=_MOST_COLUMNS - 1)
            total += size


def _pieces(archive: zipfile.ZipFile, part: zipfile.ZipInfo) -> Iterator[bytes]:
    """A part, unpacked piece by piece; a tag that begins in one piece stands in the next one whole."""
    rest = b""
    with archive.open(part) as opened:
        while piece := opened.read(_PIECE):
            whole, opening, begun = (rest + piece).rpartition(b"<")
            is_tag = bool(opening) and len(begun) < _LONGEST_TAG
            yield whole if is_tag else rest + piece
            rest = opening + begun if is_tag else b""
        yield rest


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
