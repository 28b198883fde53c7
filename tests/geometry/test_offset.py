"""Offsets against shapely's buffers, an independent library whose round joins are what a round cutter leaves."""

import math
import random

import pytest
import shapely

from as_shapely import polygon
from builders import gap_in_contour, stadium
from flangelayout.errors import GeometryError
from flangelayout.geometry.contours import reversed_contour
from flangelayout.geometry.measure import Edge, signed_area
from flangelayout.geometry.offset import grown
from flangelayout.geometry.shapes import ORIGIN, Arc, Box, Circle, Contour, Line, Point, rectangle
from plates import filleted, random_contour
from rows import every_row

SHAPELY_AGREES = 0.005
"""Most in mm that an offset may be away from shapely's buffer (the acceptance of the cut options)."""


def away_from_buffer(shape: Edge, by: float, moved: Edge) -> float:
    """Greatest distance in mm between an offset edge and shapely's."""
    buffer = polygon(shape).buffer(by, quad_segs=400)
    assert buffer.geom_type == "Polygon"
    return float(shapely.hausdorff_distance(polygon(moved).exterior, buffer.exterior))


def check_random_offsets(seed: int, count: int) -> tuple[float, int]:
    """The worst distance from shapely's buffers over ``count`` contours, and how many were refused."""
    rng, worst, refused = random.Random(seed), 0.0, 0
    for _ in range(count):
        contour, by = random_contour(rng, rng.uniform(60, 200)), rng.uniform(0.3, 4.0) * rng.choice([1, -1])
        buffer = polygon(contour).buffer(by, quad_segs=100)
        try:
            moved = grown(contour, by)
        except GeometryError:
            refused += 1
            assert buffer.geom_type != "Polygon" or buffer.is_empty or buffer.interiors
            continue
        assert isinstance(moved, Contour)
        assert gap_in_contour(moved) < 1e-5
        assert math.copysign(1, signed_area(moved)) == math.copysign(1, signed_area(contour))
        worst = max(worst, away_from_buffer(contour, by, moved))
    return worst, refused


def test_offsets_of_random_contours_are_the_buffers_of_shapely() -> None:
    worst, refused = check_random_offsets(seed=11, count=4)
    assert worst < SHAPELY_AGREES
    assert refused == 0


@pytest.mark.property_deep
def test_offsets_of_a_thousand_random_contours_are_the_buffers_of_shapely() -> None:
    worst, refused = check_random_offsets(seed=2026, count=1000)
    assert worst < SHAPELY_AGREES
    assert refused <= 2


@every_row("by", [3.0, -3.0])
def test_a_circle_differs_in_radius_by_the_offset(by: float) -> None:
    assert grown(Circle(Point(4.0, 5.0), 11.0), by) == Circle(Point(4.0, 5.0), 11.0 + by)


@every_row("by", [2.0, -2.0])
def test_arcs_stay_arcs_about_the_same_centers(by: float) -> None:
    moved = grown(stadium(), by)
    assert isinstance(moved, Contour)
    arcs = [part for part in moved.parts if isinstance(part, Arc)]
    assert len(moved.parts) == 4
    assert {(arc.center.x, arc.center.y) for arc in arcs} == {(100.0, 0.0), (-100.0, 0.0)}
    assert [arc.radius for arc in arcs] == pytest.approx([50.0 + by] * 2)


def test_a_square_grown_has_round_corners_and_shrunk_has_sharp_ones() -> None:
    square = rectangle(Box(0.0, 0.0, 40.0, 40.0))
    out, inward = grown(square, 3.0), grown(square, -3.0)
    assert isinstance(out, Contour)
    assert isinstance(inward, Contour)
    assert [part.radius for part in out.parts if isinstance(part, Arc)] == pytest.approx([3.0] * 4)
    assert signed_area(out) == pytest.approx(40 * 40 + 4 * 40 * 3 + math.pi * 9)
    assert len(inward.parts) == 4
    assert signed_area(inward) == pytest.approx(34 * 34)


def test_a_fillet_smaller_than_the_offset_becomes_a_sharp_inner_corner() -> None:
    corners = [Point(0, 0), Point(60, 0), Point(60, 60), Point(30, 60), Point(30, 30), Point(0, 30)]
    contour = filleted(corners, [0, 0, 0, 0, 1.5, 0])
    moved = grown(contour, 2.0)
    assert isinstance(moved, Contour)
    assert min(part.radius for part in moved.parts if isinstance(part, Arc)) == pytest.approx(2.0)
    assert away_from_buffer(contour, 2.0, moved) < SHAPELY_AGREES


def test_a_contour_that_runs_clockwise_still_does() -> None:
    clockwise = reversed_contour(stadium())
    moved = grown(clockwise, 2.0)
    assert isinstance(moved, Contour)
    assert signed_area(moved) < 0
    assert away_from_buffer(clockwise, 2.0, moved) < SHAPELY_AGREES


def test_no_offset_changes_nothing() -> None:
    assert grown(stadium(), 0.0) == stadium()


@every_row("shape", [Circle(ORIGIN, 3.0), rectangle(Box(0.0, 0.0, 50.0, 6.0)), stadium(50.0, 6.0)])
def test_an_offset_that_closes_a_shape_is_refused(shape: Edge) -> None:
    with pytest.raises(GeometryError, match=r"3\.100 mm"):
        grown(shape, -3.1)


def test_an_offset_that_parts_a_shape_in_two_is_refused() -> None:
    waist = [Point(0, 0), Point(40, 0), Point(45, 18), Point(50, 0), Point(90, 0), Point(90, 40),
             Point(50, 40), Point(45, 22), Point(40, 40), Point(0, 40)]  # fmt: skip
    with pytest.raises(GeometryError, match="falls apart into 2"):
        grown(filleted(waist, [0.0] * len(waist)), -3.0)


def test_a_notch_narrower_than_the_cut_is_refused() -> None:
    corners = [Point(0, 0), Point(80, 0), Point(80, 40), Point(41, 40), Point(45, 10), Point(35, 10),
               Point(39, 40), Point(0, 40)]  # fmt: skip
    with pytest.raises(GeometryError, match="falls apart"):
        grown(filleted(corners, [0.0] * len(corners)), 2.0)


@every_row(("turn", "by"), [(1e-9, 4.0), (1e-7, -4.0), (1e-5, 4.0), (1e-4, -4.0), (1e-2, 4.0)])
def test_a_corner_that_hardly_turns_does_not_open_the_path(turn: float, by: float) -> None:
    bent = Point(50.0, -50.0 * turn)
    corners = (Point(0.0, 0.0), bent, Point(100.0, 0.0), Point(100.0, 60.0), Point(0.0, 60.0))
    for sign in (1, -1):
        contour = Contour(
            tuple(
                Line(Point(a.x, a.y * sign), Point(b.x, b.y * sign)) if index < 2 else Line(a, b)
                for index, (a, b) in enumerate(zip(corners, (*corners[1:], corners[0]), strict=True))
            ),
            closed=True,
        )
        moved = grown(contour, by)
        assert away_from_buffer(contour, by, moved) < SHAPELY_AGREES
