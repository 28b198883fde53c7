"""Holes that would bear no number in any usual way: they are led to, or stand beyond the rim or beside their holes."""

import math
from typing import Any

import pytest
import shapely

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Label, Leader
from flangelayout.drawing.references import Feature, FeatureRef, GroupRef
from flangelayout.drawing.textwidth import label_box
from flangelayout.geometry.shapes import Arc
from flangelayout.job.load import job_from_data
from flangelayout.packet.job import layout_pages
from flangelayout.writers.pdf import write_pdf
from jobs import make_job
from rows import every_row
from views.awkward_jobs import AWKWARD
from views.printed_page import printed_pages
from views.sheet.test_hole_numbers import all_faults, face_view, hole_places, numbered_plate, numbers

_AT_LUGS = (
    "A",
    {
        "plate": {
            "outline": "lugged",
            "outside_diameter": 240,
            "bore": 150,
            "lug_radius": 22,
            "root_radius": 12,
            "thickness": 12,
        },
        "bolt_circle": [
            {"diameter": 280, "hole_count": 3, "hole_diameter": 18, "start_angle": 20},
            {"diameter": 200, "hole_count": 12, "hole_diameter": 9, "start_angle": 3},
        ],
    },
)
_OF_FEW = (
    "C",
    {
        "units": "in",
        "plate": {"outside_diameter": 18, "bore": 4, "thickness": 1},
        "bolt_circle": [
            {"diameter": 16, "hole_count": 16, "hole_diameter": 1},
            {"diameter": 12.5, "hole_count": 12, "hole_diameter": 0.625, "start_angle": 5},
            {"diameter": 9, "hole_count": 8, "hole_diameter": 0.5, "start_angle": 9},
            {"diameter": 6, "hole_count": 6, "hole_diameter": 0.375},
        ],
    },
)


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
def test_of_two_dense_circles_the_outer_is_numbered_beyond_the_rim(paper: str) -> None:
    """Its own hole is nearer by 1.3 times alone there, but a line from it leads to the number."""
    job = job_from_data(
        {"units": "mm", "job": {"number": "T-1"}, **AWKWARD["many warnings"], "sheet": {"paper": paper}}
    )
    sheets = layout_pages(job)
    view = face_view(sheets.sheets[0])
    plate = numbered_plate(job, view, printed_pages(write_pdf(sheets))[0])
    outer = {label for label in plate.numbers if label.startswith("B")}
    assert outer == {f"B{number}" for number in range(1, 37, 2)} == plate.led & outer
    assert not all_faults(job, sheets)


@pytest.mark.slow
@every_row("circle", [_AT_LUGS, _OF_FEW])
def test_a_circle_of_few_holes_bears_all_its_numbers_beyond_lugs_and_between_other_circles(
    circle: tuple[str, dict[str, Any]],
) -> None:
    letter, tables = circle
    job = make_job(**tables, sheet={"paper": "A4"})
    sheets = layout_pages(job)
    own = {label for label in hole_places(job) if label.startswith(letter)}
    assert own <= set(numbers(face_view(sheets.sheets[0])))
    assert not all_faults(job, sheets)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("outside", "bore", "circle", "count", "hole"),
    [
        (2000, 1700, 1880, 72, 30),
        (2000, 1700, 1880, 88, 30),
        (760, 640, 700, 48, 17.5),
        (2000, 1700, 1880, 44, 30),
        (1560, 1360, 1460, 40, 26),
    ],
)
def test_a_large_ring_of_one_circle_is_numbered_by_one_rule_all_round(
    outside: float, bore: float, circle: float, count: int, hole: float
) -> None:
    """All or every second, and its diameter at the rim where that would cost numbers."""
    circles = [{"diameter": circle, "hole_count": count, "hole_diameter": hole}]
    plate = {"outside_diameter": outside, "bore": bore, "thickness": 35}
    job = make_job(plate=plate, bolt_circle=circles, sheet={"paper": "A4"})
    sheets = layout_pages(job)
    view = face_view(sheets.sheets[0])
    shown = {int(number) for number in numbers(view)}
    assert shown in ({*range(1, count + 1)}, {*range(1, count + 1, 2)})
    assert [item.source for item in view.drawing.items].count(FeatureRef(Feature.OUTSIDE)) == 1
    assert not all_faults(job, sheets)


