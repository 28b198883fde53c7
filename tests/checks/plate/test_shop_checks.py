"""The shop checks: metal, nut seats, wrench room, bolt spacing, threads, each with its numbers and its cure."""

import math
import time

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial import cKDTree

from checking import failed, not_run, of_rule, plate_of, said, shop, told
from flangelayout.checks import Finding, Result, Rule
from flangelayout.checks.finding import Remedy
from flangelayout.checks.limits import CheckLimits, Ground, HoleShare, Limit, NutSide, Wrench
from flangelayout.flange import (
    Drilling,
    Flange,
    HoleGrid,
    RectangleOutline,
    RoundOutline,
    SingleHole,
    Slot,
    Spotfaced,
    Tapped,
)
from flangelayout.flange.origin import FromRow, Measured, Origin
from flangelayout.geometry.measure import Spine
from flangelayout.geometry.near_pairs import near_pairs
from flangelayout.geometry.shapes import Arc, Line, Point, polar
from flangelayout.standards import find, published_row
from flangelayout.standards.holes import thread
from flangelayout.units import Unit
from flangelayout.value import replace
from flangelayout.views.words.findings import check_words
from jobs import bolt_circle
from rows import every_row


def limit_of(finding: Finding) -> float:
    """The number a finding is held against."""
    assert finding.limit is not None
    return finding.limit.value


def test_a_usual_flange_has_nothing_to_tell() -> None:
    assert failed(plate_of(bolt_circle(bolt="M20"))) == []


def test_every_failed_check_names_its_limit_source_and_cure() -> None:
    plate = plate_of(bolt_circle(24, bolt="M20"), single_holes=(SingleHole(Point(90.0, 0.0), Drilling(8.0)),))
    found = [each for each in shop(plate) if each.failed]
    assert found
    for each in found:
        assert each.value is not None
        assert each.limit is not None
        assert each.value < each.limit.value
        assert each.cure is not None


def test_metal_between_holes_is_measured_and_held_against_half_a_hole() -> None:
    plate = plate_of(bolt_circle(24))
    found = told(plate, Rule.LIGAMENT)
    assert found.value == pytest.approx(240 * math.sin(math.pi / 24) - 22)
    assert found.limit == HoleShare(0.5, Ground.BOLT_HOLES).limit(22.0)
    assert "and 23 more pairs alike" in said(plate, found)
    passed = told(plate_of(bolt_circle(8)), Rule.LIGAMENT)
    assert passed.result is Result.PASSED
    assert passed.value == pytest.approx(240 * math.sin(math.pi / 8) - 22)


def test_metal_to_the_edge_and_to_the_bore_is_measured() -> None:
    plate = plate_of(outside_diameter=270.0, bore=215.0)
    assert told(plate, Rule.EDGE_METAL).value == pytest.approx(135 - 120 - 11)
    assert told(plate, Rule.BORE_METAL).value == pytest.approx(120 - 107.5 - 11)


def test_limits_of_the_job_replace_the_usual_ones() -> None:
    assert failed(plate_of()) == []
    found = told(plate_of(), Rule.EDGE_METAL, CheckLimits(edge=Limit(12.0, Ground.STATED)))
    assert found.value == pytest.approx(11.5)
    assert found.limit == Limit(12.0, Ground.STATED)
    assert failed(plate_of(), edge=Limit(12.0, Ground.STATED), off=(Rule.EDGE_METAL,)) == []


