"""One strip: its holes whole, their rays with the distances from bore and rim, and the diamonds of its seams."""

import math
from collections.abc import Iterator, Sequence
from itertools import product

from msgspec import Struct

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label
from flangelayout.drawing.references import Furniture, GroupRef, OpeningRef, OutlineRef
from flangelayout.drawing.textwidth import text_width
from flangelayout.flange import Hole
from flangelayout.flange.sector import Sector
from flangelayout.geometry.shapes import ORIGIN, Arc, Line, Point, box_about, polar
from flangelayout.units import Unit, decimal_text
from flangelayout.views.template.drawing import hole_lines
from flangelayout.views.template.edges.join_marks import HALF_MARK, join_mark
from flangelayout.views.template.hole_labels import LabelRoom, PlateWords, cross_past, piece_words
from flangelayout.views.template.strips.parted import StripSeam
from flangelayout.views.template.strips.words import StripRoom

_TEXT = 2.5
_ASIDE = 2.5
"""From a ray to the middle of a figure along it, in mm."""
_ALONG = (0.0, -0.2, 0.2, -0.4, 0.4, -0.6, 0.6, -0.8, 0.8, -1.0, 1.0)
"""Where along its part of a ray a figure stands: of what there is to either side of the middle."""
_NAME_OUT, _NAME_ASIDE = (
    (5.0, -5.0, 4.0, -4.0, 6.0, -6.0, 3.0, -3.0, 7.0, -7.0, 8.0, -8.0),
    (1.2, 2.0, 3.0, 4.2),
)
"""How far in mm the name of a diamond stands from it along the seam, and beside the seam."""
_NAME_BESIDE = tuple((out, aside) for aside in (3.8, 5.0) for out in (0.0, 1.2, -1.2, 2.4, -2.4))
"""Likewise where it has no room there."""
_NAME_FAR = tuple((out, aside) for aside in (1.2, 2.0, 3.0, 4.2) for out in (10.0, -10.0, 12.0, -12.0, 14.0, -14.0))
"""Likewise where it has none near."""
_RAY_PAST_HOLE = 5.0
_TOP_MARK, _TOP_HEIGHT = 14.0, 3.5
_OFF_RAY = 1.0
"""From a ray to a figure square to it, in mm."""
_SAME = 1e-6
TO_RIM = Furniture("distance to the rim")
"""What a figure is that tells how far a hole is from the rim."""


class StripBand(Struct, frozen=True):
    """What the strips show: between two radii, in mm."""

    inner: float
    outer: float

    def size(self, half_deg: float, overlap: float) -> tuple[float, float]:
        """Width and height of a strip that reaches so far to either side of straight up."""
        half = math.radians(half_deg)
        over = overlap / 2
        sides = over * math.sin(half)
        return 2 * (self.outer * math.sin(half) + over), self.outer - self.inner * math.cos(half) + sides


