"""The notes of the first sheet: the cautions that apply stand on the paper that leaves the office, and no others."""

from typing import Any

import pytest

from flangelayout.checks import Rule
from flangelayout.flange import BoltCircle, Flange, HoleGrid, RoundOutline, SingleHole
from flangelayout.flange.drilling import Drilling
from flangelayout.geometry.shapes import Point
from flangelayout.packet.job import layout_pages
from flangelayout.provenance import Confidence
from flangelayout.units import Unit
from flangelayout.value import replace
from flangelayout.views.words.call_outs import seen_from
from flangelayout.views.words.joint.turned import turned_notes
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.notes import group_note
from flangelayout.writers.pdf import write_pdf
from jobs import make_job
from readers import pdf_pages_text
from rows import every_row, first_of

GENERAL = "Layout aid, not a design."
PLATE_FLANGE = "carries no class or rating"
ROAD = "no claim of fitness for the road"
HOT_WORK = "never presume a line, drum or tank is clean"
VENT, DRAIN = (SingleHole(Point(0.0, y), Drilling(10.0)) for y in (60.0, -60.0))
EXTRA_HOLE = "takes a standard blind out of its standard"
CIRCLE = {"diameter": 240, "hole_count": 8, "hole_diameter": 22}
BLIND = {"outside_diameter": 285, "thickness": 22}


def sheet_text(**tables: Any) -> str:  # noqa: ANN401 - tables of any kind
    """Everything printed on the sheet, its lines joined."""
    return pdf_pages_text(write_pdf(layout_pages(make_job(**tables))))


@pytest.mark.slow
def test_the_general_caution_stands_on_every_sheet() -> None:
    for plate in (BLIND, BLIND | {"bore": 170}, {"outline": "square", "width": 300, "thickness": 10}):
        text = sheet_text(plate=plate)
        assert GENERAL in text
        assert "by a qualified person to the local code" in text


@every_row(
    ("plate", "circle", "told"),
    [
        ({"bore": 170}, {"standard": "EN 1092-1 PN16 DN150"}, True),
        ({"bore": 170}, CIRCLE | {"gasket_thickness": 2}, True),
        ({"bore": 170, "raised_face_diameter": 212}, CIRCLE, True),
        ({"bore": 170}, CIRCLE, False),
        ({}, CIRCLE, False),
    ],
)
def test_a_ring_that_is_said_to_be_a_pipe_flange_is_told_that_it_carries_no_rating(
    plate: dict[str, float], circle: dict[str, Any], told: bool
) -> None:
    assert (PLATE_FLANGE in sheet_text(plate=BLIND | plate, bolt_circle=[circle])) is told


def test_a_sheet_with_slots_says_what_their_length_is() -> None:
    slots = {"slot_length": 40, "kind": "slot"}
    assert "Slots: width × length over all" in sheet_text(plate=BLIND, bolt_circle=[CIRCLE | slots])
    assert "Slots" not in sheet_text(plate=BLIND, bolt_circle=[CIRCLE])


def test_which_unit_is_the_master_stands_before_all_but_the_notes_of_the_shop() -> None:
    text = sheet_text(sheet={"dual_units": True}, job={"notes": ["Mind the lugs."]}, plate=BLIND, bolt_circle=[CIRCLE])
    assert "1. Mind the lugs. 2. Master unit: millimeters; [inches] for reference only" in text


def test_a_wheel_adapter_makes_no_claim_for_the_road() -> None:
    plate = {"outside_diameter": 150, "bore": 60, "thickness": 20}
    wheel = sheet_text(plate=plate, bolt_circle=[{"standard": "wheel hub 5x114.3", "hole_diameter": 14}])
    assert ROAD in wheel
    assert "local law" in wheel
    assert ROAD not in sheet_text(plate=BLIND)


