"""Strips along the bolt circle for a ring whose bore is already cut: holes, rays to the rim, bore-edge distances."""

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import product

from msgspec import Struct

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Drawing, Item, Label, Sheet, SheetSet, TextTable, View
from flangelayout.drawing.references import Furniture, HoleRef
from flangelayout.drawing.settings import TemplateSettings
from flangelayout.drawing.textwidth import text_width
from flangelayout.errors import GeometryError
from flangelayout.flange import Flange, Hole
from flangelayout.flange.sector import Sector, sector, strip_problem
from flangelayout.geometry.shapes import ORIGIN, Box, Line, Point, polar
from flangelayout.problems.output import OutputProblem
from flangelayout.units import decimal_text
from flangelayout.value import replace
from flangelayout.views.page.flip import upside_down
from flangelayout.views.page.text import text_item
from flangelayout.views.template.cover import (
    MEASURE_STEP,
    PRINT_STEP,
    Cover,
    call_outs,
    cover_sheets,
    drill_step,
    plate_chords,
    punch_step,
    slot_steps,
)
from flangelayout.views.template.furniture import Subject, foot_lines, note_lines, page_furniture, tile_line
from flangelayout.views.template.hole_labels import size_words
from flangelayout.views.template.page_map import plate_items, plate_top
from flangelayout.views.template.paper import FLIP_NOTES, TemplatePage, both_ways
from flangelayout.views.template.strips.parted import PARTINGS, Parting, StripSeam, parted, strip_seams, wider_parted
from flangelayout.views.template.strips.strip import TO_RIM, DrawnStrip, StripBand, has_top
from flangelayout.views.words.numbering import holes_in_words

_REACHES = (60.0, 30.0, 12.0)
"""How far in mm beyond the holes a strip goes toward the rim at most; the one with the fewest pages is taken."""
_INWARD = (math.inf, 30.0)
"""How far it goes toward the bore: right to its edge, or where no page is large enough for that, so far."""
_PAST_EDGE = 3.0
_STACKS = range(1, 7)
"""How many strips a page may hold."""
_CAPTION = 5.0
_GAP = 4.0
_FINEST = 0.05
_TEXT = 2.5
_NUMBER_AND_SIZE = 2
"""Words at a hole that has both."""
_TICK = 1.04
"""How far the rays between strips reach on the map, in radii of the rim."""


def strip_sheets(subject: Subject, layout: TemplateSettings) -> SheetSet:
    """A cover and pages of strips that together carry every hole once.

    Raises:
        GeometryError: If the plate has no bore, is not round, or a strip does not fit on a page.
    """
    flange = subject.flange
    problem = strip_problem(flange)
    if problem:
        raise GeometryError(problem)
    pages = both_ways(subject, layout, (_note(subject, to_rim=True),))
    plan = _plan(flange, pages, layout.overlap)
    if plan is None:
        raise GeometryError.of(OutputProblem.STRIP_OFF_THE_PAGE, paper=layout.paper)
    band, unit = plan.way.band, subject.unit
    strips = [DrawnStrip(piece, seams, band, layout.overlap, unit) for piece, seams in _pieces(flange, plan)]
    drawn = [Drawing(f"strip {number}", tuple(strip.items())) for number, strip in enumerate(strips, 1)]
    to_rim = any(item.source == TO_RIM for drawing in drawn for item in drawing.items)
    way = plan.way if to_rim else _untold_of_rim(subject, plan.way)
    covers = cover_sheets(subject, way.page, layout.margin, _cover(subject, strips, band, to_rim))
    sheets = _pages(subject, layout, way, [*zip(strips, drawn, strict=True)])
    return SheetSet((*covers, *sheets), subject.stamp, stretch=way.page.stretch, one_sided=True)


class _Shown(Struct, frozen=True):
    """Strips ``stack`` to a page, none of more degrees than ``widest``."""

    band: StripBand
    page: TemplatePage
    stack: int
    widest: float

    @classmethod
    def of(cls, overlap: float, band: StripBand, page: TemplatePage, stack: int) -> "_Shown":
        height = page.window.height / stack - _CAPTION - _GAP
        return cls(band, page, stack, 2 * _widest(band, page.window.width, height, overlap))


class _StripPlan(Struct, frozen=True):
    """Strips of a kind, each from a ray on to the next, and how far these keep off holes."""

    way: _Shown
    parting: Parting
    rays: tuple[float, ...]

    @property
    def page_count(self) -> int:
        return math.ceil(len(self.rays) / self.way.stack)


