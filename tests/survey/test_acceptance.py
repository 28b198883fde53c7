"""What a survey claims, held against parts and calipers of an independent simulation: seeded, short by default.

Good machine work here is 0.12 mm along the circle and 0.10 mm across it, one standard deviation.
"""

import math
import random
from collections import Counter
from collections.abc import Callable
from functools import cache

import pytest

from flangelayout.errors import FlangeLayoutError
from flangelayout.provenance import Family
from flangelayout.standards import Pattern, all_patterns
from flangelayout.survey import Assumptions, Kind, Reading, Survey, measure
from flangelayout.survey.candidates import Verdict
from flangelayout.survey.fitting.fit import fit_equal
from flangelayout.survey.prior import COUNTS, count_share
from flangelayout.survey.table import Table, build_table, circle_tolerance
from flangelayout.value import replace
from survey.workshop import (
    RECIPES,
    MadePart,
    across,
    best_circle,
    everyday_hands,
    made,
    many,
    near_and_far,
    one_chord,
    round_the_circle,
)

PERFECT, MACHINED = (0.0, 0.0), (0.12, 0.10)


def any_part(source: random.Random, scatter: tuple[float, float]) -> MadePart:
    count = source.choice((4, 4, 5, 6, 8, 8, 12, 16, 20))
    diameter = source.uniform(25, 45) * count if count > 5 else source.uniform(80, 250)
    return made(source, diameter, count, *scatter, hole=12.0)


def claims(scatter: tuple[float, float], rounds: int, seed: int) -> tuple[float, float]:
    """Shares of surveys whose band holds the part's best circle, and that are told to disagree, over all recipes."""
    source, held, alarms = random.Random(seed), 0, 0
    for recipe in RECIPES:
        for _ in range(rounds):
            part = any_part(source, scatter)
            fit = fit_equal(recipe(source, part, everyday_hands(source)), part.count)
            off_by = abs(fit.bolt_circle.value - best_circle(part.centers))
            held += off_by <= fit.bolt_circle.expanded_uncertainty
            alarms += not fit.agrees
    trials = rounds * len(RECIPES)
    return held / trials, alarms / trials


@pytest.mark.slow
def test_band_and_alarm_on_perfect_and_on_machined_parts() -> None:
    perfect, machined = claims(PERFECT, 60, 1), claims(MACHINED, 60, 2)
    assert 0.93 <= perfect[0] <= 0.985  # 480 trials: the count itself is unsure by 0.7 %
    assert 0.92 <= machined[0] <= 0.99
    assert max(perfect[1], machined[1]) <= 0.06


@pytest.mark.property_deep
@pytest.mark.parametrize("seed", [11, 12, 13])
def test_band_and_alarm_in_long_runs(seed: int) -> None:
    perfect, machined = claims(PERFECT, 1500, seed), claims(MACHINED, 1500, seed + 100)
    print(f"seed {seed}, 12000 each: perfect {perfect}, machined {machined} (holds, alarms)")  # noqa: T201 - for the record
    assert 0.93 <= perfect[0] <= 0.98
    assert 0.92 <= machined[0] <= 0.99
    assert max(perfect[1], machined[1]) <= 0.06


BLUNDERS: tuple[Callable[[random.Random, float, float], float], ...] = (
    lambda source, value, _: value + source.choice((-1, 1)),
    lambda source, value, _: value + source.choice((-2, 2)),
    lambda source, value, _: value + source.choice((-9, 9)),
    lambda source, value, hole: value + source.choice((-1, 1)) * hole,
    lambda _source, value, _: value * 1.3,
    lambda _source, value, _: value / 25.4,
)


def blunders(rounds: int, seed: int) -> tuple[float, float]:
    """Shares of surveys with one false reading of five or more that are caught, and that are called a wrong one."""
    source, caught, wrong, trials = random.Random(seed), 0, 0, 0
    rows = [row for row in all_patterns() if row.equally_spaced and row.family is Family.PIPE_FLANGE]
    for _ in range(rounds):
        for scatter in (PERFECT, MACHINED):
            for recipe in (round_the_circle, many):
                row = source.choice(rows)
                made_to = row.bolt_circle + source.gauss(0, 0.3)
                part = made(source, made_to, row.hole_count, *scatter, hole=row.hole_diameter or 20.0)
                readings = recipe(source, part, everyday_hands(source))
                at = source.randrange(len(readings))
                value = source.choice(BLUNDERS)(source, readings[at].value, part.hole)
                readings[at] = replace(readings[at], value=max(value, 0.5))
                survey = attempted(readings, row.hole_count)
                trials += 1
                caught += survey is None or not survey.band_holds
                wrong += survey is not None and called_wrongly(survey, row)
    return caught / trials, wrong / trials


