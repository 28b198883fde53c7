"""``flangelayout machine``: settings for the machine that drills, on the terminal."""

import json
from collections.abc import Iterator, Sequence
from functools import partial
from pathlib import Path

import click

from flangelayout.drawing.model import TextTable
from flangelayout.errors import InputError, Problem
from flangelayout.flange.cutting import MachineFile, Zero
from flangelayout.job import Job
from flangelayout.job.load import load_job
from flangelayout.job.shop import load_shop
from flangelayout.units import Unit
from flangelayout.value import replace

_SHOWN = {"readout": MachineFile.READOUT, "dividing": MachineFile.DIVIDING, "rotary": MachineFile.ROTARY}
_PROGRAM = "program"


@click.command("machine")
@click.argument("job_file", metavar="JOB.toml")
@click.option(
    "--show",
    metavar="WHAT",
    default="readout,dividing,rotary",
    show_default=True,
    help="readout, dividing, rotary or program, with commas between.",
)
@click.option("--zero", type=click.Choice([zero.value for zero in Zero]), help="Where X and Y are zero.")
@click.option("--units", type=click.Choice([unit.value for unit in Unit]), help="Unit of coordinates and program.")
@click.option("--into", metavar="DIR", help="Write the settings as pages to work from into this folder.")
@click.option("--force", is_flag=True, help="Overwrite also a page that is not as this program wrote it.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead of words.")
def machine_command(
    job_file: str, show: str, zero: str | None, units: str | None, into: str | None, force: bool, as_json: bool
) -> int:
    """Show what to set at a mill with a readout, a dividing head or a rotary table.

    What the job's [machine] table says holds unless an option says otherwise; draw writes the same as files.

    \b
    flangelayout machine samples/intake-ring.toml
    flangelayout machine H-114.toml --show readout --zero corner --units in
    """  # noqa: D301 - click wants the backspace itself
    wanted = [name.strip().lower() for name in show.split(",") if name.strip()]
    unknown = [name for name in wanted if name not in _SHOWN and name != _PROGRAM]
    if unknown or not wanted:
        found = f'"{unknown[0]}" is not known' if unknown else "names nothing"
        raise InputError(Problem("--show", f"{found}; use {', '.join((*_SHOWN, _PROGRAM))}"))
    job = _with_options(load_job(job_file, load_shop()), zero, units)
    tables = [table for name in wanted if name in _SHOWN for table in _tables(job, _SHOWN[name])]
    program = _program(job) if _PROGRAM in wanted else ""
    if not tables and not program:
        missing = "bolt circle" if job.flange.holes() else "hole"
        raise InputError(Problem("--show", f"nothing is set for {', '.join(wanted)}: the plate has no {missing}"))
    if into is not None:
        _write(job, wanted, Path(into), force, tell=not as_json)
    if as_json:
        document: dict[str, object] = {
            "tables": [
                {"title": t.title, "columns": list(t.columns), "rows": [list(row) for row in t.rows]} for t in tables
            ]
        }
        click.echo(json.dumps(document | ({"program": program} if program else {}), indent=2, ensure_ascii=False))
        return 0
    for table in tables:
        click.echo("\n".join(_lines(table)))
    if program:
        click.echo(program, nl=False)
    return 0


def _with_options(job: Job, zero: str | None, units: str | None) -> Job:
    drilling = job.machine.drilling
    if zero:
        drilling = replace(drilling, zero=Zero(zero))
    if units:
        drilling = replace(drilling, unit=Unit(units))
    return replace(job, machine=replace(job.machine, drilling=drilling))


def _tables(job: Job, kind: MachineFile) -> Iterator[TextTable]:
    from flangelayout.machine.tables import setting_tables
    from flangelayout.views.words.machine import hole_made

    settings, made = job.machine, partial(hole_made, job.machine.drilling.unit)
    for _, table in setting_tables(job.flange, kind, settings.head, settings.table_ratio, settings.drilling, made):
        yield table


def _write(job: Job, wanted: Sequence[str], folder: Path, force: bool, tell: bool) -> None:
    """The settings that are shown as pages to work from, into a folder."""
    from flangelayout.files.store import FileStore
    from flangelayout.packet.job import machine_pages
    from flangelayout.packet.names import file_lead, stamp_of

    shown = tuple(_SHOWN[name] for name in wanted if name in _SHOWN)
    asked = replace(job, machine=replace(job.machine, files=shown))
    lead, store = file_lead(job), FileStore(folder)
    pages = {f"{lead}_{name}": content for name, content in machine_pages(asked, stamp_of(job))}
    for name, outcome in store.write(pages, force=force).items():
        if tell:
            click.echo(f"  {outcome.value:9} {store.folder / name}")


def _program(job: Job) -> str:
    from flangelayout.checks import check_program
    from flangelayout.machine.drilling import drilling_program
    from flangelayout.views.words.findings import finding_text

    if job.flange.thickness is None and job.machine.drilling.depth is None:
        raise InputError(Problem("machine.depth", "is missing, and so is plate.thickness; write one of them"))
    for finding in check_program(job.flange, job.machine.drilling):
        raise InputError(Problem("--show program", finding_text(job.flange, finding, job.unit)))
    return drilling_program(job.flange, job.info, job.digest, job.machine.drilling)


def _lines(table: TextTable) -> Iterator[str]:
    """A table in columns as wide as they need, numbers to the right."""
    rows = (table.columns, *table.rows)
    widths = [max(len(row[column]) for row in rows) for column in range(len(table.columns))]
    yield table.title
    yield from ("  " + "  ".join(cell.rjust(width) for cell, width in zip(row, widths, strict=True)) for row in rows)
    yield ""
