"""What a shop can do to a hole that its bolt does not pass, with drills and bolts that there are.

The order is judgement (common practice, no source). Every way is held against the metal it leaves and the seat
that nut and head still have. Whether it may be done is for whoever owns the drawing, and on a pressure part for
its code and a competent person.
"""

from collections.abc import Iterator, Sequence

from flangelayout.checks.inspection.results import BoltSeat, HoleResult, Mending, Rework, Way
from flangelayout.checks.limits import BETWEEN_BOLT_HOLES, TO_AN_EDGE
from flangelayout.checks.plate.bolts import widest_hole
from flangelayout.flange import Flange
from flangelayout.geometry.measure import Spine, spine_distance, spine_to_edge
from flangelayout.geometry.shapes import Line, polar
from flangelayout.standards.bolting import bolt_sizes
from flangelayout.standards.bolts import Bolt, known_bolt
from flangelayout.standards.holes import HoleFit, clearance_hole, next_drill
from flangelayout.units import Unit

_WIDEST_UNDER_A_PLATE = 1.5
"""Widest round hole in bolt diameters that a thick plate washer carries a nut over (common practice, no source)."""
_LONGEST_SLOT = 2.5
"""Longest slot in bolt diameters that one does (long slotted holes of RCSC and EN 1090-2, from memory)."""
_FIRST_CHOICE = frozenset(f"M{size}" for size in (3, 4, 5, 6, 8, 10, 12, 16, 20, 24, 30, 36, 42, 48, 56, 64))
"""ISO 261, first choice, from memory: what a shop has in the drawer."""
_SAME = 1e-6
_Named = tuple[str, float]
"""A bolt by its name, and its diameter in mm."""


def ways_to_mend(
    flange: Flange, holes: Sequence[HoleResult], rework: Rework, bolt: str, mate_room: float, unit: Unit
) -> tuple[Mending, ...]:
    """Every way that leaves metal and a seat, the least harmful first; plugging and drilling anew comes last.

    Args:
        flange: The drawing.
        holes: Every measured hole.
        rework: What the hole lacks.
        bolt: That goes through, known to `known_bolt`.
        mate_room: Radial room of the bolt in the mate's hole, in mm.
        unit: Of the shop's drills.
    """
    named = known_bolt(bolt)
    hole = next(each for each in holes if each.hole.label == rework.label)
    if named is None:
        return ()
    case = _Mended(flange, holes, hole, named)
    drawn = hole.hole
    found = [
        *_slotted(case, rework),
        *_drilled(case, rework, unit),
        *_smaller_bolt(case, rework),
        *_both_larger(case, rework, mate_room),
        case.judged(Way.REDRILL, drawn.center, drawn.diameter, drawn.diameter, (bolt, named.diameter)),
    ]
    order = list(Way)
    sound = [each for each in found if each.is_sound]
    last = Way.REDRILL
    return tuple(
        sorted(sound, key=lambda way: (way.way is last, way.seat is not BoltSeat.COVERED, order.index(way.way)))
    )


class _Mended:
    """One hole that is mended, among the others."""

    def __init__(self, flange: Flange, holes: Sequence[HoleResult], hole: HoleResult, bolt: Bolt) -> None:
        """Keep where every hole is on the drawing, those that were not measured as drawn."""
        self.flange, self.label, self.bolt = flange, hole.hole.label, bolt
        self.center = hole.hole.center + hole.deviation
        self.width = hole.measured.diameter or hole.hole.diameter
        measured = {each.hole.label: each for each in holes}
        self.others = [
            (found.hole.center + found.deviation, found.measured.diameter or each.diameter)
            if (found := measured.get(each.label))
            else (each.center, each.diameter)
            for each in flange.holes()
            if each.label != self.label
        ]

    def judged(self, way: Way, spine: Spine, width: float, size: float, bolt: _Named) -> Mending:
        """A way with the least metal it leaves, held against what is wanted there, and the seat.

        Args:
            way: What is done.
            spine: Where the hole is then.
            width: How wide it is then.
            size: How long it is then, over all.
            bolt: That goes through then.
        """
        beside = TO_AN_EDGE.limit(width).value
        gaps = [
            (spine_distance(spine, center) - (width + other) / 2, BETWEEN_BOLT_HOLES.limit(min(width, other)).value)
            for center, other in self.others
        ]
        gaps.append((self.flange.edge_distance(spine) - width / 2, beside))
        gaps += [(-spine_to_edge(each.shape, spine) - width / 2, beside) for each in self.flange.cutouts()]
        metal, needed = min(gaps, key=lambda gap: gap[0] - gap[1])
        return Mending(self.label, way, size, bolt[0], _seat(bolt, way, size), metal, needed)


