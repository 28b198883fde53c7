"""Whether a drilling may be called by a row's name, judged by geometry of the test's own."""

import cmath
import math
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flangelayout.flange import BoltCircle, Counterbored, Dowel, HoleKind, Slot, Tapped
from flangelayout.flange.claims import (
    Difference,
    against,
    differences,
    measured,
    met_rows,
    own_tolerance,
    standing,
)
from flangelayout.flange.drilling import Drilling
from flangelayout.flange.origin import (
    Figure,
    FromRow,
    LookedUp,
    Made,
    Measured,
    NearestOf,
    PublishedRow,
)
from flangelayout.provenance import Confidence, Family
from flangelayout.standards import Pattern, all_patterns, find, published_row
from flangelayout.standards.comparing import row_angles
from flangelayout.value import replace
from rows import every_row

ROWS = tuple(row for row in all_patterns() if row.hole_count > 1)
DN150 = published_row(find("EN 1092-1 PN16 DN150"))
"""8 holes of 22 on 240 (maker's sheet of connecting dimensions)."""


def circle(diameter: float = 240.0, count: int = 8, hole: float = 22.0, **changes: Any) -> BoltCircle:  # noqa: ANN401
    """A bolt circle that names EN 1092-1 PN16 DN150."""
    return BoltCircle(diameter, count, hole, **({"origin": FromRow(DN150)} | changes))


def as_row(row: Pattern, start: float = 0.0) -> BoltCircle:
    """A bolt circle drilled as a row has it."""
    angles = () if row.equally_spaced else tuple(start + angle for angle in row_angles(row))
    return BoltCircle(row.bolt_circle, row.hole_count, row.hole_diameter or 5.0, angles=angles, start_angle=start)


def test_every_row_is_as_itself() -> None:
    for row in ROWS:
        assert differences(as_row(row), published_row(row)) == (), row.designation


@given(st.sampled_from(ROWS), st.floats(-360, 360), st.integers(0, 10**6))
def test_where_the_first_hole_stands_and_in_which_order_they_come_does_not_matter(
    row: Pattern, start: float, chance: int
) -> None:
    angles = [start + angle for angle in row_angles(row)]
    Random(chance).shuffle(angles)
    drilled = BoltCircle(row.bolt_circle, row.hole_count, row.hole_diameter or 5.0, angles=tuple(angles))
    assert differences(drilled, published_row(row)) == ()


def test_each_figure_that_differs_is_named_with_both_values() -> None:
    assert differences(circle(241.3), DN150) == (Difference(Figure.CIRCLE, 241.3, 240),)
    assert differences(circle(160, 6, 30), DN150) == (
        Difference(Figure.CIRCLE, 160, 240),
        Difference(Figure.HOLE_COUNT, 6, 8),
        Difference(Figure.HOLE, 30, 22),
    )
    assert differences(circle(skipped=(3, 4)), DN150) == (Difference(Figure.SKIPPED, 2, 0),)


@every_row(("off", "same"), [(0.0, True), (0.0049, True), (0.006, False), (-0.0051, False)])
def test_figures_are_the_same_within_half_a_hundredth(off: float, same: bool) -> None:
    assert bool(met_rows(circle(240 + off))) is same
    assert bool(met_rows(circle(hole=22 + off))) is same


@every_row(
    ("kind", "hole", "figures"),
    [
        (Counterbored(33.0, 13.0), 22.0, []),
        (Tapped("M20", 20.0), 17.5, []),
        (Tapped("M16", 16.0), 14.0, [Figure.THREAD]),
        (Slot(40.0), 22.0, [Figure.KIND]),
        (Dowel("H7"), 22.0, [Figure.KIND]),
    ],
)
def test_a_kind_of_hole_is_held_against_the_row(kind: HoleKind, hole: float, figures: list[Figure]) -> None:
    """The row's bolt is M20: a thread for it mates with the row's flange; slots and pins are other holes."""
    assert [each.figure for each in differences(circle(hole=hole, kind=kind), DN150)] == figures


def test_one_hole_off_its_place_is_told_as_the_distance_to_its_neighbor() -> None:
    angles = [22.5 + 45 * index for index in range(8)]
    assert met_rows(circle(angles=tuple(angles)))
    angles[3] += 1.0
    (found,) = differences(circle(angles=tuple(angles)), DN150)
    assert found.figure is Figure.SPACING
    assert found.published == pytest.approx(abs(120 * (cmath.rect(1, 0) - cmath.rect(1, math.pi / 4))))
    assert found.drawn is not None
    assert abs(found.drawn - (found.published or 0)) == pytest.approx(
        120 * math.radians(1) * math.cos(math.pi / 8), abs=0.02
    )
    paired = circle(pair_angle=44.0)
    assert [each.figure for each in differences(paired, DN150)] == [Figure.SPACING]


