"""The one further reading that best tells the leading candidates apart.

For every reading a person could still take, each candidate predicts a normal distribution: around what
its published sizes and the readings so far make likely, as wide as made parts and the new reading itself
allow. Two predictions are told apart by one minus their overlap (the Bhattacharyya coefficient of two
normal distributions); the reading chosen has the largest sum over all pairs of candidates, weighed by
their probabilities. It must part at least one pair by more than what stays in doubt, and that pair is named.
"""

import math
from collections.abc import Iterator, Sequence
from enum import Enum
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from msgspec import Struct

from flangelayout.survey.candidates import (
    Candidate,
    Ranking,
    Verdict,
    made_tolerances,
    neighbor_scatter,
    part_variances,
    spacing_share,
    spacing_variance,
)
from flangelayout.survey.fitting.fit import Fit
from flangelayout.survey.fitting.model import BORE as BORE_SIZE
from flangelayout.survey.fitting.model import DIAMETER, HOLE, RIM, Array
from flangelayout.survey.kinds import CHORD_KINDS, KINDS, Kind
from flangelayout.survey.readings import COVERAGE_FACTOR, Assumptions, Reading
from flangelayout.survey.table import chord_tolerance, circle_tolerance

if TYPE_CHECKING:
    from flangelayout.survey.suspects import Suspect

_MOST = 30
_WORTH_TAKING = 0.1
_SIZES = ((Kind.OUTSIDE_DIAMETER, RIM, 3), (Kind.HOLE_DIAMETER, HOLE, 1), (Kind.BORE, BORE_SIZE, 2))


class Aim(Enum):
    """What a further reading is for."""

    TELL_DRILLINGS = "tell drillings apart"
    TELL_ROWS = "tell rows that share a drilling apart"
    REPEAT = "repeat a suspect reading"


class Expectation(NamedTuple):
    """What one candidate would read, in mm; no designation for a suspect reading taken again."""

    designation: str
    value: float


class NextReading(Struct, frozen=True):
    """A reading worth taking.

    Attributes:
        kind: What to set the caliper to.
        pitches: Pitches to span; None for a single size.
        hole_count: Holes on the circle.
        aim: What it is for.
        expected: What the leading candidates would read, one entry per value that differs.
        pair: The two candidates it parts, the likelier first; None for a repeated reading.
        doubt: Plus or minus mm (95 %) that the made part and the reading leave to either of them.
        repeats: Index of the reading to take again; None for a new one.
    """

    kind: Kind
    pitches: int | None
    hole_count: int
    aim: Aim
    expected: tuple[Expectation, ...]
    pair: tuple[Expectation, Expectation] | None = None
    doubt: float = 0.0
    repeats: int | None = None


class _Option(NamedTuple):
    kind: Kind
    pitches: int | None
    published: Array
    centers: Array
    variances: Array


def next_reading(fit: Fit, readings: Sequence[Reading], ranking: Ranking, assume: Assumptions) -> NextReading | None:
    """The best further reading, or None if no reading tells the leading candidates apart.

    With the verdict "one" it tells apart rows that share the drilling; with "several", drillings.
    """
    rows = ranking.leading[:_MOST]
    if len(rows) < 2:
        return None
    drillings = np.array([row.drilling for row in rows])
    counted = drillings[:, None] != drillings[None, :]
    if len(set(drillings.tolist())) == 1:
        counted = ~np.eye(len(rows), dtype=bool)
    shares = np.array([row.probability for row in rows])
    weights = np.where(counted, np.outer(shares, shares), 0.0)
    best: _Option | None = None
    gain = _WORTH_TAKING * float(weights.sum())
    for option in _options(fit, readings, rows, assume):
        told = float(np.sum(weights * _told_apart(option)))
        if told > gain * (1 + 1e-9) and _best_pair(option, weights) is not None:
            best, gain = option, told
    pair = None if best is None else _best_pair(best, weights)
    if best is None or pair is None:
        return None
    names = [Expectation(rows[at].pattern.designation, float(best.published[at])) for at in pair]
    return NextReading(
        kind=best.kind,
        pitches=best.pitches,
        hole_count=fit.hole_count,
        aim=Aim.TELL_ROWS if ranking.verdict is Verdict.ONE else Aim.TELL_DRILLINGS,
        expected=_expected(rows, best),
        pair=(names[0], names[1]),
        doubt=_doubt(best, pair),
    )


def repeated_reading(readings: Sequence[Reading], suspects: "Sequence[Suspect]") -> NextReading | None:
    """The suspect reading once more: nothing else is worth more while the readings disagree."""
    if not suspects or len(suspects[0].readings) != 1:
        return None
    index = suspects[0].readings[0]
    cured = suspects[0].cured
    if readings[index].kind not in CHORD_KINDS:
        return None
    span = readings[index].span(cured.hole_count)
    value = cured.bolt_circle.value * math.sin(math.pi * span / cured.hole_count)
    return NextReading(
        Kind.CENTERS, span, cured.hole_count, Aim.REPEAT, expected=(Expectation("", value),), repeats=index
    )


