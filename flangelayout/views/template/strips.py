"""Strips along the bolt circle for a ring whose bore is already cut: holes, rays to the rim, bore-edge distances."""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise, product

from msgspec import Struct

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Drawing, Item, Label, Sheet, SheetSet, TextTable, View
from flangelayout.drawing.references import Furniture, GroupRef, OpeningRef, OutlineRef
from flangelayout.drawing.settings import TemplateSettings
from flangelayout.drawing.textwidth import label_box, text_width
from flangelayout.errors import GeometryError
from flangelayout.flange import Flange, Hole
from flangelayout.flange.sector import Sector, ray_clearance, sector, start_ray, strip_problem
from flangelayout.geometry.shapes import ORIGIN, Arc, Box, Line, Point, polar
from flangelayout.problems.output import OutputProblem
from flangelayout.units import Unit, decimal_text
from flangelayout.views.page.flip import upside_down
from flangelayout.views.page.text import text_item
from flangelayout.views.template.cover import (
    MEASURE_STEP,
    PRINT_STEP,
    PUNCH_STEP,
    Cover,
    call_outs,
    cover_sheets,
    drill_step,
    plate_chords,
)
from flangelayout.views.template.edges.join_marks import HALF_MARK, join_mark
from flangelayout.views.template.furniture import Subject, note_lines, page_furniture, tile_line
from flangelayout.views.template.page_map import plate_items, plate_top
from flangelayout.views.template.paper import FLIP_NOTES, TemplatePage, both_ways
from flangelayout.views.template.sector import hole_items
from flangelayout.views.template.tiling import SEAM_CLEARANCE

_REACHES = (60.0, 30.0, 12.0)
"""How far in mm beyond the holes a strip goes toward the rim at most; the one with the fewest pages is taken."""
_INWARD = (math.inf, 30.0)
"""How far it goes toward the bore: right to its edge, or where no page is large enough for that, so far."""
_PAST_EDGE = 3.0
_MOST_STACKED = 6
_CAPTION = 5.0
_GAP = 4.0
_FIGURE_HEIGHT = 2.5
_ASIDE = 2.5
"""From a ray to the middle of a figure along it, in mm."""
_NAME_OUT, _NAME_ASIDE = 2.0, 1.2
"""How far in mm the name of a diamond stands beyond its corner, and from the seam's line."""
_RAY_PAST_HOLE = 5.0
_OFF_HOLE = 3.5
"""Least distance in mm of a seam from the edge of a hole, where the holes allow it: its diamonds stand clear, too."""
_TOP_MARK, _TOP_HEIGHT = 14.0, 3.5
_SAME = 1e-6
_FINEST = 0.05


class _Band(Struct, frozen=True):
    """What the strips show: between two radii, in mm."""

    inner: float
    outer: float

    def size(self, half_deg: float, overlap: float) -> tuple[float, float]:
        """Width and height of a strip that reaches so far to either side of straight up."""
        half = math.radians(half_deg)
        over = overlap / 2
        sides = over * math.sin(half)
        return 2 * (self.outer * math.sin(half) + over), self.outer - self.inner * math.cos(half) + sides


def strip_sheets(subject: Subject, layout: TemplateSettings) -> SheetSet:
    """A cover and pages of strips that together carry every hole once.

    Raises:
        GeometryError: If the plate has no bore, is not round, or a strip does not fit on a page.
    """
    flange = subject.flange
    problem = strip_problem(flange)
    if problem:
        raise GeometryError(problem)
    pages = both_ways(subject, layout, (_note(subject),))
    plans: list[_StripPlan] = []
    for inward, off_holes in product(_INWARD, (True, False)):
        bands = dict.fromkeys(_band(flange, inward, outward) for outward in _REACHES)
        ways = [(band, page, stack) for band in bands for page in pages for stack in range(1, _MOST_STACKED + 1)]
        seams = _clear_rays(flange, off_holes)
        plans = plans or [plan for way in ways if (plan := _planned(seams, *way, layout.overlap))]
    if not plans:
        raise GeometryError.of(OutputProblem.STRIP_OFF_THE_PAGE, paper=layout.paper)
    plan = min(plans, key=lambda plan: (plan.page_count, len(plan.rays)))
    strips = [sector(flange, low, span) for low, span in plan.rays]
    stacks = [strips[at : at + plan.stack] for at in range(0, len(strips), plan.stack)]
    covers = cover_sheets(subject, plan.page, layout.margin, _cover(subject, strips, plan.band))
    sheets = _pages(subject, layout, plan, stacks)
    return SheetSet((*covers, *sheets), subject.stamp, stretch=plan.page.stretch, one_sided=True)


