"""From the keys of [plate], [[opening]] and the patterns to what is made, and what is said when they will not do."""

import math

import pytest
import shapely

from as_shapely import polygon
from flangelayout.errors import InputError
from flangelayout.flange import FigureEightOutline, HoleGrid, HoleRectangle, HoleRings, LuggedOutline, SplitOutline
from flangelayout.geometry.measure import area
from flangelayout.job import Job
from flangelayout.job.load import job_from_data, job_from_text
from rows import every_row

Data = dict[str, object]


def job(plate: Data, **tables: object) -> Job:
    return job_from_data({"plate": plate, **tables})


def problems(plate: Data, **tables: object) -> list[str]:
    with pytest.raises(InputError) as wrong:
        job(plate, **tables)
    return wrong.value.lines()  # type: ignore[return-value] # a tuple reads as a list here


PLATES: dict[str, tuple[Data, float]] = {
    "round": ({"outside_diameter": 200}, math.pi * 100**2),
    "rectangle": ({"outline": "rectangle", "width": 300, "height": 200}, 300 * 200),
    "square": ({"outline": "square", "width": 130, "corner_radius": 18}, 130**2 - (4 - math.pi) * 18**2),
    "oval": ({"outline": "oval", "length": 220, "width": 120}, 100 * 120 + math.pi * 60**2),
    "split": (
        {"outline": "split", "outside_diameter": 300, "inside_diameter": 200, "part_count": 2},
        math.pi * (150**2 - 100**2),
    ),
    "segment": (
        {"outline": "segment", "outside_diameter": 300, "inside_diameter": 200, "part_count": 4},
        math.pi * (150**2 - 100**2) / 4,
    ),
}


@every_row("name", PLATES)
def test_a_plate_has_the_area_of_its_sizes(name: str) -> None:
    plate, expected = PLATES[name]
    assert sum(area(piece) for piece in job(plate).flange.pieces()) == pytest.approx(expected)


def test_the_same_plate_in_inches_and_millimeters_is_the_same_outline() -> None:
    metric = job({"outline": "rectangle", "width": 254.0, "height": 127.0, "corner_radius": 12.7})
    inches = job_from_data(
        {"units": "in", "plate": {"outline": "rectangle", "width": 10, "height": 5, "corner_radius": 0.5}}
    )
    assert metric.flange.outline == inches.flange.outline


def test_lugs_stand_where_the_holes_of_the_first_circle_are() -> None:
    circle = {"diameter": 236, "hole_count": 6, "hole_diameter": 18}
    plate: Data = {"outline": "lugged", "outside_diameter": 200, "lug_radius": 20, "root_radius": 10, "bore": 150}
    outline = job(plate, bolt_circle=[circle]).flange.outline
    assert isinstance(outline, LuggedOutline)
    assert (outline.lug_count, outline.lug_circle, outline.first_lug_angle) == (6, 236.0, 120.0)


def test_the_bore_of_a_figure_8_is_on_its_ring_side() -> None:
    plate: Data = {"outline": "figure-8", "outside_diameter": 158, "center_distance": 180, "web_width": 60, "bore": 107}
    flange = job(plate).flange
    assert isinstance(flange.outline, FigureEightOutline)
    assert flange.bore is None
    (ring,) = flange.cutouts()
    assert polygon(ring.shape).centroid.x == pytest.approx(90)


def test_joints_stand_midway_between_two_holes() -> None:
    plate: Data = {"outline": "split", "outside_diameter": 360, "inside_diameter": 220, "part_count": 3}
    flange = job(plate, bolt_circle=[{"diameter": 310, "hole_count": 12, "hole_diameter": 18}]).flange
    outline = flange.outline
    assert isinstance(outline, SplitOutline)
    for index in range(3):
        joint = outline.first_joint_angle + index * 120
        nearest = sorted(abs((hole.angle - joint + 180) % 360 - 180) for hole in flange.holes())[:2]
        assert nearest == pytest.approx([15, 15])


