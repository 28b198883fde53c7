"""The one place where the rooms meet: a job in, the files of its packet out."""

from collections.abc import Iterator, Mapping, Sequence
from enum import Enum
from functools import partial
from typing import TYPE_CHECKING

from msgspec import Struct

from flangelayout.drawing.choices import DxfVersion, TemplateStyle
from flangelayout.drawing.model import Drawing, Sheet, SheetSet, Stamp
from flangelayout.drawing.papers import TemplatePaper
from flangelayout.errors import InputError
from flangelayout.flange import Flange
from flangelayout.flange.turning import PlateFace
from flangelayout.job import Job
from flangelayout.packet.names import file_lead, safe_part, stamp_of
from flangelayout.problems.output import OutputProblem
from flangelayout.units import Unit, density_text

if TYPE_CHECKING:
    from flangelayout.views.cut.estimate import CutEstimate
    from flangelayout.views.template.pages import FaceTemplate
    from flangelayout.writers.dxf.options import DxfOptions
    from flangelayout.writers.pdf_attachment import Attachment


class Part(Enum):
    """The parts of a packet that can be asked for on their own."""

    CUT = "cut"
    TEMPLATE = "template"
    SHEET = "sheet"
    HOLES = "holes"
    WORKING = "working"
    MACHINE = "machine"


class PacketFile(Struct, frozen=True):
    """A file of a packet: its name, the part it belongs to, and its content."""

    name: str
    part: Part
    content: bytes


FOLDERS = {Part.CUT: "cut", Part.TEMPLATE: "print", Part.MACHINE: "machine"}
"""Where the files of a part are used; the office has the rest, as its sheets."""
_SHEETS = "sheets"


def build_packet(job: Job, parts: Sequence[Part] = tuple(Part), by_use: bool = False) -> dict[str, bytes]:
    """Every file of a job by its name; the same job gives the same bytes, whatever this computer has kept.

    Args:
        job: A checked job. One whose template is for a measured printer carries it; see
            :func:`flangelayout.files.printers.with_printer`.
        parts: What to make; everything unless told.
        by_use: Whether each name leads through the folder of its use: ``cut/``, ``print/``, ``machine/``, ``sheets/``.

    Raises:
        OutputError: If a file cannot be made as asked, such as a one-sheet template larger than a PDF page.
        InputError: If the plate has no room for what the job asks for, or its printer is named and not given.
    """
    files = packet_files(job, parts)
    if not by_use:
        return {file.name: file.content for file in files}
    return {f"{FOLDERS.get(file.part, _SHEETS)}/{file.name}": file.content for file in files}


def packet_files(job: Job, parts: Sequence[Part] = tuple(Part)) -> tuple[PacketFile, ...]:
    """The files of :func:`build_packet`, each with the part it belongs to."""
    makers = {
        Part.CUT: _cut,
        Part.TEMPLATE: _template,
        Part.SHEET: _sheet,
        Part.HOLES: _holes,
        Part.WORKING: _working,
        Part.MACHINE: _machine,
    }
    lead, stamp = file_lead(job), stamp_of(job)
    return tuple(
        PacketFile(f"{lead}_{name}", part, content)
        for part in Part
        if part in parts
        for name, content in makers[part](job, stamp)
    )


def draw_flange(
    flange: Flange,
    number: str,
    title: str = "",
    revision: str = "A",
    unit: Unit = Unit.MM,
    parts: Sequence[Part] = tuple(Part),
) -> dict[str, bytes]:
    """Every file of a flange that was made in Python, by its name; the same flange gives the same bytes.

    Args:
        flange: What is made, in mm.
        number: Of the drawing; the files are named after it.
        title: For the title block.
        revision: Of the drawing.
        unit: That its numbers are shown in.
        parts: What to make; everything unless told.

    Raises:
        InputError: If holes and edges contradict each other, with every problem found.
        OutputError: As :func:`build_packet`.

    Example:
        >>> from flangelayout import BoltCircle, Flange, RoundOutline
        >>> plate = Flange(RoundOutline(285), (BoltCircle(240, 8, 22),), bore=170, thickness=22)
        >>> sorted(draw_flange(plate, "H-114", parts=[Part.CUT]))
        ['H-114-A_cut_mm.dxf', 'H-114-A_cut_mm.svg']
    """
    from flangelayout.job.of_flange import job_of_flange

    return build_packet(job_of_flange(flange, number, title, revision, unit), parts)


