"""Which spacings of the holes the readings allow: equal, that of a published row, or one of their own."""

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
from msgspec import Struct

from flangelayout.survey.fitting.fit import Fit, fit_individual, fit_known
from flangelayout.survey.fitting.goodness import UNKNOWN_CHARGE, chi_square_tail
from flangelayout.survey.fitting.model import DIAMETER, Array
from flangelayout.survey.kinds import CHORD_KINDS, KINDS, POSITION_KINDS
from flangelayout.survey.readings import Allowances, Reading
from flangelayout.survey.table import Table
from flangelayout.value import replace

DEMAND = 0.001
"""Chance below which an assumption is given up for one with more unknowns."""

_EXCLUDED = 2 * math.log(1000)
_REACH = 4.0


class RowSpacing(NamedTuple):
    """Readings fitted with the hole angles of one published row.

    Attributes:
        row: Index in the table.
        fit: The best circle with those angles.
    """

    row: int
    fit: Fit


class Spacings(Struct, frozen=True):
    """What the readings say about the angles between the holes.

    Attributes:
        equal: The best circle of equally spaced holes.
        own: The best circle with an angle for every hole, where the readings fix one; else None.
        rows: Published unequal spacings that the readings agree with.
        equal_score: Chi-square of equal spacing, or of the best single slip that would explain it away.
        own_score: Chi-square of angles of their own, with a charge for each.
        proven: Whether readings to spare prove the equal spacing wrong and the angles right.
    """

    equal: Fit
    own: Fit | None
    rows: tuple[RowSpacing, ...]
    equal_score: float
    own_score: float
    proven: bool

    @property
    def best(self) -> Fit:
        """The circle to report: equal unless that is excluded and another spacing agrees."""
        row = min(self.rows, key=lambda each: each.fit.chi_square, default=None)
        if row is not None and self.excludes_equal:
            return row.fit
        return self.own if self.proven and self.own is not None else self.equal

    @property
    def excludes_equal(self) -> bool:
        """Whether equally spaced rows drop out."""
        others = [each.fit.chi_square for each in self.rows] + ([self.own_score] if self.proven else [])
        return bool(others) and self.equal_score - min(others) > _EXCLUDED


def possible_spacings(
    readings: Sequence[Reading],
    equal: Fit,
    slips: Sequence[float],
    table: Table,
    set_aside: frozenset[int],
    allow: Allowances,
) -> Spacings:
    """The spacings that the readings allow; nothing but equal while they agree with it.

    Args:
        readings: The readings.
        equal: The best circle of equally spaced holes.
        slips: Scores of the slips that would explain away what speaks against it.
        table: Rows whose spacing is tried.
        set_aside: Indices of readings that take no part.
        allow: What readings may be off beside what each is good to.
    """
    equal_score = min([equal.chi_square, *slips])
    if equal.agrees:
        return Spacings(equal, None, (), equal_score, math.inf, proven=False)
    own = None
    if _names_every_hole(readings, equal.hole_count, set_aside):
        own = fit_individual(readings, equal, set_aside, allow)
    own_score = math.inf
    if own is not None:
        own_score = own.chi_square + UNKNOWN_CHARGE * (equal.degrees_of_freedom - own.degrees_of_freedom)
    rows = tuple(_rows(readings, equal, table, set_aside, allow))
    return Spacings(equal, own, rows, equal_score, own_score, own is not None and _proven(equal, own, slips, own_score))


def _proven(equal: Fit, own: Fit, slips: Sequence[float], own_score: float) -> bool:
    """Whether readings to spare bear the angles out, equal spacing is all but impossible and no slip explains it."""
    if own.degrees_of_freedom < 1 or not own.agrees:
        return False
    unknowns = equal.degrees_of_freedom - own.degrees_of_freedom
    if chi_square_tail(equal.chi_square - own.chi_square, unknowns) >= DEMAND:
        return False
    return min(slips, default=math.inf) >= own_score


def _names_every_hole(readings: Sequence[Reading], hole_count: int, aside: frozenset[int]) -> bool:
    live = [reading for index, reading in enumerate(readings) if index not in aside]
    spread = [reading for reading in live if reading.kind in CHORD_KINDS | POSITION_KINDS]
    named = {hole for reading in spread for hole in (reading.from_hole, reading.to_hole) if hole is not None}
    return len(named) == hole_count and all(reading.from_hole is not None for reading in spread)


def _rows(
    readings: Sequence[Reading], equal: Fit, table: Table, set_aside: frozenset[int], allow: Allowances
) -> Iterator[RowSpacing]:
    """Published unequal spacings with this hole count whose angles and circle the readings agree with."""
    for row in np.flatnonzero(table.hole_counts == equal.hole_count).tolist():
        offsets = table.offsets[row]
        if offsets is None:
            continue
        fits = [
            fit_known(_placed(readings, table.patterns[row].bolt_circle, each), each, set_aside, allow)
            for each in (offsets, -offsets)
        ]
        best = min(fits, key=lambda fit: fit.chi_square)
        off_by = best.bolt_circle.value - table.patterns[row].bolt_circle
        seen = best.read_covariance + best.part_covariance
        reach = math.hypot(math.sqrt(seen[DIAMETER, DIAMETER]), table.circle_tolerances[row] / 2)
        if best.determined and best.degrees_of_freedom > 0 and best.agrees and abs(off_by) < _REACH * reach:
            yield RowSpacing(row, best)


def _placed(readings: Sequence[Reading], diameter: float, offsets: Array) -> list[Reading]:
    """Readings between neighbors that name no holes, put on the side of the rectangle they come nearest to."""
    sides = [
        diameter * math.sin(math.pi / 4 + (offsets[second] - offsets[first]) / 2) for first, second in ((0, 1), (1, 2))
    ]
    placed = []
    for reading in readings:
        plain = reading.kind in CHORD_KINDS and not any(
            (KINDS[reading.kind].shares.hole, KINDS[reading.kind].shares.stud)
        )
        if plain and reading.from_hole is None and reading.span(len(offsets)) == 1:
            first = 1 if abs(reading.value - sides[0]) <= abs(reading.value - sides[1]) else 2
            placed.append(replace(reading, from_hole=first, to_hole=first + 1, pitches=None))
        else:
            placed.append(reading)
    return placed
