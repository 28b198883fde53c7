"""The check card: what is measured at the plate, in the order of measuring, with blanks to write in and a verdict."""

import math
from collections.abc import Iterator, Sequence
from enum import Enum
from itertools import pairwise

from msgspec import Struct

from flangelayout.drawing.convention import Convention
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import label_box, text_width
from flangelayout.flange import Flange, Slot
from flangelayout.geometry.shapes import ORIGIN, Box, Circle, Line, Point, box_around, polar
from flangelayout.standards.shop import is_gasket_material
from flangelayout.value import replace
from flangelayout.views.page.blocks import GAP, Block, PlacedBlock, side_by_side, stacked, text_block
from flangelayout.views.page.broken_lines import broken
from flangelayout.views.page.forms import Form, form_block, form_width, ring_items, ring_radius, verdict_block
from flangelayout.views.words.bench.measuring import MOST_NEIGHBORS, MeasuredSpan, accepted, machined_sizes, spans
from flangelayout.views.words.holes import hole_text
from flangelayout.views.words.lengths import Lengths

AT_THE_PLATE, AT_THE_GASKET = "AT THE PLATE", "AT THE GASKET"
_USE_IT, _USE_IT_AS_AGREED = "all inside: use it", "all inside what was agreed, ______: use it"
_PUT_ASIDE = "one or more out: put aside, tell: ______"
_SIGNS = ("measured by", "date")
_FROM_THE_BACK = "FROM THE BACK: plate turned over, TOP up, numbers as seen there"
_PICTURE = Furniture("check card")
_MOST_BESIDE = 12
"""Holes up to which a circle has one list; of more the neighbors stand in columns beside each other."""
_LOW_ROW = 2.6
"""Height of a row of a long list, in heights of its letters: its numbers stand without rings."""
_RADIUS, _SMALL_RADIUS = 26.0, 21.0
"""Printed, of the circle in a picture, and in a small one."""
_STEPS = (1, 2, 4, 5, 10, 20, 50, 100)


class CardStyle(Enum):
    """How a circle's list stands to its picture on a card of several circles."""

    LARGE = "under a large picture"
    SMALL = "under a small picture"
    BESIDE = "beside a small picture"


def card_blocks(
    flange: Flange,
    lengths: Lengths,
    convention: Convention,
    room: Box,
    row: float,
    style: CardStyle = CardStyle.LARGE,
) -> list[Block]:
    """The blocks of the card in the order of measuring, the verdict last; none where nothing is to be measured.

    Args:
        flange: What is made.
        lengths: How lengths are written; only the master unit is measured in.
        convention: The rules of the sheet.
        room: What of a page they may take.
        row: Height of a row to write in, in printed mm.
        style: How a circle's list stands to its picture where there are several.
    """
    card = _Card(flange, replace(lengths, dual=False), convention.letter_height, room, row)
    groups = [group for group, pattern in enumerate(flange.groups()) if spans(pattern)]
    if not groups:
        return []
    blocks = [text_block("", _how(flange), room.width, card.letter)]
    for group in groups:
        blocks += card.group_blocks(group, len(groups) > 1, style)
    sizes = tuple(machined_sizes(flange, card.lengths))
    if sizes:
        wide = 0.0 if style is CardStyle.BESIDE else card.half
        blocks.append(form_block(_sizes_form(sizes), card.letter, row, wide))
    stated = flange.tolerances.chord is not None and all(limits for _, _, limits in sizes)
    verdicts = (_USE_IT if stated else _USE_IT_AS_AGREED, _PUT_ASIDE)
    return [*blocks, verdict_block(verdicts, _SIGNS, card.letter, room.width)]


def _sizes_form(sizes: Sequence[tuple[str, str, str]]) -> Form:
    """The machined sizes, their limits where any has some."""
    if any(limits for _, _, limits in sizes):
        return Form(("also", "wanted", "accept", "measured"), tuple(sizes))
    return Form(("also", "wanted", "measured"), tuple((name, wanted) for name, wanted, _ in sizes))


def _how(flange: Flange) -> tuple[str, ...]:
    """How to measure: with the same edge of both holes, as far as they are round and alike; soft sheet by a rule."""
    slots = any(isinstance(group.drilling.kind, Slot) for group in flange.groups())
    edge = "Measure from a hole edge to the SAME edge of the other hole: that reading is the center distance."
    first = "Heavy rings first; if one is out, stop and measure it again before going round."
    if is_gasket_material(flange.material):
        return (f"Lay the gasket flat, unstretched, and use a rule, not the jaws of a caliper. {edge} {first}",)
    return (("Slots: mark their middles and measure between the marks. " if slots else "") + f"{edge} {first}",)


