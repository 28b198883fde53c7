"""Holes that were found in pictures, told with what the survey makes of them."""

from collections.abc import Callable, Collection, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypedDict, TypeVar

import click
from msgspec import Struct

from flangelayout.cli.measuring.taken import TAKEN, length_of, readings_taken
from flangelayout.drawing.printer import bar_factor
from flangelayout.errors import InputError, OutputError, Problem
from flangelayout.files.reading import read_file
from flangelayout.files.whole import write_whole
from flangelayout.problems.files import FileRole
from flangelayout.problems.survey import PhotoProblem
from flangelayout.survey import Kind, Reading, SurveyInput
from flangelayout.units import Unit

if TYPE_CHECKING:
    from flangelayout.vision.asked import AskedHoles
    from flangelayout.vision.finds import Finds, Overlay
    from flangelayout.vision.sample import Gray


class PictureOptions(TypedDict):
    """The options that photos and scans have in common, as click hands them over."""

    without: tuple[int, ...]
    circle: str | None
    bars: tuple[str, str] | None
    unit: str
    picture: Path | None
    as_json: bool
    save: Path | None


_Command = TypeVar("_Command", bound=Callable[..., Any])
_OPTIONS = (
    click.option("--without", type=int, multiple=True, metavar="N", help="Leave hole N out: filled, or not seen."),
    click.option("--circle", metavar="LENGTH", help="About what circle is meant, where there are two."),
    click.option("--unit", type=click.Choice([unit.value for unit in Unit]), default="mm", help="Of plain numbers."),
    click.option("--picture", type=click.Path(path_type=Path), metavar="OUT.jpg", help="The picture to look at."),
    click.option("--json", "as_json", is_flag=True, help="Print one JSON document, lengths in mm."),
    click.option("--save", type=click.Path(path_type=Path), metavar="JOB.toml", help="Keep all readings in a new job."),
)


def picture_options(command: _Command) -> _Command:
    """Adds the options that photos and scans have in common."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


class HolesSought(Struct, frozen=True):
    """What is looked for in pictures, and what a caliper read beside them."""

    asked: "AskedHoles"
    taken: tuple[Reading, ...]


class PictureSource(Struct, frozen=True):
    """Pictures: what to call them, each one's file and gray values, and the share (95 %) their scale may be off."""

    name: str
    pictures: "tuple[tuple[Path, Gray], ...]"
    scale_within: float


def wanted(context: click.Context, options: PictureOptions, holes: int) -> HolesSought:
    """What is looked for, with every problem in one go.

    Raises:
        InputError: If readings or options cannot be read, or no hole was measured.
    """
    from flangelayout.vision.asked import AskedHoles

    problems: list[Problem] = []
    unit = Unit(options["unit"])
    taken = tuple(readings_taken(context, unit, None, problems))
    diameter = _hole_diameter(context, taken, problems)
    about = length_of(options["circle"], "--circle", unit, problems)
    stretch = stretch_of(options["bars"], unit, problems)
    if problems:
        raise InputError(*problems)
    asked = AskedHoles(holes, diameter, frozenset(options["without"]), about, stretch, options["bars"] is not None)
    return HolesSought(asked, taken)


def _hole_diameter(context: click.Context, taken: Sequence[Reading], problems: list[Problem]) -> float:
    """The caliper's hole diameter in mm, without which no hole is looked for; a problem is kept where it is missing."""
    read = [reading.value for reading in taken if reading.kind is Kind.HOLE_DIAMETER]
    if not context.meta[TAKEN][Kind.HOLE_DIAMETER]:
        problems.append(Problem("--hole-diameter", PhotoProblem.DIAMETER_MISSING))
    return sum(read) / len(read) if read else 0.0


def tell_holes(
    context: click.Context,
    options: PictureOptions,
    want: HolesSought,
    source: "PictureSource",
    find: "Callable[[], Finds]",
) -> None:
    """Find the holes, write the picture a person looks at, measure and print; exits 1 if readings contradict.

    Args:
        context: Of the call.
        options: Where things go, and the unit they are told in.
        want: What is looked for, and the caliper's readings.
        source: The pictures.
        find: Finds the holes in them.

    Raises:
        InputError: As ``find`` does.
        OutputError: If another file is where the picture or the job is to be written.
    """
    from flangelayout.packet.photo import readings_found

    _check_free({_looked_path(path, options) for path, _ in source.pictures}, options["save"])
    finds = _looked_into(find, source.pictures, options)
    found = (*readings_found(finds, source.name, source.scale_within), *want.taken)
    _tell(context, finds, SurveyInput(found, want.asked.holes), options)