def _plan(flange: Flange, pages: Sequence[TemplatePage], overlap: float) -> _StripPlan | None:
    """The strips that take the fewest pages of those whose seams stay farthest off the holes."""
    bands = [dict.fromkeys(_band(flange, inward, outward) for outward in _REACHES) for inward in _INWARD]
    ways = [[_Shown.of(overlap, *way) for way in product(some, pages, _STACKS)] for some in bands]
    for partings, some in product(PARTINGS, ways):
        for parting in partings:
            free = parting.stretches(flange)
            found = ((way, parted(free, way.widest)) for way in some if free and way.widest > _FINEST)
            plans = [_StripPlan(way, parting, rays) for way, rays in found if rays]
            if plans:
                plan = min(plans, key=lambda plan: (plan.page_count, len(plan.rays)))
                return replace(plan, rays=wider_parted(flange, parting, plan.rays, plan.way.widest))
    return None


def _pieces(flange: Flange, plan: _StripPlan) -> Iterator[tuple[Sector, tuple[StripSeam, StripSeam]]]:
    """The pieces of the ring in order, each with the seams on its right and its left."""
    seams = strip_seams(flange, plan.rays, (plan.way.band.inner, plan.way.band.outer))
    for right, left in zip(seams, (*seams[1:], seams[0]), strict=True):
        span = (left.ray - right.ray) % 360.0 or 360.0
        yield sector(flange, right.ray, span), (right, left)


def _widest(band: StripBand, width: float, height: float, overlap: float) -> float:
    """The greatest half angle of a strip that fits, in degrees; found by halving."""
    low, high = 0.0, 90.0
    while high - low > _FINEST / 10:
        half = (low + high) / 2
        across, up = band.size(half, overlap)
        low, high = (half, high) if across <= width and up <= height else (low, half)
    return low


def _band(flange: Flange, inward: float, outward: float) -> StripBand:
    radii = [(ORIGIN.distance_to(hole.center), hole.diameter / 2) for hole in flange.holes()]
    bore, rim = (flange.bore or 0.0) / 2, flange.box().width / 2
    inner = max(bore - _PAST_EDGE, min(at - radius for at, radius in radii) - inward)
    outer = min(rim + _PAST_EDGE, max(at + radius for at, radius in radii) + outward)
    return StripBand(inner, outer)


def _pages(
    subject: Subject, layout: TemplateSettings, way: _Shown, strips: Sequence[tuple[DrawnStrip, Drawing]]
) -> Iterator[Sheet]:
    page, total, number = way.page, len(strips), 0
    stacks = [strips[at : at + way.stack] for at in range(0, total, way.stack)]
    common = Drawing("template page", page_furniture(page.window, subject, page.lines, "RIM"))
    turned, flip = dict[int, Drawing](), layout.flip_tiles and len(stacks) > 1
    for rank, stack in enumerate(stacks, 1):
        views, furniture = [View(common, 1.0, ORIGIN)], [tile_line(f"PAGE {rank} of {len(stacks)}", page.window)]
        for slot, (strip, drawing) in enumerate(stack):
            number += 1
            room = _slot(page.window, slot, way.stack)
            at = Point(room.center.x, room.top - _CAPTION - way.band.outer)
            views.append(View(drawing, 1.0, at, Box(room.left, room.bottom, room.right, room.top)))
            text = f"STRIP {number} of {total}: {_holes_text(strip.piece)}"
            text += _sizes_text(strip, drawing, room.width - 2.0 - text_width(text, _TEXT))
            furniture.append(text_item(Point(room.left + 1.0, room.top - 3.2), text, _TEXT))
        over = flip and rank % 2 == 0
        if flip:
            furniture += note_lines(FLIP_NOTES[over], page.window, len(page.lines))
        sheet = Sheet(page.paper, tuple(views), tuple(furniture), f"page {rank}")
        yield upside_down(sheet, turned) if over else sheet


def _slot(window: Box, slot: int, of: int) -> Box:
    height = window.height / of
    top = window.top - slot * height
    return Box(window.left, top - height + (_GAP if of > 1 else 0.0), window.right, top)


def _holes_text(piece: Sector) -> str:
    """The holes of a strip by group, as they stand from right to left."""
    around = _around(piece)
    if not around:
        return "NO HOLES"
    groups = dict.fromkeys(hole.group for hole in around)
    labels = ([hole.label for hole in around if hole.group == group] for group in groups)
    names = ", ".join(names[0] if len(names) == 1 else f"{names[0]}-{names[-1]}" for names in labels)
    return f"HOLE {names}" if len(around) == 1 else f"HOLES {names}, from right to left"


def _sizes_text(strip: DrawnStrip, drawing: Drawing, width: float) -> str:
    """Behind them the sizes that stand not at their holes, where so much room is left; nothing where all do."""
    said = Counter(item.source for item in drawing.items if item.layer is Layer.TEXT)
    alike: dict[str, list[Hole]] = {}
    for hole in _around(strip.piece):
        if said[HoleRef(hole.label)] < _NUMBER_AND_SIZE:
            alike.setdefault(size_words(hole, strip.unit), []).append(hole)
    told = f" · {'; '.join(f'{holes_in_words(holes)}: {size}' for size, holes in alike.items())}" if alike else ""
    return told if text_width(told, _TEXT) <= width else " · FURTHER SIZES: COVER"


