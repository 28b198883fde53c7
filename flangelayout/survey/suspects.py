"""When readings disagree: which one, and what mistake would explain it.

Every explanation is tried as a hypothesis: the reading is altered as if the mistake had been made (or left
out, or a hole moved), the circle is fitted again, and the explanation is charged for how rare the mistake
is and for every unknown it adds. Explanations that come out close to the best are all reported, because
then the readings cannot tell which it was.
"""

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct

from flangelayout.survey.fitting.fit import Fit, fit_equal
from flangelayout.survey.fitting.goodness import AGREEMENT_LEVEL, UNKNOWN_CHARGE
from flangelayout.survey.kinds import CHORD_KINDS, KINDS
from flangelayout.survey.mistakes import (
    CHARGES,
    Cause,
    HoleMoved,
    HoleOval,
    Miscounted,
    Misread,
    Mistake,
    alterations,
)
from flangelayout.survey.readings import Allowances, Reading, highest_named
from flangelayout.value import replace

_HIGHEST_COUNT = 64
_CLOSE = 3.0


class Suspect(Struct, frozen=True):
    """One explanation of readings that disagree.

    Attributes:
        readings: Indices of the readings it speaks of.
        mistake: What was done wrong.
        off_by: Reading less what the others make it, mm; the first of several readings.
        cured: The circle with the mistake undone; the readings as given are what ``measure`` fits.
        score: Chi-square with the mistake undone plus its charges; less is more believable.
    """

    readings: tuple[int, ...]
    mistake: Mistake
    off_by: float
    cured: Fit
    score: float

    @property
    def cause(self) -> Cause:
        """The sort of mistake."""
        return self.mistake.cause


class _Case(Struct, frozen=True):
    """What every hypothesis is tried on."""

    readings: Sequence[Reading]
    fit: Fit
    set_aside: frozenset[int]
    allow: Allowances
    known_hole: float | None

    def refit(self, readings: Sequence[Reading], hole_count: int, also: frozenset[int] = frozenset()) -> Fit:
        return fit_equal(readings, hole_count, self.set_aside | also, self.allow)

    def suspect(
        self, indices: tuple[int, ...], mistake: Mistake, off_by: float, cured: Fit, unknowns: int = 0
    ) -> Suspect:
        lost = max(self.fit.degrees_of_freedom - cured.degrees_of_freedom, unknowns)
        score = cured.chi_square + CHARGES[mistake.cause] + UNKNOWN_CHARGE * lost
        return Suspect(indices, mistake, off_by, cured, score)


def explain(
    readings: Sequence[Reading],
    fit: Fit,
    set_aside: frozenset[int] = frozenset(),
    allow: Allowances = Allowances(),  # noqa: B008 - frozen
    known_hole: float | None = None,
) -> tuple[Suspect, ...]:
    """Explanations that would cure readings that disagree, the most believable first.

    Args:
        readings: The readings.
        fit: The circle all of them were fitted with.
        set_aside: Indices of readings that take no part.
        allow: What readings may be off beside what each is good to.
        known_hole: Hole diameter in mm that the part is said to have; an explanation that needs another
            hole is not believed.

    Returns:
        The best one and any that the readings cannot tell from it; empty if the readings agree or
        nothing tried makes them agree.
    """
    if fit.agrees:
        return ()
    case = _Case(readings, fit, set_aside, allow, known_hole)
    found = [
        suspect
        for tries in (_single, _holes, _counts)
        for suspect in tries(case)
        if suspect.cured.determined
        and suspect.cured.probability >= AGREEMENT_LEVEL
        and _plausible(suspect.cured, known_hole)
    ]
    found.sort(key=lambda suspect: suspect.score)
    kept: list[Suspect] = []
    for suspect in found:
        spoken = {index for other in kept for index in other.readings}
        if suspect.score <= found[0].score + _CLOSE and not spoken >= set(suspect.readings):
            kept.append(suspect)
    return tuple(kept)


def slip_scores(suspects: Sequence[Suspect]) -> list[float]:
    """Scores of the explanations that leave the holes where they should be."""
    return [suspect.score for suspect in suspects if suspect.cause is not Cause.HOLE_OUT_OF_PLACE]


