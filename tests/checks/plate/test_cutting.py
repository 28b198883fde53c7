"""What is told about a cut file and a drilling program before they run."""

from typing import Any

from checking import said
from flangelayout.checks import Finding, Result, Rule, check_cutting, check_drill_depth
from flangelayout.checks.finding import Remedy
from flangelayout.flange import Dowel, Drilling, Flange, Opening, SingleHole, Slot, SlotDirection, SplitOutline, Tapped
from flangelayout.flange.cutting import CutOptions, CutProcess, HoleCut, LeadShape, Mark, SmallestHole
from flangelayout.flange.plate import RectangleForm
from flangelayout.geometry.contours import rounded_polygon
from flangelayout.geometry.shapes import Point
from flangelayout.standards.shop import smallest_hole
from flangelayout.units import Unit
from flangelayout.value import replace
from jobs import bolt_circle, flange
from rows import every_row

PLASMA: dict[str, Any] = {"process": CutProcess.PLASMA, "smallest": smallest_hole(CutProcess.PLASMA)}


def all_found(plate: Flange, number: str = "T-1", **options: Any) -> tuple[Finding, ...]:  # noqa: ANN401 # the fields of CutOptions
    return check_cutting(plate, CutOptions(**options), number)


def found(plate: Flange, number: str = "T-1", **options: Any) -> tuple[Finding, ...]:  # noqa: ANN401 # the fields of CutOptions
    return tuple(each for each in all_found(plate, number, **options) if each.is_remark)


def test_a_job_that_asks_for_nothing_finds_nothing() -> None:
    assert found(flange(thickness=22.0)) == ()


def test_holes_below_the_limit_are_told_with_numbers_and_origin() -> None:
    plate = flange(thickness=22.0)
    (finding,) = found(plate, **PLASMA)
    assert finding.failed
    assert finding.limit is not None
    assert (finding.value, finding.limit.value, finding.limit.share) == (22.0, 33.0, 1.5)
    text = said(plate, finding)
    assert "bolt circle: 8 × 22 mm is smaller than plasma cuts well, 33 mm (1.5 × thickness, one source only" in text


@every_row("thickness", [14.0, 22.0 / 1.5])
def test_holes_at_or_above_the_limit_pass(thickness: float) -> None:
    assert found(flange(thickness=thickness), **PLASMA) == ()
    (passed,) = all_found(flange(thickness=thickness), **PLASMA)
    assert (passed.rule, passed.result, passed.value) == (Rule.SMALLEST_CUT_HOLE, Result.PASSED, 22.0)


def test_a_hole_just_below_the_limit_does_not_pass() -> None:
    assert found(flange(thickness=14.67), **PLASMA)


def test_numbers_stand_in_the_unit_of_the_job() -> None:
    plate = flange(bolt_circle(hole_diameter=22.225), thickness=25.4)
    (finding,) = found(plate, **PLASMA)
    assert "8 × 7/8 in is smaller than plasma cuts well, 1 1/2 in" in said(plate, finding, Unit.IN)


def test_what_is_done_about_small_holes_is_noted() -> None:
    under = found(flange(thickness=22.0), small_holes=HoleCut.UNDERSIZE, undersize=3.0, **PLASMA)
    marked = found(flange(thickness=22.0), small_holes=HoleCut.CENTER_MARK, **PLASMA)
    assert [(each.rule, each.result) for each in (*under, *marked)] == [
        (Rule.CUT_UNDERSIZE, Result.NOTED),
        (Rule.CUT_CENTER_MARK, Result.NOTED),
    ]
    assert "bolt circle: 8 × 22 mm cut undersize at 19 mm; drill to size" in said(flange(), under[0])
    assert "bolt circle: 8 × 22 mm not cut, centers marked; drill them" in said(flange(), marked[0])


