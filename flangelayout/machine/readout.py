"""Hole coordinates for a machine with a readout."""

from flangelayout.drawing.model import TextTable
from flangelayout.flange import Flange
from flangelayout.flange.cutting import Zero, zero_point
from flangelayout.flange.hole import shows_on_face
from flangelayout.units import Unit, decimal_text


def readout_table(flange: Flange, zero: Zero, unit: Unit, from_back: bool = False) -> TextTable:
    """X and Y from the chosen zero of every hole that opens at the face that is looked at.

    Args:
        flange: What is drilled.
        zero: Where X and Y are zero.
        unit: Unit of the coordinates: three decimals in mm, four in inches, as readouts show them.
        from_back: Of the holes that are blind from the back, the plate turned over about the vertical: X changes sign.
            The corner is then the one that lies at the lower left.
    """
    box, holes = flange.box(), flange.holes()
    x, y = zero_point(zero, (box.right if from_back else box.left, box.bottom), holes)
    sign, places = -1.0 if from_back else 1.0, 3 if unit is Unit.MM else 4
    rows = tuple(
        (
            hole.label,
            decimal_text(sign * (hole.center.x - x), unit, places),
            decimal_text(hole.center.y - y, unit, places),
            decimal_text(hole.diameter, unit, places),
        )
        for hole in holes
        if shows_on_face(hole) != from_back
    )
    seen = " FROM THE BACK, plate turned over about the vertical" if from_back else ""
    return TextTable(
        f"readout{seen}, zero at the {zero.value}, {unit.value}",
        ("hole", f"x_{unit.value}", f"y_{unit.value}", f"hole_diameter_{unit.value}"),
        rows,
    )
