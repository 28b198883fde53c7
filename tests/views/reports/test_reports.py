"""The overlay of two flanges, the page of the shop checks with its curve, the report of an inspection."""

import itertools
import math
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import numpy as np
import pdfplumber
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString

from builders import stamp
from checking import drilling, of_rule, shop
from flangelayout.checks import Result, Rule, tally
from flangelayout.checks.finding import Bound
from flangelayout.checks.inspection.inspect import inspect_part
from flangelayout.checks.inspection.results import Inspection, LeftOpen, MeasuredHole, OtherSize, PlateSize
from flangelayout.checks.inspection.tolerances import Allowed, GroupLimits, InspectionLimits
from flangelayout.checks.limits import USUAL_LIMITS
from flangelayout.checks.mating.mating import Mating, mate, side_of_pattern, sides_of
from flangelayout.checks.plate.clocking import clockings
from flangelayout.drawing.explode import exploded, primitive_box
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Label, SheetSet, Solid
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import label_box, text_width
from flangelayout.flange import Drilling, Flange, RectangleOutline, SingleHole
from flangelayout.flange.turning import PlateFace, Turned, TurnedKind
from flangelayout.geometry.shapes import Box, Circle, Contour, Line, Point
from flangelayout.job.load import load_job
from flangelayout.lessons import exercises
from flangelayout.nest import Stock
from flangelayout.packet.nest import build_nest
from flangelayout.standards import find
from flangelayout.survey import Kind, Reading, measure
from flangelayout.units import Unit
from flangelayout.value import replace
from flangelayout.views.reports.checks import check_sheets
from flangelayout.views.reports.exercise import ExerciseSet, exercise_sheets, key_sheets
from flangelayout.views.reports.inspection import inspection_sheets
from flangelayout.views.reports.mating import overlay_sheets
from flangelayout.views.reports.working import working_sheets
from flangelayout.views.words.findings import check_words, reason_text
from flangelayout.views.words.parts.inspection import verdict_text
from flangelayout.writers.pdf import write_pdf
from jobs import bolt_circle, flange, make_job
from readers import MM_PER_POINT, pdf_pages_text
from views.sheet_items import items_of, texts_of

STARTER = Path(__file__).parents[3] / "templates" / "machined-flange.toml"
INFO = JobInfo("T-1", "Test plate")
PAPERS = pytest.mark.parametrize("paper", ["A4", "Letter"])
LIMITS = InspectionLimits(
    position=Allowed(1.0, "the job"),
    groups=(GroupLimits(Allowed(1.0, "the job"), Allowed(0.5, "the job"), bolt="M20"),),
)


def overlay(mating: Mating, paper: str = "A4") -> SheetSet:
    return overlay_sheets(mating, INFO, stamp(), Unit.MM, paper)


def mating(bolt: str = "M20", a: str = "EN 1092-1 PN16 DN150", b: str = "NPS 6 Class 150") -> Mating:
    return mate((side_of_pattern(find(a)),), (side_of_pattern(find(b)),), bolt)


def adapter() -> Flange:
    circles = (
        bolt_circle(diameter=180, hole_diameter=18, bolt="M16"),
        bolt_circle(diameter=190.5, hole_diameter=19.05, bolt="5/8", start_angle=15.0),
    )
    return flange(*circles, outside_diameter=285.0, bore=100.0)


def checks(plate: Flange, paper: str = "A4", unit: Unit = Unit.MM) -> SheetSet:
    return check_sheets(plate, shop(plate), clockings(plate, USUAL_LIMITS), INFO, stamp(), unit, paper)


def inspection(count: int = 8, noise: float = 0.2, seed: int = 1) -> tuple[Flange, Inspection]:
    plate = flange(bolt_circle(count, 240.0, min(22.0, 240 * math.pi / count * 0.6)))
    rng = np.random.default_rng(seed)
    rows = [
        MeasuredHole(
            Point(hole.center.x + rng.normal(0, noise), hole.center.y + rng.normal(0, noise)),
            hole.label,
            hole.diameter + 0.1,
        )
        for hole in plate.holes()
    ]
    return plate, inspect_part(plate, rows, LIMITS)


