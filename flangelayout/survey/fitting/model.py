"""What readings of a given bolt circle should be, and how each changes with every unknown.

Unknowns, in this order: the five sizes (bolt circle, hole, stud, bore, outside diameter), then, if hole
positions were read, the center (X, Y) and the turn of hole 1, then, if the holes may be unequally
spaced, the angle by which holes 2, 3, ... (and 1, if positions were read) leave the equal spacing.
"""

from collections.abc import Sequence
from typing import Any

import numpy as np
from msgspec import Struct

from flangelayout.survey.kinds import CHORD_KINDS, KINDS, POSITION_KINDS, Kind
from flangelayout.survey.readings import Reading

# As ``numpy.typing`` has them; loading it costs a survey a fiftieth of its start.
Array = np.ndarray[Any, np.dtype[np.float64]]
Indices = np.ndarray[Any, np.dtype[np.int64]]
Places = np.ndarray[Any, np.dtype[np.intp]]
Mask = np.ndarray[Any, np.dtype[np.bool_]]
DIAMETER, HOLE, STUD, BORE, RIM = range(5)
SIZES = 5
CENTER_X, CENTER_Y, TURN = 5, 6, 7


class Model(Struct, frozen=True):
    """Readings turned into arrays for one hole count.

    Attributes:
        hole_count: Holes on the circle.
        values: Readings in mm.
        uncertainties: Their standard uncertainties in mm.
        parts: (m, 5) share of each size in each reading.
        half_angles: Half the central angle a chord reading spans, radians; 0 for other kinds.
        first, second: Hole index from 0 of each reading, -1 where none is named.
        across, along: Masks of the X and of the Y readings.
        direction: 1 if the holes are numbered counter-clockwise, -1 if clockwise.
        free_angles: Whether the holes may be unequally spaced.
        offsets: (hole_count,) radians by which the holes are known to leave the equal spacing; None for none.
    """

    hole_count: int
    values: Array
    uncertainties: Array
    parts: Array
    half_angles: Array
    first: Indices
    second: Indices
    across: Mask
    along: Mask
    direction: int = 1
    free_angles: bool = False
    offsets: Array | None = None

    @property
    def has_positions(self) -> bool:
        """Whether any hole position was read."""
        return bool(self.across.any() or self.along.any())

    @property
    def linear(self) -> bool:
        """Whether one least-squares step is exact: distances between equally spaced holes."""
        return not self.free_angles and not self.has_positions

    @property
    def unknowns(self) -> int:
        """Length of the vector of unknowns, including those no reading depends on."""
        if self.linear:
            return SIZES
        return TURN + 1 + (self.hole_count if self.free_angles else 0)


def build_model(readings: Sequence[Reading], hole_count: int, offsets: Array | None = None) -> Model:
    """Arrays for holes numbered counter-clockwise.

    Args:
        readings: Checked readings.
        hole_count: Holes on the circle.
        offsets: Radians by which each hole is known to leave the equal spacing; None for equal spacing.
    """
    chord = [reading.kind in CHORD_KINDS for reading in readings]
    steps = [reading.steps % hole_count if on else 0 for reading, on in zip(readings, chord, strict=True)]
    first, second = _holes(readings, chord, "from_hole"), _holes(readings, chord, "to_hole")
    half_angles = np.array(steps, dtype=float) * (np.pi / hole_count)
    if offsets is not None:
        half_angles = half_angles + np.where((first >= 0) & (second >= 0), (offsets[second] - offsets[first]) / 2, 0.0)
    return Model(
        hole_count=hole_count,
        values=np.array([reading.value for reading in readings], dtype=float),
        uncertainties=np.array([reading.standard_uncertainty for reading in readings], dtype=float),
        parts=np.array([KINDS[reading.kind].shares for reading in readings], dtype=float).reshape(-1, SIZES),
        half_angles=half_angles,
        first=first,
        second=second,
        across=np.array([reading.kind is Kind.X for reading in readings], dtype=bool),
        along=np.array([reading.kind is Kind.Y for reading in readings], dtype=bool),
        offsets=offsets,
    )


def _holes(readings: Sequence[Reading], chord: list[bool], name: str) -> Indices:
    """Index of a named hole for kinds whose reading moves with the hole's angle, else -1."""
    named = (
        getattr(reading, name) if on or reading.kind in POSITION_KINDS else None
        for reading, on in zip(readings, chord, strict=True)
    )
    return np.array([-1 if hole is None else hole - 1 for hole in named], dtype=np.int64)


def predict(model: Model, unknowns: Array) -> tuple[Array, Array]:
    """Expected readings in mm and their derivatives by every unknown, (m,) and (m, unknowns)."""
    jacobian = np.zeros((len(model.values), model.unknowns))
    jacobian[:, :SIZES] = model.parts
    expected = model.parts @ unknowns[:SIZES]
    halves = model.half_angles if model.linear else model.half_angles + _opening(model, unknowns)
    sines = np.sin(halves)
    expected += unknowns[DIAMETER] * sines
    jacobian[:, DIAMETER] += sines
    if model.has_positions:
        expected += _add_positions(model, unknowns, jacobian)
    if model.free_angles:
        chords = np.flatnonzero((model.first >= 0) & (model.second >= 0))
        pull = unknowns[DIAMETER] * np.cos(halves[chords]) / 2
        jacobian[chords, TURN + 1 + model.second[chords]] += pull
        jacobian[chords, TURN + 1 + model.first[chords]] -= pull
    return expected, jacobian


def _opening(model: Model, unknowns: Array) -> Array:
    """Half the extra central angle of each chord between unequally spaced holes, radians."""
    if not model.free_angles:
        return np.zeros_like(model.half_angles)
    shifts = np.append(unknowns[TURN + 1 :], 0.0)
    paired = (model.first >= 0) & (model.second >= 0)
    return np.where(paired, (shifts[model.second] - shifts[model.first]) / 2, 0.0)


def _add_positions(model: Model, unknowns: Array, jacobian: Array) -> Array:
    """What the X and Y readings add to the expected readings; fills their derivatives in."""
    angles = hole_angles(model, unknowns)[model.first]
    cosines, sines = np.cos(angles), np.sin(angles)
    across, along, radius = model.across, model.along, float(unknowns[DIAMETER]) / 2
    unit = np.where(across, cosines, 0.0) + np.where(along, sines, 0.0)
    swing = radius * (np.where(along, cosines, 0.0) - np.where(across, sines, 0.0))
    jacobian[:, DIAMETER] += unit / 2
    jacobian[across, CENTER_X] = 1.0
    jacobian[along, CENTER_Y] = 1.0
    jacobian[:, TURN] += swing
    middle: Array = unknowns[CENTER_X] * across + unknowns[CENTER_Y] * along
    if model.free_angles:
        placed = np.flatnonzero(across | along)
        jacobian[placed, TURN + 1 + model.first[placed]] += model.direction * swing[placed]
    return radius * unit + middle


def hole_angles(model: Model, unknowns: Array) -> Array:
    """Angle of every hole from the X axis in radians, in the order of their numbers."""
    steps = np.arange(model.hole_count) * (2 * np.pi / model.hole_count)
    if model.free_angles:
        steps = steps + unknowns[TURN + 1 :]
    if model.offsets is not None:
        steps = steps + model.offsets
    turn = unknowns[TURN] if not model.linear else 0.0
    return np.asarray(turn + model.direction * steps)