class DrawnStrip(Struct, frozen=True):
    """A strip as it is drawn.

    Attributes:
        piece: What of the ring it is.
        seams: On its right and on its left.
        band: How much of it is shown.
        overlap: How far in mm its lines run on beyond both seams together.
        unit: Of its figures.
    """

    piece: Sector
    seams: tuple[StripSeam, StripSeam]
    band: StripBand
    overlap: float
    unit: Unit

    def items(self) -> Iterator[Item]:
        """Its lines, then its words where these leave room."""
        piece, flange = self.piece, self.piece.flange
        labels = {hole.label for seam in self.seams for hole in seam.cut}
        shown = [hole for hole in flange.shown_holes() if hole.label in labels or hole in piece.holes]
        yield from self._round_lines()
        yield from hole_lines(flange, shown)
        yield from (
            Item(Layer.TEMPLATE_RAYS, line, Furniture("ray")) for hole in piece.holes for line in self._ray(hole)
        )
        for turn, seam in self._turns():
            line = Line(polar(self.band.inner, turn), polar(self.band.outer, turn))
            yield Item(Layer.TRIM, line, Furniture("trim line"))
            for _, radius in seam.diamonds:
                yield join_mark(polar(radius, turn), min(self.overlap * 0.42, HALF_MARK), turn)
        yield from self._words(shown)

    @property
    def metal(self) -> tuple[float, float]:
        """Where the metal that is shown begins and ends, from the middle of the plate in mm."""
        flange = self.piece.flange
        return max((flange.bore or 0.0) / 2, self.band.inner), min(flange.box().width / 2, self.band.outer)

    def _turns(self) -> tuple[tuple[float, StripSeam], tuple[float, StripSeam]]:
        """The directions of both seams on the page, the right one first."""
        right, left = self.seams
        return (90.0 - self.piece.half_deg, right), (90.0 + self.piece.half_deg, left)

    def _round_lines(self) -> Iterator[Item]:
        flange = self.piece.flange
        rim, bore = flange.box().width / 2, (flange.bore or 0.0) / 2
        for radius, edge in ((rim, OutlineRef()), (bore, OpeningRef(0))):
            if self.band.inner <= radius <= self.band.outer:
                yield Item(Layer.TEMPLATE_EDGES, self._arc(radius), edge)
        for group, circle in flange.shown_circles():
            yield Item(Layer.TEMPLATE_RAYS, self._arc(circle.diameter / 2), GroupRef(group))

    def _arc(self, radius: float) -> Arc:
        past = math.degrees(self.overlap / 2 / radius)
        return Arc(ORIGIN, radius, 90.0 - self.piece.half_deg - past, self.piece.span_deg + 2 * past)

    def _words(self, shown: Sequence[Hole]) -> Iterator[Item]:
        """TOP, the names of diamonds and holes, then figures; names of diamonds first where that costs no other."""
        named = self._named(shown, marks_first=False)
        if named[0]:
            named = min(named, self._named(shown, marks_first=True), key=lambda way: way[0])
        _, room, items = named
        yield from items
        for hole in self.piece.holes:
            yield from self._figures(hole, room)

    def _named(self, shown: Sequence[Hole], *, marks_first: bool) -> tuple[int, StripRoom, list[Item]]:
        """TOP, names of diamonds and holes: how many words are lacking or stand on lines, the room that is left."""
        room = self._room(shown)
        items = [*self._top(room)]
        crossing, names = self._mark_names(room) if marks_first else (0, [])
        holes = self._hole_words(room)
        if not marks_first:
            crossing, names = self._mark_names(room)
        lacking = len(self.piece.holes) - sum(each.has_size for each in holes) + crossing
        items += [item for each in holes for item in each.items()]
        items += [Item(Layer.TEXT, label, Furniture("join mark")) for label in names]
        return lacking, room, items

    def _room(self, shown: Sequence[Hole]) -> StripRoom:
        """The free metal, its lines taken."""
        circles = [circle.diameter / 2 for _, circle in self.piece.flange.shown_circles()]
        room = StripRoom(self.piece.half_deg, self.metal, circles, self._rays)
        for hole in shown:
            room.take_hole(hole, cross_past(self.piece.flange, hole))
        for at in self._marks():
            room.take_diamond(at)
        return room

    @property
    def _rays(self) -> tuple[float, ...]:
        return tuple(hole.angle for hole in self.piece.holes)

    def _marks(self) -> list[Point]:
        """The middles of the diamonds of both seams."""
        return [polar(radius, turn) for turn, seam in self._turns() for _, radius in seam.diamonds]

    def _hole_words(self, room: StripRoom) -> tuple[PlateWords, ...]:
        """Numbers and sizes of the holes, clear of what stands there."""
        boxes = (*(box_about(at, HALF_MARK) for at in self._marks()), *room.boxes())
        rays = tuple((hole.angle, self._sides(hole)[-1][1]) for hole in self.piece.holes)
        labels = LabelRoom(seams=boxes, rays=rays, half_deg=self.piece.half_deg, band=self.metal)
        words = piece_words(self.piece.flange, self.piece.holes, self.unit, labels)
        for each in words:
            room.take(each.box)
        return words

    def _mark_names(self, room: StripRoom) -> tuple[int, list[Label]]:
        """The names of the diamonds of both seams, on the strip beside their line; how many of them stand on lines."""
        crossing, names = 0, []
        for (turn, seam), outward in zip(self._turns(), (1.0, -1.0), strict=True):
            radii = [radius for _, radius in seam.diamonds]
            for name, radius in seam.diamonds:
                near, own = [polar(each, turn) for each in radii], polar(radius, turn)
                ways = _beside(name, radius, turn, outward)
                labels = [label for label in ways if min(near, key=label.at.distance_to) == own]
                free = room.first_free(labels)
                crossing += free is None
                names.append(free or room.least_harm(labels))
        return crossing, names

    def _ray(self, hole: Hole) -> Iterator[Line]:
        """The ray of a hole from the bore to a rim that is shown, open at holes."""
        for low, high in self._sides(hole):
            for start, end in self._open_pieces(low, high, hole.angle):
                yield Line(polar(start, hole.angle), polar(end, hole.angle))

    def _sides(self, hole: Hole) -> list[tuple[float, float]]:
        """From where to where the ray of a hole runs: to the bore, and to a rim that is shown."""
        at, rim = ORIGIN.distance_to(hole.center), self.piece.flange.box().width / 2
        to_bore = max((self.piece.flange.bore or 0.0) / 2, self.band.inner), at
        return [to_bore, (at, rim)] if self.band.outer >= rim else [to_bore]

    def _figures(self, hole: Hole, room: StripRoom) -> Iterator[Item]:
        """Along the ray of a hole its distance from the bore and from a rim that is shown, where there is room.

        Of two holes on one ray both figures have the numbers of their holes, or the nearer one alone has a figure.
        """
        at, flange = ORIGIN.distance_to(hole.center), self.piece.flange
        beside = [
            ORIGIN.distance_to(other.center)
            for other in self.piece.holes
            if other is not hole and _on_one_ray(hole, other)
        ]
        told = (
            (at - (flange.bore or 0.0) / 2, _ASIDE, min(beside, default=at) < at),
            (flange.box().width / 2 - at, -_ASIDE, max(beside, default=at) > at),
        )
        sources = Furniture("distance"), TO_RIM
        for (low, high), (distance, aside, is_second), source in zip(self._sides(hole), told, sources, strict=False):
            figure = decimal_text(distance, self.unit)
            said = [*([f"{hole.label}: {figure}"] if beside else []), *([] if is_second else [figure])]
            pieces = sorted(self._open_pieces(low, high, hole.angle), key=lambda piece: piece[0] - piece[1])
            labels = (
                label
                for beside_it, text, piece in product((_along_ray, _across_ray), said, pieces)
                for label in beside_it(text, piece, hole.angle, aside)
            )
            if label := room.first_free(labels, hole.angle):
                yield Item(Layer.TEXT, label, source)

    def _open_pieces(self, low: float, high: float, turn: float) -> list[tuple[float, float]]:
        """The pieces of a ray between two radii that stay clear of every hole and its cross."""
        taken: list[tuple[float, float]] = []
        for hole in self.piece.holes:
            radius = hole.diameter / 2
            clear = radius + min(_RAY_PAST_HOLE, radius + 1.0)
            off = math.radians(hole.angle - turn)
            along, beside = (ORIGIN.distance_to(hole.center) * share for share in (math.cos(off), abs(math.sin(off))))
            if beside < clear:
                half = math.sqrt(clear**2 - beside**2)
                taken.append((along - half, along + half))
        pieces, start = [], low
        for begin, end in (*sorted(taken), (high, high)):
            if min(begin, high) - start >= 1.0:
                pieces.append((start, min(begin, high)))
            start = max(start, end)
        return pieces

    def _top(self, room: StripRoom) -> Iterator[Item]:
        """A line where the top of the plate is, and TOP beside it on the strip, where the strip has more room."""
        piece, off = self.piece, from_top(self.piece)
        if not has_top(piece):
            return
        (inner, outer), turn = self.metal, 90.0 - off
        radii = [circle.diameter / 2 for _, circle in piece.flange.shown_circles()]
        is_out = outer - max(radii) >= min(radii) - inner
        ends = {True: (outer - _TOP_MARK, outer), False: (inner, inner + _TOP_MARK)}
        at_seam = abs(off) > piece.half_deg - _SAME
        to_left = off > 0 if at_seam else is_out  # in a strip it stands on the side that has no figures
        aside = text_width("TOP", _TOP_HEIGHT) / 2 + 1.5
        sides = (aside, -aside) if to_left else (-aside, aside)
        ways = {
            Label(polar(side, turn + 90.0, polar(at, turn)), "TOP", _TOP_HEIGHT, turn - 90.0, Anchor.MIDDLE): end
            for end in (ends[is_out], ends[not is_out])
            for at, side in product((end[0] + share * _TOP_MARK for share in (0.7, 0.5, 0.85, 0.3)), sides)
        }
        label = room.first_free(ways, turn) or room.least_harm(ways)
        low, high = ways[label]
        yield Item(Layer.TEXT, Line(polar(low, turn), polar(high, turn)), Furniture("top"))
        yield Item(Layer.TEXT, label, Furniture("top"))


