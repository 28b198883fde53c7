"""Forms to fill in at the part, and what stands in their boxes."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from flangelayout._version import __version__
from flangelayout.errors import InputError, Problem
from flangelayout.problems.checks import CheckProblem
from flangelayout.survey.form import read_boxes, survey_boxes
from flangelayout.survey.readings import Reading
from flangelayout.survey.validate import FEWEST_HOLES, MAX_HOLES, count_problem
from flangelayout.units import Unit

if TYPE_CHECKING:
    from flangelayout.job import Job


def write_survey_form(hole_count: int | None, unit: Unit, paper: str | None) -> str:
    """Write the form for a flange of so many holes into this folder; returns what is said of it."""
    from flangelayout.drawing.info import JobInfo
    from flangelayout.drawing.model import Stamp
    from flangelayout.files.store import FileStore
    from flangelayout.views.reports.form import any_flange, form_sheets
    from flangelayout.views.words.parts.caliper import FormLine
    from flangelayout.writers.formats import PageFormat, page_files

    count = _counted(hole_count)
    page = _paper(paper, unit)
    title = f"flange of {count} holes"
    identity = JobInfo(number=title, title=unit.value, revision=""), Stamp("form", "", "", "", __version__, title)
    told = (
        "Read the boxes in their order, as many as you can reach. Two holes: from the edge of one to the SAME edge of "
        "the other.",
        "Type them back in order (- for an empty one) or by number: "
        f'flangelayout measure --holes {count} --boxes "1=... 2=..."',
    )
    lines = [FormLine(box) for box in survey_boxes(count)]
    sheets = form_sheets("READINGS OF A FLANGE", told, any_flange(count), lines, identity, unit, page)
    files = dict(page_files(f"form_{count}-holes_{unit.value}_{page}", sheets, PageFormat.PDF))
    store = FileStore(Path())
    return "\n".join(f"{outcome.value} {store.folder / name}" for name, outcome in store.write(files, True).items())


def _paper(written: str | None, unit: Unit) -> str:
    """The paper that is written, however its letters are; the usual one of a unit where none is."""
    from flangelayout.drawing.papers import PAPER_NAMES, usual_paper

    if written is None:
        return usual_paper(unit)
    meant = [name for name in PAPER_NAMES if name.casefold() == written.strip().casefold()]
    if not meant:
        raise InputError(Problem("--paper", f'"{written}" is no paper; use {", ".join(PAPER_NAMES)}'))
    return meant[0]


def _counted(hole_count: int | None) -> int:
    if hole_count is None:
        raise InputError(Problem("--holes", "say how many holes the flange of the form has, such as --holes 8"))
    if not FEWEST_HOLES <= hole_count <= MAX_HOLES:
        raise InputError(count_problem(hole_count).placed("--holes"))
    return hole_count


def survey_readings(text: str, hole_count: int | None, unit: Unit) -> tuple[Reading, ...]:
    """The readings of the boxes of a survey form."""
    count = _counted(hole_count)
    return read_boxes(text, survey_boxes(count), unit, "--boxes", [str(number) for number in range(1, count + 1)])


def inspection_readings(text: str, job: "Job", unit: Unit) -> tuple[Reading, ...]:
    """The readings of the boxes of an inspection form."""
    from flangelayout.checks.inspection.wanted import inspection_boxes

    boxes = inspection_boxes(job.flange, job.inspection)
    if not boxes:
        raise InputError.of(CheckProblem.NO_FORM, "--boxes")
    return read_boxes(text, boxes, unit, "--boxes", [hole.label for hole in job.flange.holes()])


def write_form(job: "Job", name: str, folder: Path, force: bool) -> None:
    """Write the form for inspecting the part of a job."""
    from flangelayout.files.store import FileStore
    from flangelayout.packet.reports import form_packet

    if not job.flange.holes():
        raise InputError.of(CheckProblem.NO_FORM, "--form")
    store = FileStore(folder)
    for file, outcome in store.write(form_packet(job, name), force=force).items():
        click.echo(f"{outcome.value} {store.folder / file}")