def test_an_extra_hole_in_a_blind_is_told() -> None:
    hole = {"diameter": 14, "x": 30, "y": 0}
    assert EXTRA_HOLE in sheet_text(plate=BLIND, hole=[hole])
    assert EXTRA_HOLE not in sheet_text(plate=BLIND)


def test_what_the_job_does_not_state_is_said_to_be_missing() -> None:
    bare = sheet_text(plate={"outside_diameter": 285})
    assert "Thickness not stated: measure it" in bare
    assert "Drilling tolerance not stated: ask" in sheet_text()
    stated = sheet_text(plate=BLIND, tolerances={"bolt_circle": 1.5, "chord": 0.8})
    assert "not stated" not in stated
    assert "centers, any 2 of a circle ±0.8" in stated


def test_the_notes_of_the_job_and_the_face_it_is_seen_from_are_printed() -> None:
    text = sheet_text(plate=BLIND | {"face": "pump side"}, job={"number": "T-1", "notes": ["Deburr the pump side."]})
    assert "Deburr the pump side." in text
    assert "Seen from PUMP SIDE, numbers counter-clockwise." in text
    assert text.index("Deburr") < text.index("Seen from"), "the shop's own notes come first"


def test_which_way_numbers_run_is_said_of_two_holes_or_more() -> None:
    one, two = (Flange(RoundOutline(285.0), (), single_holes=holes) for holes in ((VENT,), (VENT, DRAIN)))
    assert seen_from(one) == "Seen from GASKET FACE"
    assert seen_from(two) == "Seen from GASKET FACE, numbers as in the hole table"


@every_row("over", [False, True])
def test_numbers_of_a_grid_are_said_to_run_as_they_do(over: bool) -> None:
    """By its places: from the top down, in a row from one side to the other."""
    grid = HoleGrid(Drilling(10.0), 3, 2, 40.0, 30.0)
    plate = Flange(RoundOutline(285.0), (), patterns=(grid,))
    shown = [(-hole.center.y, (-1.0 if over else 1.0) * hole.center.x) for hole in plate.holes()]
    side = {True: "left", False: "right"}[shown == sorted(shown)]
    assert seen_from(plate, over) == f"Seen from GASKET FACE, numbers row by row from the upper {side}"
    both = replace(plate, bolt_circles=(BoltCircle(240.0, 8, 22.0),))
    way = "clockwise" if over else "counter-clockwise"
    assert seen_from(both, over).endswith(f"numbers {way}, of a grid row by row from the upper {side}")


def test_what_the_checks_found_stands_on_the_sheet_with_its_figures() -> None:
    # 24 holes of 22 on 240: chord 240 sin 7.5 = 31.33, metal 9.33, less than half a hole (common practice).
    text = sheet_text(plate=BLIND, bolt_circle=[CIRCLE | {"hole_count": 24}])
    boxed = text[text.index("CHECK BEFORE CUTTING") :]
    assert "9.33 mm" in boxed
    assert boxed.startswith("CHECK BEFORE CUTTING 1. Between bolt circle, hole "), "a sentence, not a fragment"
    assert "11.00 mm" in boxed or "11 mm" in boxed
    assert "CHECK BEFORE CUTTING" not in sheet_text(plate=BLIND)


@pytest.mark.parametrize(
    ("process", "told"), first_of([("plasma", True), ("waterjet", False), ("oxyfuel", True), ("", False)], 2)
)
def test_heat_is_spoken_of_where_the_plate_is_cut_by_it(process: str, told: bool) -> None:
    text = sheet_text(plate=BLIND, **({"cut": {"process": process}} if process else {}))
    assert ("Thermally cut bolt holes" in text) is told


def test_hot_work_on_lines_is_spoken_of_where_the_plate_belongs_to_one() -> None:
    wheel = {"standard": "wheel hub 5x114.3", "hole_diameter": 14}
    pipe = {"standard": "EN 1092-1 PN16 DN150"}
    assert HOT_WORK in sheet_text(plate=BLIND, bolt_circle=[pipe])
    assert HOT_WORK not in sheet_text(plate={"outside_diameter": 150, "bore": 60, "thickness": 20}, bolt_circle=[wheel])
    assert HOT_WORK not in sheet_text(plate=BLIND | {"bore": 170, "material": "rubber sheet"}, bolt_circle=[pipe])