def _seat(bolt: _Named, way: Way, size: float) -> BoltSeat:
    """What nut and head stand on over a hole so long or wide."""
    name, diameter = bolt
    widest = widest_hole(name)
    if widest is not None and size <= widest.value + _SAME:
        return BoltSeat.COVERED
    most = _LONGEST_SLOT if way is Way.SLOT else _WIDEST_UNDER_A_PLATE
    return BoltSeat.PLATE_WASHER if size <= most * diameter + _SAME else BoltSeat.NONE


def _slotted(case: _Mended, rework: Rework) -> Iterator[Mending]:
    if rework.slot_by is None:
        return
    line = Line(case.center, polar(rework.slot_by, rework.direction_deg, case.center))
    yield case.judged(Way.SLOT, line, case.width, case.width + rework.slot_by, (case.bolt.name, case.bolt.diameter))


def _drilled(case: _Mended, rework: Rework, unit: Unit) -> Iterator[Mending]:
    drill = next_drill(rework.open_to, unit)
    yield case.judged(Way.DRILL, case.center, drill, drill, (case.bolt.name, case.bolt.diameter))


def _smaller_bolt(case: _Mended, rework: Rework) -> Iterator[Mending]:
    """The next smaller bolt for which nothing has to be done to the hole; it has more room in both parts."""
    wide = case.bolt.diameter
    needed = (rework.open_to - max(case.width, wide)) / 2 + max(case.width - wide, 0.0) / 2
    thinner = [
        (name, diameter)
        for name, diameter in _stock(case.bolt)
        if diameter <= min(case.width, wide - _SAME) and (case.width + wide) / 2 - diameter >= needed - _SAME
    ]
    if thinner:
        yield case.judged(Way.SMALLER_BOLT, case.center, case.width, case.width, max(thinner, key=lambda each: each[1]))


def _both_larger(case: _Mended, rework: Rework, mate_room: float) -> Iterator[Mending]:
    """The next larger bolt whose hole, drilled through both parts in place, takes up both holes."""
    if rework.slot_by is None or mate_room < 0:
        return
    wide, other = case.width, case.bolt.diameter + 2 * mate_room
    apart = (wide - case.bolt.diameter) / 2 + mate_room + rework.slot_by
    middle = polar(apart / 2 + (other - wide) / 4, rework.direction_deg, case.center)
    for name, diameter in sorted(_stock(case.bolt), key=lambda each: each[1]):
        hole = clearance_hole(name, HoleFit.MEDIUM)
        if diameter > case.bolt.diameter and hole is not None and hole.value >= apart + (wide + other) / 2 - _SAME:
            yield case.judged(Way.BOTH_LARGER, middle, hole.value, hole.value, (name, diameter))
            return


def _stock(bolt: Bolt) -> list[_Named]:
    """The bolts of the same unit that a shop has, with their diameters."""
    sizes = [(each.name, each.diameter) for each in bolt_sizes(bolt.unit)]
    return [each for each in sizes if bolt.unit is Unit.IN or each[0] in _FIRST_CHOICE]
