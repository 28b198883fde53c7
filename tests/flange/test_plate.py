"""The plate and its holes as every output names them."""

import pytest
from hypothesis import given

from flangelayout.flange import SingleHole
from flangelayout.geometry.shapes import Point
from flangelayout.job import Job
from jobs import bolt_circle, flange, jobs, make_job


def test_holes_of_one_circle_are_plain_numbers() -> None:
    assert [hole.label for hole in flange().holes()] == ["1", "2", "3", "4", "5", "6", "7", "8"]


def test_holes_of_several_groups_are_lettered_and_single_ones_get_an_x() -> None:
    plate = flange(
        bolt_circle(2, 240.0), bolt_circle(2, 150.0), single_holes=(SingleHole(Point(50.0, 0.0), 6.0, "vent"),)
    )
    holes = plate.holes()
    assert [hole.label for hole in holes] == ["A1", "A2", "B1", "B2", "X1"]
    assert holes[0].source == "bolt circle A, hole 1"
    assert holes[-1].source == "hole X1 (vent)"


def test_a_single_hole_beside_a_circle_makes_two_groups() -> None:
    plate = flange(bolt_circle(1), single_holes=(SingleHole(Point(50.0, 0.0), 6.0),))
    assert [hole.label for hole in plate.holes()] == ["A1", "X1"]


def test_single_holes_alone_are_a_group_of_their_own() -> None:
    places = {"x": 0, "y": -100}, {"radius": 110, "angle": 0}
    job = make_job(bolt_circle=[], hole=[{"diameter": 6, **place} for place in places])
    assert [hole.label for hole in job.flange.holes()] == ["X1", "X2"]
    assert [hole.angle for hole in job.flange.holes()] == [270.0, 0.0]


def test_no_letter_of_a_circle_is_the_x_of_single_holes() -> None:
    plate = flange(*(bolt_circle(1, 100.0 + index) for index in range(50)))
    letters = [plate.group_letter(group) for group in range(50)]
    assert len(set(letters)) == 50
    assert not any("X" in letter for letter in letters)
    assert letters[:3] == ["A", "B", "C"]
    assert letters[24:26] == ["Z", "AA"]


def test_skipped_holes_keep_the_numbers_of_the_others() -> None:
    assert [hole.label for hole in flange(bolt_circle(4, skipped=(2,))).holes()] == ["1", "3", "4"]


def test_the_corner_datum_is_the_lower_left_corner_of_the_enclosing_square() -> None:
    box = flange(outside_diameter=285.0).box()
    assert (box.left, box.bottom, box.width, box.height) == (-142.5, -142.5, 285.0, 285.0)


@given(jobs())
def test_every_hole_has_a_label_of_its_own_and_stands_where_its_angle_says(job: Job) -> None:
    holes = job.flange.holes()
    assert len({hole.label for hole in holes}) == len(holes)
    for hole in holes:
        ray = Point(0.0, 0.0).direction_to(hole.center) % 360.0
        assert (hole.angle - ray + 180.0) % 360.0 - 180.0 == pytest.approx(0.0, abs=1e-6)
