"""The keys of [cut] and [machine], sound and wrong."""

from typing import Any

import pytest

from flangelayout.drawing.layers import Layer
from flangelayout.errors import InputError
from flangelayout.flange.cutting import CutProcess, HoleCut, MachineFile, Mark, Zero
from flangelayout.job.load import job_from_data
from flangelayout.job.shop import shop_from_text
from flangelayout.units import Unit
from flangelayout.views.words.findings import finding_text
from jobs import job_data, make_job
from rows import every_row


def wrong(**tables: Any) -> str:  # noqa: ANN401 # tables of a job
    """What is said about a job."""
    with pytest.raises(InputError) as caught:
        make_job(**tables)
    return "\n".join(caught.value.lines())


def test_without_keys_the_cut_is_nominal_and_nothing_is_written_for_a_machine() -> None:
    job = make_job()
    assert job.cut.options.is_nominal
    assert job.cut.options.name_parts == ()
    assert job.cut.dxf_version == "R2000"
    assert job.machine.files == ()
    assert not any(finding.rule.value.startswith(("cut-", "smallest-cut")) for finding in job.findings)


def test_a_process_brings_its_limit_and_the_job_may_set_each_part_of_it() -> None:
    plasma = make_job(cut={"process": "plasma"}).cut.options
    own = make_job(cut={"process": "plasma", "smallest_hole_per_thickness": 1.2}).cut.options
    fixed = make_job(cut={"smallest_hole": "1/2 in"}).cut.options
    assert plasma.process is CutProcess.PLASMA
    assert plasma.smallest is not None
    assert plasma.smallest.diameter(20.0) == 30.0
    assert own.smallest is not None
    assert (own.smallest.diameter(20.0), own.smallest.origin) == (24.0, "stated on this job")
    assert fixed.smallest is not None
    assert fixed.smallest.diameter(None) == pytest.approx(12.7)


def test_what_small_holes_and_groups_get_is_kept_by_group_and_number() -> None:
    job = make_job(
        bolt_circle=[
            {"diameter": 240, "hole_count": 8, "hole_diameter": 22},
            {"diameter": 195, "hole_count": 8, "hole_diameter": 10, "cut": "center mark only"},
        ],
        hole=[{"diameter": 8, "x": 0, "y": 132, "cut": "undersize for drilling"}],
        cut={"process": "plasma", "small_holes": "undersize for drilling", "undersize": 2},
    )
    options = job.cut.options
    assert options.cuts == (("bolt_circle[2]", HoleCut.CENTER_MARK), ("hole", HoleCut.UNDERSIZE))
    assert (options.small_holes, options.undersize) == (HoleCut.UNDERSIZE, 2.0)


def test_kerf_and_leads_are_named_in_the_files() -> None:
    both = make_job(cut={"kerf": 2, "lead_in": 5, "lead_out": 3}).cut.options
    assert both.name_parts == ("kerf", "leads")
    assert make_job(cut={"lead_in": 5}).cut.options.name_parts == ("leads",)


def test_layers_colors_version_and_marks_are_the_shops_own() -> None:
    cut = make_job(
        cut={
            "dxf_version": "R12",
            "marks": ["top", "part number", "top"],
            "layers": {"marks": "SCRIBE", "outline": "EDGE"},
            "colors": {"outline": 5, "marks": 2},
        }
    ).cut
    assert cut.dxf_version == "R12"
    assert cut.options.marks == (Mark.TOP, Mark.NUMBER)
    assert dict(cut.layer_names) == {Layer.CUT_MARKS: "SCRIBE", Layer.CUT_OUTLINE: "EDGE"}
    assert dict(cut.colors) == {Layer.CUT_OUTLINE: 5, Layer.CUT_MARKS: 2}


def test_a_machine_has_the_usual_head_and_heights_unless_told() -> None:
    machine = make_job(machine={"files": ["readout", "drilling program"]}).machine
    assert machine.files == (MachineFile.READOUT, MachineFile.PROGRAM)
    assert (machine.head.name, machine.head.ratio, machine.table_ratio) == ("three plates", 40, 90)
    assert (machine.drilling.unit, machine.drilling.zero) == (Unit.MM, Zero.CENTER)


def test_plates_and_ratios_are_settable() -> None:
    own = make_job(machine={"plates": [[24, 25], [46, 47]], "ratio": 60, "table_ratio": 72, "units": "in"}).machine
    named = make_job(machine={"head": "two-sided plate", "ratio": 60}).machine
    assert [plate.hole_circles for plate in own.head.plates] == [(24, 25), (46, 47)]
    assert (own.head.ratio, own.table_ratio, own.drilling.unit) == (60, 72, Unit.IN)
    assert (named.head.name, named.head.ratio) == ("two-sided plate", 60)


