"""Whether enough metal is left between holes, and from holes to the edge, the bore and other openings."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from flangelayout.checks.finding import Finding, Severity, too_little
from flangelayout.checks.limits import (
    BETWEEN_BOLT_HOLES,
    BETWEEN_TUBE_HOLES,
    TO_AN_EDGE,
    CheckLimits,
    HoleShare,
    Limit,
)
from flangelayout.checks.plate.clocking import is_clocked
from flangelayout.checks.plate.drilling import circle_key, hole_key
from flangelayout.checks.plate.fit import into_opening, over_edge
from flangelayout.flange import Flange, Hole, HoleGrid, HoleRings, Slot
from flangelayout.flange.hole import metal_width
from flangelayout.geometry.measure import spine_distance
from flangelayout.geometry.near_pairs import near_pairs
from flangelayout.units import Unit


def check_metal(flange: Flange, holes: tuple[Hole, ...], limits: CheckLimits, unit: Unit) -> tuple[Finding, ...]:
    """Warnings where too little metal is left; one for each two groups, and one for each group and edge.

    Two bolt circles are left to the clocking check; holes that overlap or run over an edge to the drilling check.
    """
    return (
        *_between_holes(flange, holes, limits, unit),
        *_to_edge(flange, holes, limits, unit),
        *_to_openings(flange, holes, limits, unit),
    )


@dataclass(frozen=True, slots=True)
class _Worst:
    """What falls short of its limit most, relative to it, and how many do."""

    value: float
    limit: Limit
    holes: tuple[Hole, ...]
    count: int = 1

    def joined(self, other: "_Worst | None") -> "_Worst":
        """The worse of this and one found before, which stays where they are alike; with the count of both."""
        if other is None:
            return self
        kept = self if self.value / self.limit.value < other.value / other.limit.value - 1e-9 else other
        return _Worst(kept.value, kept.limit, kept.holes, self.count + other.count)

    def more(self, what: str) -> str:
        """How many others fall short, in words."""
        return f" (and {self.count - 1} more {what} alike)" if self.count > 1 else ""


def _between_holes(flange: Flange, holes: tuple[Hole, ...], limits: CheckLimits, unit: Unit) -> Iterator[Finding]:
    worst: dict[tuple[int, int], _Worst] = {}
    for one, other, gap in _gaps(holes, limits):
        limit = limits.ligament or _ligament_share(flange, one, other).limit(min(one.diameter, other.diameter))
        pair = (one.group, other.group)
        if 0 < gap < limit.value - 1e-6 and not is_clocked(flange, *pair):
            worst[pair] = _Worst(gap, limit, (one, other)).joined(worst.get(pair))
    for (group, _), found in worst.items():
        one, other = found.holes
        between = f"{one.source} and {_short(one, other)}"
        yield too_little(
            "ligament",
            hole_key(flange, other) if min(group, other.group) < 0 else f"{circle_key(flange, group)}.hole_diameter",
            f"between {between}{found.more('pairs')} the metal left is",
            found.value,
            found.limit,
            _ligament_cure(one, other),
            unit,
            Severity.WARNING,
        )


def _gaps(holes: tuple[Hole, ...], limits: CheckLimits) -> Iterator[tuple[Hole, Hole, float]]:
    """Holes so near each other that the metal between them could be too little, with that metal."""
    if len(holes) < 2:
        return
    import numpy as np

    widths = np.array([metal_width(hole) for hole in holes])
    longest = max(hole.kind.length if isinstance(hole.kind, Slot) else metal_width(hole) for hole in holes)
    most = limits.ligament.value if limits.ligament else BETWEEN_BOLT_HOLES.share * float(widths.max())
    points = np.array([(hole.center.x, hole.center.y) for hole in holes])
    slotted = np.array([isinstance(hole.kind, Slot) for hole in holes])
    first, second = near_pairs(points, longest + most)
    gaps = np.hypot(*(points[first] - points[second]).T) - (widths[first] + widths[second]) / 2
    shown = (gaps < most) | slotted[first] | slotted[second]
    for a, b, gap in zip(first[shown].tolist(), second[shown].tolist(), gaps[shown].tolist(), strict=True):
        one, other = holes[min(a, b)], holes[max(a, b)]
        yield one, other, _slot_gap(one, other) if slotted[a] or slotted[b] else gap


def _slot_gap(one: Hole, other: Hole) -> float:
    return spine_distance(one.spine, other.spine) - (metal_width(one) + metal_width(other)) / 2


def _ligament_share(flange: Flange, one: Hole, other: Hole) -> HoleShare:
    """Tubes may stand closer than bolts."""
    groups = flange.groups()
    tubes = all(hole.group >= 0 and isinstance(groups[hole.group], HoleGrid | HoleRings) for hole in (one, other))
    return BETWEEN_TUBE_HOLES if tubes else BETWEEN_BOLT_HOLES


def _short(one: Hole, other: Hole) -> str:
    """The other hole's name, its group left out where it is the same."""
    return f"hole {other.number}" if one.group == other.group >= 0 else other.source


