"""How common drillings are taken to be: judgement, but in order."""

import math

import pytest

from flangelayout.errors import InputError
from flangelayout.provenance import Confidence, DrillingTolerance, Family
from flangelayout.standards import all_patterns, find
from flangelayout.survey import Assumptions, Kind, Reading, measure
from flangelayout.survey.candidates import Verdict
from flangelayout.survey.prior import COUNTS, count_share, family_tolerance, family_totals, names_of, row_shares
from flangelayout.survey.table import chord_tolerance, circle_tolerance
from flangelayout.value import replace


def test_shares_add_up_and_no_row_is_impossible() -> None:
    shares = row_shares(all_patterns(), family_totals(names_of(all_patterns())))
    assert shares.sum() == pytest.approx(1)
    assert shares.min() > 0
    assert sum(count_share(count) for count in COUNTS) == pytest.approx(1, abs=0.01)


def test_everyday_rows_are_more_common_than_rare_ones() -> None:
    rows = all_patterns()
    weighed = row_shares(rows, family_totals(names_of(rows))).tolist()
    shares = dict(zip((row.designation for row in rows), weighed, strict=True))
    assert shares["EN 1092-1 PN16 DN150"] > 50 * shares["EN 1092-1 PN2.5 DN10"]
    assert shares["ASME B16.5 Class 150 NPS 4"] > 10 * shares["ASME B16.5 Class 2500 NPS 4"]
    assert shares["wheel hub 5x114.3"] > 3 * shares["wheel hub 5x115"]


def test_every_family_has_a_tolerance_and_pipe_rows_their_own() -> None:
    assert all(0.1 <= family_tolerance(family) <= 1.5 for family in Family)
    # ASME B16.5 allows 1.5 mm on the circle; EN 1092-1 1.0 mm up to M24 (from memory).
    assert circle_tolerance(find("ASME B16.5 Class 150 NPS 6")) == 1.5
    assert circle_tolerance(find("EN 1092-1 PN16 DN150")) == 1.0
    assert circle_tolerance(find("wheel hub 5x114.3")) == 0.15
    assert chord_tolerance(find("ASME B16.5 Class 150 NPS 6")) == 0.8  # ASME B16.5
    assert chord_tolerance(find("JIS B 2220 10K 100A")) == 0.8  # states none: as ASME B16.5
    assert chord_tolerance(find("wheel hub 5x114.3")) == 0.15


def near_and_far(circle_sine: float, hole: float = 14.0) -> list[Reading]:
    return [
        Reading(Kind.NEAR_EDGES, circle_sine - hole, pitches=2),
        Reading(Kind.FAR_EDGES, circle_sine + hole, pitches=2),
    ]


def test_a_wheel_read_near_and_far_is_one() -> None:
    # sin 72 deg = 0.951057: five holes, two apart.
    survey = measure(near_and_far(114.3 * 0.951057), 5)
    assert survey.verdict is Verdict.ONE
    assert survey.ties[0].pattern.designation == "wheel hub 5x114.3"


def test_a_row_of_finely_spaced_holes_leaves_less_in_doubt() -> None:
    # All of a part's allowed scatter, 0.12 along and 0.10 across, is 0.17 mm between neighbors: a row that keeps them
    # within 0.15 is judged by a fifth of that as a variance, one that keeps them within 0.8 by all of it.
    fine = find("wheel hub 5x114.3")
    readings, spreads = near_and_far(114.3 * 0.951057), []
    for neighbors in (0.15, 0.8):
        survey = measure(
            readings, 5, patterns=[replace(fine, tolerance=DrillingTolerance(0.15, neighbors, "", Confidence.MEMORY))]
        )
        spreads.append(survey.candidates[0].spread)
    # Zero 0.07 and two readings good to 0.1 each: 0.0995 over 0.951; half of 0.15 for the circle; the rest is the part.
    whole = 2 * (0.12 * 0.309017) ** 2 + 2 * (0.10 * 0.951057) ** 2 * (1 - 2 / 5)
    neighbors = 2 * (0.12 * 0.809017) ** 2 + 2 * (0.10 * 0.587785) ** 2
    read, circle = (0.0995 / 0.951057) ** 2, 0.075**2
    shared = 0.075**2 / neighbors * whole / 0.951057**2
    assert spreads[0] == pytest.approx(math.sqrt(read + circle + shared), abs=0.002)
    beyond = 2 * (0.4**2 - neighbors) * (0.5 * 0.309017 / 0.809017) ** 2  # what 0.8 allows along the circle besides
    wide = whole / 0.951057**2 + beyond / 0.951057**2
    assert spreads[1] == pytest.approx(math.sqrt(read + circle + wide), abs=0.003)


def test_a_stud_read_to_the_far_edge_of_the_one_two_away_gives_the_circle() -> None:
    # Center of a stud to the far edge of the one two away: 114.3 x 0.951057 + 12 / 2 = 114.71.
    readings = [Reading(Kind.STUD_TO_FAR_EDGE, 114.706), Reading(Kind.STUD_DIAMETER, 12.0)]
    survey = measure(readings, 5)
    assert survey.diameter == pytest.approx(114.3, abs=0.01)
    assert survey.candidates[0].pattern.designation == "wheel hub 5x114.3"


def test_one_family_alone_is_looked_for_when_asked() -> None:
    readings = near_and_far(100.0 * 0.951057)
    survey = measure(readings, 5, assume=Assumptions(family=Family.CHAINRING))
    assert {each.pattern.family for each in survey.candidates} <= {Family.CHAINRING}
    with pytest.raises(InputError, match="no wheel hub"):
        measure(readings, 5, patterns=[find("EN 1092-1 PN16 DN150")], assume=Assumptions(family=Family.WHEEL_HUB))


def test_the_share_of_home_made_circles_is_settable() -> None:
    readings = [Reading(Kind.SAME_EDGES, 240.0, pitches=4)] * 2
    few = measure(readings, 8, assume=Assumptions(home_made=0.05)).ranking.outside
    many = measure(readings, 8, assume=Assumptions(home_made=0.5)).ranking.outside
    assert few is not None
    assert many is not None
    assert many > 5 * few
    for wrong in (0.0, 1.0, -0.2):
        with pytest.raises(InputError, match="between 0 and 1"):
            measure(readings, 8, assume=Assumptions(home_made=wrong))
