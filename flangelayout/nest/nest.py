"""Parts laid out on plates: several ways are tried, plain rows and columns among them, and the best one is kept."""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from flangelayout.geometry.measure import Edge, is_inside
from flangelayout.geometry.shapes import Box, Point, extent
from flangelayout.nest.parts import NestPart, Placed, RoundPart, Stock, moved_edge, round_part
from flangelayout.nest.rounds import Toward, lay_discs
from flangelayout.nest.rows import lay_rows

_ROUND_WORK, _MOST_ROUND, _MANY_ROUND = 2_500, 120, 400
"""Pieces laid in all shuffled tries together, most such tries, and from how many pieces on there is one try only."""

_OUTLINE_WORK, _MOST_OUTLINE, _MANY_OUTLINE = 300, 12, 150
"""The same where outlines are not round, which takes longer."""

_ROUNDING = 1e-6


@dataclass(frozen=True, slots=True)
class Left:
    """What did not fit: index of the part, how many, and why."""

    part: int
    count: int
    reason: str


@dataclass(frozen=True, slots=True)
class Nest:
    """A finished nest.

    Attributes:
        stock: The plates.
        parts: What was to be nested.
        placed: Every piece, plate by plate, in the order of cutting: what lies in a drop before its host.
        left: What did not fit.
    """

    stock: Stock
    parts: tuple[NestPart, ...]
    placed: tuple[Placed, ...]
    left: tuple[Left, ...]

    @property
    def plates(self) -> int:
        """How many plates are used."""
        return max((each.plate for each in self.placed), default=-1) + 1

    def on_plate(self, plate: int) -> tuple[Placed, ...]:
        """The pieces of one plate in the order of cutting."""
        return tuple(each for each in self.placed if each.plate == plate)

    def outline_of(self, piece: Placed) -> Edge:
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

    def host_of(self, piece: Placed) -> Placed | None:
        """The smallest piece in an opening of which this one lies."""
        hosts = [each for each in self.on_plate(piece.plate) if each is not piece and self._lies_in(piece, each)]
        return min(hosts, key=self._width, default=None)

    def _lies_in(self, piece: Placed, host: Placed) -> bool:
        place = _a_point_of(self.outline_of(piece))
        openings = (moved_edge(edge, host.turn_deg, host.at) for edge in self.parts[host.part].openings)
        return any(is_inside(opening, place) for opening in openings if extent(opening).contains(place))

    def _width(self, piece: Placed) -> float:
        box = extent(self.outline_of(piece))
        return max(box.width, box.height)


_Piece = tuple[int, float, Point]
_Lay = Callable[[Sequence[int]], tuple[list[_Piece], list[int]]]
"""Lays pieces of the kinds given on one plate: kind, turn and place of each, and what found no place."""


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
    tries = [*_tries(useful, stock, len(order)), *rows]
    nests = [_filled(useful, stock, order, ways) for ways in (tries, rows)]
    best = min(nests, key=_cost)
    return replace(best, parts=tuple(parts), placed=tuple(_in_cutting_order(best)))


def _cost(nest: Nest) -> tuple[float, int, float]:
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


def _filled(parts: tuple[NestPart, ...], stock: Stock, order: Sequence[int], ways: Sequence[_Lay]) -> Nest:
    """Plate after plate, each laid the best way for what is left."""
    placed: list[Placed] = []
    rest = list(order)
    for plate in range(stock.most_plates):
        if not rest:
            break
        tried = [way(rest) for way in ways]
        pieces, rest = min(tried, key=lambda found: _plate_cost(parts, found[0]))
        if not pieces:
            break
        placed += [Placed(kind, plate, turn, at) for kind, turn, at in pieces]
    return Nest(stock, parts, tuple(placed), tuple(_left(parts, stock, rest)))


def _plate_cost(parts: Sequence[NestPart], pieces: Sequence[_Piece]) -> tuple[float, float]:
    metal = sum(parts[kind].area for kind, _, _ in pieces)
    right = max((parts[kind].size(turn).right + at.x for kind, turn, at in pieces), default=0.0)
    return -round(metal, 3), round(right, 3)


