"""What a shop's own block of tolerances holds, and what nothing does: the block is the job's own statement.

A size of two decimals of inches is held to the line of two, one up to 100 mm to the line up to 100: what such a block
says of itself.
"""

from typing import Any

import pytest

from checks.inspection.test_one_rule import PN16, all_boxes
from flangelayout.checks.inspection.caliper import inspect_by_caliper
from flangelayout.checks.inspection.caliper_results import CaliperInspection, CaliperVerdict, CircleOf, Standing
from flangelayout.checks.inspection.wanted import inspection_boxes
from flangelayout.drawing.model import LinearDimension
from flangelayout.job import Job
from flangelayout.job.load import job_from_data
from flangelayout.survey.kinds import Kind
from flangelayout.survey.readings import Reading
from flangelayout.units import Unit
from flangelayout.value import replace
from flangelayout.views.words.bench.measuring import further_distances, machined_sizes
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.parts.caliper import caliper_lines, caliper_verdict_text, form_lines
from rows import every_row
from views.sheet_audit import dimension_items

_BLOCK = [".X = ±.1", ".XX = ±.03", ".XXX = ±.010", "ANGLES = ±.5°"]
_INCHES = {
    "units": "in",
    "plate": {"outside_diameter": "11.00", "bore": "6.50"},
    "bolt_circle": [{"diameter": "9.500", "hole_count": 8, "hole_diameter": "0.875", "bolt": "3/4"}],
}
_PLATE = {"outline": "rectangle", "width": "16.000", "height": "10.000"}
_MM = {
    "units": "mm",
    "plate": {"outside_diameter": 300, "bore": 150},
    "bolt_circle": [{"diameter": 250, "hole_count": 8, "hole_diameter": 18, "bolt": "M16"}],
}


def job(tables: dict[str, Any], *block: str, **tolerances: object) -> Job:
    stated = {"block": [*block], **tolerances} if block else tolerances
    return job_from_data(tables | {"tolerances": stated})


def on_form(made: Job, unit: Unit) -> dict[str, str]:
    boxes = inspection_boxes(made.flange, made.inspection)
    return {line.drawn: line.accept for line in form_lines(made.flange, made.inspection, boxes, unit)}


def with_first_hole(made: Job, found: CaliperInspection, width: float) -> CaliperInspection:
    """The same readings, but for the width of the first hole."""
    taken = [replace(each.reading, value=width) if each.labels == ("1",) else each.reading for each in found.readings]
    return inspect_by_caliper(made.flange, taken, made.inspection)


@pytest.mark.slow
def test_a_size_is_held_to_the_line_of_a_block_for_its_decimals_on_form_and_card_and_in_the_inspection() -> None:
    made = job(_INCHES, *_BLOCK)
    held = on_form(made, Unit.IN)
    assert held["11.000"] == "10.970 to 11.030"
    assert held["6.500"] == "6.470 to 6.530"
    assert held["0.875"] == "0.865 to 0.885"
    assert held["9.500"] == "9.490 to 9.510"
    assert held["3.635"] == "", "no drawing writes the distance of neighbors, with no decimals"
    rows = set(machined_sizes(made.flange, Lengths(Unit.IN)))
    assert rows >= {("outside", "⌀11", "10.970 – 11.030"), ("each hole", "⌀7/8", "0.865 – 0.885")}
    right = all_boxes(made, Unit.IN)
    assert caliper_verdict_text(right).startswith("Part passes")
    wide = with_first_hole(made, right, 0.950 * 25.4)
    assert caliper_verdict_text(wide).startswith("Part does not pass: hole 1 out of limits")
    thick = job(_INCHES | {"plate": _INCHES["plate"] | {"thickness": "0.750"}}, *_BLOCK)  # type: ignore[operator]
    assert "; by the card alone: thickness" in caliper_verdict_text(all_boxes(thick, Unit.IN))


