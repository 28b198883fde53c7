"""The written sheet as a PDF reader sees it: all ink inside the border, all text selectable."""

from io import BytesIO

import pdfplumber
import pytest

from flangelayout.drawing.model import Paper
from flangelayout.job.load import job_from_data
from flangelayout.packet.job import Part, build_packet, layout_pages
from flangelayout.writers.pdf import write_pdf
from jobs import make_job
from readers import MM_PER_POINT, pdf_pages_text
from views.awkward_jobs import AWKWARD
from views.sheet_reader import random_job

_SLACK = 0.6
"""Half the width of the widest line, and the rounding of coordinates, in mm."""


@pytest.mark.slow
@pytest.mark.parametrize("seed", [3, 8, 21])
def test_no_word_curve_or_line_is_printed_beyond_the_border(seed: int) -> None:
    job = random_job(seed)
    data = write_pdf(layout_pages(job))
    with pdfplumber.open(BytesIO(data)) as document:
        for page in document.pages:
            width, height = float(page.width) * MM_PER_POINT, float(page.height) * MM_PER_POINT
            paper = next(rules for rules in (job.sheet.border.rules(Paper(job.sheet.paper, 0.0, 0.0)),))
            frame = job.sheet.border.frame(Paper(job.sheet.paper, width, height))
            strip = paper.zones.strip if paper.zones else 0.0
            room = frame.grown(max(strip, 5.0 if paper.centering else 0.0) + _SLACK)
            for mark in (*page.extract_words(), *page.curves, *page.lines, *page.rects):
                left, right = float(mark["x0"]) * MM_PER_POINT, float(mark["x1"]) * MM_PER_POINT
                top = height - float(mark["top"]) * MM_PER_POINT
                bottom = height - float(mark["bottom"]) * MM_PER_POINT
                is_fold = right - left < _SLACK and 3 < top - bottom < 4.5 and (bottom < 5 or top > height - 5)
                inside = room.left <= left and right <= room.right and room.bottom <= bottom and top <= room.top
                assert inside or (is_fold and paper.folds)


@pytest.mark.slow
def test_every_page_of_a_set_is_on_one_paper_and_its_texts_can_be_selected() -> None:
    circle = {"diameter": 240, "hole_count": 48, "hole_diameter": 8}
    job = make_job(bolt_circle=[circle])
    with pdfplumber.open(BytesIO(write_pdf(layout_pages(job)))) as document:
        sizes = [(round(float(page.width)), round(float(page.height))) for page in document.pages]
        assert len(sizes) > 1
        assert len(set(sizes)) == 1
        assert job.info.number in document.pages[0].extract_text()


@pytest.mark.slow
def test_no_sheet_speaks_of_memory_without_what_to_do() -> None:
    """A man at the plate has no use for whose memory a figure is from: he is told to compare it."""
    for name, is_told in (("many warnings", True), ("three circles", False), ("every part", True)):
        files = build_packet(job_from_data(AWKWARD[name], name), (Part.SHEET,))
        text = " ".join(pdf_pages_text(page) for key, page in files.items() if key.endswith("pdf"))
        assert "memory" not in text
        assert ("not verified: compare" in text) == is_told, name
