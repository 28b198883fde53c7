"""The marks of the parts on the picture of a nest, each on the metal of its part, and the way to its TOP."""

from collections.abc import Iterator, Sequence
from itertools import product
from typing import TYPE_CHECKING

from msgspec import Struct

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import label_box, text_width
from flangelayout.geometry.contours import turned_point
from flangelayout.geometry.near_pairs import BoxIndex
from flangelayout.geometry.shapes import Box, Circle, Line, Point, box_about, box_around, box_of_all, extent
from flangelayout.nest import Nest
from flangelayout.value import replace
from flangelayout.views.cut.nested import NestPiece, marked

if TYPE_CHECKING:
    import shapely

_TOP_ARROWS = {0.0: "", 90.0: "←", 180.0: "↓", 270.0: "→"}
"""At the mark of a part, by its turn counter-clockwise in degrees."""
_LARGEST_MARK, _LEAST_MARK = 3.0, 2.5
_MARK_CLEAR = (0.8, 0.4, 0.1)
"""Printed mm from a mark to the edge of the metal: the first that can be."""
_OFF_PART, _MOST_STEPS = 1.0, 25
"""Printed mm from a part to a mark beside it, by which it goes on, and how often it does."""
_REMNANT_WORDS = 25.0
"""Printed mm about the middle of the remnant that its words take, at the most."""
_PLACES = 48
"""Along and across a part that its mark may stand at, if it cannot at its widest spot."""


def part_marks(nest: Nest, pieces: Sequence[NestPiece], plate: int, scale: float) -> Iterator[Item]:
    """The mark of every piece, with the way to its TOP: on its metal, about its widest spot, or in its empty bore.

    Of pieces that are smaller than their marks these stand beside them, at the end of a line.
    """
    here = nest.on_plate(plate)
    metals = {kind: _metal(pieces[kind]) for kind in {placed.part for placed in here}}
    spots = {kind: _spot(metal) for kind, metal in metals.items()}
    hosts = {nest.host_of(placed) for placed in nest.placed}
    free: _FreePlate | None = None
    for mark, placed in marked(nest):
        if placed.plate != plate:
            continue
        said, spot = mark + _TOP_ARROWS[placed.turn_deg], spots[placed.part]
        diagonal = (text_width(said, 1.0) ** 2 + 1.0) ** 0.5
        if 2 * spot.radius * scale < _LEAST_MARK * diagonal and placed not in hosts:
            bores = [each for each in pieces[placed.part].part.openings if isinstance(each, Circle)]
            spot = max((spot, *bores), key=lambda each: each.radius)
        height = min(max(2 * spot.radius * scale * 0.8 / diagonal, _LEAST_MARK), _LARGEST_MARK)
        words = _MarkWords(mark, said.removeprefix(mark), height, placed.turn_deg, scale)
        metal = metals[placed.part] if spot is spots[placed.part] else None
        found = words.on_metal(metal, spot.center) if metal else ()
        if not found and 2 * spot.radius * scale < height * diagonal:
            free = free or _FreePlate(nest, plate, scale)
            if beside := free.beside(said, height, extent(nest.outline_of(placed))):
                yield from (Item(Layer.TEXT, what, Furniture("part mark")) for what in beside)
                continue
        for label, own in found or words.at(spot.center):
            at = turned_point(own, placed.turn_deg) + placed.at
            yield Item(Layer.TEXT, replace(label, at=label.at + at), Furniture("part mark"))


class _FreePlate:
    """What of a plate neither parts nor marks beside them take."""

    def __init__(self, nest: Nest, plate: int, scale: float) -> None:
        """No mark stands there yet."""
        stock, used = nest.stock, nest.used_length(plate)
        self._whole, self._scale, self._taken = Box(0.0, 0.0, stock.length, stock.width), scale, BoxIndex()
        for placed in nest.on_plate(plate):
            self._taken.add(extent(nest.outline_of(placed)))
        self._taken.add(Box(used, 0.0, used, stock.width))
        middle = Point((used + stock.length) / 2, stock.width / 2)
        self._taken.add(box_about(middle, _REMNANT_WORDS / scale))

    def beside(self, said: str, height: float, part: Box) -> "tuple[Label, Line] | None":
        """A mark near a part, and a line from it to the part's edge; nothing where no place near is free."""
        wide, high = text_width(said, height) / 2 / self._scale, height / 2 / self._scale
        off = _OFF_PART / self._scale
        for step in range(_MOST_STEPS):
            aside, over = part.width / 2 + wide + off * (1 + step), part.height / 2 + high + off * (1 + step)
            for way in (Point(aside, 0.0), Point(-aside, 0.0), Point(0.0, over), Point(0.0, -over)):
                at = part.center + way
                box = Box(at.x - wide, at.y - high, at.x + wide, at.y + high)
                if self._is_free(box.grown(_MARK_CLEAR[1] / self._scale)):
                    self._taken.add(box)
                    return Label(at, said, height, 0.0, Anchor.MIDDLE), _between(box, part, way)
        return None

    def _is_free(self, box: Box) -> bool:
        whole = self._whole
        inside = whole.left < box.left and box.right < whole.right and whole.bottom < box.bottom and box.top < whole.top
        return inside and not self._taken.touching(box)


