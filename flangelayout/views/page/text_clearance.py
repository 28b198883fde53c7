"""What already stands on a drawing, and whether a further thing would cross a text: how views place their words.

Everything is kept in printed mm. Lines may cross lines; nothing may cross a text, and no two texts may meet.
"""

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from msgspec import Struct, field

from flangelayout.drawing.explode import Primitive, exploded
from flangelayout.drawing.model import Item, Label, Mosaic, Solid
from flangelayout.drawing.textwidth import label_corners
from flangelayout.geometry.shapes import Arc, Circle, Contour, Line, Point, polar

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]

CLEAR = 0.55
"""Printed mm that a text keeps from everything else."""
_HALF_LINE = 0.125
"""Printed mm: half of a narrow line's width."""
_CHORD_DEG = 4.0
_ALONG = 1e-12
"""Printed mm of a step that comes no nearer to a side."""

Segment = tuple[float, float, float, float]
Ring = tuple[float, float, float]
Corners = tuple[tuple[float, float], ...]
_Room = tuple[float, float, float, float]


class Ink:
    """Strokes and texts on a drawing, to be asked before something is added."""

    def __init__(self, scale: float) -> None:
        """Nothing yet; ``scale`` is printed mm for a mm of the items that come."""
        self.scale = scale
        self._new = _Strokes()
        self._strokes: _Arrays | None = None
        self._texts: list[Corners] = []
        self._rooms: list[_Room] = []

    def copy(self) -> "Ink":
        """The same, to try things on."""
        other = Ink(self.scale)
        other._strokes = self._all_strokes()
        other._texts, other._rooms = [*self._texts], [*self._rooms]
        return other

    def add(self, items: Iterable[Item]) -> None:
        """Take in what is drawn."""
        self._add(*_split(exploded(items, self.scale), self.scale))

    def _add(self, strokes: "_Strokes", texts: list[Corners]) -> None:
        self._new.segments += strokes.segments
        self._new.rings += strokes.rings
        self._texts += texts
        self._rooms += map(_box, texts)

    def add_disc(self, center: Point, radius: float) -> None:
        """Take in a round place that no text may stand in, in mm of the items."""
        self._new.discs.append((center.x * self.scale, center.y * self.scale, radius * self.scale))

    def takes(self, items: Iterable[Item]) -> bool:
        """Take things in if no text is crossed by that, theirs or one that is there; whether they were."""
        strokes, texts = _split(exploded(items, self.scale), self.scale)
        if not self._is_clear_of(strokes, texts):
            return False
        self._add(strokes, texts)
        return True

    def is_clear_of(self, items: Iterable[Item]) -> bool:
        """Whether no text would be crossed by things, theirs or one that is there; they are not taken in."""
        return self._is_clear_of(*_split(exploded(items, self.scale), self.scale))

    def _is_clear_of(self, strokes: "_Strokes", texts: list[Corners]) -> bool:
        if any(self.meets(corners) for corners in texts):
            return False
        room = strokes.room()
        near = self._texts_near(room) if room else []
        if not near:
            return True
        return not any(_met_by(grown(corners), strokes) for corners in near)

    def meets(self, corners: Corners) -> bool:
        """Whether a text with these corners would meet anything."""
        wide = grown(corners)
        return self._has_text_in(wide) or _met(wide, self._all_strokes())

    def is_near(self, line: Line, half: float = _HALF_LINE) -> bool:
        """Whether a line, in mm of the items, would meet anything or come nearer to it than a text may.

        Args:
            line: It.
            half: Half of its width in printed mm.
        """
        aside = polar(half / self.scale, line.start.direction_to(line.end) + 90.0)
        corners = (line.start - aside, line.end - aside, line.end + aside, line.start + aside)
        return self.meets(tuple((corner.x * self.scale, corner.y * self.scale) for corner in corners))

    def has_text_near(self, corners: Corners, by: float) -> bool:
        """Whether a text stands within ``by`` printed mm of one with these corners."""
        return self._has_text_in(grown(corners, by))

    def _has_text_in(self, wide: Corners) -> bool:
        return any(_polygons_meet(wide, other) for other in self._texts_near(_box(wide)))

    def _texts_near(self, room: _Room) -> list[Corners]:
        """The texts whose upright boxes come near a room."""
        apart = 2 * CLEAR
        least_x, least_y, most_x, most_y = room[0] - apart, room[1] - apart, room[2] + apart, room[3] + apart
        return [
            text
            for text, (left, bottom, right, top) in zip(self._texts, self._rooms, strict=True)
            if left < most_x and right > least_x and bottom < most_y and top > least_y
        ]

    def _all_strokes(self) -> "_Arrays":
        if self._strokes is None or self._new.any():
            fresh = _arrays(self._new)
            self._strokes = fresh if self._strokes is None else self._strokes.with_more(fresh)
            self._new = _Strokes()
        return self._strokes


