"""The one further reading that best tells the leading candidates apart.

For every reading a person could still take, each candidate predicts a normal distribution: around what
its published sizes and the readings so far make likely, as wide as made parts and the new reading itself
allow. Two predictions are told apart by one minus their overlap (the Bhattacharyya coefficient of two
normal distributions); the reading chosen has the largest sum over all pairs of candidates, weighed by
their probabilities.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from flangelayout.survey.candidates import (
    Candidate,
    Ranking,
    Verdict,
    part_variances,
    scale_of,
    spacing_share,
    spacing_variance,
)
from flangelayout.survey.fit import Fit
from flangelayout.survey.model import BORE as BORE_SIZE
from flangelayout.survey.model import HOLE, RIM, Array
from flangelayout.survey.readings import CHORD_KINDS, COVERAGE_FACTOR, DEFAULT_WITHIN, Kind, Reading
from flangelayout.survey.table import DEFAULT_CHORD_TOLERANCE, DEFAULT_CIRCLE_TOLERANCE
from flangelayout.units import Unit, decimal_text

_MOST = 30
_WORTH_TAKING = 0.1
_SIZES = ((Kind.OUTSIDE_DIAMETER, RIM, 3), (Kind.HOLE_DIAMETER, HOLE, 1), (Kind.BORE, BORE_SIZE, 2))


@dataclass(frozen=True, slots=True)
class Expectation:
    """What one candidate would read, in mm."""

    designation: str
    value: float


@dataclass(frozen=True, slots=True)
class NextReading:
    """A reading worth taking.

    Attributes:
        kind: What to set the caliper to.
        pitches: Pitches to span; None for a single size.
        expected: What the leading candidates would read, one entry per value that differs.
        why: One sentence.
    """

    kind: Kind
    pitches: int | None
    expected: tuple[Expectation, ...]
    why: str


@dataclass(frozen=True, slots=True)
class _Option:
    kind: Kind
    pitches: int | None
    published: Array
    centers: Array
    variances: Array


def next_reading(
    fit: Fit, readings: Sequence[Reading], ranking: Ranking, drilling_tolerance: float | None = None
) -> NextReading | None:
    """The best further reading, or None if no reading tells the leading candidates apart.

    With the verdict "one" it tells apart rows that share the drilling; with "several", drillings.
    """
    rows = ranking.leading[:_MOST]
    if len(rows) < 2:
        return None
    drillings = np.array([row.drilling for row in rows])
    counted = drillings[:, None] != drillings[None, :]
    if ranking.verdict is Verdict.ONE:
        counted = ~np.eye(len(rows), dtype=bool)
    shares = np.array([row.probability for row in rows])
    weights = np.where(counted, np.outer(shares, shares), 0.0)
    best, gain = None, 0.0
    for option in _options(fit, readings, rows, drilling_tolerance):
        told = float((weights * _told_apart(option)).sum())
        if told > gain * (1 + 1e-9):
            best, gain = option, told
    if best is None or gain < _WORTH_TAKING * weights.sum():
        return None
    why = _why(best, rows, ranking.verdict, fit.hole_count, readings[0].unit)
    return NextReading(best.kind, best.pitches, _expected(rows, best), why)


def _options(
    fit: Fit, readings: Sequence[Reading], rows: Sequence[Candidate], tolerance: float | None
) -> Iterator[_Option]:
    """Every reading that could still be taken, with what each candidate predicts."""
    yield from _sizes(fit, rows)
    circles = np.array([row.pattern.bolt_circle for row in rows])
    part = (DEFAULT_CIRCLE_TOLERANCE if tolerance is None else tolerance) / 2
    neighbors = part * DEFAULT_CHORD_TOLERANCE / DEFAULT_CIRCLE_TOLERANCE
    known = fit.bolt_circle
    seen = known.standard_uncertainty**2 * scale_of(fit) + spacing_variance(fit, readings) * neighbors**2
    likely = (known.value / seen + circles / part**2) / (1 / seen + 1 / part**2)
    kind, good_to = _chord_kind(readings)
    for span in range(fit.hole_count // 2, 0, -1):
        share = math.sin(math.pi * span / fit.hole_count)
        trial = Reading(Kind.CENTERS, 1.0, pitches=span)
        misplaced = (neighbors * spacing_share(trial, fit.hole_count)) ** 2
        spread = share**2 / (1 / seen + 1 / part**2) + good_to**2 + misplaced
        if all(row.pattern.equally_spaced for row in rows) or 2 * span == fit.hole_count:
            yield _Option(kind, span, circles * share, likely * share, np.full(len(rows), spread))


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
            own = (DEFAULT_WITHIN[kind] / COVERAGE_FACTOR) ** 2
            yield _Option(kind, None, sizes[:, column], sizes[:, column], variances[:, column] + own)


def _chord_kind(readings: Sequence[Reading]) -> tuple[Kind, float]:
    """How this person reads center distances, and the standard uncertainty they get."""
    direct = [reading for reading in readings if reading.kind in (Kind.CENTERS, Kind.SAME_EDGES)]
    if direct:
        return direct[0].kind, min(reading.standard_uncertainty for reading in direct)
    spans = [reading.standard_uncertainty for reading in readings if reading.kind in CHORD_KINDS]
    return Kind.SAME_EDGES, min(spans, default=DEFAULT_WITHIN[Kind.SAME_EDGES] / COVERAGE_FACTOR)


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


def _why(option: _Option, rows: Sequence[Candidate], verdict: Verdict, hole_count: int, unit: Unit) -> str:
    """The reason in one sentence, with what the leading candidate and its nearest rival would read."""
    values = option.published.tolist()
    first = next(at for at, value in enumerate(values) if math.isfinite(value))
    rivals = [
        at
        for at, value in enumerate(values)
        if math.isfinite(value)
        and abs(value - values[first]) > 0.05
        and (verdict is Verdict.ONE or rows[at].drilling != rows[first].drilling)
    ]
    other = rivals[0] if rivals else first
    doubt = COVERAGE_FACTOR * math.sqrt(max(option.variances[first], option.variances[other]))
    apart = _length(abs(values[first] - values[other]), unit)
    what = " and ".join(
        f"{rows[at].pattern.designation} would read {_length(values[at], unit)}" for at in (first, other)
    )
    size = f"{apart} apart, ±{_length(doubt, unit)} left to the made part and the reading"
    aim = "tells the rows that share this drilling apart: " if verdict is Verdict.ONE else ""
    return f"{aim}{_reach(option.pitches, hole_count)}{what}: {size}"


def _length(length: float, unit: Unit) -> str:
    return f"{decimal_text(length, unit)} {unit.value}"


def _reach(pitches: int | None, hole_count: int) -> str:
    if pitches is None:
        return ""
    where = "neighbors" if pitches == 1 else f"{pitches} pitches apart"
    if 2 * pitches == hole_count:
        where = "opposite holes"
    return f"{where}, where an error grows least: " if pitches == hole_count // 2 else f"{where}: "
