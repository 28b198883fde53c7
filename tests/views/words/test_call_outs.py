"""The call-out at a leader: every word of it is true of the holes as drilled, by arithmetic of the test's own."""

import math
import random
import re
from collections.abc import Sequence
from itertools import accumulate, pairwise
from typing import Any

import pytest

from flangelayout.drawing.convention import Convention
from flangelayout.flange import BoltCircle, Counterbored, Drilled, Flange, RoundOutline, Tapped
from flangelayout.units import Unit
from flangelayout.views.words.call_outs import behind_call_out, call_out, group_call_out, named_call_out, seen_place
from flangelayout.views.words.lengths import Lengths
from jobs import bolt_circle, flange
from rows import every_row

MM = Lengths(Unit.MM, convention=Convention.ISO)
INCH = Lengths(Unit.IN, convention=Convention.ASME)
ENDS = {"TOP": (0.0, 1.0), "BOTTOM": (0.0, -1.0), "RIGHT": (1.0, 0.0), "LEFT": (-1.0, 0.0)}


def said(**changes: Any) -> tuple[str, ...]:  # noqa: ANN401 - fields of any kind
    return call_out(bolt_circle(**changes), MM)


@every_row(
    ("changes", "place"),
    [
        ({}, "HOLES 1 AND 8 EITHER SIDE OF TOP"),
        ({"centerline": "horizontal"}, "HOLES 1 AND 8 EITHER SIDE OF RIGHT"),
        ({"placement": "on-centerline"}, "HOLE 1 AT TOP"),
        ({"start_angle": 22.5}, "HOLE 8 AT TOP"),
        ({"start_angle": 4.25, "placement": "on-centerline"}, "HOLE 1 4.25° CCW OF TOP"),
        ({"start_angle": -7.0, "placement": "on-centerline"}, "HOLE 1 7° CW OF TOP"),
        ({"hole_count": 1, "start_angle": 5.0, "placement": "on-centerline"}, "HOLE 1 5° CCW OF TOP"),
        ({"hole_count": 2, "placement": "on-centerline", "centerline": "horizontal"}, "HOLE 1 AT RIGHT"),
        ({"pair_angle": 10.0}, "HOLES 1 AND 8 40° EITHER SIDE OF TOP"),
    ],
)
def test_where_a_circle_stands_is_told_as_it_is_seen(changes: dict[str, Any], place: str) -> None:
    lines = said(**changes)
    assert lines[2] == place
    assert not any("STRADDLE" in line or "TURNED" in line for line in lines)


def test_iso_and_asme_each_speak_their_own_language() -> None:
    assert said()[:2] == ("8 × ⌀22", "EQUALLY SPACED ON PCD 240")
    circle = bolt_circle(8, 9.5 * 25.4, 0.875 * 25.4)
    assert call_out(circle, INCH) == (
        "8X ⌀.875 (7/8) THRU",
        "EQ SP ON ⌀9.500 (9 1/2) BC",
        "HOLES 1 AND 8 EITHER SIDE OF TOP",
    )
    # 180.07 mm is 7.08937 in and no 64th: decimals alone. Three of them would not tell 9/16.
    assert call_out(bolt_circle(8, 180.07, 22.225), INCH)[1] == "EQ SP ON ⌀7.089 BC"
    assert call_out(bolt_circle(4, 120.65, 9 / 16 * 25.4), INCH)[0] == "4X ⌀.5625 (9/16) THRU"
    assert call_out(circle, Lengths(Unit.IN, convention=Convention.ISO))[0] == "8 × ⌀0.875 (7/8)"


def test_both_units_stand_in_every_size_of_a_call_out() -> None:
    lines = call_out(bolt_circle(), Lengths(Unit.MM, True, Convention.ISO))
    assert lines[:2] == ("8 × ⌀22 [0.866]", "EQUALLY SPACED ON PCD 240 [9.449]")


def test_pairs_are_counted_as_pairs() -> None:
    assert said(pair_angle=10.0)[1] == "IN 4 PAIRS, THE TWO OF EACH 10° APART, ON PCD 240"


def test_places_left_out_are_named_and_not_counted() -> None:
    assert said(skipped=(3, 7)) == (
        "6 × ⌀22",
        "IN 8 EQUAL PLACES ON PCD 240",
        "HOLES 1 AND 8 EITHER SIDE OF TOP",
        "NO HOLE AT 3, 7",
    )
    assert said(skipped=(4, 5, 6, 7, 8))[-1] == "ONLY PLACES 1 TO 3 DRILLED"


