"""How often a drilling is met, before anything is measured, and what a made one may be off.

Every figure is judgement and stands in a table of this room, so that it can be read and changed. A row's
share is its family's, parted among the family's rows by class times size. A class or size that no table
names is rare, never impossible.
"""

import csv
import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np

from flangelayout.provenance import Family
from flangelayout.standards import Pattern
from flangelayout.survey.fitting.model import Array

COUNTS = range(2, 65)
"""Hole counts that are looked for."""

_RARE_CLASS = 0.001
_RARE_PIPE_SIZE = 0.001
_RARE_SIZE = 0.01
_FOLDER = Path(__file__).parent / "tables"


class RowNames(NamedTuple):
    """What some rows of one standard are called, without the rest of them."""

    family: Family
    standard: str
    grades: Sequence[str]
    sizes: Sequence[str]


class _Family(NamedTuple):
    weight: float
    tolerance: float
    neighbors: float
    most_per_row: float

    def weight_of(self, rows: float) -> float:
        """Its weight where it has so many rows."""
        return min(self.weight, self.most_per_row * rows)


def family_totals(names: Iterable[RowNames]) -> dict[Family, float]:
    """What the rows of each family weigh together: the whole that each row has its share of."""
    totals: dict[Family, float] = {}
    for family, standard, grades, sizes in names:
        weights = map(_weigher(family, standard), grades, sizes)
        totals[family] = totals.get(family, 0.0) + math.fsum(weights)
    return totals


def names_of(rows: Iterable[Pattern]) -> Iterator[RowNames]:
    """The names of rows, one by one."""
    return (RowNames(row.family, row.standard, (row.grade,), (row.size,)) for row in rows)


def family_shares(totals: Mapping[Family, float]) -> dict[Family, float]:
    """Share of each family that has rows among parts whose drilling is in one of them; they add up to 1."""
    weights = {family: _families()[family].weight_of(total) for family, total in totals.items()}
    whole = math.fsum(weights.values())
    return {family: weight / whole for family, weight in weights.items()}


def row_shares(patterns: Sequence[Pattern], totals: Mapping[Family, float]) -> Array:
    """Share of each row among parts whose drilling is in one of the rows that ``totals`` counts."""
    shares = family_shares(totals)
    return np.array(
        [
            shares[row.family] * _weigher(row.family, row.standard)(row.grade, row.size) / totals[row.family]
            for row in patterns
        ],
        dtype=float,
    )


@cache
def _weigher(family: Family, standard: str) -> Callable[[str, str], float]:
    """What says by class and size how common a row of a standard is within its family."""
    sizes = _sizes().get(family.value, {})
    if family is not Family.PIPE_FLANGE:
        rare = _RARE_SIZE if sizes else 1.0
        return lambda _, size: sizes.get(size, rare)
    grades = _grades().get(standard, {})
    return lambda grade, size: sizes.get(size, _RARE_PIPE_SIZE) * grades.get(grade, _RARE_CLASS)


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
def _grades() -> dict[str, dict[str, float]]:
    """The weight of each class, by standard."""
    return _parted("classes")


@cache
def _sizes() -> dict[str, dict[str, float]]:
    """The weight of each size, by what the family is called."""
    return _parted("sizes")


def _parted(name: str) -> dict[str, dict[str, float]]:
    """The last column of a table by its first two."""
    parted: dict[str, dict[str, float]] = {}
    for whole, part, weight in _rows(name):
        parted.setdefault(whole, {})[part] = float(weight)
    return parted


@cache
def _home_made() -> dict[int, float]:
    return {int(row[0]): float(row[1]) for row in _rows("home_made")}


def _rows(name: str) -> Iterator[list[str]]:
    """The rows of a table of this room, below its remarks and its head."""
    with (_FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as text:
        yield from list(csv.reader(line for line in text if not line.startswith("#")))[1:]
