"""``flangelayout draw`` from the outside: what it writes, prints, refuses and returns."""

import hashlib
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from flangelayout import load_job
from flangelayout.cli import run
from flangelayout.files import store
from flangelayout.files.records import RECORDS_FOLDER
from jobs import HOSTILE_TEXTS, job_data, toml_text
from readers import dxf_document, pdf_circles, pdf_pages_text, svg_circles

PROJECT = Path(store.__file__).parents[2]
PARTS = ("_cut_mm.dxf", "_cut_mm.svg", "_template_A4.pdf", "_template_mm.svg", "_sheet.pdf", "_sheet_mm.dxf")
FILES = [f"T-1-A{part}" for part in (*PARTS, "_holes_mm.csv")]
CUT = FILES[:2]


def job_file(folder: Path, name: str = "job.toml", **tables: object) -> Path:
    path = folder / name
    path.write_text(toml_text(job_data(**tables)), encoding="utf-8")
    return path


def written(folder: Path) -> list[str]:
    """The names of a folder that are no job files and not the records."""
    return sorted(path.name for path in folder.iterdir() if path.suffix != ".toml" and path.name != RECORDS_FOLDER)


def told(capsys: pytest.CaptureFixture[str]) -> list[str]:
    """The lines of standard error, nothing having been printed on standard output."""
    out, err = capsys.readouterr()
    assert out == ""
    assert "Traceback" not in err
    return err.splitlines()


