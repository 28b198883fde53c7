"""Where dimensions find their place: rows outside the plate, arrows at arcs, leaders; nothing crosses a text."""

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from itertools import chain, product, tee

from flangelayout.drawing.explode import explode, items_box
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import (
    AngularDimension,
    Content,
    DiameterDimension,
    Item,
    Label,
    Leader,
    LinearDimension,
    RadiusDimension,
)
from flangelayout.drawing.references import OpeningRef, Ref
from flangelayout.drawing.textwidth import label_corners
from flangelayout.geometry.measure import Edge, is_inside, pieces, spine_distance
from flangelayout.geometry.pieces import meet
from flangelayout.geometry.shapes import ORIGIN, Arc, Box, Line, Point, extent, polar
from flangelayout.value import replace
from flangelayout.views.page.text_clearance import Ink
from flangelayout.views.sheet.look import Look, Option, placed, placed_apart
from flangelayout.views.sheet.sizes.wishes import (
    AcrossSize,
    AngleSize,
    RimSize,
    SaidSize,
    SideSize,
    SlantSize,
    Wish,
    WishSide,
)

_FIRST, _ROW, _STEP, _TRIES = 10.0, 7.0, 1.5, 60
"""Printed mm: from the view to the first row, from row to row, from try to try."""
_PAST_PLANE = 14.0
"""Printed mm to the first row below where the section's plane ends there."""
_PAST_RADIUS = 24.0
"""Printed mm from the rim of a hollow to an angle in it, so that the radius of that rim stands between."""
_TAILS = (7.0, 11.0, 16.0, 22.0, 29.0, 37.0, 46.0, 56.0)
_LAST_TAILS = (68.0, 82.0, 98.0)
_MORE_TAILS = (9.0, 13.5, 19.0, 25.5, 33.0, 41.5, 51.0)
"""Printed mm of leaders, and those between them where words have little room beside the plate."""
_SHARES, _END_SHARES = (0.5, 0.3, 0.7, 0.15, 0.85), (0.02, 0.98)
"""Where on an arc an arrow may come to it; at its ends where it lies along the section's plane."""
_MOST_TURNED = 4
"""Rows of a side, from the plate, whose texts are tried at either end."""
_LEANS = (0.0, 20.0, -20.0, 40.0, -40.0)
_LAST_LEANS = (60.0, -60.0, 80.0, -80.0, 110.0, -110.0, 140.0, -140.0, 180.0)
_OFF_HOLES = 0.6
"""Printed mm, and what words keep from lines: from a leader to a hole, if that can be."""
_OFF_EDGE, _STUB = 1.0, 6.0
"""Printed mm beside a hole's edge at which a line reads as a tangent, where an extension line is broken; what is left
of it at its end."""
_STRAIGHT = (SideSize, AcrossSize)
_PAST = 1.8
_SAME = 1e-6
_UPRIGHT = 0.1
"""Cosine of a direction below which an arrow would run along the section's plane."""
_BESIDE, _LITTLE, _LEFT = 12.0, 4.0, 45.0
"""Printed mm that words at a leader reach beyond the plate to the right and, so as to move no section, less, and to the
left if they can."""


def place_sizes(
    look: Look, ink: Ink, wishes: Iterable[Wish], between: Callable[[], Iterable[Item]]
) -> tuple[list[Item], bool]:
    """Every size where it crosses no text, those in rows from the smallest outward; whether all find a place.

    Args:
        look: What is drawn.
        ink: What stands there already; what is placed is added to it.
        wishes: The sizes.
        between: Places in the ink what is to stand after sizes in rows and before those at arrows; it comes with them.
    """
    every = list(wishes)
    angles = [placed(ink, _angles(look, wish)) for wish in every if isinstance(wish, AngleSize)]
    straight = _straight(look, ink, every)
    slants = [placed(ink, _slanted(look, wish)) for wish in every if isinstance(wish, SlantSize)]
    found = [*_items_of(angles), *straight, *_items_of(slants), *between()]
    at_arrows, are_led = place_at_arrows(look, ink, every, found)
    are_all = are_led and None not in (*angles, *slants)
    return [*found, *at_arrows], are_all and len(straight) == sum(isinstance(each, _STRAIGHT) for each in every)


