"""The template as pages to print at full scale: a cover that says how, and the tiles."""

from collections.abc import Sequence

from msgspec import Struct

from flangelayout.drawing.choices import TemplateStyle
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import Drawing, Paper, Sheet, SheetSet, Stamp, View
from flangelayout.drawing.printer import Printer
from flangelayout.drawing.settings import TemplateSettings
from flangelayout.flange import Flange, Hole, HoleKind
from flangelayout.flange.hole import face_circle, punch_points
from flangelayout.flange.sector import alike_part
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.shapes import Box, Line, Point
from flangelayout.units import Unit
from flangelayout.value import replace
from flangelayout.views.page.flip import box_turned_over, seen_from_behind, turned_over
from flangelayout.views.template.content_map import InkMap, ink_map, with_ink
from flangelayout.views.template.cover import SLOT_CENTER, cover_sheets, has_slots, plate_chords, plate_cover
from flangelayout.views.template.drawing import Scribing, scribing
from flangelayout.views.template.furniture import (
    LEFT_STRIP,
    Subject,
    lines_of,
    page_furniture,
    share_lines,
    verdict_lines,
)
from flangelayout.views.template.hole_labels import PlateWords, plate_words, words_on_pages
from flangelayout.views.template.paper import (
    both_ways,
    foot_height,
    page_on,
    with_correction,
)
from flangelayout.views.template.tiles import label_room, tile_sheets
from flangelayout.views.template.tiling import Tiling, tile_ink
from flangelayout.views.words.holes import hole_text
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.numbering import holes_in_words

_LEAST_SHEET = 190.0
_PEN_ROOM = 0.5
_NO_LETTER = ("all", "-")
"""Names of a circle that is the only one, and of holes on none."""


def template_faces(flange: Flange) -> tuple[PlateFace, ...]:
    """The faces that have a template each: the back only for holes that are blind from it, alone where all are."""
    if not flange.hidden_holes():
        return (PlateFace.FACE,)
    return (PlateFace.FACE, PlateFace.BACK) if flange.shown_holes() else (PlateFace.BACK,)


class FaceTemplate(Struct, frozen=True):
    """What a face of a plate is scribed and punched with, whatever it is printed on.

    Attributes:
        subject: What it is of.
        scribing: Its lines.
        words: What stands among them where one page shows all.
    """

    subject: Subject
    scribing: Scribing
    words: tuple[PlateWords, ...]

    @classmethod
    def of(
        cls, flange: Flange, info: JobInfo, stamp: Stamp, unit: Unit, face: PlateFace = PlateFace.FACE
    ) -> "FaceTemplate":
        """The template of a face; of a ring whose parts are alike, that of one part.

        Args:
            flange: What is drilled.
            info: Title block.
            stamp: Identity.
            unit: Unit of the numbers shown.
            face: Which face it lies on.
        """
        part = alike_part(flange)
        drawn = part.flange if part else flange
        subject = Subject(drawn, info, stamp, unit, part=part)
        if face is PlateFace.BACK:
            subject = replace(subject, flange=drawn.with_faces_exchanged(), drawn=drawn)
        words = plate_words(subject.flange, unit)
        if part:
            words = tuple(each for each in words if each.hole)
        return cls(subject, scribing(subject.flange), words)

    def drawing(self, words: Sequence[PlateWords]) -> Drawing:
        """Lines and words as the pages show them."""
        return self._shown(self.scribing.drawing(words))

    def box(self) -> Box:
        """What the pages must cover."""
        box = self.subject.flange.box().grown(_PEN_ROOM)
        return box_turned_over(box) if self.subject.is_back else box

    def centers(self) -> list[Point]:
        """Where holes are punched, as the pages show them."""
        centers = [point for hole in self.subject.flange.shown_holes() for point in punch_points(hole)]
        return [turned_over(point) for point in centers] if self.subject.is_back else centers

    def ink_of_lines(self) -> InkMap:
        """Where the pages have lines."""
        return ink_map((item.what for item in self.drawing(()).items), self.box())

    def ink(self, lines: InkMap, words: Sequence[PlateWords]) -> InkMap:
        """Where they have lines or words."""
        items = tuple(item for each in words for item in each.items())
        return with_ink(lines, (item.what for item in self._shown(Drawing("words", items)).items))

    def _shown(self, drawing: Drawing) -> Drawing:
        return seen_from_behind(drawing) if self.subject.is_back else drawing


def template_sheets(template: FaceTemplate, layout: TemplateSettings) -> SheetSet:
    """A cover page and every page with something on it, upright or sideways, whichever takes fewer.

    The back is always on tiles: a sector or a strip is laid by the holes of the face.

    Raises:
        GeometryError: If the plate cannot be printed in the style asked for.
    """
    subject = template.subject
    match TemplateStyle.TILES if subject.is_back else layout.style:
        case TemplateStyle.TILES:
            return _plate_sheets(template, layout)
        case TemplateStyle.SECTOR:
            from flangelayout.views.template.sector import sector_sheets

            return sector_sheets(subject, layout)
        case TemplateStyle.STRIPS:
            from flangelayout.views.template.strips.sheets import strip_sheets

            return strip_sheets(subject, layout)


