"""The title block: each value that a shop orders, files and signs by stands under its own caption."""

from typing import Any

import pytest

from flangelayout.drawing.model import Label, Sheet
from flangelayout.drawing.references import FieldRef, TitleBlockRef
from flangelayout.drawing.textwidth import text_width
from flangelayout.packet.job import layout_pages
from jobs import make_job

INFO: dict[str, Any] = {
    "number": "MB-7",
    "title": "Screen cover",
    "revision": "C",
    "owner": "Marrow Beck Hatchery",
    "customer": "Intake gang",
    "drawn_by": "A. Weir",
    "approved_by": "B. Sluice",
    "date": "2026-11-20",
    "status": "for cutting",
    "quantity": 7,
}
PLATE = {"outside_diameter": 285, "bore": 170, "thickness": 22, "material": "carbon steel"}
SAID = {
    "LEGAL OWNER": "Marrow Beck Hatchery",
    "TITLE": "Screen cover",
    "CUSTOMER": "Intake gang",
    "MATERIAL": "carbon steel",
    "QUANTITY": "7",
    "STATUS": "for cutting",
    "CREATED BY": "A. Weir",
    "APPROVED BY": "B. Sluice",
    "DATE": "2026-11-20",
    "SIZES IN": "millimeters",
    "REVISION": "C",
    # pi/4 (285^2 - 170^2 - 8 x 22^2) x 22 mm of steel at 7850 kg per cubic meter
    "MASS": "6.57 kg",
}


def cells(sheet: Sheet) -> dict[str, str]:
    """The value that stands right of each caption on its line, or else just below it."""
    labels = [item for item in sheet.furniture if isinstance(item.what, Label)]
    values = [item.what for item in labels if isinstance(item.source, FieldRef) and isinstance(item.what, Label)]
    found = {}
    for caption in (item.what for item in labels if item.source == TitleBlockRef("title block")):
        assert isinstance(caption, Label)
        beside = [each for each in values if abs(each.at.y - caption.at.y) < 1.5 and each.at.x > caption.at.x]
        below = [each for each in values if abs(each.at.x - caption.at.x) < 1 and 0 < caption.at.y - each.at.y < 8]
        near = min(beside, key=lambda each: each.at.x, default=None)
        end = caption.at.x + text_width(caption.text, caption.height_paper)
        is_beside = near is not None and near.at.x - end < 3
        found[caption.text] = (
            near.text if near and is_beside else max(below, key=lambda e: e.at.y).text if below else ""
        )
    return found


def test_every_value_stands_under_its_caption() -> None:
    (first, *_) = layout_pages(make_job(job=INFO, plate=PLATE)).sheets
    found = cells(first)
    assert {caption: found[caption] for caption in SAID} == SAID


def test_the_number_stands_largest_at_the_lower_right() -> None:
    (first, *_) = layout_pages(make_job(job=INFO, plate=PLATE)).sheets
    labels = [item.what for item in first.furniture if isinstance(item.what, Label)]
    (number,) = (label for label in labels if label.text == "MB-7")
    assert number.height_paper == max(label.height_paper for label in labels) == 5.0
    assert number.at.x > first.paper.width * 0.6
    assert number.at.y < 25


def test_an_inch_job_says_inches_and_pounds() -> None:
    plate = {"outside_diameter": 11, "bore": 6.75, "thickness": 1, "material": "carbon steel"}
    circle = {"diameter": 9.5, "hole_count": 8, "hole_diameter": "7/8"}
    job = make_job(units="in", job=INFO, plate=plate, bolt_circle=[circle], sheet={"convention": "ISO"})
    said = cells(layout_pages(job).sheets[0])
    assert said["SIZES IN"] == "inches"
    dual = make_job(units="in", job=INFO, plate=plate, bolt_circle=[circle], sheet={"dual_units": True})
    assert cells(layout_pages(dual).sheets[0])["DIMENSIONS IN"] == "inch [mm]"
    # pi/4 (11^2 - 6.75^2 - 8 x 0.875^2) x 1 cubic inches, 0.2836 lb each
    assert said["MASS"] == "15.4 lb"


@pytest.mark.slow
def test_the_pages_of_a_set_are_counted() -> None:
    circles = [
        {"diameter": 250, "hole_count": 40, "hole_diameter": 8},
        {"diameter": 200, "hole_count": 32, "hole_diameter": 6},
    ]
    sheets = layout_pages(make_job(job=INFO, plate=PLATE, bolt_circle=circles)).sheets
    assert len(sheets) > 1
    assert cells(sheets[0])["SHEET"] == f"1 / {len(sheets)}"
    for number, sheet in enumerate(sheets[1:], 2):
        words = [item.what.text for item in sheet.furniture if isinstance(item.what, Label)]
        assert {"MB-7", f"REV C · {number} / {len(sheets)}"} <= set(words)
        assert any(word.startswith("Screen cover · ") for word in words)