def _best_pair(option: _Option, weights: Array) -> tuple[int, int] | None:
    """The likeliest two candidates that the reading parts by more than what stays in doubt."""
    gaps = np.abs(option.published[:, None] - option.published[None, :])
    doubts = COVERAGE_FACTOR * np.sqrt(np.maximum(option.variances[:, None], option.variances[None, :]))
    clear = np.nan_to_num(gaps, nan=-1.0) > np.nan_to_num(doubts, nan=np.inf)
    worth = np.where(clear, weights, 0.0)
    first, second = np.unravel_index(int(np.argmax(worth)), worth.shape)
    return (min(int(first), int(second)), max(int(first), int(second))) if worth[first, second] > 0 else None


def _doubt(option: _Option, pair: tuple[int, int]) -> float:
    return COVERAGE_FACTOR * math.sqrt(max(float(option.variances[at]) for at in pair))


def _options(
    fit: Fit, readings: Sequence[Reading], rows: Sequence[Candidate], assume: Assumptions
) -> Iterator[_Option]:
    """Every reading that could still be taken, with what each candidate predicts."""
    yield from _sizes(fit, rows)
    circles = np.array([row.pattern.bolt_circle for row in rows])
    published = np.array([(circle_tolerance(row.pattern), chord_tolerance(row.pattern)) for row in rows])
    tolerances, chords = made_tolerances(published[:, 0], published[:, 1], assume)
    shares, beyond = neighbor_scatter(chords, fit.hole_count, assume.allow)
    read, scatter = (each[DIAMETER, DIAMETER] for each in (fit.read_covariance, fit.part_covariance))
    part, seen = tolerances / 2, read + shares * scatter + spacing_variance(fit, readings) * beyond
    likely = (fit.bolt_circle.value / seen + circles / part**2) / (1 / seen + 1 / part**2)
    kind, good_to = _chord_kind(readings)
    for span in range(fit.hole_count // 2, 0, -1):
        half = math.pi * span / fit.hole_count
        share = math.sin(half)
        trial = Reading(Kind.CENTERS, 1.0, pitches=span)
        allowed = 2 * (assume.allow.along * math.cos(half)) ** 2 + 2 * (assume.allow.across * share) ** 2
        misplaced = shares * allowed + beyond * spacing_share(trial, fit.hole_count) ** 2
        spread = share**2 / (1 / seen + 1 / part**2) + good_to**2 + misplaced
        if all(row.pattern.equally_spaced for row in rows) or 2 * span == fit.hole_count:
            yield _Option(kind, span, circles * share, likely * share, spread)


def _sizes(fit: Fit, rows: Sequence[Candidate]) -> Iterator[_Option]:
    sizes = np.array(
        [
            [row.pattern.bolt_circle, row.pattern.hole_diameter, row.pattern.bore, row.pattern.outside_diameter]
            for row in rows
        ],
        dtype=float,
    )
    variances = part_variances(sizes)
    for kind, size, column in _SIZES:
        if fit.sizes[size] is None:
            own = (KINDS[kind].within / COVERAGE_FACTOR) ** 2
            yield _Option(kind, None, sizes[:, column], sizes[:, column], variances[:, column] + own)


def _chord_kind(readings: Sequence[Reading]) -> tuple[Kind, float]:
    """How this person reads center distances, and the standard uncertainty they get."""
    direct = [reading for reading in readings if reading.kind in (Kind.CENTERS, Kind.SAME_EDGES)]
    if direct:
        return direct[0].kind, min(reading.standard_uncertainty for reading in direct)
    spans = [reading.standard_uncertainty for reading in readings if reading.kind in CHORD_KINDS]
    return Kind.SAME_EDGES, min(spans, default=KINDS[Kind.SAME_EDGES].within / COVERAGE_FACTOR)


def _told_apart(option: _Option) -> Array:
    """One minus the overlap of every two predictions; 0 where one of them predicts nothing."""
    gaps = (option.centers[:, None] - option.centers[None, :]) ** 2
    sums = option.variances[:, None] + option.variances[None, :]
    products = np.sqrt(np.sqrt(np.outer(option.variances, option.variances)))
    overlap = products * np.sqrt(2 / sums) * np.exp(-gaps / (4 * sums))
    return np.asarray(np.nan_to_num(1 - overlap))


def _expected(rows: Sequence[Candidate], option: _Option) -> tuple[Expectation, ...]:
    """One entry per drilling and value, named by the most probable row that has it."""
    found: dict[tuple[int, float], Expectation] = {}
    for row, value in zip(rows, option.published.tolist(), strict=True):
        if math.isfinite(value):
            found.setdefault((row.drilling, round(value, 2)), Expectation(row.pattern.designation, value))
    return tuple(found.values())