def test_figures_from_memory_say_what_to_do_about_them() -> None:
    text = sheet_text(
        plate={"outside_diameter": 120, "thickness": 20},
        bolt_circle=[{"standard": "ISO 5211 F10", "hole_diameter": 12}],
    )
    assert "figures not verified: compare them with the standard before cutting" in text


def test_a_plate_without_holes_is_told_nothing_of_holes() -> None:
    text = sheet_text(plate=BLIND | {"bore": 170}, bolt_circle=[])
    assert "Seen from FRONT FACE." in text
    assert "rilling tolerance" not in text
    assert "numbers" not in text


def test_sources_bolt_lengths_and_the_bill_stand_on_the_sheets_only_when_asked_for() -> None:
    circle = [CIRCLE | {"bolt": "M20"}]
    usual = sheet_text(plate=BLIND, bolt_circle=circle)
    heads = ("BILL OF MATERIAL", "BOLT LENGTHS", "WHERE FIGURES COME FROM", "DRILLING SEQUENCE", "STEP-OFF PLAN")
    assert not any(head in usual for head in heads)
    parts = ["bill", "bolt lengths", "sources", "sequences", "step-off plan"]
    asked = sheet_text(plate=BLIND | {"material": "carbon steel"}, bolt_circle=circle, sheet={"parts": parts})
    assert all(head in asked for head in heads)
    assert "AT THE PLATE" in usual
    assert "AT THE PLATE" not in asked


def test_what_is_to_be_noticed_stands_among_the_notes() -> None:
    # EN 1092-1: DN200 has 8 holes in PN10 and 12 in PN16, on one circle.
    text = sheet_text(
        plate={"outside_diameter": 340, "thickness": 22}, bolt_circle=[{"standard": "EN 1092-1 PN10 DN200"}]
    )
    assert "PN 10 has 8 holes and PN 16 has 12" in text
    assert "CHECK BEFORE CUTTING" not in text


def test_a_face_is_called_gasket_face_only_where_the_holes_are_a_flanges_that_seals() -> None:
    plain = {"diameter": 240, "hole_count": 8, "hole_diameter": 22}
    tapped = {"diameter": 240, "hole_count": 8, "kind": "tapped", "thread": "M16"}
    motor = {"standard": "IEC 100 B5"}
    pipe = {"standard": "EN 1092-1 PN16 DN150"}
    for circle, face in (
        (plain, "front face"),
        (plain | {"gasket_thickness": 2}, "gasket face"),
        (pipe, "gasket face"),
        (pipe | {"kind": "tapped", "thread": "M20"}, "gasket face"),
        (tapped, "front face"),
        (motor, "front face"),
    ):
        assert make_job(bolt_circle=[circle]).flange.face == face
    assert (
        make_job(plate={"outside_diameter": 285, "face": "pump side"}, bolt_circle=[motor]).flange.face == "pump side"
    )
    gasket = {"outside_diameter": 285, "bore": 170, "thickness": 3, "material": "rubber"}
    assert make_job(plate=gasket, bolt_circle=[pipe]).flange.face == "front face"


def test_a_gaskets_card_speaks_of_no_plate() -> None:
    plate = {"outside_diameter": 285, "bore": 170, "thickness": 2, "material": "fiber gasket sheet"}
    text = sheet_text(plate=plate)
    assert "AT THE GASKET" in text
    assert "use a rule, not the jaws of a caliper" in text
    assert "AT THE PLATE" not in text