def _plausible(fit: Fit, known_hole: float | None) -> bool:
    """A hole must be the one that is known, leave metal to its neighbors and not be lost beside the pitch.

    Within a tenth of the hole known, and 1 part in 20 of the pitch: judgement.
    """
    chord = fit.bolt_circle.value * math.sin(math.pi / fit.hole_count)
    if fit.hole is not None and known_hole is not None and abs(fit.hole.value - known_hole) > known_hole / 10:
        return False
    return fit.hole is None or 0.05 * chord < fit.hole.value < chord


def _single(case: _Case) -> Iterator[Suspect]:
    """One reading altered or left out."""
    fit = case.fit
    for index, reading in enumerate(case.readings):
        if index in case.set_aside:
            continue
        without = case.refit(case.readings, fit.hole_count, frozenset({index}))
        if not without.determined or without.probability < AGREEMENT_LEVEL / 10:
            continue
        miss = reading.value - without.expected[index]
        if abs(miss) > 2 * reading.standard_uncertainty and without.degrees_of_freedom < fit.degrees_of_freedom:
            found = case.suspect((index,), Misread(), miss, without)
            yield replace(found, score=found.score - UNKNOWN_CHARGE)
        for altered, mistake in alterations(reading, fit.hole_count):
            changed = [*case.readings[:index], altered, *case.readings[index + 1 :]]
            yield case.suspect((index,), mistake, miss, case.refit(changed, fit.hole_count))


def _holes(case: _Case) -> Iterator[Suspect]:
    """One hole out of place, or oval: every reading that touches it is left to that hole's own unknown."""
    touching: dict[int, list[int]] = {}
    for index, reading in enumerate(case.readings):
        for hole in {reading.from_hole, reading.to_hole} - {None}:
            touching.setdefault(int(hole or 0), []).append(index)
    for hole, indices in sorted(touching.items()):
        live = tuple(index for index in indices if index not in case.set_aside)
        if len(live) < 2 or len(live) == len(case.readings):
            continue
        without = case.refit(case.readings, case.fit.hole_count, frozenset(live))
        if without.determined:
            yield from _shifted(case, without, hole, live)


def _shifted(case: _Case, without: Fit, hole: int, indices: tuple[int, ...]) -> Iterator[Suspect]:
    """The two ways one unknown of a hole can explain all its readings, if it does."""
    misses = [case.readings[index].value - without.expected[index] for index in indices]
    sizes = [math.hypot(case.readings[index].standard_uncertainty, case.allow.along) for index in indices]
    for mistake in (HoleMoved, HoleOval):
        pulls = [_pull(case.readings[index], hole, case.fit.hole_count, mistake.cause) for index in indices]
        if sum(abs(pull) > 1e-9 for pull in pulls) < 2:
            continue
        power = sum((pull / size) ** 2 for pull, size in zip(pulls, sizes, strict=True))
        amount = sum(p * m / s**2 for p, m, s in zip(pulls, misses, sizes, strict=True)) / power
        rest = sum(((m - p * amount) / s) ** 2 for p, m, s in zip(pulls, misses, sizes, strict=True))
        cured = replace(
            without,
            chi_square=without.chi_square + rest,
            degrees_of_freedom=max(case.fit.degrees_of_freedom - 1, 0),
        )
        yield case.suspect(indices, mistake(hole, amount), misses[0], cured, 1)


def _pull(reading: Reading, hole: int, hole_count: int, cause: Cause) -> float:
    """How much a reading grows per mm that a hole moves along the circle, or is longer across."""
    if reading.kind not in CHORD_KINDS or reading.from_hole is None or reading.to_hole is None:
        return 0.0
    if cause is Cause.OVAL_HOLE:
        return KINDS[reading.kind].shares.hole / 2
    half = math.pi * (reading.steps % hole_count) / hole_count
    return math.cos(half) if reading.to_hole == hole else -math.cos(half)


def _counts(case: _Case) -> Iterator[Suspect]:
    """The hole count itself miscounted."""
    readings, fit = case.readings, case.fit
    spans = {reading.span(fit.hole_count) for reading in readings if reading.kind in CHORD_KINDS}
    named = highest_named(readings)
    if len(spans) < 2:
        return
    indices = tuple(index for index in range(len(readings)) if index not in case.set_aside)
    for count in range(max(3, named, 2 * max(spans)), _HIGHEST_COUNT + 1):
        if count != fit.hole_count:
            off_by = readings[indices[0]].value - fit.expected[indices[0]]
            yield case.suspect(indices, Miscounted(count), off_by, case.refit(readings, count))