def attempted(readings: list[Reading], hole_count: int) -> Survey | None:
    """The survey, or None where the readings are refused."""
    try:
        return measure(readings, hole_count)
    except FlangeLayoutError:
        return None


def called_wrongly(survey: Survey, row: Pattern) -> bool:
    return survey.verdict is Verdict.ONE and abs(survey.ties[0].pattern.bolt_circle - row.bolt_circle) > 0.06


def test_one_blunder_is_found() -> None:
    caught, wrong = blunders(4, 3)
    assert caught >= 0.95
    assert wrong <= 0.01


@pytest.mark.property_deep
def test_one_blunder_is_found_in_long_runs() -> None:
    caught, wrong = blunders(1000, 4)
    print(f"one blunder, 4000 surveys: {caught:.4f} caught, {wrong:.4f} called a wrong one")  # noqa: T201 - for the record
    assert caught >= 0.95
    assert wrong <= 0.002


TWINS = 0.75
"""Rows so near each other in mm that one near and far reading (about 0.3 mm) need not part them: 5x139.7 and 5x140."""


def resolved(family: Family | None, of: Family, rounds: int, seed: int) -> tuple[float, float, float]:
    """Shares of parts of a family, each row alike, read near and far, that are called the right one, that are called it
    or asked between it and its twins, and that are called a wrong one."""
    source, right, told, wrong = random.Random(seed), 0, 0, 0
    rows = [row for row in all_patterns() if row.family is of and row.equally_spaced]
    for _ in range(rounds):
        row = source.choice(rows)
        part = made(source, row.bolt_circle + source.gauss(0, 0.05), row.hole_count, 0.06, 0.05, hole=12.0)
        readings = near_and_far(source, part, everyday_hands(source))
        survey = measure(readings, row.hole_count, assume=Assumptions(family=family))
        circles = [tied.pattern.bolt_circle for tied in survey.ties]
        twins = row.bolt_circle in circles and all(abs(circle - row.bolt_circle) <= TWINS for circle in circles)
        one = survey.verdict is Verdict.ONE and not called_wrongly(survey, row)
        wrong += called_wrongly(survey, row)
        right += one
        told += one or twins
    return right / rounds, told / rounds, wrong / rounds


@pytest.mark.parametrize("family", [Family.WHEEL_HUB, Family.CHAINRING])
def test_wheels_and_chainrings_read_near_and_far_are_told(family: Family) -> None:
    right, told, wrong = resolved(family, family, 120, 5)
    assert right >= 0.90  # 120 trials: unsure by 2 %
    assert told >= 0.95
    assert wrong <= 0.01


@pytest.mark.property_deep
@pytest.mark.parametrize("family", [Family.WHEEL_HUB, Family.CHAINRING])
def test_wheels_and_chainrings_are_told_in_long_runs(family: Family) -> None:
    right, told, wrong = resolved(family, family, 8000, 6)
    print(f"{family.value}, 8000 parts: {right:.4f} right, {told:.4f} right or twins, {wrong:.4f} wrong")  # noqa: T201 - for the record
    assert right >= 0.95
    assert told >= 0.99
    assert wrong <= 0.002
    alone = resolved(None, family, 1000, 7)
    print(f"{family.value}, kind not named: {alone}")  # noqa: T201 - for the record
    assert alone[2] <= 0.003


ROOM = 15.0
"""What the neighboring centers of a home-made drilling are apart at least, mm."""


@cache
def whole_table() -> Table:
    """Every row of the package."""
    return build_table(all_patterns())