def test_a_slot_is_told_as_one_and_milled() -> None:
    """A drill put to the middle of it would make a round hole of a slot."""
    slot = SingleHole(Point(0.0, 60.0), Drilling(14.0, kind=Slot(34.0, SlotDirection.X)))
    plate = flange(bolt_circle(hole_diameter=40.0), thickness=22.0, single_holes=(slot,))
    (failed,) = found(plate, **PLASMA)
    (marked,) = found(plate, small_holes=HoleCut.CENTER_MARK, **PLASMA)
    (under,) = found(plate, small_holes=HoleCut.UNDERSIZE, undersize=3.0, **PLASMA)
    assert "hole X1: slot 14 × 34 mm is smaller than plasma cuts well" in said(plate, failed)
    assert "slot 14 × 34 mm not cut, center marked at both ends; mill it" in said(plate, marked)
    assert "slot 14 × 34 mm cut undersize at 11 × 31 mm; mill to size" in said(plate, under)


def test_a_bore_and_openings_are_held_to_what_the_process_cuts_well_as_holes_are() -> None:
    """22 mm thick, 1.5 times that: 33 mm (the cutting shop's rule that the table cites)."""
    corners = ((-30.0, 40.0), (30.0, 40.0), (30.0, 60.0), (-30.0, 60.0))
    edge = rounded_polygon([(Point(x, y), 5.0) for x, y in corners])
    slot = Opening(edge, 1, "opening 1", form=RectangleForm(60.0, 20.0))
    plate = flange(bolt_circle(hole_diameter=40.0), thickness=22.0, bore=30.0, openings=(slot,))
    of_bore, of_opening = found(plate, **PLASMA)
    assert said(plate, of_bore).startswith("bore: 30 mm is smaller than plasma cuts well, 33 mm")
    assert said(plate, of_opening).startswith("opening 1: 20 mm is smaller than plasma cuts well, 33 mm")
    assert of_bore.cure is Remedy.FINER_CUT
    assert of_bore not in found(replace(plate, bore_cut=True), **PLASMA)


def test_a_bore_that_is_there_already_is_told_not_to_be_cut() -> None:
    (note,) = found(flange(bore=180.0, bore_cut=True))
    assert note.rule is Rule.CUT_BORE_THERE
    assert said(flange(), note) == "cut file: the bore of 180 mm is there already and not cut; set up by it"


def test_groups_are_told_apart() -> None:
    plate = flange(bolt_circle(), bolt_circle(diameter=190.0, hole_diameter=40.0), thickness=22.0)
    (finding,) = found(plate, **PLASMA)
    assert said(plate, finding).startswith("bolt circle A: 8 × 22 mm")


def test_a_hole_that_is_never_cut_is_told_and_not_found_too_small() -> None:
    blind = Drilling(8.5, kind=Tapped("M10", 10.0, 12.0))
    plate = flange(bolt_circle(hole_diameter=40.0), thickness=22.0, single_holes=(
        SingleHole(Point(0.0, 0.0), Drilling(8.0, kind=Dowel("H7"))), SingleHole(Point(0.0, 60.0), blind)))  # fmt: skip
    told = [said(plate, finding) for finding in found(plate, **PLASMA)]
    assert told == [
        "hole X1: 8 mm not cut, center marked; drill and ream it",
        "hole X2: 8.5 mm not cut, center marked; drill it",
    ]


def test_a_missing_thickness_is_asked_for() -> None:
    (finding,) = all_found(flange(), **PLASMA)
    assert (finding.result, finding.place.key) == (Result.NOT_RUN, "plate.thickness")


def test_kerf_and_leads_are_told_so_that_the_controller_does_not_add_its_own() -> None:
    notes = found(flange(thickness=22.0), kerf=2.0, lead_in=5.0, lead_out=3.0)
    assert [note.rule for note in notes] == [Rule.CUT_KERF, Rule.CUT_LEADS]
    assert "a kerf of 2 mm is taken up, 1 mm outward" in said(flange(), notes[0])
    assert "lead-in arcs of radius 5 mm (up to 15.71 mm long), lead-out arcs of radius 3 mm at most" in said(
        flange(), notes[1]
    )


def test_holes_to_be_tapped_are_marked_and_told_unless_the_job_has_them_cut() -> None:
    # Common practice, no source: a thermally cut hole is hard and tapered.
    tapped = bolt_circle(hole_diameter=14.0, kind=Tapped("M16", 16.0))
    (note,) = found(flange(tapped, thickness=22.0))
    assert (note.rule, note.failed) == (Rule.CUT_CENTER_MARK, False)
    assert "not cut, centers marked; drill them" in said(flange(tapped), note)
    assert found(flange(tapped, thickness=22.0), cuts=(("bolt_circle", HoleCut.AS_DRAWN),)) == ()


