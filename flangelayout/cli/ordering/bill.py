"""``flangelayout bill``."""

import json
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click
from msgspec import to_builtins

from flangelayout.errors import FlangeLayoutError
from flangelayout.units import Unit, counted

if TYPE_CHECKING:
    from flangelayout.batch.bill import Ordered
    from flangelayout.job import Job

_UNITS = click.Choice([unit.value for unit in Unit])


@click.command("bill")
@click.argument("jobs", nargs=-1, required=True, metavar="JOB...")
@click.option("--units", type=_UNITS, help="Unit of a list that names none.")
@click.option("--csv", "csv_file", type=click.Path(dir_okay=False), help="Write the bill into this file, too.")
@click.option("--force", is_flag=True, help="Overwrite also a file that is not as this program wrote it.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document on standard output.")
def bill_command(jobs: tuple[str, ...], units: str | None, csv_file: str | None, force: bool, as_json: bool) -> int:
    """Say what is to be ordered for one job, or for all jobs of a list together.

    JOB is a job file, a folder of them or a list (CSV, XLSX). A joint of two of the jobs, one of which names the other
    as its mate, is counted once.

    \b
    flangelayout bill ring.toml
    flangelayout bill ring.toml blind.toml --csv order.csv
    """  # noqa: D301 - click wants the backspace itself
    from flangelayout.batch import job_sources
    from flangelayout.batch.bill import bill_of_jobs, ordered
    from flangelayout.batch.sources import load_source
    from flangelayout.cli.telling import lines_told, tell_problems
    from flangelayout.files.store import FileStore
    from flangelayout.job.shop import load_shop
    from flangelayout.writers.csv_table import write_csv

    shop, found = load_shop(), []
    missing: list[str] = []
    wrong: list[str] = []
    for source in job_sources(jobs, Unit(units) if units else None):
        try:
            found.append(load_source(source, shop))
        except FlangeLayoutError as problem:
            missing.append(source.short)
            wrong += lines_told(problem)
    if found:
        _tell(ordered(found), found, as_json)
        if csv_file:
            file = Path(csv_file)
            FileStore(file.parent).write({file.name: write_csv(bill_of_jobs(found, missing))}, force=force)
    tell_problems(wrong)
    return 2 if wrong else 0


def _tell(rows: "Sequence[Ordered]", jobs: "Sequence[Job]", as_json: bool) -> None:
    if as_json:
        entries = [
            to_builtins(each.row) | {"unit": each.unit, "total": each.total, "jobs": list(each.jobs)} for each in rows
        ]
        click.echo(json.dumps(entries, indent=2, ensure_ascii=False))
        return
    for line in _lines(rows, jobs):
        click.echo(line)


def _lines(rows: "Sequence[Ordered]", jobs: "Sequence[Job]") -> Iterator[str]:
    """What is ordered, what the bill leaves out, and of how much it is the bill."""
    from flangelayout.batch.bill import left_out

    for each in rows:
        standard = f" ({each.row.standard})" if each.row.standard else ""
        for_jobs = f"  for {', '.join(each.jobs)}" if len(jobs) > 1 else ""
        size = f"{each.row.size} {each.unit}".strip()
        yield f"{each.total:>5} x {each.row.part}, {size}{standard}{for_jobs}"
    for note, numbers in left_out(jobs):
        yield f"{', '.join(numbers)}: {note}" if numbers and len(jobs) > 1 else note
    yield f"{counted(len(jobs), 'job')}, {counted(len(rows), 'item')}"
