"""``flangelayout bill``: what is ordered for one job, and for a list together."""

import csv
import json
from pathlib import Path

import pytest

from flangelayout.cli import run
from jobs import job_data, toml_text

CIRCLE = {"diameter": 240, "hole_count": 8, "bolt": "M20", "mate_thickness": 22}


def job(folder: Path, number: str, **circle: object) -> str:
    file = folder / f"{number}.toml"
    keys = job_data(job={"number": number}, bolt_circle=[CIRCLE | circle])
    file.write_text(toml_text(keys), encoding="utf-8")
    return str(file)


def test_a_bill_in_words_in_json_and_as_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    # 22 + 22 + two washers of 3, a nut of 18, two threads of 2.5: 73 mm; the next length of ISO 888 is 80.
    one, other, file = job(tmp_path, "A"), job(tmp_path, "B"), tmp_path / "order.csv"
    assert run(["bill", one]) == 0
    assert "    8 x hexagon bolt, M20 × 80 (ISO 4014)\n" in capsys.readouterr().out
    assert run(["bill", one, other, "--csv", str(file)]) == 0
    told = capsys.readouterr().out
    assert "   16 x hexagon bolt, M20 × 80 (ISO 4014)  for A, B\n" in told
    assert "2 jobs, 4 items" in told
    with file.open(encoding="utf-8-sig") as rows:
        listed = {row["part"]: row for row in csv.DictReader(rows)}
    assert (listed["hexagon nut"]["total"], listed["hexagon nut"]["standard"]) == ("16", "ISO 4032")
    assert run(["bill", one, "--json"]) == 0
    (bolts,) = [row for row in json.loads(capsys.readouterr().out) if row["part"] == "hexagon bolt"]
    assert (bolts["total"], bolts["size"], bolts["jobs"]) == (8, "M20 × 80", ["A"])


def test_a_bad_job_of_several_is_told_and_the_others_are_listed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    good, bad = job(tmp_path, "A"), job(tmp_path, "B", hole_count=0)
    assert run(["bill", good, bad]) == 2
    told = capsys.readouterr()
    assert "hexagon bolt, M20 × 80" in told.out
    assert "B.toml" in told.err


def test_what_may_be_missed_in_a_bill_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A ring and its blind in one list, each with 8 bolts: one joint has 8. Holes without a bolt have none at all."""
    ring, bare = job(tmp_path, "R"), job(tmp_path, "N", bolt="", hole_diameter=14, diameter=200)
    file = tmp_path / "B.toml"
    plate = {"outside_diameter": 285, "thickness": 22}
    for bolts_with in ({}, {"bolts_with": "R"}):
        blind = job_data(job={"number": "B"}, plate=plate, bolt_circle=[CIRCLE | bolts_with])
        file.write_text(toml_text(blind), encoding="utf-8")
        assert run(["bill", ring, str(file), bare]) == 0
        told = capsys.readouterr().out
        assert ("B is a blind drilled as R: bolted together, their joint is counted twice here" in told) != bool(
            bolts_with
        )
        assert f"{8 if bolts_with else 16:>5} x hexagon bolt, M20 × 80 (ISO 4014)" in told
        assert "N: Bolts are not in the bill: no bolt is named for them." in told
        open_joints = "R" if bolts_with else "R, B"
        assert f"{open_joints}: No gasket is in the bill: nothing says that the joint is sealed." in told
    single = {"x": 0, "y": 98, "diameter": 18, "bolt": "M16"}
    keys = job_data(
        job={"number": "G"}, bolt_circle=[CIRCLE | {"gasket_thickness": 2}], hole=[single, single | {"y": -98}]
    )
    (tmp_path / "G.toml").write_text(toml_text(keys), encoding="utf-8")
    assert run(["bill", str(tmp_path / "G.toml")]) == 1  # a hole of it has no seat
    told = capsys.readouterr().out
    assert "No gasket" not in told
    assert "2 single holes for M16: nothing says what goes through, so no bolt is in the bill." in told
