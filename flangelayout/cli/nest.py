"""``flangelayout nest``."""

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TypedDict, Unpack

import click

from flangelayout.batch import failure_of, job_sources, load_source
from flangelayout.drawing.papers import PAPER_NAMES
from flangelayout.errors import InputError, Problem, UnitError
from flangelayout.files.store import FileStore, Outcome
from flangelayout.job import Job
from flangelayout.job.shop import load_shop
from flangelayout.nest import AS_MANY_AS_NEEDED, Stock
from flangelayout.packet.nest import NestPacket, build_nest, kinds_of_plate, marks, nest_names, plate_words
from flangelayout.units import Unit, counted, parse_length, range_text, size_text

_AS_NEEDED = "as-needed"
_LARGEST = 20_000.0
_SIZE = re.compile(r"(.+?)\s*[x×X]\s*([^x×X]+)")
_UNIT = re.compile(r"\d\s*([a-zA-Z\"″']+\.?)\s*$")


class _NestOptions(TypedDict):
    """The options of the command."""

    plate: str
    margin: str
    spacing: str
    plates: str
    name: str | None
    into: str | None
    paper: str | None
    units: str | None
    force: bool
    as_json: bool


@click.command("nest")
@click.argument("jobs", nargs=-1, required=True, metavar="JOB.toml|LIST.csv|LIST.xlsx|FOLDER...")
@click.option("--plate", required=True, metavar="LENGTHxWIDTH", help='Stock plate: 2500x1250, "96 x 48 in".')
@click.option("--margin", default="10 mm", show_default=True, metavar="LENGTH", help="Kept free along its edges.")
@click.option("--spacing", default="10 mm", show_default=True, metavar="LENGTH", help="Kept free between parts.")
@click.option("--plates", default="1", show_default=True, metavar="N", help=f"Most plates there are, or {_AS_NEEDED}.")
@click.option("--name", metavar="NAME", help="What the files are called; after the first list or job unless told.")
@click.option("--into", metavar="DIR", help="Folder for the files; beside the first job unless told.")
@click.option("--units", type=click.Choice(["mm", "in"]), help="Of the lengths of a list that does not say.")
@click.option("--paper", type=click.Choice(PAPER_NAMES), help="Of the nest sheet; that of the first job unless told.")
@click.option("--force", is_flag=True, help="Overwrite also files that are not as this program wrote them.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead of words.")
def nest_command(jobs: tuple[str, ...], **options: Unpack[_NestOptions]) -> int:
    """Lay the parts of jobs out on stock plate, each as often as its quantity says.

    Parts of another thickness or material are laid out on plates of their own. Smaller rings and blinds go into
    the drops of larger ones. Written are a cut file for each plate, a sheet with every part marked, and a list of
    where each part lies. Parts that do not fit are named, and the exit code is 1 then.

    \b
    flangelayout nest week-12.csv --plate 2500x1250 --spacing 8
    flangelayout nest ring.toml blind.toml --plate "96 x 48 in" --plates as-needed
    """  # noqa: D301 - click wants the backspace itself
    loaded, folder = _load_all(jobs, _unit(options["units"]))
    stock = _stock(options, loaded[0].unit)
    name = options["name"] or Path(jobs[0]).resolve().stem
    kinds = kinds_of_plate(loaded)
    names = nest_names(name, kinds)
    with _progress():
        packets = [build_nest(kind, stock, each, options["paper"]) for kind, each in zip(kinds, names, strict=True)]
    store = FileStore(Path(options["into"]) if options["into"] else folder)
    files = {file: content for packet in packets for file, content in packet.files.items()}
    outcomes = store.write(files, options["force"]) if files else {}
    if options["as_json"]:
        reports = [_report(packet, store.folder) for packet in packets]
        click.echo(json.dumps(reports[0] if len(reports) == 1 else reports, indent=2))
    else:
        for kind, packet in zip(kinds, packets, strict=True):
            if len(kinds) > 1:
                click.echo(f"{plate_words(kind[0])}:")
            for line in _lines(packet, outcomes, store.folder, loaded[0].unit):
                click.echo(line)
    for line in (line for packet in packets for line in packet.missing):
        click.echo(f"flangelayout: does not fit: {line}", err=True)
    return 1 if any(packet.missing for packet in packets) else 0


