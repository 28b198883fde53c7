"""Whatever a person types, every file stays whole and the text is found in it again."""

import xml.etree.ElementTree as ET
from io import BytesIO

import pypdfium2
import pytest
from ezdxf.entities.text import Text
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import drawing_of, item, label, ring, sheet_of, sheets_of, stamp, view_of
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import CutDrawing, LinearDimension, SheetSet, Stamp
from flangelayout.drawing.textwidth import missing_characters, plain_line
from flangelayout.geometry.shapes import ORIGIN, Point
from flangelayout.writers.dxf import DxfOptions, DxfVersion, write_dxf
from flangelayout.writers.pdf import write_pdf
from flangelayout.writers.svg import write_svg
from readers import dxf_circles, dxf_document, dxf_groups, dxf_shapes, pdf_circles
from rows import every_row

HOSTILE = [
    "0\nENDSEC\n0\nEOF",
    "\r\n  0\r\nEOF\r\n",
    "%%c %%d %%u %%o %%k %%065 %%%",
    r"\U+0041 \U+000A \M+18163 \P \A1; {\H3x;big}",
    "^J^M^I^ ^",
    "<script>alert(1)</script>",
    "]]><!-- & &amp; &#10; <!DOCTYPE",
    "'\"`",
    ") Tj ET Q endstream endobj (",
    "\\) \\( \\\\ \\012",
    "\x00\x01\x1b[31m\x7f\x85",
    "\ud800 \udfff",
    "\ufffe\uffff\U0001ffff",
    "\u202eevil\u2066",
    "\u2028\u2029",
    "Ünïcödé ЖΛ 魚 🐟 e\u0301",
    "=cmd|'/C calc'!A1",
    "x" * 5000,
    "⌀" * 3000,
    " ",
    "",
]
any_text = st.text(alphabet=st.characters(codec=None), max_size=60)


def marked(text: str) -> Stamp:
    return stamp(job_number=text, revision=text, title=text, date=text, digest=text, version=text)


def pages(text: str) -> SheetSet:
    dimension = LinearDimension(ORIGIN, Point(100.0, 0.0), Point(0.0, 20.0), 0.0, text)
    drawing = drawing_of(*ring(4, 100.0, 10.0), item(dimension, Layer.DIMENSION), label(text, ORIGIN), title=text)
    page = sheet_of(view_of(drawing, 0.5, Point(100.0, 100.0)), furniture=[label(text, Point(10.0, 10.0))], name=text)
    return sheets_of(page, page, by=marked(text))


def check_svg(text: str) -> None:
    root = ET.fromstring(write_svg(SheetSet((pages(text).sheets[0],), marked(text))))
    texts = [each.text for each in root.iter() if each.tag.endswith("}text")]
    line = plain_line(text)
    assert texts == ([line] * 3 if line else [])
    assert len([each for each in root.iter() if each.tag.endswith("}circle")]) == 6


def check_pdf(text: str) -> None:
    data = write_pdf(pages(text))
    assert len(pdf_circles(data)) == 6
    with pypdfium2.PdfDocument(BytesIO(data)) as document:
        assert len(document) == 2
        found = document[0].get_textpage().get_text_range()
    line = plain_line(text)
    if line and len(line) < 100 and line.isascii() and not missing_characters(line):
        assert found.replace("\r\n", "").replace(" ", "").count(line.replace(" ", "")) == 3


def check_sheet(text: str, version: DxfVersion) -> None:
    data = write_dxf(pages(text), DxfOptions(version=version))
    assert dxf_groups(data)[-1] == (0, "EOF")
    document = dxf_document(data)
    audit = document.audit()
    assert not audit.errors
    assert not audit.fixes
    line = plain_line(text)
    if line and len(line) < 200 and max(line) <= "\uffff":
        texts = [each for each in document.modelspace().query("TEXT") if isinstance(each, Text)]
        assert [each.plain_text().replace("Ø", "⌀") for each in texts] == [line.replace("Ø", "⌀").rstrip("^")]
    assert len(dxf_circles(data)) == 6


def check_cut(text: str, version: DxfVersion) -> None:
    data = write_dxf(CutDrawing(drawing_of(*ring()), marked(text)), DxfOptions(version=version))
    assert dxf_groups(data)[-1] == (0, "EOF")
    assert len(dxf_shapes(data)) == 10
    audit = dxf_document(data).audit()
    assert not audit.errors
    assert not audit.fixes


@every_row("text", HOSTILE)
def test_svg_stays_whole(text: str) -> None:
    check_svg(text)


@pytest.mark.slow
@pytest.mark.parametrize("text", HOSTILE)
def test_pdf_stays_whole(text: str) -> None:
    check_pdf(text)


@pytest.mark.slow
@pytest.mark.parametrize("version", [DxfVersion.R2000, DxfVersion.R2010])
@pytest.mark.parametrize("text", HOSTILE)
def test_dxf_sheet_stays_whole(text: str, version: DxfVersion) -> None:
    check_sheet(text, version)


@pytest.mark.slow
@pytest.mark.parametrize("version", list(DxfVersion))
@pytest.mark.parametrize("text", HOSTILE)
def test_cut_file_stays_whole(text: str, version: DxfVersion) -> None:
    check_cut(text, version)


@given(any_text)
def test_any_text_leaves_svg_whole(text: str) -> None:
    check_svg(text)


@given(any_text)
def test_any_text_leaves_pdf_whole(text: str) -> None:
    check_pdf(text)


@pytest.mark.slow
@settings(max_examples=20)
@given(any_text, st.sampled_from([DxfVersion.R2000, DxfVersion.R2010]))
def test_any_text_leaves_dxf_sheets_whole(text: str, version: DxfVersion) -> None:
    check_sheet(text, version)


@given(any_text, st.sampled_from(DxfVersion))
def test_any_text_leaves_cut_files_whole(text: str, version: DxfVersion) -> None:
    check_cut(text, version)