@pytest.mark.slow
def test_the_arrow_of_counting_lies_on_no_other_circle_and_says_whose_it_is() -> None:
    circles: list[dict[str, float]] = [
        {"diameter": 1320, "hole_count": 64, "hole_diameter": 26},
        {"diameter": 1100, "hole_count": 29, "hole_diameter": 22},
        {"diameter": 560, "hole_count": 24, "hole_diameter": 17.5},
    ]
    plate = {"outside_diameter": 1400, "bore": 400, "thickness": 30}
    view = face_view(layout_pages(make_job(plate=plate, bolt_circle=circles, sheet={"paper": "A4"})).sheets[0])
    drawn = [item for item in view.drawing.items if item.layer is not Layer.CENTERLINE]
    own = [item.what for item in drawn if item.source == GroupRef(0) and not isinstance(item.what, Leader)]
    (said,) = (each.text for each in own if isinstance(each, Label))
    (arc,) = (each for each in own if isinstance(each, Arc))
    assert said == "A: count this way"
    for each in circles:
        assert abs(arc.radius - each["diameter"] / 2) > each["hole_diameter"] / 2 + 1.5 / view.scale


@pytest.mark.slow
def test_an_arrow_of_counting_takes_no_room_from_the_numbers_of_another_circle() -> None:
    """The inside of a split ring is free for the inner circle's numbers, and for both arrows beside them."""
    plate = {"outline": "split", "outside_diameter": 30, "inside_diameter": 22, "part_count": 4, "gap": "1/8"}
    plate |= {"joint": "quarters drawn together by straps, not shown", "thickness": 1}
    circles = [{"diameter": wide, "hole_count": 24, "bolt": bolt} for wide, bolt in ((28, "3/4"), (24, "5/8"))]
    job = make_job(units="in", plate=plate, bolt_circle=circles, sheet={"paper": "Letter"})
    items = face_view(layout_pages(job).sheets[0]).drawing.items
    shown = {item.what.text for item in items if isinstance(item.what, Label)}
    assert {f"B{number}" for number in range(1, 24, 4)} | {"A: count this way", "B: count this way"} <= shown


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
def test_the_few_numbers_that_extension_lines_leave_no_room_for_stand_beyond_them(paper: str) -> None:
    """Of a ring in two halves whose other holes all bear theirs."""
    plate = {"outline": "split", "outside_diameter": 1180, "inside_diameter": 980, "part_count": 2, "gap": 4}
    circles = [
        {"diameter": 1120, "hole_count": 40, "bolt": "M24"},
        {"diameter": 1030, "hole_count": 16, "kind": "countersunk", "bolt": "M12"},
    ]
    job = make_job(plate={**plate, "thickness": 25}, bolt_circle=circles, sheet={"paper": paper})
    sheets = layout_pages(job)
    assert {f"A{number}" for number in (12, 13, 28, 29)} <= set(numbers(face_view(sheets.sheets[0])))
    assert not all_faults(job, sheets)


@pytest.mark.slow
def test_no_number_stands_in_a_window_of_which_it_would_be_the_name() -> None:
    window = {"shape": "window", "inner_diameter": 140, "outer_diameter": 180, "sweep": 40, "count": 4, "angle": 30}
    circles = [
        {"diameter": 270, "hole_count": 6, "hole_diameter": 14},
        {"diameter": 100, "hole_count": 6, "kind": "counterbored", "bolt": "M10"},
    ]
    plate = {"outside_diameter": 320, "bore": 60, "thickness": 16}
    job = make_job(plate=plate, bolt_circle=circles, opening=[window], sheet={"paper": "A4"})
    inside = [at for at in numbers(face_view(layout_pages(job).sheets[0])).values() if 70 < math.hypot(*at) < 90]
    turns = [(math.degrees(math.atan2(y, x)) - 30 + 45) % 90 for x, y in inside]  # from the middle of a window, 45 on
    assert not any(abs(turn - 45) < 20 for turn in turns)


