"""Check card, inspection form and inspection hold a distance to one limit, and say the same of the same readings."""

import math
from typing import Any

import pytest

from flangelayout.checks.inspection.caliper import inspect_by_caliper
from flangelayout.checks.inspection.caliper_results import (
    AllPlaces,
    Between,
    CaliperInspection,
    CaliperVerdict,
    PlacesResult,
    Standing,
)
from flangelayout.checks.inspection.inspect import inspect_part
from flangelayout.checks.inspection.results import MeasuredHole
from flangelayout.checks.inspection.stated import asked_by_card, stated_limits
from flangelayout.checks.inspection.tolerances import allowed_spans
from flangelayout.checks.inspection.wanted import inspection_boxes
from flangelayout.checks.measuring import spans
from flangelayout.flange import Flange
from flangelayout.geometry.shapes import Point
from flangelayout.job import Job
from flangelayout.job.load import job_from_data
from flangelayout.packet.reports import form_packet
from flangelayout.survey.kinds import Kind
from flangelayout.survey.readings import Reading
from flangelayout.units import Unit, to_mm
from flangelayout.views.words.bench.measuring import accepted, further_distances, machined_sizes
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.parts.caliper import caliper_verdict_text, form_lines, places_text
from readers import pdf_pages_text
from rows import every_row

PN16 = {"standard": "EN 1092-1 PN16 DN150"}  # 240 mm, 8 holes of 22 mm


def job(circle: dict[str, Any], **tolerances: object) -> Job:
    plate = {"outside_diameter": 285, "bore": 160}
    return job_from_data({"units": "mm", "plate": plate, "bolt_circle": [circle], "tolerances": tolerances})


def card_limits(flange: Flange, group: int = 0) -> list[float | None]:
    """How far each reading of a check card may be off, in its order."""
    held = allowed_spans(flange, group, spans(flange.groups()[group]), Unit.MM)
    return [None if each is None else each.value for each in held]


def test_readings_are_held_to_the_plates_own_tolerance_or_else_to_the_standard_of_the_circle() -> None:
    """EN 1092-1 has ±1.0 of the circle up to M24 and ±0.5 between neighboring holes (project's table, from memory)."""
    rows: tuple[tuple[dict[str, float], float | None, float | None], ...] = (
        ({}, 1.0, 0.5),
        ({"chord": 0.3}, 0.3, 0.3),
        ({"bolt_circle": 0.2}, 0.2, None),
        ({"bolt_circle": 1.0, "chord": 0.5}, 0.5, 0.5),
        ({"bolt_circle": 0.2, "chord": 0.5}, 0.2, 0.5),
    )
    for stated, across, beside in rows:
        assert card_limits(job(PN16, **stated).flange) == [across] * 4 + [beside] * 8, stated
    five = job({"diameter": 200, "hole_count": 5, "hole_diameter": 18}, bolt_circle=0.2)
    assert set(card_limits(five.flange)) == {None}  # none is a diameter
    two = job({"diameter": 200, "hole_count": 2, "hole_diameter": 18}, bolt_circle=0.2)
    assert card_limits(two.flange) == [0.2]


@every_row(
    ("circle", "stated"),
    [
        (PN16, {}),
        (PN16, {"chord": 0.3}),
        (PN16, {"bolt_circle": 0.2}),
        (PN16, {"bolt_circle": 0.2, "chord": 0.5}),
        ({"standard": "ASME B16.5 Class 150 NPS 6"}, {}),
        ({"diameter": 200, "hole_count": 5, "hole_diameter": 18}, {"bolt_circle": 1.0, "chord": 0.5}),
        ({"diameter": 200, "hole_count": 4, "hole_diameter": 18, "angles": [0, 20, 180, 200]}, {"bolt_circle": 0.5}),
        ({"diameter": 200, "hole_diameter": 18, "angles": [0, 30, 60, 90]}, {"chord": 0.5}),
    ],
)
def test_card_form_and_inspection_have_the_same_limits(circle: dict[str, Any], stated: dict[str, float]) -> None:
    made = job(circle, **stated)
    holes = made.flange.holes()
    held = {each.what: each for each in stated_limits(made.flange, made.inspection) if isinstance(each.what, Between)}
    by_ends = {frozenset((what.first, what.second)): (each.most - each.least) / 2 for what, each in held.items()}
    on_card: dict[frozenset[str], float | None] = {}
    for span, off in zip(spans(made.flange.groups()[0]), card_limits(made.flange), strict=True):
        ends = frozenset((holes[span.first].label, holes[span.last].label))
        assert (None if off is None else round(off, 9)) == (round(by_ends[ends], 9) if ends in by_ends else None)
        on_card[ends] = off
    boxes = inspection_boxes(made.flange, made.inspection)
    for line in form_lines(made.flange, made.inspection, boxes, Unit.MM):
        ends = frozenset(holes[end - 1].label for end in (line.box.from_hole, line.box.to_hole) if end is not None)
        if len(ends) == 2:
            assert bool(line.accept) == (ends in by_ends), line
            assert on_card.get(ends) is None or line.accept


