"""What this program wrote into a folder: one small record for each set of files that were made together.

The records stand in a folder of their own beside the files, so that a record is written with its files and
costs the same however many sets there are. Version 0.1.0 kept one record for the whole folder, which is
still believed where a set has no record of its own.
"""

import hashlib
import json
import re
from collections.abc import Iterator, Mapping
from functools import cached_property
from pathlib import Path
from typing import Any

from msgspec import Struct, field

RECORDS_FOLDER = ".flangelayout"
OLD_RECORD = ".flangelayout-written.json"
_OLD_SETS = "/sets"
_PLAIN = re.compile(r"[\w-][\w. -]{0,119}")
_MOST_BYTES = 4_000_000


class Issue(Struct, frozen=True):
    """A job as it was drawn.

    Attributes:
        number: Its number.
        revision: Its revision.
        digest: Its digest.
        source: The file or row it was read from.
        fails: Whether a check failed it: then it is not issued, and gives way to what its source becomes.
    """

    number: str
    revision: str
    digest: str
    source: str
    fails: bool = False


def gives_way(before: Issue, asked: Issue) -> bool:
    """Whether a job that was drawn gives its place to another unasked."""
    return before.digest == asked.digest or (before.fails and before.source == asked.source)


class FileSet(Struct, frozen=True):
    """Files that are made together.

    Attributes:
        made_from: A digest of everything they are made from.
        names: Of the files.
        issue: The job they are of, if they are one's.
    """

    made_from: str
    names: tuple[str, ...]
    issue: Issue | None = None


class Record(Struct, frozen=True):
    """What is known of a set.

    Attributes:
        made_from: A digest of everything its files were made from when they were written last.
        names: Of the files that were written last.
        files: SHA-256 of every file ever written for it: that of the content before, if any, and the last one.
        issue: The job it is of.
    """

    made_from: str = ""
    names: tuple[str, ...] = ()
    files: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    issue: Issue | None = None

    def last(self) -> dict[str, str]:
        """SHA-256 of the files that were written last, by name."""
        return {name: self.files[name][-1] for name in self.names}

    def with_files(self, made: FileSet, present: Mapping[str, str | None], digests: Mapping[str, str]) -> "Record":
        """The record once the set is written: new contents beside those there, so that a stop in between loses nothing.

        Args:
            made: The set.
            present: SHA-256 of what stands in the places of its files now.
            digests: SHA-256 of what is to stand there.
        """
        files = {name: tuple(dict.fromkeys(filter(None, (present[name], digests[name])))) for name in made.names}
        return Record(made.made_from, made.names, {**self.files, **files}, made.issue or self.issue)


NO_RECORD = Record()


class Records:
    """The records of a folder; only reads."""

    def __init__(self, folder: Path) -> None:
        """Name the folder of the files."""
        self.folder = folder

    def of(self, name: str) -> Record:
        """The record of a set, an empty one where there is none or it is damaged: then its files are strangers."""
        own = _read(self.folder / file_of(name))
        return _record(own) if own else self._old_sets.get(name, NO_RECORD)

    def know(self, name: str, digest: str) -> bool:
        """Whether any set of the folder has a file of that name and content; asked where a file's own does not."""
        if digest in self._old_files.get(name, ()):
            return True
        return any(digest in record.files.get(name, ()) for record in self._all())

    def know_of(self, name: str) -> bool:
        """Whether any set has a file of that name, whatever its content."""
        return name in self._old_files or any(name in record.files for record in self._all())

    def _all(self) -> Iterator[Record]:
        for path in sorted((self.folder / RECORDS_FOLDER).glob("*.json")):
            yield _record(_read(path))

    @cached_property
    def _old(self) -> dict[str, Any]:
        """The record of version 0.1.0, which nothing writes any more."""
        return _read(self.folder / OLD_RECORD)

    @cached_property
    def _old_files(self) -> dict[str, tuple[str, ...]]:
        return {name: tuple(map(str, each)) for name, each in self._old.items() if isinstance(each, list)}

    @cached_property
    def _old_sets(self) -> dict[str, Record]:
        sets = self._old.get(_OLD_SETS)
        sound = {name: each for name, each in sets.items() if _is_old_set(each)} if isinstance(sets, dict) else {}
        return {
            name: Record(
                each["from"], tuple(each["files"]), {file: (digest,) for file, digest in each["files"].items()}
            )
            for name, each in sound.items()
        }


def file_of(name: str) -> str:
    """Where the record of a set stands, seen from the folder of its files; safe on every file system."""
    if _PLAIN.fullmatch(name) and name[-1] not in ". ":
        return f"{RECORDS_FOLDER}/{name}.json"
    digest = hashlib.sha256(name.encode("utf-8", "surrogatepass")).hexdigest()[:16]
    return f"{RECORDS_FOLDER}/{re.sub(r'[^A-Za-z0-9-]+', '-', name)[:80].strip('-')}-{digest}.json"


def record_text(name: str, record: Record) -> bytes:
    """A record as it is written."""
    issue = record.issue
    content = {
        "set": name,
        "from": record.made_from,
        "names": record.names,
        "files": record.files,
        "issue": issue and [issue.number, issue.revision, issue.digest, issue.source],
        **({"fails": True} if issue and issue.fails else {}),
    }
    return (json.dumps(content, indent=1, sort_keys=True) + "\n").encode()


def _read(path: Path) -> dict[str, Any]:
    """The content of a record, nothing where it cannot be read."""
    try:
        if not path.is_file() or path.stat().st_size > _MOST_BYTES:
            return {}
        data = json.loads(path.read_bytes())
    except (OSError, ValueError, RecursionError):
        return {}
    return data if isinstance(data, dict) else {}


def _record(data: Mapping[str, Any]) -> Record:
    """A record out of a file that anybody may have written: what is damaged counts for nothing."""
    files, names, issue, made_from = (data.get(key) for key in ("files", "names", "issue", "from"))
    if not isinstance(files, dict) or not all(_are_texts(each) and each for each in files.values()):
        return NO_RECORD
    known = {name: tuple(each) for name, each in files.items()}
    made = _are_texts(names) and isinstance(made_from, str) and all(name in known for name in names or ())
    told = None
    if isinstance(issue, list) and _are_texts(issue) and len(issue) == 4:
        number, revision, digest, source = issue
        told = Issue(number, revision, digest, source, data.get("fails") is True)
    return Record(str(made_from), tuple(names or ()), known, told) if made else Record(files=known, issue=told)


def _are_texts(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(each, str) for each in value)


def _is_old_set(value: object) -> bool:
    if not isinstance(value, dict) or not isinstance(value.get("from"), str):
        return False
    files = value.get("files")
    return isinstance(files, dict) and all(isinstance(digest, str) for digest in files.values())
