"""The tiled template: what its pages are cut to, and that the pages joined by their marks are the one sheet."""

import math
from collections.abc import Iterator
from typing import Any

import pytest
import shapely
from hypothesis import HealthCheck, given, settings

from flangelayout.drawing.choices import TemplateStyle
from flangelayout.drawing.model import Sheet, SheetSet
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.settings import TemplateSettings
from flangelayout.geometry.shapes import Box, Circle, Line, Point
from flangelayout.job import Job
from flangelayout.packet.job import face_template
from flangelayout.views.template.pages import one_sheet_template, template_sheets
from flangelayout.writers.pdf import write_pdf
from jobs import jobs, make_job, outside_diameter
from readers import pdf_text
from rows import every_row
from views.tile_pages import tiles_of

QUICK = settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow])


def tiled(job: Job) -> SheetSet:
    layout = TemplateSettings(job.template.paper, job.template.overlap, job.template.margin)
    return template_sheets(face_template(job), layout)


def one_sheet(job: Job) -> SheetSet:
    return one_sheet_template(face_template(job), job.template.margin)


def tiles(sheets: SheetSet) -> tuple[Sheet, ...]:
    """The pages of a template without its cover."""
    return tiles_of(sheets)


def window(sheet: Sheet) -> Box:
    """What of the plate a tile shows, in mm of the plate."""
    view = sheet.views[0]
    assert view.clip_paper is not None
    return view.clip_paper.moved(view.at_paper.scaled(-1))


def seam_items(sheets: SheetSet, source: str) -> list[Any]:
    """Cut lines and the like of every tile, in mm of the plate."""
    items = [item for sheet in tiles(sheets) for view in sheet.views for item in view.drawing.items]
    return [item.what for item in items if item.source == Furniture(source)]


def ring(circle: Circle) -> shapely.Geometry:
    return shapely.Point(circle.center.x, circle.center.y).buffer(circle.radius, quad_segs=512).exterior


@pytest.mark.slow
@QUICK
@given(jobs(largest=1000.0))
def test_pages_part_the_plate_without_a_loss(job: Job) -> None:
    sheets = tiled(job)
    windows = [window(sheet) for sheet in tiles(sheets)]
    shown = shapely.union_all([shapely.box(box.left, box.bottom, box.right, box.top) for box in windows])
    plate = job.flange
    edges = [plate.outline.shape] + [Circle(hole.center, hole.diameter / 2) for hole in plate.holes()]
    if plate.bore is not None:
        edges.append(Circle(Point(0.0, 0.0), plate.bore / 2))
    lines = [ring(circle) for circle in edges if isinstance(circle, Circle)]
    assert all(shown.covers(line) for line in lines)
    lines += [ring(Circle(Point(0.0, 0.0), circle.diameter / 2)) for circle in plate.bolt_circles]
    reach = outside_diameter(job) / 2
    lines += [shapely.LineString([(-reach, 0), (reach, 0)]), shapely.LineString([(0, -reach), (0, reach)])]
    ink = shapely.union_all(lines)
    assert all(shapely.box(box.left, box.bottom, box.right, box.top).distance(ink) < 0.01 for box in windows)


@pytest.mark.slow
@QUICK
@given(jobs(largest=1000.0))
def test_every_hole_center_is_whole_on_a_page_and_clear_of_seams(job: Job) -> None:
    sheets = tiled(job)
    windows = [window(sheet) for sheet in tiles(sheets)]
    trims = [line for line in seam_items(sheets, "cut line") if isinstance(line, Line)]
    seams = shapely.union_all([shapely.LineString([tuple_of(line.start), tuple_of(line.end)]) for line in trims])
    for hole in job.flange.holes():
        assert any(box.grown(-2.0).contains(hole.center) for box in windows), hole.label
        if trims:
            assert seams.distance(shapely.Point(hole.center.x, hole.center.y)) > 0.05, hole.label


def tuple_of(point: Point) -> tuple[float, float]:
    return point.x, point.y


def test_a_seam_that_would_meet_a_center_is_moved_away() -> None:
    holes = [{"diameter": 10, "x": x, "y": y} for x in range(-280, 281, 20) for y in (-40, 40)]
    job = make_job(plate={"outside_diameter": 640}, bolt_circle=[], hole=holes)
    trims = [line for line in seam_items(tiled(job), "cut line") if isinstance(line, Line)]
    seams = shapely.union_all([shapely.LineString([tuple_of(line.start), tuple_of(line.end)]) for line in trims])
    assert any(line.start.x == line.end.x and abs(line.start.y + line.end.y) < 160 for line in trims)
    assert all(seams.distance(shapely.Point(hole["x"], hole["y"])) >= 5 - 1e-6 for hole in holes)


@pytest.mark.slow
@QUICK
@given(jobs())
def test_every_page_is_as_large_as_its_paper_and_says_which_it_is(job: Job) -> None:
    sheets = tiled(job)
    assert len({(sheet.paper.width, sheet.paper.height) for sheet in sheets.sheets}) == 1
    assert len({sheet.name for sheet in sheets.sheets}) == len(sheets.sheets)


def bars(sheet: Sheet) -> Iterator[tuple[str, float]]:
    """Axis and length of the long lines of the scale bars of a page."""
    items = [item for view in sheet.views for item in view.drawing.items] + list(sheet.furniture)
    for item in items:
        if item.source == Furniture("scale bar") and isinstance(item.what, Line) and item.what.start != item.what.end:
            step = item.what.end - item.what.start
            if max(abs(step.x), abs(step.y)) > 20:
                yield ("X" if step.y == 0 else "Y"), math.hypot(step.x, step.y)


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["A4", "Letter", "A3", "Tabloid"])
def test_bars_are_as_long_as_they_say_on_every_page(paper: str) -> None:
    job = make_job(plate={"outside_diameter": 500}, template={"paper": paper})
    sheets = tiled(job)
    data = write_pdf(sheets)
    for number, sheet in enumerate(tiles(sheets), 1):
        text = " ".join(pdf_text(data, number))
        lengths = dict(bars(sheet))
        assert set(lengths) == {"X", "Y"}
        for axis, length in lengths.items():
            assert length == pytest.approx(round(length, -1), rel=1e-4)
            assert f"{axis} {length:.0f}, rule " in text
        assert "PRINT ON ONE SIDE ONLY, AT 100 %" in text
        assert "T-1" in text


@every_row(
    ("style", "outside", "pages"),
    [
        (TemplateStyle.TILES, 150, 1),
        (TemplateStyle.TILES, 250, 2),
        (TemplateStyle.STRIPS, 150, 1),
        (TemplateStyle.STRIPS, 500, 4),
    ],
)
def test_flipped_pages_speak_of_their_neighbors_where_there_are_any(
    style: TemplateStyle, outside: int, pages: int
) -> None:
    """A page alone tells of no taper that cancels out."""
    circle = {"diameter": outside - 40, "hole_count": 8, "hole_diameter": 12}
    job = make_job(plate={"outside_diameter": outside, "bore": outside - 90}, bolt_circle=[circle])
    sheets = template_sheets(face_template(job), TemplateSettings("A4", style=style, flip_tiles=True))
    data = write_pdf(sheets)
    own = [page for page, sheet in enumerate(sheets.sheets) if sheet.name.startswith(("row", "page"))]
    told = [" ".join(pdf_text(data, page)) for page in own]
    assert len(told) == pages
    assert ["neighbors" in words for words in told] == [pages > 1] * pages
