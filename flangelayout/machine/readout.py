"""Hole coordinates for a machine with a readout."""

from collections.abc import Callable

from flangelayout.drawing.model import TextTable
from flangelayout.flange import Flange, Hole
from flangelayout.flange.cutting import Zero, zero_point
from flangelayout.flange.turning import PlateFace
from flangelayout.machine.sides import TURNED_OVER, side_holes
from flangelayout.units import Unit, decimal_text


def readout_table(
    flange: Flange, zero: Zero, unit: Unit, made: Callable[[Hole], str], side: PlateFace = PlateFace.FACE
) -> TextTable:
    """X and Y from the chosen zero of every hole that is made from one face, as seen from that face.

    Args:
        flange: What is drilled.
        zero: Where X and Y are zero.
        unit: Unit of the coordinates: three decimals in mm, four in inches, as readouts show them.
        made: What is made at a hole, in words.
        side: The face; the plate lies turned over for its back, left to right.
    """
    box, holes = flange.box(), side_holes(flange, side)
    over = side is PlateFace.BACK
    x, y = zero_point(zero, (box.right if over else box.left, box.bottom), holes)
    sign = -1.0 if over else 1.0
    places = 3 if unit is Unit.MM else 4
    rows = tuple(
        (
            hole.label,
            decimal_text(sign * (hole.center.x - x), unit, places),
            decimal_text(hole.center.y - y, unit, places),
            decimal_text(hole.diameter, unit, places),
            made(hole),
        )
        for hole in holes
    )
    return TextTable(
        f"readout, zero at the {zero.value}, {unit.value}{f', {TURNED_OVER}' if over else ''}",
        ("hole", f"x_{unit.value}", f"y_{unit.value}", f"hole_diameter_{unit.value}", "made"),
        rows,
    )
