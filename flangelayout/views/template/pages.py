"""The template as pages to print at full scale: a cover that says how, and the tiles."""

from flangelayout.drawing.choices import TemplateStyle
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import Paper, Sheet, SheetSet, Stamp, View
from flangelayout.drawing.printer import Printer
from flangelayout.drawing.settings import TemplateSettings
from flangelayout.flange import Flange
from flangelayout.geometry.shapes import Box, Point
from flangelayout.units import Unit
from flangelayout.views.template.cover import cover_sheet, plate_cover
from flangelayout.views.template.drawing import punch_points, template_drawing
from flangelayout.views.template.furniture import (
    LEFT_STRIP,
    Subject,
    page_furniture,
    verdict_lines,
)
from flangelayout.views.template.paper import (
    both_ways,
    foot_height,
    page_on,
)
from flangelayout.views.template.tiles import tile_sheets
from flangelayout.views.template.tiling import tile_drawing

_LEAST_SHEET = 190.0
_PEN_ROOM = 0.5


def template_sheets(flange: Flange, info: JobInfo, stamp: Stamp, unit: Unit, layout: TemplateSettings) -> SheetSet:
    """A cover page and every page with something on it, upright or sideways, whichever takes fewer.

    Raises:
        GeometryError: If the plate cannot be printed in the style asked for.
    """
    subject = Subject(flange, info, stamp, unit)
    match layout.style:
        case TemplateStyle.TILES:
            return _plate_sheets(subject, layout)
        case TemplateStyle.SECTOR:
            from flangelayout.views.template.sector import sector_sheets

            return sector_sheets(subject, layout)
        case TemplateStyle.STRIPS:
            from flangelayout.views.template.strips import strip_sheets

            return strip_sheets(subject, layout)


def one_sheet_template(
    flange: Flange, info: JobInfo, stamp: Stamp, unit: Unit, margin: float = 12.0, printer: Printer | None = None
) -> SheetSet:
    """The whole template on one page as large as it needs, for a plotter or a print shop."""
    subject, box = Subject(flange, info, stamp, unit), _box(flange)
    width, height = max(box.width, _LEAST_SHEET), max(box.height, _LEAST_SHEET)
    notes = verdict_lines(flange, width, height, unit)
    foot = foot_height(margin, len(notes) + bool(printer))
    x, y = printer.factors(sideways=False) if printer else (1.0, 1.0)
    size = (margin + LEFT_STRIP + width + margin) / x, (foot + height + margin) / y
    page = page_on(Paper("one sheet", *size), margin, printer, notes)
    common = page_furniture(page.window, subject, page.notes)
    view = View(template_drawing(flange, unit), 1.0, page.window.center - box.center)
    return SheetSet((Sheet(page.paper, (view,), common, "template"),), stamp, stretch=page.stretch, one_sided=True)


def roll_template(flange: Flange, info: JobInfo, stamp: Stamp, unit: Unit, layout: TemplateSettings) -> SheetSet:
    """The template on a roll: pages of one width, as long as the plate needs, side by side where it is wider.

    Args:
        flange: What is drilled.
        info: Title block.
        stamp: Identity.
        unit: Unit of the numbers shown.
        layout: Width of the paper, overlap, margin, printer, whether pages are flipped; not its paper and style.
    """
    subject, box, printer = Subject(flange, info, stamp, unit), _box(flange), layout.measured
    x, y = printer.factors(sideways=False) if printer else (1.0, 1.0)
    width, height = layout.roll_width * x - 2 * layout.margin - LEFT_STRIP, max(box.height, _LEAST_SHEET)
    notes, lines = verdict_lines(flange, width, height, unit), int(layout.flip_tiles)
    foot = foot_height(layout.margin, len(notes) + lines + bool(printer))
    roll = Paper("roll", layout.roll_width, (foot + height + layout.margin) / y)
    page = page_on(roll, layout.margin, printer, notes, lines)
    drawing = template_drawing(flange, unit)
    tiling = tile_drawing(drawing, box, _centers(flange), [page.size], layout.overlap, _largest_radius(flange))
    return SheetSet(
        tuple(tile_sheets(subject, drawing, tiling, page, layout.flip_tiles)),
        stamp,
        stretch=page.stretch,
        one_sided=True,
    )


def _plate_sheets(subject: Subject, layout: TemplateSettings) -> SheetSet:
    flange = subject.flange
    pages = both_ways(layout, (), int(layout.flip_tiles))
    drawing, sizes = template_drawing(flange, subject.unit), [page.size for page in pages]
    tiling = tile_drawing(drawing, _box(flange), _centers(flange), sizes, layout.overlap, _largest_radius(flange))
    page = pages[sizes.index(tiling.size)]
    cover = cover_sheet(subject, page, layout.margin, plate_cover(subject, tiling))
    tiles = tile_sheets(subject, drawing, tiling, page, layout.flip_tiles)
    return SheetSet((cover, *tiles), subject.stamp, stretch=page.stretch, one_sided=True)


def _centers(flange: Flange) -> list[Point]:
    return [point for hole in flange.shown_holes() for point in punch_points(hole)]


def _largest_radius(flange: Flange) -> float:
    return max((hole.reach for hole in flange.shown_holes()), default=0.0)


def _box(flange: Flange) -> Box:
    return flange.box().grown(_PEN_ROOM)
