"""What a key of a job file may hold: lengths come out in mm, angles in degrees, texts as one plain line.

The unit of a bare number comes in through the validation context (key ``unit``).
"""

import datetime
import inspect
from collections.abc import Iterator, Mapping
from enum import Enum
from functools import lru_cache
from typing import Annotated, Literal, get_args, get_origin

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints, ValidationInfo, model_validator
from pydantic_core import PydanticCustomError

from flangelayout import facts
from flangelayout.drawing.textwidth import plain_line
from flangelayout.errors import Problem, UnitError
from flangelayout.facts import Fact
from flangelayout.job.schema.trade_words import choice_meant
from flangelayout.problems.schema import SchemaProblem
from flangelayout.standards.joints.pipes import is_pipe
from flangelayout.units import Unit, kilograms, parse_angle, parse_length

CARRIED = "problem"
"""Type of the validator's errors that carry a problem."""
MAX_LENGTH = 20_000.0
_HEAVIEST = 1e6
LEAST_SIZE = 0.05
"""In mm; anything smaller is a slip of the unit, and would vanish in the rounding of files."""
_MOST_COUNTED = 10**30
MEASURED = "measured"
NEAREST_STANDARD = "nearest standard"


class Measure(Enum):
    """What a number of a job file counts; it stands beside the type of its key."""

    LENGTH = "length"
    ANGLE = "angle"


def carried(problem: Problem) -> PydanticCustomError:
    """The validator's error that carries a problem, for :func:`flangelayout.job.problems.problems_of` to take out."""
    return PydanticCustomError(CARRIED, "{problem}", {"problem": problem})


def _refused(kind: SchemaProblem, **found: Fact) -> PydanticCustomError:
    return carried(Problem("", kind, None, "", None, **found))


def _unit_of(info: ValidationInfo) -> Unit:
    return info.context["unit"] if info.context else Unit.MM


def _length(value: object, info: ValidationInfo) -> float:
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise _refused(SchemaProblem.NEEDS_LENGTH)
    try:
        length = parse_length(value, _unit_of(info))
    except UnitError as wrong:
        raise carried(wrong.problems[0]) from None
    if abs(length) > MAX_LENGTH:
        raise _refused(SchemaProblem.OVER_20_M, found=str(value))
    return length


def _positive(value: object, info: ValidationInfo) -> float:
    length = _length(value, info)
    if length <= 0:
        raise _refused(SchemaProblem.NOT_ABOVE_ZERO, found=str(value))
    return length


def _size(value: object, info: ValidationInfo) -> float:
    length = _positive(value, info)
    if length < LEAST_SIZE:
        raise _refused(SchemaProblem.BELOW_LEAST_SIZE, found=str(value), least=facts.Length(LEAST_SIZE, Unit.MM))
    return length


def between(least: float, most: float) -> BeforeValidator:
    """A check that a length lies between two lengths in mm."""

    def check(value: object, info: ValidationInfo) -> float:
        length = _length(value, info)
        if not least <= length <= most:
            limits = tuple(facts.Length(limit, _unit_of(info)) for limit in (least, most))
            raise _refused(SchemaProblem.LENGTH_OUT_OF_RANGE, found=str(value), limits=limits)
        return length

    return BeforeValidator(check)


def _not_negative(value: object, info: ValidationInfo) -> float:
    length = _length(value, info)
    if length < 0:
        raise _refused(SchemaProblem.BELOW_ZERO, found=str(value))
    return length


def _bore_size(value: object, info: ValidationInfo) -> float | str:
    """A bore, or the pipe it is for as it was written."""
    if isinstance(value, str) and any(letter.isalpha() for letter in value) and is_pipe(value):
        return plain_line(value)
    return _size(value, info)


def _circle_size(value: object, info: ValidationInfo) -> float | str:
    if isinstance(value, str) and value.strip().lower() in (MEASURED, NEAREST_STANDARD):
        return value.strip().lower()
    return _size(value, info)


