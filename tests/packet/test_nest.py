"""The files of a nest read back by programs that had no part in writing them, against the rules of a cut file."""

import math
from collections import Counter
from io import BytesIO
from itertools import combinations

import pdfplumber
import pytest
import shapely
from ezdxf.entities.polyline import Polyline

from flangelayout.drawing.explode import explode, items_box
from flangelayout.drawing.model import Label, View
from flangelayout.drawing.references import FieldRef, Furniture, TitleBlockRef
from flangelayout.drawing.textwidth import label_box
from flangelayout.errors import InputError
from flangelayout.geometry.shapes import Circle, Line
from flangelayout.job import Job
from flangelayout.nest import Stock
from flangelayout.packet.nest import build_nest, marks
from flangelayout.units import Unit, to_mm
from jobs import Data, make_job
from readers import dxf_circles, dxf_document, dxf_shapes, pdf_pages_text, pdf_text
from rows import every_row, first_of

pytestmark = pytest.mark.usefixtures("few_tries")

STOCK = Stock(2500.0, 1250.0, 10.0, 8.0)
CUT_ENTITIES = {"LINE", "ARC", "CIRCLE", "POLYLINE", "LWPOLYLINE"}


def ring_job(number: str, outside: float, bore: float | None, quantity: int, **tables: Data) -> Job:
    plate: Data = {"outside_diameter": outside, "thickness": 16} | ({"bore": bore} if bore else {})
    circle = {"diameter": round(outside * 0.85), "hole_count": 4, "hole_diameter": round(outside * 0.05)}
    return make_job(
        **{"job": {"number": number, "quantity": quantity}, "plate": plate, "bolt_circle": [circle]} | tables
    )


def oval_job(**tables: Data) -> Job:
    plate = {"outline": "oval", "length": 320, "width": 180, "end_radius": 60, "thickness": 16}
    holes = [{"diameter": 18, "x": 130, "y": 0}, {"diameter": 18, "x": -130, "y": 0}]
    return make_job(
        **{"job": {"number": "OV", "quantity": 3}, "plate": plate, "bolt_circle": [], "hole": holes} | tables
    )


def mixed_jobs(**tables: Data) -> list[Job]:
    return [
        ring_job("R-460", 460, 330, 2, **tables),
        ring_job("R-285", 285, 170, 3, **tables),
        ring_job("R-115", 115, 40, 4, **tables),
        oval_job(**tables),
    ]


def only(files: dict[str, bytes], ending: str) -> bytes:
    (name,) = (name for name in files if name.endswith(ending))
    return files[name]


def check_cut_rules(data: bytes, unit: Unit) -> None:
    """What a table's controller needs: units, cut geometry only, closed twice, no duplicates, inside first."""
    document = dxf_document(data)
    # DXF reference, header section: $INSUNITS 1 inches, 4 millimeters.
    assert document.header["$INSUNITS"] == {Unit.IN: 1, Unit.MM: 4}[unit]
    entities = list(document.modelspace())
    assert {entity.dxftype() for entity in entities} <= CUT_ENTITIES
    assert {entity.dxf.layer for entity in entities} <= {
        "CUT_HOLES",
        "CUT_BORE",
        "CUT_OUTLINE",
        "CUT_MARKS",
    }
    assert all(len(layout) == 0 for layout in document.layouts if layout.name != "Model")
    audit = document.audit()
    assert not audit.errors
    assert not audit.fixes
    for entity in entities:
        if entity.dxftype() == "POLYLINE" and entity.dxf.layer in ("CUT_OUTLINE", "CUT_BORE", "CUT_HOLES"):
            assert isinstance(entity, Polyline)
            points = [vertex.dxf.location for vertex in entity.vertices]
            assert entity.is_closed
            assert points[0].isclose(points[-1], abs_tol=1e-6)
    check_order(data)


