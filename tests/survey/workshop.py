"""Made-up parts and the people who measure them: plane geometry of its own, nothing of the package but Reading.

A part has holes that are really somewhere. A caliper has a zero that is off, jaws that are held askew by the
one or the other of two people, and a last digit. What is asked for is the circle that fits the real holes best.
"""

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from flangelayout.survey import Kind, Reading

Point = tuple[float, float]


@dataclass(frozen=True)
class MadePart:
    """A part as it came off the machine."""

    nominal: float
    centers: tuple[Point, ...]
    hole: float
    stud: float
    bore: float
    rim: float

    @property
    def count(self) -> int:
        return len(self.centers)

    def apart(self, first: int, second: int) -> float:
        return math.dist(self.centers[first % self.count], self.centers[second % self.count])


@dataclass(frozen=True)
class Hands:
    """A caliper in use: zero error in mm, and for each of two people what askew jaws and the eye add."""

    zero: float
    skew: tuple[float, float]
    noise: float

    def read(self, source: random.Random, true: float, jaws: int, extra: float = 0.0) -> float:
        person = source.randrange(2)
        seen = true + self.zero + jaws * self.skew[person] + source.gauss(0, math.hypot(self.noise, extra))
        return round(seen / 0.02) * 0.02


def made(
    source: random.Random,
    diameter: float,
    count: int,
    along: float,
    across: float,
    hole: float,
    places: Sequence[float] = (),
) -> MadePart:
    """A part with holes out of place by standard deviations along and across the circle, turned and shifted anyhow.

    Its holes are a pitch apart, or at ``places``, in radians.
    """
    turn, shift = source.uniform(0, math.tau), (source.uniform(-5, 5), source.uniform(-5, 5))
    centers = []
    for number in range(count):
        angle = turn + (places[number] if places else math.tau * number / count)
        radius, side = diameter / 2 + source.gauss(0, across), source.gauss(0, along)
        x = shift[0] + radius * math.cos(angle) - side * math.sin(angle)
        centers.append((x, shift[1] + radius * math.sin(angle) + side * math.cos(angle)))
    return MadePart(diameter, tuple(centers), hole, hole - 2, diameter - 3 * hole, diameter + 3 * hole)


def best_circle(points: Sequence[Point]) -> float:
    """Diameter of the circle with the least squared distances to the points (two points: their distance)."""
    count = len(points)
    x, y = (sum(values) / count for values in zip(*points, strict=True))
    if count == 2:
        return math.dist(*points)
    radius = 0.0
    for _ in range(200):
        reach = [math.hypot(px - x, py - y) for px, py in points]
        radius = sum(reach) / count
        pull = [(px - x, py - y, r) for (px, py), r in zip(points, reach, strict=True)]
        right = 2 * sum((r - radius) * dx / r for dx, _, r in pull) / count
        up = 2 * sum((r - radius) * dy / r for _, dy, r in pull) / count
        x, y = x + right, y + up
        if math.hypot(right, up) < 1e-9:
            break
    return 2 * radius


def everyday_hands(source: random.Random) -> Hands:
    """An everyday caliper: zero within 0.15 mm, two people who hold it a little askew, a steady eye."""
    return Hands(source.uniform(-0.15, 0.15), (abs(source.gauss(0, 0.06)), abs(source.gauss(0, 0.06))), 0.08)


def stated_hands(_: random.Random) -> Hands:
    """A caliper whose readings are each off by chance alone, as much as edge readings are said to be good to."""
    return Hands(0.0, (0.0, 0.0), 0.1)


def chord(
    source: random.Random, part: MadePart, hands: Hands, kind: Kind, first: int, span: int, named: bool = True
) -> Reading:
    extra, jaws, eye = {
        Kind.CENTERS: (0.0, 0, 0.2),
        Kind.SAME_EDGES: (0.0, 0, 0.0),
        Kind.NEAR_EDGES: (-part.hole, 1, 0.0),
        Kind.FAR_EDGES: (part.hole, -1, 0.0),
        Kind.OVER_STUDS: (part.stud, 1, 0.2),
        Kind.BETWEEN_STUDS: (-part.stud, -1, 0.2),
    }[kind]
    value = hands.read(source, part.apart(first, first + span) + extra, jaws, eye)
    if not named:
        return Reading(kind, value, pitches=span)
    return Reading(kind, value, first % part.count + 1, (first + span) % part.count + 1)


def size(source: random.Random, part: MadePart, hands: Hands, kind: Kind) -> Reading:
    true, jaws, eye = {
        Kind.HOLE_DIAMETER: (part.hole, -1, 0.0),
        Kind.STUD_DIAMETER: (part.stud, 1, 0.0),
        Kind.BORE: (part.bore, -1, 0.1),
        Kind.OUTSIDE_DIAMETER: (part.rim, 1, 0.2),
    }[kind]
    return Reading(kind, hands.read(source, true, jaws, eye))


Recipe = Callable[[random.Random, MadePart, Hands], list[Reading]]


def near_and_far(source: random.Random, part: MadePart, hands: Hands) -> list[Reading]:
    first, widest = source.randrange(part.count), part.count // 2
    return [chord(source, part, hands, kind, first, widest, named=False) for kind in (Kind.NEAR_EDGES, Kind.FAR_EDGES)]


def one_chord(source: random.Random, part: MadePart, hands: Hands) -> list[Reading]:
    return [chord(source, part, hands, Kind.SAME_EDGES, source.randrange(part.count), part.count // 2)]


def round_the_circle(source: random.Random, part: MadePart, hands: Hands) -> list[Reading]:
    return [chord(source, part, hands, Kind.SAME_EDGES, at, 1) for at in range(min(part.count, 6))]


def across(source: random.Random, part: MadePart, hands: Hands) -> list[Reading]:
    widest = part.count // 2
    return [chord(source, part, hands, Kind.SAME_EDGES, at, widest, named=False) for at in range(3)]


def many(source: random.Random, part: MadePart, hands: Hands) -> list[Reading]:
    widest = part.count // 2
    kinds = (Kind.NEAR_EDGES, Kind.FAR_EDGES, Kind.SAME_EDGES)
    return [
        *(chord(source, part, hands, kind, at, widest) for at, kind in enumerate(kinds)),
        *(chord(source, part, hands, kind, at, 1) for at, kind in enumerate(kinds)),
        size(source, part, hands, Kind.HOLE_DIAMETER),
    ]


def studs(source: random.Random, part: MadePart, hands: Hands) -> list[Reading]:
    widest = part.count // 2
    return [
        *(
            chord(source, part, hands, kind, at, widest)
            for at, kind in enumerate((Kind.OVER_STUDS, Kind.BETWEEN_STUDS))
        ),
        chord(source, part, hands, Kind.OVER_STUDS, 1, 1),
        size(source, part, hands, Kind.STUD_DIAMETER),
    ]


def eyeballed(source: random.Random, part: MadePart, hands: Hands) -> list[Reading]:
    return [chord(source, part, hands, Kind.CENTERS, at, part.count // 2) for at in range(3)]


def coordinates(source: random.Random, part: MadePart, hands: Hands) -> list[Reading]:
    return [
        Reading(kind, value + source.gauss(0, 0.1), number)
        for number, center in enumerate(part.centers, 1)
        for kind, value in zip((Kind.X, Kind.Y), center, strict=True)
    ]


RECIPES: tuple[Recipe, ...] = (
    near_and_far,
    one_chord,
    round_the_circle,
    across,
    many,
    studs,
    eyeballed,
    coordinates,
)
