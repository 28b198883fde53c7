"""What is told of a job that was drawn: its files, its remarks, what lies beside them."""

from collections.abc import Container, Iterator, Mapping, Sequence
from pathlib import Path

from msgspec import to_builtins

from flangelayout.batch.run import WrittenFile
from flangelayout.cli.findings import finding_data, finding_lines
from flangelayout.files.store import FileStore
from flangelayout.job import Job
from flangelayout.packet.job import cut_estimate
from flangelayout.units import counted

FEW = 12
"""Of jobs named one by one, so many have every file listed; of older files, so many are named."""


def heading(job: Job) -> str:
    """Number, revision, digest and title; and that it is a blind, which a forgotten bore makes it, too."""
    title = f" · {job.info.title}" if job.info.title else ""
    title += " · no bore: a blind" if job.flange.is_blind else ""
    return f"{job.info.number} rev {job.info.revision} · {job.digest[:10]}{title}"


def report(job: Job, files: Sequence[WrittenFile], folder: Path) -> dict[str, object]:
    """The job, what is said of it, its files, its findings and what cutting it takes, ready for JSON."""
    return {
        "job": {"number": job.info.number, "revision": job.info.revision, "digest": job.digest},
        "said": list(said(job)),
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


def said(job: Job) -> Iterator[str]:
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


def older_told(folder: Path, digests: Mapping[str, str], made: Container[str]) -> Iterator[str]:
    """That files of the same jobs as they were before lie elsewhere in the folder, or beside those made now."""
    store = FileStore(folder)
    if outdated := store.outdated(digests, made):
        named = ", ".join(outdated[:FEW]) + (f" and {len(outdated) - FEW} more" if len(outdated) > FEW else "")
        yield f"of the job as it was before: {named}; make them again, or take them away"
    copies = [copy for lead in digests for copy in store.copies(lead)]
    if copies:
        count = counted(len(copies), "older file")
        yield f"{count} of the same jobs lie elsewhere in {folder}, {copies[0]} first: take them away, they grow old"
