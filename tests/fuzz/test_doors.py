"""Spoiled inputs of every door: words and an exit code of 0, 1 or 2, no traceback, nothing half-written.

Every input is made from its number alone, so that a failing one can be made again: ``number`` stands in the message.
"""

import contextlib
import random
import resource
import subprocess
import sys
import time
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from flangelayout.cli import run
from flangelayout.errors import FlangeLayoutError
from flangelayout.job import Job
from flangelayout.job.load import job_from_data, job_from_text
from flangelayout.packet.job import Part, build_packet
from flangelayout.standards.designations.lookup import look_up
from judging import nonsense
from spoil import random_value, spoiled_bytes, spoiled_tables, spoiled_text
from web.served import client, query

pytestmark = pytest.mark.fuzz

PROJECT = Path(__file__).parents[2]
STARTERS = sorted((PROJECT / "templates").glob("*.toml"))
LONGEST_MESSAGE = 2000
LONGEST_SECONDS = 10.0
MOST_KILOBYTES = 500_000


def texts(rng: random.Random) -> str:
    return rng.choice(STARTERS).read_text(encoding="utf-8")


def hunted(count: int, attempt: Callable[[random.Random], None]) -> None:
    """Runs an attempt with each number, and says with which one it went wrong or took too long."""
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    for number in range(count):
        began = time.process_time()
        try:
            attempt(random.Random(number))
        except Exception as fault:
            raise AssertionError(f"number {number}: {type(fault).__name__}: {fault}") from fault
        assert time.process_time() - began < LONGEST_SECONDS, f"number {number} took too long"
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        assert peak < max(MOST_KILOBYTES, 2 * before), f"number {number} took {peak} kB"


def in_words(make: Callable[[], Job]) -> Job | None:
    """The job, or ``None`` for one that is refused in lines that a person can read."""
    try:
        return make()
    except FlangeLayoutError as wrong:
        lines = wrong.lines()
        assert lines
        assert all(len(line) <= LONGEST_MESSAGE and len(line.splitlines()) == 1 for line in lines)
        return None


def test_tables_of_a_job(rounds: int) -> None:
    def attempt(rng: random.Random) -> None:
        tables = tomllib.loads(texts(rng))
        spoiled = spoiled_tables(rng, tables)
        job = in_words(lambda: job_from_data(spoiled))
        if job is not None and rng.random() < 0.2:
            assert nonsense(spoiled, job) == []

    hunted(600 * rounds, attempt)


def test_text_of_a_job(rounds: int) -> None:
    hunted(600 * rounds, lambda rng: void(in_words(lambda: job_from_text(spoiled_text(rng, texts(rng)), name="f"))))


def test_files_of_a_job(rounds: int) -> None:
    """Whatever is accepted can be drawn in every format, or is refused in words."""

    def attempt(rng: random.Random) -> None:
        job = in_words(lambda: job_from_data(spoiled_tables(rng, tomllib.loads(texts(rng)))))
        if job is not None:
            part = rng.choice(tuple(Part))
            with contextlib.suppress(FlangeLayoutError):
                build_packet(job, (part,))

    hunted(30 * rounds, attempt)


def test_job_files_in_processes_of_their_own(rounds: int, tmp_path: Path) -> None:
    """The whole program, as a person starts it."""

    def attempt(rng: random.Random) -> None:
        path = tmp_path / "job.toml"
        path.write_text(spoiled_text(rng, texts(rng)), encoding="utf-8", errors="replace")
        command = [sys.executable, "-m", "flangelayout", rng.choice(("draw", "check")), str(path)]
        command += ["--into", str(tmp_path / "out"), "--force"] if command[-2] == "draw" else []
        ended = subprocess.run(command, capture_output=True, text=True, check=False, timeout=60, cwd=PROJECT)
        assert ended.returncode in (0, 1, 2), ended.stderr[-500:]
        assert "Traceback" not in ended.stderr
        assert all(len(line) <= LONGEST_MESSAGE for line in ended.stderr.splitlines())

    hunted(3 * rounds, attempt)


