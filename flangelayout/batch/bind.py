"""What many jobs come to together: one PDF of all sheets, one cut list, one bill of material."""

import hashlib
import math
from collections.abc import Sequence
from io import BytesIO
from pathlib import Path, PurePosixPath

from flangelayout._version import __version__
from flangelayout.batch.bill import bill_of_jobs
from flangelayout.batch.run import Done
from flangelayout.drawing.model import TextTable
from flangelayout.errors import InputError, OutputError
from flangelayout.files.records import FileSet
from flangelayout.files.store import FileStore, Outcome
from flangelayout.job import Job
from flangelayout.packet.job import cut_estimate
from flangelayout.packet.names import safe_part
from flangelayout.problems.lists import ListProblem
from flangelayout.units import Unit, counted, decimal_text, mass_in, mass_unit

_SHEET = "_sheet.pdf"
_CUT = "_cut"


def bind(
    name: str, done: Sequence[Done], folder: Path, force: bool = False, missing: Sequence[str] = ()
) -> dict[str, Outcome]:
    """Write the combined files of some jobs into a folder; what has not changed is left.

    Args:
        name: What the files are called.
        done: The jobs whose packets are there, in order.
        folder: Where the combined files go.
        force: Whether to overwrite foreign files.
        missing: What the jobs are called that should be there and are not; the first page names them.

    Returns:
        What became of each file.

    Raises:
        InputError: If the name is none, or the packets hold no sheets.
        OutputError: If a file must not or cannot be written, or a sheet cannot be read.
    """
    lead = safe_part(name)
    if not lead:
        raise InputError.of(ListProblem.NO_NAME_TO_BIND, "--bind", name=name)
    sheets = [each for each in done if _file(each, _SHEET)]
    if not sheets:
        raise InputError.of(ListProblem.NOTHING_TO_BIND, "--bind")
    store, key = FileStore(folder), f"bind {lead}"
    made_from = _made_from(name, done, missing)
    kept = store.unchanged({key: made_from}).get(key)
    if kept is not None:
        return dict.fromkeys(kept, Outcome.UNCHANGED)
    from flangelayout.writers.csv_table import write_csv

    jobs = [each.target.job for each in done]
    files = {
        f"{lead}_sheets.pdf": _bound(name, sheets, missing),
        f"{lead}_cut-list.csv": write_csv(cut_list(done, missing)),
        f"{lead}_bill-of-material.csv": write_csv(bill_of_jobs(jobs, missing)),
    }
    return store.write(files, force, {key: FileSet(made_from, tuple(files))})


def cut_list(done: Sequence[Done], missing: Sequence[str] = ()) -> TextTable:
    """One row a job: size, quantity, length of cut, pierces, mass; in inches where every job is.

    Args:
        done: The jobs.
        missing: What the jobs are called that should be there and are not; the last row names them.
    """
    unit = _common_unit([each.target.job for each in done])
    lengths = ("thickness", "width", "height", "bore", "cut_length")
    mass = mass_unit(unit)
    columns = (
        *("item", "number", "revision", "title", "quantity", "material"),
        *(f"{length}_{unit.value}" for length in lengths),
        *("holes", "pierces", "to_machine", f"part_{mass}", f"total_{mass}", "cut_file"),
    )
    rows = tuple(_cut_row(number, each, unit) for number, each in enumerate(done, 1))
    return TextTable("cut list", columns, (*rows, _cut_total([each.target.job for each in done], unit, missing)))


def _cut_total(jobs: Sequence[Job], unit: Unit, missing: Sequence[str]) -> tuple[str, ...]:
    """All parts of all jobs together: length of cut, holes, pierces, mass; no mass where one is not known."""
    made = [(job.info.quantity, len(job.flange.holes()), cut_estimate(job)) for job in jobs]
    length = decimal_text(math.fsum(count * each.cut_length for count, _, each in made), unit)
    holes, pierces = (
        str(sum(count * number for count, number in pairs))
        for pairs in (((count, holes) for count, holes, _ in made), ((count, each.pierces) for count, _, each in made))
    )
    known = [count * each.mass for count, _, each in made if each.mass is not None]
    mass = f"{mass_in(math.fsum(known), unit):.3f}" if len(known) == len(made) else ""
    parts = str(sum(count for count, _, _ in made))
    lengths = ("", "", "", "", length)
    without = f", NOT COMPLETE, without {', '.join(missing)}" if missing else ""
    return ("", "TOTAL", "", f"all parts together{without}", parts, "", *lengths, holes, pierces, "", "", mass, "")