@every_row(
    "tables",
    [
        {"hole": [{"x": x, "y": 0, "diameter": 12, "kind": "dowel"} for x in (60, -60, 0)]},
        {"hole_rectangle": [{"width": 90, "height": 60, "hole_diameter": 9}]},
        {"hole_grid": [{"pitch": 30, "columns": 4, "rows": 3, "hole_diameter": 9}]},
    ],
)
def test_distances_off_the_circles_have_the_limits_of_the_card_in_form_and_inspection(tables: dict[str, Any]) -> None:
    plate = {"outside_diameter": 285, "thickness": 22}
    data = {"units": "mm", "plate": plate, "bolt_circle": [PN16], "tolerances": {"general": "ISO 2768-1 m"}}
    made = job_from_data(data | tables)
    flange, holes = made.flange, made.flange.holes()
    card = {row[0]: row[2] for row in further_distances(flange, Lengths(Unit.MM))}
    for group, pattern in list(enumerate(flange.groups()))[1:]:
        own, found = [hole.label for hole in holes if hole.group == group], spans(pattern)
        for span, held in zip(found, allowed_spans(flange, group, found, Unit.MM), strict=True):
            card[f"{own[span.first]} – {own[span.last]}"] = accepted(held, span.distance, Lengths(Unit.MM))
    boxes = inspection_boxes(flange, made.inspection)
    form = {}
    for line in form_lines(flange, made.inspection, boxes, Unit.MM):
        ends = [holes[end - 1] for end in (line.box.from_hole, line.box.to_hole) if end is not None]
        if len(ends) == 2 and ends[0].group != 0:
            form[f"{ends[0].label} – {ends[1].label}"] = line.accept.replace(" to ", " – ")
    assert form == card
    assert all(form.values())
    asked = {each for each in asked_by_card(flange, made.inspection) if isinstance(each, Between)}
    assert {f"{each.first} – {each.second}" for each in asked if not each.first.startswith("A")} == form.keys()
    assert form_packet(made, "T-1.toml"), "a picture of each group that is read, single holes too"


def read(
    made: Job, off: dict[tuple[int, int], float], left_out: frozenset[tuple[int, int]] = frozenset()
) -> CaliperInspection:
    """All that the check card of a circle lists, as drawn but for what is off, in mm."""
    found = {(span.first + 1, span.last + 1): span.distance for span in spans(made.flange.groups()[0])}
    taken = [
        Reading(Kind.SAME_EDGES, apart + off.get(ends, 0.0), *ends)
        for ends, apart in found.items()
        if ends not in left_out
    ]
    return inspect_by_caliper(made.flange, taken, made.inspection)


def test_what_the_check_card_uses_or_puts_aside_the_inspection_does_as_well() -> None:
    """With a caliper good to 0.2 a reading 0.4 off a limit of 0.5 is not proven inside, and none is that is 0.6 off."""
    made = job(PN16, bolt_circle=1.0, chord=0.5)
    inside = read(made, {(1, 5): 0.4})
    assert inside.verdict is CaliperVerdict.OPEN
    assert inside.is_usable
    assert caliper_verdict_text(inside).startswith("Holes good to use: all that the check card asks of them reads")
    outside = read(made, {(1, 5): 0.6})
    assert outside.verdict is CaliperVerdict.OPEN
    assert not outside.is_usable
    assert caliper_verdict_text(outside).startswith("Put it aside and measure again: 1 - 5 reads out of limits")
    fewer = read(made, {}, frozenset({(2, 6)}))
    assert not fewer.is_usable
    assert caliper_verdict_text(fewer).endswith("; not read of the check card: 2 - 6")


