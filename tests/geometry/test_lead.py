import math
import random

import pytest
import shapely

from as_shapely import points_of, polygon
from builders import stadium
from flangelayout.errors import GeometryError
from flangelayout.geometry.lead import LedPath, led
from flangelayout.geometry.measure import gap_in_contour, signed_area
from flangelayout.geometry.pieces import tangent_at
from flangelayout.geometry.shapes import Arc, Box, Circle, Contour, Line, Point, rectangle
from plates import random_contour

TOUCH = 0.05
"""Where a lead meets its path, strings of chords overlap by this much in mm at most."""


def in_part(path: LedPath, scrap_inside: bool) -> float:
    """Length in mm of the leads that lies on the part's side of the path."""
    inside = polygon(path.path)
    total = 0.0
    for arc in (path.lead_in, path.lead_out):
        if arc is not None:
            string = shapely.LineString(points_of(arc))
            total += (string.difference(inside) if scrap_inside else string.intersection(inside)).length
    return total


def check_random_leads(seed: int, count: int) -> None:
    rng = random.Random(seed)
    for _ in range(count):
        contour, length, inside = random_contour(rng, rng.uniform(60, 200)), rng.uniform(2, 12), rng.random() < 0.5
        path = led(contour, length, length / 2, inside)
        assert in_part(path, inside) < TOUCH
        check_joints(path)


def check_joints(path: LedPath) -> None:
    """A contour begins where the lead arrives, goes on without a corner and is closed."""
    assert isinstance(path.path, Contour)
    first, last = path.path.parts[0], path.path.parts[-1]
    assert path.lead_in.end.distance_to(first.start) < 1e-9
    assert gap_in_contour(path.path) < 1e-9
    assert tangent_at(path.lead_in, 1.0).distance_to(tangent_at(first, 0.0)) < 1e-9
    if path.lead_out:
        assert path.lead_out.start.distance_to(last.end) < 1e-9
        assert tangent_at(path.lead_out, 0.0).distance_to(tangent_at(last, 1.0)) < 1e-9


def test_leads_of_random_contours_stay_in_the_scrap() -> None:
    check_random_leads(seed=4, count=40)


@pytest.mark.property_deep
def test_leads_of_a_thousand_random_contours_stay_in_the_scrap() -> None:
    check_random_leads(seed=5, count=1000)


@pytest.mark.parametrize("scrap_inside", [True, False])
@pytest.mark.parametrize("radius", [4.0, 11.0, 85.0])
@pytest.mark.parametrize("length", [2.0, 5.0, 12.0])
def test_a_circle_is_entered_at_three_o_clock_without_a_corner(
    radius: float, length: float, scrap_inside: bool
) -> None:
    circle = Circle(Point(7.0, -3.0), radius)
    path = led(circle, length, length / 2, scrap_inside)
    at = Point(7.0 + radius, -3.0)
    assert path.path == circle
    assert path.lead_in.end.distance_to(at) < 1e-9
    way = Point(0.0, 1.0) if scrap_inside else Point(0.0, -1.0)
    assert tangent_at(path.lead_in, 1.0).distance_to(way) < 1e-9
    assert path.lead_out is not None
    assert tangent_at(path.lead_out, 0.0).distance_to(way) < 1e-9
    assert in_part(path, scrap_inside) < TOUCH


def test_a_small_hole_is_pierced_in_its_middle() -> None:
    assert led(Circle(Point(1.0, 2.0), 6.0), 5.0, 0.0, scrap_inside=True).pierce.distance_to(Point(1.0, 2.0)) < 1e-9


def test_a_pierce_is_at_least_its_lead_away_from_an_outline() -> None:
    pierce = led(Circle(Point(0.0, 0.0), 100.0), 5.0, 0.0, scrap_inside=False).pierce
    assert math.hypot(pierce.x, pierce.y) >= 105.0


def test_inner_paths_run_counter_clockwise_and_outer_ones_clockwise() -> None:
    for scrap_inside, sign in ((True, 1), (False, -1)):
        path = led(stadium(), 5.0, 0.0, scrap_inside)
        assert isinstance(path.path, Contour)
        assert math.copysign(1, signed_area(path.path)) == sign


def test_a_lead_in_a_narrow_slot_is_shortened_to_fit() -> None:
    path = led(stadium(60.0, 10.0), 8.0, 8.0, scrap_inside=True)
    assert path.lead_in.radius < 8.0
    assert in_part(path, scrap_inside=True) < TOUCH


def test_a_slot_too_narrow_for_a_quarter_of_the_lead_is_refused() -> None:
    with pytest.raises(GeometryError, match=r"40\.000 mm"):
        led(rectangle(Box(0.0, 0.0, 30.0, 3.0)), 40.0, 0.0, scrap_inside=True)


def test_no_lead_out_is_drawn_unless_asked_for() -> None:
    assert led(stadium(), 5.0, 0.0, scrap_inside=True).lead_out is None
    assert isinstance(led(stadium(), 5.0, 2.0, scrap_inside=True).lead_out, Arc)


def test_the_longest_straight_piece_is_entered_first() -> None:
    path = led(stadium(200.0, 60.0), 5.0, 0.0, scrap_inside=False)
    assert isinstance(path.path, Contour)
    assert isinstance(path.path.parts[0], Line)
