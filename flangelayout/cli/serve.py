"""``flangelayout serve``."""

from pathlib import Path

import click

from flangelayout.web.serving.server import serve


@click.command("serve")
@click.option("--port", type=click.IntRange(1, 65535), metavar="N", help="Port; a free one unless told.")
@click.option("--jobs", type=click.Path(path_type=Path), metavar="DIR", help="Folder that the page may save jobs in.")
@click.option("--no-browser", is_flag=True, help="Do not open the browser.")
@click.option("--lan", is_flag=True, help="Let phones of this network in, each by a code that works once.")
def serve_command(port: int | None, jobs: Path | None, no_browser: bool, lan: bool) -> int:
    """Open the page: measure, lay out, check and take the files without a command line.

    \b
    flangelayout serve
    flangelayout serve --jobs ~/jobs --no-browser
    flangelayout serve --lan
    """  # noqa: D301 - click wants the backspace itself
    serve(port, jobs, show_browser=not no_browser, tell=_tell, lan=lan)
    return 0


def _tell(line: str) -> None:
    click.echo(line)
