"""A picture of a plate with numbered readings between its holes."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Drawing, Item, Label
from flangelayout.drawing.references import Furniture, HoleRef
from flangelayout.flange import Flange, Hole
from flangelayout.geometry.shapes import ORIGIN, Circle, Line, Point, polar
from flangelayout.views.page.plate_lines import metal_edges
from flangelayout.views.page.scales import fitting_scale
from flangelayout.views.reports.flow import FlowedItems, FlowFigure

_PICTURE = 112.0
_TEXT, _HOLE_TEXT = 2.0, 2.6
_DISC = 2.1
_SOURCE = Furniture("reading")
_ALONG = (0.3, 0.36, 0.24, 0.42, 0.6, 0.7, 0.18, 0.8)
"""How far along it the disc of a chord may stand that is no neighbor's: the first that is clear of discs and holes."""


@dataclass(frozen=True, slots=True)
class NumberedChord:
    """A reading between two holes: its number, and whether it is to catch the eye."""

    number: int
    first: Hole
    second: Hole
    marked: bool = False


def numbered_plate(flange: Flange, chords: Sequence[NumberedChord], width: float, caption: str) -> FlowFigure:
    """The plate as seen on its named face, its holes by label, a numbered disc on every chord."""
    box = flange.box()
    scale = fitting_scale(max(box.width, box.height), _PICTURE)
    items = (*metal_edges(flange, Layer.OUTLINE), *_holes(flange, scale), *_chords(flange, chords, scale))
    height = box.height * scale + 6.0
    middle = Point(width / 2 - box.center.x * scale, -box.height * scale / 2 - box.center.y * scale - 1.0)
    told = Item(Layer.TEXT, Label(Point(width / 2, -height), caption, _TEXT, 0.0, Anchor.CENTER), Furniture("caption"))
    parts = (
        FlowedItems(Drawing("readings", items), scale, middle),
        FlowedItems(Drawing("caption", (told,)), 1.0, ORIGIN),
    )
    return FlowFigure(height + 1.0, parts)


def _holes(flange: Flange, scale: float) -> Iterator[Item]:
    """Every hole, its label in it where there is room, else outward of it."""
    for hole in flange.holes():
        ref = HoleRef(hole.label)
        yield Item(Layer.OUTLINE, Circle(hole.center, hole.diameter / 2), ref)
        room = hole.diameter * scale
        at = hole.center
        if room < 1.2 * _HOLE_TEXT * max(len(hole.label), 1):
            at = polar(hole.diameter / 2 + 2.2 / scale, ORIGIN.direction_to(hole.center), hole.center)
        yield Item(Layer.TEXT, Label(at, hole.label, _HOLE_TEXT, 0.0, Anchor.MIDDLE), ref)


def _chords(flange: Flange, chords: Sequence[NumberedChord], scale: float) -> Iterator[Item]:
    disc = _DISC / scale
    least = min((each.first.center.distance_to(each.second.center) for each in chords), default=0.0)
    taken = [(hole.center, hole.diameter / 2 + disc) for hole in flange.holes()]
    for each in chords:
        start, end = each.first.center, each.second.center
        length = start.distance_to(end)
        way = (end - start).scaled(1 / length)
        share = 0.5 if length < 1.05 * least else _share(start, way.scaled(length), taken)
        at = start + way.scaled(length * share)
        taken.append((at, 2.2 * disc))
        layer = Layer.OUTLINE if each.marked else Layer.DIMENSION
        begin, stop = start + way.scaled(each.first.diameter / 2), end - way.scaled(each.second.diameter / 2)
        for a, b in ((begin, at - way.scaled(disc)), (at + way.scaled(disc), stop)):
            if (b - a).x * way.x + (b - a).y * way.y > 0:
                yield Item(layer, Line(a, b), _SOURCE)
        yield Item(layer, Circle(at, disc), _SOURCE)
        yield Item(Layer.TEXT, Label(at, str(each.number), _TEXT, 0.0, Anchor.MIDDLE), _SOURCE)


def _share(start: Point, step: Point, taken: Sequence[tuple[Point, float]]) -> float:
    """How far along a chord its disc stands."""
    clear = (share for share in _ALONG if all((start + step.scaled(share)).distance_to(at) > far for at, far in taken))
    return next(clear, _ALONG[0])