def _mass(value: object, info: ValidationInfo) -> float:
    if isinstance(value, str):
        number, _, unit = value.strip().partition(" ")
        known = {"kg": Unit.MM, "lb": Unit.IN, "lbs": Unit.IN}.get(unit.strip().lower())
        if known is None or not number.replace(".", "", 1).isdigit():
            raise _refused(SchemaProblem.NEEDS_MASS)
        value, own = float(number), known
    else:
        own = _unit_of(info)
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 < value < _HEAVIEST:
        raise _refused(SchemaProblem.NEEDS_MASS)
    return kilograms(value, own)


def _angle(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise _refused(SchemaProblem.NEEDS_ANGLE)
    try:
        angle = parse_angle(value)
    except UnitError as wrong:
        raise carried(wrong.problems[0]) from None
    if abs(angle) > 360:
        raise _refused(SchemaProblem.BEYOND_A_TURN, found=str(value))
    return angle


def whole_number(value: object) -> int:
    """A whole number as it is written, or an error in a person's words."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise _refused(SchemaProblem.NOT_WHOLE, found=repr(value))
    if abs(value) > _MOST_COUNTED:
        raise _refused(SchemaProblem.BEYOND_COUNTING)
    return value


def _line(value: object) -> str:
    if isinstance(value, int) and abs(value) > _MOST_COUNTED:
        raise _refused(SchemaProblem.NEEDS_TEXT)
    if isinstance(value, datetime.date | int | float) and not isinstance(value, bool):
        value = value.isoformat() if isinstance(value, datetime.date) else str(value)
    if not isinstance(value, str):
        raise _refused(SchemaProblem.NEEDS_TEXT)
    return plain_line(value)


Length = Annotated[float, BeforeValidator(_length), Measure.LENGTH]
Positive = Annotated[float, BeforeValidator(_positive), Measure.LENGTH]
Size = Annotated[float, BeforeValidator(_size), Measure.LENGTH]
NotNegative = Annotated[float, BeforeValidator(_not_negative), Measure.LENGTH]
BoreSize = Annotated[float | str, BeforeValidator(_bore_size), Measure.LENGTH]
CircleSize = Annotated[float | str, BeforeValidator(_circle_size), Measure.LENGTH]
Mass = Annotated[float, BeforeValidator(_mass)]
"""In kg; a bare number is in kg in a job in mm, in lb in one in inches."""
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
    """A table of the job file: unknown keys are errors; a choice is understood however people write it."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    @model_validator(mode="before")
    @classmethod
    def _choices_as_meant(cls, data: object) -> object:
        if not isinstance(data, dict):
            return data
        choosing = [(key, value) for key, value in data.items() if _chooses(cls, key, value)]
        meant = {key: choice_meant(value, _choices_of(cls)[key]) for key, value in choosing}
        return data | {key: choice for key, choice in meant.items() if choice}


def _chooses(table: type[BaseModel], key: str, value: object) -> bool:
    """Whether a key takes a choice and has none that is written as the file wants it."""
    return isinstance(value, str) and key in (choices := _choices_of(table)) and value not in choices[key]


@lru_cache(maxsize=128)
def _choices_of(table: type[BaseModel]) -> dict[str, tuple[str, ...]]:
    """The keys of a table that take one of several texts, with these."""
    found = {field.alias or name: tuple(choices_in(field.annotation)) for name, field in table.model_fields.items()}
    return {key: choices for key, choices in found.items() if choices}


def choices_in(annotation: object) -> Iterator[str]:
    """The texts that a literal or an enumeration may be, wherever it stands in an annotation."""
    if get_origin(annotation) is Literal:
        yield from (str(choice) for choice in get_args(annotation))
    elif inspect.isclass(annotation) and issubclass(annotation, Enum):
        yield from (str(choice.value) for choice in annotation)
    else:
        for part in get_args(annotation):
            yield from choices_in(part)


def written_unit(data: Mapping[str, object]) -> Unit:
    """The unit of the bare numbers of a file; millimeters where it names none that can be read."""
    written = data.get("units")
    meant = choice_meant(written, tuple(unit.value for unit in Unit)) if isinstance(written, str) else None
    return Unit(meant) if meant else Unit.MM
