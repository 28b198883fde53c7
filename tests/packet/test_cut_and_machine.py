"""Cut options and machine files through the packet: names, layers, versions, and what stays as it was."""

import hashlib
import re

import pytest

from flangelayout.errors import InputError
from flangelayout.job import Job
from flangelayout.job.load import load_job
from flangelayout.packet.job import Part, build_packet, cut_estimate, cut_page
from flangelayout.views.words.findings import finding_text
from jobs import make_job
from packet.test_job import SAMPLES
from readers import dxf_circles, dxf_document, dxf_shapes
from rows import every_row

MACHINE = {"files": ["readout", "dividing head", "rotary table", "drilling program"], "feed": 80, "speed": 200}


def names(job: Job, *parts: Part) -> list[str]:
    return [name.removeprefix("T-1-A_") for name in build_packet(job, parts)]


def test_kerf_and_leads_stand_in_the_file_names() -> None:
    assert names(make_job(), Part.CUT) == ["cut_mm.dxf", "cut_mm.svg"]
    job = make_job(cut={"kerf": 2, "lead_in": 5, "units": "in"})
    assert names(job, Part.CUT) == ["cut_kerf_leads_in.dxf", "cut_kerf_leads_mm.svg"]
    assert names(make_job(cut={"kerf": 2}), Part.CUT)[0] == "cut_kerf_mm.dxf"


def test_machine_files_are_written_only_when_asked_for() -> None:
    assert names(make_job(), Part.MACHINE) == []
    assert names(make_job(machine=MACHINE | {"zero": "first hole"}), Part.MACHINE) == [
        "readout_first-hole_mm.csv",
        "dividing-head.csv",
        "rotary-table.csv",
        "drilling_mm.nc",
    ]
    alone = {"files": ["drilling program"], "feed": 80, "speed": 200}
    assert names(make_job(machine=alone), Part.MACHINE) == ["drilling_mm.nc"]


@every_row(
    ("changes", "reason"),
    [
        ({"feed": None}, "its feed and speed are not stated"),
        ({"speed": None}, "its feed and speed are not stated"),
        ({"depth": "19 m"}, "the depth stated is far beyond the plate"),
    ],
)
def test_a_drilling_program_that_cannot_be_right_is_left_out_with_the_reason(
    changes: dict[str, object], reason: str
) -> None:
    wanted = {"files": ["drilling program"], "feed": 80, "speed": 200} | changes
    plate = {"outside_diameter": 300, "thickness": 10}
    job = make_job(plate=plate, machine={key: value for key, value in wanted.items() if value is not None})
    assert names(job, Part.MACHINE) == []
    assert any(reason in finding_text(job.flange, each, job.unit) for each in job.findings)


def test_one_feed_and_speed_for_two_drills_is_no_program() -> None:
    circles = [{"diameter": size, "hole_count": 8, "hole_diameter": hole} for size, hole in ((240, 22), (190, 12))]
    machine = {"files": ["drilling program", "readout"], "feed": 80, "speed": 200}
    job = make_job(bolt_circle=circles, machine=machine)
    assert names(job, Part.MACHINE) == ["readout_center_mm.csv"]
    said = [finding_text(job.flange, each, job.unit) for each in job.findings]
    assert any("it needs drills of 12, 22 mm, and one feed and speed serves one only" in each for each in said)


def test_the_lists_of_each_circle_say_where_it_starts() -> None:
    circles = [
        {"diameter": 240, "hole_count": 8, "hole_diameter": 12},
        {"diameter": 200, "hole_count": 4, "hole_diameter": 12, "start_angle": 7.5},
    ]
    job = make_job(bolt_circle=circles, machine={"files": ["dividing head", "rotary table"]})
    for name, data in build_packet(job, [Part.MACHINE]).items():
        head, first, *_ = data.decode("utf-8-sig").splitlines()
        assert head.startswith("hole,on_plate_deg,")
        # Straddling: 8 holes begin half a pitch of 45 after the top, 4 holes half a pitch of 90, turned by 7.5.
        assert first.split(",")[1] == ("112.50000" if "_A" in name else "142.50000")


def test_each_bolt_circle_has_files_of_its_own() -> None:
    circles = [{"diameter": size, "hole_count": 8, "hole_diameter": 12} for size in (240, 200)]
    job = make_job(bolt_circle=circles, machine={"files": ["dividing head"]})
    assert names(job, Part.MACHINE) == ["dividing-head_A.csv", "dividing-head_B.csv"]


