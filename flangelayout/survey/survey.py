"""The front door: readings in; bolt circle, suspects, candidates, verdict and next reading out."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from flangelayout.errors import InputError, Problem, SurveyError
from flangelayout.standards import Pattern
from flangelayout.survey.candidates import Candidate, Ranking, Verdict, rank
from flangelayout.survey.fit import Fit, Spacing, fit_equal, fit_individual
from flangelayout.survey.goodness import AGREEMENT_LEVEL, chi_square_tail
from flangelayout.survey.next_reading import Expectation, NextReading, next_reading
from flangelayout.survey.readings import CHORD_KINDS, COVERAGE_FACTOR, POSITION_KINDS, Kind, Reading, SurveyInput, label
from flangelayout.survey.suspects import UNKNOWN_CHARGE, Cause, Suspect, explain
from flangelayout.survey.table import build_table, published_table
from flangelayout.survey.validate import check_input
from flangelayout.units import decimal_text

_COUNTS = range(2, 65)
_COUNT_SURE = 0.95
_DEMAND = 0.001
_COUNT_THEM = "count the holes (--holes, or survey.hole_count in a job file)"


@dataclass(frozen=True, slots=True)
class Survey:
    """What the readings say.

    Attributes:
        readings: As given; a hole diameter given beside them stands last.
        fit: The circle that agrees best with all readings that were not set aside on request.
        count_found: Whether the hole count was found from the readings rather than given.
        set_aside: Indices of readings that took no part, because the caller asked for it.
        suspects: Why the readings disagree, if they do; none of these readings was left out of the fit.
        ranking: Candidates and verdict.
        next_reading: The reading to take next, or None.
        drilling_tolerance: The tolerance given, or None where the tables' own was used.
    """

    readings: tuple[Reading, ...]
    fit: Fit
    count_found: bool
    set_aside: frozenset[int]
    suspects: tuple[Suspect, ...]
    ranking: Ranking
    next_reading: NextReading | None
    drilling_tolerance: float | None

    @property
    def hole_count(self) -> int:
        """Holes on the circle."""
        return self.fit.hole_count

    @property
    def diameter(self) -> float:
        """Diameter of the bolt circle, mm."""
        return self.fit.bolt_circle.value

    @property
    def standard_uncertainty(self) -> float:
        """Standard uncertainty of the diameter, mm, from the stated uncertainties of the readings."""
        return self.fit.bolt_circle.standard_uncertainty

    @property
    def expanded_uncertainty(self) -> float:
        """Plus or minus mm at 95 %: `coverage_factor` times the standard uncertainty."""
        return self.fit.bolt_circle.expanded_uncertainty

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
        """One drilling, several that cannot be told apart, or none."""
        return self.ranking.verdict

    def explanation(self, index: int) -> str | None:
        """Why a reading is suspect, or None if it is not."""
        texts = [suspect.text for suspect in self.suspects if index in suspect.readings]
        return "; or ".join(texts) or None


def measure(
    readings: Sequence[Reading],
    hole_count: int | None = None,
    hole_diameter: float | None = None,
    drilling_tolerance: float | None = None,
    *,
    set_aside: Sequence[int] = (),
    patterns: Sequence[Pattern] | None = None,
) -> Survey:
    """The bolt circle behind some readings, with its uncertainty and the published drillings it may be.

    Args:
        readings: In any mix of kinds; one is enough if the hole count is known.
        hole_count: Holes on the circle, 2 to 400; None finds it, 2 to 64, if the readings allow.
        hole_diameter: A measured hole, mm: the same as one more ``hole-diameter`` reading.
        drilling_tolerance: Plus or minus mm (95 %) a made circle is off; None takes the tables' own.
        set_aside: Indices of readings to leave out of the fit; they are still reported.
        patterns: Rows to judge by; None takes every published one.

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
    check_input(given, hole_count, hole_diameter, drilling_tolerance)
    aside = _aside(set_aside, len(given))
    equal = fit_equal(given, hole_count, aside) if hole_count is not None else _find_count(given, aside)
    _check_fit(given, equal)
    suspects = explain(given, equal, aside)
    fit = _spaced(given, equal, suspects, aside)
    if fit.spacing is Spacing.INDIVIDUAL:
        suspects = ()
    table = published_table() if patterns is None else build_table(patterns)
    ranking = rank(fit, given, table, drilling_tolerance)
    return Survey(
        readings=given,
        fit=fit,
        count_found=hole_count is None,
        set_aside=aside,
        suspects=suspects,
        ranking=ranking,
        next_reading=_repeat(given, suspects, ranking) or next_reading(fit, given, ranking, drilling_tolerance),
        drilling_tolerance=drilling_tolerance,
    )


