"""The angles to hole 1: told of every circle, by the hole list, their arcs off the edges of the plate."""

import math
import re
from itertools import product
from typing import Any

import pytest
import shapely

from as_shapely import points_of, polygon
from flangelayout.drawing.convention import DimensionStyle
from flangelayout.drawing.explode import ARROW_LENGTH, explode
from flangelayout.drawing.model import AngularDimension, Label
from flangelayout.drawing.references import Feature, FeatureRef
from flangelayout.geometry.shapes import Arc, Line, Point
from flangelayout.job import Job
from flangelayout.job.load import job_from_data
from flangelayout.packet.job import layout_pages
from flangelayout.value import replace
from jobs import make_job
from rows import every_row
from views.awkward_jobs import AWKWARD
from views.sheet.test_hole_numbers import all_faults, face_view, hole_places, starter

_EVERY_4TH_BETWEEN = [
    {"diameter": 450, "hole_count": 16, "hole_diameter": 22},
    {"diameter": 340, "hole_count": 12, "hole_diameter": 18, "start_angle": 4},
    {"diameter": 220, "hole_count": 8, "hole_diameter": 14, "start_angle": 11},
]
_NARROW = [
    {"diameter": 220, "hole_count": 60, "hole_diameter": 5},
    {"diameter": 160, "hole_count": 40, "hole_diameter": 5},
    {"diameter": 100, "hole_count": 20, "hole_diameter": 5},
]
_IN_PARTS = {
    "outline": "split",
    "outside_diameter": 500,
    "inside_diameter": 300,
    "part_count": 3,
    "gap": 4,
    "thickness": 15,
}
_OF_PARTS = [
    {"diameter": 440, "hole_count": 18, "bolt": "M16"},
    {"diameter": 350, "hole_count": 9, "hole_diameter": 11},
]
_SIDEWAYS = [
    {"diameter": 280, "hole_count": 6, "hole_diameter": 20, "centerline": "horizontal", "placement": "on-centerline"},
    {"diameter": 200, "hole_count": 5, "hole_diameter": 12, "centerline": "horizontal", "start_angle": 7},
]

LUGS = {
    "plate": {
        "outline": "lugged",
        "outside_diameter": 10,
        "bore": 8.125,
        "lug_radius": 1,
        "lug_width_at_middle": 5,
        "root_radius": 0.5,
        "thickness": 0.625,
    },
    "bolt_circle": [{"diameter": 11.75, "hole_count": 8, "bolt": "3/4"}],
}
_ARMS = {
    "plate": {
        "outline": "spider",
        "hub_diameter": 5,
        "bore": 2,
        "arm_count": 5,
        "arm_circle": 9,
        "arm_end_radius": "3/4",
        "arm_width_at_middle": 3,
        "root_radius": "1/2",
        "thickness": "1/2",
    },
    "bolt_circle": [
        {"diameter": 9, "hole_count": 5, "bolt": "1/2"},
        {"diameter": "3 1/2", "hole_count": 5, "kind": "countersunk", "bolt": "1/4", "start_angle": 36},
    ],
}
_SOLE = {
    "plate": {
        "outline": "rectangle",
        "width": 18,
        "height": 12,
        "corner_radius": "1/2",
        "bore": "6 5/8",
        "thickness": "3/4",
    },
    "bolt_circle": [{"standard": "ASME B16.5 Class 150 NPS 6", "kind": "tapped", "thread": "3/4-10"}],
    "hole_rectangle": [{"width": "16 1/2", "height": "10 1/2", "columns": 3, "rows": 2, "bolt": "5/8"}],
    "opening": [{"shape": "slot", "x": 7, "y": 0, "width": 1, "length": 3}],
}
_TWO_NEAR_TOP = {
    "plate": {"outside_diameter": 16, "bore": 4.5, "thickness": 1.375},
    "bolt_circle": [
        {"diameter": 14.25, "hole_count": 12, "bolt": "7/8"},
        {"diameter": 7.5, "hole_count": 8, "kind": "tapped", "thread": "5/8-11"},
    ],
}
_GASKET = {
    "plate": {"outside_diameter": 11, "bore": 4.25, "thickness": 0.125},
    "bolt_circle": [
        {"diameter": 9.5, "hole_count": 8, "bolt": "3/4"},
        {"diameter": 7.5, "hole_count": 6, "bolt": "1/2", "start_angle": 7.5},
    ],
    "opening": [{"name": "drain", "shape": "slot", "width": 0.5, "length": 1.25, "radius": 3.0, "angle": 270}],
}
_WINDOWS = {
    "plate": {"outside_diameter": 18, "bore": 2.5, "thickness": 0.375},
    "bolt_circle": [
        {"diameter": 16.75, "hole_count": 16, "bolt": "1/2"},
        {"diameter": 3.75, "hole_count": 6, "kind": "countersunk", "bolt": "1/4"},
    ],
}