def _cut_row(number: int, each: Done, unit: Unit) -> tuple[str, ...]:
    job = each.target.job
    flange, info, estimate, box = job.flange, job.info, cut_estimate(job), job.flange.box()

    def said(length: float | None) -> str:
        return "" if length is None else decimal_text(length, unit)

    masses = ("", "")
    if estimate.mass is not None:
        part = mass_in(estimate.mass, unit)
        masses = f"{part:.3f}", f"{part * info.quantity:.3f}"
    return (
        *(str(number), info.number, info.revision, info.title, str(info.quantity), flange.material),
        *(said(length) for length in (flange.thickness, box.width, box.height, flange.bore, estimate.cut_length)),
        *(str(len(flange.holes())), str(estimate.pierces), _to_machine(job, unit), *masses),
        _file(each, ".dxf", _CUT),
    )


def _bound(name: str, done: Sequence[Done], missing: Sequence[str]) -> bytes:
    """All sheets in one PDF, with a bookmark for each job; to be printed at their true size."""
    from pypdf import PdfReader, PdfWriter
    from pypdf.errors import PyPdfError
    from pypdf.generic import DictionaryObject, NameObject

    writer = PdfWriter()
    writer.pdf_header = "%PDF-1.6"
    if missing:
        for page in PdfReader(BytesIO(_missing_page(name, done, missing))).pages:
            writer.add_page(page)
        writer.add_outline_item(title="NOT COMPLETE", page_number=0)
    for each in done:
        path = each.target.folder / _file(each, _SHEET)
        info = each.target.job.info
        try:
            pages = PdfReader(BytesIO(path.read_bytes())).pages
            first = len(writer.pages)
            for page in pages:
                writer.add_page(page)
        except (OSError, PyPdfError) as problem:
            raise OutputError.of(ListProblem.CANNOT_BE_BOUND, source=str(path), reason=str(problem)) from None
        title = " ".join(filter(None, (info.number, f"rev {info.revision}", info.title)))
        writer.add_outline_item(title=title, page_number=first)
    preferences = DictionaryObject({NameObject("/PrintScaling"): NameObject("/None")})
    writer.root_object[NameObject("/ViewerPreferences")] = preferences
    writer.metadata = {
        "/Title": name,
        "/Producer": "flangelayout",
        "/Creator": f"flangelayout {__version__}",
    }
    writer.compress_identical_objects()
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def _to_machine(job: Job, unit: Unit) -> str:
    """What is left to drill, to thread, to seat and to turn on a part that was cut."""
    from flangelayout.shopwork.operations import HoleWork, TurningWork, operations
    from flangelayout.views.words.lengths import Lengths
    from flangelayout.views.words.shopwork import operation_words

    flange, lengths = job.flange, Lengths(unit)
    left = (each for each in operations(flange, job.cut.options) if isinstance(each, HoleWork | TurningWork))
    return "; ".join(operation_words(each, flange, lengths) for each in left)


def _missing_page(name: str, done: Sequence[Done], missing: Sequence[str]) -> bytes:
    """The page that a packet begins with where jobs of it could not be made."""
    from flangelayout.drawing.info import JobInfo
    from flangelayout.drawing.model import Stamp
    from flangelayout.views.reports.flow import Words, report_sheets
    from flangelayout.writers.pdf import write_pdf

    info = JobInfo(number=name, title=f"{len(done)} of {len(done) + len(missing)} jobs", revision="-")
    digest = hashlib.sha256("\n".join(missing).encode("utf-8", "surrogatepass")).hexdigest()
    told = f"{counted(len(missing), 'job')} could not be made; sheets, plates and bolts of these are not in it:"
    blocks = (Words((told,), height_paper=3.5), Words(tuple(missing), height_paper=2.5))
    stamp = Stamp(name, "-", digest, "", __version__, info.title)
    return write_pdf(report_sheets("THIS PACKET IS NOT COMPLETE", blocks, info, stamp, done[0].target.job.sheet.paper))


def _made_from(name: str, done: Sequence[Done], missing: Sequence[str]) -> str:
    content = [__version__, name, *missing]
    for each in done:
        content += [each.target.job.digest, *(file.sha256 for file in each.files)]
    return hashlib.sha256("\n".join(content).encode()).hexdigest()


def _file(done: Done, ending: str, holds: str = "") -> str:
    """The first file of a packet with such a name, its folder of use before it, or an empty text."""
    lead = done.target.lead
    rests = ((file.name, PurePosixPath(file.name).name.removeprefix(lead)) for file in done.files)
    return next((name for name, rest in rests if rest.endswith(ending) and rest.startswith(holds or ending)), "")


def _common_unit(jobs: Sequence[Job]) -> Unit:
    return Unit.IN if jobs and all(job.unit is Unit.IN for job in jobs) else Unit.MM
