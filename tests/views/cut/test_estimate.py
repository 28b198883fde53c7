import math

import pytest

from flangelayout.checks import Rule
from flangelayout.drawing.info import JobInfo
from flangelayout.flange.cutting import CutOptions, Mark
from flangelayout.job.load import job_from_data
from flangelayout.job.shop import shop_from_text
from flangelayout.packet.job import cut_estimate
from flangelayout.packet.shopwork import quoted_job
from flangelayout.units import Unit
from flangelayout.views.cut.estimate import CutEstimate, estimate_cut, estimate_line
from flangelayout.views.cut.finished import finished_cut
from flangelayout.views.words.findings import finding_text
from flangelayout.views.words.shopwork import mass_words
from jobs import flange, job_data
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


def test_a_ring_made_in_parts_comes_to_all_of_them_and_to_a_blank_for_each() -> None:
    plate = {"outline": "split", "outside_diameter": 2600, "inside_diameter": 2380, "part_count": 4, "gap": 4}
    job = job_from_data(job_data(plate=plate | {"thickness": 25, "material": "carbon steel"}, bolt_circle=[]))
    found = quoted_job(job, shop_from_text("").rates)
    # Each joint takes 110 mm x 4 mm off the ring, up to what the arcs bend there.
    area = math.pi / 4 * (2600**2 - 2380**2) - 4 * 110 * 4
    assert found.quote.work.mass == pytest.approx(area * 25 * 7850e-9, rel=1e-5)
    # A quarter reaches from half the gap beside either centerline to the rim: 1300 - 2 mm each way.
    assert found.quote.work.blank_mass == pytest.approx(4 * 1298**2 * 25 * 7850e-9, rel=1e-5)
    assert mass_words(found.quote.work, job.unit).startswith("its 4 parts together 169 kg, blanks 1323 kg: 13% of")
    line = estimate_line(cut_estimate(job), job.unit)
    assert line.startswith("estimate for the 4 parts of one: cut 16493 mm, 4 pierces, together 169 kg of 1323 kg")
    (heavy,) = (each for each in job.findings if each.rule is Rule.HEAVY)
    assert "each of the 4 parts 42.1 kg" in finding_text(job.flange, heavy, job.unit)


@every_row(
    ("unit", "said"),
    [
        (Unit.MM, "estimate for one part: cut 1982 mm, 10 pierces, part 6.57 kg of a blank of 14.0 kg"),
        (Unit.IN, "estimate for one part: cut 78.0 in, 10 pierces, part 14.5 lb of a blank of 30.9 lb"),
    ],
)
def test_the_line_says_length_pierces_and_mass(unit: Unit, said: str) -> None:
    assert estimate_line(estimate(), unit).startswith(said)
