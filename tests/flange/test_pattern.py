"""Where the holes of pairs, rectangles, grids and rings stand."""

import math
from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flangelayout.errors import GeometryError
from flangelayout.flange import (
    BoltCircle,
    Drilling,
    Flange,
    HoleGrid,
    HoleRectangle,
    HoleRings,
    RectangleOutline,
    SingleHole,
    counts_by_pitch,
)
from flangelayout.geometry.shapes import ORIGIN, Point
from rows import every_row

SIZE = Drilling(18.0)


def test_pairs_stand_either_side_of_equally_spaced_middles() -> None:
    angles = BoltCircle(240.0, 8, 22.0, pair_angle=12.0).hole_angles()
    assert angles == pytest.approx([129, 141, 219, 231, 309, 321, 39, 51])


def test_pairs_on_the_centerline_have_their_middles_there() -> None:
    angles = BoltCircle(240.0, 4, 22.0, "on-centerline", pair_angle=20.0, start_angle=5.0).hole_angles()
    assert angles == pytest.approx([105, 265, 285, 85])


@given(st.integers(1, 20), st.floats(0.05, 0.95), st.sampled_from(["straddle", "on-centerline"]))
def test_the_vectors_of_pairs_sum_to_zero(pairs: int, share: float, placement: str) -> None:
    circle = BoltCircle(240.0, 2 * pairs, 22.0, placement, pair_angle=share * 360 / pairs)  # type: ignore[arg-type] # text is taken
    centers = circle.hole_centers()
    steps = sorted((b - a) % 360 for a, b in pairwise(sorted(circle.hole_angles())))
    assert pairs == 1 or [sum(at.x for at in centers), sum(at.y for at in centers)] == pytest.approx([0, 0], abs=1e-9)
    assert min(steps) == pytest.approx(min(share, 1 - share) * 360 / pairs)


@every_row(("count", "angle"), [(7, 12.0), (8, 90.0), (8, -5.0)])
def test_pairs_that_cannot_be_made_are_refused(count: int, angle: float) -> None:
    with pytest.raises(GeometryError, match="cannot stand in pairs"):
        BoltCircle(240.0, count, 22.0, pair_angle=angle)


def test_four_holes_of_a_rectangle_go_counter_clockwise_from_the_top() -> None:
    centers = HoleRectangle(SIZE, 360.0, 220.0).hole_centers()
    assert centers == (Point(-180, 110), Point(-180, -110), Point(180, -110), Point(180, 110))


def test_holes_stand_along_all_four_sides_of_a_rectangle_and_not_within() -> None:
    centers = HoleRectangle(SIZE, 300.0, 200.0, columns=4, rows=3).hole_centers()
    assert len(set(centers)) == len(centers) == 10
    assert all(abs(p.x) == 150 or abs(p.y) == 100 for p in centers)
    angles = [(ORIGIN.direction_to(p) - 90) % 360 for p in centers]
    assert angles == sorted(angles)


def test_a_turned_rectangle_keeps_its_distances() -> None:
    straight = HoleRectangle(SIZE, 300.0, 200.0, 3, 2).hole_centers()
    turned = HoleRectangle(SIZE, 300.0, 200.0, 3, 2, Point(20.0, -7.0), 33.0).hole_centers()
    apart = [a.distance_to(b) for a, b in combinations(straight, 2)]
    assert [a.distance_to(b) for a, b in combinations(turned, 2)] == pytest.approx(apart)
    assert sum(p.x for p in turned) / 6 == pytest.approx(20)


def test_a_grid_is_numbered_row_by_row_from_the_top_left() -> None:
    centers = HoleGrid(SIZE, 3, 2, 25.0, 30.0).hole_centers()
    assert centers[0] == Point(-25, 15)
    assert centers[3] == Point(-25, -15)
    assert centers[-1] == Point(25, -15)


def test_a_staggered_grid_has_six_neighbors_a_pitch_away() -> None:
    centers = HoleGrid(SIZE, 7, 7, 25.0, 25.0 * math.sqrt(3) / 2, staggered=True).hole_centers()
    middle = min(centers, key=ORIGIN.distance_to)
    near = [other for other in centers if other != middle and middle.distance_to(other) < 26]
    assert [middle.distance_to(other) for other in near] == pytest.approx([25.0] * 6)


