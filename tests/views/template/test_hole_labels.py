"""Numbers on the printed pages, judged from what stands there: each at its own hole, legible, off the seams."""

import re
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest
import shapely

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Content, Label, Sheet, Solid
from flangelayout.drawing.references import Furniture, GroupRef, HoleRef
from flangelayout.drawing.settings import TemplateSettings
from flangelayout.drawing.textwidth import label_box
from flangelayout.flange import FigureEightOutline
from flangelayout.flange.hole import punch_points
from flangelayout.geometry.shapes import Arc, Box, Circle, Contour, Line, Point, box_around, polar
from flangelayout.job import Job
from flangelayout.job.load import job_from_data, load_job
from flangelayout.packet.job import face_template
from flangelayout.units import size_text
from flangelayout.views.template.drawing import template_drawing
from flangelayout.views.template.pages import template_sheets
from jobs import make_job
from rows import every_row, first_of
from views.awkward_jobs import AWKWARD
from views.tile_pages import tiles_of

ROOT = Path(__file__).parents[3]
NEARER = 1.5
CROWDED = ("machined-flange", "adapter", "slotted-ring", "segment-ring")
JOBS: dict[str, Callable[[], Job]] = {
    **{path.stem: partial(load_job, path) for path in sorted((ROOT / "templates").glob("*.toml"))},
    **{name: partial(job_from_data, {"units": "mm", **data}) for name, data in AWKWARD.items()},
}
NAMES = first_of([*CROWDED, *(name for name in JOBS if name not in CROWDED)], 2)


def numbers(job: Job) -> dict[str, Label]:
    items = template_drawing(job.flange, job.unit).items
    of_holes = [(item.source.label, item.what) for item in items if isinstance(item.source, HoleRef)]
    return {name: what for name, what in of_holes if isinstance(what, Label) and what.text == name}


@pytest.mark.parametrize("name", NAMES)
def test_a_number_stands_in_its_hole_or_nearer_to_it_than_to_any_other(name: str) -> None:
    job = JOBS[name]()
    holes = {hole.label: hole for hole in job.flange.shown_holes()}
    places = [(label, at) for label, hole in holes.items() for at in punch_points(hole)]
    shown = numbers(job)
    assert shown or not holes
    for label, what in shown.items():
        middle, own = _middle(what), holes[label]
        near = min(middle.distance_to(at) for at in (*punch_points(own), own.center))
        others = [middle.distance_to(at) for other, at in places if other != label]
        assert near < own.diameter / 2 or near * (NEARER - 0.02) <= min(others, default=near * 2), label


@pytest.mark.parametrize("name", NAMES)
def test_numbers_stand_on_each_other_no_more_than_on_a_seam(name: str) -> None:
    job = JOBS[name]()
    sheets = tiles_of(template_sheets(face_template(job), TemplateSettings("A4")))
    crossed = [f"{sheet.name}: {text}" for sheet in sheets for text in on_seams(sheet)]
    tubes = {hole.label for hole in job.flange.holes() if hole.group >= 0 and job.flange.groups()[hole.group].tubes}
    assert not [text for sheet in sheets for text in cut_off(sheet)]
    assert not [each for each in crossed if each.split(": ")[1] not in tubes]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", NAMES)
def test_a_page_shows_words_whole_or_not_at_all_and_every_word_stands_on_some_page(name: str, paper: str) -> None:
    template = face_template(JOBS[name]())
    said: list[str] = []
    for sheet in tiles_of(template_sheets(template, TemplateSettings(paper))):
        for view in sheet.views:
            words = [item.what for item in view.drawing.items if isinstance(item.what, Label)]
            for word, box in ((each.text, label_box(each, view.scale).moved(view.at_paper)) for each in words):
                room = view.clip_paper
                is_whole = not room or all(map(room.grown(1e-6).contains, box.corners))
                assert is_whole or not room or not box.overlaps(room), f"{sheet.name}: {word}"
                said += [word] if is_whole else []
    wanted = [item.what.text for each in template.words for item in each.items() if isinstance(item.what, Label)]
    assert {*wanted} <= {*said}


@every_row("name", ["base-plate", "rings"])
def test_words_of_holes_keep_off_the_lines_that_these_stand_on(name: str) -> None:
    rings = {"first_diameter": 0, "ring_pitch": 40, "hole_counts": [1, 6, 12], "hole_diameter": 12}
    alone = make_job(plate={"outside_diameter": 300, "thickness": 12}, bolt_circle=[], hole_rings=[rings])
    job = JOBS[name]() if name in JOBS else alone
    items = template_drawing(job.flange, job.unit).items
    lines = [part for item in items if isinstance(item.source, GroupRef) for part in _strokes(item.what)]
    words = [
        label_box(item.what) for item in items if isinstance(item.source, HoleRef) and isinstance(item.what, Label)
    ]
    assert lines
    assert words
    boxes = shapely.STRtree([shapely.box(box.left, box.bottom, box.right, box.top) for box in words])
    assert not [line for line in lines if len(boxes.query(line, "intersects"))]


