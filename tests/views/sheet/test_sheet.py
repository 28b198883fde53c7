"""The layout sheet by ISO and by ASME: views, lines, words, pages."""

import math
from typing import Any

import pytest

from flangelayout.drawing.convention import Convention
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Label, Leader, LinearDimension, SheetSet
from flangelayout.drawing.references import Furniture
from flangelayout.geometry.shapes import Circle, Contour, Line
from flangelayout.packet.job import layout_pages
from flangelayout.packet.names import stamp_of
from flangelayout.units import Unit
from flangelayout.views.sheet.request import SheetRequest
from flangelayout.views.sheet.sheet import layout_sheets
from flangelayout.views.words.lengths import Lengths
from jobs import make_job
from rows import every_row
from views.sheet_reader import read_page

RING: dict[str, Any] = {
    "plate": {"outside_diameter": 285, "bore": 170, "thickness": 22, "material": "carbon steel"},
    "bolt_circle": [{"diameter": 240, "hole_count": 8, "hole_diameter": 22, "bolt": "M20"}],
}


def pages(**tables: Any) -> SheetSet:  # noqa: ANN401 - tables of any kind
    return layout_pages(make_job(**(RING | tables)))


def words(sheets: SheetSet) -> list[str]:
    return [word for sheet in sheets.sheets for word in read_page(sheet).words]


def test_millimeters_are_drawn_by_iso_and_inches_by_asme_unless_told() -> None:
    assert pages().convention is Convention.ISO
    assert pages(units="in").convention is Convention.ASME
    assert pages(units="in", sheet={"convention": "ISO"}).convention is Convention.ISO


def test_line_widths_are_those_of_the_convention() -> None:
    # ISO 128-2 group 0.5: 0.5 and 0.25 mm. ASME Y14.2: 0.6 and 0.3 mm.
    for convention, wide, narrow in ((Convention.ISO, 0.5, 0.25), (Convention.ASME, 0.6, 0.3)):
        assert convention.pen(Layer.OUTLINE).width_paper == wide
        assert convention.pen(Layer.CENTERLINE).width_paper == narrow
        assert convention.pen(Layer.DIMENSION).width_paper == narrow
    # ISO 128-2 line 04.1: 24 d, 3 d, 0.5 d, 3 d.
    assert Convention.ISO.pen(Layer.CENTERLINE).dashes_paper == tuple(0.25 * part for part in (24, 3, 0.5, 3))


def _section_x(sheets: SheetSet) -> float:
    """Where the middle of the section's cut metal is, right of the plate if above 0."""
    items = sheets.sheets[0].views[0].drawing.items
    metal = [item.what for item in items if item.source == Furniture("section") and isinstance(item.what, Contour)]
    return sum(contour.parts[0].start.x for contour in metal) / len(metal)


@every_row(("convention", "face_is_right"), [("ISO", True), ("ASME", False)])
def test_the_named_face_of_the_section_is_where_the_projection_puts_it(convention: str, face_is_right: bool) -> None:
    # ISO 5456-2: in first-angle projection the view from the left stands on the right, so the face that the
    # front view shows is its right edge; in third-angle projection it is the left edge.
    plate = RING["plate"] | {"raised_face_diameter": 200, "raised_face_height": 3}
    sheets = pages(plate=plate, sheet={"convention": convention})
    items = sheets.sheets[0].views[0].drawing.items
    cut = [item.what for item in items if item.source == Furniture("section") and isinstance(item.what, Contour)]
    corners = [(part.start.x, abs(part.start.y)) for contour in cut for part in contour.parts]
    left, right = min(x for x, _ in corners), max(x for x, _ in corners)
    outer = {x for x, y in corners if y > 101}  # beyond the raised face
    assert right - left == pytest.approx(22)
    assert (max(outer) < right - 1) is face_is_right
    assert (min(outer) > left + 1) is not face_is_right


def test_a_chamfer_cuts_the_bores_edge_on_the_named_face() -> None:
    plate = RING["plate"] | {"bore_chamfer": 4}
    items = pages(plate=plate).sheets[0].views[0].drawing.items
    cut = [item.what for item in items if item.source == Furniture("section") and isinstance(item.what, Contour)]
    slanted = [
        part
        for contour in cut
        for part in contour.parts
        if isinstance(part, Line) and part.start.x != part.end.x and part.start.y != part.end.y
    ]
    assert len(slanted) == 2
    assert all(part.start.distance_to(part.end) == pytest.approx(4 * math.sqrt(2)) for part in slanted)
    assert any(isinstance(item.what, Circle) and item.what.radius == pytest.approx(89) for item in items)
    assert any("4 × 45°" in word for word in words(pages(plate=plate)))


