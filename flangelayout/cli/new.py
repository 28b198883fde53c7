"""``flangelayout new``."""

from pathlib import Path

import click

from flangelayout.errors import InputError, OutputError, Problem
from flangelayout.files.starters import Starter, samples, starter_copy, starter_list, starters
from flangelayout.files.whole import write_whole

_LIST = "list"
_USE = "flangelayout new KIND FILE.toml"
_HEAD = "# Written by flangelayout new; edit what differs, then: flangelayout draw {file}"


@click.command("new")
@click.argument("words", nargs=-1, metavar="[KIND] [FILE.toml] [KEY=VALUE]...")
@click.option("--draw", "at_once", is_flag=True, help="Draw the new job at once.")
@click.pass_context
def new_command(context: click.Context, words: tuple[str, ...], at_once: bool) -> int:
    """Begin a job: copy a commented starter to edit, a sample to try, or write a job of what stands in the call.

    Without a word, list the starters. KEY=VALUE needs no starter: keys are those of a job file, or the headings
    that a list may have: OD, ID, thk, PCD, holes, material, and flange for a published drilling. Below bolt_circle.2
    they are those of a second circle; turned and mate have keys of their own (flangelayout keys turned).

    \b
    flangelayout new
    flangelayout new ring-flange
    flangelayout new adapter MB-114.toml
    flangelayout new MB-115.toml flange="EN 1092-1 PN16 DN150" bore="pipe DN150 6.3, slip-on" thk=22
    flangelayout new C-1.toml units=in OD=46 thk="1 1/4" PCD=43 holes=40 bolt=1 material="carbon steel plate"
    flangelayout new A-2.toml OD=340 ID=80 thk=25 PCD=295 holes=8 bolt=M20 bolt_circle.2.standard="JIS 10K 100A"
    flangelayout new M-3.toml OD=250 ID=130 thk=25 flange="IEC 100 B5" kind=tapped thread=M12 mate_thickness=14
        bolt_circle.2.PCD=165 bolt_circle.2.holes=4 bolt_circle.2.kind=tapped bolt_circle.2.thread=M10
        turned.kind=register turned.diameter=180 turned.depth=5 turned.fit=H7
    """  # noqa: D301 - click wants the backspace itself
    names, keys = [word for word in words if "=" not in word], [word for word in words if "=" in word]
    if len(names) > 2 or (keys and len(names) > 1):
        instead = "write KEY=VALUE without a starter: flangelayout new FILE.toml OD=285 ..." if keys else _USE
        raise InputError(Problem("new", f'"{names[-1]}" is one word too many; {instead}'))
    path = _written(names, keys, at_once) if keys else _copied(*names)
    if path is None or not at_once:
        return 0
    from flangelayout.cli.draw import draw_command

    code: int = context.invoke(draw_command, jobs=(str(path),))
    return code


def _written(names: list[str], keys: list[str], at_once: bool) -> Path:
    """A job file of the keys of a call; nothing is written unless it can be read."""
    from flangelayout.batch.written import written_tables
    from flangelayout.job.load import job_from_data
    from flangelayout.job.shop import load_shop
    from flangelayout.web.form.toml_text import job_text

    path, shop = Path(names[0] if names else ""), load_shop()
    if path.suffix.lower() != ".toml":
        raise InputError(Problem("new", "say which job file is to be written: flangelayout new FILE.toml OD=285 ..."))
    tables = written_tables(keys, shop.unit)
    title = tables.pop("job", {})
    tables = {"units": tables.pop("units"), "job": {"number": path.stem} | title} | tables
    job_from_data(tables, path.stem, shop.beside(path.parent), path.parent)
    _write_new(path, job_text(tables, _HEAD.format(file=path.name)).encode(), "")
    then = "" if at_once else f"; then: flangelayout draw {path}"
    click.echo(f"wrote {path}, in {'inches' if tables['units'] == 'in' else tables['units']}{then}")
    return path


def _copied(kind: str | None = None, file: str | None = None) -> Path | None:
    """The copy of a starter or a sample; ``None`` where the starters are listed."""
    found = starters()
    if kind is None:
        click.echo("Starter jobs (flangelayout new KIND [FILE.toml]):")
        width = max(map(len, found))
        for starter in found.values():
            click.echo(f"  {starter.kind:{width}} {starter.summary}")
        click.echo(f"  {_LIST:{width}} A list for a spreadsheet, one flange a row (LIST.csv).")
        click.echo(f"Samples to draw as they are: {', '.join(samples())}")
        return None
    if kind == _LIST:
        path = Path(file or f"{_LIST}.csv")
        _write_new(path, starter_list(), _LIST)
        click.echo(f"wrote {path}; one flange a row, open it in a spreadsheet, then: flangelayout draw {path}")
        return path
    if kind in samples():
        path = Path(file or samples()[kind].name)
        _write_new(path, samples()[kind].read_bytes(), kind)
        click.echo(f"wrote {path}; try: flangelayout draw {path}")
        return path
    if kind not in found:
        raise InputError(Problem("new", f'there is no starter or sample "{kind}"; {_meant(kind)}'))
    path = Path(file or f"{kind}.toml")
    _copy(found[kind], path)
    click.echo(f"wrote {path}; edit it, then: flangelayout draw {path}")
    return path


def _meant(kind: str) -> str:
    from difflib import get_close_matches

    if kind.lower().endswith(".toml"):
        return f"say which comes into it, or write keys: flangelayout new {kind} OD=285 ..."
    known = (*starters(), _LIST, *samples())
    near = get_close_matches(kind, known, n=1)
    return f"did you mean {near[0]}?" if near else f"there are {', '.join(known)}"


def _copy(starter: Starter, path: Path) -> None:
    from flangelayout.job.shop import load_shop

    _write_new(path, starter_copy(starter, path, load_shop().unit), starter.kind)


def _write_new(path: Path, content: bytes, kind: str) -> None:
    if path.exists():
        call = f"flangelayout new {f'{kind} ' if kind else ''}FILE{path.suffix}"
        raise OutputError(f"{path}: is already there; name another file: {call}")
    try:
        write_whole(path, content)
    except OSError as problem:
        raise OutputError(f"{path}: cannot be written ({problem.strerror or problem}); name another folder") from None