class _Card(Struct, frozen=True):
    """What all blocks of a card have in common."""

    flange: Flange
    lengths: Lengths
    letter: float
    room: Box
    row: float

    @property
    def half(self) -> float:
        """Printed mm that a block is wide of which two stand beside each other."""
        return (self.room.width - GAP) / 2

    def group_blocks(self, group: int, several: bool, style: CardStyle) -> Iterator[Block]:
        """One pattern: its picture and its list."""
        pattern, letter = self.flange.groups()[group], self.letter
        found = spans(pattern)
        labels = [str(hole.number) for hole in self.flange.holes() if hole.group == group]
        across = sum(span.is_across for span in found)
        is_long = len(labels) > _MOST_BESIDE
        rows = self._rows(found, labels, apart=is_long and self._one_neighbor(found[across:]) is None)
        first = Form(self._heads(), tuple(self._rows(found[:across] if is_long else found, labels)), across)
        wide = max(self.half, form_width(first, letter))
        beside = style is CardStyle.BESIDE and len(labels) > 2 and not is_long
        radius = _RADIUS if style is CardStyle.LARGE else _SMALL_RADIUS
        picture_wide = _picture_width(labels, letter, radius) if beside else wide
        hidden = group not in dict(self.flange.shown_groups())
        name = self.flange.group_name(group).upper() + (f" {_FROM_THE_BACK}" if hidden else "")
        head = text_block("", (name, *self._about(group, found[across:], is_long)), picture_wide, letter)
        centers = [Point(-at.x, at.y) if hidden else at for at in pattern.hole_centers()]
        picture = _picture(centers, labels, found, letter, picture_wide, radius)
        stack = stacked([head, picture] if len(labels) > 2 else [head])
        if is_long:
            yield stack
            yield from [form_block(first, letter, self.row, wide)] if across else []
            yield from self._neighbors(rows[across:])
            return
        lists = self._lists(first, self.half - picture_wide - GAP if beside else wide)
        joined = side_by_side([stack, *lists]) if beside else stacked([stack, *lists])
        if (several or len(labels) < 3) and joined.height <= self.room.height and joined.width <= self.room.width:
            yield joined
        else:
            yield stack
            yield from lists

    def _lists(self, form: Form, wide: float) -> list[Block]:
        """A list in as many parts as it takes for each to stand on a page."""
        most, rings = max(int(self.room.height / self.row) - 1, 1), form.ringed or 0
        starts = range(0, len(form.rows), most)
        parts = (Form(form.heads, form.rows[at : at + most], max(rings - at, 0)) for at in starts)
        return [form_block(part, self.letter, self.row, wide) for part in parts]

    def _heads(self, *, apart: bool = True) -> tuple[str, ...]:
        accept = ("accept",) if self.flange.tolerances.chord is not None else ()
        return ("", "holes", *(("centers", *accept) if apart else ()), "measured")

    def _rows(
        self, found: Sequence[MeasuredSpan], labels: Sequence[str], *, apart: bool = True
    ) -> list[tuple[str, ...]]:
        """The rows of a list; ``apart`` with how far the holes are from each other."""
        rows: list[tuple[str, ...]] = []
        for number, span in enumerate(found, 1):
            texts = (str(number), f"{labels[span.first]} – {labels[span.last]}")
            sizes = (self.lengths.decimal(span.distance), accepted(self.flange, span.distance, self.lengths))
            rows.append((*texts, *(filter(None, sizes) if apart else ())))
        return rows

    def _neighbors(self, rows: Sequence[tuple[str, ...]]) -> Iterator[Block]:
        """A long list in as many columns as stand beside each other, in parts that a page takes."""
        if not rows:
            return
        heads, low = self._heads(apart=len(rows[0]) > 2), self.letter * _LOW_ROW
        width = form_width(Form(heads, tuple(rows)), self.letter)
        columns = max(int((self.room.width + GAP) // (width + GAP)), 1)
        most = max(int(self.room.height / low) - 1, 1)
        for at in range(0, len(rows), columns * most):
            part = rows[at : at + columns * most]
            each = -(-len(part) // columns)
            forms = [Form(heads, tuple(part[first : first + each])) for first in range(0, len(part), each)]
            wide = (self.room.width + GAP) / columns - GAP
            yield side_by_side([form_block(form, self.letter, low, wide) for form in forms])

    def _one_neighbor(self, beside: Sequence[MeasuredSpan]) -> float | None:
        """The distance of all neighbors where it is one."""
        apart = {round(span.distance, 3): span.distance for span in beside}
        return next(iter(apart.values())) if len(apart) == 1 else None

    def _about(self, group: int, beside: Sequence[MeasuredSpan], is_long: bool) -> tuple[str, ...]:
        """What the holes are, and how far apart all of a long list stand."""
        pattern = self.flange.groups()[group]
        hole = hole_text(pattern.drilling.kind, pattern.drilling.diameter, self.lengths)
        said = (f"{len(pattern.hole_centers())}{self.lengths.times}{hole}",)
        if len(pattern.hole_centers()) > MOST_NEIGHBORS:
            return (*said, self._all_neighbors(group))
        distance = self._one_neighbor(beside)
        return (*said, f"All neighbors: {self._with_limits(distance)}") if is_long and distance is not None else said

    def _with_limits(self, distance: float) -> str:
        limits = accepted(self.flange, distance, self.lengths)
        return self.lengths.decimal(distance) + (f", accept {limits}" if limits else "")

    def _all_neighbors(self, group: int) -> str:
        """What replaces a list of very many neighbors."""
        centers = self.flange.groups()[group].hole_centers()
        apart = {round(a.distance_to(b), 3) for a, b in pairwise(centers)}
        if len(apart) > 1:
            return f"The {len(centers)} neighbors: centers as in the hole list. Tick each on the plate."
        return f"All {len(centers)} neighbors: {self._with_limits(*apart)}. Tick each on the plate."


def _picture_width(labels: Sequence[str], letter: float, radius: float) -> float:
    """Printed mm that a picture takes with its holes and their numbers."""
    return 2 * (radius + 3.4 + max(text_width(label, letter) for label in labels))


def _picture(
    centers: Sequence[Point],
    labels: Sequence[str],
    found: Sequence[MeasuredSpan],
    letter: float,
    wide: float,
    radius: float,
) -> Block:
    """The holes with the number of each reading in a ring on the line that is measured."""
    box = box_around(centers)
    middle = ORIGIN if box.contains(ORIGIN) else box.center
    reach = max(middle.distance_to(at) for at in centers)
    height = 2 * radius + 8 * letter

    def draw(at: Point) -> PlacedBlock:
        center = Point(at.x + wide / 2, at.y - 4.6 * letter - radius)
        places = [center + (each - middle).scaled(radius / reach) for each in centers]
        return PlacedBlock(tuple(_picture_items(center, places, labels, found, letter)))

    return Block(wide, height, draw)


def _picture_items(
    middle: Point, places: Sequence[Point], labels: Sequence[str], found: Sequence[MeasuredSpan], letter: float
) -> Iterator[Item]:
    pitch = min((places[span.first].distance_to(places[span.last]) for span in found), default=2 * _RADIUS)
    hole = max(min(0.16 * pitch, 2.4), 0.6)
    rings = _ring_places(middle, places, found, letter)
    radius = ring_radius(letter)
    rooms = [Box(at.x, at.y, at.x, at.y).grown(radius + (0.9 if number < 0 else 0.2)) for number, at in rings.items()]
    names = list(_names(middle, places, labels, letter, hole))
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
    top = Point(middle.x, middle.y + max(middle.distance_to(at) for at in places) + hole + 2.6 * letter)
    yield Item(Layer.TEXT, Label(top, "TOP", letter * 1.4, 0.0, Anchor.CENTER), _PICTURE)


def _ring_places(
    middle: Point, places: Sequence[Point], found: Sequence[MeasuredSpan], letter: float
) -> dict[int, Point]:
    """Where the ring of each reading stands, by its number, those across negative: none over another or a hole."""
    rings: dict[int, Point] = {}
    across = [span for span in found if span.is_across]
    beside = found[len(across) :]
    for number, span in enumerate(across, 1):
        line = places[span.last] - places[span.first]
        options = [places[span.first] + line.scaled(share) for share in (0.28, 0.34, 0.22, 0.4, 0.6, 0.66, 0.72)]
        place = next((at for at in options if _is_free(at, [*rings.values()], places, letter)), None)
        rings |= {-number: place} if place else {}
    for step in _STEPS:
        own = {
            len(across) + number: _beside(middle, places[span.first], places[span.last], step > 1)
            for number, span in enumerate(beside, 1)
            if (number - 1) % step == 0
        }
        taken = [*rings.values()]
        if all(
            _is_free(at, [*taken, *(o for o in own.values() if o is not at)], places, letter) for at in own.values()
        ):
            return rings | own
    return rings


def _beside(middle: Point, first: Point, last: Point, inward: bool) -> Point:
    """The middle of a neighbor's line; a little inward where rings would cover the holes."""
    half = Point((first.x + last.x) / 2, (first.y + last.y) / 2)
    return half if not inward else half + (middle - half).scaled(5.0 / max(half.distance_to(middle), 5.0))


def _is_free(at: Point, rings: Sequence[Point], holes: Sequence[Point], letter: float) -> bool:
    radius = ring_radius(letter)
    return all(at.distance_to(other) > 2 * radius + 1.2 for other in rings) and all(
        at.distance_to(hole) > radius + 1.4 for hole in holes
    )


def _names(
    middle: Point, places: Sequence[Point], labels: Sequence[str], letter: float, hole: float
) -> Iterator[Label]:
    """The holes' numbers outside of them, every so many where they stand close."""
    pitch = min((a.distance_to(b) for a, b in pairwise(places)), default=2 * _RADIUS)
    need = max(text_width(label, letter) for label in labels) + 1.2
    step = next((step for step in _STEPS if step * pitch >= need), len(labels))
    for label, at in zip(labels, places, strict=True):
        if (int(label) - 1) % step == 0:
            turn = math.radians(middle.direction_to(at))
            half = abs(math.cos(turn)) * text_width(label, letter) / 2 + abs(math.sin(turn)) * letter * 0.75
            yield Label(polar(hole + 1.0 + half, math.degrees(turn), at), label, letter, 0.0, Anchor.MIDDLE)
