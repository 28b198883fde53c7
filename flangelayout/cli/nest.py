"""``flangelayout nest``."""

import json
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TypedDict, Unpack

import click
from msgspec import Struct

from flangelayout.batch.meant import ListReading
from flangelayout.cli.listed import loaded_jobs
from flangelayout.cli.reading import list_options
from flangelayout.cli.telling import tell_problems
from flangelayout.drawing.papers import PAPER_NAMES
from flangelayout.errors import InputError, Problem, UnitError
from flangelayout.files.store import FileStore, Outcome
from flangelayout.job import Job
from flangelayout.nest import AS_MANY_AS_NEEDED, Stock
from flangelayout.packet.nest import NestPacket, build_nest, kinds_of_plate, marks, nest_names, plate_words
from flangelayout.units import Unit, counted, parse_length, range_text, size_text

_AS_NEEDED = "as-needed"
_LARGEST = 20_000.0
_KEPT_FREE = "10 mm"
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
    reading: ListReading
    force: bool
    as_json: bool


@click.command("nest")
@click.argument("jobs", nargs=-1, required=True, metavar="JOB.toml|LIST.csv|LIST.xlsx|FOLDER...")
@click.option("--plate", required=True, metavar="LENGTHxWIDTH", help='Stock plate: 2500x1250, "96 x 48 in".')
@click.option("--margin", default=_KEPT_FREE, show_default=True, metavar="LENGTH", help="Kept free along its edges.")
@click.option("--spacing", default=_KEPT_FREE, show_default=True, metavar="LENGTH", help="Kept free between parts.")
@click.option("--plates", default="1", show_default=True, metavar="N", help=f"Most plates there are, or {_AS_NEEDED}.")
@click.option("--name", metavar="NAME", help="What the files are called; after the first list or job unless told.")
@click.option("--into", metavar="DIR", help="Folder for the files; beside the first job unless told.")
@list_options
@click.option("--paper", type=click.Choice(PAPER_NAMES), help="Of the nest sheet; that of the first job unless told.")
@click.option("--force", is_flag=True, help="Overwrite also files that are not as this program wrote them.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead of words.")
def nest_command(jobs: tuple[str, ...], **options: Unpack[_NestOptions]) -> int:
    """Lay the parts of jobs out on stock plate, each as often as its quantity says.

    Parts of another thickness or material are laid out on plates of their own. Smaller rings and blinds go into
    the drops of larger ones. Written are a cut file for each plate, a sheet with every part marked, and a list of
    where each part lies. Parts that do not fit or fail a check are named, and the exit code is 1 then.

    \b
    flangelayout nest week-12.csv --plate 2500x1250 --spacing 8
    flangelayout nest ring.toml blind.toml --plate "96 x 48 in" --plates as-needed
    """  # noqa: D301 - click wants the backspace itself
    from flangelayout.batch.bill import failed_checks

    found = loaded_jobs(jobs, options["reading"])
    if found.failures:  # a nest without one of them would be another nest
        tell_problems(found.failures)
        return 2
    stock = _stock(options, found.jobs[0].unit)
    name = options["name"] or Path(jobs[0]).resolve().stem
    store = FileStore(Path(options["into"]) if options["into"] else found.folder)
    nested = nested_jobs(found.jobs, stock, name, options["paper"])
    outcomes = nested.write(store, options["force"])
    if options["as_json"]:
        reports = nested.reports(store.folder)
        click.echo(json.dumps(reports[0] if len(reports) == 1 else reports, indent=2))
    else:
        for line in nested.lines(outcomes, store.folder):
            click.echo(line)
    tell_problems([*nested.missing, *(f"{number}: {line}" for line, number in failed_checks(found.jobs))])
    return 1 if nested.missing or any(job.failed for job in found.jobs) else 0


class Nested(Struct, frozen=True):
    """Jobs laid out on stock plate: those of each thickness and material, and what is written of them."""

    kinds: tuple[tuple[Job, ...], ...]
    packets: tuple[NestPacket, ...]

    @property
    def missing(self) -> list[str]:
        """What fits on no plate, one line each."""
        return [f"does not fit: {line}" for packet in self.packets for line in packet.missing]

    def write(self, store: FileStore, force: bool) -> dict[str, Outcome]:
        """Write the files of all, and say what became of each."""
        files = {file: content for packet in self.packets for file, content in packet.files.items()}
        return store.write(files, force) if files else {}

    def lines(self, outcomes: dict[str, Outcome], folder: Path) -> Iterator[str]:
        """What lies on which plate, and the files."""
        unit = self.kinds[0][0].unit
        for kind, packet in zip(self.kinds, self.packets, strict=True):
            if len(self.kinds) > 1:
                yield f"{plate_words(kind[0])}:"
            yield from _lines(packet, outcomes, folder, unit)

    def reports(self, folder: Path) -> list[dict[str, object]]:
        """The same, ready for JSON."""
        return [_report(packet, folder) for packet in self.packets]


def nested_jobs(jobs: Sequence[Job], stock: Stock, name: str, paper: str | None = None, by_use: bool = False) -> Nested:
    """Lay jobs out, each as often as its quantity says; the arguments are those of ``build_nest``."""
    kinds = kinds_of_plate(jobs)
    called = zip(kinds, nest_names(name, kinds), strict=True)
    with _progress():
        return Nested(kinds, tuple(build_nest(kind, stock, each, paper, by_use) for kind, each in called))


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


def _stock(options: _NestOptions, unit: Unit) -> Stock:
    length, width = plate_size(options["plate"], unit)
    margin = _length("--margin", options["margin"], unit, 0.0)
    spacing = _length("--spacing", options["spacing"], unit, 0.0)
    if 2 * margin >= min(length, width):
        raise InputError(Problem("--margin", "leaves nothing of the plate; make it smaller"))
    return Stock(length, width, margin, spacing, _most_plates(options["plates"]))


def stock_of(plate: str, unit: Unit) -> Stock:
    """As many plates of a size as are needed, with the free strips that a nest keeps unless told."""
    free = parse_length(_KEPT_FREE, unit)
    return Stock(*plate_size(plate, unit), free, free, AS_MANY_AS_NEEDED)


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
    yield f"{parts} on {plates} · {packet.digest[:10]} · yield {100 * nest.yield_share:.1f} % of what is used"
    for name in packet.files:
        yield f"  {outcomes[name].value:9} {folder / name}"
    for plate in range(nest.plates):
        used, length = (size_text(each, unit) for each in (nest.used_length(plate), nest.stock.length))
        yield f"  plate {plate + 1}: {counted(len(nest.on_plate(plate)), 'part')}, {used} of {length} {unit.value} used"


def _report(packet: NestPacket, folder: Path) -> dict[str, object]:
    from flangelayout.views.reports.nest import why_left

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
            {"part": nest.parts[left.part].name, "count": left.count, "reason": why_left(nest, left, packet.unit)}
            for left in nest.left
        ],
    }
