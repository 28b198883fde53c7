"""``flangelayout photo``: from photos of a flange with cards on it to its bolt circle."""

from pathlib import Path
from typing import TYPE_CHECKING, TypedDict, Unpack

import click

from flangelayout.cli.measuring.found import (
    Telling,
    hole_diameter,
    picture_bytes,
    stretch_of,
    tell_found,
    write_picture,
)
from flangelayout.cli.measuring.taken import SeveralReadings, length_of, reading_options, readings_taken
from flangelayout.errors import InputError, Problem
from flangelayout.files.printers import find_printer
from flangelayout.survey import Reading, SurveyInput
from flangelayout.units import Unit

if TYPE_CHECKING:
    from flangelayout.vision.asked import AskedHoles
    from flangelayout.vision.face import Photo

_NAME = "photos"


class _PhotoOptions(TypedDict):
    """The options as click hands them over; readings are kept in its context."""

    photos: tuple[Path, ...]
    holes: int
    without: tuple[int, ...]
    circle: str | None
    bars: tuple[str, str] | None
    printer: str | None
    unit: str
    picture: Path | None
    as_json: bool
    save: Path | None


@click.command("photo", cls=SeveralReadings)
@click.argument("photos", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="PHOTO...")
@click.option("--holes", type=int, required=True, metavar="N", help="Holes on the circle, counted.")
@reading_options
@click.option("--without", type=int, multiple=True, metavar="N", help="Leave hole N out: filled, or a stud in it.")
@click.option("--circle", metavar="LENGTH", help="About what circle is meant, where there are two.")
@click.option("--bars", nargs=2, metavar="X Y", help="What bar X and bar Y of the cards' page read, to 140 or 200 mm.")
@click.option("--printer", metavar="NAME", help="The cards were printed with this measured printer, corrected.")
@click.option("--unit", type=click.Choice([unit.value for unit in Unit]), default="mm", help="Unit of plain numbers.")
@click.option("--picture", type=click.Path(path_type=Path), metavar="OUT.jpg", help="The picture to look at.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document, lengths in mm.")
@click.option("--save", type=click.Path(path_type=Path), metavar="JOB.toml", help="Keep all readings in a new job.")
@click.pass_context
def photo_command(context: click.Context, **options: Unpack[_PhotoOptions]) -> None:
    """Find the bolt circle in three photos of a flange with printed cards on its face.

    Print the cards with flangelayout cards. Photos: main lens, originals, one square on, two tilted 20 to 25 degrees
    from different sides, all cards in each. Holes are numbered counter-clockwise from the card with the lowest number,
    as the picture shows: look at it before you believe a figure. One caliper reading of two holes by their numbers sets
    the scale: --far-edges 317.0@1-5. Not yet tried on real flanges; the caliper decides.
    """
    from flangelayout.packet.photo import (
        SCALE_MEASURED,
        SCALE_UNKNOWN,
        check_installed,
        looked_at,
        photo_finds,
        readings_found,
    )
    from flangelayout.vision.finds import HolesUnsettledError

    check_installed()
    unit = Unit(options["unit"])
    asked, taken = _asked(context, options, unit)
    photos = [_photo(path) for path in options["photos"]]
    try:
        finds = photo_finds(photos, asked)
    except HolesUnsettledError as refused:
        picture = _picture(options, 0)
        write_picture(picture, looked_at(photos[0].gray, refused.overlays[0]))
        click.echo(f"wrote {picture}; it shows what was seen of the holes", err=True)
        raise
    at = min(range(len(photos)), key=lambda index: finds.tilts[index])
    picture = _picture(options, at)
    write_picture(picture, looked_at(photos[at].gray, finds.overlays[at]))
    click.echo(f"wrote {picture}; look whether every rim and center lies where it is", err=options["as_json"])
    within = SCALE_MEASURED if asked.stretch_known else SCALE_UNKNOWN
    found = (*readings_found(finds, _NAME, within), *taken)
    tell_found(context, finds, SurveyInput(found, asked.holes), Telling(unit, options["as_json"], options["save"]))


def _picture(options: _PhotoOptions, index: int) -> Path:
    """Where the picture to look at goes: as told, else beside the photo it is of."""
    photo = options["photos"][index]
    return options["picture"] or photo.with_name(f"{photo.stem}-holes.jpg")


def _asked(context: click.Context, options: _PhotoOptions, unit: Unit) -> tuple["AskedHoles", tuple[Reading, ...]]:
    """What is looked for and the caliper's readings, with every problem in one go."""
    from flangelayout.vision.asked import AskedHoles

    problems: list[Problem] = []
    taken = tuple(readings_taken(context, unit, None, problems))
    diameter = hole_diameter(taken, problems)
    about = length_of(options["circle"], "--circle", unit, problems)
    stretch = stretch_of(options["bars"], unit, problems)
    if options["printer"] is not None:
        find_printer(options["printer"], "--printer")
    if problems:
        raise InputError(*problems)
    known = options["bars"] is not None or options["printer"] is not None
    return AskedHoles(options["holes"], diameter, frozenset(options["without"]), about, stretch, known), taken


def _photo(path: Path) -> "Photo":
    from flangelayout.packet.photo import photo_of

    return photo_of(picture_bytes(path), path.name)
