"""``flangelayout nest``: sizes as people write them, files, what is said, how it ends."""

import json
from pathlib import Path

import pytest

from batch_lists import row, write_list
from flangelayout.cli import run
from jobs import job_data, toml_text
from readers import pdf_text

pytestmark = pytest.mark.usefixtures("few_tries")


@pytest.fixture
def week(tmp_path: Path) -> Path:
    return write_list(tmp_path / "week.csv", [row(index) for index in range(3)])


def test_a_list_is_nested_and_told(week: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["nest", str(week), "--plate", "2500 x 1250", "--name", "week 12", "--spacing", "8"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert out.startswith("6 parts on 1 plate · ")
    for name in ("week-12_nest_mm.dxf", "week-12_nest.pdf", "week-12_nest_mm.csv"):
        assert f"  wrote     {week.parent / name}" in out
        assert (week.parent / name).exists()


def test_a_part_that_fails_a_check_is_named_on_the_sheet_and_by_the_exit_code(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A hole of 18 at 98 beside a bore of 170: 98 - 9 - 85 = 4 mm of metal, less than a quarter of the hole, 4.5."""
    hole = {"x": 0, "y": 98, "diameter": 18}
    (tmp_path / "G.toml").write_text(toml_text(job_data(job={"number": "G"}, hole=[hole])), encoding="utf-8")
    assert run(["nest", str(tmp_path / "G.toml"), "--plate", "1000x500", "--name", "g"]) == 1
    told, sheet = capsys.readouterr().err, " ".join(pdf_text((tmp_path / "g_nest.pdf").read_bytes()))
    assert "G: CHECK FAILED: from hole X1 to the bore the metal left is 4.00 mm, less than 4.50 mm" in told
    assert "CHECK FAILED: G rev A: from hole X1 to the bore the metal left is 4.00 mm" in sheet


@pytest.mark.parametrize(
    ("size", "length", "width"),
    [("2500x1250", 2500.0, 1250.0), ("1250X2500", 2500.0, 1250.0), ("96 x 48 in", 2438.4, 1219.2),
     ("96 in × 1.2 m", 2438.4, 1200.0)],
)  # fmt: skip
def test_a_plate_is_written_in_many_ways(
    size: str, length: float, width: float, week: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    # A sheet of 4 by 8 feet is 1219.2 by 2438.4 mm (25.4 mm to the inch: international inch of 1959).
    assert run(["nest", str(week), "--plate", size, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["plate"] == pytest.approx({"length": length, "width": width})


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (["--plate", "large"], "--plate: \"large\" is no size"),
        (["--plate", "2500"], "--plate"),
        (["--plate", "2500xabc"], "--plate"),
        (["--plate", "2500x1250", "--margin", "700"], "--margin: leaves nothing"),
        (["--plate", "2500x1250", "--spacing", "-1"], "--spacing"),
        (["--plate", "2500x1250", "--plates", "0"], "--plates"),
        (["--plate", "2500x1250", "--plates", "lots"], "as-needed"),
        (["--plate", "99999x1250"], '--plate: "99999" is not possible; use 1 to 20000 mm; it was read in "mm"'),
    ],
)  # fmt: skip
def test_a_size_that_cannot_be_is_refused(
    options: list[str], told: str, week: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["nest", str(week), *options]) == 2
    assert told in capsys.readouterr().err


def test_what_does_not_fit_is_said_and_the_rest_is_written(week: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["nest", str(week), "--plate", "600x300"]) == 1
    out, err = capsys.readouterr()
    assert out.startswith("2 parts on 1 plate")
    assert all(line.startswith("flangelayout: does not fit: ") for line in err.splitlines())
    assert run(["nest", str(week), "--plate", "600x300", "--plates", "as-needed"]) == 0
    assert "week_nest_3_mm.dxf" in capsys.readouterr().out


def test_nothing_fits_and_nothing_is_written(week: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["nest", str(week), "--plate", "200x200"]) == 1
    assert len(capsys.readouterr().err.splitlines()) == 3
    assert [path.name for path in week.parent.iterdir()] == ["week.csv"]


def test_a_bad_row_is_told_and_nothing_is_nested(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = write_list(tmp_path / "week.csv", [row(0), row(1, bore=900)])
    assert run(["nest", str(path), "--plate", "2500x1250"]) == 2
    assert f"{path} row 3: plate.bore" in capsys.readouterr().err


def test_json_tells_where_each_part_lies(week: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["nest", str(week), "--plate", "600x300", "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert told["plates"] == 1
    assert len({part["mark"] for part in told["parts"]}) == 2
    assert sum(left["count"] for left in told["left_over"]) == 4
    assert all(0 < part["x"] < 600 for part in told["parts"])


def test_parts_of_another_thickness_or_material_get_plates_of_their_own(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    head = "number,quantity,units,outside_diameter,thickness,material\n"
    rows = (
        "A-1,1,mm,300,20,S275\nA-2,2,mm,200,16,S275\nA-3,1,mm,250,20,S275\nA-4,1,mm,250,20,316L\nA-5,1,mm,100,,S275\n"
    )
    (path := tmp_path / "week.csv").write_text(head + rows, encoding="utf-8")
    assert run(["nest", str(path), "--plate", "1000x500", "--into", str(tmp_path)]) == 0
    told = capsys.readouterr().out.splitlines()
    kinds = [line for line in told if line.endswith(":")]
    assert kinds == ["20 mm S275:", "16 mm S275:", "20 mm 316L:", "no thickness S275:"]
    parts = [line.split(" part")[0] for line in told if " · yield " in line]
    assert parts == ["2", "2", "1", "1"]
    lists = sorted(tmp_path.glob("week-*_nest_mm.csv"))
    assert len(lists) == 4
    placed = {path.name: [row.split(",")[1] for row in path.read_text("utf-8-sig").splitlines()[1:]] for path in lists}
    assert sorted(placed["week-20-mm-S275_nest_mm.csv"]) == ["A-1 rev A", "A-3 rev A"]