def check_order(data: bytes) -> None:
    """GDAL's view of the file: no two cuts alike, and whatever lies inside a closed cut is cut before it."""
    closed = []
    for shape in dxf_shapes(data):
        if shape.layer in ("CUT_OUTLINE", "CUT_BORE", "CUT_HOLES"):
            area = shapely.Polygon(shape.points)
            closed.append((shape.layer, area))
    spots = Counter((round(area.centroid.x, 2), round(area.centroid.y, 2), round(area.area, 1)) for _, area in closed)
    assert set(spots.values()) == {1}
    assert any(layer == "CUT_OUTLINE" for layer, _ in closed)
    tree = shapely.STRtree([area for _, area in closed])
    for index, (_, area) in enumerate(closed):
        assert all(other <= index for other in tree.query(area, predicate="contains_properly").tolist())
    inside: list[float] = []
    for layer, area in closed:
        if layer == "CUT_OUTLINE":
            assert inside == sorted(inside)
            inside = []
        else:
            inside.append(round(area.area, 1))


@pytest.mark.parametrize("unit", first_of(Unit))
def test_a_nest_file_keeps_every_rule_of_a_cut_file(unit: Unit) -> None:
    jobs = mixed_jobs(cut={"units": unit.value})
    packet = build_nest(jobs, STOCK, "week 12")
    assert list(packet.files) == [f"week-12_nest_{unit.value}.dxf", "week-12_nest.pdf", "week-12_nest_mm.csv"]
    check_cut_rules(only(packet.files, ".dxf"), unit)
    assert packet.missing == ()


def test_every_circle_of_every_job_stands_in_the_file_as_often_as_asked() -> None:
    jobs = [job for job in mixed_jobs() if job.info.number != "OV"]
    found = Counter(round(circle.radius, 3) for circle in dxf_circles(only(build_nest(jobs, STOCK, "n").files, ".dxf")))
    wanted: Counter[float] = Counter()
    for job in jobs:
        plate, times = job.flange, job.info.quantity
        wanted[plate.round_diameter / 2 if plate.round_diameter else math.nan] += times
        wanted[(plate.bore or math.nan) / 2] += times
        for hole in plate.holes():
            wanted[hole.diameter / 2] += times
    assert found == wanted


def test_kerf_leads_and_marks_of_the_jobs_stand_in_the_nest_and_keep_clear() -> None:
    cut = {"kerf": 2.0, "lead_in": 6.0, "lead_out": 3.0, "marks": ["part number", "top"]}
    packet = build_nest(mixed_jobs(cut=cut), STOCK, "n")
    assert "n_nest_kerf_leads_mm.dxf" in packet.files
    told = pdf_pages_text(only(packet.files, ".pdf"))
    assert "a kerf of 2 mm is taken up" in told
    assert "HEAT NUMBER" in told
    assert "lead-in arcs of radius 6 mm at most, shorter where there is less room" in told
    assert "lead-out arcs of radius 3 mm at most" in told
    data = only(packet.files, ".dxf")
    check_cut_rules(data, Unit.MM)
    shapes = dxf_shapes(data)
    ways = [(shape.layer, shapely.LineString(shape.points)) for shape in shapes if shape.layer != "CUT_MARKS"]
    outlines = [way for layer, way in ways if layer == "CUT_OUTLINE"]
    inner = [way for layer, way in ways if layer != "CUT_OUTLINE"]
    first_cut = next(index for index, shape in enumerate(shapes) if shape.layer != "CUT_MARKS")
    assert all(shape.layer != "CUT_MARKS" for shape in shapes[first_cut:])
    assert len(inner) > 2 * len(outlines)
    for index, one in enumerate(outlines):
        assert all(one.distance(other) >= 7.9 for other in outlines[index + 1 :])
    for way in inner:
        met = [outline for outline in outlines if outline.distance(way) < 7.9]
        assert len(met) <= 1


@pytest.mark.slow
def test_a_ring_made_in_parts_is_nested_part_by_part() -> None:
    plate = {
        "outline": "split",
        "outside_diameter": 900,
        "inside_diameter": 700,
        "part_count": 3,
        "gap": 3,
        "thickness": 16,
    }
    circle = {"diameter": 800, "hole_count": 12, "hole_diameter": 18}
    job = make_job(job={"number": "SP", "quantity": 1}, plate=plate, bolt_circle=[circle])
    packet = build_nest([job], STOCK, "n")
    assert [part.name for part in packet.nest.parts] == [f"SP rev A, part {number}" for number in (1, 2, 3)]
    assert len(packet.nest.placed) == 3
    check_cut_rules(only(packet.files, ".dxf"), Unit.MM)
    found = [circle for circle in dxf_circles(only(packet.files, ".dxf")) if abs(circle.radius - 9) < 0.01]
    assert len(found) == 12


