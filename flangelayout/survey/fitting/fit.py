"""Least squares on the readings themselves, and the uncertainty that comes out of it.

Every reading is a distance or a position, and what is minimized is the sum of squared differences
between reading and expectation, weighed by the inverse of their covariance (a geometric fit; an algebraic
one shrinks short arcs). The uncertainty is propagated by the law of JCGM 100:2008, 5.2.2, which is the one
for errors that hang together, never scaled by the residuals.
"""

import math
from collections.abc import Sequence
from enum import Enum
from typing import NamedTuple

import numpy as np
from msgspec import Struct

from flangelayout.survey.fitting.covariance import part_covariance, reading_covariance
from flangelayout.survey.fitting.goodness import AGREEMENT_LEVEL, chi_square_tail
from flangelayout.survey.fitting.model import (
    BORE,
    CENTER_X,
    CENTER_Y,
    DIAMETER,
    HOLE,
    RIM,
    SIZES,
    STUD,
    TURN,
    Array,
    Mask,
    Model,
    build_model,
    hole_angles,
    predict,
)
from flangelayout.survey.readings import COVERAGE_FACTOR, Allowances, Reading
from flangelayout.value import replace

PART_SHARE = 1 / 4
"""Share of the part's scatter that the stated band takes up, as a variance.

An everyday part scatters half as much as good work may (judgement), so a quarter of the variance. Weights
and the alarm take all of it, so that no sound part raises one.
"""

_STEPS = 60
_TOLERANCE = 1e-10
_USUAL = Allowances()


class Spacing(Enum):
    """What was assumed about the angles between the holes."""

    EQUAL = "equal"
    INDIVIDUAL = "individual"


class Estimate(Struct, frozen=True):
    """A size in mm and its standard uncertainty in mm."""

    value: float
    standard_uncertainty: float

    @property
    def expanded_uncertainty(self) -> float:
        """Plus or minus mm at 95 % (k = 2)."""
        return COVERAGE_FACTOR * self.standard_uncertainty


class BandParts(NamedTuple):
    """What the standard uncertainty of the bolt circle is made of, mm; the squares add up.

    Attributes:
        readings: What each reading is good to by itself.
        caliper: What all readings of one caliper, or of one scale, share.
        holes: What the holes of an everyday part are out of place.
    """

    readings: float
    caliper: float
    holes: float


class Fit(Struct, frozen=True):
    """The bolt circle that agrees best with the readings.

    Attributes:
        hole_count: Holes on the circle.
        spacing: Equal, or an angle of its own for every hole.
        sizes: Bolt circle, hole, stud, bore and outside diameter; None where the readings do not fix it.
        read_covariance: (5, 5) of those sizes in mm squared, of what the readings are good to.
        part_covariance: The same of all of the part's scatter that is allowed.
        band_parts: What the uncertainty of the bolt circle is made of.
        expected: Expected value of every reading, also of those set aside.
        gains: How many mm the diameter moves per mm of each reading; 0 for those set aside.
        chi_square: Sum of squared residuals, weighed by the inverse of their covariance.
        degrees_of_freedom: Readings used, less the unknowns they fix.
        center: X and Y of the center in mm, if positions were read.
        hole_angles: Degrees of every hole; from the X axis if positions were read, else from hole 1.
        clockwise: Whether the positions show the holes numbered clockwise.
    """

    hole_count: int
    spacing: Spacing
    sizes: tuple[Estimate | None, ...]
    read_covariance: Array
    part_covariance: Array
    band_parts: BandParts
    expected: tuple[float, ...]
    gains: tuple[float, ...]
    chi_square: float
    degrees_of_freedom: int
    center: tuple[float, float] | None
    hole_angles: tuple[float, ...]
    clockwise: bool

    @property
    def determined(self) -> bool:
        """Whether the readings fix the bolt circle at all, and at a diameter that can be."""
        return self.sizes[DIAMETER] is not None and self.bolt_circle.value > 0

    @property
    def bolt_circle(self) -> Estimate:
        """Diameter of the bolt circle; NaN if the readings do not fix it."""
        return self.sizes[DIAMETER] or Estimate(float("nan"), float("inf"))

    @property
    def hole(self) -> Estimate | None:
        """Hole diameter, if the readings fix it."""
        return self.sizes[HOLE]

    @property
    def stud(self) -> Estimate | None:
        """Stud diameter, if the readings fix it."""
        return self.sizes[STUD]

    @property
    def bore(self) -> Estimate | None:
        """Bore, if the readings fix it."""
        return self.sizes[BORE]

    @property
    def outside(self) -> Estimate | None:
        """Outside diameter, if the readings fix it."""
        return self.sizes[RIM]

    @property
    def probability(self) -> float:
        """Chance that honest readings would differ at least this much."""
        return chi_square_tail(self.chi_square, self.degrees_of_freedom)

    @property
    def agrees(self) -> bool:
        """Whether the residuals agree with the stated uncertainties at the 95 % level."""
        return self.probability >= AGREEMENT_LEVEL


