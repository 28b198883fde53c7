"""The tiled template: what its pages are cut to, and that the pages joined by their marks are the one sheet."""

import math
from collections.abc import Iterator
from io import BytesIO
from typing import Any, NamedTuple

import numpy as np
import pypdfium2
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from numpy.typing import NDArray

from flangelayout.drawing.model import Sheet, SheetSet
from flangelayout.drawing.references import Furniture
from flangelayout.geometry.shapes import Box, Circle, Line, Point
from flangelayout.job import Job
from flangelayout.packet.names import stamp_of
from flangelayout.units import Unit, to_mm
from flangelayout.views.template.pages import TemplateLayout, one_sheet_template, template_sheets
from flangelayout.writers.pdf import write_pdf
from jobs import jobs, make_job, outside_diameter
from readers import pdf_text

Floats = NDArray[np.float64]
DOTS_PER_MM = 10.0  # 254 dpi
QUICK = settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow])


def tiled(job: Job) -> SheetSet:
    layout = TemplateLayout(job.template.paper, job.template.overlap, job.template.margin)
    return template_sheets(job.flange, job.info, stamp_of(job), job.unit, layout)


def one_sheet(job: Job) -> SheetSet:
    return one_sheet_template(job.flange, job.info, stamp_of(job), job.unit, job.template.margin)


def tiles(sheets: SheetSet) -> tuple[Sheet, ...]:
    """The pages of a template without its cover."""
    return sheets.sheets[1:]


def window(sheet: Sheet) -> Box:
    """What of the plate a tile shows, in mm of the plate."""
    view = sheet.views[0]
    assert view.clip_paper is not None
    return view.clip_paper.moved(view.at_paper.scaled(-1))


def seam_items(sheets: SheetSet, source: str) -> list[Any]:
    """Trim lines or registration marks, in mm of the plate."""
    items = [item for view in tiles(sheets)[0].views for item in view.drawing.items]
    return [item.what for item in items if item.source == Furniture(source)]


def ring(circle: Circle) -> shapely.Geometry:
    return shapely.Point(circle.center.x, circle.center.y).buffer(circle.radius, quad_segs=512).exterior


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


@QUICK
@given(jobs(largest=1000.0))
def test_every_hole_center_is_whole_on_a_page_and_clear_of_seams(job: Job) -> None:
    sheets = tiled(job)
    windows = [window(sheet) for sheet in tiles(sheets)]
    trims = [line for line in seam_items(sheets, "trim line") if isinstance(line, Line)]
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
    trims = [line for line in seam_items(tiled(job), "trim line") if isinstance(line, Line)]
    seams = shapely.union_all([shapely.LineString([tuple_of(line.start), tuple_of(line.end)]) for line in trims])
    assert any(line.start.x == line.end.x and abs(line.start.y + line.end.y) < 160 for line in trims)
    assert all(seams.distance(shapely.Point(hole["x"], hole["y"])) >= 5 - 1e-6 for hole in holes)


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
            if axis == "X":
                assert f"BAR X {length:.0f} mm = {length / to_mm(1.0, Unit.IN):.3f} in" in text
        assert "PRINT AT 100 %" in text
        assert "T-1" in text


class Picture(NamedTuple):
    """A page as rendered: darkness 0 to 1 in rows from the bottom, and dots per mm across and up.

    The renderer fits the page into whole dots, so the two differ by a few parts in ten thousand.
    """

    dark: Floats
    per_mm: Floats


def picture(data: bytes, page: int) -> Picture:
    """A page rendered at 254 dpi."""
    per_point = to_mm(1.0, Unit.IN) / 72
    with pypdfium2.PdfDocument(BytesIO(data)) as document:
        size = np.array(document[page].get_size()) * per_point
        bitmap = document[page].render(scale=DOTS_PER_MM * per_point, grayscale=True)
        shown = bitmap.to_numpy().reshape(bitmap.height, -1)[:, : bitmap.width]
        dark = 1.0 - np.flipud(shown).astype(np.float64) / 255.0
    return Picture(dark, np.array([dark.shape[1], dark.shape[0]]) / size)


def found_cross(shown: Picture, near: Point) -> Floats:
    """The crossing of a registration mark near a place, in mm: the middles of its upright and its level stroke."""
    reach = round(3.5 * DOTS_PER_MM)
    left, low = np.round(np.array(tuple_of(near)) * shown.per_mm).astype(int) - reach
    patch = shown.dark[low : low + 2 * reach, left : left + 2 * reach]
    return np.array([left + _stroke(patch.sum(axis=0)), low + _stroke(patch.sum(axis=1))]) / shown.per_mm


def _stroke(profile: Floats) -> float:
    """Middle of the darkest stroke across a profile, in dots; a dot's own middle is at one half."""
    peak = int(profile.argmax())
    around = np.arange(max(peak - 3, 0), min(peak + 4, len(profile)))
    weight = np.clip(profile[around] - np.median(profile), 0.0, None)
    return float((around * weight).sum() / weight.sum() + 0.5)