def preview_packet(packet: Mapping[str, bytes]) -> dict[str, bytes]:
    """A PNG picture of every page of the PDF files of a packet, ``H-114-A_template_A4_page-02.png``.

    Raises:
        OutputError: If the rasterizer is not installed.
    """
    from flangelayout.writers.png import png_pages

    pictures: dict[str, bytes] = {}
    for name, content in packet.items():
        if name.endswith(".pdf"):
            pages = list(png_pages(content))
            digits = max(2, len(str(len(pages))))
            lead = name.removesuffix(".pdf")
            pictures |= {f"{lead}_page-{number:0{digits}}.png": page for number, page in enumerate(pages, 1)}
    return pictures


def cut_page(job: Job) -> Sheet:
    """What is cut, at real size, on a page as large as the plate and what stands out beyond it."""
    from flangelayout.views.cut.finished import cut_sheet

    return cut_sheet(job.flange, cut_view(job))


def cut_view(job: Job, apart: bool = False) -> Drawing:
    """What is cut, with the holes, kerf, leads and marks the job asks for.

    Args:
        job: A checked job.
        apart: Whether the parts of a ring are laid apart from each other later, in a nest.

    Raises:
        InputError: If the plate has no room for one of them.
    """
    from flangelayout.views.cut.finished import finished_cut

    return finished_cut(job.flange, job.info, job.cut.options, job.unit, apart)


def cut_dxf_options(job: Job) -> "DxfOptions":
    """Unit, version, layer names and colors of the job's cut file."""
    from flangelayout.writers.dxf.options import DxfOptions

    cut = job.cut
    return DxfOptions(cut.unit, cut.dxf_version, dict(cut.layer_names), dict(cut.colors))


def cut_estimate(job: Job) -> "CutEstimate":
    """Length of cut, pierces and mass of one part, for a quotation."""
    from flangelayout.standards.shop import density_of
    from flangelayout.views.cut.estimate import estimate_cut

    stated, found = job.flange.density, density_of(job.flange.material)
    if stated is not None:
        return estimate_cut(cut_view(job), job.flange, stated, f"{density_text(stated, job.unit)} as stated on the job")
    if found is None:
        return estimate_cut(cut_view(job), job.flange, None)
    source = f"{job.flange.material}, {density_text(found.kg_per_m3, job.unit)}, {found.confidence.words}"
    return estimate_cut(cut_view(job), job.flange, found.kg_per_m3, source)


def template_page(job: Job, face: PlateFace | None = None) -> SheetSet:
    """The template of a face, the first that has one unless told, at real size on one page as large as it needs."""
    from flangelayout.views.template.pages import one_sheet_template, template_faces

    return one_sheet_template(face_template(job, face or template_faces(job.flange)[0]), job.template.margin)


def face_template(job: Job, face: PlateFace = PlateFace.FACE) -> "FaceTemplate":
    """What a face of the job's plate is scribed and punched with, for pages of every kind."""
    from flangelayout.views.template.pages import FaceTemplate

    return FaceTemplate.of(job.flange, job.info, stamp_of(job), job.unit, face)


def layout_pages(job: Job) -> SheetSet:
    """The layout sheets: what the checks found wrong boxed on the first, what they noticed among the notes."""
    from flangelayout.checks.finding import Result
    from flangelayout.views.sheet.request import SheetRequest
    from flangelayout.views.sheet.sheet import layout_sheets
    from flangelayout.views.words.findings import fact_text, finding_text, for_a_sheet

    told = for_a_sheet(job.remarks)
    failed, remarks = (
        [finding_text(job.flange, finding, job.unit) for finding in told if (finding.result is Result.FAILED) is wrong]
        for wrong in (True, False)
    )
    return layout_sheets(
        SheetRequest(
            flange=job.flange,
            info=job.info,
            stamp=stamp_of(job),
            unit=job.unit,
            sheet=job.sheet,
            failed=failed,
            failed_in_short=[fact_text(job.flange, each, job.unit) for each in told if each.result is Result.FAILED],
            remarks=remarks,
            process=job.cut.options.process,
        )
    )


Files = Iterator[tuple[str, bytes]]


def _cut(job: Job, stamp: Stamp) -> Files:
    from flangelayout.writers.formats import cut_files

    lead = "_".join(("cut", *job.cut.options.name_parts))
    yield from cut_files(lead, SheetSet((cut_page(job),), stamp), cut_dxf_options(job))


def _template(job: Job, _stamp: Stamp) -> Files:
    from flangelayout.views.template.pages import one_sheet_template, template_faces
    from flangelayout.writers.pdf import write_pdf
    from flangelayout.writers.svg import write_svg

    for face in template_faces(job.flange):
        lead = "template" if face is PlateFace.FACE else "template-back"
        template = face_template(job, face)
        single = one_sheet_template(template, job.template.margin)
        name, printed = _printed_template(job, template, single)
        yield f"{lead}_{name}", write_pdf(printed)
        yield f"{lead}_mm.svg", write_svg(single)