class _Strokes(Struct):
    """Straight pieces, circles' lines and round places, in printed mm."""

    segments: list[Segment] = field(default_factory=list)
    rings: list[Ring] = field(default_factory=list)
    discs: list[Ring] = field(default_factory=list)

    def any(self) -> bool:
        """Whether there is anything."""
        return bool(self.segments or self.rings or self.discs)

    def room(self) -> _Room | None:
        """The upright box round everything; ``None`` where there is nothing."""
        xs = [x for x1, _, x2, _ in self.segments for x in (x1, x2)]
        ys = [y for _, y1, _, y2 in self.segments for y in (y1, y2)]
        for x, y, radius in self.rings:
            xs += (x - radius, x + radius)
            ys += (y - radius, y + radius)
        return (min(xs), min(ys), max(xs), max(ys)) if xs else None


class _Arrays(Struct, frozen=True):
    """Strokes for asking many at once: a column for each, and the upright box round each of all of them in order."""

    lines: "FloatArray"
    rings: "FloatArray"
    discs: "FloatArray"
    boxes: "FloatArray"

    def with_more(self, other: "_Arrays") -> "_Arrays":
        """Both."""
        import numpy as np

        pairs = ((self.lines, other.lines), (self.rings, other.rings), (self.discs, other.discs))
        lines, rings, discs = (np.concatenate(pair, axis=1) for pair in pairs)
        return _Arrays(lines, rings, discs, _boxes(lines, rings, discs))


def _arrays(strokes: _Strokes) -> _Arrays:
    import numpy as np

    lines = np.array(strokes.segments, dtype=float).reshape(-1, 4).T
    rings, discs = (np.array(rounds, dtype=float).reshape(-1, 3).T for rounds in (strokes.rings, strokes.discs))
    return _Arrays(lines, rings, discs, _boxes(lines, rings, discs))


def _boxes(lines: "FloatArray", rings: "FloatArray", discs: "FloatArray") -> "FloatArray":
    """Left, bottom, right and top of every stroke."""
    import numpy as np

    rounds = np.concatenate((rings, discs), axis=1)
    least = np.concatenate((np.minimum(lines[:2], lines[2:]), rounds[:2] - rounds[2]), axis=1)
    most = np.concatenate((np.maximum(lines[:2], lines[2:]), rounds[:2] + rounds[2]), axis=1)
    return np.concatenate((least, most))


def _box(corners: Corners) -> _Room:
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = corners
    return min(ax, bx, cx, dx), min(ay, by, cy, dy), max(ax, bx, cx, dx), max(ay, by, cy, dy)


def corners_of(label: Label, scale: float) -> Corners:
    """The room of a text in printed mm."""
    return tuple((corner.x * scale, corner.y * scale) for corner in label_corners(label, scale))


def grown(corners: Corners, by: float = CLEAR) -> Corners:
    """A rectangle's corners moved out by ``by`` mm along both of its directions."""
    (ax, ay), (bx, by_), (cx, cy), (dx, dy) = corners
    along, up = math.hypot(bx - ax, by_ - ay), math.hypot(dx - ax, dy - ay)
    ux, uy = ((bx - ax) / along * by, (by_ - ay) / along * by) if along else (by, 0.0)
    vx, vy = ((dx - ax) / up * by, (dy - ay) / up * by) if up else (0.0, by)
    return (
        (ax - ux - vx, ay - uy - vy),
        (bx + ux - vx, by_ + uy - vy),
        (cx + ux + vx, cy + uy + vy),
        (dx - ux + vx, dy - uy + vy),
    )


def _split(primitives: Iterable[tuple[Item, Primitive]], scale: float) -> tuple[_Strokes, list[Corners]]:
    strokes = _Strokes()
    texts: list[Corners] = []
    for _, primitive in primitives:
        match primitive:
            case Label():
                if primitive.text:
                    texts.append(corners_of(primitive, scale))
            case Circle():
                at = primitive.center
                strokes.rings.append((at.x * scale, at.y * scale, primitive.radius * scale))
            case Solid() | Mosaic():
                for outline in primitive.outlines:
                    strokes.segments += _polyline((*outline, outline[0]), scale)
            case Contour():
                for part in primitive.parts:
                    strokes.segments += _pieces(part, scale)
            case Line() | Arc():
                strokes.segments += _pieces(primitive, scale)
    return strokes, texts


def _pieces(part: Line | Arc, scale: float) -> list[Segment]:
    if isinstance(part, Line):
        return _polyline((part.start, part.end), scale)
    count = max(1, math.ceil(abs(part.sweep_deg) / _CHORD_DEG))
    turns = (part.start_deg + part.sweep_deg * index / count for index in range(count + 1))
    return _polyline(tuple(polar(part.radius, turn, part.center) for turn in turns), scale)


