"""Places for the words on a strip: on free metal between its two cuts, over no line and no other word."""

import math
from collections.abc import Iterable, Sequence

from msgspec import Struct

from flangelayout.drawing.model import Label
from flangelayout.drawing.textwidth import label_corners
from flangelayout.flange import Hole
from flangelayout.geometry.shapes import ORIGIN, Box, Point, box_around, polar
from flangelayout.views.template.edges.join_marks import HALF_MARK
from flangelayout.views.template.hole_labels import hole_circles

_CLEAR, _OFF_RAY, _OFF_CUT = 0.7, 0.5, 1.0
"""Least distances in mm of words from lines and words, from a ray, and from where the strip is cut."""


class TurnedRoom(Struct, frozen=True):
    """A rectangle that is turned: its middle, half its width and height in mm, and its turn in degrees."""

    middle: Point
    half: Point
    turn: float = 0.0

    @classmethod
    def of(cls, label: Label) -> "TurnedRoom":
        """What a label takes."""
        one, other, far, _ = label_corners(label)
        middle = Point((one.x + far.x) / 2, (one.y + far.y) / 2)
        return cls(middle, Point(one.distance_to(other) / 2, other.distance_to(far) / 2), label.rotation_deg)

    @classmethod
    def within(cls, box: Box) -> "TurnedRoom":
        """That of an upright box."""
        return cls(box.center, Point(box.width / 2, box.height / 2))

    @property
    def corners(self) -> tuple[Point, ...]:
        """Counter-clockwise from the lower left one, before it is turned."""
        along, up = polar(self.half.x, self.turn), polar(self.half.y, self.turn + 90.0)
        return tuple(
            self.middle + along.scaled(right) + up.scaled(high) for right, high in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        )

    def distance_to(self, at: Point) -> float:
        """From its edge to a place outside of it, in mm; 0 inside."""
        seen = self._seen(at)
        return math.hypot(max(abs(seen.x) - self.half.x, 0.0), max(abs(seen.y) - self.half.y, 0.0))

    def is_off(self, other: "TurnedRoom", clear: float) -> bool:
        """Whether a straight line so wide fits between two."""
        return self._is_beside(other, clear) or other._is_beside(self, clear)

    def _is_beside(self, other: "TurnedRoom", clear: float) -> bool:
        seen = [self._seen(corner) for corner in other.corners]
        xs, ys = [at.x for at in seen], [at.y for at in seen]
        across = min(xs) >= self.half.x + clear or max(xs) <= -self.half.x - clear
        return across or min(ys) >= self.half.y + clear or max(ys) <= -self.half.y - clear

    def _seen(self, at: Point) -> Point:
        """A place as seen from the middle, the rectangle upright."""
        away, turn = at - self.middle, math.radians(self.turn)
        cos, sin = math.cos(turn), math.sin(turn)
        return Point(away.x * cos + away.y * sin, away.y * cos - away.x * sin)


class StripRoom:
    """What stands on a strip, the middle of which points straight up; every word that finds a place joins it."""

    def __init__(
        self, half_deg: float, edges: tuple[float, float], circles: Iterable[float], rays: Iterable[float]
    ) -> None:
        """Its lines.

        Args:
            half_deg: From its middle to where it is cut.
            edges: Where its metal begins and ends, or what is shown of it, from the middle of the plate in mm.
            circles: Radii of lines round the middle of the plate.
            rays: Directions of lines from there.
        """
        self._cuts, self._edges = (90.0 - half_deg, 90.0 + half_deg), edges
        self._circles, self._rays = tuple(circles), tuple(rays)
        self._discs: list[tuple[Point, float]] = []
        self._marks: list[Point] = []
        self._taken: list[TurnedRoom] = []
        self._words: list[TurnedRoom] = []

    def take_hole(self, hole: Hole, past: float) -> None:
        """Leave its place to a hole and its crosses, which stand out so far beyond it."""
        for at, radius, reach in hole_circles(hole, past):
            self._discs.append((at, radius))
            self._taken += (TurnedRoom(at, Point(reach, 0.0)), TurnedRoom(at, Point(0.0, reach)))

    def take_diamond(self, at: Point) -> None:
        """Leave its place to a diamond."""
        self._marks.append(at)

    def take(self, box: Box) -> None:
        """Leave its place to a word."""
        self._words.append(TurnedRoom.within(box))

    def boxes(self) -> list[Box]:
        """The upright boxes round the words that stand there."""
        return [box_around(room.corners) for room in self._words]

    def first_free(self, labels: Iterable[Label], own_ray: float | None = None) -> Label | None:
        """The first of some labels that stands free, which takes its place; one along a line may stand at that."""
        for label in labels:
            room = TurnedRoom.of(label)
            if self._is_free(room, own_ray):
                self._words.append(room)
                return label
        return None

    def least_harm(self, labels: Iterable[Label]) -> Label:
        """The first of some labels on the strip that stands on no word and no diamond, whatever lines are there."""
        ways = [(label, TurnedRoom.of(label)) for label in labels]
        free = (way for way in ways if self._is_between_cuts(way[1]) and self._is_off_words(way[1]))
        label, room = next(free, ways[0])
        self._words.append(room)
        return label

    def _is_free(self, room: TurnedRoom, own_ray: float | None) -> bool:
        return (
            self._is_between_cuts(room)
            and self._is_on_metal(room)
            and self._is_off_words(room)
            and all(room.is_off(other, _CLEAR) for other in self._taken)
            and all(room.distance_to(at) >= radius + _CLEAR for at, radius in self._discs)
            and all(abs(_off_ray(room.corners, ray)) >= _OFF_RAY for ray in self._rays if ray != own_ray)
        )

    def _is_off_words(self, room: TurnedRoom) -> bool:
        return all(room.is_off(other, _CLEAR) for other in self._words) and all(
            room.distance_to(at) >= HALF_MARK + _CLEAR for at in self._marks
        )

    def _is_between_cuts(self, room: TurnedRoom) -> bool:
        right, left = (_off_ray(room.corners, cut) for cut in self._cuts)
        return right >= _OFF_CUT and left <= -_OFF_CUT

    def _is_on_metal(self, room: TurnedRoom) -> bool:
        """Whether it stands between bore and rim, over no line round the middle of the plate."""
        (inner, outer), near = self._edges, room.distance_to(ORIGIN)
        far = max(map(ORIGIN.distance_to, room.corners))
        over = (radius for radius in self._circles if near - _CLEAR < radius < far + _CLEAR)
        return near >= inner + _CLEAR and far <= outer - _CLEAR and next(over, None) is None


def _off_ray(corners: Sequence[Point], ray: float) -> float:
    """How far something is to the left of a ray from the middle of the plate, less than 0 to the right; 0 on it."""
    across = polar(1.0, ray + 90.0)
    sides = [corner.x * across.x + corner.y * across.y for corner in corners]
    low, high = min(sides), max(sides)
    return low if low > 0.0 else min(high, 0.0)
