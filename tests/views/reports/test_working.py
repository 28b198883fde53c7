"""The working page."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import stamp
from flangelayout.drawing.explode import exploded, primitive_box
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import SheetSet
from flangelayout.flange import chord_across
from flangelayout.survey import Kind, Reading, Survey, measure
from flangelayout.units import Unit
from flangelayout.views.reports.working import working_sheets
from flangelayout.writers.pdf import write_pdf
from rows import first_of
from survey.synthetic import Part, pair
from views.printed_page import printed_pages
from views.sheet.test_overlap import meetings
from views.sheet_items import texts_of

INFO = JobInfo("T-1", "Old flange")


def survey(count: int = 8) -> Survey:
    spans = sorted({1, count // 2, max(1, count // 3)})
    readings = [Reading(Kind.CENTERS, chord_across(240, count, span), pitches=span, within=0.2) for span in spans]
    return measure(readings, hole_count=count)


def texts(sheets: SheetSet) -> list[str]:
    return texts_of(*sheets.sheets)


def test_it_shows_the_result_with_its_band_and_the_step_of_the_sine() -> None:
    # The sine of 22.5 degrees is the chord factor that handbooks print for 8 divisions: 0.382683.
    shown = texts(working_sheets(survey(), INFO, stamp(), Unit.MM, "A4"))
    assert any(text.startswith("⌀240.00 ±") for text in shown)
    assert any("0.382683" in text for text in shown)


def test_one_drilling_under_several_names_is_said_to_have_them() -> None:
    # EN 1092-1 table 1: 8 holes on 210 are DN125 of PN10 and of PN16.
    readings = [Reading(Kind.CENTERS, chord_across(210, 8, span), pitches=span, within=0.05) for span in (1, 3, 4)]
    readings.append(Reading(Kind.HOLE_DIAMETER, 18.0, within=0.05))
    shown = texts(working_sheets(measure(readings, hole_count=8), INFO, stamp(), Unit.MM, "A4"))
    assert {"EN 1092-1 PN10 DN125", "EN 1092-1 PN16 DN125"} <= {*shown}
    chances = [int(text.removesuffix(" %")) for text in shown if re.fullmatch(r"\d+ %", text)]
    assert f"drilling fits, published under {len(chances)} names whose chances add up." in " ".join(shown)
    assert sum(chances) == pytest.approx(100, abs=len(chances))


def test_readings_in_inches_are_shown_in_inches() -> None:
    shown = texts(working_sheets(survey(), INFO, stamp(), Unit.IN, "Letter"))
    assert any(text.startswith("⌀9.449 ±") for text in shown)


@pytest.mark.parametrize("count", first_of([4, 5, 6, 8, 12, 16, 40]))
def test_readings_stand_clear_of_the_numbers_of_holes_and_of_every_line(count: int) -> None:
    spans = [(1, 2), (1, 1 + max(1, count // 2)), (3, 4)]
    for kind in (Kind.CENTERS, Kind.SAME_EDGES, Kind.NEAR_EDGES, Kind.FAR_EDGES):
        part = Part(hole_count=count, hole=min(22.0, 300.0 / count))
        readings = [pair(part, kind, first, second, within=0.2) for first, second in spans]
        readings.append(Reading(Kind.HOLE_DIAMETER, part.hole, within=0.2))
        pages = working_sheets(measure(readings, hole_count=count), INFO, stamp(), Unit.MM, "A4")
        page, *_ = printed_pages(write_pdf(pages))
        assert meetings(page) == []
        shown = {text.words for text in page.texts} & {f"{n}: {r.value:.2f}" for n, r in enumerate(readings, 1)}
        assert len(shown) == 3 or count > 12


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@given(count=st.integers(3, 40))
@settings(max_examples=5)
def test_everything_stays_on_the_page(paper: str, count: int) -> None:
    for sheet in working_sheets(survey(count), INFO, stamp(), Unit.MM, paper).sheets:
        boxes = [primitive_box(part) for _, part in exploded(sheet.furniture, 1.0)]
        for view in sheet.views:
            boxes += [primitive_box(part).moved(view.at_paper) for _, part in exploded(view.drawing.items, 1.0)]
        assert all(box.left >= 5 and box.right <= sheet.paper.width - 5 for box in boxes)
        assert all(box.bottom >= 5 and box.top <= sheet.paper.height - 5 for box in boxes)
