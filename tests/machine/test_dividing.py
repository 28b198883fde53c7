"""Dividing-head settings against published indexing figures and exact fractions.

Published:
- "Practical Treatise on Milling and Milling Machines", 1914 (public domain; pages 80 and 81 of the scan on Wikisource):
  the three index plates divide "all numbers to 50 and all even numbers to 100, except 96".
- OD 1644, a United States Army correspondence course on milling, figure 11 and the two examples below it: the
  circles of the two-sided plate; 6 divisions are 6 turns and 12 spaces on an 18-hole circle or 26 on a 39-hole
  circle; 42 divisions are 40 spaces on a 42-hole circle or 20 on a 21-hole circle.
- Machinery's Handbook, 27th edition, page 1995: fractions of a crank turn that one circle of either set gives, and
  those that no circle of the three plates gives.
- Machinery's Handbook, "Indexing Movements for Standard Index Plate": the rows in ``TWO_SIDED`` are from memory of
  that table, not read again; each is checked for its arithmetic before the settings are compared with it.
"""

import math
from fractions import Fraction
from itertools import product

import pytest

from flangelayout.errors import GeometryError
from flangelayout.flange import BoltCircle
from flangelayout.machine.dividing import Division, dividing_line, dividing_table, divisions, hole_shares
from flangelayout.standards.shop import DividingHead, IndexPlate, dividing_heads
from flangelayout.units import Unit
from rows import every_row

THREE, TWO_SIDE = dividing_heads()
COUNTS = range(2, 101)

TWO_SIDED = {
    3: (24, 13, 8), 6: (24, 6, 16), 7: (28, 5, 20), 9: (54, 4, 24), 11: (66, 3, 42), 12: (24, 3, 8), 13: (39, 3, 3),
    14: (49, 2, 42), 15: (24, 2, 16), 16: (24, 2, 12), 17: (34, 2, 12), 18: (54, 2, 12), 19: (38, 2, 4),
    21: (42, 1, 38), 22: (66, 1, 54), 23: (46, 1, 34), 24: (24, 1, 16), 25: (25, 1, 15), 26: (39, 1, 21),
    27: (54, 1, 26), 28: (42, 1, 18), 29: (58, 1, 22), 30: (24, 1, 8), 31: (62, 1, 18), 32: (28, 1, 7),
    33: (66, 1, 14), 34: (34, 1, 6), 35: (28, 1, 4), 36: (54, 1, 6), 37: (37, 1, 3), 38: (38, 1, 2), 39: (39, 1, 1),
    41: (41, 0, 40), 42: (42, 0, 40), 43: (43, 0, 40), 44: (66, 0, 60), 45: (54, 0, 48), 46: (46, 0, 40),
    47: (47, 0, 40), 48: (24, 0, 20), 49: (49, 0, 40), 50: (25, 0, 20), 51: (51, 0, 40), 52: (39, 0, 30),
    53: (53, 0, 40), 54: (54, 0, 40), 55: (66, 0, 48), 56: (28, 0, 20), 57: (57, 0, 40), 58: (58, 0, 40),
    59: (59, 0, 40), 60: (42, 0, 28),
}  # fmt: skip

PAGE_1995 = {
    "0.1915": ("9/47", "9/47"), "0.1930": ("", "11/57"), "0.1935": ("6/31", "12/62"), "0.1951": ("8/41", "8/41"),
    "0.1957": ("", "9/46"), "0.1961": ("", "10/51"), "0.1970": ("", "13/66"), "0.2000": ("3/15", "5/25"),
    "0.2034": ("", "12/59"), "0.2037": ("", "11/54"), "0.2041": ("10/49", "10/49"), "0.2051": ("8/39", "8/39"),
    "0.2059": ("", "7/34"), "0.2069": ("6/29", "12/58"), "0.2075": ("", "11/53"), "0.2222": ("6/27", "12/54"),
    "0.2241": ("", "13/58"), "0.2245": ("11/49", "11/49"), "0.2258": ("7/31", "14/62"), "0.2264": ("", "12/53"),
    "0.2273": ("", "15/66"), "0.2281": ("", "13/57"), "0.2308": ("9/39", "9/39"), "0.2326": ("10/43", "10/43"),
    "0.2333": ("", "7/30"), "0.2340": ("11/47", "11/47"), "0.2353": ("4/17", "8/34"), "0.2368": ("", "9/38"),
    "0.2373": ("", "14/59"),
}  # fmt: skip


