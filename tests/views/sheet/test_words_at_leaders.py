"""Words at leaders: nothing runs between their lines, no other words are read with them, no leader crosses another."""

from itertools import combinations, pairwise
from typing import Any

import pytest
import shapely

from as_shapely import polygon
from flangelayout.drawing.explode import explode, exploded
from flangelayout.drawing.model import AngularDimension, Label, Leader, View
from flangelayout.drawing.references import GroupRef, HoleRef, OpeningRef
from flangelayout.drawing.textwidth import label_corners
from flangelayout.geometry.shapes import Line
from flangelayout.job import Job
from flangelayout.job.load import job_from_data
from flangelayout.packet.job import layout_pages
from jobs import job_data
from rows import every_row
from views.sheet.test_angles import LUGS
from views.sheet.test_hole_numbers import all_faults, face_view, numbers, starter
from views.sheet.test_overlap import faults
from views.sheet_reader import polylines

_LUGGED: dict[str, Any] = {"units": "in"} | LUGS
_RAISED: dict[str, Any] = {
    "plate": {
        "outside_diameter": 220,
        "bore": 115,
        "thickness": 22,
        "raised_face_diameter": 158,
        "raised_face_height": 3,
        "bore_chamfer": 2,
    },
    "bolt_circle": [{"diameter": 180, "hole_count": 8, "hole_diameter": 18}],
}
_BASE: dict[str, Any] = {
    "plate": {
        "outline": "rectangle",
        "width": 500,
        "height": 350,
        "corner_radius": 30,
        "bore": 120,
        "thickness": 20,
    },
    "hole_rectangle": [{"width": 440, "height": 290, "columns": 4, "rows": 3, "bolt": "M16"}],
    "bolt_circle": [{"diameter": 180, "hole_count": 6, "kind": "tapped", "thread": "M12"}],
    "opening": [
        {"shape": "slot", "width": 30, "length": 90, "x": 170, "y": 60},
        {"shape": "rectangle", "width": 60, "height": 40, "corner_radius": 5, "x": -165, "y": -60},
    ],
}

_WINDOWS: dict[str, Any] = {
    "plate": {"outside_diameter": 600, "bore": 90, "thickness": 16},
    "bolt_circle": [
        {"diameter": 560, "hole_count": 24, "bolt": "M12"},
        {"diameter": 130, "hole_count": 6, "bolt": "M10"},
    ],
    "opening": [
        {
            "name": "lightening",
            "shape": "window",
            "count": 5,
            "inner_diameter": 200,
            "outer_diameter": 500,
            "sweep": 50,
            "corner_radius": 15,
            "angle": 90,
        },
        {"name": "cable", "shape": "slot", "width": 20, "length": 60, "radius": 178, "angle": 54},
        {"name": "sight", "shape": "circle", "diameter": 35, "radius": 178, "angle": 126},
    ],
}
_OVAL: dict[str, Any] = {
    "plate": {"outline": "oval", "length": 170, "width": 100, "end_radius": 26, "bore": 62, "thickness": 14},
    "bolt_circle": [{"diameter": 124, "hole_count": 2, "start_angle": 0, "bolt": "M14"}],
}


def _job(tables: dict[str, Any], paper: str) -> Job:
    return job_from_data(job_data(**tables, sheet={"paper": paper}))


def _rows(view: View, leader: Leader) -> list[shapely.Polygon]:
    """The rooms of a leader's words, row by row."""
    labels = (part for part in explode(leader, view.scale) if isinstance(part, Label))
    return [_room(label, view.scale) for label in labels]


def _between(first: shapely.Polygon, second: shapely.Polygon) -> shapely.Polygon:
    """What two rows enclose."""
    left, right = max(first.bounds[0], second.bounds[0]), min(first.bounds[2], second.bounds[2])
    return shapely.box(left, second.bounds[1], right, first.bounds[3])


def _room(label: Label, scale: float) -> shapely.Polygon:
    return shapely.Polygon([(at.x, at.y) for at in label_corners(label, scale)])


def _lines(view: View, leader: Leader) -> shapely.Geometry:
    """Its line and its shelf."""
    parts = [part for part in explode(leader, view.scale) if isinstance(part, Line)]
    return shapely.MultiLineString([[(each.start.x, each.start.y), (each.end.x, each.end.y)] for each in parts])


@pytest.mark.slow
@every_row("tables", [_LUGGED, _RAISED, _BASE])
@every_row("paper", ["A4", "Letter"])
def test_leaders_cross_no_others_and_nothing_stands_between_or_beside_their_words(
    tables: dict[str, Any], paper: str
) -> None:
    """No other words within nearly 1.5 printed mm of those of a pattern (common practice, no source)."""
    view = face_view(layout_pages(_job(tables, paper)).sheets[0])
    items = [each for each in view.drawing.items if isinstance(each.what, Leader)]
    leaders = [each.what for each in items if isinstance(each.what, Leader)]
    assert not any(_lines(view, one).intersects(_lines(view, other)) for one, other in combinations(leaders, 2))
    drawn = [(item.what, part) for item, part in exploded(view.drawing.items, view.scale)]
    for item, leader in zip(items, leaders, strict=True):
        rows = _rows(view, leader)
        others = [part for what, part in drawn if what is not leader]
        strokes = [[(at.x, at.y) for at in line] for part in others for line in polylines(part)]
        assert not any(_between(*pair).intersects(shapely.MultiLineString(strokes)) for pair in pairwise(rows))
        rooms = [_room(part, view.scale) for part in others if isinstance(part, Label) and part.text]
        apart = min(row.distance(room) for row in rows for room in rooms) * view.scale
        assert apart > (1.45 if isinstance(item.source, GroupRef) else 0.5)


