"""How many holes there are: found where nobody counted, doubted where nothing fits."""

import math
from collections.abc import Sequence

from flangelayout.errors import SurveyError
from flangelayout.problems.survey import SurveyProblem
from flangelayout.survey.fitting.fit import Fit, fit_equal
from flangelayout.survey.kinds import CHORD_KINDS, KINDS
from flangelayout.survey.prior import COUNTS
from flangelayout.survey.readings import Allowances, Reading
from flangelayout.survey.spacing import DEMAND

_COUNT_SURE = 0.95
_MOST_NAMED = 6
_WORTH_NAMING = 0.02


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


def next_counts(readings: Sequence[Reading], hole_count: int) -> tuple[int, ...]:
    """One hole fewer and one more, as far as the readings could be of so many."""
    named = max((hole or 0 for reading in readings for hole in (reading.from_hole, reading.to_hole)), default=0)
    spans = max((reading.pitches or 0 for reading in readings), default=0)
    return tuple(count for count in (hole_count - 1, hole_count + 1) if count >= max(2, named, spans + 1))


def _fewest(readings: Sequence[Reading]) -> int:
    """The least count that has every hole named, and no span wider than half the circle."""
    named = max((hole or 0 for reading in readings for hole in (reading.from_hole, reading.to_hole)), default=0)
    spanned = [
        2 * (reading.pitches or KINDS[reading.kind].usual_pitches)
        for reading in readings
        if reading.kind in CHORD_KINDS
    ]
    return max(named, 2, *spanned)
