"""The quote work sheet: what a part takes, line by line, where every figure is from, and what is not in it."""

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct

from flangelayout.checks import Finding
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import SheetSet, Stamp
from flangelayout.flange import Flange
from flangelayout.shopwork.quote import Quote, QuoteLine
from flangelayout.shopwork.rates import Rates
from flangelayout.units import Unit, counted
from flangelayout.views.page.grid import Grid, GridRow
from flangelayout.views.reports.flow import Block, Words, report_sheets
from flangelayout.views.words.findings import finding_text
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.shopwork import (
    amount,
    mass_words,
    minutes_text,
    money_text,
    operation_words,
    rate_name,
    rate_source,
    rate_words,
    reckoned,
)

NOT_IN_IT = (
    "Bolts, nuts, washers, gaskets, paint and carriage are not in it. Times are the shop's figures, not a promise."
)
_SHARES = (46.0, 28.0, 44.0, 15.0, 23.0, 26.0)
_FIGURES = frozenset({3, 4, 5})
_SUMMARY_FIGURES = frozenset({2, 3, 4, 5, 6})


class QuotedJob(Struct, frozen=True):
    """A job with its quote.

    Attributes:
        info: Of its title block.
        flange: What is made.
        unit: Its lengths are written in.
        digest: Of the job.
        quote: What it takes.
        failed: What its check failed.
    """

    info: JobInfo
    flange: Flange
    unit: Unit
    digest: str
    quote: Quote
    failed: tuple[Finding, ...] = ()


def failed_lines(flange: Flange, failed: Sequence[Finding], unit: Unit) -> tuple[str, ...]:
    """What the check of a job failed, a line for each."""
    return tuple(f"CHECK FAILED: {finding_text(flange, finding, unit)}" for finding in failed)


def quote_head(quote: Quote, rates: Rates) -> tuple[str, ...]:
    """What stands over the rows of a quote."""
    money = f", {rates.money}" if rates.money else ""
    return ("what", "how much", "reckoned as", "min, one off", f"one off{money}", f"each at {quote.quantity}{money}")


def quote_rows(job: QuotedJob, rates: Rates) -> Iterator[tuple[str, ...]]:
    """A row for each line: what, how much, how it was reckoned, minutes, money for one off, money each."""
    lengths, quote = Lengths(job.unit), job.quote
    for line in quote.lines:
        yield (
            what(line, job, lengths),
            amount(line, quote.work, job.unit),
            reckoned(line, quote.work, rates, job.unit),
            minutes_text(line.minutes) if line.operation else "",
            figure(line.cost),
            figure(quote.each_of(line)),
        )


def what(line: QuoteLine, job: QuotedJob, lengths: Lengths) -> str:
    """The plate, or what is done to it."""
    if line.operation is not None:
        return operation_words(line.operation, job.flange, lengths)
    thick = f", {lengths.size(job.flange.thickness)} {job.unit.value} thick" if job.flange.thickness else ""
    return f"Plate {job.flange.material or 'of no stated material'}{thick}"


def total_row(quote: Quote) -> tuple[str, ...]:
    """The totals, with how many lines they leave out."""
    one_off = math.fsum(line.minutes or 0.0 for line in quote.lines)
    return (
        "TOTAL",
        "",
        _lacking(quote.without_time, quote.without_cost),
        minutes_text(one_off if quote.has_time else None),
        figure(quote.one_off if quote.has_cost else None),
        figure(quote.each if quote.has_cost else None),
    )


def _lacking(times: int, costs: int) -> str:
    """How many lines a sum leaves out, of its time and of its cost; empty where it leaves out none."""
    left = [f"without the time of {counted(times, 'line')}"] if times else []
    left += [f"without the cost of {counted(costs, 'line')}"] if costs else []
    return ", ".join(left)


def whole(quote: Quote, rates: Rates) -> str:
    """Minutes and money of the whole job, as far as they are known."""
    return _sums((quote,), rates)


