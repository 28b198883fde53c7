"""Many jobs from read to written: what is as it was is left, the rest is made on all cores and written whole."""

import hashlib
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import closing
from pathlib import Path

from msgspec import Struct

from flangelayout._version import __version__
from flangelayout.batch.pool import Failure, failure_of, labeled, make_all
from flangelayout.batch.sources import JobSource, load_source
from flangelayout.errors import OutputError
from flangelayout.files.records import FileSet, Issue
from flangelayout.files.store import FileStore, Outcome
from flangelayout.job import Job
from flangelayout.job.shop import NO_SHOP, Shop
from flangelayout.packet.job import Part
from flangelayout.packet.names import file_lead


class Request(Struct, frozen=True):
    """What is asked of all jobs.

    Attributes:
        parts: What to make of each.
        into: Folder for all files; beside each source unless told.
        preview: Whether to picture the pages.
        force: Whether to overwrite foreign files.
        cores: How many processes.
        by_use: Whether the files go into the folders of their use.
        as_asked: Changes each job as the call wants it.
    """

    parts: tuple[Part, ...]
    into: Path | None = None
    preview: bool = False
    force: bool = False
    cores: int = 1
    by_use: bool = False
    as_asked: Callable[[Job], Job] = lambda job: job


class Target(Struct, frozen=True):
    """A job that can be made, and where its files go."""

    source: JobSource
    job: Job
    folder: Path

    @property
    def lead(self) -> str:
        """How its files' names begin."""
        return file_lead(self.job)


class WrittenFile(Struct, frozen=True):
    """A file of a job: name, size in bytes, SHA-256 and what became of it."""

    name: str
    size: int
    sha256: str
    outcome: Outcome


class Done(Struct, frozen=True):
    """A job whose files are there."""

    target: Target
    files: tuple[WrittenFile, ...]

    @property
    def is_unchanged(self) -> bool:
        """Whether nothing had to be written."""
        return all(file.outcome is Outcome.UNCHANGED for file in self.files)


Result = Done | Failure


def draw_all(
    sources: Sequence[JobSource],
    request: Request,
    tell: Callable[[int, int], None] = lambda _done, _all: None,
    shop: Shop = NO_SHOP,
) -> list[Result]:
    """Make every job that can be made; the others fail on their own.

    Args:
        sources: Where the jobs come from.
        request: What is asked of all.
        tell: Called with how many are done, of how many.
        shop: What the shop always writes the same.

    Returns:
        What became of each source, in order.
    """
    read = {index: _loaded(source, request, shop) for index, source in enumerate(sources)}
    targets = {index: each for index, each in read.items() if isinstance(each, Target)}
    results: dict[int, Result] = {index: each for index, each in read.items() if isinstance(each, Failure)}
    results |= same_files(targets)
    targets = {index: target for index, target in targets.items() if index not in results}
    stores = {folder: FileStore(folder) for folder in dict.fromkeys(each.folder for each in targets.values())}
    marks = {index: _mark(target, request) for index, target in targets.items()}
    results |= dict(_unchanged(targets, marks, stores))
    tell(len(results), len(sources))
    rest = [index for index in targets if index not in results]
    jobs = [targets[index].job for index in rest]
    with closing(make_all(jobs, request.parts, request.preview, request.cores, request.by_use)) as batches:
        for batch in batches:
            made = {rest[number]: each for number, each in batch.items()}
            results |= {index: each for index, each in made.items() if isinstance(each, Failure)}
            packets = {index: each for index, each in made.items() if not isinstance(each, Failure)}
            for folder, store in stores.items():
                here = {index: each for index, each in packets.items() if targets[index].folder == folder}
                results |= _written(store, here, targets, marks, request.force)
            tell(len(results), len(sources))
    return [_labeled(results[index], source) for index, source in enumerate(sources)]


