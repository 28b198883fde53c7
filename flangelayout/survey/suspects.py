"""When readings disagree: which one, and what mistake would explain it.

Every explanation is tried as a hypothesis: the reading is altered as if the mistake had been made (or left
out, or a hole moved), the circle is fitted again, and the explanation is charged for how rare the mistake
is and for every unknown it adds. The charges are judgement (common practice, no source); they stand in
one table below. Explanations that come out close to the best are all reported, because then the readings
cannot tell which it was.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from itertools import pairwise

from flangelayout.survey.fit import Fit, fit_equal
from flangelayout.survey.goodness import AGREEMENT_LEVEL
from flangelayout.survey.model import HOLE
from flangelayout.survey.readings import CHORD_KINDS, Kind, Reading, label
from flangelayout.units import Unit, decimal_text, from_mm, size_text, to_mm

_HIGHEST_COUNT = 64


class Cause(Enum):
    """Mistakes that are tried, and what each must gain in chi-square before it is believed."""

    MIXED_EDGES = "mixed edges"
    NEAR_FAR_SWAP = "near and far swapped"
    PITCH = "one pitch too many or too few"
    INCH_FOR_MM = "inch for mm"
    DECIMAL_SLIP = "decimal point slipped"
    DIGIT_SWAP = "two digits swapped"
    HOLE_COUNT = "hole count"
    HOLE_OUT_OF_PLACE = "hole out of place"
    OVAL_HOLE = "oval hole"
    MISREAD = "misread"


_CHARGE = {
    Cause.MIXED_EDGES: 4.0,
    Cause.NEAR_FAR_SWAP: 4.0,
    Cause.PITCH: 5.0,
    Cause.INCH_FOR_MM: 6.0,
    Cause.DECIMAL_SLIP: 6.0,
    Cause.DIGIT_SWAP: 7.0,
    Cause.HOLE_COUNT: 6.0,
    Cause.HOLE_OUT_OF_PLACE: 9.0,
    Cause.OVAL_HOLE: 10.0,
    Cause.MISREAD: 11.0,
}
UNKNOWN_CHARGE = 4.0
"""Charge for every unknown a hypothesis adds to the fit."""

_CLOSE = 3.0
_RELATED: dict[Kind, tuple[tuple[Kind, Cause], ...]] = {
    Kind.CENTERS: ((Kind.NEAR_EDGES, Cause.MIXED_EDGES), (Kind.FAR_EDGES, Cause.MIXED_EDGES)),
    Kind.SAME_EDGES: ((Kind.NEAR_EDGES, Cause.MIXED_EDGES), (Kind.FAR_EDGES, Cause.MIXED_EDGES)),
    Kind.NEAR_EDGES: ((Kind.SAME_EDGES, Cause.MIXED_EDGES), (Kind.FAR_EDGES, Cause.NEAR_FAR_SWAP)),
    Kind.FAR_EDGES: ((Kind.SAME_EDGES, Cause.MIXED_EDGES), (Kind.NEAR_EDGES, Cause.NEAR_FAR_SWAP)),
    Kind.OVER_STUDS: ((Kind.CENTERS, Cause.MIXED_EDGES), (Kind.BETWEEN_STUDS, Cause.NEAR_FAR_SWAP)),
    Kind.BETWEEN_STUDS: ((Kind.CENTERS, Cause.MIXED_EDGES), (Kind.OVER_STUDS, Cause.NEAR_FAR_SWAP)),
}


@dataclass(frozen=True, slots=True)
class Suspect:
    """One explanation of readings that disagree.

    Attributes:
        readings: Indices of the readings it speaks of.
        cause: The mistake.
        text: What was found and what to do, one sentence.
        cured: The circle with the mistake undone; the readings as given are what ``measure`` fits.
        score: Chi-square with the mistake undone plus its charges; less is more believable.
    """

    readings: tuple[int, ...]
    cause: Cause
    text: str
    cured: Fit
    score: float


def explain(readings: Sequence[Reading], fit: Fit, set_aside: frozenset[int] = frozenset()) -> tuple[Suspect, ...]:
    """Explanations that would cure readings that disagree, the most believable first.

    Returns:
        The best one and any that the readings cannot tell from it; empty if the readings agree or
        nothing tried makes them agree.
    """
    if fit.agrees:
        return ()
    found = [
        suspect
        for tries in (_single, _holes, _counts)
        for suspect in tries(readings, fit, set_aside)
        if suspect.cured.determined and suspect.cured.probability >= AGREEMENT_LEVEL and _plausible(suspect.cured)
    ]
    found.sort(key=lambda suspect: suspect.score)
    kept: list[Suspect] = []
    for suspect in found:
        spoken = {index for other in kept for index in other.readings}
        if suspect.score <= found[0].score + _CLOSE and not spoken >= set(suspect.readings):
            kept.append(suspect)
    return tuple(kept)


def _plausible(fit: Fit) -> bool:
    """A hole must leave metal to its neighbors, and not be lost beside the pitch (1 part in 20: judgement)."""
    chord = fit.bolt_circle.value * math.sin(math.pi / fit.hole_count)
    return fit.hole is None or 0.05 * chord < fit.hole.value < chord


def _score(fit: Fit, cured: Fit, cause: Cause, unknowns: int = 0) -> float:
    lost = fit.degrees_of_freedom - cured.degrees_of_freedom
    return cured.chi_square + _CHARGE[cause] + UNKNOWN_CHARGE * max(lost, unknowns)


def _single(readings: Sequence[Reading], fit: Fit, set_aside: frozenset[int]) -> Iterator[Suspect]:
    """One reading altered or left out."""
    for index, reading in enumerate(readings):
        if index in set_aside:
            continue
        without = fit_equal(readings, fit.hole_count, set_aside | {index})
        if not without.determined or without.probability < AGREEMENT_LEVEL / 10:
            continue
        miss = reading.value - without.expected[index]
        name = label(readings, index)
        if abs(miss) > 2 * reading.standard_uncertainty and without.degrees_of_freedom < fit.degrees_of_freedom:
            text = f"{name}: {_signed(miss, reading.unit)} what the others make it; measure it again"
            yield Suspect((index,), Cause.MISREAD, text, without, _score(fit, without, Cause.MISREAD) - UNKNOWN_CHARGE)
        for altered, cause, words in _alterations(reading, fit.hole_count):
            changed = [*readings[:index], altered, *readings[index + 1 :]]
            cured = fit_equal(changed, fit.hole_count, set_aside)
            text = f"{name}: {words.format(miss=_signed(miss, reading.unit), hole=_hole_text(cured, reading.unit))}"
            yield Suspect((index,), cause, text, cured, _score(fit, cured, cause))


def _signed(miss: float, unit: Unit) -> str:
    return f"{decimal_text(abs(miss), unit)} {unit.value} {'above' if miss > 0 else 'below'}"


def _hole_text(fit: Fit, unit: Unit) -> str:
    hole = fit.sizes[HOLE]
    return f" ({decimal_text(hole.value, unit)} {unit.value})" if hole is not None else ""


def _alterations(reading: Reading, hole_count: int) -> Iterator[tuple[Reading, Cause, str]]:
    """The reading as it would be had a mistake been made, the mistake, and the words for it."""
    for kind, cause in _RELATED.get(reading.kind, ()):
        words = (
            f"{{miss}} what the others make it; it fits as {kind.value} instead of {reading.kind.value}"
            "{hole}: one hole or stud diameter off per edge mixed up"
        )
        yield replace(reading, kind=kind), cause, words
    if reading.kind in CHORD_KINDS:
        yield from _pitch_slips(reading, hole_count)
    for value, cause, words in _slips(reading):
        yield replace(reading, value=value), cause, words


def _pitch_slips(reading: Reading, hole_count: int) -> Iterator[tuple[Reading, Cause, str]]:
    span = reading.span(hole_count)
    for other in (span - 1, span + 1):
        if 1 <= other <= hole_count // 2:
            words = f"{{miss}} what the others make it; it fits across {other} instead of {span} pitches"
            yield replace(reading, from_hole=None, to_hole=None, pitches=other), Cause.PITCH, words


def _slips(reading: Reading) -> Iterator[tuple[float, Cause, str]]:
    """Other values that one slip of the pen would turn into this one, in mm."""
    unit = reading.unit.value
    inches = reading.unit is Unit.IN
    written = decimal_text(reading.value, Unit.IN) if inches else size_text(reading.value, Unit.MM)
    for number in _digit_swaps(written):
        words = f"{{miss}} what the others make it; two digits swapped? {number:g} fits, {written} {unit} does not"
        yield to_mm(number, reading.unit), Cause.DIGIT_SWAP, words
    for factor, direction in ((10.0, "left"), (0.1, "right")):
        words = f"{{miss}} what the others make it; it fits if the decimal point slipped one place to the {direction}"
        yield reading.value * factor, Cause.DECIMAL_SLIP, words
    for value, other in ((to_mm(reading.value, Unit.IN), "inches"), (from_mm(reading.value, Unit.IN), "mm")):
        words = f"{{miss}} what the others make it; it fits if the number was read in {other}"
        if (reading.unit is Unit.MM) == (other == "inches"):
            yield value, Cause.INCH_FOR_MM, words


def _digit_swaps(written: str) -> Iterator[float]:
    """Numbers that differ from a decimal text by two neighboring digits changing places."""
    spots = [spot for spot, character in enumerate(written) if character.isdigit()]
    for left, right in pairwise(spots):
        if written[left] != written[right]:
            swapped = [*written]
            swapped[left], swapped[right] = swapped[right], swapped[left]
            yield float("".join(swapped))


def _holes(readings: Sequence[Reading], fit: Fit, set_aside: frozenset[int]) -> Iterator[Suspect]:
    """One hole out of place, or oval: every reading that touches it is left to that hole's own unknown."""
    touching: dict[int, list[int]] = {}
    for index, reading in enumerate(readings):
        for hole in {reading.from_hole, reading.to_hole} - {None}:
            touching.setdefault(int(hole or 0), []).append(index)
    for hole, indices in sorted(touching.items()):
        live = tuple(index for index in indices if index not in set_aside)
        if len(live) < 2 or len(live) == len(readings):
            continue
        without = fit_equal(readings, fit.hole_count, set_aside | set(live))
        if not without.determined:
            continue
        yield from _shifted(readings, fit, without, hole, live)


