"""The section as it is cut: where metal is, and where the bore and the holes of each circle leave none."""

import math
from typing import Any

import pytest
import shapely

from flangelayout.drawing.choices import DxfVersion
from flangelayout.drawing.explode import explode
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Label, LinearDimension
from flangelayout.drawing.references import Furniture
from flangelayout.geometry.shapes import ORIGIN, Contour, Line
from flangelayout.packet.job import layout_pages
from flangelayout.writers.dxf.dimensions import dimension_text
from flangelayout.writers.pdf import write_pdf
from jobs import make_job
from rows import every_row, first_of
from views.printed_page import printed_pages

PLATE = {"outside_diameter": 285, "bore": 100, "thickness": 22}
OUTER = {"diameter": 240, "hole_count": 8, "hole_diameter": 22}
INNER = {"diameter": 160, "hole_count": 4, "hole_diameter": 14}


def metal(**tables: Any) -> list[tuple[float, float]]:  # noqa: ANN401 - tables of any kind
    """From where to where up the plate the section shows cut metal: its contours, right of the face view."""
    job = make_job(**tables)
    edge = job.flange.box().right
    contours = [
        item.what
        for item in layout_pages(job).sheets[0].views[0].drawing.items
        if item.layer is Layer.OUTLINE and isinstance(item.what, Contour)
    ]
    heights = [[part.start.y for part in each.parts] for each in contours if each.parts[0].start.x > edge]
    return sorted((min(each), max(each)) for each in heights)


def test_one_circle_shows_its_hole_above_and_below() -> None:
    assert metal(plate=PLATE, bolt_circle=[OUTER]) == [
        pytest.approx(each) for each in [(-142.5, -131), (-109, -50), (50, 109), (131, 142.5)]
    ]


def test_of_two_circles_both_are_cut_above_and_below() -> None:
    upper = [(50, 73), (87, 109), (131, 142.5)]
    lower = [(-high, -low) for low, high in reversed(upper)]
    assert metal(plate=PLATE, bolt_circle=[OUTER, INNER]) == [pytest.approx(each) for each in [*lower, *upper]]


def test_a_square_plate_is_cut_where_it_is_along_its_centerline() -> None:
    plate = {"outline": "square", "width": 300, "bore": 100, "thickness": 22}
    on_line = OUTER | {"placement": "on-centerline"}
    assert metal(plate=plate, bolt_circle=[on_line]) == [
        pytest.approx(each) for each in [(-150, -131), (-109, -50), (50, 109), (131, 150)]
    ]
    # Straddling, the centerline meets no hole: half a pitch is 22.5 degrees, 45.9 mm aside.
    assert 120 * math.sin(math.radians(22.5)) > 11
    assert metal(plate=plate, bolt_circle=[OUTER]) == [pytest.approx(each) for each in [(-150, -50), (50, 150)]]
    # What is reamed is turned in each way, but where the plane has metal all round: 120 + 5 is more than half of 245.
    pins = OUTER | {"kind": "dowel", "hole_diameter": 10}
    assert metal(plate=plate, bolt_circle=[pins]) == metal(
        plate=plate, bolt_circle=[pins | {"placement": "on-centerline"}]
    )
    low = plate | {"outline": "rectangle", "height": 245}
    assert metal(plate=low, bolt_circle=[pins]) == [pytest.approx(each) for each in [(-122.5, -50), (50, 122.5)]]


def test_what_is_turned_into_the_plane_of_a_square_plate_is_named() -> None:
    plate = {"outline": "square", "width": 300, "thickness": 40}
    straddling = TAPPED | {"depth": 15, "hole_count": 6}
    found = cut_area(plate=plate, bolt_circle=[straddling])
    assert found == pytest.approx(300 * 40 - 2 * BLIND, abs=0.1)
    items = layout_pages(make_job(plate=plate, bolt_circle=[straddling])).sheets[0].views[0].drawing.items
    said = [item.what.text for item in items if isinstance(item.what, Label)]
    assert said[said.index("TURNED INTO THE PLANE") - 1] == "HOLES 1, 3"


