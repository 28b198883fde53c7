"""Where the rooms meet for a nest: jobs and a stock plate in, the files of the nest out."""

import hashlib
import json
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import astuple

from flangelayout._version import __version__
from flangelayout.checks import Rule
from flangelayout.drawing.model import CutDrawing, SheetSet, Stamp, TextTable
from flangelayout.errors import InputError
from flangelayout.facts import Length
from flangelayout.job import CutSettings, Job
from flangelayout.nest import Nest, PlacedPiece, Stock, nest_parts
from flangelayout.packet.job import FOLDERS, Part, cut_dxf_options, cut_view
from flangelayout.packet.names import safe_part
from flangelayout.problems.output import OutputProblem
from flangelayout.units import Unit, decimal_text, size_text

if TYPE_CHECKING:
    from flangelayout.views.cut.nested import NestPiece
    from flangelayout.views.reports.nest import NestFacts


_LONGEST_NAME = 120
"""Most bytes of it that the name of a nest's files begins with."""

_ON_THE_SHEET = (Rule.CUT_KERF, Rule.CUT_LEADS, Rule.CUT_OVERCUT, Rule.CUT_TABS)
"""Rules whose findings the operator of the table must know."""

_OF_ONE_FILE: tuple[tuple[str, Callable[[CutSettings], object]], ...] = (
    ("cut.units", lambda cut: cut.unit),
    ("cut.dxf_version", lambda cut: cut.dxf_version),
    ("cut.layers", lambda cut: cut.layer_names),
    ("cut.colors", lambda cut: cut.colors),
    ("cut.kerf", lambda cut: cut.options.kerf),
)
"""What every job of a nest must have alike, by its key in the job file."""


class NestPacket(Struct, frozen=True):
    """A nest, its parts, its unit, its files by name and the pages of its sheet, if anything was placed."""

    nest: Nest
    unit: Unit
    files: dict[str, bytes]
    digest: str
    sheets: SheetSet | None = None

    @property
    def missing(self) -> tuple[str, ...]:
        """What did not fit, one sentence each."""
        from flangelayout.views.reports.nest import why_left

        nest = self.nest
        return tuple(
            f"{left.count} × {nest.parts[left.part].name}: {why_left(nest, left, self.unit)}" for left in nest.left
        )


def build_nest(
    jobs: Sequence[Job], stock: Stock, name: str, paper: str | None = None, by_use: bool = False
) -> NestPacket:
    """The nest of some jobs, each as often as its quantity says.

    Args:
        jobs: Checked jobs that are cut from one kind of plate.
        stock: The plates.
        name: What the files are called.
        paper: Of the nest sheet; that of the first job unless told.
        by_use: Whether the names of cut files lead through the folder of what is cut, as a packet's do.

    Returns:
        A cut file for each plate, the nest sheet and a list of where each part lies; no file if nothing fits.

    Raises:
        InputError: If the jobs cannot come from one plate or one file, or one of them cannot be cut as asked.
    """
    from flangelayout.views.cut.nested import nest_drawing
    from flangelayout.views.reports.nest import nest_sheets
    from flangelayout.writers.csv_table import write_csv
    from flangelayout.writers.dxf import write_dxf
    from flangelayout.writers.pdf import write_pdf

    _check_alike(jobs)
    pieces = _pieces(jobs)
    nest = nest_parts([piece.part for piece in pieces], stock)
    first, lead = jobs[0], safe_part(name, _LONGEST_NAME) or "nest"
    cut_lead = f"{FOLDERS[Part.CUT]}/{lead}" if by_use else lead
    stamp = _stamp(jobs, stock, name)
    files: dict[str, bytes] = {}
    said = dict.fromkeys(word for job in jobs for word in job.cut.options.name_parts)
    ending = "_".join((*said, first.cut.unit.value))
    for plate in range(nest.plates):
        which = f"_{plate + 1}" if nest.plates > 1 else ""
        drawing = nest_drawing(nest, pieces, plate)
        files[f"{cut_lead}_nest{which}_{ending}.dxf"] = write_dxf(CutDrawing(drawing, stamp), cut_dxf_options(first))
    sheets = None
    if nest.placed:
        sheets = nest_sheets(nest, pieces, _facts(jobs, name), stamp, paper or first.sheet.paper)
        files[f"{lead}_nest.pdf"] = write_pdf(sheets)
        files[f"{lead}_nest_{first.unit.value}.csv"] = write_csv(_places(nest, first))
    return NestPacket(nest, first.unit, files, stamp.digest, sheets)


def kinds_of_plate(jobs: Sequence[Job]) -> tuple[tuple[Job, ...], ...]:
    """The jobs by the plate they are cut from: thickness and material, in the order they are first met.

    A job that states no thickness or no material is with those that state none either.
    """
    kinds: dict[tuple[float | None, str], list[Job]] = {}
    for job in jobs:
        thickness = job.flange.thickness
        kinds.setdefault((None if thickness is None else round(thickness, 6), job.flange.material), []).append(job)
    return tuple(map(tuple, kinds.values()))


def nest_names(name: str, kinds: Sequence[Sequence[Job]]) -> list[str]:
    """What the nest of each kind of plate is called: by its plate where there are several, else by number."""
    if len(kinds) == 1:
        return [name]
    names = [f"{name} {plate_words(kind[0])}" for kind in kinds]
    alike = len({safe_part(each, 100) for each in names}) < len(names)
    return [f"{name} {number}" for number in range(1, len(kinds) + 1)] if alike else names


