"""Sector, strips, roll paper and flipped tiles: what comes out of the file, measured."""

import math
import re
from io import BytesIO
from itertools import product
from typing import Any

import numpy as np
import pdfplumber
import pypdfium2
import pytest
from numpy.typing import NDArray

from builders import STAMP
from flangelayout.drawing.choices import TemplateStyle
from flangelayout.drawing.explode import Primitive, exploded, primitive_box
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import Label, Sheet, SheetSet
from flangelayout.drawing.references import Furniture, HoleRef
from flangelayout.drawing.settings import TemplateSettings
from flangelayout.drawing.textwidth import label_box
from flangelayout.errors import GeometryError, InputError, OutputError, Problem
from flangelayout.flange import Drilling, Flange, RectangleOutline, SingleHole
from flangelayout.flange.sector import repeats, sector, sector_problem, start_ray, strip_problem
from flangelayout.geometry.shapes import ORIGIN, Circle, Contour, Line, Point, box_around, extent
from flangelayout.job import Job
from flangelayout.job.load import job_from_data
from flangelayout.packet.job import Part, build_packet, face_template
from flangelayout.problems.flange import FlangeProblem
from flangelayout.units import Unit
from flangelayout.views.page.flip import upside_down
from flangelayout.views.template.pages import FaceTemplate, one_sheet_template, template_sheets
from flangelayout.writers.pdf import write_pdf
from jobs import bolt_circle, flange, job_data, make_job
from readers import MM_PER_POINT, pdf_circles, pdf_text
from rows import every_row, first_of
from views.tile_pages import tiles_of

Floats = NDArray[np.float64]

RING = {
    "plate": {"outside_diameter": 1950, "bore": 1650},
    "bolt_circle": [{"diameter": 1800, "hole_count": 64, "hole_diameter": 30}],
}


def job_for(style: str, **tables: Any) -> Job:  # noqa: ANN401 - tables of a job
    template = {"style": style} | tables.pop("template", {})
    return make_job(**{"template": template, **tables})


def printed(job: Job) -> tuple[str, bytes]:
    packet = build_packet(job, (Part.TEMPLATE,))
    ((name, content),) = [(name, content) for name, content in packet.items() if name.endswith(".pdf")]
    return name, content


def pages(job: Job) -> SheetSet:
    settings = job.template
    layout = TemplateSettings(settings.paper, settings.overlap, settings.margin, settings.style)
    return template_sheets(face_template(job), layout)


def refused(**tables: Any) -> str:  # noqa: ANN401 - tables of a job
    with pytest.raises(InputError) as wrong:
        job_from_data(job_data(**tables))
    return str(wrong.value)


# The sector.


def index_marks(data: bytes, page: int = 1) -> dict[str, Floats]:
    """Middles of the four squares of a page in mm, named by where they stand: R right, L left, 1 outer, 2 inner."""
    with pdfplumber.open(BytesIO(data)) as document:
        shown = document.pages[page]
        height = float(shown.height)
        sides = [[float(each[key]) * MM_PER_POINT for key in ("x0", "x1", "top", "bottom")] for each in shown.rects]
    squares = [each for each in sides if abs(each[1] - each[0] - 5.2) < 0.01 and abs(each[3] - each[2] - 5.2) < 0.01]
    found = [np.array([(x0 + x1) / 2, height * MM_PER_POINT - (top + low) / 2]) for x0, x1, top, low in squares]
    assert len(found) == 4
    outer, inner = sorted(found, key=lambda at: -at[1])[:2], sorted(found, key=lambda at: -at[1])[2:]
    marks: dict[str, Floats] = {}
    for rank, pair in (("1", outer), ("2", inner)):
        left, right = sorted(pair, key=lambda at: float(at[0]))
        marks |= {f"R{rank}": right, f"L{rank}": left}
    return marks