def place_at_arrows(look: Look, ink: Ink, every: Sequence[Wish], beside: Iterable[Item]) -> tuple[list[Item], bool]:
    """The sizes at arrows alone, beside others that stand already; whether all find a place."""
    lines = Ink(look.scale)
    lines.add(beside)
    for hole in look.flange.holes() if any(isinstance(wish, SaidSize) for wish in every) else ():
        lines.add_disc(hole.center, hole.reach + look.real(_OFF_HOLES))
    rims = [
        placed_apart(ink, _led_best_first(look, wish), lines, look.box.right + look.real(_LITTLE))
        for wish in every
        if isinstance(wish, RimSize | SaidSize)
    ]
    return [*_items_of(rims)], None not in rims


def _items_of(options: Iterable[Option | None]) -> Iterator[Item]:
    return chain.from_iterable(filter(None, options))


def _straight(look: Look, ink: Ink, wishes: Sequence[Wish]) -> list[Item]:
    """Widths on their own part, then rows beside the plate; the rows first where one finds no place past a width."""
    rows = [wish for wish in wishes if isinstance(wish, SideSize)]
    widths = [wish for wish in wishes if isinstance(wish, AcrossSize)]
    best: list[Item] = []
    for rows_first in (False, True):
        tried = ink.copy()
        found = _on_every_side(look, tried, rows) if rows_first else []
        left = [] if rows_first else [*rows]
        for wish in widths:
            option = placed(tried, _across(look, wish))
            found += option or ()
            left += () if option else _beside(wish)
        found += _on_every_side(look, tried, left)
        best = max(best, found, key=len)
        if len(best) == len(rows) + len(widths):
            break
    ink.add(best)
    return best


def _on_every_side(look: Look, ink: Ink, rows: Sequence[SideSize]) -> list[Item]:
    """The rows that find a place, each side from the smallest outward."""
    found: list[Item] = []
    for side in WishSide if rows else ():
        row = [wish for wish in rows if wish.side is side]
        items = _rows(look, ink, sorted(row, key=lambda wish: wish.length))
        ink.add(items)
        found += items
    return found


def _beside(wish: AcrossSize) -> Iterator[SideSize]:
    """A width that finds no place on its own part, as a row beside the plate."""
    start, end = wish.places[0]
    width, height = abs(start.x - end.x), abs(start.y - end.y)
    if min(width, height) < _SAME:
        yield SideSize(WishSide.BELOW if width > height else WishSide.LEFT, start, end, wish.said, wish.source)


def _rows(look: Look, ink: Ink, wishes: list[SideSize]) -> list[Item]:
    """Rows from the plate outward; where one finds no place past a text, with that text at the other end."""
    best: list[Option] = []
    for turned in product((False, True), repeat=min(len(wishes), _MOST_TURNED)):
        ways = (*turned, *(False for _ in wishes[len(turned) :]))
        placed_rows = _rows_as(look, ink.copy(), wishes, ways)
        best = max(best, placed_rows, key=len)
        if len(best) == len(wishes):
            break
    return [item for option in best for item in option]


def _rows_as(look: Look, ink: Ink, wishes: Sequence[SideSize], turned: Sequence[bool]) -> list[Option]:
    """The rows that find a place, each measured from its end where it is turned."""
    cut = look.flange.thickness is not None
    out = _PAST_PLANE if cut and any(wish.side is WishSide.BELOW for wish in wishes) else _FIRST
    found: list[Option] = []
    for wish, is_turned in zip(wishes, turned, strict=True):
        shown = replace(wish, start=wish.end, end=wish.start) if is_turned else wish
        for step in range(_TRIES):
            option = _row(look, shown, out + _STEP * step)
            if ink.takes(option):
                out += _STEP * step + _ROW
                found.append(option)
                break
    return found


