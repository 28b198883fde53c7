"""``flangelayout cards``, ``photo`` and ``scan``: what they write, say and refuse."""

import io
import json
import tomllib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from flangelayout.cli import run
from flangelayout.drawing.scanner import Scanner
from flangelayout.files.scanners import find_scanner, keep_scanner, scanners_file
from flangelayout.packet.photo import looked_at
from flangelayout.views.photo.words import DOUBTS, NOT_TRIED
from flangelayout.vision.finds import Overlay, Qualm
from readers import pdf_text
from rows import every_row
from vision.rendered import jpeg
from vision.scanned import Glass, page_scanned, scan_of_holes
from vision.scenes import shots, small

Capture = pytest.CaptureFixture[str]


@pytest.fixture(autouse=True)
def elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder, a user file and a date of its own for every test."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setattr("platformdirs.user_config_path", lambda *_args, **_kinds: tmp_path / "config")
    monkeypatch.setattr("flangelayout.cli.printer.today", lambda: "2026-11-26")


@pytest.mark.slow
def test_cards_are_written_and_kept(capsys: Capture) -> None:
    assert run(["cards", "--paper", "Letter"]) == 0
    file = Path("photo-cards_Letter.pdf")
    assert "wrote photo-cards_Letter.pdf" in capsys.readouterr().out
    assert NOT_TRIED in " ".join(pdf_text(file.read_bytes()))
    file.write_bytes(b"mine")
    assert run(["cards", "--paper", "Letter"]) == 2
    assert file.read_bytes() == b"mine"
    assert run(["cards", "--printer", "nobody"]) == 2
    assert "nobody" in capsys.readouterr().err


def test_every_doubt_has_words() -> None:
    assert set(DOUBTS) == set(Qualm)


REFUSALS = {
    "no such file": (["photo", "none.jpg"], "none.jpg"),
    "HEIC": (["photo", "P.heic"], "set the phone to JPEG"),
    "no card": (["photo", "P.jpg"], "flangelayout cards"),
    "no picture": (["photo", "text.jpg"], "no picture"),
    "a bar of another page": (["photo", "P.jpg", "--bars", "150", "200"], "fit to page"),
    "no length": (["photo", "P.jpg", "--circle", "round"], "--circle"),
    "two holes": (["photo", "P.jpg", "--holes", "2"], "make no ring"),
    "a printer nobody measured": (["photo", "P.jpg", "--printer", "office"], "office"),
    "a hole that is not there": (["photo", "P.jpg", "--without", "9"], "there is no hole 9; the holes are 1 to 8"),
    "a photo to be written over": (["photo", "P.jpg", "--picture", "P.jpg"], "name another: --picture"),
    "a job that is there": (["photo", "P.jpg", "--save", "text.jpg"], "name another file after --save"),
    "bars with holes": (["scan", "P.jpg", "--dpi", "75", "--bars", "200", "200"], "bars measure a scanner"),
}


@every_row("case", list(REFUSALS))
def test_refusals_are_one_line_with_a_cure_and_write_nothing(case: str, capsys: Capture) -> None:
    Path("P.jpg").write_bytes(jpeg(np.full((900, 1200), 90, dtype=np.uint8)))
    Path("P.heic").write_bytes(b"\0\0\0\x18ftypheic" + b"\0" * 40)
    Path("text.jpg").write_text("no picture")
    before = {path: path.read_bytes() for path in Path().iterdir()}
    words, told = REFUSALS[case]
    asked = [] if "--holes" in words else ["--holes", "8"]
    assert run([*words, *asked, "--hole-diameter", "22.1"]) == 2
    err = capsys.readouterr().err
    assert told in err
    assert len(err.splitlines()) == 1
    assert {path: path.read_bytes() for path in Path().iterdir()} == before


def test_the_hole_diameter_is_asked_for_once(capsys: Capture) -> None:
    Path("P.jpg").write_bytes(jpeg(np.full((900, 1200), 90, dtype=np.uint8)))
    for words in ([], ["--hole-diameter", "wide"]):
        assert run(["photo", "P.jpg", "--holes", "8", *words]) == 2
        err = capsys.readouterr().err
        assert err.count("--hole-diameter") == 1


def test_pictures_drawn_by_an_earlier_call_are_no_photos(capsys: Capture) -> None:
    flat = np.full((900, 1200), 90, dtype=np.uint8)
    Path("P.jpg").write_bytes(jpeg(flat))
    nothing = np.zeros((0, 2))
    Path("P-holes.jpg").write_bytes(looked_at(flat, Overlay((), (), (), nothing, nothing)))
    assert run(["photo", "P.jpg", "P-holes.jpg", "--holes", "8", "--hole-diameter", "22.1"]) == 2
    first, second = capsys.readouterr().err.splitlines()
    assert "P-holes.jpg: left out" in first
    assert "P.jpg: shows no card" in second


def png(image: np.ndarray) -> bytes:
    file = io.BytesIO()
    Image.fromarray(image).save(file, "PNG")
    return file.getvalue()


