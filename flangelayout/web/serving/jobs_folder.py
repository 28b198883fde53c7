"""The folder that the page may save to, named when it was started: no name from a browser leads out of it."""

import re
import tomllib
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path

from msgspec import Struct

from flangelayout.batch.run import fingerprint, set_of
from flangelayout.errors import InputError, OutputError
from flangelayout.files.records import Records
from flangelayout.files.store import FileStore
from flangelayout.job import Job
from flangelayout.packet.job import Part
from flangelayout.packet.names import file_lead, lead_of
from flangelayout.problems.page import PageProblem
from flangelayout.web.form.limits import UPLOAD_BYTES

_COUNTED = re.compile(r"(.{0,60}?)([0-9]{1,9})")
_SHOWN = 12
_LISTED = 2_000
_FIRST = "A"


class SavedJob(Struct, frozen=True):
    """A job file of the folder: its name, when it was last written, and what it says the job is called."""

    name: str
    when: str
    number: str = ""
    revision: str = ""
    title: str = ""


class JobsFolder(Struct, frozen=True):
    """A folder of job files and their packets."""

    folder: Path

    def recent(self) -> tuple[SavedJob, ...]:
        """The job files written last, the newest first."""
        times = [(path.stat().st_mtime, path) for path in self._paths().values()]
        newest = sorted(times, key=lambda each: each[0], reverse=True)[:_SHOWN]
        return tuple(_saved(path, f"{datetime.fromtimestamp(time):%Y-%m-%d %H:%M}") for time, path in newest)

    def next_number(self) -> str:
        """A job number that follows on the one saved last and that no job file of the folder begins with."""
        last = next((job.number for job in self.recent() if _COUNTED.fullmatch(job.number)), "")
        found, taken = _COUNTED.fullmatch(last), self._paths()
        if found is None:
            return ""
        for step in range(1, _LISTED):
            number = f"{found[1]}{int(found[2]) + step:0{len(found[2])}d}"
            if not any(name.startswith(lead_of(number, "")) for name in taken):
                return number
        return ""

    def issued(self, number: str, revision: str) -> str:
        """Digest of the job that was saved under a number and revision; empty for none."""
        if not number:
            return ""
        issue = Records(self.folder).of(lead_of(number, revision)).issue
        return issue.digest if issue is not None else ""

    def namesakes(self, name: str) -> tuple[str, ...]:
        """Other job files of the folder that say the same number and revision as one of them."""
        called = {other: _saved(path, "") for other, path in self._paths().items()}
        own = called.pop(name, None)
        if own is None or not own.number:
            return ()
        same = (own.number, own.revision or _FIRST)
        return tuple(sorted(other for other, job in called.items() if (job.number, job.revision or _FIRST) == same))

    def read(self, name: str) -> bytes:
        """The content of a job file.

        Raises:
            InputError: If the folder has no job file of exactly that name, or it is too large for the page.
        """
        path = self._paths().get(name)
        try:
            if path is None or path.stat().st_size > UPLOAD_BYTES:
                raise InputError.of(PageProblem.NO_SUCH_JOB_IN_FOLDER)
            return path.read_bytes()
        except OSError:
            raise InputError.of(PageProblem.JOB_GONE) from None

    def save(self, job: Job, name: str, content: bytes, packet: Mapping[str, bytes]) -> int:
        """Write a job file and its packet as the command line would draw it there.

        What this program did not write stays, and so does a job that was drawn or saved there before under the
        same number and revision with other contents.

        Args:
            job: As its packet was made.
            name: Of its job file.
            content: Of its job file.
            packet: Contents by name.

        Returns:
            How many files there are now.

        Raises:
            OutputError: If a name is no plain file name, or a file must not or cannot be written; nothing is then.
        """
        files = {name: content, **packet}
        for each in files:
            if each != Path(each).name or "\\" in each or each.startswith("."):
                raise OutputError.of(PageProblem.NUMBER_NO_FILE_NAME)
        made = set_of(job, name, fingerprint(job, tuple(Part), preview=False), packet)
        try:
            FileStore(self.folder).write(files, sets={file_lead(job): made})
        except OutputError as refused:
            named = (each.placed(Path(each.where).name) for each in refused.problems)
            raise OutputError(*named) from None
        return len(files)

    def _paths(self) -> dict[str, Path]:
        """The job files by name: plain files that stand in the folder itself."""
        try:
            found = [path for path, _ in zip(self.folder.glob("*.toml"), range(_LISTED), strict=False)]
        except OSError:
            return {}
        return {path.name: path for path in found if path.is_file() and not path.is_symlink()}


def _saved(path: Path, when: str) -> SavedJob:
    """What a job file says it is, as far as it can be read."""
    try:
        job = (
            tomllib.loads(path.read_text(encoding="utf-8-sig")).get("job", {})
            if path.stat().st_size < UPLOAD_BYTES
            else {}
        )
    except (OSError, ValueError, RecursionError):
        job = {}
    told = job if isinstance(job, dict) else {}
    return SavedJob(path.name, when, *(str(told.get(name, "")) for name in ("number", "revision", "title")))
