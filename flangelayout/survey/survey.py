"""The front door: readings in; bolt circle, suspects, candidates, verdict and next reading out."""

import math
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, TypeAlias

from msgspec import Struct

from flangelayout.errors import InputError, SurveyError
from flangelayout.facts import Length
from flangelayout.problems.survey import SurveyProblem
from flangelayout.standards import Pattern
from flangelayout.survey.candidates import Candidate, Ranking, Verdict, rank
from flangelayout.survey.fitting.fit import Fit, fit_equal
from flangelayout.survey.kinds import CHORD_KINDS, KINDS, POSITION_KINDS, RADIAL_KINDS, Kind
from flangelayout.survey.next_reading import NextReading, next_reading, repeated_reading
from flangelayout.survey.readings import COVERAGE_FACTOR, Allowances, Assumptions, Reading, SurveyInput, label
from flangelayout.survey.spacing import Spacings, possible_spacings
from flangelayout.survey.table import Table, build_table, table_of_count
from flangelayout.survey.validate import check_input
from flangelayout.value import replace

if TYPE_CHECKING:
    from flangelayout.survey.otherwise import OtherCount, ReadInOtherUnit
    from flangelayout.survey.suspects import Suspect

Tables: TypeAlias = Callable[[int], Table]
"""The rows to judge by where so many holes are looked for."""


class Survey(Struct, frozen=True):
    """What the readings say.

    Attributes:
        readings: As given; a hole diameter given beside them stands last.
        fit: The circle that agrees best with all readings that were not set aside on request.
        spacings: The spacings of the holes that the readings allow; ``fit`` is the best of them.
        count_found: Whether the hole count was found from the readings rather than given.
        set_aside: Indices of readings that took no part, because the caller asked for it.
        suspects: Why the readings disagree, if they do; none of these readings was left out of the fit.
        ranking: Candidates and verdict.
        next_reading: The reading to take next, or None.
        other_counts: One hole more and one fewer, where nothing fits the count given.
        other_unit: The other unit, where nothing fits in the one given and something does in that.
        assume: What was believed beforehand.
    """

    readings: tuple[Reading, ...]
    fit: Fit
    spacings: Spacings
    count_found: bool
    set_aside: frozenset[int]
    suspects: "tuple[Suspect, ...]"
    ranking: Ranking
    next_reading: NextReading | None
    other_counts: "tuple[OtherCount, ...]"
    other_unit: "ReadInOtherUnit | None"
    assume: Assumptions

    @property
    def hole_count(self) -> int:
        """Holes on the circle."""
        return self.fit.hole_count

    @property
    def diameter(self) -> float:
        """Diameter of the bolt circle, mm."""
        return self.fit.bolt_circle.value

    @property
    def band_holds(self) -> bool:
        """Whether the stated uncertainty may be believed: the readings do not contradict it."""
        return self.fit.agrees

    @property
    def standard_uncertainty(self) -> float | None:
        """Standard uncertainty in mm of the diameter of this part's best circle; None if it does not hold."""
        return self.fit.bolt_circle.standard_uncertainty if self.band_holds else None

    @property
    def expanded_uncertainty(self) -> float | None:
        """Plus or minus mm at 95 %: `coverage_factor` times the standard uncertainty; None if it does not hold."""
        return self.fit.bolt_circle.expanded_uncertainty if self.band_holds else None

    @property
    def coverage_factor(self) -> float:
        """Factor between the two uncertainties: 2."""
        return COVERAGE_FACTOR

    @property
    def expected(self) -> tuple[float, ...]:
        """What every reading should have been on the fitted circle, mm."""
        return self.fit.expected

    @property
    def residuals(self) -> tuple[float, ...]:
        """Reading less expectation, mm."""
        return tuple(reading.value - value for reading, value in zip(self.readings, self.expected, strict=True))

    @property
    def agrees(self) -> bool:
        """Whether the residuals agree with the stated uncertainties at the 95 % level."""
        return self.fit.agrees

    @property
    def candidates(self) -> tuple[Candidate, ...]:
        """Rows of the tables, the most probable first."""
        return self.ranking.candidates

    @property
    def verdict(self) -> Verdict:
        """One drilling, several that cannot be told apart, none, or open where the readings disagree."""
        return self.ranking.verdict

    @property
    def ties(self) -> tuple[Candidate, ...]:
        """The rows the verdict speaks of: all that share the one drilling, or all that stay possible."""
        return self.ranking.leading

    @property
    def off_a_picture(self) -> bool:
        """Whether readings that share an unknown scale take part, as those off photos, a scan or a print do."""
        return any(reading.scale is not None for reading in self._live)

    @property
    def scale_unchecked(self) -> bool:
        """Whether all that tells the size of the circle is off a picture: no caliper lay across holes."""
        spanning = CHORD_KINDS | RADIAL_KINDS
        return self.off_a_picture and not any(each.kind in spanning and each.scale is None for each in self._live)

    @property
    def _live(self) -> tuple[Reading, ...]:
        return tuple(each for index, each in enumerate(self.readings) if index not in self.set_aside)

    def suspicions(self, index: int) -> "tuple[Suspect, ...]":
        """The explanations that speak of a reading."""
        return tuple(suspect for suspect in self.suspects if index in suspect.readings)


