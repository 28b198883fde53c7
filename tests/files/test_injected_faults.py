"""A disk that is full at any write, and a kill at any renaming: whole files, words, and a rerun completes.

The faults are put where the program writes to disk and gives a file its name, so each is met exactly; a kill is a real
one (SIGKILL) of a process of its own.
"""

import contextlib
import errno
import os
import shutil
import signal
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from flangelayout.cli import run
from flangelayout.files.store import SUPERSEDED_FOLDER
from jobs import job_data, toml_text

Commands = dict[str, tuple[str, ...]]


def commands(folder: Path, job: Path, rows: Path) -> Commands:
    """Every command that writes files, as it is called."""
    out = ("--into", str(folder / "out"))
    return {
        "draw": ("draw", str(job), *out, "--only", "cut,sheet"),
        "list": ("draw", str(rows), *out, "--only", "sheet,holes", "--cores", "1", "--bind", "week"),
        "nest": ("nest", str(rows), "--plate", "1500x1000", "--name", "plate", *out),
        "chart": ("chart", *out),
        "exercise": ("exercise", "--seed", "7", "--count", "2", *out),
        "printer": ("printer", "office", "--paper", "A4", *out),
        "new": ("new", "blind", str(folder / "out" / "blind.toml")),
    }


@pytest.fixture
def written(tmp_path: Path) -> Commands:
    (tmp_path / "out").mkdir()
    job, rows = tmp_path / "job.toml", tmp_path / "rows.csv"
    job.write_text(toml_text(job_data()), encoding="utf-8")
    table = [f"N{number},{180 + number},80,12,150,4,14,carbon steel" for number in range(2)]
    head = "number,OD (mm),bore (mm),thk (mm),PCD (mm),holes,hole_diameter (mm),material"
    rows.write_text("\n".join((head, *table)) + "\n", encoding="utf-8")
    return commands(tmp_path, job, rows)


def held(folder: Path) -> dict[str, bytes]:
    """Every file below a folder."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def files_only(found: dict[str, bytes]) -> dict[str, bytes]:
    """Without the program's own records of what it wrote."""
    return {name: content for name, content in found.items() if not name.startswith(".")}


@pytest.fixture
def full_at(monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[int], list[int]]]:
    """Makes the disk full at the write of that number and all after it; the list counts the writes."""
    sound = os.fsync

    def fill(at: int) -> list[int]:
        counted: list[int] = []

        def limited(handle: int) -> None:
            counted.append(handle)
            if len(counted) >= at:
                raise OSError(errno.ENOSPC, "No space left on device")
            sound(handle)

        monkeypatch.setattr(os, "fsync", limited)
        return counted

    yield fill
    monkeypatch.setattr(os, "fsync", sound)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["draw", "list", "nest", "chart", "exercise", "printer", "new"])
def test_a_disk_that_is_full_at_any_write_leaves_nothing_partial_and_is_told(
    name: str,
    written: Commands,
    tmp_path: Path,
    full_at: Callable[[int], list[int]],
    capsys: pytest.CaptureFixture[str],
) -> None:
    at, met = 1, 0
    while True:
        before = held(tmp_path / "out")
        counted = full_at(at)
        code = run(written[name])
        said = capsys.readouterr().err
        if len(counted) < at:
            break
        met += 1
        assert code == 2, said
        assert "No space left on device" in said
        assert "Traceback" not in said
        after = held(tmp_path / "out")
        assert [file for file in after if file.endswith(".part")] == []
        assert files_only(before).items() <= files_only(after).items()
        at += 1
    assert met
    assert code == 0


def killed(arguments: tuple[str, ...], at: int, before: bool) -> bool:
    """Runs a command in a process that is killed just before or after its renaming of that number.

    Returns:
        Whether it came to be killed.
    """
    child = os.fork()
    if child:
        _, status = os.waitpid(child, 0)
        return os.WIFSIGNALED(status)
    silent = os.open(os.devnull, os.O_WRONLY)
    os.dup2(silent, 1)
    os.dup2(silent, 2)
    sound, count = Path.replace, 0

    def renaming(path: Path, target: str | Path) -> Path:
        nonlocal count
        count += 1
        if count == at and before:
            os.kill(os.getpid(), signal.SIGKILL)
        moved = sound(path, target)
        if count == at:
            os.kill(os.getpid(), signal.SIGKILL)
        return moved

    Path.replace = renaming  # type: ignore[method-assign, assignment]
    os._exit(run(arguments))


