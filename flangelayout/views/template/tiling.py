"""Where a full-scale drawing is parted into pages: seams clear of hole centers, as few pages as possible."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from functools import cache
from itertools import chain, pairwise, product

from msgspec import Struct

from flangelayout.errors import GeometryError
from flangelayout.facts import Length, Unit
from flangelayout.geometry.shapes import Box, Line, Point
from flangelayout.problems.output import OutputProblem
from flangelayout.value import replace
from flangelayout.views.template.content_map import InkMap, inked_bins, with_ink
from flangelayout.views.template.parting import Band, InkField, Run, part
from flangelayout.views.template.seams import NO_WAY, Seam, SeamSpacing

SEAM_CLEARANCE = 5.0
"""Distance in mm from a seam to a hole center that is kept wherever a plain grid's pages allow it."""
_WORTH_JOINING = 60.0
"""Length in mm of a joint on which two marks fix a tile; a shorter one is made so long where windows allow."""
_MET = 1e-6
_LEAST_FOR_MARKS, _FIXES_LITTLE = 18.0, 40.0
"""Length in mm of a joint below which it has no two marks, or none that are needed beside those of a long one."""
_MOST_WAYS = 8
"""How often pages that join others are added before the rest is left apart."""
_MOST_JOINED = 300
"""Pages of a set beyond which none are added: no one tapes so many, and to part them takes seconds each time."""
_MARK_SHARES = tuple(share / 40 for share in (8, 7, 9, 6, 10, 5, 11, 4, 12, 13, 14, 15, 16))
"""How far from an end of a joint a join mark stands, as shares of its length."""
_SHORT = 110.0
"""Length in mm of a joint below which the first of these places, from its end on, is taken: words stand between."""
_MARK_FROM_END = 4.0
"""Least distance in mm of a join mark from an end: both pages show all of it."""
_MARK_ROOM, _MARK_ROOM_STEP = 20.0, 10.0
"""Distance in mm from a join mark to a hole center at which nobody takes one for the other; steps of less."""
_MARKS_APART = 14.0
"""Distance in mm of two join marks whose names do not meet."""
_SQUARES_AROUND = tuple(product((-1, 0, 1), repeat=2))
"""Squares so wide, round one and itself: in these are all marks that are nearer to one in it."""
_NAMED_MARK = (12.5, 4.0)
"""Half of what a join mark takes with a name to either side, in mm, square to its joint and along it."""
_OFF_HOLE = 2.0
"""Least distance in mm of a seam from the edge of a hole, where pages allow it."""
_WIDE_CLEARANCES = (20.0, 12.0, 8.0)
_NARROW_CLEARANCES = (4.5, 4.0, 3.5, 3.0, 2.5, 2.0, 1.5, 1.0)


class Tile(Struct, frozen=True):
    """One page of a template.

    Attributes:
        row: From 1 at the top, as the pages are laid out.
        column: From 1 at the left.
        of_row: Tiles in its column, or rows in all: the last number of its kind.
        of_column: Likewise.
        window: What the page shows.
        cell: What is left of it when it is trimmed along its seams.
    """

    row: int
    column: int
    of_row: int
    of_column: int
    window: Box
    cell: Box


class TileJoint(Struct, frozen=True):
    """Where two tiles meet, inside the strip that both show.

    Attributes:
        under: The tile that is kept whole there; it comes before the other in the set.
        over: The tile that is cut there and laid on it.
        trim: Where ``over`` is cut, and the line on ``under`` that the cut edge is laid to.
        marks: Two places on that line for join marks, away from hole centers where there is room for that;
            none on a joint too short for two.
    """

    under: Tile
    over: Tile
    trim: Line
    marks: tuple[Point, ...]


class Tiling(Struct, frozen=True):
    """A template's pages.

    Attributes:
        tiles: Row by row, or column by column where ``by_columns``.
        size: What each page shows, width and height in mm.
        by_columns: Whether seams run right through from top to bottom, not from left to right.
        joints: Where neighbors are trimmed and joined.
        overlap: Least width in mm of that strip.
        clearance: Least distance in mm from a seam to a hole center that was asked for.
        ink: Where the drawing has ink.
    """

    tiles: tuple[Tile, ...]
    size: tuple[float, float]
    by_columns: bool
    joints: tuple[TileJoint, ...]
    overlap: float
    clearance: float
    ink: InkMap

    @property
    def seams(self) -> tuple[Line, ...]:
        """Where two tiles meet."""
        return tuple(joint.trim for joint in self.joints)


