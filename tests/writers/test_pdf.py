import math
from io import BytesIO

import numpy as np
import pdfplumber
import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pdfminer.pdftypes import resolve1
from reportlab.pdfgen.canvas import Canvas

from builders import A4, drawing_of, item, label, one_page, ring, sheet_of, sheets_of, stadium, stamp, view_of
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, CenterMark, Drawing, Label, Paper, SheetSet, Solid
from flangelayout.drawing.textwidth import text_width
from flangelayout.errors import OutputError
from flangelayout.geometry.shapes import ORIGIN, Arc, Box, Circle, Line, Point, polar, rectangle
from flangelayout.value import replace
from flangelayout.writers.numbers import FILE_TOLERANCE
from flangelayout.writers.pdf import write_pdf
from flangelayout.writers.pdf_paths import piece_count, radial_error
from readers import MM_PER_POINT, bezier_points, pdf_circles, pdf_curves, pdf_text
from rows import every_row

MIDDLE = Point(105.0, 148.5)


def test_the_file_is_pdf_1_6_and_asks_to_be_printed_at_its_own_size() -> None:
    data = write_pdf(one_page(*ring(), at=MIDDLE, scale=0.5))
    with pdfplumber.open(BytesIO(data)) as document:
        preferences = document.doc.catalog["ViewerPreferences"].resolve()
    assert data.startswith(b"%PDF-1.6")
    assert preferences["PrintScaling"].name == "None"


def test_pages_that_are_cut_and_joined_ask_for_one_side_and_long_files_have_bookmarks() -> None:
    pages = tuple(replace(one_page(*ring()).sheets[0], name=f"tile {number}") for number in range(1, 6))
    data = write_pdf(SheetSet(pages, stamp(), one_sided=True))
    with pdfplumber.open(BytesIO(data)) as document:
        preferences = document.doc.catalog["ViewerPreferences"].resolve()
        titles = [title for _, title, *_ in document.doc.get_outlines()]
    # ISO 32000-1, table 150: Duplex is there from PDF 1.7 on.
    assert data.startswith(b"%PDF-1.7")
    assert preferences["Duplex"].name == "Simplex"
    assert titles == [f"tile {number}" for number in range(1, 6)]


@every_row("paper", [A4, Paper("A3", 420.0, 297.0), Paper("Letter", 215.9, 279.4)])
def test_a_page_is_as_large_as_its_paper(paper: Paper) -> None:
    data = write_pdf(one_page(*ring(), paper=paper))
    with pypdfium2.PdfDocument(data) as document:
        width, height = document[0].get_size()
    assert width * MM_PER_POINT == pytest.approx(paper.width, abs=0.001)
    assert height * MM_PER_POINT == pytest.approx(paper.height, abs=0.001)


def test_the_identity_stands_in_the_properties_of_the_file() -> None:
    data = write_pdf(SheetSet(one_page(*ring()).sheets, stamp(title="Würfel (rev) \\ <b>")))
    with pypdfium2.PdfDocument(data) as document:
        facts = document.get_metadata_dict()
    assert facts["Title"] == "H-114 A Würfel (rev) \\ <b>"
    assert "5f3c09be" in facts["Subject"]
    assert facts["Creator"] == "flangelayout 0.1.0"


def test_holes_come_back_where_they_were_put() -> None:
    found = pdf_circles(write_pdf(one_page(*ring(), at=MIDDLE, scale=0.5)))
    for each, circle in zip(ring(), found, strict=True):
        assert isinstance(each.what, Circle)
        assert circle.x == pytest.approx(MIDDLE.x + each.what.center.x / 2, abs=FILE_TOLERANCE)
        assert circle.y == pytest.approx(MIDDLE.y + each.what.center.y / 2, abs=FILE_TOLERANCE)
        assert circle.radius == pytest.approx(each.what.radius / 2, abs=FILE_TOLERANCE)


@every_row("radius", [5.0, 500.0, 3000.0])
def test_a_circle_is_true_all_the_way_round(radius: float) -> None:
    paper = Paper("roll", 5000.0, 5000.0)
    center = Point(1234.567, 2345.678)
    (curve,) = pdf_curves(write_pdf(one_page(Circle(center, radius), paper=paper)))
    points = bezier_points(curve["mm"])
    errors = np.hypot(*(points - (center.x, center.y)).T) - radius
    assert np.abs(errors).max() < 0.001
    assert sum(step[0] == "c" for step in curve["mm"]) >= 8


def test_four_pieces_would_not_do() -> None:
    # M. Goldapp, CAGD 8 (1991): a quarter circle in one cubic is off by 2.7e-4 of its radius.
    assert radial_error(500.0, 90.0) == pytest.approx(0.136, abs=0.001)


@given(st.floats(0.1, 1e5), st.floats(0.01, 360.0))
def test_pieces_are_as_many_as_the_radius_needs(radius: float, sweep: float) -> None:
    count = piece_count(radius, sweep)
    assert radial_error(radius, sweep / count) <= 0.0005
    assert sweep / count <= 45.0 + 1e-6


