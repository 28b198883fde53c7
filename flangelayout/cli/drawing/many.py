"""What ``flangelayout draw`` says of jobs: one in full, many a line each and every failure at the end."""

import json
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

import click

from flangelayout.batch.meant import ListReading
from flangelayout.batch.pool import Failure
from flangelayout.batch.run import Done, Request, draw_all
from flangelayout.batch.sources import JobSource, is_row, job_sources
from flangelayout.checks import Finding, Rule
from flangelayout.cli.drawing.told import FEW, heading, lines, older_told, paper_of_printer, report, said
from flangelayout.cli.findings import finding_lines
from flangelayout.cli.listed import choice_told
from flangelayout.cli.telling import FAULT, lines_told, progress, refusal_line, tell_problems
from flangelayout.errors import FlangeLayoutError
from flangelayout.files.store import FileStore, NotOverwrittenError, Outcome
from flangelayout.job.shop import load_shop
from flangelayout.units import counted


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
        listed = len(sources) <= FEW and not any(is_row(source) for source in sources)
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
    yield from (f"  {line}" for line in said(job))
    asked = [each for each in job.remarks if _is_said(each)]
    yield from (f"  {line}" for each in asked for line in finding_lines(job.flange, each, job.unit, job.source_name))


def _is_said(finding: Finding) -> bool:
    """Whether a remark is said of one job of many, too: a failed check, and what the plate itself must be asked."""
    return finding.failed or finding.rule in (Rule.ROW_NOTE, Rule.PICKED_AMONG)


def _summary(done: Sequence[Done], sources: Sequence[JobSource]) -> str:
    count = sum(source.is_job for source in sources)
    unchanged = sum(each.is_unchanged for each in done)
    failed = f", {count - len(done)} failed" if len(done) < count else ""
    unread = f"; of {len(sources) - count} named no job could be read" if len(sources) > count else ""
    unsound = sum(bool(each.target.job.failed) for each in done)
    look = f"; {unsound} of them not issued: checks failed" if unsound else ""
    return f"{counted(count, 'job')}: {len(done) - unchanged} made, {unchanged} unchanged{failed}{unread}{look}"
