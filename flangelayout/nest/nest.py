"""Parts laid out on plates: several ways are tried, plain rows and columns among them, and the best one is kept."""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from flangelayout.geometry.contours import turned_point
from flangelayout.geometry.measure import Edge, is_inside, pieces
from flangelayout.geometry.shapes import Box, Point, extent
from flangelayout.nest.parts import TURNS, NestPart, PlacedPiece, Stock, moved_edge, round_part
from flangelayout.nest.rounds import Toward, lay_discs
from flangelayout.nest.rows import lay_rows
from flangelayout.value import replace

if TYPE_CHECKING:
    from random import Random

_ROUND_WORK, _MOST_ROUND = 12_000, 600
"""Pieces laid in all tries of one plate together, and most tries; a fixed count, so that every run does the same."""

_OUTLINE_WORK, _MOST_OUTLINE = 1_000, 60
"""The same where outlines are not round, which takes longer."""

_AS_BEFORE = 12
"""How often a try pushes pieces the way the best one did, for once in each of the ways there are."""

_ROUNDING = 1e-6


class Left(Struct, frozen=True):
    """What did not fit: index of the part, how many, and whether it is larger than a plate or the plates are full."""

    part: int
    count: int
    is_too_large: bool


class Nest(Struct, frozen=True):
    """A finished nest.

    Attributes:
        stock: The plates.
        parts: What was to be nested.
        placed: Every piece, plate by plate, in the order of cutting: what lies in a drop before its host.
        left: What did not fit.
    """

    stock: Stock
    parts: tuple[NestPart, ...]
    placed: tuple[PlacedPiece, ...]
    left: tuple[Left, ...]

    @property
    def plates(self) -> int:
        """How many plates are used."""
        return max((each.plate for each in self.placed), default=-1) + 1

    def on_plate(self, plate: int) -> tuple[PlacedPiece, ...]:
        """The pieces of one plate in the order of cutting."""
        return tuple(each for each in self.placed if each.plate == plate)

    def outline_of(self, piece: PlacedPiece) -> Edge:
        """A piece's outer contour where it lies."""
        return moved_edge(self.parts[piece.part].outline, piece.turn_deg, piece.at)

    def used_length(self, plate: int) -> float:
        """Length of a plate up to a straight cut beyond the last piece, in mm; the rest is a remnant."""
        rights = [self.parts[each.part].size(each.turn_deg).right + each.at.x for each in self.on_plate(plate)]
        return min(max(rights, default=0.0) + self.stock.margin, self.stock.length)

    def metal(self, plate: int | None = None) -> float:
        """Area of the parts on a plate, or on all, in square mm."""
        return sum(self.parts[each.part].area for each in self.placed if plate in (None, each.plate))

    @property
    def yield_share(self) -> float:
        """Metal in parts for metal used, 0 to 1; the remnant of the last plate does not count as used."""
        if not self.placed:
            return 0.0
        last = self.plates - 1
        used = last * self.stock.length + self.used_length(last)
        return self.metal() / (used * self.stock.width)

    def host_of(self, piece: PlacedPiece) -> PlacedPiece | None:
        """The smallest piece in an opening of which this one lies."""
        spot = turned_point(pieces(self.parts[piece.part].outline)[0].start, piece.turn_deg) + piece.at
        hosts = [each for each in self.on_plate(piece.plate) if each is not piece and self._has_in_drop(each, spot)]
        return min(hosts, key=self._width, default=None)

    def _has_in_drop(self, host: PlacedPiece, spot: Point) -> bool:
        """Whether a place on the plate lies in an opening of a piece; asked on the part as it was drawn."""
        place = turned_point(spot - host.at, -host.turn_deg)
        openings = self.parts[host.part].openings
        return any(is_inside(opening, place) for opening in openings if extent(opening).contains(place))

    def _width(self, piece: PlacedPiece) -> float:
        box = extent(self.outline_of(piece))
        return max(box.width, box.height)


_Piece = tuple[int, float, Point]
_Laid = tuple[list[_Piece], list[int]]
"""Kind, turn and place of each piece on one plate, and the kinds of those that found no place."""

