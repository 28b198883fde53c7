"""``flangelayout scan``: a gasket, a rubbing or a thin plate on a flatbed scanner."""

from pathlib import Path
from typing import TYPE_CHECKING, Unpack

import click

from flangelayout.cli.measuring.found import (
    PictureOptions,
    PictureSource,
    picture_bytes,
    picture_options,
    stretch_of,
    tell_holes,
    wanted,
)
from flangelayout.cli.measuring.taken import SeveralReadings, reading_options
from flangelayout.drawing.scanner import UNMEASURED
from flangelayout.errors import InputError, Problem
from flangelayout.files.printers import check_name
from flangelayout.problems.survey import PhotoProblem
from flangelayout.units import Unit

if TYPE_CHECKING:
    from flangelayout.vision.scan import Scan

_LYING = ("gasket", "rubbing", "plate")


class _ScanOptions(PictureOptions):
    """The options as click hands them over; readings are kept in its context."""

    scan: Path
    dpi: float
    holes: int | None
    lying: str
    scanner: str | None


@click.command("scan", cls=SeveralReadings)
@click.argument("scan", type=click.Path(path_type=Path), metavar="SCAN")
@click.option("--dpi", type=float, required=True, metavar="N", help="Dots per inch it was scanned with, 75 to 1200.")
@click.option("--holes", type=int, metavar="N", help="Holes on the circle, counted.")
@reading_options
@click.option("--of", "lying", type=click.Choice(_LYING), default="gasket", help="On the glass; a gasket unless told.")
@click.option("--scanner", metavar="NAME", help="The measured scanner; without --holes, the one that is measured.")
@click.option(
    "--bars", nargs=2, metavar="X Y", help="Measure the scanner: what bars X and Y of the page of cards read."
)
@picture_options
@click.pass_context
def scan_command(context: click.Context, **options: Unpack[_ScanOptions]) -> int:
    """Find the bolt circle of a gasket, a rubbing or a thin plate on a flatbed scanner.

    Measure the scanner once: print the cards, read bar X and bar Y with a caliper, scan the page. Holes are numbered
    counter-clockwise from the right. A gasket tells which standard, not where to drill. Not yet tried on real parts;
    the caliper decides.

    \b
    flangelayout scan CARDS.png --dpi 300 --scanner flat --bars 199.8 200.1
    flangelayout scan GASKET.png --dpi 300 --scanner flat --holes 6 --hole-diameter 18
    """  # noqa: D301 - click wants the backspace itself
    from flangelayout.packet.photo import check_installed

    check_installed()
    if options["holes"] is None:
        return _measure_scanner(options)
    _find(context, options, options["holes"])
    return 0


def _measure_scanner(options: _ScanOptions) -> int:
    """Keep the scanner behind a scan of the cards' page."""
    from flangelayout.cli.printer import today
    from flangelayout.files.scanners import keep_scanner
    from flangelayout.vision.scan import measured_scanner

    problems = [] if options["scanner"] else [Problem("--scanner", PhotoProblem.SCANNER_UNNAMED)]
    problems += [] if options["bars"] else [Problem("--bars", PhotoProblem.BARS_MISSING)]
    stretch = stretch_of(options["bars"], Unit(options["unit"]), problems)
    if problems:
        raise InputError(*problems)
    found = measured_scanner(check_name(options["scanner"] or ""), _scan(options), stretch, today())
    file = keep_scanner(found)
    click.echo(
        f"{found.name}: a mm of its scans is {found.across:.5f} mm across and {found.along:.5f} along, "
        f"its corner is {90 - found.skew_deg:.3f} deg; kept in {file}"
    )
    return 0


def _find(context: click.Context, options: _ScanOptions, holes: int) -> None:
    from flangelayout.files.scanners import find_scanner
    from flangelayout.packet.photo import scan_within
    from flangelayout.vision.scan import Lying, find_scan_holes

    if options["bars"]:
        raise InputError.of(PhotoProblem.BARS_OF_A_SCANNER, "--bars")
    want, lying = wanted(context, options, holes), Lying(options["lying"])
    scanner = find_scanner(options["scanner"], "--scanner") if options["scanner"] else UNMEASURED
    scan = _scan(options)
    source = PictureSource("scan", ((options["scan"], scan.gray),), scan_within(scanner, lying))
    tell_holes(context, options, want, source, lambda: find_scan_holes(scan, want.asked, scanner, lying))


def _scan(options: _ScanOptions) -> "Scan":
    from flangelayout.packet.photo import scan_of

    return scan_of(picture_bytes(options["scan"]), options["scan"].name, options["dpi"])
