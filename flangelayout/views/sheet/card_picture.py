"""The picture of a check card: the holes of a pattern, and each reading's number in a ring on the line measured."""

import math
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterator, Sequence
from functools import cache
from itertools import chain, pairwise

from msgspec import Struct

from flangelayout.checks.measuring import MeasuredSpan
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import label_box, text_width
from flangelayout.geometry.shapes import ORIGIN, Box, Circle, Line, Point, box_about, box_around, polar
from flangelayout.value import replace
from flangelayout.views.page.blocks import Block, PlacedBlock
from flangelayout.views.page.broken_lines import broken
from flangelayout.views.page.forms import ring_items, ring_radius

_PICTURE = Furniture("check card")
_ALIKE = (0.28, 0.31, 0.25, 0.34, 0.22, 0.37, 0.19, 0.4, 0.16)
"""Where along a line across, from one of its ends, all rings may stand alike, the best first."""
_SHARES = (0.28, 0.34, 0.22, 0.4, 0.6, 0.66, 0.72, 0.16, 0.78, 0.84, 0.18, 0.82, 0.19, 0.81, 0.5)
"""Where along its line each may stand where they do not stand alike."""
_INWARD = (0.0, 0.6, 1.0, -0.6, -1.0)
"""How far inward of the line between neighbors their ring may stand, in radii of a ring: it meets the line still."""
_MOST_TRIES = 1500
"""Places looked at for all rings to stand apart; where they do not, each takes the first one that is left."""
_NEAREST = 1.5
"""How many times nearer than any other its own hole is to a number that stands by itself."""
_GAP, _TICK = 1.0, (0.2, 0.9)
"""Printed mm from a hole to its number, and to both ends of the line between them where there is one."""
_LIGHT_OFF, _HEAVY_OFF, _OFF_MIDDLE = 0.25, 0.9, 1.2
"""Printed mm from a light and a heavy ring to a hole's circle, and from each to its middle, at the least."""
_SEEN_OFF = 0.7
"""Printed mm from a ring between close holes to both, for it to be seen to stand off."""
_APART = 1.2
"""Printed mm from a ring to the next at the least."""
_OFF_LINE = 0.8
"""Printed mm from a ring to the lines across that are not its own, where it finds such a place."""
_BRUSHED = 0.6
"""Radii from its middle where others may brush a ring that finds none: clear of its number still."""
_STEPS = (1, 2, 4, 5, 10, 20, 50, 100)
"""Every how many holes one is numbered, from hole 1 on."""
_TOP, _TOP_SIZE = "TOP", 1.4
"""What stands over the middle of the drawing, and its height in heights of the capitals."""
_NEAR_TOP = 0.2
"""Of the width of holes on one side, how far off the middle of the drawing may be for the picture to reach there."""
_SAME = 1e-6
"""In mm, between equal distances."""
_ABOVE, _BELOW, _TOP_OFF = 5.0, 3.2, 2.6
"""Heights of a capital over the middles of the highest holes and under those of the lowest, and from a hole to TOP."""


