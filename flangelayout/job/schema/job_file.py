"""The keys of a job file and what each may hold. Lengths come out in mm, angles in degrees.

The unit of a bare number comes in through the validation context (key ``unit``).
"""

from functools import cache, lru_cache
from typing import Annotated, Any, Literal, get_args

from pydantic import BeforeValidator, Field, StrictBool, create_model

from flangelayout.drawing.choices import USUAL_PARTS, DxfVersion, SheetPart, TemplateStyle
from flangelayout.drawing.papers import PaperName, TemplatePaper
from flangelayout.errors import InputError
from flangelayout.flange.cutting import CutProcess, HoleCut, LeadShape, MachineFile, Mark, Zero
from flangelayout.flange.drilling import Drilling, Fastener
from flangelayout.flange.joints.derived import DerivedPart
from flangelayout.flange.origin import Figure
from flangelayout.flange.pattern import HoleGrid, HoleRectangle, HoleRings, counts_by_pitch
from flangelayout.geometry.shapes import Point
from flangelayout.job.schema.checks import ChecksTable, TolerancesTable
from flangelayout.job.schema.holes import HoleKeys, PatternKeys, Places
from flangelayout.job.schema.joint import MateTable, TurnedTable
from flangelayout.job.schema.plate import OpeningTable, PlateTable
from flangelayout.job.schema.values import (
    Angle,
    CircleSize,
    Color,
    HoleCount,
    HoleNumber,
    LayerName,
    Length,
    Measure,
    Name,
    NotNegative,
    Positive,
    Quantity,
    Ratio,
    SchemaTable,
    Size,
    Text,
    between,
    whole_number,
)
from flangelayout.problems.job import JobProblem
from flangelayout.provenance import Family
from flangelayout.survey import Kind
from flangelayout.units import Unit


class RevisionTable(SchemaTable):
    """``[[job.revision_history]]``: what was changed, when, by whom."""

    revision: Name
    date: Text = ""
    change: Text = ""
    by: Text = ""


class JobTable(SchemaTable):
    """``[job]``: the title block."""

    number: Name | None = None
    title: Text = ""
    revision: Name = "A"
    owner: Text = ""
    customer: Text = ""
    drawn_by: Text = ""
    approved_by: Text = ""
    date: Text = ""
    status: Text = ""
    quantity: Quantity = 1
    notes: Annotated[list[Text], Field(max_length=40)] = []
    revision_history: Annotated[list[RevisionTable], Field(max_length=20)] = []


class BoltCircleTable(HoleKeys):
    """``[[bolt_circle]]``."""

    name: Text = ""
    standard: Name | None = None
    diameter: CircleSize | None = None
    hole_count: HoleCount | None = None
    hole_diameter: Size | None = None
    placement: Literal["straddle", "on-centerline"] = "straddle"
    centerline: Literal["vertical", "horizontal"] = "vertical"
    start_angle: Angle = 0.0
    skip: list[HoleNumber] = []
    angles: Annotated[list[Angle], Field(max_length=10_000)] = []
    pair_angle: Angle | None = None
    spacing: Literal["as written", "measured"] = "as written"
    differs: Annotated[list[Figure], Field(max_length=8)] = []
    bolt: Text = ""
    mates_with: Text = ""
    mate_thickness: Size | None = None
    gasket_thickness: NotNegative | None = None
    fastener: Fastener = Fastener.BOLT
    washers: Annotated[int, BeforeValidator(whole_number), Field(ge=0, le=2)] = 2
    bolts_with: Text = ""
    bolt_class: Name | None = None
    nut_factor: Annotated[float, Field(ge=0.03, le=0.6, allow_inf_nan=False)] | None = None
    lubrication: Name | None = None
    bolt_load: Annotated[float, Field(gt=0, le=1, allow_inf_nan=False)] | None = None
    cut: HoleCut | None = None


