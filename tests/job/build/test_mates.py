"""``[[mate]]`` of a job: a row, another job or sizes; which circle and face; what is told of a wrong one."""

import math
from pathlib import Path
from typing import Any

import pytest

from flangelayout.checks import Rule
from flangelayout.checks.finding import Result
from flangelayout.errors import InputError
from flangelayout.flange import Tapped
from flangelayout.flange.joints import MateSource
from flangelayout.flange.turning import PlateFace
from flangelayout.job import Job
from flangelayout.job.load import job_from_data, load_job
from flangelayout.problems import ProblemKind
from flangelayout.problems.job import JobProblem
from flangelayout.units import Unit
from flangelayout.views.words.findings import finding_text
from flangelayout.views.words.joint.mates import mate_notes
from jobs import job_data, make_job, toml_text
from rows import every_row

RINGS: list[dict[str, Any]] = [
    {"name": "pipe side", "standard": "EN 1092-1 PN16 DN150"},
    {"name": "pump side", "standard": "JIS B 2220 10K 100A", "kind": "tapped", "start_angle": 22.5},
]
PLATE: dict[str, Any] = {"outside_diameter": 285, "bore": 100, "thickness": 30}


def adapter(*mates: dict[str, Any], plate: dict[str, Any] = PLATE, **tables: Any) -> Job:  # noqa: ANN401
    return make_job(plate=plate, bolt_circle=RINGS, mate=list(mates), **tables)


def failed(job: Job) -> set[Rule]:
    return {each.rule for each in job.findings if each.failed}


def told(*mates: dict[str, Any]) -> list[tuple[str, ProblemKind]]:
    with pytest.raises(InputError) as wrong:
        adapter(*mates)
    return [(problem.where, problem.kind) for problem in wrong.value.problems if isinstance(problem.kind, ProblemKind)]


def test_a_circle_is_named_by_letter_number_or_name_and_the_mate_lies_where_it_says() -> None:
    for named in ("B", "b", "2", "pump side", 2):
        (mate,) = adapter({"circle": named, "standard": "JIS B 2220 10K 100A", "face": "back"}).flange.mates
        assert (mate.group, mate.face, mate.is_face_said) == (1, PlateFace.BACK, True)
        assert (mate.outside_diameter, mate.source) == (210.0, MateSource.ROW)
    (first,) = adapter({"circle": "A", "standard": "EN 1092-1 PN16 DN150"}).flange.mates
    assert (first.face, first.is_face_said) == (PlateFace.FACE, False)


def test_a_pump_adapter_whose_heads_lie_under_the_pump_flange_fails_until_they_are_out_of_its_way() -> None:
    """EN PN16 DN150 through bolts: washers 37 wide on 240 reach in to 203; the JIS 10K 100A flange is 210 wide."""
    mates = ({"circle": "A", "standard": "EN 1092-1 PN16 DN150", "face": "face"},)
    pump = {"circle": "B", "standard": "JIS B 2220 10K 100A"}
    job = adapter(*mates, pump | {"face": "back"})
    (rim,) = [each for each in job.findings if each.rule is Rule.MATE_RIM and each.failed]
    assert rim.value == pytest.approx((240 - 37 - 210) / 2)
    assert Rule.MATE_RIM not in failed(adapter(*mates, pump | {"face": "face"}))
    narrow = adapter(*mates, pump | {"face": "back", "outside_diameter": 202})
    assert failed(narrow) == {Rule.WRENCH_ROOM}  # 240/2 - 202/2 = 19 mm to turn an M20 nut in


