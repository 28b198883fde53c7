"""``flangelayout printer``."""

import datetime
import json
from pathlib import Path

import click

from flangelayout._version import __version__
from flangelayout.drawing.papers import PAPER_NAMES
from flangelayout.drawing.printer import NOMINAL, Printer, measured_printer, out_of_square
from flangelayout.errors import InputError, Problem, UnitError
from flangelayout.files.printers import check_name, forget_printer, keep_printer, known_printers
from flangelayout.files.store import FileStore
from flangelayout.units import parse_length

_SQUARE_ENOUGH = 0.2
"""A side of 200 mm that leans less than this, in mm, needs no advice."""


@click.command("printer")
@click.argument("name", required=False)
@click.option("--x", "bar_x", metavar="LENGTH", help="Measured length of bar X, in mm unless it says in.")
@click.option("--y", "bar_y", metavar="LENGTH", help="Measured length of bar Y.")
@click.option("--diagonals", nargs=2, metavar="A B", help="Measured diagonals; A rises to the right.")
@click.option(
    "--paper",
    type=click.Choice(PAPER_NAMES, case_sensitive=False),
    help="Paper of the page; that of the page in this folder, else A4, unless told.",
)
@click.option("--into", metavar="DIR", help="Folder for the calibration page; this one unless told.")
@click.option("--forget", is_flag=True, help="Take the printer out of the list.")
@click.option("--force", is_flag=True, help="Overwrite a page that is not as this program wrote it.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead of words.")
def printer_command(  # noqa: PLR0913 - one parameter for each option, as click hands them over
    *,
    name: str | None,
    bar_x: str | None,
    bar_y: str | None,
    diagonals: tuple[str, str] | None,
    paper: str | None,
    into: str | None,
    forget: bool,
    force: bool,
    as_json: bool,
) -> int:
    """Measure a printer, so that templates printed on it are corrected; without a name, list them.

    \b
    flangelayout printer office                      writes the calibration page
    flangelayout printer office --x 199.2 --y 200.4  keeps what was measured on it
    flangelayout printer                             lists the printers
    flangelayout draw H-114.toml --printer office    draws a template for it
    """  # noqa: D301 - click wants the backspace itself
    if name is None:
        _refuse_rest({"--x": bar_x, "--y": bar_y, "--diagonals": diagonals, "--forget": forget, "--into": into})
        _show_all(as_json)
        return 0
    name = check_name(name)
    if forget:
        click.echo(f"{name} taken out of {forget_printer(name)}")
        return 0
    if bar_x is None and bar_y is None and diagonals is None:
        _write_page(name, paper or "A4", into, force)
        return 0
    printer = _measured(name, bar_x, bar_y, diagonals, paper or _paper_written(name, into) or _paper_before(name))
    file = keep_printer(printer)
    if as_json:
        click.echo(json.dumps(_record(printer), indent=2))
    else:
        for line in (*_told(printer), f"kept in {file}"):
            click.echo(line)
    return 0


def today() -> str:
    """The date a measurement is kept under; the only look at the clock."""
    return datetime.date.today().isoformat()


def _refuse_rest(given: dict[str, object]) -> None:
    for option, value in given.items():
        if value:
            raise InputError(Problem(option, "belongs to a printer; write its name: flangelayout printer NAME ..."))


def _measured(
    name: str, bar_x: str | None, bar_y: str | None, diagonals: tuple[str, str] | None, paper: str
) -> Printer:
    missing = [option for option, bar in (("--x", bar_x), ("--y", bar_y)) if bar is None]
    if missing:
        raise InputError(Problem(missing[0], "is missing; both bars are needed, as in --x 199.2 --y 200.4"))
    problems: list[Problem] = []
    bars = _length("--x", bar_x or "", problems), _length("--y", bar_y or "", problems)
    crossed = tuple(_length("--diagonals", text, problems) for text in diagonals or ())
    if problems:
        raise InputError(*problems)
    try:
        return measured_printer(name, bars, paper, today(), (crossed[0], crossed[1]) if crossed else None)
    except InputError as wrong:
        raise InputError(*(each.placed(f"--{each.where}") for each in wrong.problems)) from None


def _length(option: str, text: str, problems: list[Problem]) -> float:
    try:
        return parse_length(text)
    except UnitError as wrong:
        problems += wrong.placed(option)
        return NOMINAL


def _paper_written(name: str, into: str | None) -> str:
    """The paper of the only calibration page of a printer that stands in the folder; empty for none or several."""
    folder = Path(into) if into else Path()
    found = [paper for paper in PAPER_NAMES if (folder / _page_file(name, paper)).exists()]
    return found[0] if len(found) == 1 else ""


def _page_file(name: str, paper: str) -> str:
    from flangelayout.packet.names import safe_part

    return f"printer-{safe_part(name) or 'page'}_{paper}.pdf"


def _paper_before(name: str) -> str:
    """The paper a printer was measured on last, else A4."""
    return next((each.paper for key, each in known_printers().items() if key.casefold() == name.casefold()), "A4")


def _write_page(name: str, paper: str, into: str | None, force: bool) -> None:
    from flangelayout.drawing.model import Stamp
    from flangelayout.views.template.calibration import calibration_sheet
    from flangelayout.writers.pdf import write_pdf

    stamp = Stamp(f"printer {name}", "", "", "", __version__, f"calibration page, {paper}")
    file = _page_file(name, paper)
    store = FileStore(Path(into) if into else Path())
    outcome = store.write({file: write_pdf(calibration_sheet(name, paper, stamp))}, force=force)[file]
    click.echo(f"{outcome.value} {store.folder / file}")
    click.echo("print it at 100 % / actual size, measure both bars, then:")
    click.echo(
        f"flangelayout printer {_quoted(name)} --x 199.2 --y 200.4 (what you measured; both are {NOMINAL:.0f} mm)"
    )


def _quoted(name: str) -> str:
    return f'"{name}"' if " " in name else name


def _told(printer: Printer) -> list[str]:
    """A printer in words: what it does, and what the next template does about it."""
    lines = [
        f"{printer.name}: prints {printer.across:.4f} across and {printer.along:.4f} along the paper "
        f"({printer.paper}, {printer.date})",
        f"templates for it are drawn {1 / printer.across:.4f} and {1 / printer.along:.4f} times as large: "
        f"flangelayout draw JOB.toml --printer {_quoted(printer.name)}",
    ]
    if printer.skew_deg is not None:
        lean = out_of_square(printer.skew_deg)
        advice = (
            "; the paper is drawn in at a slant: set its guides" if abs(lean) > _SQUARE_ENOUGH else ", square enough"
        )
        lines.append(f"its corner is {90 - printer.skew_deg:.3f} deg, {abs(lean):.2f} mm off over 200 mm{advice}")
    return lines


def _record(printer: Printer) -> dict[str, object]:
    return {
        "name": printer.name,
        "across": printer.across,
        "along": printer.along,
        "paper": printer.paper,
        "date": printer.date,
        "skew_deg": printer.skew_deg,
    }


def _show_all(as_json: bool) -> None:
    printers = known_printers()
    if as_json:
        click.echo(json.dumps([_record(printer) for printer in printers.values()], indent=2))
    elif not printers:
        click.echo("no printer has been measured yet; begin with: flangelayout printer NAME")
    else:
        for printer in printers.values():
            skew = "" if printer.skew_deg is None else f", corner {90 - printer.skew_deg:.3f} deg"
            click.echo(
                f"{printer.name:20} across {printer.across:.4f}  along {printer.along:.4f}{skew}  "
                f"({printer.paper}, {printer.date})"
            )