def _printed_template(job: Job, template: "FaceTemplate", single: SheetSet) -> tuple[str, SheetSet]:
    """The template of a face as it is printed, corrected for the job's printer, and what its file's name ends in."""
    from flangelayout.views.template.pages import (
        one_sheet_template,
        roll_template,
        template_sheets,
    )

    settings, printer = job.template, job.template.measured
    if settings.printer and printer is None:
        raise InputError.of(OutputProblem.PRINTER_NOT_GIVEN, "template.printer", printer=settings.printer)
    made_for = f"_for-{safe_part(printer.name) or 'printer'}" if printer else ""
    if settings.paper == TemplatePaper.ONE_SHEET:
        pages = one_sheet_template(template, settings.margin, printer) if printer else single
        return f"one-sheet{made_for}.pdf", pages
    if settings.paper == TemplatePaper.ROLL:
        return f"roll{made_for}.pdf", roll_template(template, settings)
    tiled = settings.style is TemplateStyle.TILES or template.subject.is_back
    kind = "" if tiled else f"_{settings.style.value}"
    return f"{settings.paper}{kind}{made_for}.pdf", template_sheets(template, settings)


def _sheet(job: Job, _stamp: Stamp) -> Files:
    from flangelayout.writers.dxf import write_dxf
    from flangelayout.writers.dxf.options import DxfOptions
    from flangelayout.writers.pdf import PdfOptions, write_pdf

    sheets = layout_pages(job)
    yield "sheet.pdf", write_pdf(sheets, PdfOptions(_job_file(job)))
    yield f"sheet_{job.unit.value}.dxf", write_dxf(sheets, DxfOptions(job.unit, DxfVersion.R2010))


def _job_file(job: Job) -> "Attachment | None":
    """The job file as it was read, for the sheet to carry along; none for a job that came from no file."""
    from flangelayout.writers.pdf_attachment import JOB_FILE, Attachment

    return Attachment(job.source_name, job.source, JOB_FILE) if job.source else None


def _holes(job: Job, _stamp: Stamp) -> Files:
    from flangelayout.views.words.hole_tables import hole_list
    from flangelayout.writers.csv_table import write_csv

    yield f"holes_{job.unit.value}.csv", write_csv(hole_list(job.flange, job.unit))


def _working(job: Job, stamp: Stamp) -> Files:
    """How the readings lead to the bolt circle, where the job has any."""
    if job.survey is None:
        return
    from flangelayout.survey import measure_input
    from flangelayout.views.reports.working import working_sheets
    from flangelayout.writers.formats import PageFormat, page_files

    sheets = working_sheets(measure_input(job.survey), job.info, stamp, job.unit, job.sheet.paper)
    yield from page_files("working", sheets, PageFormat.PDF, PageFormat.SVG)


def _machine(job: Job, stamp: Stamp) -> Files:
    """What the job asks for at a drilling machine; nothing unless it does."""
    if not job.machine.files:
        return
    from flangelayout.checks import Rule
    from flangelayout.flange.cutting import MachineFile
    from flangelayout.machine.drilling import drilling_program
    from flangelayout.machine.tables import setting_tables
    from flangelayout.views.words.machine import hole_made
    from flangelayout.writers.csv_table import write_csv

    settings, flange = job.machine, job.flange
    made = partial(hole_made, settings.drilling.unit)
    about = settings.head, settings.table_ratio, settings.drilling, made
    for kind in MachineFile:
        if kind in settings.files:
            for name, table in setting_tables(flange, kind, *about):
                yield f"{name}.csv", write_csv(table)
    if MachineFile.PROGRAM in settings.files and all(each.rule is not Rule.DRILL_PROGRAM for each in job.findings):
        program = drilling_program(flange, job.info, job.digest, settings.drilling)
        yield f"drilling_{settings.drilling.unit.value}.nc", program.encode("ascii")
    if MachineFile.PAGE in settings.files:
        yield from machine_pages(job, stamp)


def machine_pages(job: Job, stamp: Stamp) -> Files:
    """The settings of dividing head, rotary table and readout as pages to work from, those that the job asks for.

    Nothing for a plate without a hole to be set there.
    """
    from flangelayout.flange.cutting import MachineFile
    from flangelayout.views.reports.machine import SettingRequest, setting_sheets
    from flangelayout.writers.formats import PageFormat, page_files

    pages = (MachineFile.DIVIDING, MachineFile.ROTARY, MachineFile.READOUT)
    settings = job.machine
    kinds = tuple(kind for kind in pages if kind in settings.files) or pages
    request = SettingRequest(
        job.flange, job.info, stamp, job.sheet.paper, settings.head, settings.table_ratio, settings.drilling, kinds
    )
    sheets = setting_sheets(request)
    if sheets.sheets:
        yield from page_files("machine", sheets, PageFormat.PDF)