def fingerprint(job: Job, parts: Sequence[Part], preview: bool, by_use: bool = False) -> str:
    """A digest of everything the files of a job are made from: the whole job, what is asked, and the program."""
    content = repr((__version__, job, [part.value for part in parts], preview, by_use))
    return hashlib.sha256(content.encode("utf-8", "surrogatepass")).hexdigest()


def set_of(job: Job, source: str, mark: str, names: Iterable[str]) -> FileSet:
    """The files of a job as they are remembered beside it.

    Args:
        job: What they are of.
        source: The file or row it was read from.
        mark: Its :func:`fingerprint`.
        names: Of the files.
    """
    issue = Issue(job.info.number, job.info.revision, job.digest, source, bool(job.failed))
    return FileSet(mark, tuple(names), issue)


def _mark(target: Target, request: Request) -> str:
    return fingerprint(target.job, request.parts, request.preview, request.by_use)


def _loaded(source: JobSource, request: Request, shop: Shop) -> Target | Failure:
    try:
        job = request.as_asked(load_source(source, shop))
    except Exception as problem:
        return failure_of(problem)
    return Target(source, job, request.into or source.folder)


def same_files(targets: Mapping[int, Target]) -> dict[int, Failure]:
    """Jobs that would make the files of another one of the same call: nobody can say which of them is meant."""
    alike: dict[tuple[Path, str], list[int]] = {}
    for index, target in targets.items():
        alike.setdefault((target.folder.resolve(), target.lead.casefold()), []).append(index)
    failures = {}
    for indexes in alike.values():
        for index in indexes if len(indexes) > 1 else ():
            others = [targets[other].source.label for other in indexes if other != index]
            rest = f" and {len(others) - 1} more" if len(others) > 1 else ""
            told = f"makes the same files as {others[0]}{rest}, {targets[index].lead}_...; "
            failures[index] = Failure((told + "give one of them another number or revision",))
    return failures


def _unchanged(
    targets: Mapping[int, Target], marks: Mapping[int, str], stores: Mapping[Path, FileStore]
) -> Iterator[tuple[int, Done]]:
    """What need not be made again."""
    for folder, store in stores.items():
        asked = {target.lead: index for index, target in targets.items() if target.folder == folder}
        for lead, files in store.unchanged({lead: marks[index] for lead, index in asked.items()}).items():
            target = targets[asked[lead]]
            kept = (
                WrittenFile(name, (folder / name).stat().st_size, digest, Outcome.UNCHANGED)
                for name, digest in files.items()
            )
            yield asked[lead], Done(target, tuple(kept))


def _written(
    store: FileStore,
    packets: Mapping[int, dict[str, bytes]],
    targets: Mapping[int, Target],
    marks: Mapping[int, str],
    force: bool,
) -> dict[int, Result]:
    """Packets written together, or one by one where one of them must not be written."""
    if not packets:
        return {}
    files = {name: content for packet in packets.values() for name, content in packet.items()}
    sets = {
        targets[index].lead: set_of(targets[index].job, targets[index].source.short, marks[index], packet)
        for index, packet in packets.items()
    }
    try:
        outcomes = store.write(files, force, sets)
    except OutputError as refused:
        if len(packets) == 1:
            return dict.fromkeys(packets, failure_of(refused))
        each = ({index: packet} for index, packet in packets.items())
        return {index: result for one in each for index, result in _written(store, one, targets, marks, force).items()}
    return {
        index: Done(
            targets[index],
            tuple(
                WrittenFile(name, len(content), hashlib.sha256(content).hexdigest(), outcomes[name])
                for name, content in packet.items()
            ),
        )
        for index, packet in packets.items()
    }


def _labeled(result: Result, source: JobSource) -> Result:
    """A failure whose every line says which job it is."""
    if isinstance(result, Done):
        return result
    lines = tuple(labeled(line, source.label) for line in result.lines)
    return Failure(lines, result.refusals, result.is_fault)
