"""Where the work stands at the first hole of a circle: lists that count from it are worth little without."""

from flangelayout.drawing.model import TextTable
from flangelayout.flange import Flange
from flangelayout.flange.turning import PlateFace
from flangelayout.machine.sides import TURNED_OVER, angle_on
from flangelayout.units import angle_text
from flangelayout.value import replace


def with_start(table: TextTable, flange: Flange, group: int) -> TextTable:
    """A list of settings of one bolt circle with the angle of every hole on the plate and of its first hole.

    Args:
        table: Its first column the number of a hole, in the order of drilling.
        flange: What is drilled.
        group: Index of the bolt circle.

    Returns:
        The table with a column ``on_plate_deg``, counter-clockwise from the right-hand centerline as seen from the
        face that the circle is made from, after the number; the title says where the first hole stands, how far after
        that of the first circle of this face, and whether the plate is turned over.
    """
    side = flange.bolt_circles[group].drilling.made_from
    angles = {str(hole.number): angle_on(side, hole.angle) for hole in flange.holes() if hole.group == group}
    first = angles[table.rows[0][0]]
    title = f"{flange.group_name(group)}: {table.title}; first hole at {angle_text(first)}"
    leading = next(hole for hole in flange.holes() if hole.made_from is side)
    if group != leading.group:
        after = (first - angle_on(side, leading.angle)) % 360.0
        title += f", {angle_text(after)} after that of {flange.group_name(leading.group)}"
    if side is PlateFace.BACK:
        title += f"; {TURNED_OVER}"
    rows = tuple((row[0], f"{angles[row[0]]:.5f}", *row[1:]) for row in table.rows)
    return replace(table, title=title, columns=(table.columns[0], "on_plate_deg", *table.columns[1:]), rows=rows)
