"""What the files of a packet hold, read back by programs that had no part in writing them, against the model."""

import hashlib
import json
import math
import os
import subprocess
import sys
from collections.abc import Iterable
from io import BytesIO
from pathlib import Path

import numpy as np
import pdfplumber
import pytest
from ezdxf.entities.dxfgfx import DXFGraphic
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from pdfminer.pdftypes import resolve1

from flangelayout import build_packet, load_job
from flangelayout.drawing.settings import TemplateSettings
from flangelayout.errors import OutputError
from flangelayout.flange import BoltCircle
from flangelayout.geometry.shapes import ORIGIN, Point
from flangelayout.job import Job
from flangelayout.job.load import job_from_data
from flangelayout.packet.job import Part, face_template
from flangelayout.packet.names import file_lead
from flangelayout.units import Unit, to_mm
from flangelayout.views.template.pages import one_sheet_template, template_sheets
from flangelayout.writers.numbers import FILE_TOLERANCE
from flangelayout.writers.pdf import write_pdf
from jobs import Data, job_tables, jobs, make_job, model_circles, outside_diameter
from readers import FoundCircle, dxf_circles, dxf_document, pdf_circles, svg_circles
from rows import every_row, first_of
from views.tile_pages import tiles_of

PROJECT = Path(__file__).parents[2]
SAMPLES = sorted((PROJECT / "samples").glob("*.toml"))
FEW = settings(max_examples=6, deadline=None, suppress_health_check=[HealthCheck.too_slow])
ALL = settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
samples = pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)


def only(packet: dict[str, bytes], kind: str) -> bytes:
    """The one file of a packet whose name holds ``kind``."""
    (name,) = (name for name in packet if kind in name)
    return packet[name]


def assert_holds(found: Iterable[FoundCircle], job: Job, shift: Point = ORIGIN, where: str = "") -> None:
    """Every circle of the model is among those found, moved by ``shift``, to within the tolerance of files."""
    held = np.array(list(found)).reshape(-1, 3)
    assert len(held), where
    for x, y, radius in model_circles(job):
        errors = np.abs(held - (x + shift.x, y + shift.y, radius)).max(axis=1)
        assert errors.min() <= FILE_TOLERANCE, f"{where}: no circle at {x:.4f}, {y:.4f} of radius {radius:.4f}"


def check_cut(job: Job, packet: dict[str, bytes]) -> None:
    """The cut files hold the model's circles and nothing else."""
    data, image = only(packet, "_cut_" + job.cut.unit.value + ".dxf"), only(packet, "_cut_mm.svg")
    size = outside_diameter(job)
    for where, found, shift in (
        ("dxf", dxf_circles(data, job.cut.unit), Point(0.0, 0.0)),
        ("svg", svg_circles(image, size), Point(size / 2, size / 2)),
    ):
        assert len(found) == len(model_circles(job)), where
        assert_holds(found, job, shift, where)


def check_one_sheet(job: Job, packet: dict[str, bytes]) -> None:
    """The template on one sheet holds the model's circles at full size, as PDF and as SVG."""
    sheets = one_sheet_template(face_template(job), job.template.margin)
    (sheet,) = sheets.sheets
    at = sheet.views[0].at_paper
    assert_holds(pdf_circles(write_pdf(sheets)), job, at, "one sheet pdf")
    assert_holds(svg_circles(only(packet, "_template_mm.svg"), sheet.paper.height), job, at, "one sheet svg")


def check_tiles(job: Job, data: bytes, most: int) -> None:
    """The first and further tiles hold the whole model, each in its place; the rest of it is clipped away."""
    settings_ = job.template
    layout = TemplateSettings(settings_.paper, settings_.overlap, settings_.margin)
    sheets = template_sheets(face_template(job), layout)
    tiles = tiles_of(sheets)
    for page, tile in enumerate(tiles[:most], len(sheets.sheets) - len(tiles)):
        assert_holds(pdf_circles(data, page), job, tile.views[0].at_paper, f"page {page + 1}")


def check_cut_dxf(job: Job, data: bytes) -> None:
    """Units, extents, layers, order, no duplicates and a clean audit."""
    document, unit = dxf_document(data), job.cut.unit
    # DXF reference, header section: $INSUNITS 1 inches, 4 millimeters; $MEASUREMENT 0 English, 1 metric.
    assert (document.header["$INSUNITS"], document.header["$MEASUREMENT"]) == {Unit.IN: (1, 0), Unit.MM: (4, 1)}[unit]
    half = outside_diameter(job) / 2 / to_mm(1.0, unit)
    assert document.header["$EXTMIN"] == pytest.approx((-half, -half, 0), abs=1e-4)
    assert document.header["$EXTMAX"] == pytest.approx((half, half, 0), abs=1e-4)
    entities = list(document.modelspace())
    assert {entity.dxftype() for entity in entities} == {"CIRCLE"}
    assert len({_circle_key(entity) for entity in entities}) == len(entities)
    *inside, edge = entities
    assert edge.dxf.layer == "CUT_OUTLINE"
    assert {entity.dxf.layer for entity in inside} <= {"CUT_HOLES", "CUT_BORE"}
    radii = [entity.dxf.radius for entity in inside]
    assert radii == sorted(radii)
    assert all(len(layout) == 0 for layout in document.layouts if layout.name != "Model")
    assert_clean_audit(data)


