"""The cover of a template: what to measure, what it may be off, what to do, and which page goes where."""

import re
from typing import Any

import pytest
import shapely
from shapely import affinity

from as_shapely import polygon
from builders import STAMP
from flangelayout.drawing.choices import TemplateStyle
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Label, Sheet
from flangelayout.drawing.settings import TemplateSettings
from flangelayout.drawing.textwidth import label_box
from flangelayout.geometry.shapes import Box, Circle, Contour, extent
from flangelayout.packet.job import Part, build_packet, face_template
from flangelayout.units import Unit
from flangelayout.views.template.cover import drill_step, hole_steps, plate_chords
from flangelayout.views.template.pages import FaceTemplate, one_sheet_template, roll_template, template_sheets
from flangelayout.writers.pdf import write_pdf
from jobs import bolt_circle, flange, make_job
from readers import pdf_text
from views.tile_pages import tiles_of

SMALL = {"diameter": 100, "hole_count": 4, "hole_diameter": 14}


@pytest.fixture(scope="module")
def cover() -> list[str]:
    """The lines of the cover of 8 x 22 on 240 in a plate of 500, on A4."""
    packet = build_packet(make_job(plate={"outside_diameter": 500, "thickness": 10}), [Part.TEMPLATE])
    return pdf_text(next(data for name, data in packet.items() if name.endswith(".pdf")))


def lines_with(cover: list[str], start: str) -> list[str]:
    return [line for line in cover if line.startswith(start)]


def test_each_bar_has_its_own_length_and_what_may_be_read_on_it(cover: list[str]) -> None:
    # A third of 1.5 mm on 240 mm is 1/480 of the bar; a rule is read to 0.5 mm, a caliper to 0.1.
    lengths = set()
    for axis in "XY":
        long, short = lines_with(cover, f"{axis} ")
        length = float(long.split()[1])
        lengths.add(length)
        off = max(int(length / 480 / 0.5), 1) * 0.5
        low, high = (f"{length + side * off:.1f}".removesuffix(".0") for side in (-1, 1))
        assert long == f"{axis} {length:.0f} mm = {length / 25.4:.3f} in rule {low} to {high}"
        assert short == f"{axis} 140 mm = 5.512 in caliper 139.8 to 140.2"
    assert len(lengths) == 2


def test_the_joined_paper_is_read_across_the_circle(cover: list[str]) -> None:
    assert any(re.match(r"hole \d to hole \d 240.00 239.5 to 240.5$", line) for line in cover)


def test_every_tile_has_a_row_of_its_edges(cover: list[str]) -> None:
    rows = [line for line in cover if re.match(r"\d+ .*(OVER|GLUE) \d", line)]
    assert len(rows) >= 4


def test_the_map_shows_top_and_the_holes(cover: list[str]) -> None:
    words = " ".join(cover).split()
    assert "TOP" in words
    assert all(str(number) in words for number in range(1, 9))


def test_the_chords_to_measure_on_the_plate_are_the_nearest_and_the_farthest(cover: list[str]) -> None:
    # 240 sin 22.5 and the circle itself.
    assert "all next 91.84" in cover
    assert "all 4 pitches 240.00" in cover


def test_the_cover_says_how_to_print_and_what_decides(cover: list[str]) -> None:
    text = " ".join(cover)
    for words in (
        'AT 100 % / ACTUAL SIZE, NEVER "FIT TO PAGE"',
        "Outside of what is accepted: do not use it.",
        "ONE SIDE ONLY",
        "What is measured on the PLATE decides",
        "Layout aid, not a design.",
        "8 × ⌀22, EQUALLY SPACED ON PCD 240",
    ):
        assert words in text


def test_only_plain_holes_of_a_plate_are_pinned_to_a_mate() -> None:
    assert drill_step(make_job().flange) == (
        "Drill two holes as far apart as they come, pin them to the mate, then drill the rest."
    )
    tapped = make_job(bolt_circle=[{"diameter": 240, "hole_count": 8, "kind": "tapped", "thread": "M16"}]).flange
    gasket = make_job(plate={"outside_diameter": 285, "material": "fiber gasket sheet"}).flange
    assert "measure them on the plate against the chords" in drill_step(tapped)
    assert "lay the gasket on the mate" in drill_step(gasket)
    for part in (tapped, gasket):
        assert "pin" not in drill_step(part)


