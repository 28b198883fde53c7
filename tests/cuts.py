"""What a table does to a plate, worked out with shapely: what each cut takes away, and how near cuts come."""

from collections.abc import Iterator
from itertools import combinations

import shapely

from as_shapely import points_of, polygon
from flangelayout.flange import Flange, Hole, Opening
from flangelayout.flange.cut_plan import LEAD_SPACING, Cut, CutPlan, JointCut, PartEdge, PlannedCut
from flangelayout.geometry.lead import NoLead
from flangelayout.geometry.measure import Edge, pieces
from flangelayout.geometry.pieces import Piece
from flangelayout.geometry.shapes import Arc, Line

CHORDS = 0.004
"""What strings of chords may be off an arc in mm, both sides together."""


def track(path: Edge | Piece) -> "shapely.LineString":
    """The way of the cutter's middle."""
    parts = (path,) if isinstance(path, Line | Arc) else pieces(path)
    points = [point for part in parts for point in points_of(part)]
    if not isinstance(path, Line | Arc):
        points[-1] = points[0]
    return shapely.remove_repeated_points(shapely.LineString(points), 1e-9)


def leads_of(cut: PlannedCut) -> list[Piece]:
    """The leads of a cut that are drawn."""
    return [lead for lead in (cut.lead_in, cut.lead_out) if lead is not None and not isinstance(lead, NoLead)]


def finished_parts(flange: Flange) -> "shapely.Geometry":
    """The metal of every part as it is to come off the table."""
    metal = shapely.union_all([polygon(piece) for piece in flange.pieces()])
    holes = [polygon(hole.shape) for hole in flange.holes()] + [polygon(each.shape) for each in flange.cutouts()]
    return metal.difference(shapely.union_all(holes))


def metal_taken(plan: CutPlan, flange: Flange, kerf: float) -> float:
    """Square mm of the finished parts that the cutter takes away, leads and pierces among it.

    A cut without a width takes nothing; its leads must lie off the metal all the same.
    """
    parts = finished_parts(flange)
    shapely.prepare(parts)
    width = max(kerf / 2 - CHORDS, 1e-4)
    taken = 0.0
    for cut in plan.cuts:
        for way in (*([cut.path] if kerf > 0 else []), *leads_of(cut)):
            band = track(way).buffer(width, quad_segs=32)
            if parts.intersects(band):
                taken += parts.intersection(band).area
    return taken


def meetings(plan: CutPlan) -> Iterator[tuple[Cut, Cut]]:
    """Cuts that share a place, and cuts that meet themselves; the ends of a ring's joints may lie on its edges."""
    tracks = [(cut.of, track(cut.path)) for cut in plan.cuts]
    for of, way in tracks:
        if not way.is_simple:
            yield of, of
    for (one, way), (other, beside) in combinations(tracks, 2):
        meant = isinstance(one, JointCut) != isinstance(other, JointCut) and not isinstance(one, Hole)
        if not meant and way.intersects(beside):
            yield one, other


def twice(plan: CutPlan) -> float:
    """Length in mm that is cut twice."""
    tracks = [track(cut.path).buffer(0.001, cap_style="flat") for cut in plan.cuts]
    total = 0.0
    for one, other in combinations(tracks, 2):
        total += one.intersection(other).area / 0.002
    return total


def leads_too_near(plan: CutPlan, kerf: float) -> list[tuple[Cut, Cut, float]]:
    """Leads nearer to another cut or its leads than kerf and spacing, but for what lies beyond the own path."""
    found = []
    for cut in plan.cuts:
        own = shapely.Polygon(track(cut.path).coords) if not isinstance(cut.path, Line) else None
        for lead in leads_of(cut):
            way = track(lead)
            for other in plan.cuts:
                for beside in (other.path, *leads_of(other)):
                    line = track(beside)
                    shielded = own is not None and isinstance(cut.of, Hole | Opening) and line.disjoint(own)
                    ends_on_it = isinstance(cut.of, JointCut) and isinstance(other.of, Opening | PartEdge)
                    near = way.distance(line)
                    if other is not cut and not shielded and not ends_on_it and near < kerf + LEAD_SPACING - CHORDS:
                        found.append((cut.of, other.of, near))
    return found
