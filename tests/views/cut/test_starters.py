"""Every rule of a cut file, on the cut file of every starter job, read back by readers that did not write it."""

from functools import cache
from io import StringIO
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import shapely
import svgelements
from ezdxf.document import Drawing as DxfDocument
from ezdxf.entities.polyline import Polyline

from as_shapely import polygon
from flangelayout.drawing.layers import Layer
from flangelayout.flange import Dowel, Flange, Hole, Jack, Tapped
from flangelayout.geometry.measure import Edge, area, distance_to_edge
from flangelayout.geometry.shapes import Circle, Contour, Point
from flangelayout.job import Job
from flangelayout.job.load import load_job
from flangelayout.packet.job import Part, build_packet
from flangelayout.units import Unit, to_mm
from flangelayout.writers.dxf.shapes import shape_key
from flangelayout.writers.numbers import FILE_TOLERANCE
from readers import SVG_DOTS_PER_INCH, dxf_document, dxf_shapes
from rows import every_row

STARTERS = sorted((Path(__file__).parents[3] / "templates").glob("*.toml"))
CUT_ENTITIES = {"CIRCLE", "POLYLINE", "LINE"}
CUT_LAYERS = {"CUT_HOLES", "CUT_BORE", "CUT_OUTLINE", "CUT_MARKS"}

every_starter = every_row("path", STARTERS)


@cache
def made(path: Path) -> tuple[Job, bytes, bytes]:
    """The job of a starter and its cut files, DXF and SVG."""
    job = load_job(path)
    packet = build_packet(job, [Part.CUT])
    (dxf,) = (data for name, data in packet.items() if name.endswith(".dxf"))
    (svg,) = (data for name, data in packet.items() if name.endswith(".svg"))
    return job, dxf, svg


@cache
def document_of(path: Path) -> DxfDocument:
    """The DXF file of a starter as ezdxf reads it."""
    return dxf_document(made(path)[1])


def cut_edges(flange: Flange) -> list[Edge]:
    """Every closed line that must be cut."""
    left = marked(flange)
    return [
        *(hole.shape for hole in flange.holes() if hole not in left),
        *(opening.shape for opening in flange.cutouts()),
        *flange.pieces(),
    ]


def marked(flange: Flange) -> list[Hole]:
    """Holes that a drill makes: threads and reamed fits; no table cuts what they need (common practice, no source)."""
    return [hole for hole in flange.holes() if isinstance(hole.kind, Tapped | Jack | Dowel)]


@every_starter
def test_a_starter_has_nothing_to_warn_of(path: Path) -> None:
    job = load_job(path)
    assert [finding.rule for finding in job.findings if finding.failed] == []


@every_starter
def test_the_file_holds_closed_cut_lines_and_marks_and_nothing_else(path: Path) -> None:
    job, _, _ = made(path)
    document = document_of(path)
    entities = list(document.modelspace())
    assert {entity.dxftype() for entity in entities} <= CUT_ENTITIES
    assert {entity.dxf.layer for entity in entities} <= CUT_LAYERS
    assert len(list(document.layouts)) <= 2
    assert not any(len(block) for block in document.blocks if not block.name.startswith(("*Model", "*Paper")))
    assert all(entity.dxf.layer == "CUT_MARKS" for entity in entities if entity.dxftype() == "LINE")
    assert len(entities) == len(cut_edges(job.flange)) + 4 * len(marked(job.flange))


@every_starter
def test_its_unit_is_said(path: Path) -> None:
    job, _, _ = made(path)
    header = document_of(path).header
    inches = job.cut.unit is Unit.IN
    assert (header["$INSUNITS"], header["$MEASUREMENT"]) == ((1, 0) if inches else (4, 1))


@every_starter
def test_outlines_are_closed_twice_over(path: Path) -> None:
    for entity in document_of(path).modelspace():
        if isinstance(entity, Polyline):
            first, last = entity.vertices[0].dxf.location, entity.vertices[-1].dxf.location
            assert entity.is_closed
            assert first.isclose(last, abs_tol=1e-9)


@every_starter
def test_nothing_stands_twice(path: Path) -> None:
    job, _, _ = made(path)
    edges = cut_edges(job.flange)
    assert len({shape_key(edge) for edge in edges}) == len(edges)
    shapes = [polygon(edge, step_deg=5.0).exterior for edge in edges]
    tree = shapely.STRtree(shapes)
    crossing = tree.query(shapes, predicate="intersects").T
    assert all(a == b for a, b in crossing.tolist())


@every_starter
def test_the_inside_is_cut_first_and_small_before_large(path: Path) -> None:
    job, dxf, _ = made(path)
    layers = [entity.dxf.layer for entity in document_of(path).modelspace()]
    order = {"CUT_MARKS": 0, "CUT_HOLES": 1, "CUT_BORE": 1, "CUT_OUTLINE": 2}
    assert [order[layer] for layer in layers] == sorted(order[layer] for layer in layers)
    outlines = len(job.flange.pieces())
    inside = [shape for shape in dxf_shapes(dxf) if shape.layer in ("CUT_HOLES", "CUT_BORE")]
    sizes = [float(np.ptp(shape.points, axis=0).max()) for shape in inside]
    assert all(after >= before - 0.01 for before, after in pairwise(sizes))
    assert layers.count("CUT_OUTLINE") == outlines


