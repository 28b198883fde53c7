"""No traceback, and nothing half-written, whatever stands where a file or a number should."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from flangelayout import cli
from flangelayout.cli import run
from flangelayout.files.recover import safe_name
from jobs import job_data, toml_text
from rows import every_row

PROJECT = Path(cli.__file__).parents[2]


def job_file(folder: Path, name: str = "job.toml", **tables: object) -> Path:
    path = folder / name
    path.write_text(toml_text(job_data(**tables)), encoding="utf-8")
    return path


def test_a_row_that_fails_for_any_reason_stops_no_other(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "a.csv"
    rows = ["A1,285,170,22,240,8,M20", "A2,285,170,22,240,8,1/0", "A3,285,170,22,240,8,M20"]
    path.write_text("No.,OD (mm),ID (mm),Thk (mm),PCD (mm),Holes,bolt\n" + "\n".join(rows), encoding="utf-8")
    assert run(["draw", str(path), "--only", "holes", "--cores", "1"]) == 2
    out, err = capsys.readouterr()
    assert "3 jobs: 2 made, 0 unchanged, 1 failed" in out
    assert err.startswith(f"flangelayout: {path} row 3: bolt_circle.bolt: ")
    assert "Traceback" not in err
    assert sorted(file.name for file in tmp_path.glob("A*.csv")) == ["A1-A_holes_mm.csv", "A3-A_holes_mm.csv"]


def test_a_fault_of_the_program_is_one_line_with_the_job_and_exit_3(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError("oh\nno")

    path = job_file(tmp_path)
    monkeypatch.setattr("flangelayout.packet.job._sheet", broken)
    assert run(["draw", str(path)]) == 3
    out, err = capsys.readouterr()
    (line,) = err.splitlines()
    assert out == ""
    assert line.startswith(f"flangelayout: draw {path}: this program failed on it (ZeroDivisionError: oh no, ")
    assert "send this line and the job" in line
    assert sorted(file.name for file in tmp_path.iterdir()) == ["job.toml"]
    other = job_file(tmp_path, "other.toml", job={"number": "T-2"})
    assert run(["draw", str(path), str(other), "--cores", "1"]) == 3
    assert len(capsys.readouterr().err.splitlines()) == 2


def test_no_line_is_longer_than_two_thousand_characters(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["draw", str(tmp_path / ("x" * 5_000))]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert len(line) < 2_050
    assert line.endswith("characters more)")


@pytest.mark.slow
@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no full device")
@pytest.mark.parametrize("arguments", [["draw", "job.toml", "--only", "holes"], ["standards", "dn150"], ["--help"]])
def test_what_cannot_be_printed_is_told_in_words(arguments: list[str], tmp_path: Path) -> None:
    job_file(tmp_path)
    environment = {**os.environ, "PYTHONPATH": str(PROJECT)}
    with Path("/dev/full").open("w") as full:
        command = [sys.executable, "-m", "flangelayout", *arguments]
        done = subprocess.run(
            command, env=environment, cwd=tmp_path, stdout=full, stderr=subprocess.PIPE, text=True, check=False
        )
    assert done.returncode == 2
    (line,) = done.stderr.splitlines()
    assert line.startswith("flangelayout: what is told cannot be printed (No space left on device)")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes with names")
def test_a_pipe_in_the_place_of_any_file_is_told_and_not_waited_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = job_file(tmp_path)
    for name in ("pipe.toml", "pipe.csv", "pipe.xlsx", "pipe.pdf", "T-1-A_holes_mm.csv"):
        os.mkfifo(tmp_path / name)
    for arguments in (["draw", "pipe.toml"], ["draw", "pipe.csv"], ["nest", "pipe.xlsx", "--plate", "9x9"],
                      ["recover", "pipe.pdf"], ["check", "pipe.toml"], ["measure", "--job", "pipe.toml"]):  # fmt: skip
        placed = [str(tmp_path / each) if each.startswith("pipe") else each for each in arguments]
        assert run(placed) == 2
        assert "is no plain file" in capsys.readouterr().err
    assert run(["draw", str(path), "--only", "holes"]) == 2
    assert "was not written by this program" in capsys.readouterr().err
    assert run(["draw", str(path), "--only", "holes", "--force"]) == 0
    assert (tmp_path / "T-1-A_holes_mm.csv").read_bytes().startswith(b"\xef\xbb\xbfhole,")


@every_row("name", ["CON.toml", "nul", "aux .toml", "Lpt1.x.toml", "com9"])
def test_a_recovered_job_is_no_device(name: str) -> None:
    assert safe_name(name).startswith("job-")


def test_a_blind_is_said_to_be_one(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["draw", str(job_file(tmp_path, plate={"outside_diameter": 285})), "--only", "holes"]) == 0
    assert capsys.readouterr().out.splitlines()[0].endswith("· Test plate · no bore: a blind")
    path = tmp_path / "a.csv"
    path.write_text("No.,designation,OD (mm),bore (mm)\nA1,EN 1092-1 PN16 DN50,,\nA2,EN 1092-1 PN16 DN50,,60\n")
    assert run(["draw", str(path), "--only", "holes", "--cores", "1"]) == 0
    first, second, _ = capsys.readouterr().out.splitlines()
    assert "no bore: a blind" in first
    assert "blind" not in second


def test_masses_of_an_estimate_are_in_the_unit_of_the_job(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A 12 x 12 x 1 in plate of 7850 kg/m3: 144 cubic inches of 0.2836 lb each (handbook density of steel)."""
    plate = {"outline": "square", "width": 12, "thickness": 1, "density": 7850}
    path = job_file(tmp_path, units="in", plate=plate, bolt_circle=[], cut={"process": "plasma"})
    assert run(["draw", str(path), "--only", "holes"]) == 0
    assert "part 40.8 lb of a blank of 40.8 lb" in capsys.readouterr().out