def _left(parts: Sequence[NestPart], stock: Stock, rest: Sequence[int]) -> Iterator[Left]:
    room = stock.room
    for kind, count in sorted(Counter(rest).items()):
        sizes = [parts[kind].size(turn) for turn in (0.0, 90.0)]
        fits = any(size.width <= room.width + _ROUNDING and size.height <= room.height + _ROUNDING for size in sizes)
        if fits:
            several = "plates are" if stock.most_plates > 1 else "plate is"
            reason = f"the {several} full; take more plates or a larger one"
        else:
            box = sizes[0]
            size, free = (f"{each.width:.1f} x {each.height:.1f} mm" for each in (box, room))
            reason = f"it is {size} and the plate has {free} inside its margin"
        yield Left(kind, count, reason)


def _rows(parts: Sequence[NestPart], stock: Stock) -> Iterator[_Lay]:
    """Rows and columns of the parts as they are and on their sides, deepest first."""
    for sideways in (False, True):
        sizes = [part.size() for part in parts]
        turns = [90.0 if sideways and box.width != box.height else 0.0 for box in sizes]
        sizes = [part.size(turn) for part, turn in zip(parts, turns, strict=True)]
        for columns in (True, False):
            yield _row_way(sizes, turns, stock, columns)


def _row_way(sizes: Sequence[Box], turns: Sequence[float], stock: Stock, columns: bool) -> _Lay:
    def lay(order: Sequence[int]) -> tuple[list[_Piece], list[int]]:
        by_depth = sorted(order, key=lambda kind: -(sizes[kind].width if columns else sizes[kind].height))
        laid, left = lay_rows(sizes, by_depth, stock.room, stock.spacing, columns)
        return [(kind, turns[kind], at) for kind, at in laid], left

    return lay


def _tries(parts: Sequence[NestPart], stock: Stock, count: int) -> Iterator[_Lay]:
    """Ways that push pieces together, in several orders: exact circles where every part is round."""
    rounds = [round_part(part) for part in parts]
    whole = [each for each in rounds if each is not None]
    keys = [_reach(part) for part in parts]
    if len(whole) == len(rounds):
        for toward, seed in _variants(min(_ROUND_WORK // max(count, 1), _MOST_ROUND), count > _MANY_ROUND):
            yield _round_way(whole, keys, stock, toward, seed)
        return
    from flangelayout.nest.outlines import Collisions, collisions_of, lay_outlines

    table = collisions_of(parts, stock.spacing)

    def outline_way(toward: Toward, seed: int, table: Collisions) -> _Lay:
        return lambda order: lay_outlines(table, _ordered(order, keys, seed), stock.room, toward)

    for toward, seed in _variants(min(_OUTLINE_WORK // max(count, 1), _MOST_OUTLINE), count > _MANY_OUTLINE):
        yield outline_way(toward, seed, table)


def _round_way(rounds: Sequence[RoundPart], keys: Sequence[float], stock: Stock, toward: Toward, seed: int) -> _Lay:
    def lay(order: Sequence[int]) -> tuple[list[_Piece], list[int]]:
        laid, left = lay_discs(rounds, _ordered(order, keys, seed), stock.room, stock.spacing, toward)
        return [(kind, 0.0, at) for kind, at in laid], left

    return lay


def _variants(shuffles: int, is_large: bool) -> Iterator[tuple[Toward, int]]:
    """Every direction in order of size, then shuffled orders; one direction only where there is very much to lay."""
    if is_large:
        yield Toward.LEFT_THEN_DOWN, 0
        return
    yield from ((toward, 0) for toward in Toward)
    directions = (Toward.LEFT_THEN_DOWN, Toward.LEFT_THEN_EDGE)
    yield from ((directions[seed % 2], seed) for seed in range(1, shuffles + 1))


def _ordered(order: Sequence[int], keys: Sequence[float], seed: int) -> list[int]:
    """Large before small; shuffled a little where ``seed`` is not 0, always in the same way for one seed."""
    from random import Random

    if not seed:
        return sorted(order, key=lambda kind: (-keys[kind], kind))
    chance = Random(seed)
    spread = 0.1 + 0.4 * (seed % 4)
    drawn = [(keys[kind] * (1 + spread * chance.random()), kind) for kind in sorted(order)]
    return [kind for _, kind in sorted(drawn, key=lambda pair: (-pair[0], pair[1]))]


def _reach(part: NestPart) -> float:
    box = part.size()
    return max(box.width, box.height)


def _in_cutting_order(nest: Nest) -> Iterator[Placed]:
    """Plate by plate; what lies deepest in drops first, small before large, then from left to right."""
    depths: dict[int, int] = {}

    def depth(piece: Placed) -> int:
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


def _a_point_of(edge: Edge) -> Point:
    from flangelayout.geometry.measure import pieces

    return pieces(edge)[0].start