def cut_area(**tables: Any) -> float:  # noqa: ANN401 - tables of any kind
    """Area in square mm of the metal that the section shows cut, as shapely makes it out of the contours."""
    job = make_job(**tables)
    edge = job.flange.box().right
    shown = [
        [(part.start.x, part.start.y) for part in item.what.parts]
        for item in layout_pages(job).sheets[0].views[0].drawing.items
        if item.layer is Layer.OUTLINE and isinstance(item.what, Contour) and item.what.parts[0].start.x > edge
    ]
    return float(sum(shapely.Polygon(corners).area for corners in shown))


THICK = {"outside_diameter": 285, "thickness": 40}
TAPPED = {"diameter": 180, "hole_count": 4, "kind": "tapped", "thread": "M16"}
SUNK = {"diameter": 240, "hole_count": 4, "hole_diameter": 18, "kind": "countersunk", "seat_diameter": 36}
BORED = SUNK | {"kind": "counterbored", "seat_diameter": 28, "seat_depth": 12}
# What each takes out of a section 40 mm thick, by plane geometry: a drill of 14 mm for M16 (ISO 2306), three pitches
# of 2 mm deeper than the thread for the tap (common practice, no source), its point of 118 degrees a triangle 14 wide;
# a counterbore two rectangles; a 90 degree countersink a trapezoid above a rectangle.
BLIND = 14 * (15 + 6) + 14 * (7 / math.tan(math.radians(59))) / 2
LOST_BORED = 28 * 12 + 18 * 28
LOST_SUNK = (36 + 18) / 2 * 9 + 18 * 31


@pytest.mark.parametrize(
    ("circles", "lost"),
    first_of(
        [
            ([TAPPED | {"depth": 15}], 2 * BLIND),
            ([SUNK], 2 * LOST_SUNK),
            ([TAPPED | {"depth": 15}, BORED], 2 * (BLIND + LOST_BORED)),
            ([TAPPED], 2 * 14 * 40),
            ([BORED], 2 * LOST_BORED),
            ([BORED, TAPPED | {"depth": 15}], 2 * (BLIND + LOST_BORED)),
        ],
        3,
    ),
)
@pytest.mark.parametrize("convention", first_of(["ISO", "ASME"]))
def test_every_kind_of_hole_is_cut_as_it_is_made(circles: list[dict[str, Any]], lost: float, convention: str) -> None:
    found = cut_area(plate=THICK, bolt_circle=circles, sheet={"convention": convention})
    assert found == pytest.approx(285 * 40 - lost, abs=0.1)


@pytest.mark.parametrize(("depth", "drawn"), [(15, 15.0), (None, 40.0)])
def test_a_thread_is_drawn_as_deep_as_it_is_cut(depth: float | None, drawn: float) -> None:
    """Thin lines at the nominal diameter over the length of the thread (ISO 6410-1): M16 at 180, above and below."""
    job = make_job(plate=THICK, bolt_circle=[TAPPED | ({"depth": depth} if depth else {})])
    lines = [
        item.what
        for item in layout_pages(job).sheets[0].views[0].drawing.items
        if item.layer is Layer.DIMENSION and isinstance(item.what, Line) and item.source == Furniture("section")
    ]
    level = {round(line.start.y, 6): abs(line.end.x - line.start.x) for line in lines if line.start.y == line.end.y}
    assert level == {y: pytest.approx(drawn) for y in (-98.0, -82.0, 82.0, 98.0)}


@pytest.mark.parametrize("convention", ["ISO", "ASME"])
def test_the_named_face_is_the_one_that_a_thread_is_cut_from(convention: str) -> None:
    plate = THICK | {"face": "pump side"}
    job = make_job(plate=plate, bolt_circle=[TAPPED | {"depth": 15}], sheet={"convention": convention})
    items = layout_pages(job).sheets[0].views[0].drawing.items
    names = {item.what.text: item.what.at.x for item in items if isinstance(item.what, Label)}
    threads = [
        item.what
        for item in items
        if item.layer is Layer.DIMENSION and isinstance(item.what, Line) and item.source == Furniture("section")
    ]
    middles = {round((line.start.x + line.end.x) / 2, 6) for line in threads if line.start.y == line.end.y}
    assert len(middles) == 1
    assert abs(names["PUMP SIDE"] - min(middles)) < abs(names["BACK"] - min(middles))


