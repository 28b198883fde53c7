"""A large ring as one sector that is stepped round the plate by its own index marks."""

import math
from collections.abc import Iterator

from msgspec import Struct

from flangelayout.drawing.explode import items_box
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, CenterMark, Drawing, Item, Label, SheetSet, TextTable
from flangelayout.drawing.references import Furniture, GroupRef, OpeningRef, OutlineRef
from flangelayout.drawing.settings import TemplateSettings
from flangelayout.errors import GeometryError
from flangelayout.flange import Flange
from flangelayout.flange.hole import punch_points
from flangelayout.flange.sector import Sector, repeats, sector, sector_problem, start_ray
from flangelayout.geometry.shapes import ORIGIN, Arc, Contour, Line, Point, box_about, box_around, polar
from flangelayout.units import Unit, angle_text, decimal_text
from flangelayout.value import replace
from flangelayout.views.template.content_map import InkMap, ink_map
from flangelayout.views.template.cover import (
    JOIN_STEPS,
    MEASURE_STEP,
    PRINT_STEP,
    Cover,
    accepted_chord,
    call_outs,
    cover_sheets,
    drill_step,
    mark_to_mark,
    slot_steps,
)
from flangelayout.views.template.drawing import hole_lines
from flangelayout.views.template.furniture import Subject
from flangelayout.views.template.hole_labels import PUNCH_GAP, WHOLE, LabelRoom, piece_words
from flangelayout.views.template.page_map import plate_items, tile_items
from flangelayout.views.template.paper import TemplatePage, both_ways
from flangelayout.views.template.tiles import label_room, tile_sheets
from flangelayout.views.template.tiling import Tiling, tile_ink
from flangelayout.views.words.call_outs import with_unit

_PAST = 6.0
_INSET = 8.0
_INDEX_SIZE, _INDEX_REACH = 2.6, 6.0
_LABEL_OFF = 9.5
_BLIND_REACH = 40.0
_RAY_PAST_HOLE = 5.0
_PEN_ROOM = 0.5


class _Step(Struct, frozen=True):
    """A sector that is stepped round.

    Attributes:
        piece: The sector.
        count: Sectors in the full round.
        inner: Where its metal begins, from the middle of the plate in mm.
        outer: Where it ends.
    """

    piece: Sector
    count: int
    inner: float
    outer: float

    @property
    def index_radii(self) -> tuple[float, float]:
        """Distances of the outer and the inner index mark from the middle of the plate."""
        inset = min(_INSET, (self.outer - self.inner) / 6)
        return self.outer - inset, self.inner + inset

    def index_marks(self) -> tuple[tuple[str, Point], ...]:
        """R1, R2 on the ray the sector begins with, on its right, L1, L2 on its left; 1 is the outer one."""
        rays = (("R", 90.0 - self.piece.half_deg), ("L", 90.0 + self.piece.half_deg))
        radii = enumerate(self.index_radii, 1)
        return tuple((f"{ray}{rank}", polar(radius, turn)) for rank, radius in radii for ray, turn in rays)

    def chord(self, radius: float, steps: int = 1) -> float:
        """Straight distance of two places of that radius so many steps apart."""
        return 2 * radius * math.sin(math.radians(self.piece.half_deg * steps))


