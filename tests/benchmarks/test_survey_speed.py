"""Budgets of the survey: run on their own, on a quiet machine (the default run leaves this folder out)."""

import os
import random
import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

from flangelayout.standards import all_patterns
from flangelayout.survey import Assumptions, Kind, measure
from flangelayout.survey.candidates import rank
from flangelayout.survey.fitting.fit import fit_equal
from flangelayout.survey.spacing import possible_spacings
from flangelayout.survey.table import build_table
from survey.synthetic import Part, neighbors, pair, shaken, single

PART = Part()
TWENTY = shaken(
    [
        *neighbors(PART, Kind.NEAR_EDGES),
        *neighbors(PART, Kind.FAR_EDGES),
        pair(PART, Kind.SAME_EDGES, 1, 5),
        pair(PART, Kind.SAME_EDGES, 2, 6),
        single(PART, Kind.HOLE_DIAMETER),
        single(PART, Kind.OUTSIDE_DIAMETER),
    ],
    random.Random(1),
)
MEASURE = ("-m", "flangelayout", "measure", "--holes", "8", "--chord", "80.4", "--near-edges", "191.8@4")


def milliseconds(work: Callable[[], object], rounds: int = 30) -> float:
    work()
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return 1000 * sorted(times)[rounds // 2]


def test_twenty_readings_are_fitted_in_under_5_ms() -> None:
    assert len(TWENTY) == 20
    spent = milliseconds(lambda: fit_equal(TWENTY, 8))
    print(f"fit of 20 readings: {spent:.2f} ms")  # noqa: T201 - the figure is what the benchmark is for
    assert spent < 5


def test_all_rows_are_ranked_in_under_10_ms() -> None:
    table, assume = build_table(all_patterns()), Assumptions()
    spacings = possible_spacings(TWENTY, fit_equal(TWENTY, 8), (), table, frozenset(), assume.allow)
    spent = milliseconds(lambda: rank(spacings, TWENTY, table, assume))
    print(f"ranking of {len(table.patterns)} rows: {spent:.2f} ms")  # noqa: T201 - as above
    assert spent < 10


def test_whole_survey_of_twenty_readings_is_done_in_under_15_ms() -> None:
    spent = milliseconds(lambda: measure(TWENTY, 8))
    print(f"whole survey: {spent:.2f} ms")  # noqa: T201 - as above
    assert spent < 15


def seconds(folder: Path, *arguments: str) -> float:
    """Processor seconds of a process that has its compiled code, as an installed program has."""
    environment = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    environment["PYTHONPYCACHEPREFIX"] = str(folder)
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, *arguments], stdout=subprocess.DEVNULL, check=True, env=environment)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def test_command_costs_at_most_half_more_than_the_bare_imports(tmp_path: Path) -> None:
    bare = ("-c", "import numpy, click")
    pairs = [(seconds(tmp_path, *MEASURE), seconds(tmp_path, *bare)) for _ in range(16)][1:]
    ratio = statistics.median(command / alone for command, alone in pairs)
    print(f"measure over import numpy, click: {ratio:.2f}")  # noqa: T201 - as above
    assert ratio <= 1.5