class _StripPlan(Struct, frozen=True):
    """Strips ``stack`` to a page, each from a ray on through so many degrees."""

    band: _Band
    page: TemplatePage
    stack: int
    rays: tuple[tuple[float, float], ...]

    @property
    def page_count(self) -> int:
        return math.ceil(len(self.rays) / self.stack)


def _planned(
    seams: tuple[float, list[float]], band: _Band, page: TemplatePage, stack: int, overlap: float
) -> _StripPlan | None:
    """Strips ``stack`` to a page, or ``None`` where these seams do not allow that."""
    height = page.window.height / stack - _CAPTION - _GAP
    half = _widest(band, page.window.width, height, overlap)
    rays = _seam_rays(*seams, 2 * half)
    return _StripPlan(band, page, stack, tuple(rays)) if rays else None


def _widest(band: _Band, width: float, height: float, overlap: float) -> float:
    """The greatest half angle of a strip that fits, in degrees; found by halving."""
    low, high = 0.0, 90.0
    while high - low > _FINEST / 10:
        half = (low + high) / 2
        across, up = band.size(half, overlap)
        low, high = (half, high) if across <= width and up <= height else (low, half)
    return low


def _clear_rays(flange: Flange, off_holes: bool) -> tuple[float, list[float]]:
    """Where the first strip begins, in degrees, and where on from it others can: clear of holes or of centers."""
    start = start_ray(flange, 360.0)
    angles = sorted((hole.angle - start) % 360.0 for hole in flange.holes())
    between = [(low + high) / 2 for low, high in pairwise(angles)]
    return start, [ray for ray in between if _clear(flange, start + ray, off_holes)]


def _seam_rays(start: float, clear: Sequence[float], widest: float) -> list[tuple[float, float]]:
    """Where strips begin and how far each goes, in degrees; empty where no seam clears the holes."""
    if widest < _FINEST:
        return []
    for count in range(max(1, math.ceil(360.0 / widest - 1e-9)), len(clear) + 2):
        seams = _evenly(clear, count, widest)
        if seams:
            return [(start + low, high - low) for low, high in pairwise(seams)]
    return []


def _clear(flange: Flange, ray: float, off_holes: bool) -> bool:
    if off_holes:
        return ray_clearance(flange, ray) >= _OFF_HOLE
    nearest = min(hole.diameter for hole in flange.holes()) / 2
    return ray_clearance(flange, ray) + nearest >= SEAM_CLEARANCE


def _evenly(clear: Sequence[float], count: int, widest: float) -> list[float]:
    """So many stretches of a turn between clear rays, each near its even share; empty where one is too wide."""
    seams = [0.0]
    for rank in range(1, count):
        allowed = [ray for ray in clear if seams[-1] < ray <= seams[-1] + widest + 1e-9]
        if not allowed:
            return []
        seams.append(min(allowed, key=lambda ray: (abs(ray - 360.0 * rank / count), ray)))
    return [*seams, 360.0] if 360.0 - seams[-1] <= widest + 1e-9 else []


def _band(flange: Flange, inward: float, outward: float) -> _Band:
    radii = [(ORIGIN.distance_to(hole.center), hole.diameter / 2) for hole in flange.holes()]
    bore, rim = (flange.bore or 0.0) / 2, flange.box().width / 2
    inner = max(bore - _PAST_EDGE, min(at - radius for at, radius in radii) - inward)
    outer = min(rim + _PAST_EDGE, max(at + radius for at, radius in radii) + outward)
    return _Band(inner, outer)


