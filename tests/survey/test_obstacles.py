"""What stands in the way of cutting, as values: the cases of the trade, each with its truth worked by hand."""

import math
from itertools import product

import pytest

from flangelayout.survey import Kind, Reading, Survey, measure
from flangelayout.survey.candidates import Verdict
from flangelayout.survey.fitting.fit import Spacing
from flangelayout.survey.mistakes import Cause
from flangelayout.survey.obstacles import (
    CountUncertain,
    NotEquallySpaced,
    NotOneAnswer,
    ReadingsDisagree,
    SuspectReadings,
    UnitUncertain,
    Wanted,
    obstacles,
)
from flangelayout.survey.words.report import survey_data
from flangelayout.survey.words.wording import survey_lines
from rows import every_row


def between(angles: tuple[float, ...], diameter: float, pairs: list[tuple[int, int]], within: float) -> list[Reading]:
    """Exact center distances of holes at some angles: the diameter times the sine of half the angle between."""
    return [
        Reading(
            Kind.CENTERS,
            diameter * abs(math.sin(math.radians(angles[second - 1] - angles[first - 1]) / 2)),
            first,
            second,
            within=within,
        )
        for first, second in pairs
    ]


SIDES = [(1, 2), (2, 3), (3, 4), (4, 1)]
DIAGONALS = [(1, 3), (2, 4)]
UNEVEN = (0.0, 50.0, 180.0, 230.0)


def port(sides: tuple[float, float], named: bool) -> list[Reading]:
    """The four sides of a rectangle, read one after the other."""
    values = (*sides, *sides)
    if not named:
        return [Reading(Kind.CENTERS, value) for value in values]
    return [Reading(Kind.CENTERS, value, *pair) for value, pair in zip(values, SIDES, strict=True)]


def kinds(survey: Survey, wanted: Wanted) -> list[type]:
    return [type(each) for each in obstacles(survey, wanted)]


def test_sound_readings_of_one_drilling_may_be_cut_either_way() -> None:
    wide = [Reading(Kind.SAME_EDGES, 240.0, pitches=4, within=0.1)] * 2
    survey = measure([*wide, Reading(Kind.OUTSIDE_DIAMETER, 285.0)], 8)
    assert survey.band_holds
    assert kinds(survey, Wanted.CIRCLE) == kinds(survey, Wanted.STANDARD) == []
    # EN 1092-1: PN 10 and PN 16 share the drilling of DN150, so both are named.
    assert {"EN 1092-1 PN10 DN150", "EN 1092-1 PN16 DN150"} <= {each.pattern.designation for each in survey.ties}


def test_a_suspect_reading_stops_every_way_and_says_by_how_much() -> None:
    survey = measure([Reading(Kind.SAME_EDGES, value) for value in (91.84, 91.84, 97.90)], 8)
    assert not survey.band_holds
    assert survey.expanded_uncertainty is survey.standard_uncertainty is None
    for wanted in Wanted:
        disagree, suspect = obstacles(survey, wanted)[:2]
        assert isinstance(disagree, ReadingsDisagree)
        assert disagree.chance < 0.001
        assert disagree.worst == 2
        assert isinstance(suspect, SuspectReadings)
        assert suspect.indices == (2,)
        assert suspect.off_by == pytest.approx(97.90 - 91.84)
        # 91.84 / sin 22.5 deg = 91.84 / 0.382683 (handbook table of chords, 8 divisions) = 239.99
        assert suspect.diameter == pytest.approx(239.99, abs=0.005)


def test_a_known_hole_rules_out_explanations_that_need_another() -> None:
    from flangelayout.survey import Assumptions

    readings = [Reading(Kind.SAME_EDGES, value) for value in (91.84, 91.84, 97.90)]
    assert measure(readings, 8).suspects[0].cause is Cause.MIXED_EDGES  # a hole of 6.06 mm
    known = measure(readings, 8, assume=Assumptions(known_hole=22.0))
    assert known.suspects[0].cause is not Cause.MIXED_EDGES
    assert known.suspects[0].readings == (2,)


def test_uneven_holes_with_readings_to_spare_are_proven_and_no_equal_row_is_offered() -> None:
    survey = measure(between(UNEVEN, 36.0, SIDES + DIAGONALS, 0.1), 4)
    (spacing,) = obstacles(survey, Wanted.CIRCLE)
    assert isinstance(spacing, NotEquallySpaced)
    assert spacing.proven
    assert spacing.angles == pytest.approx(UNEVEN)
    assert obstacles(survey, Wanted.ANGLES) == ()
    assert survey.verdict is Verdict.NONE
    assert not any(each.pattern.equally_spaced for each in survey.candidates)
    assert NotOneAnswer in kinds(survey, Wanted.STANDARD)
    said = "\n".join(survey_lines(survey)) + str(survey_data(survey))
    assert "F03" not in said  # ISO 5211 F03 has four equal holes on 36 mm