def test_holes_of_a_square_plate_are_cut_as_they_are_made() -> None:
    plate = {"outline": "square", "width": 300, "thickness": 40}
    on_line = {"placement": "on-centerline"}
    found = cut_area(plate=plate, bolt_circle=[TAPPED | on_line | {"depth": 15}, BORED | on_line])
    assert found == pytest.approx(300 * 40 - 2 * BLIND - 2 * LOST_BORED, abs=0.1)


def test_a_recess_beside_the_raised_face_is_as_deep_below_its_own_surface() -> None:
    plate = THICK | {"raised_face_diameter": 150, "raised_face_height": 3}
    whole = 285 * 37 + 150 * 3
    assert cut_area(plate=plate, bolt_circle=[BORED]) == pytest.approx(whole - 2 * (LOST_BORED - 18 * 3), abs=0.1)


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
def test_the_name_of_a_face_stands_beside_it_and_off_the_lines_of_sizes(paper: str) -> None:
    """Nearer than a millimeter a name is read with the line (common practice, no source)."""
    circles = [
        {"diameter": 8.25, "hole_count": 7, "hole_diameter": 0.9375, "start_angle": 13.3},
        {"diameter": 5.5, "hole_count": 4, "hole_diameter": 0.5625},
    ]
    plate = {"outside_diameter": 10, "bore": 3.5, "thickness": 0.75, "face": "gasket face"}
    job = make_job(units="in", plate=plate, bolt_circle=circles, sheet={"paper": paper, "convention": "ASME"})
    sheets = layout_pages(job)
    page = printed_pages(write_pdf(sheets))[0]
    long_lines = [each for each in page.strokes if shapely.get_num_points(each) == 2 and each.length > 15]
    view = sheets.sheets[0].views[0]
    high = 10 * 25.4 * view.scale / 2
    for name in (job.flange.face.upper(), "BACK"):
        (room,) = (room for text, room in zip(page.texts, page.rooms, strict=True) if text.words == name)
        assert min(shapely.distance(room, long_lines)) > 1.0
        assert view.at_paper.y - high < room.centroid.y < view.at_paper.y + high


ASME = {"paper": "Letter", "convention": "ASME"}
RAISED = {"outside_diameter": 285, "bore": 170.5, "thickness": 22}
RAISED |= {"raised_face_diameter": 212, "raised_face_height": 3}


@every_row(("paper", "diameter"), [("A4", 295), ("Letter", 285)])
def test_a_face_whose_name_stands_off_it_is_pointed_at(paper: str, diameter: float) -> None:
    """The tip of the arrow lies on the outermost plane, which the raised face is, no farther out than that."""
    plate = RAISED | {"outside_diameter": diameter}
    job = make_job(plate=plate, bolt_circle=[OUTER], sheet={"paper": paper})
    items = layout_pages(job).sheets[0].views[0].drawing.items
    (name,) = (each.what for each in items if isinstance(each.what, Label) and each.what.text == "GASKET FACE")
    (arrow,) = (each.what for each in items if each.source == Furniture("face") and isinstance(each.what, Line))
    cut = [each.what for each in items if each.layer is Layer.OUTLINE and isinstance(each.what, Contour)]
    metal_x = [part.start.x for each in cut for part in each.parts if part.start.x > diameter / 2]
    ends = sorted((arrow.start, arrow.end), key=lambda end: end.distance_to(name.at))
    tip = ends[-1]
    assert min(abs(tip.x - max(metal_x)), abs(tip.x - min(metal_x))) < 1e-6
    assert abs(tip.y) < 106.0
    assert tip.distance_to(name.at) < name.at.distance_to(ORIGIN)


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
def test_the_name_of_a_face_stands_beside_the_section_not_in_the_view_of_a_large_ring(paper: str) -> None:
    """Numbers beyond the rim stand between the two; in the bore it would be read as a name of that."""
    circle = {"diameter": "67 1/2", "hole_count": 44, "hole_diameter": "1 5/8"}
    plate = {"outside_diameter": 72, "bore": 60, "thickness": "1 1/2"}
    job = make_job(units="in", plate=plate, bolt_circle=[circle], sheet={"paper": paper})
    items = layout_pages(job).sheets[0].views[0].drawing.items
    named = [item.what for item in items if item.source == Furniture("face")]
    assert {each.text for each in named if isinstance(each, Label)} == {"FRONT FACE", "BACK"}
    points = [each.at for each in named if isinstance(each, Label)]
    points += [end for each in named if isinstance(each, Line) for end in (each.start, each.end)]
    assert min(ORIGIN.distance_to(point) for point in points) > job.flange.box().right


