"""The finished part against its drawing: where its holes are, whether that is good enough, what would mend it."""

import math
from collections.abc import Sequence
from functools import partial
from itertools import combinations
from typing import TYPE_CHECKING

from flangelayout.checks.fitting.matching import best_match
from flangelayout.checks.fitting.minimax import Freedom, Placing, least_squares, minimax
from flangelayout.checks.inspection.caliper_results import SizeOf
from flangelayout.checks.inspection.mending import ways_to_mend
from flangelayout.checks.inspection.misread import refuse_misread
from flangelayout.checks.inspection.results import (
    HoleResult,
    Inspection,
    LeftOpen,
    MateResult,
    MeasuredHole,
    OtherSize,
    PlateSize,
    Rework,
    SizeResult,
)
from flangelayout.checks.inspection.rework import PASSES, Excess, least_rework
from flangelayout.checks.inspection.stated import (
    bare_widths,
    held_chords,
    held_in_general,
    held_sizes,
    loose_holes,
    members,
    neighbors,
    opposites,
    other_sizes,
    plate_limits,
    stated_limits,
    zone_of,
)
from flangelayout.checks.inspection.tolerances import Allowed, InspectionLimits, held_width
from flangelayout.checks.mating.mating import bolt_clearance
from flangelayout.errors import InputError, Problem
from flangelayout.flange import Flange, Hole, Jack, Tapped
from flangelayout.geometry.circle_fit import fit_circle
from flangelayout.geometry.shapes import ORIGIN, Point
from flangelayout.problems.checks import CheckProblem
from flangelayout.standards.bolts import known_bolt
from flangelayout.survey.kinds import Kind
from flangelayout.units import Unit
from flangelayout.value import replace

if TYPE_CHECKING:
    from flangelayout.geometry.arrays import FloatArray

_OF_PLATE = {Kind.OUTSIDE_DIAMETER: OtherSize.OUTSIDE, Kind.BORE: OtherSize.BORE}

_ASTRAY, _MIRRORED = 1.0, 0.2
"""In mm, how far off holes lie on the average to be asked, and what share of it is left for a mirror image."""


def inspect_part(
    flange: Flange,
    measured: Sequence[MeasuredHole],
    limits: InspectionLimits,
    bore: MeasuredHole | None = None,
    datum_bore: bool = False,
    mate_holes: "dict[str, tuple[Point, float]] | None" = None,
    unit: Unit = Unit.MM,
) -> Inspection:
    """The measured holes of a part against its drawing.

    Args:
        flange: The drawing.
        measured: Holes in any coordinates; with labels as on the drawing, or without any.
        limits: What the part is held to.
        bore: The bore, where it was measured.
        datum_bore: Whether the bore is the datum and only the turn is fitted; unmeasured, it is at their origin.
        mate_holes: Place and width of the mating part's hole by label, where it is not drilled as this one.
        unit: Of the shop's drills.

    Raises:
        InputError: If labels, counts or a width do not go with the drawing.
    """
    freedom, origin, pairs = _begun(flange, measured, bore, datum_bore)
    drawn, found = _points([hole.center for hole, _ in pairs]), _points([each.center for _, each in pairs]) - origin
    squares = least_squares(drawn, found, freedom)
    results = [_unplaced(hole, each, limits) for hole, each in pairs]
    placing, plain, bonus = _fits(drawn, found, results, freedom, squares)
    holes = _placed(results, placing, found - placing.moved(drawn))
    return Inspection(
        placing=_from_origin(placing, origin),
        squares=_from_origin(squares, origin),
        rms=float((squares.offsets(drawn, found) ** 2).mean() ** 0.5),
        freedom=freedom,
        holes=holes,
        circles=_circles(flange, holes, limits),
        chords=_chords(flange, holes, limits),
        mates=_mates(flange, holes, limits, mate_holes or {}, unit),
        passes_plain=plain,
        passes_bonus=bonus,
        eccentricity=_eccentricity(flange, holes, bore.center if bore else None),
        plate_sizes=_plate_sizes(flange, bore),
        is_mirrored=_is_mirrored(drawn, found, freedom),
        left=_left(flange, holes, limits, bore, datum_bore=datum_bore),
    )


def _is_mirrored(drawn: "FloatArray", found: "FloatArray", freedom: Freedom) -> bool:
    """Whether the places suit the drawing seen from behind, and not the drawing."""
    as_drawn, turned_over = (
        float((least_squares(each, found, freedom).offsets(each, found) ** 2).mean() ** 0.5)
        for each in (drawn, drawn * (-1.0, 1.0))
    )
    return as_drawn > _ASTRAY and turned_over < _MIRRORED * as_drawn


