"""The figures of the reports, each judged by arithmetic of the test's own: what a person reworks, signs or cuts by."""

import math
import re
from fractions import Fraction

import pytest
import shapely

from as_shapely import polygon
from builders import stamp
from checking import shop
from flangelayout.checks.fitting.minimax import Placing
from flangelayout.checks.inspection.caliper import inspect_by_caliper
from flangelayout.checks.inspection.caliper_results import Between
from flangelayout.checks.inspection.inspect import inspect_part
from flangelayout.checks.inspection.results import BoltSeat, MeasuredHole, Mending, Rework, Way
from flangelayout.checks.inspection.tolerances import Allowed, GroupLimits, InspectionLimits
from flangelayout.checks.limits import USUAL_LIMITS
from flangelayout.checks.mating.mating import EdgeStep, MatedBolt, mate, side_of_pattern
from flangelayout.checks.plate.clocking import clockings
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import Anchor, Label, LinearDimension, SheetSet
from flangelayout.drawing.references import Furniture
from flangelayout.geometry.shapes import ORIGIN, Circle, Contour, Line, Point
from flangelayout.lessons import exercises
from flangelayout.nest import Stock, moved_edge
from flangelayout.packet.nest import build_nest
from flangelayout.standards import find
from flangelayout.survey import Kind, Reading, measure
from flangelayout.survey.form import FormBox
from flangelayout.units import Unit, counted
from flangelayout.value import replace
from flangelayout.views.reports.caliper import caliper_sheets
from flangelayout.views.reports.checks import check_sheets
from flangelayout.views.reports.exercise import ExerciseSet, exercise_sheets
from flangelayout.views.reports.inspection import inspection_sheets
from flangelayout.views.reports.mating import overlay_sheets
from flangelayout.views.reports.working import working_sheets
from flangelayout.views.words.mating import limiting_text, step_text, turn_text
from flangelayout.views.words.parts.caliper import form_lines, range_of
from flangelayout.views.words.parts.inspection import hole_line, lacking_text, mending_text
from jobs import bolt_circle, flange, make_job
from views.sheet_items import items_of, texts_of

INFO = JobInfo("T-1", "Test plate")
LIMITS = InspectionLimits(
    position=Allowed(1.0, "the job"),
    groups=(GroupLimits(Allowed(1.0, "the job"), Allowed(0.5, "the job"), bolt="M20"),),
)


def texts(sheets: SheetSet) -> list[str]:
    return texts_of(*sheets.sheets)


def test_an_inspection_prints_what_was_drawn_what_was_measured_and_which_way_a_hole_is_off() -> None:
    plate = flange(bolt_circle())
    places = {hole.label: hole.center for hole in plate.holes()}
    places["2"] += Point(0.8, -0.3)
    rows = [MeasuredHole(at, label, 22.1) for label, at in places.items()]
    found = inspect_part(plate, rows, LIMITS)
    shown = inspection_sheets(plate, found, INFO, stamp(), Unit.MM, "A4")
    said = texts(shown)
    heads = said.index("DX")
    first = said.index("1", heads)
    cells = {said[at]: said[at + 1 : at + 12] for at in range(first, first + 96, 12)}
    for number in range(1, 9):
        turn = math.radians(90 + 22.5 + 45 * (number - 1))
        drawn = [120 * math.cos(turn), 120 * math.sin(turn)]
        x, y, measured_x, measured_y, width, dx, dy, position, bonus, allowed = map(float, cells[str(number)][:10])
        assert [x, y] == pytest.approx(drawn, abs=0.0051)
        at = places[str(number)]
        assert [measured_x, measured_y, width] == pytest.approx([at.x, at.y, 22.1], abs=0.0051)
        # True position is twice the distance (ASME Y14.5, ISO 1101); no bonus is stated.
        assert position == pytest.approx(2 * math.hypot(dx, dy), abs=0.02)
        assert (bonus, allowed) == (0.0, 1.0)
        assert (position > allowed) == (cells[str(number)][10] == "FAIL")
        assert (dx > 0.3, dy < -0.1) == (number == 2, number == 2) or number != 2
    assert "zone of ⌀1.00 mm (the job)" in " ".join(said)
    assert "±0.5" in said
    picture = next(view for sheet in shown.sheets for view in sheet.views if view.drawing.title == "inspection")
    lines = [item.what for item in picture.drawing.items if isinstance(item.what, Line)]
    (arrow,) = (line for line in lines if line.start == plate.holes()[1].center)
    assert arrow.end.x - arrow.start.x > 0 > arrow.end.y - arrow.start.y
    _, right, up, *_ = hole_line(found.holes[1], Unit.MM).split()
    assert float(right) > 0.3
    assert float(up) < -0.1


