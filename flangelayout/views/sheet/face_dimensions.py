"""What is said round the face view: cutting plane, TOP, diameters where no section shows them, ring of a detail."""

from collections.abc import Iterable, Iterator
from itertools import chain, islice, product, starmap

from flangelayout.drawing.explode import ARROW_LENGTH, arrow_head
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import (
    Anchor,
    DiameterDimension,
    Item,
    Label,
    Leader,
    LinearDimension,
    MeasuredText,
    Solid,
)
from flangelayout.drawing.references import FeatureRef, Furniture
from flangelayout.flange import Hole
from flangelayout.geometry.contours import turned_point
from flangelayout.geometry.pieces import nearest_on
from flangelayout.geometry.shapes import ORIGIN, Circle, Line, Point, polar
from flangelayout.value import replace
from flangelayout.views.page.text_clearance import Ink, corners_of
from flangelayout.views.sheet.face import CUTTING_PLANE
from flangelayout.views.sheet.look import DETAIL_LETTER, Look, Option, placed
from flangelayout.views.sheet.section.cut import Plane
from flangelayout.views.sheet.sizes.angles import OFF_TAIL, PLANE_TAIL
from flangelayout.views.sheet.sizes.bores import center_diameters

_STEP, _TRIES = 1.5, 60
_OVERALL = 9.0
_BORE_ANGLES = (35.0, -35.0, 145.0, -145.0, 20.0, -20.0, 50.0, -50.0, 65.0, 115.0, -65.0)
_END = 5.0
"""Printed mm of the wide end of the section's plane."""
_NEAR, _ALONE, _OFF_SIZES = 16, 2.5, 1.2
"""Printed mm that an end of the section's plane is moved out to find a place where its letter is so far from other
words, and its arrow from sizes."""
_BESIDE_LETTER = 4.5
"""Printed mm from the letter of the section's plane to words of sizes on its line, if that can be."""
_HALF_WORD = 1.2
"""Printed mm from the level of the arrow of the section's plane to words before it."""
_TOP_ASIDE = (0.0, 9.0, -9.0, 15.0, -15.0)
"""Printed mm that TOP stands right of the vertical centerline."""
_MOST_RAISED, _BESIDE_TOP = 6, 4.0
"""Printed mm that TOP is raised, and that other words of its line stand away from it, if that can be."""
_OVER_WORDS = 1.5
"""Printed mm that other words stand below or above TOP, if that can be."""


def cutting_plane_items(look: Look, ink: Ink, plane: Plane, others: Iterable[Item]) -> list[Item]:
    """Where the section is taken: wide ends of the plane, each with an arrow the way one looks and its letter.

    Where there is such a place nearby, the arrow keeps off the ``others`` and the letter off other words; no
    leader of the others runs between the two where there is a place without.
    ISO 128-3 lets the arrows come to the line, ASME Y14.3 lets them leave its ends (both from memory).
    """
    found: list[Item] = []
    sizes, leaders = Ink(look.scale), Ink(look.scale)
    sizes.add(each for each in others if each.layer is Layer.DIMENSION)
    leaders.add(each for each in others if isinstance(each.what, Leader))
    x, turn = plane.x, plane.turned_by
    top, bottom = plane.high + look.real(4.5), plane.low - look.real(4.5)
    for start, up in ((top, 1.0), (bottom, -1.0)):
        starts = [start + up * look.real(step) for step in range(_TRIES)]
        arrows = ((y, _turned_line(_arrow_line(look, x, y, up, ARROW_LENGTH), turn)) for y in starts[:_NEAR])
        off_sizes = (y for y, arrow in arrows if not sizes.is_near(arrow, _OFF_SIZES))
        near, whole, every = (
            chain.from_iterable(_turned_ends(look, plane, y, up) for y in ys) for ys in (off_sizes, starts, starts)
        )
        found += (
            placed(ink, (each for each in near if _is_alone(look, ink, sizes, each) and not _is_parted(leaders, each)))
            or placed(ink, (each for each in whole if not _is_parted(leaders, each)))
            or placed(ink, every)
            or ()
        )
    return found


def _is_alone(look: Look, ink: Ink, sizes: Ink, plane_end: Option) -> bool:
    """Whether neither a plane's letter nor the tail of its arrow is read with other words, of sizes on its line too."""
    _, shaft, _, letter = (each.what for each in plane_end)
    assert isinstance(shaft, Line)
    assert isinstance(letter, Label)
    x, y = shaft.start.x * look.scale, shaft.start.y * look.scale
    low, high = y - _HALF_WORD, y + _HALF_WORD
    tail = ((x - OFF_TAIL, low), (x, low), (x, high), (x - OFF_TAIL, high))
    (left, low), _, (right, high), _ = corners_of(letter, look.scale)
    left, right = left - _BESIDE_LETTER, right + _BESIDE_LETTER
    line = ((left, low), (right, low), (right, high), (left, high))
    if sizes.has_text_near(line, 0.0):
        return False
    return not ink.has_text_near(corners_of(letter, look.scale), _ALONE) and not ink.has_text_near(tail, 0.0)


def _is_parted(leaders: Ink, plane_end: Option) -> bool:
    """Whether a leader runs between a plane's arrow and its letter."""
    _, shaft, _, letter = (each.what for each in plane_end)
    assert isinstance(shaft, Line)
    assert isinstance(letter, Label)
    return leaders.is_near(Line(nearest_on(shaft, letter.at), letter.at))


def _turned_ends(look: Look, plane: Plane, y: float, up: float) -> Iterator[Option]:
    """One end of the plane where it stands, its letter upright."""
    options = _plane_ends(look, plane.x, y, up)
    return (tuple(_turned_item(each, plane.turned_by) for each in option) for option in options)


def _turned_item(item: Item, degrees: float) -> Item:
    what = item.what
    if not degrees:
        return item
    if isinstance(what, Line):
        return replace(item, what=_turned_line(what, degrees))
    if isinstance(what, Solid):
        return replace(item, what=Solid(tuple(turned_point(corner, degrees) for corner in what.corners)))
    return replace(item, what=replace(what, at=turned_point(what.at, degrees))) if isinstance(what, Label) else item


def _turned_line(line: Line, degrees: float) -> Line:
    return Line(turned_point(line.start, degrees), turned_point(line.end, degrees)) if degrees else line


def _plane_ends(look: Look, x: float, y: float, up: float) -> Iterator[Option]:
    """One end of the plane from ``y`` outward: its letter beside the arrow's tail, over or under it, or across."""
    shaft = _arrow_line(look, x, y, up)
    tip, along = (shaft.end, 0.0) if look.convention.first_angle else (shaft.start, 180.0)
    lines = (
        Item(Layer.CUTTING_PLANE, Line(Point(x, y), Point(x, y + up * look.real(_END))), CUTTING_PLANE),
        Item(Layer.DIMENSION, shaft, CUTTING_PLANE),
        Item(Layer.DIMENSION, arrow_head(tip, along, look.scale), CUTTING_PLANE),
    )
    for at in _letter_places(look, shaft.start, shaft.end, up):
        label = Label(at, look.section_letter, look.heading, 0.0, Anchor.MIDDLE)
        yield (*lines, Item(Layer.TEXT, label, CUTTING_PLANE))


def _arrow_line(look: Look, x: float, y: float, up: float, short: float = 0.0) -> Line:
    """The line of an arrow at one end of the plane from its tail to the plane, or so many printed mm before that."""
    level = y + up * look.real(_END / 2 if look.convention.first_angle else _END)
    return Line(Point(x - look.real(PLANE_TAIL), level), Point(x - look.real(short), level))


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
