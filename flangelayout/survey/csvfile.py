"""Readings from a text file with a header line. Takes text, so only the caller touches files."""

import csv
import difflib
from collections.abc import Iterator, Mapping

from flangelayout.errors import InputError, Problem, UnitError
from flangelayout.survey.readings import CHORD_KINDS, Kind, Reading
from flangelayout.units import Unit, parse_length

_COLUMNS = ("kind", "value", "from", "to", "pitches", "within", "unit")
_POSITION_COLUMNS = ("hole", "x", "y", "within", "unit")
_KINDS = {kind.value: kind for kind in Kind}


def parse_readings(text: str, unit: Unit = Unit.MM, source: str = "") -> tuple[Reading, ...]:
    """Readings of a readings file, in the order written.

    Two headers are understood. ``kind,value`` with ``from,to`` or ``pitches``, and optionally
    ``within`` and ``unit``; or ``x,y`` with an optional ``hole`` (else counted from 1), for hole
    positions. Commas, semicolons or tabs separate; a line that starts with ``#`` is skipped.

    Args:
        text: The whole file.
        unit: Unit of a row that names none.
        source: Name of the file, for messages.

    Raises:
        InputError: With one problem per row that cannot be read.
    """
    lines = [
        (number, line)
        for number, line in enumerate(text.removeprefix("\ufeff").splitlines(), 1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    if not lines:
        raise InputError(Problem("", "is empty; the first line names the columns kind,value,pitches"), source=source)
    header, positions = _header(lines[0], source)
    rows = list(_rows(lines[1:], header, _separator(lines[0][1])))
    problems: list[Problem] = list(_unit_problems(rows))
    readings: list[Reading] = []
    for number, row in rows:
        try:
            new = _positions(number, row, unit, len(readings)) if positions else [_reading(number, row, unit)]
            readings.extend(new)
        except (UnitError, ValueError) as error:
            problems.append(Problem("", str(error), number))
    if not rows:
        problems.append(Problem("", "holds a header but no reading"))
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
    problems = [Problem(name, _unknown("column", name, known), number) for name in names if name not in known]
    required = ("x", "y") if positions else ("kind", "value")
    problems += [Problem(name, "column missing from the header line", number) for name in required if name not in names]
    twice = sorted({name for name in names if names.count(name) > 1})
    problems += [Problem(name, "column given twice", number) for name in twice]
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
            yield Problem("unit", "left empty while other lines name theirs: mixed units; write mm or in", number)


def _reading(number: int, row: Mapping[str, str], default: Unit) -> Reading:
    if row[""]:
        raise ValueError(f'more cells than columns ("{row[""]}")')
    kind = _KINDS.get(row.get("kind", "").lower())
    if kind is None:
        raise ValueError(_unknown("kind", row.get("kind", ""), tuple(_KINDS)))
    unit = _row_unit(row, default)
    pitches, from_hole, to_hole = (_whole(row, name) for name in ("pitches", "from", "to"))
    if kind in CHORD_KINDS and pitches is None and from_hole is None and to_hole is None:
        raise ValueError(f"{kind.value} names neither its holes (from, to) nor the pitches it spans")
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
        raise ValueError(f'more cells than columns ("{row[""]}")')
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
        raise ValueError(f'unit "{written}" is not known; write mm or in')
    unit = Unit(written)
    for name in ("value", "x", "y", "within"):
        cell = row.get(name, "")
        if cell and _differs(cell, unit):
            raise ValueError(f'{name} "{cell}" carries another unit than its unit column ({written}): mixed units')
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
        raise ValueError(f"{name} is empty")
    return parse_length(cell, unit)


def _whole(row: Mapping[str, str], name: str) -> int | None:
    cell = row.get(name, "")
    if not cell:
        return None
    if not cell.isdecimal() or len(cell) > 4:
        raise ValueError(f'{name} "{cell}" is not a whole number')
    return int(cell)


def _unknown(what: str, written: str, known: tuple[str, ...]) -> str:
    near = difflib.get_close_matches(written, known, n=1)
    advice = f"did you mean {near[0]}?" if near else f"choose from {', '.join(known)}"
    return f'unknown {what} "{written}"; {advice}' if written else f"no {what}; {advice}"
