"""Hole coordinates for a machine with a readout."""

from flangelayout.drawing.model import TextTable
from flangelayout.flange import Flange
from flangelayout.flange.cutting import Zero, zero_point
from flangelayout.units import Unit, decimal_text


def readout_table(flange: Flange, zero: Zero, unit: Unit) -> TextTable:
    """Every hole's X and Y from the chosen zero, seen from the face the plate is drawn from.

    Args:
        flange: What is drilled.
        zero: Where X and Y are zero.
        unit: Unit of the coordinates: three decimals in mm, four in inches, as readouts show them.
    """
    box, holes = flange.box(), flange.holes()
    x, y = zero_point(zero, (box.left, box.bottom), holes)
    places = 3 if unit is Unit.MM else 4
    rows = tuple(
        (
            hole.label,
            decimal_text(hole.center.x - x, unit, places),
            decimal_text(hole.center.y - y, unit, places),
            decimal_text(hole.diameter, unit, places),
        )
        for hole in holes
    )
    return TextTable(
        f"readout, zero at the {zero.value}, {unit.value}",
        ("hole", f"x_{unit.value}", f"y_{unit.value}", f"hole_diameter_{unit.value}"),
        rows,
    )