def test_unequal_holes_refer_to_the_table_and_never_say_equally_spaced() -> None:
    lines = said(hole_count=3, angles=(0.0, 90.0, 210.0))
    assert lines == ("3 × ⌀22", "ON PCD 240, PLACES PER HOLE TABLE", "HOLE 2 AT TOP")


def test_places_given_one_by_one_that_are_a_pitch_apart_are_equally_spaced() -> None:
    """So are those of a counter-flange, numbered clockwise as the flange is counter-clockwise."""
    clockwise = tuple(135.0 - index * 360.0 / 7.0 for index in range(7))
    assert said(hole_count=7, angles=clockwise)[1] == "EQUALLY SPACED ON PCD 240"
    assert said(hole_count=7, angles=clockwise, skipped=(2,))[1] == "IN 7 EQUAL PLACES ON PCD 240"
    nearly = (*clockwise[:6], clockwise[6] + 0.01)
    assert said(hole_count=7, angles=nearly)[1] == "ON PCD 240, PLACES PER HOLE TABLE"


def test_a_seat_and_a_blind_hole_name_their_face_and_a_plain_hole_does_not() -> None:
    kinds = (Tapped("M16", 16.0, 20.0), Counterbored(33.0, 12.0), Tapped("M16", 16.0), Drilled())
    told = []
    for kind in kinds:
        flange = Flange(RoundOutline(300.0), (BoltCircle(240.0, 8, 14.0, kind=kind),), thickness=30.0, face="pump face")
        told.append("FROM PUMP FACE" in group_call_out(flange, 0, MM))
    assert told == [True, True, False, False]


def random_circle(dice: random.Random) -> BoltCircle:
    """A circle of any spacing and turn, many of them symmetrical or with a hole on a centerline."""
    count = dice.choice((1, 2, 3, 4, 5, 6, 7, 8, 12, 16, 23, 60))
    changes: dict[str, Any] = {
        "placement": dice.choice(("straddle", "on-centerline")),
        "centerline": dice.choice(("vertical", "horizontal")),
        "start_angle": dice.choice((0.0, 0.0, 22.5, -90.0, 180.0 / count, round(dice.uniform(-180, 180), 3))),
    }
    shape = dice.random()
    if shape < 0.2 and count % 2 == 0:
        changes["pair_angle"] = round(dice.uniform(0.1, 0.9) * 720 / count, 2)
    elif shape < 0.4:
        changes["angles"] = tuple(round(dice.uniform(0, 360), 3) for _ in range(count))
    elif shape < 0.6 and count > 2:
        changes["skipped"] = tuple(sorted(dice.sample(range(1, count + 1), dice.randint(1, count - 1))))
    return bolt_circle(count, 240.0, 5.0, **changes)


def untrue(circle: BoltCircle, place: str) -> str:
    """What is wrong with a sentence of place, by vectors from the middle to the hole centers; empty if it is true."""
    at = dict(zip(circle.hole_numbers(), circle.hole_centers(), strict=True))

    def away(number: str, end: str) -> tuple[float, float]:
        """Signed angle in degrees from an end to a hole, counter-clockwise above 0, by cross and dot product."""
        x, y = at[int(number)].x, at[int(number)].y
        ex, ey = ENDS[end]
        return math.degrees(math.atan2(ex * y - ey * x, ex * x + ey * y)), math.hypot(x, y)

    if found := re.fullmatch(r"HOLE (\d+) AT (\w+)", place):
        return "" if abs(away(*found.groups())[0]) < 1e-3 else f"{place}: not there"
    if found := re.fullmatch(r"HOLES (\d+) AND (\d+)(?: ([\d.]+)°)? EITHER SIDE OF (\w+)", place):
        one, other, off, end = found.groups()
        left, right = away(one, end)[0], away(other, end)[0]
        nearest = min(abs(away(str(number), end)[0]) for number in at)
        even = left > 0 > right and abs(left + right) < 1e-3 and abs(left - nearest) < 1e-3
        return "" if even and (off is None or abs(float(off) - left) < 1e-3) else f"{place}: {left} {right}"
    found = re.fullmatch(r"HOLE (\d+) ([\d.]+)° (CCW|CW) OF TOP", place)
    if not found:
        return f"{place}: says nothing known"
    turn = away(found[1], "TOP")[0]
    nearest = min(abs(away(str(number), "TOP")[0]) for number in at)
    right = abs(abs(turn) - float(found[2])) < 1e-3 and (turn > 0) == (found[3] == "CCW")
    return "" if right and abs(abs(turn) - nearest) < 1e-3 else f"{place}: {turn}"


