"""Jobs of files, folders and lists, as commands take them: what a list does not say, and what was wrong with it."""

from collections.abc import Iterator, Sequence
from contextlib import suppress
from pathlib import Path

from msgspec import Struct

from flangelayout.batch.meant import ListReading
from flangelayout.batch.sources import JobSource, job_sources, load_source
from flangelayout.cli.telling import lines_told
from flangelayout.errors import FlangeLayoutError
from flangelayout.job import Job
from flangelayout.job.shop import Shop, load_shop
from flangelayout.packet.names import file_lead


class LoadedJobs(Struct, frozen=True):
    """The sound jobs of a call, the folder of their files unless told, a line for each fault, and what is faulty."""

    jobs: tuple[Job, ...]
    folder: Path
    failures: tuple[str, ...]
    missing: tuple[str, ...] = ()


def loaded_jobs(names: Sequence[str], reading: ListReading) -> LoadedJobs:
    """Every job that files, folders and lists name.

    Args:
        names: As the command line has them.
        reading: How a list is read where it does not say.
    """
    sources, shop = job_sources(names, reading), load_shop()
    jobs: list[Job] = []
    failures: list[str] = []
    missing: list[JobSource] = []
    for source in sources:
        try:
            jobs.append(load_source(source, shop))
        except FlangeLayoutError as wrong:
            failures += lines_told(wrong)
            missing.append(source)
    failures += choice_told(missing, shop)
    folder = sources[0].folder if sources else Path()
    return LoadedJobs(tuple(jobs), folder, tuple(failures), tuple(source.short for source in missing))


def report_name(names: Sequence[str], jobs: Sequence[Job]) -> str:
    """What a report of some jobs is called: like the files of a single one, else like the list or folder."""
    return file_lead(jobs[0]) if len(jobs) == 1 else Path(names[0]).stem


def choice_told(failed: Sequence[JobSource], shop: Shop) -> Iterator[str]:
    """Which standards to choose from, once for all rows whose designations fit several; nothing where none does."""
    from flangelayout.batch.meant import standards_to_choose

    choices = set[frozenset[str]]()
    for folder in dict.fromkeys(source.folder for source in failed):
        rows = [source.tables for source in failed if source.folder == folder and source.tables]
        with suppress(FlangeLayoutError):
            choices.update(standards_to_choose(rows, shop.beside(folder).patterns))
    common = frozenset.intersection(*choices) if choices else frozenset()
    for standards in (common,) if common else sorted(choices, key=sorted):
        named = " or ".join(f'--standard "{name}"' for name in sorted(standards))
        yield f"which standard is meant can be said once for all rows: {named}"
