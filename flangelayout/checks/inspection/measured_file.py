"""Measured holes from a file: places, or chords that fix them."""

import csv
import difflib
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from flangelayout.checks.inspection.results import MeasuredHole
from flangelayout.errors import FlangeLayoutError, InputError, Problem
from flangelayout.flange import Flange, Hole
from flangelayout.geometry.shapes import Point
from flangelayout.problems.checks import CheckProblem
from flangelayout.problems.cures import Cure
from flangelayout.survey import Kind, Reading, parse_readings
from flangelayout.survey.kinds import CHORD_KINDS
from flangelayout.units import Unit, parse_length

BORE = "bore"
_COLUMNS = ("hole", "x", "y", "diameter", "unit")
_MOST_ROWS = 20_000
MAX_BYTES = 4_000_000
_STEPS = 60
_SETTLED = 1e-10
_REACH = {Kind.NEAR_EDGES: 1, Kind.FAR_EDGES: -1}
"""How many hole diameters are added to a reading to make it a distance of centers."""


@dataclass(frozen=True, slots=True)
class Positions:
    """What was measured on a part.

    Attributes:
        holes: In the order written.
        bore: Middle of the bore, where a row ``bore`` gives it.
        bore_diameter: Its diameter, where that row gives one.
        misfit: Root mean square in mm of what the chords contradict each other by; ``None`` for places.
    """

    holes: tuple[MeasuredHole, ...]
    bore: Point | None = None
    bore_diameter: float | None = None
    misfit: float | None = None


def parse_positions(text: str, flange: Flange, unit: Unit = Unit.MM, source: str = "") -> Positions:
    """The measured holes of a file.

    Two headers are understood. ``x,y`` with, optionally, ``hole`` (a label of the drawing, or ``bore``),
    ``diameter`` and ``unit``; or ``kind,value,from,to`` as a readings file has them, for chords between
    holes of the drawing's first bolt circle. Commas, semicolons or tabs separate; a line that starts with
    ``#`` is skipped.

    Args:
        text: The whole file.
        flange: The drawing; chords are set out from its holes.
        unit: Unit of a row that names none.
        source: Name of the file, for messages.

    Raises:
        InputError: With one problem per row that cannot be read, or if the chords do not fix the holes.
    """
    lines = _numbered_lines(text)
    if not lines:
        raise InputError(Problem("", CheckProblem.EMPTY_FILE), source=source)
    separator = max(",;\t", key=lines[0][1].count)
    header = [name.strip().lower() for name in next(csv.reader([lines[0][1]], delimiter=separator))]
    if "kind" in header:
        return _from_chords(parse_readings(text, unit, source), flange, source)
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
    bore = bores[0] if bores else None
    return Positions(tuple(holes), bore.center if bore else None, bore.diameter if bore else None)


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


def _from_chords(readings: Sequence[Reading], flange: Flange, source: str) -> Positions:
    """The places that chords between named holes fix, by least squares from where the holes are drawn.

    A plane figure of n points has 2 n - 3 distances that may be chosen freely; fewer chords, or the right
    number in the wrong places, leave it loose.
    """
    import numpy as np

    holes = {hole.number: hole for hole in flange.holes() if hole.group == 0}
    used, lengths = _ends_and_lengths(readings, holes, source)
    numbers = sorted({number for pair in used for number in pair})
    index = {number: place for place, number in enumerate(numbers)}
    first = np.array([index[a] for a, _ in used], dtype=int)
    second = np.array([index[b] for _, b in used], dtype=int)
    points = np.array([(holes[number].center.x, holes[number].center.y) for number in numbers])
    wanted = np.array(lengths)
    for _ in range(_STEPS):
        steps = points[second] - points[first]
        distance = np.hypot(*steps.T)
        slopes = np.zeros((len(used), 2 * len(numbers)))
        rows = np.arange(len(used))
        for axis in (0, 1):
            slopes[rows, 2 * second + axis] += steps[:, axis] / distance
            slopes[rows, 2 * first + axis] -= steps[:, axis] / distance
        if np.linalg.matrix_rank(slopes, tol=1e-6) < 2 * len(numbers) - 3:
            need = 2 * len(numbers) - 3
            loose = CheckProblem.CHORDS_DO_NOT_FIX
            told = Problem("", loose, chords=len(used), hole_count=len(numbers), need=need)
            raise InputError(told, source=source)
        move = np.linalg.lstsq(slopes, wanted - distance, rcond=1e-9)[0].reshape(-1, 2)
        points = points + move
        if float(np.abs(move).max()) < _SETTLED:
            break
    left = wanted - np.hypot(*(points[second] - points[first]).T)
    sizes = [reading.value for reading in readings if reading.kind is Kind.HOLE_DIAMETER]
    size = sum(sizes) / len(sizes) if sizes else None
    measured = tuple(
        replace(MeasuredHole(Point(x, y), holes[number].label), diameter=size)
        for number, (x, y) in zip(numbers, points.tolist(), strict=True)
    )
    return Positions(measured, misfit=math.sqrt(float((left**2).mean())))


def _ends_and_lengths(
    readings: Sequence[Reading], holes: Mapping[int, Hole], source: str
) -> tuple[list[tuple[int, int]], list[float]]:
    """The pairs of holes that were measured, and the distances of their centers."""
    sizes = [reading.value for reading in readings if reading.kind is Kind.HOLE_DIAMETER]
    usual = next(iter(holes.values())).diameter if holes else 0.0
    width = sum(sizes) / len(sizes) if sizes else usual
    pairs, lengths, problems = [], [], []
    for reading in readings:
        if reading.kind not in CHORD_KINDS:
            continue
        ends = (reading.from_hole, reading.to_hole)
        if reading.kind in (Kind.OVER_STUDS, Kind.BETWEEN_STUDS) or None in ends:
            problems.append(Problem(reading.where, CheckProblem.NO_PAIR_OF_HOLES))
        elif ends[0] not in holes or ends[1] not in holes or ends[0] == ends[1]:
            strange, (first, second) = CheckProblem.NO_HOLES_OF_CIRCLE, ends
            problems.append(Problem(reading.where, strange, first=first or 0, second=second or 0))
        else:
            pairs.append((int(ends[0] or 0), int(ends[1] or 0)))
            lengths.append(reading.value + _REACH.get(reading.kind, 0) * width)
    if not pairs:
        problems.append(Problem("", CheckProblem.NO_CHORD))
    if problems:
        raise InputError(*problems, source=source)
    return pairs, lengths
