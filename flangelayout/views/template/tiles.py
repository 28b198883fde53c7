"""The pages of a tiled drawing, with trim lines and registration marks along their seams."""

from collections.abc import Iterator

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Drawing, Item, Sheet, View
from flangelayout.drawing.references import Furniture
from flangelayout.geometry.shapes import ORIGIN, Circle, Line, Point
from flangelayout.views.template.flip import upside_down
from flangelayout.views.template.furniture import Subject, note_line, page_furniture, tile_line, tile_text
from flangelayout.views.template.paper import FLIP_NOTES, TemplatePage
from flangelayout.views.template.tiling import TileJoint, Tiling


def tile_sheets(
    subject: Subject, drawing: Drawing, tiling: Tiling, page: TemplatePage, flip: bool, pointer: str = "TOP"
) -> Iterator[Sheet]:
    """A page for every tile of a drawing, every other one upside down if asked for."""
    common = Drawing("template page", page_furniture(page.window, subject, page.notes, pointer))
    grid = Drawing("template seams", tuple(item for joint in tiling.joints for item in _seam(joint, tiling.overlap)))
    turned: dict[int, Drawing] = {}
    window = page.window
    for number, tile in enumerate(tiling.tiles, 1):
        at = Point(window.left - tile.window.left, window.bottom - tile.window.bottom)
        views = (View(drawing, 1.0, at, window), View(grid, 1.0, at, window), View(common, 1.0, ORIGIN))
        over = flip and (tile.row + tile.column) % 2 == 1
        furniture = [tile_line(tile_text(tile, number, tiling), window)]
        if flip:
            furniture.append(note_line(FLIP_NOTES[over], window, len(page.notes)))
        sheet = Sheet(page.paper, views, tuple(furniture), f"row {tile.row}, column {tile.column}")
        yield upside_down(sheet, turned) if over else sheet


def _seam(joint: TileJoint, overlap: float) -> Iterator[Item]:
    """A trim line with its registration marks."""
    yield Item(Layer.TRIM, joint.trim, Furniture("trim line"))
    reach = overlap * 0.42
    for mark in joint.marks:
        yield Item(Layer.TEMPLATE_MARKS, Circle(mark, reach * 0.6), Furniture("registration mark"))
        for step in (Point(reach, 0.0), Point(0.0, reach)):
            yield Item(Layer.TEMPLATE_MARKS, Line(mark - step, mark + step), Furniture("registration mark"))
