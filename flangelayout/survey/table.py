"""The published rows as arrays, so that all of them are judged in one go."""

import math
from collections.abc import Mapping, Sequence
from functools import cache

import numpy as np
from msgspec import Struct

from flangelayout.errors import InputError
from flangelayout.problems.survey import SurveyProblem
from flangelayout.provenance import Family
from flangelayout.standards import Pattern
from flangelayout.standards.table_file import patterns_of_count, shipped_files
from flangelayout.survey.fitting.model import Array, Indices, Mask
from flangelayout.survey.prior import (
    RowNames,
    family_neighbors,
    family_shares,
    family_tolerance,
    family_totals,
    names_of,
    row_shares,
)

_SAME_CIRCLE = 0.06
_MOST_OF_A_COUNT = 100_000


class Table(Struct, frozen=True):
    """All rows, as columns in mm; NaN where a row publishes nothing.

    Attributes:
        patterns: The rows.
        sizes: (rows, 4) bolt circle, hole diameter, bore, outside diameter.
        hole_counts: Holes of each row.
        equally_spaced: Whether the holes of each row are equally spaced.
        circle_tolerances: Plus or minus mm on the circle each row is judged by: its own, else its family's.
        chord_tolerances: Plus or minus mm between neighboring centers: the same.
        shares: How common each row is, before anything is measured; they add up to 1 over all rows there are.
        family_shares: The same of each family that has rows, here or with another hole count.
        offsets: Radians by which the holes of a row leave the equal spacing; None where they do not.
        drillings: Number of the drilling a row has; rows with one circle and hole count share it.
    """

    patterns: tuple[Pattern, ...]
    sizes: Array
    hole_counts: Indices
    equally_spaced: Mask
    circle_tolerances: Array
    chord_tolerances: Array
    shares: Array
    family_shares: dict[Family, float]
    offsets: tuple[Array | None, ...]
    drillings: Indices

    def shares_of(self, family: Family | None) -> Array:
        """How common each row is where only one family is thought of; None thinks of all.

        Raises:
            InputError: If no row is of that family.
        """
        if family is None or not self.family_shares:
            return self.shares
        if family not in self.family_shares:
            known = tuple(sorted(each.value for each in self.family_shares))
            raise InputError.of(SurveyProblem.NOTHING_OF_FAMILY, "family", asked=family, known=known)
        shares = np.where([row.family is family for row in self.patterns], self.shares, 0.0)
        return np.asarray(shares / self.family_shares[family])


@cache
def table_of_count(hole_count: int, own: tuple[Pattern, ...] = ()) -> Table:
    """The rows of this package and a shop's own that have so many holes, judged as they would be among all rows."""
    rows = (*patterns_of_count(hole_count), *(row for row in own if row.hole_count == hole_count))
    return build_table(rows, _totals(own))


@cache
def _totals(own: tuple[Pattern, ...]) -> dict[Family, float]:
    shipped = (
        RowNames(file.family, file.standard, file.file.column("grade"), file.file.column("size"))
        for file in shipped_files()
    )
    return family_totals((*shipped, *names_of(own)))


def build_table(patterns: Sequence[Pattern], totals: Mapping[Family, float] | None = None) -> Table:
    """Columns of the rows given; ``totals`` are of all the rows there are, unless these are all."""
    sizes = [[row.bolt_circle, row.hole_diameter, row.bore, row.outside_diameter] for row in patterns]
    totals = family_totals(names_of(patterns)) if totals is None else totals
    return Table(
        patterns=tuple(patterns),
        sizes=np.array(sizes, dtype=float).reshape(-1, 4),
        hole_counts=np.array([row.hole_count for row in patterns], dtype=np.int64),
        equally_spaced=np.array([row.equally_spaced for row in patterns], dtype=bool),
        circle_tolerances=np.array([circle_tolerance(row) for row in patterns]),
        chord_tolerances=np.array([chord_tolerance(row) for row in patterns]),
        shares=row_shares(patterns, totals),
        family_shares=family_shares(totals),
        offsets=tuple(map(_offsets, patterns)),
        drillings=_drillings(patterns),
    )


def circle_tolerance(row: Pattern) -> float:
    """Plus or minus mm (95 %) the circle of a made part may be off: what the row says, else its family's."""
    return row.circle_tolerance or family_tolerance(row.family)


def chord_tolerance(row: Pattern) -> float:
    """The same between neighboring centers."""
    return row.chord_tolerance or family_neighbors(row.family)


def _offsets(row: Pattern) -> Array | None:
    """The angles of a rectangle's corners beside the equal ones: holes 1 to 2 across its long side."""
    if row.rectangle is None:
        return None
    turned = 2 * math.atan2(row.rectangle.long, row.rectangle.short) - math.pi / 2
    return np.array([0.0, turned, 0.0, turned])


def _drillings(patterns: Sequence[Pattern]) -> Indices:
    """A number for each circle and count, the same whatever other counts stand beside it.

    Circles that differ by less than rounding are one.
    """
    order = sorted(
        range(len(patterns)),
        key=lambda at: (patterns[at].hole_count, not patterns[at].equally_spaced, patterns[at].bolt_circle),
    )
    numbers = np.zeros(len(patterns), dtype=np.int64)
    number, last = 0, None
    for at in order:
        row = patterns[at]
        if last is None or row.hole_count != last.hole_count:
            number = _MOST_OF_A_COUNT * row.hole_count
        elif row.equally_spaced != last.equally_spaced or row.bolt_circle - last.bolt_circle > _SAME_CIRCLE:
            number += 1
        numbers[at], last = number, row
    return numbers
