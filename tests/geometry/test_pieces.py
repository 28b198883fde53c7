import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from as_shapely import points_of
from flangelayout.geometry.pieces import (
    length_of,
    meetings,
    part_of,
    point_at,
    share_of,
    tangent_at,
    turned_round,
)
from flangelayout.geometry.shapes import ORIGIN, Arc, Circle, Contour, Line, Point, polar

coordinates = st.floats(-300, 300)
points = st.builds(Point, coordinates, coordinates)
lines = st.builds(Line, points, points).filter(lambda line: line.start.distance_to(line.end) > 1.0)
sweeps = st.floats(5, 359) | st.floats(-359, -5)
arcs = st.builds(Arc, points, st.floats(1, 300), st.floats(-360, 360), sweeps)
any_pieces = lines | arcs
shares = st.floats(0, 1)


@given(any_pieces, shares)
def test_a_place_on_a_piece_has_the_share_it_was_asked_for(piece: Line | Arc, share: float) -> None:
    place = point_at(piece, share)
    assert point_at(piece, share_of(piece, place)).distance_to(place) < 1e-7


@given(any_pieces, st.floats(0.01, 0.99))
def test_two_parts_make_the_whole(piece: Line | Arc, share: float) -> None:
    first, last = part_of(piece, 0.0, share), part_of(piece, share, 1.0)
    assert first.end.distance_to(last.start) < 1e-9
    assert length_of(first) + length_of(last) == pytest.approx(length_of(piece))
    assert first.start.distance_to(piece.start) + last.end.distance_to(piece.end) < 1e-9


@given(any_pieces)
def test_a_turned_piece_runs_from_end_to_start(piece: Line | Arc) -> None:
    back = turned_round(piece)
    assert back.start.distance_to(piece.end) + back.end.distance_to(piece.start) < 1e-9
    assert point_at(back, 0.25).distance_to(point_at(piece, 0.75)) < 1e-9


@given(any_pieces, st.floats(0.1, 0.9))
def test_the_tangent_points_the_way_of_travel(piece: Line | Arc, share: float) -> None:
    step = point_at(piece, share + 1e-6) - point_at(piece, share - 1e-6)
    tangent = tangent_at(piece, share)
    assert (tangent.x * step.x + tangent.y * step.y) == pytest.approx(math.hypot(step.x, step.y), rel=1e-6)


@given(any_pieces, st.floats(0.02, 0.98), st.floats(0, 360), st.floats(5, 300), st.booleans())
def test_pieces_made_to_cross_in_a_place_meet_there(
    one: Line | Arc, share: float, turn: float, reach: float, straight: bool
) -> None:
    place = point_at(one, share)
    if straight:
        other: Line | Arc = Line(polar(reach, turn, place), polar(reach, turn + 180, place))
    else:
        other = Arc(polar(reach, turn, place), reach, turn + 180 - 50, 100.0)
    found = [point_at(one, own) for own, _ in meetings(one, other)]
    grazing = 1e-6 + 1e-9 / max(_turn_between(one, other, place), 1e-9)
    assert min(place.distance_to(point) for point in found) < max(grazing, 1e-6)


@given(any_pieces, any_pieces)
def test_pieces_shapely_finds_apart_do_not_meet(one: Line | Arc, other: Line | Arc) -> None:
    apart = shapely.LineString(points_of(one)).distance(shapely.LineString(points_of(other)))
    assert apart < 0.001 or not list(meetings(one, other))


def _turn_between(one: Line | Arc, other: Line | Arc, place: Point) -> float:
    """Sine of the angle at which two pieces pass a place."""
    a, b = (tangent_at(piece, share_of(piece, place)) for piece in (one, other))
    return abs(a.x * b.y - a.y * b.x)


@given(any_pieces, any_pieces)
def test_a_meeting_lies_on_both_pieces(one: Line | Arc, other: Line | Arc) -> None:
    for share, other_share in meetings(one, other):
        assert point_at(one, share).distance_to(point_at(other, other_share)) < 1e-6


def test_a_line_through_a_circle_meets_it_twice() -> None:
    line, circle = Line(Point(-9.0, 3.0), Point(9.0, 3.0)), Arc(ORIGIN, 5.0, 0.0, 360.0)
    found = sorted(point_at(line, share).x for share, _ in meetings(line, circle))
    assert found == pytest.approx([-4.0, 4.0])


def test_lengths_are_those_of_the_school_formulas() -> None:
    assert length_of(Line(ORIGIN, Point(3.0, 4.0))) == 5.0
    assert length_of(Circle(ORIGIN, 10.0)) == pytest.approx(20 * math.pi)
    assert length_of(Arc(ORIGIN, 10.0, 30.0, -90.0)) == pytest.approx(5 * math.pi)
    half = Arc(ORIGIN, 10.0, 0.0, 180.0)
    assert length_of(Contour((half, Line(half.end, half.start)), closed=True)) == pytest.approx(10 * math.pi + 20)
