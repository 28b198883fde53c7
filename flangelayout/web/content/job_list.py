"""A list of jobs on the page: every row with its state, the packets of all that can be made, and their nest."""

from collections.abc import Callable, Mapping
from pathlib import Path

from msgspec import Struct

from flangelayout.batch.run import Target, same_files
from flangelayout.batch.sources import JobSource, list_sources, load_source
from flangelayout.english.page import PAGE
from flangelayout.english.sentences import line_of
from flangelayout.errors import FlangeLayoutError, InputError, Problem
from flangelayout.flange import Flange
from flangelayout.flange.claims import against
from flangelayout.job import Job
from flangelayout.job.shop import Shop
from flangelayout.nest import AS_MANY_AS_NEEDED, Stock
from flangelayout.packet.job import Part
from flangelayout.packet.nest import NestPacket, build_nest, kinds_of_plate, nest_names
from flangelayout.problems.page import PageProblem
from flangelayout.units import Unit, counted, parse_length, size_text
from flangelayout.value import replace
from flangelayout.web.content.field_notes import troubles
from flangelayout.web.content.files import made_files
from flangelayout.web.content.picture.pages import DrawnPage, shown
from flangelayout.web.content.picture.scene import Scene, scene_of_flange
from flangelayout.web.form.address import write_address
from flangelayout.web.form.address_tables import flatten, unflatten
from flangelayout.web.form.limits import LISTED_ROWS, MADE_HOLES
from flangelayout.web.form.state import Stage, State

_LARGEST_PLATE = 20_000.0
_USUAL_PLATE = {
    Unit.MM: {"length": "2500", "width": "1250", "margin": "10", "spacing": "10"},
    Unit.IN: {"length": "96", "width": "48", "margin": "3/8", "spacing": "3/8"},
}
"""What the fields of the plate hold unless written: common sheets of the trade, no standard."""


class ListedJob(Struct, frozen=True):
    """A row of a list as the page shows it.

    Attributes:
        row: Its number in the file; 0 for the list as a whole.
        number: Of the job.
        title: Of the job.
        drilling: Its first bolt circle in a few words.
        quantity: How often it is to be made.
        reasons: Why nothing can be made of it; empty where its packet can.
        to_fix: How many checks failed.
        to_look_at: How many notes the checks made.
        address: The page with this row on it; empty where it cannot be opened.
        scene: Its picture; ``None`` where it cannot be drawn.
        job: Itself; ``None`` where nothing can be made of it.
    """

    row: int
    number: str
    title: str = ""
    drilling: str = ""
    quantity: int = 1
    reasons: tuple[str, ...] = ()
    to_fix: int = 0
    to_look_at: int = 0
    address: str = ""
    scene: Scene | None = None
    job: Job | None = None

    @property
    def mark(self) -> str:
        """How it stands: ``fix``, ``look`` or ``ok``."""
        return "fix" if self.reasons or self.to_fix else "look" if self.to_look_at else "ok"


class JobList(Struct, frozen=True):
    """A list as the page shows it.

    Attributes:
        name: What its files are called.
        rows: In the order of the list.
        asks_unit: Whether somebody must say what its bare lengths are in.
    """

    name: str
    rows: tuple[ListedJob, ...]
    asks_unit: bool = False

    @property
    def jobs(self) -> tuple[Job, ...]:
        """What can be made."""
        return tuple(row.job for row in self.rows if row.job is not None)

    @property
    def failed(self) -> tuple[ListedJob, ...]:
        """What cannot."""
        return tuple(row for row in self.rows if row.job is None)

    @property
    def unit(self) -> Unit:
        """Of the first job."""
        return self.jobs[0].unit if self.jobs else Unit.MM

    @property
    def missing(self) -> str:
        """That a packet or a nest of it is not of the whole list; empty where it is."""
        rows = [str(row.row) for row in self.failed if row.row]
        named = " and ".join(filter(None, (", ".join(rows[:-1]), rows[-1]))) if rows else ""
        return f"without {'row' if len(rows) == 1 else 'rows'} {named}" if rows else ""

    @property
    def takes_long(self) -> bool:
        """Whether making its files is to be stopped when nobody waits for them any more."""
        return len(self.jobs) > 1

    @property
    def parts(self) -> int:
        """How many parts the jobs are, each as often as its quantity says."""
        return sum(job.info.quantity for job in self.jobs)