def inspected(count: int = 8, noise: float = 0.2, paper: str = "A4", seed: int = 1) -> SheetSet:
    plate, found = inspection(count, noise, seed)
    return inspection_sheets(plate, found, INFO, stamp(), Unit.MM, paper)


def texts(sheets: SheetSet) -> list[str]:
    return texts_of(*sheets.sheets)


def boxes(sheets: SheetSet) -> Iterator[tuple[Box, Box]]:
    """Every printed thing and its page."""
    for sheet in sheets.sheets:
        page = Box(0, 0, sheet.paper.width, sheet.paper.height)
        for _, part in exploded(sheet.furniture, 1.0):
            yield primitive_box(part), page
        for view in sheet.views:
            for _, part in exploded(view.drawing.items, view.scale):
                box = primitive_box(part, view.scale)
                at, k = view.at_paper, view.scale
                yield Box(at.x + box.left * k, at.y + box.bottom * k, at.x + box.right * k, at.y + box.top * k), page


def stays_on_the_page(sheets: SheetSet) -> bool:
    return all(
        box.left >= 5 and box.bottom >= 5 and box.right <= page.right - 5 and box.top <= page.top - 5
        for box, page in boxes(sheets)
    )


@pytest.mark.slow
@PAPERS
@pytest.mark.parametrize(
    ("a", "b"),
    [
        ("EN 1092-1 PN16 DN150", "NPS 6 Class 150"),
        ("AWWA C207 Class D NPS 36", "ASME B16.47 Series B Class 150 NPS 36"),
        ("EN 1092-1 PN16 DN15", "EN 1092-1 PN16 DN1000"),
    ],
)
def test_the_overlay_stays_on_the_page(paper: str, a: str, b: str) -> None:
    assert stays_on_the_page(overlay(mating(a=a, b=b), paper))


def test_the_overlay_shows_both_patterns_true_and_the_verdict() -> None:
    shown = overlay(mating())
    view = next(view for view in shown.sheets[0].views if view.drawing.title == "overlay")
    circles = [
        (item.layer, item.what.radius, math.hypot(item.what.center.x, item.what.center.y))
        for item in view.drawing.items
        if isinstance(item.what, Circle)
    ]
    assert len([each for each in circles if each[0] is Layer.OUTLINE and each[1] == 11.0]) == 8
    dashed = [at for layer, radius, at in circles if layer is Layer.HIDDEN and radius == 22.225 / 2]
    assert dashed == pytest.approx([241.3 / 2] * 8)
    said = texts(shown)
    assert "M20 (20.00 mm): bolts pass; at the tightest the holes may lie 1.46 mm farther apart" in " ".join(said)
    assert "no class or rating" in " ".join(said)
    assert not any("approved" in text.lower() for text in said)


def test_the_enlarged_bolt_lies_in_both_holes_where_it_passes() -> None:
    detail = next(view for view in overlay(mating()).sheets[0].views if view.drawing.title == "tightest bolt")
    rounds = {item.source: item.what for item in detail.drawing.items if isinstance(item.what, Circle)}
    bolt = rounds[Furniture("bolt")]
    for hole in (rounds[Furniture("hole of A")], rounds[Furniture("hole of B")]):
        assert hole.center.distance_to(bolt.center) + bolt.radius < hole.radius


def test_what_to_open_is_said_on_the_overlay() -> None:
    assert any("open the holes of A alone to 23.08 mm" in text for text in texts(overlay(mating("22 mm"))))


@PAPERS
def test_the_page_of_the_checks_stays_on_the_page(paper: str) -> None:
    crowded = flange(
        *(bolt_circle(diameter=d, hole_diameter=10, bolt="M8", start_angle=3.0 * d) for d in (180, 190, 200, 210))
    )
    for plate in (adapter(), crowded):
        assert stays_on_the_page(checks(plate, paper, Unit.IN if paper == "Letter" else Unit.MM))


