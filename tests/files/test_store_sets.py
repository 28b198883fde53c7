"""What the records say of sets of files, and what is swept of what a killed run left."""

import json
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from flangelayout.files import whole
from flangelayout.files.records import OLD_RECORD, RECORDS_FOLDER, FileSet, Issue, file_of
from flangelayout.files.store import FileStore, NotOverwrittenError, Obstacle
from flangelayout.files.whole import write_whole
from rows import every_row

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
    "record",
    [
        "3",
        "[]",
        "{",
        '{"files": 3, "from": "digest", "names": ["a", "b"]}',
        '{"files": {"a": [], "b": []}, "from": "digest", "names": ["a", "b"]}',
        '{"files": {"a": ["x"]}, "from": 1, "names": ["a"]}',
        '{"files": {"a": ["x"]}, "from": "digest", "names": ["b"]}',
        '{"files": {"a": [3]}, "from": "digest", "names": ["a"], "issue": [1, 2]}',
    ],
)
def test_a_damaged_record_is_as_none(record: str, tmp_path: Path) -> None:
    place = tmp_path / file_of("one")
    place.parent.mkdir()
    place.write_text(record, encoding="utf-8")
    store = FileStore(tmp_path)
    assert store.unchanged({"one": "digest"}) == {}
    store.write(FILES, sets=SETS)
    assert list(store.unchanged({"one": "digest"})) == ["one"]


@every_row("sets", ["3", "[]", '{"one": 3}', '{"one": {"from": 1, "files": {}}}'])
def test_damaged_sets_of_an_old_record_are_as_none(sets: str, tmp_path: Path) -> None:
    (tmp_path / OLD_RECORD).write_text(f'{{"/sets": {sets}}}', encoding="utf-8")
    assert FileStore(tmp_path).unchanged({"one": "digest"}) == {}


def test_the_record_of_version_0_1_0_is_believed(tmp_path: Path) -> None:
    """As that version wrote it: SHA-256 of b"1" and b"2", computed with sha256sum."""
    one = "6b86b273ff34fce19d6b804eff5a3f5747ada4eaa22f1d49c01e52ddb7875b4b"
    two = "d4735e3a265e16eee03f59718b9b5d03019c07d8b6c51f90da3a666eec13ab35"
    old = {"a": [one], "b": [two], "/sets": {"one": {"from": "digest", "files": {"a": one, "b": two}}}}
    (tmp_path / OLD_RECORD).write_text(json.dumps(old), encoding="utf-8")
    for name, content in FILES.items():
        (tmp_path / name).write_bytes(content)
    store = FileStore(tmp_path)
    assert store.unchanged({"one": "digest"}) == {"one": {"a": one, "b": two}}
    store.write({"a": b"3", "b": b"4"}, sets={"one": FileSet("other", ("a", "b"))})
    assert (tmp_path / "a").read_bytes() == b"3"
    (tmp_path / "b").write_bytes(b"edited")
    with pytest.raises(NotOverwrittenError, match="was changed since"):
        FileStore(tmp_path).write({"b": b"5"})


def test_each_set_has_a_record_of_its_own_and_others_do_not_change_with_it(tmp_path: Path) -> None:
    store = written(tmp_path)
    before = (tmp_path / file_of("one")).read_bytes()
    store.write({"c": b"3"}, sets={"two": FileSet("x", ("c",))})
    assert (tmp_path / file_of("one")).read_bytes() == before
    assert sorted(path.name for path in (tmp_path / RECORDS_FOLDER).iterdir()) == ["one.json", "two.json"]


