"""Strips as they are cut and laid: whole holes, TOP where the plate has it, figures that can be measured."""

import itertools
import re
from collections import Counter
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from as_shapely import polygon
from flangelayout.drawing.choices import TemplateStyle
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Label, Sheet, View
from flangelayout.drawing.references import Furniture, HoleRef
from flangelayout.drawing.textwidth import label_corners
from flangelayout.errors import GeometryError
from flangelayout.geometry.shapes import ORIGIN, Circle, Contour, Line
from flangelayout.job import Job
from flangelayout.job.load import load_job
from flangelayout.packet.job import face_template
from flangelayout.value import replace
from flangelayout.views.template.pages import template_sheets
from jobs import make_job
from rows import every_row

Shapes = dict[str, BaseGeometry]
TWO_CLOSE: dict[str, Any] = {
    "plate": {"outside_diameter": 500, "bore": 150},
    "bolt_circle": [
        {"diameter": 440, "hole_count": 16, "hole_diameter": 22},
        {"diameter": 370, "hole_count": 12, "hole_diameter": 22},
    ],
}
"""Two circles so close that an even seam runs through the holes of one, and so wide that the rim is not on a page."""
THREE: dict[str, Any] = {
    "plate": {"outside_diameter": 620, "bore": 200, "thickness": 35},
    "bolt_circle": [
        {"diameter": 560, "hole_count": 20, "hole_diameter": 26},
        {"diameter": 430, "hole_count": 12, "kind": "tapped", "thread": "M20", "depth": 25},
        {"diameter": 290, "hole_count": 8, "bolt": "M16", "kind": "counterbored"},
    ],
}
"""Three circles whose middles between two holes are no ways through the other two."""
SLOTS: dict[str, Any] = {
    "plate": {"outside_diameter": 900, "bore": 600},
    "bolt_circle": [
        {"diameter": 820, "hole_count": 18, "hole_diameter": 14, "kind": "slot", "slot_length": 60},
        {"diameter": 690, "hole_count": 12, "hole_diameter": 18},
    ],
}
DENSE: dict[str, Any] = {
    "plate": {"outside_diameter": 460, "bore": 240},
    "bolt_circle": [
        {"diameter": 400, "hole_count": 24, "hole_diameter": 30},
        {"diameter": 325, "hole_count": 24, "hole_diameter": 30, "start_angle": 7.5},
    ],
}
"""Staggered so that no ray passes between the holes of both."""
ONE_AT_TOP: dict[str, Any] = {
    "plate": {"outside_diameter": 400, "bore": 250},
    "bolt_circle": [{"diameter": 330, "hole_count": 9, "hole_diameter": 18, "start_angle": -20}],
}


def strips(job: Job) -> tuple[Sheet, ...]:
    return template_sheets(face_template(job), replace(job.template, style=TemplateStyle.STRIPS)).sheets


def _told(sheet: Sheet) -> str:
    return " ".join(item.what.text for item in sheet.furniture if isinstance(item.what, Label))


def _figures_note(page: Sheet) -> str:
    """What the foot of a page says of the figures on its rays."""
    texts = (item.what.text for item in page.views[0].drawing.items if isinstance(item.what, Label))
    return next(text.partition(": ")[2] for text in texts if text.startswith("FIGURES ON THE RAYS"))


def _drawn(
    view: View,
) -> tuple[dict[str, BaseGeometry], list[BaseGeometry], list[BaseGeometry], dict[str, BaseGeometry]]:
    """Holes with their recesses, cuts, diamonds and words of a strip."""
    items, holes, words = view.drawing.items, Shapes(), Shapes()
    for item in items:
        if isinstance(item.source, HoleRef) and isinstance(item.what, Circle | Contour):
            edge = polygon(item.what)
            holes[item.source.label] = edge.union(holes.get(item.source.label, edge))
        if isinstance(item.what, Label):
            words[f"{item.what.text} {len(words)}"] = Polygon([(at.x, at.y) for at in label_corners(item.what)])
    cuts = [_line(item.what) for item in items if item.layer is Layer.TRIM and isinstance(item.what, Line)]
    marks = [item.what for item in items if item.source == Furniture("join mark") and isinstance(item.what, Contour)]
    return holes, cuts, [polygon(mark) for mark in marks], words


def _line(line: Line) -> BaseGeometry:
    return shapely.LineString([(line.start.x, line.start.y), (line.end.x, line.end.y)])


@pytest.mark.slow
@every_row("tables", [THREE, TWO_CLOSE, SLOTS])
def test_no_cut_of_strips_meets_a_hole_or_a_word_and_diamonds_stand_on_free_metal(
    tables: dict[str, Any],
) -> None:
    """Where holes leave straight ways, here 3.5 mm beside each; recesses and threads count, too."""
    for view in (view for sheet in strips(make_job(**tables))[1:] for view in sheet.views[1:]):
        holes, cuts, diamonds, words = _drawn(view)
        assert len(cuts) == 2
        assert holes
        assert min(hole.distance(cut) for hole in holes.values() for cut in cuts) > 3.4
        assert not [(name, word) for name, word in words.items() if any(word.intersects(cut) for cut in cuts)]
        assert not [name for name, hole in holes.items() if any(hole.intersects(mark) for mark in diamonds)]
        assert not [name for name, word in words.items() if any(word.intersects(mark) for mark in diamonds)]
        over = [(a, b) for (a, one), (b, other) in combinations(words.items(), 2) if one.buffer(-0.1).intersects(other)]
        assert not over, view.drawing.title


