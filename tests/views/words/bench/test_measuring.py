"""What the lists of a check card say of limits and of sizes beside the circles."""

import math

from flangelayout.checks.inspection.tolerances import Allowed, allowed_spans
from flangelayout.checks.measuring import spans
from flangelayout.checks.ties.chosen import ties_of
from flangelayout.flange import BoltCircle, Counterbored, Flange, SplitOutline, Tapped
from flangelayout.flange.drilling import Drilling
from flangelayout.flange.pattern import HoleGrid
from flangelayout.flange.plate import Deviations, GeneralTolerance, Tolerances
from flangelayout.flange.turning import Fitted, PlateFace, Turned, TurnedKind
from flangelayout.job.load import job_from_data
from flangelayout.provenance import Confidence
from flangelayout.units import Unit
from flangelayout.value import replace
from flangelayout.views.words.bench.measuring import accepted, further_distances, machined_sizes
from flangelayout.views.words.bench.tying import tied_by, tubes_told, tying_distances
from flangelayout.views.words.lengths import Lengths
from jobs import bolt_circle, flange

MM = Lengths(Unit.MM)


def test_limits_are_rounded_inward_and_only_stated_ones_are_given() -> None:
    # 8 holes on 295: 295 sin 22.5 deg = 112.892; with 0.5 from 112.392 to 113.392.
    assert accepted(Allowed(0.5, "the job"), 295 * math.sin(math.pi / 8), MM) == "112.40 – 113.39"
    assert accepted(None, 112.892, MM) == ""


def test_single_holes_of_a_kind_and_the_corners_of_a_grid_are_measured_from_each_other() -> None:
    grid = HoleGrid(Drilling(8.0), 4, 3, 20.0, 25.0)  # 60 by 50: diagonals 78.10
    holes = [{"diameter": 10, "x": x, "y": y} for x, y in ((140, 0), (-140, 0))] + [{"diameter": 6, "x": 0, "y": 90}]
    plate = {"outside_diameter": 340}
    made = job_from_data({"units": "mm", "plate": plate, "hole": holes}).flange
    assert [row[1] for row in further_distances(made, MM)] == ["280.00"]
    gridded = list(further_distances(flange(patterns=(grid,)), MM))
    diagonal = f"{math.hypot(60.0, 50.0):.2f}"
    assert [wanted for _, wanted, _ in gridded] == ["60.00", "60.00", diagonal, diagonal, "50.00"]
    assert [name for name, _, _ in gridded] == ["B1 – B4", "B9 – B12", "B1 – B12", "B4 – B9", "B1 – B9"]


def test_where_unnumbered_holes_stand_that_the_card_names_is_told() -> None:
    """4 by 3 holes, 20 and 25 apart about the middle: corners at 30, 25; of a bolt circle nothing."""
    grid = HoleGrid(Drilling(8.0), 4, 3, 20.0, 25.0)
    made = flange(bolt_circle(8, 240.0, 22.0), patterns=(grid,))
    told = tubes_told(made, ties_of(made), MM)
    named = {name for row, _, _ in further_distances(made, MM) for name in row.split(" – ")}
    named |= {name for row, _ in ties(made) for name in row.split(" to ") if name.startswith("B")}
    places = dict(each.split(" ", 1) for each in told.partition(": ")[2].rstrip(".").split("; "))
    assert set(places) == named >= {"B1", "B4", "B9", "B12"}
    corners = {places[name] for name in ("B1", "B4", "B9", "B12")}
    assert corners == {"-30.00, 25.00", "30.00, 25.00", "-30.00, -25.00", "30.00, -25.00"}
    alone = flange(bolt_circle(8, 240.0, 22.0))
    assert tubes_told(alone, ties_of(alone), MM) == ""


def ties(made: Flange) -> list[tuple[str, str]]:
    return [(name, wanted) for name, wanted, _ in tying_distances(ties_of(made), MM)]


