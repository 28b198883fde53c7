"""What is stated of a finished part: the limits of its lengths and the zones of its holes."""

import math
from bisect import bisect_left
from collections.abc import Collection, Iterable, Iterator, Sequence
from itertools import combinations, pairwise

from flangelayout.checks.inspection.caliper_results import (
    Between,
    CircleOf,
    Judged,
    LimitResult,
    SizeOf,
    Standing,
    WidthOf,
)
from flangelayout.checks.inspection.results import OtherSize
from flangelayout.checks.inspection.tolerances import (
    Allowed,
    GroupLimits,
    InspectionLimits,
    allowed_between,
    edge_allowed,
    general_allowed,
    held_width,
    pattern_of,
)
from flangelayout.checks.measuring import are_adjacent, form_sizes, further_pairs, plate_sides, seat_sizes, spans
from flangelayout.flange import (
    Dowel,
    Flange,
    Hole,
    Jack,
    RoundOutline,
    Slot,
    SplitOutline,
    Tapped,
)
from flangelayout.standards.bolts import known_bolt
from flangelayout.standards.tolerances.block import is_read
from flangelayout.survey.kinds import Kind

MOST_PAIRED = 60
"""Most holes of which every two are held to a limit of any chord; of more the neighbors, and all against one."""
_ASLANT = 0.1
"""Sine of the angle that two lengths make at the least to hold a hole both ways."""
_SAME_ANGLE = 1e-7
_SAME = 1e-6
"""In mm, between equal distances."""
_OF_A_CLASS = Tapped | Jack | Dowel


def zone_of(hole: Hole, limits: InspectionLimits) -> Allowed | None:
    """The zone a center must lie in without any bonus: as stated, else hole less bolt where there is a bolt."""
    if limits.position is not None:
        return limits.position
    bolt = limits.group(hole.group).bolt if hole.group >= 0 else ""
    named = known_bolt(bolt)
    if named is None or hole.diameter <= named.diameter:
        return None
    return Allowed(hole.diameter - named.diameter, f"hole less {bolt} bolt, floating fastener, ASME Y14.5")


def members(flange: Flange, group: int) -> tuple[Hole, ...]:
    """The holes of a group in their order round the circle, the one with the least number first."""
    around = sorted((hole for hole in flange.holes() if hole.group == group), key=lambda hole: hole.angle)
    first = min(range(len(around)), key=lambda index: around[index].number, default=0)
    return (*around[first:], *around[:first])


def neighbors(holes: tuple[Hole, ...]) -> tuple[tuple[Hole, Hole], ...]:
    """Each hole of a ring with the one after it."""
    ring = tuple(zip(holes, (*holes[1:], *holes[:1]), strict=True))
    return ring if len(holes) > 2 else ring[: len(holes) - 1]


def stated_limits(flange: Flange, limits: InspectionLimits) -> tuple[LimitResult, ...]:
    """Every limit of a length that is stated, as yet held by no reading."""
    chords = (*_chords(flange, limits), *_beside_circles(flange))
    return (*_circles(flange, limits), *chords, *_widths(flange, limits), *plate_limits(flange))


def _circles(flange: Flange, limits: InspectionLimits) -> Iterator[LimitResult]:
    for group, circle in enumerate(flange.bolt_circles):
        allowed = limits.group(group).bolt_circle
        if allowed is not None and len(members(flange, group)) >= 3:
            what = CircleOf(group, flange.group_name(group))
            yield _unread(what, circle.diameter, allowed.value, allowed.value, allowed.source)


def _chords(flange: Flange, limits: InspectionLimits) -> Iterator[LimitResult]:
    for group in range(len(flange.bolt_circles)):
        for (a, b), allowed in held_chords(flange, group, limits.group(group)):
            nominal = a.center.distance_to(b.center)
            yield _unread(Between(a.label, b.label), nominal, allowed.value, allowed.value, allowed.source)


def _beside_circles(flange: Flange) -> Iterator[LimitResult]:
    """Distances of other patterns and of single holes, held as sizes in general are."""
    for one, other, allowed in held_in_general(flange):
        nominal = one.center.distance_to(other.center)
        yield _unread(Between(one.label, other.label), nominal, allowed.value, allowed.value, allowed.source)


def held_in_general(flange: Flange) -> Iterator[tuple[Hole, Hole, Allowed]]:
    """The pairs of holes off the bolt circles that a check card lists, with what its general tolerance allows."""
    general = flange.tolerances.of_distances
    for one, other in pairs_off_circles(flange) if general.general or general.block else ():
        if allowed := allowed_between(flange, pattern_of(flange, one, other), one.center, other.center):
            yield one, other, allowed


def pairs_off_circles(flange: Flange) -> tuple[tuple[Hole, Hole], ...]:
    """The pairs of holes that a check card lists, but for those of the bolt circles."""
    others = range(len(flange.bolt_circles), len(flange.groups()))
    pairs = (*(pair for group in others for pair in _on_card(flange, group)), *further_pairs(flange))
    return tuple({_ends(pair): pair for pair in pairs}.values())


