"""Settings of a rotary table: degrees, minutes and seconds, or turns of its handwheel and the rest on the dial."""

from fractions import Fraction

from msgspec import Struct

from flangelayout.drawing.model import TextTable
from flangelayout.flange import BoltCircle
from flangelayout.flange.turning import PlateFace
from flangelayout.machine.dividing import hole_shares
from flangelayout.machine.sides import shares_on

_SECONDS = 3600


class Sexagesimal(Struct, frozen=True):
    """An angle from 0 up in whole degrees, minutes and seconds."""

    degrees: int
    minutes: int
    seconds: int

    def __str__(self) -> str:
        """As a dial is read: ``51° 25′ 43″``."""
        return f"{self.degrees}° {self.minutes:02d}′ {self.seconds:02d}″"


def sexagesimal(degrees: Fraction) -> Sexagesimal:
    """An angle to the nearest second of arc, halves up.

    Example:
        >>> str(sexagesimal(Fraction(360, 7)))
        '51° 25′ 43″'
    """
    seconds = (degrees * _SECONDS + Fraction(1, 2)).__floor__()
    minutes, second = divmod(seconds, 60)
    degree, minute = divmod(minutes, 60)
    return Sexagesimal(degree, minute, second)


def handwheel(degrees: Fraction, ratio: int) -> tuple[int, Sexagesimal]:
    """Whole turns of the handwheel to an angle, and what is left to set on its dial.

    One turn is 360 / ratio degrees: 4 degrees for the common 90:1 table. An angle that rounds up to a whole
    turn is one.
    """
    a_turn = Fraction(360, ratio)
    to_second = Fraction((degrees * _SECONDS + Fraction(1, 2)).__floor__(), _SECONDS)
    turns = to_second // a_turn
    return int(turns), sexagesimal(to_second - turns * a_turn)


def rotary_table(circle: BoltCircle, ratio: int, side: PlateFace = PlateFace.FACE) -> TextTable:
    """Where a rotary table stands at each hole, counted from the first one, as the work turns clockwise.

    Holes are numbered counter-clockwise as seen from the face; from the back the last one follows the first.
    """
    rows = []
    for number, share in shares_on(side, hole_shares(circle)):
        turns, rest = handwheel(share * 360, ratio)
        rows.append((str(number), f"{float(share * 360):.5f}", str(sexagesimal(share * 360)), str(turns), str(rest)))
    title = f"{ratio}:1 table, {float(Fraction(360, ratio)):g}° a turn of the handwheel; angles from the first hole"
    return TextTable(title, ("hole", "angle_deg", "angle_dms", "turns", "dial_dms"), tuple(rows))