@pytest.mark.slow
def test_a_scan_of_a_gasket_is_told_drawn_and_kept_as_a_job(capsys: Capture) -> None:
    rng = np.random.default_rng(1)
    angles = np.radians([10.0, 100.0, 190.0, 280.0])
    holes = 60 * np.stack([np.cos(angles), np.sin(angles)], axis=1)
    sizes = np.column_stack([np.full(4, 18.0), np.zeros((4, 2))])
    image = scan_of_holes(Glass(dpi=75, size=(160.0, 160.0)), holes, sizes, False, rng)
    Path("G.png").write_bytes(png(image))
    keep_scanner(Scanner("flat", 1.0, 1.0, 0.0, "2026-11-26"))
    words = ["scan", "G.png", "--dpi", "75", "--holes", "4", "--hole-diameter", "18", "--scanner", "FLAT"]
    assert run([*words, "--save", "G.toml"]) == 0
    out = capsys.readouterr().out
    assert NOT_TRIED in out
    assert DOUBTS[Qualm.GASKET_CREEPS] in out
    assert DOUBTS[Qualm.SCANNER_UNMEASURED] not in out
    with Image.open("G-holes.jpg") as picture:
        assert picture.width == image.shape[1]
    job = tomllib.loads(Path("G.toml").read_text(encoding="utf-8"))
    assert len(job["survey"]["reading"]) == 9
    assert job["survey"]["reading"][0]["scale"] == "scan"
    assert run(["measure", "--job", "G.toml", "--json"]) == 0
    again = json.loads(capsys.readouterr().out)
    assert run([*words, "--json"]) == 0
    first = json.loads(capsys.readouterr().out)
    assert again["diameter"] == pytest.approx(first["survey"]["diameter"], abs=1e-3)
    assert len(first["found"]["covariance"]) == 8
    Path("G-holes.jpg").unlink()
    assert run(["scan", "G.png", "--dpi", "75", "--holes", "5", "--hole-diameter", "18"]) == 2
    assert "wrote G-holes.jpg; it shows what was seen" in capsys.readouterr().err
    assert Path("G-holes.jpg").stat().st_size > 5000
    assert run(["scan", "G.png", "--dpi", "75", "--holes", "4", "--hole-diameter", "18"]) == 0
    assert DOUBTS[Qualm.SCANNER_UNMEASURED] in capsys.readouterr().out


def test_scanners_are_kept_and_a_damaged_file_is_told(capsys: Capture) -> None:
    keep_scanner(Scanner("flat", 1.0012, 0.9991, 0.03, "2026-11-26"))
    assert find_scanner("Flat", "--scanner") == Scanner("flat", 1.0012, 0.9991, 0.03, "2026-11-26")
    for damage in ("[flat]\nacross = 2.0\nalong = 1.0\nskew_deg = 0\ndate = ''\n", "[flat]\nacross = 1\n", "[[["):
        scanners_file().write_text(damage)
        assert run(["scan", "x.png", "--dpi", "75", "--holes", "4", "--hole-diameter", "18", "--scanner", "flat"]) == 2
        assert "scanners.toml" in capsys.readouterr().err
    assert run(["scan", "x.png", "--dpi", "75"]) == 2
    assert len(capsys.readouterr().err.splitlines()) == 2


@pytest.mark.slow
def test_a_scanner_is_measured_by_the_page_of_cards(capsys: Capture) -> None:
    Path("C.png").write_bytes(png(page_scanned()))
    assert run(["scan", "C.png", "--dpi", "120", "--scanner", "flat", "--bars", "199.4", "140.28"]) == 0
    assert "flat: a mm of its scans is 1.00" in capsys.readouterr().out
    assert find_scanner("flat", "").across == pytest.approx(1.0021, abs=3e-4)


@pytest.mark.slow
def test_photos_give_a_picture_a_circle_and_a_job_that_a_caliper_reading_makes_better(capsys: Capture) -> None:
    at = small()
    for index, gray in enumerate(shots(), 1):
        Path(f"P{index}.jpg").write_bytes(jpeg(gray, 92))
    hole = round(at.plate.hole, 1)
    words = ["photo", "P1.jpg", "P2.jpg", "P3.jpg", "--holes", "8", "--hole-diameter", str(hole), "--json"]
    words += ["--bars", "200", "200"]
    assert run(words) == 0
    alone = json.loads(capsys.readouterr().out)["survey"]
    far = np.hypot(*(at.plate.holes[0] - at.plate.holes[4])) + at.plate.hole
    assert run([*words, "--far-edges", f"{far:.2f}@4", "--save", "J.toml"]) == 0
    both = json.loads(capsys.readouterr().out)["survey"]
    assert abs(alone["diameter"] - 262) < 0.35
    assert abs(both["diameter"] - 262) < 0.35
    assert both["expanded_uncertainty"] < alone["expanded_uncertainty"] < 0.4
    assert len(list(Path().glob("P*-holes.jpg"))) == 1
    assert tomllib.loads(Path("J.toml").read_text())["survey"]["scale_within"] == pytest.approx(0.057)
