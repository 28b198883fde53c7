import math
from itertools import product

import numpy as np
import pytest
from ezdxf.entities.dimension import Dimension
from ezdxf.entities.viewport import Viewport

from builders import A4, drawing_of, item, label, ring, sheet_of, sheets_of, view_of
from flangelayout.drawing.choices import DxfVersion
from flangelayout.drawing.convention import Convention
from flangelayout.drawing.explode import exploded, items_box
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import (
    Anchor,
    AngularDimension,
    DiameterDimension,
    Label,
    Leader,
    LinearDimension,
    MeasuredText,
    Measuring,
    Paper,
    SheetSet,
    Solid,
)
from flangelayout.geometry.shapes import ORIGIN, Box, Circle, Line, Point, polar, rectangle
from flangelayout.units import DEGREES, Unit, from_mm, to_mm
from flangelayout.views.words.lengths import Lengths
from flangelayout.writers.dxf import write_dxf
from flangelayout.writers.dxf.options import DxfOptions
from flangelayout.writers.numbers import FILE_TOLERANCE
from readers import dxf_circles, dxf_document, dxf_shapes
from rows import every_row

SCALE = 0.2
MIDDLE = Point(105.0, 180.0)
DIMENSIONS: tuple[LinearDimension | DiameterDimension | AngularDimension, ...] = (
    LinearDimension(Point(-142.5, 0.0), Point(142.5, 0.0), Point(0.0, -170.0), 0.0, "285"),
    LinearDimension(polar(120.0, 22.5), polar(120.0, 67.5), Point(160.0, 160.0), -45.0, "84.85"),
    DiameterDimension(ORIGIN, 120.0, 150.0, "⌀240 B.C."),
    DiameterDimension(polar(120.0, 67.5), 11.0, 67.5, "8X ⌀22"),
    AngularDimension(ORIGIN, 90.0, 22.5, 45.0, "45°"),
)
FRONT = drawing_of(
    *ring(),
    item(Circle(ORIGIN, 120.0), Layer.CENTERLINE),
    *(item(each, Layer.DIMENSION) for each in DIMENSIONS),
    item(Leader(polar(109.0, -67.5), Point(170.0, -190.0), ("drilled to match", "see table")), Layer.DIMENSION),
    title="front",
)
SECTION = drawing_of(
    rectangle(Box(0.0, 0.0, 22.0, 285.0)), item(Label(ORIGIN, "A-A", 3.5), Layer.TEXT), title="section"
)


def sheet() -> SheetSet:
    return sheets_of(
        sheet_of(
            view_of(FRONT, SCALE, MIDDLE),
            view_of(SECTION, SCALE, Point(170.0, 150.0)),
            furniture=[rectangle(Box(10.0, 10.0, 200.0, 287.0)), label("Intake ⌀240", Point(20.0, 20.0), 3.5)],
            name="Sheet 1 of 2",
        ),
        sheet_of(view_of(FRONT, SCALE, MIDDLE, Box(50.0, 120.0, 150.0, 240.0)), name="Sheet 1 of 2"),
    )


@every_row(("version", "unit"), product(list(DxfVersion), list(Unit)))
def test_the_reader_of_ezdxf_finds_nothing_to_mend(version: DxfVersion, unit: Unit) -> None:
    audit = dxf_document(write_dxf(sheet(), DxfOptions(unit, version))).audit()
    assert not audit.errors
    assert not audit.fixes


@every_row("unit", list(Unit))
def test_model_space_holds_the_drawing_at_real_size(unit: Unit) -> None:
    found = dxf_circles(write_dxf(sheet(), DxfOptions(unit)), unit)
    for each, circle in zip(ring(), found, strict=False):
        assert isinstance(each.what, Circle)
        expected = (each.what.center.x, each.what.center.y, each.what.radius)
        assert circle == pytest.approx(expected, abs=FILE_TOLERANCE)


def test_a_drawing_shown_twice_stands_in_the_model_once() -> None:
    document = dxf_document(write_dxf(sheet(), DxfOptions()))
    assert len(document.modelspace().query("CIRCLE")) == len(ring()) + 1
    assert len(document.modelspace().query("DIMENSION")) == len(DIMENSIONS)


