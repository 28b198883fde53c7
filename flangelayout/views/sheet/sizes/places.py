"""Where single holes, pairs of bolts and the corners of a path stand: from the centerlines, or across them.

Two places that stand evenly on either side of a centerline are measured across it (ISO 129-1: a part that is drawn
symmetrical is dimensioned so); any other place is measured from the centerline.
"""

from collections.abc import Iterator, Sequence

from flangelayout.checks.dimensioned import places_stand_in_table
from flangelayout.drawing.references import Feature, FeatureRef
from flangelayout.flange import Hole
from flangelayout.flange.path import corners_stand_in_table, path_corners
from flangelayout.geometry.shapes import Arc, Contour, Point
from flangelayout.views.sheet.face import CENTERLINE_PAST
from flangelayout.views.sheet.look import Look
from flangelayout.views.sheet.sizes.placing import convex_first
from flangelayout.views.sheet.sizes.wishes import RimSize, SideSize, Wish, WishSide
from flangelayout.views.words.call_outs import is_dimensioned

_SAME = 1e-6


def hole_places(look: Look) -> Iterator[Wish]:
    """The places of single holes, where they are few, and of a pair of bolts on a centerline of a plate not round."""
    points = [hole.center for hole in look.flange.holes() if hole.group < 0]
    if not places_stand_in_table(look.flange):
        yield from _from_centerlines(look, points, Feature.HOLE_PLACE)
    for group in range(len(look.flange.bolt_circles)):
        if is_dimensioned(look.flange, group):
            holes = [hole for hole in look.flange.holes() if hole.group == group]
            yield _across(look, holes)


def _across(look: Look, holes: Sequence[Hole]) -> SideSize:
    first, last = (hole.center for hole in holes)
    side = WishSide.BELOW if abs(first.y - last.y) < _SAME else WishSide.LEFT
    text = look.lengths.measured(first.distance_to(last))
    return SideSize(side, first, last, text, FeatureRef(Feature.CENTER_DISTANCE))


def corner_sizes(look: Look, path: Contour) -> Iterator[Wish]:
    """The corners of a path and its radii."""
    corners = path_corners(path)
    if not corners_stand_in_table(path):
        yield from _from_centerlines(look, [corner for corner, _ in corners], Feature.CORNER_PLACE)
    for radius, arcs in _by_radius(path):
        count = f"{len(arcs)}{look.lengths.times}" if len(arcs) > 1 else ""
        text = look.lengths.measured(radius, f"{count}R")
        yield RimSize(convex_first(arcs), text, FeatureRef(Feature.ARC_RADIUS))


def _by_radius(path: Contour) -> Iterator[tuple[float, list[Arc]]]:
    arcs: dict[tuple[float, bool], list[Arc]] = {}
    for part in path.parts:
        if isinstance(part, Arc):
            arcs.setdefault((round(part.radius, 6), part.sweep_deg < 0), []).append(part)
    return ((alike[0].radius, alike) for alike in arcs.values())


def _from_centerlines(look: Look, points: Sequence[Point], feature: Feature) -> Iterator[SideSize]:
    """The distances along x, then along y, that place points; each once."""
    past, box = look.real(CENTERLINE_PAST), look.box
    for side, along, beside, datum in (
        (WishSide.BELOW, _x, _y, Point(0.0, box.bottom - past)),
        (WishSide.LEFT, _y, _x, Point(box.left - past, 0.0)),
    ):
        nearest = {}
        for point in sorted(points, key=beside, reverse=True):
            nearest[round(along(point), 6)] = point
        for at, point in nearest.items():
            if at == 0.0 or (at < 0 and -at in nearest):
                continue
            other = nearest.get(-at)
            length = 2 * at if other else abs(at)
            said = look.lengths.measured(length)
            yield SideSize(side, other or datum, point, said, FeatureRef(feature))


def _x(point: Point) -> float:
    return point.x


def _y(point: Point) -> float:
    return point.y