class CardPicture(Struct, frozen=True):
    """A picture with all that is on it placed, in printed mm about the middle of what its holes take up.

    Attributes:
        found: What is measured.
        places: Of the holes.
        hole: Radius of the holes.
        names: The holes' numbers, each with its hole's place.
        ringed: How many of the readings from the first on shall have a ring.
        rings: Where the ring of each reading stands that has one, by its number.
        top: The word over the middle of the drawing.
        letter: Height of the capitals.
        height: That it takes up.
    """

    found: Sequence[MeasuredSpan]
    places: Sequence[Point]
    hole: float
    names: Sequence[tuple[Point, Label]]
    ringed: int
    rings: dict[int, Point]
    top: Label
    letter: float
    height: float

    @property
    def unringed(self) -> int:
        """How many readings have no ring that were to have one."""
        return self.ringed - len(self.rings)

    @property
    def is_plain(self) -> bool:
        """Whether every ring across has a place, and that on its own line alone."""
        ends = [(Line(self.places[span.first], self.places[span.last]), n) for n, span in enumerate(self.found, 1)]
        across = [(line, n) for line, n in ends[: self.ringed] if self._is_heavy(n)]
        lines, off = [line for line, _ in across], ring_radius(self.letter) + _OFF_LINE
        return all(n in self.rings and _is_own(line, self.rings[n], lines, off) for line, n in across)

    def block(self, wide: float) -> Block:
        """The picture in the middle of a width; TOP is left out where it would leave that."""
        down = self.height / 2 + (_ABOVE - _BELOW) / 2 * self.letter
        corners = pairwise((*self.places, self.places[0]))
        between = abs(sum(one.x * other.y - other.x * one.y for one, other in corners)) / 2
        return Block(
            wide,
            self.height,
            lambda at: PlacedBlock(tuple(self._items(at + Point(wide / 2, -down), wide))),
            spanned=between / (wide * self.height),
        )

    def _items(self, middle: Point, wide: float) -> Iterator[Item]:
        places = [middle + at for at in self.places]
        rings = {number: middle + at for number, at in self.rings.items()}
        texts = [replace(name, at=middle + name.at) for _, name in self.names]
        radius = ring_radius(self.letter)
        rooms = [box_about(at, radius + (0.9 if self._is_heavy(number) else 0.2)) for number, at in rings.items()]
        rooms += [label_box(text).grown(0.6) for text in texts]
        rooms += [box_about(at, self.hole) for at in places]
        for span in self.found:
            for part in broken(Line(places[span.first], places[span.last]), rooms):
                yield Item(Layer.HIDDEN if span.is_across else Layer.DIMENSION, part, _PICTURE)
        yield from (Item(Layer.OUTLINE, Circle(at, self.hole), _PICTURE) for at in places)
        for number, at in rings.items():
            yield from ring_items(at, str(number), self.letter, self._is_heavy(number))
        if abs(self.top.at.x) + label_box(self.top).width / 2 <= wide / 2:
            texts.append(replace(self.top, at=middle + self.top.at))
        yield from (Item(Layer.TEXT, text, _PICTURE) for text in texts)
        yield from (Item(Layer.DIMENSION, tick, _PICTURE) for tick in self._ticks(middle))

    def _is_heavy(self, number: int) -> bool:
        return self.found[number - 1].is_across

    def _ticks(self, middle: Point) -> Iterator[Line]:
        """From a hole to its number, a short line where another hole stands almost as near to the number."""
        for at, name in self.names:
            near = _NEAREST * name.at.distance_to(at)
            if any(name.at.distance_to(other) < near for other in self.places if other is not at):
                start, end = (polar(self.hole + off, at.direction_to(name.at), middle + at) for off in _TICK)
                yield Line(start, end)


def picture_width(widest: str, letter: float, radius: float) -> float:
    """Printed mm that a picture takes with its holes and their numbers, of which one is the widest."""
    return 2 * (radius + max(3.4 + text_width(widest, letter), text_width(_TOP, letter * _TOP_SIZE) / 2))


def card_picture(
    centers: Sequence[Point],
    labels: Sequence[str],
    widest: str,
    found: Sequence[MeasuredSpan],
    letter: float,
    radius: float,
    ringed: int,
) -> CardPicture:
    """The picture of a pattern.

    Args:
        centers: Of the holes, in mm.
        labels: Their numbers.
        widest: The widest of these.
        found: What is measured, across first.
        letter: Height of the capitals, in printed mm.
        radius: Of the circle the holes stand on, or half of what others take up the longer way, in printed mm.
        ringed: How many of the readings from the first on shall have a ring.
    """
    box = _box(centers)
    origin, scale = box.center, 2 * radius / max(box.width, box.height)
    high = box.height / 2 * scale
    places, middle = [(at - origin).scaled(scale) for at in centers], (ORIGIN - origin).scaled(scale)
    hole, hub = _hole(places, found, letter), middle if _is_on_circle(centers) else ORIGIN
    names = tuple(_names(hub, places, labels, widest, letter, hole))
    rooms = [label_box(name).grown(ring_radius(letter) + 0.3) for _, name in names]

    by_x = sorted(places, key=_x)

    def is_clear(at: Point, off_hole: float) -> bool:
        off = ring_radius(letter) + max(hole + off_hole, _OFF_MIDDLE)
        near = by_x[bisect_left(by_x, at.x - off, key=_x) : bisect_right(by_x, at.x + off, key=_x)]
        return all(at.distance_to(each) > off for each in near) and not any(room.contains(at) for room in rooms)

    lines = [(Line(places[span.first], places[span.last]), span.is_across) for span in found[:ringed]]
    rings = _ring_places(hub, lines, letter, is_clear)
    top = Label(Point(middle.x, high + hole + _TOP_OFF * letter), _TOP, letter * _TOP_SIZE, 0.0, Anchor.CENTER)
    height = 2 * high + (_ABOVE + _BELOW) * letter
    return CardPicture(found, places, hole, names, ringed, rings, top, letter, height)


