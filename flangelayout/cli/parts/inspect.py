"""``flangelayout inspect``: the finished part against its drawing."""

import json
from pathlib import Path
from typing import TypedDict, Unpack, assert_never

import click

from flangelayout.checks.inspection.caliper import inspect_by_caliper
from flangelayout.checks.inspection.caliper_report import caliper_data
from flangelayout.checks.inspection.caliper_results import CaliperInspection, CaliperVerdict
from flangelayout.checks.inspection.inspect import inspect_part
from flangelayout.checks.inspection.measured_file import MAX_BYTES, Positions, check_readings, parse_measured
from flangelayout.checks.inspection.report import inspection_data, part_passes
from flangelayout.checks.inspection.results import Inspection
from flangelayout.checks.inspection.tolerances import InspectionLimits
from flangelayout.checks.mating.mating import mate, sides_of
from flangelayout.cli.mate import OF_THE_BOLT, read_part
from flangelayout.cli.parts import BOXES_HELP
from flangelayout.cli.parts.forms import inspection_readings, write_form
from flangelayout.errors import GeometryError, InputError, UnitError
from flangelayout.files.reading import read_text
from flangelayout.files.store import FileStore
from flangelayout.geometry.shapes import Point
from flangelayout.job import Job
from flangelayout.job.load import load_job
from flangelayout.job.shop import load_shop
from flangelayout.problems.checks import CheckProblem
from flangelayout.problems.files import FileRole
from flangelayout.standards.bolts import known_bolt, parse_bolt
from flangelayout.standards.faults import StandardsError
from flangelayout.survey import Reading
from flangelayout.units import Unit, parse_length
from flangelayout.value import replace
from flangelayout.views.words.parts.caliper import caliper_lines
from flangelayout.views.words.parts.inspection import inspection_lines


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
    form: bool
    boxes: str | None
    within: str | None


@click.command("inspect")
@click.argument("job", metavar="JOB.toml")
@click.argument("measured", metavar="MEASURED.csv", required=False)
@click.option("--form", is_flag=True, help="Print a form with a box for each reading, and stop.")
@click.option("--boxes", metavar="TEXT", help=BOXES_HELP)
@click.option("--within", metavar="LENGTH", help="What a caliper reading is good to, plus or minus, if not said.")
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
def inspect_command(job: str, measured: str | None, **options: Unpack[_InspectOptions]) -> int:
    """Hold a finished part against its drawing: place, size, bolt circle, spacing, bolts, and rework.

    MEASURED.csv has the columns x,y and, if wanted, hole (a label of the drawing, or bore), diameter and unit;
    or kind,value,from,to and, if wanted, within and unit, for any caliper readings: chords, diagonals, edges,
    widths, bore and rim. Readings need not fix everything: what they leave open is named, with the next to
    take. Exits 1 unless the part passes, all that its check card asks of holes, outside and bore reads inside its
    limits (by x and y: all of its holes), or nothing is stated to judge it by.

    \b
    flangelayout inspect MB-101.toml --form
    flangelayout inspect MB-101.toml --boxes "1=22.1 2=240.0 3=239.9"
    flangelayout inspect MB-101.toml measured.csv
    flangelayout inspect MB-101.toml measured.csv --datum bore --mate H-115.toml
    """  # noqa: D301 - click wants the backspace itself
    loaded = load_job(job, load_shop())
    folder = Path(options["into"]) if options["into"] else Path(job).parent
    if options["form"]:
        write_form(loaded, Path(job).name, folder, options["force"])
        return 0
    taken = _measured(loaded, measured, options)
    limits = _with_bolt(loaded, options["bolt"])
    mates = _mate_holes(loaded, options["mate"], limits, options["bolt"]) if options["mate"] else {}
    try:
        if isinstance(taken, Positions):
            datum_bore = options["datum"] == "bore"
            found: Inspection | CaliperInspection = inspect_part(
                loaded.flange, taken.holes, limits, taken.bore, datum_bore, mates, loaded.unit
            )
        else:
            found = inspect_by_caliper(loaded.flange, taken, limits, mates, loaded.unit)
    except InputError as wrong:
        raise InputError(*wrong.problems, source=measured or "--boxes") from None
    _show(found, loaded, options["as_json"])
    if not options["no_report"]:
        _write(found, loaded, folder, options)
    return 0 if _is_good(found) else 1


