"""What is said round the face view: first-hole angles, cutting plane, TOP, sizes, the ring of a detail."""

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import chain, islice, product, starmap

from flangelayout.drawing.explode import ARROW_LENGTH, arrow_head
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import (
    Anchor,
    AngularDimension,
    Content,
    DiameterDimension,
    Item,
    Label,
    Leader,
    LinearDimension,
    MeasuredText,
)
from flangelayout.drawing.references import Feature, FeatureRef, Furniture
from flangelayout.drawing.textwidth import text_width
from flangelayout.flange import BoltCircle, Centerline, Flange, Hole
from flangelayout.geometry.pieces import nearest_on
from flangelayout.geometry.shapes import ORIGIN, Circle, Line, Point, polar
from flangelayout.units import DEGREES
from flangelayout.value import replace
from flangelayout.views.page.text_clearance import Ink, corners_of
from flangelayout.views.sheet.face import CENTERLINE_PAST
from flangelayout.views.sheet.hole_numbers import opened
from flangelayout.views.sheet.look import DETAIL_LETTER, Look, Option, placed
from flangelayout.views.sheet.sizes.bores import center_diameters

_ANGLE_FIRST, _STEP = 5.0, 1.5
_TRIES = 60
_LEAST_PIECE, _LEAST_INSIDE = 1.5, 3.0
"""Printed mm that a piece of a broken ray is long at the least, and that such a ray begins within the rim."""
_OVERALL = 9.0
_PAST_NUMBER = 7.0
"""Printed mm from the rim to where no hole number stands any more."""
_BORE_ANGLES = (35.0, -35.0, 145.0, -145.0, 20.0, -20.0, 50.0, -50.0, 65.0, 115.0, -65.0)
_TAIL, _END = 8.0, 5.0
"""Printed mm of the arrow of the section's plane behind it, and of the plane's wide end."""
_NEAR, _ALONE, _OFF_SIZES = 16, 2.5, 1.2
"""Printed mm that an end of the section's plane is moved out to find a place where its letter is so far from other
words, and its arrow from sizes."""
_OFF_TAIL, _HALF_WORD = 5.0, 1.2
"""Printed mm from the tail of the arrow of the section's plane to words before it, and from its level to others."""
_TOP_ASIDE = (0.0, 9.0, -9.0, 15.0, -15.0)
"""Printed mm that TOP stands right of the vertical centerline."""
_MOST_RAISED, _BESIDE_TOP = 6, 4.0
"""Printed mm that TOP is raised, and that other words of its line stand away from it, if that can be."""
_OVER_WORDS = 1.5
"""Printed mm that other words stand below or above TOP, if that can be."""


def angle_items(look: Look, ink: Ink, numbers: Sequence[Item]) -> list[Item]:
    """From a centerline to hole 1 of each circle, outside the plate, the larger outside the smaller.

    The ray begins at the hole, broken for numbers, or at the rim or beyond it where the hole's own number stands there.
    """
    found: list[Item] = []
    start = 0
    for axis, offset, letters, diameter in _first_hole_offsets(look.flange):
        said = MeasuredText(DEGREES, "(", ")" + (f" {letters}" if letters else ""))
        base = _angle_base(look.flange)
        at_hole, at_rim = diameter / 2, [base + look.real(out) for out in (1.0, _PAST_NUMBER)]
        rays: Iterable[tuple[float, Sequence[Item]]] = (
            (at_hole, ()),
            (at_hole, numbers),
            *((ray, ()) for ray in at_rim),
        )
        for step, (ray, opening) in product(range(start, start + _TRIES), rays):
            if ray >= base + look.real(_ANGLE_FIRST + _STEP * step):
                continue
            *lines, angle = _angle(look, axis, offset, ray, said, _ANGLE_FIRST + _STEP * step)
            lines = _opened_ray(look, lines, opening)
            own = Ink(look.scale)
            own.add(lines)
            items = placed(ink, [(*lines, angle)]) if lines and own.takes([angle]) else None
            if items:
                found += items
                start = step + 4
                break
    return found


