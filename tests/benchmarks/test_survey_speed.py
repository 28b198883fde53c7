"""Budgets of the survey: run on their own, on a quiet machine (the default run leaves this folder out)."""

import random
import subprocess
import sys
import time
from collections.abc import Callable

from flangelayout.survey import Assumptions, Kind, measure
from flangelayout.survey.candidates import rank
from flangelayout.survey.fitting.fit import fit_equal
from flangelayout.survey.spacing import possible_spacings
from flangelayout.survey.table import published_table
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
MEASURE = "from flangelayout.cli.measure import measure_command; measure_command(['--holes', '8', '--chord', '91.7'])"


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
    table, assume = published_table(), Assumptions()
    spacings = possible_spacings(TWENTY, fit_equal(TWENTY, 8), (), table, frozenset(), assume.allow)
    spent = milliseconds(lambda: rank(spacings, TWENTY, table, assume))
    print(f"ranking of {len(table.patterns)} rows: {spent:.2f} ms")  # noqa: T201 - as above
    assert spent < 10


def test_whole_survey_of_twenty_readings_is_done_in_under_15_ms() -> None:
    spent = milliseconds(lambda: measure(TWENTY, 8))
    print(f"whole survey: {spent:.2f} ms")  # noqa: T201 - as above
    assert spent < 15


def seconds(code: str) -> float:
    start = time.perf_counter()
    subprocess.run([sys.executable, "-c", code], stdout=subprocess.DEVNULL, check=True)
    return time.perf_counter() - start


def test_command_costs_at_most_twice_the_bare_imports() -> None:
    pairs = [(seconds(MEASURE), seconds("import numpy, click")) for _ in range(15)]
    command, bare = (sorted(column)[len(pairs) // 2] for column in zip(*pairs, strict=True))
    print(f"measure {1000 * command:.0f} ms, import numpy, click {1000 * bare:.0f} ms")  # noqa: T201 - as above
    assert command <= 2 * bare