def test_lists(rounds: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    usual = (PROJECT / "samples" / "plate-20-list.csv").read_bytes()

    def attempt(rng: random.Random) -> None:
        path = tmp_path / "list.csv"
        path.write_bytes(
            spoiled_bytes(rng, usual) if rng.random() < 0.5 else spoiled_text(rng, usual.decode()).encode()
        )
        ran(capsys, "draw", str(path), "--only", "holes", "--cores", "1", "--force", "--into", str(tmp_path / "out"))
        assert [file.name for file in tmp_path.rglob("*") if file.name.endswith(".part")] == []

    hunted(20 * rounds, attempt)


def test_readings(rounds: int, capsys: pytest.CaptureFixture[str]) -> None:
    kinds = (
        "--chord",
        "--same-edges",
        "--near-edges",
        "--far-edges",
        "--hole-diameter",
        "--within",
        "--unit",
        "--holes",
    )

    def attempt(rng: random.Random) -> None:
        arguments = ["measure"]
        for _ in range(rng.randint(1, 7)):
            value = rng.choice(
                (f"{rng.uniform(1, 400):.2f}", f"{rng.uniform(1, 400):.1f}@{rng.randint(0, 9)}", "3 3/4 in")
            )
            odd = random_value(rng)
            arguments += [rng.choice(kinds), str(odd)[:200] if rng.random() < 0.3 else value]
        ran(capsys, *(text.replace("\x00", "0") for text in arguments))

    hunted(150 * rounds, attempt)


def test_designations(rounds: int) -> None:
    usual = ("6 in class 150", "DN150 PN16", "5x114.3", "FF215", "10K 150A", "Table E DN100", "8x240", "5 on 4 1/2")

    def attempt(rng: random.Random) -> None:
        with contextlib.suppress(FlangeLayoutError):
            look_up(spoiled_text(rng, rng.choice(usual)))

    hunted(1500 * rounds, attempt)


def test_requests_of_the_page(rounds: int) -> None:
    keys = (
        *(
            "plate.bore",
            "plate.outside_diameter",
            "plate.outline",
            "bolt_circle.1.diameter",
            "bolt_circle.1.hole_count",
        ),
        *("bolt_circle.1.standard", "survey.hole_count", "n.value", "do", "job.number", "units", "x.y.z", "cut.kerf"),
    )

    def attempt(rng: random.Random) -> None:
        changed = {rng.choice(keys): str(random_value(rng))[:3000] for _ in range(rng.randint(1, 4))}
        path = rng.choice(("/live", "/", "/files", "/job.toml"))
        answer = asking.get(f"{path}?{query(changed)}", hx_request="true")
        assert answer.status < 500
        assert str(PROJECT) not in answer.text

    with client() as asking:
        hunted(40 * rounds, attempt)


def test_files_that_are_opened(rounds: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sheet = next((PROJECT / "samples").rglob("*sheet.pdf")).read_bytes()

    def attempt(rng: random.Random) -> None:
        path = tmp_path / "sheet.pdf"
        path.write_bytes(spoiled_bytes(rng, sheet))
        ran(capsys, "recover", str(path), "--into", str(tmp_path / "out"))

    hunted(60 * rounds, attempt)


def void(_: Any) -> None:  # noqa: ANN401 - whatever came back
    """Nothing, of anything."""


def ran(capsys: pytest.CaptureFixture[str], *arguments: str) -> None:
    """A command ends with 0, 1 or 2 and says no more in one line than a person reads."""
    code = run(arguments)
    out, err = capsys.readouterr()
    assert code in (0, 1, 2), f"{arguments}: {code}: {err[:500]}"
    assert "Traceback" not in out + err
    assert all(len(line) <= LONGEST_MESSAGE for line in err.splitlines()), f"{arguments}: a message of {len(err)} signs"