def test_the_packet_stands_beside_the_job(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = job_file(tmp_path)
    assert run(["draw", str(path)]) == 0
    assert written(tmp_path) == sorted(FILES)
    out, err = capsys.readouterr()
    assert err == ""
    heading, *lines, estimate = out.splitlines()
    assert heading == f"T-1 rev A · {load_job(path).digest[:10]} · Test plate"
    assert lines == [f"  wrote     {tmp_path / name}" for name in FILES]
    # Eight holes of 22, a bore of 170 and an outside of 285 mm: pi x (8 x 22 + 170 + 285) = 1982.4 mm, ten pierces.
    assert estimate.startswith("  estimate for one part: cut 1982 mm, 10 pierces, ")


def test_the_second_time_nothing_changes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = job_file(tmp_path)
    run(["draw", str(path), "--only", "cut"])
    stamps = {name: (tmp_path / name).stat().st_mtime_ns for name in CUT}
    capsys.readouterr()
    assert run(["draw", str(path), "--only", "cut"]) == 0
    assert capsys.readouterr().out.count("unchanged") == len(CUT)
    assert {name: (tmp_path / name).stat().st_mtime_ns for name in CUT} == stamps


def test_a_changed_job_needs_another_revision_or_force(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = job_file(tmp_path)
    run(["draw", str(path), "--only", "cut"])
    before, drawn = load_job(path).digest[:10], (tmp_path / FILES[1]).read_bytes()
    job_file(tmp_path, plate={"outside_diameter": 290})
    capsys.readouterr()
    assert run(["draw", str(path), "--only", "cut"]) == 2
    (line,) = told(capsys)
    assert line == (
        f"flangelayout: T-1 rev A was drawn into {tmp_path} before from job.toml as it was then (digest {before}), "
        f"and has changed since (digest {load_job(path).digest[:10]}); "
        'write revision = "B" or another number into its [job], or replace what was drawn: --force'
    )
    assert (tmp_path / FILES[1]).read_bytes() == drawn
    assert run(["draw", str(path), "--only", "cut", "--force"]) == 0
    assert svg_circles((tmp_path / FILES[1]).read_bytes(), 290)[-1].radius == pytest.approx(145)
    job_file(tmp_path, job={"number": "T-1", "revision": "B"}, plate={"outside_diameter": 295})
    assert run(["draw", str(path), "--only", "cut"]) == 0


def test_another_job_of_the_same_number_is_refused_and_says_from_where(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    one = job_file(tmp_path, "n1.toml")
    run(["draw", str(one), "--only", "holes"])
    other = job_file(tmp_path, "n2.toml", plate={"outside_diameter": 290})
    capsys.readouterr()
    assert run(["draw", str(other), "--only", "cut"]) == 2
    (line,) = told(capsys)
    assert f"was drawn into {tmp_path} before from n1.toml (digest {load_job(one).digest[:10]})" in line
    assert f"and n2.toml is another job (digest {load_job(other).digest[:10]})" in line
    assert written(tmp_path) == ["T-1-A_holes_mm.csv"]


def test_a_comment_more_or_other_parts_make_no_other_job(tmp_path: Path) -> None:
    path = job_file(tmp_path)
    assert run(["draw", str(path), "--only", "holes"]) == 0
    path.write_text("# for Thursday\n" + path.read_text(encoding="utf-8"), encoding="utf-8")
    assert run(["draw", str(path), "--only", "cut"]) == 0
    assert written(tmp_path) == sorted([*CUT, FILES[-1]])


@pytest.mark.parametrize("only", [["--only", "cut, holes"], ["--only", "cut", "--only", "holes"]])
def test_only_some_parts_into_another_folder(tmp_path: Path, only: list[str]) -> None:
    folder = tmp_path / "for" / "the shop"
    assert run(["draw", str(job_file(tmp_path)), "--into", str(folder), *only]) == 0
    assert written(folder) == ["T-1-A_cut_mm.dxf", "T-1-A_cut_mm.svg", "T-1-A_holes_mm.csv"]
    assert written(tmp_path) == ["for"]


@pytest.mark.parametrize(
    ("only", "words"), [("cut,lid", '"lid" is no part of a packet; use cut'), (",", "names no part")]
)
def test_parts_that_do_not_exist_are_wrong_usage(
    only: str, words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["draw", str(job_file(tmp_path)), "--only", only]) == 2
    (line,) = told(capsys)
    assert line.startswith(f"flangelayout: --only: {words}")
    assert written(tmp_path) == []


def test_the_json_document_is_all_of_standard_output(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = job_file(tmp_path, bolt_circle=[{"diameter": 240, "hole_count": 6, "hole_diameter": 22}])
    assert run(["draw", str(path), "--json"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    document = json.loads(out)
    assert document["job"] == {"number": "T-1", "revision": "A", "digest": load_job(path).digest}
    assert set(document) == {"job", "said", "files", "findings", "estimate"}
    assert [each["name"] for each in document["files"]] == FILES
    for each in document["files"]:
        assert set(each) == {"name", "path", "bytes", "sha256"}
        content = Path(each["path"]).read_bytes()
        assert (each["bytes"], each["sha256"]) == (len(content), hashlib.sha256(content).hexdigest())
    (finding,) = document["findings"]
    assert (finding["rule"], finding["result"], finding["where"]) == ("placement", "note", "bolt_circle.placement")
    assert run(["check", str(path), "--json"]) == 0
    assert finding in json.loads(capsys.readouterr().out)["findings"]
    assert out.isascii()  # whatever the encoding of the pipe


@pytest.mark.slow
def test_several_jobs_give_a_list_of_documents(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    paths = [job_file(tmp_path, f"{number}.toml", job={"number": number}) for number in ("H-1", "H-2")]
    assert run(["draw", *map(str, paths), "--json", "--only", "cut"]) == 0
    documents = json.loads(capsys.readouterr().out)
    assert [document["job"]["number"] for document in documents] == ["H-1", "H-2"]


def test_findings_are_printed_below_the_files(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    circle = {"diameter": 240, "hole_count": 8, "hole_diameter": 22, "placement": "on-centerline", "bolt": "M24"}
    path = job_file(tmp_path, bolt_circle=[circle])
    assert run(["draw", str(path), "--only", "cut"]) == run(["draw", str(path), "--only", "cut"]) == 1
    placed, thick, look, _estimate = capsys.readouterr().out.splitlines()[-4:]
    assert look == "  not issued: 1 check failed"
    assert placed.startswith("  note: bolt_circle.placement: ")
    assert thick.startswith(
        "  failed: bolt_circle.bolt: bolt circle: M24, 24 mm thick, does not go through a hole of 22"
    )


def test_a_traveller_of_the_job_as_it_was_is_named_beside_what_is_drawn(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = job_file(tmp_path)
    assert run(["draw", str(path), "--only", "holes"]) == run(["traveller", str(path)]) == 0
    assert run(["draw", str(path), "--only", "cut"]) == 0
    assert "as it was before" not in capsys.readouterr().out
    path.write_text(path.read_text(encoding="utf-8").replace("285", "290"), encoding="utf-8")
    assert run(["draw", str(path), "--only", "holes", "--force"]) == 0
    (told,) = [line for line in capsys.readouterr().out.splitlines() if "as it was before" in line]
    assert "T-1-A_traveller.pdf" in told
    assert "T-1-A_cut_mm.dxf" in told
    assert "holes" not in told
    assert run(["traveller", str(path)]) == run(["draw", str(path), "--only", "cut"]) == 0
    assert "as it was before" not in capsys.readouterr().out


def test_every_problem_of_every_job_is_a_line_and_only_the_sound_one_is_drawn(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    good = job_file(tmp_path, "good.toml")
    bad = job_file(tmp_path, "bad.toml", plate={"outside_diameter": -1, "bor": 3})
    worse = tmp_path / "worse.toml"
    worse.write_bytes(b"\xff")
    missing = tmp_path / "missing.toml"
    assert run(["draw", *map(str, (good, bad, worse, missing)), "--only", "cut"]) == 2
    err = capsys.readouterr().err
    assert "Traceback" not in err
    lines = err.splitlines()
    assert [line.split(": ")[1] for line in lines] == [str(path) for path in (bad, bad, worse, missing)]
    assert "plate.outside_diameter: -1 is not greater than 0" in lines[0]
    assert "plate.bor: unknown key; did you mean bore?" in lines[1]
    assert written(tmp_path) == CUT


def test_two_jobs_that_would_write_the_same_files_are_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    one, other = job_file(tmp_path, "one.toml"), job_file(tmp_path, "other.toml", plate={"outside_diameter": 290})
    assert run(["draw", str(one), str(other)]) == 2
    first, second = capsys.readouterr().err.splitlines()
    assert first.startswith(f"flangelayout: {one}: makes the same files as {other}")
    assert second.startswith(f"flangelayout: {other}: makes the same files as {one}")
    assert second.endswith("give one of them another number or revision")
    assert written(tmp_path) == []


def test_a_job_named_twice_is_drawn_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = str(job_file(tmp_path))
    assert run(["draw", path, path, "--only", "cut"]) == 0
    assert capsys.readouterr().out.count("T-1 rev A") == 1


def test_a_template_beyond_a_page_stops_before_anything_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    large = job_file(tmp_path, "large.toml", plate={"outside_diameter": 6000}, template={"paper": "one sheet"})
    assert run(["draw", str(large)]) == 2
    (line,) = told(capsys)
    assert "14400 pt" in line
    assert "tiled template" in line
    assert written(tmp_path) == []


def test_a_foreign_file_is_refused_by_name_and_left_alone_until_forced(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = job_file(tmp_path)
    (tmp_path / FILES[0]).write_bytes(b"mine")
    assert run(["draw", str(path), "--only", "cut"]) == 2
    (line,) = told(capsys)
    assert line.startswith(f"flangelayout: {tmp_path / FILES[0]}: was not written by this program; rename it")
    assert written(tmp_path) == [FILES[0]]
    assert (tmp_path / FILES[0]).read_bytes() == b"mine"
    assert run(["draw", str(path), "--only", "cut", "--force"]) == 0
    assert written(tmp_path) == CUT


def test_an_edited_drawing_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = job_file(tmp_path)
    run(["draw", str(path), "--only", "cut"])
    (tmp_path / FILES[1]).write_bytes(b"edited by hand")
    capsys.readouterr()
    assert run(["draw", str(path), "--only", "cut"]) == 2
    (line,) = told(capsys)
    assert line == (
        f"flangelayout: {tmp_path / FILES[1]}: was changed since this program wrote it; rename it, "
        "choose another folder with --into, or use --force"
    )


def test_a_full_disk_and_a_folder_in_the_way_are_told_in_a_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    path = job_file(tmp_path)
    assert run(["draw", str(path), "--only", "cut", "--into", str(path)]) == 2
    assert "cannot be written" in told(capsys)[0]

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    assert run(["draw", str(path), "--only", "cut"]) == 2
    (line,) = told(capsys)
    assert line == (f"flangelayout: {tmp_path}: cannot be written (No space left on device); choose another folder")
    assert written(tmp_path) == []


@pytest.mark.slow
def test_a_job_of_hostile_texts_gives_sound_files_and_says_what_the_font_lacks(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    texts = list(HOSTILE_TEXTS)
    fields = ("title", "owner", "customer", "drawn_by", "approved_by", "date", "status")
    every = dict(zip(fields, texts, strict=False))
    holes = {"diameter": 240, "hole_count": 8, "hole_diameter": 22}
    path = job_file(
        tmp_path,
        job={"number": texts[3][:100], "revision": texts[1], "notes": [text[:200] for text in texts], **every},
        plate={"outside_diameter": 285, "material": texts[5], "face": texts[2]},
        bolt_circle=[{**holes, "name": texts[4], "bolt": "M20", "mates_with": texts[8]}],
        hole=[{"diameter": 5, "x": 0, "y": 0, "name": texts[7]}],
    )
    folder = tmp_path / "out"
    assert run(["draw", str(path), "--into", str(folder), "--json"]) == 1
    document = json.loads(capsys.readouterr().out)
    lacking = {finding["where"] for finding in document["findings"] if finding["rule"] == "font"}
    assert {"job.date", "plate.material", "job.notes[6]"} <= lacking
    for each in document["files"]:
        assert_sound(each["name"], (folder / each["name"]).read_bytes())


def assert_sound(name: str, content: bytes) -> None:
    """A file of the plate with nine holes can be read, and its circles are found in it."""
    if name.endswith(".dxf"):
        audit = dxf_document(content).audit()
        assert not audit.errors
        assert not audit.fixes
    elif name.endswith("cut_mm.svg"):
        assert len(svg_circles(content, 285)) == 10
    elif name.endswith(".pdf"):
        assert len(pdf_circles(content)) >= 9
    else:
        assert content.decode().isascii() or content.decode("utf-8-sig")


def test_notes_longer_than_a_page_are_drawn_or_refused_in_a_line(tmp_path: Path) -> None:
    path = job_file(tmp_path, job={"number": "T-1", "notes": ["long " * 399] * 4})
    assert run(["draw", str(path)]) in (0, 2)


@pytest.mark.slow
@pytest.mark.parametrize("text", HOSTILE_TEXTS, ids=range(len(HOSTILE_TEXTS)))
def test_a_hostile_number_gives_files_that_can_be_named(text: str, tmp_path: Path) -> None:
    path = job_file(tmp_path, job={"number": text[:190]})
    assert run(["draw", str(path), "--into", str(tmp_path / "out")]) == run(["check", str(path)])
    assert len(written(tmp_path / "out")) == len(FILES)


def in_a_new_process(*arguments: str, folder: Path, **surroundings: str) -> "subprocess.CompletedProcess[bytes]":
    environment = {**os.environ, "PYTHONPATH": str(PROJECT), **surroundings}
    command = [sys.executable, "-m", "flangelayout", *arguments]
    return subprocess.run(command, env=environment, cwd=folder, capture_output=True, check=False, timeout=60)


@pytest.mark.slow
def test_it_runs_as_a_module_from_any_folder(tmp_path: Path) -> None:
    job_file(tmp_path)
    done = in_a_new_process("draw", "job.toml", folder=tmp_path)
    assert (done.returncode, done.stderr) == (0, b"")
    assert written(tmp_path) == sorted(FILES)
    wrong = in_a_new_process("draw", "none.toml", folder=tmp_path)
    assert wrong.returncode == 2
    assert wrong.stdout == b""
    assert wrong.stderr.decode().splitlines() == [
        "flangelayout: none.toml: cannot be read (No such file or directory); check the name and the folder"
    ]


@pytest.mark.slow
@pytest.mark.parametrize("encoding", ["cp1252", "utf-8"])
def test_a_terminal_that_cannot_show_a_text_does_not_stop_the_work(encoding: str, tmp_path: Path) -> None:
    job_file(tmp_path, job={"number": "T-1", "title": "魚"})
    done = in_a_new_process("draw", "job.toml", "--only", "cut", folder=tmp_path, PYTHONIOENCODING=encoding)
    assert (done.returncode, done.stderr) == (1, b""), "a text cannot be printed"


AS_STANDARD = {"standard": "EN 1092-1 PN16 DN150"}
"""EN 1092-1: 8 holes of 22 on 240 (maker's sheet of connecting dimensions)."""


def sheet_words(folder: Path) -> str:
    """Everything the layout sheet says, lines joined."""
    return pdf_pages_text((folder / "T-1-A_sheet.pdf").read_bytes())


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize(
    ("circle", "denied"),
    [
        ({}, ""),
        ({"diameter": 240, "hole_count": 8, "hole_diameter": 22}, ""),
        ({"diameter": 235, "hole_count": 6}, "bolt circle 235 (240), 6 holes (8)"),
        ({"hole_diameter": 26}, "hole 26 (22)"),
        ({"angles": [0, 46, 90, 135, 180, 225, 270, 315]}, "neighbors "),
        ({"skip": [2]}, "1 place not drilled"),
    ],
)
def test_a_standard_is_claimed_on_console_and_sheet_exactly_where_it_is_met(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], circle: dict[str, object], denied: str, paper: str
) -> None:
    path = job_file(tmp_path, bolt_circle=[AS_STANDARD | circle], sheet={"paper": paper})
    assert run(["draw", str(path), "--only", "sheet"]) == int(bool(denied))
    out, words = capsys.readouterr().out, sheet_words(tmp_path)
    for said in (out, words):
        assert (f"NOT AS EN 1092-1 PN16 DN150: {denied}" in said) is bool(denied)
    assert ("CHECK BEFORE CUTTING" in words) is bool(denied)
    assert ("Drilled to match EN 1092-1 PN16 DN150" in words) is not bool(denied)


def test_a_difference_that_is_meant_is_printed_and_warns_of_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    meant = {"diameter": 235, "differs": ["diameter"]}
    path = job_file(tmp_path, bolt_circle=[AS_STANDARD | meant])
    assert run(["draw", str(path), "--only", "sheet"]) == 1, "it no longer goes on its mate, which it names"
    words = sheet_words(tmp_path)
    assert "DIFFERS FROM EN 1092-1" in words
    assert "235 (240)" in words
    assert "NOT AS" not in words
    assert "to match" not in words
    assert "NOT AS" not in capsys.readouterr().out


def test_what_differs_is_said_only_of_a_standard(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    numbers = {"diameter": 240, "hole_count": 8, "hole_diameter": 22, "differs": ["diameter"]}
    path = job_file(tmp_path, bolt_circle=[numbers])
    assert run(["draw", str(path)]) == 2
    (line,) = told(capsys)
    assert "bolt_circle.differs: says what is meant to differ from a standard, but the circle names none" in line


def test_the_note_of_a_row_is_on_console_and_sheet(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = job_file(
        tmp_path, plate={"outside_diameter": 185, "bore": 70}, bolt_circle=[{"standard": "EN 1092-1 PN16 DN65"}]
    )
    assert run(["draw", str(path), "--only", "sheet"]) == 0
    out, words = capsys.readouterr().out, sheet_words(tmp_path)
    for said in (out, words):
        assert re.search(r"EN 1092-1 PN16 DN65: .*count the holes", said)