def _circle_key(entity: DXFGraphic) -> tuple[float, ...]:
    center = entity.dxf.center
    return round(center.x, 4), round(center.y, 4), round(entity.dxf.radius, 4)


def assert_clean_audit(data: bytes) -> None:
    audit = dxf_document(data).audit()
    assert not audit.errors
    assert not audit.fixes


def check_pdf(data: bytes, paper: tuple[float, float] | None = None) -> None:
    """At least PDF 1.6, never to be scaled by the print dialog, every page of the one size."""
    assert data[:8] in (b"%PDF-1.6", b"%PDF-1.7")
    with pdfplumber.open(BytesIO(data)) as document:
        preferences = resolve1(document.doc.catalog["ViewerPreferences"])
        sizes = {(round(float(page.width), 3), round(float(page.height), 3)) for page in document.pages}
    assert preferences["PrintScaling"].name == "None"
    assert len(sizes) == 1
    if paper:
        (size,) = sizes
        assert sorted(size) == pytest.approx([edge / to_mm(1.0, Unit.IN) * 72 for edge in paper], abs=0.002)


def check_hole_list(job: Job, data: bytes) -> None:
    """The CSV holds every hole; lengths in the job's unit."""
    _, *rows = data.decode("utf-8-sig").splitlines()
    per_mm = to_mm(1.0, job.unit)
    holes = job.flange.holes()
    assert len(rows) == len(holes)
    for row, hole in zip(rows, holes, strict=True):
        *_, x, y, _, _, diameter = row.rsplit(",", 5)
        found = [float(value) * per_mm for value in (x, y, diameter)]
        assert found == pytest.approx([hole.center.x, hole.center.y, hole.diameter], abs=FILE_TOLERANCE)


# ISO 216 (A4, A3) and ASME Y14.1 sizes A and B, in mm.
PAPER_SIZES = {"A4": (210, 297), "A3": (297, 420), "Letter": (215.9, 279.4), "Tabloid": (279.4, 431.8)}


@pytest.mark.parametrize("path", first_of(SAMPLES), ids=lambda path: path.stem)
def test_every_file_of_a_sample_agrees_with_the_model(path: Path) -> None:
    job = load_job(path)
    packet = build_packet(job)
    check_cut(job, packet)
    check_cut_dxf(job, only(packet, "_cut_" + job.cut.unit.value + ".dxf"))
    check_one_sheet(job, packet)
    tiled = only(packet, f"_template_{job.template.paper}.pdf")
    check_tiles(job, tiled, 3)
    check_pdf(tiled, PAPER_SIZES[job.template.paper])
    check_pdf(only(packet, "_sheet.pdf"), PAPER_SIZES[job.sheet.paper])
    check_hole_list(job, only(packet, "_holes_"))


@pytest.mark.slow
@samples
def test_the_layout_sheet_of_a_sample_stands_at_real_size_in_its_model_space(path: Path) -> None:
    job = load_job(path)
    data = only(build_packet(job, [Part.SHEET]), "_sheet_" + job.unit.value + ".dxf")
    document = dxf_document(data)
    per_unit = to_mm(1.0, job.unit)
    circles = [
        FoundCircle(each.dxf.center.x * per_unit, each.dxf.center.y * per_unit, each.dxf.radius * per_unit)
        for each in document.modelspace().query("CIRCLE")
    ]
    assert_holds(circles, job)
    assert len(document.modelspace().query("DIMENSION")) >= 2
    assert document.header["$INSUNITS"] == {Unit.IN: 1, Unit.MM: 4}[job.unit]
    assert all(abs(edge) < 1e6 for edge in (*document.header["$EXTMIN"], *document.header["$EXTMAX"]))
    assert_clean_audit(data)


@pytest.mark.slow
@ALL
@given(jobs())
def test_cut_files_of_any_job_hold_the_model_and_nothing_else(job: Job) -> None:
    check_cut(job, build_packet(job, [Part.CUT]))


@pytest.mark.slow
@FEW
@given(jobs(largest=500.0))
def test_templates_and_lists_of_any_job_hold_the_model(job: Job) -> None:
    packet = build_packet(job, [Part.TEMPLATE, Part.HOLES])
    check_one_sheet(job, packet)
    check_hole_list(job, only(packet, "_holes_"))