@pytest.mark.slow
@given(
    xs=st.lists(
        st.tuples(st.floats(-80, 80), st.floats(-80, 80), st.floats(4, 20)), min_size=2, max_size=12, unique=True
    ),
    slot=st.booleans(),
)
def test_the_least_ligament_is_what_shapely_measures(xs: list[tuple[float, float, float]], slot: bool) -> None:
    kinds = [Slot(2 * size) if slot and math.hypot(x, y) > 30 else None for x, y, size in xs]
    singles = tuple(
        SingleHole(Point(x, y), Drilling(size, kind=kind) if kind else Drilling(size))
        for (x, y, size), kind in zip(xs, kinds, strict=True)
    )
    plate = Flange(RoundOutline(400.0), (), single_holes=singles)
    shapes = [_region(hole.spine, hole.diameter) for hole in plate.holes()]
    gaps = [a.distance(b) for i, a in enumerate(shapes) for b in shapes[i + 1 :]]
    positive = [gap for gap in gaps if gap > 0.01]
    limit = Limit(60.0, Ground.STATED)
    found = [each for each in shop(plate, CheckLimits(ligament=limit)) if each.rule is Rule.LIGAMENT and each.failed]
    if not positive or min(positive) > 59.9:
        return
    assert len(found) == 1
    assert found[0].value == pytest.approx(min(positive), abs=0.02)


def _region(spine: Spine, width: float) -> shapely.Geometry:
    """A drilled hole as shapely sees it."""
    match spine:
        case Arc():
            count = 200
            points = [polar(spine.radius, spine.start_deg + spine.sweep_deg * i / count) for i in range(count + 1)]
        case Line():
            points = [spine.start, spine.end]
        case _:
            return shapely.Point(spine.x, spine.y).buffer(width / 2, quad_segs=128)
    return shapely.LineString([(p.x, p.y) for p in points]).buffer(width / 2, quad_segs=128)


@given(
    points=st.lists(st.tuples(st.floats(-100, 100), st.floats(-100, 100)), min_size=0, max_size=60),
    reach=st.floats(0.5, 120),
)
def test_near_pairs_are_those_of_a_tree_search(points: list[tuple[float, float]], reach: float) -> None:
    places = np.array(points).reshape(-1, 2)
    first, second = near_pairs(places, reach)
    found = {tuple(sorted(pair)) for pair in zip(first.tolist(), second.tolist(), strict=True)}
    assert len(found) == len(first)
    wanted = cKDTree(places).query_pairs(reach * (1 - 1e-12)) if len(places) else set()
    assert wanted <= found
    assert all(math.dist(points[a], points[b]) <= reach * (1 + 1e-12) for a, b in found)


def test_a_tube_sheet_may_have_thinner_ligaments_than_a_bolt_circle() -> None:
    grid = HoleGrid(Drilling(16.2), 10, 10, 20.0, 20.0)
    plate = Flange(RectangleOutline(300.0, 300.0), (), patterns=(grid,))
    assert failed(plate) == []
    closer = replace(plate, patterns=(replace(grid, pitch_x=19.0),))
    assert told(closer, Rule.LIGAMENT).limit == HoleShare(0.2, Ground.TUBE_HOLES).limit(16.2)


def test_five_thousand_holes_are_checked_in_a_moment() -> None:
    grid = HoleGrid(Drilling(16.0), 100, 50, 22.0, 22.0)
    plate = Flange(RectangleOutline(2400.0, 1300.0), (), patterns=(grid,))
    start = time.perf_counter()
    assert failed(plate) == []
    assert time.perf_counter() - start < 5


def test_the_nut_must_bear_on_the_plate() -> None:
    # Nut of M30 across corners 53.12 mm (ISO 4032 with s = 46 mm): 26.56 from the middle, 22.5 to the edge.
    found = told(plate_of(bolt_circle(hole_diameter=30, bolt="M30")), Rule.SEAT_ON_PLATE)
    assert found.value == pytest.approx(22.5 - 26.56, abs=0.01)


@every_row("origin", [Measured(240.0, 0.1), FromRow(published_row(find("EN 1092-1 PN16 DN150")))])
def test_a_tight_seat_fails_unless_the_row_itself_has_it(origin: Origin) -> None:
    tight = bolt_circle(hole_diameter=30, bolt="M30", origin=origin)
    found = told(plate_of(tight), Rule.SEAT_ON_PLATE)
    assert found.failed


