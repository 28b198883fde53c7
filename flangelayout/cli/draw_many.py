"""``flangelayout draw`` with many jobs: progress, one line a job, every failure at the end."""

import json
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager

import click

from flangelayout.batch import Done, Failure, JobSource, Request, draw_all, job_sources
from flangelayout.batch.sources import is_row
from flangelayout.checks import Severity
from flangelayout.cli.drawn import heading, lines, report
from flangelayout.cli.refusals import refusal_line
from flangelayout.cli.telling import FAULT, tell_problems
from flangelayout.errors import FlangeLayoutError
from flangelayout.files.store import NotOverwrittenError, Outcome
from flangelayout.job.shop import load_shop
from flangelayout.units import counted

_FEW = 12
"""Jobs from files named one by one whose every file is listed."""


def draw_many(names: Sequence[str], request: Request, bind_name: str | None, as_json: bool) -> int:
    """Make every job that can be made and tell what became of each; 2 if any could not."""
    sources = job_sources(names)
    with _progress(len(sources)) as tell:
        results = draw_all(sources, request, tell, load_shop())
    done = [result for result in results if isinstance(result, Done)]
    bound, problems = _bound(bind_name, done, sources, request)
    failures = [line for result in results if isinstance(result, Failure) for line in _told(result)]
    if as_json:
        click.echo(json.dumps([_entry(*pair) for pair in zip(sources, results, strict=True)], indent=2))
    else:
        listed = len(sources) <= _FEW and not any(is_row(source) for source in sources)
        for each in done:
            for line in _lines(each, listed):
                click.echo(line)
        for line in bound:
            click.echo(line)
        click.echo(_summary(done, len(sources)))
    tell_problems([*failures, *problems])
    if any(isinstance(result, Failure) and result.is_fault for result in results):
        return FAULT
    return 2 if failures or problems else 0


def _told(failure: Failure) -> Iterator[str]:
    yield from failure.lines
    yield from map(refusal_line, failure.refusals)


def _bound(
    name: str | None, done: Sequence[Done], sources: Sequence[JobSource], request: Request
) -> tuple[list[str], list[str]]:
    """What was combined, and what stood in the way."""
    if name is None or not done:
        return [], []
    from flangelayout.batch.bind import bind

    folder = request.into or sources[0].folder
    try:
        outcomes = bind(name, done, folder, request.force)
    except NotOverwrittenError as refused:
        return [], list(map(refusal_line, refused.refusals))
    except FlangeLayoutError as wrong:
        return [], list(wrong.lines())
    return [f"{name}", *(f"  {outcome.value:9} {folder / file}" for file, outcome in outcomes.items())], []


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
    remarks = sum(finding.severity is not Severity.ERROR for finding in job.findings)
    what = "unchanged" if done.is_unchanged else f"wrote {written} of {len(done.files)} files"
    told = f", {counted(remarks, 'remark')} on its sheet" if remarks else ""
    yield f"{heading(job)}: {what}{told}"


def _summary(done: Sequence[Done], count: int) -> str:
    unchanged = sum(each.is_unchanged for each in done)
    failed = f", {count - len(done)} failed" if len(done) < count else ""
    return f"{counted(count, 'job')}: {len(done) - unchanged} made, {unchanged} unchanged{failed}"


@contextmanager
def _progress(count: int) -> Iterator[Callable[[int, int], None]]:
    """A bar on a terminal, nothing elsewhere."""
    from rich.console import Console
    from rich.progress import Progress

    console = Console(stderr=True)
    if not console.is_terminal or count < 2:
        yield lambda _done, _all: None
        return
    with Progress(console=console, transient=True) as bar:
        task = bar.add_task("drawing", total=count)
        yield lambda finished, _all: bar.update(task, completed=finished)