def test_the_curve_of_circles_that_do_not_clear_reaches_its_top_at_the_best_turn() -> None:
    tight = flange(bolt_circle(), bolt_circle(diameter=210, hole_diameter=22, start_angle=2.0))
    shown = checks(tight)
    (curve,) = (
        item.what
        for item in items_of(*shown.sheets)
        if item.source == Furniture("metal between holes") and item.layer is Layer.OUTLINE
    )
    (best,) = (item.what for item in items_of(*shown.sheets) if item.source == Furniture("best turn"))
    assert isinstance(curve, Contour)
    assert isinstance(best, Line)
    top = max((end for part in curve.parts for end in (part.start, part.end)), key=lambda point: point.y)
    assert top.x == pytest.approx(best.start.x, abs=0.5)
    assert any(text.startswith("most metal: ") for text in texts(shown))


def test_circles_that_clear_are_told_without_a_recommendation() -> None:
    said = texts(checks(flange(bolt_circle(), bolt_circle(diameter=180, hole_diameter=14))))
    # 240 and 180 with holes of 22 and 14 mm on the same rays: 120 - 90 - 11 - 7.
    assert any("as drawn 0° from hole to hole, 12.00 mm of metal" in text for text in said)
    assert any("What they are bolted to decides the turn" in text for text in said)
    assert not [text for text in said if "best" in text or text.startswith("turn ")]


def rows_of(pages: SheetSet) -> list[str]:
    """The texts of each line of the list of checks, from left to right; its head stands over it on every page."""
    lines: list[str] = []
    for sheet in pages.sheets:
        strips = [view for view in sheet.views if view.drawing.title == "checks"]
        told = [[item.what for item in strip.drawing.items if isinstance(item.what, Label)] for strip in strips]
        rows = [" | ".join(each.text for each in sorted(row, key=lambda each: (each.at.x, -each.at.y))) for row in told]
        assert not rows or rows[0] == "check | value | limit | result"
        lines += rows[1:] if lines else rows
    return lines


def test_every_check_that_was_run_is_a_line_with_value_limit_and_result_failures_first() -> None:
    plate = flange(bolt_circle(24, bolt="M20"), outside_diameter=270.0)
    shown, found = checks(plate), shop(plate)
    head, *lines = rows_of(shown)
    assert head == "check | value | limit | result"
    failed = [each for each in found if each.failed]
    run = [*failed, *(each for each in found if each.result is Result.PASSED)]
    assert len(lines) == len(run)
    for number, (finding, line) in enumerate(zip(run, lines, strict=True), 1):
        assert line.startswith(f"{number} | ")
        assert line.endswith("FAIL" if finding.failed else "pass")
        if finding.value is not None and finding.limit is not None and finding.bound is not Bound.EQUAL:
            assert f"{finding.value:.2f} mm" in line.replace("-0.00", "0.00")
            assert f"{finding.limit.value:.2f} mm" in line
        elif finding.value is None and finding.result is Result.PASSED:
            assert line.endswith("| yes | pass" if finding.limit is None else "| clear | at least 0.00 mm | pass")
    said = " ".join(texts(shown))
    count = tally(found)
    assert count.failed
    assert f"{count.checks} checks: {count.passed} passed, {count.failed} failed, {count.not_run} not run" in said
    for heading in ("WHAT FAILED", "NOT RUN", "WHO SETS THE LIMITS"):
        assert heading in said


@PAPERS
def test_no_check_stands_alone_on_a_page_and_none_is_parted_from_the_head(paper: str) -> None:
    ring = flange(bolt_circle(60, 820.0, 18.0, bolt="M16"), outside_diameter=900.0, bore=700.0, thickness=20.0)
    blind = flange(bolt_circle(8, 298.45, 22.225, bolt="3/4"), outside_diameter=342.9, thickness=28.575)
    for plate in (ring, blind, adapter(), flange(bolt_circle(1))):
        pages = [rows_of(SheetSet((page,), stamp())) for page in checks(plate, paper).sheets]
        held = [sum(row.endswith(("pass", "FAIL")) for row in page) for page in pages]
        assert min(filter(None, held)) >= 3
        assert [page.count("check | value | limit | result") for page in pages] == [*map(bool, held)]


