"""What a key of a job file may hold: lengths come out in mm, angles in degrees, texts as one plain line.

The unit of a bare number comes in through the validation context (key ``unit``).
"""

import datetime
from enum import Enum
from typing import Annotated

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints, ValidationInfo
from pydantic_core import PydanticCustomError

from flangelayout.drawing.textwidth import plain_line
from flangelayout.errors import UnitError
from flangelayout.units import Unit, parse_angle, parse_length, range_text

MAX_LENGTH = 20_000.0
LEAST_SIZE = 0.05
"""In mm; anything smaller is a slip of the unit, and would vanish in the rounding of files."""
_MOST_COUNTED = 10**30
MEASURED = "measured"
NEAREST_STANDARD = "nearest standard"


class Measure(Enum):
    """What a number of a job file counts; it stands beside the type of its key."""

    LENGTH = "length"
    ANGLE = "angle"


def _unit_of(info: ValidationInfo) -> Unit:
    return info.context["unit"] if info.context else Unit.MM


def _length(value: object, info: ValidationInfo) -> float:
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise PydanticCustomError("length", 'needs a length, such as 285 or "7/8 in"')
    try:
        length = parse_length(value, _unit_of(info))
    except (UnitError, OverflowError) as problem:
        raise PydanticCustomError("length", "{text}", {"text": str(problem)}) from None
    if abs(length) > MAX_LENGTH:
        raise PydanticCustomError("length", "{value} is more than 20 m; check the unit", {"value": str(value)})
    return length


def _positive(value: object, info: ValidationInfo) -> float:
    length = _length(value, info)
    if length <= 0:
        raise PydanticCustomError("length", "{value} is not greater than 0", {"value": str(value)})
    return length


def _size(value: object, info: ValidationInfo) -> float:
    length = _positive(value, info)
    if length < LEAST_SIZE:
        text = f"{value} is less than {LEAST_SIZE} mm; check the unit"
        raise PydanticCustomError("length", "{text}", {"text": text})
    return length


def between(least: float, most: float) -> BeforeValidator:
    """A check that a length lies between two lengths in mm."""

    def check(value: object, info: ValidationInfo) -> float:
        length = _length(value, info)
        if not least <= length <= most:
            text = f"{value} is not possible; use {range_text(least, most, _unit_of(info))}"
            raise PydanticCustomError("length", "{text}", {"text": text})
        return length

    return BeforeValidator(check)


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


def whole_number(value: object) -> int:
    """A whole number as it is written, or an error in a person's words."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise PydanticCustomError("count", "{value} is not a whole number", {"value": repr(value)})
    if abs(value) > _MOST_COUNTED:
        raise PydanticCustomError("count", "is a number beyond all counting; correct it")
    return value


def _line(value: object) -> str:
    if isinstance(value, int) and abs(value) > _MOST_COUNTED:
        raise PydanticCustomError("text", "needs text in quotes")
    if isinstance(value, datetime.date | int | float) and not isinstance(value, bool):
        value = value.isoformat() if isinstance(value, datetime.date) else str(value)
    if not isinstance(value, str):
        raise PydanticCustomError("text", "needs text in quotes")
    return plain_line(value)


Length = Annotated[float, BeforeValidator(_length), Measure.LENGTH]
Positive = Annotated[float, BeforeValidator(_positive), Measure.LENGTH]
Size = Annotated[float, BeforeValidator(_size), Measure.LENGTH]
NotNegative = Annotated[float, BeforeValidator(_not_negative), Measure.LENGTH]
CircleSize = Annotated[float | str, BeforeValidator(_circle_size), Measure.LENGTH]
Angle = Annotated[float, BeforeValidator(_angle), Measure.ANGLE]
HoleCount = Annotated[int, BeforeValidator(whole_number), Field(ge=1, le=10_000)]
HoleNumber = Annotated[int, BeforeValidator(whole_number), Field(ge=1)]
Color = Annotated[int, BeforeValidator(whole_number), Field(ge=1, le=255)]
Ratio = Annotated[int, BeforeValidator(whole_number), Field(ge=1, le=1000)]
Quantity = Annotated[int, BeforeValidator(whole_number), Field(ge=1, le=100_000)]
Text = Annotated[str, BeforeValidator(_line), StringConstraints(max_length=2000)]
Name = Annotated[str, BeforeValidator(_line), StringConstraints(min_length=1, max_length=200)]
LayerName = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9_\-]{1,31}$")]


class SchemaTable(BaseModel):
    """A table of the job file: unknown keys are errors."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=False)
