"""What stands at the edges of tiles: no word over another, a join mark, an edge of its page or a line of the plate."""

import re
from collections.abc import Iterator
from functools import cache
from itertools import combinations, pairwise
from typing import Any

import pytest
import shapely

from flangelayout.drawing.explode import explode
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Content, Drawing, Label, Mosaic, Sheet, Solid
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.settings import TemplateSettings
from flangelayout.drawing.textwidth import label_box, label_corners
from flangelayout.files.starters import starters
from flangelayout.geometry.shapes import Arc, Box, Circle, Contour, Line, Point, extent, polar
from flangelayout.job import Job
from flangelayout.job.load import job_from_data, job_from_text
from flangelayout.packet.job import face_template
from flangelayout.value import replace
from flangelayout.views.template.pages import template_sheets
from jobs import make_job
from rows import every_row
from views.awkward_jobs import AWKWARD
from views.tile_pages import tiles_of

_COMMON: dict[str, Any] = {"units": "mm", "job": {"number": "T-1"}}
_SAID = (Furniture("seam"), Furniture("join mark"), Furniture("tile number"))
_LINES = (Furniture("cut line"), Furniture("keep line"))
_TOUCH = 0.1
_TIED = 6.0
"""How far in mm from its line a word may stand that no leader ties to it."""
_HARD: dict[str, Any] = {
    "plate": {"outside_diameter": 3000, "bore": 2700},
    "bolt_circle": [{"diameter": 2880, "hole_count": 64, "hole_diameter": 33}],
}
"""A ring of sixty tiles, with seams of 18 mm, slanting edges right beside seams, holes at marks."""
_DIAMOND = 1.2
"""How far in mm from the corners of a diamond's box nothing of it is: the half of it that is drawn lies within."""


def _stands(page: Sheet) -> list[tuple[str, Box]]:
    """Words of the edges and the number with what they take, the marks and the lines a page is cut or kept along."""
    drawing = next(view.drawing for view in page.views if view.drawing.title == "template seams")
    found = []
    for item in drawing.items:
        if isinstance(item.what, Label) and item.source in _SAID:
            found.append((item.what.text, label_box(item.what).grown(-_TOUCH)))
        elif isinstance(item.what, Contour):
            found.append(("", extent(item.what).grown(-_DIAMOND)))
        elif item.source in (Furniture("cut line"), Furniture("keep line")) and isinstance(item.what, Line):
            found.append(("", extent(item.what)))
    return found


def _over_each_other(job: Job, paper: str) -> list[str]:
    pages = tiles_of(template_sheets(face_template(job), TemplateSettings(paper)))
    return [
        f"tile {number}: {one} / {other or 'mark or edge'}"
        for number, page in enumerate(pages, 1)
        for (one, box), (other, beside) in combinations(_stands(page), 2)
        if (one or other) and box.overlaps(beside)
    ]


def test_two_neighbors_at_one_edge_have_their_words_apart() -> None:
    """A quarter of a ring: its third tile is cut along one line for two tiles before it."""
    job = job_from_data(_COMMON | AWKWARD["segment"])
    pages = tiles_of(template_sheets(face_template(job), TemplateSettings("Letter")))
    two = [text for text, _ in _stands(pages[2]) if text.endswith((" 1", " 2"))]
    assert len(two) == 2
    assert not _over_each_other(job, "Letter")


def _drawn(what: Content) -> Iterator[shapely.Geometry]:
    """Lines and words as shapely knows them, round ones in steps of half a mm at the most."""
    for part in explode(what, 1.0):
        match part:
            case Line():
                yield shapely.LineString(map(_xy, (part.start, part.end)))
            case Arc():
                yield _bent(part)
            case Circle():
                yield _bent(Arc(part.center, part.radius, 0.0, 360.0))
            case Contour():
                for each in part.parts:
                    yield from _drawn(each)
            case Solid() | Mosaic():
                for outline in part.outlines:
                    yield shapely.Polygon(map(_xy, outline))
            case Label():
                yield shapely.Polygon(map(_xy, label_corners(part)))


def _bent(arc: Arc) -> shapely.LineString:
    count = 120 + int(abs(arc.sweep_deg) / 28 * arc.radius / 10)
    return shapely.LineString(
        _xy(polar(arc.radius, arc.start_deg + arc.sweep_deg * step / count, arc.center)) for step in range(count + 1)
    )


