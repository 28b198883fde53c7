"""Cut files with leads, tabs and overcut, read back by GDAL and svgelements and judged with shapely.

What an operator relies on: one open path for each cut, in the order and the direction of cutting, the same in DXF and
SVG; pierced in the scrap; no metal of the part taken; what the tabs hold stays in one piece with the plate.
"""

import math
from itertools import combinations, pairwise
from typing import Any

import numpy as np
import pytest
import shapely
import svgelements

from flangelayout.job import Job
from flangelayout.packet.job import Part, build_packet, cut_page
from jobs import make_job
from readers import dxf_document, dxf_shapes, svg_elements
from rows import every_row

KERF = 1.6
CHORD = 0.1
"""What GDAL's chords of 4 degrees lose on the arcs of these plates, in mm."""
RING: dict[str, Any] = {"plate": {"outside_diameter": 285, "bore": 170, "thickness": 12}}

Points = np.ndarray[Any, np.dtype[np.float64]]


def packet(**cut: Any) -> tuple[Job, bytes, bytes]:  # noqa: ANN401 # what a job file may hold
    """A ring with eight holes, its DXF and its SVG."""
    job = make_job(**RING, cut=cut)
    dxf, svg = build_packet(job, [Part.CUT]).values()
    return job, dxf, svg


def closed_part(points: Points, radius: float) -> Points:
    """What of a way lies on its circle about its own middle."""
    middle = middle_of(points, radius)
    on: Points = points[np.abs(np.hypot(*(points - middle).T) - radius) < 1e-3]
    return on


def middle_of(points: Points, radius: float) -> Points:
    """The middle of the circle that most of a way follows: of the ring's holes or of the ring."""
    if radius > 80:
        return np.zeros(2)
    turn = math.radians(round(math.degrees(math.atan2(*points.mean(axis=0)[::-1])) / 22.5) * 22.5)
    middle: Points = 120.0 * np.array([math.cos(turn), math.sin(turn)])
    return middle


def turning(points: Points, middle: Points) -> float:
    """Degrees that a string of points runs round a place, counter-clockwise."""
    angles = np.unwrap(np.arctan2(*(points - middle).T[::-1]))
    return math.degrees(angles[-1] - angles[0])


def radii() -> list[float]:
    return [11 - KERF / 2] * 8 + [85 - KERF / 2, 142.5 + KERF / 2]


@every_row("shape", ["arc", "straight"])
def test_each_cut_is_one_open_path_from_pierce_to_end(shape: str) -> None:
    _, dxf, _ = packet(kerf=KERF, lead_in=5, lead_out=3, lead_shape=shape)
    entities = list(dxf_document(dxf).modelspace())
    assert [entity.dxftype() for entity in entities] == ["LWPOLYLINE"] * 10
    assert not any(entity.is_closed for entity in entities)  # type: ignore[attr-defined] # a polyline
    for found, radius in zip(dxf_shapes(dxf), radii(), strict=True):
        middle, inside = middle_of(found.points, radius), radius < 100
        pierce, end = (math.hypot(*(found.points[at] - middle)) for at in (0, -1))
        assert (pierce < radius - 2) if inside else (pierce > radius + 2)
        assert (end < radius - 1) if inside else (end > radius + 1)
        assert turning(closed_part(found.points, radius), middle) == pytest.approx(360 if inside else -360, abs=1e-3)


def test_svg_follows_the_same_ways_in_the_same_order() -> None:
    job, dxf, svg = packet(kerf=KERF, lead_in=5, lead_out=3, overcut=2, tabs=3, tab_width=2)
    page = cut_page(job)
    (view,) = page.views
    paths = [each for each in svg_elements(svg) if isinstance(each, svgelements.Path)]
    shapes = dxf_shapes(dxf)
    assert len(paths) == len(shapes) == 8 + 4 + 4
    for path, found in zip(paths, shapes, strict=True):
        assert not any(isinstance(piece, svgelements.Close) for piece in path)
        for point, at in ((path.first_point, found.points[0]), (path.current_point, found.points[-1])):
            here = (point.x - view.at_paper.x, page.paper.height - point.y - view.at_paper.y)
            assert here == pytest.approx(tuple(at), abs=1e-3)


def test_inside_is_cut_before_outside_and_svg_has_the_colors_of_the_dxf() -> None:
    _, dxf, svg = packet(lead_in=5)
    assert [found.layer for found in dxf_shapes(dxf)] == ["CUT_HOLES"] * 8 + ["CUT_BORE", "CUT_OUTLINE"]
    strokes = [str(each.stroke.hex) for each in svg_elements(svg) if isinstance(each, svgelements.Path)]
    # Colors 3, 4 and 7 of the DXF index: green, cyan, and black on paper.
    assert strokes == ["#00ff00"] * 8 + ["#00ffff", "#000000"]


def test_plain_cut_files_keep_their_circles_and_have_the_colors() -> None:
    _, dxf, svg = packet()
    assert [each.dxftype() for each in dxf_document(dxf).modelspace()] == ["CIRCLE"] * 10
    circles = [each for each in svg_elements(svg) if isinstance(each, svgelements.Circle)]
    assert [str(each.stroke.hex) for each in circles] == ["#00ff00"] * 8 + ["#00ffff", "#000000"]


