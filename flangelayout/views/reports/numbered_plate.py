"""Pictures of a plate with numbered readings between its holes: one of the plate, or one of each circle."""

import math
from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Drawing, Item, Label
from flangelayout.drawing.references import Furniture, HoleRef
from flangelayout.drawing.textwidth import text_width
from flangelayout.flange import Flange, Hole
from flangelayout.geometry.shapes import ORIGIN, Box, Circle, Line, Point, box_around, polar
from flangelayout.views.page.broken_lines import broken
from flangelayout.views.page.plate_lines import metal_edges
from flangelayout.views.page.scales import fitting_scale
from flangelayout.views.reports.flow import FlowedItems, FlowFigure

_PICTURE = 112.0
_SQUARE, _ROUND_IT = 78.0, 5.0
"""Printed mm that the picture of one circle of several takes either way, and what of it is left round its holes."""
_TEXT, _HOLE_TEXT = 2.5, 2.6
_DISC = 2.5
_SOURCE = Furniture("reading")
_ALONG = (0.3, 0.36, 0.24, 0.42, 0.6, 0.7, 0.18, 0.8)
"""How far along it the disc of a chord may stand that is no neighbor's: the first that is clear of discs and holes."""
_ROUND = (0, 30, -30, 60, -60, 90, -90, 120, -120, 150, -150, 180)
"""Degrees from outward at which a label may stand beside its hole."""


class NumberedChord(Struct, frozen=True):
    """A reading between two holes: its number, and whether it is to catch the eye."""

    number: int
    first: Hole
    second: Hole
    marked: bool = False


def numbered_plate(flange: Flange, chords: Sequence[NumberedChord], width: float, caption: str) -> FlowFigure:
    """The holes as seen on the named face, by label, and a numbered disc on every chord.

    The plate to scale where one circle is read, else each circle by itself as large as fits: none stands in another.
    """
    groups = sorted({each.first.group for each in chords})
    parts, height = _circles(flange, groups, chords, width) if len(groups) > 1 else _plate(flange, chords, width)
    at = Point(width / 2, -height)
    told = Item(Layer.TEXT, Label(at, caption, _TEXT, 0.0, Anchor.CENTER), Furniture("caption"))
    return FlowFigure(height + 1.0, (*parts, FlowedItems(Drawing("caption", (told,)), 1.0, ORIGIN)))


def _plate(flange: Flange, chords: Sequence[NumberedChord], width: float) -> tuple[Sequence[FlowedItems], float]:
    """The whole plate, and the printed height with room for a caption."""
    box = flange.box()
    scale = fitting_scale(max(box.width, box.height), _PICTURE)
    holes = flange.holes()
    labels = _labels(holes, chords, scale, flange)
    items = (*metal_edges(flange, Layer.OUTLINE), *_holes(holes, labels), *_chords(holes, chords, labels, scale))
    middle = Point(width / 2 - box.center.x * scale, -box.height * scale / 2 - box.center.y * scale - 1.0)
    return [FlowedItems(Drawing("readings", items), scale, middle)], box.height * scale + 6.0


