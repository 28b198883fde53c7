"""The sheet as DXF, read back: dimensions that measure, title block with attributes, hatch, code, texts that fit."""

import re
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from ezdxf.document import Drawing as DxfDocument
from ezdxf.entities.dimension import Dimension
from ezdxf.entities.text import Text
from reportlab.pdfbase.pdfmetrics import stringWidth

from flangelayout.drawing.explode import explode
from flangelayout.drawing.model import Drawing, Hatching, Label, MeasuredText
from flangelayout.drawing.model import LinearDimension as Linear
from flangelayout.drawing.textwidth import text_width
from flangelayout.geometry.shapes import Line
from flangelayout.job import Job
from flangelayout.job.load import load_job
from flangelayout.packet.job import Part, build_packet, layout_pages
from flangelayout.units import Unit
from jobs import make_job
from readers import dxf_document, pdf_pages_text
from rows import first_of

ROOT = Path(__file__).parents[2]
STARTERS, SAMPLES = (sorted((ROOT / folder).glob("*.toml")) for folder in ("templates", "samples"))
CIRCLE = {"diameter": "240 mm", "hole_count": 8, "hole_diameter": "22 mm"}
RING = {"outside_diameter": 285, "bore": 170, "thickness": 22}
HELVETICA_CAPITAL = 0.718
"""Height of capitals in the font's size (Adobe's font metrics of Helvetica, whose widths Arial shares)."""


def files(job: Job) -> tuple[DxfDocument, str]:
    """The sheet's DXF and all words of its PDF."""
    packet = build_packet(job, [Part.SHEET])
    dxf = next(content for name, content in packet.items() if name.endswith(".dxf"))
    return dxf_document(dxf), pdf_pages_text(next(each for name, each in packet.items() if name.endswith(".pdf")))


def shown(dimension: Dimension, document: DxfDocument) -> str:
    """What a drawing program writes for a DIMENSION: its value by the style it names (DXF reference, DIMSTYLE).

    ``\\P`` in it begins a line (MTEXT).
    """
    style = document.dimstyles.get(dimension.dxf.dimstyle).dxf
    measured = Decimal(repr(round(float(dimension.get_measurement()), 6)))
    if dimension.dimtype in (2, 5):
        text = decimals(measured, style.get("dimadec", 0), 8 if style.get("dimazin", 0) & 2 else 0) + "°"
    elif style.get("dimlunit", 2) == 5:
        parts = 2 ** style.get("dimdec")
        whole, rest = divmod(Fraction(round(measured * parts), parts), 1)
        text = " ".join(str(part) for part in (whole, rest) if part)
    else:
        text = decimals(measured, style.get("dimdec"), style.get("dimzin"))
    said = str(dimension.dxf.text).replace("<>", text)
    if style.get("dimalt", 0):
        other = measured * Decimal(repr(style.get("dimaltf")))
        said = said.replace("[]", f"[{decimals(other, style.get('dimaltd'), style.get('dimaltz'))}]")
    return said.replace("%%c", "⌀")


def decimals(value: Decimal, places: int, zeros: int) -> str:
    """A number with zeros left out: 4 the leading one, 8 those at the end."""
    text = str(value.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP))
    if zeros & 8 and "." in text:
        text = text.rstrip("0").rstrip(".")
    return re.sub(r"^(-?)0\.", r"\1.", text) if zeros & 4 else text


def dimensions(document: DxfDocument) -> list[Dimension]:
    return [each for each in document.modelspace().query("DIMENSION") if isinstance(each, Dimension)]


EVERY = [
    pytest.param(path, id=path.stem, marks=() if path.stem == "reducing-flange" else pytest.mark.slow)
    for path in (*STARTERS, *SAMPLES)
]


@pytest.mark.parametrize("path", EVERY)
def test_every_dimension_measures_and_shows_what_the_pdf_prints(path: Path) -> None:
    document, printed = files(load_job(path))
    found = dimensions(document)
    assert found
    packed = printed.replace(" ", "")
    for dimension in found:
        assert "<>" in dimension.dxf.text
        assert shown(dimension, document).replace(r"\P", "").replace(" ", "") in packed
    assert not document.audit().errors
    assert not document.audit().fixes


@pytest.mark.parametrize(
    ("units", "dual"),
    first_of([("in", True), ("mm", True), ("in", False)]),
)
def test_both_units_measure(units: str, dual: bool) -> None:
    plate = {"outside_diameter": "11 1/4 in", "bore": "6.7 in", "thickness": "7/8 in"}
    document, printed = files(make_job(units=units, plate=plate, bolt_circle=[CIRCLE], sheet={"dual_units": dual}))
    packed = printed.replace(" ", "")
    for dimension in dimensions(document):
        assert shown(dimension, document).replace(r"\P", "").replace(" ", "") in packed
        assert not dual or dimension.dimtype in (2, 5) or "[]" in dimension.dxf.text