def measure(
    readings: Sequence[Reading],
    hole_count: int | None = None,
    hole_diameter: float | None = None,
    drilling_tolerance: float | None = None,
    *,
    set_aside: Sequence[int] = (),
    patterns: Sequence[Pattern] | None = None,
    own: Sequence[Pattern] = (),
    assume: Assumptions = Assumptions(),  # noqa: B008 - frozen
) -> Survey:
    """The bolt circle behind some readings, with its uncertainty and the published drillings it may be.

    Args:
        readings: In any mix of kinds; one is enough if the hole count is known.
        hole_count: Holes on the circle, 2 to 400; None finds it, 2 to 64, if the readings allow.
        hole_diameter: A measured hole, mm: the same as one more ``hole-diameter`` reading.
        drilling_tolerance: Plus or minus mm (95 %) a made circle is off; None takes what is assumed.
        set_aside: Indices of readings to leave out of the fit; they are still reported.
        patterns: Rows to judge by; None takes every published one.
        own: A shop's own patterns and past jobs, which are candidates as well.
        assume: What is believed before anything is measured.

    Returns:
        A frozen result; all lengths in mm.

    Raises:
        InputError: If a reading or a setting cannot be right whatever the others say.
        SurveyError: If the readings do not fix a circle or cannot all be of one.

    Example:
        >>> survey = measure([Reading(Kind.CENTERS, 91.84)], hole_count=8)
        >>> round(survey.diameter, 1), round(survey.expanded_uncertainty, 1)
        (240.0, 1.3)
    """
    given = tuple(readings)
    if hole_diameter is not None:
        given += (Reading(Kind.HOLE_DIAMETER, hole_diameter, where="hole diameter"),)
    if drilling_tolerance is not None:
        assume = replace(assume, drilling_tolerance=drilling_tolerance)
    check_input(given, hole_count, hole_diameter, assume)
    aside = _aside(set_aside, len(given))
    return _surveyed(given, hole_count, aside, _tables(patterns, tuple(own)), assume)


def _tables(patterns: Sequence[Pattern] | None, own: tuple[Pattern, ...]) -> Tables:
    """The rows to judge by, for each hole count."""
    if patterns is None:
        return lambda hole_count: table_of_count(hole_count, own)
    given = build_table((*patterns, *own))
    return lambda _: given


def _surveyed(
    given: tuple[Reading, ...], hole_count: int | None, aside: frozenset[int], tables: Tables, assume: Assumptions
) -> Survey:
    """The survey of checked readings."""
    allow = assume.allow
    equal = fit_equal(given, hole_count, aside, allow) if hole_count else _counted(given, aside, allow)
    _check_fit(given, equal)
    suspects, slips = ((), []) if equal.agrees else _explained(given, equal, aside, assume)
    table = tables(equal.hole_count)
    spacings = possible_spacings(given, equal, slips, table, aside, allow)
    fit = spacings.best
    ranking = rank(spacings, given, table, assume)
    kept = suspects if fit is equal else ()
    lost = ranking.verdict is Verdict.NONE or not fit.agrees
    counts, unit = _otherwise(given, equal.hole_count, aside, tables, assume) if lost else ((), None)
    return Survey(
        readings=given,
        fit=fit,
        spacings=spacings,
        count_found=hole_count is None,
        set_aside=aside,
        suspects=kept,
        ranking=ranking,
        next_reading=repeated_reading(given, kept) or next_reading(fit, given, ranking, assume),
        other_counts=counts if hole_count else (),
        other_unit=unit,
        assume=assume,
    )


