"""Where holes stand and how far apart, against handbook tables and against the properties of a circle."""

import math
from collections.abc import Iterable
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from flangelayout.errors import GeometryError
from flangelayout.flange import BoltCircle, Centerline, Drilling, Tapped, chord_across
from flangelayout.value import replace
from jobs import bolt_circle
from rows import every_row

# Chords of a circle of diameter 1 parted into n, from a printed table of an indexing article, six digits.
# The table prints 0.2070 for n = 15, a misprint; sin 12 deg is 0.207912.
CHORD_FACTORS = {
    3: 0.866025,
    4: 0.707107,
    5: 0.587785,
    6: 0.500000,
    7: 0.433884,
    8: 0.382683,
    9: 0.342020,
    10: 0.309017,
    11: 0.281733,
    12: 0.258819,
    13: 0.239316,
    14: 0.222521,
    15: 0.207912,
    16: 0.195090,
    17: 0.183750,
    18: 0.173648,
    19: 0.164595,
    20: 0.156434,
}

# Published drillings: name, bolt circle, holes; mm from EN 1092-1 (a maker's sheet of connecting dimensions),
# inches from ASME B16.5 Table 7 and AWWA C207. The chord is circle x sin(180 deg / n) with the printed factors above.
PUBLISHED_ROWS = [
    ("EN 1092-1 DN150 PN16", 240.0, 8, 91.844),
    ("EN 1092-1 DN200 PN10", 295.0, 8, 112.892),
    ("EN 1092-1 DN100 PN16", 180.0, 8, 68.883),
    ("ASME B16.5 NPS 8 Class 150", 11.75, 8, 4.4965),
    ("ASME B16.5 NPS 10 Class 150", 14.25, 12, 3.6882),
]

circles = st.builds(
    BoltCircle,
    diameter=st.floats(1.0, 20_000.0),
    hole_count=st.integers(1, 400),
    hole_diameter=st.floats(0.1, 100.0),
    placement=st.sampled_from(["straddle", "on-centerline"]),
    centerline=st.sampled_from(["vertical", "horizontal"]),
    start_angle=st.floats(-360.0, 360.0),
)


def as_set(angles: Iterable[float]) -> list[float]:
    """Angles as a set of directions: rounded, 360 the same as 0, sorted."""
    return sorted(round(angle, 6) % 360.0 for angle in angles)


def places(circle: BoltCircle) -> "np.ndarray[Any, np.dtype[np.float64]]":
    """Centers of the holes as rows of x and y."""
    return np.array([(center.x, center.y) for center in circle.hole_centers()])


@every_row(("hole_count", "factor"), CHORD_FACTORS.items())
def test_chords_of_diameter_one_are_those_of_the_handbook(hole_count: int, factor: float) -> None:
    assert chord_across(1.0, hole_count) == pytest.approx(factor, abs=5e-7)


@every_row(("name", "diameter", "hole_count", "chord"), PUBLISHED_ROWS)
def test_chords_of_published_drillings(name: str, diameter: float, hole_count: int, chord: float) -> None:
    assert bolt_circle(hole_count, diameter, 1.0).chord == pytest.approx(chord, abs=5e-4), name


def test_five_holes_on_110_mm_are_64_66_mm_apart() -> None:
    # Common practice, no source.
    assert bolt_circle(5, 110.0).chord == pytest.approx(64.66, abs=0.005)


@every_row(("hole_count", "half_angle"), [(3, 60.0), (4, 45.0), (5, 36.0)])
def test_half_angles_of_three_four_and_five_holes(hole_count: int, half_angle: float) -> None:
    # Common practice, no source: half the pitch angle, from the centerline to the first straddling hole.
    circle = bolt_circle(hole_count)
    assert circle.pitch_angle / 2 == half_angle
    assert circle.first_hole_angle == 90.0 + half_angle


def test_eight_straddling_holes_begin_left_of_the_top_and_run_counter_clockwise() -> None:
    angles = bolt_circle(8).hole_angles()
    assert list(angles) == [112.5, 157.5, 202.5, 247.5, 292.5, 337.5, 22.5, 67.5]


