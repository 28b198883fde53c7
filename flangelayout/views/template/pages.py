"""The template as pages to print at full scale: a cover that says how, and the tiles."""

from flangelayout.drawing.choices import TemplateStyle
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import Drawing, Paper, Sheet, SheetSet, Stamp, View
from flangelayout.drawing.printer import Printer
from flangelayout.drawing.settings import TemplateSettings
from flangelayout.flange import Flange
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.shapes import Box, Point
from flangelayout.units import Unit
from flangelayout.value import replace
from flangelayout.views.page.flip import seen_from_behind, turned_over
from flangelayout.views.template.content_map import ink_map
from flangelayout.views.template.cover import cover_sheet, plate_cover
from flangelayout.views.template.drawing import punch_points, template_drawing
from flangelayout.views.template.furniture import (
    LEFT_STRIP,
    Subject,
    page_furniture,
    verdict_lines,
)
from flangelayout.views.template.hole_labels import ANY_ROOM, LabelRoom, are_labeled
from flangelayout.views.template.paper import (
    both_ways,
    foot_height,
    page_on,
    with_correction,
)
from flangelayout.views.template.tiles import label_room, tile_sheets
from flangelayout.views.template.tiling import Tiling, tile_drawing

_LEAST_SHEET = 190.0
_PEN_ROOM = 0.5


def template_faces(flange: Flange) -> tuple[PlateFace, ...]:
    """The faces that have a template each: the back only for holes that are blind from it, alone where all are."""
    if not flange.hidden_holes():
        return (PlateFace.FACE,)
    return (PlateFace.FACE, PlateFace.BACK) if flange.shown_holes() else (PlateFace.BACK,)


def template_sheets(
    flange: Flange,
    info: JobInfo,
    stamp: Stamp,
    unit: Unit,
    layout: TemplateSettings,
    face: PlateFace = PlateFace.FACE,
) -> SheetSet:
    """A cover page and every page with something on it, upright or sideways, whichever takes fewer.

    The back is always on tiles: a sector or a strip is laid by the holes of the face.

    Raises:
        GeometryError: If the plate cannot be printed in the style asked for.
    """
    subject = _subject(flange, info, stamp, unit, face)
    match TemplateStyle.TILES if subject.is_back else layout.style:
        case TemplateStyle.TILES:
            return _plate_sheets(subject, layout)
        case TemplateStyle.SECTOR:
            from flangelayout.views.template.sector import sector_sheets

            return sector_sheets(subject, layout)
        case TemplateStyle.STRIPS:
            from flangelayout.views.template.strips import strip_sheets

            return strip_sheets(subject, layout)


def one_sheet_template(
    flange: Flange,
    info: JobInfo,
    stamp: Stamp,
    unit: Unit,
    margin: float = 12.0,
    printer: Printer | None = None,
    face: PlateFace = PlateFace.FACE,
) -> SheetSet:
    """The whole template on one page as large as it needs, for a plotter or a print shop."""
    subject = _subject(flange, info, stamp, unit, face)
    box = _box(subject)
    width, height = max(box.width, _LEAST_SHEET), max(box.height, _LEAST_SHEET)
    notes = verdict_lines(subject.flange, width, height, unit)
    x, y = printer.factors(sideways=False) if printer else (1.0, 1.0)
    foot = foot_height(subject, Box(0.0, 0.0, width, height), with_correction(notes, printer, (x, y)), flip=False)
    size = (margin + LEFT_STRIP + width + margin) / x, (margin + foot + height + margin) / y
    page = page_on(subject, Paper("one sheet", *size), margin, printer, notes)
    common = page_furniture(page.window, subject, page.lines)
    view = View(_drawing(subject), 1.0, page.window.center - box.center)
    return SheetSet((Sheet(page.paper, (view,), common, "template"),), stamp, stretch=page.stretch, one_sided=True)


def roll_template(
    flange: Flange,
    info: JobInfo,
    stamp: Stamp,
    unit: Unit,
    layout: TemplateSettings,
    face: PlateFace = PlateFace.FACE,
) -> SheetSet:
    """The template on a roll: pages of one width, as long as the plate needs, side by side where it is wider.

    Args:
        flange: What is drilled.
        info: Title block.
        stamp: Identity.
        unit: Unit of the numbers shown.
        layout: Width of the paper, overlap, margin, printer, whether pages are flipped; not its paper and style.
        face: Which face it lies on.
    """
    subject, printer = _subject(flange, info, stamp, unit, face), layout.measured
    box = _box(subject)
    x, y = printer.factors(sideways=False) if printer else (1.0, 1.0)
    width, height = layout.roll_width * x - 2 * layout.margin - LEFT_STRIP, max(box.height, _LEAST_SHEET)
    notes, flip = verdict_lines(subject.flange, width, height, unit), layout.flip_tiles
    foot = foot_height(subject, Box(0.0, 0.0, width, height), with_correction(notes, printer, (x, y)), flip)
    roll = Paper("roll", layout.roll_width, (foot + height + 2 * layout.margin) / y)
    page = page_on(subject, roll, layout.margin, printer, notes, flip)
    drawing, tiling = _tiled(subject, [page.size], layout.overlap)
    return SheetSet(
        tuple(tile_sheets(subject, drawing, tiling, page, layout.flip_tiles)),
        stamp,
        stretch=page.stretch,
        one_sided=True,
    )


def _subject(flange: Flange, info: JobInfo, stamp: Stamp, unit: Unit, face: PlateFace) -> Subject:
    if face is PlateFace.FACE:
        return Subject(flange, info, stamp, unit)
    return Subject(flange.with_faces_exchanged(), info, stamp, unit, flange)


def _plate_sheets(subject: Subject, layout: TemplateSettings) -> SheetSet:
    pages = both_ways(subject, layout)
    sizes = [page.size for page in pages]
    drawing, tiling = _tiled(subject, sizes, layout.overlap)
    page = pages[sizes.index(tiling.size)]
    cover = cover_sheet(subject, page, layout.margin, plate_cover(subject, tiling))
    tiles = tile_sheets(subject, drawing, tiling, page, layout.flip_tiles)
    return SheetSet((cover, *tiles), subject.stamp, stretch=page.stretch, one_sided=True)


def _tiled(subject: Subject, sizes: list[tuple[float, float]], overlap: float) -> tuple[Drawing, Tiling]:
    """What is scribed and punched with its pages: parted first, then labeled again where the seams leave room."""
    drawing, box, radius = _drawing(subject), _box(subject), _largest_radius(subject.flange)
    tiling = tile_drawing(drawing, box, _centers(subject), sizes, overlap, radius)
    if len(tiling.tiles) == 1 or not are_labeled(subject.flange):
        return drawing, tiling
    drawing = _drawing(subject, label_room(tiling, turned=subject.is_back))
    return drawing, replace(tiling, ink=ink_map(drawing, box))


def _drawing(subject: Subject, room: LabelRoom = ANY_ROOM) -> Drawing:
    """What is scribed and punched, as the pages show it."""
    drawing = template_drawing(subject.flange, subject.unit, room)
    return seen_from_behind(drawing) if subject.is_back else drawing


def _centers(subject: Subject) -> list[Point]:
    centers = [point for hole in subject.flange.shown_holes() for point in punch_points(hole)]
    return [turned_over(point) for point in centers] if subject.is_back else centers


def _largest_radius(flange: Flange) -> float:
    return max((hole.reach for hole in flange.shown_holes()), default=0.0)


def _box(subject: Subject) -> Box:
    box = subject.flange.box().grown(_PEN_ROOM)
    return Box(-box.right, box.bottom, -box.left, box.top) if subject.is_back else box