def step_of(marks: dict[str, Floats]) -> tuple[Floats, Floats]:
    """The rigid move, as matrix and shift, that seats R1 and R2 on L1 and L2."""
    before, after = (marks[f"{ray}1"] - marks[f"{ray}2"] for ray in "RL")
    turn = math.atan2(after[1], after[0]) - math.atan2(before[1], before[0])
    matrix = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
    middle = [(marks[f"{ray}1"] + marks[f"{ray}2"]) / 2 for ray in "RL"]
    return matrix, middle[1] - matrix @ middle[0]


def stepped(data: bytes, hole_radius: float, steps: int) -> Floats:
    """Hole centers of a sector page, stepped round by its own marks: shape (steps + 1, holes, 2)."""
    matrix, shift = step_of(index_marks(data))
    circles = [circle for circle in pdf_circles(data, 1) if abs(circle.radius - hole_radius) < 0.001]
    rounds = [np.array([(circle.x, circle.y) for circle in circles])]
    for _ in range(steps):
        rounds.append(rounds[-1] @ matrix.T + shift)
    return np.array(rounds)


@pytest.mark.parametrize("paper", first_of(["A4", "Letter", "A3"]))
def test_a_ring_of_64_holes_closes_when_it_is_stepped_by_its_marks(paper: str) -> None:
    job = job_for("sector", template={"paper": paper}, **RING)
    name, data = printed(job)
    assert name.endswith(f"_template_{paper}_sector.pdf")
    circles = [circle for circle in pdf_circles(data, 1) if abs(circle.radius - 15.0) < 0.001]
    assert 64 % len(circles) == 0
    rounds = stepped(data, 15.0, 64 // len(circles))
    closing = np.hypot(*(rounds[-1] - rounds[0]).T)
    assert closing.max() < 0.2
    drilled = rounds[:-1].reshape(-1, 2)
    middle = drilled.mean(axis=0)
    away = np.hypot(*(drilled - middle).T)
    assert np.abs(away - 900.0).max() < 0.05
    turns = np.sort(np.degrees(np.arctan2(*(drilled - middle).T)))
    assert np.abs(np.diff(turns) - 360 / 64).max() < 0.01


def test_marks_that_are_off_do_not_close_unseen() -> None:
    _, data = printed(job_for("sector", **RING))
    marks = index_marks(data)
    marks["L1"] = marks["L1"] + np.array([0.05, 0.0])
    matrix, shift = step_of(marks)
    at = np.array([0.0, 900.0])
    for _ in range(64):
        at = matrix @ at + shift
    assert np.hypot(*(at - np.array([0.0, 900.0]))) > 0.2


def test_the_chords_to_step_by_are_printed_as_they_are() -> None:
    _, data = printed(job_for("sector", **RING))
    marks = index_marks(data)
    text = " ".join(pdf_text(data, 1))
    for rank in "12":
        chord = float(np.hypot(*(marks[f"R{rank}"] - marks[f"L{rank}"])))
        assert f"R{rank}-L{rank} {chord:.2f}" in text
    cover = " ".join(pdf_text(data, 0))
    assert f"{1800 * math.sin(math.pi / 64):.2f}" in cover
    assert "ray R on the top end of the vertical centerline" in cover


def test_what_is_said_of_the_steps_round_is_true_of_the_holes_on_the_page() -> None:
    job = job_for("sector", **RING)
    _, data = printed(job)
    shown = sum(abs(circle.radius - 15.0) < 0.001 for circle in pdf_circles(data, 1))
    count, marks = 64 // shown, index_marks(data)
    page, cover = (" ".join(pdf_text(data, number)) for number in (1, 0))
    assert f"SECTOR 1 of {count}: step it {count - 1} times COUNTER-CLOCKWISE" in page
    assert f"HOLE NUMBERS OF THE NEXT SECTOR: +{shown}." in page
    assert f"1/{count} OF THE ROUND" in cover
    # A chord over a quarter and over half of the round, from the radius that the chord of one step has.
    radius = float(np.hypot(*(marks["R1"] - marks["L1"]))) / 2 / math.sin(math.pi / count)
    for share, name in ((4, "a quarter round"), (2, "half round")):
        chord = 2 * radius * math.sin(math.pi / share)
        assert f"R1-L1 over {count // share} steps, {name} {chord:.2f}" in cover
    drawn = [item for view in pages(job).sheets[1].views for item in view.drawing.items]
    named = {item.what.text: item.what.at for item in drawn if isinstance(item.what, Label)}
    assert named["R1"].x > 0 > named["L1"].x
    assert named["R1"].y > named["R2"].y


def test_a_first_ray_off_the_top_is_told_to_its_side_with_its_chord_on_the_rim() -> None:
    circle = RING["bolt_circle"][0] | {"start_angle": 2}  # type: ignore[index]
    cover = " ".join(pdf_text(printed(job_for("sector", **{**RING, "bolt_circle": [circle]}))[1], 0))
    # Straddling holes turned by 2 degrees counter-clockwise: so is the middle between them; 2 x 975 sin 1 degree.
    assert "ray R 2° counter-clockwise of the top end of the vertical centerline, 34.03 mm from it on the rim" in cover


def test_a_mark_to_step_by_is_named_as_no_hole_and_is_no_diamond_and_no_seam_runs_through_the_words_of_a_hole() -> None:
    circles = [
        {"diameter": 700, "hole_count": 24, "hole_diameter": 26},
        {"diameter": 540, "hole_count": 12, "kind": "tapped", "thread": "M16", "depth": 20},
        {"diameter": 380, "hole_count": 12, "hole_diameter": 13.5, "start_angle": 7},
    ]
    plate = {"outside_diameter": 760, "bore": 300, "thickness": 25}
    job = job_for("sector", plate=plate, bolt_circle=circles, template={"paper": "Letter"})
    drawings = [view.drawing for sheet in tiles_of(pages(job)) for view in sheet.views]
    items = [item for drawing in drawings for item in drawing.items]
    holes = {item.source.label for item in items if isinstance(item.source, HoleRef)}
    index = [item for item in items if isinstance(item.source, Furniture) and item.source.name.startswith("index ")]
    names = {item.what.text for item in index if isinstance(item.what, Label)}
    assert names == {"R1", "R2", "L1", "L2"}
    assert not names & holes
    seams = [item.what for item in items if item.source in (Furniture("cut line"), Furniture("keep line"))]
    words = [
        label_box(item.what) for item in items if isinstance(item.source, HoleRef) and isinstance(item.what, Label)
    ]
    for seam in seams:
        assert isinstance(seam, Line)
        line = box_around((seam.start, seam.end)).grown(0.1)
        assert not [box for box in words if box.overlaps(line)]


def test_a_sector_of_an_inch_job_tells_its_holes_in_inches() -> None:
    circle = {"diameter": 10, "hole_count": 8, "hole_diameter": 0.875}
    job = job_for("sector", units="in", plate={"outside_diameter": 12, "bore": 8}, bolt_circle=[circle])
    words = " ".join(pdf_text(printed(job)[1], 1))
    assert "7/8" in words
    assert "22.2" not in words


def test_two_circles_share_the_greatest_sector_that_both_repeat_in() -> None:
    ring = flange(bolt_circle(24, 900.0, 26.0), bolt_circle(16, 700.0, 22.0), outside_diameter=1000.0, bore=500.0)
    assert repeats(ring) == 8
    piece = sector(ring, start_ray(ring, 45.0), 45.0)
    assert len(piece.holes) == 5
    assert all(45.0 < hole.angle < 135.0 for hole in piece.holes)


@every_row(("turn", "placement"), product([0.0, 7.3], ["straddle", "on-centerline"]))
def test_the_first_sector_begins_before_the_first_hole_after_the_top(placement: str, turn: float) -> None:
    ring = flange(
        bolt_circle(20, 900.0, 26.0, placement=placement, start_angle=turn), outside_diameter=1000.0, bore=700.0
    )
    piece = sector(ring, start_ray(ring, 18.0), 18.0)
    assert abs(piece.start_deg - 90.0) <= 9.0 + 1e-9
    (hole,) = piece.holes
    assert hole.angle == pytest.approx(90.0)


@every_row(
    ("tables", "said"),
    [
        ({"plate": {"outline": "rectangle", "width": 300, "height": 300}}, "round"),
        ({"hole": [{"diameter": 10, "x": 0, "y": 100}]}, "single holes"),
        ({"bolt_circle": [{"diameter": 240, "hole_count": 8, "hole_diameter": 22, "skip": [3]}]}, "equally spaced"),
        ({"template": {"paper": "roll", "style": "sector"}}, "cut paper"),
        ({"template": {"style": "fan"}}, "style"),
        ({"template": {"flip_tiles": "yes"}}, "true or false"),
        ({"template": {"roll_width": 20}}, "200 to 5000"),
        ({"template": {"printer": ""}}, "empty"),
    ],
)
def test_what_has_no_sector_is_told(tables: dict[str, Any], said: str) -> None:
    assert said in refused(**{"template": {"style": "sector"}, **tables})


def test_prime_and_single_circles_have_no_sector_and_blinds_no_strips() -> None:
    several = sector_problem(flange(bolt_circle(7, 240.0), bolt_circle(4, 150.0, 10.0)))
    assert several is not None
    assert several.text == "7 and 4 holes have no sector that repeats"
    assert sector_problem(flange(bolt_circle(8))) is None
    blind, square = flange(), Flange(RectangleOutline(300.0, 300.0), (bolt_circle(),), bore=100.0)
    assert strip_problem(blind) == Problem("", FlangeProblem.STRIPS_WITHOUT_BORE)
    assert strip_problem(square) == Problem("", FlangeProblem.RING_NOT_ROUND)
    single = flange(single_holes=(SingleHole(Point(50.0, 0.0), Drilling(10.0)),))
    with pytest.raises(GeometryError, match="single holes"):
        template_sheets(FaceTemplate.of(single, JobInfo("T-1"), STAMP, Unit.MM), sector_layout())


def sector_layout() -> TemplateSettings:
    return TemplateSettings("A4", style=TemplateStyle.SECTOR)


# Strips.


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_strips_carry_every_hole_once_at_its_size(paper: str) -> None:
    ring = {
        "plate": {"outside_diameter": 700, "bore": 500},
        "bolt_circle": [{"diameter": 620, "hole_count": 20, "hole_diameter": 30}],
    }
    job = job_for("strips", template={"paper": paper}, **ring)
    name, data = printed(job)
    assert name.endswith(f"_template_{paper}_strips.pdf")
    count = len(pages(job).sheets)
    circles = [circle for page in range(1, count) for circle in pdf_circles(data, page)]
    assert sum(abs(circle.radius - 15.0) < 0.001 for circle in circles) == 20
    labels = [
        item.what.text
        for sheet in pages(job).sheets[1:]
        for view in sheet.views
        for item in view.drawing.items
        if isinstance(item.source, HoleRef) and isinstance(item.what, Label)
    ]
    numbers, sizes = [text for text in labels if text.isdigit()], [text for text in labels if not text.isdigit()]
    assert sorted(numbers, key=int) == [str(number) for number in range(1, 21)]
    assert sizes == ["⌀30"] * 20


def test_distances_from_the_bore_edge_stand_on_the_rays() -> None:
    job = job_for("strips")
    _, data = printed(job)
    figures = {
        item.what.text
        for sheet in pages(job).sheets[1:]
        for view in sheet.views
        for item in view.drawing.items
        if item.source == Furniture("distance") and isinstance(item.what, Label)
    }
    assert "35.00" in figures
    assert figures <= {"35.00", "22.50"}
    cover = " ".join(pdf_text(data, 0))
    assert "TO BORE EDGE" in cover
    assert "22.50" in cover


def test_strips_tell_which_they_are_and_what_their_rays_measure_and_meet_between_holes() -> None:
    circle = {"diameter": 620, "hole_count": 20, "hole_diameter": 30}
    job = job_for("strips", plate={"outside_diameter": 700, "bore": 500}, bolt_circle=[circle])
    cover, *sheets = pages(job).sheets
    texts = [item.what.text for item in cover.furniture if isinstance(item.what, Label)]
    assert texts[texts.index("TO RIM") + 2 :][:3] == ["all", "60.00", "40.00"]
    strips = [view.drawing for sheet in sheets for view in sheet.views if view.drawing.title.startswith("strip ")]
    titles = [item.what.text for sheet in sheets for item in sheet.furniture if isinstance(item.what, Label)]
    titles = [text for text in titles if text.startswith("STRIP ")]
    between: list[float] = []
    for number, (strip, title) in enumerate(zip(strips, titles, strict=True), 1):
        holes = {
            item.source.label: item.what.center
            for item in strip.items
            if isinstance(item.source, HoleRef) and isinstance(item.what, Circle) and item.what.radius == 15.0
        }
        order = sorted(holes, key=lambda label: -holes[label].x)
        told = f"HOLE {order[0]}" if len(order) == 1 else f"HOLES {order[0]}-{order[-1]}, from right to left"
        assert title == f"STRIP {number} of {len(strips)}: {told}"
        figures = [item.what for item in strip.items if item.source == Furniture("distance")]
        for label in (what for what in figures if isinstance(what, Label)):
            assert label.text == ("60.00" if ORIGIN.distance_to(label.at) < 310 else "40.00")
            ray = min(
                (ORIGIN.direction_to(hole) for hole in holes.values()), key=lambda ray: abs(ray - label.rotation_deg)
            )
            off = math.radians(ORIGIN.direction_to(label.at) - ray)
            # All are read from the right, along their ray, and stand 1 mm off it and more.
            assert label.rotation_deg == pytest.approx(ray)
            assert ORIGIN.distance_to(label.at) * abs(math.sin(off)) >= label.height_paper / 2 + 1.0
        trims = [item.what for item in strip.items if item.source == Furniture("trim line")]
        cuts = sorted(ORIGIN.direction_to(what.end) for what in trims if isinstance(what, Line))
        starts = sorted(ORIGIN.direction_to(what.start) for what in trims if isinstance(what, Line))
        assert cuts == pytest.approx(starts)
        ends = [ORIGIN.direction_to(holes[label]) for label in (order[0], order[-1])]
        between += [ends[0] - cuts[0], cuts[1] - ends[1]]
    assert len(between) == 2 * len(strips) > 4
    # Every seam stands 3.5 mm and more from the holes of 30 beside it, and what is left of two strips is a pitch.
    beside_seams = zip(between[1::2], (*between[2::2], between[0]), strict=True)
    assert all(left + right == pytest.approx(360 / 20) for left, right in beside_seams)
    assert min(between) > math.degrees(math.asin((15.0 + 3.5) / 310.0)) - 1e-6


def test_the_diamonds_of_a_strip_close_on_those_of_the_same_name_on_the_next() -> None:
    circles = [{"diameter": wide, "hole_count": 20, "hole_diameter": 20} for wide in (560, 640)]
    job = job_for("strips", plate={"outside_diameter": 700, "bore": 500}, bolt_circle=circles)
    sheets = pages(job).sheets[1:]
    strips = [view.drawing for sheet in sheets for view in sheet.views if view.drawing.title.startswith("strip ")]
    ends: list[list[list[str]]] = []
    for strip in strips:
        own = [item.what for item in strip.items if item.source == Furniture("join mark")]
        diamonds = [what for what in own if isinstance(what, Contour)]
        names = [what for what in own if isinstance(what, Label)]
        # The left end, then the right one, each from the bore outward; a name stands nearest to its own diamond.
        middles = {round(extent(what).center.x, 6): extent(what).center for what in diamonds}
        nearest = {label.text: min(middles.values(), key=label.at.distance_to) for label in names}
        assert len({*nearest.values()}) == len(diamonds) == len(names) == 4
        sides = [[text for text, at in nearest.items() if (at.x < 0) is left] for left in (True, False)]
        ends.append([sorted(side, key=lambda text: ORIGIN.distance_to(nearest[text])) for side in sides])
        # 640 and 560 mm across: the diamonds lie on the bolt circles.
        assert sorted(round(ORIGIN.distance_to(at)) for at in nearest.values()) == [280, 280, 320, 320]
    assert all(left == right for (left, _), (_, right) in zip(ends, (*ends[1:], ends[0]), strict=True))
    assert len({text for left, _ in ends for text in left}) == 2 * len(strips)


def test_holes_of_one_strip_are_a_chord_apart() -> None:
    job = job_for("strips", template={"paper": "A3"}, **RING)
    _, data = printed(job)
    holes = sorted(circle.x for circle in pdf_circles(data, 1) if abs(circle.radius - 15.0) < 0.001)
    centers = [(circle.x, circle.y) for circle in pdf_circles(data, 1) if abs(circle.radius - 15.0) < 0.001]
    assert len(holes) > 1
    nearest = min(math.dist(one, other) for one in centers for other in centers if one != other)
    assert nearest == pytest.approx(1800 * math.sin(math.pi / 64), abs=0.001)


def test_a_blind_has_no_strips() -> None:
    assert "already cut" in refused(plate={"outside_diameter": 285}, template={"style": "strips"})


# Roll paper and one sheet.


def test_a_roll_is_as_wide_as_it_is_and_as_long_as_the_plate_needs() -> None:
    job = make_job(plate={"outside_diameter": 560, "bore": 150}, template={"paper": "roll", "margin": 12})
    name, data = printed(job)
    assert name.endswith("_template_roll.pdf")
    with pypdfium2.PdfDocument(data) as document:
        assert len(document) == 1
        width, height = (side * MM_PER_POINT for side in document[0].get_size())
    assert width == pytest.approx(610.0, abs=1e-3)
    assert 561 < height < 640


def test_a_plate_wider_than_the_roll_is_laid_side_by_side() -> None:
    job = make_job(plate={"outside_diameter": 1110, "bore": 150}, template={"paper": "roll", "roll_width": 600})
    _, data = printed(job)
    with pypdfium2.PdfDocument(data) as document:
        sizes = {tuple(round(side * MM_PER_POINT, 2) for side in page.get_size()) for page in document}
        assert len(document) == 2
    ((width, height),) = sizes
    assert width == 600.0
    assert height > 1110


@pytest.mark.slow
def test_a_roll_longer_than_a_pdf_page_is_refused_with_the_reason() -> None:
    job = make_job(plate={"outside_diameter": 5200, "bore": 150}, template={"paper": "roll"})
    with pytest.raises(OutputError, match="14400 pt"):
        printed(job)


# Flipped tiles.


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_every_other_tile_is_printed_upside_down_in_its_place(paper: str) -> None:
    """Read back from the file: a hole of an upside-down tile stands half a turn from where its plate has it."""
    job = make_job(plate={"outside_diameter": 500, "bore": 200})
    layout = TemplateSettings(paper, flip_tiles=True)
    sheets = template_sheets(face_template(job), layout)
    data = write_pdf(sheets)
    models = {(round(hole.center.x, 2), round(hole.center.y, 2)) for hole in job.flange.holes()}
    seen: dict[bool, int] = {False: 0, True: 0}
    for page, sheet in enumerate(sheets.sheets[1:], 1):
        over = "PRINTED UPRIGHT" not in " ".join(pdf_text(data, page))
        sign, at = -1.0 if over else 1.0, sheet.views[0].at_paper
        circles = [circle for circle in pdf_circles(data, page) if abs(circle.radius - 11.0) < 0.001]
        found = {
            (round(sign * (circle.x - at.x), 2) + 0.0, round(sign * (circle.y - at.y), 2) + 0.0) for circle in circles
        }
        assert found <= models
        seen[over] += 1
    assert seen[True] > 0
    assert abs(seen[True] - seen[False]) <= 2


def test_a_page_turned_twice_is_the_page() -> None:
    job = make_job(plate={"outside_diameter": 500, "bore": 200})
    sheets = template_sheets(face_template(job), TemplateSettings("A4"))
    for sheet in sheets.sheets[1:3]:
        twice = upside_down(upside_down(sheet, {}), {})
        plain = Sheet(sheet.paper, sheet.views, sheet.furniture, sheet.name)
        assert [view.at_paper for view in twice.views] == [view.at_paper for view in plain.views]
        assert [view.clip_paper for view in twice.views] == [view.clip_paper for view in plain.views]
        before = [primitive for _, primitive in exploded(sheet.views[0].drawing.items, 1.0)]
        after = [primitive for _, primitive in exploded(twice.views[0].drawing.items, 1.0)]
        assert [extent_of(what) for what in before] == [extent_of(what) for what in after]


def test_texts_of_an_upside_down_page_stand_on_their_heads() -> None:
    job = make_job(plate={"outside_diameter": 500, "bore": 200})
    sheets = template_sheets(face_template(job), TemplateSettings("A4", flip_tiles=True))
    turns = [
        {round(item.what.rotation_deg) % 360 for item in sheet.furniture if isinstance(item.what, Label)}
        for sheet in sheets.sheets[1:]
    ]
    assert {frozenset(each) for each in turns} == {frozenset({0}), frozenset({180})}
    places = [tuple(map(int, re.findall(r"\d+", sheet.name))) for sheet in sheets.sheets[1:]]
    upright = {place: turn == {0} for place, turn in zip(places, turns, strict=True)}
    # The first tile, to which all others are laid, is upright, and the neighbors of a tile are turned the other way.
    assert upright[1, 1]
    for (row, column), way in upright.items():
        beside = [place for place in ((row, column + 1), (row + 1, column)) if place in upright]
        assert all(upright[place] is not way for place in beside)


def extent_of(what: Primitive) -> tuple[float, ...]:
    box = primitive_box(what)
    return tuple(round(side, 6) + 0.0 for side in (box.left, box.bottom, box.right, box.top))


def test_a_sector_shows_as_many_holes_as_a_page_has_room_for() -> None:
    """Two pitches of forty on a rim of 1560 are 2 x 780 sin 9 = 244 mm; A4 on its side is 297 wide."""
    circle = {"diameter": 1460, "hole_count": 40, "hole_diameter": 26}
    job = make_job(plate={"outside_diameter": 1560, "bore": 1360}, bolt_circle=[circle])
    sheets = template_sheets(face_template(job), TemplateSettings("A4", style=TemplateStyle.SECTOR))
    assert len(sheets.sheets) <= 3
    assert any("1/20 OF THE ROUND" in text for text in pdf_text(write_pdf(sheets)))


def test_a_template_on_one_sheet_tells_the_chords_to_be_measured_on_the_plate_each_whole_on_a_line() -> None:
    circles = [{"diameter": wide, "hole_count": 8, "hole_diameter": 18} for wide in (295, 180, 130)]
    job = make_job(plate={"outside_diameter": 340, "bore": 100}, bolt_circle=circles, tolerances={"chord": 0.5})
    chords = [line for line in pdf_text(write_pdf(one_sheet_template(face_template(job)))) if "(accept" in line]
    # 295 sin 22.5 and 180 sin 22.5 between neighbors.
    assert "A next 112.89" in " ".join(chords)
    assert "B next 68.88" in " ".join(chords)
    assert all(re.fullmatch(r"(.*: )?([ABC] \w+.*?\(accept .*?\), read _+;? ?)+", line) for line in chords)