def test_six_holes_that_straddle_the_vertical_lie_on_the_horizontal() -> None:
    assert as_set(bolt_circle(6).hole_angles()) == [0.0, 60.0, 120.0, 180.0, 240.0, 300.0]


@every_row(
    ("placement", "centerline", "first"),
    [
        ("straddle", "vertical", 135.0),
        ("straddle", "horizontal", 45.0),
        ("on-centerline", "vertical", 90.0),
        ("on-centerline", "horizontal", 0.0),
    ],
)
def test_hole_one_of_four_by_placement(placement: str, centerline: str, first: float) -> None:
    assert bolt_circle(4, placement=placement, centerline=centerline).first_hole_angle == first
    turned = bolt_circle(4, placement=placement, centerline=centerline, start_angle=10.0)
    assert turned.first_hole_angle == first + 10.0


def test_one_hole_straddles_by_standing_opposite_the_named_end() -> None:
    assert places(bolt_circle(1)) == pytest.approx(np.array([[0.0, -120.0]]))


@every_row("hole_count", [1, 2, 3, 4, 7, 97, 1000, 10_000])
def test_any_count_is_as_many_places_on_the_circle(hole_count: int) -> None:
    centers = places(bolt_circle(hole_count))
    assert centers.shape == (hole_count, 2)
    assert np.hypot(*centers.T) == pytest.approx(120.0)
    assert len(np.unique(np.round(centers, 6), axis=0)) == hole_count


@given(circles)
def test_turning_by_one_pitch_changes_nothing(circle: BoltCircle) -> None:
    turned = BoltCircle(
        circle.diameter,
        circle.hole_count,
        circle.hole_diameter,
        circle.placement,
        circle.centerline,
        circle.start_angle + circle.pitch_angle,
    )
    centers = places(circle)
    assert places(turned) == pytest.approx(np.roll(centers, -1, axis=0), abs=1e-9 * circle.diameter)


@given(circles)
def test_neighbors_are_all_one_chord_apart(circle: BoltCircle) -> None:
    centers = places(circle)
    steps = np.hypot(*(np.roll(centers, -1, axis=0) - centers).T)
    assert steps == pytest.approx(circle.chord, abs=1e-9 * circle.diameter)


@given(circles, st.data())
def test_holes_some_pitches_apart_are_their_skip_chord_apart(circle: BoltCircle, data: st.DataObject) -> None:
    pitches = data.draw(st.integers(0, circle.hole_count))
    centers = places(circle)
    steps = np.hypot(*(np.roll(centers, -pitches, axis=0) - centers).T)
    assert steps == pytest.approx(circle.chord_across(pitches), abs=1e-9 * circle.diameter)


@given(circles)
def test_the_way_to_all_holes_together_leads_nowhere(circle: BoltCircle) -> None:
    if circle.hole_count > 1:
        assert places(circle).sum(axis=0) == pytest.approx([0.0, 0.0], abs=1e-8 * circle.diameter)


@given(circles)
def test_straddling_holes_are_mirrored_by_the_centerline_they_straddle(circle: BoltCircle) -> None:
    plain = bolt_circle(circle.hole_count, placement=circle.placement, centerline=circle.centerline)
    mirror = 180.0 if plain.centerline is Centerline.VERTICAL else 0.0
    angles = plain.hole_angles()
    assert as_set(mirror - angle for angle in angles) == pytest.approx(as_set(angles), abs=1e-5)


@given(st.integers(1, 100).map(lambda quarter: 4 * quarter))
def test_a_multiple_of_four_straddles_both_centerlines(hole_count: int) -> None:
    angles = bolt_circle(hole_count).hole_angles()
    off = [abs((angle + 45.0) % 90.0 - 45.0) for angle in angles]
    assert min(off) == pytest.approx(180.0 / hole_count)


@given(st.integers(2, 60), st.data())
def test_skipped_places_leave_the_others_their_place_and_number(hole_count: int, data: st.DataObject) -> None:
    skipped = data.draw(st.sets(st.integers(1, hole_count), min_size=1, max_size=hole_count - 1))
    whole, part = bolt_circle(hole_count), bolt_circle(hole_count, skipped=tuple(skipped))
    numbers = part.hole_numbers()
    assert set(numbers) == set(range(1, hole_count + 1)) - skipped
    assert places(part) == pytest.approx(places(whole)[np.array(numbers) - 1])