def test_rework_names_the_lack_its_direction_and_the_metal_that_is_left() -> None:
    rework = Rework("2", 23.5, 1.25, 30.0)
    assert lacking_text(rework, "M20", Unit.MM, drilled=True) == (
        "Hole 2 lacks 1.25 mm toward 30° counter-clockwise from 3 o'clock of the drawing; the bolt alone asks for a "
        "round hole of 23.50 mm. Ways to mend it, the least harmful first:"
    )
    slot = Mending("2", Way.SLOT, 23.25, "M20", BoltSeat.COVERED, 9.5, 6.0)
    assert mending_text(slot, rework, Unit.MM) == (
        "slot it to 23.25 mm over all toward 30° counter-clockwise from 3 o'clock of the drawing; "
        "leaves 9.50 mm of metal where 6.00 is wanted"
    )


def test_what_a_length_can_be_is_rounded_outward_and_a_form_tells_the_chord_drawn() -> None:
    assert range_of(10.004, 10.016, Unit.MM) == "10.00 to 10.02"
    values = {(1, 5): 241.6, (2, 6): 240.1, (3, 7): 240.0, (4, 8): 240.2, (1, 2): 91.8, (2, 3): 91.8, (3, 4): 91.9}
    readings = [Reading(Kind.SAME_EDGES, value, *ends, within=0.2) for ends, value in values.items()]
    found = inspect_by_caliper(flange(bolt_circle()), readings, LIMITS)
    (across,) = (each for each in found.limits if each.what == Between("1", "5"))
    assert range_of(across.low, across.high, Unit.MM) == "241.40 to 241.80", "241.60 ± 0.2 and no hundredth more"
    plate, boxes = flange(bolt_circle()), [FormBox(Kind.SAME_EDGES, 1, 5), FormBox(Kind.SAME_EDGES, 1, 2)]
    assert [line.drawn for line in form_lines(plate, LIMITS, boxes, Unit.MM)] == ["240.00", "91.84"]  # 240 sin 22.5°


def test_a_caliper_report_tells_what_is_drawn_beside_what_was_read() -> None:
    plate = flange(bolt_circle())
    found = inspect_by_caliper(plate, [Reading(Kind.SAME_EDGES, 92.2, 1, 2, within=0.1)], LIMITS)
    said = texts(caliper_sheets(plate, found, INFO, stamp(), Unit.MM, "A4"))
    at = said.index("91.84")
    assert said[at : at + 3] == ["91.84", "92.20", "±0.1"]


def test_mating_says_how_b_is_turned_which_bolt_is_tight_and_which_edge_stands_out() -> None:
    found = mate((side_of_pattern(find("EN 1092-1 PN16 DN150")),), (side_of_pattern(find("NPS 6 Class 150")),), "M20")
    assert turn_text(replace(found, placing=Placing(12.5, 0.0, 0.0))) == "12.5°"
    tight = MatedBolt("A3", "B7", 1.0, 0.25)
    assert limiting_text(replace(found, bolts=(tight, *found.bolts[1:]))) == "hole A3 on B7"
    assert step_text("Bore", EdgeStep(100.0, 104.0, 2.0, 2.0), Unit.MM) == (
        "Bore: A 100 mm, B 104 mm: B is wider by 2.00 mm all round"
    )
    one, other, *rest = found.bolts
    told = (replace(one, offset=1.0, clearance=0.25), replace(other, offset=3.0, clearance=-0.75), *rest)
    shown = texts(overlay_sheets(replace(found, bolts=told), INFO, stamp(), Unit.MM, "A4"))
    heads = shown.index("ROOM LEFT")
    assert shown[heads + 2 : heads + 12] == [
        *(one.a, one.b, "1.00", "0.25", "pass"),
        *(other.a, other.b, "3.00", "-0.75", "does not pass"),
    ]


