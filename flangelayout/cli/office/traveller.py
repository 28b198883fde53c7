"""``flangelayout traveller``: the page that goes with the steel."""

from pathlib import Path

import click

from flangelayout.batch.meant import ListReading
from flangelayout.cli.listed import loaded_jobs
from flangelayout.cli.reading import list_options
from flangelayout.cli.telling import tell_problems
from flangelayout.files.store import FileStore
from flangelayout.job.shop import load_shop


@click.command("traveller")
@click.argument("jobs", nargs=-1, required=True, metavar="JOB.toml|LIST.csv|LIST.xlsx|FOLDER...")
@click.option("--into", metavar="DIR", help="Folder for the pages; beside the job file unless told.")
@list_options
@click.option("--force", is_flag=True, help="Overwrite files that are not as this program wrote them.")
def traveller_command(jobs: tuple[str, ...], into: str | None, reading: ListReading, force: bool) -> int:
    """Write the page that goes with the steel: the operations in order, with boxes to sign.

    Operations follow from the job and from what its cut file leaves to be drilled; heat number, remnant tag and the
    digest of what was cut have boxes of their own. Minutes stand on it where the shop file has [shop.rates].
    """
    from flangelayout.packet.shopwork import traveller_packet
    from flangelayout.views.reports.office.quote import failed_lines

    found = loaded_jobs(jobs, reading)
    rates = load_shop().rates
    store = FileStore(Path(into) if into else found.folder)
    for job in found.jobs:
        for line in failed_lines(job.flange, job.failed, job.unit):
            click.echo(f"  {job.info.number}: {line}")
        for name, outcome in store.write(traveller_packet(job, rates), force).items():
            click.echo(f"  {outcome.value:9} {store.folder / name}")
    tell_problems(found.failures)
    if found.failures:
        return 2
    return 1 if any(job.failed for job in found.jobs) else 0
