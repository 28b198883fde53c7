"""A finished part held against its drawing by caliper readings, as far as they determine it.

A limit is kept where every part that the readings allow keeps it, broken where none does, and open else: the
rule of ISO 14253-1 (from memory) that a part is proven good only inside its limits less what the instrument is good to,
and proven bad only outside them by as much.
"""

import math
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, assert_never

from flangelayout.checks.inspection.allowed_parts import (
    AGREES,
    AllowedParts,
    Circles,
    Quantity,
    Unknowns,
    allowed_parts,
    placed_labels,
    plain_lengths,
    reach_of,
    read_lengths,
    unknowns_of,
)
from flangelayout.checks.inspection.caliper_results import (
    AllPlaces,
    Between,
    BoltsResult,
    CaliperInspection,
    CircleOf,
    Judged,
    LimitResult,
    PlacesResult,
    ReadingResult,
    SizeOf,
    Standing,
    WidthOf,
    holes_of,
)
from flangelayout.checks.inspection.inspect import inspect_part
from flangelayout.checks.inspection.misread import refuse_misread
from flangelayout.checks.inspection.places import Held, Places, alone_out, least_excess, reached
from flangelayout.checks.inspection.results import Inspection, MeasuredHole
from flangelayout.checks.inspection.stated import (
    asked_by_card,
    bare_widths,
    loose_holes,
    members,
    other_sizes,
    stated_limits,
    zone_of,
)
from flangelayout.checks.inspection.tolerances import Allowed, InspectionLimits, held_width
from flangelayout.checks.inspection.wanted import read_in_width, wanted_reading
from flangelayout.flange import Flange, Hole, Jack, Slot, Tapped
from flangelayout.geometry.shapes import Point
from flangelayout.standards.bolts import known_bolt
from flangelayout.survey.kinds import CHORD_KINDS, KINDS, Kind
from flangelayout.survey.readings import Reading
from flangelayout.units import Unit
from flangelayout.value import replace

if TYPE_CHECKING:
    from flangelayout.geometry.arrays import IntArray

_AS_FAR = 0.01
"""How much less than the worst, as a share of what it is good to, a reading that is off as far may seem to be off."""


def inspect_by_caliper(
    flange: Flange,
    readings: Sequence[Reading],
    limits: InspectionLimits,
    mate_holes: Mapping[str, tuple[Point, float]] | None = None,
    unit: Unit = Unit.MM,
) -> CaliperInspection:
    """The part that was measured against its drawing, every limit judged as far as the readings determine it.

    Args:
        flange: The drawing.
        readings: Checked readings, whose holes are counted from 1 through all holes of the drawing; the width of
            a hole that names none stands for every hole of the first group.
        limits: What the part is held to.
        mate_holes: Place and width of the mating part's hole by label, where it is not drilled as this one.
        unit: Of the shop's drills.

    Raises:
        InputError: If the width of a hole does not go with the drawing.
    """
    case = _AllowedCase(flange, tuple(readings), limits)
    drawn = flange.holes()
    widths = (each for each in case.spread if each.kind is Kind.HOLE_DIAMETER)
    refuse_misread((drawn[each.from_hole - 1], each.value) for each in widths if each.from_hole)
    parts, share = case.fitted(range(len(case.spread)))
    if share > 1.0 + AGREES:
        return CaliperInspection(case.results(()), case.contradicting(parts), False, (), None, (), True, None, None)
    judged = case.limit_results(parts)
    places = case.places(parts)
    bolts = tuple(case.bolts(parts, mate_holes or {}))
    together = case.some_keeps_all(parts, judged)
    stated = (*(each.standing for each in judged), *(each.places.standing for each in bolts))
    is_open = Standing.OPEN in stated or (places is not None and places.standing is Standing.OPEN)
    wanted = wanted_reading(flange, case.spread, judged, places) if is_open else None
    likeliest = _likeliest(case, parts, limits, mate_holes or {}, unit)
    found = CaliperInspection(case.results(judged), (), True, judged, places, bolts, together, wanted, likeliest)
    return case.with_rest(found)


