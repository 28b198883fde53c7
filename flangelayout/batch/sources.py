"""Where jobs come from: job files, folders of them, and lists with one flange a row."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from msgspec import Struct

from flangelayout.batch.meant import ListReading, with_meant
from flangelayout.batch.tables import LIST_SUFFIXES, Listing, listing_of, read_rows
from flangelayout.errors import InputError, Problem
from flangelayout.job import Job
from flangelayout.job.load import job_from_data, load_job
from flangelayout.job.shop import NO_SHOP, Shop
from flangelayout.problems.lists import ListProblem
from flangelayout.units import Unit

_AS_SAID = ListReading()
_NO_FLANGE = Problem("", ListProblem.ROW_WITHOUT_FLANGE)


class JobSource(Struct, frozen=True):
    """One job to be read.

    Attributes:
        label: What messages call it: ``H-114.toml`` or ``week.csv row 4``.
        folder: Where its files go unless told.
        path: Its job file; ``None`` for a row of a list.
        name: Its number if it has none of its own.
        tables: The tables of a row.
        problems: Why it cannot be read, known beforehand.
        row: Its number in a list; 0 for what is no row of one.
        standards: Those that are meant where a designation of a row fits several.
    """

    label: str
    folder: Path
    path: Path | None = None
    name: str = ""
    tables: dict[str, Any] | None = None
    problems: tuple[Problem, ...] = ()
    row: int = 0
    standards: tuple[str, ...] = ()

    @property
    def short(self) -> str:
        """The label without its folder, as it stays true when the folder is moved."""
        return self.path.name if self.path else Path(self.label).name

    @property
    def is_job(self) -> bool:
        """Whether it is a job at all; a list or folder that gave no job is none."""
        return self.path is not None or bool(self.row)


def job_sources(names: Sequence[str], reading: ListReading = _AS_SAID) -> list[JobSource]:
    """Every job that some files, folders and lists name, in order and each once.

    Args:
        names: Of files, folders and lists.
        reading: How a list is read where it does not say; a job file is never in need of it.

    What cannot be read stands among them as a source with a problem.
    """
    found: dict[str, JobSource] = {}
    for name in dict.fromkeys(names):
        for source in _sources(Path(name), reading):
            found.setdefault(source.label, source)
    return list(found.values())


def is_row(source: JobSource) -> bool:
    """Whether a job is a row of a list."""
    return source.tables is not None


def load_source(source: JobSource, shop: Shop = NO_SHOP) -> Job:
    """The checked job; ``shop`` is what the shop always writes the same.

    Raises:
        InputError: As :func:`flangelayout.job.load.load_job`; every problem is led by the source's label.
        SurveyError: Likewise.
    """
    if source.problems:
        raise InputError(*source.problems, source=source.label)
    if source.path is not None:
        return load_job(source.path, shop)
    try:
        known = shop.beside(source.folder)
        tables = with_meant(source.tables or {}, source.standards, known.patterns)
        return job_from_data(tables, source.name, known)
    except InputError as wrong:
        raise InputError(*wrong.problems, source=source.label) from None


def _sources(path: Path, reading: ListReading) -> Iterator[JobSource]:
    if path.is_dir():
        files = sorted(
            file for file in path.iterdir() if file.suffix.lower() == ".toml" and not file.name.startswith(".")
        )
        if not files:
            yield JobSource(str(path), path, problems=(Problem("", ListProblem.NO_JOB_FILES),))
        yield from (JobSource(str(file), path, file) for file in files)
    elif path.suffix.lower() in LIST_SUFFIXES:
        yield from _rows(path, reading)
    else:
        yield JobSource(str(path), path.parent, path)


def _rows(path: Path, reading: ListReading) -> Iterator[JobSource]:
    """The rows of a list; one source with the problem where it cannot be read at all."""
    from flangelayout.batch.columns import known_share

    try:
        listing = read_rows(path, known_share)
    except InputError as wrong:
        yield JobSource(str(path), path.parent, problems=wrong.problems)
        return
    yield from _of_listing(path, listing, reading)


def list_sources(name: str, raw: bytes, unit: Unit | None = None) -> list[JobSource]:
    """The rows of a list that was not read from a file here, as :func:`job_sources` gives them.

    Args:
        name: Of its file, for messages and for jobs without a number; its ending says what it is.
        raw: Its content.
        unit: Of the lengths where the list says none itself.
    """
    from flangelayout.batch.columns import known_share

    path = Path(name)
    try:
        return list(_of_listing(path, listing_of(path, raw, known_share), ListReading(unit)))
    except InputError as wrong:
        return [JobSource(name, path.parent, problems=wrong.problems)]


def _of_listing(path: Path, listing: Listing, reading: ListReading) -> Iterator[JobSource]:
    from flangelayout.batch.columns import job_tables, read_head

    try:
        columns = read_head(listing.head, reading.unit, listing.has_decimal_commas)
    except InputError as wrong:
        yield JobSource(str(path), path.parent, problems=wrong.problems)
        return
    for number, cells in listing.rows:
        label, name = f"{path} row {number}", f"{path.stem}-{number}"
        try:
            tables = job_tables(columns, cells)
        except InputError as wrong:
            yield JobSource(label, path.parent, problems=wrong.problems, row=number)
        else:
            problems = () if "plate" in tables else (_NO_FLANGE,)
            yield JobSource(label, path.parent, None, name, tables, problems, number, reading.standards)