def tile_ink(
    ink: InkMap,
    centers: Sequence[Point],
    sizes: Sequence[tuple[float, float]],
    overlap: float,
    hole_radius: float = 0.0,
) -> Tiling:
    """Pages for a drawing at real size, as few as straight seams right across allow, all joined to each other.

    Where some have no joint with the others, such as those of a hole far off by itself, blank ones lead there, in a set
    that anyone would tape.

    Args:
        ink: What is printed; cells that none of it reaches are left out but for those that join others.
        centers: Hole centers.
        sizes: Width and height in mm that a page can show, one pair for each way it can be turned; the
            first of those with the fewest pages is taken.
        overlap: Strip that neighbors share, in mm, less than any of these.
        hole_radius: Of the largest hole.
    """
    tiling = _parted_ink(ink, centers, sizes, overlap, hole_radius)
    for _ in range(_MOST_WAYS):
        ways = _ways_across(tiling) if len(tiling.tiles) <= _MOST_JOINED else []
        if not ways:
            break
        tiling = _parted_ink(with_ink(tiling.ink, ways), centers, sizes, overlap, hole_radius)
    return replace(_sparing(tiling), ink=ink)


def _sparing(tiling: Tiling) -> Tiling:
    """A tiling without join marks at joints so short that they fix nothing, where others fix the pages they join."""
    lengths = [joint.trim.start.distance_to(joint.trim.end) for joint in tiling.joints]
    pairs = list(zip(tiling.joints, lengths, strict=True))
    fixed = {joint.over for joint, length in pairs if joint.marks and length >= _WORTH_JOINING}
    spared = (
        replace(joint, marks=()) if joint.over in fixed and length < _FIXES_LITTLE else joint for joint, length in pairs
    )
    found = replace(tiling, joints=tuple(spared))
    return found if len(_joined(found)) == len(_joined(tiling)) else tiling


def _ways_across(tiling: Tiling) -> list[Line]:
    """From every group of pages that no two join marks fix to the others, a way to the nearest of these."""
    groups = _joined(tiling)
    ways: list[Line] = []
    for group in groups[1:]:
        inside, outside = ([tile for tile in tiling.tiles if (tile in group) is held] for held in (True, False))
        start, end = _nearest(inside, outside)
        one, other = start.cell.center, end.cell.center
        corner = Point(one.x, other.y) if tiling.by_columns else Point(other.x, one.y)
        ways += (Line(one, corner), Line(corner, other))
    return ways


def _joined(tiling: Tiling) -> list[set[Tile]]:
    """The groups of pages that join marks fix to each other, in the order of their last pages."""
    beside: dict[Tile, list[Tile]] = {tile: [] for tile in tiling.tiles}
    for joint in tiling.joints:
        if joint.marks:
            beside[joint.under].append(joint.over)
            beside[joint.over].append(joint.under)
    groups: list[set[Tile]] = []
    while beside:
        group, ahead = set[Tile](), [next(reversed(beside))]
        while ahead:
            tile = ahead.pop()
            group.add(tile)
            ahead += beside.pop(tile, ())
        groups.append(group)
    return groups[::-1]


