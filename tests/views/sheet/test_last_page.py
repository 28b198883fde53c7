"""How far the last page of a set is used, measured on the written PDF, and what does not leave the first for it."""

import re
import tomllib
from io import BytesIO
from pathlib import Path
from typing import Any

import pdfplumber
import pytest

from flangelayout.drawing.explode import items_box
from flangelayout.drawing.model import Label
from flangelayout.drawing.references import Furniture
from flangelayout.job import Job
from flangelayout.job.load import job_from_data
from flangelayout.packet.job import Part, build_packet, layout_pages
from readers import MM_PER_POINT, pdf_pages
from views.awkward_jobs import AWKWARD, Data
from views.sheet_items import items_of

ROOT = Path(__file__).parents[3]
FILES = [*sorted((ROOT / "templates").glob("*.toml")), *sorted((ROOT / "samples").glob("*.toml"))]
JOBS = {path.stem: tomllib.loads(path.read_text("utf-8")) for path in FILES} | AWKWARD
_LEAST = 1 / 3
"""Share of the room between head and foot that the ink of the last page spans: row by row, from left to right."""
_ROW = 2.0


def used(page: Any) -> float:  # noqa: ANN401 - pdfplumber has no types
    """The share of the room between the rule of the head and the foot that a page uses."""
    rule = max(
        (line for line in page.lines if line["top"] < 0.25 * page.height), key=lambda line: line["x1"] - line["x0"]
    )
    foot = min(word["top"] for word in page.extract_words() if word["text"] == "digest")
    top, left, right = rule["bottom"] + 1.0, rule["x0"] - 1.0, rule["x1"] + 1.0
    marks = [
        mark
        for mark in (*page.chars, *page.lines, *page.curves, *page.rects)
        if top < mark["top"] and mark["bottom"] < foot and left <= mark["x0"] and mark["x1"] <= right
    ]
    high, step = foot - top, _ROW / MM_PER_POINT
    spans = 0.0
    for row in range(int(high / step)):
        low, up = top + row * step, top + (row + 1) * step
        on_row = [mark for mark in marks if mark["top"] < up and mark["bottom"] > low]
        spans += max((m["x1"] for m in on_row), default=0.0) - min((m["x0"] for m in on_row), default=0.0)
    return float(spans * step / (high * (right - left)))


def job_on(tables: Data, paper: str) -> Job:
    """A job whose sheets are on a paper."""
    data: Data = {"units": "mm", **tables}
    data |= {"sheet": data.get("sheet", {}) | {"paper": paper}, "job": {"number": "T-1", **data.get("job", {})}}
    return job_from_data(data)


@pytest.mark.parametrize(
    ("name", "paper", "held"),
    [
        ("oval-flange", "A3", "NOTES 1. 2. 3. 4. 5."),
        ("header-ring", "A4", "NOTES 1. 2. 3. 4."),
        pytest.param("tube-sheet", "A4", "A1 A20 NOTES 1. 2. 3. 4. 5. 6.", marks=pytest.mark.slow),
        pytest.param("every part", "A4", "NOTES 1. 2.", marks=pytest.mark.slow),
    ],
)
def test_what_the_first_sheet_holds_does_not_leave_it_to_fill_the_last(name: str, paper: str, held: str) -> None:
    first, *further = layout_pages(job_on(JOBS[name], paper)).sheets
    told = [item.what.text for item in first.furniture if isinstance(item.what, Label)]
    assert further
    assert set(held.split()) <= set(told)
    assert any(text.startswith("Seen from") for text in told)


@pytest.mark.slow
def test_a_page_has_one_block_of_notes_and_the_parts_of_a_table_in_the_order_they_are_read_in() -> None:
    letter, a4, sixty = (
        [
            [item.what for item in sheet.furniture if isinstance(item.what, Label)]
            for sheet in layout_pages(job_on(JOBS[name], paper)).sheets
        ]
        for name, paper in (("machined-flange", "Letter"), ("machined-flange", "A4"), ("sixty holes", "Tabloid"))
    )
    on_letter, on_a4 = (
        [" / ".join(label.text for label in page if _TITLES["NOTES"].match(label.text)) for page in pages]
        for pages in (letter, a4)
    )
    assert on_letter == ["", "", "", "NOTES"]
    assert on_a4 == ["", "", "NOTES", ""]
    first, second = sorted(
        (label for label in sixty[0] if label.text.startswith("HOLES (mm), ")), key=lambda label: label.at.x
    )
    assert (first.text, second.text) == ("HOLES (mm), 1 OF 2", "HOLES (mm), 2 OF 2")
    assert first.at.y <= second.at.y