def sector_sheets(subject: Subject, layout: TemplateSettings) -> SheetSet:
    """A cover and the pages of one sector: the smallest that repeats, or several if they take no page more.

    Raises:
        GeometryError: If the plate has no sector that repeats.
    """
    problem = sector_problem(subject.flange)
    if problem:
        raise GeometryError(problem)
    flange = subject.flange
    order = repeats(flange)
    chosen: tuple[_Step, Drawing, Tiling, TemplatePage] | None = None
    for pieces in (number for number in range(1, order // 2 + 1) if order % number == 0):
        step = _step(flange, order, pieces)
        drawing = _drawing(step, flange, subject.unit)
        pages = {page.size: page for page in both_ways(subject, layout, _notes(step, subject))}
        tiling = _tiled(step, drawing, list(pages), layout.overlap)
        if chosen and len(tiling.tiles) > len(chosen[2].tiles):
            break
        chosen = step, drawing, tiling, pages[tiling.size]
    assert chosen is not None
    step, drawing, tiling, page = chosen
    if len(tiling.tiles) > 1:
        drawing = _drawing(step, flange, subject.unit, label_room(tiling, is_back=False))
        tiling = replace(tiling, ink=_ink(drawing))
    covers = cover_sheets(subject, page, layout.margin, _cover(step, subject, tiling))
    tiles = tile_sheets(subject, drawing, tiling, page, layout.flip_tiles, "RIM")
    return SheetSet((*covers, *tiles), subject.stamp, stretch=page.stretch, one_sided=True)


def _step(flange: Flange, order: int, pieces: int) -> _Step:
    start = start_ray(flange, 360.0 / order)
    inner = min(ORIGIN.distance_to(hole.center) - hole.diameter / 2 for hole in flange.holes()) - _BLIND_REACH
    outer = flange.box().width / 2
    inner = flange.bore / 2 if flange.bore is not None else max(inner, outer / 20)
    return _Step(sector(flange, start, 360.0 / order * pieces), order // pieces, inner, outer)


def _tiled(step: _Step, drawing: Drawing, sizes: list[tuple[float, float]], overlap: float) -> Tiling:
    centers = [point for hole in step.piece.holes for point in punch_points(hole)]
    centers += [at for _, at in step.index_marks()]
    reach = max(hole.reach for hole in step.piece.holes)
    return tile_ink(_ink(drawing), centers, sizes, overlap, reach)


def _ink(drawing: Drawing) -> InkMap:
    return ink_map((item.what for item in drawing.items), items_box(drawing.items).grown(_PEN_ROOM))


def _drawing(step: _Step, flange: Flange, unit: Unit, room: LabelRoom = WHOLE) -> Drawing:
    """A sector with its words, which keep off the seams of pages where they can."""
    return Drawing("sector", tuple(_items(step, flange, unit, room)))


def _items(step: _Step, flange: Flange, unit: Unit, room: LabelRoom) -> Iterator[Item]:
    past = math.degrees(_PAST / step.outer)
    first, sweep = 90.0 - step.piece.half_deg - past, step.piece.span_deg + 2 * past
    yield Item(Layer.TEMPLATE_EDGES, Arc(ORIGIN, step.outer, first, sweep), OutlineRef())
    if flange.bore is not None:
        yield Item(Layer.TEMPLATE_EDGES, Arc(ORIGIN, flange.bore / 2, first, sweep), OpeningRef(0))
    for group, circle in flange.shown_circles():
        yield Item(Layer.TEMPLATE_RAYS, Arc(ORIGIN, circle.diameter / 2, first, sweep), GroupRef(group))
    yield from _hole_items(step, unit, room)
    for hole in step.piece.holes:
        reach = ORIGIN.distance_to(hole.center) + hole.diameter / 2 + _RAY_PAST_HOLE
        if reach < step.outer:
            yield Item(
                Layer.TEMPLATE_RAYS, Line(polar(reach, hole.angle), polar(step.outer, hole.angle)), Furniture("ray")
            )
    yield from _rays(step)
    for name, at in step.index_marks():
        yield from _index(name, at)


def _hole_items(step: _Step, unit: Unit, pages: LabelRoom) -> Iterator[Item]:
    """The holes of the sector, with labels beside their rays, off its ends and their index marks."""
    piece, flange = step.piece, step.piece.flange
    yield from hole_lines(flange, piece.holes)
    marks = [items_box([item]) for name, at in step.index_marks() for item in _index(name, at)]
    rays, band = tuple(hole.angle for hole in piece.holes), (step.inner, step.outer)
    own = LabelRoom(seams=tuple(marks), rays=tuple((ray, math.inf) for ray in rays), half_deg=piece.half_deg, band=band)
    whole = piece_words(flange, piece.holes, unit, own)
    parted = piece_words(flange, piece.holes, unit, replace(own, pages=pages.pages, seams=own.seams + pages.seams))
    moved = {words.hole: words for words in parted}
    for words in whole:
        yield from moved.get(words.hole, words).items()


def _rays(step: _Step) -> Iterator[Item]:
    """The two rays, open where an index mark stands."""
    outer, inner = step.index_radii
    room = _INDEX_REACH + 1.0
    pieces = ((step.inner - _PAST, inner - room), (inner + room, outer - room), (outer + room, step.outer + _PAST))
    for turn in (90.0 - step.piece.half_deg, 90.0 + step.piece.half_deg):
        for low, high in pieces:
            if high > low:
                yield Item(Layer.TEMPLATE_RAYS, Line(polar(low, turn), polar(high, turn)), Furniture("ray"))


def _index(name: str, at: Point) -> Iterator[Item]:
    """An open cross in a square, no diamond, its name on the side of the sector: it takes no width of the page."""
    corners = box_about(at, _INDEX_SIZE).corners
    sides = tuple(Line(corners[index], corners[(index + 1) % 4]) for index in range(4))
    yield Item(Layer.TEMPLATE_MARKS, Contour(sides, closed=True), Furniture(f"index {name}"))
    yield Item(Layer.TEMPLATE_MARKS, CenterMark(at, _INDEX_REACH, PUNCH_GAP), Furniture(f"index {name}"))
    within = _LABEL_OFF if name.startswith("L") else -_LABEL_OFF
    beside = polar(within, ORIGIN.direction_to(at) - 90.0, at)
    yield Item(Layer.TEXT, Label(beside, name, 2.5, 0.0, Anchor.MIDDLE), Furniture(f"index {name}"))


def _notes(step: _Step, subject: Subject) -> tuple[str, str]:
    unit, flange = subject.unit, subject.flange
    outer, inner = (decimal_text(step.chord(radius), unit) for radius in step.index_radii)
    more = ", ".join(
        f"{flange.group_letter(group)}+{circle.hole_count // step.count}" for group, circle in flange.shown_circles()
    )
    return (
        f"SECTOR 1 of {step.count}: step it {step.count - 1} times COUNTER-CLOCKWISE, R1 and R2 on the last L1 and L2.",
        f"CHORD R1-L1 {outer}, R2-L2 {inner} {unit.value}. HOLE NUMBERS OF THE NEXT SECTOR: {more}.",
    )


def _cover(step: _Step, subject: Subject, tiling: Tiling) -> Cover:
    edges = ("rim and bore lines on the plate's edges", "rim and bore on the edges")
    if subject.flange.bore is None:
        edges = ("the rim line on the plate's edge", "the rim on the edge")
    steps = (
        PRINT_STEP,
        MEASURE_STEP,
        *(JOIN_STEPS if len(tiling.tiles) > 1 else ()),
        f"Lay it on the plate: {edges[0]}, {_start_text(step, subject.unit)}.",
        "Punch the hole centers and, lightly, in their squares L1 and L2; the first time R1 and R2, too. "
        "Number the holes as you go.",
        f"Turn it counter-clockwise until R1 and R2 seat on the last L1 and L2, {edges[1]}; repeat.",
        *slot_steps(subject.flange),
        "Measure the chords below as you pass them. Spread what is wrong over the steps before you go on.",
        f"The last L1 and L2 must fall on the first R1 and R2. Then measure the chords {mark_to_mark(subject.flange)}.",
        drill_step(subject.flange),
    )
    flange = step.piece.flange
    shown = [flange.box(), *(tile.cell for tile in tiling.tiles)]
    return Cover(
        f"SECTOR TEMPLATE, FULL SCALE: 1/{step.count} OF THE ROUND",
        call_outs(subject),
        steps,
        (_chords(step, subject),),
        f"PAGE MAP: {len(tiling.tiles)} {'tile' if len(tiling.tiles) == 1 else 'tiles'}, the sector turned rim up",
        (*tile_items(tiling.tiles), *plate_items(flange)),
        box_around([corner for box in shown for corner in (Point(box.left, box.bottom), Point(box.right, box.top))]),
    )


def _start_text(step: _Step, unit: Unit) -> str:
    off = (step.piece.start_deg - 90.0 + 180.0) % 360.0 - 180.0
    if abs(off) < 1e-9:
        return "ray R on the top end of the vertical centerline"
    chord = 2 * step.outer * math.sin(math.radians(abs(off) / 2))
    side = "counter-clockwise" if off > 0 else "clockwise"
    return (
        f"ray R {angle_text(abs(off))} {side} of the top end of the vertical centerline, "
        f"{with_unit(decimal_text(chord, unit), unit)} from it on the rim"
    )


def _chords(step: _Step, subject: Subject) -> TextTable:
    """Index chords, those after about a quarter and half of the round, and from the last hole to the next sector."""
    unit, (outer, inner) = subject.unit, step.index_radii
    rows = [("R1-L1", step.chord(outer), ""), ("R2-L2", step.chord(inner), "")]
    for share, name in ((4, ", a quarter round"), (2, ", half round")):
        if (steps := step.count // share) > 1:
            told = name if step.count % share == 0 else ""
            rows.append((f"R1-L1 over {steps} steps{told}", step.chord(outer, steps), ""))
    for group, circle in subject.flange.shown_circles():
        name = f"holes {subject.flange.group_letter(group)}".strip()
        limits = accepted_chord(subject.flange, group, circle.chord, True, unit)
        rows.append((f"{name}: next, also into the next sector", circle.chord, limits))
    held = any(limits for *_, limits in rows)
    written = tuple((name, decimal_text(chord, unit), *((limits,) if held else ()), "") for name, chord, limits in rows)
    heads = ("FROM-TO", "CHORD", *(("ACCEPT",) if held else ()), "MEASURED")
    return TextTable(f"CHORDS TO STEP BY ({unit.value})", heads, written)