def _measured(job: Job, path: str | None, options: _InspectOptions) -> Positions | tuple[Reading, ...]:
    """What was measured: places, or the readings of a file and of boxes together."""
    unit = Unit(options["unit"]) if options["unit"] else job.unit
    taken: Positions | tuple[Reading, ...] = ()
    if path is not None:
        taken = parse_measured(read_text(Path(path), MAX_BYTES, FileRole.MEASURED), job.flange, unit, path)
    if isinstance(taken, Positions):
        return taken
    boxes = () if options["boxes"] is None else inspection_readings(options["boxes"], job, unit)
    readings = (*taken, *boxes)
    if not readings:
        raise InputError.of(CheckProblem.NOTHING_MEASURED, "MEASURED.csv")
    if options["datum"] == "bore":
        raise InputError.of(CheckProblem.DATUM_WITHOUT_PLACES, "--datum")
    check_readings(readings, job.flange)
    return tuple(reading if reading.within else replace(reading, within=_within(options, unit)) for reading in readings)


def _within(options: _InspectOptions, unit: Unit) -> float | None:
    text = options["within"]
    if text is None:
        return None
    try:
        within = parse_length(text, unit)
    except UnitError as wrong:
        raise InputError(*wrong.placed("--within")) from None
    if within <= 0:
        raise InputError.of(CheckProblem.DIAMETER_NOT_ABOVE_ZERO, "--within", written=text)
    return within


def _is_good(found: Inspection | CaliperInspection) -> bool:
    match found:
        case Inspection():
            return part_passes(found)
        case CaliperInspection():
            is_good = found.is_usable or found.verdict in (CaliperVerdict.PASS, CaliperVerdict.UNJUDGED)
            return is_good and not found.are_bolts_stopped
        case _:
            assert_never(found)


def _with_bolt(job: Job, bolt: str | None) -> InspectionLimits:
    """The limits of a job with a bolt through all holes but threads."""
    limits, threaded = job.inspection, [bool(side.thread) for side in sides_of(job.flange, "")]
    if bolt is None:
        return limits
    if threaded and all(threaded):
        raise InputError.of(CheckProblem.THREADS_TAKE_NO_BOLT, "--bolt")
    try:
        parse_bolt(bolt)
    except StandardsError as wrong:
        raise InputError(*wrong.placed("--bolt")) from None
    groups = zip(limits.groups, threaded, strict=True)
    return replace(
        limits, groups=tuple(group if is_thread else replace(group, bolt=bolt) for group, is_thread in groups)
    )


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
    if laid.a.thread:
        raise InputError.of(CheckProblem.THREADS_TAKE_NO_BOLT, "--mate")
    places = laid.placing.moved(laid.b.centers()).tolist()
    at = {hole.label: (Point(*place), hole.diameter) for hole, place in zip(laid.b.holes, places, strict=True)}
    return {bolt.a: at[bolt.b] for bolt in laid.bolts}


def _show(found: Inspection | CaliperInspection, job: Job, as_json: bool) -> None:
    match found:
        case Inspection():
            data, lines = inspection_data(found), inspection_lines(found, job.unit)
        case CaliperInspection():
            data, lines = caliper_data(found), caliper_lines(found, job.unit)
        case _:
            assert_never(found)
    if as_json:
        click.echo(json.dumps(data, indent=2, ensure_ascii=False))
        return
    for line in lines:
        click.echo(line)


def _write(found: Inspection | CaliperInspection, job: Job, folder: Path, options: _InspectOptions) -> None:
    from flangelayout.packet.reports import caliper_packet, inspection_packet

    packet = inspection_packet(job, found) if isinstance(found, Inspection) else caliper_packet(job, found)
    store = FileStore(folder)
    for name, outcome in store.write(packet, force=options["force"]).items():
        if not options["as_json"]:
            click.echo(f"  {outcome.value:9} {store.folder / name}")
