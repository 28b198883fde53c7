"""The jobs that mates of a job name: read for their plates alone, without what bolts to them in turn."""

import hashlib
from collections.abc import Sequence
from pathlib import Path

from pydantic import ValidationError

from flangelayout.errors import FlangeLayoutError, InputError
from flangelayout.files.reading import read_text
from flangelayout.job.build.circles import OwnTables
from flangelayout.job.build.flange import build_flange
from flangelayout.job.build.hole_kinds import keyed
from flangelayout.job.build.mates import MateJob
from flangelayout.job.build.readings import settle_diameters
from flangelayout.job.schema.job_file import read_tables
from flangelayout.job.schema.joint import MateTable
from flangelayout.job.schema.values import written_unit
from flangelayout.job.toml_slips import toml_tables
from flangelayout.problems.files import FileRole
from flangelayout.problems.job import JobProblem

_MOST_BYTES = 4_000_000


def mate_jobs(
    tables: Sequence[MateTable], folder: Path | None, own: OwnTables = (), parent: str = ""
) -> dict[str, MateJob]:
    """The jobs named by mates, by the key of the mate.

    Args:
        tables: What is written.
        folder: Where paths are seen from; ``None`` where the job did not come from a file.
        own: A shop's own patterns.
        parent: The file of the part that the job was derived from, which need not be there: its digest is known.

    Raises:
        InputError: If one of them cannot be read, or the job itself is in no file.
    """
    named = ((where, table.job) for where, table in keyed("mate", tables) if table.job)
    return {
        where: _read(written, f"{where}.job", folder, own)
        for where, written in named
        if written != parent or (folder is not None and (folder / written).is_file())
    }


def _read(written: str, where: str, folder: Path | None, own: OwnTables) -> MateJob:
    if folder is None:
        raise InputError.of(JobProblem.MATE_JOB_WITHOUT_FILE, where, written=written)
    path = folder / written
    try:
        text = read_text(path, _MOST_BYTES, FileRole.JOB)
        data = toml_tables(text, str(path))
        job = read_tables(data, written_unit(data))
        alone = job.model_copy(update={"mate": []})
        flange = build_flange(*settle_diameters(alone, own), own)
    except (FlangeLayoutError, ValidationError):
        raise InputError.of(JobProblem.MATE_JOB_UNREADABLE, where, written=written) from None
    digest = hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()
    return MateJob(job.job.number or path.stem, flange, digest, written)