def _pages(subject: Subject, layout: TemplateSettings, plan: _StripPlan, stacks: list[list[Sector]]) -> Iterator[Sheet]:
    page, band = plan.page, plan.band
    common = Drawing("template page", page_furniture(page.window, subject, page.lines, "RIM"))
    turned: dict[int, Drawing] = {}
    total, number = sum(len(stack) for stack in stacks), 0
    for rank, stack in enumerate(stacks, 1):
        views, furniture = [View(common, 1.0, ORIGIN)], [tile_line(f"PAGE {rank} of {len(stacks)}", page.window)]
        for slot, piece in enumerate(stack):
            number += 1
            room = _slot(page.window, slot, plan.stack)
            seams = number, number % total + 1
            drawing = Drawing(f"strip {number}", tuple(_items(piece, subject, band, layout.overlap, seams)))
            at = Point(room.center.x, room.top - _CAPTION - band.outer)
            views.append(View(drawing, 1.0, at, Box(room.left, room.bottom, room.right, room.top)))
            text = f"STRIP {number} of {total}: {_holes_text(piece)}"
            furniture.append(text_item(Point(room.left + 1.0, room.top - 3.2), text, 2.5))
        over = layout.flip_tiles and rank % 2 == 0
        if layout.flip_tiles:
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
    groups = dict.fromkeys(hole.group for hole in around)
    labels = ([hole.label for hole in around if hole.group == group] for group in groups)
    names = ", ".join(names[0] if len(names) == 1 else f"{names[0]}-{names[-1]}" for names in labels)
    return f"HOLE {names}" if len(around) == 1 else f"HOLES {names}, from right to left"


def _around(piece: Sector) -> list[Hole]:
    """The holes of a strip in order, from its right end."""
    first = 90.0 - piece.half_deg
    return sorted(piece.holes, key=lambda hole: (hole.angle - first) % 360.0)


def _items(piece: Sector, subject: Subject, band: _Band, overlap: float, seams: tuple[int, int]) -> Iterator[Item]:
    """A strip between two seams, which are numbered round the ring: its own is on the right."""
    flange = piece.flange
    rim, bore = flange.box().width / 2, (flange.bore or 0.0) / 2
    edges = ((rim, OutlineRef()), (bore, OpeningRef(0)))
    for radius, edge in edges:
        if band.inner <= radius <= band.outer:
            yield Item(Layer.TEMPLATE_EDGES, _arc(piece, radius, overlap), edge)
    for group, circle in flange.shown_circles():
        yield Item(Layer.TEMPLATE_RAYS, _arc(piece, circle.diameter / 2, overlap), GroupRef(group))
    holes = list(hole_items(piece, subject.unit))
    yield from holes
    taken = [label_box(item.what) for item in holes if isinstance(item.what, Label)]
    for hole in piece.holes:
        for item in _ray(hole, (bore, rim), band, piece.holes, subject.unit, taken):
            yield item
            taken += [label_box(item.what)] if isinstance(item.what, Label) else []
    for side, seam in zip((-1.0, 1.0), seams, strict=True):
        yield from _seam(flange, 90.0 + side * piece.half_deg, band, overlap)
        yield from _mark_names(flange, 90.0 + side * piece.half_deg, Point(side, 0.0), seam)
    yield from _top(piece, band)


def _arc(piece: Sector, radius: float, overlap: float) -> Arc:
    past = math.degrees(overlap / 2 / radius)
    return Arc(ORIGIN, radius, 90.0 - piece.half_deg - past, piece.span_deg + 2 * past)


