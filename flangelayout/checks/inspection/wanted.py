"""The further reading that narrows most of what readings leave open, and the order in which to measure a part.

Each reading is taken to be off at random by what it is good to, and each place by far more before anything is
read. A reading is worth by how much it narrows the lengths and places that matter: the sum of
``-log(1 - r * r)`` over them, where r is how closely they hang together with it (the information of two normal
quantities about each other, T. Cover and J. Thomas, Elements of Information Theory, chapter 8).
"""

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import TYPE_CHECKING

from flangelayout.checks.inspection.allowed_parts import Unknowns, plain_lengths, read_lengths, unknowns_of
from flangelayout.checks.inspection.caliper_results import (
    Between,
    CircleOf,
    LimitResult,
    PlacesResult,
    Standing,
    WantedReading,
    WidthOf,
)
from flangelayout.checks.inspection.stated import (
    MOST_PAIRED,
    asked_by_card,
    held_sizes,
    members,
    neighbors,
    pairs_off_circles,
)
from flangelayout.checks.inspection.tolerances import InspectionLimits, held_width
from flangelayout.flange import Dowel, Flange, Hole, Jack, Tapped
from flangelayout.survey.form import FormBox
from flangelayout.survey.kinds import KINDS, Kind
from flangelayout.survey.readings import Reading

if TYPE_CHECKING:
    from flangelayout.geometry.arrays import FloatArray

_UNKNOWN = 3.0
"""Standard uncertainty in mm of anything before it is read: far more than any caliper's."""
_WORTH = 0.05
_MOST_HOLES = MOST_PAIRED
_CHORD = Kind.SAME_EDGES
_THREADED = Tapped | Jack


def wanted_reading(
    flange: Flange, taken: Sequence[Reading], judged: Sequence[LimitResult], places: PlacesResult | None
) -> WantedReading | None:
    """The reading that narrows most of what is open; ``None`` where none narrows anything worth mentioning."""
    labels = [hole.label for hole in flange.holes()]
    number = {label: place for place, label in enumerate(labels, 1)}
    pairs = _pairs(flange)
    chords = [Reading(_CHORD, a.center.distance_to(b.center), number[a.label], number[b.label]) for a, b in pairs]
    widths = [
        Reading(Kind.HOLE_DIAMETER, each.nominal, number[each.what.label])
        for each in judged
        if isinstance(each.what, WidthOf) and each.standing is Standing.OPEN
    ]
    offered = [each for each in (*chords, *widths) if _is_new(each, taken)]
    aims = _aims(flange, judged, places)
    best = _most_telling(flange, taken, offered, aims)
    if best is None:
        return None
    ends = tuple(labels[end - 1] for end in (best.from_hole, best.to_hole) if end is not None)
    return WantedReading(best.kind, ends, best.value)


def measuring_order(flange: Flange, group: int) -> tuple[tuple[Hole, Hole], ...]:
    """The chords to measure on a group, in order: those across, every neighbor, then what fixes the places.

    The chords across hold the circle best; the neighbors are what standards limit. What these leave loose is
    held by as few more as it takes, each the one that narrows most. Of more than 60 holes only these first two.
    """
    ring = members(flange, group)
    pairs = _pairs_of(ring)
    sure = len(ring) // 2 * (len(ring) % 2 == 0) + len(neighbors(ring)) if len(ring) > 3 else len(pairs)
    number = {hole.label: place for place, hole in enumerate(flange.holes(), 1)}
    offered = [Reading(_CHORD, a.center.distance_to(b.center), number[a.label], number[b.label]) for a, b in pairs]
    order = list(range(min(sure, len(pairs))))
    aims = [(a.label, b.label) for a, b in pairs]
    while len(ring) <= _MOST_HOLES and len(order) < len(pairs) and _is_loose(flange, [offered[at] for at in order]):
        left = [at for at in range(len(pairs)) if at not in order]
        best = _most_telling(flange, [offered[at] for at in order], [offered[at] for at in left], aims)
        if best is None:
            break
        order.append(offered.index(best))
    return tuple(pairs[at] for at in order)


def _is_loose(flange: Flange, taken: Sequence[Reading]) -> bool:
    """Whether chords leave some hole free to move against the others."""
    import numpy as np

    holes = {hole.label: hole for hole in flange.holes()}
    unknowns = unknowns_of(flange, holes, taken)
    slopes = read_lengths(unknowns, list(holes), taken).slopes(unknowns.drawn)
    return bool(np.linalg.matrix_rank(slopes, tol=1e-6) < 2 * len(unknowns.points) - 3)


def inspection_boxes(flange: Flange, limits: InspectionLimits) -> tuple[FormBox, ...]:
    """What to read on a finished part, in order: the plate's diameters that are judged, holes' widths, the chords.

    Of threads nothing: their drill tells no one whether a screw goes in.
    """
    number = {hole.label: place for place, hole in enumerate(flange.holes(), 1)}
    sizes = held_sizes(flange)
    boxes = [FormBox(kind) for kind in (Kind.OUTSIDE_DIAMETER, Kind.BORE) if kind in sizes]
    boxes += [
        FormBox(Kind.HOLE_DIAMETER, None if hole is None else number[hole.label])
        for hole in read_in_width(flange, limits)
    ]
    pairs = [pair for group in range(len(flange.bolt_circles)) for pair in measuring_order(flange, group)]
    ends = [(one.label, other.label) for one, other in (*pairs, *pairs_off_circles(flange))]
    ends += [(each.first, each.second) for each in asked_by_card(flange, limits) if isinstance(each, Between)]
    chords = {frozenset(pair): FormBox(_CHORD, *(number[label] for label in pair)) for pair in dict.fromkeys(ends)}
    return (*boxes, *chords.values())