def _begun(
    flange: Flange, measured: Sequence[MeasuredHole], bore: MeasuredHole | None, datum_bore: bool
) -> "tuple[Freedom, FloatArray, list[tuple[Hole, MeasuredHole]]]":
    """What is fitted, the place about which, and each measured hole with the drawn one whose width it may have."""
    freedom = Freedom.TURN if datum_bore else Freedom.TURN_AND_SHIFT
    origin = _points([bore.center if datum_bore and bore else ORIGIN])[0]
    pairs = _paired(flange, measured, freedom, origin)
    refuse_misread((hole, each.diameter) for hole, each in pairs if each.diameter is not None)
    return freedom, origin, pairs


def _points(points: Sequence[Point]) -> "FloatArray":
    import numpy as np

    return np.array([(point.x, point.y) for point in points])


def _placed(results: Sequence[HoleResult], placing: Placing, off: "FloatArray") -> tuple[HoleResult, ...]:
    """The results with their deviations, turned back into the coordinates of the drawing."""
    back = Placing(-placing.turn_deg).moved(off)
    return tuple(replace(each, deviation=Point(x, y)) for each, (x, y) in zip(results, back.tolist(), strict=True))


def _from_origin(placing: Placing, origin: "FloatArray") -> Placing:
    """A placing in the measured coordinates that was found in those about a datum."""
    return Placing(placing.turn_deg, placing.shift_x + float(origin[0]), placing.shift_y + float(origin[1]))


def _paired(
    flange: Flange, measured: Sequence[MeasuredHole], freedom: Freedom, origin: "FloatArray"
) -> list[tuple[Hole, MeasuredHole]]:
    """Each measured hole with the drawn one it is, in the drawing's order."""
    holes = flange.holes()
    labeled = [each for each in measured if each.label]
    if labeled and len(labeled) < len(measured):
        raise InputError.of(CheckProblem.SOME_HOLES_UNNAMED, "hole", count=len(measured) - len(labeled))
    if len(measured) < 2:
        raise InputError.of(CheckProblem.TOO_FEW_MEASURED, count=len(measured))
    if labeled:
        return _by_label(holes, measured)
    if len(measured) > len(holes):
        raise InputError.of(CheckProblem.MORE_MEASURED_THAN_DRAWN, count=len(measured), drawn=len(holes))
    import numpy as np

    drawn = np.array([(hole.center.x, hole.center.y) for hole in holes])
    found = np.array([(each.center.x, each.center.y) for each in measured]) - origin
    match = best_match(found, drawn, np.zeros(len(found)), np.zeros(len(drawn)), freedom)
    places = sorted(zip(match.second, match.first, strict=True))
    pairs = [(holes[drawn_at], measured[found_at]) for drawn_at, found_at in places]
    widths = {hole.diameter for hole in holes}
    for hole, each in pairs:
        if (width := each.diameter) is not None and min(widths, key=partial(_off, width)) != hole.diameter:
            raise InputError.of(CheckProblem.WIDTHS_NOT_BY_PLACE, "hole", label=hole.label)
    return pairs


def _off(width: float, drawn: float) -> float:
    return abs(drawn - width)


def _by_label(holes: tuple[Hole, ...], measured: Sequence[MeasuredHole]) -> list[tuple[Hole, MeasuredHole]]:
    known = {hole.label.casefold(): hole for hole in holes}
    problems = [
        Problem("hole", CheckProblem.NO_SUCH_HOLE, label=each.label, first=holes[0].label, last=holes[-1].label)
        for each in measured
        if each.label.casefold() not in known
    ]
    labels = [each.label.casefold() for each in measured]
    problems += [
        Problem("hole", CheckProblem.HOLE_TWICE, label=label)
        for label in dict.fromkeys(labels)
        if labels.count(label) > 1
    ]
    if problems:
        raise InputError(*problems)
    by_label = {each.label.casefold(): each for each in measured}
    return [(hole, by_label[label]) for label, hole in known.items() if label in by_label]


def _unplaced(hole: Hole, measured: MeasuredHole, limits: InspectionLimits) -> HoleResult:
    """A hole with its zone, its deviation left open."""
    zone = zone_of(hole, limits)
    usual = zone is not None and limits.position is None
    least = hole.diameter - (limits.hole_minus or 0.0)
    size = measured.diameter
    return HoleResult(
        hole=hole,
        measured=measured,
        deviation=Point(0.0, 0.0),
        zone=zone,
        bonus=max(size - least, 0.0) if size is not None else 0.0,
        with_bonus=usual if limits.maximum_material is None else limits.maximum_material,
        size_fits=_size_fits(hole, size, limits),
    )


