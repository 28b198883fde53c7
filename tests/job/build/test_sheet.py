"""Keys of the sheet, the joint and the bore: what they become, and what is said of wrong ones."""

from typing import Any

import pytest

from flangelayout.drawing.convention import Convention
from flangelayout.errors import InputError
from flangelayout.flange.drilling import Fastener
from flangelayout.units import Unit
from jobs import job_data, make_job
from rows import every_row


def plate(**keys: Any) -> dict[str, Any]:  # noqa: ANN401 - keys of any kind
    return {"outside_diameter": 285, "bore": 170, "thickness": 22} | keys


def circle(**keys: Any) -> list[dict[str, Any]]:  # noqa: ANN401 - keys of any kind
    return [{"diameter": 240, "hole_count": 8, "hole_diameter": 22} | keys]


def test_the_keys_arrive() -> None:
    job = make_job(
        plate=plate(bore_chamfer=2, bore_cut=True, density=7900),
        bolt_circle=circle(mate_thickness=20, gasket_thickness=2, fastener="stud", washers=1),
        sheet={"convention": "ASME", "dual_units": True, "border": "with-logo"},
        job={"number": "T-1", "revision_history": [{"revision": "A", "change": "First issue"}]},
    )
    joint = job.flange.bolt_circles[0].joint
    assert (joint.mate_thickness, joint.gasket_thickness, joint.fastener, joint.washers) == (20, 2, Fastener.STUD, 1)
    assert (job.flange.bore_chamfer, job.flange.bore_cut, job.flange.density) == (2, True, 7900)
    assert (job.sheet.convention, job.sheet.dual_units) == (Convention.ASME, True)
    assert job.sheet.border.name == "with-logo"
    assert job.info.revision_history[0].change == "First issue"
    assert job.unit is Unit.MM


def test_absent_keys_mean_what_a_plain_job_always_meant() -> None:
    job = make_job()
    assert (job.flange.bore_chamfer, job.flange.bore_cut, job.flange.density) == (0.0, False, None)
    assert job.info.revision_history == ()
    assert job.sheet.border.name == "iso"


@every_row(
    ("tables", "where", "told"),
    [
        ({"plate": {"outside_diameter": 285, "bore_cut": True}}, "plate.bore_cut", "has no bore to go with"),
        ({"plate": {"outside_diameter": 285, "bore_chamfer": 2}}, "plate.bore_chamfer", "has no bore to go with"),
        ({"plate": plate(bore_chamfer=12)}, "plate.bore_chamfer", "more than half the thickness"),
        ({"plate": plate(density=7.85)}, "plate.density", "too small; the least is 100"),
        ({"plate": plate(bore_cut="yes")}, "plate.bore_cut", ""),
        ({"bolt_circle": circle(washers=3)}, "bolt_circle.washers", "too large; the most is 2"),
        ({"bolt_circle": circle(fastener="nail")}, "bolt_circle.fastener", 'use "bolt", "stud" or "none"'),
        ({"bolt_circle": circle(gasket_thickness=-1)}, "bolt_circle.gasket_thickness", "is less than 0"),
        ({"sheet": {"convention": "DIN"}}, "sheet.convention", 'use "ISO" or "ASME"'),
        ({"sheet": {"boarder": "iso"}}, "sheet.boarder", "did you mean border?"),
        ({"job": {"revision_history": [{"change": "x"}]}}, "job.revision_history[1].revision", "is missing"),
    ],
)
def test_a_wrong_value_is_told_at_its_key(tables: dict[str, Any], where: str, told: str) -> None:
    with pytest.raises(InputError) as wrong:
        make_job(**tables)
    problem = next(problem for problem in wrong.value.problems if problem.where.startswith(where))
    assert told in problem.text


def test_the_usual_tables_of_the_tests_are_a_sound_job() -> None:
    assert make_job(**job_data()).flange.bore == 170
