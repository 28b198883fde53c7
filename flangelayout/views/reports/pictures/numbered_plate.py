"""Pictures of a plate with numbered readings between its holes: one of the plate, or one of each circle."""

import math
from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Drawing, Item, Label
from flangelayout.drawing.references import Furniture, HoleRef
from flangelayout.drawing.textwidth import text_width
from flangelayout.flange import Flange, Hole
from flangelayout.geometry.shapes import ORIGIN, Box, Circle, Line, Point, box_about, box_around
from flangelayout.units import counted
from flangelayout.views.page.broken_lines import broken
from flangelayout.views.page.plate_lines import metal_edges
from flangelayout.views.reports.flow import FlowedItems, FlowFigure
from flangelayout.views.reports.pictures.hole_numbers import (
    Clears,
    NumberedHole,
    apart,
    hole_numbers,
    number_reach,
    off_edges,
)

_PICTURE = 112.0
_SQUARE, _ROUND_IT, _BELOW = 78.0, 5.0, 2.5
"""Printed mm that the picture of one circle of several takes either way, what of it is left round its holes, and what
more below, where the name of the next or the caption stands."""
_TEXT, _HOLE_TEXT, _LINE = 2.5, 2.6, 4.0
_DISC, _ROUND_NUMBER = 2.5, 0.5
"""Printed radius of a disc at least, and what is left beside its number."""
_SOURCE = Furniture("reading")
_ALONG = (0.3, 0.36, 0.24, 0.42, 0.6, 0.7, 0.18, 0.8)
"""How far along it the disc of a chord may stand that is no neighbor's: the first that is clear of discs and holes."""
_ACROSS, _MOST_ACROSS, _FEW_ACROSS = 4.0, 16, 12
"""How many times the least length a chord across has; how many of them a picture shows, and of more how many."""


class NumberedChord(Struct, frozen=True):
    """A reading between two holes: its number, and whether it is to catch the eye."""

    number: int
    first: Hole
    second: Hole
    marked: bool = False


def numbered_plate(
    flange: Flange, chords: Sequence[NumberedChord], width: float, caption: str, share: float = 1.0
) -> FlowFigure:
    """The holes as seen on the named face, by label, and a numbered disc on every chord that has room for one.

    The plate where one circle is read, else each circle by itself, as large as fits: none stands in another. Where
    numbers or discs are left out for want of room, a line below the caption says so. Pictures are drawn at a ``share``
    of their size.
    """
    groups = sorted({each.first.group for each in chords}, key=lambda group: (group < 0, group))
    parts, height = _pictures(flange, groups, chords, width, share)
    holes = [hole for hole in flange.holes() if len(groups) < 2 or hole.group in groups]
    texts = (caption, *_left_out(parts, len(holes), len(chords)))
    told = tuple(_caption(Point(width / 2, -height - _LINE * row), text) for row, text in enumerate(texts))
    high = height + _LINE * (len(texts) - 1) + 1.0
    return FlowFigure(high, (*parts, FlowedItems(Drawing("caption", told), 1.0, ORIGIN)))


def _left_out(parts: Sequence[FlowedItems], holes: int, chords: int) -> Iterator[str]:
    """What had no room in the pictures, and how it is found all the same."""
    labels = [item for part in parts for item in part.drawing.items if isinstance(item.what, Label)]
    no_disc = chords - sum(item.source == _SOURCE for item in labels)
    texts = []
    if sum(isinstance(item.source, HoleRef) for item in labels) < holes:
        texts.append("count on between the numbered holes")
    if no_disc:
        texts.append(f"no room here for {counted(no_disc, 'reading')}: the list below names the holes")
    if texts:
        yield "; ".join(texts)


def _caption(at: Point, text: str) -> Item:
    return Item(Layer.TEXT, Label(at, text, _TEXT, 0.0, Anchor.CENTER), Furniture("caption"))


def _pictures(
    flange: Flange, groups: Sequence[int], chords: Sequence[NumberedChord], width: float, share: float
) -> tuple[Sequence[FlowedItems], float]:
    if len(groups) > 1:
        return _circles(flange, groups, chords, width, share * _SQUARE)
    return _plate(flange, chords, width, share)