def test_every_check_that_was_not_run_is_told_with_its_reason() -> None:
    plate = flange(bolt_circle(8), outside_diameter=285.0)
    shown = checks(plate)
    said = " ".join(texts(shown))
    for finding in shop(plate):
        if finding.reason is not None:
            assert f"{reason_text(finding.reason)}: " in said
            assert check_words(plate, finding, Unit.MM) in said


def test_every_check_has_its_number_at_the_place_it_looked_at() -> None:
    vent = SingleHole(Point(0.0, 92.0), Drilling(8.0))
    plate = flange(bolt_circle(24, bolt="M20"), outside_diameter=270.0, bore=170.0, single_holes=(vent,))
    found = shop(plate)
    run = [*(each for each in found if each.failed), *(each for each in found if each.result is Result.PASSED)]
    shown = checks(plate)
    picture = next(view for view in shown.sheets[0].views if view.drawing.title == "checked plate")
    flags = next(view for view in shown.sheets[0].views if view.drawing.title == "flags").drawing.items
    middle = picture.at_paper - next(view for view in shown.sheets[0].views if view.drawing.title == "flags").at_paper
    numbered: dict[int, Point] = {}
    labels: list[Label] = []
    for what in (item.what for item in flags):
        if isinstance(what, Label):
            labels.append(what)
        elif isinstance(what, Line):
            spot = (what.end - middle).scaled(1 / picture.scale)
            numbered |= {int(number): spot for label in labels for number in label.text.rstrip(",").split(", ")}
            labels = []
    assert sorted(numbered) == list(range(1, len(run) + 1))
    holes = {(hole.group, hole.number): hole for hole in plate.holes()}
    together = 3.5 / picture.scale
    for number, finding in enumerate(run, 1):
        named = [holes[each.group, each.number] for each in finding.place.holes]
        if len(named) == 1:
            assert numbered[number].distance_to(named[0].center) <= named[0].face_diameter * 0.75 + together
        elif named:
            way = sum(numbered[number].distance_to(each.center) for each in named)
            assert way <= named[0].center.distance_to(named[1].center) + 2 * together
    boxed = [item for item in flags if isinstance(item.what, Contour)]
    assert boxed


def test_no_line_to_a_place_crosses_another_and_numbers_stand_apart() -> None:
    plate = load_job(STARTER).flange
    flags = next(view for view in checks(plate).sheets[0].views if view.drawing.title == "flags").drawing.items
    drawn = [item.what for item in flags if isinstance(item.what, Line)]
    lines = [LineString([(end.x, end.y) for end in (line.start, line.end)]) for line in drawn]
    assert len(lines) > 8
    assert not any(one.crosses(other) for one, other in itertools.combinations(lines, 2))
    boxes = [label_box(item.what).grown(-0.2) for item in flags if isinstance(item.what, Label)]
    assert not any(one.overlaps(other) for one, other in itertools.combinations(boxes, 2))


def test_what_is_turned_is_pointed_at_on_its_wall() -> None:
    """Each by lines of its own, not all at one place of the edge: the picture is of the plate, the flags beside it."""
    walls = [Turned(TurnedKind.RECESS, PlateFace.FACE, size, 3.0, 0.0, key="turned") for size in (160.0, 200.0)]
    plate = replace(flange(bolt_circle(8), outside_diameter=285.0, thickness=20.0), turned=tuple(walls))
    found = of_rule(drilling(plate), Rule.TURNED_ON_PLATE)
    views = check_sheets(plate, found, (), INFO, stamp(), Unit.MM, "A4").sheets[0].views
    scale = next(view for view in views if view.drawing.title == "checked plate").scale
    flags = next(view for view in views if view.drawing.title == "flags")
    spots = [flags.at_paper + item.what.center for item in flags.drawing.items if isinstance(item.what, Circle)]
    middle = next(view for view in views if view.drawing.title == "checked plate").at_paper
    away = [round(middle.distance_to(spot) / scale, 2) for spot in spots]
    assert {80.0, 100.0} <= set(away)


