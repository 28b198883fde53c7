"""Lists that are made to fill the memory: refused by what they would unpack to, before they are read."""

import os
import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from batch_lists import row, write_workbook
from flangelayout.batch import tables
from flangelayout.batch.sources import job_sources, load_source
from flangelayout.errors import InputError

PROJECT = Path(tables.__file__).parents[2]
SHEET = "xl/worksheets/sheet1.xml"
_SPACE = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'


def with_part(path: Path, part: str, content: Callable[[], "list[bytes]"]) -> Path:
    """A sound workbook of one row with one of its parts replaced."""
    sound = write_workbook(path.with_name("sound.xlsx"), [row(1)])
    with zipfile.ZipFile(sound) as source, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as target:
        for each in source.namelist():
            if each != part:
                target.writestr(each, source.read(each))
        with target.open(part, "w") as opened:
            for piece in content():
                opened.write(piece)
    sound.unlink()
    return path


def sheet(*rows: bytes) -> "list[bytes]":
    return [f"<worksheet {_SPACE}><sheetData>".encode(), *rows, b"</sheetData></worksheet>"]


def text_cell(place: str, size: int) -> bytes:
    return f'<row r="1"><c r="{place}" t="inlineStr"><is><t>'.encode() + b"x" * size + b"</t></is></c></row>"


_ONE_TEXT = f'<worksheet {_SPACE}><sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>'.encode()
BOMBS: dict[str, tuple[str, Callable[[], "list[bytes]"]]] = {
    "one cell of 60 MB": (SHEET, lambda: [*sheet()[:1], *[text_cell("A1", 1_000_000)] * 60, sheet()[-1]]),
    "one text of 60 MB": (SHEET, lambda: [_ONE_TEXT, *[b"x" * 1_000_000] * 60, b"</t></is></c></row>", sheet()[-1]]),
    "a million empty rows": (SHEET, lambda: sheet(b"<row/>" * 1_000_000)),
    "a million cells": (SHEET, lambda: sheet(b'<row r="1">', b'<c r="A1"><v>1</v></c>' * 1_000_000, b"</row>")),
    "a cell in the last column of many rows": (
        SHEET,
        lambda: sheet(*(f'<row r="{n}"><c r="XFD{n}"><v>1</v></c></row>'.encode() for n in range(1, 20_000))),
    ),
    "a row far below": (SHEET, lambda: sheet(b'<row r="1048576"><c r="A1048576"><v>1</v></c></row>')),
    "texts of 20 MB": ("xl/sharedStrings.xml", lambda: [b"<sst>", *[b"<si><t>" + b"x" * 10**6 + b"</t></si>"] * 20]),
    "a document type": (
        SHEET,
        lambda: [b'<!DOCTYPE w [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>', *sheet()],
    ),
    "many parts": ("xl/extra.bin", lambda: [b"\0" * 10**6] * 60),
}


@pytest.mark.slow
@pytest.mark.parametrize("name", BOMBS)
def test_a_workbook_that_unpacks_to_too_much_is_refused_in_words(name: str, tmp_path: Path) -> None:
    path = with_part(tmp_path / "bomb.xlsx", *BOMBS[name])
    assert path.stat().st_size < 1_000_000
    (source,) = job_sources([str(path)])
    with pytest.raises(InputError, match=r"bomb\.xlsx"):
        load_source(source)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"a," * 500_000 + b"\na\n", "columns"),
        (b"a\n" * 500_000, "rows"),
        (b'"' + b"x" * 1_000_000 + b'"\n1\n', "is no CSV text|unknown column"),
        (b'"a\n' * 300_000, "is no CSV text"),
        (b"\n" * 1_000_000, "is empty"),
        (b"x" * 11_000_000, "has 11000000 bytes; a list has at most 10000000"),
        (b"number\n" + b"\xff" * 1000, "row|unknown|units"),
        (b"a\0b\n", "is no text"),
    ],
)
def test_a_text_that_is_no_list_is_refused_in_words(content: bytes, words: str, tmp_path: Path) -> None:
    (tmp_path / "bomb.csv").write_bytes(content)
    with pytest.raises(InputError, match=words) as wrong:
        load_source(job_sources([str(tmp_path / "bomb.csv")])[0])
    assert all(len(line) < 2_000 for line in wrong.value.lines())


_ASK = """
import sys, time
from flangelayout.batch.sources import job_sources, load_source
import openpyxl
begun = time.process_time()
try:
    load_source(job_sources([sys.argv[1]])[0])
except Exception as wrong:
    print(wrong)
assert time.process_time() - begun < 5, time.process_time() - begun
status = open("/proc/self/status").read()  # getrusage would count what the test run itself takes
peak = int(status.partition("VmHWM:")[2].split()[0])
assert peak < 300_000, peak
"""


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="this system does not tell what a process took")
@pytest.mark.parametrize("name", BOMBS)
def test_a_bomb_takes_neither_memory_nor_time(name: str, tmp_path: Path) -> None:
    """Under 300 MB beyond what the program itself takes, and 5 s of computing."""
    path = with_part(tmp_path / "bomb.xlsx", *BOMBS[name])
    environment = {**os.environ, "PYTHONPATH": str(PROJECT), "OPENBLAS_NUM_THREADS": "1"}
    command = [sys.executable, "-c", _ASK, str(path)]
    done = subprocess.run(command, env=environment, capture_output=True, text=True, check=False, timeout=60)
    assert done.returncode == 0, done.stderr
    assert "bomb.xlsx" in done.stdout