def test_a_value_of_the_points_not_of_the_text_is_shown() -> None:
    document, _ = files(make_job(plate=RING))
    (outside,) = (each for each in dimensions(document) if shown(each, document) == "⌀285")
    outside.dxf.defpoint3 = outside.dxf.defpoint3.replace(x=142.5 + 15.126)
    outside.dxf.discard("actual_measurement")
    assert shown(outside, document) == "⌀300.13"


def test_the_title_block_is_a_block_with_attributes() -> None:
    job = make_job(job={"title": "Ring, made to <b>", "number": "H-9", "revision": "C"}, plate=RING)
    document, _ = files(job)
    pages = [document.layout(name) for name in document.layout_names_in_taborder() if name != "Model"]
    first, *others = pages
    (block,) = first.query('INSERT[name ? "TITLE_BLOCK.*"]')
    held = {each.dxf.tag: each.dxf.text for each in block.attribs}  # type: ignore[attr-defined] # an insert
    expected = {"NUMBER": "H-9", "REVISION": "C", "TITLE": "Ring, made to <b>", "SHEET": f"1 / {len(pages)}"}
    assert {tag: held.get(tag) for tag in expected} == expected
    to_fill_in = ("OWNER", "CUSTOMER", "STATUS", "DATE", "DRAWN_BY", "APPROVED_BY")
    assert [held.get(tag) for tag in to_fill_in] == [""] * len(to_fill_in)
    assert held.keys().isdisjoint({"PROJECTION", "CODE", "LOGO"})
    definitions = {each.dxf.tag for each in document.blocks.get(block.dxf.name).query("ATTDEF")}
    assert set(held) == definitions
    assert not any(each.dxf.text == "H-9" for each in first.query("TEXT"))
    for page in others:
        assert not page.query('INSERT[name ? "TITLE_BLOCK.*"]')
        assert any(each.dxf.text == "H-9" for each in page.query("TEXT"))


def test_hatch_is_a_hatch_with_the_lines_of_every_other_format() -> None:
    job = make_job(plate=RING)
    document, _ = files(job)
    found = [each for each in document.modelspace().query("HATCH") if each.dxf.layer == "HATCH"]
    view = layout_pages(job).sheets[0].views[0]
    wanted = [each.what for each in view.drawing.items if isinstance(each.what, Hatching)]
    assert len(found) == len(wanted) > 0
    for hatch, drawn in zip(found, wanted, strict=True):
        (line,) = hatch.pattern.lines  # type: ignore[attr-defined] # a hatch
        lines = [each for each in explode(drawn, view.scale) if isinstance(each, Line)]
        apart = sorted({round((each.start.y - each.start.x) / 2**0.5, 6) for each in lines})
        assert apart[1] - apart[0] == pytest.approx(line.offset.magnitude)
        assert line.angle == 45.0
        assert (line.base_point.y - line.base_point.x) % line.offset.magnitude == pytest.approx(0, abs=1e-6)
        corners = {(round(x, 3), round(y, 3)) for path in hatch.paths for x, y, *_ in path.vertices}  # type: ignore[attr-defined]
        assert corners == {(round(each.x, 3), round(each.y, 3)) for body in drawn.bodies for each in body}


def test_the_code_is_one_block_on_a_layer_of_its_own() -> None:
    document, _ = files(make_job(plate=RING, bolt_circle=[{"diameter": 240, "hole_count": 40, "hole_diameter": 8}]))
    codes = [each for name in document.layout_names() for each in document.layout(name).query('INSERT[layer=="CODE"]')]
    assert len(list(document.layout_names())) > 2
    assert len(codes) == 1
    assert not document.modelspace().query('*[layer=="CODE"]')


def texts_of(document: DxfDocument) -> list[Text]:
    return [each for each in document.entitydb.values() if isinstance(each, Text) and each.dxf.text]


@pytest.mark.parametrize("name", first_of(["orifice-plate", "tube-sheet"]))
def test_texts_fit_their_room_in_the_font_that_every_station_has(name: str) -> None:
    job = load_job(ROOT / "templates" / f"{name}.toml")
    sheets = layout_pages(job)
    labels = [item.what for sheet in sheets.sheets for item in sheet.furniture if isinstance(item.what, Label)]
    assert labels
    document, _ = files(job)
    style = document.styles.get("SHEET").dxf
    assert style.font == "arial.ttf"
    for label in labels:
        latin = label.text.encode("cp1252", "replace").decode("cp1252")
        size = label.height_paper / HELVETICA_CAPITAL
        assert stringWidth(latin, "Helvetica", size) * style.width <= text_width(label.text, label.height_paper) * 1.02


@pytest.mark.parametrize("path", first_of(SAMPLES[:2]))
def test_no_words_are_typed_over_a_measure(path: Path) -> None:
    drawings: list[Drawing] = [view.drawing for page in layout_pages(load_job(path)).sheets for view in page.views]
    for item in (item for drawing in drawings for item in drawing.items):
        if isinstance(item.what, Linear):
            assert isinstance(item.what.said, MeasuredText)
            assert item.what.said.rounding.unit in list(Unit)
