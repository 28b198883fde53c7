"""Inspection by caliper against brute force: verdicts over every part that the readings allow."""

import math
from typing import Any

import numpy as np
import pytest
from scipy.optimize import minimize

from checks.inspection.allowed_by_force import Array, Force, Limits
from flangelayout.checks.inspection.caliper import inspect_by_caliper
from flangelayout.checks.inspection.caliper_report import caliper_data
from flangelayout.checks.inspection.caliper_results import (
    Between,
    CaliperInspection,
    CaliperVerdict,
    Judged,
    Standing,
    WidthOf,
)
from flangelayout.checks.inspection.tolerances import Allowed, GroupLimits, InspectionLimits
from flangelayout.checks.inspection.wanted import measuring_order
from flangelayout.flange import BoltCircle, Flange, RoundOutline
from flangelayout.survey import Kind, Reading
from flangelayout.units import Unit
from flangelayout.views.words.parts.caliper import caliper_lines, caliper_verdict_text
from rows import every_row

_SURE = 0.01
"""How clearly in mm the judge must show that a limit is broken or kept; less is a matter of arithmetic."""


def drawn_case(seed: int) -> tuple[Flange, Array, list[Reading], Limits]:
    """A drawing, a part made after it, readings of it within what they are good to, and limits."""
    rng = np.random.default_rng(seed)
    count, diameter = int(rng.integers(3, 9)), float(rng.uniform(90, 300))
    width = 18.0
    drawn = Flange(RoundOutline(diameter + 50), (BoltCircle(diameter, count, width),), bore=diameter - 60)
    sigma = float(rng.choice([0.02, 0.08, 0.2, 0.4]))
    nominal = np.array([(hole.center.x, hole.center.y) for hole in drawn.holes()])
    true = np.concatenate(
        (
            (nominal + rng.normal(0, sigma, nominal.shape)).ravel(),
            width + rng.uniform(-0.05, 0.15, count),
            [*rng.normal(0, 0.2, 2), diameter - 60 + rng.normal(0, 0.1)],
            [*rng.normal(0, 0.2, 2), diameter + 50 + rng.normal(0, 0.1)],
        )
    )
    good_to = float(rng.choice([0.02, 0.05, 0.1, 0.2]))
    limits = Limits(
        circle=float(rng.uniform(0.3, 1.2)) if rng.random() < 0.7 else None,
        chord=float(rng.uniform(0.2, 0.8)),
        any_chord=bool(rng.random() < 0.3),
        zone=float(rng.uniform(0.4, 2.0)) if rng.random() < 0.6 else None,
        plus=0.2 if rng.random() < 0.3 else None,
        minus=0.1 if rng.random() < 0.3 else None,
    )
    return drawn, true, _readings(rng, drawn, true, good_to, limits), limits


