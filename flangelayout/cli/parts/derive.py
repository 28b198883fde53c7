"""``flangelayout derive``: the job file of a part that goes with a flange."""

import os
from pathlib import Path
from typing import TypedDict, Unpack

import click

from flangelayout.errors import InputError, OutputError, UnitError
from flangelayout.files.whole import write_whole
from flangelayout.flange.joints.derived import DerivedPart, Parent
from flangelayout.job import Job
from flangelayout.job.derive import AskedPart, derived_tables, file_beside, stated_tolerances
from flangelayout.job.load import load_job
from flangelayout.job.shop import load_shop
from flangelayout.units import Unit, parse_length
from flangelayout.views.words.parts.derived import derived_notes, derived_title, face_text
from flangelayout.web.form.toml_text import job_text

_HEAD = (
    "# Derived from {parent}; when that changes, check and draw say so.\n"
    "# Edit what differs, then: flangelayout draw {file}"
)


class _DeriveOptions(TypedDict):
    """The options of the command."""

    circle: str | None
    thickness: str | None
    bore: str | None
    material: str | None
    number: str | None
    at_once: bool


@click.command("derive")
@click.argument("part", type=click.Choice([part.value for part in DerivedPart]), metavar="PART")
@click.argument("job", metavar="JOB.toml")
@click.argument("file", required=False, metavar="[FILE.toml]")
@click.option(
    "--circle",
    metavar="NAME",
    help="Letter, number or name of the one bolt circle that is meant; else all on its side.",
)
@click.option("--thickness", metavar="LENGTH", help="Of the part. A gasket, a blind and a mate take what is usual.")
@click.option("--bore", metavar="LENGTH", help="How far the part is open; as the flange and its mate unless told.")
@click.option("--material", metavar="TEXT", help="Of the part; a gasket is of fiber sheet, others as the flange.")
@click.option("--number", metavar="TEXT", help="Job number of the part; that of the flange with a letter unless told.")
@click.option("--draw", "at_once", is_flag=True, help="Draw the part at once.")
@click.pass_context
def derive_command(
    context: click.Context, part: str, job: str, file: str | None, **options: Unpack[_DeriveOptions]
) -> int:
    """Make the job file of a part that goes with a flange: PART is gasket, full-face-gasket, blind, spacer, mate
    or paddle.

    The part takes its holes and sizes from the flange and names it with its digest: when the flange changes,
    draw and check say so. Bolts stay in the flange's own bill. A file that is there already stays.

    \b
    flangelayout derive gasket MB-101.toml
    flangelayout derive blind MB-101.toml MB-101-cover.toml
    flangelayout derive spacer MB-101.toml --thickness 30
    """  # noqa: D301, D205 - click wants the backspace itself, and fills the lines
    loaded = load_job(job, load_shop())
    asked = _asked(DerivedPart(part), loaded.unit, options)
    path = Path(file) if file else file_beside(Path(job), asked.part)
    if path.exists():
        told = f"{path}: is already there; to derive it again take it away, or name another file"
        raise OutputError(f"{told}: flangelayout derive {part} {job} FILE.toml")
    beside = Path(os.path.relpath(Path(job).resolve(), path.resolve().parent)).as_posix()
    try:
        tables = derived_tables(loaded, beside, asked)
    except InputError as wrong:
        raise InputError(*wrong.problems, source=job) from None
    head = _HEAD.format(parent=beside, file=path.name)
    try:
        write_whole(path, job_text(_worded(tables, loaded, beside, asked), head).encode())
    except OSError as problem:
        raise OutputError(f"{path}: cannot be written ({problem.strerror or problem}); name another folder") from None
    circles = tables.get("bolt_circle")
    if isinstance(circles, list) and len(circles) > 1:
        click.echo(f"with {len(circles)} bolt circles of {job}, all on its side; --circle NAME takes one of them")
    if not options["at_once"]:
        click.echo(f"wrote {path}; edit what differs, then: flangelayout draw {path}")
        return 0
    from flangelayout.cli.draw import draw_command

    click.echo(f"wrote {path}")
    code: int = context.invoke(draw_command, jobs=(str(path),))
    return code


def _asked(part: DerivedPart, unit: Unit, options: _DeriveOptions) -> AskedPart:
    return AskedPart(
        part,
        options["circle"] or "",
        _length("--thickness", options["thickness"], unit),
        _length("--bore", options["bore"], unit),
        options["material"] or "",
        options["number"] or "",
    )


def _length(option: str, written: str | None, unit: Unit) -> float | None:
    try:
        return None if written is None else parse_length(written, unit)
    except UnitError as wrong:
        raise InputError(*wrong.placed(option)) from None


def _worded(tables: dict[str, object], job: Job, file: str, asked: AskedPart) -> dict[str, object]:
    """The tables with title, notes and the name of the face."""
    parent = Parent(asked.part, job.info.number, job.info.revision, file, job.digest)
    notes = derived_notes(parent, stated_tolerances(job, asked))
    texts = {"title": derived_title(asked.part, job.info), "notes": notes}
    title, plate = tables["job"], tables["plate"]
    face = {"face": face_text(parent)}
    return tables | {
        "job": {**(title if isinstance(title, dict) else {}), **texts},
        "plate": {**(plate if isinstance(plate, dict) else {}), **face},
    }
