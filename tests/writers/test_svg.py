import xml.etree.ElementTree as ET
from collections import Counter

import pytest
import svgelements

from builders import A4, STAMP, drawing_of, item, label, ring, sheet_of, stadium, view_of
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Content, Label, Paper, Sheet, SheetSet, Solid
from flangelayout.drawing.textwidth import font_size, text_width
from flangelayout.geometry.shapes import ORIGIN, Arc, Box, Circle, Contour, Line, Point, polar
from flangelayout.writers.numbers import FILE_TOLERANCE
from flangelayout.writers.svg import SvgOptions, write_svg
from readers import svg_circles, svg_elements
from rows import every_row

SVG = "{http://www.w3.org/2000/svg}"
MIDDLE = Point(105.0, 148.5)


def page(*contents: Content, layer: Layer = Layer.OUTLINE, at: Point = MIDDLE, scale: float = 1.0) -> Sheet:
    return sheet_of(view_of(drawing_of(*contents, layer=layer), scale, at))


def tree(sheet: Sheet) -> ET.Element:
    return ET.fromstring(write_svg(SheetSet((sheet,), STAMP)))


def test_the_page_and_its_user_unit_are_millimetres() -> None:
    root = tree(sheet_of(paper=Paper("Letter", 215.9, 279.4)))
    assert (root.get("width"), root.get("height")) == ("215.9mm", "279.4mm")
    assert root.get("viewBox") == "0 0 215.9 279.4"


def test_holes_come_back_where_they_were_put() -> None:
    sheet = sheet_of(view_of(drawing_of(*ring()), 0.5, MIDDLE))
    for each, circle in zip(ring(), svg_circles(write_svg(SheetSet((sheet,), STAMP)), A4.height), strict=True):
        assert isinstance(each.what, Circle)
        assert circle.x == pytest.approx(MIDDLE.x + each.what.center.x / 2, abs=FILE_TOLERANCE)
        assert circle.y == pytest.approx(MIDDLE.y + each.what.center.y / 2, abs=FILE_TOLERANCE)
        assert circle.radius == pytest.approx(each.what.radius / 2, abs=FILE_TOLERANCE)


def test_cut_geometry_has_no_transform_no_class_no_clip_no_text() -> None:
    root = tree(sheet_of(view_of(drawing_of(*ring(), stadium(), Arc(ORIGIN, 9.0, 0.0, 270.0)), 1.0, MIDDLE)))
    assert {each.tag for each in root.iter()} == {
        SVG + name for name in ("svg", "title", "desc", "defs", "g", "circle", "path")
    }
    used = {name for each in root.iter() for name in each.attrib}
    assert not used & {"transform", "class", "style", "clip-path", "textLength"}


@every_row("sweep", [30.0, -30.0, 180.0, -200.0, 359.0])
def test_an_arc_stays_on_its_circle_from_end_to_end(sweep: float) -> None:
    arc = Arc(Point(3.0, -4.0), 500.0, 25.0, sweep)
    sheet = page(arc)
    (path,) = (
        each for each in svg_elements(write_svg(SheetSet((sheet,), STAMP))) if isinstance(each, svgelements.Path)
    )
    points = [_model(path.point(step / 200)) for step in range(201)]
    assert max(abs(point.distance_to(arc.center) - 500.0) for point in points) < FILE_TOLERANCE
    assert points[0].distance_to(arc.start) < FILE_TOLERANCE
    assert points[-1].distance_to(arc.end) < FILE_TOLERANCE
    half = Arc(arc.center, 500.0, 25.0, sweep / 2).end
    assert min(point.distance_to(half) for point in points) < 25.0


def test_a_contour_is_one_closed_path() -> None:
    (path,) = tree(page(stadium(), at=ORIGIN)).iter(SVG + "path")
    steps = (path.get("d") or "").split()
    assert Counter(step for step in steps if step.isalpha()) == {"M": 1, "L": 2, "A": 4, "Z": 1}
    assert steps[:3] == ["M", "-100", "347"]
    assert steps[-1] == "Z"


def test_an_open_contour_stays_open() -> None:
    contour = Contour((Line(ORIGIN, Point(1.0, 0.0)), Line(Point(1.0, 0.0), Point(1.0, 1.0))), closed=False)
    (path,) = tree(page(contour, at=ORIGIN)).iter(SVG + "path")
    assert path.get("d") == "M 0 297 L 1 297 L 1 296"


def test_pens_draw_in_their_own_width_dashes_and_gray() -> None:
    drawing = drawing_of(item(Line(ORIGIN, MIDDLE), Layer.TEMPLATE_RAYS), item(Line(ORIGIN, MIDDLE), Layer.OUTLINE))
    rays, outline = tree(sheet_of(view_of(drawing))).iter(SVG + "g")
    assert rays.attrib["stroke-width"] == "0.1"
    assert rays.attrib["stroke-dasharray"] == "6 1 0.5 1"
    assert rays.attrib["stroke"] == "#4c4c4c"
    assert outline.attrib["stroke"] == "#000000"
    assert "stroke-dasharray" not in outline.attrib


