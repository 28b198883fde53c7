import math

import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from flangelayout.geometry.shapes import (
    ORIGIN,
    Arc,
    Box,
    Circle,
    Contour,
    Line,
    Point,
    box_around,
    extent,
    polar,
    rectangle,
)

coordinates = st.floats(-1000, 1000)
points = st.builds(Point, coordinates, coordinates)
radii = st.floats(0.1, 500)
boxes = st.builds(lambda corner, width, height: Box(corner.x, corner.y, corner.x + width, corner.y + height),
                  points, st.floats(0.1, 500), st.floats(0.1, 500))  # fmt: skip


def many_points(arc: Arc) -> shapely.LineString:
    """An arc as a fine string of points."""
    steps = 400
    turns = (arc.start_deg + arc.sweep_deg * step / steps for step in range(steps + 1))
    return shapely.LineString([(point.x, point.y) for point in (polar(arc.radius, turn, arc.center) for turn in turns)])


@given(points, radii, st.floats(-720, 720), st.floats(-360, 360))
def test_the_extent_of_an_arc_is_that_of_its_points(center: Point, radius: float, start: float, sweep: float) -> None:
    arc = Arc(center, radius, start, sweep)
    box = extent(arc)
    sagitta = radius * (1 - math.cos(math.radians(360 / 400 / 2))) + 1e-6
    assert (box.left, box.bottom, box.right, box.top) == pytest.approx(many_points(arc).bounds, abs=sagitta)


@given(points, radii)
def test_the_extent_of_a_circle_is_its_diameter(center: Point, radius: float) -> None:
    box = extent(Circle(center, radius))
    assert (box.width, box.height) == pytest.approx((2 * radius, 2 * radius))
    assert box.center.distance_to(center) < 1e-6


@given(points, points)
def test_the_extent_of_a_line_is_that_of_its_ends(start: Point, end: Point) -> None:
    box = extent(Line(start, end))
    assert (box.left, box.bottom, box.right, box.top) == shapely.LineString([(start.x, start.y), (end.x, end.y)]).bounds


def test_the_extent_of_a_contour_takes_in_its_bulges() -> None:
    half = Arc(ORIGIN, 50.0, 0.0, 180.0)
    assert extent(Contour((half, Line(half.end, half.start)), closed=True)) == Box(-50.0, 0.0, 50.0, 50.0)


@given(points, points)
def test_direction_and_distance_lead_from_point_to_point(one: Point, other: Point) -> None:
    assert polar(one.distance_to(other), one.direction_to(other), one).distance_to(other) < 1e-6


@given(boxes)
def test_a_rectangle_closes_and_fills_its_box(box: Box) -> None:
    contour = rectangle(box)
    corners = [part.start for part in contour.parts]
    assert [part.end for part in contour.parts] == [*corners[1:], corners[0]]
    ring = shapely.Polygon([(corner.x, corner.y) for corner in corners])
    assert ring.area == pytest.approx(box.width * box.height)
    assert shapely.LinearRing(ring.exterior).is_ccw
    assert extent(contour) == box


@given(boxes, boxes)
def test_boxes_overlap_where_shapely_finds_a_common_area(one: Box, other: Box) -> None:
    common = shapely.box(one.left, one.bottom, one.right, one.top).intersection(
        shapely.box(other.left, other.bottom, other.right, other.top)
    )
    assume(common.is_empty or common.area > 1e-9)
    assert one.overlaps(other) == (not common.is_empty)


@given(boxes, points)
def test_a_moved_box_keeps_its_size_and_holds_its_moved_middle(box: Box, step: Point) -> None:
    moved = box.moved(step)
    assert (moved.width, moved.height) == pytest.approx((box.width, box.height))
    assert moved.contains(box.center + step)
    assert moved.grown(1.0).width == pytest.approx(box.width + 2.0)


def test_boxes_that_share_an_edge_do_not_overlap() -> None:
    assert not Box(0.0, 0.0, 1.0, 1.0).overlaps(Box(1.0, 0.0, 2.0, 1.0))


@given(st.lists(points, min_size=1, max_size=20))
def test_the_box_round_points_is_the_least_one(held: list[Point]) -> None:
    box = box_around(held)
    bounds = shapely.MultiPoint([(point.x, point.y) for point in held]).bounds
    assert (box.left, box.bottom, box.right, box.top) == bounds
