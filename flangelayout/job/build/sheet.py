"""How a job wants its layout sheet: paper, rules, border; what it says of its bore."""

from collections.abc import Iterator

from flangelayout.drawing.convention import Convention, usual_convention
from flangelayout.drawing.settings import SheetSettings
from flangelayout.errors import InputError, Problem
from flangelayout.job.borders import BorderPlaces, load_border
from flangelayout.job.schema.job_file import SheetTable
from flangelayout.job.schema.plate import PlateTable
from flangelayout.problems.job import JobProblem
from flangelayout.units import Unit


def sheet_settings(
    table: SheetTable, unit: Unit, paper: str, places: BorderPlaces, problems: list[Problem]
) -> SheetSettings | None:
    """The settings, with the border read; ``None`` after telling ``problems`` what is wrong with it."""
    convention = Convention(table.convention) if table.convention else usual_convention(unit)
    try:
        border = load_border(table.border or convention.border, places)
    except InputError as wrong:
        problems += _in_border(wrong) if wrong.source else wrong.problems
        return None
    return SheetSettings(table.paper or paper, convention, border, table.dual_units, tuple(dict.fromkeys(table.parts)))


def _in_border(wrong: InputError) -> Iterator[Problem]:
    """What is wrong within the file of a border, as it concerns the job that names it."""
    for problem in wrong.problems:
        yield Problem("sheet.border", JobProblem.IN_BORDER, file=wrong.source, told=problem)


def bore_problems(plate: PlateTable) -> Iterator[Problem]:
    """What is said of a bore that is not there or cannot be so."""
    for key in ("bore_chamfer", "bore_cut"):
        if getattr(plate, key) and plate.bore is None:
            yield Problem(f"plate.{key}", JobProblem.NO_BORE_TO_GO_WITH)
    if plate.bore_chamfer and plate.thickness and plate.bore_chamfer > plate.thickness / 2:
        yield Problem("plate.bore_chamfer", JobProblem.CHAMFER_OVER_HALF)