def test_ids_are_the_layers_and_never_repeat() -> None:
    turns = [Layer.OUTLINE, Layer.TEXT, Layer.OUTLINE, Layer.HIDDEN, Layer.OUTLINE, Layer.HIDDEN]
    parts = [item(Circle(ORIGIN, 5.0 + index), layer) for index, layer in enumerate(turns)]
    names = {Layer.HIDDEN: "OUTLINE-2", Layer.TEXT: "1 größer"}
    root = ET.fromstring(write_svg(SheetSet((sheet_of(view_of(drawing_of(*parts))),), STAMP), SvgOptions(names)))
    ids = [each.attrib["id"] for each in root.iter(SVG + "g")]
    assert len(set(ids)) == len(ids)
    assert ids[:3] == ["OUTLINE", "_1_gr__er", "OUTLINE-2"]


@every_row("anchor", list(Anchor))
def test_a_text_keeps_width_and_anchor_in_every_viewer(anchor: Anchor) -> None:
    sheet = sheet_of(furniture=[item(Label(Point(50.0, 60.0), "8X ⌀22", 3.5, 0.0, anchor), Layer.TEXT)])
    (text,) = tree(sheet).iter(SVG + "text")
    assert text.text == "8X ⌀22"
    assert text.get("text-anchor") == {"left": "start", "center": "middle", "right": "end"}[anchor.across]
    assert float(text.attrib["x"]) == 50.0
    assert float(text.attrib["y"]) == pytest.approx(297.0 - 60.0 + (1.75 if anchor.on_middle else 0.0))
    assert float(text.attrib["font-size"]) == pytest.approx(font_size(3.5), abs=1e-4)
    assert float(text.attrib["textLength"]) == pytest.approx(text_width("8X ⌀22", 3.5), abs=1e-4)
    assert "transform" not in text.attrib


def test_a_turned_text_turns_about_its_own_place() -> None:
    label = Label(Point(50.0, 60.0), "up", 4.0, 90.0, Anchor.MIDDLE)
    (text,) = tree(sheet_of(furniture=[item(label, Layer.TEXT)])).iter(SVG + "text")
    assert text.get("transform") == "rotate(-90 52 237)"
    assert (text.get("x"), text.get("y")) == ("52", "237")


def test_text_keeps_its_printed_height_at_any_scale() -> None:
    sheet = sheet_of(view_of(drawing_of(item(Label(Point(50.0, 60.0), "A-A", 3.5), Layer.TEXT)), 0.2, MIDDLE))
    (text,) = tree(sheet).iter(SVG + "text")
    assert float(text.attrib["font-size"]) == pytest.approx(font_size(3.5), abs=1e-4)
    assert (text.get("x"), text.get("y")) == ("115", "136.5")


def test_an_empty_text_is_left_out() -> None:
    assert not list(tree(sheet_of(furniture=[label(" ")])).iter(SVG + "text"))


def test_an_arrow_is_filled_and_has_no_outline() -> None:
    (path,) = tree(page(Solid((ORIGIN, Point(1.0, 0.0), Point(0.0, 1.0))), at=ORIGIN)).iter(SVG + "path")
    assert (path.get("fill"), path.get("stroke")) == ("#000000", "none")
    assert path.get("d") == "M 0 297 L 1 297 L 0 296 Z"


def test_views_are_clipped_only_where_they_say_so() -> None:
    drawing = drawing_of(Circle(ORIGIN, 50.0))
    clip = Box(20.0, 30.0, 60.0, 90.0)
    root = tree(sheet_of(view_of(drawing), view_of(drawing, clip=clip), view_of(drawing, clip=clip)))
    paths = list(root.iter(SVG + "clipPath"))
    assert [each.attrib["id"] for each in paths] == ["window", "window-2"]
    rectangle = paths[0][0].attrib
    assert [rectangle[name] for name in ("x", "y", "width", "height")] == ["20", "207", "40", "60"]
    used = [each.get("clip-path") for each in root.iter(SVG + "g") if each.get("clip-path")]
    assert used == ["url(#window)", "url(#window-2)"]


def test_the_identity_is_title_and_description() -> None:
    root = tree(page(Circle(ORIGIN, 5.0)))
    assert root.findtext(SVG + "title") == "H-114 A Intake adapter"
    assert "input digest: 5f3c09be" in (root.findtext(SVG + "desc") or "")


def test_no_number_has_an_exponent() -> None:
    noisy: list[Content] = [Circle(polar(1e-9, 45.0), 5.0), Line(Point(1e-7, -1e-12), Point(1e5, 1e-5))]
    root = tree(page(*noisy, at=ORIGIN))
    numbers = [each.get(name) for each in root.iter() for name in ("cx", "cy", "r", "x1", "y1", "x2", "y2")]
    assert not [number for number in numbers if number and "e" in number]
    assert "-0" not in numbers


def _model(point: svgelements.Point) -> Point:
    return Point(float(point.x) - MIDDLE.x, A4.height - float(point.y) - MIDDLE.y)
