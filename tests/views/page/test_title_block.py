"""The title block: each value that a shop orders, files and signs by stands under its own caption."""

from typing import Any

import pytest

from flangelayout.drawing.model import Label, Sheet
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
    "DATE OF ISSUE": "2026-11-20",
    "SIZES IN": "millimeters",
    "IDENTIFICATION NUMBER": "MB-7",
    "REVISION": "C",
    # pi/4 (285^2 - 170^2 - 8 x 22^2) x 22 mm of steel at 7850 kg per cubic meter
    "MASS": "6.57 kg",
}


def cells(sheet: Sheet) -> dict[str, str]:
    """The value that stands just below each caption."""
    labels = [item.what for item in sheet.furniture if isinstance(item.what, Label)]
    found = {}
    for caption in (each for each in labels if each.height_paper < 2):
        below = [each for each in labels if abs(each.at.x - caption.at.x) < 1 and 0 < caption.at.y - each.at.y < 8]
        found[caption.text] = max(below, key=lambda each: each.at.y).text if below else ""
    return found


@pytest.mark.slow
@pytest.mark.parametrize("caption", SAID)
def test_every_value_stands_under_its_caption(caption: str) -> None:
    (first, *_) = layout_pages(make_job(job=INFO, plate=PLATE)).sheets
    assert cells(first)[caption] == SAID[caption]


def test_an_inch_job_says_inches_and_pounds() -> None:
    plate = {"outside_diameter": 11, "bore": 6.75, "thickness": 1, "material": "carbon steel"}
    circle = {"diameter": 9.5, "hole_count": 8, "hole_diameter": "7/8"}
    job = make_job(units="in", job=INFO, plate=plate, bolt_circle=[circle], sheet={"convention": "ISO"})
    said = cells(layout_pages(job).sheets[0])
    assert said["SIZES IN"] == "inches"
    # pi/4 (11^2 - 6.75^2 - 8 x 0.875^2) x 1 cubic inches, 0.2836 lb each
    assert said["MASS"] == "15.4 lb"


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
