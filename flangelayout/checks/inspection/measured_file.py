"""What was measured on a part, from a file: places of holes, or caliper readings."""

import csv
import difflib
from collections.abc import Mapping, Sequence

from msgspec import Struct

from flangelayout.checks.inspection.results import MeasuredHole
from flangelayout.checks.inspection.stated import MOST_PAIRED
from flangelayout.errors import FlangeLayoutError, InputError, Problem
from flangelayout.flange import Flange
from flangelayout.geometry.shapes import Point
from flangelayout.problems.checks import CheckProblem
from flangelayout.problems.cures import Cure
from flangelayout.survey import Kind, Reading, parse_readings
from flangelayout.survey.kinds import CHORD_KINDS, KINDS, POSITION_KINDS, RADIAL_KINDS
from flangelayout.survey.validate import check_input
from flangelayout.units import Unit, parse_length

BORE = "bore"
_COLUMNS = ("hole", "x", "y", "diameter", "unit")
_MOST_ROWS = 20_000
MAX_BYTES = 4_000_000


class Positions(Struct, frozen=True):
    """What was measured on a part.

    Attributes:
        holes: In the order written.
        bore: Of a row ``bore``, where there is one.
    """

    holes: tuple[MeasuredHole, ...]
    bore: MeasuredHole | None = None


def parse_measured(
    text: str, flange: Flange, unit: Unit = Unit.MM, source: str = ""
) -> Positions | tuple[Reading, ...]:
    """What was measured on a part: the places of its holes, or caliper readings.

    Two headers are understood. ``x,y`` with, optionally, ``hole`` (a label of the drawing, or ``bore``),
    ``diameter`` and ``unit``; or ``kind,value,from,to`` as a readings file has them, with the labels of the
    drawing. Commas, semicolons or tabs separate; a line that starts with ``#`` is skipped.

    Args:
        text: The whole file.
        flange: The drawing.
        unit: Unit of a row that names none.
        source: Name of the file, for messages.

    Raises:
        InputError: With one problem per row that cannot be read or held against the drawing.
    """
    lines = _numbered_lines(text)
    if not lines:
        raise InputError(Problem("", CheckProblem.EMPTY_FILE), source=source)
    separator = max(",;\t", key=lines[0][1].count)
    header = [name.strip().lower() for name in next(csv.reader([lines[0][1]], delimiter=separator))]
    if "kind" in header:
        readings = parse_readings(text, unit, source, hole_numbers(flange))
        try:
            check_readings(readings, flange)
        except InputError as wrong:
            raise InputError(*wrong.problems, source=source) from None
        return readings
    return _places(lines, header, separator, unit, source)


def _places(lines: Sequence[tuple[int, str]], header: list[str], separator: str, unit: Unit, source: str) -> Positions:
    """The places of holes that the rows of a file give."""
    if len(lines) - 1 > _MOST_ROWS:
        raise InputError(Problem("", CheckProblem.TOO_MANY_ROWS, count=len(lines) - 1, most=_MOST_ROWS), source=source)
    _check_header(header, lines[0][0], source)
    problems: list[Problem] = []
    holes: list[MeasuredHole] = []
    bores: list[MeasuredHole] = []
    for number, line in lines[1:]:
        cells = [cell.strip() for cell in next(csv.reader([line], delimiter=separator, skipinitialspace=True))]
        try:
            if len(cells) > len(header):
                raise InputError.of(CheckProblem.MORE_CELLS_THAN_COLUMNS, cell=cells[-1])
            row = _row(dict(zip(header, cells, strict=False)), unit)
            (bores if row.label.casefold() == BORE else holes).append(row)
        except FlangeLayoutError as wrong:
            problems += [problem.placed(problem.where, number) for problem in wrong.problems]
    if len(bores) > 1:
        problems.append(Problem("hole", CheckProblem.BORE_TWICE))
    if problems:
        raise InputError(*problems, source=source)
    return Positions(tuple(holes), bores[0] if bores else None)