def _nearest(some: Sequence[Tile], others: Sequence[Tile]) -> tuple[Tile, Tile]:
    """The first two of two sets of tiles that lie nearest to each other."""
    import numpy as np

    one, other = (
        np.array([(each.cell.left, each.cell.bottom, each.cell.right, each.cell.top) for each in tiles])
        for tiles in (some, others)
    )
    gaps = np.maximum(one[:, None, :2] - other[None, :, 2:], other[None, :, :2] - one[:, None, 2:]).clip(min=0.0)
    place = int(np.argmin(np.hypot(gaps[..., 0], gaps[..., 1])))
    return some[place // len(others)], others[place % len(others)]


def _parted_ink(
    ink: InkMap,
    centers: Sequence[Point],
    sizes: Sequence[tuple[float, float]],
    overlap: float,
    hole_radius: float,
) -> Tiling:
    """Pages for a drawing at real size, as few as straight seams right across allow.

    Seams right across are tried from left to right and from top to bottom; in each band between two of
    them the other seams stand where that band's own lines and holes want them. Seams keep
    :data:`SEAM_CLEARANCE` from hole centers, and more where that costs no page. Where that distance would
    take more pages than a plain grid without a thought for holes, it is lowered to 1 mm at least: the
    overlap still shows every center whole. Seams keep off whole holes and off the centerlines of the plate, too,
    where pages no more than those of the plain grid allow that.
    """
    ways = cache(lambda off_lines: _ways(ink, centers, sizes, overlap, (0.0,) if off_lines else ()))
    plain = min(plain_pages(ink, size, overlap) for size in sizes)
    off_holes = max(hole_radius + _OFF_HOLE, SEAM_CLEARANCE)
    wishes = dict.fromkeys((off_lines, clear) for clear in (off_holes, SEAM_CLEARANCE) for off_lines in (True, False))
    wished = (_fewest(ways(off_lines), clear, plain) for off_lines, clear in wishes)
    narrow = (_fewest(ways(False), clearance, plain) for clearance in _NARROW_CLEARANCES)
    best = next(wished)
    if best is None and _fewest(ways(False), _NARROW_CLEARANCES[-1], plain):  # else no wider clearance does either
        best = next((found for found in chain(wished, narrow) if found), None)
    best = best or _fewest(ways(False), SEAM_CLEARANCE) or _fewest(ways(False), 0.0)
    if best is None:
        raise GeometryError.of(OutputProblem.OVERLAP_TOO_WIDE, overlap=Length(overlap, Unit.MM))
    wider = (best.way.parted(wide, best.count) for wide in _WIDE_CLEARANCES if best.clearance >= SEAM_CLEARANCE)
    return next((each for each in wider if each), best).tiling(centers, ink)


def _ways(
    ink: InkMap,
    centers: Sequence[Point],
    sizes: Sequence[tuple[float, float]],
    overlap: float,
    lines: tuple[float, ...],
) -> "list[_Way]":
    """Pages turned either way and parted either way, their seams off the ``lines`` of both directions."""
    upright, level = (ink.box.bottom, ink.box.top), (ink.box.left, ink.box.right)
    by_rows = InkField(ink.marked, upright, level, tuple((at.y, at.x) for at in centers), (lines, lines))
    by_columns = InkField(ink.marked.T, level, upright, tuple((at.x, at.y) for at in centers), (lines, lines))
    return [_Way(field, size, overlap, field is by_columns) for size in sizes for field in (by_rows, by_columns)]


def plain_pages(ink: InkMap, size: tuple[float, float], overlap: float) -> int:
    """Pages of a grid that begins in the lower left corner and heeds no holes, empty ones left out."""
    rows, columns = ink.marked.shape
    across, along = ink.bin_size
    pages = 0
    for low, high in _plain_cells(ink.box.height, size[1], overlap):
        for left, right in _plain_cells(ink.box.width, size[0], overlap):
            part_rows = slice(int(low / along), min(rows, -int(-high / along // 1)))
            part_columns = slice(int(left / across), min(columns, -int(-right / across // 1)))
            pages += bool(ink.marked[part_rows, part_columns].any())
    return pages


def _plain_cells(length: float, window: float, overlap: float) -> Iterator[tuple[float, float]]:
    low, high = 0.0, window - overlap / 2
    while low < length - overlap / 2:
        last = high + overlap / 2 >= length
        yield low, length if last else high
        if last:
            return
        low, high = high, high + window - overlap


class _Way(Struct, frozen=True):
    """A page turned one way, and one of the two ways of parting: bands upward, or from left to right."""

    field: InkField
    size: tuple[float, float]
    overlap: float
    by_columns: bool

    def parted(self, clearance: float, most: int = NO_WAY) -> "_Parted | None":
        width, height = self.size
        along, across = (width, height) if self.by_columns else (height, width)
        one, other = (SeamSpacing(window, self.overlap, clearance) for window in (along, across))
        bands = part(self.field, one, other, most)
        return None if bands is None else _Parted(self, bands, clearance)


class _Parted(Struct, frozen=True):
    way: _Way
    bands: tuple[Band, ...]
    clearance: float

    @property
    def count(self) -> int:
        return sum(band.cells for band in self.bands)

    def tiling(self, centers: Sequence[Point], ink: InkMap) -> Tiling:
        tiles = tuple(self._tiles())
        way = self.way
        joints = tuple(_joints(tiles, way.by_columns, sorted(centers, key=_x), ink))
        return Tiling(tiles, way.size, way.by_columns, joints, way.overlap, self.clearance, ink)

    def _tiles(self) -> Iterator[Tile]:
        by_columns = self.way.by_columns
        used = [band for band in (self.bands if by_columns else self.bands[::-1]) if band.cells]
        for number, band in enumerate(used, 1):
            along = _Side(band.low, band.high, band.low_seam, band.high_seam)
            sides = [side for run in band.runs for side in _sides(run)]
            for rank, across in enumerate(sides[::-1] if by_columns else sides, 1):
                x, y = (along, across) if by_columns else (across, along)
                row, column, rows, columns = (
                    (rank, number, len(sides), len(used)) if by_columns else (number, rank, len(used), len(sides))
                )
                cell = Box(x.low, y.low, x.high, y.high)
                yield Tile(row, column, rows, columns, self._window(x, y), cell)

    def _window(self, x: "_Side", y: "_Side") -> Box:
        """What a page shows: its cell and every strip it shares, in the middle."""
        half, (width, height) = self.way.overlap / 2, self.way.size
        left, bottom = x.middle(half) - width / 2, y.middle(half) - height / 2
        return Box(left, bottom, left + width, bottom + height)


class _Side(Struct, frozen=True):
    """A cell's extent in one direction, and the seams at its ends."""

    low: float
    high: float
    low_seam: Seam | None
    high_seam: Seam | None

    def middle(self, half: float) -> float:
        """The middle of the cell together with the strips, ``half`` mm to either side of their middles."""
        low = self.low_seam.middle - half if self.low_seam else self.low
        high = self.high_seam.middle + half if self.high_seam else self.high
        return (low + high) / 2


def _sides(run: Run) -> list[_Side]:
    """The cells of a run along it."""
    seams = (None, *run.seams, None)
    places = (run.low, *(seam.at for seam in run.seams), run.high)
    return [_Side(*pairs, *joints) for pairs, joints in zip(pairwise(places), pairwise(seams), strict=True)]


def _fewest(ways: Sequence[_Way], clearance: float, most: int = NO_WAY) -> _Parted | None:
    """The first of the ways with the fewest pages, ``most`` at most."""
    best: _Parted | None = None
    for way in ways:
        found = way.parted(clearance, best.count - 1 if best else most)
        best = found or best
    return best


def _joints(tiles: tuple[Tile, ...], by_columns: bool, centers: Sequence[Point], ink: InkMap) -> Iterator[TileJoint]:
    """Where two cells meet; a tile that meets no other is joined along a strip that it shares with one."""
    met: set[Tile] = set()
    pairs, room = _side_by_side(tiles), _MarkRoom(centers, ink)
    for one, other in pairs:
        joint = _joint(one, other, by_columns, _MET, room)
        if joint:
            met |= {one, other}
            yield joint
    for one, other in pairs:
        joint = None if one in met and other in met else _joint(one, other, by_columns, -_WORTH_JOINING, room)
        if joint:
            yield joint


def _side_by_side(tiles: Sequence[Tile]) -> list[tuple[Tile, Tile]]:
    """Tiles of which one ends, sideways or upward, where the other begins; in their order."""
    begin: dict[tuple[bool, float], list[int]] = {}
    for number, tile in enumerate(tiles):
        for side in ((True, tile.cell.left), (False, tile.cell.bottom)):
            begin.setdefault(side, []).append(number)
    pairs = {
        (min(number, other), max(number, other))
        for number, tile in enumerate(tiles)
        for side in ((True, tile.cell.right), (False, tile.cell.top))
        for other in begin.get(side, ())
    }
    return [(tiles[one], tiles[other]) for one, other in sorted(pairs)]


def _joint(one: Tile, other: Tile, by_columns: bool, least: float, room: "_MarkRoom") -> TileJoint | None:
    """The joint of two tiles whose cells lie side by side for more than ``least`` mm."""
    a, b = one.cell, other.cell
    upright = a.right == b.left or a.left == b.right
    if not upright and a.bottom != b.top and a.top != b.bottom:
        return None
    low, high = _shared(a, b, upright)
    between_bands = upright is by_columns
    if high - low <= (least if between_bands else _MET):
        return None
    ends = _lengthened((low, high), _shared(one.window, other.window, upright)) if between_bands else (low, high)
    if upright:
        trim = _upright(a.right if a.right == b.left else a.left, ends)
    else:
        trim = _level(a.bottom if a.bottom == b.top else a.top, ends)
    return TileJoint(one, other, trim, room.marks(trim))


class _MarkRoom:
    """Where join marks stand: far from each other and from hole centers, and where nothing is drawn."""

    def __init__(self, centers: Sequence[Point], ink: InkMap) -> None:
        """None yet, among hole centers, sorted by x, and what is drawn."""
        self._centers, self._ink = centers, ink
        self._marks: dict[tuple[float, float], list[Point]] = {}

    def marks(self, strip: Line) -> tuple[Point, ...]:
        """A place in either half of a line: of some the first with room for a mark and its names, or the clearest."""
        length, upright = strip.start.distance_to(strip.end), strip.start.x == strip.end.x
        if length < _LEAST_FOR_MARKS:
            return ()
        left, right = sorted((strip.start.x, strip.end.x))
        centers = _between(self._centers, left - _MARK_ROOM, right + _MARK_ROOM)
        shares = [share for share in _MARK_SHARES if share * length >= _MARK_FROM_END]
        if length < _SHORT:
            shares.sort()
        ends = ((strip.start, strip.end), (strip.end, strip.start))
        ways = ([start + (end - start).scaled(share) for share in shares] for start, end in ends)
        return tuple(self._clearest(places, centers, upright) for places in ways)

    def _clearest(self, places: Sequence[Point], centers: Sequence[Point], upright: bool) -> Point:
        found = []
        for rank, at in enumerate(places):
            column, row = at.x // _MARKS_APART, at.y // _MARKS_APART
            near = [self._marks.get((column + across, row + up), ()) for across, up in _SQUARES_AROUND]
            apart = min([_MARKS_APART, *(at.distance_to(other) for others in near for other in others)])
            room = min((at.distance_to(center) for center in centers), default=_MARK_ROOM)
            drawn = inked_bins(self._ink, _around(at, *(_NAMED_MARK if upright else _NAMED_MARK[::-1])))
            found.append((-apart, min(room, _MARK_ROOM) // -_MARK_ROOM_STEP, drawn, rank))
            if apart >= _MARKS_APART and room >= _MARK_ROOM and not drawn:
                break
        at = places[min(found)[-1]]
        self._marks.setdefault((at.x // _MARKS_APART, at.y // _MARKS_APART), []).append(at)
        return at


def _around(at: Point, across: float, up: float | None = None) -> Box:
    up = across if up is None else up
    return Box(at.x - across, at.y - up, at.x + across, at.y + up)


def _between(centers: Sequence[Point], low: float, high: float) -> Sequence[Point]:
    """Those of some centers, sorted by x, that lie from ``low`` to ``high``."""
    return centers[bisect_left(centers, low, key=_x) : bisect_right(centers, high, key=_x)]


def _x(point: Point) -> float:
    return point.x


def _lengthened(ends: tuple[float, float], most: tuple[float, float]) -> tuple[float, float]:
    """A joint too short for its marks made longer, as far as both windows go."""
    wanted = max(_WORTH_JOINING - (ends[1] - ends[0]), 0.0) / 2
    low, high = max(ends[0] - wanted, most[0]), min(ends[1] + wanted, most[1])
    return (low, high) if low < high else most


def _shared(one: Box, other: Box, upright: bool) -> tuple[float, float]:
    if upright:
        return max(one.bottom, other.bottom), min(one.top, other.top)
    return max(one.left, other.left), min(one.right, other.right)


def _upright(x: float, ends: tuple[float, float]) -> Line:
    return Line(Point(x, ends[0]), Point(x, ends[1]))


def _level(y: float, ends: tuple[float, float]) -> Line:
    return Line(Point(ends[0], y), Point(ends[1], y))
