"""Whether closed and open paths of one file keep off each other and off themselves."""

from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

from flangelayout.geometry.measure import Edge, is_inside, pieces
from flangelayout.geometry.near_pairs import near_boxes
from flangelayout.geometry.pieces import Piece, meetings, point_at
from flangelayout.geometry.shapes import Circle, Line, Point, extent

Path = Edge | Line
"""What a cutter follows: a closed edge, or a straight cut."""

_SAME_END = 2e-3
"""Distance in mm from the end two neighboring pieces share within which they may meet: tangent ones run so close."""

_TOUCH = 1e-6
"""Distance in mm below which two pieces touch."""


class Clash(Struct, frozen=True):
    """Two paths that cross, touch, run along each other or lie in each other, or one that meets itself.

    Attributes:
        one: Index of the first path.
        other: Index of the other; the same where a path meets itself.
        at: A place where they meet.
    """

    one: int
    other: int
    at: Point


def clashes(paths: Sequence[Path], families: Sequence[int]) -> Iterator[Clash]:
    """Every pair of paths that share a place, and every path that meets itself.

    The pieces are sorted into squares, so the work grows with the number of pieces and of those that lie close.

    Args:
        paths: Closed or straight.
        families: Of each path; a closed path may not lie inside another of its family (a hole in a hole).

    Yields:
        Each pair once, with the first place found.
    """
    near = list(near_boxes([extent(path) for path in paths], _TOUCH))
    doubtful = {index for index, path in enumerate(paths) if not isinstance(path, Circle)}
    doubtful.update(index for pair in near if not _are_clear(paths, *pair) for index in pair)
    owners: list[tuple[int, int, Piece]] = [
        (index, place, piece) for index in sorted(doubtful) for place, piece in enumerate(_pieces(paths[index]))
    ]
    told: set[tuple[int, int]] = set()
    for first, second in near_boxes([extent(piece) for _, _, piece in owners], _TOUCH):
        (one, place, piece), (other, other_place, other_piece) = owners[first], owners[second]
        if (one, other) in told or _are_clear(paths, one, other):
            continue
        if one == other:
            count = len(_pieces(paths[one]))
            at = _folded(piece, other_piece, (other_place - place) % count == 1, (place - other_place) % count == 1)
        else:
            at = next((point_at(piece, share) for share, _ in meetings(piece, other_piece)), None)
        if at is not None:
            told.add((one, other))
            yield Clash(one, other, at)
    yield from _nested(paths, families, near, told)


def _are_clear(paths: Sequence[Path], first: int, second: int) -> bool:
    """Whether two circles lie beside or within each other for sure, or are one: most pairs of any plate."""
    one, other = paths[first], paths[second]
    if not (isinstance(one, Circle) and isinstance(other, Circle)):
        return False
    away = one.center.distance_to(other.center)
    return first == second or not (
        abs(one.radius - other.radius) - _TOUCH <= away <= one.radius + other.radius + _TOUCH
    )


def _pieces(path: Path) -> tuple[Piece, ...]:
    return (path,) if isinstance(path, Line) else pieces(path)


def _folded(one: Piece, other: Piece, follows: bool, leads: bool) -> Point | None:
    """Where two pieces of one path meet beside the end that neighbors share; ``None`` where they do not."""
    shared = [*([one.end] if follows else []), *([one.start] if leads else [])]
    for share, _ in meetings(one, other):
        at = point_at(one, share)
        if all(at.distance_to(end) > _SAME_END for end in shared):
            return at
    return None


def _nested(
    paths: Sequence[Path], families: Sequence[int], near: Iterable[tuple[int, int]], told: set[tuple[int, int]]
) -> Iterator[Clash]:
    """Closed paths that lie whole in another of their family, of those that are near each other."""
    for one, other in sorted((pair for pair in near if _are_kin(families, *pair)), key=lambda pair: families[pair[0]]):
        for inner, outer in ((one, other), (other, one)):
            edge = paths[outer]
            if isinstance(edge, Line) or isinstance(paths[inner], Line) or (one, other) in told:
                continue
            start = _pieces(paths[inner])[0].start
            if is_inside(edge, start):
                told.add((one, other))
                yield Clash(one, other, start)


def _are_kin(families: Sequence[int], one: int, other: int) -> bool:
    return families[one] == families[other]
