"""How the cost of a job grows with what it holds, in CPU seconds as ratios within one run; outside the default run.

python -m pytest -n 0 tests/benchmarks/test_growth.py -s
"""

import time
from collections.abc import Callable
from functools import partial

import pytest

from benchmarks.test_packet_speed import many_holes, report
from flangelayout.flange import Flange
from flangelayout.flange.sector import sector_problem
from flangelayout.job import Job
from flangelayout.packet.job import build_packet
from jobs import make_job

MOST = 2.3
"""Times as long for twice as much."""


def lugged(lugs: int) -> Job:
    """A plate with a lug for each hole."""
    outline = {"outline": "lugged", "outside_diameter": 30 * lugs, "lug_radius": 30, "lug_circle": 30 * lugs}
    circle = {"diameter": 30 * lugs, "hole_count": lugs, "hole_diameter": 22}
    return make_job(plate={**outline, "lug_count": lugs}, bolt_circle=[circle])


def windows(count: int) -> Job:
    """A disk with a ring of round openings."""
    opening = {"shape": "circle", "diameter": 1, "radius": 900, "angle": 1, "count": count}
    return make_job(plate={"outside_diameter": 2000}, opening=[opening], bolt_circle=[])


def ring(holes: int) -> Flange:
    """A ring of small holes, which looks the same from each to the next."""
    circle = {"diameter": holes * 0.8, "hole_count": holes, "hole_diameter": 1}
    return make_job(plate={"outside_diameter": holes, "bore": holes / 2}, bolt_circle=[circle]).flange


def least(task: Callable[[], object], times: int = 3) -> float:
    """CPU seconds of the quickest of some runs."""
    taken = []
    for _ in range(times):
        start = time.process_time()
        task()
        taken.append(time.process_time() - start)
    return min(taken)


TASKS: dict[str, tuple[Callable[[int], Callable[[], object]], int]] = {
    "the repeat of a ring": (lambda count: partial(sector_problem, ring(count)), 2000),
    "loading many holes": (lambda count: partial(many_holes, count), 2000),
    "a packet of many holes": (lambda count: lambda: build_packet(many_holes(count)), 1000),
    "a packet of a lugged plate": (lambda count: lambda: build_packet(lugged(count)), 30),
    "a packet of many openings": (lambda count: lambda: build_packet(windows(count)), 100),
}


@pytest.mark.parametrize("name", TASKS)
def test_twice_as_much_costs_little_more_than_twice(name: str) -> None:
    task, count = TASKS[name]
    build_packet(make_job())
    few, many = least(task(count)), least(task(2 * count))
    report(f"{name}, {2 * count} against {count}", many / few, str(MOST), few, many)
    assert many / few <= MOST