class HoleTable(HoleKeys):
    """``[[hole]]``: a single hole, by x and y or by radius and angle."""

    name: Text = ""
    diameter: Size | None = None
    bolt: Text = ""
    x: Length | None = None
    y: Length | None = None
    radius: NotNegative | None = None
    angle: Angle | None = None
    cut: HoleCut | None = None


class ReadingTable(SchemaTable):
    """``[[survey.reading]]``: one reading, its kind as ``flangelayout measure`` names it."""

    kind: Kind
    value: Length
    from_: HoleNumber | None = Field(None, alias="from")
    to: HoleNumber | None = None
    pitches: HoleNumber | None = None
    within: Positive | None = None
    scale: Text = ""
    shared: Annotated[list[Length], Field(max_length=20)] = []
    set_aside: StrictBool = False


class SurveyTable(SchemaTable):
    """``[survey]``: the readings that a bolt circle came from."""

    hole_count: HoleCount | None = None
    hole_diameter: Size | None = None
    drilling_tolerance: Positive | None = None
    family: Family | None = None
    home_made: Annotated[float, Field(gt=0, lt=1)] = 0.1
    hole_scatter: NotNegative | None = None
    scale_within: Annotated[float, Field(gt=0, le=50)] = 1.0
    use_anyway: StrictBool = False
    reading: Annotated[list[ReadingTable], Field(min_length=1, max_length=1000)]


class LayersTable(SchemaTable):
    """``[cut.layers]``."""

    holes: LayerName | None = None
    bore: LayerName | None = None
    outline: LayerName | None = None
    marks: LayerName | None = None


class ColorsTable(SchemaTable):
    """``[cut.colors]``: numbers of the DXF color index."""

    holes: Color | None = None
    bore: Color | None = None
    outline: Color | None = None
    marks: Color | None = None


class CutTable(SchemaTable):
    """``[cut]``."""

    units: Literal["mm", "in"] | None = None
    process: CutProcess | None = None
    smallest_hole: NotNegative | None = None
    smallest_hole_per_thickness: Annotated[float, Field(ge=0, le=20, allow_inf_nan=False)] | None = None
    small_holes: HoleCut = HoleCut.AS_DRAWN
    undersize: Annotated[float, between(0.1, 50), Measure.LENGTH] = 3.0
    kerf: Annotated[float, between(0, 20), Measure.LENGTH] = 0.0
    lead_in: Annotated[float, between(0, 200), Measure.LENGTH] = 0.0
    lead_out: Annotated[float, between(0, 200), Measure.LENGTH] = 0.0
    lead_shape: LeadShape = LeadShape.ARC
    overcut: Annotated[float, between(0, 50), Measure.LENGTH] = 0.0
    tabs: Annotated[int, BeforeValidator(whole_number), Field(ge=0, le=20)] = 0
    tab_width: Annotated[float, between(0.1, 20), Measure.LENGTH] = 1.0
    dxf_version: DxfVersion = DxfVersion.R2000
    marks: Annotated[list[Mark], Field(max_length=10)] = []
    mark_height: Annotated[float, between(2, 200), Measure.LENGTH] = 10.0
    layers: LayersTable = Field(default_factory=LayersTable.model_construct)
    colors: ColorsTable = Field(default_factory=ColorsTable.model_construct)


class MachineTable(SchemaTable):
    """``[machine]``: what is written for drilling machines."""

    files: Annotated[list[MachineFile], Field(max_length=10)] = []
    units: Literal["mm", "in"] | None = None
    zero: Zero = Zero.CENTER
    head: Name | None = None
    ratio: Ratio | None = None
    plates: Annotated[list[Annotated[list[Ratio], Field(min_length=1, max_length=60)]], Field(max_length=20)] = []
    table_ratio: Ratio = 90
    safe_height: Annotated[float, between(1, 1000), Measure.LENGTH] = 25.0
    clearance: Annotated[float, between(0.5, 100), Measure.LENGTH] = 2.0
    depth: Size | None = None
    peck: Size | None = None
    feed: Size | None = None
    speed: Annotated[float, Field(gt=0, le=100_000, allow_inf_nan=False)] | None = None


