"""The tables of holes: what a person sets out, drills and measures by, from the center and from the corner."""

import math

import pytest

from flangelayout.flange import Flange, HoleGrid, HoleRings, RectangleOutline, SingleHole
from flangelayout.flange.drilling import Drilling
from flangelayout.geometry.shapes import Point
from flangelayout.units import Unit
from flangelayout.views.words.hole_tables import hole_list, hole_tables
from flangelayout.views.words.lengths import Lengths
from jobs import bolt_circle, flange
from rows import every_row

MM = Lengths(Unit.MM)
QUARTER = math.sqrt(2) / 2


def column(table_columns: tuple[str, ...], rows: tuple[tuple[str, ...], ...], name: str) -> list[str]:
    return [row[table_columns.index(name)] for row in rows]


def test_a_hole_of_a_round_plate_stands_in_the_sheets_table_from_the_center() -> None:
    # 4 holes on 240, on the centerlines, in a plate of 285: hole 1 at 12 o'clock, then counter-clockwise.
    (table,) = hole_tables(flange(bolt_circle(4, placement="on-centerline")), MM)
    assert table.columns == ("HOLE", "X CENTER", "Y CENTER")
    assert column(table.columns, table.rows, "HOLE") == ["1", "2", "3", "4"]
    assert column(table.columns, table.rows, "X CENTER") == ["0.00", "-120.00", "0.00", "120.00"]
    assert column(table.columns, table.rows, "Y CENTER") == ["120.00", "0.00", "-120.00", "0.00"]


def test_a_hole_of_any_other_plate_stands_there_from_the_corner_too_and_a_single_one_with_its_size() -> None:
    single = SingleHole(Point(10.0, 60.0), Drilling(9.0))
    circle, alone = hole_tables(Flange(RectangleOutline(400.0, 300.0), (bolt_circle(4),), single_holes=(single,)), MM)
    x = [200 + 120 * turn * QUARTER for turn in (-1, -1, 1, 1)]
    y = [150 + 120 * turn * QUARTER for turn in (1, -1, -1, 1)]
    assert column(circle.columns, circle.rows, "FROM LEFT") == [f"{at:.2f}" for at in x]
    assert column(circle.columns, circle.rows, "FROM BOTTOM") == [f"{at:.2f}" for at in y]
    assert alone.rows == (("X1", "10.00", "60.00", "210.00", "210.00", "⌀9"),)


def test_holes_spaced_unequally_are_told_by_their_angles_from_the_first_too() -> None:
    (table,) = hole_tables(flange(bolt_circle(3, angles=(5.0, 47.5, 200.0))), MM)
    assert column(table.columns, table.rows, "FROM 1") == ["0°", "42.5°", "195°"]
    (paired,) = hole_tables(flange(bolt_circle(4, pair_angle=20.0)), MM)
    assert paired.columns == ("HOLE", "X CENTER", "Y CENTER")  # its call-out tells them


def test_more_than_64_holes_stand_in_the_hole_list_unless_all_are_asked_for() -> None:
    many = flange(bolt_circle(65, 1000.0, 5.0), outside_diameter=1100.0)
    assert not list(hole_tables(many, MM))
    (table,) = hole_tables(many, MM, every=True)
    assert [row[0] for row in table.rows] == [str(number) for number in range(1, 66)]
    assert len(next(hole_tables(flange(bolt_circle(64, 1000.0, 5.0), outside_diameter=1100.0), MM)).rows) == 64


def test_of_many_holes_of_a_grid_or_of_rings_the_table_says_which_it_lists() -> None:
    # Rings of 1, 6, 12, 18, 24 and 30 holes begin at 1, 2, 8, 20, 38 and 62; nine rows of nine end at 1, 9, 10, 18 ...
    rings = HoleRings(Drilling(5.0), 0.0, 20.0, (1, 6, 12, 18, 24, 30))
    grid = HoleGrid(Drilling(5.0), 9, 9, 20.0, 20.0)
    of_rings, of_grid = (list(hole_tables(flange(patterns=(each,)), MM))[1] for each in (rings, grid))
    assert (of_rings.title, of_grid.title) == ("HOLES B (mm, first of each ring)", "HOLES B (mm, ends of rows)")
    assert [row[0] for row in of_rings.rows] == ["B1", "B2", "B8", "B20", "B38", "B62"]
    assert [row[0] for row in of_grid.rows] == [f"B{n}" for row in range(9) for n in (9 * row + 1, 9 * row + 9)]


@every_row(("unit", "places", "per_mm"), [(Unit.MM, 4, 1.0), (Unit.IN, 5, 1 / 25.4)])
def test_the_hole_list_has_every_figure_in_its_unit(unit: Unit, places: int, per_mm: float) -> None:
    plate = Flange(RectangleOutline(400.0, 300.0), (bolt_circle(4),))
    table = hole_list(plate, unit)

    def figures(name: str) -> list[float]:
        assert f"{name}_{unit.value}" in table.columns
        texts = column(table.columns, table.rows, f"{name}_{unit.value}")
        assert all(len(text.partition(".")[2]) == places for text in texts)
        return [float(text) for text in texts]

    x = [-120 * QUARTER, -120 * QUARTER, 120 * QUARTER, 120 * QUARTER]
    y = [120 * QUARTER, -120 * QUARTER, -120 * QUARTER, 120 * QUARTER]
    near = 0.6 * 10**-places
    assert figures("x_center") == pytest.approx([at * per_mm for at in x], abs=near)
    assert figures("y_center") == pytest.approx([at * per_mm for at in y], abs=near)
    assert figures("x_corner") == pytest.approx([(at + 200) * per_mm for at in x], abs=near)
    assert figures("y_corner") == pytest.approx([(at + 150) * per_mm for at in y], abs=near)
    assert figures("hole_diameter") == pytest.approx([22 * per_mm] * 4, abs=near)
    assert column(table.columns, table.rows, "angle_deg") == ["135.00000", "225.00000", "315.00000", "45.00000"]
