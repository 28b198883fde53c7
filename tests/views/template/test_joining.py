"""A literal follower of the joining instructions, with nothing to go by but what is printed on the pages (PDF).

Cut a page along its dashed lines, edge to edge; lay it over those before it, diamond to diamond of the same name;
what lies on top is what is punched. It must be the one-sheet template, and no hole may be lost.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from io import BytesIO
from typing import Any

import pdfplumber
import pytest

from flangelayout.drawing.model import Label
from flangelayout.drawing.settings import TemplateSettings
from flangelayout.drawing.textwidth import label_box
from flangelayout.geometry.shapes import Point
from flangelayout.job import Job
from flangelayout.packet.job import Part, build_packet
from flangelayout.packet.names import stamp_of
from flangelayout.views.template.pages import template_sheets
from jobs import make_job
from readers import MM_PER_POINT, FoundCircle, pdf_circles
from rows import first_of

JOBS: dict[str, dict[str, Any]] = {
    "two by two": {
        "plate": {"outside_diameter": 340, "bore": 100},
        "bolt_circle": [
            {"diameter": 295, "hole_count": 8, "hole_diameter": 22},
            {"diameter": 180, "hole_count": 8, "hole_diameter": 18, "start_angle": 22.5},
        ],
    },
    "three rows, three columns, Letter": {
        "plate": {"outside_diameter": 560, "bore": 300},
        "bolt_circle": [{"diameter": 495, "hole_count": 20, "hole_diameter": 22}],
        "template": {"paper": "Letter"},
    },
    "a large ring, its empty middle left out": {
        "plate": {"outside_diameter": 1168, "bore": 920},
        "bolt_circle": [{"diameter": 1086, "hole_count": 32, "hole_diameter": 41}],
    },
    "a plate of one row": {
        "plate": {"outline": "rectangle", "width": 700, "height": 150},
        "bolt_circle": [],
        "hole": [{"diameter": 14, "x": x, "y": y} for x in (-320, -100, 100, 320) for y in (-50, 50)],
    },
}


@dataclass
class PrintedPage:
    """What a person sees on a page, in mm from its lower left corner."""

    circles: list[FoundCircle]
    marks: dict[str, Point] = field(default_factory=dict)
    cut_left: float | None = None
    cut_top: float | None = None
    lies_over: set[int] = field(default_factory=set)
    kept_for: set[int] = field(default_factory=set)


def read(data: bytes, number: int) -> PrintedPage:
    page = PrintedPage(pdf_circles(data, number))
    with pdfplumber.open(BytesIO(data)) as document:
        shown = document.pages[number]
        height = float(shown.height)
        diamonds = [_middle(curve["pts"], height) for curve in shown.curves if _is_diamond(curve["pts"])]
        for word in _texts(shown):
            for name, at in word.items():
                nearest = min(diamonds, key=lambda each: each.distance_to(at))
                assert nearest.distance_to(at) < 8.0
                page.marks[name] = nearest
        lines = [
            (_point(line["pts"][0], height), _point(line["pts"][1], height)) for line in shown.lines if _is_cut(line)
        ]
        for start, end in lines:
            if abs(start.x - end.x) < 0.01:
                page.cut_left = start.x
            else:
                page.cut_top = start.y
        text = " ".join(_all_text(shown).split())
        page.lies_over = {int(each) for each in re.findall(r"lies over TILE (\d+)", text)}
        page.kept_for = {int(each) for each in re.findall(r"GLUE: TILE (\d+) lies to the line", text)}
    return page


def _point(at: tuple[float, float], height: float) -> Point:
    return Point(at[0] * MM_PER_POINT, (height - at[1]) * MM_PER_POINT)


def _middle(corners: list[tuple[float, float]], height: float) -> Point:
    points = [_point(corner, height) for corner in corners[:4]]
    return Point(sum(each.x for each in points) / 4, sum(each.y for each in points) / 4)


def _is_diamond(corners: list[tuple[float, float]]) -> bool:
    """Four equal sides and two diagonals of 6 mm, one upright and one level."""
    if len(corners) not in (4, 5):
        return False
    xs, ys = [x * MM_PER_POINT for x, _ in corners[:4]], [y * MM_PER_POINT for _, y in corners[:4]]
    return abs(max(xs) - min(xs) - 6.0) < 0.02 and abs(max(ys) - min(ys) - 6.0) < 0.02


def _is_cut(line: dict[str, Any]) -> bool:
    dashes = line.get("dash")
    return bool(dashes and dashes[0]) and abs(float(line["linewidth"]) * MM_PER_POINT - 0.35) < 0.01


def _texts(shown: Any) -> list[dict[str, Point]]:  # noqa: ANN401 - a page of pdfplumber has no types
    height = float(shown.height)
    words = shown.extract_words()
    return [
        {word["text"]: _point(((word["x0"] + word["x1"]) / 2, (word["top"] + word["bottom"]) / 2), height)}
        for word in words
        if re.fullmatch(r"J\d+", word["text"])
    ]


def _all_text(shown: Any) -> str:  # noqa: ANN401 - as above
    """Level texts, then the upright ones, each apart from those beside it."""
    columns: dict[float, list[str]] = {}
    for char in shown.chars:
        if not char["upright"]:
            columns.setdefault(round(char["x0"], 1), []).append(char["text"])
    return " | ".join([shown.extract_text() or "", *("".join(column) for column in columns.values())])


def joined(
    data: bytes, count: int, seen: Callable[[bytes, int], PrintedPage] = read
) -> list[tuple[PrintedPage, Point]]:
    """Every page in order with where its lower left corner comes to lie, in the frame of the first.

    A page that lies over none before it waits until one that lies over it has its place.
    """
    pages = [seen(data, number) for number in range(1, count + 1)]
    over = {(number, under) for number, page in enumerate(pages, 1) for under in page.lies_over}
    assert over == {(each, number) for number, page in enumerate(pages, 1) for each in page.kept_for}
    assert all(under < number for number, under in over)
    places = {1: Point(0.0, 0.0)}
    while len(places) < count:
        number = next(
            each for each in range(1, count + 1) if each not in places and _neighbors(each, over) & set(places)
        )
        page = pages[number - 1]
        shifts = [
            places[other] + pages[other - 1].marks[name] - page.marks[name]
            for other in _neighbors(number, over) & set(places)
            for name in page.marks.keys() & pages[other - 1].marks.keys()
        ]
        assert len(shifts) >= 2, f"tile {number} has no two marks to lie by"
        middle = Point(sum(each.x for each in shifts) / len(shifts), sum(each.y for each in shifts) / len(shifts))
        assert all(middle.distance_to(each) < 0.05 for each in shifts)
        places[number] = middle
    return [(page, places[number]) for number, page in enumerate(pages, 1)]


def _neighbors(number: int, over: set[tuple[int, int]]) -> set[int]:
    return {under for each, under in over if each == number} | {each for each, under in over if under == number}


def seen_from_above(placed: list[tuple[PrintedPage, Point]], at: Point, paper: Point) -> tuple[PrintedPage, Point]:
    """The page that lies on top at a place, and the place on it."""
    for page, corner in reversed(placed):
        on_page = at - corner
        inside = 0.0 < on_page.x < paper.x and 0.0 < on_page.y < paper.y
        cut_off = (page.cut_left is not None and on_page.x < page.cut_left) or (
            page.cut_top is not None and on_page.y > page.cut_top
        )
        if inside and not cut_off:
            return page, on_page
    raise AssertionError("no paper there")


@pytest.mark.parametrize("name", first_of(JOBS))
def test_a_literal_follower_gets_the_one_sheet_template(name: str) -> None:
    job: Job = make_job(**JOBS[name])
    data = _template(JOBS[name])
    with pdfplumber.open(BytesIO(data)) as document:
        count = len(document.pages) - 1
        paper = Point(float(document.pages[1].width) * MM_PER_POINT, float(document.pages[1].height) * MM_PER_POINT)
    assert count > 1
    placed = joined(data, count)
    holes = job.flange.holes()
    radius = holes[0].diameter / 2
    first = next(each for each in placed[0][0].circles if abs(each.radius - radius) < 0.01)
    origin = min(
        (Point(first.x, first.y) - hole.center for hole in holes if hole.diameter == holes[0].diameter),
        key=lambda guess: sum(
            min(Point(each.x, each.y).distance_to(guess + hole.center) for hole in holes)
            for each in placed[0][0].circles
            if abs(each.radius - radius) < 0.01
        ),
    )
    for hole in holes:
        at = origin + hole.center
        page, on_page = seen_from_above(placed, at, paper)
        own = [each for each in page.circles if abs(each.radius - hole.diameter / 2) < 0.01]
        assert own, f"hole {hole.label} is lost under another page"
        nearest = min(own, key=lambda each: Point(each.x, each.y).distance_to(on_page))
        assert Point(nearest.x, nearest.y).distance_to(on_page) < 0.1, hole.label


@pytest.mark.parametrize("name", first_of(JOBS))
def test_no_join_mark_can_be_taken_for_a_hole(name: str) -> None:
    """Every circle on a page is one of the plate's own: a hole, its drill start or its bolt circle."""
    job, data = make_job(**JOBS[name]), _template(JOBS[name])
    radii = {round(hole.diameter / 2, 3) for hole in job.flange.holes()}
    radii |= {round(min(hole.diameter / 3, 8.0) / 2, 3) for hole in job.flange.holes()}
    radii |= {round((job.flange.bore or 0.0) / 2, 3), round((job.flange.round_diameter or 0.0) / 2, 3)}
    assert {round(each.radius, 2) for each in pdf_circles(data, 1)} <= {round(radius, 2) for radius in radii}


