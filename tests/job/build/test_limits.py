"""The keys of [checks] and [tolerances]: carried to the checks, bad values refused, the shop file filling in."""

from pathlib import Path
from typing import Any

import pytest

from flangelayout.checks.limits import NutSide, Wrench
from flangelayout.errors import InputError
from flangelayout.job import job_from_data
from flangelayout.job.load import examine_job
from flangelayout.job.shop import shop_from_text
from jobs import job_data, make_job, toml_text


def test_every_key_of_checks_reaches_the_limits() -> None:
    keys = {
        "ligament": 6,
        "edge": "1/4 in",
        "bore": 8,
        "hub_diameter": 168.3,
        "weld": 5,
        "wrench": "socket",
        "nuts_on": "face",
        "washers": True,
        "gasket_factor": 1,
        "bolt_spacing": 120,
        "thread_engagement": 1.5,
        "off": ["clocking"],
    }
    limits = make_job(checks=keys).limits
    assert limits.ligament is not None
    assert limits.edge is not None
    assert limits.bolt_spacing is not None
    assert (limits.ligament.value, limits.edge.value, limits.bolt_spacing.value) == (6, 6.35, 120)
    assert limits.ligament.source == "stated by the job or the shop file"
    assert (limits.hub_diameter, limits.weld, limits.washers) == (168.3, 5, True)
    assert (limits.wrench, limits.nuts_on) == (Wrench.SOCKET, NutSide.FACE)
    assert (limits.gasket_factor, limits.thread_engagement.value, limits.off) == (1, 1.5, ("clocking",))


@pytest.mark.parametrize(
    ("table", "keys", "where"),
    [
        ("checks", {"ligament": -1}, "checks.ligament"),
        ("checks", {"wrench": "pliers"}, "checks.wrench"),
        ("checks", {"off": ["everything"]}, "checks.off[1]"),
        ("checks", {"gasket_factor": "soft"}, "checks.gasket_factor"),
        ("checks", {"washers": "yes"}, "checks.washers"),
        ("checks", {"ligment": 3}, "checks.ligment"),
        ("tolerances", {"position": 0}, "tolerances.position"),
        ("tolerances", {"hole_plus": -0.1}, "tolerances.hole_plus"),
        ("tolerances", {"maximum_material": 1}, "tolerances.maximum_material"),
    ],
)
def test_bad_values_are_refused_by_their_key(table: str, keys: dict[str, Any], where: str) -> None:
    with pytest.raises(InputError) as refused:
        make_job(**{table: keys})
    assert refused.value.problems[0].where == where


def test_a_misspelled_key_is_recognized() -> None:
    with pytest.raises(InputError, match="did you mean ligament"):
        make_job(checks={"ligamnt": 3})


def test_tolerances_of_a_part_come_from_the_job_or_else_from_the_standard() -> None:
    circle = [{"standard": "ASME B16.5 Class 150 NPS 6"}]
    plate = {"outside_diameter": 285}
    by_standard = job_from_data(job_data(bolt_circle=circle, plate=plate)).inspection.groups[0]
    assert by_standard.bolt_circle is not None
    assert by_standard.chord is not None
    # ASME B16.5: bolt circle +-1.5 mm, adjacent holes +-0.8 mm (two published lists agree).
    assert (by_standard.bolt_circle.value, by_standard.chord.value) == (1.5, 0.8)
    assert by_standard.bolt_circle.source == "ASME B16.5, two sources agree"
    assert (by_standard.bolt, by_standard.any_chord) == ("3/4", False)
    stated = job_from_data(job_data(bolt_circle=circle, plate=plate, tolerances={"chord": 0.3})).inspection.groups[0]
    assert stated.chord is not None
    assert (stated.chord.value, stated.chord.source, stated.any_chord) == (0.3, "the job", True)


def test_the_position_keys_reach_the_inspection() -> None:
    limits = make_job(
        tolerances={"position": 0.8, "maximum_material": True, "hole_plus": 0.5, "hole_minus": 0}
    ).inspection
    assert limits.position is not None
    assert (limits.position.value, limits.maximum_material) == (0.8, True)
    assert (limits.hole_plus, limits.hole_minus) == (0.5, 0)


def test_the_shop_file_states_limits_and_the_job_overrides_them() -> None:
    shop = shop_from_text("[checks]\nligament = 5\nedge = 7\n")
    limits = job_from_data(job_data(checks={"edge": 9}), shop=shop).limits
    assert limits.ligament is not None
    assert limits.edge is not None
    assert (limits.ligament.value, limits.edge.value) == (5, 9)


def test_warnings_are_findings_of_the_job_and_silent_notes_are_not() -> None:
    job = make_job(plate={"outside_diameter": 270, "bore": 170})
    assert [finding.rule for finding in job.findings] == ["edge-metal"]
    assert make_job().findings == ()


def test_a_job_that_contradicts_itself_can_be_examined(tmp_path: Path) -> None:
    file = tmp_path / "bad.toml"
    file.write_text(toml_text(job_data(plate={"outside_diameter": 250, "bore": 170})), encoding="utf-8")
    found = examine_job(file)
    assert found.job is None
    assert found.findings[0].rule == "hole-on-plate"
    assert found.findings[0].failed