def _looked_into(
    find: "Callable[[], Finds]", pictures: "Sequence[tuple[Path, Gray]]", options: PictureOptions
) -> "Finds":
    """The holes, with the picture a person looks at written also where they cannot be believed."""
    from flangelayout.vision.finds import HolesUnsettledError

    try:
        finds = find()
    except HolesUnsettledError as refused:
        picture = _write_looked(pictures[0], refused.overlays[0], options)
        click.echo(f"wrote {picture}; it shows what was seen of the holes", err=True)
        raise
    at = min(range(len(pictures)), key=lambda index: finds.tilts[index] if finds.tilts else 0.0)
    picture = _write_looked(pictures[at], finds.overlays[at], options)
    click.echo(f"wrote {picture}; look whether every rim and center lies where it is", err=options["as_json"])
    return finds


def _looked_path(source: Path, options: PictureOptions) -> Path:
    """Where the picture to look at is written: as told, else beside the picture it is of."""
    return options["picture"] or source.with_name(f"{source.stem}-holes.jpg")


def _check_free(paths: Collection[Path], job: Path | None) -> None:
    """Nothing, if no file would be written over but a picture to look at of an earlier call."""
    from flangelayout.cli.measuring.saving import check_new
    from flangelayout.packet.photo import drawn_over

    if job is not None:
        check_new(job)
    for path in paths:
        if path.exists() and not (path.is_file() and drawn_over(picture_bytes(path))):
            raise OutputError(f"{path}: is there already and no picture of found holes; name another: --picture")


def _write_looked(picture: "tuple[Path, Gray]", overlay: "Overlay", options: PictureOptions) -> Path:
    """The file written."""
    from flangelayout.packet.photo import looked_at

    source, gray = picture
    path = _looked_path(source, options)
    try:
        write_whole(path, looked_at(gray, overlay))
    except OSError as problem:
        raise OutputError(
            f"{path}: cannot be written ({problem.strerror or problem}); name another: --picture"
        ) from None
    return path


def stretch_of(bars: tuple[str, str] | None, unit: Unit, problems: list[Problem]) -> tuple[float, float]:
    """Printed mm for a mm of the cards' page along x and y, from both bars, each read to its nearer mark.

    Args:
        bars: As written; None for a page taken to be true.
        unit: Of plain numbers.
        problems: Where what is wrong is told.
    """
    if bars is None:
        return 1.0, 1.0
    names = ("--bars, X", "--bars, Y")
    read = [length_of(text, name, unit, problems) for text, name in zip(bars, names, strict=True)]
    x, y = (1.0 if bar is None else bar_factor(bar, problems, name) for bar, name in zip(read, names, strict=True))
    return x, y


def picture_bytes(path: Path) -> bytes:
    """The content of a picture's file.

    Raises:
        InputError: If it cannot be read.
    """
    from flangelayout.packet.photo import MOST_BYTES

    return read_file(path, MOST_BYTES, FileRole.PICTURE)


def _tell(context: click.Context, finds: "Finds", taken: SurveyInput, options: PictureOptions) -> None:
    from flangelayout.survey.survey import measure_input
    from flangelayout.views.photo.words import finds_lines

    survey, unit = measure_input(taken), Unit(options["unit"])
    if options["as_json"]:
        import json

        from flangelayout.survey.words.report import survey_data

        click.echo(json.dumps({"found": finds_data(finds), "survey": survey_data(survey)}, indent=2))
    else:
        from flangelayout.survey.words.wording import survey_lines

        click.echo("\n".join((*finds_lines(finds, unit), "", *survey_lines(survey, unit))))
    if options["save"] is not None:
        from flangelayout.cli.measuring.saving import save_job

        click.echo(save_job(options["save"], taken, survey, unit), err=options["as_json"])
    if not survey.agrees:
        context.exit(1)


def finds_data(finds: "Finds") -> dict[str, object]:
    """What was found, as JSON holds it; lengths in mm."""
    height = finds.rim_height
    return {
        "holes": [
            {"number": hole.number, "x": hole.x, "y": hole.y, "diameter_seen": hole.diameter, "pictures": hole.photos}
            for hole in finds.holes
        ],
        "covariance": finds.covariance.tolist(),
        "rim_height": None if height is None else {"mm": height[0], "standard_uncertainty": height[1]},
        "residual_pixels": finds.residual,
        "tilts_deg": list(finds.tilts),
        "doubts": [doubt.name for doubt in finds.doubts],
    }