@FEW
@given(jobs())
def test_the_cut_dxf_of_any_job_is_sound(job: Job) -> None:
    check_cut_dxf(job, only(build_packet(job, [Part.CUT]), "_cut_" + job.cut.unit.value + ".dxf"))


@pytest.mark.property_deep
@ALL
@given(jobs(), st.randoms(use_true_random=False))
def test_every_file_of_any_job_agrees_with_the_model(job: Job, random: object) -> None:
    packet = build_packet(job)
    check_cut(job, packet)
    check_cut_dxf(job, only(packet, "_cut_" + job.cut.unit.value + ".dxf"))
    check_one_sheet(job, packet)
    tiled = only(packet, f"_template_{job.template.paper}.pdf")
    check_pdf(tiled, PAPER_SIZES[job.template.paper])
    check_tiles(job, tiled, 1)
    sheet = only(packet, "_sheet.pdf")
    check_pdf(sheet, PAPER_SIZES[job.sheet.paper])
    assert_clean_audit(only(packet, "_sheet_" + job.unit.value + ".dxf"))
    check_hole_list(job, only(packet, "_holes_"))


def test_a_model_that_differs_does_not_pass_unseen() -> None:
    packet = build_packet(make_job(), [Part.CUT])
    wrong = make_job(bolt_circle=[{"diameter": 240.01, "hole_count": 8, "hole_diameter": 22}])
    with pytest.raises(AssertionError):
        check_cut(wrong, packet)
    with pytest.raises(AssertionError):
        check_cut(make_job(bolt_circle=[{"diameter": 240, "hole_count": 8, "hole_diameter": 22.01}]), packet)


def digests(datas: list[Data], named: list[str]) -> list[str]:
    """SHA-256 of every file of some jobs, in order."""
    packets = [build_packet(job_from_data(data)) for data in datas] + [build_packet(load_job(path)) for path in named]
    return [f"{name} {hashlib.sha256(content).hexdigest()}" for packet in packets for name, content in packet.items()]


_PROGRAM = """
import json, sys
from packet.test_job import digests
print(json.dumps(digests(**json.load(sys.stdin))))
"""


def digests_of_a_new_process(datas: list[Data], named: list[str]) -> list[str]:
    """:func:`digests` in a process of its own, with another seed for hashes, another zone and another folder."""
    places = os.pathsep.join((str(PROJECT), str(PROJECT / "tests")))
    environment = {**os.environ, "PYTHONPATH": places, "PYTHONHASHSEED": "7", "TZ": "Asia/Kathmandu"}
    asked = json.dumps({"datas": datas, "named": named})
    command = [sys.executable, "-c", _PROGRAM]
    run = subprocess.run(
        command, input=asked, env=environment, cwd=PROJECT.anchor, capture_output=True, text=True, check=True
    )
    answer: list[str] = json.loads(run.stdout)
    return answer


@pytest.mark.slow
def test_samples_are_the_same_bytes_in_another_process() -> None:
    named = [str(path) for path in SAMPLES]
    assert digests_of_a_new_process([], named) == digests([], named)


@pytest.mark.property_deep
def test_any_jobs_are_the_same_bytes_in_another_process() -> None:
    datas: list[Data] = []

    @ALL
    @given(job_tables(largest=400.0))
    def collect(data: Data) -> None:
        datas.append(data)

    collect()
    assert len(datas) >= 300
    assert digests_of_a_new_process(datas, []) == digests(datas, [])


def test_an_inch_job_and_a_millimeter_job_of_one_plate_cut_the_same() -> None:
    circles = {
        "in": {"diameter": "11 3/4", "hole_count": 8, "hole_diameter": "7/8"},
        "mm": {"diameter": 298.45, "hole_count": 8, "hole_diameter": 22.225},
    }
    plates = {"in": {"outside_diameter": "13 1/2", "bore": 8.75}, "mm": {"outside_diameter": 342.9, "bore": 222.25}}
    files = [
        only(
            build_packet(
                make_job(units=unit, plate=plates[unit], bolt_circle=[circles[unit]], cut={"units": "mm"}), [Part.CUT]
            ),
            ".svg",
        )
        for unit in ("in", "mm")
    ]
    found = [svg_circles(data, 342.9) for data in files]
    np.testing.assert_allclose(found[0], found[1], rtol=0, atol=FILE_TOLERANCE)
    # NPS 8 Class 150 of ASME B16.5: 11.75 in circle, so neighbors are 11.75 x 25.4 x sin(22.5 deg) = 114.21 mm apart.
    hole = found[0][:2]
    assert math.dist(hole[0][:2], hole[1][:2]) == pytest.approx(114.21, abs=0.005)