def _around(piece: Sector) -> list[Hole]:
    """The holes of a strip in order, from its right end."""
    first = 90.0 - piece.half_deg
    return sorted(piece.holes, key=lambda hole: (hole.angle - first) % 360.0)


def _note(subject: Subject, *, to_rim: bool) -> str:
    where = "inward to the bore edge, outward to the rim" if to_rim else "to the bore edge"
    return f"FIGURES ON THE RAYS ({subject.unit.value}): from the hole's center {where}."


def _untold_of_rim(subject: Subject, way: _Shown) -> _Shown:
    """The same pages, which do not speak of the rim: no figure tells how far it is."""
    notes = (*way.page.notes[:-1], _note(subject, to_rim=False))
    return replace(way, page=replace(way.page, notes=notes, lines=foot_lines(subject, way.page.window, notes)))


def _cover(subject: Subject, strips: Sequence[DrawnStrip], band: StripBand, to_rim: bool) -> Cover:
    flange, pieces = subject.flange, [strip.piece for strip in strips]
    bore_shown, rim_shown = band.inner < (flange.bore or 0.0) / 2, band.outer >= flange.box().width / 2
    line = "its bore line all round on the bore's edge" if bore_shown else "every hole as far from the bore as written"
    unseen = "" if rim_shown else "the rim is not on the strips; "
    where = "inside its hole to the bore edge, outside to the rim" if to_rim else "to the bore edge"
    steps = (
        PRINT_STEP,
        MEASURE_STEP,
        f"Cut the strips out along their dashed lines and join them end to end in order, every diamond closed, "
        f"J1 to J1, into a closed ring. Never punch a diamond.{_cut_holes(strips)}",
        f"Lay the ring on the plate, {line}, {_top_in_words(pieces)} at the top of the centerline; tape it down.",
        f"Check the rays: {unseen}a figure on one is the distance from its hole's center, {where}.",
        *slot_steps(subject.flange),
        punch_step(flange),
        drill_step(subject.flange),
    )
    return Cover(
        "STRIPS ALONG THE BOLT CIRCLE, FULL SCALE",
        call_outs(subject),
        steps,
        (plate_chords(flange, subject.unit), _distances(subject)),
        f"MAP: {len(strips)} strips, number in a box = strip, counter-clockwise",
        (*plate_items(flange), *_map(flange, pieces)),
        flange.box().grown(flange.box().width * (_TICK - 1) / 2),
        plate_top(subject),
    )


def _cut_holes(strips: Sequence[DrawnStrip]) -> str:
    """Which holes are cut, where they leave no straight way between them; empty where none is."""
    cut = {hole.label: hole for strip in strips for seam in strip.seams for hole in seam.cut}
    if not cut:
        return ""
    return f" No straight cut clears all holes: it runs through {holes_in_words([*cut.values()])}; centers are whole."


def _top_in_words(strips: Sequence[Sector]) -> str:
    """Where the ring has its mark for the top of the plate."""
    numbers = [number for number, piece in enumerate(strips, 1) if has_top(piece)]
    where = "of strip" if len(numbers) == 1 else "at the joint of strips"
    return f"the mark TOP {where} {' and '.join(map(str, numbers))}"


def _distances(subject: Subject) -> TextTable:
    """Bore edge to hole center and hole center to rim, for every bolt circle."""
    flange, unit = subject.flange, subject.unit
    bore, rim = (flange.bore or 0.0) / 2, flange.box().width / 2
    rows = tuple(
        (
            flange.group_letter(group) or "all",
            decimal_text(circle.diameter / 2 - bore, unit),
            decimal_text(rim - circle.diameter / 2, unit),
            "",
        )
        for group, circle in flange.shown_circles()
    )
    heads = ("CIRCLE", "TO BORE EDGE", "TO RIM", "MEASURED")
    return TextTable(f"FROM THE HOLE'S CENTER ({unit.value})", heads, rows)


def _map(flange: Flange, strips: Sequence[Sector]) -> Iterator[Item]:
    rim, bore = flange.box().width / 2, (flange.bore or 0.0) / 2
    for number, piece in enumerate(strips, 1):
        line = Line(polar(bore, piece.start_deg), polar(rim * _TICK, piece.start_deg))
        yield Item(Layer.TRIM, line, Furniture(f"strip {number}"))
        at = polar(bore, piece.start_deg + piece.half_deg)
        yield Item(Layer.TEXT, Label(at, str(number), 2.5, 0.0, Anchor.MIDDLE), Furniture(f"strip {number}"))