def fit_equal(
    readings: Sequence[Reading],
    hole_count: int,
    set_aside: frozenset[int] = frozenset(),
    allow: Allowances = _USUAL,
) -> Fit:
    """The best circle of equally spaced holes.

    Args:
        readings: Checked readings.
        hole_count: Holes on the circle, at least 2.
        set_aside: Indices of readings that take no part in the fit.
        allow: What readings may be off beside what each is good to.
    """
    return _fit_model(readings, build_model(readings, hole_count), set_aside, allow)


def fit_known(
    readings: Sequence[Reading],
    offsets: Array,
    set_aside: frozenset[int] = frozenset(),
    allow: Allowances = _USUAL,
) -> Fit:
    """The best circle of holes whose angles are known to leave the equal spacing by ``offsets`` (radians)."""
    fit = _fit_model(readings, build_model(readings, len(offsets), offsets), set_aside, allow)
    return replace(fit, spacing=Spacing.INDIVIDUAL)


def _fit_model(readings: Sequence[Reading], model: Model, set_aside: frozenset[int], allow: Allowances) -> Fit:
    used = _used(len(readings), set_aside)
    if not model.has_positions:
        return _solve(readings, model, np.zeros(SIZES), used, allow)
    turned = replace(model, direction=-1)
    both = [_solve(readings, each, _start(each, used), used, allow) for each in (model, turned)]
    return min(both, key=lambda fit: fit.chi_square)


def fit_individual(
    readings: Sequence[Reading],
    equal: Fit,
    set_aside: frozenset[int] = frozenset(),
    allow: Allowances = _USUAL,
) -> Fit | None:
    """The best circle of holes that each stand at an angle of their own, or None if the readings cannot tell."""
    direction = -1 if equal.clockwise else 1
    model = build_model(readings, equal.hole_count)
    model = replace(model, direction=direction, free_angles=True)
    used = _used(len(readings), set_aside)
    fit = _solve(readings, model, _individual_start(model, equal, used), used, allow)
    if not fit.determined or not np.isfinite(fit.chi_square) or fit.degrees_of_freedom < 0:
        return None
    return fit


def _used(count: int, set_aside: frozenset[int]) -> Mask:
    used = np.ones(count, dtype=bool)
    used[list(set_aside)] = False
    return used


class _Weighing(NamedTuple):
    """The covariances of the readings, and the matrix that makes their errors independent and of size one."""

    readings: Array
    part: Array
    whiten: Array

    @property
    def stated(self) -> Array:
        return self.readings + PART_SHARE * self.part


def _weighing(readings: Sequence[Reading], model: Model, start: Array, used: Mask, allow: Allowances) -> _Weighing:
    own = reading_covariance(readings, model, allow)
    part = part_covariance(readings, model, hole_angles(model, start), allow, used)
    wide = own + part
    whiten = np.zeros((int(used.sum()), len(used)))
    whiten[:, used] = np.linalg.inv(np.linalg.cholesky(wide[np.ix_(used, used)]))
    return _Weighing(own, part, whiten)


def _solve(readings: Sequence[Reading], model: Model, start: Array, used: Mask, allow: Allowances) -> Fit:
    """Gauss-Newton; one step is exact where the readings are linear in the unknowns."""
    weighing = _weighing(readings, model, start, used, allow)
    whiten, unknowns = weighing.whiten, start
    expected, jacobian = predict(model, unknowns)
    for _ in range(_STEPS):
        step = least_squares_step(whiten @ jacobian, whiten @ (model.values - expected))[0]
        unknowns, expected, jacobian = _advance(model, unknowns, step, whiten, expected)
        if model.linear or float(np.abs(step).max()) < _TOLERANCE:
            break
    return _result(model, unknowns, expected, jacobian, weighing)


def _advance(model: Model, unknowns: Array, step: Array, whiten: Array, expected: Array) -> tuple[Array, Array, Array]:
    """One step, halved while it makes the fit worse."""
    before = float(((whiten @ (model.values - expected)) ** 2).sum())
    for _ in range(1 if model.linear else 12):
        moved = unknowns + step
        after, jacobian = predict(model, moved)
        if float(((whiten @ (model.values - after)) ** 2).sum()) <= before * (1 + 1e-9) + 1e-15:
            break
        step = step / 2
    return moved, after, jacobian


