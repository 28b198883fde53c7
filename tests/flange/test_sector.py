"""The ray a ring is parted by, against a search through every hole, and how the cost grows."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flangelayout.errors import Problem
from flangelayout.flange import Flange, Slot, SlotDirection
from flangelayout.flange.sector import ray_clearance, sector_problem, start_ray
from flangelayout.geometry.shapes import ORIGIN
from flangelayout.problems.flange import FlangeProblem
from jobs import bolt_circle, flange


def nearest_edge(plate: Flange, ray: float, within: float) -> float:
    """Distance from any of the repeated rays to the nearest edge of a round hole, hole by hole."""
    rays = [ray + turn * within for turn in range(round(360 / within))]
    gaps = []
    for hole in plate.holes():
        for direction in rays:
            along = math.radians(hole.angle - direction)
            away = ORIGIN.distance_to(hole.center)
            off = away * abs(math.sin(along)) if math.cos(along) > 0 else away
            gaps.append(off - hole.diameter / 2)
    return min(gaps)


@given(st.integers(1, 12), st.integers(1, 6), st.integers(1, 6), st.floats(-40, 40), st.floats(0, 360))
def test_the_clearance_of_a_ray_is_that_to_the_nearest_hole_of_all(
    repeats: int, outer: int, inner: int, turn: float, ray: float
) -> None:
    plate = flange(bolt_circle(repeats * outer, 240.0, 3.0), bolt_circle(repeats * inner, 150.0, 5.0, start_angle=turn))
    within = 360.0 / repeats
    assert ray_clearance(plate, ray, within) == pytest.approx(nearest_edge(plate, ray, within), abs=1e-6)


@given(st.integers(2, 8), st.integers(1, 5), st.integers(1, 5), st.floats(-40, 40))
def test_no_ray_stays_farther_from_the_holes_than_the_one_taken(
    repeats: int, outer: int, inner: int, turn: float
) -> None:
    plate = flange(bolt_circle(repeats * outer, 240.0, 3.0), bolt_circle(repeats * inner, 240.0, 3.0, start_angle=turn))
    within = 360.0 / repeats
    taken = nearest_edge(plate, start_ray(plate, within), within)
    others = (nearest_edge(plate, 90.0 + within * (step / 40 - 0.5), within) for step in range(40))
    assert taken >= max(others) - 1e-6


def test_slots_that_all_run_one_way_do_not_repeat() -> None:
    def slots(along: SlotDirection) -> Flange:
        return flange(bolt_circle(8, kind=Slot(30.0, along)))

    assert sector_problem(slots(SlotDirection.X)) == Problem("", FlangeProblem.SLOTS_DO_NOT_REPEAT)
    assert sector_problem(slots(SlotDirection.CIRCLE)) is None