_TITLES = {
    "NOTES": re.compile("NOTES(, continued)?$"),
    "HOLE TABLES": re.compile(r"HOLES( [A-Z])? \("),
    "TOLERANCES": re.compile(r"TOLERANCES \("),
    "DETAIL": re.compile(r"DETAIL Z \("),
    "HOLE SECTIONS": re.compile(r"SECTIONS? OF HOLES \("),
}
"""What the first sheet calls what stands elsewhere under such a title."""


def untold(job: Job) -> list[str]:
    """What stands on further sheets and is not said to on the first, and what is said to and does not."""
    first, *further = layout_pages(job).sheets
    pages = [[item.what.text for item in items_of(page) if isinstance(item.what, Label)] for page in (first, *further)]
    titles = [{name for name, title in _TITLES.items() if any(map(title.match, page))} for page in pages]
    where: dict[str, set[int]] = {}
    for number, names in enumerate(titles[1:], 2):
        for name in names:
            where.setdefault(f"FURTHER {name}" if name in titles[0] else name, set()).add(number)
    said: dict[str, set[int]] = {}
    for names, sheets in re.findall(r"([A-Z, ]+): SEE SHEETS? ([\d, ]*\d)", " ".join(pages[0])):
        for name in re.findall("(?:FURTHER )?(?:NOTES|HOLE TABLES|TOLERANCES|DETAIL|HOLE SECTIONS)", names):
            said.setdefault(name, set()).update(map(int, sheets.split(", ")))
    return [] if said == where else [f"said {said}, true {where}"]


@pytest.mark.parametrize(
    "paper", ["Letter", *(pytest.param(paper, marks=pytest.mark.slow) for paper in ("A4", "A3", "Tabloid"))]
)
def test_the_first_sheet_says_on_which_stands_what_it_has_no_room_for(paper: str) -> None:
    names = ("lozenge-flange",) if paper == "Letter" else JOBS
    assert not {name: told for name in names if (told := untold(job_on(JOBS[name], paper)))}


_THROUGH: Data = {"kind": "tapped", "thread": "M20", "depth": 30, "x": 0, "y": 150}
"""In 40 mm of plate the drill's point comes through its back: a failed check."""
_WINDOW: Data = {"name": "left window", "shape": "window", "angle": 180, "sweep": 60, "corner_radius": 10}
_WINDOW |= {"inner_diameter": 180, "outer_diameter": 360}
_WINDOWS: Data = {
    "plate": {"outside_diameter": 500, "bore": 120, "thickness": 40},
    "bolt_circle": [{"diameter": 450, "hole_count": 16, "bolt": "M20"}],
    "opening": [
        _WINDOW,
        {"shape": "slot", "x": 130, "y": 0, "length": 80, "width": 30},
    ],
    "hole": [_THROUGH, {"kind": "tapped", "thread": "M10", "depth": 15, "worked_from": "back", "x": 60, "y": -140}],
}
_TALL: Data = {
    "plate": {"outline": "rectangle", "width": 250, "height": 2500, "thickness": 40},
    "bolt_circle": [{"diameter": 150, "hole_count": 4, "hole_diameter": 14}],
    "hole": [_THROUGH],
}


@pytest.mark.slow
@pytest.mark.parametrize("tables", [_WINDOWS, _TALL])
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_what_is_to_be_looked_into_stands_on_the_first_sheet(tables: Data, paper: str) -> None:
    """Long words of an opening push it off no more than a plate that is narrow at any scale."""
    job = job_on(tables, paper)
    assert any(each.failed for each in job.findings)
    first = layout_pages(job).sheets[0]
    told = " ".join(each.what.text for each in items_of(first) if isinstance(each.what, Label))
    assert re.search(r"CHECK BEFORE CUTTING 1\. Hole X1:.* comes out of the far face by 2\.75 mm", told)
    assert not untold(job)