def _size_fits(hole: Hole, size: float | None, limits: InspectionLimits) -> bool | None:
    held = held_width(hole, limits)
    if size is None or held is None:
        return None
    over = held.plus is not None and size > hole.diameter + held.plus + PASSES
    under = held.minus is not None and size < hole.diameter - held.minus - PASSES
    return not (over or under)


def _fits(
    drawn: "FloatArray", found: "FloatArray", results: list[HoleResult], freedom: Freedom, squares: Placing
) -> tuple[Placing, bool | None, bool | None]:
    """The placing of the verdict, and whether all zones hold without and with the bonus, each at its best placing.

    Where the zones do not hold, the fewest holes fail at the placing of the verdict.
    """
    import numpy as np

    judged = [index for index, each in enumerate(results) if each.zone is not None]
    if not judged:
        return minimax(drawn, found, np.zeros(len(drawn)), freedom, squares), None, None
    zones = np.array([each.zone.value for each in results if each.zone is not None])
    bonus = np.array([results[index].bonus for index in judged])
    counts = np.array([results[index].with_bonus for index in judged])

    def fit(allowed: "FloatArray") -> tuple[Placing, bool]:
        placing = minimax(drawn[judged], found[judged], allowed / 2, freedom)
        return placing, float((placing.offsets(drawn[judged], found[judged]) - allowed / 2).max()) <= PASSES

    allowed = zones + np.where(counts, bonus, 0.0)
    placing, fits = fit(allowed)
    if not fits:
        placing = least_rework(drawn[judged], found[judged], allowed / 2, freedom).placing
    return placing, fit(zones)[1], fit(zones + bonus)[1]


def _in_group(holes: tuple[HoleResult, ...], group: int) -> list[HoleResult]:
    return [each for each in holes if each.hole.group == group]


def _circles(flange: Flange, holes: tuple[HoleResult, ...], limits: InspectionLimits) -> tuple[SizeResult, ...]:
    """The measured bolt circle of every group of three measured holes or more."""
    results = []
    for group, circle in enumerate(flange.bolt_circles):
        centers = [each.measured.center for each in _in_group(holes, group)]
        if len(centers) >= 3:
            measured = 2 * fit_circle(centers).radius
            tolerance = limits.group(group).bolt_circle
            results.append(SizeResult(flange.group_name(group), circle.diameter, measured, tolerance))
    return tuple(results)


def _chords(flange: Flange, holes: tuple[HoleResult, ...], limits: InspectionLimits) -> tuple[SizeResult, ...]:
    """What :class:`Inspection` lists between centers, as far as it was measured."""
    found = {each.hole.label: each for each in holes}
    results: list[SizeResult] = []
    for group in range(len(flange.bolt_circles)):
        ring = members(flange, group)
        held = {_ends(a, b): allowed for (a, b), allowed in held_chords(flange, group, limits.group(group))}
        shown = {_ends(a, b): (a, b) for a, b in neighbors(ring)}
        if limits.group(group).any_chord:
            shown |= {_ends(a, b): (a, b) for a, b in opposites(ring)}
        others = {_ends(a, b): (a, b) for a, b in combinations(ring, 2) if _ends(a, b) in held.keys() - shown.keys()}
        for ends, (a, b) in (*shown.items(), *others.items()):
            if a.label in found and b.label in found:
                chord = _chord(found[a.label], found[b.label], held.get(ends))
                results += [chord] if ends in shown or chord.passed is False else []
    for one, other, allowed in held_in_general(flange):
        if one.label in found and other.label in found:
            results.append(_chord(found[one.label], found[other.label], allowed))
    return tuple(results)


def _ends(a: Hole, b: Hole) -> frozenset[str]:
    return frozenset((a.label, b.label))


def _chord(a: HoleResult, b: HoleResult, tolerance: Allowed | None) -> SizeResult:
    nominal = a.hole.center.distance_to(b.hole.center)
    measured = a.measured.center.distance_to(b.measured.center)
    return SizeResult(f"{a.hole.label} - {b.hole.label}", nominal, measured, tolerance, _ends(a.hole, b.hole))


def _plate_sizes(flange: Flange, bore: MeasuredHole | None) -> tuple[PlateSize, ...]:
    if bore is None or bore.diameter is None:
        return ()
    held = (each for each in plate_limits(flange) if each.what == SizeOf(Kind.BORE))
    return tuple(PlateSize(OtherSize.BORE, bore.diameter, each.least, each.most, each.source) for each in held)


