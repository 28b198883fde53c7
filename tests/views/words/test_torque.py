"""Torque on the sheet: only where the job states all it takes, with every figure and its caution."""

from typing import Any

import pytest

from flangelayout.errors import InputError
from flangelayout.job.load import job_from_data
from flangelayout.problems.job import JobProblem
from flangelayout.units import Unit
from flangelayout.views.words.joint.torque import torque_notes

Keys = dict[str, Any]
PLATE: Keys = {"outside_diameter": 285, "bore": 170, "thickness": 22}
CIRCLE: Keys = {"diameter": 240, "hole_count": 8, "bolt": "M12-8.8"}
TIGHT: Keys = {"nut_factor": 0.2, "lubrication": "dry, as received", "bolt_load": 0.7}


def notes(unit: Unit = Unit.MM, **circle: Any) -> list[str]:  # noqa: ANN401 - keys of any kind
    flange = job_from_data({"plate": PLATE, "bolt_circle": [CIRCLE | circle]}).flange
    return list(torque_notes(flange, unit))


def test_a_torque_stands_with_its_working_its_rounds_and_its_caution() -> None:
    """M12 8.8 at 70 % of proof with K 0.2: 34 kN, 82 N m (aionlinecalculator.com, worked example)."""
    line, caution = notes(**TIGHT)
    assert "82 N·m = nut factor 0.2 (dry, as received) × 34.2 kN × 12 mm" in line
    assert "70 % of the proof strength of 580 MPa (ISO 898-1, not verified: compare) on 84.3 mm²" in line
    assert "25 N·m, 57 N·m, 82 N·m" in line
    assert "qualified person" in caution
    # 82.1 N m / 1.3558 = 60.6 lbf ft
    assert "61 lbf·ft" in notes(Unit.IN, **TIGHT)[0]


def test_a_class_of_its_own_key_wins_and_one_without_proof_load_says_so() -> None:
    (line, _) = notes(**TIGHT, bolt_class="A4-70")
    assert "yield strength of 450 MPa (ISO 3506-1" in line


def test_without_all_of_it_there_is_no_torque() -> None:
    assert notes() == []
    assert notes(bolt_class="8.8") == []
    for left_out in TIGHT:
        some = {key: value for key, value in TIGHT.items() if key != left_out}
        with pytest.raises(InputError) as wrong:
            notes(**some)
        (problem,) = wrong.value.problems
        assert problem.kind is JobProblem.TIGHTENING_INCOMPLETE
        assert dict(problem.facts)["missing"] == (left_out,)
    with pytest.raises(InputError) as wrong:
        notes(**TIGHT, bolt="M12")
    assert dict(wrong.value.problems[0].facts)["missing"] == ("bolt_class",)


def test_a_class_of_no_table_is_told() -> None:
    with pytest.raises(InputError) as wrong:
        notes(**TIGHT, bolt_class="77")
    assert [problem.kind for problem in wrong.value.problems] == [JobProblem.NO_SUCH_BOLT_CLASS]