def _row(look: Look, wish: SideSize, out: float) -> Option:
    box = look.box
    below = wish.side is WishSide.BELOW
    at = Point(0.0, box.bottom - look.real(out)) if below else Point(box.left - look.real(out), 0.0)
    edges = {end: Point(end.x, box.bottom) if below else Point(box.left, end.y) for end in (wish.start, wish.end)}
    broken = {end: edge for end, edge in edges.items() if end != edge and _grazes_hole(look, (end, edge))}
    stubs = (Line(end, polar(look.real(_STUB), end.direction_to(edge), end)) for end, edge in broken.items())
    start, end = (broken.get(each, each) for each in (wish.start, wish.end))
    size = LinearDimension(start, end, at, 0.0 if below else 90.0, wish.said, look.style)
    return _items(wish.source, *stubs, size)


def _items(source: Ref, *contents: Content) -> Option:
    return tuple(Item(Layer.DIMENSION, what, source) for what in contents)


def _led_to(look: Look, wish: RimSize | SaidSize) -> Iterator[Option]:
    if isinstance(wish, RimSize):
        return _at_rims(look, wish)
    return (_items(wish.source, leader) for leader in leaders_to(look, wish))


def _led_best_first(look: Look, wish: RimSize | SaidSize) -> Iterator[Option]:
    """The ways to lead to a size, near ones first; of openings those first that cannot be taken for another's."""
    options = _led_to(look, wish)
    if not isinstance(wish.source, OpeningRef):
        return _near_first(look, options)
    others = [opening.shape for opening in look.flange.cutouts() if opening.number != wish.source.number]
    tried, rest = tee(options)
    own = filter(partial(_is_told_apart, look.scale, [(extent(shape), shape) for shape in others]), tried)
    return chain(_near_first(look, own), _near_first(look, rest))


def _is_told_apart(scale: float, others: Sequence[tuple[Box, Edge]], option: Option) -> bool:
    """Whether the words of an opening stand in no other one, and its leader crosses none and lies on no centerline."""
    leader = option[-1].what
    assert isinstance(leader, Leader)
    line = Line(leader.tip, leader.elbow)
    if abs(line.start.x) + abs(line.end.x) < _SAME or abs(line.start.y) + abs(line.end.y) < _SAME:
        return False
    room = items_box(option, scale)
    near = [shape for box, shape in others if box.overlaps(room)]
    if any(meet(line, piece) for shape in near for piece in pieces(shape)):
        return False
    labels = (part for part in explode(leader, scale) if near and isinstance(part, Label))
    return not any(is_inside(shape, at) for label in labels for at in label_corners(label, scale) for shape in near)


def _slanted(look: Look, wish: SlantSize) -> Iterator[Option]:
    angle = wish.start.direction_to(wish.end)
    for step in range(_TRIES):
        at = polar(wish.aside + look.real(_FIRST + _STEP * step), angle + 90.0, wish.start)
        yield _items(wish.source, LinearDimension(wish.start, wish.end, at, angle, wish.said, look.style))


def _across(look: Look, wish: AcrossSize) -> Iterator[Option]:
    for start, end in sorted(wish.places, key=partial(_is_by_hole, look)):
        for first, last in ((start, end), (end, start)):
            angle = first.direction_to(last)
            size = LinearDimension(first, last, first, angle, wish.said, look.style, outside=True)
            yield _items(wish.source, size)


def _grazes_hole(look: Look, place: tuple[Point, Point]) -> bool:
    """Whether a line runs just beside a hole, so that it reads as a tangent."""
    return any(abs(gap) < look.real(_OFF_EDGE) for gap in _gaps(look, place))


def _is_by_hole(look: Look, place: tuple[Point, Point]) -> bool:
    """Whether a line runs just beside a hole or through one."""
    return any(gap < look.real(_OFF_EDGE) for gap in _gaps(look, place))


