"""What else the same readings may be of: a hole count that nobody counted or counted wrong, or another unit."""

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from flangelayout.errors import SurveyError
from flangelayout.problems.survey import SurveyProblem
from flangelayout.survey.candidates import Candidate, rank
from flangelayout.survey.fitting.fit import Estimate, Fit, fit_equal
from flangelayout.survey.kinds import CHORD_KINDS, KINDS
from flangelayout.survey.prior import COUNTS
from flangelayout.survey.readings import Allowances, Assumptions, Reading, highest_named, in_other_unit, unit_beside
from flangelayout.survey.spacing import DEMAND, possible_spacings
from flangelayout.units import Unit
from flangelayout.value import replace

if TYPE_CHECKING:
    from flangelayout.survey.survey import Tables

_COUNT_SURE = 0.95
_MOST_NAMED = 6
_WORTH_NAMING = 0.02


class OtherCount(Struct, frozen=True):
    """What the same readings say of one hole more or fewer, tried because nothing else fitted.

    Attributes:
        hole_count: Holes tried.
        circle: The bolt circle they would lie on; None if the readings contradict the count.
        leading: Published drillings it would then be; none if the readings contradict the count.
    """

    hole_count: int
    circle: Estimate | None
    leading: tuple[Candidate, ...]


class ReadInOtherUnit(Struct, frozen=True):
    """What the same numbers say if they were read in another unit, tried because nothing else fitted.

    Attributes:
        unit: The unit tried.
        circle: The bolt circle they would then make.
        leading: Published drillings it would then be, at least one.
    """

    unit: Unit
    circle: Estimate
    leading: tuple[Candidate, ...]


def find_count(readings: Sequence[Reading], aside: frozenset[int], allow: Allowances) -> Fit:
    """The fit for the one hole count that the readings allow.

    Raises:
        SurveyError: If they allow none, or more than one.
    """
    fewest = _fewest(readings)
    fits = [fit_equal(readings, count, aside, allow) for count in COUNTS if count >= fewest]
    fits = [fit for fit in fits if fit.determined]
    if not fits or min(fit.degrees_of_freedom for fit in fits) < 1:
        raise SurveyError.of(SurveyProblem.COUNT_MISSING)
    best = min(fits, key=lambda fit: fit.chi_square)
    if best.probability < DEMAND:
        raise SurveyError.of(
            SurveyProblem.NO_COUNT_FITS,
            fewest=fits[0].hole_count,
            most=fits[-1].hole_count,
            nearest=best.hole_count,
        )
    weights = {fit.hole_count: math.exp((best.chi_square - fit.chi_square) / 2) for fit in fits}
    if 1 / sum(weights.values()) < _COUNT_SURE:
        likely = sorted(weights, key=lambda count: -weights[count])[:_MOST_NAMED]
        alike = tuple(sorted(count for count in likely if weights[count] > _WORTH_NAMING))
        raise SurveyError.of(SurveyProblem.COUNTS_ALIKE, counts=alike)
    return best


def other_counts(
    readings: Sequence[Reading], hole_count: int, aside: frozenset[int], tables: "Tables", assume: Assumptions
) -> tuple[OtherCount, ...]:
    """One hole fewer and one more, with what each would be."""
    fits = (fit_equal(readings, count, aside, assume.allow) for count in _next_counts(readings, hole_count))
    return tuple(
        OtherCount(fit.hole_count, fit.bolt_circle if fit.agrees else None, _agreeing(readings, fit, tables, assume))
        for fit in fits
        if fit.determined
    )


def other_unit(
    readings: Sequence[Reading], hole_count: int, aside: frozenset[int], tables: "Tables", assume: Assumptions
) -> ReadInOtherUnit | None:
    """The same numbers in the other unit, if they are then a published drilling."""
    units = {reading.unit for reading in readings}
    if len(units) > 1:
        return None
    turned = [replace(in_other_unit(reading), within=KINDS[reading.kind].within) for reading in readings]
    fit = fit_equal(turned, hole_count, aside, assume.allow)
    leading = _agreeing(turned, fit, tables, assume) if fit.determined else ()
    return ReadInOtherUnit(unit_beside(units.pop()), fit.bolt_circle, leading) if leading else None


def _agreeing(readings: Sequence[Reading], fit: Fit, tables: "Tables", assume: Assumptions) -> tuple[Candidate, ...]:
    """The published drillings of a fit; none if the readings contradict it."""
    if not fit.agrees:
        return ()
    table = tables(fit.hole_count)
    spacings = possible_spacings(readings, fit, (), table, frozenset(), assume.allow)
    return rank(spacings, readings, table, assume).leading


def _next_counts(readings: Sequence[Reading], hole_count: int) -> tuple[int, ...]:
    """One hole fewer and one more, as far as the readings could be of so many."""
    spans = max((reading.pitches or 0 for reading in readings), default=0)
    fewest = max(2, highest_named(readings), spans + 1)
    return tuple(count for count in (hole_count - 1, hole_count + 1) if count >= fewest)


def _fewest(readings: Sequence[Reading]) -> int:
    """The least count that has every hole named, and no span wider than half the circle."""
    spanned = [
        2 * (reading.pitches or KINDS[reading.kind].usual_pitches)
        for reading in readings
        if reading.kind in CHORD_KINDS
    ]
    return max(highest_named(readings), 2, *spanned)
