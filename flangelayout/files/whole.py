"""Files written whole or not at all, and what a run that was killed left of them."""

import contextlib
import hashlib
import os
import platform
import re
import secrets
import time
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import BinaryIO

_TEMPORARY = re.compile(r"\..+\.(?P<place>[0-9a-f]{8})-(?P<process>\d{1,10})\.[^.]+\.part")
_A_DAY = 86_400.0
_RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{digit}" for port in ("com", "lpt") for digit in range(10))}
"""Names that are devices on some systems, whatever their ending."""


def write_whole(path: Path, content: bytes) -> None:
    """Write a file so that it is there whole or not at all.

    Raises:
        OSError: If it cannot be written; nothing of it is left then.
    """
    write_all_whole(path.parent, {path.name: content})


def write_all_whole(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write files so that all are there whole or none is: beside their places first, on disk, then renamed in order.

    Args:
        folder: Where they go; folders within it that a name leads through are there already.
        files: Contents by name.

    Raises:
        OSError: If one cannot be written; nothing is left of any then.
    """
    staged: list[tuple[Path, Path]] = []
    try:
        for name, content in files.items():
            path = folder / name
            part = path.parent / f".{path.name[:40]}.{_place()}-{os.getpid()}.{secrets.token_hex(4)}.part"
            staged.append((part, path))
            if not _write_before_naming(part, content):
                with part.open("xb") as file:
                    _write_to_disk(file, content)
        for part, path in staged:
            part.replace(path)
    except BaseException:
        for part, _ in staged:
            with contextlib.suppress(OSError):
                part.unlink()
        raise


def unreserved(name: str) -> str:
    """A name that is no device on any system.

    Example:
        >>> unreserved("nul"), unreserved("Con.1"), unreserved("H-114")
        ('job-nul', 'job-Con.1', 'H-114')
    """
    return f"job-{name}" if name.split(".", maxsplit=1)[0].strip().lower() in _RESERVED else name


def _write_before_naming(path: Path, content: bytes) -> bool:
    """Write a file that has no name until it is whole, so that even a kill leaves no piece of one.

    Returns:
        ``False`` where system or disk cannot do that, or it failed; nothing is left then.
    """
    if not hasattr(os, "O_TMPFILE"):
        return False
    try:
        with os.fdopen(os.open(path.parent, os.O_TMPFILE | os.O_WRONLY, 0o666), "wb") as file:
            _write_to_disk(file, content)
            # Python follows the link in /proc to the file only if it is told a folder, which full paths ignore.
            os.link(f"/proc/self/fd/{file.fileno()}", path, src_dir_fd=file.fileno())
    except OSError:
        return False
    return True


def _write_to_disk(file: BinaryIO, content: bytes) -> None:
    file.write(content)
    file.flush()
    os.fsync(file.fileno())


def left_behind(folder: Path) -> Iterator[Path]:
    """Files of this program that never came to their place, whose process has ended, or that are a day old.

    The name says which process, and where it runs: a process of another machine, or one that is seen under
    another number here, cannot be looked for, so its files are left until they are old.
    """
    for path in folder.glob(".*.part"):
        match = _TEMPORARY.fullmatch(path.name)
        if match is None:
            continue
        here = match["place"] == _place()
        with contextlib.suppress(OSError):
            if (here and _has_ended(int(match["process"]))) or time.time() - path.stat().st_mtime > _A_DAY:
                yield path


def _place() -> str:
    """Where process numbers mean the same: the machine and, in a container, the container."""
    try:
        space = str(Path("/proc/self/ns/pid").readlink())
    except OSError:
        space = ""
    return hashlib.sha256(f"{platform.node()} {space}".encode()).hexdigest()[:8]


def _has_ended(process: int) -> bool:
    """Whether no such process runs; never true where asking would disturb it."""
    if os.name != "posix":
        return False
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return True
    except (OSError, OverflowError):
        return False
    return False
