"""The map of a cover: numbers stand by their own holes and clear of lines, TOP above the plate with its arrow up."""

import math
from itertools import product
from pathlib import Path

import pytest
import shapely
from shapely import affinity

from as_shapely import polygon
from flangelayout.drawing.choices import TemplateStyle
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Label, Solid, View
from flangelayout.drawing.references import HoleRef
from flangelayout.drawing.textwidth import label_box, text_width
from flangelayout.geometry.shapes import Box, Circle, Contour, Line, extent
from flangelayout.job import Job
from flangelayout.job.load import job_from_data, load_job
from flangelayout.packet.job import face_template
from flangelayout.value import replace
from flangelayout.views.template.pages import template_sheets
from jobs import make_job
from rows import every_row
from views.awkward_jobs import AWKWARD

ROOT = Path(__file__).parents[3]
STRIPS = TemplateStyle.STRIPS
_ON_TILES = [(name, TemplateStyle.TILES) for name in ("slots", "nine lugs", "tiny", "shaped-plate")]


def map_of(job: Job, style: TemplateStyle = TemplateStyle.TILES) -> View:
    """The map on the cover of a job's template."""
    cover = template_sheets(face_template(job), replace(job.template, style=style)).sheets[0]
    (view,) = cover.views
    return view


def faults(view: View) -> list[str]:
    """Numbers of holes, and TOP, that stand nearer to another hole than they may, or over a line or a word."""
    items = view.drawing.items
    shapes = [(item.layer, item.source, item.what) for item in items if isinstance(item.what, Circle | Contour)]
    lines = shapely.STRtree([polygon(what).exterior for _, _, what in shapes])
    holes = {source: polygon(what).centroid for layer, source, what in shapes if layer is Layer.TEMPLATE_HOLES}
    words = [(item.source, item.what) for item in items if isinstance(item.what, Label)]
    boxes = [label_box(label, view.scale) for _, label in words]
    found = []
    for (source, label), box in zip(words, boxes, strict=True):
        at = shapely.Point(label.at.x, label.at.y)
        if isinstance(source, HoleRef):
            others = (at.distance(hole) for name, hole in holes.items() if name != source)
            found += ["far: " + label.text] if 1.5 * at.distance(holes[source]) > min(others, default=math.inf) else []
        if isinstance(source, HoleRef) or label.text == "TOP":
            room = shapely.box(box.left, box.bottom, box.right, box.top)
            found += ["crossed: " + label.text] if len(lines.query(room, predicate="intersects")) else []
            found += ["met: " + label.text] if sum(box.overlaps(other) for other in boxes) > 1 else []
    return found


def numbered(view: View) -> int:
    return sum(isinstance(item.what, Label) and isinstance(item.source, HoleRef) for item in view.drawing.items)


@every_row(("name", "least"), [("machined-flange", 12), ("shaped-plate", 4)])
def test_a_number_of_a_map_stands_by_its_own_hole_and_clear_of_lines(name: str, least: int) -> None:
    view = map_of(load_job(ROOT / "templates" / f"{name}.toml"))
    assert faults(view) == []
    assert numbered(view) >= least


@every_row("style", [TemplateStyle.TILES, TemplateStyle.SECTOR])
def test_the_gray_of_a_tile_lies_under_the_plate(style: TemplateStyle) -> None:
    """What is drawn later lies above."""
    job = make_job(
        plate={"outside_diameter": 1500, "bore": 1200},
        bolt_circle=[{"diameter": 1350, "hole_count": 24, "hole_diameter": 30}],
    )
    sheets = template_sheets(face_template(job), replace(job.template, style=style)).sheets
    (view,) = next(sheet.views for sheet in sheets if any(view.drawing.title == "page map" for view in sheet.views))
    layers = [item.layer for item in view.drawing.items]
    assert Layer.SHADE in layers
    last = max(place for place, layer in enumerate(layers) if layer is Layer.SHADE)
    assert last < min(layers.index(layer) for layer in (Layer.TEMPLATE_HOLES, Layer.TEMPLATE_EDGES))


@every_row(("name", "paper"), [("slots", "A4"), ("nine lugs", "A4"), ("seven and four", "Letter"), ("tiny", "A4")])
def test_a_map_says_top_and_names_a_hole_of_every_pattern_where_there_is_room(name: str, paper: str) -> None:
    job = job_from_data({"units": "mm", **AWKWARD[name]})
    view = map_of(replace(job, template=replace(job.template, paper=paper)))
    assert "TOP" in _texts(view)
    assert not faults(view)
    assert view.scale < 0.7, "smaller than the template, and not by a little"
    said, holes = _texts(view), job.flange.shown_holes()
    assert {hole.group for hole in holes if hole.label in said} == {hole.group for hole in holes}


