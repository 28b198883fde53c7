"""Many jobs from read to written: what is as it was is left, the rest is made on all cores and written whole."""

import hashlib
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from flangelayout._version import __version__
from flangelayout.batch.pool import Failure, make_all
from flangelayout.batch.sources import JobSource, load_source
from flangelayout.errors import FlangeLayoutError, InputError, OutputError, Problem
from flangelayout.files.printers import printers_file
from flangelayout.files.store import FileSet, FileStore, Outcome
from flangelayout.job import Job
from flangelayout.packet.job import Part
from flangelayout.packet.names import file_lead


@dataclass(frozen=True, slots=True)
class Request:
    """What is asked of all jobs.

    Attributes:
        parts: What to make of each.
        into: Folder for all files; beside each source unless told.
        preview: Whether to picture the pages.
        force: Whether to overwrite foreign files.
        cores: How many processes.
        as_asked: Changes each job as the call wants it.
    """

    parts: tuple[Part, ...]
    into: Path | None = None
    preview: bool = False
    force: bool = False
    cores: int = 1
    as_asked: Callable[[Job], Job] = lambda job: job


@dataclass(frozen=True, slots=True)
class Target:
    """A job that can be made, and where its files go."""

    source: JobSource
    job: Job
    folder: Path

    @property
    def lead(self) -> str:
        """How its files' names begin."""
        return file_lead(self.job)


@dataclass(frozen=True, slots=True)
class WrittenFile:
    """A file of a job: name, size in bytes, SHA-256 and what became of it."""

    name: str
    size: int
    sha256: str
    outcome: Outcome


@dataclass(frozen=True, slots=True)
class Done:
    """A job whose files are there."""

    target: Target
    files: tuple[WrittenFile, ...]

    @property
    def is_unchanged(self) -> bool:
        """Whether nothing had to be written."""
        return all(file.outcome is Outcome.UNCHANGED for file in self.files)


Result = Done | Failure


def draw_all(
    sources: Sequence[JobSource], request: Request, tell: Callable[[int, int], None] = lambda _done, _all: None
) -> list[Result]:
    """Make every job that can be made; the others fail on their own.

    Args:
        sources: Where the jobs come from.
        request: What is asked of all.
        tell: Called with how many are done, of how many.

    Returns:
        What became of each source, in order.

    Raises:
        InputError: If two of them would make the same files; nothing is written then.
    """
    results: dict[int, Result] = {}
    targets: dict[int, Target] = {}
    for index, source in enumerate(sources):
        loaded = _loaded(source, request)
        if isinstance(loaded, Failure):
            results[index] = loaded
        else:
            targets[index] = loaded
    _refuse_same_files(targets.values())
    stores = {folder: FileStore(folder) for folder in dict.fromkeys(each.folder for each in targets.values())}
    marks = {index: fingerprint(target.job, request.parts, request.preview) for index, target in targets.items()}
    results |= dict(_unchanged(targets, marks, stores))
    tell(len(results), len(sources))
    rest = [index for index in targets if index not in results]
    jobs = [targets[index].job for index in rest]
    with closing(make_all(jobs, request.parts, request.preview, request.cores)) as batches:
        for batch in batches:
            made = {rest[number]: each for number, each in batch.items()}
            results |= {index: each for index, each in made.items() if isinstance(each, Failure)}
            packets = {index: each for index, each in made.items() if not isinstance(each, Failure)}
            for folder, store in stores.items():
                here = {index: each for index, each in packets.items() if targets[index].folder == folder}
                results |= _written(store, here, targets, marks, request.force)
            tell(len(results), len(sources))
    return [_labeled(results[index], source) for index, source in enumerate(sources)]


def fingerprint(job: Job, parts: Sequence[Part], preview: bool) -> str:
    """A digest of everything the files of a job are made from: the whole job, what is asked, program and printer."""
    content = repr((__version__, job, [part.value for part in parts], preview))
    printers = b""
    if job.template.printer and printers_file().exists():
        printers = printers_file().read_bytes()
    return hashlib.sha256(content.encode("utf-8", "surrogatepass") + printers).hexdigest()


def _loaded(source: JobSource, request: Request) -> Target | Failure:
    try:
        job = request.as_asked(load_source(source))
    except InputError as wrong:
        return Failure(wrong.lines())
    except FlangeLayoutError as wrong:
        return Failure(tuple(f"{source.label}: {line}" for line in str(wrong).splitlines()))
    return Target(source, job, request.into or source.folder)


def _refuse_same_files(targets: Iterable[Target]) -> None:
    """No job may overwrite what another of the same call makes; told before anything is written."""
    first: dict[tuple[Path, str], Target] = {}
    problems: list[Problem] = []
    for target in targets:
        other = first.setdefault((target.folder.resolve(), target.lead.casefold()), target)
        if other is not target:
            advice = f"makes the same files as {other.source.label}, {target.lead}_...; "
            problems.append(Problem(target.source.label, advice + "give one of them another number or revision"))
    if problems:
        raise InputError(*problems)


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
    sets = {targets[index].lead: FileSet(marks[index], tuple(packet)) for index, packet in packets.items()}
    try:
        outcomes = store.write(files, force, sets)
    except OutputError as refused:
        if len(packets) == 1:
            return dict.fromkeys(packets, Failure(tuple(str(refused).splitlines())))
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
    lines = (line if line.startswith(source.label) else f"{source.label}: {line}" for line in result.lines)
    return Failure(tuple(lines))