def awkward(name: str, paper: str) -> Job:
    return job_from_data({"units": "mm", "job": {"number": "T-1"}, **AWKWARD[name], "sheet": {"paper": paper}})


def angles(job: Job) -> list[AngularDimension]:
    items = face_view(layout_pages(job).sheets[0]).drawing.items
    return [each.what for each in items if isinstance(each.what, AngularDimension)]


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["A4", "Letter"])
@every_row(
    ("plate", "circles"),
    [
        (AWKWARD["three circles"]["plate"], AWKWARD["three circles"]["bolt_circle"]),
        ({"outside_diameter": 500, "bore": 120, "thickness": 25}, _EVERY_4TH_BETWEEN),
        ({"outside_diameter": 250, "bore": 60, "thickness": 10}, _NARROW),
        (_IN_PARTS, _OF_PARTS),
        ({"outside_diameter": 340, "bore": 150, "thickness": 30}, _SIDEWAYS),
    ],
)
def test_of_every_circle_whose_hole_1_lies_beside_its_centerline_the_angle_is_told(
    plate: dict[str, Any], circles: list[dict[str, Any]], paper: str
) -> None:
    """The arc of a narrow angle stands outside that of a wider one whose ray would run through its text."""
    job = make_job(plate=plate, bolt_circle=circles, sheet={"paper": paper})
    told: dict[str, float] = {}
    for each in angles(job):
        degrees, letters = re.fullmatch(r"\(([\d.]+)°\) ?(.*)", each.text).groups()  # type: ignore[union-attr]
        told |= dict.fromkeys(letters.split(", "), float(degrees))
    places = hole_places(job)
    wanted: dict[str, float] = {}
    for letter, circle in zip("ABC", circles, strict=False):
        x, y = places[f"{letter}1"]
        off = math.degrees(math.atan2(y, x) if circle.get("centerline") == "horizontal" else math.atan2(-x, y))
        wanted |= {letter: abs(off)} if abs(off) > 0.05 else {}
    assert told == pytest.approx(wanted, abs=0.001)
    assert not all_faults(job)


@every_row(("name", "paper"), product(("lugged-ring", "square-flange", "nine lugs"), ("A4", "Letter")))
def test_the_arc_of_an_angle_and_its_arrows_keep_off_lugs_and_corners(name: str, paper: str) -> None:
    job = awkward(name, paper) if name in AWKWARD else starter(name, paper)
    view = face_view(layout_pages(job).sheets[0])
    (angle,) = (each.what for each in view.drawing.items if isinstance(each.what, AngularDimension))
    past = math.degrees(ARROW_LENGTH / (angle.radius * view.scale))
    arc = shapely.LineString(
        points_of(Arc(angle.center, angle.radius, angle.start_deg - past, angle.sweep_deg + 2 * past))
    )
    (edge,) = (polygon(piece).exterior for piece in job.flange.pieces())
    assert arc.distance(edge) * view.scale > 0.8


@every_row("text", DimensionStyle)
def test_the_text_of_an_angle_stands_at_the_other_end_of_its_arc_where_that_is_asked_for(text: DimensionStyle) -> None:
    """Of an angle to the left of a centerline upward: to the right of it."""
    angle = AngularDimension(Point(0.0, 0.0), 100.0, 90.0, 40.0, "(40°)", text)
    for other_end in (False, True):
        labels = [each for each in explode(replace(angle, other_end=other_end), 0.5) if isinstance(each, Label)]
        assert [label.at.x > 0 for label in labels] == [other_end]


@every_row("text", DimensionStyle)
def test_the_text_of_an_angle_stands_over_a_short_arc_where_that_is_asked_for(text: DimensionStyle) -> None:
    """Wider than it, farther out than all of it, as far aside as asked for, and no piece of the arc is left out."""
    angle = AngularDimension(Point(0.0, 0.0), 100.0, 95.0, 5.0, "(5°)", text, aside_paper=2.0, over_paper=3.0)
    parts = explode(angle, 1.0)
    (label,) = (each for each in parts if isinstance(each, Label))
    (arc,) = (each for each in parts if isinstance(each, Arc))
    assert math.degrees(math.atan2(label.at.y, label.at.x)) == pytest.approx(97.5 + math.degrees(2.0 / 100.0))
    assert label.at.y - label.height_paper / 2 > 100.0 + 3.0
    assert arc.sweep_deg >= 5.0