def test_the_scale_is_one_of_iso_5455_or_between_two_and_five_and_stands_in_the_title_block() -> None:
    for size, expected in ((24, "5:1"), (285, "1:2.5"), (3000, "1:25")):
        circle = {"diameter": size * 0.8, "hole_count": 4, "hole_diameter": size * 0.08}
        sheets = pages(plate={"outside_diameter": size}, bolt_circle=[circle])
        scale = sheets.sheets[0].views[0].scale
        mantissa = round(scale / 10 ** math.floor(math.log10(scale) + 1e-9), 6)
        assert mantissa in (1, 2, 2.5, 4, 5)
        assert expected in words(sheets)


@pytest.mark.slow
def test_a_detail_is_drawn_where_lines_run_together_and_shows_the_neighbor() -> None:
    """Lines nearer than 0.7 mm in print (ISO 128-2, from memory); a thread or a slot alone is told by its call-out."""
    circle = {"diameter": 2800, "hole_count": 64, "hole_diameter": 33}
    plate = {"outside_diameter": 3000, "bore": 2500, "thickness": 40}
    tapped = {"diameter": 2800, "hole_count": 64, "kind": "tapped", "thread": "M24"}
    for alone in (circle, circle | {"kind": "slot", "slot_length": 60}, tapped):
        told = words(pages(plate=plate, bolt_circle=[alone]))
        assert not any(word.startswith("DETAIL") for word in told)
    pins = {"diameter": 2800, "hole_count": 2, "kind": "dowel", "hole_diameter": 10, "start_angle": 2.25}
    pins |= {"placement": "on-centerline"}
    sheets = pages(plate=plate, bolt_circle=[circle | {"hole_diameter": 12}, pins])
    views = [view for sheet in sheets.sheets for view in sheet.views]
    assert [view.drawing.title for view in views] == ["layout", "detail"]
    assert 6 <= 10 * views[1].scale <= 12
    assert any(word.startswith("DETAIL Z (") for word in words(sheets))
    said = [item.what for item in views[1].drawing.items]
    (text,) = (each.text for each in said if isinstance(each, Leader))
    assert "REAM FOR DOWEL" in text[0]
    assert text[1] == "ON PCD 2800"
    assert {"A1", "B1"} <= {each.text for each in said if isinstance(each, Label)}
    # Hole 1 of A stands half a pitch of 5.625 degrees from the top, the pin at 2.25: a chord of 2 r sin(half of that).
    (apart,) = (each.measure for each in said if isinstance(each, LinearDimension))
    assert apart == pytest.approx(2800 * math.sin(math.radians((2.8125 - 2.25) / 2)))
    assert not any(word.startswith("DETAIL") for word in words(pages()))


@pytest.mark.slow
def test_every_hole_of_two_long_circles_stands_in_the_tables_once() -> None:
    outer = {"diameter": 2800, "hole_count": 64, "hole_diameter": 33}
    inner = {"diameter": 2500, "hole_count": 64, "hole_diameter": 22}
    for paper in ("A4", "A3"):
        sheets = pages(
            plate={"outside_diameter": 3000, "bore": 2300, "thickness": 40},
            bolt_circle=[outer, inner],
            sheet={"paper": paper, "parts": ["all holes"]},
        )
        items = [item for sheet in sheets.sheets for item in sheet.furniture if item.source == Furniture("table")]
        texts = [item.what.text for item in items if isinstance(item.what, Label)]
        for label in [f"{letter}{number}" for letter in "AB" for number in range(1, 65)]:
            assert texts.count(label) == 1


@pytest.mark.slow
def test_very_many_holes_are_not_listed_unless_asked_for() -> None:
    circle = {"diameter": 900, "hole_count": 80, "hole_diameter": 9}
    told = words(pages(plate={"outside_diameter": 1000}, bolt_circle=[circle]))
    assert any(word.startswith("80 holes: each in the hole list (CSV)") for word in told)
    assert "X CENTER" not in told


def test_both_units_name_the_master() -> None:
    told = words(pages(sheet={"dual_units": True}))
    assert any("Master unit: millimeters; [inches] for reference only." in word for word in told)
    assert "⌀285 [11.220]" in told
    assert {"8 × ⌀22 [0.866]", "EQUALLY SPACED ON PCD 240 [9.449]"} <= set(told)
    assert not any("Master" in word for word in words(pages()))