def test_the_curve_of_two_circles_read_off_by_its_scales_is_what_its_words_say() -> None:
    plate = flange(bolt_circle(), bolt_circle(diameter=210, hole_diameter=22, start_angle=2.0))
    shown = check_sheets(plate, shop(plate), clockings(plate, USUAL_LIMITS), INFO, stamp(), Unit.MM, "A4")
    chart = [
        item for item in items_of(*shown.sheets) if item.source == Furniture("axis") and isinstance(item.what, Label)
    ]
    labels = [item.what for item in chart if isinstance(item.what, Label)]
    ups = [(float(label.text), label.at.y) for label in labels if label.anchor is Anchor.MIDDLE_RIGHT]
    level = (label for label in labels if label.anchor is Anchor.CENTER and label.text.endswith("°"))
    turns = [(float(label.text[:-1]), label.at.x) for label in level if ":" not in label.text]
    (curve,) = (
        item.what
        for item in items_of(*shown.sheets)
        if item.source == Furniture("metal between holes") and isinstance(item.what, Contour)
    )
    ends = [curve.parts[0].start, *(part.end for part in curve.parts)]
    best = max(ends, key=lambda end: end.y)
    # Places of one hole 15 mm inward and 2 degrees on; centers by the law of cosines, less two radii.
    apart = math.sqrt(120**2 + 105**2 - 2 * 120 * 105 * math.cos(math.radians(2.0))) - 22.0
    most = math.sqrt(120**2 + 105**2 - 2 * 120 * 105 * math.cos(math.radians(22.5))) - 22.0
    assert _read(ups, ends[0].y) == pytest.approx(apart, abs=0.1)
    assert _read(ups, best.y) == pytest.approx(most, abs=0.1)
    assert _read(turns, best.x) == pytest.approx(20.5, abs=0.3)
    assert f"Most metal, {most:.2f} mm, stands at 22.5°" in " ".join(texts(shown))


def _read(scale: list[tuple[float, float]], place: float) -> float:
    """A value on a straight scale, by its first and last number."""
    (low, start), (high, end) = scale[0], scale[-1]
    return low + (high - low) * (place - start) / (end - start)


@pytest.mark.usefixtures("few_tries")
def test_a_nest_sheet_counts_measures_and_marks_what_lies_on_its_plate() -> None:
    ring = {"bore": 170, "thickness": 22}
    plates = [
        make_job(job={"number": number, "quantity": count}, plate=ring | {"outside_diameter": wide})
        for number, count, wide in (("N-1", 4, 285), ("N-2", 1, 300))
    ]
    built = build_nest(plates, Stock(700.0, 320.0, 8.0, 6.0, most_plates=2), "nest", "A4")
    assert built.sheets is not None
    nest, sheets = built.nest, built.sheets.sheets
    assert len(sheets) == nest.plates == 2
    for plate, sheet in enumerate(sheets):
        said, drawn = texts(SheetSet((sheet,), built.sheets.stamp)), sheet.views[0].drawing.items
        on_it = nest.on_plate(plate)
        pieces = [polygon(moved_edge(nest.parts[p.part].outline, p.turn_deg, p.at)) for p in on_it]
        used = max(piece.bounds[2] for piece in pieces) + 8.0
        for kind, (name, count) in enumerate((("N-1 rev A", 4), ("N-2 rev A", 1))):
            here = sum(each.part == kind for each in on_it)
            placed = sum(each.part == kind for each in nest.placed)
            if here:
                at = said.index(name)
                assert said[at + 2 : at + 4] == [str(here), f"{placed} of {count}"]
        metal = sum(piece.area for piece in pieces) - len(pieces) * math.pi * (85**2 + 8 * 11**2)
        share = metal / ((used if plate else 700.0) * 320.0)  # what is left of the last plate is not used
        assert any(f"margin 8 mm · spacing 6 mm · {counted(len(pieces), 'part')} · yield" in text for text in said)
        assert _read_yield(said) == pytest.approx(100 * share, abs=0.06)
        of = next(re.search(r"% of the (.+)", text) for text in said if "yield" in text and "margin" in text)
        assert of
        strip = re.match(r"strip used, ([\d.]+) mm long, remnant not counted", of[1])
        assert (float(strip[1]) if strip else of[1]) == (pytest.approx(used, abs=0.006) if plate else "whole plate")
        sizes = [item.what for item in drawn if isinstance(item.what, LinearDimension)]
        lengths = {round(abs(size.end.x - size.start.x), 3) for size in sizes if size.angle_deg == 0.0}
        remnant = [text for text in said if text.startswith("REMNANT ")]
        assert lengths == ({round(used, 3), 700.0} if remnant else {700.0})
        assert all(float(text.split()[1]) == pytest.approx(700 - used, abs=0.006) for text in remnant)
        marks = [item.what for item in drawn if item.source == Furniture("part mark")]
        spots = [shapely.Point(label.at.x, label.at.y) for label in marks if isinstance(label, Label)]
        assert [sum(piece.contains(spot) for spot in spots) for piece in pieces] == [1] * len(pieces)
    assert len(nest.placed) < 5