def test_distances_do_not_say_to_use_a_part_whose_holes_are_held_in_place() -> None:
    placed = read(job(PN16, chord=0.5, position=0.4), {})
    assert placed.verdict is CaliperVerdict.OPEN
    assert not placed.is_usable
    assert "places of holes are not decided" in caliper_verdict_text(placed)


def test_holes_with_a_tolerance_are_on_the_card_and_asked_for() -> None:
    made = job(PN16, chord=0.5, hole_plus=0.4)
    assert ("each hole", "⌀22", "22.00 – 22.40") in machined_sizes(made.flange, Lengths(Unit.MM))
    found = read(made, {})
    assert not found.is_usable
    assert "not read of the check card: hole 1, hole 2, hole 3 and 5 more" in caliper_verdict_text(found)
    wide = [Reading(Kind.HOLE_DIAMETER, 22.2, within=0.05)]
    chords = [each.reading for each in found.readings]
    assert inspect_by_caliper(made.flange, [*wide, *chords], made.inspection).is_usable


def test_a_diagonal_is_held_to_the_tolerance_of_its_circle_by_places_too() -> None:
    """Hole 1 is 0.8 out along its radius: its diagonal is 0.8 off where the circle of all eight is off by 0.2."""
    made = job(PN16, bolt_circle=0.5)
    moved = [
        MeasuredHole(hole.center.scaled(1 + 0.8 / 120 if hole.number == 1 else 1.0), hole.label)
        for hole in made.flange.holes()
    ]
    found = inspect_part(made.flange, moved, made.inspection)
    failing = [each.what for each in found.chords if each.passed is False]
    assert failing == ["1 - 5"]
    assert all(each.passed for each in found.circles)
    assert math.isclose(next(each.measured for each in found.chords if each.what == "1 - 5"), 240.8)


def test_bore_and_outside_with_limits_have_a_box_and_are_judged() -> None:
    made = job(PN16, chord=0.5, outside_plus=1.0, outside_minus=1.0, bore_plus=0.3)
    boxes = inspection_boxes(made.flange, made.inspection)
    assert [box.kind for box in boxes[:3]] == [Kind.OUTSIDE_DIAMETER, Kind.BORE, Kind.HOLE_DIAMETER]
    lines = form_lines(made.flange, made.inspection, boxes, Unit.MM)
    assert [(line.drawn, line.accept) for line in lines[:2]] == [
        ("285.00", "284.00 to 286.00"),
        ("160.00", "160.00 to 160.30"),
    ]
    chords = [each.reading for each in read(made, {}).readings]
    assert caliper_verdict_text(read(made, {})).endswith("not read of the check card: outside diameter, bore")
    sizes = [Reading(Kind.OUTSIDE_DIAMETER, 285.0, within=0.05), Reading(Kind.BORE, 160.1, within=0.05)]
    assert inspect_by_caliper(made.flange, [*sizes, *chords], made.inspection).is_usable
    wide = [sizes[0], Reading(Kind.BORE, 160.5, within=0.05)]
    found = inspect_by_caliper(made.flange, [*wide, *chords], made.inspection)
    assert caliper_verdict_text(found).startswith("Part does not pass: bore out of limits")


def test_holes_for_pins_have_a_box_with_the_limits_of_their_fit_and_are_judged() -> None:
    """ISO 286-2, from memory: H7 over 10 to 18 mm is +0.018/0."""
    pins = [{"kind": "dowel", "diameter": 12, "fit": "H7", "radius": 100, "angle": at} for at in (22.5, 202.5)]
    plate = {"outside_diameter": 285, "bore": 160}
    made = job_from_data({"units": "mm", "plate": plate, "bolt_circle": [PN16], "hole": pins})
    boxes = inspection_boxes(made.flange, made.inspection)
    lines = form_lines(made.flange, made.inspection, boxes, Unit.MM)
    asked = [line for line in lines if line.box.kind is Kind.HOLE_DIAMETER]
    assert [(line.box.from_hole, line.drawn, line.accept) for line in asked] == [
        (None, "22.00", ""),
        (9, "12.00", "12.000 to 12.018"),
        (10, "12.00", "12.000 to 12.018"),
    ]
    assert ("each dowel", "⌀12 H7", "12.000 – 12.018") in machined_sizes(made.flange, Lengths(Unit.MM))
    assert caliper_verdict_text(read(made, {})).endswith("not read of the check card: hole X1, hole X2")
    chords = [each.reading for each in read(made, {}).readings]
    wide = [Reading(Kind.HOLE_DIAMETER, size, at, within=0.002) for at, size in ((9, 12.01), (10, 12.03))]
    found = inspect_by_caliper(made.flange, [*chords, *wide], made.inspection)
    assert caliper_verdict_text(found).startswith("Part does not pass: hole X2 out of limits")
    by_places = [
        MeasuredHole(hole.center, hole.label, {"X1": 12.01, "X2": 12.03}.get(hole.label))
        for hole in made.flange.holes()
    ]
    fits = [each.size_fits for each in inspect_part(made.flange, by_places, made.inspection).holes]
    assert fits == [None] * 8 + [True, False]


