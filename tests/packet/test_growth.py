"""One packet resolves its plate once, and twice the holes take about twice the time."""

import time
from collections.abc import Callable
from typing import Any

import pytest

from flangelayout.checks import check_drilling, check_shop, measured
from flangelayout.flange import BoltCircle, Drilling, Flange, HoleGrid, LuggedOutline, RectangleOutline, plate
from flangelayout.flange.groups import placed_holes
from flangelayout.flange.sector import sector_problem
from flangelayout.packet.job import build_packet
from jobs import flange, job_data, make_job


def seconds(work: Callable[[], object]) -> float:
    """How long it takes this process, whatever else the machine does."""
    start = time.process_time()
    work()
    return time.process_time() - start


def growth(make: Callable[[int], Callable[[], object]], count: int, tries: int = 5) -> float:
    """How many times as long twice as many holes take: the shortest of several runs of both, in turns."""
    small, large = make(count), make(2 * count)
    times = [(seconds(small), seconds(large)) for _ in range(tries)]
    return min(time for _, time in times) / min(time for time, _ in times)


def ring(count: int) -> Callable[[], object]:
    """The question whether a ring has a sector, its holes placed before."""
    made = flange(
        BoltCircle(4000.0, count, 2.0), BoltCircle(3000.0, count // 2, 2.0, start_angle=0.01), outside_diameter=4200.0
    )
    return lambda: sector_problem(made)


def lugged(count: int) -> Callable[[], object]:
    """Placing and checking the drilling of a plate with 60 lugs."""
    outline = LuggedOutline(1900.0, 60, 2000.0, 30.0, 90.0)
    return lambda: check_drilling(measured(Flange(outline, (BoltCircle(1500.0, count, 1.0),))))


def tube_sheet(count: int) -> Callable[[], object]:
    """Placing and checking everything of a grid of holes."""
    grid = HoleGrid(Drilling(10.0), 40, count // 40, 25.0, 25.0)
    outline = RectangleOutline(1100.0, 25.0 * (count // 40) + 100.0)

    def work() -> object:
        made = measured(Flange(outline, (), patterns=(grid,), thickness=20.0))
        return check_drilling(made), check_shop(made)

    return work


@pytest.mark.slow
@pytest.mark.parametrize(("make", "count"), [(ring, 2000), (lugged, 800), (tube_sheet, 1000)])
def test_twice_the_holes_take_at_most_2_3_times_as_long(
    make: Callable[[int], Callable[[], object]], count: int
) -> None:
    ratios = []
    for _ in range(3):  # what another process takes away is no growth
        ratios.append(growth(make, count))
        if ratios[-1] <= 2.3:
            break
    assert min(ratios) <= 2.3, ratios


def test_a_packet_places_its_holes_and_finds_its_outline_once(monkeypatch: pytest.MonkeyPatch) -> None:
    outline = {"outline": "lugged", "outside_diameter": 150, "lug_radius": 20, "bore": 80, "thickness": 20}
    circle = {"diameter": 200, "hole_count": 4, "hole_diameter": 14}
    placed: list[object] = []
    found: list[object] = []

    def counted(real: Callable[..., Any], told: list[object]) -> Callable[..., Any]:
        def call(*given: Any) -> Any:  # noqa: ANN401 - as what it stands for
            told.append(given)
            return real(*given)

        return call

    monkeypatch.setattr(plate, "placed_holes", counted(placed_holes, placed))
    monkeypatch.setattr(LuggedOutline, "_shape", counted(LuggedOutline._shape, found))
    job = make_job(**job_data(plate=outline, bolt_circle=[circle]))
    packet = build_packet(job)
    assert packet
    assert (len(placed), len(found)) == (1, 1)