def test_a_motor_stands_on_its_spigot_until_a_register_takes_it() -> None:
    motor = {"standard": "IEC 60072-1 FF215", "spigot_height": 4, "spigot_fit": "j6", "face": "face"}
    plate = {"outside_diameter": 320, "bore": 130, "thickness": 25}
    circle = [{"standard": "IEC 60072-1 FF215", "kind": "tapped"}]
    register = {"kind": "register", "diameter": 180, "depth": 5, "fit": "H8"}

    def job(**turned: Any) -> Job:  # noqa: ANN401 - keys of any kind
        return make_job(plate=plate, bolt_circle=circle, mate=[motor], turned=[register | turned] if turned else [])

    assert failed(job()) == {Rule.MATE_SPIGOT}
    assert failed(job(face="back")) == {Rule.MATE_SPIGOT}
    assert failed(job(depth=3)) == {Rule.SPIGOT_DEPTH}
    assert failed(job(diameter=179)) == {Rule.MATE_SPIGOT}
    right = job(depth=5)
    assert failed(right) == set()
    # ISO 286: 180 H8 0/+63, 180 j6 +14/-11 micrometers: from 14 interference to 74 clearance.
    assert any("from interference 0.014 to clearance 0.074 mm" in note for note in mate_notes(right.flange, Unit.MM))


def test_a_register_wider_than_its_spigot_leaves_that_much_more() -> None:
    motor = {"standard": "IEC 60072-1 FF215", "spigot_height": 4, "spigot_fit": "j6", "face": "face"}
    turned = [{"kind": "register", "diameter": 180.1, "depth": 5, "fit": "H8", "face": "face"}]
    plate = {"outside_diameter": 320, "bore": 130, "thickness": 25}
    flange = make_job(plate=plate, bolt_circle=[{"standard": "IEC 60072-1 FF215"}], mate=[motor], turned=turned).flange
    said = " ".join(mate_notes(flange, Unit.MM))
    # ISO 286: H8 over 180 mm is 0/+72, 180 j6 +14/-11 micrometers: from 0.1 - 0.014 to 0.1 + 0.072 + 0.011.
    assert "clearance 0.086 to 0.183 mm" in said
    assert "lies on the front face; heads or nuts bear on the back (far side)" in said


def test_sizes_alone_make_a_mate_and_win_over_its_row() -> None:
    sized = {"circle": "B", "name": "old pump", "outside_diameter": 190, "thickness": 18, "thread": "M16", "bore": 90}
    (mate,) = adapter(sized).flange.mates
    assert (mate.called, mate.source, mate.thickness, mate.bore) == ("old pump", MateSource.SIZES, 18.0, 90.0)
    assert mate.is_tapped
    assert mate.circle is not None
    assert mate.circle.diameter == 175.0
    (row,) = adapter({"circle": "B", "standard": "JIS B 2220 10K 100A", "outside_diameter": 195}).flange.mates
    assert row.outside_diameter == 195.0


def test_a_mate_from_a_job_file_has_its_sizes_and_goes_into_the_digest(tmp_path: Path) -> None:
    pump = job_data(
        job={"number": "P-7"},
        plate={
            "outside_diameter": 230,
            "bore": 80,
            "thickness": 20,
            "raised_face_diameter": 120,
            "raised_face_height": 2,
        },
        bolt_circle=[{"diameter": 175, "hole_count": 8, "kind": "tapped", "thread": "M16", "depth": 12}],
        turned=[{"kind": "spigot", "diameter": 100, "height": 3}],
    )
    (tmp_path / "pump.toml").write_text(toml_text(pump), encoding="utf-8")
    file = tmp_path / "adapter.toml"
    file.write_text(
        toml_text(job_data(plate=PLATE, bolt_circle=RINGS, mate=[{"circle": "B", "job": "pump.toml"}])),
        encoding="utf-8",
    )
    job = load_job(file)
    (mate,) = job.flange.mates
    assert (mate.called, mate.source, mate.outside_diameter) == ("P-7", MateSource.JOB, 230.0)
    assert mate.thickness == 15.0  # 20 over all, less the raised face of 2 and the spigot of 3 that stands on it
    assert mate.spigot is not None
    assert mate.spigot.diameter == 100.0
    assert mate.circle is not None
    assert isinstance(mate.circle.kind, Tapped)
    pump["plate"]["outside_diameter"] = 231
    (tmp_path / "pump.toml").write_text(toml_text(pump), encoding="utf-8")
    assert load_job(file).digest != job.digest


