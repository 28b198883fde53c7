"""The jobs that a command of the office is about: files, folders and lists, the sound ones and what was wrong."""

from collections.abc import Sequence
from pathlib import Path

from msgspec import Struct

from flangelayout.batch import job_sources
from flangelayout.batch.sources import load_source
from flangelayout.cli.telling import lines_told
from flangelayout.errors import FlangeLayoutError
from flangelayout.job import Job
from flangelayout.job.shop import load_shop
from flangelayout.packet.names import file_lead
from flangelayout.units import Unit


class LoadedJobs(Struct, frozen=True):
    """The sound jobs of a call, the folder of their files unless told, a line for each fault, and what is faulty."""

    jobs: tuple[Job, ...]
    folder: Path
    failures: tuple[str, ...]
    missing: tuple[str, ...] = ()


def loaded_jobs(names: Sequence[str], unit: Unit | None) -> LoadedJobs:
    """Every job that files, folders and lists name.

    Args:
        names: As the command line has them.
        unit: Of the lengths of a list that does not say.
    """
    sources, shop = job_sources(names, unit), load_shop()
    jobs: list[Job] = []
    failures: list[str] = []
    missing: list[str] = []
    for source in sources:
        try:
            jobs.append(load_source(source, shop))
        except FlangeLayoutError as wrong:
            failures += lines_told(wrong)
            missing.append(source.short)
    folder = sources[0].folder if sources else Path()
    return LoadedJobs(tuple(jobs), folder, tuple(failures), tuple(missing))


def report_name(names: Sequence[str], jobs: Sequence[Job]) -> str:
    """What a report of some jobs is called: like the files of a single one, else like the list or folder."""
    return file_lead(jobs[0]) if len(jobs) == 1 else Path(names[0]).stem
