import json
from pathlib import Path

import pytest

from flangelayout.cli import run
from jobs import job_data, toml_text


@pytest.fixture
def job_file(tmp_path: Path) -> str:
    path = tmp_path / "T-1.toml"
    circle = {"diameter": 240, "hole_count": 7, "hole_diameter": 22}
    path.write_text(toml_text(job_data(bolt_circle=[circle])), encoding="utf-8")
    return str(path)


def test_dividing_and_rotary_settings_are_shown_unless_told(job_file: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["machine", job_file]) == 0
    shown = capsys.readouterr().out
    # 40 / 7 = 5 5/7 turns: 15 spaces of 21. 360 / 7 deg = 51 deg 25' 43".
    assert "40:1 head, three plates: 21-hole circle of plate 2 (or 49), each step 5 turns and 15 spaces" in shown
    assert "51° 25′ 43″" in shown


def test_coordinates_follow_zero_and_unit(job_file: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["machine", job_file, "--show", "readout", "--zero", "corner", "--units", "in"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "readout, zero at the corner, in"
    assert lines[1].split() == ["hole", "x_in", "y_in", "hole_diameter_in", "made"]
    assert len(lines) == 2 + 7 + 1
    assert {line.split()[-1] for line in lines[2:-1]} == {"⌀0.866"}


def test_a_program_is_shown_when_asked_for(job_file: str, capsys: pytest.CaptureFixture[str]) -> None:
    text = Path(job_file).read_text(encoding="utf-8")
    assert run(["machine", job_file, "--show", "program"]) == 2
    assert "no drilling program is written: its feed and speed are not stated" in capsys.readouterr().err
    Path(job_file).write_text(f"{text}\n[machine]\nfeed = 80\nspeed = 200\n", encoding="utf-8")
    assert run(["machine", job_file, "--show", "program"]) == 0
    shown = capsys.readouterr().out
    assert shown.startswith("%\n(JOB T-1 REV A")
    assert shown.endswith("M30\n%\n")


def test_json_is_one_document(job_file: str, capsys: pytest.CaptureFixture[str]) -> None:
    text = Path(job_file).read_text(encoding="utf-8")
    Path(job_file).write_text(f"{text}\n[machine]\nfeed = 80\nspeed = 200\n", encoding="utf-8")
    assert run(["machine", job_file, "--show", "readout,dividing,program", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert [len(table["rows"]) for table in document["tables"]] == [7, 7]
    assert document["program"].startswith("%")


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--show", "punch"], '--show: "punch" is not known; use readout, dividing, rotary, program'),
        (["--show", " , "], "--show: names nothing"),
        (["--zero", "middle"], "middle"),
    ],
)
def test_wrong_usage_is_told_in_one_line(
    job_file: str, options: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["machine", job_file, *options]) == 2
    assert said in capsys.readouterr().err


def test_a_program_without_thickness_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "T-2.toml"
    path.write_text(toml_text(job_data(plate={"outside_diameter": 285})), encoding="utf-8")
    assert run(["machine", str(path), "--show", "program"]) == 2
    assert "machine.depth: is missing" in capsys.readouterr().err


def test_draw_prints_the_estimate_where_a_process_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "T-3.toml"
    path.write_text(toml_text(job_data(cut={"process": "laser"})), encoding="utf-8")
    assert run(["draw", str(path), "--only", "cut"]) == 0
    assert "estimate for one part: cut 1982 mm, 10 pierces, mass not known" in capsys.readouterr().out
    assert run(["draw", str(path), "--only", "cut", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["estimate"]["pierces"] == 10


def test_draw_tells_in_which_file_a_kerf_finds_no_room(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "T-4.toml"
    circle = {"diameter": 240, "hole_count": 8, "hole_diameter": 3}
    path.write_text(toml_text(job_data(bolt_circle=[circle], cut={"kerf": 3.2})), encoding="utf-8")
    assert run(["draw", str(path), "--only", "cut"]) == 2
    said = capsys.readouterr().err
    assert "T-4.toml: line " in said
    assert "cut.kerf: a kerf of 3.2 mm closes bolt circle, hole 1, 3 mm in diameter" in said
    assert [each.name for each in tmp_path.iterdir()] == ["T-4.toml"]


def test_a_plate_without_holes_is_told_and_no_empty_page_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "T-1.toml"
    path.write_text(toml_text(job_data(bolt_circle=[])), encoding="utf-8")
    assert run(["machine", str(path), "--into", str(tmp_path)]) == 2
    assert "the plate has no hole" in capsys.readouterr().err
    assert [each.name for each in tmp_path.iterdir()] == ["T-1.toml"]