def radius_within(centers: Sequence[Point], widest: str, letter: float, wide: float, high: float) -> float:
    """The largest ``radius`` of a picture that stands with its numbers in a width and a height, in printed mm."""
    box = _box(centers)
    left = (wide - picture_width(widest, letter, 0.0), box.width), (high - (_ABOVE + _BELOW) * letter, box.height)
    return max(box.width, box.height) / 2 * min(room / side for room, side in left if side)


def _box(centers: Sequence[Point]) -> Box:
    """What a picture shows: the whole circle that holes stand on all round the drawing's middle, or else the holes.

    Where that middle is little to one side of them, what is under TOP as well.
    """
    if is_round(centers):
        return box_about(ORIGIN, ORIGIN.distance_to(centers[0]))
    box = box_around(centers)
    near = _NEAR_TOP * box.width
    if not box.left - near <= ORIGIN.x <= box.right + near:
        return box
    return Box(min(box.left, ORIGIN.x), box.bottom, max(box.right, ORIGIN.x), box.top)


def is_round(centers: Sequence[Point]) -> bool:
    """Whether three holes or more stand on a circle about the middle of the drawing, all round it."""
    return len(centers) > 2 and _is_on_circle(centers) and box_around(centers).contains(ORIGIN)


def _is_on_circle(centers: Sequence[Point]) -> bool:
    reach = ORIGIN.distance_to(centers[0])
    return all(abs(math.hypot(at.x, at.y) - reach) < _SAME for at in centers)


def _x(at: Point) -> float:
    return at.x


def _hole(places: Sequence[Point], found: Sequence[MeasuredSpan], letter: float) -> float:
    """Printed radius of the holes: small enough for a ring that meets the line between two close ones to stand off."""
    pitch, ring = _pitch(places, found), ring_radius(letter)
    return max(min(0.16 * pitch, 2.4, math.hypot(pitch / 2, ring) - ring - _SEEN_OFF), 0.6)


def _pitch(places: Sequence[Point], found: Sequence[MeasuredSpan]) -> float:
    """How near to each other the holes stand that follow each other or are measured."""
    read = (places[span.first].distance_to(places[span.last]) for span in found)
    return min([*(one.distance_to(other) for one, other in pairwise(places)), *read])


def _ring_places(
    hub: Point, lines: Sequence[tuple[Line, bool]], letter: float, is_clear: Callable[[Point, float], bool]
) -> dict[int, Point]:
    """Where the ring of each line stands, by its number, none over another, a hole or a name.

    Those of neighbors stand all as far inward of their lines, if all find a place so beside those across.
    """
    radius = ring_radius(letter)
    heavy_is_clear = cache(lambda at: is_clear(at, _HEAVY_OFF))
    across = [line for line, is_across in lines if is_across]
    beside = [line for line, is_across in lines if not is_across]
    light_is_clear = cache(lambda at: is_clear(at, _LIGHT_OFF))
    any_place = [[*_options(line)] for line in across]
    for off in (radius + _OFF_LINE, _BRUSHED * radius, 0.0):
        for light in _beside(hub, beside, radius, light_is_clear):
            if alike := _alike(across, off, light, radius, heavy_is_clear):
                return dict(enumerate((*alike, *light), 1))
        places, tries = [_own(line, across, off) for line in across], iter(range(_MOST_TRIES))
        for light in _beside(hub, beside, radius, light_is_clear):
            heavy = _all_free(places, light, radius, heavy_is_clear, tries)
            if heavy is not None:
                return dict(enumerate((*heavy, *light), 1))
    heavy = _all_free(any_place, (), radius, heavy_is_clear, iter(range(_MOST_TRIES)))
    rings = dict(enumerate(heavy or (), 1))
    sideways = ([_inward(hub, line, off * radius) for off in _INWARD] for line in beside)
    for number, options in enumerate((*any_place, *sideways), 1):
        off, taken = _HEAVY_OFF if number <= len(across) else _LIGHT_OFF, [*rings.values()]
        free = (at for at in options if is_clear(at, off) and _is_free(at, taken, radius))
        if number not in rings and (at := next(free, None)):
            rings[number] = at
    return rings


