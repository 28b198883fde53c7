"""The part on the other side: bolts through both, heads beside its rim, room for its spigot."""

import math
from itertools import product
from typing import Any

import pytest

from checking import failed, of_rule, plate_of, said, shop
from flangelayout.checks import Finding, Result, Rule
from flangelayout.checks.finding import Reason
from flangelayout.checks.mating.mating import mate, side_of_circle, side_of_pattern
from flangelayout.flange import BoltCircle, Counterbored, Flange, Tapped
from flangelayout.flange.joints import Mate, MateSource
from flangelayout.flange.turning import PlateFace
from flangelayout.standards import find
from jobs import bolt_circle, flange, make_job
from rows import every_row


def ring(diameter: float, mate_name: str = "EN 1092-1 PN16 DN150", **changes: Any) -> Flange:  # noqa: ANN401
    return plate_of(bolt_circle(diameter=diameter, bolt="M20", mates_with=mate_name, **changes))


def mated(plate: Flange) -> Finding:
    (found,) = of_rule(shop(plate), Rule.MATE_BOLTS)
    return found


@every_row(
    ("circle", "fails"), [(240.0, False), (241.3, False), (244.0, False), (244.01, True), (236.0, False), (235.9, True)]
)
def test_mates_with_is_mated_on_the_spot(circle: float, fails: bool) -> None:
    # EN 1092-1 PN16 DN150: 8 x 22 on 240. M20 has (22 - 20) / 2 in each hole, so the circles may be 4 mm apart.
    found = mated(ring(circle))
    assert found.value == pytest.approx(2.0 - abs(circle - 240.0) / 2)
    assert found.failed == fails


def test_a_circle_in_inches_on_its_metric_cousin_is_told_when_the_bolt_is_too_thick() -> None:
    plate = plate_of(bolt_circle(diameter=241.3, hole_diameter=20.6, bolt="M20", mates_with="EN 1092-1 PN16 DN150"))
    assert mated(plate).value == pytest.approx(0.3 + 1.0 - 0.65)
    tight = plate_of(bolt_circle(diameter=242.7, hole_diameter=20.6, bolt="M20", mates_with="EN 1092-1 PN16 DN150"))
    assert failed(tight) == [Rule.MATE_BOLTS]
    assert said(tight, mated(tight)).startswith(
        "bolt circle: M20 lacks 0.05 mm to go through this plate and its mate EN 1092-1 PN16 DN150: "
        "bolt circle 242.7 mm against 240 mm; "
    )


@every_row(("count", "circle"), product([8, 4], [240.0, 241.0, 243.5]))
def test_the_room_is_what_the_full_mating_finds(circle: float, count: int) -> None:
    own = BoltCircle(circle, count, 22.0, bolt="M20")
    row = find("EN 1092-1 PN16 DN150")
    full = mate((side_of_circle(own),), (side_of_pattern(row),), "M20")
    found = mated(plate_of(BoltCircle(circle, count, 22.0, bolt="M20", mates_with=row.designation)))
    if count == row.hole_count:
        assert found.value == pytest.approx(full.least_clearance, abs=1e-6)
    else:
        assert full.unmatched_b
        assert found.value == -math.inf


UNEVEN = (0.0, 40.0, 110.0, 190.0, 250.0, 320.0)


@every_row(
    ("face", "theirs", "passes"),
    [
        (PlateFace.FACE, "mirrored", True),  # it turns its joint face to the plate: seen there, right is left
        (PlateFace.FACE, "alike", False),
        (PlateFace.BACK, "alike", True),  # its joint face looks the way the plate's named face looks
        (PlateFace.BACK, "mirrored", False),
        (PlateFace.FACE, "the plate's", True),  # nothing but the size of its holes is said
        (PlateFace.BACK, "the plate's", True),
    ],
)
def test_uneven_holes_meet_the_mate_on_the_face_it_lies_on(face: PlateFace, theirs: str, passes: bool) -> None:
    angles = tuple(180.0 - angle for angle in UNEVEN) if theirs == "mirrored" else UNEVEN
    other = BoltCircle(240.0, 6, 22.0, angles=angles)
    mate = Mate(0, face, "M-1", MateSource.JOB, "mate[1]", circle=other, has_own_places=theirs != "the plate's")
    plate = plate_of(BoltCircle(240.0, 6, 22.0, angles=UNEVEN, bolt="M20"), mates=(mate,))
    found = mated(plate)
    assert found.failed != passes
    assert not passes or found.value == pytest.approx(2.0)  # M20 in two holes of 22