def test_a_circle_is_tied_to_rim_and_bore_each_by_two_holes_at_right_angles() -> None:
    """8 × 22 on 240 in a plate of 285 about a bore of 170: 142.5 - 120 - 11 and 120 - 85 - 11 of metal."""
    alone = flange(bolt_circle(8, 240.0, 22.0), bore=170.0, thickness=22.0)
    assert ties(alone) == [("1 to rim", "11.50"), ("3 to rim", "11.50"), ("1 to bore", "24.00"), ("3 to bore", "24.00")]
    assert ties(replace(alone, bore_cut=True)) == ties(alone)


def test_a_second_circle_is_tied_to_the_first_by_three_holes() -> None:
    """8 × 22 on 295 and 8 × 18 on 180: center to center by the law of cosines, less both radii."""
    second = bolt_circle(8, 180.0, 18.0)
    made = flange(bolt_circle(8, 295.0, 22.0), second, outside_diameter=340.0, bore=100.0, thickness=25.0)
    found = [(name, wanted) for name, wanted in ties(made) if " to B" in name]
    assert len(found) == 3
    for name, wanted in found:
        one, other = (int(label.strip("AB")) for label in name.split(" to "))
        apart = math.sqrt(147.5**2 + 90**2 - 2 * 147.5 * 90 * math.cos(math.radians(45.0 * (one - other))))
        assert wanted == f"{apart - 20:.2f}"
    assert any(name[1:2] != name[-1:] for name, _ in found), "one at least shows a turn"


def test_threads_and_recesses_are_tied_by_the_edges_that_jaws_find() -> None:
    """A of 12 × 26 on 431.8, B of 8 threads with a drill of 16.7 on 298.5, C of 8 recesses of 26 on 220."""
    tapped = Drilling(16.7, Tapped("3/4-10", 19.05, 22.0, 30.0))
    sunk = Drilling(17.5, Counterbored(26.0, 17.0))
    circles = (BoltCircle(431.8, 12, 26.0), BoltCircle(298.5, 8, drilling=tapped), BoltCircle(220.0, 8, drilling=sunk))
    made = flange(*circles, outside_diameter=482.6, thickness=31.75)
    holes = {hole.label: hole.center for hole in made.holes()}
    half = {"A": 13.0, "thread B": 8.35, "cbore C": 13.0, "drill C": 8.75}
    between = [(name, wanted) for name, wanted in ties(made) if "rim" not in name]
    assert {name.rstrip("0123456789") for row, _ in between for name in row.split(" to ")} >= {
        "A",
        "thread B",
        "cbore C",
    }
    for row, wanted in between:
        one, other = row.split(" to ")
        apart = math.dist(*((holes[name.split()[-1]].x, holes[name.split()[-1]].y) for name in (one, other)))
        assert wanted == f"{apart - sum(half[name.rstrip('0123456789')] for name in (one, other)):.2f}"
    assert tied_by(ties_of(made)) == (
        "“To”: the least metal between; a thread at its crests, about as drilled; “cbore”: the edge of a counterbore."
    )


def test_a_single_hole_is_tied_by_two_readings_and_one_measured_from_another_by_one() -> None:
    """Feet of 18 at (-85, -68) and (85, -68): 170 apart, which holds the second one along."""
    feet = [{"diameter": 18, "x": x, "y": -68} for x in (-85, 85)]
    circle = {"diameter": 100, "hole_count": 4, "hole_diameter": 11}
    plate = {"outside_diameter": 340, "bore": 62}
    made = job_from_data({"units": "mm", "plate": plate, "bolt_circle": [circle], "hole": feet}).flange
    found = [(name[:2], name, wanted) for name, wanted in ties(made) if name.startswith("X")]
    assert [label for label, *_ in found] == ["X1", "X1", "X2"]
    rim = f"{170 - math.hypot(85, 68) - 9:.2f}"
    assert {wanted for _, name, wanted in found if name.endswith("rim")} <= {rim}


