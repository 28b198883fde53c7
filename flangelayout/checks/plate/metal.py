"""Whether enough metal is left between holes, and from holes to the edge, the bore and other openings."""

from collections.abc import Iterable, Iterator
from itertools import pairwise

from msgspec import Struct

from flangelayout.checks.facts import Edge, Metal, RecessBreaksOut, RecessesMeet
from flangelayout.checks.finding import Finding, Place, Remedy, hole_key, hole_place, judged, ref
from flangelayout.checks.joint.hole_parts import recess_of
from flangelayout.checks.limits import (
    BETWEEN_BOLT_HOLES,
    BETWEEN_TUBE_HOLES,
    GEOMETRY,
    TO_AN_EDGE,
    CheckLimits,
    HoleShare,
    Limit,
)
from flangelayout.checks.plate.clocking import is_clocked
from flangelayout.checks.plate.drilling import least_chord
from flangelayout.checks.plate.measured import MeasuredPlate
from flangelayout.checks.rule import Rule
from flangelayout.flange import Flange, Hole, Slot
from flangelayout.flange.hole import metal_width, through_width
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.measure import spine_distance
from flangelayout.geometry.near_pairs import near_pairs


def check_metal(plate: MeasuredPlate, limits: CheckLimits) -> tuple[Finding, ...]:
    """Metal between holes, one finding for each two groups that come near; and to the edges, one for each group.

    Two bolt circles are left to the clocking check; holes that overlap or run over an edge to the drilling check.
    """
    return (
        *_between_holes(plate.flange, plate.holes, limits),
        *_to_edge(plate, limits),
        *_to_openings(plate, limits),
    )


class _Worst(Struct, frozen=True):
    """What falls short of its limit most, relative to it, and how many do."""

    value: float
    limit: Limit
    holes: tuple[Hole, ...]
    count: int

    def joined(self, other: "_Worst | None") -> "_Worst":
        """The worse of this and one found before, which stays where they are alike; with the count of both."""
        if other is None:
            return self
        kept = self if self._share < other._share - 1e-9 else other
        return _Worst(kept.value, kept.limit, kept.holes, self.count + other.count)

    @property
    def _share(self) -> float:
        return self.value / self.limit.value if self.limit.value else self.value


def _found(value: float, limit: Limit, holes: tuple[Hole, ...]) -> _Worst:
    return _Worst(value, limit, holes, 1 if value < limit.value - 1e-6 else 0)


def _between_holes(flange: Flange, holes: tuple[Hole, ...], limits: CheckLimits) -> Iterator[Finding]:
    worst: dict[tuple[int, int], _Worst] = {}
    for one, other, gap in _gaps(holes, limits):
        pair = (one.group, other.group)
        overlaps = gap + _recess(one) + _recess(other) < 0
        if not overlaps and not is_clocked(flange, *pair):
            limit = limits.ligament or _ligament_share(flange, one, other).limit(min(one.diameter, other.diameter))
            worst[pair] = _found(gap, limit, (one, other)).joined(worst.get(pair))
    for found in worst.values():
        yield _ligament(flange, found)
    yield from _wide_circles(flange, holes, limits, worst)


def _ligament(flange: Flange, found: _Worst) -> Finding:
    """Metal between two holes, or recesses that run into each other."""
    one, other = found.holes
    key = hole_key(flange, other) if min(one.group, other.group) < 0 else f"{flange.group_key(one.group)}.hole_diameter"
    place = Place(key, one.group, (ref(one), ref(other)))
    recess = recess_of(one) or recess_of(other)
    if found.value < -1e-6 and recess is not None:
        facts = RecessesMeet(recess)
        return judged(Rule.RECESSES_APART, place, facts, found.value, GEOMETRY, Remedy.APART_OR_SMALLER)
    same = one.group == other.group >= 0
    cure = Remedy.FEWER_HOLES_OR_LARGER_CIRCLE if same else Remedy.TURN_OR_TAP
    return judged(Rule.LIGAMENT, place, Metal(found.count), found.value, found.limit, cure)


def _wide_circles(
    flange: Flange, holes: tuple[Hole, ...], limits: CheckLimits, near: dict[tuple[int, int], _Worst]
) -> Iterator[Finding]:
    """Bolt circles whose neighbors stand farther apart than could be too little."""
    for group, circle in enumerate(flange.bolt_circles):
        own = [hole for hole in holes if hole.group == group]
        if (group, group) in near or len(own) < 2:
            continue
        limit = limits.ligament or BETWEEN_BOLT_HOLES.limit(circle.hole_diameter)
        place = Place(f"{flange.group_key(group)}.hole_diameter", group)
        metal = _between_neighbors(own) if isinstance(circle.kind, Slot) else least_chord(circle) - metal_width(own[0])
        yield judged(Rule.LIGAMENT, place, Metal(), metal, limit, Remedy.FEWER_HOLES_OR_LARGER_CIRCLE)


