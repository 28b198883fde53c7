import pytest

from flangelayout.flange import Drilling, Flange, RectangleOutline, SingleHole
from flangelayout.flange.cutting import Zero
from flangelayout.geometry.shapes import Point
from flangelayout.machine.readout import readout_table
from flangelayout.units import Unit, to_mm
from flangelayout.writers.csv_table import write_csv
from jobs import bolt_circle, flange

PLATE = flange(bolt_circle(hole_count=6), single_holes=(SingleHole(Point(12.5, -7.25), Drilling(8.0)),))


def places(zero: Zero, unit: Unit, plate: Flange = PLATE) -> list[tuple[float, float]]:
    return [
        (to_mm(float(row[1]), unit), to_mm(float(row[2]), unit)) for row in readout_table(plate, zero, unit, repr).rows
    ]


@pytest.mark.parametrize("unit", list(Unit))
@pytest.mark.parametrize(("zero", "x", "y"), [(Zero.CENTER, 0.0, 0.0), (Zero.CORNER, -142.5, -142.5)])
def test_coordinates_count_from_the_zero_asked_for(zero: Zero, x: float, y: float, unit: Unit) -> None:
    finest = 0.0006 if unit is Unit.MM else 0.0013
    for hole, place in zip(PLATE.holes(), places(zero, unit), strict=True):
        assert place == pytest.approx((hole.center.x - x, hole.center.y - y), abs=finest)


def test_the_first_hole_can_be_zero() -> None:
    found = places(Zero.FIRST_HOLE, Unit.MM)
    assert found[0] == (0.0, 0.0)
    # Opposite holes of 6 on a 240 mm circle are 240 mm apart.
    assert (found[3][0] ** 2 + found[3][1] ** 2) ** 0.5 == pytest.approx(240.0, abs=0.001)


def test_the_corner_is_that_of_the_rectangle_round_the_plate() -> None:
    plate = Flange(RectangleOutline(300.0, 100.0), (), single_holes=(SingleHole(Point(0.0, 0.0), Drilling(8.0)),))
    assert places(Zero.CORNER, Unit.MM, plate) == [(150.0, 50.0)]


def test_the_csv_names_its_unit_in_every_head() -> None:
    head = write_csv(readout_table(PLATE, Zero.CENTER, Unit.IN, repr)).decode("utf-8-sig").splitlines()[0]
    assert head == "hole,x_in,y_in,hole_diameter_in,made"
