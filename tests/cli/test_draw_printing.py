"""The options of ``flangelayout draw`` that are about paper: a printer, flipped tiles, pictures."""

import json
from io import BytesIO
from pathlib import Path

import pypdfium2
import pytest
from PIL import Image

from flangelayout.cli import run
from flangelayout.drawing.printer import Printer
from flangelayout.files.printers import keep_printer
from jobs import job_data, toml_text
from readers import pdf_curves


@pytest.fixture(autouse=True)
def config(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """User files of its own for every test."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setattr("platformdirs.user_config_path", lambda *_args, **_kinds: tmp_path / "config")


def job_file(folder: Path, **template: object) -> Path:
    path = folder / "plate.toml"
    path.write_text(toml_text(job_data(template={"paper": "A4", **template})), encoding="utf-8")
    return path


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir() if not path.name.startswith(".")}


@pytest.mark.slow
def test_pictures_of_every_page_are_named_like_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "out"
    words = ["draw", str(job_file(tmp_path)), "--into", str(out), "--only", "template,sheet", "--preview", "--json"]
    assert run(words) == 0
    listed = {file["name"] for file in json.loads(capsys.readouterr().out)["files"]}
    assert listed == names(out)
    for pdf in out.glob("*.pdf"):
        with pypdfium2.PdfDocument(pdf) as document:
            pages = len(document)
        expected = {f"{pdf.stem}_page-{page:02}.png" for page in range(1, pages + 1)}
        assert {name for name in names(out) if name.startswith(pdf.stem) and name.endswith(".png")} == expected
        for name in expected:
            assert Image.open(BytesIO((out / name).read_bytes())).format == "PNG"


def test_without_the_rasterizer_nothing_is_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("importlib.util.find_spec", lambda *_names: None)
    out = tmp_path / "out"
    assert run(["draw", str(job_file(tmp_path)), "--into", str(out), "--preview"]) == 2
    assert "install this program again" in capsys.readouterr().err
    assert not out.exists()


def test_a_template_for_a_printer_has_its_name(tmp_path: Path) -> None:
    keep_printer(Printer("office two", 0.994, 1.003, "A4", "2026-11-25"))
    out = tmp_path / "out"
    words = ["draw", str(job_file(tmp_path)), "--into", str(out), "--only", "template", "--printer", "Office Two"]
    assert run(words) == 0
    assert names(out) == {"T-1-A_template_A4_for-office-two.pdf", "T-1-A_template_mm.svg"}


def test_a_printer_that_was_measured_on_another_paper_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    keep_printer(Printer("office", 0.994, 1.003, "Letter", "2026-11-25"))
    keep_printer(Printer("hall", 0.994, 1.003, "A4", "2026-11-25"))
    for printer in ("office", "hall"):
        words = ["draw", str(job_file(tmp_path)), "--into", str(tmp_path), "--only", "template", "--printer", printer]
        assert run(words) == 0
        told = 'office was measured on Letter, this template is for A4: measure it again, flangelayout printer "office"'
        assert (told in capsys.readouterr().out) == (printer == "office")


@pytest.mark.slow
def test_option_and_key_make_the_same_pages(tmp_path: Path) -> None:
    keep_printer(Printer("office", 0.994, 1.003, "A4", "2026-11-25"))
    files = []
    for name, template, options in (
        ("a", {}, ["--printer", "office", "--flip-tiles"]),
        ("b", {"printer": "office", "flip_tiles": True}, []),
    ):
        folder = tmp_path / name
        folder.mkdir()
        assert run(["draw", str(job_file(folder, **template)), "--only", "template", *options]) == 0
        data = (folder / "T-1-A_template_A4_for-office.pdf").read_bytes()
        files.append([[curve["mm"] for curve in pdf_curves(data, page)] for page in (1, 2, 3)])
    assert files[0] == files[1]
    assert any(files[0])


def test_an_unmeasured_printer_is_refused_before_anything_is_drawn(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    assert run(["draw", str(job_file(tmp_path)), "--into", str(out), "--printer", "nobody"]) == 2
    assert run(["draw", str(job_file(tmp_path, printer="nobody")), "--into", str(out)]) == 2
    errors = capsys.readouterr().err.splitlines()
    assert len(errors) == 2
    assert "--printer" in errors[0]
    assert "template.printer" in errors[1]
    assert not out.exists()
