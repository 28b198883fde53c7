"""Which published drillings the part may be, with honest probabilities.

Bayes' rule over all rows of all tables and one more possibility, that the drilling is in none of them.
Beforehand a row is as likely as it is common (``prior``). What a row predicts is a normal distribution
around its published sizes, as wide as the uncertainty of the readings and the spread of made parts together:

- bolt circle: the row's drilling tolerance or its family's, plus or minus T taken as 95 % of parts, so
  T / 2; and the scatter of holes that the fit allows for, less where the row's tolerance between neighbors
  is finer, and more along the circle where it is coarser;
- hole diameter: plus or minus 1.5 mm, since holes are drilled with what is at hand, so it is weak evidence;
- outside diameter: plus or minus 1 %, at least 1.5 mm; bore: plus or minus 1 %, at least 1 mm.

The last two lines are common practice, no source. A size that was read and that a row does not publish,
or that belongs to no table, has a broad density: even in the logarithm over the factors given below.
Where the readings speak against equal spacing, each spacing is weighed by how well it fits them.
"""

import math
from collections.abc import Sequence
from enum import Enum
from typing import NamedTuple

import numpy as np
from msgspec import Struct

from flangelayout.standards import Pattern
from flangelayout.survey.fitting.fit import Fit, Spacing
from flangelayout.survey.fitting.model import BORE, DIAMETER, HOLE, RIM, Array, Mask, Places
from flangelayout.survey.kinds import CHORD_KINDS, SINGLE_SIZES, Kind
from flangelayout.survey.prior import count_share
from flangelayout.survey.readings import Allowances, Assumptions, Reading
from flangelayout.survey.spacing import Spacings
from flangelayout.survey.table import Table

SURE = 0.97
"""Probability from which one drilling is called the one: how common each kind of part is enters it, a judgement."""

SURE_OF_KIND = 0.96
"""The same where the kind of part is named, so that no such judgement enters."""

COVERED = 0.99
"""Probability that the drillings called "several" hold together."""

_UNEQUAL_HOME_MADE = 0.1
_EVIDENCE = (DIAMETER, HOLE, BORE, RIM)
_BROAD_FACTORS = np.array([67.0, 3.0, 4.0, 1.5])
_HOLE_SPREAD = 0.75
_LARGEST_HOLE = 2 / 3
"""Of the neighboring centers: no published hole of any table is larger (the largest takes four sevenths)."""
_UNKNOWN = 1e8


class Verdict(Enum):
    """One drilling, several that cannot be told apart, none of any table, or open: the readings disagree."""

    ONE = "one"
    SEVERAL = "several"
    NONE = "none"
    OPEN = "open"


class Candidate(Struct, frozen=True):
    """One row of one table, judged.

    Attributes:
        pattern: The row.
        probability: From 0 to 1, over all rows and the possibility that it is none of them.
        difference: Measured less published bolt circle, mm.
        spread: Standard uncertainty of that difference, part tolerance included, mm.
        chord: What the row's neighboring centers are apart, mm; None for unequally spaced holes.
        drilling: Number shared by rows with the same circle and hole count.
    """

    pattern: Pattern
    probability: float
    difference: float
    spread: float
    chord: float | None
    drilling: int


class Ranking(Struct, frozen=True):
    """All that is worth reporting about the tables.

    Attributes:
        candidates: Rows from the most to the least probable, those below 0.001 left out past the third.
        leading: Those the verdict speaks of; none if it is none or open.
        outside: Probability that the drilling is in no table; None if the verdict is open.
        verdict: One drilling, several, none, or open.
    """

    candidates: tuple[Candidate, ...]
    leading: tuple[Candidate, ...]
    outside: float | None
    verdict: Verdict


class Beliefs(NamedTuple):
    """What the tables and the fit say, row by row, for the rows with the right hole count.

    Attributes:
        rows: Index of each row in the table.
        probabilities: Of each row.
        circles: Diameter that was fitted with the spacing of each row, mm.
        spreads: Standard uncertainty of that less the row's, mm.
        outside: Probability that it is none.
    """

    rows: Places
    probabilities: Array
    circles: Array
    spreads: Array
    outside: float