def test_a_second_drawing_stands_clear_to_the_right_of_the_first() -> None:
    document = dxf_document(write_dxf(sheet(), DxfOptions()))
    (outline,) = document.modelspace().query("LWPOLYLINE")
    left = min(x for x, _ in outline.get_points("xy"))  # type: ignore[attr-defined] # a polyline
    assert left > items_box(FRONT.items, SCALE).right


@every_row(("paper", "unit"), product([A4, Paper("Letter", 215.9, 279.4)], list(Unit)))
def test_pages_have_the_size_of_the_paper_in_mm(unit: Unit, paper: Paper) -> None:
    sheets = sheets_of(sheet_of(view_of(FRONT, SCALE, MIDDLE), paper=paper))
    page = dxf_document(write_dxf(sheets, DxfOptions(unit))).paperspace()
    layout = page.dxf_layout.dxf
    assert (layout.paper_width, layout.paper_height) == pytest.approx((paper.width, paper.height))
    assert layout.plot_paper_units == 1


def test_every_sheet_has_a_page_of_its_own_name() -> None:
    document = dxf_document(write_dxf(sheet(), DxfOptions()))
    assert list(document.layout_names_in_taborder()) == ["Model", "Sheet 1 of 2", "Sheet 1 of 2 (2)"]


@every_row("unit", list(Unit))
def test_a_window_shows_each_point_where_the_view_puts_it(unit: Unit) -> None:
    document = dxf_document(write_dxf(sheet(), DxfOptions(unit)))
    windows = [_windows(document.paperspace(name)) for name in list(document.layout_names_in_taborder())[1:]]
    front, section = windows[0]
    assert _on_paper(front, Point(120.0, 0.0), unit) == pytest.approx((MIDDLE.x + 24.0, MIDDLE.y), abs=0.002)
    (clipped,) = windows[1]
    assert _on_paper(clipped, ORIGIN, unit) == pytest.approx((MIDDLE.x, MIDDLE.y), abs=0.002)
    assert (clipped.dxf.width, clipped.dxf.height) == (100.0, 120.0)
    (outline,) = document.modelspace().query("LWPOLYLINE")
    x, y = outline.get_points("xy")[0]  # type: ignore[attr-defined] # a polyline
    at = Point(to_mm(x, unit), to_mm(y, unit))
    assert _on_paper(section, at, unit) == pytest.approx((170.0, 150.0), abs=0.002)


def test_a_window_shows_no_neighbor() -> None:
    document = dxf_document(write_dxf(sheet(), DxfOptions()))
    front, section = _windows(document.paperspace("Sheet 1 of 2"))
    front_right = front.dxf.view_center_point.x + front.dxf.width / SCALE / 2
    section_left = section.dxf.view_center_point.x - section.dxf.width / SCALE / 2
    assert front_right < section_left


@every_row("unit", list(Unit))
def test_dimensions_measure_what_they_say(unit: Unit) -> None:
    document = dxf_document(write_dxf(sheet(), DxfOptions(unit)))
    found = [each for each in document.modelspace().query("DIMENSION") if isinstance(each, Dimension)]
    measured = [from_mm(value, unit) for value in (285.0, 240.0 * np.sin(np.pi / 8), 240.0, 22.0)] + [45.0]
    for dimension, value in zip(found, measured, strict=True):
        assert float(dimension.get_measurement()) == pytest.approx(value, abs=1e-5)
    assert [each.dxf.text for each in found] == ["285", "84.85", "%%c240 B.C.", "8X %%c22", "45°"]


@every_row(("unit", "dual", "convention"), product(list(Unit), (False, True), list(Convention)))
def test_what_a_style_makes_of_a_measure_is_what_its_picture_shows(
    unit: Unit, dual: bool, convention: Convention
) -> None:
    """A program that draws a dimension anew writes its measure by its style: in both units, with what is beside."""
    lengths = Lengths(unit, dual, convention)
    sizes: tuple[Measuring, ...] = (
        DiameterDimension(ORIGIN, 120.65, 150.0, lengths.measured(241.3, "⌀", " BORE")),
        LinearDimension(ORIGIN, Point(19.05, 0.0), Point(0.0, 40.0), 0.0, lengths.measured(19.05, "(", ")")),
        AngularDimension(ORIGIN, 90.0, 22.5, 45.0, MeasuredText(DEGREES, "(", ") A")),
    )
    drawing = drawing_of(*(item(each, Layer.DIMENSION) for each in sizes))
    data = write_dxf(sheets_of(sheet_of(view_of(drawing, SCALE, MIDDLE))), DxfOptions(unit, DxfVersion.R2010))
    document = dxf_document(data)
    for dimension in (each for each in document.modelspace().query("DIMENSION") if isinstance(each, Dimension)):
        (shown,) = (text.dxf.text for text in document.blocks.get(dimension.dxf.geometry).query("TEXT"))
        assert _as_styled(dimension) == shown