@every_row("face", ["face", "back"])
def test_a_mate_of_which_only_the_holes_size_is_said_has_them_where_the_plate_has(face: str) -> None:
    circle = {"diameter": 240, "hole_count": 6, "hole_diameter": 22, "bolt": "M20", "angles": list(UNEVEN)}
    job = make_job(bolt_circle=[circle], mate=[{"face": face, "hole_diameter": 22}])
    (found,) = of_rule(job.findings, Rule.MATE_BOLTS)
    assert not found.failed


def test_holes_without_a_partner_fail_in_words() -> None:
    plate = plate_of(BoltCircle(240.0, 4, 22.0, bolt="M20", mates_with="EN 1092-1 PN16 DN150"))
    assert "4 holes do not meet the 8 of its mate EN 1092-1 PN16 DN150" in said(plate, mated(plate))


@every_row(("thread", "major", "fails"), [("M20", 20.0, False), ("M16", 16.0, True), ("M24", 24.0, True)])
def test_a_bolt_screws_into_a_mate_that_is_tapped_for_it_alone(thread: str, major: float, fails: bool) -> None:
    other = BoltCircle(240.0, 8, major - 2, kind=Tapped(thread, major))
    mate = Mate(0, PlateFace.FACE, "M-1", MateSource.JOB, "mate[1]", circle=other)
    plate = plate_of(BoltCircle(240.0, 8, 25.0, bolt="M20"), mates=(mate,))
    assert mated(plate).failed is fails
    assert not fails or f"M20 does not screw into its mate M-1, which is tapped {thread}" in said(plate, mated(plate))


def test_a_plate_and_a_mate_that_are_both_tapped_are_not_clamped_by_a_screw() -> None:
    """Common practice, no source: a screw passes freely through one of two parts."""
    own, other = (BoltCircle(240.0, 8, 14.0, kind=Tapped("M16", 16.0)) for _ in range(2))
    plate = plate_of(own, mates=(Mate(0, PlateFace.FACE, "M-1", MateSource.JOB, "mate[1]", circle=other),))
    assert mated(plate).failed
    assert "M16 clamps nothing: this plate and its mate M-1 are both tapped" in said(plate, mated(plate))


def test_free_text_is_no_designation_and_is_said() -> None:
    found = mated(ring(240.0, "old pump in the cellar"))
    assert (found.result, found.reason) == (Result.NOT_RUN, Reason.MATE)


def adapter(
    pump: dict[str, Any], pump_mate: str, pipe_kind: object = None, pipe: float = 240.0, outside: float = 300.0
) -> Flange:
    """A plate between EN 1092-1 PN16 DN150 and a pump."""
    kind: dict[str, Any] = {} if pipe_kind is None else {"kind": pipe_kind}
    circles = (
        bolt_circle(diameter=pipe, bolt="M20", name="pipe side", **kind),
        bolt_circle(name="pump side", mates_with=pump_mate, start_angle=22.5, **pump),
    )
    return flange(*circles, outside_diameter=outside, bore=100.0, thickness=30.0)


JIS = {"diameter": 175.0, "hole_diameter": 14.0, "kind": Tapped("M16", 16.0)}