def _sums(quotes: Sequence[Quote], rates: Rates) -> str:
    """Minutes and money of several jobs, as far as they are known, and how many lines they leave out."""
    timed, priced = any(each.has_time for each in quotes), any(each.has_cost for each in quotes)
    minutes = f"{minutes_text(math.fsum(each.minutes for each in quotes))} min" if timed else "no time known"
    cost = money_text(math.fsum(each.cost for each in quotes), rates) if priced else "no cost known"
    times = sum(each.without_time for each in quotes) if timed else 0
    costs = sum(each.without_cost for each in quotes) if priced else 0
    return ", ".join(filter(None, (minutes, cost, _lacking(times, costs))))


def figure(money: float | None) -> str:
    """Money to a hundredth, its name being in the heading; empty where it is not known."""
    return "" if money is None else f"{money:.2f}"


def quote_sheets(
    jobs: Sequence[QuotedJob],
    rates: Rates,
    info: JobInfo,
    stamp: Stamp,
    paper_name: str,
    missing: Sequence[str] = (),
) -> SheetSet:
    """The work sheet of one job or of a list: each job's lines, the totals of all, the rates and their source.

    Args:
        jobs: At least one.
        rates: Of the shop.
        info: Of the page's heading.
        stamp: Its identity.
        paper_name: One of ``papers.PAPER_NAMES``.
        missing: What the jobs are called that should be in it and could not be read.
    """
    blocks: list[Block] = []
    if len(jobs) > 1:
        blocks += [
            Words((f"{together(jobs, rates)}.",), "ALL TOGETHER"),
            _summary(jobs, rates),
        ]
    for job in jobs:
        quote = job.quote
        told = (
            f"{counted(quote.quantity, 'part')}; {mass_words(quote.work, job.unit)}. Whole job: {whole(quote, rates)}."
        )
        title = f"{job.info.number}{f' · {job.info.title}' if job.info.title else ''}"
        rows = (*quote_rows(job, rates), total_row(quote))
        blocks += [
            Words((told, *failed_lines(job.flange, job.failed, job.unit)), title, 2.5, keep_paper=40.0),
            Grid(
                (job.info.number, *quote_head(quote, rates)[1:]), _SHARES, tuple(map(GridRow, rows)), figures=_FIGURES
            ),
        ]
    blocks.append(Words(tuple(_rates(jobs, rates)), "STANDS ON", 2.5, keep_paper=1.0))
    without = (f"Could not be read and is not in it: {', '.join(missing)}.",) if missing else ()
    blocks.append(Words((*without, NOT_IN_IT), "NOT IN IT", 2.5))
    return report_sheets("QUOTE WORK SHEET", blocks, info, stamp, paper_name)


def together(jobs: Sequence[QuotedJob], rates: Rates) -> str:
    """Parts, minutes and money of several jobs, as far as they are known."""
    quotes = [job.quote for job in jobs]
    parts = counted(sum(each.quantity for each in quotes), "part")
    return f"{counted(len(jobs), 'job')}, {parts}: {_sums(quotes, rates)}"


def _summary(jobs: Sequence[QuotedJob], rates: Rates) -> Grid:
    rows = (
        (
            job.info.number,
            job.info.title,
            str(job.quote.quantity),
            minutes_text(job.quote.minutes if job.quote.has_time else None),
            figure(job.quote.each if job.quote.has_cost else None),
            figure(job.quote.cost if job.quote.has_cost else None),
            str(job.quote.without_cost or ""),
        )
        for job in jobs
    )
    money = f", {rates.money}" if rates.money else ""
    head = ("job", "title", "parts", "min", f"each{money}", f"all of it{money}", "lines without cost")
    return Grid(head, (26.0, 52.0, 14.0, 18.0, 24.0, 26.0, 22.0), tuple(map(GridRow, rows)), figures=_SUMMARY_FIGURES)


def _rates(jobs: Sequence[QuotedJob], rates: Rates) -> Iterator[str]:
    """Where the rates are from, once for all, and every one that was used."""
    used = dict.fromkeys(key for job in jobs for line in job.quote.lines for key in line.rates)
    unit = jobs[0].unit
    if used:
        yield f"Every rate is {rate_source(rates)}:"
    for key in used:
        yield f"{rate_name(key)}: {rate_words(key, rates, unit)}"
    missing = dict.fromkeys(rate_name(key).lower() for job in jobs for line in job.quote.lines for key in line.missing)
    if missing:
        yield f"Not stated in the shop file: {', '.join(missing)}."