def _plate(
    flange: Flange, chords: Sequence[NumberedChord], width: float, share: float
) -> tuple[Sequence[FlowedItems], float]:
    """The whole plate, and the printed height with room for a caption."""
    box = flange.box()
    scale = share * _PICTURE / max(box.width, box.height)
    items = (*metal_edges(flange, Layer.OUTLINE), *_read(flange.holes(), chords, scale, off_edges(flange)))
    middle = Point(width / 2 - box.center.x * scale, -box.height * scale / 2 - box.center.y * scale - 4.0)
    return [FlowedItems(Drawing("readings", items), scale, middle)], box.height * scale + 13.0


def _circles(
    flange: Flange, groups: Sequence[int], chords: Sequence[NumberedChord], width: float, square: float
) -> tuple[Sequence[FlowedItems], float]:
    """A picture of each circle, two beside each other, and the printed height with room for a caption."""
    parts = []
    for index, group in enumerate(groups):
        drawing, scale, middle_top = _circle(flange, group, chords, square)
        row, column = divmod(index, 2)
        corner = Point(width * (0.25 + 0.5 * column), -square * row)
        parts.append(FlowedItems(drawing, scale, corner - middle_top))
    return parts, square * -(-len(groups) // 2) + _TEXT


def _circle(flange: Flange, group: int, chords: Sequence[NumberedChord], square: float) -> tuple[Drawing, float, Point]:
    """The holes of a circle, or the single ones, in a square, its scale, and the printed middle of its upper edge."""
    holes = [hole for hole in flange.holes() if hole.group == group]
    box = box_around([hole.center for hole in holes]).grown(max(hole.diameter for hole in holes) / 2)
    scale = (square - 2 * _ROUND_IT - _BELOW - _TEXT) / max(box.width, box.height)
    own = [each for each in chords if each.first.group == group]
    over = Point(box.center.x, box.top + _ROUND_IT / scale)
    called = flange.group_name(group) if group >= 0 else "single holes"
    name = _caption(over, f"{called.upper()}, TOP")
    top = over.scaled(scale) + Point(0.0, _TEXT)
    clears = _below(over.y - 0.5 / scale)
    return Drawing(called, (name, *_read(holes, own, scale, clears))), scale, top


def _below(height: float) -> Clears:
    return lambda at, half: at.y + half <= height


def _read(holes: Sequence[Hole], chords: Sequence[NumberedChord], scale: float, clears: Clears) -> Iterator[Item]:
    """Every hole and its label, and the chords."""
    labels = _labels(holes, chords, scale, clears)
    for hole in holes:
        ref = HoleRef(hole.label)
        yield Item(Layer.OUTLINE, Circle(hole.center, hole.diameter / 2), ref)
        if hole.label in labels:
            yield Item(Layer.TEXT, Label(labels[hole.label], hole.label, _HOLE_TEXT, 0.0, Anchor.MIDDLE), ref)
    yield from _chords(holes, chords, labels, scale, clears)


def _labels(
    holes: Sequence[Hole], chords: Sequence[NumberedChord], scale: float, clears: Clears
) -> Mapping[str, Point]:
    """Where labels stand: in their holes, else round them; clear of the chords if they can be."""
    reaches = {hole.label: math.hypot(text_width(hole.label, _HOLE_TEXT), _HOLE_TEXT) / 2 + 0.2 for hole in holes}
    if all(hole.diameter / 2 * scale >= reaches[hole.label] for hole in holes):
        return {hole.label: hole.center for hole in holes}
    spots = [NumberedHole(hole.label, hole.center, hole.diameter / 2) for hole in holes]
    return hole_numbers(spots, _HOLE_TEXT, scale, clears, [_line(each) for each in chords])


def _line(chord: NumberedChord) -> Line:
    return Line(chord.first.center, chord.second.center)


def _chords(
    holes: Sequence[Hole], chords: Sequence[NumberedChord], labels: Mapping[str, Point], scale: float, clears: Clears
) -> Iterator[Item]:
    """Every chord that has room from edge to edge, broken for all numbers, and its own disc with its number."""
    disc = _disc(chords) / scale
    discs = _discs(holes, chords, labels, scale, clears)
    rooms = [box_about(at, disc) for at in discs.values()]
    for label, at in labels.items():
        wide, high = text_width(label, _HOLE_TEXT) / 2 + 0.3, _HOLE_TEXT / 2 + 0.3
        rooms.append(Box(at.x - wide / scale, at.y - high / scale, at.x + wide / scale, at.y + high / scale))
    for each in (chord for chord in chords if chord.number in discs):
        start, end, at = each.first.center, each.second.center, discs[each.number]
        way = (end - start).scaled(1 / start.distance_to(end))
        layer = Layer.OUTLINE if each.marked else Layer.DIMENSION
        line = Line(start + way.scaled(each.first.diameter / 2), end - way.scaled(each.second.diameter / 2))
        yield from (Item(layer, part, _SOURCE) for part in broken(line, rooms))
        yield Item(layer, Circle(at, disc), _SOURCE)
        yield Item(Layer.TEXT, Label(at, str(each.number), _TEXT, 0.0, Anchor.MIDDLE), _SOURCE)


def _thinned(chords: Sequence[NumberedChord], lengths: Mapping[int, float]) -> Sequence[NumberedChord]:
    """Those that a picture can show: of very many that go across, and need not catch the eye, some evenly apart."""
    least = min(lengths.values(), default=0.0)
    across = [each.number for each in chords if not each.marked and lengths[each.number] > _ACROSS * least]
    if len(across) <= _MOST_ACROSS:
        return chords
    shown = {across[index * len(across) // _FEW_ACROSS] for index in range(_FEW_ACROSS)}
    return [each for each in chords if each.number in shown or each.number not in across]


def _disc(chords: Sequence[NumberedChord]) -> float:
    """Printed radius of a disc that holds any of the numbers."""
    return max((_DISC, *(text_width(str(each.number), _TEXT) / 2 + _ROUND_NUMBER for each in chords)))


def _discs(
    holes: Sequence[Hole], chords: Sequence[NumberedChord], labels: Mapping[str, Point], scale: float, clears: Clears
) -> dict[int, Point]:
    """The middle of each chord's disc, by number, where it has room, those first that are to catch the eye.

    Clear of discs, holes, labels and edges; of the other chords too if it can.
    """
    disc = _disc(chords) / scale
    lines = {each.number: _line(each) for each in chords}
    lengths = {number: line.start.distance_to(line.end) for number, line in lines.items()}
    least = min(lengths.values(), default=0.0)
    taken = [(hole.center, hole.diameter / 2 + disc) for hole in holes]
    taken += [(at, number_reach(label, _HOLE_TEXT) / scale + disc) for label, at in labels.items()]
    found: dict[int, Point] = {}
    for each in sorted(_thinned(chords, lengths), key=lambda chord: not chord.marked):
        line = lines[each.number]
        if _runs_through(line, each, holes):
            continue
        shares = (0.5, *_ALONG) if lengths[each.number] < 1.05 * least else _ALONG
        places = [line.start + (line.end - line.start).scaled(share) for share in shares]
        free = [at for at in places if clears(at, disc) and all(at.distance_to(other) > far for other, far in taken)]
        if free:
            others = [other for number, other in lines.items() if number != each.number]
            off_lines = (at for at in free if all(apart(at, other) > disc for other in others))
            found[each.number] = next(off_lines, free[0])
            taken.append((found[each.number], 2.2 * disc))
    return found


def _runs_through(line: Line, chord: NumberedChord, holes: Sequence[Hole]) -> bool:
    """Whether the line of a chord runs through a hole between its ends: then no one sees of which two it is."""
    ends = (chord.first.label, chord.second.label)
    return any(apart(hole.center, line) < hole.diameter / 2 for hole in holes if hole.label not in ends)