def joined_by_marks(sheets: SheetSet, data: bytes) -> Floats:
    """The ink of all tiles in the frame of the first, each joined to a neighbor by the marks both of them show."""
    pages = list(range(1, len(sheets.sheets)))
    pictures = {page: picture(data, page) for page in pages}
    windows = {page: window(sheets.sheets[page]) for page in pages}
    shift = {page: np.array(tuple_of(sheets.sheets[page].views[0].at_paper)) for page in pages}
    marks = {circle.center for circle in seam_items(sheets, "registration mark") if isinstance(circle, Circle)}
    seen = {
        page: {mark: found_cross(pictures[page], mark + Point(*shift[page])) for mark in marks_in(marks, windows[page])}
        for page in pages
    }
    origin = {pages[0]: shift[pages[0]]}
    while len(origin) < len(pages):
        pairs = [
            (old, new)
            for old in origin
            for new in pages
            if new not in origin and len(seen[old].keys() & seen[new].keys()) >= 2
        ]
        assert pairs, "a tile shares no marks with any other"
        old, new = pairs[0]
        steps = [seen[new][mark] - seen[old][mark] for mark in seen[old].keys() & seen[new].keys()]
        origin[new] = origin[old] + np.mean(steps, axis=0)
    return np.concatenate([placed(pictures[page], sheets.sheets[page], origin[page]) for page in pages])


def marks_in(marks: set[Point], box: Box) -> list[Point]:
    return [mark for mark in marks if box.grown(-4.0).contains(mark)]


def placed(shown: Picture, sheet: Sheet, origin: Floats) -> Floats:
    """The ink of a page inside its window: places in mm of the plate and darkness, shape (n, 3)."""
    clip = sheet.views[0].clip_paper or Box(0.0, 0.0, sheet.paper.width, sheet.paper.height)
    rows, columns = np.nonzero(shown.dark > 0.1)
    x, y = (columns + 0.5) / shown.per_mm[0], (rows + 0.5) / shown.per_mm[1]
    inside = (x > clip.left) & (x < clip.right) & (y > clip.bottom) & (y < clip.top)
    dots: Floats = np.column_stack((x - origin[0], y - origin[1], shown.dark[rows, columns]))[inside]
    return dots


def printed_center(dots: Floats, center: Point, radius: float) -> Floats:
    """Center of a printed hole: the circle that fits the ink along its edge best, weighed by darkness."""
    away = np.hypot(*(dots[:, :2] - tuple_of(center)).T)
    edge = dots[np.abs(away - radius) < 0.35]
    assert len(edge) > 100
    x, y, weight = edge.T
    columns = np.column_stack((x, y, np.ones_like(x))) * weight[:, None]
    (a, b, _), *_ = np.linalg.lstsq(columns, (x**2 + y**2) * weight, rcond=None)
    return np.array([a / 2, b / 2])


JOINED: dict[str, dict[str, Any]] = {
    "adapter": {
        "plate": {"outside_diameter": 340, "bore": 100},
        "bolt_circle": [
            {"diameter": 295, "hole_count": 8, "hole_diameter": 22},
            {"diameter": 180, "hole_count": 8, "hole_diameter": 18, "start_angle": 22.5},
        ],
    },
    "three rows, three columns": {
        "plate": {"outside_diameter": 560, "bore": 300},
        "bolt_circle": [{"diameter": 495, "hole_count": 20, "hole_diameter": 22}],
        "template": {"paper": "Letter"},
    },
}


@pytest.mark.slow
@pytest.mark.parametrize("name", JOINED)
def test_tiles_joined_by_their_marks_are_the_one_sheet(name: str) -> None:
    job = make_job(**JOINED[name])
    single, many = one_sheet(job), tiled(job)
    assert len(many.sheets) > 4
    origin = np.array(tuple_of(single.sheets[0].views[0].at_paper))
    whole = placed(picture(write_pdf(single), 0), single.sheets[0], origin)
    parts = joined_by_marks(many, write_pdf(many))
    for hole in job.flange.holes():
        expected = printed_center(whole, hole.center, hole.diameter / 2)
        found = printed_center(parts, hole.center, hole.diameter / 2)
        assert np.hypot(*(expected - tuple_of(hole.center))) < 0.05, hole.label
        assert np.hypot(*(found - expected)) < 0.1, hole.label


def test_a_page_that_is_moved_does_not_pass_unseen() -> None:
    job = make_job(**JOINED["adapter"])
    sheets = tiled(job)
    data = write_pdf(sheets)
    hole = job.flange.holes()[0]
    parts = joined_by_marks(sheets, data) + np.array([0.3, 0.0, 0.0])
    found = printed_center(parts, hole.center, hole.diameter / 2)
    assert np.hypot(*(found - tuple_of(hole.center))) > 0.1