def test_a_segment_keeps_the_holes_between_its_joints() -> None:
    plate: Data = {"outline": "segment", "outside_diameter": 1200, "inside_diameter": 1000, "part_count": 4}
    flange = job(plate, bolt_circle=[{"diameter": 1120, "hole_count": 32, "hole_diameter": 26}]).flange
    assert [hole.number for hole in flange.holes()] == list(range(1, 9))
    (piece,) = flange.pieces()
    assert all(polygon(piece).contains(shapely.Point(hole.center.x, hole.center.y)) for hole in flange.holes())


def test_an_opening_repeats_round_the_middle() -> None:
    window = {
        "shape": "window",
        "count": 5,
        "inner_diameter": 60,
        "outer_diameter": 110,
        "sweep": 40,
        "corner_radius": 6,
    }
    flange = job({"outside_diameter": 200}, opening=[window]).flange
    shapes = [polygon(opening.shape) for opening in flange.openings]
    assert len(shapes) == 5
    assert [shape.area for shape in shapes] == pytest.approx([shapes[0].area] * 5)
    assert shapely.union_all(shapes).area == pytest.approx(5 * shapes[0].area)
    assert shapely.union_all(shapes).centroid.distance(shapely.Point(0, 0)) < 1e-3


def test_patterns_come_out_in_order_of_their_tables() -> None:
    flange = job(
        {"outside_diameter": 500},
        hole_rings=[{"hole_diameter": 8, "ring_pitch": 12, "ring_count": 3}],
        hole_grid=[{"hole_diameter": 8, "pitch": 20, "columns": 2, "rows": 2, "x": 100, "layout": "staggered"}],
        hole_rectangle=[{"bolt": "M10", "width": 300, "height": 200}],
    ).flange
    rectangle, grid, rings = flange.patterns
    assert isinstance(rectangle, HoleRectangle)
    assert isinstance(grid, HoleGrid)
    assert isinstance(rings, HoleRings)
    assert rectangle.drilling.diameter == 11.0
    assert grid.pitch_y == pytest.approx(20 * math.sqrt(3) / 2)
    assert rings.counts == (1, 6, 12)