@pytest.mark.slow
def test_a_large_sheet_has_room_for_numbers_all_round_a_ring_for_which_a_small_one_would_draw_it_smaller() -> None:
    circles = [
        {"diameter": 49, "hole_count": 56, "hole_diameter": 0.9375},
        {"diameter": 44.5, "hole_count": 56, "kind": "tapped", "thread": "5/8-11 UNC", "depth": 1},
    ]
    plate = {"outside_diameter": 52, "bore": 41.5, "thickness": 1.5}
    jobs = [
        make_job(units="in", plate=plate, bolt_circle=circles, sheet={"paper": each}) for each in ("Tabloid", "Letter")
    ]
    sheets = layout_pages(jobs[0])
    large, small = face_view(sheets.sheets[0]), face_view(layout_pages(jobs[1]).sheets[0])
    assert (large.scale, small.scale) == (1 / 10, 1 / 10)
    assert {number for number in numbers(large) if number.startswith("A")} >= {f"A{odd}" for odd in range(1, 57, 2)}
    assert not all_faults(jobs[0], sheets)


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
def test_no_number_of_a_circle_stands_alone_on_the_other_side_where_it_fits_closer_to_its_hole(paper: str) -> None:
    """The figures of A10 are wider than those of A9, and a hole of the inner circle lies on that side of it."""
    circles = [
        {"diameter": 14.25, "hole_count": 12, "hole_diameter": 1},
        {"diameter": 7.5, "hole_count": 8, "kind": "tapped", "thread": "5/8-11 UNC"},
    ]
    plate = {"outside_diameter": 16, "bore": 4.5, "thickness": 1.375}
    job = make_job(units="in", plate=plate, bolt_circle=circles, sheet={"paper": paper})
    sheets = layout_pages(job)
    places, at = hole_places(job), numbers(face_view(sheets.sheets[0]))
    outer = [label for label in at if label.startswith("A")]
    assert len(outer) == 12
    assert all(math.hypot(*at[label]) < math.hypot(*places[label]) for label in outer)
    assert not all_faults(job, sheets)


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
@every_row(
    ("outside", "inside", "circles"),
    [
        (520, 380, [(470, 12, {"kind": "spotfaced", "bolt": "M20"}), (410, 8, {"hole_diameter": 8.5})]),
        (1180, 980, [(1120, 40, {"bolt": "M24"}), (1030, 16, {"kind": "countersunk", "bolt": "M12"})]),
        (340, 200, [(300, 8, {"kind": "counterbored", "bolt": "M12"}), (230, 12, {"hole_diameter": 6.8})]),
    ],
)
def test_the_words_at_a_joint_give_way_to_the_numbers_of_the_holes_beside_it(
    outside: float, inside: float, circles: list[tuple[float, int, dict[str, Any]]], paper: str
) -> None:
    """Each hole bears its number, those of a circle all on one side, though the lines of the width leave less room."""
    plate = {
        "outline": "split",
        "outside_diameter": outside,
        "inside_diameter": inside,
        "part_count": 2,
        "gap": 2,
        "thickness": 25,
    }
    rows = [{"diameter": diameter, "hole_count": count, **kind} for diameter, count, kind in circles]
    job = make_job(plate=plate, bolt_circle=rows, sheet={"paper": paper})
    sheets = layout_pages(job)
    view, places = face_view(sheets.sheets[0]), hole_places(job)
    at = numbers(view)
    assert set(at) == set(places)
    for letter in ("A", "B"):
        own = [label for label in at if label.startswith(letter)]
        assert len({math.hypot(*at[label]) < math.hypot(*places[label]) for label in own}) == 1
    assert [item.source for item in view.drawing.items].count(FeatureRef(Feature.JOINT_GAP)) == 1
    assert not all_faults(job, sheets)


