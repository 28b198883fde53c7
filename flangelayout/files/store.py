"""A folder of written files: each whole or not at all, and nobody's work overwritten.

What this program wrote stands in small records beside the files, by name and SHA-256, one for each set of
files made together. A file that is in no record, or is not as recorded, is somebody else's or was edited, and
is left alone. A record also says what its files were made from, so that what has not changed need not be made
again, and of which job they are, so that no other job takes their place unasked.
"""

import contextlib
import hashlib
from collections.abc import Container, Iterator, Mapping
from enum import Enum, auto
from pathlib import Path

from msgspec import Struct

from flangelayout.errors import OutputError, Problem
from flangelayout.files.lock import locked
from flangelayout.files.records import (
    RECORDS_FOLDER,
    FileSet,
    Issue,
    Record,
    Records,
    file_of,
    gives_way,
    record_text,
)
from flangelayout.files.whole import left_behind, write_all_whole
from flangelayout.problems.cures import Cure
from flangelayout.problems.files import FileProblem

SUPERSEDED_FOLDER = "superseded"
"""Where what was issued is kept when something else is made to take its place."""

_NO_PLAIN_FILE = "no plain file"
_DIGITS = 10
_SAYS_DIGEST = b"digest"
"""What stands in every file that says which job it was made of."""


class Outcome(Enum):
    """What became of a file."""

    WRITTEN = "wrote"
    UNCHANGED = "unchanged"


class Obstacle(Enum):
    """Why a file or a set of files is left alone."""

    FOREIGN = auto()
    EDITED = auto()
    ISSUED = auto()


class Refusal(Struct, frozen=True):
    """What is left alone.

    Attributes:
        obstacle: Why.
        path: The file; for a job that was drawn before, the folder.
        before: The job that was drawn there, where that is why.
        asked: The job that would have taken its place.
    """

    obstacle: Obstacle
    path: Path
    before: Issue | None = None
    asked: Issue | None = None

    @property
    def problem(self) -> Problem:
        """The same as a problem, at the file or the folder."""
        if self.asked is not None:
            number, revision = self.asked.number, self.asked.revision
            revise = Cure.REVISE_OR_OVERWRITE
            return Problem(str(self.path), FileProblem.ISSUED, cure=revise, number=number, revision=revision)
        kind = FileProblem.EDITED if self.obstacle is Obstacle.EDITED else FileProblem.FOREIGN
        return Problem(str(self.path), kind, cure=Cure.RENAME_OR_ELSEWHERE_OR_OVERWRITE)


class NotOverwrittenError(OutputError):
    """Files that must not be written; nothing was."""

    def __init__(self, *refusals: Refusal) -> None:
        """Keep what is left alone."""
        self.refusals = refusals
        super().__init__(*(each.problem for each in refusals))


