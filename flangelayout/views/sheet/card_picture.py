"""The picture of a check card: the holes of a pattern, and each reading's number in a ring on the line measured."""

import math
from collections.abc import Callable, Iterator, Sequence
from functools import cache
from itertools import pairwise

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import label_box, text_width
from flangelayout.geometry.shapes import ORIGIN, Box, Circle, Line, Point, box_around, polar
from flangelayout.views.page.blocks import Block, PlacedBlock
from flangelayout.views.page.broken_lines import broken
from flangelayout.views.page.forms import ring_items, ring_radius
from flangelayout.views.words.bench.measuring import MeasuredSpan

_PICTURE = Furniture("check card")
_SHARES = (0.28, 0.34, 0.22, 0.4, 0.6, 0.66, 0.72, 0.16, 0.78, 0.84)
"""Where along a line across its ring may stand, the best first."""
_MORE_SHARES = (*_SHARES, 0.18, 0.82, 0.19, 0.81)
"""Where it may stand if not all rings find a place else."""
_NEAREST = 1.5
"""How many times nearer than any other its own hole is to a number that stands by itself."""
_GAP, _TICK = 1.0, (0.2, 0.9)
"""Printed mm from a hole to its number, and to both ends of the line between them where there is one."""
_LIGHT_OFF, _HEAVY_OFF, _OFF_MIDDLE = 0.25, 0.9, 1.4
"""Printed mm from a light and a heavy ring to a hole's circle, and from each to its middle, at the least."""
_STEPS = (1, 2, 4, 5, 10, 20, 50, 100)


def picture_width(labels: Sequence[str], letter: float, radius: float) -> float:
    """Printed mm that a picture takes with its holes and their numbers."""
    return 2 * (radius + 3.4 + max(text_width(label, letter) for label in labels))


def picture_block(
    centers: Sequence[Point],
    labels: Sequence[str],
    found: Sequence[MeasuredSpan],
    letter: float,
    wide: float,
    radius: float,
) -> Block:
    """The holes with the number of each reading in a ring on the line that is measured."""
    height = 2 * radius + 8.2 * letter

    def draw(at: Point) -> PlacedBlock:
        middle = Point(at.x + wide / 2, at.y - 5.0 * letter - radius)
        *places, circle_middle = _places(middle, centers, radius)
        items = _picture_items(middle, places, labels, found, letter)
        top = _top_items(middle, circle_middle.x, radius + _hole(places, found), letter, wide)
        return PlacedBlock((*items, *top))

    return Block(wide, height, draw)


def ringed(
    centers: Sequence[Point], labels: Sequence[str], found: Sequence[MeasuredSpan], letter: float, radius: float
) -> frozenset[int]:
    """The numbers of the readings whose ring the picture has a place for."""
    *places, _ = _places(ORIGIN, centers, radius)
    hole = _hole(places, found)
    names = (name for _, name in _names(ORIGIN, places, labels, letter, hole))
    rings = _ring_places(ORIGIN, places, found, letter, hole, [label_box(name) for name in names])
    return frozenset(abs(number) for number in rings)


def _places(middle: Point, centers: Sequence[Point], radius: float) -> list[Point]:
    """Where the holes of a pattern stand in its picture and, last, the middle of the drawing."""
    box = box_around(centers)
    origin = ORIGIN if box.contains(ORIGIN) else box.center
    reach = max(origin.distance_to(at) for at in centers)
    return [middle + (each - origin).scaled(radius / reach) for each in (*centers, ORIGIN)]


def _hole(places: Sequence[Point], found: Sequence[MeasuredSpan]) -> float:
    """Printed radius of the holes."""
    return max(min(0.16 * _pitch(places, found), 2.4), 0.6)


def _picture_items(
    middle: Point, places: Sequence[Point], labels: Sequence[str], found: Sequence[MeasuredSpan], letter: float
) -> Iterator[Item]:
    hole = _hole(places, found)
    named = list(_names(middle, places, labels, letter, hole))
    names = [name for _, name in named]
    rings = _ring_places(middle, places, found, letter, hole, [label_box(name) for name in names])
    radius = ring_radius(letter)
    rooms = [Box(at.x, at.y, at.x, at.y).grown(radius + (0.9 if number < 0 else 0.2)) for number, at in rings.items()]
    rooms += [label_box(name).grown(0.6) for name in names]
    rooms += [Box(at.x, at.y, at.x, at.y).grown(hole) for at in places]
    for span in found:
        line = Line(places[span.first], places[span.last])
        for part in broken(line, rooms):
            yield Item(Layer.HIDDEN if span.is_across else Layer.DIMENSION, part, _PICTURE)
    yield from (Item(Layer.OUTLINE, Circle(at, hole), _PICTURE) for at in places)
    for number, at in rings.items():
        yield from ring_items(at, str(abs(number)), letter, number < 0)
    yield from (Item(Layer.TEXT, name, _PICTURE) for name in names)
    yield from (Item(Layer.DIMENSION, tick, _PICTURE) for tick in _ticks(named, places, hole))