@pytest.mark.slow
@every_row(
    ("name", "style"),
    [*product(["machined-flange", "seven and four"], [TemplateStyle.TILES, STRIPS]), *_ON_TILES],
)
def test_top_stands_behind_an_arrow_on_the_centerline_above_the_plate(name: str, style: TemplateStyle) -> None:
    """Beside a hole it read as the name of that, and on another strip than the mark TOP as where that is."""
    path = ROOT / "templates" / f"{name}.toml"
    job = load_job(path) if path.exists() else job_from_data({"units": "mm", **AWKWARD[name]})
    for paper in ("A4", "Letter"):
        layout = replace(job.template, paper=paper, style=style)
        sheets = template_sheets(face_template(job), layout).sheets
        sheet, view = next(
            (sheet, view) for sheet in sheets for view in sheet.views if view.drawing.title == "page map"
        )
        items = view.drawing.items
        (word,) = (item.what for item in items if isinstance(item.what, Label) and item.what.text == "TOP")
        (arrow,) = (item.what for item in items if isinstance(item.what, Solid) and item.layer is Layer.TEXT)
        tip = max(arrow.corners, key=lambda corner: corner.y)
        foot = [corner for corner in arrow.corners if corner is not tip]
        assert tip.x == 0.0
        assert sum(corner.x for corner in foot) == pytest.approx(0.0, abs=1e-9)
        assert {corner.y for corner in foot} == {word.at.y}, "on one line"
        assert word.at.y > job.flange.box().top
        assert 0.0 < (word.at.x - max(corner.x for corner in foot)) * view.scale < 1.5, "right beside it"
        marked = shapely.box(-1.0, word.at.y * view.scale, text_width("TOP", 2.5) + 1.6, tip.y * view.scale)
        on_paper = affinity.translate(marked, view.at_paper.x, view.at_paper.y)
        told = [label_box(item.what) for item in sheet.furniture if isinstance(item.what, Label)]
        assert not [box for box in told if shapely.box(*box_sides(box)).intersects(on_paper)]
        frames = [extent(item.what) for item in items if isinstance(item.what, Contour) and item.layer is Layer.TABLE]
        sides = [shapely.box(*(side * view.scale for side in box_sides(frame))).exterior for frame in frames]
        assert not [side for side in sides if side.intersects(marked)]
        assert not faults(view)


def test_top_stands_at_the_left_of_its_arrow_where_the_map_ends_at_the_centerline() -> None:
    """Of a part of a ring that ends there: at the right stands the table of edges."""
    view = map_of(job_from_data({"units": "mm", **AWKWARD["segment"]}))
    (word,) = (item.what for item in view.drawing.items if isinstance(item.what, Label) and item.what.text == "TOP")
    assert -3.0 < label_box(word, view.scale).right * view.scale < -1.0
    assert not faults(view)


def box_sides(box: Box) -> tuple[float, float, float, float]:
    return box.left, box.bottom, box.right, box.top


def test_the_map_of_a_sector_that_is_turned_does_not_say_top() -> None:
    job = make_job(
        plate={"outside_diameter": 500, "bore": 300, "thickness": 20},
        bolt_circle=[{"diameter": 440, "hole_count": 8, "hole_diameter": 22}],
    )
    texts = {style: _texts(map_of(job, style)) for style in (TemplateStyle.TILES, TemplateStyle.SECTOR)}
    assert {style for style, words in texts.items() if "TOP" in words} == {TemplateStyle.TILES}
    assert not faults(map_of(job, TemplateStyle.SECTOR))


def test_the_number_of_a_small_tile_stands_beside_it_where_a_hole_is_in_its_middle() -> None:
    job = make_job(
        plate={"outside_diameter": 1950, "bore": 1650},
        bolt_circle=[{"diameter": 1800, "hole_count": 64, "hole_diameter": 30}],
    )
    view = map_of(job, TemplateStyle.SECTOR)
    items = view.drawing.items
    (number,) = (item.what for item in items if isinstance(item.what, Label) and item.what.text == "1")
    box = label_box(number, view.scale)
    room = shapely.box(box.left, box.bottom, box.right, box.top)
    assert not [item for item in items if isinstance(item.what, Circle | Contour) and _meets(item.what, room)]


def _meets(what: Circle | Contour, room: shapely.Geometry) -> bool:
    return bool(polygon(what).exterior.intersects(room))


def test_on_a_map_of_strips_a_number_in_a_box_is_that_of_a_strip() -> None:
    inner = [{"diameter": wide, "hole_count": count, "hole_diameter": 18} for wide, count in ((430, 12), (290, 8))]
    for outside, bore, circles in (
        (700, 500, [{"diameter": 620, "hole_count": 20, "hole_diameter": 30}]),
        (620, 200, [{"diameter": 560, "hole_count": 20, "hole_diameter": 26}, *inner]),
        (3000, 2700, [{"diameter": 2880, "hole_count": 72, "hole_diameter": 30}]),
    ):
        view = map_of(make_job(plate={"outside_diameter": outside, "bore": bore}, bolt_circle=circles), STRIPS)
        items = view.drawing.items
        labels = [(item.source, item.what) for item in items if isinstance(item.what, Label)]
        frames = {item.source: extent(item.what) for item in items if isinstance(item.what, Contour)}
        strips = {source for source, label in labels if label.text != "TOP" and not isinstance(source, HoleRef)}
        lines = [item.source for item in items if isinstance(item.what, Line)]
        assert strips == frames.keys()
        assert {*(lines[:-1:2] if outside == 3000 else lines)} <= strips, "all, or every second one of 37"
        for source, frame in frames.items():
            assert [name for name, label in labels if frame.contains(label.at)] == [source]
            assert not any(frame.overlaps(other) for name, other in frames.items() if name != source)


def _texts(view: View) -> set[str]:
    return {item.what.text for item in view.drawing.items if isinstance(item.what, Label)}
