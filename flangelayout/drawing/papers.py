"""Sheet sizes: ISO 216 (A4, A3) and ASME Y14.1 sizes A and B under their office names; one row a paper."""

from enum import StrEnum

from msgspec import Struct

from flangelayout.drawing.model import Paper
from flangelayout.units import Unit, to_mm


class PaperName(StrEnum):
    """What a paper is called in a job file."""

    A4 = "A4"
    LETTER = "Letter"
    A3 = "A3"
    TABLOID = "Tabloid"


class TemplatePaper(StrEnum):
    """What a template can be printed on: a paper, one sheet as large as the plate needs, or a roll."""

    A4 = PaperName.A4.value
    LETTER = PaperName.LETTER.value
    A3 = PaperName.A3.value
    TABLOID = PaperName.TABLOID.value
    ONE_SHEET = "one sheet"
    ROLL = "roll"


class PaperSize(Struct, frozen=True):
    """A paper: its sides in mm, what ASME calls it, and whether a sheet is usually laid sideways on it."""

    short: float
    long: float
    asme_letter: str = ""
    sideways: bool = False


PAPERS = {
    PaperName.A4: PaperSize(210.0, 297.0),
    PaperName.A3: PaperSize(297.0, 420.0, sideways=True),
    PaperName.LETTER: PaperSize(to_mm(8.5, Unit.IN), to_mm(11.0, Unit.IN), "A"),
    PaperName.TABLOID: PaperSize(to_mm(11.0, Unit.IN), to_mm(17.0, Unit.IN), "B", sideways=True),
}
PAPER_NAMES = tuple(name.value for name in PAPERS)


def usual_paper(unit: Unit) -> PaperName:
    """The paper of a job that names none."""
    return PaperName.A4 if unit is Unit.MM else PaperName.LETTER


def paper(name: str, landscape: bool = False) -> Paper:
    """The sheet of that name, upright unless ``landscape``.

    Raises:
        ValueError: If the name is none of ``PAPER_NAMES``.
    """
    size = PAPERS[PaperName(name)]
    return Paper(name, size.long, size.short) if landscape else Paper(name, size.short, size.long)
