"""A table as CSV that a spreadsheet opens right and a program reads without guessing."""

import csv
import re
from io import StringIO

from msgspec import Struct

from flangelayout.drawing.model import TextTable
from flangelayout.drawing.textwidth import plain_line

_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)")
_FORMULA_STARTS = ("=", "+", "-", "@", "＝", "＋", "－", "＠")


class CsvOptions(Struct, frozen=True):
    """How to write a CSV file; ``separator`` stands between two cells."""

    separator: str = ","


def write_csv(table: TextTable, options: CsvOptions = CsvOptions()) -> bytes:
    """The heads and rows of a table: RFC 4180, UTF-8 with a byte order mark, one line per row.

    The mark is there because Excel reads a file without it in the code page of the PC and spoils the
    degree and diameter signs; readers of UTF-8 skip it. A cell a spreadsheet would run as a formula is
    led by an apostrophe, which the spreadsheet shows as plain text.
    """
    out = StringIO()
    writer = csv.writer(out, delimiter=options.separator, lineterminator="\r\n")
    writer.writerow([_cell(text) for text in table.columns])
    writer.writerows([_cell(text) for text in row] for row in table.rows)
    return out.getvalue().encode("utf-8-sig")


def _cell(text: str) -> str:
    plain = plain_line(text)
    if plain.startswith(_FORMULA_STARTS) and not _NUMBER.fullmatch(plain):
        return "'" + plain
    return plain
