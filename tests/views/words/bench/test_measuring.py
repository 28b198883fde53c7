"""What the lists of a check card say of limits and of sizes beside the circles."""

import math

from flangelayout.checks.inspection.tolerances import Allowed, allowed_spans
from flangelayout.checks.measuring import spans
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
from flangelayout.views.words.bench.tying import tied_by, tying_distances
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
    assert [wanted for _, wanted, _ in gridded] == ["60.00", "60.00", diagonal, diagonal]
    assert [name for name, _, _ in gridded] == ["B1 – B4", "B9 – B12", "B1 – B12", "B4 – B9"]


def test_circles_are_tied_to_the_bore_and_to_each_other() -> None:
    """Circle A of 8 × 22 on 295 about a bore of 100: 147.5 - 50 - 11 of metal; B of 8 × 18 on 180, and B a pitch on."""

    def tied(turn: float) -> list[tuple[str, str]]:
        second = bolt_circle(8, 180.0, 18.0, start_angle=turn)
        made = flange(bolt_circle(8, 295.0, 22.0), second, outside_diameter=340.0, bore=100.0, thickness=25.0)
        return [(name, wanted) for name, wanted, _ in tying_distances(made, MM)]

    (bore, metal), (other, apart) = tied(0.0)
    assert (bore, metal) == ("A1 to bore", "86.50")
    # A1 and B2 are 45 degrees apart: sqrt(147.5^2 + 90^2 - 2 * 147.5 * 90 cos 45) - 11 - 9.
    assert (other, apart) == ("A1 to B2", f"{math.sqrt(147.5**2 + 90**2 - 2 * 147.5 * 90 * math.sqrt(0.5)) - 20:.2f}")
    here, turned = (math.sqrt(147.5**2 + 90**2 - 2 * 147.5 * 90 * math.cos(math.radians(a))) for a in (45.0, 45.5))
    assert turned - here > 0.5, "half a degree shows"
    alone = flange(bolt_circle(8, 240.0, 22.0), bore=170.0, thickness=22.0)
    assert [row[:2] for row in tying_distances(alone, MM)] == [("1 to bore", "24.00"), ("3 to bore", "24.00")]
    assert not list(tying_distances(replace(alone, bore_cut=True), MM))


def test_threads_and_recesses_are_tied_by_the_edges_that_jaws_find() -> None:
    """A of 12 × 26 on 431.8, B of 8 threads with a drill of 16.7 on 298.5, C of 8 recesses of 26 on 220."""
    tapped = Drilling(16.7, Tapped("3/4-10", 19.05, 22.0, 30.0))
    sunk = Drilling(17.5, Counterbored(26.0, 17.0))
    circles = (BoltCircle(431.8, 12, 26.0), BoltCircle(298.5, 8, drilling=tapped), BoltCircle(220.0, 8, drilling=sunk))
    made = flange(*circles, outside_diameter=482.6, thickness=31.75)
    ties = list(tying_distances(made, MM))
    holes = {hole.label: hole.center for hole in made.holes()}
    for (name, wanted, _), half, begins in zip(ties, (26 + 16.7, 26 + 26), ("thread B", "recess C"), strict=True):
        one, other = name.split(" to ")
        assert one == "A1"
        assert other.startswith(begins)
        apart = math.dist(*((holes[label].x, holes[label].y) for label in (one, other.split()[1])))
        assert wanted == f"{apart - half / 2:.2f}"
    assert tied_by([name for name, *_ in ties]) == (
        "“To”: metal between; a thread at its crests, about as drilled; a recess at its own edge."
    )


def test_single_holes_are_tied_to_the_nearest_hole_of_the_circle() -> None:
    """Feet of 18 at (-85, -68) and (85, -68), four holes of 11 on 100 at 45 degrees: the nearest at 35.36 each way."""
    feet = [{"diameter": 18, "x": x, "y": -68} for x in (-85, 85)]
    circle = {"diameter": 100, "hole_count": 4, "hole_diameter": 11}
    plate = {"outside_diameter": 340, "bore": 62}
    made = job_from_data({"units": "mm", "plate": plate, "bolt_circle": [circle], "hole": feet}).flange
    ties = [(name, wanted) for name, wanted, _ in tying_distances(made, MM) if name.startswith("X")]
    metal = f"{math.hypot(85 - 50 * math.sqrt(0.5), 68 - 50 * math.sqrt(0.5)) - 14.5:.2f}"
    assert sorted((name[:2], wanted) for name, wanted in ties) == [("X1", metal), ("X2", metal)]


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
