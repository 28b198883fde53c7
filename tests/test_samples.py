"""The finished jobs of ``samples/``: published figures, and the files beside them are what the program makes."""

from pathlib import Path

import pytest

import flangelayout
from flangelayout import build_packet, load_job
from flangelayout.batch.sources import job_sources, load_source
from flangelayout.checks import Rule
from flangelayout.drawing.settings import TemplateSettings
from flangelayout.flange.claims import met_rows
from flangelayout.nest import Stock
from flangelayout.packet.job import face_template
from flangelayout.packet.nest import build_nest
from flangelayout.views.template.pages import template_sheets
from readers import pdf_text
from rows import first_of

SAMPLES = Path(flangelayout.__file__).parents[1] / "samples"
JOBS = sorted(SAMPLES.glob("*.toml"))

# Bolt circle in mm, holes, hole diameter in mm, as published:
# EN 1092-1 by a maker's sheet of connecting dimensions; ASME B16.5 Table 7; AWWA C207 Class D as ASME B16.47 A-150.
PUBLISHED = {
    "intake-ring": [(240.0, 8, 22.0)],
    "intake-adapter": [(295.0, 8, 22.0), (180.0, 8, 18.0)],
    "settling-tank-ring": [(11.75 * 25.4, 8, 0.875 * 25.4)],
    "header-ring": [(42.75 * 25.4, 32, 1.625 * 25.4)],
}


@pytest.mark.parametrize("name", PUBLISHED)
def test_a_sample_has_the_figures_of_the_published_table(name: str) -> None:
    circles = load_job(SAMPLES / f"{name}.toml").flange.bolt_circles
    figures = [figure for circle in circles for figure in (circle.diameter, circle.hole_count, circle.hole_diameter)]
    assert figures == pytest.approx([figure for row in PUBLISHED[name] for figure in row])
    assert all(met_rows(circle) for circle in circles)


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_a_sample_is_sound_and_belongs_to_the_hatchery(path: Path) -> None:
    job = load_job(path)
    assert job.info.owner == "Marrow Beck Hatchery"
    assert not any(finding.failed for finding in job.findings)
    assert not [finding for finding in job.findings if finding.rule is Rule.FONT and finding.failed]


def test_samples_have_numbers_of_their_own() -> None:
    numbers = [load_job(path).info.number for path in JOBS]
    assert len(set(numbers)) == len(numbers) >= 4


def test_the_large_ring_runs_over_many_pages() -> None:
    job = load_job(SAMPLES / "header-ring.toml")
    sheets = template_sheets(face_template(job), TemplateSettings(job.template.paper))
    assert len(sheets.sheets) > 20


@pytest.mark.parametrize("path", first_of(JOBS))
def test_files_kept_beside_a_sample_are_what_it_makes(path: Path) -> None:
    packet = build_packet(load_job(path))
    kept = {file.name: file for file in SAMPLES.rglob("*") if file.name in packet}
    for name, file in kept.items():
        assert file.read_bytes() == packet[name], f"{file}: draw the samples again"
    lead = next(iter(packet)).split("_")[0]
    stray = [file.name for file in SAMPLES.rglob(f"{lead}_*") if file.name not in packet and file.suffix != ".png"]
    assert not stray


@pytest.mark.slow
def test_the_list_is_sound_and_its_nest_is_the_files_beside_it() -> None:
    jobs = [load_source(source) for source in job_sources([str(SAMPLES / "plate-20-list.csv")])]
    assert {job.info.owner for job in jobs} == {"Marrow Beck Hatchery"}
    assert not any(finding.failed for job in jobs for finding in job.findings)
    packet = build_nest(jobs, Stock(2500.0, 1250.0, 10.0, 8.0), "plate-20")
    assert not packet.missing
    kept = {file.name: file.read_bytes() for file in SAMPLES.glob("plate-20_*")}
    for files in (kept, packet.files):  # where a mark stands on its part may change with the library that finds room
        files |= {name: "".join(pdf_text(data)).encode() for name, data in files.items() if name.endswith(".pdf")}
    assert kept == packet.files, "nest the list again: the README says how"
