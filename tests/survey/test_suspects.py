import random
from collections.abc import Callable

import pytest

from flangelayout.survey import Kind, Reading, Survey, measure
from flangelayout.survey.fitting.fit import Spacing
from flangelayout.survey.mistakes import Cause
from flangelayout.survey.words.sentences import next_reason
from flangelayout.survey.words.slips import suspect_text
from flangelayout.units import Unit
from flangelayout.value import replace
from survey.synthetic import Part, neighbors, pair, shaken, single

PART = Part()


def altered(index: int, change: Callable[[Reading], Reading], readings: list[Reading] | None = None) -> Survey:
    readings = list(readings or [*neighbors(PART), pair(PART, Kind.SAME_EDGES, 1, 5)])
    readings[index] = change(readings[index])
    return measure(readings, 8)


def test_reading_over_the_near_edges_is_named_as_mixed_edges() -> None:
    survey = altered(2, lambda reading: replace(reading, value=reading.value - 22.0))
    (suspect,) = survey.suspects
    assert (suspect.readings, suspect.cause) == ((2,), Cause.MIXED_EDGES)
    assert suspect.cured.bolt_circle.value == pytest.approx(240)
    assert "between the near edges" in suspect_text(survey, suspect)


def test_suspect_is_kept_in_the_fit_and_marked() -> None:
    survey = altered(2, lambda reading: replace(reading, value=reading.value - 22.0))
    assert not survey.agrees
    assert survey.fit.gains[2] != 0
    assert survey.suspicions(2)
    assert survey.suspicions(1) == ()
    assert survey.next_reading is not None
    assert "measure it again" in next_reason(survey, survey.next_reading, Unit.MM)


def test_one_pitch_too_many_is_named() -> None:
    survey = altered(8, lambda _: Reading(Kind.SAME_EDGES, pair(PART, Kind.CENTERS, 1, 4).value, pitches=4))
    assert survey.suspects[0].readings == (8,)
    assert survey.suspects[0].cause is Cause.PITCH
    assert "from a hole to the 3rd after it, not between opposite holes" in suspect_text(survey, survey.suspects[0])


def test_near_and_far_swapped_is_named() -> None:
    readings = [*neighbors(PART, Kind.NEAR_EDGES), single(PART, Kind.HOLE_DIAMETER)]
    survey = altered(3, lambda reading: replace(reading, value=reading.value + 44.0), readings)
    assert survey.suspects[0].readings == (3,)
    assert survey.suspects[0].cause is Cause.NEAR_FAR_SWAP


def test_swapped_digits_are_named() -> None:
    survey = altered(4, lambda reading: replace(reading, value=98.1), [replace(r, value=91.8) for r in neighbors(PART)])
    assert survey.suspects[0].readings == (4,)
    assert survey.suspects[0].cause is Cause.DIGIT_SWAP
    assert "91.8" in suspect_text(survey, survey.suspects[0])


def test_slipped_decimal_point_is_named() -> None:
    survey = altered(4, lambda reading: replace(reading, value=reading.value / 10))
    assert survey.suspects[0].cause is Cause.DECIMAL_SLIP
    assert survey.suspects[0].readings == (4,)


def test_inch_for_mm_is_named() -> None:
    survey = altered(4, lambda reading: replace(reading, value=reading.value / 25.4))
    assert survey.suspects[0].cause is Cause.INCH_FOR_MM
    assert survey.suspects[0].readings == (4,)


def test_mm_for_inch_is_named() -> None:
    readings = [replace(reading, unit=Unit.IN) for reading in neighbors(PART)]
    survey = altered(4, lambda reading: replace(reading, value=reading.value * 25.4), readings)
    assert survey.suspects[0].cause is Cause.INCH_FOR_MM


def test_hole_out_of_place_is_named_by_its_number() -> None:
    part = Part(shifts=(0, 0, 0, 0.8, 0, 0, 0, 0))
    survey = measure(neighbors(part)[:6], 8)
    assert survey.suspects[0].cause is Cause.HOLE_OUT_OF_PLACE
    assert suspect_text(survey, survey.suspects[0]).startswith("hole 4 sits 1.6")