def _numbered_lines(text: str) -> list[tuple[int, str]]:
    lines = enumerate(text.removeprefix("\ufeff").splitlines(), 1)
    return [(number, line) for number, line in lines if line.strip() and not line.lstrip().startswith("#")]


def _check_header(header: list[str], number: int, source: str) -> None:
    problems = []
    for name in header:
        if name not in _COLUMNS:
            near = difflib.get_close_matches(name, _COLUMNS, n=1)
            cure = Cure.DID_YOU_MEAN if near else Cure.USE_ONE_OF
            unknown = CheckProblem.UNKNOWN_COLUMN
            problems.append(Problem(name, unknown, number, "", cure, near="".join(near), names=tuple(_COLUMNS)))
        elif header.count(name) > 1:
            problems.append(Problem(name, CheckProblem.COLUMN_TWICE, number))
    problems += [Problem(name, CheckProblem.COLUMN_MISSING, number) for name in "xy" if name not in header]
    if problems:
        raise InputError(*dict.fromkeys(problems), source=source)


def _row(row: Mapping[str, str], default: Unit) -> MeasuredHole:
    written = row.get("unit", "").lower()
    if written not in ("", "mm", "in"):
        raise InputError.of(CheckProblem.UNIT_UNKNOWN, written=written)
    unit = Unit(written) if written else default
    lengths = {name: parse_length(row[name], unit) for name in ("x", "y", "diameter") if row.get(name)}
    missing = [name for name in ("x", "y") if name not in lengths]
    if missing:
        raise InputError.of(CheckProblem.EMPTY_CELL, column=missing[0])
    diameter = lengths.get("diameter")
    if diameter is not None and diameter <= 0:
        raise InputError.of(CheckProblem.DIAMETER_NOT_ABOVE_ZERO, written=row["diameter"])
    return MeasuredHole(Point(lengths["x"], lengths["y"]), row.get("hole", ""), diameter)


def hole_numbers(flange: Flange) -> dict[str, int]:
    """What the holes of a drawing are called by, each with its number counted through all of them.

    A hole goes by its label; those of the first group go by their number alone, too.
    """
    holes = flange.holes()
    plain = {str(hole.number): place for place, hole in enumerate(holes, 1) if hole.group == holes[0].group}
    return plain | {hole.label.casefold(): place for place, hole in enumerate(holes, 1)}


def check_readings(readings: Sequence[Reading], flange: Flange) -> None:
    """Nothing, if caliper readings can be held against a drawing.

    Raises:
        InputError: With one problem per reading that cannot be.
    """
    check_input(readings, None)
    problems = [problem for each in readings if (problem := _problem_of(each, flange)) is not None]
    if problems:
        raise InputError(*problems)


def _has_many(flange: Flange) -> bool:
    """Whether the first group has more holes than one reading may stand for."""
    holes = flange.holes()
    return sum(hole.group == holes[0].group for hole in holes) > MOST_PAIRED


def _problem_of(reading: Reading, flange: Flange) -> Problem | None:
    kind, ends = reading.kind, (reading.from_hole, reading.to_hole)
    wrong = None
    if kind in POSITION_KINDS:
        wrong = CheckProblem.PLACE_AMONG_READINGS
    elif kind in CHORD_KINDS and None in ends:
        wrong = CheckProblem.NO_PAIR_OF_HOLES
    elif reading.from_hole is None and (kind in RADIAL_KINDS or (kind is Kind.HOLE_DIAMETER and _has_many(flange))):
        wrong = CheckProblem.NAMES_NO_HOLE
    elif KINDS[kind].shares.bore and flange.bore is None:
        wrong = CheckProblem.NO_BORE_DRAWN
    elif KINDS[kind].shares.rim and flange.round_diameter is None:
        wrong = CheckProblem.NOT_ROUND
    return None if wrong is None else Problem(reading.where, wrong, reading=KINDS[kind].words)