def _shifted(
    readings: Sequence[Reading], fit: Fit, without: Fit, hole: int, indices: tuple[int, ...]
) -> Iterator[Suspect]:
    """The two ways one unknown of a hole can explain all its readings, if it does."""
    misses = [readings[index].value - without.expected[index] for index in indices]
    sizes = [readings[index].standard_uncertainty for index in indices]
    unit = readings[indices[0]].unit
    for cause in (Cause.HOLE_OUT_OF_PLACE, Cause.OVAL_HOLE):
        pulls = [_pull(readings[index], hole, fit.hole_count, cause) for index in indices]
        power = sum((pull / size) ** 2 for pull, size in zip(pulls, sizes, strict=True))
        if sum(abs(pull) > 1e-9 for pull in pulls) < 2:
            continue
        amount = sum(p * m / s**2 for p, m, s in zip(pulls, misses, sizes, strict=True)) / power
        rest = sum(((m - p * amount) / s) ** 2 for p, m, s in zip(pulls, misses, sizes, strict=True))
        cured = replace(
            without,
            chi_square=without.chi_square + rest,
            degrees_of_freedom=max(fit.degrees_of_freedom - 1, 0),
        )
        shift = f"{decimal_text(abs(amount), unit)} {unit.value}"
        if cause is Cause.HOLE_OUT_OF_PLACE:
            way = "toward the next higher" if amount > 0 else "toward the next lower"
            text = f"hole {hole} sits {shift} {way} number: unequal spacing, seen in every reading that touches it"
        else:
            way = "longer" if amount > 0 else "shorter"
            text = f"hole {hole} is {shift} {way} across than the others: an oval hole?"
        yield Suspect(indices, cause, text, cured, _score(fit, cured, cause, 1))