@dataclass(frozen=True)
class _AllowedCase:
    """One part with its readings and limits."""

    flange: Flange
    readings: tuple[Reading, ...]
    limits: InspectionLimits

    @cached_property
    def holes(self) -> dict[str, Hole]:
        """The holes of the drawing by label."""
        return {hole.label: hole for hole in self.flange.holes()}

    @cached_property
    def owners(self) -> tuple[int, ...]:
        """Which reading each of the spread ones is of."""
        return tuple(index for index, each in enumerate(self.readings) for _ in self._spread(each))

    @cached_property
    def spread(self) -> tuple[Reading, ...]:
        """The readings, one that stands for several holes once for each of them."""
        return tuple(part for each in self.readings for part in self._spread(each))

    def _spread(self, reading: Reading) -> tuple[Reading, ...]:
        if reading.kind is not Kind.HOLE_DIAMETER or reading.from_hole is not None:
            return (reading,)
        first = self.flange.holes()[0].group
        numbers = (number for number, hole in enumerate(self.flange.holes(), 1) if hole.group == first)
        return tuple(replace(reading, from_hole=number) for number in numbers)

    def fitted(self, kept: Sequence[int]) -> tuple[AllowedParts, float]:
        """The parts that some of the spread readings allow; see :func:`allowed_parts`."""
        import numpy as np

        taken = [self.spread[index] for index in kept]
        unknowns = unknowns_of(self.flange, self.holes, taken)
        lengths = read_lengths(unknowns, list(self.holes), taken)
        values = np.array([each.value for each in taken])
        within = np.array([each.expanded_uncertainty for each in taken])
        return allowed_parts(unknowns, lengths, values, within, reach_of(self.flange))

    def contradicting(self, parts: AllowedParts) -> tuple[int, ...]:
        """The readings each of which, left out, lets the others agree; they are among those that are off most."""
        import numpy as np

        middle, within = (parts.most + parts.least) / 2, (parts.most - parts.least) / 2
        off = np.abs(parts.lengths.values(parts.center) - middle) / within
        tried = {self.owners[index] for index in np.flatnonzero(off > off.max() - _AS_FAR).tolist()}
        found = []
        for left_out in sorted(tried):
            kept = [index for index, owner in enumerate(self.owners) if owner != left_out]
            if kept and self.fitted(kept)[1] <= 1.0 + AGREES:
                found.append(left_out)
        return tuple(found)

    def limit_results(self, parts: AllowedParts) -> tuple[LimitResult, ...]:
        """Every stated limit, judged over the allowed parts."""
        stated = stated_limits(self.flange, self.limits)
        found = dict(enumerate(stated))
        for places, quantity in self._quantities(parts, stated):
            low, high = parts.extremes(quantity)
            for place, lowest, highest in zip(places, low.tolist(), high.tolist(), strict=True):
                found[place] = _judged(stated[place], lowest, highest)
        return tuple(found.values())

    def _quantities(self, parts: AllowedParts, stated: Sequence[LimitResult]) -> list[tuple[list[int], Quantity]]:
        """What of the stated limits the readings have to do with, as lengths and as circles, with their places."""
        import numpy as np

        unknowns = parts.unknowns
        lengths: list[tuple[int, int, int, int]] = []
        circles: list[tuple[int, IntArray]] = []
        for place, each in enumerate(stated):
            if isinstance(each.what, CircleOf):
                labels = [hole.label for hole in members(self.flange, each.what.group)]
                if all(label in unknowns.points for label in labels):
                    circles.append((place, np.array([unknowns.points[label] for label in labels])))
            elif ends := _found_in(unknowns, each.what):
                lengths.append((place, *ends))
        found: list[tuple[list[int], Quantity]] = []
        if lengths:
            held = plain_lengths(unknowns, [ends for _, *ends in lengths])
            found.append(([place for place, *_ in lengths], held))
        if circles:
            found.append(([place for place, _ in circles], Circles(tuple(points for _, points in circles))))
        return found

    def zones(self, parts: AllowedParts) -> tuple[Places, tuple[str, ...], Allowed | None]:
        """The zones of the holes that were read, the labels of all holes that have one, and the narrowest."""
        zoned = [(hole, zone) for hole in self.holes.values() if (zone := zone_of(hole, self.limits)) is not None]
        known = [(hole, zone) for hole, zone in zoned if hole.label in parts.unknowns.points]
        bonus = [self._bonus(parts, hole) for hole, _ in known]
        slack = [(zone.value + extra[0]) / 2 for (_, zone), extra in zip(known, bonus, strict=True)]
        wide = [(zone.value + extra[1]) / 2 for (_, zone), extra in zip(known, bonus, strict=True)]
        targets = [hole.center for hole, _ in known]
        narrowest = min((zone for _, zone in zoned), key=lambda zone: zone.value, default=None)
        labels = [hole.label for hole, _ in known]
        return places_of(parts, labels, targets, slack, wide), tuple(hole.label for hole, _ in zoned), narrowest

    def _bonus(self, parts: AllowedParts, hole: Hole) -> tuple[float, float]:
        """The least and the greatest that the width of a hole adds to its zone; nothing where it was not read."""
        usual = self.limits.position is None
        with_bonus = usual if self.limits.maximum_material is None else self.limits.maximum_material
        width = self.widths(parts).get(hole.label) if with_bonus else None
        if width is None:
            return 0.0, 0.0
        least = hole.diameter - (self.limits.hole_minus or 0.0)
        return max(width[0] - least, 0.0), max(width[1] - least, 0.0)

    def widths(self, parts: AllowedParts) -> dict[str, tuple[float, float]]:
        """The least and the greatest width of every hole whose width was read, by label."""
        labels = list(self.holes)
        named = {each.from_hole for each in self.spread if each.kind is Kind.HOLE_DIAMETER and each.from_hole}
        read = [labels[number - 1] for number in sorted(named)]
        if not read:
            return {}
        low, high = parts.extremes(plain_lengths(parts.unknowns, [(-1, -1, parts.unknowns.sizes[at]) for at in read]))
        return {label: (a, b) for label, a, b in zip(read, low.tolist(), high.tolist(), strict=True)}

    def places(self, parts: AllowedParts) -> PlacesResult | None:
        """Whether all zones are kept."""
        zones, labels, narrowest = self.zones(parts)
        if narrowest is None or len(labels) < 2:
            return None
        found = replace(_placed(parts, zones, labels, narrowest), is_stated=self.limits.position is not None)
        if found.standing is not Standing.BROKEN:
            return found
        known = [label for label in labels if label in parts.unknowns.points]
        return replace(found, alone=tuple(known[index] for index in alone_out(parts, zones)))

    def bolts(self, parts: AllowedParts, mate_holes: Mapping[str, tuple[Point, float]]) -> Iterator[BoltsResult]:
        """Whether the bolts of each group pass its mate; every group may be set to its own mate freely."""
        widths = self.widths(parts)
        for group in range(len(self.flange.groups())):
            bolt = self.limits.group(group).bolt
            named, own = known_bolt(bolt), [hole for hole in self.holes.values() if hole.group == group]
            if named is None or len(own) < 2:
                continue
            known = [hole for hole in own if hole.label in parts.unknowns.points]
            mates = [mate_holes.get(hole.label, (hole.center, hole.diameter)) for hole in known]
            rooms = [
                [(widths.get(hole.label, (hole.diameter, hole.diameter))[end] - named.diameter) / 2 for hole in own]
                for end in (0, 1)
            ]
            theirs = [(width - named.diameter) / 2 for _, width in mates]
            at = [own.index(hole) for hole in known]
            slack, wide = (
                [max(room[place], 0.0) + their for place, their in zip(at, theirs, strict=True)] for room in rooms
            )
            places = places_of(parts, [hole.label for hole in known], [center for center, _ in mates], slack, wide)
            room = Allowed(2 * min(wide, default=0.0), bolt)
            found = _entering(_placed(parts, places, tuple(hole.label for hole in own), room), *rooms)
            unread = tuple(hole.label for hole in own if hole.label not in widths)
            yield BoltsResult(group, bolt, found, not mate_holes, unread)

    def some_keeps_all(self, parts: AllowedParts, judged: Sequence[LimitResult]) -> bool:
        """Whether some allowed part keeps every limit and every zone at once."""
        import numpy as np

        held = [
            Held(quantity, np.array([judged[at].least for at in places]), np.array([judged[at].most for at in places]))
            for places, quantity in self._quantities(parts, judged)
        ]
        return least_excess(parts, self.zones(parts)[0], held) <= 10 * AGREES

    def with_rest(self, found: CaliperInspection) -> CaliperInspection:
        """What was found, with what the readings have nothing to do with and who is to judge that."""
        return replace(
            found,
            has_card=bool(self.flange.groups()),
            unread=self.unread(),
            other_sizes=tuple(other_sizes(self.flange, self.limits)),
            apart=self.apart(),
            unlimited=self.unlimited(),
            unasked=self.unasked,
            threaded=tuple(hole for hole in self.holes.values() if isinstance(hole.kind, Tapped | Jack)),
        )

    def unread(self) -> tuple[Judged, ...]:
        """What a check card has limits for and no reading is of."""
        read = self._ends_read({*CHORD_KINDS, Kind.HOLE_DIAMETER})
        kinds = {each.kind for each in self.spread}
        left = {hole.label for hole in self.unasked}
        asked = (each for each in asked_by_card(self.flange, self.limits) if left.isdisjoint(_width_of(each)))
        return tuple(
            each
            for each in asked
            if (each.kind not in kinds if isinstance(each, SizeOf) else holes_of(each) not in read)
        )

    def _ends_read(self, kinds: Collection[Kind]) -> frozenset[frozenset[str]]:
        """The holes, by label, that readings of some kinds are between or of."""
        labels = list(self.holes)
        ends = ((each.from_hole, each.to_hole) for each in self.spread if each.kind in kinds)
        return frozenset(frozenset(labels[end - 1] for end in pair if end is not None) for pair in ends)

    def apart(self) -> tuple[Hole, ...]:
        """The holes that no reading with limits, and no zone of one that was read, holds against most of the others."""
        chords = self._ends_read(CHORD_KINDS)
        return loose_holes(self.flange, self.limits, frozenset[str]().union(*chords), chords)

    def _read_in_width(self) -> frozenset[str]:
        """The holes whose width was read, by label."""
        return frozenset[str]().union(*self._ends_read((Kind.HOLE_DIAMETER,)))

    @cached_property
    def unasked(self) -> tuple[Hole, ...]:
        """The holes whose width has limits and no reading, and no box on a form: it has none for so many."""
        boxed = {hole.label for hole in read_in_width(self.flange, self.limits) if hole is not None}
        known = boxed | self._read_in_width()
        held = (hole for hole in self.holes.values() if held_width(hole, self.limits))
        return tuple(hole for hole in held if hole.label not in known)

    def unlimited(self) -> tuple[Hole, ...]:
        """The holes whose width was read and is held by nothing."""
        read = self._read_in_width()
        return tuple(hole for hole in bare_widths(self.flange, self.limits) if hole.label in read)

    def results(self, judged: Sequence[LimitResult]) -> tuple[ReadingResult, ...]:
        """The readings with what they would be as drawn, and the limits of what they read."""
        by_ends = {
            frozenset((each.what.first, each.what.second)): each for each in judged if isinstance(each.what, Between)
        }
        by_width = {each.what.label: each for each in judged if isinstance(each.what, WidthOf)}
        by_kind = {each.what.kind: each for each in judged if isinstance(each.what, SizeOf)}
        labels = list(self.holes)
        found = []
        for reading in self.readings:
            ends = tuple(labels[end - 1] for end in (reading.from_hole, reading.to_hole) if end is not None)
            limit = by_ends.get(frozenset(ends)) if reading.kind in CHORD_KINDS else by_kind.get(reading.kind)
            if reading.kind is Kind.HOLE_DIAMETER and ends:
                limit = by_width.get(ends[0])
            spread = self._spread(reading)[:1]
            unknowns = unknowns_of(self.flange, self.holes, spread)
            nominal = float(read_lengths(unknowns, labels, spread).values(unknowns.drawn)[0])
            drawn = nominal if KINDS[reading.kind].shares.stud == 0 else None
            of = self.flange.holes()[(spread[0].from_hole or 1) - 1] if reading.kind is Kind.HOLE_DIAMETER else None
            found.append(ReadingResult(reading, ends, drawn, limit, of is not None and isinstance(of.kind, Slot)))
        return tuple(found)


