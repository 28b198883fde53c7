"""What the plane of the section meets: metal from edge to edge, openings, holes.

Everything on the plane is cut as it stands. Of a round plate each bolt circle also shows one hole above the middle and
one below it, turned into the plane about the middle, as is usual for round parts (ISO 128-3, features on a pitch
circle; clause from memory); where another hole or opening is cut there already, the one that stands on the plane is
shown. A plate of any other outline is cut along the vertical centerline, or through its middle where the centerline
misses it; tapped, sunk or reamed holes of a circle that has none there, which only a section shows, are turned in
where the plane has metal all round their place.
"""

from collections.abc import Iterable, Iterator

from msgspec import Struct

from flangelayout.flange import Drilled, Flange, Hole, Slot, SlotDirection, SplitOutline
from flangelayout.geometry.measure import Edge, crossings
from flangelayout.views.sheet.section.holes import HoleInSection, cut_hole, turned_in

Stretch = tuple[float, float]
_UPRIGHT = (SlotDirection.X, SlotDirection.Y)
_NEAREST = 90.0
"""Degrees from the plane within which a hole of a circle is turned into it."""
_SAME = 1e-6


class PlaneCut(Struct, frozen=True):
    """What an upright plane meets of a plate.

    Attributes:
        x: Where the plane stands.
        metal: From edge to edge, holes and openings not yet taken out.
        openings: Where nothing is at any depth: bore, openings, slots.
        holes: Round holes, and the slots of bolt circles turned in.
    """

    x: float
    metal: tuple[Stretch, ...]
    openings: tuple[Stretch, ...]
    holes: tuple[HoleInSection, ...]


def plane_of(flange: Flange) -> float:
    """Where the section is taken: at the vertical centerline, or in the middle where no metal is there."""
    return 0.0 if any(crossings(piece, 0.0) for piece in flange.pieces()) else flange.box().center.x


def plane_cut(flange: Flange, seat: float) -> PlaneCut:
    """What the plane of a plate's section meets; ``seat`` is how deep in mm a spotface is drawn."""
    if flange.round_diameter is None:
        return _as_it_stands(flange, seat)
    turning = {hole.label for hole in flange.holes() if _turns(flange, hole)}
    box = flange.box()
    openings = [stretch for opening in flange.cutouts() for stretch in _pairs(opening.shape, 0.0)]
    if isinstance(flange.outline, SplitOutline):
        inside = flange.outline.inside_diameter / 2
        openings.append((-inside, inside))
    standing = [hole for hole in flange.holes() if hole.label not in turning]
    openings += _slots(standing, 0.0)
    fixed = [cut for hole in standing if (cut := _round_cut(flange, hole, 0.0, seat))]
    taken = [*openings, *(cut.mouth for cut in fixed)]
    turned = _turned_in(flange, [hole for hole in flange.holes() if hole.label in turning], seat, taken)
    return PlaneCut(0.0, ((box.bottom, box.top),), tuple(openings), (*fixed, *turned))


def _as_it_stands(flange: Flange, seat: float) -> PlaneCut:
    x = plane_of(flange)
    metal = sorted(stretch for piece in flange.pieces() for stretch in _pairs(piece, x))
    openings = [stretch for opening in flange.cutouts() for stretch in _pairs(opening.shape, x)]
    openings += _slots(flange.holes(), x)
    holes = [cut for hole in flange.holes() if (cut := _round_cut(flange, hole, x, seat))]
    if x == 0.0:
        labels = {cut.label for cut in holes}
        shown = {hole.group for hole in flange.holes() if hole.label in labels}
        made = (hole for hole in flange.holes() if not isinstance(hole.kind, Drilled | Slot) and _turns(flange, hole))
        beside = [hole for hole in made if hole.group not in shown]
        turned = list(_turned_in(flange, beside, seat, [*openings, *(cut.mouth for cut in holes)]))
        holes += [cut for cut in turned if any(low < cut.mouth[0] and cut.mouth[1] < high for low, high in metal)]
    return PlaneCut(x, tuple(metal), tuple(openings), tuple(holes))


def _turns(flange: Flange, hole: Hole) -> bool:
    """Whether a hole looks the same wherever it is turned about the middle: one of a bolt circle, no upright slot."""
    upright = isinstance(hole.kind, Slot) and hole.kind.along in _UPRIGHT
    return 0 <= hole.group < len(flange.bolt_circles) and not upright


def _round_cut(flange: Flange, hole: Hole, x: float, seat: float) -> HoleInSection | None:
    return None if isinstance(hole.kind, Slot) else cut_hole(flange, hole, x, seat)


def _slots(holes: Iterable[Hole], x: float) -> list[Stretch]:
    return [stretch for hole in holes if isinstance(hole.kind, Slot) for stretch in _pairs(hole.shape, x)]


def _turned_in(flange: Flange, holes: list[Hole], seat: float, taken: list[Stretch]) -> Iterator[HoleInSection]:
    """The hole of each circle nearest to the plane above and below the middle; those that stand on it first."""
    for side in (1.0, -1.0):
        nearest: dict[int, tuple[float, Hole]] = {}
        for hole in holes:
            off = abs((hole.angle - 90.0 * side + 180.0) % 360.0 - 180.0)
            if off < _NEAREST - _SAME and off < nearest.get(hole.group, (_NEAREST, hole))[0] - _SAME:
                nearest[hole.group] = (off, hole)
        for off, hole in sorted(nearest.values(), key=lambda each: each[0] > _SAME):
            middle = side * flange.bolt_circles[hole.group].diameter / 2
            cut = turned_in(flange, hole, middle, seat)
            low, high = cut.mouth
            if off > _SAME and any(start < high and low < end for start, end in taken):
                continue
            taken.append(cut.mouth)
            yield cut


def _pairs(edge: Edge, x: float) -> list[Stretch]:
    heights = crossings(edge, x)
    return list(zip(heights[::2], heights[1::2], strict=False))
