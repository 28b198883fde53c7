"""What ``flangelayout draw`` says of a job that was made: in words, and as JSON."""

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from pathlib import Path

from flangelayout.batch.run import WrittenFile
from flangelayout.checks import Severity
from flangelayout.cli.findings import finding_data
from flangelayout.job import Job
from flangelayout.packet.job import cut_estimate


def report(job: Job, files: Sequence[WrittenFile], folder: Path) -> dict[str, object]:
    """The job, its files and its findings, ready for JSON."""
    return {
        "job": {"number": job.info.number, "revision": job.info.revision, "digest": job.digest},
        "files": [
            {"name": file.name, "path": str(folder / file.name), "bytes": file.size, "sha256": file.sha256}
            for file in files
        ],
        "findings": [finding_data(finding) for finding in job.findings],
        **({"estimate": asdict(cut_estimate(job))} if job.cut.options.process else {}),
    }


def lines(job: Job, files: Sequence[WrittenFile], folder: Path) -> Iterator[str]:
    """The job, each of its files, each remark."""
    yield heading(job)
    for file in files:
        yield f"  {file.outcome.value:9} {folder / file.name}"
    for finding in job.findings:
        if finding.severity is not Severity.ERROR:
            yield f"  {finding.severity.value}: {finding.where}: {finding.text}"
    if job.cut.options.process:
        from flangelayout.views.cut.estimate import estimate_line

        yield f"  estimate for one part: {estimate_line(cut_estimate(job), job.unit)}"


def heading(job: Job) -> str:
    """Number, revision, digest and title."""
    title = f" · {job.info.title}" if job.info.title else ""
    return f"{job.info.number} rev {job.info.revision} · {job.digest[:10]}{title}"