_OVER_BLOCK = 6.0
"""Printed mm over the title block that the line for what is overleaf is to be found in."""


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["Letter", "A4", "A3", "Tabloid"])
def test_the_line_for_what_is_overleaf_stands_in_one_place(paper: str) -> None:
    """Over the upper left corner of the title block, where whoever turns the sheet over looks it up."""
    names = ("lozenge-flange", "machined-flange", "reducing-flange") if paper == "Letter" else JOBS
    wrong = {}
    for name in names:
        job = job_on(JOBS[name], paper)
        first = layout_pages(job).sheets[0]
        labels = [item.what for item in first.furniture if isinstance(item.what, Label)]
        owner = next(label.at for label in labels if label.text in ("LEGAL OWNER", "COMPANY"))
        lines = [label.at - owner for label in labels if "SEE SHEET" in label.text]
        if not all(-40.0 < at.x < 0.0 and 0.0 < at.y < 2 * _OVER_BLOCK for at in lines):
            wrong[name] = lines
    assert not wrong


_CLEAR = 1.5
"""Printed mm from the line for what is overleaf up to the lowest row of a table, where there is room for them."""


def test_the_line_for_what_is_overleaf_stands_clear_of_the_table_above_it() -> None:
    """On Letter the adapter's tables reach down to it, with white paper left over them."""
    first = layout_pages(job_on(JOBS["adapter"], "Letter")).sheets[0]
    line = next(item for item in first.furniture if isinstance(item.what, Label) and "SEE SHEET" in item.what.text)
    top = items_box([line]).top
    ruled = [items_box([item]) for item in first.furniture if not isinstance(item.what, Label)]
    assert min(box.bottom for box in ruled if box.bottom > top) - top >= _CLEAR


@pytest.mark.slow
def test_notes_of_one_page_have_one_heading() -> None:
    holes = [{"kind": "lifting", "thread": "M20", "depth": 30, "radius": 150, "angle": 90}, *_WINDOWS["hole"][1:]]
    for sheet in layout_pages(job_on({**_WINDOWS, "hole": holes}, "A4")).sheets:
        told = [item.what.text for item in items_of(sheet) if isinstance(item.what, Label)]
        assert len([text for text in told if _TITLES["NOTES"].match(text)]) <= 1


def test_notes_cost_no_step_of_scale_where_a_sheet_follows_that_takes_them() -> None:
    """The intake ring has one more note than the starter of its size: both views are as large (ISO 5455: 1:2)."""
    scales = {}
    for name in ("ring-flange", "intake-ring"):
        first, *further = layout_pages(job_on(JOBS[name], "A4")).sheets
        scales[name] = first.views[0].scale
        assert len(further) == 1
    assert scales == {"ring-flange": 0.5, "intake-ring": 0.5}


@pytest.mark.parametrize(
    "paper", ["A3", *(pytest.param(paper, marks=pytest.mark.slow) for paper in ("A4", "Letter", "Tabloid"))]
)
def test_letters_of_a_further_sheet_are_no_more_than_two_steps_apart(paper: str) -> None:
    """ISO 3098-1: from height to height by the square root of 2, so two steps are twice as high."""
    names = ("oval-flange", "lozenge-flange", "blind") if paper == "A3" else JOBS
    apart = {}
    for name in names:
        for page in layout_pages(job_on(JOBS[name], paper)).sheets[1:]:
            heights = [item.what.height_paper for item in items_of(page) if isinstance(item.what, Label)]
            if max(heights) > 2.01 * min(heights):
                apart[name] = sorted({round(height, 2) for height in heights})
    assert not apart


_THROUGH_WALL: Data = {"kind": "lifting", "thread": "M16", "depth": 20, "x": 0, "y": 115}
_SLOTTED: Data = {
    "plate": {"outside_diameter": 330, "bore": 100, "thickness": 24},
    "bolt_circle": [
        {"diameter": 280, "hole_count": 6, "kind": "slot", "hole_diameter": 18, "slot_length": 50},
        {"diameter": 180, "hole_count": 4, "kind": "slot", "hole_diameter": 11, "slot_length": 30},
    ],
    "hole": [
        {"name": "gauge", "kind": "tapped", "thread": "1/4-18 NPT", "radius": 120, "angle": 15},
        {"name": "drain", "kind": "tapped", "thread": "G 1/2", "x": 0, "y": -115},
        _THROUGH_WALL,
    ],
}


