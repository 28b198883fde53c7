"""What the check card has measured, in its order: judged by chords of a handbook's table and by plain trigonometry."""

import math

import pytest

from flangelayout.flange import BoltCircle, Flange, SplitOutline
from flangelayout.flange.drilling import Drilling
from flangelayout.flange.pattern import HoleGrid, HoleRectangle
from flangelayout.flange.plate import Deviations, Tolerances
from flangelayout.flange.turning import Fitted, PlateFace, Turned, TurnedKind
from flangelayout.job.load import job_from_data
from flangelayout.provenance import Confidence
from flangelayout.units import Unit
from flangelayout.views.words.bench.measuring import (
    MOST_DIAGONALS,
    accepted,
    allowed,
    further_distances,
    machined_sizes,
    spans,
)
from flangelayout.views.words.lengths import Lengths
from jobs import bolt_circle, flange
from rows import every_row

MM = Lengths(Unit.MM)


def pairs(across: bool, circle: object) -> list[tuple[int, int]]:
    """The holes of the readings, numbered from 1."""
    return [(span.first + 1, span.last + 1) for span in spans(circle) if span.is_across is across]  # type: ignore[arg-type]


def test_two_diagonals_at_right_angles_come_first_then_the_others_then_the_neighbors() -> None:
    assert pairs(True, bolt_circle()) == [(1, 5), (3, 7), (2, 6), (4, 8)]
    assert pairs(False, bolt_circle()) == [(1, 2), (2, 3), (3, 4), (4, 5), (5, 6), (6, 7), (7, 8), (8, 1)]
    assert [span.is_across for span in spans(bolt_circle())] == [True] * 4 + [False] * 8


@every_row("count", [2, 3, 4, 5, 6, 7, 12, 13, 28, 64])
def test_every_reading_is_the_chord_of_its_holes(count: int) -> None:
    # Chord over k pitches of n holes on D: D sin(180 deg k / n) (chord tables of the machinist's handbooks).
    circle = bolt_circle(count, 1000.0, 5.0)
    for span in spans(circle):
        pitches = abs(span.last - span.first)
        assert span.distance == pytest.approx(1000.0 * math.sin(math.pi * pitches / count))
        if span.is_across:
            assert min(pitches, count - pitches) == count // 2
        else:
            assert pitches in (1, count - 1)
    assert len(pairs(False, circle)) == (count if count > 2 else 1)
    assert len(pairs(True, circle)) == (
        0 if count < 4 else min(count // 2 if count % 2 == 0 else count, MOST_DIAGONALS)
    )


@every_row("count", [8, 12, 28, 64])
def test_the_first_two_diagonals_stand_at_right_angles(count: int) -> None:
    (a, _), (b, _), *_ = pairs(True, bolt_circle(count, 1000.0, 5.0))
    assert (b - a) * 360 / count % 180 == 90


def test_neighbors_of_very_many_holes_stand_in_no_list() -> None:
    assert not pairs(False, bolt_circle(100, 1000.0, 5.0))
    assert len(pairs(True, bolt_circle(100, 1000.0, 5.0))) == MOST_DIAGONALS


def test_holes_that_are_left_out_are_not_measured() -> None:
    circle = bolt_circle(8, skipped=(1,))
    numbers = circle.hole_numbers()
    measured = [(numbers[span.first], numbers[span.last]) for span in spans(circle)]
    assert measured[:3] == [(2, 6), (4, 8), (3, 7)]
    assert (8, 2) in measured
    assert all(1 not in pair for pair in measured)


def test_a_quarter_ring_is_measured_from_end_to_end_not_round_its_empty_side() -> None:
    circle = bolt_circle(32, 1000.0, 5.0, skipped=tuple(range(9, 33)))
    assert (1, 8) in pairs(True, circle)
    assert (8, 1) not in pairs(False, circle)
    assert len(pairs(False, circle)) == 7


def test_a_rectangle_has_its_two_diagonals_and_its_sides_and_a_grid_nothing() -> None:
    for columns, rows in ((2, 2), (4, 3), (30, 40)):
        rectangle = HoleRectangle(Drilling(5.0), 360.0, 220.0, columns, rows)
        corners = [n for n, at in enumerate(rectangle.hole_centers()) if (abs(at.x), abs(at.y)) == (180.0, 110.0)]
        across = [span for span in spans(rectangle) if span.is_across]
        assert [span.distance for span in across] == pytest.approx([math.hypot(360.0, 220.0)] * 2)
        assert sorted(n for span in across for n in (span.first, span.last)) == corners
    beside = sorted(span.distance for span in spans(HoleRectangle(Drilling(18.0), 360.0, 220.0)) if not span.is_across)
    assert beside == pytest.approx([220.0, 220.0, 360.0, 360.0])
    assert not spans(HoleGrid(Drilling(8.0), 3, 2, 20.0, 25.0))


def test_limits_are_rounded_inward_and_only_stated_ones_are_given() -> None:
    # 8 holes on 295: 295 sin 22.5 deg = 112.892; with 0.5 from 112.392 to 113.392.
    assert accepted(0.5, 295 * math.sin(math.pi / 8), MM) == "112.40 – 113.39"
    assert accepted(None, 112.892, MM) == ""


def test_readings_are_held_to_the_plates_own_tolerance_or_else_to_the_standard_of_the_circle() -> None:
    """EN 1092-1 has ±1.0 of the circle up to M24 and ±0.5 between neighboring holes (project's table, from memory)."""
    circle: dict[str, object] = {"standard": "EN 1092-1 PN10 DN200"}
    plate = {"outside_diameter": 340, "bore": 100}
    rows: tuple[tuple[dict[str, float], float | None, float | None], ...] = (
        ({}, 1.0, 0.5),
        ({"chord": 0.3}, 0.3, 0.3),
        ({"bolt_circle": 0.2}, 0.2, None),
    )
    for stated, across, beside in rows:
        data: dict[str, object] = {"units": "mm", "plate": plate, "bolt_circle": [circle], "tolerances": stated}
        made = job_from_data(data).flange
        found = spans(made.groups()[0])
        assert allowed(made, made.groups()[0], found, Unit.MM) == (across,) * 4 + (beside,) * 4 * 2, stated
    five = flange(bolt_circle(5), tolerances=Tolerances(bolt_circle=0.2))
    assert set(allowed(five, five.groups()[0], spans(five.groups()[0]), Unit.MM)) == {None}  # none is a diameter


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


def test_a_bore_that_is_there_already_is_not_measured_as_machined() -> None:
    assert list(machined_sizes(flange(bore=170.0), MM)) == [("bore", "⌀170", "")]
    assert not list(machined_sizes(flange(bore=170.0, bore_cut=True), MM))


def test_a_ring_in_parts_is_measured_inside_as_a_whole_one_is_in_its_bore() -> None:
    ring = Flange(SplitOutline(360.0, 220.0, 2), (BoltCircle(310.0, 12, 17.5),), thickness=20.0)
    assert list(machined_sizes(ring, MM)) == [("inside", "⌀220", "")]


def test_a_bore_is_measured_between_its_own_limits() -> None:
    held = Tolerances(bore=Deviations(plus=0.3, minus=0.1))
    assert list(machined_sizes(flange(bore=170.0, tolerances=held), MM)) == [("bore", "⌀170", "169.900 – 170.300")]


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