def equal_shares(count: int) -> tuple[Fraction, ...]:
    """Where equally spaced holes stand, as shares of a turn from the first."""
    return tuple(Fraction(number, count) for number in range(count))


def steps_of(division: Division) -> tuple[int, int, int]:
    """Hole circle, whole turns and spaces of the first step."""
    step = division.steps[1]
    return (division.circle.holes if division.circle else 0, step.step_turns, step.step_spaces)


def exact_settings(count: int, head: DividingHead) -> list[tuple[int, int, int]]:
    found = divisions(equal_shares(count), head)
    return [steps_of(division) for division in found if division.is_exact]


@every_row("head", [THREE, TWO_SIDE])
def test_every_exact_setting_from_2_to_100_turns_the_work_by_one_part(head: DividingHead) -> None:
    for count in COUNTS:
        possible = [40 * holes % count == 0 for plate in head.plates for holes in plate.hole_circles]
        settings = exact_settings(count, head)
        assert bool(settings) == any(possible), count
        for circle, turns, spaces in settings:
            fraction = turns + (Fraction(spaces, circle) if circle else 0)
            assert fraction == Fraction(40, count)
            assert 0 <= spaces < max(circle, 1)


def test_three_plates_divide_what_the_treatise_of_1914_says() -> None:
    said = [count for count in COUNTS if count <= 50 or (count % 2 == 0 and count != 96)]
    assert [count for count in said if not exact_settings(count, THREE)] == []
    assert not exact_settings(96, THREE)


def test_the_two_sided_plate_offers_the_handbook_rows() -> None:
    for count, row in TWO_SIDED.items():
        circle, turns, spaces = row
        assert turns + Fraction(spaces, circle) == Fraction(40, count)
        assert row in exact_settings(count, TWO_SIDE)


