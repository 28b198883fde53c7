"""What a drilling has in common with a published row, judged by geometry of the test's own."""

import cmath
import math
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flangelayout.standards import Difference, Field, Pattern, all_patterns, differences, find, tied_rows
from flangelayout.standards.comparing import row_angles

ROWS = all_patterns()


def test_every_row_is_as_itself() -> None:
    for row in ROWS:
        angles = row_angles(row)
        assert differences(row, row.bolt_circle, row.hole_count, row.hole_diameter, angles) == ()
        assert row.equally_spaced == (differences(row, row.bolt_circle, row.hole_count, row.hole_diameter) == ())


def test_each_figure_that_differs_is_named_with_both_values() -> None:
    """EN 1092-1 PN16 DN150: 8 holes of 22 on 240 (maker's sheet of connecting dimensions)."""
    row = find("EN 1092-1 PN16 DN150")
    assert differences(row, 241.3, 8, 22) == (Difference(Field.CIRCLE, 241.3, 240),)
    assert differences(row, 160, 6, 30) == (
        Difference(Field.CIRCLE, 160, 240),
        Difference(Field.HOLE_COUNT, 6, 8),
        Difference(Field.HOLE, 30, 22),
    )
    assert differences(row, 240, 8, None) == (Difference(Field.HOLE, None, 22),)


@pytest.mark.parametrize(("off", "same"), [(0.0, True), (0.0049, True), (0.006, False), (-0.0051, False)])
def test_figures_are_the_same_within_half_a_hundredth(off: float, same: bool) -> None:
    row = find("EN 1092-1 PN16 DN150")
    assert (differences(row, 240 + off, 8, 22) == ()) is same
    assert (differences(row, 240, 8, 22 + off) == ()) is same


def test_a_hole_that_the_table_does_not_list_is_not_compared() -> None:
    assert differences(find("wheel hub 5x112"), 112, 5, 14) == ()
    assert differences(find("IEC 60072-1 FT100"), 100, 4, 7) == ()


def test_one_hole_off_its_place_is_told_as_the_distance_to_its_neighbor() -> None:
    row = find("EN 1092-1 PN16 DN150")
    angles = [22.5 + 45 * index for index in range(8)]
    assert differences(row, 240, 8, 22, angles) == ()
    angles[3] += 1.0
    (found,) = differences(row, 240, 8, 22, angles)
    assert found.field is Field.SPACING
    assert found.published == pytest.approx(abs(120 * (cmath.rect(1, 0) - cmath.rect(1, math.pi / 4))))
    assert found.written is not None
    assert abs(found.written - (found.published or 0)) == pytest.approx(
        120 * math.radians(1) * math.cos(math.pi / 8), abs=0.02
    )


def test_a_rectangle_is_no_square_and_may_lie_turned_or_mirrored() -> None:
    """ISO 6162-1 DN25: 52.4 x 26.2 mm; its corners from the middle, by arc tangent."""
    row = find("ISO 6162-1 DN25")
    corner = math.degrees(math.atan2(26.2, 52.4))
    corners = [corner, 180 - corner, 180 + corner, -corner]
    assert differences(row, row.bolt_circle, 4, None, corners) == ()
    assert differences(row, row.bolt_circle, 4, None, [angle + 31 for angle in reversed(corners)]) == ()
    (found,) = differences(row, row.bolt_circle, 4, None)
    assert found.field is Field.SPACING
    assert differences(find("EN 1092-1 PN16 DN50"), 125, 4, 18, corners)[0].field is Field.SPACING


@given(st.sampled_from(ROWS), st.floats(-360, 360), st.integers(0, 10**6))
def test_where_the_first_hole_stands_and_in_which_order_they_come_does_not_matter(
    row: Pattern, start: float, chance: int
) -> None:
    angles = [start + angle for angle in row_angles(row)]
    Random(chance).shuffle(angles)
    assert differences(row, row.bolt_circle, row.hole_count, row.hole_diameter, angles) == ()


def test_tied_rows_have_one_drilling_and_no_other_row_has_it() -> None:
    """EN 1092-1: PN10 and PN16 are one drilling at DN100; wheel hub and chainring 5x110 likewise."""
    ties = [row.designation for row in tied_rows(find("EN 1092-1 PN16 DN100"))]
    assert {"EN 1092-1 PN10 DN100", "EN 1092-1 PN16 DN100"} <= set(ties)
    assert [row.designation for row in tied_rows(find("wheel hub 5x110"))] == ["chainring 5x110", "wheel hub 5x110"]
    for row in ROWS[::37]:
        assert list(tied_rows(row)) == [other for other in ROWS if judged_alike(row, other)]


def judged_alike(row: Pattern, other: Pattern) -> bool:
    if (row.hole_count, row.rectangle) != (other.hole_count, other.rectangle):
        return False
    holes = (row.hole_diameter, other.hole_diameter)
    alike = holes == (None, None) or (None not in holes and abs((holes[0] or 0) - (holes[1] or 0)) <= 0.005)
    return alike and abs(other.bolt_circle - row.bolt_circle) <= 0.005