def read_in_width(flange: Flange, limits: InspectionLimits) -> Iterator[Hole | None]:
    """The holes to read in width; ``None`` for any of the first pattern.

    Each that has limits, and all of the circles where one has; else one of each pattern, or of a plate that has none.
    """
    holes = [hole for hole in flange.holes() if not isinstance(hole.kind, _THREADED)]
    held = [hole for hole in holes if held_width(hole, limits)]
    if any(not isinstance(hole.kind, Dowel) for hole in held):
        named = [hole for hole in _first_holes(flange) if not isinstance(hole.kind, _THREADED)]
    else:
        each = {hole.group: hole for hole in reversed(holes) if hole.group >= 0 or not flange.groups()}
        named = [each[group] for group in sorted(each) if group != 0]
        if 0 in each:
            yield None if len(members(flange, 0)) <= MOST_PAIRED else each[0]
    yield from named
    listed = {hole.label for hole in named}
    yield from [hole for hole in held if hole.label not in listed][:MOST_PAIRED]


def _first_holes(flange: Flange) -> tuple[Hole, ...]:
    """The holes of the bolt circles, as many of each as a person would measure."""
    groups = range(len(flange.bolt_circles))
    return tuple(hole for group in groups for hole in members(flange, group)[:MOST_PAIRED])


def _pairs(flange: Flange) -> list[tuple[Hole, Hole]]:
    """Pairs of holes of one group that a person would measure."""
    return [
        pair
        for group in range(len(flange.groups()))
        if len(members(flange, group)) <= _MOST_HOLES
        for pair in _pairs_of(members(flange, group))
    ]


def _pairs_of(ring: Sequence[Hole]) -> list[tuple[Hole, Hole]]:
    """Opposite ones of an even number first, then neighbors, those across one hole and two, the longest."""
    count = len(ring)
    found: dict[frozenset[str], tuple[Hole, Hole]] = {}
    for step in (count // 2 if count % 2 == 0 else 1, 1, 2, 3, count // 2):
        for place in range(count) if 0 < step < count else ():
            pair = (ring[place], ring[(place + step) % count])
            found.setdefault(frozenset((pair[0].label, pair[1].label)), pair)
    return list(found.values())


def _is_new(reading: Reading, taken: Sequence[Reading]) -> bool:
    ends = {reading.from_hole, reading.to_hole}
    return not any({each.from_hole, each.to_hole} == ends for each in taken)


def _aims(flange: Flange, judged: Sequence[LimitResult], places: PlacesResult | None) -> list[tuple[str, ...]]:
    """What is open, as the labels of two holes or of one; circles and places as the pairs across them."""
    found: list[tuple[str, ...]] = []
    for each in judged:
        if each.standing is not Standing.OPEN:
            continue
        if isinstance(each.what, Between):
            found.append((each.what.first, each.what.second))
        elif isinstance(each.what, WidthOf):
            found.append((each.what.label,))
        elif isinstance(each.what, CircleOf):
            ring = members(flange, each.what.group)
            found += [(a.label, b.label) for a, b in zip(ring, ring[len(ring) // 2 :], strict=False)]
    if places is not None and places.standing is Standing.OPEN:
        found += list(combinations(places.what.labels[:_MOST_HOLES], 2))
    return found


def _most_telling(
    flange: Flange, taken: Sequence[Reading], offered: Sequence[Reading], aims: Sequence[tuple[str, ...]]
) -> Reading | None:
    """The offered reading that narrows the aims most, the first of equals."""
    import numpy as np

    if not offered or not aims:
        return None
    holes = {hole.label: hole for hole in flange.holes()}
    unknowns = unknowns_of(flange, holes, (*taken, *offered))
    spread = np.full(len(unknowns.drawn), _UNKNOWN**2)
    known = read_lengths(unknowns, list(holes), taken).slopes(unknowns.drawn)
    doubts = np.array([each.standard_uncertainty**2 for each in taken])
    covariance = np.diag(spread)
    if len(taken):
        gain = covariance @ known.T
        covariance = covariance - gain @ np.linalg.solve(known @ gain + np.diag(doubts), gain.T)
    rows = read_lengths(unknowns, list(holes), offered).slopes(unknowns.drawn)
    own = np.einsum("mn,nk,mk->m", rows, covariance, rows)
    noise = np.array([(KINDS[each.kind].within / 2) ** 2 for each in offered])
    sought = _lengths_of(unknowns, aims) @ covariance
    width = np.maximum(np.einsum("an,an->a", sought, _lengths_of(unknowns, aims)), 1e-12)
    share = (sought @ rows.T) ** 2 / width[:, None] / (own + noise)
    worth = -np.log1p(-np.minimum(share, 1 - 1e-12)).sum(axis=0)
    best = int(np.argmax(np.round(worth, 6)))
    return offered[best] if worth[best] > _WORTH else None


def _lengths_of(unknowns: Unknowns, aims: Sequence[tuple[str, ...]]) -> "FloatArray":
    """How the lengths of the aims change with every unknown; those of holes that nothing could read are left out."""
    ends = []
    for aim in aims:
        if len(aim) == 1 and aim[0] in unknowns.sizes:
            ends.append((-1, -1, unknowns.sizes[aim[0]]))
        elif len(aim) == 2 and all(label in unknowns.points for label in aim):
            ends.append((unknowns.points[aim[0]], unknowns.points[aim[1]], -1))
    return plain_lengths(unknowns, ends).slopes(unknowns.drawn)