_Lay = Callable[[Sequence[int]], _Laid]
"""Lays pieces of the kinds given."""

_Cost = Callable[[Sequence[_Piece]], tuple[float, float]]
"""What a plate so laid costs: less the more metal is on it, and then the shorter it is."""

_Push = Callable[[Sequence[int], Toward], _Laid]
"""Lays pieces in the order given, each pushed as far as it goes."""


def nest_parts(parts: Sequence[NestPart], stock: Stock) -> Nest:
    """The best layout found.

    The same parts and stock give the same layout. It never takes more plate than rows and columns do.

    Args:
        parts: Every kind with its quantity.
        stock: The plates.

    Returns:
        Most metal placed first, then fewest plates, then the longest remnant.
    """
    useful = tuple(replace(part, openings=tuple(_useful(part, parts, stock.spacing))) for part in parts)
    order = [kind for kind, part in enumerate(parts) for _ in range(part.quantity)]
    rows = list(_rows(useful, stock))
    cost = _cost_of(useful)
    together = _pushed_together(useful, stock, cost, len(order))
    nests = [_filled(useful, stock, order, cost, ways) for ways in ([together, *rows], rows)]
    best = min(nests, key=_nest_cost)
    return replace(best, parts=tuple(parts), placed=tuple(_in_cutting_order(best)))


def _nest_cost(nest: Nest) -> tuple[float, int, float]:
    last = nest.plates - 1
    return -round(nest.metal(), 3), nest.plates, round(nest.used_length(last), 3) if nest.placed else 0.0


def _useful(part: NestPart, parts: Sequence[NestPart], spacing: float) -> Iterator[Edge]:
    """The openings of a part that the smallest part might lie in."""
    sizes = [extent(each.outline) for each in parts]
    for opening in part.openings:
        box = extent(opening)
        low, high = (each - 2 * spacing for each in sorted((box.width, box.height)))
        if any(min(size.width, size.height) <= low and max(size.width, size.height) <= high * 1.5 for size in sizes):
            yield opening


def _filled(parts: tuple[NestPart, ...], stock: Stock, order: Sequence[int], cost: _Cost, ways: Sequence[_Lay]) -> Nest:
    """Plate after plate, each laid the best way for what is left."""
    placed: list[PlacedPiece] = []
    rest = list(order)
    for plate in range(stock.most_plates):
        if not rest:
            break
        tried = [way(rest) for way in ways]
        laid, rest = min(tried, key=lambda found: cost(found[0]))
        if not laid:
            break
        placed += [PlacedPiece(kind, plate, turn, at) for kind, turn, at in laid]
    return Nest(stock, parts, tuple(placed), tuple(_left(parts, stock, rest)))


def _cost_of(parts: Sequence[NestPart]) -> _Cost:
    rights = {(kind, turn): part.size(turn).right for kind, part in enumerate(parts) for turn in TURNS}

    def cost(laid: Sequence[_Piece]) -> tuple[float, float]:
        metal = sum(parts[kind].area for kind, _, _ in laid)
        right = max((rights[kind, turn] + at.x for kind, turn, at in laid), default=0.0)
        return -round(metal, 3), round(right, 3)

    return cost


def _left(parts: Sequence[NestPart], stock: Stock, rest: Sequence[int]) -> Iterator[Left]:
    room = stock.room
    for kind, count in sorted(Counter(rest).items()):
        sizes = [parts[kind].size(turn) for turn in (0.0, 90.0)]
        fits = any(size.width <= room.width + _ROUNDING and size.height <= room.height + _ROUNDING for size in sizes)
        yield Left(kind, count, not fits)


def _rows(parts: Sequence[NestPart], stock: Stock) -> Iterator[_Lay]:
    """Rows and columns of the parts as they are and on their sides, deepest first."""
    for sideways in (False, True):
        sizes = [part.size() for part in parts]
        turns = [90.0 if sideways and box.width != box.height else 0.0 for box in sizes]
        sizes = [part.size(turn) for part, turn in zip(parts, turns, strict=True)]
        for columns in (True, False):
            yield _row_way(sizes, turns, stock, columns)