def _between(box: Box, part: Box, way: Point) -> Line:
    """From the edge of a word to that of a part, which stands level with it or over or under it."""
    across, up = (side > 0) - (side < 0) if (side := way.x) else 0, (side > 0) - (side < 0) if (side := way.y) else 0
    near = part.center + Point(across * part.width / 2, up * part.height / 2)
    far = box.center - Point(across * box.width / 2, up * box.height / 2)
    return Line(far, near)


class _MarkWords(Struct, frozen=True):
    """The mark of a piece and the arrow to its TOP, if it is turned, in printed mm high, and the turn in degrees."""

    mark: str
    arrow: str
    height: float
    turn_deg: float
    scale: float

    def at(self, place: Point) -> "_PlacedWords":
        """Mark and arrow beside each other at a place of the part, as it is before it is turned."""
        return ((self._label(self.mark + self.arrow), place),)

    def on_metal(self, metal: "shapely.Geometry", wish: Point) -> "_PlacedWords":
        """Beside or below each other, or apart, on metal, as near to a place as they can; nothing where they cannot."""
        beside, below = (
            (self._label(self.mark + self.arrow),),
            (self._label(self.mark, 0.6), self._label(self.arrow, -0.6)),
        )
        ways = (beside, below) if self.arrow else (beside,)
        for clear in _MARK_CLEAR:
            rooms = [self._room(way).grown(clear / self.scale) for way in ways]
            if found := _on_metal(metal, rooms, wish):
                way, place = found
                return tuple((label, place) for label in ways[way])
        return self._apart(metal, wish)

    def _apart(self, metal: "shapely.Geometry", wish: Point) -> "_PlacedWords":
        """The mark, and the arrow as near to it as it can stand on metal; nothing where one of them cannot."""
        placed: list[tuple[Label, Point]] = []
        for text in filter(None, (self.mark, self.arrow)):
            label = self._label(text)
            room = self._room((label,))
            found = _on_metal(metal, [room], placed[-1][1] if placed else wish)
            if found is None:
                return ()
            placed.append((label, found[1]))
            metal = _without(metal, room, found[1])
        return tuple(placed)

    def _label(self, text: str, up: float = 0.0) -> Label:
        return Label(Point(0.0, up * self.height / self.scale), text, self.height, 0.0, Anchor.MIDDLE)

    def _room(self, labels: Sequence[Label]) -> Box:
        """What words take about the place they stand at, as the part sees it before it is turned."""
        corners = box_of_all([label_box(label, self.scale) for label in labels]).corners
        return box_around([turned_point(corner, -self.turn_deg) for corner in corners])


_PlacedWords = tuple[tuple[Label, Point], ...]
"""Words about the place of the part at which each stands."""


def _without(metal: "shapely.Geometry", room: Box, at: Point) -> "shapely.Geometry":
    """Metal less what a room at a place takes of it."""
    import shapely

    taken = shapely.box(at.x + room.left, at.y + room.bottom, at.x + room.right, at.y + room.top)
    return shapely.difference(metal, taken)


def _on_metal(metal: "shapely.Geometry", rooms: Sequence[Box], wish: Point) -> tuple[int, Point] | None:
    """Which of some rooms stands on the metal of a part, and where: as near to a place as one of them can."""
    import numpy as np
    import shapely

    left, bottom, right, top = metal.bounds
    grid = product(np.linspace(left, right, _PLACES), np.linspace(bottom, top, _PLACES))
    places = np.array([(wish.x, wish.y), *grid])
    away = np.hypot(*(places - places[0]).T)
    shapely.prepare(metal)
    found = []
    for index, room in enumerate(rooms):
        x, y = places.T
        boxes = shapely.box(x + room.left, y + room.bottom, x + room.right, y + room.top)
        (serving,) = shapely.covers(metal, boxes).nonzero()
        if serving.size:
            best = serving[away[serving].argmin()]
            found.append((float(away[best]), index, Point(*places[best].tolist())))
    return min(found)[1:] if found else None


def _metal(piece: NestPiece) -> "shapely.Geometry":
    """A part without its openings."""
    import shapely

    from flangelayout.nest.polygons import polygon

    holes = [polygon(each, holds_edge=True) for each in piece.part.openings]
    return shapely.difference(polygon(piece.part.outline, holds_edge=False), shapely.union_all(holes))


def _spot(metal: "shapely.Geometry") -> Circle:
    """The largest circle on the metal of a part."""
    import shapely

    radius = shapely.maximum_inscribed_circle(metal, tolerance=0.5)
    (x, y), _ = shapely.get_coordinates(radius).tolist()
    return Circle(Point(x, y), radius.length)
