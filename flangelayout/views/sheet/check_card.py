"""The check card: what is measured at the plate, in the order of measuring, with blanks to write in and a verdict."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from flangelayout.drawing.convention import Convention
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import label_box, text_width
from flangelayout.flange import Flange, Slot
from flangelayout.geometry.shapes import ORIGIN, Box, Circle, Line, Point, box_around, polar
from flangelayout.views.page.blocks import GAP, Block, PlacedBlock, text_block
from flangelayout.views.page.broken_lines import broken
from flangelayout.views.page.forms import Form, form_block, form_width, ring_items, ring_radius, verdict_block
from flangelayout.views.words.bench.measuring import MOST_NEIGHBORS, MeasuredSpan, accepted, machined_sizes, spans
from flangelayout.views.words.holes import hole_text
from flangelayout.views.words.lengths import Lengths

AT_THE_PLATE = "AT THE PLATE"
_USE_IT, _USE_IT_AS_AGREED = "all inside: use it", "all inside what was agreed, ______: use it"
_PUT_ASIDE = "one or more out: put aside, tell: ______"
_SIGNS = ("measured by", "date")
_PICTURE = Furniture("check card")
_MOST_BESIDE = 12
"""Holes up to which a circle's list stands under its picture; longer ones stand in two columns."""
_LOW_ROW = 2.6
"""Height of a row of a long list, in heights of its letters: its numbers stand without rings."""
_RADIUS = 26.0
"""Printed, of the circle in the picture."""
_STEPS = (1, 2, 4, 5, 10, 20, 50, 100)


def card_blocks(flange: Flange, lengths: Lengths, convention: Convention, room: Box, row: float) -> list[Block]:
    """The blocks of the card, none where the plate has nothing to measure.

    Args:
        flange: What is made.
        lengths: How lengths are written; only the master unit is measured in.
        convention: The rules of the sheet.
        room: What of a page they may take.
        row: Height of a row to write in, in printed mm.
    """
    letter, lengths = convention.letter_height, replace(lengths, dual=False)
    blocks: list[Block] = []
    groups = [group for group, pattern in enumerate(flange.groups()) if spans(pattern)]
    for group in groups:
        blocks += _group_blocks(flange, group, lengths, convention, room, row, len(groups) > 1)
    sizes = tuple(machined_sizes(flange, lengths))
    if not blocks:
        return []
    wide = min((room.width - GAP) / 2, 88.0)
    rule = [text_block("", _how(flange), room.width, letter)]
    tail = [form_block(_sizes_form(sizes), letter, row, wide)] if sizes else []
    stated = flange.tolerances.chord is not None and all(limits for _, _, limits in sizes)
    verdicts = (_USE_IT if stated else _USE_IT_AS_AGREED, _PUT_ASIDE)
    return [*blocks, *rule, *tail, verdict_block(verdicts, _SIGNS, letter, wide)]


def _sizes_form(sizes: Sequence[tuple[str, str, str]]) -> Form:
    """The machined sizes, their limits where any has some."""
    if any(limits for _, _, limits in sizes):
        return Form(("also", "wanted", "accept", "measured"), tuple(sizes))
    return Form(("also", "wanted", "measured"), tuple((name, wanted) for name, wanted, _ in sizes))


def _how(flange: Flange) -> tuple[str, ...]:
    """How to measure: with the same edge of both holes, as far as they are round and alike."""
    slots = any(isinstance(group.drilling.kind, Slot) for group in flange.groups())
    edge = "Measure from a hole edge to the SAME edge of the other hole: that reading is the center distance."
    first = "Heavy rings first; if one is out, stop and measure it again before going round."
    return (("Slots: mark their middles and measure between the marks. " if slots else "") + f"{edge} {first}",)