def _row_way(sizes: Sequence[Box], turns: Sequence[float], stock: Stock, columns: bool) -> _Lay:
    def lay(order: Sequence[int]) -> _Laid:
        by_depth = sorted(order, key=lambda kind: -(sizes[kind].width if columns else sizes[kind].height))
        laid, left = lay_rows(sizes, by_depth, stock.room, stock.spacing, columns)
        return [(kind, turns[kind], at) for kind, at in laid], left

    return lay


def _pushed_together(parts: Sequence[NestPart], stock: Stock, cost: _Cost, count: int) -> _Lay:
    """Pieces pushed together in the best order found: exact circles where every part is round."""
    keys = [_reach(part) for part in parts]
    rounds = [each for part in parts if (each := round_part(part))]
    if len(rounds) == len(parts):

        def push_discs(order: Sequence[int], toward: Toward) -> _Laid:
            laid, left = lay_discs(rounds, order, stock.room, stock.spacing, toward)
            return [(kind, 0.0, at) for kind, at in laid], left

        return _searched(keys, cost, push_discs, min(_ROUND_WORK // max(count, 1), _MOST_ROUND))
    from flangelayout.nest.outlines import collisions_of, lay_outlines

    table = collisions_of(parts, stock.spacing)

    def push_outlines(order: Sequence[int], toward: Toward) -> _Laid:
        return lay_outlines(table, order, stock.room, toward)

    return _searched(keys, cost, push_outlines, min(_OUTLINE_WORK // max(count, 1), _MOST_OUTLINE))


def _searched(keys: Sequence[float], cost: _Cost, push: _Push, tries: int) -> _Lay:
    """Lays large before small, then moves one piece at a time elsewhere in the order and keeps what is no worse.

    Of equally good layouts the first one stays: large before small leaves the least beside the drops.
    """
    from random import Random

    def lay(order: Sequence[int]) -> _Laid:
        chance = Random(len(order))
        kept = sorted(order, key=lambda kind: (-keys[kind], kind))
        ways = list(Toward) if tries > len(Toward) else [Toward.LEFT_THEN_DOWN]
        tried = {way: push(kept, way) for way in ways}
        toward = min(tried, key=lambda way: cost(tried[way][0]))
        best, least = tried[toward], cost(tried[toward][0])
        for _ in range(tries - len(ways)):
            moved, way = _changed(kept, chance), chance.choice((*ways, *[toward] * _AS_BEFORE))
            found = push(moved, way)
            reached = cost(found[0])
            if reached <= least:
                kept, toward = moved, way
            if reached < least:
                best, least = found, reached
        return best

    return lay


def _changed(order: Sequence[int], chance: "Random") -> list[int]:
    """The order with two pieces swapped, or one put elsewhere."""
    changed = list(order)
    one, other = chance.randrange(len(changed)), chance.randrange(len(changed))
    if chance.random() < 0.5:
        changed[one], changed[other] = changed[other], changed[one]
    else:
        changed.insert(other, changed.pop(one))
    return changed


def _reach(part: NestPart) -> float:
    box = part.size()
    return max(box.width, box.height)


def _in_cutting_order(nest: Nest) -> Iterator[PlacedPiece]:
    """Plate by plate; what lies deepest in drops first, small before large, then from left to right."""
    depths: dict[int, int] = {}

    def depth(piece: PlacedPiece) -> int:
        host = nest.host_of(piece)
        return 0 if host is None else 1 + depth(host)

    for index, piece in enumerate(nest.placed):
        depths[index] = depth(piece)
    order = sorted(
        range(len(nest.placed)),
        key=lambda index: (
            nest.placed[index].plate,
            -depths[index],
            round(_reach(nest.parts[nest.placed[index].part]), 3),
            round(nest.placed[index].at.x, 3),
            round(nest.placed[index].at.y, 3),
        ),
    )
    yield from (nest.placed[index] for index in order)
