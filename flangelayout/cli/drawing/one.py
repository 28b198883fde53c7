"""One job drawn, in this process; a fault of it is the fault of the call."""

import hashlib
import json
from pathlib import Path

import click

from flangelayout.batch.run import Request, WrittenFile, fingerprint, set_of
from flangelayout.checks import Rule
from flangelayout.cli.drawing.told import lines, older_told, paper_of_printer, report
from flangelayout.cli.telling import progress
from flangelayout.errors import FlangeLayoutError, InputError, Problem
from flangelayout.files.store import FileStore
from flangelayout.job import Job
from flangelayout.job.load import load_job
from flangelayout.job.shop import load_shop
from flangelayout.packet.job import Part, build_packet, preview_packet
from flangelayout.packet.names import file_lead
from flangelayout.views.words.findings import finding_text

_MANY_HOLES = 1000
"""From which on a job takes so long that a bar is shown."""


def draw_one(path: Path, request: Request, as_json: bool) -> int:
    """Make the packet of a job file and tell of it; 1 if checks failed."""
    _refuse_designation(path)
    job = request.as_asked(load_job(path, load_shop()))
    if Part.TEMPLATE in request.parts:
        _tell_of_paper(job)
    packet = _made(path, job, request)
    store = FileStore(request.into or path.parent)
    made = set_of(job, path.name, fingerprint(job, request.parts, request.preview, request.by_use), packet)
    outcomes = store.write(packet, request.force, {file_lead(job): made})
    files = [
        WrittenFile(name, len(content), hashlib.sha256(content).hexdigest(), outcomes[name])
        for name, content in packet.items()
    ]
    if as_json:
        click.echo(json.dumps(report(job, files, store.folder), indent=2))
    else:
        for line in (
            *lines(job, files, store.folder),
            *paper_of_printer(job),
            *older_told(store.folder, {file_lead(job): job.digest}, packet),
        ):
            click.echo(line)
    return 1 if job.failed else 0


def _tell_of_paper(job: Job) -> None:
    """What joined paper cannot hold is told before its pages are made: there is time to ask for something else."""
    for finding in job.findings:
        if finding.rule is Rule.TEMPLATE_PAPER:
            click.echo(f"note: {finding_text(job.flange, finding, job.unit)}", err=True)


def _refuse_designation(path: Path) -> None:
    """A published drilling named in place of a job is answered with how its job is begun."""
    if path.suffix or path.exists():
        return
    from flangelayout.standards import find

    try:
        row = find(str(path))
    except FlangeLayoutError:
        return
    advice = f'flangelayout new ring-flange FILE.toml, and write standard = "{row.designation}" into it'
    raise InputError(Problem(str(path), f"is a published drilling, not a job file; begin a job of it: {advice}"))


def _made(path: Path, job: Job, request: Request) -> dict[str, bytes]:
    """The packet of a job; what its plate has no room for is told with the name of its file."""
    try:
        packet: dict[str, bytes] = {}
        with progress(len(request.parts) if len(job.flange.holes()) > _MANY_HOLES else 0) as move:
            for done, part in enumerate(request.parts, 1):
                packet |= build_packet(job, (part,), request.by_use)
                move(done, len(request.parts))
        return packet | (preview_packet(packet) if request.preview else {})
    except InputError as wrong:
        raise InputError(*wrong.problems, source=str(path)) from None