def held_chords(flange: Flange, group: int, stated: GroupLimits) -> Iterator[tuple[tuple[Hole, Hole], Allowed]]:
    """The pairs of a circle's holes that are held to a distance: what a check card lists, neighbors, then others."""
    holes = members(flange, group)
    beside = {_ends(pair): pair for pair in neighbors(holes)}
    near = {ends for ends, (a, b) in beside.items() if are_adjacent((b.angle - a.angle) % 360.0, len(holes))}
    pairs = {_ends(pair): pair for pair in (*_on_card(flange, group), *opposites(holes))} | beside
    if stated.any_chord:
        others = combinations(holes, 2) if len(holes) <= MOST_PAIRED else ((holes[0], hole) for hole in holes[1:])
        pairs = {_ends(pair): pair for pair in others} | pairs
    for ends, (a, b) in pairs.items():
        allowed = stated.between(a.center.distance_to(b.center), flange.bolt_circles[group].diameter, ends in near)
        if allowed is not None:
            yield (a, b), allowed


def _on_card(flange: Flange, group: int) -> list[tuple[Hole, Hole]]:
    """The pairs that a check card lists."""
    own = [hole for hole in flange.holes() if hole.group == group]
    return [(own[span.first], own[span.last]) for span in spans(flange.groups()[group])]


def _ends(pair: tuple[Hole, Hole]) -> frozenset[str]:
    return frozenset(hole.label for hole in pair)


def asked_by_card(flange: Flange, limits: InspectionLimits) -> tuple[Judged, ...]:
    """What a check card has limits for: the distances that it lists, all neighbors, widths of holes, bore, outside."""
    asked: list[Judged] = []
    for group in range(len(flange.bolt_circles)):
        held = {_ends(pair) for pair, _ in held_chords(flange, group, limits.group(group))}
        listed = {_ends(pair): pair for pair in (*_on_card(flange, group), *neighbors(members(flange, group)))}
        asked += [Between(a.label, b.label) for ends, (a, b) in listed.items() if ends in held]
    return (
        *asked,
        *(each.what for each in (*_beside_circles(flange), *_widths(flange, limits), *plate_limits(flange))),
    )


def opposites(holes: tuple[Hole, ...]) -> Iterator[tuple[Hole, Hole]]:
    """Each hole of a ring, in the order of angles, with the one across its middle, where one stands there."""
    ring = sorted(holes, key=lambda hole: hole.angle)
    angles = [hole.angle for hole in ring]
    for hole, angle in zip(ring, angles, strict=True):
        at = bisect_left(angles, angle + 180.0 - _SAME_ANGLE)
        if at < len(ring) and angles[at] < angle + 180.0 + _SAME_ANGLE:
            first, last = sorted((hole, ring[at]), key=lambda each: each.number)
            yield first, last


def _widths(flange: Flange, limits: InspectionLimits) -> Iterator[LimitResult]:
    for hole in flange.holes():
        if held := held_width(hole, limits):
            yield _unread(
                WidthOf(hole.label, isinstance(hole.kind, Slot)), hole.diameter, held.minus, held.plus, held.source
            )


def plate_limits(flange: Flange) -> Iterator[LimitResult]:
    """The outside of a round plate and a bore that is not there yet, held as stated, else as sizes in general are."""
    bore = None if flange.bore_cut else flange.bore
    held = flange.tolerances
    for kind, size, own in (
        (Kind.OUTSIDE_DIAMETER, flange.round_diameter, held.outside),
        (Kind.BORE, bore, held.bore),
    ):
        general = None if size is None else edge_allowed(flange, size)
        if size is not None and own is not None:
            yield _unread(SizeOf(kind), size, own.minus, own.plus, "the job")
        elif size is not None and general is not None:
            yield _unread(SizeOf(kind), size, general.value, general.value, general.source)


def other_sizes(flange: Flange, limits: InspectionLimits) -> Iterator[OtherSize]:
    """What has limits on the drawing that readings are not held against: the card alone asks it, or nothing does."""
    held, thickness = flange.tolerances, flange.thickness
    yield from _other_edges(flange)
    if thickness is not None and (held.thickness or general_allowed(held, thickness)):
        yield OtherSize.THICKNESS
    kinds = {hole.kind for hole in flange.holes()}
    if any(isinstance(kind, Slot) and general_allowed(held, kind.length) for kind in kinds):
        yield OtherSize.SLOTS
    if any(general_allowed(held, size) for kind in kinds for _, size in seat_sizes(kind)):
        yield OtherSize.SEATS
    openings = (each for each in flange.openings if not each.is_bore)
    if any(edge_allowed(flange, size) for each in openings for _, size in form_sizes(each)):
        yield OtherSize.OPENINGS
    turned = [(each.fit, general_allowed(held, each.diameter)) for each in flange.all_turned()]
    if any(fit or general for fit, general in turned):
        yield OtherSize.TURNED
    yield from _left_unstated(flange, limits)