@pytest.mark.parametrize("paper", first_of(["A4", "Letter"]))
def test_the_sheet_marks_every_part_and_names_every_job(paper: str) -> None:
    packet = build_nest(mixed_jobs(), STOCK, "week-12", paper)
    data = only(packet.files, ".pdf")
    with pdfplumber.open(BytesIO(data)) as document:
        sizes = {(round(float(page.width)), round(float(page.height))) for page in document.pages}
    # ISO 216 A4 and ASME Y14.1 size A, lying on the side.
    assert sizes == {{"A4": (842, 595), "Letter": (792, 612)}[paper]}
    text = pdf_pages_text(data)
    assert all(mark in text for mark, _ in marks(packet.nest))
    assert all(f"{job.info.number} rev A" in text for job in mixed_jobs())
    assert "2500 × 1250 × 16 mm" in text
    assert "REMNANT" in text


@pytest.mark.parametrize("paper", first_of(["Letter", "A4"]))
def test_every_page_is_framed_and_says_which_nest_it_is_of(paper: str) -> None:
    packet = build_nest(mixed_jobs(), STOCK, "week-12", paper)
    assert packet.sheets is not None
    count = len(packet.sheets.sheets)
    for number, sheet in enumerate(packet.sheets.sheets, 1):
        words = {item.what.text: items_box((item,)) for item in sheet.furniture if isinstance(item.what, Label)}
        assert {"week-12", packet.digest[:10], f"{number} / {count}", "HEAT NUMBER", "CUT BY"} <= words.keys()
        block = items_box([item for item in sheet.furniture if isinstance(item.source, TitleBlockRef | FieldRef)])
        others = [item for item in sheet.furniture if not isinstance(item.source, TitleBlockRef | FieldRef)]
        inside = [item for item in others if item.source != Furniture("border")]
        assert not [item for item in inside if items_box((item,)).overlaps(block.grown(-0.1))]
        assert items_box(inside).left >= 20
        assert items_box(inside).right <= sheet.paper.width - 10


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_six_kinds_on_a_large_plate_are_one_page_whose_rules_and_rows_are_whole(paper: str) -> None:
    kinds = ((760, 560, 1), (460, 325, 2), (285, 170, 4), (260, None, 3), (200, 90, 6), (150, None, 5))
    jobs = [ring_job(f"K-{n}", outside, bore, many) for n, (outside, bore, many) in enumerate(kinds, 1)]
    packet = build_nest(jobs, Stock(2500.0, 1250.0), "six kinds", paper)
    assert packet.sheets is not None
    assert len(packet.sheets.sheets) == 1
    text = " ".join(pdf_pages_text(only(packet.files, ".pdf")).split())
    assert all(f"K-{n} rev A" in text for n in range(1, 7))
    assert "never cut the file mirrored. Cut in the order of the file: what lies in a drop first" in text
    assert crossed_marks(packet.sheets.sheets[0].views[0], 21) == []


@pytest.mark.slow
@every_row("stock", [Stock(2438.4, 1219.2), Stock(2997.2, 1498.6)])
def test_the_marks_of_the_parts_of_a_ring_stand_between_its_holes(stock: Stock) -> None:
    """Two circles of holes leave no room for mark and arrow at the widest spot of a part, or nowhere for both."""
    plate: Data = {"outline": "split", "outside_diameter": 30, "inside_diameter": 22, "part_count": 4, "gap": 0.125}
    circles = [{"diameter": at, "hole_count": 24, "hole_diameter": size} for at, size in ((28, 0.8125), (24, 0.6875))]
    tables: Data = {"units": "in", "plate": plate | {"thickness": 1}, "bolt_circle": circles}
    job = ring_job("Q", 0, None, 1, **tables)
    packet = build_nest([job], stock, "quarters", "Letter")
    assert packet.sheets is not None
    assert {placed.turn_deg for placed in packet.nest.placed} > {0.0}
    assert crossed_marks(packet.sheets.sheets[0].views[0], 4) == []


