"""Holes that were found in pictures, told with what the survey makes of them."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from flangelayout.cli.measuring.taken import length_of
from flangelayout.drawing.printer import bar_factor
from flangelayout.errors import OutputError, Problem
from flangelayout.files.reading import read_file
from flangelayout.files.whole import write_whole
from flangelayout.problems.files import FileRole
from flangelayout.problems.survey import PhotoProblem
from flangelayout.survey import Kind, Reading, SurveyInput
from flangelayout.units import Unit

if TYPE_CHECKING:
    from flangelayout.vision.finds import Finds


@dataclass(frozen=True, slots=True)
class Telling:
    """How it is told: in which unit, whether as JSON, and the job file the readings are kept in, if any."""

    unit: Unit
    as_json: bool
    save: Path | None


def hole_diameter(taken: Sequence[Reading], problems: list[Problem]) -> float:
    """The caliper's hole diameter in mm, without which no hole is looked for; a problem is kept where it is missing."""
    read = [reading.value for reading in taken if reading.kind is Kind.HOLE_DIAMETER]
    if not read:
        problems.append(Problem("--hole-diameter", PhotoProblem.DIAMETER_MISSING))
    return sum(read) / len(read) if read else 0.0


def stretch_of(bars: tuple[str, str] | None, unit: Unit, problems: list[Problem]) -> tuple[float, float]:
    """Printed mm for a mm of the cards' page along x and y, from both bars, each read to its nearer mark.

    Args:
        bars: As written; None for a page taken to be true.
        unit: Of plain numbers.
        problems: Where what is wrong is told.
    """
    if bars is None:
        return 1.0, 1.0
    read = [length_of(text, "--bars", unit, problems) for text in bars]
    x, y = (1.0 if bar is None else bar_factor(bar, problems, "--bars") for bar in read)
    return x, y


def picture_bytes(path: Path) -> bytes:
    """The content of a picture's file.

    Raises:
        InputError: If it cannot be read.
    """
    from flangelayout.packet.photo import MOST_BYTES

    return read_file(path, MOST_BYTES, FileRole.PICTURE)


def tell_found(context: click.Context, finds: "Finds", taken: SurveyInput, how: Telling) -> None:
    """Measure and print; exits 1 if the readings contradict each other."""
    from flangelayout.survey.survey import measure_input
    from flangelayout.views.photo.words import finds_lines

    survey = measure_input(taken)
    if how.as_json:
        import json

        from flangelayout.survey.words.report import survey_data

        click.echo(json.dumps({"found": finds_data(finds), "survey": survey_data(survey)}, indent=2))
    else:
        from flangelayout.survey.words.wording import survey_lines

        click.echo("\n".join((*finds_lines(finds, how.unit), "", *survey_lines(survey, how.unit))))
    if how.save is not None:
        from flangelayout.cli.measuring.saving import save_job

        click.echo(save_job(how.save, taken, survey, how.unit), err=how.as_json)
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


def write_picture(path: Path, content: bytes) -> None:
    """Write the picture a person looks at.

    Raises:
        OutputError: If it cannot be written.
    """
    try:
        write_whole(path, content)
    except OSError as problem:
        raise OutputError(
            f"{path}: cannot be written ({problem.strerror or problem}); name another: --picture"
        ) from None