def test_a_diagonal_is_named_as_the_card_names_it() -> None:
    made = job(PN16)
    named = [each.what for each in stated_limits(made.flange, made.inspection) if isinstance(each.what, Between)]
    assert [f"{each.first} - {each.second}" for each in named[:4]] == ["1 - 5", "3 - 7", "2 - 6", "4 - 8"]


def test_limits_of_a_standard_that_is_not_vouched_for_say_to_compare_them() -> None:
    (circle, *_) = stated_limits(job(PN16).flange, job(PN16).inspection)
    assert circle.source == "EN 1092-1, not verified: compare"


def test_a_general_tolerance_holds_sizes_on_form_and_in_the_inspection_as_on_the_card() -> None:
    """ISO 2768-1 m: over 6 to 30 mm ±0.2, over 120 to 400 mm ±0.5."""
    made = job(PN16, general="ISO 2768-1 m")
    boxes = inspection_boxes(made.flange, made.inspection)
    lines = form_lines(made.flange, made.inspection, boxes, Unit.MM)
    asked = [(line.box.kind, line.accept) for line in lines if line.box.kind in (*_SIZES, Kind.HOLE_DIAMETER)]
    holes = [(Kind.HOLE_DIAMETER, "21.80 to 22.20")] * 8
    assert asked == [(Kind.OUTSIDE_DIAMETER, "284.50 to 285.50"), (Kind.BORE, "159.50 to 160.50"), *holes]
    assert ("each hole", "⌀22", "21.80 – 22.20") in machined_sizes(made.flange, Lengths(Unit.MM))
    right = [each.reading for each in read(made, {}).readings]
    for size, verdict in ((22.0, "not read of the check card"), (22.5, "Part does not pass: hole 1 out of limits")):
        found = inspect_by_caliper(
            made.flange, [*right, Reading(Kind.HOLE_DIAMETER, size, 1, within=0.05)], made.inspection
        )
        assert verdict in caliper_verdict_text(found)
    by_places = [MeasuredHole(hole.center, hole.label, 22.5) for hole in made.flange.holes()]
    assert not any(each.size_fits for each in inspect_part(made.flange, by_places, made.inspection).holes)


def all_boxes(made: Job, unit: Unit = Unit.MM) -> CaliperInspection:
    """All boxes of the form as drawn, by a caliper good to 0.02 mm."""
    boxes = inspection_boxes(made.flange, made.inspection)
    lines = form_lines(made.flange, made.inspection, boxes, unit)
    ends = ((each.box.kind, to_mm(float(each.drawn), unit), each.box.from_hole, each.box.to_hole) for each in lines)
    taken = [Reading(kind, value, first, last, within=0.02) for kind, value, first, last in ends]
    return inspect_by_caliper(made.flange, taken, made.inspection)


GENERAL: dict[str, Any] = {"tolerances": {"general": "ISO 2768-1 m"}}
LUGS = {"outline": "lugged", "outside_diameter": 320, "lug_radius": 30, "lug_circle": 370, "lug_count": 4, "bore": 205}