@pytest.mark.slow
def test_holes_at_the_edge_of_a_wide_bore_are_numbered_in_it_by_lines_that_lead_to_their_numbers() -> None:
    """They stand too near each other for a number to be half as far again from the next hole."""
    circles = [
        {"diameter": 1440, "hole_count": 72, "hole_diameter": 17.5},
        {"diameter": 1340, "hole_count": 120, "hole_diameter": 5},
    ]
    plate = {"outside_diameter": 1500, "bore": 1300, "thickness": 12}
    job = make_job(plate=plate, bolt_circle=circles, sheet={"paper": "A3"})
    sheets = layout_pages(job)
    view = face_view(sheets.sheets[0])
    shown = {number for number in numbers(view) if number.startswith("B")} - {"B2", "B3"}
    assert shown == {f"B{number}" for number in range(1, 121, 4)}
    assert shown <= numbered_plate(job, view, printed_pages(write_pdf(sheets))[0]).led
    assert not all_faults(job, sheets)


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
def test_a_number_that_a_line_leads_to_stands_on_no_line_of_another_circle(paper: str) -> None:
    """On that line it is read as the number of one of its holes (common practice, no source)."""
    plate = {
        "outline": "lugged",
        "outside_diameter": 9.5,
        "bore": 6.75,
        "lug_radius": 1.125,
        "lug_count": 5,
        "lug_circle": 11,
        "root_radius": 0.5,
        "thickness": 0.625,
    }
    circles = [
        {"diameter": 11, "hole_count": 5, "bolt": "3/4"},
        {"diameter": 8, "hole_count": 10, "kind": "countersunk", "bolt": "3/8", "start_angle": 18},
    ]
    job = make_job(units="in", plate=plate, bolt_circle=circles, sheet={"paper": paper})
    sheets = layout_pages(job)
    view = face_view(sheets.sheets[0])
    labels = [each.what for each in view.drawing.items if isinstance(each.what, Label) and each.what.text[0] == "B"]
    boxes = {each.text: label_box(each, view.scale) for each in labels}
    assert {f"B{number}" for number in range(1, 11)} <= set(boxes)
    line = shapely.Point(0.0, 0.0).buffer(5.5 * 25.4, quad_segs=90).exterior
    assert not [text for text, b in boxes.items() if line.intersects(shapely.box(b.left, b.bottom, b.right, b.top))]
    assert not all_faults(job, sheets)


@pytest.mark.slow
def test_no_number_stands_on_the_row_of_other_holes_beside_one_that_bears_none() -> None:
    """It is read as the name of that hole; rather it stands on the other side, or none does (common practice)."""
    path = [(-200, -140), (200, -140), (200, 60), (90, 160), (-90, 160), (-200, 60)]
    plate = {"outline": "path", "thickness": 16, "path": [{"x": x, "y": y} for x, y in path]}
    job = make_job(
        plate=plate,
        bolt_circle=[{"diameter": 120, "hole_count": 6, "kind": "tapped", "thread": "M12"}],
        hole_rectangle=[{"width": 340, "height": 60, "y": -100, "columns": 4, "rows": 2, "bolt": "M16"}],
        opening=[
            {"diameter": 70, "x": 0, "y": 0},
            {"shape": "slot", "width": 30, "length": 80, "x": 0, "y": 115},
        ],
        sheet={"paper": "A4"},
    )
    sheets = layout_pages(job)
    at, places = numbers(face_view(sheets.sheets[0])), hole_places(job)
    unnamed = [name for name in places if name[0] == "B" and name not in at]
    on_row = [label for label, (_, y) in at.items() if label[0] == "A" and min(abs(y + 70), abs(y + 130)) < 12]
    for label in on_row:
        others = [math.dist(at[label], places[name]) for name in unnamed]
        assert min(others, default=math.inf) > 2.0 * math.dist(at[label], places[label])
    assert not all_faults(job, sheets)


@every_row("paper", ["A4", "Letter"])
def test_a_rectangle_at_the_edge_is_numbered_beside_its_holes_where_the_rays_have_no_room(paper: str) -> None:
    """Toward the middle stand jack screws on the rays of the corners, beyond them is the edge of the plate."""
    edge = {"width": 495, "height": 330, "columns": 3, "rows": 2, "hole_diameter": 20}
    jacks = {"width": 457, "height": 229, "hole_diameter": 11}
    plate = {"outline": "rectangle", "width": 559, "height": 394, "thickness": 22}
    job = make_job(plate=plate, bolt_circle=[], hole_rectangle=[edge, jacks], sheet={"paper": paper})
    sheets = layout_pages(job)
    assert set(numbers(face_view(sheets.sheets[0]))) == set(hole_places(job))
    assert not all_faults(job, sheets)


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
def test_holes_of_a_handle_that_lie_close_above_each_other_are_all_numbered(paper: str) -> None:
    handle = {"width": 76, "height": 19, "hole_diameter": 11}
    circle = {"diameter": 749, "hole_count": 20, "hole_diameter": 34}
    plate = {"outside_diameter": 813, "thickness": 44}
    job = make_job(plate=plate, bolt_circle=[circle], hole_rectangle=[handle], sheet={"paper": paper})
    sheets = layout_pages(job)
    shown = {number for number in numbers(face_view(sheets.sheets[0])) if number.startswith("B")}
    assert shown == {"B1", "B2", "B3", "B4"}
    assert not all_faults(job, sheets)
