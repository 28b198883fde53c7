"""Polygons for nesting against fine ones: never on the wrong side, never far off; steps of collision against truth."""

from random import Random

import pytest
import shapely
from shapely.affinity import translate

from as_shapely import polygon as fine
from flangelayout.flange import LozengeOutline, OvalOutline, PaddleOutline, RectangleOutline, SegmentOutline
from flangelayout.geometry.contours import reversed_contour
from flangelayout.geometry.measure import Edge
from flangelayout.geometry.shapes import Circle, Contour, Point
from flangelayout.nest.polygons import SLACK, collisions, convex_pieces, grown, polygon
from rows import every_row

EDGES: list[Edge] = [
    Circle(Point(3.0, 4.0), 120.0),
    OvalOutline(400, 220, 80).shape,
    SegmentOutline(600, 400, 3, 90.0, 3.0).shape,
    RectangleOutline(300, 200, 20).shape,
    LozengeOutline(320, 160, 40).shape,
    PaddleOutline(210, 300, 50, root_radius=10).shape,
]


@pytest.mark.slow
@pytest.mark.parametrize("edge", EDGES, ids=lambda edge: type(edge).__name__)
def test_a_polygon_holds_the_edge_or_lies_in_it_and_is_near(edge: Edge) -> None:
    true = fine(edge)
    turned = [edge, reversed_contour(edge)] if isinstance(edge, Contour) else [edge]
    for each in turned:
        outer, inner = polygon(each, holds_edge=True), polygon(each, holds_edge=False)
        assert outer.buffer(1e-3).covers(true)
        assert true.buffer(1e-3).covers(inner)
        assert shapely.hausdorff_distance(outer, true, densify=0.05) < 2 * SLACK
        assert shapely.hausdorff_distance(inner, true, densify=0.05) < 2 * SLACK


@every_row("edge", EDGES)
def test_convex_pieces_make_up_the_area(edge: Edge) -> None:
    area = polygon(edge, holds_edge=True)
    pieces = [shapely.Polygon(each) for each in convex_pieces(area)]
    assert shapely.union_all(pieces).symmetric_difference(area).area < 1e-6 * area.area
    assert all(piece.convex_hull.area <= piece.area * (1 + 1e-6) for piece in pieces)


@pytest.mark.slow
@pytest.mark.parametrize("by", [0.5, 8.0, 60.0, 156.5, 400.0])
@pytest.mark.parametrize("edge", EDGES, ids=lambda edge: type(edge).__name__)
def test_a_grown_area_holds_everything_nearer_than_that_and_little_more(edge: Edge, by: float) -> None:
    area = polygon(edge, holds_edge=True)
    wider = grown(area, by)
    true = area.buffer(by, quad_segs=400)
    assert wider.buffer(1e-3).covers(true)
    assert shapely.hausdorff_distance(wider, true, densify=0.05) < 2 * SLACK


def test_steps_of_collision_are_those_that_bring_two_areas_too_near() -> None:
    chance = Random(1)
    ring = polygon(EDGES[0], holds_edge=True).difference(polygon(Circle(Point(3.0, 4.0), 90.0), holds_edge=False))
    moving = polygon(RectangleOutline(60, 40).shape, holds_edge=True)
    segment = polygon(EDGES[2], holds_edge=True)
    for fixed in (ring, segment):
        steps = collisions(convex_pieces(fixed), convex_pieces(moving), spacing=5.0)
        inside = outside = 0
        for _ in range(400):
            x, y = chance.uniform(-350, 350), chance.uniform(-350, 350)
            near = fixed.distance(translate(moving, x, y))
            if steps.contains(shapely.Point(x, y)):
                inside += 1
                assert near < 5.0 + 2 * SLACK
            else:
                outside += 1
                assert near >= 5.0 - 1e-6
        assert min(inside, outside) > 20