def _circles(
    flange: Flange, groups: Sequence[int], chords: Sequence[NumberedChord], width: float
) -> tuple[Sequence[FlowedItems], float]:
    """A picture of each circle, two beside each other, and the printed height with room for a caption."""
    parts = []
    for index, group in enumerate(groups):
        drawing, scale, middle_top = _circle(flange, group, chords)
        row, column = divmod(index, 2)
        corner = Point(width * (0.25 + 0.5 * column), -_SQUARE * row)
        parts.append(FlowedItems(drawing, scale, corner - middle_top))
    return parts, _SQUARE * -(-len(groups) // 2) + _TEXT


def _circle(flange: Flange, group: int, chords: Sequence[NumberedChord]) -> tuple[Drawing, float, Point]:
    """The holes of one circle in a square, its scale, and what is in the middle of the upper edge, printed."""
    holes = [hole for hole in flange.holes() if hole.group == group]
    box = box_around([hole.center for hole in holes]).grown(max(hole.diameter for hole in holes) / 2)
    scale = (_SQUARE - 2 * _ROUND_IT - _TEXT) / max(box.width, box.height)
    own = [each for each in chords if each.first.group == group]
    labels = _labels(holes, own, scale)
    over = Point(box.center.x, box.top + _ROUND_IT / scale)
    name = Label(over, f"{flange.group_name(group).upper()}, TOP", _TEXT, 0.0, Anchor.CENTER)
    items = (
        Item(Layer.TEXT, name, Furniture("caption")),
        *_holes(holes, labels),
        *_chords(holes, own, labels, scale),
    )
    return Drawing(flange.group_name(group), items), scale, over.scaled(scale) + Point(0.0, _TEXT)


def _holes(holes: Sequence[Hole], labels: Mapping[str, Point]) -> Iterator[Item]:
    """Every hole and its label."""
    for hole in holes:
        ref = HoleRef(hole.label)
        yield Item(Layer.OUTLINE, Circle(hole.center, hole.diameter / 2), ref)
        yield Item(Layer.TEXT, Label(labels[hole.label], hole.label, _HOLE_TEXT, 0.0, Anchor.MIDDLE), ref)


def _labels(
    holes: Sequence[Hole], chords: Sequence[NumberedChord], scale: float, plate: Flange | None = None
) -> dict[str, Point]:
    """Where each label stands: in its hole, else round it, clear of holes and labels, and of chords if it can.

    Outward comes first, then as near to it as there is room; clear of the edges of the plate where that is drawn.
    """
    lines = [(each.first.center, each.second.center) for each in chords]
    taken = [(hole.center, hole.diameter / 2) for hole in holes]
    found: dict[str, Point] = {}
    for hole in holes:
        half = _half(hole.label) / scale
        if hole.diameter / 2 * scale >= math.hypot(text_width(hole.label, _HOLE_TEXT), _HOLE_TEXT) / 2 + 0.2:
            found[hole.label] = hole.center
            continue
        outward, reach = ORIGIN.direction_to(hole.center), hole.diameter / 2 + half + 0.3 / scale
        places = [polar(reach, outward + turn, hole.center) for turn in _ROUND]
        free = [at for at in places if _clears(plate, at, half, taken)]
        off_lines = [at for at in free if all(_apart(at, *line) >= 1.5 / scale for line in lines)]
        found[hole.label] = next(iter((*off_lines, *free, *places)))
        taken.append((found[hole.label], half))
    return found


def _half(label: str) -> float:
    """Half of what a label takes on paper."""
    return max(text_width(label, _HOLE_TEXT), _HOLE_TEXT) / 2 + 0.2


def _clears(plate: Flange | None, at: Point, half: float, taken: Sequence[tuple[Point, float]]) -> bool:
    clear = all(at.distance_to(other) >= half + radius - 1e-9 for other, radius in taken)
    return clear and (plate is None or abs(plate.edge_distance(at)) >= half)


def _apart(at: Point, start: Point, end: Point) -> float:
    """How far a point is from a chord."""
    way, to = end - start, at - start
    share = min(max((to.x * way.x + to.y * way.y) / (way.x * way.x + way.y * way.y), 0.0), 1.0)
    return at.distance_to(start + way.scaled(share))


def _chords(
    holes: Sequence[Hole], chords: Sequence[NumberedChord], labels: Mapping[str, Point], scale: float
) -> Iterator[Item]:
    """Every chord from edge to edge, broken for all discs, and its own disc with its number."""
    disc = _DISC / scale
    discs = _discs(holes, chords, labels, scale)
    rooms = [Box(at.x, at.y, at.x, at.y).grown(disc) for at in discs]
    for each, at in zip(chords, discs, strict=True):
        start, end = each.first.center, each.second.center
        way = (end - start).scaled(1 / start.distance_to(end))
        layer = Layer.OUTLINE if each.marked else Layer.DIMENSION
        line = Line(start + way.scaled(each.first.diameter / 2), end - way.scaled(each.second.diameter / 2))
        yield from (Item(layer, part, _SOURCE) for part in broken(line, rooms))
        yield Item(layer, Circle(at, disc), _SOURCE)
        yield Item(Layer.TEXT, Label(at, str(each.number), _TEXT, 0.0, Anchor.MIDDLE), _SOURCE)


def _discs(
    holes: Sequence[Hole], chords: Sequence[NumberedChord], labels: Mapping[str, Point], scale: float
) -> list[Point]:
    """The middle of each chord's disc: clear of discs, holes and labels, of the other chords too if it can."""
    disc = _DISC / scale
    lines = [(each.first.center, each.second.center) for each in chords]
    least = min((start.distance_to(end) for start, end in lines), default=0.0)
    taken = [(hole.center, hole.diameter / 2 + disc) for hole in holes]
    taken += [(at, _half(label) / scale + disc) for label, at in labels.items()]
    found: list[Point] = []
    for start, end in lines:
        shares = (0.5, *_ALONG) if start.distance_to(end) < 1.05 * least else _ALONG
        places = [start + (end - start).scaled(share) for share in shares]
        free = [at for at in places if all(at.distance_to(other) > far for other, far in taken)]
        others = [line for line in lines if line != (start, end)]
        off_lines = (at for at in free if all(_apart(at, *line) > disc for line in others))
        found.append(next(off_lines, free[0] if free else places[0]))
        taken.append((found[-1], 2.2 * disc))
    return found