def check_kills(name: str, written: Commands, tmp_path: Path, most: int) -> int:
    """Kills a command at each of its renamings in turn and runs it again: returns how often it was killed."""
    whole = tmp_path / "out"
    assert run(written[name]) == 0
    expected = files_only(held(whole))
    kills = 0
    for at in range(1, most + 1):
        for before in (True, False):
            for path in sorted(whole.rglob("*"), reverse=True):
                path.unlink() if path.is_file() else path.rmdir()
            if not killed(written[name], at, before):
                return kills
            kills += 1
            found = files_only(held(whole))
            assert all(content == expected[file] for file, content in found.items())
            assert run(written[name]) == 0
            assert files_only(held(whole)) == expected
            assert [file for file in held(whole) if file.endswith(".part")] == []
    return kills


@pytest.mark.slow
@pytest.mark.parametrize("name", ["draw", "exercise"])
def test_a_kill_at_a_renaming_leaves_whole_files_and_the_next_run_completes_them(
    name: str, written: Commands, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert check_kills(name, written, tmp_path, 2) >= 2
    capsys.readouterr()


@pytest.mark.property_deep
@pytest.mark.parametrize("name", ["draw", "list", "nest"])
def test_kills_at_every_renaming(
    name: str, written: Commands, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert check_kills(name, written, tmp_path, 40) >= 10
    capsys.readouterr()


def killed_after(arguments: tuple[str, ...], seconds: float) -> bool:
    """Runs a command in a process that is killed so long after its start; whether it came to be killed."""
    child = os.fork()
    if child:
        time.sleep(seconds)
        with contextlib.suppress(ProcessLookupError):
            os.kill(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
        return os.WIFSIGNALED(status)
    silent = os.open(os.devnull, os.O_WRONLY)
    os.dup2(silent, 1)
    os.dup2(silent, 2)
    os._exit(run(arguments))


@pytest.mark.property_deep
@pytest.mark.parametrize("name", ["draw", "list", "nest", "exercise"])
def test_a_hundred_kills_at_any_moment(
    name: str, written: Commands, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each spread evenly over the time that the command takes."""
    whole = tmp_path / "out"
    assert run(written[name]) == 0
    shutil.rmtree(whole)
    began = time.perf_counter()
    assert run(written[name]) == 0
    takes = time.perf_counter() - began
    expected = files_only(held(whole))
    kills = 0
    for number in range(400):
        if kills == 100:
            break
        shutil.rmtree(whole, ignore_errors=True)
        kills += killed_after(written[name], takes * (number % 100 + 0.5) / 100)
        found = files_only(held(whole))
        assert all(content == expected[file] for file, content in found.items())
        assert run(written[name]) == 0
        assert files_only(held(whole)) == expected
        assert [file for file in held(whole) if file.endswith(".part")] == []
    assert kills == 100
    capsys.readouterr()


def check_revisions(tmp_path: Path, kills: int) -> int:
    """Draws a job, then changes it and draws it again, as the next revision or over it, killed at each renaming.

    What was issued first must be there whole after every kill: at its place, or kept as superseded.

    Returns:
        How often it was killed.
    """
    job, out = tmp_path / "job.toml", tmp_path / "out"
    first = toml_text(job_data())
    met = 0
    for at in range(1, kills + 1):
        for revised, before in ((True, True), (True, False), (False, True), (False, False)):
            if out.exists():
                shutil.rmtree(out)
            job.write_text(first, encoding="utf-8")
            drawn = ("draw", str(job), "--into", str(out), "--only", "cut,sheet,holes", "--force")
            assert run(drawn) == 0
            issued = files_only(held(out))
            plate = {"outside_diameter": 290, "bore": 170}
            again = job_data(plate=plate, job={"number": "T-1", "revision": "B"}) if revised else job_data(plate=plate)
            job.write_text(toml_text(again), encoding="utf-8")
            met += killed(drawn, at, before)
            for stage in ("killed", "completed"):
                there = files_only(held(out))
                kept = {Path(name).name: content for name, content in there.items() if SUPERSEDED_FOLDER in name}
                for name, content in issued.items():
                    assert there.get(name) == content or kept.get(name) == content, (stage, at, name)
                assert run(drawn) == 0
    return met


@pytest.mark.slow
def test_what_was_issued_survives_a_kill(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert check_revisions(tmp_path, 2) >= 6
    capsys.readouterr()


@pytest.mark.property_deep
def test_what_was_issued_survives_a_hundred_kills(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    met = sum(check_revisions(tmp_path, 10) for _ in range(4))
    assert met >= 100
    capsys.readouterr()
