"""``flangelayout draw``."""

import hashlib
import json
from collections.abc import Sequence
from pathlib import Path
from typing import TypedDict, Unpack

import click

from flangelayout.batch import ListReading, Request, begin_loading, fingerprint, is_one_file, usable_cores
from flangelayout.batch.run import WrittenFile, set_of
from flangelayout.checks import Rule
from flangelayout.cli.draw_many import Together, draw_many, lines, older_told, paper_of_printer, report
from flangelayout.cli.listed import list_options
from flangelayout.cli.telling import progress
from flangelayout.errors import FlangeLayoutError, InputError, Problem
from flangelayout.files.printers import find_printer, with_printer
from flangelayout.files.store import FileStore
from flangelayout.job import Job, load_job
from flangelayout.job.shop import load_shop
from flangelayout.packet.job import Part, build_packet, preview_packet
from flangelayout.packet.names import file_lead
from flangelayout.units import Unit
from flangelayout.value import replace
from flangelayout.views.words.findings import finding_text
from flangelayout.writers.png import check_rasterizer

_MANY_HOLES = 1000
"""From which on a job takes so long that a bar is shown."""


class _DrawOptions(TypedDict):
    """The options of the command."""

    into: str | None
    only: tuple[str, ...]
    printer: str | None
    flip_tiles: bool
    preview: bool
    bind: str | None
    cores: int | None
    plate: str | None
    reading: ListReading
    folders: bool
    force: bool
    as_json: bool


@click.command("draw")
@click.argument("jobs", nargs=-1, required=True, metavar="JOB.toml|LIST.csv|LIST.xlsx|FOLDER...")
@click.option("--into", metavar="DIR", help="Folder for the files; beside the job file unless told.")
@click.option(
    "--only",
    metavar="PARTS",
    multiple=True,
    help="Of cut, template, sheet, holes, working, machine, with commas between.",
)
@click.option("--printer", metavar="NAME", help="Correct the template for this printer: see flangelayout printer.")
@click.option("--flip-tiles", is_flag=True, help="Print every other tile of the template upside down.")
@click.option("--preview", is_flag=True, help="Write a PNG picture of every page, too.")
@click.option("--bind", metavar="NAME", help="Write all sheets as one PDF, a cut list and a bill of material, too.")
@click.option("--plate", metavar="LENGTHxWIDTH", help="Nest all parts on such plates, too, as flangelayout nest does.")
@list_options
@click.option("--folders", is_flag=True, help="Part the files by their use: cut, print, machine and sheets.")
@click.option("--cores", type=click.IntRange(1, 256), help="Processes that draw many jobs; all cores unless told.")
@click.option("--force", is_flag=True, help="Overwrite also other files; what was issued is kept in superseded/.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead of words.")
def draw_command(jobs: tuple[str, ...], **options: Unpack[_DrawOptions]) -> int:
    """Make the packet of a job: cut DXF and SVG, full-scale template, layout sheet, hole list.

    Many jobs are drawn from files, folders and lists with one flange a row, whose columns are keys of a
    job file such as plate.outside_diameter or bolt_circle.standard, or a designation. What has not changed
    is not made again.

    \b
    flangelayout draw samples/intake-adapter.toml
    flangelayout draw H-114.toml --into packet --only cut,template
    flangelayout draw week-12.csv --into week-12 --bind week-12 --plate 2500x1250
    """  # noqa: D301 - click wants the backspace itself
    if options["printer"]:
        find_printer(options["printer"], "--printer")
    if options["preview"]:
        check_rasterizer()
    if options["plate"]:
        from flangelayout.cli.nest import plate_size

        plate_size(options["plate"], Unit.MM)
    request = _request(options)
    together = Together(options["bind"], options["plate"])
    if is_one_file(jobs) and not any(together):
        return _draw_one(Path(jobs[0]), request, options["as_json"])
    if request.cores > 1:
        begin_loading()
    return draw_many(jobs, options["reading"], request, together, options["as_json"])


def _request(options: _DrawOptions) -> Request:
    parts = _parts(options["only"])
    return Request(
        parts=parts,
        into=Path(options["into"]) if options["into"] else None,
        preview=options["preview"],
        force=options["force"],
        cores=options["cores"] or usable_cores(),
        by_use=options["folders"],
        as_asked=lambda job: _as_asked(job, parts, options["printer"], options["flip_tiles"]),
    )


def _draw_one(path: Path, request: Request, as_json: bool) -> int:
    """One job, in this process; a fault of it is the fault of the call."""
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


def _parts(only: Sequence[str]) -> tuple[Part, ...]:
    if not only:
        return tuple(Part)
    names = [name.strip().lower() for name in ",".join(only).split(",") if name.strip()]
    known = {part.value: part for part in Part}
    wrong = [name for name in names if name not in known]
    if wrong or not names:
        found = f'"{wrong[0]}" is no part' if wrong else "names no part"
        raise InputError(Problem("--only", f"{found} of a packet; use {', '.join(known)}"))
    return tuple(known[name] for name in names)


def _as_asked(job: Job, parts: Sequence[Part], printer: str | None, flip_tiles: bool) -> Job:
    """The job with its template, if there is to be one, as the call wants it printed."""
    if Part.TEMPLATE not in parts:
        return job
    flipped = replace(job, template=replace(job.template, flip_tiles=flip_tiles or job.template.flip_tiles))
    return with_printer(flipped, printer or "")


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
