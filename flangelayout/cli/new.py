"""``flangelayout new``."""

from pathlib import Path

import click

from flangelayout.errors import InputError, OutputError, Problem
from flangelayout.files.starters import Starter, samples, starter_copy, starter_list, starters
from flangelayout.files.whole import write_whole

_LIST = "list"


@click.command("new")
@click.argument("kind", required=False)
@click.argument("file", required=False, metavar="[FILE.toml]")
def new_command(kind: str | None, file: str | None) -> int:
    """Copy a commented starter job to edit, or a sample to try; without a kind, list them.

    \b
    flangelayout new
    flangelayout new ring-flange
    flangelayout new adapter MB-114.toml
    flangelayout new intake-adapter
    """  # noqa: D301 - click wants the backspace itself
    found = starters()
    if kind is None:
        click.echo("Starter jobs (flangelayout new KIND [FILE.toml]):")
        width = max(map(len, found))
        for starter in found.values():
            click.echo(f"  {starter.kind:{width}} {starter.summary}")
        click.echo(f"  {_LIST:{width}} A list for a spreadsheet, one flange a row (LIST.csv).")
        click.echo(f"Samples to draw as they are: {', '.join(samples())}")
        return 0
    if kind == _LIST:
        path = Path(file or f"{_LIST}.csv")
        _write_new(path, starter_list(), _LIST)
        click.echo(f"wrote {path}; one flange a row, open it in a spreadsheet, then: flangelayout draw {path}")
        return 0
    if kind in samples():
        _copy_sample(kind, samples()[kind].read_bytes(), Path(file or samples()[kind].name))
        return 0
    if kind not in found:
        from difflib import get_close_matches

        near = get_close_matches(kind, (*found, _LIST, *samples()), n=1)
        hint = f"did you mean {near[0]}?" if near else f"there are {', '.join((*found, _LIST, *samples()))}"
        raise InputError(Problem("new", f'there is no starter or sample "{kind}"; {hint}'))
    path = Path(file or f"{kind}.toml")
    _copy(found[kind], path)
    click.echo(f"wrote {path}; edit it, then: flangelayout draw {path}")
    return 0


def _copy(starter: Starter, path: Path) -> None:
    from flangelayout.job.shop import load_shop

    _write_new(path, starter_copy(starter, path, load_shop().unit), starter.kind)


def _copy_sample(name: str, content: bytes, path: Path) -> None:
    _write_new(path, content, name)
    click.echo(f"wrote {path}; try: flangelayout draw {path}")


def _write_new(path: Path, content: bytes, kind: str) -> None:
    if path.exists():
        raise OutputError(f"{path}: is already there; name another file: flangelayout new {kind} FILE{path.suffix}")
    try:
        write_whole(path, content)
    except OSError as problem:
        raise OutputError(f"{path}: cannot be written ({problem.strerror or problem}); name another folder") from None
