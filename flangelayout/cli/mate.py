"""``flangelayout mate``: one flange on another, whether the bolts pass, and what to open where they do not."""

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TypedDict, Unpack

import click
from msgspec import Struct

from flangelayout.checks.mating.mating import Mating, MatingVerdict, Side, mate, side_of_pattern, sides_of
from flangelayout.checks.mating.report import mating_data
from flangelayout.errors import GeometryError, InputError, Problem
from flangelayout.files.store import FileStore
from flangelayout.job import Job
from flangelayout.job.load import load_job
from flangelayout.job.shop import load_shop
from flangelayout.problems.checks import CheckProblem
from flangelayout.standards import find
from flangelayout.units import Unit
from flangelayout.value import replace
from flangelayout.views.words.mating import mating_lines


class MatedPart(Struct, frozen=True):
    """One of the two flanges: its patterns and, where it is one, its job and where the file lies."""

    sides: tuple[Side, ...]
    job: Job | None = None
    folder: Path | None = None


class _MateOptions(TypedDict):
    """The options of the command."""

    bolt: str | None
    circle_a: str | None
    circle_b: str | None
    same_side: bool
    unit: str | None
    into: str | None
    no_drawing: bool
    force: bool
    as_json: bool


OF_THE_BOLT = (CheckProblem.NOT_A_BOLT, CheckProblem.NO_BOLT_NAMED)
"""Problems that the option for the bolt can cure."""


@click.command("mate")
@click.argument("a", metavar="A")
@click.argument("b", metavar="B")
@click.option("--bolt", metavar="BOLT", help='Such as M20, 3/4 in or "22 mm"; else the bolt that A or B names.')
@click.option("--circle-a", metavar="NAME", help="Pattern of A, by letter or name; the one that fits best unless told.")
@click.option("--circle-b", metavar="NAME", help="Pattern of B.")
@click.option("--same-side", is_flag=True, help="B lies on A as drawn, not face to face with it.")
@click.option("--unit", type=click.Choice([unit.value for unit in Unit]), help="Unit of the words; that of A's job.")
@click.option("--into", metavar="DIR", help="Folder for the overlay drawing; beside the job file unless told.")
@click.option("--no-drawing", is_flag=True, help="Write no overlay drawing.")
@click.option("--force", is_flag=True, help="Overwrite also a drawing that is not as this program wrote it.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document, lengths in mm.")
def mate_command(a: str, b: str, **options: Unpack[_MateOptions]) -> int:
    """Lay flange B on flange A, each a job file or a designation, at the turn and shift that fit best.

    Exits 1 if the bolts do not pass.

    \b
    flangelayout mate samples/settling-tank-ring.toml "EN 1092-1 PN10 DN200"
    flangelayout mate H-114.toml H-115.toml
    """  # noqa: D301 - click wants the backspace itself
    part_a, part_b = read_part(a, "A"), read_part(b, "B")
    sides_a = _chosen(part_a.sides, options["circle_a"], "--circle-a")
    sides_b = _chosen(part_b.sides, options["circle_b"], "--circle-b")
    try:
        mating = mate(sides_a, sides_b, options["bolt"], face_to_face=not options["same_side"])
    except GeometryError as wrong:
        raise InputError(
            *(each.placed("--bolt" if each.kind in OF_THE_BOLT else "") for each in wrong.problems)
        ) from None
    jobs = [part.job for part in (part_a, part_b) if part.job]
    unit = Unit(options["unit"]) if options["unit"] else jobs[0].unit if jobs else Unit.MM
    if options["as_json"]:
        click.echo(json.dumps(mating_data(mating), indent=2, ensure_ascii=False))
    else:
        for line in mating_lines(mating, unit):
            click.echo(line)
    folder = Path(options["into"]) if options["into"] else part_a.folder or part_b.folder
    if folder is not None and not options["no_drawing"]:
        _draw(mating, part_a.job, unit, folder, options)
    return 0 if mating.verdict is MatingVerdict.PASS else 1


def read_part(text: str, where: str) -> MatedPart:
    """A flange by job file or designation; what ends in ``.toml`` or exists is a file.

    Raises:
        InputError: If it is neither.
    """
    path, shop = Path(text), load_shop()
    if path.suffix.lower() == ".toml" or path.is_file():
        job = load_job(path, shop)
        title = f", {job.info.title}" if job.info.title else ""
        return MatedPart(sides_of(job.flange, f"{job.info.number}{title}"), job, path.parent)
    try:
        return MatedPart((side_of_pattern(find(text, where, shop.beside(Path()).patterns)),))
    except GeometryError as wrong:
        raise InputError(*wrong.placed(where)) from None


def _chosen(sides: Sequence[Side], name: str | None, where: str) -> tuple[Side, ...]:
    """The sides whose letter or name is meant; all where nothing is asked for."""
    if name is None:
        return tuple(sides)
    wanted = name.strip().casefold()
    found = tuple(side for side in sides if wanted in _names(side))
    if not found:
        known = ", ".join(side.pattern or "one pattern without a name" for side in sides)
        raise InputError(Problem(where, f'"{name}" is no pattern of {sides[0].name}; it has {known}'))
    return found


def _names(side: Side) -> set[str]:
    """What a person may call a side: ``bolt circle A (pump side)``, ``A``, ``pump side``."""
    kinds = (f"bolt circle {side.letter}", f"pattern {side.letter}") if side.letter else ()
    return {name.casefold() for name in (side.pattern, side.letter, side.called, *kinds) if name}


def _draw(mating: Mating, job: Job | None, unit: Unit, folder: Path, options: _MateOptions) -> None:
    from flangelayout.packet.reports import mating_packet

    store = FileStore(folder)
    shown = replace(job, unit=unit) if job else None
    for name, outcome in store.write(mating_packet(mating, shown, unit), force=options["force"]).items():
        if not options["as_json"]:
            click.echo(f"  {outcome.value:9} {store.folder / name}")