def rank(spacings: Spacings, readings: Sequence[Reading], table: Table, assume: Assumptions) -> Ranking:
    """Rows ranked by probability, and the verdict; nothing is said of any row while the readings disagree.

    Args:
        spacings: The determined fits the readings allow.
        readings: The readings they were made from.
        table: Rows to judge.
        assume: What is believed beforehand.
    """
    if not spacings.best.agrees:
        return Ranking((), (), None, Verdict.OPEN)
    beliefs = weigh(spacings, readings, table, assume)
    order = np.argsort(-beliefs.probabilities, kind="stable")
    candidates = tuple(_candidate(table, beliefs, at) for at in order[: _worth_listing(beliefs, order)])
    sure = math.inf if _one_chord_alone(readings) else SURE if assume.family is None else SURE_OF_KIND
    verdict, leading = _verdict(candidates, beliefs, table, sure)
    return Ranking(candidates, leading, beliefs.outside, verdict)


def _one_chord_alone(readings: Sequence[Reading]) -> bool:
    """Whether a single reading bears the circle and nothing else about the part was read."""
    sizes = any(reading.kind in SINGLE_SIZES - {Kind.STUD_DIAMETER} for reading in readings)
    return not sizes and sum(reading.kind not in SINGLE_SIZES for reading in readings) < 2


def weigh(spacings: Spacings, readings: Sequence[Reading], table: Table, assume: Assumptions) -> Beliefs:
    """The probability of every row with the right hole count and a spacing that the readings allow."""
    equal = spacings.equal
    shares = table.shares_of(assume.family)
    fitted = (table.equally_spaced | fits_unequal(equal, readings)) & _leaves_metal(equal, table)
    plain = np.flatnonzero((table.hole_counts == equal.hole_count) & fitted & (shares > 0))
    judged: list[tuple[Fit, Places, float]] = []
    if not spacings.excludes_equal:
        judged.append((equal, plain, spacings.equal_score))
    judged += [
        (each.fit, np.array([each.row], dtype=np.intp), each.fit.chi_square)
        for each in spacings.rows
        if shares[each.row] > 0
    ]
    base = min([spacings.equal_score, spacings.own_score, *(each.fit.chi_square for each in spacings.rows)])
    logs = [_log_rows(fit, readings, table, rows, assume) - (score - base) / 2 for fit, rows, score in judged]
    rows = np.concatenate([np.empty(0, dtype=np.intp), *(rows for _, rows, _ in judged)])
    weights = np.concatenate([np.empty(0), *logs]) + np.log((1 - assume.home_made) * shares[rows])
    outside = _log_outside(spacings, base) + math.log(assume.home_made)
    top = max(float(weights.max(initial=-np.inf)), outside)
    weights, rest = np.exp(weights - top), math.exp(outside - top)
    total = float(weights.sum()) + rest
    circles = [np.full(len(rows), fit.bolt_circle.value) for fit, rows, _ in judged]
    spreads = [_circle_spreads(fit, readings, table, rows, assume) for fit, rows, _ in judged]
    return Beliefs(
        rows,
        weights / total,
        np.concatenate([np.empty(0), *circles]),
        np.concatenate([np.empty(0), *spreads]),
        rest / total,
    )


def _leaves_metal(fit: Fit, table: Table) -> Mask:
    """Rows that publish a hole, or whose neighboring centers are as far apart as a hole like the fitted one needs."""
    circles, holes = table.sizes[:, 0], table.sizes[:, 1]
    least = 0.0 if fit.hole is None else fit.hole.value - fit.hole.expanded_uncertainty
    return np.asarray(np.isfinite(holes) | (least < _LARGEST_HOLE * circles * np.sin(np.pi / table.hole_counts)))


def _log_outside(spacings: Spacings, base: float) -> float:
    """Log density of what was read on a part of no table, equally spaced or not, but for its share."""
    equal, own = spacings.equal, spacings.own
    found = [_log_broad(equal) - (spacings.equal_score - base) / 2]
    if own is not None:
        found.append(_log_broad(own) - (spacings.own_score - base) / 2 + math.log(_UNEQUAL_HOME_MADE))
    return float(np.logaddexp.reduce(found)) + math.log(count_share(equal.hole_count))


