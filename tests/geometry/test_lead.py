"""Leads against shapely: in the scrap of their own path, smooth where they meet it, clear of what else is cut."""

import math
import random
from itertools import product

import pytest
import shapely

from as_shapely import points_of, polygon
from builders import gap_in_contour, stadium
from flangelayout.geometry import lead as leads
from flangelayout.geometry.lead import LeadsWanted, NoLead, OtherCuts
from flangelayout.geometry.measure import Edge, signed_area
from flangelayout.geometry.pieces import Piece, tangent_at
from flangelayout.geometry.shapes import Arc, Box, Circle, Contour, Line, Point, rectangle
from plates import random_contour
from rows import every_row

TOUCH = 0.05
"""Where a lead meets its path, strings of chords overlap by this much in mm at most."""


class Led:
    """A led path whose lead-in is there."""

    def __init__(self, shape: Edge, lead_in: float, lead_out: float, scrap_inside: bool) -> None:
        found = leads.led(shape, LeadsWanted(lead_in, lead_out, scrap_inside), OtherCuts(1.0))
        assert isinstance(found.lead_in, Line | Arc)
        self.path, self.lead_out = found.path, found.lead_out
        self.lead_in: Piece = found.lead_in

    @property
    def pierce(self) -> Point:
        return self.lead_in.start


def led(shape: Edge, lead_in: float, lead_out: float, scrap_inside: bool) -> Led:
    """The path with its leads, nothing else being cut."""
    return Led(shape, lead_in, lead_out, scrap_inside)


def in_part(path: Led, scrap_inside: bool) -> float:
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


def check_joints(path: Led) -> None:
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


@every_row(("length", "radius", "scrap_inside"), product([2.0, 5.0, 12.0], [4.0, 11.0, 85.0], [True, False]))
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
    assert isinstance(path.lead_in, Arc)
    assert path.lead_in.radius < 8.0
    assert in_part(path, scrap_inside=True) < TOUCH


def test_a_slot_too_narrow_for_an_arc_is_entered_straight_along_it() -> None:
    path = led(stadium(30.0, 3.0), 12.0, 12.0, scrap_inside=True)
    assert isinstance(path.lead_in, Line)
    assert (path.lead_in.start.y, path.lead_in.end.y) == pytest.approx((0.0, 0.0), abs=1e-12)
    assert path.lead_in.start.distance_to(path.lead_in.end) == 12.0
    assert in_part(path, scrap_inside=True) < TOUCH
    assert path.lead_out is None


def test_a_slot_too_narrow_for_any_lead_has_none_and_the_reason() -> None:
    for shape in (rectangle(Box(0.0, 0.0, 30.0, 0.8)), rectangle(Box(0.0, 0.0, 8.0, 3.0))):
        found = leads.led(shape, LeadsWanted(40.0, 0.0, scrap_inside=True), OtherCuts(1.0))
        assert found.lead_in is NoLead.NO_ROOM
        assert found.path == shape


def beside(distance: float) -> OtherCuts:
    """A cut that runs upright ``distance`` mm to the right of x = 50, and one as far above y = 20."""
    others = OtherCuts(2.5)
    others.add(1, Line(Point(50.0 + distance, -500.0), Point(50.0 + distance, 500.0)))
    others.add(1, Line(Point(-500.0, 20.0 + distance), Point(500.0, 20.0 + distance)))
    return others


@every_row("distance", [3.0, 6.0, 8.0, 10.4, 10.6, 30.0])
def test_a_lead_keeps_clear_of_the_cut_beside_it_or_goes_to_another_side(distance: float) -> None:
    shape = rectangle(Box(-50.0, -20.0, 50.0, 20.0))
    found = leads.led(shape, LeadsWanted(8.0, 8.0, scrap_inside=False), beside(distance))
    walls = shapely.union_all(
        [
            shapely.LineString([(50.0 + distance, -500.0), (50.0 + distance, 500.0)]),
            shapely.LineString([(-500.0, 20.0 + distance), (500.0, 20.0 + distance)]),
        ]
    )
    for piece in (found.lead_in, found.lead_out):
        assert isinstance(piece, Arc)
        assert shapely.LineString(points_of(piece)).distance(walls) >= 2.5


def test_a_path_shut_in_by_other_cuts_has_no_lead_and_the_reason() -> None:
    others = OtherCuts(2.5)
    others.add(1, rectangle(Box(-53.0, -23.0, 53.0, 23.0)))
    for shape in (rectangle(Box(-50.0, -20.0, 50.0, 20.0)), Circle(Point(0.0, 0.0), 51.0)):
        found = leads.led(shape, LeadsWanted(8.0, 8.0, scrap_inside=False), others)
        assert found.lead_in is NoLead.OTHER_CUT
        assert found.lead_out is None


def test_a_path_shields_its_leads_from_what_lies_beyond_it() -> None:
    others = OtherCuts(2.5)
    others.add(1, Circle(Point(0.0, 0.0), 10.2))
    found = leads.led(Circle(Point(0.0, 0.0), 10.0), LeadsWanted(4.0, 0.0, scrap_inside=True), others)
    assert isinstance(found.lead_in, Arc)


def test_no_lead_out_is_drawn_unless_asked_for() -> None:
    assert led(stadium(), 5.0, 0.0, scrap_inside=True).lead_out is None
    assert isinstance(led(stadium(), 5.0, 2.0, scrap_inside=True).lead_out, Arc)


def test_the_longest_straight_piece_is_entered_first() -> None:
    path = led(stadium(200.0, 60.0), 5.0, 0.0, scrap_inside=False)
    assert isinstance(path.path, Contour)
    assert isinstance(path.path.parts[0], Line)
