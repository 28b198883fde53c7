"""The office's pages of a job: the quote work sheet and the traveller."""

import hashlib
from collections.abc import Iterator, Sequence

from msgspec import to_builtins

from flangelayout._version import __version__
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import Stamp, TextTable
from flangelayout.job import Job
from flangelayout.packet.job import cut_estimate
from flangelayout.packet.names import file_lead, safe_part, stamp_of
from flangelayout.shopwork.operations import count_of, operations, place_of, step_of
from flangelayout.shopwork.quote import PlateWork, QuoteLine, quote
from flangelayout.shopwork.rates import Rates
from flangelayout.views.reports.office.quote import QuotedJob, quote_rows, total_row
from flangelayout.views.words.shopwork import rate_source, told_length

_COLUMNS = ("job", "revision", "digest", "parts", "what", "how_much", "reckoned_as", "min", "one_off", "each", "money")


def quoted_job(job: Job, rates: Rates, quantity: int | None = None, nest_yield: float | None = None) -> QuotedJob:
    """A job with what it takes.

    Args:
        job: A checked job.
        rates: Of the shop.
        quantity: Parts of it; its own unless told.
        nest_yield: Of the nest it is laid out in, above 0; a blank of its own where there is none.
    """
    estimate = cut_estimate(job)
    blank = estimate.blank_mass
    if nest_yield is not None:
        blank = None if estimate.mass is None else estimate.mass / nest_yield
    cut, marked = (told_length(length, job.unit) for length in (estimate.cut_length, estimate.mark_length))
    work = PlateWork(
        cut, estimate.pierces, marked, estimate.mass, blank, nest_yield is not None, estimate.needs, estimate.pieces
    )
    found = quote(operations(job.flange, job.cut.options), work, quantity or job.info.quantity, rates)
    return QuotedJob(job.info, job.flange, job.unit, job.digest, found, job.failed)


def quote_packet(
    name: str, jobs: Sequence[QuotedJob], rates: Rates, paper: str, missing: Sequence[str] = ()
) -> dict[str, bytes]:
    """The work sheet and the list of its lines, by their file names.

    Args:
        name: Of a list; the files of a single job are called like its others.
        jobs: At least one.
        rates: Of the shop.
        paper: One of ``papers.PAPER_NAMES``.
        missing: What the jobs are called that should be in it and could not be read.
    """
    from flangelayout.views.reports.office.quote import quote_sheets
    from flangelayout.writers.csv_table import write_csv
    from flangelayout.writers.formats import PageFormat, page_files

    info, stamp = _identity(name, jobs)
    lead = f"{safe_part(name) or 'jobs'}_quote"
    pages = dict(page_files(lead, quote_sheets(jobs, rates, info, stamp, paper, missing), PageFormat.PDF))
    rows = tuple(row for job in jobs for row in _csv_rows(job, rates))
    return pages | {f"{lead}.csv": write_csv(TextTable("quote", _COLUMNS, rows))}


def quote_data(jobs: Sequence[QuotedJob], rates: Rates) -> dict[str, object]:
    """The same, ready for JSON: lengths in mm, masses in kg, times in minutes, money as the shop states it."""
    stated = {key.value: value for key, value in rates.values}
    return {
        "rates": {"source": rate_source(rates), "money": rates.money} | stated,
        "jobs": [_job_data(job) for job in jobs],
        "minutes": _known(sum(job.quote.minutes for job in jobs), any(job.quote.has_time for job in jobs)),
        "cost": _known(sum(job.quote.cost for job in jobs), any(job.quote.has_cost for job in jobs)),
    }


def traveller_packet(job: Job, rates: Rates) -> dict[str, bytes]:
    """The traveller of a job, by its file name."""
    from flangelayout.views.reports.office.traveller import traveller_sheets
    from flangelayout.writers.formats import PageFormat, page_files

    found = quoted_job(job, rates)
    cut_file = "_".join((file_lead(job), "cut", *job.cut.options.name_parts))
    sheets = traveller_sheets(found, (cut_file,), stamp_of(job), job.sheet.paper)
    return dict(page_files(f"{file_lead(job)}_traveller", sheets, PageFormat.PDF))


def _identity(name: str, jobs: Sequence[QuotedJob]) -> tuple[JobInfo, Stamp]:
    """What stands over the page: the job's own, or the name of a list with a digest of its jobs'."""
    if len(jobs) == 1:
        (job,) = jobs
        info = job.info
        return info, Stamp(info.number, info.revision, job.digest, info.date, __version__, info.title)
    digest = hashlib.sha256("".join(job.digest for job in jobs).encode()).hexdigest()
    info = JobInfo(number=name, title=f"{len(jobs)} jobs", revision="")
    return info, Stamp(name, "", digest, "", __version__, info.title)


def _csv_rows(job: QuotedJob, rates: Rates) -> Iterator[tuple[str, ...]]:
    lead = (job.info.number, job.info.revision, job.digest[:10], str(job.quote.quantity))
    for row in (*quote_rows(job, rates), total_row(job.quote)):
        yield (*lead, *row, rates.money)


def _job_data(job: QuotedJob) -> dict[str, object]:
    found = job.quote
    return {
        "number": job.info.number,
        "revision": job.info.revision,
        "digest": job.digest,
        "quantity": found.quantity,
        "work": to_builtins(found.work) | {"used_share": found.work.used_share},
        "lines": [_line_data(line) for line in found.lines],
        "minutes": _known(found.minutes, found.has_time),
        "cost": _known(found.cost, found.has_cost),
        "each": _known(found.each, found.has_cost),
        "one_off": _known(found.one_off, found.has_cost),
        "lines_without_time": found.without_time,
        "lines_without_cost": found.without_cost,
    }


def _known(value: float, is_known: bool) -> float | None:
    return round(value, 4) if is_known else None


def _line_data(line: QuoteLine) -> dict[str, object]:
    step = None if line.operation is None else step_of(line.operation)
    return {
        "step": "plate" if step is None else step.value,
        "place": None if line.operation is None else place_of(line.operation).value,
        "count": 1 if line.operation is None else count_of(line.operation),
        "once": line.once,
        "minutes": line.minutes,
        "cost": line.cost,
        "rates": [key.value for key in line.rates],
        "missing": [key.value for key in line.missing],
    }
