"""``flangelayout new``."""

from pathlib import Path

import click

from flangelayout.errors import InputError, OutputError, Problem
from flangelayout.files.starters import Starter, starter_copy, starters
from flangelayout.files.whole import write_whole


@click.command("new")
@click.argument("kind", required=False)
@click.argument("file", required=False, metavar="[FILE.toml]")
def new_command(kind: str | None, file: str | None) -> int:
    """Copy a commented starter job to edit; without a kind, list them.

    \b
    flangelayout new
    flangelayout new ring-flange
    flangelayout new adapter H-114.toml
    """  # noqa: D301 - click wants the backspace itself
    found = starters()
    if kind is None:
        click.echo("Starter jobs (flangelayout new KIND [FILE.toml]):")
        width = max(map(len, found))
        for starter in found.values():
            click.echo(f"  {starter.kind:{width}} {starter.summary}")
        return 0
    if kind not in found:
        from difflib import get_close_matches

        near = get_close_matches(kind, found, n=1)
        hint = f"did you mean {near[0]}?" if near else f"there are {', '.join(found)}"
        raise InputError(Problem("new", f'there is no starter "{kind}"; {hint}'))
    path = Path(file or f"{kind}.toml")
    _copy(found[kind], path)
    click.echo(f"wrote {path}; edit it, then: flangelayout draw {path}")
    return 0


def _copy(starter: Starter, path: Path) -> None:
    if path.exists():
        raise OutputError(f"{path}: is already there; name another file: flangelayout new {starter.kind} FILE.toml")
    from flangelayout.job.shop import load_shop

    try:
        write_whole(path, starter_copy(starter, path, load_shop().unit))
    except OSError as problem:
        raise OutputError(f"{path}: cannot be written ({problem.strerror or problem}); name another folder") from None
