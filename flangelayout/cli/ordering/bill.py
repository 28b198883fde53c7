"""``flangelayout bill``."""

import json
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click
from msgspec import to_builtins

from flangelayout.batch.meant import ListReading
from flangelayout.cli.listed import loaded_jobs
from flangelayout.cli.reading import list_options
from flangelayout.units import counted

if TYPE_CHECKING:
    from flangelayout.batch.bill import Ordered
    from flangelayout.job import Job


@click.command("bill")
@click.argument("jobs", nargs=-1, required=True, metavar="JOB...")
@list_options
@click.option("--csv", "csv_file", type=click.Path(dir_okay=False), help="Write the bill into this file, too.")
@click.option("--force", is_flag=True, help="Overwrite also a file that is not as this program wrote it.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document on standard output.")
def bill_command(jobs: tuple[str, ...], reading: ListReading, csv_file: str | None, force: bool, as_json: bool) -> int:
    """Say what is to be ordered for one job, or for all jobs of a list together.

    JOB is a job file, a folder of them or a list (CSV, XLSX). A joint of two of the jobs, one of which names the other
    as its mate, is counted once.

    \b
    flangelayout bill ring.toml
    flangelayout bill ring.toml blind.toml --csv order.csv
    """  # noqa: D301 - click wants the backspace itself
    from flangelayout.batch.bill import bill_of_jobs, ordered
    from flangelayout.cli.telling import tell_problems
    from flangelayout.files.store import FileStore
    from flangelayout.writers.csv_table import write_csv

    found = loaded_jobs(jobs, reading)
    if found.jobs:
        _tell(ordered(found.jobs), found.jobs, as_json)
        if csv_file:
            file = Path(csv_file)
            bill = write_csv(bill_of_jobs(found.jobs, found.missing))
            FileStore(file.parent).write({file.name: bill}, force=force)
    tell_problems(found.failures)
    if found.failures:
        return 2
    return 1 if any(job.failed for job in found.jobs) else 0


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
    from flangelayout.batch.bill import failed_checks, left_out

    for each in rows:
        standard = f" ({each.row.standard})" if each.row.standard else ""
        for_jobs = f"  for {', '.join(each.jobs)}" if len(jobs) > 1 else ""
        size = f"{each.row.size} {each.unit}".strip()
        yield f"{each.total:>5} x {each.row.part}, {size}{standard}{for_jobs}"
    for line, number in failed_checks(jobs):
        yield f"{number}: {line}" if len(jobs) > 1 else line
    for note, numbers in left_out(jobs):
        yield f"{', '.join(numbers)}: {note}" if numbers and len(jobs) > 1 else note
    yield f"{counted(len(jobs), 'job')}, {counted(len(rows), 'item')}"
