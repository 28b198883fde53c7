"""``flangelayout quote``: what jobs take and cost by the shop's own rates."""

import json
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from flangelayout.batch.meant import ListReading
from flangelayout.cli.listed import loaded_jobs, report_name
from flangelayout.cli.reading import list_options
from flangelayout.cli.telling import tell_problems
from flangelayout.files.store import FileStore
from flangelayout.job.shop import load_shop
from flangelayout.shopwork.rates import Rates
from flangelayout.units import counted
from flangelayout.value import replace

if TYPE_CHECKING:
    from flangelayout.job import Job
    from flangelayout.views.reports.office.quote import QuotedJob


@click.command("quote")
@click.argument("jobs", nargs=-1, required=True, metavar="JOB.toml|LIST.csv|LIST.xlsx|FOLDER...")
@click.option("--quantity", type=click.IntRange(1, 100_000), help="Parts of each; what the job says unless told.")
@click.option("--plate", metavar="LENGTHxWIDTH", help="Nest the parts on such plates: material by their share of it.")
@click.option("--into", metavar="DIR", help="Folder for the page and the CSV list; beside the job file unless told.")
@click.option("--no-files", is_flag=True, help="Only say it.")
@list_options
@click.option("--force", is_flag=True, help="Overwrite files that are not as this program wrote them.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead of words; writes no file.")
def quote_command(
    jobs: tuple[str, ...],
    quantity: int | None,
    plate: str | None,
    into: str | None,
    no_files: bool,
    reading: ListReading,
    force: bool,
    as_json: bool,
) -> int:
    """Say what jobs take: cut, pierces, holes drilled, tapped and seated, mass, blank; by the shop's rates, cost.

    The rates are the shop's own, in [shop.rates] of the shop file (flangelayout keys shop.rates says which there are);
    there are no usual ones. What has no rate is shown without a figure and counted out of the totals.

    \b
    flangelayout quote H-114.toml --quantity 5
    flangelayout quote week-12.csv
    """  # noqa: D301 - click wants the backspace itself
    from flangelayout.packet.shopwork import quote_data, quote_packet, quoted_job

    found = loaded_jobs(jobs, reading)
    rates = load_shop().rates
    yields = _yields(found.jobs, plate, quantity)
    quoted = [quoted_job(job, rates, quantity, share) for job, share in zip(found.jobs, yields, strict=True)]
    if as_json:
        click.echo(json.dumps(quote_data(quoted, rates), indent=2, ensure_ascii=False))
    elif quoted:
        for line in _lines(quoted, rates):
            click.echo(line)
        if not no_files:
            paper = found.jobs[0].sheet.paper
            packet = quote_packet(report_name(jobs, found.jobs), quoted, rates, paper, found.missing)
            store = FileStore(Path(into) if into else found.folder)
            for name, outcome in store.write(packet, force).items():
                click.echo(f"  {outcome.value:9} {store.folder / name}")
    tell_problems(found.failures)
    if found.failures:
        return 2
    return 1 if any(job.failed for job in found.jobs) else 0


def _yields(jobs: "Sequence[Job]", plate: str | None, quantity: int | None) -> list[float | None]:
    """The yield of the nest that each job is laid out in; ``None`` for each where no plate is named."""
    if plate is None or not jobs:
        return [None] * len(jobs)
    from flangelayout.cli.nest import stock_of
    from flangelayout.packet.nest import kinds_of_plate, nest_yield

    stock = stock_of(plate, jobs[0].unit)
    many = [replace(job, info=replace(job.info, quantity=quantity or job.info.quantity)) for job in jobs]
    shares: dict[str, float] = {}
    for kind in kinds_of_plate(many):
        shares |= dict.fromkeys((job.digest for job in kind), nest_yield(kind, stock))
    return [shares[job.digest] for job in jobs]


def _lines(quoted: "Sequence[QuotedJob]", rates: Rates) -> Iterator[str]:
    from flangelayout.survey.words.wording import table_lines
    from flangelayout.views.reports.office.quote import failed_lines, quote_head, quote_rows, together, total_row, whole
    from flangelayout.views.words.shopwork import mass_words, rate_source

    for job in quoted:
        quote = job.quote
        title = f" · {job.info.title}" if job.info.title else ""
        yield f"{job.info.number} rev {job.info.revision}{title}: {counted(quote.quantity, 'part')}"
        yield f"  {mass_words(quote.work, job.unit)}"
        yield from (f"  {line}" for line in failed_lines(job.flange, job.failed, job.unit))
        rows = (quote_head(quote, rates), *quote_rows(job, rates), total_row(quote))
        yield from table_lines(rows, frozenset({0, 1, 2}))
        yield f"  whole job: {whole(quote, rates)}"
    if len(quoted) > 1:
        yield together(quoted, rates)
    yield (
        f"rates: {rate_source(rates)}"
        if rates.values
        else "no rates are stated in the shop file: flangelayout keys shop.rates"
    )
