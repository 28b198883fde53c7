"""``flangelayout draw``: what may be asked. Light to load: what draws on other cores loads beside what draws here."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Unpack

import click

from flangelayout.batch.processes import begin_loading, usable_cores
from flangelayout.batch.tables import LIST_SUFFIXES
from flangelayout.cli.reading import list_options

if TYPE_CHECKING:
    from flangelayout.cli.drawing.asked import DrawOptions


@click.command("draw")
@click.argument("jobs", nargs=-1, required=True, metavar="JOB.toml|LIST.csv|LIST.xlsx|FOLDER...")
@click.option("--into", metavar="DIR", help="Folder for the files; beside the job file unless told.")
@click.option(
    "--only",
    metavar="PARTS",
    multiple=True,
    help="Of cut, template, sheet, holes, working, machine, with commas between.",
)
@click.option("--printer", metavar="NAME", help="Correct the template for this printer: see flangelayout printer.")
@click.option("--flip-tiles", is_flag=True, help="Print every other tile of the template upside down.")
@click.option("--preview", is_flag=True, help="Write a PNG picture of every page, too.")
@click.option("--bind", metavar="NAME", help="Write all sheets as one PDF, a cut list and a bill of material, too.")
@click.option("--plate", metavar="LENGTHxWIDTH", help="Nest all parts on such plates, too, as flangelayout nest does.")
@list_options
@click.option("--folders", is_flag=True, help="Part the files by their use: cut, print, machine and sheets.")
@click.option("--cores", type=click.IntRange(1, 256), help="Processes that draw many jobs; all cores unless told.")
@click.option("--force", is_flag=True, help="Overwrite also other files; what was issued is kept in superseded/.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead of words.")
def draw_command(jobs: tuple[str, ...], **options: "Unpack[DrawOptions]") -> int:
    """Make the packet of a job: cut DXF and SVG, full-scale template, layout sheet, hole list.

    Many jobs are drawn from files, folders and lists with one flange a row, whose columns are keys of a
    job file such as plate.outside_diameter or bolt_circle.standard, or a designation. What has not changed
    is not made again.

    \b
    flangelayout draw samples/intake-adapter.toml
    flangelayout draw H-114.toml --into packet --only cut,template
    flangelayout draw week-12.csv --into week-12 --bind week-12 --plate 2500x1250
    """  # noqa: D301 - click wants the backspace itself
    cores = options["cores"] or usable_cores()
    together = options["bind"], options["plate"]
    is_alone = _is_one_file(jobs) and not any(together)
    if cores > 1 and not is_alone:
        begin_loading()
    from flangelayout.cli.drawing.asked import request_of

    request = request_of(options, cores)
    if is_alone:
        from flangelayout.cli.drawing.one import draw_one

        return draw_one(Path(jobs[0]), request, options["as_json"])
    from flangelayout.cli.drawing.many import Together, draw_many

    return draw_many(jobs, options["reading"], request, Together(*together), options["as_json"])


def _is_one_file(names: Sequence[str]) -> bool:
    """Whether the names are one job file, no folder and no list."""
    alone = list(dict.fromkeys(names))
    return len(alone) == 1 and not Path(alone[0]).is_dir() and Path(alone[0]).suffix.lower() not in LIST_SUFFIXES
