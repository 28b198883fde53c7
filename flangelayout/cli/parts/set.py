"""``flangelayout set``."""

from collections.abc import Iterable
from pathlib import Path
from typing import Any

import click

from flangelayout.batch.headings import read_heading
from flangelayout.batch.written import Tables, unknown_key, with_written, written_tables
from flangelayout.errors import InputError, OutputError
from flangelayout.files.reading import read_text
from flangelayout.files.whole import write_whole
from flangelayout.job.load import MAX_BYTES, job_from_data
from flangelayout.job.shop import load_shop
from flangelayout.job.toml_slips import toml_tables
from flangelayout.problems.files import FileRole
from flangelayout.units import Unit


@click.command("set")
@click.argument("job", metavar="JOB.toml")
@click.argument("words", nargs=-1, required=True, metavar="KEY=VALUE...")
@click.option("--draw", "at_once", is_flag=True, help="Draw the job at once.")
@click.pass_context
def set_command(context: click.Context, job: str, words: tuple[str, ...], at_once: bool) -> int:
    """Write keys into a job file that is there; KEY= with nothing behind it takes one out.

    Keys are those of flangelayout new. What the file remarks behind a # stays; nothing is written unless all of it
    can be read.

    \b
    flangelayout set MB-114.toml bolt_circle.1.mate_thickness=22
    flangelayout set MB-114.toml bolt_circle.2.hole_diameter= bolt_circle.2.kind=tapped bolt_circle.2.thread=M16
    """  # noqa: D301 - click wants the backspace itself
    from flangelayout.web.form.remarks import remarks_of
    from flangelayout.web.form.toml_text import job_text

    path, shop = Path(job), load_shop()
    text = read_text(path, MAX_BYTES, FileRole.JOB)
    tables: Tables = dict(toml_tables(text, job))
    unit = Unit(tables["units"]) if tables.get("units") in [unit.value for unit in Unit] else shop.unit
    for word in (word for word in words if word.endswith("=")):
        _take_out(tables, word.removesuffix("="))
    kept = [word for word in words if not word.endswith("=")]
    tables = with_written(tables, written_tables(kept, unit)) if kept else tables
    try:
        job_from_data(tables, path.stem, shop.beside(path.parent), path.parent)
    except InputError as wrong:
        raise InputError(*wrong.problems, source=job) from None
    head = text.partition("\n")[0].rstrip() if text.startswith("#") else ""
    new = job_text(tables, head, remarks_of(text, head)).lstrip("\n") + _tail(text)
    try:
        write_whole(path, new.encode())
    except OSError as problem:
        raise OutputError(f"{path}: cannot be written ({problem.strerror or problem}); name another folder") from None
    click.echo(f"wrote {path}" if at_once else f"wrote {path}; then: flangelayout draw {path}")
    if not at_once:
        return 0
    from flangelayout.cli.draw import draw_command

    code: int = context.invoke(draw_command, jobs=(job,))
    return code


def _tail(text: str) -> str:
    """What a file remarks behind its last key."""
    lines = text.rstrip().split("\n")
    last = max((number for number, line in enumerate(lines, 1) if not line.startswith("#") and line.strip()), default=0)
    said = "\n".join(lines[last:]).strip()
    return f"\n{said}\n" if said else ""


def _take_out(tables: Tables, name: str) -> None:
    """Take a key out of a job's tables; one that is not there stays away.

    Raises:
        InputError: If it is no key.
    """
    heading = read_heading(name)
    if heading is None:
        raise InputError(unknown_key(name))
    for *steps, last in heading.paths:
        place = _at(tables, steps)
        if isinstance(place, dict):
            place.pop(last, None)


def _at(tables: Tables, steps: Iterable[str | int]) -> Any:  # noqa: ANN401 - a table or a list of them
    """What stands at the end of some steps; ``None`` where one leads nowhere."""
    place: Any = tables
    for step in steps:
        held = isinstance(place, dict) and step in place
        listed = isinstance(place, list) and isinstance(step, int) and step < len(place)
        place = place[step] if held or listed else None
    return place
