import math
from itertools import product

import ezdxf.math
import numpy as np
import pytest
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.entities.polyline import Polyline
from hypothesis import given
from hypothesis import strategies as st

from builders import STAMP, drawing_of, item, label, ring, stadium, stamp
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, CenterMark, Content, CutDrawing, Label, LinearDimension, Solid
from flangelayout.errors import OutputError
from flangelayout.geometry.shapes import ORIGIN, Arc, Circle, Contour, Line, Point, polar
from flangelayout.units import Unit, from_mm
from flangelayout.value import replace
from flangelayout.writers.dxf import DxfOptions, DxfVersion, write_dxf
from flangelayout.writers.numbers import FILE_TOLERANCE
from readers import dxf_circles, dxf_document, dxf_groups, dxf_shapes
from rows import every_row

ALL_WAYS = [(version, unit) for version in DxfVersion for unit in Unit]
R12_ENTITIES = {"LINE", "CIRCLE", "ARC", "POLYLINE"}


def cut(*contents: Content, version: DxfVersion = DxfVersion.R2000, unit: Unit = Unit.MM) -> bytes:
    return write_dxf(CutDrawing(drawing_of(*contents, layer=Layer.CUT_OUTLINE), STAMP), DxfOptions(unit, version))


@every_row(("version", "unit"), ALL_WAYS)
def test_holes_come_back_where_they_were_put(version: DxfVersion, unit: Unit) -> None:
    data = write_dxf(CutDrawing(drawing_of(*ring()), STAMP), DxfOptions(unit, version))
    found = dxf_circles(data, unit)
    for each, circle in zip(ring(), found, strict=True):
        assert isinstance(each.what, Circle)
        expected = (each.what.center.x, each.what.center.y, each.what.radius)
        assert circle == pytest.approx(expected, abs=FILE_TOLERANCE)


@every_row(("version", "unit"), ALL_WAYS)
def test_the_reader_of_ezdxf_finds_nothing_to_mend(version: DxfVersion, unit: Unit) -> None:
    parts = (stadium(), CenterMark(ORIGIN, 5.0, 1.0), Arc(ORIGIN, 30.0, 10.0, -80.0), Line(ORIGIN, Point(9.0, 9.0)))
    audit = dxf_document(cut(*parts, version=version, unit=unit)).audit()
    assert not audit.errors
    assert not audit.fixes


@pytest.mark.parametrize(("unit", "insunits", "measurement"), [(Unit.MM, 4, 1), (Unit.IN, 1, 0)])
@pytest.mark.parametrize("version", [DxfVersion.R2000, DxfVersion.R2010])
def test_units_are_said_in_the_header(version: DxfVersion, unit: Unit, insunits: int, measurement: int) -> None:
    # DXF reference, HEADER section: $INSUNITS 1 inches, 4 millimeters; $MEASUREMENT 0 English, 1 metric.
    header = dxf_document(cut(stadium(), version=version, unit=unit)).header
    assert header["$INSUNITS"] == insunits
    assert header["$MEASUREMENT"] == measurement


@every_row("unit", list(Unit))
def test_r12_says_its_units_in_a_comment(unit: Unit) -> None:
    assert (999, f"units: {unit.value}") in dxf_groups(cut(stadium(), version=DxfVersion.R12, unit=unit))


@every_row(("version", "unit"), ALL_WAYS)
def test_the_extents_are_those_of_the_outline(version: DxfVersion, unit: Unit) -> None:
    header = dxf_document(cut(stadium(), Circle(ORIGIN, 20.0), version=version, unit=unit)).header
    corner = (from_mm(150.0, unit), from_mm(50.0, unit), 0.0)
    assert tuple(header["$EXTMAX"]) == pytest.approx(corner, abs=1e-6)
    assert tuple(header["$EXTMIN"]) == pytest.approx(tuple(-value for value in corner), abs=1e-6)


@every_row("version", list(DxfVersion))
def test_only_layers_that_hold_something_exist(version: DxfVersion) -> None:
    groups = dxf_groups(write_dxf(CutDrawing(drawing_of(*ring()), STAMP), DxfOptions(version=version)))
    starts = [index for index, group in enumerate(groups) if group == (0, "LAYER")]
    names = {next(value for code, value in groups[start:] if code == 2) for start in starts}
    assert names == {"0", "CUT_HOLES", "CUT_BORE", "CUT_OUTLINE"}