def _strokes(what: Content) -> list[shapely.LineString]:
    """Lines as shapely knows them, round ones in steps of a degree."""
    match what:
        case Line():
            return [shapely.LineString([(what.start.x, what.start.y), (what.end.x, what.end.y)])]
        case Contour():
            return [stroke for part in what.parts for stroke in _strokes(part)]
        case Circle() | Arc():
            start, sweep = (what.start_deg, what.sweep_deg) if isinstance(what, Arc) else (0.0, 360.0)
            turns = [start + sweep * step / 360 for step in range(361)]
            places = [polar(what.radius, turn, what.center) for turn in turns]
            return [shapely.LineString([(at.x, at.y) for at in places])]
        case _:
            return []


def test_no_number_stands_on_a_page_that_does_not_show_the_middle_of_its_hole() -> None:
    """Among nine lugs one shows its number, not its hole, below the seam of the first page."""
    job = JOBS["nine lugs"]()
    middles = {hole.label: hole.center for hole in job.flange.shown_holes()}
    pages, seen = tiles_of(template_sheets(face_template(job), TemplateSettings("Letter"))), set[str]()
    for page in pages:
        window = page.views[0].clip_paper
        assert window
        for view in page.views:
            said = [(each.source.label, each.what) for each in view.drawing.items if isinstance(each.source, HoleRef)]
            labels = [(hole, what) for hole, what in said if isinstance(what, Label)]
            shown = {hole for hole, what in labels if window.contains(what.at + view.at_paper)}
            assert all(window.contains(middles[hole] + view.at_paper) for hole in shown), page.name
            seen |= shown
    assert seen == middles.keys()


def test_holes_of_a_small_grid_or_of_rings_have_their_numbers_and_sizes_beside_them() -> None:
    grid = {"columns": 5, "rows": 3, "pitch_x": 60, "pitch_y": 50, "hole_diameter": 12}
    rings = {"first_diameter": 0, "ring_pitch": 40, "hole_counts": [1, 6, 12], "hole_diameter": 12}
    for table, count in (({"hole_grid": [grid]}, 15), ({"hole_rings": [rings]}, 19)):
        job = make_job(plate={"outside_diameter": 380, "thickness": 12}, bolt_circle=[], **table)
        assert len(numbers(job)) == count
        assert all(each.has_size for each in face_template(job).words if each.hole)
        cover = template_sheets(face_template(job), TemplateSettings("A4")).sheets[0]
        assert not [text for text in _texts(cover) if text.startswith("SIZES NOT AT")]
        (view,) = cover.views
        named = {item.what.text for item in view.drawing.items if isinstance(item.what, Label)}
        assert len(named & {*numbers(job)}) >= count - 4, "on the map"


@pytest.mark.parametrize("name", NAMES)
def test_what_is_drilled_at_each_hole_stands_on_the_template(name: str) -> None:
    job = JOBS[name]()
    template = face_template(job)
    cover = " ".join(_texts(template_sheets(template, TemplateSettings("A4")).sheets[0]))
    sized = {each.hole.label for each in template.words if each.hole and len(each.said) > 1}
    for hole in template.subject.flange.shown_holes():
        # Single holes by their number, groups by their letter, which the only one of a plate has not.
        lead = hole.label if hole.group < 0 else f"{job.flange.group_letter(hole.group)}:".removeprefix(":")
        size = re.escape(size_text(hole.diameter, job.unit))
        assert hole.label in sized or re.search(rf"\b{lead}.*\b{size}\b", cover), hole.label


def _texts(sheet: Sheet) -> list[str]:
    return [item.what.text for item in sheet.furniture if isinstance(item.what, Label)]


def cut_off(sheet: Sheet) -> list[str]:
    """Words at seams of which the page does not show all."""
    seams, room = sheet.views[1], sheet.views[1].clip_paper
    assert room is not None
    words = [item.what for item in seams.drawing.items if isinstance(item.what, Label) and "TILE" in item.what.text]
    boxes = [(each.text, label_box(each).moved(seams.at_paper).grown(-0.1)) for each in words]
    return [text for text, box in boxes if not all(map(room.contains, box.corners))]


