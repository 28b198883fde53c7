"""How a job wants its layout sheet: paper, rules, border; what it says of its bore."""

from collections.abc import Iterator

from flangelayout.drawing.convention import Convention, usual_convention
from flangelayout.errors import InputError, Problem
from flangelayout.job.borders import BorderPlaces, load_border
from flangelayout.job.job import SheetSettings
from flangelayout.job.schema.job_file import SheetTable
from flangelayout.job.schema.plate import PlateTable
from flangelayout.units import Unit


def sheet_settings(
    table: SheetTable, unit: Unit, paper: str, places: BorderPlaces, problems: list[Problem]
) -> SheetSettings | None:
    """The settings, with the border read; ``None`` after telling ``problems`` what is wrong with it."""
    convention = Convention(table.convention) if table.convention else usual_convention(unit)
    try:
        border = load_border(table.border or convention.border, places)
    except InputError as wrong:
        problems += [Problem("sheet.border", line) for line in wrong.lines()] if wrong.source else wrong.problems
        return None
    return SheetSettings(table.paper or paper, convention, border, table.dual_units)


def bore_problems(plate: PlateTable) -> Iterator[Problem]:
    """What is said of a bore that is not there or cannot be so."""
    for key in ("bore_chamfer", "bore_cut"):
        if getattr(plate, key) and plate.bore is None:
            yield Problem(f"plate.{key}", "has no bore to go with; add bore or leave this out")
    if plate.bore_chamfer and plate.thickness and plate.bore_chamfer > plate.thickness / 2:
        yield Problem("plate.bore_chamfer", "is more than half the thickness; make it smaller")
