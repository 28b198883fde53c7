"""The QR code of a sheet, read back from every format by a reader that had no part in it (ZXing)."""

from io import BytesIO

import numpy as np
import pypdfium2
import pytest
import zxingcpp
from ezdxf.entities import Hatch
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageDraw

from builders import sheet_of, sheets_of, stamp
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item, Mosaic
from flangelayout.geometry.shapes import Box, Point, box_around
from flangelayout.packet.job import layout_pages
from flangelayout.packet.names import stamp_of
from flangelayout.views.page.qr import qr_item, qr_text
from flangelayout.writers.dxf import write_dxf
from flangelayout.writers.pdf import write_pdf
from jobs import make_job
from readers import dxf_document
from rows import first_of

AT, SIZE = Point(30.0, 40.0), 20.0


def boxes(item: Item) -> tuple[Box, ...]:
    assert isinstance(item.what, Mosaic)
    return item.what.boxes


def read(picture: Image.Image) -> list[str]:
    return [found.text for found in zxingcpp.read_barcodes(picture)]


def painted(code: Item, dots: int = 12) -> Image.Image:
    """The code as it is in the drawing, so many dots to a mm."""
    picture = Image.new("L", (round(52 * dots), round(62 * dots)), 255)
    draw = ImageDraw.Draw(picture)
    for box in boxes(code):
        corners = (box.left, 62 - box.top, box.right, 62 - box.bottom)
        draw.rectangle([round(corner * dots) for corner in corners], fill=0)
    return picture


@settings(max_examples=6)
@given(st.text(st.characters(categories=("L", "N", "P", "Zs")), min_size=1, max_size=40))
def test_any_text_is_read_back(text: str) -> None:
    assert read(painted(qr_item(text, AT, SIZE))) == [text]


def test_the_text_is_number_revision_and_digest() -> None:
    assert qr_text(stamp(digest="5f3c" * 16)) == "H-114 rev A " + "5f3c" * 16
    assert len(qr_text(stamp(job_number="x" * 500, digest="5f3c" * 16))) < 120


def test_the_code_stays_in_its_place_with_a_free_border() -> None:
    code = qr_item(qr_text(stamp(digest="5f3c" * 16)), AT, SIZE)
    outer = box_around([Point(b.left, b.bottom) for b in boxes(code)] + [Point(b.right, b.top) for b in boxes(code)])
    border = outer.left - AT.x
    assert outer.left > AT.x
    assert (outer.bottom, outer.right, outer.top) == pytest.approx(
        (AT.y + border, AT.x + SIZE - border, AT.y + SIZE - border)
    )


def test_no_two_rectangles_overlap() -> None:
    """Rectangles are whole modules, so that no overlap and no gap can come from rounding."""
    code = qr_item(qr_text(stamp(digest="5f3c" * 16)), AT, SIZE)
    module = min(min(box.width, box.height) for box in boxes(code))
    held = np.zeros((60, 60), dtype=int)
    left, top = min(box.left for box in boxes(code)), max(box.top for box in boxes(code))
    for box in boxes(code):
        columns = slice(round((box.left - left) / module), round((box.right - left) / module))
        rows = slice(round((top - box.top) / module), round((top - box.bottom) / module))
        held[rows, columns] += 1
    assert held.max() == 1


def test_a_scan_of_the_page_at_150_dpi_is_enough() -> None:
    text = qr_text(stamp(digest="0123456789abcdef" * 4))
    data = write_pdf(sheets_of(sheet_of(furniture=[qr_item(text, AT, SIZE)])))
    with pypdfium2.PdfDocument(BytesIO(data)) as document:
        assert read(document[0].render(scale=150 / 72).to_pil()) == [text]


@pytest.mark.parametrize("paper", first_of(["A4", "Letter"]))
def test_the_first_page_of_a_layout_sheet_carries_the_code_of_its_job(paper: str) -> None:
    job = make_job(sheet={"paper": paper})
    with pypdfium2.PdfDocument(BytesIO(write_pdf(layout_pages(job)))) as document:
        texts = [read(page.render(scale=200 / 72).to_pil()) for page in document]
    assert texts == [[qr_text(stamp_of(job))], *([[]] * (len(texts) - 1))]


def test_a_dxf_sheet_holds_the_code_once_however_many_pages_show_it() -> None:
    text = qr_text(stamp(digest="0123456789abcdef" * 4))
    page = sheet_of(furniture=[qr_item(text, AT, SIZE)])
    document = dxf_document(write_dxf(sheets_of(page, page, page)))
    (block,) = (block for block in document.blocks if block.name.startswith("CODE"))
    (hatch,) = block
    assert isinstance(hatch, Hatch)
    inserts = [each for layout in document.layouts for each in layout.query("INSERT") if each.dxf.name == block.name]
    assert len(inserts) == 3
    assert {each.dxf.layer for each in inserts} == {"CODE"}
    found = [box_around([Point(x, y) for x, y, *_ in path.vertices]) for path in hatch.paths]
    assert read(painted(Item(Layer.CODE, Mosaic(tuple(found))))) == [text]
