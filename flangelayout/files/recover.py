"""The job file back out of a layout sheet, byte for byte."""

import re
from io import BytesIO
from pathlib import PurePath
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from flangelayout.errors import InputError
from flangelayout.files.whole import unreserved
from flangelayout.problems.files import FileProblem
from flangelayout.writers.pdf_attachment import JOB_FILE

if TYPE_CHECKING:
    from pypdf import PdfReader

MAX_SHEET_BYTES = 64_000_000
MAX_JOB_BYTES = 4_000_000
_MOST_ATTACHMENTS = 50


class Recovered(Struct, frozen=True):
    """A job file out of a sheet.

    Attributes:
        name: Its name when the sheet was drawn, without a folder, safe to write.
        content: Its bytes.
        digest: The digest printed on the sheet; empty where the sheet does not tell.
    """

    name: str
    content: bytes
    digest: str


def recover(sheet: bytes, source: str = "") -> Recovered:
    """The job file that a layout sheet carries.

    Args:
        sheet: The bytes of the PDF.
        source: Its name, for the message.

    Raises:
        InputError: If it is no PDF, cannot be read, or carries no job file.
    """
    if len(sheet) > MAX_SHEET_BYTES:
        raise InputError.of(FileProblem.SHEET_TOO_LARGE, source, size=len(sheet), most=MAX_SHEET_BYTES)
    if b"%PDF-" not in sheet[:1024]:
        raise InputError.of(FileProblem.SHEET_NO_PDF, source)
    try:
        found = _attached(sheet)
    except InputError:
        raise
    except Exception as problem:  # a damaged or hostile file can make the reader fail in any way
        raise InputError.of(FileProblem.SHEET_DAMAGED, source, reason=_short(problem)) from None
    if found is None:
        raise InputError.of(FileProblem.SHEET_WITHOUT_JOB, source)
    if len(found.content) > MAX_JOB_BYTES:
        raise InputError.of(FileProblem.SHEET_JOB_TOO_LARGE, source, size=len(found.content), most=MAX_JOB_BYTES)
    return found


def safe_name(written: str) -> str:
    """The name of a file in this folder, whatever a sheet says: no path, no sign that a file system minds."""
    stem = PurePath(written.replace("\\", "/")).stem
    safe = re.sub(r"[^\w. -]+", "-", stem)[:120].strip(". -")
    return f"{unreserved(safe) or 'job'}.toml"


def _attached(sheet: bytes) -> Recovered | None:
    """The first attachment that says it is a job file of this program."""
    from pypdf import PdfReader

    reader = PdfReader(BytesIO(sheet), strict=True)
    if reader.is_encrypted:
        raise ValueError("encrypted")
    names: Any = reader.root_object
    for key in ("/Names", "/EmbeddedFiles", "/Names"):
        if key not in names:
            return None
        names = names[key].get_object()
    for entry in list(names)[1 : 2 * _MOST_ATTACHMENTS : 2]:
        specification: Any = entry.get_object()
        if specification.get("/Desc") == JOB_FILE:
            content = specification["/EF"]["/F"].get_object().get_data()
            return Recovered(safe_name(str(specification.get("/UF", ""))), bytes(content), _digest(reader))
    return None


def _digest(reader: "PdfReader") -> str:
    """The digest in the properties of the sheet."""
    facts = reader.metadata
    told = re.search(r"input digest: ([0-9a-f]{64})", (facts.subject if facts else "") or "")
    return told[1] if told else ""


def _short(problem: Exception) -> str:
    """What a reader says of a file, in a few words of one line."""
    return " ".join(str(problem).split())[:80] or type(problem).__name__
