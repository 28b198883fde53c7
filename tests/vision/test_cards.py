"""Cards as they are printed and as they are read: one geometry, and codes that a reader of its own finds again."""

from io import BytesIO

import pdfplumber
import pytest
import zxingcpp
from PIL import Image

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Mosaic, Stamp
from flangelayout.drawing.printer import Printer
from flangelayout.views.photo.cards import card_sheets
from flangelayout.vision.cards import CardSize, PhotoCard, card_read, cards_of
from flangelayout.writers.pdf import write_pdf
from rows import every_row
from vision.rendered import card_pictures

STAMP = Stamp("cards", "", "", "", "0", "cards")
MM = 72 / 25.4


def test_every_card_says_which_it_is_to_a_reader_of_its_own() -> None:
    pictures = card_pictures()
    assert sorted(pictures) == sorted(card.text for size in CardSize for card in cards_of(size))
    for name, black in list(pictures.items())[::5]:
        image = Image.fromarray((~black * 255).astype("uint8")).resize((400, 400))
        (code,) = zxingcpp.read_barcodes(image)
        assert (code.text, code.format) == (name, zxingcpp.BarcodeFormat.MicroQRCode)


def test_a_text_is_a_card_only_if_it_is_printed() -> None:
    assert card_read("52-12") == PhotoCard(52, 12)
    assert card_read("36-24") == PhotoCard(36, 24)
    for other in ("52-13", "36-25", "36-00", "40-01", "52-1", "52-012", "MB-101", ""):
        assert card_read(other) is None


@every_row("size", list(CardSize))
def test_crossings_are_where_two_dark_squares_meet_and_clear_of_code_and_edge(size: CardSize) -> None:
    card = PhotoCard(size.value, 1)
    quiet = card.code.grown(2 * size.unit)  # ISO/IEC 18004: a Micro QR code keeps two modules free around it
    for at in card.crossings:
        assert sum(at in box.corners for box in card.dark_squares) == 2
    for box in card.dark_squares:
        clear = box.right <= quiet.left or box.left >= quiet.right or box.top <= quiet.bottom or box.bottom >= quiet.top
        assert clear
        assert max(abs(box.left), abs(box.right), abs(box.top), abs(box.bottom)) < size.value / 2


def test_the_pages_hold_the_squares_and_bars_that_the_reader_measures_by() -> None:
    with pdfplumber.open(BytesIO(write_pdf(card_sheets("A4", STAMP)))) as pdf:
        large, small = pdf.pages
        words = [page.extract_text() for page in pdf.pages]
        level = max(line["x1"] - line["x0"] for line in large.lines) / MM
        upright = max(line["bottom"] - line["top"] for line in large.lines) / MM
        for page in pdf.pages:
            bar = max(page.lines, key=lambda line: line["x1"] - line["x0"])
            told = page.search("Print at 100 %")[0]
            assert told["top"] > bar["bottom"] + 1 * MM  # no word across the bar that is measured
    assert (level, upright) == pytest.approx((200.0, 200.0), abs=0.01)
    assert "CARDS OF 52 mm" in words[0]
    assert "CARDS OF 36 mm" in words[1]
    assert "52-12" in words[0]
    assert "36-24" in words[1]
    assert all("Not yet tried on real flanges; the caliper decides." in each for each in words)
    assert round(small.width / MM) == 210


def test_what_is_drawn_is_what_is_read() -> None:
    for sheet, size in zip(card_sheets("Letter", STAMP).sheets, CardSize, strict=True):
        mosaics = [item for item in sheet.furniture if item.layer is Layer.CODE and isinstance(item.what, Mosaic)]
        squares = mosaics[1].what
        assert isinstance(squares, Mosaic)
        drawn = {(round(box.left, 4), round(box.top, 4), round(box.width, 4)) for box in squares.boxes}
        middle_x = (min(each[0] for each in drawn) + max(box.right for box in squares.boxes)) / 2
        middle_y = (min(box.bottom for box in squares.boxes) + max(each[1] for each in drawn)) / 2
        read = {
            (round(box.left + middle_x, 4), round(box.top + middle_y, 4), round(box.width, 4))
            for box in PhotoCard(size.value, 1).dark_squares
        }
        assert drawn == read
        for item in sheet.furniture:
            if isinstance(item.what, Mosaic):
                assert all(box.left > 0 and box.right < sheet.paper.width for box in item.what.boxes)
                assert all(box.bottom > 0 and box.top < sheet.paper.height for box in item.what.boxes)


def test_pages_for_a_printer_are_stretched_so_that_they_print_true() -> None:
    printer = Printer("office", 0.998, 1.002, "A4", "2026-11-26")
    sheets = card_sheets("A4", STAMP, printer)
    assert sheets.stretch == pytest.approx((1 / 0.998, 1 / 1.002))
    assert sheets.sheets[0].paper.width == pytest.approx(210 * 0.998)
    with pdfplumber.open(BytesIO(write_pdf(sheets))) as pdf:
        assert 'CORRECTED FOR PRINTER "office"' in pdf.pages[0].extract_text()
        assert pdf.pages[0].width / MM == pytest.approx(210, abs=0.01)
        assert max(line["x1"] - line["x0"] for line in pdf.pages[0].lines) / MM == pytest.approx(200 / 0.998, abs=0.01)
