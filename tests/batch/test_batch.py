"""Many jobs: what a list says, what goes on after a bad row, what is made again, and what a kill leaves."""

import datetime
import os
import signal
import subprocess
import sys
import time
from itertools import product
from pathlib import Path
from random import Random

import pytest

from batch_lists import HEAD, row, write_list, write_workbook
from flangelayout.batch.pool import Failure
from flangelayout.batch.run import Done, Request, draw_all, fingerprint
from flangelayout.batch.sources import JobSource, job_sources, load_source
from flangelayout.errors import InputError
from flangelayout.files.records import RECORDS_FOLDER
from flangelayout.files.store import Obstacle
from flangelayout.job import Job
from flangelayout.job.load import job_from_data
from flangelayout.packet.job import Part, build_packet
from jobs import make_job
from rows import every_row

PROJECT = Path(__file__).parents[2]
FEW = (Part.HOLES,)


def only_job(path: Path) -> Job:
    (source,) = job_sources([str(path)])
    return load_source(source)


def draw(
    path: Path, into: Path | None = None, parts: tuple[Part, ...] = FEW, force: bool = False
) -> "list[Done | Failure]":
    return draw_all(job_sources([str(path)]), Request(parts, into, force=force))


def files_in(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def test_a_row_is_the_same_job_as_a_file_with_the_same_keys(tmp_path: Path) -> None:
    job = only_job(write_list(tmp_path / "week.csv", [row(7)]))
    same = job_from_data(
        {
            "units": "mm",
            "job": {"number": "MB-007", "title": "Ring 7", "quantity": 2},
            "plate": {"outside_diameter": "267", "bore": "127", "thickness": "16"},
            "bolt_circle": [{"diameter": "227", "hole_count": 8, "hole_diameter": "18"}],
        }
    )
    assert job == same


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_a_workbook_and_every_kind_of_csv_hold_the_same_jobs(separator: str, tmp_path: Path) -> None:
    rows = [row(1), row(2, number="007"), row(3, title="a; b, c")]
    text = write_list(tmp_path / "week.csv", rows, separator=separator)
    book = write_workbook(tmp_path / "week.xlsx", rows)
    from_text, from_book = ([load_source(each) for each in job_sources([str(path)])] for path in (text, book))
    assert from_text == from_book
    assert from_text[1].info.number == "007"


def test_a_designation_stands_for_plate_and_bolt_circle(tmp_path: Path) -> None:
    path = write_list(tmp_path / "week.csv", [["A", "EN 1092-1 PN16 DN150", ""], ["B", "EN 1092-1 PN16 DN150", 300]],
                      ["number", "designation", "OD (mm)"])  # fmt: skip
    jobs = [load_source(source) for source in job_sources([str(path)])]
    # EN 1092-1, DN 150 PN 16: outside diameter 285, bolt circle 240, 8 holes of 22 mm.
    assert [job.flange.round_diameter for job in jobs] == [285.0, 300.0]
    assert {
        (each.diameter, each.hole_count, each.hole_diameter) for job in jobs for each in job.flange.bolt_circles
    } == {(240.0, 8, 22.0)}


def test_cells_are_read_as_their_keys_take_them(tmp_path: Path) -> None:
    head = [
        *("number", "units", "date", "notes", "outside_diameter", "bolt_circle.hole_diameter", "bolt_circle.angles"),
        *("bolt_circle.diameter", "bolt_circle[2].standard", "bolt_circle[2].skip"),
    ]
    cells = [12, "in", datetime.date(2026, 11, 25), "first; second", "20 in", "7/8", "0; 90; 181.5", "17 1/4",
             "EN 1092-1 PN16 DN150", "1;5"]  # fmt: skip
    job = only_job(write_workbook(tmp_path / "week.xlsx", [cells], head))
    assert (job.info.number, job.info.date, job.info.notes) == ("12", "2026-11-25", ("first", "second"))
    first, second = job.flange.bolt_circles
    assert first.angles == (0.0, 90.0, 181.5)
    assert first.hole_diameter == pytest.approx(22.225)
    assert (second.skipped, second.hole_count) == ((1, 5), 8)


def test_a_row_without_a_number_is_called_after_its_list_and_place(tmp_path: Path) -> None:
    path = write_list(tmp_path / "week.csv", [row(1), [], ["# a remark"], row(2, number="")])
    sources = job_sources([str(path)])
    assert [source.label for source in sources] == [f"{path} row 2", f"{path} row 5"]
    assert load_source(sources[1]).info.number == "week-5"


@every_row(
    ("head", "rows", "told"),
    [
        ([], [], "is empty"),
        (HEAD, [], "no row below"),
        (["job.number", "plate.outside_diametre"], [["A", 1]], "did you mean outside_diameter"),
        (["number", "job.number"], [["A", "B"]], 'same key as "number"'),
        (["designation", "bolt_circle[x].standard"], [["A", "B"]], "unknown column"),
    ],
)
def test_a_list_that_makes_no_sense_is_one_problem(
    head: list[str], rows: list[list[str]], told: str, tmp_path: Path
) -> None:
    (source,) = job_sources([str(write_list(tmp_path / "week.csv", rows, head))])
    with pytest.raises(InputError, match=told):
        load_source(source)


@every_row(
    ("name", "content"),
    product(["week.csv", "week.xlsx"], [b"\xff\xfe\x00", b"PK\x03\x04 no workbook", b'a,b\n"1,2\n', b"\0\0"]),
)
def test_a_damaged_list_is_one_problem(content: bytes, name: str, tmp_path: Path) -> None:
    (tmp_path / name).write_bytes(content)
    (source,) = job_sources([str(tmp_path / name)])
    with pytest.raises(InputError, match=name):
        load_source(source)


def test_a_cell_without_a_column_is_told_with_its_row(tmp_path: Path) -> None:
    path = write_list(tmp_path / "week.csv", [row(1), [*row(2), "stray"]])
    good, bad = job_sources([str(path)])
    assert load_source(good)
    with pytest.raises(InputError, match=r'row 3.*"stray" stands under no column'):
        load_source(bad)


def test_a_folder_gives_its_job_files_and_each_file_counts_once(tmp_path: Path) -> None:
    for name in ("b.toml", "a.toml", ".hidden.toml", "notes.txt"):
        (tmp_path / name).write_text("", encoding="utf-8")
    labels = [str(tmp_path / name) for name in ("a.toml", "b.toml")]
    assert [source.label for source in job_sources([str(tmp_path), labels[1]])] == labels
    (tmp_path / "empty").mkdir()
    (source,) = job_sources([str(tmp_path / "empty")])
    assert "holds no job file" in source.problems[0].text


def test_a_bad_row_stops_nothing_and_is_told_with_its_row(tmp_path: Path) -> None:
    rows = [row(index) for index in range(9)]
    rows.insert(4, row(20, bore=500))
    results = draw(write_list(tmp_path / "week.csv", rows), into=tmp_path / "out")
    bad = results.pop(4)
    assert isinstance(bad, Failure)
    assert bad.lines[0].startswith(f"{tmp_path / 'week.csv'} row 6: plate.bore: ")
    assert all(isinstance(result, Done) for result in results)
    assert len(files_in(tmp_path / "out")) == 9


def test_a_fault_of_the_program_in_one_job_stops_no_other(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(job: Job, parts: tuple[Part, ...], by_use: bool) -> dict[str, bytes]:
        if job.info.number == "MB-001":
            raise ZeroDivisionError("oh")
        return build_packet(job, parts, by_use)

    monkeypatch.setattr("flangelayout.batch.pool.build_packet", broken)
    results = draw(write_list(tmp_path / "week.csv", [row(index) for index in range(3)]))
    assert [isinstance(result, Done) for result in results] == [True, False, True]
    assert isinstance(results[1], Failure)
    assert "ZeroDivisionError" in results[1].lines[0]


def test_rows_that_make_the_same_files_stop_each_other_and_no_other_row(tmp_path: Path) -> None:
    path = write_list(tmp_path / "week.csv", [row(1), row(2), row(3, number="mb-001"), row(4)])
    results = draw(path, into=tmp_path / "out")
    assert [isinstance(result, Done) for result in results] == [False, True, False, True]
    told = [line for result in results if isinstance(result, Failure) for line in result.lines]
    cure = "give one of them another number or revision"
    assert told == [
        f"{path} row 2: makes the same files as {path} row 4, MB-001-A_...; {cure}",
        f"{path} row 4: makes the same files as {path} row 2, mb-001-A_...; {cure}",
    ]
    assert sorted(files_in(tmp_path / "out")) == ["MB-002-A_holes_mm.csv", "MB-004-A_holes_mm.csv"]


def test_a_row_that_changed_under_the_same_revision_is_refused_with_what_it_was(tmp_path: Path) -> None:
    out = tmp_path / "out"
    draw(write_list(tmp_path / "week.csv", [row(1), row(2)]), out)
    results = draw(write_list(tmp_path / "week.csv", [row(1), row(2, bore=99)]), out)
    assert isinstance(results[0], Done)
    assert isinstance(results[1], Failure)
    (refusal,) = results[1].refusals
    assert refusal.before
    assert refusal.asked
    assert (refusal.before.source, refusal.asked.source) == ("week.csv row 3", "week.csv row 3")
    assert refusal.before.digest != refusal.asked.digest


def test_only_what_changed_is_made_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    out = tmp_path / "out"
    made: list[str] = []

    def noted(job: Job, parts: tuple[Part, ...], by_use: bool) -> dict[str, bytes]:
        made.append(job.info.number)
        return build_packet(job, parts, by_use)

    monkeypatch.setattr("flangelayout.batch.pool.build_packet", noted)

    def again(rows: list[list[object]], parts: tuple[Part, ...] = FEW, force: bool = False) -> list[str]:
        made.clear()
        draw(write_list(tmp_path / "week.csv", rows), out, parts, force)
        return list(made)

    rows = [row(index) for index in range(4)]
    every = [f"MB-{index:03}" for index in range(4)]
    assert again(rows) == every
    assert again(rows) == []
    assert again([*rows[:2], row(2, title="new"), rows[3]], force=True) == ["MB-002"]
    assert again(rows, force=True) == ["MB-002"]
    (out / "MB-001-A_holes_mm.csv").unlink()
    assert again(rows) == ["MB-001"]
    (out / "MB-003-A_holes_mm.csv").write_bytes(b"edited")
    assert again(rows, force=True) == ["MB-003"]
    assert again(rows) == []
    assert again(rows, parts=(Part.HOLES, Part.CUT)) == every
    monkeypatch.setattr("flangelayout.batch.run.__version__", "9.9")
    assert again(rows, parts=(Part.HOLES, Part.CUT)) == every


def test_an_edited_file_fails_its_own_row_only(tmp_path: Path) -> None:
    path, out = write_list(tmp_path / "week.csv", [row(index) for index in range(3)]), tmp_path / "out"
    draw(path, into=out)
    (out / "MB-001-A_holes_mm.csv").write_bytes(b"edited")
    results = draw(path, into=out)
    assert isinstance(results[1], Failure)
    assert [refusal.obstacle for refusal in results[1].refusals] == [Obstacle.EDITED]
    assert [isinstance(result, Done) for result in results] == [True, False, True]
    assert (out / "MB-001-A_holes_mm.csv").read_bytes() == b"edited"


@pytest.mark.slow
def test_two_processes_make_the_same_bytes_as_one(tmp_path: Path) -> None:
    path = write_list(tmp_path / "week.csv", [row(index) for index in range(6)])
    told: list[tuple[int, int]] = []
    request = Request(FEW, tmp_path / "two", cores=2)
    results = draw_all(job_sources([str(path)]), request, lambda done, count: told.append((done, count)))
    draw(path, into=tmp_path / "one")
    assert all(isinstance(result, Done) for result in results)
    assert files_in(tmp_path / "two") == files_in(tmp_path / "one")
    assert told[0] == (0, 6)
    assert told[-1] == (6, 6)
    records = [
        {path.name: path.read_bytes() for path in (tmp_path / where / RECORDS_FOLDER).iterdir()}
        for where in ("one", "two")
    ]
    assert records[0] == records[1]
    assert len(records[0]) == 6


@pytest.mark.slow
def test_the_fingerprint_is_the_same_in_every_process() -> None:
    code = "import jobs; from flangelayout.batch.run import fingerprint; print(fingerprint(jobs.make_job(), [], False))"
    environment = {**os.environ, "PYTHONPATH": f"{PROJECT}{os.pathsep}{PROJECT / 'tests'}", "PYTHONHASHSEED": "11"}
    run = subprocess.run([sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=True)
    assert run.stdout.strip() == fingerprint(make_job(), [], preview=False)


_RUN = "import sys; from flangelayout.cli import run\nif __name__ == '__main__': sys.exit(run(sys.argv[1:]))"


def start(tmp_path: Path, *arguments: str) -> "subprocess.Popen[bytes]":
    script = tmp_path / "program.py"
    script.write_text(_RUN, encoding="utf-8")
    return subprocess.Popen(
        [sys.executable, str(script), *arguments],
        env={**os.environ, "PYTHONPATH": str(PROJECT)},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        start_new_session=True,
    )


def check_kills(tmp_path: Path, counts: list[int], rows: int) -> int:
    """Kill a run as soon as it has written so many files, or before any.

    Its other processes must end with it, what is there must be whole, and a further run must complete it.

    Returns:
        How many runs were killed with some files there and some not.
    """
    path = write_list(tmp_path / "week.csv", [row(index) for index in range(rows)])
    draw(path, into=tmp_path / "whole", parts=(Part.HOLES, Part.CUT))
    whole = files_in(tmp_path / "whole")
    caught = 0
    for number, count in enumerate(counts):
        out = tmp_path / f"out{number}"
        arguments = ("draw", str(path), "--into", str(out), "--only", "holes,cut", "--cores", "2")
        with start(tmp_path, *arguments) as process:
            while process.poll() is None and len(written_in(out)) < count:
                time.sleep(0.001)
            process.kill()
        assert _ends(process.pid)
        arrived = written_in(out)
        assert all((out / name).read_bytes() == whole[name] for name in arrived)
        on_their_way = list(out.glob(".*.part"))
        assert all(path.read_bytes() in whole.values() for path in on_their_way)
        caught += 0 < len(arrived) < len(whole)
        results = draw(path, into=out, parts=(Part.HOLES, Part.CUT))
        assert all(isinstance(result, Done) for result in results)
        assert files_in(out) == whole
    return caught


def written_in(folder: Path) -> list[str]:
    """Names of the files that have come to their places."""
    names = [path.name for path in folder.iterdir()] if folder.exists() else []
    return [name for name in names if name != RECORDS_FOLDER and not name.endswith(".part")]


@pytest.mark.slow
def test_a_kill_leaves_whole_files_and_the_next_run_completes_the_set(tmp_path: Path) -> None:
    assert check_kills(tmp_path, [1], rows=30) == 1


@pytest.mark.property_deep
def test_fifty_kills_leave_whole_files_and_the_next_run_completes_the_set(tmp_path: Path) -> None:
    chance, rows = Random(50), 60
    assert check_kills(tmp_path, [chance.randrange(3 * rows) for _ in range(50)], rows) >= 40


def _ends(group: int) -> bool:
    """Whether every process of a group is gone, in a while."""
    deadline = time.monotonic() + 10
    while _group_lives(group) and time.monotonic() < deadline:
        time.sleep(0.02)
    return not _group_lives(group)


def _group_lives(group: int) -> bool:
    try:
        os.killpg(group, 0)
    except ProcessLookupError:
        return False
    return True


@pytest.mark.slow
def test_control_c_stops_with_whole_files_and_says_so(tmp_path: Path) -> None:
    path = write_list(tmp_path / "week.csv", [row(index) for index in range(300)])
    out = tmp_path / "out"
    with start(tmp_path, "draw", str(path), "--into", str(out), "--only", "cut", "--cores", "2") as process:
        while process.poll() is None and not list(out.glob("*.svg")):
            time.sleep(0.01)
        os.killpg(process.pid, signal.SIGINT)
        _, errors = process.communicate(timeout=30)
    assert process.returncode == 130
    assert errors.decode().strip() == "stopped; whatever was written is whole"
    names = set(files_in(out))
    assert names
    assert not any(name.endswith(".part") for name in names)
    leads = {name.partition("_")[0] for name in names}
    assert names == {f"{lead}_cut_mm.{ending}" for lead in leads for ending in ("dxf", "svg")}


def test_a_source_that_is_no_file_is_told_as_one(tmp_path: Path) -> None:
    (result,) = draw_all([JobSource("nothing.toml", tmp_path, tmp_path / "nothing.toml")], Request(FEW))
    assert isinstance(result, Failure)
    assert "cannot be read" in result.lines[0]
