"""The checked job."""

from msgspec import Struct, field

from flangelayout.checks import Finding
from flangelayout.checks.inspection.tolerances import NOTHING_STATED, InspectionLimits
from flangelayout.checks.limits import USUAL_LIMITS, CheckLimits
from flangelayout.drawing.choices import DxfVersion
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.settings import SheetSettings, TemplateSettings
from flangelayout.flange import Flange
from flangelayout.flange.cutting import CutOptions, DrillingOptions, MachineFile
from flangelayout.flange.joints.derived import Parent
from flangelayout.standards.shop import DividingHead
from flangelayout.survey import SurveyInput
from flangelayout.units import Unit


class CutSettings(Struct, frozen=True):
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


class MachineSettings(Struct, frozen=True):
    """What is written for drilling machines: which files, the dividing head, the rotary table's ratio, the drilling."""

    files: tuple[MachineFile, ...]
    head: DividingHead
    table_ratio: int
    drilling: DrillingOptions


class Job(Struct, frozen=True):
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
    def failed(self) -> tuple[Finding, ...]:
        """The checks that it fails."""
        return tuple(finding for finding in self.findings if finding.failed)

    @property
    def remarks(self) -> tuple[Finding, ...]:
        """The findings that a sheet and a draw tell: checks that failed, and what is to be noticed."""
        return tuple(finding for finding in self.findings if finding.is_remark)
