"""The validator's errors in a fabricator's words: where, what was found, what to do."""

import difflib
from typing import get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from flangelayout.drawing.textwidth import plain_line
from flangelayout.errors import Problem
from flangelayout.job.schema.job_file import JobFile

_EXAMPLES = {
    "plate": "add a [plate] table with outside_diameter",
    "diameter": 'write for example diameter = 22 or diameter = "7/8 in"',
}


def problems_of(
    wrong: ValidationError, data: dict[str, object], model: type[BaseModel] = JobFile
) -> tuple[Problem, ...]:
    """One problem per error, in the order of the schema; several errors of one value become one."""
    problems: dict[str, Problem] = {}
    for error in wrong.errors(include_url=False):
        where = plain_line(where_text(error["loc"], data))
        problems.setdefault(where, Problem(where, plain_line(_words(error, model))))
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


_WORDS = {
    "missing": "is missing; {advice}",
    "bool_type": "{found} is not possible; use true or false",
    "literal_error": "{found} is not possible; use {expected}",
    "enum": "{found} is not possible; use {expected}",
    "model_type": "must be a table: write [{name}] on a line of its own and the keys below it",
    "list_type": "must be a list in brackets; a table that may repeat is written [[{name}]]",
    "string_pattern_mismatch": "{found} is no layer name; use 1 to 31 letters, digits, - or _",
    "too_long": "is too long; at most {max_length} are possible",
    "too_short": "is empty; write something or leave the key out",
    "string_type": "needs text in quotes",
    "string_too_long": "is too long; at most {max_length} characters are possible",
    "string_too_short": "is empty; write something or leave the key out",
    "greater_than_equal": "{found} is too small; the least is {ge}",
    "less_than_equal": "{found} is too large; the most is {le}",
}


def _words(error: ErrorDetails, model: type[BaseModel]) -> str:
    name = next(step for step in reversed(error["loc"]) if isinstance(step, str))
    name = name if name == error["loc"][-1] else f"[{name}]"
    if error["type"] == "extra_forbidden":
        return _unknown_key(error["loc"], model)
    template = _WORDS.get(error["type"])
    if template is None:
        return error["msg"]
    found, advice = _shown(error["input"]), _EXAMPLES.get(name, "add it")
    return template.format(name=name, found=found, advice=advice, **error.get("ctx", {}))


def _shown(value: object) -> str:
    try:
        text = f'"{value}"' if isinstance(value, str) else str(value)
    except (ValueError, RecursionError):  # a number of thousands of digits, or lists a thousand deep
        text = "what stands there"
    return text if len(text) <= 60 else text[:57] + "..."


def _unknown_key(location: tuple[int | str, ...], model: type[BaseModel]) -> str:
    known = _keys_at(location[:-1], model)
    near = difflib.get_close_matches(str(location[-1]).lower(), known, n=1, cutoff=0.55)
    if near:
        return f"unknown key; did you mean {near[0]}?"
    return f"unknown key; possible here: {', '.join(known)}"


def _keys_at(location: tuple[int | str, ...], model: type[BaseModel]) -> list[str]:
    """The keys a table of the file may have."""
    for step in location:
        if isinstance(step, str):
            model = _model_in(model.model_fields[step].annotation)
    return [field.alias or name for name, field in model.model_fields.items()]


def _model_in(annotation: object) -> type[BaseModel]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next(_model_in(part) for part in get_args(annotation) if get_args(part) or isinstance(part, type))