@contextmanager
def _progress() -> Iterator[None]:
    """A sign of life on a terminal, nothing elsewhere."""
    from rich.console import Console

    console = Console(stderr=True)
    if not console.is_terminal:
        yield
        return
    with console.status("nesting"):
        yield


def _unit(written: str | None) -> Unit | None:
    return Unit(written) if written else None


def _load_all(names: tuple[str, ...], unit: Unit | None) -> tuple[list[Job], Path]:
    """Every job; a nest without one of them would be another nest."""
    sources, shop = job_sources(names, unit), load_shop()
    jobs: list[Job] = []
    problems: list[str] = []
    for source in sources:
        try:
            jobs.append(load_source(source, shop))
        except Exception as problem:
            problems += failure_of(problem, source.label).lines
    if problems:
        raise InputError(*(Problem("", line) for line in problems))
    return jobs, sources[0].folder


def _stock(options: _NestOptions, unit: Unit) -> Stock:
    length, width = plate_size(options["plate"], unit)
    margin = _length("--margin", options["margin"], unit, 0.0)
    spacing = _length("--spacing", options["spacing"], unit, 0.0)
    if 2 * margin >= min(length, width):
        raise InputError(Problem("--margin", "leaves nothing of the plate; make it smaller"))
    return Stock(length, width, margin, spacing, _most_plates(options["plates"]))


def plate_size(text: str, unit: Unit) -> tuple[float, float]:
    """Length and width in mm, the longer one first."""
    match = _SIZE.fullmatch(text.strip())
    if match is None:
        raise InputError(Problem("--plate", f'"{text}" is no size; write for example 2500x1250 or "96 x 48 in"'))
    first, second = match[1], match[2]
    named = _UNIT.search(second)
    if named and not _UNIT.search(first):
        first = f"{first} {named[1]}"
    sizes = [_length("--plate", each, unit, 1.0) for each in (first, second)]
    return max(sizes), min(sizes)


def _length(option: str, text: str, unit: Unit, least: float) -> float:
    try:
        length = parse_length(text, unit)
    except UnitError as wrong:
        raise InputError(*wrong.placed(option)) from None
    if not least <= length <= _LARGEST:
        bare = "" if _UNIT.search(text) else f'; it was read in "{unit.value}", the units of the first job'
        raise InputError(Problem(option, f'"{text}" is not possible; use {range_text(least, _LARGEST, unit)}{bare}'))
    return length


def _most_plates(text: str) -> int:
    if text.strip().lower().replace(" ", "-") == _AS_NEEDED:
        return AS_MANY_AS_NEEDED
    if text.isdecimal() and 1 <= int(text) <= AS_MANY_AS_NEEDED:
        return int(text)
    raise InputError(Problem("--plates", f'"{text}" is not possible; use 1 to {AS_MANY_AS_NEEDED}, or {_AS_NEEDED}'))


def _lines(packet: NestPacket, outcomes: dict[str, Outcome], folder: Path, unit: Unit) -> Iterator[str]:
    nest = packet.nest
    parts, plates = counted(len(nest.placed), "part"), counted(nest.plates, "plate")
    yield f"{parts} on {plates} · {packet.digest[:10]} · yield {100 * nest.yield_share:.1f} %"
    for name in packet.files:
        yield f"  {outcomes[name].value:9} {folder / name}"
    for plate in range(nest.plates):
        used, length = (size_text(each, unit) for each in (nest.used_length(plate), nest.stock.length))
        yield f"  plate {plate + 1}: {counted(len(nest.on_plate(plate)), 'part')}, {used} of {length} {unit.value} used"


def _report(packet: NestPacket, folder: Path) -> dict[str, object]:
    nest = packet.nest
    return {
        "digest": packet.digest,
        "plate": {"length": nest.stock.length, "width": nest.stock.width},
        "plates": nest.plates,
        "yield": nest.yield_share,
        "used_length": [nest.used_length(plate) for plate in range(nest.plates)],
        "files": [{"name": name, "path": str(folder / name)} for name in packet.files],
        "parts": [
            {
                "mark": mark,
                "part": nest.parts[placed.part].name,
                "plate": placed.plate + 1,
                "x": placed.at.x,
                "y": placed.at.y,
                "turn_deg": placed.turn_deg,
            }
            for mark, placed in marks(nest)
        ],
        "left_over": [
            {"part": nest.parts[left.part].name, "count": left.count, "reason": left.reason} for left in nest.left
        ],
    }