def _group_blocks(
    flange: Flange, group: int, lengths: Lengths, convention: Convention, room: Box, row: float, several: bool
) -> Iterator[Block]:
    """One pattern: its picture and its list; under each other where several stand on a page."""
    pattern, letter = flange.groups()[group], convention.letter_height
    found = spans(pattern)
    labels = [str(hole.number) for hole in flange.holes() if hole.group == group]
    forms = _forms(flange, found, labels, lengths, room.height // (letter * _LOW_ROW) - 1)
    wide = max((room.width - GAP) / 2, *(form_width(form, letter) for form in forms))
    picture = _picture(pattern.hole_centers(), labels, found, letter, wide)
    head = text_block(flange.group_name(group).upper(), _about(flange, group, lengths), wide, letter)
    low = letter * _LOW_ROW
    lists = [form_block(form, letter, low if form.ringed is None else row, wide) for form in forms]
    stack = _stacked([head, picture] if len(labels) > 2 else [head])
    if several and len(forms) == 1 and stack.height + lists[0].height + GAP <= room.height:
        yield _stacked([stack, lists[0]])
    else:
        yield stack
        yield from lists
    if len(labels) > MOST_NEIGHBORS:
        yield text_block("", (_all_neighbors(flange, group, lengths),), room.width, letter)


def _about(flange: Flange, group: int, lengths: Lengths) -> tuple[str, ...]:
    pattern = flange.groups()[group]
    hole = hole_text(pattern.drilling.kind, pattern.drilling.diameter, lengths)
    return (f"{len(pattern.hole_centers())}{lengths.times}{hole}",)


def _all_neighbors(flange: Flange, group: int, lengths: Lengths) -> str:
    """What replaces a list of very many neighbors."""
    centers = flange.groups()[group].hole_centers()
    apart = {round(a.distance_to(b), 3) for a, b in pairwise(centers)}
    if len(apart) > 1:
        return f"The {len(centers)} neighbors: centers as in the hole list. Tick each on the plate."
    (distance,) = apart
    limits = accepted(flange, distance, lengths)
    said = f" ({limits})" if limits else ""
    return f"All {len(centers)} neighbors: {lengths.decimal(distance)}{said}. Tick each on the plate."


def _forms(
    flange: Flange, found: Sequence[MeasuredSpan], labels: Sequence[str], lengths: Lengths, most: float
) -> list[Form]:
    """The list of a pattern, or its parts that stand beside each other."""
    stated = flange.tolerances.chord is not None
    heads = ("", "holes", "centers", *(("accept",) if stated else ()), "measured")
    rows = [
        (
            str(number),
            f"{labels[span.first]} – {labels[span.last]}",
            lengths.decimal(span.distance),
            *((accepted(flange, span.distance, lengths),) if stated else ()),
        )
        for number, span in enumerate(found, 1)
    ]
    across = sum(span.is_across for span in found)
    if len(labels) <= _MOST_BESIDE:
        return [Form(heads, tuple(rows), across)]
    parts = [rows[:across]] if across else []
    beside = rows[across:]
    columns = max(2, math.ceil(len(beside) / most))
    each = max(math.ceil(len(beside) / columns), 1)
    parts += [beside[at : at + each] for at in range(0, len(beside), each)]
    ringed = [across, *([None] * len(parts))] if across else [None] * len(parts)
    return [Form(heads, tuple(part), rings) for part, rings in zip(parts, ringed, strict=False)]


def _stacked(blocks: Sequence[Block]) -> Block:
    """Blocks under each other as one."""

    def draw(at: Point) -> PlacedBlock:
        items: list[Item] = []
        low = at.y
        for block in blocks:
            items += block.draw(Point(at.x, low)).items
            low -= block.height
        return PlacedBlock(tuple(items))

    return Block(max(block.width for block in blocks), sum(block.height for block in blocks), draw)


def _picture(
    centers: Sequence[Point], labels: Sequence[str], found: Sequence[MeasuredSpan], letter: float, wide: float
) -> Block:
    """The holes with the number of each reading in a ring on the line that is measured."""
    box = box_around(centers)
    middle = ORIGIN if box.contains(ORIGIN) else box.center
    reach = max(middle.distance_to(at) for at in centers)
    height = 2 * _RADIUS + 8 * letter

    def draw(at: Point) -> PlacedBlock:
        center = Point(at.x + wide / 2, at.y - 4.6 * letter - _RADIUS)
        places = [center + (each - middle).scaled(_RADIUS / reach) for each in centers]
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