@pytest.mark.slow
def test_a_page_that_is_laid_askew_does_not_pass_unseen() -> None:
    def moved(data: bytes, number: int) -> PrintedPage:
        page = read(data, number)
        if number == 4:
            name = min(page.marks)
            page.marks[name] += Point(0.3, 0.0)
        return page

    data = _template(JOBS["two by two"])
    assert len(joined(data, 4)) == 4
    with pytest.raises(AssertionError):
        joined(data, 4, moved)


def _template(tables: dict[str, Any]) -> bytes:
    packet = build_packet(make_job(**tables), (Part.TEMPLATE,))
    (data,) = (content for file, content in packet.items() if file.endswith(".pdf"))
    return data


def test_the_words_of_a_seam_stand_on_no_label_of_a_hole_where_the_other_side_is_free() -> None:
    plate = {"outside_diameter": 320, "bore": 100}
    outer = {"diameter": 280, "hole_count": 8, "hole_diameter": 17.5}
    inner = {"diameter": 215, "hole_count": 4, "kind": "tapped", "thread": "M12", "start_angle": 45}
    job = make_job(plate=plate, bolt_circle=[outer, inner])
    sheets = template_sheets(job.flange, job.info, stamp_of(job), job.unit, TemplateSettings("A4")).sheets
    crossed = []
    for sheet in sheets[1:]:
        drawn, seams = (view.drawing.items for view in sheet.views[:2])
        names = [item.what for item in drawn if isinstance(item.what, Label) and item.what.text == "B1"]
        words = [item.what for item in seams if isinstance(item.what, Label) and "TILE 3" in item.what.text]
        crossed += [word.text for word in words for name in names if label_box(word).overlaps(label_box(name))]
        assert names
    assert not crossed