def _xy(at: Point) -> tuple[float, float]:
    return at.x, at.y


def _faults(job: Job, paper: str) -> list[str]:
    """Words of edges that cross the plate's lines or words, or stand far from the line they speak of, untied to it."""

    @cache
    def lines(drawing: Drawing) -> shapely.STRtree:
        return shapely.STRtree([shape for item in drawing.items for shape in _drawn(item.what)])

    found = []
    for number, page in enumerate(tiles_of(template_sheets(face_template(job), TemplateSettings(paper))), 1):
        plate, seams, *parted = (view.drawing for view in page.views if view.drawing.title.startswith("template"))
        parted = [drawing for drawing in parted if drawing.title == "template words"]
        clear = [next(_drawn(item.what)) for item in seams.items if item.layer is Layer.CLEAR]
        found += [f"tile {number}: paper is left free on it" for patch in clear if patch.intersects(_own(page))]
        said = [item.what for drawing in (plate, *parted) for item in drawing.items if isinstance(item.what, Label)]
        words = shapely.STRtree([next(_drawn(word)) for word in said])
        found += [
            f"tile {number}: {said[at].text} is hidden" for patch in clear for at in words.query(patch, "intersects")
        ]
        for item in seams.items:
            if isinstance(item.what, Label) and item.source in _SAID[:2]:
                room = next(_drawn(item.what)).buffer(-_TOUCH, join_style="mitre")
                if any(patch.contains(room) for patch in clear):
                    continue
                if any(len(lines(drawing).query(room, "intersects")) for drawing in (plate, *parted)):
                    found.append(f"tile {number}: {item.what.text} over a line or a word of the plate")
        found += [f"tile {number}: {word} is far from its line" for word in _far(seams)]
    return found


def _seams(page: Sheet) -> Drawing:
    return next(view.drawing for view in page.views if view.drawing.title == "template seams")


def _window(page: Sheet) -> Box:
    view = page.views[0]
    assert view.clip_paper
    return view.clip_paper.moved(view.at_paper.scaled(-1.0))


def _own(page: Sheet) -> shapely.Polygon:
    """What of a page is used: it is cut at the left and the top, and covered by others at the right and below."""
    room, sides = _window(page), {(True, True): "left", (True, False): "top", (False, True): "right"}
    for item in _seams(page).items:
        if item.source in _LINES and isinstance(item.what, Line):
            start, upright = item.what.start, item.what.start.x == item.what.end.x
            side = sides.get((item.source == _LINES[0], upright), "bottom")
            room = replace(room, **{side: start.x if upright else start.y})
    return shapely.box(room.left, room.bottom, room.right, room.top).buffer(-_TOUCH)


def _far(seams: Drawing) -> Iterator[str]:
    """Words that stand farther from the line drawn before them than they should, and have no leader."""
    for word, after in pairwise([*seams.items, seams.items[0]] if seams.items else []):
        if word.source in (Furniture("cut line"), Furniture("keep line")):
            (line,) = _drawn(word.what)
        if word.source == Furniture("seam") and isinstance(word.what, Label):
            (room,) = _drawn(word.what)
            if room.distance(line) > (_TIED if after.source != Furniture("leader") else 3 * _TIED):
                yield word.what.text


@pytest.mark.slow
def test_no_word_at_the_edges_of_a_large_ring_crosses_the_plate_or_stands_far_from_its_line() -> None:
    assert not _faults(job_from_data(_COMMON | _HARD), "A4")


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
def test_no_words_at_the_edges_of_a_tile_stand_over_anything(paper: str) -> None:
    jobs = {name: job_from_text(each.content.decode()) for name, each in starters().items()}
    jobs |= {name: job_from_data(_COMMON | data) for name, data in AWKWARD.items()}
    jobs["large ring"] = job_from_data(_COMMON | _HARD)
    found = {name: told for name, job in jobs.items() if (told := _faults(job, paper))}
    assert not found


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
def test_no_words_at_the_edges_of_a_tile_stand_over_each_other(paper: str) -> None:
    jobs = {name: job_from_text(each.content.decode()) for name, each in starters().items()}
    jobs |= {name: job_from_data(_COMMON | data) for name, data in AWKWARD.items()}
    found = {name: over for name, job in jobs.items() if (over := _over_each_other(job, paper))}
    assert not found


