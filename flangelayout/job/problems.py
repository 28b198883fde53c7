"""The validator's errors as problems: where, what was found, what to do."""

import difflib
from collections.abc import Iterator
from typing import Any, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from flangelayout.drawing.textwidth import plain_line
from flangelayout.errors import Problem
from flangelayout.job.schema.job_file import JobFile
from flangelayout.job.schema.trade_words import keys_meant
from flangelayout.job.schema.values import CARRIED, choices_in
from flangelayout.problems.cures import Cure
from flangelayout.problems.schema import SchemaProblem

_FEW = 9
_TABLES_SEARCHED = ("plate", "bolt_circle", "job", "hole", "survey")


def problems_of(
    wrong: ValidationError, data: dict[str, object], model: type[BaseModel] = JobFile
) -> tuple[Problem, ...]:
    """One problem per error, in the order of the schema; several errors of one value become one."""
    problems: dict[str, Problem] = {}
    for error in wrong.errors(include_url=False):
        where = plain_line(where_text(error["loc"], data))
        problems.setdefault(where, _problem(where, error, model))
    return tuple(problems.values())


def where_text(location: tuple[int | str, ...], data: dict[str, object]) -> str:
    """A place in the job file as people name it: ``bolt_circle[2].diameter``, counted from 1.

    The number is left out where there is only one such table.
    """
    text = ""
    value: object = data
    for index, step in enumerate(location):
        if isinstance(step, int):
            alone = index == 1 and isinstance(value, list) and len(value) == 1
            text += "" if alone else f"[{step + 1}]"
            value = value[step] if isinstance(value, list) and step < len(value) else None
        elif isinstance(value, dict):
            text += f".{step}" if text else step
            value = value.get(step)
    return text


def _problem(where: str, error: ErrorDetails, model: type[BaseModel]) -> Problem:
    location = error["loc"]
    match error["type"]:
        case "problem":
            carried: Problem = error["ctx"][CARRIED]
            return carried.placed(where)
        case "missing":
            return _missing(where, str(location[-1]))
        case "extra_forbidden":
            return _unknown_key(where, location, model)
        case "literal_error" | "enum":
            choices = tuple(_choices_at(location, model))
            return Problem(where, SchemaProblem.NOT_A_CHOICE, found=_shown(error["input"]), choices=choices)
        case "model_type" | "list_type":
            return _no_table(where, error)
        case _:
            return _out_of_bounds(where, error)


def _no_table(where: str, error: ErrorDetails) -> Problem:
    header = _header(error["loc"])
    if error["type"] == "model_type":
        return Problem(where, SchemaProblem.NOT_A_TABLE, header=header)
    if isinstance(error["input"], dict):
        return Problem(where, SchemaProblem.NOT_TABLES, header=f"[{header}]")
    return Problem(where, SchemaProblem.NOT_A_LIST)


def _out_of_bounds(where: str, error: ErrorDetails) -> Problem:
    """A value that is too much or too little, or not of its type."""
    found, bounds = _shown(error["input"]), error.get("ctx", {})
    match error["type"]:
        case "too_long":
            return Problem(where, SchemaProblem.TOO_MANY, most=bounds["max_length"])
        case "string_too_long":
            return Problem(where, SchemaProblem.TEXT_TOO_LONG, most=bounds["max_length"])
        case "greater_than_equal":
            return Problem(where, SchemaProblem.TOO_SMALL, found=found, least=bounds["ge"])
        case "less_than_equal":
            return Problem(where, SchemaProblem.TOO_LARGE, found=found, most=bounds["le"])
        case other:
            kind = _OF_THE_TYPE.get(other, SchemaProblem.NOT_POSSIBLE)
            return Problem(where, kind, found=found)


_OF_THE_TYPE = {
    "bool_type": SchemaProblem.NOT_A_FLAG,
    "string_pattern_mismatch": SchemaProblem.NO_LAYER_NAME,
    "too_short": SchemaProblem.EMPTY,
    "string_too_short": SchemaProblem.EMPTY,
    "string_type": SchemaProblem.NEEDS_TEXT,
    "float_type": SchemaProblem.NOT_A_NUMBER,
    "float_parsing": SchemaProblem.NOT_A_NUMBER,
    "finite_number": SchemaProblem.NOT_A_NUMBER,
}


