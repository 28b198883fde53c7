"""Distances and areas against shapely (general-purpose planar geometry), whose arcs are fine polygons here."""

import math
from itertools import combinations_with_replacement, product

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from as_shapely import polygon, string
from flangelayout.geometry.contours import belt, ring_piece, rounded_polygon, slot, window
from flangelayout.geometry.measure import (
    Edge,
    Spine,
    area,
    crossings,
    distance_to_edge,
    edge_to_edge,
    is_inside,
    signed_area,
    spine_distance,
    spine_to_edge,
)
from flangelayout.geometry.shapes import Arc, Circle, Contour, Line, Point
from rows import every_row

NEAR = 5e-4
"""What the polygons may be off by, in mm."""

numbers = st.floats(-200, 200).map(lambda value: round(value, 3))
places = st.builds(Point, numbers, numbers)
lines = st.builds(Line, places, places)
arcs = st.builds(Arc, places, st.floats(1, 150), st.floats(-360, 360), st.floats(5, 355) | st.floats(-355, -5))
spines: st.SearchStrategy[Spine] = places | lines | arcs

EDGES: dict[str, Edge] = {
    "circle": Circle(Point(10.0, -5.0), 120.0),
    "slot": slot(Line(Point(-60.0, -20.0), Point(70.0, 50.0)), 45.0),
    "curved slot": slot(Arc(Point(0.0, 0.0), 100.0, 20.0, 250.0), 30.0),
    "ring piece": ring_piece(60.0, 140.0, 30.0, 210.0, 2.0),
    "window": window(50.0, 120.0, 90.0, 100.0, 12.0),
    "rounded": rounded_polygon(
        [(Point(-90, -60), 20), (Point(100, -60), 0), (Point(100, 80), 40), (Point(20, 10), 8), (Point(-90, 70), 5)]
    ),
    "belt": belt([Circle(Point(120.0, 0.0), 30.0), Circle(Point(0.0, 0.0), 80.0), Circle(Point(-120.0, 0.0), 30.0)]),
}


@given(one=spines, other=spines)
def test_the_distance_of_points_lines_and_arcs_is_shapelys(one: Spine, other: Spine) -> None:
    assert spine_distance(one, other) == pytest.approx(string(one).distance(string(other)), abs=NEAR)


@every_row("name", EDGES)
def test_areas_are_shapelys(name: str) -> None:
    assert area(EDGES[name]) == pytest.approx(polygon(EDGES[name]).area, rel=1e-5)


@every_row("name", EDGES)
def test_contours_are_valid_polygons_that_run_counter_clockwise(name: str) -> None:
    edge = EDGES[name]
    assert polygon(edge).is_valid
    assert isinstance(edge, Circle) or signed_area(edge) > 0


@every_row("name", EDGES)
def test_the_side_and_distance_of_places_is_shapelys(name: str) -> None:
    edge = EDGES[name]
    shape = polygon(edge)
    shapely.prepare(shape)
    for x in range(-170, 171, 34):
        for y in range(-170, 171, 34):
            place = shapely.Point(x, y)
            away = shape.exterior.distance(place)
            if away > NEAR:
                assert is_inside(edge, Point(x, y)) == shape.contains(place), (x, y)
            expected = away if shape.contains(place) else -away
            assert distance_to_edge(edge, Point(x, y)) == pytest.approx(expected, abs=NEAR)


@pytest.mark.parametrize("name", EDGES)
@given(spine=lines | arcs)
@settings(max_examples=6, deadline=None)
def test_the_distance_from_an_edge_to_a_line_or_arc_is_shapelys(name: str, spine: Line | Arc) -> None:
    expected = polygon(EDGES[name]).exterior.distance(string(spine))
    assert abs(spine_to_edge(EDGES[name], spine)) == pytest.approx(expected, abs=NEAR)


def test_the_metal_round_an_edge_set_in_is_shapelys_inward_offset() -> None:
    edge = EDGES["belt"]
    inside = polygon(edge).buffer(-12.5, quad_segs=400)
    for x, y in ((0, 66), (0, 68.5), (100, 10), (120, 18), (120, 17), (137, 0), (138, 0)):
        assert (distance_to_edge(edge, Point(x, y)) >= 12.5) == inside.covers(shapely.Point(x, y)), (x, y)


def test_a_place_on_the_chord_of_an_end_arc_is_inside() -> None:
    edge = slot(Line(Point(0.0, -40.0), Point(0.0, 40.0)), 18.0)
    assert all(is_inside(edge, Point(x, 40.0)) for x in (-17.0, -3.0, 0.0, 5.0, 17.9))
    assert not any(is_inside(edge, Point(x, 40.0)) for x in (-18.1, 18.1))


@every_row(("other", "one"), combinations_with_replacement(EDGES, 2))
def test_the_distance_between_edges_is_shapelys(one: str, other: str) -> None:
    a, b = EDGES[one], EDGES[other]
    expected = polygon(a).exterior.distance(polygon(b).exterior)
    assert edge_to_edge(a, b) == pytest.approx(expected, abs=NEAR)


def test_two_circles_apart_inside_and_crossing() -> None:
    middle = Circle(Point(0.0, 0.0), 10.0)
    assert edge_to_edge(middle, Circle(Point(25.0, 0.0), 5.0)) == pytest.approx(10.0)
    assert edge_to_edge(middle, Circle(Point(2.0, 0.0), 5.0)) == pytest.approx(3.0)
    assert edge_to_edge(middle, Circle(Point(12.0, 0.0), 5.0)) == 0.0


@every_row(("x", "name"), product([-100.0, -33.3, 0.1, 47.0, 99.0], EDGES))
def test_an_upright_line_crosses_an_edge_where_shapely_says(name: str, x: float) -> None:
    met = polygon(EDGES[name]).intersection(shapely.LineString([(x, -500), (x, 500)]))
    expected = sorted(y for part in getattr(met, "geoms", [met]) if not part.is_empty for _, y in part.coords)
    assert crossings(EDGES[name], x) == pytest.approx(expected, abs=0.01)


def test_a_circular_segment_has_the_area_of_the_formula() -> None:
    half_disc = Contour(
        (Arc(Point(0.0, 0.0), 10.0, 0.0, 180.0), Line(Point(-10.0, 0.0), Point(10.0, 0.0))), closed=True
    )
    assert area(half_disc) == pytest.approx(math.pi * 50)