def test_a_template_of_one_page_is_not_joined() -> None:
    packet = build_packet(make_job(plate={"outside_diameter": 150}, bolt_circle=[SMALL]), [Part.TEMPLATE])
    text = " ".join(pdf_text(next(data for name, data in packet.items() if name.endswith(".pdf"))))
    assert "Read the paper. Out: do not use it" in text
    assert "ON THE PAPER (mm)" in text
    assert not any(word in text.lower() for word in ("joint", "joined", "diamond"))


def test_only_chords_from_hole_to_hole_are_to_be_measured() -> None:
    # 8 places of which three next to each other are drilled: 240 sin 22.5 and 240 sin 45; the circle has no two ends.
    told = plate_chords(
        make_job(bolt_circle=[{"diameter": 240, "hole_count": 8, "hole_diameter": 22, "skip": [4, 5, 6, 7, 8]}]).flange,
        Unit.MM,
    ).rows
    assert told == (("all", "next", "91.84", ""), ("all", "2 pitches", "169.71", ""))


def test_what_is_told_fits_the_number_of_holes() -> None:
    bare = make_job(bolt_circle=[]).flange
    one = make_job(bolt_circle=[], hole=[{"diameter": 14, "x": 115, "y": 0}]).flange
    uneven = make_job(bolt_circle=[{"diameter": 240, "angles": [0, 50, 170], "hole_diameter": 22}]).flange
    assert not any("Punch" in step or "chord" in step for step in hole_steps(bare))
    assert not any("crosses" in step or "chord" in step for step in hole_steps(one))
    assert not plate_chords(bare, Unit.MM).rows
    # 240 sin 25, 240 sin 85.
    assert [row[1:3] for row in plate_chords(uneven, Unit.MM).rows] == [("1 to 2", "101.43"), ("1 to 3", "239.09")]


def test_of_holes_on_no_even_circle_the_longest_ways_across_are_measured() -> None:
    rectangle = {"width": 300, "height": 240, "columns": 3, "hole_diameter": 14}
    plate = {"outline": "rectangle", "width": 360, "height": 300, "thickness": 12}
    told = [
        row[1:3]
        for row in plate_chords(make_job(plate=plate, bolt_circle=[], hole_rectangle=[rectangle]).flange, Unit.MM).rows
    ]
    # Six holes, counted round: next to the first along the width, then both diagonals of 300 x 240.
    assert [chord for _, chord in told] == ["150.00", "384.19", "384.19"]
    assert len({*" ".join(span for span, _ in told[1:]).replace(" to ", " ").split()}) == 4


def test_what_no_drawing_holds_has_no_limits_and_what_bears_no_number_is_not_asked() -> None:
    """ISO 2768-1 m holds 110 × 110 of the rectangle; how far it stands from the circle the drawing writes nowhere."""
    square = {"width": 110, "height": 110, "hole_diameter": 9}
    general = {"general": "ISO 2768-1 m"}
    blind = {"outside_diameter": 285, "thickness": 22}
    rows = plate_chords(make_job(plate=blind, hole_rectangle=[square], tolerances=general).flange, Unit.MM).rows
    between = {row[1]: row[3] for row in rows if row[0] == "-"}
    assert between == {"B1 to B3": "155.07 – 156.06", "A1 to B1": ""}
    tubes = {
        "name": "tubes",
        "hole_diameter": 6,
        "layout": "square",
        "columns": 9,
        "rows": 9,
        "pitch_x": 9,
        "pitch_y": 9,
    }
    told = plate_chords(make_job(plate=blind, hole_grid=[tubes]).flange, Unit.MM)
    assert not [row for row in told.rows if row[0] == "-"]


def test_a_plate_of_one_hole_has_no_chords_to_step() -> None:
    job = make_job(bolt_circle=[], hole=[{"diameter": 14, "x": 115, "y": 0}], plate={"outside_diameter": 285})
    packet = build_packet(job, (Part.TEMPLATE,))
    told = " ".join(pdf_text(next(made for name, made in packet.items() if name.endswith(".pdf"))))
    assert "do not use it, lay it out by the sheet." in told
    assert "chord" not in told.lower()