def test_older_files_hold_the_same_ways_as_polylines() -> None:
    _, dxf, _ = packet(lead_in=5, dxf_version="R12")
    entities = list(dxf_document(dxf).modelspace())
    assert [entity.dxftype() for entity in entities] == ["POLYLINE"] * 10
    assert not any(entity.is_closed for entity in entities)  # type: ignore[attr-defined] # a polyline


def metal_left(dxf: bytes, kerf: float) -> shapely.Geometry:
    """A stock plate after the file was run."""
    ways = [shapely.LineString(found.points) for found in dxf_shapes(dxf)]
    swath = shapely.union_all([way.buffer(kerf / 2, cap_style="round") for way in ways])
    return shapely.box(-200, -200, 200, 200).difference(swath)


def part(by: float = 0.0) -> shapely.Geometry:
    """The ring as it is drawn, grown by so much."""
    holes = [shapely.Point(*middle_of(np.array([[x, y]]), 11)).buffer(11 - by, quad_segs=90) for x, y in bolt_centers()]
    inside = [shapely.Point(0, 0).buffer(85 - by, quad_segs=180), *holes]
    return shapely.Point(0, 0).buffer(142.5 + by, quad_segs=180).difference(shapely.union_all(inside))


def bolt_centers() -> list[tuple[float, float]]:
    turns = [math.radians(22.5 + 45 * number) for number in range(8)]
    return [(120 * math.cos(turn), 120 * math.sin(turn)) for turn in turns]


@every_row("cut", [{"lead_shape": "arc"}, {"lead_shape": "straight"}, {"overcut": 4}, {"tabs": 4}])
def test_the_cutter_takes_nothing_of_the_part_and_frees_it(cut: dict[str, Any]) -> None:
    _, dxf, _ = packet(kerf=KERF, lead_in=6, lead_out=4, **cut)
    left = metal_left(dxf, KERF)
    assert part(-CHORD).difference(left).area < 1e-6
    pieces = shapely.get_parts(left)
    freed = max((piece for piece in pieces if piece.contains(shapely.Point(100, 0))), key=lambda each: each.area)
    if "tabs" in cut:
        assert freed.contains(shapely.Point(-190, -190))
        assert freed.contains(shapely.Point(0, 0))
    else:
        assert freed.symmetric_difference(part()).area < part().length * CHORD
        assert len(pieces) >= 1 + 1 + 8 + 1


def test_tabs_are_as_wide_as_asked_and_equally_far_apart() -> None:
    _, dxf, _ = packet(kerf=KERF, lead_in=6, tabs=4, tab_width=2)
    ways = [found.points for found in dxf_shapes(dxf) if found.layer == "CUT_OUTLINE"]
    assert len(ways) == 5
    rims = [closed_part(points, 142.5 + KERF / 2) for points in ways]
    middles = []
    for before, after in pairwise(rims):
        assert math.dist(before[-1], after[0]) == pytest.approx(2 + KERF, abs=0.01)
        middles.append(math.degrees(math.atan2(*((before[-1] + after[0]) / 2)[::-1])))
    steps = [(one - other) % 360 for one, other in pairwise(middles)]
    assert steps == pytest.approx([90.0] * 3, abs=0.01)


def test_holes_have_no_tabs_and_a_short_cut_has_fewer() -> None:
    _, dxf, _ = packet(tabs=20, tab_width=20)
    layers = [found.layer for found in dxf_shapes(dxf)]
    assert layers.count("CUT_HOLES") == 8
    # A tab for every five widths: 170 pi / 100 and 285 pi / 100.
    assert (layers.count("CUT_BORE"), layers.count("CUT_OUTLINE")) == (5 + 1, 8 + 1)


def test_an_overcut_runs_on_over_the_beginning() -> None:
    _, dxf, _ = packet(overcut=10, kerf=KERF)
    for found, radius in zip(dxf_shapes(dxf), radii(), strict=True):
        turned = abs(turning(found.points, middle_of(found.points, radius)))
        assert turned == pytest.approx(360 + math.degrees(10 / radius), abs=0.01)


@every_row("cut", [{"lead_in": 30, "lead_out": 20}, {"lead_in": 30, "lead_shape": "straight", "tabs": 6}])
def test_no_way_crosses_another_or_itself(cut: dict[str, Any]) -> None:
    _, dxf, _ = packet(kerf=KERF, **cut)
    shapes = dxf_shapes(dxf)
    for one, other in combinations(shapes, 2):
        ways = [shapely.LineString(found.points) for found in (one, other)]
        if one.layer == other.layer != "CUT_HOLES":
            assert not ways[0].crosses(ways[1])
        else:
            assert ways[0].distance(ways[1]) > KERF
    for found, radius in zip(shapes, radii(), strict="tabs" not in cut):
        x, y = middle_of(found.points, radius)
        entry = shapely.Point(x + radius, y).buffer(1.0)
        away = shapely.LineString(found.points).difference(entry)
        assert shapely.unary_union(away).length == pytest.approx(away.length, abs=1e-6)


def test_the_sheet_says_what_is_in_the_file() -> None:
    from flangelayout.views.words.findings import finding_text

    job, dxf, _ = packet(lead_in=5, overcut=2, tabs=3, tab_width=1.5)
    said = " ".join(finding_text(job.flange, finding, job.unit) for finding in job.remarks)
    count = sum(found.layer != "CUT_HOLES" for found in dxf_shapes(dxf)) - 2
    assert f"{count} tabs of 1.5 mm, less the kerf" in said
    assert "each cut runs 2 mm on over its beginning" in said
    assert "tabs" in job.cut.options.name_parts