@every_row(("pipe", "left"), [(240.0, -2.32), (244.6, -0.02), (244.7, 0.03), (280.0, 17.68)])
def test_heads_must_clear_the_rim_of_the_pump_on_their_face(pipe: float, left: float) -> None:
    # JIS B 2220 10K 100A: outside diameter 210 mm; M20 across corners 34.64 mm (ISO 4032): (240 - 34.64 - 210) / 2.
    plate = adapter(JIS, "JIS B 2220 10K 100A", pipe=pipe, outside=330.0)
    (found,) = of_rule(shop(plate), Rule.MATE_RIM)
    assert found.value == pytest.approx(left, abs=0.005)
    assert found.failed == (left < 0)


def test_sunk_heads_lie_under_the_pump_and_heads_inside_hang_on_its_bore() -> None:
    assert not of_rule(shop(adapter(JIS, "JIS B 2220 10K 100A", Counterbored(33.0, 20.0))), Rule.MATE_RIM)
    small: dict[str, Any] = {"diameter": 180.0, "hole_diameter": 18.0, "bolt": "M16"}
    circles = (
        bolt_circle(bolt="M20", mates_with="EN 1092-1 PN16 DN150"),
        bolt_circle(name="pump side", start_angle=22.5, **small),
    )
    (found,) = of_rule(shop(flange(*circles, outside_diameter=300.0, bore=100.0)), Rule.MATE_RIM)
    assert (found.result, found.reason) == (Result.NOT_RUN, Reason.MATE_BORE)


@every_row(("bore", "fails"), [(130.0, True), (179.9, True), (180.0, False), (185.0, False)])
def test_a_motor_must_not_stand_on_its_spigot(bore: float, fails: bool) -> None:
    # IEC 60072-1 FF215: spigot 180 mm, 4 holes of 14.5 mm on 215 mm.
    plate = plate_of(bolt_circle(4, 215.0, 14.5, bolt="M12", mates_with="IEC 60072-1 FF215"), bore=bore)
    (found,) = of_rule(shop(plate), Rule.MATE_SPIGOT)
    assert found.failed == fails
    if fails:
        assert f"stands on its spigot of 180 mm, which an opening of {bore:g} mm does not take" in said(plate, found)


def test_the_adapter_and_the_motor_plate_of_the_floor_fail() -> None:
    # Both were drawn with "0 checks failed" before.
    circles: list[dict[str, object]] = [
        {"standard": "EN 1092-1 PN16 DN150"},
        {"standard": "JIS B 2220 10K 100A", "kind": "tapped", "thread": "M16", "start_angle": 22.5},
    ]
    job = make_job(plate={"outside_diameter": 285, "bore": 100, "thickness": 30}, bolt_circle=circles)
    assert [each.rule for each in job.remarks if each.failed] == [Rule.MATE_RIM]
    motor = {"standard": "IEC 60072-1 FF215", "hole_diameter": 14.5, "bolt": "M12"}
    job = make_job(plate={"outside_diameter": 285, "bore": 130, "thickness": 22}, bolt_circle=[motor])
    assert Rule.MATE_SPIGOT in [each.rule for each in job.remarks if each.failed]


def test_a_circle_is_not_held_against_the_row_it_is_drilled_by_itself() -> None:
    """A circle of a row passes a mate of the same row by definition: nothing is said until a mate is named."""
    keys = {"standard": "EN 1092-1 PN16 DN150", "bolt": "M20"}
    for mate_named, result in (({}, Result.NOT_RUN), ({"mates_with": "EN 1092-1 PN16 DN150"}, Result.PASSED)):
        (found,) = of_rule(make_job(bolt_circle=[keys | mate_named]).findings, Rule.MATE_BOLTS)
        assert found.result is result


def test_a_mate_of_holes_that_stand_on_no_circle_is_said_to_be_unchecked() -> None:
    rectangle = {"width": 160, "height": 120, "bolt": "M16", "mates_with": "motor feet"}
    found = of_rule(make_job(hole_rectangle=[rectangle]).findings, Rule.MATE_BOLTS)
    assert Reason.MATE_OF_PATTERN in {each.reason for each in found}
