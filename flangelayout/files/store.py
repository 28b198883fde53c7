"""A folder of written files: each whole or not at all, and nobody's work overwritten.

What this program wrote stands in a small record beside the files, by name and SHA-256. A file that is
not in the record, or is not as recorded, is somebody else's or was edited, and is left alone. The record
also says what each set of files was made from, so that what has not changed need not be made again.
"""

import contextlib
import hashlib
import json
import os
import platform
import re
import secrets
import time
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import Enum
from pathlib import Path
from typing import Any, BinaryIO

from flangelayout.errors import OutputError

RECORD_NAME = ".flangelayout-written.json"
_SETS = "/sets"
"""Key in the record that no file can have as its name."""

_TEMPORARY = re.compile(r"\..+\.(?P<place>[0-9a-f]{8})-(?P<process>\d{1,10})\.[^.]+\.part")
_A_DAY = 86_400.0


class Outcome(Enum):
    """What became of a file."""

    WRITTEN = "wrote"
    UNCHANGED = "unchanged"


@dataclass(frozen=True, slots=True)
class FileSet:
    """Files that were made together: a digest of everything they were made from, and their names."""

    made_from: str
    names: tuple[str, ...]


class FileStore:
    """A folder that packets are written into."""

    def __init__(self, folder: Path) -> None:
        """Name the folder; it is made when something is written."""
        self.folder = folder
        self._swept = False

    def unchanged(self, sets: Mapping[str, str]) -> dict[str, dict[str, str]]:
        """Which sets need not be made again: made from the same, and every file there as it was written.

        Args:
            sets: What each would be made from, by the name of the set.

        Returns:
            The files of each such set with their SHA-256.
        """
        kept = self._sets()
        return {
            name: kept[name]["files"]
            for name, made_from in sets.items()
            if name in kept and kept[name]["from"] == made_from and self._holds(kept[name]["files"])
        }

    def _holds(self, files: Mapping[str, str]) -> bool:
        try:
            return all(_digest_of(self.folder / name) == digest for name, digest in files.items())
        except OSError:
            return False

    def write(
        self, files: Mapping[str, bytes], force: bool = False, sets: Mapping[str, FileSet] | None = None
    ) -> dict[str, Outcome]:
        """Write files, all names checked before the first is touched.

        Args:
            files: Contents by name.
            force: Overwrite also what this program did not write or what was changed since.
            sets: What the files were made from, by the name of the set, for :meth:`unchanged`.

        Returns:
            What became of each; one that already held the same bytes is left as it is.

        Raises:
            OutputError: If a file is not to be overwritten or the folder cannot be written; then every
                file is as it was, unless the very renaming fails, which leaves whole files, old or new.
        """
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            self._sweep()
            present = {name: _digest_of(self.folder / name) for name in files}
            self._refuse_foreign(files, present, force)
            changed = {name: content for name, content in files.items() if present[name] != _digest(content)}
            write_all_whole(self.folder, self._record_with(files, present, sets or {}) | changed)
        except OSError as problem:
            raise OutputError(_cannot_write(self.folder, problem)) from None
        return {name: Outcome.WRITTEN if name in changed else Outcome.UNCHANGED for name in files}

    def _refuse_foreign(self, files: Mapping[str, bytes], present: Mapping[str, str | None], force: bool) -> None:
        record = self._record()
        foreign = [
            name
            for name, content in files.items()
            if (there := present[name]) and there not in (_digest(content), *record.get(name, ()))
        ]
        if foreign and not force:
            raise OutputError("\n".join(self._refusal(name, name in record) for name in foreign))

    def _refusal(self, name: str, known: bool) -> str:
        reason = "was changed since this program wrote it" if known else "was not written by this program"
        return f"{self.folder / name}: {reason}; rename it, choose another folder with --into, or use --force"

    def _record_with(
        self, files: Mapping[str, bytes], present: Mapping[str, str | None], sets: Mapping[str, FileSet]
    ) -> dict[str, bytes]:
        """The record with the new contents beside those that are there: a stop in between loses nothing."""
        record: dict[str, Any] = self._record()
        digests = {name: _digest(content) for name, content in files.items()}
        for name, digest in digests.items():
            record[name] = [each for each in dict.fromkeys((present[name], digest)) if each]
        kept = self._sets()
        for name, made in sets.items():
            kept[name] = {"from": made.made_from, "files": {each: digests[each] for each in made.names}}
        if kept:
            record[_SETS] = kept
        text = (json.dumps(record, indent=1, sort_keys=True) + "\n").encode()
        path = self.folder / RECORD_NAME
        return {} if path.exists() and path.read_bytes() == text else {RECORD_NAME: text}

    def _record(self) -> dict[str, list[str]]:
        """The record, empty where there is none or it is damaged: then every file counts as foreign."""
        entries = self._read().items()
        return {name: [str(digest) for digest in digests] for name, digests in entries if isinstance(digests, list)}

    def _sets(self) -> dict[str, Any]:
        """The sets of the record that are sound."""
        sets = self._read().get(_SETS)
        return {name: each for name, each in sets.items() if _is_set(each)} if isinstance(sets, dict) else {}

    def _read(self) -> dict[str, Any]:
        try:
            data = json.loads((self.folder / RECORD_NAME).read_bytes())
        except (OSError, ValueError, RecursionError):
            return {}
        return data if isinstance(data, dict) else {}

    def _sweep(self) -> None:
        """Take away, once, what runs that were killed left beside its place; what others may still write stays."""
        if not self._swept:
            for path in _left_behind(self.folder):
                with contextlib.suppress(OSError):
                    path.unlink()
        self._swept = True


def _is_set(value: object) -> bool:
    if not isinstance(value, dict) or not isinstance(value.get("from"), str):
        return False
    files = value.get("files")
    return isinstance(files, dict) and all(isinstance(digest, str) for digest in files.values())


def write_whole(path: Path, content: bytes) -> None:
    """Write a file so that it is there whole or not at all.

    Raises:
        OSError: If it cannot be written; nothing of it is left then.
    """
    write_all_whole(path.parent, {path.name: content})


def write_all_whole(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write files so that all are there whole or none is: beside their places first, on disk, then renamed in order.

    Raises:
        OSError: If one cannot be written; nothing is left of any then.
    """
    staged: list[tuple[Path, Path]] = []
    try:
        for name, content in files.items():
            part = folder / f".{name[:40]}.{_place()}-{os.getpid()}.{secrets.token_hex(4)}.part"
            staged.append((part, folder / name))
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


def _left_behind(folder: Path) -> Iterator[Path]:
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


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _digest_of(path: Path) -> str | None:
    return _digest(path.read_bytes()) if path.exists() else None


def _cannot_write(folder: Path, problem: OSError) -> str:
    place = problem.filename or folder
    return f"{place}: cannot be written ({problem.strerror or problem}); choose another folder with --into"
