"""A file as bytes, its kind and size asked before any of it is read."""

import stat
from itertools import islice
from pathlib import Path

from flangelayout.errors import InputError, Problem
from flangelayout.facts import Fact
from flangelayout.problems.cures import Cure
from flangelayout.problems.files import FileProblem, FileRole

_MOST_LISTED = 2_000


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
        raise _unreadable(path, reason) from None
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


def _unreadable(path: Path, reason: str) -> InputError:
    """That a file cannot be read, with the file of its folder that may be meant."""
    near = _near(path)
    cure = Cure.DID_YOU_MEAN if near else Cure.CHECK_NAME_AND_FOLDER
    return InputError(Problem("", FileProblem.UNREADABLE, None, "", cure, reason=reason, near=near), source=str(path))


def _near(path: Path) -> str:
    """The file beside a path that is not there whose name is nearly the same, or the same but for its ending."""
    from difflib import get_close_matches

    try:
        names = [each.name for each in islice(path.parent.iterdir(), _MOST_LISTED)]
    except (OSError, ValueError):
        return ""
    written = path.name.casefold()
    plain = {name.casefold(): name for name in sorted(names, reverse=True)}
    near = [name for name in plain if name == f"{written}.toml"] or get_close_matches(written, plain, n=1, cutoff=0.8)
    found = plain[near[0]] if near else path.name
    return str(path.with_name(found)) if found != path.name else ""


def _wrong(path: Path, kind: FileProblem, **found: Fact) -> InputError:
    return InputError(Problem("", kind, None, "", None, **found), source=str(path))
