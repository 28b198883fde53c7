"""Least squares on the readings themselves, and the uncertainty that comes out of it.

Every reading is a distance or a position, and what is minimized is the sum of squared differences
between reading and expectation, each in units of its stated standard uncertainty (a geometric fit; an
algebraic one shrinks short arcs). The uncertainty is propagated by the law of JCGM 100:2008, 5.1.2, with
the stated uncertainties, never scaled by the residuals.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from flangelayout.survey.goodness import AGREEMENT_LEVEL, chi_square_tail
from flangelayout.survey.model import (
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
    Model,
    build_model,
    hole_angles,
    predict,
)
from flangelayout.survey.readings import COVERAGE_FACTOR, Reading

_STEPS = 60
_TOLERANCE = 1e-10


class Spacing(Enum):
    """What was assumed about the angles between the holes."""

    EQUAL = "equal"
    INDIVIDUAL = "individual"


@dataclass(frozen=True, slots=True)
class Estimate:
    """A size in mm and its standard uncertainty in mm."""

    value: float
    standard_uncertainty: float

    @property
    def expanded_uncertainty(self) -> float:
        """Plus or minus mm at 95 % (k = 2)."""
        return COVERAGE_FACTOR * self.standard_uncertainty


@dataclass(frozen=True, slots=True)
class Fit:
    """The bolt circle that agrees best with the readings.

    Attributes:
        hole_count: Holes on the circle.
        spacing: Equal, or an angle of its own for every hole.
        sizes: Bolt circle, hole, stud, bore and outside diameter; None where the readings do not fix it.
        covariance: (5, 5) of those sizes in mm squared.
        expected: Expected value of every reading, also of those set aside.
        gains: How many mm the diameter moves per mm of each reading; 0 for those set aside.
        chi_square: Sum of squared residuals in units of their standard uncertainties.
        degrees_of_freedom: Readings used, less the unknowns they fix.
        center: X and Y of the center in mm, if positions were read.
        hole_angles: Degrees of every hole; from the X axis if positions were read, else from hole 1.
        clockwise: Whether the positions show the holes numbered clockwise.
    """

    hole_count: int
    spacing: Spacing
    sizes: tuple[Estimate | None, ...]
    covariance: Array
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


def fit_equal(readings: Sequence[Reading], hole_count: int, set_aside: frozenset[int] = frozenset()) -> Fit:
    """The best circle of equally spaced holes.

    Args:
        readings: Checked readings.
        hole_count: Holes on the circle, at least 2.
        set_aside: Indices of readings that take no part in the fit.
    """
    model = build_model(readings, hole_count)
    used = _used(len(readings), set_aside)
    if not model.has_positions:
        return _solve(model, np.zeros(SIZES), used)
    turned = replace(model, direction=-1)
    both = [_solve(each, _start(each, used), used) for each in (model, turned)]
    return min(both, key=lambda fit: fit.chi_square)


def fit_individual(readings: Sequence[Reading], equal: Fit, set_aside: frozenset[int] = frozenset()) -> Fit | None:
    """The best circle of holes that each stand at an angle of their own, or None if the readings cannot tell."""
    direction = -1 if equal.clockwise else 1
    model = build_model(readings, equal.hole_count)
    model = replace(model, direction=direction, free_angles=True)
    used = _used(len(readings), set_aside)
    fit = _solve(model, _individual_start(model, equal, used), used)
    if not fit.determined or not np.isfinite(fit.chi_square) or fit.degrees_of_freedom < 0:
        return None
    return fit


def _used(count: int, set_aside: frozenset[int]) -> Array:
    used = np.ones(count)
    used[list(set_aside)] = 0.0
    return used


def _solve(model: Model, start: Array, used: Array) -> Fit:
    """Gauss-Newton; one step is exact where the readings are linear in the unknowns."""
    weights = used / model.uncertainties
    unknowns = start
    expected, jacobian = predict(model, unknowns)
    for _ in range(_STEPS):
        step = weighted_step(jacobian, (model.values - expected) * weights, weights)[0]
        unknowns, expected, jacobian = _advance(model, unknowns, step, weights, expected)
        if model.linear or float(np.abs(step).max()) < _TOLERANCE:
            break
    return _result(model, unknowns, expected, jacobian, weights)


def _advance(model: Model, unknowns: Array, step: Array, weights: Array, expected: Array) -> tuple[Array, Array, Array]:
    """One step, halved while it makes the fit worse."""
    before = float((((model.values - expected) * weights) ** 2).sum())
    for _ in range(1 if model.linear else 12):
        moved = unknowns + step
        after, jacobian = predict(model, moved)
        if float((((model.values - after) * weights) ** 2).sum()) <= before * (1 + 1e-9) + 1e-15:
            break
        step = step / 2
    return moved, after, jacobian


def weighted_step(jacobian: Array, residuals: Array, weights: Array) -> tuple[Array, Array, Array]:
    """One weighted least-squares step.

    Args:
        jacobian: (m, p) derivatives of the m readings by the p unknowns.
        residuals: (m,) residuals, each over its standard uncertainty.
        weights: (m,) one over the standard uncertainty of each reading, 0 to leave it out.

    Returns:
        The step of least length, (p,); the row space, (rank, p), in scaled unknowns; and the gains,
        (p, m): how much each unknown moves per unit of each reading.
    """
    scales = np.sqrt((jacobian * jacobian).sum(axis=0))
    scales[scales < 1e-12] = 1.0
    left, singular, right = np.linalg.svd(jacobian * weights[:, None] / scales, full_matrices=False)
    rank = int((singular > singular[0] * 1e-9).sum()) if singular.size else 0
    rows = right[:rank]
    inverse = (rows.T / singular[:rank]) @ left[:, :rank].T / scales[:, None]
    return inverse @ residuals, rows, inverse * weights


def _result(model: Model, unknowns: Array, expected: Array, jacobian: Array, weights: Array) -> Fit:
    residuals = (model.values - expected) * weights
    _, rows, gains = weighted_step(jacobian, residuals, weights)
    fixed = (rows[:, :SIZES] ** 2).sum(axis=0) > 1 - 1e-7
    spread = gains[:SIZES] * model.uncertainties
    covariance = spread @ spread.T
    angles = np.degrees(hole_angles(model, unknowns))
    return Fit(
        hole_count=model.hole_count,
        spacing=Spacing.INDIVIDUAL if model.free_angles else Spacing.EQUAL,
        sizes=tuple(
            Estimate(float(unknowns[size]), float(covariance[size, size]) ** 0.5) if fixed[size] else None
            for size in range(SIZES)
        ),
        covariance=covariance,
        expected=tuple(expected.tolist()),
        gains=tuple(gains[DIAMETER].tolist()),
        chi_square=float((residuals**2).sum()),
        degrees_of_freedom=int((weights > 0).sum()) - len(rows),
        center=(float(unknowns[CENTER_X]), float(unknowns[CENTER_Y])) if model.has_positions else None,
        hole_angles=tuple((angles if model.has_positions else angles - angles[0]).tolist()),
        clockwise=model.direction < 0,
    )


def _start(model: Model, used: Array) -> Array:
    """Unknowns near the best fit of equally spaced positions: exact for positions alone.

    Center, and radius times cosine and sine of the turn, enter positions linearly.
    """
    on = (model.across | model.along) & (used > 0)
    angles = model.direction * 2 * np.pi * model.first[on] / model.hole_count
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


def _individual_start(model: Model, equal: Fit, used: Array) -> Array:
    """The equal fit; with positions, each hole at the angle it was read at."""
    start = np.zeros(model.unknowns)
    start[:SIZES] = [0.0 if size is None else size.value for size in equal.sizes]
    if equal.center is None:
        return start
    start[[CENTER_X, CENTER_Y]] = equal.center
    start[TURN] = np.radians(equal.hole_angles[0])
    x, y = (_by_hole(model, mask & (used > 0)) for mask in (model.across, model.along))
    seen = np.arctan2(y - equal.center[1], x - equal.center[0])
    off = model.direction * (seen - np.radians(equal.hole_angles))
    start[TURN + 1 :] = np.where(np.isfinite(off), (off + np.pi) % (2 * np.pi) - np.pi, 0.0)
    return start


def _by_hole(model: Model, mask: NDArray[np.bool_]) -> Array:
    """Mean of the masked readings of every hole, NaN for a hole without any."""
    totals, counts = np.zeros(model.hole_count), np.zeros(model.hole_count)
    np.add.at(totals, model.first[mask], model.values[mask])
    np.add.at(counts, model.first[mask], 1.0)
    return np.where(counts > 0, totals / np.where(counts > 0, counts, 1), np.nan)