def least_squares_step(jacobian: Array, residuals: Array) -> tuple[Array, Array, Array]:
    """One least-squares step.

    Args:
        jacobian: (m, p) derivatives of m readings, made independent and of size one, by the p unknowns.
        residuals: (m,) their residuals.

    Returns:
        The step of least length, (p,); the row space, (rank, p), in scaled unknowns; and the gains,
        (p, m): how much each unknown moves per unit of each reading.
    """
    scales = np.sqrt((jacobian * jacobian).sum(axis=0))
    scales[scales < 1e-12] = 1.0
    left, singular, right = np.linalg.svd(jacobian / scales, full_matrices=False)
    rank = int((singular > singular[0] * 1e-9).sum()) if singular.size else 0
    rows = right[:rank]
    inverse = (rows.T / singular[:rank]) @ left[:, :rank].T / scales[:, None]
    return inverse @ residuals, rows, inverse


def _result(model: Model, unknowns: Array, expected: Array, jacobian: Array, weighing: _Weighing) -> Fit:
    residuals = weighing.whiten @ (model.values - expected)
    _, rows, inverse = least_squares_step(weighing.whiten @ jacobian, residuals)
    fixed = (rows[:, :SIZES] ** 2).sum(axis=0) > 1 - 1e-7
    gains = (inverse @ weighing.whiten)[:SIZES]
    covariance = gains @ weighing.stated @ gains.T
    angles = np.degrees(hole_angles(model, unknowns))
    return Fit(
        hole_count=model.hole_count,
        spacing=Spacing.INDIVIDUAL if model.free_angles else Spacing.EQUAL,
        sizes=tuple(
            Estimate(float(unknowns[size]), float(covariance[size, size]) ** 0.5) if fixed[size] else None
            for size in range(SIZES)
        ),
        read_covariance=gains @ weighing.readings @ gains.T,
        part_covariance=gains @ weighing.part @ gains.T,
        band_parts=_band_parts(model, gains[DIAMETER], weighing),
        expected=tuple(expected.tolist()),
        gains=tuple(gains[DIAMETER].tolist()),
        chi_square=float((residuals**2).sum()),
        degrees_of_freedom=len(residuals) - len(rows),
        center=(float(unknowns[CENTER_X]), float(unknowns[CENTER_Y])) if model.has_positions else None,
        hole_angles=tuple((angles if model.has_positions else angles - angles[0]).tolist()),
        clockwise=model.direction < 0,
    )


def _band_parts(model: Model, gains: Array, weighing: _Weighing) -> BandParts:
    single = float(((gains * model.uncertainties) ** 2).sum())
    read = float(gains @ weighing.readings @ gains)
    holes = PART_SHARE * float(gains @ weighing.part @ gains)
    return BandParts(math.sqrt(single), math.sqrt(max(read - single, 0.0)), math.sqrt(max(holes, 0.0)))


def _start(model: Model, used: Mask) -> Array:
    """Unknowns near the best fit of equally spaced positions: exact for positions alone.

    Center, and radius times cosine and sine of the turn, enter positions linearly.
    """
    on = (model.across | model.along) & used
    angles = hole_angles(model, np.zeros(model.unknowns))[model.first[on]]
    across = model.across[on]
    columns = np.column_stack(
        [
            across,
            ~across,
            np.where(across, np.cos(angles), np.sin(angles)),
            np.where(across, -np.sin(angles), np.cos(angles)),
        ]
    ).astype(float)
    weights = 1 / model.uncertainties[on]
    x, y, along, turned = np.linalg.lstsq(columns * weights[:, None], model.values[on] * weights, rcond=None)[0]
    start = np.zeros(model.unknowns)
    start[DIAMETER] = 2 * np.hypot(along, turned)
    start[[CENTER_X, CENTER_Y, TURN]] = x, y, np.arctan2(turned, along)
    return start


def _individual_start(model: Model, equal: Fit, used: Mask) -> Array:
    """The equal fit; with positions, each hole at the angle it was read at."""
    start = np.zeros(model.unknowns)
    start[:SIZES] = [0.0 if size is None else size.value for size in equal.sizes]
    if equal.center is None:
        return start
    start[[CENTER_X, CENTER_Y]] = equal.center
    start[TURN] = np.radians(equal.hole_angles[0])
    x, y = (_by_hole(model, mask & used) for mask in (model.across, model.along))
    seen = np.arctan2(y - equal.center[1], x - equal.center[0])
    off = model.direction * (seen - np.radians(equal.hole_angles))
    start[TURN + 1 :] = np.where(np.isfinite(off), (off + np.pi) % (2 * np.pi) - np.pi, 0.0)
    return start


def _by_hole(model: Model, mask: Mask) -> Array:
    """Mean of the masked readings of every hole, NaN for a hole without any."""
    totals, counts = np.zeros(model.hole_count), np.zeros(model.hole_count)
    np.add.at(totals, model.first[mask], model.values[mask])
    np.add.at(counts, model.first[mask], 1.0)
    return np.where(counts > 0, totals / np.where(counts > 0, counts, 1), np.nan)