@every_row(
    ("tables", "said"),
    [
        ({"cut": {"process": "laser beam"}}, "cut.process"),
        ({"cut": {"proces": "laser"}}, "cut.proces: unknown key; did you mean process?"),
        ({"cut": {"small_holes": "drill"}}, "cut.small_holes"),
        ({"cut": {"kerf": -1}}, "cut.kerf: -1 is not possible; use 0 to 20 mm"),
        ({"units": "in", "cut": {"kerf": 1.5}}, "cut.kerf: 1.5 is not possible; use 0 to 0.787 in (0 to 20 mm)"),
        ({"cut": {"kerf": 25}}, "cut.kerf: 25 is not possible"),
        ({"cut": {"lead_out": 3}}, "cut.lead_out: has no lead_in beside it; add for example lead_in = 5"),
        ({"cut": {"undersize": 0}}, "cut.undersize"),
        ({"cut": {"smallest_hole_per_thickness": "nan"}}, "cut.smallest_hole_per_thickness"),
        ({"cut": {"smallest_hole_per_thickness": 50}}, "cut.smallest_hole_per_thickness"),
        ({"cut": {"dxf_version": "R14"}}, "cut.dxf_version"),
        ({"cut": {"marks": ["bottom"]}}, "cut.marks"),
        ({"cut": {"mark_height": 0.5}}, "cut.mark_height"),
        ({"cut": {"colors": {"holes": 256}}}, "cut.colors.holes: 256 is too large; the most is 255"),
        ({"cut": {"layers": {"bore": "a b"}}}, "cut.layers.bore"),
        ({"bolt_circle": [{"diameter": 240, "hole_count": 8, "hole_diameter": 22, "cut": "no"}]}, "bolt_circle.cut"),
        ({"machine": {"files": ["punch tape"]}}, "machine.files"),
        ({"machine": {"zero": "middle"}}, "machine.zero"),
        ({"machine": {"head": "big one"}}, 'machine.head: "big one" is no head in the tables; use "three plates"'),
        ({"machine": {"ratio": 0}}, "machine.ratio: 0 is too small; the least is 1"),
        ({"machine": {"plates": [[15, 0]]}}, "machine.plates"),
        ({"machine": {"plates": [[]]}}, "machine.plates"),
        ({"machine": {"clearance": 30}}, "machine.safe_height: is not above the clearance"),
        ({"machine": {"feed": 0}}, "machine.feed"),
        ({"machine": {"speed": float("inf")}}, "machine.speed"),
    ],
)
def test_a_wrong_value_is_told_by_its_key(tables: dict[str, Any], said: str) -> None:
    assert said in wrong(**tables)


def test_a_program_needs_a_thickness_or_a_depth() -> None:
    plate = {"outside_diameter": 285}
    said = wrong(plate=plate, machine={"files": ["drilling program"]})
    assert said == "machine.depth: is missing, and so is plate.thickness; write one of them"
    assert make_job(plate=plate, machine={"files": ["drilling program"], "depth": 5}).machine.drilling.depth == 5.0


def test_several_wrong_keys_are_told_at_once() -> None:
    said = wrong(cut={"lead_out": 3}, machine={"head": "big one", "clearance": 30})
    assert all(key in said for key in ("cut.lead_out", "machine.head", "machine.safe_height"))


def test_lengths_are_in_the_unit_of_the_job() -> None:
    job = make_job(
        units="in",
        plate={"outside_diameter": 12},
        bolt_circle=[{"diameter": 10, "hole_count": 8, "hole_diameter": 0.75}],
        cut={"kerf": 0.1, "lead_in": "5 mm"},
        machine={"safe_height": 1},
    )
    assert job.cut.options.kerf == pytest.approx(2.54)
    assert job.cut.options.lead_in == pytest.approx(5.0)
    assert job.machine.drilling.safe_height == pytest.approx(25.4)


def test_limits_and_heads_of_the_shop_hold_until_a_job_says_otherwise() -> None:
    shop = shop_from_text('[cut]\nprocess = "plasma"\nsmallest_hole_per_thickness = 1.1\n[machine]\ntable_ratio = 72')
    usual = job_from_data(job_data(), shop=shop)
    own = job_from_data(job_data(cut={"smallest_hole_per_thickness": 2}), shop=shop)
    for job, least in ((usual, 22.0), (own, 40.0)):
        assert job.cut.options.process is CutProcess.PLASMA
        assert job.cut.options.smallest is not None
        assert job.cut.options.smallest.diameter(20.0) == pytest.approx(least)
    assert usual.machine.table_ratio == 72


def test_a_pattern_beside_the_bolt_circle_says_how_its_holes_are_cut() -> None:
    grid = {"hole_diameter": 8, "columns": 2, "rows": 2, "pitch": 30, "cut": "center mark only"}
    job = make_job(plate={"outside_diameter": 285}, hole_grid=[grid])
    assert job.cut.options.cuts == (("hole_grid", HoleCut.CENTER_MARK),)
    told = [finding_text(job.flange, finding, job.unit) for finding in job.remarks]
    assert any("4 × 8 mm not cut, centers marked" in text for text in told)
