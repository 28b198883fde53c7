"""What ``flangelayout draw`` says of jobs: one in full, many a line each and every failure at the end."""

import json
from collections.abc import Container, Iterator, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

import click
from msgspec import to_builtins

from flangelayout.batch import Done, Failure, JobSource, ListReading, Request, draw_all, job_sources
from flangelayout.batch.run import WrittenFile
from flangelayout.batch.sources import is_row
from flangelayout.checks import Finding, Rule
from flangelayout.cli.findings import finding_data, finding_lines
from flangelayout.cli.listed import choice_told
from flangelayout.cli.telling import FAULT, lines_told, progress, refusal_line, tell_problems
from flangelayout.errors import FlangeLayoutError
from flangelayout.files.store import FileStore, NotOverwrittenError, Outcome
from flangelayout.job import Job
from flangelayout.job.shop import load_shop
from flangelayout.packet.job import cut_estimate
from flangelayout.units import counted

_FEW = 12
"""Jobs from files named one by one whose every file is listed."""


class Together(NamedTuple):
    """What is made of all jobs of a call together: bound under a name, nested on plates of a size."""

    bind: str | None
    plate: str | None


def draw_many(names: Sequence[str], reading: ListReading, request: Request, together: Together, as_json: bool) -> int:
    """Make every job that can be made and tell what became of each; 2 if any could not."""
    sources, shop = job_sources(names, reading), load_shop()
    with progress(len(sources)) as tell:
        results = draw_all(sources, request, tell, shop)
    done = [result for result in results if isinstance(result, Done)]
    failed = [source for source, result in zip(sources, results, strict=True) if isinstance(result, Failure)]
    missing = [source.short for source in failed]
    folder = request.into or sources[0].folder
    bound, problems = _bound(together.bind, done, missing, folder, request.force)
    nested, unfit = _nested(names, together, done, missing, FileStore(folder), request)
    failures = [line for result in results if isinstance(result, Failure) for line in _told(result)]
    if as_json:
        click.echo(json.dumps([_entry(*pair) for pair in zip(sources, results, strict=True)], indent=2))
    else:
        listed = len(sources) <= _FEW and not any(is_row(source) for source in sources)
        for line in (line for each in done for line in _lines(each, listed)):
            click.echo(line)
        for line in (*bound, *nested, _summary(done, sources), *_told_together(done)):
            click.echo(line)
    tell_problems([*failures, *choice_told(failed, shop), *problems, *unfit])
    if any(isinstance(result, Failure) and result.is_fault for result in results):
        return FAULT
    if failures or problems:
        return 2
    return 1 if unfit or any(each.target.job.failed for each in done) else 0


def _told_together(done: Sequence[Done]) -> Iterator[str]:
    """What is said once for all jobs: of printers, and of older files beside the new."""
    yield from dict.fromkeys(told for each in done for told in paper_of_printer(each.target.job))
    for folder in dict.fromkeys(each.target.folder for each in done):
        here = [each for each in done if each.target.folder == folder]
        files = {file.name for each in here for file in each.files}
        yield from older_told(folder, {each.target.lead: each.target.job.digest for each in here}, files)


def _told(failure: Failure) -> Iterator[str]:
    yield from failure.lines
    yield from map(refusal_line, failure.refusals)


def _bound(
    name: str | None, done: Sequence[Done], missing: Sequence[str], folder: Path, force: bool
) -> tuple[list[str], list[str]]:
    """What was combined, and what stood in the way."""
    if name is None or not done:
        return [], []
    from flangelayout.batch.bill import left_out
    from flangelayout.batch.bind import bind

    try:
        outcomes = bind(name, done, folder, force, missing)
    except NotOverwrittenError as refused:
        return [], list(map(refusal_line, refused.refusals))
    except FlangeLayoutError as wrong:
        return [], list(lines_told(wrong))
    told = f"{name}: {counted(len(missing), 'job')} missing, named on its first page" if missing else name
    files = (f"  {outcome.value:9} {folder / file}" for file, outcome in outcomes.items())
    notes = (
        f"  note: {', '.join(numbers)}: {note}" if numbers else f"  note: {note}"
        for note, numbers in left_out([each.target.job for each in done])
    )
    return [told, *files, *notes], []


def _nested(
    names: Sequence[str],
    together: Together,
    done: Sequence[Done],
    missing: Sequence[str],
    store: FileStore,
    request: Request,
) -> tuple[list[str], list[str]]:
    """How the parts lie on stock plate, and what does not: nothing does while a job is missing, which would move it."""
    if together.plate is None or not done:
        return [], []
    if missing:
        return [], [f"not nested while {counted(len(missing), 'job')} of the list cannot be read"]
    from flangelayout.cli.nest import nested_jobs, stock_of

    jobs = [each.target.job for each in done]
    try:
        stock = stock_of(together.plate, jobs[0].unit)
        nested = nested_jobs(jobs, stock, together.bind or Path(names[0]).resolve().stem, by_use=request.by_use)
        return list(nested.lines(nested.write(store, request.force), store.folder)), nested.missing
    except NotOverwrittenError as refused:
        return [], list(map(refusal_line, refused.refusals))
    except FlangeLayoutError as wrong:
        return [], list(lines_told(wrong))


