"""Strips as they are cut and laid: whole holes, TOP where the plate has it, figures that can be measured."""

import itertools
import math
import re
from itertools import combinations
from typing import Any

import pytest
from shapely import Polygon

from flangelayout.drawing.choices import TemplateStyle
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Label, Sheet
from flangelayout.drawing.references import Furniture, HoleRef
from flangelayout.drawing.textwidth import label_corners
from flangelayout.geometry.shapes import ORIGIN, Circle, Contour, Line
from flangelayout.job import Job
from flangelayout.packet.job import face_template
from flangelayout.value import replace
from flangelayout.views.template.pages import template_sheets
from jobs import make_job
from rows import every_row

TWO_CLOSE: dict[str, Any] = {
    "plate": {"outside_diameter": 500, "bore": 150},
    "bolt_circle": [
        {"diameter": 440, "hole_count": 16, "hole_diameter": 22},
        {"diameter": 370, "hole_count": 12, "hole_diameter": 22},
    ],
}
"""Two circles so close that an even seam runs through the holes of one, and so wide that the rim is not on a page."""
ONE_AT_TOP: dict[str, Any] = {
    "plate": {"outside_diameter": 400, "bore": 250},
    "bolt_circle": [{"diameter": 330, "hole_count": 9, "hole_diameter": 18, "start_angle": -20}],
}


def strips(job: Job) -> tuple[Sheet, ...]:
    return template_sheets(face_template(job), replace(job.template, style=TemplateStyle.STRIPS)).sheets


def _told(sheet: Sheet) -> str:
    return " ".join(item.what.text for item in sheet.furniture if isinstance(item.what, Label))


def test_no_seam_of_strips_runs_through_a_hole_where_the_holes_leave_room() -> None:
    for view in (view for sheet in strips(make_job(**TWO_CLOSE))[1:] for view in sheet.views[1:]):
        items = view.drawing.items
        cuts = [item.what for item in items if item.layer is Layer.TRIM and isinstance(item.what, Line)]
        holes = [item.what for item in items if item.layer is Layer.TEMPLATE_HOLES and isinstance(item.what, Circle)]
        assert len(cuts) == 2
        assert holes
        for cut in cuts:
            turn = math.radians(ORIGIN.direction_to(cut.end))
            for hole in holes:
                assert abs(hole.center.y * math.cos(turn) - hole.center.x * math.sin(turn)) > hole.radius + 3.0


def test_a_figure_to_the_rim_stands_only_where_the_rim_is_drawn() -> None:
    cover, *pages = strips(make_job(**TWO_CLOSE))
    figures = {
        item.what.text
        for page in pages
        for view in page.views
        for item in view.drawing.items
        if item.source == Furniture("distance") and isinstance(item.what, Label)
    }
    # From the bore of 150 to both circles: 145 and 110; to the rim it is 30 and 65.
    assert figures == {"145.00", "110.00"}
    assert "the rim is not on the strips" in _told(cover)


@every_row(
    ("tables", "where", "beside"),
    # Of sixteen holes the first and the last stand 11.25 degrees either side of the top, counted counter-clockwise.
    [
        (TWO_CLOSE, "at the joint of strips 1 and", {"A1": 11.25, "A16": -11.25}),
        (ONE_AT_TOP, "of strip", {"1": 0.0}),
    ],
)
def test_top_is_marked_on_the_strips_and_the_cover_names_the_place(
    tables: dict[str, Any], where: str, beside: dict[str, float]
) -> None:
    cover, *pages = strips(make_job(**tables))
    found = re.search(r"the mark TOP (.*?) ([\d and]+) at the top of the centerline", _told(cover))
    assert found
    assert found[0].startswith(f"the mark TOP {where}")
    marked = set()
    for view in (view for page in pages for view in page.views[1:]):
        items = view.drawing.items
        marks = [item.what for item in items if item.source == Furniture("top") and isinstance(item.what, Line)]
        holes = {item.source: item.what.center for item in items if isinstance(item.what, Circle)}
        if marks:
            marked.add(view.drawing.title.removeprefix("strip "))
            turn = ORIGIN.direction_to(marks[0].end)
            near = [(ORIGIN.direction_to(holes[HoleRef(n)]), off) for n, off in beside.items() if HoleRef(n) in holes]
            assert near
            assert all(at - turn == pytest.approx(off) for at, off in near)
    assert marked == {*re.findall(r"\d+", found[2])}


def test_the_numbers_of_strips_stand_on_one_circle() -> None:
    plate = {"outside_diameter": 1000, "bore": 800}
    job = make_job(plate=plate, bolt_circle=[{"diameter": 900, "hole_count": 44, "hole_diameter": 22}])
    (view,) = strips(job)[0].views
    items = view.drawing.items
    boxed = {item.source for item in items if item.layer is Layer.TABLE and isinstance(item.what, Contour)}
    numbers = [item.what for item in items if item.source in boxed and isinstance(item.what, Label)]
    assert len(numbers) >= 5
    assert len({round(ORIGIN.distance_to(label.at), 3) for label in numbers}) == 1
    steps = {int(after.text) - int(before.text) for before, after in itertools.pairwise(numbers)}
    assert len(steps) == 1, "every one, second, fifth, ..."


def test_no_words_of_a_strip_stand_on_each_other() -> None:
    """Two holes on one ray, and TOP on the ray of a hole."""
    circles = [
        {"diameter": 640, "hole_count": 20, "hole_diameter": 22},
        {"diameter": 600, "hole_count": 10, "hole_diameter": 8, "start_angle": 9},
    ]
    two = {"plate": {"outside_diameter": 700, "bore": 560}, "bolt_circle": circles}
    for view in (view for job in (two, ONE_AT_TOP) for page in strips(make_job(**job))[1:] for view in page.views[1:]):
        labels = [item.what for item in view.drawing.items if isinstance(item.what, Label)]
        rooms = [(label.text, Polygon([(at.x, at.y) for at in label_corners(label)]).buffer(-0.1)) for label in labels]
        over = [(one, other) for (one, a), (other, b) in combinations(rooms, 2) if a.intersects(b)]
        assert not over, view.drawing.title