class NestShown(Struct, frozen=True):
    """A nest on the page: what it comes to in words, its pages, and what did not fit."""

    said: str
    pages: tuple[DrawnPage, ...]
    missing: tuple[str, ...]


def job_list(name: str, raw: bytes, unit: Unit | None, shop: Shop) -> JobList:
    """The rows of a list, each checked as the command line checks it.

    Args:
        name: Of its file.
        raw: Its content.
        unit: Of its bare lengths, where it says none itself.
        shop: What this shop always writes.

    Raises:
        InputError: If it has more rows or holes than the page takes.
    """
    sources = list_sources(Path(name).name, raw, unit)
    if len(sources) > LISTED_ROWS:
        raise InputError.of(PageProblem.TOO_MANY_ROWS, count=len(sources), most=LISTED_ROWS)
    rows = [_row(source, shop) for source in sources]
    holes = sum(len(row.job.flange.holes()) for row in rows if row.job is not None)
    if holes > MADE_HOLES:
        raise InputError.of(PageProblem.TOO_MANY_HOLES_IN_LIST, count=holes, most=MADE_HOLES)
    whole = not any(source.row for source in sources)
    return JobList(Path(name).stem, _apart(rows, sources), asks_unit=whole and _unit_open(sources))


def packets(jobs: tuple[Job, ...], tell: Callable[[str], None]) -> dict[str, bytes]:
    """The files of all jobs by name, as the command line draws them into one folder."""
    files: dict[str, bytes] = {}
    for number, job in enumerate(jobs, 1):
        tell(f"{job.info.number}, {number} of {len(jobs)}")
        files |= {file.name: file.content for file in made_files(job, tuple(Part), lambda _words: None)}
    return files


def nests(name: str, jobs: tuple[Job, ...], stock: Stock, tell: Callable[[str], None]) -> tuple[NestPacket, ...]:
    """The jobs on stock plate, those of another thickness or material on plates of their own.

    Args:
        name: What the files are called.
        jobs: What is cut.
        stock: The plates.
        tell: Takes how far it is.
    """
    kinds = kinds_of_plate(jobs)
    laid = []
    for number, (kind, called) in enumerate(zip(kinds, nest_names(name, kinds), strict=True), 1):
        tell(f"plates of kind {number} of {len(kinds)}")
        laid.append(build_nest(kind, stock, called))
    return tuple(laid)


def nest_shown(found: tuple[NestPacket, ...], unit: Unit) -> NestShown:
    """A nest as the page shows it."""
    placed = sum(len(packet.nest.placed) for packet in found)
    plates = sum(packet.nest.plates for packet in found)
    pages = [
        page
        for number, packet in enumerate(found)
        if packet.sheets is not None
        for page in shown(packet.sheets, "Nest sheet", f"nest{number}-")
    ]
    used = ", ".join(
        f"{size_text(packet.nest.used_length(plate), unit)} of {size_text(packet.nest.stock.length, unit)} {unit.value}"
        for packet in found
        for plate in range(packet.nest.plates)
    )
    said = f"{counted(placed, 'part')} on {counted(plates, 'plate')}: {used} used" if placed else "Nothing fits"
    return NestShown(said, tuple(pages), tuple(line for packet in found for line in packet.missing))


def plate_texts(written: Mapping[str, str], unit: Unit) -> dict[str, str]:
    """What stands in the fields of the plate."""
    return {name: written.get(name, "").strip() or usual for name, usual in _USUAL_PLATE[unit].items()}