@every_row(
    ("mates", "problem"),
    [
        ([{"standard": "JIS B 2220 10K 100A"}], ("mate.circle", JobProblem.NO_CIRCLE_OF_MATE)),
        ([{"circle": "C"}], ("mate.circle", JobProblem.NO_CIRCLE_OF_MATE)),
        ([{"circle": "A"}, {"circle": "1"}], ("mate[2].circle", JobProblem.CIRCLE_HAS_A_MATE)),
        ([{"circle": "A", "spigot_height": 4}], ("mate.spigot_diameter", JobProblem.SPIGOT_WITHOUT_DIAMETER)),
        (
            [{"circle": "A", "spigot_diameter": 90, "spigot_fit": "H7"}],
            ("mate.spigot_fit", JobProblem.NO_TURNED_FIT),
        ),
        ([{"circle": "A", "thread": "M17"}], ("mate.thread", JobProblem.NO_SUCH_THREAD)),
        ([{"circle": "A", "job": "pump.toml"}], ("mate.job", JobProblem.MATE_JOB_WITHOUT_FILE)),
    ],
)
def test_what_is_wrong_with_a_mate_is_told_at_its_key(
    mates: list[dict[str, Any]], problem: tuple[str, ProblemKind]
) -> None:
    assert problem in told(*mates)


def test_two_names_of_one_mate_and_an_unreadable_job_are_told(tmp_path: Path) -> None:
    (tmp_path / "broken.toml").write_text("plate = 7", encoding="utf-8")
    for mate, kind in (
        ({"circle": "A", "job": "broken.toml"}, JobProblem.MATE_JOB_UNREADABLE),
        ({"circle": "A", "job": "nowhere.toml"}, JobProblem.MATE_JOB_UNREADABLE),
    ):
        file = tmp_path / "adapter.toml"
        file.write_text(toml_text(job_data(plate=PLATE, bolt_circle=RINGS, mate=[mate])), encoding="utf-8")
        with pytest.raises(InputError) as wrong:
            load_job(file)
        assert [problem.kind for problem in wrong.value.problems] == [kind]


def test_recesses_and_threads_of_the_wrong_face_fail() -> None:
    base = {"diameter": 240, "hole_count": 8}
    sunk = base | {"kind": "counterbored", "bolt": "M20"}
    blind = base | {"kind": "tapped", "thread": "M16", "depth": 16}
    for circle, face, fails in (
        (sunk, "back", False),
        (sunk, "face", True),
        (blind, "face", False),
        (blind, "back", True),
    ):
        job = job_from_data(job_data(plate=PLATE | {"thickness": 40}, bolt_circle=[circle], mate=[{"face": face}]))
        assert (Rule.WORKED_FACE in failed(job)) == fails


@every_row(("height", "fails"), [(15, False), (15.1, True)])
def test_spigots_that_come_from_both_faces_through_one_bore_must_not_meet(height: float, fails: bool) -> None:
    """A plate of 30 with a bore of 100: spigots of 80 and 90, one 15 high, leave 15 for the other."""
    mates = (
        {"circle": "A", "face": "face", "spigot_diameter": 90, "spigot_height": 15},
        {"circle": "B", "face": "back", "spigot_diameter": 80, "spigot_height": height},
    )
    assert (Rule.MATES_MEET in failed(adapter(*mates))) == fails