def _as_styled(dimension: Dimension) -> str:
    """The text of a dimension by its style and its measure (DXF reference: DIMDEC, DIMZIN, DIMALTF, DIMADEC)."""
    style = dimension.doc.dimstyles.get(dimension.dxf.dimstyle).dxf  # type: ignore[union-attr]
    measure = float(dimension.dxf.actual_measurement)
    if dimension.dimtype == 5:
        value = f"{math.degrees(measure):.{style.dimadec}f}".rstrip("0").rstrip(".") + "°"
    else:
        value = _written(measure, style.dimdec, style.dimzin)
        other = _written(measure * style.dimaltf, style.dimaltd, style.dimaltz) if style.get("dimalt") else ""
        value += f" [{other}]" if other else ""
    return str(dimension.dxf.text).replace("<> []", "<>").replace("<>", value)


def _written(value: float, places: int, zeros: int) -> str:
    text = f"{value:.{places}f}"
    text = text.rstrip("0").rstrip(".") if zeros & 8 else text
    return text.removeprefix("0") if zeros & 4 else text


def test_a_dimension_looks_as_in_every_other_format() -> None:
    document = dxf_document(write_dxf(sheet(), DxfOptions()))
    for dimension, entity in zip(DIMENSIONS, document.modelspace().query("DIMENSION"), strict=True):
        picture = document.blocks.get(entity.dxf.geometry)
        assert picture is not None
        kinds = {Line: "LINE", Solid: "SOLID", Label: "TEXT"}
        wanted = [kinds.get(type(part), "ARC") for _, part in exploded([item(dimension)], SCALE)]
        assert [each.dxftype() for each in picture] == wanted


def test_texts_print_at_their_height_and_place() -> None:
    document = dxf_document(write_dxf(sheet(), DxfOptions(Unit.IN)))
    texts = {each.dxf.text: each for each in document.modelspace().query("TEXT")}
    assert texts["A-A"].dxf.height == pytest.approx(from_mm(3.5 / SCALE, Unit.IN), abs=1e-6)
    on_page = {each.dxf.text: each for each in document.paperspace().query("TEXT")}
    title = on_page["Intake %%c240"]
    assert (title.dxf.height, title.dxf.insert.x, title.dxf.insert.y) == (3.5, 20.0, 20.0)
    style = document.styles.get(title.dxf.style)
    assert (style.dxf.font, style.dxf.width, title.dxf.width) == ("arial.ttf", 0.85, 0.85)


@every_row("anchor", list(Anchor))
def test_alignment_says_which_point_of_the_text_stands_where(anchor: Anchor) -> None:
    at = Point(50.0, 60.0)
    page = sheets_of(sheet_of(furniture=[item(Label(at, "HEH", 5.0, 30.0, anchor), Layer.TEXT)]))
    (text,) = dxf_document(write_dxf(page, DxfOptions())).paperspace().query("TEXT")
    point = text.dxf.insert if anchor is Anchor.LEFT else text.dxf.align_point
    assert (point.x, point.y, text.dxf.rotation) == (50.0, 60.0, 30.0)
    # DXF reference, TEXT: group 72 is 0 left, 1 center, 2 right; group 73 is 0 baseline, 2 middle.
    assert text.dxf.halign == {"left": 0, "center": 1, "right": 2}[anchor.across]
    assert text.dxf.valign == (2 if anchor.on_middle else 0)


@every_row("unit", list(Unit))
def test_a_leader_is_a_leader_that_holds_its_text(unit: Unit) -> None:
    document = dxf_document(write_dxf(sheet(), DxfOptions(unit)))
    (leader,) = document.modelspace().query("LEADER")
    places = [(to_mm(x, unit), to_mm(y, unit)) for x, y, _ in leader.vertices]  # type: ignore[attr-defined] # a leader
    for place, wanted in zip(places, ((41.712, -100.703), (170.0, -190.0)), strict=False):
        assert place == pytest.approx(wanted, abs=0.001)
    text = document.entitydb[leader.dxf.annotation_handle]
    assert (text.dxftype(), text.text) == ("MTEXT", r"drilled to match\Psee table")  # type: ignore[attr-defined]
    assert leader.dxf.dimstyle.startswith("LEVEL_"), "its arrow is printed as large as every other"
    # DXF reference, MTEXT: group 71 is 4 for the middle of the left side; it stands 1 mm beyond the shelf.
    assert text.dxf.attachment_point == 4
    x, y, _ = text.dxf.insert
    shelf = places[2]
    assert (to_mm(x, unit), to_mm(y, unit)) == pytest.approx((shelf[0] + 1.0 / SCALE, shelf[1]), abs=0.001)


