"""The keys of a job file and what each may hold. Lengths come out in mm, angles in degrees.

The unit of a bare number comes in through the validation context (key ``unit``).
"""

import datetime
from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints, ValidationInfo
from pydantic_core import PydanticCustomError

from flangelayout.drawing.textwidth import plain_line
from flangelayout.errors import UnitError
from flangelayout.survey import Kind
from flangelayout.units import Unit, parse_angle, parse_length

MAX_LENGTH = 20_000.0
MEASURED = "measured"
NEAREST_STANDARD = "nearest standard"


def _length(value: object, info: ValidationInfo) -> float:
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise PydanticCustomError("length", 'needs a length, such as 285 or "7/8 in"')
    unit = info.context["unit"] if info.context else Unit.MM
    try:
        length = parse_length(value, unit)
    except (UnitError, OverflowError) as problem:
        raise PydanticCustomError("length", "{text}", {"text": str(problem)}) from None
    if abs(length) > MAX_LENGTH:
        raise PydanticCustomError("length", "{value} is more than 20 m; check the unit", {"value": str(value)})
    return length


def _size(value: object, info: ValidationInfo) -> float:
    length = _length(value, info)
    if length <= 0:
        raise PydanticCustomError("length", "{value} is not greater than 0", {"value": str(value)})
    return length


def _not_negative(value: object, info: ValidationInfo) -> float:
    length = _length(value, info)
    if length < 0:
        raise PydanticCustomError("length", "{value} is less than 0", {"value": str(value)})
    return length


def _circle_size(value: object, info: ValidationInfo) -> float | str:
    if isinstance(value, str) and value.strip().lower() in (MEASURED, NEAREST_STANDARD):
        return value.strip().lower()
    return _size(value, info)


def _angle(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise PydanticCustomError("angle", "needs an angle in degrees, such as 22.5")
    try:
        angle = parse_angle(value)
    except (UnitError, OverflowError) as problem:
        raise PydanticCustomError("angle", "{text}", {"text": str(problem)}) from None
    if abs(angle) > 360:
        raise PydanticCustomError("angle", "{value} is beyond a full turn of 360 degrees", {"value": str(value)})
    return angle


def _count(value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise PydanticCustomError("count", "{value} is not a whole number", {"value": repr(value)})
    return value


def _line(value: object) -> str:
    if isinstance(value, datetime.date | int | float) and not isinstance(value, bool):
        value = value.isoformat() if isinstance(value, datetime.date) else str(value)
    if not isinstance(value, str):
        raise PydanticCustomError("text", "needs text in quotes")
    return plain_line(value)


Length = Annotated[float, BeforeValidator(_length)]
Size = Annotated[float, BeforeValidator(_size)]
NotNegative = Annotated[float, BeforeValidator(_not_negative)]
CircleSize = Annotated[float | str, BeforeValidator(_circle_size)]
Angle = Annotated[float, BeforeValidator(_angle)]
HoleCount = Annotated[int, BeforeValidator(_count), Field(ge=1, le=10_000)]
HoleNumber = Annotated[int, BeforeValidator(_count), Field(ge=1)]
Quantity = Annotated[int, BeforeValidator(_count), Field(ge=1, le=100_000)]
Text = Annotated[str, BeforeValidator(_line), StringConstraints(max_length=2000)]
Name = Annotated[str, BeforeValidator(_line), StringConstraints(min_length=1, max_length=200)]
LayerName = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9_\-]{1,31}$")]
PaperName = Literal["A4", "Letter", "A3", "Tabloid"]


class Table(BaseModel):
    """A table of the job file: unknown keys are errors."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=False)


class JobTable(Table):
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


class PlateTable(Table):
    """``[plate]``: what is drilled."""

    outline: Literal["round"] = "round"
    standard: Name | None = None
    outside_diameter: Size | None = None
    bore: Size | None = None
    thickness: Size | None = None
    raised_face_diameter: Size | None = None
    raised_face_height: Size | None = None
    material: Text = ""
    face: Name = "gasket face"


class BoltCircleTable(Table):
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
    bolt: Text = ""
    mates_with: Text = ""


class HoleTable(Table):
    """``[[hole]]``: a single hole, by x and y or by radius and angle."""

    name: Text = ""
    diameter: Size
    x: Length | None = None
    y: Length | None = None
    radius: NotNegative | None = None
    angle: Angle | None = None


class ReadingTable(Table):
    """``[[survey.reading]]``: one reading, its kind as ``flangelayout measure`` names it."""

    kind: Kind
    value: Length
    from_: HoleNumber | None = Field(None, alias="from")
    to: HoleNumber | None = None
    pitches: HoleNumber | None = None
    within: Size | None = None


class SurveyTable(Table):
    """``[survey]``: the readings that a bolt circle came from."""

    hole_count: HoleCount | None = None
    hole_diameter: Size | None = None
    drilling_tolerance: Size | None = None
    reading: Annotated[list[ReadingTable], Field(min_length=1, max_length=1000)]


class TolerancesTable(Table):
    """``[tolerances]``: plus and minus."""

    bolt_circle: Size | None = None
    chord: Size | None = None


class LayersTable(Table):
    """``[cut.layers]``."""

    holes: LayerName | None = None
    bore: LayerName | None = None
    outline: LayerName | None = None


class CutTable(Table):
    """``[cut]``."""

    units: Literal["mm", "in"] | None = None
    layers: LayersTable = LayersTable()


class TemplateTable(Table):
    """``[template]``."""

    paper: PaperName | Literal["one sheet"] | None = None
    overlap: Size = 10.0
    margin: Size = 12.0


class SheetTable(Table):
    """``[sheet]``."""

    paper: PaperName | None = None


class JobFile(Table):
    """A whole job file."""

    units: Literal["mm", "in"] = "mm"
    job: JobTable = JobTable()
    plate: PlateTable
    bolt_circle: Annotated[list[BoltCircleTable], Field(max_length=50)] = []
    hole: Annotated[list[HoleTable], Field(max_length=10_000)] = []
    survey: SurveyTable | None = None
    tolerances: TolerancesTable = TolerancesTable()
    cut: CutTable = CutTable()
    template: TemplateTable = TemplateTable()
    sheet: SheetTable = SheetTable()
