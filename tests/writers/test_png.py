"""Pictures of pages, and what is said where they cannot be made."""

import importlib.util
from importlib.machinery import ModuleSpec
from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from builders import A4, one_page, ring
from flangelayout.drawing.model import Paper
from flangelayout.errors import OutputError
from flangelayout.geometry.shapes import Point
from flangelayout.writers.pdf import write_pdf
from flangelayout.writers.png import DOTS_PER_INCH, check_rasterizer, png_pages


def pictures(paper: Paper = A4) -> list[Image.Image]:
    data = write_pdf(one_page(*ring(), at=Point(105.0, 148.5), scale=0.5, paper=paper))
    return [Image.open(BytesIO(page)) for page in png_pages(data)]


def test_a_page_is_a_gray_picture_of_its_size() -> None:
    (picture,) = pictures()
    assert picture.mode == "L"
    assert picture.size == pytest.approx((210 / 25.4 * DOTS_PER_INCH, 297 / 25.4 * DOTS_PER_INCH), abs=1)


def test_the_ink_is_where_the_drawing_is() -> None:
    (picture,) = pictures()
    per_mm = DOTS_PER_INCH / 25.4
    edge = round((105 + 0.5 * 0.6 * 240) * per_mm), round(148.5 * per_mm)
    around = picture.crop((edge[0] - 3, edge[1] - 3, edge[0] + 4, edge[1] + 4))
    assert np.asarray(around).min() < 128
    assert picture.getpixel((5, 5)) == 255


def test_a_page_of_five_meters_does_not_fill_the_memory() -> None:
    (picture,) = pictures(Paper("roll", 610.0, 5000.0))
    assert max(picture.size) <= 5001


def test_the_same_page_is_the_same_bytes() -> None:
    data = write_pdf(one_page(*ring()))
    assert list(png_pages(data)) == list(png_pages(data))


@pytest.mark.parametrize("module", ["pypdfium2", "PIL"])
def test_a_missing_rasterizer_is_one_line_that_says_what_to_install(
    module: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = importlib.util.find_spec

    def without(name: str, package: str | None = None) -> ModuleSpec | None:
        return None if name == module else real(name, package)

    monkeypatch.setattr(importlib.util, "find_spec", without)
    with pytest.raises(OutputError) as wrong:
        check_rasterizer()
    assert len(str(wrong.value).splitlines()) == 1
    assert "flangelayout[preview]" in str(wrong.value)