class TemplateTable(SchemaTable):
    """``[template]``."""

    paper: TemplatePaper | None = None
    roll_width: Annotated[float, between(200, 5000), Measure.LENGTH] = 610.0
    overlap: Annotated[float, between(4, 40), Measure.LENGTH] = 10.0
    margin: Annotated[float, between(1, 60), Measure.LENGTH] = 12.0
    style: TemplateStyle = TemplateStyle.TILES
    printer: Name | None = None
    flip_tiles: StrictBool = False


class SheetTable(SchemaTable):
    """``[sheet]``: paper, drawing rules, border by name or path, the other unit in brackets, further sheets."""

    paper: PaperName | None = None
    convention: Literal["ISO", "ASME"] | None = None
    border: Name | None = None
    dual_units: StrictBool = False
    parts: Annotated[list[SheetPart], Field(max_length=len(SheetPart))] = list(USUAL_PARTS)


class HoleRectangleTable(PatternKeys):
    """``[[hole_rectangle]]``: holes at the corners and along the sides of a rectangle."""

    width: Size
    height: Size
    columns: Places = 2
    rows: Places = 2
    x: Length = 0.0
    y: Length = 0.0
    angle: Angle = 0.0

    def most_holes(self) -> int:
        """Along the four sides."""
        return 2 * (self.columns + self.rows)

    def pattern(self, drilling: Drilling, where: str) -> HoleRectangle:
        """What it asks for."""
        return HoleRectangle(
            drilling, self.width, self.height, self.columns, self.rows, Point(self.x, self.y), self.angle
        )


class HoleGridTable(PatternKeys):
    """``[[hole_grid]]``: holes in rows, in line or staggered, as in a tube sheet."""

    columns: Places
    rows: Places
    pitch: Size | None = None
    pitch_x: Size | None = None
    pitch_y: Size | None = None
    layout: Literal["square", "staggered"] = "square"
    within_diameter: Size | None = None
    outside_diameter: Size | None = None
    x: Length = 0.0
    y: Length = 0.0

    def most_holes(self) -> int:
        """At every place."""
        return self.columns * self.rows

    def pattern(self, drilling: Drilling, where: str) -> HoleGrid:
        """The grid; staggered rows of one pitch stand 0.866 of it apart, so that all six neighbors are a pitch away."""
        staggered = self.layout == "staggered"
        pitch_x = self.pitch_x or self.pitch
        pitch_y = self.pitch_y or (self.pitch and self.pitch * (3**0.5 / 2 if staggered else 1.0))
        if pitch_x is None or pitch_y is None:
            raise InputError.of(JobProblem.GRID_PITCH_MISSING, f"{where}.pitch")
        limits = self.within_diameter, self.outside_diameter
        at = Point(self.x, self.y)
        return HoleGrid(drilling, self.columns, self.rows, pitch_x, pitch_y, staggered, *limits, at)


class HoleRingsTable(PatternKeys):
    """``[[hole_rings]]``: holes on concentric circles."""

    first_diameter: NotNegative = 0.0
    ring_pitch: Size
    ring_count: Places | None = None
    hole_pitch: Size | None = None
    hole_counts: Annotated[list[Places], Field(max_length=1000)] = []

    def most_holes(self) -> int:
        """As counted, else as six neighbors a pitch away allow."""
        return sum(self.hole_counts) or 3 * (self.ring_count or 0) ** 2

    def pattern(self, drilling: Drilling, where: str) -> HoleRings:
        """The rings, with as many holes on each as are written or as the pitch leaves room for."""
        counts, ring_count = tuple(self.hole_counts), self.ring_count
        if counts and ring_count is not None and ring_count != len(counts):
            place = f"{where}.ring_count"
            raise InputError.of(JobProblem.RING_COUNT_CONTRADICTS, place, written=ring_count, counted=len(counts))
        if not counts and ring_count is None:
            raise InputError.of(JobProblem.RING_COUNT_MISSING, f"{where}.ring_count")
        pitch = self.hole_pitch or self.ring_pitch
        counts = counts or counts_by_pitch(self.first_diameter, self.ring_pitch, ring_count or 0, pitch)
        return HoleRings(drilling, self.first_diameter, self.ring_pitch, counts)