@every_row("aside", [0.0, 30.0, -30.0])
def test_an_arc_in_a_gap_of_which_a_text_stands_goes_on_behind_both_arrows(aside: float) -> None:
    """An arrow with little behind it and the end of a ray look like a check mark; without room the arc is whole."""
    text = DimensionStyle.LEVEL
    wide = AngularDimension(Point(0.0, 0.0), 60.0, 90.0, 45.0, "(45°) A", text, aside_paper=aside)
    arcs = [each for each in explode(wide, 1.0) if isinstance(each, Arc)]
    assert len(arcs) == 2
    assert all(abs(math.radians(arc.sweep_deg)) * 60.0 > ARROW_LENGTH + 4.0 for arc in arcs)
    narrow = replace(wide, radius=35.0)
    (arc,) = (each for each in explode(narrow, 1.0) if isinstance(each, Arc))
    assert arc.sweep_deg == 45.0


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
@every_row("tables", [_TWO_NEAR_TOP, _GASKET, _WINDOWS])
def test_the_words_of_an_angle_stand_at_their_own_arc_not_across_the_centerline(
    tables: dict[str, Any], paper: str
) -> None:
    """Across from it they are read as those of the arc or the hole on that side (common practice, no source)."""
    job = make_job(units="in", **tables, sheet={"paper": paper})
    told = angles(job)
    assert told
    for angle in told:
        assert angle.start_deg == 90.0 or angle.start_deg + angle.sweep_deg == 90.0
        (label,) = (
            each for each in explode(angle, face_view(layout_pages(job).sheets[0]).scale) if isinstance(each, Label)
        )
        assert (label.at.x < 0) is (angle.start_deg == 90.0)
    assert not all_faults(job)


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
@every_row("tables", [LUGS, _ARMS, _SOLE])
def test_sizes_at_arrows_leave_room_for_the_angle_of_every_circle(tables: dict[str, Any], paper: str) -> None:
    """Words at arrows find other places, and no ray grazes a hole other than its own."""
    job = make_job(units="in", **tables, sheet={"paper": paper})
    assert len(angles(job)) == len(tables["bolt_circle"])
    view = face_view(layout_pages(job).sheets[0])
    rays = [each.what for each in view.drawing.items if each.source == FeatureRef(Feature.FIRST_HOLE_ANGLE)]
    for ray in (shapely.LineString(points_of(each)) for each in rays if isinstance(each, Line)):
        away = [ray.distance(shapely.Point(place)) for place in hole_places(job).values()]
        assert not any(0.05 < off < 0.5 * 25.4 / 2 for off in away)
    assert not all_faults(job)


@pytest.mark.slow
def test_an_angle_that_would_cost_a_step_of_scale_is_told_to_the_hole_on_the_other_side() -> None:
    """Three arcs one above the other leave a Letter sheet no room for the plate at 1:5."""
    circles = [
        {"diameter": 560, "hole_count": 20, "bolt": "M24"},
        {"diameter": 430, "hole_count": 12, "kind": "tapped", "thread": "M20", "depth": 25},
        {"diameter": 290, "hole_count": 8, "bolt": "M16", "kind": "counterbored"},
    ]
    pins = [{"kind": "dowel", "diameter": 12, "radius": 245, "angle": angle} for angle in (45, 225)]
    plate = {"outside_diameter": 620, "bore": 200, "thickness": 35, "material": "carbon steel plate"}
    told = {}
    for paper in ("A4", "Letter"):
        job = make_job(plate=plate, bolt_circle=circles, hole=pins, sheet={"paper": paper})
        first = layout_pages(job).sheets[0]
        items = [item.what for view in first.views for item in view.drawing.items]
        angles = sum(isinstance(what, AngularDimension) for what in items)
        words = " ".join(item.what.text for item in first.furniture if isinstance(item.what, Label))
        told[paper] = first.views[0].scale, angles, "C1 AND C8 EITHER SIDE OF TOP" in words
    assert told == {"A4": (0.2, 3, True), "Letter": (0.2, 3, True)}


@pytest.mark.slow
def test_an_angle_is_rounded_once() -> None:
    circle = {"diameter": 2880, "hole_count": 64, "hole_diameter": 30}
    job = make_job(plate={"outside_diameter": 3000, "bore": 2600}, bolt_circle=[circle])
    assert [each.text for each in angles(job)] == ["(2.813°)"]  # 360 / 128 = 2.8125, a half away from zero