def _left(
    flange: Flange,
    found: tuple[HoleResult, ...],
    limits: InspectionLimits,
    bore: MeasuredHole | None,
    *,
    datum_bore: bool,
) -> LeftOpen:
    """What places and widths of holes do not tell: they say nothing of the plate's own sizes and of threads."""
    drawn, taken = flange.holes(), {each.hole.label: each.measured.diameter for each in found}
    read = {Kind.BORE} if bore is not None and bore.diameter is not None else set[Kind]()
    sizes = [_OF_PLATE[kind] for kind in _OF_PLATE if kind in held_sizes(flange) - read]
    sizes += other_sizes(flange, limits)
    is_stated = bool(sizes or any(zone_of(hole, limits) for hole in drawn) or stated_limits(flange, limits))
    sizes += [OtherSize.TO_BORE] if datum_bore and is_stated and any(each.zone is None for each in found) else []
    widths = [hole for hole in drawn if hole.label in taken and held_width(hole, limits) is not None]
    bare = bare_widths(flange, limits)
    return LeftOpen(
        has_card=bool(flange.groups()),
        holes=tuple(hole for hole in drawn if hole.label not in taken),
        widths=tuple(hole for hole in widths if taken[hole.label] is None),
        apart=tuple(hole for hole in loose_holes(flange, limits, taken) if hole.label in taken),
        unlimited=tuple(hole for hole in bare if taken.get(hole.label) is not None),
        threaded=tuple(hole for hole in drawn if isinstance(hole.kind, Tapped | Jack)),
        sizes=tuple(sizes),
        is_stated=is_stated,
    )


def _eccentricity(flange: Flange, holes: tuple[HoleResult, ...], bore: Point | None) -> tuple[tuple[str, float], ...]:
    """How far the middle of each bolt circle is from the measured bore."""
    if bore is None:
        return ()
    found = []
    for group in range(len(flange.bolt_circles)):
        centers = [each.measured.center for each in _in_group(holes, group)]
        if len(centers) >= 3:
            found.append((flange.group_name(group), fit_circle(centers).center.distance_to(bore)))
    return tuple(found)


def _mates(
    flange: Flange,
    holes: tuple[HoleResult, ...],
    limits: InspectionLimits,
    mate_holes: dict[str, tuple[Point, float]],
    unit: Unit,
) -> tuple[MateResult, ...]:
    """Whether the bolts of each group pass its mate; every group may be set to its own mate freely."""
    import numpy as np

    results = []
    for group in range(len(flange.groups())):
        bolt = limits.group(group).bolt
        named = known_bolt(bolt)
        own = _in_group(holes, group)
        if named is None or len(own) < 2:
            continue
        diameter = named.diameter
        mates = [mate_holes.get(each.hole.label, (each.hole.center, each.hole.diameter)) for each in own]
        there = np.array([(center.x, center.y) for center, _ in mates])
        here = np.array([(each.measured.center.x, each.measured.center.y) for each in own])
        widths = np.array([_width(each) for each in own])
        rooms, their_rooms = (widths - diameter) / 2, (np.array([width for _, width in mates]) - diameter) / 2
        best = minimax(there, here, rooms + their_rooms).offsets(there, here).tolist()
        room = min(bolt_clearance(*each) for each in zip(rooms.tolist(), their_rooms.tolist(), best, strict=True))
        words = "given mate" if mate_holes else "a mate drilled as drawn"
        excess = least_rework(there, here, np.maximum(rooms, 0.0) + their_rooms, Freedom.TURN_AND_SHIFT)
        rework = _rework(own, excess, there, diameter) if their_rooms.min() >= 0 else ()
        by_label = dict(zip((each.hole.label for each in own), their_rooms.tolist(), strict=True))
        ways = tuple(
            way for each in rework for way in ways_to_mend(flange, holes, each, bolt, by_label[each.label], unit)
        )
        is_whole = len(own) == sum(hole.group == group for hole in flange.holes())
        results.append(MateResult(group, bolt, words, room, rework, ways, is_whole))
    return tuple(results)


def _width(result: HoleResult) -> float:
    """What a bolt has to go through: the measured hole, or the drawn one where it was not measured."""
    return result.measured.diameter if result.measured.diameter is not None else result.hole.diameter


def _rework(own: list[HoleResult], excess: Excess, there: "FloatArray", bolt: float) -> tuple[Rework, ...]:
    """The holes that lack room, and those that the bolt does not enter."""
    placed = excess.placing.moved(there)
    lacking = dict(zip(excess.holes, excess.amounts, strict=True))
    found = []
    for index, each in enumerate(own):
        center, width, amount = each.measured.center, _width(each), lacking.get(index, 0.0)
        tight = width < bolt - PASSES
        if index in lacking or tight:
            toward = math.degrees(math.atan2(placed[index][1] - center.y, placed[index][0] - center.x))
            direction = (toward - excess.placing.turn_deg) % 360
            size = max(width, bolt) + 2 * amount
            found.append(Rework(each.hole.label, size, None if tight else amount, direction))
    return tuple(found)