def _all_stand(
    rings: Sequence[Point], taken: Sequence[Point], radius: float, is_clear: Callable[[Point], bool]
) -> bool:
    """Whether rings stand clear, apart from each other and from those taken."""
    return all(is_clear(at) and _is_free(at, (*taken, *rings[:n]), radius) for n, at in enumerate(rings))


def _alike(
    across: Sequence[Line], off: float, taken: Sequence[Point], radius: float, is_clear: Callable[[Point], bool]
) -> tuple[Point, ...] | None:
    """A place for every ring as far along its own line from an end as all others, the ends such as part them."""
    for share in _ALIKE:
        rings: list[Point] = []
        for line in across:
            ends = (_along(line, share), _along(line, 1.0 - share))
            rings.append(max(ends, key=lambda at: round(min(map(at.distance_to, rings), default=0.0), 3)))
        is_own = all(_is_own(line, at, across, off) for line, at in zip(across, rings, strict=True))
        if is_own and _all_stand(rings, taken, radius, is_clear):
            return tuple(rings)
    return None


def _beside(
    hub: Point, beside: Sequence[Line], radius: float, is_clear: Callable[[Point], bool]
) -> Iterator[Sequence[Point]]:
    """Places of all rings of neighbors: each on its line where it is clear there, or all as far inward of theirs."""
    options = ((_inward(hub, line, off * radius) for off in _INWARD) for line in beside)
    nearest = [next(filter(is_clear, places), line.start) for places, line in zip(options, beside, strict=True)]
    evenly = ([_inward(hub, line, off * radius) for line in beside] for off in _INWARD)
    for light in chain([nearest], evenly):
        if _all_stand(light, (), radius, is_clear):
            yield light


def _own(line: Line, across: Sequence[Line], off: float) -> list[Point]:
    """Where the ring of a line across may stand."""
    return [at for at in _options(line) if _is_own(line, at, across, off)]


def _is_own(line: Line, at: Point, across: Sequence[Line], off: float) -> bool:
    """Whether a place on a line is so far off all others; any is where that is nothing."""
    return not off or all(other is line or _distance(other, at) > off for other in across)


def _distance(line: Line, at: Point) -> float:
    """From a place to the nearest point of a line."""
    along, to = line.end - line.start, at - line.start
    share = (along.x * to.x + along.y * to.y) / (along.x**2 + along.y**2)
    return at.distance_to(line.start + along.scaled(min(max(share, 0.0), 1.0)))


def _all_free(
    places: Sequence[Sequence[Point]],
    taken: Sequence[Point],
    radius: float,
    is_clear: Callable[[Point], bool],
    tries: Iterator[int],
) -> tuple[Point, ...] | None:
    """One of its places for every ring, none over another or one taken; while tries last."""
    if not places:
        return ()
    for at in places[0]:
        if next(tries, None) is None:
            return None
        if is_clear(at) and _is_free(at, taken, radius):
            others = _all_free(places[1:], (*taken, at), radius, is_clear, tries)
            if others is not None:
                return (at, *others)
    return None


def _options(line: Line) -> Iterator[Point]:
    """Where the ring of a line across may stand."""
    return (_along(line, share) for share in _SHARES)


def _along(line: Line, share: float) -> Point:
    return line.start + (line.end - line.start).scaled(share)


def _inward(hub: Point, line: Line, by: float) -> Point:
    """The middle of a line, so many printed mm nearer to a place; farther from it where that is less than 0."""
    half = _along(line, 0.5)
    return half + (hub - half).scaled(by / max(half.distance_to(hub), abs(by))) if by else half


def _is_free(at: Point, rings: Sequence[Point], radius: float) -> bool:
    return all(at.distance_to(other) > 2 * radius + _APART for other in rings)


def _names(
    hub: Point, places: Sequence[Point], labels: Sequence[str], widest: str, letter: float, hole: float
) -> Iterator[tuple[Point, Label]]:
    """The numbers of holes beyond them from a place, each with its hole's; every so many where they stand close."""
    pitch, need = _pitch(places, ()), text_width(widest, letter) + 1.2
    step = next((step for step in _STEPS if step * pitch >= need), len(labels))
    for label, at in zip(labels, places, strict=True):
        if (int(label) - 1) % step == 0:
            turn = math.radians(hub.direction_to(at))
            half = abs(math.cos(turn)) * text_width(label, letter) / 2 + abs(math.sin(turn)) * letter * 0.75
            yield at, Label(polar(hole + _GAP + half, math.degrees(turn), at), label, letter, 0.0, Anchor.MIDDLE)
