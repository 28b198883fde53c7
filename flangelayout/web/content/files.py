"""The files of a job as the page gives them: one by one, all in one archive, and the job file itself."""

import io
import re
import zipfile
from collections.abc import Callable, Iterable, Mapping, Sequence
from urllib.parse import quote

from msgspec import Struct

from flangelayout.english.page import PAGE
from flangelayout.english.sentences import lines_of
from flangelayout.errors import FlangeLayoutError, OutputError
from flangelayout.files.printers import with_printer
from flangelayout.job import Job
from flangelayout.packet.job import PacketFile, Part, cut_view, packet_files
from flangelayout.problems.page import PageProblem
from flangelayout.web.content.job_of_state import Checked
from flangelayout.web.form.limits import too_many_to_make
from flangelayout.web.form.toml_text import job_text

_WORDS = {
    Part.CUT: "cut file",
    Part.TEMPLATE: "drilling template, full scale",
    Part.SHEET: "layout sheet",
    Part.HOLES: "hole list",
    Part.WORKING: "how the readings lead to the circle",
    Part.MACHINE: "for the drilling machine",
}
_TOUCHING = 0.01
"""Metal in mm between two edges below which cuts may run into each other."""
_TYPES = {
    "pdf": "application/pdf",
    "svg": "image/svg+xml",
    "dxf": "image/vnd.dxf",
    "csv": "text/csv; charset=utf-8",
    "toml": "application/toml",
    "zip": "application/zip",
}


class FileLine(Struct, frozen=True):
    """A file as it is listed."""

    name: str
    words: str
    size: str


def to_make(done: Checked) -> Job:
    """The job whose files are asked for.

    Raises:
        OutputError: If the job is not sound, or would take too long here.
    """
    job = printed(done)
    if reason := too_many_to_make(job):
        raise OutputError(reason)
    return job


def made_files(job: Job, parts: Sequence[Part], tell: Callable[[str], None]) -> tuple[PacketFile, ...]:
    """The packet of a job, or some parts of it, as :func:`flangelayout.packet.job.packet_files` makes it.

    Args:
        job: To be made.
        parts: What of it.
        tell: Takes what is being made.
    """
    made: list[PacketFile] = []
    for number, part in enumerate(parts, 1):
        tell(f"{_WORDS[part]} ({number} of {len(parts)})")
        made += packet_files(job, (part,))
    return tuple(made)


def uncut(job: Job) -> str:
    """Why a job whose holes leave no metal cannot be cut; empty if it can. Asked only where a check found it so."""
    short = any(finding.failed and (finding.value or 0.0) <= _TOUCHING for finding in job.findings if finding.limit)
    if not short:
        return ""
    try:
        cut_view(job)
    except FlangeLayoutError as refused:
        return ". ".join(lines_of(refused, PAGE)[:1])
    return ""


def printed(done: Checked) -> Job:
    """The job as its files are made: its template corrected for the printer that it names.

    Raises:
        OutputError: If the job is not sound.
    """
    if done.job is None:
        raise OutputError.of(PageProblem.NOT_SOUND_YET)
    return with_printer(done.job)


def job_file(done: Checked) -> tuple[str, bytes]:
    """Name and content of the job file, whether the job is sound or not."""
    return f"{done.name}.toml", job_text(done.tables, remarks=done.remarks).encode("utf-8")


def archive(files: Mapping[str, bytes]) -> bytes:
    """All files in one archive; the same files give the same bytes."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as into:
        for name, content in files.items():
            entry = zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0))
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            into.writestr(entry, content)
    return target.getvalue()


def contents(files: Iterable[PacketFile]) -> dict[str, bytes]:
    """The contents of a packet's files by their names."""
    return {file.name: file.content for file in files}


def listed(files: Iterable[PacketFile]) -> tuple[FileLine, ...]:
    """The files of a job's packet, with what each is."""
    return tuple(FileLine(file.name, _words(file), _size(len(file.content))) for file in files)


def headers_of(name: str) -> dict[str, str]:
    """What a browser is told so that it keeps a download under its name, whatever letters that has."""
    plain = re.sub(r"[^A-Za-z0-9._-]", "-", name)
    return {
        "content-type": _TYPES.get(name.rpartition(".")[2], "application/octet-stream"),
        "content-disposition": f"attachment; filename=\"{plain}\"; filename*=UTF-8''{quote(name, safe='')}",
    }


def _words(file: PacketFile) -> str:
    return f"{_WORDS[file.part]}, {file.name.rpartition('.')[2].upper()}"


def _size(count: int) -> str:
    return f"{max(1, round(count / 1000))} kB"
