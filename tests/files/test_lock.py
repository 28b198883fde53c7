"""One run at a time in a folder."""

import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from flangelayout.files import lock
from flangelayout.files.lock import LOCK_NAME, locked

PROJECT = Path(lock.__file__).parents[2]


def test_nothing_of_a_lock_stays_behind(tmp_path: Path) -> None:
    with locked(tmp_path / "held"):
        assert (tmp_path / "held" / LOCK_NAME).exists()
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_goes_while_it_is_being_made_is_made_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = Path.mkdir
    faults = [FileExistsError(17, "File exists")]

    def mkdir(self: Path, *how: bool, **options: bool) -> None:
        if faults:
            raise faults.pop()
        made(self, *how, **options)

    monkeypatch.setattr(Path, "mkdir", mkdir)
    with locked(tmp_path / "held", patience=5):
        assert (tmp_path / "held" / LOCK_NAME).exists()
    assert not faults


def test_a_file_in_the_place_of_the_folder_is_told(tmp_path: Path) -> None:
    (tmp_path / "held").write_text("a file")
    with pytest.raises(FileExistsError):
        locked(tmp_path / "held", patience=0.1).__enter__()


def test_only_one_at_a_time_has_it(tmp_path: Path) -> None:
    inside: list[int] = []
    most: list[int] = []

    def work() -> None:
        for _ in range(10):
            with locked(tmp_path / "held"):
                inside.append(1)
                most.append(len(inside))
                time.sleep(0.001)
                inside.pop()

    threads = [threading.Thread(target=work) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(most) == 60
    assert set(most) == {1}


def test_a_run_that_does_not_let_go_is_told(tmp_path: Path) -> None:
    with locked(tmp_path), pytest.raises(OSError, match="another run"), locked(tmp_path, patience=0.05):
        pass


def test_a_run_that_was_killed_lets_go(tmp_path: Path) -> None:
    code = f"""
import os, sys
sys.path.insert(0, {str(PROJECT)!r})
from pathlib import Path
from flangelayout.files.lock import locked
with locked(Path({str(tmp_path)!r})):
    os._exit(9)
"""
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 9
    assert (tmp_path / LOCK_NAME).exists()
    with locked(tmp_path, patience=1.0):
        pass