def measure_input(survey: SurveyInput, *, patterns: Sequence[Pattern] | None = None) -> Survey:
    """`measure` on everything a job's survey holds."""
    return measure(
        survey.readings, survey.hole_count, survey.hole_diameter, survey.drilling_tolerance, patterns=patterns
    )


def _aside(indices: Sequence[int], count: int) -> frozenset[int]:
    wrong = [index for index in indices if not 0 <= index < count]
    if wrong:
        raise InputError(Problem("set aside", f"there is no reading {wrong[0] + 1}; there are {count}"))
    return frozenset(indices)


def _find_count(readings: Sequence[Reading], aside: frozenset[int]) -> Fit:
    """The fit for the one hole count that the readings allow."""
    named = max((hole or 0 for reading in readings for hole in (reading.from_hole, reading.to_hole)), default=0)
    spanned = max((2 * (reading.pitches or 1) for reading in readings if reading.kind in CHORD_KINDS), default=2)
    fits = [fit_equal(readings, count, aside) for count in _COUNTS if count >= max(named, spanned, 2)]
    fits = [fit for fit in fits if fit.determined]
    if not fits or min(fit.degrees_of_freedom for fit in fits) < 1:
        raise SurveyError(
            f"the hole count is missing and these readings fit any; {_COUNT_THEM}, "
            "or read chords across different numbers of pitches"
        )
    best = min(fits, key=lambda fit: fit.chi_square)
    if best.probability < _DEMAND:
        raise SurveyError(
            f"no hole count from {fits[0].hole_count} to {fits[-1].hole_count} fits the readings "
            f"({best.hole_count} comes nearest); {_COUNT_THEM} to see which reading is off"
        )
    weights = {fit.hole_count: math.exp((best.chi_square - fit.chi_square) / 2) for fit in fits}
    if 1 / sum(weights.values()) < _COUNT_SURE:
        likely = sorted(count for count, weight in weights.items() if weight > 0.02)
        names = ", ".join(str(count) for count in likely[:6]) + (" and more" if len(likely) > 6 else "")
        raise SurveyError(f"the readings fit {names} holes alike; {_COUNT_THEM}")
    return best


def _check_fit(readings: Sequence[Reading], fit: Fit) -> None:
    """Refuses a circle that the readings do not fix, or that no part can have."""
    circle = fit.bolt_circle
    if not fit.determined:
        raise SurveyError(_missing(readings) if math.isnan(circle.value) else _contradiction(readings))
    if fit.outside is not None and circle.value - circle.expanded_uncertainty > fit.outside.value:
        raise InputError(
            Problem(
                _longest(readings),
                f"is longer than the circle allows: {fit.hole_count} holes that far apart lie on "
                f"{circle.value:.2f} mm, outside the {fit.outside.value:.2f} mm of the part; "
                "check the hole count and the pitches",
            )
        )
    hole = fit.hole
    chord = circle.value * math.sin(math.pi / fit.hole_count)
    if hole is not None and fit.agrees and not 0 < hole.value < chord:
        raise SurveyError(
            f"the readings make the holes {hole.value:.2f} mm wide on centers {chord:.2f} mm apart, which cannot be; "
            "check the kinds: a near-edge reading is shorter than a far-edge one by two hole diameters"
        )


