"""Numbers of an absurd size for their unit are asked about."""

from collections.abc import Mapping

from checking import said
from flangelayout.checks import Rule
from flangelayout.units import Unit
from jobs import make_job
from rows import every_row


def asked(units: str, plate: Mapping[str, object], circle: Mapping[str, object]) -> list[str]:
    """The keys whose size is asked about."""
    job = make_job(units=units, plate=plate, bolt_circle=[circle])
    return [each.place.key for each in job.findings if each.rule is Rule.USUAL_SIZE and each.failed]


MM = ({"outside_diameter": 285, "bore": 170, "thickness": 22}, {"diameter": 240, "hole_count": 8, "hole_diameter": 22})


def test_the_same_numbers_are_usual_in_one_unit_and_asked_about_in_the_other() -> None:
    # Common practice, no source: no plate wider than 6 m, none thicker than 0.5 m, no bolt above M150 (ISO 273).
    assert asked("mm", *MM) == []
    assert asked("in", *MM) == ["units", "plate.thickness", "bolt_circle.hole_diameter"]


def test_inches_in_a_job_in_mm_are_asked_about() -> None:
    plate, circle = {"outside_diameter": 11, "bore": 6.625}, {"diameter": 9.5, "hole_count": 8, "hole_diameter": 0.875}
    assert asked("in", plate, circle) == []
    assert asked("mm", plate, circle) == ["units", "bolt_circle.hole_diameter"]


@every_row(
    ("plate", "hole", "keys"),
    [
        ({"outside_diameter": 6000}, 165, []),
        ({"outside_diameter": 6000.1}, 165, ["units"]),
        ({"outside_diameter": 6000}, 165.1, ["bolt_circle.hole_diameter"]),
        ({"outside_diameter": 6000, "thickness": 500}, 165, []),
        ({"outside_diameter": 6000, "thickness": 500.1}, 165, ["plate.thickness"]),
    ],
)
def test_both_sides_of_each_limit(plate: Mapping[str, object], hole: float, keys: list[str]) -> None:
    assert asked("mm", plate, {"diameter": 5000, "hole_count": 8, "hole_diameter": hole}) == keys


def test_a_question_shows_both_units() -> None:
    job = make_job(units="in", plate=MM[0], bolt_circle=[MM[1]])
    (text,) = (said(job.flange, each, Unit.IN) for each in job.remarks if each.place.key == "units")
    assert text.startswith("the plate is 285.000 in (7239.00 mm), more than 236.220 in (common practice")
    assert text.endswith("is the unit right?")