def test_a_rectangle_is_no_square_and_may_lie_turned_or_mirrored() -> None:
    """ISO 6162-1 DN25: 52.4 x 26.2 mm; its corners from the middle, by arc tangent."""
    port = find("ISO 6162-1 DN25")
    row = published_row(port)
    corner = math.degrees(math.atan2(26.2, 52.4))
    corners = [corner, 180 - corner, 180 + corner, -corner]

    def drilled(angles: list[float]) -> BoltCircle:
        return BoltCircle(port.bolt_circle, 4, 11.0, angles=tuple(angles))

    assert differences(drilled(corners), row) == ()
    assert differences(drilled([angle + 31 for angle in reversed(corners)]), row) == ()
    assert [each.figure for each in differences(drilled([]), row)] == [Figure.SPACING]


def test_a_changed_copy_claims_only_what_it_still_is() -> None:
    named = circle()
    assert met_rows(named) == (DN150,)
    stands = against(named)
    assert stands is not None
    assert (stands.row, stands.differences) == (DN150, ())
    changed = replace(named, diameter=235.0, hole_count=6)
    stands = against(changed)
    assert met_rows(changed) == ()
    assert stands is not None
    assert [each.figure for each in stands.unmeant] == [Figure.CIRCLE, Figure.HOLE_COUNT]


def test_what_is_meant_to_differ_is_told_apart_from_what_is_not() -> None:
    stands = against(circle(235.0, 6, origin=FromRow(DN150, frozenset({Figure.CIRCLE}))))
    assert stands is not None
    assert [each.figure for each in stands.differences] == [Figure.CIRCLE, Figure.HOLE_COUNT]
    assert [each.figure for each in stands.unmeant] == [Figure.HOLE_COUNT]


def test_of_several_rows_those_are_met_that_the_hole_is_of_too() -> None:
    wide = replace(DN150, designation="another", hole_diameter=26.0)
    found = Measured(240.02, 0.1)
    assert met_rows(circle(origin=NearestOf((wide, DN150), found))) == (DN150,)
    assert met_rows(circle(hole=24.0, origin=NearestOf((wide, DN150), found))) == ()


def test_places_on_other_parts_of_a_ring_are_no_difference() -> None:
    assert met_rows(circle(skipped=(5, 6, 7, 8), elsewhere=(5, 6, 7, 8)))
    assert not met_rows(circle(skipped=(4, 5, 6, 7, 8), elsewhere=(5, 6, 7, 8)))


def test_a_tolerance_goes_only_with_the_circle_it_was_published_for() -> None:
    row = published_row(next(row for row in ROWS if row.tolerance and row.family is Family.PIPE_FLANGE))
    drilled = BoltCircle(row.circle, row.hole_count, row.hole_diameter or 5.0, origin=FromRow(row))
    assert own_tolerance(drilled) == row.tolerance
    assert own_tolerance(replace(drilled, drilling=Drilling(drilled.hole_diameter + 1.0))) == row.tolerance
    assert own_tolerance(replace(drilled, diameter=row.circle - 3.0)) is None
    assert own_tolerance(replace(drilled, hole_count=row.hole_count - 1)) is None


def test_a_measured_circle_is_so_only_where_it_is_as_measured() -> None:
    found = Measured(240.11, 0.08)
    assert measured(circle(240.11, origin=found)) == found
    assert measured(circle(241.0, origin=found)) is None
    assert measured(circle(240.11, origin=FromRow(DN150, measured=found))) == found


def test_a_looked_up_size_is_told_only_where_the_hole_has_it() -> None:
    found = LookedUp(Made.CLEARANCE_HOLE, 22.0, "M20", "ISO 273", Confidence.TWO_SOURCES, fit="medium")
    seat = LookedUp(Made.COUNTERBORE, 33.0, "M20", "a table", Confidence.MEMORY)
    assert standing(Drilling(22.0, Counterbored(33.0, 13.0), looked_up=(found, seat))) == (found, seat)
    assert standing(Drilling(23.0, Counterbored(33.0, 13.0), looked_up=(found, seat))) == (seat,)
    assert standing(Drilling(22.0, looked_up=(found, seat))) == (found,)


def test_a_row_that_lists_no_hole_is_met_by_any() -> None:
    for designation, diameter, count in (("wheel hub 5x112", 112.0, 5), ("IEC 60072-1 FT100", 100.0, 4)):
        row: PublishedRow = published_row(find(designation))
        assert met_rows(BoltCircle(diameter, count, 14.0, origin=FromRow(row)))