def test_how_wide_and_long_openings_are_and_the_metal_between_copies_is_on_the_card() -> None:
    """Four windows of 60 degrees between 200 and 260: 30 wide, the longest 260 sin 30 across; 30 degrees between two.

    The corners of neighbors are nearest inside: 200 sin 15 apart.
    """
    window = {"shape": "window", "inner_diameter": 200, "outer_diameter": 260, "sweep": 60, "count": 4}
    slot = {"shape": "slot", "width": 12, "length": 40, "x": 0, "y": 0}
    plate = {"outside_diameter": 340}
    circle = {"diameter": 300, "hole_count": 8, "hole_diameter": 11}
    made = job_from_data({"units": "mm", "plate": plate, "bolt_circle": [circle], "opening": [window, slot]}).flange
    assert [row[:2] for row in machined_sizes(made, MM)] == [
        ("each opening 1 width", "30"),
        ("each opening 1 length", f"{260 * math.sin(math.radians(30)):.0f}"),
        ("openings 1: between", f"{200 * math.sin(math.radians(15)):.2f}"),
        ("opening 2 width", "12"),
        ("opening 2 length", "40"),
    ]


def test_sides_that_the_drawing_limits_are_on_the_card() -> None:
    """ISO 2768-1 m: over 120 to 400 ±0.5, over 30 to 120 ±0.3; a spider's hub is no outside (from memory)."""
    limited = {"units": "mm", "tolerances": {"general": "ISO 2768-1 m"}}
    circle = {"diameter": 100, "hole_count": 4, "hole_diameter": 11}
    found = {}
    outlines = (
        {"outline": "rectangle", "width": 200, "height": 120},
        {"outline": "oval", "length": 150, "width": 80, "end_radius": 20},
    )
    for outline in outlines:
        made = job_from_data({**limited, "plate": outline, "bolt_circle": [circle | {"hole_count": 2}]}).flange
        found[outline["outline"]] = [row for row in machined_sizes(made, MM) if row[0] in ("width", "height", "length")]
    assert found["rectangle"] == [("width", "200", "199.50 – 200.50"), ("height", "120", "119.70 – 120.30")]
    assert found["oval"] == [("length", "150", "149.50 – 150.50"), ("width", "80", "79.70 – 80.30")]
    arms = {"outline": "spider", "hub_diameter": 120, "arm_count": 4, "arm_circle": 260, "arm_end_radius": 24}
    spider = job_from_data({**limited, "plate": arms, "bolt_circle": [circle | {"diameter": 260}]}).flange
    assert next(row[:2] for row in machined_sizes(spider, MM)) == ("body", "⌀120")


def test_a_bore_that_is_there_already_is_not_measured_as_machined() -> None:
    assert list(machined_sizes(flange(bore=170.0), MM)) == [("bore", "⌀170", "")]
    assert not list(machined_sizes(flange(bore=170.0, bore_cut=True), MM))


def test_a_ring_in_parts_is_measured_inside_as_a_whole_one_is_in_its_bore() -> None:
    ring = Flange(SplitOutline(360.0, 220.0, 2), (BoltCircle(310.0, 12, 17.5),), thickness=20.0)
    assert list(machined_sizes(ring, MM)) == [("inside", "⌀220", "")]


def test_a_bore_is_measured_between_its_own_limits() -> None:
    held = Tolerances(bore=Deviations(plus=0.3, minus=0.1))
    assert list(machined_sizes(flange(bore=170.0, tolerances=held), MM)) == [("bore", "⌀170", "169.90 – 170.30")]