def _missing(where: str, key: str) -> Problem:
    match key:
        case "plate":
            return Problem(where, SchemaProblem.MISSING, cure=Cure.ADD_PLATE)
        case "diameter":
            examples = (22, "7/8 in")
            return Problem(where, SchemaProblem.MISSING, cure=Cure.WRITE_FOR_EXAMPLE, key=key, examples=examples)
        case _:
            return Problem(where, SchemaProblem.MISSING, cure=Cure.ADD)


def _header(location: tuple[int | str, ...]) -> str:
    """How the table at a place is begun: ``[plate]``, or ``[[bolt_circle]]`` where there may be several."""
    *_, name = (step for step in location if isinstance(step, str))
    return f"[{name}]" if location[-1] == name else f"[[{name}]]"


def _shown(value: object) -> str:
    try:
        text = f'"{value}"' if isinstance(value, str) else str(value)
    except (ValueError, RecursionError):  # a number of thousands of digits, or lists a thousand deep
        text = "what stands there"
    return plain_line(text if len(text) <= 60 else text[:57] + "...")


def _unknown_key(where: str, location: tuple[int | str, ...], model: type[BaseModel]) -> Problem:
    """A key that the table has not, with the one that is meant if that can be told."""
    written, known = str(location[-1]), _keys_of(_model_at(location[:-1], model))
    unknown = SchemaProblem.UNKNOWN_KEY
    meant = keys_meant(written)
    if here := [key for key in meant if key in known]:
        return Problem(where, unknown, cure=Cure.IT_IS_WRITTEN, near=here[0])
    if near := difflib.get_close_matches(written.lower(), known, n=1, cutoff=0.55 if len(written) > 3 else 0.75):
        return Problem(where, unknown, cure=Cure.DID_YOU_MEAN, near=near[0])
    if model is JobFile and (elsewhere := next(_in_other_tables(meant), None)):
        return Problem(where, unknown, cure=Cure.IT_IS_WRITTEN_IN, near=elsewhere[1], table=elsewhere[0])
    if len(known) <= _FEW:
        return Problem(where, unknown, cure=Cure.USE_ONE_OF, names=tuple(known))
    if len(location) == 1:
        return Problem(where, unknown, cure=Cure.SEE_TABLES)
    return Problem(where, unknown, cure=Cure.SEE_KEYS, table=".".join(s for s in location[:-1] if isinstance(s, str)))


def _in_other_tables(meant: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """The tables of a job file that have a key, with the key."""
    for name in _TABLES_SEARCHED:
        annotation = JobFile.model_fields[name].annotation
        header = f"[[{name}]]" if get_origin(annotation) is list else f"[{name}]"
        yield from ((header, key) for key in meant if key in _keys_of(_model_in(annotation)))


def _choices_at(location: tuple[int | str, ...], model: type[BaseModel]) -> Iterator[str]:
    """What the literal or the enumeration at a place may be."""
    *_, name = (step for step in location if isinstance(step, str))
    table = _model_at(location[: location.index(name)], model)
    field = next(field for key, field in table.model_fields.items() if name in (key, field.alias))
    return choices_in(field.annotation)


def _keys_of(table: type[BaseModel]) -> list[str]:
    return [field.alias or name for name, field in table.model_fields.items()]


def _model_at(location: tuple[int | str, ...], model: type[BaseModel]) -> type[BaseModel]:
    """The table of the schema at a place of the file."""
    for step in location:
        if isinstance(step, str):
            model = _model_in(model.model_fields[step].annotation)
    return model


def _model_in(annotation: Any) -> type[BaseModel]:  # noqa: ANN401 - whatever a field is annotated with
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next(_model_in(part) for part in get_args(annotation) if get_args(part) or isinstance(part, type))
