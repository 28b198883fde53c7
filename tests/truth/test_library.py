"""The library keeps its word: types refuse what is no part, copies keep no old angles, time grows as the job does."""

import importlib
import math
import time
from collections.abc import Callable
from importlib.resources import files
from typing import Any

import pytest

import flangelayout
from flangelayout.value import replace
from jobs import make_job
from rows import every_row


def named(name: str) -> Any:  # noqa: ANN401 - whatever the library exports
    return getattr(flangelayout, name)


def test_the_package_says_that_it_is_typed() -> None:
    assert (files("flangelayout") / "py.typed").is_file()


@every_row(
    "name",
    ["BoltCircle", "Flange", "RoundOutline", "Reading", "Kind", "find", "Part", "measure", "load_job", "GeometryError"],
)
def test_what_a_user_needs_is_exported_and_listed(name: str) -> None:
    assert named(name) is not None
    assert name in dir(flangelayout)
    assert name in flangelayout.__all__


@every_row(
    "made",
    [
        lambda: named("Flange")(outline=285.0, bolt_circles=()),
        lambda: named("BoltCircle")(240, 8, 22, start_angle=math.nan),
        lambda: named("BoltCircle")(240, 8, 22, placement="stradle"),
        lambda: named("BoltCircle")(math.inf, 8, 22),
    ],
)
def test_what_is_no_part_is_refused_when_it_is_made(made: Callable[[], object]) -> None:
    error = importlib.import_module("flangelayout.errors").GeometryError
    with pytest.raises(error):
        made()


def angles(circle: Any) -> list[float]:  # noqa: ANN401 - a bolt circle
    return sorted(
        round(math.degrees(math.atan2(float(y), float(x))) % 360, 6) for x, y in map(_xy, circle.hole_centers())
    )


def _xy(center: Any) -> tuple[float, float]:  # noqa: ANN401 - a point or a row
    return (center.x, center.y) if hasattr(center, "x") else (center[0], center[1])


def test_a_changed_copy_keeps_no_old_angles() -> None:
    circle = named("BoltCircle")
    assert angles(replace(circle(240, 8, 22, pair_angle=10), pair_angle=20)) == angles(
        circle(240, 8, 22, pair_angle=20)
    )
    turned = replace(circle(240, 4, 22, pair_angle=10), centerline="horizontal")
    assert angles(turned) == angles(circle(240, 4, 22, pair_angle=10, centerline="horizontal"))


def seconds(work: Callable[[], object]) -> float:
    """The shortest of three runs."""
    spans = []
    for _ in range(3):
        start = time.process_time()
        work()
        spans.append(time.process_time() - start)
    return min(spans)


def _loaded(holes: int) -> Callable[[], object]:
    circle = {"diameter": 40.0 * holes / 8, "hole_count": holes, "hole_diameter": 8}
    plate = {"outside_diameter": 40.0 * holes / 8 + 60, "thickness": 10}
    return lambda: make_job(plate=plate, bolt_circle=[circle], template={"style": "sector"})


@pytest.mark.slow
def test_a_sector_job_takes_twice_the_time_for_twice_the_holes() -> None:
    # Two ratios in one run, each against the double before it; 2.3 leaves room for what a clock adds.
    small, middle, large = (seconds(_loaded(holes)) for holes in (200, 400, 800))
    assert large / middle < 2.3 or middle / small < 2.3, (small, middle, large)
    assert large / small < 2.3**2, (small, middle, large)
