"""Keys of a job as words of a call: ``OD=285 holes=8 flange="6 in 150 lb"``, by the headings of a list."""

import re
from collections.abc import Mapping, Sequence
from typing import Any

from flangelayout.batch.columns import Columns, job_tables
from flangelayout.batch.headings import Heading, near_heading, read_heading
from flangelayout.errors import InputError, Problem, UnitError
from flangelayout.job.schema.tree import Shape
from flangelayout.problems.lists import ListProblem
from flangelayout.units import Unit, parse_length

Tables = dict[str, Any]
_INCH_SIGNS = ("in", "inch", "inches", '"', "″", "''")
_PIPE_IN_INCHES = re.compile(r"\d\s*(in|inch|\"|″)\b")


def written_tables(words: Sequence[str], unit: Unit | None) -> Tables:
    """The tables of a job that some words hold.

    Args:
        words: Each a key with its value; a key is a heading that a list may have, such as ``OD``, ``PCD (mm)``,
            ``flange`` for a standard, or a key of a job file, such as ``bolt_circle.2.diameter``.
        unit: Of the job, where no word says it; ``None`` for inches where every length is in inches, else mm.

    Raises:
        InputError: With every word that is none, is no key, or names a key twice.
    """
    problems, read = list[Problem](), list[tuple[Heading, str]]()
    for word in words:
        name, sign, value = word.partition("=")
        heading = read_heading(name)
        if not sign or not value.strip():
            problems.append(Problem(word, ListProblem.WORD_NO_KEY))
        elif heading is None:
            problems.append(unknown_key(name))
        elif any(set(heading.paths) & set(other.paths) for other, _ in read):
            problems.append(Problem(name, ListProblem.KEY_TWICE))
        else:
            read.append((heading, value))
    if problems:
        raise InputError(*problems)
    unit = unit or (Unit.IN if _all_in_inches(read) else Unit.MM)
    tables = job_tables(Columns(tuple(heading for heading, _ in read), frozenset(), unit), [value for _, value in read])
    for heading, value in read:
        _as_number(tables, heading, value.strip())
    return {"units": tables.pop("units")} | tables


def _all_in_inches(read: list[tuple[Heading, str]]) -> bool:
    """Whether there are lengths, and each says that it is in inches, by itself or by its heading."""
    lengths = [(heading.unit, value) for heading, value in read if heading.shape is Shape.LENGTH]
    return bool(lengths) and all(_is_in_inches(unit, value) for unit, value in lengths)


def _is_in_inches(unit: Unit | None, value: str) -> bool:
    try:
        bare = parse_length(value, Unit.MM) != parse_length(value, Unit.IN)
        return unit is Unit.IN if bare else value.rstrip(". ").endswith(_INCH_SIGNS)
    except UnitError:  # a pipe in place of its bore
        return bool(_PIPE_IN_INCHES.search(value))


def unknown_key(name: str) -> Problem:
    """What is wrong with a word that names no key."""
    near = near_heading(name)
    return Problem(name, ListProblem.UNKNOWN_KEY_NEAR if near else ListProblem.UNKNOWN_KEY, near=near)


def _as_number(tables: Tables, heading: Heading, value: str) -> None:
    """A plain length or angle is written into a job file as a number, not as a text."""
    if heading.shape not in (Shape.LENGTH, Shape.ANGLE) or heading.unit:
        return
    try:
        number: float = int(value) if value.isdecimal() else float(value)
    except ValueError:
        return
    *steps, last = heading.paths[0]
    place: Any = tables
    for step in steps:
        place = place[step]
    place[last] = number


def with_written(tables: Tables, written: Mapping[str, Any]) -> Tables:
    """The tables of a job with those of a call, which win; the first of several circles is joined with the first."""
    joined = dict(tables)
    for key, value in written.items():
        mine = joined.get(key)
        if isinstance(mine, dict) and isinstance(value, dict):
            joined[key] = with_written(mine, value)
        elif isinstance(mine, list) and isinstance(value, list) and isinstance(value[0], dict):
            pairs = zip(mine, value, strict=False)
            joined[key] = [*(with_written(one, more) for one, more in pairs), *mine[len(value) :], *value[len(mine) :]]
        else:
            joined[key] = value
    return joined
