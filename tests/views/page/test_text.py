"""Every word of a page stands on it whole and on the paper, however long names and titles are."""

from collections.abc import Iterator

import pytest

from builders import stamp
from flangelayout.drawing.choices import TemplateStyle
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import Label, Sheet, SheetSet
from flangelayout.drawing.papers import paper
from flangelayout.drawing.printer import Printer
from flangelayout.drawing.textwidth import label_box
from flangelayout.flange.cutting import MachineFile
from flangelayout.geometry.shapes import Box
from flangelayout.job import Job
from flangelayout.job.load import job_from_data
from flangelayout.packet.job import face_template
from flangelayout.packet.names import stamp_of
from flangelayout.value import replace
from flangelayout.views.page.text import identity_line
from flangelayout.views.reports.flow import Words, report_sheets
from flangelayout.views.reports.machine import SettingRequest, setting_sheets
from flangelayout.views.template.pages import one_sheet_template, roll_template, template_sheets
from jobs import job_data

TITLE = (
    "Adapter between the old suction line of the settling tank and the new pump of the raw water intake, upper level, "
    "as measured in the dry week and again after the pump was set"
)
PRINTER = Printer("large laser in the front office", 1.004, 0.997, "A4 from the lower tray", "2026-11-20")


@pytest.fixture(scope="module")
def job() -> Job:
    return job_from_data(job_data(job={"number": "MB-101", "title": TITLE}))


def labels(sheet: Sheet) -> Iterator[Label]:
    """What is written beside the drawing, in paper millimeters."""
    yield from (item.what for item in sheet.furniture if isinstance(item.what, Label))
    for view in sheet.views:
        if view.drawing.title == "template page":
            found = (item.what for item in view.drawing.items if isinstance(item.what, Label))
            yield from (replace(label, at=label.at + view.at_paper) for label in found)


def is_whole(pages: SheetSet, *texts: str) -> None:
    for sheet in pages.sheets:
        told = tuple(labels(sheet))
        page = Box(0.0, 0.0, sheet.paper.width, sheet.paper.height)
        for label in told:
            assert all(map(page.contains, label_box(label).corners)), label.text
            assert "…" not in label.text
        said = " ".join(label.text for label in told)
        words = said.split()
        for text in texts:
            left = iter(words)
            assert all(word in left for word in text.split()), text


@pytest.mark.parametrize(("margin", "paper_name"), [(12.0, "A4"), (40.0, "Letter")])
def test_no_template_page_cuts_a_line_off(job: Job, margin: float, paper_name: str) -> None:
    template = face_template(job)
    layout = replace(job.template, paper=paper_name, margin=margin, measured=PRINTER, flip_tiles=True)
    for style in (TemplateStyle.TILES, TemplateStyle.SECTOR):
        is_whole(template_sheets(template, replace(layout, style=style)), TITLE, "USE NO OTHER PRINTER.")
    is_whole(roll_template(template, layout), TITLE, "USE NO OTHER PRINTER.")
    is_whole(one_sheet_template(template, margin, PRINTER), TITLE, "USE NO OTHER PRINTER.")


def test_no_report_cuts_a_line_off(job: Job) -> None:
    kinds = (MachineFile.DIVIDING, MachineFile.ROTARY, MachineFile.READOUT)
    machine = job.machine
    for name in ("A4", "Letter"):
        about = name, machine.head, machine.table_ratio, machine.drilling, kinds
        pages = setting_sheets(SettingRequest(job.flange, job.info, stamp_of(job), *about))
        is_whole(pages, TITLE)
        assert any("the pin stands in" in " ".join(label.text for label in labels(page)) for page in pages.sheets)
        report = report_sheets("SHOP CHECKS", [Words(("Told.",))], job.info, stamp_of(job), name)
        is_whole(report, TITLE)
        assert paper(name).width == report.sheets[0].paper.width


def test_a_list_that_has_no_revision_claims_none() -> None:
    assert identity_line(JobInfo("MB-1", "Ring", "B"), stamp()).startswith("MB-1 rev B · ")
    line = identity_line(JobInfo("week-12", "9 jobs", ""), stamp())
    assert line == f"week-12 · {stamp().digest[:10]} · 9 jobs"