def _longest(readings: Sequence[Reading]) -> str:
    chords = [index for index, reading in enumerate(readings) if reading.kind in CHORD_KINDS]
    return label(readings, max(chords, key=lambda index: readings[index].value, default=0))


def _missing(readings: Sequence[Reading]) -> str:
    """What would have to be measured for these readings to fix a circle."""
    kinds = {reading.kind for reading in readings}
    if kinds & {Kind.NEAR_EDGES, Kind.FAR_EDGES}:
        return (
            "edge readings need the hole diameter to give a center distance: measure a hole (--hole-diameter, "
            "or survey.hole_diameter in a job file), or take both a near-edge and a far-edge reading"
        )
    if kinds & {Kind.OVER_STUDS, Kind.BETWEEN_STUDS}:
        return (
            "stud readings need the stud diameter to give a center distance: measure a stud (--stud-diameter, "
            "or a reading of that kind in a job file), or take a reading over and one between the studs"
        )
    if Kind.HOLE_TO_BORE in kinds or Kind.HOLE_TO_RIM in kinds:
        return "hole to bore or rim needs the hole diameter and the bore or outside diameter; measure those too"
    if kinds & POSITION_KINDS:
        return "the positions do not fix a circle; give X and Y of at least two holes, three if the count is unsure"
    return 'no reading spans the circle; measure a chord between two holes (--chord, or kind = "centers" in a job file)'


def _contradiction(readings: Sequence[Reading]) -> str:
    kinds = ", ".join(sorted({reading.kind.value for reading in readings}))
    return f"the readings contradict each other: no circle has all of them ({kinds}); check kinds and values"


def _spaced(readings: Sequence[Reading], equal: Fit, suspects: Sequence[Suspect], aside: frozenset[int]) -> Fit:
    """The equal spacing, unless the residuals demand and the readings allow an angle for every hole."""
    if equal.agrees or not _names_every_hole(readings, equal.hole_count, aside):
        return equal
    free = fit_individual(readings, equal, aside)
    if free is None or (free.degrees_of_freedom > 0 and not free.agrees):
        return equal
    unknowns = equal.degrees_of_freedom - free.degrees_of_freedom
    if chi_square_tail(equal.chi_square - free.chi_square, unknowns) >= _DEMAND:
        return equal
    slips = [suspect for suspect in suspects if suspect.cause is not Cause.HOLE_OUT_OF_PLACE]
    slipped = bool(slips) and slips[0].score < free.chi_square + UNKNOWN_CHARGE * unknowns
    return equal if slipped else free


def _names_every_hole(readings: Sequence[Reading], hole_count: int, aside: frozenset[int]) -> bool:
    live = [reading for index, reading in enumerate(readings) if index not in aside]
    spread = [reading for reading in live if reading.kind in CHORD_KINDS | POSITION_KINDS]
    named = {hole for reading in spread for hole in (reading.from_hole, reading.to_hole) if hole is not None}
    return len(named) == hole_count and all(reading.from_hole is not None for reading in spread)


def _repeat(readings: Sequence[Reading], suspects: Sequence[Suspect], ranking: Ranking) -> NextReading | None:
    """The suspect reading once more: nothing else is worth more while the readings disagree."""
    if not suspects or len(suspects[0].readings) != 1:
        return None
    index = suspects[0].readings[0]
    reading, cured = readings[index], suspects[0].cured
    if reading.kind not in CHORD_KINDS:
        return None
    span = reading.span(cured.hole_count)
    value = cured.bolt_circle.value * math.sin(math.pi * span / cured.hole_count)
    expected = (Expectation("without the suspect reading", value),)
    why = (
        f"{label(readings, index)} disagrees with the others (chance below {AGREEMENT_LEVEL:.0%}): measure it again, "
        f"center to center it should be {decimal_text(value, reading.unit)} {reading.unit.value}"
    )
    return NextReading(Kind.CENTERS, span, expected, why)
