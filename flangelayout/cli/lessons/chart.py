"""``flangelayout chart``."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from flangelayout._version import __version__
from flangelayout.drawing.papers import PAPER_NAMES, usual_paper
from flangelayout.errors import InputError, Problem
from flangelayout.files.store import FileStore
from flangelayout.units import Unit

if TYPE_CHECKING:
    from flangelayout.standards import Pattern

_MOST_ROWS = 400


@click.command("chart")
@click.argument("what", nargs=-1, metavar="[DESIGNATION...]")
@click.option("--family", metavar="NAME", help="Every drilling of a family, such as chainring or motor.")
@click.option("--unit", type=click.Choice([unit.value for unit in Unit]), help="Unit of the figures; mm unless told.")
@click.option("--paper", type=click.Choice(PAPER_NAMES, case_sensitive=False), help="A4, for inches Letter.")
@click.option("--card", is_flag=True, help="A pocket card of A6 with cut marks.")
@click.option("--into", metavar="DIR", help="Folder for the files; this one unless told.")
@click.option("--force", is_flag=True, help="Overwrite files that are not as this program wrote them.")
def chart_command(
    *,
    what: tuple[str, ...],
    family: str | None,
    unit: str | None,
    paper: str | None,
    card: bool,
    into: str | None,
    force: bool,
) -> int:
    """Draw a chart for the wall or a card for the pocket: what a caliper reads between two holes.

    Without a designation: the factor of every span for 3 to 48 holes.

    \b
    flangelayout chart --paper A3
    flangelayout chart "EN 1092-1 PN16" --card
    flangelayout chart --family chainring --unit in
    """  # noqa: D301 - click wants the backspace itself
    from flangelayout.drawing.model import Stamp
    from flangelayout.packet.names import safe_part
    from flangelayout.views.reports.chart import pattern_chart, pocket_card, wall_chart
    from flangelayout.writers.formats import PageFormat, page_files

    shown = Unit(unit or "mm")
    page = paper or usual_paper(shown).value
    if not what and not family:
        if card:
            raise InputError(Problem("--card", 'needs a designation or a family, as in "EN 1092-1 PN16" --card'))
        name, stamp = f"chart_factors_{page}", Stamp("chart", "", "", "", __version__, "factors of chords")
        sheets = wall_chart(page, stamp)
    else:
        rows, title = _rows(what, family), ", ".join((*what, *([family] if family else [])))
        kind, draw = ("card", pocket_card) if card else ("chart", pattern_chart)
        name = f"{kind}_{safe_part(title) or 'drillings'}_{shown.value}_{page}"
        sheets = draw(title, rows, shown, page, Stamp(kind, "", "", "", __version__, title))
    store = FileStore(Path(into) if into else Path())
    for file, outcome in store.write(dict(page_files(name, sheets, PageFormat.PDF, PageFormat.SVG)), force).items():
        click.echo(f"{outcome.value} {store.folder / file}")
    return 0


def _rows(what: tuple[str, ...], family: str | None) -> "list[Pattern]":
    """The rows that answer to each text, and those of a family, each once."""
    from flangelayout.files.settings import settings_folder
    from flangelayout.standards import search
    from flangelayout.standards.own import own_tables

    own = own_tables(settings_folder(), Path())
    rows: dict[str, Pattern] = {}
    for text in what or ("",):
        found = search(text, family=family, own=own)
        if not found:
            asked = " ".join(part for part in (text, family) if part)
            raise InputError(Problem("chart", f'"{asked}" is in no table; flangelayout standards lists them'))
        rows |= {row.designation: row for row in found}
    if len(rows) > _MOST_ROWS:
        raise InputError(Problem("chart", f"would have {len(rows)} rows; {_MOST_ROWS} are the most: say more of it"))
    return list(rows.values())
