"""What the files of a packet are called, and the identity they carry."""

import re
import unicodedata

from flangelayout._version import __version__
from flangelayout.drawing.model import Stamp
from flangelayout.files.whole import unreserved
from flangelayout.job import Job

_LONGEST_NAME = 160
"""Most bytes of it that a file's name begins with; file systems take 255 bytes for a name."""


def stamp_of(job: Job) -> Stamp:
    """The identity every file of the job carries."""
    info = job.info
    return Stamp(info.number, info.revision, job.digest, info.date, __version__, info.title)


def file_lead(job: Job) -> str:
    """How the names of the job's files begin, ``H-114-A``: safe on every file system.

    Letters of any script, digits, dot, underscore and hyphen stay; anything else becomes a hyphen.
    """
    return lead_of(job.info.number, job.info.revision)


def lead_of(number: str, revision: str) -> str:
    """How the names of files begin that belong to a number and a revision, as :func:`file_lead` has it."""
    text = unicodedata.normalize("NFC", f"{number}-{revision}")
    return unreserved(safe_part(text, _LONGEST_NAME) or "job")


def safe_part(text: str, longest: int = 40) -> str:
    """A text as part of a file's name, of so many bytes at most; empty where nothing of it can stay."""
    safe = re.sub(r"[^\w.]+", "-", text).strip("-.")
    return safe.encode()[:longest].decode(errors="ignore").strip("-.")


def next_revision(revision: str) -> str:
    """The revision after one that is a letter or a number: ``A`` to ``B``, ``Z`` to ``AA``, ``09`` to ``10``.

    Returns:
        Empty where nobody can say what comes after.
    """
    if revision.isascii() and revision.isdecimal():
        return f"{int(revision) + 1:0{len(revision)}}"
    if not re.fullmatch("[A-Z]{1,3}", revision):
        return ""
    kept = revision.rstrip("Z")
    rolled = "A" * (len(revision) - len(kept))
    return (kept[:-1] + chr(ord(kept[-1]) + 1) if kept else "A") + rolled
