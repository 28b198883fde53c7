"""The published rows as arrays, so that all of them are judged in one go."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from flangelayout.standards import Pattern, all_patterns
from flangelayout.survey.model import Array

DEFAULT_CIRCLE_TOLERANCE = 1.5
"""Plus or minus mm a made bolt circle may be off: the widest published limit of the pipe tables (ASME B16.5).

It holds for every row that publishes less or nothing. Where other standards allow less, the maker of the
part on the bench need not have kept to it, and the row is what is being asked for (common practice).
"""

DEFAULT_CHORD_TOLERANCE = 0.8
"""The same for neighboring hole centers (ASME B16.5)."""

_SAME_CIRCLE = 0.06


@dataclass(frozen=True, slots=True)
class Table:
    """All rows, as columns in mm; NaN where a row publishes nothing.

    Attributes:
        patterns: The rows.
        sizes: (rows, 4) bolt circle, hole diameter, bore, outside diameter.
        hole_counts: Holes of each row.
        equally_spaced: Whether the holes of each row are equally spaced.
        circle_tolerances: Plus or minus mm on the circle each row is judged by.
        chord_tolerances: Plus or minus mm between neighboring centers.
        drillings: Number of the drilling a row has; rows with one circle and hole count share it.
    """

    patterns: tuple[Pattern, ...]
    sizes: Array
    hole_counts: NDArray[np.int64]
    equally_spaced: NDArray[np.bool_]
    circle_tolerances: Array
    chord_tolerances: Array
    drillings: NDArray[np.int64]


@cache
def published_table() -> Table:
    """Every row of every table of this package."""
    return build_table(all_patterns())


def build_table(patterns: Sequence[Pattern]) -> Table:
    """Columns of the rows given."""
    sizes = [[row.bolt_circle, row.hole_diameter, row.bore, row.outside_diameter] for row in patterns]
    circles = [max(row.circle_tolerance or 0.0, DEFAULT_CIRCLE_TOLERANCE) for row in patterns]
    chords = [max(row.chord_tolerance or 0.0, DEFAULT_CHORD_TOLERANCE) for row in patterns]
    return Table(
        patterns=tuple(patterns),
        sizes=np.array(sizes, dtype=float).reshape(-1, 4),
        hole_counts=np.array([row.hole_count for row in patterns], dtype=np.int64),
        equally_spaced=np.array([row.equally_spaced for row in patterns], dtype=bool),
        circle_tolerances=np.array(circles),
        chord_tolerances=np.array(chords),
        drillings=_drillings(patterns),
    )


def _drillings(patterns: Sequence[Pattern]) -> NDArray[np.int64]:
    """A number for each circle and count; circles that differ by less than rounding are one."""
    order = sorted(
        range(len(patterns)),
        key=lambda at: (patterns[at].hole_count, not patterns[at].equally_spaced, patterns[at].bolt_circle),
    )
    numbers = np.zeros(len(patterns), dtype=np.int64)
    number, last = 0, None
    for at in order:
        row = patterns[at]
        if last is not None and (
            row.hole_count != last.hole_count
            or row.equally_spaced != last.equally_spaced
            or row.bolt_circle - last.bolt_circle > _SAME_CIRCLE
        ):
            number += 1
        numbers[at], last = number, row
    return numbers