def test_a_circle_of_which_no_two_holes_stand_across_is_held_as_a_whole_to_the_line_for_its_decimals() -> None:
    """By hand: the widest chord of seven on ⌀8.250 is 8.250 sin(3 × 180° / 7) = 8.0432; as read, ⌀8.308."""
    seven = {"diameter": "8.250", "hole_count": 7, "hole_diameter": "0.9375", "start_angle": 13.3}
    made = job(_INCHES | {"bolt_circle": [seven]}, *_BLOCK)
    right = all_boxes(made, Unit.IN)
    (circle,) = (each for each in right.limits if isinstance(each.what, CircleOf))
    assert [round(end / 25.4, 4) for end in (circle.least, circle.most)] == [8.24, 8.26]
    assert circle.standing is Standing.KEPT
    wide = [
        replace(each.reading, value=each.reading.value * 8.308 / 8.25) if len(each.labels) == 2 else each.reading
        for each in right.readings
    ]
    found = inspect_by_caliper(made.flange, wide, made.inspection)
    assert caliper_verdict_text(found).startswith("Part does not pass: bolt circle out of limits")


def test_the_sides_of_a_rectangle_of_holes_are_held_to_the_line_for_their_decimals() -> None:
    base = {"width": "6.500", "height": "5.00", "hole_diameter": "0.563", "bolt": "1/2"}
    made = job(_INCHES | {"hole_rectangle": [base]}, *_BLOCK)
    held = on_form(made, Unit.IN)
    assert held["6.500"] == "6.490 to 6.510"
    assert held["5.000"] == "4.970 to 5.030"
    assert not held.get("8.201"), "no drawing writes the diagonal of 6.500 and 5.00"
    read = all_boxes(made, Unit.IN)
    sides = [each for each in read.readings if each.nominal and abs(each.nominal - 6.5 * 25.4) < 1e-6]
    far = [replace(each.reading, value=6.56 * 25.4) if each in sides else each.reading for each in read.readings]
    wide = inspect_by_caliper(made.flange, far, made.inspection)
    assert sides
    assert not wide.is_usable


def test_the_long_sides_of_a_rectangle_are_read_and_held_from_corner_to_corner() -> None:
    """Neighbors alone would let what they are off add up, and none of a low rectangle's long sides was read."""
    base = {"width": "9.000", "height": "3.000", "columns": 3, "hole_diameter": "0.563", "x": "0.5", "y": "4.00"}
    low = {"width": "8.000", "height": "2.00", "hole_diameter": "0.500"}
    plate = {"outline": "rectangle", "width": "14.00", "height": "14.00"}
    made = job({"units": "in", "plate": plate, "hole_rectangle": [base, low]}, *_BLOCK)
    held = on_form(made, Unit.IN)
    assert held["9.000"] == "8.990 to 9.010"
    assert held["8.000"] == "7.990 to 8.010"
    assert held["4.500"] == "", "no drawing writes how far apart holes of a row are that stand evenly"
    card = {row[1]: row[2] for row in further_distances(made.flange, Lengths(Unit.IN))}
    assert card == {"9.000": "8.990 – 9.010"}


def test_the_pitches_of_a_grid_are_read_and_held_as_the_drawing_writes_them() -> None:
    grid = {"pitch_x": "1.500", "pitch_y": "2.00", "columns": 4, "rows": 3, "hole_diameter": "0.500"}
    made = job({"units": "in", "plate": {"outside_diameter": "11.00"}, "hole_grid": [grid]}, *_BLOCK)
    held = on_form(made, Unit.IN)
    assert (held["1.500"], held["2.000"]) == ("1.490 to 1.510", "1.970 to 2.030")
    assert held["4.500"] == "", "no drawing writes how far the columns are apart in all"
    card = {row[1]: row[2] for row in further_distances(made.flange, Lengths(Unit.IN))}
    assert (card["1.500"], card["2.000"]) == ("1.490 – 1.510", "1.970 – 2.030")