class FileStore:
    """A folder that packets are written into."""

    def __init__(self, folder: Path) -> None:
        """Name the folder; it is made when something is written."""
        self.folder = folder
        self._records = Records(folder)
        self._swept = False

    def unchanged(self, sets: Mapping[str, str]) -> dict[str, dict[str, str]]:
        """Which sets need not be made again: made from the same, and every file there as it was written.

        Args:
            sets: What each would be made from, by the name of the set.

        Returns:
            The files of each such set with their SHA-256.
        """
        kept = {name: self._records.of(name) for name in sets}
        return {
            name: record.last()
            for name, record in kept.items()
            if record.made_from == sets[name] and record.names and self._holds(record.last())
        }

    def copies(self, name: str) -> tuple[str, ...]:
        """Files of a set that were written at another place of the folder before and are still there."""
        record = self._records.of(name)
        last = {Path(file).name for file in record.names}
        others = (file for file in record.files if file not in record.names and Path(file).name in last)
        return tuple(sorted(file for file in others if (self.folder / file).is_file()))

    def outdated(self, digests: Mapping[str, str], made: Container[str]) -> tuple[str, ...]:
        """Files beside sets that were written, of the same jobs as they were before: travellers, quotes, reports.

        Args:
            digests: What each job is now, by how the names of its files begin.
            made: The files that were made of it now.
        """
        found = []
        for path in sorted(self.folder.iterdir()) if self.folder.is_dir() else ():
            name = path.name
            starts = (name[:place] for place, letter in enumerate(name) if letter == "_")
            lead = next((start for start in starts if start in digests), None)
            if lead is None or name in made or not any(name in self._records.of(each).files for each in (name, lead)):
                continue
            with contextlib.suppress(OSError):
                content = path.read_bytes()
                if _SAYS_DIGEST in content and digests[lead][:_DIGITS].encode() not in content:
                    found.append(name)
        return tuple(found)

    def _holds(self, files: Mapping[str, str]) -> bool:
        try:
            return all(_digest_of(self.folder / name) == digest for name, digest in files.items())
        except OSError:
            return False

    def write(
        self, files: Mapping[str, bytes], force: bool = False, sets: Mapping[str, FileSet] | None = None
    ) -> dict[str, Outcome]:
        """Write files, all names checked before the first is touched, while no other run writes there.

        Args:
            files: Contents by name.
            force: Overwrite also what this program did not write, what was changed since, and another job; what was
                issued of that is kept in the folder of what is superseded, by its digest.
            sets: What the files were made from, by the name of the set; a file of none is a set of its own.

        Returns:
            What became of each; one that already held the same bytes is left as it is.

        Raises:
            NotOverwrittenError: If a file or job that is there is not to be overwritten; nothing is written then.
            OutputError: If the folder cannot be written; then every file is as it was, unless the very
                renaming fails, which leaves whole files, old or new.
        """
        every = _every_set(files, sets or {})
        try:
            with locked(self.folder / RECORDS_FOLDER):
                self._sweep()
                present = {name: _digest_of(self.folder / name) for name in files}
                records = {name: self._records.of(name) for name in every}
                refusals = () if force else tuple(self._refusals(files, every, present, records))
                if refusals:
                    raise NotOverwrittenError(*refusals)
                kept = dict(self._superseded(every, records))
                for name in (*files, *kept):
                    (self.folder / name).parent.mkdir(parents=True, exist_ok=True)
                changed = {name: content for name, content in files.items() if present[name] != _digest(content)}
                write_all_whole(self.folder, kept | self._new_records(files, every, present, records) | changed)
        except OSError as problem:
            raise _cannot_write(self.folder, problem) from None
        return {name: Outcome.WRITTEN if name in changed else Outcome.UNCHANGED for name in files}

    def _refusals(
        self,
        files: Mapping[str, bytes],
        sets: Mapping[str, FileSet],
        present: Mapping[str, str | None],
        records: Mapping[str, Record],
    ) -> Iterator[Refusal]:
        for name, made in sets.items():
            before = records[name].issue
            if before and made.issue and not gives_way(before, made.issue) and self._is_there(records[name]):
                yield Refusal(Obstacle.ISSUED, self.folder, before, made.issue)
            for file in made.names:
                there = present[file]
                known = records[name].files.get(file, ())
                if there and there not in (_digest(files[file]), *known) and not self._records.know(file, there):
                    edited = bool(known) or self._records.know_of(file)
                    yield Refusal(Obstacle.EDITED if edited else Obstacle.FOREIGN, self.folder / file)

    def _superseded(self, sets: Mapping[str, FileSet], records: Mapping[str, Record]) -> Iterator[tuple[str, bytes]]:
        """What stands there of jobs that were issued and that others take the place of, by where it is kept."""
        for name, made in sets.items():
            before = records[name].issue
            if before and made.issue and before.digest != made.issue.digest:
                there = (file for file in records[name].names if (self.folder / file).is_file())
                for file in there:
                    place = f"{SUPERSEDED_FOLDER}/{name}-{before.digest[:_DIGITS]}/{file}"
                    yield place, (self.folder / file).read_bytes()

    def _is_there(self, record: Record) -> bool:
        """Whether any file of a set still stands in the folder."""
        return any((self.folder / name).exists() for name in record.names)

    def _new_records(
        self,
        files: Mapping[str, bytes],
        sets: Mapping[str, FileSet],
        present: Mapping[str, str | None],
        records: Mapping[str, Record],
    ) -> dict[str, bytes]:
        """The records that change, by their place."""
        digests = {name: _digest(content) for name, content in files.items()}
        texts = {
            file_of(name): record_text(name, records[name].with_files(made, present, digests))
            for name, made in sets.items()
        }
        return {place: text for place, text in texts.items() if not self._reads(place, text)}

    def _reads(self, place: str, text: bytes) -> bool:
        path = self.folder / place
        return path.is_file() and path.read_bytes() == text

    def _sweep(self) -> None:
        """Take away, once, what runs that were killed left beside its place; what others may still write stays."""
        if not self._swept:
            for place in (self.folder, self.folder / RECORDS_FOLDER):
                for path in left_behind(place):
                    with contextlib.suppress(OSError):
                        path.unlink()
        self._swept = True


def _every_set(files: Mapping[str, bytes], sets: Mapping[str, FileSet]) -> dict[str, FileSet]:
    """The sets that are written, a file of none of them as one of its own."""
    placed = {name for made in sets.values() for name in made.names}
    alone = {name: FileSet(_digest(content), (name,)) for name, content in files.items() if name not in placed}
    return {**sets, **alone}


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _digest_of(path: Path) -> str | None:
    """SHA-256 of a file; of what is neither file nor folder, a word that no file has as its own."""
    if not path.exists():
        return None
    if not path.is_file() and not path.is_dir():
        return _NO_PLAIN_FILE
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _cannot_write(folder: Path, problem: OSError) -> OutputError:
    reason = problem.strerror or str(problem)
    return OutputError.of(FileProblem.CANNOT_BE_WRITTEN, str(problem.filename or folder), reason=reason)