def test_words_beside_the_section_cost_no_step_of_scale() -> None:
    """13 1/2 in with the bore there, and 340 mm with a chamfer: as large as their like without (ISO 5455: 1:2.5)."""
    plate = {"outside_diameter": 13.5, "bore": 6, "bore_cut": True, "thickness": 1.25}
    circle = {"diameter": 11, "hole_count": 6, "bolt": "3/4"}
    inches = layout_pages(make_job(units="in", plate=plate, bolt_circle=[circle], sheet=ASME)).sheets[0].views[0]
    assert inches.scale == 0.4
    (size,) = (
        each.what
        for each in inches.drawing.items
        if isinstance(each.what, LinearDimension) and "BORE" in each.what.text
    )
    lines = [part for part in explode(size, inches.scale) if isinstance(part, Label)]
    assert [line.text for line in lines] == ["⌀6.000", "BORE,", "EXISTING"]
    assert lines[0].at.y > lines[1].at.y > lines[2].at.y
    assert dimension_text(size.said, DxfVersion.R2010) == r"%%c<>\PBORE,\PEXISTING"
    chamfered = {"outside_diameter": 340, "bore": 150, "thickness": 20, "bore_chamfer": 2}
    chamfered |= {"raised_face_diameter": 220, "raised_face_height": 3}
    circle = {"diameter": 290, "hole_count": 12, "hole_diameter": 22, "skip": [3, 7], "start_angle": -4}
    job = make_job(plate=chamfered, bolt_circle=[circle], sheet={"paper": "A4"})
    assert layout_pages(job).sheets[0].views[0].scale == 0.4


def test_two_diameters_beside_each_other_are_not_read_as_one() -> None:
    # Texts on one line of an ASME sheet: a gap of less than a capital is read as a space of one text (common practice).
    plate = {"outside_diameter": 11, "bore": 6.719, "thickness": 1}
    plate |= {"raised_face_diameter": 8.5, "raised_face_height": 0.0625}
    circle = {"diameter": 9.5, "hole_count": 8, "hole_diameter": 0.875}
    page = printed_pages(write_pdf(layout_pages(make_job(units="in", plate=plate, bolt_circle=[circle], sheet=ASME))))[
        0
    ]
    bore, face = (
        room for text, room in zip(page.texts, page.rooms, strict=True) if text.words.endswith(("BORE", "R.F."))
    )
    assert shapely.distance(bore, face) > 1.8