@pytest.mark.slow
@every_row(
    ("places", "apart", "held"),
    [
        ([("3.000", "0"), ("-3.000", "0")], "6.000", "5.990 to 6.010"),
        ([("0", "3.00"), ("0", "-3.00")], "6.000", "5.990 to 6.010"),
        ([("0", "2.000"), ("3.000", "2.000")], "3.000", "2.990 to 3.010"),
        ([("1.000", "2.000"), ("3.500", "2.000")], "2.500", ""),
        ([("3.000", "1.000"), ("-3.000", "-1.000")], "6.325", ""),
        ([(f"{x}", f"{y}") for x, y in ((1, 0), (-1, 0), (0, 1), (0, 2), (0, 3), (0, 4))], "2.000", ""),
    ],
)
def test_single_holes_are_held_to_the_line_for_the_decimals_of_their_dimension(
    places: list[tuple[str, str]], apart: str, held: str
) -> None:
    """What stands evenly on both sides of a centerline is dimensioned across it (ISO 129-1), else from it."""
    holes = [{"diameter": ".250", "x": x, "y": y} for x, y in places]
    made = job(_INCHES | {"plate": {"outside_diameter": "11.00"}, "hole": holes}, ".XXX = ±.010")
    assert on_form(made, Unit.IN)[apart] == held
    card = {row[1]: row[2] for row in further_distances(made.flange, Lengths(Unit.IN))}
    assert card[apart] == held.replace(" to ", " – ")
    written = {item.what.text for item in dimension_items(made)[0] if isinstance(item.what, LinearDimension)}
    assert (apart in written) is bool(held), "a distance is held as written if it is written"


@pytest.mark.slow
def test_a_size_is_held_to_the_line_of_a_block_for_sizes_so_large() -> None:
    made = job(_MM, "up to 100 = ±0.5", "over 100 = ±1")
    held = on_form(made, Unit.MM)
    assert held["300.00"] == "299.00 to 301.00"
    assert held["18.00"] == "17.50 to 18.50"
    assert ("bore", "⌀150", "149.00 – 151.00") in machined_sizes(made.flange, Lengths(Unit.MM))
    wide = with_first_hole(made, all_boxes(made), 20.5)
    assert caliper_verdict_text(wide).startswith("Part does not pass: hole 1 out of limits")


@pytest.mark.slow
@every_row(
    ("block", "general", "says"),
    [
        (["SIZES = as the card of the shop says"], "", "sizes that the block of the drawing names"),
        (["HOLES = +0.2/0", "up to 400 = ±0.5"], "", "sizes that the block of the drawing names"),
        ([".XX = ±.03"], "", "sizes that the block of the drawing names"),
        (["over 100 = ±1"], "", "width of holes, of which nothing is stated"),
        ([], "ISO 9013 class 2", "width of holes, of which nothing is stated"),
    ],
)
def test_a_part_whose_limits_only_a_person_can_tell_is_called_good_by_no_readings(
    block: list[str], general: str, says: str
) -> None:
    found = all_boxes(job(_MM, *block, **({"general": general} if general else {})))
    assert not found.is_usable
    assert caliper_verdict_text(found).startswith("Open: ")
    assert caliper_verdict_text(found).endswith(f"; hold against the drawing yourself: {says}")


@pytest.mark.slow
def test_no_part_passes_by_a_width_that_has_no_limits() -> None:
    made = job_from_data({"units": "mm", "plate": {"outside_diameter": 285}, "bolt_circle": [PN16]})
    chords = [each.reading for each in all_boxes(made).readings if each.reading.kind is not Kind.HOLE_DIAMETER]
    assert inspect_by_caliper(made.flange, chords, made.inspection).verdict is CaliperVerdict.PASS
    found = inspect_by_caliper(made.flange, [*chords, Reading(Kind.HOLE_DIAMETER, 22.5)], made.inspection)
    assert found.verdict is CaliperVerdict.OPEN
    assert caliper_verdict_text(found) == (
        "Nothing that was read is out of limits: all that the check card asks of them reads inside its limits; "
        "no limits for the width of 1 TO 8"
    )