def _ray(
    hole: Hole, edges: tuple[float, float], band: _Band, holes: Sequence[Hole], unit: Unit, taken: Sequence[Box]
) -> Iterator[Item]:
    """A hole's ray to the bore and to a rim that is shown, open at other holes, with its distance from each.

    Of two holes on one ray both figures have the numbers of their holes, or the nearer one alone has a figure.
    """
    at, turn = ORIGIN.distance_to(hole.center), hole.angle
    bore, rim = edges
    beside = [ORIGIN.distance_to(other.center) for other in holes if other is not hole and _on_one_ray(hole, other)]
    sides = [(max(bore, band.inner), at, at - bore, _ASIDE, min(beside, default=at) < at)]
    if band.outer >= rim:
        sides.append((at, rim, rim - at, -_ASIDE, max(beside, default=at) > at))
    for low, high, distance, aside, is_second in sides:
        pieces = [piece for piece in _open_pieces(low, high, turn, holes) if piece[1] - piece[0] >= 1.0]
        for start, end in pieces:
            yield Item(Layer.TEMPLATE_RAYS, Line(polar(start, turn), polar(end, turn)), Furniture("ray"))
        figure = decimal_text(distance, unit)
        said = [*([f"{hole.label}: {figure}"] if beside else []), *([] if is_second else [figure])]
        start, end = max(pieces, key=lambda piece: piece[1] - piece[0], default=(0.0, 0.0))
        if text := next((text for text in said if end - start > text_width(text, _FIGURE_HEIGHT) + 1.0), ""):
            yield Item(Layer.TEXT, _figure(text, (start, end), turn, aside, taken), Furniture("distance"))


def _figure(text: str, ray: tuple[float, float], turn: float, aside: float, taken: Sequence[Box]) -> Label:
    """A figure along a part of a ray, beside it where nothing else stands: rather on one side, in the middle."""
    (start, end), room = ray, text_width(text, _FIGURE_HEIGHT) + 1.0
    upward, spare = (turn + 45.0) % 180.0 - 45.0, (end - start - room) / 2
    ways = product((0.0, -1.0, 1.0), (aside, -aside))
    places = (polar(side, turn + 90.0, polar((start + end) / 2 + way * spare, turn)) for way, side in ways)
    labels = [Label(at, text, _FIGURE_HEIGHT, upward, Anchor.MIDDLE) for at in places]
    free = (label for label in labels if not any(map(label_box(label).overlaps, taken)))
    return next(free, labels[0])


def _on_one_ray(hole: Hole, other: Hole) -> bool:
    """Whether the figures on the rays of two holes would stand on each other."""
    apart = math.radians((hole.angle - other.angle + 180.0) % 360.0 - 180.0)
    return abs(apart) * ORIGIN.distance_to(hole.center) < 2 * _ASIDE


def _open_pieces(low: float, high: float, turn: float, holes: Sequence[Hole]) -> list[tuple[float, float]]:
    """The pieces of a ray between two radii that stay clear of every hole and its cross."""
    taken: list[tuple[float, float]] = []
    for hole in holes:
        radius = hole.diameter / 2
        clear = radius + min(_RAY_PAST_HOLE, radius + 1.0)
        off = math.radians(hole.angle - turn)
        along, beside = (ORIGIN.distance_to(hole.center) * share for share in (math.cos(off), abs(math.sin(off))))
        if beside < clear:
            half = math.sqrt(clear**2 - beside**2)
            taken.append((along - half, along + half))
    pieces, start = [], low
    for begin, end in sorted(taken):
        if begin > start:
            pieces.append((start, min(begin, high)))
        start = max(start, end)
    return [*pieces, (start, high)] if start < high else pieces


def _seam(flange: Flange, turn: float, band: _Band, overlap: float) -> Iterator[Item]:
    """Where a strip joins its neighbor: a trim line with a diamond on every bolt circle, which is no hole."""
    yield Item(Layer.TRIM, Line(polar(band.inner, turn), polar(band.outer, turn)), Furniture("trim line"))
    reach = min(overlap * 0.42, HALF_MARK)
    for radius in _diamond_radii(flange):
        yield join_mark(polar(radius, turn), reach, turn)


def _mark_names(flange: Flange, turn: float, outward: Point, seam: int) -> Iterator[Item]:
    """The names of the diamonds of a seam, farther out beside its line, on the strip."""
    circles = len(_diamond_radii(flange))
    for rank, radius in enumerate(_diamond_radii(flange), 1):
        name = f"J{(seam - 1) * circles + rank}"
        at = polar(radius + HALF_MARK + _NAME_OUT, turn) - outward.scaled(
            _NAME_ASIDE + text_width(name, _FIGURE_HEIGHT) / 2
        )
        yield Item(Layer.TEXT, Label(at, name, _FIGURE_HEIGHT, 0.0, Anchor.MIDDLE), Furniture("join mark"))