def test_the_room_beside_the_name_of_the_section_is_used_before_the_view_is_made_smaller() -> None:
    """A warning and five lines of call-outs: 132 mm of plate, as on A4, not 66 on a page 216 wide (ISO 5455: 1:2.5)."""
    scales = [layout_pages(job_on(_SLOTTED, paper)).sheets[0].views[0].scale for paper in ("A4", "Letter")]
    assert scales == [0.4, 0.4]


_UNEVEN_PUMP: Data = {
    "units": "in",
    "plate": {"outside_diameter": 14, "bore": 6, "thickness": 0.875, "material": "A36 plate"},
    "bolt_circle": [
        {"diameter": 11.5, "hole_diameter": 0.8125, "angles": [10, 55, 98, 141, 190, 233, 281, 327], "bolt": "3/4"},
        {"diameter": 8.5, "hole_diameter": 0.5625, "angles": [18, 42, 138, 162, 258, 282]},
    ],
    "cut": {"process": "laser"},
}


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_box_says_what_failed_where_it_has_no_room_for_ground_and_cure(paper: str) -> None:
    """Long call-outs on both sides leave a strip under the views; a box that only points is read as no warning."""
    job = job_on(_UNEVEN_PUMP, paper)
    assert sum(each.failed for each in job.findings) == 2
    first = layout_pages(job).sheets[0]
    told = " ".join(each.what.text for each in items_of(first) if isinstance(each.what, Label))
    assert told.count("smaller than laser cuts well") >= 2
    assert "see the notes" not in told


@pytest.mark.slow
def test_every_sheet_of_a_check_card_has_something_to_measure() -> None:
    pump = _UNEVEN_PUMP | {"sheet": {"dual_units": True}, "cut": {"process": "laser", "lead_in": 0.1, "tabs": 2}}
    pump["bolt_circle"] = [pump["bolt_circle"][0], {"diameter": 8.5, "hole_count": 6, "pair_angle": 24}]
    pump["bolt_circle"][1]["hole_diameter"] = 0.5625
    for sheet in layout_pages(job_on(pump, "Letter")).sheets[1:]:
        told = [item.what.text for item in items_of(sheet) if isinstance(item.what, Label)]
        assert not any(text.startswith("AT THE PLATE") for text in told) or "measured" in told


def test_a_circle_without_a_letter_is_no_list_by_letters() -> None:
    lugs: Data = {"outline": "lugged", "outside_diameter": 10, "bore": "8 1/8", "lug_radius": 1}
    lugs |= {"lug_width_at_middle": 5, "root_radius": "1/2", "thickness": "5/8"}
    circle = {"diameter": "11 3/4", "hole_count": 8, "bolt": "3/4"}
    first = layout_pages(job_on({"units": "in", "plate": lugs, "bolt_circle": [circle]}, "A4")).sheets[0]
    told = [item.what.text for item in first.furniture if isinstance(item.what, Label)]
    assert "HOLES" in told
    assert "HOLES BY LETTER" not in told


@pytest.mark.slow
def test_notes_stand_beside_a_hole_table_under_a_wide_list_of_letters() -> None:
    square: Data = {
        "plate": {"outline": "square", "width": 350, "corner_radius": 25, "bore": 180, "thickness": 25},
        "bolt_circle": [
            {"standard": "IEC 60072-1 FF265", "kind": "tapped", "thread": "M12"},
            {"diameter": 230, "hole_count": 6, "kind": "counterbored", "bolt": "M10", "start_angle": 7},
            {"diameter": 400, "hole_count": 4, "placement": "straddle", "kind": "tapped", "thread": "M8"},
        ],
        "turned": [{"kind": "register", "face": "face", "diameter": 230, "depth": 5, "fit": "H7"}],
    }
    first = layout_pages(job_on(square, "A4")).sheets[0]
    told = [item.what.text for item in first.furniture if isinstance(item.what, Label)]
    assert {"HOLES BY LETTER", "NOTES", "5."} <= set(told)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["blind", "split-ring", "chainring-spider"])