@every_row("paper", ["A4", "Letter"])
def test_words_of_what_is_turned_and_of_the_section_are_not_read_together(paper: str) -> None:
    """Blocks of words stand farther apart than the lines within one, and not on a line with each other's."""
    turned = [
        {"kind": "raised face", "diameter": 212, "height": 3},
        {"kind": "groove", "diameter": 170, "width": 6, "depth": 4},
        {"kind": "spigot", "face": "back", "diameter": 140, "height": 5, "fit": "f7"},
    ]
    plate = {"outside_diameter": 320, "bore": 90, "thickness": 45}
    circle = {"diameter": 270, "hole_count": 8, "hole_diameter": 22}
    job = make_job(plate=plate, bolt_circle=[circle], turned=turned, sheet={"paper": paper, "parts": []})
    page = printed_pages(write_pdf(layout_pages(job)))[0]
    words = [text.words for text in page.texts]
    firsts = [each for each in words if each.startswith(("GROOVE", "RAISED FACE", "SPIGOT"))]
    assert len(firsts) == 3
    for first in (page.rooms[words.index(each)] for each in firsts):
        own = (room for room in page.rooms if abs(room.bounds[0] - first.bounds[0]) < 0.5)
        above = [room.bounds[1] - first.bounds[3] for room in own if room.bounds[1] > first.bounds[1] + 0.1]
        assert min(above, default=9.0) > 2.0
    left, low, right, high = page.rooms[words.index("HOLES 1, 4")].bounds
    line = shapely.box(left - 6.0, low, right + 6.0, high)
    assert sum(room.intersects(line) for room in page.rooms) == 1


def test_the_name_of_the_section_stands_beside_a_line_under_it_not_far_below() -> None:
    """It costs the sheet no row of words: a size's line under the middle is passed by."""
    circle = {"diameter": 430, "angles": [5, 47, 90, 133, 171, 200, 251, 290, 333], "hole_diameter": 22}
    plate = {"outside_diameter": 500, "bore": 300, "thickness": 30}
    first, *further = layout_pages(make_job(plate=plate, bolt_circle=[circle], sheet=ASME)).sheets
    (view,) = first.views
    names = (item.what for item in view.drawing.items if isinstance(item.what, Label))
    (name,) = (each for each in names if each.text == "SECTION A-A")
    assert -250 * view.scale - name.at.y * view.scale < 12.0
    assert len(further) == 1


SEGMENT = {"outline": "segment", "outside_diameter": 1200, "inside_diameter": 1000, "part_count": 4, "thickness": 20}
WHOLE_RING = {"diameter": 1120, "hole_count": 32, "hole_diameter": 26}


@pytest.mark.slow
def test_a_segment_of_a_ring_is_cut_along_the_ray_of_a_hole_near_its_middle() -> None:
    ends = [(500, 547), (573, 600)]
    assert metal(plate=SEGMENT, bolt_circle=[WHOLE_RING]) == [pytest.approx(each) for each in ends]
    job = make_job(plate=SEGMENT, bolt_circle=[WHOLE_RING])
    items = layout_pages(job).sheets[0].views[0].drawing.items
    said = [item.what.text for item in items if isinstance(item.what, Label)]
    # 32 holes that straddle TOP: the fourth is 3.5 pitches from it.
    (line,) = (text for text in said if text.startswith("TURNED"))
    assert line == f"TURNED {3.5 * 360 / 32:g}° CW"
    plane = [item.what for item in items if item.layer is Layer.CUTTING_PLANE]
    assert len(plane) == 2
    for end in (point for each in plane if isinstance(each, Line) for point in (each.start, each.end)):
        assert math.degrees(math.atan2(end.y, end.x)) == pytest.approx(90 + 3.5 * 360 / 32)
        assert not 500 < ORIGIN.distance_to(end) < 600
    below = [(-high, -low) for low, high in reversed(ends)]
    lower = SEGMENT | {"first_joint_angle": 180}
    assert metal(plate=lower, bolt_circle=[WHOLE_RING]) == [pytest.approx(each) for each in below]


@pytest.mark.slow
def test_a_hole_of_a_segment_beside_the_ray_is_turned_into_it() -> None:
    inner = {"diameter": 1040, "hole_count": 40, "hole_diameter": 10}
    ends = [(500, 515), (525, 547), (573, 600)]
    assert metal(plate=SEGMENT, bolt_circle=[WHOLE_RING, inner]) == [pytest.approx(each) for each in ends]
    items = layout_pages(make_job(plate=SEGMENT, bolt_circle=[WHOLE_RING, inner])).sheets[0].views[0].drawing.items
    said = [item.what.text for item in items if isinstance(item.what, Label)]
    # The ray is that of B5, 4.5 degrees from the middle; A4 is 5.625 from it.
    assert said[said.index("TURNED INTO THE PLANE") - 1] == "A4"