@every_row("unit", list(Unit))
def test_dashes_print_at_their_own_length(unit: Unit) -> None:
    document = dxf_document(write_dxf(sheet(), DxfOptions(unit)))
    (circle,) = document.modelspace().query('CIRCLE[layer=="CENTERLINE"]')
    pattern = document.linetypes.get("CENTER").pattern_tags.tags
    dashes = [abs(tag.value) for tag in pattern if tag.code == 49]
    printed = [to_mm(dash * circle.dxf.ltscale, unit) * SCALE for dash in dashes]
    assert printed == pytest.approx(Layer.CENTERLINE.pen.dashes_paper, abs=1e-3)
    assert document.header["$LTSCALE"] == 1.0
    assert document.header["$PSLTSCALE"] == 0


def test_layers_carry_width_and_nothing_is_hidden() -> None:
    document = dxf_document(write_dxf(sheet(), DxfOptions()))
    assert document.layers.get("BORDER").dxf.lineweight == 50
    assert document.layers.get("DIMENSION").dxf.lineweight == 25
    assert not any(each.is_off() or each.is_frozen() or each.is_locked() for each in document.layers)
    assert not any(entity.dxf.invisible for entity in document.entitydb.values() if entity.dxf.hasattr("invisible"))


def test_a_solid_of_many_corners_is_a_fan_of_triangles() -> None:
    corners = tuple(polar(10.0, 60.0 * turn, Point(50.0, 50.0)) for turn in range(6))
    page = sheets_of(sheet_of(furniture=[Solid(corners), Solid(corners[:4])]))
    shapes = dxf_shapes(write_dxf(page, DxfOptions()))
    areas = [_area(shape.points) for shape in shapes]
    assert len(areas) == 5
    assert sum(areas[:4]) == pytest.approx(1.5 * 3**0.5 * 100.0, abs=0.01)
    assert areas[4] == pytest.approx(0.75 * 3**0.5 * 100.0, abs=0.01)


def test_a_sheet_asked_for_in_r12_comes_in_r2000() -> None:
    assert dxf_document(write_dxf(sheet(), DxfOptions(version=DxfVersion.R12))).dxfversion == "AC1015"


def test_the_extents_hold_every_drawing() -> None:
    header = dxf_document(write_dxf(sheet(), DxfOptions())).header
    box = items_box(FRONT.items, SCALE)
    assert tuple(header["$EXTMIN"])[:2] == pytest.approx((box.left, box.bottom), abs=1e-5)
    assert header["$EXTMAX"][0] > box.right


def test_a_page_without_a_view_is_still_a_page() -> None:
    page = sheets_of(sheet_of(furniture=[label("holes", Point(20.0, 20.0))], name="table"))
    document = dxf_document(write_dxf(page, DxfOptions()))
    assert len(document.paperspace("table").query("TEXT")) == 1
    assert not document.audit().errors


def _windows(page: object) -> list[Viewport]:
    """The viewports of a page but the one that stands for the page itself."""
    return [each for each in page.query("VIEWPORT") if each.dxf.id != 1]  # type: ignore[attr-defined] # a layout


def _on_paper(window: Viewport, point: Point, unit: Unit) -> tuple[float, float]:
    """Where a viewport shows a point of the model, by the definition of its groups 10, 12, 41 and 45."""
    scale = window.dxf.height / window.dxf.view_height
    center, seen = window.dxf.center, window.dxf.view_center_point
    x = center.x + (from_mm(point.x, unit) - seen.x) * scale
    y = center.y + (from_mm(point.y, unit) - seen.y) * scale
    return x, y


def _area(points: "np.ndarray[tuple[int, int], np.dtype[np.float64]]") -> float:
    x, y = points[:, 0], points[:, 1]
    return float(abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2)