def _ticks(named: Sequence[tuple[Point, Label]], places: Sequence[Point], hole: float) -> Iterator[Line]:
    """From a hole to its number, a short line where another hole stands almost as near to the number."""
    for at, name in named:
        near = _NEAREST * name.at.distance_to(at)
        if any(name.at.distance_to(other) < near for other in places if other is not at):
            yield Line(*(polar(hole + off, at.direction_to(name.at), at) for off in _TICK))


def _top_items(middle: Point, x: float, reach: float, letter: float, wide: float) -> Iterator[Item]:
    """TOP over the ray straight up from the middle of the drawing, unless the word would leave the picture."""
    top = Label(Point(x, middle.y + reach + 2.3 * letter), "TOP", letter * 1.4, 0.0, Anchor.CENTER)
    if abs(x - middle.x) + label_box(top).width / 2 <= wide / 2:
        yield Item(Layer.TEXT, top, _PICTURE)


def _pitch(places: Sequence[Point], found: Sequence[MeasuredSpan]) -> float:
    """How near to each other the holes stand that follow each other or are measured."""
    read = (places[span.first].distance_to(places[span.last]) for span in found)
    return min(*(one.distance_to(other) for one, other in pairwise(places)), *read)


def _ring_places(
    middle: Point,
    places: Sequence[Point],
    found: Sequence[MeasuredSpan],
    letter: float,
    hole: float,
    names: Sequence[Box],
) -> dict[int, Point]:
    """Where the ring of each reading stands, by its number, those across negative: none over another, hole or name."""
    rooms = [box.grown(ring_radius(letter) + 0.3) for box in names]
    across = [(places[span.first], places[span.last]) for span in found if span.is_across]
    beside = found[len(across) :]

    def is_clear(at: Point, off_hole: float) -> bool:
        off = ring_radius(letter) + max(hole + off_hole, _OFF_MIDDLE)
        return all(at.distance_to(each) > off for each in places) and not any(room.contains(at) for room in rooms)

    heavy_is_clear = cache(lambda at: is_clear(at, _HEAVY_OFF))
    stand: tuple[Point, ...] = ()
    for shares in (_SHARES, _MORE_SHARES):
        if len(stand) < len(across):
            options = [[first + (last - first).scaled(share) for share in shares] for first, last in across]
            stand = _spread(options, (), letter, heavy_is_clear)
    rings = {-number: at for number, at in enumerate(stand, 1)}
    for step in _STEPS:
        own = {
            len(across) + number: _beside(middle, places[span.first], places[span.last], step > 1)
            for number, span in enumerate(beside, 1)
            if (number - 1) % step == 0
        }
        taken = [*rings.values()]
        if all(
            is_clear(at, _LIGHT_OFF) and _is_free(at, [*taken, *(o for o in own.values() if o is not at)], letter)
            for at in own.values()
        ):
            return rings | own
    return rings


def _spread(
    options: Sequence[Sequence[Point]], taken: tuple[Point, ...], letter: float, is_clear: Callable[[Point], bool]
) -> tuple[Point, ...]:
    """A place for every ring, each of its own options and none over another; of the first ones where not all have."""
    longest = taken
    for at in options[0] if options else ():
        if is_clear(at) and _is_free(at, taken, letter):
            found = _spread(options[1:], (*taken, at), letter, is_clear)
            if len(found) == len(taken) + len(options):
                return found
            longest = max(longest, found, key=len)
    return longest


def _beside(middle: Point, first: Point, last: Point, inward: bool) -> Point:
    """The middle of a neighbor's line; a little inward where rings would cover the holes."""
    half = Point((first.x + last.x) / 2, (first.y + last.y) / 2)
    return half if not inward else half + (middle - half).scaled(5.0 / max(half.distance_to(middle), 5.0))


def _is_free(at: Point, rings: Sequence[Point], letter: float) -> bool:
    return all(at.distance_to(other) > 2 * ring_radius(letter) + 1.2 for other in rings)


def _names(
    middle: Point, places: Sequence[Point], labels: Sequence[str], letter: float, hole: float
) -> Iterator[tuple[Point, Label]]:
    """The holes' numbers outside of them, each with its hole's place; every so many where they stand close."""
    pitch = _pitch(places, ())
    need = max(text_width(label, letter) for label in labels) + 1.2
    step = next((step for step in _STEPS if step * pitch >= need), len(labels))
    for label, at in zip(labels, places, strict=True):
        if (int(label) - 1) % step == 0:
            turn = math.radians(middle.direction_to(at))
            half = abs(math.cos(turn)) * text_width(label, letter) / 2 + abs(math.sin(turn)) * letter * 0.75
            yield at, Label(polar(hole + _GAP + half, math.degrees(turn), at), label, letter, 0.0, Anchor.MIDDLE)
