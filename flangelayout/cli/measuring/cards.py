"""``flangelayout cards``."""

from pathlib import Path

import click

from flangelayout._version import __version__
from flangelayout.drawing.papers import PAPER_NAMES
from flangelayout.files.printers import find_printer
from flangelayout.files.store import FileStore


@click.command("cards")
@click.option("--printer", metavar="NAME", help="Correct the pages for a measured printer.")
@click.option("--paper", type=click.Choice(PAPER_NAMES, case_sensitive=False), default="A4", help="A4 unless told.")
@click.option("--into", metavar="DIR", help="Folder for the file; this one unless told.")
@click.option("--force", is_flag=True, help="Overwrite a file that is not as this program wrote it.")
def cards_command(*, printer: str | None, paper: str, into: str | None, force: bool) -> int:
    """Print numbered cards to lay on a flange, so that photos of it can be measured.

    Two pages: 12 cards of 52 mm, and 24 of 36 mm for narrow faces. Not yet tried on real flanges; the caliper decides.

    \b
    flangelayout cards --printer office
    flangelayout photo P1.jpg P2.jpg P3.jpg --holes 8 --hole-diameter 22.1
    """  # noqa: D301 - click wants the backspace itself
    from flangelayout.drawing.model import Stamp
    from flangelayout.packet.names import safe_part
    from flangelayout.views.photo.cards import card_sheets
    from flangelayout.writers.pdf import write_pdf

    measured = find_printer(printer, "--printer") if printer else None
    stamp = Stamp("cards", "", "", "", __version__, f"cards for photos, {paper}")
    suffix = f"_{safe_part(measured.name) or 'printer'}" if measured else ""
    file = f"photo-cards_{paper}{suffix}.pdf"
    store = FileStore(Path(into) if into else Path())
    outcome = store.write({file: write_pdf(card_sheets(paper, stamp, measured))}, force=force)[file]
    click.echo(f"{outcome.value} {store.folder / file}")
    click.echo("print it at 100 % / actual size; measure bar X and bar Y; cut the cards out")
    return 0
