"""Circles that would bear no number in any usual way: they are led to, or stand beyond the rim."""

from typing import Any

import pytest

from flangelayout.job.load import job_from_data
from flangelayout.packet.job import layout_pages
from flangelayout.writers.pdf import write_pdf
from jobs import make_job
from rows import every_row
from views.awkward_jobs import AWKWARD
from views.printed_page import printed_pages
from views.sheet.test_hole_numbers import all_faults, face_view, hole_places, numbered_plate, numbers

_AT_LUGS = (
    "A",
    {
        "plate": {
            "outline": "lugged",
            "outside_diameter": 240,
            "bore": 150,
            "lug_radius": 22,
            "root_radius": 12,
            "thickness": 12,
        },
        "bolt_circle": [
            {"diameter": 280, "hole_count": 3, "hole_diameter": 18, "start_angle": 20},
            {"diameter": 200, "hole_count": 12, "hole_diameter": 9, "start_angle": 3},
        ],
    },
)
_OF_FEW = (
    "C",
    {
        "units": "in",
        "plate": {"outside_diameter": 18, "bore": 4, "thickness": 1},
        "bolt_circle": [
            {"diameter": 16, "hole_count": 16, "hole_diameter": 1},
            {"diameter": 12.5, "hole_count": 12, "hole_diameter": 0.625, "start_angle": 5},
            {"diameter": 9, "hole_count": 8, "hole_diameter": 0.5, "start_angle": 9},
            {"diameter": 6, "hole_count": 6, "hole_diameter": 0.375},
        ],
    },
)


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
def test_of_two_dense_circles_the_outer_is_numbered_beyond_the_rim(paper: str) -> None:
    """Its own hole is nearer by 1.3 times alone there, but a line from it leads to the number."""
    job = job_from_data(
        {"units": "mm", "job": {"number": "T-1"}, **AWKWARD["many warnings"], "sheet": {"paper": paper}}
    )
    sheets = layout_pages(job)
    view = face_view(sheets.sheets[0])
    plate = numbered_plate(job, view, printed_pages(write_pdf(sheets))[0])
    outer = {label for label in plate.numbers if label.startswith("B")}
    assert outer == {f"B{number}" for number in range(1, 37, 2)} == plate.led & outer
    assert not all_faults(job, sheets)


@pytest.mark.slow
@every_row("circle", [_AT_LUGS, _OF_FEW])
def test_a_circle_of_few_holes_bears_all_its_numbers_beyond_lugs_and_between_other_circles(
    circle: tuple[str, dict[str, Any]],
) -> None:
    letter, tables = circle
    job = make_job(**tables, sheet={"paper": "A4"})
    sheets = layout_pages(job)
    own = {label for label in hole_places(job) if label.startswith(letter)}
    assert own <= set(numbers(face_view(sheets.sheets[0])))
    assert not all_faults(job, sheets)
