"""Report pages that go with a packet: shop checks, mating, inspection."""

import hashlib
import json
from collections.abc import Sequence

from flangelayout._version import __version__
from flangelayout.checks import Finding
from flangelayout.checks.inspection.caliper_results import CaliperInspection
from flangelayout.checks.inspection.results import Inspection
from flangelayout.checks.mating.mating import Mating
from flangelayout.checks.mating.report import mating_data
from flangelayout.checks.plate.clocking import clockings
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import Stamp
from flangelayout.drawing.papers import usual_paper
from flangelayout.job import Job
from flangelayout.packet.names import file_lead, safe_part, stamp_of
from flangelayout.units import Unit


def check_packet(job: Job, findings: Sequence[Finding]) -> dict[str, bytes]:
    """The page of the shop checks of a job, by its file name."""
    from flangelayout.views.reports.checks import check_sheets
    from flangelayout.writers.formats import PageFormat, page_files

    clocked = clockings(job.flange, job.limits)
    sheets = check_sheets(job.flange, findings, clocked, job.info, stamp_of(job), job.unit, job.sheet.paper)
    return dict(page_files(f"{file_lead(job)}_checks", sheets, PageFormat.PDF))


def inspection_packet(job: Job, found: Inspection) -> dict[str, bytes]:
    """The report of an inspection, by its file name."""
    from flangelayout.views.reports.inspection import inspection_sheets
    from flangelayout.writers.formats import PageFormat, page_files

    sheets = inspection_sheets(job.flange, found, job.info, stamp_of(job), job.unit, job.sheet.paper)
    return dict(page_files(f"{file_lead(job)}_inspection", sheets, PageFormat.PDF))


def caliper_packet(job: Job, found: CaliperInspection) -> dict[str, bytes]:
    """The report of an inspection by caliper, by its file name."""
    from flangelayout.views.reports.caliper import caliper_sheets
    from flangelayout.writers.formats import PageFormat, page_files

    sheets = caliper_sheets(job.flange, found, job.info, stamp_of(job), job.unit, job.sheet.paper)
    return dict(page_files(f"{file_lead(job)}_inspection", sheets, PageFormat.PDF))


def form_packet(job: Job, name: str) -> dict[str, bytes]:
    """The form for inspecting the part of a job, by its file name; ``name`` is the job file as it is called."""
    from flangelayout.checks.inspection.wanted import inspection_boxes
    from flangelayout.views.reports.form import form_sheets
    from flangelayout.views.words.parts.caliper import form_lines, form_words
    from flangelayout.writers.formats import PageFormat, page_files

    lines = form_lines(job.flange, job.inspection, inspection_boxes(job.flange, job.inspection), job.unit)
    title, identity = "READINGS FOR INSPECTION", (job.info, stamp_of(job))
    sheets = form_sheets(
        title,
        form_words(name, lines, job.flange, job.unit),
        job.flange,
        lines,
        identity,
        job.unit,
        job.sheet.paper,
    )
    return dict(page_files(f"{file_lead(job)}_form", sheets, PageFormat.PDF))


def mating_packet(mating: Mating, a: Job | None, unit: Unit) -> dict[str, bytes]:
    """The overlay drawing of two flanges, by its file name; ``a`` is the job of the first, if it is one."""
    from flangelayout.views.reports.mating import overlay_sheets
    from flangelayout.writers.formats import PageFormat, page_files

    digest = hashlib.sha256(json.dumps(mating_data(mating), sort_keys=True).encode()).hexdigest()
    if a is not None:
        info, stamp, paper, lead = a.info, stamp_of(a), a.sheet.paper, file_lead(a)
    else:
        info = JobInfo(number=mating.a.name, title=f"with {mating.b.name}", revision="")
        stamp = Stamp(info.number, info.revision, digest, "", __version__, info.title)
        paper, lead = usual_paper(unit), safe_part(mating.a.name) or "A"
    sheets = overlay_sheets(mating, info, stamp, unit, paper)
    name = f"{lead}_mate_{safe_part(mating.b.name) or 'B'}"
    return dict(page_files(name, sheets, PageFormat.PDF, PageFormat.SVG))