def _width_of(what: Judged) -> tuple[str, ...]:
    """The hole whose width it is."""
    return (what.label,) if isinstance(what, WidthOf) else ()


def _found_in(unknowns: Unknowns, what: Between | WidthOf | SizeOf) -> tuple[int, int, int] | None:
    """The two points of a length, or -1, and where a size stands, or -1; ``None`` where nothing was read of it."""
    match what:
        case Between(first=first, second=second):
            ends = unknowns.points.get(first), unknowns.points.get(second)
            return None if ends[0] is None or ends[1] is None else (ends[0], ends[1], -1)
        case WidthOf(label=label):
            at = unknowns.sizes.get(label)
        case SizeOf(kind=kind):
            at = unknowns.singles.get(kind)
        case _:
            assert_never(what)
    return None if at is None else (-1, -1, at)


def places_of(
    parts: AllowedParts, labels: Sequence[str], targets: Sequence[Point], slack: Sequence[float], wide: Sequence[float]
) -> Places:
    """Places that some holes must keep, by label."""
    import numpy as np

    return Places(
        np.array([parts.unknowns.points[label] for label in labels], dtype=int),
        np.array([(target.x, target.y) for target in targets]).reshape(-1, 2),
        np.array(slack),
        np.array(wide),
    )


def _judged(stated: LimitResult, low: float, high: float) -> LimitResult:
    """A limit with the range of its length over the allowed parts."""
    standing = Standing.OPEN
    if low >= stated.least - 10 * AGREES and high <= stated.most + 10 * AGREES:
        standing = Standing.KEPT
    elif high < stated.least - 10 * AGREES or low > stated.most + 10 * AGREES:
        standing = Standing.BROKEN
    return replace(stated, low=low, high=high, standing=standing)