def test_studs_are_called_studs_and_sizes_in_inches_have_their_unit() -> None:
    circle = {"standard": "EN 1092-1 PN16 DN150", "fastener": "stud"}
    assert "studs M20" in group_note(make_job(bolt_circle=[circle]).flange, 0, Unit.MM)
    for bolt, told in (("1", "bolts 1 in."), ("1 1/8", "bolts 1 1/8 in."), ("M20", "bolts M20.")):
        plain = CIRCLE | {"hole_diameter": 30, "bolt": bolt}
        assert told in group_note(make_job(bolt_circle=[plain]).flange, 0, Unit.MM)
    for kind in ("counterbored", "countersunk"):  # heads of screws: ISO 4762, ISO 10642
        sunk = {"diameter": 240, "hole_count": 8, "bolt": "M12", "kind": kind}
        assert "screws M12." in group_note(make_job(bolt_circle=[sunk]).flange, 0, Unit.MM)


@pytest.mark.slow
def test_of_one_thing_a_sheet_speaks_as_of_one() -> None:
    plate = {"outside_diameter": 285, "thickness": 30, "material": "carbon steel plate"}
    eye = {"kind": "lifting", "thread": "M16", "x": 0, "y": 0}
    text = sheet_text(plate=plate, hole=[eye])
    assert "nothing is lifted by it before" in text
    assert "PLACES PER HOLE TABLE" not in text
    assert "nothing is lifted by them before" in sheet_text(plate=plate, hole=[eye | {"x": 50}, eye | {"x": -50}])


def test_a_program_that_is_not_written_is_no_note_of_a_drawing() -> None:
    """What the machine page and the command say of it is not for the man at the plate."""
    job = make_job(machine={"files": ["drilling program"]})
    assert any(finding.rule is Rule.DRILL_PROGRAM for finding in job.findings)
    assert "drilling program" not in sheet_text(machine={"files": ["drilling program"]})


def test_thickness_over_all_is_spoken_of_only_where_something_stands_out_of_a_face() -> None:
    plate = {"outside_diameter": 285, "bore": 100, "thickness": 30}
    sunk = {"kind": "recess", "diameter": 180, "depth": 5}
    raised = {"kind": "spigot", "diameter": 180, "height": 4, "fit": "h8"}
    for turned, told in ((sunk, False), (raised, True)):
        notes = turned_notes(make_job(plate=plate, turned=[turned]).flange, Lengths(Unit.MM))
        assert any("Thickness is over all" in note for note in notes) is told


def test_limits_of_fits_that_one_source_gives_are_to_be_checked_before_machining() -> None:
    plate = {"outside_diameter": 285, "bore": 100, "thickness": 30}
    register = {"kind": "register", "diameter": 180, "depth": 5, "fit": "H7"}
    flange = make_job(plate=plate, turned=[register]).flange
    assert list(turned_notes(flange, Lengths(Unit.MM))) == ["Limits of fits by ISO 286-1: check them before machining."]
    fit = flange.turned[0].fit
    assert fit
    vouched = replace(flange.turned[0], fit=replace(fit, confidence=Confidence.TWO_SOURCES))
    told = turned_notes(replace(flange, turned=(vouched,)), Lengths(Unit.MM))
    assert list(told) == ["Limits of fits by ISO 286-1."]


@pytest.mark.slow
def test_a_spotface_is_told_to_clean_up() -> None:
    """It has no depth of its own: the leader to it and the notes say what ends it (common practice, no source)."""
    circle = {"diameter": 240, "hole_count": 8, "hole_diameter": 18, "kind": "spotfaced", "seat_diameter": 34}
    hole = {"diameter": 14, "x": 0, "y": 60, "kind": "spotfaced", "seat_diameter": 26}
    plate = {"outside_diameter": 285, "bore": 80, "thickness": 22}
    said = sheet_text(plate=plate, bolt_circle=[circle], hole=[hole])
    assert "SPOTFACE ⌀34 TO CLEAN UP" in said
    assert "spotfaces clean the face up" in said
    assert "SPOTFACE ⌀26 TO CLEAN UP" in said