def test_uneven_holes_without_a_reading_to_spare_are_no_fact() -> None:
    survey = measure(between(UNEVEN, 36.0, SIDES, 0.1), 4)
    assert survey.fit.spacing is Spacing.EQUAL
    assert not survey.band_holds
    disagree, spacing = obstacles(survey, Wanted.ANGLES)
    assert isinstance(disagree, ReadingsDisagree)
    assert isinstance(spacing, NotEquallySpaced)
    assert not spacing.proven
    assert spacing.angles == pytest.approx(UNEVEN)
    said = "\n".join(survey_lines(survey))
    assert "either the holes are not equally spaced" in said
    assert "F03" not in said


@every_row(("turned", "named"), product([False, True], [True, False]))
def test_the_sides_of_a_hydraulic_port_lead_to_its_standard(named: bool, turned: bool) -> None:
    # ISO 6162-1 (code 61), 1 in: 52.4 x 26.2 mm; the corners lie on sqrt(52.4^2 + 26.2^2) = 58.58 mm.
    sides = (26.2, 52.4) if turned else (52.4, 26.2)
    survey = measure(port(sides, named), 4)
    assert survey.candidates[0].pattern.designation == "ISO 6162-1 DN25"
    assert survey.verdict is Verdict.ONE
    assert survey.diameter == pytest.approx(math.hypot(52.4, 26.2), abs=0.01)
    assert NotEquallySpaced in kinds(survey, Wanted.CIRCLE)
    assert NotEquallySpaced in kinds(survey, Wanted.STANDARD)
    assert obstacles(survey, Wanted.ANGLES) == ()


def test_uneven_crank_arms_are_no_pipe_flange() -> None:
    survey = measure(between((0.0, 66.0, 180.0, 246.0), 110.0, SIDES + DIAGONALS, 0.2), 4)
    assert not any(each.pattern.equally_spaced for each in survey.candidates)
    assert survey.verdict is Verdict.NONE


def test_several_drillings_are_all_named() -> None:
    survey = measure([Reading(Kind.CENTERS, 240 * math.sin(math.pi / 8))], 8)
    (answer,) = obstacles(survey, Wanted.STANDARD)
    assert isinstance(answer, NotOneAnswer)
    assert answer.verdict is Verdict.SEVERAL
    assert {240.0, 241.3} <= {each.pattern.bolt_circle for each in answer.candidates}
    assert obstacles(survey, Wanted.CIRCLE) == ()


def test_a_miscounted_flange_is_asked_about() -> None:
    # EN 1092-1 PN40 DN200 has 12 holes on 320 mm: neighbors 320 sin 15 deg = 82.82. Counted as 11.
    survey = measure([Reading(Kind.SAME_EDGES, 82.82, pitches=1)] * 3, 11)
    uncertain = next(each for each in obstacles(survey, Wanted.STANDARD) if isinstance(each, CountUncertain))
    assert uncertain.given == 11
    assert [count for count, _ in uncertain.fits] == [12]
    assert uncertain.fits[0][1].pattern.bolt_circle == pytest.approx(320, abs=1)
    assert {other.hole_count for other in survey.other_counts} == {10, 12}
    said = "\n".join(survey_lines(survey))
    assert "with 12 holes" in said
    assert "tried with 10 holes" in said


def test_other_counts_are_tried_whenever_nothing_fits_and_only_then() -> None:
    nothing = measure([Reading(Kind.SAME_EDGES, 777.0 * math.sin(math.pi / 5), pitches=1)] * 2, 5)
    assert nothing.verdict is Verdict.NONE
    assert {other.hole_count for other in nothing.other_counts} == {4, 6}
    fits = measure([Reading(Kind.SAME_EDGES, 91.84, pitches=1)] * 2, 8)
    assert fits.other_counts == ()


def test_an_inch_reading_in_an_mm_survey_is_asked_about() -> None:
    # ASME B16.5 class 150 NPS 1 1/2: four holes on 3 7/8 in, neighbors 3.875 x 0.7071 = 2.74 in. 2 23/32 = 2.719.
    survey = measure([Reading(Kind.SAME_EDGES, 2.71875)], 4)
    unit = next(each for each in obstacles(survey, Wanted.CIRCLE) if isinstance(each, UnitUncertain))
    assert unit.other.unit.value == "in"
    assert unit.other.leading
    assert "were the numbers read in inches?" in "\n".join(survey_lines(survey))


def test_one_chord_alone_is_never_one_answer() -> None:
    # One reading, no hole size, on a common circle: 3 3/4 in between neighbors of four holes.
    for value in (95.25, 120.65 * math.sin(math.pi / 4), 125 * math.sin(math.pi / 4)):
        survey = measure([Reading(Kind.SAME_EDGES, value)], 4)
        assert survey.verdict is not Verdict.ONE