def window_of(tile: Sheet) -> Box:
    """What of the plate a page shows."""
    view = tile.views[0]
    assert view.clip_paper is not None
    return view.clip_paper.moved(view.at_paper.scaled(-1.0))


def test_a_tile_bears_its_number_and_the_table_of_edges_tells_what_its_own_page_tells() -> None:
    job = make_job(plate={"outside_diameter": 500, "bore": 150, "thickness": 10})
    sheets = template_sheets(face_template(job), TemplateSettings("A4"))
    lines = pdf_text(write_pdf(sheets))
    heads = lines.index("TILE LEFT RIGHT TOP BOTTOM")
    pages = sheets.sheets[1:]
    corners = {page: (round(window_of(page).left, 3), window_of(page).top) for page in pages}
    lefts = sorted({left for left, _ in corners.values()})
    for number, page in enumerate(pages, 1):
        seams = next(view.drawing for view in page.views if view.drawing.title == "template seams")
        said = {item.what: item.layer for item in seams.items if isinstance(item.what, Label)}
        assert {label.text for label, layer in said.items() if layer is Layer.TILE_NUMBER} == {str(number)}
        wanted = dict.fromkeys(("LEFT", "RIGHT", "TOP", "BOTTOM"), "-")
        for label in said:
            upright = label.rotation_deg == 90.0
            if what := re.search(r"(OVER|GLUE) (?:TILE )?(\d+)", label.text):
                side = {"OVER": ("TOP", "LEFT"), "GLUE": ("BOTTOM", "RIGHT")}[what[1]][upright]
                wanted[side] = f"{what[1]} {what[2]}" if wanted[side] == "-" else f"{wanted[side]}, {what[2]}"
        assert f"{number} {' '.join(wanted.values())}" == lines[heads + number]
        left = corners[page][0]
        beneath = sorted(high for across, high in corners.values() if across == left)[::-1]
        row, column = beneath.index(corners[page][1]) + 1, lefts.index(left) + 1
        where = f"ROW {row} of {len(beneath)} · COLUMN {column} of {len(lefts)} · TILE {number} of {len(pages)}"
        assert where in [item.what.text for item in page.furniture if isinstance(item.what, Label)]


LUGGED: dict[str, Any] = {
    "plate": {
        "outline": "lugged",
        "outside_diameter": 420,
        "bore": 300,
        "lug_radius": 30,
        "lug_width_at_middle": 100,
        "root_radius": 16,
        "lug_count": 5,
        "lug_circle": 480,
    },
    "bolt_circle": [
        {"diameter": 480, "hole_count": 5, "kind": "slot", "hole_diameter": 18, "slot_length": 32},
        {"diameter": 360, "hole_count": 16, "hole_diameter": 11},
    ],
}
"""Of the lowest row of tiles the middle one meets nothing above, where the bore is, but is cut there."""


def test_a_page_that_is_cut_where_it_meets_no_other_is_told_so_in_the_table_of_edges() -> None:
    sheets = template_sheets(face_template(make_job(**LUGGED)), TemplateSettings("A4"))
    lines = pdf_text(write_pdf(sheets))
    heads, lone = lines.index("TILE LEFT RIGHT TOP BOTTOM"), 0
    for number, page in enumerate(sheets.sheets[1:], 1):
        seams = next(view.drawing for view in page.views if view.drawing.title == "template seams")
        said = [item.what for item in seams.items if isinstance(item.what, Label)]
        cuts = {label.rotation_deg for label in said if label.text in ("CUT HERE", "CUT")}
        told = re.sub(r"(OVER|GLUE) \d+(, \d+)*", "-", lines[heads + number])
        sides = [("LEFT", 90.0 in cuts), ("RIGHT", False), ("TOP", 0.0 in cuts), ("BOTTOM", False)]
        assert told == " ".join([str(number), *("CUT" if is_cut else "-" for _, is_cut in sides)])
        lone += len(cuts)
    assert lone, "there is such a page"


