"""What many jobs come to together: one PDF of all sheets, one cut list, one bill of material."""

import hashlib
from collections.abc import Iterator, Sequence
from io import BytesIO
from pathlib import Path

from flangelayout._version import __version__
from flangelayout.batch.bill import bill_of_jobs
from flangelayout.batch.run import Done
from flangelayout.drawing.model import TextTable
from flangelayout.errors import InputError, OutputError, Problem
from flangelayout.files.records import FileSet
from flangelayout.files.store import FileStore, Outcome
from flangelayout.job import Job
from flangelayout.packet.job import cut_estimate
from flangelayout.packet.names import safe_part
from flangelayout.units import Unit, decimal_text, mass_in, mass_unit

_SHEET = "_sheet.pdf"
_CUT = "_cut"


def bind(name: str, done: Sequence[Done], folder: Path, force: bool = False) -> dict[str, Outcome]:
    """Write the combined files of some jobs into a folder; what has not changed is left.

    Args:
        name: What the files are called.
        done: The jobs whose packets are there, in order.
        folder: Where the combined files go.
        force: Whether to overwrite foreign files.

    Returns:
        What became of each file.

    Raises:
        InputError: If the name is none, or the packets hold no sheets.
        OutputError: If a file must not or cannot be written, or a sheet cannot be read.
    """
    lead = safe_part(name)
    if not lead:
        raise InputError(Problem("--bind", f'"{name}" is no name for files; use letters and digits'))
    sheets = [each for each in done if _file(each, _SHEET)]
    if not sheets:
        raise InputError(Problem("--bind", "there is no sheet to bind; leave --only out or add sheet to it"))
    store, key = FileStore(folder), f"bind {lead}"
    made_from = _made_from(name, done)
    kept = store.unchanged({key: made_from}).get(key)
    if kept is not None:
        return dict.fromkeys(kept, Outcome.UNCHANGED)
    from flangelayout.writers.csv_table import write_csv

    jobs = [each.target.job for each in done]
    files = {
        f"{lead}_sheets.pdf": _bound(name, sheets),
        f"{lead}_cut-list.csv": write_csv(cut_list(done)),
        f"{lead}_bill-of-material.csv": write_csv(bill_of_jobs(jobs)),
    }
    return store.write(files, force, {key: FileSet(made_from, tuple(files))})


def cut_list(done: Sequence[Done]) -> TextTable:
    """One row a job: size, quantity, length of cut, pierces, mass; in inches where every job is."""
    unit = _common_unit([each.target.job for each in done])
    lengths = ("thickness", "width", "height", "bore", "cut_length")
    mass = mass_unit(unit)
    columns = (
        *("item", "number", "revision", "title", "quantity", "material"),
        *(f"{length}_{unit.value}" for length in lengths),
        *("holes", "pierces", f"part_{mass}", f"total_{mass}", "cut_file"),
    )
    rows = tuple(_cut_row(number, each, unit) for number, each in enumerate(done, 1))
    return TextTable("cut list", columns, rows)


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
        *(str(len(flange.holes())), str(estimate.pierces), *masses),
        _file(each, ".dxf", _CUT),
    )


def _bound(name: str, done: Sequence[Done]) -> bytes:
    """All sheets in one PDF, with a bookmark for each job; to be printed at their true size."""
    from pypdf import PdfReader, PdfWriter
    from pypdf.errors import PyPdfError
    from pypdf.generic import DictionaryObject, NameObject

    writer = PdfWriter()
    writer.pdf_header = "%PDF-1.6"
    for each in done:
        path = each.target.folder / _file(each, _SHEET)
        info = each.target.job.info
        try:
            pages = PdfReader(BytesIO(path.read_bytes())).pages
            first = len(writer.pages)
            for page in pages:
                writer.add_page(page)
        except (OSError, PyPdfError) as problem:
            raise OutputError(f"{path}: cannot be bound ({problem})") from None
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


def _made_from(name: str, done: Sequence[Done]) -> str:
    content = [__version__, name]
    for each in done:
        content += [each.target.job.digest, *(file.sha256 for file in each.files)]
    return hashlib.sha256("\n".join(content).encode()).hexdigest()


def _file(done: Done, ending: str, holds: str = "") -> str:
    """The first file of a packet with such a name, or an empty text."""
    lead = done.target.lead
    names = _endings(done, lead)
    return next((f"{lead}{rest}" for rest in names if rest.endswith(ending) and rest.startswith(holds or ending)), "")


def _endings(done: Done, lead: str) -> Iterator[str]:
    yield from (file.name.removeprefix(lead) for file in done.files)


def _common_unit(jobs: Sequence[Job]) -> Unit:
    return Unit.IN if jobs and all(job.unit is Unit.IN for job in jobs) else Unit.MM