def test_hole_out_of_place_seen_by_every_hole_gets_angles_of_its_own() -> None:
    part = Part(shifts=(0, 0, 0, 0.8, 0, 0, 0, 0))
    skips = [pair(part, Kind.SAME_EDGES, at, at + 2) for at in range(1, 9)]
    survey = measure([*neighbors(part), *skips], 8)
    assert survey.fit.spacing is Spacing.INDIVIDUAL
    assert survey.diameter == pytest.approx(240, abs=1e-6)
    assert survey.suspects == ()


def test_oval_hole_is_named_by_its_number() -> None:
    readings = [*neighbors(PART, Kind.NEAR_EDGES, 0.2), *neighbors(PART, Kind.FAR_EDGES, 0.2)]
    readings = [
        replace(r, value=r.value + (0.6 if r.kind is Kind.FAR_EDGES else -0.6)) if 3 in (r.from_hole, r.to_hole) else r
        for r in readings
    ]
    survey = measure(readings, 8)
    assert survey.suspects[0].cause is Cause.OVAL_HOLE
    assert suspect_text(survey, survey.suspects[0]).startswith("hole 3 is 1.20 mm longer")


def test_miscounted_holes_are_named() -> None:
    part = Part(hole_count=12)
    readings = [Reading(Kind.SAME_EDGES, pair(part, Kind.CENTERS, 1, 1 + k).value, pitches=k) for k in (1, 2, 3)]
    survey = measure(readings, 10)
    assert survey.suspects[0].cause is Cause.HOLE_COUNT
    assert "fit 12 holes, not 10" in suspect_text(survey, survey.suspects[0])


def test_two_readings_that_disagree_are_both_suspect() -> None:
    survey = measure([Reading(Kind.CENTERS, 91.8), Reading(Kind.CENTERS, 93.9)], 8)
    assert {index for suspect in survey.suspects for index in suspect.readings} == {0, 1}


def test_two_millimetres_are_no_hole_diameter() -> None:
    survey = measure([Reading(Kind.CENTERS, 91.8), Reading(Kind.CENTERS, 91.8), Reading(Kind.CENTERS, 94.0)], 8)
    assert survey.suspects[0].readings == (2,)
    assert survey.suspects[0].cause is Cause.MISREAD


def test_readings_that_agree_have_no_suspects() -> None:
    assert measure(shaken(neighbors(PART), random.Random(1)), 8).suspects == ()


def detections(trials: int, seed: int) -> tuple[float, float]:
    """Shares of sets with one mixed-edge reading that are flagged, and whose right reading is named first."""
    source = random.Random(seed)
    flagged = named = 0
    for _ in range(trials):
        hole_count = source.randint(3, 32)
        hole = source.uniform(8, 40)
        part = Part(diameter=max(60.0, hole * hole_count * source.uniform(0.6, 1.2)), hole_count=hole_count, hole=hole)
        kind = source.choice((Kind.SAME_EDGES, Kind.NEAR_EDGES, Kind.FAR_EDGES, Kind.CENTERS))
        starts = [source.randint(1, hole_count) for _ in range(source.randint(4, 9))]
        readings = [
            pair(part, kind, start, start + source.randint(1, max(1, hole_count // 2)), 0.3) for start in starts
        ]
        wrong = source.randrange(len(readings))
        readings = shaken([*readings, single(part, Kind.HOLE_DIAMETER, 0.3)], source)
        slips = {Kind.NEAR_EDGES: (1,), Kind.FAR_EDGES: (-1,)}.get(kind, (1, -1))
        slip = source.choice(slips) * part.hole
        readings[wrong] = replace(readings[wrong], value=readings[wrong].value + slip)
        if readings[wrong].value <= 0:
            readings[wrong] = replace(readings[wrong], value=readings[wrong].value + 2 * part.hole)
        survey = measure(readings, hole_count)
        flagged += not survey.agrees
        named += bool(survey.suspects) and survey.suspects[0].readings == (wrong,)
    return flagged / trials, named / trials


@pytest.mark.slow
def test_one_mixed_edge_reading_among_four_or_more_is_flagged_and_named() -> None:
    flagged, named = detections(120, 11)
    assert flagged > 0.95
    assert named > 0.95


@pytest.mark.property_deep
def test_one_mixed_edge_reading_is_flagged_and_named_in_long_runs() -> None:
    flagged, named = detections(3000, 12)
    print(f"mixed edges, 3000 sets: {flagged:.4f} flagged, {named:.4f} named")  # noqa: T201 - figures for the record
    assert flagged > 0.95
    assert named > 0.95