def test_the_places_of_all_holes_stand_on_the_drawing_rather_than_notes(name: str) -> None:
    """On Letter beside the section's name, or with heads in two lines, at the scale that the views alone would have."""
    job = job_on(JOBS[name], "Letter")
    first = layout_pages(job).sheets[0]
    told = {item.what.text for item in first.furniture if isinstance(item.what, Label)}
    assert {hole.label for hole in job.flange.holes()} <= told
    assert first.views[0].scale == (1.0 if name == "chainring-spider" else 0.4)


@pytest.mark.slow
def test_tables_of_holes_stand_on_one_page_where_as_many_pages_have_room() -> None:
    """Who lays out two circles looks them up in one place (common practice, no source)."""
    packet = build_packet(job_on(JOBS["slots"], "Letter"), (Part.SHEET,))
    pages = pdf_pages(next(made for name, made in packet.items() if name.endswith(".pdf")))
    bearing = [number for number, page in enumerate(pages, 1) if re.search(r"HOLES [AB]? ?\(mm\)", page)]
    assert (len(bearing), len(pages)) == (1, 3)


@pytest.mark.slow
def test_a_box_of_warnings_leaves_the_room_beside_it_that_its_lines_do_not_need() -> None:
    """The tolerances are 53 mm wide, and under views 160 mm wide stands a box of four lines."""
    pipe = {"name": "pipe", "standard": "ASME B16.5 Class 150 NPS 12", "bolt": "7/8"}
    pump = {"name": "pump", "diameter": 11.75, "hole_count": 8, "start_angle": 22.5, "kind": "tapped"}
    adapter: Data = {
        "units": "in",
        "plate": {"outside_diameter": 19, "bore": 8.125, "thickness": 1.25, "material": "carbon steel plate"},
        "bolt_circle": [pipe, pump | {"thread": "3/4-10", "depth": 0.875}],
        "sheet": {"dual_units": True},
    }
    first = layout_pages(job_on(adapter, "A4")).sheets[0]
    told = [item.what.text for item in first.furniture if isinstance(item.what, Label)]
    assert {"CHECK BEFORE CUTTING", "TOLERANCES (in [mm])", "NOTES"} <= set(told)


@pytest.mark.slow
def test_views_stand_in_the_middle_of_what_the_words_beside_them_leave() -> None:
    """Two circles of 56 holes on a sheet that lies: white paper left of the views as between them and the words."""
    circles = [
        {"diameter": 49, "hole_count": 56, "hole_diameter": 0.9375},
        {"diameter": 44.5, "hole_count": 56, "hole_diameter": 0.6875},
    ]
    plate = {"outside_diameter": 52, "bore": 41.5, "thickness": 1.5}
    job = job_on({"units": "in", "plate": plate, "bolt_circle": circles}, "Tabloid")
    first = layout_pages(job).sheets[0]
    (view,) = first.views
    views = items_box(view.drawing.items, view.scale).scaled(view.scale).moved(view.at_paper)
    border = items_box(item for item in first.furniture if item.source == Furniture("border"))
    notes = next(item for item in first.furniture if getattr(item.what, "text", "") == "NOTES")
    assert views.left - border.left > 20.0
    assert items_box([notes]).left - views.right == pytest.approx(views.left - border.left, abs=12.0)


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["A4", "Letter", "A3", "Tabloid"])
def test_the_last_page_of_starters_samples_and_awkward_jobs_is_a_third_used(paper: str) -> None:
    spare = {}
    for name, tables in JOBS.items():
        packet = build_packet(job_on(tables, paper), [Part.SHEET])
        (content,) = (content for file, content in packet.items() if file.endswith(".pdf"))
        with pdfplumber.open(BytesIO(content)) as document:
            share = used(document.pages[-1]) if len(document.pages) > 1 else 1.0
        if share < _LEAST:
            spare[name] = round(share, 2)
    assert not spare, spare
