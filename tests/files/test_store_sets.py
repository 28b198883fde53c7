"""What the record says of sets of files, and what is swept of what a killed run left."""

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from flangelayout.files import store
from flangelayout.files.store import RECORD_NAME, FileSet, FileStore, write_whole

FILES = {"a": b"1", "b": b"2"}
SETS = {"one": FileSet("digest", ("a", "b"))}


def written(folder: Path) -> FileStore:
    store = FileStore(folder)
    store.write(FILES, sets=SETS)
    return store


def test_a_set_that_is_as_it_was_written_is_known_by_what_it_was_made_from(tmp_path: Path) -> None:
    store = written(tmp_path)
    assert list(store.unchanged({"one": "digest"})) == ["one"]
    assert list(store.unchanged({"one": "digest"})["one"]) == ["a", "b"]
    assert store.unchanged({"one": "other"}) == {}
    assert store.unchanged({"two": "digest"}) == {}


@pytest.mark.parametrize("content", [None, b"edited"])
def test_a_set_with_a_missing_or_an_edited_file_is_not_as_it_was(content: bytes | None, tmp_path: Path) -> None:
    store = written(tmp_path)
    if content is None:
        (tmp_path / "b").unlink()
    else:
        (tmp_path / "b").write_bytes(content)
    assert store.unchanged({"one": "digest"}) == {}


def test_a_file_written_again_for_another_set_makes_the_first_one_old(tmp_path: Path) -> None:
    store = written(tmp_path)
    store.write({"b": b"3"}, sets={"two": FileSet("digest", ("b",))})
    assert list(store.unchanged({"one": "digest", "two": "digest"})) == ["two"]


def test_sets_stay_known_when_other_files_are_written(tmp_path: Path) -> None:
    store = written(tmp_path)
    store.write({"c": b"3"})
    assert list(store.unchanged({"one": "digest"})) == ["one"]


@pytest.mark.parametrize(
    "sets", ["3", "[]", '{"one": 3}', '{"one": {"from": 1, "files": {}}}', '{"one": {"from": "x"}}']
)
def test_damaged_sets_are_as_none(sets: str, tmp_path: Path) -> None:
    (tmp_path / RECORD_NAME).write_text(f'{{"/sets": {sets}}}', encoding="utf-8")
    store = FileStore(tmp_path)
    assert store.unchanged({"one": "digest"}) == {}
    store.write(FILES, sets=SETS)
    assert list(store.unchanged({"one": "digest"})) == ["one"]


def a_dead_process() -> int:
    with subprocess.Popen([sys.executable, "-c", ""]) as process:
        process.wait()
    return process.pid


def test_what_a_dead_run_left_is_swept_and_nothing_else(tmp_path: Path) -> None:
    here, dead, alive = store._place(), a_dead_process(), os.getppid()
    gone = [f".a.{here}-{dead}.abcd_123.part", f".{'n' * 40}.{here}-{dead}.x.part"]
    kept = [
        f".a.{here}-{alive}.abcd_123.part",
        f".a.00000000-{dead}.abcd_123.part",
        ".a.abcd_123.part",
        f"a.{here}-{dead}.abcd_123.part",
        f".a.{here}-{dead}.abcd_123.part.bak",
        ".part",
    ]
    for name in (*gone, *kept):
        (tmp_path / name).write_bytes(b"")
    FileStore(tmp_path).write({"a": b"1"})
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted([*kept, "a", RECORD_NAME])


def test_what_another_machine_left_is_swept_when_it_is_old(tmp_path: Path) -> None:
    path = tmp_path / ".a.00000000-1.abcd_123.part"
    for age, there in ((3_600, True), (90_000, False)):
        path.write_bytes(b"")
        os.utime(path, (time.time() - age,) * 2)
        FileStore(tmp_path).write({"a": b"1"})
        assert path.exists() is there


def test_where_asking_disturbs_a_process_only_age_counts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / f".a.{store._place()}-{a_dead_process()}.abcd_123.part"
    path.write_bytes(b"")
    monkeypatch.setattr(store, "_has_ended", lambda _process: False)
    FileStore(tmp_path).write({"a": b"1"})
    assert path.exists()


@pytest.mark.parametrize("can_wait_for_a_name", [True, False])
def test_a_file_on_its_way_says_which_process_writes_it_and_is_whole(
    can_wait_for_a_name: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if not can_wait_for_a_name:
        monkeypatch.delattr(os, "O_TMPFILE", raising=False)
    named: list[str] = []
    held: list[tuple[str, bytes]] = []
    monkeypatch.setattr(os, "fsync", lambda _handle: named.extend(path.name for path in tmp_path.iterdir()))
    monkeypatch.setattr(Path, "replace", lambda part, _path: held.append((part.name, part.read_bytes())))
    write_whole(tmp_path / "a", b"1" * 100_000)
    ((name, content),) = held
    assert content == b"1" * 100_000
    assert named == ([] if can_wait_for_a_name and hasattr(os, "O_TMPFILE") else [name])
    match = store._TEMPORARY.fullmatch(name)
    assert match
    assert (match["place"], int(match["process"])) == (store._place(), os.getpid())
