"""``flangelayout photo``: from photos of a flange with cards on it to its bolt circle."""

from collections.abc import Sequence
from pathlib import Path
from typing import Unpack

import click

from flangelayout.cli.measuring.found import (
    PictureOptions,
    PictureSource,
    picture_bytes,
    picture_options,
    tell_holes,
    wanted,
)
from flangelayout.cli.measuring.taken import SeveralReadings, reading_options
from flangelayout.files.printers import find_printer
from flangelayout.value import replace


class _PhotoOptions(PictureOptions):
    """The options as click hands them over; readings are kept in its context."""

    photos: tuple[Path, ...]
    holes: int
    printer: str | None


@click.command("photo", cls=SeveralReadings)
@click.argument("photos", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="PHOTO...")
@click.option("--holes", type=int, required=True, metavar="N", help="Holes on the circle, counted.")
@reading_options
@click.option("--bars", nargs=2, metavar="X Y", help="What bar X and bar Y of the cards' page read, to 140 or 200 mm.")
@click.option("--printer", metavar="NAME", help="The cards were printed with this measured printer, corrected.")
@picture_options
@click.pass_context
def photo_command(context: click.Context, **options: Unpack[_PhotoOptions]) -> None:
    """Find the bolt circle in three photos of a flange with printed cards on its face.

    Print the cards with flangelayout cards. Photos: main lens, originals, one square on, two tilted 20 to 25 degrees
    from different sides, all cards in each. Holes are numbered counter-clockwise from the card with the lowest number,
    as the picture shows: look at it before you believe a figure. One caliper reading of two holes by their numbers sets
    the scale: --far-edges 317.0@1-5. Not yet tried on real flanges; the caliper decides.
    """
    from flangelayout.packet.photo import SCALE_MEASURED, SCALE_UNKNOWN, check_installed, photo_finds, photos_of

    check_installed()
    want = wanted(context, options, options["holes"])
    asked = want.asked
    if options["printer"] is not None:
        find_printer(options["printer"], "--printer")
        asked = replace(asked, stretch_known=True)
    files = _photo_files(options["photos"])
    photos = photos_of([(path.name, raw) for path, raw in files])
    pictures = tuple((path, photo.gray) for (path, _), photo in zip(files, photos, strict=True))
    source = PictureSource("photos", pictures, SCALE_MEASURED if asked.stretch_known else SCALE_UNKNOWN)
    tell_holes(context, options, want, source, lambda: photo_finds(photos, asked))


def _photo_files(paths: Sequence[Path]) -> list[tuple[Path, bytes]]:
    """The files with their content, but for pictures to look at of earlier calls, which ``*.jpg`` takes in."""
    from flangelayout.packet.photo import drawn_over

    files = []
    for path in paths:
        raw = picture_bytes(path)
        if drawn_over(raw):
            click.echo(f"{path}: left out, it has rims and centers drawn over it", err=True)
        else:
            files.append((path, raw))
    return files