def one_sheet_template(template: FaceTemplate, margin: float = 12.0, printer: Printer | None = None) -> SheetSet:
    """The whole template on one page as large as it needs, for a plotter or a print shop."""
    subject, box = template.subject, template.box()
    width, height = max(box.width, _LEAST_SHEET), max(box.height, _LEAST_SHEET)
    window = Box(0.0, 0.0, width, height)
    notes = _notes(subject, template.words, window)
    x, y = printer.factors(sideways=False) if printer else (1.0, 1.0)
    foot = foot_height(subject, window, with_correction(notes, printer, (x, y)), flip=False)
    size = (margin + LEFT_STRIP + width + margin) / x, (margin + foot + height + margin) / y
    page = page_on(subject, Paper("one sheet", *size), margin, printer, notes)
    common = page_furniture(page.window, subject, page.lines)
    view = View(template.drawing(template.words), 1.0, page.window.center - box.center)
    sheet = Sheet(page.paper, (view,), common, "template")
    return SheetSet((sheet,), subject.stamp, stretch=page.stretch, one_sided=True)


def roll_template(template: FaceTemplate, layout: TemplateSettings) -> SheetSet:
    """The template on a roll: pages of one width, as long as the plate needs, side by side where it is wider.

    Args:
        template: What is printed.
        layout: Width of the paper, overlap, margin, printer, whether pages are flipped; not its paper and style.
    """
    subject, box, printer = template.subject, template.box(), layout.measured
    x, y = printer.factors(sideways=False) if printer else (1.0, 1.0)
    width, height = layout.roll_width * x - 2 * layout.margin - LEFT_STRIP, max(box.height, _LEAST_SHEET)
    window, flip = Box(0.0, 0.0, width, height), layout.flip_tiles
    words, tiling = _tiled(template, [(width, height)], layout.overlap)
    notes = _notes(subject, words, window, tiling.seams)
    foot = foot_height(subject, window, with_correction(notes, printer, (x, y)), flip)
    roll = Paper("roll", layout.roll_width, (foot + height + 2 * layout.margin) / y)
    page = page_on(subject, roll, layout.margin, printer, notes, flip)
    tiles = tile_sheets(subject, template.drawing(words), tiling, page, flip)
    return SheetSet(tuple(tiles), subject.stamp, stretch=page.stretch, one_sided=True)


def _plate_sheets(template: FaceTemplate, layout: TemplateSettings) -> SheetSet:
    subject = template.subject
    pages = both_ways(subject, layout, _size_lines(subject, template.words, whole=True))
    words, tiling = _tiled(template, [page.size for page in pages], layout.overlap)
    page = next(page for page in pages if page.size == tiling.size)
    covers = cover_sheets(subject, page, layout.margin, plate_cover(subject, tiling))
    tiles = tile_sheets(subject, template.drawing(words), tiling, page, layout.flip_tiles)
    return SheetSet((*covers, *tiles), subject.stamp, stretch=page.stretch, one_sided=True)


def _notes(subject: Subject, words: Sequence[PlateWords], window: Box, seams: Sequence[Line] = ()) -> tuple[str, ...]:
    """What pages without a cover tell at their foot: of the parts, of sizes, of what is measured."""
    verdict = verdict_lines(subject.flange, window, subject.unit, seams)
    return (*share_lines(subject), *_size_lines(subject, words), *verdict, *_chord_lines(subject, window))


def _chord_lines(subject: Subject, window: Box) -> tuple[str, ...]:
    """The chords that are measured on the plate, with the limits that their drawing states, each whole on a line."""
    told = (
        f"{' '.join(row[row[0] in _NO_LETTER : 3])}{f' (accept {row[3]})' if row[3] else ''}, read ________"
        for row in plate_chords(subject.flange, subject.unit).rows
    )
    lines = tuple(told)
    how = f"ON THE PLATE, CENTER TO CENTER{SLOT_CENTER if has_slots(subject.flange) else ''}"
    return lines_of(f"{how}: {'; '.join(lines)}", window, ";") if lines else ()


def _size_lines(subject: Subject, words: Sequence[PlateWords], whole: bool = False) -> tuple[str, ...]:
    """What the holes are that have no room for their size beside them, or the kinds ``whole`` of which no hole has.

    At no hole stands the size of its recess, which only pages with a cover tell elsewhere.
    """
    sized = [each.hole for each in words if each.hole and each.has_size and (whole or not _shows_recess(each.hole))]
    told, kinds = {hole.label for hole in sized}, {(hole.diameter, hole.kind) for hole in sized}
    alike: dict[tuple[float, HoleKind], list[Hole]] = {}
    for hole in subject.flange.shown_holes():
        if hole.label not in told and not (whole and (hole.diameter, hole.kind) in kinds):
            alike.setdefault((hole.diameter, hole.kind), []).append(hole)
    made = (
        f"{holes_in_words(holes)}: {hole_text(kind, diameter, Lengths(subject.unit))}"
        for (diameter, kind), holes in alike.items()
    )
    return (f"SIZES NOT AT THEIR HOLES: {'; '.join(made)}",) if alike else ()


def _shows_recess(hole: Hole) -> bool:
    """Whether a hole has a second circle, that of a recess or a seat."""
    return hole.worked_from is PlateFace.FACE and face_circle(hole) is not None


def _tiled(
    template: FaceTemplate, sizes: Sequence[tuple[float, float]], overlap: float
) -> tuple[Sequence[PlateWords], Tiling]:
    """The words of a plate and its pages: parted first, then the words that seams run through are moved."""
    flange, unit, is_back = template.subject.flange, template.subject.unit, template.subject.is_back
    radius = max((hole.reach for hole in flange.shown_holes()), default=0.0)
    words, lines = template.words, template.ink_of_lines()
    tiling = tile_ink(template.ink(lines, words), template.centers(), sizes, overlap, radius)
    if len(tiling.tiles) > 1:
        words = words_on_pages(words, flange, unit, label_room(tiling, is_back))
        tiling = replace(tiling, ink=template.ink(lines, words))
    return words, tiling