def test_a_write_reads_and_writes_one_record_however_many_there_are(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    store = FileStore(tmp_path)
    for number in range(30):
        store.write({f"f{number}": b"1"}, sets={f"set {number}": FileSet("x", (f"f{number}",))})
    read: list[Path] = []
    plain = Path.read_bytes

    def noted(path: Path) -> bytes:
        read.append(path)
        return plain(path)

    monkeypatch.setattr(Path, "read_bytes", noted)
    FileStore(tmp_path).write({"f7": b"2"}, sets={"set 7": FileSet("x", ("f7",))})
    assert {path.name for path in read} <= {"set 7.json"}
    assert len(read) <= 2


@every_row("name", ["H-114-A", "Größe-A", "set 7", "a/b", "..", ".", "x" * 300, "CON ", "bind w:1"])
def test_a_record_has_a_name_that_every_file_system_takes(name: str, tmp_path: Path) -> None:
    place = file_of(name)
    assert place.startswith(f"{RECORDS_FOLDER}/")
    assert place.count("/") == 1
    assert len(place.encode()) < 200
    assert not set(place) & set('\\:*?"<>|')
    FileStore(tmp_path).write({"f": b"1"}, sets={name: FileSet("x", ("f",))})
    assert list(FileStore(tmp_path).unchanged({name: "x"})) == [name]


DRAWN = Issue("H-1", "A", "d" * 64, "one.toml")


@pytest.mark.parametrize("source", ["one.toml", "two.toml"])
def test_another_job_does_not_take_the_place_of_one_that_was_drawn(source: str, tmp_path: Path) -> None:
    store = FileStore(tmp_path)
    store.write({"a": b"1"}, sets={"H-1-A": FileSet("x", ("a",), DRAWN)})
    other = Issue("H-1", "A", "e" * 64, source)
    with pytest.raises(NotOverwrittenError) as refused:
        store.write({"a": b"2"}, sets={"H-1-A": FileSet("y", ("a",), other)})
    (refusal,) = refused.value.refusals
    assert (refusal.obstacle, refusal.before, refusal.asked) == (Obstacle.ISSUED, DRAWN, other)
    assert (tmp_path / "a").read_bytes() == b"1"
    store.write({"a": b"2"}, force=True, sets={"H-1-A": FileSet("y", ("a",), other)})
    with pytest.raises(NotOverwrittenError):
        store.write({"a": b"1"}, sets={"H-1-A": FileSet("x", ("a",), DRAWN)})


def test_a_job_that_failed_its_checks_was_not_issued_and_gives_way_to_its_own_source_alone(tmp_path: Path) -> None:
    store, failing = FileStore(tmp_path), Issue("H-1", "A", "d" * 64, "one.toml", fails=True)
    store.write({"a": b"1"}, sets={"H-1-A": FileSet("x", ("a",), failing)})
    with pytest.raises(NotOverwrittenError):
        store.write({"a": b"2"}, sets={"H-1-A": FileSet("y", ("a",), Issue("H-1", "A", "e" * 64, "two.toml"))})
    mended = Issue("H-1", "A", "e" * 64, "one.toml")
    FileStore(tmp_path).write({"a": b"2"}, sets={"H-1-A": FileSet("y", ("a",), mended)})
    assert (tmp_path / "a").read_bytes() == b"2"
    assert (tmp_path / "superseded" / "H-1-A-dddddddddd" / "a").read_bytes() == b"1"
    with pytest.raises(NotOverwrittenError):
        FileStore(tmp_path).write({"a": b"1"}, sets={"H-1-A": FileSet("x", ("a",), failing)})


def test_the_same_job_is_drawn_again_and_what_was_taken_away_is_no_obstacle(tmp_path: Path) -> None:
    store = FileStore(tmp_path)
    store.write({"a": b"1"}, sets={"H-1-A": FileSet("x", ("a",), DRAWN)})
    moved = Issue("H-1", "A", DRAWN.digest, "moved.toml")
    store.write({"a": b"2"}, sets={"H-1-A": FileSet("y", ("a",), moved)})
    (tmp_path / "a").unlink()
    store.write({"a": b"3"}, sets={"H-1-A": FileSet("z", ("a",), Issue("H-1", "A", "e" * 64, "one.toml"))})
    assert (tmp_path / "a").read_bytes() == b"3"


def test_papers_of_a_job_as_it_was_before_are_named_and_nobody_elses(tmp_path: Path) -> None:
    store, before, now = FileStore(tmp_path), "d" * 64, "e" * 64
    for name, digest in (("H-1-A_traveller.pdf", before), ("H-1-A_quote.csv", now), ("H-1-AB_quote.csv", before)):
        store.write({name: f"digest {digest[:10]}".encode()})
    store.write(
        {"H-1-A_cut.dxf": b"1", "H-1-A_old.svg": b"digest 0", "H-1-A_list.csv": b"0"},
        sets={"H-1-A": FileSet("x", ("H-1-A_old.svg", "H-1-A_list.csv"))},
    )
    (tmp_path / "H-1-A_photo.jpg").write_bytes(b"of the user")
    assert FileStore(tmp_path).outdated({"H-1-A": now}, {"H-1-A_cut.dxf"}) == ("H-1-A_old.svg", "H-1-A_traveller.pdf")
    assert FileStore(tmp_path / "nowhere").outdated({"H-1-A": now}, ()) == ()


def a_dead_process() -> int:
    with subprocess.Popen([sys.executable, "-c", ""]) as process:
        process.wait()
    return process.pid


def test_what_a_dead_run_left_is_swept_and_nothing_else(tmp_path: Path) -> None:
    here, dead, alive = whole._place(), a_dead_process(), os.getppid()
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
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted([*kept, "a", RECORDS_FOLDER])


def test_what_another_machine_left_is_swept_when_it_is_old(tmp_path: Path) -> None:
    path = tmp_path / ".a.00000000-1.abcd_123.part"
    for age, there in ((3_600, True), (90_000, False)):
        path.write_bytes(b"")
        os.utime(path, (time.time() - age,) * 2)
        FileStore(tmp_path).write({"a": b"1"})
        assert path.exists() is there


def test_where_asking_disturbs_a_process_only_age_counts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / f".a.{whole._place()}-{a_dead_process()}.abcd_123.part"
    path.write_bytes(b"")
    monkeypatch.setattr(whole, "_has_ended", lambda _process: False)
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
    match = whole._TEMPORARY.fullmatch(name)
    assert match
    assert (match["place"], int(match["process"])) == (whole._place(), os.getpid())
