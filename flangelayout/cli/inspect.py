"""``flangelayout inspect``: the finished part against its drawing."""

import json
from dataclasses import replace
from pathlib import Path
from typing import TypedDict, Unpack

import click

from flangelayout.checks.inspection.inspect import inspect_part
from flangelayout.checks.inspection.measured_file import MAX_BYTES, Positions, parse_positions
from flangelayout.checks.inspection.report import inspection_data, part_passes
from flangelayout.checks.inspection.results import Inspection
from flangelayout.checks.inspection.tolerances import InspectionLimits
from flangelayout.checks.mating.mating import mate, sides_of
from flangelayout.cli.mate import OF_THE_BOLT, read_part
from flangelayout.errors import GeometryError, InputError
from flangelayout.files.reading import read_text
from flangelayout.files.store import FileStore
from flangelayout.geometry.shapes import Point
from flangelayout.job import Job, load_job
from flangelayout.job.shop import load_shop
from flangelayout.problems.files import FileRole
from flangelayout.standards.bolts import known_bolt, parse_bolt
from flangelayout.standards.faults import StandardsError
from flangelayout.units import Unit
from flangelayout.views.words.inspection import inspection_lines


class _InspectOptions(TypedDict):
    """The options of the command."""

    datum: str
    mate: str | None
    bolt: str | None
    unit: str | None
    into: str | None
    no_report: bool
    force: bool
    as_json: bool


@click.command("inspect")
@click.argument("job", metavar="JOB.toml")
@click.argument("positions", metavar="POSITIONS.csv")
@click.option(
    "--datum",
    type=click.Choice(["holes", "bore"]),
    default="holes",
    help="holes: fit turn and shift. bore: its middle is fixed, only the turn is fitted.",
)
@click.option("--mate", metavar="B", help="What it bolts to, a job file or a designation; else drilled as drawn.")
@click.option("--bolt", metavar="BOLT", help="Such as M20; the bolt the job names unless told.")
@click.option("--unit", type=click.Choice([unit.value for unit in Unit]), help="Unit of the file; that of the job.")
@click.option("--into", metavar="DIR", help="Folder for the report page; beside the job file unless told.")
@click.option("--no-report", is_flag=True, help="Write no report page.")
@click.option("--force", is_flag=True, help="Overwrite also a report that is not as this program wrote it.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document, lengths in mm.")
def inspect_command(job: str, positions: str, **options: Unpack[_InspectOptions]) -> int:
    """Hold measured holes against the drawing: place, size, bolt circle, spacing, and the least rework.

    POSITIONS.csv has the columns x,y and, if wanted, hole (a label of the drawing, or bore), diameter and
    unit; or kind,value,from,to for chords between holes. Exits 1 if the part does not pass.

    \b
    flangelayout inspect MB-101.toml measured.csv
    flangelayout inspect MB-101.toml measured.csv --datum bore --mate H-115.toml
    """  # noqa: D301 - click wants the backspace itself
    loaded = load_job(job, load_shop())
    unit = Unit(options["unit"]) if options["unit"] else loaded.unit
    measured = parse_positions(read_text(Path(positions), MAX_BYTES, FileRole.MEASURED), loaded.flange, unit, positions)
    limits = _with_bolt(loaded.inspection, options["bolt"])
    datum_bore = options["datum"] == "bore"
    mates = _mate_holes(loaded, options["mate"], limits, options["bolt"]) if options["mate"] else {}
    try:
        found = inspect_part(loaded.flange, measured.holes, limits, measured.bore, datum_bore, mates)
    except InputError as wrong:
        raise InputError(*wrong.problems, source=positions) from None
    _show(found, measured, loaded, options["as_json"])
    if not options["no_report"]:
        _write(found, loaded, Path(options["into"]) if options["into"] else Path(job).parent, options)
    return 0 if part_passes(found) else 1


def _with_bolt(limits: InspectionLimits, bolt: str | None) -> InspectionLimits:
    if bolt is None:
        return limits
    try:
        parse_bolt(bolt)
    except StandardsError as wrong:
        raise InputError(*wrong.placed("--bolt")) from None
    return replace(limits, groups=tuple(replace(group, bolt=bolt) for group in limits.groups))


def _mate_holes(job: Job, text: str, limits: InspectionLimits, bolt: str | None) -> dict[str, tuple[Point, float]]:
    """The mating part's holes where they lie on this part's drawing, by this part's labels."""
    other = read_part(text, "--mate")
    sides = sides_of(job.flange, job.info.number)
    named = next((group.bolt for group in limits.groups if known_bolt(group.bolt)), None)
    try:
        laid = mate(sides, other.sides, bolt or named)
    except GeometryError as wrong:
        places = ((each, "--bolt" if each.kind in OF_THE_BOLT else "--mate") for each in wrong.problems)
        raise InputError(*(each.placed(place) for each, place in places)) from None
    places = laid.placing.moved(laid.b.centers()).tolist()
    at = {hole.label: (Point(*place), hole.diameter) for hole, place in zip(laid.b.holes, places, strict=True)}
    return {bolt.a: at[bolt.b] for bolt in laid.bolts}


def _show(found: Inspection, measured: Positions, job: Job, as_json: bool) -> None:
    if as_json:
        data = inspection_data(found) | {"chord_misfit": measured.misfit}
        click.echo(json.dumps(data, indent=2, ensure_ascii=False))
        return
    for line in inspection_lines(found, job.unit):
        click.echo(line)


def _write(found: Inspection, job: Job, folder: Path, options: _InspectOptions) -> None:
    from flangelayout.packet.reports import inspection_packet

    store = FileStore(folder)
    for name, outcome in store.write(inspection_packet(job, found), force=options["force"]).items():
        if not options["as_json"]:
            click.echo(f"  {outcome.value:9} {store.folder / name}")