def _between_neighbors(slots: list[Hole]) -> float:
    """Least metal between one slot of a circle and the next round it."""
    round_it = sorted(slots, key=lambda hole: hole.angle)
    return min(_slot_gap(one, other) for one, other in pairwise((*round_it, round_it[0])))


def _gaps(holes: tuple[Hole, ...], limits: CheckLimits) -> Iterator[tuple[Hole, Hole, float]]:
    """Holes so near each other that the metal between them could be too little, with that metal.

    Recesses made from different faces do not meet: each is held against the other hole where it goes through.
    """
    if len(holes) < 2:
        return
    import numpy as np

    widths = np.array([metal_width(hole) for hole in holes])
    plain = np.array([through_width(hole) for hole in holes])
    from_back = np.array([hole.worked_from is PlateFace.BACK for hole in holes])
    longest = max(hole.kind.length if isinstance(hole.kind, Slot) else metal_width(hole) for hole in holes)
    most = limits.ligament.value if limits.ligament else BETWEEN_BOLT_HOLES.share * float(widths.max())
    points = np.array([(hole.center.x, hole.center.y) for hole in holes])
    slotted = np.array([isinstance(hole.kind, Slot) for hole in holes])
    first, second = near_pairs(points, longest + most)
    across = np.maximum(widths[first] + plain[second], plain[first] + widths[second])
    both = np.where(from_back[first] == from_back[second], widths[first] + widths[second], across)
    gaps = np.hypot(*(points[first] - points[second]).T) - both / 2
    shown = (gaps < most) | slotted[first] | slotted[second]
    for a, b, gap in zip(first[shown].tolist(), second[shown].tolist(), gaps[shown].tolist(), strict=True):
        one, other = holes[min(a, b)], holes[max(a, b)]
        yield one, other, _slot_gap(one, other) if slotted[a] or slotted[b] else gap


def _slot_gap(one: Hole, other: Hole) -> float:
    return spine_distance(one.spine, other.spine) - (metal_width(one) + metal_width(other)) / 2


def _ligament_share(flange: Flange, one: Hole, other: Hole) -> HoleShare:
    """Tubes may stand closer than bolts."""
    groups = flange.groups()
    tubes = all(hole.group >= 0 and groups[hole.group].tubes for hole in (one, other))
    return BETWEEN_TUBE_HOLES if tubes else BETWEEN_BOLT_HOLES


def _to_edge(plate: MeasuredPlate, limits: CheckLimits) -> Iterator[Finding]:
    metals = ((hole, metal - _recess(hole)) for hole, metal in plate.to_edge())
    for hole, found in _worst_by_group(metals, limits.edge):
        place = hole_place(plate.flange, hole)
        if _breaks_out(hole, found.value):
            yield _over(place, hole, Edge.PLATE, found.value)
        else:
            yield judged(Rule.EDGE_METAL, place, Metal(found.count), found.value, found.limit, Remedy.MORE_EDGE)


def _to_openings(plate: MeasuredPlate, limits: CheckLimits) -> Iterator[Finding]:
    """What falls short beside each opening; where nothing does, the nearest opening of each group."""
    passed: dict[int, Finding] = {}
    for index in range(len(plate.openings)):
        metals = ((hole, metal - _recess(hole)) for hole, metal in plate.to_opening(index))
        for hole, found in _worst_by_group(metals, limits.bore):
            finding = _beside(hole_place(plate.flange, hole, index), hole, found)
            if finding.failed:
                yield finding
            elif hole.group not in passed or found.value < (passed[hole.group].value or 0.0):
                passed[hole.group] = finding
    yield from passed.values()


def _beside(place: Place, hole: Hole, found: _Worst) -> Finding:
    """Metal between a hole and an opening."""
    if _breaks_out(hole, found.value):
        return _over(place, hole, Edge.OPENING, found.value)
    facts, cure = Metal(found.count), Remedy.MORE_BESIDE_OPENING
    return judged(Rule.BORE_METAL, place, facts, found.value, found.limit, cure)


def _breaks_out(hole: Hole, metal: float) -> bool:
    """Whether the recess of a hole that lies on the plate runs over an edge."""
    return metal < -1e-6 and _recess(hole) > 0


def _over(place: Place, hole: Hole, edge: Edge, metal: float) -> Finding:
    recess = recess_of(hole)
    assert recess is not None
    facts = RecessBreaksOut(recess, metal_width(hole), edge)
    return judged(Rule.RECESS_ON_PLATE, place, facts, metal, GEOMETRY, Remedy.RECESS_IN)


def _recess(hole: Hole) -> float:
    """How much farther a hole reaches at the face than where it goes through."""
    return (metal_width(hole) - hole.diameter) / 2


def _worst_by_group(metals: Iterable[tuple[Hole, float]], stated: Limit | None) -> Iterator[tuple[Hole, _Worst]]:
    worst: dict[int, _Worst] = {}
    for hole, metal in metals:
        limit = stated or TO_AN_EDGE.limit(hole.diameter)
        worst[hole.group] = _found(metal, limit, (hole,)).joined(worst.get(hole.group))
    for found in worst.values():
        yield found.holes[0], found