@every_row(("start", "sweep"), [(20.0, 250.0), (170.0, -100.0), (0.0, 1.0)])
def test_an_arc_stays_on_its_circle_from_end_to_end(start: float, sweep: float) -> None:
    arc = Arc(MIDDLE, 80.0, start, sweep)
    (curve,) = pdf_curves(write_pdf(one_page(arc)))
    points = bezier_points(curve["mm"])
    assert np.abs(np.hypot(*(points - (MIDDLE.x, MIDDLE.y)).T) - 80.0).max() < 0.001
    assert points[0] == pytest.approx((arc.start.x, arc.start.y), abs=FILE_TOLERANCE)
    assert points[-1] == pytest.approx((arc.end.x, arc.end.y), abs=FILE_TOLERANCE)


def test_a_contour_is_one_closed_path() -> None:
    (curve,) = pdf_curves(write_pdf(one_page(stadium(), at=MIDDLE)))
    kinds = "".join(step[0] for step in curve["mm"])
    assert kinds == "mlcccclcccch"
    assert curve["mm"][-2][-1] == pytest.approx((5.0, 98.5), abs=FILE_TOLERANCE)


def test_pens_print_in_their_own_width_and_dashes() -> None:
    data = write_pdf(one_page(item(Line(ORIGIN, MIDDLE), Layer.HIDDEN), item(Line(ORIGIN, MIDDLE), Layer.OUTLINE)))
    with pdfplumber.open(BytesIO(data)) as document:
        hidden, outline = document.pages[0].lines
    assert hidden["linewidth"] * MM_PER_POINT == pytest.approx(0.25, abs=1e-4)
    assert hidden["dash"] == ([2.4, 0.8], 0)
    assert outline["linewidth"] * MM_PER_POINT == pytest.approx(0.5, abs=1e-4)
    assert outline["dash"] == ([], 0)


def test_a_sheet_longer_than_viewers_can_show_is_refused_and_the_tiled_template_named() -> None:
    write_pdf(one_page(Circle(MIDDLE, 10.0), paper=Paper("roll", 5079.9, 900.0)))
    with pytest.raises(OutputError, match="tiled template"):
        write_pdf(one_page(Circle(MIDDLE, 10.0), paper=Paper("roll", 900.0, 5080.1)))


def test_one_font_is_embedded_and_every_text_can_be_selected() -> None:
    texts = ["8X ⌀22 EQ SP ON ⌀240 B.C.", "Größe ± 0.5°", "Λ Ж ≤ 3.2 µm"]
    labels = [label(text, Point(20.0, 200.0 - 10 * row)) for row, text in enumerate(texts)]
    data = write_pdf(one_page(*labels))
    assert pdf_text(data) == texts
    with pdfplumber.open(BytesIO(data)) as document:
        fonts = resolve1(document.pages[0].page_obj.resources["Font"]).values()
        for font in (each.resolve() for each in fonts):
            assert "+DejaVuSansCondensed" in font["BaseFont"].name
            assert "FontFile2" in font["FontDescriptor"].resolve()


@every_row("anchor", list(Anchor))
def test_a_text_stands_at_its_anchor(anchor: Anchor) -> None:
    at = Point(30.0, 20.0)
    data = write_pdf(one_page(item(Label(at, "HEH", 5.0, 0.0, anchor), Layer.TEXT), paper=Paper("card", 60.0, 40.0)))
    box = ink(data)
    assert box.bottom == pytest.approx(17.5 if anchor.on_middle else 20.0, abs=0.06)
    assert box.height == pytest.approx(5.0, abs=0.1)
    side_bearing = 0.7
    place = {"left": box.left, "center": box.center.x, "right": box.right}[anchor.across]
    assert place == pytest.approx(at.x, abs=side_bearing)


def test_a_turned_text_runs_up_the_page() -> None:
    up = Label(Point(30.0, 10.0), "HEH", 5.0, 90.0)
    box = ink(write_pdf(one_page(item(up, Layer.TEXT), paper=Paper("card", 60.0, 40.0))))
    assert box.right == pytest.approx(30.0, abs=0.06)
    assert box.width == pytest.approx(5.0, abs=0.1)
    assert box.bottom == pytest.approx(10.6, abs=0.2)


def test_what_the_font_lacks_prints_as_an_empty_box_of_its_own_width() -> None:
    card = Paper("card", 60.0, 40.0)
    box = ink(write_pdf(one_page(label("\U0001f41f魚", Point(20.0, 20.0), 5.0), paper=card)))
    assert box.height > 4.0
    assert box.left == pytest.approx(20.0, abs=1.0)
    assert box.right == pytest.approx(20.0 + text_width("\U0001f41f魚", 5.0), abs=1.0)


def test_an_arrow_is_filled() -> None:
    solid = Solid((Point(10.0, 10.0), Point(20.0, 10.0), Point(20.0, 20.0)))
    data = write_pdf(one_page(solid, paper=Paper("card", 60.0, 40.0)))
    assert np.count_nonzero(picture(data) < 128) / DOTS_PER_MM**2 == pytest.approx(50.0, rel=0.02)