@pytest.mark.slow
def test_words_at_leaders_stand_less_far_left_where_a_sheet_is_too_narrow_else() -> None:
    """A plate 220 wide and 165 high stands on A4 at 1:2, as on Letter, with its tables and notes beside it."""
    for paper in ("A4", "Letter"):
        job = starter("shaped-plate", paper)
        sheets = layout_pages(job)
        assert (sheets.sheets[0].views[0].scale, len(sheets.sheets)) == (1 / 2, 2)
        assert not faults(job, sheets)


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
def test_call_outs_of_openings_cost_no_step_of_scale(paper: str) -> None:
    """600 mm at 1:5 are two thirds of the paper's width, and every hole has its number then."""
    job = _job(_WINDOWS, paper)
    sheets = layout_pages(job)
    view = face_view(sheets.sheets[0])
    assert (view.scale, len(numbers(view))) == (1 / 5, 30)
    assert not all_faults(job, sheets)
    assert not faults(job, sheets)


@every_row("paper", ["A4", "Letter"])
def test_a_pair_of_bolts_measured_across_has_no_angle(paper: str) -> None:
    """They lie on a centerline, which the view shows (ISO 129-1, from memory); the plate stands at full size then."""
    view = face_view(layout_pages(_job(_OVAL, paper)).sheets[0])
    assert view.scale == 1
    assert not any(isinstance(each.what, AngularDimension) for each in view.drawing.items)


_TWO_CHAMBERS: dict[str, Any] = {
    "plate": {"outline": "rectangle", "width": 420, "height": 280, "corner_radius": 25, "thickness": 2},
    "bolt_circle": [],
    "hole_rectangle": [{"width": 384, "height": 244, "columns": 5, "rows": 4, "hole_diameter": 11, "bolt": "M10"}],
    "opening": [
        {"shape": "rectangle", "x": x, "y": 0, "width": 150, "height": 190, "corner_radius": 12} for x in (-90, 90)
    ],
}
_SHAFT_AND_SLOT: dict[str, Any] = {
    "plate": {
        "outline": "path",
        "thickness": 16,
        "path": [
            *({"x": x, "y": -140, "corner_radius": 15} for x in (-200, 200)),
            {"x": 200, "y": 60},
            *({"x": x, "y": 160, "corner_radius": 20} for x in (90, -90)),
            {"x": -200, "y": 60},
        ],
    },
    "bolt_circle": [{"diameter": 120, "hole_count": 6, "kind": "tapped", "thread": "M12"}],
    "hole_rectangle": [{"width": 340, "height": 60, "x": 0, "y": -100, "columns": 4, "rows": 2, "bolt": "M16"}],
    "opening": [{"diameter": 70, "x": 0, "y": 0}, {"shape": "slot", "width": 30, "length": 80, "x": 0, "y": 115}],
}


@pytest.mark.slow
@pytest.mark.parametrize(
    "data",
    [_TWO_CHAMBERS, pytest.param(_SHAFT_AND_SLOT, marks=pytest.mark.slow)],
    ids=["two chambers", "shaft and slot"],
)
def test_what_is_said_of_an_opening_is_taken_for_no_other(data: dict[str, Any]) -> None:
    """Words in an opening are read as its own, a line on a centerline as that (common practice, no source)."""
    job = job_from_data(job_data(**data, sheet={"paper": "A4"}))
    view = face_view(layout_pages(job).sheets[0])
    shapes = {each.number: polygon(each.shape) for each in job.flange.openings}
    said = [(each.what, each.source.number) for each in view.drawing.items if isinstance(each.source, OpeningRef)]
    leaders = [(what, number) for what, number in said if isinstance(what, Leader)]
    assert {number for _, number in leaders} == set(shapes)
    for leader, number in leaders:
        others = shapely.union_all([shape for other, shape in shapes.items() if other != number])
        line = shapely.LineString([(leader.tip.x, leader.tip.y), (leader.elbow.x, leader.elbow.y)])
        assert not line.intersects(others)
        assert (leader.tip.x, leader.elbow.x) != (0.0, 0.0)
        assert (leader.tip.y, leader.elbow.y) != (0.0, 0.0)
        for part in explode(leader, view.scale):
            if isinstance(part, Label):
                room = shapely.Polygon([(at.x, at.y) for at in label_corners(part, view.scale)])
                assert not room.intersects(others)


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
def test_the_words_of_a_single_hole_are_not_read_as_the_second_line_of_a_size(paper: str) -> None:
    """Nowhere above the plate is a place: below it they stand off those of its diameter by more than a line's height.

    Four printed mm, as of patterns: common practice, no source.
    """
    plate = {"outside_diameter": 300, "bore": 80, "thickness": 30}
    circle = {"diameter": 250, "hole_count": 8, "bolt": "M20"}
    hole = {"kind": "tapped", "thread": "M12", "x": 90, "y": 0}
    recess = {"kind": "recess", "face": "face", "diameter": 120, "depth": 5}
    tables = job_data(plate=plate, bolt_circle=[circle], hole=[hole], turned=[recess], sheet={"paper": paper})
    view = face_view(layout_pages(job_from_data(tables)).sheets[0])
    leaders = [item for item in view.drawing.items if isinstance(item.what, Leader)]
    (single,) = (item for item in leaders if isinstance(item.source, HoleRef))
    others = exploded([item for item in view.drawing.items if item is not single], view.scale)
    rooms = [_room(what, view.scale) for _, what in others if isinstance(what, Label)]
    assert isinstance(single.what, Leader)
    assert shapely.unary_union(_rows(view, single.what)).distance(shapely.unary_union(rooms)) * view.scale > 3.5
