"""Where a page is cut although no neighbor meets it there."""

from collections.abc import Iterator

from flangelayout.geometry.shapes import Line, Point
from flangelayout.views.template.edges.sides import is_upright
from flangelayout.views.template.tiling import TileJoint, Tiling

_PAPER_BEYOND = 40.0
"""Printed mm that the paper of a page reaches beyond its window at most, to the left, to the right and up."""


def lone_cuts(tiling: Tiling) -> Iterator[TileJoint]:
    """Cuts where a page meets no neighbor, but its paper would lie on what an earlier page shows farther along."""
    cut = {(joint.over, is_upright(joint)) for joint in tiling.joints}
    for number, tile in enumerate(tiling.tiles):
        cell, paper = tile.cell, tile.window.grown(_PAPER_BEYOND)
        hidden = [each for each in tiling.tiles[:number] if paper.overlaps(each.cell)]
        for upright in (tiling.by_columns, not tiling.by_columns):
            beyond = [
                each for each in hidden if (each.cell.right <= cell.left if upright else each.cell.bottom >= cell.top)
            ]
            hidden = [each for each in hidden if each not in beyond]
            if beyond and (tile, upright) not in cut:
                start = Point(cell.left, cell.bottom if upright else cell.top)
                end = Point(cell.left if upright else cell.right, cell.top)
                yield TileJoint(beyond[0], tile, Line(start, end), ())
