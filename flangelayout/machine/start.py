"""Where the work stands at the first hole of a circle: lists that count from it are worth little without."""

from dataclasses import replace

from flangelayout.drawing.model import TextTable
from flangelayout.flange import Flange
from flangelayout.flange.hole import shows_on_face
from flangelayout.units import angle_text


def with_start(table: TextTable, flange: Flange, group: int) -> TextTable:
    """A list of settings of one bolt circle with the angle of every hole on the plate and of its first hole.

    Args:
        table: Its first column the number of a hole, in the order of drilling.
        flange: What is drilled.
        group: Index of the bolt circle.

    Returns:
        The table with a column ``on_plate_deg``, counter-clockwise from the right-hand centerline, after the number;
        the title says where the first hole stands, and how far after that of the first circle.
    """
    angles = {str(hole.number): hole.angle for hole in flange.holes() if hole.group == group}
    first = angles[table.rows[0][0]]
    title = f"{flange.group_name(group)}: {table.title}; first hole at {angle_text(first)}"
    if group > 0:
        start = next(hole.angle for hole in flange.holes() if hole.group == 0)
        title += f", {angle_text((first - start) % 360.0)} after that of {flange.group_name(0)}"
    if any(hole.group == group and not shows_on_face(hole) for hole in flange.holes()):
        over = angle_text((180.0 - first) % 360.0)
        title += f"; made FROM THE BACK: with the plate turned over the first hole is at {over}, the others clockwise"
    rows = tuple((row[0], f"{angles[row[0]]:.5f}", *row[1:]) for row in table.rows)
    return replace(table, title=title, columns=(table.columns[0], "on_plate_deg", *table.columns[1:]), rows=rows)
