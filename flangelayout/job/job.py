"""The checked job."""

from dataclasses import dataclass

from flangelayout.checks import Finding
from flangelayout.drawing.info import JobInfo
from flangelayout.flange import Flange
from flangelayout.survey import SurveyInput
from flangelayout.units import Unit

ONE_SHEET = "one sheet"


@dataclass(frozen=True, slots=True)
class CutSettings:
    """How cut files are written: their unit, and layer names other than the usual ones by part of the plate."""

    unit: Unit
    layer_names: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class TemplateSettings:
    """How the template is printed: paper (or ``one sheet``), overlap and margin in mm."""

    paper: str
    overlap: float = 10.0
    margin: float = 12.0


@dataclass(frozen=True, slots=True)
class SheetSettings:
    """How the layout sheet is printed."""

    paper: str


@dataclass(frozen=True, slots=True)
class Job:
    """Everything one packet is made from.

    Attributes:
        info: Title block.
        flange: What is made, in mm.
        unit: The unit the job is written in and its numbers are shown in.
        digest: SHA-256 of the job's content, 64 hexadecimal digits: the same for the same keys and
            values, whatever the comments and the spacing of the file.
        findings: What the checks found; never an error.
        survey: The readings of the job, if it has any.
    """

    info: JobInfo
    flange: Flange
    unit: Unit
    digest: str
    cut: CutSettings
    template: TemplateSettings
    sheet: SheetSettings
    findings: tuple[Finding, ...] = ()
    survey: SurveyInput | None = None
