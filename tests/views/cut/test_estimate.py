import math

import pytest

from flangelayout.drawing.info import JobInfo
from flangelayout.flange.cutting import CutOptions, Mark
from flangelayout.units import Unit
from flangelayout.views.cut.estimate import CutEstimate, estimate_cut, estimate_line
from flangelayout.views.cut.finished import finished_cut
from jobs import flange
from rows import every_row

RING = flange(bore=170.0, thickness=22.0)


def estimate(density: float | None = 7850.0, **options: object) -> CutEstimate:
    drawing = finished_cut(RING, JobInfo("T-1"), CutOptions(**options), Unit.MM)  # type: ignore[arg-type] # named by each test
    return estimate_cut(drawing, RING, density, "steel")


def test_the_length_of_cut_is_the_sum_of_the_circumferences() -> None:
    found = estimate()
    assert found.cut_length == pytest.approx(math.pi * (285 + 170 + 8 * 22))
    assert found.pierces == 10
    assert found.mark_length == 0


def test_the_mass_is_that_of_the_ring_by_hand() -> None:
    found = estimate()
    area = math.pi / 4 * (285**2 - 170**2 - 8 * 22**2)
    assert found.mass == pytest.approx(area * 22 * 7850e-9)
    assert found.blank_mass == pytest.approx(285 * 285 * 22 * 7850e-9)


def test_leads_add_their_length_and_no_pierce() -> None:
    plain, led = estimate(kerf=2.0), estimate(kerf=2.0, lead_in=2.0)
    assert led.pierces == plain.pierces
    assert led.cut_length == pytest.approx(plain.cut_length + 10 * math.pi / 2 * 2.0)


def test_marks_are_counted_apart() -> None:
    found = estimate(marks=(Mark.CENTERS,))
    assert found.mark_length == pytest.approx(8 * 4 * 2.5)
    assert found.cut_length == pytest.approx(estimate().cut_length)


def test_a_kerf_does_not_change_the_mass_of_the_part() -> None:
    assert estimate(kerf=3.0).mass == estimate().mass


def test_no_mass_is_guessed() -> None:
    assert estimate(density=None).mass is None
    assert "mass not known" in estimate_line(estimate(density=None), Unit.MM)


@every_row(
    ("unit", "said"),
    [
        (Unit.MM, "cut 1982 mm, 10 pierces, part 6.57 kg of a 14.0 kg blank"),
        (Unit.IN, "cut 78.0 in, 10 pierces, part 14.5 lb of a 30.9 lb blank"),
    ],
)
def test_the_line_says_length_pierces_and_mass(unit: Unit, said: str) -> None:
    assert estimate_line(estimate(), unit).startswith(said)