@pytest.mark.slow
def test_a_cover_tells_from_where_slots_are_measured_which_have_two_crosses() -> None:
    (said, plain) = (
        " ".join(pdf_text(write_pdf(template_sheets(face_template(job), TemplateSettings("A4")))))
        for job in (make_job(**LUGGED), make_job(plate=LUGGED["plate"], bolt_circle=LUGGED["bolt_circle"][1:]))
    )
    assert "Of a slot halfway between its two crosses is the middle: mark it, and measure from there." in said
    assert re.search(r"middle of slot A\d to hole B\d+ \d", said)
    assert not re.search(r"(^| )hole A\d to", said)
    assert "from punch mark to punch mark, of a slot from halfway between its two." in said
    assert "slot" not in plain
    assert "from punch mark to punch mark." in plain
    single = " ".join(pdf_text(write_pdf(one_sheet_template(face_template(make_job(**LUGGED))))))
    assert "ON THE PLATE, CENTER TO CENTER, THAT OF A SLOT HALFWAY BETWEEN ITS TWO CROSSES: A next " in single


def test_a_sector_of_any_count_has_chords_over_several_steps() -> None:
    circle = {"diameter": 1350, "hole_count": 15, "hole_diameter": 30}
    job = make_job(plate={"outside_diameter": 1500, "bore": 1200}, bolt_circle=[circle])
    lines = pdf_text(write_pdf(template_sheets(face_template(job), TemplateSettings("A3", style=TemplateStyle.SECTOR))))
    # The outer mark is 8 mm inside the rim: 2 x 742 sin 36 over three steps of 24 degrees, sin 84 over seven.
    assert "R1-L1 over 3 steps 872.27" in lines
    assert "R1-L1 over 7 steps 1475.87" in lines


def test_a_set_of_one_tile_speaks_of_no_rows() -> None:
    (page,) = roll_template(face_template(make_job()), TemplateSettings("roll", roll_width=610.0)).sheets
    said = {item.what.text for item in page.furniture if isinstance(item.what, Label)}
    assert "TILE 1 of 1" in said


@pytest.mark.slow
def test_the_numbers_of_a_map_of_many_tiles_stand_by_their_tiles_and_clear_of_lines() -> None:
    plate = flange(bolt_circle(diameter=2880, hole_count=72, hole_diameter=33), outside_diameter=3000.0, bore=2700.0)
    sheets = template_sheets(FaceTemplate.of(plate, JobInfo("W-5"), STAMP, Unit.MM), TemplateSettings("A4"))
    tiles, mapped = tiles_of(sheets), sheets.sheets[1]
    (view,) = mapped.views
    items = view.drawing.items
    cells = {item.source: extent(item.what) for item in items if isinstance(item.what, Contour)}
    numbers = {item.source: item.what for item in items if item.source in cells and isinstance(item.what, Label)}
    assert [label.text for label in numbers.values()] == [str(number) for number in range(1, len(tiles) + 1)]
    tops = [item.what.at.y for item in items if isinstance(item.what, Label) and item.what.text == "TOP"]
    assert [y > 1500.0 for y in tops] == [True], "above the rim"
    lines = shapely.STRtree([polygon(item.what).exterior for item in items if isinstance(item.what, Circle | Contour)])
    left = {name: shapely.box(cell.left, cell.bottom, cell.right, cell.top) for name, cell in cells.items()}
    page = shapely.box(12.0, 12.0, mapped.paper.width - 12.0, mapped.paper.height - 12.0)
    crossed: list[str] = []
    for source, label in numbers.items():
        box = label_box(label, view.scale)
        room = shapely.box(box.left, box.bottom, box.right, box.top)
        crossed += [label.text] if len(lines.query(room, predicate="intersects")) else []
        away = {name: cell.distance(shapely.Point(label.at.x, label.at.y)) for name, cell in left.items()}
        assert away.pop(source) < min(away.values()), f"{label.text} is not by its tile"
        at, scale = view.at_paper, view.scale
        assert page.contains(affinity.affine_transform(room, [scale, 0, 0, scale, at.x, at.y]))
    assert not crossed
    told = [item.what.text for item in mapped.furniture if isinstance(item.what, Label)]
    assert any(text.startswith("EVERY TILE: cut and lay over at the left and the top") for text in told)