@pytest.mark.slow
@PAPERS
@given(count=st.integers(3, 60), noise=st.sampled_from([0.0, 0.2, 1.0]), seed=st.integers(0, 9))
@settings(max_examples=3, deadline=None)
def test_the_inspection_stays_on_the_page(paper: str, count: int, noise: float, seed: int) -> None:
    assert stays_on_the_page(inspected(count, noise, paper, seed))


def test_a_part_passes_only_in_what_is_stated() -> None:
    plate, found = inspection()
    assert verdict_text(found) == (
        "Holes good to use: what was measured of them keeps its limits; no limits for the width of 1 TO 8"
    )
    assert verdict_text(replace(found, left=LeftOpen())) == "Part passes"
    sheets = inspection_sheets(plate, found, INFO, stamp(), Unit.MM, "A4").sheets
    words = [item.what for sheet in sheets for view in sheet.views for item in view.drawing.items]
    assert all(text_width(each.text, each.height_paper) < 182 for each in words if isinstance(each, Label))


def test_the_inspection_prints_a_bore_that_was_judged() -> None:
    """The head says that it is out of limits; by how much stands on the page too."""
    plate, found = inspection()
    wide = replace(found, plate_sizes=(PlateSize(OtherSize.BORE, 161.0, 159.5, 160.5, "ISO 2768-1 m"),))
    sheets = inspection_sheets(plate, wide, INFO, stamp(), Unit.MM, "A4")
    told = pdf_pages_text(write_pdf(sheets))
    assert "bore: 161.00 mm, at least 159.50, at most 160.50 (ISO 2768-1 m): FAIL." in told


def test_the_inspection_lists_every_hole_and_draws_its_arrow() -> None:
    plate, found = inspection()
    shown = inspection_sheets(plate, found, INFO, stamp(), Unit.MM, "A4")
    view = next(view for view in shown.sheets[0].views if view.drawing.title == "inspection")
    arrows = [
        item.what
        for item in view.drawing.items
        if isinstance(item.what, Line) and any(item.what.start == hole.center for hole in plate.holes())
    ]
    assert len(arrows) == 8
    steps = [Point(each.end.x - each.start.x, each.end.y - each.start.y) for each in arrows]
    factors = {round(math.hypot(s.x, s.y) / r.radial, 6) for s, r in zip(steps, found.holes, strict=True)}
    assert len(factors) == 1
    said = texts(shown)
    assert all(f"{each.position:.2f}" in said for each in found.holes)
    assert any(text.startswith("Inspected by:") for text in said)


def test_the_picture_of_an_inspection_is_smaller_where_that_spares_a_page() -> None:
    """Eight holes and all their lengths stand on one page with the signature; sixteen do not and lose nothing."""
    one, two = (inspected(count) for count in (8, 16))
    assert (len(one.sheets), len(two.sheets)) == (1, 2)
    scales = [view.scale for each in (one, two) for view in each.sheets[0].views if view.drawing.title == "inspection"]
    assert scales[0] < scales[1]


def test_a_failing_hole_has_a_filled_arrow_head() -> None:
    plate, found = inspection(noise=1.0)
    failing = [each for each in found.holes if each.passed is False]
    assert failing
    shown = inspection_sheets(plate, found, INFO, stamp(), Unit.MM, "A4")
    assert len([item for item in items_of(*shown.sheets) if isinstance(item.what, Solid)]) == len(failing)


