"""What the check card has measured, in its order: judged by chords of a handbook's table and by plain trigonometry."""

import math

import pytest

from flangelayout.checks.measuring import MOST_DIAGONALS, spans
from flangelayout.flange import Group
from flangelayout.flange.drilling import Drilling
from flangelayout.flange.pattern import HoleGrid, HoleRectangle
from jobs import bolt_circle
from rows import every_row


def pairs(across: bool, circle: Group) -> list[tuple[int, int]]:
    """The holes of the readings, numbered from 1."""
    return [(span.first + 1, span.last + 1) for span in spans(circle) if span.is_across is across]


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