def test_revisions_stand_on_the_first_sheet_only() -> None:
    history = [{"revision": "A", "date": "2026-10-01", "change": "First issue", "by": "workshop"}]
    for convention in ("ISO", "ASME"):
        sheets = pages(
            job={"number": "T-1", "revision_history": history}, sheet={"convention": convention, "paper": "A4"}
        )
        shown = [word for sheet in sheets.sheets for word in read_page(sheet).words if word == "REVISIONS"]
        assert shown == ["REVISIONS"]
        assert "First issue" in read_page(sheets.sheets[0]).words


def test_words_keep_clear_of_the_revisions() -> None:
    """Revisions in the upper right (ASME Y14.35): a heading 1 mm under the table reads as its last row."""
    history = [{"revision": each, "date": "2026-10-01", "change": f"Issue {each}"} for each in "ABCD"]
    job = {"number": "T-1", "revision_history": history}
    first = pages(job=job, plate=RING["plate"] | {"outside_diameter": 480}, sheet=TABLOID).sheets[0]
    labels = [item.what for item in first.furniture if isinstance(item.what, Label)]
    (last,) = (label.at for label in labels if label.text == "Issue D")
    under = [label for label in labels if label.at.y < last.y - 1.0 and label.at.x > last.x - 60.0]
    nearest = max(under, key=lambda label: label.at.y)
    # Half of a row of 5.6 mm, a gap of a capital and more, the capitals of the next text.
    assert last.y - (nearest.at.y + nearest.height_paper) > 2.8 + 3.0


TABLOID = {"convention": "ASME", "paper": "Tabloid"}


def test_a_long_drawing_number_stands_whole_in_the_title_block() -> None:
    """Broken behind its hyphens: a sheet whose number stands on another one is not found again."""
    told = words(pages(job={"number": "MB-101-RAW-WATER-INTAKE-PUMP-2-0001"}, sheet={"paper": "A4"}))
    assert {"MB-101-RAW-WATER-INTAKE-", "PUMP-2-0001"} <= set(told)
    assert "see notes" not in told


def test_more_notes_than_the_first_sheet_holds_go_on() -> None:
    notes = [f"Note number {number}. " + "It has a good deal to say. " * 20 for number in range(40)]
    sheets = pages(job={"number": "T-1", "notes": notes})
    text = " ".join(words(sheets))
    for number in range(40):
        assert f"Note number {number}." in text
    assert any(word.startswith("NOTES, continued") for word in words(sheets))


def test_the_card_speaks_of_limits_where_some_are_stated_and_of_what_is_agreed_for_the_rest() -> None:
    as_agreed, inside = (
        "all inside what was agreed, ______: use it",
        "all inside ACCEPT, rest as agreed, ______: use it",
    )
    assert inside not in words(pages())
    assert as_agreed in words(pages())
    stated = words(pages(tolerances={"chord": 0.5}, plate={"outside_diameter": 285, "thickness": 22}))
    assert inside in stated
    assert as_agreed not in stated


@pytest.mark.slow
def test_notes_that_are_over_share_a_page_with_the_card_and_take_no_table_off_the_first_sheet() -> None:
    plate = {"outside_diameter": 320, "bore": 100, "thickness": 32, "face": "pump side"}
    circles = [
        {"name": "pump", "diameter": 280, "hole_count": 8, "bolt": "M16"},
        {"name": "motor", "diameter": 215, "hole_count": 4, "kind": "tapped", "thread": "M12", "start_angle": 45},
    ]
    turned = [{"kind": "recess", "diameter": 180, "depth": 5, "fit": "H8"}]
    turned += [{"kind": "spigot", "face": "back", "diameter": 160, "height": 4, "fit": "h8"}]
    mates = [{"name": "pump", "circle": "pump", "outside_diameter": 320, "thickness": 22, "bore": 100}]
    mates += [{"name": "motor", "circle": "motor", "standard": "IEC 60072-1 FF215"}]
    notes = [
        f"{part}: break all edges and stamp the number of the part beside it." for part in ("Rim", "Bore", "Holes")
    ]
    told = {"number": "T-1", "notes": [*notes, "Ends of the recess: no burr."]}
    sheets = pages(job=told, plate=plate, bolt_circle=circles, turned=turned, mate=mates).sheets
    first, second, third = (read_page(sheet).words for sheet in sheets)
    assert {"A1", "A8", "B1", "B4", "NOTES", "8."} <= set(first)
    assert any(word.startswith("BOLT CIRCLE A (PUMP)") for word in second)
    assert any(word.startswith("BOLT CIRCLE B (MOTOR)") for word in (*second, *third))
    assert "NOTES, continued" in third