PatternTable = HoleRectangleTable | HoleGridTable | HoleRingsTable
"""A table of a pattern beside the bolt circles; each has a list in :class:`JobFile`."""


class DerivedTable(SchemaTable):
    """``[derived]``: the parent by number, revision, file and digest, as it was when this part was derived from it."""

    part: DerivedPart
    parent: Name
    revision: Text = ""
    file: Name
    digest: Name


class JobFile(SchemaTable):
    """A whole job file."""

    units: Literal["mm", "in"] = "mm"
    job: JobTable = Field(default_factory=JobTable.model_construct)
    plate: PlateTable
    bolt_circle: Annotated[list[BoltCircleTable], Field(max_length=50)] = []
    hole: Annotated[list[HoleTable], Field(max_length=10_000)] = []
    hole_rectangle: Annotated[list[HoleRectangleTable], Field(max_length=50)] = []
    hole_grid: Annotated[list[HoleGridTable], Field(max_length=20)] = []
    hole_rings: Annotated[list[HoleRingsTable], Field(max_length=20)] = []
    opening: Annotated[list[OpeningTable], Field(max_length=200)] = []
    turned: Annotated[list[TurnedTable], Field(max_length=40)] = []
    mate: Annotated[list[MateTable], Field(max_length=50)] = []
    derived: DerivedTable | None = None
    survey: SurveyTable | None = None
    tolerances: TolerancesTable = Field(default_factory=TolerancesTable.model_construct)
    checks: ChecksTable = Field(default_factory=ChecksTable.model_construct)
    cut: CutTable = Field(default_factory=CutTable.model_construct)
    machine: MachineTable = Field(default_factory=MachineTable.model_construct)
    template: TemplateTable = Field(default_factory=TemplateTable.model_construct)
    sheet: SheetTable = Field(default_factory=SheetTable.model_construct)


def read_tables(data: dict[str, object], unit: Unit) -> JobFile:
    """The tables of a job file, a bare length in a unit; of what may stand in one only what does is looked into.

    Raises:
        pydantic.ValidationError: If they hold what they may not.
    """
    read = _model_of(frozenset(data).intersection(JobFile.model_fields)).model_validate(data, context={"unit": unit})
    written = {name: getattr(read, name) for name in read.model_fields_set}
    return JobFile.model_construct(read.model_fields_set, **(_left_out() | written))


@cache
def _left_out() -> dict[str, Any]:
    """What tables are that a file leaves out: made once, as they never change."""
    fields = JobFile.model_fields.items()
    return {name: field.get_default(call_default_factory=True) for name, field in fields if field.default_factory}


@lru_cache(maxsize=32)
def _model_of(names: frozenset[str]) -> type[SchemaTable]:
    """A job file of nothing but these tables and those it must have: to make its check costs a start-up much less."""
    fields: dict[str, Any] = {
        name: (field.annotation, field)
        for name, field in JobFile.model_fields.items()
        if name in names or field.is_required()
    }
    return create_model("JobFile", __base__=SchemaTable, **fields)


@cache
def pattern_tables() -> dict[str, type[PatternTable]]:
    """The tables of patterns by their key, in the order of their letters."""
    rows = {name: get_args(field.annotation) for name, field in JobFile.model_fields.items()}
    return {name: row[0] for name, row in rows.items() if row and row[0] in get_args(PatternTable)}
