"""What cannot be right about readings before any fitting: every problem found, one line each."""

import math
from collections.abc import Iterator, Sequence

from flangelayout.errors import InputError, Problem
from flangelayout.survey.readings import CHORD_KINDS, POSITION_KINDS, SINGLE_SIZES, Kind, Reading, label
from flangelayout.units import Unit, size_text

MAX_HOLES = 400
_LONGEST = 100_000.0


def check_input(
    readings: Sequence[Reading],
    hole_count: int | None,
    hole_diameter: float | None = None,
    drilling_tolerance: float | None = None,
) -> None:
    """Nothing, if readings and settings can be worked with.

    Raises:
        InputError: With one problem per thing that cannot be right.
    """
    problems = [
        *_check_settings(hole_count, hole_diameter, drilling_tolerance),
        *(problem for index in range(len(readings)) for problem in _check_reading(readings, index, hole_count)),
        *_check_against_rim(readings),
    ]
    if not readings:
        problems.append(Problem("readings", "there are none; give at least one chord, or the X and Y of the holes"))
    if problems:
        raise InputError(*problems)


def _check_settings(count: int | None, hole: float | None, tolerance: float | None) -> Iterator[Problem]:
    if count is not None and (isinstance(count, bool) or not isinstance(count, int)):
        yield Problem("hole count", f"{count!r} is not a whole number")
    elif count is not None and not 2 <= count <= MAX_HOLES:
        yield Problem("hole count", f"{count} cannot make a bolt circle; count the holes: 2 to {MAX_HOLES}")
    for name, value in (("hole diameter", hole), ("drilling tolerance", tolerance)):
        if value is not None and not 0 < value < _LONGEST:
            yield Problem(name, f"{value:g} mm is not a length greater than 0")


def _check_reading(readings: Sequence[Reading], index: int, count: int | None) -> Iterator[Problem]:
    reading, where = readings[index], label(readings, index)
    if not math.isfinite(reading.value) or abs(reading.value) > _LONGEST:
        yield Problem(where, f"{reading.value} is not a length that can be measured")
    elif reading.value <= 0 and reading.kind not in POSITION_KINDS:
        yield Problem(where, f"{reading.value_text()} is not greater than 0; a {reading.kind.value} reading must be")
    if reading.within is not None and not 0 < reading.within < _LONGEST:
        yield Problem(where, f"within {reading.within:g} is not a length greater than 0")
    if reading.kind in CHORD_KINDS:
        yield from _check_span(reading, where, count)
    elif reading.kind in POSITION_KINDS and reading.from_hole is None:
        yield Problem(where, f"{reading.kind.value} needs the number of its hole in from")
    elif reading.kind in SINGLE_SIZES and (reading.to_hole is not None or reading.pitches is not None):
        yield Problem(where, f"{reading.kind.value} is one size and spans no holes; leave out to and pitches")
    for hole in (reading.from_hole, reading.to_hole):
        if hole is not None and (hole < 1 or (count is not None and hole > count)):
            highest = f"1 to {count}" if count is not None else "from 1 up"
            yield Problem(where, f"there is no hole {hole}; holes are numbered {highest}")


def _check_span(reading: Reading, where: str, count: int | None) -> Iterator[Problem]:
    pair = (reading.from_hole is not None, reading.to_hole is not None)
    if any(pair) and reading.pitches is not None:
        yield Problem(where, "names a pair of holes and a number of pitches; give one of them")
    elif any(pair) and not all(pair):
        yield Problem(where, "names one hole of a pair; give both from and to")
    elif all(pair) and reading.from_hole == reading.to_hole:
        yield Problem(where, f"runs from hole {reading.from_hole} to itself; name two different holes")
    elif reading.pitches is not None and reading.pitches < 1:
        yield Problem(where, f"{reading.pitches} pitches is no span; neighbors are 1 pitch apart")
    elif reading.pitches is not None and count is not None and reading.pitches >= count > 1:
        yield Problem(where, f"{reading.pitches} pitches goes past all {count} holes; opposite holes are {count // 2}")


def _check_against_rim(readings: Sequence[Reading]) -> Iterator[Problem]:
    rims = [reading for reading in readings if reading.kind is Kind.OUTSIDE_DIAMETER and reading.value > 0]
    if not rims:
        return
    rim = max(rims, key=lambda reading: reading.value)
    for index, reading in enumerate(readings):
        if reading.kind in CHORD_KINDS | {Kind.BORE, Kind.HOLE_DIAMETER} and reading.value >= rim.value:
            yield Problem(
                label(readings, index),
                f"{reading.value_text()} is longer than the circle allows: the outside diameter reads "
                f"{size_text(rim.value, reading.unit)} {reading.unit.value}; measure both again",
            )


def length_problem(where: str, value: float, unit: Unit = Unit.MM) -> Problem | None:
    """The problem with a length that must be greater than 0, or None."""
    if math.isfinite(value) and 0 < value < _LONGEST:
        return None
    return Problem(where, f"{value if not math.isfinite(value) else size_text(value, unit)} is not greater than 0")
