"""Readings of made-up parts, built from plane geometry that shares no code with the package."""

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass

from flangelayout.survey import Kind, Reading
from flangelayout.value import replace

CHORDS = (
    Kind.CENTERS,
    Kind.SAME_EDGES,
    Kind.NEAR_EDGES,
    Kind.FAR_EDGES,
    Kind.OVER_STUDS,
    Kind.BETWEEN_STUDS,
    Kind.STUD_TO_FAR_EDGE,
)


@dataclass(frozen=True)
class Part:
    diameter: float = 240.0
    hole_count: int = 8
    hole: float = 22.0
    stud: float = 20.0
    bore: float = 150.0
    rim: float = 285.0
    center: tuple[float, float] = (0.0, 0.0)
    turn: float = 0.0
    clockwise: bool = False
    shifts: tuple[float, ...] = ()  # extra degrees of holes 1, 2, ...

    def place(self, number: int) -> tuple[float, float]:
        extra = self.shifts[number - 1] if self.shifts else 0.0
        step = 360 / self.hole_count * (number - 1) + extra
        angle = math.radians(self.turn + (-step if self.clockwise else step))
        return (
            self.center[0] + self.diameter / 2 * math.cos(angle),
            self.center[1] + self.diameter / 2 * math.sin(angle),
        )


def pair(part: Part, kind: Kind, first: int, second: int, within: float | None = None) -> Reading:
    first, second = ((number - 1) % part.hole_count + 1 for number in (first, second))
    centers = math.dist(part.place(first), part.place(second))
    extra = {
        Kind.NEAR_EDGES: -part.hole,
        Kind.FAR_EDGES: part.hole,
        Kind.OVER_STUDS: part.stud,
        Kind.BETWEEN_STUDS: -part.stud,
        Kind.STUD_TO_FAR_EDGE: part.stud / 2,
    }.get(kind, 0.0)
    return Reading(kind, centers + extra, first, second, within=within)


def single(part: Part, kind: Kind, within: float | None = None) -> Reading:
    value = {
        Kind.HOLE_DIAMETER: part.hole,
        Kind.STUD_DIAMETER: part.stud,
        Kind.BORE: part.bore,
        Kind.OUTSIDE_DIAMETER: part.rim,
        Kind.HOLE_TO_BORE: (part.diameter - part.hole - part.bore) / 2,
        Kind.HOLE_TO_RIM: (part.rim - part.diameter - part.hole) / 2,
    }[kind]
    return Reading(kind, value, within=within)


def positions(part: Part, within: float | None = None, numbers: Sequence[int] | None = None) -> list[Reading]:
    return [
        Reading(kind, value, number, within=within)
        for number in (numbers or range(1, part.hole_count + 1))
        for kind, value in zip((Kind.X, Kind.Y), part.place(number), strict=True)
    ]


def neighbors(part: Part, kind: Kind = Kind.SAME_EDGES, within: float | None = None) -> list[Reading]:
    return [pair(part, kind, number, number % part.hole_count + 1, within) for number in range(1, part.hole_count + 1)]


def shaken(readings: Sequence[Reading], source: random.Random) -> list[Reading]:
    """Readings with normal errors of exactly the standard uncertainty each one states."""
    return [
        replace(reading, value=reading.value + source.gauss(0, reading.standard_uncertainty)) for reading in readings
    ]


def readings_for(part: Part, kind: Kind, within: float = 0.3) -> list[Reading]:
    """A set that leans on one kind of reading, with whatever that kind needs beside it."""
    widest = part.hole_count // 2
    if kind in (Kind.X, Kind.Y):
        return positions(part, within)
    if kind in CHORDS:
        needs = {
            Kind.NEAR_EDGES: [Kind.HOLE_DIAMETER],
            Kind.FAR_EDGES: [Kind.HOLE_DIAMETER],
            Kind.OVER_STUDS: [Kind.STUD_DIAMETER],
            Kind.BETWEEN_STUDS: [Kind.STUD_DIAMETER],
            Kind.STUD_TO_FAR_EDGE: [Kind.STUD_DIAMETER],
        }.get(kind, [])
        spans = [pair(part, kind, 1 + at, 1 + at + span, within) for at, span in enumerate((1, 1, widest, widest))]
        return [*spans, *(single(part, need, within) for need in needs)]
    size = Kind.BORE if kind is Kind.HOLE_TO_BORE else Kind.OUTSIDE_DIAMETER
    own = single(part, kind, within)
    return [own, own, own, single(part, size, within), single(part, Kind.HOLE_DIAMETER, within)]