def test_a_limit_of_the_jobs_own_says_so() -> None:
    plate = flange(thickness=22.0)
    (finding,) = found(plate, smallest=SmallestHole(1.2, 0.0, "stated on this job"))
    assert "26.4 mm (1.2 × thickness, stated on this job)" in said(plate, finding)


def test_letters_the_scriber_does_not_have_are_named() -> None:
    (finding,) = found(flange(thickness=22.0), number="H-魚", marks=(Mark.NUMBER,))
    assert 'no single-stroke letters for "魚"' in said(flange(), finding)


@every_row(
    ("depth", "failed"),
    [(10.0, False), (10 + 0.3 * 22 + 10, False), (10 + 0.3 * 22 + 10.01, True), (19_000.0, True)],
)
def test_a_drill_that_comes_out_too_far_below_the_plate_is_told(depth: float, failed: bool) -> None:
    # Common practice, no source: thickness, point of 118 degrees (0.3 x drill) and 10 mm; 19 m was drilled before.
    (finding,) = check_drill_depth(flange(thickness=10.0), depth)
    assert (finding.rule, finding.failed) == (Rule.DRILL_DEPTH, failed)


def test_a_drill_depth_without_a_thickness_is_not_judged() -> None:
    (finding,) = check_drill_depth(flange(), 19_000.0)
    assert finding.result is Result.NOT_RUN
    assert not list(check_drill_depth(flange(thickness=10.0), None))


def test_leads_are_told_as_long_as_they_are_drawn() -> None:
    plate = flange(thickness=22.0)
    (note,) = found(plate, lead_in=200.0)
    # Holes of 22 mm are pierced in their middle: no lead of 200 mm stands in one. A quarter of 400 pi is 314.16.
    wanted = "lead-in arcs of radius 200 mm at most, shorter where there is less room (up to 314.16 mm long)"
    assert wanted in said(plate, note)
    (straight,) = found(plate, lead_in=200.0, lead_shape=LeadShape.STRAIGHT)
    assert "lead-ins of 200 mm at most, shorter where there is less room with" in said(plate, straight)


def test_a_cut_without_a_lead_is_named_with_the_reason() -> None:
    slot = SingleHole(Point(0.0, 0.0), Drilling(1.4, kind=Slot(8.0, SlotDirection.X)))
    plate = flange(single_holes=(slot,), thickness=22.0)
    (bare,) = [each for each in found(plate, lead_in=6.0, kerf=0.6) if each.rule is Rule.CUT_NO_LEAD]
    assert "no lead-in at hole X1 (no room in the scrap): the pierce stands on the cut" in said(plate, bare)


def test_corners_that_come_out_rounder_than_drawn_are_told() -> None:
    corners = [(Point(x, y), 0.5) for x, y in ((-20, -10), (20, -10), (20, 10), (-20, 10))]
    plate = flange(openings=(Opening(rounded_polygon(corners), 1, "opening (window)"),), thickness=22.0)
    (_, note) = found(plate, kerf=1.5)
    assert note.rule is Rule.CUT_CORNERS
    text = said(plate, note)
    assert "4 corners of opening (window) cut with a radius of 0.75 mm, half the kerf, up to 0.10 mm short" in text
    assert [each.rule for each in found(plate, kerf=0.8)] == [Rule.CUT_KERF]


@every_row(("gap", "kerf", "failed"), [(2.0, 2.4, True), (0.0, 3.0, True), (2.4, 2.4, False), (3.0, 2.4, False)])
def test_a_kerf_wider_than_the_gap_between_parts_fails_the_check(gap: float, kerf: float, failed: bool) -> None:
    plate = Flange(SplitOutline(400.0, 240.0, 2, gap=gap), (), thickness=10.0)
    (told,) = [each for each in all_found(plate, kerf=kerf) if each.rule is Rule.KERF_IN_GAP]
    assert told.failed is failed
    assert told.limit is not None
    assert (told.value, told.limit.value) == (kerf, gap)
    words = (
        f"a kerf of {kerf:g} mm is wider than the gap of {gap:g} mm" if failed else "kerf in the gap 2.40 mm, at most"
    )
    assert words in said(plate, told)