def test_a_view_prints_on_its_own_part_of_the_paper_only() -> None:
    view = view_of(drawing_of(Circle(ORIGIN, 18.0)), at=Point(30.0, 20.0), clip=Box(20.0, 0.0, 60.0, 40.0))
    box = ink(write_pdf(sheets_of(sheet_of(view, paper=Paper("card", 60.0, 40.0)))))
    assert box.left == pytest.approx(20.0, abs=0.1)
    assert box.right == pytest.approx(48.25, abs=0.1)


@pytest.mark.slow
def test_a_drawing_shown_on_many_pages_prints_the_same_as_drawn_page_by_page() -> None:
    shared = tiled(holes(40))
    alone = SheetSet(shared.sheets[2:3], shared.stamp)
    assert unlike(picture(write_pdf(shared), page=2), picture(write_pdf(alone))) < 20
    assert unlike(picture(write_pdf(shared), page=2), picture(write_pdf(shared), page=3)) > 2000
    # PDFium reads with single precision: 0.00002 mm at 200 mm.
    np.testing.assert_allclose(pdf_circles(write_pdf(shared), page=2), pdf_circles(write_pdf(alone)), atol=1e-4)


@pytest.mark.slow
def test_a_drawing_on_seventy_pages_is_stored_once() -> None:
    drawing = holes(64)
    stored = len(write_pdf(tiled(drawing)))
    assert stored < len(redrawn(drawing)) / 5


def test_an_open_cross_leaves_its_center_free() -> None:
    mark = CenterMark(Point(30.0, 20.0), 5.0, 1.0)
    data = write_pdf(one_page(item(mark, Layer.TEMPLATE_MARKS), paper=Paper("card", 60.0, 40.0)))
    with pdfplumber.open(BytesIO(data)) as document:
        strokes = document.pages[0].lines
    reach = sorted(
        round(math.hypot(x * MM_PER_POINT - 30.0, (40.0 - y * MM_PER_POINT) - 20.0), 3)
        for stroke in strokes
        for _, (x, y) in stroke["path"]
    )
    assert reach == pytest.approx([1.0] * 4 + [5.0] * 4, abs=FILE_TOLERANCE)


DOTS_PER_MM = 20
Picture = np.ndarray[tuple[int, int], np.dtype[np.uint8]]


def picture(data: bytes, page: int = 0) -> Picture:
    with pypdfium2.PdfDocument(data) as document:
        image = document[page].render(scale=DOTS_PER_MM * MM_PER_POINT, grayscale=True).to_numpy()
        return np.array(image).reshape(image.shape[0], image.shape[1])


def unlike(one: Picture, other: Picture) -> int:
    """Dots that are clearly darker in one picture; edges may differ by the rounding of a gray."""
    return int(np.count_nonzero(np.abs(one.astype(int) - other) > 64))


def ink(data: bytes) -> Box:
    """The box round everything dark on the first page, in mm from its lower left corner."""
    dark = picture(data) < 128
    rows, columns = np.nonzero(dark)
    top, bottom = (dark.shape[0] - row for row in (rows.min(), rows.max() + 1))
    edges = (columns.min(), bottom, columns.max() + 1, top)
    return Box(*(float(edge) / DOTS_PER_MM for edge in edges))


def holes(count: int) -> Drawing:
    """What a template holds for each hole: proof circle, pilot circle, cross and number."""
    parts = []
    for number in range(count):
        center = polar(500.0, 360 / count * number)
        parts += [
            item(Circle(center, 11.0), Layer.TEMPLATE_HOLES),
            item(Circle(center, 2.0), Layer.TEMPLATE_HOLES),
            item(CenterMark(center, 6.0, 0.5), Layer.TEMPLATE_MARKS),
            label(str(number + 1), center),
        ]
    return drawing_of(*parts)


def tiled(drawing: Drawing, pages: int = 70) -> SheetSet:
    window = Box(12.0, 12.0, 198.0, 285.0)
    at = (Point(-200.0 + 80.0 * (number % 10), -200.0 + 100.0 * (number // 10)) for number in range(pages))
    return sheets_of(
        *(sheet_of(view_of(drawing, at=place, clip=window), furniture=[rectangle(window)]) for place in at)
    )


def redrawn(drawing: Drawing, pages: int = 70) -> bytes:
    """Every item on every page with nothing but reportlab's own calls."""
    out = BytesIO()
    canvas = Canvas(out)
    for _ in range(pages):
        for each in drawing.items:
            match each.what:
                case Circle(center, radius):
                    canvas.circle(center.x / MM_PER_POINT, center.y / MM_PER_POINT, radius / MM_PER_POINT)
                case Label(at, text):
                    canvas.drawString(at.x / MM_PER_POINT, at.y / MM_PER_POINT, text)
                case CenterMark(at, reach):
                    for turn in range(4):
                        end = polar(reach, 90.0 * turn, at)
                        ends = (at.x, at.y, end.x, end.y)
                        canvas.line(*(value / MM_PER_POINT for value in ends))
        canvas.showPage()
    canvas.save()
    return out.getvalue()