def test_slots_are_held_in_width_and_named_as_slots_and_their_length_is_left_to_the_card() -> None:
    """ISO 2768-1 m: over 6 to 30 mm ±0.2, over 30 to 120 mm ±0.3."""
    slots = {"diameter": 200, "hole_count": 4, "kind": "slot", "hole_diameter": 14, "slot_length": 40}
    made = job(_MM | {"bolt_circle": [slots]}, general="ISO 2768-1 m")
    right = all_boxes(made)
    assert "; by the card alone: length of slots" in caliper_verdict_text(right)
    rows = set(machined_sizes(made.flange, Lengths(Unit.MM)))
    assert rows >= {("each slot width", "14", "13.80 – 14.20"), ("each slot length", "40", "39.70 – 40.30")}
    wide = with_first_hole(made, right, 20.0)
    assert caliper_verdict_text(wide).startswith("Part does not pass: width of slot 1 out of limits")
    assert "slot width 1: 20.00 ± 0.02 mm, drawn 14.00, may be 13.80 to 14.20" in "\n".join(
        caliper_lines(wide, Unit.MM)
    )


def test_slots_of_a_rectangle_have_boxes_for_their_width() -> None:
    slots = {"width": 120, "height": 80, "kind": "slot", "hole_diameter": 18, "slot_length": 40, "slot_along": "x"}
    made = job({"units": "mm", "plate": {"outside_diameter": 300}, "hole_rectangle": [slots]}, general="ISO 2768-1 c")
    assert on_form(made, Unit.MM)["18.00"] == "17.50 to 18.50"  # ISO 2768-1 c: over 6 to 30 mm ±0.5


def test_the_outside_is_held_to_the_steps_of_iso_13920_that_the_drawing_has_of_it() -> None:
    """ISO 13920 B: over 120 to 400 mm ±2 (as printed)."""
    made = job(_MM, general="ISO 13920 B")
    assert ("outside", "⌀300", "298.00 – 302.00") in machined_sizes(made.flange, Lengths(Unit.MM))
    assert on_form(made, Unit.MM)["300.00"] == "298.00 to 302.00"


def test_limits_of_a_size_that_follows_have_the_figures_of_a_caliper_where_they_lie_far_apart() -> None:
    """A window of 40° between ⌀140 and ⌀180 has a length of 58.04; ISO 2768-1 m: over 30 to 120 mm ±0.3."""
    window = {"shape": "window", "inner_diameter": 140, "outer_diameter": 180, "sweep": 40, "corner_radius": 6}
    tables = {"units": "mm", "plate": {"outside_diameter": 300}, "bolt_circle": _MM["bolt_circle"]}
    made = job(tables | {"opening": [window]}, general="ISO 2768-1 m")
    limits = {name: held for name, _, held in machined_sizes(made.flange, Lengths(Unit.MM))}
    assert limits["opening 1 length"] == "57.74 – 58.33"


@pytest.mark.slow
def test_readings_that_nothing_limits_hold_no_hole_in_place() -> None:
    """Between the corners of a rectangle the block holds nothing (the drawing writes its sides), nor from B to A."""
    base = {"width": "13.500", "height": "7.500", "columns": 4, "hole_diameter": "0.563"}
    made = job({"units": "in", "plate": _PLATE, "hole_rectangle": [base]}, *_BLOCK)
    assert "place of 1, 4, 5, 8 against the others" in caliper_verdict_text(all_boxes(made, Unit.IN))
    outer = {"diameter": 250, "hole_count": 8, "hole_diameter": 18, "bolt": "M16"}
    ring = {"diameter": 150, "hole_count": 6, "hole_diameter": 14}
    two = job_from_data(
        {
            "units": "mm",
            "plate": {"outside_diameter": 300},
            "bolt_circle": [outer, ring],
            "tolerances": {"general": "ISO 2768-1 m"},
        }
    )
    right = all_boxes(two, Unit.MM)
    a, b = two.flange.holes()[0], two.flange.holes()[8]
    further = Reading(Kind.SAME_EDGES, a.center.distance_to(b.center) + 3.0, 1, 9)
    with_it = inspect_by_caliper(two.flange, [*(each.reading for each in right.readings), further], two.inspection)
    assert "place of B1 TO B6 against the others" in caliper_verdict_text(right)
    assert "place of B1 TO B6 against the others" in caliper_verdict_text(with_it)