def measure_input(survey: SurveyInput) -> Survey:
    """`measure` on everything a job's survey holds."""
    readings = survey.readings
    is_measured = survey.hole_diameter is not None or any(each.kind is Kind.HOLE_DIAMETER for each in readings)
    if survey.drawn_hole is not None and not is_measured:
        readings += (Reading(Kind.HOLE_DIAMETER, survey.drawn_hole, where="hole diameter", is_drawn=True),)
    return measure(
        readings,
        survey.hole_count,
        survey.hole_diameter,
        survey.drilling_tolerance,
        set_aside=survey.set_aside,
        own=survey.own,
        assume=survey.assume,
    )


def _counted(readings: Sequence[Reading], aside: frozenset[int], allow: Allowances) -> Fit:
    """The fit with the hole count that the readings allow; loaded only where nobody counted."""
    from flangelayout.survey.otherwise import find_count

    return find_count(readings, aside, allow)


def _otherwise(
    readings: Sequence[Reading], hole_count: int, aside: frozenset[int], tables: Tables, assume: Assumptions
) -> "tuple[tuple[OtherCount, ...], ReadInOtherUnit | None]":
    """What else the readings may be, with another hole count or in the other unit; loaded only where nothing fits."""
    from flangelayout.survey.otherwise import other_counts, other_unit

    return (
        other_counts(readings, hole_count, aside, tables, assume),
        other_unit(readings, hole_count, aside, tables, assume),
    )


def _explained(
    readings: Sequence[Reading], equal: Fit, aside: frozenset[int], assume: Assumptions
) -> "tuple[tuple[Suspect, ...], list[float]]":
    """Why readings disagree, and the scores of the explanations that are slips; loaded only where they do."""
    from flangelayout.survey.suspects import explain, slip_scores

    suspects = explain(readings, equal, aside, assume.allow, assume.known_hole)
    return suspects, slip_scores(suspects)


def _aside(indices: Sequence[int], count: int) -> frozenset[int]:
    wrong = [index for index in indices if not 0 <= index < count]
    if wrong:
        raise InputError.of(SurveyProblem.NO_SUCH_READING, "set aside", number=wrong[0] + 1, count=count)
    return frozenset(indices)


def _check_fit(readings: Sequence[Reading], fit: Fit) -> None:
    """Refuses a circle that the readings do not fix, or that no part can have."""
    circle, unit = fit.bolt_circle, readings[0].unit
    if not fit.determined:
        raise _undetermined(readings) if math.isnan(circle.value) else _contradiction(readings)
    if fit.outside is not None and circle.value - circle.expanded_uncertainty > fit.outside.value:
        raise InputError.of(
            SurveyProblem.CIRCLE_BEYOND_RIM,
            _longest(readings),
            count=fit.hole_count,
            circle=Length(circle.value, unit),
            rim=Length(fit.outside.value, unit),
        )
    hole = fit.hole
    chord = circle.value * math.sin(math.pi / fit.hole_count)
    if hole is not None and fit.agrees and not 0 < hole.value < chord:
        raise SurveyError.of(SurveyProblem.HOLE_IMPOSSIBLE, hole=Length(hole.value, unit), chord=Length(chord, unit))


def _longest(readings: Sequence[Reading]) -> str:
    chords = [index for index, reading in enumerate(readings) if reading.kind in CHORD_KINDS]
    return label(readings, max(chords, key=lambda index: readings[index].value, default=0))


def _undetermined(readings: Sequence[Reading]) -> SurveyError:
    """What would have to be measured for these readings to fix a circle."""
    kinds = {reading.kind for reading in readings}
    shares = [KINDS[kind].shares for kind in kinds & CHORD_KINDS]
    if any(share.hole for share in shares):
        return SurveyError.of(SurveyProblem.HOLE_SIZE_MISSING)
    if any(share.stud for share in shares):
        return SurveyError.of(SurveyProblem.STUD_SIZE_MISSING)
    if kinds & RADIAL_KINDS:
        return SurveyError.of(SurveyProblem.RADIAL_SIZES_MISSING)
    if kinds & POSITION_KINDS:
        return SurveyError.of(SurveyProblem.POSITIONS_TOO_FEW)
    return SurveyError.of(SurveyProblem.NOTHING_SPANS)


def _contradiction(readings: Sequence[Reading]) -> SurveyError:
    kinds = tuple(sorted({reading.kind.value for reading in readings}))
    return SurveyError.of(SurveyProblem.CONTRADICTION, kinds=kinds)
