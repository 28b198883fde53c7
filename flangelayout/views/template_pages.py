"""The template as pages to print at full scale: a cover that says how, and the tiles."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Drawing, Item, Paper, Sheet, SheetSet, Stamp, View
from flangelayout.drawing.papers import paper
from flangelayout.flange import Flange
from flangelayout.geometry.shapes import ORIGIN, Box, Circle, Line, Point
from flangelayout.units import Unit
from flangelayout.views.template import template_drawing
from flangelayout.views.template_cover import cover_sheet
from flangelayout.views.template_furniture import BOTTOM_STRIP, LEFT_STRIP, page_furniture, tile_line, verdict_lines
from flangelayout.views.tiling import Tile, Tiling, tile_drawing

_LEAST_SHEET = 190.0
_PEN_ROOM = 0.5


@dataclass(frozen=True, slots=True)
class TemplateLayout:
    """How a template is put on paper: name of the paper, overlap of tiles and margin in mm."""

    paper: str
    overlap: float = 10.0
    margin: float = 12.0


def template_sheets(flange: Flange, info: JobInfo, stamp: Stamp, unit: Unit, layout: TemplateLayout) -> SheetSet:
    """A cover page and every tile with something on it, upright or sideways, whichever takes fewer pages."""
    drawing = template_drawing(flange)
    turned = [_tiled(flange, drawing, paper(layout.paper, landscape), layout) for landscape in (False, True)]
    page, tiling = min(turned, key=lambda choice: len(choice[1].tiles))
    window = _window(page, layout.margin)
    common = Drawing("template page", page_furniture(window, flange, info, stamp, unit))
    grid = Drawing("template seams", tuple(_seams(tiling)))
    cover = cover_sheet(flange, info, stamp, unit, page, layout.margin, tiling, window)
    pages = [
        _tile_sheet(tile, number, tiling, page, window, (drawing, grid, common))
        for number, tile in enumerate(tiling.tiles, 1)
    ]
    return SheetSet((cover, *pages), stamp)


def one_sheet_template(flange: Flange, info: JobInfo, stamp: Stamp, unit: Unit, margin: float = 12.0) -> SheetSet:
    """The whole template on one page as large as it needs, for a plotter or a print shop."""
    drawing = template_drawing(flange)
    box = _box(flange)
    width, height = max(box.width, _LEAST_SHEET), max(box.height, _LEAST_SHEET)
    notes = verdict_lines(flange, width, height, unit)
    left, bottom = margin + LEFT_STRIP, margin + BOTTOM_STRIP + len(notes) * 4.0
    window = Box(left, bottom, left + width, bottom + height)
    page = Paper("one sheet", window.right + margin, window.top + margin)
    common = page_furniture(window, flange, info, stamp, unit, notes)
    view = View(drawing, 1.0, window.center - box.center)
    return SheetSet((Sheet(page, (view,), common, "template"),), stamp)


def _tiled(flange: Flange, drawing: Drawing, page: Paper, layout: TemplateLayout) -> tuple[Paper, Tiling]:
    window = _window(page, layout.margin)
    centers = [hole.center for hole in flange.holes()]
    return page, tile_drawing(drawing, _box(flange), centers, (window.width, window.height), layout.overlap)


def _box(flange: Flange) -> Box:
    return flange.box().grown(_PEN_ROOM)


def _window(page: Paper, margin: float) -> Box:
    """The part of a page that shows the template."""
    return Box(margin + LEFT_STRIP, margin + BOTTOM_STRIP, page.width - margin, page.height - margin)


def _tile_sheet(
    tile: Tile, number: int, tiling: Tiling, page: Paper, window: Box, drawings: tuple[Drawing, Drawing, Drawing]
) -> Sheet:
    template, grid, common = drawings
    at = Point(window.left - tile.window.left, window.bottom - tile.window.bottom)
    views = (View(template, 1.0, at, window), View(grid, 1.0, at, window), View(common, 1.0, ORIGIN))
    return Sheet(page, views, (tile_line(tile, number, tiling, window),), f"row {tile.row}, column {tile.column}")


def _seams(tiling: Tiling) -> Iterator[Item]:
    """Trim lines with registration marks, only where both neighbors are printed."""
    printed = {(tile.row, tile.column): tile.window for tile in tiling.tiles}
    for (row, column), window in printed.items():
        if (row, column + 1) in printed:
            x = tiling.seams_x[column - 1]
            yield from _seam([Point(x, y) for y in _stations(window.bottom, window.top)], tiling.overlap)
        if (row + 1, column) in printed:
            y = tiling.seams_y[tiling.rows - row - 1]
            yield from _seam([Point(x, y) for x in _stations(window.left, window.right)], tiling.overlap)


def _stations(low: float, high: float) -> list[float]:
    """Where a seam begins, carries its marks and ends."""
    return [low, low + (high - low) * 0.3, low + (high - low) * 0.7, high]


def _seam(stations: Sequence[Point], overlap: float) -> Iterator[Item]:
    start, *marks, end = stations
    yield Item(Layer.TRIM, Line(start, end), "trim line")
    reach = overlap * 0.42
    for mark in marks:
        yield Item(Layer.TEMPLATE_MARKS, Circle(mark, reach * 0.6), "registration mark")
        for step in (Point(reach, 0.0), Point(0.0, reach)):
            yield Item(Layer.TEMPLATE_MARKS, Line(mark - step, mark + step), "registration mark")