def stock_of(written: Mapping[str, str], unit: Unit) -> Stock:
    """The plate that the fields say, as many of it as it takes.

    Raises:
        InputError: If one of them is no length that a plate can have.
    """
    texts = plate_texts(written, unit)
    length, width = sorted((_length(texts, "length", unit, 1.0), _length(texts, "width", unit, 1.0)), reverse=True)
    margin, spacing = (_length(texts, name, unit, 0.0) for name in ("margin", "spacing"))
    if 2 * margin >= width:
        raise InputError.of(PageProblem.NOTHING_LEFT_OF_PLATE, "margin")
    return Stock(length, width, margin, spacing, AS_MANY_AS_NEEDED)


def _length(texts: Mapping[str, str], name: str, unit: Unit, least: float) -> float:
    value = parse_length(texts[name], unit)
    if not least <= value <= _LARGEST_PLATE:
        raise InputError.of(PageProblem.NO_PLATE_SIZE, name, written=texts[name])
    return value


def _row(source: JobSource, shop: Shop) -> ListedJob:
    state = _state(source)
    named = state.table("job") if state else {}
    number, title = str(named.get("number") or source.name), str(named.get("title") or "")
    address = _address(state) if state else ""
    try:
        job = load_source(source, shop)
    except FlangeLayoutError as wrong:
        return ListedJob(source.row, number, title, reasons=_reasons(wrong.problems, state), address=address)
    results = job.findings
    return ListedJob(
        source.row,
        job.info.number,
        job.info.title,
        _drilling(job.flange, job.unit),
        job.info.quantity,
        to_fix=sum(finding.failed for finding in results),
        to_look_at=sum(finding.is_remark and not finding.failed for finding in results),
        address=address,
        scene=scene_of_flange(job.flange, job.unit),
        job=job,
    )


def _state(source: JobSource) -> State | None:
    """The page with a row on it; ``None`` where the row cannot be read."""
    if source.tables is None:
        return None
    tables = dict(source.tables)
    tables["job"] = {"number": source.name, **tables.get("job", {})}
    unit = Unit.IN if tables.get("units") == Unit.IN.value else Unit.MM
    return State(data={**unflatten(flatten(tables)), "units": unit.value}, step=Stage.CHECK, show=unit)


def _address(state: State) -> str:
    try:
        return write_address(state)
    except InputError:
        return ""


def _reasons(problems: tuple[Problem, ...], state: State | None) -> tuple[str, ...]:
    """Why a row cannot be made, each reason once and led by its place."""
    if state is None:
        return tuple(line_of(each, PAGE) for each in problems)
    told = {each.text: each for each in reversed(troubles(problems, state))}
    reasons = (f"{each.place}: {each.text}" if each.place else each.text for each in told.values())
    return tuple(f"{reason}." for reason in reasons)


def _apart(rows: list[ListedJob], sources: list[JobSource]) -> tuple[ListedJob, ...]:
    """The rows without those that would make the files of another one."""
    targets = {
        at: Target(source, row.job, source.folder)
        for at, (row, source) in enumerate(zip(rows, sources, strict=True))
        if row.job is not None
    }
    alike = same_files(targets)
    return tuple(replace(row, job=None, reasons=alike[at].lines) if at in alike else row for at, row in enumerate(rows))


def _unit_open(sources: list[JobSource]) -> bool:
    return any(problem.where == "units" for source in sources for problem in source.problems)


def _drilling(flange: Flange, unit: Unit) -> str:
    if not flange.bolt_circles:
        return counted(len(flange.holes()), "hole")
    circle = flange.bolt_circles[0]
    stands = against(circle)
    if stands is not None:
        return stands.row.designation + ("" if not stands.differences else ", differs")
    hole, on = size_text(circle.drilling.diameter, unit), size_text(circle.diameter, unit)
    return f"{circle.hole_count} × {hole} on {on} {unit.value}"