def _entry(source: JobSource, result: Done | Failure) -> dict[str, object]:
    if isinstance(result, Failure):
        return {"source": source.label, "problems": list(_told(result))}
    return report(result.target.job, result.files, result.target.folder)


def _lines(done: Done, listed: bool) -> Iterator[str]:
    job, folder = done.target.job, done.target.folder
    if listed:
        yield from lines(job, done.files, folder)
        return
    written = sum(file.outcome is Outcome.WRITTEN for file in done.files)
    remarks = len(job.remarks)
    what = "unchanged" if done.is_unchanged else f"wrote {written} of {len(done.files)} files"
    told = f", {counted(remarks, 'remark')} on its sheet" if remarks else ""
    yield f"{heading(job)}: {what}{told}"
    yield from (f"  {line}" for line in _said(job))
    said = [each for each in job.remarks if _is_said(each)]
    yield from (f"  {line}" for each in said for line in finding_lines(job.flange, each, job.unit, job.source_name))


def _is_said(finding: Finding) -> bool:
    """Whether a remark is said of one job of many, too: a failed check, and what the plate itself must be asked."""
    return finding.failed or finding.rule in (Rule.ROW_NOTE, Rule.PICKED_AMONG)


def older_told(folder: Path, digests: Mapping[str, str], made: Container[str]) -> Iterator[str]:
    """That files of the same jobs as they were before lie elsewhere in the folder, or beside those made now."""
    store = FileStore(folder)
    if outdated := store.outdated(digests, made):
        named = ", ".join(outdated[:_FEW]) + (f" and {len(outdated) - _FEW} more" if len(outdated) > _FEW else "")
        yield f"of the job as it was before: {named}; make them again, or take them away"
    copies = [copy for lead in digests for copy in store.copies(lead)]
    if copies:
        count = counted(len(copies), "older file")
        yield f"{count} of the same jobs lie elsewhere in {folder}, {copies[0]} first: take them away, they grow old"


def _summary(done: Sequence[Done], sources: Sequence[JobSource]) -> str:
    count = sum(source.is_job for source in sources)
    unchanged = sum(each.is_unchanged for each in done)
    failed = f", {count - len(done)} failed" if len(done) < count else ""
    unread = f"; of {len(sources) - count} named no job could be read" if len(sources) > count else ""
    unsound = sum(bool(each.target.job.failed) for each in done)
    look = f"; {unsound} of them not issued: checks failed" if unsound else ""
    return f"{counted(count, 'job')}: {len(done) - unchanged} made, {unchanged} unchanged{failed}{unread}{look}"


def report(job: Job, files: Sequence[WrittenFile], folder: Path) -> dict[str, object]:
    """The job, what is said of it, its files, its findings and what cutting it takes, ready for JSON."""
    return {
        "job": {"number": job.info.number, "revision": job.info.revision, "digest": job.digest},
        "said": list(_said(job)),
        "files": [
            {"name": file.name, "path": str(folder / file.name), "bytes": file.size, "sha256": file.sha256}
            for file in files
        ],
        "findings": [finding_data(job.flange, finding, job.unit) for finding in job.remarks],
        "estimate": to_builtins(cut_estimate(job)),
    }


def lines(job: Job, files: Sequence[WrittenFile], folder: Path) -> Iterator[str]:
    """The job, each of its files, each remark."""
    from flangelayout.views.cut.estimate import estimate_line
    from flangelayout.views.words.findings import without_standards
    from flangelayout.views.words.origins import found_line, warnings

    found = found_line(job.flange, job.unit)
    if found:
        yield found
    yield heading(job)
    for file in files:
        yield f"  {file.outcome.value:9} {folder / file.name}"
    for line in warnings(job.flange, job.unit):
        yield f"  {line}"
    for finding in without_standards(job.remarks):
        yield from (f"  {line}" for line in finding_lines(job.flange, finding, job.unit, job.source_name))
    if job.failed:
        yield f"  not issued: {counted(len(job.failed), 'check')} failed"
    yield f"  {estimate_line(cut_estimate(job), job.unit)}"


def _said(job: Job) -> Iterator[str]:
    """What was found from readings, and where the plate is not as the standard it names."""
    from flangelayout.views.words.origins import found_line, warnings

    if found := found_line(job.flange, job.unit):
        yield found
    yield from warnings(job.flange, job.unit)


def paper_of_printer(job: Job) -> Iterator[str]:
    """That a printer was measured on another paper than the template is printed on."""
    measured, paper = job.template.measured, job.template.paper
    if measured is not None and measured.paper.casefold() != paper.casefold():
        told = f"{measured.name} was measured on {measured.paper}, this template is for {paper}"
        yield f'note: {told}: measure it again, flangelayout printer "{measured.name}" --paper {paper}'


def heading(job: Job) -> str:
    """Number, revision, digest and title; and that it is a blind, which a forgotten bore makes it, too."""
    title = f" · {job.info.title}" if job.info.title else ""
    title += " · no bore: a blind" if job.flange.is_blind else ""
    return f"{job.info.number} rev {job.info.revision} · {job.digest[:10]}{title}"