@given(st.floats(120, 400), st.floats(0, 50))
def test_the_holes_of_a_limited_grid_lie_whole_between_its_limits(within: float, outside: float) -> None:
    every = HoleGrid(SIZE, 15, 15, 25.0, 25.0).hole_centers()
    kept = HoleGrid(SIZE, 15, 15, 25.0, 25.0, within=within + outside, outside=outside).hole_centers()
    fits = [p for p in every if outside / 2 + 9 <= math.hypot(p.x, p.y) <= (within + outside) / 2 - 9]
    assert list(kept) == fits


def test_the_ends_of_rows_and_the_first_of_rings_are_known_by_number() -> None:
    assert HoleGrid(SIZE, 4, 3, 25.0, 25.0).ends() == (1, 4, 5, 8, 9, 12)
    assert HoleGrid(SIZE, 4, 3, 25.0, 25.0, staggered=True).ends() == (1, 4, 5, 7, 8, 11)
    assert HoleRings(SIZE, 0.0, 30.0, (1, 6, 12)).ends() == (1, 2, 8)


def test_rings_stand_a_ring_pitch_apart() -> None:
    rings = HoleRings(SIZE, 0.0, 30.0, (1, 6, 12))
    radii = [round(math.hypot(p.x, p.y), 6) for p in rings.hole_centers()]
    assert radii == [0.0] + [30.0] * 6 + [60.0] * 12
    assert rings.diameters() == (0.0, 60.0, 120.0)


@given(st.floats(0, 100), st.floats(10, 40), st.integers(1, 12), st.floats(10, 40))
def test_neighbors_on_a_ring_are_as_many_as_the_pitch_lets(first: float, ring: float, count: int, pitch: float) -> None:
    for index, found in enumerate(counts_by_pitch(first, ring, count, pitch)):
        diameter = first + 2 * ring * index
        assert found == 1 or diameter * math.sin(math.pi / found) >= pitch - 1e-6
        assert diameter < pitch or diameter * math.sin(math.pi / (found + 1)) < pitch


@every_row(
    ("make", "words"),
    [
        (lambda: HoleRectangle(SIZE, 100, 100, 1, 2), "2 or more holes along each side"),
        (lambda: HoleGrid(SIZE, 200, 100, 25, 25), "20000 holes are more than the 10000"),
        (lambda: HoleGrid(SIZE, 5, 5, 25, 25, within=10), "no hole of the pattern lies within its limits"),
        (lambda: HoleGrid(SIZE, 0, 5, 25, 25), "one column and one row at least"),
        (lambda: HoleRings(SIZE, 0.0, 30.0, (3,)), "3 holes cannot stand on a ring of no diameter"),
        (lambda: HoleRings(SIZE, 50.0, 30.0, ()), "one hole at least"),
        (lambda: Drilling(0.0), "wider than 0"),
    ],
)
def test_what_makes_no_pattern_is_refused(make: "object", words: str) -> None:
    assert callable(make)
    with pytest.raises(GeometryError, match=words):
        make()


def test_groups_are_lettered_on_from_the_bolt_circles() -> None:
    flange = Flange(
        RectangleOutline(400.0, 300.0),
        (BoltCircle(120.0, 4, 14.0),),
        patterns=(HoleRectangle(Drilling(18.0, name="feet"), 340.0, 240.0), HoleGrid(SIZE, 2, 1, 50.0, 50.0)),
        single_holes=(SingleHole(Point(0.0, 0.0), Drilling(10.0)),),
    )
    labels = [hole.label for hole in flange.holes()]
    assert labels == ["A1", "A2", "A3", "A4", "B1", "B2", "B3", "B4", "C1", "C2", "X1"]
    assert flange.group_name(1) == "pattern B (feet)"
    assert [hole.group for hole in flange.holes()] == [0] * 4 + [1] * 4 + [2] * 2 + [-1]