def _opened_ray(look: Look, lines: list[Item], numbers: Sequence[Item]) -> list[Item]:
    """The lines of an angle, the first broken for numbers; none where it then begins at the rim or beyond it."""
    if not numbers:
        return lines
    ray, *others = lines
    parts = [part for part in opened((ray,), numbers, look.scale) if _length(part) > look.real(_LEAST_PIECE)]
    starts = (part.what.start for part in parts[:1] if isinstance(part.what, Line))
    inside = _angle_base(look.flange) - look.real(_LEAST_INSIDE)
    return [*parts, *others] if any(ORIGIN.distance_to(start) < inside for start in starts) else []


def _length(item: Item) -> float:
    return item.what.start.distance_to(item.what.end) if isinstance(item.what, Line) else 0.0


def _angle(look: Look, axis: float, offset: float, ray: float, said: MeasuredText, out: float) -> Option:
    """An angle from a centerline, ``out`` printed mm outside of what it may not cross; its ray begins at a radius."""
    first, base = axis + offset, _angle_base(look.flange)
    radius, past = base + look.real(out), look.real(1.8)
    edge = (look.box.top if axis else look.box.right) + look.real(CENTERLINE_PAST + 0.6)
    lines: list[Content] = [Line(polar(ray, first), polar(radius + past, first))]
    lines += [Line(polar(edge, axis), polar(radius + past, axis))] if radius + past > edge else []
    angle = AngularDimension(ORIGIN, radius, min(axis, first), abs(offset), said, look.style)
    if axis and offset > 0.0 and look.flange.thickness is not None:
        angle = _off_plane(look, angle)
    return tuple(Item(Layer.DIMENSION, what, FeatureRef(Feature.FIRST_HOLE_ANGLE)) for what in (*lines, angle))


def _off_plane(look: Look, angle: AngularDimension) -> AngularDimension:
    """An angle left of the section's plane, its text so far toward hole 1 that it is not read with the arrow there."""
    turn = math.radians(angle.sweep_deg / 2)
    free = angle.radius * math.sin(turn) * look.scale - text_width(angle.text, look.letter) / 2
    return replace(angle, aside_paper=max(_TAIL + _OFF_TAIL - free, 0.0) / math.cos(turn))


def _first_hole_offsets(flange: Flange) -> list[tuple[float, float, str, float]]:
    """The angles from a centerline to hole 1 that are dimensioned, equal ones once, the smallest first.

    Returns:
        For each the angle of the centerline, the step from it in degrees counter-clockwise, the letters
        of the circles it holds for, and the diameter of the smallest of them.
    """
    found: dict[tuple[float, float], list[int]] = {}
    for group, circle in enumerate(flange.bolt_circles):
        offset = _offset(circle)
        if circle.hole_count > 1 and 0.05 < abs(offset) < 179.9:
            found.setdefault((Centerline(circle.centerline).angle, round(offset, 3)), []).append(group)
    return [
        (axis, offset, ", ".join(filter(None, map(flange.group_letter, groups))), _least(flange, groups))
        for (axis, offset), groups in sorted(found.items(), key=lambda each: abs(each[0][1]))
    ]


def _least(flange: Flange, groups: list[int]) -> float:
    return min(flange.bolt_circles[group].diameter for group in groups)


def _offset(circle: BoltCircle) -> float:
    return (circle.first_hole_angle - Centerline(circle.centerline).angle + 180.0) % 360.0 - 180.0


def _angle_base(flange: Flange) -> float:
    """Radius in mm that angles stand outside of: the edge of a round plate, the holes of any other."""
    if flange.round_diameter is not None:
        return flange.round_diameter / 2
    return max((circle.diameter + circle.hole_diameter) / 2 for circle in flange.bolt_circles)