def _values(fit: Fit) -> Array:
    return np.array([0.0 if size is None else size.value for size in (fit.sizes[at] for at in _EVIDENCE)])


def _broad(fit: Fit) -> Array:
    """Log density of each size of a part of no table."""
    return np.asarray(-np.log(np.where(_evidence(fit), np.maximum(_values(fit), 1e-3), 1.0) * np.log(_BROAD_FACTORS)))


def _log_broad(fit: Fit) -> float:
    return float(_broad(fit)[_evidence(fit)].sum())


def _log_rows(fit: Fit, readings: Sequence[Reading], table: Table, rows: Places, assume: Assumptions) -> Array:
    """Log density of what was read, for every row whose spacing this fit has."""
    circles, shares = _scatter(fit, readings, table, rows, assume)
    spreads = part_variances(table.sizes[rows])
    spreads[:, 0] = circles
    read, part = (each[np.ix_(_EVIDENCE, _EVIDENCE)] for each in (fit.read_covariance, fit.part_covariance))
    covariance = read + shares[:, None, None] * part
    return _log_likelihoods(_values(fit) - table.sizes[rows], covariance, spreads, _evidence(fit), _broad(fit))


def _circle_spreads(fit: Fit, readings: Sequence[Reading], table: Table, rows: Places, assume: Assumptions) -> Array:
    circles, shares = _scatter(fit, readings, table, rows, assume)
    read, part = (each[DIAMETER, DIAMETER] for each in (fit.read_covariance, fit.part_covariance))
    return np.asarray(np.sqrt(read + shares * part + circles))


def _scatter(
    fit: Fit, readings: Sequence[Reading], table: Table, rows: Places, assume: Assumptions
) -> tuple[Array, Array]:
    """By row, variance in mm squared of made circles around the published one, and its share of the fit's scatter."""
    circles, chords = made_tolerances(table.circle_tolerances[rows], table.chord_tolerances[rows], assume)
    shares, beyond = neighbor_scatter(chords, fit.hole_count, assume.allow)
    return (circles / 2) ** 2 + spacing_variance(fit, readings) * beyond, shares


def made_tolerances(circles: Array, chords: Array, assume: Assumptions) -> tuple[Array, Array]:
    """What made circles and neighboring centers may be off: as published, or in proportion to what is assumed."""
    if assume.drilling_tolerance is None:
        return circles, chords
    return np.full(len(circles), assume.drilling_tolerance), chords * (assume.drilling_tolerance / circles)


def neighbor_scatter(chords: Array, hole_count: int, allow: Allowances) -> tuple[Array, Array]:
    """What holes with such tolerances between neighbors, mm, are out of place.

    Returns:
        Their share of the variance that the fit allows, 1 at most; and mm squared of neighboring centers beyond it.
    """
    half = math.pi / hole_count
    allowed = 2 * (allow.along * math.cos(half)) ** 2 + 2 * (allow.across * math.sin(half)) ** 2
    found = (chords / 2) ** 2
    return np.minimum(found / max(allowed, 1e-12), 1.0), np.maximum(found - allowed, 0.0)


def part_variances(sizes: Array) -> Array:
    """Variance in mm squared of made parts around published sizes: circle (0 here), hole, bore, outside."""
    bore = np.maximum(0.01 * sizes[:, 2], 1.0) / 2
    rim = np.maximum(0.01 * sizes[:, 3], 1.5) / 2
    return np.column_stack([np.zeros(len(sizes)), np.full(len(sizes), _HOLE_SPREAD), bore, rim]) ** 2


def spacing_variance(fit: Fit, readings: Sequence[Reading]) -> float:
    """How the variance of neighboring spacing carries over to the fitted diameter; a plain factor.

    A hole out of place along the circle changes a chord by the cosine of half its central angle, so
    opposite holes do not feel it. Holes out of place are taken as independent.
    """
    if fit.spacing is Spacing.INDIVIDUAL:
        return 0.0
    return math.fsum(
        (gain * spacing_share(reading, fit.hole_count)) ** 2
        for gain, reading in zip(fit.gains, readings, strict=True)
        if reading.kind in CHORD_KINDS
    )