def _beside(name: str, radius: float, turn: float, outward: float) -> Iterator[Label]:
    """The name of a diamond on a seam, beside this on the strip; along the seam where it is too narrow there."""
    inward = turn + 90.0 * outward
    across = math.radians(inward)
    half = abs(math.cos(across)) * text_width(name, _TEXT) / 2 + abs(math.sin(across)) * _TEXT / 2
    near = (*((out, aside) for aside, out in product(_NAME_ASIDE, _NAME_OUT)), *_NAME_BESIDE)
    upright = [
        Label(polar(aside + half, inward, polar(radius + out, turn)), name, _TEXT, 0.0, Anchor.MIDDLE)
        for out, aside in (*near, *_NAME_FAR)
    ]
    past, upward = HALF_MARK + 1.0 + text_width(name, _TEXT) / 2, (turn + 45.0) % 180.0 - 45.0
    along = (
        Label(polar(aside + _TEXT / 2, inward, polar(radius + out, turn)), name, _TEXT, upward, Anchor.MIDDLE)
        for out, aside in product((past, -past, past + 2.0, -past - 2.0), _NAME_ASIDE)
    )
    yield from (*upright[: len(near)], *along, *upright[len(near) :])


def _along_ray(text: str, piece: tuple[float, float], turn: float, aside: float) -> Iterator[Label]:
    """A figure along a piece of a ray, beside it: rather on one side, in the middle; none on too short a piece."""
    (start, end), room = piece, text_width(text, _TEXT) + 1.0
    upward, spare = (turn + 45.0) % 180.0 - 45.0, (end - start - room) / 2
    if spare > 0:
        for way, side in product(_ALONG, (aside, -aside)):
            at = polar(side, turn + 90.0, polar((start + end) / 2 + way * spare, turn))
            yield Label(at, text, _TEXT, upward, Anchor.MIDDLE)


def _across_ray(text: str, piece: tuple[float, float], turn: float, aside: float) -> Iterator[Label]:
    """A figure square to a piece of a ray too short for it, beside its middle: rather on one side."""
    off, middle = math.copysign(text_width(text, _TEXT) / 2 + _OFF_RAY, aside), (piece[0] + piece[1]) / 2
    for side in (off, -off):
        yield Label(polar(side, turn + 90.0, polar(middle, turn)), text, _TEXT, turn - 90.0, Anchor.MIDDLE)


def _on_one_ray(hole: Hole, other: Hole) -> bool:
    """Whether the figures on the rays of two holes would stand on each other."""
    apart = math.radians((hole.angle - other.angle + 180.0) % 360.0 - 180.0)
    return abs(apart) * ORIGIN.distance_to(hole.center) < 2 * _ASIDE


def from_top(piece: Sector) -> float:
    """How many degrees counter-clockwise of the top of the plate the middle of a strip is, from -180 on."""
    return (piece.start_deg + piece.half_deg - 90.0 + 180.0) % 360.0 - 180.0


def has_top(piece: Sector) -> bool:
    """Whether the top of the plate is on a strip, or at an end of it."""
    return abs(from_top(piece)) <= piece.half_deg + _SAME
