"""Which published drillings the part may be, with honest probabilities.

Bayes' rule over all rows of all tables and one more possibility, that the drilling is in none of them.
Every row is as likely as any other beforehand. What a row predicts is a normal distribution around its
published sizes, as wide as the uncertainty of the readings and the spread of made parts together:

- bolt circle: the drilling tolerance, plus or minus T taken as 95 % of parts, so T / 2; and, as far as the
  readings span holes that may be out of place along the circle, the tolerance between neighbors;
- hole diameter: plus or minus 1.5 mm, since holes are drilled with what is at hand, so it is weak evidence;
- outside diameter: plus or minus 1 %, at least 1.5 mm; bore: plus or minus 1 %, at least 1 mm.

The last two lines are common practice, no source. A size that was read and that a row does not publish,
or that belongs to no table, has a broad density: even in the logarithm over the factors given below.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from flangelayout.standards import Pattern
from flangelayout.survey.fit import Fit, Spacing
from flangelayout.survey.model import BORE, DIAMETER, HOLE, RIM, Array
from flangelayout.survey.readings import CHORD_KINDS, Kind, Reading
from flangelayout.survey.table import DEFAULT_CHORD_TOLERANCE, DEFAULT_CIRCLE_TOLERANCE, Table

SURE = 0.95
"""Probability from which one drilling is called the one."""

COVERED = 0.99
"""Probability that the drillings called "several" hold together."""

_OUTSIDE_PRIOR = 0.1
_HOLE_COUNTS = 62
_EVIDENCE = (DIAMETER, HOLE, BORE, RIM)
_BROAD_FACTORS = np.array([67.0, 3.0, 4.0, 1.5])
_HOLE_SPREAD = 0.75
_UNKNOWN = 1e8


class Verdict(Enum):
    """One drilling, several that cannot be told apart, or none of any table."""

    ONE = "one"
    SEVERAL = "several"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class Candidate:
    """One row of one table, judged.

    Attributes:
        pattern: The row.
        probability: From 0 to 1, over all rows and the possibility that it is none of them.
        difference: Measured less published bolt circle, mm.
        in_uncertainties: That difference over its standard uncertainty, part tolerance included.
        chord: What the row's neighboring centers are apart, mm; None for unequally spaced holes.
        drilling: Number shared by rows with the same circle and hole count.
    """

    pattern: Pattern
    probability: float
    difference: float
    in_uncertainties: float
    chord: float | None
    drilling: int


@dataclass(frozen=True, slots=True)
class Ranking:
    """All that is worth reporting about the tables.

    Attributes:
        candidates: Rows from the most to the least probable, those below 0.001 left out past the third.
        leading: Those the verdict speaks of; none if it is none.
        outside: Probability that the drilling is in no table.
        verdict: One drilling, several, or none.
    """

    candidates: tuple[Candidate, ...]
    leading: tuple[Candidate, ...]
    outside: float
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class Beliefs:
    """What the tables and the fit say, row by row, for the rows with the right hole count.

    Attributes:
        rows: Index of each row in the table.
        probabilities: Of each row.
        spreads: Standard uncertainty of fit less row, mm.
        part_spreads: Standard uncertainty of a made circle around the published one, mm.
        outside: Probability that it is none.
    """

    rows: NDArray[np.intp]
    probabilities: Array
    spreads: Array
    part_spreads: Array
    outside: float


def rank(fit: Fit, readings: Sequence[Reading], table: Table, drilling_tolerance: float | None = None) -> Ranking:
    """Rows ranked by probability, and the verdict.

    Args:
        fit: A determined fit.
        readings: The readings it was made from.
        table: Rows to judge.
        drilling_tolerance: Plus or minus mm (95 %) that holds for every row; None takes the table's own.
    """
    beliefs = weigh(fit, readings, table, drilling_tolerance)
    order = np.argsort(-beliefs.probabilities, kind="stable")
    candidates = tuple(_candidate(fit, table, beliefs, at) for at in order[: _worth_listing(beliefs, order)])
    verdict, leading = _verdict(candidates, beliefs, table, fit.agrees)
    return Ranking(candidates, leading, beliefs.outside, verdict)


def weigh(fit: Fit, readings: Sequence[Reading], table: Table, drilling_tolerance: float | None) -> Beliefs:
    """The probability of every row with the right hole count."""
    rows = np.flatnonzero((table.hole_counts == fit.hole_count) & (table.equally_spaced | fits_unequal(fit, readings)))
    circle = table.circle_tolerances[rows]
    chord = table.chord_tolerances[rows]
    if drilling_tolerance is not None:
        circle = np.full(len(rows), drilling_tolerance)
        chord = circle * (DEFAULT_CHORD_TOLERANCE / DEFAULT_CIRCLE_TOLERANCE)
    evidence = _evidence(fit)
    values = np.array([0.0 if size is None else size.value for size in (fit.sizes[at] for at in _EVIDENCE)])
    spreads = np.empty((len(rows), 4))
    spreads[:, 0] = (circle / 2) ** 2 + spacing_variance(fit, readings) * (chord / 2) ** 2
    spreads[:, 1:] = part_variances(table.sizes[rows])[:, 1:]
    covariance = fit.covariance[np.ix_(_EVIDENCE, _EVIDENCE)] * scale_of(fit)
    broad = -np.log(np.where(evidence, np.maximum(values, 1e-3), 1.0) * np.log(_BROAD_FACTORS))
    logs = _log_likelihoods(values - table.sizes[rows], covariance, spreads, evidence, broad)
    outside = float(broad[evidence].sum()) - math.log(_HOLE_COUNTS) + math.log(_OUTSIDE_PRIOR)
    logs += math.log((1 - _OUTSIDE_PRIOR) / max(len(table.patterns), 1))
    top = max(float(logs.max(initial=-np.inf)), outside)
    weights, rest = np.exp(logs - top), math.exp(outside - top)
    total = float(weights.sum()) + rest
    combined = np.sqrt(covariance[0, 0] + spreads[:, 0])
    return Beliefs(rows, weights / total, combined, circle / 2, rest / total)


def part_variances(sizes: Array) -> Array:
    """Variance in mm squared of made parts around published sizes: circle (0 here), hole, bore, outside."""
    bore = np.maximum(0.01 * sizes[:, 2], 1.0) / 2
    rim = np.maximum(0.01 * sizes[:, 3], 1.5) / 2
    return np.column_stack([np.zeros(len(sizes)), np.full(len(sizes), _HOLE_SPREAD), bore, rim]) ** 2


def scale_of(fit: Fit) -> float:
    """Factor on the variance of a fit whose readings disagree, so that it is not taken for more than it is.

    Chi-square over degrees of freedom (the square of the Birge ratio), never below 1. Used to judge
    candidates only; the stated uncertainty of the fit is not scaled.
    """
    return 1.0 if fit.agrees else max(fit.chi_square / fit.degrees_of_freedom, 1.0)


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


def _evidence(fit: Fit) -> NDArray[np.bool_]:
    return np.array([fit.sizes[at] is not None for at in _EVIDENCE])


def _log_likelihoods(
    misses: Array, covariance: Array, spreads: Array, evidence: NDArray[np.bool_], broad: Array
) -> Array:
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


def _worth_listing(beliefs: Beliefs, order: NDArray[np.intp]) -> int:
    return min(len(order), max(3, int((beliefs.probabilities >= 0.001).sum())))


def _candidate(fit: Fit, table: Table, beliefs: Beliefs, at: int) -> Candidate:
    row = int(beliefs.rows[at])
    pattern = table.patterns[row]
    difference = fit.bolt_circle.value - pattern.bolt_circle
    chord = pattern.bolt_circle * math.sin(math.pi / pattern.hole_count) if pattern.equally_spaced else None
    return Candidate(
        pattern=pattern,
        probability=float(beliefs.probabilities[at]),
        difference=difference,
        in_uncertainties=difference / float(beliefs.spreads[at]),
        chord=chord,
        drilling=int(table.drillings[row]),
    )


def _verdict(
    candidates: tuple[Candidate, ...], beliefs: Beliefs, table: Table, agrees: bool
) -> tuple[Verdict, tuple[Candidate, ...]]:
    """The verdict and the candidates it speaks of.

    "One" is one drilling (circle and hole count) that may be published in several rows. Readings that
    disagree are never called one: something about them is wrong, and it may be what singles the row out.
    """
    if not candidates or beliefs.outside >= 0.5:
        return Verdict.NONE, ()
    best = candidates[0].drilling
    share = float(beliefs.probabilities[table.drillings[beliefs.rows] == best].sum())
    if share >= SURE and agrees:
        return Verdict.ONE, tuple(candidate for candidate in candidates if candidate.drilling == best)
    held = np.cumsum([candidate.probability for candidate in candidates])
    needed = int(np.searchsorted(held, COVERED * (1 - beliefs.outside))) + 1
    return Verdict.SEVERAL, candidates[: min(needed, len(candidates))]