def test_parts_of_a_packet_can_be_asked_for_and_are_the_same_as_in_the_whole() -> None:
    job = make_job()
    usual = (Part.CUT, Part.TEMPLATE, Part.SHEET, Part.HOLES)  # the others need readings or a machine
    whole = build_packet(job)
    assert [name.removeprefix("T-1-A_") for name in whole] == [
        "cut_mm.dxf",
        "cut_mm.svg",
        "template_A4.pdf",
        "template_mm.svg",
        "sheet.pdf",
        "sheet_mm.dxf",
        "holes_mm.csv",
    ]
    for part in Part:
        few = build_packet(job, [part])
        assert bool(few) == (part in usual)
        assert all(whole[name] == content for name, content in few.items())


def test_names_say_the_units_of_an_inch_job() -> None:
    data = {"units": "in", "plate": {"outside_diameter": 12}, "bolt_circle": []}
    names = list(build_packet(make_job(**data), [Part.CUT, Part.SHEET, Part.HOLES]))
    assert names == [
        "T-1-A_cut_in.dxf",
        "T-1-A_cut_mm.svg",
        "T-1-A_sheet.pdf",
        "T-1-A_sheet_in.dxf",
        "T-1-A_holes_in.csv",
    ]


def test_layer_names_of_the_shop_stand_in_both_cut_files() -> None:
    job = make_job(cut={"layers": {"holes": "DRILL", "outline": "PROFILE"}})
    packet = build_packet(job, [Part.CUT])
    layers = {entity.dxf.layer for entity in dxf_document(only(packet, ".dxf")).modelspace()}
    assert layers == {"DRILL", "PROFILE", "CUT_BORE"}
    assert b'id="DRILL"' in only(packet, ".svg")


@every_row(
    ("number", "lead"),
    [
        ("H-114", "H-114-A"),
        ("../../etc/passwd", "etc-passwd-A"),
        ("a:b*c?", "a-b-c-A"),
        ("MB 7/2", "MB-7-2-A"),
        ("Größe", "Größe-A"),
        ("\u202e.toml", "toml-A"),
        ("?", "A"),
    ],
)
def test_file_names_are_safe_on_every_system(number: str, lead: str) -> None:
    assert file_lead(make_job(job={"number": number})) == lead


@every_row("number", ["CON", "nul.x", "Com1", "lpt9.a.b"])
def test_names_that_windows_keeps_for_devices_are_not_used(number: str) -> None:
    lead = file_lead(make_job(job={"number": number, "revision": "A"}))
    assert lead.split(".")[0].lower() not in {"con", "nul", "com1", "lpt9"}


@given(st.text(min_size=1, max_size=190))
def test_any_number_gives_a_name_that_fits_a_file_system(number: str) -> None:
    assume(not number.isspace())
    lead = file_lead(make_job(job={"number": number}))
    assert len(f"{lead}_template_one-sheet.pdf".encode()) < 255
    assert not set(lead) & set('/\\:*?"<>|\0\n')
    assert lead == lead.strip(" .-")


@pytest.mark.slow
def test_a_template_too_large_for_one_page_is_refused_and_the_tiled_one_named() -> None:
    tables: Data = {
        "plate": {"outside_diameter": 5200},
        "bolt_circle": [{"diameter": 5000, "hole_count": 40, "hole_diameter": 40}],
    }
    job = make_job(**tables, template={"paper": "one sheet"})
    # ISO 32000-1, annex C: a page is at most 14400 units, which is 5080 mm.
    with pytest.raises(OutputError, match=r"5080 mm.*tiled"):
        build_packet(job, [Part.TEMPLATE])
    assert build_packet(make_job(**tables), [Part.TEMPLATE])


def test_a_plate_for_a_plotter_is_one_page_at_full_size() -> None:
    job = make_job(template={"paper": "one sheet"})
    data = only(build_packet(job, [Part.TEMPLATE]), "one-sheet.pdf")
    check_pdf(data)
    with pdfplumber.open(BytesIO(data)) as document:
        assert len(document.pages) == 1
        assert float(document.pages[0].width) > 285 / to_mm(1.0, Unit.IN) * 72


@pytest.mark.slow
def test_the_public_api_reads_as_its_documentation_says() -> None:
    centers = BoltCircle(diameter=240, hole_count=8, hole_diameter=22, placement="straddle").hole_centers()
    assert [math.hypot(at.x, at.y) for at in centers] == pytest.approx([120.0] * 8)
    packet = build_packet(load_job(PROJECT / "samples" / "intake-adapter.toml"))
    assert len(packet) == 7
    assert all(isinstance(content, bytes) and content for content in packet.values())