def cutting_plane_items(look: Look, ink: Ink, x: float, others: Iterable[Item]) -> list[Item]:
    """Where the section is taken: wide ends of the plane, each with an arrow the way one looks and its letter.

    Where there is such a place near the plate, the arrow keeps off the ``others`` and the letter off other words; no
    leader of the others runs between the two where there is a place without.
    ISO 128-3 lets the arrows come to the line, ASME Y14.3 lets them leave its ends (both from memory).
    """
    found: list[Item] = []
    sizes, leaders = Ink(look.scale), Ink(look.scale)
    sizes.add(each for each in others if each.layer is Layer.DIMENSION)
    leaders.add(each for each in others if isinstance(each.what, Leader))
    top, bottom = look.box.top + look.real(4.5), look.box.bottom - look.real(4.5)
    for start, up in ((top, 1.0), (bottom, -1.0)):
        starts = [start + up * look.real(step) for step in range(_TRIES)]
        off_sizes = (
            y for y in starts[:_NEAR] if not sizes.is_near(_arrow_line(look, x, y, up, ARROW_LENGTH), _OFF_SIZES)
        )
        near, whole, every = (
            chain.from_iterable(_plane_ends(look, x, y, up) for y in ys) for ys in (off_sizes, starts, starts)
        )
        found += (
            placed(ink, (each for each in near if _is_alone(look, ink, each) and not _is_parted(leaders, each)))
            or placed(ink, (each for each in whole if not _is_parted(leaders, each)))
            or placed(ink, every)
            or ()
        )
    return found


def _is_alone(look: Look, ink: Ink, plane_end: Option) -> bool:
    """Whether neither a plane's letter nor the tail of its arrow is read with other words."""
    _, shaft, _, letter = (each.what for each in plane_end)
    assert isinstance(shaft, Line)
    assert isinstance(letter, Label)
    x, y = shaft.start.x * look.scale, shaft.start.y * look.scale
    low, high = y - _HALF_WORD, y + _HALF_WORD
    tail = ((x - _OFF_TAIL, low), (x, low), (x, high), (x - _OFF_TAIL, high))
    return not ink.has_text_near(corners_of(letter, look.scale), _ALONE) and not ink.has_text_near(tail, 0.0)


def _is_parted(leaders: Ink, plane_end: Option) -> bool:
    """Whether a leader runs between a plane's arrow and its letter."""
    _, shaft, _, letter = (each.what for each in plane_end)
    assert isinstance(shaft, Line)
    assert isinstance(letter, Label)
    return leaders.is_near(Line(nearest_on(shaft, letter.at), letter.at))


def _plane_ends(look: Look, x: float, y: float, up: float) -> Iterator[Option]:
    """One end of the plane from ``y`` outward: its letter beside the arrow's tail, over or under it, or across."""
    shaft = _arrow_line(look, x, y, up)
    tip, along = (shaft.end, 0.0) if look.convention.first_angle else (shaft.start, 180.0)
    lines = (
        Item(Layer.CUTTING_PLANE, Line(Point(x, y), Point(x, y + up * look.real(_END))), Furniture("cutting plane")),
        Item(Layer.DIMENSION, shaft, Furniture("cutting plane")),
        Item(Layer.DIMENSION, arrow_head(tip, along, look.scale), Furniture("cutting plane")),
    )
    for at in _letter_places(look, shaft.start, shaft.end, up):
        label = Label(at, look.section_letter, look.heading, 0.0, Anchor.MIDDLE)
        yield (*lines, Item(Layer.TEXT, label, Furniture("cutting plane")))


def _arrow_line(look: Look, x: float, y: float, up: float, short: float = 0.0) -> Line:
    """The line of an arrow at one end of the plane from its tail to the plane, or so many printed mm before that."""
    level = y + up * look.real(_END / 2 if look.convention.first_angle else _END)
    return Line(Point(x - look.real(_TAIL), level), Point(x - look.real(short), level))


