"""The keys of [checks] and [tolerances]: carried to the checks, bad values refused, the shop file filling in."""

import re
from pathlib import Path
from typing import Any

import pytest

from flangelayout.checks import Result, Rule
from flangelayout.checks.finding import Reason
from flangelayout.checks.limits import Ground, NutSide, Wrench
from flangelayout.errors import InputError
from flangelayout.flange import Flange
from flangelayout.flange.plate import GeneralTolerance
from flangelayout.job import load
from flangelayout.job.build.flange import build_flange
from flangelayout.job.load import examine_job, job_from_data, load_job
from flangelayout.job.schema.checks import TolerancesTable
from flangelayout.job.schema.job_file import JobFile
from flangelayout.job.shop import shop_from_text
from jobs import job_data, make_job, toml_text
from rows import every_row


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
    assert limits.ligament.source is Ground.STATED
    assert (limits.hub_diameter, limits.weld, limits.washers) == (168.3, 5, True)
    assert (limits.wrench, limits.nuts_on) == (Wrench.SOCKET, NutSide.FACE)
    assert (limits.gasket_factor, limits.thread_engagement.value, limits.off) == (1, 1.5, (Rule.CLOCKING,))


@every_row(
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


SQUARE = {"outline": "square", "width": 300, "thickness": 20}
NO_HOLES: dict[str, Any] = {"bolt_circle": []}
SINGLE: dict[str, Any] = {"bolt_circle": [], "hole": [{"x": 0, "y": 100, "diameter": 18}]}
TAPPED: dict[str, Any] = {"bolt_circle": [{"diameter": 240, "hole_count": 8, "kind": "tapped", "thread": "M16"}]}


@every_row(
    ("key", "tables", "says"),
    [
        ("outside_plus", {"plate": SQUARE}, "this outline has none; leave it out"),
        ("outside_minus", {"plate": SQUARE}, "this outline has none; leave it out"),
        ("bore_plus", {"plate": {"outside_diameter": 285}}, "write plate.bore or leave it out"),
        ("thickness_minus", {"plate": {"outside_diameter": 285}}, "no plate.thickness beside it; write that"),
        ("chord", SINGLE, "write tolerances.position, which is of every hole"),
        ("bolt_circle", SINGLE, "write tolerances.position, which is of every hole"),
        ("position", NO_HOLES, "the plate has none; leave it out"),
        ("maximum_material", {}, "tolerances.position states, and there are none; write that or leave it out"),
        ("hole_plus", NO_HOLES, "the plate has none; leave it out"),
        ("hole_plus", TAPPED, "all of these are threads, slots or dowels; leave it out"),
    ],
)
def test_a_limit_of_a_size_that_the_plate_does_not_have_is_refused_by_its_key(
    key: str, tables: dict[str, Any], says: str
) -> None:
    with pytest.raises(InputError, match=re.escape(says)) as refused:
        make_job(tolerances={key: key == "maximum_material" or 0.5}, **tables)
    assert [each.where for each in refused.value.problems] == [f"tolerances.{key}"]


def test_a_limit_of_a_size_that_the_plate_has_is_taken() -> None:
    everything = {key: 0.5 for key in TolerancesTable.model_fields if key.endswith(("_plus", "_minus"))}
    job = make_job(tolerances=everything | {"position": 1, "bolt_circle": 0.5, "chord": 0.5})
    assert None not in (job.flange.tolerances.outside, job.flange.tolerances.bore, job.flange.tolerances.thickness)
    assert make_job(tolerances={"position": 1}, **SINGLE).flange.tolerances.position == 1


def test_a_part_whose_position_is_stated_is_held_to_nothing_that_its_drawing_does_not_show() -> None:
    circle = [{"standard": "ASME B16.5 Class 150 NPS 6"}]
    held = make_job(bolt_circle=circle, plate={"outside_diameter": 285}, tolerances={"position": 1}).inspection
    assert held.position is not None
    assert (held.groups[0].bolt_circle, held.groups[0].chord) == (None, None)


def test_a_general_tolerance_holds_no_distance_of_holes_that_have_zones() -> None:
    """ISO 2768-1 clause 1: it is not of theoretically exact dimensions, in a zone about which each hole then lies."""
    stated = {"general": "ISO 2768-1 m"}
    (open_one,) = make_job(tolerances=stated).inspection.groups
    (zoned,) = make_job(tolerances=stated | {"position": 1}).inspection.groups
    assert (open_one.general.general, zoned.general.general) == (GeneralTolerance.ISO_2768_M, None)


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


def test_every_check_is_a_finding_of_the_job_and_what_failed_is_a_remark() -> None:
    job = make_job(plate={"outside_diameter": 270, "bore": 170})
    assert [finding.rule for finding in job.remarks] == [Rule.EDGE_METAL]
    sound = make_job()
    assert sound.remarks == ()
    results = {finding.result for finding in sound.findings}
    assert results == {Result.PASSED, Result.NOT_RUN}


def test_a_job_that_contradicts_itself_can_be_examined_and_says_what_was_not_reached(tmp_path: Path) -> None:
    file = tmp_path / "bad.toml"
    file.write_text(toml_text(job_data(plate={"outside_diameter": 250, "bore": 170})), encoding="utf-8")
    found = examine_job(file)
    assert found.job is None
    assert found.findings[0].rule is Rule.HOLE_ON_PLATE
    assert found.findings[0].failed
    not_reached = {each.rule for each in found.findings if each.reason is Reason.CONTRADICTION}
    assert {Rule.LIGAMENT, Rule.BOLT_IN_HOLE, Rule.MATE_BOLTS} <= not_reached


def test_a_rule_that_is_left_out_is_told_once_and_a_contradiction_cannot_be() -> None:
    job = make_job(plate={"outside_diameter": 270, "bore": 170}, checks={"off": ["edge-metal"]})
    (told,) = (each for each in job.findings if each.rule is Rule.EDGE_METAL)
    assert (told.result, told.reason) == (Result.NOT_RUN, Reason.LEFT_OUT)
    with pytest.raises(InputError, match="cannot be left out"):
        make_job(checks={"off": ["hole-on-plate"]})


def test_a_job_is_examined_with_one_pass_over_its_holes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "good.toml"
    file.write_text(toml_text(job_data()), encoding="utf-8")
    built: list[object] = []

    def counted(written: JobFile, *others: Any) -> Flange:  # noqa: ANN401 - whatever a job is built from
        built.append(written)
        return build_flange(written, *others)

    monkeypatch.setattr(load, "build_flange", counted)
    found = examine_job(file)
    assert len(built) == 1
    assert found.job is not None
    assert found.findings == found.job.findings == load_job(file).findings


def test_a_part_is_held_to_the_figures_that_its_standard_has_in_the_unit_of_the_job() -> None:
    """ASME B16.5, as two lists of its tolerances print: bolt circle 1.5 mm or 0.06 in, neighbors 0.8 mm or 0.03 in."""
    row = [{"standard": "ASME B16.5 Class 150 NPS 6"}]
    for units, outside, circle, chord in (("mm", 280, 1.5, 0.8), ("in", 11, 0.06 * 25.4, 0.03 * 25.4)):
        job = make_job(units=units, plate={"outside_diameter": outside, "bore": outside / 2}, bolt_circle=row)
        (held,) = job.inspection.groups
        assert held.bolt_circle is not None
        assert held.chord is not None
        assert (held.bolt_circle.value, held.chord.value) == pytest.approx((circle, chord), abs=1e-9)