@pytest.mark.slow
@every_row(
    ("plate", "more", "says"),
    [
        ({"outside_diameter": 285}, {}, "Part passes: every part that these readings allow keeps all limits"),
        ({"outside_diameter": 285, "thickness": 22}, {}, "; by the card alone: thickness"),
        (
            {"outside_diameter": 285, "thickness": 22},
            {"turned": [{"kind": "register", "face": "back", "diameter": 150, "depth": 4, "fit": "H8"}]},
            "; by the card alone: thickness, what is turned",
        ),
        (
            {"outside_diameter": 285},
            {"hole": [{"x": 0, "y": 0, "diameter": 20}, {"x": 40, "y": 0, "kind": "tapped", "thread": "M8"}]},
            "Holes that were read are good to use: all that the check card asks of them reads inside its limits; "
            "by the card alone: all of X2, place of X1 against the others",
        ),
        ({"outline": "rectangle", "width": 300, "height": 300}, {}, "; by the card alone: sides of the plate"),
        (LUGS, {"bolt_circle": [{"diameter": 370, "hole_count": 4, "hole_diameter": 22}]}, "alone: outside"),
    ],
)
def test_a_part_passes_only_if_nothing_that_has_limits_is_left_to_the_card(
    plate: dict[str, Any], more: dict[str, Any], says: str
) -> None:
    tables = {"units": "mm", "plate": plate, "bolt_circle": [PN16], "tolerances": {"general": "ISO 2768-1 m"}}
    found = all_boxes(job_from_data(tables | more))
    assert says in caliper_verdict_text(found)
    assert found.is_usable
    assert (found.verdict is CaliperVerdict.PASS) is says.startswith("Part passes")


@pytest.mark.parametrize("count", [pytest.param(each, marks=pytest.mark.slow) if each > 5 else each for each in (5, 9)])
def test_a_form_has_a_box_for_all_that_the_card_has_limits_for(count: int) -> None:
    """A part that is as drawn in every box is good to use, whatever the card asks across an odd number of holes."""
    circle = {"diameter": 240, "hole_count": count, "hole_diameter": 22}
    made = job_from_data({"units": "mm", "plate": {"outside_diameter": 285}, "bolt_circle": [circle]} | GENERAL)
    found = all_boxes(made)
    assert not found.unread
    assert found.is_usable


@pytest.mark.slow
def test_widths_that_no_form_has_boxes_for_are_left_to_the_card() -> None:
    grid = {"pitch": 30, "columns": 13, "rows": 5, "hole_diameter": 9}
    plate = {"outline": "rectangle", "width": 500, "height": 300}
    found = all_boxes(job_from_data({"units": "mm", "plate": plate, "hole_grid": [grid]} | GENERAL))
    assert not found.unread
    assert [hole.label for hole in found.unasked] == ["61", "62", "63", "64", "65"]


@every_row(
    ("drilling", "rows"),
    [
        (  # ISO 2768-1 m: over 6 to 30 mm ±0.2, over 30 to 120 mm ±0.3
            {"hole_diameter": 13, "kind": "counterbored", "seat_diameter": 20, "seat_depth": 12.6},
            {("each cbore", "⌀20", "19.80 – 20.20"), ("each cbore depth", "12.6", "12.40 – 12.80")},
        ),
        (
            {"hole_diameter": 13, "kind": "spotfaced", "seat_diameter": 32},
            {("each spotface", "⌀32", "31.70 – 32.30")},
        ),
    ],
)
def test_seats_are_held_on_the_card_and_named_by_the_verdict(
    drilling: dict[str, Any], rows: set[tuple[str, str, str]]
) -> None:
    plate = {"outside_diameter": 285, "thickness": 22}
    circle = {"diameter": 240, "hole_count": 4} | drilling
    made = job_from_data({"units": "mm", "plate": plate, "bolt_circle": [circle]} | GENERAL)
    assert set(machined_sizes(made.flange, Lengths(Unit.MM))) >= rows
    assert "by the card alone: thickness, seats of holes" in caliper_verdict_text(all_boxes(made))


CORNERS = [{"x": x, "y": y} for x, y in ((-150, -100), (150, -100), (90, 140), (-150, 140))]
PART = {"outline": "segment", "outside_diameter": 800, "inside_diameter": 500, "part_count": 4}


@pytest.mark.parametrize(("plate", "diameter"), [({"outline": "path", "path": CORNERS}, 100), (PART, 650)])
def test_an_outline_that_no_card_asks_for_is_left_to_the_drawing(plate: dict[str, Any], diameter: float) -> None:
    circle = {"diameter": diameter, "hole_count": 16, "hole_diameter": 13, "start_angle": 5}
    made = job_from_data({"units": "mm", "plate": plate, "bolt_circle": [circle]} | GENERAL)
    assert caliper_verdict_text(all_boxes(made)).endswith("; by the drawing: outline of the plate")