@every_row(("name", "least"), [("sixty holes", 1.0), ("slots", 0.5)])
def test_words_at_a_narrow_strip_keep_off_its_line(name: str, least: float) -> None:
    """A millimeter, or where it is full of lines half of one: a pen's stroke of 0.35 (ISO 128-2) and white beside."""
    narrow = 0
    for page in tiles_of(
        template_sheets(face_template(job_from_data(_COMMON | AWKWARD[name])), TemplateSettings("A4"))
    ):
        items = next(view.drawing.items for view in page.views if view.drawing.title == "template seams")
        lines = [item.what for item in items if item.source in (Furniture("keep line"), Furniture("cut line"))]
        seams = shapely.union_all([_as_line(line) for line in lines if isinstance(line, Line)])
        said = [item.what for item in items if item.source == Furniture("seam")]
        boxes = [label_box(label) for label in said if isinstance(label, Label)]
        away = [shapely.box(box.left, box.bottom, box.right, box.top).distance(seams) for box in boxes]
        assert min(away) > least
        window = _window(page)
        edges = shapely.box(window.left, window.bottom, window.right, window.top).exterior
        middles = [_as_line(line).centroid for line in lines if isinstance(line, Line)]
        narrow += any(middle.distance(edges) < 4.0 for middle in middles)
    assert narrow, "there is such a strip"


def _as_line(line: Line) -> shapely.LineString:
    return shapely.LineString([(line.start.x, line.start.y), (line.end.x, line.end.y)])


_LONG = ("CUT AND LAY OVER TILE #", "KEEP AND GLUE TILE #", "CUT HERE")
_SHORT = ("OVER #", "GLUE #", "CUT")


def test_an_edge_is_named_in_one_wording_of_which_the_cover_explains_the_short_form() -> None:
    job = job_from_data(_COMMON | _HARD)
    sheets = template_sheets(face_template(job), TemplateSettings("A4"))
    cover, pages = sheets.sheets[0], tiles_of(sheets)
    said = [
        re.sub(r"\d+", "#", item.what.text)
        for page in pages
        for item in _seams(page).items
        if item.source == _SAID[0] and isinstance(item.what, Label)
    ]
    assert {*said} <= {*_LONG, *_SHORT}
    assert sum(text in _LONG for text in said) > 3 * sum(text in _SHORT for text in said), (
        "short where there is no room"
    )
    told = " ".join(item.what.text for item in cover.furniture if isinstance(item.what, Label))
    assert "OVER 1 is cut and lay over tile 1" in told
    assert "GLUE 2 keep and glue tile 2" in told


@every_row("name", ["adapter", "tube-sheet", "machined-flange"])
def test_the_dots_of_a_glued_strip_keep_off_words(name: str) -> None:
    job = job_from_text(starters()[name].content.decode())
    for page in tiles_of(template_sheets(face_template(job), TemplateSettings("A4"))):
        drawings = [view.drawing for view in page.views if view.clip_paper]
        items = [item for drawing in drawings for item in drawing.items]
        dots = shapely.union_all([line for item in items if item.layer is Layer.GLUE for line in _drawn(item.what)])
        window = _window(page)
        shown = shapely.box(window.left, window.bottom, window.right, window.top)
        words = [next(_drawn(item.what)) for item in items if isinstance(item.what, Label) and item.source != _SAID[2]]
        assert not [word for word in words if shown.contains(word) and word.distance(dots) < 0.4]


def test_a_tile_that_shows_little_of_the_plate_has_its_number_beside_it() -> None:
    circles = [
        {"diameter": 165, "hole_count": 6, "hole_diameter": 11},
        {"diameter": 121, "hole_count": 8, "hole_diameter": 8},
    ]
    job = make_job(plate={"outside_diameter": 203, "bore": 38}, bolt_circle=circles, template={"paper": "Letter"})
    pages = tiles_of(template_sheets(face_template(job), job.template))
    assert len(pages) == 2
    for page in pages:
        (number,) = [item.what for item in _seams(page).items if item.source == _SAID[2]]
        assert isinstance(number, Label)
        assert number.height_paper > 20.0
