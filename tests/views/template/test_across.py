"""What is read on the joined paper runs over the seams it tells of: judged on the pages, with shapely."""

import math
import re
from typing import Any

import pytest
import shapely

from flangelayout.drawing.model import Label, SheetSet
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.settings import TemplateSettings
from flangelayout.files.starters import starters
from flangelayout.flange import Flange, SegmentOutline
from flangelayout.geometry.shapes import Arc, Line
from flangelayout.job import Job
from flangelayout.job.load import job_from_data, job_from_text
from flangelayout.packet.job import face_template
from flangelayout.views.template.pages import template_faces, template_sheets
from rows import every_row
from views.awkward_jobs import AWKWARD
from views.tile_pages import tiles_of

_WAYS = {"left": (-1, 0), "right": (1, 0), "bottom": (0, -1), "top": (0, 1), "lower": (0, -1), "upper": (0, 1)}


def _seams(pages: SheetSet) -> list[shapely.LineString]:
    """The lines that kept pages have printed for their neighbors, in the frame of the pages."""
    seams = []
    for page in tiles_of(pages):
        drawing = next(view.drawing for view in page.views if view.drawing.title == "template seams")
        for item in drawing.items:
            if item.source == Furniture("keep line"):
                assert isinstance(item.what, Line)
                seams.append(shapely.LineString([(at.x, at.y) for at in (item.what.start, item.what.end)]))
    return seams


def _line(between: str, flange: Flange, side: int) -> shapely.LineString:
    """What is measured, on the pages: a hole is where it is, edges are on the centerlines or on a diagonal."""
    holes = {f"hole {hole.label}": (side * hole.center.x, hole.center.y) for hole in flange.shown_holes()}
    box, ends = flange.box(), []
    if between.startswith("corner"):
        assert isinstance(flange.outline, SegmentOutline)
        arc = max((part for part in flange.outline.shape.parts if isinstance(part, Arc)), key=lambda part: part.radius)
        return shapely.LineString([(side * at.x, at.y) for at in (arc.start, arc.end)])
    for end in between.replace("middle of slot", "hole").split(" to "):
        if end in holes:
            ends.append(holes[end])
            continue
        ways = [_WAYS[word] for word in end.split()[:-1]]
        x, y = (sum(way[axis] for way in ways) / math.sqrt(len(ways)) for axis in (0, 1))
        ends.append((x * box.width / 2, y * box.height / 2))
    return shapely.LineString(ends)


def _judge(job: Job, paper: str) -> tuple[int, int]:
    """How many seams the lengths of a cover cross, of how many; each as long as is told, all as the cover says."""
    crossed = total = 0
    for face in template_faces(job.flange):
        template = face_template(job, face)
        pages = template_sheets(template, TemplateSettings(paper))
        seams, flange = _seams(pages), template.subject.flange
        texts = [item.what.text for item in pages.sheets[0].furniture if isinstance(item.what, Label)]
        told = [text for text in texts if re.match(r"(hole|middle of slot|left|bottom|lower|corner)\b.* to ", text)]
        lines = [_line(text, flange, -1 if template.subject.is_back else 1) for text in told]
        over = sum(any(line.crosses(seam) for line in lines) for seam in seams)
        said = re.search(r"crosses (\d+) of (\d+) seams", " ".join(texts))
        assert (over, len(seams)) == (tuple(map(int, said.groups())) if said else (len(seams), len(seams)))
        crossed, total = crossed + over, total + len(seams)
    return crossed, total


def test_the_lengths_on_joined_paper_cross_every_seam() -> None:
    for name, paper, seams in (("orifice-plate", "A4", 1), ("base-plate", "Letter", 4)):
        job = job_from_text(starters()[name].content.decode())
        assert _judge(job, paper) == (seams, seams), name


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
def test_a_cover_claims_no_seam_that_nothing_crosses(paper: str) -> None:
    jobs = {name: job_from_text(each.content.decode()) for name, each in starters().items()}
    common: dict[str, Any] = {"units": "mm", "job": {"number": "T-1"}}
    jobs |= {name: job_from_data(common | data) for name, data in AWKWARD.items()}
    found = {name: _judge(job, paper) for name, job in jobs.items()}
    assert sum(crossed == total for crossed, total in found.values()) > 0.75 * len(found)
    for name, (crossed, total) in found.items():
        # A ring of three meters has a hundred seams: no more than eight lengths are asked for.
        assert crossed >= (total * 0.4 if total > 50 else total * 0.66), name
