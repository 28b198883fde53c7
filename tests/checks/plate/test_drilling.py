"""Contradictions of a plate are errors with numbers; what is only unusual is said and does not stop the job."""

import math
from typing import Any

import pytest
from hypothesis import given, settings

from checking import drilling, of_rule, said, shop
from flangelayout.checks import Result, Rule
from flangelayout.errors import InputError
from flangelayout.flange import Tapped
from flangelayout.flange.joints import Mate, MateSource
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.shapes import ORIGIN, Point
from flangelayout.job import Job
from flangelayout.job.load import job_from_data
from flangelayout.value import replace
from flangelayout.views.words.findings.layout import placement_sentence
from jobs import bolt_circle, flange, jobs, make_job, outside_diameter
from rows import every_row


def problems(**tables: object) -> dict[str, str]:
    """What a job is refused for, by key."""
    with pytest.raises(InputError) as refused:
        make_job(**tables)
    return {problem.where: problem.text for problem in refused.value.problems}


def circle(**changes: object) -> dict[str, Any]:
    return {"diameter": 240, "hole_count": 8, "hole_diameter": 22} | changes


def test_overlapping_holes_are_told_with_their_chord() -> None:
    found = problems(plate={"outside_diameter": 200}, bolt_circle=[circle(diameter=140, hole_count=24)])
    # 140 x sin(180 deg / 24) = 18.27, so holes of 22 overlap by 3.73.
    assert found["bolt_circle.hole_diameter"].startswith(
        "24 holes of 22 mm on a 140 mm bolt circle overlap by 3.73 mm (chord 18.27 mm)"
    )


def test_numbers_are_in_the_unit_of_the_job() -> None:
    plate, holes = {"outside_diameter": 8}, circle(diameter="5 1/2", hole_count=24, hole_diameter="7/8")
    found = problems(units="in", plate=plate, bolt_circle=[holes])
    assert found["bolt_circle.hole_diameter"].startswith(
        "24 holes of 7/8 in on a 5 1/2 in bolt circle overlap by 0.157 in (chord 0.718 in)"
    )


def test_a_hole_that_runs_over_the_edge_is_told_by_how_much() -> None:
    found = problems(plate={"outside_diameter": 250})
    assert found == {
        "bolt_circle.diameter": "bolt circle, hole 1 of 22 mm runs 6.00 mm over the edge of the plate of 250 mm; "
        "make the plate larger or move the hole in"
    }


def test_a_hole_that_runs_into_the_bore_is_told_by_how_much() -> None:
    found = problems(plate={"outside_diameter": 285, "bore": 222})
    assert "runs 2.00 mm into the bore of 222 mm" in found["bolt_circle.diameter"]


def test_a_circle_outside_the_plate_is_one_problem_and_not_one_per_hole() -> None:
    found = problems(plate={"outside_diameter": 200})
    assert list(found) == ["bolt_circle.diameter"]
    assert "a bolt circle of 240 mm lies outside the plate of 200 mm" in found["bolt_circle.diameter"]


def test_a_bore_that_leaves_nothing_is_told() -> None:
    found = problems(plate={"outside_diameter": 285, "bore": 285}, bolt_circle=[])
    assert "leaves nothing of a plate of 285 mm" in found["plate.bore"]


@every_row("face", [300, 160])
def test_a_raised_face_off_the_metal_is_told(face: float) -> None:
    found = problems(plate={"outside_diameter": 285, "bore": 170, "raised_face_diameter": face})
    assert list(found) == ["plate.raised_face_diameter"]


def test_holes_of_two_circles_that_meet_are_told_with_both_names() -> None:
    circles = [circle(name="pump"), circle(diameter=230, hole_diameter=18)]
    found = problems(plate={"outside_diameter": 285}, bolt_circle=circles)
    text = found["bolt_circle[2]"]
    assert "bolt circle B, hole 1 (18 mm) and bolt circle A (pump), hole 1 (22 mm)" in text
    assert "overlap by 15.00 mm (centers 5.00 mm apart)" in text


def test_a_single_hole_is_named_by_its_own_table() -> None:
    holes = [{"diameter": 6, "x": 60, "y": 0}, {"diameter": 30, "x": 0, "y": 130}]
    found = problems(plate={"outside_diameter": 285}, bolt_circle=[], hole=holes)
    assert list(found) == ["hole[2]"]
    assert "runs 2.50 mm over the edge" in found["hole[2]"]


def test_single_holes_in_one_place_are_told_by_the_second_table() -> None:
    holes = [{"diameter": 6, "x": 60, "y": 0}] * 2
    assert list(problems(plate={"outside_diameter": 285}, bolt_circle=[], hole=holes)) == ["hole[2]"]


def test_three_thousand_holes_in_one_place_are_refused_at_once() -> None:
    holes = [{"diameter": 6, "x": 60, "y": 0}] * 3_000
    assert len(problems(plate={"outside_diameter": 285}, bolt_circle=[], hole=holes)) == 1


def test_every_contradiction_is_told_in_one_go() -> None:
    found = problems(
        plate={"outside_diameter": 230, "bore": 150, "raised_face_diameter": 140},
        bolt_circle=[circle(), circle(diameter=160, hole_count=30)],
    )
    assert list(found) == [
        "plate.raised_face_diameter",
        "bolt_circle[1].diameter",
        "bolt_circle[2].hole_diameter",
        "bolt_circle[2].diameter",
    ]