@every_starter
def test_every_line_of_the_dxf_lies_on_the_model(path: Path) -> None:
    """GDAL turns arcs into vertices that lie on them; each must lie on one edge, and each edge must be there."""
    job, dxf, _ = made(path)
    edges = cut_edges(job.flange)
    found = [shape for shape in dxf_shapes(dxf) if shape.layer != "CUT_MARKS"]
    assert len(found) == len(edges)
    left = sorted(edges, key=area)
    for shape in found:
        points = shape.points * to_mm(1.0, job.cut.unit)
        edge = next(edge for edge in left if _lies_on(points, edge))
        left.remove(edge)
        assert shapely.Polygon(points).area == pytest.approx(area(edge), rel=2e-3)


def _lies_on(points: "np.ndarray[tuple[int, ...], np.dtype[np.float64]]", edge: Edge) -> bool:
    some = points[:: max(1, len(points) // 24)]
    return all(abs(distance_to_edge(edge, Point(float(x), float(y)))) <= FILE_TOLERANCE for x, y in some)


@pytest.mark.slow
@every_starter
def test_every_line_of_the_svg_lies_on_the_model(path: Path) -> None:
    job, _, svg = made(path)
    box = job.flange.box()
    parsed = svgelements.SVG.parse(StringIO(svg.decode()), ppi=SVG_DOTS_PER_INCH)
    assert parsed.width == pytest.approx(box.width, abs=FILE_TOLERANCE)
    assert parsed.height == pytest.approx(box.height, abs=FILE_TOLERANCE)
    left, crosses = sorted(cut_edges(job.flange), key=area), 0
    for each in parsed.elements():
        if isinstance(each, svgelements.Circle | svgelements.Path):
            outline = svgelements.Path(each)
            if not isinstance(outline[-1], svgelements.Close) and isinstance(each, svgelements.Path):
                crosses += 1
                continue
            places = [outline.point(share / 16) for share in range(16)]
            points = np.array([(float(p.x) + box.left, box.top - float(p.y)) for p in places])
            left.remove(next(edge for edge in left if _lies_on(points, edge)))
    assert left == []
    assert crosses == len(marked(job.flange)), "only the crosses of marks stay open"


@every_starter
def test_the_svg_has_no_style_text_or_transform(path: Path) -> None:
    _, _, svg = made(path)
    text = svg.decode()
    assert not any(word in text for word in ("<style", "class=", "<text", "transform", "clip-path"))


@every_starter
def test_marks_cross_where_the_machine_drills(path: Path) -> None:
    job, _, _ = made(path)
    lines = [entity for entity in document_of(path).modelspace() if entity.dxf.layer == "CUT_MARKS"]
    factor = to_mm(1.0, job.cut.unit)
    for index, hole in enumerate(marked(job.flange)):
        four = lines[4 * index : 4 * index + 4]
        ends = [Point(p.x * factor, p.y * factor) for line in four for p in (line.dxf.start, line.dxf.end)]
        assert sum(p.x for p in ends) / 8 == pytest.approx(hole.center.x, abs=FILE_TOLERANCE)
        assert sum(p.y for p in ends) / 8 == pytest.approx(hole.center.y, abs=FILE_TOLERANCE)
        assert max(hole.center.distance_to(p) for p in ends) == pytest.approx(3.0, abs=FILE_TOLERANCE)


def test_the_comparison_fails_on_a_shape_in_a_wrong_place() -> None:
    circle = Circle(Point(0.0, 0.0), 10.0)
    turn = np.linspace(0, 2 * np.pi, 60)
    points = np.column_stack((np.cos(turn), np.sin(turn))) * 10
    assert _lies_on(points, circle)
    assert not _lies_on(points + np.array([0.002, 0.0]), circle)
    assert not _lies_on(points * 1.0002, circle)


def test_every_kind_of_outline_has_a_starter() -> None:
    from flangelayout.job.schema.holes import KIND_KEYS
    from flangelayout.job.schema.plate import OUTLINE_KEYS

    text = "\n".join(path.read_text(encoding="utf-8") for path in STARTERS)
    outlines = {name for name in OUTLINE_KEYS if f'outline = "{name}"' in text} | {"round"}
    kinds = {name for name in KIND_KEYS if f'kind = "{name}"' in text} | {"drilled"}
    assert outlines == set(OUTLINE_KEYS)
    assert kinds == set(KIND_KEYS)
    assert all(
        f"[[{table}]]" in text
        for table in ("hole", "hole_rectangle", "hole_grid", "hole_rings", "opening", "turned", "mate")
    )


def test_the_layers_are_those_of_the_cut() -> None:
    assert {layer.pen.name for layer in Layer if layer.name.startswith("CUT_")} >= CUT_LAYERS
    assert isinstance(cut_edges(made(STARTERS[0])[0].flange)[-1], Circle | Contour)