def test_nut_seats_are_held_against_hub_weld_and_raised_face() -> None:
    plate = plate_of(bolt_circle(bolt="M20"), raised_face_diameter=212.0)
    assert failed(plate, hub_diameter=190.0) == [Rule.WRENCH_ROOM]
    assert failed(plate, hub_diameter=190.0, weld=8.0, wrench=Wrench.NONE) == [Rule.SEAT_CLEAR_OF_HUB]
    found = told(plate, Rule.SEAT_CLEAR_OF_RAISED_FACE, CheckLimits(nuts_on=NutSide.FACE))
    # 240/2 - 34.64/2 - 212/2
    assert found.value == pytest.approx(-3.32)
    assert failed(plate) == []


def test_washers_take_more_room_than_nuts() -> None:
    # ISO 7089 washer of M20: 37 mm; nut 34.64 mm across corners.
    plate = plate_of(bolt_circle(bolt="M20"), outside_diameter=276.0)
    assert failed(plate) == []
    assert told(plate, Rule.SEAT_ON_PLATE, CheckLimits(washers=True)).value == pytest.approx(18 - 18.5)


def test_a_spotface_is_the_seat() -> None:
    """As drawn, whoever its size is from: its room is plain geometry and nobody is said to have stated it."""
    plate = plate_of(bolt_circle(bolt="M20", kind=Spotfaced(48.0)))
    found = told(plate, Rule.SEAT_ON_PLATE)
    assert found.value == pytest.approx(22.5 - 24)
    assert found.limit is not None
    assert found.limit.source is Ground.GEOMETRY


@every_row(
    ("name", "least"),
    # L2 of ASME B1.20.1 (0.6828 in), useful length of ISO 7-1, screwed end of DIN 3852-2: all from memory.
    [("1 NPT", 17.343), ("Rc 1", 16.8), ("G 1", 18.0)],
)
def test_a_pipe_thread_is_held_against_the_length_that_seals_not_its_diameter(name: str, least: float) -> None:
    """The diameter of 33 mm is the pipe's: no plug is screwed in so far."""
    pipe = thread(name)
    assert pipe is not None
    for thickness, fails in ((least + 0.01, False), (least - 0.01, True)):
        hole = SingleHole(Point(0.0, 0.0), Drilling(pipe.tap_drill, kind=pipe.tapped()))
        found = told(plate_of(bore=None, thickness=thickness, single_holes=(hole,)), Rule.TAP_DEPTH)
        assert limit_of(found) == pytest.approx(least, abs=0.001)
        assert found.failed is fails
        assert found.cure is (Remedy.PIPE_DEEPER if fails else None)


def test_wrench_room_from_bolt_to_bolt_and_to_the_hub() -> None:
    # TEMA D-5M for M20: B = 52.39 mm, R = 31.75 mm; TEMA D-5 for 3/4 in: 1 3/4 and 1 1/8 in (both from memory).
    crowded = plate_of(bolt_circle(15, bolt="M20"))
    assert limit_of(told(crowded, Rule.WRENCH_ROOM)) == pytest.approx(52.39)
    assert told(crowded, Rule.WRENCH_ROOM).value == pytest.approx(240 * math.sin(math.pi / 15))
    plate = plate_of(bolt_circle(bolt="M20"))
    to_bolt, hub = of_rule(shop(plate, CheckLimits(hub_diameter=180.0)), Rule.WRENCH_ROOM)
    assert not to_bolt.failed
    assert [check_words(plate, each, Unit.MM).split(" room for the wrench ")[1] for each in (to_bolt, hub)] == [
        "from bolt to bolt",
        "from bolt to hub",
    ]
    assert hub.value == pytest.approx(30.0)
    assert limit_of(hub) == pytest.approx(31.75)
    inch = told(plate_of(bolt_circle(17, bolt="3/4")), Rule.WRENCH_ROOM)
    assert limit_of(inch) == pytest.approx(44.45)


