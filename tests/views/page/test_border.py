"""Frame, zones, marks and the projection sign of a sheet."""

from itertools import product

import pytest

from flangelayout.drawing.convention import Convention
from flangelayout.drawing.model import Item, Label
from flangelayout.drawing.papers import paper
from flangelayout.drawing.references import FieldRef, Furniture, TitleBlockRef
from flangelayout.geometry.shapes import Circle, Line
from flangelayout.job.borders import load_border
from flangelayout.packet.job import layout_pages
from flangelayout.views.page.border import border_items
from flangelayout.views.page.title_block import SheetFacts, title_block
from jobs import make_job
from rows import every_row
from views.sheet_reader import read_page


def letters(items: tuple[Item, ...]) -> list[str]:
    return [item.what.text for item in items if isinstance(item.what, Label)]


@every_row(("name", "landscape", "across", "up"), [("A4", False, 4, 6), ("A3", True, 8, 6)])
def test_iso_zones_are_counted_as_iso_5457_says(name: str, landscape: bool, across: int, up: int) -> None:
    # ISO 5457:1999, table 3: A4 has 4 fields on the short and 6 on the long side, A3 has 6 and 8. From memory.
    found = letters(border_items(load_border("iso"), paper(name, landscape)))
    assert {text for text in found if text.isdigit()} == {str(number) for number in range(1, across + 1)}
    assert {text for text in found if not text.isdigit()} == set("ABCDEFGH"[:up])
    assert found.index("1") < found.index("2")


def test_a4_has_zones_on_two_sides_only_and_no_fold() -> None:
    items = border_items(load_border("iso"), paper("A4"))
    assert len(letters(items)) == 4 + 6
    assert not [item for item in items if item.source == Furniture("fold mark")]


def test_a3_laid_sideways_is_folded_to_a4_with_a_filing_margin() -> None:
    # DIN 824 form A: the last panel 190 mm wide, so that it shows the title block; the first folds to 125 mm. From
    # memory.
    items = border_items(load_border("iso"), paper("A3", landscape=True))
    xs = sorted(
        {item.what.start.x for item in items if item.source == Furniture("fold mark") and isinstance(item.what, Line)}
    )
    assert xs == [125, 230]
    assert 420 - xs[-1] == 190


def test_asme_zones_are_counted_from_the_lower_right() -> None:
    items = [
        item
        for item in border_items(load_border("asme"), paper("Tabloid", landscape=True))
        if item.source == Furniture("zone")
    ]
    places = {item.what.text: item.what.at for item in items if isinstance(item.what, Label)}
    assert places["1"].x > places["4"].x
    assert places["A"].y < places["B"].y


@every_row("convention", list(Convention))
def test_the_projection_sign_stands_as_iso_5456_2_draws_it(convention: Convention) -> None:
    # The end view with its two circles stands right of the cone in first-angle projection, left in third-angle.
    facts = SheetFacts("1:1", "", 1, 1)
    items = title_block(load_border("iso"), paper("A4"), {}, convention, facts)
    sign = [item.what for item in items if item.source == TitleBlockRef("projection sign")]
    circle = next(what for what in sign if isinstance(what, Circle))
    slants = [
        what for what in sign if isinstance(what, Line) and what.start.y != what.end.y and what.start.x != what.end.x
    ]
    assert (slants[0].start.x < circle.center.x) is convention.first_angle


_ONE_OF_EACH = [("iso", "A4"), ("asme", "Letter"), ("with-logo", "A3")]


@pytest.mark.parametrize(
    ("border", "paper_name"),
    [
        *_ONE_OF_EACH,
        *(
            pytest.param(*each, marks=pytest.mark.slow)
            for each in product(("iso", "asme", "with-logo"), ("A4", "Letter", "A3", "Tabloid"))
            if each not in _ONE_OF_EACH
        ),
    ],
)
def test_a_long_value_is_never_cut_off(border: str, paper_name: str) -> None:
    title = "A ring flange with a rather long name for the pump of the raw-water intake at the far end of the weir"
    customer = "The gang that rebuilds the intake of the hatchery, and the carpenters who look after its screens"
    info = {"number": "T-1", "title": title, "customer": customer, "status": "preliminary, not for fabrication"}
    plate = {"outside_diameter": 285, "thickness": 22, "material": "X6CrNiMoTi17-12-2 plate, ground on both faces"}
    sheet = {"border": border, "paper": paper_name}
    (first, *_) = layout_pages(make_job(job=info, plate=plate, sheet=sheet)).sheets
    words = read_page(first).words
    assert not any("…" in word for word in words)
    everything = " ".join(words)
    for value in (*title.split(), *customer.split(), *plate["material"].split(), *info["status"].split()):  # type: ignore[attr-defined]
        assert value in everything
    least = 3.0 if layout_pages(make_job(sheet=sheet)).convention is Convention.ASME else 2.5
    labels = [item.what for item in first.furniture if isinstance(item.what, Label)]
    assert min(label.height_paper for label in labels) >= least or border == "asme"


def test_a_long_value_makes_its_row_higher() -> None:
    customer = "The gang that rebuilds the intake of the hatchery, and the carpenters who look after its screens"
    sheet = layout_pages(make_job(job={"number": "T-1", "customer": customer})).sheets[0]
    labels = [(item.source, item.what) for item in sheet.furniture if isinstance(item.what, Label)]
    lines = [label for source, label in labels if source == FieldRef("customer")]
    (caption,) = (label for _, label in labels if label.text == "CUSTOMER")
    assert " ".join(line.text for line in lines) == customer
    assert len(lines) == 3
    assert all(line.at.y + line.height_paper < caption.at.y for line in lines)


def test_a_value_without_room_stands_whole_in_the_notes() -> None:
    customer = "The gang that rebuilds the intake of the hatchery, and the carpenters who look after its screens" * 2
    words = read_page(layout_pages(make_job(job={"number": "T-1", "customer": customer})).sheets[0]).words
    assert "see notes" in words
    assert any(word.startswith("Customer: The gang that rebuilds") for word in words)


@pytest.mark.slow
def test_the_code_stands_once_in_a_file() -> None:
    circle = {"diameter": 2800, "hole_count": 64, "hole_diameter": 33}
    sheets = layout_pages(make_job(plate={"outside_diameter": 3000, "thickness": 40}, bolt_circle=[circle])).sheets
    codes = [sum(item.source == Furniture("QR code") for item in sheet.furniture) for sheet in sheets]
    assert len(codes) > 1
    assert codes == [1] + [0] * (len(codes) - 1)