def _placed(parts: AllowedParts, places: Places, labels: tuple[str, ...], zone: Allowed) -> PlacesResult:
    """Whether the holes of some labels keep places; those that were not read are held by nothing."""
    least, most = -math.inf, math.inf
    if len(places.points) >= 2:
        found = reached(parts, places)
        least, most = found.least, found.most if len(places.points) == len(labels) else math.inf
    standing = Standing.BROKEN if least > 10 * AGREES else Standing.KEPT if most <= 10 * AGREES else Standing.OPEN
    return PlacesResult(AllPlaces(labels), zone.value, zone.source, least, most, standing)


def _entering(found: PlacesResult, narrow: Sequence[float], wide: Sequence[float]) -> PlacesResult:
    """Bolts also have to enter the holes of this part, whose radial room is so much at least and at most."""
    if min(wide) < -10 * AGREES:
        return replace(
            found, least=max(found.least, -min(wide)), most=max(found.most, -min(narrow)), standing=Standing.BROKEN
        )
    if min(narrow) < -10 * AGREES and found.standing is Standing.KEPT:
        return replace(found, most=-min(narrow), standing=Standing.OPEN)
    return found


def _likeliest(
    case: _AllowedCase,
    parts: AllowedParts,
    limits: InspectionLimits,
    mate_holes: Mapping[str, tuple[Point, float]],
    unit: Unit,
) -> Inspection | None:
    """The best part held against the drawing as if its places had been measured, where readings fix them."""
    held = placed_labels(parts)
    if len(held) < 2:
        return None
    middle = {label: (low + high) / 2 for label, (low, high) in case.widths(parts).items()}
    places = parts.center
    measured = [
        MeasuredHole(Point(float(places[2 * at]), float(places[2 * at + 1])), label, middle.get(label))
        for label, at in parts.unknowns.points.items()
        if label in held
    ]
    return inspect_part(case.flange, measured, limits, mate_holes=dict(mate_holes), unit=unit)
