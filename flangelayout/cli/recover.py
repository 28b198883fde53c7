"""``flangelayout recover``."""

from pathlib import Path

import click

from flangelayout.errors import FlangeLayoutError, OutputError
from flangelayout.files.reading import read_file
from flangelayout.files.recover import MAX_SHEET_BYTES, Recovered, recover
from flangelayout.files.whole import write_whole
from flangelayout.problems.files import FileRole


@click.command("recover")
@click.argument("sheet", metavar="SHEET.pdf")
@click.argument("file", required=False, metavar="[FILE.toml]")
@click.option("--force", is_flag=True, help="Overwrite a file that is already there.")
def recover_command(sheet: str, file: str | None, force: bool) -> int:
    """Give the job file back that a layout sheet was drawn from, byte for byte.

    \b
    flangelayout recover H-114-A_sheet.pdf
    flangelayout recover H-114-A_sheet.pdf found.toml
    """  # noqa: D301 - click wants the backspace itself
    found = recover(read_file(Path(sheet), MAX_SHEET_BYTES, FileRole.SHEET), sheet)
    path = Path(file) if file else Path(sheet).parent / found.name
    _write(path, found.content, force)
    click.echo(f"wrote {path}, {len(found.content)} bytes; {_verdict(found, path)}")
    return 0


def _write(path: Path, content: bytes, force: bool) -> None:
    try:
        if path.exists() and not force and (not path.is_file() or path.read_bytes() != content):
            raise OutputError(f"{path}: is already there and differs; name another file or use --force")
        write_whole(path, content)
    except OSError as problem:
        raise OutputError(f"{path}: cannot be written ({problem.strerror or problem}); name another folder") from None


def _verdict(found: Recovered, path: Path) -> str:
    """Whether drawing the file again gives what the sheet was."""
    from flangelayout.job.load import load_job
    from flangelayout.job.shop import load_shop

    try:
        digest = load_job(path, load_shop()).digest
    except FlangeLayoutError:
        return "this version of the program finds something wrong in it: flangelayout draw tells what"
    if not found.digest:
        return f"its digest is {digest[:10]}; the sheet does not tell one"
    if digest == found.digest:
        return f"its digest is {digest[:10]}, as on the sheet"
    return (
        f"its digest is {digest[:10]}, but the sheet says {found.digest[:10]}: a job without a number takes its file's"
    )