def nest_yield(jobs: Sequence[Job], stock: Stock) -> float:
    """What of the plate that is used becomes parts, 0 to 1, where jobs of one kind of plate are nested.

    Raises:
        InputError: As :func:`build_nest`, or if a part is larger than the plate.
    """
    _check_alike(jobs)
    pieces = _pieces(jobs)
    nest = nest_parts([piece.part for piece in pieces], stock)
    if nest.left:
        raise InputError.of(OutputProblem.DOES_NOT_FIT, "plate", part=nest.parts[nest.left[0].part].name)
    return nest.yield_share


def plate_words(job: Job) -> str:
    """The plate a job is cut from: ``20 mm carbon steel plate``, ``no thickness, no material``."""
    thickness, unit = job.flange.thickness, job.unit
    thick = "no thickness" if thickness is None else f"{size_text(thickness, unit)} {unit.value}"
    return f"{thick} {job.flange.material}" if job.flange.material else f"{thick}, no material"


def marks(nest: Nest) -> Iterator[tuple[str, PlacedPiece]]:
    """Every piece with its mark on the sheet, in the order of cutting."""
    from flangelayout.views.cut.nested import marked

    return marked(nest)


def _check_alike(jobs: Sequence[Job]) -> None:
    """Refuse what cannot come from one plate or stand in one file."""
    if not jobs:
        raise InputError.of(OutputProblem.NOTHING_TO_NEST)
    first = jobs[0]
    for job in jobs[1:]:
        one, other = first.flange.thickness, job.flange.thickness
        if one is not None and other is not None and abs(one - other) > 1e-6:
            differ, where = OutputProblem.THICKNESSES_DIFFER, "plate.thickness"
            raise InputError.of(
                differ,
                where,
                first=_name(first),
                second=_name(job),
                one=Length(one, first.unit),
                other=Length(other, job.unit),
            )
        for key, of in _OF_ONE_FILE:
            if of(job.cut) != of(first.cut):
                raise InputError.of(OutputProblem.NEST_KEY_DIFFERS, key, first=_name(first), second=_name(job))


def _pieces(jobs: Sequence[Job]) -> "list[NestPiece]":
    from flangelayout.views.cut.nested import nest_pieces

    return [
        piece
        for index, job in enumerate(jobs)
        for piece in nest_pieces(cut_view(job, apart=True), _name(job), job.info.quantity, index)
    ]


def _facts(jobs: Sequence[Job], name: str) -> "NestFacts":
    from flangelayout.views.reports.nest import NestFacts
    from flangelayout.views.words.findings import finding_text

    materials = list(dict.fromkeys(job.flange.material for job in jobs if job.flange.material))
    owners = list(dict.fromkeys(job.info.owner for job in jobs if job.info.owner))
    thicknesses = [job.flange.thickness for job in jobs if job.flange.thickness is not None]
    told = (
        finding_text(job.flange, finding, job.unit)
        for job in jobs
        for finding in job.findings
        if finding.rule in _ON_THE_SHEET and finding not in job.failed
    )
    failed = (
        f"CHECK FAILED: {_name(job)}: {finding_text(job.flange, finding, job.unit)}"
        for job in jobs
        for finding in job.failed
    )
    remarks = [f"{text[:1].upper()}{text[1:]}." for text in dict.fromkeys((*failed, *told))]
    if len(materials) > 1:
        remarks.append(f"CAUTION: the jobs name several materials: {'; '.join(materials)}.")
    if len(thicknesses) < len(jobs):
        names = [_name(job) for job in jobs if job.flange.thickness is None]
        remarks.append(f"CAUTION: no thickness is stated for {', '.join(names)}.")
    return NestFacts(
        name,
        jobs[0].unit,
        tuple(job.info.title for job in jobs),
        thicknesses[0] if thicknesses else None,
        materials[0] if len(materials) == 1 else "",
        owners[0] if len(owners) == 1 else "",
        tuple(remarks),
    )


def _places(nest: Nest, first: Job) -> TextTable:
    """Where every piece lies: the middle of its box from the lower left corner of the plate."""
    from flangelayout.views.cut.nested import marked

    unit = first.unit
    rows = []
    hosts = {placed: mark for mark, placed in marked(nest)}
    for mark, placed in marked(nest):
        box = nest.parts[placed.part].size(placed.turn_deg).moved(placed.at)
        host = nest.host_of(placed)
        places = (decimal_text(value, unit, 3) for value in (box.center.x, box.center.y))
        rows.append(
            (
                mark,
                nest.parts[placed.part].name,
                str(placed.plate + 1),
                *places,
                f"{placed.turn_deg:g}",
                hosts[host] if host else "",
            )
        )
    columns = ("mark", "part", "plate", f"x_{unit.value}", f"y_{unit.value}", "turn_deg", "in_drop_of")
    return TextTable("nest", columns, tuple(rows))


def _stamp(jobs: Sequence[Job], stock: Stock, name: str) -> Stamp:
    content = json.dumps([name, [job.digest for job in jobs], astuple(stock)], separators=(",", ":"))
    digest = hashlib.sha256(content.encode()).hexdigest()
    dates = [job.info.date for job in jobs if job.info.date]
    return Stamp(name, "nest", digest, max(dates, default=""), __version__, "")


def _name(job: Job) -> str:
    return f"{job.info.number} rev {job.info.revision}"