def test_a_nest_sheet_says_where_the_top_of_every_part_points() -> None:
    """A part with a hole above its middle: on the sheet that hole lies where the arrow behind the mark points."""
    pin = [{"x": 0, "y": 20, "diameter": 8}]
    slim = {"outline": "rectangle", "width": 260, "height": 60, "thickness": 10}
    job = make_job(job={"number": "N-1", "quantity": 2}, plate=slim, bolt_circle=[], hole=pin)
    ways = {"A": (0.0, 1.0), "←": (-1.0, 0.0), "↓": (0.0, -1.0), "→": (1.0, 0.0)}
    for stock, others in (Stock(700.0, 200.0, 8.0, 6.0), False), (Stock(150.0, 300.0, 8.0, 6.0), True):
        built = build_nest([job], stock, "nest", "A4")
        assert built.sheets is not None
        (sheet,) = built.sheets.sheets
        drawn = sheet.views[0].drawing.items
        marks = [item.what for item in drawn if item.source == Furniture("part mark")]
        pins = [item.what for item in drawn if isinstance(item.what, Circle)]
        told = " ".join(texts(built.sheets))
        assert ("TOP up or where the arrow at its mark points" in told) is others
        assert ("TOP up: never" in told) is not others
        assert len(marks) == len(pins) == 2
        for mark in marks:
            assert isinstance(mark, Label)
            near = min(pins, key=lambda each: each.center.distance_to(mark.at))
            middle = min((placed.at for placed in built.nest.placed), key=near.center.distance_to)
            x, y = ways[mark.text[-1] if mark.text[-1] in ways else "A"]
            assert near.center.distance_to(middle + Point(20 * x, 20 * y)) < 1e-6


def _read_yield(said: list[str]) -> float:
    (found,) = (re.search(r"yield ([\d.]+) %", text) for text in said if "yield" in text and "margin" in text)
    assert found
    return float(found[1])


def test_a_working_page_adds_up() -> None:
    read = {1: 91.9, 4: 240.1, 3: 221.7}
    readings = [Reading(Kind.CENTERS, value, pitches=span, within=0.2) for span, value in read.items()]
    survey = measure(readings, hole_count=8)
    said = texts(working_sheets(survey, INFO, stamp(), Unit.MM, "A4"))
    band = survey.expanded_uncertainty
    assert f"⌀{survey.diameter:.2f} ± {band:.2f} mm" in said
    for span, value in read.items():
        at = said.index(f"{value:.2f}", said.index("LEFT OVER"))
        expected, left = map(float, said[at + 1 : at + 3])
        assert expected == pytest.approx(survey.diameter * math.sin(math.pi * span / 8), abs=0.0051)
        assert left == pytest.approx(value - expected, abs=0.011)
    heads = said.index("CHANCE")
    rows = [said[at : at + 5] for at in range(heads + 1, len(said) - 4, 5) if said[at + 4].endswith(" %")]
    assert rows
    for _, circle, off, *_ in rows:
        size = float(sum(map(Fraction, circle.split())))
        published = size if size > 60 else 25.4 * size  # mm, or inches
        assert float(off) == pytest.approx(survey.diameter - published, abs=0.011)
    assert 50 < sum(float(each[4].removesuffix(" %")) for each in rows) <= 102


def test_a_reading_of_an_exercise_stands_between_its_two_holes() -> None:
    given = exercises(7, 1, 1)
    (sheet,) = exercise_sheets(ExerciseSet("set", given), "A4", stamp()).sheets
    rounds = [item.what for item in sheet.furniture if isinstance(item.what, Circle)]
    rim = max(rounds, key=lambda each: each.radius)
    labels = [item.what for item in sheet.furniture if isinstance(item.what, Label)]
    middles = {each.center for each in rounds}
    holes = {each.text: each.at - rim.center for each in labels if each.at in middles}
    outside = [(each.text, each.at - rim.center) for each in labels if rim.center.distance_to(each.at) > rim.radius]
    for number, text in enumerate(given[0].texts, 1):
        wanted = ORIGIN.direction_to(holes[str(number)] + holes[str(number % len(given[0].texts) + 1)])
        turns = [ORIGIN.direction_to(at) for said, at in outside if said == text]
        assert min(abs((turn - wanted + 180) % 360 - 180) for turn in turns) < 3.0
