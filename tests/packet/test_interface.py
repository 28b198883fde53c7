"""The Python interface: what a packet depends on, and a flange drawn with no file behind it."""

from pathlib import Path

import pytest

from flangelayout import (
    BoltCircle,
    Flange,
    InputError,
    Part,
    Placement,
    RoundOutline,
    Unit,
    build_packet,
    draw_flange,
    job_of_flange,
    load_job,
    with_printer,
)
from flangelayout.cli import run
from flangelayout.drawing.printer import Printer
from flangelayout.files.printers import keep_printer
from flangelayout.files.settings import settings_folder
from flangelayout.value import replace
from jobs import job_data, make_job, toml_text
from readers import dxf_circles, pdf_text
from rows import every_row

PLATE = Flange(RoundOutline(285), (BoltCircle(240, 8, 22),), bore=170, thickness=22)


def test_a_packet_depends_on_its_job_and_not_on_what_this_user_keeps(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "job.toml"
    path.write_text(toml_text(job_data()), encoding="utf-8")
    bare = build_packet(load_job(path))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    settings_folder().mkdir(parents=True)
    (settings_folder() / "shop.toml").write_text('units = "in"\n[cut]\nkerf = 0.06\n', encoding="utf-8")
    keep_printer(Printer("office", 0.99, 1.01, "A4", "2026-11-25"))
    assert build_packet(load_job(path)) == bare


def test_draw_writes_what_the_library_makes(tmp_path: Path) -> None:
    path, out = tmp_path / "job.toml", tmp_path / "out"
    path.write_text(toml_text(job_data()), encoding="utf-8")
    assert run(["draw", str(path), "--into", str(out)]) == 0
    assert {file.name: file.read_bytes() for file in out.iterdir() if file.is_file()} == build_packet(load_job(path))


def test_a_template_for_a_printer_needs_that_printer_given(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    keep_printer(Printer("office", 0.99, 1.01, "A4", "2026-11-25"))
    job = make_job(template={"printer": "office"})
    with pytest.raises(InputError, match=r"template\.printer"):
        build_packet(job, [Part.TEMPLATE])
    given = build_packet(with_printer(job), [Part.TEMPLATE])
    by_hand = replace(job.template, measured=Printer("office", 0.99, 1.01, "A4", "2026-11-25"))
    assert given == build_packet(replace(job, template=by_hand), [Part.TEMPLATE])
    assert "T-1-A_template_A4_for-office.pdf" in given
    assert with_printer(make_job()) == make_job()


def test_a_flange_is_drawn_in_three_lines() -> None:
    files = draw_flange(PLATE, "H-114", "Intake ring")
    assert {"H-114-A_cut_mm.dxf", "H-114-A_sheet.pdf", "H-114-A_template_A4.pdf"} <= set(files)
    found = sorted(2 * circle.radius for circle in dxf_circles(files["H-114-A_cut_mm.dxf"]))
    assert found == pytest.approx([22] * 8 + [170, 285])
    text = "".join(pdf_text(files["H-114-A_sheet.pdf"]))
    assert "Intake ring" in text
    assert "H-114" in text
    assert draw_flange(PLATE, "H-114", "Intake ring") == files


def test_a_flange_in_inches_has_files_in_inches() -> None:
    assert list(draw_flange(PLATE, "H-114", unit=Unit.IN, revision="C", parts=[Part.HOLES])) == ["H-114-C_holes_in.csv"]


def test_the_job_of_a_flange_is_that_of_a_file_with_the_same_numbers() -> None:
    ours, theirs = job_of_flange(PLATE, "T-1", "Test plate"), make_job()
    assert ours.flange.holes() == theirs.flange.holes()
    assert (ours.cut, ours.machine, ours.template, ours.sheet) == (
        theirs.cut,
        theirs.machine,
        theirs.template,
        theirs.sheet,
    )
    assert (ours.limits, ours.findings) == (theirs.limits, theirs.findings)


@every_row(
    "other",
    [
        job_of_flange(PLATE, "T-2"),
        job_of_flange(PLATE, "T-1", revision="B"),
        job_of_flange(PLATE, "T-1", unit=Unit.IN),
        job_of_flange(replace(PLATE, thickness=23), "T-1"),
        job_of_flange(
            Flange(RoundOutline(285), (BoltCircle(240, 8, 22, placement=Placement.ON_CENTERLINE),), 170, 22), "T-1"
        ),
    ],
)
def test_whatever_differs_gives_another_digest(other: object) -> None:
    assert job_of_flange(PLATE, "T-1").digest != getattr(other, "digest", None)


def test_a_flange_that_contradicts_itself_is_refused() -> None:
    with pytest.raises(InputError, match="overlap"):
        draw_flange(Flange(RoundOutline(285), (BoltCircle(240, 40, 22),)), "H-1")