def _ligament_cure(one: Hole, other: Hole) -> str:
    if one.group == other.group >= 0:
        return "use fewer or smaller holes, or a larger bolt circle"
    return "turn one pattern, move it, or tap the holes of one side for studs (smaller holes)"


def _to_edge(flange: Flange, holes: tuple[Hole, ...], limits: CheckLimits, unit: Unit) -> Iterator[Finding]:
    for hole, found in _worst_by_group(_edge_metals(flange, holes, limits), limits.edge):
        yield too_little(
            "edge-metal",
            hole_key(flange, hole),
            f"from {hole.source}{found.more('holes')} to the edge of the plate the metal left is",
            found.value,
            found.limit,
            "make the plate larger, the bolt circle smaller or the holes smaller",
            unit,
            Severity.WARNING,
        )


def _edge_metals(flange: Flange, holes: tuple[Hole, ...], limits: CheckLimits) -> Iterator[tuple[Hole, float]]:
    """The metal from each hole to the edge, holes left out that lie well inside.

    The edge is no nearer to a hole than to one measured before, less the way between the two.
    """
    least = limits.edge.value if limits.edge else 0.0
    center, room = None, 0.0
    for hole in holes:
        wide = metal_width(hole)
        wanted = max(least, TO_AN_EDGE.share * wide) + wide / 2
        if center and not isinstance(hole.kind, Slot) and room - hole.center.distance_to(center) > wanted:
            continue
        metal = -over_edge(flange, hole) - _recess(hole)
        center, room = hole.center, metal + wide / 2
        yield hole, metal


def _to_openings(flange: Flange, holes: tuple[Hole, ...], limits: CheckLimits, unit: Unit) -> Iterator[Finding]:
    for opening in flange.cutouts():
        metals = ((hole, -into_opening(opening, hole) - _recess(hole)) for hole in holes)
        for hole, found in _worst_by_group(metals, limits.bore):
            yield too_little(
                "bore-metal",
                hole_key(flange, hole),
                f"from {hole.source}{found.more('holes')} to the {opening.name} the metal left is",
                found.value,
                found.limit,
                f"make the {opening.name} smaller, the bolt circle larger or the holes smaller",
                unit,
                Severity.WARNING,
            )


def _recess(hole: Hole) -> float:
    """How much farther a hole reaches at the face than where it goes through."""
    return (metal_width(hole) - hole.diameter) / 2


def _worst_by_group(metals: Iterable[tuple[Hole, float]], stated: Limit | None) -> Iterator[tuple[Hole, _Worst]]:
    worst: dict[int, _Worst] = {}
    for hole, metal in metals:
        limit = stated or TO_AN_EDGE.limit(hole.diameter)
        if 0 < metal < limit.value - 1e-6:
            worst[hole.group] = _Worst(metal, limit, (hole,)).joined(worst.get(hole.group))
    for found in worst.values():
        yield found.holes[0], found