def _left_unstated(flange: Flange, limits: InspectionLimits) -> Iterator[OtherSize]:
    """Of what nothing is stated though something is of others, or nothing that is understood."""
    held = flange.tolerances
    if any(is_unspaced(flange, group, limits) for group in range(len(flange.bolt_circles))):
        yield OtherSize.SPACING
    if not is_read(held):
        yield OtherSize.BLOCK
    elif (held.general or held.block) and bare_widths(flange, limits):
        yield OtherSize.HOLES


def is_unspaced(flange: Flange, group: int, limits: InspectionLimits) -> bool:
    """Whether something is stated of a circle or of sizes in general, and nothing of how its holes stand along it."""
    holes, circle, held = members(flange, group), flange.bolt_circles[group], flange.tolerances
    of_holes = limits.hole_plus is not None or limits.hole_minus is not None
    is_stated = bool(held.general or held.block or limits.group(group).bolt_circle or of_holes)
    if not is_stated or len(holes) < 3 or all(zone_of(hole, limits) for hole in holes):
        return False
    chords = (a.center.distance_to(b.center) for (a, b), _ in held_chords(flange, group, limits.group(group)))
    return not any(chord < circle.diameter - _SAME for chord in chords)


def _other_edges(flange: Flange) -> Iterator[OtherSize]:
    """Those of its outline, but for a round one, and of the inside of a ring in parts."""
    held, outside, sides, box = flange.tolerances, flange.outside_diameter, plate_sides(flange), flange.box()
    if outside is not None and flange.round_diameter is None and (held.outside or edge_allowed(flange, outside)):
        yield OtherSize.OUTSIDE
    if any(edge_allowed(flange, size) for _, size in sides):
        yield OtherSize.SIDES
    is_plain = bool(sides) or isinstance(flange.outline, RoundOutline | SplitOutline)
    if not is_plain and (held.block or edge_allowed(flange, max(box.width, box.height))):
        yield OtherSize.OUTLINE
    if isinstance(flange.outline, SplitOutline) and (held.bore or edge_allowed(flange, flange.outline.inside_diameter)):
        yield OtherSize.INSIDE


def bare_widths(flange: Flange, limits: InspectionLimits) -> tuple[Hole, ...]:
    """The holes and slots whose width nothing is stated of; a thread has its class."""
    return tuple(
        hole for hole in flange.holes() if not isinstance(hole.kind, _OF_A_CLASS) and held_width(hole, limits) is None
    )


def held_sizes(flange: Flange) -> frozenset[Kind]:
    """The diameters of the plate that have limits."""
    return frozenset(each.what.kind for each in plate_limits(flange) if isinstance(each.what, SizeOf))


def loose_holes(
    flange: Flange,
    limits: InspectionLimits,
    known: Collection[str],
    read: Collection[frozenset[str]] | None = None,
) -> tuple[Hole, ...]:
    """The holes whose place no limits hold against most of the others; but for those of circles without any spacing.

    One length holds a hole in its own direction only.

    Args:
        flange: The drawing.
        limits: What the part is held to.
        known: The holes whose zones are looked at, by label.
        read: The pairs of holes, by label, whose lengths were read; ``None`` where all are known.
    """
    drawn, circles = flange.holes(), range(len(flange.bolt_circles))
    lengths = [pair for group in circles for pair, _ in held_chords(flange, group, limits.group(group))]
    lengths += [(one, other) for one, other, _ in held_in_general(flange)]
    held = [(a, b) for a, b in lengths if read is None or frozenset((a.label, b.label)) in read]
    ways: dict[str, list[float]] = {}
    for a, b in held:
        for hole in (a, b):
            ways.setdefault(hole.label, []).append(a.center.direction_to(b.center))
    zoned = [hole for hole in drawn if hole.label in known and zone_of(hole, limits) is not None]
    fixed = {hole.label for hole in zoned} | {label for label, each in ways.items() if _cross(each)}
    tied = _tied([*held, *pairwise(zoned)])
    named = {group for group in circles if is_unspaced(flange, group, limits)}
    others = (hole for hole in drawn if hole.group not in named)
    return tuple(hole for hole in others if hole.label not in tied or hole.label not in fixed)


def _cross(ways: Sequence[float]) -> bool:
    """Whether not all directions are about one and the same."""
    return any(abs(math.sin(math.radians(way - ways[0]))) > _ASLANT for way in ways)


def _tied(pairs: Iterable[tuple[Hole, Hole]]) -> frozenset[str]:
    """The most holes that pairs tie to each other, by label."""
    tied: dict[str, frozenset[str]] = {}
    for one, other in pairs:
        both = frozenset((one.label, other.label)).union(*(tied.get(each.label, ()) for each in (one, other)))
        tied.update(dict.fromkeys(both, both))
    return max(tied.values(), key=len, default=frozenset())


def _unread(what: Judged, nominal: float, minus: float | None, plus: float | None, source: str) -> LimitResult:
    least = -math.inf if minus is None else nominal - minus
    most = math.inf if plus is None else nominal + plus
    return LimitResult(what, nominal, -math.inf, math.inf, least, most, source, Standing.OPEN)
