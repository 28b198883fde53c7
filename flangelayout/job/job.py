"""The checked job."""

from dataclasses import dataclass, field

from flangelayout.checks import Finding
from flangelayout.checks.inspection.tolerances import NOTHING_STATED, InspectionLimits
from flangelayout.checks.limits import USUAL_LIMITS, CheckLimits
from flangelayout.drawing.border import Border
from flangelayout.drawing.choices import USUAL_PARTS, DxfVersion, SheetPart, TemplateStyle
from flangelayout.drawing.convention import Convention
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.printer import Printer
from flangelayout.flange import Flange
from flangelayout.flange.cutting import CutOptions, DrillingOptions, MachineFile
from flangelayout.flange.joints.derived import Parent
from flangelayout.standards.shop import DividingHead
from flangelayout.survey import SurveyInput
from flangelayout.units import Unit


@dataclass(frozen=True, slots=True)
class CutSettings:
    """How cut files are written.

    Attributes:
        unit: Of their coordinates.
        layer_names: Names other than the usual ones.
        colors: DXF color indexes other than the usual ones.
        dxf_version: Of the cut file.
        options: What is asked for beyond nominal geometry.
    """

    unit: Unit
    layer_names: tuple[tuple[Layer, str], ...] = ()
    colors: tuple[tuple[Layer, int], ...] = ()
    dxf_version: DxfVersion = DxfVersion.R2000
    options: CutOptions = field(default_factory=CutOptions)


@dataclass(frozen=True, slots=True)
class MachineSettings:
    """What is written for drilling machines: which files, the dividing head, the rotary table's ratio, the drilling."""

    files: tuple[MachineFile, ...]
    head: DividingHead
    table_ratio: int
    drilling: DrillingOptions


@dataclass(frozen=True, slots=True)
class TemplateSettings:
    """How the template is printed.

    Attributes:
        paper: Name of the paper, ``one sheet`` or ``roll``.
        overlap: Strip that neighboring tiles share, in mm.
        margin: Free edge in mm.
        style: The whole plate in tiles, one sector to be stepped round, or strips along the bolt circle.
        roll_width: Width of the roll in mm, where the paper is one.
        printer: Name of the measured printer the pages are corrected for; empty for none.
        flip_tiles: Whether every other tile is printed upside down.
        measured: What that printer does to a length; whoever draws for a printer gives it along.
    """

    paper: str
    overlap: float = 10.0
    margin: float = 12.0
    style: TemplateStyle = TemplateStyle.TILES
    roll_width: float = 610.0
    printer: str = ""
    flip_tiles: bool = False
    measured: Printer | None = None


@dataclass(frozen=True, slots=True)
class SheetSettings:
    """How the layout sheet is printed.

    Attributes:
        paper: Its name.
        convention: The rules it is drawn by.
        border: Border and title block.
        dual_units: Whether the other unit follows in brackets.
        parts: What stands beside the first sheet.
    """

    paper: str
    convention: Convention
    border: Border
    dual_units: bool = False
    parts: tuple[SheetPart, ...] = USUAL_PARTS


@dataclass(frozen=True, slots=True)
class Job:
    """Everything one packet is made from.

    Attributes:
        info: Title block.
        flange: What is made, in mm.
        unit: The unit the job is written in and its numbers are shown in.
        digest: SHA-256 of the job's content, 64 hexadecimal digits: the same for the same keys and
            values, whatever the comments and the spacing of the file.
        findings: Of every check, also those that passed; never a contradiction.
        survey: The readings of the job, if it has any.
        limits: What the shop checks hold the plate against.
        inspection: What a finished part is held to.
        parent: The job that the part was derived from; ``None`` where it was derived from none.
        source: The job file as it was read, byte for byte; empty for a job that came from no file or text.
        source_name: The name of that file without its folder.
    """

    info: JobInfo
    flange: Flange
    unit: Unit
    digest: str
    cut: CutSettings
    machine: MachineSettings
    template: TemplateSettings
    sheet: SheetSettings
    findings: tuple[Finding, ...] = ()
    survey: SurveyInput | None = None
    limits: CheckLimits = USUAL_LIMITS
    inspection: InspectionLimits = NOTHING_STATED
    parent: Parent | None = None
    source: bytes = b""
    source_name: str = ""

    @property
    def remarks(self) -> tuple[Finding, ...]:
        """The findings that a sheet and a draw tell: checks that failed, and what is to be noticed."""
        return tuple(finding for finding in self.findings if finding.is_remark)