MANIFOLD: dict[str, Any] = {
    "plate": {"outside_diameter": 790, "bore": 310, "thickness": 25},
    "bolt_circle": [
        {"diameter": 710, "hole_count": 16, "hole_diameter": 20.6},
        {"diameter": 540, "hole_count": 10, "kind": "tapped", "thread": "1/2-13"},
        {"diameter": 380, "hole_count": 8, "kind": "countersunk", "hole_diameter": 10.3, "seat_diameter": 20.0},
    ],
}
"""Three circles, threads with long names near rays and cuts."""


@pytest.mark.slow
def test_holes_of_a_strip_bear_their_sizes_and_diamonds_their_names_beside_them_off_every_hole() -> None:
    layout = replace(make_job(**MANIFOLD).template, style=TemplateStyle.STRIPS, paper="Tabloid")
    for page in template_sheets(face_template(make_job(**MANIFOLD)), layout).sheets[1:]:
        for view in page.views[1:]:
            items, (holes, _, diamonds, words) = view.drawing.items, _drawn(view)
            said = Counter(item.source for item in items if isinstance(item.what, Label))
            numbered = [source for source in said if isinstance(source, HoleRef)]
            assert [source for source in numbered if said[source] < 2] == [], "number and size"
            names = {name: word for name, word in words.items() if name.startswith("J")}
            assert [name for name, word in names.items() if min(map(word.distance, diamonds)) > 8.0] == []
            assert [name for name, word in names.items() if any(map(word.intersects, holes.values()))] == []


def test_strips_are_as_few_as_the_free_stretches_between_holes_allow() -> None:
    """By hand: free are 0±5.6, 30.4-41.4, 48.6-59.6 degrees of every quarter, a page holds 31: three to a quarter."""
    assert len(strips(make_job(**THREE))) == 1 + 12


def test_slots_that_all_run_one_way_have_no_strips() -> None:
    """A strip is printed rim up: a slot along x would lie level on every strip, and run another way on the plate."""
    circle = {"diameter": 820, "hole_count": 18, "hole_diameter": 14, "kind": "slot", "slot_length": 60}
    job = make_job(plate={"outside_diameter": 900, "bore": 600}, bolt_circle=[circle | {"slot_along": "x"}])
    with pytest.raises(GeometryError, match="would stand another way on every strip"):
        strips(job)


@pytest.mark.slow
def test_where_no_straight_cut_clears_all_holes_the_cover_names_those_it_runs_through() -> None:
    cover, *pages = strips(make_job(**DENSE))
    cut = set()
    for view in (view for page in pages for view in page.views[1:]):
        holes, cuts, diamonds, _ = _drawn(view)
        cut |= {name for name, hole in holes.items() if any(hole.buffer(-0.05).intersects(each) for each in cuts)}
        assert min(hole.centroid.distance(each) for hole in holes.values() for each in cuts) >= 5.0
        assert not [name for name, hole in holes.items() if any(hole.intersects(mark) for mark in diamonds)]
    found = re.search(r"it runs through ([A-Z0-9, ]+); centers are whole", _told(cover))
    assert found
    assert {*found[1].split(", ")} == cut
    assert "runs through" not in _told(strips(make_job(**THREE))[0])


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
    assert {_figures_note(page) for page in pages} == {"from the hole's center to the bore edge."}
    narrow = {**ONE_AT_TOP, "plate": {"outside_diameter": 370, "bore": 250}}  # 20 mm from the holes to the rim
    page = strips(make_job(**narrow))[1]
    assert _figures_note(page).endswith("inward to the bore edge, outward to the rim.")
    said = {item.what.text for view in page.views for item in view.drawing.items if isinstance(item.what, Label)}
    assert {"20.00", "40.00"} <= said, "square to a ray of 6 mm, too"
    narrow["plate"] = {"outside_diameter": 355, "bore": 250}
    assert _figures_note(strips(make_job(**narrow))[1]) == "from the hole's center to the bore edge."


def test_a_strip_tells_at_its_head_what_its_holes_are_that_have_no_room_for_it() -> None:
    job = load_job(Path(__file__).parents[3] / "templates" / "machined-flange.toml")
    told = dict[str, str]()
    for page in strips(job)[1:]:
        heads = [item.what.text for item in page.furniture if isinstance(item.what, Label)]
        lacking = set[str]()
        for view in page.views:
            of_holes = [
                (item.source.label, item.what) for item in view.drawing.items if isinstance(item.source, HoleRef)
            ]
            said = [hole for hole, what in of_holes if isinstance(what, Label)]
            lacking |= {hole for hole in said if said.count(hole) == 1}
        parts = [part for head in heads if " · " in head for part in head.split(" · ")[1].split("; ")]
        told |= dict(part.split(": ", 1) for part in parts)
        assert lacking == {part.split(": ")[0] for part in parts}
    # What the job says: A 17.5, B socket heads of M12 (13.5), C M8, whose drill is 6.8 (ISO 2306, from memory).
    assert {told[name] for name in ("B1", "C1", "A1")} == {"⌀13.5", "M8, ⌀6.8", "⌀17.5"}


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
