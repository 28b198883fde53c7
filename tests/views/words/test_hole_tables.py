"""The tables of holes: what a person sets out, drills and measures by, from the center and from the corner."""

import math

import pytest

from flangelayout.flange import Flange, RectangleOutline
from flangelayout.units import Unit
from flangelayout.views.words.hole_tables import chord_tables, hole_list, hole_table
from flangelayout.views.words.lengths import Lengths
from jobs import bolt_circle, flange

MM = Lengths(Unit.MM)
QUARTER = math.sqrt(2) / 2


def column(table_columns: tuple[str, ...], rows: tuple[tuple[str, ...], ...], name: str) -> list[str]:
    return [row[table_columns.index(name)] for row in rows]


def test_a_hole_stands_in_the_sheets_table_from_the_center_and_from_the_corner() -> None:
    # 4 holes on 240, on the centerlines, in a plate of 285: hole 1 at 12 o'clock, then counter-clockwise.
    table = hole_table(flange(bolt_circle(4, placement="on-centerline")), MM)
    assert column(table.columns, table.rows, "HOLE") == ["1", "2", "3", "4"]
    assert column(table.columns, table.rows, "ANGLE") == ["90°", "180°", "270°", "0°"]
    assert column(table.columns, table.rows, "X CENTER") == ["0.00", "-120.00", "0.00", "120.00"]
    assert column(table.columns, table.rows, "Y CENTER") == ["120.00", "0.00", "-120.00", "0.00"]
    assert column(table.columns, table.rows, "X CORNER") == ["142.50", "22.50", "142.50", "262.50"]
    assert column(table.columns, table.rows, "Y CORNER") == ["262.50", "142.50", "22.50", "142.50"]
    assert set(column(table.columns, table.rows, "SIZE")) == {"⌀22"}
    assert set(column(table.columns, table.rows, "KIND")) == {"thru"}


@pytest.mark.parametrize(("unit", "places", "per_mm"), [(Unit.MM, 4, 1.0), (Unit.IN, 5, 1 / 25.4)])
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


def test_a_caliper_finds_the_chords_of_the_table() -> None:
    # Chords of 8 holes on a circle of 1: 0.38268, 0.70711, 0.92388, 1 (chord tables of the machinist's handbooks).
    (table,) = chord_tables(flange(), MM)
    assert table.rows == (
        ("next", "1 - 2", "91.84", ""),
        ("2 pitches", "1 - 3", "169.71", ""),
        ("3 pitches", "1 - 4", "221.73", ""),
        ("4 pitches", "1 - 5", "240.00", ""),
    )


def test_unequal_holes_have_the_chord_of_each_pair() -> None:
    (table,) = chord_tables(flange(bolt_circle(3, angles=(0.0, 90.0, 210.0))), MM)
    # Chord = diameter times the sine of half the angle between: 90, 120 and 150 degrees on 240.
    assert [row[1:3] for row in table.rows] == [("1 - 2", "169.71"), ("2 - 3", "207.85"), ("3 - 1", "231.82")]