def test_what_has_limits_is_left_to_the_drawing_where_there_is_no_card() -> None:
    plate = {"outline": "rectangle", "width": 300, "height": 120, "thickness": 12}
    holes = [{"x": x, "y": 0, "diameter": 14} for x in (-110, 110)]
    found = all_boxes(job_from_data({"units": "mm", "plate": plate, "hole": holes} | GENERAL))
    assert caliper_verdict_text(found) == (
        "Holes good to use: all that was read of them is inside its limits; "
        "by the drawing: sides of the plate, thickness, place of X1, X2 against each other"
    )


@pytest.mark.slow
def test_a_circle_that_nothing_ties_to_the_other_is_left_to_the_card() -> None:
    inner = {"diameter": 190, "hole_count": 4, "hole_diameter": 10}
    made = job_from_data({"units": "mm", "plate": {"outside_diameter": 285}, "bolt_circle": [PN16, inner]})
    found = all_boxes(made)
    assert "place of B1 TO B4 against the others" in caliper_verdict_text(found)
    tie = Reading(Kind.SAME_EDGES, math.dist(*((at.x, at.y) for at in ends(made, "A1", "B1"))), 1, 9, within=0.02)
    tied = inspect_by_caliper(made.flange, [*(each.reading for each in found.readings), tie], made.inspection)
    assert "place of B1 TO B4 against the others" in caliper_verdict_text(tied), "no limit is of that reading"


def test_threads_are_left_to_a_gauge() -> None:
    """A caliper reads the crests alone; whether a screw goes in, a gauge tells (common practice, no source)."""
    threads = {"diameter": 240, "hole_count": 4, "kind": "tapped", "thread": "M10"}
    made = job_from_data({"units": "mm", "plate": {"outside_diameter": 285}, "bolt_circle": [threads]} | GENERAL)
    assert caliper_verdict_text(all_boxes(made)).endswith("; threads of 1 TO 4 by a gauge")


def test_a_size_of_the_plate_that_reads_out_of_limits_is_named() -> None:
    made = job_from_data({"units": "mm", "plate": {"outside_diameter": 285}, "bolt_circle": [PN16]} | GENERAL)
    # 285 +- 0.5 (ISO 2768-1 m, over 120 to 400); good to 0.3, it may still be within
    found = inspect_by_caliper(made.flange, [Reading(Kind.OUTSIDE_DIAMETER, 285.7, within=0.3)], made.inspection)
    assert "outside diameter reads out of limits" in caliper_verdict_text(found)


def ends(made: Job, *labels: str) -> list[Point]:
    return [hole.center for hole in made.flange.holes() if hole.label in labels]


def test_a_form_asks_the_width_of_slots_and_measures_between_their_middles() -> None:
    slots = {"diameter": 200, "hole_count": 6, "kind": "slot", "hole_diameter": 14, "slot_length": 40}
    tables = {"units": "mm", "plate": {"outside_diameter": 285}, "tolerances": {"chord": 0.5}}
    for circle, said, words in (
        (slots, True, "width any slot"),
        (slots | {"kind": "drilled", "slot_length": None}, False, "⌀ any hole"),
    ):
        own = {key: value for key, value in circle.items() if value is not None}
        forms = form_packet(job_from_data(tables | {"bolt_circle": [own]}), "T-1.toml")
        (form,) = (pdf_pages_text(data) for name, data in forms.items() if name.endswith(".pdf"))
        assert ("Slots: mark their middles and measure between the marks." in form) is said
        assert words in form


def test_no_bolt_goes_through_a_thread() -> None:
    """The tap drill of M16 is 14 mm (ISO 2306, from memory): as a bolt hole of M16 it would never pass."""
    tapped = {"diameter": 240, "hole_count": 8, "kind": "tapped", "thread": "M16", "depth": 20, "bolt": "M16"}
    made = job_from_data({"units": "mm", "plate": {"outside_diameter": 285, "thickness": 30}, "bolt_circle": [tapped]})
    assert made.inspection.groups[0].bolt == ""
    assert all_boxes(made).bolts == ()


def test_what_is_less_than_the_last_figure_is_not_told_as_nothing() -> None:
    spot = PlacesResult(AllPlaces(("1", "2")), 1.0, "M20", 0.0, 0.002, Standing.OPEN)
    assert "a hole may be less than 0.01 mm out of its zone" in places_text(spot, Unit.MM)


_SIZES = (Kind.OUTSIDE_DIAMETER, Kind.BORE)
