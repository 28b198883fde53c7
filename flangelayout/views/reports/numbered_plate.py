"""A picture of a plate with numbered readings between its holes."""

from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Drawing, Item, Label
from flangelayout.drawing.references import Furniture, HoleRef
from flangelayout.drawing.textwidth import text_width
from flangelayout.flange import Flange, Hole
from flangelayout.geometry.shapes import ORIGIN, Circle, Line, Point, polar
from flangelayout.views.page.plate_lines import metal_edges
from flangelayout.views.page.scales import fitting_scale
from flangelayout.views.reports.flow import FlowedItems, FlowFigure

_PICTURE = 112.0
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
    """The plate as seen on its named face, its holes by label, a numbered disc on every chord."""
    box = flange.box()
    scale = fitting_scale(max(box.width, box.height), _PICTURE)
    labels = _labels(flange, chords, scale)
    items = (*metal_edges(flange, Layer.OUTLINE), *_holes(flange, labels), *_chords(flange, chords, labels, scale))
    height = box.height * scale + 6.0
    middle = Point(width / 2 - box.center.x * scale, -box.height * scale / 2 - box.center.y * scale - 1.0)
    told = Item(Layer.TEXT, Label(Point(width / 2, -height), caption, _TEXT, 0.0, Anchor.CENTER), Furniture("caption"))
    parts = (
        FlowedItems(Drawing("readings", items), scale, middle),
        FlowedItems(Drawing("caption", (told,)), 1.0, ORIGIN),
    )
    return FlowFigure(height + 1.0, parts)


def _holes(flange: Flange, labels: Mapping[str, Point]) -> Iterator[Item]:
    """Every hole and its label."""
    for hole in flange.holes():
        ref = HoleRef(hole.label)
        yield Item(Layer.OUTLINE, Circle(hole.center, hole.diameter / 2), ref)
        yield Item(Layer.TEXT, Label(labels[hole.label], hole.label, _HOLE_TEXT, 0.0, Anchor.MIDDLE), ref)


def _labels(flange: Flange, chords: Sequence[NumberedChord], scale: float) -> dict[str, Point]:
    """Where each label stands: in its hole, else round it, clear of holes, labels and the rim, and of chords if it can.

    Outward comes first, then as near to it as there is room.
    """
    holes, lines = flange.holes(), [(each.first.center, each.second.center) for each in chords]
    taken = [(hole.center, hole.diameter / 2) for hole in holes]
    found: dict[str, Point] = {}
    for hole in holes:
        half = _half(hole.label) / scale
        if hole.diameter / 2 >= half:
            found[hole.label] = hole.center
            continue
        outward, reach = ORIGIN.direction_to(hole.center), hole.diameter / 2 + half + 0.3 / scale
        places = [polar(reach, outward + turn, hole.center) for turn in _ROUND]
        free = [at for at in places if _clears(flange, at, half, taken)]
        off_lines = [at for at in free if all(_apart(at, *line) >= 1.5 / scale for line in lines)]
        found[hole.label] = next(iter((*off_lines, *free, *places)))
        taken.append((found[hole.label], half))
    return found


def _half(label: str) -> float:
    """Half of what a label takes on paper."""
    return max(text_width(label, _HOLE_TEXT), _HOLE_TEXT) / 2 + 0.2


def _clears(flange: Flange, at: Point, half: float, taken: Sequence[tuple[Point, float]]) -> bool:
    clear = all(at.distance_to(other) >= half + radius - 1e-9 for other, radius in taken)
    return clear and abs(flange.edge_distance(at)) >= half


def _apart(at: Point, start: Point, end: Point) -> float:
    """How far a point is from a chord."""
    way, to = end - start, at - start
    share = min(max((to.x * way.x + to.y * way.y) / (way.x * way.x + way.y * way.y), 0.0), 1.0)
    return at.distance_to(start + way.scaled(share))


def _chords(
    flange: Flange, chords: Sequence[NumberedChord], labels: Mapping[str, Point], scale: float
) -> Iterator[Item]:
    disc = _DISC / scale
    least = min((each.first.center.distance_to(each.second.center) for each in chords), default=0.0)
    taken = [(hole.center, hole.diameter / 2 + disc) for hole in flange.holes()]
    taken += [(at, _half(label) / scale + disc) for label, at in labels.items()]
    for each in chords:
        start, end = each.first.center, each.second.center
        length = start.distance_to(end)
        way = (end - start).scaled(1 / length)
        shares = (0.5, *_ALONG) if length < 1.05 * least else _ALONG
        share = _share(start, way.scaled(length), taken, shares)
        at = start + way.scaled(length * share)
        taken.append((at, 2.2 * disc))
        layer = Layer.OUTLINE if each.marked else Layer.DIMENSION
        begin, stop = start + way.scaled(each.first.diameter / 2), end - way.scaled(each.second.diameter / 2)
        for a, b in ((begin, at - way.scaled(disc)), (at + way.scaled(disc), stop)):
            if (b - a).x * way.x + (b - a).y * way.y > 0:
                yield Item(layer, Line(a, b), _SOURCE)
        yield Item(layer, Circle(at, disc), _SOURCE)
        yield Item(Layer.TEXT, Label(at, str(each.number), _TEXT, 0.0, Anchor.MIDDLE), _SOURCE)


def _share(start: Point, step: Point, taken: Sequence[tuple[Point, float]], shares: Sequence[float]) -> float:
    """How far along a chord its disc stands: the first share that is clear."""
    clear = (share for share in shares if all((start + step.scaled(share)).distance_to(at) > far for at, far in taken))
    return next(clear, shares[0])