def _top(piece: Sector, band: _Band) -> Iterator[Item]:
    """A line where the top of the plate is, and TOP beside it on the strip, where the strip has more room."""
    off = _from_top(piece)
    if abs(off) > piece.half_deg + _SAME:
        return
    turn, rim, radii = 90.0 - off, min(band.outer, piece.flange.box().width / 2), _diamond_radii(piece.flange)
    out = rim - radii[-1] >= radii[0] - band.inner
    low, high = (rim - _TOP_MARK, rim) if out else (band.inner, band.inner + _TOP_MARK)
    yield Item(Layer.TEXT, Line(polar(low, turn), polar(high, turn)), Furniture("top"))
    at_seam = abs(off) > piece.half_deg - _SAME
    to_left = off > 0 if at_seam else out  # in a strip it stands on the side that has no figures
    aside = polar(text_width("TOP", _TOP_HEIGHT) / 2 + 1.5, turn + (90.0 if to_left else -90.0))
    label = Label(polar(low + 0.7 * (high - low), turn) + aside, "TOP", _TOP_HEIGHT, turn - 90.0, Anchor.MIDDLE)
    yield Item(Layer.TEXT, label, Furniture("top"))


def _from_top(piece: Sector) -> float:
    """How many degrees counter-clockwise of the top of the plate the middle of a strip is, from -180 on."""
    return (piece.start_deg + piece.half_deg - 90.0 + 180.0) % 360.0 - 180.0


def _diamond_radii(flange: Flange) -> list[float]:
    return sorted({circle.diameter / 2 for _, circle in flange.shown_circles()})


def _note(subject: Subject) -> str:
    unit = subject.unit.value
    return f"FIGURES ON THE RAYS ({unit}): from the hole's center to the bore edge and to a rim that is shown."


def _cover(subject: Subject, strips: Sequence[Sector], band: _Band) -> Cover:
    flange = subject.flange
    bore_shown, rim_shown = band.inner < (flange.bore or 0.0) / 2, band.outer >= flange.box().width / 2
    line = "its bore line all round on the bore's edge" if bore_shown else "every hole as far from the bore as written"
    read = (
        "the distances from the hole's center to the bore edge and to the rim are"
        if rim_shown
        else ("the rim is not on the strips; the distance from the hole's center to the bore edge is")
    )
    steps = (
        PRINT_STEP,
        MEASURE_STEP,
        "Cut the strips out and join them end to end in order, every diamond closed, J1 to J1, into a closed ring. "
        "Never punch a diamond.",
        f"Lay the ring on the plate, {line}, {_top_in_words(strips)} at the top of the centerline; tape it down.",
        f"Check every ray: {read} written on it.",
        PUNCH_STEP,
        drill_step(subject.flange),
    )
    return Cover(
        "STRIPS ALONG THE BOLT CIRCLE, FULL SCALE",
        call_outs(subject),
        steps,
        (plate_chords(flange, subject.unit), _distances(subject)),
        f"MAP: {len(strips)} strips, number in a box = strip, counter-clockwise",
        (*plate_items(flange), *_map(flange, strips)),
        flange.box().grown(flange.box().width * 0.06),
        plate_top(subject),
    )


def _top_in_words(strips: Sequence[Sector]) -> str:
    """Where the ring has its mark for the top of the plate."""
    numbers = [n for n, piece in enumerate(strips, 1) if abs(_from_top(piece)) <= piece.half_deg + _SAME]
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
        line = Line(polar(bore, piece.start_deg), polar(rim * 1.04, piece.start_deg))
        yield Item(Layer.TRIM, line, Furniture(f"strip {number}"))
        at = polar(bore, piece.start_deg + piece.half_deg)
        yield Item(Layer.TEXT, Label(at, str(number), 2.5, 0.0, Anchor.MIDDLE), Furniture(f"strip {number}"))