def spacing_share(reading: Reading, hole_count: int) -> float:
    """Effect of misplaced holes on a chord, over their effect on neighboring centers."""
    neighbors = math.cos(math.pi / hole_count)
    if hole_count == 2:
        return 0.0
    return abs(math.cos(math.pi * reading.span(hole_count) / hole_count)) / neighbors


def fits_unequal(fit: Fit, readings: Sequence[Reading]) -> bool:
    """Whether the fit also holds for holes that are not equally spaced: opposite holes, or free angles."""
    chords = [reading for reading in readings if reading.kind in CHORD_KINDS]
    if fit.spacing is Spacing.INDIVIDUAL or any(reading.kind is Kind.X for reading in readings):
        return fit.spacing is Spacing.INDIVIDUAL
    return all(2 * reading.span(fit.hole_count) == fit.hole_count for reading in chords)


def _evidence(fit: Fit) -> Mask:
    return np.array([fit.sizes[at] is not None for at in _EVIDENCE])


def _log_likelihoods(misses: Array, covariance: Array, spreads: Array, evidence: Mask, broad: Array) -> Array:
    """Log density of what was read, for every row; sizes a row lacks take the broad density."""
    known = evidence & np.isfinite(misses)
    misses = np.where(known, misses, 0.0)
    matrices = np.where(known[:, :, None] & known[:, None, :], covariance, 0.0)
    index = np.arange(4)
    matrices[:, index, index] = np.where(known, matrices[:, index, index] + np.nan_to_num(spreads), _UNKNOWN)
    exponents = np.einsum("ri,ri->r", misses, np.linalg.solve(matrices, misses[:, :, None])[:, :, 0])
    determinants = np.linalg.slogdet(matrices)[1] - (~known).sum(axis=1) * math.log(_UNKNOWN)
    normal = -0.5 * (exponents + determinants + known.sum(axis=1) * math.log(2 * math.pi))
    return np.asarray(normal + ((evidence & ~known) * broad).sum(axis=1))


def _worth_listing(beliefs: Beliefs, order: Places) -> int:
    """How many rows to list: all that are possible, and the next best up to the third if not beyond reach."""
    return max(min(3, int((beliefs.probabilities >= 1e-6).sum())), int((beliefs.probabilities >= 0.001).sum()))


def _candidate(table: Table, beliefs: Beliefs, at: int) -> Candidate:
    row = int(beliefs.rows[at])
    pattern = table.patterns[row]
    difference = float(beliefs.circles[at]) - pattern.bolt_circle
    chord = pattern.bolt_circle * math.sin(math.pi / pattern.hole_count) if pattern.equally_spaced else None
    return Candidate(
        pattern=pattern,
        probability=float(beliefs.probabilities[at]),
        difference=difference,
        spread=float(beliefs.spreads[at]),
        chord=chord,
        drilling=int(table.drillings[row]),
    )


def _verdict(
    candidates: tuple[Candidate, ...], beliefs: Beliefs, table: Table, sure: float
) -> tuple[Verdict, tuple[Candidate, ...]]:
    """The verdict and the candidates it speaks of.

    "One" is one drilling (circle and hole count) that may be published in several rows, of a probability from
    ``sure`` up.
    """
    if not candidates or beliefs.outside >= 0.5:
        return Verdict.NONE, ()
    best = candidates[0].drilling
    share = float(beliefs.probabilities[table.drillings[beliefs.rows] == best].sum())
    if share >= sure:
        return Verdict.ONE, tuple(candidate for candidate in candidates if candidate.drilling == best)
    held = np.cumsum([candidate.probability for candidate in candidates])
    needed = int(np.searchsorted(held, COVERED * (1 - beliefs.outside))) + 1
    return Verdict.SEVERAL, candidates[: min(needed, len(candidates))]