def _polyline(points: Sequence[Point], scale: float) -> list[Segment]:
    return [(start.x * scale, start.y * scale, end.x * scale, end.y * scale) for start, end in pairwise(points)]


def _met(corners: Corners, strokes: _Arrays) -> bool:
    """Whether any stroke runs through a rectangle, in the rectangle's own directions."""
    left, bottom, right, top = _box(corners)
    lefts, bottoms, rights, tops = strokes.boxes
    near = ((lefts < right) & (rights > left) & (bottoms < top) & (tops > bottom)).nonzero()[0]
    if not near.size:
        return False
    rings, discs = strokes.lines.shape[1], strokes.lines.shape[1] + strokes.rings.shape[1]
    straight, rounds, places = near[near < rings], near[(near >= rings) & (near < discs)], near[near >= discs]
    return bool(
        (straight.size and _lines_cut(corners, strokes.lines[:, straight].T.tolist()))
        or (rounds.size and _rounds_cut(corners, strokes.rings[:, rounds - rings], solid=False))
        or (places.size and _rounds_cut(corners, strokes.discs[:, places - discs], solid=True))
    )


def _met_by(corners: Corners, strokes: _Strokes) -> bool:
    """As :func:`_met` for the few lines and circles of one thing."""
    import numpy as np

    left, bottom, right, top = _box(corners)
    lines = (
        line
        for line in strokes.segments
        if min(line[0], line[2]) < right
        and max(line[0], line[2]) > left
        and min(line[1], line[3]) < top
        and max(line[1], line[3]) > bottom
    )
    if _lines_cut(corners, lines):
        return True
    rings = [
        (x, y, r) for x, y, r in strokes.rings if x - r < right and x + r > left and y - r < top and y + r > bottom
    ]
    return bool(rings) and _rounds_cut(corners, np.array(rings).T, solid=False)


def _lines_cut(corners: Corners, lines: Iterable[Sequence[float]]) -> bool:
    """Whether any piece has a part within a rectangle; those asked for are few."""
    (ax, ay), (bx, by), _, (dx, dy) = corners
    width, height = math.hypot(bx - ax, by - ay), math.hypot(dx - ax, dy - ay)
    ux, uy = (bx - ax) / width, (by - ay) / width
    for x1, y1, x2, y2 in lines:
        p, q = (x1 - ax) * ux + (y1 - ay) * uy, (y1 - ay) * ux - (x1 - ax) * uy
        r, s = (x2 - ax) * ux + (y2 - ay) * uy, (y2 - ay) * ux - (x2 - ax) * uy
        if _cut_through(p, q, r - p, s - q, width, height):
            return True
    return False


def _rounds_cut(corners: Corners, circles: "FloatArray", *, solid: bool) -> bool:
    """Whether a circle's line, or with ``solid`` any part of a disc, lies in a rectangle."""
    import numpy as np

    (ax, ay), (bx, by), _, (dx, dy) = corners
    width, height = math.hypot(bx - ax, by - ay), math.hypot(dx - ax, dy - ay)
    ux, uy = (bx - ax) / width, (by - ay) / width
    x, y, radius = circles[0] - ax, circles[1] - ay, circles[2]
    p, q = x * ux + y * uy, y * ux - x * uy
    near = np.hypot(np.maximum(np.maximum(-p, p - width), 0.0), np.maximum(np.maximum(-q, q - height), 0.0))
    meeting = near < radius
    if solid or not meeting.any():
        return bool(meeting.any())
    far = np.hypot(np.maximum(p, width - p), np.maximum(q, height - q))
    return bool((meeting & (radius < far)).any())


def _cut_through(p: float, q: float, step_p: float, step_q: float, width: float, height: float) -> bool:
    """Whether a piece from a point on has a part within an upright rectangle (cut back by its four sides)."""
    low, high = 0.0, 1.0
    for along, room in ((-step_p, p), (step_p, width - p), (-step_q, q), (step_q, height - q)):
        if abs(along) < _ALONG:
            if room < 0:
                return False
        elif along < 0:
            low = max(low, room / along)
        else:
            high = min(high, room / along)
    return low <= high


def _polygons_meet(one: Corners, other: Corners) -> bool:
    """Whether two rectangles share a place (no line along a side of either parts them)."""
    for first, second in ((one, other), (other, one)):
        for index in range(2):
            (ax, ay), (bx, by) = first[index], first[index + 1]
            nx, ny = ay - by, bx - ax
            inside = [nx * x + ny * y for x, y in first]
            outside = [nx * x + ny * y for x, y in second]
            if max(inside) <= min(outside) or max(outside) <= min(inside):
                return False
    return True