def test_given_angles_are_kept_in_their_order_and_turned_by_the_start_angle() -> None:
    circle = bolt_circle(3, angles=(90.0, 200.0, 340.0), start_angle=30.0)
    assert circle.hole_angles() == (120.0, 230.0, 10.0)
    assert circle.first_hole_angle == 120.0
    assert bolt_circle(3, angles=(90.0, 200.0, 340.0), skipped=(2,)).hole_angles() == (90.0, 340.0)


def test_an_unequal_circle_has_no_common_chord() -> None:
    with pytest.raises(GeometryError, match="common chord"):
        _ = bolt_circle(3, angles=(90.0, 200.0, 340.0)).chord


@every_row(
    "wrong",
    [
        {"diameter": 0.0},
        {"diameter": math.nan},
        {"diameter": math.inf},
        {"diameter": -240.0},
        {"hole_diameter": 0.0},
        {"hole_diameter": -1.0},
        {"hole_count": 0},
        {"hole_count": 10_001},
        {"angles": (1.0, 2.0)},
        {"skipped": (9,)},
        {"skipped": (0,)},
        {"skipped": tuple(range(1, 9))},
        {"start_angle": math.nan},
        {"pair_angle": math.nan},
        {"angles": (0.0, math.inf, *(10.0 * n for n in range(2, 8)))},
        {"hole_count": 8.5},
        {"angles": tuple(45.0 * n for n in range(8)), "pair_angle": 10.0},
        {"hole_diameter": None},
        {"drilling": Drilling(22.0)},
        {"drilling": Drilling(22.0), "hole_diameter": None, "bolt": "M20"},
    ],
)
def test_values_that_make_no_bolt_circle_are_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(GeometryError):
        bolt_circle(**{"hole_count": 8, **wrong})


@every_row("wrong", [{"placement": "straddling"}, {"centerline": "north"}])
def test_placements_that_do_not_exist_are_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(GeometryError, match=r"must be [a-z-]+ or [a-z-]+, not"):
        bolt_circle(**wrong)


@given(st.integers(1, 20), st.floats(0.05, 0.95), st.floats(0.05, 0.95))
def test_a_changed_copy_of_paired_holes_stands_where_a_new_circle_would(pairs: int, share: float, other: float) -> None:
    def paired(share: float, centerline: str) -> BoltCircle:
        return bolt_circle(2 * pairs, pair_angle=share * 360 / pairs, centerline=centerline)

    circle = paired(share, "vertical")
    moved = replace(circle, pair_angle=other * 360 / pairs, centerline=Centerline.HORIZONTAL)
    assert moved.hole_angles() == paired(other, "horizontal").hole_angles()
    assert replace(circle, pair_angle=0.0).equally_spaced


def test_a_circle_of_a_whole_drilling_is_the_same_as_one_of_its_facts() -> None:
    made = Drilling(17.5, Tapped("M20", 20.0, 30.0), "pump side", "M20")
    facts = BoltCircle(240.0, 8, 17.5, kind=made.kind, name="pump side", bolt="M20")
    assert BoltCircle(240.0, 8, drilling=made) == facts
    assert (facts.kind, facts.name, facts.bolt, facts.hole_diameter) == (made.kind, "pump side", "M20", 17.5)
    assert replace(facts, drilling=Drilling(22.0)).hole_diameter == 22.0


def test_the_holes_of_a_pair_stand_the_named_angle_apart_about_their_place() -> None:
    # Two pairs straddling the vertical centerline: their middles at 9 and 3 o'clock, 5 degrees to either side.
    angles = sorted(round(angle % 360, 6) for angle in hole_angles(bolt_circle(4, pair_angle=10.0)))
    assert angles == [5.0, 175.0, 185.0, 355.0]
    on_line = sorted(
        round(angle % 360, 6) for angle in hole_angles(bolt_circle(4, pair_angle=10.0, placement="on-centerline"))
    )
    assert on_line == [85.0, 95.0, 265.0, 275.0]


def hole_angles(circle: BoltCircle) -> list[float]:
    return [math.degrees(math.atan2(center.y, center.x)) for center in circle.hole_centers()]
