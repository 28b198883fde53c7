from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from flangelayout.flange import BoltCircle
from flangelayout.machine.rotary import Sexagesimal, handwheel, rotary_table, sexagesimal
from rows import every_row


def in_degrees(angle: Sexagesimal) -> Fraction:
    return angle.degrees + Fraction(angle.minutes, 60) + Fraction(angle.seconds, 3600)


@every_row(
    ("degrees", "dial"),
    [
        # 360 / 7 = 51.428571 = 51 deg 25' 42.86", by hand; 360 / 13 = 27 deg 41' 32.3".
        (Fraction(360, 7), "51° 25′ 43″"),
        (Fraction(360, 13), "27° 41′ 32″"),
        (Fraction(45), "45° 00′ 00″"),
        (Fraction(225, 10), "22° 30′ 00″"),
        # A turn of the small crank of a 4000:1 wide-range divider is 5 minutes 24 seconds (United States Navy training
        # course 14345, figure 7-19 and its text).
        (Fraction(360, 4000), "0° 05′ 24″"),
        (Fraction(59 * 3600 + 59 * 60 + 59, 3600) + Fraction(6, 36000), "60° 00′ 00″"),
    ],
)
def test_an_angle_is_read_to_the_nearest_second(degrees: Fraction, dial: str) -> None:
    assert str(sexagesimal(degrees)) == dial


@given(st.integers(1, 2000), st.integers(0, 2000))
def test_no_angle_is_off_by_more_than_half_a_second(count: int, number: int) -> None:
    degrees = Fraction(360 * (number % count), count)
    found = sexagesimal(degrees)
    assert abs(in_degrees(found) - degrees) <= Fraction(1, 7200)
    assert 0 <= found.minutes < 60
    assert 0 <= found.seconds < 60


@given(st.integers(1, 500), st.integers(0, 500), st.sampled_from([40, 60, 72, 80, 90, 120, 180, 5]))
def test_turns_and_dial_make_the_angle(count: int, number: int, ratio: int) -> None:
    degrees = Fraction(360 * (number % count), count)
    turns, dial = handwheel(degrees, ratio)
    whole = turns * Fraction(360, ratio) + in_degrees(dial)
    assert abs(whole - degrees) <= Fraction(1, 3600)
    assert in_degrees(dial) < Fraction(360, ratio) + Fraction(1, 3600)


def test_a_90_to_1_table_moves_four_degrees_a_turn() -> None:
    # 63 parts on a 90:1 table are 1 turn and 27/63 of one, 4 deg x 27/63 = 1 deg 42' 51" (by hand).
    assert handwheel(Fraction(360, 63), 90) == (1, Sexagesimal(1, 42, 51))


def test_every_drilled_hole_has_its_angle_from_the_first() -> None:
    table = rotary_table(BoltCircle(240.0, 8, 22.0, skipped=(2,)), 72)
    assert [row[0] for row in table.rows] == ["1", "3", "4", "5", "6", "7", "8"]
    assert table.rows[1] == ("3", "90.00000", "90° 00′ 00″", "18", "0° 00′ 00″")
    assert "72:1 table, 5° a turn" in table.title