def _gaps(look: Look, place: tuple[Point, Point]) -> Iterator[float]:
    """From a line to the edge of each hole in mm, less than nothing where it runs through."""
    return (spine_distance(hole.spine, Line(*place)) - hole.diameter / 2 for hole in look.flange.holes())


def _near_first(look: Look, options: Iterator[Option]) -> Iterator[Option]:
    """Those whose words stay beside the plate, as what stands right of the view is moved out by them; then the rest."""
    far: list[Option] = []
    left = look.real(max(look.box.left * look.scale - _LEFT, look.left))
    for option in options:
        box = items_box(option, look.scale)
        if box.right <= look.box.right + look.real(_BESIDE) and box.left >= left:
            yield option
        else:
            far.append(option)
    yield from far


def _at_rims(look: Look, wish: RimSize) -> Iterator[Option]:
    """Arrows from outside to a rim, from its own middle's side where the metal lies beyond it; short ones first."""
    places = [(arc, arc.start_deg + arc.sweep_deg * share) for arc, share in product(wish.arcs, _SHARES)]
    leaning = [place for place in places if abs(math.cos(math.radians(place[1]))) >= _UPRIGHT]
    ends = [(arc, arc.start_deg + arc.sweep_deg * share) for arc, share in product(wish.arcs, _END_SHARES)]
    ends.sort(key=lambda place: -math.cos(math.radians(place[1])))
    for tail, (arc, angle) in product(_TAILS, leaning or ends):
        if wish.is_diameter:
            size: Content = DiameterDimension(arc.center, arc.radius, angle, wish.said, look.style, tail)
        else:
            size = RadiusDimension(arc.center, arc.radius, angle, wish.said, arc.sweep_deg < 0, tail, look.style)
        yield _items(wish.source, size)


def _angles(look: Look, wish: AngleSize) -> Iterator[Option]:
    """An arc in the hollow or outside the rim, between two rays that begin at the metal."""
    first, last = wish.start_deg, wish.start_deg + wish.sweep_deg
    for rim, sign, off in ((wish.hollow, -1.0, _PAST_RADIUS), (wish.hollow, -1.0, _FIRST), (wish.rim, 1.0, _FIRST)):
        for step in range(_TRIES):
            radius = rim + sign * look.real(off + _STEP * step)
            if radius < look.real(_FIRST):
                break
            start, end = rim + sign * look.real(1.0), radius + sign * look.real(_PAST)
            rays = (Line(polar(start, turn), polar(end, turn)) for turn in (first, last))
            angle = AngularDimension(ORIGIN, radius, first, wish.sweep_deg, wish.said, look.style)
            option = _items(wish.source, *rays, angle)
            own = Ink(look.scale)
            own.add(option[:-1])
            if own.takes(option[-1:]):
                yield option


def leaders_to(look: Look, wish: SaidSize) -> Iterator[Leader]:
    """Leaders that come from the direction their tip asks for, or lean a little; short ones first."""
    tails = sorted((*_TAILS, *_MORE_TAILS)) if math.isfinite(look.left) else _TAILS
    reaches = ((tails, _LEANS), (tails, _LAST_LEANS), (_LAST_TAILS, (*_LEANS, *_LAST_LEANS)))
    ways = chain.from_iterable(
        product(far, tips, leans) for tips, (far, leans) in product((wish.tips, wish.last), reaches)
    )
    for tail, (tip, aim), lean in ways:
        elbow = polar(look.real(tail), aim + lean, tip)
        aside = elbow.x - tip.x
        for to_right in (True, False) if abs(aside) < _SAME else (aside > 0,):
            yield Leader(tip, elbow, wish.lines, to_right, look.style)


def convex_first(arcs: Iterable[Arc]) -> tuple[Arc, ...]:
    """Arcs in the order in which a size is best read at them: lower right, upper right, then to the left."""
    return tuple(sorted(arcs, key=lambda arc: (_middle(arc).x < -1e-6, _middle(arc).y > 1e-6)))


def _middle(arc: Arc) -> Point:
    return polar(arc.radius, arc.start_deg + arc.sweep_deg / 2, arc.center)