def test_a_socket_wants_less_from_bolt_to_bolt() -> None:
    # AISC Manual, from memory: socket for 3/4 in 2 1/4 in wide; nut 1.443 in across corners.
    plate = plate_of(bolt_circle(17, hole_diameter=20.6, bolt="3/4"))
    assert Rule.WRENCH_ROOM in failed(plate)
    found = told(
        plate_of(bolt_circle(18, hole_diameter=20.6, bolt="3/4")), Rule.WRENCH_ROOM, CheckLimits(wrench=Wrench.SOCKET)
    )
    assert limit_of(found) == pytest.approx((57.15 + 36.65) / 2, abs=0.01)


def test_the_greatest_bolt_spacing_follows_the_gasket() -> None:
    # ASME VIII-1 appendix 2: 2 a + 6 t / (m + 0.5) = 40 + 132 / 3.5 = 77.7 mm for M20, 22 mm plate and m = 3.
    plate = plate_of(bolt_circle(bolt="M20"))
    found = told(plate, Rule.BOLT_SPACING, CheckLimits(gasket_factor=3.0))
    assert limit_of(found) == pytest.approx(40 + 132 / 3.5)
    assert found.value == pytest.approx(91.844, abs=0.001)
    assert failed(plate, gasket_factor=1.0) == []
    assert limit_of(told(plate, Rule.BOLT_SPACING, CheckLimits(bolt_spacing=Limit(80.0, Ground.STATED)))) == 80.0


@every_row(
    ("kind", "thickness", "expected"),
    [
        (Tapped("M16", 16.0, 12.0, 18.0), 40.0, [Rule.TAP_DEPTH]),
        (Tapped("M16", 16.0, 20.0, 26.0), 26.0, [Rule.TAP_BOTTOM]),  # 26 - 20 - 3 x 2 - 0.3 x 14 = -4.2
        (Tapped("M16", 16.0, 20.0, 26.0), 32.0, []),
        (Tapped("M16", 16.0), 14.0, [Rule.TAP_DEPTH]),
        (Tapped("M16", 16.0), 18.0, []),
    ],
)
def test_tapped_holes_want_thread_and_metal_below(kind: Tapped, thickness: float, expected: list[Rule]) -> None:
    plate = plate_of(bolt_circle(hole_diameter=14, kind=kind), thickness=thickness)
    assert failed(plate) == expected


def test_a_drill_point_that_comes_out_is_told_as_what_is_seen() -> None:
    plate = plate_of(bolt_circle(hole_diameter=14, kind=Tapped("M16", 16.0, 20.0, 26.0)), thickness=26.0)
    text = said(plate, told(plate, Rule.TAP_BOTTOM))
    assert "the drill point of M16 comes out of the far face by 4.20 mm; 1.00 mm or more is to be left" in text


def test_iron_and_aluminum_want_deeper_threads() -> None:
    plate = plate_of(bolt_circle(hole_diameter=14, kind=Tapped("M16", 16.0)), thickness=22.0)
    assert failed(plate, thread_engagement=Limit(1.5, Ground.STATED)) == [Rule.TAP_DEPTH]


def test_without_a_bolt_the_check_says_what_it_did_not_check() -> None:
    missing = not_run(shop(plate_of()))
    assert {missing[rule] for rule in (Rule.BOLT_IN_HOLE, Rule.SEAT_ON_PLATE, Rule.WRENCH_ROOM)} == {"bolt"}
    assert not_run(shop(plate_of(bolt_circle(bolt="19 mm"))))[Rule.SEAT_ON_PLATE] == "nut table"


def test_a_nut_over_a_vent_hole_is_told_once() -> None:
    vents = (SingleHole(Point(91.0, 45.92), Drilling(6.0)), SingleHole(Point(92.0, -45.92), Drilling(6.0)))
    plate = plate_of(bolt_circle(bolt="M20"), bore=150.0, single_holes=vents)
    found = told(plate, Rule.SEAT_OVER_HOLE)
    assert "over hole X2 (and 1 more place alike)" in said(plate, found)


def test_numbers_are_in_the_unit_of_the_job() -> None:
    plate = plate_of(outside_diameter=270.0)
    assert "0.157 in, less than 0.217 in" in said(plate, told(plate, Rule.EDGE_METAL), Unit.IN)