def test_the_sheet_says_what_is_cut_on_its_plate() -> None:
    """By the circles themselves: rim, bore and four holes of each part."""
    packet = build_nest([ring_job("R", 460, 330, 2)], Stock(1000.0, 500.0, 10.0, 8.0), "n")
    length = 2 * math.pi * (460 + 330 + 4 * 23)
    text = "\n".join(pdf_text(packet.files["n_nest.pdf"]))
    assert f"On this plate: cut {length:.0f} mm, 12 pierces." in text


def crossed_marks(view: View, labels: int) -> list[str]:
    """The marks of parts, written in so many labels or more, that a circle of any part runs through."""
    marked = [item.what for item in view.drawing.items if item.source == Furniture("part mark")]
    rooms = [(each.text, label_box(each, view.scale)) for each in marked if isinstance(each, Label)]
    boxes = [(text, shapely.box(room.left, room.bottom, room.right, room.top)) for text, room in rooms]
    rings = [what for item in view.drawing.items for what in explode(item.what, view.scale) if isinstance(what, Circle)]
    edges = [shapely.Point(at.center.x, at.center.y).buffer(at.radius, 64).exterior for at in rings]
    assert len(boxes) >= labels
    assert len(edges) > len(boxes)
    return [text for text, box in boxes if any(box.intersects(edge) for edge in edges)]


def test_a_part_smaller_than_its_mark_is_told_by_a_mark_beside_it_at_a_line() -> None:
    """Washers of 30 mm at 1:12.5 are 2.4 mm wide on paper: less than the height of a letter."""
    washer = make_job(
        job={"number": "W", "quantity": 12},
        plate={"outside_diameter": 30, "bore": 8, "thickness": 3},
        bolt_circle=[{"diameter": 20, "hole_count": 3, "hole_diameter": 3.4}],
    )
    built = build_nest([washer], Stock(2500.0, 1250.0, 10.0, 10.0), "n", "A4")
    assert built.sheets is not None
    (view,) = built.sheets.sheets[0].views
    assert crossed_marks(view, 12) == []
    marked = [item.what for item in view.drawing.items if item.source == Furniture("part mark")]
    labels = [what for what in marked if isinstance(what, Label)]
    lines = [what for what in marked if isinstance(what, Line)]
    assert len(labels) == len(lines) == 12
    boxes = [label_box(label, view.scale) for label in labels]
    assert not [1 for one, other in combinations(boxes, 2) if one.overlaps(other)]
    assert all(box.left > 0 and box.right < 2500 and box.bottom > 0 and box.top < 1250 for box in boxes)
    own = {min(built.nest.placed, key=lambda each: each.at.distance_to(line.end)) for line in lines}
    assert own == {*built.nest.placed}
    assert all(min(each.at.distance_to(line.end) for each in own) == pytest.approx(15.0) for line in lines)


def test_each_plate_has_its_file_and_its_page() -> None:
    packet = build_nest([ring_job("R", 460, 330, 5)], Stock(1000, 500, 10, 8, 10), "n")
    assert list(packet.files) == [
        "n_nest_1_mm.dxf",
        "n_nest_2_mm.dxf",
        "n_nest_3_mm.dxf",
        "n_nest.pdf",
        "n_nest_mm.csv",
    ]
    for number in (1, 2, 3):
        check_cut_rules(packet.files[f"n_nest_{number}_mm.dxf"], Unit.MM)
    assert "NEST, PLATE 2 OF 3" in "\n".join(pdf_text(packet.files["n_nest.pdf"], 1))


def test_what_does_not_fit_is_said_on_the_sheet_and_in_the_packet() -> None:
    packet = build_nest([ring_job("R", 460, 330, 5)], Stock(1000, 500, 10, 8), "n")
    assert len(packet.missing) == 1
    assert packet.missing[0].startswith("3 × R rev A: the plate is full")
    assert "DOES NOT FIT: 3 × R rev A" in "\n".join(pdf_text(packet.files["n_nest.pdf"]))
    none = build_nest([ring_job("R", 460, 330, 1)], Stock(450, 450, 10, 8), "n")
    assert none.files == {}
    assert "it is 460 × 460 mm and the plate has 430 × 430 mm inside its margin" in none.missing[0]