@pytest.mark.slow
def test_long_tables_go_on_over_pages_with_the_number_of_each() -> None:
    shown = inspected(120, noise=0.05, paper="Letter")
    assert len(shown.sheets) > 1
    said = texts(shown)
    assert all(
        f"Page {number} of {len(shown.sheets)}. " in " ".join(said) for number in range(1, len(shown.sheets) + 1)
    )
    labels = [text for text in said if text.isdecimal()]
    assert {str(number) for number in range(1, 121)} <= set(labels)


def test_a_plate_of_any_outline_is_inspected() -> None:
    plate = Flange(RectangleOutline(320.0, 200.0), (bolt_circle(4, 150.0, 12.0),))
    rows = [MeasuredHole(hole.center, hole.label) for hole in plate.holes()]
    sheets = inspection_sheets(plate, inspect_part(plate, rows, LIMITS), INFO, stamp(), Unit.MM, "A4")
    assert stays_on_the_page(sheets)


def test_no_number_of_an_overlay_stands_on_a_number_an_edge_or_a_hole() -> None:
    plate = flange(bolt_circle(40, 965.0, 33.0), outside_diameter=1015.0, bore=813.0)
    found = mate(sides_of(plate, "A"), sides_of(plate, "B"), "M24")
    view = next(view for view in overlay(found).sheets[0].views if view.drawing.title == "overlay")
    boxes = [label_box(item.what, view.scale) for item in view.drawing.items if isinstance(item.what, Label)]
    assert len(boxes) >= 20
    assert not any(one.overlaps(other) for one, other in itertools.combinations(boxes, 2))
    for circle in (item.what for item in view.drawing.items if isinstance(item.what, Circle)):
        for box in boxes:
            corners = [Point(x, y) for x in (box.left, box.right) for y in (box.bottom, box.top)]
            reaches = [corner.distance_to(circle.center) for corner in corners]
            assert max(reaches) < circle.radius or min(reaches) > circle.radius


def test_an_adapter_names_its_pattern_on_the_overlay() -> None:
    found = mate(sides_of(adapter(), "MB-102"), (side_of_pattern(find("EN 1092-1 PN16 DN100")),))
    assert any("bolt circle A" in text for text in texts(overlay(found)))


def test_reports_are_the_same_bytes_every_time() -> None:
    assert write_pdf(inspected()) == write_pdf(inspected())
    assert write_pdf(overlay(mating())) == write_pdf(overlay(mating()))


def level_letters(data: bytes) -> Iterator[tuple[float, str]]:
    """Height of the capitals of every letter that is not turned, in mm, with the letter.

    1493 / 2048: capitals of DejaVu Sans in its em (its OS/2 table, sCapHeight).
    """
    with pdfplumber.open(BytesIO(data)) as document:
        for page in document.pages:
            for letter in page.chars:
                if abs(letter["matrix"][1]) < 1e-9:
                    yield float(letter["size"]) * MM_PER_POINT * 1493 / 2048, letter["text"]


@pytest.mark.slow
@PAPERS
def test_no_printed_word_is_smaller_than_the_least_step(paper: str) -> None:
    # ISO 3098-1: 2.5 mm is the step under 3.5; smaller letters are not read on a copy.
    exercise = ExerciseSet("set", exercises(7, 6, 3))
    readings = [Reading(Kind.CENTERS, 31.33, pitches=1, within=0.2), Reading(Kind.CENTERS, 240.0, pitches=12)]
    working = working_sheets(measure(readings, hole_count=24), INFO, stamp(), Unit.MM, paper)
    nest = build_nest([make_job()], Stock(2500.0, 1250.0, 10.0, 8.0), "nest", paper).sheets
    assert nest is not None
    pages = (overlay(mating(), paper), inspected(24, 1.0, paper), checks(adapter(), paper), working, nest)
    for sheets in (*pages, exercise_sheets(exercise, paper, stamp()), key_sheets(exercise, paper, stamp())):
        letters = list(level_letters(write_pdf(sheets)))
        assert len(letters) > 100
        assert min(letters)[0] >= 2.5 - 0.01, (sheets.sheets[0].name, min(letters))
