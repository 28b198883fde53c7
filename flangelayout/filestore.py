"""A folder of written files: each whole or not at all, and nobody's work overwritten.

What this program wrote stands in a small record beside the files, by name and SHA-256. A file that is
not in the record, or is not as recorded, is somebody else's or was edited, and is left alone.
"""

import contextlib
import hashlib
import json
import os
import tempfile
from collections.abc import Mapping
from enum import Enum
from pathlib import Path

from flangelayout.errors import OutputError

RECORD_NAME = ".flangelayout-written.json"


class Outcome(Enum):
    """What became of a file."""

    WRITTEN = "wrote"
    UNCHANGED = "unchanged"


class FileStore:
    """A folder that packets are written into."""

    def __init__(self, folder: Path) -> None:
        """Name the folder; it is made when something is written."""
        self.folder = folder

    def write(self, files: Mapping[str, bytes], force: bool = False) -> dict[str, Outcome]:
        """Write files, all names checked before the first is touched.

        Args:
            files: Contents by name.
            force: Overwrite also what this program did not write or what was changed since.

        Returns:
            What became of each; one that already held the same bytes is left as it is.

        Raises:
            OutputError: If a file is not to be overwritten or the folder cannot be written; nothing
                half-written is left, whole files written before stay.
        """
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            present = {name: _digest_of(self.folder / name) for name in files}
            self._refuse_foreign(files, present, force)
            self._remember(files)
            return {name: self._write_one(name, content, present[name]) for name, content in files.items()}
        except OSError as problem:
            raise OutputError(_cannot_write(self.folder, problem)) from None

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

    def _write_one(self, name: str, content: bytes, present: str | None) -> Outcome:
        if present == _digest(content):
            return Outcome.UNCHANGED
        write_whole(self.folder / name, content)
        return Outcome.WRITTEN

    def _remember(self, files: Mapping[str, bytes]) -> None:
        """Record the new contents beside the last ones, before writing: a stop in between loses nothing."""
        record = self._record()
        for name, content in files.items():
            digests = [digest for digest in record.get(name, []) if digest != _digest(content)]
            record[name] = [*digests[-1:], _digest(content)]
        text = json.dumps(record, indent=1, sort_keys=True) + "\n"
        path = self.folder / RECORD_NAME
        if not path.exists() or path.read_bytes() != text.encode():
            write_whole(path, text.encode())

    def _record(self) -> dict[str, list[str]]:
        """The record, empty where there is none or it is damaged: then every file counts as foreign."""
        try:
            data = json.loads((self.folder / RECORD_NAME).read_bytes())
        except (OSError, ValueError):
            return {}
        entries = data.items() if isinstance(data, dict) else ()
        return {name: [str(digest) for digest in digests] for name, digests in entries if isinstance(digests, list)}


def write_whole(path: Path, content: bytes) -> None:
    """Write a file so that it is there whole or not at all: beside it first, flushed to disk, then renamed.

    Raises:
        OSError: If it cannot be written; nothing of it is left then.
    """
    handle, temporary = tempfile.mkstemp(prefix=f".{path.name[:40]}.", suffix=".part", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        Path(temporary).chmod(_usual_mode())
        Path(temporary).replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            Path(temporary).unlink()
        raise


def _usual_mode() -> int:
    """The permissions a plainly opened file would get; temporary files are made private."""
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _digest_of(path: Path) -> str | None:
    return _digest(path.read_bytes()) if path.exists() else None


def _cannot_write(folder: Path, problem: OSError) -> str:
    place = problem.filename or folder
    return f"{place}: cannot be written ({problem.strerror or problem}); choose another folder with --into"