def test_a_circle_in_pairs_has_chords_on_the_plate_too() -> None:
    circles = [
        {"diameter": 280, "hole_count": 8, "hole_diameter": 17.5},
        {"diameter": 215, "hole_count": 12, "hole_diameter": 8, "pair_angle": 18},
    ]
    rows = plate_chords(make_job(plate={"outside_diameter": 320}, bolt_circle=circles).flange, Unit.MM).rows
    # 280 sin 22.5 and the circle; of each pair 215 sin 9, and six pairs stand across from each other.
    assert [row[:3] for row in rows] == [
        ("A", "next", "107.15"),
        ("A", "4 pitches", "280.00"),
        ("B", "B1 to B2", "33.63"),
        ("B", "B1 to B7", "215.00"),
    ]


def test_holes_beside_a_circle_have_a_way_of_their_own_and_one_to_it() -> None:
    job = make_job(
        plate={"outside_diameter": 300, "bore": 120, "thickness": 12},
        bolt_circle=[{"diameter": 240, "hole_count": 6, "hole_diameter": 18}],
        hole_rectangle=[{"width": 110, "height": 110, "hole_diameter": 9}],
        hole=[{"x": 0, "y": y, "diameter": 12} for y in (-100, 100)],
        tolerances={"general": "ISO 2768-1 m"},
    )
    rows = {row[1]: row[2:4] for row in plate_chords(job.flange, Unit.MM).rows}
    # 110 sqrt 2; ISO 2768-1 m allows 0.5 over 120 up to 400 mm, rounded inward.
    assert rows["B1 to B3"] == ("155.56", "155.07 – 156.06")
    assert rows["X1 to X2"] == ("200.00", "199.50 – 200.50")
    assert {"A1 to B1", "A1 to X1"} <= rows.keys()


def test_tables_stand_beside_each_other_where_they_have_room() -> None:
    """On a page of A4 the chords stand right of the scale bars: what is left below is the map's."""
    job = make_job(plate={"outside_diameter": 500, "thickness": 10})
    cover = template_sheets(face_template(job), TemplateSettings("A4")).sheets[0]
    at = {item.what.text: item.what.at for item in cover.furniture if isinstance(item.what, Label)}
    bars, chords = at["SCALE BARS"], at["CHORDS ON THE PLATE (mm)"]
    assert chords.y == bars.y
    assert chords.x > bars.x + 90.0


def test_on_a_page_on_its_side_the_table_of_edges_stands_below_the_map() -> None:
    circle = {"diameter": 260, "hole_count": 4, "hole_diameter": 18}
    job = make_job(plate={"outline": "rectangle", "width": 420, "height": 280, "thickness": 12}, bolt_circle=[circle])
    cover = template_sheets(face_template(job), TemplateSettings("Letter")).sheets[0]
    assert cover.paper.width > cover.paper.height
    (view,) = cover.views
    boxes = [extent(item.what) for item in view.drawing.items if isinstance(item.what, Circle | Contour)]
    low = min(box.bottom for box in boxes) * view.scale + view.at_paper.y
    at = {item.what.text: item.what.at for item in cover.furniture if isinstance(item.what, Label)}
    assert low - 15.0 < at["EDGES"].y < low
    assert at["OVER 1"].x > at["EDGES"].x > at["SCALE BARS"].x


def test_chords_on_the_plate_have_the_limits_that_the_job_states() -> None:
    job = make_job(plate={"outside_diameter": 285}, tolerances={"chord": 0.8, "bolt_circle": 1.5})
    table = plate_chords(job.flange, Unit.MM)
    assert table.columns == ("CIRCLE", "SPAN", "CHORD", "ACCEPT", "MEASURED")
    # 240 sin 22.5 = 91.84; of any two holes 0.8 more or less, the lesser of both limits, rounded inward to 0.01.
    assert [row[1:4] for row in table.rows] == [
        ("next", "91.84", "91.05 – 92.64"),
        ("4 pitches", "240.00", "239.20 – 240.80"),
    ]
    sheets = template_sheets(face_template(job), TemplateSettings("A4", style=TemplateStyle.SECTOR))
    assert "91.05 – 92.64" in {item.what.text for item in sheets.sheets[0].furniture if isinstance(item.what, Label)}
    assert "ACCEPT" not in plate_chords(make_job(plate={"outside_diameter": 285}).flange, Unit.MM).columns