@every_row(
    ("changes", "words"),
    [
        ({"hole_count": 8}, ""),
        ({"hole_count": 1}, ""),
        ({"hole_count": 6}, "6 holes straddle the vertical centerline and lie on the horizontal one"),
        ({"hole_count": 10, "centerline": "horizontal"}, "10 holes straddle the horizontal centerline"),
        ({"hole_count": 5}, "5 holes straddle the vertical centerline at its top end only"),
        ({"hole_count": 5, "centerline": "horizontal"}, "at its right end only"),
        (
            {"placement": "on-centerline"},
            "hole 1 lies on the vertical centerline (top end); pipe flanges usually straddle it",
        ),
        (
            {"placement": "on-centerline", "kind": Tapped("M24", 24.0)},
            "(top end); see that the mate's holes do so, too",
        ),
        ({"placement": "on-centerline", "hole_count": 2}, "(top end); see that the mate's holes do so, too"),
        ({"start_angle": 10.0}, "the pattern is turned 10° counter-clockwise from straddling the vertical centerline"),
        ({"start_angle": 10.0}, "so is the mate's seen from this side, from behind the other way"),
        (
            {"start_angle": -10.0, "placement": "on-centerline", "centerline": "horizontal"},
            "the pattern is turned 10° clockwise from a hole on the horizontal centerline",
        ),
    ],
)
def test_what_a_placement_asks_one_to_notice(changes: dict[str, Any], words: str) -> None:
    plate = flange(bolt_circle(**changes))
    noted = of_rule(drilling(plate), Rule.PLACEMENT)
    assert bool(noted) == bool(words)
    for finding in noted:
        assert (finding.result, finding.is_remark, finding.failed) == (Result.NOTED, True, False)
        assert words in said(plate, finding)
        assert placement_sentence(plate, 0) in said(plate, finding)


def sense(shown: list[Point], true_to_line: list[Point]) -> str:
    """Which way, by less than half a pitch, the least turn carries holes that stand true to the holes shown."""
    pitch = 360.0 / len(shown)
    now, before = (ORIGIN.direction_to(holes[0]) for holes in (shown, true_to_line))
    turned = (now - before + pitch / 2) % pitch - pitch / 2
    return "counter-clockwise" if turned > 0 else "clockwise"


@every_row(("face", "turn", "count"), [(f, t, n) for f in PlateFace for t in (10.0, -10.0) for n in (7, 8)])
def test_a_mate_is_turned_as_its_own_holes_stand(face: PlateFace, turn: float, count: int) -> None:
    """Its bolts go straight through: its holes are the plate's, and who looks at it from the plate's back sees them
    in a mirror. A part on the named face shows its joint face to the back, one on the back to the named face."""
    turned, true = bolt_circle(count, start_angle=turn), bolt_circle(count)
    mirror = -1.0 if face is PlateFace.FACE else 1.0
    shown, line = ([Point(mirror * at.x, at.y) for at in each.hole_centers()] for each in (turned, true))
    mate = Mate(0, face, "pump", MateSource.SIZES, "mate[1]")
    plate = replace(flange(turned), mates=(mate,))
    assert placement_sentence(plate, 0).endswith(f"its pattern is turned as far {sense(shown, line)}")
    unsaid = replace(plate, mates=(replace(mate, is_face_said=False),))
    assert placement_sentence(unsaid, 0) == placement_sentence(replace(plate, mates=()), 0)
    assert "joint face" not in placement_sentence(unsaid, 0)


def test_four_holes_on_the_centerlines_turned_by_45_degrees_straddle_them() -> None:
    turned = bolt_circle(4, placement="on-centerline", start_angle=45.0)
    assert not of_rule(drilling(flange(turned)), Rule.PLACEMENT)
    assert of_rule(drilling(flange(bolt_circle(4, start_angle=45.0))), Rule.PLACEMENT)


@every_row(("face", "left"), [(217.9, 0.05), (218.0, 0.0), (218.1, -0.05), (235.0, -8.5)])
def test_a_raised_face_is_clear_of_the_holes(face: float, left: float) -> None:
    # ASME B16.5 and EN 1092-1 dimension tables: raised face < bolt circle - hole = 240 - 22 = 218.
    plate = flange(raised_face_diameter=face)
    (finding,) = of_rule(shop(plate), Rule.RAISED_FACE_CLEAR)
    assert finding.value == pytest.approx(left)
    assert finding.failed == (left < 0)
    if finding.failed:
        assert f"over the edge of the raised face of {face:g} mm (ASME B16.5 and EN 1092-1" in said(plate, finding)


@pytest.mark.slow
@given(jobs())
def test_no_finding_of_a_sound_job_is_an_error_and_its_holes_are_clear(job: Job) -> None:
    assert not any(finding.stops for finding in job.findings)
    holes = job.flange.holes()
    half = outside_diameter(job) / 2
    for index, one in enumerate(holes):
        assert math.hypot(one.center.x, one.center.y) + one.diameter / 2 <= half
        for other in holes[:index]:
            apart = one.center.distance_to(other.center)
            assert apart >= (one.diameter + other.diameter) / 2 - 1e-9


@settings(max_examples=5)
@given(jobs())
def test_holes_grown_until_they_meet_are_always_refused(job: Job) -> None:
    centers = [hole.center for hole in job.flange.holes()]
    apart = min(
        (one.distance_to(other) for index, one in enumerate(centers) for other in centers[:index]), default=math.inf
    )
    room = outside_diameter(job) / 2 - min(math.hypot(center.x, center.y) for center in centers)
    grown = min(apart, 2 * room) * 1.001
    single = [{"diameter": f"{grown} mm", "x": f"{center.x} mm", "y": f"{center.y} mm"} for center in centers]
    plate = {"outside_diameter": f"{outside_diameter(job)} mm"}
    with pytest.raises(InputError):
        job_from_data({"plate": plate, "hole": single})
