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
    assert "    8 x hexagon bolt, M20 X 80 (ISO 4014)\n" in capsys.readouterr().out
    assert run(["bill", one, other, "--csv", str(file)]) == 0
    told = capsys.readouterr().out
    assert "   16 x hexagon bolt, M20 X 80 (ISO 4014)  for A, B\n" in told
    assert "2 jobs, 4 items" in told
    with file.open(encoding="utf-8-sig") as rows:
        listed = {row["part"]: row for row in csv.DictReader(rows)}
    assert (listed["hexagon nut"]["total"], listed["hexagon nut"]["standard"]) == ("16", "ISO 4032")
    assert run(["bill", one, "--json"]) == 0
    (bolts,) = [row for row in json.loads(capsys.readouterr().out) if row["part"] == "hexagon bolt"]
    assert (bolts["total"], bolts["size"], bolts["jobs"]) == (8, "M20 X 80", ["A"])


def test_a_bad_job_of_several_is_told_and_the_others_are_listed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    good, bad = job(tmp_path, "A"), job(tmp_path, "B", hole_count=0)
    assert run(["bill", good, bad]) == 2
    told = capsys.readouterr()
    assert "hexagon bolt, M20 X 80" in told.out
    assert "B.toml" in told.err
