"""``[[turned]]`` and ``worked_from`` of a job file: what they make, and what they are told."""

from typing import Any

import pytest

from flangelayout.errors import InputError
from flangelayout.flange import Tapped
from flangelayout.flange.turning import PlateFace, TurnedKind
from flangelayout.job.load import job_from_data
from flangelayout.problems import ProblemKind
from flangelayout.problems.flange import FlangeProblem
from flangelayout.problems.job import JobProblem
from flangelayout.problems.schema import SchemaProblem
from flangelayout.units import Unit
from flangelayout.views.words.joint.turned import turned_call_out
from flangelayout.views.words.lengths import Lengths
from jobs import job_data, make_job
from rows import every_row


def refused(**keys: Any) -> list[tuple[str, ProblemKind]]:  # noqa: ANN401 - keys of any kind
    with pytest.raises(InputError) as wrong:
        job_from_data(job_data(turned=[keys]))
    return [(problem.where, problem.kind) for problem in wrong.value.problems if isinstance(problem.kind, ProblemKind)]


def test_a_register_and_a_spigot_of_a_motor_plate() -> None:
    job = make_job(
        turned=[
            {"kind": "register", "face": "back", "diameter": 200, "depth": 5, "fit": "H8", "name": "motor"},
            {"kind": "spigot", "diameter": "8 in", "height": 4, "fit": "f7"},
            {"kind": "Groove", "diameter": 190, "depth": 3, "width": 4},
        ]
    )
    register, spigot, groove = job.flange.turned
    assert (register.kind, register.face, register.key) == (TurnedKind.REGISTER, PlateFace.BACK, "turned[1]")
    assert spigot.diameter == pytest.approx(203.2)
    assert groove.inner_diameter == pytest.approx(182.0)
    # ISO 286: H8 of 180 to 250 mm 0/+72, f7 -50/-96 micrometers.
    assert turned_call_out(register, Lengths(Unit.MM)) == "REGISTER ⌀200 H8 (+0.072/0) × 5 DEEP FAR SIDE"
    assert turned_call_out(spigot, Lengths(Unit.IN)) == "SPIGOT ⌀8 f7 (-0.0020/-0.0038) X 0.157 HIGH NEAR SIDE"
    assert turned_call_out(groove, Lengths(Unit.MM)) == "GROOVE ⌀190 / ⌀182 × 3 DEEP NEAR SIDE"


@every_row(
    ("keys", "told"),
    [
        ({"kind": "recess", "diameter": 200}, ("turned.depth", SchemaProblem.MISSING)),
        ({"kind": "spigot", "diameter": 200}, ("turned.height", SchemaProblem.MISSING)),
        ({"kind": "spigot", "diameter": 200, "depth": 3}, ("turned.depth", JobProblem.TURNED_SIZE_OF_OTHER_KIND)),
        ({"kind": "recess", "diameter": 200, "height": 3}, ("turned.height", JobProblem.TURNED_SIZE_OF_OTHER_KIND)),
        ({"kind": "register", "diameter": 200, "depth": 3}, ("turned.fit", SchemaProblem.MISSING)),
        ({"kind": "groove", "diameter": 200, "depth": 3}, ("turned.width", JobProblem.GROOVE_WIDTH)),
        ({"kind": "recess", "diameter": 200, "depth": 3, "width": 3}, ("turned.width", JobProblem.WIDTH_OF_A_GROOVE)),
        ({"kind": "recess", "diameter": 200, "depth": 3, "fit": "g6"}, ("turned.fit", JobProblem.NO_TURNED_FIT)),
        ({"kind": "spigot", "diameter": 200, "height": 3, "fit": "H7"}, ("turned.fit", JobProblem.NO_TURNED_FIT)),
        ({"kind": "recess", "diameter": 200, "depth": 3, "fit": "H99"}, ("turned.fit", JobProblem.NO_TURNED_FIT)),
        (
            {"kind": "recess", "diameter": 200, "depth": 3, "inner_diameter": 210},
            ("turned", FlangeProblem.TURNED_INSIDE_OUT),
        ),
    ],
)
def test_what_cannot_be_turned_is_told_at_its_key(keys: dict[str, Any], told: tuple[str, ProblemKind]) -> None:
    assert told in refused(**keys)


def test_two_that_cross_are_told() -> None:
    rings = [
        {"kind": "raised face", "diameter": 200, "inner_diameter": 185, "height": 3},
        {"kind": "groove", "diameter": 195, "depth": 2, "width": 10},
    ]
    with pytest.raises(InputError) as wrong:
        job_from_data(job_data(turned=rings))
    assert FlangeProblem.TURNED_ACROSS_AN_EDGE in [problem.kind for problem in wrong.value.problems]


def test_a_tapped_circle_of_the_back_says_so_on_the_sheet_and_in_the_hole_list() -> None:
    from flangelayout.views.words.call_outs import group_call_out
    from flangelayout.views.words.hole_tables import hole_list

    circle = {"diameter": 240, "hole_count": 8, "kind": "tapped", "thread": "M16", "depth": 16, "worked_from": "back"}
    flange = make_job(bolt_circle=[circle]).flange
    assert isinstance(flange.holes()[0].kind, Tapped)
    assert flange.holes()[0].worked_from is PlateFace.BACK
    assert any("FAR SIDE" in line for line in group_call_out(flange, 0, Lengths(Unit.MM)))
    listed = hole_list(flange, Unit.MM)
    assert [row[listed.columns.index("worked_from")] for row in listed.rows] == ["far side"] * 8


def test_a_plain_hole_has_no_face() -> None:
    with pytest.raises(InputError) as wrong:
        job_from_data(job_data(bolt_circle=[{"diameter": 240, "hole_count": 8, "bolt": "M20", "worked_from": "back"}]))
    assert [problem.kind for problem in wrong.value.problems] == [JobProblem.KEY_OF_OTHER_KIND]
