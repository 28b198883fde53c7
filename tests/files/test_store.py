"""Files are whole or not there, and nobody's work is overwritten."""

import errno
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from flangelayout.errors import OutputError
from flangelayout.files import store
from flangelayout.files.records import OLD_RECORD, RECORDS_FOLDER, file_of
from flangelayout.files.store import FileStore, Outcome
from flangelayout.files.whole import write_whole
from flangelayout.problems.cures import Cure
from flangelayout.problems.files import FileProblem
from rows import every_row

PROJECT = Path(store.__file__).parents[2]


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def written_when(path: Path) -> tuple[int, int]:
    facts = path.stat()
    return facts.st_ino, facts.st_mtime_ns


def full_disk(_: int) -> None:
    raise OSError(errno.ENOSPC, "No space left on device")


def test_files_are_written_beside_a_record_and_left_alone_if_they_are_the_same(tmp_path: Path) -> None:
    store = FileStore(tmp_path / "deep" / "packet")
    assert store.write({"a": b"1", "b": b"2"}) == {"a": Outcome.WRITTEN, "b": Outcome.WRITTEN}
    assert names(store.folder) == [RECORDS_FOLDER, "a", "b"]
    before = written_when(store.folder / "a")
    assert store.write({"a": b"1", "b": b"3"}) == {"a": Outcome.UNCHANGED, "b": Outcome.WRITTEN}
    assert written_when(store.folder / "a") == before
    assert (store.folder / "b").read_bytes() == b"3"


def test_a_foreign_file_stops_everything_and_is_named(tmp_path: Path) -> None:
    (tmp_path / "b").write_bytes(b"mine")
    with pytest.raises(OutputError) as refused:
        FileStore(tmp_path).write({"a": b"1", "b": b"2"})
    (problem,) = refused.value.problems
    assert (problem.where, problem.kind) == (str(tmp_path / "b"), FileProblem.FOREIGN)
    assert problem.cure is Cure.RENAME_OR_ELSEWHERE_OR_OVERWRITE
    assert "--" not in str(refused.value)
    assert names(tmp_path) == ["b"]
    assert (tmp_path / "b").read_bytes() == b"mine"


def test_an_edited_file_is_left_alone_until_forced(tmp_path: Path) -> None:
    store = FileStore(tmp_path)
    store.write({"a": b"1"})
    (tmp_path / "a").write_bytes(b"edited")
    with pytest.raises(OutputError, match="was changed since this program wrote it"):
        store.write({"a": b"2"})
    assert (tmp_path / "a").read_bytes() == b"edited"
    assert store.write({"a": b"2"}, force=True) == {"a": Outcome.WRITTEN}
    assert store.write({"a": b"3"}) == {"a": Outcome.WRITTEN}


def test_every_file_not_to_be_touched_is_named(tmp_path: Path) -> None:
    for name in "ab":
        (tmp_path / name).write_bytes(b"mine")
    with pytest.raises(OutputError) as refused:
        FileStore(tmp_path).write({"a": b"1", "b": b"2", "c": b"3"})
    assert len(str(refused.value).splitlines()) == 2


def test_a_foreign_file_with_the_very_same_content_is_no_obstacle(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"1")
    assert FileStore(tmp_path).write({"a": b"1"}) == {"a": Outcome.UNCHANGED}


@every_row("record", [b"", b"[]", b"\xff", b'{"a": 3}', b"{"])
def test_a_damaged_record_makes_every_file_foreign(record: bytes, tmp_path: Path) -> None:
    store = FileStore(tmp_path)
    store.write({"a": b"1"})
    (tmp_path / file_of("a")).write_bytes(record)
    with pytest.raises(OutputError, match=r"was not written by this program|was changed"):
        store.write({"a": b"2"})


def test_a_full_disk_leaves_everything_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    store = FileStore(tmp_path)
    store.write({"a": b"1"})
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    monkeypatch.setattr(os, "fsync", full_disk)
    with pytest.raises(OutputError, match=r"cannot be written \(No space left on device\); choose another folder"):
        store.write({"a": b"2", "b": b"3"})
    assert {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()} == before


def test_a_disk_that_fills_at_the_last_file_leaves_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    calls = iter([None, None, None])

    def nearly_full(handle: int) -> None:
        if next(calls, "full") == "full":
            full_disk(handle)

    monkeypatch.setattr(os, "fsync", nearly_full)
    with pytest.raises(OutputError):
        FileStore(tmp_path).write({"a": b"1", "b": b"2", "c": b"3"})
    assert names(tmp_path) == []


def test_a_folder_that_cannot_be_written_is_named_with_the_reason(tmp_path: Path) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.write_bytes(b"")
    for folder in (in_the_way, in_the_way / "packet"):
        with pytest.raises(OutputError, match=r"file.*cannot be written \("):
            FileStore(folder).write({"a": b"1"})
    (tmp_path / "a").mkdir()
    with pytest.raises(OutputError, match="cannot be written"):
        FileStore(tmp_path).write({"a": b"1"})


def test_a_read_only_folder_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied", str(tmp_path / "x.part"))

    for place, name in ((os, "open"), (Path, "open")):  # also where the tests run as root
        monkeypatch.setattr(place, name, refuse)
    with pytest.raises(OutputError, match=r"cannot be written \(Permission denied\)"):
        FileStore(tmp_path).write({"a": b"1"})
    assert names(tmp_path) == []


@pytest.mark.parametrize("can_wait_for_a_name", [True, False])
def test_a_written_file_has_the_permissions_of_any_other(
    can_wait_for_a_name: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if not can_wait_for_a_name:
        monkeypatch.delattr(os, "O_TMPFILE", raising=False)
    (tmp_path / "plain").write_bytes(b"")
    write_whole(tmp_path / "ours", b"ours")
    assert (tmp_path / "ours").stat().st_mode == (tmp_path / "plain").stat().st_mode
    assert (tmp_path / "ours").read_bytes() == b"ours"


def test_a_file_is_replaced_whole_and_nothing_is_left_beside_it(tmp_path: Path) -> None:
    path = tmp_path / ("n" * 200)
    write_whole(path, b"1" * 1000)
    write_whole(path, b"2")
    assert path.read_bytes() == b"2"
    assert names(tmp_path) == [path.name]


_ENDLESS = """
import sys
from pathlib import Path
from flangelayout.files.store import FileStore
store, size = FileStore(Path(sys.argv[1])), 200_000
print("ready", flush=True)
for turn in range(1, 100_000):
    letter = bytes([65 + turn % 26])
    store.write({name: letter * size for name in ("a", "b", "c")})
"""


def test_a_kill_in_the_middle_leaves_whole_files_that_can_be_written_again(tmp_path: Path) -> None:
    environment = {**os.environ, "PYTHONPATH": str(PROJECT)}
    for wait in (0.05, 0.13):
        process = subprocess.Popen(
            [sys.executable, "-c", _ENDLESS, str(tmp_path)], env=environment, stdout=subprocess.PIPE
        )
        with process:
            assert process.stdout is not None
            process.stdout.readline()
            deadline = time.monotonic() + 20
            while not (tmp_path / "c").exists() and time.monotonic() < deadline:
                time.sleep(0.001)
            time.sleep(wait)
            process.kill()
        held = [path.read_bytes() for path in tmp_path.iterdir() if path.is_file() and path.name != OLD_RECORD]
        assert held
        assert all(len(content) == 200_000 and len(set(content)) == 1 for content in held)
        FileStore(tmp_path).write(dict.fromkeys("abc", b"again"))