@every_row("head", [THREE, TWO_SIDE])
def test_divisors_of_the_ratio_need_whole_turns_only(head: DividingHead) -> None:
    # The same handbook table prints "any" for their circle.
    for count in (2, 4, 5, 8, 10, 20, 40):
        assert exact_settings(count, head) == [(0, 40 // count, 0)]


def test_the_examples_of_the_army_course_are_offered() -> None:
    assert {(18, 6, 12), (39, 6, 26)} <= set(exact_settings(6, THREE))
    assert (42, 0, 40) in exact_settings(42, TWO_SIDE)
    assert (21, 0, 20) in exact_settings(42, THREE)


@every_row(("head", "column"), [(THREE, 0), (TWO_SIDE, 1)])
def test_fractions_of_a_crank_turn_stand_on_the_circles_page_1995_names(head: DividingHead, column: int) -> None:
    for decimal, row in PAGE_1995.items():
        printed = row[column]
        part = Fraction(row[1])
        assert f"{float(part):.4f}" == decimal
        found = divisions((Fraction(0), part / 40), head)
        if printed:
            assert Fraction(printed) == part
            top, circle = map(int, printed.split("/"))
            assert (circle, 0, top) in [steps_of(division) for division in found]
        else:
            assert not found[0].is_exact


def test_127_holes_come_out_as_worked_by_hand() -> None:
    # 127 is prime and no circle has 127 holes, so nothing is exact. On the largest circle, 49 holes, one turn of the
    # work has 40 x 49 = 1960 spaces, and hole k stands at 1960 k / 127 spaces. Over k = 0..126 the remainders of
    # 1960 k by 127 take every value 0..126, so the worst is 63 or 64 of 127 from a space: 63/127 of one.
    # That is 63 / (127 x 1960) of a turn = 360 x 3600 x 63 / 248920 = 328.0 seconds of arc; on a 240 mm circle
    # pi x 240 x 63 / 248920 = 0.1908 mm. On the 66-hole circle: 63 / (127 x 2640) of a turn, 243.5 seconds, 0.1417 mm.
    (three,), (two,) = divisions(equal_shares(127), THREE), divisions(equal_shares(127), TWO_SIDE)
    assert three.circle is not None
    assert two.circle is not None
    assert (three.circle.holes, two.circle.holes) == (49, 66)
    assert three.worst_error == Fraction(63, 127 * 1960)
    assert two.worst_error == Fraction(63, 127 * 2640)
    assert 360 * 3600 * float(three.worst_error) == pytest.approx(328.0, abs=0.05)
    assert math.pi * 240 * float(three.worst_error) == pytest.approx(0.1908, abs=5e-5)
    line = dividing_line(BoltCircle(240.0, 127, 3.0), THREE, Unit.MM)
    assert line.endswith("no hole off by more than 328 seconds of arc, 0.191 mm on the circle")
    assert "no circle divides this exactly; nearest, 49-hole circle of plate 3" in line


def test_errors_of_the_nearest_setting_do_not_add_up() -> None:
    (division,) = divisions(equal_shares(127), THREE)
    assert abs(division.steps[-1].error) <= Fraction(1, 2 * 1960)


@every_row(("count", "head"), product([51, 96, 97, 99, 127], [THREE, TWO_SIDE]))
def test_no_other_circle_comes_nearer(count: int, head: DividingHead) -> None:
    best = divisions(equal_shares(count), head)[0].worst_error
    for plate in head.plates:
        for holes in plate.hole_circles:
            spaces = [Fraction(40 * holes * k, count) for k in range(count)]
            worst = max(abs(place - round(place)) for place in spaces) / (40 * holes)
            assert best <= worst


def test_positions_add_up_to_the_steps() -> None:
    division = divisions(equal_shares(7), TWO_SIDE)[0]
    assert division.circle is not None
    so_far = 0
    for step in division.steps:
        so_far += step.step_turns * division.circle.holes + step.step_spaces
        assert step.turns * division.circle.holes + step.spaces == so_far


def test_a_head_of_the_shops_own_is_used_as_given() -> None:
    own = DividingHead("shop head", 60, (IndexPlate("plate 1", (21,)),))
    assert exact_settings(7, own) == [(21, 8, 12)]


def test_a_head_without_plates_can_only_make_whole_turns() -> None:
    bare = DividingHead("bare head", 40, ())
    assert exact_settings(8, bare) == [(0, 5, 0)]
    with pytest.raises(GeometryError, match="bare head has no index plate"):
        divisions(equal_shares(7), bare)


def test_skipped_places_are_stepped_over() -> None:
    circle = BoltCircle(240.0, 8, 22.0, skipped=(2, 3))
    assert [number for number, _ in hole_shares(circle)] == [1, 4, 5, 6, 7, 8]
    rows = dividing_table(circle, THREE, Unit.MM).rows
    assert [row[5:7] for row in rows[:3]] == [("0", "0"), ("15", "0"), ("5", "0")]


def test_the_first_hole_that_is_drilled_stands_at_zero() -> None:
    # Place 1 is left out: the work is set up on hole 2, the others stand 1/6, 2/6 ... of a turn from it.
    shares = hole_shares(BoltCircle(100, 6, 8, skipped=(1,)))
    assert shares == tuple((number, Fraction(number - 2, 6)) for number in range(2, 7))
    rows = dividing_table(BoltCircle(100, 6, 8, skipped=(1,)), dividing_heads()[0], Unit.MM).rows
    assert rows[0][0] == "2"
    assert rows[0][3:5] == ("0", "0")


def test_unequal_angles_are_taken_in_order_of_turning() -> None:
    circle = BoltCircle(240.0, 3, 22.0, angles=(10.0, 200.5, 100.0))
    assert hole_shares(circle) == ((1, Fraction(0)), (3, Fraction(90, 360)), (2, Fraction(381, 720)))


def test_a_table_names_plate_circle_and_error_of_every_hole() -> None:
    table = dividing_table(BoltCircle(240.0, 127, 3.0), THREE, Unit.MM)
    errors = [abs(float(row[-1])) for row in table.rows]
    assert max(errors) == pytest.approx(0.1908, abs=1e-4)
    assert {row[1:3] for row in table.rows} == {("plate 3", "49")}
