"""A file as bytes, its kind and size asked before any of it is read."""

import stat
from pathlib import Path

from flangelayout.errors import InputError, Problem


def read_file(path: Path, most_bytes: int, what: str) -> bytes:
    """The content of a plain file.

    Args:
        path: The file; a pipe or a device, which might never end, is not read.
        most_bytes: The most it may have.
        what: What it should be, for the message: ``a job file``.

    Raises:
        InputError: If it cannot be read, is no plain file or too large; it names the path as its source.
    """
    try:
        facts = path.stat()
        if stat.S_ISDIR(facts.st_mode):
            raise _wrong(path, "is a folder; name a file")
        if not stat.S_ISREG(facts.st_mode):
            raise _wrong(path, f"is no plain file; save {what} as one")
        if facts.st_size > most_bytes:
            raise _wrong(path, f"has {facts.st_size} bytes; {what} has at most {most_bytes}")
        with path.open("rb") as file:
            raw = file.read(most_bytes + 1)
    except OSError as problem:
        reason = problem.strerror or str(problem)
        raise _wrong(path, f"cannot be read ({reason}); check the name and the folder") from None
    except ValueError:
        raise _wrong(path, "is no name that a file can have; check it") from None
    if len(raw) > most_bytes:  # such as a file that another program writes at this moment
        raise _wrong(path, f"has more than {most_bytes} bytes; {what} has at most as many")
    return raw


def _wrong(path: Path, text: str) -> InputError:
    return InputError(Problem("", text), source=str(path))