def test_every_size_with_a_tolerance_of_its_own_is_on_the_card() -> None:
    held = Tolerances(
        outside=Deviations(1.0, 1.0),
        thickness=Deviations(0.5, 0.3),
        hole=Deviations(0.4, 0.0),
        bore=Deviations(0.025, 0.0),
    )
    assert list(machined_sizes(flange(bore=170.0, thickness=22.0, tolerances=held), MM)) == [
        ("outside", "⌀285", "284.00 – 286.00"),
        ("thickness", "22", "21.70 – 22.50"),
        ("each hole", "⌀22", "22.00 – 22.40"),
        ("bore", "⌀170", "170.000 – 170.025"),
    ]


def test_sizes_without_a_tolerance_of_their_own_are_held_to_the_general_one_but_not_to_that_of_cuts() -> None:
    """ISO 2768-1 m: over 120 to 400 mm ±0.5, over 30 to 120 ±0.3, over 0.5 to 3 ±0.1 (common tables)."""
    machined, cut = (Tolerances(general=each) for each in (GeneralTolerance.ISO_2768_M, GeneralTolerance.ISO_9013_2))
    face = (Turned(TurnedKind.RAISED_FACE, PlateFace.FACE, 212.0, 3.0),)
    rows = list(machined_sizes(flange(bore=170.0, thickness=25.0, turned=face, tolerances=machined), MM))
    assert [(name, limits) for name, _, limits in rows] == [
        ("outside", "284.50 – 285.50"),
        ("thickness", "24.80 – 25.20"),
        ("each hole", "21.80 – 22.20"),
        ("bore", "169.50 – 170.50"),
        ("raised face near side", "211.50 – 212.50"),
        ("height", "2.90 – 3.10"),
    ]
    plain = flange(bolt_circle(), bore=170.0, thickness=25.0, tolerances=machined)
    found = spans(plain.bolt_circles[0])
    assert [each and each.value for each in allowed_spans(plain, 0, found, Unit.MM)] == [0.5] * 4 + [0.3] * 8
    other = flange(bolt_circle(), bore=170.0, thickness=25.0, tolerances=cut)
    assert set(allowed_spans(other, 0, found, Unit.MM)) == {None}


def test_limits_of_soft_sheet_are_rounded_inward_to_what_a_rule_reads() -> None:
    assert accepted(Allowed(0.5, "the job"), 91.844, MM, by_rule=True) == "91.5 – 92.0"
    inches = Lengths(Unit.IN)
    assert accepted(Allowed(1.0, "the job"), 17 * 25.4, inches, by_rule=True) == "16 31/32 – 17 1/32"
    gasket = flange(material="rubber sheet", tolerances=Tolerances(outside=Deviations(0.0, 1.6)))
    assert list(machined_sizes(gasket, MM)) == [("outside", "⌀285", "283.5 – 285.0")]


def test_a_reamed_hole_is_measured_between_the_limits_of_its_fit() -> None:
    """ISO 286-2: 12 H7 is 0 to +0.018 mm."""
    hole = {"diameter": 12, "kind": "dowel", "fit": "H7", "x": 0, "y": 120}
    made = job_from_data({"units": "mm", "plate": {"outside_diameter": 340}, "hole": [hole]}).flange
    assert list(machined_sizes(made, MM)) == [("each dowel", "⌀12 H7", "12.000 – 12.018")]


def test_a_register_is_measured_between_the_limits_of_its_fit() -> None:
    # ISO 286-1: 180 H7 is 0 to +0.040 mm.
    fit = Fitted("H7", 0.0, 0.040, Confidence.TWO_SOURCES)
    turned = (Turned(TurnedKind.REGISTER, PlateFace.BACK, 180.0, 5.0, fit=fit),)
    assert list(machined_sizes(flange(thickness=25.0, turned=turned), MM)) == [
        ("register far side", "⌀180 H7", "180.000 – 180.040"),
        ("depth", "5", ""),
    ]
    # 180 / 25.4 = 7.08661 and 180.04 / 25.4 = 7.08819 in: what a reading may be lies between them.
    (register, _) = machined_sizes(flange(thickness=25.0, turned=turned), Lengths(Unit.IN))
    assert register[2] == "7.0867 – 7.0881"
