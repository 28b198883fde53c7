"""The head of a list of jobs: which key of a job file each column holds, and how its cells are read."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel, TypeAdapter, ValidationError
from pydantic.fields import FieldInfo

from flangelayout.errors import InputError, Problem
from flangelayout.job.problems import problems_of
from flangelayout.job.schema.job_file import JobFile
from flangelayout.problems.schema import SchemaProblem
from flangelayout.units import Unit

DESIGNATION = "designation"
"""The column that names a standard for the plate and its first bolt circle."""

_STEP = re.compile(r"([a-z_]+)(?:\[(\d{1,3})\])?")
_WHOLE = re.compile(r"[+-]?\d{1,15}")
_SHORT = ("job", "plate")
"""Tables whose keys may be written without the table."""

_DESIGNATED = (("plate", "standard"), ("bolt_circle", 0, "standard"))

_Path = tuple[str | int, ...]
Data = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Column:
    """A column: where its cells go in a job's tables, and what the key there takes.

    Attributes:
        paths: Steps through tables and, by number, through lists of tables.
        field: Of the schema; ``None`` where the schema knows no such key.
    """

    paths: tuple[_Path, ...]
    field: FieldInfo | None


def read_head(names: Sequence[str]) -> tuple[Column | None, ...]:
    """The columns of a list; ``None`` for one without a name.

    Args:
        names: As written: ``plate.outside_diameter``, ``bolt_circle.diameter``, ``bolt_circle[2].diameter``,
            a key of ``[job]`` or ``[plate]`` on its own, or ``designation``.

    Raises:
        InputError: With every name that is no key of a job file, or stands there twice.
    """
    columns = tuple(_column(" ".join(name.split())) if name.strip() else None for name in names)
    told: Data = {}
    for column in columns:
        if column:
            _put_all(told, column, "")
    unknown = _unknown(told)
    met: dict[tuple[_Path, ...], str] = {}
    twice = [
        Problem(name.strip(), f'is the same key as "{other}"; leave one of them out')
        for name, column in zip(names, columns, strict=True)
        if column and (other := met.setdefault(column.paths, name)) is not name
    ]
    if unknown or twice or not met:
        nothing = (
            () if met else (Problem("", "its first row names no column; write keys such as plate.outside_diameter"),)
        )
        raise InputError(*unknown, *twice, *nothing)
    return columns


def job_tables(columns: Sequence[Column | None], cells: Sequence[str]) -> Data:
    """The tables of one row; empty cells are left out.

    Raises:
        InputError: If a cell stands under no column.
    """
    data: Data = {}
    stray = [cell for cell in cells[len(columns) :] if cell.strip()]
    stray += [cell for column, cell in zip(columns, cells, strict=False) if column is None and cell.strip()]
    if stray:
        raise InputError(Problem("", f'"{stray[0].strip()}" stands under no column; name the column or empty the cell'))
    ordered = sorted(zip(columns, cells, strict=False), key=lambda pair: bool(pair[0] and len(pair[0].paths) == 1))
    for column, cell in ordered:
        if column and cell.strip():
            _put_all(data, column, _read(cell.strip(), column.field))
    return data


def _column(name: str) -> Column:
    if name.lower() == DESIGNATION:
        return Column(_DESIGNATED, _field_at(("plate", "standard")))
    steps: list[str | int] = []
    for part in name.split("."):
        match = _STEP.fullmatch(part.strip())
        steps += [match[1], int(match[2]) - 1] if match and match[2] else [part.strip()]
    if len(steps) == 1 and steps[0] not in JobFile.model_fields:
        steps = [*(table for table in _SHORT if _field_at((table, steps[0]))), *steps][-2:]
    path = tuple(_with_numbers(steps))
    return Column((path,), _field_at(path))


def _with_numbers(steps: Sequence[str | int]) -> Iterator[str | int]:
    """The steps with the number of the first table put in where a list of tables has none."""
    model: type[BaseModel] | None = JobFile
    for index, step in enumerate(steps):
        yield step
        if not isinstance(step, str) or model is None:
            continue
        field = _fields(model).get(step)
        model, many = _table_in(field.annotation) if field else (None, False)
        if many and index + 1 < len(steps) and not isinstance(steps[index + 1], int):
            yield 0


def _field_at(path: Sequence[str | int]) -> FieldInfo | None:
    model: type[BaseModel] | None = JobFile
    field: FieldInfo | None = None
    for step in path:
        if isinstance(step, int):
            continue
        field = _fields(model).get(step) if model else None
        model = _table_in(field.annotation)[0] if field else None
    return None if model else field


def _fields(model: type[BaseModel]) -> Mapping[str, FieldInfo]:
    return {field.alias or name: field for name, field in model.model_fields.items()}


def _table_in(annotation: object) -> tuple[type[BaseModel] | None, bool]:
    """The table a key holds, and whether it is a list of them."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation, False
    if get_origin(annotation) is Literal:
        return None, False
    for part in get_args(annotation):
        model, many = _table_in(part)
        if model:
            return model, many or get_origin(annotation) is list
    return None, False


def _put_all(data: Data, column: Column, value: object) -> None:
    for path in column.paths:
        _put(data, path, value)


def _put(data: Data, path: _Path, value: object) -> None:
    """Put a value in its place; tables and rows on the way are made."""
    place: Any = data
    for step, following in zip(path, (*path[1:], None), strict=True):
        empty: Any = value if following is None else [] if isinstance(following, int) else {}
        if isinstance(step, int):
            place.extend({} for _ in range(len(place), step + 1))
            place = place[step]
        elif following is None:
            place[step] = value
        else:
            place = place.setdefault(step, empty)


def _unknown(told: Data) -> tuple[Problem, ...]:
    """What of the tables that a head names is no key of a job file."""
    try:
        JobFile.model_validate(told, context={"unit": Unit.MM})
    except ValidationError as wrong:
        errors = wrong.errors(include_url=False)
        if any(error["type"] == "extra_forbidden" for error in errors):
            return tuple(problem for problem in problems_of(wrong, told) if problem.kind is SchemaProblem.UNKNOWN_KEY)
    return ()


def _read(text: str, field: FieldInfo | None) -> object:
    """A cell as what its key takes: a text, else a whole number, else a list parted by semicolons."""
    if field is None:
        return text
    taken: Any = Annotated[field.annotation, *field.metadata] if field.metadata else field.annotation
    adapter: TypeAdapter[object] = TypeAdapter(taken)
    parts = [part.strip() for part in text.split(";") if part.strip()]
    tries = (text, _whole(text), parts, [_whole(part) for part in parts])
    for value in tries:
        try:
            adapter.validate_python(value, context={"unit": Unit.MM})
        except (ValidationError, RecursionError):
            continue
        return value
    return parts if _is_list(field.annotation) else _whole(text)


def _whole(text: str) -> object:
    return int(text) if _WHOLE.fullmatch(text) else text


def _is_list(annotation: object) -> bool:
    origin = get_origin(annotation)
    if origin is list:
        return True
    return origin in (Union, UnionType, Annotated) and any(_is_list(part) for part in get_args(annotation))