def untrue_of_layout(circle: BoltCircle, lines: Sequence[str]) -> list[str]:
    """What is wrong with the other lines of a call-out: count and size, spacing, circle, places left out."""
    numbers, centers = circle.hole_numbers(), circle.hole_centers()
    turns = sorted(math.degrees(math.atan2(at.y, at.x)) % 360.0 for at in centers)
    steps = [(after - before) % 360.0 or 360.0 for before, after in pairwise((*turns, turns[0]))]
    head, spacing, *rest = lines
    places, apart = len(centers), ""
    if found := re.match(r"IN (\d+) (?:EQUAL PLACES|PAIRS, THE TWO OF EACH ([\d.]+)° APART,)", spacing):
        places, apart = int(found[1]), found[2]
    if apart:
        far = 360.0 / places - float(apart)
        is_so = len(centers) == 2 * places and _alike(sorted(steps), sorted([float(apart), far] * places))
    elif "PER HOLE TABLE" in spacing:
        is_so = len(steps) == 1 or not _alike(steps, [360.0 / len(steps)] * len(steps))
    else:
        is_so = all(abs(turn * places / 360.0 - round(turn * places / 360.0)) < 1e-5 for turn in accumulate(steps))
    is_so = is_so and all(abs(math.hypot(at.x, at.y) - 120.0) < 1e-6 for at in centers)
    left_out = set(range(1, places + 1)) - set(numbers) if not apart else set()
    told = {int(each) for line in rest if line.startswith("NO HOLE AT") for each in re.findall(r"\d+", line)}
    for line in rest:
        if found := re.fullmatch(r"ONLY PLACES? (\d+)(?: TO (\d+))? DRILLED", line):
            told = set(range(1, places + 1)) - set(range(int(found[1]), int(found[2] or found[1]) + 1))
    return [
        *([] if head == f"{len(centers)} × ⌀5" else [head]),
        *([] if is_so and re.search(r"PCD 240(,|$)", spacing) else [spacing]),
        *(
            []
            if told == left_out and all(abs(math.hypot(*at) - 120.0) < 1e-6 for at in ((at.x, at.y) for at in centers))
            else rest
        ),
    ]


def _alike(some: Sequence[float], others: Sequence[float]) -> bool:
    return len(some) == len(others) and all(abs(a - b) < 1e-3 for a, b in zip(some, others, strict=True))


def _untrue_of(seeds: range) -> list[str]:
    circles = [random_circle(random.Random(seed)) for seed in seeds]
    places = [wrong for circle in circles if (wrong := untrue(circle, seen_place(circle)))]
    return [*places, *(wrong for circle in circles for wrong in untrue_of_layout(circle, call_out(circle, MM)))]


def test_a_circle_seen_from_behind_is_told_the_other_way_round() -> None:
    plate = flange(bolt_circle(3, start_angle=10.0))  # holes at 160, 280 and 40 degrees; from behind at 20, 260 and 140
    assert named_call_out(plate, 0, MM).endswith("HOLE 3 50° CW OF TOP")
    assert behind_call_out(plate, 0, MM).endswith("HOLE 3 50° CCW OF TOP")


def test_every_call_out_of_random_circles_is_true() -> None:
    assert not _untrue_of(range(150))


@pytest.mark.property_deep
def test_every_call_out_of_many_random_circles_is_true() -> None:
    assert not _untrue_of(range(150, 5000))


def test_the_judge_sees_a_false_call_out() -> None:
    circle = bolt_circle(start_angle=22.5)
    assert untrue(circle, "HOLE 1 AT TOP")
    assert untrue(circle, "HOLES 1 AND 8 EITHER SIDE OF TOP")
    assert untrue(circle, "HOLE 1 45° CW OF TOP")
    assert not untrue(circle, "HOLE 8 AT TOP")
    lines = ("8 × ⌀5", "EQUALLY SPACED ON PCD 240", "HOLE 8 AT TOP")
    assert untrue_of_layout(circle, lines) == []
    assert untrue_of_layout(circle, ("7 × ⌀5", *lines[1:])) == ["7 × ⌀5"]
    assert untrue_of_layout(circle, (lines[0], "IN 4 PAIRS, THE TWO OF EACH 40° APART, ON PCD 240")) == [
        "IN 4 PAIRS, THE TWO OF EACH 40° APART, ON PCD 240"
    ]
    assert untrue_of_layout(circle, (*lines, "NO HOLE AT 3"))
