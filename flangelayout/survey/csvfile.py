"""Readings from a text file with a header line. Takes text, so only the caller touches files."""

import csv
from collections.abc import Iterator, Mapping

from flangelayout.errors import FlangeLayoutError, InputError, Problem
from flangelayout.problems.survey import SurveyProblem
from flangelayout.survey.kinds import CHORD_KINDS, Kind
from flangelayout.survey.readings import Reading
from flangelayout.units import Unit, parse_length

_COLUMNS = ("kind", "value", "from", "to", "pitches", "within", "unit")
_POSITION_COLUMNS = ("hole", "x", "y", "within", "unit")
_KINDS = {kind.value: kind for kind in Kind}


def parse_readings(
    text: str, unit: Unit = Unit.MM, source: str = "", names: Mapping[str, int] | None = None
) -> tuple[Reading, ...]:
    """Readings of a readings file, in the order written.

    Two headers are understood. ``kind,value`` with ``from,to`` or ``pitches``, and optionally
    ``within`` and ``unit``; or ``x,y`` with an optional ``hole`` (else counted from 1), for hole
    positions. Commas, semicolons or tabs separate; a line that starts with ``#`` is skipped.

    Args:
        text: The whole file.
        unit: Unit of a row that names none.
        source: Name of the file, for messages.
        names: What holes are called in ``from`` and ``to``, with the number of each; numbers alone unless told.

    Raises:
        InputError: With one problem per row that cannot be read.
    """
    lines = [
        (number, line)
        for number, line in enumerate(text.removeprefix("\ufeff").splitlines(), 1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    if not lines:
        raise InputError(Problem("", SurveyProblem.EMPTY_FILE), source=source)
    header, positions = _header(lines[0], source)
    rows = list(_rows(lines[1:], header, _separator(lines[0][1])))
    problems: list[Problem] = list(_unit_problems(rows))
    readings: list[Reading] = []
    for number, row in rows:
        try:
            new = _positions(number, row, unit, len(readings)) if positions else [_reading(number, row, unit, names)]
            readings.extend(new)
        except FlangeLayoutError as error:
            problems += [each.placed(each.where, number) for each in error.problems]
    if not rows:
        problems.append(Problem("", SurveyProblem.HEADER_ONLY))
    if problems:
        raise InputError(*problems, source=source)
    return tuple(readings)


def _separator(line: str) -> str:
    return max(",;\t", key=line.count)


def _header(first: tuple[int, str], source: str) -> tuple[list[str], bool]:
    """Column names, and whether the file holds positions rather than readings."""
    number, line = first
    names = [name.strip().lower() for name in next(csv.reader([line], delimiter=_separator(line)))]
    positions = {"x", "y"} <= set(names) and "kind" not in names
    known = _POSITION_COLUMNS if positions else _COLUMNS
    problems = [_column_problem(name, known, number) for name in names if name not in known]
    required = ("x", "y") if positions else ("kind", "value")
    problems += [Problem(name, SurveyProblem.COLUMN_MISSING, number) for name in required if name not in names]
    twice = sorted({name for name in names if names.count(name) > 1})
    problems += [Problem(name, SurveyProblem.COLUMN_TWICE, number) for name in twice]
    if problems:
        raise InputError(*problems, source=source)
    return names, positions


def _rows(lines: list[tuple[int, str]], header: list[str], separator: str) -> Iterator[tuple[int, Mapping[str, str]]]:
    for number, line in lines:
        cells = [cell.strip() for cell in next(csv.reader([line], delimiter=separator, skipinitialspace=True))]
        yield number, dict(zip(header, cells, strict=False)) | {"": ",".join(filter(None, cells[len(header) :]))}


def _unit_problems(rows: list[tuple[int, Mapping[str, str]]]) -> Iterator[Problem]:
    """A column that names the unit on some lines only leaves the others to a guess."""
    if not any(row.get("unit") for _, row in rows):
        return
    for number, row in rows:
        if not row.get("unit"):
            yield Problem("unit", SurveyProblem.UNIT_EMPTY, number)


def _reading(number: int, row: Mapping[str, str], default: Unit, names: Mapping[str, int] | None) -> Reading:
    if row[""]:
        raise InputError.of(SurveyProblem.TOO_MANY_CELLS, written=row[""])
    kind = _KINDS.get(row.get("kind", "").lower())
    if kind is None:
        raise _kind_error(row.get("kind", ""))
    unit = _row_unit(row, default)
    pitches, from_hole, to_hole = (_whole(row, "pitches"), *(_hole(row, name, names) for name in ("from", "to")))
    if kind in CHORD_KINDS and pitches is None and from_hole is None and to_hole is None:
        raise InputError.of(SurveyProblem.NEITHER_HOLES_NOR_PITCHES, reading=kind.value)
    return Reading(
        kind=kind,
        value=_length(row, "value", unit),
        from_hole=from_hole,
        to_hole=to_hole,
        pitches=pitches,
        within=_length(row, "within", unit) if row.get("within") else None,
        unit=unit,
        where=f"line {number}",
    )


def _positions(number: int, row: Mapping[str, str], default: Unit, done: int) -> list[Reading]:
    if row[""]:
        raise InputError.of(SurveyProblem.TOO_MANY_CELLS, written=row[""])
    unit = _row_unit(row, default)
    hole = _whole(row, "hole") or done // 2 + 1
    within = _length(row, "within", unit) if row.get("within") else None
    return [
        Reading(
            kind,
            _length(row, kind.value, unit),
            from_hole=hole,
            within=within,
            unit=unit,
            where=f"line {number}, {kind.value}",
        )
        for kind in (Kind.X, Kind.Y)
    ]


def _row_unit(row: Mapping[str, str], default: Unit) -> Unit:
    written = row.get("unit", "").lower()
    if not written:
        return default
    if written not in ("mm", "in"):
        raise InputError.of(SurveyProblem.UNIT_UNKNOWN, written=written)
    unit = Unit(written)
    for name in ("value", "x", "y", "within"):
        cell = row.get(name, "")
        if cell and _differs(cell, unit):
            raise InputError.of(SurveyProblem.UNITS_MIXED, column=name, written=cell, unit=written)
    return unit


def _differs(cell: str, unit: Unit) -> bool:
    """Whether a length text names a unit other than the one given."""
    named = any(character.isalpha() or character in "\"'″”" for character in cell)
    return named and not _ends_with(cell, unit)


def _ends_with(cell: str, unit: Unit) -> bool:
    endings = ("mm",) if unit is Unit.MM else ("in", "in.", "inch", "inches", '"', "''", "″", "”")
    return cell.lower().rstrip().endswith(endings)


def _length(row: Mapping[str, str], name: str, unit: Unit) -> float:
    cell = row.get(name, "")
    if not cell:
        raise InputError.of(SurveyProblem.EMPTY_CELL, column=name)
    return parse_length(cell, unit)


def _whole(row: Mapping[str, str], name: str) -> int | None:
    cell = row.get(name, "")
    if not cell:
        return None
    if not cell.isdecimal() or len(cell) > 4:
        raise InputError.of(SurveyProblem.NOT_A_WHOLE_NUMBER, column=name, written=cell)
    return int(cell)


def _hole(row: Mapping[str, str], name: str, names: Mapping[str, int] | None) -> int | None:
    cell = row.get(name, "")
    if names is None or not cell:
        return _whole(row, name)
    if cell.casefold() not in names:
        raise InputError.of(SurveyProblem.NO_SUCH_LABEL, column=name, written=cell, known=tuple(names))
    return names[cell.casefold()]


def _near(written: str, known: tuple[str, ...]) -> list[str]:
    """What was most likely meant, if anything."""
    from difflib import get_close_matches

    return get_close_matches(written, known, n=1)


def _column_problem(written: str, known: tuple[str, ...], number: int) -> Problem:
    near = _near(written, known)
    if near:
        return Problem(written, SurveyProblem.MISSPELLED_COLUMN, number, written=written, near=near[0])
    return Problem(written, SurveyProblem.UNKNOWN_COLUMN, number, written=written, known=known)


def _kind_error(written: str) -> InputError:
    near = _near(written, tuple(_KINDS))
    if near:
        return InputError.of(SurveyProblem.MISSPELLED_KIND, written=written, near=near[0])
    if written:
        return InputError.of(SurveyProblem.UNKNOWN_KIND, written=written, known=tuple(_KINDS))
    return InputError.of(SurveyProblem.NO_KIND, known=tuple(_KINDS))