@pytest.mark.slow
def test_hole_tables_stand_on_the_first_sheet_where_a_scale_a_fifth_smaller_takes_them() -> None:
    circles = [
        {"diameter": 209.55, "hole_count": 7, "hole_diameter": 23.8, "start_angle": 13.3},
        {"diameter": 139.7, "hole_count": 4, "hole_diameter": 14.3},
    ]
    plate = {"outside_diameter": 254, "bore": 88.9, "thickness": 19.05}
    sheets = pages(plate=plate, bolt_circle=circles, sheet={"convention": "ASME", "paper": "Letter"}).sheets
    assert sheets[0].views[0].scale == 1 / 2.5
    titles = [word for word in read_page(sheets[0]).words if word.startswith("HOLES ")]
    assert {title.partition(" (mm)")[0] for title in titles} == {"HOLES A", "HOLES B"}


def test_a_plate_without_thickness_shows_its_bore_on_the_face() -> None:
    told = words(pages(plate={"outside_diameter": 285, "bore": 170, "raised_face_diameter": 210}))
    assert {"⌀170 BORE", "⌀210 R.F.", "⌀285"} <= set(told)
    assert "A-A" not in told


@pytest.mark.slow
def test_letters_of_section_and_detail_are_never_those_of_holes() -> None:
    circles = [*RING["bolt_circle"], {"diameter": 200, "hole_count": 4, "hole_diameter": 8}]
    assert "Y-Y" in words(pages(bolt_circle=circles))
    assert "A-A" in words(pages())


@pytest.mark.slow
def test_more_warnings_than_a_first_sheet_holds_are_told_overleaf() -> None:
    job = make_job()
    failed = [f"check number {number} failed, " + "and that has a good deal to say. " * 6 for number in range(16)]
    about = {"flange": job.flange, "info": job.info, "stamp": stamp_of(job), "unit": job.unit}
    sheets = layout_sheets(SheetRequest(**about, sheet=job.sheet, failed=failed))  # type: ignore[arg-type]
    first = read_page(sheets.sheets[0]).words
    assert "CHECK BEFORE CUTTING" in first
    assert any(word.startswith("16 points: see the notes") for word in first)
    everything = " ".join(words(sheets))
    assert all(f"heck number {number} failed" in everything for number in range(16))


def test_a_circle_blind_from_the_back_is_measured_as_seen_there() -> None:
    """Of 8 holes 1 and 8 stand on either side of the top, 1 to the left; with the plate turned over to the right."""
    tapped = {"diameter": 240, "hole_count": 8, "kind": "tapped", "thread": "M16", "depth": 16}
    plate = {"outside_diameter": 300, "bore": 150, "thickness": 40}
    for side, sign in (("face", -1.0), ("back", 1.0)):
        card = pages(plate=plate, bolt_circle=[tapped | {"worked_from": side}]).sheets[1]
        shown = [item.what for item in card.furniture if item.source == Furniture("check card")]
        top = {
            label.text: label.at.x
            for label in sorted((each for each in shown if isinstance(each, Label)), key=lambda each: each.at.y)
        }
        assert (top["1"] - top["8"]) * sign > 0
        told = " ".join(read_page(card).words)
        assert ("FROM THE BACK: plate turned over, TOP up" in told) == (side == "back")


@pytest.mark.slow
def test_sizes_over_all_that_follow_from_others_have_the_usual_decimals() -> None:
    """5.5 (1 + cos 36°) + 2.25 = 12.19959 and 2 × 5.5 sin 72° + 2.25 = 12.71162, by hand; 12.1996 feigns a size."""
    plate = {"outline": "lugged", "outside_diameter": 9.5, "bore": 6.75, "thickness": 0.625, "lug_radius": 1.125}
    lugs = {"lug_count": 5, "lug_circle": 11, "root_radius": 0.5}
    circle = {"diameter": 11, "hole_count": 5, "hole_diameter": 0.8125}
    told = words(layout_pages(make_job(units="in", plate=plate | lugs, bolt_circle=[circle])))
    assert {"(12.200)", "(12.712)"} <= {*told}


@every_row(("inches", "said"), [(1.375, "(1.375)"), (0.6875, "(.6875)"), (12.19959, "(12.200)"), (8.00002, "(8.000)")])
def test_a_size_that_follows_from_others_keeps_a_fourth_decimal_where_four_tell_it_whole(
    inches: float, said: str
) -> None:
    lengths = Lengths(Unit.IN, convention=Convention.ASME)
    assert lengths.reckoned(inches * 25.4, "(", ")").text(inches * 25.4) == said