def _letter_places(look: Look, tail: Point, head: Point, up: float) -> Iterator[Point]:
    """Where a plane's letter may stand, the usual place first."""
    yield from (tail + Point(-look.real(out), 0.0) for out in (2.4, 4.0, 6.0))
    yield from (tail + Point(look.real(along), up * look.real(3.2)) for along in (-1.5, 0.0, 2.0, 4.0))
    for out, rise in product((4.0, 7.0, 2.4), (0.0, 3.0, -3.0)):
        yield head + Point(look.real(out), look.real(rise))


def top_items(look: Look, ink: Ink) -> Option:
    """The word TOP over the vertical centerline; beside it, where another hole seems on top, only if it must be.

    Where it would be read in one line with other words, the section's letter mostly, it stands a little higher.
    """

    def option(aside: float, step: int) -> Option:
        at = Point(look.real(aside), look.box.top + look.real(5.5 + step))
        return (Item(Layer.TEXT, Label(at, "TOP", look.heading, 0.0, Anchor.CENTER), Furniture("top")),)

    clear = filter(ink.is_clear_of, starmap(option, product(_TOP_ASIDE, range(_TRIES))))
    lowest = next(clear, ())
    raised = chain((lowest,), islice(clear, _MOST_RAISED))
    chosen = next((each for each in raised if each and _stands_apart(ink, each)), lowest)
    ink.add(chosen)
    return chosen


def _stands_apart(ink: Ink, word: Option) -> bool:
    """Whether no other words stand on the line of a word near either of its ends, nor close below or above it."""
    (label,) = (each.what for each in word if isinstance(each.what, Label))
    (left, low), _, (right, high), _ = corners_of(label, ink.scale)
    left, right, low, high = left - _BESIDE_TOP, right + _BESIDE_TOP, low - _OVER_WORDS, high + _OVER_WORDS
    return not ink.has_text_near(((left, low), (right, low), (right, high), (left, high)), 0.0)


def diameter_items(look: Look, ink: Ink) -> list[Item]:
    """Bore and raised face where no section shows them: across the circle, or in steps below the plate."""
    found: list[Item] = []
    for size in center_diameters(look):
        found += placed(ink, _diameter_options(look, size.diameter, size.said, size.source)) or ()
    return found


def _diameter_options(look: Look, diameter: float, said: MeasuredText, source: FeatureRef) -> Iterator[Option]:
    radius = diameter / 2
    for angle in _BORE_ANGLES:
        size = DiameterDimension(ORIGIN, radius, angle, said, look.style)
        yield (Item(Layer.DIMENSION, size, source),)
    for step in range(_TRIES):
        at = Point(0.0, look.box.bottom - look.real(_OVERALL + _STEP * step))
        size_below = LinearDimension(Point(-radius, 0.0), Point(radius, 0.0), at, 0.0, said, look.style)
        yield (Item(Layer.DIMENSION, size_below, source),)


def detail_ring(look: Look, ink: Ink, hole: Hole, printed_radius: float) -> tuple[Item, Option]:
    """The narrow circle round the part that a detail shows, to be broken for numbers, and the letter beside it."""
    radius = look.real(printed_radius)
    ring = Item(Layer.DIMENSION, Circle(hole.center, radius), Furniture("detail"))

    def option(turn: float, out: float) -> Option:
        at = polar(radius + look.real(4.2 + out), turn, hole.center)
        return (Item(Layer.TEXT, Label(at, DETAIL_LETTER, look.heading, 0.0, Anchor.MIDDLE), Furniture("detail")),)

    turns = [hole.angle + turn for turn in (0.0, 30.0, -30.0, 60.0, -60.0, 90.0, -90.0, 180.0)]
    options = (option(turn, out) for out in (0.0, 2.0, 5.0, 9.0, 14.0) for turn in turns)
    return ring, placed(ink, options) or ()