def test_a_circle_whose_mate_may_be_turned_is_turned_for_the_most_metal() -> None:
    """Eight on 240 and eight on 175, both straddling: 0 degrees from hole to hole; half a pitch, 22.5, is the most."""
    rings = [ring | {"start_angle": 0} for ring in RINGS]
    pump = {"circle": "B", "standard": "JIS B 2220 10K 100A", "face": "back"}
    for clocking, angle in (("as drawn", 0.0), ("most metal", 22.5)):
        job = make_job(plate=PLATE, bolt_circle=rings, mate=[pump | {"clocking": clocking}])
        assert abs(job.flange.bolt_circles[1].start_angle) == pytest.approx(angle)
        assert job.flange.bolt_circles[0].start_angle == 0.0
    (found,) = [each for each in job.findings if each.rule is Rule.CLOCKING]
    # Between hole centers at 22.5 degrees, law of cosines: 57.26 mm; less half of 22 and of the M16 thread.
    apart = math.sqrt(120**2 + 87.5**2 - 2 * 120 * 87.5 * math.cos(math.radians(22.5)))
    assert found.value == pytest.approx(apart - 11 - 8)
    alone = make_job(mate=[{"clocking": "most metal"}])
    assert alone.flange.bolt_circles[0].start_angle == 0.0


def test_threads_through_to_what_another_flange_seals_are_told() -> None:
    """JIS 10K 100A is on 175, inside the bolts of EN PN16 DN150 on 240, which seals on the other face."""
    depths: tuple[dict[str, float], ...] = ({}, {"depth": 20})
    told = []
    for depth in depths:
        job = make_job(plate=PLATE, bolt_circle=[RINGS[0], RINGS[1] | depth])
        told.append(
            [finding_text(job.flange, each, Unit.MM) for each in job.findings if each.rule is Rule.THREAD_OPENS]
        )
    assert told[1] == []
    (line,) = told[0]
    assert "M16 goes right through and opens on the named face inside the bolts of EN 1092-1" in line
    assert "leaks along it" in line
    alone = make_job(plate=PLATE, bolt_circle=[RINGS[1]])
    assert not [each for each in alone.findings if each.rule is Rule.THREAD_OPENS]


def test_a_length_that_hangs_on_an_assumed_mate_is_told_and_a_screw_without_a_stock_length_fails() -> None:
    """FF215 tapped M12 through 25: 12 in the thread + 25 assumed + 2.5 washer = 39.5, ISO 4017 has 40.

    The thread takes 13 more than the 12, so a 40 screw ends inside it down to a mate of 40 - 2.5 - 25 = 12.5. Through
    a plate of 8 the thread is 8: 8 + 14 + 2.5 = 24.5, and the 25 of the list stands 0.5 out.
    """
    motor: dict[str, object] = {"kind": "tapped", "thread": "M12", "standard": "IEC 100 B5"}
    results = []
    for thick, more in ((25, {}), (25, {"mate_thickness": 14}), (8, {"mate_thickness": 14})):
        plate = {"outside_diameter": 250, "bore": 180, "thickness": thick}
        job = make_job(plate=plate, bolt_circle=[motor | more])
        about = [each for each in job.findings if each.rule in (Rule.LENGTH_ASSUMED, Rule.SCREW_END)]
        results.append([(each.rule, each.result, finding_text(job.flange, each, Unit.MM)) for each in about])
    ((rule, result, said),), ((end, ended, room),), ((_, out, wrong),) = results
    assert (rule, result, end, ended, out) == (
        *(Rule.LENGTH_ASSUMED, Result.NOTED),
        *(Rule.SCREW_END, Result.PASSED, Result.FAILED),
    )
    assert "M12 × 40 is right for a mate as thick as this plate, 25 mm, too long for one thinner than 12.5 mm" in said
    assert "room to the end 11.50 mm" in room  # ISO 4017 M12 X 30: 14 + 2.5 + 25 - 30
    assert "25 mm long, comes 0.50 mm out of the far face" in wrong
    through = make_job(plate=PLATE, bolt_circle=[RINGS[0]])
    assert not [each for each in through.findings if each.rule is Rule.LENGTH_ASSUMED]  # a flange to its like
