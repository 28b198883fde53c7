"""The plate and its holes as every output names them."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given

from flangelayout.errors import GeometryError
from flangelayout.flange import Drilling, Flange, HoleGrid, HoleRectangle, HoleRings, RoundOutline, SingleHole
from flangelayout.flange.cutting import CutOptions, HoleCut, hole_cut
from flangelayout.geometry.shapes import Point
from flangelayout.job import Job
from flangelayout.value import replace
from jobs import bolt_circle, flange, jobs, make_job
from rows import every_row


def test_holes_of_one_circle_are_plain_numbers() -> None:
    assert [hole.label for hole in flange().holes()] == ["1", "2", "3", "4", "5", "6", "7", "8"]


def test_holes_of_several_groups_are_lettered_and_single_ones_get_an_x() -> None:
    plate = flange(
        bolt_circle(2, 240.0),
        bolt_circle(2, 150.0),
        single_holes=(SingleHole(Point(50.0, 0.0), Drilling(6.0, name="vent")),),
    )
    holes = plate.holes()
    assert [hole.label for hole in holes] == ["A1", "A2", "B1", "B2", "X1"]
    assert holes[0].source == "bolt circle A, hole 1"
    assert holes[-1].source == "hole X1 (vent)"


def test_a_single_hole_beside_a_circle_makes_two_groups() -> None:
    plate = flange(bolt_circle(1), single_holes=(SingleHole(Point(50.0, 0.0), Drilling(6.0)),))
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


def test_a_plate_places_its_holes_once_and_a_changed_copy_places_its_own() -> None:
    plate = flange()
    assert plate.holes() is plate.holes()
    assert plate.box() is plate.box()
    turned = replace(plate, bolt_circles=(bolt_circle(start_angle=10.0),))
    assert [hole.angle - other.angle for hole, other in zip(turned.holes(), plate.holes(), strict=True)] == [10.0] * 8


@every_row(
    "build",
    [
        lambda: Flange(285.0, (bolt_circle(),)),  # type: ignore[arg-type] # what a person may try
        lambda: Flange(RoundOutline(285.0), [bolt_circle()]),  # type: ignore[arg-type]
        lambda: Flange(RoundOutline(285.0), bolt_circle()),  # type: ignore[arg-type]
        lambda: flange(bore=math.nan),
        lambda: flange(thickness=-1.0),
        lambda: flange(density=0.0),
        lambda: flange(raised_face_height=math.inf),
        lambda: SingleHole(Point(0.0, 0.0), 10.0),  # type: ignore[arg-type]
        lambda: Drilling(math.nan),
        lambda: HoleRectangle(Drilling(10.0), math.nan, 100.0),
        lambda: HoleGrid(Drilling(10.0), 3, 3, 20.0, math.inf),
        lambda: HoleRings(Drilling(10.0), math.nan, 20.0, (6,)),
    ],
)
def test_what_is_no_plate_is_refused_when_built(build: Callable[[], object]) -> None:
    with pytest.raises(GeometryError):
        build()


def test_every_hole_knows_the_job_table_that_asks_for_it() -> None:
    circle = {"diameter": 240, "hole_count": 4, "hole_diameter": 12}
    job = make_job(
        plate={"outside_diameter": 400},
        bolt_circle=[circle, circle | {"diameter": 300}],
        hole_rings=[{"hole_diameter": 6, "first_diameter": 60, "ring_pitch": 20, "hole_counts": [4]}],
        hole_grid=[{"hole_diameter": 6, "columns": 2, "rows": 1, "pitch": 150, "cut": "center mark only"}],
        hole=[{"diameter": 6, "x": 0, "y": 180}, {"diameter": 6, "x": 0, "y": -180}],
    )
    keys = dict.fromkeys(hole.key for hole in job.flange.holes())
    assert list(keys) == ["bolt_circle[1]", "bolt_circle[2]", "hole_grid", "hole_rings", "hole[1]", "hole[2]"]
    marked = {hole.key for hole in job.flange.holes() if hole_cut(hole, job.cut.options, None) is HoleCut.CENTER_MARK}
    assert marked == {"hole_grid"}


def test_a_choice_of_cut_reaches_its_own_table_in_whatever_order_the_plate_has_its_groups() -> None:
    rings = HoleRings(Drilling(6.0, key="hole_rings"), 60.0, 20.0, (4,))
    grid = HoleGrid(Drilling(6.0, key="hole_grid"), 2, 1, 150.0, 150.0)
    options = CutOptions(cuts=(("hole_rings", HoleCut.CENTER_MARK),))
    for patterns in ((rings, grid), (grid, rings)):
        marked = [h for h in flange(patterns=patterns).holes() if hole_cut(h, options, None) is HoleCut.CENTER_MARK]
        assert [hole.diameter for hole in marked] == [6.0] * 4
        assert {hole.key for hole in marked} == {"hole_rings"}


def test_groups_that_come_from_no_job_are_counted_by_kind() -> None:
    grid = HoleGrid(Drilling(6.0), 2, 1, 150.0, 150.0)
    plate = flange(bolt_circle(4), bolt_circle(4, 120.0), patterns=(grid,))
    assert [plate.group_key(group) for group in (0, 1, 2, -1)] == [
        "bolt_circle[1]",
        "bolt_circle[2]",
        "hole_grid",
        "hole",
    ]
