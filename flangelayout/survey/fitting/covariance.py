"""How the errors of readings hang together: each reading's own, the caliper's, and those of the part.

Beside what a reading is good to by itself, it shares the caliper's zero and the skew of its jaws with all
others, the unknown scale of its group with that group, and the place of each hole it touches with every
reading that touches the same hole. A hole out of place by (r, t), away from the center and along the
circle, changes a chord of half central angle h by r sin h and by t cos h or its opposite at either end.

What is asked for is the best circle through the holes that are really there. Its radius is the mean of
theirs, so only what a hole leaves that mean by is an error.
"""

from collections import Counter
from collections.abc import Sequence

import numpy as np

from flangelayout.survey.fitting.model import DIAMETER, Array, Mask, Model
from flangelayout.survey.kinds import CHORD_KINDS, KINDS, RADIAL_KINDS
from flangelayout.survey.readings import COVERAGE_FACTOR, Allowances, Reading


def reading_covariance(readings: Sequence[Reading], model: Model, allow: Allowances) -> Array:
    """(m, m) covariance in mm squared of what readings may be off on a part without fault.

    A reading that is said to be good to very little was taken with a better instrument: zero and skew
    never exceed its own standard uncertainty. Hole positions are not taken with a caliper, and a
    zero off is a center off.
    """
    own = model.uncertainties
    caliper = np.array([reading.scale is None for reading in readings]) & ~(model.across | model.along)
    jaws = np.array([KINDS[reading.kind].jaws.value for reading in readings], dtype=float)
    columns = [
        np.where(caliper, np.minimum(allow.zero, own), 0.0),
        np.where(caliper, np.minimum(allow.skew, own) * jaws, 0.0),
        *_scales(readings, model.values),
        *_shared(readings),
    ]
    shared = np.column_stack(columns)
    return np.asarray(np.diag(own**2) + shared @ shared.T)


def _scales(readings: Sequence[Reading], values: Array) -> list[Array]:
    """One column for each group of readings with a common scale: what one standard deviation of it does."""
    groups = dict.fromkeys(reading.scale for reading in readings if reading.scale is not None)
    return [
        np.array([reading.scale == group for reading in readings]) * values * (group.within / COVERAGE_FACTOR)
        for group in groups
    ]


def _shared(readings: Sequence[Reading]) -> list[Array]:
    """One column for each further error that the readings of a group have in common."""
    columns = []
    for group in dict.fromkeys(reading.scale for reading in readings if reading.shared):
        loads = [reading.shared if reading.scale == group else () for reading in readings]
        for error in range(max(map(len, loads))):
            columns.append(np.array([each[error] if error < len(each) else 0.0 for each in loads]))
    return columns


def part_covariance(readings: Sequence[Reading], model: Model, angles: Array, allow: Allowances, used: Mask) -> Array:
    """(m, m) covariance in mm squared of what holes out of place do to readings, from the part's best circle.

    Args:
        readings: The readings.
        model: The same as arrays.
        angles: Radians of every hole, about.
        allow: What a hole may be out of place. Along the circle it is nothing where each has its own angle.
        used: Which readings take part in the fit.
    """
    count = len(readings)
    across, along = np.zeros((count, model.hole_count)), np.zeros((count, model.hole_count))
    for index, (first, second) in enumerate(_touched(readings, model.hole_count, used)):
        half = float(model.half_angles[index])
        if second >= 0:
            across[index, [first, second]] += np.sin(half)
            along[index, second] += np.cos(half)
            along[index, first] -= np.cos(half)
        elif model.across[index]:
            across[index, first], along[index, first] = np.cos(angles[first]), -np.sin(angles[first])
        elif model.along[index]:
            across[index, first], along[index, first] = np.sin(angles[first]), np.cos(angles[first])
        elif first >= 0:
            across[index, first] = 2 * model.parts[index, DIAMETER]
    mean = across.sum(axis=1)
    spread = allow.across**2 * (across @ across.T - np.outer(mean, mean) / model.hole_count)
    return np.asarray(spread if model.free_angles else spread + allow.along**2 * (along @ along.T))


def _touched(readings: Sequence[Reading], hole_count: int, used: Mask) -> list[tuple[int, int]]:
    """The holes each reading touches, from 0; -1 for none.

    Where none are named, readings of one kind across the same pitches are taken to be of one pair of holes
    after the other, and readings of different kinds of the same pairs, as near and far edges are. Those that take part
    come first.
    """
    done: Counter[tuple[object, int]] = Counter()
    touched = [(-1, -1)] * len(readings)
    for at in sorted(range(len(readings)), key=lambda index: not used[index]):
        reading = readings[at]
        span = reading.span(hole_count)
        turn = done[reading.kind, span]
        if reading.from_hole is not None:
            first = (reading.from_hole - 1) % hole_count
            touched[at] = (first, (first + reading.steps) % hole_count if span else -1)
            continue
        done[reading.kind, span] += 1
        if reading.kind in CHORD_KINDS:
            first = _start(turn, span, hole_count)
            touched[at] = (first, (first + span) % hole_count)
        elif reading.kind in RADIAL_KINDS:
            touched[at] = (turn % hole_count, -1)
    return touched


def _start(turn: int, span: int, hole_count: int) -> int:
    """First hole of the next pair across a span: pairs that share no hole come first."""
    starts = sorted(range(hole_count), key=lambda hole: ((hole // max(span, 1)) % 2, hole))
    return starts[turn % hole_count]