def on_seams(sheet: Sheet) -> list[str]:
    """Labels of holes that another label, a cutting line or a join mark runs over."""
    plate, seams = sheet.views[:2]
    lines = [item.what for item in seams.drawing.items if item.layer in (Layer.PAPER_CUT, Layer.DIMENSION)]
    boxes = [box_around((line.start, line.end)) for line in lines if isinstance(line, Line)]
    boxes += [
        _capitals(item.what) for item in seams.drawing.items if isinstance(item.what, Label) and _is_small(item.what)
    ]
    views = [view for view in sheet.views if view is plate or view.drawing.title == "template words"]
    held = [item.what for view in views for item in view.drawing.items if isinstance(item.what, Label)]
    shown = [(what.text, _capitals(what)) for what in held]
    over = [text for text, box in shown if any(box.overlaps(other) for other in boxes)]
    twice = [one for rank, (one, a) in enumerate(shown) for _, b in shown[:rank] if a.overlaps(b)]
    return over + twice


def _middle(number: Label) -> Point:
    """Of its capitals."""
    return number.at if number.anchor is Anchor.MIDDLE else number.at + Point(0.0, number.height_paper / 2)


def _is_small(label: Label) -> bool:
    """Any but the number of the tile, which stands behind everything in grey."""
    return label.height_paper < 5.0


def _capitals(label: Label) -> Box:
    return label_box(label).grown(-0.3)


def test_top_keeps_off_the_middle_lines_of_a_figure_8() -> None:
    job = load_job(ROOT / "templates" / "figure-8-blind.toml")
    items = template_drawing(job.flange, job.unit).items
    (top,) = (label_box(item.what) for item in items if isinstance(item.what, Label) and item.what.text == "TOP")
    assert isinstance(job.flange.outline, FigureEightOutline)
    middles = (job.flange.outline.blind_center.x, job.flange.outline.ring_center.x)
    assert not any(top.left <= x <= top.right for x in middles)


@every_row("name", ["nine lugs", "figure-8-blind", "paddle-spacer", "many warnings", "ring-flange"])
def test_top_points_up_beside_the_upright_centerline(name: str) -> None:
    """Not into a lug aside of it, and not left out where the metal on the line has no room."""
    job = JOBS[name]()
    top = [item.what for item in template_drawing(job.flange, job.unit).items if item.source == Furniture("top")]
    (arrow,) = [what for what in top if isinstance(what, Solid)]
    (word,) = [what for what in top if isinstance(what, Label)]
    tip = max(arrow.corners, key=lambda at: at.y)
    assert abs(tip.x - job.flange.box().center.x) < 6.0
    assert tip.y > job.flange.box().center.y
    assert not label_box(word).grown(-0.1).overlaps(box_around(arrow.corners))


@every_row("name", ["adapter", "ring-flange", "three circles", "sixty holes", "slots"])
def test_the_labels_of_a_circle_are_of_one_height_and_stand_on_one_side_of_their_rays(name: str) -> None:
    job = JOBS[name]()
    shown = numbers(job)
    for group, _ in job.flange.shown_groups():
        own = [(hole, shown[hole.label]) for hole in job.flange.shown_holes() if hole.group == group]
        assert len({label.height_paper for _, label in own}) == 1
        turns = [hole.center.direction_to(_middle(label)) - hole.angle for hole, label in own]
        first = turns[0]
        assert all(abs((turn - first + 180.0) % 360.0 - 180.0) < 75.0 for turn in turns), turns


@every_row("name", ["tube-sheet", "grid", "strainer-plate", "tiny", "adapter"])
def test_the_size_of_every_kind_of_hole_is_on_every_tile_at_a_hole_or_at_the_foot(name: str) -> None:
    job = JOBS[name]()
    sizes = {size_text(hole.diameter, job.unit) for hole in job.flange.shown_holes()}
    for page in tiles_of(template_sheets(face_template(job), TemplateSettings("A4"))):
        words = [item.what for view in page.views for item in view.drawing.items if isinstance(item.what, Label)]
        shown = " ".join(word.text for word in words)
        assert all(re.search(rf"⌀{re.escape(size)}\b", shown) for size in sizes), page.name


def test_the_numbers_of_a_tiny_plate_stand_outside_of_its_rim_and_cross_no_line() -> None:
    circle = {"diameter": 16, "hole_count": 6, "hole_diameter": 2.2, "start_angle": 30}
    job = make_job(plate={"outside_diameter": 21, "bore": 5}, bolt_circle=[circle])
    shown = numbers(job)
    assert len(shown) == 6
    for label in shown.values():
        box = label_box(label)
        nearest = Point(min(max(0.0, box.left), box.right), min(max(0.0, box.bottom), box.top))
        assert Point(0.0, 0.0).distance_to(nearest) > 10.5
