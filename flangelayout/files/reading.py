"""A file as bytes, its kind and size asked before any of it is read."""

import stat
from pathlib import Path

from flangelayout.errors import InputError, Problem
from flangelayout.facts import Fact
from flangelayout.problems.files import FileProblem, FileRole


def read_file(path: Path, most_bytes: int, role: FileRole) -> bytes:
    """The content of a plain file.

    Args:
        path: The file; a pipe or a device, which might never end, is not read.
        most_bytes: The most it may have.
        role: What it should be, for the message.

    Raises:
        InputError: If it cannot be read, is no plain file or too large; it names the path as its source.
    """
    try:
        facts = path.stat()
        if stat.S_ISDIR(facts.st_mode):
            raise _wrong(path, FileProblem.A_FOLDER)
        if not stat.S_ISREG(facts.st_mode):
            raise _wrong(path, FileProblem.NO_PLAIN_FILE, role=role)
        if facts.st_size > most_bytes:
            raise _wrong(path, FileProblem.TOO_LARGE, size=facts.st_size, most=most_bytes, role=role)
        with path.open("rb") as file:
            raw = file.read(most_bytes + 1)
    except OSError as problem:
        reason = problem.strerror or str(problem)
        raise _wrong(path, FileProblem.UNREADABLE, reason=reason) from None
    except ValueError:
        raise _wrong(path, FileProblem.NO_FILE_NAME) from None
    if len(raw) > most_bytes:  # such as a file that another program writes at this moment
        raise _wrong(path, FileProblem.GROWN_TOO_LARGE, most=most_bytes, role=role)
    return raw


def read_text(path: Path, most_bytes: int, role: FileRole) -> str:
    """The content of a plain file of UTF-8 text, as :func:`read_file` reads it.

    Raises:
        InputError: As :func:`read_file`, or if it is no such text.
    """
    return decoded(read_file(path, most_bytes, role), str(path))


def decoded(raw: bytes, source: str) -> str:
    """Bytes as UTF-8 text; ``source`` names the file.

    Raises:
        InputError: If they are no such text, with the line where they cease to be.
    """
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = raw[: problem.start].count(b"\n") + 1
        raise InputError(Problem("", FileProblem.NOT_UTF_8, line), source=source) from None


def _wrong(path: Path, kind: FileProblem, **found: Fact) -> InputError:
    return InputError(Problem("", kind, None, "", None, **found), source=str(path))