def test_what_does_not_fit_is_told_in_the_unit_of_the_jobs() -> None:
    inches: Data = {"units": "in", "plate": {"outside_diameter": 10, "thickness": 0.5}}
    inches |= {"bolt_circle": [{"diameter": 8, "hole_count": 4, "hole_diameter": 0.5}]}
    large: Data = inches | {"plate": {"outside_diameter": 20, "thickness": 0.5}}
    packet = build_nest([ring_job("R", 0, None, 1, **large), ring_job("S", 0, None, 1, **inches)], _FOOT, "n")
    (told,) = packet.missing
    assert "it is 20 × 20 in and the plate has 11 1/4 × 11 1/4 in inside its margin" in told
    assert told.removeprefix("1 × ") in " ".join(" ".join(pdf_text(packet.files["n_nest.pdf"])).split())


_FOOT = Stock(304.8, 304.8, 9.525, 8)
"""A foot square, 3/8 in kept free."""


def test_the_list_tells_where_each_part_lies_and_in_which_drop() -> None:
    packet = build_nest([ring_job("BIG", 460, 330, 1), ring_job("SMALL", 115, 40, 1)], STOCK, "n")
    head, *rows = only(packet.files, ".csv").decode("utf-8-sig").splitlines()
    assert head == "mark,part,plate,x_mm,y_mm,turn_deg,in_drop_of"
    small, big = (row.split(",") for row in rows)
    assert small[:3] == ["B1", "SMALL rev A", "1"]
    assert small[-1] == "A1"
    assert big[0] == "A1"
    middle = next(c for c in dxf_circles(only(packet.files, ".dxf")) if abs(c.radius - 57.5) < 1e-3)
    assert (float(small[3]), float(small[4])) == pytest.approx((middle.x, middle.y), abs=1e-3)


@every_row(
    ("one", "other", "told"),
    [
        (
            {"plate": {"outside_diameter": 300, "thickness": 16}},
            {"plate": {"outside_diameter": 300, "thickness": 20}},
            "thick",
        ),
        ({"cut": {"layers": {"holes": "DRILL"}}}, {}, "cut.layers"),
        ({"cut": {"units": "in"}}, {"cut": {"units": "mm"}}, "cut.units"),
        ({"cut": {"kerf": 1.5}}, {"cut": {"kerf": 2}}, "cut.kerf"),
    ],
)
def test_jobs_that_cannot_share_a_plate_or_a_file_are_refused(one: Data, other: Data, told: str) -> None:
    with pytest.raises(InputError, match=told):
        build_nest([make_job(**one), make_job(**other)], STOCK, "n")


def test_several_materials_and_a_missing_thickness_are_cautioned() -> None:
    plates = [
        {"outside_diameter": 300, "material": "brass", "thickness": 10},
        {"outside_diameter": 300, "material": "steel"},
    ]
    packet = build_nest([make_job(plate=plate) for plate in plates], STOCK, "n")
    text = " ".join(pdf_text(only(packet.files, ".pdf")))
    assert "brass; steel" in text
    assert "no thickness is stated" in text


def test_an_inch_nest_says_inches() -> None:
    job = make_job(
        units="in",
        job={"number": "IN", "quantity": 2},
        plate={"outside_diameter": 12, "thickness": 0.5},
        bolt_circle=[],
    )
    size = to_mm(48.0, Unit.IN), to_mm(24.0, Unit.IN)
    packet = build_nest([job], Stock(*size), "n")
    assert "n_nest_in.dxf" in packet.files
    assert "PLATE 48 × 24 × 1/2 in" in " ".join(pdf_text(packet.files["n_nest.pdf"]))


@pytest.mark.slow
def test_a_nest_is_the_same_bytes_every_time() -> None:
    assert build_nest(mixed_jobs(), STOCK, "n").files == build_nest(mixed_jobs(), STOCK, "n").files
