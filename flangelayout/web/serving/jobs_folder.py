"""The folder that the page may save to, named when it was started: no name from a browser leads out of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from flangelayout.batch.run import fingerprint, set_of
from flangelayout.errors import InputError, OutputError
from flangelayout.files.store import FileStore
from flangelayout.job import Job
from flangelayout.packet.job import Part
from flangelayout.packet.names import file_lead
from flangelayout.problems.page import PageProblem
from flangelayout.web.form.limits import UPLOAD_BYTES

_SHOWN = 12
_LISTED = 2_000


@dataclass(frozen=True, slots=True)
class SavedJob:
    """A job file of the folder: its name and when it was last written."""

    name: str
    when: str


@dataclass(frozen=True, slots=True)
class JobsFolder:
    """A folder of job files and their packets."""

    folder: Path

    def recent(self) -> tuple[SavedJob, ...]:
        """The job files written last, the newest first."""
        times = [(path.stat().st_mtime, path.name) for path in self._paths().values()]
        newest = sorted(times, reverse=True)[:_SHOWN]
        return tuple(SavedJob(name, f"{datetime.fromtimestamp(time):%Y-%m-%d %H:%M}") for time, name in newest)

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