def _pull(reading: Reading, hole: int, hole_count: int, cause: Cause) -> float:
    """How much a reading grows per mm that a hole moves along the circle, or is longer across."""
    if reading.kind not in CHORD_KINDS or reading.from_hole is None or reading.to_hole is None:
        return 0.0
    if cause is Cause.OVAL_HOLE:
        return {Kind.NEAR_EDGES: -0.5, Kind.FAR_EDGES: 0.5}.get(reading.kind, 0.0)
    half = math.pi * (reading.steps % hole_count) / hole_count
    return math.cos(half) if reading.to_hole == hole else -math.cos(half)


def _counts(readings: Sequence[Reading], fit: Fit, set_aside: frozenset[int]) -> Iterator[Suspect]:
    """The hole count itself miscounted."""
    spans = {reading.span(fit.hole_count) for reading in readings if reading.kind in CHORD_KINDS}
    named = max((hole or 0 for reading in readings for hole in (reading.from_hole, reading.to_hole)), default=0)
    if len(spans) < 2:
        return
    for count in range(max(3, named, 2 * max(spans)), _HIGHEST_COUNT + 1):
        if count != fit.hole_count:
            cured = fit_equal(readings, count, set_aside)
            text = f"the readings fit {count} holes, not {fit.hole_count}; count the holes again"
            indices = tuple(index for index in range(len(readings)) if index not in set_aside)
            yield Suspect(indices, Cause.HOLE_COUNT, text, cured, _score(fit, cured, Cause.HOLE_COUNT))