CIRCLE = {"diameter": 150, "hole_count": 10, "hole_diameter": 11}
WRONG: dict[str, tuple[Data, dict[str, object], str]] = {
    "missing size": (
        {"outline": "rectangle", "width": 300},
        {},
        'plate.height: is missing for outline = "rectangle"',
    ),
    "key of another outline": (
        {"outside_diameter": 200, "lug_radius": 20},
        {},
        'plate.lug_radius: does not belong to outline = "round" but to "lugged"; leave it out or change the outline',
    ),
    "unknown outline": ({"outline": "hexagon"}, {}, 'plate.outline: "hexagon" is not possible; use'),
    "misspelled": ({"outline": "oval", "lenght": 200}, {}, "plate.lenght: unknown key; did you mean length?"),
    "sizes that contradict": (
        {"outline": "oval", "length": 100, "width": 120},
        {},
        "an oval 100 mm long is not longer",
    ),
    "ring of nothing": (
        {"outline": "split", "outside_diameter": 200, "inside_diameter": 210, "part_count": 2},
        {},
        "plate.outline: an inside of 210 mm leaves nothing of a ring of 200 mm",
    ),
    "bore of a split ring": (
        {"outline": "split", "outside_diameter": 200, "inside_diameter": 100, "part_count": 2, "bore": 100},
        {},
        "plate.bore: is the inside_diameter of a ring in parts; leave it out",
    ),
    "parts that do not share the holes": (
        {"outline": "split", "outside_diameter": 200, "inside_diameter": 100, "part_count": 4},
        {"bolt_circle": [CIRCLE]},
        "plate.outline: 10 holes cannot be shared by 4 parts with every joint midway between two holes",
    ),
    "lugs without a circle": (
        {"outline": "lugged", "outside_diameter": 200, "lug_radius": 20},
        {},
        "plate.outline: there is no bolt circle to take lug_count from; write lug_count",
    ),
    "one corner": ({"outline": "path", "path": [{"x": 0, "y": 0}]}, {}, "plate.path"),
    "crossed path": (
        {"outline": "path", "path": [{"x": x, "y": y} for x, y in ((0, 0), (90, 90), (90, 0), (0, 90))]},
        {},
        "plate.outline: the path crosses itself near",
    ),
    "opening over the edge": (
        {"outline": "square", "width": 100},
        {"opening": [{"diameter": 40, "x": 40, "y": 0}]},
        "opening: the opening runs 10.00 mm over the edge of the plate of 100 × 100 mm",
    ),
    "opening into the bore": (
        {"outside_diameter": 200, "bore": 60},
        {"opening": [{"diameter": 40, "x": 40, "y": 0}]},
        "run into each other",
    ),
    "opening without a place": ({"outside_diameter": 200}, {"opening": [{"diameter": 40}]}, "opening: needs its place"),
    "opening of another shape": (
        {"outside_diameter": 200},
        {"opening": [{"shape": "slot", "diameter": 40, "length": 50, "width": 10, "x": 0, "y": 0}]},
        'opening.diameter: does not belong to shape = "slot" but to "circle"',
    ),
    "slot opening too short": (
        {"outside_diameter": 200},
        {"opening": [{"shape": "slot", "length": 10, "width": 10, "x": 0, "y": 0}]},
        "opening: a slot 10 mm long is not longer than its width of 10 mm",
    ),
    "window inside out": (
        {"outside_diameter": 200},
        {"opening": [{"shape": "window", "inner_diameter": 90, "outer_diameter": 80, "sweep": 30}]},
        "opening: its inner_diameter of 90 mm is not less than the outer one, 80 mm",
    ),
    "hole over the edge of a lug": (
        {"outline": "square", "width": 100},
        {"bolt_circle": [{"diameter": 98, "hole_count": 4, "hole_diameter": 11, "placement": "on-centerline"}]},
        "runs 4.50 mm over the edge of the plate of 100 × 100 mm",
    ),
    "hole in a joint": (
        {
            "outline": "split",
            "outside_diameter": 200,
            "inside_diameter": 100,
            "part_count": 2,
            "first_joint_angle": 108,
        },
        {"bolt_circle": [CIRCLE]},
        "over the edge of the plate",
    ),
    "grid without a pitch": (
        {"outside_diameter": 200},
        {"hole_grid": [{"hole_diameter": 8, "columns": 2, "rows": 2}]},
        "hole_grid.pitch: is missing; write pitch, or pitch_x and pitch_y",
    ),
    "grid too tight": (
        {"outside_diameter": 200},
        {"hole_grid": [{"hole_diameter": 8, "pitch": 7, "columns": 3, "rows": 3}]},
        "overlap by 1.00 mm (centers 7.00 mm apart)",
    ),
    "rings told twice": (
        {"outside_diameter": 200},
        {"hole_rings": [{"hole_diameter": 8, "ring_pitch": 12, "ring_count": 3, "hole_counts": [1, 6]}]},
        "hole_rings.ring_count: is 3, but hole_counts has 2",
    ),
    "raised face over the edge": (
        {"outline": "rectangle", "width": 100, "height": 60, "raised_face_diameter": 80},
        {},
        "plate.raised_face_diameter: a raised face of 80 mm runs 10.00 mm over the edge",
    ),
}


@every_row("name", WRONG)
def test_what_will_not_do_is_said_with_its_key_and_its_numbers(name: str) -> None:
    plate, tables, words = WRONG[name]
    lines = problems(plate, **tables)
    assert any(words in line for line in lines), lines


def test_everything_wrong_is_told_at_once_and_with_its_line() -> None:
    text = """
[plate]
outline = "paddle"
outside_diameter = 218
bore_diameter = 10
gap = 2

[[hole_grid]]
hole_diameter = 8
columns = 3
rows = 3
"""
    with pytest.raises(InputError) as wrong:
        job_from_text(text)
    lines = "\n".join(wrong.value.lines())
    assert "line 5: plate.bore_diameter: unknown key; it is written bore" in lines
    assert "line 8: hole_grid.pitch: is missing; write pitch, or pitch_x and pitch_y" in lines


def test_several_missing_sizes_are_told_together() -> None:
    lines = problems({"outline": "paddle", "gap": 2}, hole_grid=[{"columns": 3, "rows": 3}])
    told = [line.partition(":")[0] for line in lines]
    assert told == [
        "plate.gap",
        "plate.outside_diameter",
        "plate.handle_length",
        "plate.handle_width",
        "hole_grid.hole_diameter",
    ]
