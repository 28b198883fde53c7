"""What the plane of the section meets: metal from edge to edge, openings, holes.

Everything on the plane is cut as it stands. Of a round plate each bolt circle also shows one hole above the middle and
one below it, turned into the plane about the middle, as is usual for round parts (ISO 128-3, features on a pitch
circle; clause from memory); where another hole or opening is cut there already, the one that stands on the plane is
shown. A plate of any other outline is cut along the vertical centerline, or through its middle where the centerline
misses it; tapped, sunk or reamed holes of a circle that has none there, which only a section shows, are turned in
where the plane has metal all round their place. A segment of a ring that reaches to the top or the bottom of the ring
but does not stand there is cut along the ray through a hole near its middle, and its section is turned upright.
"""

from collections.abc import Iterable, Iterator

from msgspec import Struct

from flangelayout.flange import Drilled, Flange, Hole, SegmentOutline, Slot, SlotDirection, SplitOutline
from flangelayout.geometry.contours import turned, turned_point
from flangelayout.geometry.measure import Edge, crossings
from flangelayout.value import replace
from flangelayout.views.sheet.section.holes import HoleInSection, cut_hole, turned_in

Stretch = tuple[float, float]
_UPRIGHT = (SlotDirection.X, SlotDirection.Y)
_NEAREST = 90.0
"""Degrees from the plane within which a hole of a circle is turned into it."""
_NEAR_END = 0.95
"""Share of its ring's radius to which a segment reaches up or down that is cut along a ray."""
_SAME = 1e-6


class PlaneCut(Struct, frozen=True):
    """What an upright plane meets of a plate.

    Attributes:
        x: Where the plane stands.
        metal: From edge to edge, holes and openings not yet taken out.
        openings: Where nothing is at any depth: bore, openings, slots.
        holes: Round holes, and the slots of bolt circles turned in.
        turned_by: Degrees that it stands turned counter-clockwise about the middle, from upright.
    """

    x: float
    metal: tuple[Stretch, ...]
    openings: tuple[Stretch, ...]
    holes: tuple[HoleInSection, ...]
    turned_by: float = 0.0


class Plane(Struct, frozen=True):
    """Where a section is taken.

    Attributes:
        x: Where the plane stands before it is turned.
        low: The lower end of what it shows, in mm above the middle of the plate.
        high: The upper end.
        turned_by: Degrees that it is turned counter-clockwise about the middle, from upright.
    """

    x: float
    low: float
    high: float
    turned_by: float = 0.0


def plane_of(flange: Flange) -> Plane:
    """Where the section is taken: at the vertical centerline, or in the middle where no metal is there.

    Of a segment of a ring it is a ray, if the ring's top or bottom is near enough for the section to stand beside it.
    """
    box, outline = flange.box(), flange.outline
    if box.left < -_SAME and box.right > _SAME and any(crossings(piece, 0.0) for piece in flange.pieces()):
        return Plane(0.0, box.bottom, box.top)
    if isinstance(outline, SegmentOutline):
        outer, inner = outline.outside_diameter / 2, outline.inside_diameter / 2
        if box.top > outer * _NEAR_END:
            return Plane(0.0, inner, outer, _ray(flange, outline) - 90.0)
        if box.bottom < -outer * _NEAR_END:
            return Plane(0.0, -outer, -inner, _ray(flange, outline) - 270.0)
    return Plane(box.center.x, box.bottom, box.top)


def _ray(flange: Flange, outline: SegmentOutline) -> float:
    """The direction to the hole nearest to the middle of a segment, or to that, from 0 to 360 degrees."""
    middle = outline.first_joint_angle + 180.0 / outline.part_count
    on_circles = (hole.angle for hole in flange.holes() if 0 <= hole.group < len(flange.bolt_circles))
    return min(on_circles, key=lambda angle: round(abs(_off(angle, middle)), 6), default=middle) % 360.0


def _off(angle: float, other: float) -> float:
    """How far counter-clockwise one direction is from another, from -180 to 180 degrees."""
    return (angle - other + 180.0) % 360.0 - 180.0


def plane_cut(flange: Flange, seat: float) -> PlaneCut:
    """What the plane of a plate's section meets; ``seat`` is how deep in mm a spotface is drawn."""
    plane = plane_of(flange)
    if plane.turned_by:
        return _along_ray(flange, plane, seat)
    if flange.round_diameter is None:
        return _as_it_stands(flange, plane.x, seat)
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
    circles = _turned_in(flange, [hole for hole in flange.holes() if hole.label in turning], seat, taken)
    return PlaneCut(0.0, ((box.bottom, box.top),), tuple(openings), (*fixed, *circles))


def _along_ray(flange: Flange, plane: Plane, seat: float) -> PlaneCut:
    """A segment of a ring turned about the middle until its ray is upright: its circles as those of a round plate."""
    back = -plane.turned_by
    metal = sorted(stretch for piece in flange.pieces() for stretch in _pairs(turned(piece, back), 0.0))
    openings = [stretch for opening in flange.cutouts() for stretch in _pairs(turned(opening.shape, back), 0.0)]
    circles, holes = [], []
    for hole in flange.holes():
        there = replace(hole, center=turned_point(hole.center, back), angle=(hole.angle + back) % 360.0)
        if _turns(flange, hole):
            circles.append(there)
        elif isinstance(hole.kind, Slot):
            openings += _pairs(turned(hole.shape, back), 0.0)
        elif cut := cut_hole(flange, there, 0.0, seat):
            holes.append(cut)
    holes += _turned_in(flange, circles, seat, [*openings, *(cut.mouth for cut in holes)])
    within = (cut for cut in holes if any(low < cut.mouth[0] and cut.mouth[1] < high for low, high in metal))
    return PlaneCut(0.0, tuple(metal), tuple(openings), tuple(within), plane.turned_by)


def _as_it_stands(flange: Flange, x: float, seat: float) -> PlaneCut:
    metal = sorted(stretch for piece in flange.pieces() for stretch in _pairs(piece, x))
    openings = [stretch for opening in flange.cutouts() for stretch in _pairs(opening.shape, x)]
    openings += _slots(flange.holes(), x)
    holes = [cut for hole in flange.holes() if (cut := _round_cut(flange, hole, x, seat))]
    if x == 0.0:
        labels = {cut.label for cut in holes}
        shown = {hole.group for hole in flange.holes() if hole.label in labels}
        made = (hole for hole in flange.holes() if not isinstance(hole.kind, Drilled | Slot) and _turns(flange, hole))
        beside = [hole for hole in made if hole.group not in shown]
        into = list(_turned_in(flange, beside, seat, [*openings, *(cut.mouth for cut in holes)]))
        holes += [cut for cut in into if any(low < cut.mouth[0] and cut.mouth[1] < high for low, high in metal)]
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
            off = abs(_off(hole.angle, 90.0 * side))
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