@every_row("version", ["R12", "R2000", "R2010"])
def test_the_cut_file_has_the_version_layers_and_colors_asked_for(version: str) -> None:
    job = make_job(
        cut={
            "dxf_version": version,
            "lead_in": 5,
            "marks": ["top"],
            "mark_height": 5,
            "layers": {"holes": "BOLTS", "marks": "SCRIBE"},
            "colors": {"marks": 2, "outline": 5},
        }
    )
    data = next(iter(build_packet(job, [Part.CUT]).values()))
    document = dxf_document(data)
    assert document.dxfversion == {"R12": "AC1009", "R2000": "AC1015", "R2010": "AC1024"}[version]
    # The reader adds the layer Defpoints to every document.
    colors = {layer.dxf.name: layer.dxf.color for layer in document.layers if layer.dxf.name != "Defpoints"}
    assert colors == {"0": 7, "BOLTS": 3, "CUT_BORE": 4, "CUT_OUTLINE": 5, "SCRIBE": 2}
    assert not document.audit().errors


def test_a_kerfed_file_read_back_differs_in_radius_by_half_the_kerf() -> None:
    plain, kerfed = (
        dxf_circles(next(iter(build_packet(job, [Part.CUT]).values())))
        for job in (make_job(), make_job(cut={"kerf": 2}))
    )
    steps = [round(after.radius - before.radius, 3) for before, after in zip(plain, kerfed, strict=True)]
    assert steps == [-1.0] * 9 + [1.0]


def test_the_file_runs_from_the_inside_out() -> None:
    data = next(iter(build_packet(make_job(cut={"lead_in": 5, "lead_out": 3}), [Part.CUT]).values()))
    assert [shape.layer for shape in dxf_shapes(data)] == ["CUT_HOLES"] * 8 + ["CUT_BORE", "CUT_OUTLINE"]


def test_the_svg_page_holds_the_leads_outside_the_plate() -> None:
    page = cut_page(make_job(cut={"kerf": 2, "lead_in": 5}))
    assert page.paper.width == pytest.approx(285 + 2 + 5)


def test_the_sheet_says_that_kerf_and_leads_are_in_the_file() -> None:
    job = make_job(cut={"kerf": 2, "lead_in": 5})
    said = " ".join(finding_text(job.flange, finding, job.unit) for finding in job.remarks)
    assert "a kerf of 2 mm is taken up" in said
    assert "lead-in arcs of radius 5 mm" in said


def test_what_the_plate_has_no_room_for_is_told_before_anything_is_made() -> None:
    with pytest.raises(InputError, match=r"cut\.kerf: a kerf of 3\.2 mm closes"):
        make_job(bolt_circle=[{"diameter": 240, "hole_count": 8, "hole_diameter": 3}], cut={"kerf": 3.2})


def test_an_estimate_weighs_the_plate_by_its_material() -> None:
    stated = cut_estimate(make_job(plate={"outside_diameter": 285, "thickness": 22, "material": "316L stainless"}))
    assert stated.density_source == "316L stainless, 8000 kg/m3, not verified: compare before cutting"
    assert stated.mass is not None
    assert cut_estimate(make_job()).mass is None


@every_row("path", SAMPLES)
def test_twice_the_same_machine_files_and_cut_files(path: object) -> None:
    job = load_job(str(path))
    parts = [Part.CUT, Part.MACHINE]
    first, again = (
        {name: hashlib.sha256(data).hexdigest() for name, data in build_packet(job, parts).items()} for _ in range(2)
    )
    assert first == again


def test_the_cut_svg_has_the_colors_asked_for_as_the_dxf_has() -> None:
    job = make_job(cut={"colors": {"holes": 1, "outline": 5}})
    (svg,) = (data.decode() for name, data in build_packet(job, [Part.CUT]).items() if name.endswith(".svg"))
    groups = dict(re.findall(r'<g[^>]* id="(CUT_[A-Z]+)"[^>]* stroke="(#[0-9a-f]{6})"', svg))
    # Index 1 is red and 5 blue in every table of DXF colors (from memory).
    assert (groups["CUT_HOLES"], groups["CUT_OUTLINE"]) == ("#ff0000", "#0000ff")