def drawn(source: random.Random) -> tuple[MadePart, int, float | None]:
    """A part as often met as the tables of this package have it: the part, its drilling, its outside diameter."""
    table, scatter = whole_table(), source.uniform(0, 1)
    spread = (MACHINED[0] * scatter, MACHINED[1] * scatter)
    if source.random() < Assumptions().home_made:
        apart = 0.0
        while apart < ROOM:
            (count,) = source.choices(COUNTS, [count_share(count) for count in COUNTS])
            diameter = math.exp(source.uniform(math.log(30), math.log(2000)))
            apart = diameter * math.sin(math.pi / count)
        hole = max(source.uniform(0.15, 0.4) * apart, 4.0)
        return made(source, diameter, count, *spread, hole), -1, None
    (at,) = source.choices(range(len(table.patterns)), table.shares.tolist())
    row = table.patterns[at]
    hole = row.hole_diameter + source.gauss(0, 0.75) if row.hole_diameter else 10.0
    diameter = row.bolt_circle + source.gauss(0, float(table.circle_tolerances[at]) / 2)
    part = made(source, diameter, row.hole_count, *spread, hole, corners(row))
    return part, int(table.drillings[at]), row.outside_diameter


def corners(row: Pattern) -> tuple[float, ...]:
    """Where the holes of a rectangle sit, in radians from the first; none where they are a pitch apart."""
    if row.rectangle is None:
        return ()
    first = 2 * math.atan2(row.rectangle.short, row.rectangle.long)
    return (0.0, first, math.pi, math.pi + first)


def reliability(rounds: int, seed: int) -> tuple[dict[int, tuple[int, float, float]], float]:
    """For each tenth of chance: how many drillings were given it, what was said, how many were it; wrong ones.

    A home-made circle is called a wrong one where it is farther from the published one than that may be off.
    """
    source, wrong = random.Random(seed), 0
    said, hits = Counter[int](), Counter[int]()
    sums: dict[int, float] = dict.fromkeys(range(10), 0.0)
    for _ in range(rounds):
        part, drilling, outside = drawn(source)
        recipe = source.choice((near_and_far, one_chord, across, round_the_circle, many))
        readings = recipe(source, part, everyday_hands(source))
        if outside is not None and source.random() < 0.3:
            read = outside + source.gauss(0, max(0.01 * outside, 1.5) / 2) + source.gauss(0, 0.25)
            readings.append(Reading(Kind.OUTSIDE_DIAMETER, read))
        survey = attempted(readings, part.count)
        if survey is None or survey.ranking.outside is None:
            continue
        chances = {-1: survey.ranking.outside}
        for each in survey.candidates:
            chances[each.drilling] = chances.get(each.drilling, 0.0) + each.probability
        for number, chance in chances.items():
            tenth = min(int(10 * chance), 9)
            said[tenth] += 1
            sums[tenth] += chance
            hits[tenth] += number == drilling
        if survey.verdict is Verdict.ONE and survey.ties[0].drilling != drilling:
            row = survey.ties[0].pattern
            wrong += drilling >= 0 or abs(part.nominal - row.bolt_circle) > circle_tolerance(row)
    return {at: (said[at], sums[at] / said[at], hits[at] / said[at]) for at in sorted(said)}, wrong / rounds


@pytest.mark.slow
def test_chances_are_about_as_often_right_as_they_say() -> None:
    tenths, wrong = reliability(250, 7)
    for count, chance, right in tenths.values():
        assert abs(chance - right) <= 0.05 + 3 * math.sqrt(chance * (1 - chance) / count)
    assert wrong <= 0.01


@pytest.mark.property_deep
@pytest.mark.parametrize("seed", [8, 9, 10])
def test_chances_are_as_often_right_as_they_say_in_long_runs(seed: int) -> None:
    tenths, wrong = reliability(12_000, seed)
    for tenth, (count, chance, right) in tenths.items():
        print(f"tenth {tenth}: {count} drillings, said {chance:.3f}, true {right:.3f}")  # noqa: T201 - for the record
        assert abs(chance - right) <= 0.05 + 2 * math.sqrt(chance * (1 - chance) / count)  # what the count is unsure by
    print(f"wrong ones: {wrong:.4f}")  # noqa: T201 - for the record
    assert wrong <= 0.002


@pytest.mark.slow
def test_the_next_reading_never_argues_against_itself() -> None:
    source, asked = random.Random(9), 0
    for _ in range(250):
        part, _, _ = drawn(source)
        survey = attempted(one_chord(source, part, everyday_hands(source)), part.count)
        if survey is None or survey.next_reading is None or survey.next_reading.pair is None:
            continue
        asked += 1
        first, second = survey.next_reading.pair
        assert abs(first.value - second.value) > survey.next_reading.doubt
        assert {first.designation, second.designation} <= {each.pattern.designation for each in survey.ties}
    assert asked > 50