@every_row("version", [DxfVersion.R12, DxfVersion.R2000])
def test_entities_are_those_r12_has_unless_more_is_asked_for(version: DxfVersion) -> None:
    document = dxf_document(cut(stadium(), Circle(ORIGIN, 5.0), Arc(ORIGIN, 9.0, 0.0, 90.0), version=version))
    assert {entity.dxftype() for entity in document.modelspace()} <= R12_ENTITIES


def test_r2010_has_lightweight_polylines() -> None:
    (entity,) = dxf_document(cut(stadium(), version=DxfVersion.R2010)).modelspace()
    assert entity.dxftype() == "LWPOLYLINE"


@every_row("version", list(DxfVersion))
def test_an_outline_is_closed_by_flag_and_by_equal_ends(version: DxfVersion) -> None:
    (entity,) = dxf_document(cut(stadium(), version=version)).modelspace()
    assert entity.is_closed  # type: ignore[attr-defined] # a polyline of either kind
    shape = dxf_shapes(cut(stadium(), version=version))[0]
    assert shape.points[0] == pytest.approx(shape.points[-1])
    vertices = _vertices(entity)
    assert vertices[0][:2] == vertices[-1][:2]


@every_row(("sweep", "version"), product([180.0, -180.0, 30.0, -200.0], list(DxfVersion)))
def test_the_arcs_of_an_outline_keep_center_and_radius(version: DxfVersion, sweep: float) -> None:
    arc = Arc(Point(12.0, -7.0), 640.0, 25.0, sweep)
    contour = Contour((arc, Line(arc.end, arc.start)), closed=True)
    (entity,) = dxf_document(cut(contour, version=version)).modelspace()
    (x1, y1, bulge), (x2, y2, _) = _vertices(entity)[:2]
    center, _, _, radius = ezdxf.math.bulge_to_arc((x1, y1), (x2, y2), bulge)
    assert radius == pytest.approx(640.0, abs=FILE_TOLERANCE)
    assert (center.x, center.y) == pytest.approx((12.0, -7.0), abs=FILE_TOLERANCE)
    assert math.copysign(1, bulge) == math.copysign(1, sweep)


def test_gdal_draws_an_outline_along_the_model() -> None:
    points = dxf_shapes(cut(stadium()))[0].points
    away = np.hypot(np.maximum(np.abs(points[:, 0]) - 100.0, 0.0), points[:, 1])
    right_ends = np.abs(points[:, 0]) > 100.0 + 1e-6
    assert right_ends.sum() > 20
    assert np.abs(away[right_ends] - 50.0).max() < FILE_TOLERANCE


@given(st.floats(-720, 720), st.floats(-359.9, 359.9).filter(lambda sweep: abs(sweep) > 0.1), st.floats(1, 2000))
def test_an_arc_runs_from_end_to_end_either_way(start: float, sweep: float, radius: float) -> None:
    arc = Arc(Point(3.0, 4.0), radius, start, sweep)
    (entity,) = dxf_document(cut(arc, version=DxfVersion.R12)).modelspace()
    ends = [polar(radius, entity.dxf.start_angle, arc.center), polar(radius, entity.dxf.end_angle, arc.center)]
    wanted = [arc.start, arc.end] if sweep > 0 else [arc.end, arc.start]
    for end, want in zip(ends, wanted, strict=True):
        assert end.distance_to(want) < FILE_TOLERANCE
    assert (entity.dxf.end_angle - entity.dxf.start_angle) % 360 == pytest.approx(abs(sweep), abs=1e-5)


def test_a_mark_is_four_lines_open_in_the_middle() -> None:
    mark = item(CenterMark(Point(10.0, 20.0), 5.0, 1.0), Layer.CUT_MARKS)
    shapes = dxf_shapes(write_dxf(CutDrawing(drawing_of(mark), STAMP), DxfOptions()))
    assert [shape.layer for shape in shapes] == ["CUT_MARKS"] * 4
    reach = np.hypot(*(np.concatenate([shape.points[:, :2] for shape in shapes]) - (10.0, 20.0)).T)
    assert sorted(reach) == pytest.approx([1.0] * 4 + [5.0] * 4, abs=FILE_TOLERANCE)


@every_row(
    "content",
    [
        Label(ORIGIN, "H-114", 2.5, 0.0, Anchor.LEFT),
        Solid((ORIGIN, Point(1.0, 0.0), Point(0.0, 1.0))),
        LinearDimension(ORIGIN, Point(9.0, 0.0), Point(0.0, 5.0), 0.0, "9"),
    ],
)
def test_what_is_no_geometry_is_refused(content: Content) -> None:
    with pytest.raises(OutputError, match="cannot stand in a cut file"):
        cut(stadium(), content)


