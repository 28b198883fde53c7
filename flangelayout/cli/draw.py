"""``flangelayout draw``."""

import hashlib
import json
from collections.abc import Iterator
from pathlib import Path

import click

from flangelayout.checks import Severity
from flangelayout.errors import InputError, Problem
from flangelayout.filestore import FileStore, Outcome
from flangelayout.job import Job, load_job
from flangelayout.packet import Part, build_packet


@click.command("draw")
@click.argument("jobs", nargs=-1, required=True, metavar="JOB.toml...")
@click.option("--into", metavar="DIR", help="Folder for the files; beside the job file unless told.")
@click.option("--only", metavar="PARTS", help="Parts to make: cut, template, sheet, holes, with commas between.")
@click.option("--force", is_flag=True, help="Overwrite also files that are not as this program wrote them.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead of words.")
def draw_command(jobs: tuple[str, ...], into: str | None, only: str | None, force: bool, as_json: bool) -> int:
    r"""Make the packet of a job: cut DXF and SVG, full-scale template, layout sheet, hole list.

    \b
    flangelayout draw samples/intake-adapter.toml
    flangelayout draw H-114.toml --into packet --only cut,template
    """
    parts = _parts(only)
    loaded = _load_all(jobs)
    reports = []
    for path, job in loaded:
        packet = build_packet(job, parts)
        store = FileStore(Path(into) if into else path.parent)
        outcomes = store.write(packet, force=force)
        reports.append(_report(job, packet, store.folder))
        if not as_json:
            for line in _lines(job, outcomes, store.folder):
                click.echo(line)
    if as_json:
        click.echo(json.dumps(reports[0] if len(reports) == 1 else reports, indent=2, ensure_ascii=False))
    return 0


def _parts(only: str | None) -> tuple[Part, ...]:
    if only is None:
        return tuple(Part)
    names = [name.strip().lower() for name in only.split(",") if name.strip()]
    known = {part.value: part for part in Part}
    wrong = [name for name in names if name not in known]
    if wrong or not names:
        found = f'"{wrong[0]}" is no part' if wrong else "names no part"
        raise InputError(Problem("--only", f"{found} of a packet; use {', '.join(known)}"))
    return tuple(known[name] for name in names)


def _load_all(jobs: tuple[str, ...]) -> list[tuple[Path, Job]]:
    """Every job checked before anything is written; the problems of all are told together."""
    loaded: list[tuple[Path, Job]] = []
    lines: list[str] = []
    for name in jobs:
        try:
            loaded.append((Path(name), load_job(name)))
        except InputError as wrong:
            lines += wrong.lines()
    if lines:
        raise InputError(*(Problem("", line) for line in lines))
    return loaded


def _report(job: Job, packet: dict[str, bytes], folder: Path) -> dict[str, object]:
    return {
        "job": {"number": job.info.number, "revision": job.info.revision, "digest": job.digest},
        "files": [
            {
                "name": name,
                "path": str(folder / name),
                "bytes": len(content),
                "sha256": hashlib.sha256(content).hexdigest(),
            }
            for name, content in packet.items()
        ],
        "findings": [
            {
                "rule": finding.rule,
                "severity": finding.severity.value,
                "where": finding.where,
                "text": finding.text,
                "source": finding.source,
            }
            for finding in job.findings
        ],
    }


def _lines(job: Job, outcomes: dict[str, Outcome], folder: Path) -> Iterator[str]:
    title = f" · {job.info.title}" if job.info.title else ""
    yield f"{job.info.number} rev {job.info.revision} · {job.digest[:10]}{title}"
    for name, outcome in outcomes.items():
        yield f"  {outcome.value:9} {folder / name}"
    for finding in job.findings:
        if finding.severity is not Severity.ERROR:
            yield f"  {finding.severity.value}: {finding.where}: {finding.text}"
