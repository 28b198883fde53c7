"""The one place where the rooms meet: a job in, the files of its packet out."""

import re
import unicodedata
from collections.abc import Iterator, Sequence
from enum import Enum

import flangelayout
from flangelayout.checks import Severity
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Stamp
from flangelayout.job import Job
from flangelayout.job.job import ONE_SHEET

_LONGEST_NAME = 80
_RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{digit}" for port in ("com", "lpt") for digit in range(10))}
_LAYERS = {"holes": Layer.CUT_HOLES, "bore": Layer.CUT_BORE, "outline": Layer.CUT_OUTLINE}


class Part(Enum):
    """The parts of a packet that can be asked for on their own."""

    CUT = "cut"
    TEMPLATE = "template"
    SHEET = "sheet"
    HOLES = "holes"
    WORKING = "working"


def build_packet(job: Job, parts: Sequence[Part] = tuple(Part)) -> dict[str, bytes]:
    """Every file of a job by its name; the same job gives the same bytes.

    Args:
        job: A checked job.
        parts: What to make; everything unless told.

    Raises:
        OutputError: If a file cannot be made as asked, such as a one-sheet template larger than a PDF page.
    """
    makers = {Part.CUT: _cut, Part.TEMPLATE: _template, Part.SHEET: _sheet, Part.HOLES: _holes, Part.WORKING: _working}
    lead, stamp = file_lead(job), stamp_of(job)
    return {f"{lead}_{name}": content for part in Part if part in parts for name, content in makers[part](job, stamp)}


def stamp_of(job: Job) -> Stamp:
    """The identity every file of the job carries."""
    info = job.info
    return Stamp(info.number, info.revision, job.digest, info.date, flangelayout.__version__, info.title)


def file_lead(job: Job) -> str:
    """How the names of the job's files begin, ``H-114-A``: safe on every file system.

    Letters of any script, digits, dot, underscore and hyphen stay; anything else becomes a hyphen.
    """
    text = unicodedata.normalize("NFC", f"{job.info.number}-{job.info.revision}")
    safe = re.sub(r"[^\w.-]+", "-", text)[:_LONGEST_NAME].strip("-. ") or "job"
    return f"{safe}-" if safe.split(".")[0].lower() in _RESERVED else safe


Files = Iterator[tuple[str, bytes]]


def _cut(job: Job, stamp: Stamp) -> Files:
    from flangelayout.views.cut import cut_drawing, cut_sheet
    from flangelayout.writers.dxf import write_dxf_cut
    from flangelayout.writers.dxf_options import DxfOptions
    from flangelayout.writers.svg import write_svg

    drawing = cut_drawing(job.flange)
    names = {_LAYERS[part]: name for part, name in job.cut.layer_names}
    yield f"cut_{job.cut.unit.value}.dxf", write_dxf_cut(drawing, stamp, DxfOptions(job.cut.unit, layer_names=names))
    yield "cut_mm.svg", write_svg(cut_sheet(job.flange, drawing), stamp, names)


def _template(job: Job, stamp: Stamp) -> Files:
    from flangelayout.views.template_pages import TemplateLayout, one_sheet_template, template_sheets
    from flangelayout.writers.pdf import write_pdf
    from flangelayout.writers.svg import write_svg

    settings = job.template
    single = one_sheet_template(job.flange, job.info, stamp, job.unit, settings.margin)
    if settings.paper == ONE_SHEET:
        yield "template_one-sheet.pdf", write_pdf(single)
    else:
        layout = TemplateLayout(settings.paper, settings.overlap, settings.margin)
        tiled = template_sheets(job.flange, job.info, stamp, job.unit, layout)
        yield f"template_{settings.paper}.pdf", write_pdf(tiled)
    yield "template_mm.svg", write_svg(single.sheets[0], stamp)


def _sheet(job: Job, stamp: Stamp) -> Files:
    from flangelayout.views.sheet import layout_sheets
    from flangelayout.writers.dxf_options import DxfOptions, DxfVersion
    from flangelayout.writers.dxf_sheet import write_dxf_sheet
    from flangelayout.writers.pdf import write_pdf

    remarks = [finding.text for finding in job.findings if finding.severity is not Severity.ERROR]
    sheets = layout_sheets(job.flange, job.info, stamp, job.unit, job.sheet.paper, remarks)
    yield "sheet.pdf", write_pdf(sheets)
    yield f"sheet_{job.unit.value}.dxf", write_dxf_sheet(sheets, DxfOptions(job.unit, DxfVersion.R2010))


def _holes(job: Job, _stamp: Stamp) -> Files:
    from flangelayout.views.tables import hole_list
    from flangelayout.writers.csv_table import write_csv

    yield f"holes_{job.unit.value}.csv", write_csv(hole_list(job.flange, job.unit))


def _working(job: Job, stamp: Stamp) -> Files:
    """How the readings lead to the bolt circle, where the job has any."""
    if job.survey is None:
        return
    from flangelayout.survey import measure_input
    from flangelayout.views.working import working_sheets
    from flangelayout.writers.pdf import write_pdf
    from flangelayout.writers.svg import write_svg

    sheets = working_sheets(measure_input(job.survey), job.info, stamp, job.unit, job.sheet.paper)
    yield "working.pdf", write_pdf(sheets)
    for number, sheet in enumerate(sheets.sheets, 1):
        yield f"working{'' if number == 1 else f'_{number}'}_mm.svg", write_svg(sheet, stamp)
