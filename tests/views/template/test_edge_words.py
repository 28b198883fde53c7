"""What stands at the edges of tiles: no two words over each other, none over a join mark or an edge of its page."""

from itertools import combinations
from typing import Any

import pytest

from flangelayout.drawing.model import Label, Sheet
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.settings import TemplateSettings
from flangelayout.drawing.textwidth import label_box
from flangelayout.files.starters import starters
from flangelayout.geometry.shapes import Box, Contour, Line, extent
from flangelayout.job import Job
from flangelayout.job.load import job_from_data, job_from_text
from flangelayout.packet.job import face_template
from flangelayout.views.template.pages import template_sheets
from rows import every_row
from views.awkward_jobs import AWKWARD

_COMMON: dict[str, Any] = {"units": "mm", "job": {"number": "T-1"}}
_SAID = (Furniture("seam"), Furniture("join mark"), Furniture("tile number"))
_TOUCH = 0.1
_CROWDED = {"sixty holes", "three meters"}
"""Rings of many tiles, two of which have no place for a short word that crosses no edge."""
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
    pages = template_sheets(face_template(job), TemplateSettings(paper)).sheets[1:]
    return [
        f"tile {number}: {one} / {other or 'mark or edge'}"
        for number, page in enumerate(pages, 1)
        for (one, box), (other, beside) in combinations(_stands(page), 2)
        if (one or other) and box.overlaps(beside)
    ]


def test_two_neighbors_at_one_edge_have_their_words_apart() -> None:
    """A quarter of a ring: its third tile is cut along one line for two tiles before it."""
    job = job_from_data(_COMMON | AWKWARD["segment"])
    pages = template_sheets(face_template(job), TemplateSettings("Letter")).sheets[1:]
    two = [text for text, _ in _stands(pages[2]) if text.endswith((" 1", " 2"))]
    assert len(two) == 2
    assert not _over_each_other(job, "Letter")


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
def test_no_words_at_the_edges_of_a_tile_stand_over_each_other(paper: str) -> None:
    jobs = {name: job_from_text(each.content.decode()) for name, each in starters().items()}
    jobs |= {name: job_from_data(_COMMON | data) for name, data in AWKWARD.items()}
    found = {name: over for name, job in jobs.items() if (over := _over_each_other(job, paper))}
    assert not {name: over for name, over in found.items() if name not in _CROWDED}, found
    for over in found.values():  # their seams are too short for any place
        assert len(over) <= 2
        assert all(each.split(" / ")[0].endswith(": ") and " / GLUE" in each for each in over), over
