"""A closed path moved out or in by one distance all along, arcs staying arcs: what a kerf asks for.

Every piece is moved square to itself; outward corners get an arc round the corner. The moved pieces are cut
where they meet, and what comes nearer to the old path than the distance is dropped: the rest is the new path.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence

from msgspec import Struct

from flangelayout.errors import GeometryError
from flangelayout.facts import Length
from flangelayout.geometry.measure import Edge, piece_distance, signed_area
from flangelayout.geometry.near_pairs import BoxIndex, near_boxes
from flangelayout.geometry.pieces import (
    Piece,
    length_of,
    meetings,
    part_of,
    point_at,
    tangent_at,
)
from flangelayout.geometry.shapes import Arc, Box, Circle, Contour, Line, Point, box_around, extent
from flangelayout.problems.geometry import GeometryProblem

_NOTHING = 1e-6
"""Lengths in mm below which two places are one; a thousandth of what a table can follow."""

_TIED = 3e-6
"""Ends nearer than this in mm belong together."""

_ROUNDING = 1e-9
"""What a distance may be off by the rounding of its numbers, in mm."""

_STRAIGHT = 1e-7
"""Turns in degrees below which two pieces run on smoothly."""

_SAMPLED = (0.0, 0.25, 0.5, 0.75)
"""Shares of a piece at which it is asked how near the moved path comes."""

_SHORT = 0.01
"""What a tool may stay away from an edge in mm and count as having come to it: no table cuts finer."""

_Source = tuple[int, Piece]


def grown(shape: Edge, by: float) -> Edge:
    """The closed shape with its edge ``by`` mm further out; further in if ``by`` is negative.

    Args:
        shape: A circle, or a closed contour that does not cross itself, running either way.
        by: In mm.

    Returns:
        The same kind of shape running the same way. Every point of it is ``abs(by)`` from the old edge: outward
        corners are rounded by that much, as a round tool leaves them.

    Raises:
        GeometryError: If nothing is left, or if the edge falls apart into several because a place is too narrow.
    """
    if isinstance(shape, Circle):
        if shape.radius + by <= _NOTHING:
            raise GeometryError.of(
                GeometryProblem.CIRCLE_TOO_SMALL_TO_MOVE, radius=Length(shape.radius), by=Length(-by)
            )
        return Circle(shape.center, shape.radius + by)
    if abs(by) < _NOTHING:
        return shape
    area = signed_area(shape)
    rim = list(_valid(shape, math.copysign(by, by * area)))
    loops = [loop for loop in _loops(rim) if abs(signed_area(loop)) > abs(by) * _NOTHING]
    if len(loops) != 1 or signed_area(loops[0]) * area <= 0:
        raise _lost(len(loops), by)
    return loops[0]


def _lost(pieces: int, by: float) -> GeometryError:
    """The error of an edge that is no longer one edge when moved."""
    moved = Length(abs(by))
    if not pieces:
        closes = GeometryProblem.EDGE_CLOSES_OUTWARD if by > 0 else GeometryProblem.EDGE_CLOSES_INWARD
        return GeometryError.of(closes, by=moved)
    falls = GeometryProblem.EDGE_FALLS_APART_OUTWARD if by > 0 else GeometryProblem.EDGE_FALLS_APART_INWARD
    return GeometryError.of(falls, pieces=pieces, by=moved)


def _valid(contour: Contour, right: float) -> Iterator[_Source]:
    """The moved pieces, cut where they meet, as far as they keep their distance from the old path."""
    moved = list(_moved(contour, right))
    cuts: list[list[float]] = [[0.0, 1.0] for _ in moved]
    for one, other in near_boxes([extent(piece) for piece in moved], _NOTHING):
        for share, other_share in meetings(moved[one], moved[other]):
            cuts[one].append(share)
            cuts[other].append(other_share)
    fences = BoxIndex()
    for part in contour.parts:
        fences.add(extent(part).grown(abs(right)))
    for source, piece in enumerate(moved):
        for first, last in _spans(sorted(cuts[source]), length_of(piece)):
            middle = point_at(piece, (first + last) / 2)
            near = (contour.parts[index] for index in fences.touching(box_around((middle,))))
            if all(piece_distance(middle, part) > abs(right) - _ROUNDING for part in near):
                yield source, part_of(piece, first, last)


def _moved(contour: Contour, right: float) -> Iterator[Piece]:
    """Every piece moved to its right, and the arcs round the corners that open on that side."""
    parts = contour.parts
    for part, after in zip(parts, (*parts[1:], parts[0]), strict=True):
        piece = _moved_piece(part, right)
        if piece is not None:
            yield piece
        heading, next_heading = tangent_at(part, 1.0), tangent_at(after, 0.0)
        turn = math.degrees(
            math.atan2(
                heading.x * next_heading.y - heading.y * next_heading.x,
                heading.x * next_heading.x + heading.y * next_heading.y,
            )
        )
        if turn * right > 0 and abs(turn) > _STRAIGHT:
            start = math.degrees(math.atan2(heading.y, heading.x)) - math.copysign(90.0, right)
            yield Arc(after.start, abs(right), start, turn)


def _moved_piece(part: Piece, right: float) -> Piece | None:
    """A piece moved to its right; ``None`` for an arc that shrinks away."""
    if isinstance(part, Line):
        along = tangent_at(part, 0.0)
        step = Point(along.y, -along.x).scaled(right)
        return Line(part.start + step, part.end + step)
    radius = part.radius + math.copysign(1.0, part.sweep_deg) * right
    return Arc(part.center, radius, part.start_deg, part.sweep_deg) if radius > _NOTHING else None


def _spans(cuts: list[float], length: float) -> Iterator[tuple[float, float]]:
    """From cut to cut, those nearer to each other than nothing taken as one."""
    first = cuts[0]
    for last in cuts[1:]:
        if (last - first) * length > _NOTHING:
            yield first, last
            first = last


def _loops(rim: list[_Source]) -> Iterator[Contour]:
    """The pieces put end to end."""
    tied = _without_loose_ends(rim)
    starts = _places(piece.start for _, piece in tied)
    left = dict.fromkeys(range(len(tied)))
    while left:
        chain = [tied[_taken(left, next(iter(left)))]]
        while (after := _next(chain[-1][1].end, chain[0][1].start, tied, starts, left)) is not None:
            chain.append(tied[_taken(left, after)])
        if chain[-1][1].end.distance_to(chain[0][1].start) < _TIED:
            yield Contour(_closed_up(_joined(chain)), closed=True)


def _without_loose_ends(rim: list[_Source]) -> list[_Source]:
    """The pieces without those nothing leads to or from: slivers left at corners that hardly turn."""
    kept = rim
    while True:
        starts, ends = _places(piece.start for _, piece in kept), _places(piece.end for _, piece in kept)
        tied = [
            (source, piece)
            for source, piece in kept
            if starts.touching(_tied_to(piece.end)) and ends.touching(_tied_to(piece.start))
        ]
        if len(tied) == len(kept):
            return tied
        kept = tied


def _places(points: Iterable[Point]) -> BoxIndex:
    index = BoxIndex()
    for point in points:
        index.add(box_around((point,)))
    return index


def _tied_to(point: Point) -> Box:
    return box_around((point,)).grown(_TIED)


def _taken(left: dict[int, None], index: int) -> int:
    del left[index]
    return index


def _next(end: Point, start: Point, tied: Sequence[_Source], starts: BoxIndex, left: Mapping[int, None]) -> int | None:
    """Which piece goes on from ``end``; ``None`` where the chain is closed or nothing follows."""
    if end.distance_to(start) < _NOTHING / 10:
        return None
    follows = [index for index in starts.touching(_tied_to(end)) if index in left]
    near = min(follows, key=lambda index: end.distance_to(tied[index][1].start), default=None)
    return near if near is not None and end.distance_to(tied[near][1].start) <= end.distance_to(start) else None


def _joined(chain: list[_Source]) -> list[Piece]:
    """Pieces that were one before the cutting made one again."""
    first = next((index for index in range(len(chain)) if chain[index][0] != chain[index - 1][0]), 0)
    pieces: list[Piece] = []
    source = -1
    for index, piece in chain[first:] + chain[:first]:
        if index == source and pieces:
            pieces[-1] = _one_piece(pieces[-1], piece)
        else:
            pieces.append(piece)
        source = index
    return pieces


def _one_piece(before: Piece, after: Piece) -> Piece:
    if isinstance(before, Arc) and isinstance(after, Arc):
        return Arc(before.center, before.radius, before.start_deg, before.sweep_deg + after.sweep_deg)
    return Line(before.start, after.end)


def _closed_up(pieces: list[Piece]) -> tuple[Piece, ...]:
    """Lines made to begin and end exactly where their neighbors do."""
    out: list[Piece] = []
    for index, piece in enumerate(pieces):
        before, after = pieces[index - 1], pieces[(index + 1) % len(pieces)]
        if isinstance(piece, Line):
            out.append(Line(before.end if isinstance(before, Arc) else piece.start, after.start))
        else:
            out.append(piece)
    return tuple(out)


class Unreached(Struct, frozen=True):
    """A place of an edge that a round tool on the moved path does not come to.

    Attributes:
        at: On the edge.
        short: How far in mm the tool stays away from it.
    """

    at: Point
    short: float


def unreached(shape: Edge, path: Edge, by: float) -> tuple[Unreached, ...]:
    """Where :func:`grown` rounds corners of an edge or fills what is narrow: the places farthest off, one a corner.

    Args:
        shape: The edge as drawn.
        path: The edge moved by ``by``.
        by: In mm, as it was moved.
    """
    if isinstance(shape, Circle) or isinstance(path, Circle):
        return ()
    reach, index = abs(by), BoxIndex()
    for piece in path.parts:
        index.add(extent(piece))
    found: list[Unreached] = []
    for part in shape.parts:
        for share in _SAMPLED:
            at = point_at(part, share)
            short = _distance(at, path.parts, index, 4 * reach) - reach
            if short > _SHORT:
                found.append(Unreached(at, short))
    return tuple(_farthest(found, 2 * reach))


def _distance(at: Point, parts: Sequence[Piece], index: BoxIndex, reach: float) -> float:
    """From a place to the nearest of many pieces, those within ``reach`` looked at first."""
    near = [parts[one] for one in index.touching(box_around((at,)).grown(reach))]
    least = min((piece_distance(at, part) for part in near), default=math.inf)
    return least if least <= reach else min(piece_distance(at, part) for part in parts)


def _farthest(found: Sequence[Unreached], apart: float) -> Iterator[Unreached]:
    """The worst of places that follow each other no more than ``apart`` away."""
    worst: Unreached | None = None
    for each in found:
        if worst is not None and each.at.distance_to(worst.at) > apart:
            yield worst
            worst = each
        elif worst is None or each.short > worst.short:
            worst = each
    if worst is not None:
        yield worst