def _readings(rng: np.random.Generator, drawn: Flange, true: Array, good_to: float, limits: Limits) -> list[Reading]:
    count = len(drawn.holes())
    pairs = [(a, b) for step in (1, 2, count // 2) for a in range(1, count + 1) for b in [(a - 1 + step) % count + 1]]
    offered: list[Reading] = []
    whole_set = rng.random() < 0.6
    seen = set()
    for at in rng.permutation(len(pairs)).tolist() if not whole_set else range(len(pairs)):
        a, b = pairs[at]
        if a == b or frozenset((a, b)) in seen:
            continue
        seen.add(frozenset((a, b)))
        kind = Kind.SAME_EDGES if whole_set else Kind(rng.choice(["centers", "same-edges", "near-edges", "far-edges"]))
        offered.append(Reading(kind, 1.0, a, b, within=good_to))
    sizes = [Reading(Kind.HOLE_DIAMETER, 1.0, within=good_to)] if limits.plus or limits.minus or not whole_set else []
    if not whole_set:
        sizes += [Reading(kind, 1.0, int(rng.integers(1, count + 1)), within=good_to) for kind in _RADIAL]
        sizes += [Reading(kind, 1.0, within=good_to) for kind in (Kind.BORE, Kind.OUTSIDE_DIAMETER)]
        sizes = [sizes[at] for at in rng.permutation(len(sizes)).tolist()]
    taken = (
        [*sizes[: int(rng.integers(0, 4))], *offered][: int(rng.integers(4, 17))]
        if not whole_set
        else [*sizes, *offered][:16]
    )
    return [_taken(rng, drawn, true, reading, good_to) for reading in taken]


_RADIAL = (Kind.HOLE_TO_BORE, Kind.HOLE_TO_RIM)


def _taken(rng: np.random.Generator, drawn: Flange, true: Array, reading: Reading, good_to: float) -> Reading:
    """The reading with a value: what it truly is, and an error within what it is good to."""
    if reading.kind is Kind.HOLE_DIAMETER and reading.from_hole is None:
        n = len(drawn.holes())
        widths = true[2 * n : 3 * n]
        middle, spread = (widths.max() + widths.min()) / 2, (widths.max() - widths.min()) / 2
        return Reading(reading.kind, float(middle), within=float(spread + good_to))
    (_, _, length), *_ = Force(drawn, true, [reading], Limits(None, None, False, None, None, None)).read
    value = length(true) + float(rng.uniform(-good_to, good_to))
    return Reading(reading.kind, value, reading.from_hole, reading.to_hole, within=good_to)


def inspection_limits(limits: Limits) -> InspectionLimits:
    def allowed(value: float | None) -> Allowed | None:
        return None if value is None else Allowed(value, "the case")

    group = GroupLimits(allowed(limits.circle), allowed(limits.chord), limits.any_chord)
    return InspectionLimits(allowed(limits.zone), None, limits.plus, limits.minus, (group,))


def disagreement(seed: int) -> str:
    """What is wrong with the verdict of a drawn case, by brute force; empty if nothing is."""
    drawn, true, readings, limits = drawn_case(seed)
    found = inspect_by_caliper(drawn, readings, inspection_limits(limits))
    verdict = found.verdict
    force = Force(drawn, true, readings, limits)
    assert force.allows(true)
    told = f"{seed}: {verdict.value}"
    match verdict:
        case CaliperVerdict.PASS:
            worst = force.worst(math.inf)
            return f"{told}, but an allowed part is out by {worst:.4f}" if worst > _SURE / 10 else ""
        case CaliperVerdict.FAIL:
            best = force.best()
            return f"{told}, but an allowed part is in by {-best:.4f}" if best < -_SURE / 10 else ""
        case CaliperVerdict.OPEN if found.apart or found.unlimited:
            return ""
        case CaliperVerdict.OPEN:
            best, worst = force.best(), force.worst(_SURE)
            if best > _SURE:
                return f"{told}, but the best part is out by {best:.4f}"
            return f"{told}, but the worst part is in by {-worst:.4f}" if worst < -_SURE else ""
        case _:
            return f"{told} of honest readings"


@every_row("seed", [2, 12])
def test_a_verdict_is_that_of_brute_force(seed: int) -> None:
    assert disagreement(seed) == ""


@pytest.mark.property_deep
@pytest.mark.parametrize("first", range(0, 2000, 100))
def test_two_thousand_verdicts_are_those_of_brute_force(first: int) -> None:
    assert [told for seed in range(first, first + 100) if (told := disagreement(seed))] == []


EIGHT = BoltCircle(240.0, 8, 22.0, bolt="M20")
DRAWN = Flange(RoundOutline(285.0), (EIGHT,))
HELD = InspectionLimits(groups=(GroupLimits(Allowed(1.0, "the job"), Allowed(0.5, "the job"), bolt="M20"),))
NEIGHBORS = [(hole, hole % 8 + 1) for hole in range(1, 9)]
ACROSS = [(hole, hole + 4) for hole in range(1, 5)]


def chord(first: int, second: int, off: float = 0.0, within: float = 0.1) -> Reading:
    holes = DRAWN.holes()
    value = holes[first - 1].center.distance_to(holes[second - 1].center) + off
    return Reading(Kind.SAME_EDGES, value, first, second, within=within)


def standings(found: CaliperInspection) -> dict[Judged, Standing]:
    return {each.what: each.standing for each in found.limits}


def test_neighbors_and_diagonals_are_judged_and_what_they_leave_open_is_named() -> None:
    found = inspect_by_caliper(DRAWN, [chord(*pair) for pair in (*NEIGHBORS, *ACROSS)], HELD)
    assert set(standings(found).values()) == {Standing.KEPT}
    assert found.places is not None
    assert found.places.standing is Standing.OPEN, "an octagon of bars with its diagonals still shears"
    assert found.verdict is CaliperVerdict.OPEN
    assert found.wanted is not None
    assert found.wanted.labels == ("1", "4")


def test_the_readings_of_the_form_fix_everything() -> None:
    pairs = [(int(a.label), int(b.label)) for a, b in measuring_order(DRAWN, 0)]
    assert pairs[:4] == ACROSS
    assert sorted(pairs[4:12]) == sorted(NEIGHBORS)
    found = inspect_by_caliper(DRAWN, [chord(*pair) for pair in pairs], HELD)
    assert found.verdict is CaliperVerdict.PASS
    assert found.bolts[0].places.standing is Standing.KEPT
    assert found.wanted is None


@every_row(
    ("off", "within", "standing"),
    [
        (0.39, 0.1, Standing.KEPT),
        (0.41, 0.1, Standing.OPEN),
        (0.59, 0.1, Standing.OPEN),
        (0.61, 0.1, Standing.BROKEN),
        (-0.61, 0.1, Standing.BROKEN),
        (-0.39, 0.1, Standing.KEPT),
        (-0.41, 0.1, Standing.OPEN),
        (0.49, 0.005, Standing.KEPT),
    ],
)
def test_a_chord_is_proven_inside_its_limit_less_what_the_caliper_is_good_to(
    off: float, within: float, standing: Standing
) -> None:
    """The decision rule of ISO 14253-1 (from memory), at a limit of plus and minus 0.5."""
    found = inspect_by_caliper(DRAWN, [chord(1, 2, off, within)], HELD)
    assert standings(found)[Between("1", "2")] is standing
    assert found.verdict is (CaliperVerdict.FAIL if standing is Standing.BROKEN else CaliperVerdict.OPEN)


@every_row("off", [0.5, 1.2, 3.0])
def test_places_are_judged_at_the_turn_and_shift_that_suit_them_best(off: float) -> None:
    """Five holes read all round to a thousandth leave one part; how far it is out of its zones is another program's."""
    five = Flange(RoundOutline(300.0), (BoltCircle(240.0, 5, 22.0),))
    places = np.array([(hole.center.x, hole.center.y) for hole in five.holes()])
    places[1, 0] += off
    pairs = [(a, b) for a in range(5) for b in range(a + 1, 5)]
    readings = [Reading(Kind.CENTERS, math.dist(places[a], places[b]), a + 1, b + 1, within=0.001) for a, b in pairs]
    found = inspect_by_caliper(five, readings, InspectionLimits(position=Allowed(1.0, "the job"))).places
    sizes = np.zeros(5 + 6)
    judge = Force(five, np.concatenate((places.ravel(), sizes)), readings, Limits(None, None, False, 1.0, None, None))
    out = judge.out_by(judge.true)
    assert found is not None
    assert found.standing is (Standing.BROKEN if out > 0 else Standing.KEPT)
    assert found.least == pytest.approx(out, abs=0.02) or out < 0
    assert out - 0.02 <= found.most <= 0 or out > 0, "room is proven, not told in full"


@pytest.mark.slow
@every_row(
    ("moved", "alone", "said"),
    [
        ({3: (1.9, 0.5)}, ("3",), "only hole 3 can be the one"),
        ({3: (0.75, 0.0), 7: (-0.75, 0.0)}, ("3", "7"), "only hole 3 or 7 can be the one"),
        ({3: (2.0, 0.5), 6: (2.0, -0.8)}, (), "at least two are out"),
    ],
)
def test_the_hole_that_may_be_the_only_one_out_is_named(
    moved: dict[int, tuple[float, float]], alone: tuple[str, ...], said: str
) -> None:
    """Hole by hole: the others of the part as made, brought to their places by a general search over turn and shift."""
    drawn = np.array([(hole.center.x, hole.center.y) for hole in DRAWN.holes()])
    made = drawn.copy()
    for number, off in moved.items():
        made[number - 1] += off
    pairs = [(a, b) for a in range(8) for b in range(a + 1, 8)]
    readings = [Reading(Kind.CENTERS, math.dist(made[a], made[b]), a + 1, b + 1, within=0.005) for a, b in pairs]
    found = inspect_by_caliper(DRAWN, readings, InspectionLimits(position=Allowed(1.0, "the job")))
    judged = [
        str(hole + 1) for hole in range(8) if _worst_off(np.delete(drawn, hole, 0), np.delete(made, hole, 0)) < 0.5
    ]
    assert found.places is not None
    assert found.places.alone == alone == tuple(judged)
    assert any(said in line for line in caliper_lines(found, Unit.MM))


def _worst_off(drawn: Array, made: Array) -> float:
    """The least that the worst hole can be off at any turn and shift."""

    def worst(placing: Array) -> float:
        cos, sin = math.cos(placing[2] / 100), math.sin(placing[2] / 100)
        laid = drawn @ np.array([[cos, sin], [-sin, cos]]) + placing[:2]
        return float(np.hypot(*(made - laid).T).max())

    starts = [np.zeros(3), np.array([0.3, 0.2, 0.1]), np.array([-0.2, 0.3, -0.1])]
    found = [minimize(worst, start, method="Nelder-Mead", options={"xatol": 1e-6, "fatol": 1e-7}) for start in starts]
    return float(min(each.fun for each in found))


def test_limits_that_no_part_keeps_at_once_fail_though_each_is_open() -> None:
    """The gap is 0.45 too wide: either the centers are more than 0.3 too far apart or a hole is 0.1 too small."""
    holes = DRAWN.holes()
    gap = holes[0].center.distance_to(holes[1].center) - 22.0 + 0.45
    widths = [Reading(Kind.HOLE_DIAMETER, 22.0, hole, within=0.3) for hole in (1, 2)]
    readings = [Reading(Kind.NEAR_EDGES, gap, 1, 2, within=0.05), *widths]
    limits = InspectionLimits(hole_minus=0.05, groups=(GroupLimits(chord=Allowed(0.3, "the job")),))
    found = inspect_by_caliper(DRAWN, readings, limits)
    assert set(standings(found).values()) == {Standing.OPEN}
    assert found.verdict is CaliperVerdict.FAIL
    assert not found.together


def test_readings_that_contradict_each_other_are_named() -> None:
    pairs = [(a, b) for a in range(1, 6) for b in range(a + 1, 6)]
    readings = [chord(*pair, 2.0 if pair == (2, 5) else 0.0) for pair in pairs]
    found = inspect_by_caliper(DRAWN, readings, HELD)
    assert found.verdict is CaliperVerdict.CONTRADICTORY
    assert [pairs[index] for index in found.contradicting] == [(2, 5)]


def test_widths_and_edges_hang_together() -> None:
    limits = InspectionLimits(hole_plus=0.2, hole_minus=0.1, groups=HELD.groups)
    holes = DRAWN.holes()
    center = holes[0].center.distance_to(holes[1].center)
    near = Reading(Kind.NEAR_EDGES, center - 22.1, 1, 2, within=0.05)
    open_chord = inspect_by_caliper(DRAWN, [near], limits)
    assert standings(open_chord)[Between("1", "2")] is Standing.OPEN
    widths = [Reading(Kind.HOLE_DIAMETER, 22.1, hole, within=0.05) for hole in (1, 2)]
    held = inspect_by_caliper(DRAWN, [near, *widths], limits)
    assert standings(held)[Between("1", "2")] is Standing.KEPT
    assert standings(held)[WidthOf("1")] is Standing.KEPT
    assert standings(held)[WidthOf("3")] is Standing.OPEN
    result = next(each for each in held.limits if each.what == Between("1", "2"))
    assert (result.low, result.high) == pytest.approx((center - 0.1, center + 0.1), abs=1e-4)


@pytest.mark.slow
def test_the_reading_that_is_wanted_narrows_more_than_most_others() -> None:
    taken = [chord(*pair) for pair in NEIGHBORS]
    found = inspect_by_caliper(DRAWN, taken, HELD)
    assert found.wanted is not None
    best = tuple(sorted(map(int, found.wanted.labels)))
    left: dict[tuple[int, ...], int] = {}
    for pair in {best, (1, 3), (2, 5), (3, 7), (6, 8)}:
        after = inspect_by_caliper(DRAWN, [*taken, chord(*pair)], HELD)
        left[pair] = sum(math.isinf(each.high) for each in after.limits)
    assert left[best] == min(left.values())


def test_a_hole_that_was_not_read_for_width_is_taken_as_drawn_and_said_so() -> None:
    found = inspect_by_caliper(DRAWN, [chord(*pair) for pair in NEIGHBORS], HELD)
    assert found.bolts[0].unread == tuple(str(number) for number in range(1, 9))
    assert any("width of 8 holes taken as drawn" in line for line in caliper_lines(found, Unit.MM))


def test_what_was_read_across_an_open_circle_is_told_with_it() -> None:
    found = inspect_by_caliper(DRAWN, [chord(*ACROSS[0]), chord(*ACROSS[1], 0.1)], HELD)
    (told,) = [line for line in caliper_lines(found, Unit.MM) if line.startswith("Held by no reading")]
    assert "bolt circle (across it reads 240.00 to 240.10 mm; the readings leave its holes loose)" in told
    alone = inspect_by_caliper(DRAWN, [chord(1, 2)], HELD)
    assert not [line for line in caliper_lines(alone, Unit.MM) if "across it" in line]


def test_words_and_data_say_the_same() -> None:
    readings = [chord(1, 2, 0.9), chord(2, 3)]
    found = inspect_by_caliper(DRAWN, readings, HELD)
    lines = list(caliper_lines(found, Unit.MM))
    assert lines[0] == "Part does not pass: 1 - 2 out of limits; whether bolts pass is open"
    (told,) = [line for line in lines if "1 - 2" in line and "may be 91.35 to 92.34" in line]
    assert told.startswith("same edge to same edge 1 - 2: 92.74")
    assert told.endswith("FAIL"), "a length that was read stands in one line, not in two"
    assert "all end" not in lines[0], "one length has two ends"
    data: Any = caliper_data(found)
    assert data["verdict"] == "part does not pass"
    assert data["limits"][0]["can_be"] == [None, None]
    assert data["readings"][0]["standing"] == "broken"
    assert data["measure_next"]["kind"] == "same-edges"


def test_the_hole_at_which_all_that_is_out_of_limits_ends_is_named() -> None:
    # Of hole 1 both neighbors and the hole across read 0.9 long; a fourth length elsewhere leaves no hole in common.
    of_one = [chord(1, 2, 0.9), chord(1, 8, 0.9), chord(1, 5, 0.9)]
    assert "out of limits; those between holes all end at hole 1; " in caliper_verdict_text(
        inspect_by_caliper(DRAWN, of_one, HELD)
    )
    apart = caliper_verdict_text(inspect_by_caliper(DRAWN, [*of_one, chord(3, 4, 0.9)], HELD))
    assert "out of limits" in apart
    assert "all end" not in apart
