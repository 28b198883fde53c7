"""How often a drilling is met, before anything is measured, and what a made one may be off.

Every figure is judgement and stands in a table of this room, so that it can be read and changed. A row's
share is its family's, parted among the family's rows by class times size. A class or size that no table
names is rare, never impossible.
"""

import csv
import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from flangelayout.provenance import Family
from flangelayout.standards import Pattern
from flangelayout.standards.tables import RowName
from flangelayout.survey.fitting.model import Array

COUNTS = range(2, 65)
"""Hole counts that are looked for."""

_RARE_CLASS = 0.001
_RARE_PIPE_SIZE = 0.001
_RARE_SIZE = 0.01
_FOLDER = Path(__file__).parent / "tables"


@dataclass(frozen=True, slots=True)
class _Family:
    weight: float
    tolerance: float
    neighbors: float
    most_per_row: float

    def weight_of(self, rows: float) -> float:
        """Its weight where it has so many rows."""
        return min(self.weight, self.most_per_row * rows)


def family_totals(rows: Iterable[Pattern | RowName]) -> dict[Family, float]:
    """What the rows of each family weigh together: the whole that each row has its share of."""
    totals: dict[Family, float] = {}
    weight = _weigher()
    for row in rows:
        totals[row.family] = totals.get(row.family, 0.0) + weight(row)
    return totals


def family_shares(totals: Mapping[Family, float]) -> dict[Family, float]:
    """Share of each family that has rows among parts whose drilling is in one of them; they add up to 1."""
    weights = {family: _families()[family].weight_of(total) for family, total in totals.items()}
    whole = math.fsum(weights.values())
    return {family: weight / whole for family, weight in weights.items()}


def row_shares(patterns: Sequence[Pattern], totals: Mapping[Family, float]) -> Array:
    """Share of each row among parts whose drilling is in one of the rows that ``totals`` counts."""
    shares, weight = family_shares(totals), _weigher()
    return np.array([shares[row.family] * weight(row) / totals[row.family] for row in patterns], dtype=float)


def _weigher() -> Callable[[Pattern | RowName], float]:
    """What says how common a row is within its family."""
    grades, sizes = _grades(), _sizes()
    sized = {family for family, _ in sizes}

    def weight(row: Pattern | RowName) -> float:
        family = row.family
        if family is Family.PIPE_FLANGE:
            grade = grades.get((row.standard, row.grade), _RARE_CLASS)
            return sizes.get((family, row.size), _RARE_PIPE_SIZE) * grade
        return sizes.get((family, row.size), _RARE_SIZE if family in sized else 1.0)

    return weight


def family_tolerance(family: Family) -> float:
    """Plus or minus mm (95 %) the bolt circle of a made part of a family may be off, where its row says nothing."""
    return _families()[family].tolerance


def family_neighbors(family: Family) -> float:
    """The same between neighboring centers."""
    return _families()[family].neighbors


def count_share(hole_count: int) -> float:
    """Share of home-made drillings that have so many holes."""
    shares = _home_made()
    rest = max(1.0 - sum(shares.values()), 0.0)
    return shares.get(hole_count, 0.0) + rest / len(COUNTS)


@cache
def _families() -> dict[Family, _Family]:
    return {
        Family(name): _Family(float(weight), float(tolerance), float(neighbors), float(most or "inf"))
        for name, weight, tolerance, neighbors, most in _rows("families")
    }


@cache
def _grades() -> dict[tuple[str, str], float]:
    return {(row[0], row[1]): float(row[2]) for row in _rows("classes")}


@cache
def _sizes() -> dict[tuple[Family, str], float]:
    return {(Family(row[0]), row[1]): float(row[2]) for row in _rows("sizes")}


@cache
def _home_made() -> dict[int, float]:
    return {int(row[0]): float(row[1]) for row in _rows("home_made")}


def _rows(name: str) -> Iterator[list[str]]:
    """The rows of a table of this room, below its remarks and its head."""
    with (_FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as text:
        yield from list(csv.reader(line for line in text if not line.startswith("#")))[1:]
