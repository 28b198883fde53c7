"""What a packet costs, as ratios within one run, medians throughout; outside the default run:

python -m pytest tests/benchmarks/test_packet_speed.py -s
"""

import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

import flangelayout
from benchmarks import bare
from benchmarks.recorded import pages, record, tiled_sheets
from flangelayout.job import Job
from flangelayout.packet.job import build_packet
from flangelayout.writers.pdf import write_pdf
from jobs import job_data, make_job, toml_text

PROJECT = Path(flangelayout.__file__).parents[1]
COMPILED = Path(tempfile.gettempdir()) / "flangelayout-benchmark-bytecode"


def many_holes(count: int) -> Job:
    """A ring of small holes, 2 mm from each to the next."""
    diameter = count * 2 / 3
    circle = {"diameter": diameter, "hole_count": count, "hole_diameter": 1}
    return make_job(plate={"outside_diameter": diameter + 50}, bolt_circle=[circle])


def medians(tasks: Sequence[Callable[[], object]], times: int) -> list[float]:
    """Median seconds of each task, run by turns so that a slow moment of the machine meets all of them."""
    taken: list[list[float]] = [[] for _ in tasks]
    for task in tasks:
        task()
    for _ in range(times):
        for index, task in enumerate(tasks):
            start = time.perf_counter()
            task()
            taken[index].append(time.perf_counter() - start)
    return [statistics.median(each) for each in taken]


def report(name: str, ratio: float, limit: str, *values: float) -> None:
    shown = ", ".join(f"{1000 * value:.1f} ms" for value in values)
    sys.stdout.write(f"\n{name}: {ratio:.2f} (limit {limit}) from {shown}\n")


def as_installed() -> dict[str, str]:
    """The environment of a process whose program is compiled once, as an installed package is."""
    environment = {**os.environ, "PYTHONPATH": str(PROJECT), "PYTHONPYCACHEPREFIX": str(COMPILED)}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    return environment


def process(*arguments: str) -> Callable[[], object]:
    """A whole process of Python."""
    environment = as_installed()

    def run() -> None:
        subprocess.run([sys.executable, *arguments], env=environment, check=True, capture_output=True)

    return run


def test_a_warm_packet_costs_little_more_than_the_bare_libraries() -> None:
    job = make_job()
    data = record(job)
    ours, theirs = medians([lambda: build_packet(job), lambda: bare.packet(data)], 25)
    report("warm packet against bare libraries", ours / theirs, "1.6", ours, theirs)
    assert ours / theirs <= 1.6


def test_a_template_of_seventy_pages_stores_its_drawing_once() -> None:
    circle = {"diameter": 2100, "hole_count": 64, "hole_diameter": 33}
    job = make_job(plate={"outside_diameter": 2300, "bore": 1800}, bolt_circle=[circle])
    sheets = tiled_sheets(job)
    assert 60 <= len(sheets.sheets) <= 80
    data, font = pages(sheets), record(make_job())["font"]
    ours, theirs = medians([lambda: write_pdf(sheets), lambda: bare.pages_pdf(data, font, redraw=True)], 5)
    report(f"{len(sheets.sheets)} pages redrawn against ours", theirs / ours, "at least 8", theirs, ours)
    smaller = len(bare.pages_pdf(data, font, redraw=True)) / len(write_pdf(sheets))
    report("their size against ours", smaller, "at least 5")
    assert theirs / ours >= 8
    assert smaller >= 5


def test_a_hole_costs_the_same_among_ten_thousand_as_among_a_thousand() -> None:
    few, many = many_holes(1_000), many_holes(10_000)
    low, high = medians([lambda: build_packet(few), lambda: build_packet(many)], 3)
    report("cost of a hole among 10,000 against 1,000", high / 10 / low, "0.8 to 1.2", low, high)
    assert 0.8 <= high / 10 / low <= 1.2


def test_a_whole_draw_costs_little_more_than_a_bare_script(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text(toml_text(job_data()))
    (tmp_path / "data.json").write_text(json.dumps(record(make_job())))
    script = str(Path(__file__).with_name("bare.py"))
    draw = process("-m", "flangelayout", "draw", str(tmp_path / "job.toml"), "--into", str(tmp_path / "ours"))
    plain = process(script, str(tmp_path / "data.json"), str(tmp_path / "theirs"))
    ours, theirs = medians([draw, plain], 11)
    report("whole draw against bare script", ours / theirs, "1.5", ours, theirs)
    assert ours / theirs <= 1.5


def test_asking_for_the_version_costs_little_more_than_loading_click() -> None:
    ours, theirs = medians([process("-m", "flangelayout", "--version"), process("-c", "import click")], 21)
    report("version against import click", ours / theirs, "1.5", ours, theirs)
    assert ours / theirs <= 1.5


if __name__ == "__main__":
    raise SystemExit(pytest.main([__file__, "-s"]))
