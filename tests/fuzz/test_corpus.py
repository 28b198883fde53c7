"""Every input that once broke something: words within 20 s of processor time and 500 MB, nothing half-written."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = pytest.mark.fuzz

CORPUS = sorted(Path(__file__).with_name("corpus").iterdir())
MOST_SECONDS = 20.0
MOST_BYTES = 500e6
LONGEST_MESSAGE = 2000


@pytest.mark.parametrize("path", CORPUS, ids=lambda path: path.name)
def test_an_input_that_once_broke_something_ends_in_words(path: Path, tmp_path: Path) -> None:
    command = [sys.executable, "-m", "flangelayout", "draw", str(path), "--into", str(tmp_path / "out"), "--cores", "1"]
    out, err = tmp_path / "out.txt", tmp_path / "err.txt"
    with out.open("wb") as told, err.open("wb") as complained:
        started = subprocess.Popen(command, stdout=told, stderr=complained)
        _, status, used = os.wait4(started.pid, 0)
    started.returncode = os.waitstatus_to_exitcode(status)
    said = err.read_text(encoding="utf-8")
    assert started.returncode in (0, 2), said
    assert "Traceback" not in said
    assert all(len(line) <= LONGEST_MESSAGE for line in said.splitlines())
    assert used.ru_utime + used.ru_stime < MOST_SECONDS
    assert used.ru_maxrss * 1024 < MOST_BYTES
    assert [file.name for file in (tmp_path / "out").glob("*.part")] == []