def test_the_noise_of_sines_never_gets_into_the_file() -> None:
    groups = dxf_groups(cut(*(each.what for each in ring(4))))
    entities = groups[groups.index((2, "ENTITIES")) : groups.index((2, "OBJECTS"))]
    numbers = [value for code, value in entities if 10 <= code < 60]
    assert "0.0" in numbers
    assert not [number for number in numbers if "e" in number.lower() or number == "-0.0"]


def test_an_empty_cut_file_is_refused() -> None:
    with pytest.raises(OutputError, match="nothing to cut"):
        cut()


@every_row(
    ("one", "other"),
    [
        (Circle(ORIGIN, 11.0), Circle(Point(0.0, 1e-9), 11.0)),
        (Line(ORIGIN, Point(5.0, 5.0)), Line(Point(5.0, 5.0), ORIGIN)),
        (Arc(ORIGIN, 5.0, 0.0, 90.0), Arc(ORIGIN, 5.0, 90.0, -90.0)),
        (stadium(), stadium()),
    ],
)
def test_what_stands_twice_is_refused_with_both_layers_and_the_place(one: Content, other: Content) -> None:
    drawing = drawing_of(item(one, Layer.CUT_HOLES), item(other, Layer.CUT_BORE))
    with pytest.raises(OutputError, match=r"layer CUT_BORE .* layer CUT_HOLES, about X-?[\d.]+ Y-?[\d.]+ mm"):
        write_dxf(CutDrawing(drawing, STAMP), DxfOptions())


def test_halves_of_one_circle_are_not_the_same_arc() -> None:
    assert len(dxf_shapes(cut(Arc(ORIGIN, 5.0, 0.0, 180.0), Arc(ORIGIN, 5.0, 180.0, 180.0)))) == 2


def test_the_identity_stands_in_comments_only() -> None:
    data = cut(stadium())
    comments = [value for code, value in dxf_groups(data) if code == 999]
    assert comments == [
        "flangelayout 0.1.0",
        "job: H-114",
        "title: Intake adapter",
        "revision: A",
        "date: 2026-03-02",
        "input digest: 5f3c09be",
        "units: mm",
    ]
    assert not any(shape.text for shape in dxf_shapes(data))


def test_r2010_shows_the_identity_as_file_properties() -> None:
    properties = dict(dxf_document(cut(stadium(), version=DxfVersion.R2010)).header.custom_vars.properties)
    assert properties["job"] == "H-114"
    assert properties["input digest"] == "5f3c09be"


def test_the_shop_names_its_layers_and_two_may_share_one() -> None:
    names = {Layer.CUT_HOLES: "Kreise innen", Layer.CUT_BORE: "Kreise innen", Layer.CUT_OUTLINE: "1"}
    data = write_dxf(CutDrawing(drawing_of(*ring()), STAMP), DxfOptions(layer_names=names))
    assert [shape.layer for shape in dxf_shapes(data)] == ["Kreise innen"] * 9 + ["1"]
    assert not dxf_document(data).audit().errors


@every_row("name", ["", "  ", "a/b", "a\nb", "x" * 256, "50%|"])
def test_a_layer_name_no_file_can_hold_is_refused(name: str) -> None:
    with pytest.raises(OutputError, match="layer name"):
        write_dxf(CutDrawing(drawing_of(*ring()), STAMP), DxfOptions(layer_names={Layer.CUT_HOLES: name}))


def test_r12_layer_names_are_short_and_plain() -> None:
    options = DxfOptions(version=DxfVersion.R12, layer_names={Layer.CUT_HOLES: "Löcher"})
    with pytest.raises(OutputError, match="Ö"):
        write_dxf(CutDrawing(drawing_of(*ring()), STAMP), options)


def test_a_stamp_with_nothing_but_a_number_is_enough() -> None:
    bare = replace(stamp(), title="", revision="", date="", digest="")
    data = write_dxf(CutDrawing(drawing_of(*ring()), bare), DxfOptions(version=DxfVersion.R2010))
    assert not dxf_document(data).audit().errors


def test_a_label_never_gets_into_a_cut_file_by_its_layer() -> None:
    with pytest.raises(OutputError, match="Label"):
        write_dxf(CutDrawing(drawing_of(*ring(), label("seen from gasket face")), STAMP), DxfOptions())


def _vertices(entity: object) -> list[tuple[float, float, float]]:
    if isinstance(entity, LWPolyline):
        return [(x, y, bulge) for x, y, bulge in entity.get_points("xyb")]
    assert isinstance(entity, Polyline)
    return [(each.dxf.location.x, each.dxf.location.y, each.dxf.bulge) for each in entity.vertices]
