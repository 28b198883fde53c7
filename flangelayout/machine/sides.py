"""The faces that the holes of a plate are made from, and where things stand once it is turned over.

It is turned about its upright centerline, TOP stays up: what was right is left, and numbers run clockwise.
"""

from fractions import Fraction

from flangelayout.flange import Flange, Hole
from flangelayout.flange.turning import PlateFace

TURNED_OVER = "from the back, plate turned over left to right"


def worked_sides(flange: Flange) -> tuple[PlateFace, ...]:
    """The faces that holes are made from, the one the plate is drawn from first."""
    made = {hole.made_from for hole in flange.holes()}
    return tuple(face for face in PlateFace if face in made)


def side_holes(flange: Flange, side: PlateFace) -> tuple[Hole, ...]:
    """The holes that are made from one face, in order of number."""
    return tuple(hole for hole in flange.holes() if hole.made_from is side)


def angle_on(side: PlateFace, degrees: float) -> float:
    """An angle on the plate, in degrees counter-clockwise from 3 o'clock, as it is seen on that side."""
    return degrees if side is PlateFace.FACE else (180.0 - degrees) % 360.0


def shares_on(side: PlateFace, shares: tuple[tuple[int, Fraction], ...]) -> tuple[tuple[int, Fraction], ...]:
    """Numbers of holes with their shares of a turn from the first, in the order in which that side comes to them."""
    if side is PlateFace.FACE:
        return shares
    return tuple(sorted(((number, -share % 1) for number, share in shares), key=lambda pair: pair[1]))
